/* lesson_water.c - the lesson on clay and water: one knife with two edges, how water takes heat from bare and clayed
 * faces, why fast is hard, how thin is thin.
 */
#include "report/lesson_telling.h"

#include <math.h>

/* ---- 1: two edges ------------------------------------------------------------------------------------------------ */

static void put_section(cq_page *page, const cq_teaching *t, cq_lesson_part part, const char *caption) {
    const cq_result *r = cq_lesson_result(t, part, 0);
    const cq_page_figure figure = {
        CQ_FIGURE_WIDTH,
        cq_section_figure_tall(r),
        cq_section_figure,
        r,
        cq_telling_say(
            (cq_telling *)&t->telling,
            "Cross-section of the knife lying on its side, edge to the left, coloured by hardness: %.0f HV at "
            "the edge, %.0f HV at the spine; %s.",
            r->edge.HV, r->spine.HV, cq_verdict_words(r->verdict)),
        caption,
        true};
    cq_page_put_figure(page, &figure);
}

static void tell_knives(cq_page *page, cq_teaching *t) {
    static const char *const heads[] = {"knife", "edge", "spine", "line above the edge", "what it is"};
    const char *cells[10];
    for (size_t k = 0; k < 2; k++) {
        const cq_lesson_part part = k == 0 ? CQ_LESSON_KNIFE : CQ_LESSON_BARE;
        cq_text line = {NULL, 0, 0, false};
        cq_length_add(&line, &t->telling, cq_lesson_key(t, part, 0, "line.surface_mm"));
        const char **row = cells + 5 * k;
        row[0] = k == 0 ? "washed edge" : "bare edge";
        row[1] = cq_lesson_hardness(t, cq_lesson_key(t, part, 0, "edge"));
        row[2] = cq_lesson_hardness(t, cq_lesson_key(t, part, 0, "spine"));
        row[3] = cq_telling_keep(&t->telling, &line);
        row[4] = cq_verdict_words(cq_lesson_result(t, part, 0)->verdict);
    }
    const cq_page_table table = {
        .caption = "As quenched", .columns = 5, .rows = 2, .heads = heads, .cells = cells, .widths = NULL};
    cq_page_section(page, "knives", "1. One knife, two edges");
    cq_lesson_say(
        page, "Two sloyd knives of the same steel come out of the same fire into the same warm water. Both carry two "
              "millimetres of clay on the back (tsuchi-oki: laying the clay). One has a wash of thin clay on its edge "
              "besides, 0.05\u00a0mm, half a sheet of paper; the other's edge is bare. Which one will cut?");
    put_section(page, t, CQ_LESSON_KNIFE, "With a wash on the edge.");
    put_section(page, t, CQ_LESSON_BARE, "The same, edge bare. Colours as before.");
    cq_page_put_table(page, &table);
    cq_lesson_say(
        page, "Clay keeps heat in: that is why the back stays soft. How, then, can clay make an edge cool faster than "
              "no clay at all?");
    cq_lesson_plan(page, t, CQ_LESSON_KNIFE);
    cq_lesson_plan(page, t, CQ_LESSON_BARE);
    cq_text answer = {NULL, 0, 0, false};
    cq_text_add(&answer,
                "Nothing else: steel, section, heat, water and the clay on the back are the same. Lay the two "
                "plans side by side: beside the title and what is recorded three lines differ, all of them clay on "
                "the edge.");
    cq_lesson_ask(page, t, "What differs between the two knives but the wash? Look into both plans.", &answer);
}

/* ---- 2: boiling -------------------------------------------------------------------------------------------------- */

static double largest_flux(const cq_face_path *p, double from_s) {
    double most = 0.0;
    for (size_t i = 0; i < p->n; i++) {
        most = p->time_s[i] > from_s ? fmax(most, p->flux_W_m2[i]) : most;
    }
    return most;
}

