/* fields.c - the list itself: every key of plans, profiles and evidence. What is asked of it: field_find.c. */
#include "io/fields.h"

#include <clayquench/plan.h>
#include <clayquench/tune.h>
#include <math.h>

#define MM 1e-3
#define CELSIUS(t) ((t) + 273.15)
#define NONE NAN
#define EVERY (~0u)
#define FAMILY(f) (1u << CQ_FAMILY_##f)
#define STATED                                                                                                         \
    (FAMILY(FLAT) | FAMILY(CONVEX) | FAMILY(RIDGED) | FAMILY(HOLLOW) | FAMILY(ONE_SIDED) | FAMILY(DOUBLE_EDGED))
#define SHAPED (STATED | FAMILY(OUTLINE))
#define TRANSFORMING (1u << CQ_STEEL_TRANSFORMING)
#define INERT (1u << CQ_STEEL_INERT)
#define BUILD(b) (1u << CQ_BUILD_##b)
#define TWO_STEELS (EVERY & ~BUILD(PIECES))
#define LAID_ACROSS                                                                                                    \
    (BUILD(CORE_WITH_JACKET) | BUILD(SKIN_ON_ONE_SIDE) | BUILD(EDGE_INLAY) | BUILD(WRAPPED) | BUILD(SOFT_CORE))
#define LAID_UP (BUILD(EDGE_INLAY) | BUILD(SOFT_CORE) | BUILD(BACK_AND_EDGE))
#define BOILING (1u << CQ_BATH_BOILING)
#define GAS (1u << CQ_BATH_GAS)
#define TABULATED (1u << CQ_BATH_TABLE)
#define OIL (1u << CQ_BATH_OIL)

/* One row each. `least`, `most` and `fallback` are SI. */
#define FIELD(owner_, key_, kind_, dim_, least_, most_, fallback_, offset_, allowed_, needed_, choices_, later_,       \
              words_)                                                                                                  \
    {                                                                                                                  \
        .owner = CQ_OWNER_##owner_, .key = key_, .kind = CQ_FIELD_##kind_, .dimension = CQ_DIM_##dim_,                 \
        .least = least_, .most = most_, .fallback = fallback_, .offset = offset_, .allowed = allowed_,                 \
        .needed = needed_, .choices = choices_, .later = later_, .words = words_                                       \
    }
#define QUANTITY(owner, key, dim, least, most, fallback, allowed, needed, type, member, words)                         \
    FIELD(owner, key, QUANTITY, dim, least, most, fallback, offsetof(type, member), allowed, needed, NULL, NULL, words)
#define NUMBER(owner, key, least, most, fallback, allowed, type, member, words)                                        \
    FIELD(owner, key, NUMBER, SHARE, least, most, fallback, offsetof(type, member), allowed, 0, NULL, NULL, words)
#define INTEGER(owner, key, least, most, fallback, type, member, words)                                                \
    FIELD(owner, key, INTEGER, SHARE, least, most, fallback, offsetof(type, member), EVERY, 0, NULL, NULL, words)
#define TABLE(owner, key, dim, least, most, allowed, needed, type, member, words)                                      \
    FIELD(owner, key, TABLE, dim, least, most, NONE, offsetof(type, member), allowed, needed, NULL, NULL, words)
#define TEXT(owner, key, needed, choices, type, member, words)                                                         \
    FIELD(owner, key, TEXT, SHARE, 0, 0, NONE, offsetof(type, member), EVERY, needed, choices, NULL, words)
#define CHOICE(owner, key, needed, choices, later, type, member, words)                                                \
    FIELD(owner, key, CHOICE, SHARE, 0, 0, NONE, offsetof(type, member), EVERY, needed, choices, later, words)
