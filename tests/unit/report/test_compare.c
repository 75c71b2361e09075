/* test_compare.c - runs side by side and maps, of a made-up study: nothing is computed, every number is known. */
#include "../../suite.h"
#include "base/memory.h"
#include "report/map_grid.h"

#include <clayquench/clayquench.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 40, VALUES = 8 };

/* A study of nx times ny runs; the line falls with x and rises with y. */
typedef struct made {
    cq_study_axis axes[2];
    cq_study_about about;
    cq_study_table *table;
    cq_compare_baths baths[MOST];
    cq_comparison comparison;
    cq_plan plan;
    cq_step_plan step;
    cq_vary_axis x, y;
} made;

static const char *const THICK[VALUES] = {"0.2 mm", "0.1 mm", "0.3 mm", "0.4 mm", "0.5 mm"};
static const double THICK_MM[VALUES] = {0.2, 0.1, 0.3, 0.4, 0.5};
static const char *const HOT[VALUES] = {"780 °C", "800 °C", "820 °C"};
static const double HOT_C[VALUES] = {780, 800, 820};

static void good_row(cq_row *row, double line_m) {
    row->state = CQ_ROW_DONE;
    row->value[CQ_FIGURE_VERDICT] = CQ_VERDICT_GOOD;
    row->value[CQ_FIGURE_LINE] = row->value[CQ_FIGURE_LINE_LEFT] = row->value[CQ_FIGURE_LINE_RIGHT] = line_m;
    row->value[CQ_FIGURE_LINE_MID] = line_m - 1e-4;
    row->value[CQ_FIGURE_BAND_90] = line_m - 1e-3;
    row->value[CQ_FIGURE_BAND_10] = line_m + 1e-3;
    row->value[CQ_FIGURE_EDGE_HV] = 826.0;
    row->value[CQ_FIGURE_EDGE_HRC] = 64.8;
    row->value[CQ_FIGURE_EDGE_TEMPER_HV] = 704.0;
    row->value[CQ_FIGURE_EDGE_TEMPER_HRC] = 60.3;
    row->value[CQ_FIGURE_SPINE_HV] = 383.0;
    row->value[CQ_FIGURE_SPINE_MARTENSITE] = 0.0;
}

static double line_of(size_t i, size_t j) {
    return 1e-3 * (12.0 - 10.0 * THICK_MM[i] + 0.05 * (HOT_C[j] - 780.0));
}

static void make(made *m, size_t nx, size_t ny) {
    memset(m, 0, sizeof *m);
    m->axes[0] =
        (cq_study_axis){"clay.coat.2.thickness", "mm", "thickness on both faces, square to the face", nx, THICK};
    m->axes[1] = (cq_study_axis){"heat.temperature", "°C", "soak temperature", ny, HOT};
    m->about = (cq_study_about){.kind = "compare", .axes_n = 2, .axes = m->axes, .runs_n = nx * ny};
    ck_assert_int_eq(cq_study_table_create(&m->table, nx * ny, 2, NULL), CQ_OK);
    cq_plan_init(&m->plan);
    m->plan.blade = (cq_blade){.family = CQ_FAMILY_FLAT, .height_m = 28e-3, .edge_m = 1.2e-3, .spine_m = 3.2e-3};
    m->comparison = (cq_comparison){.title = "Made-up knife",
                                    .about = &m->about,
                                    .table = m->table,
                                    .baths = m->baths,
                                    .cautions = 1u << (CQ_CAUTIONS_OF_BATHS - 1)};
    for (size_t run = 0; run < nx * ny; run++) {
        m->table->inputs[2 * run] = (double)(run / ny);
        m->table->inputs[2 * run + 1] = (double)(run % ny);
        good_row(&m->table->row[run], line_of(run / ny, run % ny));
        m->baths[run].n = 1;
        m->baths[run].name[0] = "water";
        m->baths[run].at_K[0] = 313.15;
        if (run < CQ_COMPARE_PANELS) {
            m->comparison.panel_plan[run] = &m->plan;
        }
    }
    m->x = (cq_vary_axis){"clay.coat.2.thickness",
                          "thickness on both faces, square to the face",
                          "mm",
                          nx,
                          THICK,
                          THICK_MM,
                          "0.2 mm",
                          0.2};
    m->y = (cq_vary_axis){"heat.temperature", "soak temperature", "°C", ny, HOT, HOT_C, "800 °C", 800.0};
}

