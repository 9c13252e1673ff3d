#!/bin/sh
# screens.sh TURNWRIGHT SOURCE_DIR WORK_DIR [NVIM]: what a person sees in Neovim in windows of two sizes, as text, and as
# pictures in WORK_DIR (docs/tried keeps them). Needs tmux.
set -eu
. "$(dirname "$0")/terminal.sh"
source_folder=$(realpath "$2")
begin "$1" "$2" "$3"
nvim=$(command -v "${4:-nvim}")
cp "$source_folder"/docs/examples/*.toml "$programs/"
export TURNWRIGHT="$work/bin/turnwright"

# show WHAT: the screen as it is, without the blanks at its line ends.
show() {
    shown=$((shown + 1))
    tmux -L "$session" capture-pane -e -p -t 0 >"$work/$size.$shown-$1.screen"
    echo
    echo "---- $size: $1"
    screen | sed 's/[[:space:]]*$//'
    echo
}
# fits WHAT: the state's last row and the popup's lower edge are on the screen with its first line.
fits() {
    if screen | grep -q "tool  *T0" && screen | grep -q "modes "; then met "$1 keeps its state on the screen"; else
        unmet "$1 keeps its state on the screen"
        screen
    fi
}

for size in 80x24 100x35; do
    session="$editor-$$-$size"
    shown=0
    open "$programs" "$nvim -u $source_folder/editor-configs/neovim/try.lua pump-shaft.nc" "${size%x*}" "${size#*x}"
    see "$size: the program opens" "WELL PUMP SHAFT"
    sleep 1
    say "/G71 P101" Enter
    say K
    see "$size: K on G71 tells its passes" "passes"
    sleep 0.3
    fits "$size: the hover on G71"
    show "K on G71"
    say Escape "j" "k"
    say "/F0.12" Enter
    say K
    see "$size: K on F0.12 tells the feed first" "feed .*->.*0.12"
    sleep 0.3
    fits "$size: the hover on F0.12"
    show "K on F0.12"
    say Escape "j" "k" gO
    see "$size: the outline names what each sequence does" "N7 T0707 THREAD"
    show "gO"
    say ":cclose" Enter
    say "G" "?M01" Enter "o" Enter
    sleep 0.3
    say C-x C-o
    see "$size: templates are offered on an empty line" "rough turning"
    show "what is offered on an empty line"
    say C-e Escape "u" "o" "gro" C-x C-o
    see "$size: a template is found by its name" "plunge"
    say Down C-y
    see "$size: its lines are put in when it is taken" "\\(GROOVE\\)"
    show "a template found by its name and taken"
    say Escape
    say ":e! pump-shaft-faulty.nc" Enter
    see "$size: the faulty example opens" "FAULTS PUT IN"
    sleep 1
    say "]" "d"
    sleep 0.5
    show "the faulty example, behind ]d"
    say ":qa!" Enter
    close
    python3 "$source_folder/tests/clients/screen_picture.py" "$work/$size".*.screen >"$work/neovim-$size.svg"
done
finish
