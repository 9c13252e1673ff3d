"""Programs written to hang or fill a computer: the server answers all the same, within bounds of time and memory."""
import os
import tempfile
import unittest

from driver import Server, is_sanitized, position, span, uri_of
from test_abilities import FULL
from yardstick import THOROUGH

URI = "file:///shop/hostile.nc"
PATIENCE = 120  # seconds; on two busy cores, in a build that is not optimised
MEMORY_KB = 600_000
MANY, SOME, TOOLS = (3000, 200, 20_000) if THOROUGH else (250, 20, 5_000)  # Their reports take half a minute
HEAD = "G21 G99 G97 S500 M03\nT0101 F0.1\nG00 X100. Z2.\n"


def calls(depth, width):
    """Each program calls the next one `width` times: width ** depth blocks to run."""
    lines = ["O1\n" + HEAD + "M98 P2\nM30\n"]
    for number in range(2, depth + 2):
        lines.append(f"O{number}\n" + f"M98 P{number + 1}\n" * width + "M99\n")
    return "".join(lines) + f"O{depth + 2}\nU-0.1\nM99\n"


PROGRAMS = {
    "endless loop": HEAD + "WHILE[1EQ1]DO1\n#1=#1+1.\nG01 U-1.\nEND1\nM30\n",
    "jump back": HEAD + "N1 #1=#1+1.\nG01 U-1.\nGOTO1\nM30\n",
    "jump to a computed block": HEAD + "".join(f"N{n} #1=#1+1.\nGOTO#1\n" for n in range(1, 2000)) + "M30\n",
    "jumps among many blocks": HEAD + "".join(f"N{n} IF[#{n % 33}GT{n}]GOTO{(n * 7919) % 5000 + 1}\n" for n in range(1, 5001)) + "M30\n",
    "loops in loops": HEAD + "WHILE[#1LT1E9]DO1\nWHILE[#2LT1E9]DO2\nWHILE[#3LT1E9]DO3\n#3=#3+1\nEND3\n#2=#2+1\nEND2\n#1=#1+1\nEND1\n" * 300,
    "unclosed loops": HEAD + "WHILE[#1LT5]DO1\n" * 5000,
    "a program that calls itself": HEAD + "M98 P1\nM30\n",
    "two programs that call each other": "O1\nM98 P2\nM30\nO2\nM98 P1\nM99\n",
    "calls that double": calls(9, 10),
    "a call repeated": "O1\n" + HEAD + "M98 P2 L99999999\n" * 50 + "M30\nO2\nU-0.001\nM98 P3 L99999999\nM99\nO3\nU-0.001\nM99\n",
    "a macro behind every move": HEAD + "G66 P2 A1.\n" + "X1.\n" * 3000 + "G67\nM30\nO2\nG65 P3 A#1\nM99\nO3\n#100=#100+#1\nM99\n",
    "many variables": HEAD + "".join(f"#{n}={n}.\n" for n in range(100, 1000)) + "".join(f"#[#{n}+#{n + 1}]={n}.\n" for n in range(100, 900)) + "M30\n",
    "deep brackets": HEAD + "#1=" + "[" * 4000 + "1" + "]" * 4000 + "\nM30\n",
    "a long expression": HEAD + "#1=" + "+".join(["SIN[COS[#1]]"] * 600) + "\nM30\n",
    "one endless line": HEAD + "X1." * 300_000,
    "one endless note": HEAD + "(" + "(" * 500_000,
    "roughing by a hair": HEAD + "G71 U0.00001 R0\nG71 P10 Q20 U0 W0 F0.1\nN10 G00 X0\nG01 Z-500.\nN20 X100.\nM30\n",
    "roughing along thousands of moves": HEAD + "G71 U0.001 R0.001\nG71 P10 Q20 U0 W0 F0.1\nN10 G00 X0\n" +
                                         "".join(f"G01 X{n / 100:.2f} Z-{n / 50:.2f}\n" for n in range(1, 3000)) + "N20 X100.\nM30\n",
    "many roughing cycles": HEAD + "G00 X100. Z2.\nG71 U0.01 R0.01\nG71 P10 Q20 U0 W0 F0.1\n" * SOME + "N10 G00 X0\nG01 Z-500.\nN20 X100.\nM30\n",
    "pecking by a hair": HEAD + "G00 X0\nG74 R0.00001\nG74 Z-900. Q1 F0.1\nG83 Z-900. Q1 F0.1\nM30\n",
    "a thread of a million passes": HEAD + "G76 P990160 Q1 R1\nG76 X1. Z-900. P99999999 Q1 F0.01\nM30\n",
    "a thread of no lead": HEAD + "G76 P000000 Q0 R0\nG76 X1. Z-900. P99999999 Q0 F0\nG92 X1. Z-1. F0\nM30\n",
    "stock cut to ribbons": "(STOCK D60. L400. FACE 1.)\n" + HEAD +
                            "".join(f"G00 X{30 + n % 30}. Z2.\nG01 Z-{n % 397}.{n % 10}\nX61.\n" for n in range(3000)) + "M30\n",
    "spirals": HEAD + "".join(f"G02 X{20 + n % 60}. Z-{n}. R{1 + n % 99}.\nG03 U-1. W-1. I{n}. K-{n}.\n" for n in range(MANY)) + "M30\n",
    "corners that do not fit": HEAD + "".join(f"G01 X{n}. Z-{n}. ,R999.\nX{n + 1}. ,C999.\n,A{n}.\n" for n in range(2000)) + "M30\n",
    "compensation that turns back": HEAD + "G42\n" + "G01 X20. Z-10.\nX20.001 Z-10.\nX20. Z-10.001\nG02 X20. Z-10. R0.0001\n" * 1500 + "G40\nM30\n",
    "a tool call in every block": HEAD + "".join(f"N{n} T{n % 99:02d}{n % 99:02d} (TOOL {n})\n" for n in range(TOOLS)) + "M30\n",
    "one number for every block": HEAD + "N1 G01 X1.\n" * 20_000 + "GOTO1\nM30\n",
    "programs without end": "".join(f"O{n}\nM98 P{n + 1}\n" for n in range(1, 1500)),
    "numbers beyond all bounds": HEAD + "G01 X1E308 Z" + "9" * 300 + ".\nG04 P" + "9" * 300 + "\nS99999999999 M03\nF1E-300\nG71 U1E-300 R1E300\n" * 20 + "M30\n",
    "notes that silence": "(TURNWRIGHT: ACCEPT " + ", ".join(["feed_missing"] * 600) + ")\n" + "(TURNWRIGHT: ACCEPT feed_missing)\n" * 10_000 + HEAD,
}


