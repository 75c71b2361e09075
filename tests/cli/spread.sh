#!/bin/bash
# The spread command: the same answer on any number of threads, in parts, interrupted and gone on with; its screen, JSON,
# table and files; what is told of defaults, of tolerances without use, and of what was typed wrongly.
. "$(dirname "$0")/prelude.sh"
write_small() { # a coarse blade with clay, some 2 ms a run
    cat >"$1" <<'PLAN'
format: clayquench-plan 1
title: Small knife
blade: {section: flat, height: 20 mm, edge: 1 mm, spine: 3 mm}
steel: 1084
clay:
  mix: stone-charcoal-clay
  coat: [{at: 0 mm, thickness: 0.05 mm}, {at: 6 mm, thickness: 0.05 mm}, {at: 8 mm, thickness: 2 mm}, {at: 20 mm, thickness: 2 mm}]
  edge: 0.05 mm
  spine: 2 mm
heat: {temperature: 800 °C, error: 12 K}
steps: [{in: air, for: 1 s}, {in: water, at: 40 °C, for: 2 s}, {in: air, for: 2 s}, {in: water, at: 40 °C, until: 60 °C}]
tolerances: {coat: 15 %, clay-conductivity: 20 %, nose: 20 %, time: 0.3 s}
grid: {along: 12, across: 2, clay: 2}
PLAN
}
write_small small.yaml

# One screen, and a folder whose files agree with what is printed.
expect_exit 0 "$program" spread small.yaml --samples 120 -o whole --threads 2
expect_empty err.txt
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'Hardening line \(hamon\) [0-9.]+ to [0-9.]+ mm above the edge flat in nine of ten blades'
expect_text words.txt 'as planned [0-9.]+ mm'
expect_text words.txt 'usual, not in the plan: .*edge-coat 30 %'
expect_text words.txt '120 blades, seed 1'
for file in study.h5 spread.json spread.csv spread-line.svg spread-line.png spread-line.pdf spread-tornado.svg spread-section.png; do
    [ -s "whole/$file" ] || fail "no $file"
done
[ "$(ls whole | wc -l)" -eq 12 ] || fail "other files in the folder: $(ls whole)"
expect_exit 0 "$program" spread small.yaml --samples 120 -o whole --json # complete: only read
cmp -s out.txt whole/spread.json || fail "--json is not spread.json"
cp out.txt whole.json
expect_exit 0 "$program" spread small.yaml --samples 120 -o whole --quiet
expect_empty out.txt
expect_exit 0 "$program" spread whole/study.h5 --csv
cmp -s out.txt whole/spread.csv || fail "--csv is not spread.csv"
python3 - whole.json whole/spread.csv <<'CHECK' || fail "JSON and table are not as documented"
import csv, json, sys
d = json.load(open(sys.argv[1]))
want = ["program", "title", "seed", "samples", "precision_mm", "as_planned", "inputs", "line_mm", "edge_HRC", "has_line",
        "hard_edge", "hard_body", "hard_spine", "verdicts", "on_line_mm", "on_edge_HV", "on_open_chance", "figures", "failures"]
assert sorted(d) == sorted(want), sorted(d)
rows = list(csv.DictReader(open(sys.argv[2])))
assert len(rows) == 120 == d["samples"]["done"] and d["samples"]["failed"] == 0
columns = [i["column"] for i in d["inputs"]]
for i in d["inputs"]:
    values = [float(r[i["column"]]) for r in rows]
    below = sum(v < i["centre"] for v in values)
    assert 50 <= below <= 70, (i["key"], below)
    assert i["from"] in ("plan", "heat.error", "profile", "default") and (i["from"] == "default") == (i["source"] is not None)
