#!/bin/sh
# kate.sh [TURNWRIGHT [PICTURE.png]]: the server in a real Kate on a screen of its own (Xvfb). Installs them when
# missing; no part of the test command. It checks that Kate starts the server and that the server answers it, and
# leaves a picture of the window for a person to look at.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
turnwright="${1:-$build_folder/turnwright}"
picture="${2:-$build_folder/tests/kate.png}"
[ -x "$turnwright" ] || { echo "$turnwright is not built yet" >&2; exit 2; }
install_missing kate xvfb xdotool imagemagick dbus-x11 x11-utils >/dev/null
work=$(mktemp -d "${TMPDIR:-/tmp}/turnwright-kate.XXXXXX")
mkdir -p "$work/run" "$work/bin" "$(dirname "$picture")"
chmod 700 "$work/run"
export HOME="$work" XDG_RUNTIME_DIR="$work/run" PATH="$work/bin:$PATH" LANG=C.UTF-8
unset XDG_CONFIG_HOME XDG_DATA_HOME XDG_CACHE_HOME
# What the page tells the user to do, to the letter.
sed -n 's/^    //p' "$root_folder/editor-configs/kate/README.md" >"$work/commands"
(cd "$root_folder" && sh -eu "$work/commands")
cp "$root_folder/docs/examples/pump-shaft-faulty.nc" "$work/"
# The command is put between the two, to see what they say to each other.
cat >"$work/bin/turnwright" <<END
#!/bin/sh
tee "$work/to-server" | "$turnwright" "\$@" 2>"$work/log" | tee "$work/from-server"
END
chmod +x "$work/bin/turnwright"
# Kate asks before it starts a server it was not told about; the answer is given beforehand.
cat >"$work/.config/katerc" <<END
[General]
Show welcome view for new window=false

[Kate Plugins]
lspclientplugin=true

[lspclient]
AllowedServerCommandLines=$work/bin/turnwright serve
Messages=true
END
echo "Kate $(dpkg-query -W -f '${Version}' kate)"
timeout 90 xvfb-run -a -s '-screen 0 1280x900x24' dbus-launch --exit-with-session sh -c '
    kate --new --block "$0/pump-shaft-faulty.nc" >"$0/kate.log" 2>&1 &
    kate=$!
    for _ in $(seq 300); do
        grep -q publishDiagnostics "$0/from-server" 2>/dev/null && break
        sleep 0.1
    done
    sleep 4
    import -window root "$1"
    kill "$kate" 2>/dev/null || true
    wait "$kate" 2>/dev/null || true
' "$work" "$picture" || true
status=0
expect() {
    if grep -aq "$2" "$work/$3" 2>/dev/null; then echo "ok    $1"; else echo "FAIL  $1"; status=1; fi
}
expect "Kate opens the program in the server" 'textDocument/didOpen' to-server
expect "with the language id turning" '"languageId": *"turning"' to-server
expect "the server publishes warnings" 'publishDiagnostics' from-server
expect "Kate asks for the outline" 'textDocument/documentSymbol' to-server
echo "picture of the window: $picture"
[ "$status" -eq 0 ] && rm -rf "$work" || echo "what was said is kept in $work"
exit $status
