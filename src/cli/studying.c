/* studying.c - see studying.h. */
#include "cli/studying.h"

#include <clayquench/io.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { MANY_RUNS = 1000000, BAR_WIDTH = 32, MESSAGES_TOLD = 5 };

/* ---- what was typed ---------------------------------------------------------------------------------------------- */

static bool whole_number(const char *word, const char **end, unsigned long least, unsigned long most,
                         unsigned long *value) {
    char *behind;
    errno = 0;
    *value = word[0] >= '0' && word[0] <= '9' ? strtoul(word, &behind, 10) : 0;
    if (!(word[0] >= '0' && word[0] <= '9') || errno != 0 || *value < least || *value > most) {
        return false;
    }
    *end = behind;
    return true;
}

bool cq_studying_read(cq_studying *s) {
    unsigned long threads = 0, part = 0, parts = 0;
    const char *end;
    memset(&s->options, 0, sizeof s->options);
    if (s->threads != NULL && (!whole_number(s->threads, &end, 1, 1024, &threads) || *end != '\0')) {
        fprintf(stderr, "clayquench %s: error: --threads '%s'; expected a number from 1 to 1024\n", s->command,
                s->threads);
        return false;
    }
    if (s->part != NULL && (!whole_number(s->part, &end, 1, MANY_RUNS, &part) || *end != '/' ||
                            !whole_number(end + 1, &end, 1, MANY_RUNS, &parts) || *end != '\0' || part > parts)) {
        fprintf(stderr, "clayquench %s: error: --part '%s'; expected I/N with I from 1 to N, for instance 2/3\n",
                s->command, s->part);
        return false;
    }
    if (s->part != NULL && s->folder == NULL) {
        fprintf(stderr, "clayquench %s: error: --part without -o: a part is kept in a file and joined by 'merge'\n",
                s->command);
        return false;
    }
    s->options = (cq_study_options){.threads = (int)threads, .part = part, .parts = parts};
    return true;
}

/* ---- one plan ---------------------------------------------------------------------------------------------------- */

cq_status cq_studying_plan(const char *word, char *path, cq_plan *plan, cq_error *error) {
    enum { PATH = 512 };
    const char *found = cq_path_of(word, "plan", path);
    if (found != path && snprintf(path, PATH, "%s", found) >= PATH) {
        return cq_error_say(error, CQ_ERR_FILE, "", "a path of 511 bytes at most", "go into its folder first",
                            "'%.60s...'", found);
    }
    return cq_plan_read(plan, path, cq_search_default(), error);
}

cq_study_about cq_studying_about(const char *kind, const cq_plan *plan) {
    return (cq_study_about){.kind = kind,
                            .plans_n = 1,
                            .plan_names = (const char *const *)&plan->title,
                            .plan_texts = (const char *const *)&plan->text,
                            .profiles_n = plan->profiles_n,
                            .profile_names = plan->profile_names,
                            .profile_texts = plan->profile_texts,
                            .part = 1,
                            .parts = 1};
}

/* ---- progress ---------------------------------------------------------------------------------------------------- */

typedef struct studying_sink {
    cq_study_file *file;
    bool visible, drawn;
    double begun_s;
    size_t done_before; /* rows an earlier call had made */
    bool (*enough)(void *context, size_t through);
    void *context;
    size_t ended;
} studying_sink;

static double now_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void draw(const studying_sink *s, size_t done, size_t planned) {
    const double share = planned > 0 ? (double)done / (double)planned : 1.0, taken_s = now_s() - s->begun_s;
    const size_t made = done - s->done_before;
    char bar[BAR_WIDTH + 1], left[48] = "";
    for (int i = 0; i < BAR_WIDTH; i++) {
        bar[i] = i < (int)(share * BAR_WIDTH) ? '=' : ' ';
    }
    bar[BAR_WIDTH] = '\0';
    if (made > 0) {
        const double left_s = taken_s * (double)(planned - done) / (double)made;
        snprintf(left, sizeof left, left_s < 90.0 ? ", %.0f s left" : ", %.0f min left",
                 left_s < 90.0 ? left_s : left_s / 60.0);
    }
    fprintf(stderr, "\r[%s] %zu of at most %zu runs%s\033[K", bar, done, planned, left);
}

static bool on_progress(void *context, size_t done, size_t planned) {
    studying_sink *s = context;
    if (s->visible) {
        draw(s, done, planned);
        s->drawn = true;
    }
    return !cq_interrupted();
}

static cq_status on_row(void *context, size_t run, const cq_row *row, cq_error *error) {
    const studying_sink *s = context;
    return s->file == NULL ? CQ_OK : cq_study_file_keep(s->file, run, row, error);
}

static bool on_block(void *context, size_t through) {
    studying_sink *s = context;
    if (s->enough(s->context, through)) {
        s->ended = through;
        return true;
    }
    return false;
}

