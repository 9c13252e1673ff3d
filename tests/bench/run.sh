#!/bin/sh
# Builds the server for release and measures it as an editor sees it: tables in Markdown on standard output.
#   sh tests/bench/run.sh                              every size up to a million blocks
#   sh tests/bench/run.sh --sizes 2000,100000          these sizes
#   sh tests/bench/run.sh --style post --only push     hand, post, macro; start push requests pull tree clangd
# The figures are worth something only from a machine that does nothing else. clangd is measured when it is
# there; a C file of more than 100,000 lines only with --clangd-limit.
set -eu
. "$(dirname "$0")/../../.ci/prepare.sh"
# prepare.sh takes the root for one folder above the script; here it is two.
root_folder=$(cd "$(dirname "$0")/../.." && pwd)
build_folder=$root_folder/build
cd "$root_folder"

# Standard output is the tables' alone.
# shellcheck disable=SC2086
install_missing $build_packages >&2
build turnwright turnwright_bench >&2
exec "$build_folder/tests/turnwright_bench" --server "$build_folder/turnwright" "$@"
