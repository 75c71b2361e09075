#!/bin/bash
# The bath command: one screen of 24 lines and 80 columns for every shipped bath, one JSON object, whole files, clear
# complaints; and what is said of oils near their flash point and of water carried into them.
. "$(dirname "$0")/prelude.sh"
for bath in $("$program" list bath | awk '{ print $2 }'); do
    for units in metric us; do
        expect_exit 0 "$program" bath "$bath" --units $units
        expect_empty err.txt
        [ "$(wc -l <out.txt)" -le 24 ] || fail "$bath in $units units is longer than a screen: $(cat out.txt)"
        LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || # continuation bytes take no column
            fail "$bath in $units units is wider than a screen: $(cat out.txt)"
    done
done
for at in 20 60 150; do # a warmer bath has longer things to say
    for bath in water fast-oil medium-oil; do
        "$program" bath $bath --at "$at °C" >out.txt 2>/dev/null || continue
        [ "$(wc -l <out.txt)" -le 24 ] || fail "$bath at $at °C is longer than a screen: $(cat out.txt)"
        LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "$bath at $at °C is too wide"
    done
done
expect_exit 0 "$program" bath water --at "104 °F" --agitation "0.3 m/s" -o folder
expect_text out.txt '^water at 40 °C, 0.3 m/s past the steel'
expect_text out.txt 'Why thin clay hardens'
for file in bath.json bath-curve.svg bath-curve.png bath-curve.pdf bath-probe.svg bath-probe.png bath-probe.pdf bath-clay.svg \
    bath-clay.png bath-clay.pdf; do
    [ -s "folder/$file" ] || fail "no $file"
done
[ "$(ls folder | wc -l)" -eq 10 ] || fail "other files in the folder: $(ls folder)"
cp folder/bath-clay.svg first.svg
expect_exit 0 "$program" bath water --at "104 °F" --agitation "0.3 m/s" -o folder --json
cmp -s out.txt folder/bath.json || fail "--json is not bath.json"
cmp -s first.svg folder/bath-clay.svg || fail "the same bath gave another picture"
python3 - out.txt <<'CHECK' || fail "JSON is not as documented"
import json, sys
d = json.load(open(sys.argv[1]))
want = ["program", "bath", "at_C", "agitation_m_s", "curves", "probe", "silver_probe", "grossmann_H_in", "film_s",
        "film_at_705_C", "severity", "clays", "sentence", "cautions"]
assert sorted(d) == sorted(want), d.keys()
for c in d["curves"]:
    assert len(c["steel_C"]) == len(c["face_C"]) == len(c["flux_MW_m2"]) == len(c["h_kW_m2K"]) > 100
    assert all(f <= s + 1e-9 for f, s in zip(c["face_C"], c["steel_C"]))
for p in (d["probe"], d["silver_probe"]):
    assert len(p["time_s"]) == len(p["temp_C"]) == len(p["rate_K_s"]) > 20
    assert p["t600_s"] < p["t400_s"] < p["t200_s"]
assert [c["name"] for c in d["clays"]] == ["kaolin", "stone-charcoal-clay", "mortar"]
for c in d["clays"]:
    assert min(c["seconds"]) == c["fastest"]["seconds"] and c["slower_from_mm"] > c["fastest"]["thickness_mm"]
for s in d["severity"]:
    assert sorted(s) == ["at_C", "film_at_705_C", "film_s", "name", "self", "t400_s", "washed_s"], s
    assert s["film_s"] is not None or not s["film_at_705_C"]
times = [s["t400_s"] for s in d["severity"]]
assert times == sorted(times) and sum(s["self"] for s in d["severity"]) == 1
CHECK
# Bare, still water of 40 °C stands behind its film where H is read, and ranks behind fast oil; under a wash it does not.
expect_exit 0 "$program" bath water --at "40 °C"
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt "at 705 °C, which is the film's: it stands"
expect_text words.txt 'water 40 °C\* .*held up by its film: see the second figure'
expect_exit 0 "$program" bath water --at "40 °C" --json
python3 - out.txt <<'CHECK' || fail "the film is not told in JSON"
import json, sys
d = json.load(open(sys.argv[1]))
rank = {s["name"]: s for s in d["severity"]}
order = [s["name"] for s in d["severity"]]
assert d["film_at_705_C"] and d["film_s"] > 5
assert order.index("water") > order.index("fast-oil") and rank["water"]["film_at_705_C"]
assert not rank["brine-10"]["film_at_705_C"] and rank["brine-10"]["film_s"] is None
assert rank["water"]["washed_s"] < 0.5 * rank["fast-oil"]["washed_s"]
CHECK
# In a gas thin clay only radiates more: no thickness is called the best, and a moving gas is not called still.
expect_exit 0 "$program" bath air --agitation "5 m/s"
expect_text out.txt '^There is no vapour film to break in a gas'
grep -q 'Still' out.txt && fail "air at 5 m/s is called still"
grep -qE '^  (kaolin|mortar) .*[0-9] mm$' out.txt && fail "a best thickness in air"
expect_exit 0 "$program" bath air --json
grep -q '"fastest": null' out.txt || fail "a fastest coat in air"
# Where clay hardly helps, the thickness of the smallest time is told all the same; a film's end is the steel's.
expect_exit 0 "$program" bath slow-oil
expect_text out.txt '^Thin clay hardly helps here'
grep -q ' bare$' out.txt && fail "best at bare, with a faster coat beside it: $(cat out.txt)"
expect_exit 0 "$program" bath slow-oil --json
python3 - out.txt <<'CHECK' || fail "the smallest time is not told, or a film's end not the steel's"
import json, sys
d = json.load(open(sys.argv[1]))
for c in d["clays"]:
    assert c["fastest"]["seconds"] == min(c["seconds"]) < c["bare_s"], c["name"]
