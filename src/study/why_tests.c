/* why_tests.c - names of causes and the shop tests that tell them apart. All tests: common practice, no source. */
#include <clayquench/why.h>

static const char *const keys[] = {
#define KEY(name, key, words) key,
    CQ_CAUSE_LIST(KEY)
#undef KEY
};
static const char *const words_of[] = {
#define WORDS(name, key, words) words,
    CQ_CAUSE_LIST(WORDS)
#undef WORDS
};

const char *cq_cause_key(cq_cause cause) {
    return keys[cause];
}

const char *cq_cause_words(cq_cause cause) {
    return words_of[cause];
}

const char *cq_cause_test(cq_cause cause) {
    static const char *const tests[CQ_CAUSES] = {
        [CQ_CAUSE_AS_PLANNED] = "lay the same again on a coupon: it should come out the same",
        [CQ_CAUSE_SOAK] =
            "heat a coupon the same way, quench and snap it: grain coarser than a new file's is too hot; a "
            "magnet and a second thermometer show too cool",
        [CQ_CAUSE_HOLD] = "two coupons, one held twice as long: file and snap both",
        [CQ_CAUSE_STRUCTURE] = "normalise a coupon three times, leave another as it came: quench both alike, compare",
        [CQ_CAUSE_SPINE_COOLER] = "look along the blade in the dark before the quench: a darker spine is cooler",
        [CQ_CAUSE_WASH] = "calliper over edge and wash on a coupon, before and after; quench one bare, one washed",
        [CQ_CAUSE_BODY] = "prick the dried clay with a needle down to the steel, or calliper over it, in five places",
        [CQ_CAUSE_MIX] = "a coupon under the old and the new mix side by side, same thickness, same quench",
        [CQ_CAUSE_RIM] =
            "measure the rim from the edge before the heat, a scribed line keeps it; mark it on a photograph",
        [CQ_CAUSE_LOST] = "look for clay at the bottom of the bath; a bright, scaled patch on the blade shows where",
        [CQ_CAUSE_LIFTED] = "tap the dried clay: a hollow sound is a gap; scale under unbroken clay shows it too",
        [CQ_CAUSE_SOAKED] = "dry one coupon an hour at 100 °C and one not: quench both, compare",
        [CQ_CAUSE_BATH_TEMPERATURE] = "a thermometer in the bath, stirred, at the moment of the quench",
        [CQ_CAUSE_BATH_STRENGTH] = "quench a bare coupon of known steel in the bath and in fresh bath, file both",
        [CQ_CAUSE_AGITATION] = "two coupons: one held still, one moved edge to spine",
        [CQ_CAUSE_SALT] = "dry a spoonful of the bath and look for salt; fresh water for the next coupon",
        [CQ_CAUSE_SCALE] = "quench a ground coupon beside a scaled one",
        [CQ_CAUSE_SKIN] =
            "grind one face 0.3 mm (0.012 in) down, cooled, and etch again; a file that bites on top and skates below",
        [CQ_CAUSE_BATH] = "a coupon in the bath it may have been, one in the bath it should be",
        [CQ_CAUSE_TRANSFER] = "count aloud or film the next quench: colour at the edge as it goes under",
        [CQ_CAUSE_PULL] = "film the next quench and count frames; three coupons pulled a second apart",
        [CQ_CAUSE_LATER] = "film the next quench and count frames",
        [CQ_CAUSE_CARBON] = "spark test beside a known bar; a batch certificate or a laboratory's analysis",
        [CQ_CAUSE_MANGANESE] = "the batch certificate or a laboratory's analysis: sparks do not show manganese",
        [CQ_CAUSE_BATCH] = "a bare wedge of this bar in the same bath: the thickness that just hardens tells its speed",
        [CQ_CAUSE_STEEL] = "spark test beside a known bar; the certificate; a bare wedge in the same bath",
        [CQ_CAUSE_THICKNESS] = "calliper at the spine and half-way, where the line was measured",
        [CQ_CAUSE_EDGE] = "calliper at the edge in five places",
        [CQ_CAUSE_TIP_SECTION] = "calliper at the tip and at the middle; a coupon as thin as the tip, laid alike",
        [CQ_CAUSE_TIP_HEAT] = "look at the tip in the dark before the quench; snap a coupon heated where the tip was",
        [CQ_CAUSE_TIP_CLAY] = "prick the dried clay at the tip and at the middle with a needle",
        [CQ_CAUSE_MARTENSITE] = "none in a shop: a laboratory's dilatometer; leave it for last",
    };
    return tests[cause];
}
