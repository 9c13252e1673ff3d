"""Archives that come out the same, byte for byte, from the same files: names in order, one time and one owner for all.
SOURCE_DATE_EPOCH is the time.

    archives.py zip FOLDER OUT.zip         the folder with its name
    archives.py tar FOLDER OUT.tar.gz
    archives.py sums FOLDER                SHA256SUMS of the files in it, as sha256sum -c reads it
    archives.py same ONE OTHER             whether two folders hold the same bytes; status 1 and what differs if not
"""

import gzip
import hashlib
import stat
import sys
import tarfile
from pathlib import Path

# One way to write a zip: the extension is one, and can be built where this folder is not.
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "editor-configs/vscode"))
from pack import moment, write_zip  # noqa: E402


def files_of(folder):
    """Names with / between, in order, of all files under a folder."""
    folder = Path(folder)
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def may_run(path):
    return bool(path.stat().st_mode & stat.S_IXUSR)


def zip_folder(folder, out):
    folder = Path(folder)
    write_zip(out, ((f"{folder.name}/{name}", (folder / name).read_bytes(), may_run(folder / name))
                    for name in files_of(folder)))


def tar_folder(folder, out):
    folder = Path(folder)
    with open(out, "wb") as file, gzip.GzipFile("", "wb", 9, file, moment()) as packed, \
            tarfile.open(fileobj=packed, mode="w", format=tarfile.GNU_FORMAT) as archive:
        for name in files_of(folder):
            entry = tarfile.TarInfo(f"{folder.name}/{name}")
            entry.size = (folder / name).stat().st_size
            entry.mtime = moment()
            entry.mode = 0o755 if may_run(folder / name) else 0o644
            with open(folder / name, "rb") as content:
                archive.addfile(entry, content)


def digest(path):
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()


def write_sums(folder):
    folder = Path(folder)
    names = [name for name in files_of(folder) if name != "SHA256SUMS"]
    (folder / "SHA256SUMS").write_text("".join(f"{digest(folder / name)}  {name}\n" for name in names))


def differences(one, other):
    """Files that only one of two folders has, or that differ."""
    one, other = Path(one), Path(other)
    there, here = files_of(one), files_of(other)
    return sorted(set(there) ^ set(here)) + [name for name in there if name in set(here)
                                             and digest(one / name) != digest(other / name)]


if __name__ == "__main__":
    what, *given = sys.argv[1:]
    if what == "same":
        found = differences(*given)
        for line in found:
            print("differs:", line)
        count = len(files_of(given[0]))
        print(f"{count} files, {'all the same' if not found else f'{len(found)} differ'}")
        sys.exit(bool(found) or not count)
    {"zip": zip_folder, "tar": tar_folder, "sums": write_sums}[what](*given)
