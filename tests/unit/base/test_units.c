/* test_units.c - quantities as people write them. */
#define _POSIX_C_SOURCE 200809L
#include "../../suite.h"
#include "base/units.h"

#include <check.h>
#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Factors of UDUNITS-2 are exact in decimal; products of a few doubles lose a few units in the last place. */
#define EXACT 1e-14

static cq_units *units;

static void open_units(void) {
    units = cq_units_open();
    ck_assert_ptr_nonnull(units);
}

static void close_units(void) {
    cq_units_close(units);
}

static const struct {
    const char *text;
    cq_dimension dimension;
    double si;
} good[] = {
    {"0.2 mm", CQ_DIM_LENGTH, 0.2e-3},
    {"0.2mm", CQ_DIM_LENGTH, 0.2e-3},
    {" 28  mm", CQ_DIM_LENGTH, 28e-3},
    {"1/16 in", CQ_DIM_LENGTH, 0.0254 / 16.0},
    {"1/16in", CQ_DIM_LENGTH, 0.0254 / 16.0},
    {"1 1/2 in", CQ_DIM_LENGTH, 1.5 * 0.0254},
    {"0.030 in", CQ_DIM_LENGTH, 0.030 * 0.0254},
    {"0.030 inch", CQ_DIM_LENGTH, 0.030 * 0.0254},
    {"20 µm", CQ_DIM_LENGTH, 20e-6},
    {"1e-3 m", CQ_DIM_LENGTH, 1e-3},
    {"-3 mm", CQ_DIM_LENGTH, -3e-3},
    {"800 °C", CQ_DIM_TEMPERATURE, 1073.15},
    {"800 degC", CQ_DIM_TEMPERATURE, 1073.15},
    {"1475 °F", CQ_DIM_TEMPERATURE, (1475.0 + 459.67) / 1.8},
    {"300 K", CQ_DIM_TEMPERATURE, 300.0},
    {"12 K", CQ_DIM_DIFFERENCE, 12.0},
    {"12 °C", CQ_DIM_DIFFERENCE, 12.0},
    {"18 °F", CQ_DIM_DIFFERENCE, 10.0},
    {"-15 °C", CQ_DIM_DIFFERENCE, -15.0},
    {"3 s", CQ_DIM_TIME, 3.0},
    {"5 min", CQ_DIM_TIME, 300.0},
    {"1 1/2 h", CQ_DIM_TIME, 5400.0},
    {"0.3 m/s", CQ_DIM_SPEED, 0.3},
    {"0.6 W/m/K", CQ_DIM_CONDUCTIVITY, 0.6},
    {"0.6 W/(m K)", CQ_DIM_CONDUCTIVITY, 0.6},
    {"0.6 W/(m·K)", CQ_DIM_CONDUCTIVITY, 0.6},
    {"0.6 W m-1 K-1", CQ_DIM_CONDUCTIVITY, 0.6},
    {"4.1 MJ/m^3/K", CQ_DIM_HEAT_CAPACITY, 4.1e6},
    {"1.4 J/cm3/K", CQ_DIM_HEAT_CAPACITY, 1.4e6},
    {"2 kW/m^2/K", CQ_DIM_HEAT_TRANSFER, 2000.0},
    {"2000 W/m²/K", CQ_DIM_HEAT_TRANSFER, 2000.0},
    {"0 m^2*K/W", CQ_DIM_CONTACT, 0.0},
    {"1e-4 m^2 K/W", CQ_DIM_CONTACT, 1e-4},
    {"20 l", CQ_DIM_VOLUME, 0.02},
    {"1.55 g/cm^3", CQ_DIM_DENSITY, 1550.0},
    {"12 %", CQ_DIM_SHARE, 0.12},
    {"12 percent", CQ_DIM_SHARE, 0.12},
    {"10 HV", CQ_DIM_HARDNESS, 10.0},
};

START_TEST(reads) {
    double si = NAN;
    ck_assert_int_eq(cq_units_parse(units, good[_i].text, good[_i].dimension, &si), CQ_QUANTITY_OK);
    ck_assert_msg(
        fabs(si - good[_i].si) <= EXACT * fabs(good[_i].si) + 1e-300 || fabs(si - good[_i].si) < 1e-12 * 300.0,
        "'%s' gave %.17g instead of %.17g", good[_i].text, si, good[_i].si); /* offsets lose what 273.15 K rounds to */
}
END_TEST

