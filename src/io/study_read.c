/* study_read.c - a study's file read back. What it says is trusted no further than its types and sizes go. */
#include "io/h5_read.h"
#include "io/reader.h"
#include "io/study_layout.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOST_RUNS = 100 * 1000 * 1000 };

typedef struct study_source {
    cq_h5_source h5;
    cq_study_read *to;
} study_source;

/* ---- pieces ------------------------------------------------------------------------------------------------------ */

/* Of an open attribute or data set; "" and `failed` if it is none. */
static const char *take_text(study_source *s, hid_t from, bool attribute) {
    const char *text = cq_h5_take_text(&s->h5, from, attribute);
    return text == NULL ? "" : text;
}

static const char *attribute_text(study_source *s, hid_t object, const char *name) {
    hid_t a = object < 0 ? -1 : H5Aopen(object, name, H5P_DEFAULT);
    const char *text = take_text(s, a, true);
    if (a >= 0) {
        H5Aclose(a);
    }
    return text;
}

static uint64_t attribute_count(study_source *s, hid_t object, const char *name) {
    uint64_t value = 0;
    hid_t a = object < 0 ? -1 : H5Aopen(object, name, H5P_DEFAULT);
    s->h5.failed = s->h5.failed || a < 0 || H5Aread(a, H5T_NATIVE_UINT64, &value) < 0;
    if (a >= 0) {
        H5Aclose(a);
    }
    return value;
}

/* Names (attribute `name`, or the data set's own where that is NULL) and texts of a group's data sets. Numbers as names
 * are followed in their order, other names in HDF5's, which is by name. */
static size_t take_texts(study_source *s, const char *group, const char *name_of, const char *const **names,
                         const char *const **texts) {
    H5G_info_t info = {0};
    hid_t from = H5Gopen2(s->h5.file, group, H5P_DEFAULT);
    s->h5.failed = s->h5.failed || from < 0 || H5Gget_info(from, &info) < 0 || info.nlinks > 10000;
    const size_t n = s->h5.failed ? 0 : (size_t)info.nlinks;
    const char **name = cq_h5_take(&s->h5, n + 1, sizeof *name), **text = cq_h5_take(&s->h5, n + 1, sizeof *text);
    s->h5.failed = s->h5.failed || name == NULL || text == NULL;
    for (size_t i = 0; i < n && !s->h5.failed; i++) {
        char link[256];
        if (name_of != NULL) {
            snprintf(link, sizeof link, "%zu", i);
        } else if (H5Lget_name_by_idx(from, ".", H5_INDEX_NAME, H5_ITER_INC, i, link, sizeof link, H5P_DEFAULT) < 0) {
            link[0] = '\0';
        }
        hid_t set = H5Dopen2(from, link, H5P_DEFAULT);
        text[i] = take_text(s, set, false);
        name[i] = name_of != NULL ? attribute_text(s, set, name_of) : cq_arena_text(s->to->arena, link, strlen(link));
        s->h5.failed = s->h5.failed || name[i] == NULL;
        if (set >= 0) {
            H5Dclose(set);
        }
    }
    if (from >= 0) {
        H5Gclose(from);
    }
    *names = name;
    *texts = text;
    return s->h5.failed ? 0 : n;
}

/* "a\nb\nc" into n words. */
static const char *const *split(study_source *s, const char *text, size_t n) {
    const char **words = cq_h5_take(&s->h5, n + 1, sizeof *words);
    for (size_t w = 0; w < n && words != NULL; w++) {
        const size_t length = strcspn(text, "\n");
        words[w] = cq_arena_text(s->to->arena, text, length);
        s->h5.failed = s->h5.failed || words[w] == NULL;
        text += length + (text[length] == '\n');
    }
    s->h5.failed = s->h5.failed || words == NULL;
    return words;
}

static void read_axes(study_source *s) {
    cq_study_about *about = &s->to->about;
    const char *const *keys, *const *texts;
    const size_t n = take_texts(s, "axes", "key", &keys, &texts);
    cq_study_axis *axes = cq_h5_take(&s->h5, n + 1, sizeof *axes);
    s->h5.failed = s->h5.failed || axes == NULL;
    for (size_t a = 0; a < n && !s->h5.failed; a++) {
        char path[32];
        snprintf(path, sizeof path, "axes/%zu", a);
        hid_t set = H5Dopen2(s->h5.file, path, H5P_DEFAULT);
        const uint64_t words = attribute_count(s, set, "words");
        axes[a] =
            (cq_study_axis){keys[a], attribute_text(s, set, "unit"), attribute_text(s, set, "long_name"), 0, NULL};
        s->h5.failed = s->h5.failed || words > strlen(texts[a]) + 1;
        if (!s->h5.failed && words > 0) {
            axes[a].n = (size_t)words;
            axes[a].words = split(s, texts[a], (size_t)words);
        }
        if (set >= 0) {
            H5Dclose(set);
        }
    }
    about->axes = axes;
    about->axes_n = n;
}

/* ---- rows -------------------------------------------------------------------------------------------------------- */

static bool has_our_columns(hid_t set) {
    hid_t there = set < 0 ? -1 : H5Dget_type(set), ours = cq_study_record_type();
    const bool same = there >= 0 && H5Tequal(there, ours) > 0;
    if (there >= 0) {
        H5Tclose(there);
    }
    H5Tclose(ours);
    return same;
}

