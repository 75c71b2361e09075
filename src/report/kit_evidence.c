/* kit_evidence.c - the evidence file to fill in, made of the words that evidence is read by. */
#include "report/kit.h"

#include "base/memory.h"

typedef struct blank {
    cq_evidence_kind kind;
    cq_method method;
    const char *unit, *rest, *remark; /* rest: further keys */
} blank;

static const blank BLANKS[] = {
    {CQ_EVIDENCE_STEPPED_CLAY, CQ_METHOD_CALIPER, "mm", ", thickness: ___ mm", "thickness: of the coupon's plate"},
    {CQ_EVIDENCE_WEDGE, CQ_METHOD_CALIPER, "mm", "", "bare, in the plan's bath"},
    {CQ_EVIDENCE_WEDGE, CQ_METHOD_CALIPER, "mm", ", change: {steps.1.in: fast-oil, steps.1.at: ___ °C}",
     "the same bar in oil; steps.1 is the bath's line of the plan, counted from 0"},
    {CQ_EVIDENCE_LINE, CQ_METHOD_EYE, "mm", ", station: heel, change: {blade.spine: ___ mm}",
     "change: where the spine is not as thick as the plan's; else leave it out"},
    {CQ_EVIDENCE_LINE, CQ_METHOD_EYE, "mm", ", station: middle", ""},
    {CQ_EVIDENCE_LINE, CQ_METHOD_EYE, "mm", ", station: tip, plan: ___.yaml",
     "plan: where the blade is lower than the plan's: a copy of the plan with that section and its clay"},
    {CQ_EVIDENCE_HARDNESS, CQ_METHOD_ROCKWELL, "HRC", ", place: edge, error: ___ HRC",
     "error: of your tester, from its test block"},
    {CQ_EVIDENCE_HARDNESS, CQ_METHOD_ROCKWELL, "HRC", ", place: spine, error: ___ HRC", ""},
    {CQ_EVIDENCE_FILM, CQ_METHOD_EAR, "s", ", place: body, plan: ___.yaml",
     "hiss or crackle begins, from going in; plan: of the bare plate that was heard"},
    {CQ_EVIDENCE_RISE, CQ_METHOD_CALIPER, "mm", "", "as quenched, toward the spine; toward the edge: below 0"},
};

static void add_words(cq_text *t) {
    cq_text_add(t, "# method:");
    for (int m = 0; m < CQ_METHODS; m++) {
        cq_text_add(t, "%s %s", m > 0 ? "," : "", cq_method_word((cq_method)m));
    }
    cq_text_add(t, ".\n# place: %s, %s, %s. error: one standard deviation; left out, the method's.\n",
                cq_place_word(CQ_PLACE_EDGE), cq_place_word(CQ_PLACE_BODY), cq_place_word(CQ_PLACE_SPINE));
}

cq_status cq_kit_evidence(char **text) {
    cq_text t = {NULL, 0, 0, false};
    cq_text_add(&t, "format: clayquench-evidence 1\ntitle: ___\n"
                    "# Fill in the blanks (___) of what you measured and take the # before that line away.\n"
                    "# Every number keeps its unit: mm or in, HRC or HV, s, °C or °F.\n");
    add_words(&t);
    cq_text_add(&t, "items:\n");
    for (size_t k = 0; k < sizeof BLANKS / sizeof BLANKS[0]; k++) {
        const blank *b = &BLANKS[k];
        const bool again = k > 0 && BLANKS[k - 1].kind == b->kind;
        if (!again) {
            cq_text_add(&t, "  # %s\n", cq_evidence_words(b->kind));
        }
        if (b->remark[0] != '\0') {
            cq_text_add(&t, "  # (%s)\n", b->remark);
        }
        cq_text_add(&t, "#  - {what: %s, value: ___ %s, method: %s%s}\n", cq_evidence_word(b->kind), b->unit,
                    cq_method_word(b->method), b->rest);
    }
    if (t.failed) {
        cq_memory_free(t.bytes);
        return CQ_ERR_MEMORY;
    }
    *text = t.bytes;
    return CQ_OK;
}
