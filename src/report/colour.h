/* colour.h - the colour scale of every field picture, linear or logarithmic.
 *
 * The scale is a helix in CIELAB: lightness rises evenly while the hue turns evenly at constant chroma, from dark blue
 * by purple and red to pale yellow. Order is carried by lightness alone, so it survives grey printing and colour-blind
 * eyes; nothing leaves the sRGB gamut, so no part of it is flattened.
 */
#ifndef CQ_REPORT_COLOUR_H
#define CQ_REPORT_COLOUR_H

#include <stdbool.h>

/* sRGB, 0..1 each, of the share u of the scale; u outside 0..1 (and NaN) gets the end it is nearest to (the low one).
 */
void cq_colour_of(double u, double rgb[3]);

/* What the two ends of the scale stand for. log: both above 0. */
typedef struct cq_ramp {
    double low, high;
    bool log;
} cq_ramp;

/* Share of the scale at v; outside 0..1 when v lies outside the ends. */
double cq_ramp_share(const cq_ramp *ramp, double v);

#endif
