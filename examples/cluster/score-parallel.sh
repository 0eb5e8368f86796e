#!/usr/bin/env bash
# A service's recordings on all cores of one machine or of several, by GNU parallel.
#   examples/cluster/score-parallel.sh PARTS INPUT RESULTS [OPTIONS OF score]
#   e.g. examples/cluster/score-parallel.sh 8 recordings/ results/ --plan plan.jsonc --sessions sessions.csv
# Several machines: set PARALLEL to '--sshloginfile machines.txt --workdir .'; they see the same folders. A call that was cut
# short is simply made again: what is done stays.
set -euo pipefail
parts=$1 input=$2 results=$3
shift 3
# Status 1 of a part says that some recording could not be scored; it was named, and the others are done.
parallel --will-cite --halt never ${TRACEHOLD:-tracehold} score "$input" --shard {}/"$parts" --jobs 1 --resume --quiet \
    --format ndjson --out "$results/" "$@" ::: $(seq "$parts") || status=$?
exit "${status:-0}"
