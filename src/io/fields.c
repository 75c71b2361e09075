/* fields.c - see fields.h. */
#include "io/fields.h"

#include <clayquench/plan.h>
#include <string.h>

#define MM 1e-3
#define CELSIUS 273.15
#define QUANTITY(owner, key, dim, low, high, type, member, words) \
    {owner, key, CQ_FIELD_QUANTITY, dim, low, high, offsetof(type, member), words}
#define NUMBER(owner, key, low, high, type, member, words) \
    {owner, key, CQ_FIELD_NUMBER, CQ_DIM_SHARE, low, high, offsetof(type, member), words}
#define TABLE(owner, key, dim, low, high, type, member, words) \
    {owner, key, CQ_FIELD_TABLE, dim, low, high, offsetof(type, member), words}
#define TEXT(owner, key, type, member, words) {owner, key, CQ_FIELD_TEXT, CQ_DIM_SHARE, 0, 0, offsetof(type, member), words}
#define INTEGER(owner, key, low, high, type, member, words) \
    {owner, key, CQ_FIELD_INTEGER, CQ_DIM_SHARE, low, high, offsetof(type, member), words}
#define OWN(owner, key, words) {owner, key, CQ_FIELD_OWN, CQ_DIM_SHARE, 0, 0, 0, words}
#define RESERVED(owner, key, words) {owner, key, CQ_FIELD_RESERVED, CQ_DIM_SHARE, 0, 0, 0, words}

const char *const CQ_OWNER_PATH[CQ_OWNERS] = {
    [CQ_OWNER_PLAN] = "",          [CQ_OWNER_BLADE] = "blade.",       [CQ_OWNER_RIDGE] = "blade.ridge.",
    [CQ_OWNER_STEEL] = "steel.",   [CQ_OWNER_CLAY_LAYER] = "clay.",   [CQ_OWNER_CLAY] = "clay.mix.",
    [CQ_OWNER_COAT] = "clay.coat.N.", [CQ_OWNER_HEAT] = "heat.",      [CQ_OWNER_BATH] = "steps.N.in.",
    [CQ_OWNER_STEP] = "steps.N.",  [CQ_OWNER_TEMPER] = "temper.N.",   [CQ_OWNER_FINISH] = "finish.",
    [CQ_OWNER_RECORD] = "record.", [CQ_OWNER_PROBE] = "record.probes.N.", [CQ_OWNER_GRID] = "grid."};

