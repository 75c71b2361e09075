/* lesson_page.c - the lesson as a page: how to use it, its sections in order, cautions, what it cannot tell, words,
 * sources, and for paper the answers and the plans.
 */
#include <clayquench/report_lesson.h>

#include "report/json_parts.h"
#include "report/lesson_telling.h"

#include <stdio.h>
#include <string.h>

/* ---- the rest ---------------------------------------------------------------------------------------------------- */

static void tell_hours(cq_page *page) {
    static const char *const heads[] = {"minutes", "part", "what to do"};
    static const double widths[] = {0.8, 2.2, 4.0};
    static const char *const cells[] = {"5",
                                        "1. One knife, two edges",
                                        "show the two sections without the table; let the class vote",
                                        "10",
                                        "2. Why does water cool bare steel slowly?",
                                        "follow the dots with a finger, second by second",
                                        "8",
                                        "3. Why is fast hard?",
                                        "read where each curve crosses the grey ones",
                                        "6",
                                        "4. How thin is thin?",
                                        "guess the valley of 20\u00a0°C water, then run it",
                                        "5",
                                        "5. What does manganese do?",
                                        "find it on a batch certificate",
                                        "4",
                                        "6. What do 20\u00a0°C of soak do?",
                                        "name the side of the cliff one must stand on",
                                        "7",
                                        "7. Why does a long blade dip before it curves?",
                                        "bend a strip of card for each of the four things"};
    const cq_page_table table = {"A class of 45 minutes", 3, 7, heads, cells, widths, false, false};
    cq_page_section(page, "hours", "How to use this page");
    cq_lesson_say(
        page,
        "Every chart and every number was computed by clayquench when this page was written, from plans that come "
        "with the program. Under each stands what to type to get it again, and the plan itself to change. Answers "
        "are folded away; on paper they stand at the end.");
    cq_page_put_table(page, &table);
}

static void tell_cautions(cq_page *page, cq_teaching *t) {
    const json_t *all = cq_telling_at(&t->telling, "knife.0.cautions");
    const char *items[16];
    size_t n = 0;
    for (; n < json_array_size(all) && n < 16; n++) {
        cq_text text = {NULL, 0, 0, false};
        cq_page_plain(&text, json_string_value(json_array_get(all, n)), false);
        items[n] = cq_telling_keep(&t->telling, &text);
    }
    cq_page_section(page, "mind", "If you quench for real");
    cq_page_list(page, n, items, true);
}

static void tell_end(cq_page *page, cq_teaching *t) {
    cq_page_section(page, "limits", "What this page cannot tell");
    static const char *const limits[] = {
        "All of it is computed and none of it was measured on these knives. Orders of size and directions are what it "
        "is "
        "good for; millimetres are to be fitted to your own test pieces.",
        "Steam films are fickle. Scale, grease, dissolved air and the way a blade is moved change when a film "
        "collapses; the program takes still water and clean scale.",
        "No public report gives a line's height together with clay, section and bath, so heights could not be checked "
        "against any.",
        "The curve's sign and its dips agree with what is reported; its final size need not."};
    cq_page_list(page, 4, limits, false);
    cq_page_section(page, "words", "Words");
    cq_page_terms(page, cq_lesson_terms_n, cq_lesson_terms);
    cq_page_section(page, "sources", "Sources");
    cq_lesson_say(
        page,
        "Profiles behind the runs, with the keys of their sources; the program's references.bib tells what each is.");
    const cq_plan *plans[CQ_LESSON_PARTS];
    for (int part = 0; part < CQ_LESSON_PARTS; part++) {
        plans[part] = cq_lesson_result(t, (cq_lesson_part)part, 0)->plan;
    }
    cq_list_sources(page, &t->telling, plans, CQ_LESSON_PARTS);
    cq_page_paper(page, "answers", "Answers");
    cq_page_list(page, t->answers_n, t->answers, false);
    cq_page_paper(page, "plans", "The plans");
    for (int part = 0; part < CQ_LESSON_PARTS; part++) {
        bool told = false;
        const char *name = cq_lesson_script_of((cq_lesson_part)part)->plan;
        for (int before = 0; before < part; before++) {
            told = told || strcmp(cq_lesson_script_of((cq_lesson_part)before)->plan, name) == 0;
        }
        if (!told) {
            cq_page_listing(page, name, cq_lesson_plain_plan(t, (cq_lesson_part)part));
        }
    }
}

