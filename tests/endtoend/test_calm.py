"""A program typed letter by letter, as by hand: half a word is told nothing about, and a fault that was left is."""
import copy
import os
import queue
import time
import unittest

from driver import PATIENCE, Server, position, span
from test_abilities import FULL
from test_workspace import PULLS

URI = "file:///shop/typed.nc"
KEY = 0.008  # seconds: faster than any hand; tests/protocol/calm_typing.cpp types in a hand's own time
EXAMPLES = os.path.join(os.path.dirname(__file__), "..", "..", "docs", "examples")


def example(name):
    with open(os.path.join(EXAMPLES, name), encoding="utf-8") as file:
        return file.read()


def named(diagnostic):
    return diagnostic.get("code"), diagnostic["message"]


class Typist:
    """Types into an open document, and keeps what an editor would show after every key."""

    def __init__(self, server, text="", pulls=False):
        self.server, self.pulls = server, pulls
        self.version, self.line, self.column = 1, text.count("\n"), len(text) - text.rfind("\n") - 1
        self.shown, self.history = [], []
        self.result_id = None
        server.open(URI, text)
        self.look(20 if not pulls else 0)
        self.history.clear()

    def key(self, text, gone=0):
        """`gone` letters before the cursor are taken away first."""
        self.version += 1
        self.server.change(URI, self.version, {"range": span(self.line, self.column - gone, self.line, self.column), "text": text})
        self.column += len(text) - gone
        if "\n" in text:
            self.line, self.column = self.line + text.count("\n"), len(text) - text.rfind("\n") - 1
        self.look(KEY)

    def type(self, text):
        for letter in text:
            self.key(letter)

    def pull(self):
        params = {"textDocument": {"uri": URI}, **({"previousResultId": self.result_id} if self.result_id else {})}
        reply = self.server.answer(self.server.ask("textDocument/diagnostic", params))
        if "error" in reply:  # the text has changed since
            return
        self.result_id = reply["result"]["resultId"]
        if reply["result"]["kind"] == "full":
            self.see(reply["result"]["items"])

    def see(self, diagnostics):
        self.shown = diagnostics
        self.history.append((time.monotonic(), sorted(map(named, diagnostics))))

    def look(self, seconds):
        """Reads what comes meanwhile; the first thing that is told ends a long wait."""
        end = time.monotonic() + seconds
        if self.pulls:
            self.pull()
        while True:
            waiting, self.server.inbox = self.server.inbox, []
            for message in waiting:
                if message.get("method") == "textDocument/publishDiagnostics" and message["params"]["uri"] == URI:
                    self.see(message["params"]["diagnostics"])
                    if seconds > 5:
                        return
                if message.get("method") == "workspace/diagnostic/refresh":
                    self.pull()
            left = end - time.monotonic()
            if left <= 0:
                return
            try:
                message = self.server.receive(left)
            except queue.Empty:
                return
            self.server.inbox.append(message)

    def until(self, condition):
        """Waits for what comes without a key; on a busy machine longer than a person would."""
        end = time.monotonic() + PATIENCE
        while not condition() and time.monotonic() < end:
            self.look(0.1)

    def vanished(self):
        """What was shown and went without being meant, while a right program was typed."""
        gone = 0
        for (_, before), (_, after) in zip(self.history, self.history[1:]):
            rest = list(after)
            for one in before:
                if one in rest:
                    rest.remove(one)
                else:
                    gone += 1
        return gone

    def codes(self, line=None):
        return [d["code"] for d in self.shown if line is None or d["range"]["start"]["line"] == line]


