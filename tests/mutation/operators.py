"""Mistakes that a hand or a transfer makes in a part program, one a mutant.

Each operator is a function of a line (without its line end) that gives (name, new lines) for every place where
the mistake can be made in it; an empty list of lines takes the line out. Notes are left alone. Kinds of mistakes:
common practice, no source.
"""
import re

WORD = re.compile(r"([A-Za-z])\s*([-+]?\s*\d*\.?\d+|[-+]?\s*\d+\.)")


def code_spans(line):
    """Where a line holds words: outside notes, macro brackets and behind `;`."""
    spans, start, depth = [], 0, 0
    for i, character in enumerate(line):
        if character in "([":
            if depth == 0 and i > start:
                spans.append((start, i))
            depth += 1
        elif character in ")]" and depth:
            depth -= 1
            start = i + 1
    if depth == 0 and start < len(line):
        spans.append((start, len(line)))
    return spans


def words(line):
    """(begin, end, letter, number text) of every plain word."""
    if "#" in line or line.lstrip().startswith(("%", ":", ";", "O", "o")):
        return []
    return [
        (m.start(), m.end(), m.group(1).upper(), m.group(2).replace(" ", ""))
        for begin, end in code_spans(line)
        for m in WORD.finditer(line, begin, end)
    ]


def put(line, begin, end, text):
    return line[:begin] + text + line[end:]


