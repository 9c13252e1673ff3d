"""The commands for people, on the real program: output forms, exit statuses, bad files."""

import base64
import hashlib
import json
import os
import stat
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import jsonschema

ROOT = Path(__file__).resolve().parents[2]
TURNWRIGHT = os.environ["TURNWRIGHT"]
SHAFT = ROOT / "docs" / "examples" / "pump-shaft.nc"
FAULTY = ROOT / "docs" / "examples" / "pump-shaft-faulty.nc"
BUSHING = ROOT / "docs" / "examples" / "wear-bushing.nc"
# G98 beside a thread and a code of a kind that the table does not hold: sure to give a warning
WARNS = "O1\nN1 (TURN)\nT0101\nG97 S800 M03\nG00 X40. Z2.\nG01 Z-20.\nM30\n"


def run(*words, text=None, within=None):
    done = subprocess.run([TURNWRIGHT, *map(str, words)], input=text, capture_output=True,
                          text=not isinstance(text, bytes), timeout=120, cwd=within)
    return done.returncode, done.stdout, done.stderr


class Commands(unittest.TestCase):
    def setUp(self):
        self._folder = tempfile.TemporaryDirectory()
        self.addCleanup(self._folder.cleanup)
        self.here = Path(self._folder.name)

    def write(self, name, content):
        path = self.here / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path


class Holders(Commands):
    """A holder as a drawing, and one that the shop file gives no outline of."""
    PROGRAM = ("O1\n(STOCK D50. L140. FACE 1. JAW Z-100. D160.)\nG21 G99 G97\nN1 T0101\nS800 M03\nG00 X52. Z2.\nG00 X44.\n"
               "G01 Z-60. F0.2\nG00 X52.\nG00 X200. Z100.\nM30\n")
    TOOL = 'units = "mm"\n[[tool]]\nstation = 1\nkind = "turning"\nnose_radius = 0.8\nhand = "right"\n'
    # Toward the chuck 45 mm behind the point, from 6 mm outside of it on: with the point at Z-60 its end is at Z-105, and
    # jaws stand up to X radius 80 in front of Z-100, from the part's 25 on.
    LONG = ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="-60 -120 120 120"><path d="M 3 -6 L 3 -100 L -45 -100 L -45 -6 Z"/>'
            "</svg>")

    def hits(self, program):
        told = json.loads(run("check", "--format", "json", program)[1])["files"][0]["warnings"]
        return [(one["line"], one["message"]) for one in told if one["id"] == "holder_hits"]

    def closest(self, program):
        sheet = self.here / "s.md"
        self.assertEqual(run("sheet", program, "-o", sheet)[0], 0)
        return [line for line in sheet.read_text().splitlines() if "holder" in line]

    def test_an_outline_file_is_what_hits(self):
        program = self.write("a.nc", self.PROGRAM)
        self.write("holders/long.svg", self.LONG)
        self.write("turnwright.toml", self.TOOL + 'outline_file = "holders/long.svg"\n')
        (line, message), = self.hits(program)
        self.assertEqual(line, 8)
        self.assertIn("jaws", message)
        # 30 mm toward the chuck its end stops 10 mm short: no hit, and the sheet tells the gap.
        self.write("holders/long.svg", self.LONG.replace("-45", "-30"))
        self.assertEqual(self.hits(program), [])
        self.assertIn("T01's holder gets within 10 mm of the jaws at line 8.", " ".join(self.closest(program)))

    def test_without_an_outline_the_sheet_says_about(self):
        program = self.write("a.nc", self.PROGRAM)
        self.write("turnwright.toml", self.TOOL)
        self.assertEqual(self.hits(program), [])
        told = " ".join(self.closest(program))
        self.assertRegex(told, r"T01's holder gets within about [0-9.]+ mm of the jaws at line 8, as a plain one of its kind")
        # With the point inside the jaws a plain holder would be in them, too.
        self.write("a.nc", self.PROGRAM.replace("Z-60.", "Z-106."))
        self.assertEqual(self.hits(program), [])
        self.assertIn("a plain holder of its kind would meet the jaws at line 8", " ".join(self.closest(program)))


class SameHits(Commands):
    def test_picture_sheet_and_check_tell_the_same(self):
        """Line and words of each warning, in the same order, with the numbers that picture and sheet give it."""
        program = ROOT / "docs" / "examples" / "hub-hits.nc"
        checked = json.loads(run("check", "--format", "json", program)[1])["files"][0]["warnings"]
        told = [(one["line"], one["message"]) for one in checked]
        self.assertGreater(len(told), 4)
        page, sheet = self.here / "p.html", self.here / "s.md"
        for command, file in (("picture", page), ("sheet", sheet)):
            self.assertEqual(run(command, program, "-o", file)[0], 0)
        data = page.read_text().split('id="data"', 1)[1].split(">", 1)[1].split("</script>", 1)[0]
        hits = json.loads(data)["hits"]
        self.assertEqual([(hit["line"] + 1, hit["text"]) for hit in hits], told)
        self.assertEqual([hit["number"] for hit in hits], list(range(1, len(told) + 1)))
        plain = sheet.read_text().replace("\\", "")
        for line, message in told:
            self.assertIn(f"- line {line}, ", plain)
            self.assertIn(message, plain)


class Learn(Commands):
    def test_writes_once_and_never_over(self):
        self.write("jobs/one.nc", WARNS)
        self.write("jobs/below/two.nc", WARNS)
        shop = self.here / "jobs" / "turnwright.toml"
        status, out, told = run("learn", self.here / "jobs")
        self.assertEqual((status, out), (0, ""))
        self.assertIn("learnt from 2 programs", told)
        first = shop.read_text()
        self.assertIn("2 of 2 programs", first)
        self.assertEqual(run("check", shop)[0], 0)
        status, out, _ = run("learn", self.here / "jobs")
        self.assertEqual(status, 0)
        self.assertIn("says all of it already", out)
        shop.write_text('[[machine]]\nsystem = "B"\n')
        status, out, _ = run("learn", self.here / "jobs")
        self.assertEqual(status, 1)
        self.assertIn('- system = "B"', out)
        self.assertIn("+ units", out)
        self.assertEqual(shop.read_text(), '[[machine]]\nsystem = "B"\n')
        # It holds for a folder below as well, and one there would hide it.
        status, out, _ = run("learn", self.here / "jobs" / "below")
        self.assertEqual(status, 1)
        self.assertFalse((self.here / "jobs" / "below" / "turnwright.toml").exists())
        status, out, _ = run("learn", self.here / "jobs", "--out", "-")
        self.assertEqual((status, out), (0, first))
        other = self.here / "new.toml"
        self.assertEqual(run("learn", self.here / "jobs", "--out", other)[0], 0)
        self.assertEqual(other.read_text(), first)
        self.assertEqual(run("learn", self.here / "jobs", "--out", other)[0], 0)

    def test_a_folder_with_nothing_to_learn_from(self):
        self.assertEqual(run("learn", self.here)[0], 2)
        self.assertEqual(run("learn", self.here / "missing")[0], 2)
        self.assertEqual(run("learn", self.write("one.nc", WARNS))[0], 2)
        self.assertFalse((self.here / "turnwright.toml").exists())


