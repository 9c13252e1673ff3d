"""Mistakes of thought in a part program: states, numbers of the trade, the order of codes, subprograms and loops.

Other than a slip, which is a wrong digit or a lost word, each of these is a thing thought of wrongly: copied from the
tool before and not changed, of another unit, measured once instead of twice, taken back too late or not at all. An
operator is a function of a whole program that gives (operator, first line, how many lines, new lines); it uses what
the program says of itself: its sequences (from one tool call to the next), what each tool does, its notes.
Where people make one mistake in different ways, an operator makes it in at least two. Kinds of mistakes: common
practice, no source.
"""
import dataclasses
import re

from operators import put, words

LEADS_MM = (0.5, 0.75, 0.8, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0)
PER_INCH = (32, 28, 24, 20, 18, 16, 14, 13, 12, 11.5, 11, 10, 9, 8, 7, 6, 5, 4.5, 4)
THREADS = {"A": {76, 92, 32, 34}, "B": {76, 78, 33, 34}, "C": {78, 21, 33, 34}}


def number(text):
    return float(text)


def written(value, like=""):
    """A number as the program writes them: with a point, without a leading zero where `like` has none."""
    text = f"{value:.5f}".rstrip("0")
    if like.startswith((".", "-.")):
        text = text.replace("0.", ".", 1)
    return text


@dataclasses.dataclass
class Word:
    line: int
    begin: int
    end: int
    letter: str
    text: str

    @property
    def value(self):
        return float(self.text)

    @property
    def whole(self):
        return self.text.lstrip("+-").isdigit()


@dataclasses.dataclass
class Sequence:
    first: int
    last: int
    call: Word
    kind: str = "turn"
    lead: float = 0.0


class Program:
    """A program by lines, words and sequences."""

    def __init__(self, lines, system):
        self.lines, self.system = lines, system if system in THREADS else "A"
        self.words = [[Word(i, *found) for found in words(line)] for i, line in enumerate(lines)]
        for row in self.words:  # "X45." gives its point to the number
            for word in row:
                if lines[word.line][word.end:word.end + 1] == ".":
                    word.end += 1
        notes = " ".join(re.findall(r"\([^)]*\)?", "\n".join(lines))).upper()
        self.notes = notes
        codes = {g for i in range(len(lines)) for g in self.codes(i)}
        inch_code, metric_code = (70, 71) if self.system == "C" else (20, 21)
        self.inch = inch_code in codes and metric_code not in codes
        self.metric = metric_code in codes and not self.inch
        self.sequences = self._sequences()

    def codes(self, i):
        return [w.value for w in self.words[i] if w.letter == "G"]

    def has(self, i, letter, value=None):
        return any(w.letter == letter and (value is None or w.value == value) for w in self.words[i])

    def word(self, i, letter):
        return next((w for w in self.words[i] if w.letter == letter), None)

    def end(self):
        """The line behind the main program's last."""
        for i in range(len(self.lines)):
            if any(w.letter == "M" and w.value in (2, 30, 99) for w in self.words[i]):
                return i
        return len(self.lines)

    def _sequences(self):
        calls, end = [], self.end()
        for i in range(end):
            call = self.word(i, "T")
            if call and call.whole and len(call.text) == 4:
                calls.append(call)
        result = []
        for call in calls:
            if result and result[-1].call.text[:2] == call.text[:2]:
                continue  # The offset with the approach, or taken off at the end
            result.append(Sequence(call.line, end - 1, call))
            if len(result) > 1:
                result[-2].last = call.line - 1
        for sequence in result:
            self._kind(sequence)
        return result

    def _kind(self, s):
        threads, at_axis, drilled, plunges, bore = THREADS[self.system], False, False, 0, False
        x = None
        for i in self.span(s):
            codes = self.codes(i)
            xw, f = self.word(i, "X"), self.word(i, "F")
            if xw:
                x = xw.value
            if any(g in threads for g in codes) and f and (self.has(i, "Z") or self.has(i, "X")):
                s.kind, s.lead = "thread", f.value
                if x == 0:
                    s.kind = "tap"
                return
            if 84 in codes and f:
                s.kind, s.lead = "tap", f.value
                return
            if x == 0 and ((1 in codes and self.has(i, "Z") and not xw) or any(g in codes for g in (74, 83, 81, 82))):
                drilled = True
            if 1 in codes and xw and not self.has(i, "Z"):
                plunges += 1
        head = " ".join(self.lines[max(0, s.first - 2):s.first + 1]).upper()
        if drilled:
            s.kind = "drill"
        elif plunges and (re.search(r"GROOV|CUT.?OFF|PART.?OFF|GOLA|EINSTICH|ABST|TRON|RANUR|GORGE|RELIEF|UNDERCUT|PARTING", head) or
                          any(75 in self.codes(i) for i in self.span(s))):
            s.kind = "groove"
        elif any(70 in self.codes(i) for i in self.span(s)) and self.system != "C" or re.search(r"FINI|SCHLICHT|ACAB", head):
            s.kind = "finish"

    def span(self, s):
        return range(s.first, s.last + 1)

    def change(self, word, text):
        """The line of a word with another number (or other word, where it begins with a letter)."""
        line = self.lines[word.line]
        if not text:
            return (line[:word.begin].rstrip() + " " + line[word.end:].lstrip()).strip() or ";"
        return put(line, word.begin, word.end, text if text[0].isalpha() else line[word.begin] + text)

    def lose(self, i):
        return i, 1, []

    def speed(self, s):
        """The line with G96 or G97 and S of a sequence, its S word and its mode."""
        for i in self.span(s):
            codes, speed = self.codes(i), self.word(i, "S")
            if speed and speed.whole and not (50 in codes or 92 in codes):
                for mode in (96, 97):
                    if mode in codes:
                        return i, speed, mode
        return None

    def feeds(self, s):
        return [w for i in self.span(s) for w in self.words[i] if w.letter == "F" and w.value]


