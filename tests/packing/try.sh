#!/bin/sh
# try.sh RELEASE-FOLDER [PART...]: tries what sh .ci/release.sh made as its users would, each part with nothing but what it
# brings: sums windows linux debian editor pages bill sources. What came out is kept in docs/tried/release.md. Needs root
# (chroot), and the network for a bare Debian, the editor's engine and Wine the first time.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
cd "$root_folder"
release=$(realpath "$1")
shift
parts=${*:-sums windows linux debian editor pages bill sources}
version=$(sed -n 's/^project(turnwright VERSION \([0-9.]*\).*/\1/p' CMakeLists.txt)
work=$(mktemp -d "${TMPDIR:-/tmp}/turnwright-try.XXXXXX")
trap 'WINEPREFIX=$work/wine wineserver -k 2>/dev/null || true; rm -rf "$work"' EXIT
failures=0
met() { echo "ok    $1"; }
# expect WHAT COMMAND...: it succeeds
expect() {
    what=$1
    shift
    if "$@" >"$work/said" 2>&1; then met "$what"; else
        echo "FAIL  $what"
        tail -n 5 "$work/said" | sed 's/^/      /'
        failures=$((failures + 1))
    fi
}
# says WHAT PATTERN FILE
says() { expect "$1" grep -Eq "$2" "$3"; }
unpack() { python3 -c 'import sys, zipfile; zipfile.ZipFile(sys.argv[1]).extractall(sys.argv[2])' "$1" "$2"; }

try_sums() {
    expect "every file is what SHA256SUMS says" sh -c "cd '$release' && sha256sum -c --strict --quiet SHA256SUMS"
    for file in windows-x86_64.zip linux-x86_64.tar.gz win32-x64.vsix linux-x64.vsix sources.tar.gz pages.zip \
        windows-x86_64.spdx.json linux-x86_64.spdx.json; do
        says "there is a $file" " turnwright-$version-$file\$" "$release/SHA256SUMS"
    done
    says "there is a Debian package" " turnwright_.*\.deb$" "$release/SHA256SUMS"
}

