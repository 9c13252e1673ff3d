"""What random tools leave of random stock, against Shapely: areas and volumes within 0.1 % of what was cut.

Usage: compare.py STOCK_VALUES. Nothing here uses the project's geometry: a nose is a fine buffer, a way is many
short steps, a volume is Pappus' theorem by the centroid that Shapely finds.
"""

import math
import random
import subprocess
import sys

try:
    from shapely.affinity import translate
    from shapely.geometry import LineString, Point, Polygon, box
    from shapely.ops import unary_union
except ImportError as missing:
    sys.exit(f"FAILED: {missing}. Install python3-shapely for /usr/bin/python3.")

RANDOM = random.Random(13399)
WITHIN = 0.001
KINDS = ["turning", "turning", "turning", "boring", "boring", "grooving", "face", "thread", "bore-thread", "drill"]
CASES = 120
HOLDER_CASES = 1000


def volume(area):
    """Pappus: area times the way of its centroid about the centreline. Coordinates are (z, x)."""
    return 0.0 if area.is_empty else 2 * math.pi * area.area * area.centroid.y


def points_of(segment, step_mm=0.05):
    """(z, x) along a segment."""
    is_arc, x0, z0, x1, z1, cx, cz, sweep = segment
    if not is_arc:
        return [(z0, x0), (z1, x1)]
    radius = math.hypot(x0 - cx, z0 - cz)
    start = math.atan2(x0 - cx, z0 - cz)
    steps = max(8, math.ceil(radius * abs(sweep) / step_mm))
    return [
        (cz + radius * math.cos(start + sweep * i / steps), cx + radius * math.sin(start + sweep * i / steps))
        for i in range(steps + 1)
    ]


def insert(nose, direction, approach, back):
    """Tip at 0, 0; the body lies above (3) or below (2), to the right."""
    up = 1 if direction == 3 else -1
    centre = (nose, up * nose)
    angle = math.radians(approach)
    leading = (-math.cos(angle), up * math.sin(angle))
    trailing = (math.cos(math.radians(back)), up * math.sin(math.radians(back)))
    shape = [Point(centre).buffer(nose, 256)] if nose > 0 else [Point(centre).buffer(1e-9)]
    # An edge touches the nose: its line is the radius away from the centre.
    for edge, other in ((leading, trailing), (trailing, leading)):
        normal = (-edge[1], edge[0])
        if normal[0] * other[0] + normal[1] * other[1] > 0:
            normal = (edge[1], -edge[0])
        foot = (centre[0] + nose * normal[0], centre[1] + nose * normal[1])
        shape.append(Point(foot))
        shape.append(Point(foot[0] + 25 * edge[0], foot[1] + 25 * edge[1]))
    far = [centre[i] + 25 * (leading[i] + trailing[i]) for i in (0, 1)]
    shape.append(Point(far))
    return unary_union(shape).convex_hull


def blade(nose, direction, width):
    left = 0 if direction == 3 else -width
    body = box(left, 0, left + width, 500)
    if nose == 0:
        return body
    # Round both corners of the edge.
    inner = box(left + nose, nose, left + width - nose, 600).buffer(nose, 256)
    return inner.intersection(body)


def face_blade(nose, direction, width):
    """The same on a face: its edge looks to the left, its body is above the set corner (3) or below (2)."""
    below = 0 if direction == 3 else -width
    body = box(0, below, 500, below + width)
    if nose == 0:
        return body
    return box(nose, below + nose, 600, below + width - nose).buffer(nose, 256).intersection(body)


def threader(outside):
    """All of a thread's depth is taken off: a blade of no width."""
    return LineString([(0, 0), (0, 500 if outside else -500)])


def drill(diameter, point):
    radius = diameter / 2
    length = radius / math.tan(math.radians(point / 2))
    return Polygon([(0, 0), (length, radius), (500, radius), (500, -radius), (length, -radius)])


def swept(shape, segment, step_mm=0.05):
    way = points_of(segment, step_mm)
    parts = []
    for (za, xa), (zb, xb) in zip(way, way[1:]):
        parts.append(unary_union([translate(shape, za, xa), translate(shape, zb, xb)]).convex_hull)
    return unary_union(parts)


