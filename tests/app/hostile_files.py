#!/usr/bin/env python3
"""Gives the program files that claim, hide or are too much, within 256 MiB of address space and 30 s each.

Each must end with its own status and a message that says why: never a crash, a hang, a fault of the program or silence.
Usage: hostile_files.py PROGRAM
"""
import os
import resource
import socket
import subprocess
import sys
import tempfile

LIMIT = 256 << 20
program = sys.argv[1]
failures = []
checks = 0


def limited():
    resource.setrlimit(resource.RLIMIT_AS, (LIMIT, LIMIT))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def check(name, arguments, says, status=1, stdin=subprocess.DEVNULL, user=None):
    """says: words of standard error, or None where a result on standard output is enough. user: whom to be, where root may choose."""
    global checks
    checks += 1
    user = user if os.geteuid() == 0 else None
    try:
        done = subprocess.run([program, *arguments], stdin=stdin, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                              preexec_fn=limited, timeout=30, user=user)
    except subprocess.TimeoutExpired:
        failures.append(f"{name}: still running after 30 s")
        return
    err = done.stderr.decode("utf-8", "replace")
    wanted = status if isinstance(status, tuple) else (status,)
    if done.returncode not in wanted:
        failures.append(f"{name}: status {done.returncode}, expected {wanted}: {err[:300]}")
    elif says is not None and says not in err:
        failures.append(f"{name}: expected '{says}' in: {err[:300]}")
    elif len(err) > 20000:
        failures.append(f"{name}: {len(err)} bytes of messages")


def others_can_run_it():
    """Whether somebody without root's rights, whom no permission stops, reaches the program."""
    try:
        return os.geteuid() != 0 or subprocess.run([program, "--version"], user=65534, stdout=subprocess.DEVNULL).returncode == 0
    except OSError:
        print("skipped: folders that may not be read, for the program may not be, either")
        return False


def field(text, width):
    return text.encode("latin-1")[:width].ljust(width)


def edf(signals=1, samples="200", records=1, count=None, duration="1", reserved="", data=None, annotations=False, signal_count=None):
    """A header by the EDF specification 1992, and data as given."""
    out = field("0", 8) + field("X X X X", 80) + field("Startdate 02-MAR-2026 X X X", 80) + field("02.03.26", 8)
    out += field("07.30.05", 8) + field(str(256 * (signals + 1)), 8) + field(reserved, 44)
    out += field(str(records if count is None else count), 8) + field(duration, 8) + field(str(signal_count or signals), 4)
    def column(text, width, of_annotations=None):
        columns = [text] * signals
        if annotations:
            columns[-1] = of_annotations if of_annotations is not None else text
        return b"".join(field(each, width) for each in columns)
    out += column("EMG PFM", 16, "EDF Annotations") + column("", 80) + column("uV", 8, "") + column("-500", 8, "-1")
    out += column("500", 8, "1") + column("-2048", 8, "-32768") + column("2047", 8, "32767") + column("", 80)
    out += column(samples, 8, "40") + column("", 32)
    return out + (data if data is not None else b"\x01\x00" * (int(samples) * signals * records))


