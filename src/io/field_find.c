/* field_find.c - looking up in the list of fields: by key, by spelling, as words, as defaults. */
#include "io/fields.h"

#include <clayquench/plan.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

const char *cq_owner_path(cq_owner owner) {
    static const char *const path[CQ_OWNERS] = {
        [CQ_OWNER_PLAN] = "",
        [CQ_OWNER_BLADE] = "blade.",
        [CQ_OWNER_RIDGE] = "blade.ridge.",
        [CQ_OWNER_GROOVE] = "blade.groove.",
        [CQ_OWNER_STEEL] = "steel.",
        [CQ_OWNER_ELEMENTS] = "steel.batch.",
        [CQ_OWNER_DIAGRAM] = "steel.isothermal.",
        [CQ_OWNER_ZONES] = "zones.",
        [CQ_OWNER_PIECE] = "zones.pieces.N.",
        [CQ_OWNER_WELD] = "zones.heats.N.",
        [CQ_OWNER_SKIN] = "skin.",
        [CQ_OWNER_CLAY_LAYER] = "clay.",
        [CQ_OWNER_CLAY] = "clay.mix.",
        [CQ_OWNER_COAT] = "clay.coat.N.",
        [CQ_OWNER_LOST] = "clay.lost.N.",
        [CQ_OWNER_HEAT] = "heat.",
        [CQ_OWNER_FIRE] = "heat.fire.",
        [CQ_OWNER_STEP] = "steps.N.",
        [CQ_OWNER_BATH] = "steps.N.in.",
        [CQ_OWNER_TEMPER] = "temper.N.",
        [CQ_OWNER_HEATS] = "heats.N.",
        [CQ_OWNER_FINISH] = "finish.",
        [CQ_OWNER_TOLERANCES] = "tolerances.",
        [CQ_OWNER_RECORD] = "record.",
        [CQ_OWNER_PROBE] = "record.probes.N.",
        [CQ_OWNER_GRID] = "grid.",
        [CQ_OWNER_EVIDENCE] = "evidence.",
        [CQ_OWNER_ITEM] = "evidence.items.N.",
        [CQ_OWNER_PROFILE] = "profile.",
        [CQ_OWNER_VALUE] = "value.",
    };
    return path[owner];
}

const char *cq_owner_variant(cq_owner owner, int variant) {
    static const char *const blades[] = {
        "a flat section",         "a convex section", "a ridged section", "a hollow section", "a one-sided section",
        "a double-edged section", "an outline",       "a plate",          "a round"};
    static const char *const steels[] = {"a transforming steel", "an inert steel"};
    static const char *const baths[] = {"a boiling bath", "a gas", "a tabulated bath", "an oil"};
    static const char *const builds[] = {"a core with jacket", "a skin on one side", "an edge inlay", "wrapped steel",
                                         "a soft core",        "a back and edge",    "pieces"};
    return owner == CQ_OWNER_BLADE   ? blades[variant]
           : owner == CQ_OWNER_ZONES ? builds[variant]
           : owner == CQ_OWNER_STEEL ? steels[variant]
           : owner == CQ_OWNER_BATH  ? baths[variant]
                                     : "this mapping";
}

int cq_owner_variants(cq_owner owner) {
    return owner == CQ_OWNER_BLADE ? CQ_FAMILIES : owner == CQ_OWNER_ZONES ? CQ_BUILD_PIECES + 1 : 3;
}

bool cq_owner_is_profile(cq_owner owner) {
    return owner == CQ_OWNER_BLADE || owner == CQ_OWNER_STEEL || owner == CQ_OWNER_CLAY || owner == CQ_OWNER_BATH;
}

const cq_field *cq_field_find(cq_owner owner, const char *key) {
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        if (CQ_FIELDS[f].owner == owner && strcmp(CQ_FIELDS[f].key, key) == 0) {
            return &CQ_FIELDS[f];
        }
    }
    return cq_owner_is_profile(owner) ? cq_field_find(CQ_OWNER_PROFILE, key) : NULL;
}

static size_t least_of(size_t a, size_t b) {
    return a < b ? a : b;
}

/* Optimal string alignment: a letter left out, added, replaced, or two neighbours swapped count one each. */
size_t cq_word_distance(const char *a, const char *b) {
    enum { LONGEST = 63 };
    size_t rows[3][LONGEST + 1], *before = rows[0], *last = rows[1], *row = rows[2];
    const size_t n = strlen(b);
    if (n > LONGEST) {
        return n;
    }
    for (size_t j = 0; j <= n; j++) {
        last[j] = before[j] = j;
    }
    for (size_t i = 1; a[i - 1] != '\0'; i++) {
        row[0] = i;
        for (size_t j = 1; j <= n; j++) {
            row[j] = least_of(least_of(last[j], row[j - 1]) + 1, last[j - 1] + (a[i - 1] != b[j - 1]));
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                row[j] = least_of(row[j], before[j - 2] + 1);
            }
        }
        size_t *oldest = before;
        before = last;
        last = row;
        row = oldest;
    }
    return last[n];
}

const char *cq_field_nearest(cq_owner owner, const char *key) {
    enum { TOO_FAR = 4, LONGEST_KEY = 40 };
    const char *nearest = NULL;
    size_t best = strlen(key) > LONGEST_KEY ? 0 : TOO_FAR;
    for (size_t f = 0; f < CQ_FIELDS_N && best > 0; f++) {
        const cq_field *field = &CQ_FIELDS[f];
        if (field->owner != owner && !(field->owner == CQ_OWNER_PROFILE && cq_owner_is_profile(owner))) {
            continue;
        }
        const size_t distance = cq_word_distance(key, field->key);
        if (distance < best && distance < strlen(field->key)) {
            best = distance;
            nearest = field->key;
        }
    }
    return nearest;
}

char *cq_field_list(cq_owner owner, char *to, size_t size) {
    size_t at = 0;
    to[0] = '\0';
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        if (CQ_FIELDS[f].owner != owner || CQ_FIELDS[f].kind == CQ_FIELD_RESERVED) {
            continue;
        }
        const char *key = CQ_FIELDS[f].key;
        if (at + strlen(key) + 8 > size) {
            snprintf(to + at, size - at, " ...");
            break;
        }
        at += (size_t)snprintf(to + at, size - at, "%s%s", at > 0 ? ", " : "", key);
    }
    return to;
}

char *cq_choice_list(const char *const *choices, char *to, size_t size) {
    size_t at = 0;
    to[0] = '\0';
    for (size_t c = 0; choices[c] != NULL && at < size; c++) {
        const char *before = c == 0 ? "" : choices[c + 1] == NULL ? " or " : ", ";
        at += (size_t)snprintf(to + at, size - at, "%s%s", before, choices[c]);
    }
    return to;
}

void cq_fields_default(cq_owner owner, void *target) {
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        const cq_field *field = &CQ_FIELDS[f];
        if (field->owner != owner || isnan(field->fallback)) {
            continue;
        }
        char *at = (char *)target + field->offset;
        if (field->kind == CQ_FIELD_INTEGER) {
            *(int *)at = (int)field->fallback;
        } else {
            *(double *)at = field->fallback;
        }
    }
}
