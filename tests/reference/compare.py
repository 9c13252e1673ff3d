"""The project's numbers on random cases against SciPy (integrals, roots) and Shapely (geometry).

Usage: compare.py REFERENCE_VALUES. The program answers one question a line; see values/values.cpp.
Nothing here uses the project's formulas: integrals are taken numerically along the path, arcs are points.
"""

import math
import random
import subprocess
import sys

try:
    from scipy import integrate, optimize
    from shapely.geometry import LineString, MultiPoint, Point, Polygon
except ImportError as missing:
    sys.exit(f"FAILED: {missing}. Install python3-scipy and python3-shapely for /usr/bin/python3.")

RANDOM = random.Random(6983)
failures = []
counts = {}


def check(name, good, detail):
    counts[name] = counts.get(name, 0) + 1
    if not good:
        failures.append(f"{name}: {detail}")


def near(a, b, relative=1e-7, absolute=1e-9):
    return abs(a - b) <= max(relative * abs(b), absolute)


class Segment:
    """x0 z0 x1 z1, and for arcs centre and sweep (positive: from plus Z toward plus X)."""

    def __init__(self, start, end, centre=None, sweep=0.0):
        self.start, self.end, self.centre, self.sweep = start, end, centre, sweep

    def words(self):
        cx, cz = self.centre or (0, 0)
        numbers = (*self.start, *self.end, cx, cz, self.sweep)
        return f"{1 if self.centre else 0} " + " ".join(repr(float(n)) for n in numbers)

    def at(self, t):
        if not self.centre:
            return tuple(a + (b - a) * t for a, b in zip(self.start, self.end))
        cx, cz = self.centre
        radius = math.hypot(self.start[0] - cx, self.start[1] - cz)
        angle = math.atan2(self.start[0] - cx, self.start[1] - cz) + self.sweep * t
        return cx + radius * math.sin(angle), cz + radius * math.cos(angle)

    def length(self):
        if not self.centre:
            return math.dist(self.start, self.end)
        return abs(self.sweep) * math.dist(self.start, self.centre)

    def points(self, steps=2000):
        if not self.centre:
            return [self.start, self.end]
        return [self.at(i / steps) for i in range(steps + 1)]


def read_segments(numbers):
    segments = []
    for i in range(0, len(numbers), 8):
        arc, x0, z0, x1, z1, cx, cz, sweep = numbers[i : i + 8]
        segments.append(Segment((x0, z0), (x1, z1), (cx, cz) if arc else None, sweep))
    return segments


def line_of(segments, steps=2000):
    points = []
    for segment in segments:
        points += segment.points(steps)
    return LineString(points)


def some(low, high):
    return RANDOM.uniform(low, high)


def random_arc(radius_low=1, radius_high=20, centre_low=0, centre_high=30):
    centre = (some(centre_low, centre_high), some(-20, 20))
    radius, start, sweep = some(radius_low, radius_high), some(-math.pi, math.pi), some(-6, 6)
    arc = Segment((centre[0] + radius * math.sin(start), centre[1] + radius * math.cos(start)), None, centre, sweep)
    arc.end = arc.at(1)
    return arc


def random_line(low=-10, high=40):
    return Segment((some(low, high), some(-20, 20)), (some(low, high), some(-20, 20)))


# --- Time under surface speed: SciPy integrates ds / (f n) along the path ------------------------------------


def time_case():
    segment = random_arc() if RANDOM.random() < 0.5 else random_line()
    feed, speed = some(0.05, 0.5), some(50, 400)
    limit = some(500, 6000) if RANDOM.random() < 0.8 else 0
    length = segment.length()

    def minutes_per_share(t):
        radius = abs(segment.at(t)[0])
        rpm = 1000 * speed / (2 * math.pi * radius) if radius > 0 else math.inf
        if limit:
            rpm = min(rpm, limit)
        return length / (feed * rpm)

    # Kinks where the limit takes over or the centre is crossed: many short spans instead of knowing them.
    spans = 400
    total = sum(integrate.quad(minutes_per_share, i / spans, (i + 1) / spans)[0] for i in range(spans))

    def judge(numbers):
        check("time", near(numbers[0], total * 60, 1e-5), f"{segment.words()} {numbers[0]} != {total * 60}")

    return f"time {segment.words()} {feed!r} {speed!r} {limit!r}", judge


