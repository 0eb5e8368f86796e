#!/usr/bin/env bash
# The examples for several machines give the bytes of one machine: GNU parallel, and a job array with a merge job on a real Slurm
# of a single node, started here with its own ports and folders.
# Usage: cluster.sh PROGRAM PROJECT parallel|slurm
set -uo pipefail
program=$(realpath "$1") project=$2 way=$3
. "$project/tests/app/small_recording.sh"
skip() { echo "skipped: $*"; exit 77; }
fail() { echo "FAILED: $*"; cat ./*.log 2> /dev/null | tail -n 40; exit 1; }
folder=$(mktemp -d)
chmod 755 "$folder"
daemons=()
clean_up() {
    for process in "${daemons[@]}"; do kill "$process" 2> /dev/null; done
    sleep 0.5
    rm -rf "$folder"
}
trap clean_up EXIT
cd "$folder" || exit 1
export TRACEHOLD=$program

mkdir in
for i in $(seq 1 18); do small_recording "in/r$i.csv" 60 "$i"; done  # of seven people
"$program" score in --format ndjson --quiet --out one/ || fail "one machine"
"$program" score in --format ndjson --quiet > one.ndjson || fail "one machine"

if [ "$way" = parallel ]; then
    command -v parallel > /dev/null || skip "no GNU parallel"
    "$project/examples/cluster/score-parallel.sh" 4 in many || fail "the parts"
    diff -r one many || fail "other bytes than one machine"
    "$project/examples/cluster/score-parallel.sh" 4 in many || fail "once more"
    diff -r one many || fail "other bytes than one machine, once more"
    cp -r in "in {} two"
    "$project/examples/cluster/score-parallel.sh" 3 "in {} two" "many  more" --channel 'emg' || fail "names with blanks"
    "$program" score "in {} two" --format ndjson --quiet --channel emg --out named/ || fail "one machine, a channel named"
    diff -rq named "many  more" || fail "other bytes than one machine, in a folder with blanks"
    ends_with() { local wanted=$1 status=0; shift; "$project/examples/cluster/score-parallel.sh" "$@" 2> told.log || status=$?
        [ $status -eq "$wanted" ] || fail "$*: ended with $status, expected $wanted: $(cat told.log)"; }
    for i in 1 2 3 4 5 6; do echo none > "in/bad$i.csv"; done
    ends_with 1 4 in many
    ends_with 2 4 in many --mains 55
    ends_with 3 4 in /proc/none
    echo "cluster: four parts by GNU parallel are the bytes of one machine"
    exit 0
fi

for name in munged slurmctld slurmd sbatch; do command -v $name > /dev/null || [ -x /usr/sbin/$name ] || skip "no $name"; done
[ "$(id -u)" -eq 0 ] || skip "a Slurm of its own needs root here"
PATH=$PATH:/usr/sbin
host=$(hostname -s)
mkdir -p munge state spool
chown munge munge 2> /dev/null || skip "no user munge"
chmod 711 "$folder"
chmod 755 munge
head -c 1024 /dev/urandom > munge/key
chown munge munge/key && chmod 400 munge/key
setpriv --reuid=munge --regid=munge --clear-groups munged --foreground --force --key-file="$folder/munge/key" --socket="$folder/munge/socket" \
    --pid-file="$folder/munge/pid" --log-file="$folder/munge/log" --seed-file="$folder/munge/seed" > munged.log 2>&1 &
daemons+=($!)
port=$((20000 + $$ % 20000))
cat > slurm.conf << CONF
ClusterName=tracehold
SlurmctldHost=$host
SlurmctldPort=$port
SlurmdPort=$((port + 1))
AuthType=auth/munge
AuthInfo=socket=$folder/munge/socket
SlurmUser=root
StateSaveLocation=$folder/state
SlurmdSpoolDir=$folder/spool
SlurmctldPidFile=$folder/slurmctld.pid
SlurmdPidFile=$folder/slurmd.pid
SlurmctldLogFile=$folder/slurmctld.log
SlurmdLogFile=$folder/slurmd.log
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
ReturnToService=2
SchedulerParameters=sched_interval=1,batch_sched_delay=0
NodeName=$host CPUs=$(nproc) State=UNKNOWN
PartitionName=all Nodes=$host Default=YES MaxTime=INFINITE State=UP
CONF
export SLURM_CONF=$folder/slurm.conf
for _ in $(seq 50); do [ -S munge/socket ] && break; sleep 0.1; done
[ -S munge/socket ] || skip "munged did not start: $(cat munged.log munge/log 2> /dev/null | tail -n 2)"
slurmctld -D -f slurm.conf > slurmctld.out 2>&1 &
daemons+=($!)
slurmd -D -f slurm.conf -N "$host" > slurmd.out 2>&1 &
daemons+=($!)
for _ in $(seq 200); do sinfo -h -o %T 2> /dev/null | grep -q '^idle$' && break; sleep 0.1; done
sinfo -h -o %T 2> /dev/null | grep -q '^idle$' || skip "no node of its own: $(tail -n 2 slurmctld.log slurmd.log slurmd.out 2> /dev/null | tr '\n' ' ')"

array=$(sbatch --parsable --array=1-4 "$project/examples/cluster/score-array.sbatch" in many) || fail "sbatch"
merge=$(sbatch --parsable --dependency="afterok:$array" "$project/examples/cluster/merge.sbatch" many many.ndjson) || fail "sbatch of the merge"
for _ in $(seq 600); do [ -z "$(squeue -h -j "$array,$merge" 2> /dev/null)" ] && break; sleep 0.1; done
diff -r one many || fail "other bytes than one machine"
sort one.ndjson | cmp - <(sort many.ndjson) || fail "the merged file"
LC_ALL=C bash -c 'cat one/*.ndjson' | cmp - many.ndjson || fail "the order of the merged file"
echo "cluster: an array of four tasks and a merge job by $(slurmctld -V) are the bytes of one machine"
