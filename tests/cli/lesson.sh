#!/bin/bash
# The lesson: what it tells to type gives the numbers it shows, its plans are the shipped ones, its words are so; files whole or absent;
# a user's own plans of the same names do not get into it.
. "$(dirname "$0")/prelude.sh"
expect_exit 0 "$program" lesson
expect_text out.txt '^Written to lesson\.html\.$'
expect_empty err.txt
python3 "$top/tests/cli/lesson_runs.py" "$program" lesson.html "$top/profiles" runs.json >runs.txt || fail "$(cat runs.txt)"
python3 "$top/tests/cli/report_page.py" lesson.html runs.json >page.txt || fail "$(cat page.txt)"
[ "$(grep -c 'class="ask"' lesson.html)" -ge 8 ] || fail "questions are missing"
[ "$(grep -o '<svg' lesson.html | wc -l)" -eq 8 ] || fail "charts are missing"
grep -q '<script' lesson.html && fail "the lesson needs a script"

# The same again, also where a user has plans of these names.
mkdir -p home/clayquench/profiles/plans
sed 's/0.05 mm/0.5 mm/' "$top/profiles/plans/lesson-plate.yaml" >home/clayquench/profiles/plans/lesson-plate.yaml
XDG_DATA_HOME=$PWD/home expect_exit 0 "$program" lesson -o again.html
cmp -s lesson.html again.html || fail "another page the second time"

# PDF, paper.
expect_exit 0 "$program" lesson -o lesson.pdf --paper letter
head -c 5 lesson.pdf | grep -q '%PDF-' || fail "lesson.pdf is no PDF"
grep -aq 'MediaBox \[ 0 0 612 792' lesson.pdf || fail "lesson.pdf is not on letter"
expect_exit 0 "$program" lesson -o letter.html --paper letter
expect_text letter.html '@page\{size:letter;'

# What it refuses.
refuses_as_page lesson 64
expect_exit 4 "$program" lesson -o /dev/full/lesson.html

# Ctrl-C.
"$program" lesson -o stopped.html 2>/dev/null &
pid=$!
sleep 0.2
kill -INT $pid
wait $pid
code=$?
[ $code -eq 130 ] || [ $code -eq 0 ] || fail "interrupted: exit $code"
[ $code -eq 0 ] || [ ! -e stopped.html ] || fail "a page of an interrupted lesson"
finish
