/* study_file.h - a study as an HDF5 file that is whole at every moment.
 *
 * All of its structure is laid down before the first run; afterwards a finished row is written in place and nothing
 * else changes, so a program that is killed leaves a file that opens and holds every finished row. The same study gives
 * the same bytes, on any number of threads and whether or not it was interrupted.
 */
#ifndef CLAYQUENCH_STUDY_FILE_H
#define CLAYQUENCH_STUDY_FILE_H

#include <clayquench/study.h>

typedef struct cq_study_file cq_study_file;

/* Make `path`, or go on with it: then its rows fill `table` (made by the caller for about->runs_n; inputs are written
 * from it when the file is made). CQ_ERR_FORMAT with a complaint that says what differs if the file is of another
 * study; CQ_ERR_FILE if it cannot be read or written. */
cq_status cq_study_file_open(cq_study_file **file, const char *path, const cq_study_about *about, cq_study_table *table,
                             cq_error *error);
/* Write one row. CQ_ERR_FILE (disk full): rows written before are safe. */
cq_status cq_study_file_keep(cq_study_file *file, size_t run, const cq_row *row, cq_error *error);
/* The study ended at `runs_n` runs, fewer than planned, because that was enough. */
cq_status cq_study_file_end(cq_study_file *file, size_t runs_n, cq_error *error);
cq_status cq_study_file_close(cq_study_file *file, cq_error *error);

/* Read a file only. ended: runs after which it was enough (0: not yet). `about` and `table` are released together by
 * cq_study_read_free. */
typedef struct cq_study_read {
    cq_study_about about;
    cq_study_table *table;
    size_t ended;
    struct cq_arena *arena;
} cq_study_read;
cq_status cq_study_file_read(cq_study_read **read, const char *path, cq_error *error);
void cq_study_read_free(cq_study_read *read);

/* Join the parts of a study into `to`, which is then byte for byte the file of the whole. Complaints: files of
 * different studies, a part twice, parts or rows missing. CQ_ERR_FORMAT; nothing is written then. */
cq_status cq_study_files_merge(const char *to, const char *const *paths, size_t n, cq_error *error);

#endif
