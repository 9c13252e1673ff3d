#!/usr/bin/env python3
"""Writes the programs of the corpus that look as a post-processor writes them: every pass spelt out, every block
numbered. Run it in this folder; it overwrites posted_*.nc, which are kept in version control and may carry marks
added by hand, so compare before you keep its output. Jobs and numbers are invented."""

import math
import os

SAFETY = {"A": "", "B": "G90 ", "C": "G90 "}
UNITS = {("A", "mm"): "G21", ("A", "in"): "G20", ("B", "mm"): "G21", ("B", "in"): "G20",
         ("C", "mm"): "G71", ("C", "in"): "G70"}
PER_REV = {"A": "G99", "B": "G95", "C": "G95"}
LIMIT = {"A": "G50", "B": "G92", "C": "G92"}
THREAD = {"A": "G32", "B": "G33", "C": "G33"}


class Post:
    """Collects blocks. Lengths are in the program's unit, X on diameter."""

    def __init__(self, system, unit, number, title, step=10, zeros=True, home="G28", codes="split", blanks=True,
                 arcs="ik", leading=True):
        self.system, self.unit, self.step, self.home = system, unit, step, home
        self.codes, self.blanks, self.arcs, self.leading = codes, blanks, arcs, leading
        self.lines, self.next = ["%", f"O{number:04d} ({title})"], step
        self.zeros = zeros
        self.motion = None
        self.feed = None
        self.x = self.z = None

    def number(self, value):
        digits = 3 if self.unit == "mm" else 4
        value = round(value, digits)
        if value == 0:
            return "0."
        if self.zeros:
            text = f"{value:.{digits}f}"
        else:
            text = f"{value:.{digits}f}".rstrip("0")
        if not self.leading:
            text = text.replace("-0.", "-.") if text.startswith("-0.") else text
            text = text[1:] if text.startswith("0.") else text
        return text

    def block(self, *words):
        text = " ".join(word for word in words if word)
        if not self.blanks:
            text = text.replace(" ", "")
        self.lines.append(f"N{self.next} {text}" if self.blanks else f"N{self.next}{text}")
        self.next += self.step

    def note(self, text):
        self.lines.append(f"({text})")

    def tool(self, station, note, rpm, surface=None, limit=None, direction="M03", x=0.0, z=0.0):
        self.note(f"T{station:02d} {note}")
        self.block(f"T{station:02d}{station:02d}")
        self.block("G54 G18", SAFETY[self.system].strip(), UNITS[self.system, self.unit], "G40 G80 G97",
                   PER_REV[self.system])
        if surface:
            self.block(f"{LIMIT[self.system]} S{limit}")
        self.block(f"G97 S{rpm} {direction}")
        self.motion = self.feed = self.x = self.z = None
        self.rapid(x, z)
        self.block("M08")
        if surface:
            self.block(f"G96 S{surface}")
        self.surface, self.rpm = surface, rpm

    def end_tool(self, clear_x, clear_z, last=False, inside=False):
        if self.surface:
            self.block(f"G97 S{self.rpm}")
        self.motion = None
        if inside:
            self.rapid(self.x, clear_z)
        elif self.z < 0:
            self.rapid(clear_x, self.z)
            self.rapid(clear_x, clear_z)
        else:
            self.rapid(clear_x, clear_z)
        if self.home == "G28":
            if self.system == "A":
                self.block("G28 U0. W0.")
            else:
                self.block("G91 G28 X0. Z0.")
                self.block("G90")
        else:
            self.block("G00 G53 X0. Z0.")
        self.motion = None
        self.block("M09")
        self.block("M05")
        self.block("M30" if last else "M01")
        if last:
            self.lines.append("%")

    def move(self, code, x, z, feed=None, extra=""):
        words = []
        if self.motion != code:
            words.append(code)
        if x is not None and (self.x is None or abs(x - self.x) > 1e-9 or extra):
            words.append("X" + self.number(x))
        if z is not None and (self.z is None or abs(z - self.z) > 1e-9 or extra):
            words.append("Z" + self.number(z))
        if extra:
            words.append(extra)
        if len(words) == (1 if self.motion != code else 0):
            return
        if feed is not None and feed != self.feed:
            text = f"F{feed:.4f}".rstrip("0")
            words.append(text if self.leading else text.replace("F0.", "F."))
            self.feed = feed
        self.block(*words)
        self.motion = code
        self.x = x if x is not None else self.x
        self.z = z if z is not None else self.z

    def rapid(self, x, z):
        self.move("G00", x, z)

    def line(self, x, z, feed=None):
        self.move("G01", x, z, feed)

    def arc(self, clockwise, x, z, radius, feed=None):
        """An arc of at most a half circle."""
        code = "G02" if clockwise else "G03"
        x0, z0, x1, z1 = self.x / 2, self.z, x / 2, z
        dx, dz = x1 - x0, z1 - z0
        chord = math.hypot(dx, dz)
        height = math.sqrt(max(radius * radius - chord * chord / 4, 0.0))
        # Z to the right, X up: the centre lies to the right of the way for a clockwise arc.
        side = 1 if clockwise else -1
        right_z, right_x = dx / chord, -dz / chord
        centre_x = (x0 + x1) / 2 + side * right_x * height
        centre_z = (z0 + z1) / 2 + side * right_z * height
        if self.arcs == "ik":
            extra = f"I{self.number(centre_x - x0)} K{self.number(centre_z - z0)}"
        else:
            extra = f"R{self.number(radius)}"
        self.move(code, x, z, feed, extra)

    def save(self, folder, name):
        with open(os.path.join(folder, name), "w") as file:
            file.write("\n".join(self.lines) + "\n")