class Hostile(unittest.TestCase):
    def ask_everything(self, server, lines):
        document = {"textDocument": {"uri": URI}}
        middle = position(lines // 2, 1)
        everywhere = {"range": span(0, 0, lines, 0)}
        for method, params in [("hover", {"position": middle}), ("completion", {"position": middle}), ("documentSymbol", {}),
                               ("semanticTokens/full", {}), ("foldingRange", {}), ("codeLens", {}), ("inlayHint", everywhere),
                               ("references", {"position": middle, "context": {"includeDeclaration": True}}),
                               ("codeAction", {"range": {"start": middle, "end": middle}, "context": {"diagnostics": []}}),
                               ("formatting", {"options": {"tabSize": 4, "insertSpaces": True}})]:
            reply = server.wait_for(lambda m, i=server.ask("textDocument/" + method, {**document, **params}):
                                    "method" not in m and m.get("id") == i, PATIENCE)
            self.assertIn("result", reply, method)
        for command in ("restartTable", "renumber", "sheet", "picture"):
            arguments = [URI] + (["all_blocks"] if command == "renumber" else [])
            identity = server.ask("workspace/executeCommand", {"command": "turnwright." + command, "arguments": arguments})
            self.assertIn("result", server.wait_for(lambda m: "method" not in m and m.get("id") == identity, PATIENCE), command)

    def test_every_program_is_answered(self):
        for name, text in PROGRAMS.items():
            with self.subTest(program=name), Server() as server:
                server.answers_to_server["workspace/applyEdit"] = lambda params: {"applied": True}
                server.answers_to_server["window/showDocument"] = lambda params: {"success": True}
                server.initialize(capabilities=FULL)
                server.open(URI, text)
                server.published(URI, 1, PATIENCE)
                self.ask_everything(server, text.count("\n"))
                server.change(URI, 2, {"range": span(1, 0, 1, 0), "text": "G04 X1.\n"})
                server.published(URI, 2, PATIENCE)
                if not is_sanitized():
                    self.assertLess(server.memory_kb(), MEMORY_KB)

    def test_files_that_call_each_other_in_a_ring(self):
        with tempfile.TemporaryDirectory() as folder, Server() as server:
            for number in range(1, 40):
                with open(os.path.join(folder, f"O{number}.nc"), "w", encoding="ascii") as file:
                    file.write(f"O{number}\n" + f"M98 P{number % 39 + 1}\nM98 P{(number * 7) % 39 + 1}\nM98 P{(number * 11) % 39 + 1}\n" * 5 + "M99\n")
            server.initialize(capabilities=FULL, workspaceFolders=[{"uri": uri_of(folder), "name": "ring"}])
            uri = uri_of(os.path.join(folder, "main.nc"))
            server.open(uri, "".join(f"M98 P{n}\n" for n in range(1, 40)) + "M30\n")
            server.published(uri, 1, PATIENCE)
            self.assertIsNotNone(server.request("textDocument/documentSymbol", {"textDocument": {"uri": uri}}))


if __name__ == "__main__":
    unittest.main()
