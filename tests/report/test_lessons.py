"""Each lesson: the program with the mistake gives exactly the findings that its page says, the mended one none."""

import json
import os
import re
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LESSONS = ROOT / "docs" / "lessons"
TURNWRIGHT = os.environ["TURNWRIGHT"]


# The words of a page that are told apart, and of its folder
LANGUAGES = {"en": ("Lesson", "line", ""), "de": ("Lektion", "Zeile", "de"), "es": ("Lección", "línea", "es")}


def run(*words):
    done = subprocess.run([TURNWRIGHT, *map(str, words)], capture_output=True, text=True, timeout=120)
    return done.returncode, done.stdout, done.stderr


def findings(path):
    _, out, _ = run("check", "--format", "json", path)
    return sorted((w["line"], w["id"]) for file in json.loads(out)["files"] for w in file["warnings"])


class Lessons(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.here = Path(folder.name)
        self.pages = sorted(LESSONS.glob("[0-9]*.md"))

    def test_a_lesson_says_what_the_program_says_and_the_mended_one_is_clean(self):
        self.assertGreaterEqual(len(self.pages), 12)
        for number, page in enumerate(self.pages, 1):
            with self.subTest(page=page.name):
                text = page.read_text()
                self.assertTrue(text.startswith(f"# Lesson {number}: "))
                said = sorted((int(line), check) for line, check in re.findall(r"^- line (\d+): `(\w+)`", text, re.M))
                self.assertTrue(said)
                self.assertGreaterEqual(len(re.findall(r"^\d\. ", text, re.M)), 3)  # hints
                folder = self.here / page.stem
                self.assertEqual(run("lesson", number, folder)[0], 0)
                program = folder / (page.stem + ".nc")
                self.assertEqual(findings(program), said)
                self.assertEqual((folder / page.name).read_text(), text)
                status, mended, _ = run("lesson", number, "--mended")
                self.assertEqual(status, 0)
                self.assertNotEqual(mended, program.read_text())
                program.write_text(mended)
                self.assertEqual(findings(program), [])

    def test_the_list_names_them_all_and_the_readme_too(self):
        status, out, _ = run("lesson")
        self.assertEqual(status, 0)
        readme = (LESSONS / "README.md").read_text()
        for page in self.pages:
            title = page.read_text().splitlines()[0].split(": ", 1)[1]
            self.assertIn(title, out)
            self.assertIn(f"[{title}]({page.name})", readme)

    def test_nothing_is_written_over(self):
        kept = self.here / "01-missing-point.nc"
        kept.write_text("mine\n")
        status, _, told = run("lesson", 1, self.here)
        self.assertEqual(status, 2)
        self.assertIn("stays as it is", told)
        self.assertEqual(kept.read_text(), "mine\n")
        self.assertEqual(sorted(p.name for p in self.here.iterdir()), ["01-missing-point.nc"])
        self.assertEqual(run("lesson", 99, self.here)[0], 2)
        self.assertEqual(run("lesson", "x", self.here)[0], 2)

    def test_every_language_has_every_lesson(self):
        ours = {path.name for path in LESSONS.iterdir() if path.is_dir()}
        catalogues = {path.stem for path in (ROOT / "server" / "language" / "languages").glob("*.json")}
        self.assertEqual(ours, catalogues)
        self.assertEqual(ours | {"en"}, set(LANGUAGES))
        for language in sorted(ours):
            word, line, folder = LANGUAGES[language]
            status, listed, _ = run("lesson", "--language", language)
            self.assertEqual(status, 0)
            readme = (LESSONS / folder / "README.md").read_text()
            for number, english in enumerate(self.pages, 1):
                with self.subTest(language=language, page=english.name):
                    page = (LESSONS / folder / english.name).read_text()
                    title = page.splitlines()[0].removeprefix(f"# {word} {number}: ")
                    self.assertNotEqual(title, english.read_text().splitlines()[0].split(": ", 1)[1])
                    self.assertIn(title, listed)
                    self.assertIn(f"[{title}]({english.name})", readme)
                    # The same programs with the same warnings at the same lines, as many hints and codes.
                    fences = lambda text, sort: re.findall(rf"```{sort}\n.*?```", text, re.S)
                    self.assertEqual(fences(page, "nc"), fences(english.read_text(), "nc"))
                    toml = [[row for row in fence.splitlines() if not row.startswith("#")] for fence in fences(page, "toml")]
                    self.assertEqual(toml, [[row for row in fence.splitlines() if not row.startswith("#")]
                                            for fence in fences(english.read_text(), "toml")])
                    said = re.findall(rf"^- {line} (\d+): `(\w+)`", page, re.M)
                    self.assertTrue(said)
                    self.assertEqual(said, re.findall(r"^- line (\d+): `(\w+)`", english.read_text(), re.M))
                    self.assertEqual(len(re.findall(r"^\d\. ", page, re.M)), len(re.findall(r"^\d\. ", english.read_text(), re.M)))
                    codes = lambda text: sorted(re.findall(r"`([A-Z][^`]*)`|\b([GM]\d\d)\b", re.sub(r"```.*?```", "", text, flags=re.S)))
                    squeezed = lambda text: [(" ".join(a.split()), b) for a, b in codes(text)]
                    self.assertEqual(squeezed(page), squeezed(english.read_text()))
                    prose = re.sub(r"```.*?```|`[^`]*`", "", page, flags=re.S)
                    self.assertEqual(re.findall(r"\b(the|of|and|with|this|are|from|where|which|write)\b", prose), [])
                    place = self.here / language / english.stem
                    self.assertEqual(run("lesson", number, place, "--language", language)[0], 0)
                    self.assertEqual((place / english.name).read_text(), page)
                    program = re.search(r"```nc\n(.*?)```", page, re.S)[1]
                    self.assertEqual((place / (english.stem + ".nc")).read_text(), program)
            for linked in re.findall(r"\]\(([^)#]+)\)", readme):
                self.assertTrue((LESSONS / folder / linked).exists(), linked)

    def test_a_warning_of_a_lesson_explains_itself_in_the_language(self):
        for language in ("de", "es"):
            for english in self.pages:
                check = re.search(r"`turnwright explain (\w+)`", (LESSONS / language / english.name).read_text())[1]
                status, out, _ = run("explain", check, "--language", language)
                self.assertEqual(status, 0)
                self.assertNotEqual(out, run("explain", check)[1])


if __name__ == "__main__":
    unittest.main()
