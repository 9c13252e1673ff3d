"""`check` over folders in which every third program calls others, with loops, jumps and macros in all of them."""
import os
import random
import subprocess
import tempfile
import unittest

from driver import COMMAND

PROGRAMS = 90


def body(pick, depth=0):
    """Lines of a program: now and then what no control would take, since files are as people left them."""
    lines = []
    for _ in range(pick.randrange(1, 6)):
        n, v = pick.randrange(1, 9), pick.randrange(1, 6)
        kind = pick.randrange(10)
        if kind < 3:
            lines.append(f"N{n} G0{v % 2} X{pick.randrange(10, 60)}. W-{v}. F0.{v}")
        elif kind == 3:
            lines.append(f"#{v}=#{v}{pick.choice('+-')}1")
        elif kind == 4:
            lines.append(pick.choice([f"IF[#{v} GT {n}]GOTO {n}", f"GOTO {n}", f"GOTO #{v}", f"M99 P{n}"]))
        elif kind == 5:
            lines.append(pick.choice([f"DO{v}", f"END{v}", f"WHILE[#{v} LT 3]DO{v}"]))
        elif depth < 4:
            loop = depth + 1
            inner = body(pick, depth + 1)
            lines += [pick.choice([f"WHILE[#{v} LT {n}]DO{loop}", f"DO{loop}"]), *inner, f"#{v}=#{v}+1", f"END{loop}"]
    return lines


def call(pick):
    number = 1000 + pick.randrange(PROGRAMS + 3)
    return pick.choice([f"M98 P{number}", f"M98 P{number} L{pick.randrange(1, 9999)}", f"G65 P{number} A1. B#2 L3",
                        f"G66 P{number} C2.", "G67", f"M98 P#{pick.randrange(1, 9)}"])


def write_tree(folder, seed):
    pick = random.Random(seed)
    for i in range(PROGRAMS):
        lines = [f"O{1000 + i}", "G21 G99 G97 S500 M03 T0101"]
        for _ in range(pick.randrange(1, 5)):
            lines += body(pick)
            if i % 3 == 0:
                lines.append(call(pick))
        lines.append(pick.choice(["M30", "M99", "M99", "M99 P3"]))
        if pick.randrange(4) == 0:  # a program of its own behind it
            lines += [f"O{2000 + i}", *body(pick), "M99", "M98 P1000"]
        below = os.path.join(folder, f"part_{i % 7}")
        os.makedirs(below, exist_ok=True)
        with open(os.path.join(below, f"{i}.nc"), "w", encoding="utf-8") as file:
            file.write("\n".join(lines) + "\n")


class CalledLoops(unittest.TestCase):
    def test_check_comes_to_its_end(self):
        for seed in range(6):
            with self.subTest(seed=seed), tempfile.TemporaryDirectory() as folder:
                write_tree(folder, seed)
                done = subprocess.run([*COMMAND, "check", folder], capture_output=True, text=True, check=False)
                self.assertIn(done.returncode, (0, 1), done.stderr)
                self.assertIn("not_found", done.stdout)

    def test_the_smallest_of_them(self):
        with tempfile.TemporaryDirectory() as folder:
            for name, text in [("a.nc", "O1000\nDO1\nEND1\nM99\n"), ("b.nc", "M98 P1000\n")]:
                with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
                    file.write(text)
            done = subprocess.run([*COMMAND, "check", os.path.join(folder, "b.nc")], capture_output=True, text=True,
                                  check=False)
            self.assertIn(done.returncode, (0, 1), done.stderr)


if __name__ == "__main__":
    unittest.main()