def trimmed(line):
    return line.strip() or ";"


def label_of(line):
    m = re.match(r"\s*[Nn]\d+\s*", line)
    return m.group(0) if m else ""


def body(line):
    return line[len(label_of(line)):]


def g_text(p, i, value):
    return next(w for w in p.words[i] if w.letter == "G" and w.value == value)


# Speed ------------------------------------------------------------------------------------------------------------

def speed_thoughts(p):
    for before, s in zip(p.sequences, p.sequences[1:]):
        mine, theirs = p.speed(s), p.speed(before)
        if not mine or not theirs:
            continue
        (i, own, mode), (j, other, other_mode) = mine, theirs
        # Drills, taps and threads under the surface speed of the turning tool: the block copied, or only not written.
        if mode == 97 and other_mode == 96 and s.kind in ("drill", "tap", "thread"):
            yield f"surface speed copied to a {s.kind}", i, 1, [label_of(p.lines[i]) + body(p.lines[j])]
            only = [w for w in p.words[i] if w.letter not in "SMN" and not (w.letter == "G" and w.value == 97)]
            if not only:
                yield f"speed block forgotten at a {s.kind}", i, 1, []
        # The number alone of the tool before, where it is far too fast for what this one does.
        if mode == 97 and other_mode == 97 and own.value and other.value >= 3 * own.value and s.kind in ("drill", "tap", "thread"):
            yield f"rpm copied to a {s.kind}", i, 1, [p.change(own, other.text)]
        if mode == 96 and other_mode == 97 and other.value >= 2.5 * own.value:
            yield "rpm copied into G96", i, 1, [p.change(own, other.text)]
            yield "rpm block copied to a turning tool", i, 1, [label_of(p.lines[i]) + body(p.lines[j])]
    for s in p.sequences:
        mine = p.speed(s)
        if not mine:
            continue
        i, own, mode = mine
        if mode == 97 and own.value > (350 if not p.inch else 1300):
            yield "rpm written as surface speed", i, 1, [p.change(g_text(p, i, 97), "96")]
        if mode == 96 and own.value < (350 if not p.inch else 900):
            yield "surface speed written as rpm", i, 1, [p.change(g_text(p, i, 96), "97")]
        limit = next((k for k in p.span(s) if (50 in p.codes(k) or 92 in p.codes(k)) and p.word(k, "S") and
                      not p.word(k, "X")), None)
        if limit is not None and mode == 96:
            top = p.word(limit, "S")
            if limit < i:
                between = p.lines[limit + 1:i]
                yield ("limit and speed exchanged", limit, i - limit + 1,
                       [p.change(top, own.text), *between, p.change(own, top.text)])
                # G50 S and G96 with the limit left away, where the tools before have a higher one or none
            earlier = [p.word(k, "S").value for k in range(limit) if (50 in p.codes(k) or 92 in p.codes(k)) and p.word(k, "S")]
            others = sum(1 for o in p.sequences if any(50 in p.codes(k) or 92 in p.codes(k) for k in p.span(o)))
            if others > 1 and (not earlier or earlier[-1] > 1.3 * top.value):
                alone = all(w.letter in "GSN" for w in p.words[limit])
                if alone:
                    yield "limit forgotten at one tool", limit, 1, []


