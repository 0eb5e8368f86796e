#!/usr/bin/python3
"""Names put into every place that can identify a person never come out of a run that hides identities.

Recordings, folders, plans, lists, corrections and results are made with a canary word in every identifying field, then go through
every command, format and error path; standard output, standard error, output files and their names are searched for it, and for
the dates of the recordings where the run is anonymous. The same runs with --identity keep must show the canary, else the search
would prove nothing.

usage: canary.py PROGRAM
"""
import base64
import hashlib
import json
import os
import random
import re
import shutil
import struct
import subprocess
import sys
import tempfile
from pathlib import Path

WORD = "zzcanary"  # searched without regard to case
SERIAL = "7766554433"  # a device's
BIRTH = "1961"  # a year of birth; four digits among those of a hash are none
SECRETS = re.compile(rf"{WORD}|{SERIAL}|(?<![\da-f.]){BIRTH}(?![\da-f])", re.I)
MOMENTS = re.compile(r"2030-0\d|2026-0[34]|\b0[234]\.0[34]\.(20)?26|\b0?7:4[0-9]\b|\b19:1[0-9]\b|MAR-2026")

RATE, HOLD_S, REST_S, TIMES = 1000, 4, 4, 3


def samples(seed):
    """Rest, then contractions; µV."""
    rng = random.Random(seed)
    out = []
    for second in range(4 + TIMES * (HOLD_S + REST_S)):
        at = (second - 4) % (HOLD_S + REST_S)
        strong = second >= 4 and at < HOLD_S
        out += [rng.gauss(0, 30 if strong else 2) for _ in range(RATE)]
    return out


CUE_TIMES = [(4 + i * (HOLD_S + REST_S), 4 + i * (HOLD_S + REST_S) + HOLD_S) for i in range(TIMES)]


def csv_recording(seed, start, label="EMG ZZCANARY"):
    lines = ["# person: P-ZZCANARY", f"# start: {start}", "# posture: on the ZZCANARY sofa", f"# rate_hz: {RATE}", "# unit: uV",
             "# patient: Zzcanary Name, born 04.05.1961", f"# device: SN{SERIAL}", f"{label},marker,ZZCANARY remark"]
    marks = {begin * RATE: "ZZCANARYGO" for begin, _ in CUE_TIMES} | {end * RATE: "relax" for _, end in CUE_TIMES}
    mark = "rest"
    for i, value in enumerate(samples(seed)):
        mark = marks.get(i, mark)
        lines.append(f"{value:.2f},{mark},{'zzcanary slept' if i == 0 else ''}")
    return "\n".join(lines) + "\n"


def field(text, width):
    return text.encode("latin-1").ljust(width)[:width]


def edf_recording(seed, date=b"02.03.26", time=b"07.40.00", label="EMG ZZCANARY"):
    values = samples(seed)
    records = len(values) // RATE
    tal_samples = 60
    signals = [(label, "ZZCANARY sensor SN" + SERIAL, "uV", RATE), ("EDF Annotations", "", "", tal_samples)]
    head = field("0", 8) + field("P-ZZCANARY F 04-MAY-1961 Zzcanary_Name", 80)
    head += field("Startdate 02-MAR-2026 ZZCANARYADMIN ZZCANARYTECH SN" + SERIAL, 80) + date + time
    head += field(str(256 * (1 + len(signals))), 8) + field("EDF+C", 44) + field(str(records), 8) + field("1", 8) + field(str(len(signals)), 4)
    for part, width in (("label", 16), ("transducer", 80), ("unit", 8), ("low", 8), ("high", 8), ("dlow", 8), ("dhigh", 8), ("filter", 80), ("samples", 8), ("free", 32)):
        for name, transducer, unit, count in signals:
            value = {"label": name, "transducer": transducer, "unit": unit, "low": "-500" if unit else "-1", "high": "500" if unit else "1",
                     "dlow": "-32768", "dhigh": "32767", "filter": "HP:1Hz ZZCANARY" if unit else "", "samples": str(count), "free": "ZZCANARY"}[part]
            head += field(value, width)
    marks = [(begin, "ZZCANARYGO") for begin, _ in CUE_TIMES] + [(end, "relax") for _, end in CUE_TIMES] + [(1, "Zzcanary coughs")]
    body = b""
    for record in range(records):
        body += b"".join(struct.pack("<h", int(v * 65535 / 1000)) for v in values[record * RATE:(record + 1) * RATE])
        tal = f"+{record}\x14\x14\x00" + "".join(f"+{at}\x14{text}\x14\x00" for at, text in marks if at == record)
        body += tal.encode().ljust(2 * tal_samples, b"\0")
    return head + body


