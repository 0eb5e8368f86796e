#!/usr/bin/env python3
"""Opens what 'export' writes with EDFlib and MNE-Python and compares it with the CSV of trace and envelope, the BIDS
events and the JSON result of the same recording.

usage: export_reference.py TRACEHOLD EDF_EDFLIB PROJECT
Exit: 0 all agree, 1 a difference, 77 (skipped) if MNE is not installed.
"""
import csv
import json
import pathlib
import subprocess
import sys
import tempfile
import warnings

try:
    warnings.simplefilter("ignore")
    import mne
    import numpy as np
except ImportError:
    print("skipped: MNE-Python is not installed")
    sys.exit(77)

tool, edflib, project = sys.argv[1:4]
plan = f"{project}/examples/plan-home-a.jsonc"
failures = 0


def check(name, right):
    global failures
    failures += not right
    print(f"{'ok  ' if right else 'FAIL'} {name}")


def run(*words):
    return subprocess.run([tool, *words], check=True, capture_output=True, text=True).stdout


def close(a, b, tolerance):
    return len(a) == len(b) and np.array_equal(np.isnan(a), np.isnan(b)) and bool(np.nanmax(np.abs(a - b)) <= tolerance)


def column(rows, name):
    return np.array([float(row[name]) if row[name] else np.nan for row in rows])


def wanted_marks(result):
    """(time, length, text) of every event of a JSON result, as the header of the export describes them."""
    marks = []
    for c in result["cycles"]:
        begin, end = c["work_s"]
        marks.append((begin, end - begin, f"{c['kind']} {c['index']}, {c['status']}"))
        marks += [(c[f"{e}_s"], 0.0, f"{e} {c['index']}") for e in ("onset", "offset") if c[f"{e}_s"] is not None]
    for finding in result["quality"]["findings"]:
        marks += [(a, b - a, f"found: {finding['code']}") for a, b in finding["spans_s"]]
    return marks


def same_marks(name, wanted, found):
    wanted, found = sorted(wanted), sorted(found)
    same = len(wanted) == len(found) and all(
        abs(a[0] - b[0]) < 2e-6 and abs(a[1] - b[1]) < 2e-6 and a[2] == b[2] for a, b in zip(wanted, found))
    check(f"{name}: {len(wanted)} events", same)


def without_cues(marks):
    return [m for m in marks if m[2] not in ("contract", "relax", "no data")]


def check_recording(path, out):
    result = json.loads(run("score", str(path), "--plan", plan, "--format", "json", "--quiet"))
    run("export", str(path), "--plan", plan, "--quiet", "--out", f"{out}/",
        *sum((["--format", f] for f in ("edf", "events", "csv", "bids")), []))
    stem = out / path.stem
    rows = list(csv.DictReader(open(f"{stem}.scored.csv")))
    clean, envelope = column(rows, "clean_uv"), column(rows, "envelope_uv")
    check(f"{path.name}: the CSV has all samples", len(rows) == round(result["recording"]["duration_s"] *
                                                                    result["recording"]["channel"]["rate_hz"]))

    read = json.loads(subprocess.run([edflib, "read", f"{stem}.scored.edf"], check=True, capture_output=True).stdout)
    check(f"{path.name}: EDFlib opens the copy", "error" not in read)
    raw = mne.io.read_raw_edf(f"{stem}.scored.edf", preload=True, verbose="ERROR")
    for label, values in (("EMG clean", clean), ("EMG envelope", envelope)):
        signal = next(s for s in read["signals"] if s["label"] == label)
        missing = signal["physical"][0]
        step = (signal["physical"][1] - missing) / 65535
        theirs = np.array(signal["samples"][:len(values)])
        theirs[np.isnan(values) & (np.abs(theirs - missing) < step)] = np.nan
        check(f"{path.name}: {label} by EDFlib within half a step (and what a float rounds) of {step:.2g} uV", close(values, theirs, 0.501 * step))
        by_mne = raw.get_data(picks=[label])[0][:len(values)] * 1e6
        by_mne[np.isnan(values)] = np.nan
        check(f"{path.name}: {label} by MNE", close(values, by_mne, 0.501 * step))

    wanted = wanted_marks(result)
    same_marks(f"{path.name}: copy, EDFlib", wanted, without_cues([tuple(m) for m in read["marks"]]))
    events = mne.read_annotations(f"{stem}.events.edf")
    same_marks(f"{path.name}: events, MNE", wanted,
               [(float(a["onset"]), float(a["duration"]), str(a["description"])) for a in events])
    alone = json.loads(subprocess.run([edflib, "read", f"{stem}.events.edf"], check=True, capture_output=True).stdout)
    if "error" in alone:
        print(f"note EDFlib opens no file without a signal (code {alone['error']})")
    else:
        same_marks(f"{path.name}: events, EDFlib", wanted, [tuple(m) for m in alone["marks"]])

    rows = list(csv.DictReader(open(f"{stem}_events.tsv"), delimiter="\t"))
    described = json.load(open(f"{stem}_events.json"))
    check(f"{path.name}: every column of the events is described", all(name in described for name in rows[0]))
    cycles = [row for row in rows if row["trial_type"] != "finding"]
    check(f"{path.name}: {len(cycles)} contractions in the events", [
        (float(r["onset"]), int(r["contraction"]), r["status"], r["activity_onset"]) for r in cycles] == [
        (c["work_s"][0], c["index"], c["status"], "n/a" if c["onset_s"] is None else repr(c["onset_s"]).removesuffix(".0"))
        for c in result["cycles"]])
    again = json.loads(run("score", f"{stem}.scored.edf", "--plan", plan, "--channel", result["recording"]["channel"]["label"],
                           "--format", "json", "--quiet"))
    check(f"{path.name}: the copy scores like the recording", [c["status"] for c in again["cycles"]] ==
          [c["status"] for c in result["cycles"]])


with tempfile.TemporaryDirectory() as folder:
    week = pathlib.Path(folder) / "week"
    run("simulate", f"{project}/examples/scenarios/home-week.json", "--plan", plan, "--out", str(week))
    out = pathlib.Path(folder) / "out"
    for name in ("P-014_2026-03-03.edf", "P-014_2026-03-08.csv", "P-014_2026-03-05_envelope.csv"):
        check_recording(week / name, out)
sys.exit(failures > 0)
