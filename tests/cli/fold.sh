#!/bin/bash
# Folded bars: screen, JSON, and what is said to quantities that cannot be.
. "$(dirname "$0")/prelude.sh"
pair=(--thickness "5 mm" --carbon "0.9 %, 0.2 %")
for units in metric us; do
    expect_exit 0 "$program" fold "${pair[@]}" --folds 12 --heats "1200 °C for 5 min, 2100 °F for 60 s" --units $units
    [ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"
    LC_ALL=C sed 's/[\x80-\xbf]//g' out.txt | awk 'length($0) > 80 { exit 1 }' || fail "wider than a screen: $(cat out.txt)"
done
expect_exit 0 "$program" fold "${pair[@]}" --folds 3 --layers 4 --heats "1200 °C for 5 min" --json
python3 - out.txt <<'CHECK' || fail "fold --json"
import json, sys
d = json.load(open(sys.argv[1]))
h = d["heats"]
assert [r["layers"] for r in h] == [4, 8, 16, 32] and [r["fold"] for r in h] == [0, 1, 2, 3]
assert abs(d["carbon_mean"] - 0.55) < 1e-9 and abs(h[3]["layer_mm"] - 5 / 32) < 1e-9
assert all(0.2 <= r["carbon_least"] < r["carbon_most"] <= 0.9 for r in h)
assert abs(h[0]["even_s"] / h[1]["even_s"] - 4) < 1e-6
CHECK
expect_exit 0 "$program" fold --thickness "5 mm" --carbon "0.8 %" --heats "1100 °C for 1 min"
expect_text out.txt 'nothing to even out'
expect_text out.txt '^Bar of 5 mm, 1 layer of 0.80 % C, 0 folds: 1 layer of 5 mm'
expect_exit 0 "$program" fold --thickness "5 mm" --carbon "0.7 %, 0.05 %" --heats "1200 °C for 1 min"
expect_text out.txt '^One weld of thick bars at 1200 °C: carbon crosses 0.381 mm in 1, 0.853 mm in 5,'

expect_exit 3 "$program" fold --thickness "5 mm" --carbon "1.5 %, 0.2 %" --heats "1300 °C for 5 min"
expect_text err.txt 'heats.0: 1300 °C .*; expected less than about .* 1.50 % carbon begins to melt'
expect_exit 3 "$program" fold "${pair[@]}" --heats "600 °C for 5 min"
expect_text err.txt 'expected 727 °C'
expect_exit 3 "$program" fold "${pair[@]}" --heats "1200 °C for 5 min" --folds 40
expect_text err.txt 'folds: 40; expected 0 to 20'
expect_exit 3 "$program" fold --thickness "5 mm" --carbon "4 %, 0.2 %" --heats "1200 °C for 5 min"
expect_text err.txt 'cast iron'
expect_exit 3 "$program" fold --thickness "-5 mm" --carbon "1 %, 0.2 %" --heats "1200 °C for 5 min"
expect_exit 2 "$program" fold "${pair[@]}" --heats "1200 °C for -5 min"
expect_text err.txt 'expected a time above 0'
expect_exit 2 "$program" fold "${pair[@]}" --heats "1200 C for 5 min"
expect_text err.txt 'write °C'
expect_exit 2 "$program" fold "${pair[@]}" --heats "1200 °C"
expect_text err.txt 'for instance 1200 °C for 5 min'
expect_exit 2 "$program" fold "${pair[@]}" --heats "1200 °C for 5 furlongs per bushel"
expect_exit 2 "$program" fold --thickness "5" --carbon "0.9 %, 0.2 %" --heats "1200 °C for 5 min"
expect_text err.txt 'a length, for instance'
expect_exit 2 "$program" fold --thickness "5 mm" --carbon "0.9, 0.2" --heats "1200 °C for 5 min"
expect_exit 2 "$program" fold "${pair[@]}" --heats "1200 °C for 5 min" --folds many
expect_text err.txt 'a whole number'
expect_exit 2 "$program" fold "${pair[@]}" --heats "1200 °C for 5 min,"
expect_exit 2 "$program" fold "${pair[@]}"
expect_text err.txt 'heats is missing'
finish
