"""Commands over whole folders, on the real program: totals, the library, rewriting, and what a kill leaves."""

import os
import random
import re
import shutil
import signal
import subprocess
import time
import unittest
from pathlib import Path

try:
    import resource
except ImportError:  # not on every system
    resource = None

from test_commands import TURNWRIGHT, Commands, run

HEADS = {"A": "G21 G18 G40 G99\n", "B": "G21 G18 G40 G90 G95\n", "C": "G71 G18 G40 G90 G95\n"}


def program(number, system="A", diameter=40.0, feed=0.2, calls=None, loop=False, inch=False):
    """Two tools of plain turning, our own part; every size follows from the diameter."""
    head = HEADS[system]
    scale, places = (25.4, 4) if inch else (1.0, 3)
    if inch:
        head = head.replace("G21", "G20").replace("G71", "G70")
    size = lambda value: f"{value / scale:.{places}f}"
    lines = [f"O{number:04} (PIN {number})", head.strip(), "N1 (TURN)", "T0101", "G97 S1000 M03",
             f"G00 X{size(diameter + 4)} Z{size(2)}"]
    if loop:
        lines += [f"#1={size(diameter + 4)}", f"WHILE[#1 GT {size(diameter)}]DO1", f"#1=#1-{size(1)}",
                  f"G00 X#1", f"G01 Z-{size(30)} F{feed / scale:.5f}", f"G00 U{size(1)} Z{size(2)}", "END1"]
    else:
        lines += [f"G01 X{size(diameter)} F{feed / scale:.5f}", f"Z-{size(30)}", f"X{size(diameter + 5)}"]
    if calls:
        lines.append(f"M98 P{calls:04}")
    lines += [f"G00 X{size(150)} Z{size(100)}", "M01", "N2 (GROOVE)", "T0202", "G97 S500 M03",
              f"G00 X{size(diameter + 4)} Z-{size(12)}", f"G01 X{size(diameter - 4)} F{feed / 2 / scale:.5f}",
              f"G00 X{size(diameter + 4)}", f"G00 X{size(150)} Z{size(100)}", "M05", "M30"]
    return "\n".join(lines) + "\n"


# Ten thousand programs and two hundred conversions where somebody asks for them by hand, see docs/trust.md.
THOROUGH = "TURNWRIGHT_THOROUGH" in os.environ
MANY, SOME = (10_000, 216) if THOROUGH else (1_000, 36)


class Totals(Commands):
    def test_by_check_and_folder(self):
        self.write("jobs/a/1.nc", "O1\nT0101\nG97 S800 M03\nG00 X40. Z2.\nG01 Z-20.\nM30\n")
        self.write("jobs/b/2.nc", "O2\nT0101\nG97 S800 M03\nG00 X40. Z2.\nG01 Z-20.\nM30\n")
        status, out, _ = run("check", "--totals", "--only", "feed_missing", self.here / "jobs")
        self.assertEqual(status, 1)
        self.assertRegex(out, r"(?m)^ +2  feed_missing in 2 files$")
        self.assertRegex(out, r"(?m)^.*jobs/a: 1 program: 0 errors, 1 warning, 0 notes")
        self.assertRegex(out, r"(?m)^Together: 2 programs: 0 errors, 2 warnings, 0 notes")
        baseline = self.here / "accepted.txt"
        run("check", "--new-baseline", baseline, self.here / "jobs")
        self.write("jobs/b/3.nc", "O3\nT0101\nG97 S800 M03\nG00 X40. Z2.\nG01 Z-20.\nM30\n")
        status, out, _ = run("check", "--totals", "--only", "feed_missing", "--baseline", baseline,
                             self.here / "jobs")
        self.assertEqual(status, 1)
        self.assertRegex(out, r"(?m)^ +1  feed_missing in 1 file$")
        self.assertRegex(out, r"(?m)^.*jobs/b: 2 programs: .* 1 of the baseline$")


