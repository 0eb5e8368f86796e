#!/usr/bin/env python3
"""Compares what this project reads from EDF and BDF files with what EDFlib and MNE-Python read from the same bytes.

usage: edf_reference.py --dump DUMP_RECORDING --edflib EDF_EDFLIB [FILE...]

Compared: header (labels, units, rates, start), every sample (to 1e-6 of full scale), annotations (times to 2 us, and
texts). Files: some that EDFlib writes, one that MNE writes where it can, the ones named, and, where
TRACEHOLD_OPEN_RECORDINGS is set, all in its edf folder. Where a reader departs from the published specification,
DECIDED says how; any other difference fails. A reader that refuses a file is told.
Exit: 0 all agree, 1 a difference, 77 (skipped) if a reader is not installed.
"""
import argparse
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import warnings

import numpy as np

TOLERANCE = 1e-6  # of full scale
TO_UV = {"nV": 1e-3, "uV": 1.0, "\u00b5V": 1.0, "\u03bcV": 1.0, "mV": 1e3, "V": 1e6}
MNE_VOLTS = {"uV", "\u00b5V", "\u03bcV", "mV", "V"}

COMMA = "all stamps agree that the first record stands at 0.5 s; MNE skips its '+0,5'"

# (file, reader): what the specification says where the reader departs from it.
DECIDED = {
    ("many_signals.edf", "EDFlib"): "the scale is linear for every stored number; EDFlib clamps at the digital limits",
    ("test_legacy.edf", "MNE"): "only the reserved field makes a file EDF+, so this signal is an ordinary one",
    ("annotations-at-edges.edf", "MNE"): "annotations may stand at any time; MNE drops those past the end",
    ("control-labels.edf", "MNE"): "header texts are printable ASCII; control characters are replaced here",
    ("late-start.edf", "MNE"): "a record's stamp counts from the header's start; MNE leaves it out",
    ("negative-origin.edf", "MNE"): "a record's stamp counts from the header's start; MNE leaves it out",
    ("lost-timekeeping.edf", "MNE"): COMMA,
    ("lost-timekeeping-d.edf", "MNE"): COMMA,
}


class Difference(Exception):
    pass


def same(name, ours, theirs):
    if ours != theirs:
        raise Difference(f"{name}: {ours!r} here, {theirs!r} there")


def same_samples(channel, theirs):
    """Gaps that this project keeps as missing samples are left out first: no other reader keeps them."""
    ours = np.array([np.nan if x is None else x for x in channel["samples"]], dtype=float)
    ours = ours[~np.isnan(ours)] if not channel["unusable"] else ours
    same(f"number of samples of {channel['label']!r}", len(ours), len(theirs))
    if channel["unusable"]:
        return 0
    low, high = channel["low_limit"], channel["high_limit"]
    # Where samples pass the limits the file states none that holds; 16 bits are full scale then.
    scale = 65535.0 * channel["step"] if low is None or high is None else high - low
    worst = float(np.max(np.abs(ours - theirs))) / scale
    if worst > TOLERANCE:
        clamped = float(np.max(np.abs(np.clip(ours, theirs.min(), theirs.max()) - theirs))) / scale <= TOLERANCE
        raise Difference(f"samples of {channel['label']!r} off by {worst:.3g} of full scale, " +
                         ("equal once clamped" if clamped else "not only clamped"))
    return len(ours)


def same_marks(ours, theirs):
    ours = sorted((round(t, 6), round(d, 6), text) for t, d, text in ours)
    theirs = sorted((round(t, 6), round(d, 6), text) for t, d, text in theirs)
    same("number of annotations", len(ours), len(theirs))
    for a, b in zip(ours, theirs):
        if abs(a[0] - b[0]) > 2e-6 or abs(a[1] - b[1]) > 2e-6 or a[2] != b[2]:
            raise Difference(f"annotation: {a} here, {b} there")
    return len(ours)


def ours_of(dump, path):
    out = json.loads(subprocess.run([dump, str(path)], check=True, capture_output=True).stdout)
    for channel in out.get("channels", []):
        channel["unusable"] = channel["step"] is None
    return out


def whole_second(start):
    return None if start is None else start[:19]


# --- EDFlib

def with_edflib(program, path, ours):
    out = json.loads(subprocess.run([program, "read", str(path)], check=True, capture_output=True).stdout)
    if "error" in out:
        return f"refuses the file (code {out['error']})"
    same("number of signals", len(ours["channels"]), len(out["signals"]))
    if ours["start"] is not None:
        same("start", whole_second(ours["start"]), "{:04}-{:02}-{:02}T{:02}:{:02}:{:02}".format(*out["start"]))
        fraction = float("0." + ours["start"][20:]) if len(ours["start"]) > 20 else 0.0
        if abs(fraction - out["subsecond_s"]) > 0.00051:
            raise Difference(f"start within its second: {fraction} here, {out['subsecond_s']} there")
    if ours["format"].endswith("+c"):
        same("person", ours["person"], "" if out["person"] == "X" else out["person"])
    samples = 0
    for channel, theirs in zip(ours["channels"], out["signals"]):
        same("label", channel["label"], theirs["label"])
        if channel["unit_known"]:
            same("unit", channel["unit"], theirs["unit"])
        same("rate", round(channel["rate_hz"], 9), round(theirs["rate_hz"], 9))
        factor = TO_UV.get(channel["unit"], 1.0) if channel["kind"] != "other" else 1.0
        samples += same_samples(channel, np.array(theirs["samples"]) * factor)
    texts = [(t, d, text.encode("latin-1").decode("utf-8", "replace")) for t, d, text in out["marks"]]
    marks = same_marks(ours["marks"], texts)
    return f"agrees: {len(ours['channels'])} signals, {samples} samples, {marks} annotations"


