#!/bin/sh
# kakoune.sh [TURNWRIGHT [WORK_DIR]]: a real Kakoune set up as its page says, with the checker behind its lint commands.
# Installs it when missing; no part of the test command. A language client for it cannot be had here.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
turnwright="${1:-$build_folder/turnwright}"
work="${2:-$build_folder/tests/kakoune}"
[ -x "$turnwright" ] || { echo "$turnwright is not built yet" >&2; exit 2; }
install_missing kakoune tmux
rm -rf "$work"
mkdir -p "$work/bin" "$work/home" "$work/programs/deeper"
work=$(realpath "$work")
cp "$root_folder"/docs/examples/*.nc "$work/programs/deeper/"
ln -s "$(realpath "$turnwright")" "$work/bin/turnwright"
export HOME="$work/home" PATH="$work/bin:$PATH" TERM=xterm-256color LANG=C.UTF-8
unset XDG_CONFIG_HOME
echo "Kakoune $(dpkg-query -W -f '${Version}' kakoune)"
sed -n 's/^    \(\(mkdir\|cp\|echo\) .*\)/\1/p' "$root_folder/editor-configs/kakoune/README.md" >"$work/commands"
(cd "$root_folder" && sh -eu "$work/commands")

session="kakoune-$$"
say() { tmux -L "$session" send-keys -t 0 "$@"; }
screen() { tmux -L "$session" capture-pane -p -t 0; }
failures=0
see() {
    for _ in $(seq 100); do
        if screen | grep -Eq "$2"; then echo "ok    $1"; return 0; fi
        sleep 0.1
    done
    echo "FAIL  $1"
    screen
    failures=$((failures + 1))
}
tmux -L "$session" -f /dev/null new-session -d -x 150 -y 45 -c "$work/programs/deeper" "kak pump-shaft-faulty.nc"
trap 'tmux -L "$session" kill-server 2>/dev/null || true' EXIT
see "the program opens" "FAULTS PUT IN"
say ":echo type %opt{filetype}" Enter
see "its file type is turning" "type turning"
tmux -L "$session" capture-pane -e -p -t 0 >"$work/colours"
# A note and a G word in two colours: what stands before each differs.
note=$(grep -a 'BAR 50' "$work/colours" | head -n 1 | sed 's/(BAR.*//' | tail -c 12)
word=$(grep -a 'G54' "$work/colours" | head -n 1 | sed 's/G54.*//' | tail -c 12)
[ "$note" != "$word" ] && echo "ok    a note has another colour than a code" || {
    echo "FAIL  a note has another colour than a code"
    failures=$((failures + 1))
}
say ":$(sed -n 's/^    \(hook global BufWritePost .*\)/\1/p' "$root_folder/editor-configs/kakoune/README.md")" Enter
say ":write" Enter
see "lint at a save counts the warnings" "results: +0 error\(s\) +20 warning"
see "and marks their lines" "^!G00 X52 Z1"
say "16g" ":lint-show" Enter
see "it shows that of a line" "X52 has no decimal point"
say Escape "gg" ":lint-next-message" Enter
see "it goes from one to the next" ":1[0-9]:[0-9]+|1[0-9]:[0-9]+"
printf '[checks]\ndecimal_point_missing = "off"\n' >"$work/programs/turnwright.toml"
say Escape ":lint" Enter
sleep 3
say "16g" ":lint-show" Enter
sleep 1
if screen | grep -q "X52 has no decimal point"; then
    echo "FAIL  the shop file of the folder above counts"
    screen
    failures=$((failures + 1))
else
    echo "ok    the shop file of the folder above counts"
fi
say Escape ":quit!" Enter
[ "$failures" -eq 0 ] && echo "kakoune: all met" || echo "kakoune: $failures not met"
[ "$failures" -eq 0 ]
