#!/usr/bin/env python3
"""How many single mistakes in right programs are told, at their place.

    python3 tests/mutation/score.py build/turnwright FOLDER... [--each 40 | --per-kind 4] [--only feed,offset]
                                                          [--seed 1] [--silent silent.txt] [--told told.txt] [--jobs 2]

Every program under the folders that draws no error is changed by the operators, `--each` mutants of it at random
but the same for a seed, or `--per-kind` of every kind; `--only` takes the kinds whose name holds one of its
words. A mutant counts where `compare` says that the machine does otherwise; it is told when `check` finds something
new within three lines of the change, or names the changed block by its N number. A program whose name ends in _1 or
_2 (_p1, _p2) is followed together with its partner. Prints a Markdown table by operator.
No proof of anything at a machine: it measures the checker, not the programs.
"""
import argparse
import collections
import concurrent.futures
import difflib
import json
import pathlib
import random
import re
import subprocess
import tempfile

from operators import axes_block_slips, block_slips, mutants_of
from thoughts_axes import axes_thoughts
from thoughts_shape import shape_thoughts
from thoughts_state import thoughts as thoughts_of_state

NEAR = 3


def checked(program, folder):
    """Findings of every file in a folder: {name: (system, [(id, line, message)])}."""
    out = subprocess.run([program, "check", "--format", "json", str(folder)], capture_output=True, check=False)
    result = {}
    for file in json.loads(out.stdout)["files"]:
        found = [(w["id"], w["line"], w["message"], [r["line"] for r in w.get("related", [])]) for w in file.get("warnings", [])]
        result[pathlib.Path(file["file"]).name] = (file.get("system", "A"), found)
    return result


def partner_of(source):
    """The program of the other path and this one's number, where the names end in 1 and 2."""
    for own, other in (("1", "2"), ("2", "1")):
        if re.search(rf"_p?{own}$", source.stem):
            partner = source.with_name(source.stem[:-1] + other + source.suffix)
            return (partner if partner.exists() else None), int(own)
    return None, 1


def told_of_both(program, file, partner, number):
    """What is said of the two paths together, of this one."""
    pair = [file, partner] if number == 1 else [partner, file]
    out = subprocess.run([program, "paths", "--format", "json", *map(str, pair)], capture_output=True, check=False)
    found = json.loads(out.stdout or b'{"warnings": []}')["warnings"]
    return [(w["id"], w["line"], w["message"], []) for w in found if w["path"] == number]


def differs(program, old, new):
    return subprocess.run([program, "compare", str(old), str(new)], capture_output=True, check=False).returncode == 1


def new_findings(before, lines_before, after, lines_after):
    """What is found after and was not before, a finding being its id and the text of its line."""
    def key(finding, lines):
        return finding[0], lines[finding[1] - 1] if finding[1] <= len(lines) else ""
    seen = collections.Counter(key(f, lines_before) for f in before)
    fresh = []
    for finding in after:
        k = key(finding, lines_after)
        if seen[k]:
            seen[k] -= 1
        else:
            fresh.append(finding)
    return fresh


def names(message, label):
    """Whether a message speaks of the block by its number."""
    return re.search(rf"\b{label}\b", message) is not None


def touched(name, i, old, new):
    """The lines that a mutant changes; of a thought, which may change several places, each."""
    if not name.startswith("thought"):
        return [i]
    blocks = difflib.SequenceMatcher(None, [l.rstrip("\r") for l in old], new, autojunk=False).get_opcodes()
    return [i + k for tag, _, _, b, e in blocks if tag != "equal" for k in range(b, max(e, b + 1))]


