#!/bin/bash
# Every exit code the program promises, and where its messages go.
. "$(dirname "$0")/prelude.sh"
write_plate plate.yaml
write_wedge wedge.yaml
sed 's/4 mm/4 s/' plate.yaml >broken.yaml

expect_exit 0 "$program" --version
expect_text out.txt '^clayquench [0-9]+\.[0-9]+\.[0-9]+$'
expect_exit 0 "$program" --help
expect_empty err.txt
for command in quench steel compare map merge check explain list show; do
    expect_exit 0 "$program" "$command" --help
    expect_text out.txt "^Usage: clayquench $command"
    expect_empty err.txt
done

# 2: the command line
expect_exit 2 "$program"
expect_empty out.txt
expect_exit 2 "$program" frob
expect_text err.txt "unknown command 'frob'; expected one of: quench"
expect_exit 2 "$program" quench
expect_text err.txt "operand is missing: 'PLAN'"
expect_exit 2 "$program" quench plate.yaml wedge.yaml
expect_text err.txt "too many: 'wedge.yaml'"
expect_exit 2 "$program" quench --frob plate.yaml
expect_text err.txt "unknown option '--frob'"
expect_exit 2 "$program" quench plate.yaml -o
expect_text err.txt "value is missing behind '-o'"
expect_exit 2 "$program" quench --quiet=1 plate.yaml
expect_exit 2 "$program" quench --units cubits plate.yaml
expect_text err.txt "unknown units 'cubits'; expected metric or us"
expect_exit 2 "$program" list potions
expect_exit 2 "$program" explain zzzzzz
expect_empty out.txt

# 3: plans
expect_exit 3 "$program" quench broken.yaml
expect_empty out.txt
expect_text err.txt '^broken.yaml:3:[0-9]+: error: .*; expected '
expect_exit 3 "$program" check plate.yaml broken.yaml
expect_text out.txt '^plate.yaml: no faults$'

# 4: files
expect_exit 4 "$program" quench absent.yaml
expect_text err.txt '^absent.yaml: error: '
expect_exit 4 "$program" quench .
expect_exit 4 "$program" check absent.yaml
expect_exit 4 "$program" show absent.yaml

# 0: done
expect_exit 0 "$program" quench plate.yaml
expect_exit 0 "$program" check plate.yaml wedge.yaml
expect_exit 0 "$program" quench --quiet plate.yaml
expect_empty out.txt
expect_empty err.txt
cp out.txt quiet.txt
expect_exit 0 "$program" quench --units us wedge.yaml
expect_text out.txt '°F| in'
expect_exit 0 "$program" quench --units=metric -- wedge.yaml
expect_exit 0 "$program" list
expect_exit 0 "$program" list steels
expect_text out.txt '^steel +1084 '
! grep -qv '^steel ' out.txt || fail "list steels shows other kinds"
expect_exit 0 "$program" show 1084
expect_text out.txt 'source'
expect_exit 0 "$program" show sloyd-knife # a plan and a blade of that name
expect_text out.txt '^format: clayquench-plan'
expect_text err.txt 'a blade of that name too: clayquench show blade sloyd-knife'
expect_exit 0 "$program" show blade sloyd-knife
expect_text out.txt '^format: clayquench-blade'
expect_empty err.txt
expect_exit 2 "$program" show knife sloyd-knife
expect_text err.txt "unknown kind 'knife'"
expect_exit 0 "$program" explain coat
expect_exit 0 "$program" quench sloyd-knife --quiet # by name, as shipped
finish
