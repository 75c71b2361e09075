/* test_lookup.c - where names are looked up, and what from: lays over what. */
#define _XOPEN_SOURCE 700
#include "../../place.h"
#include "reading.h"

#include <math.h>
#include <sys/stat.h>
#include <unistd.h>

static char beside[80], own[80]; /* a plan's folder; the user's profiles */

static void put(const char *folder, const char *name, const char *text) {
    char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    fclose(file);
}

static void make(const char *folder, const char *name) {
    char path[256];
    snprintf(path, sizeof path, "%s%s", folder, name);
    ck_assert_int_eq(mkdir(path, 0700), 0);
}

static void set_up(void) {
    place_make();
    snprintf(beside, sizeof beside, "%s/plans", place);
    snprintf(own, sizeof own, "%s/own", place);
    make(beside, "");
    make(own, "");
    make(own, "/steels");
    make(own, "/clays");
    make(beside, "/steels");
}

static void tear_down(void) {
    forget();
    place_remove();
}

/* Read a plan that lies in `beside` and names `steel`; the search is own folder, then shipped. */
static cq_status read_steel(cq_plan *plan, const char *steel) {
    const char *folders[] = {own, CQ_PROFILES};
    const cq_search search = {2, folders};
    char text[512];
    snprintf(
        text, sizeof text,
        "format: clayquench-plan 1\nblade: {section: plate, thickness: 4 mm}\nsteel: %s\nheat: {temperature: 800 °C}\n"
        "steps: [{in: water, at: 20 °C, for: 5 s}]\n",
        steel);
    put(beside, "plan.yaml", text);
    char path[128];
    snprintf(path, sizeof path, "%s/plan.yaml", beside);
    forget();
    cq_plan_init(plan);
    return cq_plan_read(plan, path, &search, &told);
}

static double carbon_of(const char *steel) {
    cq_plan plan;
    const cq_status status = read_steel(&plan, steel);
    ck_assert_msg(status == CQ_OK, "%s: %s", steel, told.count > 0 ? told.items[0].found : "");
    const double carbon = plan.steel.composition_wt.C;
    cq_plan_clear(&plan);
    return carbon;
}

#define EXACT 1e-12 /* % C, from shares */
#define STEEL(carbon) "format: clayquench-steel 1\nname: 1084\ncomposition: {C: " carbon " %}\n"

START_TEST(looks_beside_then_own_then_shipped) {
    ck_assert_double_eq_tol(carbon_of("1084"), 0.84, EXACT);
    put(own, "steels/1084.yaml", STEEL("0.61"));
    ck_assert_double_eq_tol(carbon_of("1084"), 0.61, EXACT);
    put(beside, "steels/1084.yaml", STEEL("0.62"));
    ck_assert_double_eq_tol(carbon_of("1084"), 0.62, EXACT);
    put(beside, "1084.yaml", STEEL("0.63"));
    ck_assert_double_eq_tol(carbon_of("1084"), 0.63, EXACT);
    put(beside, "1084.yaml", "format: clayquench-plan 1\n"); /* a plan of that name is no steel */
    ck_assert_double_eq_tol(carbon_of("1084"), 0.62, EXACT);
}
END_TEST

START_TEST(takes_names_however_written) {
    ck_assert_double_eq_tol(carbon_of("1084"), 0.84, EXACT);
    ck_assert_double_eq_tol(carbon_of("\"1084\""), 0.84, EXACT);
    ck_assert_double_eq_tol(carbon_of("{from: 1084}"), 0.84, EXACT);
    ck_assert_double_eq_tol(carbon_of("{grade: '1084'}"), 0.84, EXACT);
}
END_TEST

START_TEST(lays_batch_on_batch) {
    cq_plan plan;
    put(own, "steels/mine.yaml",
        "format: clayquench-steel 1\nname: mine\nfrom: 1084\nbatch: {Mn: 0.60 %, Cr: 0.20 %}\n");
    ck_assert_int_eq(read_steel(&plan, "{from: mine, batch: {Cr: 0.30 %}}"), CQ_OK);
    ck_assert_double_eq_tol(plan.steel.composition_wt.C, 0.84, EXACT);
    ck_assert_double_eq_tol(plan.steel.composition_wt.Mn, 0.60, EXACT); /* of the profile's batch */
    ck_assert_double_eq_tol(plan.steel.composition_wt.Cr, 0.30, EXACT); /* of the plan's */
    ck_assert_double_eq_tol(plan.steel.composition_wt.Si, 0.22, EXACT); /* of the grade */
    cq_plan_clear(&plan);
    ck_assert_int_eq(read_steel(&plan, "{from: mine, composition: {C: 0.5 %}}"), CQ_OK);
    ck_assert_double_eq_tol(plan.steel.composition_wt.C, 0.5, EXACT);
    ck_assert_double_eq(plan.steel.composition_wt.Mn, 0.0); /* a new composition leaves nothing of the old batch */
    cq_plan_clear(&plan);
}
END_TEST

START_TEST(keeps_what_it_read) {
    cq_plan plan;
    ck_assert_int_eq(read_steel(&plan, "{from: 5160, time-factor: 1.2}"), CQ_OK);
    ck_assert_double_eq_tol(plan.steel.time_factor, 1.2, EXACT);
    ck_assert_uint_eq(plan.profiles_n, 2);
    ck_assert_str_eq(plan.profile_names[0], "steel-5160");
    ck_assert_str_eq(plan.profile_names[1], "bath-water");
    ck_assert_int_eq(strncmp(plan.profile_texts[0], "format: clayquench-steel 1\n", 27), 0);
    cq_plan_clear(&plan);
}
END_TEST