class Check(Commands):
    def test_exit_status_by_what_is_found(self):
        clean = self.write("clean.nc", "(NOTHING TO SAY)\n")
        self.assertEqual(run("check", clean)[0], run("check", clean, "--format", "json")[0])
        self.assertEqual(run("check", self.write("warns.nc", WARNS))[0], 1)
        self.assertEqual(run("check", self.here / "missing.nc")[0], 2)
        self.assertEqual(run("check", clean, self.here / "missing.nc")[0], 2)
        self.assertEqual(run("check")[0], 2)
        self.assertEqual(run("check", clean, "--format", "html")[0], 2)

    def test_bad_files_are_told_plainly(self):
        missing = self.here / "missing.nc"
        self.assertIn("no such file", run("check", missing)[1])
        self.assertIn("empty", run("check", self.write("empty.nc", ""))[1])
        self.assertIn("not a text file", run("check", self.write("binary.nc", bytes(range(256)) * 64))[1])
        for encoding in ("utf-16", "utf-16-be"):
            text = WARNS.encode(encoding)
            if encoding == "utf-16-be":
                text = b"\xfe\xff" + text
            self.assertIn("UTF-16", run("check", self.write("wide.nc", text))[1])
        self.assertIn("NUL", run("check", self.write("nul.nc", bytes(4096)))[1])
        large = self.here / "large.nc"
        with open(large, "wb") as file:
            file.truncate(200 << 20)
        status, out, _ = run("check", large)
        self.assertEqual(status, 2)
        self.assertIn("too large: 200 MB", out)
        (self.here / "folder").mkdir()
        self.assertIn("a folder with no part program in it", run("check", self.here / "folder")[1])

    @unittest.skipIf(os.geteuid() == 0, "root may read everything")
    def test_a_file_that_may_not_be_read(self):
        path = self.write("locked.nc", WARNS)
        path.chmod(0)
        self.assertIn("cannot be read", run("check", path)[1])

    def test_every_command_tells_a_bad_file_on_standard_error(self):
        binary = self.write("binary.nc", bytes(range(256)) * 64)
        for command in ("picture", "sheet", "format"):
            for path, reason in ((self.here / "missing.nc", "no such file"), (binary, "not a text file"),
                                 (self.here, "a folder")):
                status, out, problem = run(command, path)
                self.assertEqual((status, out), (2, ""), command)
                self.assertIn(reason, problem)
        self.assertEqual(run("compare", SHAFT, self.here / "missing.nc")[0], 2)

    def test_standard_input(self):
        status, out, _ = run("check", "-", "--name", "panel.nc", text=WARNS)
        self.assertEqual(status, 1)
        self.assertIn("panel.nc:", out)
        self.assertEqual(run("check", "-", text="")[0], 2)

    def test_standard_input_has_a_bound(self):
        endless = subprocess.Popen(["yes", "G01 X10. Z-5. F0.2"], stdout=subprocess.PIPE)
        self.addCleanup(endless.stdout.close)
        self.addCleanup(endless.wait)
        self.addCleanup(endless.kill)
        done = subprocess.run([TURNWRIGHT, "check", "-"], stdin=endless.stdout, capture_output=True, text=True, timeout=60)
        self.assertEqual(done.returncode, 2)
        self.assertIn("too large: at most 128 MB", done.stdout)

    def test_what_could_not_be_written_is_no_success(self):
        clean = self.write("clean.nc", "O1\nN1 (TURN)\nM30\n")
        for words in (["check", clean, "--only", "feed_missing"], ["check", clean, "--format", "json"], ["explain", "G96"], ["sheet", SHAFT],
                      ["compare", SHAFT, SHAFT], ["--version"], ["--help"]):
            with open("/dev/full", "w") as full:
                done = subprocess.run([TURNWRIGHT, *map(str, words)], stdout=full, stderr=subprocess.PIPE, text=True)
            self.assertEqual(done.returncode, 2, words)
            self.assertIn("standard output: cannot be written", done.stderr)

    def test_a_pipe_is_refused_and_not_waited_for(self):
        os.mkfifo(self.here / "pipe.nc")
        os.mkfifo(self.here / "turnwright.toml")
        status, out, _ = run("check", self.here / "pipe.nc")
        self.assertEqual(status, 2)
        self.assertIn("not a regular file", out)
        self.assertEqual(run("check", self.write("a.nc", WARNS))[0], 1)

    def test_a_name_with_control_characters_is_shown_with_escapes(self):
        odd = self.write("odd\x1b[31m\n.nc", WARNS)
        status, out, _ = run("check", odd)
        self.assertEqual(status, 1)
        self.assertIn("odd\\x1b[31m\\x0a.nc:", out)
        self.assertNotIn("\x1b", out)
        for done in (run("sheet", odd), run("picture", odd), run("compare", odd, SHAFT),
                     run("check", self.here / "no\x1b.nc"), run("sheet", self.here / "no\x1b.nc")):
            self.assertNotIn("\x1b", done[1] + done[2])

    def test_a_link_to_nothing_does_not_end_a_folder(self):
        for name in ("a.nc", "m.nc", "z.nc"):
            self.write(name, WARNS)
        (self.here / "b.nc").symlink_to("nowhere.nc")
        out = run("check", self.here, "--format", "json")[1]
        self.assertEqual(len(json.loads(out)["files"]), 3)

    def test_folders_and_jobs(self):
        for i in range(12):
            self.write(f"a/{i:02}.nc", WARNS)
        self.write("a/deeper/x.tap", WARNS)
        self.write("a/readme.txt", "no program")
        one = run("check", self.here, "--jobs", "1", "--format", "json")
        four = run("check", self.here, "--jobs", "4", "--format", "json")
        self.assertEqual(one, four)
        files = [entry["file"] for entry in json.loads(one[1])["files"]]
        self.assertEqual(len(files), 13)
        self.assertEqual(files, sorted(files))

    def test_patterns(self):
        for name in ("a/1.nc", "a/2.nc", "a/3.tap", "a/b/4.nc", "a/.hidden/5.nc"):
            self.write(name, WARNS)
        def checked(*patterns):
            out = run("check", *(self.here / pattern for pattern in patterns), "--format", "json")[1]
            return [str(Path(entry["file"]).relative_to(self.here)) for entry in json.loads(out)["files"]]
        self.assertEqual(checked("a/*.nc"), ["a/1.nc", "a/2.nc"])
        self.assertEqual(checked("a/?.*"), ["a/1.nc", "a/2.nc", "a/3.tap"])
        self.assertEqual(checked("**/*.nc"), ["a/1.nc", "a/2.nc", "a/b/4.nc"])
        self.assertEqual(run("check", self.here / "a" / "*.eia")[0], 2)
        self.write("a/odd[1]*.nc", WARNS)  # A file of that very name
        self.assertEqual(checked("a/odd[1]*.nc"), ["a/odd[1]*.nc"])

    def test_a_job_file_beside_the_program(self):
        program = self.write("p.nc", "O1\nN1 (TURN)\nG21 G18 G40 G97 G99\nG54 T0101\nG97 S800 M03\nG00 X60. Z5.\n"
                                     "G00 X40. Z-20.\nG00 X60. Z5.\nM05\nM30\n")
        def ids():
            shown = json.loads(run("check", program, "--format", "json")[1])
            return [(Path(entry["file"]).name, warning["id"], warning["line"])
                    for entry in shown["files"] for warning in entry["warnings"]]
        self.assertNotIn("rapid_through_stock", [found[1] for found in ids()])
        stock = "units = \"mm\"\n[stock]\ndiameter = 50\nbore = 0\nfront_z = 1\nback_z = -90\n"
        self.write("p.turnwright.toml", stock)
        self.assertIn(("p.nc", "rapid_through_stock", 7), ids())
        # It takes the place of the shop's stock, whole.
        self.write("turnwright.toml", "units = \"mm\"\n[stock]\ndiameter = 20\nbore = 10\nfront_z = 0\njaw_front_z = 4\n")
        self.assertIn(("p.nc", "rapid_through_stock", 7), ids())
        self.assertNotIn("cut_into_jaws", [found[1] for found in ids()])
        # The note in the program counts before both.
        program.write_text(program.read_text().replace("N1 (TURN)", "(STOCK D30. L90.)\nN1 (TURN)"))
        self.assertNotIn("rapid_through_stock", [found[1] for found in ids()])
        # What is wrong in it is told at its own place, and that it is no shop file.
        self.write("p.turnwright.toml", stock + "diamter = 4\n[machine]\nname = \"x\"\n")
        self.assertIn(("p.turnwright.toml", "shop_file", 7), ids())
        self.assertIn(("p.turnwright.toml", "shop_file", 9), ids())
        for command in ("picture", "sheet"):
            self.assertEqual(run(command, program)[0], 0)

    def test_text_and_json_agree(self):
        text, shown = run("check", FAULTY)[1], json.loads(run("check", FAULTY, "--format", "json")[1])
        warnings = shown["files"][0]["warnings"]
        self.assertGreater(len(warnings), 3)
        for warning in warnings:
            self.assertIn(f"{FAULTY}:{warning['line']}:{warning['column']}: {warning['severity']}: "
                          f"{warning['message']} [{warning['id']}]\n", text)
        self.assertIn("no proof", text)

    def test_sarif(self):
        """By the text of SARIF 2.1.0 (OASIS), from memory: section numbers as there."""
        status, out, _ = run("check", FAULTY, self.here / "missing (1).nc", "--format", "sarif")
        self.assertEqual(status, 2)
        log = json.loads(out)
        self.assertEqual(log["version"], "2.1.0")  # 3.13.2
        (only,) = log["runs"]
        rules = {rule["id"] for rule in only["tool"]["driver"]["rules"]}
        self.assertEqual(len(rules), len(only["tool"]["driver"]["rules"]))  # 3.49.3: no id twice
        self.assertGreater(len(only["results"]), 3)
        for result in only["results"]:
            self.assertIn(result["ruleId"], rules)
            self.assertIn(result["level"], ("none", "note", "warning", "error"))  # 3.27.10
            self.assertTrue(result["message"]["text"])
            place = result["locations"][0]["physicalLocation"]
            self.assertTrue(place["artifactLocation"]["uri"].startswith("file:///"))
            region = place["region"]
            self.assertGreaterEqual(region["startLine"], 1)  # 3.30.5
            self.assertGreaterEqual(region["startColumn"], 1)
            if "endColumn" in region:
                self.assertGreaterEqual((region["endLine"], region["endColumn"]),
                                        (region["startLine"], region["startColumn"]))
        (invocation,) = only["invocations"]
        self.assertFalse(invocation["executionSuccessful"])  # 3.20.14
        self.assertIn("no such file", invocation["toolExecutionNotifications"][0]["message"]["text"])

    def test_sarif_by_the_published_schema(self):
        schema = json.loads((ROOT / "tests" / "report" / "sarif-schema-2.1.0.json").read_text())
        self.assertEqual(schema["title"], "Static Analysis Results Format (SARIF) Version 2.1.0 JSON Schema")
        jsonschema.Draft4Validator.check_schema(schema)
        validator = jsonschema.Draft4Validator(schema, format_checker=jsonschema.FormatChecker())
        odd = self.write("odd (1).nc", b"O1 (\xe4\xff ]]> <b>)\nG01 X\xff10\n" + WARNS.encode())
        silenced = self.write("silenced.nc", WARNS.replace("G01 Z-20.", "G01 Z-20. (TURNWRIGHT: ACCEPT FEED_MISSING)"))
        logs = []
        for files in ([FAULTY], [SHAFT, BUSHING], [self.here / "missing (1).nc", FAULTY], [odd], [silenced]):
            log = json.loads(run("check", *files, "--format", "sarif")[1])
            validator.validate(log)
            logs.append(log)
        self.assertIn("suppressions", json.dumps(logs[-1]))
        # The schema does tell a wrong log: each of these must be refused.
        def spoilt(change):
            log = json.loads(json.dumps(logs[0]))
            change(log["runs"][0])
            return log
        for change in (lambda only: only.pop("tool"),
                       lambda only: only["results"][0].update(level="information"),
                       lambda only: only["results"][0]["locations"][0]["physicalLocation"]["region"].update(startLine=0),
                       lambda only: only["results"][0].update(severity="warning")):
            self.assertFalse(validator.is_valid(spoilt(change)))

    def test_junit(self):
        self.write("b&w <1>.nc", WARNS)
        status, out, _ = run("check", self.here / "b&w <1>.nc", self.here / "missing.nc", "--format", "junit")
        self.assertEqual(status, 2)
        suite = ElementTree.fromstring(out)
        self.assertEqual((suite.tag, suite.get("tests"), suite.get("failures"), suite.get("errors")),
                         ("testsuite", "2", "1", "1"))
        cases = suite.findall("testcase")
        self.assertTrue(cases[0].get("name").endswith("b&w <1>.nc"))
        self.assertIn("[", cases[0].find("failure").text)
        self.assertEqual(cases[1].find("error").get("message"), "no such file")
        # The form that build servers read (common practice, no published standard): nothing but these.
        allowed = {"testsuite": {"name", "tests", "failures", "errors", "skipped", "time"},
                   "testcase": {"classname", "name", "time"}, "failure": {"message", "type"},
                   "error": {"message", "type"}, "system-out": set()}
        for element in suite.iter():
            self.assertLessEqual(set(element.keys()), allowed[element.tag])
        for case in cases:
            self.assertTrue(case.get("classname"))
            self.assertLessEqual(len(case.findall("failure")) + len(case.findall("error")), 1)
        self.assertEqual(len(cases), int(suite.get("tests")))
        self.assertEqual(len(suite.findall("testcase/failure")), int(suite.get("failures")))
        self.assertEqual(len(suite.findall("testcase/error")), int(suite.get("errors")))

    def test_bytes_of_any_kind_in_a_program_give_valid_forms(self):
        odd = self.write("odd.nc", b"O1 (\xe4\xff\x00 ]]> <b> \x0c)\nG01 X\xff10\n(\xc3\n" + WARNS.encode())
        json.loads(run("check", odd, "--format", "json")[1])
        json.loads(run("check", odd, "--format", "sarif")[1])
        ElementTree.fromstring(run("check", odd, "--format", "junit")[1])
        ElementTree.fromstring(run("picture", odd)[1])


