#!/bin/bash
# --json: exactly one object on stdout with the promised keys, messages on stderr only.
. "$(dirname "$0")/prelude.sh"
write_plate plate.yaml
write_wedge wedge.yaml
for plan in plate wedge; do
    expect_exit 0 "$program" quench "$plan.yaml" --json -o "$plan.out"
    cp out.txt "$plan.json"
    python3 "$top/tests/cli/json_keys.py" "$plan.json" || fail "$plan.json"
    cmp "$plan.json" "$plan.out/summary.json" || fail "summary.json differs from stdout"
done
expect_exit 0 "$program" quench laid-plane-iron --json
cp out.txt laid.json
python3 "$top/tests/cli/json_keys.py" laid.json || fail laid.json
expect_text laid.json '"construction": "a hard skin on one side"'
"$program" quench wedge.yaml --json 2>&1 >/dev/null | grep -q '[{}]' && fail "JSON on stderr"
expect_exit 3 "$program" quench --json <(sed 's/6 mm/6 s/' wedge.yaml)
expect_empty out.txt
finish
