/* files.c - whole files in, whole files out. */
#include "io/reader.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { LARGEST_INPUT = 4 * 1024 * 1024 };

static cq_status file_fault(cq_error *error, const char *path, const char *what) {
    cq_complaint c;
    memset(&c, 0, sizeof c);
    c.status = CQ_ERR_FILE;
    snprintf(c.file, sizeof c.file, "%.255s", path);
    snprintf(c.found, sizeof c.found, "%s: %s", what, strerror(errno));
    return cq_error_add(error, &c);
}

cq_status cq_file_load(cq_source *source, const char *path, cq_arena *arena, cq_error *error) {
    struct stat info;
    FILE *file = fopen(path, "rb");
    if (file == NULL || fstat(fileno(file), &info) != 0) {
        const cq_status status = file_fault(error, path, "cannot be read");
        if (file != NULL) {
            fclose(file);
        }
        return status;
    }
    if (S_ISDIR(info.st_mode) || info.st_size > LARGEST_INPUT) {
        errno = S_ISDIR(info.st_mode) ? EISDIR : EFBIG;
        fclose(file);
        return file_fault(error, path, "cannot be read");
    }
    /* a pipe has no size to trust: read on until it ends */
    size_t length = 0, room = 4096 + (size_t)info.st_size;
    char *bytes = cq_memory_grow(NULL, room, 1);
    while (bytes != NULL && length <= LARGEST_INPUT) {
        const size_t got = fread(bytes + length, 1, room - length, file);
        length += got;
        if (length < room) {
            break;
        }
        char *grown = cq_memory_grow(bytes, room *= 2, 1);
        if (grown == NULL) {
            cq_memory_free(bytes);
        }
        bytes = grown;
    }
    const bool whole = ferror(file) == 0 && length <= LARGEST_INPUT;
    fclose(file);
    char *text = bytes == NULL ? NULL : cq_arena_text(arena, bytes, length);
    cq_memory_free(bytes);
    if (text == NULL) {
        return CQ_ERR_MEMORY;
    }
    char *name = cq_arena_text(arena, path, strlen(path));
    if (!whole || name == NULL) {
        return name == NULL ? CQ_ERR_MEMORY : file_fault(error, path, "was cut short while being read");
    }
    *source = (cq_source){name, text, length};
    return CQ_OK;
}

cq_status cq_file_write(const char *path, const void *bytes, size_t length, cq_error *error) {
    char temporary[4200];
    if (snprintf(temporary, sizeof temporary, "%s.part", path) >= (int)sizeof temporary) {
        errno = ENAMETOOLONG;
        return file_fault(error, path, "cannot be written");
    }
    const int file = open(temporary, O_WRONLY | O_CREAT | O_TRUNC, 0666);
    if (file < 0) {
        return file_fault(error, path, "cannot be written");
    }
    size_t done = 0;
    while (done < length) {
        const ssize_t wrote = write(file, (const char *)bytes + done, length - done);
        if (wrote < 0 && errno == EINTR) {
            continue;
        }
        if (wrote <= 0) {
            break;
        }
        done += (size_t)wrote;
    }
    int why = errno;
    bool good = done == length && fsync(file) == 0;
    why = good ? 0 : errno != 0 ? errno : why;
    if (close(file) != 0) {
        why = good ? errno : why;
        good = false;
    }
    if (good && rename(temporary, path) == 0) {
        return CQ_OK;
    }
    why = good ? errno : why;
    unlink(temporary);
    errno = why;
    return file_fault(error, path, "cannot be written");
}
