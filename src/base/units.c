/* units.c - see units.h. UDUNITS-2 knows every unit but the fraction of an inch, which is added here. */
#include "base/units.h"

#include <math.h>
#include <pthread.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <udunits2.h>

/* Per dimension: its SI unit, what it is called, an example, and the unit people write it in (per SI, with its zero).
 * These units, which most plans and profiles get along with, are read by this very table; test_units holds it against
 * UDUNITS. All others are UDUNITS' own, whose database takes longer to load than a plan to read. */
static const struct {
    const char *unit, *noun, *words, *written;
    double per_si, zero;
} DIMENSION[CQ_DIMENSIONS] = {
#define WORDS(noun, example) noun, noun ", for instance " example
    [CQ_DIM_LENGTH] = {"m", WORDS("a length", "0.2 mm, 0.030 in or 1/16 in"), "mm", 1e3, 0.0},
    [CQ_DIM_TEMPERATURE] = {"K", WORDS("a temperature", "800 °C or 1475 °F"), "°C", 1.0, 273.15},
    [CQ_DIM_DIFFERENCE] = {"K", WORDS("a temperature difference", "12 K"), "K", 1.0, 0.0},
    [CQ_DIM_TIME] = {"s", WORDS("a time", "3 s or 5 min"), "s", 1.0, 0.0},
    [CQ_DIM_SPEED] = {"m/s", WORDS("a speed", "0.3 m/s"), "m/s", 1.0, 0.0},
    [CQ_DIM_CONDUCTIVITY] = {"W/m/K", WORDS("a conductivity", "0.6 W/m/K"), "W/m/K", 1.0, 0.0},
    [CQ_DIM_HEAT_CAPACITY] = {"J/m^3/K", WORDS("a heat capacity per volume", "1.4 MJ/m^3/K"), "MJ/m^3/K", 1e-6, 0.0},
    [CQ_DIM_HEAT_TRANSFER] = {"W/m^2/K", WORDS("a heat transfer coefficient", "2000 W/m^2/K"), "W/m^2/K", 1.0, 0.0},
    [CQ_DIM_CONTACT] = {"m^2*K/W", WORDS("a contact resistance", "1e-4 m^2*K/W"), "m^2*K/W", 1.0, 0.0},
    [CQ_DIM_VOLUME] = {"m^3", WORDS("a volume", "20 l"), "l", 1e3, 0.0},
    [CQ_DIM_DENSITY] = {"kg/m^3", WORDS("a density", "1550 kg/m^3"), "kg/m^3", 1.0, 0.0},
    [CQ_DIM_VISCOSITY] = {"m^2/s", WORDS("a kinematic viscosity", "20 mm^2/s"), "mm^2/s", 1e6, 0.0},
    [CQ_DIM_STRESS] = {"Pa", WORDS("a stress", "250 MPa"), "MPa", 1e-6, 0.0},
    [CQ_DIM_EXPANSION] = {"K^-1", WORDS("a thermal expansion", "18.5 um/m/K"), "um/m/K", 1e6, 0.0},
    [CQ_DIM_SHARE] = {"1", WORDS("a share", "12 %"), "%", 100.0, 0.0},
    [CQ_DIM_HARDNESS] = {"1", WORDS("a Vickers hardness", "10 HV"), "HV", 1.0, 0.0},
#undef WORDS
};

/* UDUNITS-2 parses through global state and takes milliseconds to load: all who have it open share one database, loaded
 * when it is first needed, and every call into it holds the lock. */
struct cq_units {
    pthread_mutex_t lock;
    size_t users;
    ut_system *system;
    ut_unit *target[CQ_DIMENSIONS];
    ut_unit *per_mass; /* J/kg/K, to recognise a heat capacity of the other kind */
};
static cq_units shared = {.lock = PTHREAD_MUTEX_INITIALIZER};

static void enter(ut_error_message_handler *before) {
    pthread_mutex_lock(&shared.lock);
    *before = ut_set_error_message_handler(ut_ignore); /* the library never prints */
}

