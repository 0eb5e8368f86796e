#!/usr/bin/env bash
# The same results, byte for byte, for any number of jobs, in any locale and time zone, from any folder, and for options in any
# order.
# Usage: same_bytes.sh PROGRAM PROJECT
set -uo pipefail
program=$(realpath "$1") project=$2
. "$project/tests/app/small_recording.sh"
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
failures=0
plan=$project/examples/plan-home-a.jsonc
cp "$plan" plan.jsonc
mkdir in
"$program" simulate "$project/examples/scenarios/home-week.json" --plan plan.jsonc --out week
cp week/P-014_2026-03-02.csv week/P-014_2026-03-03.edf week/P-014_2026-03-05_envelope.csv in
for i in 1 2 3; do small_recording "in/r$i.csv" 60 "$i"; done  # shorter than the plan: their messages have an order too
formats=(--format json --format csv --format html --format md --format text)

# same NAME WORD...: runs the program with these words into got/ and compares it with want/.
same() {
    local name=$1
    shift
    rm -rf got
    "$@" > out.txt 2> err.txt
    cp err.txt got/err.txt
    cp out.txt got/out.txt
    diff -r want got > diff.txt || { echo "FAILED: $name: $(head -n 3 diff.txt)"; failures=$((failures + 1)); }
}
call=("$program" score in --plan plan.jsonc --channel 1 "${formats[@]}" --out got/)
"${call[@]}" --jobs 1 > out.txt 2> err.txt
cp err.txt out.txt got
mv got want
[ "$(ls want | wc -l)" -eq 20 ] || { echo "FAILED: too few results to compare"; failures=1; }

for jobs in 2 8 64; do same "$jobs jobs" "${call[@]}" --jobs $jobs; done
same "all cores" "${call[@]}"

# Locales with other decimal signs, digits, letters and orders of letters, made here where the system has none.
export LOCPATH=$folder/locales
mkdir "$LOCPATH"
for locale in de_DE tr_TR ar_EG; do
    localedef -i $locale -f UTF-8 "$LOCPATH/$locale.UTF-8" 2> /dev/null || true
done
made=$(ls "$LOCPATH" | wc -l)
[ "$made" -eq 3 ] || { echo "FAILED: $made of 3 locales could be made (localedef): what differs between them was not tried"; failures=$((failures + 1)); }
for locale in C de_DE.UTF-8 tr_TR.UTF-8 ar_EG.UTF-8 no_SUCH; do
    same "locale $locale" env LC_ALL=$locale LANGUAGE="${locale%%_*}" "${call[@]}"
done
for zone in UTC America/St_Johns Nowhere/At_all; do same "time zone $zone" env TZ=$zone "${call[@]}"; done

same "options in another order" "$program" score --out got/ "${formats[@]}" --jobs 8 --channel 1 --plan plan.jsonc in
same "options with =" "$program" score --jobs=2 --out=got/ "${formats[@]}" in --channel=1 --plan=plan.jsonc
mapfile -t backwards < <(ls -r in/*.csv in/*.edf)
"$program" score "${backwards[@]}" --plan plan.jsonc --channel 1 "${formats[@]}" --out turned/ > /dev/null 2>&1
rm want/err.txt want/out.txt
diff -r want turned > diff.txt || { echo "FAILED: inputs in another order: $(head -n 3 diff.txt)"; failures=$((failures + 1)); }
find in -type f | sort -r > list.txt
(umask 077; "$program" score --files-from - --plan plan.jsonc --channel 1 "${formats[@]}" --out listed/ < list.txt > /dev/null 2>&1)
diff -r want listed > diff.txt || { echo "FAILED: inputs from a list: $(head -n 3 diff.txt)"; failures=$((failures + 1)); }

# Streams in the order of the inputs.
"$program" score in --plan plan.jsonc --channel 1 --format ndjson --jobs 1 > one.ndjson 2> /dev/null
"$program" score in --plan plan.jsonc --channel 1 --format ndjson --jobs 8 > eight.ndjson 2> /dev/null
[ -s one.ndjson ] && cmp one.ndjson eight.ndjson || { echo "FAILED: a stream by 8 jobs"; failures=$((failures + 1)); }

[ $failures -eq 0 ] || exit 1
echo "same_bytes: the same in all ($made locales made here)"
