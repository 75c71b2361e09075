/* json_parts.c - see json_parts.h. */
#include "report/json_parts.h"

#include "base/memory.h"
#include "io/result.h"

#include <math.h>

enum { DIGITS = 12 }; /* significant: more than any field holds, and 0.1 stays 0.1 */

/* A number, or null where it does not apply. */
json_t *cq_json_number(double v) {
    return isfinite(v) ? json_real(v) : json_null();
}

json_t *cq_json_celsius(double kelvin) {
    return cq_json_number(kelvin - 273.15);
}

/* Text as JSON has it. In what is not UTF-8 (a plan made by hand may hold it) other than ASCII becomes '?'. */
json_t *cq_json_step(const cq_step_end *e) {
    return json_pack("{so so so so so}", "time_s", cq_json_number(e->time_s), "edge_C", cq_json_celsius(e->edge_K),
                     "body_C", cq_json_celsius(e->body_K), "spine_C", cq_json_celsius(e->spine_K), "bath_C",
                     cq_json_celsius(e->bath_K));
}

json_t *cq_json_words(const char *text) {
    json_t *string = json_string(text == NULL ? "" : text);
    char plain[512];
    if (string != NULL || text == NULL) {
        return string;
    }
    size_t n = 0;
    for (; text[n] != '\0' && n + 1 < sizeof plain; n++) {
        plain[n] = (unsigned char)text[n] < 0x80 ? text[n] : '?';
    }
    plain[n] = '\0';
    return json_string(plain);
}

/* The array with one more element; NULL, and all released, when memory runs out. */
json_t *cq_json_appended(json_t *array, json_t *element) {
    if (json_array_append_new(array, element) == 0) {
        return array;
    }
    json_decref(array);
    return NULL;
}

json_t *cq_json_object(const cq_json_member *members, size_t n) {
    json_t *root = json_object();
    bool complete = root != NULL;
    for (size_t m = 0; m < n; m++) {
        complete = json_object_set_new(root, members[m].key, members[m].value) == 0 && complete;
    }
    if (!complete) {
        json_decref(root);
        return NULL;
    }
    return root;
}

/* Into our own text, which remembers that memory ran out: the library's own dump overlooks it when a key is cut. */
static int collect(const char *bytes, size_t n, void *text) {
    cq_text_add(text, "%.*s", (int)n, bytes);
    return ((cq_text *)text)->failed ? -1 : 0;
}

cq_status cq_json_text(json_t *root, char **text) {
    cq_text t = {NULL, 0, 0, false};
    const size_t flags = JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS);
    if (root == NULL || json_dump_callback(root, collect, &t, flags) != 0) {
        t.failed = true;
    }
    json_decref(root);
    cq_text_add(&t, "\n");
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