PLAN = {"schema": "tracehold.plan/1", "name": "Zzcanary's plan", "posture": "on the ZZCANARY sofa",
        "steps": [{"do": "rest", "seconds": 4}, {"do": "hold", "seconds": HOLD_S, "rest_seconds": REST_S, "times": TIMES}],
        "threshold": {"percent_of_reference": 50}, "targets": {"rest_mean_uv": {"below": 4}},
        "channel": "EMG ZZCANARY", "accessory_channels": ["Abd ZZCANARY"], "cues": {"contract": ["ZZCANARYGO"], "relax": ["relax"]},
        "dose": {"sessions_per_day": 1, "days_per_week": 7, "weeks": 2}}


def write(path, content):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return str(path)


class Place:
    """A folder of inputs, each with the canary in its name and contents."""

    def __init__(self, top):
        self.top = top / "ZZCANARY home"
        week = self.top / "Zzcanary week"
        self.csv = write(week / "zzcanary-1.csv", csv_recording(1, "2026-03-03T07:41:00"))
        self.edf = write(week / "zzcanary-2.edf", edf_recording(2))
        self.late = write(week / "zzcanary-3.csv", csv_recording(3, "2026-03-03T19:12:00+01:00"))
        write(week / "zzcanary-4.csv", csv_recording(4, "2026-03-09T07:43:00"))
        self.week = str(week)
        self.plan = write(self.top / "zzcanary-plan.jsonc", "// for Zzcanary\n" + json.dumps(PLAN))
        self.sessions = write(self.top / "zzcanary-list.csv",
                              "file,person,start,posture,plan,channel,site,reviewed,arm\n"
                              "zzcanary-1.csv,ZZCANARY CODE,2026-03-02T07:45:00,,,,ZZCANARY House,2026-03-20,zzcanary group\n"
                              "zzcanary-2.edf,ZZCANARY CODE,,on a zzcanary chair,,,ZZCANARY House,2026-03-20,zzcanary group\n"
                              "zzcanary-3.csv,ZZCANARY CODE,,,,,ZZCANARY House,,zzcanary group\n"
                              "zzcanary-4.csv,ZZCANARY CODE,,,,,ZZCANARY House,,zzcanary group\n")
        self.corrections = write(self.top / "zzcanary-corrections.csv",
                                 "file,action,cycle,from_s,to_s,who,when,why\n"
                                 "zzcanary-1.csv,move_onset,1,4.3,,Dr Zzcanary,2026-03-04,Zzcanary coughed\n"
                                 "zzcanary-9.csv,move_onset,1,4.3,,Dr Zzcanary,2026-03-04,O'Zzcanary\n")
        bad = self.top / "Zzcanary bad"
        self.bad = {name: write(bad / f"zzcanary-{name}", content) for name, content in {
            "cell.csv": csv_recording(5, "2026-03-02").replace("\n", "\nzzcanary,rest,\n", 12),
            "words.txt": "Dear Zzcanary,\nyour appointment is on 2026-03-02.\n",
            "start.csv": "# start: Zzcanary's day\n# person: ZZCANARY\n# kind: zzcanary\n# rate: zzcanary Hz\n" + csv_recording(5, "zzcanary"),
            "rate.csv": "# rate_hz: -7766554433 zzcanary\nemg_uV\n1\n2\n",
            "short.csv": "zzcanary\n1\n",
            "empty.csv": "",
            "cut.edf": edf_recording(6)[:3000],
            "date.edf": edf_recording(6, date=b"zzcanary", time=b"7zzcanar"),
            "header.edf": edf_recording(6)[:184] + b"zzcanary" + edf_recording(6)[192:],
            "two.csv": csv_recording(6, "2026-03-02").replace("EMG ZZCANARY,marker,ZZCANARY remark", "zzcanary_uV,zzcanary_uV,zz", 1),
        }.items()}
        self.bad["flat.csv"] = write(bad / "zzcanary-flat.csv", "# person: ZZCANARY\n# rate_hz: 1000\nEMG ZZCANARY_uV\n" + "0\n" * 20000)
        self.bad["missing"] = str(bad / "zzcanary-missing.csv")
        self.bad["folder"] = str(self.top / "Zzcanary no folder") + "/"
        self.plans = {name: write(self.top / f"zzcanary-{name}.jsonc", content) for name, content in {
            "key": json.dumps(PLAN | {"zzcanary": 1}), "json": '{"name": zzcanary}', "type": json.dumps(PLAN | {"posture": ["zzcanary"]}),
            "target": json.dumps(PLAN | {"targets": {"zzcanary": {"below": 1}}}), "do": json.dumps(PLAN | {"steps": [{"do": "zzcanary", "seconds": 1}]}),
            "cues": json.dumps(PLAN | {"cues": {"zzcanary": []}}), "schema": json.dumps(PLAN | {"schema": "zzcanary/1"}), "empty": ""}.items()}
        self.lists = {name: write(self.top / f"zzcanary-{name}.csv", content) for name, content in {
            "nofile": "zzcanary,person\na,b\n", "twice": "file,person\nzzcanary.csv,a\nzzcanary.csv,b\n",
            "date": "file,start\nzzcanary.csv,zzcanary\n", "width": "file,person\nzzcanary\n", "quote": 'file,person\n"zzcanary,b\n',
            "plan": "file,plan\nzzcanary-1.csv,zzcanary-no.jsonc\n"}.items()}
        self.wrong_corrections = {name: write(self.top / f"zzcanary-c-{name}.csv", content) for name, content in {
            "column": "file,zzcanary\na,b\n", "action": "file,action,cycle,from_s,to_s,who,when,why\nzzcanary-1.csv,zzcanary,1,2,,w,d,y\n",
            "cycle": "file,action,cycle,from_s,to_s,who,when,why\nzzcanary-1.csv,move_onset,zzcanary,2,,w,d,y\n",
            "when": "file,action,cycle,from_s,to_s,who,when,why\nzzcanary-1.csv,move_onset,1,4.5,,w,zzcanary day,y\n",
            "who": "file,action,cycle,from_s,to_s,who,when,why\nzzcanary-1.csv,move_onset,1,zzcanary,,,d,y\n",
            "order": "file,action,cycle,from_s,to_s,who,when,why\nzzcanary-1.csv,move_onset,1,7,,w,d,y\nzzcanary-1.csv,move_offset,1,5,,w,d,y\n"}.items()}
        self.key = str(self.top / "zzcanary.key")
        self.bad_key = write(self.top / "zzcanary-bad.key", "zzcanary\n")
        os.chmod(self.bad_key, 0o600)
        self.results = ""  # of a run that hides nothing
        self.hashes = []  # of every file: their first 12 digits, and as an RFC 6920 name
        for path in sorted(self.top.rglob("*")):
            if path.is_file() and path.stat().st_size > 0:
                digest = hashlib.sha256(path.read_bytes()).digest()
                self.hashes += [digest.hex()[:12], base64.urlsafe_b64encode(digest).decode().rstrip("=")]

    def broken_results(self):
        text = Path(self.results).read_text()
        first = json.loads(text.split("\n")[0])
        first["recording"]["format"] = "zzcanary"
        odd = write(self.top / "zzcanary-odd.ndjson", json.dumps(first) + "\n")
        cut = write(self.top / "zzcanary-cut.ndjson", text[:-200])
        return [odd, cut]


