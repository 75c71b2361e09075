/* glow_json.c - the colours of hot steel as one JSON object; keys are the contract of README.md, "The colour of hot
 * steel". */
#include "report/glow_words.h"
#include "report/json_parts.h"

static json_t *seen(double temp_K, cq_glow_light light) {
    char hex[CQ_HEX];
    const cq_glow glow = cq_glow_of(temp_K, CQ_GLOW_SCALE, light);
    const cq_json_member members[] = {{"srgb", cq_json_words(cq_glow_hex(glow.srgb, hex))},
                                      {"word", cq_json_words(glow.word)},
                                      {"visible", cq_json_number(glow.visible)}};
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

static json_t *colours(void) {
    json_t *all = json_array();
    for (double celsius = 500.0; celsius < 1301.0; celsius += 10.0) {
        const double temp_K = celsius + 273.15;
        const cq_glow glow = cq_glow_of(temp_K, CQ_GLOW_SCALE, CQ_GLOW_DARK);
        const cq_json_member members[] = {{"temp_C", cq_json_number(celsius)},
                                          {"luminance_cd_m2", cq_json_number(glow.luminance_cd_m2)},
                                          {"x", cq_json_number(glow.x)},
                                          {"y", cq_json_number(glow.y)},
                                          {"trade_word", cq_json_words(cq_glow_trade_word(temp_K))},
                                          {"dark", seen(temp_K, CQ_GLOW_DARK)},
                                          {"daylight", seen(temp_K, CQ_GLOW_DAYLIGHT)}};
        all = cq_json_appended(all, cq_json_object(members, sizeof members / sizeof members[0]));
    }
    return all;
}

static json_t *bands(void) {
    json_t *all = json_array();
    for (int n = 0; n < CQ_GLOW_BANDS; n++) {
        const cq_json_member members[] = {{"word", cq_json_words(cq_glow_bands[n].word)},
                                          {"temp_C", cq_json_celsius(cq_glow_bands[n].temp_K)}};
        all = cq_json_appended(all, cq_json_object(members, sizeof members / sizeof members[0]));
    }
    return all;
}

/* What deceives the eye, at 800 degC. */
static json_t *eye(void) {
    const double at_K = 1073.15;
    const cq_json_member members[] = {
        {"best_K", cq_json_number(CQ_GLOW_EYE_BEST_K)},
        {"usual_K", cq_json_number(CQ_GLOW_EYE_USUAL_K)},
        {"at_C", cq_json_celsius(at_K)},
        {"alike_in_daylight_C", cq_json_celsius(cq_glow_alike(at_K, CQ_GLOW_DARK, CQ_GLOW_DAYLIGHT))},
        {"brighter_per_K", cq_json_number(cq_glow_brighter_per_K(at_K))},
        {"bare_metal_looks_colder_K", cq_json_number(cq_glow_bare_colder_K(at_K))}};
    return cq_json_object(members, sizeof members / sizeof members[0]);
}

cq_status cq_report_glow_json(char **text) {
    const cq_json_member members[] = {{"program", cq_json_words("clayquench " CQ_VERSION)},
                                      {"emissivity", cq_json_number(CQ_GLOW_SCALE)},
                                      {"colours", colours()},
                                      {"trade_words", bands()},
                                      {"eye", eye()}};
    return cq_json_text(cq_json_object(members, sizeof members / sizeof members[0]), text);
}
