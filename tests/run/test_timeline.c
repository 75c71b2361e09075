/* Timelines: entry at a speed, partial immersion, in and out, water in the clay, a bath that warms, a patch that falls
 * off. */
#include "../suite.h"
#include "plans.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct trial {
    cq_plan plan;
    cq_step_plan steps[8];
    cq_coat_point body[3];
    cq_lost_plan lost[2];
    cq_run *run;
} trial;

/* Sloyd knife, 1084, bare edge, 2 mm of clay, 1 s of air, water at 40 degC. */
static void set(trial *t) {
    start_plan(&t->plan, t->steps, 40.0);
    t->plan.blade = sloyd_blade();
    t->plan.blade.length_m = 0.11;
    t->body[0] = (cq_coat_point){8e-3, 0, 0};
    t->body[1] = (cq_coat_point){11e-3, 2e-3, 2e-3};
    t->body[2] = (cq_coat_point){28e-3, 2e-3, 2e-3};
    t->plan.coat = (cq_coat){3, t->body, 0.0, 2e-3};
    t->plan.clay.porosity = 0.4;
}

static const cq_result *go(trial *t) {
    cq_error error = CQ_ERROR_INIT;
    cq_status status = cq_run_create(&t->run, &t->plan, NULL, &error);
    status = status < 0 ? status : cq_run_go(t->run, NULL, &error);
    ck_assert_msg(status >= 0, "%s", error.count > 0 ? error.items[0].found : "");
    return cq_run_result(t->run);
}

/* NULL: not among the notices. */
static const char *sentence_of(const cq_result *r, const char *code) {
    for (size_t n = 0; n < r->notices_n; n++) {
        if (strcmp(r->notices[n].code, code) == 0) {
            return r->notices[n].sentence;
        }
    }
    return NULL;
}

static bool noticed(const cq_result *r, const char *code) {
    return sentence_of(r, code) != NULL;
}

/* A fast entry is a level one; a slow one keeps the other end hot for as long as it takes. */
START_TEST(entry_takes_its_time) {
    trial t;
    set(&t);
    const double level_edge = go(&t)->traces[CQ_TRACE_EDGE].t500_s,
                 level_spine = cq_run_result(t.run)->traces[CQ_TRACE_SPINE].t500_s,
                 level_line = cq_run_result(t.run)->line_surface_m;
    cq_run_free(t.run);
    t.steps[1].entry = CQ_ENTRY_EDGE_FIRST;
    t.steps[1].speed_m_s = 10.0;
    const cq_result *r = go(&t);
    ck_assert_double_eq_tol(r->traces[CQ_TRACE_EDGE].t500_s, level_edge, 0.02);
    ck_assert_double_eq_tol(r->line_surface_m, level_line, 0.05e-3);
    cq_run_free(t.run);
    t.steps[1].speed_m_s = 0.05; /* 0.56 s for the height */
    const double edge_first = go(&t)->traces[CQ_TRACE_EDGE].t500_s,
                 late_spine = cq_run_result(t.run)->traces[CQ_TRACE_SPINE].t500_s;
    ck_assert_double_lt(cq_run_result(t.run)->energy_imbalance, 5e-3);
    cq_run_free(t.run);
    t.steps[1].entry = CQ_ENTRY_SPINE_FIRST;
    const double spine_first = go(&t)->traces[CQ_TRACE_EDGE].t500_s;
    cq_run_free(t.run);
    printf(
        "edge through 500 degC: level %.2f, edge first %.2f, spine first at 0.05 m/s %.2f s; spine %.2f and %.2f s\n",
        level_edge, edge_first, spine_first, level_spine, late_spine);
    ck_assert_double_eq_tol(edge_first, level_edge, 0.1);
    ck_assert_double_gt(spine_first, level_edge + 0.4); /* 27 of 28 mm later, less what cools ahead of it */
    ck_assert_double_gt(late_spine, level_spine + 0.2);
    t.steps[1].entry = CQ_ENTRY_POINT_FIRST; /* half of 110 mm at 0.05 m/s is 1.1 s */
    const double waited = go(&t)->traces[CQ_TRACE_EDGE].t500_s;
    cq_run_free(t.run);
    ck_assert(waited > level_edge + 0.8 && waited < level_edge + 1.2); /* it cools in air meanwhile */
}
END_TEST

