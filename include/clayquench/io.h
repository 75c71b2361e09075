/* io.h - plans, profiles and results as files. The only floor that opens one.
 */
#ifndef CLAYQUENCH_IO_H
#define CLAYQUENCH_IO_H

#include <clayquench/quench.h>

/* Where profile names are looked up after the plan's own folder, in this order. Each folder holds
 * steels/ clays/ baths/ blades/ plans/. The library reads no environment: the program builds this list. */
typedef struct cq_search {
    size_t n;
    const char *const *folders;
} cq_search;

/* Read and check a plan. Every complaint of the file and of the profiles it names is collected in `error`.
 * CQ_ERR_PLAN: faults (plan untouched); CQ_ERR_FILE: cannot be read. Release with cq_plan_clear. */
cq_status cq_plan_read(cq_plan *plan, const char *path, const cq_search *search, cq_error *error);

/* The same from text; `name` stands for the file in complaints, `folder` is where names are looked up first. */
cq_status cq_plan_read_text(cq_plan *plan, const char *text, size_t length, const char *name, const char *folder,
                            const cq_search *search, cq_error *error);

/* The same with the profiles it names given as texts (names as cq_plan keeps them, "steel-1084"); no file is looked
 * for. This is how a stored plan is read again. */
typedef struct cq_given_profiles {
    size_t n;
    const char *const *names, *const *texts;
} cq_given_profiles;
cq_status cq_plan_read_given(cq_plan *plan, const char *text, size_t length, const char *name,
                             const cq_given_profiles *given, cq_error *error);

/* Check any plan or profile file by its `format:` line; complaints only. */
cq_status cq_file_check(const char *path, const cq_search *search, cq_error *error);

/* One shipped or own profile: kind is "steel", "clay", "bath", "blade" or "plan". */
typedef struct cq_profile_entry {
    char kind[16], name[64], summary[160], path[512];
} cq_profile_entry;

/* List what the search path holds, sorted by kind and name, hidden ones (shadowed by an earlier folder) left out.
 * The caller frees *entries with cq_profile_list_free. */
cq_status cq_profile_list(const cq_search *search, cq_profile_entry **entries, size_t *n, cq_error *error);
void cq_profile_list_free(cq_profile_entry *entries);

/* What a key or a code means: walks the field descriptors and the notice, verdict and result words. The text is
 * released with cq_text_free. NULL text and CQ_ERR_ARGUMENT if unknown; `nearest` (64 bytes) gets the nearest word. */
cq_status cq_explain(const char *word, char **text, char nearest[64]);
void cq_text_free(char *text);

/* Every key of plans and profiles as a table in Markdown, from the field descriptors: key, what to write, range,
 * default, meaning. Released with cq_text_free. */
cq_status cq_key_table_markdown(char **text);

/* Write result.h5 and result.xdmf (fields of every frame, axes, units, plan and profile texts, provenance apart)
 * and probes.csv into `folder`, which is made if missing. Each file is complete or absent. `summary` is the text of
 * summary.json, kept in result.h5; NULL: none. */
cq_status cq_result_write(const cq_result *result, const char *summary, const char *folder, cq_error *error);

/* A result read back from result.h5: as the run left it, with the plan it was made from; of more than
 * CQ_STORED_FRAMES frames evenly chosen ones. CQ_ERR_FILE: cannot be read; CQ_ERR_FORMAT: no result, cut short, of a
 * newer version, of an interrupted run, or of a program that laid another grid. Release with cq_stored_free. */
enum { CQ_STORED_FRAMES = 240 };
typedef struct cq_stored cq_stored;
cq_status cq_result_read(cq_stored **stored, const char *path, cq_error *error);
const cq_result *cq_stored_result(const cq_stored *stored);
const char *cq_stored_summary(const cq_stored *stored); /* text of summary.json; NULL if it was not kept */
void cq_stored_free(cq_stored *stored);

/* Make a folder that can be written into; one that is there already is fine. Ask before long work. */
cq_status cq_folder_make(const char *folder, cq_error *error);

/* Replace `path` by `length` bytes, through a temporary name: complete or absent. */
cq_status cq_file_write(const char *path, const void *bytes, size_t length, cq_error *error);

#endif
