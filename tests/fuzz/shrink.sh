#!/bin/sh
# Puts the fewest inputs of build-fuzz/corpus that reach as much code as all of them into tests/fuzz/corpus.
#   sh tests/fuzz/shrink.sh            every target; or name one
# Build them first: sh tests/fuzz/run.sh 0
set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
build=${FUZZ_BUILD:-$root/build-fuzz}
TMPDIR=$(mktemp -d)
export TMPDIR
trap 'rm -rf "$TMPDIR"' EXIT
for target in ${1:-syntax program edits frames session shop}; do
    kept=$root/tests/fuzz/corpus/$target
    mkdir -p "$TMPDIR/fewest" "$kept"
    # Small inputs first, so that they are preferred; what is long adds little.
    "$build/tests/fuzz_$target" -merge=1 -max_len=1200 -timeout=10 "$TMPDIR/fewest" "$kept" "$build/corpus/$target"
    rm -rf "$kept"
    mv "$TMPDIR/fewest" "$kept"
done
