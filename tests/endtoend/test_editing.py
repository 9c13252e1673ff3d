"""An editor's session: open, warnings, hover, outline, actions, change, close."""
import unittest

from driver import CAPABILITIES, Server, position, span

URI = "file:///shop/shaft.nc"
TEXT = "%\nO1001 (STEPPED SHAFT)\nG21 G99 G40\nN1 T0101 (ROUGH TURN\nG97 S800 M03\nG00 X40. Z2.\nM30\n%\n"
NOTE_LINE = 3


def ids(diagnostics):
    return [d.get("code") for d in diagnostics]


class Session(unittest.TestCase):
    def test_whole(self):
        with Server() as server:
            result = server.initialize()
            self.assertEqual(result["capabilities"]["positionEncoding"], "utf-8")
            self.assertEqual(result["serverInfo"]["name"], "turnwright")
            server.open(URI, TEXT)
            first = server.published(URI, version=1)
            self.assertIn("note_unclosed", ids(first))
            note = first[ids(first).index("note_unclosed")]
            self.assertEqual(note["range"]["start"]["line"], NOTE_LINE)

            hover = server.hover(URI, 4, 0)
            self.assertEqual(hover["contents"]["kind"], "markdown")
            self.assertIn("97", hover["contents"]["value"])

            symbols = server.request("textDocument/documentSymbol", {"textDocument": {"uri": URI}})
            names = [child["name"] for symbol in symbols for child in symbol.get("children", [])]
            self.assertTrue(any(name.startswith("N1") for name in names), symbols)

            line_end = len("N1 T0101 (ROUGH TURN")
            server.change(URI, 2, {"range": span(NOTE_LINE, line_end, NOTE_LINE, line_end), "text": ")"})
            self.assertNotIn("note_unclosed", ids(server.published(URI, version=2)))

            server.close(URI)
            self.assertEqual(server.published(URI), [])
            server.shut_down()
            self.assertEqual(server.end(), 0)

    def test_fix_closes_the_note(self):
        with Server() as server:
            server.initialize()
            server.open(URI, TEXT)
            note = next(d for d in server.published(URI) if d["code"] == "note_unclosed")
            actions = server.request("textDocument/codeAction", {
                "textDocument": {"uri": URI}, "range": note["range"], "context": {"diagnostics": [note], "only": ["quickfix"]}})
            mends = [a for a in actions if "note_unclosed" in ids(a.get("diagnostics", []))]
            self.assertTrue(mends, actions)
            change = mends[0]["edit"]["documentChanges"][0]
            self.assertEqual(change["textDocument"], {"uri": URI, "version": 1})
            server.change(URI, 2, *({"range": e["range"], "text": e["newText"]} for e in change["edits"]))
            self.assertNotIn("note_unclosed", ids(server.published(URI, version=2)))

    def test_only_other_kinds_of_action_are_left_out(self):
        with Server() as server:
            server.initialize()
            server.open(URI, TEXT)
            actions = server.request("textDocument/codeAction", {
                "textDocument": {"uri": URI}, "range": span(NOTE_LINE, 0, NOTE_LINE, 20),
                "context": {"diagnostics": [], "only": ["source.organizeImports"]}})
            self.assertEqual(actions, [])


