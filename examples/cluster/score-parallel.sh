#!/usr/bin/env bash
# A service's recordings on all cores of one machine or of several, by GNU parallel.
#   examples/cluster/score-parallel.sh PARTS INPUT RESULTS [OPTIONS OF score]
#   e.g. examples/cluster/score-parallel.sh 8 recordings/ results/ --plan plan.jsonc --sessions sessions.csv
# Several machines: set PARALLEL to '--sshloginfile machines.txt --workdir .'; they see the same folders. A call that was cut
# short is simply made again: what is done stays.
set -euo pipefail
parts=$1 input=$2 results=$3
shift 3
log=$(mktemp)
trap 'rm -f "$log"' EXIT
parallel_status=0
# Whole lines of quoted words: parallel hands them to a shell, and would read braces in a name as its own.
for part in $(seq "$parts"); do
    printf '%q ' "${TRACEHOLD:-tracehold}" score "$input" --shard "$part/$parts" --jobs 1 --resume --quiet --format ndjson --out "$results/" "$@"
    echo
done | parallel --will-cite --halt never --joblog "$log" || parallel_status=$?
# It ends with the number of parts that failed. This ends as the worst of them did: 1 where some recording could not be scored, which
# was named, and the others are done; 128 and more where one was killed; as parallel itself where parts are missing.
awk -v parts="$parts" -v otherwise="$parallel_status" '
    NR > 1 { status = $8 > 0 ? 128 + $8 : $7; if (status > worst) worst = status }
    END { exit NR == parts + 1 ? worst + 0 : otherwise }' "$log"
