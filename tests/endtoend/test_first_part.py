"""What the first part of a very long program shows is told before the rest is looked at."""
import copy
import tempfile
import unittest
from pathlib import Path

from driver import AT_ONCE, Server, frame, span
from test_workspace import PULLS

URI = "file:///shop/long.nc"
HEAD = "%\nO1 (LONG)\nG21 G99 G97 S500 M03 T0101 F0.1\nG00 X40. Z2.\n"
FAULT = "G01 X30. F0.\n"  # told by the block itself
CODE = "feed_zero"
SILENCED = "G01 X31. F0. (TURNWRIGHT: ACCEPT feed_zero)\n"
CUT = "G01 X30. Z-5. F.1\nG00 X40. Z2.\n"


def program(silenced=False):
    return HEAD + (SILENCED if silenced else "") + FAULT + CUT * 75_000 + FAULT


TOOL = """units = "mm"
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
hand = "right"
approach_angle = 95
back_angle = 5
outline = [[3, 1], [3, 20], [20, 32], [120, 32], [120, -6], [40, -6], [20, 7]]
"""


def stocked():
    """20,000 blocks through stock that a note gives, one of the first in rapid."""
    cuts = "".join(f"G00 X{58 - i // 100 * 1.2:.2f} Z{1 - i % 100 * 2:.2f}\nG01 Z{-1 - i % 100 * 2:.2f} F.2\n"
                   f"X{59 - i // 100 * 1.2:.2f}\nG00 X70.\nZ2.\n" for i in range(4000))
    return ("%\nO1 (LONG)\n(STOCK D60. L300. FACE 0.)\nG21 G99 G97 S500 M03 T0101 F0.1\nG00 X70. Z2.\n" + FAULT.replace("X30.", "X65.") +
            "G00 X5. Z-100.\nX70. Z2.\n" + cuts + FAULT.replace("X30.", "X65.") + "M30\n")


def lines_of(diagnostics, code):
    return [d["range"]["start"]["line"] for d in diagnostics if d["code"] == code]


