"""Random programs that the reader in reader.py can follow: shapes a lathe could cut, written in many ways."""

import random

ARCS = [((3, 4), (4, 3)), ((5, 0), (4, 3)), ((4, 3), (0, 5)), ((3, -4), (4, 3)), ((5, 0), (0, 5)), ((-3, 4), (3, 4))]


class Program:
    """`system` A, B or C; positions are kept in written units, X on radius."""

    def __init__(self, seed):
        self.random = random.Random(seed)
        self.system = "ABC"[seed % 3]
        self.inch = self.random.random() < 0.4
        self.diameter = self.random.random() < 0.7
        self.places = 4 if self.inch else 3
        self.scale = 0.05 if self.inch else 1.0
        self.x = self.z = 0.0
        self.incremental = False  # By G91
        self.lines, self.subs, self.used = [], [], 1
        self.tools = self.random.randint(1, 2)
        self.write()

    # --- Words -------------------------------------------------------------------------------------------

    def number(self, value):
        text = f"{value:.{self.places}f}"
        shape = self.random.randrange(3)
        if shape == 0:
            text = text.rstrip("0")
        elif shape == 1 and text.startswith("0."):
            text = text[1:]
        return text

    def say(self, line):
        self.lines.append(line)

    def code(self, a, b, c):
        return {"A": a, "B": b, "C": c}[self.system]

    def some(self, low, high):
        return round(self.random.uniform(low, high) * self.scale, self.places - 1)

    def ends(self, x, z, both=False):
        """Words of a move to a place, in one of the ways that the system has."""
        words = []
        twice = 2 if self.diameter else 1
        for letter, distance, to, now, factor in (("X", "U", x, self.x, twice), ("Z", "W", z, self.z, 1)):
            stays = to == now and (letter == "Z" or z != self.z)
            if stays and not both and (words or letter == "X"):
                continue
            if self.system == "A" and not both and self.random.random() < 0.35:
                words.append(distance + self.number((to - now) * factor))
            elif self.incremental and not both:
                words.append(letter + self.number((to - now) * factor))
            else:
                words.append(letter + self.number(to * factor))
        self.x, self.z = x, z
        return " ".join(words)

    def switch_distance(self):
        if self.system != "A" and self.random.random() < 0.3:
            self.incremental = not self.incremental
            self.say("G91" if self.incremental else "G90")

    # --- Blocks ------------------------------------------------------------------------------------------

    def line_move(self):
        # Out and toward the chuck, now and then in or back
        x = max(self.some(4, 8), self.x + self.some(-4, 6))
        z = self.z - self.some(-2, 9)
        if self.random.random() < 0.3:
            x = self.x
        elif self.random.random() < 0.3:
            z = self.z
        if (x, z) == (self.x, self.z):
            z = round(self.z - self.scale, self.places)
        x, z = round(x, self.places), round(z, self.places)
        word = self.random.choice(["G01 ", "G1"])
        self.say(word + self.ends(x, z) + (f" F{self.feed()}" if self.random.random() < 0.2 else ""))

    def arc_move(self):
        size = round(self.random.uniform(0.4, 2) * self.scale, 2 if self.inch else 1)
        (ax, az), (bx, bz) = self.random.choice(ARCS)
        if self.random.random() < 0.5:
            (ax, az), (bx, bz) = (bx, bz), (ax, az)
        flip = self.random.choice([1, -1])
        ax, bx = ax * flip, bx * flip
        centre = self.x - ax * size, self.z - az * size
        x, z = round(centre[0] + bx * size, self.places), round(centre[1] + bz * size, self.places)
        if x < self.scale or centre[0] - 5 * size < self.scale:
            return self.line_move()
        clockwise = self.random.random() < 0.5
        # From plus Z toward plus X is counter-clockwise; by R alone the shorter or the longer way.
        turn = az * bx - ax * bz
        short = clockwise == (turn < 0)
        by_centre = f"I{self.number(-ax * size)} K{self.number(-az * size)}"
        by_radius = f"R{self.number(5 * size if short else -5 * size)}"
        word = "G02 " if clockwise else "G03 "
        how = by_radius if turn and self.random.random() < 0.5 else by_centre
        self.say(f"{word}{self.ends(x, z, not self.incremental)} {how}")

    def feed(self):
        if self.per_minute:
            return self.number(self.some(50, 400)) if not self.inch else f"{self.random.uniform(2, 15):.2f}"
        return f"{self.random.uniform(0.05, 0.4) * (0.04 if self.inch else 1):.4f}"

    def feed_code(self):
        return self.code("G98", "G94", "G94") if self.per_minute else self.code("G99", "G95", "G95")

    def dwell(self):
        self.say(self.random.choice(["G04 X0.5", "G04 P750", "G4 P1200"] + (["G04 U1."] if self.system == "A" else [])))

    def change_feed_mode(self):
        self.per_minute = not self.per_minute
        self.say(f"{self.feed_code()} G01 F{self.feed()}")

    def speed(self):
        if self.random.random() < 0.6:
            limit = self.random.randrange(600, 3500, 50)
            self.say(f"{self.code('G50', 'G92', 'G92')} S{limit}")
            self.say(f"G96 S{self.random.randrange(60, 300, 5) * (3 if self.inch else 1)} M03")
        else:
            self.say(f"G97 S{self.random.randrange(200, 2500, 10)} {self.random.choice(['M03', 'M04', 'M3'])}")

    def next_program(self):
        self.used += 1
        return self.used

    def step_down(self):
        """A subprogram of distances, called several times."""
        number, twice = self.next_program(), 2 if self.diameter else 1
        deep, far = self.some(0.4, 1), self.some(3, 6)
        times = self.random.randint(1, 4)
        self.to_absolute()
        if self.system == "A":
            body = [f"G01 W{self.number(-far)} F{self.feed()}", f"U{self.number(deep * twice)}",
                    f"G00 W{self.number(far)}"]
        else:
            body = [f"G91 G01 Z{self.number(-far)} F{self.feed()}", f"X{self.number(deep * twice)}",
                    f"G00 Z{self.number(far)}", "G90"]
        self.subs += [f"O{number}"] + body + ["M99"]
        packed = self.random.random() < 0.4
        self.say(f"M98 P{times}{number:04}" if packed and times > 1 else f"M98 P{number} L{times}")
        self.x = round(self.x + deep * times, self.places)

    def macro_loop(self):
        self.to_absolute()
        twice = 2 if self.diameter else 1
        deep, far, times = self.some(0.3, 1), self.some(3, 6), self.random.randint(2, 4)
        x, z = self.x, self.z
        self.say("#1=0")
        self.say(f"#100={self.number(deep * twice)}")
        self.say(f"WHILE[#1LT{times}]DO1")
        self.say("#1=#1+1")
        self.say(f"G01 X[{self.number(x * twice)}+#1*#100] F{self.feed()}")
        self.say(f"Z-[{self.number(-z + far)}]" if far > z else f"Z{self.number(z - far)}")
        self.say(f"G00 Z{self.number(z)}")
        self.say("END1")
        self.x = round(x + deep * times, self.places)

    def macro_call(self):
        self.to_absolute()
        number, twice = self.next_program(), 2 if self.diameter else 1
        x, z = round(self.x + self.some(0.5, 2), self.places), round(self.z - self.some(1, 5), self.places)
        out = self.some(0.2, 1)
        self.subs += [f"O{number}", "#5=#1+#3*2", f"IF[#3GT{self.number(50 * self.scale)}]GOTO{number}0",
                      f"G01 X#1 Z#2 F{self.feed()}", f"N{number}0 G01 X#5 F{self.feed()}", "M99"]
        self.say(f"G65 P{number} A{self.number(x * twice)} B{self.number(z)} C{self.number(out)}")
        self.x, self.z = round(x + out * 2 / twice, self.places), z

    def to_absolute(self):
        if self.incremental:
            self.incremental = False
            self.say("G90")

    def go_home(self):
        self.to_absolute()
        self.say("G00 " + self.ends(round(self.x + self.some(2, 5), self.places), self.z + self.some(1, 3)))
        way = self.random.randrange(3)
        if self.system == "A":
            self.say("G28 U0. W0.")
        elif way == 0:
            self.say("G91 G28 X0. Z0.")
            self.say("G90")
        else:
            twice = 2 if self.diameter else 1
            self.say(f"G28 X{self.number(twice * (self.x + 2 * self.scale))} Z{self.number(self.z + 3 * self.scale)}")

    def thread(self):
        """Along Z at a constant speed."""
        self.to_absolute()
        self.say(f"G97 S{self.random.randrange(200, 900, 10)} M03")
        lead = self.random.choice(["0.0625", ".05"] if self.inch else ["1.5", "2."])
        self.say(f"{self.code('G32', 'G33', 'G33')} Z{self.number(self.z - self.some(5, 15))} F{lead}")
        self.z = float(self.lines[-1].split()[1][1:])
        self.say("G00 " + self.ends(round(self.x + self.some(1, 2), self.places), self.z, True))
        self.say(f"{self.feed_code()} F{self.feed()}")

    def sequence(self, tool):
        self.say(f"N{tool} (WORK)")
        self.say(f"T{tool:02}{tool:02}")
        self.per_minute = self.random.random() < 0.3
        self.say(self.feed_code())
        self.speed()
        self.say("G00 " + self.ends(self.some(10, 25), self.some(1, 4), True))
        self.say("G01 " + self.ends(self.x, round(self.z - self.some(1, 4), self.places)) + f" F{self.feed()}")
        blocks = [self.line_move] * 6 + [self.arc_move] * 5 + [self.dwell, self.change_feed_mode, self.step_down,
                                                              self.macro_loop, self.macro_call, self.thread]
        for _ in range(self.random.randint(8, 18)):
            self.switch_distance()
            self.random.choice(blocks)()
        self.go_home()
        self.say("M05")

    def write(self):
        self.say("O1 (SHAPES)")
        self.say(self.code("G20", "G20", "G70") if self.inch else self.code("G21", "G21", "G71"))
        self.say("G18 G40" + ("" if self.system == "A" else " G90"))
        for tool in range(1, self.tools + 1):
            self.sequence(tool)
        self.say("M30")

    def text(self):
        return "\n".join(self.lines + self.subs) + "\n"

    def shop(self):
        """A shop file of the machine that it is written for."""
        return (f'[[machine]]\nsystem = "{self.system}"\nx = "{"diameter" if self.diameter else "radius"}"\n'
                'units = "mm"\nrapid_x = 9000\nrapid_z = 14000\n')

    def empty(self):
        """The same tools that do nothing."""
        return "O1\n" + "".join(f"N{t} (WORK)\nT{t:02}{t:02}\n" for t in range(1, self.tools + 1)) + "M30\n"
