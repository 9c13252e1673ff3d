"""Changes that come late, twice, too early or do not fit: the text is never corrupted, the server never dies."""
import json
import unittest

from driver import AT_ONCE, Server, frame, position, span

URI = "file:///shop/bushing.nc"
OPEN_NOTE = "note_unclosed"


def ids(diagnostics):
    return [d.get("code") for d in diagnostics]


def insert(line, character, text):
    return {"range": span(line, character, line, character), "text": text}


class Order(unittest.TestCase):
    def setUp(self):
        self.server = self.enterContext(Server())
        self.server.initialize(initializationOptions=AT_ONCE)

    def messages(self):
        self.server.settle()
        return [m["params"] for m in self.server.inbox if m.get("method") == "window/showMessage"]

    def text_is(self, expected_lines):
        """Hover tells what the server holds: an unclosed note reaches to the end of its line."""
        self.server.settle()
        symbols = self.server.request("textDocument/documentSymbol", {"textDocument": {"uri": URI}})
        names = [c["name"].split()[0] for s in symbols for c in s.get("children", [])]
        self.assertEqual(names, expected_lines)

    def test_a_change_before_its_predecessor_is_put_in_order(self):
        # Helix, typing fast, sent version 12 before 11.
        self.server.open(URI, "O1\nN1 T0101\nM30\n", version=10)
        self.server.change(URI, 12, insert(2, 0, "N3 T0303\n"))  # speaks of the text with N2 in it
        self.server.change(URI, 11, {"range": span(1, 0, 2, 0), "text": "N2 T0202\n"})
        self.server.change(URI, 13, insert(3, 0, "N4 T0404\n"))
        self.text_is(["N2", "N3", "N4"])
        self.server.logged("version 11 came after 12")
        self.assertEqual(self.messages(), [])

    def test_an_old_change_that_cannot_be_placed_stops_the_warnings_and_is_told_once(self):
        self.server.open(URI, "O1\nN1 T0101\n(OPEN\nM30\n", version=5)
        self.assertIn(OPEN_NOTE, ids(self.server.published(URI, 5)))
        self.server.change(URI, 6, insert(0, 0, "\n"))
        self.server.published(URI, 6)
        self.server.change(URI, 4, insert(0, 0, "(X\n"))
        told = self.server.published(URI, 6)
        self.assertEqual(len(told), 1)
        self.assertIn("closed and opened again", told[0]["message"])
        self.server.change(URI, 7, insert(0, 0, "(Y\n"))
        self.server.change(URI, 3, insert(0, 0, "(Z\n"))
        self.assertEqual(len(self.messages()), 1)
        self.assertIn("bushing.nc", self.messages()[0]["message"])
        # Nothing is said about a text that is not the client's: content modified.
        self.assertEqual(self.server.error("textDocument/hover", {"textDocument": {"uri": URI}, "position": position(1, 0)}), -32801)
        # Whole text: all is well again.
        self.server.change(URI, 8, {"text": "O1\nN5 T0505\n(OPEN\nM30\n"})
        self.assertIn(OPEN_NOTE, ids(self.server.published(URI, 8)))
        self.text_is(["N5"])

    def test_reopening_recovers(self):
        self.server.open(URI, "O1\nN1 T0101\nM30\n", version=5)
        self.server.change(URI, 6, insert(90, 0, "G00"))
        self.server.close(URI)
        self.server.open(URI, "O1\nN7 T0707\n(OPEN\nM30\n", version=1)
        self.assertIn(OPEN_NOTE, ids(self.server.published(URI, 1)))
        self.text_is(["N7"])

    def test_ranges_that_do_not_fit(self):
        for number, change in enumerate([
                insert(5, 0, "X"), insert(2**31 - 1, 0, "X"), insert(2**31, 0, "X"), insert(-1, 0, "X"), insert(0, -1, "X"),
                {"range": span(2, 0, 1, 0), "text": "X"}, {"range": span(1, 5, 1, 2), "text": "X"},
                {"range": {"start": position(0, 0)}, "text": ""}, {"range": span(0, 0, 0, 0)}, {"range": 5, "text": ""},
                {"text": 5}, {}, 5, None, {"range": span(0.5, 0, 1, 0), "text": ""}, {"range": span("0", 0, 1, 0), "text": ""}]):
            uri = f"{URI}{number}"
            with self.subTest(change=change):
                self.server.open(uri, "O1\nN1 T0101\nM30\n", version=1)
                self.server.published(uri, 1)
                # 2**31 is clamped to the largest number of the protocol, and past the end all the same.
                self.server.change(uri, 2, change)
                told = self.server.published(uri)
                self.assertIn("closed and opened again", told[0]["message"])
                self.server.change(uri, 3, {"text": "(OPEN\n"})
                self.assertIn(OPEN_NOTE, ids(self.server.published(uri, 3)))

    def test_content_changes_of_another_type(self):
        for number, changes in enumerate([None, 5, "text", {"text": ""}, True]):
            uri = f"{URI}{number}"
            with self.subTest(changes=changes):
                self.server.open(uri, "M30\n")
                self.server.published(uri, 1)
                self.server.notify("textDocument/didChange", {"textDocument": {"uri": uri, "version": 2}, "contentChanges": changes})
                self.assertIn("closed and opened again", self.server.published(uri)[0]["message"])

    def test_past_the_end_of_a_line_is_its_end(self):
        # Behind M30 nothing is checked, so the program has none.
        self.server.open(URI, "O1\nN1 T0101\nM00")
        self.server.change(URI, 2, insert(1, 500, "\nN2 T0202"))
        self.server.change(URI, 3, insert(4, 0, "\n(OPEN"))  # one line past the last: an editor that appends
        self.assertIn(OPEN_NOTE, ids(self.server.published(URI, 3)))
        self.text_is(["N1", "N2"])
        self.server.change(URI, 4, {"range": span(0, 0, 900, 0), "text": "O1\nN3 T0303\n"})
        self.text_is(["N3"])
        self.assertEqual(self.messages(), [])

    def test_open_twice_takes_the_later_text(self):
        self.server.open(URI, "O1\nN1 T0101\n", version=1)
        self.server.open(URI, "O1\nN2 T0202\n(OPEN\n", version=9)
        self.assertIn(OPEN_NOTE, ids(self.server.published(URI, 9)))
        self.server.logged("opened twice")
        self.text_is(["N2"])

    def test_change_before_open_and_close_twice(self):
        self.server.change(URI, 1, insert(0, 0, "G00"))
        self.server.logged("not open")
        self.server.open(URI, "(OPEN\n")
        self.server.published(URI, 1)
        self.server.close(URI)
        self.assertEqual(self.server.published(URI), [])
        self.server.close(URI)
        self.server.logged("closed without being open")
        self.server.change(URI, 2, insert(0, 0, "G00"))
        self.server.settle()
        self.assertFalse([m for m in self.server.inbox if m.get("method") == "textDocument/publishDiagnostics"])
        self.assertEqual(self.server.error("textDocument/hover", {"textDocument": {"uri": URI}, "position": position(0, 0)}), -32602)

    def test_an_older_whole_text_is_left_out(self):
        self.server.open(URI, "M30\n", version=5)
        self.server.change(URI, 7, {"text": "O1\nN7 T0707\n"})
        self.server.change(URI, 6, {"text": "O1\nN6 T0606\n"})
        self.text_is(["N7"])
        self.server.logged("left out")

    def test_the_same_file_under_two_spellings_is_one_document(self):
        self.server.open("file:///c%3A/Shop/a%20b.nc", "M30\n")
        self.server.published("file:///c%3A/Shop/a%20b.nc", 1)
        self.server.change("file:///C:/Shop/a b.nc", 2, {"text": "(OPEN\n"})
        # Answers go to the spelling that opened it.
        self.assertIn(OPEN_NOTE, ids(self.server.published("file:///c%3A/Shop/a%20b.nc", 2)))

    def test_untitled_programs(self):
        for uri in ("untitled:Untitled-1", "untitled:C%3A\\x.nc", "vscode-notebook-cell:/a#b", ""):
            with self.subTest(uri=uri):
                self.server.open(uri, "(OPEN\n")
                self.assertIn(OPEN_NOTE, ids(self.server.published(uri, 1)))