static void table_faces(cq_page *page, cq_teaching *t) {
    static const char *const heads[] = {"plate",           "face after 1 s",        "heat drawn after 1 s",
                                        "most heat drawn", "middle, 750 to 500 °C", "comes out"};
    const char *cells[6 * CQ_LESSON_RUNS];
    const size_t n = t->lesson->n[CQ_LESSON_PLATE];
    for (size_t k = 0; k < n; k++) {
        const cq_lesson_run *one = &t->lesson->run[CQ_LESSON_PLATE][k];
        const double begin = cq_lesson_wetted_s(one->result);
        const double face_C = cq_path_face_K(&one->path, begin + 1.0) - 273.15;
        const char **row = cells + 6 * k;
        row[0] = cq_lesson_coat_m(one) > 0.0 ? cq_telling_say(&t->telling, "%s of clay", one->value) : "bare";
        row[1] = cq_telling_say(&t->telling, "%.0f\u00a0°C (%.0f\u00a0°F)", face_C, 1.8 * face_C + 32.0);
        row[2] = cq_telling_say(&t->telling, "%.2g\u00a0MW/m²", 1e-6 * cq_path_flux_W_m2(&one->path, begin + 1.0));
        row[3] = cq_telling_say(&t->telling, "%.2g\u00a0MW/m²", 1e-6 * largest_flux(&one->path, begin));
        row[4] = cq_telling_say(&t->telling, "%s\u00a0s",
                                cq_lesson_number(t, CQ_AS_TENTH, cq_lesson_key(t, CQ_LESSON_PLATE, k, "fall_s")));
        row[5] = cq_lesson_hardness(t, cq_lesson_key(t, CQ_LESSON_PLATE, k, "body"));
    }
    const cq_page_table table = {.caption = "A plate of 3 mm in water of 55 °C; seconds counted from the water on",
                                 .columns = 6,
                                 .rows = n,
                                 .heads = heads,
                                 .cells = cells,
                                 .numbers = true};
    cq_page_put_table(page, &table);
}

static void tell_boiling(cq_page *page, cq_teaching *t) {
    cq_page_section(page, "boiling", "2. Why does water cool bare steel slowly?");
    cq_lesson_say(
        page, "Put aside the knife and take a plate as thick as the knife is: bare, washed, and thickly clayed. The "
              "chart follows the outermost face of each, the one that the water sees, from the moment it goes in. "
              "Each dot is a moment, told in seconds; it moves from right (hot) to left.");
    cq_lesson_chart(
        page, t, cq_lesson_boiling,
        "Chart: heat drawn from the plate's outermost face, on a logarithmic scale, against that face's "
        "temperature, second by second. The bare face stays hot under steam for seconds and gives off little; the "
        "washed face is wetted at once and gives off much more; the thickly clayed face is wetted, cold, and "
        "gives off little.",
        "Paths of the outermost face, from the run itself. Up: more heat drawn.");
    table_faces(page, t);
    cq_lesson_say(
        page,
        "Red-hot bare steel never touches the water. A film of steam stands between them, and steam is a poor "
        "carrier of heat: the path creeps along on the right, far below what it reaches later. Only when the face "
        "has cooled far enough does the film collapse; water boils right on the steel, and the path leaps "
        "upward.");
    cq_lesson_say(
        page, "The wash changes where this happens. Clay conducts badly: a thin layer of it gives up its own heat in a "
              "blink, and its outer face is cold enough to be wetted while the steel underneath still glows. There is "
              "no film to wait for. The heat has to pass the wash, but 0.05\u00a0mm is quickly passed.");
    cq_lesson_say(
        page,
        "Two millimetres are not. The water wets that face too, and could take far more than it is given: the clay "
        "lets little through.");
    cq_lesson_plan(page, t, CQ_LESSON_PLATE);
    cq_text answer = {NULL, 0, 0, false};
    cq_text_add(&answer, "The film of steam (the smith hears it: the hiss comes late). Anything that breaks it earlier "
                         "helps: colder water, salt in it, moving the blade, or a layer that is wetted at once.");
    cq_lesson_ask(
        page, t,
        "What holds the heat in the bare plate during its first seconds in water, and what else but clay could "
        "end it sooner?",
        &answer);
    cq_text_add(&answer,
                "Compare the second and the third column: its face is as cold as the washed one's or colder, but "
                "the heat drawn is a small part. It is not the water that is slow, it is the clay.");
    cq_lesson_ask(page, t, "The thickly clayed face is wetted as well. Why does its plate stay soft?", &answer);
}

/* ---- 3: why fast is hard ----------------------------------------------------------------------------------------- */