class FirstPart(unittest.TestCase):
    def enter(self, context):
        value = context.__enter__()
        self.addCleanup(lambda: context.__exit__(None, None, None))
        return value

    def test_the_first_part_is_pushed_and_then_everything(self):
        server = self.enter(Server())
        server.initialize(initializationOptions=AT_ONCE)
        text = program()
        server.open(URI, text)
        first, whole = server.published(URI, 1), server.published(URI, 1)
        last = text.count("\n") - 1
        self.assertEqual(lines_of(first, CODE), [4])
        self.assertEqual(lines_of(whole, CODE), [4, last])
        # Nothing is told that has to be taken back, such as an end that had not been read yet.
        self.assertEqual([d for d in first if d not in whole], [])
        self.assertIn("program_end_missing", [d["code"] for d in whole])
        # The same as after an edit there and back.
        server.change(URI, 2, {"range": span(4, 0, 4, 0), "text": "("})
        server.published(URI, 2)
        server.change(URI, 3, {"range": span(4, 0, 4, 1), "text": ""})
        self.assertEqual(server.published(URI, 3), whole)

    def test_where_the_stock_is_followed_shorter_programs_show_their_first_part_first(self):
        folder = Path(self.enter(tempfile.TemporaryDirectory()))
        (folder / "turnwright.toml").write_text(TOOL)
        text = stocked()
        self.assertLess(text.count("\n"), 20_100)
        uri = (folder / "long.nc").as_uri()
        server = self.enter(Server())
        server.initialize(rootUri=folder.as_uri(), initializationOptions=AT_ONCE)
        server.open(uri, text)
        first, whole = server.published(uri, 1), server.published(uri, 1)
        self.assertEqual(lines_of(first, CODE), [5])
        self.assertEqual(lines_of(first, "rapid_through_stock") + lines_of(first, "holder_hits"), [])
        self.assertEqual(lines_of(whole, CODE), [5, text.count("\n") - 2])
        self.assertEqual(lines_of(whole, "rapid_through_stock"), [6, 7])
        self.assertEqual(lines_of(whole, "holder_hits"), [6])
        self.assertEqual([d for d in first if d not in whole], [])

    def open_stocked(self, **options):
        folder = Path(self.enter(tempfile.TemporaryDirectory()))
        (folder / "turnwright.toml").write_text(TOOL)
        uri = (folder / "long.nc").as_uri()
        server = self.enter(Server())
        server.initialize(rootUri=folder.as_uri(), initializationOptions=AT_ONCE, **options)
        server.open(uri, stocked())
        return server, uri

    def test_a_key_in_a_long_program_shows_its_blocks_first_and_takes_nothing_back(self):
        server, uri = self.open_stocked()
        server.published(uri, 1)
        whole = server.published(uri, 1)
        rapids = lines_of(whole, "rapid_through_stock")
        self.assertEqual(rapids, [6, 7])
        # A feed of nought far below: told at once, beside all that stood.
        text = stocked().split("\n")
        far = next(i for i in range(10_000, 20_000) if text[i].endswith(" F.2"))
        end = len(text[far])
        server.change(uri, 2, {"range": span(far, end - 2, far, end), "text": "0."})
        first = server.published(uri, 2)
        self.assertEqual([d for d in whole if d not in first], [])
        self.assertIn(far, lines_of(first, CODE))
        # The rapid that went through the stock goes past it: that is known when the stock has been followed.
        server.change(uri, 3, {"range": span(6, 5, 6, 7), "text": "65."})
        first, then = server.published(uri, 3), server.published(uri, 3)
        self.assertEqual(lines_of(first, "rapid_through_stock"), rapids)
        self.assertEqual(lines_of(then, "rapid_through_stock"), [])
        self.assertIn(far, lines_of(then, CODE))
        # And back, with a line above: what stands moves along with its line.
        server.change(uri, 4, {"range": span(6, 5, 6, 8), "text": "5."})
        self.assertEqual(lines_of(server.published(uri, 4), "rapid_through_stock"), [])
        self.assertEqual(lines_of(server.published(uri, 4), "rapid_through_stock"), rapids)
        server.change(uri, 5, {"range": span(1, 0, 1, 0), "text": "\n"})
        first = server.published(uri, 5)
        self.assertEqual(lines_of(first, "rapid_through_stock"), [line + 1 for line in rapids])
        self.assertIn(far + 1, lines_of(first, CODE))
        # As a server that has never seen another text has it.
        text[far] = text[far][:-2] + "0."
        text.insert(1, "")
        other = self.enter(Server())
        other.initialize(rootUri=uri.rsplit("/", 1)[0], initializationOptions=AT_ONCE)
        other.open(uri, "\n".join(text))
        other.published(uri, 1)
        server.settle()
        server.hover(uri, 0, 0)
        told = [m for m in server.inbox if m.get("method") == "textDocument/publishDiagnostics"]
        self.assertEqual(told[-1]["params"]["diagnostics"] if told else first, other.published(uri, 1))

    def test_a_client_that_pulls_is_asked_again_where_the_stock_tells_something_else(self):
        server, uri = self.open_stocked(capabilities=PULLS)
        server.hover(uri, 0, 0)

        def pull():
            return server.request("textDocument/diagnostic", {"textDocument": {"uri": uri}})["items"]
        before = pull()
        self.assertEqual(lines_of(before, "rapid_through_stock"), [6, 7])
        server.inbox.clear()
        server.asked["now"] = "textDocument/diagnostic"
        server.send_bytes(frame({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
            "textDocument": {"uri": uri, "version": 2},
            "contentChanges": [{"range": span(6, 5, 6, 7), "text": "65."}]}}) +
            frame({"jsonrpc": "2.0", "id": "now", "method": "textDocument/diagnostic",
                   "params": {"textDocument": {"uri": uri}}}))
        first = server.wait_for(lambda m: m.get("id") == "now")["result"]["items"]
        self.assertEqual(lines_of(first, "rapid_through_stock"), [6, 7])
        server.wait_for(lambda m: m.get("method") == "workspace/diagnostic/refresh")
        self.assertEqual(lines_of(pull(), "rapid_through_stock"), [])

    def test_a_note_that_silences_holds_for_the_first_part(self):
        server = self.enter(Server())
        server.initialize()
        server.open(URI, program(silenced=True))
        first, whole = server.published(URI, 1), server.published(URI, 1)
        self.assertNotIn(4, lines_of(first, CODE))
        self.assertNotIn(4, lines_of(whole, CODE))
        self.assertEqual([d for d in first if d not in whole], [])

    def test_a_key_that_comes_with_the_opening_is_not_lost(self):
        server = self.enter(Server())
        server.initialize()
        text = program()
        server.send_bytes(frame({"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": {"textDocument": {
            "uri": URI, "languageId": "gcode", "version": 1, "text": text}}}) +
            frame({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
                "textDocument": {"uri": URI, "version": 2},
                "contentChanges": [{"range": span(0, 0, 1, 0), "text": ""}]}}))
        whole = server.published(URI, 2)
        self.assertEqual(lines_of(whole, CODE), [3, text.count("\n") - 2])

    def test_whoever_asks_sees_everything(self):
        server = self.enter(Server())
        server.initialize()
        text = program()
        server.open(URI, text)
        last = text.count("\n") - 1
        self.assertIsNotNone(server.hover(URI, last, 5))

    def test_a_client_that_pulls_is_asked_to_pull_again(self):
        server = self.enter(Server())
        server.initialize(capabilities=PULLS)
        text = program()
        server.send_bytes(frame({"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": {"textDocument": {
            "uri": URI, "languageId": "gcode", "version": 1, "text": text}}}))
        first = server.request("textDocument/diagnostic", {"textDocument": {"uri": URI}})
        server.wait_for(lambda message: message.get("method") == "workspace/diagnostic/refresh")
        whole = server.request("textDocument/diagnostic",
                               {"textDocument": {"uri": URI}, "previousResultId": first["resultId"]})
        last = text.count("\n") - 1
        self.assertEqual(lines_of(first["items"], CODE), [4])
        self.assertEqual(lines_of(whole["items"], CODE), [4, last])
        self.assertEqual([d for d in first["items"] if d not in whole["items"]], [])

    def test_a_client_that_cannot_be_asked_again_gets_everything_at_once(self):
        server = self.enter(Server())
        capabilities = copy.deepcopy(PULLS)
        capabilities["workspace"]["diagnostics"] = {}
        server.initialize(capabilities=capabilities)
        text = program()
        server.open(URI, text)
        whole = server.request("textDocument/diagnostic", {"textDocument": {"uri": URI}})["items"]
        self.assertEqual(lines_of(whole, CODE), [4, text.count("\n") - 1])


if __name__ == "__main__":
    unittest.main()
