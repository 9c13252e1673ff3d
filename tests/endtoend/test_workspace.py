"""What concerns the workspace as a whole: its warnings, its shop files, its file names; results in parts."""
import copy
import os
import tempfile
import time
import tomllib
import unittest

from driver import Server, path_of, position, span, uri_of
from test_abilities import FULL

PULLS = copy.deepcopy(FULL)
PULLS["textDocument"]["diagnostic"] = {}
PULLS["workspace"]["diagnostics"] = {"refreshSupport": True}
PULLS["workspace"]["fileOperations"] = {"willRename": True}
PULLS["window"] = {"workDoneProgress": True}

MAIN = "%\nO1 (PIN)\nG21 G99 G97 S500 M03 T0101 F0.1\nG00 X40. Z2.\nM98 P7\nG01 X30.\nM30\n%\n"
GROOVE = "%\nO0007 (GROOVE)\nG01 X30.\nW-5\nX40.\nM99\n%\n"


class Workspace(unittest.TestCase):
    capabilities = PULLS

    def setUp(self):
        self.folder = os.path.realpath(self.enter(tempfile.TemporaryDirectory()))
        self.main, self.groove = self.write("main.nc", MAIN), self.write("O0007.nc", GROOVE)
        self.server = self.enter(Server())
        self.told = self.server.initialize(capabilities=self.capabilities,
                                           workspaceFolders=[{"uri": uri_of(self.folder), "name": "jobs"}])

    def enter(self, context):
        value = context.__enter__()
        self.addCleanup(lambda: context.__exit__(None, None, None))
        return value

    def write(self, name, text):
        path = os.path.join(self.folder, name)
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        return uri_of(path)

    def of_method(self, method):
        return lambda message: message.get("method") == method

    def reports(self, known=(), **more):
        return self.server.request("workspace/diagnostic", {"previousResultIds": list(known), **more})["items"]


class TransferredInAnEditor(Workspace):
    capabilities = copy.deepcopy(FULL)
    capabilities["workspace"]["applyEdit"] = True
    SHOP = '[[machine]]\nname = "old"\nsystem = "A"\n[[machine]]\nname = "new"\nsystem = "B"\n'

    def transfer(self):
        self.write("turnwright.toml", self.SHOP)
        main = self.write("main.nc", MAIN.replace("(PIN)", "(PIN) (MACHINE: old)"))
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": [
            {"uri": uri_of(os.path.join(self.folder, "turnwright.toml")), "type": 1}, {"uri": main, "type": 2}]})
        with open(path_of(main), encoding="utf-8") as file:
            self.server.open(main, file.read())
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        self.server.request("workspace/executeCommand", {"command": "turnwright.transfer", "arguments": [main, "new"]})
        self.server.wait_for(self.of_method("workspace/applyEdit"))
        told = self.server.wait_for(self.of_method("window/showMessage"))["params"]["message"]
        return main, taken[0]["edit"], told

    def test_called_files_go_along(self):
        main, edit, told = self.transfer()
        self.assertEqual({change["textDocument"]["uri"] for change in edit["documentChanges"]}, {main, self.groove})
        by_uri = {change["textDocument"]["uri"]: change for change in edit["documentChanges"]}
        self.assertEqual(by_uri[main]["textDocument"]["version"], 1)
        self.assertIsNone(by_uri[self.groove]["textDocument"]["version"])
        self.assertIn("(MACHINE: new)", "".join(e["newText"] for e in by_uri[self.groove]["edits"]))
        self.assertIn("Written with it, as it calls them: O0007.nc", told)


