"""Drives the real server as an editor does. Every message that it sends is checked against the published types."""
import json
import mmap
import os
import queue
import re
import socket
import subprocess
import threading
import time
import urllib.parse

from meta_model import Invalid, MetaModel

PROGRAM = os.environ.get("TURNWRIGHT") or os.path.join(os.path.dirname(__file__), "..", "..", "build", "turnwright")
# What runs a program of another system here: wine for turnwright.exe.
RUNNER = os.environ.get("TURNWRIGHT_RUNNER", "").split()
COMMAND = [*RUNNER, PROGRAM]
WINDOWS = PROGRAM.endswith(".exe")
MODEL = MetaModel()
PATIENCE = float(os.environ.get("TURNWRIGHT_PATIENCE", 20))  # seconds; generous, since tests share two cores

CAPABILITIES = {
    "general": {"positionEncodings": ["utf-8", "utf-16"]},
    "textDocument": {
        "hover": {"contentFormat": ["markdown", "plaintext"]},
        "documentSymbol": {"hierarchicalDocumentSymbolSupport": True},
        "codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": ["quickfix"]}}},
        "publishDiagnostics": {"relatedInformation": True, "versionSupport": True},
    },
    "workspace": {"workspaceEdit": {"documentChanges": True}},
}
# Settings under which nothing is held back while a line is typed.
AT_ONCE = {"turnwright": {"warnings": {"calm": False}}}


