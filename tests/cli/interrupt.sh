#!/bin/bash
# Ctrl-C: the run stops cleanly, exits 130, and what it reached is kept.
. "$(dirname "$0")/prelude.sh"
write_wedge wedge.yaml
# Fine enough that it is still running when the signal comes, on a fast machine too.
echo 'grid: {refine: 8}' >>wedge.yaml
"$program" quench wedge.yaml -o out >out.txt 2>err.txt &
pid=$!
sleep 1
kill -INT "$pid" 2>/dev/null || fail "the run was over before it could be interrupted"
wait "$pid"
code=$?
[ "$code" -eq 130 ] || fail "exit $code instead of 130"
expect_empty out.txt
expect_text err.txt 'interrupted; what was reached is in out'
h5dump -H out/result.h5 >/dev/null || fail "result.h5 cannot be read"
finish
