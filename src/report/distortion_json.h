/* distortion_json.h - curve, stress, crack class, tempers and wear of a result as JSON. */
#ifndef CQ_REPORT_DISTORTION_JSON_H
#define CQ_REPORT_DISTORTION_JSON_H

#include <clayquench/crack_advice.h>
#include <jansson.h>

json_t *cq_json_curve(const cq_result *result);
json_t *cq_json_stress(const cq_result *result);
json_t *cq_json_crack(const cq_result *result, const cq_crack_advice *advice); /* advice NULL: not asked for */
json_t *cq_json_tempers(const cq_result *result);
json_t *cq_json_wear(const cq_result *result);

#endif