# As a person at a Windows computer: the zip unpacked into a folder with a blank and an umlaut, no PATH to it.
try_windows() {
    install_missing wine wine64 >/dev/null
    export WINEPREFIX="$work/wine" WINEDEBUG=-all TURNWRIGHT_QUIET=1
    wineboot -u >/dev/null 2>&1
    drive=$WINEPREFIX/drive_c
    mkdir -p "$drive/Jürgens Sachen" "$drive/Programs/sub folder" "$drive/elsewhere"
    unpack "$release/turnwright-$version-windows-x86_64.zip" "$drive/Jürgens Sachen"
    name=turnwright-$version-windows-x86_64
    folder="$drive/Jürgens Sachen/$name"
    cp docs/examples/pump-shaft.nc "$drive/Programs/"
    cp docs/examples/pump-shaft-faulty.nc "$drive/Programs/sub folder/two words.nc"
    in_cmd() { (cd "$drive/elsewhere" && env -i PATH=/usr/bin:/bin HOME="$work" LANG=C.UTF-8 WINEPREFIX="$WINEPREFIX" WINEDEBUG=-all TURNWRIGHT_QUIET=1 wine cmd /c "$@" 2>/dev/null | tr -d '\r'); }
    echo "      run by $(wine --version); DLLs it asks for:" \
        "$(x86_64-w64-mingw32-objdump -p "$folder/turnwright.exe" 2>/dev/null | sed -n 's/.*DLL Name: //p' | sort -f | paste -sd ' ')"
    in_cmd "C:\\Jürgens Sachen\\$name\\Try it.cmd" >"$work/example"
    says "Try it.cmd alone tells what is wrong in the example" 'pump-shaft-faulty.nc:16:5: warning: X52 has no decimal point' "$work/example"
    page=$(find "$drive" -name example.html | head -n 1)
    expect "and its picture was written" grep -q "<canvas" "${page:-none}"
    in_cmd "C:\\Jürgens Sachen\\$name\\Try it.cmd" 'C:\Programs' >"$work/dropped"
    says "a folder that is dropped onto it is checked, to the bottom" '2 programs checked' "$work/dropped"
    # With call, else the shell takes the first and the last quote of the line for one pair
    in_cmd call "C:\\Jürgens Sachen\\$name\\Try it.cmd" 'C:\Programs\sub folder\two words.nc' >"$work/dropped"
    says "and one program, with blanks in its path" 'two words.nc:16:5: warning' "$work/dropped"
    page=$(find "$drive" -name 'two words.html' | head -n 1)
    expect "which gets its picture" grep -q "<canvas" "${page:-none}"
    in_cmd "C:\\Jürgens Sachen\\$name\\Try it.cmd" 'C:\nowhere' >"$work/dropped"
    says "what is not there is told" 'There is no' "$work/dropped"
    in_wine() { env -i PATH=/usr/bin:/bin HOME="$work" LANG=C.UTF-8 WINEPREFIX="$WINEPREFIX" WINEDEBUG=-all wine "$@"; }
    # As it stands in the registry, letter by letter: no code page, nothing put in for %...%
    path_of_user() {
        in_wine reg export 'HKCU\Environment' 'C:\elsewhere\environment.reg' /y >/dev/null 2>&1
        python3 - "$drive/elsewhere/environment.reg" <<'READ'
import re, sys
text = re.sub(r"\\\r?\n *", "", open(sys.argv[1], encoding="utf-16").read())
kind, value = re.search(r'^"Path"=(hex\(2\):|")(.*?)"?\r?$', text, re.M).groups()
if kind == '"':
    print("no %...% in it any more:", value)
else:
    print(bytes(int(byte, 16) for byte in value.split(",")).decode("utf-16le").rstrip("\0"))
READ
    }
    there='%USERPROFILE%\tools;C:\Станки;C:\more tools'
    in_cmd "turnwright --version" >"$work/before" || true
    expect "before it is on PATH it is not found" sh -c "! grep -q '^[0-9]' '$work/before'"
    in_wine reg add 'HKCU\Environment' /v Path /t REG_EXPAND_SZ /d "$there" /f >/dev/null 2>&1
    in_cmd "C:\\Jürgens Sachen\\$name\\Add to PATH.cmd" >"$work/added"
    in_cmd "C:\\Jürgens Sachen\\$name\\Add to PATH.cmd" >"$work/again"
    path_of_user >"$work/path"
    expect "Add to PATH.cmd puts its folder behind what was there, letter by letter" \
        grep -Fxq "$there;C:\\Jürgens Sachen\\$name" "$work/path"
    says "once" 'already' "$work/again"
    in_cmd "turnwright --version" >"$work/version"
    says "then turnwright is found from anywhere" "^$version" "$work/version"
    in_cmd "C:\\Jürgens Sachen\\$name\\Remove from PATH.cmd" >"$work/removed"
    path_of_user >"$work/path"
    expect "Remove from PATH.cmd leaves what was there" grep -Fxq "$there" "$work/path"
    mkdir "$work/vsix"
    unpack "$release/turnwright-$version-win32-x64.vsix" "$work/vsix"
    expect "the extension for Windows has the same program" cmp "$folder/turnwright.exe" "$work/vsix/extension/program/turnwright.exe"
    (cd docs/examples && env -i PATH=/usr/bin:/bin HOME="$work" WINEPREFIX="$WINEPREFIX" WINEDEBUG=-all wine "$work/vsix/extension/program/turnwright.exe" check pump-shaft.nc 2>/dev/null | tr -d '\r') >"$work/inside"
    says "which runs from there" '1 program checked: 0 errors' "$work/inside"
    expect "its notices are there" test -s "$folder/licences/gcc-mingw-w64" -a -s "$folder/licences/mingw-w64" -a -s "$folder/licences/README.txt"
    expect "and no link of its pages leads nowhere" "$python" .ci/pages.py --links "$folder"
}

try_linux() {
    install_missing file >/dev/null
    install_protocol_types >/dev/null
    mkdir "$work/bare"
    tar -xzf "$release/turnwright-$version-linux-x86_64.tar.gz" -C "$work/bare" --strip-components=1
    expect "the Linux archive in an empty folder, every answer of its server held to the published types" \
        python3 tests/endtoend/try_archive.py "$work/bare" here
    sed -n '/^- turnwright:/s/^/      /p' "$work/said"
    expect "and no link of its pages leads nowhere" "$python" .ci/pages.py --links "$work/bare"
}