static void clear(made *m) {
    cq_study_table_free(m->table);
}

/* No line of the text is wider than a screen. */
static void fits(const char *text, size_t lines) {
    size_t column = 0, count = 0;
    for (const char *p = text; *p != '\0'; p++) {
        column = *p == '\n' ? 0 : column + (((unsigned char)*p & 0xc0) != 0x80);
        count += *p == '\n';
        ck_assert_msg(column <= 80, "wider than a screen:\n%s", text);
    }
    ck_assert_msg(count <= lines, "%zu lines:\n%s", count, text);
    ck_assert_ptr_null(strstr(text, "nan"));
}

static void has(const char *text, const char *words) {
    ck_assert_msg(strstr(text, words) != NULL, "no '%s' in:\n%s", words, text);
}

/* ---- compare ----------------------------------------------------------------------------------------------------- */

START_TEST(table_of_runs) {
    made m;
    char *text = NULL;
    make(&m, 2, 2);
    m.table->row[3].value[CQ_FIGURE_VERDICT] = CQ_VERDICT_SPINE;
    ck_assert_int_eq(cq_compare_screen(&m.comparison, CQ_UNITS_METRIC, &text), CQ_OK);
    fits(text, 24);
    has(text, "Made-up knife\n");
    has(text, "Bath: water 40 °C.");
    has(text, "10.0         9.0-11.0  64.8>60.3    383  "); /* the first has no difference */
    has(text, "11.0  +1.0");
    has(text, "*hard spine");
    has(text, "* another verdict");
    has(text, "Steam and spitting water");
    has(text, "All of this is an estimate");
    ck_assert_ptr_null(strstr(text, "curve"));
    ck_assert_ptr_null(strstr(text, "crack\n"));
    cq_text_free(text);
    ck_assert_int_eq(cq_compare_screen(&m.comparison, CQ_UNITS_US, &text), CQ_OK);
    fits(text, 24);
    has(text, "0.394");
    has(text, "+0.039");
    has(text, "104 °F");
    cq_text_free(text);
    clear(&m);
}
END_TEST

/* Curve and crack class stand there once a run has them. */
START_TEST(curve_and_crack) {
    made m;
    char *text = NULL;
    make(&m, 2, 1);
    m.table->row[1].value[CQ_FIGURE_RISE] = 1.25e-3;
    m.table->row[1].value[CQ_FIGURE_CRACK] = 1.0;
    ck_assert_int_eq(cq_compare_screen(&m.comparison, CQ_UNITS_METRIC, &text), CQ_OK);
    fits(text, 24);
    has(text, "curve");
    has(text, "+1.2");
    has(text, "medium");
    cq_text_free(text);
    clear(&m);
}
END_TEST

START_TEST(long_names) {
    static const char *const names[] = {
        "A drawknife for the far end of the bench with a title that nobody would ever read to its very end, W2",
        "Übergroßes Messer für lange Wörter, die nirgends in eine Spalte passen, in Öl gehärtet und angelassen"};
    made m;
    char *text = NULL;
    make(&m, 2, 2);
    m.axes[0] = (cq_study_axis){"plan", "", "the plan", 2, names};
    m.baths[3].at_K[0] = 333.15;
    ck_assert_int_eq(cq_compare_screen(&m.comparison, CQ_UNITS_METRIC, &text), CQ_OK);
    fits(text, 40);
    has(text, "its very end, W2; 780 °C; water 40 °C");
    has(text, "water 60 °C");
    has(text, "hard edge, soft back");
    cq_text_free(text);
    clear(&m);
}
END_TEST

