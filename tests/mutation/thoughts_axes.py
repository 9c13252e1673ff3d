"""Mistakes of thought in programs for lathes with more axes, one a mutant.

Not a finger's slip but a step forgotten, a sequence copied and not changed, two that belong together and only one of them
changed, an order turned round. Each operator is a function of a whole program (`Program`) that gives (first line, how many
lines, new lines) for every place where the thought fits; several places that change together are given as one span. Where
it can be made in two ways, both are given. What builder's codes are for is read from the program's notes; a program that
tells nothing of a code has no places for it. Kinds of mistakes: common practice, no source.
"""
import re

from operators import put, words

NOTE = re.compile(r"\([^)]*\)?")
CYCLE = re.compile(r"(?i)\bG0?(8[1-9]|7[4-6])(?!\d)")
OFF = re.compile(r"\b(OFF|STOPS?|HALT|ARRET|FERM[AO]|PARADA|AUS|END(S|ED)?|UN\w+|FREE|RELEASED?|LOES\w*|APART|FUORI|LIBRE|LIBERE|HORS"
                 r"|SUELTO|DESSERRE|APERTO|DIS\w+|DESCON\w*|NO|TURNING|TURNS AGAIN|OUT)\b")
OPEN = re.compile(r"\b(OPEN(S|ED)?|APRE|ABRIR|AUF|APERT[AO])\b")
CLOSE = re.compile(r"\b(CLOSE[SD]?|SHUT|CHIUDE|CERRAR|ZU|CHIUS[AO])\b")
KINDS = (("mirror", re.compile(r"MIRROR|SPECCHIO|SPIEGEL|BACK SIDE")),
         ("catcher", re.compile(r"CATCHER|RACCO|RECOGED|RECEPTEUR|CHUTE|EJECT|PUSHER|AIR\b|TRAY")),
         ("live", re.compile(r"LIVE|DRIVEN|MILL(ING)?\b|FRESA|MOTORIZZ|MOTRIZ|TOURNANT|ROTANTE|WERKZEUGANTRIEB")),
         ("step", re.compile(r"\bSYNC|\bSTEP|FOLLOW|JOINED|COUPL|TOGETHER|\bTIE|SINCRONO|GLEICHLAUF|EQUAL SPEED|TURNS LIKE|RUNS WITH")),
         ("brake", re.compile(r"BRAKE|\bCLAMP|UNCLAMP|FREN|FREIN|KLEMM|C LOCK|C HELD|C FREE|C LOESEN")),
         ("c", re.compile(r"\bC[- ]A(XIS|CHSE)|ASSE C|AXE C|EJE C|\bC (ON|OFF|IN|OUT)\b|(MAIN|SUB) C\b|C (HAUPT|GEGEN)SPINDEL")),
         ("chuck", re.compile(r"CHUCK|COLLET|JAWS|PINZA|SPANNER|SPANNZANGE|PINCE|MAIN (OPEN|CLOSE)|(SUB|SECOND) (OPEN|CLOSE)")),
         ("second spindle", re.compile(r"(SUB|SECOND|SPINDLE 2|GEGENSPINDEL|MANDRINO 2|S2)\b.*")))
SECOND = re.compile(r"SUB\b|SECOND|\b2\b|GEGEN|S2\b")


def roles_of(text):
    """{M number: (kind, on)} of one note, as far as its words tell; chucks are "chuck 1" and "chuck 2", on is closed."""
    parts = re.split(r"((?:\bM\d+(?:\s*(?:/|,|-|\bAND\b|\s)\s*(?=M\d))?)+)", text.upper())
    result, kind = {}, None
    for codes, told in zip(parts[1::2], parts[2::2]):
        numbers = [str(int(n)) for n in re.findall(r"M(\d+)", codes)]
        found = next((name for name, pattern in KINDS if pattern.search(told)), None)
        if found == "chuck":
            found += " 2" if SECOND.search(told) else " 1"
        kind = found or kind
        if not kind or not told.strip(" =:,.-/"):
            continue
        choices = re.split(r"\s*[/,]\s*", told.strip(" =:,.-"))
        if len(choices) < len(numbers):
            choices = re.findall(r"\b(?:ON|OFF|CLOSE|OPEN|RUN|STOP|CW|CCW|IN|OUT|BACK)\b", told)
        for k, number in enumerate(numbers):
            verb = told if len(numbers) == 1 else choices[min(k, len(choices) - 1)] if choices else ""
            if len(numbers) > 1 and k == 0 and choices:
                verb = choices[0].split()[-1] if choices[0].split() else ""
            if kind.startswith("chuck"):
                if OPEN.search(verb) or CLOSE.search(verb):
                    result[number] = kind, not OPEN.search(verb)
            else:
                result[number] = kind, not OFF.search(verb)
    return result