/* Edge quench without clay (common practice, no source): the edge in the bath hardens, the back out of it does not. */
START_TEST(edge_quench_without_clay) {
    trial t;
    set(&t);
    t.plan.coat.n = 0;
    t.plan.coat.spine_m = 0.0;
    t.steps[1].depth_m = 10e-3;
    t.steps[1].at_K = 20 + 273.15;
    t.steps[1].until_K = 0.0, t.steps[1].for_s = 20.0;
    const cq_result *r = go(&t);
    printf("edge quench to 10 mm: line %.2f mm, edge %.0f, spine %.0f HV, %s\n", 1e3 * r->line_surface_m, r->edge.HV,
           r->spine.HV, cq_verdict_words(r->verdict));
    ck_assert_int_eq(r->verdict, CQ_VERDICT_GOOD);
    ck_assert(r->line_surface_m > 6e-3 && r->line_surface_m < 14e-3);
    cq_run_free(t.run);
}
END_TEST

/* 2 s in, 3 out, 3 in, 5 out, in. */
static void in_and_out(trial *t) {
    set(t);
    const double for_s[] = {1, 2, 3, 3, 5};
    const cq_step_plan air = t->steps[0], water = t->steps[1];
    for (int n = 0; n < 5; n++) {
        t->steps[n] = n % 2 == 0 ? air : water;
        t->steps[n].for_s = for_s[n], t->steps[n].until_K = 0.0;
    }
    t->steps[5] = water;
    t->plan.steps_n = 6;
}

/* What the body and the edge had at a step's end is what the next step starts from: from one sample of the history to
 * the next over that moment they change no faster than 2000 K/s, some three times what a bare edge does in water, and
 * by no more than a tenth of a kelvin beside that. */
static void assert_no_jump(const cq_trace *t, double end_s, double at_end_K) {
    size_t i = 0;
    while (i + 1 < t->n && t->time_s[i + 1] <= end_s + 1e-9) {
        i++;
    }
    ck_assert_uint_lt(i + 1, t->n);
    ck_assert_double_le(fabs(t->temp_K[i] - at_end_K), 0.1 + 2000.0 * (end_s - t->time_s[i]));
    ck_assert_double_le(fabs(t->temp_K[i + 1] - at_end_K), 0.1 + 2000.0 * (t->time_s[i + 1] - end_s));
}

START_TEST(in_and_out_is_continuous) {
    trial t;
    in_and_out(&t);
    const cq_result *r = go(&t);
    double steepest = 0.0;
    const cq_trace *edge = &r->traces[CQ_TRACE_EDGE];
    for (size_t i = 1; i < edge->n; i++) {
        steepest = fmax(steepest, fabs(edge->temp_K[i] - edge->temp_K[i - 1]));
    }
    printf("2-3-3-5: line %.2f mm, edge %.1f HRC, imbalance %.1e in %zu steps; after each step edge",
           1e3 * r->line_surface_m, r->edge.HRC, r->energy_imbalance, r->steps);
    for (size_t n = 0; n < r->step_ends_n; n++) {
        printf(" %.0f", r->step_ends[n].edge_K - 273.15);
    }
    printf(" degC\n");
    ck_assert_uint_eq(r->step_ends_n, 6);
    for (size_t n = 0; n + 1 < r->step_ends_n; n++) {
        assert_no_jump(edge, r->step_ends[n].time_s, r->step_ends[n].edge_K);
        assert_no_jump(&r->traces[CQ_TRACE_BODY], r->step_ends[n].time_s, r->step_ends[n].body_K);
    }
    ck_assert_double_lt(steepest, 60.0);                                 /* no jump: steps follow the temperature */
    ck_assert_double_gt(r->step_ends[2].edge_K, r->step_ends[1].edge_K); /* the back's heat returns while it is out */
    ck_assert_double_lt(r->energy_imbalance, 5e-3);
    cq_run_free(t.run);
}
END_TEST

