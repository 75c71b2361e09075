#!/bin/bash
# The report command: from a folder, its file and a plan the same page; every number as in summary.json; titles of every kind
# shown and never read as markup; what it refuses; files whole or absent.
. "$(dirname "$0")/prelude.sh"
checker=$top/tests/cli/report_page.py
write_plate plate.yaml
write_wedge wedge.yaml

check_page() { # PAGE SUMMARY
    python3 "$checker" "$1" "$2" >checked.txt || fail "$1: $(cat checked.txt)"
}

# A folder, its file, a plan.
expect_exit 0 "$program" quench wedge.yaml -q -o out
expect_exit 0 "$program" report out
expect_text out.txt '^Written to out/report.html\.$'
expect_empty err.txt
check_page out/report.html out/summary.json
expect_exit 0 "$program" report out/result.h5 -o by-file.html
expect_exit 0 "$program" report wedge.yaml -o by-plan.html
expect_empty err.txt
cmp -s out/report.html by-file.html || fail "the page of the file is not that of the folder"
cmp -s out/report.html by-plan.html || fail "the page of the plan is not that of its result"
mv out/report.html first.html
expect_exit 0 "$program" report out/result.h5
cmp -s out/report.html first.html || fail "the default place is not beside the result"
cat >again.yaml <<'PLAN'
format: clayquench-plan 1
blade: {section: flat, height: 28 mm, edge: 1.2 mm, spine: 3.2 mm, length: 110 mm}
steel: 1084
skin: {depth: 0.1 mm}
heat: {temperature: 800 °C, structure: quenched, fire: {temperature: 900 °C, for: 3 min, film: 150 W/m^2/K}}
steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, until: 60 °C}]
heats:
  - heat: {temperature: 790 °C, hold: 5 min}
    steps: [{in: air, for: 1.5 s}, {in: water, at: 40 °C, until: 60 °C}]
finish: {grind: 0.2 mm}
PLAN
sed '/^heats/,/^    steps/d' again.yaml >once.yaml
for plan in kitchen-slicer long-blade sloyd-knife lesson-plate plate.yaml laid-knife once.yaml again.yaml; do
    expect_exit 0 "$program" quench "$plan" -q -o shipped
    expect_exit 0 "$program" report shipped
    check_page shipped/report.html shipped/summary.json
    cp shipped/report.html "page-of-$(basename "$plan" .yaml).html"
done
expect_text page-of-laid-knife.html 'Welding and forging spread the carbon over'
expect_text page-of-laid-knife.html '>The section lying on its side, edge to the left, built as a hard core in a soft jacket: '
expect_text page-of-laid-knife.html '>The section .* Colours show carbon when the quench begins'
expect_text page-of-laid-knife.html 'welded and forged at 1150.°C \(2102.°F\) for 90.s'
expect_text page-of-once.html 'stock hardened before'
expect_text page-of-once.html 'in a fire of 900.°C \(1652.°F\) for 3.min'
expect_text page-of-once.html 'a file meets .* after grinding'
expect_text page-of-once.html 'Out of the fire the edge was at'
expect_text page-of-again.html 'steel as the quench before left it'

# PDF: a4 unless letter is asked for, the same bytes again.
expect_exit 0 "$program" report out -o page.pdf
expect_exit 0 "$program" report out -o again.pdf
cmp -s page.pdf again.pdf || fail "the same result gave another PDF"
expect_exit 0 "$program" report out -o letter.pdf --paper letter
head -c 5 page.pdf | grep -q '%PDF-' || fail "page.pdf is no PDF"
tail -c 8 page.pdf | grep -q EOF || fail "page.pdf is cut short"
grep -aq 'MediaBox \[ 0 0 595' page.pdf || fail "page.pdf is not on A4"
grep -aq 'MediaBox \[ 0 0 612 792' letter.pdf || fail "letter.pdf is not on letter"

