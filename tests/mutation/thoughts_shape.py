"""Mistakes of thought in shape and metal: what is changed in one place and not in the other, shifted, left out or put in
another order.

Each operator is a function of a program (`program.Program`) that gives edits: {line: new text}, an empty text taking the line
out; or (first line, how many, new lines). They are made as a person makes them, most in two ways. Kinds: common practice, no
source.
"""
import re

from program import Program, code_of

TURNING = ("rough", "finish")


def number_of(p, b, letter):
    return b.v.get(letter)


def stretch(s):
    """The blocks of a contour written out, as runs of feeds and arcs."""
    run = []
    for b in s.blocks:
        if b.kind in ("feed", "arc") and b.x is not None and b.z is not None and b.x0 is not None and b.z0 is not None:
            run.append(b)
        else:
            if len(run) > 1:
                yield run
            run = []
    if len(run) > 1:
        yield run


def shoulders(p, s):
    """(block that ends a cylinder, blocks that follow it to the next cylinder) of contours by hand."""
    for run in stretch(s):
        for k, b in enumerate(run):
            if "Z" in b.v and "X" not in b.v and b.z < b.z0 - 3 * p.unit and b.z < 0:
                yield run, k, b


def only_one(p, kind):
    return [s for s in p.sequences if s.kind == kind]


def by_hand(p, s):
    return not any(b.contour for b in s.blocks) and not any(b.kind in ("rough", "finish") for b in s.blocks)


def length_in_finishing(p):
    """A shoulder moved in the finishing tool, its roughing left: the one block, or all of the corner with it."""
    roughed = any(s.kind == "rough" and by_hand(p, s) for s in p.sequences)
    for s in p.sequences:
        if s.kind != "finish" or not by_hand(p, s) or not roughed:
            continue
        for run, k, b in shoulders(p, s):
            for step in (2, -2, 5):
                way = step * p.unit
                if b.z - way < b.z0 - p.unit:
                    yield {b.i: p.put(b.i, Z=b.z - way)}
                    edits = {b.i: p.put(b.i, Z=b.z - way)}
                    for other in run[k + 1:k + 4]:
                        if "Z" in other.v and abs(other.z - b.z) < 4 * p.unit and other.z <= other.z0 + 1e-6:
                            edits[other.i] = p.put(other.i, Z=other.z - way)
                        elif "Z" in other.v:
                            break
                    if len(edits) > 1:
                        yield edits


def length_in_roughing(p):
    """A length of roughing by single cycles changed, the finishing left: of one pass, or of all that go there."""
    for s in p.sequences:
        passes = [b for b in s.blocks if b.kind == "turn" and "Z" in b.v]
        if s.kind != "rough" or not passes:
            continue
        for b in passes:
            for step in (3, -3, 6):
                yield {b.i: p.put(b.i, Z=b.z - step * p.unit)}
        for step in (2, -4):
            edits = {b.i: p.put(b.i, Z=b.z - step * p.unit) for b in passes if abs(b.z - passes[0].z) < p.unit}
            if len(edits) > 1:
                yield edits


def diameter_in_finishing(p):
    """A diameter changed in the finishing tool with its chamfer, roughing left as it was."""
    roughed = any(s.kind == "rough" and by_hand(p, s) for s in p.sequences)
    for s in p.sequences:
        if s.kind != "finish" or not by_hand(p, s) or not roughed:
            continue
        for run, k, b in shoulders(p, s):
            if k == 0:
                continue
            for step in (2, -2, 4):
                edits = {}
                for other in run[max(0, k - 2):k]:
                    if "X" in other.v and abs(other.x - b.x) < 5 * p.unit:
                        edits[other.i] = p.put(other.i, X=other.x + step * p.unit)
                if edits:
                    yield edits
                    yield dict(list(edits.items())[-1:])


def nothing_left(p):
    """Roughing leaves nothing for the finishing cut: its last pass on the finished size or behind it, or no U and W."""
    for s in p.sequences:
        for b in s.blocks:
            if b.kind == "rough" and "P" in b.v and "U" in b.v and b.v["U"]:
                yield {b.i: p.put(b.i, U=0.0)}
                yield {b.i: p.put(b.i, U=None)}
                yield {b.i: p.put(b.i, U=b.v["U"] * 6)}
        passes = [b for b in s.blocks if b.kind == "turn" and "X" in b.v]
        if len(passes) > 1 and any(t.kind == "finish" and t.inside == s.inside for t in p.sequences):
            last = passes[-1]
            into = 1 if s.inside else -1
            yield {last.i: p.put(last.i, X=last.x + into * 1.0 * p.unit)}
            yield {last.i: p.put(last.i, X=last.x - into * 2.0 * p.unit)}


