#!/bin/sh
# Makes an archive of a program that stands alone. Sourced by windows.sh and archive.sh, after prepare.sh.

version=$(sed -n 's/^project(turnwright VERSION \([0-9.]*\).*/\1/p' "$root_folder/CMakeLists.txt")

# pack FOLDER SYSTEM PROGRAM LICENCES NAME=PACKAGE...: FOLDER/turnwright-VERSION-SYSTEM with the program, the docs, the
# editor configurations and the licences of all that is linked in (those of NAME from the Debian PACKAGE), and the
# archive of it: a zip for Windows, else a tar.gz. Prints its name.
pack() {
    place=$1
    into=$place/turnwright-$version-$2
    program=$3
    licences=$4
    system=$2
    shift 4
    rm -rf "$into"
    mkdir -p "$into/licences"
    cp "$program" "$into/"
    cp "$licences"/* "$into/licences/"
    for pair in "$@"; do cp "/usr/share/doc/${pair#*=}/copyright" "$into/licences/${pair%%=*}"; done
    # The notices name the longer licences by their place on a Debian system.
    mkdir "$into/licences/common-licenses"
    grep -oh '/usr/share/common-licenses/[A-Za-z0-9.-]*[A-Za-z0-9]' "$into/licences"/* 2>/dev/null | sort -u |
        while read -r licence; do
            if [ -e "$licence" ]; then cp -L "$licence" "$into/licences/common-licenses/"; fi
        done
    cat >"$into/licences/README.txt" <<TEXT
Turnwright is linked with the libraries named here; each file is the notice and licence of one. What a notice calls
/usr/share/common-licenses is the folder common-licenses here.
All of them are free software, and so is what built it. To link it with other versions of them, build it from its
source: sh .ci/archive.sh for Linux, sh .ci/windows.sh for Windows.
TEXT
    # Only what belongs to the project: editors leave their own files beside it.
    if [ -d "$root_folder/.git" ]; then
        (cd "$root_folder" && git ls-files -z README.md docs editor-configs grammar/queries |
            xargs -0 cp --parents -t "$into")
    else
        (cd "$root_folder" && cp -r --parents README.md docs editor-configs grammar/queries "$into")
    fi
    (
        cd "$place"
        name=$(basename "$into")
        case $system in
        windows*)
            rm -f "$name.zip"
            cmake -E tar cf "$name.zip" --format=zip "$name"
            echo "$place/$name.zip"
            ;;
        *)
            tar --sort=name --owner=0 --group=0 --numeric-owner -czf "$name.tar.gz" "$name"
            echo "$place/$name.tar.gz"
            ;;
        esac
    )
}
