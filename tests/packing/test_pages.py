"""The pages as HTML: no link leads nowhere, nothing needs a network, and the search finds."""

import json
import re
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

from parts import ROOT
import pages


class Pages(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.place = tempfile.TemporaryDirectory()
        cls.folder = Path(cls.place.name) / "pages"
        cls.count = pages.make(cls.folder)

    @classmethod
    def tearDownClass(cls):
        cls.place.cleanup()

    def test_every_page_is_made(self):
        written = [path for path in (ROOT / "docs").rglob("*.md")]
        self.assertGreater(len(written), 150)
        for path in written:
            self.assertTrue((self.folder / path.relative_to(ROOT).with_suffix(".html")).is_file(), path)
        self.assertFalse(list(self.folder.rglob("*.md")))

    def test_no_link_leads_nowhere(self):
        self.assertEqual(pages.dead_links(self.folder), [])

    def test_a_dead_link_is_found(self):
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place)
            (folder / "a.html").write_text('<h2 id="there">x</h2><a href="b.html#here">b</a><img src="no.png">'
                                           '<a href="#nowhere">c</a><a href="#there">d</a><a href="https://example.org/x">e</a>')
            (folder / "b.html").write_text('<a href="../out.html">out</a>')
            (folder.parent / "out.html").touch()
            self.addCleanup((folder.parent / "out.html").unlink)
            self.assertEqual(pages.dead_links(folder), [("a.html", "b.html#here"), ("a.html", "no.png"),
                                                        ("a.html", "#nowhere"), ("b.html", "../out.html")])

    def test_nothing_is_loaded_from_elsewhere(self):
        for page in self.folder.rglob("*.html"):
            text = page.read_text(encoding="utf-8")
            self.assertNotRegex(text, r'(?:src|<link[^>]* href)="(?:https?:)?//', page.name)
        for file in (self.folder / "site").iterdir():
            self.assertNotRegex(re.sub(r"const PAGES = .*", "", file.read_text(encoding="utf-8"), flags=re.S),
                                r"https?://|fetch\(|import ", file.name)

    def test_tables_lists_and_code_come_out(self):
        text = (self.folder / "docs/windows-first-day.html").read_text(encoding="utf-8")
        for part in ("<table>", "<code>Try it.cmd</code>", '<h2 id="1-unpack-it">', "<img alt="):
            self.assertIn(part, text)
        glossary = (self.folder / "docs/for-apprentices.html").read_text(encoding="utf-8")
        self.assertIn("<pre><code>", glossary)
        self.assertRegex((self.folder / "docs/README.html").read_text(encoding="utf-8"), r"<li>\s*<a href=\"warnings/README.html\"")

    @unittest.skipUnless(shutil.which("node"), "the search is tried with Node.js")
    def test_the_search_finds(self):
        script = (self.folder / "site/pages.js").read_text(encoding="utf-8") + (self.folder / "site/search.js").read_text()
        asked = ["missing decimal point", "G96", "not set by any block above", "xyzzy no such word", "a"]
        script += f"\nconsole.log(JSON.stringify({json.dumps(asked)}.map(words => search(words).map(row => row.url))));"
        file = Path(self.place.name) / "asked.js"
        file.write_text(script, encoding="utf-8")
        said = json.loads(subprocess.run(["node", file], check=True, capture_output=True, text=True).stdout)
        self.assertTrue(any("decimal_point_missing" in url or "missing-point" in url for url in said[0]), said[0])
        self.assertTrue(any("codes/" in url for url in said[1]))
        self.assertIn("docs/questions.html#why-does-it-say-not-known", said[2])
        self.assertEqual(said[3:], [[], []])
        for url in said[0] + said[1]:
            self.assertTrue((self.folder / url.split("#")[0]).is_file(), url)

    def test_every_reason_of_not_known_is_answered(self):
        source = (ROOT / "server/machine/state.cpp").read_text()
        reasons = re.findall(r'return (?:said\()?"([^"]+)"\)?;', source[source.index("explain(Why why)"):].split("\n}")[0])
        answered = (ROOT / "docs/questions.md").read_text()
        self.assertGreater(len(reasons), 15)
        for reason in set(reasons) - {"known", "not known"}:
            self.assertIn(f"| {reason} |", answered)


if __name__ == "__main__":
    unittest.main()
