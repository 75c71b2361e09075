#!/bin/bash
# Pages in a real browser (phone, laptop, paper, without scripts), under tidy; the PDF's words and fonts. Skipped (77) without chromium:
# scripts/test brings it. Under axe as well where node and its modules are: scripts/install-packages page.
. "$(dirname "$0")/../cli/prelude.sh"
modules=${CQ_PAGE_TOOLS:-$top/build-page-tools}/node_modules
chromium=$(command -v chromium || command -v chromium-browser)
if [ -z "$chromium" ]; then
    echo "no chromium: skipped"
    exit 77
fi
write_plate plate.yaml
write_wedge wedge.yaml
sed 's|^title:.*|title: "<script>alert(1)</script><img src=x onerror=alert(2)> 刃 סכין wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww"|' \
    wedge.yaml >hostile.yaml
# Everything that tidy finds. It stops at words younger than it is: they get older ones first (data, groups within dl, names of
# pictures in SVG).
faults_of_tidy() { # PAGE
    sed -E 's/<data value="[^"]*"/<span/g; s#</data>#</span>#g; s#<div>(<dt)#\1#g; s#(</dd>)</div>#\1#g; s/<title id="[^"]*">/<title>/g' "$1" |
        tidy -q -e --show-errors 1000 --drop-empty-elements no 2>&1 | grep -E 'Error|Warning'
}
if command -v tidy >/dev/null; then
    printf '<!DOCTYPE html>\n<html lang="en"><head><title>x</title></head><body><p><data value="1">1</data></p><table><p>a</p></table></body></html>' >untidy.html
    faults_of_tidy untidy.html | grep -q "isn't allowed in <table>" || fail "tidy finds nothing"
fi
pages=
told= # the same pages with what their numbers must be
for plan in kitchen-slicer long-blade laid-knife sloyd-knife ./plate.yaml ./hostile.yaml lesson kit; do
    name=$(basename "$plan" .yaml)
    if [ "$plan" = lesson ] || [ "$plan" = kit ]; then
        expect_exit 0 "$program" "$plan" -o "$name.html"
        [ "$plan" = kit ] || told="$told $name.html"
    else
        expect_exit 0 "$program" quench "$plan" -q -o "of-$name"
        expect_exit 0 "$program" report "of-$name" -o "$name.html"
        told="$told $name.html=of-$name/summary.json"
    fi
    pages="$pages $name.html"
done
expect_exit 0 "$program" compare sloyd-knife kitchen-slicer --vary 'steps.1.at=20 °C,30 °C' -q -o many
expect_exit 0 "$program" report many -o many.html
expect_exit 0 "$program" spread sloyd-knife --samples 120 -o spread
expect_exit 0 "$program" report spread -o spread.html
pages="$pages many.html spread.html"
told="$told many.html=many/compare.json spread.html=spread/spread.json"
for page in $pages; do
    if command -v tidy >/dev/null; then
        faults_of_tidy "$page" >tidy.txt
        [ ! -s tidy.txt ] || fail "tidy: $page: $(head -5 tidy.txt)"
    fi
done
# shellcheck disable=SC2086  # names without blanks
python3 "$top/tests/page/browser.py" "$chromium" $told || fail "in the browser"
if command -v node >/dev/null && [ -d "$modules/playwright-core" ] && [ -d "$modules/axe-core" ]; then
    # shellcheck disable=SC2086
    node "$top/tests/page/browser.mjs" "$modules" "$chromium" $pages || fail "under axe"
fi

# A number that is not the summary's must be seen.
sed 's/>826</>827</' sloyd-knife.html >wrong.html
cmp -s sloyd-knife.html wrong.html && fail "nothing was changed for the check of numbers"
python3 "$top/tests/page/browser.py" "$chromium" wrong.html=of-sloyd-knife/summary.json >wrong.txt && fail "a wrong number passes"
expect_text wrong.txt 'edge.HV: the page says 827'

# What the browser test is for must not pass it: something loaded, no words, pale, too wide, a script that fails.
cat >bad.html <<'PAGE'
<!DOCTYPE html><html lang="en"><head><title>Bad page</title></head><body><main><p class="lead">A page with every fault there is.</p>
<p style="color:#ccc">pale</p><img src="http://127.0.0.1:9/x.png"><button></button><div style="width:2000px">wide</div></main>
<nav>n</nav><footer>f</footer><script>nothing.there()</script></body></html>
PAGE
python3 "$top/tests/page/browser.py" "$chromium" bad.html >bad.txt && fail "a bad page passes"
for word in 'asks for http' 'too pale: pale' 'a button without a name' 'pixels wider' 'nothing is not defined|Uncaught' 'image without a name'; do
    expect_text bad.txt "$word"
done

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
