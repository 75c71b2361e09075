/* result_really.c - what really came out: lines to fill in by hand beside what was foreseen, and the same as the
 * evidence that `clayquench tune` reads. Hardness and rise are asked for as tune compares them: as quenched, before any
 * temper. The line is foreseen where grinding will leave it; tune holds it against the face before.
 */
#include "report/result_numbers.h"

#include <math.h>

enum { MOST_COLUMNS = 8 };

/* A column: its head, what is foreseen, and its line of evidence; NULL: tune has no such evidence. */
typedef struct column {
    const char *head, *foreseen, *evidence;
    double width;
} column;

typedef struct columns {
    column at[MOST_COLUMNS];
    size_t n;
} columns;

static void add(columns *to, const char *head, double width, const char *foreseen, const char *evidence) {
    to->at[to->n++] = (column){head, foreseen, evidence, width};
}

static const char *line(cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    cq_length_add(&text, t, isnan(cq_telling_number(t, "line.ground_mm")) ? "line.surface_mm" : "line.ground_mm");
    return cq_telling_keep(t, &text);
}

static const char *rise(cq_telling *t) {
    cq_text text = {NULL, 0, 0, false};
    cq_number_add(&text, t, CQ_AS_SIGNED_MM, "curve.rise_mm");
    cq_text_add(&text, "%s", isnan(cq_telling_number(t, "curve.rise_mm")) ? "" : "\u00a0mm");
    return cq_telling_keep(t, &text);
}

static void of_piece(columns *to, cq_telling *t) {
    add(to, "what", 1.0, "foreseen", NULL);
    add(to, "face hardness, as quenched", 1.6, cq_telling_hardness(t, "edge"),
        "{what: hardness, value: ____ HRC, method: rockwell, place: edge, note: face}");
    add(to, "centre hardness, as quenched", 1.6, cq_telling_hardness(t, "body"),
        "{what: hardness, value: ____ HRC, method: rockwell, place: body, note: centre}");
    add(to, "cracked, when", 1.2, "–", NULL);
}

static void of_blade(columns *to, cq_telling *t) {
    const char *height = line(t), *class = cq_telling_words(t, "crack.class");
    add(to, "what", 1.0, "foreseen", NULL);
    add(to, "line at heel", 1.0, height, "{what: line, value: ____ mm, method: caliper, note: at the heel}");
    add(to, "line at middle", 1.0, height, "{what: line, value: ____ mm, method: caliper, note: at the middle}");
    add(to, "line near point", 1.0, height, "{what: line, value: ____ mm, method: caliper, note: near the point}");
    add(to, "edge hardness, as quenched", 1.2, cq_telling_hardness(t, "edge"),
        "{what: hardness, value: ____ HRC, method: rockwell, place: edge}");
    add(to, "spine hardness, as quenched", 1.2, cq_telling_hardness(t, "spine"),
        "{what: hardness, value: ____ HRC, method: rockwell, place: spine}");
    add(to, "rise, as quenched", 0.9, rise(t),
        isnan(cq_telling_number(t, "curve.rise_mm")) ? NULL : "{what: rise, value: ____ mm, method: caliper}");
    add(to, "cracked, when", 1.1, class == NULL ? "–" : cq_telling_say(t, "risk %s", class), NULL);
}

static void put_table(cq_page *page, const columns *all) {
    const char *heads[MOST_COLUMNS], *cells[2 * MOST_COLUMNS];
    double widths[MOST_COLUMNS];
    for (size_t n = 0; n < all->n; n++) {
        heads[n] = all->at[n].head;
        widths[n] = all->at[n].width;
        cells[n] = all->at[n].foreseen;
        cells[all->n + n] = n == 0 ? "came out" : "";
    }
    const cq_page_table table = {.caption = "Fill in by hand; rise: + toward the spine; cracked: seconds after leaving "
                                            "the fire",
                                 .columns = all->n,
                                 .rows = 2,
                                 .heads = heads,
                                 .cells = cells,
                                 .widths = widths,
                                 .blank = true};
    cq_page_put_table(page, &table);
}

static void put_evidence(cq_page *page, cq_telling *t, const columns *all) {
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "format: clayquench-evidence 1\ntitle: What came out\nitems:\n");
    for (size_t n = 0; n < all->n; n++) {
        if (all->at[n].evidence != NULL) {
            cq_text_add(&text, "  - %s\n", all->at[n].evidence);
        }
    }
    cq_page_listing(page, "The same as evidence for tune", cq_telling_keep(t, &text));
}

void cq_tell_really(cq_page *page, cq_telling *t) {
    columns all = {.n = 0};
    if (!t->result->transforming) {
        return; /* nothing is foreseen that could be held against it */
    }
    if (t->result->grid->one_dimensional) {
        of_piece(&all, t);
    } else {
        of_blade(&all, t);
    }
    cq_page_section(page, "really", "What really came out");
    put_table(page, &all);
    cq_page_text(page, "Read hardness and rise before the temper: that is what the program compares. To have it learn "
                       "from them, copy the lines below into a file beside the plan, put what was read in place of "
                       "____, in mm or inch, HRC or HV, take out the lines that were not read, and type 'clayquench "
                       "tune' with the plan and that file.");
    put_evidence(page, t, &all);
}
