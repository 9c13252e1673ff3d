"""Checks messages against the published types of LSP, made into a meta-model by make_model.js.

Stricter than a client has to be: a property that the model does not name is an error.
"""
import json
import os
import subprocess

HERE = os.path.dirname(os.path.abspath(__file__))
PACKAGES = os.path.join(HERE, "node_modules")
MODEL = os.path.join(PACKAGES, ".lsp-model.json")
SOURCES = [os.path.join(HERE, name) for name in ("make_model.js", "package-lock.json")]


class Invalid(Exception):
    """A message that is not as the protocol has it; says where and why."""


def _made_model():
    if not os.path.isdir(os.path.join(PACKAGES, "vscode-languageserver-protocol")):
        raise RuntimeError("The published LSP types are not installed: run 'npm ci' in tests/endtoend, or sh tests/run.sh")
    newest = max(os.path.getmtime(source) for source in SOURCES)
    if not os.path.exists(MODEL) or os.path.getmtime(MODEL) <= newest:
        # Several test programs may start at once: each writes its own file and puts it in place whole.
        own = f"{MODEL}.{os.getpid()}"
        subprocess.run(["node", os.path.join(HERE, "make_model.js"), own], check=True)
        os.replace(own, MODEL)
    with open(MODEL, encoding="utf-8") as file:
        return json.load(file)


# The base protocol's own notifications, which the declarations name only in code (LSP 3.17, "Base Protocol").
_WORK_DONE = {"kind": "or", "items": [{"kind": "reference", "name": name} for name in
                                      ("WorkDoneProgressBegin", "WorkDoneProgressReport", "WorkDoneProgressEnd")]}
_PROGRESS = {"kind": "literal", "value": {"properties": [
    {"name": "token", "type": {"kind": "reference", "name": "ProgressToken"}},
    {"name": "value", "type": _WORK_DONE}]}}
_CANCEL = {"kind": "literal", "value": {"properties": [
    {"name": "id", "type": {"kind": "or", "items": [{"kind": "base", "name": "integer"}, {"kind": "base", "name": "string"}]}}]}}
_BASE_NOTIFICATIONS = {
    "$/logTrace": {"params": {"kind": "reference", "name": "LogTraceParams"}, "messageDirection": "both"},
    "$/progress": {"params": _PROGRESS, "messageDirection": "both"},
    "$/cancelRequest": {"params": _CANCEL, "messageDirection": "both"},
}
_BASE = {
    "string": lambda v: isinstance(v, str),
    "DocumentUri": lambda v: isinstance(v, str),
    "URI": lambda v: isinstance(v, str),
    "boolean": lambda v: isinstance(v, bool),
    "integer": lambda v: isinstance(v, int) and not isinstance(v, bool) and -2**31 <= v < 2**31,
    "uinteger": lambda v: isinstance(v, int) and not isinstance(v, bool) and 0 <= v < 2**31,
    "decimal": lambda v: isinstance(v, (int, float)) and not isinstance(v, bool),
    "null": lambda v: v is None,
}


