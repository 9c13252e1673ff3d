#!/bin/sh
# Hours of an editor's work on one server: random keys, requests, opens and closes.
#   sh tests/endtoend/soak.sh                 an hour with build/turnwright
#   sh tests/endtoend/soak.sh 1200 [SEED]     twenty minutes
# Fails when a message is not right by the published types, when a request fails inside, when the warnings are
# not those of a fresh server with the same text, or when memory grows. TURNWRIGHT names another program.
# Needs what the end-to-end tests need (sh tests/run.sh once).
set -eu
folder=$(cd "$(dirname "$0")" && pwd)
cd "$folder"
# A machine that does much else may let a server stand for minutes.
TURNWRIGHT_PATIENCE=600 PYTHONDONTWRITEBYTECODE=1 exec python3 soak.py "${1:-3600}" "${2:-1}"
