/* lay_text.c - a plan's text with another coat, and with another bath temperature or pull time where those were free.
 *
 * What is not touched stays byte for byte, comments too. Mappings may be written in lines or in braces; whoever writes
 * the text to a file reads it again and compares, so a way of writing that is overlooked here is told, not passed on.
 */
#include "report/lay_words.h"

#include "base/memory.h"
#include "io/result.h"

#include <math.h>
#include <string.h>

/* A part of a text: from `begin` to before `end`. */
typedef struct part {
    const char *begin, *end;
} part;

static cq_status refuse(cq_error *error, const char *key) {
    return cq_error_say(error, CQ_ERR_FORMAT, key, "a mapping in lines or in braces",
                        "lay it into the plan by hand: the layout stands on the screen", "'%s' is written otherwise",
                        key);
}

static const char *line_end(const char *p) {
    const char *end = strchr(p, '\n');
    return end == NULL ? p + strlen(p) : end + 1;
}

static size_t indent_of(const char *line) {
    return strspn(line, " ");
}

static bool is_blank(const char *line) {
    const char c = line[indent_of(line)];
    return c == '\n' || c == '\r' || c == '\0' || c == '#';
}

/* A key of the plan: from its line to before the next key's, blank and comment lines before that left out. */
static bool find_block(const char *text, const char *key, part *block) {
    const size_t n = strlen(key);
    for (const char *line = text; *line != '\0'; line = line_end(line)) {
        if (strncmp(line, key, n) == 0 && line[n] == ':') {
            const char *end = line_end(line);
            *block = (part){line, end};
            for (; *end != '\0' && (is_blank(end) || *end == ' ' || *end == '-' || *end == '}' || *end == ']');
                 end = line_end(end)) {
                block->end = is_blank(end) ? block->end : line_end(end);
            }
            return true;
        }
    }
    return false;
}

/* Behind what stands at p up to a comma or a closing bracket of the same depth; quotes are passed over. */
static const char *flow_end(const char *p, const char *end) {
    int depth = 0;
    char quote = '\0';
    for (; p < end; p++) {
        if (quote != '\0') {
            quote = *p == quote ? '\0' : quote;
        } else if (*p == '"' || *p == '\'') {
            quote = *p;
        } else if (*p == '{' || *p == '[') {
            depth++;
        } else if ((*p == '}' || *p == ']') && depth-- == 0) {
            return p;
        } else if (*p == ',' && depth == 0) {
            return p;
        }
    }
    return end;
}

static bool has_key(const char *entry, const char *key) {
    const size_t n = strlen(key);
    return strncmp(entry, key, n) == 0 && entry[n + strspn(entry + n, " ")] == ':';
}

/* ---- the clay ---------------------------------------------------------------------------------------------------- */

enum { USUAL_INDENT = 2 };

static bool is_replaced(const char *entry) {
    return has_key(entry, "coat") || has_key(entry, "edge") || has_key(entry, "spine") || has_key(entry, "wet");
}

static void keep_flow(cq_text *t, const char *p, const char *end) {
    while (p < end && *p != '}') {
        p += strspn(p, " \n\r\t,");
        const char *behind = flow_end(p, end);
        if (behind > p && !is_replaced(p)) {
            cq_text_add(t, "  %.*s\n", (int)(behind - p), p);
        }
        p = behind < end && *behind == ',' ? behind + 1 : behind;
    }
}

/* Returns how far the keys are indented. */
static size_t keep_lines(cq_text *t, const char *p, const char *end) {
    size_t indent = 0;
    bool kept = true;
    for (; p < end; p = line_end(p)) {
        if (!is_blank(p)) {
            indent = indent == 0 ? indent_of(p) : indent;
            if (indent_of(p) == indent && p[indent] != '-') {
                kept = !is_replaced(p + indent);
            }
        }
        if (kept) {
            cq_text_add(t, "%.*s", (int)(line_end(p) - p), p);
        }
    }
    return indent > 0 ? indent : USUAL_INDENT;
}

