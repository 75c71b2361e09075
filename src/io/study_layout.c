/* study_layout.c - a study as the bytes of its file. */
#include "io/study_layout.h"

#include "base/memory.h"
#include "io/result.h"

#include <stdio.h>
#include <string.h>

/* ---- records ----------------------------------------------------------------------------------------------------- */

static hid_t state_type(void) {
    static const struct {
        const char *name;
        uint8_t state;
    } states[] = {{"open", CQ_ROW_OPEN}, {"done", CQ_ROW_DONE}, {"failed", CQ_ROW_FAILED}};
    hid_t type = H5Tenum_create(H5T_NATIVE_UINT8);
    for (size_t n = 0; n < sizeof states / sizeof states[0]; n++) {
        H5Tenum_insert(type, states[n].name, &states[n].state);
    }
    return type;
}

hid_t cq_study_record_type(void) {
    hid_t type = H5Tcreate(H5T_COMPOUND, CQ_RECORD_SIZE), message = H5Tcopy(H5T_C_S1), state = state_type();
    for (int f = 0; f < CQ_FIGURES; f++) {
        H5Tinsert(type, cq_figure_name((cq_figure)f), 8 * (size_t)f, H5T_NATIVE_DOUBLE);
    }
    H5Tset_size(message, CQ_ROW_MESSAGE);
    H5Tset_cset(message, H5T_CSET_UTF8);
    H5Tinsert(type, "message", 8 * CQ_FIGURES, message);
    H5Tinsert(type, "state", CQ_RECORD_STATE_AT, state);
    H5Tclose(message);
    H5Tclose(state);
    return type;
}

void cq_study_record_of(unsigned char record[CQ_RECORD_SIZE], const cq_row *row) {
    memcpy(record, row->value, sizeof row->value);
    memset(record + sizeof row->value, 0, CQ_ROW_MESSAGE);
    memcpy(record + sizeof row->value, row->message, strnlen(row->message, CQ_ROW_MESSAGE - 1));
    record[CQ_RECORD_STATE_AT] = (unsigned char)row->state;
}

void cq_study_record_read(cq_row *row, const unsigned char record[CQ_RECORD_SIZE]) {
    const unsigned state = record[CQ_RECORD_STATE_AT];
    row->state = state == CQ_ROW_DONE || state == CQ_ROW_FAILED ? (cq_row_state)state : CQ_ROW_OPEN;
    memcpy(row->value, record, sizeof row->value);
    memcpy(row->message, record + sizeof row->value, CQ_ROW_MESSAGE);
    row->message[CQ_ROW_MESSAGE - 1] = '\0';
}

/* ---- writing the whole ------------------------------------------------------------------------------------------- */

/* The profile whose name comes next after `last`; profiles_n behind the last one. In the order of names, as a file is
 * read, so that a file that was read and is written again has the same bytes. */
static size_t next_profile(const cq_study_about *about, const char *last) {
    size_t next = about->profiles_n;
    for (size_t p = 0; p < about->profiles_n; p++) {
        const char *name = about->profile_names[p];
        if ((last == NULL || strcmp(name, last) > 0) &&
            (next == about->profiles_n || strcmp(name, about->profile_names[next]) < 0)) {
            next = p;
        }
    }
    return next;
}

static void put_texts(cq_h5 *h5, const cq_study_about *about) {
    hid_t plans = cq_h5_group(h5, h5->file, "plans"), profiles = cq_h5_group(h5, h5->file, "profiles");
    for (size_t p = 0; p < about->plans_n && plans >= 0; p++) {
        char number[32];
        snprintf(number, sizeof number, "%zu", p);
        cq_h5_text(h5, plans, number, about->plan_texts[p], "a plan as it was read");
        hid_t set = H5Dopen2(plans, number, H5P_DEFAULT);
        cq_h5_attribute(h5, set, "name", about->plan_names[p]);
        H5Dclose(set);
    }
    for (size_t p = next_profile(about, NULL); p < about->profiles_n && profiles >= 0;
         p = next_profile(about, about->profile_names[p])) {
        cq_h5_text(h5, profiles, about->profile_names[p], about->profile_texts[p],
                   "a profile the plans use, as it was read");
    }
    H5Gclose(plans);
    H5Gclose(profiles);
}

