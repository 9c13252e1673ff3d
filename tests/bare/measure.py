#!/usr/bin/env python3
"""What is known or assumed of programs with no shop file.

    python3 tests/bare/measure.py build/turnwright [FOLDER ...] [--list] [--write]

A FOLDER (such as tests/judged/third/right) holds programs to take in place of those that README.md names. Of those
what must come out stands in expected.txt, which --write writes anew.
"""
import argparse
import difflib
import html
import json
import pathlib
import re
import shutil
import subprocess
import tempfile

HERE = pathlib.Path(__file__).parent
TESTS = HERE.parent
EXPECTED = HERE / "expected.txt"
MARK = re.compile(r"^;[\s^]*\^")
CUTS = {"feed", "pass", "finish", "thread"}


TOLD = [TESTS / folder for folder in ("judged/right", "corpus/system_a", "corpus/system_b", "corpus/system_c",
                                      "corpus/stocked", "corpus/family", "bare/programs")]
# Held out in half: what comes out of these is counted and written nowhere.
FOLDERS = [*TOLD, *(TESTS / f"judged/{name}/right" for name in ("second", "third", "fourth"))]


def programs(folders):
    for folder in folders:
        for file in sorted(folder.glob("*.nc")):
            text = file.read_text(encoding="latin-1")
            # What reaches a subprogram that stands by itself, its callers say.
            is_alone = "M99" in text and not re.search(r"M(30|0?2)(?!\d)", text)
            lines = file.read_text(encoding="latin-1").splitlines()
            yield file, "\n".join(line for line in lines if not MARK.match(line)) + "\n", is_alone


def said(program, *arguments):
    out = subprocess.run([program, *arguments], capture_output=True, check=False)
    return out.stdout.decode("utf-8", "replace")


def data_of(page):
    return json.loads(html.unescape(re.search(r'id="data">(.*?)</script>', page, re.S).group(1)))


LINE, SPINDLE, FEED, OPEN, SECONDS, WITHOUT, MOVES = 0, 3, 5, 10, 11, 12, 15
STROKES = ("rapid", "feed", "pass", "link", "finish", "thread", "live")


def strokes_of(data):
    """The strokes of each step, from the page's row of moves: a stroke, +16 with its start, +8 with an arc."""
    row, at, strokes = data["moves"], 0, []
    for step in data["steps"]:
        strokes.append(set())
        for _ in range(step[MOVES]):
            strokes[-1].add(STROKES[row[at] & 7])
            at += 3 + (2 if row[at] & 16 else 0) + (3 if row[at] & 8 else 0)
    return strokes


def look(program, file):
    page = said(program, "picture", "--format", "html", str(file))
    data = data_of(page)
    texts, steps = data["texts"], data["steps"]
    strokes, stock = strokes_of(data), data["stock"]
    found = {"why": stock["whyNot"], "open": [], "cuts": 0, "known": 0, "unknown": []}
    for number, step in enumerate(steps):
        why = texts[step[OPEN]] if step[OPEN] else ""
        is_open = bool(why) and "own place" not in why
        if is_open:
            found["open"].append(f"line {step[LINE] + 1}: {why}")
        is_cut = bool(strokes[number] & CUTS)
        if not is_cut and not (is_open and re.search(r"\bF|G0?[123]\b", data["lines"][step[LINE]])):
            continue
        found["cuts"] += 1
        feed, spindle = texts[step[FEED]], texts[step[SPINDLE]]
        is_thread = "thread" in strokes[number]
        feed_known = is_thread or (re.search(r"(mm|in)/(rev|min)|inverse", feed) and "not known" not in feed)
        rpm_known = re.match(r"G9[67]", spindle) and re.search(r"\d (m/min|ft/min|rpm)", spindle)
        standing = spindle.startswith("stopped") or "not started" in spindle
        if feed_known and (rpm_known or standing) and not (is_open and "unit" in why):
            found["known"] += 1
        else:
            found["unknown"].append(f"line {step[LINE] + 1}: {feed}; {spindle}")
    found["part"] = bool(stock["first"]) and stock["followedTo"] is None
    found["time"] = bool(steps) and steps[-1][WITHOUT] == 0 and steps[-1][SECONDS] > 0
    return found


def what_comes_out(program, file):
    """Unit, stock, tools and what is assumed: a line each, as the setup sheet has them."""
    out, heading = [], ""
    for line in said(program, "sheet", str(file), "--format", "markdown").replace("\\", "").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if line.startswith("#"):
            heading = line
        elif line.startswith(("- Units:", "- As the program shows:", "- Length:")):
            out.append(line[2:])
        elif heading.endswith("Tools by station") and line.startswith("| T") and len(cells) == 12:
            out.append(f"{cells[0]} {cells[1]}: {cells[6]}")
        elif heading.endswith("Assumed here") and line.startswith("- ") and not re.match(r"- (X|rapid rates\b.*|G-code system|stock|T\d\d):", line):
            out.append("assumed " + line[2:])
    return out


def codes_of(system):
    """Codes of unit and feed mode, each with what it states."""
    units = {"70": "inch", "71": "millimetre"} if system == "C" else {"20": "inch", "21": "millimetre"}
    feeds = {"98": "minute", "99": "rev"} if system == "A" else {"94": "minute", "95": "rev"}
    return units, feeds


