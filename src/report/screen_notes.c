/* screen_notes.c - see screen_notes.h. */
#include "report/screen_notes.h"

#include <stdio.h>
#include <string.h>

enum { LIST = 400 };

/* Notices of what a plan asked for or what happens in most runs. */
static bool is_routine(const cq_notice *notice) {
    static const char *const codes[] = {"rim-sloped", "clay-dried",    "start-austenitic",
                                        "wet-blade",  "cooled-in-air", "frames-cut"};
    bool routine = false;
    for (size_t c = 0; c < sizeof codes / sizeof codes[0]; c++) {
        routine = routine || strcmp(notice->code, codes[c]) == 0;
    }
    return routine;
}

size_t cq_notes_news(const cq_result *r) {
    size_t n = 0;
    for (size_t i = 0; i < r->notices_n; i++) {
        n += !is_routine(&r->notices[i]);
    }
    return n;
}

static void append(char list[LIST], const char *between, const char *words) {
    const size_t used = strlen(list);
    snprintf(list + used, LIST - used, "%s%s", used == 0 ? "" : between, words);
}

static void add_notices(cq_text *t, const cq_result *r, const cq_notes_wish *wish) {
    char folded[LIST] = "";
    size_t told = 0;
    for (size_t n = 0; n < r->notices_n; n++) {
        const cq_notice *notice = &r->notices[n];
        const bool routine = is_routine(notice);
        if (routine ? wish->fold_routine : told >= wish->told) {
            if (strstr(folded, notice->code) == NULL) {
                append(folded, ", ", notice->code);
            }
            continue;
        }
        told += !routine;
        char times[32] = "";
        if (notice->count > 1) {
            snprintf(times, sizeof times, " (%zu times)", notice->count);
        }
        cq_paragraph_add(t, CQ_SCREEN_COLUMNS, "* ", "%s: %s%s", notice->code, notice->sentence, times);
    }
    if (folded[0] != '\0') {
        cq_paragraph_add(t, CQ_SCREEN_COLUMNS, "* ", "%s ('clayquench explain WORD', --json)", folded);
    }
}

void cq_notes_add(cq_text *t, const cq_result *r, const cq_notes_wish *wish) {
    char brief[LIST] = "";
    add_notices(t, r, wish);
    for (size_t c = 0; c < r->cautions_n; c++) {
        const bool shorten =
            c >= wish->cautions_whole && r->cautions_brief[c] != NULL && r->cautions_brief[c][0] != '\0';
        if (shorten) {
            append(brief, "; ", r->cautions_brief[c]);
        } else {
            cq_paragraph_add(t, CQ_SCREEN_COLUMNS, "! ", "%s", r->cautions[c]);
        }
    }
    if (brief[0] != '\0') {
        cq_paragraph_add(t, CQ_SCREEN_COLUMNS, "! ", "Also: %s (whole: --json).", brief);
    }
}