def happy_runs(p):
    """Words of runs that must end with 0 or 1 and write something; OUT is a fresh folder, its name ends in '/'."""
    inputs = ["--plan", p.plan, "--sessions", p.sessions]
    for form in ("text", "json", "ndjson", "md"):
        yield ["inspect", p.week, "--format", form]
    for form in ("text", "json", "ndjson", "csv", "md", "fhir"):
        yield ["score", p.week, *inputs, "--corrections", p.corrections, "--format", form]
    yield ["score", p.csv, "--plan", p.plan, "--corrections", p.corrections]
    yield ["score", p.csv, "--plan", p.plan, "--format", "html"]
    for reader in ("patient", "referrer"):
        yield ["score", p.edf, *inputs, "--for", reader]
    for form in ("transaction", "ndjson"):
        yield ["score", p.week, *inputs, "--format", "fhir", "--fhir-as", form]
    yield ["score", p.week, *inputs, "--out", "OUT"] + [word for form in ("text", "json", "ndjson", "csv", "md", "html", "fhir") for word in ("--format", form)]
    yield ["score", p.week, "--out", "OUT", "--format", "json"]
    for form in ("text", "json", "ndjson", "csv", "md", "html"):
        yield ["course", p.week, *inputs, "--format", form]
        yield ["course", p.results, "--format", form]
        yield ["audit", p.results, "--sessions", p.sessions, "--format", form]
        yield ["audit", p.week, *inputs, "--format", form]
        yield ["audit", p.results, "--sessions", p.sessions, "--by", "month", "--for", "public", "--format", form]
    for by in ("site", "arm"):
        yield ["audit", p.results, "--sessions", p.sessions, "--by", by, "--format", "json"]
    for reader in ("patient", "referrer"):
        yield ["course", p.results, "--for", reader]
    yield ["course", p.results, p.week, *inputs, "--person", "ZZCANARY CODE"]
    yield ["course", p.results, "--by-person", "--format", "json"]
    for path in (p.csv, p.edf):
        yield ["export", path, *inputs, "--out", "OUT"] + [word for form in ("edf", "events", "csv", "bids") for word in ("--format", form)]
    yield ["export", p.csv, "--plan", p.plan, "--format", "csv"]
    yield ["course", p.results, "--format", "fhir"]
    yield ["course", p.week, *inputs, "--corrections", p.corrections, "--format", "fhir"]
    for command in ("score", "course", "audit"):
        yield [command, p.week, *inputs, "--dry-run", "--format", "json"]
        yield [command, "-", *inputs, "--format", "json", "< " + p.csv]
    yield ["score", p.week, *inputs, "--corrections", p.corrections, "--dry-run", "--format", "csv", "--out", "OUT"]
    yield ["export", p.csv, "--plan", p.plan, "--dry-run"]
    yield ["inspect", "-", "< " + p.edf]
    yield ["course", "-", "--format", "fhir", "< " + p.results]
    yield ["audit", "-", "--sessions", p.sessions, "--format", "md", "< " + p.results]


