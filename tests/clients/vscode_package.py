"""vscode_package.py TURNWRIGHT SOURCE_DIR: what the VS Code extension says about the server against the server itself:
token classes, commands, settings, file types. Needs no editor."""
import json
import pathlib
import re
import subprocess
import sys

program, source = sys.argv[1], pathlib.Path(sys.argv[2])
folder = source / "editor-configs/vscode"
sys.path.insert(0, str(folder))
import pack  # noqa: E402

written = json.loads((folder / "package.json").read_text())
package = pack.read_package()
grammar = json.loads((folder / "syntaxes/turning.tmLanguage.json").read_text())
commands_js = (folder / "source/commands.js").read_text()
given = package["contributes"]
failures = 0


def expect(condition, what, *details):
    global failures
    print("ok   " if condition else "FAIL ", what, *(() if condition else details))
    failures += not condition


def initialize():
    capabilities = {
        "workspace": {"applyEdit": True},
        "textDocument": {
            "semanticTokens": {"requests": {"full": True}, "tokenTypes": [], "tokenModifiers": [], "formats": []}
        },
    }
    said = b""
    for message in (
        {"id": 1, "method": "initialize",
         "params": {"processId": None, "rootUri": None, "capabilities": capabilities}},
        {"method": "initialized", "params": {}},
        {"id": 2, "method": "shutdown"},
        {"method": "exit"},
    ):
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        said += b"Content-Length: %d\r\n\r\n" % len(body) + body
    answered = subprocess.run([program, "serve"], input=said, capture_output=True, timeout=30, check=True).stdout
    length = int(re.match(rb"Content-Length: (\d+)\r\n", answered)[1])
    start = answered.index(b"\r\n\r\n") + 4
    return json.loads(answered[start : start + length])["result"]


def matched(text):
    """The scope of the first pattern that matches at the start, as an editor picks it."""
    for pattern in grammar["patterns"]:
        if re.match(pattern["match"], text):
            return pattern.get("name", "")
    return ""


server = initialize()
legend = server["capabilities"]["semanticTokensProvider"]["legend"]
scopes = given["semanticTokenScopes"][0]["scopes"]
types = {key.split(".")[0] for key in scopes} - {"*"}
expect(types == set(legend["tokenTypes"]), "every token class of the server has a colour, and no other",
       types ^ set(legend["tokenTypes"]))
modifiers = {part for key in scopes for part in key.split(".")[1:]}
expect(modifiers <= set(legend["tokenModifiers"]), "the modifiers that colour something are the server's")
standard = {"deprecated", "modification"}
expect({m["id"] for m in given["semanticTokenModifiers"]} == set(legend["tokenModifiers"]) - standard,
       "the modifiers that the editor does not know are explained to it")
used = {pattern["name"] for pattern in grammar["patterns"] if "name" in pattern}
used |= {c["name"] for pattern in grammar["patterns"] for c in pattern.get("captures", {}).values()}
expect(used <= {scope for names in scopes.values() for scope in names}, "the grammar uses the same colours",
       used - {scope for names in scopes.values() for scope in names})
for text, kind in (("(G00 X1.)", "comment"), ("%", "decorator"), ("N10", "enumMember"), ("O1001", "namespace"),
                   ("g0 X1.", "keyword"), ("G00", "keyword"), ("G01", "function"), ("G1X5.", "function"),
                   ("G76", "method"), ("G97", "macro"), ("G54", "macro"), ("G04", "macro"), ("M03", "event"),
                   ("T0101", "type"), ("S1500", "number"), ("F.2", "number"), ("X-1.6", "property"),
                   ("R0.5", "property"), ("#101", "variable"), ("IF[", "modifier"), ("GOTO 10", "modifier"),
                   ("WHILE", "modifier"), ("GT", "operator"), ("=", "operator"), ("3.5", "string")):
    expect(matched(text) == scopes[kind][0], f"{text} is coloured as {kind}", matched(text))

