#!/usr/bin/env python3
"""The same results (a file of one JSON object a line) again and again, each of other bytes and of another person: as many as
are asked for, to standard output.

    more_results.py RESULTS COUNT
"""
import datetime
import hashlib
import json
import sys


def other_person(line, recording, copy):
    return line.replace(f'"person":"{recording["person"]}"', f'"person":"{recording["person"]}x{copy}"')


def other_day(line, recording, copy):
    day = datetime.date(2001, 1, 1) + datetime.timedelta(days=copy)
    return line.replace(recording["start"][:10], day.isoformat())


def more_results(lines, count, change):
    """change(line, its recording, how often it was used before) is what makes them differ beside their bytes."""
    seen = [(line, json.loads(line)["recording"]) for line in lines]
    for number in range(count):
        line, recording = seen[number % len(seen)]
        other = hashlib.sha256(f"{recording['sha256']} {number}".encode()).hexdigest()
        yield change(line.replace(recording["sha256"], other), recording, number // len(seen))


if __name__ == "__main__":
    with open(sys.argv[1], encoding="utf-8") as results:
        sys.stdout.writelines(more_results(list(results), int(sys.argv[2]), other_person))
