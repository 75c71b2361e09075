/* kit_page.c - the kit as a page: coupons, gauges and logs of a shop, how to read them, and the file that tune reads.
 */
#include "report/kit.h"

#include "base/memory.h"
#include "hardness/hardness.h"

#include <clayquench/quench.h>
#include <stdio.h>
#include <string.h>

typedef struct kit {
    char *evidence;
    char cells[CQ_METHODS * 5][24];
} kit;

static void figure(cq_page *page, cq_page_draw *draw, double tall, const char *alt, const char *caption) {
    cq_page_put_figure(
        page,
        &(cq_page_figure){
            .width = CQ_KIT_WIDTH, .height = tall, .draw = draw, .context = NULL, .alt = alt, .caption = caption});
}

static void gauge(cq_page *page, cq_page_draw *draw, const void *context, double tall, const char *alt,
                  const char *caption) {
    cq_page_put_gauge(
        page,
        &(cq_page_figure){
            .width = CQ_KIT_WIDTH, .height = tall, .draw = draw, .context = context, .alt = alt, .caption = caption});
}

#define LIST(page, items) cq_page_list(page, sizeof(items) / sizeof(items)[0], items, false)

/* ---- before ------------------------------------------------------------------------------------------------------ */

/* Sources: 29 CFR 1910.1053, HSE EH40, 1910.126, 1910.133, ANSI Z87.1, ASTM E407; the rest common practice. */
static void tell_cautions(cq_page *page) {
    const char *const items[] = {
        "Hot oil burns: submerge fast and whole, keep the bath at least 28\u00a0°C (50\u00a0°F) below its flash point "
        "(29 CFR "
        "1910.126), a lid and a class B extinguisher at hand, no water in it or under it. Damp clay or a wet coupon in "
        "hot oil throws the bath.",
        "Coupons as quenched are brittle and can fly apart, above all where they are snapped or ground: eye and face "
        "protection (29 CFR 1910.133, ANSI Z87.1), break them wrapped in a thick cloth in a vice.",
        "Steam and spitting water scald: gloves, apron, face shield, nobody beside the bath.",
        "Clay, stone powder and their dust hold silica, which scars lungs: mix and scrape wet, or wear a respirator "
        "(29 "
        "CFR 1910.1053, HSE EH40). Never sweep dry.",
        "Fires give carbon monoxide, which has no smell: work where the air moves, with an alarm.",
        "Etchants burn skin and eyes and give off fumes: acid into liquid and never the other way, gloves, goggles, "
        "moving air (ASTM E407); keep them labelled and locked away.",
        "A damp thermocouple probe can spit when it is heated: dry its cement slowly. Mains-powered loggers stay away "
        "from "
        "water baths.",
        cq_caution_sentence(CQ_CAUTIONS - 1)};
    cq_page_section(page, "mind", "Before you begin");
    cq_page_list(page, sizeof items / sizeof items[0], items, true);
}

static void tell_order(cq_page *page) {
    static const char *const heads[] = {"make", "word in the file", "what it tells", "time"};
    static const double widths[] = {2.2, 1.3, 3.2, 1.0};
    static const char *const cells[] = {"Stepped-clay coupon",
                                        "stepped-clay",
                                        "how well your dry clay conducts: the thickness that just stops hardening",
                                        "an evening",
                                        "Bare wedge",
                                        "wedge",
                                        "how fast this bar turns, and how much your bath draws",
                                        "an hour",
                                        "Wedge of the same bar in oil",
                                        "wedge",
                                        "keeps the bar apart from the bath",
                                        "an hour",
                                        "Etched line at stations",
                                        "line",
                                        "everything at once, on the blade you make",
                                        "with a blade",
                                        "Hardness readings",
                                        "hardness",
                                        "hardness of this bar's martensite; whether the body turned as the plan says",
                                        "minutes",
                                        "Hiss of a bare plate",
                                        "film",
                                        "when the vapour film goes: wetting and strength of the bath",
                                        "minutes",
                                        "Rise of the curve",
                                        "rise",
                                        "little alone; it checks the rest",
                                        "minutes",
                                        "Thermocouple log",
                                        "a file of its own",
                                        "the whole bath, degree by degree",
                                        "a day"};
    cq_page_section(page, "order", "What to make first");
    cq_page_text(page,
                 "One bar, one clay, one bath. Take all coupons from the bar the blades come from, coat them from "
                 "one bowl, quench them on one day as the plan says: heat, hold, seconds of air, bath temperature. "
                 "What was otherwise goes into the file as a change. The first two tell most.");
    cq_page_put_table(page, &(cq_page_table){.caption = "Coupons and readings",
                                             .columns = 4,
                                             .rows = sizeof cells / sizeof cells[0] / 4,
                                             .heads = heads,
                                             .cells = cells,
                                             .widths = widths});
}

