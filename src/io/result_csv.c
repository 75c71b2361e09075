/* result_csv.c - temperature histories of all places, long form: one line per place and time. */
#include "io/result.h"

#include "base/memory.h"

#include <stdio.h>

cq_status cq_result_write_csv(const cq_result *r, const char *folder, cq_error *error) {
    static const char *const faces[] = {"mid", "left", "right"};
    cq_text t = {NULL, 0, 0, false};
    cq_text_add(&t, "place,height_mm,face,time_s,temp_C\n");
    for (size_t n = 0; n < r->traces_n; n++) {
        const cq_trace *trace = &r->traces[n];
        char name[CQ_TRACE_NAME];
        cq_result_trace_name(r, n, name);
        for (size_t i = 0; i < trace->n; i++) {
            cq_text_add(&t, "%s,%.6g,%s,%.9g,%.6f\n", name, 1e3 * trace->at_m, faces[trace->face], trace->time_s[i],
                        trace->temp_K[i] - 273.15);
        }
    }
    char path[4096];
    snprintf(path, sizeof path, "%.4000s/probes.csv", folder);
    const cq_status status = t.failed ? cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "probes.csv")
                                      : cq_file_write(path, t.bytes, t.length, error);
    cq_memory_free(t.bytes);
    return status;
}
