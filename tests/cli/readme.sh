#!/bin/bash
# The screens that README.md shows are the ones the program prints; only the time taken may differ.
. "$(dirname "$0")/prelude.sh"
# sample COMMAND...: the README's block that follows the line with `clayquench COMMAND`, without its indent.
sample() {
    awk -v want="clayquench $*" '
        !on && index($0, want) { found = 1; next }
        found && !on && /^    [^ ]/ { on = 1 }
        on && /^[^ ]/ { exit }
        on { sub(/^    /, ""); print }' "$top/README.md" | sed 's/([0-9]* ms)/(ms)/; s/ *$//' | sed -e :a -e '/^\n*$/{$d;N;ba' -e '}'
}
compare_sample() {
    sample "$@" >readme.txt
    [ -s readme.txt ] || fail "README.md shows nothing of 'clayquench $*'"
    expect_exit 0 "$program" "$@"
    sed 's/([0-9]* ms)/(ms)/; s/ *$//' out.txt | head -n "$(wc -l <readme.txt)" >printed.txt
    cmp -s readme.txt printed.txt || fail "README.md shows another screen of 'clayquench $*': $(diff readme.txt printed.txt)"
}
compare_sample quench sloyd-knife
compare_sample compare sloyd-knife --vary steps.1.in=water,brine-10,canola,fast-oil
compare_sample spread sloyd-knife
finish