class TransferredInAnOlderEditor(TransferredInAnEditor):
    """One that takes edits without versions."""
    capabilities = copy.deepcopy(TransferredInAnEditor.capabilities)
    capabilities["workspace"]["workspaceEdit"] = {}

    def test_called_files_go_along(self):
        main, edit, told = self.transfer()
        self.assertEqual(set(edit["changes"]), {main, self.groove})
        self.assertIn("O0007.nc", told)

    def test_a_change_note_has_no_version(self):
        text = MAIN.replace("X30.", "X29.")
        self.server.open(self.main, text)
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        note = self.server.request("workspace/executeCommand",
                                   {"command": "turnwright.changeNote", "arguments": [self.main]})
        self.assertIn("X29.", note)
        self.server.wait_for(self.of_method("workspace/applyEdit"))
        self.assertEqual(list(taken[0]["edit"]), ["changes"])
        self.assertEqual([e["newText"] for e in taken[0]["edit"]["changes"][self.main]], [note])

    def test_a_change_note_is_made_beside_and_never_put_into_another_text(self):
        text = MAIN.replace("G01 X30.", "G01 X29.\n" * 30_000)
        other = self.write("other.nc", "O2\nM30\n")
        self.server.open(other, "O2\nM30\n")
        self.server.open(self.main, text)
        self.server.hover(self.main, 1, 1)
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        report = self.server.ask("workspace/executeCommand", {"command": "turnwright.changeNote", "arguments": [self.main]})
        self.server.hover(other, 0, 0)
        self.assertFalse([m for m in self.server.inbox if m.get("id") == report and "method" not in m])
        self.server.change(self.main, 2, {"range": span(0, 0, 0, 0), "text": "(NEW)\n"})
        told = self.server.wait_for(lambda m: m.get("method") == "window/showMessage" and "since" in m["params"]["message"])
        self.assertIn("nothing is written", told["params"]["message"])
        self.assertEqual(taken, [])


class Learning(Workspace):
    capabilities = copy.deepcopy(FULL)
    capabilities["workspace"]["applyEdit"] = True
    capabilities["workspace"]["workspaceEdit"] = {"documentChanges": True, "resourceOperations": ["create"]}

    def learn(self, uri):
        return self.server.request("workspace/executeCommand",
                                   {"command": "turnwright.learnShopFile", "arguments": [uri]})

    def offers(self, uri, line):
        actions = self.server.request("textDocument/codeAction", {
            "textDocument": {"uri": uri}, "range": span(line, 0, line, 0), "context": {"diagnostics": []}})
        return [a for a in actions if a["kind"] == "source.turnwright.learnShopFile"]

    def hints(self):
        """Told when there is nothing else to do."""
        for _ in range(10):
            self.server.settle()
            if self.server.hints:
                break
            time.sleep(0.03)
        told, self.server.hints = self.server.hints, []
        return told


