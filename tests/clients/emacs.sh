#!/bin/sh
# emacs.sh [TURNWRIGHT [WORK_DIR]]: the server in a real Emacs, with eglot and with lsp-mode. Installs them when missing;
# no part of the test command, since that is a large install.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
export TURNWRIGHT="${1:-$build_folder/turnwright}" SOURCE_DIR="$root_folder"
work="${2:-$build_folder/tests/emacs}"
[ -x "$TURNWRIGHT" ] || { echo "$TURNWRIGHT is not built yet" >&2; exit 2; }
command -v emacs >/dev/null 2>&1 || install_missing emacs-nox
has() { emacs -q -batch --eval "(progn (package-initialize) (require '$1))" >/dev/null 2>&1; }
has eglot || install_missing elpa-eglot
has lsp-mode || install_missing elpa-lsp-mode
emacs --version | head -n 1

status=0
# drive CLIENT FILE: what the client itself has to say goes to a file, shown when something is not met.
drive() {
    WORK_DIR="$work/$1"
    export WORK_DIR
    rm -rf "$WORK_DIR"
    mkdir -p "$WORK_DIR/home"
    cp "$SOURCE_DIR"/docs/examples/*.nc "$WORK_DIR"
    version=$(dpkg-query -W -f '${Version}' "elpa-$1" 2>/dev/null) || version="as it comes with Emacs"
    echo "== $1 $version"
    HOME="$WORK_DIR/home" timeout 120 emacs -q -batch -l "$SOURCE_DIR/tests/clients/$2" 2>"$WORK_DIR/messages" || {
        status=1
        cat "$WORK_DIR/messages"
    }
}
drive eglot emacs.el
drive lsp-mode emacs_lsp_mode.el
exit $status
