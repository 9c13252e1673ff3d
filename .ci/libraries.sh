#!/bin/sh
# Makes the libraries that a self-contained program is linked with:
#   sh .ci/libraries.sh FOLDER [TOOLS]
# FOLDER gets include/ and lib/ as CMake looks for them, licences/ and compiled.txt. TOOLS is what stands before "gcc" in the
# compiler's name, x86_64-w64-mingw32- for Windows; nothing for this computer. For another system headers are copied
# out of /usr/include one library at a time, so that no header of this system is seen. The three libraries that are
# more than headers are compiled from Debian's source packages, which apt-get checks by the archive's signature.
set -eu
# shellcheck source=prepare.sh
. "$(dirname "$0")/prepare.sh"

folder=$1
tools=${2-}
mirror=${DEBIAN_MIRROR:-http://deb.debian.org/debian}

# shellcheck disable=SC2086 # the list is meant to split
install_missing $build_packages dpkg-dev debian-archive-keyring
mkdir -p "$folder"
folder=$(cd "$folder" && pwd)
suite=$(. /etc/os-release && echo "$VERSION_CODENAME")

# ---- headers

mkdir -p "$folder/lib/cmake" "$folder/lib/pkgconfig" "$folder/source"
include=/usr/include
if [ -n "$tools" ]; then
    include=$folder/include
    rm -rf "$include"
    mkdir -p "$include/tree_sitter" "$include/polyclipping"
    for header in asio asio.hpp nlohmann toml++ CLI fmt catch2; do
        if [ -e "/usr/include/$header" ]; then cp -rL "/usr/include/$header" "$include/"; fi
    done
fi

# package NAME TARGET [LIBRARY [DEFINITION [OPTIONS]]]: a library as find_package() finds it.
package() {
    mkdir -p "$folder/lib/cmake/$1"
    cat >"$folder/lib/cmake/$1/$1Config.cmake" <<CONFIG
if(NOT TARGET $2)
    add_library($2 INTERFACE IMPORTED)
    set_target_properties($2 PROPERTIES
        INTERFACE_INCLUDE_DIRECTORIES "$include"
        INTERFACE_COMPILE_DEFINITIONS "${4-}"
        INTERFACE_COMPILE_OPTIONS "${5-}"
        INTERFACE_LINK_LIBRARIES "${3-}")
endif()
CONFIG
}
if [ -z "$tools" ]; then
    # Defined as Debian's own packages do, so that all is compiled as in any other build here.
    package fmt fmt::fmt "$folder/lib/libfmt.a" FMT_SHARED
    package tomlplusplus tomlplusplus::tomlplusplus "$folder/lib/libtomlplusplus.a" "" "-DTOML_HEADER_ONLY=0;-DTOML_SHARED_LIB=1"
else
    package fmt fmt::fmt "$folder/lib/libfmt.a"
    package tomlplusplus tomlplusplus::tomlplusplus "" TOML_HEADER_ONLY=1
    package nlohmann_json nlohmann_json::nlohmann_json
    package CLI11 CLI11::CLI11
    package Catch2 Catch2::Catch2
    cat >"$folder/lib/cmake/Catch2/Catch2ConfigVersion.cmake" <<'CONFIG'
set(PACKAGE_VERSION 2.13)
if(PACKAGE_FIND_VERSION_MAJOR EQUAL 2)
    set(PACKAGE_VERSION_COMPATIBLE TRUE)
endif()
CONFIG
    echo 'list(APPEND CMAKE_MODULE_PATH /usr/lib/cmake/Catch2)' >>"$folder/lib/cmake/Catch2/Catch2Config.cmake"
fi

# ---- sources

# Lists and settings of our own: what the computer's package sources are does not matter and is not changed.
apt_folder=$folder/source/apt
mkdir -p "$apt_folder/lists/partial" "$apt_folder/archives/partial"
echo "deb-src [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg] $mirror $suite main" >"$apt_folder/sources.list"
apt_get() {
    apt-get -q -o Acquire::Retries=3 -o APT::Sandbox::User=root -o Dir::Etc::SourceList="$apt_folder/sources.list" \
        -o Dir::Etc::SourceParts=/dev/null -o Dir::State::Lists="$apt_folder/lists" -o Dir::Cache="$apt_folder" "$@"
}

# unpacked PACKAGE FILE: the folder of the source package, which holds FILE.
unpacked() {
    find "$folder/source" -maxdepth 1 -type d -name "$1-*" | while read -r found; do
        if [ -e "$found/$2" ]; then echo "$found"; fi
    done | head -n 1
}
if [ -z "$(unpacked tree-sitter lib/src/lib.c)" ] || [ -z "$(unpacked libpolyclipping cpp/clipper.cpp)" ] ||
    [ -z "$(unpacked fmtlib src/format.cc)" ]; then
    apt_get update
    (cd "$folder/source" && apt_get source tree-sitter libpolyclipping fmtlib)
fi
tree_sitter=$(unpacked tree-sitter lib/src/lib.c)
polyclipping=$(unpacked libpolyclipping cpp/clipper.cpp)
fmt=$(unpacked fmtlib src/format.cc)
if [ -z "$tree_sitter" ] || [ -z "$polyclipping" ] || [ -z "$fmt" ]; then
    echo "the source packages are not laid out as expected" >&2
    exit 1
fi

hardening="-ffile-prefix-map=$folder=libraries -O2 -g0 -fPIC -fstack-protector-strong -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2"
if [ -n "$tools" ]; then
    cp "$tree_sitter/lib/include/tree_sitter/"*.h "$include/tree_sitter/"
    cp "$polyclipping/cpp/clipper.hpp" "$include/polyclipping/"
fi
# shellcheck disable=SC2086 # the flags are meant to split
"${tools}gcc" -std=gnu99 $hardening -I "$tree_sitter/lib/include" -I "$tree_sitter/lib/src" \
    -c "$tree_sitter/lib/src/lib.c" -o "$folder/source/tree_sitter.o"
# shellcheck disable=SC2086
"${tools}g++" -std=c++17 $hardening -c "$polyclipping/cpp/clipper.cpp" -o "$folder/source/polyclipping.o"
# shellcheck disable=SC2086
"${tools}g++" -std=c++20 $hardening -I "$include" -c "$fmt/src/format.cc" -o "$folder/source/fmt.o"
rm -f "$folder/lib/"*.a
if [ -z "$tools" ]; then
    printf '#define TOML_IMPLEMENTATION\n#include <toml++/toml.h>\n' >"$folder/source/toml.cpp"
    # shellcheck disable=SC2086
    g++ -std=c++17 $hardening -DTOML_HEADER_ONLY=0 -DTOML_SHARED_LIB=1 -c "$folder/source/toml.cpp" -o "$folder/source/toml.o"
    ar rcs "$folder/lib/libtomlplusplus.a" "$folder/source/toml.o"
fi
"${tools}ar" rcs "$folder/lib/libtree-sitter.a" "$folder/source/tree_sitter.o"
"${tools}ar" rcs "$folder/lib/libpolyclipping.a" "$folder/source/polyclipping.o"
"${tools}ar" rcs "$folder/lib/libfmt.a" "$folder/source/fmt.o"
cat >"$folder/lib/pkgconfig/tree-sitter.pc" <<CONFIG
Name: tree-sitter
Description: incremental parsing library
Version: $(basename "$tree_sitter" | sed 's/tree-sitter-//')
Libs: -L$folder/lib -ltree-sitter
Cflags: -I$include
CONFIG

# ---- where they come from, for .ci/bill.py: file, source package, version; and the notice of each

rm -rf "$folder/licences" "$folder/compiled.txt"
mkdir -p "$folder/licences"
for pair in libtree-sitter.a:"$tree_sitter" libpolyclipping.a:"$polyclipping" libfmt.a:"$fmt"; do
    place=${pair#*:}
    name=$(dpkg-parsechangelog -l "$place/debian/changelog" -S Source)
    cp "$place/debian/copyright" "$folder/licences/$name"
    echo "${pair%%:*} $name $(dpkg-parsechangelog -l "$place/debian/changelog" -S Version)" >>"$folder/compiled.txt.new"
done
if [ -z "$tools" ]; then
    cp /usr/share/doc/libtomlplusplus-dev/copyright "$folder/licences/tomlplusplus"
    echo "libtomlplusplus.a tomlplusplus $(dpkg-query -W -f '${source:Version}' libtomlplusplus-dev)" >>"$folder/compiled.txt.new"
fi
mv "$folder/compiled.txt.new" "$folder/compiled.txt"
echo "Libraries are in $folder"
