"""What a program was made of, asked of the link and of the compiler's own records, as a bill of materials (SPDX 2.3) and
as notices:

    bill.py BUILD PROGRAM --name NAME --version VERSION [--libraries FOLDER] [--npm FOLDER]
            [--out FILE.spdx.json] [--notices FOLDER]

BUILD is the folder that PROGRAM was linked in (a copy may be stripped), FOLDER what .ci/libraries.sh made, the npm
folder that of an extension with its node_modules. A file belongs to the Debian package that installed it. Stops when the
licence of anything is not known to licences.py."""

import argparse
import datetime
import hashlib
import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from urllib.parse import quote

from archives import moment
from licences import LINKED, NPM

ROOT = Path(__file__).resolve().parents[1]


def run(*command, **more):
    return subprocess.run([str(word) for word in command], check=True, capture_output=True, text=True, **more).stdout


# ---- which files are in it

def linked_files(build):
    """What the linker opens for the program: libraries and start files, as whole paths."""
    command = run("ninja", "-C", build, "-t", "commands", "turnwright").splitlines()[-1]
    with tempfile.TemporaryDirectory() as folder:
        again, count = re.subn(r" -o \S*turnwright(\.exe)? ", f" -o {folder}/program -Wl,-t,-t ", command)
        assert count == 1, "the link of turnwright is not the last command: " + command
        said = run("sh", "-c", again, cwd=build)
    found = set()
    for line in said.splitlines():
        # "/a/libx.a", "/a/libx.a(member.o)" or "(/a/libx.a)member.o"
        named = re.match(r"\(?([^()]+\.(?:a|o|so[.\d]*|obj))\b", line.strip())
        if named:
            found.add((Path(build) / named[1]).resolve())
    return found


def included_files(build):
    """Headers of all that is compiled for the program."""
    found = set()
    own = False
    for line in run("ninja", "-C", build, "-t", "deps").splitlines():
        if line and not line[0].isspace():
            own = line.startswith(("server/", "grammar/"))
        elif own and line.strip():
            found.add(Path(os.path.normpath(Path(build) / line.strip())))
    return found


def installed(path, libraries):
    """Where Debian has a header that was copied for another system."""
    if libraries and path.is_relative_to(libraries / "include"):
        return Path("/usr/include") / path.relative_to(libraries / "include")
    return path


# ---- which packages they came in

def owners(paths):
    """{path: Debian package}"""
    known = {}
    paths = sorted(paths)
    for at in range(0, len(paths), 500):
        asked = set()
        for path in paths[at:at + 500]:
            # dpkg knows the name that a package gave: one of these, since /lib is a link to /usr/lib.
            asked |= {str(path), str(path.resolve()), str(path).removeprefix("/usr"), str(path.resolve()).removeprefix("/usr")}
        said = subprocess.run(["dpkg", "-S", *sorted(asked)], capture_output=True, text=True, check=False).stdout
        for line in said.splitlines():
            packages, _, name = line.partition(": ")
            if not line.startswith("diversion"):
                known[name] = packages.split(", ")[0].split(":")[0]
    result = {}
    for path in paths:
        names = (str(path), str(path.resolve()), str(path).removeprefix("/usr"), str(path.resolve()).removeprefix("/usr"))
        package = next((known[name] for name in names if name in known), None)
        if not package:
            sys.exit(f"no package installed {path}, which is in the program")
        result[path] = package
    return result


class Part:
    """A source package that is in the program."""

    def __init__(self, name, version, homepage, notice):
        self.name, self.version, self.homepage, self.notice = name, version, homepage, notice
        self.binaries, self.links = set(), set()


def check_licences(parts):
    """Stops at a part that nobody has looked at, and where its notice says something else than we do."""
    for part in parts:
        if part.name not in LINKED:
            sys.exit(f"{part.name} is in the program and has no row in .ci/licences.py: read {part.notice} first")
        text = part.notice.read_text(errors="replace")
        for words in LINKED[part.name][1]:
            if words not in text:
                sys.exit(f"the notice of {part.name} does not say \"{words}\": see .ci/licences.py")