static void put_axis(cq_h5 *h5, hid_t axes, size_t n, const cq_study_axis *axis) {
    char number[32];
    cq_text words = {NULL, 0, 0, false};
    snprintf(number, sizeof number, "%zu", n);
    cq_text_add(&words, "%s", "");
    for (size_t w = 0; w < axis->n; w++) {
        cq_text_add(&words, "%s%s", w > 0 ? "\n" : "", axis->words[w]);
    }
    hid_t type = H5Tcopy(H5T_C_S1);
    H5Tset_size(type, words.failed ? 1 : strlen(words.bytes) + 1);
    H5Tset_cset(type, H5T_CSET_UTF8);
    hid_t set = words.failed ? -1 : cq_h5_set(h5, axes, number, type, 0, NULL, axis->unit, axis->meaning, "");
    h5->failed = h5->failed || set < 0;
    if (set >= 0) {
        cq_h5_note(h5, H5Dwrite(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, words.bytes));
        cq_h5_attribute(h5, set, "key", axis->key);
        cq_h5_attribute_count(h5, set, "words", axis->n);
        H5Dclose(set);
    }
    H5Tclose(type);
    cq_memory_free(words.bytes);
}

static void put_about(cq_h5 *h5, const cq_study_about *about) {
    cq_h5_attribute(h5, h5->file, "format", CQ_STUDY_FORMAT);
    cq_h5_attribute_number(h5, h5->file, "version", CQ_STUDY_VERSION);
    cq_h5_attribute(h5, h5->file, "kind", about->kind);
    cq_h5_attribute(h5, h5->file, "settings", about->settings);
    cq_h5_attribute_count(h5, h5->file, "seed", about->seed);
    cq_h5_attribute_count(h5, h5->file, "part", about->part);
    cq_h5_attribute_count(h5, h5->file, "parts", about->parts);
    put_texts(h5, about);
    hid_t axes = cq_h5_group(h5, h5->file, "axes");
    for (size_t n = 0; n < about->axes_n && axes >= 0; n++) {
        put_axis(h5, axes, n, &about->axes[n]);
    }
    H5Gclose(axes);
}

/* Space is given out at once, so that every record has its place from the beginning. */
static void put_runs(cq_h5 *h5, const cq_study_table *table, uint64_t ended) {
    const hsize_t n = table->runs_n, inputs[2] = {table->runs_n, table->inputs_n};
    unsigned char *records = cq_memory_zero(table->runs_n, CQ_RECORD_SIZE);
    hid_t type = cq_study_record_type();
    H5Pset_alloc_time(h5->plain, H5D_ALLOC_TIME_EARLY);
    hid_t runs = cq_h5_set(h5, h5->file, "runs", type, 1, &n, "", "what came of each run", "run"),
          end = cq_h5_set(h5, h5->file, "ended", H5T_NATIVE_UINT64, 0, NULL, "1",
                          "runs after which it was enough, 0: not known", "");
    h5->failed = h5->failed || records == NULL || runs < 0 || end < 0;
    if (!h5->failed) {
        for (size_t run = 0; run < table->runs_n; run++) {
            cq_study_record_of(records + run * CQ_RECORD_SIZE, &table->row[run]);
        }
        cq_h5_note(h5, H5Dwrite(runs, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, records));
        cq_h5_note(h5, H5Dwrite(end, H5T_NATIVE_UINT64, H5S_ALL, H5S_ALL, H5P_DEFAULT, &ended));
        for (int f = 0; f < CQ_FIGURES; f++) {
            char name[64];
            snprintf(name, sizeof name, "unit_%s", cq_figure_name((cq_figure)f));
            cq_h5_attribute(h5, runs, name, cq_figure_unit((cq_figure)f));
        }
    }
    if (runs >= 0) {
        H5Dclose(runs);
    }
    if (end >= 0) {
        H5Dclose(end);
    }
    H5Tclose(type);
    cq_memory_free(records);
    if (table->inputs_n > 0) {
        cq_h5_put(h5, h5->file, "inputs", 2, inputs, table->inputs, "", "what was varied, in the order of axes",
                  "run input");
    }
}

