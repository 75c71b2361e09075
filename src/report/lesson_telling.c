/* lesson_telling.c - see lesson_telling.h. */
#include "report/lesson_telling.h"

#include <string.h>

void cq_lesson_say(cq_page *page, const char *text) {
    cq_page_text(page, text);
}

const cq_result *cq_lesson_result(const cq_teaching *t, cq_lesson_part part, size_t n) {
    return t->lesson->run[part][n].result;
}

static const char *text_of(const cq_teaching *t, cq_lesson_part part) {
    return cq_lesson_result(t, part, 0)->plan->text;
}

/* The plan as its file has it: what --vary added stands behind it as comments. */
const char *cq_lesson_plain_plan(cq_teaching *t, cq_lesson_part part) {
    const char *whole = text_of(t, part), *added = strstr(whole, "\n# --vary");
    cq_text text = {NULL, 0, 0, false};
    if (added == NULL) {
        cq_text_add(&text, "%s", whole);
    } else {
        cq_text_add(&text, "%.*s\n", (int)(added - whole), whole);
    }
    return cq_telling_keep(&t->telling, &text);
}

void cq_lesson_try(cq_page *page, cq_teaching *t, cq_lesson_part part, const char *command) {
    const char *name = cq_lesson_script_of(part)->plan;
    bool told = false;
    for (int p = 0; p < CQ_LESSON_PARTS; p++) {
        told = told || (t->plan_told[p] && strcmp(cq_lesson_script_of((cq_lesson_part)p)->plan, name) == 0);
    }
    t->plan_told[part] = true;
    const cq_page_plan plan = {name, command, told ? NULL : cq_lesson_plain_plan(t, part)};
    cq_page_put_plan(page, &plan);
}

void cq_lesson_plan(cq_page *page, cq_teaching *t, cq_lesson_part part) {
    const cq_lesson_script *script = cq_lesson_script_of(part);
    cq_text command = {NULL, 0, 0, false};
    cq_text_add(&command, "clayquench %s %s", script->vary[0] == NULL ? "quench" : "compare", script->plan);
    for (size_t n = 0; n < CQ_LESSON_SPECS && script->vary[n] != NULL; n++) {
        cq_text_add(&command, " --vary '%s'", script->vary[n]);
    }
    cq_text_add(&command, "%s", script->vary[0] == NULL ? " -o out" : "");
    cq_lesson_try(page, t, part, cq_telling_keep(&t->telling, &command));
}

/* A question with its answer; `answer` is kept for paper. */
void cq_lesson_ask(cq_page *page, cq_teaching *t, const char *question, cq_text *answer) {
    const size_t n = t->answers_n + 1;
    const char *kept = cq_telling_keep(&t->telling, answer);
    cq_page_question(page, cq_telling_say(&t->telling, CQ_MARK_STRONG "Question %zu." CQ_MARK_WEAK " %s", n, question),
                     kept);
    if (t->answers_n < CQ_LESSON_QUESTIONS) {
        cq_text again = {NULL, 0, 0, false};
        cq_text_add(&again, CQ_MARK_STRONG "%zu." CQ_MARK_WEAK " %s", n, kept);
        t->answers[t->answers_n++] = cq_telling_keep(&t->telling, &again);
    }
}

void cq_lesson_chart(cq_page *page, const cq_teaching *t, cq_page_draw *draw, const char *alt, const char *caption) {
    const cq_page_figure figure = {CQ_FIGURE_WIDTH, cq_chart_figure_tall(), draw, t->lesson, alt, caption, false};
    cq_page_put_figure(page, &figure);
}

const char *cq_lesson_hardness(cq_teaching *t, const char *place) {
    cq_text text = {NULL, 0, 0, false};
    cq_hardness_add(&text, &t->telling, place);
    return cq_telling_keep(&t->telling, &text);
}

const char *cq_lesson_number(cq_teaching *t, cq_shown_as how, const char *key) {
    cq_text text = {NULL, 0, 0, false};
    cq_number_add(&text, &t->telling, how, "%s", key);
    return cq_telling_keep(&t->telling, &text);
}

/* "plate.1.fall_s" */
const char *cq_lesson_key(cq_teaching *t, cq_lesson_part part, size_t n, const char *key) {
    return cq_telling_say(&t->telling, "%s.%zu.%s", cq_lesson_script_of(part)->name, n, key);
}
