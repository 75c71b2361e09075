#!/bin/bash
# Two keys as a map: screen, JSON, CSV, pictures; what is refused.
. "$(dirname "$0")/prelude.sh"
coarse='grid: {along: 40, across: 4}'
sed "\$a $coarse" "$top/profiles/plans/sloyd-knife.yaml" >knife.yaml
cp knife.yaml plan.yaml
x='clay.coat.2.thickness=2 mm,1 mm,0.5 mm' y='heat.temperature=720..800 °C by 40 K'
for units in metric us; do
    expect_exit 0 "$program" map plan.yaml --vary "$x" --vary "$y" --units $units
    expect_empty err.txt
    [ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
    LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "wider than a screen: $(cat out.txt)"
    ! grep -qiE '\bnan\b|\binf\b' out.txt || fail "an undefined number: $(cat out.txt)"
done
expect_text out.txt 'Height of the line in inches'
expect_exit 0 "$program" map plan.yaml --vary "$x" --vary "$y" -o one
expect_text out.txt '^Up: +soak temperature \(heat\.temperature\), °C$'
expect_text out.txt '^Across: thickness on both faces \(clay\.coat\.2\.thickness\), mm$'
expect_text out.txt '^ +720 \| +N +N +N $'
expect_text out.txt '^ +800 \| .*\[1[0-9]\.[0-9]\]$'
expect_text out.txt '^ +0\.5 +1 +2$'
expect_text out.txt 'heat\.temperature: holds from 760 \(below: no hard edge\) to 800 °C'
expect_exit 0 "$program" map plan.yaml --vary "$x" --vary "$y" -o two --json --threads 2
cp out.txt two.json
for name in study.h5 map.json map.csv map.svg map.png map.pdf; do
    [ -s "one/$name" ] || fail "no $name"
    cmp -s "one/$name" "two/$name" || fail "$name differs between two calls"
done
[ "$(find one -type f | wc -l)" -eq 6 ] || fail "other files: $(ls one)"
cmp -s two.json one/map.json || fail "--json is not map.json"
expect_exit 0 "$program" map plan.yaml --vary "$x" --vary "$y" --csv -o one
cmp -s out.txt one/map.csv || fail "--csv is not map.csv"
python3 - <<'CHECK' || fail "JSON of a map"
import json
d = json.load(open("two.json"), parse_constant=lambda word: exit(f"{word} is no JSON"))
assert sorted(d) == ["cautions", "line_mm", "program", "rows", "title", "verdict", "x", "y"], sorted(d)
assert d["x"]["values"] == [0.5, 1, 2] and d["x"]["own"] == 2 and d["x"]["unit"] == "mm"
assert d["y"]["values"] == [720, 760, 800] and d["y"]["key"] == "heat.temperature"
assert len(d["line_mm"]) == 3 and all(len(row) == 3 for row in d["line_mm"])
assert d["line_mm"][0] == [None] * 3 and d["verdict"][0] == ["no hard edge"] * 3
for j, y in enumerate(d["y"]["values"]):
    for i, x in enumerate(d["x"]["values"]):
        row = next(r for r in d["rows"] if float(r["values"]["clay.coat.2.thickness"].split()[0]) == x
                   and float(r["values"]["heat.temperature"].split()[0]) == y)
        assert row["line"]["surface_mm"] == d["line_mm"][j][i] and row["verdict"] == d["verdict"][j][i]
assert d["line_mm"][2][0] > d["line_mm"][2][2]  # less clay, higher line
CHECK

# A plan between the runs is run itself.
"$program" quench plan.yaml --json >own.json || fail "the plan by itself"
line=$(python3 -c 'import json; print("%.1f" % json.load(open("own.json"))["line"]["surface_mm"])')
expect_exit 0 "$program" map plan.yaml --vary 'clay.coat.2.thickness=1 mm,2.9 mm' --vary 'heat.temperature=790..840 °C by 50 K'
expect_text out.txt "^This plan: hard edge, soft back, line ${line/./\\.} mm\.$"
! grep -qF "[$line]" out.txt || fail "no other line than the nearest run's: $(cat out.txt)"
refuse() {
    local code=$1 pattern=$2
    shift 2
    expect_exit "$code" "$program" map "$@"
    expect_empty out.txt
    expect_text err.txt "$pattern"
}
refuse 2 "'some/study\.h5' is a study, not a plan" some/study.h5
refuse 2 'expected it twice, for instance' plan.yaml
refuse 2 'expected it twice' plan.yaml --vary "$x"
refuse 2 'expected it twice' plan.yaml --vary "$x" --vary "$y" --vary 'blade.edge=1 mm,2 mm'
refuse 2 'steps\.1\.in; expected two different numbers' plan.yaml --vary steps.1.in=water,canola --vary "$y"
refuse 2 'expected two different numbers' plan.yaml --vary 'blade.edge=1 mm' --vary "$y"
refuse 2 'expected two different numbers' plan.yaml --vary 'blade.edge=1 mm,1.0 mm' --vary "$y"
refuse 3 'a range without step' plan.yaml --vary 'blade.edge=1..2 mm' --vary "$y"
refuse 3 'a key varied twice' plan.yaml --vary "$y" --vary "$y"
refuse 2 'one operand too many' plan.yaml knife.yaml --vary "$x" --vary "$y"
expect_exit 3 "$program" map plan.yaml --vary 'blade.edge=3.5 mm,4 mm' --vary "$y" # thicker than the spine: no run at all
finish
