#!/bin/sh
# Run every test of sewkit, on a machine that has nothing prepared:
#
#     tests/run.sh                all of it
#     tests/run.sh tests/files    only these, in the usual Python only
#
# Virtual environments are kept in .venv* inside the checkout, so a second run is quick.
# As root (or with CI=true and sudo) missing system packages are installed with apt-get;
# otherwise what cannot run is named and skipped.
#
#     PYTHON=...              the Python to use (default: python3)
#     SEWKIT_NEED_EDITOR=1    a missing Inkscape is a failure (implied by CI=true); 0 leaves it out
set -eu
cd "$(dirname "$0")/.."

RESULTS=.venv-results
STYLE_FAILURES=0
export PIP_NO_INPUT=1 DEBIAN_FRONTEND=noninteractive
unset PYTHONPATH PYTHONHOME VIRTUAL_ENV PYTHONDONTWRITEBYTECODE || true
# Compiled modules are kept, but not among the sources: a command that compiles all of sewkit
# anew takes nearly three times as long, and the tests start hundreds.
PYTHONPYCACHEPREFIX=$PWD/.venv-compiled
export PYTHONPYCACHEPREFIX
if [ "${CI:-}" = true ]; then
    : "${SEWKIT_NEED_EDITOR:=1}"
    export SEWKIT_NEED_EDITOR
fi

heading() { printf '\n=== %s\n' "$*"; }
say() { printf '    %s\n' "$*"; }
has() { command -v "$1" >/dev/null 2>&1; }

# Run a command for so many seconds at most, where the system can stop it.
within() {
    seconds=$1
    shift
    if has timeout; then timeout -k 10 "$seconds" "$@"; else "$@"; fi
}

# Install Debian packages; false where this machine does not let us.
apt_install() {
    has apt-get || return 1
    root=
    if [ "$(id -u)" != 0 ]; then
        [ "${CI:-}" = true ] && has sudo && sudo -n true 2>/dev/null || return 1
        root="sudo -n"
    fi
    say "apt-get install $*"
    if [ -z "${apt_updated:-}" ]; then
        $root apt-get -qq update </dev/null >/dev/null || return 1
        apt_updated=1
    fi
    $root apt-get -qq install -y --no-install-recommends "$@" </dev/null >/dev/null || return 1
}

# The Python of one minor version, "3.8", wherever it is kept; false if there is none.
python_of() {
    for candidate in "python$1" "${PYENV_ROOT:-$HOME/.pyenv}"/versions/"$1".*/bin/python; do
        if "$candidate" -c "import sys; sys.exit('%d.%d' % sys.version_info[:2] != '$1')" 2>/dev/null; then
            printf '%s\n' "$candidate"
            return 0
        fi
    done
    return 1
}

minor_of() { "$1" -c 'import sys; print(sys.version_info[1])'; }

# make_venv FOLDER PYTHON: an empty virtual environment, unless there is a usable one.
make_venv() {
    if [ -x "$1/bin/python" ] && "$1/bin/python" -m pip --version >/dev/null 2>&1 &&
        [ "$(minor_of "$1/bin/python")" = "$(minor_of "$2")" ]; then
        return 0
    fi
    rm -rf "$1"
    "$2" -m venv "$1" >/dev/null 2>&1 && return 0
    rm -rf "$1"
    apt_install python3-venv || true
    "$2" -m venv "$1"
}

# pip_install FOLDER PIP-ARGUMENTS...: quiet, unless it fails.
pip_install() {
    folder=$1
    shift
    say "pip install $*"
    if ! within 900 "$folder/bin/python" -m pip install --disable-pip-version-check --prefer-binary "$@" \
        </dev/null >"$folder/pip.log" 2>&1; then
        tail -n 20 "$folder/pip.log"
        return 1
    fi
}