static const struct {
    const char *text;
    cq_dimension dimension;
    cq_quantity_fault fault;
} bad[] = {
    {"", CQ_DIM_LENGTH, CQ_QUANTITY_NO_NUMBER},
    {"   ", CQ_DIM_LENGTH, CQ_QUANTITY_NO_NUMBER},
    {"mm", CQ_DIM_LENGTH, CQ_QUANTITY_NO_NUMBER},
    {"nan mm", CQ_DIM_LENGTH, CQ_QUANTITY_NO_NUMBER},
    {"inf mm", CQ_DIM_LENGTH, CQ_QUANTITY_NO_NUMBER},
    {"-inf mm", CQ_DIM_LENGTH, CQ_QUANTITY_NO_NUMBER},
    {"0x10 mm", CQ_DIM_LENGTH, CQ_QUANTITY_NO_NUMBER},
    {"5", CQ_DIM_LENGTH, CQ_QUANTITY_NO_UNIT},
    {"1/16", CQ_DIM_LENGTH, CQ_QUANTITY_NO_UNIT},
    {"0.12", CQ_DIM_SHARE, CQ_QUANTITY_NO_UNIT},
    {"0", CQ_DIM_CONTACT, CQ_QUANTITY_NO_UNIT},
    {"3 cubits", CQ_DIM_LENGTH, CQ_QUANTITY_UNKNOWN_UNIT},
    {"3 2 mm", CQ_DIM_LENGTH, CQ_QUANTITY_UNKNOWN_UNIT}, /* UDUNITS would say 6 mm */
    {"3 mm 2", CQ_DIM_LENGTH, CQ_QUANTITY_UNKNOWN_UNIT},
    {"0,2 mm", CQ_DIM_LENGTH, CQ_QUANTITY_UNKNOWN_UNIT},
    {"1/0 in", CQ_DIM_LENGTH, CQ_QUANTITY_UNKNOWN_UNIT},
    {"20 K @ 3", CQ_DIM_TEMPERATURE, CQ_QUANTITY_UNKNOWN_UNIT},
    {"3 s since 2000-01-01", CQ_DIM_TIME, CQ_QUANTITY_UNKNOWN_UNIT},
    {"8 s", CQ_DIM_LENGTH, CQ_QUANTITY_WRONG_DIMENSION},
    {"800 C", CQ_DIM_TEMPERATURE, CQ_QUANTITY_WRONG_DIMENSION}, /* coulomb */
    {"5 Hz", CQ_DIM_TIME, CQ_QUANTITY_WRONG_DIMENSION},         /* UDUNITS would say 0.2 s */
    {"2000 W/m^2/K", CQ_DIM_CONTACT, CQ_QUANTITY_WRONG_DIMENSION},
    {"0.6 W/mK", CQ_DIM_CONDUCTIVITY, CQ_QUANTITY_WRONG_DIMENSION}, /* millikelvin */
    {"1000 J/kg/K", CQ_DIM_HEAT_CAPACITY, CQ_QUANTITY_WRONG_DIMENSION},
    {"10 HV", CQ_DIM_LENGTH, CQ_QUANTITY_WRONG_DIMENSION},
    {"10 %", CQ_DIM_HARDNESS, CQ_QUANTITY_WRONG_DIMENSION},
    {"1e999 mm", CQ_DIM_LENGTH, CQ_QUANTITY_NOT_FINITE},
    {"1e308 km", CQ_DIM_LENGTH, CQ_QUANTITY_NOT_FINITE},
};

START_TEST(refuses) {
    double si = 42.0;
    ck_assert_msg(cq_units_parse(units, bad[_i].text, bad[_i].dimension, &si) == bad[_i].fault, "'%s'", bad[_i].text);
    ck_assert_double_eq(si, 42.0); /* untouched */
}
END_TEST

START_TEST(names_what_it_found) {
    ck_assert_str_eq(cq_units_kind(units, "8 s"), "a time");
    ck_assert_str_eq(cq_units_kind(units, "8 K"), "a temperature");
    ck_assert_str_eq(cq_units_kind(units, "1/2 in"), "a length");
    ck_assert_str_eq(cq_units_kind(units, "10 HV"), "a Vickers hardness");
    ck_assert_str_eq(cq_units_kind(units, "1000 J/kg/K"), "a heat capacity per mass");
    ck_assert_ptr_null(cq_units_kind(units, "8 C"));
    ck_assert_ptr_null(cq_units_kind(units, "8"));
    ck_assert_ptr_null(cq_units_kind(units, "nothing"));
}
END_TEST

