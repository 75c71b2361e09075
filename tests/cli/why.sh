#!/bin/bash
# The why command: a plan that was changed in one thing is asked about, and that thing comes out; screen, JSON, kept runs, every
# word for --seen, and what was typed wrongly.
. "$(dirname "$0")/prelude.sh"
. "$top/tests/cli/small_knife.sh"
write_small_knife small.yaml

# The blade's clay was 0.7 of what the plan says: its line, told as seen, must be put down to something that moves the line there,
# and the clay's change must predict it.
sed 's/thickness: 2 mm/thickness: 1.4 mm/g; s/spine: 2 mm/spine: 1.4 mm/' small.yaml >thin.yaml
seen=$("$program" quench thin.yaml --json | python3 -c 'import json, sys; print(json.load(sys.stdin)["line"]["surface_mm"])')
expect_exit 0 "$program" why small.yaml --seen "$seen mm" --within "0.1 mm" --threads 2 -o out
expect_empty err.txt
[ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "wider than a screen: $(cat out.txt)"
tr '\n' ' ' <out.txt | sed 's/  */ /g' >words.txt
expect_text words.txt 'seen a line \(hamon\) at'
expect_text words.txt ' Test: '
expect_text words.txt 'Not modelled, so not ruled out: etching'
expect_text words.txt ' \[[0-9]+\] Test: '
python3 - out/why.json "$seen" <<'CHECK' || fail "JSON is not as documented"
import json, math, sys
d, seen = json.load(open(sys.argv[1])), float(sys.argv[2])
want = ["program", "title", "seen", "as_planned", "explained", "causes", "runs", "not_modelled", "cautions"]
assert sorted(d) == sorted(want), sorted(d)
assert abs(d["seen"]["line_mm"] - seen) < 1e-9 and d["explained"]
weights = [c["weight"] for c in d["causes"]]
assert weights == sorted(weights, reverse=True) and abs(sum(weights) - 1) < 1e-9
for c in d["causes"]:
    assert c["test"] and c["explains"] in ("well", "in part", "hardly")
    if c["outcome"].get("line_mm") is not None and c["outcome"]["verdict"] != "no hard edge":
        assert abs(c["likelihood"] - math.exp(-0.5 * ((c["outcome"]["line_mm"] - seen) / 0.1) ** 2)) < 1e-9
coat = next(c for c in d["causes"] if c["cause"] == "coat")
assert coat["change"]["value"] < coat["change"]["planned"] and coat["explains"] != "hardly", coat
assert len(d["runs"]) > 100 and d["runs"][0]["cause"] == "as-planned"
CHECK

# Runs are kept: another question of the same blade only reads them.
cp out/study.h5 whole.h5
expect_exit 0 "$program" why small.yaml --seen "5 mm" -o out --quiet
expect_empty out.txt
expect_exit 4 "$program" why "$(printf 'a/%.0s' {1..300})small.yaml" --seen "5 mm" # longer than is kept
expect_text err.txt 'a path of 511 bytes at most'
expect_exit 0 "$program" why small.yaml --seen "5 mm" -o out --json --quiet # the object is no screen
cmp -s whole.h5 out/study.h5 || fail "runs that were there were made again"
cmp -s out.txt out/why.json || fail "--json is not why.json"
for words in "faint" "none" "hard right through" "soft edge" "cracked" "curved to the edge"; do
    expect_exit 0 "$program" why small.yaml --seen "$words" -o out
    cmp -s whole.h5 out/study.h5 || fail "$words: runs that were there were made again"
    expect_text out.txt 'Small knife: seen'
done
expect_exit 0 "$program" why small.yaml --seen "none" -o out --json
python3 -c 'import json, sys; c = json.load(open("out/why.json"))["causes"][0]; assert c["outcome"]["verdict"] in ("hard right through", "no hard edge", "faint line"), c' ||
    fail "what explains no line has a line"
expect_exit 0 "$program" why small.yaml --seen "fades at the tip" --units us
expect_text out.txt 'fades at the tip'
for words in "cracked" "cracked at 3 s" "curved to the edge" "curved to the spine"; do
    expect_exit 0 "$program" why small.yaml --seen "$words" -o bent
    [ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
done

# A skin without its carbon is tried, with its own words: the line it hides, the edge it softens to the file.
sed 's/^grid:.*/grid: {along: 24, across: 6, clay: 3}/' small.yaml >fine.yaml # cells that a skin does not fall between
expect_exit 0 "$program" why fine.yaml --seen "soft edge" -o fine --json
python3 - out.txt <<'CHECK' || fail "a soft edge under a skin"
import json, sys
d = json.load(open(sys.argv[1]))
first = d["causes"][0]
assert first["cause"] == "skin" and first["explains"] == "well" and first["outcome"]["edge_face_HV"] < 600 < first["outcome"]["edge_HV"], first
depths = [r["outcome"] for r in d["runs"] if r["cause"] == "skin"]
assert len(depths) == 4 and depths[0]["edge_face_HV"] > depths[3]["edge_face_HV"]
assert any(o["line_mm"] is None and o["verdict"] == "hard edge, soft back" for o in depths), depths
CHECK
expect_exit 0 "$program" why fine.yaml --seen "none" -o fine --json
python3 -c 'import json; c = [c for c in json.load(open("out.txt"))["causes"] if c["cause"] == "skin"][0]; assert c["explains"] == "well" and c["outcome"]["line_mm"] is None, c' ||
    fail "a skin hides no line"
# What the plan gives by itself is said to need no cause; what nothing gives has the nearest, without weights.
expect_exit 0 "$program" why small.yaml --seen "$("$program" quench small.yaml --json | python3 -c 'import json, sys; print(json.load(sys.stdin)["line"]["surface_mm"])') mm" -o out
tr '\n' ' ' <out.txt >words.txt
expect_text words.txt 'explains it well by itself'
expect_exit 0 "$program" why small.yaml --seen "19.5 mm" --within "0.05 mm" -o out --json
cp out.txt far.json
expect_exit 0 "$program" why small.yaml --seen "19.5 mm" --within "0.05 mm" -o out
grep -q ' \[[0-9]' out.txt && fail "weights of what explains nothing"
expect_text out.txt 'the nearest'
python3 - far.json <<'CHECK' || fail "the nearest come first"
import json, sys
d = json.load(open(sys.argv[1]))
off = [abs(c["outcome"]["line_mm"] - 19.5) if c["outcome"].get("line_mm") is not None and c["outcome"]["verdict"] != "no hard edge" else 1e9 for c in d["causes"]]
assert not d["explained"] and off == sorted(off), off
CHECK

bad() { # PATTERN OPTION...
    local pattern=$1
    shift
    expect_exit 2 "$program" why small.yaml "$@"
    expect_text err.txt "$pattern"
    expect_empty out.txt
}
bad 'seen is missing'
bad "seen 'wobbly'; expected a height .*faint, none, hard right through.*cracked \(or cracked at 3 s\)" --seen wobbly
bad "seen '5 s'" --seen "5 s"
bad "seen '5'" --seen 5
bad "expected above 0 and below 20 mm, the height of the blade" --seen "25 mm"
bad "expected above 0 and below 20 mm" --seen "-3 mm"
bad "seen '3 mm'" --seen "cracked at 3 mm"
bad "within '0 mm'; expected a length above 0" --seen "5 mm" --within "0 mm"
sed -i 's/, length: 100 mm//' small.yaml
bad 'blade.length' --seen "curved to the edge"
write_plate plate.yaml
expect_exit 3 "$program" why plate.yaml --seen "none"
expect_text err.txt 'a plate or a round'
finish
