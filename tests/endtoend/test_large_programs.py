"""Programs that hold as many lines as they can, or call for as much work as they can: bounds of time and memory."""
import contextlib
import os
import re
import resource
import subprocess
import tempfile
import time
import unittest

from driver import AT_ONCE, COMMAND, WINDOWS, Server, is_sanitized, position, span, uri_of
from test_abilities import FULL
from test_bounds import MANY_PROGRAMS, MOST_KB
from yardstick import BYTES, PATIENCE, PLAIN, THOROUGH, cpu_seconds, open_program, plain_seconds, rest, seconds_of, seconds_until_end, settle

URI = "file:///shop/large.nc"
HEAD = "G21 G99 G97 S500 M03\nT0101 F0.1\nG00 X100. Z2.\n"
ROUGHING = "G71 U0.5 R0.1\nG71 P10 Q20 U0.4 W0.1 F0.1\n"
LONG_CONTOUR = "N10 G00 X10.\n" + "".join(f"G01 X{10 + n * 0.4:.1f} Z-{n * 0.5:.1f}\n" for n in range(1, 200)) + "N20 X100.\nM30\n"

MUCH_WORK = {
    "roughing again and again along a short contour": HEAD + ROUGHING * 2000 + "N10 G00 X10.\nG01 Z-50.\nX20.\nZ-80.\nN20 X100.\nM30\n",
    "roughing again and again along a long contour": HEAD + ROUGHING * 2000 + LONG_CONTOUR,
    "a pattern repeated along thousands of blocks": HEAD + "G73 U10. W5. R9999\nG73 P10 Q20 U0.4 W0.1 F0.1\nN10 G00 X10.\n" +
                                                    "".join(f"G01 X{10 + n / 100:.2f} Z-{n / 50:.2f}\n" for n in range(1, 4000)) +
                                                    "N20 X100.\nM30\n",
    "a variable a line": HEAD + "".join(f"#{n}={n}.\n" for n in range(100, 40_100)) + "M30\n",
    "calls that repeat": HEAD + "M98 P2 L9999\n" * 40_000 + "M30\nO2\nU-0.001\nM99\n",
    "a cycle and its contour again and again": HEAD + "G73 U9. W9. R999\nG73 P1 Q2 U1. W1. F1.\nN1 X1.\nN2 Z1.\n" * 7_000 + "M30\n",
    "notes that silence": HEAD + "(TURNWRIGHT: ACCEPT X)\n" * 100_000 + "M30\n",
    "calls of what is not there": HEAD + "M98 P2 L9999\n" * 40_000 + "M30\n",
}
MANY_LINES = {
    "line ends": "\n",
    "blanks": " \n",
    "ends of blocks": ";\n",
    "notes": "()\n",
    "one code a line": "G0\n",
    "one letter a line": "X\n",
}
LONG_LINES = {"codes": "G0", "letters": "G1X", "notes": "()", "words": "X1 ", "values": "X#1", "brackets": "[", "stray characters": "?"}
if not THOROUGH:  # Those that cost most, or have cost most
    MANY_LINES = {name: MANY_LINES[name] for name in ("line ends", "notes", "one letter a line")}
    LONG_LINES = {name: LONG_LINES[name] for name in ("codes", "words", "brackets", "stray characters")}
