/* units.h - quantities as people write them: a number (or inch fraction) with its unit, to SI and back to text. */
#ifndef CQ_BASE_UNITS_H
#define CQ_BASE_UNITS_H

#include <clayquench/status.h>
#include <stddef.h>

typedef enum cq_dimension {
    CQ_DIM_LENGTH,        /* m */
    CQ_DIM_TEMPERATURE,   /* K, degC and degF are offset */
    CQ_DIM_DIFFERENCE,    /* K, degC and degF are scaled only */
    CQ_DIM_TIME,          /* s */
    CQ_DIM_SPEED,         /* m/s */
    CQ_DIM_CONDUCTIVITY,  /* W/m/K */
    CQ_DIM_HEAT_CAPACITY, /* J/m3/K */
    CQ_DIM_HEAT_TRANSFER, /* W/m2/K */
    CQ_DIM_CONTACT,       /* m2 K/W */
    CQ_DIM_VOLUME,        /* m3 */
    CQ_DIM_DENSITY,       /* kg/m3 */
    CQ_DIM_VISCOSITY,     /* m2/s, kinematic */
    CQ_DIM_STRESS,        /* Pa */
    CQ_DIM_EXPANSION,     /* 1/K */
    CQ_DIM_SHARE,         /* 1; written in % */
    CQ_DIM_HARDNESS,      /* HV, no conversion */
    CQ_DIMENSIONS
} cq_dimension;

typedef enum cq_quantity_fault {
    CQ_QUANTITY_OK,
    CQ_QUANTITY_NO_NUMBER,
    CQ_QUANTITY_NO_UNIT,
    CQ_QUANTITY_UNKNOWN_UNIT,
    CQ_QUANTITY_WRONG_DIMENSION,
    CQ_QUANTITY_NOT_FINITE,
    CQ_QUANTITY_NO_DATABASE /* UDUNITS-2 could not load its units */
} cq_quantity_fault;

typedef struct cq_units cq_units;

/* From the first open to the last close the unit database (UDUNITS-2) is kept, once a unit has been met that needs it.
 * Never NULL; every open needs a close. Safe to call and to use from several threads: one database, one lock. */
cq_units *cq_units_open(void);
void cq_units_close(cq_units *units);

/* Parse `text` ("0.2 mm", "1475 °F", "1 1/2 in", "0.6 W/m/K") as a quantity of the dimension, to SI. *si untouched
 * unless CQ_QUANTITY_OK. A unit may not hold a number of its own ("3 2 mm"): that would multiply in silence. */
cq_quantity_fault cq_units_parse(const cq_units *units, const char *text, cq_dimension dimension, double *si);

/* What a quantity with the unit of `text` is: "a time", "a length"; NULL if it is none that plans know. */
const char *cq_units_kind(const cq_units *units, const char *text);

/* What to write instead of a unit that is often miswritten ("800 C", "0.6 W/mK", "0,2 mm"); NULL if nothing comes to
 * mind. A fixed string. */
const char *cq_units_hint(const cq_units *units, const char *text, cq_dimension dimension);

/* "a length, for instance 0.2 mm": what to expect of a dimension. */
const char *cq_dimension_words(cq_dimension dimension);

/* An SI value as plans write it ("0.2 mm", "800 °C"), to four digits, into `to`. Returns `to`. */
char *cq_quantity_text(double si, cq_dimension dimension, char *to, size_t size);

/* A temperature for a sentence whose reader's units are not known: "650 °C (1202 °F)". Returns `to`. */
char *cq_temperature_text(double temp_K, char *to, size_t size);

/* A length the same way: "0.26 mm (0.010 in)". Returns `to`. */
char *cq_length_text(double length_m, char *to, size_t size);

/* And a difference of temperatures: "81 °C (146 °F)". Returns `to`. */
char *cq_difference_text(double difference_K, char *to, size_t size);

#endif
