/* progress.c - shows how far a run is, and lets Ctrl-C stop it cleanly. */
#include "cli/cli.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { BAR_WIDTH = 32 };
#define SHOW_AFTER_S 0.3 /* a run shorter than this needs no bar */
#define REDRAW_S 0.1

static volatile sig_atomic_t interrupted;

static void on_signal(int number) {
    (void)number;
    interrupted = 1;
}

void cq_interrupt_watch(void) {
    struct sigaction action;
    memset(&action, 0, sizeof action);
    action.sa_handler = on_signal;
    action.sa_flags = SA_RESTART; /* a file being written is written to its end */
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
}

bool cq_interrupted(void) {
    return interrupted != 0;
}

static double now_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

void cq_progress_begin(cq_progress *progress, bool wanted) {
    progress->visible = wanted && isatty(STDERR_FILENO);
    progress->begun_s = now_s();
    progress->drawn_s = 0.0;
}

static void draw(const cq_view *view) {
    if (!(view->end_time_s > 0.0)) {
        fprintf(stderr, "\r%.2f s", view->time_s);
        return;
    }
    double share = view->time_s / view->end_time_s;
    if (share > 1.0) {
        share = 1.0;
    }
    char bar[BAR_WIDTH + 1];
    for (int i = 0; i < BAR_WIDTH; i++) {
        bar[i] = i < (int)(share * BAR_WIDTH) ? '=' : ' ';
    }
    bar[BAR_WIDTH] = '\0';
    fprintf(stderr, "\r[%s] %3.0f %%  %.2f s of about %.1f s", bar, 100.0 * share, view->time_s, view->end_time_s);
}

bool cq_progress_step(void *context, const cq_view *view) {
    cq_progress *progress = context;
    if (progress->visible) {
        double now = now_s();
        if (now - progress->begun_s > SHOW_AFTER_S && now - progress->drawn_s > REDRAW_S) {
            draw(view);
            progress->drawn_s = now;
        }
    }
    return !cq_interrupted();
}

void cq_progress_end(cq_progress *progress) {
    if (progress->drawn_s > 0.0) {
        fputs("\r\033[K", stderr);
    }
}