START_TEST(failures) {
    made m;
    char *text = NULL;
    make(&m, 3, 1);
    for (int n = 0; n < 3; n += 2) {
        m.table->row[n].state = CQ_ROW_FAILED;
        m.table->row[n].value[CQ_FIGURE_VERDICT] = NAN;
        snprintf(m.table->row[n].message, CQ_ROW_MESSAGE, "/some/where/plan.yaml:7: steps.1.at: 120 °C; expected less");
        m.baths[n].n = 0;
    }
    ck_assert_int_eq(cq_compare_screen(&m.comparison, CQ_UNITS_METRIC, &text), CQ_OK);
    fits(text, 24);
    has(text, "failed, see below");
    has(text, "Failed (run 0, 2): plan.yaml:7: steps.1.at: 120 °C; expected less\n");
    has(text, "from run 1.");
    cq_text_free(text);
    clear(&m);
}
END_TEST

START_TEST(rows_as_json) {
    made m;
    char *text = NULL;
    make(&m, 2, 2);
    m.table->row[2].state = CQ_ROW_FAILED;
    for (int f = 0; f < CQ_FIGURES; f++) {
        m.table->row[2].value[f] = NAN;
    }
    ck_assert_int_eq(cq_compare_json(&m.comparison, &text), CQ_OK);
    json_t *root = json_loads(text, 0, NULL), *rows = json_object_get(root, "rows"), *row = json_array_get(rows, 1);
    ck_assert_uint_eq(json_array_size(rows), 4);
    ck_assert_str_eq(json_string_value(json_object_get(json_object_get(row, "values"), "heat.temperature")), "800 °C");
    ck_assert_double_eq_tol(json_real_value(json_object_get(json_object_get(row, "line"), "surface_mm")), 11.0, 1e-9);
    ck_assert_double_eq_tol(
        json_real_value(json_array_get(json_object_get(json_object_get(row, "line"), "band_mm"), 1)), 12.0, 1e-9);
    ck_assert_str_eq(json_string_value(json_object_get(row, "verdict")), "hard edge, soft back");
    ck_assert_double_eq_tol(json_real_value(json_object_get(json_object_get(row, "edge"), "HRC")), 64.8, 1e-9);
    ck_assert(json_is_null(json_object_get(json_object_get(row, "curve"), "rise_mm")));
    row = json_array_get(rows, 2);
    ck_assert_str_eq(json_string_value(json_object_get(row, "state")), "failed");
    ck_assert(json_is_null(json_object_get(row, "line")));
    ck_assert(json_is_null(json_object_get(row, "edge")));
    ck_assert(json_is_null(json_object_get(row, "verdict")));
    json_decref(root);
    cq_text_free(text);
    clear(&m);
}
END_TEST

START_TEST(rows_as_csv) {
    static const char *const names[] = {"Knife, first", "The \"good\" one"};
    made m;
    char *text = NULL;
    make(&m, 2, 1);
    m.axes[0] = (cq_study_axis){"plan", "", "the plan", 2, names};
    ck_assert_int_eq(cq_compare_csv(&m.comparison, CQ_UNITS_METRIC, &text), CQ_OK);
    has(text, "run,plan,heat.temperature,bath,verdict,line_mm,");
    has(text, "\n0,\"Knife, first\",780 °C,water 40 °C,\"hard edge, soft back\",10,10,10,9.9,,9,11,64.8,826,");
    has(text, "\n1,\"The \"\"good\"\" one\",");
    cq_text_free(text);
    ck_assert_int_eq(cq_compare_csv(&m.comparison, CQ_UNITS_US, &text), CQ_OK);
    has(text, "line_in");
    has(text, ",0.393701,");
    cq_text_free(text);
    clear(&m);
}
END_TEST

static bool same_twice(const cq_comparison *c, cq_picture_format format) {
    unsigned char *first = NULL, *second = NULL;
    size_t n = 0, k = 0;
    ck_assert_int_eq(cq_compare_picture_draw(c, format, &first, &n), CQ_OK);
    ck_assert_int_eq(cq_compare_picture_draw(c, format, &second, &k), CQ_OK);
    const bool same = n > 2000 && n == k && memcmp(first, second, n) == 0;
    cq_text_free((char *)first);
    cq_text_free((char *)second);
    return same;
}