static void read_rows(study_source *s, hid_t set, cq_study_table *table) {
    unsigned char *records = cq_memory_zero(table->runs_n, CQ_RECORD_SIZE);
    hid_t type = cq_study_record_type();
    s->h5.failed = s->h5.failed || records == NULL || H5Dread(set, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, records) < 0;
    for (size_t run = 0; run < table->runs_n && !s->h5.failed; run++) {
        cq_study_record_read(&table->row[run], records + run * CQ_RECORD_SIZE);
    }
    H5Tclose(type);
    cq_memory_free(records);
}

static cq_status read_runs(study_source *s, const char *path, cq_error *error) {
    hsize_t runs_n[2] = {0}, inputs_n[2] = {0};
    hid_t runs = H5Dopen2(s->h5.file, "runs", H5P_DEFAULT),
          inputs = s->to->about.axes_n > 0 ? H5Dopen2(s->h5.file, "inputs", H5P_DEFAULT) : -1;
    cq_status status = CQ_OK;
    if (!cq_h5_extent(runs, 1, runs_n) || runs_n[0] > MOST_RUNS ||
        (inputs >= 0 &&
         (!cq_h5_extent(inputs, 2, inputs_n) || inputs_n[0] != runs_n[0] || inputs_n[1] != s->to->about.axes_n))) {
        s->h5.failed = true;
    } else if (!has_our_columns(runs)) {
        status = cq_error_say(error, CQ_ERR_FORMAT, "", "the figures this version keeps", "begin the study anew",
                              "%.120s holds other figures", path);
    } else {
        status = cq_study_table_create(&s->to->table, (size_t)runs_n[0], s->to->about.axes_n, error);
    }
    if (status >= 0 && !s->h5.failed) {
        s->to->about.runs_n = (size_t)runs_n[0];
        read_rows(s, runs, s->to->table);
        s->h5.failed = s->h5.failed ||
                       (s->to->about.axes_n > 0 && (inputs < 0 || H5Dread(inputs, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL,
                                                                          H5P_DEFAULT, s->to->table->inputs) < 0));
    }
    if (runs >= 0) {
        H5Dclose(runs);
    }
    if (inputs >= 0) {
        H5Dclose(inputs);
    }
    return status;
}

static size_t read_ended(study_source *s) {
    uint64_t ended = 0;
    hid_t set = H5Dopen2(s->h5.file, "ended", H5P_DEFAULT);
    s->h5.failed = s->h5.failed || set < 0 ||
                   H5Dread(set, H5T_NATIVE_UINT64, H5S_ALL, H5S_ALL, H5P_DEFAULT, &ended) < 0 ||
                   ended > s->to->about.runs_n;
    if (set >= 0) {
        H5Dclose(set);
    }
    return (size_t)ended;
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

static cq_status read_open(study_source *s, const char *path, cq_error *error) {
    char format[64] = "";
    int version = 0;
    cq_h5_read_marks(s->h5.file, format, &version);
    if (strcmp(format, CQ_STUDY_FORMAT) != 0 || version < 1) {
        s->h5.failed = true;
        return CQ_OK;
    }
    if (version > CQ_STUDY_VERSION) {
        return cq_error_say(error, CQ_ERR_FORMAT, "", "version 1", "a newer program reads it", "%.120s has version %d",
                            path, version);
    }
    cq_study_about *about = &s->to->about;
    about->kind = attribute_text(s, s->h5.file, "kind");
    about->settings = attribute_text(s, s->h5.file, "settings");
    about->seed = attribute_count(s, s->h5.file, "seed");
    about->part = (size_t)attribute_count(s, s->h5.file, "part");
    about->parts = (size_t)attribute_count(s, s->h5.file, "parts");
    about->plans_n = take_texts(s, "plans", "name", &about->plan_names, &about->plan_texts);
    about->profiles_n = take_texts(s, "profiles", NULL, &about->profile_names, &about->profile_texts);
    read_axes(s);
    const cq_status status = s->h5.failed ? CQ_OK : read_runs(s, path, error);
    s->to->ended = s->h5.failed || status < 0 ? 0 : read_ended(s);
    return status;
}

cq_status cq_study_file_read(cq_study_read **read, const char *path, cq_error *error) {
    if (access(path, R_OK) != 0) {
        return cq_file_fault(error, path, "cannot be read", errno);
    }
    study_source s = {.to = cq_memory_zero(1, sizeof *s.to)};
    if (s.to == NULL || (s.to->arena = cq_arena_create()) == NULL) {
        cq_study_read_free(s.to);
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    s.h5.arena = s.to->arena;
    cq_h5_silence silence;
    cq_h5_silence_begin(&silence);
    s.h5.file = cq_h5_open(path);
    s.h5.failed = s.h5.file < 0;
    cq_status status = s.h5.failed ? CQ_OK : read_open(&s, path, error);
    if (s.h5.file >= 0) {
        H5Fclose(s.h5.file);
    }
    cq_h5_silence_end(&silence);
    if (status >= 0 && s.h5.short_of_memory) {
        status = cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    } else if (status >= 0 && s.h5.failed) {
        status =
            cq_error_say(error, CQ_ERR_FORMAT, "", "a complete study.h5 of clayquench", "", "%.150s is not one", path);
    }
    if (status < 0) {
        cq_study_read_free(s.to);
        return status;
    }
    *read = s.to;
    return CQ_OK;
}

void cq_study_read_free(cq_study_read *read) {
    if (read != NULL) {
        cq_study_table_free(read->table);
        cq_arena_free(read->arena);
        cq_memory_free(read);
    }
}
