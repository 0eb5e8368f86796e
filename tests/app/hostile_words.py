#!/usr/bin/python3
"""Words that would steer a terminal or run in a spreadsheet reach neither raw: ESC, BEL and U+202E in the names of files, folders,
columns, sites, options, commands and keys, and formulas in whatever a table shows.

Usage: hostile_words.py PROGRAM
"""
import csv
import io
import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

program = str(Path(sys.argv[1]).resolve())
EVIL = "a\x1b[2J\x07b\u202ec"
RAW = ["\x1b", "\x07", "\u202e"]
FORMULAS = ["=1+1", "+1+1", "-1+1", "@SUM(1)", "\t=1+1", " =1+1", "\uff1d1+1", "=1,1", '="1"', "=1\n+1"]
wrong, runs, echoed = [], 0, 0


def run(*words, given=b"", status=(0, 1, 2, 3)):
    """Both streams, searched for what must not be there."""
    global runs, echoed
    done = subprocess.run([program, *words], input=given, capture_output=True, timeout=120)
    runs += 1
    told = " ".join(words)[:200].encode("unicode_escape").decode()
    if done.returncode not in status:
        wrong.append(f"{told}: ended with {done.returncode}: {done.stderr[-200:]}")
    for place, data in (("standard output", done.stdout), ("standard error", done.stderr)):
        text = data.decode("utf-8", "surrogateescape")
        echoed += "\\x1b" in text.lower() or "\\u{202e}" in text.lower() or "\\xe2\\x80\\xae" in text.lower() or "[2J" in text
        for raw in RAW:
            if raw in text and not (raw == "\u202e" and text.lstrip().startswith("{")):  # JSON holds it as it is, and no terminal reads that
                wrong.append(f"{told}: {raw!r} raw on {place}: {text[max(0, text.index(raw) - 60):text.index(raw) + 20]!r}")
    return done


def amplitudes(shift=0, column="emg_uV", marker=None):
    rows = [f"# person: P-{shift}", f"# start: 2026-03-0{1 + shift % 9}T08:00:00", f"time_s,{column}" + (",marker" if marker else "")]
    for i in range(1200):
        level = 2 + (i * 7919 + shift) % 101 / 101 + (14 if (i / 20 + 9) % 12 < 6 else 0)
        rows.append(f"{i / 20},{level:.3f}" + (f",{marker if i % 200 == 0 else ''}" if marker else ""))
    return "\n".join(rows) + "\n"


def cells_that_run(text, delimiter):
    """Cells that a spreadsheet would take for a formula: they begin like one and are no number."""
    for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter):
        for cell in row:
            if cell.strip()[:1] in "=+-@\uff1d\uff0b\uff0d\uff20" and cell.strip():
                try:
                    float(cell)
                except ValueError:
                    yield cell


def streams(top):
    folder = top / EVIL
    folder.mkdir()
    file = folder / f"{EVIL}.csv"
    file.write_text(amplitudes(1))
    column = top / "column.csv"
    column.write_text(amplitudes(2, column=f'"{EVIL}_uV"', marker=f'"{EVIL}"'))
    two = top / "two.csv"
    two.write_text(amplitudes(3, column=f'"{EVIL}1_uV"'))
    broken = folder / "broken.csv"
    broken.write_text(amplitudes(4).replace("\n5.0,", f"\n{EVIL},"))
    missing = str(folder / "missing.csv")
    sessions = top / "list.csv"
    sessions.write_text("file,person,site,arm,posture\n" + f'{EVIL}.csv,"{EVIL}","{EVIL}","{EVIL}","{EVIL}"\n')
    plan = top / f"{EVIL}.json"
    plan.write_text(json.dumps({"schema": "tracehold.plan/1", "name": EVIL, "posture": EVIL, "channel": EVIL,
                                "steps": [{"do": "hold", "seconds": 6, "rest_seconds": 6, "times": 4}]}))
    bad_plan = top / "plan.json"
    bad_plan.write_text(json.dumps({"schema": "tracehold.plan/1", EVIL: 1}))
    results = str(top / "results.ndjson")
    run("score", str(folder), "--sessions", str(sessions), "--format", "ndjson", "--out", results)
    for command in ("inspect", "score", "course"):
        for form in ("text", "md"):
            for path in (file, column, two, broken, folder, missing):
                run(command, str(path), "--format", form)
    for by in ("site", "arm"):
        for form in ("text", "md", "csv"):
            run("audit", results, "--sessions", str(sessions), "--by", by, "--format", form)
    run("audit", str(folder), "--by", "site")
    run("audit", results, "--sessions", str(sessions), "--by", EVIL)
    run("course", results, "--person", EVIL)
    run("course", results, "--person", EVIL + "x")
    for path in (plan, bad_plan, missing):
        run("score", str(file), "--plan", str(path))
        run("plan", "check", str(path))
        run("plan", "sheet", str(path))
    run("score", str(column), "--channel", EVIL)
    run("score", str(file), "--sessions", str(file))
    run("score", str(file), "--corrections", str(file))
    run("course", str(file), "--rules", str(bad_plan))
    run("verify", results)
    run("verify", results, "--recordings", str(folder))
    run("verify", results, "--recordings", missing)
    run("verify", str(broken))
    run("export", str(file), "--dry-run", "--out", str(folder / "out") + "/")
    run("score", str(folder), "--dry-run", "--format", "json", "--out", str(folder / "out") + "/")
    run("score", str(file), "--out", missing + "/x/y.json", "--format", "json")
    run("score", "-", given=amplitudes(5, column=f'"{EVIL}"').encode())
    for key in (folder / f"{EVIL}.key", folder / "no" / f"{EVIL}.key"):
        run("key", "new", str(key))
        run("key", "new", str(key))
        run("score", missing, "--identity", "pseudonym", "--key-file", str(key))
    run("score", str(file), "--identity", "pseudonym", "--key-file", str(file))
    for words in ([EVIL], [f"--{EVIL}"], ["score", f"--{EVIL}"], ["score", f"--{EVIL}=1"], ["score", str(file), "--format", EVIL],
                  ["score", str(file), "--rate", EVIL], ["score", str(file), "--shard", EVIL], ["score", str(file), "--identity", EVIL],
                  ["plan", EVIL], ["key", EVIL], ["explain", EVIL], ["schema", EVIL], ["simulate", str(bad_plan), "--plan", str(plan)],
                  ["score", "--files-from", str(file)], ["--help", EVIL], ["score", str(file), "--start", EVIL]):
        run(*words)