# Feed -------------------------------------------------------------------------------------------------------------

def feed_thoughts(p):
    for before, s in zip(p.sequences, p.sequences[1:]):
        mine, theirs = p.feeds(s), p.feeds(before)
        if not mine or not theirs:
            continue
        last = theirs[-1]
        if s.kind in ("thread", "tap") and before.kind not in ("thread", "tap"):
            for f in mine[:1]:
                yield f"{s.kind} with the feed of the tool before", f.line, 1, [p.change(f, last.text + p.lines[last.line][last.end - 1:last.end].strip("0123456789 "))]
        if s.kind == "groove" and before.kind in ("turn",) and theirs[0].value >= 2.5 * mine[0].value:
            yield "groove with the roughing feed", mine[0].line, 1, [p.change(mine[0], written(theirs[0].value, mine[0].text))]
        if s.kind in ("drill", "turn", "finish", "groove") and before.kind in ("thread", "tap"):
            yield "feed of the thread before", mine[0].line, 1, [p.change(mine[0], written(before.lead, mine[0].text))]
    rough = next((s for s in p.sequences if s.kind == "turn" and p.feeds(s)), None)
    for s in p.sequences:
        feeds = [f for f in p.feeds(s) if f.value < 5]
        if rough and s.kind == "finish" and s is not rough and feeds:
            r = max(p.feeds(rough), key=lambda w: w.value if w.value < 1 else 0)
            if r.value >= 1.8 * feeds[0].value and r.value < 1:
                for f in feeds[:1]:
                    yield "finishing with the roughing feed", f.line, 1, [p.change(f, written(r.value, f.text))]
        per_minute = any(g in (98, 94) for i in range(p.end()) for g in p.codes(i) if not (p.system == "A" and g == 94))
        speed = p.speed(s)
        if feeds and s.kind in ("drill", "groove", "turn", "finish") and not per_minute:
            f = feeds[0]
            rpm = speed[1].value if speed and speed[2] == 97 else 800
            yield "feed by the minute", f.line, 1, [p.change(f, str(max(20, round(f.value * rpm, -1)))[:5].split(".")[0] + ".")]
            if p.metric and 0.05 <= f.value <= 0.6:
                yield "feed of the other unit", f.line, 1, [p.change(f, written(f.value / 25.4, ".").rstrip() if f.value > 0.1 else written(round(f.value / 25.4, 4), "."))]
            if p.inch and f.value <= 0.025:
                yield "feed of the other unit", f.line, 1, [p.change(f, written(round(f.value * 25.4, 2), "."))]


