#!/usr/bin/env bash
# Outputs under every fault a disk, a pipe or a caller can have: the right exit status, a message, the old file as it was or the
# new one whole, and nothing left beside it.
# Usage: write_faults.sh PROGRAM PROJECT SHIM
set -uo pipefail
program=$1 project=$2 shim=$3
. "$project/tests/app/small_recording.sh"
folder=$(mktemp -d)
disk=$folder/disk
trap 'mountpoint -q "$disk" && umount "$disk"; rm -rf "$folder"' EXIT
cd "$folder" || exit 1
small_recording a.csv
small_recording b.csv 60 1
mkdir place disk
export ASAN_OPTIONS=verify_asan_link_order=0
failures=0
fail() { echo "FAILED: $*"; failures=$((failures + 1)); }

score=("$program" score a.csv b.csv --format json --quiet)
"${score[@]}" --out whole.json || fail "no whole output to compare with"
echo old > old.json

# expect NAME STATUS old|new|none COMMAND...: runs the command on place/out.json, which held 'old' before.
expect() {
    local name=$1 wanted=$2 content=$3 status
    shift 3
    rm -rf place/* place/.[!.]*
    cp old.json place/out.json
    "$@" > out.txt 2> err.txt
    status=$?
    [ $status -eq "$wanted" ] || fail "$name: status $status, expected $wanted: $(head -c 300 err.txt)"
    [ "$wanted" -eq 0 ] || [ -s err.txt ] || fail "$name: no message"
    local want=old.json
    [ "$content" = new ] && want=whole.json
    cmp -s place/out.json $want || fail "$name: not the $content file"
    [ "$(ls -A place)" = out.json ] || fail "$name: left behind: $(ls -A place | tr '\n' ' ')"
}

to_file=("${score[@]}" --out place/out.json)
expect "no fault" 0 new "${to_file[@]}"

if grep -q '__[at]san_init' "$program"; then
    echo "skipped: a sanitizer makes system calls of its own, which injected faults would hit"
elif command -v strace > /dev/null && strace -o /dev/null true 2> /dev/null; then
    # The main thread alone writes and opens outputs; the threads that score are not traced. Standard error is at most a line.
    inject() { strace -o trace.txt -e trace="${1%%:*}" -e inject="$1" "${to_file[@]}"; }
    for error in ENOSPC EIO EDQUOT; do
        expect "write $error" 3 old inject "write:error=$error:when=1"
        expect "second write $error" 3 old inject "write:error=$error:when=2"
    done
    expect "write of nothing" 3 old inject write:retval=0:when=1
    expect "write EINTR" 0 new inject write:error=EINTR:when=1..2
    expect "fsync EIO" 3 old inject fsync:error=EIO:when=1
    expect "fsync ENOSPC" 3 old inject fsync:error=ENOSPC:when=1
    expect "fsync of the folder EIO" 3 new inject fsync:error=EIO:when=2
    expect "fsync EINTR" 0 new inject fsync:error=EINTR:when=1..2
    for error in ENOSPC EIO EACCES EROFS; do expect "rename $error" 3 old inject "rename:error=$error"; done
    expect "rename EINTR" 0 new inject rename:error=EINTR:when=1
    expect "fchmod EPERM" 3 old inject fchmod:error=EPERM
    # Every openat of the main thread in turn: those of inputs refuse (1), those of outputs cannot write (3), those of the
    # loader end before main (127); the output is whole or as it was.
    strace -o opens.txt -e trace=openat "${to_file[@]}"
    first=$(grep -n 'tracehold-unfinished\|, "place"\|a.csv' opens.txt | head -n 1 | cut -d: -f1)
    for ((n = first; n <= $(grep -c openat opens.txt); ++n)); do
        for error in EIO EMFILE ENOSPC; do
            rm -rf place/* place/.[!.]*
            cp old.json place/out.json
            inject "openat:error=$error:when=$n" > out.txt 2> err.txt
            status=$?
            case $status in 0 | 1 | 3) ;; *) fail "openat $n $error: status $status" ;; esac
            if [ $status -ne 0 ] && [ ! -s err.txt ]; then fail "openat $n $error: no message"; fi
            cmp -s place/out.json old.json || [ $status -ne 3 ] || cmp -s place/out.json whole.json || fail "openat $n $error: half an output"
            [ "$(ls -A place)" = out.json ] || fail "openat $n $error: left behind: $(ls -A place)"
        done
        expect "openat $n EINTR" 0 new inject "openat:error=EINTR:when=$n"
    done
else
    echo "skipped: no strace, or it may not trace"
fi

expect "short and interrupted writes" 0 new env FAULT_WRITE=7 LD_PRELOAD="$shim" "${to_file[@]}"
expect "a limit on the size of files" 3 old bash -c 'ulimit -f 1; exec "$@"' - "${to_file[@]}"

# Standard output.
for command in "score a.csv" "score a.csv -f ndjson" "inspect a.csv" "explain" "schema session" "verify whole.json" "--help" "--version"; do
    # shellcheck disable=SC2086
    "$program" $command > /dev/full 2> err.txt
    [ $? -eq 3 ] || fail "$command > /dev/full"
    grep -q 'No space left' err.txt || fail "$command > /dev/full: no message"
    # shellcheck disable=SC2086
    "$program" $command 2> err.txt >&-
    [ $? -eq 3 ] || fail "$command with standard output closed"
done
expect "a device as output" 3 old "${score[@]}" --out /dev/full
expect "all three streams closed" 0 new bash -c 'exec "$@" <&- >&- 2>&-' - "${to_file[@]}"

# A reader that has gone: the end that every tool of a pipe has, or an error where the caller ignores that signal.
exec 3> >(:)
sleep 0.2
"$program" score a.csv --format ndjson --quiet >&3 2> err.txt
[ $? -eq 141 ] || fail "a closed pipe"
(trap '' PIPE; exec "$program" score a.csv --format ndjson --quiet >&3 2> err.txt)
[ $? -eq 3 ] || fail "a closed pipe, its signal ignored"
exec 3>&-

expect "a folder that is not there" 3 old "${score[@]}" --out nowhere/out.json
if [ "$(id -u)" -eq 0 ] && command -v setpriv > /dev/null; then
    chmod 755 "$folder" place
    expect "no permission" 3 old setpriv --reuid=65534 --regid=65534 --clear-groups "${to_file[@]}"
fi

# A disk that is full: of the file itself, and of its name.
if [ "$(id -u)" -eq 0 ] && mount -t tmpfs -o size=48k,nr_inodes=8 tmpfs disk 2> /dev/null; then
    cp old.json disk/out.json
    "${score[@]}" --out disk/out.json 2> err.txt
    [ $? -eq 3 ] || fail "a full disk"
    cmp -s disk/out.json old.json || fail "a full disk: the old file has changed"
    [ "$(ls -A disk)" = out.json ] || fail "a full disk: left behind: $(ls -A disk)"
    "${score[@]}" --out disk/ 2> err.txt
    [ $? -eq 3 ] || fail "a full disk, a folder of results"
    for result in disk/*.csv.json; do
        [ ! -e "$result" ] || "$program" verify "$result" > /dev/null || fail "a full disk: $result is not whole"
    done
    umount disk
else
    echo "skipped: a full disk needs the right to mount one"
fi

# What killed runs left goes, what others have stays.
rm -rf place/* place/.[!.]*
touch place/.tracehold-unfinished-aB3xY9 place/.tracehold-unfinished-aB3xY place/.tracehold-unfinished-aB3x.9 place/other
mkdir place/.tracehold-unfinished-folder
exec 4> place/.tracehold-unfinished-locked && flock 4
"${to_file[@]}" || fail "sweeping"
exec 4>&-
[ "$(ls -A place | sort | tr '\n' ' ')" = "$(printf '%s\n' .tracehold-unfinished-aB3xY .tracehold-unfinished-aB3x.9 .tracehold-unfinished-folder \
    .tracehold-unfinished-locked other out.json | sort | tr '\n' ' ')" ] || fail "sweeping: there is $(ls -A place | tr '\n' ' ')"

[ $failures -eq 0 ] || exit 1
echo "write_faults: nothing half written"
