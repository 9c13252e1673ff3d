#!/bin/sh
# keep.sh NAME [ARGUMENT...]: runs NAME.sh of this folder with the arguments and keeps what it says, with the date and the
# state of the sources that the program was built from (BUILT_FROM, else those at hand), in docs/tried/NAME.md. What
# somebody wrote there below what was said before stays.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
name=$1
shift
page=$root_folder/docs/tried/$name.md
mkdir -p "$(dirname "$page")"
words= # of the arguments, those that are no places of this computer
for argument in "$@"; do case $argument in /*) ;; *) words="$words $argument" ;; esac done
said=$(mktemp)
trap 'rm -f "$said" "$said.below"' EXIT
[ ! -e "$page" ] || awk 'NR > 3 && /^[^ ]/ { below = 1 } below' "$page" >"$said.below"
status=0
sh "$root_folder/tests/clients/$name.sh" "$@" >"$said" 2>&1 || status=$?
{
    echo "# Tried: $name"
    echo
    echo "\`sh tests/clients/$name.sh$words\`, $(date -u +%Y-%m-%d), $(. /etc/os-release && echo "$PRETTY_NAME"), sources" \
        "${BUILT_FROM:-$(git -C "$root_folder" rev-parse --short HEAD)}, exit status $status:"
    echo
    # Folders of this one run tell a reader nothing.
    sed -e 's/\x1b\[[0-9;]*m//g' -e "s|$root_folder/||g" -e 's|/tmp/[A-Za-z0-9./_-]*|...|g' -e 's/[[:space:]]*$//' -e 's/^\(.\)/    \1/' "$said"
    [ ! -s "$said.below" ] || { echo && cat "$said.below"; }
} >"$page"
cat "$said"
exit $status