const cq_field CQ_FIELDS[] = {
    OWN(CQ_OWNER_PLAN, "format", "what the file is and its version: clayquench-plan 1"),
    TEXT(CQ_OWNER_PLAN, "title", cq_plan, title, "a line for the reader, shown on every result"),
    OWN(CQ_OWNER_PLAN, "blade", "the section: a mapping, or the name of a blade profile"),
    OWN(CQ_OWNER_PLAN, "steel", "a steel profile's name, or a mapping with from: and batch:"),
    OWN(CQ_OWNER_PLAN, "clay", "the coat; absent: all bare"),
    OWN(CQ_OWNER_PLAN, "heat", "soak temperature and hold"),
    QUANTITY(CQ_OWNER_PLAN, "start", CQ_DIM_TEMPERATURE, 473.15, 1523.15, cq_plan, heat.start_K,
             "replaces heat: everything starts at this temperature, fully austenitic"),
    OWN(CQ_OWNER_PLAN, "steps", "what happens from leaving the fire on, in order"),
    OWN(CQ_OWNER_PLAN, "temper", "tempers after the quench, in order"),
    OWN(CQ_OWNER_PLAN, "finish", "grinding before the line is seen"),
    OWN(CQ_OWNER_PLAN, "tolerances", "how exact the smith is; used by the many-run commands"),
    OWN(CQ_OWNER_PLAN, "record", "what to keep besides the summary"),
    OWN(CQ_OWNER_PLAN, "grid", "cells; the default suits blades"),
    RESERVED(CQ_OWNER_PLAN, "zones", "several steels in one blade"),
    RESERVED(CQ_OWNER_PLAN, "heats", "a second heat"),
    RESERVED(CQ_OWNER_PLAN, "skin", "decarburised skin"),
    RESERVED(CQ_OWNER_PLAN, "stations", "several sections along the length"),

    OWN(CQ_OWNER_BLADE, "section", "flat, convex, ridged, plate or round"),
    QUANTITY(CQ_OWNER_BLADE, "height", CQ_DIM_LENGTH, 3 * MM, 200 * MM, cq_blade, height_m, "edge flat to spine flat"),
    QUANTITY(CQ_OWNER_BLADE, "edge", CQ_DIM_LENGTH, 0.1 * MM, 30 * MM, cq_blade, edge_m, "thickness across the edge flat, before the quench"),
    QUANTITY(CQ_OWNER_BLADE, "spine", CQ_DIM_LENGTH, 0.1 * MM, 60 * MM, cq_blade, spine_m, "thickness across the spine flat"),
    QUANTITY(CQ_OWNER_BLADE, "thickness", CQ_DIM_LENGTH, 0.1 * MM, 100 * MM, cq_blade, spine_m, "plate: its thickness"),
    QUANTITY(CQ_OWNER_BLADE, "diameter", CQ_DIM_LENGTH, 0.5 * MM, 200 * MM, cq_blade, spine_m, "round: its diameter"),
    QUANTITY(CQ_OWNER_BLADE, "length", CQ_DIM_LENGTH, 5 * MM, 2.0, cq_blade, length_m, "length of the blade"),
    QUANTITY(CQ_OWNER_BLADE, "bulge", CQ_DIM_LENGTH, 0.0, 10 * MM, cq_blade, bulge_m, "convex: how far each flank stands out at mid-height"),
    OWN(CQ_OWNER_BLADE, "ridge", "ridged: height and thickness of the ridge (shinogi)"),
    TEXT(CQ_OWNER_BLADE, "surface", cq_blade, surface, "ground, polished or scratched-across, as the smith states it"),
    RESERVED(CQ_OWNER_BLADE, "groove", "a groove (hi)"),
    RESERVED(CQ_OWNER_BLADE, "points", "outline points"),
    RESERVED(CQ_OWNER_BLADE, "left", "outline points of the left side"),
    RESERVED(CQ_OWNER_BLADE, "right", "outline points of the right side"),
    QUANTITY(CQ_OWNER_RIDGE, "at", CQ_DIM_LENGTH, 0.5 * MM, 200 * MM, cq_blade, ridge_at_m, "height of the ridge"),
    QUANTITY(CQ_OWNER_RIDGE, "thickness", CQ_DIM_LENGTH, 0.2 * MM, 60 * MM, cq_blade, ridge_thickness_m, "thickness at the ridge"),

    OWN(CQ_OWNER_STEEL, "grade", "same as from"),
    OWN(CQ_OWNER_STEEL, "batch", "elements of this batch's certificate; the profile's others stay"),
    OWN(CQ_OWNER_STEEL, "composition", "weight per cent of each element"),
    OWN(CQ_OWNER_STEEL, "kind", "transforming (default) or inert"),
    NUMBER(CQ_OWNER_STEEL, "grain", 0.0, 14.0, cq_steel, grain_ASTM, "ASTM grain number after the reference soak (800 °C, 5 min)"),
    NUMBER(CQ_OWNER_STEEL, "time-factor", 0.2, 5.0, cq_steel, time_factor, "multiplies the times of pearlite and ferrite, its root those of bainite"),
    QUANTITY(CQ_OWNER_STEEL, "ms-shift", CQ_DIM_DIFFERENCE, -60.0, 60.0, cq_steel, ms_shift_K, "shift of the martensite start"),
    QUANTITY(CQ_OWNER_STEEL, "hardness-shift", CQ_DIM_HARDNESS, -80.0, 80.0, cq_steel, hardness_shift_HV, "shift of the martensite's hardness"),
    NUMBER(CQ_OWNER_STEEL, "time-factor-sigma", 0.0, 2.0, cq_steel, time_factor_ln_sigma, "standard deviation of ln(time-factor)"),
    QUANTITY(CQ_OWNER_STEEL, "emissivity", CQ_DIM_SHARE, 0.02, 1.0, cq_steel, emissivity, "emissivity of the bare face"),
    TABLE(CQ_OWNER_STEEL, "conductivity", CQ_DIM_CONDUCTIVITY, 0.05, 500.0, cq_steel, conductivity_W_mK, "inert steel: conductivity, one value or a table"),
    TABLE(CQ_OWNER_STEEL, "heat-capacity", CQ_DIM_HEAT_CAPACITY, 1e5, 2e7, cq_steel, heat_capacity_J_m3K, "inert steel: heat capacity per volume, one value or a table"),

    OWN(CQ_OWNER_CLAY_LAYER, "mix", "a clay profile's name, or a mapping with its properties"),
    OWN(CQ_OWNER_CLAY_LAYER, "wet", "true: thicknesses are wet and the profile's drying factor is applied"),
    QUANTITY(CQ_OWNER_CLAY_LAYER, "contact", CQ_DIM_CONTACT, 0.0, 0.1, cq_plan, contact_m2K_W, "gap resistance between clay and steel"),
    NUMBER(CQ_OWNER_CLAY_LAYER, "soaked", 1.0, 4.0, cq_plan, soaked, "a thin wet coat (below 0.2 mm) conducts this many times its dry value"),
    OWN(CQ_OWNER_CLAY_LAYER, "coat", "list of points: height of the foot point and thickness, joined by straight lines"),
    OWN(CQ_OWNER_CLAY_LAYER, "edge", "thickness on the edge flat; absent or bare: none"),
    OWN(CQ_OWNER_CLAY_LAYER, "spine", "thickness on the spine flat; absent or bare: none"),
    RESERVED(CQ_OWNER_CLAY_LAYER, "lost", "a patch that falls off"),
    TABLE(CQ_OWNER_CLAY, "conductivity", CQ_DIM_CONDUCTIVITY, 0.02, 50.0, cq_clay, conductivity_W_mK, "conductivity of the dry mix"),
    TABLE(CQ_OWNER_CLAY, "heat-capacity", CQ_DIM_HEAT_CAPACITY, 1e5, 1e7, cq_clay, heat_capacity_J_m3K, "heat capacity per volume of the dry mix"),
    QUANTITY(CQ_OWNER_CLAY, "emissivity", CQ_DIM_SHARE, 0.05, 1.0, cq_clay, emissivity, "emissivity of the mix"),
    QUANTITY(CQ_OWNER_CLAY, "porosity", CQ_DIM_SHARE, 0.0, 0.9, cq_clay, porosity, "share of pores"),
    NUMBER(CQ_OWNER_CLAY, "drying-factor", 0.3, 1.0, cq_clay, drying_factor, "dry thickness over wet thickness"),
    OWN(CQ_OWNER_CLAY, "density", "density of the dry mix; told, not used"),
    QUANTITY(CQ_OWNER_COAT, "at", CQ_DIM_LENGTH, 0.0, 200 * MM, cq_coat_point, at_m, "height of the foot point on the steel face"),
    OWN(CQ_OWNER_COAT, "thickness", "thickness on both faces"),
    QUANTITY(CQ_OWNER_COAT, "left", CQ_DIM_LENGTH, 0.0, 10 * MM, cq_coat_point, left_m, "thickness on the left face"),
    QUANTITY(CQ_OWNER_COAT, "right", CQ_DIM_LENGTH, 0.0, 10 * MM, cq_coat_point, right_m, "thickness on the right face"),

    QUANTITY(CQ_OWNER_HEAT, "temperature", CQ_DIM_TEMPERATURE, 473.15, 1523.15, cq_plan, heat.temperature_K, "soak temperature"),
    QUANTITY(CQ_OWNER_HEAT, "hold", CQ_DIM_TIME, 1.0, 36000.0, cq_plan, heat.hold_s, "time at heat"),
    QUANTITY(CQ_OWNER_HEAT, "error", CQ_DIM_DIFFERENCE, 0.0, 100.0, cq_plan, heat.error_K, "how well the temperature is known"),
    RESERVED(CQ_OWNER_HEAT, "structure", "starting structure"),
    RESERVED(CQ_OWNER_HEAT, "spine-below", "spine cooler than the edge"),
    RESERVED(CQ_OWNER_HEAT, "fire", "a fire of given temperature"),

    OWN(CQ_OWNER_BATH, "kind", "boiling, gas or table"),
    QUANTITY(CQ_OWNER_BATH, "at", CQ_DIM_TEMPERATURE, 243.15, 573.15, cq_bath, at_K, "bath temperature if the step does not say"),
    OWN(CQ_OWNER_BATH, "range", "lowest and highest bath temperature the description holds for"),
    TABLE(CQ_OWNER_BATH, "heat-transfer", CQ_DIM_HEAT_TRANSFER, 0.0, 1e6, cq_bath, heat_transfer_W_m2K, "table: heat transfer coefficient against face temperature"),
    NUMBER(CQ_OWNER_BATH, "film", 0.1, 10.0, cq_bath, film_factor, "multiplies the vapour film's flux"),
    NUMBER(CQ_OWNER_BATH, "rewetting", 0.0, 5.0, cq_bath, rewetting_factor, "multiplies what the surface adds to the rewetting temperature"),
    NUMBER(CQ_OWNER_BATH, "peak", 0.1, 10.0, cq_bath, peak_factor, "multiplies the peak flux"),
    NUMBER(CQ_OWNER_BATH, "nucleate", 0.1, 10.0, cq_bath, nucleate_factor, "multiplies the nucleate flux"),
    NUMBER(CQ_OWNER_BATH, "convection", 0.1, 10.0, cq_bath, convection_factor, "multiplies convection"),
    QUANTITY(CQ_OWNER_BATH, "rewetting-shift", CQ_DIM_DIFFERENCE, -300.0, 1500.0, cq_bath, rewetting_shift_K, "added to the bare metal's rewetting temperature"),
    NUMBER(CQ_OWNER_BATH, "transition", 0.5, 5.0, cq_bath, transition_exponent, "exponent of the wetted share in transition boiling"),
    QUANTITY(CQ_OWNER_BATH, "contact-time", CQ_DIM_TIME, 1e-4, 0.1, cq_bath, contact_time_s, "time of contact that decides wetting"),
    QUANTITY(CQ_OWNER_BATH, "film-convection", CQ_DIM_HEAT_TRANSFER, 0.0, 1e5, cq_bath, film_convection_W_m2K, "liquid side of the subcooled film"),
    QUANTITY(CQ_OWNER_BATH, "still-convection", CQ_DIM_HEAT_TRANSFER, 0.0, 1e5, cq_bath, convection_W_m2K, "single-phase convection in the still bath"),
    QUANTITY(CQ_OWNER_BATH, "gas-convection", CQ_DIM_HEAT_TRANSFER, 0.0, 1e4, cq_bath, gas_convection_W_m2K, "gas: convection coefficient"),
    QUANTITY(CQ_OWNER_BATH, "scale", CQ_DIM_LENGTH, 0.0, 1 * MM, cq_bath, scale_m, "scale on bare steel in this bath"),
    QUANTITY(CQ_OWNER_BATH, "scale-conductivity", CQ_DIM_CONDUCTIVITY, 0.1, 50.0, cq_bath, scale_conductivity_W_mK, "conductivity of that scale"),
    QUANTITY(CQ_OWNER_BATH, "scale-heat-capacity", CQ_DIM_HEAT_CAPACITY, 1e5, 1e7, cq_bath, scale_heat_capacity_J_m3K, "heat capacity of that scale"),
    RESERVED(CQ_OWNER_BATH, "volume", "a bath that warms"),

    OWN(CQ_OWNER_STEP, "in", "a bath profile's name, or a mapping"),
    QUANTITY(CQ_OWNER_STEP, "at", CQ_DIM_TEMPERATURE, 243.15, 573.15, cq_step_plan, at_K, "bath temperature"),
    QUANTITY(CQ_OWNER_STEP, "for", CQ_DIM_TIME, 1e-3, 1e6, cq_step_plan, for_s, "how long"),
    QUANTITY(CQ_OWNER_STEP, "until", CQ_DIM_TEMPERATURE, 243.15, 1500.0, cq_step_plan, until_K, "until the hottest steel is at this temperature"),
    QUANTITY(CQ_OWNER_STEP, "agitation", CQ_DIM_SPEED, 0.0, 10.0, cq_step_plan, agitation_m_s, "speed of the bath past the blade; absent: still"),
    RESERVED(CQ_OWNER_STEP, "entry", "edge-first, spine-first or point-first entry"),
    RESERVED(CQ_OWNER_STEP, "speed", "speed of entry"),
    RESERVED(CQ_OWNER_STEP, "depth", "partial immersion"),

    QUANTITY(CQ_OWNER_TEMPER, "temperature", CQ_DIM_TEMPERATURE, 323.15, 973.15, cq_temper_plan, temperature_K, "temper temperature"),
    QUANTITY(CQ_OWNER_TEMPER, "for", CQ_DIM_TIME, 10.0, 1e6, cq_temper_plan, for_s, "time at it"),
    QUANTITY(CQ_OWNER_FINISH, "grind", CQ_DIM_LENGTH, 0.0, 5 * MM, cq_plan, grind_m, "metal taken off each face before the line is seen"),
    OWN(CQ_OWNER_RECORD, "probes", "list of places whose temperature is kept"),
    OWN(CQ_OWNER_RECORD, "times", "list of times at which fields are kept"),
    QUANTITY(CQ_OWNER_RECORD, "every", CQ_DIM_TIME, 1e-3, 1e5, cq_plan, every_s, "keep at every such time"),
    TEXT(CQ_OWNER_PROBE, "name", cq_probe_plan, name, "name of the place"),
    QUANTITY(CQ_OWNER_PROBE, "at", CQ_DIM_LENGTH, 0.0, 200 * MM, cq_probe_plan, at_m, "its height"),
    OWN(CQ_OWNER_PROBE, "face", "mid (default), left or right"),
    INTEGER(CQ_OWNER_GRID, "along", 8, 2000, cq_plan, grid.along, "cells along the height"),
    INTEGER(CQ_OWNER_GRID, "across", 2, 200, cq_plan, grid.across, "steel cells from the mid-plane to one face"),
    INTEGER(CQ_OWNER_GRID, "clay", 2, 100, cq_plan, grid.clay, "clay cells through a coat"),
    INTEGER(CQ_OWNER_GRID, "refine", 1, 8, cq_plan, grid.refine, "multiplies all cells and divides the step tolerance by its square"),
};
const size_t CQ_FIELDS_N = sizeof CQ_FIELDS / sizeof CQ_FIELDS[0];