def is_sanitized():
    """Whether the program keeps freed memory to find faults: then its memory says nothing."""
    with open(PROGRAM, "rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as content:
        return content.find(b"__asan_init") >= 0


def frame(message):
    body = message if isinstance(message, bytes) else json.dumps(message).encode()
    return b"Content-Length: %d\r\n\r\n" % len(body) + body


def uri_of(path):
    """As an editor on the program's system names a file; wine shows this system's files on its drive Z."""
    return ("file:///z:" if WINDOWS else "file://") + urllib.parse.quote(path)


def path_of(uri):
    """The file here that the program names by a URI."""
    path = urllib.parse.unquote(uri.removeprefix("file://"))
    if WINDOWS:
        drive = f"{os.environ['WINEPREFIX']}/dosdevices/{path[1:3].lower()}"
        path = os.path.realpath(drive) + path[3:]
    return path


def position(line, character):
    return {"line": line, "character": character}


def span(first_line, first, last_line, last):
    return {"start": position(first_line, first), "end": position(last_line, last)}


def start_bystander():
    """A process that stays until it is killed, and its number as the program sees it."""
    if not WINDOWS:
        process = subprocess.Popen(["sleep", "600"])
        return process, process.pid
    process = subprocess.Popen([*COMMAND, "serve", "--port", "0"], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    process.stderr.readline()
    listed = subprocess.run([*RUNNER, "winedbg", "--command", "info proc"], capture_output=True, check=True, timeout=PATIENCE)
    number = re.search(rb"([0-9a-f]{8}) .*'turnwright\.exe'", listed.stdout)
    return process, int(number[1], 16)


class Connection:
    """One client of a server, over any pair of byte files."""

    def __init__(self, to_server, from_server):
        self.to_server = to_server
        self.from_server = from_server
        self.asked = {}  # id -> method of our open requests
        self.asked_in_parts = {}  # token -> method
        self.inbox = []        # messages read and not yet taken
        self.hints = []        # what a shop file would make known, or that one is not read: told beside whatever a test is about
        self.problems = []     # what the meta-model refused
        self.answers_to_server = {}  # method -> function of the parameters, for requests of the server
        self.next_id = 1
        self.arrived = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()

    # ---- reading

    def _read(self):
        try:
            while True:
                length = None
                while (line := self.from_server.readline()) not in (b"\r\n", b""):
                    name, _, value = line.partition(b":")
                    if name != b"Content-Length":
                        raise Invalid(f"unexpected header {line!r}")
                    length = int(value)
                if line == b"":
                    break
                body = self.from_server.read(length)
                self.arrived.put(json.loads(body.decode("utf-8", errors="strict")))
        except (OSError, ValueError) as failure:
            self.problems.append(f"unreadable output: {failure!r}")
        except Invalid as failure:
            self.problems.append(str(failure))
        self.arrived.put(None)

    def _check(self, message):
        asked = self.asked.pop(message["id"], None) if "method" not in message and message.get("id") is not None else None
        if asked and asked.startswith("turnwright/"):
            return # no part of the published protocol
        try:
            MODEL.check_from_server(message, asked, self.asked_in_parts)
        except Invalid as problem:
            self.problems.append(f"{problem} in {json.dumps(message)[:400]}")

    def receive(self, patience=PATIENCE):
        """The next message, or None when the server closed its output. Requests of the server are answered."""
        message = self.arrived.get(timeout=patience)
        if message is None:
            self.arrived.put(None)
            return None
        self._check(message)
        if (message.get("method") == "window/showMessage"
                and message["params"]["type"] == 3
                and re.match(r"No turnwright\.toml holds here|\S+\.toml lies beside this program", message["params"]["message"])):
            self.hints.append(message["params"])
            return self.receive(patience)
        if "method" in message and "id" in message:
            answer = self.answers_to_server.get(message["method"], lambda params: None)
            self.send({"jsonrpc": "2.0", "id": message["id"], "result": answer(message.get("params"))})
        return message

    def wait_for(self, wanted, patience=PATIENCE):
        """The first message, read before or now, for which `wanted` holds; the others stay."""
        for index, message in enumerate(self.inbox):
            if wanted(message):
                return self.inbox.pop(index)
        end = time.monotonic() + patience
        while True:
            try:
                message = self.receive(max(0.01, end - time.monotonic()))
            except queue.Empty:
                raise AssertionError(f"nothing of the kind came in {patience} s; waiting: {self.inbox[-3:]}") from None
            if message is None:
                raise AssertionError(f"the server closed its output{self.how_it_ended()}; waiting: {self.inbox[-3:]}")
            if wanted(message):
                return message
            self.inbox.append(message)

    def how_it_ended(self):
        return ""

    # ---- writing

    def send_bytes(self, raw):
        self.to_server.write(raw)
        self.to_server.flush()

    def send(self, message):
        self.send_bytes(frame(message))

    def notify(self, method, params=None):
        self.send({"jsonrpc": "2.0", "method": method, **({} if params is None else {"params": params})})

    def ask(self, method, params=None, identity=None):
        """Sends a request and returns its id."""
        if identity is None:
            identity, self.next_id = self.next_id, self.next_id + 1
        self.asked[identity] = method
        if isinstance(params, dict) and "partialResultToken" in params:
            self.asked_in_parts[params["partialResultToken"]] = method
        self.send({"jsonrpc": "2.0", "id": identity, "method": method, **({} if params is None else {"params": params})})
        return identity

    def answer(self, identity):
        return self.wait_for(lambda m: "method" not in m and m.get("id") == identity)

    def request(self, method, params=None):
        """The result; an error raises AssertionError."""
        reply = self.answer(self.ask(method, params))
        assert "error" not in reply, reply
        return reply["result"]

    def error(self, method, params=None):
        """The code of the error that must come."""
        reply = self.answer(self.ask(method, params))
        assert "error" in reply, reply
        return reply["error"]["code"]

    # ---- an editor's words

    def initialize(self, capabilities=None, **more):
        result = self.request("initialize", {"processId": None, "rootUri": None, "capabilities":
                                             CAPABILITIES if capabilities is None else capabilities, **more})
        self.notify("initialized", {})
        return result

    def open(self, uri, text, version=1):
        self.notify("textDocument/didOpen", {"textDocument": {"uri": uri, "languageId": "turning", "version": version, "text": text}})

    def change(self, uri, version, *changes):
        self.notify("textDocument/didChange", {"textDocument": {"uri": uri, "version": version}, "contentChanges": list(changes)})

    def close(self, uri):
        self.notify("textDocument/didClose", {"textDocument": {"uri": uri}})

    def hover(self, uri, line, character):
        return self.request("textDocument/hover", {"textDocument": {"uri": uri}, "position": position(line, character)})

    def published(self, uri, version=None, patience=PATIENCE):
        """The next set of warnings for a document (of a version)."""
        message = self.wait_for(lambda m: m.get("method") == "textDocument/publishDiagnostics" and m["params"]["uri"] == uri
                                and (version is None or m["params"].get("version") == version), patience)
        return message["params"]["diagnostics"]

    def settle(self):
        """Everything sent so far is handled when the answer to a request comes that does nothing."""
        self.answer(self.ask("turnwright/nothing"))

    def shut_down(self):
        assert self.request("shutdown") is None
        self.notify("exit")


class Server(Connection):
    """The program on pipes. As a context it ends the process and fails on any message that was not right."""

    def __init__(self, *arguments):
        self.process = subprocess.Popen([*COMMAND, "serve", *arguments], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE)
        self.log = []
        self.logging = threading.Thread(target=self._read_log, daemon=True)
        self.logging.start()
        super().__init__(self.process.stdin, self.process.stdout)

    def _read_log(self):
        for line in self.process.stderr:
            self.log.append(line.decode(errors="replace").rstrip())

    def logged(self, words, patience=PATIENCE):
        """Waits until a line of the log holds the words."""
        end = time.monotonic() + patience
        while time.monotonic() < end:
            if any(words in line for line in self.log):
                return True
            time.sleep(0.01)
        raise AssertionError(f"{words!r} is not in the log: {self.log}")

    def end(self, patience=PATIENCE):
        """The exit status."""
        return self.process.wait(patience)

    def how_it_ended(self):
        try:
            return f", status {self.process.wait(2)}, log {self.log[-5:]}"
        except subprocess.TimeoutExpired:
            return f" but runs, log {self.log[-5:]}"

    def memory_kb(self):
        with open(f"/proc/{self.process.pid}/status", encoding="ascii") as file:
            return next(int(line.split()[1]) for line in file if line.startswith("VmRSS:"))

    def __enter__(self):
        return self

    def __exit__(self, kind, value, trace):
        for pipe in (self.process.stdin,):
            try:
                pipe.close()
            except OSError:
                pass
        try:
            status = self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self.process.kill()
            raise AssertionError(f"the server did not end with its input; log: {self.log[-5:]}") from None
        while self.receive() is not None:  # what came last is checked as well
            pass
        self.logging.join(PATIENCE)
        self.process.stdout.close()
        self.process.stderr.close()
        if kind is None:
            assert status in (0, 1), f"the server died with {status}; log: {self.log[-5:]}"
            assert not self.problems, self.problems


class TcpClient(Connection):
    def __init__(self, port):
        self.socket = socket.create_connection(("127.0.0.1", port), PATIENCE)
        self.socket.settimeout(None)
        super().__init__(self.socket.makefile("wb"), self.socket.makefile("rb"))

    def __enter__(self):
        return self

    def __exit__(self, kind, value, trace):
        try:
            self.socket.shutdown(socket.SHUT_WR)
        except OSError:
            pass
        while self.receive() is not None:
            pass
        self.socket.close()
        if kind is None:
            assert not self.problems, self.problems