class Program:
    def __init__(self, lines):
        self.lines = lines
        self.bare = [NOTE.sub("", line) for line in lines]
        self.words = [words(line) for line in lines]
        self.roles = {}
        for line in lines:
            for note in NOTE.findall(line):
                for number, role in roles_of(note).items():
                    self.roles.setdefault(number, role)
            inline = re.fullmatch(r"\s*(?:N\d+\s*)?M0*(\d+)\s*\((.*?)\)?\s*", line)
            if inline and inline[1] not in self.roles:
                self.roles.update(roles_of(f"M{inline[1]} {inline[2]}"))
        self.roles = {m: role for m, role in self.roles.items() if int(m) > 9 and m not in ("29", "30", "98", "99")}
        starts = [i for i in range(len(lines)) if any(l == "T" and re.fullmatch(r"\d*[1-9]\d?|\d+", t) and not t.endswith("00") for _, _, l, t in self.words[i])]
        ends = [*starts[1:], len(lines)]
        self.sequences = [range(b, e) for b, e in zip(starts, ends)]

    def kind(self, i):
        """(kind, on) of each builder's code of a line."""
        return [self.roles[str(int(t))] for _, _, l, t in self.words[i] if l == "M" and t.isdigit() and str(int(t)) in self.roles]

    def has(self, i, kind, on=None):
        return any(k.startswith(kind) and (on is None or on == o) for k, o in self.kind(i))

    def g(self, i, *numbers):
        return any(l == "G" and t.lstrip("0") in numbers for _, _, l, t in self.words[i])

    def m(self, i, *numbers):
        return any(l == "M" and t.lstrip("0") in numbers for _, _, l, t in self.words[i])

    def value(self, i, letter):
        return next((float(t) for _, _, l, t in self.words[i] if l == letter), None)

    def is_live(self, s):
        return any(self.has(i, "live", True) or self.value(i, "C") is not None or self.value(i, "H") is not None for i in s)

    def without(self, i, pick):
        """The line without the words that `pick(letter, number text)` takes; None where nothing of it stays."""
        line = self.lines[i]
        for b, e, l, t in reversed(self.words[i]):
            if pick(l, t):
                e += line[e:e + 1] == "."
                line = line[:b].rstrip(" ") + (" " if line[:b].strip() and line[e:].strip() else "") + line[e:].lstrip(" ")
        rest = [w for w in words(line) if w[2] not in "NO"]
        return line if rest else None

    def without_role(self, i, kind, on):
        return self.without(i, lambda l, t: l == "M" and t.isdigit() and self.roles.get(str(int(t)), ("", None))[0].startswith(kind)
                            and self.roles[str(int(t))][1] == on)

    def with_number(self, i, letter, number):
        """The line with another number behind its letter."""
        for b, e, l, t in self.words[i]:
            if l == letter:
                e += self.lines[i][e:e + 1] == "."
                return put(self.lines[i], b, e, self.lines[i][b] + spelled(number))
        return self.lines[i]

    def span(self, changes):
        """(first, count, new lines) of changes {line: new lines}."""
        first, last = min(changes), max(changes)
        new = [l for i in range(first, last + 1) for l in changes.get(i, [self.lines[i]])]
        return first, last - first + 1, new

    def lost(self, i, kind, on):
        left = self.without_role(i, kind, on)
        return i, 1, [left] if left else []


def spelled(number):
    text = f"{number:.4f}".rstrip("0")
    return text if not text.endswith(".") or number else "0"


def angles(p, s):
    """{line: C} of a sequence's places of C under or beside a cycle, in order."""
    return {i: p.value(i, "C") for i in s if p.value(i, "C") is not None and not p.g(i, "28", "7.1", "107", "1", "2", "3", "41", "42", "0")
            and not any(p.g(j, "12.1", "112", "7.1", "107") for j in range(s[0], i))}


def pattern_copied(p):
    """The angles of another pattern, or shifted by thirty degrees, at one tool of those that share a pattern."""
    patterns = {k: angles(p, s) for k, s in enumerate(p.sequences)}
    patterns = {k: a for k, a in patterns.items() if len(a) > 1}
    for k, own in patterns.items():
        same = [o for o in patterns if o != k and sorted(set(patterns[o].values())) == sorted(set(own.values()))]
        if not same:
            continue
        yield p.span({i: [p.with_number(i, "C", c + 30)] for i, c in own.items()})
        for other in patterns.values():
            if len(other) == len(own) and set(other.values()) != set(own.values()):
                yield p.span({i: [p.with_number(i, "C", c)] for (i, _), c in zip(own.items(), other.values())})
                break


