"""The page of two programs over each other: what material differs, against Shapely; and what stands on the page."""
import re
import sys
import unittest
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from shapely.geometry import box
from shapely.ops import unary_union

from test_commands import SHAFT, Commands, run

sys.path.append(str(Path(__file__).resolve().parents[1] / "stock"))
import compare

CHORD = 0.004  # mm: what two chords of the same curve may lie apart
PROGRAM = """%
O0031 (STEPPED PIN)
G21 G18 G40 G99
N1 (TURN)
T0101
G97 S1000 M03
G00 X44. Z2.
G00 X36.
G01 Z-30. F0.2
X44.
G00 Z2.
G01 X30. F0.5
Z-20. F0.2
X44.
G00 X100. Z50.
M30
%
"""
SHOP = """units = "mm"
[stock]
diameter = {diameter}
bore = 0
front_z = {front}
back_z = -150
[[tool]]
station = 1
kind = "turning"
hand = "right"
tip_direction = 3
nose_radius = {nose}
approach_angle = {approach}
back_angle = {back}
"""


def areas(page, kind):
    return [float(area) for area in re.findall(rf'<path class="only-{kind}" data-area-mm2="([0-9.]+)"', page)]


def held(left):
    """What has no hold any more falls off."""
    return min(left.geoms, key=lambda piece: piece.bounds[0]) if left.geom_type == "MultiPolygon" else left


def rounded(segment):
    return (segment[0], *(round(value, 4) for value in segment[1:5]), *segment[5:])


def program_of(segments):
    """Blocks that follow lines and quarters of circles; ends are (x, z), X is a diameter."""
    blocks = [f"G00 X{2 * segments[0][1]:.4f} Z{segments[0][2]:.4f}"]
    for is_arc, _, _, x, z, cx, cz, sweep in segments:
        radius = f" R{abs(z - cz) + abs(x - cx):.4f}" if is_arc else ""
        blocks.append(f"{('G03' if sweep > 0 else 'G02') if is_arc else 'G01'} X{2 * x:.4f} Z{z:.4f}{radius} F0.2")
    return "%\nO1\nG21 G18 G40 G99\nN1\nT0101\nG97 S1000 M03\n" + "\n".join(blocks) + "\nG00 X300. Z50.\nM30\n%\n"


