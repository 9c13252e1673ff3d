"""screen_picture.py FILE...: screens of a terminal, as `tmux capture-pane -e -p` gives them, one below the other as an SVG
on standard output. What stands behind the last - of a file's name is the screen's title."""
import html
import os
import re
import sys

CELL_WIDTH, CELL_HEIGHT, SIZE, EDGE, TITLE_HEIGHT = 8.4, 17, 14, 8, 26
INK, PAPER = "#d8d8d8", "#16181d"
BASIC = ["#16181d", "#d0655f", "#6fae5d", "#c9a84a", "#5b8fd6", "#b073c4", "#4fb0b5", "#d8d8d8",
         "#6b7078", "#ee8a84", "#93cf81", "#e6c96d", "#86b2ee", "#cd99de", "#78d0d4", "#ffffff"]


def indexed(number):
    """A colour of the 256: sixteen by name, a cube of six steps, greys."""
    if number < 16:
        return BASIC[number]
    if number < 232:
        steps = [0, 95, 135, 175, 215, 255]
        number -= 16
        return "#%02x%02x%02x" % (steps[number // 36], steps[number // 6 % 6], steps[number % 6])
    return "#" + "%02x" % (8 + 10 * (number - 232)) * 3


class Style:
    def __init__(self):
        self.ink = self.paper = None
        self.bold = self.slanted = self.lined = self.turned = False

    def take(self, codes):
        """The numbers of one ESC [ ... m."""
        codes = [code.split(":")[0] for code in codes.split(";")]
        numbers = [int(code or 0) for code in codes]
        while numbers:
            number = numbers.pop(0)
            if number in (38, 48, 58):
                kind = numbers.pop(0)
                colour = indexed(numbers.pop(0)) if kind == 5 else "#%02x%02x%02x" % tuple(numbers.pop(0) for _ in "rgb")
                if number != 58:
                    setattr(self, "ink" if number == 38 else "paper", colour)
            elif number == 0:
                self.__init__()
            elif number in (1, 22):
                self.bold = number == 1
            elif number in (3, 23):
                self.slanted = number == 3
            elif number in (4, 24):
                self.lined = number == 4
            elif number in (7, 27):
                self.turned = number == 7
            elif number in (39, 49):
                setattr(self, "ink" if number == 39 else "paper", None)
            else:
                for first, last, what, bright in ((30, 37, "ink", 0), (40, 47, "paper", 0), (90, 97, "ink", 8), (100, 107, "paper", 8)):
                    if first <= number <= last:
                        setattr(self, what, BASIC[number - first + bright])

    def colours(self):
        ink, paper = self.ink or INK, self.paper or PAPER
        return (paper, ink) if self.turned else (ink, paper)


def drawn(line, style, top):
    """Runs of one style: the paper where it is not the screen's own, and the letters."""
    column = 0
    for codes, text in re.findall(r"\x1b\[([0-9;:]*)m|([^\x1b]+)", line):
        if not text:
            style.take(codes)
            continue
        (ink, paper), left = style.colours(), EDGE + column * CELL_WIDTH
        width = len(text) * CELL_WIDTH
        column += len(text)
        if paper != PAPER:
            yield f'<rect x="{left:.1f}" y="{top}" width="{width:.1f}" height="{CELL_HEIGHT}" fill="{paper}"/>'
        if text.strip():
            more = ' font-weight="bold"' * style.bold + ' font-style="italic"' * style.slanted + ' text-decoration="underline"' * style.lined
            yield (f'<text x="{left:.1f}" y="{top + 13}" textLength="{width:.1f}" fill="{ink}"{more} '
                   f'xml:space="preserve">{html.escape(text)}</text>')


def main(files):
    out, top, columns = [], 0, 0
    for name in files:
        with open(name, encoding="utf-8") as file:
            lines = file.read().rstrip("\n").split("\n")
        title = os.path.basename(name).rsplit(".", 1)[0].split("-", 1)[1]
        columns = max(columns, *(len(re.sub(r"\x1b\[[0-9;:]*m", "", line)) for line in lines))
        out.append(f'<text x="{EDGE}" y="{top + 18}" fill="#9aa0a8">{html.escape(title)}</text>')
        top += TITLE_HEIGHT
        style = Style()
        for line in lines:
            out += drawn(line, style, top)
            top += CELL_HEIGHT
        top += EDGE
    width, size = columns * CELL_WIDTH + 2 * EDGE, f"font-family=\"DejaVu Sans Mono, monospace\" font-size=\"{SIZE}\""
    print(f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{top}" viewBox="0 0 {width:.0f} {top}" {size}>')
    print(f'<rect width="100%" height="100%" fill="{PAPER}"/>', *out, "</svg>", sep="\n")


main(sys.argv[1:])
