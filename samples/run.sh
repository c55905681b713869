#!/bin/sh
# Make every sample anew, with sewkit, what it always needs (numpy, lxml), and pypdf.
#
#     samples/run.sh              P03's waistcoat, results in samples/out
#     samples/run.sh P11 P04      other rows of samples/waistcoat/people.csv; "all" for everybody
#
# Keeps its own virtual environment in .venv-samples; a second run is quick.
set -eu
cd "$(dirname "$0")/.."
unset PYTHONPATH PYTHONHOME VIRTUAL_ENV || true

if [ ! -f samples/run.py ]; then
    echo "samples/run.py is missing: there is nothing to run." >&2
    exit 1
fi

FOLDER=.venv-samples
PYTHON=${PYTHON:-python3}
if ! "$FOLDER/bin/python" -m pip --version >/dev/null 2>&1; then
    rm -rf "$FOLDER"
    if ! "$PYTHON" -m venv "$FOLDER" >/dev/null 2>&1; then
        rm -rf "$FOLDER"
        if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
            apt-get -qq update >/dev/null
            DEBIAN_FRONTEND=noninteractive apt-get -qq install -y --no-install-recommends python3 python3-venv >/dev/null
        else
            echo "Python's venv is missing here: install python3-venv first." >&2
        fi
        "$PYTHON" -m venv "$FOLDER"
    fi
fi

# The package is linked, not copied: a change in the checkout needs no new installation.
wanted=$(cat pyproject.toml samples/run.sh | cksum)
if [ "$(cat "$FOLDER/sewkit-installed" 2>/dev/null)" != "$wanted" ]; then
    echo "Installing sewkit into $FOLDER ..."
    "$FOLDER/bin/python" -m pip install --quiet --disable-pip-version-check -e '.[pdf]' </dev/null
    printf '%s\n' "$wanted" >"$FOLDER/sewkit-installed"
fi

# 1 means that a row is held, and all others are done.
status=0
"$FOLDER/bin/python" samples/run.py "$@" || status=$?
[ "$status" -le 1 ] || exit "$status"
echo "The results are in $(pwd)/samples/out"
exit "$status"