START_TEST(hints) {
    ck_assert_str_eq(cq_units_hint(units, "800 C", CQ_DIM_TEMPERATURE), "write °C");
    ck_assert_str_eq(cq_units_hint(units, "12 deg F", CQ_DIM_DIFFERENCE), "write °F");
    ck_assert_str_eq(cq_units_hint(units, "1/16\"", CQ_DIM_LENGTH), "write in for inches");
    ck_assert_ptr_nonnull(strstr(cq_units_hint(units, "0,2 mm", CQ_DIM_LENGTH), "comma"));
    ck_assert_ptr_nonnull(strstr(cq_units_hint(units, "0.6 W/mK", CQ_DIM_CONDUCTIVITY), "millikelvin"));
    ck_assert_ptr_nonnull(strstr(cq_units_hint(units, "1000 J/kg/K", CQ_DIM_HEAT_CAPACITY), "density"));
    ck_assert_ptr_null(cq_units_hint(units, "8 s", CQ_DIM_LENGTH));
}
END_TEST

/* Text of a value reads back as the value, to its four digits. */
START_TEST(writes) {
    static const struct {
        double si;
        cq_dimension dimension;
        const char *text;
    } values[] = {{0.2e-3, CQ_DIM_LENGTH, "0.2 mm"},
                  {1073.15, CQ_DIM_TEMPERATURE, "800 °C"},
                  {12.0, CQ_DIM_DIFFERENCE, "12 K"},
                  {300.0, CQ_DIM_TIME, "300 s"},
                  {1.4e6, CQ_DIM_HEAT_CAPACITY, "1.4 MJ/m^3/K"},
                  {0.12, CQ_DIM_SHARE, "12 %"},
                  {0.02, CQ_DIM_VOLUME, "20 l"},
                  {10.0, CQ_DIM_HARDNESS, "10 HV"}};
    for (size_t v = 0; v < sizeof values / sizeof values[0]; v++) {
        char text[48];
        double back = NAN;
        ck_assert_str_eq(cq_quantity_text(values[v].si, values[v].dimension, text, sizeof text), values[v].text);
        ck_assert_int_eq(cq_units_parse(units, text, values[v].dimension, &back), CQ_QUANTITY_OK);
        ck_assert_double_eq_tol(back, values[v].si, 1e-3 * fabs(values[v].si)); /* four digits */
    }
    char both[40];
    ck_assert_str_eq(cq_temperature_text(923.15, both, sizeof both), "650 °C (1202 °F)");
    ck_assert_str_eq(cq_temperature_text(233.15, both, sizeof both), "-40 °C (-40 °F)");
    for (int d = 0; d < CQ_DIMENSIONS; d++) {
        ck_assert_ptr_nonnull(strstr(cq_dimension_words((cq_dimension)d), "for instance"));
    }
}
END_TEST

/* Units read without the database are what the database makes of them under another name, to a rounding. */
START_TEST(usual_units_are_those_of_the_database) {
    static const struct {
        const char *usual, *other;
        cq_dimension dimension;
    } pairs[] = {{"mm", "millimeter", CQ_DIM_LENGTH},
                 {"m", "meter", CQ_DIM_LENGTH},
                 {"°C", "celsius", CQ_DIM_TEMPERATURE},
                 {"K", "kelvin", CQ_DIM_TEMPERATURE},
                 {"K", "kelvin", CQ_DIM_DIFFERENCE},
                 {"s", "second", CQ_DIM_TIME},
                 {"ms", "millisecond", CQ_DIM_TIME},
                 {"min", "minute", CQ_DIM_TIME},
                 {"h", "hour", CQ_DIM_TIME},
                 {"m/s", "meter/second", CQ_DIM_SPEED},
                 {"W/m/K", "watt/meter/kelvin", CQ_DIM_CONDUCTIVITY},
                 {"l", "liter", CQ_DIM_VOLUME},
                 {"m^3", "meter^3", CQ_DIM_VOLUME},
                 {"%", "percent", CQ_DIM_SHARE},
                 {"kg/m^3", "kilogram/meter^3", CQ_DIM_DENSITY},
                 {"W/m^2/K", "watt/meter^2/kelvin", CQ_DIM_HEAT_TRANSFER},
                 {"m^2*K/W", "meter^2*kelvin/watt", CQ_DIM_CONTACT},
                 {"J/m^3/K", "joule/meter^3/kelvin", CQ_DIM_HEAT_CAPACITY},
                 {"MJ/m^3/K", "megajoule/meter^3/kelvin", CQ_DIM_HEAT_CAPACITY}};
    static const double values[] = {0.0, 1.0, 0.2, 7.3, 815.0, 1e-4, -12.5};
    for (size_t p = 0; p < sizeof pairs / sizeof pairs[0]; p++) {
        for (size_t v = 0; v < sizeof values / sizeof values[0]; v++) {
            char usual[64], other[64];
            double a = NAN, b = NAN;
            snprintf(usual, sizeof usual, "%g %s", values[v], pairs[p].usual);
            snprintf(other, sizeof other, "%g %s", values[v], pairs[p].other);
            ck_assert_int_eq(cq_units_parse(units, usual, pairs[p].dimension, &a), CQ_QUANTITY_OK);
            ck_assert_int_eq(cq_units_parse(units, other, pairs[p].dimension, &b), CQ_QUANTITY_OK);
            ck_assert_double_eq_tol(a, b, 4e-16 * fabs(b) + 1e-300);
        }
    }
}
END_TEST

