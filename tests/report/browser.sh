#!/bin/sh
# The picture page and the setup sheet in real browsers, headless. A command of its own, for browsers are large:
#   sh tests/report/browser.sh [FOLDER-FOR-SCREENSHOTS]       both; BROWSER=chromium or BROWSER=firefox: one
# Needs the built program (build/turnwright, or TURNWRIGHT) and Debian's chromium, firefox-esr and poppler-utils.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
: "${TURNWRIGHT:=$here/../../build/turnwright}"
export TURNWRIGHT
missing=""
: "${BROWSER:=chromium firefox}"
for one in $BROWSER; do
    case $one in
    chromium) command -v chromium >/dev/null || missing="$missing chromium" ;;
    firefox) command -v firefox-esr >/dev/null || missing="$missing firefox-esr" ;;
    *) echo "BROWSER is chromium or firefox, not $one" >&2; exit 2 ;;
    esac
done
command -v pdfinfo >/dev/null || missing="$missing poppler-utils"
if [ -n "$missing" ]; then
    if [ "$(id -u)" != 0 ]; then
        echo "Please install first:$missing" >&2
        exit 2
    fi
    apt-get install -y --no-install-recommends $missing
fi
[ -z "${1:-}" ] || mkdir -p "$1"
status=0
for one in $BROWSER; do
    echo "In $one:"
    SCREENSHOTS=${1:-} BROWSER=$one PYTHONDONTWRITEBYTECODE=1 python3 "$here/browser.py" || status=1
done
exit $status
