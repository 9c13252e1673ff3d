"""What the built program says in German and Spanish, to a shell and to an editor."""
import html
import json
import os
import re
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "endtoend"))
from driver import AT_ONCE, COMMAND, Server, position, uri_of  # noqa: E402
from texts import catalogues  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "docs" / "examples"
FAULTY = EXAMPLES / "pump-shaft-faulty.nc"
TEXTS = dict(catalogues())
# Words of English that neither German nor Spanish has, and no word of a program in capitals.
ENGLISH = re.compile(r"\b(the|of|and|with|this|are|from|where|which|write|by|not|there|known|at|to|for|that|it|its|is|behind|above|below)\b")
SPOKEN = {"de": re.compile(r"\b(der|die|das|und|nicht|ist|mit|von|auf|ein|eine|den|dem|zu|kein|keine|hier|wird|Satz|Vorschub)\b"),
          "es": re.compile(r"\b(el|la|los|las|de|del|y|no|con|en|un|una|se|que|por|es|al|aquí)\b")}
PROGRAM = FAULTY.read_text(encoding="utf-8")


def run(*words, **environment):
    own = {key: value for key, value in os.environ.items() if not key.startswith("LC_") and key not in ("LANG", "LANGUAGE")}
    done = subprocess.run([*COMMAND, *map(str, words)], capture_output=True, timeout=120, env={**own, "LC_ALL": "C", **environment})
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def of_the_program(text):
    """Without what is quoted from a program, of ids and of files."""
    text = re.sub(r"\([^()]*[A-Z]{3}[^()]*\)|\[\w+\]|`[^`]*`|\"[^\"]*\"|\S*/\S*|\b\w+[._]\w+\b", " ", text)
    return text


class Languages(unittest.TestCase):
    def assert_spoken(self, language, text, *, least=1):
        left = ENGLISH.findall(of_the_program(text))
        self.assertEqual(left, [], text[:2000])
        self.assertGreaterEqual(len(SPOKEN[language].findall(text)), least, text[:500])