static void write_page(cq_page *page, void *context) {
    cq_teaching *t = context;
    cq_text lead = {NULL, 0, 0, false};
    memset(t->plan_told, 0, sizeof t->plan_told);
    t->answers_n = 0;
    cq_text_add(&lead, "A wash of clay thinner than paper gives this edge ");
    cq_hardness_add(&lead, &t->telling, "knife.0.edge");
    cq_text_add(&lead, ". Left bare, the same edge in the same warm water comes out at ");
    cq_hardness_add(&lead, &t->telling, "bare.0.edge");
    cq_text_add(&lead, ", too soft to cut. Two millimetres of the same clay keep the back soft. How can clay do both?");
    cq_page_title(page, "A lesson of 45 minutes, computed by clayquench: estimates, not clearances",
                  "Why thin clay hardens the edge", cq_telling_keep(&t->telling, &lead));
    tell_hours(page);
    cq_lesson_tell_water(page, t);
    cq_lesson_tell_steel(page, t);
    tell_cautions(page, t);
    tell_end(page, t);
}

/* ---- the numbers ------------------------------------------------------------------------------------------------- */

static json_t *run_json(const cq_lesson_run *one) {
    char *text = NULL;
    json_t *root = cq_report_json(one->result, &text) < 0 ? NULL : json_loads(text, 0, NULL);
    cq_memory_free(text);
    if (root != NULL && json_object_set_new(root, "fall_s", cq_json_number(one->fall_s)) != 0) {
        json_decref(root);
        return NULL;
    }
    return root;
}

static json_t *lesson_json(const cq_lesson *l) {
    json_t *root = json_object();
    for (int part = 0; root != NULL && part < CQ_LESSON_PARTS; part++) {
        json_t *runs = json_array();
        for (size_t n = 0; n < l->n[part]; n++) {
            runs = cq_json_appended(runs, run_json(&l->run[part][n]));
        }
        if (json_object_set_new(root, cq_lesson_script_of((cq_lesson_part)part)->name, runs) != 0) {
            json_decref(root);
            return NULL;
        }
    }
    return root;
}

static bool is_whole(const cq_lesson *l) {
    bool whole = true;
    for (int part = 0; part < CQ_LESSON_PARTS; part++) {
        whole = whole && l->n[part] > 0;
    }
    return whole;
}

cq_status cq_lesson_page(const cq_lesson *lesson, cq_page_medium medium, cq_paper paper, unsigned char **bytes,
                         size_t *length, cq_page_gaps *gaps, cq_error *error) {
    if (!is_whole(lesson)) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "", "runs of every part", "", "a lesson without some of its runs");
    }
    static const cq_report_wish none = {.beside = NULL};
    json_t *root = lesson_json(lesson);
    cq_teaching t = {.telling = {.result = lesson->run[CQ_LESSON_KNIFE][0].result,
                                 .root = root,
                                 .wish = &none,
                                 .arena = cq_arena_create()},
                     .lesson = lesson};
    const cq_page_wish wish = {.medium = medium,
                               .paper = paper,
                               .title = "Why thin clay hardens the edge · clayquench lesson",
                               .description = "A lesson on clay, water and steel, told from computed quenches",
                               .foot = CQ_PAGE_FOOT};
    cq_status status = root == NULL || t.telling.arena == NULL
                           ? CQ_ERR_MEMORY
                           : cq_page_make(&wish, write_page, &t, bytes, length, gaps);
    if (status >= 0 && t.telling.failed) {
        cq_memory_free(*bytes);
        *bytes = NULL;
        status = CQ_ERR_MEMORY;
    }
    json_decref(root);
    cq_arena_free(t.telling.arena);
    return status < 0 ? cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status)) : CQ_OK;
}