# Titles: markup, very long words, right to left, Japanese; folders with blanks and letters of other scripts.
long=$(printf 'x%.0s' $(seq 400))
folder="dossier d'été 刃"
mkdir "$folder"
for title in '<script>alert(1)</script>' "$long" 'סכין של נפח' '包丁 小刀' 'a & b > c "quoted"' "it's <b>bold"; do
    printf "title: '%s'\n" "$(printf %s "$title" | sed "s/'/''/g")" |
        cat <(grep -v '^title:' wedge.yaml) - <(echo 'grid: {along: 40, across: 4}') >"$folder/刃物.yaml"
    expect_exit 0 "$program" quench "$folder/刃物.yaml" --json
    mv out.txt "$folder/summary.json"
    expect_exit 0 "$program" report "$folder/刃物.yaml" -o "$folder/page.html"
    check_page "$folder/page.html" "$folder/summary.json"
    python3 - "$folder/page.html" "$title" <<'CHECK' || fail "the title is not shown: $title"
import html, re, sys
text = open(sys.argv[1], encoding="utf-8").read()
shown = re.search(r"<h1 dir=\"auto\">(.*?)</h1>", text).group(1)
sys.exit(html.unescape(shown) != sys.argv[2] or "<" in shown or text.count("<script>") != 1)
CHECK
    expect_exit 0 "$program" report "$folder/刃物.yaml" -o "$folder/page.pdf"
    [ ! -s err.txt ] || expect_text err.txt 'no installed font has them'
done

# What really came out: the page's own lines, filled in, are evidence that tune reads; as they stand they are not.
listing() { # PAGE: the evidence on it
    python3 - "$1" <<'TAKE'
import html, re, sys
for text in re.findall(r"<pre[^>]*>(.*?)</pre>", open(sys.argv[1], encoding="utf-8").read(), re.S):
    if text.startswith("format: clayquench-evidence"):
        print(html.unescape(text), end="")
TAKE
}
expect_exit 0 "$program" quench sloyd-knife -q -o knife
expect_exit 0 "$program" report knife
listing knife/report.html >blank.yaml
[ "$(grep -c '____' blank.yaml)" -eq 6 ] || fail "lines to fill in: $(cat blank.yaml)"
expect_exit 3 "$program" tune sloyd-knife blank.yaml
sed 's/rise, value: ____/rise, value: -0.5/; s/____ mm/11.5 mm/; s/____ HRC, method: rockwell, place: edge/64 HRC, method: rockwell, place: edge/; s/____/39/' \
    blank.yaml >came-out.yaml
expect_exit 0 "$program" tune sloyd-knife came-out.yaml --json
python3 - out.txt knife/summary.json <<'CHECK' || fail "tune reads something else than the page asks for"
import json, sys
told, summary = (json.load(open(name, encoding="utf-8")) for name in sys.argv[1:])
said = {(item["what"], item.get("place") if item["what"] == "hardness" else None): item for item in told["items"]}
print(sorted(map(str, said)))
sys.exit(len(told["items"]) != 6 or len(said) != 4)
CHECK
grep -q 'as quenched' <(sed -n '/id="really"/,/<\/section>/p' knife/report.html) || fail "the lines do not say when to read"
sed -n '/id="really"/,/<\/section>/p' knife/report.html | grep -q 'after_temper' && fail "tempered hardness is foreseen for tune"

# The plan's table tells all of a plan: every heat, fire, several steels, a skin, stock of every kind.
cat >heats.yaml <<'PLAN'
format: clayquench-plan 1
title: Scraper, hardened again
blade: {section: one-sided, height: 24 mm, edge: 1.4 mm, spine: 3 mm, length: 120 mm, surface: scratched-across}
steel: W1
skin: {depth: 0.1 mm}
clay: {mix: kaolin, contact: 0.0001 m^2*K/W, soaked: 2, coat: [{at: 6 mm, thickness: 0.05 mm}, {at: 24 mm, thickness: 1 mm}]}
heat: {temperature: 790 °C, hold: 5 min, structure: quenched}
steps: [{in: air, for: 1.5 s}, {in: brine-10, at: 25 °C, until: 60 °C}]
temper: [{temperature: 180 °C, for: 1 h, after: 2 h}]
heats:
  - temper: [{temperature: 210 °C, for: 30 min}]
    heat: {temperature: 785 °C, hold: 4 min}
    steps: [{in: air, for: 1 s}, {in: water, at: 45 °C, until: 70 °C}]