def last_hole_forgotten(p):
    """The last hole of a pattern not written, or its step of another count."""
    for s in p.sequences:
        own = angles(p, s)
        if len(own) > 2:
            last = max(own)
            if not CYCLE.search(p.bare[last]) and len([w for w in p.words[last] if w[2] != "N"]) == 1:
                yield last, 1, []
            first = min(own.values())
            step = 360 / (len(own) + 1)
            if sorted(own.values()) == list(own.values()) and 360 % (len(own) + 1) == 0:
                yield p.span({i: [p.with_number(i, "C", first + n * step)] for n, i in enumerate(own) if n})


def count_of_steps(p):
    """One hole more or less of those that go on by H, or that K counts."""
    for s in p.sequences:
        for i in s:
            if p.value(i, "H") and p.value(i, "K") and p.value(i, "K") > 1 and CYCLE.search(p.bare[i]):
                yield i, 1, [re.sub(r"K\d+", f"K{int(p.value(i, 'K')) + 1}", p.lines[i])]
                yield i, 1, [re.sub(r"K\d+", f"K{int(p.value(i, 'K')) - 1}", p.lines[i])]


def depth_of_the_tool_before(p):
    """A hole as deep as with the tool before, whose block was copied; X of a radial hole too."""
    before = {}
    for s in p.sequences:
        for i in s:
            if not CYCLE.search(p.bare[i]) or p.value(i, "X") is None and p.value(i, "Z") is None:
                continue
            radial = p.g(i, "87", "88", "89")
            letter = "X" if radial else "Z"
            number = p.value(i, letter)
            other = before.get(radial)
            if other is not None and number is not None and abs(other - number) > 1e-6 and (other < 0) == (number < 0):
                yield i, 1, [p.with_number(i, letter, other)]
            if number is not None:
                before[radial] = number


def circle_of_other_pattern(p):
    """A copied pattern's circle left, or twice or half as large (radius taken for diameter)."""
    circles = []
    for s in p.sequences:
        for i in s:
            if CYCLE.search(p.bare[i]) and p.g(i, "83", "84", "81", "82") and p.value(i, "C") is not None:
                places = [j for j in s if p.value(j, "X") is not None and not p.g(j, "28", "53") and j <= i]
                if places and p.value(places[-1], "X"):
                    x = p.value(places[-1], "X")
                    same = [j for j in places if p.value(j, "X") == x]
                    yield p.span({j: [p.with_number(j, "X", x / 2)] for j in same})
                    for other in circles:
                        if other != x:
                            yield p.span({j: [p.with_number(j, "X", other)] for j in same})
                            break
                    circles.append(x)
                break


def radial_radius_for_diameter(p):
    """The bottom of a radial hole or slot by its radius: nearly to the middle of the part."""
    for s in p.sequences:
        for i in s:
            if CYCLE.search(p.bare[i]) and p.g(i, "87", "88") and (p.value(i, "X") or 0) > 0:
                yield i, 1, [p.with_number(i, "X", p.value(i, "X") / 2)]
                yield i, 1, [p.with_number(i, "X", -p.value(i, "X"))]


def depth_once_off(p):
    """A depth that the note gives taken once off the diameter, in a hole or a slot from the side."""
    for s in p.sequences:
        told = re.search(r"(\d*\.?\d+)\.? DEEP", " ".join(" ".join(NOTE.findall(p.lines[i])) for i in range(max(0, s[0] - 2), s[-1] + 1)))
        if not told or not p.is_live(s):
            continue
        inward = [i for i in s if p.value(i, "X") is not None and (p.g(i, "87", "88") or p.g(i, "1") and p.value(i, "Z") is None)]
        if inward:
            x = min(p.value(i, "X") for i in inward)
            same = [i for i in inward if p.value(i, "X") == x]
            yield p.span({i: [p.with_number(i, "X", x + float(told[1]))] for i in same})


def angle_of_the_tool_before(p):
    """C left as at the tool before, where a sequence has one angle of its own."""
    before = None
    for s in p.sequences:
        own = [i for i in s if p.value(i, "C") is not None and not p.g(i, "28", "7.1", "107", "1", "2", "3")]
        values = {p.value(i, "C") for i in own}
        if len(values) == 1 and before is not None and values != {before}:
            yield p.span({i: [p.with_number(i, "C", before)] for i in own})
        if own:
            before = p.value(own[0], "C")


