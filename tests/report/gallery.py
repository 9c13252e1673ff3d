"""The pictures of docs/pictures, made by one command: python3 tests/report/gallery.py [NAME...]
They are kept and compared with by tests/report/browser.sh. Needs what that needs."""

import base64
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "docs" / "pictures"
TURNWRIGHT = os.environ.get("TURNWRIGHT", str(ROOT / "build" / "turnwright"))
EXAMPLES, PICTURED = ROOT / "docs" / "examples", ROOT / "tests" / "report" / "pictured"

IN_CYCLE = "go_move(steps.findIndex(step => step[MOVES] > 12), before[steps.findIndex(step => step[MOVES] > 12)] + 10)"
AT_END = "go(last_step)"
# Name, program, what is done on the page, width, height, dark, what a person sees
PICTURES = (
    ("pump-shaft", EXAMPLES / "pump-shaft.nc", "go(Math.floor(last_step * .6))", 1400, 900, False, "a stepped shaft with a thread, while it is cut"),
    ("hub-hits", EXAMPLES / "hub-hits.nc", "go_to_hit(1)", 1400, 900, False, "planted hits: rings and numbers, the same beside it"),
    ("wear-bushing", EXAMPLES / "wear-bushing.nc", "go(Math.floor(last_step * .7))", 1400, 900, False, "a program in inch"),
    ("long-shaft", PICTURED / "long-shaft.nc", IN_CYCLE, 1400, 900, False, "twenty times as long as thick, inside a roughing cycle"),
    ("long-shaft-stretched", PICTURED / "long-shaft.nc", "stretch.value = '4'; stretch.dispatchEvent(new Event('change')); " + IN_CYCLE, 1400, 900, False, "the same with X stretched"),
    ("long-shaft-dark", PICTURED / "long-shaft.nc", IN_CYCLE, 1400, 900, True, "the same on a dark system"),
    ("tiny-pin", PICTURED / "tiny-pin.nc", AT_END, 1400, 900, False, "a pin of 4 mm"),
    ("face-cycles", PICTURED / "face-cycles.nc", IN_CYCLE, 800, 600, False, "a short fat part in a small window"),
    ("grooves", PICTURED / "grooves.nc", AT_END, 1400, 900, False, "a row of grooves"),
    ("bored-thread", PICTURED / "bored-thread.nc", "halves.click(); " + AT_END, 1400, 900, False, "bore and thread, both halves"),
    ("cross-holes", PICTURED / "cross-holes.nc", AT_END, 1400, 900, False, "work round the axis is no turned cut"),
    ("cross-holes-along", PICTURED / "cross-holes.nc", "look_at('axis'); go(last_step - 3)", 1400, 900, False, "the same along the axis, from the tailstock"),
    ("cross-holes-unrolled", PICTURED / "cross-holes.nc", "look_at('unrolled'); go(last_step - 3)", 800, 600, True, "the same unrolled, in a small window on a dark system"),
    ("pump-shaft-sizes", EXAMPLES / "pump-shaft.nc", "sizes.click()", 1400, 900, False, "the finished part with its sizes"),
    ("bar-job", PICTURED / "bar-job.nc", AT_END, 1400, 900, False, "parted off: the part has fallen"),
)
# Share of what can differ, black against white everywhere being 1
MOST_DIFFERENT = 0.004


def look(browser, width, height, dark=False):
    browser.call("Emulation.setDeviceMetricsOverride",
                 {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False})
    browser.call("Emulation.setEmulatedMedia", {"media": "", "features": [
        {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}]})
    # The page draws anew when its size is told.
    browser.call("Runtime.evaluate", {"awaitPromise": True, "expression":
                 "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"})


def make(browser, folder, wanted=()):
    with tempfile.TemporaryDirectory() as pages:
        for name, program, action, width, height, dark, _ in PICTURES:
            if wanted and name not in wanted:
                continue
            page = Path(pages) / (name + ".html")
            subprocess.run([TURNWRIGHT, "picture", str(program), "-o", str(page)], check=True)
            look(browser, width, height, dark)
            browser.open(page)
            browser.run(action)
            look(browser, width, height, dark)
            shot = browser.call("Page.captureScreenshot", {"format": "png"})["data"]
            (folder / (name + ".png")).write_bytes(base64.b64decode(shot))


def difference(browser, one, other):
    """Mean difference of two pictures made a quarter as large, so that the edges of letters count little."""
    urls = ["data:image/png;base64," + base64.b64encode(path.read_bytes()).decode() for path in (one, other)]
    browser.call("Page.navigate", {"url": "about:blank"})
    said = browser.call("Runtime.evaluate", {"awaitPromise": True, "returnByValue": True, "expression": """
        (async urls => {
            const rows = [];
            for (const url of urls) {
                const image = new Image();
                image.src = url;
                await image.decode();
                const sheet = new OffscreenCanvas(350, 225), pen = sheet.getContext("2d");
                pen.imageSmoothingQuality = "high";
                pen.drawImage(image, 0, 0, 350, 225);
                rows.push(pen.getImageData(0, 0, 350, 225).data);
            }
            return rows[0].reduce((sum, value, i) => sum + Math.abs(value - rows[1][i]), 0) / rows[0].length / 255;
        })(%s)""" % repr(urls)})
    return said["result"]["value"]


def write_list():
    lines = ["# Pictures", "", "The page that `turnwright picture PROGRAM -o path.html` writes, made by",
             "`python3 tests/report/gallery.py`. All programs are invented. A picture is no proof of anything.", ""]
    for name, *_, seen in PICTURES:
        lines += [f"## {name}", "", seen[0].upper() + seen[1:] + ".", "", f"![{seen}]({name}.png)", ""]
    (FOLDER / "README.md").write_text("\n".join(lines[:-1]) + "\n")


if __name__ == "__main__":
    sys.dont_write_bytecode = True
    from browser import Browser
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as profile:
        browser = Browser(profile)
        make(browser, FOLDER, sys.argv[1:])
        browser.close()
    write_list()
