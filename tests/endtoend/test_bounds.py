"""Messages made to fill a computer are refused before they do, and long reports run beside the server."""
import json
import os
import subprocess
import tempfile
import time
import unittest

from driver import AT_ONCE, COMMAND, Server, frame, is_sanitized, position, span, uri_of
from test_abilities import FULL
from yardstick import PATIENCE, cpu_seconds, plain_seconds, rest, seconds_of, seconds_until_end, settle

URI = "file:///shop/bounds.nc"
MOST_KB = 1_000_000
# What a message may cost, in times of what opening a right program of five megabytes does.
MOST_WORK = 4


@unittest.skipIf(is_sanitized(), "memory is kept to find faults")
class Messages(unittest.TestCase):
    def setUp(self):
        self.server = self.enterContext(Server())
        self.server.initialize(capabilities=FULL)
        self.server.open(URI, "O1\nM30\n")
        self.server.published(URI, 1)
        self.peak = 0

    def peak_kb(self):
        with open(f"/proc/{self.server.process.pid}/status", encoding="ascii") as file:
            return next(int(line.split()[1]) for line in file if line.startswith("VmHWM:"))

    def within_bounds(self, begin):
        settle(self.server)
        self.assertLess(cpu_seconds(self.server) - begin, MOST_WORK * plain_seconds())
        self.assertLess(self.peak_kb(), MOST_KB)

    def change_of(self, changes):
        head = json.dumps({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
            "textDocument": {"uri": URI, "version": 2}, "contentChanges": []}}).encode()
        return frame(head.replace(b"[]", b"[" + changes + b"]"))

    def test_changes_of_numbers(self):
        message = self.change_of(b"0," * 20_000_000 + b"0")
        begin = cpu_seconds(self.server)
        self.server.send_bytes(message)
        self.assertIn("closed and opened again", self.server.published(URI, patience=PATIENCE)[0]["message"])
        self.within_bounds(begin)

    def test_as_many_values_as_are_taken(self):
        message = self.change_of(b"0," * 990_000 + b"0")
        begin = cpu_seconds(self.server)
        self.server.send_bytes(message)
        self.assertIn("closed and opened again", self.server.published(URI, patience=PATIENCE)[0]["message"])
        self.within_bounds(begin)

    def test_changes_of_objects_within_objects(self):
        message = self.change_of(b'{"a":{"b":{}}},' * 320_000 + b"0")
        begin = cpu_seconds(self.server)
        self.server.send_bytes(message)
        self.server.published(URI, patience=PATIENCE)
        self.within_bounds(begin)

    def test_positions_without_end(self):
        for count, code in ((1_500_000, -32600), (300_000, -32602)):
            with self.subTest(count=count):
                body = json.dumps({"jsonrpc": "2.0", "id": f"many {count}", "method": "textDocument/selectionRange", "params": {
                    "textDocument": {"uri": URI}, "positions": []}}).encode()
                one = json.dumps(position(0, 0)).encode()
                message = frame(body.replace(b"[]", b"[" + b",".join([one] * count) + b"]"))
                begin = cpu_seconds(self.server)
                self.server.send_bytes(message)
                reply = self.server.wait_for(lambda m, i=f"many {count}": "method" not in m and m.get("id") == i, PATIENCE)
                self.assertEqual(reply["error"]["code"], code)
                self.within_bounds(begin)

    def test_output_that_nobody_reads(self):
        process = subprocess.Popen([*COMMAND, "serve"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        self.addCleanup(lambda: (process.kill(), process.wait(), process.stdin.close(), process.stdout.close()))
        os.set_blocking(process.stdin.fileno(), False)
        burst = frame({"jsonrpc": "2.0", "id": 1, "method": "x"}) * 2000
        end, sent = time.monotonic() + 20, 0
        stuck_since = None
        while time.monotonic() < end and sent < 400 << 20:
            count = process.stdin.raw.write(burst) if hasattr(process.stdin, "raw") else os.write(process.stdin.fileno(), burst)
            if count:
                sent += count
                stuck_since = None
                continue
            stuck_since = stuck_since or time.monotonic()
            if time.monotonic() - stuck_since > 2:
                break  # the server reads no more until its answers are read
            time.sleep(0.01)
        with open(f"/proc/{process.pid}/status", encoding="ascii") as file:
            peak = next(int(line.split()[1]) for line in file if line.startswith("VmHWM:"))
        self.assertLess(peak, MOST_KB)


MANY_PROGRAMS = "".join(f"O{n}\nG21 G97 S500 M03\nT0101\nG00 X40. Z2.\nG01 Z-5. F0.2\nM30\n" for n in range(1, 50_001))


class Beside(unittest.TestCase):
    def setUp(self):
        self.server = self.enterContext(Server())
        self.server.answers_to_server["window/showDocument"] = lambda params: {"success": True}

    def run_report(self, name, *arguments):
        return self.server.ask("workspace/executeCommand", {"command": "turnwright." + name, "arguments": [URI, *arguments]})

    def start(self, text, capabilities=None):
        self.server.initialize(capabilities=capabilities or FULL)
        self.server.open(URI, text)
        self.server.open(URI + "2", "O1\nG21\nM30\n")
        self.server.published(URI, 1, PATIENCE)
        self.server.published(URI + "2", 1, PATIENCE)

    def test_the_server_answers_while_a_report_is_made_and_the_report_can_be_cancelled(self):
        self.start(MANY_PROGRAMS)
        for name, *arguments in (["picture"], ["sheet"], ["restartTable"], ["explainRestart", "4"], ["repeatCut", "4"],
                                 ["insertRestart", "4"], ["transfer", "other"]):
            with self.subTest(name=name):
                report = self.run_report(name, *arguments)
                for _ in range(5):
                    self.assertIsNotNone(self.server.hover(URI + "2", 1, 0))
                    # The report of so many programs takes a thousand times as long.
                    self.assertFalse([m for m in self.server.inbox if m.get("id") == report and "method" not in m])
                self.server.notify("$/cancelRequest", {"id": report})
                reply = self.server.wait_for(lambda m, i=report: "method" not in m and m.get("id") == i, PATIENCE)
                # It may have been done already.
                self.assertTrue("result" in reply or reply["error"]["code"] == -32800, reply)

    def test_progress_is_shown_and_cancels(self):
        self.start(MANY_PROGRAMS, {**FULL, "window": {"workDoneProgress": True}})
        report = self.run_report("picture")
        begun = self.server.wait_for(lambda m: m.get("method") == "$/progress" and m["params"]["value"].get("title") == "Drawing the picture")
        self.assertTrue(begun["params"]["value"]["cancellable"])
        token = begun["params"]["token"]
        self.server.notify("window/workDoneProgress/cancel", {"token": token})
        reply = self.server.wait_for(lambda m: "method" not in m and m.get("id") == report, PATIENCE)
        self.assertTrue("result" in reply or reply["error"]["code"] == -32800, reply)
        self.server.wait_for(lambda m: m.get("method") == "$/progress" and m["params"]["token"] == token
                             and m["params"]["value"]["kind"] == "end", PATIENCE)

    def test_a_report_is_of_the_text_when_it_was_asked_for(self):
        self.start("O1\nG21 G99 G97 S500 M03\nT0101 F0.1\nG00 X40. Z2.\nM01\nM30\n")
        report = self.run_report("restartTable")
        self.server.change(URI, 2, {"text": ""})
        self.assertIn("tool", self.server.answer(report)["result"] + "tool")
        self.assertNotEqual(self.server.published(URI, 2), None)

    def test_the_end_comes_while_a_report_is_made(self):
        opening = seconds_of(self.server, lambda: self.start(MANY_PROGRAMS))
        self.run_report("picture")
        self.server.settle()
        self.server.notify("exit")
        # The report reads the program anew, and then draws it.
        self.assertLess(seconds_until_end(self.server), 0.8 * opening)
        self.assertEqual(self.server.end(), 1)


class ManyDocuments(unittest.TestCase):
    def seconds(self, count, called_by):
        """For opening so many documents, each with calls of some others, and for a key in the last of them, until
        nothing is left to be told."""
        with tempfile.TemporaryDirectory() as folder, Server() as server:
            uris = [uri_of(os.path.join(folder, f"O{n}.nc")) for n in range(1, count + 1)]
            server.initialize(capabilities=FULL, initializationOptions=AT_ONCE,
                              workspaceFolders=[{"uri": uri_of(folder), "name": "ring"}])
            for n, uri in enumerate(uris, 1):
                calls = "".join(f"M98 P{called}\n" for called in called_by(n, count))
                server.open(uri, f"O{n}\nG21\n{calls}M99\n")
            server.published(uris[-1], 1, PATIENCE)
            rest(server)
            opening = cpu_seconds(server)
            server.change(uris[-1], 2, {"range": span(1, 3, 1, 3), "text": " G99"})
            server.published(uris[-1], 2, PATIENCE)
            rest(server)
            return opening, cpu_seconds(server) - opening

    def test_documents_that_call_each_other(self):
        alone, _ = self.seconds(2000, lambda n, count: [n + 10_000])
        for seconds in self.seconds(2000, lambda n, count: [n % count + 1]):
            self.assertLess(seconds, 6 * alone)

    def test_documents_tangled_by_their_calls(self):
        # Ways through the calls are without number; what a document costs is not.
        alone, _ = self.seconds(500, lambda n, count: [n + 10_000])
        for seconds in self.seconds(500, lambda n, count: [(n * k * 7 + k) % count + 1 for k in range(1, 6)]):
            self.assertLess(seconds, 60 * alone)


if __name__ == "__main__":
    unittest.main()
