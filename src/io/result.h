/* result.h - the files of a result, one function each; cq_result_write calls them in order. */
#ifndef CQ_IO_RESULT_H
#define CQ_IO_RESULT_H

#include <clayquench/io.h>

cq_status cq_result_write_h5(const cq_result *result, const char *summary, const char *folder, cq_error *error);
cq_status cq_result_write_xdmf(const cq_result *result, const char *folder, cq_error *error);
cq_status cq_result_write_csv(const cq_result *result, const char *folder, cq_error *error);

/* result_h5_answer.c: the groups /curve, /summary and /before of a file under way; w->failed tells trouble. */
struct cq_h5;
void cq_result_h5_answer(struct cq_h5 *w, const cq_result *r);

enum { CQ_RESULT_VERSION = 1 }; /* of the layout of result.h5 */

/* Names of the phases' data sets. */
extern const char *const cq_result_phases[CQ_PHASES];

/* Values to a row of the tables of step ends, tempers and turning points. */
enum {
    CQ_STEP_END_VALUES = sizeof(cq_step_end) / sizeof(double),
    CQ_TEMPER_VALUES = sizeof(cq_after_temper) / sizeof(double),
    CQ_TURN_VALUES = 3,
    CQ_HEAT_VALUES = 20,
    CQ_HEATS_READ = 64
};

/* A heat's answer as a row of numbers, and back. */
void cq_result_heat_write(const cq_heat_answer *heat, double row[CQ_HEAT_VALUES]);
void cq_result_heat_read(cq_heat_answer *heat, const double row[CQ_HEAT_VALUES]);

/* Refuse a file that is no result of ours, is cut short, or of a newer version: CQ_ERR_FORMAT. */
cq_status cq_result_check_file(const char *path, cq_error *error);

/* Name under which trace t stands in the files, written to `to` and returned: its own, or with "-probe" behind it where
 * the plan gave a probe the name of a built-in place. */
enum { CQ_TRACE_NAME = 96 };
const char *cq_result_trace_name(const cq_result *result, size_t t, char to[CQ_TRACE_NAME]);

/* A text that grows; `failed` stays set once memory ran short. */
typedef struct cq_text {
    char *bytes;
    size_t length, room;
    bool failed;
} cq_text;
void cq_text_add(cq_text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

#endif
