/* result_xdmf.c - an XDMF 3 sidecar: the frames of result.h5 as a temporal collection for viewers. */
#include "io/result.h"

#include "base/memory.h"

#include <stdarg.h>
#include <stdio.h>

void cq_text_add(cq_text *text, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    const int needed = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (needed < 0 || text->failed) {
        text->failed = true;
        return;
    }
    if (text->length + (size_t)needed + 1 > text->room) {
        const size_t room = 2 * (text->room + (size_t)needed + 256);
        char *grown = cq_memory_grow(text->bytes, room, 1);
        if (grown == NULL) {
            text->failed = true;
            return;
        }
        text->bytes = grown;
        text->room = room;
    }
    va_start(arguments, format);
    vsnprintf(text->bytes + text->length, text->room - text->length, format, arguments);
    va_end(arguments);
    text->length += (size_t)needed;
}

/* A field of the end of the run, on the last frame. */
static void add_final(cq_text *t, const cq_result *r, const char *name) {
    cq_text_add(t,
                "        <Attribute Name=\"%s\" AttributeType=\"Scalar\" Center=\"Cell\">\n"
                "          <DataItem Dimensions=\"%d %d\" NumberType=\"Float\" Precision=\"8\" "
                "Format=\"HDF\">result.h5:/final/%s</DataItem>\n"
                "        </Attribute>\n",
                name, r->grid->along, r->grid->across, name);
}

static void add_slab(cq_text *t, const cq_result *r, const char *name, size_t frame) {
    const int along = r->grid->along, across = r->grid->across;
    cq_text_add(t,
                "        <Attribute Name=\"%s\" AttributeType=\"Scalar\" Center=\"Cell\">\n"
                "          <DataItem ItemType=\"HyperSlab\" Dimensions=\"%d %d\">\n"
                "            <DataItem Dimensions=\"3 3\" Format=\"XML\">%zu 0 0 1 1 1 1 %d %d</DataItem>\n"
                "            <DataItem Dimensions=\"%zu %d %d\" NumberType=\"Float\" Precision=\"8\" "
                "Format=\"HDF\">result.h5:/frames/%s</DataItem>\n"
                "          </DataItem>\n        </Attribute>\n",
                name, along, across, frame, along, across, r->frames_n, along, across, name);
}

cq_status cq_result_write_xdmf(const cq_result *r, const char *folder, cq_error *error) {
    static const char *const fields[] = {"temp_K",   "austenite", "ferrite_cementite",
                                         "pearlite", "bainite",   "martensite"};
    const int along = r->grid->along, across = r->grid->across;
    cq_text t = {NULL, 0, 0, false};
    cq_text_add(&t, "<?xml version=\"1.0\"?>\n<Xdmf Version=\"3.0\">\n  <Domain>\n"
                    "    <Grid Name=\"quench\" GridType=\"Collection\" CollectionType=\"Temporal\">\n");
    for (size_t f = 0; f < r->frames_n; f++) {
        cq_text_add(&t,
                    "      <Grid Name=\"section\" GridType=\"Uniform\">\n        <Time Value=\"%.9g\"/>\n"
                    "        <Topology TopologyType=\"2DSMesh\" Dimensions=\"%d %d\"/>\n        <Geometry "
                    "GeometryType=\"X_Y\">\n"
                    "          <DataItem Dimensions=\"%d %d\" NumberType=\"Float\" Precision=\"8\" "
                    "Format=\"HDF\">result.h5:/grid/node_y_m</DataItem>\n"
                    "          <DataItem Dimensions=\"%d %d\" NumberType=\"Float\" Precision=\"8\" "
                    "Format=\"HDF\">result.h5:/grid/node_x_m</DataItem>\n"
                    "        </Geometry>\n"
                    "        <Attribute Name=\"kind\" AttributeType=\"Scalar\" Center=\"Cell\">\n"
                    "          <DataItem Dimensions=\"%d %d\" NumberType=\"UChar\" "
                    "Format=\"HDF\">result.h5:/grid/kind</DataItem>\n        </Attribute>\n",
                    r->frames[f].time_s, along + 1, across + 1, along + 1, across + 1, along + 1, across + 1, along,
                    across);
        for (size_t n = 0; n < (r->transforming ? sizeof fields / sizeof fields[0] : 1); n++) {
            add_slab(&t, r, fields[n], f);
        }
        if (f + 1 == r->frames_n && r->temp_K != NULL) { /* NULL: interrupted before the end */
            add_final(&t, r, "peak_rate_K_s");
            if (r->transforming) {
                add_final(&t, r, "hardness_HV");
            }
            if (r->built.carbon_wt != NULL) {
                add_final(&t, r, "carbon_wt");
            }
        }
        cq_text_add(&t, "      </Grid>\n");
    }
    cq_text_add(&t, "    </Grid>\n  </Domain>\n</Xdmf>\n");
    char path[4096];
    snprintf(path, sizeof path, "%.4000s/result.xdmf", folder);
    const cq_status status = t.failed ? cq_error_say(error, CQ_ERR_MEMORY, "", "", "", "result.xdmf")
                                      : cq_file_write(path, t.bytes, t.length, error);
    cq_memory_free(t.bytes);
    return status;
}