def parts_of(build, libraries=None):
    build = Path(build).resolve()
    libraries = Path(libraries).resolve() if libraries else None
    compiled = {}
    if libraries:
        for row in (libraries / "compiled.txt").read_text().splitlines():
            file, source, version = row.split()
            compiled[libraries / "lib" / file] = (source, version)
    links = {path: "STATIC_LINK" for path in included_files(build)}
    for path in linked_files(build):
        links[path] = "DYNAMIC_LINK" if ".so" in path.name else "STATIC_LINK"
    parts, asked = {}, {}
    for path, link in links.items():
        if path in compiled:
            source, version = compiled[path]
            part = parts.setdefault(source, Part(source, version, "", libraries / "licences" / source))
            part.links.add(link)
        elif not path.is_relative_to(build) and not path.is_relative_to(ROOT / "server") and \
                not path.is_relative_to(ROOT / "grammar"):
            asked.setdefault(installed(path, libraries), set()).add(link)
    owned = owners(asked)
    packages = sorted(set(owned.values()))
    told = run("dpkg-query", "-W", "-f", r"${Package}\t${source:Package}\t${source:Version}\t${Version}\t${Homepage}\n",
               *packages)
    rows = {row.split("\t")[0]: row.split("\t")[1:] for row in told.splitlines()}
    for path, package in owned.items():
        source, version, binary_version, homepage = rows[package]
        part = parts.setdefault(source, Part(source, version, homepage, Path("/usr/share/doc") / package / "copyright"))
        if part.version != version:
            sys.exit(f"{source} is in the program as {part.version} and as {version}: "
                     "apt-get upgrade, delete the libraries' folder and build again")
        part.homepage = part.homepage or homepage
        part.binaries.add((package, binary_version))
        part.links |= asked[path]
    check_licences(parts.values())
    return sorted(parts.values(), key=lambda part: part.name)


def npm_parts(folder):
    """(name, version, licence, homepage, notice) of the packages that an extension carries."""
    rows = []
    for file in sorted((Path(folder) / "node_modules").glob("**/package.json")):
        package = json.loads(file.read_text())
        if file.parent.parent.name != "node_modules" and file.parent.parent.parent.name != "node_modules":
            continue # a part of a package
        notice = next((path for path in sorted(file.parent.iterdir()) if re.match(r"licen[cs]e", path.name, re.I)), None)
        if package.get("license") not in NPM or not notice:
            sys.exit(f"{package['name']} is in the extension: its licence is {package.get('license')}, its notice {notice}")
        rows.append((package["name"], package["version"], package["license"], package.get("homepage", ""), notice))
    return rows


# ---- what is written

def identifier(*words):
    return "SPDXRef-" + re.sub(r"[^A-Za-z0-9.-]", "-", "-".join(words))