class LearntShopFile(Learning):
    def test_one_is_offered_as_a_new_file_and_never_written(self):
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: {"applied": True}
        self.server.open(self.main, MAIN)
        text = self.learn(self.main)
        self.assertIn("Learnt from 2 programs", text)
        self.assertIn('system = "A"', text)
        asked = self.server.wait_for(self.of_method("workspace/applyEdit"))["params"]
        create, edit = asked["edit"]["documentChanges"]
        self.assertEqual(create["kind"], "create")
        self.assertEqual(create["uri"], uri_of(os.path.join(self.folder, "turnwright.toml")))
        self.assertFalse(create["options"]["overwrite"])
        self.assertEqual(edit["edits"][0]["newText"], text)
        shown = self.server.wait_for(self.of_method("window/showMessage"))["params"]
        self.assertIn("Learnt from 2 programs", shown["message"])
        self.assertFalse(os.path.exists(os.path.join(self.folder, "turnwright.toml")))

    def test_of_one_that_is_there_the_differences_are_shown(self):
        self.write("turnwright.toml", '[[machine]]\nsystem = "B"\n')
        self.server.open(self.main, MAIN)
        text = self.learn(self.main)
        self.assertIn('- system = "B"', text)
        self.assertIn("+ units =", text)
        self.assertEqual(self.server.wait_for(self.of_method("window/showMessage"))["params"]["message"], text)

    def test_it_is_offered_once_and_at_the_head_alone(self):
        self.server.open(self.main, MAIN)
        self.server.published(self.main)
        hint, = self.hints()
        self.assertEqual(hint["type"], 3)
        offer, = self.offers(self.main, 0)
        self.assertIn("1 tool", offer["title"])
        # The counts of this very program, as the action has them.
        self.assertIn("for main.nc: " + offer["title"].partition("(")[2].rstrip(")"), hint["message"])
        self.assertEqual(offer["command"]["command"], "turnwright.learnShopFile")
        self.assertEqual(self.offers(self.main, 5), [])
        self.server.open(self.groove, GROOVE)
        self.server.published(self.groove)
        self.offers(self.groove, 0)
        self.assertEqual(self.hints(), [])
        # Nor when the last one was closed between.
        for uri in (self.main, self.groove):
            self.server.notify("textDocument/didClose", {"textDocument": {"uri": uri}})
        self.server.open(self.main, MAIN)
        self.server.published(self.main)
        self.assertEqual(self.hints(), [])

    def test_nothing_is_offered_where_a_shop_file_holds(self):
        self.write("turnwright.toml", '[[machine]]\nsystem = "A"\n')
        self.server.open(self.main, MAIN)
        self.server.published(self.main)
        self.assertEqual(self.offers(self.main, 0), [])
        self.assertEqual(self.hints(), [])

    def test_it_is_offered_beside_a_program_that_has_a_shop_file(self):
        os.mkdir(os.path.join(self.folder, "with"))
        self.write(os.path.join("with", "turnwright.toml"), '[[machine]]\nsystem = "A"\n')
        has = self.write(os.path.join("with", "pin.nc"), MAIN)
        self.server.open(has, MAIN)
        self.server.published(has)
        self.assertEqual(self.hints(), [])
        self.server.open(self.main, MAIN)
        self.server.published(self.main)
        self.assertEqual(len(self.hints()), 1)

    def test_a_program_in_no_folder_of_the_workspace_teaches_nothing(self):
        self.server.open("file:///elsewhere/one.nc", MAIN)
        self.assertIsNone(self.learn("file:///elsewhere/one.nc"))
        self.server.wait_for(self.of_method("window/showMessage"))


PIN = ("O2 (PIN, BAR 30)\nG21 G99\nG97 S900 M03 T0101 (TURN R0.8)\nG00 X34. Z0.\nG01 X-1.6 F0.15\nG00 X28. Z2.\n"
       "G01 Z-20. F0.2\nX34.\nG00 X100. Z100.\nT0202 (DRILL 8.5)\nG00 X0. Z3.\nG01 Z-15. F0.1\nG00 Z100.\nM30\n")