# Threads ----------------------------------------------------------------------------------------------------------

def thread_thoughts(p):
    for s in p.sequences:
        if s.kind not in ("thread", "tap"):
            continue
        cuts = [i for i in p.span(s) for f in [p.word(i, "F")] if f and abs(f.value - s.lead) < 1e-9]
        if not cuts:
            continue
        i = cuts[0]
        f = p.word(i, "F")
        every = [k for k in cuts]
        if p.inch:
            per = 1 / s.lead if s.lead else 0
            near = min(PER_INCH, key=lambda n: abs(n - per))
            if abs(near - per) < 0.05:
                at = PER_INCH.index(near)
                other = PER_INCH[at - 1] if at % 2 and at else PER_INCH[min(at + 1, len(PER_INCH) - 1)]
                for name, value in ((f"{s.kind}: lead of another thread", written(round(1 / other, 5), f.text)),
                                    (f"{s.kind}: threads per inch as lead", f"{near:g}." if near % 1 == 0 else f"{near:g}"),
                                    (f"{s.kind}: threads per inch behind a point", f".{int(near):02d}" if near >= 10 else f".0{int(near)}"),
                                    (f"{s.kind}: lead in mm", written(round(25.4 / near, 4), f.text))):
                    yield name, i, every[-1] - i + 1, replaced_feed(p, i, every[-1], s.lead, value)
        elif p.metric and s.lead in LEADS_MM:
            at = LEADS_MM.index(s.lead)
            other = LEADS_MM[at - 1] if at % 2 and at else LEADS_MM[min(at + 1, len(LEADS_MM) - 1)]
            for name, value in ((f"{s.kind}: lead of another thread", written(other, f.text)),
                                (f"{s.kind}: lead in inches", written(round(s.lead / 25.4, 4), "."))):
                yield name, i, every[-1] - i + 1, replaced_feed(p, i, every[-1], s.lead, value)
        starts = re.search(r"\b(2|TWO|ZWEI|DUE|DOS|DEUX)[ -]?(START|G.NGIG|PRINCIPI|ENTRADAS|FILETS)", p.notes)
        if starts:
            yield "lead as the pitch of several starts", i, every[-1] - i + 1, replaced_feed(p, i, every[-1], s.lead, written(s.lead / 2, f.text))
            if len(every) > 1:
                yield "lead as the pitch of several starts", every[-1], 1, replaced_feed(p, every[-1], every[-1], s.lead, written(s.lead / 2, f.text))
        if len(every) > 2:
            yield "one pass with another lead", every[1], 1, replaced_feed(p, every[1], every[1], s.lead, written(s.lead * 1.25, f.text))
        x, height, first = p.word(i, "X"), p.word(i, "P") or p.word(i, "K"), p.word(i, "Q") or p.word(i, "D")
        if s.kind == "thread" and x and height and height.value and first:
            scale = (10000 if p.inch else 1000) if height.whole else 1
            depth = height.value / scale
            if 0.4 < depth / s.lead < 0.9:
                doubled = str(int(height.value * 2)) if height.whole else written(height.value * 2, height.text)
                yield "thread height by diameter", i, 1, [p.change(height, doubled)]
                outside = any(p.word(k, "X") and p.word(k, "X").value > x.value for k in range(max(s.first, i - 6), i))
                sign = 1 if outside else -1
                yield "thread depth taken off once", i, 1, [p.change(x, written(x.value + sign * depth, x.text))]
                yield "thread ends at its other diameter", i, 1, [p.change(x, written(x.value + sign * 2 * depth, x.text))]
                yield "thread height of another lead", i, 1, [p.change(height, str(int(height.value * 1.5)) if height.whole else written(height.value * 1.5, height.text))]
            if height.whole and first.whole and first.value < height.value:
                yield "first depth and height exchanged", i, 1, [put(put(p.lines[i], first.begin, first.end, p.lines[i][first.begin] + height.text), height.begin, height.end, p.lines[i][height.begin] + first.text) if height.end <= first.begin else put(put(p.lines[i], height.begin, height.end, p.lines[i][height.begin] + first.text), first.begin, first.end, p.lines[i][first.begin] + height.text)]


