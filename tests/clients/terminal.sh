# terminal.sh: an editor in a terminal of its own (tmux) that is typed into, for helix.sh, kakoune.sh, pages.sh and vim.sh.
# Sourced, not run.

editor=$(basename "$0" .sh)
session="$editor-$$"
failures=0
export TERM=xterm-256color LANG=C.UTF-8

# begin TURNWRIGHT SOURCE_DIR WORK_DIR [PROGRAMS]: an empty home, the program on PATH and the examples in $programs. The
# person's own settings stay out of the test.
begin() {
    rm -rf "$3"
    mkdir -p "$3/bin" "$3/home"
    work=$(realpath "$3")
    programs=$work/${4:-programs}
    mkdir -p "$programs"
    cp "$2"/docs/examples/*.nc "$programs/"
    ln -s "$(realpath "$1")" "$work/bin/turnwright"
    export HOME="$work/home" PATH="$work/bin:$PATH"
    unset XDG_CONFIG_HOME XDG_CACHE_HOME XDG_DATA_HOME XDG_STATE_HOME
    trap close EXIT
}

# open FOLDER COMMAND [COLUMNS ROWS]: the editor, started there.
open() { tmux -L "$session" -f /dev/null new-session -d -x "${3:-150}" -y "${4:-45}" -c "$1" "$2"; }
close() { tmux -L "$session" kill-server 2>/dev/null || true; }
# say KEY...: types them. With a key right behind it Escape would be taken for Alt with that key.
say() {
    for key in "$@"; do
        tmux -L "$session" send-keys -t 0 "$key"
        [ "$key" != Escape ] || sleep 0.2
    done
}
screen() { tmux -L "$session" capture-pane -p -t 0; }

met() { echo "ok    $1"; }
unmet() {
    echo "FAIL  $1"
    failures=$((failures + 1))
}
# see WHAT PATTERN: waits until the screen shows it.
see() {
    for _ in $(seq 200); do
        if screen | grep -Eq "$2"; then met "$1"; return 0; fi
        sleep 0.1
    done
    unmet "$1"
    screen
}

# finish: the script's last command, with its exit status.
finish() {
    [ "$failures" -eq 0 ] && echo "$editor: all met" || echo "$editor: $failures not met"
    [ "$failures" -eq 0 ]
}