/* ---- clay -------------------------------------------------------------------------------------------------------- */

static void tell_stepped(cq_page *page) {
    static const char *const steps[] = {
        "Cut a plate 80 x 25 mm (3 1/8 x 1 in) from the bar, as thick as the blade is where the line shall lie; grind "
        "both "
        "faces alike. Drill a wire hole at the thick end. Normalise it as you do the blades.",
        "Scratch a line across every 10 mm. Lay the clay in steps, both faces alike: 0.1, 0.2, 0.3, 0.4, 0.5, 0.7, 1.0 "
        "and "
        "1.5 mm dry (0.004, 0.008, 0.012, 0.016, 0.020, 0.028, 0.040, 0.060 in), thin ones from several washes. Leave "
        "the "
        "long edges bare of lumps.",
        "When it is dry, measure over clay and plate with a caliper at three places of every step; half of what is "
        "more "
        "than the plate is the clay. Write it down before the fire.",
        "Heat, hold and quench it as the plan says, wire first, all of it at once. Brush the clay off under water.",
        "Draw a sharp file along the face, from thin clay to thick, light and even: where it stops skating and bites, "
        "hardening stops. Better: grind the face 0.2 mm, polish, etch, find the line.",
        "value: the clay there; between two steps, their mean, and error: half their difference. thickness: of the "
        "plate."};
    cq_page_section(page, "stepped-clay", "Stepped-clay coupon");
    figure(page, cq_kit_stepped_clay, CQ_KIT_TALL,
           "A plate seen from its edge, 80 mm long, with eight steps of clay on both faces, from 0.1 mm on the left to "
           "the "
           "thickest on the right. The steel is dark, hardened, under the thin steps and light, soft, under the thick "
           "ones; "
           "an arrow marks the step where hardening stops.",
           "Stepped-clay coupon from its edge, thickness drawn larger. Dark steel is hard.");
    LIST(page, steps);
}

static void tell_bar(cq_page *page) {
    static const char *const heads[] = {"lines apart when dry", "dry over wet length", "drying-factor of a coat"};
    static const char *const cells[] = {"98 mm", "0.98", "0.94", "97 mm", "0.97", "0.91", "96 mm", "0.96", "0.88",
                                        "95 mm", "0.95", "0.86", "94 mm", "0.94", "0.83", "92 mm", "0.92", "0.78"};
    static const char *const steps[] = {
        "Roll a strip of the mix 130 x 25 x 5 mm on oiled glass, as wet as you lay it. Scratch two fine lines exactly "
        "100 mm "
        "(4 in) apart. Dry it slowly, turned twice, until it weighs no less an hour later.",
        "Measure between the lines. A bar shrinks in all directions; a coat that holds on the steel shrinks in "
        "thickness "
        "alone, so its factor is about the cube of that of the length (the table). If the coat cracks, the factor "
        "lies nearer to that of the length.",
        "Check it: lay a patch on a plate, read it wet with the comb and dry with a caliper. Dry over wet is the "
        "factor.",
        "Write it into the plan's clay:  mix: {from: stone-charcoal-clay, drying-factor: 0.88}  Then wet: true takes "
        "wet "
        "thicknesses, and lay says how thick to lay it wet."};
    cq_page_section(page, "shrinkage", "Shrinkage bar");
    figure(page, cq_kit_bar, CQ_KIT_TALL,
           "Above, a strip of wet clay with two scratched lines 100 mm apart. Below, the same strip dry: shorter and "
           "narrower, the lines closer together.",
           "Shrinkage bar, wet and dry. The dry one is drawn 4.5 % shorter.");
    LIST(page, steps);
    cq_page_put_table(page, &(cq_page_table){.caption = "From the bar to the coat (the cube)",
                                             .columns = 3,
                                             .rows = 6,
                                             .heads = heads,
                                             .cells = cells,
                                             .numbers = true});
}

