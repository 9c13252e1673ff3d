#!/bin/sh
# build.sh [OUT.vsix]: the extension as one file to install. Needs Node.js 18 or later with npm (Debian 12: packages nodejs and npm).
# package.json holds vsce and cheerio back to releases that run on that.
set -eu
out=$(realpath -m "${1:-turnwright.vsix}")
cd "$(dirname "$0")"
npm ci --ignore-scripts --no-audit --no-fund --loglevel=error
npm run --silent package -- --out "$out"