static void leave(ut_error_message_handler before) {
    ut_set_error_message_handler(before);
    pthread_mutex_unlock(&shared.lock);
}

static void unload(void) {
    for (int d = 0; d < CQ_DIMENSIONS; d++) {
        ut_free(shared.target[d]); /* NULL is allowed */
        shared.target[d] = NULL;
    }
    ut_free(shared.per_mass);
    shared.per_mass = NULL;
    if (shared.system != NULL) {
        ut_free_system(shared.system);
        shared.system = NULL;
    }
}

/* The database, there already or now; the lock is held. */
static bool is_loaded(void) {
    if (shared.system != NULL) {
        return true;
    }
    shared.system = ut_read_xml(NULL);
    bool whole = shared.system != NULL;
    for (int d = 0; d < CQ_DIMENSIONS && whole; d++) {
        shared.target[d] = ut_parse(shared.system, DIMENSION[d].unit, UT_UTF8);
        whole = shared.target[d] != NULL;
    }
    shared.per_mass = whole ? ut_parse(shared.system, "J/kg/K", UT_UTF8) : NULL;
    if (shared.per_mass == NULL) {
        unload();
        return false;
    }
    return true;
}

cq_units *cq_units_open(void) {
    ut_error_message_handler before;
    enter(&before);
    shared.users++;
    leave(before);
    return &shared;
}

void cq_units_close(cq_units *units) {
    if (units == NULL) {
        return;
    }
    ut_error_message_handler before;
    enter(&before);
    if (--shared.users == 0) {
        unload();
    }
    leave(before);
}

/* ---- the number -------------------------------------------------------------------------------------------------- */

static const char *skip_spaces(const char *p) {
    while (*p == ' ' || *p == '\t') {
        p++;
    }
    return p;
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

static bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || ((unsigned char)c & 0x80) != 0;
}

/* Digits only; moves *p behind them. */
static bool read_whole(const char **p, double *value) {
    if (!is_digit(**p)) {
        return false;
    }
    *value = 0.0;
    while (is_digit(**p)) {
        *value = 10.0 * *value + (*(*p)++ - '0');
    }
    return true;
}

/* "1/16" or "1 1/2", with a space or a letter behind it; moves *p behind it. */
static bool read_fraction(const char **p, double *value) {
    const char *q = *p;
    double whole = 0.0, top, bottom;
    if (!read_whole(&q, &top)) {
        return false;
    }
    if (*q != '/') {
        whole = top;
        q = skip_spaces(q);
        if (!read_whole(&q, &top) || *q != '/') {
            return false;
        }
    }
    q++;
    if (!read_whole(&q, &bottom) || !(bottom > 0.0) || (strchr(" \t\"'", *q) == NULL && !is_letter(*q))) {
        return false;
    }
    *value = whole + top / bottom;
    *p = q;
    return true;
}

/* A decimal number as strtod reads it, but no "nan", "inf" or hexadecimal. */
static bool read_decimal(const char **p, double *value) {
    char *end;
    *value = strtod(*p, &end);
    if (end == *p || strspn(*p, "+-.0123456789eE") < (size_t)(end - *p)) {
        return false;
    }
    *p = end;
    return true;
}

static bool read_number(const char *text, double *value, const char **unit) {
    const char *p = skip_spaces(text);
    if (!read_fraction(&p, value) && !read_decimal(&p, value)) {
        return false;
    }
    *unit = skip_spaces(p);
    return true;
}

/* ---- the unit ---------------------------------------------------------------------------------------------------- */

/* True if every digit of a unit is part of an exponent (m2, m^2, m-2) and not a factor of its own. */
static bool is_plain(const char *unit) {
    for (const char *p = unit; *p != '\0'; p++) {
        if (!is_digit(*p) || (p > unit && is_digit(p[-1]))) {
            continue;
        }
        const char *before = p - 1;
        if (before > unit && (*before == '-' || *before == '+')) {
            before--;
        }
        if (before < unit || !(is_letter(*before) || *before == '^')) {
            return false;
        }
    }
    return true;
}

