#!/usr/bin/env bash
# Every command of README.md runs as it stands there, one after the other, in a folder with the files it speaks of.
# usage: readme_commands.sh TRACEHOLD SOURCES
set -uo pipefail
shopt -s extglob
tool=$(realpath "$1") sources=$2
command -v jq >/dev/null || { echo "skipped: no jq"; exit 77; }
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
mkdir "$place/bin"
ln -s "$tool" "$place/bin/tracehold"
PATH="$place/bin:$PATH"
cd "$place" || exit 1

# What the README takes for granted beside the example week: recordings of a course, a visit, a list, a correction.
cp -r "$sources/examples" .
cp examples/plan-home-a.jsonc plan.jsonc
tracehold simulate examples/scenarios/home-week.json --plan plan.jsonc --out made >/dev/null 2>&1
mv made/P-014_2026-03-03.edf monday.edf
tracehold simulate examples/scenarios/clinic-visit.json --plan examples/plan-clinic-reference.jsonc --out visit >/dev/null 2>&1
cp visit/*.edf reference.edf
mkdir recordings
sed '/^ *\/\//d' examples/scenarios/course-p014.json | jq '.sessions |= .[:9]' >short.json
tracehold simulate short.json --plan plan.jsonc --out recordings
rm recordings/*.truth.json
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
    [[ "$line" == *@(week|service)/* && "$line" != *@(simulate|--dry-run)* ]] && allowed=1  # some recordings cannot be scored
    if [ $status -gt $allowed ]; then
        failures=$((failures + 1))
        echo "FAIL status $status: $line"
        tail -n 3 err.txt
    else
        echo "ok   $line"
    fi
done < <(sed -n 's/^    \(\(tracehold\|cat\|find\) .*\)/\1/p' "$sources/README.md")
[ $commands -ge 31 ] || { echo "FAIL only $commands commands found in README.md"; failures=$((failures + 1)); }
for file in monday.html course.html sheet.html audit.html public.html plan-new.jsonc monday.fhir.json monday.csv week.ndjson; do
    [ -s "$file" ] || { echo "FAIL not written: $file"; failures=$((failures + 1)); }
done
exit $((failures > 0))
