"""Tries the program of the Linux archive, unpacked in a folder, as if that folder were all there is on the computer:

    python3 try_archive.py FOLDER COMMIT

Run by .ci/archive.sh, as root (chroot). Writes what came out as a page for docs/tried."""
import datetime
import os
import subprocess
import sys

BARE = os.path.abspath(sys.argv[1])
os.environ["TURNWRIGHT"] = "/turnwright"
os.environ["TURNWRIGHT_RUNNER"] = "chroot " + BARE

from driver import COMMAND, Server, position  # noqa: E402  (it reads the two lines above)

URI = "file:///docs/examples/pump-shaft-faulty.nc"


def run(*words):
    done = subprocess.run([*COMMAND, *words], capture_output=True, text=True, timeout=60, check=False)
    assert done.stderr == "", done.stderr
    return done.returncode, done.stdout


def shown(command, text, lines):
    all_lines = text.splitlines()
    print(f"    $ {command}")
    for line in all_lines[:lines]:
        print("    " + line)
    for line in all_lines[lines:]:
        if " checked: " in line:
            print("    ...\n    " + line)
    print()


def first_line(*command):
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.splitlines()[0]


def main():
    there = sorted(os.listdir(BARE))
    for system_folder in ("lib", "lib64", "usr", "bin", "etc", "proc", "dev"):
        assert system_folder not in there, system_folder
    kind = first_line("file", "-b", os.path.join(BARE, "turnwright")).split(", BuildID")[0]
    print("# The Linux archive, tried in an empty folder\n")
    print(f"Written by `sh .ci/archive.sh test`, {datetime.date.today()}, at {sys.argv[2]}. The archive was unpacked in a folder")
    print("of its own and the program run with that folder as the root of everything (chroot): no C library, no loader,")
    print("no /etc, no /proc.\n")
    print(f"- what is there: {' '.join(there)}")
    print(f"- turnwright: {os.path.getsize(os.path.join(BARE, 'turnwright'))} bytes, {kind}")
    print(f"- kernel: {first_line('uname', '-sr').split('-')[0]}\n")

    status, text = run("--version")
    assert status == 0 and text.strip(), (status, text)
    shown("turnwright --version", text, 3)
    status, text = run("check", "docs/examples/pump-shaft-faulty.nc")
    assert status == 1 and "[decimal_point_missing]" in text and "1 program checked" in text, (status, text)
    shown("turnwright check docs/examples/pump-shaft-faulty.nc", text, 4)
    status, text = run("check", "docs/examples")
    programs = [name for name in os.listdir(os.path.join(BARE, "docs/examples")) if name.endswith(".nc")]
    assert len(programs) > 2 and f"{len(programs)} programs checked" in text, text
    shown("turnwright check docs/examples", text, 0)

    with open(os.path.join(BARE, "docs/examples/pump-shaft-faulty.nc"), encoding="utf-8") as file:
        program = file.read()
    with Server() as server:
        result = server.initialize(workspaceFolders=[{"uri": "file:///docs/examples", "name": "examples"}])
        server.open(URI, program)
        warnings = server.published(URI, 1)
        line = next(number for number, words in enumerate(program.splitlines()) if "X52" in words)
        hover = server.hover(URI, line, program.splitlines()[line].index("X52"))
        symbols = server.request("textDocument/documentSymbol", {"textDocument": {"uri": URI}})
        server.shut_down()
        assert server.end() == 0
    assert any(warning["code"] == "decimal_point_missing" for warning in warnings), warnings
    assert "X" in hover["contents"]["value"] and symbols, (hover, symbols)
    print("The language server, `turnwright serve`, asked as an editor asks, every answer held to the published types:\n")
    print(f"- initialize: {result['serverInfo']}, {len(result['capabilities'])} abilities")
    print(f"- opened the faulty example: {len(warnings)} warnings; {len(symbols)} symbols in the outline")
    print(f"- hover on X52: {hover['contents']['value'].splitlines()[0]}")
    print("- shutdown and exit: status 0")


if __name__ == "__main__":
    main()
