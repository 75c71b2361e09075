/* svg.h - the one thing in cairo's SVG that differs between equal drawings. */
#ifndef CQ_REPORT_SVG_H
#define CQ_REPORT_SVG_H

#include <clayquench/status.h>

/* cairo names surfaces and images by a count that runs on through the whole program ("image17"): number them by their
 * order in this file instead. *bytes is replaced (allocated as before). */
cq_status cq_svg_renumber(unsigned char **bytes, size_t *length);

#endif