def allowance_other_way(p):
    """The allowance with the sign of the other kind of contour."""
    for s in p.sequences:
        for b in s.blocks:
            if b.kind == "rough" and "P" in b.v:
                for letter in "UW":
                    if b.v.get(letter):
                        yield {b.i: p.put(b.i, **{letter: -b.v[letter]})}


def noted_length(p, s):
    """A note gives the length that the part-off makes, with the blade or without it."""
    ends = [-b.z for b in p.plunges(s)]
    if not ends:
        return False
    sizes = [float(m) for l in p.lines for n in re.findall(r"\((.*?)\)", l) for m in re.findall(r"(?<![\d.])\d*\.?\d+", n)]
    long = max(ends)
    return any(abs(n - meant) < 1e-3 and n > 5 * p.unit for n in sizes for meant in (long, long - (p.width(s) or 0)))


def blade_by_its_width(p):
    """A groove or part-off by the other corner: all its places shifted by the blade's width, or only the first."""
    for s in p.sequences:
        if s.kind not in ("groove", "part"):
            continue
        width = p.width(s)
        if s.kind == "part" and not noted_length(p, s):
            continue
        zs = [b for b in s.blocks if "Z" in b.v and b.kind in ("rapid", "feed", "groove") and (b.z if b.z is not None else b.v["Z"]) < 0]
        if not width or not zs:
            continue
        for way in (width, -width):
            if max(b.v["Z"] for b in zs) + way < 0:
                yield {b.i: p.put(b.i, Z=b.v["Z"] + way) for b in zs}
                if len(zs) > 1:
                    yield {zs[0].i: p.put(zs[0].i, Z=zs[0].v["Z"] + way)}


def widened_to_other_side(p):
    """The second plunge on the other side of the first, or further off than the blade is wide."""
    for s in p.sequences:
        if s.kind not in ("groove", "part"):
            continue
        plunged = p.plunges(s) if not s.inside else [b for b in s.blocks if b.kind == "feed" and "X" in b.v and "Z" not in b.v and b.z is not None and b.z < 0 and b.x0 is not None and b.x > b.x0]
        places = [(b, next((a for a in reversed(s.blocks) if a.i < b.i and "Z" in a.v and a.kind in ("rapid", "feed")), None)) for b in plunged]
        for (one, first), (two, second) in zip(places, places[1:]):
            if not first or not second or first is second:
                continue
            step = second.z - first.z
            if 0.2 * p.unit < abs(step) < 8 * p.unit:
                yield {second.i: p.put(second.i, Z=first.z - step)}
                width = p.width(s)
                if width and abs(step) < width:
                    yield {second.i: p.put(second.i, Z=first.z + (1 if step > 0 else -1) * (width + 0.6 * p.unit))}


def groove_depth_once(p):
    """One of several plunges to another depth."""
    for s in p.sequences:
        if s.kind != "groove":
            continue
        plunged = p.plunges(s) if not s.inside else []
        along = [b for b in s.blocks if b.kind == "feed" and "Z" in b.v]
        if len(plunged) < 2 or along:  # A way along the bottom cleans it
            continue
        for b in plunged:
            if sum(abs(o.x - b.x) < 1e-6 for o in plunged) > 1:
                yield {b.i: p.put(b.i, X=b.x + 3 * p.unit)}
                yield {b.i: p.put(b.i, X=b.x - 2 * p.unit)}


def pass_of_a_row(p):
    """A pass of a row by hand left out, or two in the wrong order."""
    for s in p.sequences:
        rows = [[]]
        for b in s.blocks:
            if b.kind in ("turn", "thread") and "X" in b.v:
                rows[-1].append(b)
            elif b.kind:
                rows.append([])
        for row in rows:
            for one, two in zip(row[1:], row[2:]):
                if "Z" not in one.v and "Z" not in two.v and two.i == one.i + 1:
                    yield {one.i: p.put(one.i, X=two.x), two.i: p.put(two.i, X=one.x)}
            for b in row[2:-1]:
                if "Z" not in b.v:
                    yield {b.i: ""}
            if len(row) > 3 and row[0].kind == "turn" and "Z" not in row[1].v and "Z" not in row[2].v:
                yield {row[1].i: "", row[2].i: ""}


