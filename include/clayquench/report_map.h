/* report_map.h - two keys varied: line and verdict over both, as a map in words, as JSON and as a picture.
 */
#ifndef CLAYQUENCH_REPORT_MAP_H
#define CLAYQUENCH_REPORT_MAP_H

#include <clayquench/report_compare.h>
#include <clayquench/vary.h>

/* The comparison of a study with exactly these two axes, in this order; both are numbers, two or more, none twice. */
typedef struct cq_map {
    const cq_comparison *comparison;
    const cq_vary_axis *x, *y;
    const cq_row *own; /* of the plan as it is, run beside the study; NULL: not known */
} cq_map;

/* One screen: 24 lines of 80 columns; larger maps are thinned out. Released with cq_text_free (io.h), as the next. */
cq_status cq_map_screen(const cq_map *map, cq_unit_system units, char **text);
/* Exactly one JSON object; keys: README, "A map". */
cq_status cq_map_json(const cq_map *map, char **text);

/* The line's height in colours with contours, verdicts as regions. *bytes is released with cq_text_free. */
cq_status cq_map_picture_draw(const cq_map *map, cq_picture_format format, unsigned char **bytes, size_t *length);

#endif
