"""Text of programs, shop files and job files is shown as it stands: nothing of it acts in an editor."""
import os
import re
import tempfile
import unittest

from driver import Server, position, span, uri_of
from test_abilities import FULL

IMAGE = "![i](http://a.b/c)"
LINK = "[t](command:x)"
SHOP = f"""
units = "mm"
[stock]
diameter = 50
length = 60
material = "{IMAGE}"
[[machine]]
name = "{LINK}"
[machine.m_codes]
77 = "{IMAGE}"
[[tool]]
station = 1
note = "{IMAGE}"
"""
JOB = f'units = "mm"\n[stock]\nmaterial = "{LINK} {IMAGE}"\n'
PROGRAM = f"""O1 {'({})'.format(IMAGE.replace('(', '').replace(')', ''))}
(T01 {LINK.replace('(', '').replace(')', '')} <img src=x>)
G21 G99 G97 S500 M03 F0.2
N1 T0101 (**N1** `x` ![i])
M77
G00 X52. Z2.
N10 G01 X30. (![i])
Z-10.
GOTO30
N30 (![i] `x`)
M30
"""


def strings(value):
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for item in value:
            yield from strings(item)
    elif isinstance(value, dict):
        for item in value.values():
            yield from strings(item)


def markdown(value):
    if isinstance(value, dict):
        if value.get("kind") == "markdown" and isinstance(value.get("value"), str):
            yield value["value"]
        for item in value.values():
            yield from markdown(item)
    elif isinstance(value, list):
        for item in value:
            yield from markdown(item)


class Markup(unittest.TestCase):
    def test_nothing_of_a_file_acts(self):
        for job in (False, True):
            with self.subTest(job=job), tempfile.TemporaryDirectory() as folder, Server() as server:
                folder = os.path.realpath(folder)
                for name, text in [("turnwright.toml", SHOP)] + ([("part.turnwright.toml", JOB)] if job else []):
                    with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
                        file.write(text)
                uri = uri_of(os.path.join(folder, "part.nc"))
                server.initialize(capabilities=FULL, workspaceFolders=[{"uri": uri_of(folder), "name": "jobs"}])
                server.open(uri, PROGRAM)
                document = {"textDocument": {"uri": uri}}
                answers = []
                lines = PROGRAM.split("\n")
                for number, line in enumerate(lines):
                    for column in range(len(line) + 1):
                        at = {**document, "position": position(number, column)}
                        answers.append(server.request("textDocument/hover", at))
                    at = {**document, "position": position(number, len(line))}
                    answers.append(server.request("textDocument/signatureHelp", at))
                    for item in server.request("textDocument/completion", at)["items"][:40]:
                        answers.append(server.request("completionItem/resolve", item))
                whole = {**document, "range": span(0, 0, len(lines), 0)}
                answers.append(server.request("textDocument/inlayHint", whole))
                answers.append(server.request("textDocument/codeLens", document))
                answers.append(server.request("textDocument/documentSymbol", document))
                answers.append(server.request("workspace/executeCommand", {"command": "turnwright.restartTable", "arguments": [uri]}))
                shown = [text for answer in answers for text in markdown(answer)]
                self.assertGreater(len(shown), 50)
                self.assertTrue(any("cutting force is known for" in text for text in shown))
                for text in shown:
                    outside = re.sub(r"(`{3,})text\n.*?\n\1\n?", "", text + "\n", flags=re.S)
                    outside = re.sub(r"\\.", " ", re.sub(r"(`+)(?!`).*?(?<!`)\1(?!`)", "", outside))
                    self.assertIsNone(re.search(r"!\[|\]\(|<img|https?://", outside), text)
                for message in server.inbox:
                    if message.get("method") == "window/showMessage":
                        self.assertNotIn("](", message["params"]["message"])


if __name__ == "__main__":
    unittest.main()