def tables(top):
    """The audit by a hostile group, a course, the trace and the pair of events files of hostile recordings."""
    week = top / "week"
    week.mkdir()
    rows, searched, seen = [], 0, 0
    for number, formula in enumerate(FORMULAS):
        quoted = '"' + formula.replace('"', '""') + '"'
        (week / f"={number}.csv").write_text(amplitudes(number, column=quoted, marker='"' + formula.replace('"', '""').replace("\n", " ") + '"'))
        rows.append(f"={number}.csv,{quoted},{quoted},{quoted}\n")
    sessions = top / "formulas.csv"
    sessions.write_text("file,person,site,arm\n" + "".join(rows))
    outputs = []
    results = top / "formulas.ndjson"
    run("score", str(week), "--sessions", str(sessions), "--unit", "uV", "--kind", "envelope", "--format", "ndjson", "--out", str(results), status=(0, 1))
    if results.read_text().count("\n") < len(FORMULAS) - 2:
        wrong.append("too few of the hostile recordings have a result")
    for by in ("site", "arm"):
        outputs.append(run("audit", str(results), "--sessions", str(sessions), "--by", by, "--format", "csv", status=(0,)).stdout)
    outputs.append(run("score", str(week), "--sessions", str(sessions), "--unit", "uV", "--kind", "envelope", "--format", "csv", status=(0, 1)).stdout)
    outputs.append(run("course", str(results), "--by-person", "--format", "csv", status=(0, 1)).stdout)
    for output in outputs:
        text = output.decode()
        searched += text.count("\n")
        seen += "'=1+1" in text
        wrong.extend(f"a cell of CSV would run: {cell!r}" for cell in list(cells_that_run(text, ","))[:3])
    for number in range(len(FORMULAS)):
        out = top / f"exported{number}"
        run("export", str(week / f"={number}.csv"), "--unit", "uV", "--kind", "envelope", "--format", "csv", "--format", "bids", "--out", str(out) + "/", status=(0, 1))
        for path in sorted(out.glob("*")) if out.exists() else []:
            if path.suffix in (".csv", ".tsv"):
                text = path.read_text()
                searched += text.count("\n")
                wrong.extend(f"a cell of {path.name} would run: {cell!r}" for cell in list(cells_that_run(text, "," if path.suffix == ".csv" else "\t"))[:3])
    if seen < 3:
        wrong.append(f"the disarmed formula is seen in {seen} tables: the search could not fail")
    if searched < 10000:
        wrong.append(f"only {searched} rows were searched")
    print(f"{searched} rows of tables")


top = Path(tempfile.mkdtemp(prefix="tracehold-words-"))
try:
    streams(top)
    if echoed < runs / 3:
        wrong.append(f"the words are told, disarmed, in {echoed} of {runs} runs: the search could not fail")
    tables(top)
finally:
    shutil.rmtree(top, ignore_errors=True)
for line in wrong[:60]:
    print(line)
print(f"{runs} runs, {len(wrong)} wrong")
sys.exit(1 if wrong else 0)
