#!/bin/bash
# Pages in a real browser (phone, laptop, paper, without scripts), under axe, under tidy; the PDF's words and fonts. Skipped
# (77) where chromium, node or their modules are missing: scripts/install-packages page brings them.
. "$(dirname "$0")/../cli/prelude.sh"
modules=${CQ_PAGE_TOOLS:-$top/build-page-tools}/node_modules
chromium=$(command -v chromium || command -v chromium-browser)
if [ -z "$chromium" ] || ! command -v node >/dev/null || [ ! -d "$modules/playwright-core" ] || [ ! -d "$modules/axe-core" ]; then
    echo "chromium, node or modules in $modules are missing: skipped"
    exit 77
fi
write_plate plate.yaml
write_wedge wedge.yaml
sed 's|^title:.*|title: "<script>alert(1)</script><img src=x onerror=alert(2)> 刃 סכין wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww"|' \
    wedge.yaml >hostile.yaml
pages=
for plan in "$top"/profiles/plans/*.yaml plate.yaml hostile.yaml; do
    name=$(basename "$plan" .yaml)
    expect_exit 0 "$program" report "$plan" -o "$name.html"
    pages="$pages $name.html"
    if command -v tidy >/dev/null; then # which does not know SVG's own elements in old versions
        tidy -q -e --drop-empty-elements no "$name.html" 2>&1 | grep -vE 'not recognized|proprietary|trimming empty|discarding unexpected' |
            grep -E 'Error|Warning' >tidy.txt
        [ ! -s tidy.txt ] || fail "tidy: $name: $(head -5 tidy.txt)"
    fi
done
# shellcheck disable=SC2086  # names without blanks
node "$top/tests/page/browser.mjs" "$modules" "$chromium" $pages || fail "in the browser"

if command -v pdftotext >/dev/null; then
    expect_exit 0 "$program" report "$top/profiles/plans/sloyd-knife.yaml" -o page.pdf
    pdftotext -layout page.pdf page.txt
    expect_text page.txt 'Hard edge, soft back: hard to [0-9.]+.mm \([0-9 /]+.in\) above the edge'
    expect_text page.txt 'page 1 of [4-7]$'
    expect_text page.txt 'Steam and spitting water scald'
    expect_text page.txt 'came out'
    pdffonts page.pdf | tail -n +3 | grep -qv ' yes ' && fail "a font is not in the PDF: $(pdffonts page.pdf)"
fi
finish
