"""The program is built so that a fault in it is no way into the computer: position independent, with guarded stacks."""
import json
import os
import pathlib
import re
import struct
import subprocess
import unittest

from driver import PROGRAM

BUILD = os.path.dirname(os.path.realpath(PROGRAM))
SERVER = os.path.realpath(os.path.join(os.path.dirname(__file__), "..", "..", "server")) + os.sep


def read(*arguments):
    return subprocess.run(["readelf", "--wide", *arguments, PROGRAM], capture_output=True, text=True, check=True).stdout


class Hardening(unittest.TestCase):
    def setUp(self):
        with open(PROGRAM, "rb") as file:
            start = file.read(20)
        if start[:4] != b"\x7fELF":
            self.skipTest("another system's program")
        self.type = struct.unpack("<H", start[16:18])[0]

    def test_position_independent(self):
        self.assertEqual(self.type, 3)  # ET_DYN
        self.assertIn("PIE", read("--dynamic"))

    def test_no_memory_is_both_written_and_run(self):
        for line in read("--segments").splitlines():
            words = line.split()
            if words and words[0] in ("LOAD", "GNU_STACK"):
                self.assertFalse("W" in line.split("0x")[-2] and "E" in line.split("0x")[-2], line)
        self.assertIn("GNU_RELRO", read("--segments"))

    def test_guarded_stacks(self):
        self.assertIn("__stack_chk_fail", read("--dyn-syms"))

    def test_every_file_is_compiled_so(self):
        with open(os.path.join(BUILD, "compile_commands.json"), encoding="utf-8") as file:
            listed = {os.path.realpath(c["file"]): c["command"] for c in json.load(file)}
        commands, compiled = [], set()
        for path, command in listed.items():
            together = os.path.join(BUILD, "server", "") in path  # Files that are built as one
            if not together and not path.startswith(SERVER):
                continue
            commands.append(command)
            with open(path, encoding="utf-8") as file:
                compiled |= set(re.findall(r'#include "(/[^"]*)"', file.read())) if together else {path}
        only_on_windows = pathlib.Path(SERVER, "windows")
        here = {str(path) for path in pathlib.Path(SERVER).rglob("*.cpp") if only_on_windows not in path.parents}
        self.assertEqual(here - compiled, set())
        optimised = "-O2" in commands[0] or "-O3" in commands[0]
        sanitized = "-fsanitize" in commands[0]
        for command in commands:
            self.assertIn("-fstack-protector-strong", command)
            self.assertRegex(command, "-fPI[CE]")
            self.assertNotIn("-fno-stack-protector", command)
            if optimised and not sanitized:
                self.assertIn("-D_FORTIFY_SOURCE=2", command)


if __name__ == "__main__":
    unittest.main()