START_TEST(panels) {
    made m;
    unsigned char *bytes = NULL;
    size_t length = 0;
    make(&m, 5, 3);
    m.table->row[4].value[CQ_FIGURE_VERDICT] = CQ_VERDICT_THROUGH;
    m.table->row[4].value[CQ_FIGURE_LINE] = NAN;
    m.table->row[5].value[CQ_FIGURE_LINE_LEFT] = NAN;
    m.table->row[6].state = CQ_ROW_FAILED;
    m.table->row[7].value[CQ_FIGURE_BAND_10] = NAN;
    for (int format = 0; format < CQ_FORMATS; format++) {
        ck_assert(same_twice(&m.comparison, (cq_picture_format)format));
    }
    for (int n = 0; n < CQ_COMPARE_PANELS; n++) {
        m.comparison.panel_plan[n] = NULL;
    }
    ck_assert_int_eq(cq_compare_picture_draw(&m.comparison, CQ_FORMAT_SVG, &bytes, &length), CQ_ERR_ARGUMENT);
    clear(&m);
}
END_TEST

/* ---- maps -------------------------------------------------------------------------------------------------------- */

/* Values come sorted, whatever the order they were given in. */
START_TEST(grid_of_a_map) {
    made m;
    cq_map_grid *g = NULL;
    make(&m, 5, 3);
    const cq_map map = {&m.comparison, &m.x, &m.y, NULL};
    ck_assert_int_eq(cq_map_grid_create(&g, &map), CQ_OK);
    ck_assert_double_eq_tol(g->x[0], 0.1, 1e-12);
    ck_assert_double_eq_tol(g->x[1], 0.2, 1e-12);
    ck_assert_double_eq_tol(cq_map_line(g, 0, 2), line_of(1, 2), 1e-12);
    ck_assert_double_eq_tol(cq_map_line(g, 4, 1), line_of(4, 1), 1e-12);
    ck_assert_double_eq_tol(g->low_m, line_of(4, 0), 1e-12);
    ck_assert_double_eq_tol(g->high_m, line_of(1, 2), 1e-12);
    ck_assert_uint_eq(g->own_i, 1);
    ck_assert_uint_eq(g->own_j, 1);
    cq_map_grid_free(g);
    clear(&m);
}
END_TEST

START_TEST(screen_of_a_map) {
    made m;
    char *text = NULL;
    make(&m, 5, 3);
    cq_row own;
    memset(&own, 0, sizeof own);
    good_row(&own, 11.0e-3);
    cq_map map = {&m.comparison, &m.x, &m.y, &own};
    m.table->row[4 * 3 + 1].value[CQ_FIGURE_VERDICT] = CQ_VERDICT_THROUGH;
    m.table->row[4 * 3 + 1].value[CQ_FIGURE_LINE] = NAN;
    m.table->row[0].state = CQ_ROW_FAILED;
    ck_assert_int_eq(cq_map_screen(&map, CQ_UNITS_METRIC, &text), CQ_OK);
    fits(text, 24);
    has(text, "Across: thickness on both faces (clay.coat.2.thickness), mm\n");
    has(text, "     800 |  12.0  [11.0]  10.0    9.0      T \n");
    has(text, "     780 |  11.0      x ");
    has(text, "x failed, T hard right through.");
    has(text, "This plan: hard edge, soft back, line 11.0 mm.");
    has(text, "holds from 0.1 to 0.4 mm (above: hard right through);\n  line -1.00 mm per 0.1 mm\n");
    has(text, "heat.temperature: holds from 800 (below: failed) to 820 °C");
    cq_text_free(text);
    m.y.own_number = 791.0; /* between two runs: its own answer is told, and what the nearest run has besides */
    own.value[CQ_FIGURE_VERDICT] = CQ_VERDICT_SPINE;
    own.value[CQ_FIGURE_LINE] = 10.6e-3;
    ck_assert_int_eq(cq_map_screen(&map, CQ_UNITS_METRIC, &text), CQ_OK);
    fits(text, 24);
    has(text, "This plan: hard spine, line 10.6 mm.");
    has(text, "Nearest run (0.2 mm, 800 °C): hard edge, soft back, line 11.0 mm. From it:");
    cq_text_free(text);
    map.own = NULL;
    m.y.own_number = 800.0; /* a run of the map is this plan */
    ck_assert_int_eq(cq_map_screen(&map, CQ_UNITS_METRIC, &text), CQ_OK);
    has(text, "This plan: hard edge, soft back, line 11.0 mm.");
    ck_assert_ptr_null(strstr(text, "Nearest run"));
    cq_text_free(text);
    m.y.own_number = 791.0; /* not known: nobody's answer is taken for it */
    m.table->row[1].value[CQ_FIGURE_VERDICT] = CQ_VERDICT_THROUGH;
    m.table->row[2 * 3 + 1].state = CQ_ROW_FAILED;
    m.table->row[3 + 1].state = CQ_ROW_FAILED;
    ck_assert_int_eq(cq_map_screen(&map, CQ_UNITS_METRIC, &text), CQ_OK);
    ck_assert_ptr_null(strstr(text, "This plan"));
    has(text, "Nearest run (0.2 mm, 800 °C): hard right through, line 11.0 mm. The plan itself");
    has(text, "clay.coat.2.thickness: holds at 0.2 mm alone (below: failed) (above: failed)");
    cq_text_free(text);
    clear(&m);
}
END_TEST

