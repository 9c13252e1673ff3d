#!/bin/sh
# Line coverage of server/ by the whole test suite, room by room.
#   sh tests/coverage.sh                 builds in build-coverage/, runs every test, prints the table
#   sh tests/coverage.sh -R machine      the rest of the line goes to ctest
# COVERAGE_BUILD names another build folder. Needs gcovr and what the tests need (sh tests/run.sh once).
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
build=${COVERAGE_BUILD:-$root/build-coverage}
cd "$root"

cmake -G Ninja -S . -B "$build" -DCMAKE_BUILD_TYPE=Debug -DTURNWRIGHT_COVERAGE=ON >/dev/null
cmake --build "$build"
find "$build" -name '*.gcda' -delete
status=0
ctest --test-dir "$build" --output-on-failure -j "$(nproc)" "$@" || status=$?

gcovr -r . --filter 'server/' --gcov-ignore-parse-errors --json-summary-pretty -o "$build/coverage.json" "$build"
python3 - "$build/coverage.json" <<'EOF'
import collections
import json
import sys

rooms = collections.defaultdict(lambda: [0, 0])
files = json.load(open(sys.argv[1], encoding="utf-8"))["files"]
for file in files:
    parts = file["filename"].split("/")
    room = parts[1] if len(parts) > 2 else "commands"
    for name in (room, "all of server"):
        rooms[name][0] += file["line_covered"]
        rooms[name][1] += file["line_total"]
print(f"{'room':16} {'lines':>7} {'run':>7}")
for name, (covered, total) in sorted(rooms.items(), key=lambda entry: (entry[0] == "all of server", entry[0])):
    print(f"{name:16} {total:7} {100 * covered / max(1, total):6.1f}%")
print("\nfiles with the most lines that no test runs:")
for file in sorted(files, key=lambda f: f["line_covered"] - f["line_total"])[:15]:
    print(f"{file['line_total'] - file['line_covered']:5} of {file['line_total']:5}  {file['filename']}")
EOF
exit $status