const cq_field *cq_field_find(cq_owner owner, const char *key) {
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        if (CQ_FIELDS[f].owner == owner && strcmp(CQ_FIELDS[f].key, key) == 0) {
            return &CQ_FIELDS[f];
        }
    }
    return NULL;
}

size_t cq_word_distance(const char *a, const char *b) {
    enum { LONGEST = 63 };
    size_t row[LONGEST + 1];
    const size_t n = strlen(b);
    if (n > LONGEST) {
        return n;
    }
    for (size_t j = 0; j <= n; j++) {
        row[j] = j;
    }
    for (size_t i = 0; a[i] != '\0'; i++) {
        size_t diagonal = row[0];
        row[0] = i + 1;
        for (size_t j = 1; j <= n; j++) {
            const size_t replaced = diagonal + (a[i] != b[j - 1]);
            diagonal = row[j];
            const size_t shorter = row[j] < row[j - 1] ? row[j] : row[j - 1];
            row[j] = shorter + 1 < replaced ? shorter + 1 : replaced;
        }
    }
    return row[n];
}

const char *cq_field_nearest(cq_owner owner, const char *key) {
    const char *nearest = NULL;
    size_t best = 4;
    for (size_t f = 0; f < CQ_FIELDS_N; f++) {
        const size_t distance = CQ_FIELDS[f].owner == owner ? cq_word_distance(key, CQ_FIELDS[f].key) : best;
        if (distance < best && distance < strlen(CQ_FIELDS[f].key)) {
            best = distance;
            nearest = CQ_FIELDS[f].key;
        }
    }
    return nearest;
}
