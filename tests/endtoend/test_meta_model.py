"""The checker itself: right messages pass, each with one thing wrong is refused."""
import copy
import unittest

from meta_model import Invalid, MetaModel

MODEL = MetaModel()
RANGE = {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 3}}
PUBLISH = {"jsonrpc": "2.0", "method": "textDocument/publishDiagnostics", "params": {
    "uri": "file:///shaft.nc", "version": 3, "diagnostics": [{
        "range": RANGE, "severity": 2, "code": "speed_limit_missing", "source": "turnwright", "message": "text",
        "codeDescription": {"href": "file:///docs/a.md"}, "tags": [1],
        "relatedInformation": [{"location": {"uri": "file:///shaft.nc", "range": RANGE}, "message": "set here"}]}]}}


def changed(message, path, value):
    """A copy with the member at `path` set, or taken out for `value` None-like marker Ellipsis."""
    result = copy.deepcopy(message)
    at = result
    for key in path[:-1]:
        at = at[key]
    if value is ...:
        del at[path[-1]]
    else:
        at[path[-1]] = value
    return result


class Notifications(unittest.TestCase):
    def test_a_right_one_passes(self):
        MODEL.check_from_server(PUBLISH)

    def test_each_wrong_member_is_refused(self):
        first = ["params", "diagnostics", 0]
        for path, value in [
            (["jsonrpc"], "1.0"), (["jsonrpc"], ...), (["method"], "textDocument/publishNothing"),
            (["method"], "textDocument/didOpen"),  # for clients
            (["more"], 1), (["params"], ...), (["params"], []), (["params", "uri"], ...), (["params", "uri"], 5),
            (["params", "version"], "3"), (["params", "version"], None), (["params", "version"], 3.5),
            (["params", "version"], 2**31), (["params", "version"], True), (["params", "extra"], 0),
            (["params", "diagnostics"], {}), (first + ["range"], ...), (first + ["range", "start", "line"], -1),
            (first + ["range", "start", "line"], 2**31), (first + ["range", "start", "row"], 0),
            (first + ["severity"], 5), (first + ["severity"], "warning"), (first + ["severity"], 1.0),
            (first + ["message"], ...), (first + ["message"], None), (first + ["tags"], [3]), (first + ["tags"], 1),
            (first + ["code"], ["a"]), (first + ["codeDescription", "href"], ...),
            (first + ["relatedInformation", 0, "location", "range"], ...),
            (first + ["colour"], "red"),
        ]:
            with self.subTest(path=path, value=value), self.assertRaises(Invalid):
                MODEL.check_from_server(changed(PUBLISH, path, value))

    def test_progress(self):
        report = {"jsonrpc": "2.0", "method": "$/progress", "params": {"token": "t", "value": {"kind": "begin", "title": "x"}}}
        MODEL.check_from_server(report)
        for path, value in [(["params", "value", "kind"], "start"), (["params", "value", "title"], ...),
                            (["params", "token"], ...), (["params", "value", "percentage"], -1)]:
            with self.subTest(path=path), self.assertRaises(Invalid):
                MODEL.check_from_server(changed(report, path, value))