# --- Arcs by radius: SciPy finds the centre, the turning direction is seen from sampled points ---------------


def arc_case():
    start, end = (some(0, 40), some(-20, 20)), (some(0, 40), some(-20, 20))
    chord = math.dist(start, end)
    fits = RANDOM.random() < 0.8
    radius = chord * (some(0.51, 3) if fits else some(0.1, 0.49)) * RANDOM.choice([1, -1])
    clockwise = RANDOM.random() < 0.5

    def judge(numbers):
        cx, cz, sweep, trouble = numbers
        check("arc trouble", bool(trouble) != fits, f"{start} {end} {radius}")
        if not fits:
            return
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        normal = (-(end[1] - start[1]) / chord, (end[0] - start[0]) / chord)
        height = optimize.brentq(lambda h: math.hypot(h, chord / 2) - abs(radius), 0, 4 * abs(radius))
        centres = [(middle[0] + s * height * normal[0], middle[1] + s * height * normal[1]) for s in (1, -1)]
        distance = min(math.dist((cx, cz), c) for c in centres)
        check("arc centre", distance < 1e-6, f"{(cx, cz)} is none of {centres}")
        arc = Segment(start, end, (cx, cz), sweep)
        check("arc end", math.dist(arc.at(1), end) < 1e-6, f"{arc.at(1)} != {end}")
        check("arc direction", (sweep < 0) == clockwise, f"{sweep}")
        check("arc share", (abs(sweep) <= math.pi) == (radius > 0), f"{sweep} for R {radius}")
        sampled = LineString(arc.points(5000)).length
        check("arc length", near(sampled, arc.length(), 1e-6), f"{sampled} != {arc.length()}")

    numbers = " ".join(repr(n) for n in (*start, *end, radius))
    return f"arc {numbers} {int(clockwise)}", judge


# --- Meetings: Shapely intersects the sampled paths -----------------------------------------------------------


def meet_case():
    first = random_arc() if RANDOM.random() < 0.6 else random_line()
    second = random_arc() if RANDOM.random() < 0.6 else random_line()

    def judge(numbers):
        found = [(numbers[i], numbers[i + 1]) for i in range(0, len(numbers), 2)]
        a, b = LineString(first.points(6000)), LineString(second.points(6000))
        crossing = a.intersection(b)
        wanted = [] if crossing.is_empty else [crossing] if crossing.geom_type == "Point" else list(crossing.geoms)
        wanted = [(p.x, p.y) for p in wanted if p.geom_type == "Point"]
        # Where the paths only graze or end on each other the sampled ones may miss.
        for point in found:
            close = max(a.distance(Point(point)), b.distance(Point(point)))
            check("meeting on both", close < 1e-4, f"{first.words()} / {second.words()}: {point} is {close} off")
        for point in wanted:
            distance = min((math.dist(point, f) for f in found), default=math.inf)
            check("meeting found", distance < 2e-3, f"{first.words()} / {second.words()}: {point} in {found}")

    return f"meet {first.words()} {second.words()}", judge


# --- Corners: a rounding is what Shapely's opening of the wedge leaves ------------------------------------------


