"""Tries to compute what audits for others hide: solve_public.py DUMP_AUDITS [COUNT]. Exit 77: no SciPy here.

A reader of the JSON knows every number shown, that counts are whole and not negative, and all the sums: yes + no = the
denominator, denominators + those without = people, rows = the row of all, in every table at once. An integer solver
looks for the smallest and the largest value of each hidden count, and of each count that is not printed at all (who is
without a value, row by row). A hidden count must keep min_cell values or more; none that is not printed may come out as
1 to min_cell - 1. The audit for the team holds the truth, so that the solver itself is checked: it may never rule it
out."""

import json
import subprocess
import sys

try:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
except ImportError:
    print("skipped: no SciPy")
    sys.exit(77)

ONCE = ("kept_coming", "change_beyond_error", "resting_activity_on_target", "time_to_review")  # each person in one month
MOST = 5000  # no count of these services comes near it


class Reader:
    def __init__(self):
        self.names, self.low, self.high, self.rows = {}, [], [], []

    def unknown(self, name, value=None, least=0):
        self.names[name] = len(self.low)
        self.low.append(least if value is None else value)
        self.high.append(MOST if value is None else value)
        return name

    def relation(self, terms, low, high):
        self.rows.append(({self.names[name]: factor for name, factor in terms.items()}, low, high))

    def equal(self, total, parts):
        terms = {total: -1}
        for part in parts:
            terms[part] = terms.get(part, 0) + 1
        self.relation(terms, 0, 0)

    def at_most(self, small, large):
        self.relation({small: 1, large: -1}, -np.inf, 0)

    def range_of(self, name):
        matrix = np.zeros((len(self.rows), len(self.low)))
        for i, (terms, _, _) in enumerate(self.rows):
            for column, factor in terms.items():
                matrix[i, column] = factor
        constraint = LinearConstraint(matrix, [row[1] for row in self.rows], [row[2] for row in self.rows])
        ends = []
        for sign in (1, -1):
            wish = np.zeros(len(self.low))
            wish[self.names[name]] = sign
            for presolve in (True, False):  # the solver's own shortcuts find some of these systems infeasible
                found = milp(wish, constraints=constraint, bounds=Bounds(self.low, self.high),
                             integrality=np.ones(len(self.low)), options={"presolve": presolve})
                if found.status == 0:
                    break
            assert found.status == 0, f"{name}: {found.message}"
            ends.append(round(sign * found.fun))
        return ends


def cell_names(reader, prefix, cell):
    reader.unknown(prefix + "/yes", cell["numerator"])
    reader.unknown(prefix + "/no")
    reader.unknown(prefix + "/n", cell["denominator"])
    reader.equal(prefix + "/n", [prefix + "/yes", prefix + "/no"])
    if cell["median_n"] is not None and cell["median_n"] > 0 and cell["denominator"] is None:
        raise AssertionError(f"{prefix}: people behind a median beside a hidden denominator")


def tables(audit):
    """prefix, cell, kind of row, its label: every cell of an audit."""
    for key, overall in audit["measures"].items():
        yield key, overall, "all", ""
        for row in audit["series"][key]["months"]:
            yield f"{key}/month {row['month']}", row, "month", row["month"]
        for row in audit["by"]["measures"][key]["groups"]:
            yield f"{key}/group {row['group']}", row, "group", row["group"]


