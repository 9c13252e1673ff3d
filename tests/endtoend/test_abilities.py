"""Each editor ability once on a small program, through the real program, as an editor would ask."""
import copy
import unittest

from driver import CAPABILITIES, Server, position, span

URI = "file:///shop/spacer.nc"
# A note with characters of one to four bytes stands in front of the words that the tests ask about.
NOTE = "(\u00d810 \u2014 \U0001F527)"
LINES = [
    "%",
    "O1001 (SPACER RING)",
    "N1 (FACE)",
    "G54 G18 G97 G21 G80 G40 G99",
    "T0101",
    "G50 S2500",
    "G96 S180 M03",
    "G00 X52. Z1.",
    "G71 U2. R0.5",
    NOTE + " G71 P101 Q102 U0.4 W0.1 F0.28",
    "N101 G00 X18.",
    "G01 Z-20. F0.12",
    "N102 X52.",
    "M98 P2000",
    "G97 S800 M05",
    "M01",
    "M30",
    "O2000 (DEBURR)",
    "G01 U2. F0.1",
    "M99",
    "%",
]
TEXT = "\n".join(LINES) + "\n"
ROUGHING = 9

FULL = copy.deepcopy(CAPABILITIES)
FULL["textDocument"].update({
    "completion": {"completionItem": {"snippetSupport": True, "documentationFormat": ["markdown"]}},
    "signatureHelp": {"signatureInformation": {"parameterInformation": {"labelOffsetSupport": True},
                                               "documentationFormat": ["markdown"]}},
    "rename": {"prepareSupport": True},
    "codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": ["quickfix", "refactor", "source"]}},
                   "dataSupport": True, "resolveSupport": {"properties": ["edit"]}, "disabledSupport": True},
    "semanticTokens": {"requests": {"range": True, "full": {"delta": True}}, "tokenTypes": [], "tokenModifiers": [],
                       "formats": ["relative"]},
    "foldingRange": {}, "selectionRange": {}, "inlayHint": {}, "codeLens": {}, "documentLink": {"tooltipSupport": True},
    "callHierarchy": {}, "linkedEditingRange": {},
})
FULL["workspace"].update({"applyEdit": True})
FULL["window"] = {**FULL.get("window", {}), "showDocument": {"support": True}}


def width(text, encoding):
    if encoding == "utf-32":
        return len(text)
    return len(text.encode("utf-16-le")) // 2 if encoding == "utf-16" else len(text.encode("utf-8"))


def lines_of(text):
    return text.split("\n")


def edited(text, edits, encoding="utf-8"):
    """The text with a list of LSP edits made."""
    rows = lines_of(text)

    def index(place):
        row = rows[place["line"]]
        column = next(i for i in range(len(row) + 1) if width(row[:i], encoding) >= place["character"])
        return sum(len(r) + 1 for r in rows[:place["line"]]) + column
    for edit in sorted(edits, key=lambda e: (e["range"]["start"]["line"], e["range"]["start"]["character"]), reverse=True):
        text = text[:index(edit["range"]["start"])] + edit["newText"] + text[index(edit["range"]["end"]):]
    return text


class Ability(unittest.TestCase):
    capabilities = FULL
    text = TEXT

    def setUp(self):
        self.server = Server()
        self.server.__enter__()
        self.addCleanup(lambda: self.server.__exit__(None, None, None))
        self.offered = self.server.initialize(capabilities=self.capabilities)["capabilities"]
        self.encoding = self.offered["positionEncoding"]
        self.server.open(URI, self.text)

    def place(self, line, words, behind=False):
        """Position of (behind) some words of a line, as negotiated."""
        row = lines_of(self.text)[line]
        at = row.index(words) + (len(words) if behind else 0)
        return position(line, width(row[:at], self.encoding))

    def written(self, place):
        """The text of a range."""
        self.assertEqual(place["start"]["line"], place["end"]["line"])
        row = lines_of(self.text)[place["start"]["line"]]
        columns = {width(row[:i], self.encoding): i for i in range(len(row) + 1)}
        return row[columns[place["start"]["character"]]:columns[place["end"]["character"]]]

    def ask(self, what, place=None, **more):
        params = {"textDocument": {"uri": URI}, **({"position": place} if place else {}), **more}
        return self.server.request("textDocument/" + what, params)

    def shown(self):
        return self.server.wait_for(lambda m: m.get("method") == "window/showMessage")["params"]["message"]


