/* vary.c - see vary.h. The plan's tree and the profiles are read once; a run's plan lays its values on them. */
#include "io/varying.h"

#include <math.h>
#include <pthread.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

struct cq_vary {
    cq_reader reader; /* owns what all plans share: tree, profiles, values; its complaints are over after open */
    cq_source source;
    cq_node *root;
    cq_plan base;
    char folder[1024];
    size_t axes_n;
    cq_vary_axis axis[CQ_VARY_AXES];
    cq_vary_key key[CQ_VARY_AXES];
    size_t profiles_n;
    const char **profile_names, **profile_texts;
    /* Plans are read one at a time: resolving a profile marks it, to find circles of from:. A plan takes some hundred
     * microseconds to read and some ten milliseconds to run. */
    pthread_mutex_t lock;
};

/* ---- opening ----------------------------------------------------------------------------------------------------- */

static bool read_spec(cq_vary *v, const char *spec) {
    cq_reader *r = &v->reader;
    char name[256];
    snprintf(name, sizeof name, "--vary %.200s", spec);
    cq_source *source = cq_reader_take(r, 1, sizeof *source);
    cq_node *node = cq_reader_take(r, 1, sizeof *node);
    const char *equal = strchr(spec, '=');
    size_t length = equal == NULL ? 0 : (size_t)(equal - spec);
    while (length > 0 && spec[length - 1] == ' ') {
        length--;
    }
    char *text = cq_arena_text(r->arena, spec, length), *place = cq_arena_text(r->arena, name, strlen(name));
    if (source == NULL || node == NULL || text == NULL || place == NULL) {
        r->status = CQ_ERR_MEMORY;
        return false;
    }
    *source = (cq_source){place, text, length};
    *node = (cq_node){.kind = CQ_NODE_TEXT, .source = source, .text = text};
    if (length == 0 || equal[1] == '\0') {
        cq_reader_complain(r, node, "", "KEY=VALUE,VALUE, for instance steps.1.at=30 °C,45 °C,60 °C", "", "%s",
                           equal == NULL ? "a key without values"
                           : length == 0 ? "values without a key"
                                         : "no values");
        return false;
    }
    cq_vary_axis *axis = &v->axis[v->axes_n];
    cq_vary_key *key = &v->key[v->axes_n];
    if (!cq_vary_key_read(r, v->root, text, node, key) || !cq_vary_values_read(r, key, equal + 1, axis)) {
        return false;
    }
    for (size_t a = 0; a < v->axes_n; a++) {
        if (strcmp(v->key[a].text, text) == 0) {
            cq_reader_complain(r, node, text, "each key once", "put all its values behind one --vary",
                               "a key varied twice");
            return false;
        }
    }
    axis->key = text;
    axis->meaning = key->field->words;
    axis->own = cq_vary_get(r, v->root, key);
    axis->own_number = axis->own == NULL ? NAN : cq_vary_number(r, key, axis->unit, axis->own);
    v->axes_n++;
    return true;
}

static cq_status read_specs(cq_vary *v, const char *const *specs, size_t n) {
    cq_reader *r = &v->reader;
    if (n > CQ_VARY_AXES) {
        char expected[64];
        snprintf(expected, sizeof expected, "at most %d --vary", CQ_VARY_AXES);
        return cq_error_say(r->error, CQ_ERR_PLAN, "", expected, "vary fewer keys at once", "%zu of them", n);
    }
    for (size_t s = 0; s < n && r->status != CQ_ERR_MEMORY; s++) { /* every faulty one is told */
        read_spec(v, specs[s]);
    }
    return r->status < 0 ? r->status : CQ_OK;
}

/* All profiles read so far, of the plan and of the values. */
static cq_status list_profiles(cq_vary *v) {
    cq_reader *r = &v->reader;
    size_t n = 0;
    for (cq_profile_read *p = r->profiles; p != NULL; p = p->before) {
        n++;
    }
    v->profile_names = cq_reader_take(r, n, sizeof *v->profile_names);
    v->profile_texts = cq_reader_take(r, n, sizeof *v->profile_texts);
    if (v->profile_names == NULL || v->profile_texts == NULL) {
        return CQ_ERR_MEMORY;
    }
    v->profiles_n = n;
    for (cq_profile_read *p = r->profiles; p != NULL; p = p->before) {
        char name[96];
        snprintf(name, sizeof name, "%s-%s", p->kind, p->name);
        v->profile_texts[--n] = p->source->text;
        v->profile_names[n] = cq_arena_text(r->arena, name, strlen(name));
        if (v->profile_names[n] == NULL) {
            return CQ_ERR_MEMORY;
        }
    }
    return CQ_OK;
}