def bill(name, version, program, parts, npm=()):
    own = {"SPDXID": "SPDXRef-turnwright", "name": "turnwright", "versionInfo": version,
           "packageFileName": Path(program).name, "downloadLocation": "NOASSERTION", "filesAnalyzed": False,
           "licenseConcluded": "NOASSERTION", "licenseDeclared": "NOASSERTION", "copyrightText": "NOASSERTION",
           "licenseComments": "The owner of the project has chosen no licence yet.",
           "checksums": [{"algorithm": "SHA256", "checksumValue": hashlib.sha256(Path(program).read_bytes()).hexdigest()}],
           "primaryPackagePurpose": "APPLICATION"}
    packages, relations, texts = [own], [], []
    relations.append({"spdxElementId": "SPDXRef-DOCUMENT", "relationshipType": "DESCRIBES", "relatedSpdxElement": own["SPDXID"]})
    for part in parts:
        licence = LINKED[part.name][0]
        if licence.startswith("LicenseRef-"):
            texts.append({"licenseId": licence, "extractedText": part.notice.read_text(errors="replace"),
                          "name": f"The notices of {part.name}"})
        row = {"SPDXID": identifier("Debian", part.name), "name": part.name, "versionInfo": part.version,
               "supplier": "Organization: Debian", "downloadLocation": "https://deb.debian.org/debian",
               "filesAnalyzed": False, "licenseConcluded": "NOASSERTION", "licenseDeclared": licence,
               "copyrightText": "NOASSERTION", "licenseComments": "Its notice asks for: " + LINKED[part.name][2],
               "sourceInfo": "the Debian source package of this name and version"}
        if part.homepage:
            row["homepage"] = part.homepage
        row["externalRefs"] = [{"referenceCategory": "PACKAGE-MANAGER", "referenceType": "purl",
                                "referenceLocator": f"pkg:deb/debian/{quote(package, '')}@{quote(at, '')}"}
                               for package, at in sorted(part.binaries) or [(part.name, part.version)]]
        packages.append(row)
        for link in sorted(part.links):
            relations.append({"spdxElementId": own["SPDXID"], "relationshipType": link, "relatedSpdxElement": row["SPDXID"]})
    for package, at, licence, homepage, _ in npm:
        row = {"SPDXID": identifier("npm", package, at), "name": package, "versionInfo": at,
               "downloadLocation": f"https://registry.npmjs.org/{package}/-/{package.split('/')[-1]}-{at}.tgz",
               "filesAnalyzed": False, "licenseConcluded": "NOASSERTION", "licenseDeclared": licence,
               "copyrightText": "NOASSERTION",
               "externalRefs": [{"referenceCategory": "PACKAGE-MANAGER", "referenceType": "purl",
                                 "referenceLocator": f"pkg:npm/{quote(package)}@{at}"}]}
        if homepage:
            row["homepage"] = homepage
        packages.append(row)
        relations.append({"spdxElementId": own["SPDXID"], "relationshipType": "CONTAINS", "relatedSpdxElement": row["SPDXID"]})
    document = {"spdxVersion": "SPDX-2.3", "dataLicense": "CC0-1.0", "SPDXID": "SPDXRef-DOCUMENT", "name": name,
                "creationInfo": {"created": datetime.datetime.fromtimestamp(moment(), datetime.timezone.utc)
                                 .strftime("%Y-%m-%dT%H:%M:%SZ"), "creators": ["Tool: turnwright-.ci/bill.py"]},
                "packages": packages, "relationships": relations}
    if texts:
        document["hasExtractedLicensingInfos"] = texts
    stamp = hashlib.sha256(json.dumps(document, sort_keys=True).encode()).hexdigest()
    document["documentNamespace"] = f"https://turnwright.invalid/spdx/{name}-{stamp[:32]}"
    return document


def write_notices(folder, parts, npm=()):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    longer = set()
    for part in parts:
        text = part.notice.read_bytes()
        (folder / part.name).write_bytes(text)
        longer |= set(re.findall(rb"/usr/share/common-licenses/([A-Za-z0-9.-]*[A-Za-z0-9])", text))
    # The notices name the longer licences by their place on a Debian system.
    for name in sorted(longer):
        file = Path("/usr/share/common-licenses") / name.decode()
        if file.exists():
            (folder / "common-licenses").mkdir(exist_ok=True)
            (folder / "common-licenses" / name.decode()).write_bytes(file.read_bytes())
    for package, at, _, _, notice in npm:
        (folder / f"npm-{package.replace('/', '-')}-{at}").write_bytes(notice.read_bytes())
    lines = ["Turnwright's own licence is its owner's to choose, and is not chosen yet.", "",
             "The program is made with what is named here; each file is the notice and licence of one. What a notice calls",
             "/usr/share/common-licenses is the folder common-licenses here. The .spdx.json file tells the versions.",
             "To link it with other versions of them, build it from its sources, which are handed out beside it:",
             "sh .ci/archive.sh for Linux, sh .ci/windows.sh for Windows.", ""]
    for part in parts:
        licence, _, asks = LINKED[part.name]
        lines.append(f"{part.name} {part.version}: {licence}; it asks for {asks}.")
    lines += [f"npm {package} {at}: {licence}; it asks for its notice." for package, at, licence, _, _ in npm]
    (folder / "README.txt").write_text("\n".join(lines) + "\n")


def main():
    words = argparse.ArgumentParser()
    words.add_argument("build")
    words.add_argument("program")
    words.add_argument("--name", required=True)
    words.add_argument("--version", required=True)
    for option in ("libraries", "npm", "out", "notices"):
        words.add_argument("--" + option)
    given = words.parse_args()
    parts = parts_of(given.build, given.libraries)
    npm = npm_parts(given.npm) if given.npm else []
    if given.out:
        text = json.dumps(bill(given.name, given.version, given.program, parts, npm), indent=1, sort_keys=True)
        Path(given.out).write_text(text + "\n")
    if given.notices:
        write_notices(given.notices, parts, npm)


if __name__ == "__main__":
    main()