def cut_not_turned_on(p):
    """The second of two cuts at angles of C, copied with the first one's angle."""
    for s in p.sequences:
        if not p.is_live(s) or any(p.g(i, "12.1", "112", "7.1", "107") for i in s):
            continue
        own = [(i, p.value(i, "C")) for i in s if p.value(i, "C") is not None and not p.g(i, "28")]
        for (_, c), (j, d) in zip(own, own[1:]):
            if c != d and not CYCLE.search(p.bare[j]) and any(p.g(k, "1", "83", "87", "88", "84") or p.m(k, "98") for k in range(j, s[-1] + 1)):
                yield j, 1, [p.with_number(j, "C", c)]
                left = p.without(j, lambda l, t: l == "C")
                yield j, 1, [left] if left else []


def c_axis_not_put_in(p):
    """C not engaged before the first tool that needs it, or for one of several."""
    for i in range(len(p.lines)):
        if p.has(i, "c", True) and not p.has(i, "chuck") and not p.has(i, "catcher"):
            yield p.lost(i, "c", True)


def c_axis_not_let_go(p):
    for i in range(len(p.lines)):
        if p.has(i, "c", False) and not p.has(i, "chuck") and not p.has(i, "catcher") and any(p.has(j, "c", True) for j in range(i)):
            yield p.lost(i, "c", False)


def brake_forgotten(p):
    """C not clamped at one place of several."""
    for i in range(len(p.lines)):
        if p.has(i, "brake", True):
            yield p.lost(i, "brake", True)


def brake_not_opened(p):
    for i in range(len(p.lines)):
        if p.has(i, "brake", False) and any(p.has(j, "brake", True) for j in range(i)):
            yield p.lost(i, "brake", False)


def brake_before_turn(p):
    """The brake on before C has gone to its place."""
    for i in range(len(p.lines) - 1):
        if p.value(i, "C") is not None and p.has(i + 1, "brake", True) and not p.has(i, "brake"):
            yield i, 2, [p.lines[i + 1], p.lines[i]]


def live_tool_by_main_word(p):
    """The live tool started by the main spindle's word, as at the tool before."""
    for i in range(len(p.lines)):
        for b, e, l, t in p.words[i]:
            if l == "M" and t.isdigit() and p.roles.get(str(int(t)), ("", 0)) == ("live", True):
                yield i, 1, [put(p.lines[i], b, e, "M03")]


def live_tool_not_started(p):
    """The start forgotten, its speed with it or the speed left there."""
    for i in range(len(p.lines)):
        if p.has(i, "live", True):
            yield i, 1, []
            if p.value(i, "S") is not None:
                yield p.lost(i, "live", True)


def live_tool_left_on(p):
    for i in range(len(p.lines)):
        if p.has(i, "live", False) and any(p.has(j, "live", True) for j in range(i)):
            yield p.lost(i, "live", False)


def live_speed_not_changed(p):
    """Another tool's speed at a live tool, left as copied."""
    before = None
    for s in p.sequences:
        for i in s:
            if p.has(i, "live", True) and p.value(i, "S"):
                if before and max(before, p.value(i, "S")) > 2.5 * min(before, p.value(i, "S")):
                    yield i, 1, [re.sub(r"S\d+", f"S{before:.0f}", p.lines[i], count=1)]
                before = p.value(i, "S")


def tap_speed_alone_changed(p):
    """A tap's speed changed and its feed not, the feed being by the minute."""
    for s in p.sequences:
        cycle = next((i for i in s if p.g(i, "84", "88") and p.value(i, "F")), None)
        start = [i for i in s if cycle and i <= cycle and p.value(i, "S")]
        if cycle and start and p.value(cycle, "F") >= 5 * (1 if p.value(cycle, "F") > 20 else .2):
            i = start[-1]
            yield i, 1, [re.sub(r"S\d+", f"S{p.value(i, 'S') * 1.25:.0f}", p.lines[i], count=1)]
            yield cycle, 1, [p.with_number(cycle, "F", p.value(cycle, "F") * 1.25)]


def plane_not_taken_back(p):
    for i in range(len(p.lines)):
        if p.g(i, "18") and any(p.g(j, "17", "19") for j in range(i)):
            left = p.without(i, lambda l, t: l == "G" and t == "18")
            yield i, 1, [left] if left else []


def interpolation_not_ended(p):
    for i in range(len(p.lines)):
        if p.g(i, "13.1", "113") or p.g(i, "7.1", "107") and p.value(i, "C") == 0:
            yield i, 1, []