try_debian() {
    deb=$(ls "$release"/turnwright_*.deb)
    status=0
    TURNWRIGHT_DEB=$deb sh tests/clients/debian_install.sh build >"$work/debian" 2>&1 || status=$?
    grep -E '^(ok|FAIL)' "$work/debian" || cat "$work/debian"
    [ "$status" -eq 0 ] || failures=$((failures + 1))
}

try_editor() {
    status=0
    TURNWRIGHT_VSIX=$release/turnwright-$version-linux-x64.vsix sh tests/clients/vscode.sh none "$work/pictures" >"$work/editor" 2>&1 || status=$?
    grep -E '^(ok|FAIL|engine|vscode)|^      ' "$work/editor" || tail -n 20 "$work/editor"
    [ "$status" -eq 0 ] || failures=$((failures + 1))
}

try_pages() {
    install_missing chromium >/dev/null
    mkdir "$work/pages"
    unpack "$release/turnwright-$version-pages.zip" "$work/pages"
    folder=$(ls -d "$work"/pages/*)
    expect "no link of the pages leads nowhere" "$python" .ci/pages.py --links "$folder"
    # No network at all, and the page straight from its file
    sed 's|<body>|<body><script>addEventListener("load", () => { asked.value = "missing decimal point"; asked.dispatchEvent(new Event("input")); });</script>|' \
        "$folder/docs/README.html" >"$folder/docs/asked.html"
    unshare -n chromium --headless --no-sandbox --disable-gpu --dump-dom --virtual-time-budget=3000 "file://$folder/docs/asked.html" >"$work/dom" 2>/dev/null || true
    says "in a browser with no network the search finds the warning" 'found">.*decimal_point_missing.html' "$work/dom"
}

try_bill() {
    # Read by another program than the one that wrote it
    expect "the reader of bills of materials (spdx-tools) is there" sh -c "/usr/bin/python3 -m venv '$work/venv' && '$work/venv/bin/pip' install -q spdx-tools==0.8.3"
    for file in "$release"/*.spdx.json; do
        expect "$(basename "$file") is a right bill of materials" "$work/venv/bin/pyspdxtools" -i "$file"
    done
}

try_sources() {
    mkdir "$work/sources"
    tar -xzf "$release/turnwright-$version-sources.tar.gz" -C "$work/sources"
    git ls-files -z | sort -z | tr '\0' '\n' >"$work/known"
    (cd "$work/sources/turnwright-$version" && find . -type f -o -type l) | sed 's|^\./||' | sort >"$work/there"
    expect "the sources are all that is committed" sh -c "LC_ALL=C sort '$work/known' >'$work/a' && LC_ALL=C sort '$work/there' | diff '$work/a' -"
    expect "and can be configured where no git is" cmake -G Ninja -S "$work/sources/turnwright-$version" -B "$work/sources/build" -DTURNWRIGHT_TESTS=OFF
}

python=/usr/bin/python3
export PYTHONDONTWRITEBYTECODE=1
tried() {
    for part in $parts; do
        echo
        echo "$part:"
        "try_$part"
    done
    echo
    [ "$failures" -eq 0 ] && echo "release: all met" || echo "release: $failures not met"
    echo "$failures" >"$work/failures"
}
commit=$(git describe --always --dirty)
tried 2>&1 | tee "$work/all"
{
    echo "# What is handed out, tried as its users would"
    echo
    echo "Written by \`sh .ci/release.sh try\`, $(date -u +%Y-%m-%d), $(. /etc/os-release && echo "$PRETTY_NAME"), at $commit."
    echo "Nothing of it was run on Windows itself: what stands for it here is Wine."
    echo
    (cd "$release" && stat -c '    %10s  %n' *)
    sed -e 's/\x1b\[[0-9;]*m//g' -e 's|/tmp/[A-Za-z0-9./_-]*|...|g' -e 's/[[:space:]]*$//' -e 's/^\(.\)/    \1/' "$work/all"
} >docs/tried/release.md
exit "$(cat "$work/failures")"
