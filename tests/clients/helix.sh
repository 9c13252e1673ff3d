#!/bin/sh
# helix.sh SOURCE_DIR WORK_DIR: the server in a real Helix, typed into through tmux. Needs hx, tmux and turnwright on
# PATH; newer.sh provides them.
set -eu
source_folder=$1 work=$2
rm -rf "$work"
mkdir -p "$work"
cp "$source_folder"/docs/examples/*.nc "$work/"
export HOME="$work" TERM=xterm-256color LANG=C.UTF-8
unset XDG_CONFIG_HOME XDG_CACHE_HOME
# What the page tells the user to do, to the letter.
sed -n 's/^    //p' "$source_folder/editor-configs/helix/README.md" >"$work/commands"
(cd "$source_folder" && sh -eu "$work/commands" 2>&1 | tail -n 1)
hx --health turning

session="helix-$$"
say() { tmux -L "$session" send-keys -t 0 "$@"; }
screen() { tmux -L "$session" capture-pane -p -t 0; }
failures=0
# see WHAT PATTERN: waits until the screen shows it.
see() {
    for _ in $(seq 100); do
        if screen | grep -Eq "$2"; then echo "ok    $1"; return 0; fi
        sleep 0.1
    done
    echo "FAIL  $1"
    screen
    failures=$((failures + 1))
}
gone() {
    for _ in $(seq 100); do
        if ! screen | grep -Eq "$2"; then echo "ok    $1"; return 0; fi
        sleep 0.1
    done
    echo "FAIL  $1"
    screen
    failures=$((failures + 1))
}
tmux -L "$session" -f /dev/null new-session -d -x 140 -y 45 "hx $work/pump-shaft.nc"
trap 'tmux -L "$session" kill-server 2>/dev/null || true' EXIT
see "the program opens" "WELL PUMP SHAFT"
say "/G50 S2500" Enter
say "x" "d"
say ":w" Enter
sleep 1
say " " "d"
see "G96 with its speed limit removed is warned of" "speed_limit_missing|no speed limit in force"
say Escape
say "u"
say " " "d"
see "after undo there is no warning" "0/0"
say Escape
say "/G96 S180" Enter
see "the search comes to G96" "NOR.* 19:"
say " " "k"
see "the explanation says surface speed" "[Ss]urface speed"
say Escape
say " " "s"
see "the outline has N5 with its tool" "N5 T0505"
say Escape
say "gg"
# Typing fast at the end of a line, then taking it back.
say "/G00 X75" Enter
say "A"
for key in " " X 1 2 3 4 BSpace BSpace BSpace BSpace BSpace BSpace; do say "$key"; done
say Escape
sleep 0.5
say " " "d"
see "after fast typing and rubbing out there is no warning" "0/0"
say Escape
say ":o $work/pump-shaft-faulty.nc" Enter
see "the faulty example opens" "FAULTS PUT IN"
say " " "d"
see "its warnings are listed" "[1-9][0-9]+/[1-9][0-9]+"
say Escape
say ":qa!" Enter
[ "$failures" -eq 0 ] && echo "helix: all met" || echo "helix: $failures not met"
[ "$failures" -eq 0 ]