class CheckOfMany(Commands):
    """What helps with a folder of old programs."""
    # Two findings of two checks, and one of a third.
    TWO = "O1\nN1 (TURN)\nT0101\nG97 S800 M03\nG00 X40. Z2.\nG01 Z-20.\nM30\n"

    def found(self, *words):
        shown = json.loads(run("check", *words, "--format", "json")[1])
        return [(Path(entry["file"]).name, warning["id"]) for entry in shown["files"] for warning in entry["warnings"]]

    def test_only_without_and_at_least(self):
        program = self.write("p.nc", self.TWO)
        every = {found[1] for found in self.found(program)}
        self.assertIn("feed_missing", every)
        self.assertGreater(len(every), 1)
        self.assertEqual({found[1] for found in self.found(program, "--only", "feed_missing,units_missing")},
                         {"feed_missing", "units_missing"} & every)
        self.assertEqual({found[1] for found in self.found(program, "--without", "feed_missing")}, every - {"feed_missing"})
        severe = json.loads(run("check", program, "--at-least", "error", "--format", "json")[1])
        self.assertEqual([w for w in severe["files"][0]["warnings"] if w["severity"] != "error"], [])
        status, out, _ = run("check", program, "--only", "tape_mark_missing")
        self.assertEqual(status, 0)
        self.assertIn("left out as asked", out)
        status, _, problem = run("check", program, "--only", "feed_misssing")
        self.assertEqual(status, 2)
        self.assertIn("did you mean feed_missing?", problem)
        self.assertEqual(run("check", program, "--at-least", "fatal")[0], 2)

    def test_totals_by_check(self):
        self.write("a.nc", self.TWO)
        self.write("b.nc", self.TWO)
        out = run("check", self.here)[1]
        self.assertRegex(out, r"\n +2  feed_missing\n")
        self.assertEqual(json.loads(run("check", self.here, "--format", "json")[1])["summary"]["byCheck"]["feed_missing"], 2)

    def test_a_baseline_leaves_what_is_new(self):
        program = self.write("lib/p.nc", self.TWO)
        baseline = self.here / "baseline.txt"
        status, _, problem = run("check", self.here / "lib", "--baseline", baseline)
        self.assertEqual(status, 2)
        self.assertIn("--new-baseline", problem)
        self.assertEqual(run("check", self.here / "lib", "--new-baseline", baseline)[0], 1)
        status, out, _ = run("check", self.here / "lib", "--baseline", baseline)
        self.assertEqual(status, 0)
        self.assertIn("of the baseline.", out)
        # From another folder, with lines put in above and new N numbers: the same findings.
        program.write_text("O1\n(A NOTE)\n(AND ONE MORE)\n" + self.TWO[3:].replace("N1 ", "N5 "))
        done = subprocess.run([TURNWRIGHT, "check", "p.nc", "--baseline", "../baseline.txt"], cwd=self.here / "lib",
                              capture_output=True, text=True)
        self.assertEqual(done.returncode, 0, done.stdout)
        # A second one of a kind, and one in a new file, are new.
        program.write_text(self.TWO.replace("M30", "N2 (FACE)\nT0202\nG97 S500 M03\nG00 X50. Z2.\nG01 X-1.\nM30"))
        self.assertNotEqual(self.found(program, "--baseline", baseline), [])
        self.write("lib/q.nc", self.TWO)
        self.assertIn(("q.nc", "feed_missing"), self.found(self.here / "lib", "--baseline", baseline))
        # What was mended is told, and nothing else is written over.
        program.write_text("O1\n")
        self.assertIn("were not found any more", run("check", program, "--baseline", baseline)[1])
        mine = self.write("notes.txt", "mine")
        self.assertEqual(run("check", program, "--new-baseline", mine)[0], 2)
        self.assertEqual(mine.read_text(), "mine")
        self.assertEqual(run("check", program, "--baseline", mine)[0], 2)

    def test_one_kind_on_very_many_blocks(self):
        program = self.write("p.nc", "O1\nN1 (TURN)\nG21 T0101\nG97 S800 M03\nG00 X40. Z2.\n" +
                             "".join(f"G00 X{10 + i % 7}.00005\n" for i in range(3000)) + "M30\n")
        out = run("check", program)[1]
        told = [line for line in out.splitlines() if "[finer_than_increment]" in line]
        self.assertEqual(len(told), 20)
        self.assertIn("2980 more of this kind follow", told[-1])
        self.assertEqual(sum("follow in this file" in line for line in told), 1)
        every = run("check", program, "--all")[1]
        self.assertEqual(every.count("[finer_than_increment]"), 3000)
        summary = json.loads(run("check", program, "--format", "json")[1])["summary"]
        self.assertEqual(summary["byCheck"]["finer_than_increment"], 3000)
        self.assertIn(f"{summary['notes']} notes", out)

    def test_a_restart_takes_no_place_and_no_odd_ending(self):
        program = (ROOT / "docs" / "examples" / "pump-shaft.nc").read_text()
        shaft, other = self.write("shaft.nc", program), self.write("other.nc", program)
        for out, words in ((shaft, "the program itself"), (other, "--force"), (self.here / "shaft.png", "the ending")):
            status, _, trouble = run("restart", shaft, "--line", 30, "--out", out)
            self.assertEqual(status, 2, out)
            self.assertIn(words, trouble)
        self.assertFalse((self.here / "shaft.png").exists())
        self.assertEqual(other.read_text(), program)
        self.assertEqual(run("restart", shaft, "--line", 30, "--out", self.here / "again.nc")[0], 0)

    def test_prose_is_no_part_program(self):
        for name, text in (("letter.nc", "Dear Sir,\nplease find the drawing of the shaft attached.\nYours, the shop\n"),
                           ("one.nc", "hello world\n"),
                           ("page.nc", "<html>\n<body>\n<p class=\"note\">Some words of a page</p>\n</body>\n</html>\n"),
                           ("code.nc", "#include <vector>\nint main() {\n    return run(arguments, count);\n}\n")):
            status, out, _ = run("check", self.write(name, text))
            self.assertEqual(status, 2, name)
            self.assertIn("not a part program", out.splitlines()[0])
            self.assertEqual(run("sheet", self.here / name)[0], 2)
        for name in ("pump-shaft.nc", "pump-shaft-faulty.nc", "wear-bushing.nc", "hub-hits.nc"):
            self.assertNotIn("not a part program", run("check", ROOT / "docs" / "examples" / name)[1])
        for text in ("(ONLY A NOTE OF MANY WORDS)\n", "IF[#1GT5]GOTO20\nWHILE[#1LT9]DO1\nEND1\n", "PART 123\nG00 X1.\nG01 Z5.\n",
                     "DPRNT[DIA***#100[33]]\nM30\n", "%\n"):
            self.assertNotIn("not a part program", run("check", self.write("p.nc", text))[1], text)

    def test_a_folder_says_what_it_passed_over(self):
        for name in ("a.nc", "b.MPF", "c.mpf", "d.txt", "O1234", "turnwright.toml", ".hidden"):
            self.write(name, self.TWO if name != "turnwright.toml" else "")
        out = run("check", self.here)[1]
        self.assertIn("3 files with other endings were passed over (.mpf, .txt): `endings`", out)
        self.assertIn("O1234:", out)
        self.write("turnwright.toml", "[house]\nendings = [\"MPF\", \".txt\"]\n")
        out = run("check", self.here)[1]
        self.assertNotIn("passed over", out)
        self.assertEqual({name for name, _ in self.found(self.here)}, {"a.nc", "b.MPF", "c.mpf", "d.txt", "O1234"})

    def test_a_shop_file_is_checked_as_such(self):
        good = self.write("turnwright.toml", "units = \"mm\"\n[[machine]]\nsystem = \"A\"\n")
        status, out, _ = run("check", good)
        self.assertEqual(status, 0, out)
        self.assertIn("1 shop file checked", out)
        good.write_text("units = \"mm\"\n[[machine]]\nsystem = \"D\"\n")
        status, out, _ = run("check", good)
        self.assertEqual(status, 1)
        self.assertIn("[shop_file]", out)
        self.assertNotIn("Did you mean", out)  # of single letters any is as near
        elsewhere = self.write("long-bed.toml", good.read_text())  # as --shop takes it
        self.assertIn("[shop_file]", run("check", elsewhere)[1])
        self.assertEqual(run("check", self.write("job.turnwright.toml", "[house]\n"))[0], 1)
        self.assertIn("1 program and 1 shop file checked", run("check", good, self.write("p.nc", self.TWO))[1])

    def test_a_program_named_twice_or_by_a_link_is_one(self):
        program = self.write("p.nc", self.TWO)
        (self.here / "q.nc").symlink_to("p.nc")
        self.assertIn("1 program checked", run("check", program, program, self.here / "q.nc")[1])

    def test_a_shop_file_that_cannot_be_read_is_told(self):
        self.write("turnwright.toml", "x" * 300_000)
        out = run("check", self.write("p.nc", self.TWO))[1]
        self.assertIn("[shop_file]", out)
        self.assertIn("too large", out)