for c in d["curves"]: # hotter steel has a face hotter than the film's end, colder steel a colder one
    for steel, face in zip(c["steel_C"], c["face_C"]):
        assert (face > c["film_until_C"]) == (steel > c["film_until_steel_C"]), (c["name"], steel, face)
    assert c["film_until_steel_C"] > c["film_until_C"] + (10 if c["layer_mm"] > 0.03 else -1e-9)
CHECK
expect_exit 3 "$program" bath air --at "2000 °C"
expect_text err.txt "error: --at: '2000 °C'"
expect_exit 3 "$program" bath water --at "103 °C"
expect_text err.txt 'boils'
expect_exit 3 "$program" bath brine-10 --at "-10 °C"
expect_text err.txt 'freezes'
expect_exit 3 "$program" bath watre
expect_text err.txt "did you mean 'water'"
expect_exit 2 "$program" bath water --at 40
expect_text err.txt 'a temperature, for instance'
expect_exit 2 "$program" bath water --agitation "3 kg"
expect_exit 2 "$program" bath water --units feet
expect_exit 2 "$program" bath
expect_exit 4 "$program" bath water -o missing/deep/folder
expect_exit 3 "$program" bath "water', for: 1 s}, {in: 'air" # nothing of the name is read as a plan

# Cautions, the gravest first.
oil() { # STEPS [PLAN to begin with]
    "${2:-write_plate}" plan.yaml
    sed -i '/^steps:/,$d' plan.yaml
    printf 'steps:\n%s\n' "$1" >>plan.yaml
    expect_exit 0 "$program" quench plan.yaml
    tr '\n' ' ' <out.txt | sed 's/  */ /g; s/! /\n! /g' | grep '^!' >cautions.txt
}
oil '  - {in: fast-oil, at: 60 °C, for: 9 s}'
sed -n 1p cautions.txt >first.txt
expect_text first.txt 'Hot oil burns'
oil '  - {in: fast-oil, at: 145 °C, for: 9 s}'
sed -n 1p cautions.txt >first.txt
expect_text first.txt 'within 28 °C \(50 °F\) of its flash point.*1910.126'
oil '  - {in: {from: fast-oil, flash-point: 120 °C}, at: 130 °C, for: 9 s}'
sed -n 1p cautions.txt >first.txt
expect_text first.txt 'at or above its flash point.*1910.126'
oil '  - {in: water, at: 40 °C, for: 1 s}
  - {in: fast-oil, at: 60 °C, for: 9 s}'
sed -n 1p cautions.txt >first.txt
expect_text first.txt 'Water carried into oil.*Hot oil burns' # one caution
oil '  - {in: water, at: 40 °C, for: 1 s}
  - {in: slow-oil, at: 150 °C, for: 9 s}'
sed -n 1p cautions.txt >first.txt
expect_text first.txt 'flashes to steam'
# A bath of a stated volume is judged by the hottest it gets, on entering and warmed.
long_wedge() {
    write_wedge "$1"
    sed -i 's/spine: 6 mm/spine: 6 mm, length: 110 mm/' "$1"
}
oil '  - {in: fast-oil, at: 138 °C, for: 9 s, volume: 1 l}' long_wedge
expect_text out.txt '^\* bath-warmed: steps.0: fast-oil warms from 138 °C \(280 °F\) to 1[4-6][0-9] °C'
sed -n 1p cautions.txt >first.txt
expect_text first.txt 'within 28 °C'
oil '  - {in: fast-oil, at: 138 °C, for: 60 s, volume: 0.25 l}' long_wedge
sed -n 1p cautions.txt >first.txt
expect_text first.txt 'at or above its flash point'
expect_text out.txt '^\* bath-range: steps.0: fast-oil at .* is beyond 150 °C'
finish
