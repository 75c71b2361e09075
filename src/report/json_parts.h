/* json_parts.h - values and arrays as JSON has them, and the finished text. NULL stands for memory that ran out and is
 * handed on by whatever takes it in. */
#ifndef CQ_REPORT_JSON_PARTS_H
#define CQ_REPORT_JSON_PARTS_H

#include <clayquench/quench.h>
#include <jansson.h>

/* null where the number is not finite. */
json_t *cq_json_number(double v);
json_t *cq_json_celsius(double kelvin);
json_t *cq_json_words(const char *text);
/* The end of a step of the plan. */
json_t *cq_json_step(const cq_step_end *end);
/* The array with one more element; NULL, and all released, when memory runs out. */
json_t *cq_json_appended(json_t *array, json_t *element);
/* An object of these members, which it takes; NULL, and all released, where one is NULL or memory runs out. */
typedef struct cq_json_member {
    const char *key;
    json_t *value;
} cq_json_member;
json_t *cq_json_object(const cq_json_member *members, size_t n);
/* Takes the root. Released with cq_text_free. */
cq_status cq_json_text(json_t *root, char **text);

#endif
