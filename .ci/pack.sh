#!/bin/sh
# What is handed out of one program that stands alone. Sourced by windows.sh and archive.sh, after prepare.sh.

version=$(sed -n 's/^project(turnwright VERSION \([0-9.]*\).*/\1/p' "$root_folder/CMakeLists.txt")
# Debian's own, which has python3-markdown.
python=/usr/bin/python3
# One time for every file: that of the commit.
if [ -z "${SOURCE_DATE_EPOCH-}" ]; then
    SOURCE_DATE_EPOCH=$(cd "$root_folder" && git log -1 --format=%ct 2>/dev/null || echo 315532800)
fi
export SOURCE_DATE_EPOCH PYTHONDONTWRITEBYTECODE=1

# pack FOLDER SYSTEM PROGRAM: FOLDER/turnwright-VERSION-SYSTEM with the program, the pages, the editors' settings, the
# extension for VS Code with the program in it, the notices of all that is linked in and a bill of it; and the archive of
# that, a zip for Windows, else a tar.gz. FOLDER/build is what PROGRAM was linked in, FOLDER/libraries what it was linked
# with. Extension and bill are left beside the archive, too. Prints its name.
pack() {
    name=turnwright-$version-$2
    into=$1/$name
    install_npm
    rm -rf "$into" "$1/help"
    mkdir -p "$into" "$1/help"
    "$python" "$root_folder/.ci/pages.py" "$1/help" >/dev/null
    case $2 in
    windows-x86_64) platform=win32-x64 ;;
    linux-x86_64) platform=linux-x64 ;;
    linux-aarch64) platform=linux-arm64 ;;
    esac
    # Its packages have to be there before the bill is written, and the bill before it is packed.
    extension=$root_folder/editor-configs/vscode
    (cd "$extension" && npm ci --omit=dev --ignore-scripts --no-audit --no-fund --loglevel=error >&2)
    "$python" "$root_folder/.ci/bill.py" "$1/build" "$3" --name "$name" --version "$version" \
        --libraries "$1/libraries" --npm "$extension" --out "$1/$name.spdx.json" --notices "$1/help/licences"
    cp "$1/$name.spdx.json" "$1/help/licences/"
    "$python" "$extension/pack.py" "$1/turnwright-$version-$platform.vsix" "$platform" "$3" "$1/help"

    cp -r "$1/help/." "$into/"
    cp "$3" "$1/turnwright-$version-$platform.vsix" "$into/"
    case $2 in
    windows*)
        # Windows' own shell reads its scripts with its own ends of lines.
        for script in "$root_folder/.ci/windows/"*; do sed 's/$/\r/' "$script" >"$into/$(basename "$script")"; done
        "$python" "$root_folder/.ci/archives.py" zip "$into" "$1/$name.zip"
        echo "$1/$name.zip"
        ;;
    *)
        "$python" "$root_folder/.ci/archives.py" tar "$into" "$1/$name.tar.gz"
        echo "$1/$name.tar.gz"
        ;;
    esac
}
