/* run.h - inside of a run, shared by the files of this floor. */
#ifndef CQ_QUENCH_RUN_H
#define CQ_QUENCH_RUN_H

#include "boundary/flux.h"
#include "conduction/heat.h"
#include "hardness/autotemper.h"
#include "kinetics/kinetics.h"
#include "material/thermal.h"

#include <clayquench/quench.h>

/* Soak and rates of cells that share them. */
typedef struct cq_run_soak {
    cq_steel steel; /* with their carbon */
    double temperature_K;
    cq_soak soak;
    cq_clock *clock;
} cq_run_soak;

/* Packed cells [first, last) that share one. */
typedef struct cq_run_span {
    size_t first, last;
    int soak;
} cq_run_span;

typedef struct cq_run_built cq_run_built; /* built.h */
typedef struct cq_run_fire cq_run_fire;   /* fire.h */

/* How a bath takes hold of one outer face. */
typedef struct cq_run_wetting {
    double from_s, to_s, share; /* wetted between these times; the share that is */
    const cq_flux_law *dry_law; /* what the rest sees; NULL: nothing sweeps it */
    cq_flux_face dry_face;
    double water_J_m; /* heat that water carried in the clay still takes */
} cq_run_wetting;

/* How warm a plan step's bath was found, at its hottest and when it was left; 0: not entered. */
typedef struct cq_run_bath {
    double found_K, hottest_K, left_K;
    bool boiled; /* water held short of boiling: more heat went into steam */
} cq_run_bath;

/* What the quench before left, of a plan with several heats. */
typedef struct cq_run_found {
    size_t n;                                 /* rows; 0: there was none, or the plan states the structure */
    double *height_m, *hardened, *untouched;  /* one block; shares as in cq_run_stock */
    cq_stock stock;                           /* of the part that is untouched */
    double curvature_1_m, side_curvature_1_m; /* lasting bend, as in cq_bend */
} cq_run_found;

/* Shares at a height: hardened before; never turned, so that it is the stock of the first heat. The rest is pearlite.
 */
typedef struct cq_run_stock {
    double hardened, untouched;
} cq_run_stock;

struct cq_run {
    const cq_plan *plan; /* of several heats: `view`, in which no clay falls off */
    const cq_plan *whole;
    cq_plan view;
    cq_run_found found;
    cq_run_options options;
    cq_section *section;
    cq_grid *grid;
    cq_heat *heat;
    cq_heat_client client;
    /* steel cells, packed row by row: cell (i, j) of the steel block is (i - steel_i0) * steel_across + j - steel_j0 */
    int steel_rows, steel_across;
    size_t steel_n;
    bool transforming;
    cq_run_built *built; /* NULL: one steel, no skin */
    cq_run_fire *fire;   /* NULL: soaked as stated */
    int soaks_n;         /* 1 where all is one steel and evenly hot */
    cq_run_soak *soaks;
    int *soak_of; /* per packed cell */
    size_t spans_n;
    cq_run_span *spans;        /* in the order of the cells */
    cq_structure structure[2]; /* [now], [1 - now] is the trial */
    int now;
    cq_autotemper autotemper;          /* martensite tempering itself while the piece is warm */
    double *softening_HRC, *parameter; /* what came of it, packed; at the end of the run */
    double *pack_T, *pack_T0, *pack_mid, *pack_k, *pack_c, *pack_H, *pack_slope;
    cq_sampled inert; /* inert steel */
    /* clay cells, as a list of padded elements */
    size_t clay_n;
    int *clay_at;
    double *clay_factor; /* of conductivity: thin wet coats */
    cq_sampled clay;
    /* surroundings */
    cq_flux_law *law;            /* of the present step; may be `air` itself, as `before` may */
    cq_flux_law *air;            /* still air: above the depth of a step that wets only part, before the first bath */
    cq_flux_law *before;         /* of the step before, while a swept entry still needs it */
    const cq_flux_law **end_law; /* per end: law, or air where it stays dry */
    cq_run_wetting *wetting;     /* per end */
    bool sweeping, drying;       /* some end is being swept, carries water */
    double swept_until_s;
    const cq_step_plan *step; /* the present step */
    cq_step_plan after;       /* still air after the plan's steps */
    cq_run_bath *baths;       /* per plan step */
    double bath_K;            /* the liquid now */
    double bath_begin_K, begin_heat_out_J_m,
        dry_heat_J_m;    /* when it was entered; heat given off until then, and to the air since then */
    cq_flux_face *faces; /* per end */
    double *coat_m;      /* per end: clay over that face */
    double *film_m2K_W;  /* per end: thin coat's resistance, without scale */
    /* bookkeeping */
    double content_start_J_m, heat_scale_J_m; /* heat at the start; what of it there is above room temperature */
    bool entered_bath;
    double entered_s;
    struct { /* of this plan step: where a table did not reach the faces' temperatures */
        size_t times;
        double low_K, high_K; /* how far they went */
    } outside;
    size_t lost_next; /* patch that falls next */
    size_t record_next;
    bool after_steps;                 /* cooling on in air: histories have ended with the steps */
    double *peak_rate;                /* packed */
    struct cq_distortion *distortion; /* NULL: not followed */
    cq_result result;
};

