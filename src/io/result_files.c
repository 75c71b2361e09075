/* result_files.c - the files of a result together: all of them written, and whether one is ours, whole and not newer.
 */
#include "io/h5.h"
#include "io/reader.h"
#include "io/result.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

cq_status cq_result_check_file(const char *path, cq_error *error) {
    cq_h5_silence silence;
    char format[64] = "";
    int version = 0;
    if (access(path, R_OK) != 0) {
        return cq_file_fault(error, path, "cannot be read", errno);
    }
    cq_h5_silence_begin(&silence);
    hid_t file = cq_h5_open(path);
    if (file >= 0) {
        cq_h5_read_marks(file, format, &version);
        H5Fclose(file);
    }
    cq_h5_silence_end(&silence);
    if (strcmp(format, "clayquench-result") != 0 || version < 1) {
        return cq_error_say(error, CQ_ERR_FORMAT, "", "a complete result.h5 of clayquench",
                            "a file that was cut short is made again by 'clayquench quench PLAN -o DIR'",
                            "%.150s is not one", path);
    }
    if (version > CQ_RESULT_VERSION) {
        char expected[32];
        snprintf(expected, sizeof expected, "version %d", CQ_RESULT_VERSION);
        return cq_error_say(error, CQ_ERR_FORMAT, "", expected, "a newer program reads it", "%.120s has version %d",
                            path, version);
    }
    return CQ_OK;
}

cq_status cq_result_write(const cq_result *result, const char *summary, const char *folder, cq_error *error) {
    cq_status status = cq_folder_make(folder, error);
    status = status < 0 ? status : cq_result_write_h5(result, summary, folder, error);
    status = status < 0 ? status : cq_result_write_xdmf(result, folder, error);
    return status < 0 ? status : cq_result_write_csv(result, folder, error);
}