class Everything(Ability):
    def test_completion_and_its_documentation(self):
        self.assertTrue(self.offered["completionProvider"]["resolveProvider"])
        place = self.place(ROUGHING, "G71", behind=True)
        items = self.ask("completion", place)["items"]
        item = next(i for i in items if i["label"] == "G71")
        self.assertEqual(self.written(item["textEdit"]["range"]), "G71")
        resolved = self.server.request("completionItem/resolve", item)
        self.assertIn("G71", resolved["documentation"]["value"])

    def test_templates_by_name_on_a_line_of_their_own(self):
        self.server.change(URI, 2, {"range": span(15, 3, 15, 3), "text": "\nrough t"})
        items = self.ask("completion", position(16, 7))["items"]
        item = next(i for i in items if i["label"] == "rough turning")
        self.assertEqual(item["textEdit"]["range"], span(16, 0, 16, 7))
        self.assertEqual(item["filterText"], "rough turning")
        self.assertIn("${1:", item["textEdit"]["newText"])
        self.assertNotIn("drilling", [i["label"] for i in items])

    def test_hover_tells_the_state_early_and_what_changes_first(self):
        text = self.ask("hover", self.place(ROUGHING + 2, "Z-20."))["contents"]["value"]
        state = text.split("```")[1].splitlines()
        self.assertLessEqual(len(state) - 1, 8)
        self.assertIn("->", state[1])
        self.assertLess(text.index("```"), 250)

    def test_no_line_offers_to_rewrite_the_whole_program(self):
        def kinds(line):
            actions = self.ask("codeAction", range=span(line, 0, line, 0), context={"diagnostics": []})
            return {a["kind"] for a in actions}
        self.assertIn("refactor.rewrite", kinds(1))
        self.assertNotIn("refactor.rewrite", kinds(7))

    def test_signature_help(self):
        help_ = self.ask("signatureHelp", self.place(ROUGHING, "Q102", behind=True))
        signature = help_["signatures"][0]
        self.assertTrue(signature["label"].startswith("G71"), signature)
        begin, end = signature["parameters"][help_["activeParameter"]]["label"]
        self.assertEqual(signature["label"][begin:end], "Q")

    def test_definition_references_highlight(self):
        place = self.place(ROUGHING, "101")
        found = self.ask("definition", place)
        self.assertEqual([(f["uri"], self.written(f["range"])) for f in found], [(URI, "N101")])
        uses = self.ask("references", place, context={"includeDeclaration": True})
        self.assertEqual([self.written(u["range"]) for u in uses], ["P101", "N101"])
        uses = self.ask("references", place, context={"includeDeclaration": False})
        self.assertEqual([self.written(u["range"]) for u in uses], ["P101"])
        marks = self.ask("documentHighlight", place)
        self.assertEqual([(self.written(m["range"]), m["kind"]) for m in marks], [("P101", 2), ("N101", 3)])

    def test_rename(self):
        place = self.place(ROUGHING, "101")
        start = self.ask("prepareRename", place)
        self.assertEqual((start["placeholder"], self.written(start["range"])), ("101", "101"))
        edit = self.ask("rename", place, newName="205")
        change = edit["documentChanges"][0]
        self.assertEqual(change["textDocument"], {"uri": URI, "version": 1})
        self.assertEqual(edited(TEXT, change["edits"], self.encoding), TEXT.replace("P101", "P205").replace("N101", "N205"))
        self.assertIsNone(self.ask("prepareRename", self.place(7, "X52")))
        refused = self.server.answer(self.server.ask("textDocument/rename", {
            "textDocument": {"uri": URI}, "position": place, "newName": "102"}))
        self.assertIn("102", refused["error"]["message"])

    def test_linked_editing(self):
        linked = self.ask("linkedEditingRange", self.place(ROUGHING, "101"))
        self.assertEqual([self.written(r) for r in linked["ranges"]], ["101", "101"])
        self.assertIsNone(self.ask("linkedEditingRange", self.place(7, "X52")))

    def test_folding(self):
        folds = self.ask("foldingRange")
        # The last sequence of a program runs to its end; the contour from N101 to N102.
        lines = [(f["startLine"], f["endLine"]) for f in folds]
        self.assertIn((2, 16), lines)
        self.assertIn((10, 12), lines)

    def test_selection(self):
        chains = self.ask("selectionRange", positions=[self.place(ROUGHING, "101"), self.place(0, "%")])
        self.assertEqual(len(chains), 2)
        steps, at = [], chains[0]
        while at:
            steps.append(at["range"])
            at = at.get("parent")
        self.assertEqual([self.written(s) for s in steps[:2]], ["101", "P101"])
        self.assertGreater(len(steps), 4)
        for inner, outer in zip(steps, steps[1:]):
            def ends(r): return (r["start"]["line"], r["start"]["character"]), (r["end"]["line"], r["end"]["character"])
            self.assertLessEqual(ends(outer)[0], ends(inner)[0])
            self.assertGreaterEqual(ends(outer)[1], ends(inner)[1])

    def test_inlay_hints_and_their_switches(self):
        everything = span(0, 0, len(LINES), 0)
        hints = self.ask("inlayHint", range=everything)
        # 1000 * 180 / (pi * 52) = 1102 rev/min (cutting speed formula: Tungaloy 2020-2021, page L030).
        self.assertTrue(any("1102" in h["label"] or "1101" in h["label"] for h in hints), hints)
        switches = ["rpm", "feedPerMinute", "sequenceTime", "increments", "absoluteResult"]
        self.server.notify("workspace/didChangeConfiguration",
                           {"settings": {"turnwright": {"hints": {s: False for s in switches}}}})
        self.assertEqual(self.ask("inlayHint", range=everything), [])

    def test_code_lens_and_its_command(self):
        lens = next(l for l in self.ask("codeLens") if l["range"]["start"]["line"] == 2)
        self.assertIn("T0101", lens["command"]["title"])
        self.assertIn(lens["command"]["command"], self.offered["executeCommandProvider"]["commands"])
        text = self.server.request("workspace/executeCommand", {
            "command": lens["command"]["command"], "arguments": lens["command"]["arguments"]})
        self.assertIn("T0101", text)
        self.assertEqual(self.shown(), text)

    def test_calls(self):
        item = self.ask("prepareCallHierarchy", self.place(17, "2000"))[0]
        self.assertEqual(item["name"], "O2000")
        callers = self.server.request("callHierarchy/incomingCalls", {"item": item})
        self.assertEqual([(c["from"]["name"], [self.written(r) for r in c["fromRanges"]]) for c in callers],
                         [("O1001", ["P2000"])])
        called = self.server.request("callHierarchy/outgoingCalls", {"item": callers[0]["from"]})
        self.assertEqual([(c["to"]["name"], [self.written(r) for r in c["fromRanges"]]) for c in called],
                         [("O2000", ["P2000"])])

    def test_workspace_symbols(self):
        found = self.server.request("workspace/symbol", {"query": "deburr"})
        self.assertEqual([s["location"]["range"]["start"]["line"] for s in found], [17])
        self.assertEqual(self.server.request("workspace/symbol", {"query": "no such thing"}), [])

    def test_semantic_tokens(self):
        legend = self.offered["semanticTokensProvider"]["legend"]["tokenTypes"]
        full = self.ask("semanticTokens/full")
        tokens, line, start = [], 0, 0
        for i in range(0, len(full["data"]), 5):
            down, right, length, kind, _ = full["data"][i:i + 5]
            line, start = line + down, right if down else start + right
            tokens.append((line, self.written(span(line, start, line, start + length)), legend[kind]))
        self.assertIn((ROUGHING, NOTE, "comment"), tokens)
        self.assertIn((ROUGHING, "G71", "method"), tokens)
        self.assertIn((7, "G00", "keyword"), tokens)
        part = self.ask("semanticTokens/range", range=span(7, 0, 8, 0))
        self.assertEqual(part["data"][0], 7)
        self.assertLess(len(part["data"]), len(full["data"]))

        self.server.change(URI, 2, {"range": span(7, 0, 7, 3), "text": "G01"})
        delta = self.ask("semanticTokens/full/delta", previousResultId=full["resultId"])
        data = list(full["data"])
        for edit in delta["edits"]:
            data[edit["start"]:edit["start"] + edit["deleteCount"]] = edit.get("data", [])
        self.assertNotEqual(data, full["data"])
        self.assertEqual(data, self.ask("semanticTokens/full")["data"])
        unknown = self.ask("semanticTokens/full/delta", previousResultId="of another server")
        self.assertEqual(unknown["data"], data)