known = set(server["capabilities"]["executeCommandProvider"]["commands"])
table = dict(re.findall(r"'(turnwright\.\w+)':\s*\['(turnwright\.\w+)'", commands_js))
expect(set(table.values()) == known, "every command of the server is in the palette, and no other",
       set(table.values()) ^ known)
expect(not set(table) & known, "under a name that the language client does not take for itself")
# Two of them are one command of the server: with the saved file and with another.
registered = set(table) | set(re.findall(r"register\('(turnwright\.\w+)'", commands_js))
expect(registered == {c["command"] for c in given["commands"]}, "every command has a title",
       registered ^ {c["command"] for c in given["commands"]})

unguarded = {c["command"] for c in given["commands"] if c.get("enablement") != "isWorkspaceTrusted"}
harmless = {"turnwright." + name for name in ("showLog", "newProgram", "openExample", "showFirstSteps", "showHelp", "goToSequence")}
expect(unguarded == harmless, "no command runs anything in a workspace that is not trusted", unguarded)
expect(package["capabilities"]["untrustedWorkspaces"]["supported"] == "limited", "and there is no server in it")
expect(given["configuration"]["properties"]["turnwright.program"]["scope"] == "machine",
       "no workspace names the program")

hints = set(re.findall(r'"hints", "(\w+)"', (source / "server/protocol/ability_inlay_hint.cpp").read_text()))
settings = set(given["configuration"]["properties"])
expect(len(hints) > 3 and {f"turnwright.hints.{hint}" for hint in hints | {"offered"}} ==
       {s for s in settings if s.startswith("turnwright.hints.")}, "every switch of the hints is a setting")
registered = (source / "server/protocol/registrations.cpp").read_text()
for group in ["hints", "lenses", "formatting"]:
    expect(f'"{group}"' in registered and f"turnwright.{group}.offered" in settings, f"{group} can be turned off")
page = (folder / "README.md").read_text()
for setting in sorted(settings):
    expect(f"`{setting.removeprefix('turnwright.')}`" in page, f"the page explains {setting}")

for name, setting in sorted(given["configuration"]["properties"].items()):
    expect(len(setting.get("description", "")) > 20 and setting["description"].endswith("."), f"{name} is described")
expect(sorted(s["order"] for s in given["configuration"]["properties"].values()) == list(range(1, len(settings) + 1)),
       "the settings stand in an order")

# Whatever the editor is to show is there.
commands = {c["command"] for c in given["commands"]}
menus = [(menu, item) for menu, items in given["menus"].items() for item in items]
named = {item["command"] for _, item in menus if "command" in item}
expect(named <= commands, "menus name commands that there are", named - commands)
expect({item["submenu"] for _, item in menus if "submenu" in item} <= {sub["id"] for sub in given["submenus"]},
       "and menus that there are")
for menu in ("editor/title", "editor/context", "explorer/context", "view/title"):
    expect(len(given["menus"].get(menu, ())) > 0, f"there are commands in {menu}")
titled = {item["command"] for menu, item in menus if "command" in item and menu in ("editor/title", "view/title")
          and item.get("group", "").startswith("navigation")}
expect(all("icon" in c for c in given["commands"] if c["command"] in titled), "a command with no room for words has a sign")
keys = given["keybindings"]
expect({k["command"] for k in keys} <= commands and len({k["key"] for k in keys}) == len(keys) > 3, "keys are for commands")
expect(all("editorLangId == turning" in k["when"] and "editorTextFocus" in k["when"] for k in keys),
       "and only in the text of a program")
# Alt with Ctrl writes letters on many keyboards.
expect(all(not re.search(r"ctrl\+alt|alt\+ctrl", k["key"]) for k in keys), "no key is in the way of writing")
files = [package["icon"], given["grammars"][0]["path"], given["languages"][0]["configuration"], package["main"],
         *(c["icon"] for c in given["viewsContainers"]["activitybar"]),
         *(step["media"]["image"] for walk in given["walkthroughs"] for step in walk["steps"])]
