#!/bin/sh
# clang-tidy over the server, with the rows of .clang-tidy; any warning is a failure.
#   sh .ci/tidy.sh             the files that differ from the commit before, saved changes too
#   sh .ci/tidy.sh COMMIT      that differ from this one
#   sh .ci/tidy.sh all         every file, those of a room together: an hour of one core; FAST=1: ten minutes, without
#                              the paths through each function
#   sh .ci/tidy.sh FILE...     these
#   sh .ci/tidy.sh few ...     no more than four of them, fast, and nothing where there is no commit to compare with: for
#                              CI, which is to take a quarter of an hour
# A changed header is read with each changed file that has it; where none has, with the first file that names it.
# Needs clang-tidy and what a build needs. build-tidy is configured for it and not built.
set -eu
# shellcheck source=prepare.sh
. "$(dirname "$0")/prepare.sh"
cd "$root_folder"
install_missing git >&2
most=
if [ "${1-}" = few ]; then
    most=4
    FAST=1
    shift
fi

case "${1-}" in
all) files=all ;;
server/*) files=$* ;;
*)
    base=${1:-HEAD~1}
    if ! git rev-parse -q --verify "$base^{commit}" >/dev/null; then
        [ -z "$most" ] || { echo "clang-tidy: no commit $base here to compare with, nothing read"; exit 0; }
        echo "There is no commit $base here to compare with: fetch it, or name another" >&2
        exit 2
    fi
    changed=$(git diff --name-only --diff-filter=d "$base" -- server && git ls-files --others --exclude-standard server)
    files=$(echo "$changed" | grep '\.cpp$' || true)
    for header in $(echo "$changed" | grep '\.h$' || true); do
        named="#include \"${header#server/}\""
        # shellcheck disable=SC2086
        if [ -n "$files" ] && grep -qF "$named" $files; then continue; fi
        files="$files $(git grep -lF "$named" -- 'server/*.cpp' | head -n 1)"
    done
    ;;
esac
# shellcheck disable=SC2086
set -- $files
if [ $# -eq 0 ]; then
    echo "clang-tidy: no file of the server has changed"
    exit 0
fi
if [ -n "$most" ] && [ $# -gt "$most" ]; then
    echo "clang-tidy: $most of $# changed files of the server are read, for the time it takes"
    # shellcheck disable=SC2046
    set -- $(printf '%s\n' "$@" | head -n "$most")
fi
# shellcheck disable=SC2086
install_missing $build_packages clang-tidy python3 >&2

folder=${TIDY_BUILD:-$root_folder/build-tidy}
# Not together: each file is told of by itself; all of them would take hours.
together=OFF not_together=
if [ "$files" = all ]; then # another file of the room may have the same using
    together=ON not_together=-misc-unused-using-decls
fi
cmake -G Ninja -S . -B "$folder" -DCMAKE_BUILD_TYPE=Debug -DTURNWRIGHT_TOGETHER=$together -DTURNWRIGHT_TESTS=OFF \
    -DCMAKE_CXX_COMPILER_LAUNCHER= >/dev/null
if [ "$files" = all ]; then
    # shellcheck disable=SC2046
    set -- $(python3 .ci/put_together.py "$folder" "$folder/together")
    cp .clang-tidy "$folder/together/"
    folder=$folder/together
fi
# Two at a time; xargs ends with a failure where any did. GCC knows warnings that clang does not.
printf '%s\n' "$@" | sort -u | xargs -n 1 -P "$(nproc)" clang-tidy -p "$folder" --quiet --warnings-as-errors='*' \
    --checks="${FAST:+-clang-analyzer-*,}$not_together" \
    --extra-arg=-Wno-unknown-warning-option 2>/dev/null || {
    echo "clang-tidy: something was found in $# files of the server, see above" >&2
    exit 1
}
echo "clang-tidy: nothing found in $# files of the server"