class Characters(unittest.TestCase):
    """Text that is no good JSON is taken; a change that cannot be is told to the user."""

    def setUp(self):
        self.server = self.enterContext(Server())
        self.server.initialize(initializationOptions=AT_ONCE)
        self.server.open(URI, "O1\nN1 T0101\nM30\n")
        self.server.published(URI, 1)

    def send_change(self, version, text, uri=URI, line=2):
        body = json.dumps({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
            "textDocument": {"uri": uri, "version": version},
            "contentChanges": [{"range": span(line, 0, line, 0), "text": "TEXT"}]}}).encode()
        self.server.send_bytes(frame(body.replace(b"TEXT", text)))

    def lines_with_open_notes(self, version):
        return [d["range"]["start"]["line"] for d in self.server.published(URI, version) if d["code"] == OPEN_NOTE]

    def test_half_a_pair_and_8_bit_bytes_are_taken(self):
        for version, text in enumerate([rb"(\ud83d)\n", b"(\xe9\xff)\\n", rb"(\udd27\ud83d\ud83d\udd27)\n", b"(\xed\xa0\xbd)\\n",
                                        b"(a\tb)\\n"], 2):
            with self.subTest(text=text):
                self.send_change(version, text)
                # The next one goes to the right line.
                self.assertEqual(self.lines_with_open_notes(version), [])
        self.send_change(version + 1, rb"(OPEN\n", line=7)
        self.assertEqual(self.lines_with_open_notes(version + 1), [7])
        self.assertFalse([m for m in self.server.inbox if m.get("method") == "window/showMessage" or "error" in m])

    def test_columns_behind_them_are_the_clients(self):
        for encoding, width in (("utf-8", 3), ("utf-16", 1), ("utf-32", 1)):
            with self.subTest(encoding=encoding), Server() as server:
                server.initialize(capabilities={"general": {"positionEncodings": [encoding]}})
                body = json.dumps({"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": {
                    "textDocument": {"uri": URI, "languageId": "turning", "version": 1, "text": "(HALF RAW) (OPEN"}}}).encode()
                server.send_bytes(frame(body.replace(b"HALF", rb"\ud83d").replace(b"RAW", b"\xe9")))
                note = next(d for d in server.published(URI, 1) if d["code"] == OPEN_NOTE)
                self.assertEqual(note["range"]["start"]["character"], 5 + width)

    def test_a_change_that_cannot_be_read_is_told(self):
        body = json.dumps({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
            "textDocument": {"uri": URI, "version": 2}, "contentChanges": []}}).encode()
        values = body.replace(b"[]", b"[" + b"0," * 1_100_000 + b"0]")
        for number, broken in enumerate([body[:-1], body.replace(b"[]", b"[,]"), values]):
            with self.subTest(number=number):
                uri = f"{URI}{number}"
                self.server.open(uri, "O1\nM30\n", 1)
                self.server.published(uri, 1)
                self.server.send_bytes(frame(broken.replace(URI.encode(), uri.encode())))
                message = self.server.wait_for(lambda m: m.get("method") == "window/showMessage")
                self.assertIn("bushing.nc", message["params"]["message"])
                self.assertIn("closed and opened again", self.server.published(uri)[0]["message"])
                self.server.change(uri, 3, {"text": "(OPEN\n"})
                self.assertIn(OPEN_NOTE, ids(self.server.published(uri, 3)))

    def test_a_version_that_is_left_out_behind_a_message_that_could_not_be_read(self):
        self.server.send_bytes(frame(b"{broken"))
        self.send_change(2, rb"(A)\n")
        self.assertEqual(self.lines_with_open_notes(2), [])
        self.server.send_bytes(frame(b"{broken"))
        self.send_change(4, rb"(OPEN\n")
        self.assertIn("closed and opened again", self.server.published(URI)[0]["message"])
        self.assertIn("bushing.nc", self.server.wait_for(lambda m: m.get("method") == "window/showMessage")["params"]["message"])
        self.server.logged("version 4 follows 2")

    def test_a_question_that_cannot_be_read_loses_no_text(self):
        self.server.send_bytes(frame(b'{"jsonrpc": "2.0", "id": 1, "method": "textDocument/hover", "params": {'))
        self.send_change(9, rb"(OPEN\n")
        self.assertEqual(self.lines_with_open_notes(9), [2])


