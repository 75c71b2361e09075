#!/bin/bash
# The man page and the shell completion know every command and option that --help knows.
. "$(dirname "$0")/prelude.sh"
page=$top/src/cli/clayquench.1
completion=$top/src/cli/completion.bash
commands=$("$program" --help | awk '/^Commands:/ { on = 1; next } /^$/ { on = 0 } on { print $1 }')
[ "$(echo "$commands" | wc -l)" -ge 5 ] || fail "the list of commands was not found in --help"
for command in $commands; do
    expect_text "$page" "^\.B $command\$"
    expect_text "$completion" "words=\".*\\b$command\\b"
    for option in $("$program" "$command" --help | grep -oE '^ +(-.,)? *--[a-z]+' | grep -oE -- '--[a-z]+'); do
        sed 's/\\-/-/g' "$page" >page.txt
        expect_text page.txt "$option\\b"
        expect_text "$completion" "$option\\b"
    done
done

# Every notice a run can give is explained.
codes=$(cat "$top"/src/quench/*.c | tr '\n' ' ' | grep -oE 'cq_run_notice\( *run, *"[a-z0-9-]+"' | sed 's/.*"\(.*\)"/\1/' | sort -u)
[ "$(echo "$codes" | wc -l)" -ge 20 ] || fail "the notices were not found in the source"
for code in $codes; do
    expect_exit 0 "$program" explain "$code"
    expect_text out.txt 'notice:'
done

# The table of keys in the README is what the program prints.
expect_exit 0 "$program" explain
awk '/^\| key \| what to write / { on = 1 } !/^\|/ { on = 0 } on' "$top/README.md" >readme.txt
cmp -s out.txt readme.txt || fail "the table of keys in README.md is not the program's: scripts/write-key-table writes it"

# The completion itself, in a shell of its own.
PATH="$(dirname "$program"):$PATH" bash -c '
    . "$1"
    COMP_WORDS=(clayquench qu) COMP_CWORD=1; _clayquench; echo "${COMPREPLY[*]}"
    COMP_WORDS=(clayquench list st) COMP_CWORD=2; _clayquench; echo "${COMPREPLY[*]}"
    COMP_WORDS=(clayquench show 108) COMP_CWORD=2; _clayquench; echo "${COMPREPLY[*]}"
' bash "$completion" >out.txt 2>err.txt
expect_empty err.txt
expect_text out.txt '^quench$'
expect_text out.txt '^steel$'
expect_text out.txt '\b1084\b'
finish
