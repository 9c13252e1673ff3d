#!/bin/sh
# newer.sh [TURNWRIGHT]: the server in Neovim 0.10 and Helix 25.01, which Debian 12 does not have. Needs root: it
# makes a Debian trixie folder with debootstrap (once, about 1 GB) and runs both there. No part of the test command.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
. "$(dirname "$0")/debian_folder.sh"
turnwright="${1:-$build_folder/turnwright}"
[ -x "$turnwright" ] || { echo "$turnwright is not built yet" >&2; exit 2; }
folder="${TURNWRIGHT_TRIXIE:-$root_folder/.cache/trixie}"
make_debian trixie "$folder"
[ -x "$folder/usr/bin/hx" ] || chroot "$folder" sh -c 'apt-get -q update &&
    DEBIAN_FRONTEND=noninteractive apt-get -q -y install --no-install-recommends hx neovim tmux g++ git'

# The program with the libraries it was linked to, and the sources as the user sees them.
rm -rf "$folder/turnwright"
mkdir -p "$folder/turnwright/lib" "$folder/turnwright/source/tests" "$folder/turnwright/work" "$folder/turnwright/home"
cp "$turnwright" "$folder/turnwright/program"
ldd "$turnwright" | grep -Ev 'lib(c|m|stdc\+\+|gcc_s)\.so' | sed -n 's/.* => \([^ ]*\) .*/\1/p' |
    xargs -r -I{} cp {} "$folder/turnwright/lib/"
tar -C "$root_folder" -c --exclude=node_modules --exclude=.cache docs editor-configs grammar tests/clients |
    tar -C "$folder/turnwright/source" -x
cat >"$folder/usr/local/bin/turnwright" <<'END'
#!/bin/sh
LD_LIBRARY_PATH=/turnwright/lib exec /turnwright/program "$@"
END
chmod +x "$folder/usr/local/bin/turnwright"

trap leave EXIT
enter
status=0
echo "== Neovim: $(chroot "$folder" nvim --version | head -n 1)"
chroot "$folder" sh /turnwright/source/tests/clients/neovim.sh /usr/local/bin/turnwright /turnwright/source \
    /turnwright/work/neovim || status=1
echo "== $(chroot "$folder" hx --version)"
chroot "$folder" sh /turnwright/source/tests/clients/helix.sh /usr/local/bin/turnwright /turnwright/source \
    /turnwright/work/helix || status=1
exit $status
