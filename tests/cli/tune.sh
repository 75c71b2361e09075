#!/bin/bash
# Tuning: the demo smithy's evidence and log, what is written, and what is said to evidence that cannot be used.
. "$(dirname "$0")/prelude.sh"
demo=$top/profiles/evidence
fits_screen() {
    [ "$(wc -l <out.txt)" -le 24 ] || fail "$1: longer than a screen: $(cat out.txt)"
    LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "$1: wider than a screen: $(cat out.txt)"
}
write_items() { # FILE ITEM...
    printf 'format: clayquench-evidence 1\nitems:\n' >"$1"
    for item in "${@:2}"; do printf -- '  - {%s}\n' "$item" >>"$1"; done
}

# ---- evidence
expect_exit 0 "$program" tune sloyd-knife "$demo/small-smithy.yaml" -o made
fits_screen evidence
expect_text out.txt 'clay.mix: stone-charcoal-clay-tuned'
expect_empty err.txt
for name in stone-charcoal-clay water 1084; do
    expect_exit 0 "$program" check "made/$name-tuned.yaml"
done
sed 's/^blade:.*/blade: sloyd-knife/; s/mix: .*/mix: stone-charcoal-clay-tuned/; s/^steel:.*/steel: 1084-tuned/; s/in: water/in: water-tuned/' \
    "$top/profiles/plans/sloyd-knife.yaml" >made/knife.yaml
expect_exit 0 "$program" quench made/knife.yaml --json
python3 - out.txt made/tune.json <<'CHECK' || fail "the tuned plan"
import json, sys
line = json.load(open(sys.argv[1]))["line"]["surface_mm"]
t = json.load(open(sys.argv[2]))
said = [i for i in t["items"] if i["what"] == "line"][0]
assert abs(line - said["after"]) < 0.6, (line, said) # the fit's grid is coarser
assert t["squares_after"] < t["squares_before"] and t["used"] == 6 and len(t["correlation"]) == len(t["numbers"])
clay = [n for n in t["numbers"] if n["key"] == "clay-conductivity"][0]
assert clay["low"] < clay["after"] < clay["high"] and clay["left"] < 0.8 and clay["told"]
CHECK
# A table says the same as the YAML, in whatever units.
cat >table.csv <<'TABLE'
what;value;method;thickness;change;note
stepped-clay;0.55 mm;caliper;1/8 in;;steps
wedge;0.55 in;caliper;;;
wedge;8.5 mm;eye;;steps.1.in=fast-oil;
TABLE
expect_exit 0 "$program" tune sloyd-knife table.csv --json
python3 -c 'import json; d = json.load(open("out.txt")); assert [round(i["value"], 2) for i in d["items"]] == [0.55, 13.97, 8.5]; assert d["used"] == 3 and any("3 readings for" in s for s in d["sentences"])' ||
    fail "a table of evidence"
# Two coupons that contradict each other are told, not averaged in silence.
write_items two.yaml 'what: wedge, value: 6 mm, method: microscope' 'what: wedge, value: 16 mm, method: microscope'
expect_exit 0 "$program" tune sloyd-knife two.yaml --units us
fits_screen contradiction
expect_text out.txt 'contradicts the rest'
expect_text out.txt 'read the same thing \(wedge\) and cannot both be so'
# ... and no interval pretends to know: what is off by eleven errors leaves nothing learnt.
write_items two.yaml 'what: wedge, value: 6 mm, method: caliper' 'what: wedge, value: 30 mm, method: caliper'
expect_exit 0 "$program" tune sloyd-knife two.yaml --json
python3 -c 'import json; d = json.load(open("out.txt")); assert all(n["left"] > 0.95 for n in d["numbers"]), [(n["key"], n["left"]) for n in d["numbers"]]' ||
    fail "contradicting coupons narrow an interval"
# Errors stand in the reading's own scale, numbers have their names, stations are told.
write_items some.yaml 'what: hardness, value: 64.5 HRC, method: rockwell' 'what: line, value: 10 mm, method: caliper, station: heel' \
    'what: film, value: 4 s, method: ear, place: body' # under 2 mm of clay there is none
expect_exit 0 "$program" tune sloyd-knife some.yaml
expect_text out.txt 'hardness edge, rockwell  64\.5 HRC\+/-1\.0 '
expect_text out.txt 'line heel, caliper'
expect_text out.txt 'film body, ear .*not used'
expect_text out.txt '^Conductivity of the clay is not told|^Heat the bath draws is not told|^Wetting of clay'
grep -qE ' -0 ' out.txt && fail "a nought with a sign"
expect_exit 0 "$program" tune sloyd-knife some.yaml --quiet --json
expect_text out.txt '"items"'
expect_exit 0 "$program" tune sloyd-knife some.yaml --quiet
expect_empty out.txt
expect_exit 0 "$program" tune sloyd-knife small-smithy.yaml --json # the demo's, found by name
python3 -c 'import json; assert len(json.load(open("out.txt"))["items"]) == 6' || fail "the demo's evidence by its name"

