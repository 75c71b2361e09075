#!/bin/bash
# quench --advise: the one change that lowers the crack index most, on the screen and in the JSON; a plan of several heats.
. "$(dirname "$0")/prelude.sh"
knife=$top/profiles/plans/sloyd-knife.yaml
expect_exit 0 "$program" quench "$knife" --advise
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'lowers it most, of [0-9]+ changes run: .* instead of .*: .*(low|medium|high), [0-9]+ MPa for [0-9]+, line [0-9.]+ mm \(an estimate\)'
[ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
awk 'length($0) > 84 { exit 1 }' out.txt || fail "wider than a screen: $(cat out.txt)"
expect_exit 0 "$program" quench "$knife" --advise --units us
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'lowers it most, .*line 0\.[0-9]+ in'
expect_exit 0 "$program" quench "$knife" --advise --json
python3 - out.txt <<'PYTHON' || fail "the advice in the JSON"
import json, sys
crack = json.load(open(sys.argv[1]))["crack"]
advice = crack["advice"]
assert set(advice) == {"change", "from", "to", "unit", "class", "index_MPa", "line_mm", "verdict", "loses_edge",
                       "hides_line", "tried"}, advice
assert advice["index_MPa"] < crack["index_MPa"] and advice["from"] != advice["to"]
tried = advice["tried"]
assert len(tried) >= 6 and {t["change"] for t in tried} >= {"bath-temperature", "edge", "rim-height", "soak-temperature"}
assert all(tried[0][key] == advice[key] for key in tried[0])
keep = [t["index_MPa"] for t in tried if not t["loses_edge"] and not t["hides_line"]]
assert keep == sorted(keep)
PYTHON
# Not asked for, or nothing to ask: null, and no line on the screen.
expect_exit 0 "$program" quench "$knife" --json
expect_text out.txt '"advice": *null'
expect_exit 0 "$program" quench long-blade --advise
grep -q 'lowers it' out.txt && fail "advice for a low class"

cat >twice.yaml <<'PLAN'
format: clayquench-plan 1
title: hardened again, and everything that can crowd its screen, under a title that would not end on the line it began on
blade: {section: flat, height: 28 mm, edge: 1.2 mm, spine: 3.2 mm, length: 110 mm, surface: scratched-across}
steel: 1095
clay:
  mix: stone-charcoal-clay
  coat: [{at: 0 mm, thickness: 0.05 mm}, {at: 8 mm, thickness: 0.05 mm}, {at: 11 mm, thickness: 2 mm}, {at: 28 mm, left: 2 mm, right: 1 mm}]
  edge: 0.05 mm
  spine: 2 mm
  lost: [{after: 4 s, from: 14 mm, to: 18 mm, face: left}]
heat: {temperature: 790 °C, hold: 2 min, structure: spheroidised-coarse}
steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, until: 60 °C}]
heats:
  - temper: [{temperature: 180 °C, for: 1 h, after: 2 h}]
    heat: {temperature: 800 °C}
    steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, for: 3 s}, {in: canola, at: 54 °C, until: 65 °C}]
temper: [{temperature: 180 °C, for: 1 h, after: 2 h}]
finish: {grind: 0.2 mm}
PLAN
for option in --units=metric --units=us; do
    expect_exit 0 "$program" quench twice.yaml --advise "${option%%=*}" "${option##*=}"
    [ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
    LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "wider than a screen: $(cat out.txt)"
done
sed -e '/lost:/d' -e 's/, {in: canola.*$/]/' -e 's/for: 3 s/until: 60 °C/' -e '/after: 2 h/d' twice.yaml >plain.yaml
sed -i 's/^    heat:/  - heat:/' plain.yaml
expect_exit 0 "$program" quench plain.yaml
expect_text out.txt '^  heat 2 of 2; before: hard edge, soft back, line [0-9.]+ mm; curve kept [-+][0-9.]+ mm$'
expect_exit 0 "$program" quench twice.yaml --json
python3 - out.txt <<'PYTHON' || fail "the heats in the JSON"
import json, sys
answer = json.load(open(sys.argv[1]))
heats = answer["heats"]
assert len(heats) == 2 and len(heats[0]["steps"]) == 2 and len(heats[1]["steps"]) == 3
assert heats[0]["tempers"] == 1 and heats[0]["temperature_C"] == 790 and heats[1]["temperature_C"] == 800
assert heats[1]["steps"] == answer["steps"] and heats[1]["line_mm"] == answer["line"]["surface_mm"]
assert abs(heats[0]["kept_mm"] - answer["curve"]["found_mm"]) < 1e-9
assert any("Hardening a blade again" in c for c in answer["cautions"])
assert any("more than an hour" in c for c in answer["cautions"])
assert any(n["code"] == "clay-lost" and n["sentence"].startswith("heat 1: ") for n in answer["notices"])
PYTHON
expect_exit 0 "$program" quench twice.yaml -o out
expect_exit 0 "$program" explain heats.0.steps.1.at
expect_text out.txt '^steps.N.at: '
finish
