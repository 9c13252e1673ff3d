"""A part program read as far as a mistake of thought needs it: sequences, moves, cycles and what each tool is for.

No control: plain words alone are followed, and what is not understood is left out. Kinds of tools are told by what they do.
"""
import collections
import dataclasses
import re

from operators import words

CYCLES = {"A": {90: "turn", 94: "face", 92: "thread", 70: "finish", 71: "rough", 72: "rough", 73: "rough", 74: "peck", 75: "groove",
                76: "threads", 83: "drill", 84: "tap", 32: "lead"},
          "B": {77: "turn", 79: "face", 78: "thread", 70: "finish", 71: "rough", 72: "rough", 73: "rough", 74: "peck", 75: "groove",
                76: "threads", 83: "drill", 84: "tap", 33: "lead"},
          "C": {20: "turn", 24: "face", 21: "thread", 72: "finish", 73: "rough", 74: "rough", 75: "rough", 76: "peck", 77: "groove",
                78: "threads", 83: "drill", 84: "tap", 33: "lead"}}
STAYS = {"turn", "face", "thread", "lead", "drill", "tap"}
WORD = re.compile(r"([A-Z])\s*([-+]?(?:\d+\.?\d*|\.\d+))", re.I)


def code_of(line):
    return re.sub(r"\(.*?(\)|$)|;.*", lambda m: " " * len(m.group(0)), line)


@dataclasses.dataclass
class Block:
    """One line: its codes, its values by letter, and the way it goes where that is plain."""
    i: int
    g: list
    v: dict
    kind: str = ""  # rapid, feed, arc, or a cycle's name (first and second line alike)
    first: bool = False  # it states its own cycle
    x0: float = None
    z0: float = None
    x: float = None
    z: float = None
    contour: bool = False


@dataclasses.dataclass
class Sequence:
    begin: int
    end: int
    tool: int
    blocks: list
    kind: str = ""
    inside: bool = False


