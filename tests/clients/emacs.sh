#!/bin/sh
# emacs.sh [TURNWRIGHT [WORK_DIR]]: the server in a real Emacs with eglot. Installs both when missing; no part of
# the test command, since that is a large install.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
export TURNWRIGHT="${1:-$build_folder/turnwright}" SOURCE_DIR="$root_folder"
export WORK_DIR="${2:-$build_folder/tests/emacs}"
[ -x "$TURNWRIGHT" ] || { echo "$TURNWRIGHT is not built yet" >&2; exit 2; }
command -v emacs >/dev/null 2>&1 || install_missing emacs-nox
emacs -q -batch --eval "(progn (package-initialize) (require 'eglot))" >/dev/null 2>&1 || install_missing elpa-eglot
rm -rf "$WORK_DIR"
mkdir -p "$WORK_DIR/home"
cp "$SOURCE_DIR"/docs/examples/*.nc "$WORK_DIR"
HOME="$WORK_DIR/home" exec timeout 120 emacs -q -batch -l "$SOURCE_DIR/tests/clients/emacs.el"
