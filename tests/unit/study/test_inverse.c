/* The inverse against logs of the forward run: known flux laws, seeded noise of 0.5 K at 50 Hz. The forward run is a
 * finer grid's with steps of its own. */
#include "../../suite.h"

#include "inverse_logs.h"

#include <time.h>

static const char *const ROUND = "{section: round, diameter: 12.5 mm}", *const PLATE =
                                                                            "{section: plate, thickness: 10 mm}";
/* A coefficient without scale under it, so that the face's flux is the table's. */
static const char *const OIL = "{in: {from: fast-oil, scale: 0 mm}, at: 40 °C, for: 30 s}";
static const char *const WATER = "{in: {from: water, scale: 0 mm}, at: 60 °C, for: 30 s}";
static const char *const STEEP =
    "{in: {kind: table, heat-transfer: [[30 °C, 600 W/m^2/K], [110 °C, 2000 W/m^2/K], [230 °C, 9000 W/m^2/K], [500 °C, "
    "3000 W/m^2/K], [620 °C, 400 W/m^2/K], [850 °C, 300 W/m^2/K]]}, at: 30 °C, for: 25 s}";

static void show(const char *what, const made_log *m, const cq_inverse *v, double cpu_s) {
    printf(
        "%s: peak %.3f MW/m2 at %.0f °C, found %.3f +- %.3f at %.0f +- %.0f (width %.0f K, %.2f s), heat %.4f of %.4f "
        "+- %.4f MJ/m2, misfit %.2f %.2f, single %d, %zu runs, %.2f s\n",
        what, 1e-6 * m->peak_W_m2, m->peak_K - 273.15, 1e-6 * v->peak_flux_W_m2.value, 1e-6 * v->peak_flux_W_m2.error,
        v->peak_face_K.value - 273.15, v->peak_face_K.error, v->peak_resolution_K, v->resolution_time_s,
        1e-6 * v->heat_J_m2.value, 1e-6 * m->heat_J_m2, 1e-6 * v->heat_J_m2.error, v->flux_misfit, v->transfer_misfit,
        v->single, v->runs, cpu_s);
}

static const struct {
    const char *what, *const *piece, *const *step, *probe;
    bool resolved; /* peak within 10 %, its place within 20 K */
    double peak;   /* share within which it must come; 0: 10 % */
} cases[] = {
    {"oil, core of the standard probe", &ROUND, &OIL, "{name: core}", true, 0.0},
    {"oil, 1 mm deep in a plate", &PLATE, &OIL, "{name: bead, depth: 1 mm}", true, 0.0},
    {"steep table, 1 mm deep in a plate", &PLATE, &STEEP, "{name: bead, depth: 1 mm}", true, 0.0},
    {"steep table, 0.5 mm deep in a round", &ROUND, &STEEP, "{name: bead, depth: 0.5 mm}", true, 0.0},
    {"steep table, 1 mm deep, bead of 50 ms", &PLATE, &STEEP, "{name: bead, depth: 1 mm, lag: 50 ms}", true, 0.0},
    {"oil, 1 mm deep, bead of 0.6 s", &PLATE, &OIL, "{name: bead, depth: 1 mm, lag: 600 ms}", true,
     0.05}, /* who forgets the lag finds a peak 10 % low */
    {"water, 1 mm deep in the standard probe", &ROUND, &WATER, "{name: bead, depth: 1 mm}", true, 0.0},
    {"water, core of the standard probe", &ROUND, &WATER, "{name: core}", false, 0.0},
};
enum { CASES = sizeof cases / sizeof cases[0] };

START_TEST(known_baths) {
    made_log m;
    make_log(&m, *cases[_i].piece, *cases[_i].step, cases[_i].probe, 0.5, 0.02, 7);
    const clock_t begun = clock();
    cq_inverse *v = invert(&m, 0.5);
    show(cases[_i].what, &m, v, (double)(clock() - begun) / CLOCKS_PER_SEC);
    ck_assert(fabs(v->heat_J_m2.value / m.heat_J_m2 - 1.0) < 0.03);
    if (cases[_i].resolved) {
        ck_assert(v->single);
        ck_assert(fabs(v->peak_flux_W_m2.value / m.peak_W_m2 - 1.0) < (cases[_i].peak > 0.0 ? cases[_i].peak : 0.10));
        ck_assert(fabs(v->peak_face_K.value - m.peak_K) < 20.0);
    }
    ck_assert(v->peak_resolution_K > 0.0);
    cq_inverse_free(v);
    drop_log(&m);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("inverse");
    tcase_set_timeout(tc, 300);
    tcase_add_loop_test(tc, known_baths, 0, CASES);
    return run_case(tc, "inverse");
}