def polar_before_approach(p):
    """Polar on before the tool stands at its start."""
    for i in range(1, len(p.lines)):
        if p.g(i, "12.1", "112"):
            back = i
            while back > 1 and p.words[back - 1] and not any(l == "T" for _, _, l, _ in p.words[back - 1]) and i - back < 3:
                back -= 1
            if back < i and any(p.value(j, "X") is not None for j in range(back, i)):
                yield back, i - back + 1, [p.lines[i], *p.lines[back:i]]


def polar_in_radius(p):
    """X of the whole polar contour by radius, or C by diameter."""
    begin = None
    for i in range(len(p.lines)):
        if p.g(i, "12.1", "112"):
            begin = i
        if p.g(i, "13.1", "113") and begin is not None:
            inside = range(begin + 1, i)
            for letter, factor in (("X", .5), ("C", 2)):
                changes = {j: [p.with_number(j, letter, p.value(j, letter) * factor)] for j in inside if p.value(j, letter)}
                if changes:
                    yield p.span(changes)
            begin = None


def side_of_whole_contour(p):
    """G41 for G42 in all of a live tool's contour."""
    for s in p.sequences:
        if p.is_live(s):
            changes = {i: [re.sub(r"G4[12](?!\d)", lambda m: "G42" if m[0] == "G41" else "G41", p.lines[i], count=1)] for i in s if p.g(i, "41", "42")}
            if changes:
                yield p.span(changes)


def feed_mode_not_taken_back(p):
    """Turning goes on with the feed by the minute of the live tools or of a slide."""
    live = any(p.g(i, "98") for i in range(len(p.lines)))
    own = {("98" if live else "94"): "minute", ("99" if live else "95"): "turn"}
    mode = None
    for i in range(len(p.lines)):
        for code, name in own.items():
            if p.g(i, code) and not CYCLE.search(p.bare[i]):
                if mode and mode != name:
                    left = p.without(i, lambda l, t: l == "G" and t == code)
                    yield i, 1, [left] if left else []
                mode = name


def first_chuck_opened_too_early(p):
    """The first chuck opens before the second has closed."""
    for i in range(len(p.lines)):
        if p.has(i, "chuck 1", False):
            closed = [j for j in range(max(0, i - 6), i) if p.has(j, "chuck 2", True)]
            if closed:
                j = closed[-1]
                yield j, i - j + 1, [p.lines[i], *p.lines[j:i]]


def chuck_step_forgotten(p):
    """One of the steps of a take-over left out: opened, closed, before or after the slide."""
    for i in range(len(p.lines)):
        for kind in ("chuck 1", "chuck 2"):
            for on in (True, False):
                if p.has(i, kind, on) and i > 10:
                    yield p.lost(i, kind, on)


def slide_of(p):
    """The letter that the second spindle's slide goes by, from its moves between the chucks' codes."""
    counts = {l: sum(1 for i in range(len(p.lines)) if p.value(i, l) is not None and not p.g(i, "76", "71", "72", "73", "2", "3")) for l in "BAEW"}
    takes = [i for i in range(len(p.lines)) if p.has(i, "chuck 2", True)]
    for l in "BAEW":
        if counts[l] and any(p.value(j, l) is not None for i in takes for j in range(max(0, i - 4), i)):
            return l
    return None


def blade_width(p, s):
    for i in range(max(0, s[0] - 2), s[-1] + 1):
        found = re.search(r"(?i)(?:BLADE|WIDE|BREIT|LARGE|LARGA|LARGH|MM|TOOL|PART-?OFF)?\s*(\d?\.?\d+)\.?\s*(?:MM)?\s*(?:WIDE|BLADE|MM|,)", " ".join(NOTE.findall(p.lines[i])))
        if found and 0 < float(found[1]) < 6:
            return float(found[1])
    return None


def is_part_off(p, s):
    text = " ".join(" ".join(NOTE.findall(p.lines[i])) for i in range(max(0, s[0] - 1), min(s[0] + 4, s[-1] + 1)))
    return re.search(r"(?i)PART(ING)?[- ]?OFF|CUT[- ]?OFF|ABSTECH|TRONC|TRONZ", text) is not None


def part_off_by_bare_length(p):
    """The blade's width left out at part-off: the part too short or too long by it."""
    for s in p.sequences:
        if not is_part_off(p, s):
            continue
        width = blade_width(p, s)
        places = [i for i in s if p.value(i, "Z") is not None and abs(p.value(i, "Z")) > 5 * (width or 1) and not p.g(i, "28", "53")]
        if width and places:
            z = p.value(places[-1], "Z")
            same = [i for i in s if p.value(i, "Z") == z]
            for by in (width, -width):
                yield p.span({i: [p.with_number(i, "Z", z + by)] for i in same})


