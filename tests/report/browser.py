"""Drives headless chromium over its debugging pipe: no package but the browser itself."""

import base64
import json
import os
import re
import select
import subprocess
import sys
import tempfile
import time
import unittest
from pathlib import Path

import gallery

ROOT = Path(__file__).resolve().parents[2]
TURNWRIGHT = os.environ.setdefault("TURNWRIGHT", str(ROOT / "build" / "turnwright"))
sys.path.append(str(ROOT / "tests" / "endtoend"))
import driver
import firefox
import test_picture_beside
SHAFT = ROOT / "docs" / "examples" / "pump-shaft.nc"
HITS = ROOT / "docs" / "examples" / "hub-hits.nc"
SCREENSHOTS = os.environ.get("SCREENSHOTS")
IN_FIREFOX = os.environ.get("BROWSER") == "firefox"

HOSTILE = """%
O0666 (</title></script><script>document.title='taken'</script>)
(MACHINE NOTE <img src="http://127.0.0.1:9/x.png" onerror="document.title='taken'">)
G21 G18 G40 G99
N1 (<script>document.title='taken'</script> & <b>BOLD</b>)
G54 T0101
G97 S1000 M03
G00 X40. Z2. (<svg onload="document.title='taken'">)
G01 Z-48. F0.2
X44.
G00 X100. Z50.
M30
%
"""


# Rapids that end in the stock a millimetre apart
CLOSE_HITS = "%\nO0777 (HITS BESIDE EACH OTHER)\n(STOCK D60. L100. FACE 0.)\nG21 G18 G40 G99\nN1 T0101\nG97 S800 M03\nG00 X70. Z5.\n" + "".join(
    f"G00 X{50 - i}. Z-{10 + i}.\nG00 X70.\n" for i in range(6)) + "G00 X100. Z50.\nM30\n%\n"


# The face of the second side is that of the first one's length: what the second facing finds is taken to stand there
TURNED_ROUND = ("%\nO0778 (BOTH SIDES)\n(STOCK D60. L40. FACE 1. JAW Z-25. D150.)\nG21 G18 G40 G99 G54\nN1 T0101\nG97 S800 M03\n"
                "G00 X64. Z0.\nG01 X-1.6 F.2\nG00 X64. Z2.\nX40.\nG01 Z-15.\nX64.\nG00 X100. Z50.\nM00 (TURN THE PART ROUND)\n"
                "N3 T0303 (FINISH 80 DEG R0.4)\nG97 S800 M03\nG00 X64. Z0.\nG01 X-1.6 F.2\nG00 X64. Z2.\nX50.\nG01 Z-10.\nX64.\nG00 X100. Z50.\nM30\n%\n")


MANY_MOVES = "%\nO5000 (MANY MOVES)\n(STOCK D60. L300. FACE 0.)\nG21 G18 G40 G99\nN1 T0101\nG97 S800 M03\nG00 X70. Z2.\n" + "".join(
    f"G00 X{58 - i // 100 * 1.2:.2f} Z{1 - i % 100 * 2:.2f}\nG01 Z{-1 - i % 100 * 2:.2f} F.2\nX{59 - i // 100 * 1.2:.2f}\nG00 X70.\nZ2.\n"
    for i in range(1000)) + "G00 X100. Z50.\nM30\n%\n"