class Positions(unittest.TestCase):
    """Past the end is clamped, inside a character goes to its start, negative is refused."""

    def test_requests_at_odd_positions(self):
        with Server() as server:
            server.initialize(capabilities={"general": {"positionEncodings": ["utf-16"]}})
            server.open(URI, "G21 (\U0001F527\U0001F527)\n\nM30")
            server.published(URI)
            for line, character in [(0, 6), (0, 5), (0, 500), (1, 0), (1, 9), (2, 3), (2, 4), (3, 0), (99, 0), (2**31 - 1, 2**31 - 1)]:
                with self.subTest(line=line, character=character):
                    hover = server.hover(URI, line, character)
                    if hover is not None:
                        start, end = hover["range"]["start"], hover["range"]["end"]
                        self.assertLessEqual((start["line"], start["character"]), (end["line"], end["character"]))
                        self.assertLessEqual(end["line"], 2)
            for line, character in [(-1, 0), (0, -1), (0.5, 0), ("0", 0), (None, 0), (True, 0), ([], 0)]:
                with self.subTest(line=line, character=character):
                    self.assertEqual(server.error("textDocument/hover", {
                        "textDocument": {"uri": URI}, "position": position(line, character)}), -32602)
            for params in (None, [], {}, {"textDocument": {}}, {"textDocument": {"uri": 5}, "position": position(0, 0)},
                           {"textDocument": {"uri": URI}}, {"textDocument": URI, "position": position(0, 0)}):
                with self.subTest(params=params):
                    self.assertEqual(server.error("textDocument/hover", params), -32602)

    def test_an_edit_inside_a_surrogate_pair_takes_the_whole_character(self):
        with Server() as server:
            server.initialize(capabilities={})
            server.open(URI, "(\U0001F527A\n")
            start = server.published(URI, 1)[0]["range"]["start"]
            self.assertEqual(start, position(0, 0))
            server.change(URI, 2, {"range": span(0, 2, 0, 3), "text": "(B"})  # from the middle of the wrench to its end
            note = next(d for d in server.published(URI, 2) if d["code"] == OPEN_NOTE)
            server.settle()  # all output so far was valid UTF-8, or reading it would have failed
            self.assertEqual(note["range"]["end"]["line"], 0)


if __name__ == "__main__":
    unittest.main()
