/* files.c - whole files in, whole files out. */
#include "io/reader.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { LARGEST_INPUT = 4 * 1024 * 1024 };

cq_status cq_file_fault(cq_error *error, const char *path, const char *what, int why) {
    cq_complaint c;
    memset(&c, 0, sizeof c);
    c.status = CQ_ERR_FILE;
    snprintf(c.file, sizeof c.file, "%.255s", path);
    snprintf(c.found, sizeof c.found, "%s%s%s", what, why != 0 ? ": " : "", why != 0 ? strerror(why) : "");
    return cq_error_add(error, &c);
}

/* Read on until the end: a pipe has no size to trust. 0, or an errno; ENOMEM with *bytes NULL. */
static int read_all(FILE *file, size_t guess, char **bytes, size_t *length) {
    size_t room = guess + 1;
    *length = 0;
    *bytes = cq_memory_grow(NULL, room, 1);
    while (*bytes != NULL) {
        errno = 0;
        *length += fread(*bytes + *length, 1, room - *length, file);
        if (*length < room) {
            return ferror(file) ? (errno != 0 ? errno : EIO) : *length > LARGEST_INPUT ? EFBIG : 0;
        }
        if (*length > LARGEST_INPUT) {
            return EFBIG;
        }
        char *grown = cq_memory_grow(*bytes, room *= 2, 1);
        if (grown == NULL) {
            cq_memory_free(*bytes);
        }
        *bytes = grown;
    }
    return ENOMEM;
}

cq_status cq_file_load(cq_source *source, const char *path, cq_arena *arena, cq_error *error) {
    struct stat info;
    FILE *file = fopen(path, "rb");
    if (file == NULL || fstat(fileno(file), &info) != 0) {
        const cq_status status = cq_file_fault(error, path, "cannot be read", errno);
        if (file != NULL) {
            fclose(file);
        }
        return status;
    }
    char *bytes = NULL;
    size_t length = 0;
    const size_t guess = info.st_size > 0 && info.st_size <= LARGEST_INPUT ? (size_t)info.st_size : 4096;
    const int why = S_ISDIR(info.st_mode)          ? EISDIR
                    : info.st_size > LARGEST_INPUT ? EFBIG
                                                   : read_all(file, guess, &bytes, &length);
    fclose(file);
    char *text = why == 0 ? cq_arena_text(arena, bytes, length) : NULL;
    char *name = text == NULL ? NULL : cq_arena_text(arena, path, strlen(path));
    cq_memory_free(bytes);
    if (why != 0 && why != ENOMEM) {
        return cq_file_fault(error, path, "cannot be read", why);
    }
    if (name == NULL) {
        return CQ_ERR_MEMORY;
    }
    *source = (cq_source){name, text, length};
    return CQ_OK;
}

void cq_file_peek(const char *path, const char *key, char *to, size_t size) {
    char line[512];
    const size_t n = strlen(key);
    FILE *file = fopen(path, "r");
    to[0] = '\0';
    while (file != NULL && fgets(line, sizeof line, file) != NULL) {
        if (strncmp(line, key, n) == 0 && line[n] == ':') {
            const char *value = line + n + 1 + strspn(line + n + 1, " \t\"'");
            snprintf(to, size, "%s", value);
            to[strcspn(to, "\"'\r\n")] = '\0';
            break;
        }
    }
    if (file != NULL) {
        fclose(file);
    }
}

/* All bytes and onto the disk; 0 or an errno. */
static int write_all(int file, const char *bytes, size_t length) {
    for (size_t done = 0; done < length;) {
        const ssize_t wrote = write(file, bytes + done, length - done);
        if (wrote > 0) {
            done += (size_t)wrote;
        } else if (wrote == 0 || errno != EINTR) {
            return wrote == 0 ? ENOSPC : errno;
        }
    }
    return fsync(file) == 0 || errno == EINVAL ? 0 : errno; /* EINVAL: nothing to sync there */
}

cq_status cq_folder_make(const char *folder, cq_error *error) {
    if (mkdir(folder, 0777) != 0 && errno != EEXIST) {
        return cq_file_fault(error, folder, "cannot be made", errno);
    }
    char probe[4200];
    if (snprintf(probe, sizeof probe, "%s/probe.%ld.part", folder, (long)getpid()) >= (int)sizeof probe) {
        return cq_file_fault(error, folder, "has too long a name", ENAMETOOLONG);
    }
    const int file = open(probe, O_WRONLY | O_CREAT | O_EXCL, 0666);
    if (file < 0) {
        return cq_file_fault(error, folder, errno == ENOTDIR ? "is not a folder" : "cannot be written into", errno);
    }
    close(file);
    unlink(probe);
    return CQ_OK;
}

cq_status cq_file_write(const char *path, const void *bytes, size_t length, cq_error *error) {
    char temporary[4200];
    if (snprintf(temporary, sizeof temporary, "%s.%ld.part", path, (long)getpid()) >= (int)sizeof temporary) {
        return cq_file_fault(error, path, "cannot be written", ENAMETOOLONG);
    }
    const int file = open(temporary, O_WRONLY | O_CREAT | O_TRUNC | O_NOFOLLOW, 0666);
    if (file < 0) {
        return cq_file_fault(error, path, "cannot be written", errno);
    }
    int why = write_all(file, bytes, length);
    if (close(file) != 0 && why == 0) {
        why = errno;
    }
    if (why == 0 && rename(temporary, path) != 0) {
        why = errno;
    }
    if (why != 0) {
        unlink(temporary);
        return cq_file_fault(error, path, "cannot be written", why);
    }
    return CQ_OK;
}