def refused_when_anonymous(words):
    """Groups have names, and recordings are read twice, which standard input cannot be."""
    if "-" in words and words[0] != "audit":
        return True
    return "--by" in words and words[words.index("--by") + 1] != "month"


def sad_runs(p):
    """Words of runs that end badly in some way, and must say so without names."""
    everything = list(p.bad.values())
    for command in ("inspect", "score", "course", "audit"):
        yield [command, *everything]
        for path in everything:
            yield [command, path]
    for path in everything:
        yield ["export", path, "--plan", p.plan]
    for command in ("score", "course", "audit", "export"):
        for plan in p.plans.values():
            yield [command, p.csv, "--plan", plan]
    for command in ("score", "course", "audit"):
        for sessions in p.lists.values():
            yield [command, p.csv, "--plan", p.plan, "--sessions", sessions]
    for corrections in p.wrong_corrections.values():
        yield ["score", p.csv, "--plan", p.plan, "--corrections", corrections]
        yield ["export", p.csv, "--plan", p.plan, "--corrections", corrections]
    for path in p.broken_results():
        yield ["course", path]
        yield ["audit", path]
    yield ["course", p.results, p.csv, "--person", "zzcanari"]
    yield ["audit", p.results, "--sessions", p.sessions, "--by", "zzcanary_arn"]
    yield ["audit", p.results, "--by", "zzcanary"]
    yield ["score", p.csv, "--channel", "zzcanary EMG"]
    yield ["score", p.csv, "--accessory", "zzcanary"]
    yield ["export", p.csv, "--channel", "zzcanary EMG"]
    yield ["course", p.week, "--rules", p.plans["json"]]
    yield ["score", p.csv, "--files-from", p.bad["missing"]]
    yield ["score", "--files-from", p.bad["words.txt"]]
    for target in ("/dev/full", p.csv, p.csv + "/zzcanary/", str(p.top / "zzcanary none" / "x.json")):
        for command in ("inspect", "score", "course", "audit", "export"):
            yield [command, p.csv, "--out", target, "--format", "csv" if command == "export" else "json"]
    yield ["score", p.week, "--out", p.csv + "/zzcanary/", "--format", "json", "--format", "csv"]
    yield ["score", p.csv, p.csv.replace("week/", "week/./"), "--out", "OUT"]
    yield ["score", p.csv, "--rate", "zzcanary"]
    yield ["score", p.csv, "--format", "zzcanary"]
    yield ["score", p.csv, "--shard", "zzcanary"]
    yield ["export", p.csv, p.edf]
    yield ["zzcanary.csv", "score"]
    yield ["score", p.csv, "--identity", "zzcanary"]
    yield ["score", p.csv, "--plna", p.plan]
    for command in ("inspect", "score", "course", "audit", "export"):
        for name in ("words.txt", "cell.csv", "date.edf"):
            yield [command, "-", "< " + p.bad[name]]
    for command in ("score", "course", "audit", "export"):
        yield [command, p.csv, "--plan", p.plans["key"], "--dry-run"]
        yield [command, p.bad["missing"], p.bad["cell.csv"], "--dry-run"]