/* A plate or round has a face and a centre, no edge and no back. */
START_TEST(pieces) {
    made m;
    char *text = NULL;
    make(&m, 2, 2);
    for (int n = 0; n < 4; n++) {
        m.table->row[n].value[CQ_FIGURE_SPINE_HV] = m.table->row[n].value[CQ_FIGURE_LINE] = NAN;
        m.table->row[n].value[CQ_FIGURE_BODY_HV] = 345.0;
    }
    m.table->row[3].value[CQ_FIGURE_VERDICT] = CQ_VERDICT_THROUGH;
    ck_assert_int_eq(cq_compare_screen(&m.comparison, CQ_UNITS_METRIC, &text), CQ_OK);
    has(text, "centre");
    has(text, "  345  ");
    has(text, "hard face, soft centre");
    has(text, "*hard to the centre");
    ck_assert_ptr_null(strstr(text, "back"));
    cq_text_free(text);
    const cq_map map = {&m.comparison, &m.x, &m.y, NULL};
    ck_assert_int_eq(cq_map_screen(&map, CQ_UNITS_METRIC, &text), CQ_OK);
    has(text, "T hard to the centre, F hard face, soft centre");
    ck_assert_ptr_null(strstr(text, "back"));
    cq_text_free(text);
    clear(&m);
}
END_TEST

/* Two keys and every column: units go into the head before a run takes two lines. */
START_TEST(many_columns) {
    made m;
    char *text = NULL;
    make(&m, 4, 3);
    for (int n = 0; n < 12; n++) {
        m.table->row[n].value[CQ_FIGURE_RISE] = -0.0;
        m.table->row[n].value[CQ_FIGURE_CRACK] = 1.0;
    }
    ck_assert_int_eq(cq_compare_screen(&m.comparison, CQ_UNITS_METRIC, &text), CQ_OK);
    fits(text, 24);
    has(text, "\n11     0.4     820  ");
    cq_text_free(text);
    ck_assert_int_eq(cq_compare_csv(&m.comparison, CQ_UNITS_METRIC, &text), CQ_OK);
    ck_assert_ptr_null(strstr(text, ",-0,"));
    cq_text_free(text);
    ck_assert_int_eq(cq_compare_json(&m.comparison, &text), CQ_OK);
    ck_assert_ptr_null(strstr(text, "-0.0"));
    cq_text_free(text);
    clear(&m);
}
END_TEST