def line(a, b):
    return (0, *a, *b, 0, 0, 0)


def turning_contour(outer, length, direction):
    """From the front to the left: lines and arcs that rise and fall a little. Points are (x, z)."""
    segments = []
    at = (outer * RANDOM.uniform(0.5, 0.95), RANDOM.uniform(0.5, 3))
    while at[1] > -length:
        kind = RANDOM.random()
        dz = -RANDOM.uniform(1, 9)
        if kind < 0.4:
            to = (at[0], at[1] + dz)
        elif kind < 0.75:
            to = (max(2.0, at[0] + RANDOM.uniform(-0.6, 1.2) * -dz), at[1] + dz)
        else:
            # A quarter of a circle that rises outward, bulging in or out.
            radius = RANDOM.uniform(0.5, 5)
            to = (at[0] + radius, at[1] - radius)
            if RANDOM.random() < 0.5:
                centre, sweep = (at[0], at[1] - radius), math.pi / 2  # outside corner
            else:
                centre, sweep = (at[0] + radius, at[1]), -math.pi / 2  # fillet
            segments.append((1, *at, *to, *centre, sweep))
            at = to
            continue
        segments.append(line(at, to))
        at = to
    return segments


def bore_contour(bore, front):
    """From the front to the left, lines and quarters of circles that close in and open a little."""
    at = (bore + RANDOM.uniform(1, 6), front + 1)
    segments = []
    for _ in range(RANDOM.randint(2, 7)):
        room = at[0] - bore
        if RANDOM.random() < 0.4 and room > 0.6:
            radius = RANDOM.uniform(0.5, room)
            to = (at[0] - radius, at[1] - radius)
            if RANDOM.random() < 0.5:
                centre, sweep = (at[0] - radius, at[1]), math.pi / 2
            else:
                centre, sweep = (at[0], at[1] - radius), -math.pi / 2
            segments.append((1, *at, *to, *centre, sweep))
        else:
            to = (max(bore, at[0] - RANDOM.uniform(-0.2, 0.8)), at[1] - RANDOM.uniform(1, 8))
            segments.append(line(at, to))
        at = to
    return segments


def random_case():
    outer = RANDOM.uniform(10, 60)
    front = RANDOM.uniform(0, 2)
    length = RANDOM.uniform(20, 90)
    kind = RANDOM.choice(KINDS)
    nose = RANDOM.choice([0.0, 0.2, 0.4, 0.8, 1.2])
    case = {"kind": kind, "nose": nose, "direction": 3, "approach": 95, "back": 5, "width": 3, "diameter": 10, "point": 118}
    case["bore"] = 0.0
    if kind == "turning":
        case["approach"], case["back"] = RANDOM.choice([(95, 5), (93, 32), (95, 50), (75, 15)])
        segments = turning_contour(outer, length * 0.8, 3)
        shape = insert(nose, 3, case["approach"], case["back"])
    elif kind == "boring":
        case["direction"] = 2
        case["bore"] = outer * RANDOM.uniform(0.1, 0.5)
        segments = bore_contour(case["bore"], front)
        shape = insert(nose, 2, 95, 5)
    elif kind == "grooving":
        case["direction"] = RANDOM.choice([3, 4])
        case["width"] = RANDOM.uniform(2.5, 6)
        segments = []
        for _ in range(RANDOM.randint(1, 5)):
            z, x = -RANDOM.uniform(2, length * 0.8), outer * RANDOM.uniform(0.4, 0.95)
            segments.append(line((outer + 2, z), (x, z)))
            segments.append(line((x, z), (x, z - RANDOM.uniform(0, 3))))
        shape = blade(nose, case["direction"], case["width"])
    elif kind == "face":
        case["direction"] = RANDOM.choice([2, 3])
        case["width"] = RANDOM.uniform(2.5, 6)
        segments = []
        for _ in range(RANDOM.randint(1, 4)):
            x, z = outer * RANDOM.uniform(0.4, 0.8), front - RANDOM.uniform(0.5, 8)
            segments.append(line((x, front + 2), (x, z)))
            segments.append(line((x, z), (x + RANDOM.uniform(-2, 2), z)))
        shape = face_blade(nose, case["direction"], case["width"])
    elif kind == "thread":
        # Passes that go deeper, some with a run-out or on a taper.
        segments, x, end = [], outer, -RANDOM.uniform(5, length * 0.8)
        taper = RANDOM.choice([0, 0, 1 / 32])
        for _ in range(RANDOM.randint(2, 6)):
            x -= RANDOM.uniform(0.05, 0.4)
            segments.append(line((x, front + 4), (x + taper * (front + 4 - end), end)))
            if RANDOM.random() < 0.5:
                segments.append(line(segments[-1][3:5], (outer + 1, end - RANDOM.uniform(0.5, 2))))
        shape = threader(True)
    elif kind == "bore-thread":
        case["bore"] = outer * RANDOM.uniform(0.3, 0.6)
        segments, x, end = [], case["bore"], -RANDOM.uniform(5, length * 0.8)
        for _ in range(RANDOM.randint(2, 6)):
            x += RANDOM.uniform(0.05, 0.4)
            segments.append(line((x, front + 4), (x, end)))
        shape = threader(False)
    else:
        case["diameter"] = outer * RANDOM.uniform(0.2, 1.2)
        case["point"] = RANDOM.choice([90, 118, 135, 140])
        segments = [line((0, front + 2), (0, -RANDOM.uniform(1, length * 0.9)))]
        shape = drill(case["diameter"], case["point"])
    return outer, front, length, case, segments, shape


