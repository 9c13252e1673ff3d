#!/bin/sh
# Installs what is missing, builds in build/ and runs the tests. For Debian 12, as root or with sudo.
#   sh tests/run.sh                 all but the long ones: some two minutes on two cores
#   sh tests/run.sh all             every test, as .ci/run does
#   sh tests/run.sh -R 'syntax'     other arguments go to ctest
set -eu
. "$(dirname "$0")/../.ci/prepare.sh"
cd "$root_folder"

# libc6-dev and friends come with build-essential; a minimal Debian lacks even the certificates npm needs.
# shellcheck disable=SC2086
install_missing $build_packages ca-certificates git curl xz-utils file neovim procps $pack_packages python3-shapely python3-scipy python3-jsonschema
install_npm

for lock in tests/*/package-lock.json; do
    [ -f "$lock" ] || continue
    folder=$(dirname "$lock")
    echo "Node packages for $folder"
    (cd "$folder" && npm ci --no-audit --no-fund --loglevel=error)
done

case "${1-}" in
'') set -- -LE long ;;
all) shift ;;
esac

build all
# What the tests read is English, whatever this machine speaks.
export LC_ALL=C.UTF-8
# ctest's last lines are the result: "N% tests passed, M tests failed out of K". Its exit status is ours.
# One test more at a time than there are processors: some of them wait for most of their time.
exec ctest --test-dir build --output-on-failure --no-tests=error -j "$(($(nproc) + 1))" "$@"
