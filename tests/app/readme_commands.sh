#!/usr/bin/env bash
# Every command of README.md runs as it stands there, one after the other, in a folder with the files it speaks of.
# usage: readme_commands.sh TRACEHOLD SOURCES
set -uo pipefail
tool=$(realpath "$1") sources=$2
command -v jq >/dev/null || { echo "skipped: no jq"; exit 77; }
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
mkdir "$place/bin"
ln -s "$tool" "$place/bin/tracehold"
PATH="$place/bin:$PATH"
cd "$place" || exit 1

# What the README takes for granted: a week, a course, a visit, a list, a correction.
cp -r "$sources/examples" .
cp examples/plan-home-a.jsonc plan.jsonc
tracehold simulate examples/scenarios/home-week.json --plan plan.jsonc --out week >/dev/null 2>&1
rm week/*.truth.json
cp week/P-014_2026-03-03.edf monday.edf
tracehold simulate examples/scenarios/clinic-visit.json --plan examples/plan-clinic-reference.jsonc --out visit >/dev/null 2>&1
cp visit/*.edf reference.edf
tracehold simulate examples/scenarios/course-p014.json --plan plan.jsonc --out all >/dev/null 2>&1
mkdir recordings
for file in $(ls all/* | grep -v truth | head -n 12); do cp "$file" recordings; done
(echo file,person,posture; for file in recordings/*; do echo "$(basename "$file"),P-014,lying"; done) >sessions.csv
{
    echo file,action,cycle,from_s,to_s,who,when,why
    echo monday.edf,drop_cycle,2,,,C-1,2026-03-09,coughed
} >corrections.csv

commands=0 failures=0
while IFS= read -r line; do
    commands=$((commands + 1))
    bash -c "set -o pipefail; $line" >out.txt 2>err.txt </dev/null
    status=$?
    allowed=0
    [[ "$line" == *week/* && "$line" != *simulate* ]] && allowed=1  # one recording of the week cannot be scored
    if [ $status -gt $allowed ]; then
        failures=$((failures + 1))
        echo "FAIL status $status: $line"
        tail -n 3 err.txt
    else
        echo "ok   $line"
    fi
done < <(sed -n 's/^    \(\(tracehold\|cat\) .*\)/\1/p' "$sources/README.md")
[ $commands -ge 28 ] || { echo "FAIL only $commands commands found in README.md"; failures=$((failures + 1)); }
for file in monday.html course.html sheet.html audit.html public.html plan-new.jsonc monday.fhir.json monday.csv week.ndjson; do
    [ -s "$file" ] || { echo "FAIL not written: $file"; failures=$((failures + 1)); }
done
exit $((failures > 0))