# ---- evidence that cannot be used
refused() { # PATTERN ITEM
    write_items bad.yaml "$2"
    expect_exit 3 "$program" tune sloyd-knife bad.yaml
    tr '\n' ' ' <err.txt >words.txt
    expect_text words.txt "$1"
    expect_empty out.txt
}
refused 'bad.yaml:3:25: error: items.0.value: .9., a number without a unit' 'what: line, value: 9, method: eye'
refused 'items.0.value: .62.; expected a hardness, for instance 62 HRC' 'what: hardness, value: 62, method: rockwell'
refused 'items.0.value: .900 HRC.; expected 20 to 68 HRC' 'what: hardness, value: 900 HRC, method: rockwell'
refused 'expected a length' 'what: line, value: 9 s, method: eye'
refused 'did you mean .method' 'what: line, value: 9 mm, methd: eye'
refused 'expected eye, caliper' 'what: line, value: 9 mm, method: nose'
refused "no 'method'" 'what: line, value: 9 mm'
refused 'does not read this' 'what: line, value: 9 mm, method: ear'
refused 'an error above 0' 'what: line, value: 9 mm, method: eye, error: 0 mm'
refused 'height on the blade' 'what: line, value: 40 mm, method: eye'
refused 'expected thickness of the coupon' 'what: stepped-clay, value: 1 mm, method: eye'
refused 'on a plate or round' "what: line, value: 2 mm, method: eye, plan: $demo/bare-plate.yaml"
refused 'cannot be read' 'what: line, value: 9 mm, method: eye, plan: nowhere.yaml'
refused 'steps.9' 'what: line, value: 9 mm, method: eye, change: {steps.9.at: 30 °C}'
refused 'one value' 'what: line, value: 9 mm, method: eye, change: {steps.1.at: "30 °C, 40 °C"}'
refused 'nothing was fitted' 'what: line, value: 10.9 mm, method: eye, error: 20 mm'
printf 'format: clayquench-evidence 1\nitems: []\n' >bad.yaml
expect_exit 3 "$program" tune sloyd-knife bad.yaml
expect_text err.txt 'evidence of nothing'
printf 'format: clayquench-plan 1\n' >bad.yaml
expect_exit 3 "$program" tune sloyd-knife bad.yaml
expect_text err.txt 'expected clayquench-evidence 1'
printf 'what,value,method\nline,9,5 mm,eye\n' >bad.csv
expect_exit 3 "$program" tune sloyd-knife bad.csv
expect_text err.txt 'decimal point'
expect_exit 4 "$program" tune sloyd-knife nowhere.yaml
expect_exit 3 "$program" tune "$demo/probe.yaml" "$demo/small-smithy.yaml"

# ---- a log
expect_exit 0 "$program" tune "$demo/probe.yaml" "$demo/probe-log.csv" --bath my-oil -o made
fits_screen log
expect_text out.txt 'Largest flux .* 2\.[01][0-9] MW/m'
expect_exit 0 "$program" check made/my-oil.yaml
grep -q '^resolution:' made/my-oil.yaml || fail "no resolution in the tuned bath"
sed 's/in: fast-oil/in: my-oil/' "$demo/probe.yaml" >made/again.yaml
expect_exit 0 "$program" quench made/again.yaml --json
cp out.txt again.json
expect_exit 0 "$program" quench "$demo/probe.yaml" --json
python3 - out.txt again.json <<'CHECK' || fail "the probe in the tuned bath"
import json, sys
a, b = (json.load(open(f))["probes"]["bead"] for f in sys.argv[1:3])
def at(p, t):
    i = max(k for k in range(len(p["time_s"])) if p["time_s"][k] <= t)
    u = (t - p["time_s"][i]) / (p["time_s"][i + 1] - p["time_s"][i])
    return p["temp_C"][i] + u * (p["temp_C"][i + 1] - p["temp_C"][i])
worst = max(abs(at(a, t) - at(b, t)) for t in range(1, 24))
assert worst < 6, worst
CHECK
cp made/tune.json metric.json
awk -F, 'NR < 3 { if (NR == 2) print "time (s),temperature (°F)"; next } { printf "%s,%.2f\n", $1, 1.8 * $2 + 32 }' "$demo/probe-log.csv" >us.csv
expect_exit 0 "$program" tune "$demo/probe.yaml" us.csv --bath my-oil --units us -o us
fits_screen "log in us units"
python3 -c '
import json
a, b = (json.load(open(f)) for f in ("metric.json", "us/tune.json"))
assert abs(a["peak_flux_MW_m2"]["value"] - b["peak_flux_MW_m2"]["value"]) < 0.02 and a["single"] and a["bath_C"] == 40
assert len(a["transfer"]["face_C"]) == len(a["transfer"]["resolution_K"])' || fail "°F, labelled, is not °C"

