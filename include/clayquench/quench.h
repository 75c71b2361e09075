/* quench.h - run a plan: heat, transformation and hardness together.
 *
 * Threads: plans are shared; each run has its own state. A run knows no files: it calls an observer.
 */
#ifndef CLAYQUENCH_QUENCH_H
#define CLAYQUENCH_QUENCH_H

#include <clayquench/plan.h>

/* What an observer sees after each accepted step, valid during the call only. Fields are kept as frames
 * (keep_frames). */
typedef struct cq_view {
    double time_s, end_time_s; /* end_time_s: best estimate of when the run ends, 0 = unknown */
    size_t step;
    const cq_grid *grid;
    /* At the built-in places (edge, body, spine; of a piece its one face): temperature of the outermost face, clay or
     * steel, and the heat that leaves it, W/m2. */
    double face_K[3], face_flux_W_m2[3];
} cq_view;

/* Return false to stop the run (status CQ_ERR_CANCELLED). */
typedef struct cq_observer {
    bool (*step)(void *context, const cq_view *view);
    void *context;
} cq_observer;

typedef struct cq_run_options {
    bool keep_frames;    /* keep fields at the record times in the result */
    double fixed_step_s; /* > 0: constant step, for convergence studies */
    double tolerance_K;  /* 0 = default */
    bool skip_curve;     /* no mechanics: curve and crack stay unknown, and cost nothing */
    double class_wt;     /* cells whose carbon differs by less are transformed by one law; 0 = default */
    double class_K;      /* rows a fire left within this of each other have one soak; 0 = default */
} cq_run_options;

/* A field snapshot. Arrays along*across. */
typedef struct cq_frame {
    double time_s;
    double *temp_K;
    double *fraction[CQ_PHASES];
} cq_frame;

/* Structure and hardness at one place. */
typedef struct cq_spot {
    double HV, HRC; /* HRC is NaN outside the scale (below 20) */
    double fraction[CQ_PHASES];
} cq_spot;

typedef enum cq_film_state { CQ_FILM_NONE, CQ_FILM_COLLAPSED, CQ_FILM_PERSISTED } cq_film_state;
typedef struct cq_film {
    cq_film_state state;
    double time_s; /* of collapse; NaN otherwise */
} cq_film;

/* A temperature history at one place. t500_s: first downward crossing of 500 degC; NaN if never. */
typedef struct cq_trace {
    const char *name;
    double at_m;
    int face;
    double depth_m; /* plate and round: below that face; 0: on it, or in the middle */
    size_t n, capacity;
    double *time_s, *temp_K;
    double t500_s;
} cq_trace;
/* First time the history falls through temp_K; NaN if it never does. */
double cq_trace_falls_s(const cq_trace *trace, double temp_K);

typedef enum cq_verdict {
    CQ_VERDICT_NO_EDGE,
    CQ_VERDICT_THROUGH,
    CQ_VERDICT_BROKEN,
    CQ_VERDICT_SPINE,
    CQ_VERDICT_FAINT,
    CQ_VERDICT_GOOD,
    CQ_VERDICT_INERT /* the steel does not transform: no line to speak of */
} cq_verdict;
const char *cq_verdict_words(cq_verdict verdict);

typedef struct cq_notice {
    char code[32];
    size_t count;
    char sentence[256];
} cq_notice;

/* State at the end of one of the plan's steps. */
typedef struct cq_step_end {
    double time_s, edge_K, body_K, spine_K; /* as the traces of these places */
    double bath_K;                          /* of the bath, warmed if its volume is stated */
} cq_step_end;

/* Heights along the blade at which the answer is tabulated: one entry per steel row. */
typedef struct cq_profile_along {
    size_t n;
    double *height_m;
    double *martensite_left, *martensite_right, *martensite_mid;
    double *hardness_left_HV, *hardness_right_HV, *hardness_mid_HV;
    double *tempered_mid_HV; /* after the plan's tempers; as quenched without */
} cq_profile_along;

enum { CQ_TRACE_EDGE, CQ_TRACE_BODY, CQ_TRACE_SPINE, CQ_TRACES_FIXED }; /* first traces of every result */

/* A curve: curvatures 1/m, + toward the spine (edge convex) and toward the right; lengths over blade.length_m, NaN if
 * that is not stated. */
typedef struct cq_bend {
    double curvature_1_m, side_curvature_1_m;
    double rise_m, low_m, high_m, side_bend_m;
} cq_bend;

