"""The bill of materials and the notices, held to the program itself: what it asks the system's loader for, and what its own
sources name."""

import functools
import json
import re
import subprocess
import tempfile
import unittest
from pathlib import Path
from unittest import mock

from parts import BUILD, PROGRAM, ROOT
import bill


@functools.cache
def source_of(path):
    """The Debian source package that installed a file; tried under both of its names, since /lib is a link."""
    for name in (str(path), str(path).removeprefix("/usr"), str(Path(path).resolve())):
        said = subprocess.run(["dpkg", "-S", name], capture_output=True, text=True, check=False).stdout
        if said:
            package = said.splitlines()[-1].split(":")[0].split(",")[0]
            return subprocess.run(["dpkg-query", "-W", "-f", "${source:Package}", package],
                                  capture_output=True, text=True, check=True).stdout
    raise AssertionError(f"nobody installed {path}")


class Bill(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.parts = bill.parts_of(BUILD)
        cls.document = bill.bill("turnwright-test", "1.2.3", PROGRAM, cls.parts)
        cls.names = {package["name"] for package in cls.document["packages"]}

    def test_every_library_it_is_loaded_with(self):
        # What the loader of this system says, which the bill does not ask
        said = subprocess.run(["ldd", PROGRAM], capture_output=True, text=True, check=True).stdout
        libraries = re.findall(r"=> (/\S+)", said)
        self.assertGreater(len(libraries), 5)
        for library in libraries:
            self.assertIn(source_of(library), self.names, library)

    def test_every_header_of_others_that_the_sources_name(self):
        named = set()
        for file in [*(ROOT / "server").rglob("*.cpp"), *(ROOT / "server").rglob("*.h")]:
            named |= set(re.findall(r"^#include <([\w.+-]+/[\w./+-]+)>", file.read_text(), re.M))
        found = {name for name in named if (Path("/usr/include") / name).is_file()}
        # Of another system, or of another place that CMake names
        self.assertFalse({name for name in named - found if not name.startswith(("sys/", "mach-o/"))}, "headers from elsewhere")
        self.assertGreater(len({name.split("/")[0] for name in found}), 4)
        for name in {name.split("/")[0]: name for name in sorted(found)}.values(): # one of each library
            self.assertIn(source_of(Path("/usr/include") / name), self.names, name)

    def test_each_part_tells_what_it_is(self):
        # SPDX 2.3, chapters 6, 7 and 11: what a document, a package and a relationship must have (from memory)
        for key in ("spdxVersion", "dataLicense", "SPDXID", "name", "documentNamespace", "creationInfo"):
            self.assertTrue(self.document[key], key)
        self.assertRegex(self.document["creationInfo"]["created"], r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$")
        ids = [package["SPDXID"] for package in self.document["packages"]]
        self.assertEqual(len(ids), len(set(ids)))
        related = {row["relatedSpdxElement"] for row in self.document["relationships"]}
        for package in self.document["packages"]:
            self.assertRegex(package["SPDXID"], r"^SPDXRef-[A-Za-z0-9.-]+$")
            self.assertIn(package["SPDXID"], related, "what it has to do with the program")
            for key in ("name", "versionInfo", "downloadLocation", "licenseConcluded", "licenseDeclared", "copyrightText"):
                self.assertTrue(package[key], key)
            if package["name"] != "turnwright":
                self.assertNotEqual(package["licenseDeclared"], "NOASSERTION")
                # The version is the one that is installed here
                self.assertRegex(package["externalRefs"][0]["referenceLocator"], r"^pkg:(deb|npm)/\S+@\S+$")
        self.assertEqual(self.document["packages"][0]["licenseDeclared"], "NOASSERTION", "nobody has chosen a licence for it")
        again = bill.bill("turnwright-test", "1.2.3", PROGRAM, self.parts)
        self.assertEqual(json.dumps(again), json.dumps(self.document), "two of them are the same")

    def test_every_part_has_its_notice(self):
        with tempfile.TemporaryDirectory() as place:
            bill.write_notices(place, self.parts)
            folder = Path(place)
            told = (folder / "README.txt").read_text()
            for part in self.parts:
                self.assertEqual((folder / part.name).read_bytes(), part.notice.read_bytes())
                self.assertGreater((folder / part.name).stat().st_size, 500, part.name)
                self.assertIn(f"{part.name} {part.version}", told)
            for named in re.findall(rb"/usr/share/common-licenses/([A-Za-z0-9.-]*[A-Za-z0-9])",
                                    b"".join(part.notice.read_bytes() for part in self.parts)):
                if (Path("/usr/share/common-licenses") / named.decode()).exists():
                    self.assertTrue((folder / "common-licenses" / named.decode()).is_file(), named)

    def test_the_debian_package_has_the_notice_of_all_that_is_compiled_in(self):
        notices = (BUILD / "debian/copyright").read_text(errors="replace")
        for part in self.parts:
            if "STATIC_LINK" in part.links and part.name not in ("glibc", "linux"): # names and numbers of the system's own
                self.assertTrue(part.notice.read_text(errors="replace").strip() in notices, part.name)

    def test_what_has_no_licence_here_is_not_packed(self):
        without = {name: row for name, row in bill.LINKED.items() if name != "asio"}
        with mock.patch.object(bill, "LINKED", without), self.assertRaisesRegex(SystemExit, "asio .* has no row"):
            bill.check_licences(self.parts)
        other = {**bill.LINKED, "asio": ("MIT", ("Words that no notice of it has",), "")}
        with mock.patch.object(bill, "LINKED", other), self.assertRaisesRegex(SystemExit, "does not say"):
            bill.check_licences(self.parts)

    def test_packages_of_the_extension(self):
        with tempfile.TemporaryDirectory() as place:
            for name, licence, notice in (("good", "MIT", True), ("@scope/also", "ISC", True)):
                folder = Path(place) / "node_modules" / name
                folder.mkdir(parents=True)
                (folder / "package.json").write_text(json.dumps({"name": name, "version": "1.0.0", "license": licence}))
                (folder / "LICENSE.txt").write_text("Permission is granted")
            rows = bill.npm_parts(place)
            self.assertEqual([row[:3] for row in rows], [("@scope/also", "1.0.0", "ISC"), ("good", "1.0.0", "MIT")])
            document = bill.bill("x", "1", PROGRAM, [], rows)
            self.assertIn("pkg:npm/%40scope/also@1.0.0", json.dumps(document))
            bad = Path(place) / "node_modules/bad"
            bad.mkdir()
            (bad / "package.json").write_text('{"name": "bad", "version": "1", "license": "SEE LICENSE IN LICENSE"}')
            with self.assertRaises(SystemExit):
                bill.npm_parts(place)
            (bad / "package.json").write_text('{"name": "bad", "version": "1", "license": "MIT"}')
            with self.assertRaises(SystemExit): # and no notice
                bill.npm_parts(place)


if __name__ == "__main__":
    unittest.main()
