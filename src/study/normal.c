/* normal.c - see normal.h. Cholesky's factors. */
#include "study/normal.h"

#include <math.h>
#include <string.h>

bool cq_normal_factor(size_t n, double *A) {
    for (size_t j = 0; j < n; j++) {
        for (size_t i = j; i < n; i++) {
            double sum = A[i * n + j];
            for (size_t k = 0; k < j; k++) {
                sum -= A[i * n + k] * A[j * n + k];
            }
            if (i > j) {
                A[i * n + j] = sum / A[j * n + j];
            } else if (sum > 0.0 && isfinite(sum)) {
                A[j * n + j] = sqrt(sum);
            } else {
                return false;
            }
        }
    }
    return true;
}

void cq_normal_solve(size_t n, const double *L, double *b) {
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++) {
            b[i] -= L[i * n + k] * b[k];
        }
        b[i] /= L[i * n + i];
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; k++) {
            b[i] -= L[k * n + i] * b[k];
        }
        b[i] /= L[i * n + i];
    }
}

void cq_normal_invert(size_t n, const double *L, double *inverse) {
    memset(inverse, 0, n * n * sizeof *inverse);
    for (size_t i = 0; i < n; i++) {
        inverse[i * n + i] = 1.0;
        cq_normal_solve(n, L, inverse + i * n); /* symmetric: a column is a row */
    }
}
