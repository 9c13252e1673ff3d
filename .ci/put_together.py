#!/usr/bin/env python3
"""put_together.py BUILD OUT: one source file for each group of files that BUILD, configured with TURNWRIGHT_TOGETHER,
compiles as one; with the commands to compile them, and their names printed. A checker that looks at the main file of a
compilation only then sees all of the group and reads the heavy headers once. "// from" says what comes from where."""
import json
import pathlib
import re
import sys

build, out = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
(out / "server").mkdir(parents=True, exist_ok=True)
commands = []
for row in json.loads((build / "compile_commands.json").read_text()):
    file = pathlib.Path(row["file"])
    if "grammar" in file.parts or "generated" in file.parts:
        continue
    made = file
    if file.name.startswith("unity_"):
        parts = re.findall(r'#include "([^"]+\.cpp)"', file.read_text())
        made = out / "server" / f"{file.parts[-3].removesuffix('.dir')}_{file.stem}.cpp"
        made.write_text("".join(f"// from {part}\n{pathlib.Path(part).read_text()}\n"
                                for part in parts if "/generated/" not in part))
    commands.append({"directory": row["directory"], "file": str(made),
                     "command": row["command"].replace(str(file), str(made))})
(out / "compile_commands.json").write_text(json.dumps(commands, indent=1))
print("\n".join(sorted({row["file"] for row in commands})))
