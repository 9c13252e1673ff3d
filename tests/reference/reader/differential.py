"""What `turnwright compare` tells of 200 random programs against what an independent reader makes of them.

Usage: differential.py TURNWRIGHT. Each program is compared with one that calls the same tools and does nothing,
so that everything that it does is told: every end with its line, and the sums of lengths and times.
"""

import json
import os
import re
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

from programs import Program
from reader import Reader

COUNT = 200
# From or to a place that the program does not tell, about 200 to 300 mm (common practice, no source).
WAY_HOME_SECONDS = 1.2
POINT = re.compile(r"(rapid|feed|arc|thread) to X(\S+) Z([-.\d]+)|(dwell) (\S+) s")


def told(turnwright, program, folder):
    paths = {}
    for name, text in (("old.nc", program.empty()), ("new.nc", program.text()), ("shop.toml", program.shop())):
        paths[name] = os.path.join(folder, name)
        with open(paths[name], "w") as file:
            file.write(text)
    command = [turnwright, "compare", "--format", "json", "--shop", paths["shop.toml"]]
    result = subprocess.run([*command, paths["old.nc"], paths["new.nc"]], capture_output=True, text=True)
    if result.returncode != 1:
        raise ValueError(f"exit status {result.returncode}: {result.stderr}")
    return json.loads(result.stdout)


def differences(answer, program):
    reader = Reader(program.text(), program.system, program.diameter, 9000, 14000).run()
    mm = 25.4 if program.inch else 1.0
    half = 0.5 if program.diameter else 1.0
    theirs, out = [], []
    for sequence in answer["sequences"]:
        if sequence["moreChanges"]:
            out.append("too many changes for one answer")
        for change in sequence["changes"]:
            if found := POINT.fullmatch((change["after"] or "").split(" by way of ")[0].split(", lead")[0]):
                kind = found.group(1) or found.group(4)
                numbers = [found.group(5)] if kind == "dwell" else found.groups()[1:3]
                theirs.append((change["newLine"], kind, tuple(float(number) for number in numbers)))
            elif "moves" in (change["after"] or ""):
                out.append(f"line {change['newLine']}: {change['after']}")
    ours = []
    for move in reader.moves:
        if move.kind == "dwell":
            numbers = (move.seconds,)
        else:
            numbers = (move.end[0] / mm / half, move.end[1] / mm)
        ours.append((move.line + 1, move.kind, tuple(round(number, 4) for number in numbers)))
    # One and the same thing at one and the same line is told once.
    ours, theirs = list(dict.fromkeys(ours)), list(dict.fromkeys(theirs))
    if len(ours) != len(theirs):
        out.append(f"{len(ours)} moves, told are {len(theirs)}")
    for mine, other in zip(ours, theirs):
        near = all(abs(a - b) <= 0.00011 for a, b in zip(mine[2], other[2]))
        if mine[:2] != other[:2] or not near:
            out.append(f"{mine}, told is {other}")
            break
    sums = {"cutMillimetres": reader.cut_mm, "rapidMillimetres": reader.rapid_mm, "cutSeconds": reader.cut_seconds,
            "rapidSeconds": reader.rapid_seconds + reader.from_unknown * WAY_HOME_SECONDS, "dwellSeconds": reader.dwell_seconds}
    for name, mine in sums.items():
        if abs(mine - answer["after"][name]) > 1e-4 * abs(mine) + 1e-6:
            out.append(f"{name} {mine}, told is {answer['after'][name]}")
    if answer["after"]["blocksWithoutTime"] != 0:
        out.append(f"each block has a time, told are {answer['after']['blocksWithoutTime']} without")
    return out, len(reader.moves)


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    failed = moves = 0
    programs = [Program(seed) for seed in range(COUNT)]
    kinds = {(p.system, p.inch, p.diameter) for p in programs}
    if len(kinds) != 12:
        sys.exit("FAILED: not every system with either unit and either reading of X is there")

    def answer(program):
        with tempfile.TemporaryDirectory() as folder:
            return told(sys.argv[1], program, folder)

    with ThreadPoolExecutor(2) as pool:
        for seed, (program, result) in enumerate(zip(programs, pool.map(answer, programs))):
            found, count = differences(result, program)
            moves += count
            if not found:
                continue
            failed += 1
            if failed <= 5:
                print(f"FAILED program {seed}, system {program.system}:")
                print("\n".join(f"    {i + 1:3} {line}" for i, line in enumerate(program.text().splitlines())))
                print("\n".join(f"    {difference}" for difference in found[:6]))
    print(f"{COUNT} programs, {moves} moves, {failed} programs differ")
    sys.exit(1 if failed else 0)


main()
