#!/usr/bin/python3
"""Checks accepted outputs against their published schemas with an independent validator (python3-jsonschema, draft 2020-12),
and that results changed in one place each are refused, with a complaint about that place.

usage: schema_reference.py FOLDER            the folder of accepted outputs (tests/golden)
       schema_reference.py --cases FOLDER    prints what is checked, one case a line, for another validator
       schema_reference.py SCHEMA FILE...    any results, JSON or NDJSON, against one schema
"""
import copy
import json
import sys
from pathlib import Path

from jsonschema import Draft202012Validator


def no_constant(word):
    raise ValueError(f"{word} is no JSON")


def load(text):
    return json.loads(text, parse_constant=no_constant)


def documents(path):
    """A file holds one document, or one a line."""
    text = Path(path).read_text(encoding="utf-8")
    try:
        return [load(text)]
    except json.JSONDecodeError:
        return [load(line) for line in text.splitlines() if line.strip()]


def validator(path):
    schema = load(Path(path).read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    checker = Draft202012Validator(schema)
    checker.file = Path(path).name
    return checker


def problems(checker, document):
    return [f"/{'/'.join(map(str, error.absolute_path))}: {error.message[:200]}" for error in checker.iter_errors(document)]


def every_object(value, path=()):
    if isinstance(value, dict):
        yield path, value
        for key, member in value.items():
            yield from every_object(member, path + (key,))
    if isinstance(value, list):
        for index, member in enumerate(value):
            yield from every_object(member, path + (index,))


def at(document, path):
    for part in path:
        document = document[part]
    return document


OPTIONAL = {"errors", "reasons", "targets", "dose", "threshold"}  # objects whose keys may be absent
ADDED_LATER = {"begins", "rests", "after_plan", "counted", "not_counted", "not_recorded", "left_out_by_hand"}  # results written before these keys were there are still read


def structural_changes(document, optional=OPTIONAL):
    """In every object of the document: a key too many, and each key missing but in the optional ones."""
    for path, found in every_object(document):
        changed = copy.deepcopy(document)
        at(changed, path)["added"] = 1
        yield f"added key in /{'/'.join(map(str, path))}", changed
        free = optional.intersection(path[-1:]) or path[-2:-1] == ("targets",) and path[0] == "plan" or "times" in found
        for key in [] if free else [key for key in found if key not in ADDED_LATER]:
            changed = copy.deepcopy(document)
            del at(changed, path)[key]
            yield f"missing /{'/'.join(map(str, path + (key,)))}", changed


SESSION_CHANGES = [
    (("schema",), "tracehold.session/2"),
    (("tool", "version"), "new"),
    (("tool", "settings", "mains"), "55"),
    (("recording", "sha256"), "ABC"),
    (("recording", "start"), "03.03.2026 19:05"),
    (("recording", "start"), "2026-03-03"),
    (("recording", "person"), ""),
    (("recording", "format"), "wav"),
    (("recording", "channel", "rate_hz"), 0),
    (("recording", "channel", "rate_hz"), "2000"),
    (("plan", "steps", 0, "do"), "jump"),
    (("plan", "steps"), []),
    (("plan", "purpose"), "contest"),
    (("plan", "targets"), {"force_n": {"below": 1}}),
    (("plan", "targets"), {"rest_mean_uv": {}}),
    (("cues", "from"), "guess"),
    (("cues", "confidence"), 1.2),
    (("quality", "usable"), 1),
    (("quality", "noise_floor_uv"), -1),
    (("quality", "findings", 0, "severity"), "fine"),
    (("quality", "findings", 0, "code"), "Not A Code"),
    (("quality", "findings", 0, "spans_s"), [[1]]),
    (("quality", "findings", 0, "spans_s"), [[1, 2, 3]]),
    (("cycles", 0, "index"), 0),
    (("cycles", 0, "index"), 1.5),
    (("cycles", 0, "step"), 0),
    (("cycles", 0, "kind"), "rest"),
    (("cycles", 0, "status"), "ok"),
    (("cycles", 0, "work_s"), 20),
    (("cycles", 0, "onset_s"), "20.3"),
    (("cycles", 0, "measures", "work_mean_uv"), "18"),
    (("cycles", 0, "measures", "work_mean_uv"), True),
    (("cycles", 0, "measures", "reached_threshold"), 1),
    (("cycles", 0, "errors", "work_mean_uv"), -0.1),
    (("cycles", 0, "errors", "force_n"), 0.1),
    (("cycles", 0, "reasons", "peak_uv"), ""),
    (("session", "done"), -1),
    (("session", "measures_over"), "rest"),
    (("session", "measures", "work_mean_uv", "ci95"), [1]),
    (("session", "measures", "work_mean_uv", "sd"), -1),
    (("session", "targets", 0, "above"), 1),
    (("session", "targets", 0, "measure"), "force_n"),
    (("corrections", 0, "who"), ""),
    (("corrections", 0, "action"), "improve"),
    (("notes", 0, "text"), None),
]

COURSE_CHANGES = [
    (("schema",), "tracehold.course/2"),
    (("person",), ""),
    (("first",), "2026-03-02"),
    (("used",), -1),
    (("left_out", 0, "code"), "lost"),
    (("adherence", "planned_sessions"), -1),
    (("adherence", "weeks", 0, "week"), "2026-10"),
    (("adherence", "weeks", 0, "monday"), "2026-03-02T00:00:00"),
    (("adherence", "weeks", 0, "days"), [1, 0, 1, 0, 0, 0]),
    (("phases", 0, "purpose"), "contest"),
    (("phases", 0, "kind"), "hold"),
    (("phases", 0, "contraction"), "raw"),
    (("phases", 0, "sessions"), []),
    (("phases", 0, "sessions", 0, "index"), 0),
    (("phases", 0, "sessions", 0, "date"), None),
    (("phases", 0, "plan_changes", 0, "plan"), ""),
    (("phases", 0, "measures", "force_n"), None),
    (("phases", 0, "measures", "hold_mean_uv", "p"), 1.5),
    (("phases", 0, "measures", "hold_mean_uv", "statement"), "better"),
    (("phases", 0, "measures", "hold_mean_uv", "error_source"), "guessed"),
    (("phases", 0, "measures", "hold_mean_uv", "slope_ci95"), [1]),
    (("phases", 0, "measures", "hold_mean_uv", "mdc95"), -1),
    (("phases", 0, "measures", "hold_mean_uv", "relative"), "%"),
    (("phases", 0, "measures", "hold_mean_uv", "points", 0, "session"), 0),
    (("phases", 0, "measures", "hold_mean_uv", "points", 0, "value"), None),
    (("phases", 0, "measures", "hold_mean_uv", "blocks", "baseline", "days"), 0),
    (("phases", 0, "measures", "hold_mean_uv", "plateau", "change_ci95"), None),
    (("questions", 0, "code"), "Not A Code"),
    (("questions", 0, "source"), ""),
    (("tool", "settings", "identity"), "some"),
    (("made_with", "rules_sha256"), "ABC"),
    (("made_with", "corrections_sha256"), ["0" * 64, "0" * 64]),
    (("notes", 0, "text"), None),
]

AUDIT_CHANGES = [
    (("schema",), "tracehold.audit/2"),
    (("settings", "for"), "everyone"),
    (("settings", "min_cell"), 1),
    (("period", "text"), ""),
    (("inputs_sha256",), "ABC"),
    (("flow", "found", "count"), -1),
    (("flow", "lost", 0, "before"), "found"),
    (("measures", "adherence", "share"), 1.5),
    (("measures", "adherence", "ci95"), [0.1]),
    (("measures", "adherence", "counts"), "cycles"),
    (("measures", "adherence", "suppressed_keys"), ["name"]),
    (("measures", "ranking"), None),
    (("series", "adherence", "months", 0, "month"), "2026-03-01"),
    (("series", "adherence", "run_chart", "long_run"), "yes"),
    (("series", "adherence", "xmr_chart", "rules"), "mine"),
    (("by", "grouping"), "person"),
    (("by", "measures", "adherence", "funnel", 0, "place"), "bad"),
    (("by", "measures", "adherence", "funnel"), []),
    (("by", "measures", "adherence", "no_funnel"), "a reason for none beside one"),
    (("by", "measures", "trustworthy_signal", "no_funnel"), None),
    (("settings", "chart_rules"), "mine"),
    (("made_with", "plans_sha256"), ["ABC"]),
    (("made_with", "left_out"), ""),
    (("notes",), None),
]

PLAN = {
    "schema": "tracehold.plan/1",
    "name": "Plan A",
    "posture": "lying",
    "steps": [
        {"do": "rest", "seconds": 20},
        {"do": "hold", "seconds": 8, "rest_seconds": 10, "times": 5},
        {"do": "endurance", "seconds": 30, "rest_seconds": 30},
    ],
    "threshold": {"percent_of_reference": 50, "reference_uv": 41},
    "targets": {"rest_mean_uv": {"below": 4}},
    "channel": "EMG PFM",
    "accessory_channels": ["EMG Abd"],
    "mains_hz": 50,
    "cues": {"contract": ["contract"], "relax": ["relax"]},
    "dose": {"sessions_per_day": 2, "days_per_week": 6, "weeks": 12},
    "purpose": "training",
}

PLAN_CHANGES = [
    (("schema",), "tracehold.plan/2"),
    (("posture",), "  "),
    (("steps",), [{"do": "rest", "seconds": 20}]),
    (("steps", 0, "rest_seconds"), 3),
    (("steps", 1, "seconds"), 0),
    (("steps", 1, "times"), 0),
    (("steps", 1, "times"), 1.5),
    (("threshold",), {"microvolts": 20, "percent_of_reference": 50}),
    (("threshold",), {}),
    (("targets",), {"rest_mean_uv": {"below": 4, "above": 1}}),
    (("targets",), {"rest_mean": {"below": 4}}),
    (("mains_hz",), 55),
    (("cues", "contract"), []),
    (("dose", "days_per_week"), 8),
    (("purpose",), "contest"),
    (("purpose",), None),
    (("treshold",), {"microvolts": 20}),
]


INSPECTION_CHANGES = [
    (("schema",), "tracehold.inspection/2"),
    (("tool", "version"), ""),
    (("recording", "sha256"), "ABC"),
    (("recording", "start"), "03.03.2026 19:05"),
    (("recording", "duration_s"), -1),
    (("channels", 0, "kind"), "sum"),
    (("channels", 0, "unit"), ""),
    (("channels", 0, "samples"), 1.5),
    (("channels", 0, "low"), "0"),
    (("channels", 0, "quality", "usable"), 1),
    (("channels", 0, "quality", "noise_floor_uv"), -1),
    (("marks", 0, "duration_s"), -1),
    (("gaps_s",), [[1]]),
    (("notes",), [{"code": "Not A Code", "place": None, "text": "x"}]),
]

RULES = {
    "schema": "tracehold.rules/1",
    "rules": [
        {"code": "first", "posture": "lying", "contraction": "hold", "not_yet_posture": "standing", "waits_for": [], "any_of": False,
         "when": [{"measure": "rest_mean_uv", "statistic": "mean", "compare": "above", "limit": 4, "in_at_least": 2, "of_last": 3},
                  {"measure": "adherence_pct", "statistic": "mean", "compare": "below", "limit": 50}],
         "unless": [{"measure": "rest_mean_uv", "statistic": "mean", "compare": "fell"}],
         "text": "Is the rest restless?", "reason": "It may be.", "source": "common practice, no source"},
    ],
}
RULES_OPTIONAL = ("posture", "contraction", "not_yet_posture", "waits_for", "unless", "any_of", "statistic", "limit")

RULES_CHANGES = [
    (("schema",), "tracehold.rules/2"),
    (("rules",), {}),
    (("rules", 0, "code"), " "),
    (("rules", 0, "posture"), None),
    (("rules", 0, "waits_for"), "first"),
    (("rules", 0, "any_of"), "yes"),
    (("rules", 0, "when"), []),
    (("rules", 0, "when", 0, "measure"), "force_n"),
    (("rules", 0, "when", 0, "statistic"), "sum"),
    (("rules", 0, "when", 0, "compare"), "equals"),
    (("rules", 0, "when", 0, "limit"), "4"),
    (("rules", 0, "when", 0, "in_at_least"), 0),
    (("rules", 0, "when", 0, "of_last"), 1001),
    (("rules", 0, "when", 1, "compare"), "misses_target"),
    (("rules", 0, "when", 1, "statistic"), "max"),
    (("rules", 0, "unless", 0, "compare"), "above"),
    (("rules", 0, "unless", 0, "statistic"), "max"),
    (("rules", 0, "text"), ""),
    (("rules", 0, "source"), "\t"),
]


# What is written beside results: the truth of a simulated recording, the record of a self check, the columns of a BIDS events file.
BESIDE = {
    "truth": {
        "schema": "tracehold.truth/1", "plan_starts_s": 2.5, "rest_uv": 2.0,
        "contractions": [{"planned": 1, "kind": "hold", "performed": True, "work_s": [4, 8], "rest_s": [8, 12], "onset_s": 4.2, "rise_end_s": 4.6,
                          "fall_begin_s": 8.1, "offset_s": 8.5, "plateau_uv": 20.0},
                         {"planned": None, "kind": "rapid", "performed": False, "work_s": [12, 13], "rest_s": [13, 15], "onset_s": None, "rise_end_s": None,
                          "fall_begin_s": None, "offset_s": None, "plateau_uv": None}],
        "faults": [{"kind": "hum", "strength_uv": 5.0, "span_s": [0, 3], "hz": 50.0}],
        "profile": {"rate_hz": 100.0, "amplitude_uv": [2.0, 2.5]}},
    "validation": {
        "schema": "tracehold.validation/1", "tool": {"name": "tracehold", "version": "1.0.0", "measures": "1"}, "compiler": "g++", "system": "Linux",
        "passed": False, "checks": [{"code": "statistics.sem", "what": "standard error", "value": None, "expected": 7.5, "tolerance": 1e-5, "unit": "",
                                     "source": "Weir 2005", "passed": False}]},
    "events-description": {
        **{name: {"Description": "x", "Units": "s"} for name in ("onset", "duration", "activity_onset", "activity_offset")},
        "contraction": {"Description": "x"}, "trial_type": {"Description": "x", "Levels": {"hold": "x"}},
        "status": {"Description": "x", "Levels": {"done": "x"}}, "GeneratedBy": {"Name": "tracehold", "Version": "1.0.0", "RecordingSHA256": ""}},
}

BESIDE_CHANGES = {
    "truth": [(("schema",), "tracehold.truth/2"), (("rest_uv",), -1), (("contractions", 0, "kind"), "rest"), (("contractions", 0, "planned"), 0),
              (("contractions", 0, "work_s"), [1]), (("contractions", 0, "plateau_uv"), "20"), (("contractions", 1, "onset_s"), 4.2),
              (("contractions", 0, "offset_s"), None), (("faults", 0, "kind"), "Not A Kind"), (("faults", 0, "span_s"), 3),
              (("profile", "rate_hz"), 0), (("profile", "amplitude_uv"), [None])],
    "validation": [(("schema",), "tracehold.validation/2"), (("tool", "name"), "other"), (("passed",), None), (("compiler",), 12),
                   (("checks",), []), (("checks", 0, "code"), "SEM"), (("checks", 0, "tolerance"), -1), (("checks", 0, "source"), ""),
                   (("checks", 0, "expected"), None)],
    "events-description": [(("onset", "Units"), "ms"), (("status", "Levels"), []), (("contraction", "Description"), ""),
                           (("GeneratedBy", "Name"), "other"), (("GeneratedBy", "RecordingSHA256"), "ABC")],
}


def check_beside(folder, tally):
    for name, document in BESIDE.items():
        schema = validator(folder / f"{name}.schema.json")
        tally.valid(name, schema, document)
        for path, value in BESIDE_CHANGES[name]:
            tally.refused(f"{name} /{'/'.join(map(str, path))} = {value!r}", schema, changed_at(document, path, value))
        for told, changed in structural_changes(document, optional={"Levels"}):
            tally.refused(f"{name} {told}", schema, changed)


def changed_at(document, path, value):
    changed = copy.deepcopy(document)
    at(changed, path[:-1])[path[-1]] = value
    return changed


class Tally:
    def __init__(self):
        self.checks, self.wrong = 0, []

    def valid(self, name, checker, document):
        self.checks += 1
        self.wrong += [f"{name}: {problem}" for problem in problems(checker, document)]

    def refused(self, name, checker, document):
        self.checks += 1
        if not problems(checker, document):
            self.wrong.append(f"{name}: accepted, but should be refused")


class Cases:
    """In the place of a Tally: what would be checked."""

    def told(self, expected, name, checker, document):
        print(json.dumps({"name": name, "schema": checker.file, "expected": expected, "document": document}))

    def valid(self, *case):
        self.told("valid", *case)

    def refused(self, *case):
        self.told("refused", *case)


def check_folder(folder, tally):
    session, plan = validator(folder / "session.schema.json"), validator(folder / "plan.schema.json")
    for name in ("session.json", "session_empty.json"):
        tally.valid(name, session, documents(folder / name)[0])
    document = documents(folder / "session.json")[0]
    for path, value in SESSION_CHANGES:
        tally.refused(f"session /{'/'.join(map(str, path))} = {value!r}", session, changed_at(document, path, value))
    small = copy.deepcopy(document)
    del small["cycles"][1:]
    for name, changed in structural_changes(small):
        tally.refused(f"session {name}", session, changed)
    tally.valid("plan", plan, PLAN)
    for path, value in PLAN_CHANGES:
        tally.refused(f"plan /{'/'.join(map(str, path))} = {value!r}", plan, changed_at(PLAN, path, value))
    for key in ("schema", "posture", "steps"):
        tally.refused(f"plan without {key}", plan, {k: v for k, v in PLAN.items() if k != key})


def check_course(folder, tally):
    course = validator(folder / "course.schema.json")
    for name in ("course.json", "course_empty.json"):
        tally.valid(name, course, documents(folder / name)[0])
    document = documents(folder / "course.json")[0]
    for path, value in COURSE_CHANGES:
        tally.refused(f"course /{'/'.join(map(str, path))} = {value!r}", course, changed_at(document, path, value))
    for name, changed in structural_changes(document, optional={"measures"}):
        tally.refused(f"course {name}", course, changed)


def check_audit(folder, tally):
    audit = validator(folder / "audit.schema.json")
    for name in ("audit.json", "audit_public.json", "audit_empty.json"):
        tally.valid(name, audit, documents(folder / name)[0])
    document = documents(folder / "audit.json")[0]
    for path, value in AUDIT_CHANGES:
        tally.refused(f"audit /{'/'.join(map(str, path))} = {value!r}", audit, changed_at(document, path, value))
    small = copy.deepcopy(document)
    for series in small["series"].values():
        del series["months"][1:]
    for name, changed in structural_changes(small, optional={"directions"}):
        tally.refused(f"audit {name}", audit, changed)
    public = documents(folder / "audit_public.json")[0]
    for path, value in [(("period", "first"), "2026-03-02"), (("settings", "min_cell"), None), (("directions",), document["directions"])]:
        tally.refused(f"public audit /{'/'.join(map(str, path))}", audit, changed_at(public, path, value))


def check_inspection(folder, tally):
    inspection = validator(folder / "inspection.schema.json")
    document = documents(folder / "inspection.json")[0]
    tally.valid("inspection.json", inspection, document)
    for path, value in INSPECTION_CHANGES:
        tally.refused(f"inspection /{'/'.join(map(str, path))} = {value!r}", inspection, changed_at(document, path, value))
    for name, changed in structural_changes(document):
        tally.refused(f"inspection {name}", inspection, changed)


def check_rules(folder, tally):
    rules = validator(folder / "rules.schema.json")
    tally.valid("rules", rules, RULES)
    for path, value in RULES_CHANGES:
        tally.refused(f"rules /{'/'.join(map(str, path))} = {value!r}", rules, changed_at(RULES, path, value))
    for name, changed in structural_changes(RULES, optional=set()):
        if not any(name.endswith("/" + key) for key in RULES_OPTIONAL):
            tally.refused(f"rules {name}", rules, changed)


def check_all(folder, tally):
    for check in (check_folder, check_course, check_audit, check_inspection, check_rules, check_beside):
        check(folder, tally)


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    tally = Tally()
    if sys.argv[1] == "--cases":
        check_all(Path(sys.argv[2]), Cases())
        return
    if len(sys.argv) == 2:
        check_all(Path(sys.argv[1]), tally)
    else:
        checker = validator(sys.argv[1])
        for path in sys.argv[2:]:
            for number, document in enumerate(documents(path), 1):
                tally.valid(f"{path} ({number})", checker, document)
    for line in tally.wrong:
        print(line)
    print(f"{tally.checks} checks, {len(tally.wrong)} wrong")
    sys.exit(1 if tally.wrong or tally.checks == 0 else 0)


main()
