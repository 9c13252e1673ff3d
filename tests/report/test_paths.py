"""The two programs of a lathe with two turrets, side by side."""
import json
import math
import os
import pathlib
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree

PROGRAM = os.environ["TURNWRIGHT"]

ONE = """O0101 (UPPER)
G21 G99
T0101
G97 S1000 M03
G00 X52. Z2.
G01 Z-20. F.2
G00 X60.
M101
M102
G97 S800 M03
G00 X52. Z-30.
G01 X-1. F.1
G00 X60.
M103
M30
"""
TWO = """O0102 (LOWER)
G21 G99
T0202
G00 X60. Z5.
M101
G00 X0 Z5.
G01 Z-15. F.1
G00 Z5.
M102
M103
B0
M30
"""


class Paths(unittest.TestCase):
    def told(self, one, two, *options):
        with tempfile.TemporaryDirectory() as folder:
            files = [pathlib.Path(folder) / name for name in ("one.nc", "two.nc")]
            for file, text in zip(files, (one, two)):
                file.write_text(text, encoding="utf-8")
            return subprocess.run([PROGRAM, "paths", *map(str, files), *options], capture_output=True, text=True,
                                  check=False)

    def warnings(self, one, two):
        out = self.told(one, two, "--format", "json")
        return [(w["path"], w["line"], w["id"]) for w in json.loads(out.stdout)["warnings"]], out.returncode

    def test_right_programs_meet(self):
        self.assertEqual(self.warnings(ONE, TWO), ([], 0))

    def test_stretches_have_times(self):
        out = json.loads(self.told(ONE, TWO, "--format", "json").stdout)
        self.assertEqual([row["to"] for row in out["sections"]], ["M101", "M102", "M103", ""])
        # 20 mm at 0.1 mm a turn and the 1000 turns a minute of the other path are 12 s; that one only waits.
        self.assertAlmostEqual(out["sections"][1]["seconds"][1], 12, delta=0.5)
        self.assertEqual(out["sections"][1]["at_least"], [False, False])
        self.assertEqual(out["sections"][1]["seconds"][0], 0)
        self.assertIn("path 1 waits", self.told(ONE, TWO).stdout)

    def test_a_time_that_is_not_known_is_said_so(self):
        # The other path has surface speed: how fast the part turns under the drill hangs on its X.
        told = self.told(ONE.replace("G97 S1000", "G96 S180"), TWO)
        self.assertIn("at least", told.stdout)
        self.assertIn("who waits is not known", told.stdout)

    def test_lost_wait(self):
        found, status = self.warnings(ONE.replace("M102\n", ""), TWO.replace("M102\n", "M102 (WAIT)\n"))
        self.assertIn((2, 9, "waits_do_not_meet"), found)
        self.assertIn((1, 8, "waits_do_not_meet"), found)
        self.assertEqual(status, 1)

    def test_number_in_the_place_of_another(self):
        one = ONE.replace("M102", "M104").replace("M103", "M106")
        found, _ = self.warnings(one, TWO.replace("M102", "M105").replace("M103", "M106"))
        self.assertEqual(found, [(1, 9, "waits_do_not_meet"), (2, 9, "waits_do_not_meet")])

    def test_note_beside_a_wait_tells_what_the_other_has_done(self):
        # P12 names the paths: the note tells nothing of what the code itself does.
        note = "M101 P12 (WAIT)\n", "M102 P12 (C CLAMPED)\n"
        one = ONE.replace("M101\n", note[0]).replace("M102\n", note[1])
        two = TWO.replace("M101\n", note[0]).replace("M102\n", note[1])
        out = json.loads(self.told(one, two, "--format", "json").stdout)
        self.assertEqual([row["to"] for row in out["sections"]], ["M101", "M102", "M103", ""])

    def test_waits_in_a_loop_come_each_time(self):
        one = "O0101\nG21 G99\nG97 S1000 M03\n#1=0\nWHILE[#1LT3]DO1\nG00 X52. Z2.\nM101\nM102\n#1=#1+1\nEND1\nM103\nM30\n"
        two = "O0102\nG21 G99\nG00 X60. Z5.\nM101\nM102\nM101\nM102\nM101\nM102\nM103\nM30\n"
        self.assertEqual(self.warnings(one, two), ([], 0))
        found, _ = self.warnings(one.replace("LT3", "LT2"), two)
        self.assertEqual({(path, rule) for path, _, rule in found}, {(2, "waits_do_not_meet")})

    def test_waits_in_a_called_program(self):
        one = "O0101\nG21 G99\nG97 S1000 M03\nM98 P200\nM98 P200\nM103\nM30\nO0200\nG00 X52. Z2.\nM101\nM99\n"
        two = "O0102\nG21 G99\nG00 X60. Z5.\nM101\nM101\nM103\nM30\n"
        out = json.loads(self.told(one, two, "--format", "json").stdout)
        self.assertEqual([row["to"] for row in out["sections"]][:2], ["M101", "M101"])

    def test_cause_is_told_in_the_other_path(self):
        # Constant surface speed in the one, a drill on the centre in the other: both programs hear of it.
        one = ONE.replace("G97 S1000", "G96 S180")
        found, _ = self.warnings(one, TWO)
        self.assertIn((2, 7, "centre_work_of_other_path"), found)
        self.assertIn((1, 4, "centre_work_of_other_path"), found)

    def test_tools_that_meet_on_the_centreline(self):
        # By hand: 26 mm from X52. to the centre at 0.2 mm a turn and 1000 turns a minute are 7.8 s; the drill,
        # 0.1 mm a turn from Z5., stands at Z-8 then.
        one = "O0101\nG21 G99\nG97 S1000 M03\nG00 X52. Z0.\nM101\nG01 X-1.6 F.2\nM102\nM30\n"
        two = "O0102\nG21 G99\nG00 X0 Z5.\nM101\nG01 Z-30. F.1\nM102\nM30\n"
        found, _ = self.warnings(one, two)
        self.assertEqual(found, [(1, 6, "tools_of_paths_meet"), (2, 5, "tools_of_paths_meet")])
        # From Z30. it stands at Z17 then, in front of the face.
        self.assertEqual(self.warnings(one, two.replace("Z5.", "Z30.")), ([], 0))
        # At another part, by another datum.
        self.assertEqual(self.warnings(one, two.replace("G21 G99", "G21 G99 G55")), ([], 0))

    def test_tools_stand_side_by_side_with_the_clearance_of_their_tips(self):
        out = self.told(ONE.replace("T0101", "T0101 (ROUGH)"), TWO.replace("T0202", "T0202 (DRILL 8)"))
        self.assertIn("T01 ROUGH", out.stdout)
        self.assertIn("T02 DRILL 8", out.stdout)

    def told_of_bodies(self, one, two, sides='second_turret = "opposite"\n'):
        # Outlines from the programmed point, on radius: a shank of 20 mm, a sleeve of D40 that begins 50 mm up.
        shop = (f'units = "mm"\n[[machine]]\nname = "m"\n{sides}rapid_x = 10000\nrapid_z = 10000\n'
                '[[tool]]\nstation = 1\npath = 1\nkind = "turning"\nnose_radius = 0.8\ntip_direction = 3\n'
                'approach_angle = 95\nback_angle = 5\nedge_length = 12\n'
                'outline = [[3, 1], [3, 20], [120, 20], [120, -2], [20, -2]]\n'
                '[[tool]]\nstation = 1\npath = 2\nkind = "drill"\ndiameter = 10\npoint_angle = 118\nlength = 50\n'
                'outline = [[-20, 50], [20, 50], [20, 90], [-20, 90]]\n')
        with tempfile.TemporaryDirectory() as folder:
            for name, text in (("one.nc", one), ("two.nc", two), ("turnwright.toml", shop)):
                pathlib.Path(folder, name).write_text(text, encoding="utf-8")
            out = subprocess.run([PROGRAM, "paths", f"{folder}/one.nc", f"{folder}/two.nc", "--format", "json"],
                                 capture_output=True, text=True, check=False)
            return json.loads(out.stdout)

    def test_whole_tools_that_meet(self):
        # By hand: the point at X30. is 15 mm from the centre and the shank 3 mm more, 2 mm inside of the sleeve's 20;
        # from Z25. it stands to Z45, where the sleeve begins with the drill at Z-5: that is 6 s behind the wait, with the
        # turning tool there for 1.5 s already.
        one = "O0101\nG21 G99\nT0101\nG97 S1000 M03\nG00 X60. Z25.\nM101\nG01 X30. F.2\nG04 U30.\nG00 X60.\nM102\nM30\n"
        two = "O0102\nG21 G99\nT0101\nG00 X0 Z5.\nM101\nG01 Z-10. F.1\nG04 U30.\nG00 Z5.\nM102\nM30\n"
        told = self.told_of_bodies(one, two)
        self.assertEqual([(w["path"], w["line"], w["id"]) for w in told["warnings"]],
                         [(1, 8, "tools_of_paths_meet"), (2, 6, "tools_of_paths_meet")])
        self.assertIn("2.0 mm deep", told["warnings"][0]["message"])
        self.assertAlmostEqual(told["sections"][1]["apart_mm"], -2, delta=0.05)
        # A sleeve is as wide on either side: where the turrets stand makes no difference.
        self.assertEqual(len(self.told_of_bodies(one, two, "")["warnings"]), 2)
        # Farther out the shank is 33 mm from the centre, 13 from the sleeve.
        told = self.told_of_bodies(one.replace("G01 X30. F.2", "G04 U9."), two)
        self.assertEqual(told["warnings"], [])
        self.assertAlmostEqual(told["sections"][1]["apart_mm"], 13, delta=0.05)
        # Not at the same time: a wait stands between.
        self.assertEqual(self.told_of_bodies(one.replace("M102\n", "M102\nM103\n"),
                                             two.replace("X0 Z5.\nM101\n", "X0 Z45.\nM101\nM102\n")
                                             .replace("G00 Z5.\nM102\n", "G00 Z5.\nM103\n"))["warnings"], [])

    def test_other_number(self):
        found, _ = self.warnings(ONE, TWO.replace("M102", "M103"))
        self.assertTrue(any(row[2] == "waits_do_not_meet" for row in found))

    def test_order(self):
        found, _ = self.warnings(ONE, TWO.replace("M102\nM103", "M103\nM102"))
        self.assertTrue(any(row[2] == "waits_do_not_meet" for row in found))

    def test_centre_under_surface_speed(self):
        found, _ = self.warnings(ONE.replace("G97 S1000", "G96 S180"), TWO)
        self.assertEqual(found, [(1, 4, "centre_work_of_other_path"), (2, 7, "centre_work_of_other_path")])

    def test_slide_goes_before_part_off(self):
        found, _ = self.warnings(ONE, TWO.replace("M103\nB0", "B0\nM103"))
        self.assertEqual(found, [(2, 10, "slide_home_while_parting")])

    def test_below_the_other(self):
        one = ONE.replace("G01 Z-20. F.2", "G01 Z-20. F.2\nG00 X60.\nM100\nG00 X40. Z2.\nG01 Z-20.")
        two = TWO.replace("M101\n", "M100\nM101\n", 1)
        self.assertEqual(self.warnings(one, two), ([], 0))
        deep = two.replace("G00 X60. Z5.\n", "G97 S1000 M03\nG00 X10.4 Z2.\nG01 Z-20. F.2\nG00 X60.\n", 1)
        found, _ = self.warnings(one, deep)
        self.assertIn("cut_below_other_path", [row[2] for row in found])


