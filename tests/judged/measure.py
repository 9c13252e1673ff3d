#!/usr/bin/env python3
"""What is said of right programs, and whether planted mistakes are told near their place.

    python3 tests/judged/measure.py build/turnwright [FOLDER] [--from 1] [--to 99] [--list]

FOLDER holds right/, faulty/ and faulty.md (else this one); --from and --to take the right programs of these numbers
and their faulty copies, so that one half can be held out.
"""
import argparse
import collections
import json
import pathlib
import re
import subprocess

HERE = pathlib.Path(__file__).parent
NEAR = 4


def checked(program, file):
    out = subprocess.run([program, "check", "--format", "json", str(file)], capture_output=True, check=False)
    return json.loads(out.stdout)["files"][0].get("warnings", [])


def partner_of(right):
    """The program of the other path, and which path this one is; None where there is but one."""
    for own, other in (("_p1", "_p2"), ("_p2", "_p1"), ("_1", "_2"), ("_2", "_1")):
        if right.stem.endswith(own):
            partner = right.with_name(right.stem[: -len(own)] + other + right.suffix)
            return (partner if partner.exists() else None), int(own[-1])
    return None, 1


def told_of_both(program, file, partner, number):
    """What is said of the two paths together, of this one."""
    pair = [file, partner] if number == 1 else [partner, file]
    out = subprocess.run([program, "paths", "--format", "json", *map(str, pair)], capture_output=True, check=False)
    return [w for w in json.loads(out.stdout or b'{"warnings": []}')["warnings"] if w["path"] == number]


def lines_of(file):
    return file.read_text(encoding="latin-1").splitlines()


def keyed(finding, lines):
    return finding["id"], lines[finding["line"] - 1] if finding["line"] <= len(lines) else ""


def new_findings(program, right, faulty):
    old, new = checked(program, right), checked(program, faulty)
    partner, number = partner_of(right)
    if partner and partner.exists():
        old = old + told_of_both(program, right, partner, number)
        new = new + told_of_both(program, faulty, partner, number)
    before = collections.Counter(keyed(w, lines_of(right)) for w in old)
    fresh = []
    for finding in new:
        key = keyed(finding, lines_of(faulty))
        if before[key]:
            before[key] -= 1
        else:
            fresh.append(finding)
    return fresh


def rows(folder):
    """(faulty file, right file, line, kind) of each row of the table."""
    for line in (folder / "faulty.md").read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split(" | ")]
        if len(cells) < 5 or not cells[0].endswith(".nc"):
            continue
        number = next(int(c) for c in cells[1:3] if re.fullmatch(r"\d+", c))
        twin = ""
        for cell in cells[1:3]:
            named = re.fullmatch(r"(\d\d_\w+)\.nc", cell)
            twin = named.group(1) if named else twin
            found = None if named else re.search(r"^(\d\d)_", cell) or re.search(r"twin (\d\d)", cell)
            twin = found.group(1) if found else twin
        form = twin + ("_*.nc" if len(twin) == 2 else ".nc")
        yield folder / "faulty" / cells[0], next((folder / "right").glob(form)), number, cells[-1]


def taken(right, given):
    return given.first <= int(right.name[:2]) <= given.last


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("folder", nargs="?", type=pathlib.Path, default=HERE)
    parser.add_argument("--from", dest="first", type=int, default=0)
    parser.add_argument("--to", dest="last", type=int, default=99)
    parser.add_argument("--list", action="store_true", help="every finding, and every mistake that is missed")
    given = parser.parse_args()
    blocks = said = warnings = 0
    for file in sorted((given.folder / "right").glob("*.nc")):
        if not taken(file, given):
            continue
        found = checked(given.program, file)
        partner, number = partner_of(file)
        if partner and partner.exists():
            found = found + told_of_both(given.program, file, partner, number)
        blocks += sum(1 for line in lines_of(file) if line.strip())
        said += len(found)
        warnings += sum(w["severity"] == "warning" for w in found)
        if given.list:
            for w in found:
                print(f"{file.name}:{w['line']}: {w['severity']}: {w['id']}: {w['message']}")
    told = total = 0
    for faulty, right, line, kind in rows(given.folder):
        if not taken(right, given):
            continue
        near = [w for w in new_findings(given.program, right, faulty) if abs(w["line"] - line) <= NEAR]
        total += 1
        told += bool(near)
        if given.list:
            text = f"{near[0]['line']}: {near[0]['id']}: {near[0]['message']}" if near else "missed"
            print(f"{faulty.name}:{line}: {kind}: {text}")
    print(f"right programs: {said} lines ({warnings} warnings) on {blocks} blocks, {200 * said / blocks:.2f} per 200")
    print(f"planted mistakes: {told} of {total} told near their place")


if __name__ == "__main__":
    main()
