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
want = ["program", "bath", "at_C", "agitation_m_s", "curves", "probe", "silver_probe", "grossmann_H_in", "severity", "clays",
        "sentence", "cautions"]
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
times = [s["t400_s"] for s in d["severity"]]
assert times == sorted(times) and sum(s["self"] for s in d["severity"]) == 1
CHECK
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
oil() {
    write_plate plan.yaml
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
expect_text cautions.txt 'Water carried into oil'
oil '  - {in: water, at: 40 °C, for: 1 s}
  - {in: slow-oil, at: 150 °C, for: 9 s}'
sed -n 1p cautions.txt >first.txt
expect_text first.txt 'flashes to steam'
finish
