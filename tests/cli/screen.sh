#!/bin/bash
# One screen: every shipped plan in 24 lines of 80 columns, in either system of units; temperatures of notices and cautions
# are told in both.
. "$(dirname "$0")/prelude.sh"
cat >oil.yaml <<'PLAN'
format: clayquench-plan 1
blade: {section: flat, height: 20 mm, edge: 1 mm, spine: 3 mm}
steel: 1084
heat: {temperature: 900 °C, hold: 5 min}
steps:
  - {in: water, at: 40 °C, for: 0.2 s}
  - {in: {name: measured, kind: table, heat-transfer: [[100 °C, 200 W/m^2/K], [500 °C, 4200 W/m^2/K], [850 °C, 900 W/m^2/K]]}, at: 60 °C, until: 90 °C}
PLAN
for plan in "$top"/profiles/plans/*.yaml oil.yaml; do
    for units in metric us; do
        expect_exit 0 "$program" quench "$plan" --units $units
        [ "$(wc -l <out.txt)" -le 24 ] || [ "$plan" = oil.yaml ] || fail "$plan in $units units is longer than a screen: $(cat out.txt)"
        LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || # continuation bytes take no column
            fail "$plan in $units units is wider than a screen: $(cat out.txt)"
        tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt # a sentence may be broken anywhere
        lone=$(sed 's/^[^*]*//' words.txt | grep -oE '[0-9] °C.{0,14}' | grep -vE '^[0-9] °C \([0-9-]+ °F\)')
        [ -z "$lone" ] || fail "$plan: not in both units: $lone"
    done
done
expect_text words.txt 'steps.1: faces at .*°F\) are outside the table of measured, 100 °C \(212 °F\) to 850 °C \(1562 °F\)'
# Clay that was fired through holds no water; conductivity may come from the solid's and the pores.
cat >fired.yaml <<'PLAN'
format: clayquench-plan 1
blade: sloyd-knife
steel: 1084
clay:
  mix: {solid-conductivity: 1.5 W/m/K, porosity: 40 %, heat-capacity: 1.5 MJ/m^3/K}
  fired: true
  coat: [{at: 0 mm, thickness: 1 mm}, {at: 28 mm, thickness: 1 mm}]
heat: {temperature: 800 °C}
steps: [{in: fast-oil, at: 110 °C, for: 5 s}]
PLAN
expect_exit 0 "$program" quench fired.yaml
grep -q 'flashes to steam' out.txt && fail "a fired coat is called damp"
sed -i 's/fired: true/fired: false/' fired.yaml
expect_exit 0 "$program" quench fired.yaml
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'flashes to steam'
"$program" quench fired.yaml --json >by-pores.json
sed -i 's|{solid-conductivity: 1.5 W/m/K,|{conductivity: 0.75 W/m/K,|' fired.yaml # 1.5 x 2 (1 - 0.4) / (2 + 0.4)
"$program" quench fired.yaml --json >by-number.json
[ "$(grep HV by-pores.json)" = "$(grep HV by-number.json)" ] || fail "the mix conducts otherwise than 2 (1 - p) / (2 + p) of its solid"
finish
