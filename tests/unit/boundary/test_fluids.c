/* Water, steam and air, and what they carry without boiling. Table values: [kobasko2010] (water), [incropera2007]
 * (steam and air, from memory). */
#include "../../suite.h"
#include "boundary/boiling.h"
#include "boundary/fluids.h"

#include <math.h>

#define NEAR(got, expected, share) ck_assert_double_eq_tol(got, expected, (share)*fabs((double)(expected)))

START_TEST(water_is_its_table) {
    const cq_fluid at40 = cq_fluid_water(40);
    NEAR(at40.conductivity_W_mK, 0.627, 1e-12);
    NEAR(at40.viscosity_Pa_s, 653e-6, 1e-12);
    NEAR(at40.viscosity_Pa_s * at40.heat_capacity_J_kgK / at40.conductivity_W_mK, 4.36, 0.01); /* the table's own Pr */
    NEAR(cq_fluid_water(20).viscosity_Pa_s * 4183 / 0.597, 7.03, 0.01);
    NEAR(cq_water_effusivity(40), 1617, 0.005);                     /* from a second table: 0.631, 992, 4179 */
    NEAR(cq_fluid_water(100).density_kg_m3, CQ_WATER_RHO_L, 0.001); /* two tables */
    const double before = cq_fluid_water(80 - 1e-9).viscosity_Pa_s, after = cq_fluid_water(80 + 1e-9).viscosity_Pa_s;
    NEAR(before, after, 1e-9);
}
END_TEST

START_TEST(steam_is_its_table_and_a_gas_beyond) {
    NEAR(cq_fluid_steam(600).conductivity_W_mK, 42.2e-3, 1e-12);
    NEAR(cq_fluid_steam(450).density_kg_m3, 0.4902, 0.005); /* the row between, not used: checks the powers */
    NEAR(cq_fluid_steam(450).viscosity_Pa_s, 152.5e-7, 0.01);
    NEAR(cq_fluid_steam(450).conductivity_W_mK, 29.9e-3, 0.01);
    NEAR(cq_fluid_steam(1500).density_kg_m3, 101325.0 * 18.015e-3 / (8.314 * 1500.0), 0.03); /* perfect gas */
    for (double T = 300; T < 3000; T += 10) {
        ck_assert_double_gt(cq_fluid_steam(T).density_kg_m3, cq_fluid_steam(T + 10).density_kg_m3);
        ck_assert_double_lt(cq_fluid_steam(T).viscosity_Pa_s, cq_fluid_steam(T + 10).viscosity_Pa_s);
    }
}
END_TEST

START_TEST(air_agrees_with_the_table) {
    const double row[][4] = {
        {300, 26.3e-3, 184.6e-7, 1.1614}, {600, 46.9e-3, 305.8e-7, 0.5804}, {1000, 66.7e-3, 424.4e-7, 0.3482}};
    for (int n = 0; n < 3; n++) {
        const cq_fluid air = cq_fluid_air(row[n][0]);
        NEAR(air.conductivity_W_mK, row[n][1], 0.025); /* Sutherland's forms against the table */
        NEAR(air.viscosity_Pa_s, row[n][2], 0.025);
        NEAR(air.density_kg_m3, row[n][3], 0.015); /* the table's 300 K density is 1.3 % below a perfect gas's */
    }
}
END_TEST

/* A stream of 0.5 m/s along 30 mm in 40 degC water: 3.8 kW/m2/K (worked by hand); still air beside a hot 30 mm plate:
 * 13 to 14 W/m2/K (worked by hand with two correlations). */
START_TEST(streams_and_rising_air) {
    const cq_fluid water = cq_fluid_water(70), air = cq_fluid_air(683);
    NEAR(cq_convection_forced(&water, 0.5, 0.03), 3800, 0.03);
    const double h = cq_convection_rising_gas(&air, 683, 780, 0.03);
    ck_assert_double_gt(h, 12.5);
    ck_assert_double_lt(h, 14.5);
    NEAR(cq_convection_rising_gas(&air, 683, -780, 0.03), h, 1e-12); /* a cold plate sinks it as well */
    /* laminar and mixed meet at Re 5e5 within their rounding of coefficients */
    const double v = 5e5 * water.viscosity_Pa_s / (water.density_kg_m3 * 0.03);
    NEAR(cq_convection_forced(&water, v * (1 - 1e-9), 0.03), cq_convection_forced(&water, v * (1 + 1e-9), 0.03), 0.005);
    NEAR(cq_convection_together(2000, 0), 2000, 1e-12);
    NEAR(cq_convection_together(2000, 3800), 3800, 0.03); /* the stream takes over */
}
END_TEST

int main(void) {
    TCase *all = tcase_create("all");
    tcase_add_test(all, water_is_its_table);
    tcase_add_test(all, steam_is_its_table_and_a_gas_beyond);
    tcase_add_test(all, air_agrees_with_the_table);
    tcase_add_test(all, streams_and_rising_air);
    return run_case(all, "boundary fluids");
}
