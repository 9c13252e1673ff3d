"""A reader of lathe part programs of its own: where the tool ends, how far it goes, how long it takes.

Written from the words' meanings and from no other program: ISO 6983-1 for the words and the codes that it defines
(G00-G04, G17-G19, G96, G97, M03-M05, M30; clockwise is seen against the third axis, so from +Y with Z to
the right and X up); the numbers that differ between G-code systems A, B and C, I K from start to centre, R, U W,
G28, subprograms and macro words by common practice, no source. Inch is 25.4 mm and foot 0.3048 m (NBS Circular
572 addendum, 1960). Integrals are sums over small steps, so no formula of the project is used here.
"""

import math
import re

WORD = re.compile(r"([A-Z])\s*(\[|#|[-+]?(?:\d+\.?\d*|\.\d+)|[-+]#|[-+]\[)")
CODES = {  # What each system writes otherwise
    "A": {"G98": "per minute", "G99": "per turn", "G50": "limit", "G20": "inch", "G21": "mm", "G32": "thread"},
    "B": {"G94": "per minute", "G95": "per turn", "G92": "limit", "G20": "inch", "G21": "mm", "G33": "thread",
          "G90": "absolute", "G91": "incremental"},
    "C": {"G94": "per minute", "G95": "per turn", "G92": "limit", "G70": "inch", "G71": "mm", "G33": "thread",
          "G90": "absolute", "G91": "incremental"},
}


class Expression:
    """Macro arithmetic: brackets, functions, * / before + -, comparisons last."""

    TOKEN = re.compile(r"\s*(\d+\.?\d*|\.\d+|[A-Z]+|[-+*/\[\]#])")

    def __init__(self, text, at, variables):
        self.text, self.at, self.variables = text, at, variables

    def peek(self):
        match = self.TOKEN.match(self.text, self.at)
        return match.group(1) if match else ""

    def take(self):
        match = self.TOKEN.match(self.text, self.at)
        self.at = match.end()
        return match.group(1)

    def factor(self):
        token = self.take()
        if token == "-":
            return -self.factor()
        if token == "+":
            return self.factor()
        if token == "#":
            return self.variables[int(self.factor())]
        if token == "[":
            value = self.comparison()
            assert self.take() == "]"
            return value
        if token.isalpha():
            value = self.factor()
            functions = {"SQRT": math.sqrt, "ABS": abs, "SIN": lambda d: math.sin(math.radians(d)),
                         "COS": lambda d: math.cos(math.radians(d)), "FIX": math.floor, "FUP": math.ceil}
            return functions[token](value)
        return float(token)

    def product(self):
        value = self.factor()
        while self.peek() in ("*", "/"):
            if self.take() == "*":
                value *= self.factor()
            else:
                value /= self.factor()
        return value

    def sum(self):
        value = self.product()
        while self.peek() in ("+", "-"):
            if self.take() == "+":
                value += self.product()
            else:
                value -= self.product()
        return value

    def comparison(self):
        value = self.sum()
        tests = {"EQ": lambda a, b: a == b, "NE": lambda a, b: a != b, "GT": lambda a, b: a > b,
                 "GE": lambda a, b: a >= b, "LT": lambda a, b: a < b, "LE": lambda a, b: a <= b}
        if self.peek() in tests:
            test = tests[self.take()]
            return test(value, self.sum())
        return value


class Move:
    """Ends in mm, X on radius; `start` None when it is not known."""

    def __init__(self, kind, line, start, end, centre=None, sweep=0.0, lead=0.0, seconds=None):
        self.kind, self.line, self.start, self.end = kind, line, start, end
        self.centre, self.sweep, self.lead, self.seconds = centre, sweep, lead, seconds

    def at(self, share):
        if self.centre is None:
            return tuple(a + (b - a) * share for a, b in zip(self.start, self.end))
        x, z = self.start[0] - self.centre[0], self.start[1] - self.centre[1]
        angle = math.atan2(x, z) + self.sweep * share
        radius = math.hypot(x, z)
        return self.centre[0] + radius * math.sin(angle), self.centre[1] + radius * math.cos(angle)

    def length(self):
        if self.start is None:
            return 0.0
        if self.centre is None:
            return math.dist(self.start, self.end)
        return abs(self.sweep) * math.dist(self.start, self.centre)


