/* piece.h - a round or plate in one bath: one small run and the history of one place. */
#ifndef CQ_STUDY_PIECE_H
#define CQ_STUDY_PIECE_H

#include <clayquench/quench.h>

typedef struct cq_piece {
    cq_family family;      /* CQ_FAMILY_ROUND or CQ_FAMILY_PLATE */
    double size_m;         /* diameter or thickness */
    bool at_surface;       /* where the thermocouple is; else in the centre */
    const cq_steel *steel; /* inert */
    const cq_clay *clay;   /* NULL: bare */
    double coat_m;
    double start_K, until_K;
} cq_piece;

/* Run it in the bath of `step` (its ends are the piece's). *run holds the answer until cq_run_free; *trace is its
 * history. */
cq_status cq_piece_quench(cq_run **run, const cq_trace **trace, cq_plan *plan, const cq_piece *piece,
                          cq_step_plan *step, cq_error *error);

#endif