/* Without its database the program reads what most plans hold, and says what is missing for the others. */
START_TEST(database_out_of_reach) {
    setenv("UDUNITS2_XML_PATH", "/nowhere/units.xml", 1);
    cq_units *own = cq_units_open();
    double si = NAN;
    ck_assert_int_eq(cq_units_parse(own, "2 mm", CQ_DIM_LENGTH, &si), CQ_QUANTITY_OK);
    ck_assert_int_eq(cq_units_parse(own, "2 mm", CQ_DIM_TIME, &si), CQ_QUANTITY_NO_DATABASE);
    ck_assert_int_eq(cq_units_parse(own, "1/16 in", CQ_DIM_LENGTH, &si), CQ_QUANTITY_NO_DATABASE);
    ck_assert_ptr_null(cq_units_kind(own, "1/16 in"));
    unsetenv("UDUNITS2_XML_PATH");
    ck_assert_int_eq(cq_units_parse(own, "1/16 in", CQ_DIM_LENGTH, &si), CQ_QUANTITY_OK);
    cq_units_close(own);
}
END_TEST

/* The database is shared and its parser has global state: threads must not see each other. */
static void *parse_often(void *failed) {
    cq_units *own = cq_units_open();
    for (int i = 0; i < 300 && own != NULL; i++) {
        double si = NAN;
        const int g = i % (int)(sizeof good / sizeof good[0]);
        if (cq_units_parse(own, good[g].text, good[g].dimension, &si) != CQ_QUANTITY_OK) {
            *(int *)failed = 1;
        }
    }
    *(int *)failed |= own == NULL;
    cq_units_close(own);
    return NULL;
}

START_TEST(serves_threads) {
    enum { THREADS = 4 };
    pthread_t thread[THREADS];
    int failed[THREADS] = {0};
    for (int t = 0; t < THREADS; t++) {
        ck_assert_int_eq(pthread_create(&thread[t], NULL, parse_often, &failed[t]), 0);
    }
    for (int t = 0; t < THREADS; t++) {
        pthread_join(thread[t], NULL);
        ck_assert_int_eq(failed[t], 0);
    }
}
END_TEST

START_TEST(opens_and_closes) {
    cq_units *first = cq_units_open(), *second = cq_units_open();
    double si = NAN;
    cq_units_close(first);
    ck_assert_int_eq(cq_units_parse(second, "1 mm", CQ_DIM_LENGTH, &si), CQ_QUANTITY_OK);
    cq_units_close(second);
    cq_units_close(NULL);
}
END_TEST

int main(void) {
    Suite *suite = suite_create("units");
    TCase *parsing = tcase_create("parsing"), *life = tcase_create("life");
    tcase_add_unchecked_fixture(parsing, open_units, close_units);
    tcase_add_loop_test(parsing, reads, 0, (int)(sizeof good / sizeof good[0]));
    tcase_add_loop_test(parsing, refuses, 0, (int)(sizeof bad / sizeof bad[0]));
    tcase_add_test(parsing, names_what_it_found);
    tcase_add_test(parsing, hints);
    tcase_add_test(parsing, writes);
    tcase_add_test(parsing, usual_units_are_those_of_the_database);
    tcase_add_test(life, database_out_of_reach);
    tcase_add_test(life, serves_threads);
    tcase_add_test(life, opens_and_closes);
    suite_add_tcase(suite, parsing);
    suite_add_tcase(suite, life);
    return run_suite(suite);
}
