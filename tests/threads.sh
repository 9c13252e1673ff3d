#!/bin/sh
# The server with the thread sanitizer while the benchmark types, asks and pulls, in all three styles of programs:
#   sh tests/threads.sh [BLOCKS]      blocks of each program, 5000 when none are given
# What it found is printed, and the exit status tells whether there was any. Figures of the benchmark mean nothing here.
# THREADS_BUILD names another build folder.
set -eu
. "$(dirname "$0")/../.ci/prepare.sh"
cd "$root_folder"
blocks=${1:-5000}
folder=${THREADS_BUILD:-$root_folder/build-threads}
# shellcheck disable=SC2086
install_missing $build_packages >&2
cmake -G Ninja -S . -B "$folder" -DCMAKE_BUILD_TYPE=RelWithDebInfo -DTURNWRIGHT_TOGETHER=ON \
    -DTURNWRIGHT_SANITIZE_THREADS=ON >/dev/null
cmake --build "$folder" --target turnwright turnwright_bench

said=$(mktemp -d "${TMPDIR:-/tmp}/turnwright-threads.XXXXXX")
trap 'rm -rf "$said"' EXIT
status=0
for style in hand post macro; do
    # What is told goes to a file a process: the benchmark reads the server's own outputs.
    TSAN_OPTIONS="log_path=$said/$style exitcode=66 second_deadlock_stack=1" \
        "$folder/tests/turnwright_bench" --server "$folder/turnwright" --style "$style" --sizes "$blocks" --seconds 60 \
        --only push,requests,pull --clangd "" >"$said/$style.table" 2>&1 || { status=1; cat "$said/$style.table"; }
    found=$(cat "$said/$style".[0-9]* 2>/dev/null | grep -c '^WARNING: ThreadSanitizer' || true)
    echo "threads: $style, $blocks blocks: $(grep -c '^|' "$said/$style.table" || true) rows measured, $found reports"
    if [ "$found" -ne 0 ]; then
        status=1
        cat "$said/$style".[0-9]*
    fi
done
exit $status
