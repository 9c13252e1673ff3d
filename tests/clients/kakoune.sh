#!/bin/sh
# kakoune.sh [TURNWRIGHT [WORK_DIR]]: a real Kakoune set up as its page says, with the checker behind its lint commands.
# Installs it when missing; no part of the test command. A language client for it cannot be had here.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
. "$(dirname "$0")/terminal.sh"
turnwright="${1:-$build_folder/turnwright}"
[ -x "$turnwright" ] || { echo "$turnwright is not built yet" >&2; exit 2; }
install_missing kakoune tmux
begin "$turnwright" "$root_folder" "${2:-$build_folder/tests/kakoune}" programs/deeper
echo "Kakoune $(dpkg-query -W -f '${Version}' kakoune)"
sed -n 's/^    \(\(mkdir\|cp\|echo\) .*\)/\1/p' "$root_folder/editor-configs/kakoune/README.md" >"$work/commands"
(cd "$root_folder" && sh -eu "$work/commands")

open "$programs" "kak pump-shaft-faulty.nc"
see "the program opens" "FAULTS PUT IN"
say ":echo type %opt{filetype}" Enter
see "its file type is turning" "type turning"
tmux -L "$session" capture-pane -e -p -t 0 >"$work/colours"
# A note and a G word in two colours: what stands before each differs.
note=$(grep -a 'BAR 50' "$work/colours" | head -n 1 | sed 's/(BAR.*//' | tail -c 12)
word=$(grep -a 'G54' "$work/colours" | head -n 1 | sed 's/G54.*//' | tail -c 12)
what="a note has another colour than a code"
[ "$note" != "$word" ] && met "$what" || unmet "$what"
say ":$(sed -n 's/^    \(hook global BufWritePost .*\)/\1/p' "$root_folder/editor-configs/kakoune/README.md")" Enter
say ":write" Enter
see "lint at a save counts the warnings" "results: +0 error\(s\) +20 warning"
see "and marks their lines" "^!G00 X52 Z1"
say "16g" ":lint-show" Enter
see "it shows that of a line" "X52 has no decimal point"
say Escape "gg" ":lint-next-message" Enter
see "it goes to the first" "pump-shaft-faulty.nc 12:1 "
say ":lint-next-message" Enter
see "and from one to the next" "pump-shaft-faulty.nc 15:1 "
printf '[checks]\ndecimal_point_missing = "off"\n' >"$work/programs/turnwright.toml"
say Escape ":lint" Enter
see "the shop file of the folder above counts" "results: +0 error\(s\) +19 warning"
say Escape ":quit!" Enter
finish