for file in sorted(set(files)):
    expect((folder / file).is_file(), f"{file} is there")
png = (folder / package["icon"]).read_bytes()
expect(png[:8] == b"\x89PNG\r\n\x1a\n" and int.from_bytes(png[16:20], "big") >= 128, "the icon is a PNG of 128 points or more")
for walk in given["walkthroughs"]:
    for step in walk["steps"]:
        expect(len(step["media"]["altText"]) > 20 and step["description"], f"step {step['id']} is told in words, too")
        linked = set(re.findall(r"command:([\w.]+)", step["description"]))
        expect({c for c in linked if c.startswith("turnwright.")} <= commands | {"turnwright.sequences.focus"},
               f"what step {step['id']} links to is there", linked)
for source_file in sorted((folder / "source").glob("*.js")):
    for needed in re.findall(r"require\('(\.[^']+)'\)", source_file.read_text()):
        expect((source_file.parent / (needed + ".js")).is_file(), f"{source_file.name} finds {needed}")

listed = (source / "editor-configs/README.md").read_text()
read = {".".join(path) for file in (source / "server/protocol").glob("*.cpp")
        for path in re.findall(r'flag\(\{"(\w+)", "(\w+)"\}', file.read_text())}
read |= {name for file in (source / "server/protocol").glob("*.cpp") for name in re.findall(r'texts\("(\w+)"\)', file.read_text())}
read |= {f"{group}.offered" for group in ["hints", "lenses", "formatting"]}
expect(len(read) > 8 and not {setting for setting in read if f"`{setting}`" not in listed},
       "the table of the server's settings has every one that it reads", {s for s in read if f"`{s}`" not in listed})
expect({f"turnwright.{setting}" for setting in read} <= settings, "and each of them is a setting of the extension",
       {setting for setting in read if f"turnwright.{setting}" not in settings})

endings = set(given["languages"][0]["extensions"])
lifecycle = (source / "server/protocol/lifecycle.cpp").read_text()
watched = re.search(r"\*\*/\*\.\{([a-z,]+)\}", lifecycle)[1]
expect('texts("endings")' in (source / "server/protocol/workspace.cpp").read_text() and "turnwright.endings" in settings,
       "the server takes the endings of the setting")
expect(endings == {"." + ending for ending in watched.split(",")}, "the endings are those the server watches")
first = re.compile(given["languages"][0]["firstLine"])
for line, wanted in (("%", True), ("O1234", True), ("o12 (SHAFT)", True), (":0042", True), ("N1 G00", False),
                     ("% of all", False), ("O1234 is it", False)):
    expect(bool(first.search(line)) == wanted, f"a file that begins with '{line}' is {'' if wanted else 'not '}taken")

# What a person reads, in every language of the program. VS Code takes "%key%" of package.json from package.nls.LANGUAGE.json
# and the texts of the scripts from l10n/bundle.l10n.LANGUAGE.json.
def shown(value, name=""):
    """Texts of package.json that an editor shows, with the names of where they stand."""
    if isinstance(value, dict):
        for key, part in value.items(): yield from shown(part, key)
    elif isinstance(value, list):
        for part in value: yield from shown(part, name)
    elif name in ("title", "description", "enumDescriptions", "patternErrorMessage", "contents", "altText", "label", "aliases",
                  "contextualTitle", "name"):
        yield name, value


bare = {text for _, text in [*shown(written["contributes"]), ("description", written["description"]), *shown(written["capabilities"])]
        if not re.fullmatch(r"%[\w.-]+%", text)}
expect(bare == {"Turnwright"}, "every text of package.json has a name, under which each language has it", bare)
english = json.loads((folder / "package.nls.json").read_text())
used_keys = set(re.findall(r'"%([\w.-]+)%"', (folder / "package.json").read_text()))
expect(used_keys == set(english), "and no name has no text or no place", used_keys ^ set(english))