def sample(start, profile):
    """The profile as points (x, z); arcs in 24 chords."""
    points = [start]
    for part in profile:
        x0, z0 = points[-1]
        if part[0] == "L":
            points.append((part[1], part[2]))
            continue
        _, x1, z1, radius, clockwise = part
        ax, az, bx, bz = x0 / 2, z0, x1 / 2, z1
        dx, dz = bx - ax, bz - az
        chord = math.hypot(dx, dz)
        height = math.sqrt(max(radius * radius - chord * chord / 4, 0.0))
        side = 1 if clockwise else -1
        cx = (ax + bx) / 2 + side * (-dz / chord) * height
        cz = (az + bz) / 2 + side * (dx / chord) * height
        first = math.atan2(ax - cx, az - cz)
        last = math.atan2(bx - cx, bz - cz)
        if clockwise and last > first:
            last -= 2 * math.pi
        if not clockwise and last < first:
            last += 2 * math.pi
        for i in range(1, 25):
            angle = first + (last - first) * i / 24
            points.append((2 * (cx + radius * math.sin(angle)), cz + radius * math.cos(angle)))
    return points


def rough_outside(post, points, stock, depth, allowance, clear, feed, back):
    """Straight passes toward the chuck until the profile (growing) stands in the way."""
    smallest = min(x for x, _ in points) + 2 * allowance
    x = stock - 2 * depth
    while x > smallest - 1e-9:
        end = None
        for (xa, za), (xb, zb) in zip(points, points[1:]):
            if xa + 2 * allowance <= x + 1e-9 < xb + 2 * allowance:
                share = (x - xa - 2 * allowance) / (xb - xa)
                end = za + share * (zb - za) + allowance
                break
        if end is None:
            end = points[-1][1]
        if end < clear:
            post.rapid(x, clear)
            post.line(x, end, feed)
            post.line(x + 2 * back, end + back)
            post.rapid(x + 2 * back, clear)
        x -= 2 * depth


def follow(post, profile, feed):
    for part in profile:
        if part[0] == "L":
            post.line(part[1], part[2], feed)
        else:
            post.arc(part[4], part[1], part[2], part[3], feed)


def finish_outside(post, start, profile, clear, away, feed):
    post.motion = None
    post.block("G00 G42", "X" + post.number(start[0]))
    post.motion, post.x = "G00", start[0]
    post.line(start[0], start[1], feed)
    follow(post, profile, feed)
    post.motion = None
    post.block("G00 G40", "X" + post.number(away))
    post.motion, post.x = "G00", away
    post.rapid(away, clear)


def face(post, stock, clear, feed, nose):
    post.line(stock, 0.0, feed * 2)
    post.line(-2 * nose, 0.0, feed)
    post.line(-2 * nose, clear)
    post.rapid(stock, clear)


