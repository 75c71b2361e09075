#!/bin/bash
# Output folders: what is written, what happens when it cannot be. Every file is complete or absent.
. "$(dirname "$0")/prelude.sh"
write_plate plate.yaml
write_wedge wedge.yaml

# No temporary name may stay behind, whatever happened.
expect_clean() {
    local left
    left=$(find "$1" -type f ! -name 'result.h5' ! -name 'result.xdmf' ! -name 'probes.csv' ! -name 'summary.json' \
        ! -name '*.svg' ! -name '*.png' ! -name '*.pdf' 2>/dev/null)
    [ -z "$left" ] || fail "left behind: $left"
    find "$1" -type f -empty 2>/dev/null | grep . && fail "an empty file in $1"
    for file in "$1"/*.png; do
        [ ! -e "$file" ] || tail -c 12 "$file" | grep -q IEND || fail "$file is cut short"
    done
    for file in "$1"/*.pdf; do
        [ ! -e "$file" ] || tail -c 8 "$file" | grep -q EOF || fail "$file is cut short"
    done
    for file in "$1"/*.svg; do
        [ ! -e "$file" ] || tail -c 10 "$file" | grep -q '</svg>' || fail "$file is cut short"
    done
    if [ -e "$1/summary.json" ]; then
        python3 -m json.tool "$1/summary.json" >/dev/null || fail "$1/summary.json is no JSON"
    fi
    if [ -e "$1/result.h5" ]; then
        h5dump -H "$1/result.h5" >/dev/null || fail "$1/result.h5 cannot be read"
    fi
}

expect_exit 0 "$program" quench wedge.yaml -o out
for file in result.h5 result.xdmf probes.csv summary.json; do
    [ -s "out/$file" ] || fail "out/$file is missing"
done
for format in svg png pdf; do
    [ "$(find out -name "*.$format" | wc -l)" -eq 8 ] || fail "there are not eight pictures as $format"
done
expect_clean out
python3 -c 'import xml.dom.minidom, sys; xml.dom.minidom.parse("out/result.xdmf")' || fail "result.xdmf is no XML"

# Over an earlier run: the plate has no section to show, so the wedge's pictures of it must not stay.
expect_exit 0 "$program" quench plate.yaml -o out
expect_clean out
expect_exit 0 "$program" quench plate.yaml -o fresh
[ "$(cd out && ls)" = "$(cd fresh && ls)" ] || fail "pictures of an earlier run stayed in the folder"

# The same plan gives the same bytes; the h5 and the summary carry provenance (clock times), so they are left out here.
expect_exit 0 "$program" quench wedge.yaml -o one
expect_exit 0 "$program" quench wedge.yaml -o two
for file in one/*.svg one/*.png one/*.pdf one/probes.csv one/result.xdmf; do
    cmp -s "$file" "two/${file#one/}" || fail "$file differs between two runs"
done

# A folder that cannot be made, a file in its place.
expect_exit 4 "$program" quench plate.yaml -o /proc/clayquench
expect_text err.txt 'error: '
touch occupied
expect_exit 4 "$program" quench plate.yaml -o occupied
[ ! -s occupied ] || fail "a file was written over"
if [ "$(id -u)" -ne 0 ]; then # root may write anywhere
    mkdir locked
    chmod a-w locked
    expect_exit 4 "$program" quench plate.yaml -o locked
    expect_exit 4 "$program" quench plate.yaml -o locked/inner
fi

# A full disk: behind stdout, and in the folder (a limit on the size of files stands for it; each size stops elsewhere).
"$program" quench plate.yaml --json >/dev/full 2>err.txt
[ $? -eq 4 ] || fail "a full disk behind stdout must exit 4"
for blocks in 0 1 2 4 8 16 32 64; do
    rm -rf full
    (
        trap '' XFSZ
        ulimit -f "$blocks"
        exec "$program" quench wedge.yaml --quiet -o full
    ) >/dev/null 2>&1
    code=$?
    # The largest file decides; a small enough limit must fail, and the exit must not lie.
    [ "$code" -eq 4 ] || [ "$code" -eq 0 ] || fail "exit $code with files limited to $blocks KiB"
    [ "$blocks" -gt 4 ] || [ "$code" -eq 4 ] || fail "exit 0 with files limited to $blocks KiB"
    [ ! -d full ] || expect_clean full
done
finish
