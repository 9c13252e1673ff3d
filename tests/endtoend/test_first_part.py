"""What the first part of a very long program shows is told before the rest is looked at."""
import copy
import unittest

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
