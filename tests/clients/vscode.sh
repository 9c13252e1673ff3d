#!/bin/sh
# vscode.sh [TURNWRIGHT [PICTURE-FOLDER]]: the extension of editor-configs/vscode in VS Code's engine, in a headless
# browser. Builds the extension, installs engine and browser when missing (Node.js 20 with its headers must be there);
# no part of the test command, since that is a large install. The pictures are for a person to look at. With TURNWRIGHT_VSIX
# that file alone is installed, and no program is named: it has to have its own. DRIVER is what is done instead of drive.js.
# PATIENCE=3 waits three times as long for everything, on a machine that does other work.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
turnwright="${1:-$build_folder/turnwright}"
PICTURES="${2:-$build_folder/tests/vscode}"
engine="${TURNWRIGHT_VSCODE:-$root_folder/.cache/vscode}"
[ -n "${TURNWRIGHT_VSIX-}" ] || [ -x "$turnwright" ] || { echo "$turnwright is not built yet" >&2; exit 2; }
case "$(node --version 2>/dev/null)" in
v20.*) ;;
*) echo "This engine runs on Node.js 20 and no other" >&2; exit 2 ;;
esac
install_missing chromium python3 build-essential ripgrep >/dev/null

# The engine, once. Its install scripts download programs; only what has to be compiled is compiled here, one module
# after the other, with the headers of the Node.js that is there.
code="$engine/node_modules/code-server"
if [ ! -e "$engine/complete" ]; then
    mkdir -p "$engine"
    cp "$root_folder"/tests/clients/vscode/package*.json "$engine/"
    npm_config_nodedir="${NODE_HEADERS:-$(dirname "$(dirname "$(realpath "$(command -v node)")")")}"
    export npm_config_nodedir
    (cd "$engine" && npm ci --ignore-scripts --no-audit --no-fund --loglevel=error && npm rebuild argon2)
    cd "$code/lib/vscode"
    npm install --ignore-scripts --omit=dev --no-audit --no-fund --loglevel=error # its own lock file lacks a package
    for module in @parcel/watcher @vscode/spdlog native-watchdog; do npm rebuild "$module"; done
    npm rebuild node-pty >/dev/null 2>&1 || true # its last step fetches a tool; the module is compiled by then
    [ -f node_modules/node-pty/build/Release/pty.node ]
    mkdir -p node_modules/@vscode/ripgrep/bin
    ln -sf "$(command -v rg)" node_modules/@vscode/ripgrep/bin/rg
    ln -sfn node_modules node_modules.asar
    cd "$root_folder"
    touch "$engine/complete"
fi

work=$(mktemp -d "${TMPDIR:-/tmp}/turnwright-vscode.XXXXXX")
mkdir -p "$work/programs" "$work/user/User" "$work/user/Machine" "$PICTURES"
cp "$root_folder"/docs/examples/*.nc "$root_folder"/tests/clients/vscode/programs/*.nc "$work/programs/"
cat >"$work/user/User/settings.json" <<SETTINGS
{
    "files.autoSave": "off",
    "security.workspace.trust.enabled": false,
    "telemetry.telemetryLevel": "off",
    "workbench.startupEditor": "none",
    "workbench.secondarySideBar.defaultVisibility": "hidden"
}
SETTINGS
# The engine runs apart from its window: what is a setting of the machine counts only in the machine's own file.
cat >"$work/user/Machine/settings.json" <<SETTINGS
{"turnwright.program": "$([ -n "${TURNWRIGHT_VSIX-}" ] || realpath "$turnwright")"}
SETTINGS
if [ -n "${TURNWRIGHT_VSIX-}" ]; then
    ! command -v turnwright || { echo "a turnwright is on PATH: it could be taken for the one inside" >&2; exit 2; }
    cp "$TURNWRIGHT_VSIX" "$work/turnwright.vsix"
else
    sh "$root_folder/editor-configs/vscode/build.sh" "$work/turnwright.vsix" >"$work/build.log" 2>&1 ||
        { cat "$work/build.log"; exit 1; }
fi
export HOME="$work" XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/data"
set -- "$code/out/node/entry.js" --user-data-dir "$work/user" --extensions-dir "$work/extensions"
node "$@" --install-extension "$work/turnwright.vsix" | grep "^Extension"
echo "engine: code-server $(node "$@" --version | tail -n 1), Node.js $(node --version), $(chromium --version 2>/dev/null)"
port="${PORT:-18431}"
node "$@" --auth none --bind-addr "127.0.0.1:$port" --disable-telemetry --disable-update-check --disable-workspace-trust \
    --disable-getting-started-override >"$work/server.log" 2>&1 &
engine_process=$!
trap 'kill $engine_process 2>/dev/null || true' EXIT
for _ in $(seq $((100 * ${PATIENCE:-1}))); do
    curl -fs "http://127.0.0.1:$port/healthz" >/dev/null && break
    sleep 0.2
done
kill -0 $engine_process || { cat "$work/server.log"; exit 1; }

status=0
ADDRESS="http://127.0.0.1:$port" SETTINGS="$work/user/User/settings.json" \
    MACHINE_SETTINGS="$work/user/Machine/settings.json" WORK_DIR="$work/programs" PICTURES="$(realpath "$PICTURES")" \
    MODULES="$engine/node_modules" CHROMIUM="$(command -v chromium)" \
    timeout $((400 * ${PATIENCE:-1})) node "${DRIVER:-$root_folder/tests/clients/vscode/drive.js}" || status=$?
if [ "$status" -eq 0 ]; then
    kill $engine_process
    wait $engine_process 2>/dev/null || true
    rm -rf "$work"
    echo "pictures: $PICTURES"
else
    echo "what was said is kept in $work; pictures: $PICTURES"
fi
exit "$status"