def mutate(text, system, each, per_kind, only, chance):
    """(operator, indices of the changed lines, new text), at most `each` or `per_kind` of every kind, as many kinds as there are."""
    lines = text.split("\n")
    by_kind = collections.defaultdict(list)
    for i, line in enumerate(lines):
        bare = line.rstrip("\r")
        for name, new in mutants_of(bare, system):
            if new != [bare] and (not only or any(word in name for word in only)):
                by_kind[name].append((i, 1, new))
    bare_lines = [line.rstrip("\r") for line in lines]
    # Thoughts only where they are asked for: what the kinds of slips draw stays as it was.
    thoughts = []
    if any("thought" in word for word in only):
        thoughts = [*axes_thoughts(bare_lines), *thoughts_of_state(bare_lines, system), *shape_thoughts(bare_lines, system)]
    for name, i, count, new in [*block_slips(bare_lines), *axes_block_slips(bare_lines), *thoughts]:
        if not only or any(word in name for word in only):
            by_kind[name].append((i, count, new))
    chosen = []
    for places in by_kind.values():
        chance.shuffle(places)
    kinds = sorted(by_kind)
    if per_kind:
        by_kind = {name: by_kind[name][:per_kind] for name in kinds}
        each = per_kind * len(kinds)
    while len(chosen) < each and any(by_kind.values()):
        for name in kinds:
            if by_kind[name] and len(chosen) < each:
                i, count, new = by_kind[name].pop()
                chosen.append((name, touched(name, i, lines[i : i + count], new), "\n".join(lines[:i] + new + lines[i + count :])))
    return chosen


def judged(program, source, given, only):
    """(operator, told, line for the list of the silent) of every mutant of one program that matters."""
    # A program draws the same mutants whatever is measured beside it.
    chance = random.Random(f"{given.seed} {source.name}")
    text = "\n".join(
        line for line in source.read_text(encoding="latin-1").split("\n") if not line.lstrip().startswith(";^")
    )
    outcome = []
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "right.nc").write_text(text, encoding="latin-1")
        system, before = checked(program, folder)["right.nc"]
        chosen = mutate(text, system, given.each, given.per_kind, only, chance)
        for i, (_, _, mutant) in enumerate(chosen):
            (folder / f"m{i:04}.nc").write_text(mutant, encoding="latin-1")
        partner, number = partner_of(source)
        if partner:
            before = before + told_of_both(program, folder / "right.nc", partner, number)
        after = checked(program, folder)
        for i, (operator, places, mutant) in enumerate(chosen):
            line = places[0]
            file = f"m{i:04}.nc"
            if not differs(program, folder / "right.nc", folder / file):
                continue
            found = after[file][1] + (told_of_both(program, folder / file, partner, number) if partner else [])
            fresh = new_findings(before, text.split("\n"), found, mutant.split("\n"))
            lines = mutant.split("\n")
            now = lines[line].strip() if line < len(lines) else ""
            afar = "".join(sorted({f"  [told at {f[1]}: {f[0]}]" for f in fresh}))
            label = re.match(r"\s*(N\d+)", text.split("\n")[line])
            # Of what is changed in one place and not in the other nobody knows which of the two was meant.
            told_at = [(f, [f[1], *f[3]] if operator.startswith("thought") else [f[1]]) for f in fresh]
            near = any(
                any(abs(at - 1 - place) <= NEAR for at in ats for place in places) or (label and names(f[2], label[1]))
                for f, ats in told_at
            )
            outcome.append((operator, near,
                            f"{operator}: {source.name}:{line + 1}: {text.split(chr(10))[line].strip()} -> {now}{afar}"))
    return outcome


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("folders", nargs="+")
    parser.add_argument("--each", type=int, default=40)
    parser.add_argument("--per-kind", type=int, default=0)
    parser.add_argument("--only", default="", help="words of kinds, with commas between")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--silent", help="write the mutants that nothing tells of to this file")
    parser.add_argument("--told", help="write the mutants that are told to this file")
    parser.add_argument("--jobs", type=int, default=2, help="programs at once")
    given = parser.parse_args()
    only = [word for word in given.only.split(",") if word]
    sources = sorted(p for f in given.folders for p in pathlib.Path(f).rglob("*.nc"))
    with concurrent.futures.ThreadPoolExecutor(given.jobs) as pool:
        outcome = [o for one in pool.map(lambda s: judged(given.program, s, given, only), sources) for o in one]
    for path, wanted in ((given.silent, False), (given.told, True)):
        if path:
            pathlib.Path(path).write_text("".join(sorted(o[2] + "\n" for o in outcome if o[1] == wanted)))
    counted = collections.Counter(o[0] for o in outcome)
    told = collections.Counter(o[0] for o in outcome if o[1])
    print("| mistake | mutants that matter | told at their place |\n|---|---|---|")
    for operator in sorted(counted):
        print(f"| {operator} | {counted[operator]} | {100 * told[operator] / counted[operator]:.0f} % |")
    print(f"| all | {len(outcome)} | {100 * sum(told.values()) / max(1, len(outcome)):.0f} % |")


if __name__ == "__main__":
    main()
