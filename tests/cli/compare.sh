#!/bin/bash
# Side by side: plans, one plan with keys varied, their product; table, JSON, CSV, pictures, a study that goes on, parts;
# what is refused.
. "$(dirname "$0")/prelude.sh"
screen() {
    [ "$(wc -l <out.txt)" -le "$1" ] || fail "longer than a screen: $(cat out.txt)"
    LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "wider than a screen: $(cat out.txt)"
    ! grep -qiE '\bnan\b|\binf\b' out.txt || fail "an undefined number: $(cat out.txt)"
}
write_wedge wedge.yaml
sed -i 's/until: 60 °C/for: 3 s/; s/^steel: 1084/steel: 1084\ngrid: {along: 40, across: 4}/' wedge.yaml

# The bath of the shipped knife; its temperature stays the step's own.
for units in metric us; do
    expect_exit 0 "$program" compare sloyd-knife --vary steps.1.in=water,brine-10,canola,fast-oil --units $units
    expect_empty err.txt
    screen 24
done
expect_text out.txt '^2  canola'
expect_text out.txt '^3  fast-oil'
expect_text out.txt ' 0\.3[0-9]+  -0\.1[0-9]+ '
expect_text out.txt '^! Hot oil burns'
awk '/^! /{ print $2 }' out.txt >grave.txt
[ "$(tr '\n' ' ' <grave.txt)" = "Hot Steam All " ] || fail "cautions out of order: $(cat grave.txt)"

# A product, the last key fastest; everything kept, and the same again.
vary=(--vary 'clay.coat.0.thickness=0 mm,0.2 mm' --vary 'steps.1.at=30..50 °C by 10 K' --vary grid.along=40 --vary grid.across=4)
expect_exit 0 "$program" compare sloyd-knife "${vary[@]}" -o one --threads 1
screen 40
expect_exit 0 "$program" compare sloyd-knife "${vary[@]}" -o two --threads 2 --json
cp out.txt two.json
for name in study.h5 compare.json compare.csv compare.svg compare.png compare.pdf; do
    [ -s "one/$name" ] || fail "no $name"
    cmp -s "one/$name" "two/$name" || fail "$name differs between one thread and two"
done
[ "$(find one -type f | wc -l)" -eq 6 ] || fail "other files: $(ls one)"
cmp -s two.json one/compare.json || fail "--json is not compare.json"
expect_exit 0 "$program" compare sloyd-knife "${vary[@]}" -o one --csv # nothing is left to run
cmp -s out.txt one/compare.csv || fail "--csv is not compare.csv"
expect_exit 4 "$program" compare sloyd-knife --vary 'steps.1.at=30 °C' -o one
expect_text err.txt 'holds another study'
sed 's/{in: water, at: 40 °C/{in: water, at: 50 °C/; s/{at: 0 mm,  thickness: 0.05 mm}/{at: 0 mm, thickness: 0.2 mm}/; $a grid: {along: 40, across: 4}' \
    "$top/profiles/plans/sloyd-knife.yaml" >by-hand.yaml
"$program" quench by-hand.yaml --json >by-hand.json || fail "the plan written by hand"
python3 - <<'CHECK' || fail "JSON or CSV of a product"
import csv, json
d = json.load(open("two.json"), parse_constant=lambda word: exit(f"{word} is no JSON"))
assert sorted(d) == ["cautions", "program", "rows", "title", "varied"], sorted(d)
assert [v["key"] for v in d["varied"]] == ["clay.coat.0.thickness", "steps.1.at", "grid.along", "grid.across"]
assert d["varied"][1]["values"] == ["30 °C", "40 °C", "50 °C"]
keys = ("run values baths state message line verdict edge body spine edge_after_temper spine_after_temper t500_s film soak curve "
        "crack energy").split()