class JobFile(Learning):
    """Stock and tools as assumed, written beside the program."""

    def setUp(self):
        super().setUp()
        self.pin = self.write("pin.nc", PIN)

    def offers(self, uri, line):
        actions = self.server.request("textDocument/codeAction", {
            "textDocument": {"uri": uri}, "range": span(line, 0, line, 0), "context": {"diagnostics": []}})
        return [a for a in actions if a["kind"] == "source.turnwright.writeJobFile"]

    def write_job(self):
        return self.server.request("workspace/executeCommand",
                                   {"command": "turnwright.writeJobFile", "arguments": [self.pin]})

    def test_it_is_offered_at_the_head_and_made_as_a_new_file(self):
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        self.server.open(self.pin, PIN)
        self.server.published(self.pin)
        offer, = self.offers(self.pin, 0)
        self.assertIn("pin.turnwright.toml", offer["title"])
        self.assertEqual(self.offers(self.pin, 11), [])
        job = tomllib.loads(self.write_job())
        self.assertEqual(job["units"], "mm")
        self.assertEqual(job["stock"]["diameter"], 30)
        tools = {tool["station"]: tool for tool in job["tool"]}
        self.assertEqual(tools[1]["nose_radius"], 0.8)
        self.assertEqual((tools[2]["kind"], tools[2]["diameter"]), ("drill", 8.5))
        self.server.wait_for(self.of_method("workspace/applyEdit"))
        create, _ = taken[0]["edit"]["documentChanges"]
        self.assertEqual(create["uri"], uri_of(os.path.join(self.folder, "pin.turnwright.toml")))
        self.assertFalse(create["options"]["overwrite"])

    def test_one_that_is_there_is_left_as_it_is(self):
        self.write("pin.turnwright.toml", 'units = "mm"\n[machine]\nx = "radius"\n')
        self.server.open(self.pin, PIN)
        self.server.published(self.pin)
        self.assertEqual(self.offers(self.pin, 0), [])
        self.assertIsNone(self.write_job())
        self.server.wait_for(self.of_method("window/showMessage"))

    def test_the_job_file_overrules_what_is_assumed(self):
        bare = PIN.replace("G21 G99\n", "")
        self.write("pin.turnwright.toml", '[machine]\nsystem = "A"\npower_on_units = "inch"\npower_on = ["G98"]\n')
        self.server.open(self.pin, bare)
        self.server.published(self.pin)
        told = self.server.hover(self.pin, 5, 0)["contents"]["value"]
        self.assertIn("in/min", told)
        self.assertNotIn("assumed: ", told)
        self.assertIn("the job file says so", self.server.hover(self.pin, 0, 0)["contents"]["value"])


class LearntWithNoFolderOpen(Learning):
    """What stands beside a program is not read then: it alone teaches."""

    def setUp(self):
        super().setUp()
        self.server = self.enter(Server())
        self.server.initialize(capabilities=self.capabilities)

    def test_it_is_offered_and_learnt_beside_the_program(self):
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        self.server.open(self.main, MAIN)
        self.server.published(self.main)
        self.assertEqual(len(self.hints()), 1)
        offer, = self.offers(self.main, 0)
        self.assertIn("from this program", offer["title"])
        text = self.learn(self.main)
        self.assertIn("units =", text)
        told = self.server.wait_for(self.of_method("window/showMessage"))["params"]["message"]
        self.assertIn("1 program", told)
        self.assertIn("opens the folder " + self.folder, told)
        self.assertTrue(taken[0]["edit"]["documentChanges"][0]["uri"].endswith("/turnwright.toml"))

    def test_one_that_lies_there_unread_is_told_and_not_learnt_again(self):
        self.write("turnwright.toml", '[[machine]]\nsystem = "A"\n')
        self.server.open(self.main, MAIN)
        self.server.published(self.main)
        hint, = self.hints()
        self.assertIn("turnwright.toml lies beside this program and is not read", hint["message"])
        self.assertIn("Open " + self.folder, hint["message"])
        self.assertEqual(self.offers(self.main, 0), [])
        self.assertIsNone(self.learn(self.main))
        self.assertIn("turnwright.toml: lies beside it and is not read",
                      self.server.hover(self.main, 1, 0)["contents"]["value"].replace("\\", ""))
        # Once a folder.
        self.server.open(self.groove, GROOVE)
        self.server.published(self.groove)
        self.assertEqual(self.hints(), [])

    def test_what_no_code_states_is_written_into_files_beside_the_program(self):
        pin = self.write("pin.nc", PIN)
        self.server.open(pin, PIN)
        self.server.published(pin)
        actions = self.server.request("textDocument/codeAction", {
            "textDocument": {"uri": pin}, "range": span(0, 0, 0, 0), "context": {"diagnostics": []}})
        writes = [a for a in actions if "holds once the editor opens its folder" in a["title"]]
        self.assertTrue(any("rapid_x" in a["title"] for a in writes))
        for action in writes:
            create = action["edit"]["documentChanges"][0]
            self.assertEqual(create["uri"], uri_of(os.path.join(self.folder, "turnwright.toml")))
            self.assertFalse(create["options"]["overwrite"])
        self.assertEqual([a["command"]["command"] for a in actions if a["kind"] == "source.turnwright.writeJobFile"],
                         ["turnwright.writeJobFile"])
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: {"applied": True}
        self.server.request("workspace/executeCommand", {"command": "turnwright.writeJobFile", "arguments": [pin]})
        told = self.server.wait_for(lambda m: m.get("method") == "window/showMessage" and "job file" in m["params"]["message"])
        self.assertIn("opens the folder " + self.folder, told["params"]["message"])