def question(outer, front, length, case, segments):
    words = [outer, case["bore"], -length, front, case["kind"], case["nose"], case["direction"], case["approach"]]
    words += [case["back"], case["width"], case["diameter"], case["point"], len(segments)]
    for segment in segments:
        words += segment
    return " ".join(repr(w) if isinstance(w, float) else str(w) for w in words)


def random_holder():
    """A stock, an outline that is a star round a middle (so often hollow), and one move."""
    stock = (RANDOM.uniform(10, 60), RANDOM.choice([0.0, 8.0]), -RANDOM.uniform(20, 90), RANDOM.uniform(0, 2))
    middle = (RANDOM.uniform(5, 30), RANDOM.uniform(-10, 30))
    count = RANDOM.randint(5, 11)
    # No gap of half a turn: the middle would lie outside.
    turns = [2 * math.pi * (i + RANDOM.uniform(0, 0.9)) / count for i in range(count)]
    outline = [(middle[0] + r * math.sin(t), middle[1] + r * math.cos(t)) for t in turns for r in [RANDOM.uniform(1, 20)]]
    if RANDOM.random() < 0.5:
        outline.reverse()
    at, to = [(RANDOM.uniform(-5, 60), RANDOM.uniform(-80, 20)) for _ in range(2)]
    if RANDOM.random() < 0.3:
        centre = (at[0] + RANDOM.uniform(-15, 15), at[1] + RANDOM.uniform(-15, 15))
        sweep = RANDOM.uniform(-3, 3)
        turned = math.atan2(at[0] - centre[0], at[1] - centre[1]) + sweep
        radius = math.hypot(at[0] - centre[0], at[1] - centre[1])
        to = (centre[0] + radius * math.sin(turned), centre[1] + radius * math.cos(turned))
        return stock, middle, outline, (1, *at, *to, *centre, sweep)
    return stock, middle, outline, line(at, to)