static void tell_cooling(cq_page *page, cq_teaching *t) {
    cq_text text = {NULL, 0, 0, false};
    cq_page_section(page, "cooling", "3. Why is fast hard?");
    cq_text_add(&text, "At heat the steel is austenite. Below ");
    cq_temperature_add(&text, &t->telling, "plate.0.soak.Ae1_C");
    cq_text_add(&text, " (Ae1) it wants to turn into something else, but that takes time, and how much depends on the "
                       "temperature: the grey curves say when 1, 50 and 99\u00a0%% would have turned if it were held "
                       "there. They have a nose at about 550\u00a0°C (1020\u00a0°F), where it goes fastest.");
    cq_lesson_say(page, cq_telling_keep(&t->telling, &text));
    cq_lesson_chart(
        page, t, cq_lesson_cooling,
        "Chart: temperature of the plate's middle against time on a logarithmic scale over the transformation "
        "curves of the steel. The washed plate passes left of the nose, down to martensite; the bare one and the "
        "thickly clayed one run into the curves.",
        "The middle of the three plates over the steel's transformation curves.");
    cq_text_add(&text, "A plate that gets past the nose before the first curve reaches ");
    cq_temperature_add(&text, &t->telling, "plate.0.soak.Ms_C");
    cq_text_add(&text,
                " (Ms) as austenite and turns to martensite: hard. One that runs into the curves becomes fine "
                "pearlite (troostite): tough, and soft enough for a file. Between 750 and 500\u00a0°C this steel "
                "has to fall by ");
    cq_number_add(&text, &t->telling, CQ_AS_WHOLE, "plate.0.critical_rate_K_s");
    cq_text_add(&text,
                "\u00a0°C per second to harden in full. Higher up the blade is slower: there more and more turns on "
                "the way, and where half of the steel still makes it to martensite lies the hardening line (hamon).");
    cq_lesson_say(page, cq_telling_keep(&t->telling, &text));
    cq_lesson_say(
        page, "The command below draws the washed plate's curve into out/cooling.svg. Put 0\u00a0mm or 2\u00a0mm for "
              "the thickness into the plan to draw the others.");
    cq_lesson_try(page, t, CQ_LESSON_PLATE, "clayquench quench lesson-plate -o out");
    cq_text_add(&text, "About %.2f\u00a0s: 250\u00a0°C at the critical rate. The washed plate takes ",
                cq_lesson_critical_s(cq_lesson_result(t, CQ_LESSON_PLATE, 0)));
    cq_number_add(&text, &t->telling, CQ_AS_HUNDREDTH, "plate.1.fall_s");
    cq_text_add(&text, "\u00a0s, the bare one ");
    cq_number_add(&text, &t->telling, CQ_AS_TENTH, "plate.0.fall_s");
    cq_text_add(&text, "\u00a0s.");
    cq_lesson_ask(page, t, "How long may a place take from 750 to 500\u00a0°C to harden in full?", &text);
    cq_text_add(&text, "The bare curve bends down where the film has collapsed, but by then it has crossed the grey "
                       "curves: what has turned to pearlite does not turn again. The hump before it is that turning "
                       "itself, which gives off heat.");
    cq_lesson_ask(page, t, "The bare plate does cool fast in the end. Why does that not help?", &text);
}

/* ---- 4: how thin ------------------------------------------------------------------------------------------------- */

/* The thickest of the coats under which the plate still hardens in full. */
static void tell_thickest(cq_page *page, cq_teaching *t) {
    const cq_lesson_run *runs = t->lesson->run[CQ_LESSON_THICKNESS];
    const size_t n = t->lesson->n[CQ_LESSON_THICKNESS];
    const double critical_s = cq_lesson_critical_s(runs[0].result);
    size_t last = 0;
    for (size_t k = 1; k < n; k++) {
        last = runs[k].fall_s < critical_s ? k : last;
    }
    if (last > 0 && last + 1 < n) {
        cq_lesson_say(page, cq_telling_say(&t->telling,
                                           "Mind the other side of the valley: under %s this plate still hardens in "
                                           "full, under %s it does not.",
                                           runs[last].value, runs[last + 1].value));
    }
}