#define ELEMENT(symbol, most)                                                                                          \
    FIELD(ELEMENTS, #symbol, PERCENT, SHARE, 0.0, 0.01 * (most), NONE, offsetof(cq_composition, symbol), EVERY, 0,     \
          NULL, NULL, "weight per cent of " #symbol)
#define OWN(owner, key, allowed, needed, words)                                                                        \
    FIELD(owner, key, OWN, SHARE, 0, 0, NONE, 0, allowed, needed, NULL, NULL, words)
#define TOLERANCE(key, dim, most, words)                                                                               \
    FIELD(TOLERANCES, key, OWN, dim, 0.0, most, NONE, 0, EVERY, 0, NULL, NULL, words)
#define TOLD(owner, key, dim, least, most, words)                                                                      \
    FIELD(owner, key, TOLD, dim, least, most, NONE, 0, EVERY, 0, NULL, NULL, words)
#define RESERVED(owner, key, words) FIELD(owner, key, RESERVED, SHARE, 0, 0, NONE, 0, EVERY, 0, NULL, NULL, words)

static const char *const FAMILIES[] = {"flat",         "convex",  "ridged", "hollow", "one-sided",
                                       "double-edged", "outline", "plate",  "round",  NULL};
static const char *const SIDES[] = {"left", "right", NULL};
static const char *const SURFACES[] = {"ground", "polished", "scratched-across", NULL};
static const char *const STEEL_KINDS[] = {"transforming", "inert", NULL};
static const char *const BATH_KINDS[] = {"boiling", "gas", "table", "oil", NULL};
static const char *const STOCKS[] = {"normalised",          "cycled",   "spheroidised-fine",
                                     "spheroidised-coarse", "quenched", NULL};
static const char *const JUDGED[] = {"thermometer", "colour-in-the-dark", "colour-in-daylight", NULL};
static const char *const ENTRIES[] = {"level", "edge-first", "spine-first", "point-first", NULL};
static const char *const LOST_FACES[] = {"both", "left", "right", NULL};
static const char *const BUILDS[] = {"core-with-jacket", "skin-on-one-side", "edge-inlay", "wrapped",
                                     "soft-core",        "back-and-edge",    "pieces",     NULL};
static const char *const EVIDENCES[] = {
#define WORD(name, word, words) word,
    CQ_EVIDENCE_LIST(WORD)
#undef WORD
        NULL};
static const char *const METHODS[] = {
#define WORD(name, word, length, coupon, points, time) word,
    CQ_METHOD_LIST(WORD)
#undef WORD
        NULL};
static const char *const PLACES[] = {"edge", "body", "spine", NULL};
static const char *const FACES[] = {"mid", "left", "right", NULL};

const cq_field CQ_FIELDS[] = {
    OWN(PLAN, "format", EVERY, EVERY, "what the file is and its version: clayquench-plan 1"),
    TEXT(PLAN, "title", 0, NULL, cq_plan, title, "a line for the reader, shown on every result"),
    OWN(PLAN, "blade", EVERY, EVERY, "the section: a mapping, or the name of a blade profile"),
    OWN(PLAN, "steel", EVERY, 0, "the name of a steel profile, or a mapping with from: and batch:; this or zones:"),
    OWN(PLAN, "zones", EVERY, 0, "a section forge-welded of several steels; in place of steel:"),
    OWN(PLAN, "skin", EVERY, 0, "a skin that has lost carbon to fire and air"),
    OWN(PLAN, "clay", EVERY, 0, "the coat; absent: all bare"),
    OWN(PLAN, "heat", EVERY, 0, "soak temperature and hold; this or start: is needed"),
    QUANTITY(
        PLAN, "start", TEMPERATURE, CELSIUS(0), CELSIUS(1250), NONE, EVERY, 0, cq_plan, heat.start_K,
        "replaces heat: everything starts at this temperature, a transforming steel (from 200 °C on) fully austenitic"),
    OWN(PLAN, "steps", EVERY, EVERY, "what happens from leaving the fire on, in order"),
    OWN(PLAN, "temper", EVERY, 0, "tempers after the quench, of several after the last, in order"),
    OWN(PLAN, "heats", EVERY, 0,
        "heats and quenches after the first, in order: a list of temper:, heat: and steps:; the clay is laid anew for "
        "each, and the answers are of the last"),
    OWN(HEATS, "temper", EVERY, 0, "tempers between the quench before and this heat, as temper"),
    OWN(HEATS, "heat", EVERY, EVERY,
        "soak temperature and hold, as heat; without structure: what the quench before left at every height"),
    OWN(HEATS, "steps", EVERY, EVERY, "what happens from leaving that fire on, as steps"),
    OWN(PLAN, "finish", EVERY, 0, "grinding before the line is seen"),
    OWN(PLAN, "tolerances", EVERY, 0, "how well each thing is known; used by the many-run commands"),
    OWN(PLAN, "record", EVERY, 0, "what to keep besides the summary"),
    OWN(PLAN, "grid", EVERY, 0, "number of cells; the default suits blades"),
    RESERVED(PLAN, "stations", "several sections along the length"),

    CHOICE(BLADE, "section", EVERY, FAMILIES, NULL, cq_blade, family, "family of the cross-section"),
    QUANTITY(
        BLADE, "height", LENGTH, 3 * MM, 200 * MM, NONE, EVERY & ~FAMILY(OUTLINE), STATED, cq_blade, height_m,
        "edge flat to spine flat, of a double-edged section to the second edge; a plate or round may state it, and it "
        "changes nothing there"),
    QUANTITY(BLADE, "edge", LENGTH, 0.1 * MM, 30 * MM, NONE, STATED, STATED, cq_blade, edge_m,
             "thickness across the edge flat, before the quench"),
    QUANTITY(
        BLADE, "spine", LENGTH, 0.1 * MM, 60 * MM, NONE, STATED, STATED & ~FAMILY(DOUBLE_EDGED), cq_blade, spine_m,
        "thickness across the spine flat (mune); of a double-edged section across the second edge, absent: that of "
        "the first"),
    QUANTITY(BLADE, "thickness", LENGTH, 0.1 * MM, 100 * MM, NONE, FAMILY(PLATE), FAMILY(PLATE), cq_blade, spine_m,
             "thickness of a plate"),
    QUANTITY(BLADE, "diameter", LENGTH, 0.5 * MM, 200 * MM, NONE, FAMILY(ROUND), FAMILY(ROUND), cq_blade, spine_m,
             "diameter of a round"),
    QUANTITY(BLADE, "length", LENGTH, 5 * MM, 2.0, NONE, EVERY, 0, cq_blade, length_m, "length of the blade"),
    QUANTITY(
        BLADE, "bulge", LENGTH, 0.0, 10 * MM, NONE, FAMILY(CONVEX), 0, cq_blade, bulge_m,
        "convex: how far each flank stands out at mid-height from the straight line between edge and spine; absent: an "
        "eighth of spine minus edge, so that the flanks end about parallel at the spine"),
    QUANTITY(
        BLADE, "hollow", LENGTH, 0.0, 10 * MM, NONE, FAMILY(HOLLOW), 0, cq_blade, hollow_m,
        "hollow: how far each flank, an arc of a circle, stands back at mid-height from the straight line between edge "
        "and spine; absent: an eighth of spine minus edge, so that the flanks leave the edge about parallel"),
    FIELD(BLADE, "flat-face", CHOICE, SHARE, 0, 0, NONE, offsetof(cq_blade, flat_side), FAMILY(ONE_SIDED), 0, SIDES,
          NULL,
          "one-sided: the face that is an upright plane, as seen from the heel toward the point, edge down; the other "
          "carries the bevel; absent: left"),
    OWN(BLADE, "ridge", FAMILY(RIDGED) | FAMILY(ONE_SIDED) | FAMILY(DOUBLE_EDGED),
        FAMILY(RIDGED) | FAMILY(DOUBLE_EDGED),
        "height and thickness of the ridge (shinogi), the thickest place; of a one-sided section it may be absent"),
    OWN(BLADE, "groove", SHAPED, 0,
        "a groove (hi) in both faces, an arc of a circle across the height; of any family but plate and round"),
    OWN(BLADE, "points", FAMILY(OUTLINE), 0,
        "outline: [height, half thickness] from the edge flat, height 0 mm, up to the spine, joined by straight lines"),
    OWN(BLADE, "left", FAMILY(OUTLINE), 0,
        "outline: [height, distance] of the left face from an upright plane, outward; with right: in place of points:"),
    OWN(BLADE, "right", FAMILY(OUTLINE), 0, "outline: the same of the right face, to the same height"),
    TEXT(BLADE, "surface", 0, SURFACES, cq_blade, surface,
         "finish of the faces, as the smith states it: the crack class reads it; absent: ground"),
    QUANTITY(RIDGE, "at", LENGTH, 0.5 * MM, 200 * MM, NONE, EVERY, FAMILY(RIDGED) | FAMILY(ONE_SIDED), cq_blade,
             ridge_at_m, "height of the ridge; double-edged: absent means mid-height"),
    QUANTITY(RIDGE, "thickness", LENGTH, 0.2 * MM, 60 * MM, NONE, EVERY, EVERY, cq_blade, ridge_thickness_m,
             "whole thickness at the ridge"),
    QUANTITY(GROOVE, "at", LENGTH, 0.5 * MM, 200 * MM, NONE, EVERY, EVERY, cq_blade, groove_at_m,
             "height of the groove's middle"),
    QUANTITY(GROOVE, "width", LENGTH, 0.5 * MM, 100 * MM, NONE, EVERY, EVERY, cq_blade, groove_width_m,
             "from rim to rim along the height"),
    QUANTITY(GROOVE, "depth", LENGTH, 0.02 * MM, 20 * MM, NONE, EVERY, EVERY, cq_blade, groove_depth_m,
             "on each face, below the straight line between the rims, at the middle"),

    CHOICE(STEEL, "kind", 0, STEEL_KINDS, NULL, cq_steel, kind, "does the steel transform; absent: transforming"),
    OWN(STEEL, "grade", EVERY, 0, "the same as from:"),
    OWN(STEEL, "composition", TRANSFORMING, 0, "weight per cent of each element"),
    OWN(STEEL, "batch", TRANSFORMING, 0, "elements of this batch's certificate; the profile's others stay"),
    OWN(STEEL, "scatter", TRANSFORMING, 0,
        "standard deviation of each element from batch to batch, for the many-run commands"),
    NUMBER(STEEL, "grain", 0.0, 14.0, 8.0, TRANSFORMING, cq_steel, grain_ASTM,
           "ASTM grain number after the reference soak (normalised stock, 800 °C, 5 min)"),
    NUMBER(STEEL, "time-factor", 0.2, 5.0, 1.0, TRANSFORMING, cq_steel, time_factor,
           "multiplies the times of pearlite and ferrite, its square root those of bainite"),
    QUANTITY(STEEL, "ms-shift", DIFFERENCE, -60.0, 60.0, 0.0, TRANSFORMING, 0, cq_steel, ms_shift_K,
             "shift of the martensite start"),
    QUANTITY(STEEL, "hardness-shift", HARDNESS, -80.0, 80.0, 0.0, TRANSFORMING, 0, cq_steel, hardness_shift_HV,
             "shift of the martensite's hardness"),
    NUMBER(STEEL, "time-factor-sigma", 0.0, 2.0, 0.35, TRANSFORMING, cq_steel, time_factor_ln_sigma,
           "standard deviation of ln(time-factor) from batch to batch, for the many-run commands"),
    QUANTITY(STEEL, "emissivity", SHARE, 0.02, 1.0, 0.8, EVERY, 0, cq_steel, emissivity, "emissivity of the bare face"),
    TABLE(STEEL, "conductivity", CONDUCTIVITY, 0.05, 500.0, INERT, INERT, cq_steel, conductivity_W_mK,
          "conductivity of an inert steel, one value or a table"),
    TABLE(STEEL, "heat-capacity", HEAT_CAPACITY, 1e5, 2e7, INERT, INERT, cq_steel, heat_capacity_J_m3K,
          "heat capacity per volume of an inert steel, one value or a table"),
    QUANTITY(STEEL, "expansion", EXPANSION, 1e-6, 40e-6, NONE, INERT, 0, cq_steel, expansion_per_K,
             "thermal expansion of an inert steel; with yield: it can curve"),
    TABLE(STEEL, "yield", STRESS, 1e6, 3e9, INERT, 0, cq_steel, yield_Pa,
          "yield stress of an inert steel, one value or a table"),
    OWN(STEEL, "isothermal", TRANSFORMING, 0,
        "a measured isothermal diagram of pearlite and bainite, in place of the laws' times over its range"),
    OWN(DIAGRAM, "rows", EVERY, EVERY,
        "[temperature, start (1 %), half (50 %), end (99 %)], temperatures falling from row to row, 3 to 40 rows"),
    OWN(DIAGRAM, "composition", EVERY, EVERY,
        "elements of the heat that was measured; those it does not name are the steel's composition"),
    QUANTITY(DIAGRAM, "soak", TEMPERATURE, CELSIUS(700), CELSIUS(1250), NONE, EVERY, EVERY, cq_diagram, soak_K,
             "soak temperature it was measured after"),
    QUANTITY(DIAGRAM, "hold", TIME, 1.0, 1e5, NONE, EVERY, EVERY, cq_diagram, hold_s, "time at that soak"),
    CHOICE(DIAGRAM, "structure", 0, STOCKS, NULL, cq_diagram, stock, "structure before that soak; absent: normalised"),
    NUMBER(DIAGRAM, "grain", 0.5, 14.0, NONE, EVERY, cq_diagram, grain_ASTM,
           "ASTM grain number it was measured at; absent: what the law of the soak gives"),
    OWN(DIAGRAM, "source", EVERY, EVERY, "where the diagram comes from; keys in [brackets] as in references.bib"),
    OWN(DIAGRAM, "valid", EVERY, 0, "range in which it holds"),
    OWN(DIAGRAM, "uncertainty", EVERY, 0, "how uncertain it is"),
    OWN(DIAGRAM, "note", EVERY, 0, "a remark"),
    ELEMENT(C, 2.0),
    ELEMENT(Si, 3.0),
    ELEMENT(Mn, 3.0),
    ELEMENT(Cr, 20.0),
    ELEMENT(Ni, 15.0),
    ELEMENT(Mo, 6.0),
    ELEMENT(V, 5.0),
    ELEMENT(W, 10.0),
    ELEMENT(Cu, 3.0),
    ELEMENT(Al, 2.0),
    ELEMENT(P, 0.5),
    ELEMENT(S, 0.5),

    OWN(CLAY_LAYER, "mix", EVERY, EVERY, "the name of a clay profile, or a mapping with its properties"),
    FIELD(CLAY_LAYER, "wet", FLAG, SHARE, 0, 0, NONE, offsetof(cq_plan, coat_was_wet), EVERY, 0, NULL, NULL,
          "true: thicknesses are wet ones and the mix's drying factor is applied"),
    QUANTITY(CLAY_LAYER, "contact", CONTACT, 0.0, 0.1, 0.0, EVERY, 0, cq_plan, contact_m2K_W,
             "resistance of a gap between clay and steel"),
    NUMBER(CLAY_LAYER, "soaked", 1.0, 4.0, 1.0, EVERY, cq_plan, soaked,
           "a thin wet porous coat (below 0.2 mm) conducts this many times its dry value"),
    FIELD(CLAY_LAYER, "fired", FLAG, SHARE, 0, 0, NONE, offsetof(cq_plan, coat_fired), EVERY, 0, NULL, NULL,
          "true: the coat was fired through before, so that no water is left in it; for cautions"),
    OWN(CLAY_LAYER, "coat", EVERY, 0,
        "points of height and thickness, joined by straight lines; on a plate or round the same thickness everywhere"),
    OWN(CLAY_LAYER, "edge", EVERY, 0, "thickness on the edge flat; absent or bare: none"),
    OWN(CLAY_LAYER, "spine", EVERY, 0, "thickness on the spine flat; absent or bare: none"),
    OWN(CLAY_LAYER, "lost", EVERY, 0, "patches that fall off: a list of after:, from:, to: and face:"),
    QUANTITY(LOST, "after", TIME, 0.0, 1e5, NONE, EVERY, EVERY, cq_lost_plan, after_s,
             "when, from the start of the first step"),
    QUANTITY(LOST, "from", LENGTH, 0.0, 500 * MM, NONE, EVERY, EVERY, cq_lost_plan, from_m,
             "lower height of the patch"),
    QUANTITY(LOST, "to", LENGTH, 0.0, 500 * MM, NONE, EVERY, EVERY, cq_lost_plan, to_m, "upper height of the patch"),
    CHOICE(LOST, "face", 0, LOST_FACES, NULL, cq_lost_plan, face, "on the left or right face; absent: both"),
    TABLE(CLAY, "conductivity", CONDUCTIVITY, 0.02, 50.0, EVERY, 0, cq_clay, conductivity_W_mK,
          "conductivity of the dry mix, one value or a table; absent: from solid-conductivity and porosity"),
    QUANTITY(CLAY, "solid-conductivity", CONDUCTIVITY, 0.1, 50.0, NONE, EVERY, 0, cq_clay, solid_conductivity_W_mK,
             "conductivity of the mix without its pores; with porosity it gives that of the mix [maxwell1873]"),
    TABLE(CLAY, "heat-capacity", HEAT_CAPACITY, 1e5, 1e7, EVERY, EVERY, cq_clay, heat_capacity_J_m3K,
          "heat capacity per volume of the dry mix, one value or a table"),
    QUANTITY(CLAY, "emissivity", SHARE, 0.05, 1.0, 0.9, EVERY, 0, cq_clay, emissivity, "emissivity of the mix"),
    QUANTITY(CLAY, "porosity", SHARE, 0.0, 0.9, NONE, EVERY, 0, cq_clay, porosity,
             "share of pores: of the water a cold coat carries out of a bath, and beside solid-conductivity"),
    NUMBER(CLAY, "drying-factor", 0.3, 1.0, NONE, EVERY, cq_clay, drying_factor, "dry thickness over wet thickness"),
    TOLD(CLAY, "density", DENSITY, 100.0, 8000.0, "density of the dry mix; nothing computes with it yet"),
    QUANTITY(COAT, "at", LENGTH, 0.0, 200 * MM, NONE, EVERY, EVERY, cq_coat_point, at_m,
             "height of the foot point on the steel face"),
    OWN(COAT, "thickness", EVERY, 0, "thickness on both faces, square to the face"),
    QUANTITY(COAT, "left", LENGTH, 0.0, 10 * MM, NONE, EVERY, 0, cq_coat_point, left_m, "thickness on the left face"),
    QUANTITY(COAT, "right", LENGTH, 0.0, 10 * MM, NONE, EVERY, 0, cq_coat_point, right_m,
             "thickness on the right face"),

    CHOICE(ZONES, "build", EVERY, BUILDS, NULL, cq_zones, build,
           "how it is put together: a hard core between soft faces; a hard skin on one side; a hard strip let into a "
           "soft edge; hard steel wrapped in soft, open at the edge; a soft core in a hard jacket; a hard edge on a "
           "soft back; or pieces of any outline"),
    OWN(ZONES, "hard", TWO_STEELS, TWO_STEELS, "the hard steel: the name of a profile, or a mapping as under steel:"),
    OWN(ZONES, "soft", TWO_STEELS, TWO_STEELS, "the soft steel, the same way"),
    QUANTITY(ZONES, "thickness", LENGTH, 0.05 * MM, 50 * MM, NONE, LAID_ACROSS, LAID_ACROSS, cq_zones, thickness_m,
             "on the finished section: of the core, of the hard skin, of the strip, of the soft wrap or the hard "
             "jacket on each face"),
    QUANTITY(ZONES, "height", LENGTH, 0.5 * MM, 200 * MM, NONE, LAID_UP, LAID_UP, cq_zones, height_m,
             "how high the strip or the hard edge reaches; of a soft core where it begins"),
    FIELD(ZONES, "side", CHOICE, SHARE, 0, 0, NONE, offsetof(cq_zones, side), BUILD(SKIN_ON_ONE_SIDE), 0, SIDES, NULL,
          "face of the hard skin, as seen from the heel toward the point, edge down; absent: left"),
    OWN(ZONES, "pieces", BUILD(PIECES), BUILD(PIECES),
        "a list of steel: and outline:; one may go without outline: it takes the rest"),
    OWN(ZONES, "heats", EVERY, 0,
        "welding and forging heats in order, through which carbon crosses the welds; absent: it does not"),
    TEXT(PIECE, "name", 0, NULL, cq_zone, name, "what it is called on pictures"),
    OWN(PIECE, "steel", EVERY, EVERY, "the name of a steel profile, or a mapping as under steel:"),
    OWN(PIECE, "outline", EVERY, 0,
        "[height, from, to] going up: at that height it reaches from one distance to the other, left of the middle "
        "negative; straight between; what lies beyond a face was ground away"),
    QUANTITY(WELD, "temperature", TEMPERATURE, CELSIUS(727), CELSIUS(1520), NONE, EVERY, EVERY, cq_weld_heat,
             temperature_K, "of the heat"),
    QUANTITY(WELD, "for", TIME, 1.0, 1e5, NONE, EVERY, EVERY, cq_weld_heat, for_s, "time at it"),
    QUANTITY(WELD, "thickness-then", LENGTH, 0.1 * MM, 200 * MM, NONE, EVERY, 0, cq_weld_heat, thickness_m,
             "of the bar at the spine in that heat, its height in proportion; absent: as now"),
    QUANTITY(SKIN, "depth", LENGTH, 0.005 * MM, 5 * MM, NONE, EVERY, 0, cq_skin, depth_m,
             "depth at which nine tenths of the carbon are there again; or temperature: and for:"),
    QUANTITY(SKIN, "temperature", TEMPERATURE, CELSIUS(727), CELSIUS(1500), NONE, EVERY, 0, cq_skin, temperature_K,
             "of a heat with the faces open to fire and air, from which the depth follows"),
    QUANTITY(SKIN, "for", TIME, 1.0, 1e5, NONE, EVERY, 0, cq_skin, for_s, "time at it"),
    FIELD(SKIN, "face", PERCENT, SHARE, 0.0, 0.02, NONE, offsetof(cq_skin, face_wt), EVERY, 0, NULL, NULL,
          "carbon left at the face itself; absent: 0"),

    QUANTITY(HEAT, "temperature", TEMPERATURE, CELSIUS(200), CELSIUS(1250), NONE, EVERY, EVERY, cq_plan,
             heat.temperature_K, "soak temperature"),
    QUANTITY(HEAT, "hold", TIME, 1.0, 36000.0, 300.0, EVERY, 0, cq_plan, heat.hold_s, "time at heat"),
    QUANTITY(HEAT, "error", DIFFERENCE, 0.0, 100.0, 0.0, EVERY, 0, cq_plan, heat.error_K,
             "how well the temperature is known"),
    CHOICE(HEAT, "judged", 0, JUDGED, NULL, cq_plan, heat.judged,
           "what tells how hot it is; absent: thermometer. Of a colour the answer says its words and what the eye errs "
           "by, and spread takes that (25 K) where error: is absent"),
    CHOICE(
        HEAT, "structure", 0, STOCKS, NULL, cq_plan, heat.stock,
        "structure before the heat; absent: normalised. cycled is three or more short normalising heats, quenched is "
        "hardened before"),
    QUANTITY(HEAT, "spine-below", DIFFERENCE, 0.0, 150.0, 0.0, EVERY, 0, cq_plan, heat.spine_below_K,
             "how much cooler the spine is soaked than the edge; even along the height"),
    OWN(HEAT, "fire", EVERY, 0,
        "a fire the blade is heated in from cold; temperature: is then what was aimed at, and hold: is not used"),
    QUANTITY(FIRE, "temperature", TEMPERATURE, CELSIUS(500), CELSIUS(1500), NONE, EVERY, EVERY, cq_fire, temperature_K,
             "how hot it is around the blade"),
    QUANTITY(FIRE, "for", TIME, 1.0, 36000.0, NONE, EVERY, EVERY, cq_fire, for_s, "how long the blade is in it"),
    QUANTITY(FIRE, "film", HEAT_TRANSFER, 5.0, 5000.0, 200.0, EVERY, 0, cq_fire, film_W_m2K,
             "how well it gives heat, radiation counted in; absent: 200 W/m^2/K, about what glowing walls at 850 °C "
             "give (from memory)"),

    OWN(STEP, "in", EVERY, EVERY, "the name of a bath profile, or a mapping"),
    QUANTITY(STEP, "at", TEMPERATURE, CELSIUS(-30), CELSIUS(300), NONE, EVERY, 0, cq_step_plan, at_K,
             "temperature of the bath; absent: the profile's"),
    QUANTITY(STEP, "for", TIME, 1e-3, 1e6, NONE, EVERY, 0, cq_step_plan, for_s,
             "how long; with until: whichever comes first"),
    QUANTITY(STEP, "until", TEMPERATURE, CELSIUS(-30), CELSIUS(1250), NONE, EVERY, 0, cq_step_plan, until_K,
             "until the hottest steel is down to this temperature"),
    QUANTITY(STEP, "agitation", SPEED, 0.0, 10.0, 0.0, EVERY, 0, cq_step_plan, agitation_m_s,
             "speed of the bath past the blade; absent: still; a bath given as a table holds its own"),
    CHOICE(STEP, "entry", 0, ENTRIES, NULL, cq_step_plan, entry,
           "how the blade goes in; absent: level, all wetted at once. point-first waits until half the blade's length "
           "is in"),
    QUANTITY(STEP, "speed", SPEED, 0.005, 10.0, 0.5, EVERY, 0, cq_step_plan, speed_m_s, "speed of the entry"),
    QUANTITY(STEP, "volume", VOLUME, 1e-4, 100.0, NONE, EVERY, 0, cq_step_plan, bath.volume_m3,
             "of the bath, which then warms by what the blade gives off over its length and is as warm as it was left "
             "when a later step says the same of it; absent: large"),
    QUANTITY(STEP, "depth", LENGTH, 0.01 * MM, 200 * MM, NONE, EVERY, 0, cq_step_plan, depth_m,
             "only this much from the edge is wetted, the rest is in still air at 20 °C; absent: all"),
    CHOICE(BATH, "kind", EVERY, BATH_KINDS, NULL, cq_bath, kind, "what law takes the heat"),
    QUANTITY(BATH, "at", TEMPERATURE, CELSIUS(-30), CELSIUS(300), NONE, EVERY, 0, cq_bath, at_K,
             "temperature of the bath if the step does not say"),
    OWN(BATH, "range", EVERY, 0, "[lowest, highest] bath temperature for which the description holds"),
    TABLE(BATH, "heat-transfer", HEAT_TRANSFER, 0.0, 1e6, TABULATED, TABULATED, cq_bath, heat_transfer_W_m2K,
          "heat transfer coefficient against the temperature of the outer face, one value or a table"),
    TABLE(BATH, "heat-transfer-error", HEAT_TRANSFER, 0.0, 1e6, TABULATED, 0, cq_bath, error_W_m2K,
          "of a measured table: half the width of the interval that holds nine in ten; nothing computes with it yet"),
    TABLE(BATH, "resolution", DIFFERENCE, 0.0, 3000.0, TABULATED, 0, cq_bath, resolution_K,
          "of a measured table: width in face temperature over which its values are averages; nothing computes with it "
          "yet"),
    NUMBER(BATH, "film", 0.1, 10.0, 1.0, BOILING | OIL, cq_bath, film_factor,
           "multiplies the flux through the vapour film"),
    NUMBER(BATH, "rewetting", 0.0, 5.0, 1.0, BOILING, cq_bath, rewetting_factor,
           "multiplies what the surface (clay, scale) adds to the rewetting temperature"),
    NUMBER(BATH, "peak", 0.1, 10.0, 1.0, BOILING | OIL, cq_bath, peak_factor, "multiplies the peak flux"),
    NUMBER(BATH, "nucleate", 0.1, 10.0, 1.0, BOILING | OIL, cq_bath, nucleate_factor,
           "multiplies the flux of nucleate boiling"),
    NUMBER(BATH, "convection", 0.1, 10.0, 1.0, BOILING | OIL, cq_bath, convection_factor, "multiplies convection"),
    QUANTITY(BATH, "rewetting-shift", DIFFERENCE, -300.0, 1500.0, 0.0, BOILING | OIL, 0, cq_bath, rewetting_shift_K,
             "added to the rewetting temperature of bare metal"),
    NUMBER(BATH, "transition", 1.0, 3.0, 2.0, BOILING | OIL, cq_bath, transition_exponent,
           "exponent of the wetted share in transition boiling"),
    QUANTITY(BATH, "contact-time", TIME, 1e-4, 0.1, 5e-3, BOILING, 0, cq_bath, contact_time_s,
             "time of contact over which a layered surface decides on wetting"),
    QUANTITY(BATH, "film-convection", HEAT_TRANSFER, 0.0, 1e5, 2000.0, BOILING, 0, cq_bath, film_convection_W_m2K,
             "convection on the liquid side of the film in a subcooled bath"),
    QUANTITY(BATH, "still-convection", HEAT_TRANSFER, 0.0, 1e5, 1000.0, BOILING | OIL, OIL, cq_bath, convection_W_m2K,
             "convection without boiling"),
    QUANTITY(BATH, "gas-convection", HEAT_TRANSFER, 0.0, 1e4, 14.0, GAS, 0, cq_bath, gas_convection_W_m2K,
             "convection of a gas; radiation is added; 0: natural convection"),
    QUANTITY(BATH, "scale", LENGTH, 0.0, 1 * MM, 0.02 * MM, BOILING | OIL, 0, cq_bath, scale_m,
             "scale that bare steel carries"),
    QUANTITY(BATH, "scale-conductivity", CONDUCTIVITY, 0.1, 50.0, 3.0, BOILING | OIL, 0, cq_bath,
             scale_conductivity_W_mK, "conductivity of that scale"),
    QUANTITY(BATH, "scale-heat-capacity", HEAT_CAPACITY, 1e5, 1e7, 4.4e6, BOILING | OIL, 0, cq_bath,
             scale_heat_capacity_J_m3K, "heat capacity of that scale"),
    QUANTITY(BATH, "volume", VOLUME, 1e-4, 100.0, NONE, EVERY, 0, cq_bath, volume_m3, "the same as a step's volume"),
    QUANTITY(
        BATH, "heat-capacity", HEAT_CAPACITY, 1e5, 1e7, NONE, BOILING | OIL | TABULATED, 0, cq_bath,
        heat_capacity_J_m3K,
        "heat capacity per volume, by which a bath of a stated volume warms; absent: of water 4.17, less with salt, "
        "of an oil 1.8 MJ/m^3/K; a table with a volume must say it"),
    QUANTITY(
        BATH, "salt", SHARE, 0.0, 0.20, 0.0, BOILING, 0, cq_bath, salt,
        "common salt in the water, by mass: raises the rewetting temperature by 150 K per per cent and the peak flux "
        "to 2.24 times at 14 %; 0 is plain water"),
    QUANTITY(BATH, "film-transfer", HEAT_TRANSFER, 50.0, 5000.0, NONE, OIL, OIL, cq_bath, oil_film_W_m2K,
             "an oil's vapour blanket in a still bath at 40 °C, radiation included"),
    QUANTITY(
        BATH, "rewetting-temperature", TEMPERATURE, CELSIUS(300), CELSIUS(2000), NONE, OIL, OIL, cq_bath,
        oil_rewetting_K,
        "face temperature at which an oil's blanket ends, at 40 °C; 0.14 K lower per K of warmer bath; above every "
        "heat: no blanket"),
    QUANTITY(BATH, "peak-temperature", TEMPERATURE, CELSIUS(250), CELSIUS(900), NONE, OIL, OIL, cq_bath, oil_peak_K,
             "face temperature at which an oil draws most"),
    QUANTITY(BATH, "peak-transfer", HEAT_TRANSFER, 100.0, 2e4, NONE, OIL, OIL, cq_bath, oil_peak_W_m2K,
             "an oil's coefficient there; its flux falls as the bath warms"),
    QUANTITY(BATH, "boiling-from", TEMPERATURE, CELSIUS(150), CELSIUS(600), NONE, OIL, OIL, cq_bath, oil_boiling_K,
             "face temperature from which an oil boils; below, convection alone"),
    QUANTITY(BATH, "viscosity-40", VISCOSITY, 2e-6, 1e-3, NONE, OIL, OIL, cq_bath, oil_viscosity_40_m2_s,
             "an oil's viscosity at 40 °C: with the next it says how convection changes with the bath's temperature"),
    QUANTITY(BATH, "viscosity-100", VISCOSITY, 1e-6, 1e-3, NONE, OIL, OIL, cq_bath, oil_viscosity_100_m2_s,
             "an oil's viscosity at 100 °C"),
    QUANTITY(BATH, "flash-point", TEMPERATURE, CELSIUS(60), CELSIUS(400), NONE, OIL | TABULATED, 0, cq_bath, flash_K,
             "flash point of the oil: a bath within 28 K (50 °F) of it gets a caution"),

    QUANTITY(TEMPER, "temperature", TEMPERATURE, CELSIUS(50), CELSIUS(700), NONE, EVERY, EVERY, cq_temper,
             temperature_K, "temperature of the temper"),
    QUANTITY(TEMPER, "for", TIME, 10.0, 1e6, NONE, EVERY, EVERY, cq_temper, for_s, "time at it"),
    TOLD(TEMPER, "after", TIME, 0.0, 1e7,
         "time since the quench or the temper before; of the first temper more than an hour brings a caution where "
         "steel is hard; absent: at once"),
    QUANTITY(FINISH, "grind", LENGTH, 0.0, 5 * MM, 0.0, EVERY, 0, cq_plan, grind_m,
             "metal taken off each face before the line is seen"),
    QUANTITY(
        FINISH, "curve", LENGTH, -200 * MM, 200 * MM, 0.0, EVERY, 0, cq_plan, wanted_curve_m,
        "curve wanted over the blade's length after the tempers, + toward the spine; the answer says what curve to "
        "forge in"),
    OWN(FINISH, "wear-to", EVERY, 0,
        "hardness, for instance 58 HRC or 650 HV, below which the edge counts as gone: the answer says how far it may "
        "be sharpened until then; 20 to 68 HRC; absent: 55 HRC"),
    TOLERANCE("coat", SHARE, 2.0, "thickness of the clay"),
    TOLERANCE("edge-coat", SHARE, 2.0, "thickness of the wash on the edge"),
    TOLERANCE("clay-conductivity", SHARE, 2.0, "conductivity of the clay"),
    TOLERANCE("nose", SHARE, 2.0, "times of transformation"),
    TOLERANCE("edge", SHARE, 2.0, "thickness of the edge"),
    TOLERANCE("thickness", SHARE, 2.0, "thickness of the blade"),
    TOLERANCE("rewetting", SHARE, 2.0, "what the surface adds to the rewetting temperature"),
    TOLERANCE("bath-strength", SHARE, 2.0, "heat the bath draws, all parts of its curve together"),
    TOLERANCE("bath-temperature", DIFFERENCE, 100.0, "temperature of the baths"),
    TOLERANCE("soak-temperature", DIFFERENCE, 100.0, "soak temperature; absent: heat.error"),
    TOLERANCE("rim-height", LENGTH, 50 * MM, "height of the clay's rim"),
    TOLERANCE("time", TIME, 60.0, "times of the steps"),
    OWN(RECORD, "probes", EVERY, 0, "places whose temperature is kept"),
    OWN(RECORD, "times", EVERY, 0, "times at which the fields are kept, from the start of the first step"),
    QUANTITY(RECORD, "every", TIME, 1e-3, 1e5, NONE, EVERY, 0, cq_plan, every_s,
             "keep the fields at every multiple of this time"),
    TEXT(PROBE, "name", EVERY, NULL, cq_probe_plan, name, "name of the place"),
    QUANTITY(PROBE, "at", LENGTH, 0.0, 200 * MM, NONE, EVERY, 0, cq_probe_plan, at_m,
             "its height; a plate or round needs none"),
    CHOICE(PROBE, "face", 0, FACES, NULL, cq_probe_plan, face, "on the mid-plane (default) or on a face"),
    QUANTITY(PROBE, "depth", LENGTH, 0.0, 100 * MM, 0.0, EVERY, 0, cq_probe_plan, depth_m,
             "plate and round: how far the bead sits below the face; absent: as face says"),
    QUANTITY(PROBE, "lag", TIME, 0.0, 10.0, 0.0, EVERY, 0, cq_probe_plan, lag_s,
             "time constant of the bead, for tune; a run records the steel itself"),
    INTEGER(GRID, "along", 8, 2000, 100, cq_plan, grid.along, "cells along the height"),
    INTEGER(GRID, "across", 2, 200, 8, cq_plan, grid.across, "steel cells from the mid-plane to one face"),
    INTEGER(GRID, "clay", 2, 100, 6, cq_plan, grid.clay, "clay cells through a coat"),
    INTEGER(GRID, "refine", 1, 8, 1, cq_plan, grid.refine, "multiplies all cells and divides the step tolerance"),

    OWN(EVIDENCE, "format", EVERY, EVERY, "what the file is and its version: clayquench-evidence 1"),
    TEXT(EVIDENCE, "title", 0, NULL, cq_evidence, title, "a line for the reader, named as the source of what is tuned"),
    OWN(EVIDENCE, "items", EVERY, EVERY, "what was seen, one entry each"),
    CHOICE(ITEM, "what", EVERY, EVIDENCES, NULL, cq_evidence_item, kind,
           "etched line; stepped-clay: coat at which hardening stops; bare wedge: thickness at which full hardening "
           "stops; hardness; film: collapse after entering; rise of the curve as quenched, toward the spine"),
    OWN(ITEM, "value", EVERY, EVERY, "what was read: a length, a time, or a hardness in HRC or HV"),
    CHOICE(ITEM, "method", EVERY, METHODS, NULL, cq_evidence_item, method,
           "how it was read; where error: is absent it says how well"),
    OWN(ITEM, "error", EVERY, 0, "standard deviation of the reading, in its unit or in %; absent: the method's"),
    CHOICE(ITEM, "place", 0, PLACES, NULL, cq_evidence_item, place,
           "of hardness and film; of a plate the edge is the face and the body the middle; absent: edge"),
    QUANTITY(ITEM, "thickness", LENGTH, 0.2 * MM, 100 * MM, NONE, EVERY, 0, cq_evidence_item, plate_m,
             "of a stepped-clay coupon's plate; absent: that of its plan, if it is a plate"),
    OWN(ITEM, "plan", EVERY, 0, "file of a plan of its own, beside the evidence; absent: the base plan"),
    OWN(ITEM, "change", EVERY, 0, "keys of the plan that were otherwise, for instance {steps.1.at: 60 °C}"),
    TEXT(ITEM, "station", 0, NULL, cq_evidence_item, station,
         "where along the blade, for the reader: heel, tip; what its section has of its own goes into change"),
    TEXT(ITEM, "note", 0, NULL, cq_evidence_item, note, "a remark"),
    OWN(PROFILE, "format", EVERY, 0, "what the file is and its version, for instance clayquench-steel 1"),
    OWN(PROFILE, "from", EVERY, 0, "name of the profile whose values stand where this mapping has none"),
    OWN(PROFILE, "name", EVERY, 0, "the profile's name"),
    OWN(PROFILE, "summary", EVERY, 0, "one line for lists"),
    OWN(PROFILE, "source", EVERY, 0,
        "where values without a source of their own come from; keys in [brackets] as in references.bib"),
    OWN(PROFILE, "valid", EVERY, 0, "range in which those values hold"),
    OWN(PROFILE, "uncertainty", EVERY, 0, "how uncertain those values are"),
    OWN(PROFILE, "note", EVERY, 0, "a remark"),
    OWN(VALUE, "value", EVERY, 0, "the quantity, table or mapping itself"),
    OWN(VALUE, "points", EVERY, 0, "the same as value, for a table"),
    OWN(VALUE, "interpolate", EVERY, 0, "of a table: linear (default) or monotone"),
    OWN(VALUE, "source", EVERY, 0, "where the value comes from; keys in [brackets] as in references.bib"),
    OWN(VALUE, "valid", EVERY, 0, "range in which it holds"),
    OWN(VALUE, "uncertainty", EVERY, 0, "how uncertain it is"),
    OWN(VALUE, "note", EVERY, 0, "a remark"),
};
const size_t CQ_FIELDS_N = sizeof CQ_FIELDS / sizeof CQ_FIELDS[0];