def holder_failures():
    """Triangles round the star's middle, each swept as a convex shape, against the project's own way."""
    cases = [random_holder() for _ in range(HOLDER_CASES)]
    asked = ""
    for stock, _, outline, segment in cases:
        words = ["holder", *stock, len(outline), *(value for point in outline for value in point), *segment]
        asked += " ".join(str(word) for word in words) + "\n"
    answers = subprocess.run([sys.argv[1]], input=asked, text=True, capture_output=True, check=True, timeout=120)
    lines = answers.stdout.splitlines()
    if len(lines) != len(cases):
        return [f"{len(cases)} questions on holders, {len(lines)} answers"]
    failures, hits = [], 0
    for (stock, middle, outline, segment), text in zip(cases, lines):
        area, near = map(float, text.split())
        fans = [
            Polygon([(z, x) for x, z in (middle, a, b)]) for a, b in zip(outline, outline[1:] + outline[:1])
        ]
        way = unary_union([swept(fan, segment, step_mm=0.5) for fan in fans])
        part = box(stock[2], stock[1], stock[3], stock[0])
        met = way.intersection(part)
        hits += met.area > 1
        # An arc is cut into chords that leave it by 0.05 mm at most.
        limit = 0.01 + (0.05 * met.length if segment[0] else 1e-4 * met.area)
        if abs(area - met.area) > limit:
            failures.append(f"holder {outline} on {segment}: meets {area} of {stock}, Shapely {met.area}")
        if abs(near - way.distance(part)) > (0.06 if segment[0] else 1e-3):
            failures.append(f"holder {outline} on {segment}: {near} from {stock}, Shapely {way.distance(part)}")
    if not HOLDER_CASES / 5 < hits < HOLDER_CASES * 0.98:
        failures.append(f"{hits} of {HOLDER_CASES} holders hit: the cases tell little")
    print(f"{HOLDER_CASES} holders, {hits} of them hit")
    return failures


def main():
    cases = [random_case() for _ in range(CASES)]
    asked = "\n".join(question(*case[:5]) for case in cases) + "\n"
    answers = subprocess.run([sys.argv[1]], input=asked, text=True, capture_output=True, check=True, timeout=120)
    lines = answers.stdout.splitlines()
    if len(lines) != len(cases):
        sys.exit(f"FAILED: {len(cases)} questions, {len(lines)} answers")
    failures, worst, cut_cases, cut_kinds = holder_failures(), 0.0, 0, {}
    for (outer, front, length, case, segments, shape), text in zip(cases, lines):
        raw = box(-length, case["bore"], front, outer)
        way = unary_union([swept(shape, segment) for segment in segments])
        left = raw.difference(way)
        # What has no hold any more falls off.
        if left.geom_type == "MultiPolygon":
            left = min(left.geoms, key=lambda piece: piece.bounds[0])
        cut = raw.area - left.area
        if cut > 1:
            cut_cases += 1
            cut_kinds[case["kind"]] = cut_kinds.get(case["kind"], 0) + 1
        try:
            area, left_volume, removed = map(float, text.split())
        except ValueError:
            failures.append(f"{case}: {text}")
            continue
        area_off = abs(area - left.area)
        volume_off = abs(left_volume - volume(left))
        wanted_cut = volume(raw) - volume(left)
        # Within 0.1 % of what was taken off, which is less than of what is left; a hundredth of a square
        # millimetre where hardly anything was.
        limit = max(WITHIN * cut, 0.01)
        volume_limit = max(WITHIN * wanted_cut, 0.01 * 2 * math.pi * outer)
        if cut > 10:
            worst = max(worst, area_off / cut, volume_off / wanted_cut)
        if area_off > limit or volume_off > volume_limit:
            failures.append(f"{case}, {len(segments)} moves: area {area} for {left.area}, volume {left_volume} for {volume(left)}")
        fell_off = raw.difference(way).geom_type == "MultiPolygon"
        if not fell_off and abs(removed - wanted_cut) > volume_limit:
            failures.append(f"{case}: the moves took off {removed}, Shapely {wanted_cut}")
    for kind in KINDS:
        if cut_kinds.get(kind, 0) < 4:
            failures.append(f"only {cut_kinds.get(kind, 0)} cases of {kind} cut anything")
    print(f"{len(cases)} cases, {cut_cases} that cut, worst {worst * 100:.4f} % where over 10 mm2 were cut")
    if failures:
        print("\n".join(failures))
        sys.exit("FAILED")


if __name__ == "__main__":
    main()
