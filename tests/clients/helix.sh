#!/bin/sh
# helix.sh TURNWRIGHT SOURCE_DIR WORK_DIR: the server in a real Helix. Needs hx and tmux; newer.sh provides them.
set -eu
. "$(dirname "$0")/terminal.sh"
begin "$1" "$2" "$3"
# What the page tells the user to do, to the letter.
sed -n 's/^    //p' "$2/editor-configs/helix/README.md" >"$work/commands"
(cd "$2" && sh -eu "$work/commands" 2>&1 | tail -n 1)
hx --health turning

open "$programs" "hx pump-shaft.nc"
see "the program opens" "WELL PUMP SHAFT"
say "/G50 S2500" Enter
say "x" "d"
say ":w" Enter
sleep 1
say " " "d"
see "G96 with its speed limit removed is warned of" "speed_limit_missing|no speed limit in force"
say Escape
say "u"
sleep 2 # The list shows what there was when it was opened
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
say " " X 1 2 3 4 BSpace BSpace BSpace BSpace BSpace BSpace
say Escape
sleep 0.5
say " " "d"
see "after fast typing and rubbing out there is no warning" "0/0"
say Escape
# A whole sequence by its name, on the empty line in front of the last one.
say "/N9 .T09" Enter "k" "i" "groo"
see "a sequence is offered by its name" "grooving"
say Tab Enter Escape
see "its lines are put in when it is taken" "\\(GROOVE\\)"
say ":o pump-shaft-faulty.nc" Enter
see "the faulty example opens" "FAULTS PUT IN"
say " " "d"
see "its warnings are listed" "[1-9][0-9]+/[1-9][0-9]+"
say Escape
say ":qa!" Enter
finish
