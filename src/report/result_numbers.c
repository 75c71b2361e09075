/* result_numbers.c - see result_numbers.h. */
#include "report/result_numbers.h"

#include "report/quantities.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY = 96 };
static const char DASH[] = "–";

const json_t *cq_telling_at(const cq_telling *t, const char *key) {
    const json_t *at = t->root;
    while (at != NULL && *key != '\0') {
        char word[KEY];
        const size_t n = strcspn(key, ".");
        snprintf(word, sizeof word, "%.*s", (int)n, key);
        at = json_is_array(at) ? json_array_get(at, strtoul(word, NULL, 10)) : json_object_get(at, word);
        key += n + (key[n] == '.' ? 1 : 0);
    }
    return at;
}

double cq_telling_number(const cq_telling *t, const char *key) {
    const json_t *at = cq_telling_at(t, key);
    return json_is_number(at) ? json_number_value(at) : NAN;
}

const char *cq_telling_words(const cq_telling *t, const char *key) {
    return json_string_value(cq_telling_at(t, key));
}

static const char *how_words(cq_shown_as how) {
    static const char *const words[] = {"mm", "+mm", "mm-size", "in64", "C",  "F",    "0",
                                        "1",  "2",   "%",       "%2",   "%1", "share"};
    return words[how];
}

static void shown(double v, cq_shown_as how, char to[CQ_QUANTITY]) {
    switch (how) {
    case CQ_AS_MM:
    case CQ_AS_TENTH:
        snprintf(to, CQ_QUANTITY, "%.1f", v);
        break;
    case CQ_AS_SIGNED_MM:
        snprintf(to, CQ_QUANTITY, fabs(v) < 0.05 ? "0.0" : "%+.1f", v);
        break;
    case CQ_AS_SIZE_MM:
        snprintf(to, CQ_QUANTITY, "%.1f", fabs(v));
        break;
    case CQ_AS_INCH_64:
        cq_inch_fraction(fabs(1e-3 * v), to);
        break;
    case CQ_AS_CELSIUS:
    case CQ_AS_WHOLE:
        snprintf(to, CQ_QUANTITY, "%.0f", v);
        break;
    case CQ_AS_FAHRENHEIT:
        snprintf(to, CQ_QUANTITY, "%.0f", 1.8 * v + 32.0);
        break;
    case CQ_AS_HUNDREDTH:
        snprintf(to, CQ_QUANTITY, "%.2f", fabs(v) < 0.005 ? 0.0 : v);
        break;
    case CQ_AS_PERCENT_1:
        snprintf(to, CQ_QUANTITY, "%.1f", 100.0 * v);
        break;
    case CQ_AS_SHARE:
        snprintf(to, CQ_QUANTITY, "%.0f", 100.0 * fmax(0.0, v));
        break;
    case CQ_AS_PERCENT:
        snprintf(to, CQ_QUANTITY, "%.0f", 100.0 * v);
        break;
    default:
        snprintf(to, CQ_QUANTITY, "%.2g", 100.0 * v);
        break;
    }
}

static void add_number(cq_text *text, const cq_telling *t, cq_shown_as how, const char *key) {
    char words[CQ_QUANTITY];
    const double v = cq_telling_number(t, key);
    if (isnan(v)) {
        cq_text_add(text, CQ_MARK_NUMBER "%s|%s|null" CQ_MARK_SHOWN "%s" CQ_MARK_END, key, how_words(how), DASH);
        return;
    }
    shown(v, how, words);
    cq_text_add(text, CQ_MARK_NUMBER "%s|%s|%.12g" CQ_MARK_SHOWN "%s" CQ_MARK_END, key, how_words(how), v, words);
}

void cq_number_add(cq_text *text, const cq_telling *t, cq_shown_as how, const char *key_format, ...) {
    char key[KEY];
    va_list arguments;
    va_start(arguments, key_format);
    vsnprintf(key, sizeof key, key_format, arguments);
    va_end(arguments);
    add_number(text, t, how, key);
}

void cq_length_add(cq_text *text, const cq_telling *t, const char *key) {
    add_number(text, t, CQ_AS_MM, key);
    if (!isnan(cq_telling_number(t, key))) {
        cq_text_add(text, "\u00a0mm (");
        add_number(text, t, CQ_AS_INCH_64, key);
        cq_text_add(text, "\u00a0in)");
    }
}

void cq_temperature_add(cq_text *text, const cq_telling *t, const char *key) {
    add_number(text, t, CQ_AS_CELSIUS, key);
    if (!isnan(cq_telling_number(t, key))) {
        cq_text_add(text, "\u00a0°C (");
        add_number(text, t, CQ_AS_FAHRENHEIT, key);
        cq_text_add(text, "\u00a0°F)");
    }
}

void cq_hardness_add(cq_text *text, const cq_telling *t, const char *place) {
    char HV[KEY], HRC[KEY];
    snprintf(HV, sizeof HV, "%s.HV", place);
    snprintf(HRC, sizeof HRC, "%s.HRC", place);
    if (isnan(cq_telling_number(t, HV))) {
        add_number(text, t, CQ_AS_WHOLE, HV);
    } else if (isnan(cq_telling_number(t, HRC))) {
        add_number(text, t, CQ_AS_WHOLE, HV);
        cq_text_add(text, "\u00a0HV");
    } else {
        add_number(text, t, CQ_AS_TENTH, HRC);
        cq_text_add(text, "\u00a0HRC (");
        add_number(text, t, CQ_AS_WHOLE, HV);
        cq_text_add(text, "\u00a0HV)");
    }
}

const char *cq_telling_keep(cq_telling *t, cq_text *text) {
    const char *kept =
        text->failed ? NULL : cq_arena_text(t->arena, text->bytes == NULL ? "" : text->bytes, text->length);
    t->failed = t->failed || kept == NULL;
    cq_memory_free(text->bytes);
    *text = (cq_text){NULL, 0, 0, false};
    return kept == NULL ? "" : kept;
}

const char *cq_telling_hardness(cq_telling *t, const char *place) {
    cq_text text = {NULL, 0, 0, false};
    cq_hardness_add(&text, t, place);
    return cq_telling_keep(t, &text);
}

const char *cq_telling_say(cq_telling *t, const char *format, ...) {
    char words[512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "%s", words);
    return cq_telling_keep(t, &text);
}