def corner_case():
    corner = (some(5, 30), some(-20, 0))
    angle, turn = some(-math.pi, math.pi), some(0.4, 2.6) * RANDOM.choice([1, -1])
    before, after = some(8, 20), some(8, 20)
    start = (corner[0] - before * math.sin(angle), corner[1] - before * math.cos(angle))
    end = (corner[0] + after * math.sin(angle + turn), corner[1] + after * math.cos(angle + turn))
    rounded = RANDOM.random() < 0.6
    size = some(0.3, 1.2)

    def judge(numbers):
        segments = read_segments(numbers)
        check("corner fits", len(segments) == 3, f"{start} {corner} {end} {size}: {len(segments)} pieces")
        if len(segments) != 3:
            return
        if not rounded:
            leg_in = math.dist(segments[0].end, corner)
            leg_out = math.dist(segments[2].start, corner)
            check("chamfer", near(leg_in, size) and near(leg_out, size), f"{leg_in} {leg_out} != {size}")
            return
        wedge = Polygon([start, corner, end])
        # Opening: what a disc of this radius reaches inside the wedge. Away from the other two corners it is
        # the wedge with a rounded corner.
        opened = wedge.buffer(-size, 512).buffer(size, 512)
        check("rounding is possible", not opened.is_empty, f"{start} {corner} {end} {size}")
        if opened.is_empty:
            return
        worst = max(opened.exterior.distance(Point(p)) for p in segments[1].points(50))
        check("rounding", worst < 1e-4, f"{start} {corner} {end} {size}: {worst} off")

    words = f"{Segment(start, corner).words()} {Segment(corner, end).words()}"
    return f"corner {int(rounded)} {size!r} {words}", judge


# --- The nose's way: Shapely's parallel offset ---------------------------------------------------------------


def random_contour(steps, gentle=False):
    """From the front to the chuck: lines, tapers, shoulders and arcs that rise, and fall too when not gentle."""
    x, z = some(5, 12), 0.0
    segments = []
    for _ in range(steps):
        kind = RANDOM.choice(["along", "taper", "out", "arc"] if gentle else ["along", "taper", "fall", "arc"])
        dz, dx = -some(4, 9), some(3, 6)
        if kind == "along":
            end = (x, z + dz)
        elif kind == "taper":
            end = (x + dx, z + dz)
        elif kind == "out":
            end = (x + dx, z)
        elif kind == "fall":
            end = (x - min(dx, x - 2), z + dz)
        else:
            radius = some(3, 6)
            end = (x + radius, z - radius)
            # A quarter: round outside (centre below) or a fillet (centre above).
            centre, sweep = RANDOM.choice([((x, z - radius), math.pi / 2), ((x + radius, z), -math.pi / 2)])
            segments.append(Segment((x, z), end, centre, sweep))
            x, z = end
            continue
        segments.append(Segment((x, z), end))
        x, z = end
    return segments


def nose_case():
    contour = random_contour(RANDOM.randint(2, 6))
    radius = some(0.2, 1.2)
    left = RANDOM.random() < 0.3  # in Z-right, X-up; Shapely sees the pair (x, z), where sides change over

    def judge(numbers):
        check("nose troubles", numbers[0] == 0, f"{[s.words() for s in contour]} r {radius}")
        if numbers[0]:
            return
        way = read_segments(numbers[1:])
        fine = line_of(contour, 4000)
        off = max(abs(fine.distance(Point(p)) - radius) for s in way for p in s.points(40))
        check("nose touches", off < 1e-4, f"{[s.words() for s in contour]} r {radius}: {off} off")
        # Shapely's offset shows side and completeness. It works on 400 chords an arc (more make it drop parts) and
        # stands square on the last chord at an end, half a step's angle from the arc.
        side = "right" if left else "left"
        theirs = line_of(contour, 400).parallel_offset(radius, side, resolution=256, join_style=1)
        if theirs.geom_type != "LineString":
            theirs = max(theirs.geoms, key=lambda g: g.length)
        distance = line_of(way, 200).hausdorff_distance(theirs)
        allowed = radius * (math.pi / 2 / 400 / 2) * 1.05 + 2e-4
        check("nose", distance < allowed, f"{[s.words() for s in contour]} r {radius} left {left}: {distance}")

    words = " ".join(s.words() for s in contour)
    return f"nose {radius!r} {int(left)} {len(contour)} {words}", judge


# --- Roughing: passes stay off the contour, and what they leave is thinner than a cut --------------------------