/* The plan of a file, or of a text where there is one. */
static cq_status read_base(cq_vary *v, const char *path, const char *text) {
    cq_reader *r = &v->reader;
    char *name = cq_arena_text(r->arena, path, strlen(path)); /* whoever asked may forget it */
    char *own = text == NULL ? NULL : cq_arena_text(r->arena, text, strlen(text));
    if (name == NULL || (text != NULL && own == NULL)) {
        return CQ_ERR_MEMORY;
    }
    v->source = (cq_source){name, own, own == NULL ? 0 : strlen(own)};
    cq_status status = text == NULL ? cq_file_load(&v->source, name, r->arena, r->error) : CQ_OK;
    if (status < 0) {
        return status;
    }
    status = r->status = cq_yaml_parse(&v->root, &v->source, r->arena, r->error);
    if (v->root == NULL || status == CQ_ERR_MEMORY || cq_plan_format(r, v->root) == NULL) {
        return r->status;
    }
    return cq_read_tree(r, v->root, &v->source, &v->base);
}

/* Where a plan and its profiles come from. */
typedef struct origin {
    const char *path, *text; /* text NULL: a file */
    const cq_search *search;
    const cq_given_profiles *given;
} origin;

static cq_status open_from(cq_vary **vary, const origin *from, const char *const *specs, size_t specs_n,
                           cq_error *error) {
    const char *path = from->path;
    cq_vary *v = cq_memory_zero(1, sizeof *v);
    if (v == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    cq_status status = cq_reader_open(&v->reader, cq_folder_of(path, v->folder), from->search, error);
    if (status < 0) {
        cq_memory_free(v);
        return status;
    }
    v->reader.given = from->given;
    status = read_base(v, path, from->text);
    status = status < 0 ? status : read_specs(v, specs, specs_n);
    status = status < 0 ? status : list_profiles(v);
    if (status < 0) {
        status = cq_reader_close(&v->reader, status, path);
        cq_memory_free(v);
        return status;
    }
    cq_reader_end(&v->reader, status, path);
    v->reader.error = NULL;
    pthread_mutex_init(&v->lock, NULL); /* of the default kind: cannot fail on this system */
    *vary = v;
    return CQ_OK;
}

cq_status cq_vary_open(cq_vary **vary, const char *path, const cq_search *search, const char *const *specs,
                       size_t specs_n, cq_error *error) {
    return open_from(vary, &(origin){.path = path, .search = search}, specs, specs_n, error);
}

cq_status cq_vary_open_given(cq_vary **vary, const char *text, const char *name, const cq_given_profiles *given,
                             const char *const *specs, size_t specs_n, cq_error *error) {
    return open_from(vary, &(origin){.path = name, .text = text, .given = given}, specs, specs_n, error);
}

void cq_vary_close(cq_vary *v) {
    if (v != NULL) {
        pthread_mutex_destroy(&v->lock);
        cq_units_close(v->reader.units);
        cq_arena_free(v->reader.arena);
        cq_memory_free(v);
    }
}

/* ---- asking ------------------------------------------------------------------------------------------------------ */

size_t cq_vary_axes(const cq_vary *v, const cq_vary_axis **axes) {
    *axes = v->axis;
    return v->axes_n;
}

size_t cq_vary_runs(const cq_vary *v) {
    size_t n = 1;
    for (size_t a = 0; a < v->axes_n; a++) {
        n = n > SIZE_MAX / v->axis[a].n ? SIZE_MAX : n * v->axis[a].n;
    }
    return n;
}

size_t cq_vary_value(const cq_vary *v, size_t run, size_t axis) {
    for (size_t a = v->axes_n; a-- > axis + 1;) {
        run /= v->axis[a].n;
    }
    return run % v->axis[axis].n;
}

const cq_plan *cq_vary_base(const cq_vary *v) {
    return &v->base;
}

size_t cq_vary_profiles(const cq_vary *v, const char *const **names, const char *const **texts) {
    *names = v->profile_names;
    *texts = v->profile_texts;
    return v->profiles_n;
}

/* ---- a run's plan ------------------------------------------------------------------------------------------------ */

/* The value as a node that says where it comes from. */
static cq_node *value_of(const cq_vary *v, cq_reader *r, size_t axis, const char *word) {
    char name[256];
    const int length = snprintf(name, sizeof name, "--vary %.120s=%.100s", v->axis[axis].key, word);
    cq_source *source = cq_reader_take(r, 1, sizeof *source);
    cq_node *node = cq_reader_take(r, 1, sizeof *node);
    char *place = cq_arena_text(r->arena, name, (size_t)length);
    if (source == NULL || node == NULL || place == NULL) {
        r->status = CQ_ERR_MEMORY;
        return NULL;
    }
    *source = (cq_source){place, word, strlen(word)};
    *node = (cq_node){.kind = CQ_NODE_TEXT, .source = source, .text = word};
    return node;
}

/* The file's text, and behind it what was set. */
static const char *text_of(const cq_vary *v, cq_reader *r, size_t run) {
    size_t room = v->source.length + 2;
    for (size_t a = 0; a < v->axes_n; a++) {
        room += strlen(v->axis[a].key) + strlen(v->axis[a].words[cq_vary_value(v, run, a)]) + 16;
    }
    char *text = cq_reader_take(r, room, 1);
    if (text != NULL) {
        size_t n = (size_t)snprintf(text, room, "%s", v->source.text);
        if (n > 0 && text[n - 1] != '\n') {
            n += (size_t)snprintf(text + n, room - n, "\n");
        }
        for (size_t a = 0; a < v->axes_n; a++) {
            n += (size_t)snprintf(text + n, room - n, "# --vary %s=%s\n", v->axis[a].key,
                                  v->axis[a].words[cq_vary_value(v, run, a)]);
        }
    }
    return text;
}

static cq_status read_run(const cq_vary *v, cq_reader *r, size_t run, cq_plan *plan) {
    const cq_node *root = v->root;
    for (size_t a = 0; a < v->axes_n && root != NULL; a++) {
        cq_node *value = value_of(v, r, a, v->axis[a].words[cq_vary_value(v, run, a)]);
        root = value == NULL ? NULL : cq_vary_set(r, root, &v->key[a], value);
    }
    const char *text = root == NULL ? NULL : text_of(v, r, run);
    if (text == NULL) {
        return r->status < 0 ? r->status : CQ_ERR_MEMORY;
    }
    const cq_source source = {v->source.name, text, strlen(text)};
    return cq_read_tree(r, root, &source, plan);
}

/* What a value did comes before what it clashes with elsewhere. */
static void put_values_first(cq_error *error, size_t first) {
    size_t to = first;
    for (size_t c = first; error != NULL && c < error->count; c++) {
        if (strncmp(error->items[c].file, "--vary ", 7) == 0) {
            const cq_complaint moving = error->items[c];
            memmove(&error->items[to + 1], &error->items[to], (c - to) * sizeof moving);
            error->items[to++] = moving;
        }
    }
}

cq_status cq_vary_plan(cq_vary *v, size_t run, cq_plan *plan, cq_error *error) {
    pthread_mutex_lock(&v->lock);
    cq_reader r = v->reader;
    r.error = error;
    r.status = CQ_OK;
    r.faults = 0;
    r.told_before = error == NULL ? 0 : error->count;
    r.arena = cq_arena_create();
    for (cq_profile_read *p = r.profiles; p != NULL; p = p->before) {
        p->used = false;
    }
    cq_status status = r.arena == NULL ? CQ_ERR_MEMORY : read_run(v, &r, run, plan);
    status = cq_reader_end(&r, status, v->source.name);
    put_values_first(error, r.told_before);
    for (cq_profile_read *p = v->reader.profiles; p != NULL; p = p->before) {
        p->open = false; /* memory may have run short on the way */
    }
    pthread_mutex_unlock(&v->lock);
    return status;
}