class Overlay(Commands):
    def page(self, old, new, shop=None, same=False):
        if shop:
            self.write("turnwright.toml", shop)
        status, out, told = run("compare", self.write("old.nc", old), self.write("new.nc", new), "--format", "html")
        self.assertEqual(told, "")
        self.assertEqual(status, 0 if same else 1)
        svg = out[out.index("<svg"):out.index("</svg>") + 6]
        ElementTree.fromstring(svg)
        return out

    def random_contour(self, outer, length, front):
        segments = [rounded(segment) for segment in compare.turning_contour(outer, length, 3)]
        first, last = segments[0], segments[-1]
        begin = compare.line((first[1], front + 5), first[1:3])
        away = compare.line(last[3:5], (round(outer + 5, 4), last[4]))
        return [rounded(begin), *segments, away]

    def test_the_areas_are_those_of_an_independent_library(self):
        differed = 0
        for _ in range(25):
            outer, front = round(compare.RANDOM.uniform(15, 40), 3), round(compare.RANDOM.uniform(0, 2), 3)
            nose = compare.RANDOM.choice([0.0, 0.4, 0.8])
            approach, back = compare.RANDOM.choice([(95, 5), (93, 32), (95, 50)])
            old, new = (self.random_contour(outer, 40, front) for _ in range(2))
            if compare.RANDOM.random() < 0.4:  # the same a little deeper
                down = round(compare.RANDOM.uniform(0.02, 0.3), 4)
                new = [(s[0], round(s[1] - down, 4), s[2], round(s[3] - down, 4), s[4], s[5] - down, *s[6:]) for s in old]
            shape = compare.insert(nose, 3, approach, back)
            raw = box(-150, 0, front, outer)
            left = [held(raw.difference(unary_union([compare.swept(shape, segment) for segment in way]))) for way in (old, new)]
            page = self.page(program_of(old), program_of(new),
                             SHOP.format(diameter=2 * outer, front=front, nose=nose, approach=approach, back=back))
            for kind, of, other in (("old", left[0], left[1]), ("new", left[1], left[0])):
                expected = of.difference(other)
                self.assertAlmostEqual(sum(areas(page, kind)), expected.area,
                                       delta=CHORD * (expected.length + of.length) / 2 + 0.001 * expected.area)
                differed += expected.area > 5
        self.assertGreater(differed, 15)

    def test_a_step_by_hand(self):
        # By hand: from diameter 30 to 36, 2 mm shorter: 3 mm of radius times 2 mm; both shoulders are square, for the
        # tool is drawn back along them.
        shop = SHOP.format(diameter=40, front=0, nose=0, approach=95, back=5)
        page = self.page(PROGRAM, PROGRAM.replace("Z-20. F0.2", "Z-18. F0.2"), shop)
        self.assertEqual(areas(page, "old"), [])
        area, = areas(page, "new")
        self.assertAlmostEqual(area, 6.0, places=4)
        self.assertIn("left by the new program, taken off by the old", page)
        self.assertIn("<td>-18 to -20</td><td>30 to 36</td><td>6</td>", page)
        back = self.page(PROGRAM.replace("Z-20. F0.2", "Z-18. F0.2"), PROGRAM, shop)
        self.assertEqual((areas(back, "old"), areas(back, "new")), ([area], []))

    def test_a_long_shaft_is_stretched_along_x_and_the_page_tells(self):
        shop = SHOP.format(diameter=40, front=0, nose=0, approach=95, back=5).replace("-150", "-900")
        long = PROGRAM.replace("Z-30.", "Z-840.").replace("Z-20.", "Z-600.")
        page = self.page(long, long.replace("X30.", "X31."), shop)
        told, = re.findall(r"X is drawn (\d) times as large as Z: angles and radii look wrong", page)
        # Half a millimetre on a sheet of some 1000 for 900 mm.
        drawn, = re.findall(r'<path class="only-new"[^>]* d="([^"]+)"', page)
        ends = [tuple(map(float, pair)) for pair in re.findall(r"(-?[\d.]+) (-?[\d.]+)", drawn)]
        wide, high = (max(end[i] for end in ends) - min(end[i] for end in ends) for i in (0, 1))
        self.assertAlmostEqual(high / wide, int(told) * 0.5 / 600, delta=0.05 * high / wide)
        self.assertGreater(high, 3)
        self.assertNotIn("times as large as Z", self.page(PROGRAM, PROGRAM.replace("X30.", "X31."), SHOP.format(
            diameter=40, front=0, nose=0, approach=95, back=5).replace("-150", "-40")))

    def test_the_same_programs_leave_the_same(self):
        shop = SHOP.format(diameter=40, front=0, nose=0.8, approach=95, back=5)
        page = self.page(PROGRAM, PROGRAM, shop, same=True)
        self.assertIn("Both leave the same part", page)
        self.assertEqual(areas(page, "old") + areas(page, "new"), [])
        feed = self.page(PROGRAM, PROGRAM.replace("Z-30. F0.2", "Z-30. F0.25"), shop)
        self.assertIn("Both leave the same part", feed)
        self.assertIn("feed 0.2", feed)
        self.assertIn("\nN1 T0101 (TURN)\n", feed[feed.index("<pre>"):])  # a line stays a line
        self.assertIn("<h1>What differs: old.nc and new.nc</h1>", feed)

    def test_assumed_stock_is_one_for_both(self):
        # Nothing tells the stock: two guesses would differ by the whole bar.
        longer = PROGRAM.replace("X44. Z2.", "X50. Z2.").replace("G00 X36.", "G00 X42.\nG01 Z-40. F0.2\nX50.\nG00 Z2.\nG00 X36.")
        page = self.page(PROGRAM, longer)
        self.assertIn("Assumed of the", page)
        self.assertLess(sum(areas(page, "new")), 1)

    def test_stock_that_differs_is_told(self):
        note = "(STOCK D{}. L120.)\nN1"
        self.write("turnwright.toml", SHOP.format(diameter=40, front=0, nose=0, approach=95, back=5))
        page = self.page(PROGRAM.replace("N1", note.format(40), 1), PROGRAM.replace("N1", note.format(44), 1),
                         same=True)
        self.assertIn("begin with different stock", page)
        self.assertGreater(sum(areas(page, "new")), 100)

    def test_unknown_is_said(self):
        for broken in ("%\nO1\n%\n", "G00 X\n((", PROGRAM.replace("T0101", "")):
            page = self.page(PROGRAM, broken)
            if not areas(page, "old") and not areas(page, "new"):
                self.assertTrue("is not known" in page or "Both leave the same part" in page, broken)

    def test_inch_and_radius_are_written_as_the_program_has_them(self):
        shop = SHOP.format(diameter=40, front=0, nose=0, approach=95, back=5)
        old = PROGRAM.replace("G21", "G20")
        for metric, inch in (("X44.", "X1.75"), ("X36.", "X1.4"), ("X30.", "X1.2"), ("Z-30.", "Z-1.2"), ("Z-20.", "Z-.8"),
                             ("F0.2", "F.008"), ("F0.5", "F.02"), ("Z2.", "Z.1"), ("X100. Z50.", "X4. Z2.")):
            old = old.replace(metric, inch)
        page = self.page(old, old.replace("Z-.8", "Z-.7"), shop)
        self.assertIn("<td>1.2 to 1.4</td>", page)
        self.assertIn("section, in", page)
        page = self.page(PROGRAM, PROGRAM.replace("Z-20. F0.2", "Z-18. F0.2"), '[[machine]]\nx = "radius"\n' + shop)
        self.assertNotIn("diameter, mm", page)

    def test_text_of_a_program_stays_text(self):
        old = self.write("a<b>&.nc", PROGRAM)
        new = self.write("new.nc", PROGRAM.replace("STEPPED PIN", "</pre><script>x</script>").replace("Z-30.", "Z-31."))
        page = run("compare", old, new, "--format", "html")[1]
        self.assertNotIn("<script", page)
        self.assertNotIn("<b>&.nc", page)

    def test_it_is_written_as_other_reports_are(self):
        old, new = self.write("old.nc", PROGRAM), self.write("new.nc", PROGRAM.replace("Z-30.", "Z-31."))
        out = self.here / "what.html"
        self.assertEqual(run("compare", old, new, "-o", out)[0], 1)
        self.assertIn("What material differs", out.read_text())
        self.assertEqual(run("compare", old, new, "-o", out)[0], 1)  # its own page is written anew
        self.assertEqual(run("compare", old, new, "-o", new, "--format", "html")[0], 2)
        self.assertIn("STEPPED PIN", new.read_text())

    def test_a_long_program_makes_a_page_of_bounded_size(self):
        blocks = "".join(f"G01 X{20 + i % 7}.5 Z-{i % 90}.25 F0.2\n" for i in range(100_000))
        long = PROGRAM.replace("Z-20. F0.2\n", blocks)
        page = self.page(long, long.replace("X20.5 Z-7.25", "X20. Z-7.25", 1))
        self.assertLess(len(page), 6_000_000)
        self.assertIn("the first 40000 moves are drawn", page)

    def test_the_example(self):
        text = SHAFT.read_text()
        page = self.page(text, text.replace("G03 X45. Z-58. R1.", "G03 X45. Z-58. R1.\nG01 Z-59."))
        self.assertIn("cuts of the old program", page)


if __name__ == "__main__":
    unittest.main()
