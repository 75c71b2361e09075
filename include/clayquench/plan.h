/* plan.h - everything one run needs, as plain immutable data in SI units and kelvin.
 *
 * A plan is made by cq_plan_read (io.h) or by hand. It owns nothing that points outside its arena.
 */
#ifndef CLAYQUENCH_PLAN_H
#define CLAYQUENCH_PLAN_H

#include <clayquench/bath.h>
#include <clayquench/material.h>
#include <clayquench/section.h>
#include <clayquench/zones.h>

/* A fire: how hot around the blade, how well it gives heat, radiation counted in, and how long the blade is in it. */
typedef struct cq_fire {
    double temperature_K, film_W_m2K, for_s;
} cq_fire;

/* What tells how hot it is: a colour is another one in the dark and in daylight. */
typedef enum cq_judged { CQ_JUDGED_THERMOMETER, CQ_JUDGED_COLOUR_DARK, CQ_JUDGED_COLOUR_DAYLIGHT } cq_judged;

/* What the smith knows of the heat. start_K > 0 replaces the soak: everything starts there, fully austenitic. */
typedef struct cq_heat_plan {
    double temperature_K; /* soak temperature */
    double hold_s;
    double error_K; /* 0 = not stated */
    cq_judged judged;
    double start_K;       /* 0 = use the soak */
    cq_stock stock;       /* structure before the heat */
    double spine_below_K; /* how much cooler the spine is soaked than the edge, linear along the height */
    bool follows;         /* the stock is what the quench before left at every height, not `stock` */
    cq_fire fire; /* for_s > 0: heated from cold in it, temperature_K is what was aimed at and hold_s is not used */
} cq_heat_plan;

/* How the blade goes into a bath. Edge or spine first: its faces are wetted as the bath's surface passes them. Point
 * first: the section waits until the bath has come half the blade's length along. */
typedef enum cq_entry { CQ_ENTRY_LEVEL, CQ_ENTRY_EDGE_FIRST, CQ_ENTRY_SPINE_FIRST, CQ_ENTRY_POINT_FIRST } cq_entry;

/* A patch of clay that falls off. */
typedef struct cq_lost_plan {
    double after_s; /* from the start of the first step */
    double from_m, to_m;
    int face; /* CQ_FACE_LEFT, CQ_FACE_RIGHT; CQ_FACE_MID: both */
} cq_lost_plan;

/* One step of the timeline. Ends at `for_s` or when the hottest steel is at or below `until_K`, whichever is first. */
typedef struct cq_step_plan {
    cq_bath bath;   /* resolved, with the step's overrides applied */
    double at_K;    /* bath temperature */
    double for_s;   /* 0 = none */
    double until_K; /* 0 = none */
    double agitation_m_s;
    cq_entry entry;
    double speed_m_s; /* of the entry; level: the whole section is wetted at once */
    double depth_m;   /* 0 = all; else only faces up to this height are wetted, the rest is in still air at 20 degC */
} cq_step_plan;

/* A heat and quench before the plan's last one: the clay is laid anew for each. */
enum { CQ_EARLIER_HEATS = 7 };
typedef struct cq_earlier_heat {
    cq_heat_plan heat;
    size_t steps_n;
    const cq_step_plan *steps;
    size_t temper_n; /* tempers between this quench and the next heat */
    const cq_temper *temper;
    double temper_after_s;
} cq_earlier_heat;

enum { CQ_FACE_MID, CQ_FACE_LEFT, CQ_FACE_RIGHT };
typedef struct cq_probe_plan {
    const char *name;
    double at_m;
    int face;       /* CQ_FACE_MID, CQ_FACE_LEFT, CQ_FACE_RIGHT */
    double depth_m; /* plate and round: below the face (mid: below either), 0: as `face` says */
    double lag_s;   /* time constant of the bead; a run records the steel itself */
} cq_probe_plan;

/* A tolerance as the plan states it; kept for the many-run commands. */
typedef struct cq_tolerance_plan {
    const char *key;
    double value; /* relative (0.15 for 15 %) or absolute in SI */
    bool relative;
} cq_tolerance_plan;

/* Unless a plan says otherwise; chosen here: below it a knife's edge rolls before it dulls. */
#define CQ_WEAR_HRC 55.0

typedef struct cq_plan {
    const char *title;
    const char *file; /* where it was read from, "" if by hand */
    cq_blade blade;
    cq_steel steel; /* of several zones: that of the edge */
    cq_zones zones;
    cq_skin skin;
    cq_clay clay;
    cq_coat coat;      /* dry thicknesses; n == 0 and zero flats: all bare */
    bool coat_was_wet; /* thicknesses were given wet; the drying factor was applied */
    size_t lost_n;
    const cq_lost_plan *lost; /* in the first quench */
    bool coat_fired;          /* no water is left in the coat before the quench */
    double contact_m2K_W;     /* gap between clay and steel */
    double soaked;            /* conductivity multiplier of a coat below 0.2 mm; 1 = dry (default) */
    cq_heat_plan heat;        /* the only heat, or the last of several */
    size_t steps_n;
    const cq_step_plan *steps;
    size_t temper_n;
    const cq_temper *temper;
    double temper_after_s; /* from the quench to the first temper; 0: at once, or not stated. For a caution */
    size_t earlier_n;      /* heats and quenches before it, first one first; at most CQ_EARLIER_HEATS */
    const cq_earlier_heat *earlier;
    double grind_m;        /* finish.grind, off each face */
    double wear_HRC;       /* finish.wear-to: below it the edge counts as gone */
    double wanted_curve_m; /* finish.curve, + toward the spine, over the blade's length */
    size_t tolerances_n;
    const cq_tolerance_plan *tolerances;
    size_t probes_n;
    const cq_probe_plan *probes;
    size_t times_n; /* record.times, rising, seconds from the start of the first step */
    const double *times_s;
    double every_s; /* record.every, 0 = none */
    cq_grid_wish grid;
    const char *text;  /* full YAML text of the plan as read, "" if by hand */
    size_t profiles_n; /* every profile used: name and full text */
    const char *const *profile_names;
    const char *const *profile_texts;
    struct cq_arena *arena; /* owns every pointer above; NULL for a plan made by hand */
} cq_plan;

/* Fill with the documented defaults (grid 100/8/6/1, soaked 1, reference grain ...). */
void cq_plan_init(cq_plan *plan);

/* Release what the plan's arena owns and make the plan empty. NULL is allowed. */
void cq_plan_clear(cq_plan *plan);

/* Physical sense of the whole plan, beyond what single fields allow; every fault is added to `error`. */
cq_status cq_plan_check(const cq_plan *plan, cq_error *error);

#endif