def pull_by_bare_length(p):
    """The pull without the blade's width or the facing: short by it; or the slide's place before it left."""
    slide = slide_of(p)
    for i in range(len(p.lines)):
        if slide and p.has(i, "chuck 1", False):
            pull = next((j for j in range(i + 1, min(i + 6, len(p.lines))) if p.value(j, slide)), None)
            if pull and abs(p.value(pull, slide)) > 1:
                sign = 1 if p.value(pull, slide) > 0 else -1
                for by in (3, -3) if abs(p.value(pull, slide)) > 12 else (.125, -.125):
                    yield pull, 1, [p.with_number(pull, slide, p.value(pull, slide) + sign * by)]
                yield pull, 1, []


def slide_not_sent_home(p):
    slide = slide_of(p)
    taken = False
    for i in range(len(p.lines)):
        taken = taken or p.has(i, "chuck 2", True)
        if slide and taken and p.value(i, slide) is not None and len([w for w in p.words[i] if w[2] not in "NGF"]) == 1 and p.g(i, "0", "28", "53"):
            yield i, 1, []


def parted_before_taken(p):
    """The part-off written in front of the take-over."""
    for s in p.sequences:
        closed = [i for i in s if p.has(i, "chuck 2", True)]
        cut = [i for i in s if closed and i > closed[-1] and p.g(i, "1") and p.value(i, "X") is not None]
        if closed and cut:
            left = p.without_role(closed[-1], "chuck 2", True)
            end = next((i for i in range(cut[-1] + 1, s[-1] + 1) if p.g(i, "0")), None)
            if end:
                yield p.span({closed[-1]: [left] if left else [], end: [p.lines[end], p.lines[closed[-1]]]})


def back_sequences(p):
    datum, back = None, []
    for s in p.sequences:
        for i in range(s[0], s[-1] + 1):
            for code in ("54", "55", "56", "57"):
                if p.g(i, code):
                    datum = code
            if any(k == "second spindle" and on for k, on in p.kind(i)):
                back.append((s, datum))
                break
    return back


def second_datum(p):
    """The second side's datum not called, or the first one's in its place; the first one's not called again."""
    seen = False
    for i in range(len(p.lines)):
        for b, e, l, t in p.words[i]:
            if l == "G" and t in ("55", "56", "57"):
                yield i, 1, [put(p.lines[i], b, e, "G54")]
                left = p.without(i, lambda l, t: l == "G" and t in ("55", "56", "57"))
                yield i, 1, [left] if left else []
                seen = True
            elif l == "G" and t == "54" and seen and any(p.words[j] and p.value(j, "T") for j in range(i, len(p.lines))):
                left = p.without(i, lambda l, t: l == "G" and t == "54")
                yield i, 1, [left] if left else []


def second_side_written_as_first(p):
    """Z of one tool at the second side with the signs of the first side."""
    for s, _ in back_sequences(p):
        changes = {i: [p.with_number(i, "Z", -p.value(i, "Z"))] for i in s if p.value(i, "Z") and not p.g(i, "28", "53")}
        if changes:
            yield p.span(changes)


def second_spindle_not_started(p):
    """The second spindle not started for a tool of its own, or the first one by habit."""
    for i in range(len(p.lines)):
        for b, e, l, t in p.words[i]:
            if l == "M" and t.isdigit() and p.roles.get(str(int(t)), ("", 0)) == ("second spindle", True):
                yield i, 1, [put(p.lines[i], b, e, "M03")]
                yield p.lost(i, "second spindle", True)


def spindle_still_stands(p):
    """The turning tool behind live work, the spindle not started again; or only its speed given."""
    stopped = False
    for i in range(len(p.lines)):
        if p.m(i, "5") or p.has(i, "c", True):
            stopped = True
        if stopped and p.m(i, "3", "4"):
            left = p.without(i, lambda l, t: l == "M" and t.lstrip("0") in ("3", "4"))
            yield i, 1, [left] if left else []
            yield i, 1, []
            stopped = False


def spindle_not_stopped(p):
    """The spindle turns on where C is put in or a chuck opened."""
    for i in range(len(p.lines)):
        if p.m(i, "5") and any(p.has(j, "c", True) or p.has(j, "chuck", False) for j in range(i, min(i + 8, len(p.lines)))):
            left = p.without(i, lambda l, t: l == "M" and t.lstrip("0") == "5")
            yield i, 1, [left] if left else []


