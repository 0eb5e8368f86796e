#!/usr/bin/env bash
# What the program prints follows the schemas that it prints, as an independent validator sees it.
# Usage: results_follow_schemas.sh PROGRAM PROJECT
set -euo pipefail
program=$1 project=$2
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
plan=$project/examples/plan-home-a.jsonc

"$program" simulate "$project/examples/scenarios/home-week.json" --plan "$plan" --out "$folder/week"
"$program" score "$folder/week" --plan "$plan" --format ndjson --quiet > "$folder/session.ndjson" || [ $? -eq 1 ]
"$program" inspect "$folder/week" --format ndjson > "$folder/inspection.ndjson"
"$program" schema audit > "$folder/audit.schema.json"
for reader in team public; do
    "$program" audit "$folder/session.ndjson" --by site --for $reader --format ndjson --quiet > "$folder/audit-$reader.ndjson"
done
/usr/bin/python3 "$project/tests/exchange/schema_reference.py" "$folder/audit.schema.json" "$folder"/audit-*.ndjson
"$program" course "$folder/session.ndjson" --format json --quiet > "$folder/course.json"
"$program" schema course > "$folder/course.schema.json"
"$program" schema rules > "$folder/rules.schema.json"
"$program" explain rules > "$folder/rules-own.jsonc"
for rules in "$folder/rules-own.jsonc" "$project/examples/rules-example.jsonc"; do
    grep -v '^ *//' "$rules" > "$folder/$(basename "$rules" c)"
done
/usr/bin/python3 "$project/tests/exchange/schema_reference.py" "$folder/course.schema.json" "$folder/course.json"
/usr/bin/python3 "$project/tests/exchange/schema_reference.py" "$folder/rules.schema.json" "$folder"/rules-*.json
check() { "$program" schema "$1" > "$folder/$1.schema.json"; /usr/bin/python3 "$project/tests/exchange/schema_reference.py" "$folder/$1.schema.json" "${@:2}"; }
check truth "$folder"/week/*.truth.json
"$program" selfcheck --format json > "$folder/validation.json"
check validation "$folder/validation.json"
"$program" export "$folder/week/P-014_2026-03-03.edf" --plan "$plan" --format bids --out "$folder/bids/" --quiet
check events-description "$folder"/bids/*.json
for name in session inspection; do
    "$program" schema $name > "$folder/$name.schema.json"
    [ "$(wc -l < "$folder/$name.ndjson")" -eq 7 ]
    /usr/bin/python3 "$project/tests/exchange/schema_reference.py" "$folder/$name.schema.json" "$folder/$name.ndjson"
done