# fresh FOLDER: true where this environment was not yet filled with just what is wanted now.
fresh() {
    [ "$(cat "$1/sewkit-installed" 2>/dev/null)" != "$(cat pyproject.toml tests/run.sh | cksum)" ]
}

# filled FOLDER: remember that everything wanted is there.
filled() { cat pyproject.toml tests/run.sh | cksum >"$1/sewkit-installed"; }

# suite NAME FOLDER SECONDS PYTEST-ARGUMENTS...: one run of the tests; its numbers go to RESULTS.
# No test at all (pytest's code 5) and a run out of time leave no numbers and count as failures.
suite() {
    name=$1 folder=$2 seconds=$3
    shift 3
    mkdir -p "$RESULTS"
    status=0
    # Whole files go to the processors, so that what a file prepares is prepared once.
    within "$seconds" "$folder/bin/python" -m pytest -q -p no:cacheprovider -n auto --dist loadfile \
        --junitxml="$RESULTS/$name.xml" "$@" </dev/null || status=$?
    case $status in
    0 | 1) ;; # the numbers tell
    5) say "No test was found: that is a failure." ;;
    124 | 137) say "Stopped after $seconds seconds: that is a failure." ;;
    *) say "pytest itself failed with code $status." ;;
    esac
    [ "$status" -le 1 ] || rm -f "$RESULTS/$name.xml"
    [ -f "$RESULTS/$name.xml" ] || : >"$RESULTS/$name.xml"
}

# The last line of all: N passed, N failed, N skipped, summed over the suites.
total() {
    "$1" - "$RESULTS" "$STYLE_FAILURES" <<'PYTHON'
import pathlib, sys, xml.etree.ElementTree as tree

ran = failed = skipped = 0
failed += int(sys.argv[2])
for file in sorted(pathlib.Path(sys.argv[1]).glob("*.xml")):
    if not file.stat().st_size:
        failed += 1
        continue
    for one in tree.parse(str(file)).iter("testsuite"):
        bad = int(one.get("failures")) + int(one.get("errors"))
        ran += int(one.get("tests")) - bad - int(one.get("skipped"))
        failed += bad
        skipped += int(one.get("skipped"))
if not ran and not failed:
    failed = 1
print("{} passed, {} failed, {} skipped".format(ran, failed, skipped))
sys.exit(failed > 0)
PYTHON
}

style() {
    heading "Style: ruff check"
    if "$1/bin/python" -m ruff check --no-cache --output-format concise .; then return 0; fi
    STYLE_FAILURES=1
}

prepare_editor() {
    heading "Editor"
    if [ "${SEWKIT_NEED_EDITOR:-}" = 0 ]; then
        say "SEWKIT_NEED_EDITOR=0: tests inside the editor are left out."
        return 0
    fi
    if ! { has inkscape && has xvfb-run && has xauth; }; then
        apt_install inkscape xvfb xauth python3 python3-numpy python3-lxml python3-cssselect \
            python3-tinycss2 || true
    elif ! PATH="/usr/bin:/bin:$PATH" python3 -c 'import numpy, lxml, cssselect' 2>/dev/null; then
        apt_install python3-numpy python3-lxml python3-cssselect python3-tinycss2 || true
    fi
    # Judges outside Python: a browser for the reports, readers and a checker for printed PDFs.
    has chromium || has google-chrome || apt_install chromium || true
    { has pdftocairo && has qpdf; } || apt_install poppler-utils qpdf || true
    if has inkscape && has xvfb-run; then
        within 60 inkscape --version 2>/dev/null | head -n 1 | sed 's/^/    /'
    elif [ "${SEWKIT_NEED_EDITOR:-}" = 1 ]; then
        say "Inkscape and xvfb-run are not here and could not be installed; its tests will fail."
    else
        say "Inkscape or xvfb-run is not here: its tests are skipped (apt-get install inkscape xvfb xauth)."
    fi
}

