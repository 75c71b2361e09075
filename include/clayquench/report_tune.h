/* report_tune.h - what was tuned, in words, as JSON, and as profiles that a plan can name.
 */
#ifndef CLAYQUENCH_REPORT_TUNE_H
#define CLAYQUENCH_REPORT_TUNE_H

#include <clayquench/inverse.h>
#include <clayquench/report.h>
#include <clayquench/tune.h>

/* What a bath was tuned from. */
typedef struct cq_log_about {
    const char *bath; /* name of the new profile */
    const char *log;  /* file */
    const cq_plan *probe;
    double depth_m, lag_s;
} cq_log_about;

/* One screen: 24 lines of 80 columns. JSON: one object, always metric; keys in README.md, "Tuning". Profile: a bath of
 * kind table, YAML. All released with cq_text_free (io.h). */
cq_status cq_report_log_screen(const cq_inverse *inverse, const cq_log_about *about, cq_unit_system units, char **text);
cq_status cq_report_log_json(const cq_inverse *inverse, const cq_log_about *about, char **text);
cq_status cq_report_log_profile(const cq_inverse *inverse, const cq_log_about *about, char **text);

cq_status cq_report_tune_screen(const cq_tuning *tuning, cq_unit_system units, char **text);
cq_status cq_report_tune_json(const cq_tuning *tuning, char **text);

/* A tuned profile and the line of the plan that names it. text NULL: the plan holds these values itself and has to be
 * changed there; `line` says how. */
typedef struct cq_tuned_profile {
    char kind[8], name[80], line[160];
    char *text;
} cq_tuned_profile;
enum { CQ_TUNED_PROFILES = 12 };
/* Returns how many, in the order clay, baths, steel; CQ_ERR_MEMORY below 0. */
int cq_report_tune_profiles(const cq_tuning *tuning, cq_tuned_profile profiles[CQ_TUNED_PROFILES]);
void cq_tuned_profiles_free(cq_tuned_profile *profiles, int n);

#endif
