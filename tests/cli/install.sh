#!/bin/bash
# The installed program runs from any prefix without environment variables; the C example builds against the installed
# library through pkg-config and runs. Third argument: the build folder.
. "$(dirname "$0")/prelude.sh"
build=$3
DESTDIR="$work/root" meson install -C "$build" --no-rebuild --quiet >install.txt 2>&1 || { fail "install"; cat install.txt; }
mv "$work/root" "$work/elsewhere" # nothing may remember where it was installed
installed=$(find "$work/elsewhere" -path '*/bin/clayquench')
prefix=$(dirname "$(dirname "$installed")")
write_wedge wedge.yaml

expect_exit 0 env -i "$installed" quench wedge.yaml --quiet
expect_exit 0 env -i "$installed" quench sloyd-knife --quiet -o out
expect_exit 0 env -i "$installed" list
expect_text out.txt '^plan +sloyd-knife '
ln -s "$installed" "$work/alias"
expect_exit 0 env -i "$work/alias" show 1084

# One's own profile comes before the installed one, found through the environment.
mkdir -p own/clayquench/profiles/steels
sed 's/^summary:.*/summary: my own bar/' "$prefix/share/clayquench/profiles/steels/1084.yaml" \
    >own/clayquench/profiles/steels/1084.yaml
expect_exit 0 env XDG_DATA_HOME="$work/own" "$installed" show 1084
expect_text out.txt 'my own bar'
expect_exit 0 env XDG_DATA_HOME=own "$installed" show 1084 # a relative one is to be ignored
grep -q 'my own bar' out.txt && fail "a relative XDG_DATA_HOME was used"

for file in share/man/man1/clayquench.1 share/bash-completion/completions/clayquench include/clayquench/clayquench.h \
    share/clayquench/profiles/references.bib; do
    [ -s "$prefix/$file" ] || fail "$file is not installed"
done

PKG_CONFIG_PATH=$(dirname "$(find "$prefix" -name clayquench.pc)")
export PKG_CONFIG_PATH
# shellcheck disable=SC2046
cc -std=c17 -Wall -Wextra -Werror "$top/tests/example/line_height.c" -o example \
    $(pkg-config --cflags --libs clayquench) || fail "the example does not build"
expect_exit 0 env -i ./example wedge.yaml "$(pkg-config --variable=profiles clayquench)"
expect_text out.txt '^line: '
"$installed" quench wedge.yaml --json >answer.json
python3 - <<'CHECK' || fail "the example and the program disagree"
import json
line = json.load(open("answer.json"))["line"]["surface_mm"]
said = open("out.txt").read().split()[1].strip(";")
assert (said == "none") if line is None else abs(float(said) - line) < 0.006, (said, line)  # printed to 0.01 mm
CHECK
finish