grid: {along: 40, across: 4}
PLAN
expect_exit 0 "$program" quench heats.yaml -q -o heats
expect_exit 0 "$program" report heats
check_page heats/report.html heats/summary.json
for words in 'carbon lost to' 'left face flat' 'scratched across' 'gap to the steel' 'conducts 2 times' 'Heat 1: soak' 'stock hardened before' 'brine-10' \
    'Heat 1: temper' 'Heat 2: soak' 'as the quench before left it' 'a file meets'; do
    expect_text heats/report.html "$words"
done
sed '/^heats:/,/^    steps:/d; s/^heat:.*/heat: {temperature: 785 °C, fire: {temperature: 900 °C, for: 3 min, film: 200 W\/m^2\/K}}/' \
    heats.yaml >fire.yaml
expect_exit 0 "$program" quench fire.yaml -q -o fire
expect_exit 0 "$program" report fire
check_page fire/report.html fire/summary.json
expect_text fire/report.html 'in a fire of 900.*it leaves the fire with the edge at'
expect_exit 0 "$program" report laid-plane-iron -o laid.html
for words in 'Steels and batches' 'hard .*soft ' 'Build' 'welded and forged at'; do
    expect_text laid.html "$words"
done

# Pieces of a quench that never were: no number that is none, no words of clay or a line where there is none.
cat >air.yaml <<'PLAN'
format: clayquench-plan 1
title: Air alone
blade: {section: flat, height: 24 mm, edge: 1.4 mm, spine: 3 mm}
steel: 1084
heat: {temperature: 800 °C, hold: 5 min}
steps: [{in: air, for: 0.5 s}]
grid: {along: 40, across: 4}
PLAN
sed 's/^steel:.*/steel: silver/; s/^heat:.*/start: 300 °C/' air.yaml >silver.yaml
for plan in air silver; do
    expect_exit 0 "$program" quench $plan.yaml -q -o $plan
    expect_exit 0 "$program" report $plan
    check_page $plan/report.html $plan/summary.json
    expect_text $plan/report.html 'all bare, to scale'
done

# Studies: every number as in the command's own JSON, the stored plans enough for the pictures, the same page wherever it is made.
expect_exit 0 "$program" compare sloyd-knife kitchen-slicer --vary 'steps.1.at=20 °C,90 °C' -q -o many
expect_exit 0 "$program" report many
expect_text out.txt '^Written to many/report\.html\.$'
check_page many/report.html many/compare.json
[ "$(grep -o '<svg' many/report.html | wc -l)" -eq 1 ] || fail "no picture of the runs"
grep -q 'class="warn"' many/report.html || fail "no cautions of the runs"
XDG_DATA_HOME=/nowhere expect_exit 0 "$program" report many/study.h5 -o many.html
cmp -s many/report.html many.html || fail "another page from the file than from the folder"
expect_exit 0 "$program" report many -o many.pdf
expect_exit 0 "$program" compare wedge.yaml --vary 'steps.1.until=60 °C,30 °C' -q -o failing
expect_exit 0 "$program" report failing
check_page failing/report.html failing/compare.json
expect_text failing/report.html 'cannot be reached'
expect_exit 0 "$program" map wedge.yaml --vary 'blade.edge=1 mm,2 mm' --vary 'steps.1.at=20 °C,40 °C' -q -o mapped
expect_exit 0 "$program" report mapped
check_page mapped/report.html mapped/map.json
expect_text mapped/report.html '>Map: one varied key across'
expect_text mapped/report.html 'steps.1.at: holds from 20 to 40 °C'
expect_exit 0 "$program" spread wedge.yaml --samples 120 -o no-line
expect_exit 0 "$program" report no-line
check_page no-line/report.html no-line/spread.json
expect_text no-line/report.html 'What moves the edge'
expect_exit 0 "$program" spread sloyd-knife --samples 120 -o spread
expect_exit 0 "$program" report spread
check_page spread/report.html spread/spread.json
[ "$(grep -o '<svg' spread/report.html | wc -l)" -eq 3 ] || fail "pictures of the spread are missing"
grep -q 'class="warn"' spread/report.html || fail "no cautions of the spread"
expect_exit 0 "$program" report spread -o spread.pdf
expect_exit 0 "$program" spread sloyd-knife --samples 40 --part 1/2 -o part
expect_exit 4 "$program" report part
expect_text err.txt 'a whole study'
head -c 3000 spread/study.h5 >cut.h5
mkdir cut-study && mv cut.h5 cut-study/study.h5
expect_exit 4 "$program" report cut-study
[ ! -e cut-study/report.html ] || fail "a page of a broken study"
# A result has the say where both lie; the study beside it tells how sure the line is.
expect_exit 0 "$program" quench sloyd-knife -q -o both
cp spread/study.h5 both/
expect_exit 0 "$program" report both
check_page both/report.html both/summary.json
python3 - both/report.html spread/spread.json <<'CHECK' || fail "the page says something else of the tolerances than their study"
import html, json, re, sys
page, line = html.unescape(open(sys.argv[1], encoding="utf-8").read()), json.load(open(sys.argv[2], encoding="utf-8"))["line_mm"]
low, high = re.search(r"sure to lie between ([\d.]+) and ([\d.]+)\u00a0mm", page).groups()
middle = re.search(r"in the middle at ([\d.]+)", page).group(1)
sys.exit([low, high, float(middle)] != [f"{line['p5']:.1f}", f"{line['p95']:.1f}", round(line["p50"], 1)])
CHECK
expect_text both/report.html 'What moves the line most: '

