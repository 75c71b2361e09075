/* lesson.c - see lesson.h. */
#include <clayquench/lesson.h>

#include "base/memory.h"
#include "study/piece.h"

#include <math.h>

enum { FIRST_ROOM = 256 };
static const double FROM_K = 1023.15, TO_K = 773.15;

const cq_lesson_script *cq_lesson_script_of(cq_lesson_part part) {
    static const cq_lesson_script scripts[CQ_LESSON_PARTS] = {
        [CQ_LESSON_KNIFE] = {"knife", "lesson-knife", {NULL}},
        [CQ_LESSON_BARE] = {"bare", "lesson-bare-edge", {NULL}},
        [CQ_LESSON_PLATE] = {"plate", "lesson-plate", {"clay.coat.0.thickness=0 mm,0.05 mm,2 mm"}},
        [CQ_LESSON_THICKNESS] =
            {"thickness",
             "lesson-plate",
             {"clay.coat.0.thickness=0 mm,0.01 mm,0.02 mm,0.03 mm,0.05 mm,0.1 mm,0.2 mm,0.3 mm,0.5 mm,1 mm,2 mm"}},
        [CQ_LESSON_WATER] = {"water", "lesson-bare-edge", {"steps.1.at=20 °C,30 °C,40 °C,50 °C,55 °C,60 °C"}},
        [CQ_LESSON_MANGANESE] = {"manganese", "lesson-knife", {"steel.batch.Mn=0.2 %,0.4 %,0.6 %,0.8 %"}},
        [CQ_LESSON_SOAK] = {"soak",
                            "lesson-knife",
                            {"heat.structure=spheroidised-coarse", "heat.temperature=720..900 °C by 20 K"}},
        [CQ_LESSON_CURVE] = {"curve", "lesson-long", {NULL}}};
    return &scripts[part];
}

/* ---- the path of a face ------------------------------------------------------------------------------------------ */

typedef struct watching {
    cq_face_path *path; /* NULL: not wanted */
    const cq_observer *also;
    bool failed;
} watching;

static bool grow(cq_face_path *p) {
    const size_t room = p->room == 0 ? FIRST_ROOM : 2 * p->room;
    double **arrays[] = {&p->time_s, &p->face_K, &p->flux_W_m2};
    for (size_t n = 0; n < sizeof arrays / sizeof arrays[0]; n++) {
        double *grown = cq_memory_grow(*arrays[n], room, sizeof **arrays[n]);
        if (grown == NULL) {
            return false;
        }
        *arrays[n] = grown;
    }
    p->room = room;
    return true;
}

static bool watch(void *context, const cq_view *view) {
    watching *w = context;
    cq_face_path *p = w->path;
    if (p != NULL) {
        if (p->n == p->room && !grow(p)) {
            w->failed = true;
            return false;
        }
        p->time_s[p->n] = view->time_s;
        p->face_K[p->n] = view->face_K[CQ_TRACE_BODY];
        p->flux_W_m2[p->n++] = view->face_flux_W_m2[CQ_TRACE_BODY];
    }
    return w->also == NULL || w->also->step(w->also->context, view);
}

static void path_free(cq_face_path *p) {
    cq_memory_free(p->time_s);
    cq_memory_free(p->face_K);
    cq_memory_free(p->flux_W_m2);
}

/* ---- runs -------------------------------------------------------------------------------------------------------- */

cq_status cq_lesson_create(cq_lesson **lesson, cq_error *error) {
    *lesson = cq_memory_zero(1, sizeof **lesson);
    return *lesson == NULL ? cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY))
                           : CQ_OK;
}

cq_status cq_lesson_add(cq_lesson *lesson, cq_lesson_part part, const cq_plan *plan, const char *value,
                        const cq_observer *observer, cq_error *error) {
    if (lesson->n[part] == CQ_LESSON_RUNS) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "", "at most 16 runs to a part", "", "one more");
    }
    cq_lesson_run *one = &lesson->run[part][lesson->n[part]];
    const cq_run_options options = {.keep_frames = part == CQ_LESSON_CURVE,
                                    .skip_curve = part != CQ_LESSON_CURVE && part != CQ_LESSON_SOAK};
    watching w = {part == CQ_LESSON_PLATE ? &one->path : NULL, observer, false};
    *one = (cq_lesson_run){.value = value};
    cq_status status = cq_run_create(&one->run, plan, &options, error);
    status = status < 0 ? status : cq_run_go(one->run, &(cq_observer){watch, &w}, error);
    if (status < 0) {
        cq_run_free(one->run);
        path_free(&one->path);
        *one = (cq_lesson_run){.run = NULL};
        return w.failed ? CQ_ERR_MEMORY : status;
    }
    one->result = cq_run_result(one->run);
    const cq_trace *body = &one->result->traces[CQ_TRACE_BODY];
    one->fall_s = cq_trace_falls_s(body, TO_K) - cq_trace_falls_s(body, FROM_K);
    lesson->n[part]++;
    return CQ_OK;
}

void cq_lesson_free(cq_lesson *lesson) {
    for (int part = 0; lesson != NULL && part < CQ_LESSON_PARTS; part++) {
        for (size_t n = 0; n < lesson->n[part]; n++) {
            cq_run_free(lesson->run[part][n].run);
            path_free(&lesson->run[part][n].path);
        }
    }
    cq_memory_free(lesson);
}