/* Water on the faces takes heat while the blade is out; coming from an oil that law knows nothing of, there is none. */
START_TEST(wet_clay_steams) {
    static const double flat_h[1] = {3000.0};
    double body_K[2], out_J_m[2];
    for (int n = 0; n < 2; n++) {
        trial t;
        in_and_out(&t);
        t.steps[1].for_s = 1.0;            /* still hot inside, its coat wet */
        t.steps[2].bath = t.steps[3].bath; /* straight on in water ... */
        t.steps[2].at_K = t.steps[3].at_K;
        t.steps[3].for_s = 1e-3;
        if (n == 0) { /* ... or for a moment in something that leaves no water behind */
            t.steps[3].bath =
                (cq_bath){.kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {1, AT, flat_h, CQ_INTERPOLATE_LINEAR}};
        }
        t.steps[4].for_s = 20.0;
        const cq_result *r = go(&t);
        body_K[n] = r->step_ends[4].spine_K;
        out_J_m[n] = r->heat_out_J_m;
        ck_assert_int_eq(noticed(r, "wet-blade"), n == 1);
        ck_assert_double_lt(r->energy_imbalance, 5e-3);
        cq_run_free(t.run);
    }
    printf("spine after 20 s out: dry faces %.0f, wet faces %.0f degC\n", body_K[0] - 273.15, body_K[1] - 273.15);
    ck_assert_double_lt(body_K[1], body_K[0] - 5.0);
    ck_assert_double_eq_tol(out_J_m[1], out_J_m[0], 0.02 * out_J_m[0]); /* all of it leaves in the end, either way */
}
END_TEST

/* 5 litres take up what a knife holds: by hand, heat over heat capacity. */
START_TEST(a_small_bath_warms) {
    trial t;
    set(&t);
    t.steps[1].bath.volume_m3 = 5e-3;
    const cq_result *r = go(&t);
    const double air_K = r->step_ends[1].bath_K - (40 + 273.15);
    printf("5 l of water warm by %.2f K\n", air_K);
    /* what is left in the blade at 60 degC and what the first second of air took are a tenth at most */
    const double all_K = r->heat_out_J_m * 0.11 / (4.17e6 * 5e-3);
    ck_assert(air_K > 0.85 * all_K && air_K < 1.0 * all_K);
    cq_run_free(t.run);
    t.steps[1].bath.volume_m3 = 1e3;
    r = go(&t);
    ck_assert_double_eq_tol(r->step_ends[1].bath_K, 40 + 273.15, 1e-3);
    cq_run_free(t.run);
}
END_TEST

/* Water of one litre, out of it, and in again for a moment; what lies between is the caller's. */
static void in_twice(trial *t) {
    set(t);
    t->steps[3] = t->steps[1];
    t->steps[1].bath.volume_m3 = t->steps[3].bath.volume_m3 = 1e-3;
    t->steps[1].until_K = t->steps[3].until_K = 0.0;
    t->steps[1].for_s = 2.0, t->steps[3].for_s = 1e-3; /* what it was found at */
    t->steps[2] = t->steps[0];
    t->steps[2].for_s = 1.0;
    t->plan.steps_n = 4;
}