class Picture(Commands):
    def test_svg_is_well_formed_and_names_lines(self):
        for program in (SHAFT, FAULTY, BUSHING):
            status, out, _ = run("picture", program)
            self.assertEqual(status, 0)
            root = ElementTree.fromstring(out)
            self.assertEqual(root.tag, "{http://www.w3.org/2000/svg}svg")
            lines = program.read_text().splitlines()
            shown = [element for element in root.iter() if element.get("data-line")]
            self.assertGreater(len(shown), 20)
            for element in shown:
                number = int(element.get("data-line"))
                title = element.find("{http://www.w3.org/2000/svg}title").text
                if element.get("class") == "nose":
                    self.assertTrue(title.startswith("centre of the nose, "))
                    title = title.removeprefix("centre of the nose, ")
                self.assertEqual(title, f"line {number}: {lines[number - 1]}")

    def test_the_page_knows_its_script(self):
        out = self.here / "page.html"
        self.assertEqual(run("picture", SHAFT, "-o", out)[0], 0)
        page = out.read_text()
        script = page.rsplit("<script>", 1)[1].split("</script>")[0]
        known = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
        self.assertIn(f"script-src 'sha256-{known}'", page)

    def test_a_report_takes_the_place_of_no_program(self):
        program = self.write("p.nc", SHAFT.read_bytes())
        (self.here / "link.svg").symlink_to("p.nc")
        os.link(program, self.here / "same.svg")
        other = self.write("other.NC", WARNS)
        (self.here / "far.svg").symlink_to("other.NC")
        for name, reason in (("p.nc", "the program itself"), ("link.svg", "the program itself"),
                             ("same.svg", "the program itself"), ("other.NC", "the name of a program"),
                             ("far.svg", "the name of a program"),
                             ("new.tap", "the name of a program"), ("O1234", "the name of a program"),
                             ("out.png", "the ending .png does not fit: this form is written to .svg")):
            for force in ([], ["--force"]):
                status, _, problem = run("picture", program, "-o", self.here / name, *force)
                self.assertEqual(status, 2, name)
                self.assertIn(reason, problem)
        self.assertEqual(program.read_bytes(), SHAFT.read_bytes())
        self.assertEqual(other.read_text(), WARNS)
        self.assertFalse((self.here / "O1234").exists())
        self.assertEqual(run("picture", program, "--format", "svg", "-o", self.here / "p.html")[0], 2)
        self.assertEqual(run("sheet", program, "-o", self.here / "p.svg")[0], 2)

    def test_what_is_no_report_is_written_over_by_force_only(self):
        for command, names in (("picture", ["a.svg", "a.html"]), ("sheet", ["s.md", "s.html"])):
            for name in names:
                path = self.write(name, "# My own notes\n")
                status, _, problem = run(command, SHAFT, "-o", path)
                self.assertEqual(status, 2)
                self.assertIn("--force", problem)
                self.assertEqual(path.read_text(), "# My own notes\n")
                self.assertEqual(run(command, SHAFT, "-o", path, "--force")[0], 0)
                first = path.read_text()
                self.assertEqual(run(command, BUSHING, "-o", path)[0], 0)  # over a report of ours
                self.assertNotEqual(path.read_text(), first)

    def test_where_it_cannot_write(self):
        status, _, problem = run("picture", SHAFT, "-o", self.here / "no" / "such" / "folder.svg")
        self.assertEqual(status, 2)
        self.assertIn("cannot be written", problem)
        self.assertEqual(run("picture", SHAFT, "-o", self.here)[0], 2)

    def test_standard_input(self):
        self.assertEqual(run("picture", "-", text=WARNS)[0], 0)


