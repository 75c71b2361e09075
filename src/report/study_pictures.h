/* study_pictures.h - pictures of many runs, recorded for a page. CQ_ERR_ARGUMENT if there is nothing to show. */
#ifndef CQ_REPORT_STUDY_PICTURES_H
#define CQ_REPORT_STUDY_PICTURES_H

#include "report/canvas.h"

#include <clayquench/report_compare.h>
#include <clayquench/report_map.h>
#include <clayquench/report_spread.h>

cq_status cq_compare_picture_record(const cq_comparison *comparison, cq_recorded *recorded);
cq_status cq_map_picture_record(const cq_map *map, cq_recorded *recorded);
cq_status cq_spread_picture_record(const cq_spread *spread, const cq_result *as_planned, cq_spread_picture picture,
                                   cq_recorded *recorded);

#endif
