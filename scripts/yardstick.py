#!/usr/bin/env python3
"""The straightforward way to score recordings, as a yardstick for speed: read, remove the mean, band-pass forward and
backward as second-order sections, notch 50 Hz, moving RMS of 0.1 s, mean of each work and rest window, JSON.
Reads EDF with MNE, CSV with pandas. It knows no quality, onsets, spectra or uncertainty.

    yardstick.py score --plan PLAN [--jobs N] FILE...      one JSON object a line to standard output
    yardstick.py long SECONDS CHANNELS RATE FILE           writes an EDF of noise with a burst every 15 s
"""
import argparse
import json
import multiprocessing
import re
import sys

import numpy as np


def windows_of(plan_path):
    text = re.sub(r"//[^\n]*", "", open(plan_path, encoding="utf-8").read())
    at, windows = 0.0, []
    for step in json.loads(text)["steps"]:
        for _ in range(step.get("times", 1)):
            if step["do"] != "rest":
                windows.append((at, at + step["seconds"], at + step["seconds"] + step["rest_seconds"]))
            at += step["seconds"] + step.get("rest_seconds", 0)
    return windows


def read_edf(path):
    import mne

    raw = mne.io.read_raw_edf(path, preload=True, verbose="ERROR")
    return [1e6 * channel for channel in raw.get_data()], raw.info["sfreq"]


def read_csv(path):
    import pandas

    table = pandas.read_csv(path, comment="#")
    rate = 2000.0
    for line in open(path, encoding="utf-8"):
        if not line.startswith("#"):
            break
        if line.startswith("# rate_hz:"):
            rate = float(line.split(":")[1])
    return [table.iloc[:, 1].to_numpy(dtype=float)], rate


def envelope_of(x, rate):
    from scipy import ndimage, signal

    x = x - x.mean()
    band = signal.butter(4, [20.0, min(450.0, 0.45 * rate)], btype="bandpass", fs=rate, output="sos")
    x = signal.sosfiltfilt(band, x)
    x = signal.filtfilt(*signal.iirnotch(50.0, 30.0, rate), x)
    return np.sqrt(np.maximum(0.0, ndimage.uniform_filter1d(x * x, int(0.1 * rate) | 1)))


def burst_every(seconds):
    """Seconds from one burst of a long recording to the next: 15, or more where there would be too many for one session."""
    return max(15, -(-int(seconds) // 4000))


def score(job):
    path, windows = job
    channels, rate = read_edf(path) if path.endswith(".edf") else read_csv(path)
    out = []
    for x in channels:
        e = envelope_of(x, rate)
        spans = windows
        if e.size > rate * 3600:  # a long recording: one burst after another
            every = burst_every(e.size / rate)
            spans = [(t, t + 5.0, t + every) for t in np.arange(10.0, e.size / rate - every, every)]
        part = lambda a, b: float(e[int(a * rate) : int(b * rate)].mean())
        out.append([{"work_mean_uv": part(a, b), "rest_mean_uv": part(b, c)} for a, b, c in spans])
    return json.dumps({"file": path, "channels": out})


def write_long(seconds, channels, rate, path):
    """EDF: one record a second, 16 bits, +-1000 uV."""
    text = lambda value, width: str(value).ljust(width).encode("ascii")
    header = text("0", 8) + text("X X X X", 80) + text("Startdate 02-MAR-2026 X X X", 80) + b"02.03.2607.40.00"
    header += text(256 * (channels + 1), 8) + text("", 44) + text(seconds, 8) + text(1, 8) + text(channels, 4)
    fields = [(f"EMG {{}}", 16), ("", 80), ("uV", 8), (-1000, 8), (1000, 8), (-32768, 8), (32767, 8), ("", 80), (rate, 8), ("", 32)]
    for value, width in fields:
        for channel in range(channels):
            header += text(str(value).format(channel + 1), width)
    random = np.random.default_rng(1)
    every = burst_every(seconds)
    noise = np.diff(random.standard_normal(60 * rate + 1)) / np.sqrt(2.0)
    with open(path, "wb") as file:
        file.write(header)
        for second in range(seconds):
            size = 15.0 if 10.0 <= second % every < 15.0 else 2.0
            starts = [(7919 * second + 31 * c) % (59 * rate) for c in range(channels)]
            record = [size * noise[start : start + rate] for start in starts]
            file.write(np.clip(np.concatenate(record) * 32.767, -32768, 32767).astype("<i2").tobytes())


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    commands = parser.add_subparsers(dest="command", required=True)
    scoring = commands.add_parser("score")
    scoring.add_argument("--plan", required=True)
    scoring.add_argument("--jobs", type=int, default=1)
    scoring.add_argument("files", nargs="+")
    writing = commands.add_parser("long")
    for name in ("seconds", "channels", "rate"):
        writing.add_argument(name, type=int)
    writing.add_argument("file")
    asked = parser.parse_args()
    if asked.command == "long":
        return write_long(asked.seconds, asked.channels, asked.rate, asked.file)
    jobs = [(path, windows_of(asked.plan)) for path in asked.files]
    if asked.jobs == 1:
        return sys.stdout.writelines(score(job) + "\n" for job in jobs)
    with multiprocessing.Pool(asked.jobs) as pool:
        sys.stdout.writelines(line + "\n" for line in pool.imap(score, jobs))


if __name__ == "__main__":
    main()
