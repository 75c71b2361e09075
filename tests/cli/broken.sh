#!/bin/bash
# Every file in broken/ has one fault (or the several its first lines name): `check` must show each at its line, with the
# source line, a caret and what was expected, and exit 3; `quench` must refuse the plan the same way.
#     # expect: LINE PATTERN      both are extended regular expressions
. "$(dirname "$0")/prelude.sh"
cp -r "$top/tests/cli/broken" .
: >broken/empty.yaml
head -c 4096 "$program" >broken/binary.yaml

for file in broken/*.yaml; do
    expect_exit 3 "$program" check "$file"
    expect_text err.txt "^$file(:[0-9]+:[0-9]+)?: error: "
    grep '^# expect: ' "$file" | while read -r _ _ line pattern; do
        grep -qE -- "^$file:$line:[0-9]+: error: .*$pattern" err.txt ||
            { echo "no complaint at line $line of $file about: $pattern"; cat err.txt; }
    done >missed.txt
    [ ! -s missed.txt ] || fail "$(cat missed.txt)"
    expected=$(grep -c '^# expect: ' "$file")
    [ "$expected" -le 1 ] || [ "$(grep -c ': error: ' err.txt)" -eq "$expected" ] ||
        fail "$file: not exactly $expected complaints: $(cat err.txt)"
    if grep -qE ':[0-9]+:[0-9]+: error' err.txt; then
        expect_text err.txt '^ +[0-9]+ \| '
        expect_text err.txt '^ +\| +\^$'
    fi
    case $file in
    broken/names-itself.yaml) ;;
    *)
        expect_exit 3 "$program" quench "$file" -o out
        expect_empty out.txt
        [ ! -e out ] || fail "$file: a folder was made for a plan with faults"
        ;;
    esac
done

expect_exit 4 "$program" check .
if [ "$(id -u)" -ne 0 ]; then # root may read anything
    touch secret.yaml
    chmod a-r secret.yaml
    expect_exit 4 "$program" check secret.yaml
fi
finish
