/* log.c - a thermocouple's log: two columns of a table, with units in their heads. */
#include "io/sheet.h"

#include <clayquench/evidence.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TOLD_MOST = 10, READINGS_LEAST = 30, READINGS_MOST = 1000000 };
/* A pause is a gap when it is so many times the usual one, and longer than this. Chosen here. */
static const double GAP_TIMES = 5.0, GAP_S = 0.25;

typedef struct column {
    const char *name;
    cq_dimension dimension;
    size_t cell;
    double zero, unit; /* SI = zero + unit * number */
} column;

typedef struct log_reading {
    cq_arena *arena;
    cq_units *units;
    cq_error *error;
    cq_sheet sheet;
    column time, temp;
    size_t told;
    int *line; /* of each reading */
    size_t room;
    cq_log log;
} log_reading;

static bool begins_with(const char *text, const char *word) {
    for (; *word != '\0'; text++, word++) {
        if ((*text | 0x20) != *word) {
            return false;
        }
    }
    return true;
}

/* "time (s)", "Temperature [°C]", "t (s)". */
static bool names(const char *cell, const char *word, const char *letter) {
    const size_t n = strlen(letter);
    return begins_with(cell, word) ||
           (strncmp(cell, letter, n) == 0 && (cell[n] == '\0' || strchr(" ([_", cell[n]) != NULL));
}

/* Unit between brackets, or behind an underscore or blank. */
static bool unit_of(const char *cell, char unit[32]) {
    const char *open = strpbrk(cell, "([");
    const char *from = open != NULL                 ? open + 1
                       : strrchr(cell, '_') != NULL ? strrchr(cell, '_') + 1
                                                    : strrchr(cell, ' ');
    if (from == NULL) {
        return false;
    }
    const size_t n = strcspn(from, ")]");
    snprintf(unit, 32, "%.*s", (int)(n < 31 ? n : 31), from);
    return unit[0] != '\0';
}

static void complain(log_reading *r, size_t cell, const char *expected, const char *remedy, const char *found) {
    r->told++;
    if (r->told <= TOLD_MOST) {
        cq_sheet_complain(&r->sheet, cell, r->error, "log", expected, remedy, "%s", found);
    }
}

static bool read_unit(log_reading *r, column *c) {
    const char *cell = r->sheet.cell[c->cell];
    const bool temperature = c->dimension == CQ_DIM_TEMPERATURE;
    const char *example = temperature ? "temperature (°C) or temperature (°F)" : "time (s)";
    char unit[32], text[64], found[128];
    if (!unit_of(cell, unit)) {
        snprintf(found, sizeof found, "'%.60s', a column without a unit", cell);
        complain(r, c->cell, example, "write the unit into the header: it is never guessed", found);
        return false;
    }
    snprintf(text, sizeof text, "0 %s", unit);
    const bool zero = cq_units_parse(r->units, text, c->dimension, &c->zero) == CQ_QUANTITY_OK;
    snprintf(text, sizeof text, "1 %s", unit);
    if (!zero || cq_units_parse(r->units, text, c->dimension, &c->unit) != CQ_QUANTITY_OK) {
        const char *hint = cq_units_hint(r->units, text, c->dimension);
        snprintf(found, sizeof found, "'%.60s', whose unit is none of %s", cell, temperature ? "temperature" : "time");
        complain(r, c->cell, example, hint == NULL ? "" : hint, found);
        return false;
    }
    c->unit -= c->zero;
    return true;
}

static bool find_column(log_reading *r, column *c, const char *word, const char *letter) {
    size_t found = 0;
    for (size_t i = 0; i < r->sheet.n; i++) {
        if (names(r->sheet.cell[i], word, letter)) {
            c->cell = found++ == 0 ? i : c->cell;
            if (found == 2) {
                complain(r, i, "one column of each", "take the other columns out", "a second column of this kind");
                return false;
            }
        }
    }
    if (found == 0) {
        complain(r, r->sheet.n, "a header with time and temperature, for instance time (s),temperature (°C)", "",
                 c->dimension == CQ_DIM_TIME ? "no column of time" : "no column of temperature");
        return false;
    }
    return read_unit(r, c);
}