/* cells.c: properties of the cells for the heat solver. */
cq_status cq_run_cells_create(cq_run *run);
void cq_run_cells_free(cq_run *run);
void cq_run_list_clay(cq_run *run); /* the clay cells the grid has now */
void cq_run_fill(void *context, const double *T_now, const double *T_predicted, double dt_s, double *k, double *c,
                 double *H);
void cq_run_settle(void *context, double *T, const double *H_linear, const double *c, double *H);
void cq_run_enthalpy(cq_run *run, const double *T, double *H);
/* Self-tempering over the step just accepted. */
void cq_run_autotemper(cq_run *run, double dt_s);
static inline int cq_run_row_at(const cq_run *run, int row) {
    return cq_heat_at(run->heat, run->grid->steel_i0 + row, run->grid->steel_j0);
}

/* soaks.c: the soak of every cell. */
cq_status cq_run_soaks_create(cq_run *run, cq_error *error);
void cq_run_soaks_free(cq_run *run);
void cq_run_soak_notices(cq_run *run);
/* False unless the steel's measured diagram begins or ends far from what its halves would make one expect; then `to`
 * says how far. */
enum { CQ_DIAGRAM_WORDS = 256 };
bool cq_diagram_misfit_words(const cq_steel *steel, char to[CQ_DIAGRAM_WORDS]);
double cq_run_soak_K(const cq_run *run, double height_m);
static inline const cq_run_soak *cq_run_soak_at(const cq_run *run, size_t packed) {
    return &run->soaks[run->soak_of[packed]];
}
/* Packed cells that stand for the edge (of a one-sided hard skin: at its face) and the spine. */
/* judged.c: the colour of the heat, where the plan has it judged by that. */
void cq_run_judged_notice(cq_run *run);
size_t cq_run_edge_cell(const cq_run *run);
size_t cq_run_spine_cell(const cq_run *run);
/* What the heat leaves at a cell of the steel there, had it this much carbon. */
cq_status cq_run_soak_with(cq_run *run, size_t cell, double carbon_wt, cq_steel *steel, cq_soak *soak);

/* surroundings.c: one step of the plan's timeline. */
cq_status cq_run_faces_create(cq_run *run);
/* Still air as plans have it. */
cq_bath cq_still_air(void);
/* Heat capacity of coats too thin for cells, per outer face (cq_heat_ends of them). */
void cq_run_film_heat(const cq_run *run, double *heat_J_m2K);
/* Coat and film over every face, as the grid has them now. */
void cq_run_coat_faces(cq_run *run);
cq_status cq_run_law_of(const cq_run *run, const cq_step_plan *step, cq_flux_law **law, cq_error *error);
/* Law, rewetting and scale of every face under the present law. */
void cq_run_dress_faces(cq_run *run, const cq_step_plan *step);
cq_status cq_run_enter(cq_run *run, const cq_step_plan *step, cq_error *error);