assert {"soak_temperature_C", "coat_mm", "pull_time_s", "manganese_wt"} <= set(columns), columns
lines = sorted(float(r["line_surface_mm"]) for r in rows if r["line_surface_mm"])
q = d["line_mm"]
assert q["n"] == len(lines) and lines[0] <= q["p5"] <= q["p50"] <= q["p95"] <= lines[-1]
middle = lines[(len(lines) - 1) // 2], lines[len(lines) // 2]
assert middle[0] - 1e-7 <= q["p50"] <= middle[1] + 1e-7 # the table has nine digits
assert abs(d["has_line"]["share"] - len(lines) / 120) < 1e-9
assert abs(sum(v["share"] for v in d["verdicts"].values()) - 1) < 1e-9
for v in d["verdicts"].values():
    assert 0 <= v["low"] <= v["share"] <= v["high"] <= 1
shares = [i["share"] for i in d["on_line_mm"]["inputs"]]
assert shares == sorted(shares, reverse=True) and abs(sum(shares) + d["on_line_mm"]["rest"] - 1) < 1e-9
slopes = {i["key"]: i for i in d["on_line_mm"]["inputs"]}
assert slopes["soak-temperature"]["per"] == 10 and slopes["pull-time"]["per_unit"] == "s"
chances = {k: d[k]["share"] for k in ("has_line", "hard_edge", "hard_body", "hard_spine")}
assert d["on_open_chance"]["of"] == min(chances, key=lambda k: abs(chances[k] - 0.5)), (d["on_open_chance"]["of"], chances)
assert abs(slopes["coat"]["per"] - 0.1) < 1e-12 and slopes["coat"]["slope"] < 0 # thicker clay, lower line
CHECK

# The same bytes on one thread; in three parts; after an interruption; and read back without the plan.
expect_exit 0 "$program" spread small.yaml --samples 120 -o single --threads 1 --json
cmp -s out.txt whole.json || fail "one thread gives another answer"
cmp -s single/study.h5 whole/study.h5 || fail "one thread gives another file"
for part in 1 2 3; do
    expect_exit 0 "$program" spread small.yaml --samples 120 -o "part$part" --part $part/3
    expect_text out.txt "Part $part of 3"
done
expect_exit 4 "$program" spread part1/study.h5
expect_text err.txt 'part 1 of 3'
mkdir joined
expect_exit 0 "$program" merge -o joined/study.h5 part3/study.h5 part1/study.h5 part2/study.h5
cmp -s joined/study.h5 whole/study.h5 || fail "the joined parts are not the whole"
expect_exit 0 "$program" spread joined/study.h5 --json
cmp -s out.txt whole.json || fail "the joined parts are told otherwise"
"$program" spread small.yaml --samples 300 -o broken --threads 1 >out.txt 2>err.txt &
running=$!
sleep 0.3
kill -INT $running
wait $running
code=$?
[ $code -eq 130 ] || [ $code -eq 0 ] || fail "exit $code instead of 130 when interrupted"
expect_exit 0 "$program" spread small.yaml --samples 300 -o broken --json
cp out.txt broken.json
expect_exit 0 "$program" spread small.yaml --samples 300 --json --threads 2
cmp -s out.txt broken.json || fail "an interrupted study that went on gives another answer"
expect_exit 4 "$program" spread small.yaml --samples 300 --seed 2 -o broken
expect_text err.txt 'another study'

# It stops when it is precise; more samples go on with the same sequence.
expect_exit 0 "$program" spread small.yaml --precision "5 mm" -o early --csv
case $(wc -l <out.txt) in 201 | 301) ;; *) fail "200 or 300 samples are enough: $(wc -l <out.txt)" ;; esac
head -121 out.txt | cmp -s - whole/spread.csv || fail "other samples where more are made"
expect_exit 0 "$program" spread small.yaml --precision "5 mm" -o early --json
cp out.txt early.json
expect_exit 0 "$program" spread early/study.h5 --json
cmp -s out.txt early.json || fail "a study that ended early is told otherwise when it is read"
expect_text early.json '"precise": true'
expect_exit 0 "$program" spread small.yaml --samples 120 --seed 2 --csv
cmp -s out.txt whole/spread.csv && fail "another seed gives the same samples"

