/* units.h - quantities as people write them: a number (or inch fraction) with its unit, to SI. */
#ifndef CQ_BASE_UNITS_H
#define CQ_BASE_UNITS_H

#include <clayquench/status.h>

typedef enum cq_dimension {
    CQ_DIM_LENGTH,            /* m */
    CQ_DIM_TEMPERATURE,       /* K, degC and degF are offset */
    CQ_DIM_DIFFERENCE,        /* K, degC and degF are scaled only */
    CQ_DIM_TIME,              /* s */
    CQ_DIM_SPEED,             /* m/s */
    CQ_DIM_CONDUCTIVITY,      /* W/m/K */
    CQ_DIM_HEAT_CAPACITY,     /* J/m3/K */
    CQ_DIM_HEAT_TRANSFER,     /* W/m2/K */
    CQ_DIM_CONTACT,           /* m2 K/W */
    CQ_DIM_VOLUME,            /* m3 */
    CQ_DIM_DENSITY,           /* kg/m3 */
    CQ_DIM_SHARE,             /* 1; written in % */
    CQ_DIM_HARDNESS,          /* HV, no conversion */
    CQ_DIMENSIONS
} cq_dimension;

typedef enum cq_quantity_fault {
    CQ_QUANTITY_OK,
    CQ_QUANTITY_NO_NUMBER,
    CQ_QUANTITY_NO_UNIT,
    CQ_QUANTITY_UNKNOWN_UNIT,
    CQ_QUANTITY_WRONG_DIMENSION,
    CQ_QUANTITY_NOT_FINITE
} cq_quantity_fault;

typedef struct cq_units cq_units;

/* Load the unit database (UDUNITS-2). NULL when it cannot be loaded or memory is short. One per reader; not shared
 * between threads. */
cq_units *cq_units_open(void);
void cq_units_close(cq_units *units);

/* Parse `text` ("0.2 mm", "1475 °F", "1 1/2 in", "0.6 W/m/K") as a quantity of the dimension, to SI. *si untouched unless
 * CQ_QUANTITY_OK. */
cq_quantity_fault cq_units_parse(const cq_units *units, const char *text, cq_dimension dimension, double *si);

/* "length, for instance 0.2 mm": what to expect of a dimension. */
const char *cq_dimension_words(cq_dimension dimension);

#endif
