#!/usr/bin/env python3
"""What it costs to score more samples and more files, to follow more sessions and to audit more results: processor time
and bytes of output over four orders of magnitude, as a table, and as pictures where a line of slope 1 lies beside.

    cost.py PROGRAM PROJECT FOLDER     writes FOLDER/cost.csv and FOLDER/cost.svg; what it makes of recordings stays in FOLDER
"""
import datetime
import os
import pathlib
import subprocess
import sys

from more_results import more_results, other_day, other_person
from yardstick import write_long

# NAME: what is counted, amounts
sweeps = {"score, one channel at 200 Hz": ("seconds", [30, 300, 3000, 30000, 300000]),
          "score, files of 20 s": ("files", [1, 10, 100, 1000, 10000]),
          "course of one person": ("sessions", [5, 50, 500, 5000]),
          "audit of a service": ("results", [10, 100, 1000, 10000, 100000])}


def run(command, lines=()):
    """(processor seconds, bytes written) of one run; `lines` go to its standard input."""
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    if os.fork() == 0:
        process.stdout.close()
        with process.stdin as pipe:
            for line in lines:
                pipe.write(line.encode())
        os._exit(0)
    process.stdin.close()
    written = 0
    while part := process.stdout.read(1 << 20):
        written += len(part)
    _, status, usage = os.wait4(process.pid, 0)
    os.wait()  # the writer
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode in (0, 1) and written > 0, command
    return usage.ru_utime + usage.ru_stime, written


def long_recording(folder, seconds):
    path = folder / f"long_{seconds}.edf"
    if not path.exists():
        write_long(seconds, 1, 200, path)
    return path


def short_recordings(folder, count):
    """Files of 20 s that differ in the day they say they began on."""
    short = folder / "short"
    short.mkdir(exist_ok=True)
    pattern = long_recording(folder, 20).read_bytes()
    paths = [short / f"{number}.edf" for number in range(count)]
    for number, path in enumerate(paths):
        if not path.exists():
            day = datetime.date(2001, 1, 1) + datetime.timedelta(days=number)
            path.write_bytes(pattern[:168] + day.strftime("%d.%m.%y").encode() + pattern[176:])
    return paths


def result_lines(program, project, folder):
    """The results of the example service, a line each."""
    made, plan = folder / "service", project / "examples/audit/plan.jsonc"
    if not made.exists():
        subprocess.run([program, "simulate", project / "examples/audit/service.json", "--plan", plan, "--out", made], check=True,
                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    scored = subprocess.run([program, "score", made, "--plan", plan, "--format", "ndjson", "--quiet"], stdout=subprocess.PIPE,
                            stderr=subprocess.DEVNULL, text=True)
    return scored.stdout.splitlines(keepends=True)


def measured(program, project, folder):
    score = [program, "score", "--format", "ndjson", "--quiet", "--jobs", "1"]
    lines = result_lines(program, project, folder)
    runs = {"seconds": lambda n: run([*score, long_recording(folder, n)]),
            "files": lambda n: run([*score, "--files-from", "-"], (f"{path}\n" for path in short_recordings(folder, n))),
            "sessions": lambda n: run([program, "course", "-", "--format", "html"], more_results(lines[:1], n, other_day)),
            "results": lambda n: run([program, "audit", "-", "--format", "html"], more_results(lines, n, other_person))}
    for name, (unit, amounts) in sweeps.items():
        for amount in amounts:
            yield name, unit, amount, *runs[unit](amount)


def draw(rows, path):
    import matplotlib

    matplotlib.use("svg")
    matplotlib.rcParams["svg.hashsalt"] = "cost"
    from matplotlib import pyplot

    figure, places = pyplot.subplots(1, len(sweeps), figsize=(14, 3.6), constrained_layout=True)
    for place, (name, (unit, _)) in zip(places, sweeps.items()):
        x, seconds = zip(*[(row[2], row[3]) for row in rows if row[0] == name])
        place.loglog(x, seconds, "o-", color="black")
        place.loglog(x, [seconds[-1] * amount / x[-1] for amount in x], ":", color="gray", label="linear")
        place.set(title=name, xlabel=unit, ylabel="processor time, s")
        place.legend()
    figure.savefig(path, metadata={"Date": None})


def main():
    program, project, folder = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
    folder.mkdir(parents=True, exist_ok=True)
    rows = []
    print(f"{'':<30}{'amount':>10}{'cpu s':>10}{'us each':>10}{'output kB':>12}")
    for row in measured(program, project, folder):
        rows.append(row)
        name, _, amount, seconds, written = row
        print(f"{name:<30}{amount:>10}{seconds:>10.3f}{1e6 * seconds / amount:>10.1f}{written / 1000:>12.1f}", flush=True)
    with open(folder / "cost.csv", "w", encoding="utf-8") as file:
        print("what,unit,amount,cpu_s,output_bytes", file=file)
        for row in rows:
            print(",".join(f'"{cell}"' if isinstance(cell, str) else f"{cell:.6g}" for cell in row), file=file)
    draw(rows, folder / "cost.svg")


if __name__ == "__main__":
    main()
