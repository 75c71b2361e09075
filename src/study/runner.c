/* runner.c - carries out a study's runs on worker threads.
 *
 * Workers take open runs in order. The lock is held to take a run and to hand in its row, never during a step. A row
 * depends on its own plan only, so the table does not show who made it or when.
 */
#define _GNU_SOURCE
#include "base/memory.h"

#include <clayquench/study.h>
#include <errno.h>
#include <math.h>
#include <pthread.h>
#include <sched.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum { MOST_THREADS = 1024 };
static const long WATCH_NS = 100 * 1000 * 1000; /* how often the calling thread looks up */

typedef struct runner {
    cq_study_table *table;
    const cq_study_source *source;
    const cq_study_sink *sink;
    size_t part, parts;
    cq_run_options run_options;
    pthread_mutex_t lock; /* guards everything below but `give_up` */
    pthread_cond_t changed;
    size_t next, limit; /* next run to look at; runs from `limit` on wait for the block's end */
    size_t done, planned, busy;
    bool over;           /* no run is taken any more */
    atomic_bool give_up; /* runs under way stop at their next step */
    cq_status status;
    cq_error *error;
} runner;

/* ---- one run ----------------------------------------------------------------------------------------------------- */

static bool go_on(void *context, const cq_view *view) {
    (void)view;
    return !atomic_load_explicit(&((runner *)context)->give_up, memory_order_relaxed);
}

/* "plan.yaml:7: steps.1.at: 99 °C; expected ...": the first complaint on one line. */
static void write_message(char to[CQ_ROW_MESSAGE], const cq_error *error, cq_status status) {
    if (error->count == 0) {
        snprintf(to, CQ_ROW_MESSAGE, "%s", cq_status_sentence(status));
        return;
    }
    const cq_complaint *c = &error->items[0];
    char place[96] = "", whole[1024];
    if (c->line > 0) {
        snprintf(place, sizeof place, "%.64s:%d: ", c->file, c->line);
    }
    snprintf(whole, sizeof whole, "%s%s%s%s%s%s", place, c->key, c->key[0] != '\0' ? ": " : "", c->found,
             c->expected[0] != '\0' ? "; expected " : "", c->expected);
    snprintf(to, CQ_ROW_MESSAGE, "%.*s", CQ_ROW_MESSAGE - 1, whole);
}

static cq_status run_plan(runner *r, const cq_plan *plan, cq_row *row, cq_error *error) {
    cq_run *run = NULL;
    cq_status status = cq_run_create(&run, plan, &r->run_options, error);
    status = status < 0 ? status : cq_run_go(run, &(cq_observer){go_on, r}, error);
    if (status >= 0) {
        cq_figures_of(cq_run_result(run), row->value);
    }
    cq_run_free(run);
    return status;
}

/* The row of one run. A status below 0 means that there is none: given up, or no memory. */
static cq_status make_row(runner *r, size_t n, cq_row *row) {
    cq_error error = CQ_ERROR_INIT;
    cq_plan plan;
    cq_plan_init(&plan);
    memset(row, 0, sizeof *row);
    for (int f = 0; f < CQ_FIGURES; f++) {
        row->value[f] = NAN;
    }
    cq_status status = r->source->plan(r->source->context, n, &plan, &error);
    if (status >= 0) {
        status = run_plan(r, &plan, row, &error);
        if (r->source->release != NULL) {
            r->source->release(r->source->context, n, &plan);
        }
    }
    row->state = status < 0 ? CQ_ROW_FAILED : CQ_ROW_DONE;
    if (status < 0) {
        write_message(row->message, &error, status);
    }
    cq_error_clear(&error);
    return status == CQ_ERR_MEMORY || status == CQ_ERR_CANCELLED ? status : CQ_OK;
}

/* ---- workers ----------------------------------------------------------------------------------------------------- */

static bool is_ours(const runner *r, size_t n) {
    return n % r->parts == r->part && r->table->row[n].state == CQ_ROW_OPEN;
}

/* With the lock held: the next run to make, or runs_n when there is none now. */
static size_t take(runner *r) {
    while (r->next < r->limit && !is_ours(r, r->next)) {
        r->next++;
    }
    return r->over || r->next >= r->limit ? r->table->runs_n : r->next++;
}

/* With the lock held. The first failure is the study's. */
static void end_with(runner *r, cq_status status, const char *found) {
    if (r->status >= 0) {
        r->status = status;
        if (found != NULL) {
            cq_error_say(r->error, status, "", "", "", "%s", found);
        }
    }
    r->over = true;
    atomic_store(&r->give_up, true);
}

static void hand_in(runner *r, size_t n, const cq_row *row, cq_status status) {
    if (status < 0) {
        end_with(r, status, status == CQ_ERR_CANCELLED ? NULL : cq_status_sentence(status));
        return;
    }
    if (r->sink->keep != NULL) {
        status = r->sink->keep(r->sink->context, n, row, r->error);
    }
    if (status < 0) {
        end_with(r, status, NULL); /* the sink has complained */
        return;
    }
    r->table->row[n] = *row;
    r->done++;
}