/* Water is found as warm as it was left, also behind another bath; and by no other name, figure or volume. */
START_TEST(a_bath_keeps_its_warmth) {
    static const double flat_h[1] = {2000.0}, other_h[1] = {500.0};
    enum { SAME, OTHER_NAME, OTHER_VOLUME, OTHER_FIGURE, NAMELESS, NAMELESS_OTHER_TABLE, BEHIND_A_TABLE, CASES };
    for (int n = 0; n < CASES; n++) {
        trial t;
        in_twice(&t);
        cq_bath *first = &t.steps[1].bath, *second = &t.steps[3].bath;
        second->name = n == OTHER_NAME ? "other tank" : second->name;
        second->volume_m3 *= n == OTHER_VOLUME ? 2.0 : 1.0;
        second->film_factor *= n == OTHER_FIGURE ? 1.1 : 1.0;
        if (n == NAMELESS || n == NAMELESS_OTHER_TABLE) {
            *first = (cq_bath){.kind = CQ_BATH_TABLE,
                               .volume_m3 = 1e-3,
                               .heat_capacity_J_m3K = 2e6,
                               .heat_transfer_W_m2K = {1, AT, flat_h, CQ_INTERPOLATE_LINEAR}};
            *second = *first;
            second->heat_transfer_W_m2K.y = n == NAMELESS ? flat_h : other_h;
        } else if (n == BEHIND_A_TABLE) { /* another liquid between, of the same volume */
            t.steps[2].bath = (cq_bath){.kind = CQ_BATH_TABLE,
                                        .name = "oil",
                                        .volume_m3 = 1e-3,
                                        .heat_capacity_J_m3K = 1.8e6,
                                        .heat_transfer_W_m2K = {1, AT, other_h, CQ_INTERPOLATE_LINEAR}};
            t.steps[2].at_K = t.steps[1].at_K;
        }
        const cq_result *r = go(&t);
        const bool kept = n == SAME || n == NAMELESS || n == BEHIND_A_TABLE;
        const double left_K = r->step_ends[1].bath_K, found_K = r->step_ends[3].bath_K;
        ck_assert_double_gt(left_K, t.steps[1].at_K + 1.0);
        ck_assert_msg(fabs(found_K - (kept ? left_K : t.steps[3].at_K)) < 0.2, "case %d: left at %.2f, found at %.2f K",
                      n, left_K, found_K);
        cq_run_free(t.run);
    }
}
END_TEST

/* 2 MJ/m3/K warm twice as much as 4; a back that is out of a bath which draws nothing warms the air, not the bath. */
START_TEST(a_bath_warms_by_what_it_is_given) {
    static const double flat_h[1] = {2000.0};
    double warmer_K[2];
    for (int n = 0; n < 2; n++) {
        trial t;
        set(&t);
        t.steps[1].bath = (cq_bath){.kind = CQ_BATH_TABLE,
                                    .volume_m3 = 1.0,
                                    .heat_capacity_J_m3K = n == 0 ? 2e6 : 4e6,
                                    .heat_transfer_W_m2K = {1, AT, flat_h, CQ_INTERPOLATE_LINEAR}};
        t.steps[1].until_K = 0.0, t.steps[1].for_s = 5.0;
        warmer_K[n] = go(&t)->step_ends[1].bath_K - t.steps[1].at_K;
        cq_run_free(t.run);
    }
    ck_assert_double_eq_tol(warmer_K[0], 2.0 * warmer_K[1], 1e-6 * warmer_K[0]);
    static const double nothing[1] = {0.0};
    trial t;
    set(&t);
    t.steps[1].bath = (cq_bath){.kind = CQ_BATH_TABLE,
                                .volume_m3 = 1e-3,
                                .heat_capacity_J_m3K = 4e6,
                                .heat_transfer_W_m2K = {1, AT, nothing, CQ_INTERPOLATE_LINEAR}};
    t.steps[1].depth_m = 10e-3;
    t.steps[1].until_K = 0.0, t.steps[1].for_s = 30.0;
    const cq_result *r = go(&t);
    const double lost_K = r->traces[CQ_TRACE_SPINE].temp_K[0] - r->step_ends[1].spine_K,
                 got_K = r->step_ends[1].bath_K - t.steps[1].at_K;
    printf("a back in the air: it cools by %.0f K and warms the bath by %.4f K\n", lost_K, got_K);
    ck_assert_double_gt(lost_K, 50.0);
    ck_assert_double_eq_tol(got_K, 0.0, 0.05); /* of some 2 K; the air's flux is taken at the end of each step */
    cq_run_free(t.run);
}
END_TEST

/* Livelier than the slow one, described from 20 to 150 degC. */
static cq_bath oil_bath(void) {
    cq_bath oil = slow_oil_bath();
    oil.at_min_K = KELVIN(20);
    oil.at_max_K = KELVIN(150);
    oil.oil_rewetting_K = KELVIN(740);
    oil.oil_peak_K = KELVIN(535);
    oil.oil_peak_W_m2K = 4200;
    oil.oil_viscosity_40_m2_s = 15e-6;
    oil.oil_viscosity_100_m2_s = 3.5e-6;
    oil.flash_K = KELVIN(170);
    return oil;
}

