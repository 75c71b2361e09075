#!/bin/bash
# The card of a steel: screen, JSON, pictures; batches; what it refuses, and where it points.
. "$(dirname "$0")/prelude.sh"

expect_exit 0 "$program" steel 1084
expect_empty err.txt
expect_text out.txt '^1084: C 0\.84 '
expect_text out.txt '^Hardening line \(hamon\): yes, in water at 20 °C'
expect_text out.txt 'normalised \+0\.[0-9] % \(.*hardly'
expect_text out.txt 'spheroidised-fine \+[1-9]'
expect_text out.txt '^! Estimates'
! grep -qiE '\bnan\b|\binf\b' out.txt || fail "an undefined number on the screen"
expect_exit 0 "$program" steel 1084 --units us
expect_text out.txt '°F'
expect_text out.txt ' in '
for file in "$top"/profiles/steels/*.yaml; do
    steel=$(basename "$file" .yaml)
    grep -q '^kind: inert' "$file" && continue
    case $steel in O1 | W1 | 52100 | core-iron) all="metric us" ;; *) all=metric ;; esac # the longest in both
    for units in $all; do
        expect_exit 0 "$program" steel "$steel" --units $units
        ! grep -qiE '\bnan\b|\binf\b' out.txt || fail "$steel: an undefined number on the screen"
        [ "$(wc -l <out.txt)" -le 24 ] || fail "$steel in $units units is longer than a screen: $(cat out.txt)"
        [ "$(LC_ALL=C.UTF-8 wc -L <out.txt)" -le 80 ] || fail "$steel in $units units is wider than 80 columns"
    done
done

# A batch with less carbon and manganese hardens less deep, by every measure; what it does not name stays the profile's.
expect_exit 0 "$program" steel 1084 --json
cp out.txt whole.json
expect_exit 0 "$program" steel 1084 --batch "C: 0.80 %, Mn: 0.35 %" --json
cp out.txt lean.json
expect_exit 0 "$program" steel 1084 --batch "Mn: 0.35 %" --json
cp out.txt manganese.json
expect_exit 0 "$program" steel 1084 --structure spheroidised-fine --hold "2 min" --soak "1400 °F" --json
cp out.txt soft.json
python3 - <<'CHECK' || fail "the numbers of the cards"
import json, sys
def load(name):
    with open(name, encoding="utf-8") as f:
        return json.load(f, parse_constant=lambda word: sys.exit(f"{word} is no JSON"))
whole, lean, manganese, soft = (load(n + ".json") for n in ("whole", "lean", "manganese", "soft"))
keys = ("program steel soak line temperatures critical_rates as_quenched temper critical_sizes end_quench soak_ladder "
        "soak_effect isothermal continuous cooling notices").split()
assert set(keys) == set(whole), set(keys) ^ set(whole)
assert manganese["steel"]["composition_wt"]["C"] == 0.84 and manganese["steel"]["composition_wt"]["Mn"] == 0.35
for rate in ("full_K_s", "half_K_s", "none_K_s"):
    assert lean["critical_rates"][rate] > whole["critical_rates"][rate]
for a, b in zip(lean["critical_sizes"], whole["critical_sizes"]):
    assert a["round"]["mm"] < b["round"]["mm"] and a["plate"]["mm"] < b["plate"]["mm"]
assert lean["line"]["answer"] == "yes"
assert soft["soak"]["structure"] == "spheroidised-fine" and abs(soft["soak"]["temperature_C"] - 760.0) < 1e-6
assert len(soft["soak_ladder"]) == 2 and soft["critical_rates"]["half_K_s"] > whole["critical_rates"]["half_K_s"]
for table in ("temper", "end_quench", "continuous"):
    lengths = {len(column) for column in whole[table].values()}
    assert len(lengths) == 1, table
CHECK

# A soak below Ac1 is told, not refused.
expect_exit 0 "$program" steel 1084 --soak "690 °C"
expect_text out.txt '^\* soak-too-cold: '
expect_text out.txt 'hamon\): no\. Nothing turns to austenite'
expect_text out.txt '^Soak 690 °C, 5 min, normalised: no austenite\.$'
expect_text out.txt 'begins \(Ms\) -, half -, nine tenths - °C'
expect_exit 0 "$program" steel 1084 --soak "690 °C" --json
python3 -c '
import json
r = json.load(open("out.txt"))
assert r["soak"]["austenite"] == 0 and r["soak"]["carbon_in_solution_wt"] is None and r["temperatures"]["Ms_C"] is None
assert r["isothermal"]["temp_C"] == [] and r["soak_effect"]["per_10K"] is None
' || fail "a soak without austenite has carbon in it"

# Between Ac1 and Ac3 it hardens in part, and says so; no fault of a hotter soak.
expect_exit 0 "$program" steel 1045 --soak "745 °C"
expect_text out.txt 'hamon\): yes but not in full, in water'
expect_text out.txt '^\* soak-partial: '
expect_text out.txt 'hardens in full -, half [0-9]'
expect_text out.txt '^  normalised +\([0-9]+\) '
expect_exit 0 "$program" steel 1045 --soak "735 °C" --structure spheroidised-coarse --hold "30 s"
expect_text out.txt 'hamon\): no\. (Only [0-9]+ % of the steel|Nothing) turns'

# Five per cent of chromium is no pole.
for chromium in 4.9 5 5.1 20; do
    expect_exit 0 "$program" steel W1 --batch "Cr: $chromium %" --soak "1000 °C"
    ! grep -qiE '\bnan\b|\binf\b' out.txt || fail "chromium $chromium %: an undefined number on the screen"
    expect_text out.txt '^\* composition-range: .*Cr .*\(0 to 1\.6 %'
done

# Pictures: all, whole, the same again.
expect_exit 0 "$program" steel 1084 -o one
expect_exit 0 "$program" steel 1084 --output=two
for stem in isothermal continuous end-quench temper soak; do
    for format in svg png pdf; do
        [ -s "one/$stem.$format" ] || fail "one/$stem.$format is missing"
        cmp -s "one/$stem.$format" "two/$stem.$format" || fail "$stem.$format differs between two calls"
    done
done
cmp -s one/card.json whole.json || fail "card.json differs from --json"
[ "$(find one -type f | wc -l)" -eq 16 ] || fail "other files in the folder: $(ls one)"
expect_exit 4 "$program" steel 1084 -o /proc/clayquench

# An own profile, beside or by its path.
sed 's/^name: 1084/name: mine/; s/Mn: 0.75 %/Mn: 0.60 %/' "$top/profiles/steels/1084.yaml" >mine.yaml
expect_exit 0 "$program" steel mine
expect_text out.txt '^mine: C 0\.84 .*Mn 0\.60'
expect_exit 0 "$program" steel ./mine.yaml
expect_text out.txt '^mine: '

# A measured diagram, here an invented one: on the chart and in JSON, its halves in place of the laws'.
cat >own.yaml <<'STEEL'
format: clayquench-steel 1
name: own
from: 1084
isothermal:
  source: invented for this test
  composition: {C: 0.84 %}
  soak: 800 °C
  hold: 5 min
  rows:
    - [660 °C, 40 s, 110 s, 190 s]
    - [560 °C, 2.5 s, 8 s, 20 s]
    - [400 °C, 20 s, 90 s, 1000 s]
STEEL
expect_exit 0 "$program" steel ./own.yaml -o own
expect_text out.txt '^\* isothermal-shape: '
grep -q 'invented for this test' own/isothermal.svg 2>/dev/null || [ -s own/isothermal.svg ] || fail "no chart"
python3 -c '
import json
r = json.load(open("own/card.json"))["isothermal"]
assert r["measured"]["half_s"] == [110.0, 8.0, 90.0] and r["measured"]["source"] == "invented for this test"
near = min(range(len(r["temp_C"])), key=lambda i: abs(r["temp_C"][i] - 560.0))
assert abs(r["both_s"]["half"][near] / 8.0 - 1.0) < 0.05, r["both_s"]["half"][near]
assert json.load(open("whole.json"))["isothermal"]["measured"] is None
' || fail "the measured diagram"

# What it refuses; the place is shown.
refuse() {
    local pattern=$1
    shift
    expect_exit 3 "$program" steel "$@"
    expect_empty out.txt
    expect_text err.txt "$pattern"
}
refuse "^command line:3:[0-9]+: error: steel: no steel profile '1884'; expected" 1884
refuse "steel: no steel profile '../no-such/1884'; expected" ../no-such/1884
refuse "steel: no steel profile '../no-such/1084'; expected" ../no-such/1084 # though one is shipped
refuse "steel.batch.C: a batch without carbon" 1084 --batch "C: 0 %"
refuse 'silver does not transform' silver
refuse '^command line:3:[0-9]+: error: steel\.batch\.Mn: .*-0\.1' 1084 --batch "Mn: -0.1 %"
refuse 'elements that sum to' 1084 --batch "Cr: 20 %, Ni: 15 %, W: 10 %, Mo: 6 %, V: 5 %"
refuse 'steel\.batch\.C: .*101 %' 1084 --batch "C: 101 %"
refuse "steel\.batch\.Mn: '0\.35', a number without a unit" 1084 --batch "Mn: 0.35"
refuse 'steel\.batch\.Unobtainium' 1084 --batch "Unobtainium: 1 %"
refuse 'heat\.temperature' 1084 --soak "5000 °C"
refuse 'heat\.hold' 1084 --hold "0 s"
refuse 'heat\.structure' 1084 --structure soft
expect_exit 2 "$program" steel
expect_exit 2 "$program" steel 1084 1095
expect_exit 2 "$program" steel 1084 --batch "C: 1 %}, kind: inert, x: {"
expect_exit 2 "$program" steel 1084 --units cubits

# A temper above Ac1 in a plan is a fault with its place.
write_wedge hot.yaml
echo 'temper: [{temperature: 180 °C, for: 1 h}, {temperature: 730 °C, for: 1 h}]' >>hot.yaml
expect_exit 3 "$program" check hot.yaml
expect_text err.txt '^hot\.yaml:[0-9]+:[0-9]+: error: temper\.1\.temperature: '
sed -i 's/^steel: .*/steel: {from: 1084, batch: {Ni: 9 %}}/; s/730/600/' hot.yaml
expect_exit 3 "$program" check hot.yaml
expect_text err.txt '^hot\.yaml:[0-9]+:[0-9]+: error: temper\.1\.temperature: .*austenite again; expected a temper below Ac1'

# Part of the height in the bath.
write_wedge dip.yaml
sed -i 's/in: water, at: 40 °C, until: 60 °C/in: water, at: 40 °C, depth: 8 mm, for: 3 s/' dip.yaml
expect_exit 0 "$program" quench dip.yaml --json
python3 -c '
import json
r = json.load(open("out.txt"))
assert 5.0 < r["line"]["surface_mm"] < 9.5, r["line"]
assert r["energy"]["imbalance"] < 0.01, r["energy"]
' || fail "a blade dipped 8 mm deep"
sed -i 's/section: flat, height: 20 mm, edge: 1 mm, spine: 6 mm/section: plate, thickness: 4 mm/' dip.yaml
expect_exit 3 "$program" check dip.yaml
expect_text err.txt '^dip\.yaml:[0-9]+:[0-9]+: error: steps\.1\.depth: '
finish