def verify_runs(p, hidden):
    """Words of 'verify' on results with pseudonyms, and the status each must end with."""
    where, plan, more = ["--recordings", p.week], ["--plan", p.plan], ["--sessions", p.sessions, "--corrections", p.corrections]
    everything = [*where, *plan, *more]
    yield 0, [hidden, *everything]
    yield 0, ["-", *everything, "< " + hidden]
    changed = write(p.top / "zzcanary-changed.ndjson", re.sub(r'"noise_floor_uv":[0-9.]+', '"noise_floor_uv":77.5', Path(hidden).read_text()))
    yield 1, [changed, *everything]
    yield 1, [hidden, *where, *more]
    yield 1, [hidden, *plan, *more]
    yield 1, [hidden, *where, *plan]
    for broken in (*p.broken_results(), p.bad["words.txt"], p.bad["missing"], p.plan):
        yield 1, [broken, *everything]
    for plan_file in (*p.plans.values(), p.bad["missing"]):
        yield 1, [hidden, *where, "--plan", plan_file, *more]
    for name, sessions in (*p.lists.items(), ("missing", p.bad["missing"])):
        yield 1, [hidden, *where, *plan, "--sessions", sessions]
    for corrections in (*p.wrong_corrections.values(), p.bad["missing"]):
        yield 1, [hidden, *where, *plan, "--sessions", p.sessions, "--corrections", corrections]
    for folder in (p.bad["folder"], str(Path(p.bad["cell.csv"]).parent), p.csv):
        yield 1 if folder != p.csv else None, [hidden, "--recordings", folder, *plan, *more]


def check_verify(program, p, top):
    hidden = str(p.top / "zzcanary-hidden.ndjson")
    words = ["score", p.week, "--plan", p.plan, "--sessions", p.sessions, "--corrections", p.corrections, "--format", "ndjson", "--out", hidden]
    run(program, words, "pseudonym", p.key, top / "out")
    assert Path(hidden).read_text().count("\n") == 4
    count = 0
    for wanted, words in verify_runs(p, hidden):
        status, texts = run(program, ["verify", *words], None, p.key, top / "out")
        told = " ".join(["verify", *words]).replace(str(top), "")
        count += 1
        if wanted is not None and status != wanted:
            yield f"{told}: ended with {status}: {(texts['standard output'] + texts['standard error'])[-300:]}"
        for leak in list(leaks(texts, False))[:3]:
            yield f"{told}: {leak}"
    # The search could find something: a result that hides nothing, verified without the key.
    kept = subprocess.run([program, "verify", p.results, "--sessions", p.lists["width"]], capture_output=True)
    if not list(leaks({"both": kept.stdout + kept.stderr}, False)):
        yield "verify of a result that hides nothing shows no canary: the search could not fail"
    print(f"{count} runs of verify")