def replaced_feed(p, first, last, lead, text):
    out = []
    for k in range(first, last + 1):
        f = p.word(k, "F")
        out.append(p.change(f, text) if f and abs(f.value - lead) < 1e-9 else p.lines[k])
    return out


# Tool calls, datum, modes ------------------------------------------------------------------------------------------

def state_thoughts(p):
    for before, s in zip(p.sequences, p.sequences[1:]):
        call = s.call
        calls = [w for i in p.span(s) for w in p.words[i] if w.letter == "T" and w.text[:2] == call.text[:2]]
        mine = [w for w in calls if w.text[2:] != "00"]
        if mine and before.call.text[:2] != call.text[:2]:
            first, last = mine[0], mine[-1]
            station = before.call.text[:2]
            span = p.lines[calls[0].line:calls[-1].line + 1]
            def all_with(change):
                out = list(span)
                for w in calls:
                    out[w.line - calls[0].line] = p.change(w, change(w.text))
                return out
            yield "tool of the sequence before", calls[0].line, len(span), all_with(lambda t: station + (station if t[2:] != "00" else "00"))
            yield "station of the sequence before", calls[0].line, len(span), all_with(lambda t: station + t[2:])
            yield "offset of the sequence before", first.line, 1, [p.change(first, first.text[:2] + station)]
            if len(calls) == 1 and all(w.letter in "TN" for w in p.words[first.line]):
                yield "tool call forgotten", first.line, 1, []
            elif len(calls) > 1 and first is not calls[0]:
                yield "offset not called", first.line, 1, [p.change(first, "")]
    end = p.end()
    on = None
    for i in range(end):
        codes = p.codes(i)
        if 41 in codes or 42 in codes:
            on = i
        if 40 in codes and on is not None:
            w = g_text(p, i, 40)
            yield "compensation not cancelled", i, 1, [p.change(w, "")]
            on = None
    for i in range(end - 1):
        codes = p.codes(i)
        for side in (41, 42):
            if side in codes and p.words[i + 1] and (p.has(i + 1, "X") or p.has(i + 1, "Z")) and not p.has(i + 1, "G", 70) and not any(g in (2, 3) for g in p.codes(i + 1)) and not (p.system == "C" and p.has(i + 1, "G", 72)):
                w = g_text(p, i, side)
                nxt = p.lines[i + 1]
                yield "compensation begun in the cut", i, 2, [p.change(w, ""), label_of(nxt) + f"G{side} " + body(nxt)]
        feed_codes = {"A": (98, 99), "B": (94, 95), "C": (94, 95)}[p.system]
        for g in codes:
            if g in feed_codes and any(h in feed_codes and h != g for k in range(i) for h in p.codes(k)):
                w = g_text(p, i, g)
                alone = len([x for x in p.words[i] if x.letter != "N"]) == 1
                yield "feed mode not taken back", i, 1, [] if alone else [p.change(w, "")]
        for g in codes:
            if g in (54, 55, 56) and any(h in (54, 55, 56) and h != g for k in range(i) for h in p.codes(k)):
                w = g_text(p, i, g)
                alone = len([x for x in p.words[i] if x.letter != "N"]) == 1
                yield "datum of the side before", i, 1, [] if alone else [p.change(w, "")]
                other = next(h for k in range(i) for h in p.codes(k) if h in (54, 55, 56) and h != g)
                yield "datum of the side before stated again", i, 1, [p.change(w, f"{other:.0f}")]
    # Coolant off too early, spindle mode left
    for s in p.sequences:
        on = next((i for i in p.span(s) if any(w.letter == "M" and w.value == 8 for w in p.words[i])), None)
        off = next((i for i in p.span(s) if any(w.letter == "M" and w.value == 9 for w in p.words[i])), None)
        if on is not None and off is not None and off > on + 2:
            w = next(w for w in p.words[off] if w.letter == "M" and w.value == 9)
            alone = len([x for x in p.words[off] if x.letter != "N"]) == 1
            rest = [] if alone else [p.change(w, "")]
            k = on + 1
            if p.words[k] and not p.has(k, "M"):
                yield "coolant off too early", on, off - on + 1, [p.lines[on], p.lines[k].rstrip() + " M9", *p.lines[k + 1:off], *rest]
            m = next(w for w in p.words[on] if w.letter == "M" and w.value == 8)
            yield "coolant of the end at the start", on, 1, [p.change(m, "M09" if len(m.text) > 1 else "M9")]
        if on is not None and len(p.sequences) > 2 and s.kind in ("drill", "turn", "finish", "groove"):
            m = next(w for w in p.words[on] if w.letter == "M" and w.value == 8)
            alone = len([x for x in p.words[on] if x.letter != "N"]) == 1
            yield "coolant forgotten", on, 1, [] if alone else [p.change(m, "")]
        start = next((w for i in p.span(s) for w in p.words[i] if w.letter == "M" and w.value in (3, 4)), None)
        if start and len(p.sequences) > 2:
            yield "spindle the other way", start.line, 1, [p.change(start, "M" + start.text[:-1] + ("4" if start.value == 3 else "3"))]


