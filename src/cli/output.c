/* output.c - what a command leaves in the folder it was given: texts, and pictures in every format. */
#include "cli/cli.h"

#include <stdio.h>
#include <string.h>

enum { PATH_SIZE = 4096 };

static cq_status path_in(const char *folder, const char *stem, const char *extension, char path[PATH_SIZE],
                         cq_error *error) {
    if (snprintf(path, PATH_SIZE, "%s/%s.%s", folder, stem, extension) >= PATH_SIZE) {
        return cq_error_say(error, CQ_ERR_FILE, "", "a shorter path", NULL, "'%.100s...' is too long", folder);
    }
    return CQ_OK;
}

cq_status cq_output_text(const char *folder, const char *stem, const char *extension, const char *text,
                         cq_error *error) {
    char path[PATH_SIZE];
    const cq_status status = path_in(folder, stem, extension, path, error);
    return status < 0 ? status : cq_file_write(path, text, strlen(text), error);
}

cq_status cq_output_json(const char *folder, const char *stem, const char *json, cq_error *error) {
    return cq_output_text(folder, stem, "json", json, error);
}

static cq_status write_picture(const char *folder, const cq_gallery *g, int picture, cq_picture_format format,
                               cq_error *error) {
    char path[PATH_SIZE];
    unsigned char *bytes = NULL;
    size_t length = 0;
    cq_status status = path_in(folder, g->stem(picture), cq_format_extension(format), path, error);
    if (status < 0) {
        return status;
    }
    status = g->draw(g->of, picture, format, &bytes, &length, error);
    if (status == CQ_ERR_ARGUMENT) { /* nothing to show: one of an earlier run does not stay beside this run's */
        remove(path);
        return CQ_OK;
    }
    status = status < 0 ? status : cq_file_write(path, bytes, length, error);
    cq_text_free((char *)bytes);
    return status;
}

cq_status cq_output_pictures(const char *folder, const cq_gallery *gallery, cq_error *error) {
    cq_status status = CQ_OK;
    for (int n = 0; n < gallery->n * CQ_FORMATS && status >= 0; n++) {
        status = cq_interrupted()
                     ? CQ_ERR_CANCELLED
                     : write_picture(folder, gallery, n / CQ_FORMATS, (cq_picture_format)(n % CQ_FORMATS), error);
    }
    return status;
}
