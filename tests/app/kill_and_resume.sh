#!/usr/bin/env bash
# A batch that is killed at random moments and taken up again ends with the folder of an undisturbed run, byte for byte, and at
# no moment holds a half-written result. SIGTERM, SIGINT and SIGHUP end it by that signal, with what is done kept;
# a second one ends it at once.
# Usage: kill_and_resume.sh PROGRAM PROJECT [KILLS [SEED]]
set -uo pipefail
program=$(realpath "$1") project=$2 kills=${3:-12} seed=${4:-1}
. "$project/tests/app/small_recording.sh"
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
failures=0
fail() { echo "FAILED: $*"; failures=$((failures + 1)); }
RANDOM=$seed

mkdir in other
for i in $(seq 1 12); do small_recording "in/r$i.csv" $((60 + 12 * (i % 3))) "$i"; done
echo "no recording" > in/broken.csv
batch=("$program" score in --format json --format html --format csv --quiet --jobs 2 --resume)
begin=$(date +%s%N)
"${batch[@]}" --out want/ 2> want.txt
[ $? -eq 1 ] || fail "the undisturbed run"
span=$((($(date +%s%N) - begin) / 1000000))
# What stands in the way of a resumed run: whole results, but made with other settings.
"$program" score in --format json --format html --format csv --quiet --subtract-noise --out other/ 2> /dev/null

seconds() { printf '%d.%03d' $(($1 / 1000)) $(($1 % 1000)); }

# Runs the batch into got/ and sends it a signal at a random moment; sets status.
interrupt() {
    env --default-signal=INT,HUP "${batch[@]}" --out got/ > /dev/null 2> err.txt &
    local process=$!
    sleep "$(seconds $((RANDOM % (span + span / 4 + 2))))"
    kill "-$1" $process 2> /dev/null
    wait $process 2> /dev/null
    status=$?
}

whole_or_absent() {
    local file name
    for file in got/*; do
        name=${file##*/}
        [ -e "$file" ] || continue
        cmp -s "$file" "want/$name" || { [ "$1" = other ] && cmp -s "$file" "other/$name"; } || fail "$2: $name is half written"
    done
}

finished_like_undisturbed() {
    "${batch[@]}" --out got/ > /dev/null 2> err.txt
    [ $? -eq 1 ] || fail "$1: the status of the resumed run"
    cmp -s err.txt want.txt || fail "$1: other messages than the undisturbed run"
    diff -r want got > diff.txt || fail "$1: $(head -n 3 diff.txt)"
}

# A run that was through before its signal is no kill: as many more are begun, within reason.
killed=0 midway=0 unfinished=0
for ((i = 1; killed < kills && i <= 6 * kills + 6; ++i)); do
    rm -rf got
    from=nothing
    if ((i % 3 == 0)); then cp -r other got && from=other; fi
    for ((again = 0; again <= i % 2; ++again)); do
        interrupt KILL
        if [ $status -eq 137 ]; then
            killed=$((killed + 1))
            done_files=$(ls got 2> /dev/null | wc -l)
            [ "$done_files" -gt 0 ] && [ "$done_files" -lt "$(ls want | wc -l)" ] && midway=$((midway + 1))
        fi
        unfinished=$((unfinished + $(find got -name '.tracehold-unfinished-*' 2> /dev/null | wc -l)))
        whole_or_absent $from "kill $i"
    done
    finished_like_undisturbed "kill $i"
done
[ $killed -ge "$kills" ] || fail "only $killed of $kills runs could be killed"
[ $midway -gt 0 ] || fail "no run was killed midway: nothing was taken up again"

ended=0
for signal in TERM INT HUP TERM INT HUP; do
    rm -rf got
    interrupt $signal
    wanted=$((128 + $(kill -l $signal)))
    case $status in
        1) ;;  # it was through before
        "$wanted")
            ended=$((ended + 1))
            if [ -d got ]; then
                grep -q 'tracehold: stopped: .* of 13 recordings are done and kept' err.txt || [ -z "$(ls got)" ] || fail "$signal: no message: $(cat err.txt)"
                [ -z "$(find got -name '.*' -type f)" ] || fail "$signal: left behind: $(ls -A got)"
            fi
            ;;
        *) fail "$signal: status $status" ;;
    esac
    whole_or_absent nothing $signal
    finished_like_undisturbed $signal
done

# The first signal waits for what is under way, here for ever, since nobody takes what is written: the second ends the program at
# once. (That one is enough while input is waited for, test_app holds.)
mkfifo waiting
for signal in TERM INT HUP; do
    sleep 120 < waiting &
    reader=$!
    env --default-signal=INT,HUP "$program" score in --format json > waiting 2> err.txt &
    process=$!
    for ((i = 0; i < 300; ++i)); do grep -q pipe_write "/proc/$process/wchan" && break; sleep 0.1; done
    sleep 0.3
    kill -$signal $process
    sleep 0.3
    kill -0 $process 2> /dev/null || fail "$signal: the first signal did not wait"
    kill -$signal $process
    wait $process
    status=$?
    [ $status -eq $((128 + $(kill -l $signal))) ] || fail "$signal twice: status $status"
    kill $reader 2> /dev/null
    wait $reader 2> /dev/null
done

# Done is done: nothing is scored again, and each kind of change is.
"${batch[@]}" --out got/ 2> /dev/null
before=$(stat -c '%n %i' got/*)
"${batch[@]}" --out got/ 2> /dev/null
[ "$before" = "$(stat -c '%n %i' got/*)" ] || fail "what was done is done again"
echo >> got/r1.csv.html
rm got/r2.csv.measures.csv
sed -i 's/"done": /"done":  /' got/r3.csv.json
small_recording in/r4.csv 72 4
"${batch[@]}" --out got/ 2> /dev/null
"${batch[@]}" --out fresh/ 2> /dev/null
diff -r fresh got > diff.txt || fail "changed files: $(head -n 3 diff.txt)"

[ $failures -eq 0 ] || exit 1
echo "kill_and_resume: seed $seed, $killed runs killed over $span ms, $midway of them midway, $unfinished files were left unfinished and swept; $ended ended by TERM, INT or HUP"