/* A turning point of the curve while the blade was in the baths and after. */
typedef struct cq_turn {
    double time_s, curvature_1_m;
    bool dip; /* else a crest */
} cq_turn;

/* Curve and stress of the section; known: false for plates and rounds, for inert steels without expansion and yield,
 * and where the run was told to skip it. */
typedef struct cq_curve {
    bool known;
    bool direction_only; /* oil alone: the size is not to be trusted */
    cq_bend quenched;    /* at 20 degC */
    size_t n;            /* history, rising in time; the last entry is the blade at 20 degC */
    double *time_s, *curvature_1_m, *side_curvature_1_m;
    size_t turns_n;
    cq_turn turns[8];
    double found_1_m;                         /* what an earlier heat of the plan left, part of every curvature here */
    double free_1_m, plastic_1_m, turned_1_m; /* what the curvature is made of: growth, plastic strain, turning under
                                                 stress; + toward the spine */
    double edge_stress_Pa;                  /* mean over the hard zone, martensite above one half; NaN: there is none */
    double edge_face_stress_Pa;             /* least (most compressed) at its faces */
    double least_stress_Pa, most_stress_Pa; /* over the section */
    double worst_residual;                  /* largest force or moment left over, of the yield force */
    size_t updates;
    double seconds; /* thread CPU time of all of it */
} cq_curve;

typedef struct cq_crack_answer {
    bool known;
    int class_n;      /* 0 low, 1 medium, 2 high */
    double index_MPa; /* ranks; see mechanics/crack.h */
    double since_s;   /* when this class began; NaN: low */
    /* The first moment at which the index was within a twentieth of its largest value; NaN: no tension. */
    double time_s, height_m, tension_Pa;
    char reason[400];     /* a sentence */
    char cause[40];       /* why then, in a few words */
    char since_cause[40]; /* why at since_s, where the class is not low: often another event */
} cq_crack_answer;
/* "low", "medium", "high". */
const char *cq_crack_class_words(int class_n);

/* One of a plan's heats and its quench. kept_m: rise that the next heat would find, after the tempers between them;
 * NaN where it is not known. */
typedef struct cq_heat_answer {
    cq_heat_plan heat;
    cq_verdict verdict;
    bool has_line;
    double line_surface_m, edge_HV, edge_HRC, spine_HV, spine_HRC;
    double grain_ASTM, carbon_in_solution_wt;
    bool crack_known;
    int crack_class;
    double crack_index_MPa, crack_time_s;
    double rise_m, kept_m;
    size_t tempers_n, step_ends_n;
    cq_step_end step_ends[64];
} cq_heat_answer;

/* After the first n + 1 tempers of the plan. */
typedef struct cq_after_temper {
    double edge_HV, edge_HRC, spine_HV, spine_HRC;
    cq_bend bend; /* NaN where the curve is not known */
    double edge_stress_Pa;
} cq_after_temper;

/* A section of several steels or with a skin: its carbon when the quench begins. Arrays along*across of the grid. */
typedef struct cq_built {
    bool several, skinned;
    double *carbon_wt;              /* NaN outside steel */
    double *zone;                   /* number of the zone most of the cell belongs to; NaN outside steel */
    double share[CQ_ZONES_MOST];    /* of the section's area */
    double mean_before_wt, mean_wt; /* of the section, before the welding heats and after them; the skin not counted */
    double spread_m;                /* across a weld, from nine tenths of the step to one tenth; NaN: no heats */
    double skin_m;                  /* depth at which nine tenths of the carbon are there again */
    double face_wt, ground_wt;      /* carbon at the face of the edge, and after finish.grind */
    double file_HV, ground_HV;      /* hardness a file meets there, and after grinding; NaN: the edge did not harden */
    size_t classes;                 /* laws of transformation in use */
} cq_built;

/* What a fire did. */
typedef struct cq_fired {
    double edge_K, spine_K; /* hottest they became */
    double edge_grain_ASTM, spine_grain_ASTM;
    double even_grain_ASTM; /* of the edge's steel after five even minutes at what was aimed at */
} cq_fired;

