#!/bin/sh
# vim.sh [TURNWRIGHT [WORK_DIR]]: the server in a real Vim with ALE, set up as the page says. Installs both when missing;
# no part of the test command.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
. "$(dirname "$0")/terminal.sh"
turnwright="${1:-$build_folder/turnwright}"
[ -x "$turnwright" ] || { echo "$turnwright is not built yet" >&2; exit 2; }
command -v vim >/dev/null || install_missing vim
install_missing vim-ale tmux
begin "$turnwright" "$root_folder" "${2:-$build_folder/tests/vim}"
vim --version | head -n 1
echo "ALE $(dpkg-query -W -f '${Version}' vim-ale)"

# What the page tells the user to do, to the letter: its indented lines. The first is for the shell, the others for vimrc.
page=$root_folder/editor-configs/vim/README.md
(cd "$root_folder" && sed -n 's/^    \(mkdir .*\)/\1/p' "$page" | sh -eu)
sed -n 's/^    \(packadd.*\|filetype.*\|syntax.*\|let .*\|nnoremap.*\|set .*\)/\1/p' "$page" >"$HOME/.vimrc"

ask() { # ask WHAT EXPRESSION PATTERN: what Vim itself says
    rm -f "$work/answer"
    for _ in $(seq 50); do
        say Escape ":call writefile([string($2)], '$work/answer')" Enter
        sleep 0.2
        if grep -Eq "$3" "$work/answer" 2>/dev/null; then met "$1"; return 0; fi
    done
    unmet "$1: $(cat "$work/answer" 2>/dev/null)"
}
open "$programs" "vim pump-shaft.nc"
see "the program opens" "WELL PUMP SHAFT"
ask "its file type is turning" "&filetype" "turning"
ask "a note has the colour of a comment" "synIDattr(synIDtrans(synID(2, 10, 1)), 'name')" "Comment"
ask "ALE has started the server" "len(ale#lsp#GetConnections())" "1"
say ":%s/^G50 S2500\$//" Enter
ask "G96 with its speed limit removed is warned of" \
    "map(copy(ale#engine#GetLoclist(bufnr('%'))), 'v:val.text')" "G96 with no speed limit"
say "u"
ask "the warning goes when the limit is back" "len(ale#engine#GetLoclist(bufnr('%')))" "^'?0'?$"
say Escape "/G96 S180" Enter
say "K"
see "K says surface speed" "[Ss]urface speed"
say Escape ":only" Enter ":e! pump-shaft-faulty.nc" Enter
see "the faulty example opens" "FAULTS PUT IN"
ask "it has at least 12 warnings" "len(ale#engine#GetLoclist(bufnr('%')))" "1[2-9]|[2-9][0-9]"
say "gg" "]d"
ask "]d goes to the first of them" "line('.')" "1[0-9]"
say Escape ":16" Enter "0fX" ":ALECodeAction" Enter
see "fixes are offered" "Write X52\."
say "1" Enter
ask "the chosen one is made" "getline(16)" "G00 X52\. Z1\."
say ":qa!" Enter
finish
