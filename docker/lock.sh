#!/usr/bin/env bash
# Writes the locks of the image anew: what it holds (requirements.lock) and what builds its wheel
# (build.lock), each with the hashes of every file that may be installed.
#   docker/lock.sh            takes over the versions that are locked, where they still fit
#   docker/lock.sh --upgrade  takes the newest
# Needs uv (pip install uv). Then run docker/supply_chain.sh and the test suite.
set -euo pipefail
cd "$(dirname "$0")/.."
compile() {
  uv pip compile --quiet --generate-hashes --python-version 3.13 --python-platform linux \
    --no-emit-index-url --no-emit-find-links --custom-compile-command "docker/lock.sh" "$@"
}
compile pyproject.toml --extra service --extra metrics --output-file docker/requirements.lock "${@}"
python3 -c 'import tomllib; print(*tomllib.load(open("pyproject.toml", "rb"))["build-system"]["requires"], sep="\n")' \
  | compile - --output-file docker/build.lock "${@}"
