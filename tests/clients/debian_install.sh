#!/bin/sh
# debian_install.sh [BUILD_DIR [pages]]: the Debian package in a Debian 12 of its own that has nothing else: installed with
# what it asks for, tried, removed. With pages what the editors' pages say is done there as well, see pages.sh. Needs root
# and debootstrap; TURNWRIGHT_DEB is a package that was made already. Makes the folder once (about 300 MB, 1 GB with the editors). No part of the test command.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
. "$(dirname "$0")/debian_folder.sh"
build=$(realpath "${1:-$build_folder}")
folder="${TURNWRIGHT_BOOKWORM:-$root_folder/.cache/bookworm}"
install_missing dpkg-dev
make_debian bookworm "$folder"
work=$(mktemp -d "${TMPDIR:-/tmp}/turnwright-package.XXXXXX")
trap 'leave; rm -rf "$work"' EXIT
if [ -z "${TURNWRIGHT_DEB-}" ]; then
    cpack --config "$build/CPackConfig.cmake" -G DEB -B "$work" >"$work/log" || { cat "$work/log"; exit 1; }
fi
cp "${TURNWRIGHT_DEB:-$(ls "$work"/*.deb)}" "$folder/root/turnwright.deb"

inside() { chroot "$folder" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LANG=C.UTF-8 DEBIAN_FRONTEND=noninteractive "$@"; }
failures=0
# expect WHAT STATUS COMMAND...: the command, inside, ends with that status.
expect() {
    what=$1 wanted=$2
    shift 2
    echo "\$ $*"
    status=0
    inside "$@" >"$work/out" 2>&1 || status=$?
    tail -n "${LINES_SHOWN:-4}" "$work/out" | sed 's/^/    /'
    if [ "$status" -eq "$wanted" ]; then echo "ok    $what"; else
        echo "FAIL  $what: status $status"
        failures=$((failures + 1))
    fi
}
inside apt-get -q update >/dev/null
# From an earlier run, with what came only for it
inside dpkg --purge turnwright >/dev/null 2>&1 || true
inside apt-get -q -y autoremove --purge >/dev/null
examples=/usr/share/doc/turnwright/examples
expect "dpkg says what is missing" 1 dpkg -i /root/turnwright.deb
expect "apt-get brings it, and nothing is left open" 0 apt-get -q -y --no-install-recommends -f install
expect "dpkg has it installed" 0 dpkg -s turnwright
expect "no file of it was changed" 0 dpkg --verify turnwright
expect "the program says its version" 0 turnwright --version
expect "the right example has no warning" 0 turnwright check $examples/pump-shaft.nc
expect "the faulty one has" 1 turnwright check $examples/pump-shaft-faulty.nc
expect "a code is explained" 0 turnwright explain G96
expect "a picture is drawn" 0 turnwright picture $examples/pump-shaft.nc -o /tmp/picture.svg
if [ "${2-}" = pages ]; then
    rm -rf "$folder/root/sources"
    mkdir -p "$folder/root/sources"
    tar -C "$root_folder" -c --exclude=node_modules .ci docs editor-configs grammar tests/clients |
        tar -C "$folder/root/sources" -x
    enter
    inside sh /root/sources/tests/clients/pages.sh >"$work/pages" 2>&1 || failures=$((failures + 1))
    sed -n '/^== /,$p' "$work/pages"
    leave
fi
expect "it can be taken away" 0 dpkg --purge turnwright
expect "and then nothing of it is left" 2 ls /usr/bin/turnwright /usr/share/turnwright /usr/share/doc/turnwright
[ "$failures" -eq 0 ] && echo "Debian package, installed: all met" || echo "Debian package, installed: $failures not met"
[ "$failures" -eq 0 ]