def is_home(p, i):
    return 28 in p.codes(i) or 53 in p.codes(i)


def order_thoughts(p):
    end = p.end()
    for i in range(end - 1):
        a, b = i, i + 1
        if is_home(p, a) and is_home(p, b) and p.lines[a] != p.lines[b]:
            x_first = any(w.letter in "XU" for w in p.words[a]) and any(w.letter in "ZW" for w in p.words[b])
            if x_first and i > (p.sequences[0].first if p.sequences else 0) and re.search(r"CENTRE|CENTER|TAILST|REITST|CONTROP|CONTRAP|POINTE|SPITZE|QUILL", p.notes):
                yield "way home: Z before X with a centre", a, 2, [label_of(p.lines[a]) + body(p.lines[b]), label_of(p.lines[b]) + body(p.lines[a])]
                both = re.sub(r"\s*$", "", p.lines[a])
                w = next(w for w in p.words[b] if w.letter in "ZW")
                yield "way home: both at once with a centre", a, 2, [both + " " + p.lines[b][w.begin:w.end]]
    for s in p.sequences[1:]:
        # The next tool is called before the way home of the one before
        if s.first < 2 or not all(w.letter in "TN" for w in p.words[s.first]):
            continue
        k = s.first - 1
        while k > 0 and (not p.words[k] or all(w.letter == "M" for w in p.words[k]) or all(w.letter == "N" for w in p.words[k])):
            k -= 1
        home = k
        while home - 1 > 0 and is_home(p, home - 1):
            home -= 1
        if is_home(p, home):
            yield "tool called before the way home", home, s.first - home + 1, [p.lines[s.first], *p.lines[home:s.first]]
            yield "way home forgotten", home, k - home + 1, []
    for s in p.sequences:
        if s.kind == "turn" or s.kind == "finish" or s.kind == "groove":
            continue
        # Out of the bore last
        home = next((i for i in p.span(s) if is_home(p, i)), None)
        if home and p.has(home, "U") and s.kind == "drill":
            out = home - 1
            if p.word(out, "Z") and p.word(out, "Z").value > 0 and (0 in p.codes(out)) and not p.has(out, "X"):
                yield "home before the drill is out", out, 1, []
    for i in range(end):
        if any(w.letter == "M" and w.value in (0, 1) for w in p.words[i]) and re.search(
                r"(?i)TURN|FLIP|REVERS|DREHEN|WENDE|VUELTA|GIRA|RETOURN|UMSP|INVERT|VOLT", p.lines[i] + " ".join(p.lines[max(0, i - 1):i + 2])):
            w = next(w for w in p.words[i] if w.letter == "M" and w.value in (0, 1))
            yield "stop for turning the part forgotten", i, 1, [p.change(w, "")]
            if w.value == 0:
                yield "stop for turning the part may be passed", i, 1, [p.change(w, "M01")]
    # A clamp opened, and the spindle stopped after it
    for i in range(end - 1):
        if any(w.letter == "M" and w.value == 5 for w in p.words[i]) and len([w for w in p.words[i] if w.letter != "N"]) == 1 and i + 1 < end:
            nxt = [w for w in p.words[i + 1] if w.letter != "N"]
            if len(nxt) == 1 and nxt[0].letter == "M" and nxt[0].value not in (0, 1, 9, 19, 30, 2, 4, 3, 99, 8):
                yield "spindle stopped after the clamp", i, 2, [p.lines[i + 1], p.lines[i]]
                yield "spindle not stopped for the clamp", i, 1, []


