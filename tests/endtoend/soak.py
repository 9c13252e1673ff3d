"""See soak.sh."""
import glob
import os
import random
import shutil
import subprocess
import sys
import time
import traceback

from driver import AT_ONCE, Server, position, span
from test_abilities import FULL as EVERYTHING

# What Text below counts in.
FULL = {**EVERYTHING, "general": {"positionEncodings": ["utf-16"]}}
HERE = os.path.dirname(os.path.abspath(__file__))
URIS = [f"file:///shop/soak-{number}.nc" for number in range(12)]
PIECES = ["G01 Z-5.\n", "G96 S200 M03\n", "G50 S2500\n", "T0404\n", "N7 (NEW SEQUENCE)\n", "M30\n", "X52\n", "(", ")", "\n", "%\n",
          "G71 P101 Q102 U0.4 W0.1 F0.28\n", "N102 G01 Z-90.\n", "GOTO 5\n", "G41 X20. ,R2.\n", "O0009\n", "M98 P0009\n", "M99\n",
          "#100=#101+1.\n", "WHILE[#1LT5]DO1\n", "END1\n", "G91\n", "G98 F100\n", "(\u00c4 \u2300 \u6f22)\n", "1", ".", "-", "X", "\r\n"]
# Memory may move by this much about its level after the first tenth of the time.
ALLOWED_GROWTH_KB = 12_000


def programs():
    texts = []
    for name in sorted(glob.glob(os.path.join(HERE, "..", "corpus", "system_*", "*.nc"))):
        with open(name, encoding="utf-8", newline="") as file:
            texts.append("".join(line for line in file.read().splitlines(True) if "^" not in line))
    return texts


class Text:
    """The client's side of an open program. Only characters of one UTF-16 unit, so that Python counts as the protocol."""

    def __init__(self, uri, original):
        self.uri, self.original, self.version = uri, original, 1
        self.text = original

    def lines(self):
        """Line by line as the protocol counts them: ends are LF, CR LF and CR."""
        lines = [""]
        at = 0
        while at < len(self.text):
            char = self.text[at]
            if char == "\r" and self.text[at + 1:at + 2] == "\n":
                char, at = "\r\n", at + 1
            at += 1
            lines[-1] += char
            if char[-1] in "\r\n":
                lines.append("")
        return lines

    def offset(self, lines, line, character):
        return sum(len(l) for l in lines[:line]) + min(character, len(lines[line].rstrip("\r\n")))

    def random_place(self, rng, lines):
        line = rng.randrange(len(lines))
        return line, rng.randrange(len(lines[line].rstrip("\r\n")) + 1)