static void tell_combs(cq_page *page) {
    static const char *const steps[] = {
        "Print this page on stiff paper at 100 % (\"actual size\", no fitting to the page) and measure both bars "
        "below. If "
        "they are off, the combs are: print again.",
        "Glue the print on brass or stainless sheet of 0.5 mm (0.020 in), saw the slots, file the feet of one end flat "
        "on "
        "glass, then each tooth back until a feeler leaf of its number just slides under it while the feet stand on "
        "the "
        "glass. The print alone is good to about 0.2 mm; the leaf decides.",
        "Press the comb straight down through the wet clay until both feet stand on the steel, lift it straight off. "
        "The "
        "clay is thicker than the last tooth it wetted and thinner than the next. Wipe, smooth the mark over.",
        "Wet is not dry: multiply by the drying-factor. Every tooth is a step that lay counts in: 0.25 mm, or 1/64 in "
        "with "
        "--units us."};
    cq_page_section(page, "comb", "Thickness comb for wet clay");
    LIST(page, steps);
    gauge(page, cq_kit_scales, NULL, CQ_KIT_SCALES_TALL,
          "Two bars to measure: the upper is 100 mm long with ticks every 10 mm, the lower 4 inches with ticks "
          "every half "
          "inch.",
          "Measure these before you trust the combs. A screen is no ruler.");
    gauge(
        page, cq_kit_comb_draw, &CQ_KIT_COMB_MM, CQ_KIT_COMB_TALL,
        "Outline of a plate with teeth at both ends between two feet. Teeth of the lower end stand back from the feet "
        "by 0.25, 0.50, 0.75, 1.00, 1.25 and 1.50 mm, those of the upper end by 1.75, 2.00, 2.25, 2.50, 2.75 and 3.00 "
        "mm.",
        "Comb in millimetres, true size on paper.");
    gauge(page, cq_kit_comb_draw, &CQ_KIT_COMB_INCH, CQ_KIT_COMB_TALL,
          "The same plate in inches: teeth of the lower end stand back by 1/64 to 6/64 inch, those of the upper end by "
          "7/64 to 12/64 inch.",
          "Comb in 64ths of an inch, true size on paper.");
}

/* ---- steel ------------------------------------------------------------------------------------------------------- */

static void tell_wedge(cq_page *page) {
    static const char *const steps[] = {
        "Grind a wedge from the bar: 60 mm long, 60 mm wide, 1 mm at one end, 12 mm at the other (2 3/8 x 2 3/8 in, "
        "3/64 to "
        "1/2 in). For oil or shallow steel 1 to 6 mm is better. Round no edges; leave the scale the heat gives it.",
        "Bare, no clay. Heat and quench it as the plan says, flat side upright, all of it at once.",
        "Saw it along its length with a cooled disc, or snap it, wrapped. Grain of the hard end is fine and silky, the "
        "soft "
        "core fibrous or coarse. Better: polish the middle plane and etch, or read hardness along it.",
        "value: thickness of the wedge where its middle just stopped being hard: half martensite, about 52 to 55 HRC "
        "in a "
        "steel of 0.8 % carbon (common practice, no source). If it is hard all along, the wedge was too thin and tells "
        "only "
        "that; make a thicker one."};
    cq_page_section(page, "wedge", "Bare wedge");
    figure(page, cq_kit_wedge, CQ_KIT_TALL,
           "A wedge cut along its length, thin at the left. It is dark, hard, through its whole thickness up to a "
           "place where "
           "a light, soft core begins; an arrow across the wedge there says that this thickness is the value.",
           "Bare wedge, cut along its middle. Dark is hard.");
    LIST(page, steps);
}