SCRIPT = re.compile(r"""(?P<comment>//[^\n]*|/\*.*?\*/)|(?P<text>'(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`)"""
                    r"""|(?P<regex>(?<=[(=,:!&|?])\s*/(?:[^/\\\n\[]|\\.|\[[^\]]*\])+/[a-z]*)""", re.S)
SHOWS = re.compile(r"(title|placeHolder|prompt|label|openLabel|tooltip|detail|description):$|show\w*Message\($|setStatusBarMessage\($")


def looks_read(text, before):
    """Whether a person may read a literal of a script: words with a blank between, one in capitals, or where it is shown."""
    plain = re.sub(r"\$\{[^{}]*\}", "", text)
    return bool(re.search(r"[A-Za-z]{2,}[,:.]? [A-Za-z]{2,}|[^\w'] [a-z]{3,}|^[A-Z][a-z]+$", plain)
                or SHOWS.search(before) and re.search(r"[A-Za-z]{2}", plain))


said, unsaid = set(), []
for script in sorted((folder / "source").glob("*.js")):
    text = script.read_text()
    for literal in (m for m in SCRIPT.finditer(text) if m.lastgroup == "text"):
        before = text[: literal.start()].rstrip()
        content = re.sub(r"\\(.)", r"\1", literal.group()[1:-1])
        if before.endswith("said("):
            expect(literal.group()[0] != "`", f"what {script.name} says has {{0}} for values", content)
            said.add(content)
        elif looks_read(content, before) and content not in ("use strict", "Turnwright") and not content.startswith("<script"):
            unsaid.append((script.name, content))
expect(not unsaid, "no text of a script goes past said()", unsaid)
expect(looks_read("Open a part program first.", "(") and looks_read("${name}: picture", "=") and looks_read("radius", "{ title:")
       and looks_read("Chamfer", "[") and not looks_read("turnwright.picture", "["), "and one that did would be found")
expect(len(said) > 40, "the scripts say something", len(said))
languages = sorted(path.stem for path in (source / "server/language/languages").glob("*.json"))
expect(set(given["configuration"]["properties"]["turnwright.language"]["enum"]) == {"", "en", *languages},
       "the setting has the languages of the program")
packed = set(pack.own_files())
# The same word in German
SAME = {"Radius"}


def marks(text):
    """What stays in every language: places, commands behind links, keys, settings, endings and codes."""
    return sorted(re.findall(r"\{\d+\}|\]\([^)]*\)|`[^`]*`|turnwright\.\w+|\.\w{3}\b|\b[GM]\d\d\b|\bPATH\b|\.\.\.$", text))


for language in languages:
    for file, wanted in ((f"package.nls.{language}.json", english), (f"l10n/bundle.l10n.{language}.json", {text: text for text in said})):
        texts = json.loads((folder / file).read_text())
        expect(set(texts) == set(wanted), f"{file} has every text and no other", set(texts) ^ set(wanted))
        expect(file in packed, f"{file} is packed")
        left = [key for key in set(texts) & set(wanted) if texts[key] == wanted[key] and wanted[key] not in SAME]
        expect(not left, f"nothing in {file} is left in English", left)
        odd = [key for key in set(texts) & set(wanted) if marks(texts[key]) != marks(wanted[key])]
        expect(not odd, f"{file} has the same places, links, keys and settings", [(key, marks(texts[key]), marks(wanted[key])) for key in odd])
expect("package.nls.json" in packed and written["l10n"] == "./l10n", "the English is packed, and the editor is told of the others")
expect("%" not in re.sub(r'"[^"]*%[0-9A-F]{2}[^"]*"', "", pack.manifest(package, None)), "the list of extensions shows texts, no names")

print("vscode package: all met" if not failures else f"vscode package: {failures} not met")
sys.exit(1 if failures else 0)