def end_at_the_old_place(p):
    """A diameter or length of a contour changed, the chamfer, cone or arc behind it left."""
    for s in p.sequences:
        for run in stretch(s):
            for a, b in zip(run, run[1:]):
                oblique = "X" in b.v and "Z" in b.v and abs(b.x - b.x0) > 0.1 * p.unit and abs(b.z - b.z0) > 0.05 * p.unit
                if not oblique or abs(b.x - b.x0) > 12 * p.unit or abs(b.z - b.z0) > 6 * p.unit:
                    continue
                if "X" in a.v and "Z" not in a.v:
                    for step in (1, -1):
                        yield {a.i: p.put(a.i, X=a.x + step * p.unit)}
                if "Z" in a.v and "X" not in a.v:
                    for step in (1, -1):
                        yield {a.i: p.put(a.i, Z=a.z + step * p.unit)}
                if b.kind == "feed":
                    yield {b.i: p.put(b.i, X=b.x + 2 * p.unit)}


def radius_once(p):
    """An arc's or chamfer's step in X taken once where the diameter grows by twice."""
    for s in p.sequences:
        for run in stretch(s):
            for b in run:
                if "X" in b.v and "Z" in b.v:
                    dx, dz = b.x - b.x0, b.z - b.z0
                    if abs(abs(dx) - 2 * abs(dz)) < 0.02 * p.unit and abs(dz) > 0.2 * p.unit and abs(dz) < 8 * p.unit:
                        yield {b.i: p.put(b.i, X=b.x0 + dx / 2)}
                        if b.kind == "feed":
                            yield {b.i: p.put(b.i, Z=b.z0 + dz * 2)}


def chamfer_to_other_side(p):
    """A chamfer begun on the other side of its diameter, in X or in Z."""
    for s in p.sequences:
        for run in stretch(s):
            for a, b in zip(run, run[1:]):
                if b.kind == "feed" and "X" in b.v and "Z" in b.v and "X" in a.v:
                    dx, dz = b.x - b.x0, b.z - b.z0
                    if abs(abs(dx) - 2 * abs(dz)) < 0.02 * p.unit and 0.1 * p.unit < abs(dz) < 4 * p.unit:
                        yield {a.i: p.put(a.i, X=b.x + dx)}
                        yield {b.i: p.put(b.i, Z=b.z0 - dz)} if b.z0 - dz < 2 * p.unit else None


def leg_left_out(p):
    """A leg of a contour forgotten."""
    for s in p.sequences:
        for run in stretch(s):
            for b in run[1:-1]:
                yield {b.i: ""}


def thread_against_part(p):
    """A thread that ends behind its relief or shoulder, or before it; or starts over the part."""
    for s in p.sequences:
        if s.kind != "thread":
            continue
        ends = [b for b in s.blocks if b.kind in ("thread", "threads", "lead") and "Z" in b.v]
        groups = {}
        for b in ends:
            groups.setdefault(b.v["Z"], []).append(b)
        for z, all_of in groups.items():
            if z >= 0:
                continue
            for step in (3, 5, -4):
                if z - step * p.unit < 0:
                    yield {b.i: p.put(b.i, Z=z - step * p.unit) for b in all_of}
        starts = [b for b in s.blocks if b.kind == "rapid" and "Z" in b.v and b.v["Z"] > 0 and b.i < (ends[0].i if ends else 0)]
        for b in starts[-1:]:
            yield {b.i: p.put(b.i, Z=-b.v["Z"])}
            yield {b.i: p.put(b.i, Z=0.2 * p.unit)}


def thread_start_under_crest(p):
    """The start of a thread's passes under the outside diameter, or outside of an inner thread's bore."""
    for s in p.sequences:
        first = next((b for b in s.blocks if b.kind in ("thread", "threads")), None)
        if s.kind != "thread" or not first:
            continue
        start = next((b for b in reversed(s.blocks) if b.i < first.i and b.kind == "rapid" and "X" in b.v), None)
        last = max((b.x for b in s.blocks if b.kind in ("thread", "threads") and b.x is not None), default=None)
        low = min((b.x for b in s.blocks if b.kind in ("thread", "threads") and b.x is not None), default=None)
        if not start or last is None:
            continue
        if s.inside:
            yield {start.i: p.put(start.i, X=round(last + 2 * p.unit, 2))}
            yield {start.i: p.put(start.i, X=round(last, 2))}
        else:
            yield {start.i: p.put(start.i, X=round(low, 2))}
            yield {start.i: p.put(start.i, X=round(low + 0.5 * p.unit, 2))}


