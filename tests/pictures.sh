#!/bin/sh
# pictures.sh [WINDOWS-ARCHIVE.zip LINUX.vsix]: makes every picture of docs and of the extension from the real program:
#   docs/pictures          the picture page (tests/report/gallery.py) and the windows of the first day
#   editor-configs/vscode/media   the extension's icon and its first steps
# The archives are those of build/release when none are named. Needs chromium, Wine for what a Windows command window says,
# and what tests/clients/vscode.sh needs. PICTURES=gallery, windows or editor makes only those.
set -eu
. "$(dirname "$0")/../.ci/prepare.sh"
cd "$root_folder"
zip=$(realpath "${1:-$(ls build/release/turnwright-*-windows-x86_64.zip)}")
vsix=$(realpath "${2:-$(ls build/release/turnwright-*-linux-x64.vsix)}")
only=${PICTURES-gallery windows editor}
install_missing chromium python3
work=$(mktemp -d "${TMPDIR:-/tmp}/turnwright-pictures.XXXXXX")
trap 'rm -rf "$work"' EXIT
media=editor-configs/vscode/media
page() { # FILE OUT WIDTH HEIGHT: a page in a browser's window
    chromium --headless --no-sandbox --disable-gpu --hide-scrollbars --default-background-color=00000000 \
        --window-size="$3,$4" --virtual-time-budget=3000 --screenshot="$2" "$1" >/dev/null 2>&1
}

case $only in *gallery*)
    python3 tests/report/gallery.py
    { echo '<style>body{margin:0}</style>' && cat $media/icon.svg; } >"$work/icon.html"
    page "$work/icon.html" $media/icon.png 256 256
    ;;
esac

case $only in *windows*)
    # Wine writes what a command window of Windows shows; the letters are drawn here, as no window of Windows can be.
    install_missing wine wine64
    export WINEPREFIX="$work/wine" WINEDEBUG=-all TURNWRIGHT_QUIET=1
    mkdir -p "$work/unpacked" "$work/Programs"
    python3 -c 'import sys, zipfile; zipfile.ZipFile(sys.argv[1]).extractall(sys.argv[2])' "$zip" "$work/unpacked"
    cp docs/examples/pump-shaft.nc docs/examples/wear-bushing.nc docs/examples/hub-hits.* "$work/Programs/"
    here=$(ls -d "$work"/unpacked/*)
    wineboot -u >/dev/null 2>&1
    trap 'wineserver -k || true; rm -rf "$work"' EXIT
    # drawn NAME TITLE LINES: standard input as a window of 100 columns, without what only this computer has
    drawn() {
        tr -d '\r' | sed "s|Z:.*[\\/]unpacked[\\/]|C:\\\\Users\\\\you\\\\|g; s|Z:.*[\\/]Programs|C:\\\\Programs|g; s|C:[^ ]*Temp.Turnwright|C:\\\\Users\\\\you\\\\AppData\\\\Local\\\\Temp\\\\Turnwright|g" |
            fold -s -w 100 >"$work/all"
        { head -n "$3" "$work/all"; [ "$(wc -l <"$work/all")" -le "$3" ] || { echo ...; tail -n 8 "$work/all"; }; } >"$work/1-$2.screen"
        python3 tests/clients/screen_picture.py "$work/1-$2.screen" >"docs/pictures/$1.svg"
    }
    wine cmd /c "$here/Try it.cmd" 2>/dev/null | drawn day-example "Try it.cmd" 24
    wine cmd /c "$here/Try it.cmd" "$(wine winepath -w "$work/Programs" 2>/dev/null | tr -d '\r')" 2>/dev/null |
        drawn day-folder "a folder dropped onto Try it.cmd" 20
    {
        wine cmd /c "$here/Add to PATH.cmd" 2>/dev/null
        printf '\nC:\\Users\\you> turnwright --version\n'
        wine cmd /c "turnwright --version" 2>/dev/null
    } | drawn day-path "Add to PATH.cmd, then a new command window" 20
    page_file=$(find "$WINEPREFIX" -name example.html | head -n 1)
    page "$page_file" docs/pictures/day-page.png 1280 820
    ;;
esac

case $only in *editor*)
    rm -rf "$work/shots"
    TURNWRIGHT_VSIX=$vsix DRIVER=$root_folder/tests/clients/vscode/first_day.js WIDTH=1180 HEIGHT=720 \
        sh tests/clients/vscode.sh none "$work/shots"
    for name in warnings hover fixes picture sequences sheet; do cp "$work/shots/$name.png" $media/; done
    for name in day-install day-first-steps day-shop; do cp "$work/shots/$name.png" docs/pictures/; done
    ;;
esac