# --- MNE

def mne_signals(mne, path, ours):
    """MNE brings all signals it loads to the fastest rate, so each rate is loaded on its own."""
    import re
    for rate in sorted({c["rate_hz"] for c in ours["channels"]}):
        group = [c for c in ours["channels"] if c["rate_hz"] == rate]
        include = [c["label"] for c in group]
        if len(set(c["rate_hz"] for c in ours["channels"])) == 1:
            raw = mne.io.read_raw(path, preload=True, stim_channel=False, verbose="ERROR")
        else:
            raw = mne.io.read_raw(path, preload=True, stim_channel=False, include=include, verbose="ERROR")
        names = [re.sub(r"-\d+$", "", n) if n not in include else n for n in raw.ch_names]
        same("labels", include, names)
        same("rate", round(rate, 6), round(raw.info["sfreq"], 6))
        for channel, row in zip(group, raw.get_data()):
            volts = channel["unit"] in MNE_VOLTS and channel["kind"] != "other"
            yield raw, channel, row * (1e6 if volts else 1.0)


def with_mne(mne, path, ours):
    samples, raw = 0, None
    try:
        signals = list(mne_signals(mne, path, ours))
    except Difference:
        raise
    except Exception as error:  # whatever MNE throws at an odd file
        return f"refuses the file ({type(error).__name__}: {str(error)[:70]})"
    for raw, channel, row in signals:
        samples += same_samples(channel, row)
    date = raw.info["meas_date"]
    if ours["start"] is not None:
        same("start", whole_second(ours["start"]), date and date.strftime("%Y-%m-%dT%H:%M:%S"))
    theirs = [(float(a["onset"]), float(a["duration"]), str(a["description"])) for a in raw.annotations]
    marks = same_marks(ours["marks"], theirs)
    return f"agrees: {len(ours['channels'])} signals, {samples} samples, {marks} annotations"


# --- files

def written_by_edflib(program, folder):
    for kind in ("edf", "bdf"):
        for subsecond in (0, 2500000):
            path = folder / f"edflib_{subsecond}.{kind}"
            subprocess.run([program, "write", str(path), kind, str(subsecond)], check=True)
            yield path


def written_by_mne(mne, folder):
    path = folder / "mne_export.edf"
    rng = np.random.default_rng(3)
    info = mne.create_info(["EMG PFM", "EMG Abd"], 1000.0, "emg")
    raw = mne.io.RawArray(rng.normal(0.0, 30e-6, (2, 5000)), info, verbose="ERROR")
    raw.set_annotations(mne.Annotations([0.5, 2.25], [0.0, 1.5], ["contract", "relax"]))
    try:
        mne.export.export_raw(str(path), raw, fmt="edf", verbose="ERROR")
    except (ImportError, RuntimeError) as error:
        print(f"MNE writes no file here: {str(error).splitlines()[0][:90]}")
        return []
    return [path]


def files_to_compare(options, mne, folder):
    files = list(written_by_edflib(options.edflib, folder)) + written_by_mne(mne, folder)
    files += [pathlib.Path(name) for name in options.files]
    root = os.environ.get("TRACEHOLD_OPEN_RECORDINGS")
    if root:
        files += sorted(pathlib.Path(root, "edf").glob("*.?df"))
        files += sorted(pathlib.Path(root, "edf", "edge").glob("*.?df"))
    else:
        print("skipped: no open recordings")
    return files


def compare(path, ours, readers):
    """Number of differences that nothing decides."""
    failures = 0
    for name, read in readers.items():
        decided = DECIDED.get((path.name, name))
        try:
            verdict = read(path, ours)
        except Difference as difference:
            verdict = f"the specification decides: {decided} ({difference})" if decided else f"DIFFERS: {difference}"
            failures += not decided
        if ours["gaps"] and verdict.startswith("agrees"):
            verdict += f"; the specification decides: {len(ours['gaps'])} gaps kept here, joined there"
        print(f"{path.name} | {name} | {verdict}")
    return failures


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--dump", required=True)
    parser.add_argument("--edflib", required=True)
    parser.add_argument("files", nargs="*")
    options = parser.parse_args()
    warnings.simplefilter("ignore")
    try:
        import mne
    except ImportError:
        print("skipped: MNE-Python is not installed")
        return 77
    if not shutil.which(options.edflib):
        print("skipped: the EDFlib program is not built")
        return 77
    mne.set_log_level("ERROR")
    readers = {"EDFlib": lambda p, o: with_edflib(options.edflib, p, o), "MNE": lambda p, o: with_mne(mne, p, o)}
    failures = compared = 0
    with tempfile.TemporaryDirectory() as folder:
        for path in files_to_compare(options, mne, pathlib.Path(folder)):
            ours = ours_of(options.dump, path)
            if "error" in ours:
                print(f"{path.name} | refused here: {ours['error']}: {ours['place']}: {ours['message']}")
                continue
            compared += 1
            failures += compare(path, ours, readers)
    print(f"{compared} files compared, {failures} differences that the specification does not decide")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
