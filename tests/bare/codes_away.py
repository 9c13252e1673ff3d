#!/usr/bin/env python3
"""Whether a right program is told anything more when it states neither its unit nor its feed mode.

    python3 tests/bare/codes_away.py build/turnwright [FOLDER ...] [--every N]

Each right program is checked with no shop file as it stands, with the codes of its unit taken out, with those of its
feed mode, and with both. What is told then and not before is a fault, but for what is true of the shorter text: that
the unit is not stated, and what a restart takes over. Programs that state both units or both modes are left out: with
the codes gone, nobody could read them.
"""
import argparse
import collections
import json
import pathlib
import re
import shutil
import tempfile

import measure

TRUE_OF_THE_TEXT = re.compile(r"units_missing|safety_line_differs|restart_.*")


def right_folders():
    """Every folder of right programs; what is held out may be read, but not what is faulty."""
    judged = [measure.TESTS / "judged/right", *sorted((measure.TESTS / "judged").glob("*/right"))]
    bare = [measure.HERE / name for name in ("programs", "habits", "habits_second")]
    return [*judged, *bare, *sorted(measure.HERE.glob("unseen*"))]


def told(program, file):
    shown = json.loads(measure.said(program, "check", "--format", "json", "--all", str(file)))["files"][0]
    return shown.get("system", "A"), shown.get("warnings", [])


def with_codes_away(text, system, which):
    """The text and what it stated of `which`: 0 the unit, 1 the feed mode."""
    codes = measure.codes_of(system)[which]
    lines = text.splitlines()
    stated = {what for line in lines for code, what in codes.items() if measure.states(line, code)}
    for code in codes:
        lines = [re.sub(rf"(?i)G0*{code}(?![\d.])\s?", "", line) if measure.states(line, code) else line
                 for line in lines]
    return "\n".join(lines) + "\n", stated


def variants(text, system):
    """What is taken out, and the text without it."""
    bare = text
    for which, name in enumerate(("unit", "feed mode")):
        some, stated = with_codes_away(text, system, which)
        words = re.sub(r"\([^)]*\)", "", some)
        # One that stays beside a move ("G94 G01 X1.2 F4.") was followed by the other.
        stays = which == 1 and any(re.search(rf"(?i)G0*{code}(?![\d.])", words)
                                   for code in measure.codes_of(system)[which])
        if len(stated) > 1 or stays:
            return
        if stated:
            yield name, some
            bare = with_codes_away(bare, system, which)[0]
    if bare != text:
        yield "both", bare


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("folders", nargs="*", type=pathlib.Path)
    parser.add_argument("--every", type=int, default=1, metavar="N", help="of the programs only each Nth")
    given = parser.parse_args()
    folders = given.folders or [folder for folder in right_folders() if folder.name not in ("unseen_sixth", "unseen_seventh")]
    place = pathlib.Path(tempfile.mkdtemp())
    files = []
    for source, text, is_alone in measure.programs(folders):
        own = place / "as it stands" / "_".join(source.parts[-4:-1])
        own.mkdir(parents=True, exist_ok=True)
        (own / source.name).write_text(text, encoding="latin-1")
        if not is_alone:
            files.append((own / source.name, text))
    checked, faults = 0, []
    for file, text in files[::given.every]:
        system, before = told(given.program, file)
        ids = collections.Counter(warning["id"] for warning in before)
        for name, bare in variants(text, system):
            # Beside the others of its folder, that it may call.
            other = file.with_name(file.stem + "_without" + file.suffix)
            other.write_text(bare, encoding="latin-1")
            _, behind = told(given.program, other)
            other.unlink()
            checked += 1
            more = collections.Counter(warning["id"] for warning in behind) - ids
            for key in more:
                if not TRUE_OF_THE_TEXT.fullmatch(key):
                    first = next(warning for warning in behind if warning["id"] == key)
                    faults.append(f"{file.parent.name}/{file.name} without its {name}: line {first['line']}: "
                                  f"{key}: {first['message']}")
    shutil.rmtree(place)
    print(f"checked without codes: {checked}; told more: {len(faults)}")
    for fault in faults:
        print("WRONG " + fault)
    return 1 if faults else 0


if __name__ == "__main__":
    raise SystemExit(main())
