# What tests/run.sh and editor-configs/try.sh share: installing packages and building. Sourced, not run.

# The script that sources this may lie at any depth.
root_folder=$(cd "$(dirname "$0")" && pwd)
while [ ! -f "$root_folder/.ci/prepare.sh" ]; do root_folder=$(dirname "$root_folder"); done
build_folder=$root_folder/build
# What one checkout has compiled serves another with the same files.
export CCACHE_BASEDIR="$root_folder" CCACHE_NOHASHDIR=1

as_root() {
    if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi
}

# What a build needs, beside what install_missing is given.
build_packages="build-essential cmake ninja-build ccache pkg-config libtree-sitter-dev libasio-dev
    nlohmann-json3-dev catch2 libtomlplusplus-dev libcli11-dev libfmt-dev libpolyclipping-dev"

# What packing needs beside it: .ci/pack.sh.
pack_packages="python3 python3-markdown git"

# Installs those of the named Debian packages that are not there yet.
install_missing() {
    missing=
    for package in "$@"; do
        status=$(dpkg-query -W -f '${Status}' "$package" 2>/dev/null) || status=
        [ "$status" = "install ok installed" ] || missing="$missing $package"
    done
    [ -n "$missing" ] || return 0
    echo "Installing:$missing"
    # A package source that does not answer must not stop us when the others have what is needed.
    as_root apt-get -q -o Acquire::Retries=3 update || echo "apt-get update failed; going on with the lists at hand"
    # shellcheck disable=SC2086 # the list is meant to split
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -y -o Acquire::Retries=3 \
        install --no-install-recommends $missing
}

# build TARGET...: configures build/ and builds the targets.
build() {
    if ! cmake -G Ninja -S "$root_folder" -B "$build_folder" -DCMAKE_BUILD_TYPE=Release \
        -DTURNWRIGHT_WERROR=ON -DTURNWRIGHT_TESTS=ON \
        -DTURNWRIGHT_TOGETHER=ON; then
        echo "Configuring failed. If build/ was made by another generator or in another place, delete it and try again." >&2
        return 1
    fi
    cmake --build "$build_folder" --target "$@"
}

# Where Node.js comes from another source it brings its own npm, and Debian's npm would conflict with it.
install_npm() {
    command -v npm >/dev/null 2>&1 || install_missing nodejs npm
}

# The published types of the protocol, which every message of the end-to-end tests is held to.
install_protocol_types() {
    install_npm
    if [ ! -d "$root_folder/tests/endtoend/node_modules" ]; then
        (cd "$root_folder/tests/endtoend" && npm ci --no-audit --no-fund --loglevel=error)
    fi
}
