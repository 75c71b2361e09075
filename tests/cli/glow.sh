#!/bin/bash
# The colour of hot steel: screen, JSON, pictures by the ending of their name.
. "$(dirname "$0")/prelude.sh"
for units in metric us; do
    expect_exit 0 "$program" glow --units $units
    [ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
    LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "wider than a screen: $(cat out.txt)"
    expect_text out.txt 'no source'
done
expect_exit 0 "$program" glow --json
python3 - out.txt <<'CHECK' || fail "glow --json"
import json, sys
d = json.load(open(sys.argv[1]))
rows = d["colours"]
assert [r["temp_C"] for r in rows] == [500 + 10 * n for n in range(81)]
assert rows[0]["dark"]["srgb"] == "#000000" and rows[0]["trade_word"] == "black"
assert all(a["luminance_cd_m2"] < b["luminance_cd_m2"] for a, b in zip(rows, rows[1:]))
assert rows[40]["x"] > rows[-1]["x"] and 0.6 < rows[40]["x"] < 0.66  # redder when colder
words = d["trade_words"]
assert len(words) == 11 and words[-1]["word"] == "white"
assert d["eye"]["alike_in_daylight_C"] > d["eye"]["at_C"] and d["eye"]["usual_K"] > d["eye"]["best_K"]
CHECK
for format in svg png pdf; do
    expect_exit 0 "$program" glow -o "glow.$format"
    [ -s "glow.$format" ] || fail "glow.$format is not there"
    expect_text out.txt "^Written to glow.$format"
done
expect_exit 0 "$program" glow --json -o glow.svg
python3 -m json.tool out.txt >/dev/null || fail "not JSON alone"
python3 -c 'import xml.dom.minidom; xml.dom.minidom.parse("glow.svg")' || fail "glow.svg is no XML"
expect_exit 2 "$program" glow -o glow.gif
expect_text err.txt "glow.gif'; expected a name that ends in .svg, .png or .pdf"
expect_exit 2 "$program" glow -o glow
expect_exit 2 "$program" glow --units feet
expect_exit 2 "$program" glow 800
expect_exit 4 "$program" glow -o missing/glow.svg
finish
