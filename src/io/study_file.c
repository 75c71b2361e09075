/* study_file.c - a study's file made, continued, and joined from parts. Rows are written in place. */
#include "base/memory.h"
#include "io/reader.h"
#include "io/study_layout.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

struct cq_study_file {
    int descriptor;
    cq_study_places places;
    size_t runs_n;
    char path[4096];
};

/* ---- making and continuing --------------------------------------------------------------------------------------- */

static cq_status make(const char *path, const cq_study_about *about, const cq_study_table *table, uint64_t ended,
                      cq_error *error) {
    size_t length = 0;
    char *image = cq_study_image(about, table, ended, &length);
    const cq_status status = image == NULL
                                 ? cq_error_say(error, CQ_ERR_MEMORY, "", "", "share the study out with --part",
                                                "no memory for the file of %zu runs", table->runs_n)
                                 : cq_file_write(path, image, length, error);
    cq_memory_free(image);
    return status;
}

/* Open and lock; true if it is still the file of that name: another program may just have made it anew. */
static cq_status hold(cq_study_file *file, bool *same, cq_error *error) {
    struct stat held, named;
    file->descriptor = open(file->path, O_RDWR | O_CLOEXEC);
    if (file->descriptor < 0) {
        return cq_file_fault(error, file->path, "cannot be written", errno);
    }
    if (flock(file->descriptor, LOCK_EX | LOCK_NB) != 0) {
        return cq_file_fault(error, file->path, "another program is working on this study", 0);
    }
    *same = fstat(file->descriptor, &held) == 0 && stat(file->path, &named) == 0 && held.st_ino == named.st_ino &&
            held.st_dev == named.st_dev;
    return CQ_OK;
}

static cq_status take_rows(cq_study_table *table, const cq_study_read *read, const cq_study_about *about,
                           const char *path, cq_error *error) {
    const char *difference = cq_study_difference(&read->about, about, true);
    if (difference == NULL &&
        memcmp(table->inputs, read->table->inputs, table->runs_n * table->inputs_n * sizeof *table->inputs) != 0) {
        difference = "varied values";
    }
    if (difference != NULL) {
        cq_complaint c;
        memset(&c, 0, sizeof c);
        c.status = CQ_ERR_FORMAT;
        snprintf(c.file, sizeof c.file, "%.255s", path);
        snprintf(c.found, sizeof c.found, "holds another study: not the same %s", difference);
        snprintf(c.remedy, sizeof c.remedy, "name another folder, or take this one away");
        return cq_error_add(error, &c);
    }
    memcpy(table->row, read->table->row, table->runs_n * sizeof *table->row);
    return CQ_OK;
}

static cq_status open_held(cq_study_file *file, const cq_study_about *about, cq_study_table *table, cq_error *error) {
    for (;;) {
        bool same = false;
        cq_study_read *read = NULL;
        cq_status status = access(file->path, F_OK) == 0 ? CQ_OK : make(file->path, about, table, 0, error);
        status = status < 0 ? status : hold(file, &same, error);
        if (status >= 0 && !same) {
            close(file->descriptor);
            continue;
        }
        status = status < 0 ? status : cq_study_file_read(&read, file->path, error);
        status = status < 0 ? status : take_rows(table, read, about, file->path, error);
        cq_study_read_free(read);
        return status < 0 ? status : cq_study_places_of(&file->places, file->path, error);
    }
}

cq_status cq_study_file_open(cq_study_file **file, const char *path, const cq_study_about *about, cq_study_table *table,
                             cq_error *error) {
    cq_study_file *f = cq_memory_zero(1, sizeof *f);
    if (f == NULL) {
        return cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "%s", cq_status_sentence(CQ_ERR_MEMORY));
    }
    f->descriptor = -1;
    f->runs_n = table->runs_n;
    if (snprintf(f->path, sizeof f->path, "%s", path) >= (int)sizeof f->path) {
        cq_memory_free(f);
        return cq_file_fault(error, path, "has too long a name", 0);
    }
    const cq_status status = open_held(f, about, table, error);
    if (status < 0) {
        if (f->descriptor >= 0) {
            close(f->descriptor);
        }
        cq_memory_free(f);
        return status;
    }
    *file = f;
    return CQ_OK;
}

/* ---- rows -------------------------------------------------------------------------------------------------------- */

static cq_status write_at(const cq_study_file *file, uint64_t at, const void *bytes, size_t length, cq_error *error) {
    for (size_t done = 0; done < length;) {
        const ssize_t wrote = pwrite(file->descriptor, (const char *)bytes + done, length - done, (off_t)(at + done));
        if (wrote > 0) {
            done += (size_t)wrote;
        } else if (wrote == 0 || errno != EINTR) {
            return cq_file_fault(error, file->path, "rows before this one are safe, this one cannot be written",
                                 wrote == 0 ? ENOSPC : errno);
        }
    }
    return CQ_OK;
}

cq_status cq_study_file_keep(cq_study_file *file, size_t run, const cq_row *row, cq_error *error) {
    unsigned char record[CQ_RECORD_SIZE];
    if (run >= file->runs_n) {
        return cq_error_say(error, CQ_ERR_ARGUMENT, "", "a run of this study", "", "run %zu", run);
    }
    cq_study_record_of(record, row);
    return write_at(file, file->places.runs + run * CQ_RECORD_SIZE, record, sizeof record, error);
}

cq_status cq_study_file_end(cq_study_file *file, size_t runs_n, cq_error *error) {
    const uint64_t ended = runs_n;
    return write_at(file, file->places.ended, &ended, sizeof ended, error);
}