/* A map of many columns and rows is thinned out to one screen, and this plan stays on it. */
START_TEST(large_map) {
    enum { ACROSS = 23, UP = 25 };
    static const char *words[UP];
    static double across[ACROSS], up[UP];
    made m;
    char *text = NULL;
    make(&m, 2, 2);
    cq_study_table_free(m.table);
    ck_assert_int_eq(cq_study_table_create(&m.table, ACROSS * UP, 2, NULL), CQ_OK);
    for (size_t n = 0; n < UP; n++) {
        words[n] = "";
        up[n] = (double)n;
        across[n < ACROSS ? n : 0] = n < ACROSS ? (double)n : 0.0;
    }
    for (size_t run = 0; run < ACROSS * UP; run++) {
        good_row(&m.table->row[run], 1e-3 * (double)(run / UP) + 1e-4 * (double)(run % UP));
    }
    m.comparison.table = m.table;
    m.x = (cq_vary_axis){"blade.edge", "edge", "mm", ACROSS, words, across, "10 mm", 10.0};
    m.y = (cq_vary_axis){"heat.temperature", "soak", "°C", UP, words, up, "13 °C", 13.0};
    const cq_map map = {&m.comparison, &m.x, &m.y, NULL};
    ck_assert_int_eq(cq_map_screen(&map, CQ_UNITS_METRIC, &text), CQ_OK);
    fits(text, 24);
    has(text, "[11.3]");
    has(text, "line 11.3 mm");
    has(text, "one column in 3");
    cq_text_free(text);
    clear(&m);
}
END_TEST

START_TEST(map_as_json) {
    made m;
    char *text = NULL;
    make(&m, 5, 3);
    const cq_map map = {&m.comparison, &m.x, &m.y, NULL};
    ck_assert_int_eq(cq_map_json(&map, &text), CQ_OK);
    json_t *root = json_loads(text, 0, NULL), *lines = json_object_get(root, "line_mm"),
           *x = json_object_get(root, "x");
    ck_assert_uint_eq(json_array_size(lines), 3);
    ck_assert_uint_eq(json_array_size(json_array_get(lines, 0)), 5);
    ck_assert_double_eq_tol(json_real_value(json_array_get(json_array_get(lines, 2), 0)), 13.0, 1e-9);
    ck_assert_double_eq_tol(json_real_value(json_array_get(json_object_get(x, "values"), 4)), 0.5, 1e-9);
    ck_assert_double_eq_tol(json_real_value(json_object_get(x, "own")), 0.2, 1e-9);
    ck_assert_uint_eq(json_array_size(json_object_get(root, "rows")), 15);
    json_decref(root);
    cq_text_free(text);
    clear(&m);
}
END_TEST

START_TEST(pictures_of_maps) {
    made m;
    make(&m, 5, 3);
    const cq_map map = {&m.comparison, &m.x, &m.y, NULL};
    for (int round = 0; round < 2; round++) { /* at last without any line */
        for (int format = 0; format < CQ_FORMATS; format++) {
            unsigned char *first = NULL, *second = NULL;
            size_t n = 0, k = 0;
            ck_assert_int_eq(cq_map_picture_draw(&map, (cq_picture_format)format, &first, &n), CQ_OK);
            ck_assert_int_eq(cq_map_picture_draw(&map, (cq_picture_format)format, &second, &k), CQ_OK);
            ck_assert(n > 2000 && n == k && memcmp(first, second, n) == 0);
            cq_text_free((char *)first);
            cq_text_free((char *)second);
        }
        for (size_t run = 0; run < 15; run++) {
            m.table->row[run].value[CQ_FIGURE_LINE] = NAN;
            m.table->row[run].value[CQ_FIGURE_VERDICT] = CQ_VERDICT_THROUGH;
        }
    }
    clear(&m);
}
END_TEST