def run(program, words, identity, key, out):
    """identity: None for a command that has no such option. The last word may be '< FILE': that is standard input."""
    given = Path(words[-1][2:]).read_bytes() if words[-1].startswith("< ") else b""
    words = [str(out) + "/" if word == "OUT" else word for word in words if not word.startswith("< ")]
    command = [program, *words, *(["--identity", identity] if identity else []), *(["--key-file", key] if identity in (None, "pseudonym") else [])]
    # A list of a run that hides nothing has the dates; the time at which outputs are made is another year.
    environment = {"PATH": os.environ["PATH"], "HOME": "/nonexistent", "SOURCE_DATE_EPOCH": "1900000800"}
    done = subprocess.run(command, input=given, capture_output=True, env=environment, timeout=300)
    texts = {"standard output": done.stdout, "standard error": done.stderr}
    for path in sorted(out.rglob("*")) if out.exists() else []:
        texts[f"a file's name"] = texts.get("a file's name", b"") + str(path.relative_to(out)).encode() + b"\n"
        if path.is_file():
            texts[f"the file {len(texts)}{path.suffix}"] = path.read_bytes()
    return done.returncode, texts


def leaks(texts, anonymous):
    for place, data in texts.items():
        text = data.decode("utf-8", "replace")
        found = SECRETS.search(text) or (anonymous and MOMENTS.search(text))
        if found:
            around = text[max(0, found.start() - 60):found.end() + 40].replace("\n", " ")
            yield f"{place}: ...{around}..."


def main():
    program = str(Path(sys.argv[1]).resolve())
    top = Path(tempfile.mkdtemp(prefix="tracehold-hidden-"))
    wrong = []
    try:
        p = Place(top)
        assert subprocess.run([program, "key", "new", p.key], capture_output=True).returncode == 0
        p.results = str(p.top / "zzcanary-results.ndjson")
        made = subprocess.run([program, "score", p.week, "--plan", p.plan, "--sessions", p.sessions, "--format", "ndjson", "--quiet"], capture_output=True)
        Path(p.results).write_bytes(made.stdout)
        assert made.stdout.count(b"\n") == 4, made.stderr
        count, shown, hashed = 0, 0, 0
        for kind, runs in (("happy", list(happy_runs(p))), ("sad", list(sad_runs(p)))):
            for words in runs:
                for identity in ("keep", "pseudonym", "anonymous"):
                    out = top / "out"
                    status, texts = run(program, words, identity, p.key, out)
                    shutil.rmtree(out, ignore_errors=True)
                    told = " ".join(word.replace(str(top), "") for word in words) + f" ({identity})"
                    found = list(leaks(texts, identity == "anonymous"))
                    hashes = [hit for place, data in texts.items() for hit in p.hashes if hit in data.decode("utf-8", "replace")]
                    if identity != "keep":
                        wrong += [f"{told}: the hash of a file, {hit}" for hit in hashes[:3]]
                    hashed += bool(hashes) and identity == "keep"
                    count += 1
                    refused = identity == "anonymous" and refused_when_anonymous(words)
                    if status not in ((0, 1, 2, 3) if kind == "sad" else (2,) if refused else (0, 1)):
                        wrong.append(f"{told}: ended with {status}: {texts['standard error'][-300:]}")
                    if kind == "happy" and not refused and not any(data for place, data in texts.items() if place != "standard error"):
                        wrong.append(f"{told}: wrote nothing: {texts['standard error'][-300:]}")
                    if identity == "keep":
                        shown += bool(found)
                    else:
                        wrong += [f"{told}: {leak}" for leak in found[:3]]
        wrong += check_verify(program, p, top)
        # The key: a file of that kind only, nobody else's to read, named by no message.
        for key in (p.bad_key, p.bad["missing"], p.csv, p.week):
            status, texts = run(program, ["score", p.csv, "--plan", p.plan], "pseudonym", key, top / "out")
            wrong += [f"key {key}: {leak}" for leak in leaks(texts, False)]
            if status != 1:
                wrong.append(f"a bad key ended with {status}")
        runs = count // 3
        if hashed < 25:
            wrong.append(f"only {hashed} of {runs} runs that keep names show the hash of a file: the search could not fail")
        if shown < 0.8 * runs:
            wrong.append(f"the search sees the canary in {shown} of {runs} runs that keep it: it could not fail")
        for line in wrong[:60]:
            print(line)
        print(f"{runs} runs hidden in two ways; kept, {shown} of them show the canary; {len(wrong)} wrong")
        sys.exit(1 if wrong else 0)
    finally:
        shutil.rmtree(top, ignore_errors=True)


main()