class Program:
    def __init__(self, lines, system):
        self.lines = lines
        self.system = system
        self.plain = not any("#" in l or re.search(r"(?i)\bG91\b|\bM9[89]\b|\bU-?\d.*\bG0?1\b", code_of(l)) for l in lines)
        text = " ".join(code_of(l) for l in lines)
        self.inch = bool(re.search(r"(?i)\bG70\b" if system == "C" else r"(?i)\bG20\b", text))
        whole = [abs(int(t)) for t in re.findall(r"(?i)[XZ]\s*(-?\d+)(?![\d.])", text)]
        self.scale = (10000 if self.inch else 1000) if sum(n >= 1000 for n in whole) * 2 > len(whole) > 4 else 1
        self.unit = 0.04 if self.inch else 1.0  # About a millimetre
        self.bare_zero = bool(re.search(r"[XZ]-?\.\d", text))
        self.blocks = self.follow()
        self.sequences = self.part()
        self.name()

    def number(self, letter, text):
        value = float(text)
        return value / self.scale if letter in "XZUWRIK" and "." not in text else value

    def follow(self):
        names = CYCLES[self.system]
        ranges = []
        blocks = []
        mode, x, z = "", None, None
        labels = {}
        for i, line in enumerate(self.lines):
            m = re.match(r"\s*/?\s*N0*(\d+)", line, re.I)
            if m:
                labels.setdefault(int(m.group(1)), i)
        for i, line in enumerate(self.lines):
            code = code_of(line)
            if "#" in code or line.lstrip().startswith(("%", ":")):
                continue
            g, v = [], {}
            for m in WORD.finditer(code):
                letter = m.group(1).upper()
                if letter == "G":
                    g.append(float(m.group(2)))
                else:
                    v[letter] = self.number(letter, m.group(2))
            if not g and not v:
                continue
            b = Block(i, g, v, x0=x, z0=z)
            own = ""
            for n in g:
                if n in (0, 1, 2, 3):
                    own = ("rapid", "feed", "arc", "arc")[int(n)]
                elif n in names:
                    own = names[n]
            b.first = own not in ("", "rapid", "feed", "arc")
            if own:
                mode = own if own in ("rapid", "feed", "arc") or own in STAYS else ""
            if 80 in g:
                mode = "rapid"
            what = own or mode
            moves = any(k in v for k in "XZUW")
            if any(n in (4, 10, 28, 30, 50, 53, 92) and not (n == 92 and self.system == "A" and moves) for n in g):
                if 28 in g or 30 in g or 53 in g:
                    x = x if not any(k in v for k in "XU") else None
                    z = z if not any(k in v for k in "ZW") else None
                b.kind = ""
            elif moves and what:
                b.kind = what
                nx = v["X"] if "X" in v else (x + v["U"] if "U" in v and x is not None else x)
                nz = v["Z"] if "Z" in v else (z + v["W"] if "W" in v and z is not None else z)
                if what in ("rough", "finish"):
                    pass
                else:
                    b.x, b.z = nx, nz
                if what in ("rapid", "feed", "arc", "lead"):
                    x, z = nx, nz
            elif what in ("rough", "finish", "peck", "groove", "threads"):
                b.kind = what
            if b.kind in ("rough", "finish") and "P" in v and "Q" in v:
                p, q = labels.get(int(v["P"])), labels.get(int(v["Q"]))
                if p is not None and q is not None and i < p <= q:
                    ranges.append((p, q, x, z))
            blocks.append(b)
            for p, q, kept_x, kept_z in ranges:
                if p <= i <= q:
                    b.contour = True
                    if i == q:
                        x, z = kept_x, kept_z
        return blocks

    def part(self):
        result = []
        for b in self.blocks:
            t = b.v.get("T")
            if t is not None:
                m = re.search(r"(?i)T\s*(\d+)", code_of(self.lines[b.i]))
                text = m.group(1) if m else "0"
                offset = int(text[2:]) if len(text) == 4 else int(text) % 10
                tool = int(text[:2]) if len(text) == 4 else int(text) // 10 if len(text) == 3 else int(text)
                if offset and (not result or result[-1].tool != tool):
                    if result:
                        result[-1].end = b.i
                    result.append(Sequence(b.i, len(self.lines), tool, []))
            if result:
                result[-1].blocks.append(b)
        return result

    def note(self, s):
        above = self.lines[max(0, s.begin - 2):s.begin + 3]
        own = [m for l in self.lines[:self.sequences[0].begin]
               for m in re.findall(rf"(?i)\bT0*{s.tool}(?:0*{s.tool})?\b(?:(?!\bT\d)[^)])*", l)]
        return " ".join([*re.findall(r"\((.*?)\)", " ".join(above)), *own]).upper()

    def name(self):
        for s in self.sequences:
            kinds = {b.kind for b in s.blocks}
            cuts = [b for b in s.blocks if b.kind in ("feed", "arc") and b.x is not None and b.z is not None]
            xs = [b.x for b in s.blocks if b.x is not None and b.kind]
            note = self.note(s)
            axis = bool(cuts) and all(abs(b.x) < 1e-6 for b in cuts)
            plunges = self.plunges(s)
            along = [b for b in cuts if b.z0 is not None and "Z" in b.v and b.z < b.z0 - 3 * self.unit]
            if "tap" in kinds or "lead" in kinds and xs and max(abs(x) for x in xs if x is not None) >= 0 and axis:
                s.kind = "tap"
            elif kinds & {"thread", "threads", "lead"}:
                s.kind = "thread"
            elif axis and cuts or kinds & {"peck", "drill"} and all(abs(b.v.get("X", 0)) < 1e-6 for b in s.blocks if b.kind in ("peck", "drill")):
                s.kind = "tap" if re.search(r"\bTAP|MACHO|TARAUD|GEWINDEBOHR|MASCHIO", note) else "drill"
            elif kinds & {"rough", "turn"}:
                s.kind = "rough"
            elif plunges and not along or "groove" in kinds:
                low = min(b.x for b in plunges) if plunges else 1e9
                s.kind = "part" if low <= self.unit * 2 or re.search(r"CUT ?OFF|PART(ING)?[ -]?OFF|PARTING|ABSTECH|TRONZ|TRON[CÇ]|SEPAR|TAGLIO|TRONCA", note) else "groove"
            elif "finish" in kinds or along:
                s.kind = "finish"
            elif "face" in kinds or cuts:
                s.kind = "face"
            start = next((b.x for b in s.blocks if b.kind == "rapid" and "X" in b.v), None)
            most = max((b.x for b in s.blocks if b.x is not None and b.kind in ("feed", "arc", "turn", "thread", "threads") and (b.z or 0) < 0), default=None)
            s.inside = start is not None and most is not None and start < most - 1e-6 and s.kind not in ("drill", "tap", "part", "face")
            if s.inside and s.kind in ("rough", "finish"):
                deep = [b for b in s.blocks if b.x is not None and "X" in b.v and b.z is not None and b.z < 0]
                s.inside = bool(deep) and deep[-1].x < most - 1e-6

    def plunges(self, s):
        """Feeds in X alone toward the centre from outside, at one Z below the face."""
        result = []
        for b in s.blocks:
            if b.kind == "feed" and "X" in b.v and "Z" not in b.v and "W" not in b.v and b.x0 is not None and b.z is not None and b.z < 0 and not b.contour:
                if b.x < b.x0 - self.unit:
                    result.append(b)
        return result

    def width(self, s):
        """Width of a blade as its notes give it."""
        note = self.note(s)
        for m in re.finditer(r"(?<![\d.])(\d*[.,]?\d+)\s*(MM|WIDE|BREIT|ANCHO|LARGE|LARG|W\b|IN\b|INCH|\"|LEFT|RIGHT|LINKE|RECHTE|ESQ|COIN|SPIG)"
                             r"|(?:WIDE|BREIT\w*|ANCHO|LARGEUR|W|WIDTH|B)\s*=?\s*(\d*[.,]?\d+)", note):
            w = float((m.group(1) or m.group(3)).replace(",", "."))
            if 1.0 * self.unit <= w <= 8.5 * self.unit:
                return w
        return None

    def written(self, value, like):
        """A number as this program writes them."""
        if "." not in like:
            return str(round(value * self.scale)) if self.scale > 1 or abs(value - round(value)) < 1e-9 else f"{value:.3f}".rstrip("0")
        decimals = max(len(like.split(".")[1]), 1)
        decimals = next((n for n in range(decimals, 6) if abs(round(value, n) - value) < 1e-6), max(decimals, 4))
        text = f"{value:.{decimals}f}".rstrip("0")
        if like.lstrip("+-").startswith(".") or self.bare_zero:
            text = re.sub(r"^(-?)0\.(?=\d)", r"\1.", text)
        return text

    def put(self, i, **values):
        """Line i with other values, or None where a letter is not there; a value of None takes the word out."""
        line = self.lines[i]
        for letter, value in values.items():
            code = code_of(line)
            m = next((m for m in WORD.finditer(code) if m.group(1).upper() == letter), None)
            if m is None:
                return None
            if value is None:
                line = (line[:m.start()] + line[m.end():]).replace("  ", " ").strip() or ";"
            else:
                line = line[:m.start(2)] + self.written(value, m.group(2)) + line[m.end(2):]
        return line

    def change(self, edits):
        """(first line, how many, new lines) of {line: new text}; an empty text takes the line out."""
        edits = {i: t for i, t in edits.items() if t is not None and t != self.lines[i]}
        if not edits:
            return None
        first, last = min(edits), max(edits)
        new = [edits.get(i, self.lines[i]) for i in range(first, last + 1)]
        return first, last - first + 1, [l for i, l in zip(range(first, last + 1), new) if not (i in edits and edits[i] == "")]


def grouped(values):
    return collections.Counter(round(v, 4) for v in values)
