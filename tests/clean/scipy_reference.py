"""Filters, zero-phase runs, Welch spectra and the moving RMS against SciPy: scipy_reference.py --tool path/to/dump_clean"""
import argparse
import subprocess
import sys

import numpy as np
from scipy import signal

checks = 0
failures = 0


def check(name, found, expected, tolerance):
    global checks, failures
    found, expected = np.asarray(found, float), np.asarray(expected, float)
    checks += 1
    worst = np.inf if found.shape != expected.shape else np.max(np.abs(found - expected), initial=0.0)
    if not worst <= tolerance:
        failures += 1
        print(f"{name}: off by {worst:g}, allowed {tolerance:g}")


def ask(tool, questions):
    lines = subprocess.run([tool], input="\n".join(questions) + "\n", capture_output=True, text=True, check=True).stdout.splitlines()
    return [np.array([float(v) for v in line.split()]) for line in lines]


def words(values):
    return " ".join("nan" if np.isnan(v) else repr(float(v)) for v in values)


def sos_of(answer):
    b_a = answer.reshape(-1, 5)
    return np.hstack([b_a[:, :3], np.ones((len(b_a), 1)), b_a[:, 3:]])


DESIGNS = [(kind, order, corner, rate)
           for order in (1, 2, 3, 4, 5, 8)
           for kind, corner, rate in (("low", 450, 2000), ("low", 450, 1000), ("low", 6, 1000), ("low", 100, 1000),
                                      ("high", 20, 1000), ("high", 20, 2000), ("high", 20, 4000), ("high", 22.3, 10000))]


def check_designs(tool):
    """Poles, gain and response; the order of sections is free."""
    frequencies = np.array([0, 1, 5, 20, 50, 100, 200, 300, 450], float)
    spell = [f"{k} {n} {c} {r}" for k, n, c, r in DESIGNS]
    sections = ask(tool, ["sections " + s for s in spell])
    responses = ask(tool, ["response " + s + " " + words(frequencies) for s in spell])
    for (kind, order, corner, rate), mine, response in zip(DESIGNS, sections, responses):
        name = f"{kind}-pass of order {order}, {corner} Hz at {rate} Hz"
        theirs = signal.butter(order, corner, kind, fs=rate, output="zpk")
        poles = np.concatenate([np.roots([1.0, a1, a2]) if a2 else [-a1] for a1, a2 in sos_of(mine)[:, 4:]])
        check(name + ": poles", np.sort_complex(poles).view(float), np.sort_complex(theirs[1]).view(float), 1e-9)
        expected = signal.freqz_zpk(*theirs, worN=frequencies, fs=rate)[1]
        check(name + ": response", response, np.column_stack([expected.real, expected.imag]).ravel(), 1e-8)


def check_zero_phase(tool, random):
    """All samples, ends too: the same odd extension and the same initial states, in single precision at the output."""
    for kind, order, corner, rate in (("low", 4, 450, 2000), ("high", 4, 20, 1000), ("low", 2, 6, 1000), ("high", 3, 20, 2000)):
        spell = f"{kind} {order} {corner} {rate}"
        x = np.float32(random.normal(size=4000) * 20 + 3)
        settling, mine = ask(tool, ["settling " + spell, "zerophase " + spell + " " + words(x)])
        sos = signal.butter(order, corner, kind, fs=rate, output="sos")
        theirs = signal.sosfiltfilt(sos, x.astype(float), padtype="odd", padlen=int(settling[0]))
        check(f"zero phase, {spell}", mine, theirs, 1e-5)


def check_welch(tool, random):
    for rate, segment, size in ((1000, 500, 5000), (2000, 1000, 20000), (2048, 1024, 9000), (1000, 333, 4000)):
        x = np.float32(random.normal(size=size) * 10 + 2)
        mine, = ask(tool, [f"welch {rate} {segment} " + words(x)])
        theirs = signal.welch(x.astype(float), rate, "hann", segment, segment // 2, detrend="constant")[1]
        check(f"Welch, {rate} Hz, segments of {segment}", mine, theirs, 1e-9)


def check_rms(tool, random):
    for window, size in ((101, 3000), (201, 5000), (11, 100), (1, 20)):
        x = np.float32(random.normal(size=size) * 10)
        x[size // 3: size // 3 + window] = np.nan
        x[5::17] = np.nan
        mine, = ask(tool, [f"rms {window} " + words(x)])
        valid = np.convolve(~np.isnan(x), np.ones(window), "same")
        squares = np.convolve(np.nan_to_num(x.astype(float)) ** 2, np.ones(window), "same")
        few = 2 * np.round(valid) < window
        theirs = np.sqrt(squares / np.where(few, 1, valid))
        check(f"RMS over {window}: masked", np.isnan(mine), few, 0)
        check(f"RMS over {window}", mine[~few], theirs[~few], 2e-6)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--tool", required=True)
    tool = parser.parse_args().tool
    random = np.random.default_rng(20)
    check_designs(tool)
    check_zero_phase(tool, random)
    check_welch(tool, random)
    check_rms(tool, random)
    check("factor for two passes", np.concatenate(ask(tool, ["factor 2 2", "factor 4 2"])), [0.8022433, 0.8956803], 1e-6)
    print(f"{checks} checks against SciPy, {failures} failed")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
