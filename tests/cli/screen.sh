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
# All that can crowd a screen: water, then an oil near its flash point, wet clay, a patch that falls, two faces that differ.
cat >crowd.yaml <<'PLAN'
format: clayquench-plan 1
title: all that can crowd a screen, and a title that would not end on the line it began on if it could help it
blade: {section: flat, height: 28 mm, edge: 1.2 mm, spine: 3.2 mm, length: 110 mm}
steel: 1084
clay:
  mix: stone-charcoal-clay
  wet: true
  soaked: 2
  coat: [{at: 11 mm, thickness: 0 mm}, {at: 11 mm, left: 2 mm, right: 1.5 mm}, {at: 28 mm, thickness: 2 mm}]
  spine: 2 mm
  lost: [{after: 4 s, from: 14 mm, to: 18 mm, face: left}, {after: 900 s, from: 22 mm, to: 24 mm}]
start: 800 °C
steps:
  - {in: air, for: 1.5 s}
  - {in: water, at: 40 °C, for: 2 s, volume: 1 l}
  - {in: air, for: 3 s}
  - {in: fast-oil, at: 146 °C, volume: 2 l, until: 160 °C}
temper: [{temperature: 180 °C, for: 1 h}]
finish: {grind: 0.2 mm}
record: {times: [1 s, 2000 s]}
PLAN
# Several steels, a skin and a fire at once.
cat >built.yaml <<'PLAN'
format: clayquench-plan 1
title: hard jacket round a soft core, skin left on, from a fire
blade: {section: ridged, height: 30 mm, edge: 2 mm, spine: 5 mm, ridge: {at: 20 mm, thickness: 6 mm}, length: 300 mm}
zones:
  build: soft-core
  hard: 1084
  soft: core-iron
  thickness: 1.5 mm
  height: 10 mm
  heats: [{temperature: 1200 °C, for: 5 min, thickness-then: 12 mm}]
skin: {temperature: 950 °C, for: 15 min}
heat: {temperature: 800 °C, fire: {temperature: 950 °C, for: 3 min}}
steps:
  - {in: air, for: 1.5 s}
  - {in: water, at: 40 °C, until: 60 °C}
temper: [{temperature: 180 °C, for: 1 h}]
finish: {grind: 0.1 mm}
PLAN
for plan in "$top"/profiles/plans/*.yaml built.yaml oil.yaml crowd.yaml; do
    for units in metric us; do
        expect_exit 0 "$program" quench "$plan" --units $units
        [ "$(wc -l <out.txt)" -le 24 ] || fail "$plan in $units units is longer than a screen: $(cat out.txt)"
        LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || # continuation bytes take no column
            fail "$plan in $units units is wider than a screen: $(cat out.txt)"
        tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt # a sentence may be broken anywhere
        lone=$(sed 's/^[^*]*//' words.txt | grep -oE '[0-9] °C.{0,14}' | grep -vE '^[0-9] °C \([0-9-]+ °F\)')
        [ -z "$lone" ] || fail "$plan: not in both units: $lone"
    done
done
expect_text words.txt "! An oil bath comes within 28 °C .*no water in or under it. !" # the gravest first and whole
expect_text words.txt '! Water or damp clay carried into a bath above 100 °C \(212 °F\) flashes to steam and throws the bath; what sinks erupts .* at the bottom. !'
expect_text words.txt 'this is an estimate, not a clearance'
expect_exit 0 "$program" quench crowd.yaml --json
for word in rim-sloped clay-dried start-austenitic wet-blade clay-lost clay-not-lost bath-warmed cooled-in-air times-after-end \
    'within 28 °C' 'flashes to steam' 'what sinks erupts under the next hot blade' 'Steam and spitting' 'Brittle' 'Clay dust is silica' 'an estimate'; do
    expect_text out.txt "$word"
done
expect_exit 0 "$program" quench oil.yaml
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
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