static void tell_stations(cq_page *page) {
    static const char *const heads[] = {"station", "line above the edge", "height of blade", "spine", "edge, HRC"};
    static const char *const cells[] = {"heel", "", "", "", "", "middle", "", "", "", "", "tip", "", "", "", ""};
    static const char *const steps[] = {
        "Before the quench: mark heel, middle and tip with a punch on the spine. Measure height, spine and edge there.",
        "After temper: polish to 1000 grit or finer, across the blade; etch a minute, neutralise, dry. Nearly upright "
        "light "
        "shows the line.",
        "Measure from the edge flat as it was before sharpening up to the middle of the bright band, on both faces. "
        "Caliper points scratch: read by a rule under a lens if the blade is to be sold, and say method: eye.",
        "One item to a station. Where the spine differs from the plan's, change: says so; where the blade is lower "
        "too, copy "
        "the plan, give it that section and its clay, and name it in plan:."};
    cq_page_section(page, "stations", "Etched line at stations");
    figure(
        page, cq_kit_stations, CQ_KIT_TALL,
        "Side of a blade with its spine above. Three dashed lines across it are named heel, middle and tip; at each an "
        "arrow measures from the edge up to the etched line.",
        "Stations of a blade.");
    LIST(page, steps);
    cq_page_put_table(page, &(cq_page_table){.caption = "To write in at the bench",
                                             .columns = 5,
                                             .rows = 3,
                                             .heads = heads,
                                             .cells = cells,
                                             .blank = true});
}

static void tell_readings(cq_page *page, kit *k) {
    static const char *const heads[] = {"method", "line, rise", "coupons", "hardness", "times"};
    static const double LENGTH_M = 10e-3, HARD_HV = 746.0; /* any will do: shares and points are told */
    const char *cells[CQ_METHODS * 5];
    for (int m = 0; m < CQ_METHODS; m++) {
        const cq_method method = (cq_method)m;
        char(*to)[24] = &k->cells[5 * m];
        const double length = cq_method_error(method, CQ_EVIDENCE_LINE, LENGTH_M),
                     coupon = cq_method_error(method, CQ_EVIDENCE_WEDGE, LENGTH_M),
                     hard = cq_method_error(method, CQ_EVIDENCE_HARDNESS, HARD_HV),
                     time = cq_method_error(method, CQ_EVIDENCE_FILM, 1.0);
        snprintf(to[0], sizeof to[0], "%s", cq_method_word(method));
        snprintf(to[1], sizeof to[1], length > 0.0 ? "%.3g mm (%.3f in)" : "-", 1e3 * length, length / 0.0254);
        snprintf(to[2], sizeof to[2], coupon > 0.0 ? "%.0f %%" : "-", 100.0 * coupon / LENGTH_M);
        snprintf(to[3], sizeof to[3], hard > 0.0 ? "%.1f HRC" : "-",
                 cq_hardness_HRC(HARD_HV + 0.5 * hard) - cq_hardness_HRC(HARD_HV - 0.5 * hard));
        snprintf(to[4], sizeof to[4], time > 0.0 ? "%.1f s" : "-", time);
        for (int c = 0; c < 5; c++) {
            cells[5 * m + c] = to[c];
        }
    }
    static const char *const steps[] = {
        "Hardness: three readings beside one another on ground, cooled steel, their mean as value, and half their "
        "spread or "
        "the block's error, whichever is more, as error. Below 20 HRC read Vickers.",
        "Hiss: hold a bare plate of 5 mm still in the bath. It goes in with a rush, then stands nearly silent behind "
        "its "
        "film; the crackle that follows is the collapse. Film it with sound and count from going under.",
        "Rise: lay the blade on a straight rule before and after the quench, spine up; the value is what changed. "
        "Toward the "
        "edge it is below 0."};
    cq_page_section(page, "readings", "Hardness, hiss, rise, and how well each is read");
    LIST(page, steps);
    cq_page_put_table(page,
                      &(cq_page_table){.caption = "What tune takes for the error where none is stated (one standard "
                                                  "deviation; common practice, no source)",
                                       .columns = 5,
                                       .rows = CQ_METHODS,
                                       .heads = heads,
                                       .cells = cells});
}

/* ---- the log ----------------------------------------------------------------------------------------------------- */

