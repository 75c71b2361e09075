/* sampling.c - see sampling.h.
 *
 * Sobol's sequence as GSL has it [bratley1988], once for every group, each coordinate scrambled by a random number of
 * its group and dimension [owen1995]: every binary digit is flipped or not by chance, which depends on all digits
 * before it. Every point is then uniform by itself, groups are independent, and the even filling of space stays. A
 * shift alone (the same flip for all digits of a place) keeps how some pairs of dimensions go together in the first
 * hundred points.
 */
#include "study/sampling.h"

#include "base/memory.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_qrng.h>

enum { DIGITS = 52, SOBOL_DIGITS = 30, TREE = 20 }; /* of our numbers, of GSL's; digits flipped one by one */

/* The finaliser of splitmix64 [steele2014]: 64 bits that look unlike their neighbours'. */
static uint64_t mixed(uint64_t x) {
    x += 0x9e3779b97f4a7c15u;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}

/* A group's points are told apart by their first TREE digits up to a million of them; the others are flipped at once.
 */
static uint64_t scrambled(uint64_t digits, uint64_t key) {
    uint64_t flips = 0;
    for (int d = 0; d < TREE; d++) {
        const uint64_t before = (1u << d) + (digits >> (DIGITS - d)); /* which node of the tree of digits */
        flips |= (mixed(key ^ (before << 8)) & 1u) << (DIGITS - 1 - d);
    }
    const uint64_t rest = ((uint64_t)1 << (DIGITS - TREE)) - 1;
    return digits ^ (flips | (mixed(key ^ (digits >> (DIGITS - TREE)) ^ ((uint64_t)1 << 63)) & rest));
}

cq_status cq_sampling_uniform(size_t samples, size_t groups, uint64_t seed, double *u) {
    const gsl_qrng_type *sobol = gsl_qrng_sobol;
    void *state = cq_memory_zero(1, sobol->state_size(CQ_SAMPLING_DIMENSIONS)); /* GSL's own allocation may abort */
    if (state == NULL || sobol->init_state(state, CQ_SAMPLING_DIMENSIONS) != 0) {
        cq_memory_free(state);
        return CQ_ERR_MEMORY;
    }
    double point[CQ_SAMPLING_DIMENSIONS] = {0}; /* the first one, which GSL leaves out */
    for (size_t i = 0; i < samples; i++) {
        if (i > 0 && i % groups == 0) {
            sobol->get(state, CQ_SAMPLING_DIMENSIONS, point);
        }
        for (size_t d = 0; d < CQ_SAMPLING_DIMENSIONS; d++) {
            const uint64_t digits = (uint64_t)(point[d] * (double)(1u << SOBOL_DIGITS)) << (DIGITS - SOBOL_DIGITS);
            const uint64_t key = mixed(mixed(mixed(seed) + i % groups) + d);
            u[i * CQ_SAMPLING_DIMENSIONS + d] = ((double)scrambled(digits, key) + 0.5) * 0x1p-52;
        }
    }
    cq_memory_free(state);
    return CQ_OK;
}

double cq_sampling_normal(double u) {
    return gsl_cdf_ugaussian_Pinv(u);
}