class Commands(Languages):
    def warnings(self, program, language):
        status, out, told = run("check", "--format", "json", "--language", language, program)
        self.assertIn(status, (0, 1), told)
        return json.loads(out)["files"][0]["warnings"]

    def test_no_message_in_english(self):
        seen = 0
        for program in sorted(EXAMPLES.glob("*.nc")):
            english = self.warnings(program, "en")
            for language in ("de", "es"):
                told = self.warnings(program, language)
                # The same warnings at the same places, whatever they are told in.
                self.assertEqual([(row["id"], row["line"], row["column"]) for row in told],
                                 [(row["id"], row["line"], row["column"]) for row in english])
                for ours, row in zip(told, english, strict=True):
                    self.assertNotEqual(ours["message"], row["message"])
                    self.assert_spoken(language, ours["message"])
                    # Numbers keep the point.
                    self.assertEqual(sorted(re.findall(r"\d+\.\d+", ours["message"])),
                                     sorted(re.findall(r"\d+\.\d+", row["message"])))
                    seen += 1
        self.assertGreater(seen, 40)

    def test_the_option_stands_anywhere(self):
        for words in (["--language", "de", "check", FAULTY], ["check", "--language=de", FAULTY], ["check", FAULTY, "--language", "de"]):
            _, out, _ = run(*words)
            self.assert_spoken("de", out.splitlines()[0])

    def test_an_unknown_language(self):
        status, out, told = run("check", "--language", "xx", FAULTY)
        self.assertEqual((status, out), (2, ""))
        self.assertEqual(told, "turnwright: there is no language xx: there are en, de, es\n")

    def test_the_environment(self):
        english = run("check", FAULTY)[1]
        german = run("check", FAULTY, LC_ALL="", LANG="de_DE.UTF-8")[1]
        self.assertNotEqual(english, german)
        self.assertEqual(german, run("check", "--language", "de", FAULTY)[1])
        self.assertEqual(english, run("check", FAULTY, LC_ALL="", LANG="fr_FR.UTF-8")[1])
        self.assertEqual(english, run("check", "--language", "en", FAULTY, LC_ALL="", LANG="de_DE.UTF-8")[1])
        self.assertEqual(english, run("check", FAULTY, LC_ALL="C", LANG="de_DE.UTF-8")[1])

    def test_the_sheet(self):
        for language in ("de", "es"):
            for form in ("text", "markdown"):
                status, out, _ = run("sheet", "--language", language, "--format", form, EXAMPLES / "pump-shaft.nc")
                self.assertEqual(status, 0)
                self.assertIn(TEXTS[language]["texts"]["Setup sheet "].strip(), out)
                self.assert_spoken(language, out, least=20)

    def test_the_pages(self):
        for language in ("de", "es"):
            for command in ("sheet", "tell", "picture"):
                with tempfile.TemporaryDirectory() as folder:
                    page = Path(folder) / "page.html"
                    self.assertEqual(run(command, "--language", language, "-o", page, EXAMPLES / "pump-shaft.nc")[0], 0)
                    text = page.read_text(encoding="utf-8")
                    self.assertIn(f'<html lang="{language}"', text)
                    shown = re.sub(r"<style>.*?</style>|<script.*?</script>|<dt>by</dt>", " ", text, flags=re.S)
                    shown = html.unescape(re.sub(r"<[^>]*>", " ", shown))
                    self.assert_spoken(language, shown, least=10)
                    # Told in one language, it is known for a report of ours in another.
                    self.assertEqual(run(command, "--language", "en", "-o", page, EXAMPLES / "pump-shaft.nc")[0], 0)

    def test_a_sheet_of_another_language_may_be_written_over(self):
        with tempfile.TemporaryDirectory() as folder:
            for name in ("sheet.md", "sheet.txt"):
                sheet = Path(folder) / name
                for language in ("de", "es", "en", "de"):
                    self.assertEqual(run("sheet", "--language", language, "-o", sheet, EXAMPLES / "pump-shaft.nc"), (0, "", ""))

    def test_the_page_has_the_texts_of_its_scripts(self):
        for language in ("en", "de", "es"):
            _, page, _ = run("picture", "--language", language, "--format", "html", EXAMPLES / "pump-shaft.nc")
            data = json.loads(re.search(r'<script type="application/json" id="data">(.*?)</script>', page, re.S).group(1))
            self.assertEqual(data.get("words"), None if language == "en" else TEXTS[language]["page"])

    def test_notes_of_changes_have_letters_of_a_control(self):
        with tempfile.TemporaryDirectory() as folder:
            changed = Path(folder) / "changed.nc"
            changed.write_text(PROGRAM.replace("F0.2", "F0.25", 1), encoding="utf-8")
            for language in ("de", "es"):
                _, out, _ = run("compare", "--language", language, "--format", "note", FAULTY, changed)
                self.assertTrue(out.startswith("("), out)
                self.assertTrue(out.isascii(), out)
                self.assertEqual(out, out.upper())

    def test_help(self):
        # What the parser of the command line has in English of its own.
        parsers = re.compile(r"Usage|Options|OPTIONS|COMMAND|Positionals|REQUIRED|UINT|INT\b|FLOAT|NUMBER|POSITIVE|Excludes|Print this|exit\b|\bfile\b|\bfolder\b")
        commands = re.findall(r"^  ([a-z]+)  ", run("--help")[1].split("Commands:")[1], re.M)
        self.assertGreater(len(commands), 15)
        for language in ("de", "es"):
            texts = TEXTS[language]["texts"]
            for words in ([], *([command] for command in commands)):
                status, out, _ = run(*words, "--language", language, "--help")
                self.assertEqual(status, 0)
                self.assertGreater(len(SPOKEN[language].findall(out)), 2, out)
                self.assertEqual(parsers.findall(out), [], out)
                self.assertIn(f"{texts['Usage']}: turnwright", out)
                # Descriptions stand below each other, whatever letters are in front of them.
                lines = [*out.splitlines(), ""]
                for line, below in zip(lines, lines[1:]):
                    if line.startswith("  -") and not below.startswith(" " * 30):
                        self.assertRegex(line, r"^.{29} \S")

    def test_wrong_words(self):
        for words, says in ((["check"], "{} is required"), (["check", "--format", "x", "y"], "{}: {} is none of {}"),
                            (["check", "--jobs", "x", "y"], "{}: {} is no number that can be taken"),
                            (["check", "--format"], "{} needs a value behind it"),
                            (["format", "a", "b"], "there is no place for {}"),
                            (["lot", "--bar", "x", "y"], "{} is no number"), (["lot", "--bar", "0", "y"], "must be above 0"),
                            (["lot", "--remnant", "-1", "y"], "must be 0 or more"),
                            (["restart", "x", "--line", "3", "--number", "10000"], "must be from {} to {}"),
                            (["restart", "x", "--line", "3", "--done", "1", "--reached", "X5"], "{} and {} do not go together")):
            told = {}
            for language in ("en", "de", "es"):
                status, out, told[language] = run(*words, "--language", language)
                self.assertEqual((status, out), (2, ""), words)
                self.assertEqual(told[language].count("\n"), 1)
                form = says if language == "en" else TEXTS[language]["texts"][says]
                self.assertRegex(told[language], ".*".join(re.escape(part) for part in re.split(r"\{\}", form)))
            self.assertEqual(len(set(told.values())), 3)

    def test_a_learnt_shop_file(self):
        made = {}
        for language in ("en", "de", "es"):
            status, made[language], told = run("learn", "--language", language, "-o", "-", EXAMPLES)
            self.assertEqual(status, 0, told)
            if language == "en": continue
            comments = "\n".join(re.sub(r'"[^"]*"|\([^()]*\)', " ", line.split("#", 1)[1])
                                 for line in made[language].splitlines() if "#" in line and not re.match(r"# (\[|\w+ =)", line))
            self.assert_spoken(language, comments, least=5)
            self.assert_spoken(language, told)
        # What counts is the same: only comments are told.
        bare = {language: [re.sub(r"\s*#.*", "", line) for line in text.splitlines() if re.match(r"[\[\w]", line)]
                for language, text in made.items()}
        self.assertGreater(len(bare["en"]), 5)
        self.assertEqual(bare["de"], bare["en"])
        self.assertEqual(bare["es"], bare["en"])


