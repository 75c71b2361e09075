/* crack.c - see crack.h. Tension times martensite ranked every pair of shop records it was tried on, whatever the
 * parameters of the mechanics (a study of 120 draws); the factors of flaw and strength are chosen here. */
#include "mechanics/crack.h"

#include <math.h>
#include <string.h>

static const double COLD_K = 473.15, LEAST_MARTENSITE = 0.3;
/* Depth of what a finish leaves, m: chosen here. */
static const double DEPTH_m[] = {
    [CQ_FINISH_GROUND] = 30e-6, [CQ_FINISH_POLISHED] = 10e-6, [CQ_FINISH_SCRATCHED] = 100e-6};
static const double CARBON_wt = 0.8, GRAIN_ASTM = 8.0; /* against which strength counts */
/* Classes: chosen here, for 0.8 % carbon and ground faces. A tenth of the
 * residual compression of hard edges (1 GPa) is within what the model does not know; four tenths of it, as tension, is
 * what the tall hard zones and the long waits in air reach that shops report as cracked. */
static const double MEDIUM_Pa = 100e6, HIGH_Pa = 400e6;

cq_finish cq_finish_of(const char *surface) {
    if (surface != NULL && strcmp(surface, "polished") == 0) {
        return CQ_FINISH_POLISHED;
    }
    return surface != NULL && strcmp(surface, "scratched-across") == 0 ? CQ_FINISH_SCRATCHED : CQ_FINISH_GROUND;
}

/* Thin edges crack first, below about 2 mm in water, as shops say: weakly with thickness, held within what blades
 * have. Chosen here; the tension itself, larger in a thin edge, does most. */
static const double THICK_m = 2e-3, THICK_POWER = 0.25, THICK_LEAST_m = 0.3e-3, THICK_MOST_m = 8e-3;

static double thickness_factor(double thickness_m) {
    return pow(THICK_m / fmin(THICK_MOST_m, fmax(THICK_LEAST_m, thickness_m)), THICK_POWER);
}

/* Stress intensity of a scratch of depth a along one face of a strip of thickness t over that in a thick one, a/t up to
 * 0.6. Source: [tada2000]. */
static double strip_factor(double depth_m, double thickness_m) {
    const double r = fmin(0.6, depth_m / thickness_m);
    return (1.12 + r * (-0.231 + r * (10.55 + r * (-21.72 + r * 30.39)))) / 1.12;
}

double cq_crack_severity(cq_finish finish, double thickness_m, double carbon_wt, double grain_ASTM) {
    const double depth = DEPTH_m[finish], flaw = sqrt(depth / DEPTH_m[CQ_FINISH_GROUND]) *
                                                 strip_factor(depth, thickness_m) * thickness_factor(thickness_m);
    /* Strength falls with carbon, and with the root of the grain's size (two grain numbers halve the size). */
    const double strength = CARBON_wt / fmax(carbon_wt, 0.1) * pow(2.0, 0.25 * (grain_ASTM - GRAIN_ASTM));
    return flaw / strength;
}

bool cq_crack_look(cq_crack *crack, const cq_crack_fields *f, double time_s) {
    double worst = crack->worst.index_Pa;
    size_t at = f->n;
    for (size_t c = 0; c < f->n; c++) {
        const double index = f->stress_Pa[c] * f->martensite[c] * f->severity[c];
        if (index > worst && f->martensite[c] >= LEAST_MARTENSITE && f->T_K[c] < COLD_K) {
            worst = index;
            at = c;
        }
    }
    if (at == f->n) {
        return false;
    }
    crack->worst = (cq_crack_moment){worst, time_s, f->stress_Pa[at], at, 0};
    return true;
}

/* The height of an index on the ladder, in rungs. */
static double height_of(double index_Pa) {
    return log(index_Pa / CQ_CRACK_FOOT_Pa) / log(CQ_CRACK_RUNG);
}

void cq_crack_keep(cq_crack *crack, int cause) {
    crack->worst.cause = cause;
    for (int class_n = (int)cq_crack_class_of(crack->worst.index_Pa); class_n >= 0; class_n--) {
        if (!(crack->since[class_n].index_Pa > 0.0)) {
            crack->since[class_n] = crack->worst;
        }
    }
    while (crack->climbed < CQ_CRACK_RUNGS && (double)crack->climbed <= floor(height_of(crack->worst.index_Pa))) {
        crack->rung[crack->climbed++] = crack->worst;
    }
}

const cq_crack_moment *cq_crack_nearly_worst(const cq_crack *crack) {
    static const double NEARLY = 0.95; /* chosen here: within what the tension is known to many times over */
    const double at = ceil(height_of(NEARLY * crack->worst.index_Pa));
    return at >= 0.0 && at < (double)crack->climbed ? &crack->rung[(size_t)at] : &crack->worst;
}

cq_crack_class cq_crack_class_of(double index_Pa) {
    return index_Pa >= HIGH_Pa ? CQ_CRACK_HIGH : index_Pa >= MEDIUM_Pa ? CQ_CRACK_MEDIUM : CQ_CRACK_LOW;
}
