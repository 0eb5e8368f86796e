#!/usr/bin/env bash
# Memory that runs out at any allocation ends with a message and a status of the table, never a crash, a leak (in a build with
# sanitizers) or half a result: for a single allocation, and for all from one on.
# Usage: memory_faults.sh PROGRAM PROJECT SHIM [STEP]     every STEP-th allocation; 1 tries them all
set -uo pipefail
program=$1 project=$2 shim=$3 step=${4:-211}
. "$project/tests/app/small_recording.sh"
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
failures=0
small_recording a.csv 24
mkdir in place
cp a.csv in
# Where an allocation fails within it, a constructor of nlohmann::json leaves what it has built so far; the process ends then.
# Finding it in the stacks takes the slow way of unwinding.
echo leak:nlohmann:: > known_leaks
export ASAN_OPTIONS=verify_asan_link_order=0:allocator_may_return_null=1:fast_unwind_on_malloc=0
export LSAN_OPTIONS=suppressions=$folder/known_leaks:print_suppressions=0

# faults FILE COMMAND...: COMMAND writes FILE.
faults() {
    local out=$1
    shift
    "$@" > /dev/null 2>&1
    mv "$out" want || { failures=$((failures + 1)); return; }
    for forever in 0 1; do
        FAULT_FIRST=$((1 + RANDOM % step)) FAULT_STEP=$step FAULT_FOREVER=$forever FAULT_OUT=$out FAULT_WANT=want LD_PRELOAD=$shim \
            "$@" > found.txt || { failures=$((failures + 1)); head -c 4000 found.txt; }
        echo "$(basename "$program") ${*:2:1}, $([ $forever = 1 ] && echo "from one on" || echo "one"): $(tail -n 1 found.txt)"
    done
}

RANDOM=1
faults place/a.csv.json "$program" score a.csv --format json --jobs 2 --quiet --out place/
faults place/in.ndjson "$program" score in --format ndjson --jobs 2 --quiet --out place/in.ndjson
faults place/a.html "$program" score a.csv --format html --jobs 1 --quiet --out place/a.html
faults place/course.json "$program" course a.csv --format json --jobs 1 --quiet --out place/course.json
faults place/plan.txt "$program" plan sheet "$project/examples/plan-home-a.jsonc" --out place/plan.txt
[ -z "$(find place -name '.*' -type f)" ] || echo "left to be swept: $(find place -name '.*' -type f | wc -l)"
[ $failures -eq 0 ]