SHOP = """[[machine]]
name = "two turrets"
{pairs}
[machine.m_codes]
"M101-M119" = {{ name = "wait", does = "wait" }}
"""


class Partners(unittest.TestCase):
    """The program of the other turret, found as the shop file says."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.here = pathlib.Path(folder.name).resolve()

    def write(self, name, text):
        file = self.here / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
        return file

    def run_on(self, *words):
        return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, check=False)

    def told(self, file):
        out = json.loads(self.run_on("check", "--format", "json", file).stdout)["files"][0]
        return [(w["line"], w["id"]) for w in out["warnings"] if w["id"] == "waits_do_not_meet"]

    LOST = TWO.replace("M102\n", "")

    def both(self, pairs, one, two):
        """The lost wait is told in both files, and paths finds the partner from either."""
        self.write("turnwright.toml", SHOP.format(pairs=pairs))
        first, second = self.write(one, ONE), self.write(two, self.LOST)
        self.assertEqual(self.told(first), [(9, "waits_do_not_meet")])
        self.assertEqual(self.told(second), [(5, "waits_do_not_meet")])
        for file in (first, second):
            out = self.run_on("paths", file, "--format", "json")
            self.assertEqual(out.returncode, 1, out.stderr)
            found = json.loads(out.stdout)
            self.assertEqual([row["to"] for row in found["sections"]], ["M101", "M103", ""])
            self.assertEqual([(w["path"], w["line"]) for w in found["warnings"]], [(1, 9), (2, 5)])
        second.write_text(TWO, encoding="utf-8")
        self.assertEqual(self.told(first) + self.told(second), [])

    def test_numbers_in_two_files(self):
        self.both("path_numbers = 1", "upper.nc", "lower.nc")

    def test_endings(self):
        self.both('path_endings = ["_U.nc", "_L.nc"]', "pin_U.nc", "pin_L.nc")

    def test_folders(self):
        self.both('path_folders = ["upper", "lower"]', "upper/pin.nc", "lower/pin.nc")

    def test_marks_in_one_file(self):
        self.write("turnwright.toml", SHOP.format(pairs='path_marks = ["(PATH 1)", "(PATH 2)"]'))
        file = self.write("pin.nc", "(PATH 1)\n" + ONE + "(PATH 2)\n" + self.LOST)
        lines = file.read_text(encoding="utf-8").splitlines()
        self.assertEqual([lines[line - 1] for line, _ in self.told(file)], ["M102", "M101"])
        file.write_text("(PATH 1)\n" + ONE + "(PATH 2)\n" + TWO, encoding="utf-8")
        self.assertEqual(self.told(file), [])
        self.assertEqual(self.run_on("paths", file).returncode, 0)

    def test_numbers_in_one_file_go_in_twos(self):
        self.write("turnwright.toml", SHOP.format(pairs="path_numbers = 1"))
        again = ONE.replace("O0101", "O0103") + TWO.replace("O0102", "O0104")
        file = self.write("all.nc", ONE + TWO + again)
        self.assertEqual(self.told(file), [])
        file.write_text(ONE + TWO + again.replace("M102\n", "M112\n", 1), encoding="utf-8")
        lines = file.read_text(encoding="utf-8").splitlines()
        found = [lines[line - 1] for line, _ in self.told(file)]
        self.assertEqual(sorted(found), ["M102", "M112"])

    def test_no_partner_is_no_warning(self):
        self.write("turnwright.toml", SHOP.format(pairs="path_numbers = 1000"))
        file = self.write("upper.nc", ONE)
        self.assertEqual(self.told(file), [])
        out = self.run_on("paths", file)
        self.assertEqual(out.returncode, 2)
        self.assertIn("not found", out.stderr)

    def test_wait_in_a_called_program(self):
        self.write("turnwright.toml", SHOP.format(pairs="path_numbers = 1"))
        one = self.write("upper.nc", ONE.replace("M102\n", "M98 P77\n") + "O0077\nG00 X80.\nM102\nM99\n")
        two = self.write("lower.nc", TWO)
        self.assertEqual(self.told(one) + self.told(two), [])

    def test_marks_with_an_end_and_no_number_behind_them(self):
        # What stands behind the second mark is the program of the other turret, though the first has ended.
        self.write("turnwright.toml", SHOP.format(pairs='path_marks = ["(UPPER)", "(LOWER)"]'))
        text = ("O0606\n(UPPER)\nG21 G99\nT0101\nG97 S1200 M03\nG00 X54. Z0\nM101\nG01 X14. F.2\nG00 X60.\nM102\nM30\n"
                "(LOWER)\nG21 G99\nT0202\nG00 X60. Z5.\nM101\nM102\nM30\n")
        file = self.write("pin.nc", text)
        out = json.loads(self.run_on("check", "--format", "json", file).stdout)["files"][0]["warnings"]
        self.assertEqual({w["id"] for w in out} & {"waits_do_not_meet", "code_behind_end"}, set())
        file.write_text(text.replace("M101\nM102\nM30", "M101\nM30"), encoding="utf-8")
        self.assertEqual(self.told(file), [(10, "waits_do_not_meet"), (16, "waits_do_not_meet")])

    TOOLS = ('''second_turret = "opposite"
rapid_x = 10000
rapid_z = 10000
[machine.m_codes]
"M101-M119" = { name = "wait", does = "wait" }
[[tool]]
station = 1
path = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
[[tool]]
station = 1
path = 2
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 52
[stock]
diameter = 50
bore = 0
front_z = 1
back_z = -120
''')
    TURNS = ("O0012\nG21 G99\nT0101\nG97 S1000 M03\nG00 X54. Z2.\nM101\nG00 X46.\nG01 Z-40. F.2\nX54.\nG00 Z2.\n"
             "M102\nM103\nG00 X60. Z5.\nM30\n")
    FINISHES = ("O1012\nG21 G99\nT0101\nG00 X60. Z5.\nM101\nM102\nG00 X46.2 Z-38.\nG01 X40. F.1\nZ-39.\nX46.2\nG00 X60.\n"
                "Z5.\nM103\nM30\n")

    def of_stock(self, one, two):
        """What is told of the stock in both, and the volumes that are left."""
        self.write("turnwright.toml",
                   'units = "mm"\n[[machine]]\nname = "m"\npath_numbers = 1000\n' + self.TOOLS)
        files = self.write("O0012.nc", one), self.write("O1012.nc", two)
        told = []
        for path, file in enumerate(files, 1):
            out = json.loads(self.run_on("check", "--format", "json", file).stdout)["files"][0]["warnings"]
            told += [(path, w["line"], w["id"]) for w in out
                     if "stock" in w["id"] or w["id"] in ("tool_not_in_shop_file", "nothing_removed")]
        rows = json.loads(self.run_on("paths", files[0], "--format", "json").stdout)["sections"]
        return told, [row.get("left_mm3") for row in rows]

    def test_one_part_under_both(self):
        told, left = self.of_stock(self.TURNS, self.FINISHES)
        self.assertEqual(told, [])
        # By hand: a bar of D50, 121 mm long; the first takes off a ring from D50 to D46, 41 mm long, but for the
        # corner of its nose radius, at most 0.14 mm2 on D46, 20 mm3; the second one, 1 mm wide and its nose, to D40.
        bar, ring = math.pi * 25**2 * 121, math.pi * (25**2 - 23**2) * 41
        self.assertAlmostEqual(left[0], bar, delta=1)
        self.assertTrue(0 <= left[1] - (bar - ring) <= 25, left)
        self.assertTrue(math.pi * (23**2 - 20**2) * 1 <= left[1] - left[2] <= math.pi * (23**2 - 20**2) * 4, left)
        self.assertEqual(left[2], left[3])
        page = self.here / "page.html"
        self.run_on("paths", self.here / "O0012.nc", "-o", page)
        self.assertIn('class="left"', page.read_text(encoding="utf-8"))

    def test_metal_that_the_other_leaves_is_hit(self):
        # The first stops at Z-20: at X46.2 the second one comes down into metal.
        told, _ = self.of_stock(self.TURNS.replace("Z-40.", "Z-20."), self.FINISHES)
        self.assertEqual(told, [(2, 7, "rapid_through_stock")])
        # Between the same two waits it may be gone or not: nothing is told.
        together = self.FINISHES.replace("M101\nM102\n", "M101\n").replace("M103\n", "M102\nM103\n")
        self.assertEqual(self.of_stock(self.TURNS, together)[0], [])

    def test_stock_is_not_known_behind_what_is_not_known_of_the_other(self):
        # The tool of the first is not in the shop file: what it leaves is not known, to either of them.
        told, left = self.of_stock(self.TURNS.replace("T0101", "T0909"), self.FINISHES)
        self.assertEqual(told, [(1, 3, "tool_not_in_shop_file"), (1, 8, "stock_not_followed"),
                                (2, 6, "stock_not_followed")])
        self.assertEqual(left[1:], [None, None, None])

    def test_wait_between_other_paths(self):
        self.write("turnwright.toml", SHOP.format(pairs="path_numbers = 1"))
        one = self.write("upper.nc", ONE.replace("M102\n", "M102 P12\nM110 P13\n"))
        two = self.write("lower.nc", TWO.replace("M102\n", "M102 P21\n"))
        self.assertEqual(self.told(one) + self.told(two), [])

    def test_chart_and_page(self):
        self.write("turnwright.toml", SHOP.format(pairs="path_numbers = 1"))
        one = self.write("upper.nc", ONE)
        self.write("lower.nc", TWO)
        for name in ("chart.svg", "page.html"):
            out = self.run_on("paths", one, "-o", self.here / name)
            self.assertEqual(out.returncode, 0, out.stderr)
        chart = (self.here / "chart.svg").read_text(encoding="utf-8")
        root = ElementTree.fromstring(chart)
        boxes = [box for box in root.iter("{http://www.w3.org/2000/svg}rect") if box.get("class")]
        # Path 1 waits while the drill works: its hatched box is as long as path 2's full one, from M101 on.
        title = "{http://www.w3.org/2000/svg}title"
        waits = [box for box in boxes if box.get("class") == "waits" and "at M102" in box.find(title).text]
        self.assertEqual(len(waits), 1)
        works = [box for box in boxes if box.get("class") == "works" and box.get("x") == waits[0].get("x")]
        self.assertEqual([box.get("width") for box in works], [waits[0].get("width")])
        page = (self.here / "page.html").read_text(encoding="utf-8")
        self.assertIn("Both tools", page)
        self.assertNotIn("http://", page.replace("http://www.w3.org", ""))
        refused = self.run_on("paths", one, "-o", one)
        self.assertEqual(refused.returncode, 2)


if __name__ == "__main__":
    unittest.main()