class Responses(unittest.TestCase):
    def answer(self, asked, result):
        MODEL.check_from_server({"jsonrpc": "2.0", "id": 1, "result": result}, asked)

    def refuse(self, asked, result):
        with self.assertRaises(Invalid):
            self.answer(asked, result)

    def test_hover(self):
        self.answer("textDocument/hover", None)
        self.answer("textDocument/hover", {"contents": {"kind": "markdown", "value": "x"}, "range": RANGE})
        self.refuse("textDocument/hover", {"contents": {"kind": "html", "value": "x"}})
        self.refuse("textDocument/hover", {"range": RANGE})
        self.refuse("textDocument/hover", [])

    def test_symbols_of_either_form_but_not_mixed(self):
        tree = {"name": "N1", "kind": 24, "range": RANGE, "selectionRange": RANGE, "children": []}
        flat = {"name": "N1", "kind": 24, "location": {"uri": "file:///a", "range": RANGE}}
        self.answer("textDocument/documentSymbol", [tree])
        self.answer("textDocument/documentSymbol", [flat])
        self.refuse("textDocument/documentSymbol", [tree, flat])
        self.refuse("textDocument/documentSymbol", [{**tree, "kind": 27}])
        self.refuse("textDocument/documentSymbol", [{**tree, "children": [{"name": "N2"}]}])

    def test_initialize(self):
        self.answer("initialize", {"capabilities": {"hoverProvider": True}, "serverInfo": {"name": "t"}})
        self.answer("initialize", {"capabilities": {"positionEncoding": "utf-8"}})
        self.refuse("initialize", {"capabilities": {"hoverSupplier": True}})
        self.refuse("initialize", {"capabilities": {"hoverProvider": "yes"}})
        self.refuse("initialize", {"capabilities": {"textDocumentSync": 7}})
        self.refuse("initialize", {})

    def test_signature_parameter_labels_are_text_or_pairs(self):
        def with_label(label):
            return {"signatures": [{"label": "G83 X Z", "parameters": [{"label": label}]}]}
        self.answer("textDocument/signatureHelp", with_label("X"))
        self.answer("textDocument/signatureHelp", with_label([4, 5]))
        for wrong in ([4], [4, 5, 6], [4, "5"], [-1, 5], None):
            self.refuse("textDocument/signatureHelp", with_label(wrong))

    def test_workspace_edit_maps(self):
        edit = {"range": RANGE, "newText": "G21"}
        self.answer("textDocument/rename", {"changes": {"file:///a": [edit]}})
        self.answer("textDocument/rename", {"documentChanges": [{"textDocument": {"uri": "file:///a", "version": None}, "edits": [edit]}]})
        self.refuse("textDocument/rename", {"changes": {"file:///a": edit}})
        self.refuse("textDocument/rename", {"documentChanges": [{"textDocument": {"uri": "file:///a"}, "edits": [edit]}]})

    def test_errors(self):
        good = {"jsonrpc": "2.0", "id": None, "error": {"code": -32700, "message": "x"}}
        MODEL.check_from_server(good)
        for path, value in [(["error", "code"], "x"), (["error", "message"], ...), (["error", "more"], 1), (["id"], ...),
                            (["id"], 1.5), (["result"], 1)]:
            with self.subTest(path=path), self.assertRaises(Invalid):
                MODEL.check_from_server(changed(good, path, value))
        with self.assertRaises(Invalid):  # a result that nobody asked for
            MODEL.check_from_server({"jsonrpc": "2.0", "id": 1, "result": None})


class Requests(unittest.TestCase):
    def test_to_the_client(self):
        ask = {"jsonrpc": "2.0", "id": 1, "method": "workspace/configuration", "params": {"items": [{"section": "turnwright"}]}}
        MODEL.check_from_server(ask)
        for path, value in [(["id"], None), (["params", "items"], {}), (["params", "items", 0, "section"], 1),
                            (["method"], "textDocument/hover")]:
            with self.subTest(path=path), self.assertRaises(Invalid):
                MODEL.check_from_server(changed(ask, path, value))
        MODEL.check_from_server({"jsonrpc": "2.0", "id": 2, "method": "workspace/diagnostic/refresh"})
        with self.assertRaises(Invalid):
            MODEL.check_from_server({"jsonrpc": "2.0", "id": 2, "method": "workspace/diagnostic/refresh", "params": {}})


class Model(unittest.TestCase):
    def test_it_is_the_whole_protocol(self):
        # LSP 3.17 by its specification page; the declarations also hold the 3.18 proposals.
        for method in ["initialize", "shutdown", "textDocument/completion", "textDocument/semanticTokens/full/delta",
                       "textDocument/diagnostic", "callHierarchy/incomingCalls", "workspace/executeCommand"]:
            self.assertIn(method, MODEL.requests)
        self.assertGreaterEqual(len(MODEL.requests), 60)
        self.assertGreaterEqual(len(MODEL.structures), 250)


if __name__ == "__main__":
    unittest.main()