static bool read_cell(log_reading *r, const column *c, double *si) {
    const char *cell = c->cell < r->sheet.n ? r->sheet.cell[c->cell] : "";
    char *end, found[128];
    const double number = strtod(cell, &end);
    const bool plain = cell[0] != '\0' && strspn(cell, "+-.0123456789eE") == strlen(cell) && *end == '\0';
    if (!plain || !isfinite(number)) {
        const bool comma = strchr(cell, ',') != NULL;
        snprintf(found, sizeof found, cell[0] == '\0' ? "no %s" : "%s '%.40s'", c->name, cell);
        complain(r, c->cell, "a number",
                 comma ? "write a point, not a comma, before the decimals"
                       : "take the line out if nothing was read there",
                 found);
        return false;
    }
    *si = c->zero + c->unit * number;
    if (c->dimension == CQ_DIM_TEMPERATURE && !(*si > 0.0 && *si < 2000.0)) {
        snprintf(found, sizeof found, "%s '%.40s'", c->name, cell);
        complain(r, c->cell, "a temperature of a quench", "is the unit in the header right?", found);
        return false;
    }
    return true;
}

static bool keep(log_reading *r, double time_s, double temp_K) {
    cq_log *log = &r->log;
    if (log->n == r->room) {
        const size_t room = r->room == 0 ? 4096 : 2 * r->room;
        double *time = cq_memory_grow(log->time_s, room, sizeof *time);
        log->time_s = time == NULL ? log->time_s : time;
        double *temp = time == NULL ? NULL : cq_memory_grow(log->temp_K, room, sizeof *temp);
        log->temp_K = temp == NULL ? log->temp_K : temp;
        int *line = temp == NULL ? NULL : cq_memory_grow(r->line, room, sizeof *line);
        if (line == NULL) {
            return false;
        }
        r->line = line;
        r->room = room;
    }
    log->time_s[log->n] = time_s;
    log->temp_K[log->n] = temp_K;
    r->line[log->n++] = r->sheet.line;
    return true;
}

static cq_status read_lines(log_reading *r) {
    while (cq_sheet_next(&r->sheet, r->arena) && r->told <= TOLD_MOST && r->log.n < READINGS_MOST) {
        double time_s, temp_K;
        const bool time_good = read_cell(r, &r->time, &time_s);
        if (!read_cell(r, &r->temp, &temp_K) || !time_good) {
            continue;
        }
        const size_t n = r->log.n;
        if (n > 0 && !(time_s > r->log.time_s[n - 1])) {
            char found[128];
            snprintf(found, sizeof found,
                     time_s < r->log.time_s[n - 1] ? "a time before that of line %d" : "the same time as in line %d",
                     r->line[n - 1]);
            complain(r, r->time.cell, "times that rise from line to line", "take one of the two lines out", found);
            continue;
        }
        if (!keep(r, time_s, temp_K)) {
            return CQ_ERR_MEMORY;
        }
    }
    return CQ_OK;
}

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static cq_status find_gaps(log_reading *r) {
    const size_t n = r->log.n - 1;
    double *pauses = cq_memory_zero(n, sizeof *pauses);
    if (pauses == NULL) {
        return CQ_ERR_MEMORY;
    }
    for (size_t i = 0; i < n; i++) {
        pauses[i] = r->log.time_s[i + 1] - r->log.time_s[i];
    }
    qsort(pauses, n, sizeof *pauses, by_size);
    const double usual = pauses[n / 2], most = fmax(GAP_TIMES * usual, GAP_S);
    cq_memory_free(pauses);
    for (size_t i = 0; i < n; i++) {
        const double pause = r->log.time_s[i + 1] - r->log.time_s[i];
        if (pause > most) {
            char found[128], expected[96];
            snprintf(found, sizeof found, "a gap of %.3g s after line %d", pause, r->line[i]);
            snprintf(expected, sizeof expected, "readings every %.3g s, as in the rest of the log", usual);
            r->sheet.line = r->line[i + 1];
            r->sheet.n = 0;
            complain(r, 0, expected, "cut the log before the gap or behind it: what happened in it is not known",
                     found);
        }
    }
    return CQ_OK;
}