class Sheet(Commands):
    def test_both_forms(self):
        status, markdown, _ = run("sheet", SHAFT, "--format", "markdown")
        self.assertEqual(status, 0)
        self.assertTrue(markdown.startswith("# Setup sheet O"))
        for part in ("## Tools by station", "## Sequences and restart", "## Cautions", "## To fill in"):
            self.assertIn(part, markdown)
        out = self.here / "sheet.html"
        self.assertEqual(run("sheet", SHAFT, "-o", out)[:2], (0, ""))
        self.assertTrue(out.read_text().startswith("<!DOCTYPE html>"))
        self.assertEqual(run("sheet", SHAFT, "--format", "html")[1], out.read_text())

    def test_on_the_screen_it_is_plain_lines(self):
        status, text, _ = run("sheet", SHAFT)
        self.assertEqual(status, 0)
        self.assertTrue(text.startswith("Setup sheet O"))
        for mark in ("\\", "|", "## "):
            self.assertNotIn(mark, text)
        for line in text.splitlines()[:-4]:  # The cautions stay whole
            self.assertLessEqual(len(line), 100)
        for part in ("Tools by station", "Sequences and restart", "Cautions"):
            self.assertIn(f"\n{part}\n", text)
        # It is known as a report, and takes its own place.
        out = self.here / "sheet.txt"
        for _ in range(2):
            self.assertEqual(run("sheet", SHAFT, "-o", out)[:2], (0, ""))
        out.write_text("G00 X5.\n")
        self.assertEqual(run("sheet", SHAFT, "-o", out)[0], 2)