/* The answer of one run. Lengths in m, NaN where a value does not apply. Owned by the run. */
typedef struct cq_result {
    const cq_plan *plan;
    const cq_section *section;
    const cq_grid *grid;
    bool transforming;
    /* line */
    double line_left_m, line_right_m, line_surface_m, line_mid_m, line_band90_m, line_band10_m, line_ground_m;
    size_t crossings_n;
    double crossings_m[16];
    cq_verdict verdict;
    double contrast_HV;
    cq_spot edge, body, spine; /* edge and spine meaningless (NaN) for plates and rounds: see has_line */
    bool has_line;             /* false for plate, round, inert */
    double edge_softening_HRC; /* what the edge's martensite lost to its own tempering while it cooled */
    double edge_temper_HV, edge_temper_HRC, spine_temper_HV, spine_temper_HRC; /* NaN without temper */
    double body_temper_HV, body_temper_HRC;
    double wear_HRC; /* the plan's finish.wear-to */
    /* What sharpening takes off until it meets steel below that: height above the edge flat, after the tempers, where
     * the edge is read (the hard face of a skin on one side, else the mid-plane). 0: the edge is softer from the start;
     * INFINITY: nothing is; NaN: no line to speak of. */
    double wear_m;
    double critical_rate_K_s;
    double Ae1_K, Ms_K, carbon_in_solution_wt, grain_ASTM; /* of the soak at the edge */
    double soak_austenite, soak_spine_austenite;           /* share that turned at heat */
    cq_built built;                                        /* carbon_wt NULL: one steel, no skin */
    cq_fired fired;                                        /* NaN: no fire */
    cq_film film_edge, film_body, film_spine;
    cq_curve curve;
    cq_crack_answer crack;
    size_t heats_n; /* the plan's heats in order; the last is that of this answer */
    cq_heat_answer *heats;
    size_t tempers_n;
    cq_after_temper tempers[16]; /* the first 16 tempers of the plan */
    size_t traces_n;
    cq_trace *traces;                                              /* edge, body, spine, then the plan's probes */
    double heat_out_J_m, heat_stored_change_J_m, energy_imbalance; /* per metre of blade; round: per metre */
    size_t steps, rejected, cells;
    double core_s; /* thread CPU time of the time loop */
    size_t step_ends_n;
    cq_step_end step_ends[64]; /* the first 64 steps of the plan */
    double end_time_s;         /* end of the plan's steps */
    double air_after_s;        /* cooled on in air until 25 degC, 0 if not */
    cq_profile_along along;
    double *hardness_HV;   /* along*across, NaN outside steel */
    double *peak_rate_K_s; /* along*across, largest cooling rate seen, steel cells */
    double
        *axial_stress_Pa; /* along*across, along the blade as quenched at 20 degC, NaN outside steel; NULL: unknown */
    double *tempered_stress_Pa;  /* the same after the plan's tempers */
    double *temp_K;              /* final */
    double *fraction[CQ_PHASES]; /* final, along*across, 0 outside steel */
    size_t frames_n;
    cq_frame *frames;
    size_t notices_n;
    cq_notice notices[32];
    size_t cautions_n;
    const char *cautions[16],
        *cautions_brief[16]; /* gravest first; each in a few words for a full screen, "": always whole */
} cq_result;

/* Cautions of a plan's baths, clay and steps before it is run, each bath as stated: bit c for caution c, the gravest
 * the lowest; the first CQ_CAUTIONS_OF_BATHS are about baths, the last says that all is an estimate. */
enum { CQ_CAUTIONS = 15, CQ_CAUTIONS_OF_BATHS = 10 };
unsigned cq_plan_cautions(const cq_plan *plan);
/* Those of two plans together, nothing said twice. */
unsigned cq_cautions_join(unsigned a, unsigned b);
const char *cq_caution_sentence(int number);

/* How far off a rise or side bend of this blade may be: half of it, never less than 3 mm on 700 mm; of oil alone five
 * times it. NaN where the length is not stated. */
void cq_result_band_m(const cq_result *result, double rise_m, double *low_m, double *high_m);

/* The curve a blade must have before the quench to end, after the plan's tempers, at `wanted_m` over its length: curves
 * are small and add. NaN where the curve is not known. */
double cq_result_precurve_m(const cq_result *result, double wanted_m);

typedef struct cq_run cq_run;

/* Prepare a run: builds section and grid, allocates everything. The plan must outlive the run. */
cq_status cq_run_create(cq_run **run, const cq_plan *plan, const cq_run_options *options, cq_error *error);

/* Carry it out. observer may be NULL. On failure the result holds what was reached (frames, traces). */
cq_status cq_run_go(cq_run *run, const cq_observer *observer, cq_error *error);

const cq_result *cq_run_result(const cq_run *run);
void cq_run_free(cq_run *run);

#endif
