#!/bin/bash
# The lay command: the plan it writes meets the wish when it is run, by the rules the layout was made by; the same bytes on any
# number of threads and when gone on with; what cannot be reached is refused with the reason; what was typed wrongly is told.
. "$(dirname "$0")/prelude.sh"
. "$top/tests/cli/small_knife.sh"
write_small_knife small.yaml

expect_exit 0 "$program" lay small.yaml --line "7 mm" --samples 10 --threads 2 -o out
expect_empty err.txt
[ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "wider than a screen: $(cat out.txt)"
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'clay for a line at 7 mm, within 0.5 mm'
expect_text words.txt 'of 100 blades [0-9.]+ meet all of it \([0-9.]+ to [0-9.]+\)'
expect_text words.txt 'an estimate, not a clearance'
for file in study.h5 lay.json plan.yaml lay-hardness.svg lay-hardness.png lay-along.pdf; do
    [ -s "out/$file" ] || fail "no $file"
done

# A fresh run of the plan written; the layout keeps to the rules; what was not the coat's stands as it stood.
expect_exit 0 "$program" quench out/plan.yaml --json
cp out.txt run.json
python3 - out/lay.json run.json out/plan.yaml <<'CHECK' || fail "the plan written is not what was found"
import json, re, sys
lay, run = json.load(open(sys.argv[1])), json.load(open(sys.argv[2]))
want = ["program", "title", "wanted", "found", "reason", "sentence", "layouts", "curve_rise_mm", "crack_class", "nearest", "tried",
        "changes", "cautions"]
assert sorted(lay) == sorted(want), sorted(lay)
best = lay["layouts"][0]
l, line = best["layout"], run["line"]["surface_mm"]
assert lay["found"] and abs(line - 7) <= 0.3 + 1e-9, line
assert abs(line - best["as_planned"]["line_mm"]) < 1e-4 and run["line"]["verdict"] == "hard edge, soft back"
on_step = lambda x: abs(x / 0.25 - round(x / 0.25)) < 1e-6
assert on_step(l["body_mm"]) and on_step(l["ramp_mm"]) and on_step(l["rim_left_mm"]) and l["rim_left_mm"] == l["rim_right_mm"]
assert 0.5 <= l["body_mm"] <= 3 and l["ramp_mm"] >= l["body_mm"] - l["wash_mm"] - 1e-9  # 45 degrees
assert 0 <= best["chance"]["low"] <= best["chance"]["share"] <= best["chance"]["high"] <= 1 and best["chance"]["n"] == 10
assert round(best["chance"]["share"] * 10) + sum(best["missed"].values()) == 10
text = open(sys.argv[3]).read()
assert "mix: stone-charcoal-clay # fine" in text and "# kept" in text and "steps: [{in: air, for: 1 s}" in text
assert text.count("coat:") == 2 and text.count("thickness:") == len(re.findall(r"^    - \{at", text, re.M))  # one in tolerances
CHECK

# Kept runs: gone on with after a kill, whole again, the same bytes on one thread.
cp out/study.h5 whole.h5
expect_exit 0 "$program" lay small.yaml --line "7 mm" --samples 10 -o out --json # only read
cmp -s out.txt out/lay.json || fail "--json is not lay.json"
cmp -s whole.h5 out/study.h5 || fail "a complete study was changed"
"$program" lay small.yaml --line "7 mm" --samples 10 --threads 1 -o one >/dev/null 2>&1 &
pid=$!
sleep 0.4
kill -9 "$pid" 2>/dev/null
wait "$pid" 2>/dev/null
expect_exit 0 "$program" lay small.yaml --line "7 mm" --samples 10 --threads 1 -o one --quiet
expect_empty out.txt
expect_exit 0 "$program" lay small.yaml --line "7 mm" --samples 10 --threads 1 -o one --quiet --json # kept runs, read
cmp -s out.txt one/lay.json || fail "quiet takes the JSON too"
cmp -s whole.h5 one/study.h5 || fail "killed and gone on with, the study differs"
cmp -s out/lay.json one/lay.json || fail "threads show in the answer"
expect_exit 4 "$program" lay small.yaml --line "6 mm" --samples 10 -o out # another wish in the same folder
expect_text err.txt 'holds another study'

# Free: the bath's temperature and the pull time stand in the plan written.
expect_exit 0 "$program" lay small.yaml --line "5/16 in" --samples 5 --units us --free bath-temperature,pull-time -o free
expect_exit 0 "$program" check free/plan.yaml
python3 - free/lay.json free/plan.yaml <<'CHECK' || fail "free"
import json, re, sys
l = json.load(open(sys.argv[1]))["layouts"][0]["layout"]
text = open(sys.argv[2]).read()
at, pull = float(re.search(r"in: water, at: ([0-9.]+)", text)[1]), float(re.search(r"at: [0-9.]+ °C, for: ([0-9.]+)", text)[1])
assert abs(at - l["bath_C"]) < 1e-6 and abs(pull - l["pull_s"]) < 1e-6
CHECK

# Not reachable: exit 1, the reason in words, and what would have to change.
sed 's/steel: 1084/steel: O1/' small.yaml >o1.yaml
expect_exit 1 "$program" lay o1.yaml --line "10 mm" --samples 5
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'Not reachable: O1 hardens right through in this bath under any clay'
expect_text words.txt 'What would have to change'
expect_text words.txt 'steel 1084: line (9\.[5-9]|10(\.[0-5])?) mm'
[ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
sed 's/edge: 1 mm, spine: 3 mm/edge: 8 mm, spine: 9 mm/; s/water, at: 40/slow-oil, at: 40/g' small.yaml >thick.yaml
few=(--samples 5 --thinnest "1.75 mm" --thickest "2 mm")
expect_exit 1 "$program" lay thick.yaml --line "3 mm" "${few[@]}" --json
expect_text out.txt '"reason": "no-hard-edge"'
expect_exit 1 "$program" lay small.yaml --line "7 mm" "${few[@]}" --spine "200 HV" --json
expect_text out.txt '"reason": "hard-spine"'
expect_text out.txt 'no softer than [0-9]+ HV'
expect_exit 1 "$program" lay small.yaml --line "7 mm" "${few[@]}" --edge "67 HRC" --json
expect_text out.txt '"reason": "soft-edge"'

# A wish in the words of the trade, told in the scale it was asked in; a cooler temper is one of the ways out.
expect_exit 0 "$program" lay small.yaml --line "7 mm" "${few[@]}" --edge "60 HRC at least" --spine "45 HRC at most"
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'edge at least 697 HV \(60\.0 HRC\), spine at most [0-9]+ HV \(45\.0 HRC\)'
sed 's/^heat:/temper: [{temperature: 240 °C, for: 1 h}]\nheat:/' small.yaml >tempered.yaml
expect_exit 1 "$program" lay tempered.yaml --line "7 mm" "${few[@]}" --edge "61 HRC at least"
expect_text out.txt '^  temper at 160 °C: line (6\.[5-9]|7\.[0-5]) mm'
# Met as planned and hardly ever as it comes, it is said.
expect_exit 0 "$program" lay small.yaml --line "7 mm" --within "0.1 mm" --samples 20 --thinnest "1.75 mm" --thickest "2 mm" --json
python3 -c 'import json; c = json.load(open("out.txt"))["layouts"][0]["chance"]["share"]; assert c < 0.2, c' || fail "not seldom"
expect_exit 0 "$program" lay small.yaml --line "7 mm" --within "0.1 mm" --samples 20 --thinnest "1.75 mm" --thickest "2 mm"
expect_text out.txt 'Met as planned and seldom as it comes'

# What was typed wrongly, before anything is run.
bad() { # PATTERN OPTION...
    local pattern=$1
    shift
    expect_exit 2 "$program" lay small.yaml "$@"
    expect_text err.txt "$pattern"
    expect_empty out.txt
}
bad 'line is missing'
bad '40 mm; expected above 0 and below 20 mm, the height of the blade' --line "40 mm"
bad 'expected above 0 and below 20 mm' --line "-2 mm"
bad "line '8 s'" --line "8 s"
bad "line '8'" --line 8
bad "edge 'hard'; expected a hardness" --line "8 mm" --edge hard
bad "edge '60 HRC at most'; expected a hardness.*at least" --line "8 mm" --edge "60 HRC at most"
bad "spine '60 HRC maybe'; expected a hardness.*at most" --line "8 mm" --spine "60 HRC maybe"
bad "line '8 mm at heel, 6 mm at tip'; expected one height" --line "8 mm at heel, 6 mm at tip"
bad "edge '90 HRC'; expected a hardness" --line "8 mm" --edge "90 HRC"
bad "free 'steel'; expected bath-temperature" --line "8 mm" --free steel
bad 'within: 0 mm; expected' --line "8 mm" --within "0 mm"
bad 'step: 5 mm; expected' --line "8 mm" --step "5 mm"
bad 'samples: 4; expected 5' --line "8 mm" --samples 4
bad 'thinnest' --line "8 mm" --thinnest "4 mm" --thickest "2 mm"
write_plate plate.yaml
expect_exit 3 "$program" lay plate.yaml --line "2 mm"
expect_text err.txt 'a plate or a round'
sed '/^clay:/,/spine: 2 mm/d' small.yaml >bare.yaml
expect_exit 3 "$program" lay bare.yaml --line "7 mm"
expect_text err.txt 'no clay'
finish
