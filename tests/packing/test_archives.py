"""Archives: the same bytes from the same files, whatever the clock and the owner's habits say."""

import os
import subprocess
import tarfile
import tempfile
import time
import unittest
import zipfile
from pathlib import Path
from unittest import mock

from parts import ROOT
import archives


def put(folder, name, text, mode=0o644):
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    path.chmod(mode)
    return path


class Archives(unittest.TestCase):
    def setUp(self):
        self.place = tempfile.TemporaryDirectory()
        self.addCleanup(self.place.cleanup)
        self.top = Path(self.place.name)

    def folder(self, under, names, mode, at):
        folder = self.top / under / "thing-1.0"
        for name in names:
            os.utime(put(folder, name, "text of " + name, mode), (at, at))
        put(folder, "bin/program", "#!", 0o755 if mode == 0o644 else 0o700)
        return folder

    def test_two_packings_are_the_same(self):
        names = ["b.txt", "a.txt", "sub/c.txt", "Ä.txt"]
        one = self.folder("one", names, 0o644, 1_000_000_000)
        other = self.folder("other", names[::-1], 0o600, 1_600_000_000)
        for way, ending in ((archives.zip_folder, "zip"), (archives.tar_folder, "tar.gz")):
            way(one, self.top / f"one.{ending}")
            time.sleep(0.01)
            way(other, self.top / f"other.{ending}")
            self.assertEqual(archives.digest(self.top / f"one.{ending}"), archives.digest(self.top / f"other.{ending}"), ending)
            with mock.patch.dict(os.environ, SOURCE_DATE_EPOCH="1700000100"):
                way(other, self.top / f"later.{ending}")
            self.assertNotEqual(archives.digest(self.top / f"one.{ending}"), archives.digest(self.top / f"later.{ending}"))

    def test_what_comes_out_is_what_went_in(self):
        folder = self.folder("one", ["a.txt", "sub/c.txt"], 0o644, 1_000_000_000)
        archives.zip_folder(folder, self.top / "x.zip")
        archives.tar_folder(folder, self.top / "x.tar.gz")
        # Read by other programs than the one that wrote them
        subprocess.run(["tar", "-xzf", self.top / "x.tar.gz", "-C", self.top], check=True)
        self.assertEqual(archives.differences(folder, self.top / "thing-1.0"), [])
        self.assertTrue(os.access(self.top / "thing-1.0/bin/program", os.X_OK))
        self.assertFalse(os.access(self.top / "thing-1.0/a.txt", os.X_OK))
        with tarfile.open(self.top / "x.tar.gz") as archive:
            self.assertEqual({(entry.uid, entry.gid, entry.mtime) for entry in archive}, {(0, 0, 1700000000)})
        said = subprocess.run(["cmake", "-E", "tar", "xf", self.top / "x.zip"], cwd=self.top / "one", check=False)
        self.assertEqual(said.returncode, 0)
        with zipfile.ZipFile(self.top / "x.zip") as archive:
            self.assertIsNone(archive.testzip())
            self.assertEqual(archive.read("thing-1.0/sub/c.txt"), b"text of sub/c.txt")

    def test_sums_are_those_of_the_system(self):
        folder = self.folder("one", ["a.txt", "sub/c.txt"], 0o644, 1_000_000_000)
        archives.write_sums(folder)
        check = ["sha256sum", "-c", "--strict", "--quiet", "SHA256SUMS"]
        self.assertEqual(subprocess.run(check, cwd=folder, check=False).returncode, 0)
        put(folder, "a.txt", "another text")
        said = subprocess.run(check, cwd=folder, capture_output=True, check=False)
        self.assertNotEqual(said.returncode, 0)

    def test_one_other_byte_is_seen(self):
        command = ["/usr/bin/python3", ROOT / ".ci/archives.py", "same", self.top / "one", self.top / "other"]
        self.folder("one", ["a.txt"], 0o644, 1_000_000_000)
        self.folder("other", ["a.txt"], 0o644, 1_000_000_000)
        self.assertEqual(subprocess.run(command, capture_output=True, check=False).returncode, 0)
        put(self.top / "other", "thing-1.0/a.txt", "text of a.txt ")
        said = subprocess.run(command, capture_output=True, text=True, check=False)
        self.assertEqual(said.returncode, 1)
        self.assertIn("differs: thing-1.0/a.txt", said.stdout)
        put(self.top / "other", "thing-1.0/more.txt", "")
        self.assertIn("more.txt", subprocess.run(command, capture_output=True, text=True, check=False).stdout)


if __name__ == "__main__":
    unittest.main()