def subprogram_thoughts(p):
    for i in range(p.end()):
        if not p.has(i, "M", 98):
            continue
        call = p.word(i, "P")
        count = p.word(i, "L")
        if count and count.value > 1:
            for by in (-1, 1):
                yield "count of a subprogram by one", i, 1, [p.change(count, str(int(count.value) + by))]
        elif call and len(call.text) > 4 and int(call.text[:-4]) > 1:
            for by in (-1, 1):
                yield "count of a subprogram by one", i, 1, [p.change(call, str(int(call.text[:-4]) + by) + call.text[-4:])]
        above = p.words[i - 1] if i else []
        if above and (p.has(i - 1, "X") or p.has(i - 1, "Z")) and not any(w.letter == "M" for w in above):
            yield "subprogram called a block early", i - 1, 2, [p.lines[i], p.lines[i - 1]]
    sub = None
    total = {}
    for i, line in enumerate(p.lines):
        m = re.match(r"\s*[O:]\s*(\d+)", line)
        if m:
            sub = m.group(1) if i > p.end() else None
        if sub and (p.has(i, "U") or p.has(i, "W")) and not p.has(i, "G", 71):
            for letter in "UW":
                w = p.word(i, letter)
                if w and w.value:
                    total.setdefault(sub, []).append(w)
    for steps in total.values():
        for w in steps:
            text = written(w.value * 1.1, w.text) if not w.whole else str(int(w.value * 1.1))
            back = [o for o in steps if o.letter == w.letter and o.value * w.value < 0]
            if back:
                yield "a step in a subprogram changed in one place", w.line, 1, [p.change(w, text)]
    for i in range(p.end() + 1, len(p.lines)):
        if p.has(i, "M", 99):
            yield "M99 written as M30", i, 1, [p.change(next(w for w in p.words[i] if w.letter == "M" and w.value == 99), "M30")]
    for i in range(p.end()):
        if p.has(i, "G", 65):
            args = [w for w in p.words[i] if w.letter not in "GPNL"]
            for a, b in zip(args, args[1:]):
                if a.text != b.text:
                    line = p.lines[i]
                    ta, tb = line[a.begin + 1:a.end], line[b.begin + 1:b.end]
                    yield "macro arguments exchanged", i, 1, [put(put(line, b.begin, b.end, line[b.begin] + ta), a.begin, a.end, line[a.begin] + tb)]


