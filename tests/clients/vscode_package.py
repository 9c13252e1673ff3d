"""vscode_package.py TURNWRIGHT SOURCE_DIR: what the VS Code extension says about the server against the server itself:
token classes, commands, settings, file types. Needs no editor."""
import json
import pathlib
import re
import subprocess
import sys

program, source = sys.argv[1], pathlib.Path(sys.argv[2])
folder = source / "editor-configs/vscode"
package = json.loads((folder / "package.json").read_text())
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

print("vscode package: all met" if not failures else f"vscode package: {failures} not met")
sys.exit(1 if failures else 0)
