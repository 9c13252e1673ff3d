# debian_folder.sh: a Debian of its own in a folder (chroot), for newer.sh and debian_install.sh. Sourced after
# .ci/prepare.sh, not run. Needs root.

# make_debian SUITE FOLDER: the bare system, once, from the net.
make_debian() {
    folder=$2
    if [ ! -e "$folder/complete" ]; then
        install_missing debootstrap
        mkdir -p "$folder"
        debootstrap --variant=minbase "$1" "$folder" http://deb.debian.org/debian
        touch "$folder/complete"
    fi
    cp /etc/resolv.conf "$folder/etc/"
}

# What editors in there need; leave takes it away. Nothing may stay mounted, or whoever deletes the folder deletes the
# devices of this computer. A program that is still closing keeps its place busy for a moment.
enter() {
    for place in proc dev dev/pts; do
        mountpoint -q "$folder/$place" || mount --bind "/$place" "$folder/$place"
    done
}
leave() {
    for place in dev/pts dev proc; do
        for _ in $(seq 50); do
            mountpoint -q "$folder/$place" || break
            umount "$folder/$place" 2>/dev/null || sleep 0.1
        done
        ! mountpoint -q "$folder/$place" || echo "still mounted: $folder/$place" >&2
    done
}
