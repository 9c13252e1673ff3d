#!/bin/sh
# build.sh [OUT.vsix [PLATFORM PROGRAM PAGES]]: the extension as one file to install; with a platform (win32-x64, linux-x64)
# the program and its pages are in it. Needs Node.js 18 or later with npm, and Python 3 (Debian 12: packages nodejs, npm,
# python3).
set -eu
out=$(realpath -m "${1:-turnwright.vsix}")
[ $# -eq 0 ] || shift
if [ $# -eq 3 ]; then set -- "$1" "$(realpath "$2")" "$(realpath "$3")"; fi
cd "$(dirname "$0")"
npm ci --omit=dev --ignore-scripts --no-audit --no-fund --loglevel=error
exec python3 pack.py "$out" "$@"
