/* vary.h - keys of a plan varied: "steps.1.at=30 °C,45 °C,60 °C", and the plans that come of it.
 *
 * A spec is KEY=VALUE,VALUE... or KEY=LOW..HIGH by STEP. KEY is a path into the plan, lists counted from 0
 * (steps.1.at, steel.batch.Mn, heat.temperature); `*` stands for every point of clay.coat, patch of clay.lost or entry
 * of temper. The key may be absent from the plan if it is allowed there; set below a name it takes that profile and
 * replaces the one value. Values are written as in plans.
 */
#ifndef CLAYQUENCH_VARY_H
#define CLAYQUENCH_VARY_H

#include <clayquench/io.h>

enum { CQ_VARY_AXES = 8, CQ_VARY_VALUES = 1000 };

/* One key with its values, as plans write them. Numbers are NaN for words (names, choices); `own` is what the plan
 * itself has: NULL and NaN if it has nothing there, or different things under `*`. */
typedef struct cq_vary_axis {
    const char *key, *meaning;
    const char *unit; /* of `number`, as the first value is written; "" of words and plain numbers */
    size_t n;
    const char *const *words;
    const double *number;
    const char *own;
    double own_number;
} cq_vary_axis;

typedef struct cq_vary cq_vary;

/* Read the plan at `path` once and what the specs say of it. CQ_ERR_PLAN with complaints: a faulty plan, an unknown key
 * (the nearest is named), a key that cannot be varied, a place past the end of a list, a faulty value or range, a key
 * twice, more than CQ_VARY_AXES specs. `search` must outlive it. */
cq_status cq_vary_open(cq_vary **vary, const char *path, const cq_search *search, const char *const *specs,
                       size_t specs_n, cq_error *error);
/* The same of a stored plan: its text, and the profiles it and the values name as texts, which must outlive it. */
cq_status cq_vary_open_given(cq_vary **vary, const char *text, const char *name, const cq_given_profiles *given,
                             const char *const *specs, size_t specs_n, cq_error *error);
void cq_vary_close(cq_vary *vary);

size_t cq_vary_axes(const cq_vary *vary, const cq_vary_axis **axes);
/* The product of all values; 1 without specs. The last axis runs fastest. */
size_t cq_vary_runs(const cq_vary *vary);
size_t cq_vary_value(const cq_vary *vary, size_t run, size_t axis);

/* The plan as the file has it, and every profile that it or a value names; they live as long as `vary`. */
const cq_plan *cq_vary_base(const cq_vary *vary);
size_t cq_vary_profiles(const cq_vary *vary, const char *const **names, const char *const **texts);

/* The plan of a run, read and checked like any other; complaints stand at "--vary KEY=VALUE" or at their place in the
 * file. Its text is the file's with the values as comment lines behind it. Safe to call from several threads. Released
 * with cq_plan_clear, before `vary` is closed: it shares names and texts with it. */
cq_status cq_vary_plan(cq_vary *vary, size_t run, cq_plan *plan, cq_error *error);

#endif
