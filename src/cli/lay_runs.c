/* lay_runs.c - runs of a search, in batches; see lay_work.h.
 *
 * A search asks in one order, which follows from the answers alone: the n-th run asked for is row n of the file. A kept
 * row says as its message which layout it is of, so that a file that does not fit is told.
 */
#include "cli/lay_work.h"

#include "base/memory.h"

#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static double now_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

cq_status cq_lay_making_open(cq_lay_making *m, const cq_studying *studying, const cq_study_about *about,
                             cq_error *error) {
    char path[4096];
    m->studying = studying;
    m->begun_s = now_s();
    m->visible = !studying->quiet && isatty(STDERR_FILENO);
    cq_interrupt_watch();
    cq_status status = cq_study_table_create(&m->kept, about->runs_n, 0, error);
    if (status < 0 || studying->folder == NULL) {
        return status;
    }
    if (snprintf(path, sizeof path, "%s/study.h5", studying->folder) >= (int)sizeof path) {
        return cq_error_say(error, CQ_ERR_FILE, "", "a shorter path", NULL, "'%.100s...' is too long",
                            studying->folder);
    }
    status = cq_folder_make(studying->folder, error);
    return status < 0 ? status : cq_study_file_open(&m->file, path, about, m->kept, error);
}

cq_status cq_lay_making_close(cq_lay_making *m, bool ended, cq_error *error) {
    if (m->visible && m->at > 0) {
        fputs("\r\033[K", stderr);
    }
    cq_status status = ended && m->file != NULL ? cq_study_file_end(m->file, m->at, error) : CQ_OK;
    const cq_status closed = cq_study_file_close(m->file, error);
    cq_study_table_free(m->kept);
    m->file = NULL;
    m->kept = NULL;
    return status < 0 ? status : closed;
}

/* ---- a batch ----------------------------------------------------------------------------------------------------- */

static char *trial_words(const cq_lay_trial *t, char to[CQ_ROW_MESSAGE]) {
    char layout[CQ_LAYOUT_WORDS], plan[32] = "", sample[32] = "";
    if (t->plan > 0) {
        snprintf(plan, sizeof plan, "; change %zu", t->plan);
    }
    if (t->sample > 0) {
        snprintf(sample, sizeof sample, "; sample %zu", t->sample - 1);
    }
    snprintf(to, CQ_ROW_MESSAGE, "%.130s%s%s", cq_layout_words(&t->layout, layout), plan, sample);
    return to;
}

static cq_status keep(void *context, size_t run, const cq_row *row, cq_error *error) {
    cq_lay_making *m = context;
    cq_row kept = *row;
    if (row->state == CQ_ROW_DONE) {
        trial_words(&m->runs.trial[run], kept.message);
    }
    m->kept->row[m->at + run] = kept;
    return m->file == NULL ? CQ_OK : cq_study_file_keep(m->file, m->at + run, &kept, error);
}

static bool go_on(void *context, size_t done, size_t planned) {
    const cq_lay_making *m = context;
    (void)planned;
    if (m->visible) {
        fprintf(stderr, "\r%zu runs of at most %zu, %.0f s\033[K", m->at + done, m->kept->runs_n, now_s() - m->begun_s);
    }
    return !cq_interrupted();
}

/* Rows that the file has already. */
static cq_status recall(const cq_lay_making *m, const cq_lay_trial *trial, size_t n, cq_row *row, cq_error *error) {
    for (size_t i = 0; i < n; i++) {
        const cq_row *kept = &m->kept->row[m->at + i];
        char words[CQ_ROW_MESSAGE];
        if (kept->state == CQ_ROW_DONE && strcmp(kept->message, trial_words(&trial[i], words)) != 0) {
            return cq_error_say(error, CQ_ERR_FORMAT, "", words, "name another folder, or take this one away",
                                "run %zu in %.80s/study.h5 is of another layout", m->at + i, m->studying->folder);
        }
        row[i] = *kept;
        if (kept->state == CQ_ROW_DONE) {
            row[i].message[0] = '\0';
        }
    }
    return CQ_OK;
}

cq_status cq_lay_making_rows(void *making, const cq_lay_trial *trial, size_t n, cq_row *row, cq_error *error) {
    cq_lay_making *m = making;
    cq_study_table *table = NULL;
    if (m->at + n > m->kept->runs_n) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "", "fewer runs", "", "%zu runs", m->at + n);
    }
    cq_status status = recall(m, trial, n, row, error);
    status = status < 0 ? status : cq_study_table_create(&table, n, 0, error);
    cq_plan *laid = status < 0 ? NULL : cq_memory_zero(n, sizeof *laid);
    if (status >= 0 && laid == NULL) {
        status = cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    if (status >= 0) {
        memcpy(table->row, row, n * sizeof *row);
        m->runs.trial = trial;
        m->runs.laid = laid;
        const cq_study_source source = cq_lay_source(&m->runs);
        cq_study_options options = m->studying->options;
        options.skip_curve = true;
        status = cq_study_go(table, &source, &options, &(cq_study_sink){keep, go_on, NULL, m}, error);
    }
    if (status >= 0) {
        memcpy(row, table->row, n * sizeof *row);
        m->at += n;
    }
    cq_memory_free(laid);
    cq_study_table_free(table);
    return status;
}