assert len(d["rows"]) == 6
for n, row in enumerate(d["rows"]):
    assert set(row) == set(keys), set(row) ^ set(keys)
    assert row["run"] == n and row["state"] == "done" and row["message"] is None
    assert row["values"]["steps.1.at"] == ["30 °C", "40 °C", "50 °C"][n % 3]
    assert row["values"]["clay.coat.0.thickness"] == ["0 mm", "0.2 mm"][n // 3]
    assert row["baths"] == [{"name": "water", "at_C": row["baths"][0]["at_C"]}]
one = json.load(open("by-hand.json"))  # run 5: the same plan as written by hand
row = d["rows"][5]
for part, key in (("line", "surface_mm"), ("line", "mid_mm"), ("edge", "HRC"), ("spine", "HV"), ("edge_after_temper", "HRC")):
    assert row[part][key] == one[part][key], (part, key, row[part][key], one[part][key])
assert row["line"]["band_mm"] == one["line"]["band_mm"] and row["verdict"] == one["verdict"]
table = list(csv.DictReader(open("one/compare.csv")))
assert len(table) == 6 and table[5]["steps.1.at"] == "50 °C" and table[5]["verdict"] == row["verdict"]
assert abs(float(table[5]["line_mm"]) - row["line"]["surface_mm"]) < 1e-4
CHECK

# Several plans, with long names; several plans with a key varied.
sed 's/^title: .*/title: A wedge with a name that goes on and on until no column could ever hold it, for the table to wrap/' wedge.yaml >long.yaml
expect_exit 0 "$program" compare wedge.yaml long.yaml --csv
expect_text out.txt '^run,plan,bath,verdict,line_mm,'
expect_text out.txt '^1,"A wedge with a name .*"'
expect_exit 0 "$program" compare wedge.yaml long.yaml
screen 24
expect_text out.txt '^2 plans side by side$'
expect_exit 0 "$program" compare wedge.yaml long.yaml --vary 'blade.spine=3 mm,6 mm' --json
python3 -c '
import json
rows = json.load(open("out.txt"))["rows"]
assert [(r["values"]["plan"][:6], r["values"]["blade.spine"]) for r in rows] == [
    ("Bare w", "3 mm"), ("Bare w", "6 mm"), ("A wedg", "3 mm"), ("A wedg", "6 mm")], rows
assert rows[0]["line"] == rows[2]["line"]
' || fail "two plans with a key varied"
cp wedge.yaml same.yaml
expect_exit 0 "$program" compare wedge.yaml same.yaml # equal titles: told apart by their files
expect_text out.txt '^0  wedge.yaml '
expect_exit 0 "$program" compare wedge.yaml --vary 'blade.spine=3 mm,6 mm' --quiet -o quiet
expect_empty out.txt
expect_exit 0 "$program" compare wedge.yaml --vary 'blade.spine=3 mm,6 mm' -q --json -o quiet # the object is no screen
cmp -s out.txt quiet/compare.json || fail "quiet takes the JSON too"

# A run that fails is a row with its reason; if all do, that is the exit.
expect_exit 0 "$program" compare wedge.yaml --vary 'steps.1.at=40 °C,120 °C'
expect_text out.txt '^1  120 °C +failed, see below'
expect_text out.txt '^Failed \(run 1\): steps\.1\.at: 120 °C'
expect_exit 0 "$program" compare wedge.yaml --vary 'steps.1.at=40 °C,120 °C' --vary 'blade.spine=3 mm,4 mm,5 mm'
expect_text err.txt '^clayquench: run 3 and 2 more failed: steps\.1\.at: 120 °C'
[ "$(grep -c failed err.txt)" -eq 1 ] || fail "one message is told more than once: $(cat err.txt)"
expect_exit 3 "$program" compare wedge.yaml --vary 'steps.1.at=110 °C,120 °C'

# Parts are joined to the whole.
expect_exit 0 "$program" compare wedge.yaml --vary 'steps.1.at=20..50 °C by 10 K' -o whole
expect_exit 0 "$program" compare wedge.yaml --vary 'steps.1.at=20..50 °C by 10 K' -o p1 --part 1/2
expect_empty out.txt
expect_text err.txt 'part 1 of 2 is in p1/study.h5'
expect_exit 0 "$program" compare wedge.yaml --vary 'steps.1.at=20..50 °C by 10 K' -o p2 --part 2/2
mkdir joined
expect_exit 0 "$program" merge -o joined/study.h5 p1/study.h5 p2/study.h5
cmp -s joined/study.h5 whole/study.h5 || fail "joined parts differ from the whole"
expect_exit 0 "$program" compare wedge.yaml --vary 'steps.1.at=20..50 °C by 10 K' -o joined
cmp -s joined/compare.json whole/compare.json || fail "the answer of joined parts differs"

# A plate has no section to show: a table, no picture.
write_plate plate.yaml
expect_exit 0 "$program" compare plate.yaml --vary 'steps.0.at=20 °C,30 °C' -o plates
screen 24
[ ! -e plates/compare.svg ] || fail "a picture of plates"
expect_text out.txt 'compare\.csv; no section to draw'

# Refused.
refuse() {
    local code=$1 pattern=$2
    shift 2
    expect_exit "$code" "$program" compare "$@"
    expect_empty out.txt
    expect_text err.txt "$pattern"
}
refuse 2 'operand is missing'
refuse 2 'one plan and nothing varied' wedge.yaml
refuse 2 "'some/study\.h5' is a study, not a plan" some/study.h5
refuse 2 "unknown units 'feet'" wedge.yaml same.yaml --units feet
refuse 2 '--json and --csv' wedge.yaml same.yaml --json --csv
refuse 2 "--threads 'many'" wedge.yaml same.yaml --threads many
refuse 2 "--part '3/2'" wedge.yaml same.yaml --part 3/2 -o p3
refuse 3 '^--vary steps\.1\.att=3: error: steps\.1\.att: no such key; expected' wedge.yaml --vary steps.1.att=3
refuse 3 'did you mean steps\.1\.at' wedge.yaml --vary steps.1.att=3
refuse 3 "^--vary steps\.1\.at=45: error: steps\.1\.at: '45', a number without a unit" wedge.yaml --vary 'steps.1.at=30 °C,45'
refuse 3 'steps\.7, past the end of the list; expected steps\.0 to steps\.1' wedge.yaml --vary 'steps.7.at=30 °C'
refuse 3 'at most 8' wedge.yaml --vary steps.1.at='1 °C' --vary a=1 --vary b=1 --vary c=1 --vary d=1 --vary e=1 --vary f=1 --vary g=1 --vary h=1
refuse 3 "no bath profile 'watre'" wedge.yaml --vary steps.1.in=watre
refuse 4 'absent.yaml' wedge.yaml absent.yaml
sed 's/20 mm/20 s/' wedge.yaml >broken.yaml
refuse 3 '^broken\.yaml:3:' wedge.yaml broken.yaml
refuse 3 '^broken\.yaml:3:' broken.yaml --vary 'steps.1.at=30 °C'
refuse 2 'more than a million' wedge.yaml --vary 'steps.1.at=1..95 °C by 0.1 K' --vary 'steps.0.at=1..95 °C by 0.1 K' --vary 'blade.edge=1 mm,2 mm'
expect_exit 4 "$program" compare wedge.yaml same.yaml -o missing/deep/folder
finish
