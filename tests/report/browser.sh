#!/bin/sh
# The picture page and the setup sheet in a real browser, headless. A command of its own, for chromium is large:
#   sh tests/report/browser.sh [FOLDER-FOR-SCREENSHOTS]
# Needs the built program (build/turnwright, or TURNWRIGHT) and Debian's chromium and poppler-utils.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
: "${TURNWRIGHT:=$here/../../build/turnwright}"
export TURNWRIGHT
missing=""
command -v chromium >/dev/null || missing="$missing chromium"
command -v pdfinfo >/dev/null || missing="$missing poppler-utils"
if [ -n "$missing" ]; then
    if [ "$(id -u)" != 0 ]; then
        echo "Please install first:$missing" >&2
        exit 2
    fi
    apt-get install -y --no-install-recommends $missing
fi
SCREENSHOTS=${1:-} PYTHONDONTWRITEBYTECODE=1 exec python3 "$here/browser.py"
