#!/bin/sh
# The program for any Linux of this kind of processor, with nothing to install beside it; built on Debian 12 (as root
# or with sudo):
#   sh .ci/archive.sh          builds build-archive/turnwright-VERSION-linux-x86_64.tar.gz
#   sh .ci/archive.sh test     the same, and tries it in a folder that holds nothing else; what came out is kept in
#                              docs/tried/archive.md
# TURNWRIGHT_ARCHIVE_FOLDER is another place for the build.
set -eu
# shellcheck source=prepare.sh
. "$(dirname "$0")/prepare.sh"
folder=${TURNWRIGHT_ARCHIVE_FOLDER:-$root_folder/build-archive}

# shellcheck disable=SC2086
install_missing $build_packages $pack_packages
mkdir -p "$folder"
folder=$(cd "$folder" && pwd)
if [ ! -f "$folder/libraries/compiled.txt" ]; then sh "$root_folder/.ci/libraries.sh" "$folder/libraries"; fi

# The same bytes from the same sources, wherever they lie
same_bytes="-ffile-prefix-map=$root_folder=. -ffile-prefix-map=$folder=build"
# The C library is linked in, too: the program asks it for no names of hosts or users, which would need its modules.
# -static-pie has to come after the -pie that CMake writes.
PKG_CONFIG_LIBDIR="$folder/libraries/lib/pkgconfig" cmake -G Ninja -S "$root_folder" -B "$folder/build" \
    -DCMAKE_BUILD_TYPE=Release -DTURNWRIGHT_WERROR=ON -DTURNWRIGHT_TESTS=OFF -DTURNWRIGHT_TOGETHER=ON \
    -DCMAKE_C_FLAGS="$same_bytes" -DCMAKE_CXX_FLAGS="$same_bytes" \
    -DCMAKE_PREFIX_PATH="$folder/libraries" \
    -DCMAKE_CXX_STANDARD_LIBRARIES=-static-pie
cmake --build "$folder/build" --target turnwright
strip -o "$folder/turnwright" "$folder/build/turnwright"

# shellcheck source=pack.sh
. "$root_folder/.ci/pack.sh"
pack "$folder" linux-"$(uname -m)" "$folder/turnwright"

if [ "${1-}" != test ]; then exit 0; fi
install_missing python3 file git ca-certificates
install_protocol_types
bare=$folder/bare
rm -rf "$bare"
mkdir -p "$bare"
tar -xzf "$folder/turnwright-$version-linux-$(uname -m).tar.gz" -C "$bare" --strip-components=1
mkdir -p "$root_folder/docs/tried"
commit=$(cd "$root_folder" && git describe --always --dirty 2>/dev/null || echo "no commit")
as_root python3 "$root_folder/tests/endtoend/try_archive.py" "$bare" "$commit" >"$folder/tried.md"
cp "$folder/tried.md" "$root_folder/docs/tried/archive.md"
cat "$folder/tried.md"
