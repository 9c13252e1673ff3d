"""What an editor shows beside the text: turnwright/state, turnwright/sequences, and the comparison with a text that the
editor brings."""
import os
import tempfile
import unittest

from driver import AT_ONCE, Server, position, span, uri_of

PROGRAM = ("O1\nG21 G99 G40 G18\nN1 (T01 TURN)\nT0101\nG50 S2000\nG96 S180 M03\nG00 X60. Z2.\nG01 Z-20. F0.2\nM01\n"
           "N2 (T02 DRILL)\nT0202\nG97 S800 M03\nG00 X0 Z3.\nG01 Z-9. F.1\nG00 Z3.\nM30\n")


class Beside(unittest.TestCase):
    def setUp(self):
        self.folder = os.path.realpath(self.enter(tempfile.TemporaryDirectory()))
        self.uri = uri_of(os.path.join(self.folder, "jobs", "main.nc"))
        os.mkdir(os.path.join(self.folder, "jobs"))
        self.server = self.enter(Server())

    def enter(self, context):
        value = context.__enter__()
        self.addCleanup(lambda: context.__exit__(None, None, None))
        return value

    def start(self, text=PROGRAM, **settings):
        self.server.initialize(workspaceFolders=[{"uri": uri_of(os.path.join(self.folder, "jobs")), "name": "jobs"}],
                               initializationOptions={"turnwright": {**AT_ONCE["turnwright"], **settings}})
        self.server.open(self.uri, text)

    def ask(self, what, line):
        return self.server.request("turnwright/" + what, {"textDocument": {"uri": self.uri}, "position": position(line, 0)})

    def brief(self, line):
        return [cell["brief"] for cell in self.ask("state", line)]

    def test_the_state_behind_a_block(self):
        self.start()
        self.assertEqual([cell["name"] for cell in self.ask("state", 0)], ["tool", "spindle", "feed", "units"])
        self.assertEqual([cell["part"] for cell in self.ask("state", 0)], ["tool", "spindle", "feed", "units"])
        self.assertEqual(self.brief(0)[0], "tool not known")
        # n = 1000 v / (pi D), from the definition of surface speed: 1000 * 180 / (pi * 60) = 954.93
        self.assertEqual(self.brief(7), ["T01", "955 rpm", "0.2 mm/rev", "mm"])
        self.assertEqual(self.brief(13), ["T02", "800 rpm", "0.1 mm/rev", "mm"])
        self.assertIn("limit 2000", self.ask("state", 7)[1]["whole"])
        self.server.change(self.uri, 2, {"range": span(11, 5, 11, 8), "text": "1200"})
        self.assertEqual(self.brief(13)[1], "1200 rpm")

    def test_the_sequences(self):
        self.start()
        rows = self.ask("sequences", 12)
        self.assertEqual([row["name"] for row in rows], ["N1 T0101 TURN", "N2 T0202 DRILL"])
        self.assertEqual([row["holdsLine"] for row in rows], [False, True])
        self.assertEqual([row["range"]["start"]["line"] for row in rows], [2, 9])
        for row in rows:
            self.assertRegex(row["time"], r"\d+(\.\d+)? s$")
            self.assertRegex(row["restart"], r"^(sets all it reads|takes over .+)$")
            self.assertEqual(row["takesOver"], row["restart"].startswith("takes over"))
        lenses = self.server.request("textDocument/codeLens", {"textDocument": {"uri": self.uri}})
        for row, lens in zip(rows, lenses, strict=True): # the same words as above the sequences
            self.assertIn(row["time"], lens["command"]["title"])
            self.assertIn(row["restart"], lens["command"]["title"])

    def test_odd_places_and_texts(self):
        self.start("")
        self.assertEqual(self.brief(0), ["tool not known", "spindle stopped", "feed not known", "units not known"])
        self.assertEqual(self.ask("sequences", 0), [])
        self.server.change(self.uri, 2, {"text": "%\nG01 (\nX\x00Q#\n(" + "]" * 50})
        for line in (0, 1, 2, 3, 9):
            self.assertEqual(len(self.ask("state", line)), 4)
        self.assertEqual(self.server.error("turnwright/state", {"textDocument": {"uri": self.uri}}), -32602)
        self.assertEqual(self.server.error("turnwright/sequences", {"textDocument": {"uri": "file:///none.nc"},
                                                                    "position": position(0, 0)}), -32602)

    def test_a_text_that_the_editor_brings_is_compared_with(self):
        self.start()
        ask = lambda *more: self.server.request("workspace/executeCommand",
                                                {"command": "turnwright.compare", "arguments": [self.uri, *more]})
        told = ask(PROGRAM.replace("Z-20.", "Z-21."), "old.nc")
        self.assertIn("old.nc", told)
        self.assertIn("Z-2", told)
        self.assertNotIn("saved file", told)
        self.assertIsNone(ask("\x00\x01\x02 no program", "picture.png"))
        said = self.server.wait_for(lambda m: m.get("method") == "window/showMessage" and "picture.png" in m["params"]["message"])
        self.assertEqual(said["params"]["type"], 2)

    def test_endings_of_the_setting_are_programs(self):
        with open(os.path.join(self.folder, "jobs", "o7.PTP"), "w", encoding="utf-8") as file:
            file.write("O7 (GROOVE)\nG00 Z-5.\nM99\n")
        self.start("O1\nG21\nM98 P7\nM30\n", endings=["ptp", 3, ""])
        found = self.server.request("workspace/symbol", {"query": "o0007"})
        self.assertEqual([os.path.basename(s["location"]["uri"]) for s in found], ["o7.PTP"])


class WithoutThem(unittest.TestCase):
    def test_without_the_setting_they_are_not(self):
        with tempfile.TemporaryDirectory() as folder, Server() as server:
            with open(os.path.join(folder, "o7.ptp"), "w", encoding="utf-8") as file:
                file.write("O7\nM99\n")
            server.initialize(workspaceFolders=[{"uri": uri_of(folder), "name": "jobs"}], initializationOptions=AT_ONCE)
            self.assertFalse(server.request("workspace/symbol", {"query": "o0007"}))


if __name__ == "__main__":
    unittest.main()