/* Memory that runs short anywhere: told, never a crash or half a text. */
START_TEST(short_memory) {
    made m;
    make(&m, 3, 2);
    const cq_map map = {&m.comparison, &m.x, &m.y, NULL};
    for (int what = 0; what < 6; what++) {
        cq_status status = CQ_ERR_MEMORY;
        for (long n = 0; status == CQ_ERR_MEMORY; n++) {
            char *text = NULL;
            size_t length = 0;
            cq_memory_fail_after(n);
            status = what == 0   ? cq_compare_screen(&m.comparison, CQ_UNITS_METRIC, &text)
                     : what == 1 ? cq_compare_json(&m.comparison, &text)
                     : what == 2 ? cq_compare_csv(&m.comparison, CQ_UNITS_US, &text)
                     : what == 3 ? cq_map_screen(&map, CQ_UNITS_METRIC, &text)
                     : what == 4
                         ? cq_compare_picture_draw(&m.comparison, CQ_FORMAT_PNG, (unsigned char **)&text, &length)
                         : cq_map_picture_draw(&map, CQ_FORMAT_PNG, (unsigned char **)&text, &length);
            cq_memory_fail_after(-1);
            ck_assert_msg(status == CQ_OK || (status == CQ_ERR_MEMORY && text == NULL), "report %d, allocation %ld",
                          what, n);
            ck_assert(n > 0 || status != CQ_OK);
            cq_text_free(text);
        }
    }
    clear(&m);
}
END_TEST

/* Titles are no markup, numbers carry their keys, and memory that runs out is told. */
START_TEST(page_of_runs) {
    const cq_report_wish wish = {.medium = CQ_PAGE_HTML};
    made m;
    unsigned char *bytes = NULL;
    size_t length = 0;
    cq_page_gaps gaps;
    make(&m, 3, 2);
    m.comparison.title = "<b>Knife</b>";
    m.table->row[5].state = CQ_ROW_FAILED;
    snprintf(m.table->row[5].message, CQ_ROW_MESSAGE, "a <reason>");
    ck_assert_int_eq(cq_compare_page(&m.comparison, &wish, &bytes, &length, &gaps, NULL), CQ_OK);
    char *page = strndup((const char *)bytes, length);
    has(page, "&lt;b&gt;Knife&lt;/b&gt;");
    has(page, "a &lt;reason&gt;");
    has(page, "data-key=\"rows.0.line.surface_mm\" data-as=\"mm\">10.0</data>");
    has(page, "6 runs.");
    has(page, "1 failed.");
    has(page, "role=\"img\"");
    free(page);
    cq_text_free((char *)bytes);
    cq_status status = CQ_ERR_MEMORY;
    const cq_map map = {&m.comparison, &m.x, &m.y, NULL};
    for (long n = 0; status != CQ_OK; n += 1 + n / 8) {
        bytes = NULL;
        cq_memory_fail_after(n);
        status = cq_map_page(&map, &wish, &bytes, &length, &gaps, NULL);
        cq_memory_fail_after(-1);
        ck_assert(status == CQ_OK || (status == CQ_ERR_MEMORY && bytes == NULL));
        if (status == CQ_OK) {
            page = strndup((const char *)bytes, length);
            has(page, "A map of quenches");
            has(page, "&lt;b&gt;Knife&lt;/b&gt;");
            has(page, ">Map: one varied key");
            free(page);
        }
        cq_text_free((char *)bytes);
    }
    status = CQ_ERR_MEMORY;
    for (long n = 0; status != CQ_OK; n += 1 + n / 8) {
        bytes = NULL;
        cq_memory_fail_after(n);
        status = cq_compare_page(&m.comparison, &wish, &bytes, &length, &gaps, NULL);
        cq_memory_fail_after(-1);
        ck_assert(status == CQ_OK || (status == CQ_ERR_MEMORY && bytes == NULL));
        cq_text_free((char *)bytes);
    }
    clear(&m);
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("compare");
    tcase_set_timeout(tc, 60);
    tcase_add_test(tc, table_of_runs);
    tcase_add_test(tc, curve_and_crack);
    tcase_add_test(tc, long_names);
    tcase_add_test(tc, failures);
    tcase_add_test(tc, rows_as_json);
    tcase_add_test(tc, rows_as_csv);
    tcase_add_test(tc, panels);
    tcase_add_test(tc, grid_of_a_map);
    tcase_add_test(tc, screen_of_a_map);
    tcase_add_test(tc, pieces);
    tcase_add_test(tc, many_columns);
    tcase_add_test(tc, large_map);
    tcase_add_test(tc, map_as_json);
    tcase_add_test(tc, pictures_of_maps);
    tcase_add_test(tc, short_memory);
    tcase_add_test(tc, page_of_runs);
    return run_case(tc, "compare");
}
