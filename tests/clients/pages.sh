#!/bin/sh
# pages.sh: what the pages of editor-configs tell a user to do, to the letter, each in a home of its own; then the editor
# as the user starts it, in a terminal, and the first warnings on its screen. Needs turnwright on PATH, as the pages say.
# Installs the editors when missing; no part of the test command.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
. "$(dirname "$0")/terminal.sh"
command -v turnwright >/dev/null || { echo "turnwright is not on PATH" >&2; exit 2; }
command -v emacs >/dev/null || install_missing emacs-nox
emacs -q -batch --eval "(progn (package-initialize) (require 'eglot))" >/dev/null 2>&1 || install_missing elpa-eglot
install_missing neovim vim vim-ale elpa-lsp-mode kakoune tmux procps
work=$(mktemp -d "${TMPDIR:-/tmp}/turnwright-pages.XXXXXX")
trap 'close; rm -rf "$work"' EXIT

# page NAME: the indented lines of a page, without the indent.
page() { sed -n 's/^    //p' "$root_folder/editor-configs/$1/README.md"; }
# home NAME: a new home, in which the page's shell commands were run from the sources' folder.
home() {
    HOME="$work/$1"
    export HOME
    mkdir -p "$HOME/programs"
    cp "$root_folder"/docs/examples/*.nc "$HOME/programs/"
    page "$1" | grep -E '^(mkdir|cp|echo) ' >"$HOME/commands"
    sed 's/^/      $ /' "$HOME/commands"
    (cd "$root_folder" && sh -eu "$HOME/commands")
}
# try COMMAND: the editor in a terminal, with the faulty example as its last argument.
try() { open "$HOME/programs" "$* pump-shaft-faulty.nc" 220 50; }

echo "== $(nvim --version | head -n 1)"
home neovim
try nvim
see "the warning stands behind its line" "G00 X52 Z1\. .*X52 has no decimal point"
say ":16" Enter "w" "w" "K"
see "K explains" "Reads as|End point"
close

echo "== $(vim --version | head -n 1), ALE"
home vim
page vim | grep -Ev '^(mkdir|cp) ' >"$HOME/.vimrc"
try vim
sleep 2
say ":16" Enter
see "the warning stands below, at its line" "X52 has no decimal point"
close

# The page's Lisp: the part for all clients and the lines under the client's own heading.
emacs_page() {
    sed -n "1,/^## /p; /^## $1/,/^## /p" "$root_folder/editor-configs/emacs/README.md" | sed -n 's/^    //p' |
        grep -Ev '^(mkdir|cp) '
}
for client in eglot lsp-mode; do
    echo "== $(emacs --version | head -n 1), $client"
    rm -rf "$work/emacs"
    home emacs
    emacs_page "$client" >"$HOME/.emacs.d/init.el"
    # What the Emacs of this Debian has to say about compiling its own files would cover the window.
    try emacs -nw --eval "'(setq native-comp-async-report-warnings-errors nil)'"
    if [ "$client" = lsp-mode ]; then
        sleep 3
        # Where no version control tells what belongs together it asks once.
        screen | grep -q "is not part of any project" && say "i"
    fi
    see "Flymake counts more than 12 warnings" "Flymake\[0 1[2-9]"
    sleep 2
    say M-x "flymake-show-buffer-diagnostics"
    sleep 1
    say Enter
    see "the list of warnings has it" "X52 has no decimal point"
    close
done

echo "== Kakoune $(dpkg-query -W -f '${Version}' kakoune)"
home kakoune
try kak
see "the program opens" "FAULTS PUT IN"
say ":echo type %opt{filetype}" Enter
see "its file type is turning" "type turning"
close

finish
