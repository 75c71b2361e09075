/* hardness_text.c - see hardness_text.h. */
#include "io/hardness_text.h"

#include "hardness/hardness.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool ends_in(const char *text, const char *end) {
    const size_t n = strlen(text), m = strlen(end);
    return n > m && strcmp(text + n - m, end) == 0;
}

bool cq_hardness_scale(const char *text, double *number, bool *rockwell) {
    char *end;
    *rockwell = ends_in(text, "HRC");
    if (!*rockwell && !ends_in(text, "HV")) {
        return false;
    }
    *number = strtod(text, &end);
    while (*end == ' ') {
        end++;
    }
    return end != text && isfinite(*number) && strcmp(end, *rockwell ? "HRC" : "HV") == 0;
}

bool cq_read_hardness(cq_reader *r, const cq_node *at, const char *key, double *HV, double *HRC) {
    static const char expected[] = "a hardness, for instance 62 HRC or 780 HV";
    char words[128];
    double number;
    bool rockwell;
    if (at == NULL) {
        return false;
    }
    if (at->kind != CQ_NODE_TEXT) {
        cq_reader_complain(r, at, key, expected, "", "%s", cq_node_words(at, words, sizeof words));
        return false;
    }
    if (!cq_hardness_scale(at->text, &number, &rockwell)) {
        cq_reader_complain(r, at, key, expected, "write the scale behind the number", "'%.60s'", at->text);
        return false;
    }
    *HRC = rockwell ? number : NAN;
    *HV = rockwell ? cq_hardness_HV(number) : number;
    if (!(*HV >= 80.0 && *HV <= 1200.0)) {
        cq_reader_complain(r, at, key, "20 to 68 HRC, or 80 to 1200 HV",
                           rockwell ? "below 20 HRC read Vickers or leave it out" : "", "'%.60s'", at->text);
        return false;
    }
    return true;
}