class Library(Commands):
    def test_findings_and_forms(self):
        jobs = self.here / "jobs"
        self.write("jobs/a/1.nc", program(1))
        self.write("jobs/a/again.nc", program(1))
        self.write("jobs/b/fast.nc", program(2, feed=0.3))
        self.write("jobs/b/inch.nc", program(3, inch=True))
        self.write("jobs/b/calls.nc", program(4, diameter=70, calls=7777))
        self.write("jobs/b/loop.nc", program(5, diameter=70, loop=True))
        status, out, _ = run("library", jobs)
        self.assertEqual(status, 1)
        self.assertIn("O0001 (copies: they do the same)", out)
        self.assertRegex(out, r"O7777: called in \S*calls.nc line 10")
        self.assertRegex(out, r"a/1.nc, \S*b/fast.nc: other speeds, feeds or coolant")
        self.assertRegex(out, r"(?s)nearly do the same.*a/1.nc, \S*b/inch.nc")
        for name in ("index.csv", "index.md", "index.html"):
            status, told, _ = run("library", jobs, "--out", self.here / name)
            self.assertEqual((status, told), (1, ""))
            text = (self.here / name).read_text()
            for shown in ("calls.nc", "O0005", "PIN 4", "TURN", "inch"):
                self.assertIn(shown, text)
            # Its own index is written over, what somebody wrote is not.
            self.assertEqual(run("library", jobs, "--out", self.here / name)[0], 1)
            (self.here / name).write_text("mine\n")
            self.assertEqual(run("library", jobs, "--out", self.here / name)[0], 2)
            self.assertEqual((self.here / name).read_text(), "mine\n")
        self.assertEqual(run("library", jobs / "a" / "1.nc")[0], 0)
        self.assertEqual(run("library", self.here / "missing")[0], 2)

    def test_every_system_does_the_same(self):
        for system in "ABC":
            folder = f"jobs/{system}"
            self.write(f"{folder}/turnwright.toml", f'[[machine]]\nsystem = "{system}"\n')
            self.write(f"{folder}/{ord(system)}.nc", program(ord(system), system))
        status, out, _ = run("library", self.here / "jobs")
        self.assertEqual(status, 0)
        self.assertRegex(out, r"(?m)do the same:\n  \S*A/65.nc, \S*B/66.nc, \S*C/67.nc$")


class Rewrite(Commands):
    def test_nothing_is_written_without_being_asked(self):
        one, other = self.write("jobs/1.nc", program(1)), self.write("jobs/2.nc", program(2, loop=True))
        before = one.read_bytes()
        for how in (["--renumber", "sequences", "--start", "10", "--step", "10"], ["--units", "inch"],
                    ["--system", "B"], ["--mend"]):
            status, out, _ = run("rewrite", self.here / "jobs", *how)
            self.assertIn(status, (0, 1), out)
            self.assertEqual(one.read_bytes(), before)
        status, out, _ = run("rewrite", self.here / "jobs", "--renumber", "sequences", "--start", "10", "--step",
                             "10")
        self.assertEqual(status, 1)
        self.assertIn("- N1 (TURN)", out)
        self.assertIn("+ N10 (TURN)", out)
        self.assertIn("2 of 2 programs would change. Nothing was written", out)
        status, out, _ = run("rewrite", self.here / "jobs", "--renumber", "sequences", "--start", "10", "--step",
                             "10", "--write")
        self.assertEqual(status, 0)
        self.assertIn("2 of 2 programs rewritten.", out)
        self.assertIn("N20 (GROOVE)", other.read_text())
        self.assertEqual(run("compare", one, self.write("old.nc", before))[0], 0)
        # Done once, it has nothing to do.
        status, out, _ = run("rewrite", self.here / "jobs", "--renumber", "sequences", "--start", "10", "--step",
                             "10")
        self.assertEqual(status, 0)
        self.assertIn("0 of 2 programs would change.", out)

    def test_a_refusal_is_told_and_the_others_are_done(self):
        good = self.write("jobs/1.nc", program(1))
        held = self.write("jobs/2.nc", program(2).replace("F0.2", "F#500"))
        status, out, _ = run("rewrite", self.here / "jobs", "--units", "inch", "--write")
        self.assertIn("G20", good.read_text())
        self.assertEqual(held.read_text(), program(2).replace("F0.2", "F#500"))
        self.assertRegex(out, r"2.nc: left as it is: \S")
        self.assertEqual(status, 0)

    def test_mends(self):
        path = self.write("1.nc", program(1).replace("Z-12.000", "Z-12").replace("M05\nM30\n", "M05\nM30"))
        status, out, _ = run("rewrite", path, "--mend", "--only", "no_such_check")
        self.assertEqual(status, 2)
        status, out, _ = run("rewrite", path, "--mend", "--only", "decimal_point_missing", "--write")
        self.assertEqual(status, 0)

    def test_an_error_that_is_not_mended_is_named(self):
        path = self.write("1.nc", program(1).replace("Z-12.000", "Z-1O.").replace("Z-30.000", "Z-30"))
        for more in ([], ["--write"]):
            out = run("rewrite", path, "--mend", *more)[1]
            self.assertRegex(out, r"(?m)^  not mended, for a person to decide: line \d+: The letter O stands for a 0.*value_mistyped\]$")
        self.assertIn("Z-1O.", path.read_text())
        out = run("rewrite", self.write("2.nc", program(2)), "--mend")[1]
        self.assertNotIn("not mended", out)

    def test_asks_for_one_thing(self):
        path = self.write("1.nc", program(1))
        for how in ([], ["--mend", "--format"], ["--units", "furlongs"]):
            self.assertEqual(run("rewrite", path, *how)[0], 2)
        self.assertEqual(run("rewrite", self.here / "missing.nc", "--format")[0], 2)

    @unittest.skipIf(resource is None, "programs are ended otherwise there")
    def test_a_kill_leaves_each_program_whole(self):
        """Killed at any time: each file is the old or the new one, and a second run does the rest."""
        chance = random.Random(26)
        texts = {}
        for number in range(1, 1501):
            texts[number] = program(number, diameter=20 + number / 100)
            self.write(f"jobs/{number}.nc", texts[number])
        jobs = self.here / "jobs"
        words = ["rewrite", jobs, "--renumber", "sequences", "--start", "100", "--step", "100", "--write"]
        killed = 0
        for _ in range(3):
            started = subprocess.Popen([TURNWRIGHT, *map(str, words)], stdout=subprocess.DEVNULL)
            time.sleep(0.05 + 0.4 * chance.random())
            if started.poll() is None:
                killed += 1
                started.send_signal(signal.SIGKILL)
            started.wait()
        self.assertGreater(killed, 0)
        renumbered = lambda text: text.replace("N1 (", "N100 (").replace("N2 (", "N200 (")
        for number, text in texts.items():
            self.assertIn((jobs / f"{number}.nc").read_text(), (text, renumbered(text)))
        self.assertEqual(run(*words)[0], 0)
        for number, text in texts.items():
            self.assertEqual((jobs / f"{number}.nc").read_text(), renumbered(text))


