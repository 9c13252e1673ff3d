"""What is said of the right programs of lathes with more axes, line for line, against more_axes_expected.txt.

Each row there was judged: `right` is what a checker should say, `false` what it should not and still does. A row too
many and a row too few both fail. Kinds of program are counted by what stands in their blocks.
"""
import os
import pathlib
import re
import unittest

import measure

HERE = pathlib.Path(__file__).parent
PROGRAM = os.environ["TURNWRIGHT"]
SETS = ("more_axes", "more_axes_second", "more_axes_third", "more_axes_pairs")


def programs():
    for folder in SETS:
        yield from sorted((HERE / folder / "right").glob("*.nc"))


def told(file):
    found = measure.checked(PROGRAM, file)
    partner, number = measure.partner_of(file)
    if partner and partner.exists():
        found = found + measure.told_of_both(PROGRAM, file, partner, number)
    return [f"{file.parent.parent.name}/{file.name}:{w['line']}: {w['severity']}: {w['id']}" for w in found]


def blocks_of(file):
    return re.sub(r"\([^)]*\)", "", file.read_text(encoding="latin-1").upper())


def kinds_of(file):
    text = blocks_of(file)
    found = set()
    if re.search(r"(?m)^[^;]*\b(G0?[01] *)?[BAE]-\d", text):
        found.add("second spindle")
    if re.search(r"C-?\d", text):
        found.add("live tools and C")
    if re.search(r"[YV]-?\.?\d", text):
        found.add("Y")
    if re.search(r"_p[12]$", file.stem):
        found.add("two paths")
    return found


class MoreAxes(unittest.TestCase):
    maxDiff = None

    def test_each_line_is_expected(self):
        rows = (HERE / "more_axes_expected.txt").read_text(encoding="utf-8").splitlines()
        expected = [row.split(" ", 1)[1] for row in rows if row and not row.startswith("#")]
        self.assertEqual(sorted(line for file in programs() for line in told(file)), sorted(expected))

    def test_kinds_of_program(self):
        counts = {}
        for file in programs():
            for kind in kinds_of(file):
                counts[kind] = counts.get(kind, 0) + 1
        # Of sixty wanted: 20 with a second spindle, 25 with live tools and C, 5 with Y, 10 with two paths.
        self.assertGreaterEqual(counts["second spindle"], 20)
        self.assertGreaterEqual(counts["live tools and C"], 25)
        self.assertGreaterEqual(counts["Y"], 5)
        self.assertGreaterEqual(counts["two paths"], 10)
        self.assertGreaterEqual(sum(1 for _ in programs()), 60)


if __name__ == "__main__":
    unittest.main()
