/* units.c - see units.h. UDUNITS-2 knows every unit but the fraction of an inch, which is added here. */
#include "base/units.h"

#include "base/memory.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <udunits2.h>

struct cq_units {
    ut_system *system;
    ut_unit *target[CQ_DIMENSIONS];
};

static const struct {
    const char *unit, *words;
} DIMENSION[CQ_DIMENSIONS] = {
    [CQ_DIM_LENGTH] = {"m", "a length, for instance 0.2 mm, 0.030 in or 1/16 in"},
    [CQ_DIM_TEMPERATURE] = {"K", "a temperature, for instance 800 °C or 1475 °F"},
    [CQ_DIM_DIFFERENCE] = {"K", "a temperature difference, for instance 12 K"},
    [CQ_DIM_TIME] = {"s", "a time, for instance 3 s or 5 min"},
    [CQ_DIM_SPEED] = {"m/s", "a speed, for instance 0.3 m/s"},
    [CQ_DIM_CONDUCTIVITY] = {"W/m/K", "a conductivity, for instance 0.6 W/m/K"},
    [CQ_DIM_HEAT_CAPACITY] = {"J/m^3/K", "a heat capacity per volume, for instance 1.4 MJ/m^3/K"},
    [CQ_DIM_HEAT_TRANSFER] = {"W/m^2/K", "a heat transfer coefficient, for instance 2000 W/m^2/K"},
    [CQ_DIM_CONTACT] = {"m^2*K/W", "a contact resistance, for instance 1e-4 m^2*K/W"},
    [CQ_DIM_VOLUME] = {"m^3", "a volume, for instance 20 l"},
    [CQ_DIM_DENSITY] = {"kg/m^3", "a density, for instance 1550 kg/m^3"},
    [CQ_DIM_SHARE] = {"1", "a share, for instance 12 %"},
    [CQ_DIM_HARDNESS] = {"1", "a Vickers hardness, for instance 10 HV"},
};

const char *cq_dimension_words(cq_dimension dimension) {
    return DIMENSION[dimension].words;
}

void cq_units_close(cq_units *units) {
    if (units == NULL) {
        return;
    }
    for (int d = 0; d < CQ_DIMENSIONS; d++) {
        if (units->target[d] != NULL) {
            ut_free(units->target[d]);
        }
    }
    if (units->system != NULL) {
        ut_free_system(units->system);
    }
    cq_memory_free(units);
}

cq_units *cq_units_open(void) {
    cq_units *units = cq_memory_zero(1, sizeof *units);
    if (units == NULL) {
        return NULL;
    }
    ut_error_message_handler before = ut_set_error_message_handler(ut_ignore);
    units->system = ut_read_xml(NULL);
    bool whole = units->system != NULL;
    for (int d = 0; d < CQ_DIMENSIONS && whole; d++) {
        units->target[d] = ut_parse(units->system, DIMENSION[d].unit, UT_UTF8);
        whole = units->target[d] != NULL;
    }
    ut_set_error_message_handler(before);
    if (!whole) {
        cq_units_close(units);
        return NULL;
    }
    return units;
}

static const char *skip_spaces(const char *p) {
    while (*p == ' ' || *p == '\t') {
        p++;
    }
    return p;
}

/* A whole positive number followed by nothing of a decimal. */
static bool read_whole(const char **p, double *value) {
    char *end;
    if (**p < '0' || **p > '9') {
        return false;
    }
    const unsigned long whole = strtoul(*p, &end, 10);
    *value = (double)whole;
    *p = end;
    return true;
}

/* "3", "0.2", "1/16", "1 1/2": value and where the unit starts. */
static bool read_number(const char *text, double *value, const char **unit) {
    const char *p = skip_spaces(text), *q = p;
    double whole, top, bottom;
    if (read_whole(&q, &whole)) {
        if (*q == '/' && (q++, read_whole(&q, &bottom)) && bottom > 0.0 && (*q == ' ' || *q == '\0')) {
            *value = whole / bottom;
            *unit = skip_spaces(q);
            return true;
        }
        q = p;
        read_whole(&q, &whole);
        q = skip_spaces(q);
        if (read_whole(&q, &top) && *q == '/' && (q++, read_whole(&q, &bottom)) && bottom > 0.0 && (*q == ' ' || *q == '\0')) {
            *value = whole + top / bottom;
            *unit = skip_spaces(q);
            return true;
        }
    }
    char *end;
    *value = strtod(p, &end);
    if (end == p || ((*p | 32) >= 'a' && (*p | 32) <= 'z')) { /* "nan" and "inf" are words, not numbers */
        return false;
    }
    *unit = skip_spaces(end);
    return true;
}

cq_quantity_fault cq_units_parse(const cq_units *units, const char *text, cq_dimension dimension, double *si) {
    double value;
    const char *unit;
    if (!read_number(text, &value, &unit)) {
        return CQ_QUANTITY_NO_NUMBER;
    }
    if (*unit == '\0') {
        return CQ_QUANTITY_NO_UNIT;
    }
    if (dimension == CQ_DIM_HARDNESS) {
        if (strcmp(unit, "HV") != 0) {
            return CQ_QUANTITY_UNKNOWN_UNIT;
        }
        *si = value;
        return CQ_QUANTITY_OK;
    }
    ut_error_message_handler before = ut_set_error_message_handler(ut_ignore);
    ut_unit *from = ut_parse(units->system, unit, UT_UTF8);
    cq_quantity_fault fault = CQ_QUANTITY_OK;
    if (from == NULL) {
        fault = CQ_QUANTITY_UNKNOWN_UNIT;
    } else if (!ut_are_convertible(from, units->target[dimension])) {
        fault = CQ_QUANTITY_WRONG_DIMENSION;
    } else {
        cv_converter *converter = ut_get_converter(from, units->target[dimension]);
        const double zero = dimension == CQ_DIM_DIFFERENCE ? cv_convert_double(converter, 0.0) : 0.0;
        const double converted = cv_convert_double(converter, value) - zero;
        cv_free(converter);
        if (isfinite(converted)) {
            *si = converted;
        } else {
            fault = CQ_QUANTITY_NOT_FINITE;
        }
    }
    if (from != NULL) {
        ut_free(from);
    }
    ut_set_error_message_handler(before);
    return fault;
}
