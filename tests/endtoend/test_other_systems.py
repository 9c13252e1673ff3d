"""What differs between systems and must not make a difference: line ends, spellings of a file's name, letters in it."""
import os
import subprocess
import tempfile
import unittest

from driver import COMMAND, PATIENCE, WINDOWS, Server, position, span, uri_of
from test_abilities import FULL

PROGRAM = ("O1 (SHAFT)\nG21 G99 G97 S500 M03 T0101 F0.1\nG00 X52 Z2.\nG01 Z-20.\n(OPEN\nG96 S200\nG01 X0.\nM30\n")
NAME = "W\u00e4lzlager \u8f74 \U0001f527.nc"


class LineEnds(unittest.TestCase):
    def warnings(self, text):
        with Server() as server:
            server.initialize()
            server.open("file:///shop/a.nc", text)
            found = server.published("file:///shop/a.nc", 1)
            server.shut_down()
        return [(w["code"], w["range"], w["message"]) for w in found]

    def test_the_warnings_do_not_depend_on_them(self):
        plain = self.warnings(PROGRAM)
        self.assertTrue(plain)
        self.assertEqual(self.warnings(PROGRAM.replace("\n", "\r\n")), plain)

    def test_edits_keep_them(self):
        uri = "file:///shop/a.nc"
        text = PROGRAM.replace("Z-20.\n", "Z-20.  \n").replace("\n", "\r\n")
        with Server() as server:
            server.initialize(capabilities=FULL)
            server.open(uri, text)
            edits = server.request("textDocument/formatting", {"textDocument": {"uri": uri},
                                                               "options": {"tabSize": 4, "insertSpaces": True}})
            lines = text.split("\r\n")
            self.assertTrue(edits)
            for edit in sorted(edits, key=lambda e: (e["range"]["start"]["line"], e["range"]["start"]["character"]), reverse=True):
                start, end = edit["range"]["start"], edit["range"]["end"]
                self.assertEqual(start["line"], end["line"])
                self.assertLessEqual(end["character"], len(lines[start["line"]]))  # the line end is not touched
                self.assertNotIn("\n", edit["newText"])
                self.assertNotIn("\r", edit["newText"])
            server.shut_down()


class Spellings(unittest.TestCase):
    def test_one_document_by_any_spelling_of_its_drive(self):
        with Server() as server:
            server.initialize(capabilities=FULL)
            server.open("file:///c%3A/shop/O1000.nc", "O1\nN1 T0101\nM30\n")
            server.change("file:///C:/shop/O1000.nc", 2, {"range": span(1, 0, 1, 2), "text": "N7"})
            found = server.request("textDocument/documentSymbol", {"textDocument": {"uri": "file:///c:/shop/O1000.nc"}})
            self.assertIn("N7", str(found))
            server.close("file:///C%3a/shop/O1000.nc")
            self.assertEqual(server.error("textDocument/documentSymbol", {"textDocument": {"uri": "file:///c:/shop/O1000.nc"}}), -32602)
            server.shut_down()


class Names(unittest.TestCase):
    def setUp(self):
        holder = tempfile.TemporaryDirectory()
        self.addCleanup(holder.cleanup)
        self.folder = os.path.join(os.path.realpath(holder.name), "Jobs \u00e9")
        os.mkdir(self.folder)

    def write(self, name, text):
        path = os.path.join(self.folder, name)
        with open(path, "w", encoding="utf-8", newline="") as file:
            file.write(text)
        return path

    def run_program(self, *words):
        return subprocess.run([*COMMAND, *words], capture_output=True, timeout=PATIENCE, cwd=self.folder)

    def test_a_call_into_a_file_of_any_name(self):
        groove = uri_of(self.write(NAME, "O7 (GROOVE)\nG00 Z-5.\nM99\n"))
        main = uri_of(os.path.join(self.folder, "main.nc"))
        with Server() as server:
            server.initialize(capabilities=FULL, workspaceFolders=[{"uri": uri_of(self.folder), "name": "jobs"}])
            server.open(main, "O1\nM98 P7\nM30\n")
            found = server.request("textDocument/definition", {"textDocument": {"uri": main}, "position": position(1, 5)})
            self.assertEqual(found, [{"uri": groove, "range": span(0, 0, 0, 2)}])
            server.shut_down()

    def test_the_command_line_takes_any_name(self):
        self.write(NAME, PROGRAM)
        done = self.run_program("check", NAME)
        self.assertEqual(done.returncode, 1, done)
        self.assertIn(NAME + ":3:5: warning:", done.stdout.decode())
        self.assertNotIn(b"\r", done.stdout)
        self.assertIn(NAME, self.run_program("check", ".").stdout.decode())  # found in its folder
        self.assertEqual(self.run_program("picture", NAME, "-o", NAME + ".svg").returncode, 0)
        with open(os.path.join(self.folder, NAME + ".svg"), "rb") as file:
            self.assertTrue(file.read().startswith(b"<?xml"))

    def test_bytes_pass_standard_streams_as_they_are(self):
        text = PROGRAM.replace("\n", "\r\n").encode()
        done = subprocess.run([*COMMAND, "format", "-"], input=text, capture_output=True, timeout=PATIENCE)
        self.assertEqual(done.returncode, 0, done)
        self.assertEqual(done.stdout.count(b"\r\n"), text.count(b"\r\n"))
        self.assertEqual(done.stdout.count(b"\n"), text.count(b"\n"))
        self.assertEqual(done.stdout.count(b"\r"), text.count(b"\r"))

    @unittest.skipUnless(WINDOWS, "elsewhere another case is another file")
    def test_any_case_is_one_file(self):
        groove = uri_of(self.write("Groove.nc", "O7 (GROOVE)\nG00 Z-5.\nM99\n"))
        main = uri_of(os.path.join(self.folder, "main.nc"))
        loud = uri_of(self.folder).replace("file:///z:", "file:///Z:").replace("Jobs", "JOBS")
        with Server() as server:
            server.initialize(capabilities=FULL, workspaceFolders=[{"uri": loud, "name": "jobs"}])
            server.open(main, "O1\nM98 P7\nM30\n")
            server.open(groove.replace("Groove", "GROOVE"), "O7 (GROOVE)\nG00 Z-8.\nM99\n")
            found = server.request("textDocument/definition", {"textDocument": {"uri": main}, "position": position(1, 5)})
            self.assertEqual([place["uri"] for place in found], [groove.replace("Groove", "GROOVE")])
            server.shut_down()


if __name__ == "__main__":
    unittest.main()