/* Converter to `target`, or NULL. UDUNITS also converts to the reciprocal (Hz to s): here that is another dimension. */
static cv_converter *converter_to(ut_unit *from, ut_unit *target) {
    cv_converter *converter = ut_are_convertible(from, target) ? ut_get_converter(from, target) : NULL;
    if (converter != NULL && !isfinite(cv_convert_double(converter, 0.0))) {
        cv_free(converter);
        converter = NULL;
    }
    return converter;
}

static bool converts(ut_unit *from, ut_unit *target) {
    cv_converter *converter = converter_to(from, target);
    const bool found = converter != NULL;
    cv_free(converter); /* NULL is allowed */
    return found;
}

static cq_quantity_fault convert(ut_unit *from, cq_dimension dimension, double value, double *si) {
    cv_converter *converter = converter_to(from, shared.target[dimension]);
    if (converter == NULL) {
        return CQ_QUANTITY_WRONG_DIMENSION;
    }
    const double zero = dimension == CQ_DIM_DIFFERENCE ? cv_convert_double(converter, 0.0) : 0.0;
    const double converted = cv_convert_double(converter, value) - zero;
    cv_free(converter);
    if (!isfinite(converted)) {
        return CQ_QUANTITY_NOT_FINITE;
    }
    *si = converted;
    return CQ_QUANTITY_OK;
}

/* The units of DIMENSION and those of time. False: another unit. */
static bool convert_usual(const char *unit, cq_dimension dimension, double value, double *si) {
    static const struct {
        const char *unit;
        double s;
    } times[] = {{"ms", 1e-3}, {"min", 60.0}, {"h", 3600.0}};
    for (size_t t = 0; dimension == CQ_DIM_TIME && t < sizeof times / sizeof times[0]; t++) {
        if (strcmp(unit, times[t].unit) == 0) {
            *si = value * times[t].s;
            return true;
        }
    }
    if (strcmp(unit, DIMENSION[dimension].written) == 0) {
        *si = value / DIMENSION[dimension].per_si + DIMENSION[dimension].zero;
    } else if (strcmp(unit, DIMENSION[dimension].unit) == 0) {
        *si = value;
    } else {
        return false;
    }
    return true;
}

cq_quantity_fault cq_units_parse(const cq_units *units, const char *text, cq_dimension dimension, double *si) {
    (void)units; /* proof that somebody holds it open */
    double value, usual;
    const char *unit;
    if (!read_number(text, &value, &unit)) {
        return CQ_QUANTITY_NO_NUMBER;
    }
    if (!isfinite(value)) {
        return CQ_QUANTITY_NOT_FINITE;
    }
    if (*unit == '\0') {
        return CQ_QUANTITY_NO_UNIT;
    }
    if (strcmp(unit, "HV") == 0) { /* a scale, not a unit of UDUNITS */
        *si = dimension == CQ_DIM_HARDNESS ? value : *si;
        return dimension == CQ_DIM_HARDNESS ? CQ_QUANTITY_OK : CQ_QUANTITY_WRONG_DIMENSION;
    }
    if (!is_plain(unit)) {
        return CQ_QUANTITY_UNKNOWN_UNIT;
    }
    if (dimension != CQ_DIM_HARDNESS && convert_usual(unit, dimension, value, &usual) && isfinite(usual)) {
        *si = usual;
        return CQ_QUANTITY_OK;
    }
    ut_error_message_handler before;
    enter(&before);
    const bool loaded = is_loaded();
    ut_unit *from = loaded ? ut_parse(shared.system, unit, UT_UTF8) : NULL;
    cq_quantity_fault fault = !loaded                        ? CQ_QUANTITY_NO_DATABASE
                              : from == NULL                 ? CQ_QUANTITY_UNKNOWN_UNIT
                              : dimension == CQ_DIM_HARDNESS ? CQ_QUANTITY_WRONG_DIMENSION
                                                             : convert(from, dimension, value, si);
    ut_free(from);
    leave(before);
    return fault;
}

/* ---- words for complaints ---------------------------------------------------------------------------------------- */

