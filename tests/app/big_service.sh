#!/usr/bin/env bash
# A service of many people goes through a pipe into an audit in little memory, and a log tells how far it has come.
# Usage: big_service.sh PROGRAM PROJECT [RESULTS [MOST_MEBIBYTES]]
set -euo pipefail
program=$(realpath "$1") project=$2 results=${3:-5000} most=${4:-256}
grep -q '__[at]san_init' "$program" && most=$((4 * most))  # a sanitizer keeps more beside each byte
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"
plan=$project/examples/audit/plan.jsonc
"$program" simulate "$project/examples/audit/service.json" --plan "$plan" --out made
"$program" score made --plan "$plan" --format ndjson --quiet > seed.ndjson || [ $? -eq 1 ]

more_results() { /usr/bin/python3 "$project/scripts/more_results.py" seed.ndjson "$1"; }
cat > measured.py <<'MEASURED'
import os, subprocess, sys, time
begin = time.monotonic()
process = subprocess.Popen(sys.argv[1:], stdout=open("audit.json", "w"), stderr=open("log.txt", "w"))
_, status, usage = os.wait4(process.pid, 0)
print(os.waitstatus_to_exitcode(status), f"{time.monotonic() - begin:.1f}", usage.ru_maxrss // 1024)
MEASURED
read -r status seconds mebibytes < <(more_results "$results" | /usr/bin/python3 measured.py "$program" audit - --format json)
echo "audit of $results results: $seconds s, at most $mebibytes MiB"
failures=0
fail() { echo "FAILED: $*"; failures=$((failures + 1)); }
[ "$status" -eq 0 ] || fail "it ended with $status: $(tail -n 2 log.txt)"
[ "$mebibytes" -le "$most" ] || fail "more than $most MiB"
grep -q "^tracehold: $((results / 5000 * 5000)) results, [01] of 1 files, [0-9.]*/\(s\|min\)$" log.txt || fail "no line of progress in the log: $(tail -n 2 log.txt)"
[ "$(/usr/bin/python3 -c 'import json; print(json.load(open("audit.json"))["flow"]["found"]["count"])')" -eq "$results" ] || fail "not all results were counted"
# Of a file the size is known, and with it the time that is left.
more_results 5000 > service.ndjson
"$program" audit service.ndjson --format json > audit.json 2> log.txt || fail "the audit of a file"
grep -q '^tracehold: 5000 results, [01] of 1 files, [0-9.]*/\(s\|min\), [0-9]* \(s\|min\) left$' log.txt || fail "no time left in the log: $(tail -n 2 log.txt)"
[ $failures -eq 0 ]