/* A reading by itself far from both its neighbours, which agree: a loose wire, not a bath. Chosen here. */
static const double SPIKE_K = 15.0, SPIKE_TIMES = 4.0;

static void find_spikes(log_reading *r) {
    const double *t = r->log.time_s, *T = r->log.temp_K;
    for (size_t i = 1; i + 1 < r->log.n; i++) {
        const double u = (t[i] - t[i - 1]) / (t[i + 1] - t[i - 1]), between = T[i - 1] + u * (T[i + 1] - T[i - 1]);
        const double off = fabs(T[i] - between);
        if (off > SPIKE_K && off > SPIKE_TIMES * fabs(T[i + 1] - T[i - 1])) {
            char found[128];
            snprintf(found, sizeof found, "%.0f K off both the reading before and the one behind", off);
            r->sheet.line = r->line[i];
            r->sheet.n = 0;
            complain(r, 0, "a curve without jumps", "take the line out; is a wire loose?", found);
        }
    }
}

static cq_status read_log(log_reading *r, const cq_source *source) {
    cq_sheet_begin(&r->sheet, source);
    r->time = (column){.name = "time", .dimension = CQ_DIM_TIME};
    r->temp = (column){.name = "temperature", .dimension = CQ_DIM_TEMPERATURE};
    if (!cq_sheet_next(&r->sheet, r->arena)) {
        complain(r, 0, "a header and readings", "", "an empty file");
        return CQ_ERR_PLAN;
    }
    const bool time_found = find_column(r, &r->time, "time", "t");
    if (!find_column(r, &r->temp, "temp", "T") || !time_found) {
        return CQ_ERR_PLAN;
    }
    cq_status status = read_lines(r);
    if (status >= 0 && r->told == 0 && r->log.n < READINGS_LEAST) {
        char found[64];
        snprintf(found, sizeof found, "a log of %zu readings", r->log.n);
        complain(r, 0, "30 readings or more, best 50 a second until the piece is cold", "", found);
    }
    if (status >= 0 && r->told == 0) {
        status = find_gaps(r);
        find_spikes(r);
    }
    return status < 0 ? status : r->told > 0 ? CQ_ERR_PLAN : CQ_OK;
}

cq_status cq_log_read(cq_log *log, const char *path, cq_error *error) {
    log_reading r = {.error = error, .arena = cq_arena_create()};
    cq_source source;
    cq_status status = r.arena == NULL ? CQ_ERR_MEMORY : cq_file_load(&source, path, r.arena, error);
    if (status >= 0) {
        r.units = cq_units_open();
        status = read_log(&r, &source);
        cq_units_close(r.units);
    }
    if (status == CQ_ERR_MEMORY) {
        cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status));
    }
    cq_memory_free(r.line);
    cq_arena_free(r.arena);
    if (status < 0) {
        cq_log_clear(&r.log);
    } else {
        *log = r.log;
    }
    return status;
}

bool cq_log_is_one(const char *path) {
    cq_source source;
    cq_sheet sheet;
    bool time = false, temp = false;
    cq_arena *arena = cq_arena_create();
    if (arena != NULL && cq_file_load(&source, path, arena, NULL) >= 0) {
        cq_sheet_begin(&sheet, &source);
        cq_sheet_next(&sheet, arena);
        for (size_t i = 0; i < sheet.n; i++) {
            time = time || names(sheet.cell[i], "time", "t");
            temp = temp || names(sheet.cell[i], "temp", "T");
        }
    }
    cq_arena_free(arena);
    return time && temp;
}