def peck(post, clear, depth, step, feed, gap):
    reached = 0.0
    while reached > depth + 1e-9:
        post.rapid(0.0, reached + gap if reached < 0 else clear)
        reached = max(reached - step, depth)
        post.line(0.0, reached, feed)
        post.rapid(0.0, clear)


def thread(post, major, depth, lead, first, start, end, away):
    passes = math.ceil((depth / first) ** 2)
    for n in range(1, passes + 2):
        reached = min(first * math.sqrt(n), depth)
        post.rapid(major - 2 * reached, start)
        post.motion = None
        post.block(f"{THREAD[post.system]} Z{post.number(end)} F{post.number(lead)}")
        post.z = end
        post.rapid(away, end)
        post.rapid(away, start)


def groove(post, bottom, top, left, right, width, feed, away):
    """Plunges from left to right, a tool width less overlap apart; the left corner is the tool's point."""
    z, last = left, right - width
    while True:
        post.rapid(away, z)
        post.line(top, z, feed * 5)
        post.line(bottom, z, feed)
        post.block("G04", "P200")
        post.line(top, z, feed * 5)
        if z >= last - 1e-9:
            break
        z = min(z + width * 0.8, last)
    post.rapid(away, z)


def part_off(post, z, stock, through, feed, clear):
    post.line(stock * 0.6, z, feed)
    post.line(stock, z, feed * 6)
    post.line(stock * 0.6, z, feed * 6)
    post.line(through, z, feed * 0.7)


def shaft_job(post, scale, stock, profile, start, thread_size=None, groove_at=None, drill=None, off=None):
    clear = 1.0 * scale
    far_x, far_z = stock + 30 * scale, 15 * scale
    points = sample(start, profile)
    surface = 190 if post.unit == "mm" else 600
    limit = 2500
    post.tool(1, "ROUGH R0.8" if scale == 1 else "ROUGH R.031", 900, surface, limit, x=far_x, z=far_z)
    post.rapid(stock + 2 * scale, clear)
    face(post, stock + 2 * scale, clear, 0.2 * scale, 0.8 * scale)
    rough_outside(post, points, stock, 1.5 * scale, 0.25 * scale, clear, 0.28 * scale, 0.5 * scale)
    post.end_tool(far_x, far_z)
    post.tool(3, "FINISH R0.4" if scale == 1 else "FINISH R.016", 1200, int(surface * 1.3), limit, x=far_x, z=far_z)
    post.rapid(stock + 2 * scale, clear)
    finish_outside(post, start, profile, clear, stock + 2 * scale, 0.12 * scale)
    ops = [thread_size, groove_at, drill, off]
    post.end_tool(far_x, far_z, last=not any(ops))
    if drill:
        diameter, depth, rpm, step, feed = drill
        post.tool(4, f"DRILL {post.number(diameter)}", rpm, x=0.0, z=far_z)
        post.rapid(0.0, clear)
        peck(post, clear, depth, step, feed, 0.5 * scale)
        post.end_tool(0.0, far_z, inside=True, last=not (groove_at or thread_size or off))
    if groove_at:
        bottom, top, left, right, width = groove_at
        post.tool(5, f"GROOVE {post.number(width)} WIDE", 800, x=far_x, z=far_z)
        groove(post, bottom, top + 1 * scale, left, right, width, 0.06 * scale, stock + 2 * scale)
        post.end_tool(far_x, far_z, last=not (thread_size or off))
    if thread_size:
        major, depth, lead, first, end = thread_size
        post.tool(7, "THREAD", 600, x=far_x, z=far_z)
        post.rapid(major + 4 * scale, max(4 * lead, 4 * scale))
        thread(post, major, depth, lead, first, max(4 * lead, 4 * scale), end, major + 4 * scale)
        post.end_tool(far_x, far_z, last=not off)
    if off:
        z, through = off
        post.tool(9, "PART OFF 3 WIDE" if scale == 1 else "PART OFF .125 WIDE", 700, int(surface * 0.5), 1500,
                  x=far_x, z=far_z)
        post.rapid(stock + 2 * scale, z)
        part_off(post, z, stock + 1 * scale, through, 0.06 * scale, clear)
        post.end_tool(far_x, far_z, last=True)