# What it refuses.
expect_exit 2 "$program" report
expect_exit 2 "$program" report out -o page.odt
expect_text err.txt 'ends in .html or .pdf'
expect_exit 2 "$program" report out --paper foolscap
expect_text err.txt 'a4 or letter'
expect_exit 4 "$program" report nowhere/
expect_exit 3 "$program" report <(sed 's/4 mm/4 s/' plate.yaml) -o x.html
mkdir empty
expect_exit 4 "$program" report empty
expect_text err.txt 'cannot be read'
cp -r out cut
head -c 20000 out/result.h5 >cut/result.h5
rm cut/report.html
expect_exit 4 "$program" report cut
expect_text err.txt 'complete result.h5 of clayquench'
[ ! -e cut/report.html ] || fail "a page of a broken result"
echo '{}' >cut/result.h5
expect_exit 4 "$program" report cut
expect_exit 4 "$program" report out -o /nowhere/page.html
expect_exit 4 "$program" report out -o /dev/full/page.html

# A full disk: whole or absent.
for blocks in 0 8 64; do
    rm -f full.html
    (
        trap '' XFSZ
        ulimit -f "$blocks"
        exec "$program" report out -o full.html
    ) >/dev/null 2>&1
    [ $? -eq 4 ] || fail "a full disk at $blocks KiB must exit 4"
    [ ! -e full.html ] || fail "a page cut short at $blocks KiB"
done
find . -name '*.part' | grep . && fail "a temporary file stayed"

# A run that was interrupted has no answer to report.
sed 's/until: 60 °C/for: 600 s/; $a grid: {refine: 4}' wedge.yaml >slow.yaml
"$program" quench slow.yaml -q -o slow 2>/dev/null &
pid=$!
sleep 0.7
kill -INT $pid
wait $pid
if [ $? -eq 130 ]; then
    expect_exit 4 "$program" report slow
    expect_text err.txt 'interrupted'
else
    echo "the run was over before it could be interrupted"
fi
# The film goes on to the end of the steps, dense at first.
python3 - both/report.html both/summary.json <<'FILM' || fail "the film"
import html, json, re, sys
page = html.unescape(open(sys.argv[1], encoding="utf-8").read()).replace("\u00a0", " ")
end_s = json.load(open(sys.argv[2], encoding="utf-8"))["steps"][-1]["time_s"]
times = [float(t) for t in re.findall(r"<figcaption>([0-9.]+) s: edge", page)]
steps = [t for t in times if t <= end_s + 0.01]
print(times)
sys.exit(len(steps) < 15 or steps[-1] < 0.75 * end_s or sum(t < 4 for t in steps) < 6 or times != sorted(set(times)))
FILM

finish
