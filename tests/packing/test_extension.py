"""The extension as one file: all that it names is in it, for the platform that it says, the same bytes each time."""

import json
import re
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree as xml
import zipfile
from pathlib import Path

from parts import ROOT
import archives
import pack

FOLDER = ROOT / "editor-configs/vscode"


class Extension(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.place = tempfile.TemporaryDirectory()
        top = Path(cls.place.name)
        (top / "turnwright").write_text("a program")
        (top / "pages/docs/warnings").mkdir(parents=True)
        (top / "pages/docs/README.html").write_text("pages")
        (top / "pages/README.md").write_text("not ours")
        cls.files = {}
        for platform in ("linux-x64", "win32-x64", None):
            file = top / f"{platform}.vsix"
            pack.pack(file, *([platform, top / "turnwright", top / "pages"] if platform else []))
            cls.files[platform] = file

    @classmethod
    def tearDownClass(cls):
        cls.place.cleanup()

    def test_whatever_its_manifest_names_is_in_it(self):
        package = json.loads((FOLDER / "package.json").read_text())
        given = package["contributes"]
        named = [package["main"], package["icon"], "README.md", given["grammars"][0]["path"],
                 *(step["media"]["image"] for walk in given["walkthroughs"] for step in walk["steps"]),
                 *(row["icon"] for row in given["viewsContainers"]["activitybar"])]
        named += [path.relative_to(FOLDER).as_posix() for path in (FOLDER / "source").glob("*.js")]
        for file in self.files.values():
            with zipfile.ZipFile(file) as archive:
                names = set(archive.namelist())
                self.assertIsNone(archive.testzip())
                for name in named:
                    self.assertIn("extension/" + name.removeprefix("./"), names)
                self.assertEqual(json.loads(archive.read("extension/package.json")), package)
                self.assertNotIn(b"not ours", archive.read("extension/README.md"))
                self.assertFalse([name for name in names if name.endswith((".vsix", "build.sh", "pack.py", ".d.ts", ".map"))])
                if (FOLDER / "node_modules").is_dir():
                    self.assertIn("extension/node_modules/vscode-languageclient/package.json", names)

    def test_each_is_for_its_platform_with_the_program_inside(self):
        schema = "{http://schemas.microsoft.com/developer/vsx-schema/2011}"
        for platform, program in (("linux-x64", "turnwright"), ("win32-x64", "turnwright.exe"), (None, None)):
            with zipfile.ZipFile(self.files[platform]) as archive:
                root = xml.fromstring(archive.read("extension.vsixmanifest"))
                identity = root.find(f"{schema}Metadata/{schema}Identity")
                self.assertEqual(identity.get("TargetPlatform"), platform)
                self.assertEqual((identity.get("Id"), identity.get("Publisher")), ("turnwright", "turnwright"))
                for asset in root.iter(f"{schema}Asset"):
                    self.assertIn(asset.get("Path"), archive.namelist())
                kinds = xml.fromstring(archive.read("[Content_Types].xml"))
                endings = {row.get("Extension") for row in kinds}
                self.assertLessEqual({"." + name.rsplit(".", 1)[1] for name in archive.namelist()
                                      if re.search(r"\.\w+$", name) and not name.startswith("[")}, endings)
                programs = [name for name in archive.namelist() if name.startswith("extension/program/")]
                self.assertEqual(programs, [f"extension/program/{program}"] if program else [])
                if program:
                    self.assertTrue(archive.getinfo(programs[0]).external_attr >> 16 & 0o100, "it may be run")
                    self.assertIn("extension/docs/README.html", archive.namelist())

    def test_two_packings_are_the_same(self):
        top = Path(self.place.name)
        (top / "turnwright").touch()
        again = top / "again.vsix"
        pack.pack(again, "linux-x64", top / "turnwright", top / "pages")
        self.assertEqual(archives.digest(again), archives.digest(self.files["linux-x64"]))

    def test_the_windows_scripts_are_for_windows(self):
        for script in (ROOT / ".ci/windows").iterdir():
            text = script.read_text()
            self.assertTrue(text.isascii() and "\r" not in text, f"{script.name}: its ends of lines are made when it is packed")
            if script.suffix == ".cmd":
                self.assertTrue(text.startswith("@echo off\n"))
                labels = set(re.findall(r"^:(\w+)", text, re.M))
                self.assertLessEqual(set(re.findall(r"goto (\w+)", text)), labels, script.name)
                self.assertNotRegex(text, r"(?i)runas|HKLM|/m\b", "no administrator is needed")
        self.assertIn(r"s/$/\r/", (ROOT / ".ci/pack.sh").read_text())

    def test_scripts_can_be_read_by_the_shell(self):
        for script in [*(ROOT / ".ci").glob("*.sh"), *(ROOT / "tests").glob("**/*.sh"), FOLDER / "build.sh"]:
            if "node_modules" not in script.parts:
                subprocess.run(["sh", "-n", script], check=True)


if __name__ == "__main__":
    unittest.main()