class Soak:
    def __init__(self, seconds, seed):
        self.rng = random.Random(seed)
        self.seconds = seconds
        self.programs = programs()
        self.open = {}
        self.last_published = {}
        self.counts = {"edits": 0, "requests": 0, "opens": 0, "comparisons": 0}
        self.memory = []
        self.last_edited = None

    def take_inbox(self, server):
        for message in server.inbox:
            if message.get("method") == "textDocument/publishDiagnostics":
                self.last_published[message["params"]["uri"]] = message["params"]
            elif "error" in message:
                code = message["error"]["code"]
                # Changed or cancelled meanwhile; nothing to rename here.
                assert code in (-32801, -32800, -32803, -32601), message
        server.inbox.clear()
        assert not server.problems, server.problems

    def open_one(self, server):
        uri = self.rng.choice([uri for uri in URIS if uri not in self.open])
        program = Text(uri, self.rng.choice(self.programs))
        self.open[uri] = program
        server.open(uri, program.text, 1)
        self.counts["opens"] += 1

    def close_one(self, server):
        uri = self.rng.choice(list(self.open))
        del self.open[uri]
        server.close(uri)

    def edit(self, server, program):
        rng = self.rng
        program.version += 1
        self.last_edited = program.uri
        self.counts["edits"] += 1
        if rng.random() < 0.01 or len(program.text) > 60_000:
            program.text = program.original
            server.change(program.uri, program.version, {"text": program.text})
            return
        changes = []
        for _ in range(rng.choice([1, 1, 1, 2, 3])):
            lines = program.lines()
            line, character = program.random_place(rng, lines)
            end_line, end = line, character
            if rng.random() < 0.4:
                end_line = min(len(lines) - 1, line + rng.choice([0, 0, 1, 3, 80]))
                end = rng.randrange(len(lines[end_line].rstrip("\r\n")) + 1)
                if (end_line, end) < (line, character):
                    end = character
            text = rng.choice(PIECES) if rng.random() < 0.8 else ""
            begin, stop = program.offset(lines, line, character), program.offset(lines, end_line, end)
            program.text = program.text[:begin] + text + program.text[stop:]
            changes.append({"range": span(line, character, end_line, end), "text": text})
        server.change(program.uri, program.version, *changes)

    def ask(self, server, program):
        rng = self.rng
        lines = program.lines()
        line, character = program.random_place(rng, lines)
        at = position(line, character)
        document = {"textDocument": {"uri": program.uri}}
        rest = {"start": at, "end": position(min(len(lines) - 1, line + 20), 0)}
        if rest["end"]["line"] <= line:
            rest["end"] = at
        options = {"options": {"tabSize": 4, "insertSpaces": True}}
        method, params = rng.choice([
            ("hover", {"position": at}), ("completion", {"position": at}), ("signatureHelp", {"position": at}),
            ("definition", {"position": at}), ("documentHighlight", {"position": at}), ("documentSymbol", {}),
            ("references", {"position": at, "context": {"includeDeclaration": True}}), ("foldingRange", {}),
            ("semanticTokens/full", {}), ("semanticTokens/range", {"range": rest}), ("codeLens", {}), ("inlayHint", {"range": rest}),
            ("codeAction", {"range": rest, "context": {"diagnostics": []}}), ("selectionRange", {"positions": [at]}),
            ("prepareRename", {"position": at}), ("rename", {"position": at, "newName": "77"}), ("formatting", options),
            ("linkedEditingRange", {"position": at}), ("prepareCallHierarchy", {"position": at}), ("documentLink", {})])
        identity = server.ask("textDocument/" + method, {**document, **params})
        if rng.random() < 0.1:
            server.notify("$/cancelRequest", {"id": identity})
        self.counts["requests"] += 1

    def compare(self, server):
        """What was told last about each open program is what a fresh server tells."""
        server.settle()
        self.take_inbox(server)
        with Server() as fresh:
            fresh.initialize(capabilities=FULL)
            for program in self.open.values():
                told = self.last_published.get(program.uri)
                # Warnings follow when nothing else waits, so the last may still be on their way.
                diagnostics = (told["diagnostics"] if told and told.get("version") == program.version
                               else server.published(program.uri, program.version))
                fresh.open(program.uri, program.text, program.version)
                expected = fresh.published(program.uri, program.version)
                if diagnostics != expected:
                    self.keep(program, diagnostics, expected)
                fresh.close(program.uri)
        self.counts["comparisons"] += 1

    def keep(self, program, told, expected):
        """Leaves the text behind, and says what differs."""
        with open("soak-failed.nc", "w", encoding="utf-8", newline="") as file:
            file.write(program.text)
        only = [d for d in told if d not in expected], [d for d in expected if d not in told]
        raise AssertionError(f"{program.uri}, text in soak-failed.nc: told, not fresh: {only[0]}; fresh, not told: {only[1]}")

    def leave_behind(self, server):
        """What a failure can be found by: the texts as they are, and what the server is doing."""
        for number, program in enumerate(self.open.values()):
            with open(f"soak-failed-{number}.nc", "w", encoding="utf-8", newline="") as file:
                file.write(program.text)
        if server.process.poll() is None and shutil.which("gdb"):
            subprocess.run(["gdb", "-p", str(server.process.pid), "-batch", "-ex", "thread apply all backtrace 40"], check=False)
        print(f"failed at {self.counts}; the last edit was of {self.last_edited}; open: {list(self.open)}", flush=True)

    def run(self):
        with Server() as server:
            try:
                self.work_with(server)
            except BaseException:
                traceback.print_exc()
                self.leave_behind(server)
                raise

    def work_with(self, server):
        begin = time.monotonic()
        next_look = 0
        server.initialize(capabilities=FULL, initializationOptions=AT_ONCE)
        while (now := time.monotonic() - begin) < self.seconds:
            if len(self.open) < 3 or (len(self.open) < 8 and self.rng.random() < 0.05):
                self.open_one(server)
            elif self.rng.random() < 0.01:
                self.close_one(server)
            program = self.rng.choice(list(self.open.values()))
            for _ in range(self.rng.choice([1, 1, 2, 10])):
                self.edit(server, program)
            for _ in range(self.rng.randrange(3)):
                self.ask(server, program)
            server.settle()
            self.take_inbox(server)
            if now >= next_look:
                next_look = now + self.seconds / 40
                self.compare(server)
                self.memory.append(server.memory_kb())
                print(f"{now:6.0f} s  {self.memory[-1]:7d} kB  {len(self.open)} open  {self.counts}", flush=True)
        self.compare(server)
        self.memory.append(server.memory_kb())
        server.shut_down()
        assert server.end() == 0
        warm = self.memory[max(1, len(self.memory) // 10):]
        half = len(warm) // 2
        first, last = max(warm[:half] or warm), max(warm[half:])
        print(f"{self.seconds} s: {self.counts}; memory at most {first} kB in the first half, {last} kB in the second")
        assert last - first < ALLOWED_GROWTH_KB, "memory grows"


if __name__ == "__main__":
    Soak(int(sys.argv[1]), int(sys.argv[2])).run()
