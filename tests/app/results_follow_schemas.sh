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
for name in session inspection; do
    "$program" schema $name > "$folder/$name.schema.json"
    [ "$(wc -l < "$folder/$name.ndjson")" -eq 7 ]
    /usr/bin/python3 "$project/tests/exchange/schema_reference.py" "$folder/$name.schema.json" "$folder/$name.ndjson"
done