class LearntOutsideTheFolder(LearntWithNoFolderOpen):
    """The same of a program in another folder than the one that is open."""

    def setUp(self):
        super().setUp()
        elsewhere = self.enter(tempfile.TemporaryDirectory())
        self.server = self.enter(Server())
        self.server.initialize(capabilities=self.capabilities,
                               workspaceFolders=[{"uri": uri_of(elsewhere), "name": "elsewhere"}])


class ChangeNote(Workspace):
    """What changed since it was saved, written below the number; the programs that it calls are known to both."""
    capabilities = Learning.capabilities

    def test_it_stands_below_the_number_behind_a_tape_mark(self):
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        self.server.open(self.main, MAIN.replace("G01 X30.", "G01 X29."))
        self.server.request("workspace/executeCommand", {"command": "turnwright.changeNote", "arguments": [self.main]})
        self.server.wait_for(self.of_method("workspace/applyEdit"))
        edit, = taken[0]["edit"]["documentChanges"][0]["edits"]
        self.assertEqual(edit["range"]["start"], {"line": 2, "character": 0})
        self.assertIn("29", edit["newText"])
        self.assertNotIn("O0007", edit["newText"])


class AssumedIntoTheShopFile(Workspace):
    """What is assumed and no code states is written into the shop file by one action."""
    capabilities = Learning.capabilities

    def writes(self, uri, line=0):
        actions = self.server.request("textDocument/codeAction", {
            "textDocument": {"uri": uri}, "range": span(line, 0, line, 0), "context": {"diagnostics": []}})
        return [a for a in actions if "shop file" in a["title"] and a["kind"] == "refactor.rewrite"]

    def applied(self, action, text):
        change = action["edit"]["documentChanges"][-1]
        lines = text.split("\n")
        for edit in change["edits"]:
            at = edit["range"]["start"]
            self.assertEqual(at, edit["range"]["end"])
            line = lines[at["line"]]
            lines[at["line"]] = line[:at["character"]] + edit["newText"] + line[at["character"]:]
        return change["textDocument"]["uri"], "\n".join(lines)

    def test_where_none_holds_a_new_one_is_made(self):
        self.server.open(self.main, MAIN)
        system, rates, x, everything = self.writes(self.main)
        self.assertIn('system = "A"', system["title"])
        self.assertIn("rapid_x = 12000, rapid_z = 16000, tool_change_seconds = 1.5, spindle_ramp = 1000",
                      rates["title"])
        self.assertIn('x = "diameter"', x["title"])
        create = everything["edit"]["documentChanges"][0]
        self.assertEqual((create["kind"], create["options"]["overwrite"]), ("create", False))
        uri, text = self.applied(everything, "")
        self.assertEqual(uri, create["uri"])
        self.assertTrue(uri.endswith("/turnwright.toml"))
        shop = tomllib.loads(text)
        self.assertEqual(shop["machine"], [{"system": "A", "rapid_x": 12000, "rapid_z": 16000,
                                            "tool_change_seconds": 1.5, "spindle_ramp": 1000, "x": "diameter"}])
        self.assertEqual(shop["units"], "mm")
        self.assertEqual(self.writes(self.main, 5), [])

    def test_one_that_is_there_gets_the_keys_that_it_lacks(self):
        for old in ('units = "inch"\n[[machine]] # the long one\nname = "A"\nrapid_x = 300\n\n[stock]\n',
                    'units = "inch"\r\n[[machine]]\r\nrapid_x = 300',
                    '[[machine]]\nunits = "inch"\nrapid_x = 300',
                    'units = "inch"\n[[machine]]\nrapid_x = "fast"\n'):
            with self.subTest(old):
                path = path_of(self.write("turnwright.toml", ""))
                with open(path, "w", encoding="utf-8", newline="") as file:
                    file.write(old)
                self.server.notify("workspace/didChangeWatchedFiles",
                                   {"changes": [{"uri": uri_of(path), "type": 2}]})
                self.server.open(self.main, MAIN)
                everything = self.writes(self.main)[-1]
                self.assertEqual(len(everything["edit"]["documentChanges"]), 1)
                uri, text = self.applied(everything, old)
                self.assertEqual(path_of(uri), path)
                machine, = tomllib.loads(text)["machine"]
                self.assertEqual(machine["rapid_x"], tomllib.loads(old)["machine"][0]["rapid_x"])
                self.assertEqual((machine["rapid_z"], machine["x"]), (629.9, "diameter"))
                if "\r\n" in old:
                    self.assertEqual(text.count("\n"), text.count("\r\n"))
                self.server.close(self.main)

    def test_one_without_a_machine_gets_one_and_one_that_says_all_nothing(self):
        old = "[house]\noptional_stop = true"
        self.write("turnwright.toml", old)
        self.server.open(self.main, MAIN)
        _, text = self.applied(self.writes(self.main)[-1], old)
        self.assertEqual(tomllib.loads(text)["machine"][0]["units"], "mm")
        self.server.close(self.main)
        path = self.write("turnwright.toml", text)
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": path, "type": 2}]})
        self.server.open(self.main, MAIN)
        self.assertEqual(self.writes(self.main), [])

    def test_nothing_is_offered_where_it_could_do_harm(self):
        for old in ("machine = [{ name = \"A\" }]\n", "[[machine]\n",
                    '[[machine]]\nname = "A"\nfolders = ["a"]\n[[machine]]\nname = "B"\nfolders = ["b"]\n'):
            with self.subTest(old):
                path = self.write("turnwright.toml", old)
                self.server.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": path, "type": 2}]})
                self.server.open(self.main, MAIN)
                self.assertEqual(self.writes(self.main), [])
                self.server.close(self.main)