def bore_job(post, scale, hole, bore, depth, chamfer, extra_steps=()):
    """A drilled hole bored in passes; steps are (diameter, depth) from the front, larger first."""
    clear, far_z = 1.0 * scale, 15 * scale
    post.tool(2, f"DRILL {post.number(hole)}", 800, x=0.0, z=far_z)
    post.rapid(0.0, clear)
    peck(post, clear, -(depth + 0.3 * hole), 12 * scale, 0.18 * scale, 0.5 * scale)
    post.end_tool(0.0, far_z, inside=True)
    surface = 160 if post.unit == "mm" else 500
    inside = hole - 1.5 * scale
    post.tool(6, "ROUGH BORE", 1100, surface, 2500, x=inside, z=far_z)
    post.rapid(inside, clear)
    for diameter, down in [*extra_steps, (bore, depth)]:
        x = hole + 2 * scale
        while x < diameter - 0.5 * scale + 1e-9:
            post.rapid(x, clear)
            post.line(x, -down + 0.1 * scale, 0.2 * scale)
            post.line(x - 1 * scale, -down + 0.1 * scale)
            post.rapid(x - 1 * scale, clear)
            x += 2 * scale
        hole = max(hole, x - 2 * scale) if diameter == bore else hole
    post.rapid(inside, clear)
    post.end_tool(0.0, far_z, inside=True)
    post.tool(8, "FINISH BORE", 1400, int(surface * 1.3), 2800, x=inside, z=far_z)
    post.rapid(inside, clear)
    widest = extra_steps[0][0] if extra_steps else bore
    begin = widest + 2 * chamfer + 2 * clear
    post.motion = None
    post.block("G00 G41", "X" + post.number(begin))
    post.motion, post.x = "G00", begin
    post.line(widest, -chamfer, 0.1 * scale)
    steps = [*extra_steps, (bore, depth)]
    for index, (diameter, down) in enumerate(steps):
        post.line(diameter, -down)
        if index + 1 < len(steps):
            post.line(steps[index + 1][0], -down)
    post.line(inside + 0.5 * scale, -depth)
    post.motion = None
    post.rapid(inside + 0.5 * scale, clear)
    post.block("G00 G40", "X" + post.number(inside))
    post.motion, post.x = "G00", inside
    post.end_tool(0.0, far_z, inside=True, last=True)


L, A = "L", "A"


def stepped(scale):
    s = scale
    return (22 * s, 1 * s), [
        (L, 28 * s, -2 * s), (L, 28 * s, -30 * s), (L, 33 * s, -30 * s), (L, 35 * s, -31 * s), (L, 35 * s, -58 * s),
        (A, 39 * s, -60 * s, 2 * s, True), (L, 44 * s, -60 * s), (A, 48 * s, -62 * s, 2 * s, False),
        (L, 48 * s, -90 * s)]


def handle():
    return (0.0, 1.0), [
        (L, 0.0, 0.0), (A, 24.0, -12.0, 12.0, False), (L, 24.0, -20.0), (L, 26.0, -40.0),
        (A, 32.0, -55.0, 80.0, True), (L, 34.0, -64.0), (A, 38.0, -66.0, 2.0, False), (L, 38.0, -80.0)]


def ellipse(length, height, count):
    """The outside of a half ellipsoid by short straight moves, from the tip."""
    profile = [(L, 0.0, 0.0)]
    for i in range(1, count + 1):
        angle = math.pi / 2 * i / count
        profile.append((L, round(2 * height * math.sin(angle), 3), round(-length * (1 - math.cos(angle)), 3)))
    profile.append((L, 2 * height, -length - 15.0))
    return (0.0, 1.0), profile


