#!/bin/bash
# After the quench: hardness and curve after each temper, what sharpening leaves, the curve to forge in, side bend; and
# what the screen, the comparison and the JSON say of them.
. "$(dirname "$0")/prelude.sh"
knife=$top/profiles/plans/sloyd-knife.yaml

# changed FILE 's/from/to/'...: the knife's plan, edited
changed() {
    local to=$1
    shift
    local edits=()
    for edit in "$@"; do
        edits+=(-e "$edit")
    done
    sed "${edits[@]}" "$knife" >"$to"
}
one_line() { tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt; }
in_json() { # FILE CONDITION, d is the object
    expect_exit 0 "$program" quench "$1" --json
    python3 -c "import json; d = json.load(open('out.txt')); assert $2" || fail "$1: not so: $2"
}

# A hard skin on one side is sharpened on its hard face, not on the soft mid-plane.
in_json laid-plane-iron "d['edge_after_temper']['HRC'] > 58 and d['wear'] == {'HRC': 55.0, 'mm': None, 'throughout': True}"
in_json "$knife" "d['wear']['HRC'] == 55 and 9 < d['wear']['mm'] < 12 and not d['wear']['throughout']"
in_json "$knife" "d['tempers'][-1]['edge_HV'] == d['edge_after_temper']['HV']"
expect_exit 0 "$program" quench "$knife"
expect_text out.txt '^Sharpening may take off 10\.[0-9] mm until the edge is softer than 55 HRC\.$'

# A chosen hardness.
changed to58.yaml 's/^finish: .*/finish: {wear-to: 58 HRC}/'
changed toHV.yaml 's/^finish: .*/finish: {wear-to: 650 HV}/'
changed to64.yaml 's/^finish: .*/finish: {wear-to: 64 HRC}/'
in_json to58.yaml "d['wear']['HRC'] == 58 and 9 < d['wear']['mm'] < 10.6"
in_json toHV.yaml "57 < d['wear']['HRC'] < 58.5"
in_json to64.yaml "d['wear']['mm'] == 0"
expect_exit 0 "$program" quench to64.yaml
expect_text out.txt '^The edge is softer than 64 HRC from the start\.$'
for wrong in 58 soft '10 HRC' '1000 HV' '[58 HRC]'; do
    changed wrong.yaml "s/^finish: .*/finish: {wear-to: $wrong}/"
    expect_exit 3 "$program" quench wrong.yaml
    expect_text err.txt 'wrong.yaml:[0-9]+:[0-9]+: error: finish.wear-to: '
done

# What the plan asks for stands on the screen, in both units and however full it is.
changed forge.yaml 's/^finish: .*/finish: {curve: 5 mm}/'
expect_exit 0 "$program" quench forge.yaml
expect_text out.txt '^  to end at \+5\.0 mm, forge it to \+5\.[0-9] before the quench$'
expect_exit 0 "$program" quench forge.yaml --units us
expect_text out.txt '^  to end at \+0\.197 in, forge it to \+0\.[0-9]+ before the quench$'

# Four tempers, each told; one varied, side by side with its curve.
changed four.yaml 's/^temper: .*/temper: [{temperature: 150 °C, for: 1 h}, {temperature: 180 °C, for: 1 h}, {temperature: 200 °C, for: 1 h}, {temperature: 230 °C, for: 1 h}]/'
expect_exit 0 "$program" quench four.yaml
one_line
expect_text words.txt 'after each temper: edge 6[0-9.]+, 6[0-9.]+, 5[0-9.]+, 5[0-9.]+ HRC; curve -0\.[0-9]+, -0\.[0-9]+, -0\.[0-9]+, -0\.[0-9]+ mm'
expect_exit 0 "$program" compare long-blade --vary 'temper.0.temperature=150 °C, 230 °C'
expect_text out.txt ' 61\.8>61\.[0-9] .* -2\.9>-4\.[0-9] .*low'
expect_text out.txt '^edge, curve: as quenched > after temper'

# Of oil no size is told anywhere on a screen, of water always its range, on a crowded screen too.
changed oil.yaml 's/in: water, at: 40 °C, until: 60 °C/in: fast-oil, at: 40 °C, until: 60 °C/'
expect_exit 0 "$program" compare "$knife" oil.yaml
expect_text out.txt ' to edge +low '
changed both.yaml 's/  - {in: water, at: 40 °C, until: 60 °C}/  - {in: water, at: 40 °C, for: 3 s}\n  - {in: fast-oil, at: 50 °C, until: 60 °C}/'
expect_exit 0 "$program" quench both.yaml
one_line
expect_text words.txt 'Curve \(sori\) -0\.1 mm, toward the edge \(-0\.[0-9] to \+0\.0\).* Crack:? medium from [0-9.]+ s, an estimate, (no|not a) clearance: [a-z]'
expect_exit 0 "$program" quench laid-plane-iron
one_line
expect_text words.txt 'Curve (\(sori\): )?straight.*sideways (to the )?right[.;] [Cc]rack low'

# Unlike coats bend it sideways, with sign and range.
changed side.yaml 's/at: 11 mm, thickness: 2 mm/at: 11 mm, left: 1 mm, right: 2 mm/' 's/at: 28 mm, thickness: 2 mm/at: 28 mm, left: 1 mm, right: 2 mm/'
in_json side.yaml "d['curve']['side_low_mm'] < d['curve']['side_bend_mm'] < 0 and d['curve']['side_high_mm'] > 0"
expect_exit 0 "$program" quench side.yaml
one_line
expect_text words.txt 'sideways 0\.1 mm to the left \(\+0\.0 to \+0\.1\)'

# One word for a direction, on the screen and in the JSON: what rounds to nothing is straight.
in_json "$knife" "abs(d['curve']['rise_mm']) < 0.05 and d['curve']['direction'] == 'straight'"

# Much carbon in water: the class comes out low, and a notice says what practice knows; not in oil, not of less carbon.
changed W2.yaml 's/^steel: .*/steel: W2/'
changed W2-oil.yaml 's/^steel: .*/steel: W2/' 's/in: water, at: 40 °C, until: 60 °C/in: fast-oil, at: 40 °C, until: 60 °C/' 's/0\.05 mm/0.01 mm/'
in_json W2.yaml "d['crack']['class'] == 'low' and any(n['code'] == 'crack-carbon' for n in d['notices'])"
in_json W2-oil.yaml "d['edge']['martensite'] > 0.5 and not any(n['code'] == 'crack-carbon' for n in d['notices'])"
in_json "$knife" "not any(n['code'] == 'crack-carbon' for n in d['notices'])"
expect_exit 0 "$program" explain crack-carbon
expect_exit 0 "$program" explain finish.wear-to
finish
