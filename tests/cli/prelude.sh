# prelude.sh - what the shell tests of the program share. Source it; then $program, $top and $work (a fresh folder, also the
# current one) are set. `finish` at the end gives the exit. Arguments of every test: the program, the source folder.
program=$(realpath "$1") # meson names it relative to its build folder
top=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 99
export HOME="$work" # no profiles of whoever runs the tests
unset XDG_DATA_HOME
failures=0

fail() {
    echo "FAILED: $*"
    failures=$((failures + 1))
}

# expect_exit CODE COMMAND... - runs it with stdout in out.txt and stderr in err.txt
expect_exit() {
    local code=$1 got=0
    shift
    "$@" >"$work/out.txt" 2>"$work/err.txt" </dev/null || got=$?
    [ "$got" -eq "$code" ] || { fail "exit $got instead of $code: $*"; cat "$work/err.txt"; }
}

# expect_text FILE PATTERN - an extended regular expression that some line of FILE matches
expect_text() {
    grep -qE -- "$2" "$1" || { fail "no line of $1 matches: $2"; head -20 "$1"; }
}

expect_empty() {
    [ ! -s "$1" ] || { fail "$1 is not empty"; head -5 "$1"; }
}

# The smallest plan there is: an inert plate that cools in a tabulated bath; no shipped profile has a part in it.
write_plate() {
    cat >"$1" <<'PLAN'
format: clayquench-plan 1
title: Inert plate
blade: {section: plate, thickness: 4 mm}
steel: {kind: inert, conductivity: 30 W/m/K, heat-capacity: 4.5 MJ/m^3/K}
start: 800 °C
steps:
  - {in: {kind: table, heat-transfer: 2000 W/m^2/K}, at: 20 °C, for: 2 s}
PLAN
}

# A small bare wedge of shipped steel in water: has a line and every picture.
write_wedge() {
    cat >"$1" <<'PLAN'
format: clayquench-plan 1
title: Bare wedge
blade: {section: flat, height: 20 mm, edge: 1 mm, spine: 6 mm}
steel: 1084
heat: {temperature: 800 °C, hold: 5 min}
steps:
  - {in: air, for: 1 s}
  - {in: water, at: 40 °C, until: 60 °C}
PLAN
}

# refuses_as_page COMMAND KiB: what a command that makes one page by itself refuses, and a disk that fills at KiB: whole or
# absent, no temporary file.
refuses_as_page() {
    expect_exit 2 "$program" "$1" -o "$1.odt"
    expect_text err.txt 'ends in .html or .pdf'
    expect_exit 2 "$program" "$1" --paper foolscap
    expect_exit 2 "$program" "$1" something
    expect_exit 4 "$program" "$1" -o "/nowhere/$1.html"
    (
        trap '' XFSZ
        ulimit -f "$2"
        exec "$program" "$1" -o full.html
    ) >/dev/null 2>&1
    [ $? -eq 4 ] || fail "a full disk must exit 4"
    [ ! -e full.html ] || fail "a page cut short"
    find . -name '*.part' | grep . && fail "a temporary file stayed"
}

finish() {
    [ "$failures" -eq 0 ] && echo "all as expected"
    exit "$((failures > 0))"
}