log_refused() { # PATTERN HEADER; further lines of the log on stdin
    { echo "$2"; cat; } >bad.csv
    expect_exit 3 "$program" tune "$demo/probe.yaml" bad.csv --bath mine
    expect_text err.txt "$1"
    expect_empty out.txt
}
lines() { awk -F, 'NR > 2 { print '"${1:-\$0}"' }' "$demo/probe-log.csv"; }
lines | log_refused 'bad.csv:1:10: error: log: .temperature., a column without a unit' 'time (s),temperature'
lines | log_refused 'a column without a unit' 'time,temperature (°C)'
lines | log_refused 'none of temperature.*' 'time (s),temperature (C)'
lines | log_refused 'none of time' 'time (mm),temperature (°C)'
lines | log_refused 'no column of temperature' 'time (s),reading'
lines | log_refused 'a second column' 'time (s),temperature (°C),temperature 2 (°C)'
lines | sed '40d;41d;42d;43d;44d;45d;46d;47d;48d;49d;50d' | log_refused 'a gap of 0.48 s after line 40' 'time (s),temperature (°C)'
lines | sed '30p' | log_refused 'bad.csv:32:1: error: log: the same time as in line 31' 'time (s),temperature (°C)'
lines | sed '30{h;d};31{G}' | log_refused 'a time before that of line 31' 'time (s),temperature (°C)'
lines | sed '20s/,.*/,nan/' | log_refused "bad.csv:21:.* temperature 'nan'; expected a number" 'time (s),temperature (°C)'
lines | sed '20s/,.*/,/' | log_refused 'bad.csv:21:.* no temperature' 'time (s),temperature (°C)'
lines | head -12 | log_refused 'a log of 12 readings' 'time (s),temperature (°C)'
lines | head -40 | log_refused 'a log too short: it falls by .* K only' 'time (s),temperature (°C)'
lines | log_refused 'is the unit in the header right' 'time (s),temperature (kK)'
awk -F, 'NR > 2 { printf "%s,%.2f\n", $1, 1.8 * $2 + 32 }' "$demo/probe-log.csv" | # degrees Fahrenheit, labelled Celsius
    log_refused 'begins at 1561 °C, of a piece that the plan heats to 850 °C' 'time (s),temperature (°C)'
lines | log_refused 'begins at 454 °C' 'time (s),temperature (°F)'
lines | sed '50s/,.*/,20/' | log_refused 'bad.csv:51:1: error: log: [0-9]+ K off both the reading before' 'time (s),temperature (°C)'
{ awk 'BEGIN { print "time (s),temperature (°C)"; for (i = 0; i < 50; i++) printf "%.2f,850\n", 0.04 * i }'; lines | awk -F, '{ printf "%.2f,%s\n", 2 + $1, $2 }'; } >waited.csv
expect_exit 0 "$program" tune "$demo/probe.yaml" waited.csv --bath mine --json
python3 -c 'import json; d = json.load(open("out.txt")); t = d["transfer"]; assert not d["single"] and all(e is None or e > 0.005 * h for e, h in zip(t["error_W_m2K"], t["heat_transfer_W_m2K"])), t["error_W_m2K"]' ||
    fail "coefficients without an error"
expect_exit 2 "$program" tune "$demo/probe.yaml" "$demo/probe-log.csv" --bath water
expect_text err.txt 'there is a bath of that name'
expect_exit 2 "$program" tune "$demo/probe.yaml" "$demo/probe-log.csv"
expect_text err.txt 'add --bath NAME'
expect_exit 2 "$program" tune "$demo/probe.yaml" "$demo/probe-log.csv" --bath "my oil/"
expect_exit 2 "$program" tune "$demo/probe.yaml" "$demo/probe-log.csv" --bath mine --noise 0.5
expect_text err.txt 'a temperature difference'
expect_exit 2 "$program" tune sloyd-knife two.yaml --noise "1 K"
probe_refused() { # PATTERN SED
    sed "$2" "$demo/probe.yaml" >bad.yaml
    expect_exit 3 "$program" tune bad.yaml "$demo/probe-log.csv" --bath mine
    expect_text err.txt "$1"
}
probe_refused 'one probe: where the bead sits' 's/^record.*//'
probe_refused 'a steel that transforms' 's/alloy-600/1084/'
probe_refused 'expected a depth up to the middle' 's/depth: 1 mm/depth: 9 mm/'
probe_refused 'air only' 's/{in: fast-oil, at: 40 °C,/{in: air,/'
probe_refused 'a plate or a round' 's/^blade:.*/blade: sloyd-knife/; s/depth: 1 mm/at: 5 mm/'
finish