class Compare(Commands):
    def test_exit_status_like_diff(self):
        self.assertEqual(run("compare", SHAFT, SHAFT)[0], 0)
        status, out, _ = run("compare", SHAFT, FAULTY)
        self.assertEqual(status, 1)
        self.assertIn("->", out)
        self.assertEqual(run("compare", SHAFT, self.here / "missing.nc")[0], 2)
        self.assertEqual(run("compare", "-", "-", text=WARNS)[0], 2)
        # Another version of the program comes by standard input: read by the same shop file.
        self.write("jobs/turnwright.toml", '[[machine]]\nsystem = "B"\n')
        kept = self.write("jobs/kept.nc", "O1\nN1 (TURN)\nG90 G21 G95\nT0101\nG97 S500 M03\nG00 X40. Z2.\nG90 G01 Z-5. F0.2\nM30\n")
        self.assertEqual(run("compare", "-", kept, text=kept.read_text())[0], 0)
        status, out, _ = run("compare", "-", kept, text=kept.read_text().replace("F0.2", "F0.3"))
        self.assertEqual(status, 1)
        self.assertIn("feed 0.3 mm/rev -> feed 0.2 mm/rev", out)

    def test_a_change_as_notes_and_by_fingerprint(self):
        changed = self.write("changed.nc", WARNS.replace("S800", "S900"))
        same = self.write("same.nc", WARNS.replace("S800", "S800 (SEEN)"))
        first = self.write("first.nc", WARNS)
        status, note, _ = run("compare", first, changed, "--format", "note")
        self.assertEqual(status, 1)
        self.assertTrue(all(line[0] + line[-1] == "()" for line in note.splitlines()), note)
        self.assertEqual(run("compare", first, same, "--format", "note")[0], 0)
        words = [file["fingerprint"] for file in
                 json.loads(run("check", first, same, changed, "--fingerprint", "--format", "json")[1])["files"]]
        self.assertEqual(words[0], words[1])
        self.assertNotEqual(words[0], words[2])
        self.assertNotIn("fingerprint", run("check", first)[1])

    def test_notes_and_blanks_vanish(self):
        for program in (SHAFT, BUSHING):
            lines = program.read_text().splitlines()
            other = self.write("other.nc", "\r\n".join(
                line.lower().replace(" ", "  ") + (" (SEEN)" if line.startswith("G01") else "") for line in lines))
            status, out, _ = run("compare", program, other)
            self.assertEqual((status, out.splitlines()[-1]), (0, out.splitlines()[-1]), out)

    def test_json(self):
        other = self.write("other.nc", WARNS.replace("S800", "S900"))
        status, out, _ = run("compare", "-", other, "--format", "json", text=WARNS)
        self.assertEqual(status, 1)
        change = json.loads(out)["sequences"][0]["changes"][0]
        self.assertEqual((change["before"], change["after"]), ("G97 800 rpm", "G97 900 rpm"))


class Calls(Commands):
    """Programs in other files of the folder, as the editor finds them."""
    MAIN = ("O1\nN1 (GROOVE)\nG21 G18 G40 G97 G99\nG54 T0101\nG97 S500 M03\nG00 X50. Z-10.\n"
            "M98 P7100\nG00 X100. Z50.\nM05\nM30\n")

    def test_picture_sheet_and_compare_go_through_calls(self):
        main = self.write("new/main.nc", self.MAIN)
        self.write("new/O7100.nc", "O7100\nG01 U-10. F0.1\nU10. F0.5\nM99\n")
        out = run("picture", main)[1]
        self.assertIn("line 7: calls O7100 line 2: G01 U-10. F0.1", out)
        self.assertRegex(run("sheet", main)[1], r"In cut: 7\\?\.2 s")  # 5 mm at 0.1 and 500 rpm, and back at 0.5
        self.write("old/main.nc", self.MAIN)
        self.write("old/O7100.nc", "O7100\nG01 U-12. F0.1\nU12. F0.5\nM99\n")
        status, out, _ = run("compare", self.here / "old" / "main.nc", main)
        self.assertEqual(status, 1)
        self.assertIn("line 7 -> 7: feed to X38. Z-10. -> feed to X40. Z-10.", out)
        self.write("old/O7100.nc", "O7100 (THE SAME)\nN5 G1 U-10. F.1\nN10 U10. F.5\nM99\n")
        self.assertEqual(run("compare", self.here / "old" / "main.nc", main)[0], 0)