def loop_thoughts(p):
    lines = p.lines
    for i, line in enumerate(lines):
        code = line.split("(")[0]
        m = re.search(r"(?i)\b(WHILE|IF)\s*\[\s*#(\d+)\s*(GT|GE|LT|LE|EQ|NE)\s*(.*)", code)
        if not m:
            continue
        variable, relation = m.group(2), m.group(3).upper()
        one_off = {"GT": "GE", "GE": "GT", "LT": "LE", "LE": "LT"}
        if relation in one_off and m.group(1).upper() == "WHILE":
            b, e = m.span(3)
            yield "loop with one pass more or less", i, 1, [put(line, b, e, one_off[relation])]
            other = {"GT": "LT", "GE": "LE", "LT": "GT", "LE": "GE"}
            yield "loop condition the wrong way", i, 1, [put(line, b, e, other[relation])]
        for k, other in enumerate(lines):
            step = re.search(rf"#{variable}\s*=\s*#{variable}\s*([-+])\s*([\d.]+)?", other.split("(")[0])
            if step and abs(k - i) < 40:
                b, e = step.span(1)
                yield "step of a loop the wrong way", k, 1, [put(other, b, e, "+" if step.group(1) == "-" else "-")]
                yield "step of a loop forgotten", k, 1, []
                if step.group(2) and float(step.group(2)):
                    b, e = step.span(2)
                    yield "step of a loop ten times", k, 1, [put(other, b, e, written(float(step.group(2)) * 10) if "." in step.group(2) else step.group(2) + "0")]
            begin = re.match(rf"\s*(?:N\d+\s*)?#{variable}\s*=\s*([\d.]+)\s*$", other.split("(")[0])
            if begin and k < i and i - k < 12 and step is None:
                b, e = begin.span(1)
                bound = re.match(r"\[?(-?[\d.]+)", m.group(4))
                if bound and float(bound.group(1)) > 0:
                    yield "loop begins at its end", k, 1, [put(other, b, e, bound.group(1))]


def cycle_thoughts(p):
    """Codes of another system in cycles, pecks and dwells of another control's way of counting."""
    end = p.end()
    swap = {"A": {}, "B": {}, "C": {72: 70, 73: 71, 74: 72, 76: 74, 78: 76, 20: 90, 21: 92, 24: 94}}[p.system]
    swap = swap or {"B": {77: 90, 78: 92, 79: 94}}.get(p.system, {})
    for i in range(end):
        for w in p.words[i]:
            if w.letter == "G" and w.value in swap and len(p.words[i]) > 1 and (p.has(i, "P") or p.has(i, "X") or p.has(i, "Z")):
                yield "cycle of another code system", i, 1, [p.change(w, f"{swap[w.value]:.0f}")]
    for s in p.sequences:
        for i in p.span(s):
            codes, q = p.codes(i), p.word(i, "Q")
            if any(g in (74, 83, 76) for g in codes) and q and q.whole and q.value >= 1000 and s.kind == "drill":
                yield "peck a thousandth", i, 1, [p.change(q, str(int(q.value) // 1000))]
                yield "peck ten times", i, 1, [p.change(q, q.text + "0")]
            if 4 in codes:
                for w in p.words[i]:
                    if w.letter in "UX" and w.value < 20 and "." in lines_text(p, w):
                        yield "dwell in thousandths", i, 1, [p.change(w, "P" + str(max(1, int(w.value))))]
                    if w.letter == "P" and w.whole and w.value >= 200:
                        yield "dwell in whole seconds", i, 1, [p.change(w, ("X" if not p.lines[i][w.begin].islower() else "x") + w.text + ".")]


def lines_text(p, w):
    return p.lines[w.line][w.begin:w.end]


FAMILIES = (speed_thoughts, feed_thoughts, thread_thoughts, state_thoughts, order_thoughts, subprogram_thoughts, loop_thoughts,
            cycle_thoughts)


def thoughts(lines, system):
    """(operator, first line, how many lines, new lines) of every mistake of thought in a program."""
    program = Program(lines, system)
    for family in FAMILIES:
        for name, first, count, new in family(program):
            if lines[first:first + count] != new:
                yield f"thought: {name}", first, count, [trimmed(line) if line.strip() == "" else line for line in new]