/* What a warmed bath is told and judged by: the hottest it got. */
START_TEST(a_hot_bath_is_told) {
    static const struct {
        double at_C, volume_l;
        bool range;
        const char *first_caution;
    } oils[] = {{60, 100, false, "Hot oil burns"}, {138, 1, true, "comes within 28"}, {138, 0.3, true, "at or above"}};
    for (size_t n = 0; n < sizeof oils / sizeof oils[0]; n++) {
        trial t;
        set(&t);
        t.plan.coat_fired = true;
        t.steps[1].bath = oil_bath();
        t.steps[1].bath.volume_m3 = 1e-3 * oils[n].volume_l;
        t.steps[1].at_K = KELVIN(oils[n].at_C);
        t.steps[1].until_K = 0.0, t.steps[1].for_s = 60.0;
        const cq_result *r = go(&t);
        ck_assert_int_eq(r->film_edge.state, CQ_FILM_COLLAPSED); /* an oil has one too */
        ck_assert_int_eq(noticed(r, "bath-warmed"), n > 0);
        ck_assert_int_eq(noticed(r, "bath-range"), oils[n].range);
        ck_assert_msg(strstr(r->cautions[0], oils[n].first_caution) != NULL, "%s", r->cautions[0]);
        for (size_t c = 0; c < r->cautions_n; c++) {
            ck_assert_ptr_nonnull(r->cautions_brief[c]);
        }
        cq_run_free(t.run);
    }
    trial t;
    set(&t);
    t.steps[1].bath.volume_m3 = 0.1e-3;
    t.steps[1].until_K = 0.0, t.steps[1].for_s = 60.0;
    const cq_result *r = go(&t);
    ck_assert(noticed(r, "bath-boils") && noticed(r, "bath-warmed"));
    ck_assert_double_eq_tol(r->step_ends[1].bath_K, KELVIN(99.5), 1e-6);
    cq_run_free(t.run);
}
END_TEST

/* Beyond where the oil's figures make a curve the run ends, and names the step. */
START_TEST(an_oil_beyond_its_curve_ends_the_run) {
    trial t;
    set(&t);
    t.steps[1].bath = oil_bath();
    t.steps[1].bath.volume_m3 = 0.05e-3;
    t.steps[1].at_K = KELVIN(60);
    t.steps[1].until_K = 0.0, t.steps[1].for_s = 60.0;
    cq_error error = CQ_ERROR_INIT;
    ck_assert_int_ge(cq_run_create(&t.run, &t.plan, NULL, &error), 0);
    ck_assert_int_lt(cq_run_go(t.run, NULL, &error), 0);
    ck_assert_uint_eq(error.count, 1);
    ck_assert_str_eq(error.items[0].key, "steps.1.volume");
    ck_assert_ptr_nonnull(strstr(error.items[0].found, "oil warmed to 26"));
    ck_assert_ptr_nonnull(strstr(error.items[0].remedy, "larger volume"));
    cq_error_clear(&error);
    cq_run_free(t.run);
}
END_TEST

/* A patch of 10 mm lost at 1.5 s on the left: faster there, energy still closed. */
START_TEST(a_patch_falls_off) {
    trial t;
    set(&t);
    const cq_probe_plan probes[2] = {{"left", 20e-3, CQ_FACE_LEFT, 0.0, 0.0},
                                     {"right", 20e-3, CQ_FACE_RIGHT, 0.0, 0.0}};
    t.plan.probes = probes;
    t.plan.probes_n = 2;
    t.lost[0] = (cq_lost_plan){1.5, 15e-3, 25e-3, CQ_FACE_LEFT};
    t.plan.lost = t.lost;
    t.plan.lost_n = 1;
    const cq_result *r = go(&t);
    const double left = r->traces[CQ_TRACES_FIXED].t500_s, right = r->traces[CQ_TRACES_FIXED + 1].t500_s;
    printf("patch lost on the left at 1.5 s: 500 degC left %.2f, right %.2f s; imbalance %.1e; %s\n", left, right,
           r->energy_imbalance, cq_verdict_words(r->verdict));
    ck_assert(noticed(r, "clay-lost"));
    ck_assert_double_lt(left, right);
    ck_assert_double_lt(r->energy_imbalance, 1e-2);
    cq_run_free(t.run);
    t.lost[0].after_s = 200.0; /* long cold */
    r = go(&t);
    ck_assert(!noticed(r, "clay-lost"));
    ck_assert(noticed(r, "clay-not-lost"));
    ck_assert_ptr_nonnull(strstr(sentence_of(r, "clay-not-lost"), "from 15 to 25 mm was to fall off at 200 s"));
    cq_run_free(t.run);
}
END_TEST