class PulledWarnings(Workspace):
    def test_every_program_is_reported_open_or_not(self):
        self.assertTrue(self.told["capabilities"]["diagnosticProvider"]["workspaceDiagnostics"])
        self.server.open(self.main, MAIN, version=4)
        reports = {r["uri"]: r for r in self.reports()}
        self.assertEqual(set(reports), {self.main, self.groove})
        self.assertEqual((reports[self.main]["version"], reports[self.groove]["version"]), (4, None))
        self.assertIn("decimal_point_missing", [d["code"] for d in reports[self.groove]["items"]])
        # The same as when it is open.
        self.server.open(self.groove, GROOVE)
        pulled = self.server.request("textDocument/diagnostic", {"textDocument": {"uri": self.groove}})
        self.assertEqual(pulled["items"], reports[self.groove]["items"])

    def known(self, reports):
        return [{"uri": r["uri"], "value": r["resultId"]} for r in reports]

    def test_only_what_changed_is_told_again(self):
        first = self.reports()
        second = self.reports(self.known(first))
        self.assertEqual([r["kind"] for r in second], ["unchanged", "unchanged"])
        self.write("O0007.nc", GROOVE.replace("W-5", "W-5."))
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": self.groove, "type": 2}]})
        third = {r["uri"]: r for r in self.reports(self.known(first))}
        self.assertEqual(third[self.groove]["kind"], "full")
        self.assertNotIn("decimal_point_missing", [d["code"] for d in third[self.groove]["items"]])

    def test_a_shop_file_counts_for_closed_programs(self):
        first = self.reports()
        shop = self.write("turnwright.toml", "[checks]\ndecimal_point_missing = \"off\"\n")
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": shop, "type": 1}]})
        again = {r["uri"]: r for r in self.reports(self.known(first))}
        self.assertEqual(again[self.groove]["kind"], "full")
        self.assertNotIn("decimal_point_missing", [d["code"] for d in again[self.groove]["items"]])

    def test_warnings_of_a_file_that_is_gone_are_taken_back(self):
        first = self.reports()
        os.remove(path_of(self.groove))
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": self.groove, "type": 3}]})
        gone = [r for r in self.reports(self.known(first)) if r["uri"] == self.groove]
        self.assertEqual([(r["kind"], r["items"]) for r in gone], [("full", [])])

    def test_reports_come_in_parts_with_progress(self):
        for number in range(50):
            self.write(f"O{2000 + number}.nc", f"O{2000 + number}\nG21\nM30\n")
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": self.groove, "type": 2}]})
        asked = self.server.ask("workspace/diagnostic", {"previousResultIds": [], "partialResultToken": "part",
                                                         "workDoneToken": 7})
        self.assertEqual(self.server.answer(asked)["result"], {"items": []})
        told = [m["params"] for m in self.server.inbox if m.get("method") == "$/progress"]
        parts = [p["value"]["items"] for p in told if p["token"] == "part"]
        self.assertEqual(sum(map(len, parts)), 52)
        self.assertGreater(len(parts), 1)
        work = [p["value"] for p in told if p["token"] == 7]
        self.assertEqual((work[0]["kind"], work[-1]["kind"]), ("begin", "end"))
        percents = [w["percentage"] for w in work if w["kind"] == "report"]
        self.assertEqual(percents, sorted(percents))


