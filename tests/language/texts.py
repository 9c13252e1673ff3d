#!/usr/bin/env python3
"""Every English text of the program that reaches a person, with the file it stands in.

    texts.py           as JSON: {"texts": {text: file}, "page": {text: file}}
    texts.py missing   as JSON for translators: the texts that no catalogue or not every catalogue has
"""
import glob
import json
import os
import re
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from literals import File, has_words, literals_of  # noqa: E402

ROOT = os.path.abspath(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", ".."))
# Tables whose texts are looked up where they are shown. `words`: single words of them too.
TABLES = re.compile(r"^(codes/(?!pages\.cpp)|calculate/\w+\.cpp|features/(hover_macro|hover_state|completion|hover_load|assumed)\.cpp"
                    r"|machine/evidence\.cpp|report/(check|explain|inspection|library_forms|sheet|sheet_forms"
                    r"|tell_forms|why_no_program)\.cpp|stock/(loads|stock)\."
                    r"|protocol/ability_execute_command\.cpp|report/telling_move\.h|shop/keys\.cpp|checks/rules/(arc_of_other_plane|code_of_pair_missing|value_out_of_row)\.cpp)")
# Of these tables words alone are ids, or words of a program or a shop file.
SENTENCES_ONLY = re.compile(r"^(shop/keys\.cpp|calculate/)")
NOT_SHOWN = re.compile(r"^codes/\w+\.h$")


def files():
    for pattern in ("*.cpp", "*.h", "*/*.cpp", "*/*.h", "checks/rules/*.cpp"):
        yield from sorted(glob.glob(f"{ROOT}/server/{pattern}"))


def is_sentence(text):
    return len(text) > 24 or text.endswith(".")


def texts_of(file):
    """The texts of one source file."""
    name = file.short
    for literal in file.literals:
        text, front = literal.value, [file.before(literal, n) for n in (1, 2, 3, 4)]
        calls = [call for sign, call, _ in literal.calls if sign == "("]
        if front[0] == "(" and front[1] in ("said", "translated"):
            yield text
        elif calls[-1:] == ["plural"] and front[0] == ",":
            yield text
            yield text + "s"
        elif name.startswith("checks/rules/") and front[0] == "=" and front[1] in ("title", "documentation"):
            yield text
        elif has_words(text) and file.is_table(literal) and "TableText" in file.statement(literal):
            yield text
        elif name == "report/check.cpp" and front[0] == "return" and " " not in text and text != "off":
            yield text  # How grave a warning is
        elif TABLES.search(name) and not NOT_SHOWN.search(name) and has_words(text) and file.is_table(literal) or \
                TABLES.search(name) and name.startswith("codes/") and not NOT_SHOWN.search(name) and has_words(text) and not file.is_table(literal):
            if front[0] in ("==", "!=") or re.fullmatch(r"[a-z]+(_[a-z]+)+|\w+/\w+|.*\.svg|[a-z_,]+\n", text, re.S): continue
            if name.startswith("codes/") and not text[0].isalpha(): continue  # Of the pages in docs
            if name == "codes/effects.cpp" and not text[0].isupper(): continue  # A word of the shop file
            if not SENTENCES_ONLY.search(name) or is_sentence(text) or name.startswith("calculate/") and " " in text:
                yield text


def page_texts():
    for path in sorted(glob.glob(f"{ROOT}/server/report/page/*.js")):
        with open(path, encoding="utf-8") as source:
            for found in re.finditer(r'\bsaid\(\s*("(?:[^"\\]|\\.)*"(?:\s*\+\s*"(?:[^"\\]|\\.)*")*)', source.read()):
                pieces = re.findall(r'"(?:[^"\\]|\\.)*"', found.group(1))
                yield "".join(json.loads(piece) for piece in pieces), os.path.basename(path)


def html_texts():
    """Of the picture's page, what stands between its tags and in two of their attributes."""
    with open(f"{ROOT}/server/report/picture_page.cpp", encoding="utf-8") as source:
        html = re.search(r'R"HTML\((.*?)\)HTML"', source.read(), re.S).group(1)
    found = re.findall(r"[^<>]+(?=<)", re.sub(r"<[^>]*>", "<", html)) + re.findall(r'(?:title|aria-label|aria-roledescription)="([^"]*)"', html)
    return [text.strip() for text in found if re.search(r"[a-z]{2}", text)]


def all_texts():
    texts, page = {}, {}
    for path in files():
        file = File(path)
        for text in texts_of(file): texts.setdefault(text, file.short)
    for text, name in page_texts(): page.setdefault(text, f"report/page/{name}")
    for text in html_texts(): texts.setdefault(text, "report/picture_page.cpp")
    return {"texts": texts, "page": page}


def catalogues():
    for path in sorted(glob.glob(f"{ROOT}/server/language/languages/*.json")):
        with open(path, encoding="utf-8") as catalogue:
            yield os.path.basename(path)[:-5], json.load(catalogue)


if __name__ == "__main__":
    found = all_texts()
    if sys.argv[1:] == ["missing"]:
        have = [catalogue for _, catalogue in catalogues()]
        found = {part: {text: where for text, where in rows.items() if not all(text in one[part] for one in have)}
                 for part, rows in found.items()}
    json.dump(found, sys.stdout, ensure_ascii=False, indent=1)
    print()
