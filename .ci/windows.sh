#!/bin/sh
# The program for Windows, built on Debian 12 (as root or with sudo):
#   sh .ci/windows.sh          builds build-windows/turnwright-VERSION-windows-x86_64.zip, and the extension with it
#   sh .ci/windows.sh test     the same, and runs the tests on it under Wine; what came out is kept in
#                              docs/tried/windows.md
# TURNWRIGHT_WINDOWS_FOLDER is another place for the build.
set -eu
# shellcheck source=prepare.sh
. "$(dirname "$0")/prepare.sh"
folder=${TURNWRIGHT_WINDOWS_FOLDER:-$root_folder/build-windows}
tools=x86_64-w64-mingw32-

# shellcheck disable=SC2086
install_missing $build_packages $pack_packages g++-mingw-w64-x86-64-posix
if [ "${1-}" = test ]; then install_missing wine wine64 git python3 ca-certificates; fi
mkdir -p "$folder"
folder=$(cd "$folder" && pwd)
if [ ! -f "$folder/libraries/compiled.txt" ]; then sh "$root_folder/.ci/libraries.sh" "$folder/libraries" "$tools"; fi

# Nothing of the Wine of the person who runs this is touched.
export WINEPREFIX="$folder/wine" WINEDEBUG=-all
cmake -G Ninja -S "$root_folder" -B "$folder/build" --toolchain "$root_folder/.ci/windows.cmake" \
    -DTURNWRIGHT_LIBRARIES="$folder/libraries" -DCMAKE_BUILD_TYPE=Release -DTURNWRIGHT_WERROR=ON \
    -DTURNWRIGHT_TOGETHER=ON
targets=turnwright
# The rooms that a system can make a difference to, and every program of the corpus with its warnings.
rooms="host text shop rpc corpus"
if [ "${1-}" = test ]; then for room in $rooms; do targets="$targets test_$room"; done; fi
# shellcheck disable=SC2086
cmake --build "$folder/build" --target $targets

# shellcheck source=pack.sh
. "$root_folder/.ci/pack.sh"
"${tools}strip" -o "$folder/turnwright.exe" "$folder/build/turnwright.exe"
pack "$folder" windows-x86_64 "$folder/turnwright.exe"

if [ "${1-}" != test ]; then exit 0; fi

install_protocol_types
# The server of Wine and its services stay, so that a thousand starts of the program are not a thousand starts of a
# system; they are started here, not by the first test, whose output they would hold open for ever.
wineserver -k >/dev/null 2>&1 || true
wineserver -w
wineserver -p >/dev/null 2>&1 </dev/null
wineboot -u >/dev/null 2>&1 </dev/null
trap 'wineserver -k' EXIT
status=0
only="^($(echo "$rooms" | tr ' ' '|')|endtoend_.*)\$"
ctest --test-dir "$folder/build" --output-on-failure --no-tests=error -j "$(nproc)" -R "$only" | tee "$folder/tests.txt" || status=1
grep -q '^100% tests passed' "$folder/tests.txt" || status=1

# Before the page is opened for writing, which would be a change of the sources.
commit=$(cd "$root_folder" && git describe --always --dirty 2>/dev/null || echo "no commit")
mkdir -p "$root_folder/docs/tried"
{
    echo "# The Windows program, tried under Wine"
    echo
    echo "Written by \`sh .ci/windows.sh test\`, $(date -u +%Y-%m-%d), at $commit."
    echo
    echo "- built by: $("${tools}g++-posix" --version | head -n 1)"
    echo "- run by: $(wine --version) on $(. /etc/os-release && echo "$PRETTY_NAME")"
    echo "- program: turnwright.exe, $(stat -c %s "$folder/build/turnwright.exe") bytes, needs of the system:" \
        "$("${tools}objdump" -p "$folder/build/turnwright.exe" | sed -n 's/.*DLL Name: //p' | sort -f | paste -sd ' ')"
    echo
    printf '%s\n' '    $ turnwright.exe check docs\examples\pump-shaft-faulty.nc'
    (cd "$root_folder" && wine "$folder/build/turnwright.exe" check 'docs\examples\pump-shaft-faulty.nc') | head -n 3 | sed 's/^/    /'
    echo "    ..."
    echo
    echo "The tests are the same as on Linux. Left out: links out of a folder, which Wine follows itself and does not"
    echo "show to the program."
    echo
    sed -n 's/^ *[0-9]*\/[0-9]* Test *#[0-9]*: /    /p' "$folder/tests.txt"
    echo
    grep -E 'tests passed|tests failed' "$folder/tests.txt" | sed 's/^/    /'
} >"$root_folder/docs/tried/windows.md"
exit $status
