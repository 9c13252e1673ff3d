"""The two programs of a lathe with two turrets, side by side."""
import json
import os
import pathlib
import subprocess
import tempfile
import unittest

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
        # 15 mm at 0.1 mm a turn and 1000 turns a minute are 9 s; the other path only waits.
        self.assertGreater(out["sections"][1]["seconds"][1], 0)
        self.assertEqual(out["sections"][1]["seconds"][0], 0)
        self.assertIn("path 1 waits", self.told(ONE, TWO).stdout)

    def test_lost_wait(self):
        found, status = self.warnings(ONE.replace("M102\n", ""), TWO.replace("M102\n", "M102 (WAIT)\n"))
        self.assertIn((2, 9, "waits_do_not_meet"), found)
        self.assertIn((1, 8, "waits_do_not_meet"), found)
        self.assertEqual(status, 1)

    def test_other_number(self):
        found, _ = self.warnings(ONE, TWO.replace("M102", "M103"))
        self.assertTrue(any(row[2] == "waits_do_not_meet" for row in found))

    def test_order(self):
        found, _ = self.warnings(ONE, TWO.replace("M102\nM103", "M103\nM102"))
        self.assertTrue(any(row[2] == "waits_do_not_meet" for row in found))

    def test_centre_under_surface_speed(self):
        found, _ = self.warnings(ONE.replace("G97 S1000", "G96 S180"), TWO)
        self.assertEqual(found, [(2, 7, "centre_work_of_other_path")])

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


if __name__ == "__main__":
    unittest.main()