def step_forgotten(p):
    """The spindles not brought in step before the take-over, or not let go behind it."""
    for i in range(len(p.lines)):
        for on in (True, False):
            if p.has(i, "step", on) and (on or any(p.has(j, "step", True) for j in range(i))):
                yield p.lost(i, "step", on)


def mirror_forgotten(p):
    for i in range(len(p.lines)):
        for on in (True, False):
            if p.has(i, "mirror", on) and (on or any(p.has(j, "mirror", True) for j in range(i))):
                yield p.lost(i, "mirror", on)


def waits_of(p):
    """Lines that hold a wait alone: by number of M of three digits that the notes call so, or with P of paths."""
    told = " ".join(NOTE.findall("\n".join(p.lines)))
    spans = [(int(a), int(b)) for a, b in re.findall(r"M(\d{3})\s*(?:TO|-)\s*M(\d{3})", told)]
    named = {int(n) for n in re.findall(r"M(\d{3})", " ".join(re.findall(r"\([^)]*WAIT[^)]*\)", told)))}
    for i in range(len(p.lines)):
        for _, _, l, t in p.words[i]:
            if l == "M" and len(t) == 3 and str(int(t)) not in p.roles and (int(t) in named or any(a <= int(t) <= b for a, b in spans)):
                yield i


def waits(p):
    """A wait left out, two turned round, one too early (before the way off) or too late (behind the next tool's way in)."""
    own = list(waits_of(p))
    for i in own:
        yield i, 1, []
        if i > 3 and all(p.words[j] for j in range(i - 3, i)) and not any(j in own for j in range(i - 3, i)):
            yield i - 3, 4, [p.lines[i], *p.lines[i - 3:i]]
        if i + 3 < len(p.lines) and all(p.words[j] for j in range(i + 1, i + 4)) and not any(j in own for j in range(i + 1, i + 4)):
            yield i, 4, [*p.lines[i + 1:i + 4], p.lines[i]]
    for i, j in zip(own, own[1:]):
        one, two = (re.search(r"M\d{3}", p.bare[k])[0] for k in (i, j))
        yield p.span({i: [p.lines[i].replace(one, two, 1)], j: [p.lines[j].replace(two, one, 1)]})


def bar_not_fed(p):
    """The bar's sequence leaves the chuck shut, or open behind the feed; or the stop's way out comes before it is shut."""
    for i in range(len(p.lines) - 1):
        opened = p.has(i, "chuck 1", False)
        if opened and not any(p.has(j, "chuck 2", True) for j in range(max(0, i - 6), i)):
            shut = next((j for j in range(i + 1, min(i + 8, len(p.lines))) if p.has(j, "chuck 1", True)), None)
            if shut and shut + 3 < len(p.lines):
                off = next((j for j in range(shut + 1, min(shut + 5, len(p.lines))) if p.g(j, "0") and p.value(j, "Z") is not None), None)
                if off:
                    yield shut, off - shut + 1, [p.lines[off], *p.lines[shut:off]]


def home_with_cutter_in_part(p):
    """The way off the part forgotten, or behind the way along: a radial tool goes home through the part."""
    for s in p.sequences:
        if not p.is_live(s):
            continue
        off = [i for i in s if p.g(i, "0") and p.value(i, "X") is not None and p.value(i, "Z") is None and not p.g(i, "28", "53")]
        if off and any(p.g(i, "1", "87", "88", "41", "42") for i in s):
            i = off[-1]
            left = p.without(i, lambda l, t: l in "GX")
            yield i, 1, [left] if left else []
            along = next((j for j in range(i + 1, min(i + 6, s[-1] + 1)) if p.value(j, "Z") is not None and p.value(j, "X") is None), None)
            if along:
                yield i, along - i + 1, [p.lines[along], *p.lines[i:along]]


def hole_tools_out_of_order(p):
    """Two tools of one pattern turned round: the tap before its drill, the drill before the spot."""
    for one, two in zip(p.sequences, p.sequences[1:]):
        a, b = angles(p, one), angles(p, two)
        if a and list(a.values()) == list(b.values()) and all(any(CYCLE.search(p.bare[i]) for i in s) for s in (one, two)):
            first, second = p.lines[one[0]:one[-1] + 1], p.lines[two[0]:two[-1] + 1]
            yield one[0], len(first) + len(second), second + first