def tals(onsets, samples):
    """Records of one signal and one list of annotations."""
    out = b""
    for onset in onsets:
        out += b"\x01\x00\xff\xff" * (samples // 2) + f"+{onset}\x14\x14".encode().ljust(80, b"\0")
    return out


def write(folder, name, content):
    path = os.path.join(folder, name)
    with open(path, "wb") as out:
        for piece in content if isinstance(content, list) else [content]:
            out.write(piece)
    return path


def sparse(folder, name, size):
    path = os.path.join(folder, name)
    with open(path, "wb") as out:
        out.truncate(size)
    return path


def claims(folder):
    """Headers that promise what is not there."""
    def case(name, content, says):
        check(name, ["inspect", write(folder, name, content)], says)
    case("samples.edf", edf(samples="99999999", data=b"\0" * 4000), "the file ends too early")
    case("signals.edf", edf(signal_count=9999), "too many signals: saw '9999', expected at most 512")
    case("many-signals.edf", edf(signals=512, samples="99999999", data=b"\0" * 1000), "the file ends too early")
    case("duration.edf", edf(duration="1e-9"), "sampled above 1 MHz")
    case("long.edf", edf(duration="99999999"), "make more than 31 days")
    case("gap.edf", edf(signals=2, samples="200", records=2, reserved="EDF+D", annotations=True,
                        data=tals([0, 9999999], 200)), "a gap too long for one recording")
    head = b"time_s,emg_uV\n"
    case("gap.csv", head + b"0.000,1\n0.001,2\n0.002,1\n90000000.0,2\n", "far longer than the 4 rows")
    case("gaps.csv", head + b"".join(b"%d.00%d,%d\n" % (i // 3 * 70, i % 3, i % 5 - 2) for i in range(3000)), "tracehold: error:")
    case("line.csv", [head, b"1" * (64 << 20)], "the line is too long")
    case("columns.csv", (b"1," * 5000 + b"\n") * 3, "too many columns: expected at most 1024")
    case("quote.csv", [head, b"0.000,1\n0.001,\"", b"0.002,3\n" * (1 << 20)], "a quote is opened here and never closed")
    case("quotes.csv", [head, b"0.000,1\n0.001,\"", b"\"" * (1 << 24)], "tracehold: error:")
    case("marks.csv", [b"time_s,emg_uV,marker\n", b"".join(b"%.3f,%d,m%d\n" % (i * 0.001, i % 5, i) for i in range(1_100_000))],
         "more than 1000000 changes in a marker column")
    case("zeros.csv", b"\0" * (1 << 20), "not a recording")


def sizes(folder):
    """More than fits, or than anyone needs."""
    check("3 GiB", ["inspect", sparse(folder, "3g.csv", 3 << 30)], "too large: saw 3221225472 bytes")
    for command in (["inspect"], ["score"]):
        check("1.9 GiB " + command[0], [*command, sparse(folder, "2g.csv", (1 << 31) - (1 << 27))], "there is not enough memory")
    with open("/dev/zero", "rb") as endless:
        check("endless input", ["inspect", "-"], "standard input: not a recording", stdin=endless)
    for command in (["inspect"], ["score"], ["course"], ["audit"], ["export"]):
        with subprocess.Popen(["yes", "0.001,1"], stdout=subprocess.PIPE) as endless:
            check("endless text", [*command, "-"], "standard input: too large: saw more than 67108864 bytes", stdin=endless.stdout)
            endless.kill()
    utf16 = ("time_s,emg_uV\n" + "".join(f"{i * 0.001:.3f},{i % 7 - 3}\n" for i in range(2_000_000))).encode("utf-16")
    check("much UTF-16", ["inspect", write(folder, "utf16.csv", utf16)], None, status=(0, 1))
    # One time stamp that is wrong, while a mark says that a contraction goes on.
    rows = "".join(f"{20000 if i == 200 else i * 0.05:.2f},{20 if 100 <= i < 300 else 2},{'hold' if 100 <= i < 300 else 'rest'}\n" for i in range(700))
    check("a wrong time", ["score", write(folder, "wrong-time.csv", b"time_s,emg_uV_rms,marker\n" + rows.encode())], "too little to score")
    check("a plan of 1 GiB", ["plan", "check", sparse(folder, "plan.jsonc", 1 << 30)], "too large: saw 1073741824 bytes")
    # A million annotations beside almost no signal.
    block = b"".join(f"+{i % 9}\x14t\x14\0".encode() for i in range(8)).ljust(80, b"\0")
    many = edf(signals=2, samples="2", records=60000, reserved="EDF+C", duration="0.01", annotations=True,
               data=(b"\x01\x00\xff\xff" + block) * 60000)
    check("many annotations", ["inspect", write(folder, "tals.edf", many)], None, status=(0, 1))
    # Just within the limit of gaps: may be read or lack memory, never crash.
    gap = edf(signals=2, samples="200", records=2, reserved="EDF+D", annotations=True, data=tals([0, 160000], 200))
    check("a gap within limits", ["score", write(folder, "gap-ok.edf", gap)], "tracehold: error:")


def texts(folder):
    """Plans, lists, corrections, rules and results."""
    recording = write(folder, "ok.edf", edf(records=20))
    for option in ("--plan", "--sessions", "--corrections"):
        for name, content in (("deep", b"[" * 200_000), ("large", b"{" + b" " * (2 << 20) + b"}"), ("empty", b""), ("zeros", b"\0" * 5000),
                              ("quote", b"file,who\n\"" + b"x" * (4 << 20)), ("line", b"file," + b"y," * (1 << 20))):
            check(f"{option} {name}", ["score", recording, option, write(folder, "companion-" + name, content)], "companion-" + name)
    check("plan of a key that comes thousandfold", ["plan", "check", write(folder, "keys.json",
          b"{" + b",".join(b'"k%d":1' % i for i in range(5000)) + b"}")], "too many keys in one object")
    check("results without end", ["course", write(folder, "open.json", b'{"schema": "tracehold.session/1", "a": "' + b"z" * (40 << 20))],
          "tracehold: error:")
    check("results nested", ["course", write(folder, "nested.json", b'{"schema": "tracehold.session/1", "a": ' + b"[" * 300_000)],
          "tracehold: error:")
    check("rules nested", ["course", recording, "--rules", write(folder, "rules.json", b"[" * 300_000)], "nested too deeply")
    check("scenario nested", ["simulate", write(folder, "scenario.json", b'{"a":' * 100_000), "--plan", recording, "--out", folder + "/o"],
          "tracehold: error:")


def no_files(folder):
    """What is no regular file must be told at once."""
    os.mkfifo(os.path.join(folder, "pipe.csv"))
    os.mkdir(os.path.join(folder, "folder.csv"))
    os.symlink("loop.csv", os.path.join(folder, "loop.csv"))
    os.symlink("nowhere", os.path.join(folder, "dangling.csv"))
    listener = socket.socket(socket.AF_UNIX)
    listener.bind(os.path.join(folder, "socket.csv"))
    device = "is a device or pipe, expected a regular file"
    for command in (["inspect"], ["score"], ["course"], ["plan", "check"]):
        for name, says in (("pipe.csv", device), ("dangling.csv", "no such file"), ("loop.csv", "tracehold: error:"), ("socket.csv", "tracehold: error:")):
            check(" ".join(command) + " " + name, [*command, os.path.join(folder, name)], says)
        check(" ".join(command) + " /dev/zero", [*command, "/dev/zero"], device)
        check(" ".join(command) + " /dev/full", [*command, "/dev/full"], device)
    check("folder named as a file", ["inspect", os.path.join(folder, "folder.csv")], "nothing that this command reads in this folder")
    locked = os.path.join(folder, "locked")
    os.makedirs(os.path.join(locked, "below"))
    write(os.path.join(locked, "below"), "b.edf", edf(records=20))
    write(locked, "a.edf", edf(records=20))
    os.chmod(folder, 0o755)
    os.chmod(os.path.join(locked, "below"), 0)
    for command in ("score", "course", "audit", "inspect") if others_can_run_it() else ():
        check(command + " where a folder below is locked", [command, locked], "locked/below: cannot be read: Permission denied", user=65534)
    recording = write(folder, "good.edf", edf(records=20))
    for option in ("--plan", "--sessions", "--corrections"):
        check(option + " a pipe", ["score", recording, option, os.path.join(folder, "pipe.csv")], device)
        check(option + " a folder", ["score", recording, option, os.path.join(folder, "folder.csv")], "is a folder, expected a file")
    check("nothing on standard input", ["inspect", "-"], "standard input: the file is empty")
    listener.close()


def many_jobs(folder):
    """More jobs than there are addresses for: fewer are started, and no recording is lost."""
    sessions = ", ".join(f'{{"file": "{i}.edf", "start": "2026-03-{i:02}T07:40:00", "seed": {i}}}' for i in range(1, 17))
    scenario = write(folder, "scenario.json", f'''{{"schema": "tracehold.scenario/1", "sessions": [{sessions}],
        "base": {{"person": "J-1", "rate_hz": 2000, "muscle": {{"rest_uv": 2.4, "work_uv": 15.5}}}}}}'''.encode())
    plan = write(folder, "plan.json", b'''{"schema": "tracehold.plan/1", "name": "jobs", "posture": "lying",
        "steps": [{"do": "rest", "seconds": 30}, {"do": "hold", "seconds": 6, "rest_seconds": 9, "times": 18}]}''')
    made = os.path.join(folder, "made")
    subprocess.run([program, "simulate", scenario, "--plan", plan, "--out", made], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    check("16 sessions with 8 jobs", ["score", made, "--plan", plan, "--format", "ndjson", "--quiet", "--jobs", "8"], None, status=0)


def main():
    if subprocess.run([program, "--version"], preexec_fn=limited, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode != 0:
        print("skipped: this build does not start in 256 MiB of address space")
        sys.exit(77)
    for part in (claims, sizes, texts, no_files, many_jobs):
        with tempfile.TemporaryDirectory(prefix="tracehold-hostile-") as folder:
            part(folder)
    for failure in failures:
        print("FAILED", failure)
    print(f"{checks} hostile files and texts, {len(failures)} failures")
    sys.exit(1 if failures else 0)


main()