class Reader:
    def __init__(self, text, system, diameter, rapid_x, rapid_z):
        self.codes, self.system, self.diameter = CODES[system], system, diameter
        self.rapid = rapid_x, rapid_z  # mm a minute, X on radius
        self.lines = [re.sub(r"\([^)]*\)", "", line).strip() for line in text.split("\n")]
        self.programs = {int(m.group(1)): i for i, line in enumerate(self.lines) if (m := re.match(r"O(\d+)", line))}
        self.variables = {}
        self.x = self.z = None  # mm, X on radius
        self.mm = self.motion = self.feed = self.speed = self.limit = None
        self.incremental = False
        self.per_turn = self.surface = None
        self.tool = None
        self.turning = False
        self.moves = []
        self.cut_mm = self.rapid_mm = 0.0
        self.cut_seconds = self.rapid_seconds = self.dwell_seconds = 0.0
        self.from_unknown = 0  # Moves and returns of which not all is known

    def run(self):
        self.run_program(0)
        return self

    def run_program(self, at):
        """From a line to M30 or M99. True at M30."""
        ends = {}  # Line of END -> line of its WHILE
        while at < len(self.lines):
            line = self.lines[at]
            match = re.match(r"(?:N\d+\s*)?(IF|WHILE|GOTO|END|#)", line)
            if not match:
                flow = self.block(line, at)
                if flow:
                    return flow == "end"
                at += 1
                continue
            word, start = match.group(1), match.end()
            if word == "#":
                left = Expression(line, start, self.variables)
                number = int(left.factor())
                assert left.TOKEN.match(line, left.at) is None and line[left.at] == "="
                self.variables[number] = Expression(line, left.at + 1, self.variables).sum()
                at += 1
            elif word == "END":
                at = ends[at]
            elif word == "GOTO":
                at = self.label(int(line[start:]))
            else:
                condition = Expression(line, start, self.variables)
                holds = condition.factor()
                rest = line[condition.at :].strip()
                if word == "IF":
                    at = self.label(int(rest[4:])) if holds else at + 1
                else:
                    number = rest[2:]
                    end = next(i for i in range(at, len(self.lines)) if self.lines[i] == "END" + number)
                    ends[end] = at
                    at = at + 1 if holds else end + 1
        return True

    def label(self, number):
        return next(i for i, line in enumerate(self.lines) if re.match(rf"N{number}(?!\d)", line))

    def words(self, line):
        at, found = 0, []
        while match := WORD.search(line, at):
            start = match.end(1)
            if match.group(2)[-1] in "#[":
                value = Expression(line, start, self.variables)
                number, at = value.factor(), value.at
            else:
                number, at = float(match.group(2)), match.end()
            found.append((match.group(1), number))
        return found

    def block(self, line, at):
        words = self.words(line)
        value = dict(words)  # Of letters that stand once
        names = [f"{letter}{number:02.0f}" for letter, number in words if letter in "GM"]
        meanings = {self.codes.get(name, name) for name in names}
        if "G65" in meanings:
            return self.macro(value)
        if "M98" in meanings:
            return self.call(value)
        for meaning in meanings:
            self.take_mode(meaning)
        if "F" in value:
            self.feed = value["F"]
        if "S" in value:
            if "limit" in meanings:
                self.limit = value["S"]
            else:
                self.speed = value["S"]
        if "T" in value and value["T"] != self.tool:
            self.tool = value["T"]
            self.x = self.z = None  # Another offset: where its point stands is not known
        if "M05" in meanings:
            self.turning = False
        if "G04" in meanings:
            self.add_dwell(value, at)
        elif "G28" in meanings:
            self.add_return(value, at)
        elif any(letter in value for letter in "XZUW"):
            self.add_move(value, at)
        if "M30" in meanings:
            return "end"
        return "return" if "M99" in meanings else None

    def take_mode(self, meaning):
        if meaning in ("G00", "G01", "G02", "G03", "thread"):
            self.motion = meaning
        elif meaning in ("inch", "mm"):
            self.mm = 25.4 if meaning == "inch" else 1.0
        elif meaning in ("absolute", "incremental"):
            self.incremental = meaning == "incremental"
        elif meaning in ("per minute", "per turn"):
            self.per_turn = meaning == "per turn"
        elif meaning in ("G96", "G97"):
            self.surface = meaning == "G96"
        elif meaning in ("M03", "M04"):
            self.turning = True

    def call(self, value):
        number, times = int(value["P"]), int(value.get("L", 1))
        if number > 9999:
            number, times = number % 10000, number // 10000
        for _ in range(times):
            if self.run_program(self.programs[number]):
                return "end"
        return None

    def macro(self, value):
        outside = self.variables
        numbers = {"A": 1, "B": 2, "C": 3, "D": 7, "E": 8, "F": 9}
        self.variables = {n: v for n, v in outside.items() if n >= 100}
        self.variables.update({numbers[letter]: value[letter] for letter in numbers if letter in value})
        ended = self.run_program(self.programs[int(value["P"])])
        self.variables = {**{n: v for n, v in outside.items() if n < 100},
                          **{n: v for n, v in self.variables.items() if n >= 100}}
        return "end" if ended else None

    def target(self, value, absolute, distance, now, factor):
        if distance in value:
            return None if now is None else now + value[distance] * factor
        if absolute not in value:
            return now
        if self.incremental:
            return None if now is None else now + value[absolute] * factor
        return value[absolute] * factor

    def end_of(self, value):
        half = 0.5 if self.diameter else 1.0
        return (self.target(value, "X", "U", self.x, half * self.mm), self.target(value, "Z", "W", self.z, self.mm))

    def add_dwell(self, value, at):
        seconds = value["P"] / 1000 if "P" in value else value.get("X", value.get("U"))
        self.dwell_seconds += seconds
        self.moves.append(Move("dwell", at, None, None, seconds=seconds))

    def add_return(self, value, at):
        """Over the point on the way; from there it goes to a place that the program does not tell."""
        middle = self.end_of(value)
        start = (self.x, self.z)
        self.from_unknown += 1
        if None not in start and None not in middle and math.dist(start, middle) > 1e-7:
            self.count(Move("rapid", at, start, middle))
        if "X" in value or "U" in value:
            self.x = None
        if "Z" in value or "W" in value:
            self.z = None

    def add_move(self, value, at):
        start, end = (self.x, self.z), self.end_of(value)
        self.x, self.z = end
        if None in end:
            self.from_unknown += 1
            return
        if None in start:
            start = None
        kind = {"G00": "rapid", "G01": "feed", "thread": "thread"}.get(self.motion, "arc")
        move = Move(kind, at, start, end, lead=(self.feed or 0) * self.mm)
        if kind == "arc":
            self.bend(move, value)
        self.count(move)

    def bend(self, move, value):
        """Centre and angle of an arc; positive from plus Z toward plus X, which is counter-clockwise."""
        clockwise = self.motion == "G02"
        start, end = move.start, move.end
        if "R" in value:
            radius = abs(value["R"]) * self.mm
            chord = math.dist(start, end)
            middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
            height = math.sqrt(max(0.0, radius * radius - chord * chord / 4))
            normal = ((end[1] - start[1]) / chord, -(end[0] - start[0]) / chord)
            choices = [(middle[0] + s * height * normal[0], middle[1] + s * height * normal[1]) for s in (1, -1)]
            small = value["R"] > 0
        else:
            choices = [(start[0] + value.get("I", 0) * self.mm, start[1] + value.get("K", 0) * self.mm)]
            small = None
        for centre in choices:
            from_angle = math.atan2(start[0] - centre[0], start[1] - centre[1])
            to_angle = math.atan2(end[0] - centre[0], end[1] - centre[1])
            sweep = (to_angle - from_angle) % (2 * math.pi)
            if clockwise:
                sweep -= 2 * math.pi
            move.centre, move.sweep = centre, sweep
            if small is None or (abs(sweep) <= math.pi + 1e-9) == small:
                return

    def turns_per_minute(self, x):
        if not self.surface:
            return self.speed
        # m/min, or feet a minute in inch
        metres = self.speed * (0.3048 if self.mm == 25.4 else 1.0)
        turns = math.inf if x == 0 else metres * 1000 / (2 * math.pi * abs(x))
        return min(turns, self.limit) if self.limit else turns

    def count(self, move):
        self.moves.append(move)
        if move.start is None:
            self.from_unknown += 1
            return
        length = move.length()
        if move.kind == "rapid":
            self.rapid_mm += length
            ways = [abs(a - b) for a, b in zip(move.start, move.end)]
            self.rapid_seconds += 60 * max(way / rate for way, rate in zip(ways, self.rapid))
            return
        self.cut_mm += length
        if move.kind == "thread":
            along = max(abs(a - b) for a, b in zip(move.start, move.end))
            self.cut_seconds += 60 * along / (move.lead * self.turns_per_minute(move.start[0]))
        elif not self.per_turn:
            self.cut_seconds += 60 * length / (self.feed * self.mm)
        else:
            assert self.turning
            steps = 300 if self.surface else 1
            shares = ((i + 0.5) / steps for i in range(steps))
            step = length / steps / (self.feed * self.mm)
            self.cut_seconds += 60 * sum(step / self.turns_per_minute(move.at(share)[0]) for share in shares)