class EverythingUtf16(Everything):
    capabilities = {**FULL, "general": {"positionEncodings": ["utf-16"]}}


class EverythingUtf32(Everything):
    capabilities = {**FULL, "general": {"positionEncodings": ["utf-32"]}}


class Formatting(Ability):
    text = "G21  \nG00 X5. \n" + NOTE + "  \nM30\n"
    options = {"tabSize": 4, "insertSpaces": True}

    def test_whole_range_and_on_type(self):
        self.assertEqual(edited(self.text, self.ask("formatting", options=self.options)),
                         "G21\nG00 X5.\n" + NOTE + "\nM30\n")
        self.assertEqual(edited(self.text, self.ask("rangeFormatting", range=span(1, 0, 1, 3), options=self.options)),
                         self.text.replace("X5. ", "X5."))
        self.assertEqual(edited(self.text, self.ask("onTypeFormatting", position(1, 0), ch="\n", options=self.options)),
                         self.text.replace("G21  ", "G21"))


class Commands(Ability):
    text = "O1\nG21 G40\nN5 (FACE)\nT0101\nM01\nN7 (FINISH)\nT0303\nM01\nM30\n"
    renumbered = text.replace("N5", "N1").replace("N7", "N2")

    def run_command(self, name, *arguments):
        return self.server.request("workspace/executeCommand", {"command": name, "arguments": [URI, *arguments]})

    def test_edits_go_through_the_client(self):
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        self.assertIsNone(self.run_command("turnwright.renumber", "sequences"))
        self.server.wait_for(lambda m: m.get("method") == "workspace/applyEdit")
        self.assertEqual(edited(self.text, taken[0]["edit"]["documentChanges"][0]["edits"]), self.renumbered)

    def test_a_note_that_asks_is_answered(self):
        text = "G21 G99\nG97 S500 M03\nG00 X50. Z2.\n(TAPER D30 D40 LENGTH 25)\nM30\n"
        self.server.change(URI, 2, {"text": text})
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        self.run_command("turnwright.writeBlocks", "3")
        self.server.wait_for(lambda m: m.get("method") == "workspace/applyEdit")
        self.assertIn("11.31 DEGREES)\nG01 X30. Z2. F0.12\nG01 X40. Z-23.\nM30",
                      edited(text, taken[0]["edit"]["documentChanges"][0]["edits"]))
        self.run_command("turnwright.writeBlocks", "0")
        self.assertIn("no question", self.shown())

    def test_refusals_are_shown(self):
        self.run_command("turnwright.convertUnits", "furlongs")
        self.assertIn("inch or mm", self.shown())
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: {"applied": False}
        self.run_command("turnwright.renumber", "sequences")
        self.assertIn("did not take", self.shown())

    def test_restart_table(self):
        text = self.run_command("turnwright.restartTable")
        self.assertIn("T0303", text)

    def test_lot_offsets_and_corrections(self):
        self.server.change(URI, 2, {"text": "O1\nN5 (TURN)\nG21 G99\nG10 P3 U0.02\nT0303\nG97 S500 M03\nG00 X30. Z2.\n"
                                            "G01 Z-50. F0.1\nG00 X60.\nM30\n"})
        self.assertIn("T03", self.run_command("turnwright.lot", 500))
        self.assertIn("wear,3,", self.run_command("turnwright.offsets"))
        # 0.04 too small on diameter: more X.
        self.assertIn("G10 P3 U0.04", self.run_command("turnwright.correct", 30, "29.96"))
        with self.assertRaises(AssertionError):
            self.run_command("turnwright.correct", 30)
        with self.assertRaises(AssertionError):
            self.run_command("turnwright.lot", "many")

    def test_a_corner_is_broken_where_the_cursor_is(self):
        text = "O1\nN5 (TURN)\nG21 G99\nT0303\nG97 S500 M03\nG00 X30. Z2.\nG01 Z-50. F0.1\nX60.\nM30\n"
        self.server.change(URI, 2, {"text": text})
        taken = []
        self.server.answers_to_server["workspace/applyEdit"] = lambda params: taken.append(params) or {"applied": True}
        self.run_command("turnwright.breakCorner", "chamfer", "6", "2")
        self.server.wait_for(lambda m: m.get("method") == "workspace/applyEdit")
        self.assertRegex(edited(text, taken[0]["edit"]["documentChanges"][0]["edits"]),
                         r"G01 Z-48\. F0\.1\n(G01 )?X34\. Z-50\.\n")

    def test_restart_at_a_line(self):
        line = next(i for i, text in enumerate(self.text.splitlines()) if "T0303" in text)
        self.assertIn("T0303", self.run_command("turnwright.explainRestart", line))
        # No speed is stated in this program: no head can give it, and nothing is written.
        self.run_command("turnwright.insertRestart", line)
        self.server.wait_for(lambda m: m.get("method") == "window/showMessage" and "not known" in m["params"]["message"])

    def test_a_restart_is_offered_at_a_move_and_answers_as_its_command(self):
        self.server.change(URI, 2, {"text": "O1\nN5 (TURN)\nG21 G99\nT0101\nG97 S500 M03\nG00 X50. Z2.\nG01 Z-5. F0.2\nM30\n"})
        actions = self.ask("codeAction", range=span(6, 0, 6, 0),
                           context={"diagnostics": [], "only": ["turnwright.restart"]})
        self.assertEqual([a["command"]["command"] for a in actions],
                         ["turnwright.explainRestart", "turnwright.insertRestart", "turnwright.restartProgram",
                          "turnwright.repeatCut"])
        for action in (actions[0], actions[3]):
            self.assertIn("Restart of", self.server.request("workspace/executeCommand", action["command"]))
        self.assertIn("RESTART OF O0001", self.server.request("workspace/executeCommand", actions[2]["command"]))
        self.assertEqual(self.ask("codeAction", range=span(0, 0, 0, 0),
                                  context={"diagnostics": [], "only": ["turnwright.restart"]}), [])

    def test_wrong_commands_are_errors(self):
        for params in [{"command": "turnwright.nothing", "arguments": [URI]}, {"command": "turnwright.renumber", "arguments": []},
                       {"command": "turnwright.renumber", "arguments": ["file:///not/open.nc"]},
                       {"command": "turnwright.explainSequence", "arguments": [URI, "far"]},
                       {"command": "turnwright.insertRestart", "arguments": [URI]},
                       {"command": "turnwright.renumber", "arguments": [URI, {}]}]:
            with self.subTest(params=params):
                self.assertEqual(self.server.error("workspace/executeCommand", params), -32602)

    def test_actions_are_resolved_when_chosen(self):
        actions = self.ask("codeAction", range=span(2, 0, 2, 0), context={"diagnostics": [], "only": ["refactor"]})
        action = next(a for a in actions if a["title"] == "Renumber the sequences")
        self.assertNotIn("edit", action)
        resolved = self.server.request("codeAction/resolve", action)
        self.assertEqual(edited(self.text, resolved["edit"]["documentChanges"][0]["edits"]), self.renumbered)
        self.server.change(URI, 2, {"range": span(0, 0, 0, 0), "text": "%\n"})
        self.assertEqual(self.server.error("codeAction/resolve", action), -32801)

    def test_source_action(self):
        actions = self.ask("codeAction", range=span(0, 0, 0, 0), context={"diagnostics": [], "only": ["source.fixAll"]})
        self.assertEqual([a["kind"] for a in actions], ["source.fixAll.turnwright"])
        self.server.change(URI, 2, {"text": "G21 G99\nT0101\nG97 S500 M03\nG00 X50. Z2.\nG01 Z-5 F.2\nX60\nX70.\nM30\n"})
        actions = self.ask("codeAction", range=span(4, 0, 5, 0), context={"diagnostics": [], "only": ["source"]})
        self.assertEqual({a["kind"] for a in actions}, {"source.fixAll.turnwright", "source.turnwright.mendOneKind"})
        self.assertTrue(all(a["title"].startswith("Mend ") for a in actions))

    def test_the_whole_program_is_mended_where_somebody_wants_it(self):
        self.server.change(URI, 2, {"text": "G21 G99\nT0101\nG97 S500 M03\nG00 X50. Z2.\nG01 Z-5 F.2\nX60\nX70.\nM30\n"})
        def offers(range):
            actions = self.ask("codeAction", range=range, context={"diagnostics": []})
            return "source.fixAll.turnwright" in [a["kind"] for a in actions]
        self.assertTrue(offers(span(0, 0, 0, 0)))  # at the head
        self.assertTrue(offers(span(5, 0, 5, 0)))  # where there is something to mend
        self.assertTrue(offers(span(2, 0, 3, 2)))  # for a selection
        self.assertFalse(offers(span(3, 0, 3, 0)))