def states(line, number):
    """The code stands in the line and does what it says, for system C writes cycles by some of these numbers."""
    words = re.sub(r"\([^)]*\)", "", line)
    if not re.search(rf"(?i)G0*{number}(?![\d.])", words):
        return False
    return number not in ("20", "21", "70", "71", "94") or not re.search(r"(?i)[XZUWPQ]\s*[-+.\d#]", words)


def without(text, system):
    """The program with no code of unit or feed mode, and what it stated; None where that is not one of each."""
    stated = []
    for codes in codes_of(system):
        stated.append({what for line in text.splitlines() for code, what in codes.items() if states(line, code)})
        for code in codes:
            text = "\n".join(re.sub(rf"(?i)G0*{code}(?![\d.])\s?", "", line) if states(line, code) else line
                             for line in text.splitlines()) + "\n"
    return (text, *stated)


def assumed(program, file):
    shown = json.loads(said(program, "check", "--format", "json", str(file)))["files"][0]
    words = shown.get("assumed", "")
    unit = "inch" if re.search(r"\binch\b", words) else "millimetre" if "millimetre" in words else ""
    feed = "rev" if "per turn" in words else "minute" if "per minute" in words else ""
    return unit, feed, words


def kept(came_out, every):
    """What expected.txt holds of the programs that are measured."""
    text = EXPECTED.read_text(encoding="utf-8")
    if every > 1:
        names = {name for blank, name in zip(came_out, came_out[1:]) if not blank}
        text = "\n\n".join(part for part in text.split("\n\n") if part.split("\n", 1)[0] in names)
    return text.splitlines()


def share(part, whole):
    return f"{part} of {whole} ({100 * part / whole:.1f} in 100)" if whole else "none"


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("folders", nargs="*", type=pathlib.Path, default=FOLDERS)
    parser.add_argument("--write", action="store_true", help="expected.txt anew: read every line of it before you keep it")
    parser.add_argument("--every", type=int, default=1, metavar="N", help="of the programs only each Nth")
    parser.add_argument("--list", action="store_true", help="every program that misses, and why")
    given = parser.parse_args()
    folder = pathlib.Path(tempfile.mkdtemp())
    count = complete = timed = drawn = cuts = known = 0
    units = feeds = right_units = right_feeds = 0
    missed, wrong, expected = [], [], []
    # Programs of one folder may call each other, so they lie together.
    files = []
    for source, text, is_alone in programs(given.folders):
        place = folder / source.parent.parent.name / source.parent.name
        place.mkdir(parents=True, exist_ok=True)
        (place / source.name).write_text(text, encoding="latin-1")
        if not is_alone:
            files.append((place / source.name, text, source.parent in TOLD))
    for file, text, is_told in files[::given.every]:
        found = look(given.program, file)
        if given.folders == FOLDERS and is_told:
            expected += ["", str(file.relative_to(folder)), *what_comes_out(given.program, file)]
        count += 1
        complete += not found["open"]
        timed += found["time"]
        drawn += found["part"]
        cuts += found["cuts"]
        known += found["known"]
        name = str(file.relative_to(folder))
        if found["open"]:
            missed.append(f"{name}: not drawn in full: {found['open'][0]} ({len(found['open'])})")
        if not found["part"]:
            missed.append(f"{name}: no finished part: {found['why']}")
        if not found["time"]:
            missed.append(f"{name}: no total time")
        if found["unknown"]:
            missed.append(f"{name}: not known: {found['unknown'][0]} ({len(found['unknown'])})")
        system = json.loads(said(given.program, "check", "--format", "json", str(file)))["files"][0].get("system", "A")
        bare, unit, feed = without(text, system)
        if len(unit) != 1 and len(feed) != 1:
            continue
        alone = folder / "bare" / file.name
        alone.parent.mkdir(exist_ok=True)
        alone.write_text(bare, encoding="latin-1")
        got_unit, got_feed, words = assumed(given.program, alone)
        for stated, got, what in ((unit, got_unit, "unit"), (feed, got_feed, "feed mode")):
            if len(stated) != 1 or (what == "feed mode" and "minute" in stated and not got):
                continue
            is_right = got in stated
            if what == "unit":
                units += 1
                right_units += is_right
            else:
                feeds += 1
                right_feeds += is_right
            if got and not is_right:
                wrong.append(f"{name}: {what} stated {stated}, assumed {got}: {words}")
            elif not got:
                missed.append(f"{name}: with its codes taken out the {what} stays unknown: {words}")
    shutil.rmtree(folder)
    print(f"programs with no shop file: {count}")
    print(f"picture complete:           {share(complete, count)}")
    print(f"total time:                 {share(timed, count)}")
    print(f"finished part drawn:        {share(drawn, count)}")
    print(f"feed, rpm, unit at cuts:    {share(known, cuts)}")
    print(f"unit assumed as stated:     {share(right_units, units)}")
    print(f"feed mode as stated:        {share(right_feeds, feeds)}")
    if given.write:
        EXPECTED.write_text("\n".join(expected[1:]) + "\n", encoding="utf-8")
    elif given.folders == FOLDERS:
        wrong += [line for line in difflib.unified_diff(kept(expected, given.every), expected[1:], "expected", "came out", n=1, lineterm="")]
    for line in wrong:
        print("WRONG " + line)
    if given.list:
        for line in missed:
            print("  " + line)
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