cq_status cq_study_file_close(cq_study_file *file, cq_error *error) {
    cq_status status = CQ_OK;
    if (file == NULL) {
        return CQ_OK;
    }
    if (fsync(file->descriptor) != 0 && errno != EINVAL) {
        status = cq_file_fault(error, file->path, "cannot be written", errno);
    }
    if (close(file->descriptor) != 0 && status >= 0) {
        status = cq_file_fault(error, file->path, "cannot be written", errno);
    }
    cq_memory_free(file);
    return status;
}

/* ---- joining parts ----------------------------------------------------------------------------------------------- */

static cq_status complain(cq_error *error, const char *path, const char *remedy, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static cq_status complain(cq_error *error, const char *path, const char *remedy, const char *format, ...) {
    cq_complaint c;
    memset(&c, 0, sizeof c);
    c.status = CQ_ERR_FORMAT;
    snprintf(c.file, sizeof c.file, "%.255s", path);
    snprintf(c.remedy, sizeof c.remedy, "%s", remedy);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(c.found, sizeof c.found, format, arguments);
    va_end(arguments);
    return cq_error_add(error, &c);
}

/* A file that is there already stays: a plan or a part is easily named by mistake. An earlier joined file may go. */
static cq_status target_is_free(const char *to, const char *const *paths, size_t n, cq_error *error) {
    struct stat target, part;
    if (stat(to, &target) != 0) {
        return CQ_OK;
    }
    for (size_t p = 0; p < n; p++) {
        if (stat(paths[p], &part) == 0 && part.st_ino == target.st_ino && part.st_dev == target.st_dev) {
            return complain(error, to, "name another file", "is one of the parts to be joined");
        }
    }
    cq_study_read *old = NULL;
    const cq_status status = cq_study_file_read(&old, to, NULL);
    cq_study_read_free(old);
    return status >= 0 ? CQ_OK : complain(error, to, "name another file", "is there already and holds no study");
}

/* Lay the rows of one part into the table. part_of: which file (from 1) had each part. */
static cq_status join(cq_study_table *table, const cq_study_read *first, const cq_study_read *part, size_t *part_of,
                      const char *const *paths, size_t n, cq_error *error) {
    const cq_study_about *about = &part->about;
    const char *difference = cq_study_difference(&first->about, about, false);
    if (difference != NULL || about->parts != first->about.parts) {
        return complain(error, paths[n], "join parts of one study only",
                        "is not of the study of %.100s: not the same %s", paths[0],
                        difference != NULL ? difference : "number of parts");
    }
    if (about->part < 1 || about->part > about->parts) {
        return complain(error, paths[n], "", "says that it is part %zu of %zu", about->part, about->parts);
    }
    if (part_of[about->part - 1] != 0) {
        return complain(error, paths[n], "name each part once", "is part %zu, as %.100s is", about->part,
                        paths[part_of[about->part - 1] - 1]);
    }
    part_of[about->part - 1] = n + 1;
    size_t open = 0;
    for (size_t run = about->part - 1; run < table->runs_n; run += about->parts) {
        table->row[run] = part->table->row[run];
        open += table->row[run].state == CQ_ROW_OPEN;
    }
    return open == 0 ? CQ_OK
                     : complain(error, paths[n], "run that part again with the same -o: it goes on where it stopped",
                                "lacks %zu of its runs", open);
}

static cq_status join_all(const char *to, cq_study_read **parts, const char *const *paths, size_t n, size_t *part_of,
                          cq_error *error) {
    const cq_study_read *first = parts[0];
    cq_study_table *table = NULL;
    cq_status status = cq_study_table_create(&table, first->about.runs_n, first->about.axes_n, error);
    if (status < 0) {
        return status;
    }
    memcpy(table->inputs, first->table->inputs, table->runs_n * table->inputs_n * sizeof *table->inputs);
    for (size_t p = 0; p < n; p++) { /* every fault at once */
        const cq_status one = join(table, first, parts[p], part_of, paths, p, error);
        status = one < 0 ? one : status;
    }
    for (size_t p = 0; p < first->about.parts && status >= 0; p++) {
        if (part_of[p] == 0) {
            status = complain(error, to, "name the files of all parts", "part %zu of %zu is missing", p + 1,
                              first->about.parts);
        }
    }
    if (status >= 0) {
        cq_study_about whole = first->about;
        whole.part = whole.parts = 1;
        status = make(to, &whole, table, 0, error);
    }
    cq_study_table_free(table);
    return status;
}

cq_status cq_study_files_merge(const char *to, const char *const *paths, size_t n, cq_error *error) {
    cq_status status = CQ_OK;
    cq_study_read **parts = cq_memory_zero(n, sizeof *parts);
    size_t *part_of = NULL;
    if (n == 0 || parts == NULL) {
        cq_memory_free(parts);
        return cq_error_say(error, n == 0 ? CQ_ERR_ARGUMENT : CQ_ERR_MEMORY, "", "files of a study's parts", "",
                            "none");
    }
    status = target_is_free(to, paths, n, error);
    for (size_t p = 0; p < n && status >= 0; p++) {
        status = cq_study_file_read(&parts[p], paths[p], error);
    }
    if (status >= 0 && parts[0]->about.parts > parts[0]->about.runs_n + n) {
        status = complain(error, paths[0], "", "says that there are %zu parts", parts[0]->about.parts);
    }
    if (status >= 0) {
        part_of = cq_memory_zero(parts[0]->about.parts, sizeof *part_of);
        status = part_of == NULL ? CQ_ERR_MEMORY : join_all(to, parts, paths, n, part_of, error);
    }
    for (size_t p = 0; p < n; p++) {
        cq_study_read_free(parts[p]);
    }
    cq_memory_free(parts);
    cq_memory_free(part_of);
    return status;
}
