"""Two turrets with a program each in two files: warnings for both, from wait to wait, as they are typed."""
import os
import tempfile
import unittest

from driver import AT_ONCE, Server, span, uri_of
from test_abilities import FULL

SHOP = """[[machine]]
name = "two turrets"
path_endings = ["_u.nc", "_l.nc"]
[machine.m_codes]
"M101-M119" = { name = "wait", does = "wait" }
"""
UPPER = "O0101 (UPPER)\nG21 G99\nT0101\nG97 S1000 M03\nG00 X52. Z2.\nM101\nG01 Z-20. F.2\nG00 X60.\nM102\nM30\n"
LOWER = "O0102 (LOWER)\nG21 G99\nT0202\nG00 X60. Z5.\nM101\nM102\nM30\n"


class TwoPaths(unittest.TestCase):
    def setUp(self):
        self.folder = os.path.realpath(self.enter(tempfile.TemporaryDirectory()))
        self.upper, self.lower = (uri_of(self.write(name, text)) for name, text in (("pin_u.nc", UPPER), ("pin_l.nc", LOWER)))
        self.write("turnwright.toml", SHOP)
        self.server = self.enter(Server())
        self.server.initialize(capabilities=FULL, workspaceFolders=[{"uri": uri_of(self.folder), "name": "jobs"}],
                               initializationOptions=AT_ONCE)

    def enter(self, context):
        value = context.__enter__()
        self.addCleanup(lambda: context.__exit__(None, None, None))
        return value

    def write(self, name, text):
        path = os.path.join(self.folder, name)
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        return path

    def lines(self, uri, version=None):
        return [d["range"]["start"]["line"] for d in self.server.published(uri, version) if d["code"] == "waits_do_not_meet"]

    def test_both_files_are_told_while_one_is_typed(self):
        self.server.open(self.upper, UPPER)
        self.assertEqual(self.lines(self.upper, 1), [])
        self.server.open(self.lower, LOWER)
        self.assertEqual(self.lines(self.lower, 1), [])
        self.server.change(self.lower, 2, {"range": span(5, 0, 5, 4), "text": "M103"})
        self.assertEqual(self.lines(self.lower, 2), [5])
        self.assertEqual(self.lines(self.upper), [8])
        self.server.change(self.lower, 3, {"range": span(5, 0, 5, 4), "text": "M102"})
        self.assertEqual(self.lines(self.lower, 3), [])
        self.assertEqual(self.lines(self.upper), [])

    def test_partner_that_is_not_open(self):
        self.server.open(self.upper, UPPER.replace("M102", "M105"))
        self.assertEqual(self.lines(self.upper, 1), [8])

    def test_hover_says_who_waits(self):
        self.server.open(self.upper, UPPER)
        # 22 mm at 0.2 mm a turn and 1000 turns a minute: 6.6 s, and the lower one only waits.
        told = self.server.hover(self.upper, 8, 1)["contents"]["value"]
        self.assertIn("pin_l.nc at its line 6", told)
        self.assertIn("7 s for this path", told)
        self.assertIn("Runs at the same time as pin_l.nc", self.server.hover(self.upper, 0, 1)["contents"]["value"])
        self.assertNotIn("pin_l.nc", self.server.hover(self.upper, 6, 1)["contents"]["value"])

    def test_from_a_wait_to_the_partner(self):
        self.server.open(self.upper, UPPER)
        found = self.server.request("textDocument/definition", {"textDocument": {"uri": self.upper}, "position": {"line": 8, "character": 1}})
        self.assertEqual(found, [{"uri": self.lower, "range": span(5, 0, 5, 4)}])
        found = self.server.request("textDocument/definition", {"textDocument": {"uri": self.upper}, "position": {"line": 0, "character": 1}})
        self.assertEqual(found, [{"uri": self.lower, "range": span(0, 0, 0, 13)}])

    def test_outline_of_the_partner_side_by_side(self):
        self.server.open(self.upper, UPPER)
        told = self.server.request("turnwright/paths", {"textDocument": {"uri": self.upper}})
        self.assertEqual([pair["name"] for pair in told], ["pin_l.nc"])
        self.assertEqual(told[0]["location"]["uri"], self.lower)
        rows = told[0]["rows"]
        self.assertEqual([row["to"] for row in rows], ["M101", "M102", ""])
        self.assertEqual([row["own"]["tools"] for row in rows][0], ["T01"])
        self.assertEqual([row["other"]["tools"] for row in rows][0], ["T02"])
        # 22 mm at 0.2 mm a turn and 1000 turns a minute.
        self.assertAlmostEqual(rows[1]["otherWaits"], 6.6, delta=0.7)
        self.assertEqual(rows[1]["own"]["range"]["start"]["line"], 6)


if __name__ == "__main__":
    unittest.main()
