/* evidence_item.h - one entry of evidence; evidence.c reads the file about it. */
#ifndef CQ_IO_EVIDENCE_ITEM_H
#define CQ_IO_EVIDENCE_ITEM_H

#include "io/reader.h"

#include <clayquench/evidence.h>
#include <clayquench/vary.h>

/* A plan that an item named or changed; kept until the evidence goes. */
typedef struct cq_item_plan {
    cq_plan plan;
    cq_vary *vary; /* NULL: the plan was read by itself */
    struct cq_item_plan *before;
} cq_item_plan;

typedef struct cq_evidence_reading {
    cq_reader r;
    const char *plan_path;
    const cq_plan *base;
    cq_item_plan *plans; /* the last one read */
} cq_evidence_reading;

/* True if the item is good; complaints else. */
bool cq_evidence_item_read(cq_evidence_reading *v, const cq_node *map, const char *path, cq_evidence_item *item);

#endif