static void add_thickness(cq_text *t, double m) {
    if (m > 0.0) {
        cq_text_add(t, "%.8g mm", 1e3 * m);
    } else {
        cq_text_add(t, "0 mm");
    }
}

static void add_coat(cq_text *t, size_t indent, const cq_layout *l, const cq_lay_field *f) {
    const int column = (int)indent;
    cq_coat_point points[CQ_LAYOUT_POINTS];
    cq_coat coat;
    cq_layout_coat(l, f, points, &coat);
    cq_text_add(t, "%*scoat:\n", column, "");
    for (size_t k = 0; k < coat.n; k++) {
        const cq_coat_point *p = &points[k];
        cq_text_add(t, "%*s  - {at: %.8g mm, ", column, "", 1e3 * p->at_m);
        cq_text_add(t, fabs(p->left_m - p->right_m) > 1e-9 ? "left: " : "thickness: ");
        add_thickness(t, p->left_m);
        if (fabs(p->left_m - p->right_m) > 1e-9) {
            cq_text_add(t, ", right: ");
            add_thickness(t, p->right_m);
        }
        cq_text_add(t, "}\n");
    }
    if (coat.edge_m > 0.0) {
        cq_text_add(t, "%*sedge: %.8g mm\n", column, "", 1e3 * coat.edge_m);
    }
    if (coat.spine_m > 0.0) {
        cq_text_add(t, "%*sspine: %.8g mm\n", column, "", 1e3 * coat.spine_m);
    }
}

static cq_status lay_clay(cq_text *t, const char *text, const cq_layout *l, const cq_lay_field *f, cq_error *error) {
    part block;
    if (!find_block(text, "clay", &block)) {
        return refuse(error, "clay");
    }
    cq_text_add(t, "%.*sclay:\n", (int)(block.begin - text), text);
    const char *value = block.begin + strlen("clay:");
    value += strspn(value, " ");
    size_t indent = USUAL_INDENT;
    if (*value == '{') {
        keep_flow(t, value + 1, block.end);
    } else if (*value == '\n' || *value == '\r' || *value == '#') {
        indent = keep_lines(t, line_end(block.begin), block.end);
    } else {
        return refuse(error, "clay");
    }
    add_coat(t, indent, l, f);
    cq_text_add(t, "%s", block.end);
    return CQ_OK;
}

/* ---- steps ------------------------------------------------------------------------------------------------------- */

/* Step n of the list: in braces from behind the brace, in lines from behind the dash. */
static bool find_step(const char *text, size_t n, part *step, bool *braces) {
    part block;
    if (!find_block(text, "steps", &block)) {
        return false;
    }
    const char *p = block.begin + strlen("steps:");
    while (p < block.end && *p != '[' && *p != '-') {
        p = *p == '#' ? line_end(p) : p + 1;
    }
    const bool flow = p < block.end && *p == '[';
    size_t column = 0;
    for (const char *q = p; q > text && q[-1] != '\n'; q--) {
        column++;
    }
    for (size_t k = 0; p < block.end; k++) {
        const char *begin = p + 1 + strspn(p + 1, " \n\r");
        const char *end = flow ? flow_end(begin, block.end) : line_end(p);
        while (!flow && end < block.end && !(indent_of(end) == column && end[column] == '-')) {
            end = line_end(end);
        }
        if (k == n) {
            *braces = *begin == '{';
            *step = (part){*braces ? begin + 1 : begin, end};
            return true;
        }
        if (flow && *end != ',') {
            return false;
        }
        p = flow ? end : end + column;
    }
    return false;
}