# Sizes of the screen, for shipped plans too; a plan that states nothing; tolerances without use.
sed '/^tolerances/d; s/, error: 12 K//' small.yaml >silent.yaml
cp "$top"/profiles/plans/*.yaml .
for plan in *.yaml; do
    grep -q '^grid' "$plan" || echo 'grid: {along: 12, across: 2, clay: 2}' >>"$plan"
    expect_exit 0 "$program" spread "$plan" --samples 100 -o "of-$plan"
    for units in metric us; do
        expect_exit 0 "$program" spread "of-$plan/study.h5" --units $units
        [ "$(wc -l <out.txt)" -le 23 ] || fail "$plan in $units units is longer than a screen: $(cat out.txt)"
        LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' ||
            fail "$plan in $units units is wider than a screen: $(cat out.txt)"
    done
done
expect_exit 0 "$program" spread silent.yaml --samples 20
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'usual, not in the plan: soak-temperature 12 °C, coat 15 %'
expect_text words.txt 'Too few blades'
sed 's/^tolerances.*/tolerances: {rim-height: 1 mm, coat: 10 %}/; /^clay:/,/^  spine/d' small.yaml >bare.yaml
expect_exit 0 "$program" spread bare.yaml --samples 20
expect_text err.txt 'act on nothing in this plan: rim-height, coat'
write_plate plate.yaml
expect_exit 0 "$program" spread plate.yaml --samples 100
expect_text out.txt 'No hardening line'
grep -q 'nan' out.txt && fail "nan on the screen: $(cat out.txt)"

# A sample that fails is counted and named: spines thinner than their edge.
sed 's/coat: 15 %/thickness: 100 %/' small.yaml >wild.yaml
expect_exit 0 "$program" spread wild.yaml --samples 100 --json
python3 - out.txt <<'CHECK' || fail "failures are not told as documented: $(cat err.txt)"
import json, sys
d = json.load(open(sys.argv[1]))
assert d["samples"]["done"] + d["samples"]["failed"] == 100
assert 2 <= d["samples"]["failed"] <= 20 # ln 3 is 1.6 sigma: six in a hundred
assert len(d["failures"]) == min(5, d["samples"]["failed"]) and all(f["message"] for f in d["failures"])
CHECK
expect_text err.txt 'run [0-9]+ failed: blade.spine'

# What was typed wrongly.
expect_exit 2 "$program" spread small.yaml --samples 0
expect_text err.txt "samples '0'; expected a whole number from 1 on"
expect_exit 2 "$program" spread small.yaml --samples 1000001
expect_text err.txt 'more than a million; --yes'
expect_exit 2 "$program" spread small.yaml --samples many
expect_exit 2 "$program" spread small.yaml --seed -1
expect_exit 2 "$program" spread small.yaml --part 4/3 --samples 30 -o p
expect_text err.txt "part '4/3'; expected I/N"
expect_exit 2 "$program" spread small.yaml --part 1/3 -o p
expect_text err.txt 'part needs --samples'
expect_exit 2 "$program" spread small.yaml --part 1/3 --samples 30
expect_text err.txt 'part without -o'
expect_exit 2 "$program" spread small.yaml --precision "-0.2 mm"
expect_text err.txt 'expected a length above 0'
expect_exit 2 "$program" spread small.yaml --precision "0.2 s"
expect_text err.txt 'expected a length, for instance 0.2 mm'
expect_exit 2 "$program" spread small.yaml --precision 0.2
expect_exit 2 "$program" spread small.yaml --threads 0
expect_exit 2 "$program" spread small.yaml --json --csv
expect_exit 2 "$program" spread small.yaml --units feet
expect_exit 2 "$program" spread whole/study.h5 --samples 30
expect_exit 4 "$program" spread no-such-study.h5
expect_exit 4 "$program" spread no-such-plan.yaml
sed 's/coat: 15 %/caot: 15 %/' small.yaml >faulty.yaml
expect_exit 3 "$program" spread faulty.yaml
expect_text err.txt "did you mean 'coat'"
sed 's/nose: 20 %/nose: 20 K/' small.yaml >faulty.yaml
expect_exit 3 "$program" spread faulty.yaml
expect_exit 4 "$program" spread small.yaml --samples 10 -o missing/deep/folder
finish