def rough_case():
    facing = RANDOM.random() < 0.4
    pockets = RANDOM.random() < 0.4
    contour = random_contour(RANDOM.randint(3, 7), gentle=not pockets)
    top = max(p[0] for s in contour for p in s.points(50))
    start = (top + some(0.5, 4), some(0.5, 3))
    first = contour[0].start
    lead = [Segment(start, (first[0], start[1]))]
    surface = [Segment((first[0], start[1]), first)] + contour
    depth, retract = some(0.5, 2.5), some(0.2, 1)
    allowance = (some(0, 0.5), some(0, 0.3))

    def flip(segments):
        if not facing:
            return segments
        turned = []
        for s in segments:
            centre = (s.centre[1], s.centre[0]) if s.centre else None
            turned.append(Segment(s.start[::-1], s.end[::-1], centre, -s.sweep))
        return turned

    def judge(numbers):
        check("rough troubles", numbers[0] == 0, f"{numbers[0]}")
        moves = []
        for i in range(1, len(numbers), 9):
            moves.append((int(numbers[i]), flip(read_segments(numbers[i + 1 : i + 9]))[0]))
        for (_, one), (_, two) in zip(moves, moves[1:]):
            check("rough chain", math.dist(one.end, two.start) < 1e-6, f"{one.end} then {two.start}")
        check("rough returns", math.dist(moves[-1][1].end, start) < 1e-6, f"{moves[-1][1].end} != {start}")
        shift = lambda p: (p[0] + allowance[0], p[1] + allowance[1])
        points = [shift(p) for s in surface for p in s.points(300)]
        # What must stay: the part below the shifted contour.
        keep = Polygon(points + [(-50, points[-1][1]), (-50, points[0][1])]).buffer(0)
        keep = keep.buffer(-1e-4)
        level_cuts = []
        for role, segment in moves:
            path = LineString(segment.points(300)) if segment.length() > 1e-9 else None
            if path is None:
                continue
            check("rough stays off", not path.intersects(keep), f"role {role}: {segment.words()}")
            if role == 2 and abs(segment.start[0] - segment.end[0]) < 1e-9:
                level_cuts.append(segment)
        # Level cuts are one depth apart, from the start moved by the allowance.
        for cut in level_cuts:
            steps = (start[0] + allowance[0] - cut.start[0]) / depth
            on_contour = min(abs(cut.start[0] - p[0]) for p in points) < 1e-6
            check("rough level", abs(steps - round(steps)) < 1e-6 or on_contour, f"{cut.words()} depth {depth}")
        # Wherever the contour is, some level cut passed within one depth above it.
        for _ in range(20):
            p = RANDOM.choice(points)
            z = p[1]
            above = start[0] + allowance[0] - p[0]
            if above < depth or (p[0] - points[0][0]) < depth and not pockets:
                continue
            heights = [c.start[0] - p[0] for c in level_cuts
                       if min(c.start[1], c.end[1]) - 1e-6 <= z <= max(c.start[1], c.end[1]) + 1e-6]
            heights = [h for h in heights if h > -1e-6]
            # The cut that comes nearest ended at the contour's own wall, at most a depth higher.
            walls = [c.start[0] - p[0] for c in level_cuts
                     if c.start[0] > p[0] - 1e-6 and abs(c.end[1] - z) < 1e-6]
            check("rough leaves", min(heights + walls, default=math.inf) <= depth + 1e-3,
                  f"at {p}: {min(heights + walls, default=None)} left, depth {depth}")
        ours = line_of([s for role, s in moves if role == 2][-len(surface):], 300)
        distance = ours.hausdorff_distance(LineString(points))
        check("rough last pass", distance < 1e-6, f"{distance}")

    words = " ".join(s.words() for s in flip(lead + surface))
    place = start[::-1] if facing else start
    left = allowance[::-1] if facing else allowance
    numbers = " ".join(repr(n) for n in (*place, depth, retract, *left))
    return f"rough {int(facing)} {int(pockets)} {numbers} {len(lead + surface)} {words}", judge


