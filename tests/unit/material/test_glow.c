/* The look of hot steel: black below sight, brighter and paler with heat, darker in daylight; words in the trade's
 * order. */
#include "../../suite.h"
#include "material/observer.h"

#include <clayquench/glow.h>
#include <math.h>
#include <string.h>

static double grey(const cq_glow *g) {
    return 0.2126 * pow(g->srgb[0], 2.2) + 0.7152 * pow(g->srgb[1], 2.2) + 0.0722 * pow(g->srgb[2], 2.2);
}

START_TEST(brighter_with_heat) {
    for (int light = 0; light < CQ_GLOW_LIGHTS; light++) {
        double before = 0.0, visible = 0.0, luminance = 0.0;
        for (double T = 600.0; T <= 1700.0; T += 5.0) {
            const cq_glow g = cq_glow_of(T, CQ_GLOW_SCALE, (cq_glow_light)light);
            ck_assert_double_ge(grey(&g), before - 1e-9);
            ck_assert_double_ge(g.visible, visible);
            ck_assert_double_gt(g.luminance_cd_m2, luminance);
            ck_assert_double_ge(g.srgb[0], g.srgb[2]); /* never bluish */
            for (int i = 0; i < 3; i++) {
                ck_assert(g.srgb[i] >= 0.0 && g.srgb[i] <= 1.0);
            }
            before = grey(&g);
            visible = g.visible;
            luminance = g.luminance_cd_m2;
        }
    }
}
END_TEST

START_TEST(black_below_sight) {
    for (int light = 0; light < CQ_GLOW_LIGHTS; light++) {
        for (double T = 300.0; T < 780.0; T += 10.0) {
            const cq_glow g = cq_glow_of(T, CQ_GLOW_SCALE, (cq_glow_light)light);
            ck_assert(!(g.srgb[0] > 0.0) && !(g.srgb[1] > 0.0) && !(g.srgb[2] > 0.0) && !(g.visible > 0.0));
            ck_assert_str_eq(g.word, "black");
        }
    }
}
END_TEST

/* In daylight everything looks colder, and black things stay black. */
START_TEST(daylight_darkens) {
    for (double T = 820.0; T <= 1500.0; T += 20.0) {
        const cq_glow dark = cq_glow_of(T, CQ_GLOW_SCALE, CQ_GLOW_DARK),
                      day = cq_glow_of(T, CQ_GLOW_SCALE, CQ_GLOW_DAYLIGHT);
        ck_assert_double_lt(grey(&day), grey(&dark));
    }
    for (double T = 950.0; T < 1250.0; T += 50.0) {
        ck_assert_double_gt(cq_glow_alike(T, CQ_GLOW_DARK, CQ_GLOW_DAYLIGHT), T + 20.0);
        ck_assert_double_eq_tol(cq_glow_alike(T, CQ_GLOW_DARK, CQ_GLOW_DARK), T, 1.01);
    }
}
END_TEST

/* Chromaticity does not know emissivity, luminance goes with it. */
START_TEST(emissivity_dims) {
    const cq_glow full = cq_glow_of(1200.0, 0.8, CQ_GLOW_DARK), half = cq_glow_of(1200.0, 0.4, CQ_GLOW_DARK);
    ck_assert_double_eq_tol(half.luminance_cd_m2, 0.5 * full.luminance_cd_m2, 1e-9 * full.luminance_cd_m2);
    ck_assert_double_eq_tol(half.x, full.x, 1e-12);
    ck_assert_double_eq_tol(half.y, full.y, 1e-12);
}
END_TEST

START_TEST(trade_words) {
    ck_assert_str_eq(cq_glow_trade_word(700.0), "black");
    for (int n = 0; n < CQ_GLOW_BANDS; n++) {
        ck_assert_str_eq(cq_glow_trade_word(cq_glow_bands[n].temp_K), cq_glow_bands[n].word);
        ck_assert(n == 0 || cq_glow_bands[n].temp_K > cq_glow_bands[n - 1].temp_K);
    }
    ck_assert_str_eq(cq_glow_trade_word(1700.0), "white");
}
END_TEST

/* The table's sums from 380 to 780 nm are the published ones [iso11664-1], from memory; the eye is most sensitive at
 * 555 nm, where y is 1. */
START_TEST(observer) {
    static const double sums[3] = {21.371524, 21.371327, 21.371540};
    double flat[CQ_OBSERVER_N], xyz[3];
    for (int n = 0; n < CQ_OBSERVER_N; n++) {
        flat[n] = n >= 4 && n <= 84 ? 1.0 : 0.0;
    }
    cq_observer_xyz(flat, xyz);
    for (int i = 0; i < 3; i++) {
        ck_assert_double_eq_tol(xyz[i] / (683.0 * 5e-9), sums[i], 2e-6);
    }
    memset(flat, 0, sizeof flat);
    flat[39] = 1.0;
    ck_assert_double_eq_tol(cq_observer_wavelength(39), 555e-9, 1e-15);
    cq_observer_xyz(flat, xyz);
    ck_assert_double_eq_tol(xyz[1], 683.0 * 5e-9, 1e-12);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("glow");
    tcase_add_test(tc, brighter_with_heat);
    tcase_add_test(tc, black_below_sight);
    tcase_add_test(tc, daylight_darkens);
    tcase_add_test(tc, emissivity_dims);
    tcase_add_test(tc, trade_words);
    tcase_add_test(tc, observer);
    return run_case(tc, "glow");
}