/* ---- carrying out ------------------------------------------------------------------------------------------------ */

/* Each message once, with the first run that failed so and how many did. */
static void tell_failures(const cq_study_table *table, size_t n) {
    struct {
        size_t run, runs;
    } told[MESSAGES_TOLD];
    size_t messages = 0, others = 0;
    for (size_t run = 0; run < n; run++) {
        if (table->row[run].state != CQ_ROW_FAILED) {
            continue;
        }
        size_t m = 0;
        while (m < messages && strcmp(table->row[told[m].run].message, table->row[run].message) != 0) {
            m++;
        }
        if (m == MESSAGES_TOLD) {
            others++;
        } else if (m == messages) {
            told[messages].run = run;
            told[messages++].runs = 1;
        } else {
            told[m].runs++;
        }
    }
    for (size_t m = 0; m < messages; m++) {
        char more[48] = "";
        if (told[m].runs > 1) {
            snprintf(more, sizeof more, " and %zu more", told[m].runs - 1);
        }
        fprintf(stderr, "clayquench: run %zu%s failed: %s\n", told[m].run, more, table->row[told[m].run].message);
    }
    if (others > 0) {
        fprintf(stderr, "clayquench: %zu more of %zu runs failed; their messages stand in the file\n", others, n);
    }
}

static int tell_interrupted(const cq_studying *s, const cq_study_table *table) {
    const size_t done = table->runs_n - cq_study_table_count(table, table->runs_n, CQ_ROW_OPEN);
    fprintf(stderr, "clayquench: interrupted after %zu runs", done);
    if (s->folder != NULL) {
        fprintf(stderr, "; they are in %s/study.h5, the same command goes on from there", s->folder);
    } else {
        fputs("; nothing was kept: with -o DIR every run is, and the same command goes on from there", stderr);
    }
    fputs("\n", stderr);
    return CQ_EXIT_INTERRUPTED;
}

static cq_status open_file(const cq_studying *s, const cq_study_about *about, cq_study_table *table,
                           cq_study_file **file, cq_error *error) {
    char path[4096];
    if (s->folder == NULL) {
        return CQ_OK;
    }
    if (snprintf(path, sizeof path, "%s/study.h5", s->folder) >= (int)sizeof path) {
        return cq_error_say(error, CQ_ERR_FILE, "", "a shorter path", NULL, "'%.100s...' is too long", s->folder);
    }
    const cq_status status = cq_folder_make(s->folder, error);
    return status < 0 ? status : cq_study_file_open(file, path, about, table, error);
}

static bool allowed(const cq_studying *s, size_t runs_n) {
    if (runs_n > MANY_RUNS && s->yes == NULL) {
        fprintf(stderr, "clayquench %s: error: %zu runs, more than a million; --yes if that is meant\n", s->command,
                runs_n);
        return false;
    }
    return true;
}

static cq_status carry_out(const cq_studying *s, cq_study_table *table, const cq_study_source *source,
                           studying_sink *sink, cq_error *error) {
    sink->done_before = 0;
    for (size_t run = s->options.parts > 1 ? s->options.part - 1 : 0;
         run<table->runs_n; run += s->options.parts> 1 ? s->options.parts : 1) {
        sink->done_before += table->row[run].state != CQ_ROW_OPEN;
    }
    sink->begun_s = now_s();
    sink->visible = !s->quiet && isatty(STDERR_FILENO);
    const cq_status status =
        cq_study_go(table, source, &s->options,
                    &(cq_study_sink){on_row, on_progress, sink->enough != NULL ? on_block : NULL, sink}, error);
    if (sink->drawn) {
        fputs("\r\033[K", stderr);
    }
    return status;
}

int cq_studying_go(const cq_studying *s, const cq_study_about *about, cq_study_table *table,
                   const cq_study_source *source, bool (*enough)(void *context, size_t through), void *context,
                   size_t *ended) {
    cq_error error = CQ_ERROR_INIT;
    studying_sink sink = {.enough = enough, .context = context, .ended = table->runs_n};
    if (!allowed(s, table->runs_n)) {
        return CQ_EXIT_USAGE;
    }
    cq_interrupt_watch();
    cq_status status = open_file(s, about, table, &sink.file, &error);
    status = status < 0 ? status : carry_out(s, table, source, &sink, &error);
    if (status >= 0 && sink.file != NULL && sink.ended < table->runs_n) {
        status = cq_study_file_end(sink.file, sink.ended, &error);
    }
    const cq_status closed = cq_study_file_close(sink.file, &error);
    status = status < 0 ? status : closed;
    if (status == CQ_ERR_CANCELLED) {
        cq_error_clear(&error);
        return tell_interrupted(s, table);
    }
    if (status >= 0) {
        tell_failures(table, sink.ended);
        *ended = sink.ended;
    }
    return cq_exit_complaining(status, &error);
}
