"""Programs of a workspace call each other across files; nothing outside of its folders is read."""
import os
import tempfile
import unittest

from driver import AT_ONCE, WINDOWS, Server, path_of, position, span, uri_of
from test_abilities import FULL

MAIN = "O1\nG21 G99 G97 S500 M03 T0101 F0.1\nG00 X40. Z2.\nM98 P7\nG01 X30.\nM30\n"
CALL = position(3, 5)


class Files(unittest.TestCase):
    def setUp(self):
        self.folder = os.path.realpath(self.enter(tempfile.TemporaryDirectory()))
        self.inside = os.path.join(self.folder, "jobs")
        os.mkdir(self.inside)
        self.main = uri_of(os.path.join(self.inside, "main.nc"))
        self.groove = uri_of(os.path.join(self.inside, "deep-groove.nc"))
        self.write("deep-groove.nc", "O7 (GROOVE)\nG00 Z-5.\nM99\n")
        self.server = self.enter(Server())
        self.server.initialize(capabilities=FULL, workspaceFolders=[{"uri": uri_of(self.inside), "name": "jobs"}],
                               initializationOptions=AT_ONCE)

    def enter(self, context):
        value = context.__enter__()
        self.addCleanup(lambda: context.__exit__(None, None, None))
        return value

    def write(self, name, text):
        with open(os.path.join(self.inside, name), "w", encoding="utf-8") as file:
            file.write(text)

    def start_of_last_move(self):
        return self.server.hover(self.main, 4, 0)["contents"]["value"]

    def ask(self, what, **more):
        return self.server.request("textDocument/" + what, {"textDocument": {"uri": self.main}, "position": CALL, **more})

    def test_a_call_is_followed(self):
        self.server.open(self.main, MAIN)
        self.assertIn("Z-5.", self.start_of_last_move())
        self.assertEqual(self.ask("definition"), [{"uri": self.groove, "range": span(0, 0, 0, 2)}])
        links = self.server.request("textDocument/documentLink", {"textDocument": {"uri": self.main}})
        self.assertEqual([l["target"] for l in links], [self.groove])
        item = self.ask("prepareCallHierarchy")[0]
        called = self.server.request("callHierarchy/outgoingCalls", {"item": item})
        self.assertEqual([(c["to"]["uri"], c["fromRanges"]) for c in called], [(self.groove, [span(3, 4, 3, 6)])])
        self.assertEqual([s["location"]["uri"] for s in self.server.request("workspace/symbol", {"query": "o0007"})],
                         [self.groove])

    def run_report(self, name):
        return self.server.request("workspace/executeCommand", {"command": "turnwright." + name, "arguments": [self.main]})

    def test_picture_and_sheet_are_shown_by_the_client(self):
        shown = []
        self.server.answers_to_server["window/showDocument"] = lambda params: shown.append(params) or {"success": True}
        self.server.open(self.main, MAIN)
        for name, holds in [("picture", "<canvas"), ("sheet", "Set up by"), ("tell", "told block by block"), ("library", "deep-groove.nc")]:
            with self.subTest(name=name):
                page = self.run_report(name)
                self.server.wait_for(lambda m: m.get("method") == "window/showDocument")
                self.assertEqual((shown[-1]["uri"], shown[-1]["external"]), (page, True))
                path = path_of(page)
                self.assertFalse(path.startswith(self.folder))
                if not WINDOWS:  # there the temporary folder is the person's own
                    self.assertEqual(os.stat(os.path.dirname(path)).st_mode & 0o077, 0)
                with open(path, encoding="utf-8") as file:
                    self.assertIn(holds.lower(), file.read().lower())

    def test_pages_go_with_the_server(self):
        self.server.open(self.main, MAIN)
        folder = os.path.dirname(path_of(self.run_report("sheet")))
        self.assertTrue(os.path.isdir(folder))
        self.server.shut_down()
        self.assertEqual(self.server.end(), 0)
        self.assertFalse(os.path.exists(folder))

    @unittest.skipIf(WINDOWS, "a process is ended otherwise there")
    def test_pages_of_a_server_that_was_killed_go_with_the_next(self):
        def page_of(server):
            server.initialize(capabilities=FULL, workspaceFolders=[{"uri": uri_of(self.inside), "name": "jobs"}])
            server.open(self.main, MAIN)
            ask = {"command": "turnwright.sheet", "arguments": [self.main]}
            return os.path.dirname(path_of(server.request("workspace/executeCommand", ask)))

        killed = Server()
        folder = page_of(killed)
        with Server() as other:
            page_of(other)
            self.assertTrue(os.path.isdir(folder))  # of a server that lives
        killed.process.kill()
        killed.process.wait()
        for pipe in (killed.process.stdin, killed.process.stdout, killed.process.stderr):
            pipe.close()
        with Server() as other:
            page_of(other)
            self.assertFalse(os.path.exists(folder))

    @unittest.skipIf(WINDOWS, "paths and links of this system")
    def test_the_text_of_a_program_that_is_open_by_a_link_too_counts_when_one_is_closed(self):
        os.symlink("deep-groove.nc", os.path.join(self.inside, "same.nc"))
        by_link = uri_of(os.path.join(self.inside, "same.nc"))
        self.server.open(self.main, MAIN)
        for uri in (self.groove, by_link):
            self.server.open(uri, "O7\nG00 Z-8.\nM99\n")
        self.assertIn("Z-8.", self.start_of_last_move())
        self.server.close(by_link)
        self.assertIn("Z-8.", self.start_of_last_move())
        self.server.close(self.groove)
        self.assertIn("Z-5.", self.start_of_last_move())

    @unittest.skipIf(WINDOWS, "paths and links of this system")
    def test_a_program_opened_by_a_link_is_the_same_program(self):
        os.symlink(self.inside, os.path.join(self.folder, "way"))
        os.symlink("deep-groove.nc", os.path.join(self.inside, "same.nc"))
        self.main = uri_of(os.path.join(self.folder, "way", "main.nc"))
        self.server.open(self.main, MAIN)
        self.server.open(uri_of(os.path.join(self.folder, "way", "deep-groove.nc")), "O7\nG00 Z-8.\nM99\n")
        self.assertIn("Z-8.", self.start_of_last_move())
        found = self.server.request("workspace/symbol", {"query": "o0007"})
        self.assertEqual(len(found), 1, found)

    def test_a_note_typed_in_a_called_program_is_nothing_to_its_callers(self):
        with Server() as server:
            server.initialize(workspaceFolders=[{"uri": uri_of(self.inside), "name": "jobs"}], initializationOptions=AT_ONCE)
            server.open(self.main, MAIN)
            server.open(self.groove, "O7 (GROOVE)\nG00 Z-5.\nM99\n")
            server.published(self.main, 1)
            server.published(self.groove, 1)
            told = lambda: [m for m in server.inbox if m.get("method") == "textDocument/publishDiagnostics"
                            and m["params"]["uri"] == self.main]
            server.change(self.groove, 2, {"range": span(0, 4, 0, 10), "text": "DEEP"})
            server.published(self.groove, 2)
            server.settle()
            self.assertFalse(told())
            server.change(self.groove, 3, {"range": span(1, 5, 1, 7), "text": "-6"})
            server.published(self.groove, 3)
            server.published(self.main, 1)  # again

    @unittest.skipIf(WINDOWS, "pipes of this system")
    def test_a_pipe_among_the_programs_is_passed_over(self):
        for name in ("pipe.nc", "turnwright.toml", "main.turnwright.toml"):
            os.mkfifo(os.path.join(self.inside, name))
        self.server.open(self.main, MAIN)
        self.assertIn("Z-5.", self.start_of_last_move())
        self.assertEqual(len(self.server.request("workspace/symbol", {"query": "o0007"})), 1)

    def test_compare_is_with_the_saved_file(self):
        self.write("main.nc", MAIN)
        self.server.open(self.main, MAIN.replace("X30.", "X31.").replace("O1\n", "O1\n(A NOTE CHANGES NOTHING)\n"))
        text = self.run_report("compare")
        self.assertIn("X31.", text)
        self.assertNotIn("NOTE", text)

    @unittest.skipIf(WINDOWS, "paths and links of this system")
    def test_compare_reads_no_file_outside(self):
        outside = os.path.join(self.folder, "outside.nc")
        with open(outside, "w", encoding="utf-8") as file:
            file.write("O5\nG00 X77.\nM30\n")
        os.symlink(outside, os.path.join(self.inside, "link.nc"))
        os.symlink(self.folder, os.path.join(self.inside, "up"))
        for path in (outside, os.path.join(self.inside, "link.nc"), os.path.join(self.inside, "up", "outside.nc"),
                     os.path.join(self.inside, "..", "outside.nc"), os.path.join(self.inside, "%2e%2e", "outside.nc"),
                     "/etc/passwd", "/proc/self/environ"):
            with self.subTest(path=path):
                self.main = "file://" + path
                self.server.open(self.main, "M30\n")
                self.assertIsNone(self.run_report("compare"))
                told = self.server.wait_for(lambda m: m.get("method") == "window/showMessage")["params"]
                self.assertEqual(told["type"], 2)
                self.assertIn("no such file in the workspace folders", told["message"])
                self.server.close(self.main)

    def test_symbols_with_nothing_open(self):
        found = self.server.request("workspace/symbol", {"query": "7"})
        self.assertEqual([(s["name"], s["location"]["uri"]) for s in found], [("O0007", self.groove)])

    def test_rename_goes_through_all_files(self):
        self.server.open(self.main, MAIN)
        changes = {c["textDocument"]["uri"]: c for c in self.ask("rename", newName="9")["documentChanges"]}
        self.assertEqual(set(changes), {self.main, self.groove})
        self.assertIsNone(changes[self.groove]["textDocument"]["version"])
        self.assertEqual(changes[self.groove]["edits"], [{"range": span(0, 1, 0, 2), "newText": "9"}])

    def test_changes_on_disk_are_told(self):
        self.server.open(self.main, MAIN)
        self.assertIn("Z-5.", self.start_of_last_move())
        self.server.published(self.main)
        self.write("deep-groove.nc", "O7 (GROOVE)\nG00 Z-12.5\nM99\n")
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": self.groove, "type": 2}]})
        self.server.published(self.main)
        self.assertIn("Z-12.5", self.start_of_last_move())

    def test_open_text_takes_the_place_of_its_file(self):
        self.server.open(self.main, MAIN)
        self.server.open(self.groove, "O7\nG00 Z-8.\nM99\n")
        self.assertIn("Z-8.", self.start_of_last_move())
        self.server.change(self.groove, 2, {"range": span(1, 4, 1, 8), "text": "Z-9."})
        self.assertIn("Z-9.", self.start_of_last_move())
        edits = self.ask("rename", newName="9")["documentChanges"]
        self.assertEqual({c["textDocument"]["uri"]: c["textDocument"]["version"] for c in edits},
                         {self.main: 1, self.groove: 2})
        self.server.close(self.groove)
        self.assertIn("Z-5.", self.start_of_last_move())

    def codes(self, diagnostics):
        return [d["code"] for d in diagnostics]

    def test_its_own_older_text_answers_for_nothing(self):
        text = "O0001\nG21\nM98 P2000\nM30\nO2000\nM99\n"
        self.write("main.nc", text)
        self.server.open(self.main, text)
        self.assertNotIn("program_not_found", self.codes(self.server.published(self.main, 1)))
        self.server.request("textDocument/documentLink", {"textDocument": {"uri": self.main}})
        self.server.change(self.main, 2, {"range": span(4, 0, 4, 5), "text": "O3000"})
        self.assertIn("program_not_found", self.codes(self.server.published(self.main, 2)))
        self.server.change(self.main, 3, {"range": span(4, 0, 4, 5), "text": "O2000"})
        self.assertNotIn("program_not_found", self.codes(self.server.published(self.main, 3)))

    def test_a_program_that_another_calls_back_is_its_present_text(self):
        # main calls O7, which calls O50 back in main: that is not what the file on disk says any more.
        text = "O1\nG21 G99 G97 S500 M03 T0101 F0.1\nG00 X40. Z2.\nM98 P7\nG01 X30.\nM30\nO50\nG00 Z-5.\nM99\n"
        self.write("main.nc", text)
        self.write("deep-groove.nc", "O7\nM98 P50\nM99\n")
        self.server.open(self.main, text.replace("Z-5.", "Z-6."))
        self.assertIn("Z-6.", self.start_of_last_move())
        self.server.change(self.main, 2, {"range": span(7, 4, 7, 8), "text": "Z-7."})
        self.assertIn("Z-7.", self.start_of_last_move())

    def test_unsaved_text_is_told_at_once_to_who_calls_it(self):
        self.server.open(self.groove, "O8\nM99\n")
        self.server.open(self.main, MAIN)
        self.assertIn("program_not_found", self.codes(self.server.published(self.main)))
        self.server.change(self.groove, 2, {"range": span(0, 0, 0, 2), "text": "O7"})
        self.assertNotIn("program_not_found", self.codes(self.server.published(self.main)))
        self.server.change(self.groove, 3, {"range": span(0, 0, 0, 2), "text": "O9"})
        self.assertIn("program_not_found", self.codes(self.server.published(self.main)))

    def test_a_program_written_before_it_was_called_is_found_at_once(self):
        self.server.open(self.groove, "O8\nM99\n")
        self.server.open(self.main, MAIN.replace("M98 P7", "G04 X1."))
        self.server.published(self.main, 1)
        self.server.change(self.groove, 2, {"range": span(0, 0, 0, 2), "text": "O70"})
        self.server.published(self.groove, 2)
        self.server.change(self.main, 2, {"range": span(3, 0, 3, 7), "text": "M98 P70"})
        self.assertNotIn("program_not_found", self.codes(self.server.published(self.main, 2)))

    def test_open_text_that_was_never_saved_goes_with_its_document(self):
        self.server.open(self.groove, "O8\nM99\n")
        self.server.change(self.groove, 2, {"text": "O9\nM99\n"})
        self.server.open(self.main, MAIN)
        self.assertIn("program_not_found", self.codes(self.server.published(self.main)))
        self.server.change(self.groove, 3, {"text": "O10\nM99\n"})
        self.server.close(self.groove)
        self.assertNotIn("program_not_found", self.codes(self.server.published(self.main)))  # O7 is on disk

    def test_without_folders_the_open_programs_are_the_workspace(self):
        with Server() as server:
            server.initialize(capabilities=FULL)
            server.open(self.groove, "O7\nM99\n")
            server.open(self.main, MAIN)
            self.assertNotIn("program_not_found", self.codes(server.published(self.main, 1)))

    @unittest.skipIf(WINDOWS, "wine follows the links of this system itself and shows none of them")
    def test_nothing_outside_is_read(self):
        os.remove(os.path.join(self.inside, "deep-groove.nc"))
        with open(os.path.join(self.folder, "outside.nc"), "w", encoding="utf-8") as file:
            file.write("O7\nG00 Z-5.\nM99\n")
        os.symlink(os.path.join(self.folder, "outside.nc"), os.path.join(self.inside, "link.nc"))
        self.server.open(self.main, MAIN)
        self.assertNotIn("Z-5.", self.start_of_last_move())
        self.assertEqual(self.ask("definition"), [])


if __name__ == "__main__":
    unittest.main()
