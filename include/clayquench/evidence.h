/* evidence.h - thermocouple logs and a shop's evidence as files.
 */
#ifndef CLAYQUENCH_EVIDENCE_H
#define CLAYQUENCH_EVIDENCE_H

#include <clayquench/inverse.h>
#include <clayquench/io.h>
#include <clayquench/tune.h>

/* A table of time and temperature: comma, semicolon or tab between columns; a header names both with their units,
 * "time (s),temperature (°C)"; lines that begin with # are remarks. Complaints, with their lines: no unit, a unit of
 * another kind, two such columns, what is no number, times that stand still or fall, gaps, too few readings.
 * CQ_ERR_PLAN, CQ_ERR_FILE; *log untouched then. Released with cq_log_clear. */
cq_status cq_log_read(cq_log *log, const char *path, cq_error *error);
/* Does the file's header name a time and a temperature? */
bool cq_log_is_one(const char *path);

/* Evidence: YAML that begins with `format: clayquench-evidence 1`, or a table whose header names the same keys as an
 * item has. `plan` is the path of the base plan, read already as *base; items' own plans are found beside the evidence.
 * Released with cq_evidence_free. */
cq_status cq_evidence_read(cq_evidence **evidence, const char *path, const char *plan, const cq_plan *base,
                           const cq_search *search, cq_error *error);
void cq_evidence_free(cq_evidence *evidence);

#endif
