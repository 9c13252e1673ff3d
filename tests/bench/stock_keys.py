#!/usr/bin/env python3
"""What a key costs the server in a program with stock and whole tools, in processor time.

    python3 tests/bench/stock_keys.py build/turnwright [BLOCKS] [KEYS]     2000 blocks, 40 keys when none are given

A digit of Z is typed at a random cut. "first": until the first diagnostics of the new text are sent; "all": until
nothing is left to be done. Linux alone: it reads the times of the server's threads.
"""
import glob
import os
import pathlib
import random
import re
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "endtoend"))


def program(blocks):
    rows = ["O1", "(STOCK D80. L900. FACE 1. JAW Z-850. D180.)", "G21 G18 G40 G99"]
    n = 1
    while len(rows) < blocks:
        tool, base = (1, 5)[n % 2], n * 0.05
        rows += [f"N{n} (SEQUENCE {n})", "G54 G18 G97 G21 G80 G40 G99", f"T0{tool}0{tool}", "G97 S800 M03",
                 "G00 X90. Z5."]
        if tool == 1:
            for i in range(30):
                rows += [f"G00 X{80 - base - i * .2:.3f}", f"G01 Z-{100 + n % 50 + i * .1:.3f} F0.2",
                         "U1. W1.", "G00 Z5."]
        else:
            for i in range(8):
                rows += [f"G00 Z-{20 + i * 8 + n % 5}.", f"G01 X{78 - base:.3f} F0.08", "G00 X90."]
        rows += ["G00 X200. Z150.", "M09", "M01"]
        n += 1
    return rows + ["M30"]


def main():
    os.environ["TURNWRIGHT"] = str(pathlib.Path(sys.argv[1]).resolve())
    os.environ.setdefault("TURNWRIGHT_PATIENCE", "300")
    blocks, keys = (int(sys.argv[i]) if len(sys.argv) > i else usual for i, usual in ((2, 2000), (3, 40)))
    import driver  # pylint: disable=import-outside-toplevel # it reads TURNWRIGHT

    tools = (ROOT / "server/checks/turret_tools.h").read_text(encoding="utf-8")
    rows = program(blocks)
    with tempfile.TemporaryDirectory() as folder, driver.Server() as server:
        file = pathlib.Path(folder, "keys.nc")
        file.with_name("turnwright.toml").write_text(re.search(r'turret_tools = R"\((.*?)\)"', tools, re.S).group(1))
        file.write_text("\n".join(rows) + "\n")

        def milliseconds():
            threads = glob.glob(f"/proc/{server.process.pid}/task/*/schedstat")
            return sum(int(pathlib.Path(thread).read_text().split()[0]) for thread in threads) / 1e6

        def told_of(version):
            server.wait_for(lambda m: m.get("method") == "textDocument/publishDiagnostics"
                            and m["params"].get("version") == version, 300)

        server.initialize()
        server.open(file.as_uri(), file.read_text())
        told_of(1)
        server.settle()
        random.seed(1)
        cuts = [i for i, row in enumerate(rows) if row.startswith("G01 Z")]
        first, whole = [], []
        for key in range(keys):
            line = random.choice(cuts)
            at, before = len(rows[line]) - 6, milliseconds()
            server.change(file.as_uri(), key + 2, {"range": driver.span(line, at, line, at + 1),
                                                   "text": str(random.randrange(10))})
            told_of(key + 2)
            first.append(milliseconds() - before)
            time.sleep(.15)
            server.settle()
            whole.append(milliseconds() - before)
        server.shut_down()
    print(f"{len(rows)} blocks, {keys} keys, ms of processor")
    for name, times in (("first", first), ("all", whole)):
        times.sort()
        middle, high = times[len(times) // 2], times[int(len(times) * .95)]
        print(f"{name:5} p50 {middle:.1f}  p95 {high:.1f}  most {times[-1]:.1f}")


main()
