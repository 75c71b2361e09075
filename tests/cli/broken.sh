#!/bin/bash
# Every plan of tests/broken: `check` must show each complaint its last lines announce at its place, with the source line,
# a caret and the remedy, and exit 3; `quench` must refuse the plan the same way and leave nothing behind.
#     # expect [FILE:]LINE:COLUMN KEY | FOUND | REMEDY      KEY "-": none; FOUND "*": whatever the YAML library says
. "$(dirname "$0")/prelude.sh"
cp -r "$top/tests/broken" .

# expect_announced FILE - err.txt holds what the last lines of FILE announce, and no other complaint
expect_announced() {
    local announced=0 line place key found remedy message
    while IFS= read -r line; do
        announced=$((announced + 1))
        line=${line#\# expect }
        place=${line%% *} line=${line#* }
        key=${line%% | *} line=${line#* | }
        found=${line%% | *} remedy=${line#* | }
        [[ $place == *.yaml:* ]] && place=broken/$place || place=$1:$place
        [ "$key" = - ] && message="$place: error: " || message="$place: error: $key: "
        [ "$found" = '*' ] || message="$message$found; expected "
        grep -qF -- "$message" err.txt || fail "no line of err.txt begins with: $message"
        [ -z "$remedy" ] || grep -qF -- "         $remedy" err.txt || fail "$1: no such remedy: $remedy"
    done < <(grep '^# expect ' "$1")
    [ "$(grep -c ': error: ' err.txt)" -eq "$announced" ] || fail "$1: not $announced complaints: $(cat err.txt)"
    expect_text err.txt '^ +[0-9]+ \| '
    expect_text err.txt '^ +\| +\^$'
}

for file in broken/*.yaml; do
    expect_exit 3 "$program" check "$file"
    expect_announced "$file"
    expect_exit 3 "$program" quench "$file" -o out
    expect_empty out.txt
    [ ! -e out ] || fail "$file: a folder was made for a plan with faults"
done

# A profile by itself, and files that are nothing.
expect_exit 3 "$program" check broken/steels/circle.yaml
expect_text err.txt '^broken/steels/circle.yaml:4:7: error: .*names itself'
: >empty.yaml
head -c 4096 "$program" >binary.yaml
for file in empty.yaml binary.yaml; do
    expect_exit 3 "$program" check "$file"
    expect_text err.txt "^$file:[0-9]+:[0-9]+: error: "
done

expect_exit 4 "$program" check .
if [ "$(id -u)" -ne 0 ]; then # root may read anything
    touch secret.yaml
    chmod a-r secret.yaml
    expect_exit 4 "$program" check secret.yaml
fi
finish
