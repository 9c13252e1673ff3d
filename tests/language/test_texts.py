"""Every text for people exists in every language, with the same places for values, and fits where it is shown."""
import re
import unittest

from texts import all_texts, catalogues

TEXTS = all_texts()

PLACE = re.compile(r"\{\{|\}\}|\{(\d*)((?::[^{}]*(?:\{\d*\}[^{}]*)*)?)\}")
# Names of rows in a hover of 80 columns, the longest row beside them 74.
ROW_NAMES = ["feed", "position", "spindle", "tool", "modes", "cycle", "unknown"]
MOST_OF_A_ROW_NAME = 14
# Titles of code actions stand in a list of one line each.
MOST_OF_A_LABEL = 60


def places(text):
    """(number, form) of every place; those without a number are counted, as in fmt."""
    found, count = set(), 0
    for place in PLACE.finditer(text):
        if place.group() in ("{{", "}}"): continue
        number = int(place.group(1)) if place.group(1) else count
        count += not place.group(1)
        form = place.group(2)
        while "{}" in form:
            form = form.replace("{}", "{%d}" % count, 1)
            count += 1
        found.add((number, form))
    return found


def named(text):
    """Codes, ids, options and files: the same in every language."""
    return set(re.findall(r"\b[GM]\d\d(?:\.\d)?\b|--[a-z][\w-]*|\b[a-z]+(?:_[a-z]+)+\b|\b\w+\.toml\b", text))


class Catalogues(unittest.TestCase):
    def every(self):
        for name, catalogue in catalogues():
            for part in ("texts", "page"):
                for english, translation in catalogue[part].items():
                    yield name, part, english, translation

    def test_the_languages(self):
        self.assertLessEqual({"de", "es"}, {name for name, _ in catalogues()})
        self.assertGreater(len(TEXTS["texts"]), 4000)
        self.assertGreater(len(TEXTS["page"]), 40)

    def test_every_text_exists(self):
        for name, catalogue in catalogues():
            for part in ("texts", "page"):
                missing = [text for text in TEXTS[part] if text not in catalogue[part]]
                self.assertEqual(missing[:20], [], f"{len(missing)} texts are not in {name}.json: texts.py missing lists them")

    def test_no_text_that_nobody_says(self):
        for name, part, english, _ in self.every():
            self.assertIn(english, TEXTS[part], name)

    def test_the_places_for_values(self):
        for name, _, english, translation in self.every():
            self.assertEqual(places(english), places(translation), f"{name}: {english!r}: {translation!r}")

    def test_the_ends(self):
        """Texts are put together: blanks and line ends at both ends stay."""
        for name, _, english, translation in self.every():
            for end in (r"^\s*", r"\s*$"):
                self.assertEqual(re.search(end, english).group(), re.search(end, translation).group(), f"{name}: {english!r}")

    def test_what_is_the_same_in_every_language(self):
        for name, _, english, translation in self.every():
            self.assertLessEqual(named(english), named(translation), f"{name}: {english!r}: {translation!r}")
            self.assertEqual(re.findall(r"</?[a-z]+", english), re.findall(r"</?[a-z]+", translation), f"{name}: {english!r}")
            self.assertEqual(english.count("**"), translation.count("**"), f"{name}: {english!r}")
            self.assertEqual(english.count("|") if "\n|" in english else 0, translation.count("|") if "\n|" in english else 0,
                             f"{name}: {english!r}")

    def test_it_fits(self):
        for name, _, english, translation in self.every():
            most = len(english) * 1.8 + 20
            self.assertLessEqual(len(translation), most, f"{name}: {english!r}: {translation!r}")
        for name, catalogue in catalogues():
            for row in ROW_NAMES:
                self.assertLessEqual(len(catalogue["texts"][row]), MOST_OF_A_ROW_NAME, f"{name}: {row}")
            for text in catalogue["page"]:
                if len(text) <= 24: self.assertLessEqual(len(catalogue["page"][text]), MOST_OF_A_LABEL, f"{name}: {text}")

    def test_a_catalogue_is_written_in_order(self):
        """One text a line, in the order of the English: then two changes seldom meet."""
        for name, catalogue in catalogues():
            self.assertEqual(list(catalogue["texts"]), sorted(catalogue["texts"]), name)


class Places(unittest.TestCase):
    """The yardstick itself finds what is wrong."""

    def test_places(self):
        self.assertEqual(places("{} at {:.1f}"), places("bei {1:.1f}: {0}"))
        self.assertNotEqual(places("{} at {}"), places("{} bei"))
        self.assertNotEqual(places("{:.1f}"), places("{}"))
        self.assertEqual(places("{{}} {}"), {(0, "")})
        self.assertEqual(places("X{:.{}f} {}"), {(0, ":.{1}f"), (2, "")})


if __name__ == "__main__":
    unittest.main()