def tool_of_pattern_forgotten(p):
    """A whole tool of a pattern left out: drilled and not tapped, tapped and not drilled."""
    for k, s in enumerate(p.sequences):
        own = angles(p, s)
        if own and any(list(angles(p, o).values()) == list(own.values()) for o in p.sequences[max(0, k - 1):k + 2] if o != s) and k + 1 < len(p.sequences):
            if not any(p.has(i, "c") or p.has(i, "chuck") or p.g(i, "98", "99", "94", "95") for i in s):
                yield s[0], len(s), []


def y_left_off_centre(p):
    """Y not taken back to the centre before the next work or the way home; or its sign at one of two places."""
    for i in range(len(p.lines)):
        if p.value(i, "Y") == 0:
            left = p.without(i, lambda l, t: l == "Y")
            yield i, 1, [left if left and re.search(r"[XZCG]-?[\d.]", left[1:] if left else "") else left] if left else []
    for s in p.sequences:
        own = [i for i in s if p.value(i, "Y")]
        pairs = [(i, j) for i, j in zip(own, own[1:]) if p.value(i, "Y") == -p.value(j, "Y")]
        for i, j in pairs:
            yield j, 1, [p.with_number(j, "Y", p.value(i, "Y"))]


def deeper_than_the_wall(p):
    """An axial hole at a circle or a radial one twice as deep, as a longer tool's block copied."""
    for s in p.sequences:
        for i in s:
            if CYCLE.search(p.bare[i]) and p.value(i, "C") is not None and p.g(i, "83", "84") and p.value(i, "Z"):
                yield i, 1, [p.with_number(i, "Z", p.value(i, "Z") * 2)]


def steps_for_places(p):
    """C for H: a place where the step belongs, or the step where the place does."""
    for s in p.sequences:
        for letter, other in (("H", "C"), ("C", "H")):
            changes = {i: [re.sub(rf"{letter}(?=-?[\d.])", other, p.lines[i], count=1)] for i in s
                       if p.value(i, letter) and not p.g(i, "28") and not any(p.g(j, "12.1", "112", "7.1", "107") for j in s)}
            if changes and (letter == "H" or len(changes) > 1):
                yield p.span(changes)


OPERATORS = {
    "pattern of another tool left": pattern_copied, "last hole or count of a pattern": last_hole_forgotten, "count of steps": count_of_steps,
    "depth of the tool before left": depth_of_the_tool_before, "circle of a pattern": circle_of_other_pattern,
    "radial depth by radius": radial_radius_for_diameter,
    "depth once off the diameter": depth_once_off, "angle of the tool before left": angle_of_the_tool_before, "cut not turned on": cut_not_turned_on, "C not put in": c_axis_not_put_in,
    "C not let go": c_axis_not_let_go, "brake forgotten": brake_forgotten, "brake not opened": brake_not_opened,
    "brake before the turn": brake_before_turn, "live tool by the main word": live_tool_by_main_word,
    "live tool not started": live_tool_not_started, "live tool left on": live_tool_left_on, "live speed left": live_speed_not_changed,
    "tap's speed or feed alone": tap_speed_alone_changed, "plane not taken back": plane_not_taken_back,
    "interpolation not ended": interpolation_not_ended, "polar before the approach": polar_before_approach,
    "polar by radius or C by diameter": polar_in_radius, "side of the whole contour": side_of_whole_contour,
    "feed mode not taken back": feed_mode_not_taken_back, "first chuck too early": first_chuck_opened_too_early,
    "step of a take-over forgotten": chuck_step_forgotten, "part-off without the blade": part_off_by_bare_length,
    "pull by the bare length": pull_by_bare_length, "slide not sent home": slide_not_sent_home, "parted before taken": parted_before_taken,
    "second datum": second_datum, "second side written as the first": second_side_written_as_first,
    "second spindle not started": second_spindle_not_started, "spindle still stands": spindle_still_stands,
    "spindle not stopped": spindle_not_stopped, "spindles in step": step_forgotten, "mirror": mirror_forgotten, "waits": waits,
    "bar not fed": bar_not_fed, "home through the part": home_with_cutter_in_part, "hole tools out of order": hole_tools_out_of_order,
    "tool of a pattern forgotten": tool_of_pattern_forgotten, "Y left off the centre": y_left_off_centre,
    "axial hole twice as deep": deeper_than_the_wall, "C for H": steps_for_places,
}


def axes_thoughts(lines):
    """(operator, first line, how many lines, new lines) of every thought that fits somewhere in a program."""
    program = Program(lines)
    for name, operator in OPERATORS.items():
        for first, count, new in operator(program):
            if new != lines[first:first + count]:
                yield f"thought: axes {name}", first, count, new
