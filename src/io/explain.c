/* explain.c - what a key, a notice, a verdict or a result word means. */
#include "io/fields.h"

#include "base/memory.h"

#include <clayquench/io.h>
#include <stdio.h>
#include <string.h>

/* Words of results that are no plan keys. */
static const struct {
    const char *word, *meaning;
} WORDS[] = {
    {"line.surface_mm", "height of the hardening line (hamon): going up from the edge flat, the first place where martensite at the steel's surface falls through one half; the lower of left and right; null if the edge is below one half or it never falls"},
    {"line.mid_mm", "the same on the mid-plane"},
    {"line.band_mm", "the transition band (habuchi) at the surface: heights where martensite falls through 90 % and 10 % of what the edge has"},
    {"line.ground_mm", "the line after finish.grind has been taken off each face"},
    {"line.crossings_mm", "every height where the surface crosses one half martensite"},
    {"line.verdict", "what kind of blade came out: see the verdicts by name"},
    {"no hard edge", "the edge, 1 mm above the edge flat, is less than half martensite"},
    {"hard right through", "at least half martensite everywhere"},
    {"broken line", "a face crosses one half martensite more than twice"},
    {"hard spine", "the spine (mune), 1 mm inside, is at least half martensite"},
    {"faint line", "edge and spine differ by less than 120 HV: the line will hardly etch"},
    {"hard edge, soft back", "what the smith is after"},
    {"critical_rate_K_s", "constant cooling rate from the soak at which pearlite, bainite and ferrite together reach 3 %"},
    {"film", "vapour film at edge, body, spine: none (wet within 0.05 s), collapsed at a time, or persisted to the end; wet means half the face is wetted"},
    {"energy.imbalance", "difference between the heat that left through the faces and the fall of heat content, as a share of the former: how well the run closes"},
    {"solver.core_s", "processor time of the time loop"},
    {"t500_s", "first time the place falls through 500 °C"},
    {"rim-sloped", "notice: a vertical step of clay was sloped to 45 degrees about its middle"},
    {"cooled-in-air", "notice: after the last step the blade was followed in still air to 25 °C before hardness was read"},
    {"start-austenitic", "notice: 'start' takes the steel as fully austenitic"},
    {"soak-too-cold", "notice: the soak is below Ac1; nothing hardens"},
    {"soak-partial", "notice: the soak is between Ac1 and Ac3; some ferrite stays"},
    {"carbide-left", "notice: the soak leaves carbide undissolved"},
    {"composition-range", "notice: composition outside the range the transformation laws were fitted on"},
    {"clay-dried", "notice: wet clay thicknesses were multiplied by the drying factor"},
    {"face-balance", "notice: the temperature of an outer face was not found to full precision"},
    {"martensite", "hard structure formed below Ms; auto-tempered martensite is counted in"},
    {"retained_austenite", "austenite still there at room temperature"},
    {"pearlite", "lamellar soft structure; fine pearlite (troostite) included"},
    {"bainite", "structure between pearlite and martensite"},
    {"ferrite_cementite", "pro-eutectoid ferrite or cementite, and what the soak left untransformed"},
};

void cq_text_free(char *text) {
    cq_memory_free(text);
}

static cq_status keep(char **text, const char *from) {
    const size_t n = strlen(from) + 1;
    char *copy = cq_memory_zero(n, 1);
    if (copy == NULL) {
        return CQ_ERR_MEMORY;
    }
    memcpy(copy, from, n);
    *text = copy;
    return CQ_OK;
}

/* "clay.coat.2.at" asks for "clay.coat.N.at". */
static void generalise(const char *word, char *to, size_t size) {
    size_t n = 0;
    for (const char *p = word; *p != '\0' && n + 1 < size; p++) {
        const bool number = *p >= '0' && *p <= '9' && p != word && p[-1] == '.';
        if (number) {
            to[n++] = 'N';
            while (p[1] >= '0' && p[1] <= '9') {
                p++;
            }
        } else {
            to[n++] = *p;
        }
    }
    to[n] = '\0';
}

static void describe(const cq_field *f, char *to, size_t size) {
    char range[96] = "";
    if (f->kind == CQ_FIELD_RESERVED) {
        snprintf(to, size, "%s%s: %s. Reserved for a later version.", CQ_OWNER_PATH[f->owner], f->key, f->words);
        return;
    }
    const double zero = f->dimension == CQ_DIM_TEMPERATURE ? 273.15 : 0.0, scale = f->dimension == CQ_DIM_LENGTH ? 1e3 : 1.0;
    const char *unit = f->dimension == CQ_DIM_LENGTH ? " mm" : f->dimension == CQ_DIM_TEMPERATURE ? " °C" : "";
    if (f->least < f->most) {
        snprintf(range, sizeof range, " From %.4g to %.4g%s.", f->least * scale - zero, f->most * scale - zero, unit);
    }
    const bool measured = f->kind == CQ_FIELD_QUANTITY || f->kind == CQ_FIELD_TABLE;
    snprintf(to, size, "%s%s: %s.%s%s%s", CQ_OWNER_PATH[f->owner], f->key, f->words, measured ? " Write " : "",
             measured ? cq_dimension_words(f->dimension) : "", measured ? "." : "");
    strncat(to, range, size - strlen(to) - 1);
}

cq_status cq_explain(const char *word, char **text, char nearest[64]) {
    char asked[160], line[768] = "", all[4096] = "";
    generalise(word, asked, sizeof asked);
    for (size_t w = 0; w < sizeof WORDS / sizeof WORDS[0]; w++) {
        if (strcmp(WORDS[w].word, word) == 0) {
            snprintf(line, sizeof line, "%s: %s.", word, WORDS[w].meaning);
            return keep(text, line);
        }
    }
    size_t best = 64;
    nearest[0] = '\0';
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        char path[128];
        snprintf(path, sizeof path, "%s%s", CQ_OWNER_PATH[CQ_FIELDS[f].owner], CQ_FIELDS[f].key);
        if (strcmp(path, asked) == 0 || strcmp(CQ_FIELDS[f].key, asked) == 0) {
            describe(&CQ_FIELDS[f], line, sizeof line);
            if (strlen(all) + strlen(line) + 2 < sizeof all) {
                strcat(strcat(all, all[0] == '\0' ? "" : "\n"), line);
            }
        }
        const size_t distance = cq_word_distance(asked, path);
        if (distance < best) {
            best = distance;
            snprintf(nearest, 64, "%.63s", path);
        }
    }
    for (size_t w = 0; w < sizeof WORDS / sizeof WORDS[0]; w++) {
        const size_t distance = cq_word_distance(word, WORDS[w].word);
        if (distance < best) {
            best = distance;
            snprintf(nearest, 64, "%.63s", WORDS[w].word);
        }
    }
    return all[0] != '\0' ? keep(text, all) : CQ_ERR_ARGUMENT;
}