class TwoHundred(Commands):
    """Conversions of generated programs, looked at by a command of its own: what they do stays what it was. Two hundred and
    more of them for whoever has the time."""

    THREAD, TURN = {"A": "G92", "B": "G78", "C": "G21"}, {"A": "G90", "B": "G77", "C": "G20"}

    def job(self, chance, number, system, inch):
        """Plain turning, single cycles that go on, a thread; sizes in variables, a loop, a called program."""
        scale, places = (25.4, 4) if inch else (1.0, 3)
        size = lambda value: f"{value / scale:.{places}f}"
        thin = chance.randrange(100, 300) / 10
        home = f"G00 X{size(150)} Z{size(100)}"
        base = program(number, system, diameter=chance.randrange(200, 900) / 10, feed=chance.randrange(8, 40) / 100, inch=inch)
        loop = ["#1=0", "WHILE[#1 LT 3]DO1", f"G00 X[{size(thin + 20)}-#1*#3] Z{size(4)}", f"G01 Z-{size(25)}",
                f"X{size(thin + 30)}", f"G00 Z{size(4)}", "#1=#1+1", "END1"] if number % 2 else []
        return base.rsplit("M05\nM30\n", 1)[0] + "\n".join(
            ["N3 (TURN)", "T0303", "G97 S800 M03", f"#2={size(thin)}", f"#3={size(3)}",
             f"G00 X{size(thin + 30)} Z{size(4)}", f"G01 X{size(thin + 29)} F{0.15 / scale:.5f}", *loop,
             f"{self.TURN[system]} X[#2+#3] Z-{size(20)}", f"X{size(thin)}", home, "M01", "N4 (THREAD)", "T0404",
             "G97 S600 M03", f"G00 X{size(thin + 4)} Z{size(5)}",
             f"{self.THREAD[system]} X{size(thin - .4)} Z-{size(15)} F{1.5 / scale:.6f}", f"X{size(thin - .8)}", home,
             "M98 P7001", "M05", "M30", "O7001", f"G00 X{size(120)}", f"#4={size(90)}", "Z#4", "M99"]) + "\n"

    def shop(self, folder, system, x):
        self.write(f"{folder}/turnwright.toml", f'[[machine]]\nsystem = "{system}"\nx = "{x}"\n')

    def test_they_do_the_same_in_every_system_unit_and_reading_of_x(self):
        chance = random.Random(20261129)
        for number in range(1, SOME + 1):
            system, inch, x = "ABC"[number % 3], bool(number // 3 % 2), ("diameter", "radius")[number // 6 % 2]
            self.shop(f"{system}-{x}", system, x)
            self.write(f"{system}-{x}/{number}.nc", self.job(chance, number, system, inch))
        compared = 0
        for system in "ABC":
            for x, other in (("diameter", "radius"), ("radius", "diameter")):
                orders = [("units", "inch"), ("units", "mm"), ("x", other), *(("system", to) for to in "ABC" if to != system)]
                for what, to in orders:
                    before, after = self.here / f"{system}-{x}", self.here / f"{system}-{x}-{what}-{to}"
                    shutil.copytree(before, after)
                    status, out, _ = run("rewrite", after, f"--{what}", to, "--write")
                    self.assertEqual(status, 0, out)
                    self.shop(after.name, to if what == "system" else system, to if what == "x" else x)
                    written = [path for path in sorted(after.glob("*.nc"))
                               if path.read_text() != (before / path.name).read_text()]
                    # Half of them are in the one unit; in the reading of X and the system all are.
                    self.assertEqual(len(written), SOME // 12 if what == "units" else SOME // 6, (system, x, what, to))
                    for path in written[::3]:
                        compared += 1
                        self.assertTrue(self.does_the_same(before / path.name, path), path.read_text())
        self.assertGreaterEqual(compared, SOME)

    def does_the_same(self, before, after):
        """A feed is written to 0.00001 in: within that it is the same."""
        status, out, _ = run("compare", before, after)
        if status == 0:
            return True
        told = [line.strip() for line in out.splitlines() if re.match(r" +line \d", line)]
        for line in told:
            feeds = re.search(r": feed ([\d.]+) (mm|in)/rev -> feed ([\d.]+) (mm|in)/rev", line)
            if not feeds:
                print(line)
                return False
            a, b = (float(feeds[i]) * (25.4 if feeds[i + 1] == "in" else 1) for i in (1, 3))
            if abs(a - b) > 0.00001 * 25.4:
                print(line)
                return False
        return bool(told)


@unittest.skipIf(resource is None, "no count of the processor's time there")
class TenThousand(Commands):
    """Programs like those of a shop: families in a row of sizes, three systems, inch and mm, macros, calls."""

    def setUp(self):
        super().setUp()
        self.jobs, self.texts = self.here / "jobs", {}
        for number in range(1, MANY + 1):
            system = "ABC"[number % 3]
            path = self.jobs / system / str(number % 40) / f"{number}.nc"
            self.texts[path] = program(number, system, diameter=20 + number % 997 / 10, feed=0.1 + number % 7 / 100,
                                       calls=MANY - 1 if number % 500 == 0 else None, loop=number % 10 == 0,
                                       inch=number % 4 == 0)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(self.texts[path])
        for system in "ABC":
            self.write(f"jobs/{system}/turnwright.toml", f'[[machine]]\nsystem = "{system}"\n')

    def measured(self, *words):
        """Of what the processor did, so that a busy machine does not count: two of them share it."""
        began = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run([TURNWRIGHT, *map(str, words)], capture_output=True, text=True, timeout=600)
        ended = resource.getrusage(resource.RUSAGE_CHILDREN)
        took = (ended.ru_utime - began.ru_utime) / 2
        # The largest of all children so far: none may be larger.
        memory = ended.ru_maxrss >> 10
        print(f"{' '.join(map(str, words[:2]))}: {MANY} programs in {took:.1f} s, at most {memory} MB")
        if THOROUGH:
            self.assertLess(took, 60)
        self.assertLess(memory, 1500)
        return done.returncode, done.stdout

    def test_in_a_minute(self):
        status, out = self.measured("library", self.jobs, "--out", self.here / "index.html")
        self.assertEqual(status, 0, out)
        page = (self.here / "index.html").read_text()
        self.assertEqual(page.count("<tr>"), MANY + 1)
        status, out = self.measured("check", self.jobs, "--totals")
        self.assertRegex(out, r"(?m)^Together: {MANY} programs".format(MANY=MANY))
        baseline = self.here / "accepted.txt"
        self.measured("check", self.jobs, "--new-baseline", baseline)
        one = next(iter(self.texts))
        one.write_text(self.texts[one].replace("G97 S1000 M03", "M03"))
        status, out = self.measured("check", self.jobs, "--baseline", baseline, "--at-least", "warning")
        # Of all of them the one that was changed.
        told = {line.split(":")[0] for line in out.splitlines() if "warning:" in line or "error:" in line}
        self.assertEqual({Path(name).name for name in told}, {one.name}, out[-2000:])

    def test_killed_and_run_again_nothing_is_lost(self):
        words = ["rewrite", self.jobs, "--renumber", "sequences", "--start", "100", "--step", "100", "--write"]
        renumbered = lambda text: text.replace("N1 (", "N100 (").replace("N2 (", "N200 (")
        some = list(self.texts)[::MANY // 100]
        for share in (0.2, 0.6):
            started = subprocess.Popen([TURNWRIGHT, *map(str, words)], stdout=subprocess.DEVNULL)
            while started.poll() is None and sum("N100 (" in path.read_text() for path in some) < share * len(some):
                time.sleep(0.02)
            started.send_signal(signal.SIGKILL)
            started.wait()
            for path, text in self.texts.items():
                self.assertIn(path.read_text(), (text, renumbered(text)))
        self.assertEqual(self.measured(*words)[0], 0)
        for path, text in self.texts.items():
            self.assertEqual(path.read_text(), renumbered(text))


if __name__ == "__main__":
    unittest.main()