class MetaModel:
    def __init__(self, model=None):
        model = model or _made_model()
        self.structures = {s["name"]: s for s in model["structures"]}
        self.aliases = {a["name"]: a["type"] for a in model["typeAliases"]}
        self.requests = {r["method"]: r for r in model["requests"]}
        self.notifications = {**{n["method"]: n for n in model["notifications"]}, **_BASE_NOTIFICATIONS}

    # ---- messages of the server

    def check_from_server(self, message, asked=None, in_parts=()):
        """`asked` is the method of the request that a response answers; `in_parts` gives the methods of those whose
        results may come in parts, by their tokens."""
        if not isinstance(message, dict) or message.get("jsonrpc") != "2.0":
            raise Invalid("not a JSON-RPC 2.0 object")
        if "method" not in message:
            return self._check_response(message, asked)
        is_request = "id" in message
        known = (self.requests if is_request else self.notifications).get(message["method"])
        if known is None:
            raise Invalid(f"no such {'request' if is_request else 'notification'}: {message['method']}")
        if known["messageDirection"] == "clientToServer":
            raise Invalid(f"{message['method']} is for clients to send")
        self._only(message, {"jsonrpc", "id", "method", "params"})
        if message["method"] == "$/progress" and message["params"].get("token") in in_parts:
            return self._check_part(message["params"]["value"], in_parts[message["params"]["token"]])
        if is_request and not (_BASE["integer"](message["id"]) or isinstance(message["id"], str)):
            raise Invalid("id of a request must be an integer or a string")
        if known.get("params"):
            self.check(message.get("params"), known["params"], message["method"])
        elif message.get("params") is not None:
            raise Invalid(f"{message['method']} takes no parameters")

    def _check_part(self, value, method):
        """A part has the type of the result, but for reports, which have one of their own."""
        kind = self.requests[method]["result"]
        if kind.get("name", "") + "PartialResult" in self.structures:
            kind = {"kind": "reference", "name": kind["name"] + "PartialResult"}
        self.check(value, kind, method + " part")

    def _check_response(self, message, asked):
        self._only(message, {"jsonrpc", "id", "result", "error"})
        identity = message.get("id", "missing")
        if not (identity is None or _BASE["integer"](identity) or (isinstance(identity, str) and "id" in message)):
            raise Invalid("id of a response must be an integer, a string or null")
        if ("result" in message) == ("error" in message):
            raise Invalid("a response has either a result or an error")
        if "error" in message:
            error = message["error"]
            self._only(error, {"code", "message", "data"})
            if not _BASE["integer"](error.get("code")) or not isinstance(error.get("message"), str):
                raise Invalid("an error has an integer code and a message")
        elif asked is None:
            raise Invalid("a result for no request")
        elif asked in self.requests:
            self.check(message["result"], self.requests[asked]["result"], asked + " result")

    @staticmethod
    def _only(value, names):
        if not isinstance(value, dict):
            raise Invalid("not an object")
        if unknown := set(value) - names:
            raise Invalid(f"unknown members {sorted(unknown)}")

    # ---- types

    def check(self, value, kind, where):
        getattr(self, "_check_" + kind["kind"])(value, kind, where)

    def _fail(self, value, where, wanted):
        raise Invalid(f"{where}: expected {wanted}, got {json.dumps(value)[:120]}")

    def _check_base(self, value, kind, where):
        if not _BASE[kind["name"]](value):
            self._fail(value, where, kind["name"])

    def _check_reference(self, value, kind, where):
        name = kind["name"]
        if name == "LSPAny":
            return
        if name == "LSPObject":
            if not isinstance(value, dict):
                self._fail(value, where, "an object")
        elif name in self.structures:
            self._check_properties(value, self._properties_of(kind), where, name)
        elif name in self.aliases:
            self.check(value, self.aliases[name], where)
        else:
            raise RuntimeError(f"the model has no type {name}")

    def _check_array(self, value, kind, where):
        if not isinstance(value, list):
            self._fail(value, where, "an array")
        for index, element in enumerate(value):
            self.check(element, kind["element"], f"{where}[{index}]")

    def _check_tuple(self, value, kind, where):
        if not isinstance(value, list) or len(value) != len(kind["items"]):
            self._fail(value, where, f"{len(kind['items'])} elements")
        for index, (element, item) in enumerate(zip(value, kind["items"])):
            self.check(element, item, f"{where}[{index}]")

    def _check_map(self, value, kind, where):
        if not isinstance(value, dict):
            self._fail(value, where, "a map")
        for key, element in value.items():
            if kind["key"].get("name") in ("integer", "uinteger") and not key.isdigit():
                self._fail(key, where, "a number as key")
            self.check(element, kind["value"], f"{where}.{key}")

    def _check_literal(self, value, kind, where):
        self._check_properties(value, self._properties_of(kind), where, "an object")

    def _check_and(self, value, kind, where):
        self._check_properties(value, self._properties_of(kind), where, "an object")

    def _check_or(self, value, kind, where):
        problems = []
        for item in kind["items"]:
            try:
                return self.check(value, item, where)
            except Invalid as problem:
                problems.append(str(problem))
        raise Invalid(f"{where} fits none of {len(problems)} types: " + "; ".join(problems)[:1500])

    def _check_stringLiteral(self, value, kind, where):
        if value != kind["value"] or not isinstance(value, str):
            self._fail(value, where, repr(kind["value"]))

    def _check_integerLiteral(self, value, kind, where):
        if isinstance(value, bool) or not isinstance(value, int) or value != kind["value"]:
            self._fail(value, where, str(kind["value"]))

    def _check_booleanLiteral(self, value, kind, where):
        if value is not kind["value"]:
            self._fail(value, where, str(kind["value"]))

    def _check_properties(self, value, properties, where, name):
        if not isinstance(value, dict):
            self._fail(value, where, name)
        for key, item in properties.items():
            if key in value:
                self.check(value[key], item["type"], f"{where}.{key}")
            elif not item.get("optional"):
                raise Invalid(f"{where}.{key} is missing ({name})")
        if unknown := set(value) - set(properties):
            raise Invalid(f"{where} has unknown properties {sorted(unknown)} ({name})")

    def _properties_of(self, kind):
        """All properties of something that can only be an object."""
        if kind["kind"] == "literal":
            return {p["name"]: p for p in kind["value"]["properties"]}
        if kind["kind"] == "and":
            parts = [self._properties_of(item) for item in kind["items"]]
        elif kind["kind"] == "reference" and kind["name"] in self.structures:
            structure = self.structures[kind["name"]]
            parts = [self._properties_of(base) for base in structure.get("extends", []) + structure.get("mixins", [])]
            parts.append({p["name"]: p for p in structure["properties"]})
        elif kind["kind"] == "reference":
            return self._properties_of(self.aliases[kind["name"]])
        else:
            raise RuntimeError(f"cannot be joined with others: {kind}")
        joined = {}
        for part in parts:
            joined.update(part)
        return joined