/* The unit of `text`, parsed; NULL if there is none. The lock is held. */
static ut_unit *parse_unit(const char *text) {
    double value;
    const char *unit;
    const bool parts = read_number(text, &value, &unit) && *unit != '\0' && is_plain(unit);
    return parts && is_loaded() ? ut_parse(shared.system, unit, UT_UTF8) : NULL;
}

const char *cq_units_kind(const cq_units *units, const char *text) {
    (void)units;
    double value;
    const char *unit, *noun = NULL;
    if (read_number(text, &value, &unit) && strcmp(unit, "HV") == 0) {
        return DIMENSION[CQ_DIM_HARDNESS].noun;
    }
    ut_error_message_handler before;
    enter(&before);
    ut_unit *from = parse_unit(text);
    for (int d = 0; d < CQ_DIM_HARDNESS && from != NULL && noun == NULL; d++) {
        noun = converts(from, shared.target[d]) ? DIMENSION[d].noun : NULL;
    }
    if (from != NULL && noun == NULL && converts(from, shared.per_mass)) {
        noun = "a heat capacity per mass";
    }
    ut_free(from);
    leave(before);
    return noun;
}

static bool unit_is(const char *unit, const char *const *words, size_t n) {
    for (size_t w = 0; w < n; w++) {
        if (strcmp(unit, words[w]) == 0) {
            return true;
        }
    }
    return false;
}

const char *cq_units_hint(const cq_units *units, const char *text, cq_dimension dimension) {
    static const char *const celsius[] = {"C", "c", "deg", "deg C", "deg. C", "degrees C", "° C", "°"};
    static const char *const fahrenheit[] = {"F", "f", "deg F", "deg. F", "degrees F", "° F"};
    double value;
    const char *unit;
    if (!read_number(text, &value, &unit)) {
        return NULL;
    }
    const bool thermal = dimension == CQ_DIM_TEMPERATURE || dimension == CQ_DIM_DIFFERENCE;
    if (thermal && unit_is(unit, celsius, sizeof celsius / sizeof celsius[0])) {
        return "write °C";
    }
    if (thermal && unit_is(unit, fahrenheit, sizeof fahrenheit / sizeof fahrenheit[0])) {
        return "write °F";
    }
    if (dimension == CQ_DIM_LENGTH && (*unit == '"' || strncmp(unit, "''", 2) == 0)) {
        return "write in for inches";
    }
    if (*unit == ',') {
        return "write a point, not a comma, before the decimals";
    }
    if (dimension == CQ_DIM_HEAT_CAPACITY) {
        const char *kind = cq_units_kind(units, text);
        if (kind != NULL && strcmp(kind, "a heat capacity per mass") == 0) {
            return "multiply it by the density";
        }
    }
    if (strstr(unit, "mK") != NULL || strstr(unit, "m2K") != NULL || strstr(unit, "m3K") != NULL) {
        return "mK is a millikelvin: write W/m/K, W/m^2/K, J/m^3/K or m^2*K/W";
    }
    return NULL;
}

const char *cq_dimension_words(cq_dimension dimension) {
    return DIMENSION[dimension].words;
}

char *cq_quantity_text(double si, cq_dimension dimension, char *to, size_t size) {
    snprintf(to, size, "%.4g %s", (si - DIMENSION[dimension].zero) * DIMENSION[dimension].per_si,
             DIMENSION[dimension].written);
    return to;
}

char *cq_temperature_text(double temp_K, char *to, size_t size) {
    const double celsius = temp_K - DIMENSION[CQ_DIM_TEMPERATURE].zero;
    snprintf(to, size, "%.0f °C (%.0f °F)", celsius, 1.8 * celsius + 32.0);
    return to;
}

char *cq_length_text(double length_m, char *to, size_t size) {
    snprintf(to, size, "%.2f mm (%.3f in)", 1e3 * length_m, length_m / 0.0254);
    return to;
}

char *cq_difference_text(double difference_K, char *to, size_t size) {
    snprintf(to, size, "%.0f °C (%.0f °F)", difference_K, 1.8 * difference_K);
    return to;
}