class Editors(Languages):
    def start(self, *arguments, settings=None, **more):
        server = Server(*arguments)
        server.__enter__()
        self.addCleanup(lambda: server.__exit__(None, None, None))
        server.initialize(initializationOptions={"turnwright": {**AT_ONCE["turnwright"], **(settings or {})}}, **more)
        self.uri = uri_of("/nowhere/program.nc")
        server.open(self.uri, PROGRAM)
        return server

    def told(self, server):
        return "\n".join(row["message"] for row in server.published(self.uri))

    def test_the_locale_of_the_editor_chooses(self):
        for locale, language in (("de", "de"), ("de-AT", "de"), ("es-MX", "es")):
            self.assert_spoken(language, self.told(self.start(locale=locale)), least=5)

    def test_an_unknown_locale_is_english(self):
        english = self.told(self.start())
        self.assertIn(" the ", english)
        self.assertEqual(english, self.told(self.start(locale="zz")))

    def test_the_option_and_the_setting(self):
        self.assert_spoken("es", self.told(self.start("--language", "es", locale="de")), least=5)
        self.assert_spoken("de", self.told(self.start("--language", "es", settings={"language": "de"}, locale="es")), least=5)

    def test_the_setting_may_change(self):
        server = self.start(locale="de")
        self.assert_spoken("de", self.told(server), least=5)
        server.notify("workspace/didChangeConfiguration", {"settings": {"turnwright": {**AT_ONCE["turnwright"], "language": "es"}}})
        self.assert_spoken("es", self.told(server), least=5)

    def test_templates_are_found_by_their_name_in_either_language(self):
        server = self.start(locale="de")
        place, version = uri_of("/nowhere/new.nc"), 1
        server.open(place, "G21\n\n")

        def offered(typed, line=1):
            nonlocal version
            version += 1
            server.change(place, version, {"text": f"G21\n{typed}\n" if line else typed})
            items = server.request("textDocument/completion", {"textDocument": {"uri": place}, "position": position(line, len(typed))})["items"]
            return {item["label"]: item.get("filterText", item["label"]) for item in items}

        self.assertEqual(offered("Einst")["Einstechen"], "Einstechen")
        self.assertEqual(offered("groo")["Einstechen"], "grooving")
        self.assertTrue({"Plandrehen", "Schruppdrehen", "Schlichtdrehen", "Bohren"} <= set(offered("")))
        self.assertIn("Gewinde M24x1.5", offered("Gewinde M24x1.5"))
        self.assertIn("Gewinde M24x1.5", offered("thread M24x1.5"))
        self.assertIn("Gewindebohrer M8", offered("gewindebohrer M8"))
        for typed in ("neu", "new", "Neues Pro"):
            self.assertIn("neues Programm", offered(typed, 0))
        self.assertNotIn("Einstechen", offered("boh"))

    def test_signs_beside_the_text_are_known_in_every_language(self):
        for language in ("de", "es"):
            server = self.start(locale=language)
            where = {"textDocument": {"uri": self.uri}, "position": position(30, 0)}
            cells = server.request("turnwright/state", where)
            self.assertEqual([cell["part"] for cell in cells], ["tool", "spindle", "feed", "units"])
            self.assertEqual([cell["name"] for cell in cells], [TEXTS[language]["texts"][cell["part"]] for cell in cells])
            rows = server.request("turnwright/sequences", where)
            self.assertEqual({row["takesOver"] for row in rows}, {row["restart"].startswith(TEXTS[language]["texts"]["takes over "]) for row in rows})

    def test_hover_and_titles(self):
        lines = PROGRAM.splitlines()
        for language in ("de", "es"):
            server = self.start(locale=language)
            hovers = 0
            for number, line in enumerate(lines):
                for word in re.finditer(r"[GMXZTSF]-?[\d.]+", re.sub(r"\(.*?\)", lambda note: " " * len(note.group()), line)):
                    hover = server.hover(self.uri, number, word.start())
                    if not hover: continue
                    hovers += 1
                    self.assert_spoken(language, hover["contents"]["value"])
            self.assertGreater(hovers, 40)
            actions = server.request("textDocument/codeAction", {
                "textDocument": {"uri": self.uri}, "range": {"start": position(0, 0), "end": position(len(lines), 0)},
                "context": {"diagnostics": []}})
            self.assertGreater(len(actions), 3)
            for action in actions:
                self.assertEqual(ENGLISH.findall(of_the_program(action["title"])), [], action["title"])


if __name__ == "__main__":
    unittest.main()
