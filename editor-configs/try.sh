#!/bin/sh
# Installs what is needed, builds, and opens the faulty example in Neovim with warnings as you type.
# For Debian 12, as root or with sudo. With no terminal it prints `turnwright check` on the example instead.
set -eu
. "$(dirname "$0")/../.ci/prepare.sh"
cd "$root_folder"

# shellcheck disable=SC2086
install_missing $build_packages neovim
build turnwright

# A copy, so that you can change and save it as you like.
mkdir -p build/try
cp docs/examples/pump-shaft-faulty.nc build/try/

if [ -t 0 ] && [ -t 1 ]; then
    TURNWRIGHT=$build_folder/turnwright exec nvim -u editor-configs/neovim/try.lua build/try/pump-shaft-faulty.nc
fi
echo "No terminal here, so no editor: this is what 'turnwright check' says of the example."
status=0
build/turnwright check build/try/pump-shaft-faulty.nc || status=$?
# 1 says that there are findings, and this example must have some.
[ "$status" -eq 1 ] || { echo "check ended with status $status where 1 was expected" >&2; exit 1; }
