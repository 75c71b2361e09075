/* cvode_rival.c - see cvode_rival.h. */
#include "cvode_rival.h"

#include "cpu.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <string.h>
#include <sundials/sundials_version.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_sparse.h>

static int rate(realtype t, N_Vector T, N_Vector out, void *context) {
    (void)t;
    section_system_rate(context, N_VGetArrayPointer(T), N_VGetArrayPointer(out));
    return 0;
}

static int jacobian(realtype t, N_Vector T, N_Vector out, SUNMatrix J, void *context, N_Vector a, N_Vector b,
                    N_Vector c) {
    (void)t, (void)out, (void)a, (void)b, (void)c;
    const section_system *s = context;
    const int n = section_system_cells(s), *columns = section_system_columns(s), *rows = section_system_rows(s);
    for (int i = 0; i <= n; i++) {
        SUNSparseMatrix_IndexPointers(J)[i] = columns[i];
    }
    for (int i = 0; i < columns[n]; i++) {
        SUNSparseMatrix_IndexValues(J)[i] = rows[i];
    }
    section_system_jacobian(context, N_VGetArrayPointer(T), SUNSparseMatrix_Data(J));
    return 0;
}

static bool march(void *memory, N_Vector T, int cells, const double *at_s, int times_n, double *temp_K,
                  cvode_cost *cost) {
    const double begin = cpu_s();
    for (int n = 0; n < times_n; n++) {
        realtype t;
        if (CVode(memory, at_s[n], T, &t, CV_NORMAL) < 0) {
            return false;
        }
        memcpy(temp_K + (size_t)n * (size_t)cells, N_VGetArrayPointer(T), (size_t)cells * sizeof(double));
    }
    cost->cpu_s = cpu_s() - begin;
    return CVodeGetNumSteps(memory, &cost->steps) == 0 && CVodeGetNumRhsEvals(memory, &cost->rates) == 0 &&
           CVodeGetNumJacEvals(memory, &cost->jacobians) == 0 &&
           CVodeGetNumLinSolvSetups(memory, &cost->factorisations) == 0;
}

bool cvode_solve(section_system *s, double start_K, const double *at_s, int times_n, double relative, double *temp_K,
                 cvode_cost *cost) {
    const int n = section_system_cells(s);
    SUNContext context;
    if (SUNContext_Create(NULL, &context) != 0) {
        return false;
    }
    N_Vector T = N_VNew_Serial(n, context);
    N_VConst(start_K, T);
    SUNMatrix J = SUNSparseMatrix(n, n, section_system_nonzeros(s), CSC_MAT, context);
    SUNLinearSolver klu = SUNLinSol_KLU(T, J, context);
    SUNLinSol_KLUSetOrdering(klu, 0); /* AMD: a little quicker here than COLAMD, the default */
    void *memory = CVodeCreate(CV_BDF, context);
    section_system_begin(s);
    const bool done = CVodeInit(memory, rate, 0.0, T) == 0 && CVodeSStolerances(memory, relative, relative) == 0 &&
                      CVodeSetUserData(memory, s) == 0 && CVodeSetLinearSolver(memory, klu, J) == 0 &&
                      CVodeSetJacFn(memory, jacobian) == 0 && CVodeSetMaxNumSteps(memory, 1000000) == 0 &&
                      march(memory, T, n, at_s, times_n, temp_K, cost);
    CVodeFree(&memory);
    SUNLinSolFree(klu);
    SUNMatDestroy(J);
    N_VDestroy(T);
    SUNContext_Free(&context);
    return done;
}
