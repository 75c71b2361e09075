/* glow.h - the colour of hot steel: what an eye sees of its glow in a dark shop and in daylight.
 *
 * Light of a black body times the emissivity of scale, through the CIE 1931 observer, through one model of the eye's
 * adaptation, to sRGB. The model and what in it was chosen: src/material/glow.c. Kelvin, cd/m2.
 */
#ifndef CLAYQUENCH_GLOW_H
#define CLAYQUENCH_GLOW_H

#include <stddef.h>

/* Normal emissivity of oxidised carbon steel at 0.65 um, and of the bare metal; taken for the whole visible range.
 * Source: [roeser1941]. */
#define CQ_GLOW_SCALE 0.80
#define CQ_GLOW_METAL 0.35

typedef enum cq_glow_light {
    CQ_GLOW_DARK,     /* no light but the piece's own */
    CQ_GLOW_DAYLIGHT, /* 1000 lx: beside an open door */
    CQ_GLOW_LIGHTS
} cq_glow_light;

typedef struct cq_glow {
    double luminance_cd_m2;
    double x, y;      /* chromaticity of the light itself [iso11664-1] */
    double visible;   /* 0: black, no colour is seen; 1: full colour */
    double srgb[3];   /* as it looks, 0..1, encoded; (0, 0, 0) where visible is 0 */
    const char *word; /* of that colour, computed: "dark red"; a fixed string */
} cq_glow;

/* The glow of steel at temp_K (300 to 4000) whose emissivity (above 0 to 1) is the same at all wavelengths. */
cq_glow cq_glow_of(double temp_K, double emissivity, cq_glow_light light);

/* Temperature at which steel in `there` looks most like steel of temp_K does in `here` (nearest in CIELAB within 700 to
 * 1700 K, to 1 K). Scale. */
double cq_glow_alike(double temp_K, cq_glow_light here, cq_glow_light there);

/* The trade's words, rising temperature; a word holds from half-way to its neighbours. Source: [white1900]. */
typedef struct cq_glow_band {
    const char *word;
    double temp_K;
} cq_glow_band;
enum { CQ_GLOW_BANDS = 11 };
extern const cq_glow_band cq_glow_bands[CQ_GLOW_BANDS];
/* The word at a temperature; "black" below the first band. A fixed string. */
const char *cq_glow_trade_word(double temp_K);

/* How near a practised eye comes to a temperature, K: the same person in the same dim light; another person, light or
 * steel. Common practice, no source. */
#define CQ_GLOW_EYE_BEST_K 25.0
#define CQ_GLOW_EYE_USUAL_K 50.0

#endif
