"""Drives headless chromium over its debugging pipe: no package but the browser itself."""

import base64
import json
import os
import select
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TURNWRIGHT = os.environ.get("TURNWRIGHT", str(ROOT / "build" / "turnwright"))
SCREENSHOTS = os.environ.get("SCREENSHOTS")

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
        for url in ("about:blank", Path(path).as_uri() + fragment):
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

    def pdf(self, path):
        data = self.call("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})["data"]
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
        cls.browser = Browser(cls.here / "profile")

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

    def test_the_slider_steps_through_the_blocks(self):
        self.picture(ROOT / "docs" / "examples" / "pump-shaft.nc")
        browser = self.browser
        self.assertEqual(browser.problems(), [])
        last = browser.run("Number(slider.max)")
        self.assertGreater(last, 50)
        self.assertEqual(browser.run("Number(slider.value)"), last)
        self.assertEqual(browser.run("document.querySelectorAll('#figure .later').length"), 0)
        # A hand on the slider: focus and arrow keys, as a person does it
        browser.run("slider.focus()")
        for _ in range(3):
            browser.call("Input.dispatchKeyEvent",
                         {"type": "keyDown", "key": "ArrowLeft", "code": "ArrowLeft", "windowsVirtualKeyCode": 37})
            browser.call("Input.dispatchKeyEvent",
                         {"type": "keyUp", "key": "ArrowLeft", "code": "ArrowLeft", "windowsVirtualKeyCode": 37})
        self.assertEqual(browser.run("Number(slider.value)"), last - 3)
        self.assertIn(f"block {last - 2} of {last + 1}", browser.text("place"))
        before = browser.screenshot("page-end.png")
        browser.run("slider.value = 40; slider.dispatchEvent(new Event('input'))")
        self.assertIn("block 41 of", browser.text("place"))
        self.assertGreater(browser.run("document.querySelectorAll('#figure .later').length"), 10)
        self.assertNotEqual(before, browser.screenshot("page-middle.png"))
        for name in ("tool", "spindle", "feed", "position", "time", "sequence"):
            self.assertTrue(browser.text(name), name)

    def test_the_state_is_that_of_the_block(self):
        self.picture(HOSTILE, "#line=9")
        browser = self.browser
        self.assertEqual(browser.text("position"), "X40. Z-48.")
        self.assertEqual(browser.text("feed"), "0.2 mm/rev")
        self.assertIn("15.0 s", browser.text("time").replace("15 s", "15.0 s"))  # 50 mm at 200 mm/min
        self.assertIn("G01 Z-48. F0.2", browser.run("document.querySelector('.row.now').textContent"))

    def test_a_click_on_a_move_or_a_sequence_goes_there(self):
        self.picture(ROOT / "docs" / "examples" / "pump-shaft.nc")
        browser = self.browser
        browser.run("document.querySelectorAll('#sequences button')[2].click()")
        self.assertIn(browser.run("document.querySelectorAll('#sequences button')[2].firstChild.textContent"),
                      browser.text("sequence"))
        browser.run("document.querySelector('#figure [data-line=\"22\"]')"
                    ".dispatchEvent(new MouseEvent('click', {bubbles: true}))")
        self.assertIn("line 22,", browser.text("place"))

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
            self.assertEqual(self.browser.requests(), [page.as_uri()])
            # and the page's own policy forbids it
            self.assertEqual(
                self.browser.call("Runtime.evaluate", {
                    "expression": "fetch('http://127.0.0.1:9/').then(() => 'sent', error => 'refused')",
                    "awaitPromise": True, "returnByValue": True})["result"]["value"], "refused")
            self.assertTrue(any("Content Security Policy" in json.dumps(problem)
                                for problem in self.browser.problems()))

    def test_an_added_script_would_not_run(self):
        page = self.make("picture", HOSTILE)
        page.write_text(page.read_text().replace("</main>", "<script>document.title='taken'</script></main>"))
        self.browser.open(page)
        self.assertNotEqual(self.browser.run("document.title"), "taken")

    def test_the_sheet_prints_on_one_or_two_pages(self):
        for name in ("pump-shaft.nc", "wear-bushing.nc"):
            self.browser.open(self.make("sheet", ROOT / "docs" / "examples" / name))
            out = self.here / "sheet.pdf"
            self.browser.pdf(out)
            said = subprocess.run(["pdfinfo", str(out)], check=True, capture_output=True, text=True).stdout
            pages = int(next(line.split()[1] for line in said.splitlines() if line.startswith("Pages:")))
            self.assertLessEqual(pages, 2, name)
            if SCREENSHOTS:
                subprocess.run(["pdftoppm", "-r", "70", "-png", str(out),
                                str(Path(SCREENSHOTS) / ("sheet-" + name))], check=True)

    def test_the_drawing_alone(self):
        for name in ("pump-shaft.nc", "wear-bushing.nc"):
            self.browser.open(self.make("picture", ROOT / "docs" / "examples" / name, ".svg"))
            self.assertGreater(self.browser.run("document.querySelectorAll('[data-line]').length"), 20)
            self.browser.screenshot(name + ".png")


if __name__ == "__main__":
    sys.exit(not unittest.main(verbosity=2, exit=False).result.wasSuccessful())