class OlderCommands(Commands):
    """Actions are commands for clients that do not resolve them."""
    capabilities = {**FULL, "textDocument": {**FULL["textDocument"], "codeAction": CAPABILITIES["textDocument"]["codeAction"]}}

    def test_actions_are_resolved_when_chosen(self):
        actions = self.ask("codeAction", range=span(2, 0, 2, 0), context={"diagnostics": [], "only": ["refactor"]})
        action = next(a for a in actions if a["title"] == "Renumber the sequences")
        self.assertNotIn("edit", action)
        self.assertEqual(action["command"]["command"], "turnwright.renumber")
        self.assertEqual(action["command"]["arguments"], [URI, "sequences"])


class PlainClients(unittest.TestCase):
    def test_nothing_is_offered_that_a_client_does_not_know(self):
        with Server() as server:
            offered = server.initialize(capabilities={})["capabilities"]
            for ability in ["semanticTokensProvider", "foldingRangeProvider", "selectionRangeProvider", "inlayHintProvider",
                            "codeLensProvider", "documentLinkProvider", "callHierarchyProvider",
                            "linkedEditingRangeProvider", "diagnosticProvider"]:
                self.assertNotIn(ability, offered)
            self.assertIs(offered["renameProvider"], True)
            server.open(URI, TEXT)
            items = server.request("textDocument/completion", {"textDocument": {"uri": URI}, "position": position(16, 0)})
            self.assertFalse([i for i in items["items"] if "insertTextFormat" in i or "$" in i["textEdit"]["newText"]])


if __name__ == "__main__":
    unittest.main()
