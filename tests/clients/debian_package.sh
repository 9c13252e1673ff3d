#!/bin/sh
# debian_package.sh BUILD_DIR WORK_DIR: makes the Debian package, unpacks it beside everything (no root needed) and
# tries what lies in it. Passed over (status 77) where Debian's tools are not there.
set -eu
build=$(realpath "$1") work=$2
for tool in dpkg-deb dpkg-shlibdeps cpack; do
    command -v "$tool" >/dev/null || { echo "passed over: no $tool here"; exit 77; }
done
rm -rf "$work"
mkdir -p "$work/made" "$work/programs"
work=$(realpath "$work")
cpack --config "$build/CPackConfig.cmake" -G DEB -B "$work/made" >"$work/cpack.log" 2>&1 ||
    { cat "$work/cpack.log"; exit 1; }
package=$(ls "$work"/made/*.deb)

failures=0
expect() {
    if [ "$2" -eq 0 ]; then echo "ok    $1"; else echo "FAIL  $1"; failures=$((failures + 1)); fi
}
# holds WHAT PATTERN FILE
holds() {
    status=0
    grep -Eq "$2" "$3" || status=1
    expect "$1" $status
}

echo "      $(basename "$package"), $(stat -c %s "$package") bytes"
dpkg-deb -f "$package" >"$work/control"
sed 's/^/      /' "$work/control"
holds "it is called turnwright" '^Package: turnwright$' "$work/control"
for library in libc6 libstdc++6 libtree-sitter0 libfmt9 libtomlplusplus3 libpolyclipping22; do
    dpkg-query -W "$library" >/dev/null 2>&1 || continue # another Debian calls it otherwise
    grep '^Depends:' "$work/control" | grep -Fq " $library " && status=0 || status=1
    expect "it asks for $library, which the program is linked with" $status
done

dpkg-deb -x "$package" "$work/root"
program=$work/root/usr/bin/turnwright
dpkg-deb -c "$package" >"$work/list"
for file in usr/bin/turnwright usr/share/man/man1/turnwright.1.gz usr/share/doc/turnwright/copyright \
    usr/share/doc/turnwright/changelog.gz usr/share/doc/turnwright/getting-started.md \
    usr/share/doc/turnwright/warnings/decimal_point_missing.md usr/share/doc/turnwright/shop-file.schema.json \
    usr/share/turnwright/editor-configs/neovim/turnwright.lua usr/share/turnwright/editor-configs/vscode/package.json \
    usr/share/turnwright/grammar/queries/highlights.scm usr/share/turnwright/grammar/src/parser.c; do
    [ -f "$work/root/$file" ] && status=0 || status=1
    expect "/$file is in it" $status
done
! grep -Eq 'node_modules|\.vsix|/docs/tried|\.git' "$work/list" && status=0 || status=1
expect "nothing that was only left lying about is in it" $status
! find "$work/root" -perm /022 -not -type l | grep -q . && status=0 || status=1
expect "nobody but its owner may change its files" $status
! readelf -S "$program" | grep -q '\.symtab' && status=0 || status=1
expect "the program carries no symbols for a debugger" $status

# Every command and every option of the program is in the manual.
gzip -dc "$work/root/usr/share/man/man1/turnwright.1.gz" | sed 's/\\-/-/g' >"$work/manual"
for command in $("$program" --help | sed -n '/^Subcommands:/,$s/^  \([a-z]*\) .*/\1/p'); do
    holds "the manual has $command" "^\.B $command$" "$work/manual"
    for option in $("$program" "$command" --help | grep -o -- '--[a-z]*' | sort -u); do
        grep -q -- "$option" "$work/manual" || expect "the manual has $command $option" 1
    done
done

cp "$work/root/usr/share/doc/turnwright/examples/pump-shaft-faulty.nc" \
    "$work/root/usr/share/doc/turnwright/examples/pump-shaft.nc" "$work/programs/"
status=0
"$program" check "$work/programs/pump-shaft-faulty.nc" >"$work/check" || status=$?
[ "$status" -eq 1 ] && status=0 || status=1
expect "check finds something in the faulty example" $status
holds "a missing decimal point, for one" 'decimal_point_missing' "$work/check"
status=0
"$program" check "$work/programs/pump-shaft.nc" >"$work/check" || status=$?
expect "and nothing in the right one" $status

# One conversation with an editor: the server finds its documentation where the package has put it.
say() { printf 'Content-Length: %s\r\n\r\n%s' "${#1}" "$1"; }
: >"$work/answered"
status=0
{
    say '{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"processId":null,"rootUri":null,"capabilities":{"textDocument":{"publishDiagnostics":{"codeDescriptionSupport":true}}}}}'
    say '{"jsonrpc":"2.0","method":"initialized","params":{}}'
    say '{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{"textDocument":{"uri":"file:///p.nc","languageId":"turning","version":1,"text":"G21 G99\nT0101\nG97 S500 M03\nG00 X50. Z2.\n"}}}'
    for _ in $(seq 100); do # A server that is told to stop at once need not check first
        grep -q publishDiagnostics "$work/answered" && break
        sleep 0.1
    done
    say '{"jsonrpc":"2.0","id":2,"method":"shutdown"}'
    say '{"jsonrpc":"2.0","method":"exit"}'
} | timeout 30 "$program" serve >"$work/answered" 2>"$work/log" || status=$?
expect "the server serves a conversation and ends" $status
holds "it says what it can do" '"hoverProvider"' "$work/answered"
holds "it publishes a warning" '"code":"program_end_missing"' "$work/answered"
holds "with the page of the package behind it" \
    "file://$work/root/usr/share/doc/turnwright/warnings/program_end_missing.md" "$work/answered"

[ "$failures" -eq 0 ] && echo "Debian package: all met" || echo "Debian package: $failures not met"
[ "$failures" -eq 0 ]