class Calm(unittest.TestCase):
    pulls = False

    def typist(self, text="", settings=None):
        server = Server()
        server.__enter__()
        self.addCleanup(lambda: server.__exit__(None, None, None))
        server.initialize(capabilities=PULLS if self.pulls else FULL,
                          initializationOptions={"turnwright": settings or {}})
        return Typist(server, text, self.pulls)

    def test_a_right_program_is_typed_in_peace(self):
        lines = example("pump-shaft.nc").split("\n")
        typist = self.typist()
        typist.type("\n".join(lines[:66]))
        self.assertLessEqual(typist.vanished(), 5, typist.history)

    def test_another_right_program(self):
        typist = self.typist()
        typist.type(example("wear-bushing.nc"))
        self.assertLessEqual(typist.vanished(), 5, typist.history)
        # At rest all is told that a fresh look finds.
        fresh = sorted(map(named, self.typist(example("wear-bushing.nc")).shown))
        typist.until(lambda: sorted(map(named, typist.shown)) == fresh)
        self.assertEqual(sorted(map(named, typist.shown)), fresh)

    def test_a_sequence_put_into_the_middle(self):
        text = example("pump-shaft.nc")
        at = text.index("N5 ")
        end = text.index("\nN7 ")
        typist = self.typist(text[:at] + text[end:])
        # Its tool stands in the head's list.
        self.assertEqual(typist.codes(), ["listed_tool_never_called"])
        typist.line, typist.column = text[:at].count("\n"), 0
        typist.type(text[at:end])
        self.assertLessEqual(typist.vanished(), 5, typist.history)
        self.assertEqual(typist.codes(), [])

    def test_a_real_fault_is_told_soon_after_its_line_is_left(self):
        typist = self.typist("O1\nG21 G99 G97 S500 M03\nT0101 F0.1\nG00 X40. Z2.\n\nG28 U0. W0. M05\nM30\n")
        shown = typist.codes()
        typist.line, typist.column = 4, 0
        typist.type("G01 X24")
        self.assertEqual(typist.codes(), shown)
        typist.key("\n")
        typist.until(lambda: "decimal_point_missing" in typist.codes(4))
        self.assertIn("decimal_point_missing", typist.codes(4))
        # And while the next line is typed for long, it stays.
        typist.type("G01 Z-20. F0.2")
        self.assertIn("decimal_point_missing", typist.codes(4))

    def test_a_save_and_a_move_of_the_cursor_tell_all(self):
        for how in ("save", "cursor"):
            with self.subTest(how=how):
                typist = self.typist("O1\nG21 G99 G97 S500 M03\nT0101 F0.1\nG00 X40. Z2.\n\nG28 U0. W0. M05\nM30\n")
                typist.line, typist.column = 4, 0
                typist.type("G01 X24")
                self.assertEqual(typist.codes(4), [])
                if how == "save":
                    typist.server.notify("textDocument/didSave", {"textDocument": {"uri": URI}})
                if how == "cursor":
                    typist.server.request("textDocument/documentHighlight", {"textDocument": {"uri": URI}, "position": position(1, 0)})
                typist.until(lambda: "decimal_point_missing" in typist.codes(4))
                self.assertIn("decimal_point_missing", typist.codes(4))

    def test_half_a_line_lights_up_no_other(self):
        text = example("pump-shaft.nc")
        typist = self.typist(text)
        typist.line, typist.column = text[:text.index("G96 S180")].count("\n"), 0
        for half in ("G41", "G5", "IF[#1", "WHILE[", "#100=[", "(OPEN", "G20", "GOTO7"):
            with self.subTest(half=half):
                typist.type(half)
                self.assertEqual(typist.shown, [])
                for _ in half:
                    typist.key("", gone=1)
                self.assertEqual(typist.shown, [])

    def test_what_is_told_elsewhere_stays_where_it_is(self):
        text = example("pump-shaft-faulty.nc")
        typist = self.typist(text)
        told = sorted(map(named, typist.shown))
        self.assertGreater(len(told), 8)
        typist.line, typist.column = text[:text.index("N2 ")].count("\n"), 0
        typist.type("(A NOTE")
        self.assertEqual(sorted(map(named, typist.shown)), told)

    def test_without_calm_half_a_word_is_told(self):
        typist = self.typist("O1\nG21 G99 G97 S500 M03\nT0101 F0.1\nG00 X40. Z2.\n\nM30\n", {"warnings": {"calm": False}})
        typist.line, typist.column = 4, 0
        typist.type("G01 X24")
        typist.until(lambda: "decimal_point_missing" in typist.codes(4))
        self.assertIn("decimal_point_missing", typist.codes(4))


class CalmPulled(Calm):
    pulls = True


if __name__ == "__main__":
    unittest.main()