# --- Threads: equal areas of the groove, by Shapely ------------------------------------------------------------


def groove_area(depth, flank):
    half = depth * math.tan(flank)
    return Polygon([(0, -half), (0, half), (-depth, 0)]).area


def areas_case():
    height, passes = some(0.3, 3), RANDOM.randint(2, 15)
    flank = math.radians(RANDOM.choice([27.5, 29, 30]) / 1)

    def judge(depths):
        areas = [groove_area(d, flank) for d in depths]
        steps = [b - a for a, b in zip([0] + areas, areas)]
        check("equal areas", near(max(steps), min(steps), 1e-9), f"{steps}")
        check("full height", near(depths[-1], height), f"{depths[-1]} != {height}")

    return f"areas {height!r} {passes}", judge


def thread_case():
    height = some(0.6, 3)
    first, least, finish = some(0.12, 0.5), RANDOM.choice([0, some(0.01, 0.12)]), RANDOM.choice([0, some(0.02, 0.1)])
    passes = RANDOM.randint(1, 3)

    def judge(depths):
        rough = depths[: len(depths) - passes]
        check("thread ends", all(near(d, height) for d in depths[-passes:]), f"{depths}")
        check("thread roughs to", near(rough[-1], height - finish), f"{rough[-1]} != {height - finish}")
        steps = [b - a for a, b in zip([0] + rough, rough)]
        check("thread steps", all(s >= least - 1e-9 for s in steps[1:-1]), f"{steps} least {least}")
        check("thread shallower", all(b <= a + 1e-9 for a, b in zip(steps, steps[1:])), f"{steps}")
        areas = [groove_area(d, math.pi / 6) for d in rough]
        cut = [b - a for a, b in zip([0] + areas, areas)]
        for step, area in list(zip(steps, cut))[:-1]:
            if step > least + 1e-9:
                check("thread area", near(area, cut[0], 1e-9), f"{cut}")

    numbers = " ".join(repr(float(n)) for n in (height, first, least, finish))
    return f"thread {numbers} {passes}", judge


# --- Roughness: the ridge between two noses a feed apart -------------------------------------------------------


def roughness_case():
    radius = some(0.2, 1.6)
    feed = radius * some(0.05, 0.9)

    def judge(numbers):
        rule, exact = numbers
        noses = Point(0, 0).buffer(radius, 4096).union(Point(feed, 0).buffer(radius, 4096))
        ridge = noses.intersection(LineString([(feed / 2, 0), (feed / 2, -2 * radius)])).bounds[1]
        wanted = (ridge + radius) * 1000
        check("roughness exact", near(exact, wanted, 1e-4, 0.002), f"{exact} != {wanted}")
        check("roughness rule is low", rule <= exact and rule > 0.93 * exact, f"{rule} {exact}")

    return f"roughness {feed!r} {radius!r}", judge


CASES = [
    (time_case, 60),
    (arc_case, 400),
    (meet_case, 600),
    (corner_case, 200),
    (nose_case, 120),
    (rough_case, 150),
    (areas_case, 50),
    (thread_case, 200),
    (roughness_case, 50),
]


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    cases = [make() for make, count in CASES for _ in range(count)]
    questions = "\n".join(question for question, _ in cases) + "\n"
    result = subprocess.run([sys.argv[1]], input=questions, capture_output=True, text=True, check=True)
    answers = result.stdout.splitlines()
    if len(answers) != len(cases):
        sys.exit(f"FAILED: {len(cases)} questions, {len(answers)} answers")
    for (question, judge), answer in zip(cases, answers):
        judge([float(word) for word in answer.split()[1:]])
    for name, count in counts.items():
        print(f"{name}: {count} checks")
    for failure in failures[:40]:
        print("FAILED", failure)
    print(f"{sum(counts.values())} checks on {len(cases)} cases, {len(failures)} failed")
    sys.exit(1 if failures else 0)


main()
