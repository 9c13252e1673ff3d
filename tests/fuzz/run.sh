#!/bin/sh
# Builds the fuzzing targets with clang, address and undefined-behaviour sanitizers, and runs them.
#   sh tests/fuzz/run.sh                  every target for 60 seconds, one after another
#   sh tests/fuzz/run.sh 3600             for an hour each
#   sh tests/fuzz/run.sh 3600 edits       only this one: syntax program edits frames session shop
#   sh tests/fuzz/run.sh 0 edits          only the build and the inputs that are kept
# What ends a target is kept in tests/fuzz/findings/<target>, which every test run plays. New inputs gather in
# build-fuzz/corpus; `sh tests/fuzz/shrink.sh` puts the fewest that reach as much into tests/fuzz/corpus.
# Needs clang and libclang-rt-dev. FUZZ_BUILD names another build folder.
set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
build=${FUZZ_BUILD:-$root/build-fuzz}
seconds=${1:-60}
targets=${2:-syntax program edits frames session shop}
fuzz=$root/tests/fuzz

cmake -G Ninja -S "$root" -B "$build" -DCMAKE_C_COMPILER=clang -DCMAKE_CXX_COMPILER=clang++ \
    -DCMAKE_BUILD_TYPE=None -DCMAKE_C_FLAGS='-O1 -g' -DCMAKE_CXX_FLAGS='-O1 -g' -DTURNWRIGHT_FUZZ=ON -DTURNWRIGHT_TOGETHER=ON \
    -DTURNWRIGHT_WERROR=OFF >/dev/null
programs=
for target in $targets; do programs="$programs fuzz_$target"; done
# shellcheck disable=SC2086 # a list
ninja -C "$build" $programs

# Pages that commands write land here and go with the run.
TMPDIR=$(mktemp -d)
export TMPDIR
trap 'rm -rf "$TMPDIR"' EXIT

status=0
for target in $targets; do
    dictionary=program longest=3000 seeds=
    case $target in
    syntax) seeds="$root/tests/corpus $root/docs/examples" ;;
    program) seeds="$root/tests/corpus $root/docs/examples" ;;
    edits) longest=1500 ;;
    frames) dictionary=messages ;;
    session) dictionary=messages longest=2000 ;;
    shop) dictionary=shop ;;
    esac
    mkdir -p "$build/corpus/$target" "$fuzz/corpus/$target" "$fuzz/findings/$target"
    echo "$target: $seconds seconds"
    limit=-max_total_time=$seconds
    [ "$seconds" -gt 0 ] || limit=-runs=0
    # shellcheck disable=SC2086
    "$build/tests/fuzz_$target" "$limit" -timeout=10 -rss_limit_mb=2500 -max_len=$longest \
        -dict="$fuzz/$dictionary.dict" -artifact_prefix="$fuzz/findings/$target/" -print_final_stats=1 \
        "$build/corpus/$target" "$fuzz/corpus/$target" "$fuzz/findings/$target" $seeds || status=1
done
exit $status