# No text of more lines is read whose lines hold next to nothing.
MOST_LINES = 800_000
# Longer texts of such lines are no programs, and would cost more than any.
NO_PROGRAMS = [
    ("are program numbers", "O{} M30\n"),
    ("jump, loop or call", "N{} IF[#1GT1]GOTO{}\n"),
    ("jump, loop or call", "WHILE[#1LT5]DO1\nEND1\nX9.\nX8.\n"),
    ("call a contour", "G71 U2. R1.\nG71 P10 Q20 U0.{} W0.1 F0.2\n"),
    ("call a contour", "G71P10Q20U.4W.1\nX{}.\nX2.\n"),
    ("call a tool", "N{} T0101 M08\n"),
    ("call a tool", "T0101\nG0X{}.\nG1Z-1.F.1\n"),
    ("are tape marks", "%       \n"),
    ("set a variable", "#{}=#101*2+1\n"),
    # Fewer in a hundred, but more than any program has
    ("are program numbers", "O{}\nG00 X1. Z2.\nG01 X5. Z-5. F.2\nX6. Z-7.\nM30\n"),
    ("jump, loop or call", "WHILE[#1LT5]DO1\nG01X1.Z-5.F.1\nX2.\nEND1\nZ-8.\nX{}.\n"),
    ("jump, loop or call", "M98 P2 L99\nG00 X{}. Z4.\nG01 X3. Z-4.\n"),
    ("call a tool", "N{} T0101\nG00 X50. Z2.\nG01 Z-5. F.2\nG00 X100. Z100.\nM01\n"),
    ("are cycles of pecks, grooves or threads", "G74R1.\nG74Z-50.Q1000F.1\nX{}.\n"),
    ("hold what no block does", "#{}=[#2+ G X\n"),
    ("hold what no block does", "IF[#1GT]GOTO\nX{}.\nX2.\n"),
]
# A call, a jump and a loop in a program for a family of parts; short programs of a machine; moves and nothing else.
RIGHT_LINES = {
    "family of parts": "(PART {0})\n#100=3{0}.\n#101=[#100-2.]/2.\nWHILE[#1LT#101]DO1\n#1=#1+1.\nG00 X#1\nG01 Z-5. F0.2\nG00 Z2.\n"
                       "END1\nIF[#1GT3.]GOTO{0}\nM98 P2\nN{0} M01\n",
    "programs": "O{}\nG21 T0101\nG00 X4. Z1.\nG01 Z-5. F.2\nG28 U0 W0\nM30\n",
    "moves": "X{0}.5 Z-{0}.\n",
}
# Of each line something is told, or nothing of it can be known.
WARNED_OF = {
    "a division by nothing": "#1=1/0\nX10.Z-10.\n",
    "another variable divided by nothing": "#{}=1/0\nX10.Z-10.\n",
    "a word twice": "G1X1.X2.F.1F.2\n",
    "a corner that does not fit": "G1X10.,C5.\nG1Z-1.,R9.\n",
    "a code that no control has": "G123X1.\n",
    "half a thread cycle": "G76P1Q1R1\nX1.\n",
    "a radius too small": "G2X10.Z-50.R.1\n",
    "a feed ten times too high": "G1X10.Z-5.F12.\n",
}
NOT_JUDGED = 800_000  # bytes of a text that is short enough to be read whatever its lines are
# In times of what a right program of five megabytes costs. Before these bounds a pattern repeated along thousands of
# blocks cost more than ten, a line of codes without end more than forty, a letter a line more than twenty.
MOST_WORK = 4
MOST_FOR_LINES = 20
MOST_FOR_WARNINGS = 5
MOST_FOR_REPORT = 5


def peak_kb(server):
    with open(f"/proc/{server.process.pid}/status", encoding="ascii") as file:
        return next(int(line.split()[1]) for line in file if line.startswith("VmHWM:"))


