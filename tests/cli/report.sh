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
expect_text page-of-laid-knife.html '1150.°C \(2102.°F\) for 90.s, bar then 12.mm'
expect_text page-of-once.html 'stock hardened before'
expect_text page-of-once.html 'in a fire of 900.°C \(1652.°F\) for 3.min'
expect_text page-of-once.html 'a file meets .* after grinding'
expect_text page-of-once.html 'Out of the fire the edge was at'
expect_text page-of-again.html 'of what the quench before left'
expect_text page-of-again.html 'came out: '

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
expect_text both/report.html 'sure to'

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
finish
