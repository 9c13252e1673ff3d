#!/bin/sh
# Writes grammar/src from grammar.js. With --check it writes nothing and fails when src differs;
# with --tool it prints the command that runs the grammar tool; with --test it runs the corpus.
#
# A `tree-sitter` on PATH is used when it is of a version that writes what is committed. Else the tool comes
# from Debian's suite trixie, unpacked with its own C library into grammar/.cache: bookworm has none.
# Exit status 77: the tool could not be had (no network), so nothing was done; with CI=true that is a failure.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
cache=$here/.cache
wanted=0.22.6
mode=${1:-write}

say() { echo "regenerate.sh: $*" >&2; }
skip() {
    say "SKIPPED: $*"
    [ "${CI:-}" = true ] && exit 1
    exit 77
}

fetch_tool() {
    [ -x "$cache/tool/usr/bin/tree-sitter" ] && return 0
    command -v apt-get >/dev/null 2>&1 || { say "no apt-get to fetch the grammar tool with"; return 1; }
    rm -rf "$cache/apt" "$cache/unpack"
    mkdir -p "$cache/apt/lists/partial" "$cache/apt/archives/partial" "$cache/unpack"
    # The mirror this machine is set up with.
    mirror=$(apt-get indextargets --format '$(SITE)' 'Created-By: Packages' 2>/dev/null | grep '/debian/*$' | head -n 1)
    echo "deb [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg] ${mirror:-http://deb.debian.org/debian} trixie main" \
        >"$cache/apt/trixie.list"
    apt() {
        apt-get -q -o Dir::Etc::sourcelist="$cache/apt/trixie.list" -o Dir::Etc::sourceparts=/dev/null \
            -o Dir::State::lists="$cache/apt/lists" -o Dir::Cache="$cache/apt" -o APT::Sandbox::User=root \
            -o Acquire::Languages=none "$@" >&2
    }
    apt update && (cd "$cache/unpack" && apt download tree-sitter-cli libc6 libgcc-s1) || return 1
    for package in "$cache"/unpack/*.deb; do dpkg -x "$package" "$cache/unpack/tool" || return 1; done
    rm -rf "$cache/tool"
    mv "$cache/unpack/tool" "$cache/tool"
    rm -rf "$cache/apt" "$cache/unpack"
}

tool=
if command -v tree-sitter >/dev/null 2>&1 && tree-sitter --version | grep -q "^tree-sitter $wanted"; then
    tool=tree-sitter
elif fetch_tool; then
    loader=$(ls "$cache"/tool/usr/lib*/ld-linux-*.so.* "$cache"/tool/usr/lib/*/ld-linux-*.so.* 2>/dev/null | head -n 1)
    libraries=$(dirname "$(ls "$cache"/tool/usr/lib/*/libc.so.6)")
    tool="$loader --library-path $libraries $cache/tool/usr/bin/tree-sitter"
else
    skip "the grammar tool (tree-sitter $wanted) is not here and could not be fetched"
fi
command -v node >/dev/null 2>&1 || skip "the grammar tool needs node"

# Generated aside: the tool also writes package files for other languages, which the project has no use for.
generate() {
    fresh=$(mktemp -d "${TMPDIR:-/tmp}/turning-grammar.XXXXXX")
    trap 'rm -rf "$fresh"' EXIT
    cp "$here/grammar.js" "$fresh/"
    (cd "$fresh" && $tool generate --abi 14 --no-bindings)
}

case $mode in
--tool) echo "$tool" ;;
--test)
    mkdir -p "$cache/home"
    cd "$here"
    HOME=$cache/home XDG_CACHE_HOME=$cache/home XDG_CONFIG_HOME=$cache/home TREE_SITTER_LIBDIR=$cache/home exec $tool test
    ;;
--check)
    generate
    if diff -r "$here/src" "$fresh/src" >/dev/null; then
        echo "grammar/src is what grammar.js gives"
    else
        say "grammar/src is not what grammar.js gives; run grammar/regenerate.sh"
        diff -rq "$here/src" "$fresh/src" >&2 || true
        exit 1
    fi
    ;;
write)
    generate
    mkdir -p "$here/src/tree_sitter"
    cp "$fresh"/src/*.c "$fresh"/src/*.json "$here/src/"
    cp "$fresh"/src/tree_sitter/*.h "$here/src/tree_sitter/"
    ;;
*)
    say "unknown option $mode"
    exit 2
    ;;
esac
