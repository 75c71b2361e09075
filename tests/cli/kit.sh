#!/bin/bash
# The kit: a whole page without network or script in both media, its gauges' size, an evidence file that tune reads once its blanks are
# filled in, plans and logs on the page that are as tune wants them.
. "$(dirname "$0")/prelude.sh"
expect_exit 0 "$program" kit
expect_text out.txt '^Written to kit\.html\.$'
expect_empty err.txt
echo '{}' >nothing.json
python3 "$top/tests/cli/report_page.py" kit.html nothing.json >page.txt || fail "$(cat page.txt)"
grep -q '<script' kit.html && fail "the kit needs a script"
[ "$(grep -o '<svg' kit.html | wc -l)" -eq 8 ] || fail "drawings are missing"
[ "$(grep -c 'class="gauge"' kit.html)" -eq 3 ] || fail "gauges are missing"
for words in 1910.1053 1910.126 1910.133 E407 'carbon monoxide' 'estimate, not a clearance'; do
    grep -q "$words" kit.html || fail "no caution: $words"
done
expect_exit 0 "$program" kit -o again.html
cmp -s kit.html again.html || fail "another page the second time"
expect_exit 0 "$program" kit -o kit.pdf --paper letter
head -c 5 kit.pdf | grep -q '%PDF-' || fail "kit.pdf is no PDF"
grep -aq 'MediaBox \[ 0 0 612 792' kit.pdf || fail "kit.pdf is not on letter"
expect_exit 0 "$program" kit -o a4.pdf
grep -aqE 'MediaBox \[ 0 0 595(\.[0-9]+)? 84[12]' a4.pdf || fail "a4.pdf is not on A4"

# The evidence file: the same as on the page; nothing filled in is a fault; filled in, tune reads and fits all of it.
expect_exit 0 "$program" kit -o evidence.yaml
python3 - kit.html evidence.yaml <<'CHECK' || fail "the files on the page"
import html, re, sys, urllib.parse
page = open(sys.argv[1], encoding="utf-8").read()
files = {n: urllib.parse.unquote(t) for n, t in re.findall(r'download="my-([^"]*)" href="data:text/plain;charset=utf-8,([^"]*)"', page)}
shown = {n: html.unescape(t) for n, t in re.findall(r'<h3>([^<]*)</h3>\n<pre tabindex="0">(.*?)</pre>', page, re.S)}
assert set(files) == {"evidence.yaml", "probe.yaml", "log.csv"} and shown == files, (set(files), set(shown))
assert files["evidence.yaml"] == open(sys.argv[2], encoding="utf-8").read()
open("probe.yaml", "w").write(files["probe.yaml"])
open("head.csv", "w").write(files["log.csv"].split("\n")[0] + "\n")
CHECK
expect_exit 3 "$program" tune sloyd-knife evidence.yaml
expect_text err.txt 'items'
cp "$top/profiles/evidence/bare-plate.yaml" .
sed 's/^blade:.*/blade: {section: flat, height: 20 mm, edge: 1.2 mm, spine: 2.6 mm}/; s/at: 28 mm/at: 20 mm/' "$top/profiles/plans/sloyd-knife.yaml" >tip.yaml
fill() { # KEY VALUE: in the first line with a blank behind KEY
    sed -i "0,/$1___/s//$1$2/" filled.yaml
}
sed 's/^#  - /  - /; s/title: ___/title: Filled in/' evidence.yaml >filled.yaml
fill 'stepped-clay, value: ' 0.5; fill 'thickness: ' 3.2
fill 'wedge, value: ' 15; fill 'wedge, value: ' 9; fill 'steps.1.at: ' 35
fill 'line, value: ' 10; fill 'line, value: ' 11; fill 'line, value: ' 9
fill 'blade.spine: ' 3.4; fill 'station: tip, plan: ' tip
fill 'hardness, value: ' 64; fill 'hardness, value: ' 39; fill 'error: ' 1; fill 'error: ' 2
fill 'film, value: ' 4.5; fill 'plan: ' bare-plate; fill 'rise, value: ' 0.1
grep -q '___' <(grep '^ *- ' filled.yaml) && fail "a blank was not filled: $(grep ___ filled.yaml)"
expect_exit 0 "$program" tune sloyd-knife filled.yaml --json
python3 - out.txt <<'CHECK' || fail "the filled evidence"
import json, sys
d = json.load(open(sys.argv[1]))
assert d["used"] == len(d["items"]) == 10, (d["used"], len(d["items"]))
assert [i["station"] for i in d["items"] if i["what"] == "line"] == ["heel", "middle", "tip"]
heel, middle, tip = (i["before"] for i in d["items"] if i["what"] == "line")
assert len({round(x, 3) for x in (heel, middle, tip)}) == 3 # each has its own section
CHECK
expect_exit 0 "$program" tune sloyd-knife filled.yaml
[ "$(wc -l <out.txt)" -le 24 ] || fail "longer than a screen: $(cat out.txt)"

# The probe's plan and the log's head are as tune wants them.
expect_exit 0 "$program" check probe.yaml
sed '1,2d' "$top/profiles/evidence/probe-log.csv" | cat head.csv - >log.csv
expect_exit 0 "$program" tune probe.yaml log.csv --bath mine

# What it refuses.
refuses_as_page kit 16
expect_exit 4 "$program" kit -o /dev/full/kit.yaml
finish