class Pages(Commands):
    """What the pages show of a command is what it prints."""

    def shown(self, page, command):
        """The lines of an indented block from its command on."""
        lines = (ROOT / page).read_text().splitlines()
        begin = lines.index("    $ " + command) + 1
        end = next(i for i in range(begin, len(lines)) if not lines[i].startswith("    "))
        return [line[4:] for line in lines[begin:end]]

    def test_the_warnings_and_their_count_on_the_first_page(self):
        command = "turnwright check docs/examples/pump-shaft-faulty.nc"
        shown = self.shown("README.md", command)
        done = subprocess.run([TURNWRIGHT, *command.split()[1:]], cwd=ROOT, capture_output=True, text=True, timeout=120)
        printed = done.stdout.splitlines()
        self.assertIn(shown[-1], printed)
        gap = shown.index("...")
        self.assertIn(" ".join(shown[:gap]), [" ".join(line.split()) for line in printed])
        # The lines of the editor above it: a letter for the kind, the number, the block, the message.
        editor = [line[4:] for line in (ROOT / "README.md").read_text().splitlines() if "     \u25a0 " in line]
        self.assertGreater(len(editor), 2)
        for line in editor:
            place, message = line.split("     \u25a0 ")
            kind, number, block = place.split(" ", 2)
            self.assertEqual(block, FAULTY.read_text(encoding="latin-1").splitlines()[int(number) - 1])
            self.assertTrue(any(row.split(":")[1] == number and row.split(": ", 2)[1][0].upper() == kind
                                and row.split(": ", 2)[2].startswith(message)
                                for row in printed if row.startswith("docs/") and row.split(":")[1].isdigit()), line)

    def test_the_told_block_of_the_first_day(self):
        for page in ("docs/getting-started.md", "docs/for-apprentices.md"):
            lines = (ROOT / page).read_text().splitlines()
            begin = next(i for i, line in enumerate(lines) if line.startswith("    line "))
            told = run("tell", SHAFT, "--line", lines[begin].split()[1])[1]
            for line in lines[begin:begin + 3]:
                self.assertIn(" ".join(line.split()), " ".join(told.split()))

    def test_the_examples_have_numbers_of_their_own(self):
        numbers = [path.read_text(encoding="latin-1").split("O", 1)[1][:4]
                   for path in (ROOT / "docs/examples").glob("*.nc")]
        self.assertEqual(len(set(numbers)), len(numbers))
        self.assertGreater(len(numbers), 3)


class Correct(Commands):
    def test_sizes_as_they_are_written_in_shops(self):
        point = run("correct", SHAFT, "--wanted", "40.0", "--measured", "39.96")
        self.assertEqual(point[0], 0)
        self.assertEqual(run("correct", SHAFT, "--wanted", "40,0", "--measured", "39,96"), point)
        status, out, problem = run("correct", SHAFT, "--wanted", "20,0x", "--measured", "20")
        self.assertEqual((status, out), (2, ""))
        self.assertIn("write it as 29.96", problem)
        status, out, problem = run("correct", SHAFT, "--wanted-length", "-30", "--measured-length", "-29.9")
        self.assertEqual((status, out), (2, ""))
        self.assertIn("a length has no minus", problem)
        # Nothing is said of how X is entered where nothing of it is.
        self.assertNotIn("X is entered", run("correct", SHAFT, "--wanted", "55", "--measured", "54.9")[1])

    def test_no_offsets_are_said_to_be_none(self):
        status, out, problem = run("offsets", SHAFT)
        self.assertEqual((status, len(out.splitlines())), (0, 1))
        self.assertIn("sets no offsets with G10", problem)


class Mistyped(Commands):
    def test_of_a_mistyped_word_nothing_else_is_told(self):
        # G96 S20O: read as S20 it would be far too slow beside the others, and its value is not what is meant.
        program = self.write("one.nc", "O1\nG21 G99\nN1 (TURN)\nT0101\nG50 S2500\nG96 S20O M03\nG00 X42. Z2.\n"
                                       "G01 X40. F0.2\nZ-20.\nG00 X200. Z100.\nN2 (TURN)\nT0202\nG50 S2500\n"
                                       "G96 S200 M03\nG00 X42. Z2.\nG01 X38. F0.2\nZ-20.\nG00 X200. Z100.\nM30\n")
        lines = [line for line in run("check", program)[1].splitlines() if line.startswith(f"{program}:6:")]
        self.assertEqual(len(lines), 1, lines)
        self.assertIn("value_mistyped", lines[0])


class ToolNames(Commands):
    def test_a_tool_is_named_by_the_list_and_never_by_the_stock(self):
        body = ("N1 G21 G99\nT0101\nG97 S500 M03\nG00 X42. Z2.\nG01 X-1. F0.1\nG00 X200. Z100.\nM01\n"
                "N2 T0202\nG97 S500 M03\nG00 X42. Z2.\nG01 Z-5. F0.1\nG00 X200. Z100.\nM30\n")
        listed = run("lot", self.write("1.nc", "O1 (PIN)\n(STOCK D40. L60. FACE 0.5)\n(T1 = ROUGH 80 DEGREE)\n" + body))[1]
        self.assertIn("T01 ROUGH 80 DEGREE: ", listed)
        alone = run("lot", self.write("2.nc", "O1 (PIN)\n(STOCK D40. L60. FACE 0.5)\n" + body))[1]
        self.assertIn("T01: ", alone)


class Transfer(Commands):
    SHOP = """[[machine]]
name = "old"
system = "A"
[[machine]]
name = "new"
system = "B"
"""

    def test_a_tool_goes_to_another_station(self):
        self.write("turnwright.toml", self.SHOP)
        program = self.write("job.nc", "O1 (MACHINE: old)\nG21 G99\nN3 (FINISH)\nT0303\nG97 S500 M03\n"
                                       "G00 X50. Z2.\nG01 Z-5. F0.2\nG00 X200. Z100.\nM30\n")
        for pair in ("3=5", "T03=T05"):
            out = run("transfer", program, "--to", "new", "--station", pair)[1]
            self.assertIn("+ T0505", out)
        for wrong in ("3", "3=", "=5", "3=x", "0=5"):
            status, out, told = run("transfer", program, "--to", "new", "--station", wrong)
            self.assertEqual((status, out), (2, ""))
            self.assertIn(f"{wrong}: is no pair of stations such as 3=5", told)


class MachineByFolder(Commands):
    """The lathe of a program is chosen by its folder, however program and folder are named."""

    def setUp(self):
        super().setUp()
        self.write("turnwright.toml", '[[machine]]\nname = "LONG BED"\nfolders = ["old"]\nsystem = "B"\nmax_rpm = 1500\n'
                                      '[[machine]]\nname = "BAR"\nfolders = ["bar"]\nsystem = "A"\nmax_rpm = 5000\n')
        for folder in ("old", "bar"):
            self.write(f"{folder}/j.nc", "O1\nG21 G95\nN1 T0101\nG97 S3000 M03\nG00 X40. Z2.\nG01 Z-20. F.2\nG00 X60. Z20.\nM30\n")

    def over_limit(self, program, within):
        _, out, _ = run("check", "--format", "json", program, within=within)
        return [w for w in json.loads(out)["files"][0]["warnings"] if w["id"] == "speed_over_machine_limit"]

    def test_check(self):
        for program, within in ((self.here / "old/j.nc", None), ("old/j.nc", self.here), ("./j.nc", self.here / "old"),
                                ("../old/j.nc", self.here / "bar"), ("j.nc", self.here / "old")):
            self.assertEqual(len(self.over_limit(program, within)), 1, program)
        for program, within in (("bar/j.nc", self.here), ("j.nc", self.here / "bar")):
            self.assertEqual(self.over_limit(program, within), [], program)

    def test_transfer(self):
        status, out, told = run("transfer", "old/j.nc", "--to", "BAR", within=self.here)
        self.assertEqual(status, 0, told)
        self.assertIn("G99", out)  # B's G95 as A has it