class Browser:
    def __init__(self, folder):
        to_read, self._write = os.pipe()
        self._read, to_write = os.pipe()

        def set_pipes():  # chromium reads commands from 3 and answers on 4
            first, second = os.dup(to_read), os.dup(to_write)
            os.dup2(first, 3)
            os.dup2(second, 4)

        self._process = subprocess.Popen(
            ["chromium", "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--hide-scrollbars",
             "--disable-background-networking", "--disable-component-update", "--disable-sync",
             f"--user-data-dir={folder}", "--remote-debugging-pipe", "about:blank"],
            preexec_fn=set_pipes, close_fds=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(to_read)
        os.close(to_write)
        self._held = b""
        self._number = 0
        self.events = []
        target = self.call("Target.createTarget", {"url": "about:blank"})["targetId"]
        self._session = None
        self._session = self.call("Target.attachToTarget", {"targetId": target, "flatten": True})["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.call(domain + ".enable")
        self.call("Emulation.setDeviceMetricsOverride",
                  {"width": 1400, "height": 950, "deviceScaleFactor": 1, "mobile": False})

    _session = None

    def _receive(self):
        while b"\0" not in self._held:
            if not select.select([self._read], [], [], 60)[0]:
                raise TimeoutError("the browser said nothing for a minute")
            piece = os.read(self._read, 1 << 20)
            if not piece:
                raise EOFError("the browser ended")
            self._held += piece
        message, self._held = self._held.split(b"\0", 1)
        return json.loads(message)

    def call(self, method, params=None):
        self._number += 1
        message = {"id": self._number, "method": method, "params": params or {}}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._receive()
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise RuntimeError(answer["error"])
                return answer["result"]
            self.events.append(answer)

    def open(self, path, fragment=""):
        # By way of an empty page: another fragment alone would not load the file again.
        address = str(path) if str(path).startswith("http://") else Path(path).as_uri()
        for url in ("about:blank", address + fragment):
            self.events.clear()
            self.call("Page.navigate", {"url": url})
            while not any(event.get("method") == "Page.loadEventFired" for event in self.events):
                self.events.append(self._receive())

    def run(self, expression):
        result = self.call("Runtime.evaluate", {"expression": expression, "returnByValue": True})
        if "exceptionDetails" in result:
            raise RuntimeError(result["exceptionDetails"])
        return result["result"].get("value")

    def text(self, name):
        return self.run(f"document.getElementById('{name}').textContent")

    def requests(self):
        return [event["params"]["request"]["url"] for event in self.events
                if event.get("method") == "Network.requestWillBeSent"]

    def problems(self):
        return [event["params"] for event in self.events
                if event.get("method") in ("Runtime.exceptionThrown", "Log.entryAdded")]

    def screenshot(self, name):
        picture = base64.b64decode(self.call("Page.captureScreenshot", {"format": "png"})["data"])
        if SCREENSHOTS:
            Path(SCREENSHOTS).mkdir(parents=True, exist_ok=True)
            (Path(SCREENSHOTS) / name).write_bytes(picture)
        return picture

    def pdf(self, path, inches=(8.5, 11)):
        """On paper of so many inches, as a person's printer has it."""
        data = self.call("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False,
                                             "paperWidth": inches[0], "paperHeight": inches[1]})["data"]
        Path(path).write_bytes(base64.b64decode(data))

    def close(self):
        try:
            self._session = None
            self.call("Browser.close")
        except (EOFError, OSError):
            pass
        self._process.wait(20)


class InBrowser(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.here = Path(cls.folder.name)
        cls.browser = firefox.Firefox(cls.here / "profile") if IN_FIREFOX else Browser(cls.here / "profile")

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()
        cls.folder.cleanup()

    def make(self, command, program, ending=".html"):
        if isinstance(program, str):
            source = self.here / "program.nc"
            source.write_text(program)
        else:
            source = program
        out = self.here / (command + ending)
        subprocess.run([TURNWRIGHT, command, str(source), "-o", str(out)], check=True)
        return out

    def picture(self, program, fragment=""):
        self.browser.open(self.make("picture", program), fragment)

    def press(self, key, code=None, modifiers=0):
        for kind in ("keyDown", "keyUp"):
            self.browser.call("Input.dispatchKeyEvent", {"type": kind, "key": key, "code": code or key, "modifiers": modifiers})

    def look(self, width, height):
        gallery.look(self.browser, width, height)

    def setUp(self):
        self.look(1400, 900)

    def test_opens_at_the_first_block_and_the_slider_steps(self):
        self.picture(SHAFT)
        browser = self.browser
        self.assertEqual(browser.problems(), [])
        last = browser.run("Number(slider.max)")
        self.assertGreater(last, 50)
        self.assertEqual(browser.run("Number(slider.value)"), 0)
        first = browser.screenshot("page-first.png")
        browser.run("slider.value = 40; slider.dispatchEvent(new Event('input'))")
        self.assertIn("block 41 of", browser.text("place"))
        self.assertNotEqual(first, browser.screenshot("page-middle.png"))
        for name in ("tool", "spindle", "feed", "position", "time", "sequence"):
            self.assertTrue(browser.text(name), name)

    def test_keys_step_by_block_move_sequence_and_warning(self):
        self.picture(HITS)
        browser = self.browser
        at = lambda: browser.run("[at, done - before[at]]")
        self.press("End")
        last = at()[0]
        self.assertEqual(last, browser.run("last_step"))
        for _ in range(3):
            self.press("ArrowLeft")
        self.assertEqual(at()[0], last - 3)
        self.press("Home")
        self.assertEqual(at()[0], 0)
        self.press("PageDown")
        self.assertEqual(at()[0], browser.run("[...first_of_span.values()][1]"))
        many = browser.run("steps.findIndex(step => step[MOVES] > 3)")
        browser.run(f"go_move({many}, 0)")
        self.press("ArrowDown")
        self.press("ArrowDown")
        self.assertEqual(at(), [many, 2])
        self.press("ArrowUp")
        self.assertEqual(at(), [many, 1])
        self.press("Home")
        self.press("n")
        self.assertEqual(browser.run("[hit_now, at]"), [0, browser.run("data.hits[0].step")])
        self.assertIn("warning: ", browser.text("spoken"))
        self.press("n")
        self.press("p")
        self.assertEqual(browser.run("hit_now"), 0)
        scale = browser.run("view.scale")
        self.press("+")
        self.assertGreater(browser.run("view.scale"), scale)
        self.press("0")
        self.assertAlmostEqual(browser.run("view.scale"), scale)

    def test_hits_are_ringed_where_they_are(self):
        self.picture(HITS)
        self.assertEqual(self.browser.run("data.hits.length"), 6)
        self.assertEqual(self.browser.run("data.hits.filter(hit => hit.severity === 'warning' && hit.at).length"), 5)
        self.assertEqual(self.browser.run("document.querySelectorAll('#hit-list li').length"), 6)

    def test_numbers_of_hits_close_together_can_all_be_read(self):
        self.picture(CLOSE_HITS)
        browser = self.browser
        self.assertGreaterEqual(browser.run("data.hits.filter(hit => place_of_hit(hit)).length"), 5)
        overlaps = ("hit_numbers.flatMap((a, i) => hit_numbers.slice(i + 1).filter(b => a && b && overlap(a, b)))"
                    ".length")
        for width, height in ((1400, 900), (800, 600)):
            self.look(width, height)
            for _ in range(4):
                self.assertEqual(browser.run(overlaps), 0)
                outside = browser.run("hit_numbers.filter(box => box && (!in_frame(box[0], box[1]) || !in_frame(box[2], box[3]))).length")
                self.assertEqual(outside, 0)
                browser.run("zoom_middle(1 / 1.4); draw()")
            browser.run("fit_view(); draw()")
        # All of those in view have one, and a click on a number that stands away from its ring goes there.
        self.assertEqual(browser.run("hit_numbers.filter(Boolean).length"),
                         browser.run("data.hits.filter(hit => { const at = place_of_hit(hit); return at && in_frame(across(at[0]), down(at[1])); }).length"))
        last = browser.run("hit_numbers.findLastIndex(Boolean)")
        browser.run(f"on_click((hit_numbers[{last}][0] + hit_numbers[{last}][2]) / 2, (hit_numbers[{last}][1] + hit_numbers[{last}][3]) / 2)")
        self.assertEqual(browser.run("hit_now"), last)
        browser.screenshot("close-hits.png")

    def test_the_name_of_the_tool_in_work_is_never_cut_off(self):
        self.picture(HITS)
        browser = self.browser
        browser.run("window.names = []; const was = draw_name; draw_name = (...all) => { was(...all); names.push([all[0], taken[taken.length - 1]]); }")
        for place in ("go(0)", "go(last_step)", "go_to_hit(1)", "go_to_hit(5)", "zoom_middle(6); draw()", "fit_view(); zoom_middle(1 / 3); draw()"):
            browser.run(f"names.length = 0; {place}")
            for words, box in browser.run("names"):
                self.assertTrue(browser.run(f"in_frame({box[0]}, {box[1]}) && in_frame({box[2]}, {box[3]})"), f"{words} at {place}")
            if browser.run("tool_place() && data.tools[steps[at][STATION]]"):
                self.assertTrue(any(words.startswith("T") for words, _ in browser.run("names")), place)
        browser.run("draw_name = was")

    def test_the_stock_goes_with_the_moves_and_back(self):
        self.picture(ROOT / "tests" / "report" / "pictured" / "long-shaft.nc")
        browser = self.browser
        self.assertEqual(browser.run("data.stock.whyNot"), "")
        self.assertEqual(browser.run("String(stock_row)"), browser.run("String(data.stock.first)"))
        self.assertEqual(browser.run("String(data.stock.raw)"), browser.run("String(data.stock.first)"))
        # Inside the roughing cycle every pass takes something off, so that the stock gets smaller pass by pass.
        cycle = browser.run("steps.findIndex(step => step[MOVES] > 20)")
        area = ("(() => { let sum = 0; for (let i = 0; i + 3 < stock_row.length; i += 2) if (stock_row[i + 2] !== null && "
                "stock_row[i] !== null) sum += (stock_row[i] - stock_row[i + 2]) * (stock_row[i + 1] + stock_row[i + 3]); "
                "return Math.abs(sum); })()")
        areas = browser.run(f"(() => {{ const all = []; for (let i = 0; i <= steps[{cycle}][MOVES]; ++i) {{ "
                            f"go_move({cycle}, before[{cycle}] + i); all.push({area}); }} return all; }})()")
        self.assertEqual(areas, sorted(areas, reverse=True))
        self.assertGreater(len(set(areas)), 5)
        browser.run("go(last_step)")
        end = browser.run("String(stock_row)")
        self.assertNotEqual(end, browser.run("String(data.stock.first)"))
        browser.run("go(0)")
        self.assertEqual(browser.run("String(stock_row)"), browser.run("String(data.stock.first)"))
        browser.run("go(last_step)")
        self.assertEqual(browser.run("String(stock_row)"), end)

    def test_what_is_parted_off_falls_off(self):
        self.picture(ROOT / "tests" / "report" / "pictured" / "bar-job.nc")
        front = "(go(last_step), Math.max(...stock_row.filter((n, i) => i % 2 === 0 && n !== null)))"
        self.assertEqual(self.browser.run(front), -18000)  # The parting tool's corner stands at Z-18.
        self.assertEqual(self.browser.run("(go(0), Math.max(...stock_row.filter((n, i) => i % 2 === 0 && n !== null)))"), 500)

    def test_a_part_that_is_turned_round_lies_so_and_not_in_the_jaws_of_before(self):
        # 60 by 40, its raw face at Z1: 1 mm is faced off, 39 are left, and the other face is the first facing's there.
        self.picture(TURNED_ROUND)
        browser = self.browser
        ends = "(zs => [Math.min(...zs), Math.max(...zs)])(stock_row.filter((n, i) => i % 2 === 0 && n !== null))"
        self.assertGreater(browser.run("data.bodies.length"), 0)
        self.assertEqual(browser.run("(go(0), is_turned())"), False)
        self.assertEqual(browser.run(ends), [-39000, 1000])
        self.assertEqual(browser.run("(go(last_step), is_turned())"), True)
        self.assertEqual(browser.run(ends), [-39000, 0])
        browser.screenshot("turned-round.png")

    def test_a_long_part_stands_clear_of_the_lower_edge(self):
        room = "(view.height - MARGIN.bottom - down(0)) / inner().height"
        self.picture(ROOT / "tests" / "report" / "pictured" / "long-shaft.nc")
        self.assertGreater(self.browser.run(room), 0.2)
        self.assertLess(self.browser.run(room), 0.4)
        self.picture(ROOT / "tests" / "report" / "pictured" / "face-cycles.nc")
        self.assertLess(self.browser.run(room), 0.1)

    def test_work_round_the_axis_is_no_turned_cut(self):
        self.picture(ROOT / "tests" / "report" / "pictured" / "cross-holes.nc")
        browser = self.browser
        milled = browser.run("steps.map((step, i) => [data.lines[step[LINE]], step[MOVES], data.texts[step[OPEN]]])"
                             ".filter(row => /^X-?25/.test(row[0]))")
        self.assertEqual(len(milled), 4)
        for _, moves, why in milled:
            self.assertEqual(moves, 0)
            self.assertIn("round the axis", why)
        self.assertIn("work round the axis in views of its own", browser.run("document.querySelector('header').textContent"))
        # A hexagon 50 over its corners, along the axis and unrolled at the stock's 60.
        browser.run(f"go(steps.findIndex(step => data.lines[step[LINE]] === 'X-25. C-21.65'))")
        self.press("v")
        self.assertEqual(browser.run("view.what"), "axis")
        corners = browser.run("[...round.values()].flat().filter(way => way.feed).map(way => on_round(way.points[way.points.length - 1]))"
                              ".map(([h, v]) => Math.hypot(h, v))")
        self.assertEqual([round(one / 100) for one in corners[:7]], [250] * 7)
        along = browser.screenshot("round-along.png")
        self.press("v")
        self.assertEqual(browser.run("[view.what, round_radius()]"), ["unrolled", 30000])
        self.assertNotEqual(along, browser.screenshot("round-unrolled.png"))
        self.assertRegex(browser.text("position"), r"C(239\.99|240)")
        self.assertIn("C", browser.run("(measure(true), take_point({z: 0, x: 0}), take_point({z: 0, x: unrolled(90)}), measured.textContent)"))
        self.assertIn("length 47.124", browser.text("measured"))  # A quarter of pi times 60
        browser.run("measure(false)")
        self.press("v")
        self.assertEqual(browser.run("view.what"), "section")
        self.assertEqual(browser.problems(), [])

    def test_whole_tools_are_drawn_and_what_is_assumed_is_said(self):
        self.picture(SHAFT)
        browser = self.browser
        kinds = browser.run("Object.values(data.tools).filter(tool => tool.label !== 'T00').map(tool => tool.parts.map(part => part[0]))")
        self.assertGreaterEqual(len(kinds), 5)
        for parts in kinds:
            self.assertIn(0, parts)
            self.assertIn(1, parts)
        browser.run("go(steps.findIndex(step => step[STATION] === 3))")
        self.assertFalse(browser.run("assumed.hidden"))
        self.assertIn("T03 drawn with", browser.text("assumed-list"))

    def test_the_finished_part_with_its_sizes(self):
        self.picture(SHAFT)
        browser = self.browser
        browser.run("sizes.click()")
        self.assertGreater(browser.run("data.sizes.length"), 5)
        # Not parted off yet: the front stands where the part's is.
        self.assertEqual(browser.run("(stock_behind(finished_at()), stock_front())"), 0)
        self.assertLess(browser.run("(stock_behind(moves.length), stock_front())"), -50000)
        self.assertIn("Diameter 45", browser.text("spoken"))
        browser.run("stock_behind(done)")
        browser.screenshot("sizes.png")
        self.assertEqual(browser.problems(), [])

    def test_a_thread_has_its_turns(self):
        self.picture(ROOT / "tests" / "report" / "pictured" / "bored-thread.nc")
        corners = "(go(%s), stock_row.length)"
        first = self.browser.run("steps.findIndex((step, i) => moves.slice(before[i], before[i + 1]).some(move => STROKES[move.stroke] === 'thread'))")
        self.assertGreater(self.browser.run(corners % first), self.browser.run(corners % (first - 1)) + 40)

    def test_a_long_program_is_in_parts_that_go_on_where_the_one_before_ends(self):
        text = "O1\n(STOCK D80. L300.)\nG21 G99\n"
        for sequence in range(4):
            text += f"N{sequence + 1} (PASS {sequence})\nT0101\nG97 S500 M03\nG00 X90. Z2.\n"
            for i in range(2500):
                x = 79 - sequence * 3 - i * 0.001
                text += f"G00 X{x:.3f}\nG01 Z-{100 - sequence * 5 - i * 0.004:.3f} F0.2\nG00 U1.\nZ2.\n"
            text += "G00 X200. Z100.\nM01\n"
        shop = self.here / "turnwright.toml"
        shop.write_text('units = "mm"\n[[tool]]\nstation = 1\nkind = "turning"\nnose_radius = 0.4\ntip_direction = 3\n')
        source = self.here / "long.nc"
        source.write_text(text + "M30\n")
        out = self.here / "long.html"
        subprocess.run([TURNWRIGHT, "picture", str(source), "-o", str(out)], check=True, stderr=subprocess.DEVNULL)
        shop.unlink()
        files = [out] + sorted(self.here.glob("long.*.html"))
        self.assertGreater(len(files), 1)
        browser, ended, steps = self.browser, None, 0
        for file in files:
            self.assertLess(file.stat().st_size, 5_000_000)
            browser.open(file)
            self.assertEqual(browser.problems(), [])
            self.assertEqual(browser.run("data.firstStep"), steps)
            steps += browser.run("steps.length")
            if ended:
                self.assertEqual(browser.run("String(data.stock.first)"), ended)
            ended = browser.run("(go(last_step), String(stock_row))")
            self.assertIn("Part ", browser.text("parts"))
        self.assertEqual(steps, browser.run("data.stepCount"))
        # Lines of another part are links that lead there.
        browser.open(files[0], "#line=" + str(text.count("\n")))
        self.wait_until("document.readyState === 'complete' && typeof data !== 'undefined' && data.firstStep > 0")

    def test_five_thousand_moves_open_in_under_a_second(self):
        """By the processor's time of the page's own thread: what else runs on the machine does not count."""
        if IN_FIREFOX:
            self.skipTest("it tells no processor time of a page")
        path = self.make("picture", MANY_MOVES)
        self.assertLess(path.stat().st_size, 5_000_000)
        spent = []
        for _ in range(2):
            self.browser.call("Performance.enable", {"timeDomain": "threadTicks"})
            self.browser.open(path)
            told = {one["name"]: one["value"] for one in self.browser.call("Performance.getMetrics")["metrics"]}
            self.browser.call("Performance.disable")
            spent.append(told["ThreadTime"])
        self.assertGreaterEqual(self.browser.run("moves.length"), 5000)
        print(f"5,000 moves: {min(spent):.2f} s of processor, of it script {told['ScriptDuration']:.2f} s", file=sys.stderr)
        self.assertLess(min(spent), 1.0)

    def nodes(self):
        """What a screen reader is given: every node that is not ignored."""
        return [node for node in self.browser.call("Accessibility.getFullAXTree")["nodes"] if not node.get("ignored")]

    def test_a_screen_reader_is_told_each_change_of_state(self):
        if IN_FIREFOX:
            self.skipTest("its tree is not to be had by this protocol")
        browser = self.browser
        self.picture(SHAFT)
        browser.call("Accessibility.enable")

        def live():
            """What each live region says, by its element's name in the page."""
            found = {}
            for node in self.nodes():
                kept = {one["name"]: one["value"] for one in node.get("properties", [])}
                if kept.get("live", {}).get("value") != "polite":
                    continue
                object_id = browser.call("DOM.resolveNode", {"backendNodeId": node["backendDOMNodeId"]})["object"]["objectId"]
                told = browser.call("Runtime.callFunctionOn", {"objectId": object_id, "returnByValue": True,
                                                              "functionDeclaration": "function() { return [this.id, this.textContent]; }"})
                name, words = told["result"]["value"]
                if name:
                    found[name] = words
            return found

        self.assertIn("spoken", live())
        # One of them alone speaks of a step.
        self.assertNotIn("place", live())
        rows = ("tool", "spindle", "feed", "other")
        before = {row: browser.text(row) for row in rows}
        changes = 0
        for _ in range(25):
            self.press("ArrowRight")
            spoken = live()["spoken"]
            self.assertIn(browser.text("place"), spoken)
            for row in rows:
                now = browser.text(row)
                if now != before[row]:
                    changes += 1
                    self.assertIn(now, spoken, row)
                before[row] = now
        self.assertGreater(changes, 8)
        self.press("n")
        self.assertIn("spoken", live())
        self.press("m")
        self.assertIn("Click two points", live()["measured"])
        self.press("Enter")
        self.assertIn("From ", live()["measured"])
        self.press("m")
        browser.run("sizes.click()")
        self.assertIn("Diameter 45", live()["spoken"])
        self.press(" ")
        self.assertEqual(live()["spoken"], "Play")
        self.press(" ")
        self.assertIn(browser.text("place"), live()["spoken"])
        # Every control has a name, and the drawing says in words what it shows.
        for node in self.nodes():
            role, name = node["role"]["value"], node.get("name", {}).get("value", "")
            if role in ("button", "slider", "checkbox", "combobox", "ComboBoxMenuList", "ComboBoxSelect", "image", "img", "application"):
                self.assertTrue(name, node)
        browser.call("Accessibility.disable")

    def test_forced_colours_keep_the_drawing_and_mark_what_is_chosen(self):
        if IN_FIREFOX:
            self.skipTest("Chromium plays the setting")
        browser = self.browser
        for scheme in ("light", "dark"):
            browser.call("Emulation.setEmulatedMedia", {"features": [{"name": "forced-colors", "value": "active"},
                                                                    {"name": "prefers-color-scheme", "value": scheme}]})
            self.picture(HITS)
            self.press("n")
            browser.screenshot(f"forced-{scheme}.png")
            # The drawing's own ground under its own lines.
            paper, ink = browser.run("[getComputedStyle(sheet).backgroundColor, colour.sheet]")
            browser.run("window.spot = document.createElement('div'); document.body.append(spot); spot.style.forcedColorAdjust = 'none';"
                        "spot.style.backgroundColor = colour.sheet")
            self.assertEqual(paper, browser.run("getComputedStyle(spot).backgroundColor"), ink)
            self.assertNotEqual(browser.run("getComputedStyle(document.querySelector('.row.now')).outlineStyle"), "none")
            self.assertNotEqual(browser.run("getComputedStyle(document.querySelector('#sequences [aria-current]')).outlineStyle"), "none")
        browser.call("Emulation.setEmulatedMedia", {"features": []})

    def test_strokes_differ_in_grey_print(self):
        """Each kind of line by its dashes or marks, not by its colour alone."""
        self.picture(HITS)
        strokes = self.browser.run("Object.entries(LOOKS).map(([name, look]) => [name, JSON.stringify([look.dash, Boolean(look.dots)])])")
        self.assertEqual(len({look for _, look in strokes}), len(strokes), strokes)

    def test_every_control_is_in_view(self):
        for program in (SHAFT, HITS, *sorted((ROOT / "tests" / "report" / "pictured").glob("*.nc"))):
            self.picture(program)
            for width, height in ((800, 600), (1024, 768), (1400, 900), (3840, 2160)):
                self.look(width, height)
                outside = self.browser.run(
                    "[...document.querySelectorAll('button:not(#sequences *, #hit-list *), input, select, #place, dd, #sheet')]"
                    ".filter(one => { const box = one.getBoundingClientRect(); return one.offsetParent && "
                    "(box.left < 0 || box.top < 0 || box.right > innerWidth + .5 || box.bottom > innerHeight + .5); })"
                    ".map(one => one.id || one.className)")
                self.assertEqual(outside, [], f"{program.name} at {width}x{height}")
                self.assertGreater(self.browser.run("view.height"), 0.4 * height)
                self.assertFalse(self.browser.run("document.documentElement.scrollHeight > innerHeight"))

    def test_beside_an_editor_the_drawing_and_its_controls_stay_in_view(self):
        """A panel is narrow, and low where warnings are listed below: the lists beside the drawing scroll then."""
        for program in (SHAFT, HITS):
            self.picture(program)
            for width, height in ((480, 500), (420, 820), (600, 460)):
                self.look(width, height)
                outside = self.browser.run(
                    "[...document.querySelectorAll('button:not(aside *), input, select, #place, summary, #sheet')]"
                    ".filter(one => { const box = one.getBoundingClientRect(); return one.offsetParent && "
                    "(box.left < 0 || box.top < 0 || box.right > innerWidth + .5 || box.bottom > innerHeight + .5); })"
                    ".map(one => one.id || one.className)")
                self.assertEqual(outside, [], f"{program.name} at {width}x{height}")
                self.assertGreater(self.browser.run("view.height"), 0.19 * height, f"{program.name} at {width}x{height}")
                low = self.browser.run("[...document.querySelectorAll('aside section')].filter(one => one.offsetHeight < 30)"
                                       ".map(one => one.id)")
                self.assertEqual(low, [], f"{program.name} at {width}x{height}")

    def wait_until(self, expression):
        end = time.monotonic() + driver.PATIENCE
        while not self.browser.run(expression):
            if time.monotonic() > end:  # A page that loads yet has no such elements
                self.fail(expression + "; " + self.browser.run("document.body ? document.body.textContent.slice(0, 300) : 'no page'"))
            time.sleep(0.05)

    def test_served_beside_an_editor_it_follows_cursor_and_edits(self):
        browser, text = self.browser, SHAFT.read_text()
        with driver.Server() as server:
            page = test_picture_beside.Page(server, text)
            browser.open(page.address)
            self.assertEqual(browser.problems(), [])
            cut, = [number for number, line in enumerate(text.splitlines()) if line.startswith("G03 X45. Z-58.")]
            server.hover(test_picture_beside.URI, cut, 1)
            self.wait_until(f"steps[at][LINE] === {cut}")
            for width, height, dark in ((1400, 900, False), (800, 600, False), (1400, 900, True)):
                gallery.look(browser, width, height, dark)
                browser.screenshot(f"beside-{width}{'-dark' if dark else ''}.png")
            self.look(1400, 900)

            # An edit: drawn in the same page, which keeps its view and who has the keys.
            browser.run("zoom_middle(1.4); draw(); stretch.focus(); window.kept = [view.scale, view.z, view.x, steps.length]")
            page.change(cut, "G01 X45. Z-57.\nG03 X45. Z-58. R1.\n")
            self.wait_until("steps.length === kept[3] + 1")
            self.assertEqual(browser.run("[view.scale, view.z, view.x]"), browser.run("kept.slice(0, 3)"))
            self.assertEqual(browser.run("document.activeElement.id"), "stretch")
            self.wait_until(f"steps[at][LINE] === {cut} && data.lines[{cut}] === 'G01 X45. Z-57.'")

            # What is stepped to by hand stays through an edit elsewhere, until the editor names a block again.
            browser.run("document.activeElement.blur()")
            self.press("End")
            lines = browser.run("data.lines.length")
            self.assertEqual(browser.run("editor_line"), -1)
            server.change(test_picture_beside.URI, page.version + 1, {"text": text})
            page.version += 1
            self.wait_until(f"data.lines.length === {lines - 1}")
            self.assertEqual(browser.run("at"), browser.run("last_step"))

            # Clicks: the editor is asked to go there.
            for what in ("document.querySelector('#program .row')", "sequences.children[1]"):
                asked = len(page.asked_to_show)
                line = int(browser.run(f"{what}.dataset.line"))
                browser.run(f"{what}.click()")
                while len(page.asked_to_show) == asked:
                    server.hover(test_picture_beside.URI, 0, 0)
                self.assertEqual(page.asked_to_show[-1]["selection"]["start"]["line"], line - 1)

            # Broken and empty text and back; no step is left over.
            for broken in ("", "G71 P1 Q2 (((", text):
                page.version += 1
                server.change(test_picture_beside.URI, page.version, {"text": broken})
                self.wait_until(f"data.lines.join('\\n').trim() === {json.dumps(broken.strip())}")
                for key in ("ArrowRight", "ArrowDown", "PageDown", " ", " ", "n"):
                    self.press(key)
            self.assertGreater(browser.run("steps.length"), 50)
            self.assertEqual(browser.problems(), [])

            server.close(test_picture_beside.URI)
            self.wait_until("told.textContent.includes('was closed')")
            browser.screenshot("beside-closed.png")
            server.shut_down()
        self.assertEqual({url.split("/")[2] for url in browser.requests() if url != "about:blank"}, {f"127.0.0.1:{page.port}"})

    @unittest.skipIf(IN_FIREFOX, "a page's own policy cannot be left out there")
    def test_a_page_of_another_origin_cannot_reach_the_picture(self):
        with driver.Server() as server:
            page = test_picture_beside.Page(server)
            self.browser.open(self.make("picture", SHAFT))
            browser = self.browser
            browser.call("Page.setBypassCSP", {"enabled": True})  # the stranger's own policy would forbid it already
            try:
                browser.open(self.make("picture", SHAFT))
                browser.run(f"fetch('{page.address}').then(() => {{ window.got = 'read'; }}, () => {{ window.got = 'kept out'; }})")
                self.wait_until("window.got !== undefined")
                self.assertEqual(browser.run("got"), "kept out")
                browser.run(f"fetch('{page.address}line/3', {{method: 'POST', mode: 'no-cors'}}).finally(() => {{ window.sent = 1; }})")
                self.wait_until("window.sent === 1")
            finally:
                browser.call("Page.setBypassCSP", {"enabled": False})
            server.hover(test_picture_beside.URI, 0, 0)
            self.assertEqual(len(page.asked_to_show), 1)  # the page itself: no click came
            server.shut_down()

    def test_a_block_plays_as_long_as_it_takes(self):
        self.picture(HOSTILE, "#line=9")
        # 50 mm at 200 mm/min take 15 s: after 7.5 s the tool is half way.
        x = self.browser.run("(go_move(at, before[at]), advance(7.5), tool_place()[0])")
        self.assertAlmostEqual(x, 2000 - 25000, delta=20)
        self.assertEqual(self.browser.run("(advance(7.6), data.lines[steps[at][LINE]])"), "X44.")

    def test_the_ruler_tells_length_and_angle(self):
        self.picture(HOSTILE)
        told = self.browser.run("(measure(true), take_point({z: 0, x: 10000}), take_point({z: -30000, x: 50000}), "
                                "document.getElementById('measured').textContent)")
        self.assertIn("diameter 20 Z0", told)
        self.assertIn("length 50,", told)  # 30 and 40 beside it
        self.assertIn("on diameter 80", told)
        self.assertIn("53.13\u00b0", told)

    def test_the_state_is_that_of_the_block(self):
        self.picture(HOSTILE, "#line=9")
        browser = self.browser
        self.assertEqual(browser.text("position"), "X40. Z-48.")
        self.assertEqual(browser.text("feed"), "0.2 mm/rev")
        # 50 mm at 200 mm/min are 15 s, the tool change 1.5, the spindle gains 1000 rpm in 1; the rest is the way there
        self.assertIn("about 19 s", browser.text("time"))
        self.assertIn("G01 Z-48. F0.2", browser.run("document.querySelector('.row.now').textContent"))

    def test_a_click_on_a_move_a_line_or_a_sequence_goes_there(self):
        self.picture(SHAFT)
        browser = self.browser
        browser.run("document.querySelectorAll('#sequences button')[2].click()")
        self.assertIn(browser.run("document.querySelectorAll('#sequences button')[2].firstChild.textContent"),
                      browser.text("sequence"))
        line = browser.run("(() => { const row = document.querySelectorAll('#program .row')[3]; row.click(); return row.dataset.line; })()")
        self.assertIn(f"line {line},", browser.text("place"))
        # A move of the shown sequence, met in its middle
        browser.run("go_move(steps.findIndex(step => step[MOVES] === 1 && step[LINE] > 20), 0)")
        spot = browser.run("(() => { const box = sheet.getBoundingClientRect(), [z, x] = point_on(moves[done], .5); "
                           "return [box.left + across(z), box.top + down(x)]; })()")
        for kind in ("mousePressed", "mouseReleased"):
            browser.call("Input.dispatchMouseEvent", {"type": kind, "x": spot[0], "y": spot[1], "button": "left", "clickCount": 1})
        self.assertIn("line " + browser.run("sheet.dataset.line") + ",", browser.text("place"))

    @unittest.skipIf(IN_FIREFOX, "the pictures kept are chromium's")
    def test_pictures_look_as_they_did(self):
        """Against docs/pictures; another font may move a few pixels, a line or a body that is gone shows."""
        with tempfile.TemporaryDirectory() as folder:
            gallery.make(self.browser, Path(folder))
            # Others in that folder are of other pages.
            for kept in sorted(gallery.FOLDER / made.name for made in Path(folder).glob("*.png")):
                share = gallery.difference(self.browser, kept, Path(folder) / kept.name)
                self.assertLess(share, gallery.MOST_DIFFERENT, kept.name)
        # The README shows one of those that were compared.
        shown = re.findall(r"!\[.+?\]\(docs/pictures/(.+?)\.png\)", (ROOT / "README.md").read_text())
        self.assertTrue(shown)
        self.assertLessEqual(set(shown), {name for name, *_ in gallery.PICTURES})
        # The measure sees what it should: a light and a dark picture are not the same.
        first, later = (gallery.FOLDER / name for name in ("long-shaft.png", "long-shaft-dark.png"))
        self.assertGreater(gallery.difference(self.browser, first, later), 10 * gallery.MOST_DIFFERENT)

    def test_a_script_in_a_note_stays_text(self):
        self.picture(HOSTILE)
        browser = self.browser
        self.assertNotEqual(browser.run("document.title"), "taken")
        self.assertEqual(browser.run("document.querySelectorAll('script').length"), 2)
        self.assertEqual(browser.run("document.querySelectorAll('img, b').length"), 0)
        self.assertIn("<script>", browser.run("document.querySelector('#sequences').textContent"))
        browser.open(self.make("sheet", HOSTILE))
        self.assertNotEqual(browser.run("document.title"), "taken")
        self.assertEqual(browser.run("document.querySelectorAll('script, img, b').length"), 0)
        browser.open(self.make("picture", HOSTILE, ".svg"))
        self.assertEqual(browser.run("document.querySelectorAll('script, img').length"), 0)

    def test_no_request_leaves_the_page(self):
        for page in (self.make("picture", HOSTILE), self.make("sheet", HOSTILE)):
            self.browser.open(page)
            # Firefox tells no request for a file, but all others: see what is served beside an editor.
            self.assertEqual([url for url in self.browser.requests() if not IN_FIREFOX or url != page.as_uri()],
                             [] if IN_FIREFOX else [page.as_uri()])
            # and the page's own policy forbids it
            self.assertEqual(
                self.browser.call("Runtime.evaluate", {
                    "expression": "new Promise(done => { document.addEventListener('securitypolicyviolation', event => done(event.effectiveDirective)); "
                                  "fetch('http://127.0.0.1:9/').catch(() => {}).finally(() => setTimeout(() => done('allowed'), 3000)); })",
                    "awaitPromise": True, "returnByValue": True})["result"]["value"], "connect-src")

    def test_an_added_script_would_not_run(self):
        page = self.make("picture", HOSTILE)
        page.write_text(page.read_text().replace("</main>", "<script>document.title='taken'</script></main>"))
        self.browser.open(page)
        self.assertNotEqual(self.browser.run("document.title"), "taken")

    def test_the_sheet_prints_on_few_pages(self):
        for name in ("pump-shaft.nc", "wear-bushing.nc"):
            self.browser.open(self.make("sheet", ROOT / "docs" / "examples" / name))
            out = self.here / "sheet.pdf"
            self.browser.pdf(out)
            said = subprocess.run(["pdfinfo", str(out)], check=True, capture_output=True, text=True).stdout
            pages = int(next(line.split()[1] for line in said.splitlines() if line.startswith("Pages:")))
            self.assertLessEqual(pages, 3, name)
            if SCREENSHOTS:
                subprocess.run(["pdftoppm", "-r", "70", "-png", str(out),
                                str(Path(SCREENSHOTS) / ("sheet-" + name))], check=True)

    def test_every_page_of_the_sheet_tells_what_it_is_of_on_both_papers(self):
        text = SHAFT.read_text().replace("M30", "M01\n" + "".join(
            f"N{60 + i} (T{60 + i} DEBURR EDGE {i} BY HAND, THEN LOOK AT IT UNDER GOOD LIGHT)\nG54 G18 G97 G21 G80 G40 G99\nT{60 + i}{60 + i}\n"
            f"G97 S300 M03\nG00 X80. Z20.\nM01\n" for i in range(25)) + "M30")
        page = self.make("sheet", text)
        told = self.browser
        told.open(page)
        fingerprint = told.run("document.body.textContent.match(/[A-Z0-9]{4}-[A-Z0-9]{4}-[A-Z0-9]{4}/)[0]")
        for name, inches, points in (("letter", (8.5, 11), (612, 792)), ("A4", (8.27, 11.69), (595.3, 841.9))):
            out = self.here / f"{name}.pdf"
            told.pdf(out, inches)
            said = subprocess.run(["pdfinfo", str(out)], check=True, capture_output=True, text=True).stdout
            size = next(line for line in said.splitlines() if line.startswith("Page size:"))
            for number, wanted in zip(re.findall(r"[0-9.]+", size), points):
                self.assertAlmostEqual(float(number), wanted, delta=1)
            pages = int(next(line.split()[1] for line in said.splitlines() if line.startswith("Pages:")))
            self.assertGreater(pages, 3)
            for number in range(1, pages + 1):
                words = subprocess.run(["pdftotext", "-f", str(number), "-l", str(number), "-layout", str(out), "-"],
                                       check=True, capture_output=True, text=True).stdout
                # Where the browser draws nothing into the margins it numbers the pages by itself.
                numbered = [] if IN_FIREFOX else [f"page {number} of {pages}"]
                foot = words.rstrip().splitlines()[-1]
                for wanted in ("O1001", fingerprint, time.strftime("%Y-%m-%d"), *numbered):
                    self.assertIn(wanted, foot, f"{name}, page {number}")
            whole = subprocess.run(["pdftotext", "-layout", str(out), "-"], check=True, capture_output=True, text=True).stdout
            for wanted in ("T84", "Parts a bar", "First part checked by", "Quantity", "2 x 45"):
                self.assertIn(wanted, whole, name)
            if SCREENSHOTS:
                subprocess.run(["pdftoppm", "-r", "60", "-png", str(out), str(Path(SCREENSHOTS) / f"sheet-{name}")], check=True)

    def test_page_one_of_the_sheet_tells_the_gravest_and_where_the_others_are(self):
        self.browser.open(self.make("sheet", ROOT / "docs" / "examples" / "pump-shaft-faulty.nc"))
        lists = self.browser.run("[...document.querySelectorAll('h2')].filter(h => /Open warnings|More open warnings/i.test(h.textContent))"
                                 ".map(h => [h.textContent, [...h.nextElementSibling.children].map(li => li.textContent)])")
        self.assertEqual(len(lists), 2)
        (_, first), (more, rest) = lists
        # What has no room on the paper at all is counted in both.
        unprinted = re.match(r"and (\d+) more: turnwright check", rest[-1])
        self.assertIn(f"and {len(rest) - 1 + int(unprinted.group(1)) if unprinted else len(rest)} more, none graver", first[-1])
        self.assertIn(f'"{more}"', first[-1])
        weights = [re.search(r", (error|warning|information|hint):", item).group(1) for item in first[:-1] + rest if item.startswith("line ")]
        order = ["error", "warning", "information", "hint"]
        self.assertEqual(weights, sorted(weights, key=order.index))
        for inches in ((8.27, 11.69), (8.5, 11)):
            out = self.here / "first.pdf"
            self.browser.pdf(out, inches)
            words = subprocess.run(["pdftotext", "-f", "1", "-l", "1", str(out), "-"], check=True, capture_output=True,
                                   text=True).stdout
            self.assertIn("none graver", " ".join(words.split()))

    def test_the_drawing_alone(self):
        for name in ("pump-shaft.nc", "wear-bushing.nc"):
            self.browser.open(self.make("picture", ROOT / "docs" / "examples" / name, ".svg"))
            self.assertGreater(self.browser.run("document.querySelectorAll('[data-line]').length"), 20)
            self.browser.screenshot(name + ".png")


if __name__ == "__main__":
    sys.exit(not unittest.main(verbosity=2, exit=False).result.wasSuccessful())
