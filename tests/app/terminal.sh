#!/usr/bin/env bash
# What surrounds a run: progress on a terminal and in a log, threads, full outputs, and nothing read that the call does not name.
# Usage: terminal.sh PROGRAM PROJECT
set -uo pipefail
program=$(realpath "$1") project=$2
command -v script >/dev/null && command -v strace >/dev/null || { echo "skipped: no script or strace"; exit 77; }
. "$project/tests/app/small_recording.sh"
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
failures=0
fail() { echo "FAILED: $*"; failures=$((failures + 1)); }
plan=$project/examples/plan-home-a.jsonc
mkdir in home
small_recording in/r1.csv 240
for i in $(seq 2 60); do ln in/r1.csv in/r$i.csv; done

# --- progress: at a terminal one line that rewrites itself and is gone at the end
at_terminal() { script -qec "$*" /dev/null </dev/null; }
shown=$(at_terminal "'$program' inspect in --format ndjson --out seen.ndjson --jobs 1")
esc=$'\033'
grep -qE '[0-9]+ of 60 recordings, [0-9.]+/(s|min), [0-9]+ (s|min) left' <<<"$shown" || fail "no count, rate and time left: $(head -c 200 <<<"$shown")"
[[ $shown == *$'\r'"$esc[K" ]] || fail "the line of progress stays at the end"
lines=$(tr -cd '\n' <<<"$shown" | wc -c)
[ "$lines" -le 1 ] || fail "progress on $lines lines, expected one that rewrites itself"
redraws=$(tr -cd '\r' <<<"$shown" | wc -c)
[ "$redraws" -ge 2 ] || fail "the line was not rewritten"
at_terminal "'$program' audit in --format json --out seen.json --jobs 1" | grep -qE '[0-9]+ results, [0-9]+ of 60 files, [0-9.]+/s, [0-9]+ s left' ||
    fail "no count, rate and time left of an audit"
for command in inspect score course audit; do
    [ -z "$(at_terminal "'$program' $command in --quiet --format json --out quiet.json" | tr -d '\r\n')" ] || fail "$command --quiet says something at a terminal"
done
[ -z "$("$program" inspect in --format ndjson --out seen.ndjson 2>&1)" ] || fail "60 recordings are no long work, yet a log got lines"

# --- colour only at a terminal that wants it
{ echo '# rate_hz: 1000'; echo 'emg_uV'; yes 0 | head -n 20000; } >flat.csv
is_coloured() { [[ $(at_terminal "$*") == *"$esc["[0-9]* ]]; }
score_flat="'$program' score flat.csv --quiet"
is_coloured "TERM=xterm $score_flat" || fail "a rejected signal has no colour at a terminal: the next checks could not fail"
! is_coloured "TERM=xterm NO_COLOR=1 $score_flat" || fail "NO_COLOR is not heeded"
! is_coloured "TERM=xterm $score_flat --color never" || fail "--color never is not heeded"
is_coloured "NO_COLOR=1 TERM=dumb $score_flat --color always" || fail "--color always does not win"
[[ $("$program" score flat.csv --quiet --color always) == *"$esc["* ]] || fail "no colour in a pipe that asks for it"
! is_coloured "TERM=dumb $score_flat" || fail "TERM=dumb is not heeded"
[[ $("$program" score in/r1.csv --plan "$plan" --quiet) != *"$esc"* ]] || fail "escapes in a pipe"

# --- threads: one for each core, or as asked for
threads_of() { strace -f -qq -e trace=clone,clone3 -o trace.txt "$@" >/dev/null 2>&1; grep -c 'clone.*= [0-9]' trace.txt; }
cores=$(nproc)
[ "$(threads_of "$program" inspect in --quiet)" -eq "$cores" ] || fail "not a thread for each of $cores cores"
[ "$(threads_of "$program" inspect in --quiet --jobs 5)" -eq 5 ] || fail "not 5 threads"

# --- texts for full outputs
for words in --help --version "score --help" explain "schema session"; do
    "$program" $words >/dev/full 2>err.txt
    [ $? -eq 3 ] && grep -q 'standard output' err.txt || fail "'$words' to a full disk ends with $?"
done

# --- settings come from the call and the files it names, from nowhere else
call=("$program" score in/r1.csv --plan "$plan" --format json)
"${call[@]}" >want.json 2>want.txt
mkdir -p home/.config/tracehold home/.tracehold etc/xdg/tracehold
for name in config config.json config.ini config.toml tracehold.ini tracehold.json; do
    for place in home/.config/tracehold home/.tracehold etc/xdg/tracehold .; do echo '{"format": "csv", "mains": "off", "plan": "/none"}' >"$place/$name"; done
done
cp home/.config/tracehold/config home/.tracehold.json
hostile=(env HOME="$folder/home" XDG_CONFIG_HOME="$folder/home/.config" XDG_CONFIG_DIRS="$folder/etc/xdg" XDG_DATA_HOME="$folder/home"
    XDG_CACHE_HOME="$folder/home" XDG_STATE_HOME="$folder/home" TRACEHOLD_PLAN=/none TRACEHOLD_FORMAT=csv TRACEHOLD_CONFIG="$folder/config.ini"
    TRACEHOLD_OPTIONS=--quiet TRACEHOLD_JOBS=x PLAN=/none FORMAT=csv JOBS=x LANGUAGE=de COLUMNS=7 POSIXLY_CORRECT=1)
"${hostile[@]}" "${call[@]}" >got.json 2>got.txt || fail "a hostile environment changes the status"
cmp -s want.json got.json && cmp -s want.txt got.txt || fail "a hostile environment changes the result"
strace -f -qq -e trace=%file -o trace.txt "${hostile[@]}" "${call[@]}" >/dev/null 2>&1
[ -s trace.txt ] || fail "no trace"
if grep -E "\"($folder/(home|etc)|[./]*(config|tracehold)\.)" trace.txt; then fail "a file was looked for that the call does not name"; fi

[ $failures -eq 0 ] || exit 1
echo "terminal: all as it should be"
