/* autotemper.h - martensite that tempers itself while the piece is still warm: in slow cooling below its start, and
 * above all when the heat of the body returns to a pulled edge.
 *
 * Martensite is kept in cohorts by the order in which it formed. Each has the time at 200 degC that would have tempered
 * it as much; times add up with one activation energy, and are turned back into the tempering parameter of tempering.h
 * at the hottest temperature the cohort has seen, where most of it happened.
 */
#ifndef CQ_HARDNESS_AUTOTEMPER_H
#define CQ_HARDNESS_AUTOTEMPER_H

#include <clayquench/material.h>
#include <clayquench/status.h>

enum { CQ_COHORTS = 8 }; /* cohort k forms while martensite grows from k/8 to (k+1)/8 of the volume */

typedef struct cq_autotemper { /* arrays of n cells */
    size_t n;
    double *time_s;             /* at 200 degC, since the first martensite */
    double *born_s[CQ_COHORTS]; /* time_s when the middle of the cohort formed */
    double *peak_K;             /* hottest the cell became on reheating; 0: it never was */
    double *old_s, *old_M;      /* time_s and martensite when that reheating began */
    double *again_s;            /* time_s when martensite grew again after it; INFINITY: not yet */
    double *last_s, *last_M;    /* at the end of the last step in which the cell cooled */
} cq_autotemper;

cq_status cq_autotemper_create(cq_autotemper *state, size_t n);
void cq_autotemper_free(cq_autotemper *state);

/* An accepted step: temperatures and martensite before and after it, n cells each. */
void cq_autotemper_step(cq_autotemper *state, const double *T0_K, const double *T1_K, const double *M0,
                        const double *M1, double dt_s);

/* What a cell's martensite has lost against one cooled at 200 K/s, as which tables of as-quenched hardness are read,
 * and the mean tempering parameter it starts its next temper with. */
typedef struct cq_softening {
    double loss_HRC, parameter;
} cq_softening;

/* Law of formation for the cohorts' own temperatures: M = most (1 - exp(-alpha (Ms - T))). */
typedef struct cq_formation {
    double Ms_K, alpha_per_K, most;
} cq_formation;
cq_softening cq_autotemper_of(const cq_autotemper *state, size_t cell, const cq_steel *steel, double carbon_solution_wt,
                              double quenched_HRC, double martensite, const cq_formation *formation);

#endif
