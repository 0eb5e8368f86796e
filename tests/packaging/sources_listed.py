#!/usr/bin/env python3
"""Every source below src and tests stands in a list of CMake, and nothing else does.
usage: sources_listed.py SOURCES"""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
listed = []
for name in ("CMakeLists.txt", "src/rooms.cmake", "tests/CMakeLists.txt"):
    text = re.sub(r"#[^\n]*", "", (root / name).read_text())
    below = "tests/" if name.startswith("tests") else ""
    for call, arguments in re.findall(r"^(room|sources|room_tests)\(([^)]*)\)", text, re.M):
        words = arguments.split()
        folder = {"room": "src/" + words[0], "room_tests": "tests/" + words[0], "sources": below + words[min(1, len(words) - 1)]}[call]
        listed += [f"{folder}/{word}.cpp" for word in words[2 if call == "sources" else 1 :]]
    listed += [below + word for word in re.findall(r"[a-z_]+/[a-z_/]+\.cpp", text)]
    for words in re.findall(r"^foreach\(name (dump_[^)]*)\)", text, re.M):
        listed += [f"tests/support/{word}.cpp" for word in words.split()]
    for words in re.findall(r"^foreach\(table ([^)]*)\)", text, re.M):
        listed += [f"tests/{word}.cpp" for word in words.split()]
there = {str(path.relative_to(root)) for top in ("src", "tests") for path in (root / top).rglob("*.cpp")}
wrong = [f"in no list: {name}" for name in sorted(there - set(listed))]
wrong += [f"listed and not there: {name}" for name in sorted(set(listed) - there)]
if len(there) < 300:
    wrong.append(f"only {len(there)} sources found")
print("\n".join(wrong) or f"{len(there)} sources are listed")
sys.exit(bool(wrong))