usual() {
    heading "Usual environment: $("$PYTHON" --version)"
    make_venv .venv "$PYTHON"
    fresh .venv || return 0
    pip_install .venv -e '.[test,pdf,layout,cutter,cluster,progress]'
    pip_install .venv --no-deps inkex
    filled .venv
}

floor() {
    heading "Oldest supported: Python 3.8, numpy 1.17, lxml 4.5, inkex 1.2"
    if ! old=$(python_of 3.8); then
        say "Skipped: there is no Python 3.8 on this machine (pyenv install 3.8 brings one)."
        return 0
    fi
    make_venv .venv-floor "$old"
    if fresh .venv-floor; then
        if ! pip_install .venv-floor --only-binary=numpy,lxml numpy==1.17.4 lxml==4.5.0 \
            cssselect==1.1.0 tinycss2==1.0.2 pypdf==3.17.4 tomli pytest pytest-xdist hypothesis; then
            say "Skipped: these old packages cannot be had ready-made for this kind of machine."
            return 0
        fi
        pip_install .venv-floor --no-deps inkex==1.2.2
        pip_install .venv-floor --no-deps -e .
        filled .venv-floor
    fi
    # One person's whole job is enough here; everybody's is done in the usual Python, and so are
    # lines and files at random, the stages of an import one by one, and what does not ask which
    # Python it is.
    SEWKIT_NEED_EDITOR=0 suite floor .venv-floor 500 \
        --ignore=tests/files/test_svg_read_fuzz.py \
        --ignore=tests/geometry/test_offset_fuzz.py \
        --ignore=tests/operations/test_allowance_round_trips.py \
        --ignore=tests/pdfs \
        --ignore=tests/sheet \
        --ignore=tests/test_architecture.py \
        --ignore=tests/test_batch.py \
        --ignore=tests/test_import.py \
        --ignore=tests/test_readme.py \
        --deselect=tests/samples/test_run.py::test_everybody_else_gets_good_seams \
        --deselect=tests/samples/test_run.py::test_the_back_waist_length_is_the_body_s
}

newest() {
    heading "Newest Python on this machine"
    for minor in 20 19 18 17 16 15 14 13 12 11 10 9; do
        if [ "$minor" -le "$(minor_of "$PYTHON")" ]; then
            say "Skipped: the usual one is the newest."
            return 0
        fi
        if new=$(python_of "3.$minor"); then break; fi
    done
    say "$("$new" --version)"
    make_venv .venv-newest "$new"
    if fresh .venv-newest; then
        if ! pip_install .venv-newest --only-binary=:all: -e '.[test,pdf]'; then
            say "Not every judge is ready for this Python; going on without them."
            pip_install .venv-newest -e . pytest pytest-xdist hypothesis cssselect tinycss2
        fi
        pip_install .venv-newest --no-deps inkex
        filled .venv-newest
    fi
    # What is arithmetic alone was tried on the usual Python with the same numpy: a newer one
    # calculates alike.  Doors and files run here, and through the doors every operation.
    SEWKIT_NEED_EDITOR=0 suite newest .venv-newest 600 \
        tests/batch tests/files tests/test_arguments.py tests/test_cli.py tests/test_doors.py \
        tests/test_operation.py tests/test_print_doors.py tests/test_report.py tests/test_units.py \
        --ignore=tests/files/test_svg_read_fuzz.py
}

PYTHON=${PYTHON:-python3}
if ! has "$PYTHON"; then
    heading "Python"
    apt_install python3 python3-venv || { say "There is no python3 here."; exit 1; }
fi
rm -rf "$RESULTS"
usual
if [ $# -gt 0 ]; then
    suite usual .venv 420 "$@"
else
    style .venv
    prepare_editor
    heading "All tests: $("$PYTHON" --version)"
    suite usual .venv 600 --ignore=tests/editor tests
    # The editor is alone on the machine: it is started with a limit of its own.
    suite editor .venv 400 -n 0 tests/editor
    floor
    newest
fi
heading "In all"
total .venv/bin/python
