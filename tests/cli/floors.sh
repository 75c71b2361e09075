#!/bin/bash
# scripts/check-floors and scripts/check-references pass on the sources, and each fails on a planted breach.
. "$(dirname "$0")/prelude.sh"
expect_exit 0 "$top/scripts/check-floors"
expect_empty out.txt
expect_exit 0 "$top/scripts/check-references"

mkdir -p tree/src tree/include tree/profiles
cp -r "$top/scripts" tree/
cp -r "$top/src" tree/
cp -r "$top/include" tree/
cp "$top/README.md" "$top/DEVELOPERS.md" tree/
cp "$top/profiles/references.bib" tree/profiles/
mkdir tree/tests

# plant FILE LINE - must turn check-floors red
plant() {
    [ ! -e "tree/$1" ] || cp "tree/$1" kept
    echo "$2" >>"tree/$1"
    expect_exit 1 tree/scripts/check-floors
    expect_text out.txt "^$1:[0-9]+: "
    [ ! -e kept ] || mv kept "tree/$1"
}
expect_exit 0 tree/scripts/check-floors
plant src/base/table.c '#include "material/thermal.h"'
plant src/section/grid.c '#include <clayquench/plan.h>'
plant src/conduction/heat.c '#include "kinetics/kinetics.h"'
plant src/quench/run.c '#include <hdf5.h>'
plant src/io/meson_planted.c '#include <cairo.h>'
rm -f tree/src/io/meson_planted.c
plant src/section/grid.c 'static void *f(void) { return malloc(3); }'
plant src/kinetics/step.c 'static void f(void) { printf("x"); }'
plant src/report/planted.c 'static void f(void) { exit(1); }'
rm -f tree/src/report/planted.c
plant src/quench/run.c 'static void *f(void) { return fopen("x", "r"); }'
plant src/quench/run.c 'static char *f(void) { return getenv("x"); }'

expect_exit 0 tree/scripts/check-references
echo '/* after [nobody1899], eq. 3 */' >>tree/src/base/table.c
expect_exit 1 tree/scripts/check-references
expect_text out.txt 'nobody1899'
finish