/* A profile that many steps name is read and kept once, and its faults are told once. */
START_TEST(reads_a_profile_once) {
    cq_plan plan;
    char text[512];
    snprintf(text, sizeof text, "%s", PLATE);
    char *steps = strstr(text, "steps:");
    strcpy(steps,
           "steps: [{in: water, for: 1 s}, {in: air, for: 1 s}, {in: water, for: 1 s}, {in: brine-5, for: 1 s}]\n");
    read_good(&plan, text);
    ck_assert_uint_eq(plan.profiles_n, 3);
    ck_assert_double_eq_tol(plan.steps[3].bath.salt, 0.05, EXACT);
    ck_assert_int_eq(plan.steps[3].bath.kind, CQ_BATH_BOILING); /* of water, which it is from */
    ck_assert_str_eq(plan.steps[3].bath.name, "brine-5");
    cq_plan_clear(&plan);
}
END_TEST

START_TEST(stops_at_long_chains) {
    cq_plan plan;
    for (int i = 0; i < 40; i++) {
        char name[64], text[128];
        snprintf(name, sizeof name, "steels/s%d.yaml", i);
        snprintf(text, sizeof text, "format: clayquench-steel 1\nname: s%d\nfrom: s%d\n", i, i + 1);
        put(own, name, text);
    }
    ck_assert_int_eq(read_steel(&plan, "s0"), CQ_ERR_PLAN);
    ck_assert_uint_eq(told.count, 1);
    ck_assert_ptr_nonnull(strstr(told.items[0].found, "long chain"));
    ck_assert_double_eq_tol(carbon_of("1084"), 0.84, EXACT);
}
END_TEST

/* What lies at the place of a profile but is none. */
START_TEST(complains_of_impostors) {
    cq_plan plan;
    put(own, "steels/fake.yaml", "format: clayquench-clay 1\n");
    ck_assert_int_eq(read_steel(&plan, "fake"), CQ_ERR_PLAN);
    ck_assert_uint_eq(told.count, 1);
    ck_assert_ptr_nonnull(strstr(told.items[0].expected, "clayquench-steel 1"));
    put(own, "steels/empty.yaml", "");
    ck_assert_int_eq(read_steel(&plan, "empty"), CQ_ERR_PLAN);
    ck_assert_uint_eq(told.count, 1);
    make(own, "/steels/folder.yaml");
    ck_assert_int_eq(read_steel(&plan, "folder"), CQ_ERR_FILE);
    ck_assert_uint_eq(told.count, 1);
    ck_assert_int_eq(read_steel(&plan, "\"\""), CQ_ERR_PLAN);
    ck_assert_int_eq(read_steel(&plan, "[1084]"), CQ_ERR_PLAN);
}
END_TEST

START_TEST(lists_what_there_is) {
    const char *folders[] = {own, CQ_PROFILES, "/nowhere"};
    const cq_search search = {3, folders};
    cq_profile_entry *entries = NULL;
    size_t n = 0, of_1084 = 0;
    put(own, "steels/1084.yaml",
        "format: clayquench-steel 1\nname: 1084\nsummary: \"My own\"\ncomposition: {C: 0.8 %}\n");
    put(own, "steels/notes.txt", "no profile");
    put(own, "steels/.hidden.yaml", "no profile");
    ck_assert_int_eq(cq_profile_list(&search, &entries, &n, &told), CQ_OK);
    ck_assert_uint_ge(n, 36);
    for (size_t e = 0; e < n; e++) {
        ck_assert_ptr_null(strstr(entries[e].name, "notes"));
        ck_assert_int_ne(entries[e].name[0], '.');
        if (e > 0) {
            const int kind = strcmp(entries[e - 1].kind, entries[e].kind);
            ck_assert(kind < 0 || (kind == 0 && strcmp(entries[e - 1].name, entries[e].name) < 0));
        }
        if (strcmp(entries[e].kind, "steel") == 0 && strcmp(entries[e].name, "1084") == 0) {
            of_1084++;
            ck_assert_str_eq(entries[e].summary, "My own");
            ck_assert_int_eq(strncmp(entries[e].path, own, strlen(own)), 0);
        }
    }
    ck_assert_uint_eq(of_1084, 1);
    cq_profile_list_free(entries);
    cq_profile_list_free(NULL);
    const cq_search nothing = {0, NULL};
    ck_assert_int_eq(cq_profile_list(&nothing, &entries, &n, &told), CQ_OK);
    ck_assert_uint_eq(n, 0);
    cq_profile_list_free(entries);
}
END_TEST

int main(void) {
    TCase *tcase = tcase_create("lookup");
    tcase_add_checked_fixture(tcase, set_up, tear_down);
    tcase_add_test(tcase, looks_beside_then_own_then_shipped);
    tcase_add_test(tcase, takes_names_however_written);
    tcase_add_test(tcase, lays_batch_on_batch);
    tcase_add_test(tcase, keeps_what_it_read);
    tcase_add_test(tcase, reads_a_profile_once);
    tcase_add_test(tcase, stops_at_long_chains);
    tcase_add_test(tcase, complains_of_impostors);
    tcase_add_test(tcase, lists_what_there_is);
    return run_case(tcase, "lookup");
}