char *cq_study_image(const cq_study_about *about, const cq_study_table *table, uint64_t ended, size_t *length) {
    cq_h5 h5;
    cq_h5_begin(&h5);
    if (!h5.failed) {
        put_about(&h5, about);
        put_runs(&h5, table, ended);
    }
    char *image = cq_h5_image(&h5, length);
    cq_h5_end(&h5);
    return image;
}

/* ---- places ------------------------------------------------------------------------------------------------------ */

static bool place_of(hid_t file, const char *name, uint64_t *place) {
    hid_t set = H5Dopen2(file, name, H5P_DEFAULT);
    const haddr_t at = set < 0 ? HADDR_UNDEF : H5Dget_offset(set);
    if (set >= 0) {
        H5Dclose(set);
    }
    *place = at;
    return at != HADDR_UNDEF;
}

cq_status cq_study_places_of(cq_study_places *places, const char *path, cq_error *error) {
    cq_h5_silence silence;
    cq_h5_silence_begin(&silence);
    hid_t file = cq_h5_open(path);
    const bool found = file >= 0 && place_of(file, "runs", &places->runs) && place_of(file, "ended", &places->ended);
    if (file >= 0) {
        H5Fclose(file);
    }
    cq_h5_silence_end(&silence);
    return found ? CQ_OK
                 : cq_error_say(error, CQ_ERR_FORMAT, "", "a study's file", "", "%.150s is damaged or none", path);
}

/* ---- comparing --------------------------------------------------------------------------------------------------- */

static bool same_texts(size_t n, const char *const *a, const char *const *b) {
    for (size_t i = 0; i < n; i++) {
        if (strcmp(a[i], b[i]) != 0) {
            return false;
        }
    }
    return true;
}

/* Whatever their order: a file has them by name, a plan as it met them. */
static bool same_profiles(const cq_study_about *a, const cq_study_about *b) {
    bool same = a->profiles_n == b->profiles_n;
    for (size_t p = 0; same && p < a->profiles_n; p++) {
        size_t q = 0;
        while (q < b->profiles_n && strcmp(a->profile_names[p], b->profile_names[q]) != 0) {
            q++;
        }
        same = q < b->profiles_n && strcmp(a->profile_texts[p], b->profile_texts[q]) == 0;
    }
    return same;
}

static bool same_axes(const cq_study_about *a, const cq_study_about *b) {
    bool same = a->axes_n == b->axes_n;
    for (size_t n = 0; same && n < a->axes_n; n++) {
        const cq_study_axis *x = &a->axes[n], *y = &b->axes[n];
        same = strcmp(x->key, y->key) == 0 && x->n == y->n && same_texts(x->n, x->words, y->words);
    }
    return same;
}

const char *cq_study_difference(const cq_study_about *a, const cq_study_about *b, bool parts) {
    if (strcmp(a->kind, b->kind) != 0) {
        return "kind of study";
    }
    if (a->plans_n != b->plans_n || !same_texts(a->plans_n, a->plan_texts, b->plan_texts)) {
        return "plan";
    }
    if (!same_profiles(a, b)) {
        return "profiles the plan uses";
    }
    if (!same_axes(a, b)) {
        return "keys varied";
    }
    if (a->runs_n != b->runs_n) {
        return "number of runs";
    }
    if (a->seed != b->seed) {
        return "seed";
    }
    if (strcmp(a->settings, b->settings) != 0) {
        return "options";
    }
    return parts && (a->part != b->part || a->parts != b->parts) ? "part" : NULL;
}