/* Where the wash does not decide: the bare edge in colder water. */
static void tell_colder(cq_page *page, cq_teaching *t) {
    static const char *const heads[] = {"water", "bare edge", "line above the edge", "what it is"};
    const char *cells[4 * CQ_LESSON_RUNS];
    const size_t n = t->lesson->n[CQ_LESSON_WATER];
    for (size_t k = 0; k < n; k++) {
        const char **row = cells + 4 * k;
        cq_text line = {NULL, 0, 0, false};
        cq_length_add(&line, &t->telling, cq_lesson_key(t, CQ_LESSON_WATER, k, "line.surface_mm"));
        row[0] = t->lesson->run[CQ_LESSON_WATER][k].value;
        row[1] = cq_lesson_hardness(t, cq_lesson_key(t, CQ_LESSON_WATER, k, "edge"));
        row[2] = cq_telling_keep(&t->telling, &line);
        row[3] = cq_verdict_words(cq_lesson_result(t, CQ_LESSON_WATER, k)->verdict);
    }
    const cq_page_table table = {.caption = "The knife with the bare edge, in water of other temperatures",
                                 .columns = 4,
                                 .rows = n,
                                 .heads = heads,
                                 .cells = cells,
                                 .numbers = true};
    cq_lesson_say(page,
                  "Does an edge always need the wash, then? No. Water, steel and knife of this lesson were chosen "
                  "so that it decides: warm water, in which a film lasts, and a batch with little manganese. "
                  "Here is the knife with the bare edge again, in water from cold to warm.");
    cq_page_put_table(page, &table);
    cq_lesson_plan(page, t, CQ_LESSON_WATER);
}

static void tell_thickness(cq_page *page, cq_teaching *t) {
    const cq_lesson_run *runs = t->lesson->run[CQ_LESSON_THICKNESS];
    const size_t n = t->lesson->n[CQ_LESSON_THICKNESS];
    size_t best = 1, even = n;
    for (size_t k = 1; k < n; k++) {
        best = runs[k].fall_s < runs[best].fall_s ? k : best;
    }
    for (size_t k = n; k-- > best;) {
        even = runs[k].fall_s > runs[0].fall_s ? k : even;
    }
    cq_page_section(page, "thin", "4. How thin is thin?");
    cq_lesson_say(
        page, "The same plate again, under clay of eleven thicknesses. One number tells the speed: seconds that its "
              "middle takes from 750 to 500\u00a0°C (1380 to 930\u00a0°F). Low is fast.");
    cq_lesson_chart(
        page, t, cq_lesson_thickness,
        "Chart: seconds from 750 to 500 °C against thickness of clay, both on logarithmic scales. A valley at a few "
        "hundredths of a millimetre lies far below the level of bare steel; from some tenths on the curve "
        "climbs.",
        "Each dot is a run. Below the lower dashed line the whole plate hardens in full.");
    cq_text text = {NULL, 0, 0, false};
    cq_text_add(&text, "Of these the fastest is %s: ", runs[best].value);
    cq_number_add(&text, &t->telling, CQ_AS_HUNDREDTH, "thickness.%zu.fall_s", best);
    cq_text_add(&text, "\u00a0s against ");
    cq_number_add(&text, &t->telling, CQ_AS_TENTH, "thickness.0.fall_s");
    cq_text_add(&text,
                "\u00a0s bare, %.0f times as fast. Thinner, and the film comes back. Thicker, and the clay itself "
                "begins to hold the heat",
                runs[0].fall_s / runs[best].fall_s);
    if (even < n) {
        cq_text_add(&text, "; at %s it is slower than bare steel", runs[even].value);
    }
    cq_text_add(&text, ". So thin and thick clay do opposite things: a wash hardens, a coat keeps soft.");
    cq_lesson_say(page, cq_telling_keep(&t->telling, &text));
    cq_lesson_say(
        page,
        "Another mix has its valley elsewhere. clayquench bath water --at \"55 °C\" tells it for three of them. Shops "
        "lay washes of 0.05 to 0.3\u00a0mm; where exactly the valley of a mix lies nobody has measured, as far as is "
        "known here. What stands fast is that there is one in water as warm as this.");
    tell_thickest(page, t);
    cq_lesson_plan(page, t, CQ_LESSON_THICKNESS);
    tell_colder(page, t);
    cq_text_add(&text, "It is gone: colder water holds no film for long, and bare steel then cools as fast as washed "
                       "steel. Only thicker clay slows the plate down. Try steps.1.at=20 °C, and brine.");
    cq_lesson_ask(page, t, "What becomes of the valley in water of 20\u00a0°C? Guess, then change the plan and run it.",
                  &text);
}

void cq_lesson_tell_water(cq_page *page, cq_teaching *t) {
    tell_knives(page, t);
    tell_boiling(page, t);
    tell_cooling(page, t);
    tell_thickness(page, t);
}