class Words(Commands):
    def test_a_mistyped_command(self):
        for words, wanted in ((["foo"], "are the commands"), (["chek", SHAFT], "did you mean check?"), (["shet"], "did you mean sheet?"),
                              ([SHAFT], f"did you mean turnwright check {SHAFT}?"), (["zzzzzzzz"], "are the commands")):
            status, out, problem = run(*words)
            self.assertEqual((status, out), (2, ""))
            self.assertIn(wanted, problem)
            self.assertEqual(len(problem.splitlines()), 1)

    def test_a_line_that_is_not_understood(self):
        for words, wanted in (([], "turnwright: a command is needed, such as check. "), (["check"], "turnwright check: file is required. "),
                              (["check", "--ony", "x", SHAFT], "turnwright check: there is no option --ony: did you mean --only? "),
                              (["format", SHAFT, "-o", "x"], "turnwright format: there is no option -o. ")):
            status, out, problem = run(*words)
            self.assertEqual((status, out), (2, ""))
            self.assertEqual(problem.splitlines(), [problem.strip()])
            self.assertTrue(problem.startswith(wanted) and problem.endswith("--help tells more.\n"), problem)


class Explain(Commands):
    def test_what_is_near_is_named(self):
        self.assertIn("surface speed", run("explain", "speed-limit-missing")[1])
        self.assertIn("did you mean speed_limit_missing?", run("explain", "sped_limit_missing")[2])
        for word in ("GOTO", "IF", "WHILE", "#100", "%", "STOCK", "E"):
            self.assertEqual(run("explain", word)[0], 0, word)

    def test_words(self):
        self.assertIn("surface speed", run("explain", "G96")[1])
        self.assertNotEqual(run("explain", "G90", "--system", "A")[1], run("explain", "G90", "--system", "b")[1])
        self.assertIn("speed_limit_missing", run("explain", "speed_limit_missing")[1])
        status, out, problem = run("explain", "nonsense")
        self.assertEqual((status, out), (2, ""))
        self.assertIn("nonsense: not known.", problem)
        self.assertEqual(run("explain", "G96", "--system", "D")[0], 2)


class Format(Commands):
    SHOP = "[format]\nupper_case = true\nblanks_between_words = true\nleading_zeros = true\n"

    def test_to_standard_output_and_back_to_the_file(self):
        self.write("turnwright.toml", self.SHOP)
        path = self.write("p.nc", "g21g99\nt0101\ng97s800m3\ng0x40.z2.\ng1z-20.f.2\nm30\n")
        path.chmod(0o640)
        status, out, _ = run("format", path)
        self.assertEqual(status, 0)
        self.assertIn("G01 Z-20.", out)
        self.assertEqual(path.read_text()[:3], "g21")
        self.assertEqual(run("format", path, "--write"), (0, "", ""))
        self.assertEqual(path.read_text(), out)
        self.assertEqual(stat.S_IMODE(path.stat().st_mode), 0o640)
        self.assertEqual([entry.name for entry in self.here.iterdir() if "new" in entry.name], [])
        self.assertEqual(run("format", path)[1], out)  # twice is once
        self.assertEqual(run("compare", "-", path, text="g21g99\nt0101\ng97s800m3\ng0x40.z2.\ng1z-20.f.2\nm30\n")[0], 0)

    def test_a_link_stays_a_link(self):
        self.write("turnwright.toml", self.SHOP)
        path = self.write("p.nc", "g21\n")
        link = self.here / "link.nc"
        link.symlink_to(path)
        self.assertEqual(run("format", link, "--write")[0], 0)
        self.assertTrue(link.is_symlink())
        self.assertEqual(path.read_text(), "G21\n")

    def test_a_name_that_was_prepared_is_not_written_to(self):
        self.write("turnwright.toml", self.SHOP)
        path, victim = self.write("p.nc", "g21\n"), self.write("victim", "mine")
        (self.here / "p.nc.turnwright-new").symlink_to("victim")
        self.assertEqual(run("format", path, "--write")[0], 0)
        self.assertEqual((path.read_text(), victim.read_text()), ("G21\n", "mine"))

    def test_what_is_protected_or_has_other_names_is_left(self):
        self.write("turnwright.toml", self.SHOP)
        locked = self.write("locked.nc", "g21\n")
        locked.chmod(0o444)
        status, _, problem = run("format", locked, "--write")
        self.assertEqual((status, locked.read_text()), (2, "g21\n"))
        self.assertIn("protected against writing", problem)
        path = self.write("p.nc", "g21\n")
        os.link(path, self.here / "q.nc")
        status, _, problem = run("format", path, "--write")
        self.assertEqual((status, path.read_text()), (2, "g21\n"))
        self.assertIn("hard links", problem)

    def test_standard_input_cannot_be_written_back(self):
        self.assertEqual(run("format", "-", "--write", text="g21\n")[0], 2)


class Calculate(Commands):
    def test_alone_and_for_a_program(self):
        status, out, _ = run("calculate", "taper", "D30", "D40", "LENGTH", "25")
        self.assertEqual(status, 0)
        self.assertRegex(out, "angle to the axis +11.31 degrees")
        self.assertIn("G01 X40. Z-25.", out)
        self.assertIn("X20. Z-25.", run("calculate", "taper D30 D40 LENGTH 25", "--radius", "--system", "C")[1])
        path = self.write("p.nc", "G20 G99\nG97 S500 M03\nG00 X2. Z.1\nG01 Z0 F.005\n")
        out = run("calculate", "taper", "d1", "d2", "angle", "45", "--in", path, "--line", "4")[1]
        self.assertIn("G01 X2. Z-0.5", out)
        self.assertRegex(out, "length +0.5 in")

    def test_a_negative_place_is_no_option(self):
        status, out, _ = run("calculate", "groove", "D20", "WIDTH", "4", "Z", "-24", "FROM", "30", "TOOL", "3")
        self.assertEqual(status, 0)
        self.assertIn("Z-24.", out)

    def test_no_answer_is_told_with_its_reason(self):
        status, out, problem = run("calculate", "taper", "D30", "D40", "LENGTH", "25", "ANGLE", "30")
        self.assertEqual((status, out), (2, ""))
        self.assertIn("11.310", problem)
        self.assertIn("There is no such calculator", run("calculate", "nonsense")[2])
        path = self.write("p.nc", "G21\n")
        self.assertEqual(run("calculate", "taper D3 D4 LENGTH 2", "--in", path, "--line", "9")[0], 2)

    def test_the_list_and_the_places(self):
        self.assertIn("TANGENT", run("calculate")[1])
        self.assertIn("must be there", run("calculate", "groove")[1])


if __name__ == "__main__":
    unittest.main()
