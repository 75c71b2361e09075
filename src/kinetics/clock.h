/* clock.h - inside of a cq_clock, shared by the files of this floor. */
#ifndef CQ_KINETICS_CLOCK_H
#define CQ_KINETICS_CLOCK_H

#include "kinetics/laws.h"

/* 1 K apart. Straight between, a rate errs by less than 5e-4 where it matters (bainite; pearlite above 400 degC); by
 * 1e-3 from 60 K below Ae1 on and more nearer, where half times are minutes to days. */
enum { CQ_CLOCK_NODES = 1024, CQ_CLOCK_FIRST_K = 280 };
/* Rates are 0 at and below this (150 degC): even a bainite clock that has begun adds less than 0.3 % of the austenite
 * in ten minutes there. In the tables, so that a cell's fate does not depend on which cells share its block. */
enum { CQ_CLOCK_COLDEST_K = 423 };

typedef struct cq_clock_tables {          /* CQ_CLOCK_NODES each */
    double *pearlite, *bainite, *ferrite; /* 1/t50, 1/s; 0 where the product does not form */
    double *ceiling;                      /* ferrite share at equilibrium */
    double *pearlite_HV, *bainite_HV;
    double *upper_bainite; /* share of the pearlite curve's product called bainite */
} cq_clock_tables;
enum { CQ_CLOCK_TABLES = 7 };

struct cq_clock {
    cq_law law;
    cq_soak soak;
    cq_criticals criticals; /* of the steel; the law's equilibria are those of its austenite */
    double Ms_C, alpha, hottest_K;
    double proeutectoid_HV; /* what it adds to CQ_FERRITE_HV */
    cq_clock_tables tables;
};

/* A structure of n cells in `room`, CQ_STRUCTURE_ROOM(n) doubles, all 0, which stay the caller's. */
#define CQ_STRUCTURE_ROOM(n) ((CQ_PHASES + 6) * ((n) + 8))
void cq_structure_lay(cq_structure *structure, size_t n, double *room);

#endif