class Clients(unittest.TestCase):
    """What a client can do decides the form of the answers."""

    def test_outline_is_a_list_for_clients_without_trees(self):
        with Server() as server:
            server.initialize(capabilities={})
            server.open(URI, TEXT)
            symbols = server.request("textDocument/documentSymbol", {"textDocument": {"uri": URI}})
            self.assertTrue(any(s["name"].startswith("N1") and s["location"]["uri"] == URI for s in symbols), symbols)

    def test_hover_is_plain_for_clients_without_markdown(self):
        with Server() as server:
            server.initialize(capabilities={})
            server.open(URI, TEXT)
            self.assertEqual(server.hover(URI, 4, 0)["contents"]["kind"], "plaintext")

    def test_position_encodings(self):
        # Helix offers utf-8, utf-32, utf-16 in that order; others nothing, which means utf-16.
        for offered, chosen in [(["utf-8", "utf-32", "utf-16"], "utf-8"), (["utf-32", "utf-8"], "utf-32"),
                                (["utf-16"], "utf-16"), (None, "utf-16"), ([], "utf-16"), (["utf-7"], "utf-16"),
                                (["utf-7", "utf-8"], "utf-8")]:
            general = {} if offered is None else {"general": {"positionEncodings": offered}}
            with self.subTest(offered=offered), Server() as server:
                result = server.initialize(capabilities=general)
                self.assertEqual(result["capabilities"]["positionEncoding"], chosen)
                # U+1F527 is 4 bytes, 2 UTF-16 units, 1 character.
                server.open(URI, "G21\n(\U0001F527) (OPEN\nM30\n")
                note = next(d for d in server.published(URI) if d["code"] == "note_unclosed")
                width = {"utf-8": 4, "utf-16": 2, "utf-32": 1}[chosen]
                self.assertEqual(note["range"]["start"], position(1, 1 + width + 2))
                server.change(URI, 2, {"range": span(1, 1 + width + 2, 1, 1 + width + 2 + 5), "text": ""})
                self.assertNotIn("note_unclosed", ids(server.published(URI, version=2)))

    def test_pulled_warnings_are_not_pushed_too(self):
        pulling = {**CAPABILITIES, "textDocument": {**CAPABILITIES["textDocument"], "diagnostic": {}},
                   "workspace": {"diagnostics": {"refreshSupport": True}}}
        with Server() as server:
            result = server.initialize(capabilities=pulling)
            self.assertIn("diagnosticProvider", result["capabilities"])
            server.open(URI, TEXT)

            def pull(previous=None):
                return server.request("textDocument/diagnostic", {
                    "textDocument": {"uri": URI}, **({"previousResultId": previous} if previous else {})})
            full = pull()
            self.assertEqual(full["kind"], "full")
            self.assertIn("note_unclosed", ids(full["items"]))
            again = pull(full["resultId"])
            self.assertEqual((again["kind"], again["resultId"]), ("unchanged", full["resultId"]))
            line_end = len("N1 T0101 (ROUGH TURN")
            server.change(URI, 2, {"range": span(NOTE_LINE, line_end, NOTE_LINE, line_end), "text": ")"})
            after = pull(full["resultId"])
            self.assertEqual(after["kind"], "full")
            self.assertNotIn("note_unclosed", ids(after["items"]))
            self.assertNotEqual(after["resultId"], full["resultId"])
            # Settings that changed: the client is asked to ask again.
            server.notify("workspace/didChangeConfiguration", {"settings": {"turnwright": {"hints": {"rpm": False}}}})
            server.wait_for(lambda m: m.get("method") == "workspace/diagnostic/refresh")
            server.settle()
            self.assertFalse([m for m in server.inbox if m.get("method") == "textDocument/publishDiagnostics"])

    def test_clients_that_cannot_be_told_to_pull_again_are_pushed_to(self):
        # Neovim 0.7 knows no pull at all; a client that pulls but takes no refresh would keep old warnings.
        with Server() as server:
            result = server.initialize(capabilities={"textDocument": {"diagnostic": {}}})
            self.assertNotIn("diagnosticProvider", result["capabilities"])
            server.open(URI, TEXT)
            self.assertIn("note_unclosed", ids(server.published(URI)))


class Settings(unittest.TestCase):
    def test_empty_settings_mean_defaults_never_off(self):
        # eglot sends an empty didChangeConfiguration after its start.
        for settings in ({}, None, [], {"turnwright": {}}, {"turnwright": None}):
            with self.subTest(settings=settings), Server() as server:
                server.initialize()
                server.notify("workspace/didChangeConfiguration", {"settings": settings})
                server.open(URI, TEXT)
                self.assertIn("note_unclosed", ids(server.published(URI)))

    def test_settings_are_asked_for_where_the_client_has_them(self):
        with Server() as server:
            asked = []
            server.answers_to_server["workspace/configuration"] = lambda params: asked.append(params) or [None]
            server.initialize(capabilities={"workspace": {"configuration": True}})
            server.wait_for(lambda m: m.get("method") == "workspace/configuration")
            self.assertEqual(asked[0]["items"], [{"section": "turnwright"}])

    def test_changed_settings_are_followed_by_a_new_check(self):
        with Server() as server:
            server.initialize()
            server.open(URI, TEXT)
            server.published(URI, version=1)
            server.notify("workspace/didChangeConfiguration", {"settings": {"turnwright": {"hints": {"rpm": False}}}})
            self.assertIn("note_unclosed", ids(server.published(URI, version=1)))

    def test_registrations_where_the_client_takes_them(self):
        dynamic = {"dynamicRegistration": True}
        with Server() as server:
            server.initialize(capabilities={"workspace": {"didChangeWatchedFiles": dynamic, "didChangeConfiguration": dynamic}})
            message = server.wait_for(lambda m: m.get("method") == "client/registerCapability")
            methods = {r["method"] for r in message["params"]["registrations"]}
            self.assertEqual(methods, {"workspace/didChangeWatchedFiles", "workspace/didChangeConfiguration"})


if __name__ == "__main__":
    unittest.main()