def number_changes(letter, text):
    """(operator, other number) for one word's number."""
    sign, bare = ("-", text[1:]) if text.startswith("-") else ("", text.lstrip("+"))
    if letter in "XZUW":
        if sign and float(bare) != 0:
            yield f"minus lost in {letter}", bare
        elif float(bare) != 0:
            yield "minus gained", "-" + bare
        if "." in bare:
            yield "point lost", sign + bare.replace(".", "")
            whole, part = bare.split(".")
            if len(whole) > 1:
                yield "point moved", sign + whole[:-1] + "." + whole[-1] + part
            if part:
                yield "point moved", sign + whole + part[0] + "." + part[1:]
        digits = bare.replace(".", "")
        if len(digits) > 1 and bare[0] != bare[1] and bare[1] != ".":
            yield "digits swapped", sign + bare[1] + bare[0] + bare[2:]
        if bare[0] not in ".0":
            yield "digit doubled", sign + bare[0] + bare
    if letter == "F" and float(bare):
        yield "feed ten times", f"{float(bare) * 10:.6g}" + ("." if float(bare) * 10 % 1 == 0 else "")
        yield "feed a tenth", f"{float(bare) / 10:.6f}".rstrip("0")
    if letter == "S" and float(bare) and bare.isdigit():
        yield "speed ten times", bare + "0"
        if len(bare) > 2:
            yield "speed, a digit lost", bare[:-1]
    if letter in "PQ" and bare.isdigit() and int(bare) >= 1000:
        yield "P or Q a thousandth", str(max(1, int(bare) // 1000))


KEY_BESIDE = dict(zip("0123456789", "1254785569"))  # Of a pad of numbers


def digit_slips(letter, text):
    """(operator, other number) where one digit of a word's number is lost or another, or the sign of a centre or a taper."""
    if letter not in "XZUWRIKQPCALH" or not float(text):
        return
    for i, character in enumerate(text):
        if not character.isdigit():
            continue
        if sum(c.isdigit() for c in text) > 1:
            yield "digit lost", text[:i] + text[i + 1 :]
        yield "digit wrong", text[:i] + str((int(character) + (3 if i % 2 else 7)) % 10) + text[i + 1 :]
        yield "digit wrong by one", text[:i] + str((int(character) + (1 if i % 2 else 9)) % 10) + text[i + 1 :]
        yield "key beside it", text[:i] + KEY_BESIDE[character] + text[i + 1 :]
    if letter in "RIK":
        yield f"sign of {letter}", text[1:] if text.startswith("-") else "-" + text


MACRO = (("IF and WHILE", re.compile(r"(?i)(?<=[\d\] ])(GT|LT|GE|LE)(?=\s*[-\[#\d])"),
          lambda m: {"GT": "LT", "LT": "GT", "GE": "LE", "LE": "GE"}[m.upper()]),
         ("macro sign", re.compile(r"(?<=[\d\]])[-+](?=[#\[\d])"), lambda m: "+" if m == "-" else "-"),
         ("macro sign", re.compile(r"(?<=\[)-(?=#)|(?<=[XZUW])-(?=[#\[])"), lambda m: ""),
         ("macro variable", re.compile(r"(?<=#)\d+"), lambda m: str(int(m) + 1)),
         ("macro number", re.compile(r"(?<=[-+*/=\[TEQ])\d+\.?\d*(?=[^\d.])"), lambda m: str(int(float(m) + 1)) + m[len(m.rstrip(".")):]),
         ("macro number", re.compile(r"(?<=[-+*/=])\.?\d+\.?\d*$"), lambda m: m + "0" if "." not in m else m.replace(".", "", 1)))


def macro_slips(line):
    """(operator, new line) in the macro statements of a line."""
    for m in re.finditer(r"(?i)(?<=GOTO)\s*\d+|(?<=END)\d", line.split("(")[0]):
        yield "label of a jump", put(line, m.start(), m.end(), str(int(m.group(0)) + (10 if int(m.group(0)) > 9 else 1)))
    if "#" not in line:
        return
    for begin, end in [(m.start(), m.end()) for m in re.finditer(r"[^()]+", line)][:1]:
        for name, pattern, other in MACRO:
            for m in pattern.finditer(line, begin, end):
                yield name, put(line, m.start(), m.end(), other(m.group(0)))


def motions(lines):
    """For every line what its words move by: "rapid", "feed", or None where they move nothing by X and Z."""
    kind, result = None, []
    for line in lines:
        found = words(line)
        codes = [float(text) for _, _, letter, text in found if letter == "G"]
        for code in codes:
            if code in (0, 1, 2, 3, 32, 33):
                kind = "feed" if code else "rapid"
        moves = any(letter in "XZUW" for _, _, letter, _ in found)
        plain = all(code in (0, 1, 2, 3, 40, 41, 42, 90, 91, 94, 95, 96, 97, 98, 99) for code in codes)
        result.append(kind if moves and plain and not any(letter in "PQ" for _, _, letter, _ in found) else None)
    return result


def is_chamfer(line, above):
    """A feed along X and Z by a small step, as far as the line above tells."""
    now, before = ({letter: float(text) for _, _, letter, text in words(l)} for l in (line, above))
    if "X" in now and "Z" in now and "X" in before and "Z" in before:
        x, z = abs(now["X"] - before["X"]), abs(now["Z"] - before["Z"])
        return z > 0 and abs(x - 2 * z) < 1e-3
    return False


def block_slips(lines):
    """(operator, first line, how many lines, new lines) for slips with whole blocks."""
    moved = motions(lines)
    for i, line in enumerate(lines):
        before = moved[i - 1] if i else None
        after = moved[i + 1] if i + 1 < len(lines) else None
        if moved[i] == "rapid" and before == "feed":
            yield "retract lost", i, 1, []
        if moved[i] == "rapid" and before == "rapid" and after == "feed":
            yield "approach lost", i, 1, []
        if moved[i] == "feed" and before == "rapid":
            yield "first cut lost", i, 1, []
        if moved[i] == "feed" and before == "feed" and after == "rapid":
            yield "last cut lost", i, 1, []
        if moved[i] == "feed" and i and is_chamfer(line, lines[i - 1]):
            yield "chamfer lost", i, 1, []
        following = lines[i + 1] if i + 1 < len(lines) else ""
        if words(line) and words(following) and line != following:
            yield "lines swapped", i, 2, [following, line]
        if moved[i] and i + 3 < len(lines) and all(words(l) for l in lines[i + 1 : i + 4]):
            yield "a line moved", i, 4, [*lines[i + 1 : i + 4], line]


SWAPS = {
    "G00 for G01": (("G", 1), "G00"),
    "G01 for G00": (("G", 0), "G01"),
    "G02 for G03": (("G", 3), "G02"),
    "G03 for G02": (("G", 2), "G03"),
    "G41 for G42": (("G", 42), "G41"),
    "G42 for G41": (("G", 41), "G42"),
    "G96 for G97": (("G", 97), "G96"),
    "G97 for G96": (("G", 96), "G97"),
    "M03 for M04": (("M", 4), "M03"),
    "M04 for M03": (("M", 3), "M04"),
}
SWAPS_A = {"G98 for G99": (("G", 99), "G98"), "G99 for G98": (("G", 98), "G99"),
           "G20 for G21": (("G", 21), "G20"), "G21 for G20": (("G", 20), "G21")}
SWAPS_B = {"G94 for G95": (("G", 95), "G94"), "G95 for G94": (("G", 94), "G95"),
           "G20 for G21": (("G", 21), "G20"), "G21 for G20": (("G", 20), "G21"),
           "G90 for G91": (("G", 91), "G90"), "G91 for G90": (("G", 90), "G91")}
SWAPS_C = {"G94 for G95": (("G", 95), "G94"), "G95 for G94": (("G", 94), "G95"),
           "G70 for G71": (("G", 71), "G70"), "G71 for G70": (("G", 70), "G71"),
           "G90 for G91": (("G", 91), "G90"), "G91 for G90": (("G", 90), "G91")}
LOST = {"G40 lost": ("G", 40), "M03 lost": ("M", 3), "M08 lost": ("M", 8), "M05 lost": ("M", 5),
        "G96 lost": ("G", 96), "G97 lost": ("G", 97), "M04 lost": ("M", 4)}
# A word that goes with its block's harm: (operator, pattern of the code part, what stands instead).
CODES = (("work offset wrong", re.compile(r"(?i)\bG5[4-9]\b"), lambda m: m[:-1] + ("5" if m[-1] == "4" else "4")),
         ("stop lost", re.compile(r"(?i)\bM0*[01]\b"), lambda m: ""),
         ("speed limit lost", re.compile(r"(?i)\bG(50|92)\s*S\d+"), lambda m: ""),
         ("speed limit ten times", re.compile(r"(?i)(?<=G50)\s*S\d+|(?<=G92)\s*S\d+"), lambda m: m + "0"),
         ("cycle word lost", re.compile(r"(?i)\bG(8[0-9]|7[0-8]|9[02])(?=[ XZUWPQR])"), lambda m: ""),
         ("wrong cycle", re.compile(r"(?i)\bG7[0-6](?=[ XZUWPQR])"), lambda m: m[:-1] + str((int(m[-1]) + 1) % 7)),
         ("M code wrong", re.compile(r"(?i)\bM0*[89]\b"), lambda m: m[:-1] + ("9" if m[-1] == "8" else "8")),
         ("subprogram wrong", re.compile(r"(?i)(?<=M98)\s*P\d+"), lambda m: m[:-1] + str((int(m[-1]) + 1) % 10)),
         ("repeat count lost", re.compile(r"(?i)(?<=M98)\s*P\d+(?=\d{4})"), lambda m: m[:-1] if m.strip() != m[-1:] else m),
         ("repeat count wrong", re.compile(r"(?i)(?<=M98 P)\d{1,3}(?=\d{4})|(?<= [LK])\d+\b"), lambda m: str(int(m) + 1)),
         ("dwell a thousandth", re.compile(r"(?i)(?<=G04 P)\d{3,}|(?<=G4 P)\d{3,}"), lambda m: str(max(1, int(m) // 1000))),
         ("dwell a thousand times", re.compile(r"(?i)(?<=G04 [XU])[\d.]+|(?<=G4 [XU])[\d.]+"),
          lambda m: f"{float(m) * 1000:.6g}."))
# Of lathes with more axes: what a code puts on or off, and the number that it is written for.
AXES_PAIRS = (("12.1", "13.1"), ("112", "113"), ("07.1", "107"), ("17", "18"), ("19", "18"), ("17", "19"), ("68", "69"))


def axes_slips(line):
    """(operator, new line) in what speaks to other spindles, clamps, C, Y, waits and live tools."""
    found = words(line)
    letters = {letter for _, _, letter, _ in found}
    for begin, end, letter, text in found:
        point = line[end:end + 1] if line[end:end + 1] == "." else ""  # "45.": the point goes with its number
        end += len(point)
        if letter in "CHYVB" and float(text):
            yield f"sign of {letter}", put(line, begin, end, line[begin] + (text[1:] if text.startswith("-") else "-" + text) + point)
        if letter in "CH" and float(text):
            yield "C by ten degrees", put(line, begin, end, line[begin] + f"{float(text) + 10:.6g}" + ".")
            yield "C twice as far", put(line, begin, end, line[begin] + f"{float(text) * 2:.6g}" + ".")
        if letter in "CH":
            yield f"{letter} lost", put(line, begin, end, "").strip() or ";"
            yield "C and H changed", put(line, begin, begin + 1, "H" if letter == "C" else "C")
        if letter in "YV":
            yield "Y lost", put(line, begin, end, "").strip() or ";"
        if letter == "M" and text.isdigit() and int(text) not in (0, 1, 2, 3, 4, 5, 8, 9, 30, 98, 99):
            yield "builder's code lost", put(line, begin, end, "").strip() or ";"
            for by in (-1, 1):
                yield "builder's code by one", put(line, begin, end, line[begin] + str(int(text) + by).zfill(len(text)))
            if len(text) > 2:
                yield "builder's code, a digit", put(line, begin, end, line[begin] + text[:-2] + str((int(text[-2]) + 1) % 10) + text[-1])
                yield "builder's code, digits swapped", put(line, begin, end, line[begin] + text[0] + text[2] + text[1] + text[3:])
            if "P" in letters and any(l == "P" and t.startswith(("12", "21", "1", "2")) for _, _, l, t in found):
                yield "wait lost", ""
        if letter == "P" and ("M" in letters) and text in ("1", "2", "3", "11", "12", "21", "13", "31"):
            yield "P of a spindle or path lost", put(line, begin, end, "").strip()
            yield "P of another spindle or path", put(line, begin, end, line[begin] + str(int(text) % 3 + 1 if len(text) == 1 else text[::-1]))
        if letter == "G":
            for one, other in AXES_PAIRS:
                for code, instead in ((one, other), (other, one)):
                    if text.lstrip("0") == code.lstrip("0"):
                        yield "plane or interpolation wrong", put(line, begin, end, line[begin] + instead)
                        yield "plane or interpolation lost", put(line, begin, end, "").strip() or ";"
            if text.lstrip("0") in ("7.1", "107") and "C" in letters:
                for b, e, l, t in found:
                    if l == "C" and float(t):
                        e += line[e:e + 1] == "."
                        yield "radius of the cylinder as diameter", put(line, b, e, line[b] + f"{float(t) * 2:.6g}" + ".")
        if letter == "S" and "M" in letters and text.isdigit():
            yield "S lost beside M", put(line, begin, end, "").strip()


def builders_codes(lines):
    """The M numbers that only the builder tells, of a program's blocks and notes."""
    common = {0, 1, 2, 3, 4, 5, 8, 9, 30, 98, 99}
    return sorted({m for line in lines for m in re.findall(r"\bM(\d+)\b", line) if int(m) not in common}, key=int)


CYCLE = re.compile(r"(?i)\bG(8[1-9]|7[4-6])(?!\d)")


def axes_block_slips(lines):
    """(operator, first line, how many lines, new lines) for what a whole program must tell first."""
    codes = builders_codes(lines)
    live = re.compile(r"(?i)\bG(12\.1|112|0?7\.1|107)(?!\d)|\bC-?[\d.]|\bY-?[\d.]")
    in_live = False
    for i, line in enumerate(lines):
        found = words(line)
        if not found:
            continue
        following = lines[i + 1] if i + 1 < len(lines) else ""
        if any(letter == "T" for _, _, letter, _ in found):
            until = next((j for j in range(i + 1, len(lines)) if any(w[2] == "T" for w in words(lines[j]))), len(lines))
            in_live = any(live.search(re.sub(r"\(.*?\)", "", l)) and words(l) for l in lines[i:until])
        own = [w for w in found if w[2] == "M" and w[3] in codes]
        for begin, end, letter, text in own:
            for other in codes:  # One written for another of its family
                if other != text and len(other) == len(text) and other[:-1] == text[:-1]:
                    yield "axes: another builder's code", i, 1, [put(line, begin, end, line[begin] + other)]
            if words(following) and any(w[2] == "M" and w[3] in codes for w in words(following)):
                yield "axes: builder's codes swapped", i, 2, [following, line]
            for b, e, l, t in found:
                if l == "S" and t.isdigit() and len(t) > 2:
                    yield "axes: S of a spindle, a digit lost", i, 1, [put(line, b, e, line[b] + t[:-1])]
            if any(l == "S" for _, _, l, _ in found):
                yield "axes: M03 for a builder's code", i, 1, [put(line, begin, end, "M03")]
        for begin, end, letter, text in found:
            if letter == "M" and text in ("3", "03", "4", "04"):
                for other in codes:
                    if len(other) > 1 and other.lstrip("0")[-1:] == text[-1]:
                        yield "axes: a builder's code for M03", i, 1, [put(line, begin, end, "M" + other)]
            if in_live and letter == "G" and text in ("41", "42"):
                yield "axes: side with live tools", i, 1, [put(line, begin, end, "G" + ("42" if text == "41" else "41"))]
            if in_live and letter in "XZRFSYQ" and "." in text + line[end:end + 1]:
                name = "axes: number of a live cycle" if CYCLE.search(line) else "axes: number with live tools"
                for slip, number in number_changes(letter, text + ("." if "." not in text else "")):
                    yield f"{name}, {slip.split(' in ')[0]}", i, 1, [put(line, begin, end + ("." not in text), line[begin] + number)]
        plain = re.sub(r"\(.*?\)", "", line)
        if re.search(r"(?i)\bG(28|53)(?!\d)", plain):
            yield "axes: way home lost", i, 1, []
            if re.search(r"(?i)\bG(28|53)(?!\d)", re.sub(r"\(.*?\)", "", following)):
                yield "axes: way home swapped", i, 2, [following, line]
        for m in re.finditer(r"(?i)(?<=M98)\s*P\d+", plain):
            yield "axes: subprogram wrong", i, 1, [line.replace(m.group(0), m.group(0)[:-1] + str((int(m.group(0)[-1]) + 1) % 10), 1)]
        if in_live and re.search(r"(?i)\bG(94|95|98|99)(?!\d)", plain):
            yield "axes: kind of feed lost", i, 1, [re.sub(r"(?i)\bG(94|95|98|99)(?!\d)\s*", "", line, count=1).strip() or ";"]
        if in_live and re.search(r"(?i)\bG80(?!\d)", plain):
            yield "axes: cycle not ended", i, 1, [re.sub(r"(?i)\bG80(?!\d)\s*", "", line, count=1).strip() or ";"]
        if in_live:
            yield "axes: a line with live tools lost", i, 1, []


LETTERS = {"X": "ZU", "Z": "XW", "I": "K", "K": "I", "R": "CF", "C": "R", "P": "Q", "F": "S", "S": "F", "T": "G"}


def mutants_of(line, system):
    """(operator, new lines) for every single mistake in a line."""
    found = words(line)
    swaps = dict(SWAPS, **{"A": SWAPS_A, "B": SWAPS_B, "C": SWAPS_C}[system])
    for begin, end, letter, text in found:
        for name, number in number_changes(letter, text):
            yield name, [put(line, begin, end, line[begin] + number)]
        if letter in "GM" and text.isdigit():
            for name, (code, other) in swaps.items():
                if code == (letter, int(text)):
                    yield name, [put(line, begin, end, other if line[begin].isupper() else other.lower())]
            for name, code in LOST.items():
                if code == (letter, int(text)):
                    yield name, [put(line, begin, end, "").rstrip() or ";"]
        for name, number in digit_slips(letter, text):
            yield name, [put(line, begin, end, line[begin] + number)]
        if len(found) > 1 and letter not in "NO":
            yield "word lost", [put(line, begin, end + (line[end : end + 1] == "."), "").rstrip()]
        for other in LETTERS.get(letter, ""):
            yield f"{other} for {letter}", [put(line, begin, end, other + line[begin + 1 : end])]
        if letter == "T" and text.isdigit() and len(text) == 4 and text[2:] != "00":
            other = f"{int(text[2:]) % 12 + 1:02d}"
            yield "offset wrong", [put(line, begin, end, "T" + text[:2] + other)]
            yield "tool wrong", [put(line, begin, end, "T" + other + text[2:])]
    for name, other in macro_slips(line):
        yield name, [other]
    for name, other in axes_slips(line):
        yield f"axes: {name}", [other] if other else []
    for begin, end in code_spans(line):
        for name, pattern, other in CODES:
            for m in pattern.finditer(line, begin, end):
                changed = put(line, m.start(), m.end(), other(m.group(0)))
                if changed != line:
                    yield name, [changed.strip() or ";"]
    label = re.match(r"(?i)N(\d+)", line)
    if label:
        yield "label wrong", ["N" + str(int(label.group(1)) + 1) + line[label.end():]]
        yield "label lost", [line[label.end():].lstrip() or ";"]
    number = re.match(r"(?i)O(\d+)", line)
    if number:
        yield "program number wrong", ["O" + number.group(1)[:-1] + str((int(number.group(1)) + 1) % 10) + line[number.end():]]
    by_letter = {letter: (begin, end, text) for begin, end, letter, text in found}
    if "P" in by_letter and "Q" in by_letter:
        (pb, pe, p), (qb, qe, q) = by_letter["P"], by_letter["Q"]
        if p != q and pb < qb:
            yield "P and Q swapped", [put(put(line, qb, qe, line[qb] + p), pb, pe, line[pb] + q)]
    if "F" in by_letter and re.search(r"(?i)G0*(32|33|76|92|78)(?!\d)", line):
        begin, end, text = by_letter["F"]
        yield "lead wrong", [put(line, begin, end, "F" + f"{float(text) * 1.25:.6g}")]
    if found:
        yield "a line lost", []
        yield "a line doubled", [line, line]