def core_for_crest(p):
    """The end of a thread on its blank, or half of its height."""
    for s in p.sequences:
        for b in s.blocks:
            if b.kind == "threads" and "X" in b.v and "P" in b.v and "Z" in b.v and b.x:
                text = re.search(r"(?i)P\s*(\d+\.?\d*)", code_of(p.lines[b.i])).group(1)
                height = float(text) if "." in text else float(text) / (10000 if p.inch else 1000)
                if 0.1 * p.unit < height < 6 * p.unit:
                    way = -1 if s.inside else 1
                    yield {b.i: p.put(b.i, X=round(b.x + way * 2 * height, 3))}
                    yield {b.i: p.put(b.i, X=round(b.x + way * height, 4))}
                    yield {b.i: p.put(b.i, X=round(b.x - way * height, 4))}


def hole_depth(s):
    """Blocks that tell how deep a hole on the centre goes, and the deepest."""
    deep = [b for b in s.blocks if "Z" in b.v and b.v["Z"] < 0 and (b.kind in ("peck", "drill", "tap", "thread", "lead", "feed"))]
    low = min((b.v["Z"] for b in deep), default=None)
    return low, [b for b in deep if abs(b.v["Z"] - low) < 1e-6] if deep else []


def deeper_than_drilled(p):
    """A bore or tap deeper than what is drilled, or the drill shortened: to less than the bore, or by its point."""
    drills = [s for s in p.sequences if s.kind == "drill"]
    for s in drills:
        low, blocks = hole_depth(s)
        if low is None or low > -8 * p.unit:
            continue
        after = [t for t in p.sequences if t.begin > s.begin and (t.kind == "tap" or t.inside)]
        deepest = min((b.z if b.z is not None else b.v["Z"] for t in after for b in t.blocks if "Z" in b.v and b.kind and not (b.z is None and b.kind == "rough")), default=None)
        if deepest is None or deepest > -4 * p.unit:
            continue
        yield {b.i: p.put(b.i, Z=round(deepest + 3 * p.unit, 2)) for b in blocks}
        yield {b.i: p.put(b.i, Z=round(low * 0.6, 1)) for b in blocks}
        for t in after:
            if t.kind == "tap" or by_hand(p, t):
                own, deep = hole_depth(t)
                if own is not None and own < -4 * p.unit:
                    yield {b.i: p.put(b.i, Z=round(low - 2 * p.unit, 2)) for b in deep}


def not_through(p):
    """The drill of a bored part that is parted off, without its point or to the length itself."""
    parts = [s for s in p.sequences if s.kind == "part"]
    for s in p.sequences:
        if s.kind != "drill":
            continue
        low, blocks = hole_depth(s)
        ends = [b.z for t in parts if t.begin > s.begin for b in p.plunges(t)]
        if low is None or not ends or min(ends) < low - p.unit:
            continue
        yield {b.i: p.put(b.i, Z=round(min(ends) + 5 * p.unit, 1)) for b in blocks}
        yield {b.i: p.put(b.i, Z=round(min(ends) / 2, 1)) for b in blocks}


def part_off_elsewhere(p):
    """The part-off at another length, all of it or the last plunge alone; or not through to the bore."""
    for s in p.sequences:
        if s.kind != "part":
            continue
        zs = [b for b in s.blocks if "Z" in b.v and b.kind in ("rapid", "feed") and b.v["Z"] < 0]
        for step in (5, -5, 2) if noted_length(p, s) else ():
            edits = {b.i: p.put(b.i, Z=b.v["Z"] - step * p.unit) for b in zs}
            if edits and max(b.v["Z"] for b in zs) - step * p.unit < 0:
                yield edits
        plunged = p.plunges(s)
        if plunged:
            last = plunged[-1]
            bores = [b.x for t in p.sequences if t.inside for b in t.blocks if b.x is not None and b.kind in ("feed", "turn")]
            yield {last.i: p.put(last.i, X=round((max(bores) if bores else max(last.x, 0) + 3 * p.unit) + p.unit, 1))}


