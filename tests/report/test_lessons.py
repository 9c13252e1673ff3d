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


if __name__ == "__main__":
    unittest.main()