static void tell_log(cq_page *page) {
    static const char *const steps[] = {
        "Turn a round of 12.5 mm (1/2 in), 60 mm (2 3/8 in) long, from stainless or alloy 600: a steel that does not "
        "harden, or its own heat is taken for the bath's. Drill 1.6 mm from one end, its wall 1 mm below the face and "
        "never "
        "more than 1.5 mm, half-way along. In the middle of the round water cannot be told, only oil.",
        "Sheathed type K, 1 mm or thinner. Press the tip to the end of its hole with a little cement that conducts; an "
        "air "
        "gap is a lag that nobody knows. Measure the depth on an X-ray, or on a twin that you cut open.",
        "Lag: let the bare tip stand in ice water, then put it into boiling water while logging at 50 a second or "
        "faster. "
        "The time until 63 % of the way is the lag; in its hole it is rather shorter. Three times, the middle one.",
        "Rate: 50 readings a second or more. From before the probe goes under until it is within 50 K of the bath. Cut "
        "off "
        "what lies before it went under. Gaps are faults: do not fill them.",
        "Heat the probe through to 850\u00a0°C (1562\u00a0°F), ten minutes; a second and no more of air; hold it "
        "still, as you hold a "
        "blade. Note the bath's temperature before. Three logs: they differ more than one would think."};
    cq_page_section(page, "log", "Thermocouple log of your bath");
    figure(page, cq_kit_probe, CQ_KIT_TALL,
           "A round 60 mm long and 12.5 mm thick, seen from the side. A thin hole runs in from its right end close "
           "below the "
           "upper face; at its end half-way along sits the bead, its depth measured from the face. Wires leave to the "
           "right; "
           "the hole is sealed with fire cement.",
           "Probe with a bead near its face.");
    LIST(page, steps);
    cq_page_text(page, "The log begins so; comma, semicolon or tab between the columns, a point before decimals:");
    cq_page_put_file(page, "log.csv", "time (s),temperature (°C)\n0.00,849.5\n0.02,849.1\n");
    cq_page_text(page, "Its plan says what it was taken in:");
    cq_page_put_file(page, "probe.yaml",
                     "format: clayquench-plan 1\ntitle: Probe in my water\nblade: probe-round\nsteel: stainless\n"
                     "start: 850 °C\nsteps:\n  - {in: water, at: 22 °C, for: 30 s}\n"
                     "record: {probes: [{name: bead, depth: 1 mm, lag: 30 ms}]}\n");
    cq_page_text(page, "Then:  clayquench tune probe.yaml log.csv --bath my-water -o tuned");
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

static void tell_file(cq_page *page, const kit *k) {
    cq_page_section(page, "file", "The evidence file");
    cq_page_text(page,
                 "One file for all but the log. 'clayquench kit -o evidence.yaml' writes it too. Fill it in, then:  "
                 "clayquench tune PLAN evidence.yaml -o tuned  It shows what your evidence tells, what it cannot "
                 "tell, what contradicts, and writes profiles for your plans.");
    cq_page_put_file(page, "evidence.yaml", k->evidence);
    static const char *const limits[] = {
        "A reading that is wrong by more than its error pulls everything else along: state errors honestly, and leave "
        "out "
        "what you doubt.",
        "Coupons tell of the bar, bowl and bath they came from. A new bowl of clay wants a new stepped coupon.",
        "All of how these are made and read is common practice without source, measures were chosen here; none of it "
        "was "
        "tried by a laboratory."};
    cq_page_section(page, "limits", "What coupons cannot tell");
    LIST(page, limits);
}

static void write_page(cq_page *page, void *context) {
    kit *k = context;
    cq_page_title(
        page, "A kit for the shop, for evidence that clayquench tune reads",
        "Coupons, combs and logs that make the model yours",
        "An evening's coupons tell more of your clay, your bar and your bath than any table. How to make them, "
        "how to read them, and the file to write them in.");
    tell_cautions(page);
    tell_order(page);
    tell_stepped(page);
    tell_wedge(page);
    tell_bar(page);
    tell_combs(page);
    tell_stations(page);
    tell_readings(page, k);
    tell_log(page);
    tell_file(page, k);
}

cq_status cq_kit_page(cq_page_medium medium, cq_paper paper, unsigned char **bytes, size_t *length, cq_page_gaps *gaps,
                      cq_error *error) {
    kit k = {NULL, {{0}}};
    const cq_page_wish wish = {.medium = medium,
                               .paper = paper,
                               .title = "Coupons, combs and logs · clayquench kit",
                               .description = "How a shop makes and reads what clayquench tune learns from",
                               .foot = CQ_PAGE_FOOT};
    cq_status status = cq_kit_evidence(&k.evidence);
    status = status < 0 ? status : cq_page_make(&wish, write_page, &k, bytes, length, gaps);
    cq_memory_free(k.evidence);
    return status < 0 ? cq_error_say(error, status, "", "", "", "%s", cq_status_sentence(status)) : CQ_OK;
}