/* Long after everything has happened the run goes on in long steps, whatever the bath. */
START_TEST(a_cold_blade_stays_cheap) {
    static const double strong[1] = {2000.0};
    const double for_s[] = {60.0, 600.0, 3000.0};
    for (int bath = 0; bath < 2; bath++) {
        for (int n = 0; n < 3; n++) {
            trial t;
            set(&t);
            t.plan.coat.n = 0;
            t.plan.heat = (cq_heat_plan){.start_K = 1073.15};
            t.steps[0] = t.steps[1];
            t.steps[0].until_K = 0.0, t.steps[0].for_s = for_s[n];
            if (bath == 1) {
                t.steps[0].bath =
                    (cq_bath){.kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {1, AT, strong, CQ_INTERPOLATE_LINEAR}};
            }
            t.plan.steps_n = 1;
            const cq_result *r = go(&t);
            ck_assert_uint_lt(r->steps, 1500);
            cq_run_free(t.run);
        }
    }
}
END_TEST

/* A vapour blanket that stood until the blade was lifted out did not collapse. */
START_TEST(a_film_taken_out_has_not_collapsed) {
    trial t;
    set(&t);
    t.plan.coat.n = 0;
    const cq_step_plan air = t.steps[0];
    t.steps[1].at_K = 90 + 273.15, t.steps[1].until_K = 0.0, t.steps[1].for_s = 2.0;
    t.steps[2] = air, t.steps[2].for_s = 2.0;
    t.plan.steps_n = 3;
    const cq_result *r = go(&t);
    ck_assert_int_eq(r->film_body.state, CQ_FILM_PERSISTED);
    ck_assert(isnan(r->film_body.time_s));
    cq_run_free(t.run);
}
END_TEST

/* A litre that warms past `until`, a table that draws nothing: the step ends and says so. */
START_TEST(an_until_that_is_missed_ends) {
    static const double nothing[1] = {0.0};
    for (int n = 0; n < 2; n++) {
        trial t;
        set(&t);
        if (n == 0) {
            t.steps[1].bath.volume_m3 = 0.3e-3;
            t.steps[1].until_K = 45 + 273.15;
        } else {
            t.steps[1].bath =
                (cq_bath){.kind = CQ_BATH_TABLE, .heat_transfer_W_m2K = {1, AT, nothing, CQ_INTERPOLATE_LINEAR}};
        }
        const cq_result *r = go(&t);
        ck_assert(noticed(r, "until-missed"));
        ck_assert_uint_lt(r->steps, 3000);
        cq_run_free(t.run);
    }
}
END_TEST

int main(void) {
    TCase *tc = tcase_create("runs");
    tcase_set_timeout(tc, 300);
    tcase_add_test(tc, entry_takes_its_time);
    tcase_add_test(tc, edge_quench_without_clay);
    tcase_add_test(tc, in_and_out_is_continuous);
    tcase_add_test(tc, wet_clay_steams);
    tcase_add_test(tc, a_small_bath_warms);
    tcase_add_test(tc, a_bath_keeps_its_warmth);
    tcase_add_test(tc, a_bath_warms_by_what_it_is_given);
    tcase_add_test(tc, a_hot_bath_is_told);
    tcase_add_test(tc, an_oil_beyond_its_curve_ends_the_run);
    tcase_add_test(tc, a_patch_falls_off);
    tcase_add_test(tc, a_cold_blade_stays_cheap);
    tcase_add_test(tc, a_film_taken_out_has_not_collapsed);
    tcase_add_test(tc, an_until_that_is_missed_ends);
    return run_case(tc, "timelines");
}