@unittest.skipIf(is_sanitized() or WINDOWS, "memory is kept to find faults, or measured otherwise")
class LargePrograms(unittest.TestCase):
    def check(self, path, status=(0, 1)):
        """Seconds of work and the most memory that `check` takes."""
        with subprocess.Popen([*COMMAND, "check", path], stdout=subprocess.DEVNULL) as process:
            _, ended, used = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(ended)
        self.assertIn(process.returncode, status)
        return used.ru_utime + used.ru_stime, used.ru_maxrss

    def open(self, server, text):
        server.initialize(capabilities=FULL, initializationOptions=AT_ONCE)
        open_program(server, URI, text)

    def check_text(self, text, status=(0, 1)):
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "many.nc")
            with open(path, "w", encoding="ascii", newline="") as file:
                file.write(text)
            return self.check(path, status)

    def test_much_work(self):
        for name, text in MUCH_WORK.items():
            with self.subTest(program=name), Server() as server:
                self.assertLess(seconds_of(server, lambda t=text: self.open(server, t)), MOST_WORK * plain_seconds())

                def type_a_key():
                    server.change(URI, 2, {"range": span(4, 0, 4, 0), "text": "G04 X1.\n"})
                    server.published(URI, 2, PATIENCE)

                self.assertLess(seconds_of(server, type_a_key), MOST_WORK * plain_seconds())
                self.assertLess(peak_kb(server), MOST_KB)

    def test_many_lines(self):
        plain = self.check_text(PLAIN)[0]
        for name, line in MANY_LINES.items():
            with self.subTest(program=name):
                seconds, memory = self.check_text(line * MOST_LINES, (0, 1, 2))  # 2: no program at all
                self.assertLess(memory, MOST_KB)
                self.assertLess(seconds, MOST_FOR_LINES * plain)
                with Server() as server:
                    self.open(server, line * MOST_LINES)
                    server.change(URI, 2, {"range": span(2, 0, 2, 0), "text": "G04 X1.\n"})
                    server.published(URI, 2, PATIENCE)
                    self.assertLess(peak_kb(server), MOST_KB)

    def test_more_lines_than_a_program_has(self):
        plain = self.check_text(PLAIN)[0]
        for name, line in MANY_LINES.items():
            with self.subTest(program=name):
                text = line * (BYTES // len(line))
                seconds, memory = self.check_text(text, (2,))
                self.assertLess(seconds, plain)
                self.assertLess(memory, MOST_KB)
                with Server() as server:
                    server.initialize(capabilities=FULL, initializationOptions=AT_ONCE)
                    self.assertLess(seconds_of(server, lambda t=text, s=server: s.open(URI, t)), plain)
                    self.assertIn("hold fewer than 8 characters", server.published(URI, 1, PATIENCE)[0]["message"])
                    server.change(URI, 2, {"range": span(2, 0, 2, 0), "text": "G04 X1.\n"})
                    self.assertIn("not a part program", server.published(URI, 2, PATIENCE)[0]["message"])
                    server.change(URI, 3, {"text": "O1\nG21 G01 X1. F.1\nM30\n"})
                    self.assertNotIn("not a part program", str(server.published(URI, 3, PATIENCE)))

    def test_a_text_that_grows_is_judged_again(self):
        """In lots, since a whole one is judged when it is opened; taken out again, the program is checked."""
        lot = "N1 IF[#1GT1]GOTO1\n" * 20_000
        begin = "O1\nG21 G99 G97 S500 M03\nT0101\nG01 X1O. F.2\nM30\n"
        with Server() as server:
            server.initialize(capabilities=FULL, initializationOptions=AT_ONCE)
            server.open(URI, begin)
            first = server.published(URI, 1, PATIENCE)
            self.assertTrue(first)
            version = 1
            for version in range(2, 5):
                server.change(URI, version, {"range": span(2, 0, 2, 0), "text": lot})
                told = server.published(URI, version, PATIENCE)
            self.assertIn("not a part program", told[0]["message"])
            server.change(URI, version + 1, {"range": span(2, 0, 2 + 2 * 20_000, 0), "text": ""})
            self.assertNotIn("not a part program", str(server.published(URI, version + 1, PATIENCE)))
            server.change(URI, version + 2, {"range": span(2, 0, 2 + 20_000, 0), "text": ""})
            self.assertEqual(server.published(URI, version + 2, PATIENCE), first)

    def test_many_lines_of_a_program(self):
        done = subprocess.run([*COMMAND, "check", "-"], input="G1X10.Z-1.\n" * 810_000, capture_output=True, text=True, check=False)
        self.assertIn(done.returncode, (0, 1))
        self.assertNotIn("not a part program", done.stdout)

    def test_long_lines(self):
        plain = self.check_text(PLAIN)[0]
        for name, line in LONG_LINES.items():
            for length in (500, 8_000, 64_000, BYTES) if THOROUGH else (500, BYTES):
                with self.subTest(program=name, length=length):
                    text = (line * (length // len(line)) + "\n") * (BYTES // length)
                    seconds, memory = self.check_text(text, (0, 1, 2))
                    self.assertLess(seconds, MOST_FOR_LINES * plain)
                    self.assertLess(memory, MOST_KB)
                with self.subTest(program=name, length=length, read=True):
                    length = min(length, NOT_JUDGED - 1)
                    text = (line * (length // len(line)) + "\n") * max(1, (NOT_JUDGED - 1) // (length + 1))
                    seconds, memory = self.check_text(text)
                    self.assertLess(seconds, MOST_FOR_LINES * plain * NOT_JUDGED / BYTES)
                    self.assertLess(memory, MOST_KB)

    def test_texts_that_are_no_programs_are_not_followed(self):
        plain = self.check_text(PLAIN)[0]
        for why, line in NO_PROGRAMS:
            with self.subTest(lines=line):
                text = "".join(line.replace("{}", str(n)) for n in range(BYTES // len(line)))
                seconds, memory = self.check_text(text, (2,))
                self.assertLess(seconds, plain)
                self.assertLess(memory, MOST_KB)
                done = subprocess.run([*COMMAND, "check", "-"], input=text, capture_output=True, text=True, check=False)
                self.assertRegex(done.stdout, f"not a part program: [0-9]+ of its [0-9]+ lines {why}")
                with Server() as server:
                    server.initialize(capabilities=FULL, initializationOptions=AT_ONCE)
                    server.open(URI, text)
                    self.assertIn(why, server.published(URI, 1, PATIENCE)[0]["message"])
        for name, line in RIGHT_LINES.items():
            with self.subTest(lines=name):
                text = "".join(line.format(n % 90 + 10) for n in range(NOT_JUDGED // len(line) * 2))
                self.assertGreater(len(text), NOT_JUDGED)
                done = subprocess.run([*COMMAND, "check", "-"], input=text, capture_output=True, text=True, check=False)
                self.assertNotIn("not a part program", done.stdout)

    def test_lines_that_each_draw_a_warning(self):
        plain = self.check_text(PLAIN)[0]
        for name, line in WARNED_OF.items():
            with self.subTest(lines=name):
                text = "".join(line.replace("{}", str(n)) for n in range(BYTES // len(line)))
                seconds, memory = self.check_text(HEAD + text + "N10G0X10.\nG1Z-50.\nN20X100.\nM30\n")
                self.assertLess(seconds, MOST_FOR_WARNINGS * plain)
                self.assertLess(memory, MOST_KB)

    def test_reports_end_soon_when_they_are_cancelled(self):
        text = HEAD + ROUGHING * 200 + LONG_CONTOUR
        for name, *arguments in (["sheet"], ["picture"], ["explainRestart", "4"]):
            with self.subTest(report=name), Server() as server:
                server.answers_to_server["window/showDocument"] = lambda params: {"success": True}
                self.open(server, text)

                def ask(command="turnwright." + name, given=tuple(arguments), to=server):
                    return to.ask("workspace/executeCommand", {"command": command, "arguments": [URI, *given]})

                def answer(report, of=server):
                    return of.wait_for(lambda m: "method" not in m and m.get("id") == report, PATIENCE)

                begin = cpu_seconds(server)
                answer(ask())
                whole = cpu_seconds(server) - begin
                begin = cpu_seconds(server)
                report = ask()
                while cpu_seconds(server) - begin < whole / 4:
                    time.sleep(0.005)
                server.notify("$/cancelRequest", {"id": report})
                self.assertEqual(answer(report).get("error", {}).get("code"), -32800)
                self.assertLess(cpu_seconds(server) - begin, whole * 0.6 + 0.02)  # two ticks of its clock

    def test_many_programs_that_come_back_to_a_label(self):
        def programs(count):
            return "".join(f"O{n}\nM99P{n}\n" for n in range(count))

        # Sixteen times when square.
        self.assertLess(self.check_text(programs(20_000))[0], 8 * self.check_text(programs(5_000))[0])

    def test_what_is_cut_short_is_said(self):
        def told(text, *options):
            done = subprocess.run([*COMMAND, "check", *options, "-"], input=text, capture_output=True, text=True, check=False)
            return done.stdout

        text = told("G21\n" + "G01 X1." * 1000 + "\nM30\n")
        self.assertIn(":2:897: error: More than 256 words and notes in one block: what follows is not read here", text)
        self.assertNotIn("unreadable_text", told("G21\n" + "G01 X1." * 128 + "\nM30\n"))
        text = told("G21\n" + "X\n" * 30_000 + "M30\n", "--all", "--only", "letter_without_value")
        self.assertEqual(text.count("[letter_without_value]"), 10_000)
        self.assertIn(" 20000 more of this kind follow in this file, too many to be listed.", text)
        self.assertIn("30000 errors", text)

    def test_a_text_of_warnings_is_checked_as_far_as_it_is_said(self):
        """Mended, all of it is checked again; what is told is that of a fresh server each time."""
        lines, cut = 120_000, 100_000

        def begin(server):
            server.initialize(capabilities=FULL, initializationOptions=AT_ONCE)

        def told_of(count):
            with Server() as fresh:
                begin(fresh)
                return told(fresh, 1, lambda: fresh.open(URI, "G21\n" + "X\n" * count + "G01 X1O.\nM30\n"))

        def told(server, version, act):
            act()
            rest(server)
            return server.published(URI, version, PATIENCE)

        done = subprocess.run([*COMMAND, "check", "-"], input="G21\n" + "X\n" * lines + "M30\n", capture_output=True, text=True, check=False)
        end = re.search(r":(\d+):1: error: More than 50000 warnings up to here: what follows is not checked", done.stdout)
        self.assertIsNotNone(end, done.stdout[-2000:])
        self.assertLess(int(end[1]), lines)
        with Server() as server:
            begin(server)
            server.open(URI, "G21\n" + "X\n" * lines + "G01 X1O.\nM30\n")
            rest(server)
            less = told(server, 2, lambda: server.change(URI, 2, {"range": span(1, 0, 1 + cut, 0), "text": ""}))
            self.assertEqual(less, told_of(lines - cut))
            more = told(server, 3, lambda: server.change(URI, 3, {"range": span(1, 0, 1, 0), "text": "X\n" * cut}))
            self.assertEqual(more, told_of(lines))
            self.assertNotEqual(less, more)

    def test_reports_of_cycles_without_end(self):
        """Cycles that call for millions of moves: what is left out is said."""
        plain = self.check_text(PLAIN)[0]
        cycles = {"a pattern repeated": "G73 U10. W5. R999\nG73 P10 Q20 U0.4 W0.1 F0.1\n" * 50,
                  "roughing": ROUGHING * 200, "roughing in fine passes": "G71 U0.01 R0.1\nG71 P10 Q20 U0.4 W0.1 F0.1\n" * 400}
        commands = (["check"], ["sheet"], ["picture"], ["tell"], ["lot", "--parts", "10"])
        for name, calls in cycles.items():
            for command in commands if THOROUGH or name == "a pattern repeated" else commands[1:3]:
                with self.subTest(cycles=name, report=command[0]), tempfile.TemporaryDirectory() as folder:
                    path = os.path.join(folder, "cycles.nc")
                    with open(path, "w", encoding="ascii") as file:
                        file.write(HEAD + calls + LONG_CONTOUR)
                    begin = resource.getrusage(resource.RUSAGE_CHILDREN)
                    done = subprocess.run([*COMMAND, command[0], path, *command[1:]], capture_output=True, text=True, check=False)
                    end = resource.getrusage(resource.RUSAGE_CHILDREN)
                    self.assertIn(done.returncode, (0, 1), done.stderr)
                    self.assertLess(end.ru_utime + end.ru_stime - begin.ru_utime - begin.ru_stime, MOST_FOR_REPORT * plain)
                    if name == "a pattern repeated" and command[0] == "check":
                        self.assertIn("more passes than are followed in one program", done.stdout)

    def test_line_ends_take_time_by_their_number(self):
        shorter = self.check_text("\n" * (MOST_LINES // 4))[0]
        seconds, memory = self.check_text("\n" * MOST_LINES)
        self.assertLess(seconds, 8 * shorter)  # sixteen times when square
        self.assertLess(memory, MOST_KB)

    def test_line_ends_that_lie_in_the_folder(self):
        with tempfile.TemporaryDirectory() as folder, Server() as server:
            for size in (3, 5, 8, 20):
                with open(os.path.join(folder, f"{size}.nc"), "w", encoding="ascii", newline="") as file:
                    file.write("\n" * size * 1_000_000)
            server.initialize(capabilities=FULL, workspaceFolders=[{"uri": uri_of(folder), "name": "jobs"}])
            uri = uri_of(os.path.join(folder, "main.nc"))
            server.open(uri, "M98 P7\nM30\n")
            server.published(uri, 1, PATIENCE)
            self.assertLess(seconds_of(server, lambda: server.request("textDocument/documentLink", {"textDocument": {"uri": uri}})),
                            MOST_WORK * plain_seconds())
            self.assertLess(peak_kb(server), MOST_KB)

    def test_many_programs_in_one_file(self):
        def seconds_of_reports(text):
            with Server() as server:
                server.answers_to_server["window/showDocument"] = lambda params: {"success": True}
                self.open(server, text)

                def make(report):
                    asked = server.ask("workspace/executeCommand", {"command": "turnwright." + report, "arguments": [URI]})
                    server.wait_for(lambda m: "method" not in m and m.get("id") == asked, PATIENCE)

                seconds = {report: seconds_of(server, lambda r=report: make(r)) for report in ("sheet", "picture")}
                self.assertLess(peak_kb(server), MOST_KB)
                return seconds

        few = 5_000
        many = 50_000 if THOROUGH else 20_000
        text_of_few, text_of_many = (MANY_PROGRAMS[:MANY_PROGRAMS.find(f"O{number + 1}\n")] for number in (few, many))
        of_few = seconds_of_reports(text_of_few)
        for report, seconds in seconds_of_reports(text_of_many).items():
            with self.subTest(report=report):
                self.assertLess(seconds, 2 * many / few * of_few[report])  # 100 or 16 times when square

    def test_calls_of_many_programs_are_found_at_once(self):
        last, last_there, again = 9000, 4500, 20_000
        text = "O1\n" + "".join(f"M98 P{n}\n" for n in range(2, last + 1)) + "M98 P9\n" * again + "M30\n"
        with tempfile.TemporaryDirectory() as folder, Server() as server:
            with open(os.path.join(folder, "library.nc"), "w", encoding="ascii") as file:
                file.write("".join(f"O{n}\nM98 P1\nM99\n" for n in range(2, last_there + 1)))
            server.initialize(capabilities=FULL, workspaceFolders=[{"uri": uri_of(folder), "name": "jobs"}])
            uri = uri_of(os.path.join(folder, "main.nc"))
            server.open(uri, text)
            server.published(uri, 1, PATIENCE)
            document = {"textDocument": {"uri": uri}}

            def ask(method, params):
                reply = server.wait_for(lambda m, i=server.ask(method, params): "method" not in m and m.get("id") == i, PATIENCE)
                return reply["result"]

            answers = {}
            item = ask("textDocument/prepareCallHierarchy", {**document, "position": position(0, 1)})[0]
            for method, params in [("textDocument/documentLink", document), ("callHierarchy/outgoingCalls", {"item": item}),
                                   ("callHierarchy/incomingCalls", {"item": item})]:
                with self.subTest(method=method):
                    self.assertLess(seconds_of(server, lambda m=method, p=params: answers.update({m: ask(m, p)})), plain_seconds())
            self.assertEqual(len(answers["textDocument/documentLink"]), last_there - 1 + again)
            self.assertEqual(len(answers["callHierarchy/outgoingCalls"]), last_there - 1)
            self.assertEqual(len(answers["callHierarchy/incomingCalls"]), last_there - 1)


class TangledDocuments(unittest.TestCase):
    @contextlib.contextmanager
    def one_changed_of_many(self):
        count = 2000
        with tempfile.TemporaryDirectory() as folder, Server() as server:
            uris = [uri_of(os.path.join(folder, f"O{n}.nc")) for n in range(1, count + 1)]
            server.initialize(capabilities=FULL, initializationOptions=AT_ONCE, workspaceFolders=[{"uri": uri_of(folder), "name": "net"}])
            for n, uri in enumerate(uris, 1):
                server.open(uri, f"O{n}\nG21\n" + "".join(f"M98 P{(n * k * 7 + k) % count + 1}\n" for k in range(1, 6)) + "M99\n")
            server.change(uris[-1], 2, {"range": span(1, 3, 1, 3), "text": " G99"})
            server.published(uris[-1], 2, PATIENCE)
            yield server

    def test_the_end_does_not_wait_for_all_warnings(self):
        with self.one_changed_of_many() as server:
            rest(server)
            all_of_them = cpu_seconds(server)
        with self.one_changed_of_many() as server:
            server.process.stdin.close()
            self.assertLess(seconds_until_end(server), all_of_them / 3)
            self.assertEqual(server.end(), 1)


if __name__ == "__main__":
    unittest.main()
