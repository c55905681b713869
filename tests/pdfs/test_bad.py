"""Bad files are refused in one sentence, within bounds of time and memory."""

import io
import pathlib
import subprocess
import sys
import time

import numpy as np
import pytest

from sewkit.errors import InputError, SewkitError
from sewkit.files.pdf_read import read_pages
from tests.pdfs.bad import DAMAGED, REFUSED, STRANGE, mixed_scales
from tests.pdfs.bombs import BOMBS

ROOT = pathlib.Path(__file__).resolve().parents[2]
# Seconds for one file, far above what any needs, on a slow machine that does other things too.
PATIENCE = 20.0
# A refusal may name the cure and the reason, yet fits on three lines of a terminal.
SHORT = 300

# Reads one file from standard input with at most 1.5 GB of memory, and says how it went.
BOUNDED = """
import io, sys, time
try:
    import resource
    resource.setrlimit(resource.RLIMIT_AS, (1_500_000_000, 1_500_000_000))
except ImportError:  # only where the system has such a limit
    pass
from sewkit.errors import SewkitError
from sewkit.files.pdf_read import read_pages
data = sys.stdin.buffer.read()
start = time.perf_counter()
try:
    printed = read_pages(io.BytesIO(data))
    print("read", sum(len(page.drawn) for page in printed.pages))
except SewkitError as error:
    print("refused", str(error))
print(time.perf_counter() - start)
"""


def read(data):
    return read_pages(io.BytesIO(data))


def good_words(error):
    text = str(error)

    assert text and len(text) <= SHORT, text
    assert text[0].isupper() or not text[0].isalpha()
    assert text.endswith((".", "?"))
    for machine in ("Traceback", "Error", "Exception", "<class", "object at", "0x", "None", "\n"):
        assert machine not in text


@pytest.mark.parametrize("name", [name for name in REFUSED if name not in ("scanned", "only words")])
def test_what_is_no_drawing_is_refused_in_one_sentence(name):
    data = REFUSED[name]()
    start = time.perf_counter()
    with pytest.raises(SewkitError) as caught:
        read(data)

    assert time.perf_counter() - start < PATIENCE
    assert caught.type is not SewkitError and isinstance(caught.value, InputError)
    good_words(caught.value)
    assert ("password" in str(caught.value)) == name.startswith("password")


def test_a_scan_is_read_as_pages_full_of_picture():
    for page in read(REFUSED["scanned"]()).pages:
        assert page.drawn == ()
        assert page.pictures == pytest.approx(1.0, abs=0.01)


def test_pages_of_words_have_words_and_no_lines():
    for page in read(REFUSED["only words"]()).pages:
        assert page.drawn == ()
        assert len(page.words) == 20


@pytest.mark.parametrize("name", list(BOMBS))
def test_a_bomb_fills_neither_memory_nor_time(name):
    data = BOMBS[name]()
    done = subprocess.run(
        [sys.executable, "-c", BOUNDED],
        input=data,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=str(ROOT),
        timeout=3 * PATIENCE,
    )
    said = done.stdout.decode("utf-8", "replace").splitlines()

    assert done.returncode == 0, done.stderr.decode("utf-8", "replace")[-600:]
    assert float(said[-1]) < PATIENCE
    if said[0].startswith("refused"):
        good_words(said[0][len("refused ") :])


@pytest.mark.parametrize("name", DAMAGED)
def test_a_damaged_file_is_saved_or_refused(name):
    data = DAMAGED[name]()
    start = time.perf_counter()
    try:
        printed = read(data)
    except SewkitError as error:
        good_words(error)
        return
    finally:
        assert time.perf_counter() - start < PATIENCE
    for page in printed.pages:
        assert 0.0 < page.width < 1e6 and 0.0 < page.height < 1e6
        for one in page.drawn:
            assert np.isfinite(one.curves).all()
            assert one.style.width >= 0.0
            assert not one.style.dashes or min(one.style.dashes) >= 0.0 < sum(one.style.dashes)
    if name.startswith("truncated") or name == "spoiled stream":
        # Something is missing, and the person has to know.
        assert printed.doubts
        for doubt in printed.doubts:
            good_words(doubt)


@pytest.mark.parametrize("name", ["garbage table", "text before the header", "text after the end"])
def test_what_can_be_found_again_is_all_read(name):
    whole = read(STRANGE["mixed scales"]())
    found = read(DAMAGED[name]())

    assert [len(page.drawn) for page in found.pages] == [len(page.drawn) for page in whole.pages]


@pytest.mark.parametrize("name", STRANGE)
def test_what_is_only_unusual_is_read_without_doubt(name):
    printed = read(STRANGE[name]())

    assert printed.pages
    assert all(page.drawn for page in printed.pages)
    assert printed.doubts == ()


def test_a_huge_page_has_its_true_size():
    (page,) = read(STRANGE["huge page"]()).pages

    # arithmetic: 57,000 points of 25.4 / 72 mm
    assert (page.width, page.height) == pytest.approx((20108.33, 20108.33), abs=0.01)


def test_a_page_printed_smaller_is_read_smaller():
    pages, truth = read(STRANGE["mixed scales"]()).pages, mixed_scales().pages
    frames = [np.ptp(page.drawn[0].curves.reshape(-1, 2), axis=0) for page in pages]

    assert len(pages) == len(truth) == 9
    for number, frame in enumerate(frames, 1):
        # arithmetic: 190 x 277 mm, page 4 at 97 %
        factor = 0.97 if number == 4 else 1.0
        assert frame == pytest.approx(np.array([190.0, 277.0]) * factor, abs=1e-5)
