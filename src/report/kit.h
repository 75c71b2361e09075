/* kit.h - what the files of the kit's page share: its drawings. */
#ifndef CQ_REPORT_KIT_H
#define CQ_REPORT_KIT_H

#include "report/page.h"

#include <clayquench/report_kit.h>

/* Sizes of the drawings, points. Combs and scale bars are drawn to true size. */
enum { CQ_KIT_WIDTH = 440, CQ_KIT_TALL = 170, CQ_KIT_SCALES_TALL = 100, CQ_KIT_COMB_TALL = 150 };

/* Teeth of a comb: CQ_KIT_TEETH to a side, two sides, each one step shorter than the one before. */
enum { CQ_KIT_TEETH = 6 };
typedef struct cq_kit_comb {
    double step_m;
    const char *unit; /* of its labels: "mm", or "64" for 64ths of an inch */
} cq_kit_comb;
extern const cq_kit_comb CQ_KIT_COMB_MM, CQ_KIT_COMB_INCH;

void cq_kit_ink(cq_canvas *canvas); /* the colour of its lines and words */

/* Each is a cq_page_draw; that of a comb gets a cq_kit_comb, the others nothing. */
cq_status cq_kit_stepped_clay(cq_canvas *canvas, const void *nothing);
cq_status cq_kit_wedge(cq_canvas *canvas, const void *nothing);
cq_status cq_kit_bar(cq_canvas *canvas, const void *nothing);
cq_status cq_kit_comb_draw(cq_canvas *canvas, const void *comb);
cq_status cq_kit_scales(cq_canvas *canvas, const void *nothing);
cq_status cq_kit_probe(cq_canvas *canvas, const void *nothing);
cq_status cq_kit_stations(cq_canvas *canvas, const void *nothing);

#endif
