#!/usr/bin/env bash
# The main commands under valgrind: no read of what was never written, no access out of bounds, nothing lost.
# Usage: valgrind.sh PROGRAM PROJECT
set -uo pipefail
program=$1 project=$2
command -v valgrind > /dev/null || { echo "skipped: no valgrind"; exit 77; }
grep -q '__[at]san_init' "$program" && { echo "skipped: built with a sanitizer"; exit 77; }
. "$project/tests/app/small_recording.sh"
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
failures=0
plan=$project/examples/plan-home-a.jsonc
small_recording a.csv 30
# A raw trace of ten seconds, 500 samples a second, with one contraction.
awk 'BEGIN { print "time_s,emg_uV"; for (i = 0; i < 5000; ++i) { t = i / 500; n = ((i * 7919) % 1009) / 504.5 - 1; printf "%.3f,%.2f\n", t, n * (t > 3 && t < 7 ? 40 : 3) } }' > raw.csv

under() {
    valgrind --quiet --error-exitcode=99 --leak-check=full --show-leak-kinds=definite,indirect --errors-for-leak-kinds=definite,indirect \
        "$program" "$@" > out.txt 2> err.txt
    local status=$?
    if [ $status -ne 0 ] && [ $status -ne 1 ]; then
        echo "FAILED: $*: status $status"
        grep '^==' err.txt | head -n 25
        failures=$((failures + 1))
    fi
}
under inspect a.csv raw.csv
under score a.csv raw.csv --format json --format html --format csv --format md --jobs 2 --out results/
under score a.csv raw.csv --format json --format html --format csv --format md --resume --out results/
under verify results/
under course results/ a.csv --format html
under plan sheet "$plan"
under score a.csv nowhere.csv "$plan"
[ $failures -eq 0 ] || exit 1
echo "valgrind: no finding"