def chamfer_after_parting(p):
    """The chamfer of the back behind the last plunge of the part-off instead of before it."""
    for s in p.sequences:
        if s.kind != "part":
            continue
        plunged = p.plunges(s)
        slants = [b for b in s.blocks if b.kind == "feed" and "X" in b.v and "Z" in b.v and b.i < (plunged[-1].i if plunged else 0)]
        if len(plunged) > 1 and slants:
            first = next((b.i for b in s.blocks if b.i > plunged[0].i and b.kind), None)
            if first is not None and first <= slants[-1].i and slants[-1].i < plunged[-1].i:
                a, z, q = first, slants[-1].i, plunged[-1].i
                yield a, q - a + 1, [*p.lines[z + 1:q + 1], *p.lines[a:z + 1]]


def retract_forgotten(p):
    """The way out of a groove or a bore forgotten, or to the wrong side, or not far enough."""
    for s in p.sequences:
        for k, b in enumerate(s.blocks[1:], 1):
            if b.x is None or b.z is None or b.x0 is None or b.z0 is None or b.z0 >= 0:
                continue
            before = s.blocks[k - 1]
            if s.kind in ("groove", "part") and before.kind == "feed" and b.kind in ("rapid", "feed") and "X" in b.v and "Z" not in b.v:
                out = b.x > b.x0 if not s.inside else b.x < b.x0
                following = s.blocks[k + 1] if k + 1 < len(s.blocks) else None
                # Home along X comes out by itself, and so does a tool that goes aslant from the centre.
                if out and following and "Z" in following.v and "X" not in following.v and following.kind in ("rapid", "feed"):
                    yield {b.i: ""}
                    yield {b.i: p.put(b.i, X=round(b.x0 + (b.x - b.x0) * 0.4, 1))}
            if s.inside and s.kind in TURNING and "X" in b.v and "Z" not in b.v and before.kind in ("feed", "arc") and b.x < b.x0:
                yield {b.i: p.put(b.i, X=round(b.x0 + (b.x0 - b.x), 2))}
            if s.inside and "Z" in b.v and "X" not in b.v and b.z > 0:
                yield {b.i: ""}


def inside_of_metal(p):
    """The start of a sequence or of its cycle inside of the metal, in X or in Z."""
    for s in p.sequences:
        if s.kind not in ("rough", "finish", "groove", "part") or s.inside:
            continue
        first = next((b for b in s.blocks if b.kind in ("feed", "turn", "rough", "finish", "groove", "face")), None)
        if not first:
            continue
        start = next((b for b in reversed(s.blocks) if b.i < first.i and b.kind == "rapid" and "X" in b.v), None)
        cut = [b.x for b in s.blocks if b.x is not None and b.kind in ("feed", "arc", "turn", "face") and b.z is not None and b.z <= 0]
        if start and cut and start.v["X"] > max(cut):
            yield {start.i: p.put(start.i, X=round(min(max(cut) - 4 * p.unit, start.v["X"] * 0.8), 1))}
            yield {start.i: p.put(start.i, X=round(start.v["X"] / 2, 1))}
        start = next((b for b in reversed(s.blocks) if b.i < first.i and b.kind == "rapid" and "Z" in b.v), None)
        if start and start.v["Z"] > 0 and s.kind in TURNING:
            yield {start.i: p.put(start.i, Z=-start.v["Z"])}


def whole(p, s):
    """The lines of a sequence with the notes that stand above it."""
    begin = s.begin
    while begin and (p.lines[begin - 1].strip().startswith("(") or re.fullmatch(r"\s*(N\d+\s*)?\(.*\)\s*", p.lines[begin - 1]) or re.fullmatch(r"(?i)\s*N\d+\s*(\(.*\))?\s*", p.lines[begin - 1])):
        begin -= 1
    return begin


def order_of_sequences(p):
    """Two tools that follow one another in the wrong order."""
    for one, two in zip(p.sequences, p.sequences[1:]):
        last = two is p.sequences[-1]
        pair = (one.kind, two.kind)
        wrong = (pair == ("rough", "finish") and one.inside == two.inside
                 or pair == ("groove", "thread") and one.inside == two.inside
                 or pair == ("finish", "thread") and one.inside == two.inside
                 or pair[0] == "drill" and (two.inside or two.kind == "tap"))
        if not wrong or last:
            continue
        labels = [b for b in one.blocks + two.blocks if b.kind in ("rough", "finish") and "P" in b.v]
        if labels:
            continue
        a, b = whole(p, one), whole(p, two)
        c = whole(p, p.sequences[p.sequences.index(two) + 1])
        yield a, c - a, [*p.lines[b:c], *p.lines[a:b]]