class Parts(Workspace):
    def test_a_list_comes_in_parts_when_asked_for(self):
        text = "".join(f"N{i} T{i:02}01 (TOOL {i})\nG00 X{i}.\nM01\n" for i in range(1, 99)) * 3
        self.server.open(self.main, "G21\n" + text)
        asked = {"textDocument": {"uri": self.main}}
        whole = self.server.request("textDocument/foldingRange", asked)
        self.assertGreater(len(whole), 200)
        rest = self.server.request("textDocument/foldingRange", {**asked, "partialResultToken": "fold"})
        self.assertEqual(rest, [])
        parts = [m["params"]["value"] for m in self.server.inbox if m.get("method") == "$/progress"]
        self.assertGreater(len(parts), 1)
        self.assertEqual(sum(parts, []), whole)

    def test_a_very_long_program_shows_that_it_is_being_read(self):
        self.server.open(self.main, "G21 G99\n" + "G01 X1. F.1\n" * 200_000)
        begin = self.server.wait_for(self.of_method("window/workDoneProgress/create"))
        token = begin["params"]["token"]
        kinds = [self.server.wait_for(self.of_method("$/progress"))["params"] for _ in range(2)]
        self.assertEqual([(p["token"], p["value"]["kind"]) for p in kinds], [(token, "begin"), (token, "end")])


class ShopFiles(Workspace):
    capabilities = FULL

    def test_what_is_wrong_in_a_shop_file_is_shown_there(self):
        shop = self.write("turnwright.toml", "[[machine]]\nmax_rmp = 4000\n")
        self.server.open(self.main, MAIN)
        problems = self.server.published(shop)
        self.assertEqual([p["range"] for p in problems], [span(1, 0, 1, 7)])
        self.assertIn("max_rpm", problems[0]["message"])
        self.write("turnwright.toml", "[[machine]]\nmax_rpm = 4000\n")
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": [{"uri": shop, "type": 2}]})
        self.assertEqual(self.server.published(shop), [])


