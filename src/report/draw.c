/* draw.c - names of the pictures and which of them a result has something to show for. */
#include "report/pictures.h"

const char *cq_picture_stem(cq_picture picture) {
    static const char *const stems[CQ_PICTURES] = {"hardness", "martensite", "peak-rate", "temperature", "cooling", "along"};
    return stems[picture];
}

const char *cq_format_extension(cq_picture_format format) {
    static const char *const extensions[CQ_FORMATS] = {"svg", "png", "pdf"};
    return extensions[format];
}

cq_status cq_picture_draw(const cq_result *result, cq_picture picture, cq_picture_format format, unsigned char **bytes,
                          size_t *length, cq_error *error) {
    const bool flat = result->grid->one_dimensional; /* plates and rounds have no section to draw */
    switch (picture) {
    case CQ_PICTURE_HARDNESS:
    case CQ_PICTURE_MARTENSITE:
        return flat || !result->transforming ? CQ_ERR_ARGUMENT : cq_picture_field(result, picture, format, bytes, length);
    case CQ_PICTURE_PEAK_RATE:
        return flat ? CQ_ERR_ARGUMENT : cq_picture_field(result, picture, format, bytes, length);
    case CQ_PICTURE_TEMPERATURE:
        return flat || result->frames_n < 2 ? CQ_ERR_ARGUMENT : cq_picture_temperatures(result, format, bytes, length);
    case CQ_PICTURE_COOLING:
        return cq_picture_cooling(result, format, bytes, length, error);
    case CQ_PICTURE_ALONG:
        return flat || result->along.n == 0 ? CQ_ERR_ARGUMENT : cq_picture_along(result, format, bytes, length);
    default:
        return CQ_ERR_ARGUMENT;
    }
}