def diameter_for_radius(p):
    """X of a whole sequence as the radius, or one word of it; or twice as large."""
    for s in p.sequences:
        xs = [b for b in s.blocks if b.kind and b.v.get("X")]
        if len(xs) < 2 or s.kind in ("drill", "tap"):
            continue
        yield {b.i: p.put(b.i, X=b.v["X"] / 2) for b in xs}
        cuts = [b for b in xs if b.kind in ("feed", "turn", "thread", "arc") and b.v["X"] > 4 * p.unit]
        for b in cuts[:3]:
            yield {b.i: p.put(b.i, X=b.v["X"] / 2)}
            yield {b.i: p.put(b.i, X=b.v["X"] * 2)}


def face_left(p):
    """The cut over the face forgotten: its block, or short of the centre."""
    faces = [b for s in p.sequences for b in s.blocks if b.kind in ("feed", "face") and "X" in b.v and b.x is not None and b.x <= 0 and (b.z or 0) > -0.5 * p.unit]
    if len(faces) > 1 or any(s.kind in ("drill", "tap") or s.inside for s in p.sequences):
        return
    for s in p.sequences:
        for k, b in enumerate(s.blocks):
            if b.kind == "feed" and "X" in b.v and "Z" not in b.v and b.x is not None and b.x <= 0 and b.z is not None and b.z >= -0.01 and b.x0 and b.x0 > 5 * p.unit:
                yield {b.i: ""}
                yield {b.i: p.put(b.i, X=round(b.x0 * 0.4, 1))}


def contour_one_short(p):
    """P or Q one block beside the contour's."""
    for s in p.sequences:
        for b in s.blocks:
            if b.kind in ("rough", "finish") and "P" in b.v and "Q" in b.v:
                numbers = [int(m.group(1)) for l in p.lines if (m := re.match(r"\s*N0*(\d+)", l, re.I))]
                for letter, step in (("Q", -1), ("P", 1), ("Q", 1)):
                    if int(b.v[letter]) in numbers:
                        k = numbers.index(int(b.v[letter])) + step
                        if 0 <= k < len(numbers) and abs(numbers[k] - b.v[letter]) <= 20:
                            line = re.sub(rf"(?i)\b{letter}\s*\d+", f"{letter}{numbers[k]}", p.lines[b.i], count=1)
                            yield {b.i: line}


def finish_left_out(p):
    """The finishing of a contour forgotten: its cycle, or its whole tool."""
    for s in p.sequences:
        for b in s.blocks:
            if b.kind == "finish" and "P" in b.v:
                yield {b.i: ""}
        following = p.sequences[p.sequences.index(s) + 1:]
        if s.kind == "finish" and any(b.kind == "finish" for b in s.blocks) and following and any(t.kind == "rough" and t.inside == s.inside for t in p.sequences):
            a, c = whole(p, s), whole(p, following[0])
            if not any(b.contour for b in s.blocks):
                yield a, c - a, []


def taper_left_out(p):
    """A cone turned as a cylinder: its X forgotten, or its end by half of the way."""
    for s in p.sequences:
        for run in stretch(s):
            for b in run:
                if b.kind == "feed" and "X" in b.v and "Z" in b.v and b.z < b.z0 - 5 * p.unit and 0.5 * p.unit < abs(b.x - b.x0) < 40 * p.unit:
                    yield {b.i: p.put(b.i, X=None)}
                    yield {b.i: p.put(b.i, X=round(b.x0 + (b.x - b.x0) / 2, 3))}


OPERATORS = [length_in_finishing, length_in_roughing, diameter_in_finishing, nothing_left, allowance_other_way, blade_by_its_width,
             widened_to_other_side, groove_depth_once, pass_of_a_row, end_at_the_old_place, radius_once, chamfer_to_other_side,
             leg_left_out, thread_against_part, thread_start_under_crest, core_for_crest, deeper_than_drilled, not_through,
             part_off_elsewhere, chamfer_after_parting, retract_forgotten, inside_of_metal, order_of_sequences,
             diameter_for_radius, face_left, contour_one_short, finish_left_out, taper_left_out]


def shape_thoughts(lines, system):
    """(operator, first line, how many lines, new lines) for thoughts about shape and metal."""
    p = Program(lines, system)
    for operator in OPERATORS:
        for made in operator(p):
            if made is None:
                continue
            made = p.change(made) if isinstance(made, dict) else made
            if made is not None:
                yield (f"thought: {operator.__name__.replace('_', ' ')}", *made)
