/* lesson.h - the runs that a lesson on clay is told from: shipped plans, some with a key varied.
 */
#ifndef CLAYQUENCH_LESSON_H
#define CLAYQUENCH_LESSON_H

#include <clayquench/quench.h>

/* What the lesson looks at, in its order. */
typedef enum cq_lesson_part {
    CQ_LESSON_KNIFE,     /* a knife with a wash on its edge */
    CQ_LESSON_BARE,      /* the same with a bare edge */
    CQ_LESSON_PLATE,     /* a plate bare, washed, thickly clayed */
    CQ_LESSON_THICKNESS, /* the plate under clay of many thicknesses */
    CQ_LESSON_WATER,     /* the bare knife in water from cold to warm */
    CQ_LESSON_MANGANESE, /* the knife of other batches */
    CQ_LESSON_SOAK,      /* the knife of mill stock, soaked cooler and hotter */
    CQ_LESSON_CURVE,     /* a long blade that curves */
    CQ_LESSON_PARTS
} cq_lesson_part;

enum { CQ_LESSON_RUNS = 16, CQ_LESSON_SPECS = 2 };

/* Name of a part ("knife"), the shipped plan it runs, and what is varied in it, as --vary has it; NULL: nothing. */
typedef struct cq_lesson_script {
    const char *name, *plan, *vary[CQ_LESSON_SPECS];
} cq_lesson_script;
const cq_lesson_script *cq_lesson_script_of(cq_lesson_part part);

/* What the outermost face at the body's height went through. n entries, rising in time. */
typedef struct cq_face_path {
    size_t n, room;
    double *time_s, *face_K, *flux_W_m2;
} cq_face_path;

typedef struct cq_lesson_run {
    cq_run *run;
    const cq_result *result;
    const char *value; /* of the last key that is varied, as written; "" */
    double fall_s;     /* the body from 750 to 500 degC; NaN if it does not get there */
    cq_face_path path;
} cq_lesson_run;

typedef struct cq_lesson {
    size_t n[CQ_LESSON_PARTS];
    cq_lesson_run run[CQ_LESSON_PARTS][CQ_LESSON_RUNS];
} cq_lesson;

/* Carry out one more run of a part. Plan and value must outlive the lesson. observer: told of every step, NULL: none;
 * it stops the run as everywhere. On failure the lesson is as it was. */
cq_status cq_lesson_create(cq_lesson **lesson, cq_error *error);
cq_status cq_lesson_add(cq_lesson *lesson, cq_lesson_part part, const cq_plan *plan, const char *value,
                        const cq_observer *observer, cq_error *error);
void cq_lesson_free(cq_lesson *lesson);

#endif
