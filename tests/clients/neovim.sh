#!/bin/sh
# neovim.sh TURNWRIGHT SOURCE_DIR WORK_DIR [NVIM]: the server in a real Neovim.
set -eu
export TURNWRIGHT="$1" SOURCE_DIR="$2" WORK_DIR="$3"
# A home of its own: the person's settings, data and logs stay out of the test.
export HOME="$WORK_DIR/home" XDG_CONFIG_HOME="$WORK_DIR/home/config" XDG_DATA_HOME="$WORK_DIR/home/data" \
    XDG_STATE_HOME="$WORK_DIR/home/state" XDG_CACHE_HOME="$WORK_DIR/home/cache"
rm -rf "$WORK_DIR"
mkdir -p "$HOME"
cp "$SOURCE_DIR"/docs/examples/*.nc "$WORK_DIR"
exec timeout 100 "${4:-nvim}" --headless -u NONE -c "luafile $SOURCE_DIR/tests/clients/neovim.lua"
