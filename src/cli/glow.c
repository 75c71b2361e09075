/* glow.c - the command that shows the colour of hot steel. */
#include "cli/cli.h"

#include <clayquench/report_glow.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { FILE_NAME, JSON, UNITS };
static const cq_option options[] = {
    [FILE_NAME] = {"output", 'o', "FILE", "draw the picture into FILE: .svg, .png or .pdf"},
    [JSON] = {"json", 0, NULL, "print one JSON object on stdout instead of the screen"},
    [UNITS] = {"units", 0, "UNITS", "units of screen and picture: metric (default) or us"},
    {0},
};

/* The format a file's name asks for; CQ_FORMATS after a message. */
static cq_picture_format format_of(const char *file) {
    const char *dot = strrchr(file, '.');
    for (int format = 0; dot != NULL && format < CQ_FORMATS; format++) {
        if (strcmp(dot + 1, cq_format_extension((cq_picture_format)format)) == 0) {
            return (cq_picture_format)format;
        }
    }
    fprintf(stderr, "clayquench glow: error: --output '%s'; expected a name that ends in .svg, .png or .pdf\n", file);
    return CQ_FORMATS;
}

static cq_status draw(const char *file, cq_picture_format format, cq_unit_system units, cq_error *error) {
    unsigned char *bytes = NULL;
    size_t length = 0;
    cq_status status = cq_glow_picture_draw(units, format, &bytes, &length);
    status = status < 0 ? status : cq_file_write(file, bytes, length, error);
    cq_text_free((char *)bytes);
    return status;
}

/* Patches of colour on a terminal, unless the environment says NO_COLOR. */
static cq_ink ink_wanted(void) {
    const char *none = getenv("NO_COLOR");
    return isatty(STDOUT_FILENO) && (none == NULL || none[0] == '\0') ? CQ_INK_COLOURED : CQ_INK_PLAIN;
}

static int run(const cq_call *call) {
    cq_unit_system units;
    const char *file = call->value[FILE_NAME];
    const cq_picture_format format = file == NULL ? CQ_FORMATS : format_of(file);
    if (!cq_units_wanted("glow", call->value[UNITS], &units) || (file != NULL && format == CQ_FORMATS)) {
        return CQ_EXIT_USAGE;
    }
    cq_error error = CQ_ERROR_INIT;
    char *text = NULL;
    cq_status status =
        call->value[JSON] != NULL ? cq_report_glow_json(&text) : cq_report_glow_screen(units, ink_wanted(), &text);
    if (status >= 0) {
        fputs(text, stdout);
        fflush(stdout);
        status = file == NULL ? CQ_OK : draw(file, format, units, &error);
    }
    if (status >= 0 && file != NULL && call->value[JSON] == NULL) {
        printf("Written to %s.\n", file);
    }
    cq_text_free(text);
    return cq_exit_complaining(status, &error);
}

const cq_command cq_command_glow = {
    .name = "glow",
    .operands = "",
    .operands_min = 0,
    .operands_max = 0,
    .summary = "the colour of hot steel, in the dark and in daylight",
    .description =
        "Colours computed from Planck's law, the standard eye and how an eye gets used to light, beside the\n"
        "trade's words; how near a practised eye comes to a temperature. On a terminal with patches of colour,\n"
        "unless NO_COLOR is set.\n",
    .options = options,
    .run = run,
};