static void *work(void *context) {
    runner *r = context;
    cq_row row;
    pthread_mutex_lock(&r->lock);
    while (!r->over) {
        const size_t n = take(r);
        if (n == r->table->runs_n) {
            pthread_cond_wait(&r->changed, &r->lock);
            continue;
        }
        r->busy++;
        pthread_mutex_unlock(&r->lock);
        const cq_status status = make_row(r, n, &row);
        pthread_mutex_lock(&r->lock);
        r->busy--;
        hand_in(r, n, &row, status);
        if (r->busy == 0) {
            pthread_cond_broadcast(&r->changed);
        }
    }
    pthread_mutex_unlock(&r->lock);
    return NULL;
}

/* ---- the calling thread ------------------------------------------------------------------------------------------ */

static void wait_a_little(runner *r) {
    struct timespec until;
    clock_gettime(CLOCK_REALTIME, &until);
    until.tv_nsec += WATCH_NS;
    until.tv_sec += until.tv_nsec / 1000000000L;
    until.tv_nsec %= 1000000000L;
    pthread_cond_timedwait(&r->changed, &r->lock, &until);
}

/* Every run before the limit has its row: go on to the next block, or end. Lock held. */
static void end_block(runner *r, const cq_study_options *options) {
    const size_t n = r->table->runs_n;
    const bool asked = options->block > 0 && r->sink->enough != NULL && r->limit > 0;
    if (r->limit == n || (asked && r->sink->enough(r->sink->context, r->limit))) {
        r->over = true;
    } else {
        r->limit = options->block > 0 && r->sink->enough != NULL && n - r->limit > options->block
                       ? r->limit + options->block
                       : n;
    }
    pthread_cond_broadcast(&r->changed);
}

static void watch(runner *r, const cq_study_options *options) {
    pthread_mutex_lock(&r->lock);
    while (!r->over) {
        while (r->next < r->limit && !is_ours(r, r->next)) {
            r->next++; /* rows of an earlier call end a block without a worker */
        }
        if (r->busy == 0 && r->next >= r->limit) {
            end_block(r, options);
            continue;
        }
        wait_a_little(r);
        const size_t done = r->done, planned = r->planned;
        pthread_mutex_unlock(&r->lock);
        const bool wanted = r->sink->go_on == NULL || r->sink->go_on(r->sink->context, done, planned);
        pthread_mutex_lock(&r->lock);
        if (!wanted) {
            end_with(r, CQ_ERR_CANCELLED, NULL);
        }
    }
    pthread_cond_broadcast(&r->changed);
    pthread_mutex_unlock(&r->lock);
}

static int threads_wanted(int wish) {
    cpu_set_t cores; /* those this process may use: a batch system may give it fewer than there are */
    if (wish > 0) {
        return wish < MOST_THREADS ? wish : MOST_THREADS;
    }
    const int n = sched_getaffinity(0, sizeof cores, &cores) == 0 ? CPU_COUNT(&cores) : 1;
    return n > 0 ? n : 1;
}

static cq_status run_threads(runner *r, const cq_study_options *options) {
    const int wanted = threads_wanted(options->threads);
    pthread_t *thread = cq_memory_zero((size_t)wanted, sizeof *thread);
    int n = 0;
    if (thread == NULL) {
        return cq_error_say(r->error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    while (n < wanted && pthread_create(&thread[n], NULL, work, r) == 0) {
        n++;
    }
    if (n > 0) {
        watch(r, options);
    } else {
        end_with(r, CQ_ERR_MEMORY, "no thread could be started");
    }
    for (int t = 0; t < n; t++) {
        pthread_join(thread[t], NULL);
    }
    cq_memory_free(thread);
    return r->status;
}

cq_status cq_study_go(cq_study_table *table, const cq_study_source *source, const cq_study_options *options,
                      const cq_study_sink *sink, cq_error *error) {
    static const cq_study_sink deaf = {0};
    runner r = {.table = table,
                .source = source,
                .sink = sink == NULL ? &deaf : sink,
                .parts = options->parts > 1 ? options->parts : 1,
                .run_options = {.skip_curve = options->skip_curve},
                .error = error};
    r.part = r.parts > 1 ? options->part - 1 : 0;
    if (r.part >= r.parts) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "part", "1 to the number of parts", "", "part %zu of %zu",
                            options->part, options->parts);
    }
    for (size_t n = 0; n < table->runs_n; n++) {
        r.planned += n % r.parts == r.part;
        r.done += n % r.parts == r.part && table->row[n].state != CQ_ROW_OPEN;
    }
    pthread_mutex_init(&r.lock, NULL);
    pthread_cond_init(&r.changed, NULL);
    const cq_status status = run_threads(&r, options);
    pthread_cond_destroy(&r.changed);
    pthread_mutex_destroy(&r.lock);
    return status;
}