def read(audit):
    reader = Reader()
    flow = audit["flow"]
    people = reader.unknown("people", flow["people"]["count"])
    for stage in ("found", "readable", "scored", "in_analysis"):
        reader.unknown(stage, flow[stage]["count"])
    before = {"readable": "found", "scored": "readable", "in_analysis": "scored"}
    lost = {stage: [stage] for stage in before}
    for reason in flow["lost"]:
        lost[reason["before"]].append(reader.unknown(f"lost/{reason['before']}/{reason['code']}", reason["count"], 1))
    for stage, parts in lost.items():
        reader.equal(before[stage], parts)
    parts = {}
    for prefix, cell, kind, label in tables(audit):
        if cell["numerator"] is None or cell["denominator"] is None:
            told = cell["reason"] is not None or cell["share"] is not None or cell["median"] is not None
            assert not told, f"{prefix}: something is told beside hidden counts"
        cell_names(reader, prefix, cell)
        parts.setdefault((prefix.split("/")[0], kind), []).append((prefix, label))
    behind = {"all": {"": people}}
    for kind in ("month", "group"):
        labels = sorted({label or "" for (_, of), rows in parts.items() if of == kind for _, label in rows})
        # A row that is there has somebody in it; but in a month with recordings nobody need have begun.
        once = {label or "" for (key, of), rows in parts.items() if of == kind and key in ONCE for _, label in rows}
        behind[kind] = {label: reader.unknown(f"people/{kind} {label}", None, int(label in once)) for label in labels}
    for key in audit["measures"]:
        for kind in ("month", "group"):
            rows = [prefix for prefix, _ in parts.get((key, kind), [])]
            if rows and not (key == "adherence" and kind == "month"):
                for what in ("/yes", "/no"):
                    reader.equal(key + what, [row + what for row in rows])
        for kind in ("all", "month", "group"):
            for prefix, label in parts.get((key, kind), []):
                counted = behind[kind][label or ""]
                if key == "trustworthy_signal" and kind != "all":
                    reader.low[reader.names[prefix + "/n"]] = max(1, reader.low[reader.names[prefix + "/n"]])
                if key == "trustworthy_signal":
                    reader.at_most(counted, prefix + "/n")
                elif key == "adherence" and kind == "month":
                    reader.at_most(prefix + "/n", people)
                else:
                    known = audit["measures"][key]["people_without"]["count"] if kind == "all" else None
                    reader.unknown(prefix + "/without", known)
                    reader.equal(counted, [prefix + "/n", prefix + "/without"])
    for kind in ("month", "group"):
        if behind[kind] and any(of == kind for _, of in parts):
            reader.equal(people, list(behind[kind].values()))
    reader.equal("in_analysis", ["trustworthy_signal/n"])
    return reader


def truths(audit):
    found = {"people": audit["flow"]["people"]["count"]}
    for stage in ("found", "readable", "scored", "in_analysis"):
        found[stage] = audit["flow"][stage]["count"]
    for prefix, cell, _, _ in tables(audit):
        found[prefix + "/yes"], found[prefix + "/n"] = cell["numerator"], cell["denominator"]
        found[prefix + "/no"] = cell["denominator"] - cell["numerator"]
    for reason in audit["flow"]["lost"]:
        found[f"lost/{reason['before']}/{reason['code']}"] = reason["count"]
    return found


def judge(shown, truth, tally):
    reader, true = read(shown), truths(truth)
    least = shown["settings"]["min_cell"]
    for name, column in reader.names.items():
        if reader.low[column] == reader.high[column]:
            if name in true and reader.low[column] != true[name]:
                tally["wrong"].append(f"{name}: shown {reader.low[column]}, true {true[name]}")
            continue
        low, high = reader.range_of(name)
        printed = name in true and not name.endswith("/no")
        if name in true and not low <= true[name] <= high:
            tally["wrong"].append(f"{name}: the solver is wrong, {low} to {high}, true {true[name]}")
        hidden = printed and true[name] is not None
        tally["hidden"] += hidden
        tally["asked"] += 1
        small = 1 <= low and high < least
        if small or (hidden and high - low + 1 < least):
            tally["wrong"].append(f"{name}: {low} to {high}, true {true.get(name)}")


def leaks(shown, truth):
    tally = {"wrong": [], "hidden": 0, "asked": 0}
    judge(shown, truth, tally)
    return tally


count = sys.argv[2] if len(sys.argv) > 2 else "40"
lines = subprocess.run([sys.argv[1], count], capture_output=True, text=True, check=True).stdout.splitlines()
tally = {"wrong": [], "hidden": 0, "asked": 0}
careless = 0
for i in range(0, len(lines), 2):
    shown, truth = json.loads(lines[i]), json.loads(lines[i + 1])
    found = leaks(shown, truth)
    for key in ("hidden", "asked"):
        tally[key] += found[key]
    tally["wrong"] += [f"audit {i // 2}: {text}" for text in found["wrong"]]
    # One who tells the number of people after all gives away what the solver is here to find.
    shown["flow"]["people"] = truth["flow"]["people"]
    for key, overall in truth["measures"].items():
        shown["measures"][key]["people_without"] = overall["people_without"]
    careless += len(leaks(shown, truth)["wrong"]) > 0 if i % 8 == 0 else 0
for text in tally["wrong"][:40]:
    print(text)
print(f"{len(lines) // 2} audits, {tally['asked']} counts looked for, {tally['hidden']} of them hidden, "
      f"{len(tally['wrong'])} given back; {careless} careless audits found out")
sys.exit(1 if tally["wrong"] or tally["hidden"] < 100 or careless == 0 else 0)
