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

# Its status must be 0, or 1 with 'refused' in front: an input is at fault.
under() {
    local wanted=0
    [ "$1" = refused ] && { wanted=1; shift; }
    valgrind --quiet --error-exitcode=99 --leak-check=full --show-leak-kinds=definite,indirect --errors-for-leak-kinds=definite,indirect \
        "$program" "$@" > out.txt 2> err.txt
    local status=$?
    if [ $status -ne $wanted ]; then
        echo "FAILED: $*: status $status"
        head -n 25 err.txt
        failures=$((failures + 1))
    fi
}
under inspect a.csv raw.csv
under score a.csv raw.csv --format json --format html --format csv --format md --jobs 2 --out results/
under score a.csv raw.csv --format json --format html --format csv --format md --resume --out results/
under verify results/
under course results/ a.csv --format html
under plan sheet "$plan"
under refused score a.csv nowhere.csv "$plan"
under key new clinic.key
under score a.csv --identity pseudonym --key-file clinic.key --format fhir --format ndjson --out hidden/
cat > scenario.json <<'SCENARIO'
{"schema": "tracehold.scenario/1", "base": {"person": "V-1", "rate_hz": 250},
 "sessions": [{"file": "s.edf", "start": "2026-03-02T07:40:00", "seed": 1, "faults": [{"kind": "heart_beats", "strength_uv": 30, "hz": 1.1}]}]}
SCENARIO
cat > short.jsonc <<'PLAN'
{"schema": "tracehold.plan/1", "name": "short", "posture": "lying",
 "steps": [{"do": "rest", "seconds": 5}, {"do": "hold", "seconds": 3, "rest_seconds": 3, "times": 3}], "threshold": {"microvolts": 5}}
PLAN
under simulate scenario.json --plan short.jsonc --out made
printf 'file,action,cycle,from_s,to_s,who,when,why\ns.edf,move_onset,2,12.5,,AB,2026-03-03,seen\n' > corrections.csv
under score made/s.edf --plan short.jsonc --corrections corrections.csv --format html --out corrected/
under export made/s.edf --plan short.jsonc --format edf --format events --format csv --out exported/
under plan check short.jsonc
sed 's/"name"/"purpose": "assessment", "name"/; s/, "threshold".*/}/' short.jsonc > visit.jsonc
under plan threshold made/s.edf --plan short.jsonc --performed visit.jsonc --out higher.jsonc
under audit results/ --format html
under explain
under schema session
[ $failures -eq 0 ] || exit 1
echo "valgrind: no finding"
