#!/bin/sh
# build.sh [OUT.vsix]: the extension as one file to install. Needs Node.js 20 or later with npm.
set -eu
out=$(realpath -m "${1:-turnwright.vsix}")
cd "$(dirname "$0")"
npm ci --ignore-scripts --no-audit --no-fund --loglevel=error
npm run --silent package -- --out "$out"
