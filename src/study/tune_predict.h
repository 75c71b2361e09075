/* tune_predict.h - what a plan says of one item of evidence. */
#ifndef CQ_STUDY_TUNE_PREDICT_H
#define CQ_STUDY_TUNE_PREDICT_H

#include <clayquench/tune.h>

/* `near`: where a coupon's place was found last, 0: nowhere; it is moved. NaN in *said: the plan says nothing of it. */
cq_status cq_tune_predict(const cq_evidence_item *item, const cq_plan *plan, double *near, double *said, size_t *runs,
                          cq_error *error);

#endif