def write_all():
    start, profile = stepped(1.0)
    post = Post("A", "mm", 5001, "COUPLING SHAFT")
    shaft_job(post, 1.0, 50.0, profile, start, (28.0, 1.227, 2.0, 0.35, -28.0), (25.2, 28.0, -30.0, -25.0, 3.0),
              (10.2, -45.0, 900, 9.0, 0.16), (-86.0, -0.6))
    post.save("system_a", "posted_coupling_shaft.nc")

    post = Post("A", "mm", 5002, "FORM HANDLE BALL END", step=5, zeros=False, home="G53", arcs="r")
    start, profile = handle()
    shaft_job(post, 1.0, 40.0, profile, start, off=(-83.0, -0.6))
    post.save("system_a", "posted_form_handle.nc")

    post = Post("A", "mm", 5003, "NOSE CONE BY SHORT MOVES", step=1, zeros=False)
    start, profile = ellipse(60.0, 22.0, 180)
    shaft_job(post, 1.0, 50.0, profile, start)
    post.save("system_a", "posted_nose_cone.nc")

    s = 1 / 25.4
    start, profile = stepped(s)
    start = tuple(round(v, 4) for v in start)
    profile = [tuple(round(v, 4) if isinstance(v, float) else v for v in part) for part in profile]
    post = Post("A", "in", 5004, "COUPLING SHAFT INCH", zeros=False, leading=False)
    shaft_job(post, s, 2.0, profile, start, (1.1024, 0.0483, 0.0787, 0.014, -1.1), (0.992, 1.1024, -1.1811, -0.9843, 0.125),
              (0.4016, -1.75, 900, 0.35, 0.006), (-3.4, -0.02))
    post.save("system_a", "posted_coupling_shaft_inch.nc")

    post = Post("B", "mm", 5005, "SLEEVE BORED IN STEPS", zeros=False)
    bore_job(post, 1.0, 20.0, 32.0, 60.0, 1.0, ((52.0, 12.0), (40.0, 35.0)))
    post.save("system_b", "posted_stepped_bore.nc")

    post = Post("B", "in", 5006, "HOUSING BORE", step=2, zeros=False, leading=False, home="G53")
    bore_job(post, s, 0.75, 1.375, 2.0, 0.03, ((1.875, 0.5),))
    post.save("system_b", "posted_housing_bore_inch.nc")

    post = Post("B", "mm", 5007, "GUIDE PIN", step=10, zeros=True, home="G53", arcs="r")
    profile = [(L, 20.0, -1.0), (L, 20.0, -45.0), (A, 24.0, -47.0, 2.0, True), (L, 28.0, -47.0), (L, 30.0, -48.0),
               (L, 30.0, -70.0)]
    shaft_job(post, 1.0, 32.0, profile, (16.0, 1.0), None, (17.5, 20.0, -44.0, -40.0, 2.0), None, (-65.0, -0.6))
    post.save("system_b", "posted_guide_pin.nc")

    post = Post("B", "mm", 5008, "DOME NUT BLANK", step=1, zeros=False, home="G53")
    start, profile = ellipse(25.0, 18.0, 120)
    shaft_job(post, 1.0, 42.0, profile, start, off=(-38.0, -0.6))
    post.save("system_b", "posted_dome.nc")

    post = Post("C", "mm", 5009, "THREADED PIN", step=10, zeros=False, home="G53", blanks=False)
    profile = [(L, 24.0, -2.0), (L, 24.0, -32.0), (L, 34.0, -32.0), (L, 36.0, -33.0), (L, 36.0, -60.0)]
    shaft_job(post, 1.0, 40.0, profile, (18.0, 1.0), (24.0, 0.92, 1.5, 0.28, -29.5), (21.6, 24.0, -32.0, -28.0, 3.0),
              None, (-55.0, -0.6))
    post.save("system_c", "posted_threaded_pin.nc")

    post = Post("C", "in", 5010, "GATE WHEEL HUB BORE", step=5, zeros=False, leading=False)
    bore_job(post, s, 0.875, 1.5, 1.75, 0.04)
    post.save("system_c", "posted_hub_bore_inch.nc")

    post = Post("C", "mm", 5011, "CONE PLUG BY SHORT MOVES", step=1, zeros=True, home="G53", arcs="r")
    start, profile = ellipse(90.0, 30.0, 260)
    shaft_job(post, 1.0, 65.0, profile, start, None, None, (14.0, -40.0, 700, 10.0, 0.18))
    post.save("system_c", "posted_cone_plug.nc")

    post = Post("C", "mm", 5012, "PLAIN SPINDLE", step=10, zeros=True)
    profile = [(L, 40.0, -1.0), (L, 40.0, -80.0), (A, 46.0, -83.0, 3.0, True), (L, 58.0, -83.0), (L, 60.0, -84.0),
               (L, 60.0, -140.0), (L, 78.0, -158.0), (L, 80.0, -180.0)]
    shaft_job(post, 1.0, 85.0, profile, (36.0, 1.0), None, (37.5, 40.0, -30.0, -27.0, 3.0))
    post.save("system_c", "posted_plain_spindle.nc")


if __name__ == "__main__":
    write_all()