/* wetting.c: entry at a speed, water in the clay. */
cq_status cq_run_wetting_create(cq_run *run);
void cq_run_sweep(cq_run *run, const cq_step_plan *step, const cq_flux_law *before);
void cq_run_wet(cq_run *run, double time_s); /* shares at a time; before a step is tried */
/* Water that faces take out of the bath of law `from`; kg per m of blade. Before the faces are dressed for the air. */
double cq_run_carry_out(cq_run *run, const cq_flux_law *from);
void cq_run_wash(cq_run *run);
cq_status cq_run_after_step(cq_run *run, double dt_s, cq_error *error);
double cq_run_flux(const void *context, int end, double Ts_K, double *slope);

/* warming.c: a bath of a stated volume. */
cq_status cq_run_warming_create(cq_run *run);
/* A bath met again is as warm as it was left. */
double cq_run_bath_found_K(const cq_run *run, const cq_step_plan *step);
/* The present step's bath, when it was just entered at at_K. */
void cq_run_warming_begin(cq_run *run, double at_K);
/* After an accepted step. */
cq_status cq_run_warm(cq_run *run, double dt_s, cq_error *error);
void cq_run_notice_warmth(cq_run *run);

/* lost.c: a patch falls off now; patches that never did. */
cq_status cq_run_lose(cq_run *run, const cq_lost_plan *lost, cq_error *error);
void cq_run_notice_not_lost(cq_run *run);

/* march.c: steps of time until a goal. */
typedef struct cq_run_goal {
    double end_s;   /* INFINITY: none */
    double until_K; /* until the hottest steel is down to it; 0: none */
    bool records;   /* on the way, what the plan wants recorded is */
} cq_run_goal;
cq_status cq_run_march(cq_run *run, const cq_run_goal *to, const cq_observer *observer, cq_error *error);
double cq_run_hottest_K(const cq_run *run, const double *T); /* of the steel, for T in padded layout */

/* record.c: histories, frames, films. */
cq_status cq_run_record_create(cq_run *run);
void cq_run_record_free(cq_run *run);
void cq_run_record_step(cq_run *run, double dt_s);
void cq_run_record_step_end(cq_run *run, size_t plan_step);
cq_status cq_run_keep_frame(cq_run *run);
/* What an observer sees of the outer faces. */
void cq_run_view_faces(const cq_run *run, cq_view *view);
/* The next time whose fields are wanted; INFINITY: none. */
double cq_run_next_record_s(const cq_run *run);
/* Is this moment one at which the plan wants its places recorded? Without a wish every step is. */
bool cq_run_record_due(const cq_run *run);
/* Keep the fields wanted up to now. */
cq_status cq_run_record_frames(cq_run *run);

/* answer.c: line, spots, verdict. */
cq_status cq_run_answer(cq_run *run);

/* distortion.c: curve, stress, crack class (its parts: distortion.h). */
cq_status cq_run_distortion_create(cq_run *run);
void cq_run_distortion_free(cq_run *run);
void cq_run_distortion_begin(cq_run *run);
void cq_run_distortion_step(cq_run *run); /* after an accepted step */
/* Cool to 20 degC, temper, tell. After cq_run_answer, whose fields it reads. */
cq_status cq_run_distortion_answer(cq_run *run);

/* The bend a further heat would find, along and across, in the sense of cq_bend; false: not known. After the answer. */
bool cq_run_lasting_bend(const cq_run *run, double bend_1_m[2]);

/* heats.c: the heats before the last. */
cq_status cq_run_heats_create(cq_run *run);
void cq_run_heats_free(cq_run *run);
cq_status cq_run_heats_go(cq_run *run, const cq_observer *observer, cq_error *error); /* before the run begins */
cq_run_stock cq_run_stock_before(const cq_run *run, double height_m);                 /* where found.n > 0 */
void cq_run_heats_answer(cq_run *run);                                                /* the last of them, answered */

/* turns.c: fill the curve's turns from its history. */
void cq_run_find_turns(cq_curve *curve);

/* notices.c */
void cq_run_notice(cq_run *run, const char *code, size_t count, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void cq_run_notice_outside(cq_run *run, size_t plan_step); /* and begin anew */
void cq_run_cautions(cq_run *run);

#endif
