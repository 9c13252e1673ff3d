#!/bin/sh
# Everything that is handed out, built on Debian 12 (as root or with sudo):
#   sh .ci/release.sh          makes build/release: archives for Windows and Linux, a Debian package, the extension for each,
#                              sources, pages, bills of materials and SHA256SUMS
#   sh .ci/release.sh again    packs once more from the programs that are built, and compares the bytes
#   sh .ci/release.sh whole    builds once more in other folders, too, and compares the bytes (takes as long as the first)
#   sh .ci/release.sh try      tries each as its user would; what came out is kept in docs/tried/release.md
# The sources have to be committed: what is handed out names its commit.
set -eu
# shellcheck source=prepare.sh
. "$(dirname "$0")/prepare.sh"
# shellcheck source=pack.sh
. "$root_folder/.ci/pack.sh"
cd "$root_folder"

# make_release OUT WINDOWS-BUILD LINUX-BUILD DEBIAN-BUILD
make_release() {
    out=$1
    rm -rf "$out"
    mkdir -p "$out"
    TURNWRIGHT_WINDOWS_FOLDER=$2 sh .ci/windows.sh
    cp "$2"/turnwright-"$version"-*.zip "$2"/turnwright-"$version"-*.vsix "$2"/turnwright-"$version"-*.spdx.json "$out/"
    TURNWRIGHT_ARCHIVE_FOLDER=$3 sh .ci/archive.sh
    cp "$3"/turnwright-"$version"-*.tar.gz "$3"/turnwright-"$version"-*.vsix "$3"/turnwright-"$version"-*.spdx.json "$out/"
    # Of this Debian's libraries, as the tests were run with.
    build_folder=$4
    build turnwright
    cpack --config "$4/CPackConfig.cmake" -G DEB -B "$4/deb" >"$4/deb.log" || { cat "$4/deb.log"; exit 1; }
    cp "$4"/deb/turnwright_"$version"_*.deb "$out/"
    deb=$(basename "$out"/turnwright_*.deb .deb)
    "$python" .ci/bill.py "$4" "$4/turnwright" --name "$deb" --version "$version" --out "$out/$deb.spdx.json"
    git archive --format=tar --prefix="turnwright-$version/" HEAD | gzip -9n >"$out/turnwright-$version-sources.tar.gz"
    pages=$4/turnwright-$version-pages
    rm -rf "$pages"
    mkdir -p "$pages"
    "$python" .ci/pages.py "$pages"
    "$python" .ci/archives.py zip "$pages" "$out/turnwright-$version-pages.zip"
    "$python" .ci/archives.py sums "$out"
}

release=$root_folder/build/release
# shellcheck disable=SC2086
install_missing $build_packages $pack_packages dpkg-dev file
if [ -n "$(git status --porcelain)" ]; then
    echo "These are not committed, so nothing is made that would name a commit it is not from:" >&2
    git status --short >&2
    exit 1
fi
case "${1-}" in
"")
    make_release "$release" "$root_folder/build-windows" "$root_folder/build-archive" "$root_folder/build"
    ls -l "$release"
    ;;
again | whole)
    [ -f "$release/SHA256SUMS" ] || { echo "sh .ci/release.sh comes first" >&2; exit 2; }
    other=$(mktemp -d "${TMPDIR:-/tmp}/turnwright-release.XXXXXX")
    trap 'rm -rf "$other"' EXIT
    if [ "$1" = again ]; then
        make_release "$other/release" "$root_folder/build-windows" "$root_folder/build-archive" "$root_folder/build"
    else
        make_release "$other/release" "$other/windows" "$other/archive" "$other/debian"
    fi
    "$python" .ci/archives.py same "$release" "$other/release"
    ;;
try)
    sh tests/packing/try.sh "$release"
    ;;
*)
    sed -n '3,8p' "$0" >&2
    exit 2
    ;;
esac