class FileNames(Workspace):
    def will_rename(self, old, new):
        return self.server.request("workspace/willRenameFiles", {"files": [{"oldUri": old, "newUri": new}]})

    def test_the_calls_follow_the_name_of_a_file(self):
        self.assertIn("willRename", self.told["capabilities"]["workspace"]["fileOperations"])
        self.server.open(self.main, MAIN)
        edit = self.will_rename(self.groove, uri_of(os.path.join(self.folder, "O0012.nc")))
        edits = {c["textDocument"]["uri"]: [(e["range"], e["newText"]) for e in c["edits"]] for c in edit["documentChanges"]}
        self.assertEqual(edits, {self.main: [(span(4, 5, 4, 6), "12")], self.groove: [(span(1, 1, 1, 5), "0012")]})

    def test_other_names_change_nothing(self):
        to = lambda name: uri_of(os.path.join(self.folder, name))
        self.assertIsNone(self.will_rename(self.groove, to("groove.nc")))
        self.assertIsNone(self.will_rename(self.groove, to("O0007.txt")))
        self.assertIsNone(self.will_rename(self.main, to("O0099.nc")))
        self.assertIsNone(self.will_rename("file:///elsewhere/O0007.nc", to("O0012.nc")))

    def test_a_number_that_is_taken_is_refused(self):
        self.write("O0012.nc", "O0012\nM99\n")
        self.assertIsNone(self.will_rename(self.groove, uri_of(os.path.join(self.folder, "sub", "O0012.nc"))))
        message = self.server.wait_for(self.of_method("window/showMessage"))["params"]["message"]
        self.assertIn("O0012 is already in O0012.nc", message)


class BySettings(Workspace):
    capabilities = copy.deepcopy(FULL)
    for ability in ["formatting", "rangeFormatting", "onTypeFormatting", "inlayHint", "codeLens"]:
        capabilities["textDocument"].setdefault(ability, {})["dynamicRegistration"] = True

    def registered(self, method="client/registerCapability", key="registrations"):
        return [r["method"] for r in self.server.wait_for(self.of_method(method))["params"][key]]

    def test_abilities_come_and_go_with_the_settings(self):
        for static in ["documentFormattingProvider", "inlayHintProvider", "codeLensProvider"]:
            self.assertNotIn(static, self.told["capabilities"])
        formatting = ["textDocument/formatting", "textDocument/rangeFormatting", "textDocument/onTypeFormatting"]
        self.assertEqual(self.registered(), [*formatting, "textDocument/inlayHint", "textDocument/codeLens"])
        self.server.notify("workspace/didChangeConfiguration", {"settings": {"formatting": {"offered": False}}})
        self.assertEqual(self.registered("client/unregisterCapability", "unregisterations"), formatting)
        self.server.notify("workspace/didChangeConfiguration", {"settings": {"formatting": {"offered": True}}})
        self.assertEqual(self.registered(), formatting)

    def test_a_text_is_formatted_before_it_is_saved_when_the_settings_ask_for_it(self):
        self.write("turnwright.toml", "[format]\nupper_case = true\nblanks_between_words = true\n")
        self.server.open(self.main, "g0x1.\n")
        asked = {"textDocument": {"uri": self.main}, "reason": 1}
        self.assertIsNone(self.server.request("textDocument/willSaveWaitUntil", asked))
        self.server.notify("workspace/didChangeConfiguration", {"settings": {"formatting": {"onSave": True}}})
        edits = self.server.request("textDocument/willSaveWaitUntil", asked)
        formatted = self.server.request("textDocument/formatting", {
            "textDocument": {"uri": self.main}, "options": {"tabSize": 4, "insertSpaces": True}})
        self.assertTrue(edits)
        self.assertEqual(edits, formatted)


if __name__ == "__main__":
    unittest.main()