/* Where a key's value stands in a step; begin == end: nowhere, it goes there with its key. */
static part find_value(const part *step, const char *key, bool braces) {
    const char *p = step->begin;
    while (p < step->end) {
        p += strspn(p, " ");
        const char *behind = braces ? flow_end(p, step->end) : line_end(p);
        if (has_key(p, key)) {
            const char *value = strchr(p, ':') + 1;
            value += strspn(value, " ");
            behind = braces ? behind : value + strcspn(value, "#\n\r");
            while (behind > value && (behind[-1] == ' ' || behind[-1] == '\n')) {
                behind--;
            }
            return (part){value, behind};
        }
        if (braces && (behind >= step->end || *behind != ',')) {
            return (part){behind, behind};
        }
        p = braces ? behind + 1 + strspn(behind + 1, "\n\r") : behind;
    }
    return (part){step->begin, step->begin};
}

/* The text with one value of one step replaced. */
static cq_status set_step(cq_text *t, size_t n, const char *key, const char *value, cq_error *error) {
    part step;
    bool braces = false;
    if (t->failed || !find_step(t->bytes, n, &step, &braces)) {
        return t->failed ? CQ_ERR_MEMORY : refuse(error, "steps");
    }
    const part old = find_value(&step, key, braces);
    cq_text changed = {NULL, 0, 0, false};
    cq_text_add(&changed, "%.*s", (int)(old.begin - t->bytes), t->bytes);
    if (old.end > old.begin) {
        cq_text_add(&changed, "%s", value);
    } else if (braces) {
        cq_text_add(&changed, ", %s: %s", key, value);
    } else {
        size_t column = 0;
        for (const char *q = old.begin; q > t->bytes && q[-1] != '\n'; q--) {
            column++;
        }
        cq_text_add(&changed, "%s: %s\n%*s", key, value, (int)column, "");
    }
    cq_text_add(&changed, "%s", old.end);
    cq_memory_free(t->bytes);
    *t = changed;
    return CQ_OK;
}

static cq_status set_freed(cq_text *t, const cq_lay_told *told, cq_error *error) {
    const cq_layout *l = &told->lay->choice[0].layout;
    const cq_plan *plan = told->plan;
    cq_status status = CQ_OK;
    bool first = true;
    for (size_t s = 0; s < plan->steps_n && status >= 0; s++) {
        cq_text words = {NULL, 0, 0, false};
        if (plan->steps[s].bath.kind == CQ_BATH_GAS) {
            continue;
        }
        if (l->bath_K > 0.0) {
            cq_text_add(&words, "%.7g °C", plan->steps[s].at_K + l->bath_K - told->field->bath_K - 273.15);
            status = words.failed ? CQ_ERR_MEMORY : set_step(t, s, "at", words.bytes, error);
        }
        if (first && l->pull_s > 0.0 && status >= 0) {
            cq_memory_free(words.bytes);
            words = (cq_text){NULL, 0, 0, false};
            cq_text_add(&words, "%.4g s", l->pull_s);
            status = words.failed ? CQ_ERR_MEMORY : set_step(t, s, "for", words.bytes, error);
        }
        cq_memory_free(words.bytes);
        first = false;
    }
    return status;
}

cq_status cq_lay_plan_text(const cq_lay_told *told, char **text, cq_error *error) {
    cq_text t = {NULL, 0, 0, false};
    char words[CQ_LAYOUT_WORDS];
    const cq_layout *l = &told->lay->choice[0].layout;
    cq_text_add(&t, "# clay for a line at %.5g mm, as 'clayquench lay' found it: %s\n", 1e3 * told->lay->wish.line_m,
                cq_lay_layout(l, CQ_UNITS_METRIC, words));
    cq_status status = lay_clay(&t, told->plan->text, l, told->field, error);
    status = status < 0 ? status : set_freed(&t, told, error);
    if (status >= 0 && t.failed) {
        status = CQ_ERR_MEMORY;
    }
    if (status < 0) {
        cq_memory_free(t.bytes);
        return status;
    }
    *text = t.bytes;
    return CQ_OK;
}
