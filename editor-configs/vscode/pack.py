"""The extension as one file to install, the same bytes from the same files:

    pack.py OUT.vsix [PLATFORM PROGRAM PAGES]

PLATFORM is win32-x64, linux-x64 or the like; PROGRAM is then put in, and the folder PAGES with the help and the notices.
SOURCE_DATE_EPOCH is the time that its files get. build.sh brings node_modules first."""

import json
import os
import re
import stat
import sys
import time
import zipfile
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

FOLDER = Path(__file__).resolve().parent
EARLIEST = 315532800  # 1980: no zip knows an earlier time
# What of this folder the extension is made of; of the packages all but what only their authors need
OWN = ("package.json", "package.nls*.json", "README.md", "language-configuration.json", "source/**/*", "l10n/*.json",
       "syntaxes/**/*", "media/**/*")
LEFT_OUT = re.compile(r"\.(d\.ts|d\.mts|d\.cts|map|tsbuildinfo)$|/(test|tests|\.github|\.bin)/|/\.package-lock\.json$")


def moment():
    return int(os.environ.get("SOURCE_DATE_EPOCH", EARLIEST))


def write_zip(out, rows):
    """`rows` are (name, bytes, may run), written in their order."""
    at = time.gmtime(max(moment(), EARLIEST))[:6]
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, data, runs in rows:
            entry = zipfile.ZipInfo(name, at)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = (stat.S_IFREG | (0o755 if runs else 0o644)) << 16
            archive.writestr(entry, data)


def in_english(value, texts):
    """package.json with its texts in the place of their names."""
    if isinstance(value, dict):
        return {key: in_english(part, texts) for key, part in value.items()}
    if isinstance(value, list):
        return [in_english(part, texts) for part in value]
    named = re.fullmatch(r"%([\w.-]+)%", value) if isinstance(value, str) else None
    return texts[named.group(1)] if named else value


def read_package():
    return in_english(json.loads((FOLDER / "package.json").read_text()), json.loads((FOLDER / "package.nls.json").read_text()))


def manifest(package, platform):
    """What an editor reads of the file before it unpacks it."""
    target = f" TargetPlatform={quoteattr(platform)}" if platform else ""
    properties = {"Engine": package["engines"]["vscode"], "ExtensionDependencies": "", "ExtensionPack": "",
                  "ExtensionKind": "workspace", "LocalizedLanguages": "", "EnabledApiProposals": "", "ExecutesCode": "true"}
    rows = "\n".join(f'      <Property Id="Microsoft.VisualStudio.Code.{name}" Value={quoteattr(value)} />'
                     for name, value in properties.items())
    return f"""<?xml version="1.0" encoding="utf-8"?>
<PackageManifest Version="2.0.0" xmlns="http://schemas.microsoft.com/developer/vsx-schema/2011" xmlns:d="http://schemas.microsoft.com/developer/vsx-schema-design/2011">
  <Metadata>
    <Identity Language="en-US" Id={quoteattr(package["name"])} Version={quoteattr(package["version"])} Publisher={quoteattr(package["publisher"])}{target} />
    <DisplayName>{escape(package["displayName"])}</DisplayName>
    <Description xml:space="preserve">{escape(package["description"])}</Description>
    <Tags>{escape(",".join(package["keywords"]))}</Tags>
    <Categories>{escape(",".join(package["categories"]))}</Categories>
    <GalleryFlags></GalleryFlags>
    <Properties>
{rows}
    </Properties>
    <Icon>extension/{escape(package["icon"])}</Icon>
  </Metadata>
  <Installation>
    <InstallationTarget Id="Microsoft.VisualStudio.Code" />
  </Installation>
  <Dependencies />
  <Assets>
    <Asset Type="Microsoft.VisualStudio.Code.Manifest" Path="extension/package.json" Addressable="true" />
    <Asset Type="Microsoft.VisualStudio.Services.Content.Details" Path="extension/README.md" Addressable="true" />
    <Asset Type="Microsoft.VisualStudio.Services.Icons.Default" Path="extension/{escape(package["icon"])}" Addressable="true" />
  </Assets>
</PackageManifest>
"""


KINDS = {"js": "application/javascript", "json": "application/json", "md": "text/markdown", "png": "image/png",
         "svg": "image/svg+xml", "txt": "text/plain", "html": "text/html", "vsixmanifest": "text/xml"}


def content_types(names):
    endings = sorted({name.rsplit(".", 1)[-1] for name in names if "." in name.rsplit("/", 1)[-1]})
    rows = "".join(f'<Default Extension=".{escape(ending)}" ContentType="{KINDS.get(ending, "application/octet-stream")}" />'
                   for ending in endings)
    return ('<?xml version="1.0" encoding="utf-8"?>\n<Types xmlns="http://schemas.openxmlformats.org/package/2006/'
            f'content-types">{rows}</Types>\n')


def own_files():
    """{name in the extension: file} without what is platform's."""
    found = {}
    for pattern in OWN:
        for path in FOLDER.glob(pattern):
            if path.is_file():
                found[path.relative_to(FOLDER).as_posix()] = path
    for path in (FOLDER / "node_modules").rglob("*"):
        name = path.relative_to(FOLDER).as_posix()
        if path.is_file() and not LEFT_OUT.search(name):
            found[name] = path
    return found


def pack(out, platform=None, program=None, pages=None):
    found = own_files()
    if platform:
        found["program/turnwright" + (".exe" if platform.startswith("win32") else "")] = Path(program)
        for path in Path(pages).rglob("*"):
            if path.is_file():
                found.setdefault(path.relative_to(pages).as_posix(), path)
    rows = [("extension/" + name, path.read_bytes(), name.startswith("program/")) for name, path in sorted(found.items())]
    package = read_package()
    head = [("extension.vsixmanifest", manifest(package, platform).encode(), False)]
    names = [name for name, *_ in head + rows]
    write_zip(out, [*head, ("[Content_Types].xml", content_types(names).encode(), False), *rows])


if __name__ == "__main__":
    pack(*sys.argv[1:])
