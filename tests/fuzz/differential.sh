#!/bin/sh
# A server that follows edits against a fresh one, at length: 20,000 batches of edits, or as many as are named.
#   sh tests/fuzz/differential.sh [BATCHES] [FIRST-SEED]
# Uses the programs of tests/corpus and docs/examples beside made-up ones. What differs is made shorter and written
# as differs-SEED.json into build/differential; put it into tests/fuzz/findings/differential, which every test run
# plays.
set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
cmake -G Ninja -S "$root" -B "$root/build" -DCMAKE_BUILD_TYPE=Release -DTURNWRIGHT_TESTS=ON >/dev/null
ninja -C "$root/build" fuzz_differential
mkdir -p "$root/build/differential"
exec "$root/build/tests/fuzz_differential" --batches "${1:-20000}" --seed "${2:-1000}" --go-on \
    --keep "$root/build/differential" --samples "$root/tests/corpus" --samples "$root/docs/examples"
