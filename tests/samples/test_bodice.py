"""The bodice of the samples is a sound pattern to try darts on."""

import math
import pathlib

import numpy as np
import pytest
from lxml import etree

from samples import make_bodice
from samples.make_bodice import BUST_ANGLE, SIDE, SIZES, back, front, master
from sewkit.cli import main

KEPT = pathlib.Path(__file__).resolve().parents[2] / "samples" / "bodice" / "master.svg"


def test_the_kept_drawing_is_what_the_script_writes():
    assert KEPT.read_bytes() == master()


@pytest.mark.parametrize("size", SIZES)
def test_bust_dart_has_equal_legs_and_its_angle_from_the_apex(size):
    drawn = front(size)
    upper, point, lower = drawn.darts["bust-dart"]
    apex = np.array(drawn.apex)
    leg = np.hypot(*(upper - point))
    assert np.hypot(*(lower - point)) == pytest.approx(leg, abs=1e-9)
    one, other = upper - apex, lower - apex
    cosine = one @ other / np.hypot(*one) / np.hypot(*other)
    assert math.degrees(math.acos(cosine)) == pytest.approx(BUST_ANGLE[size], abs=1e-9)
    assert np.hypot(*(point - apex)) == pytest.approx(make_bodice.STAND_OFF, abs=1e-9)


@pytest.mark.parametrize("size", SIZES)
def test_side_seams_fit_with_the_dart_closed(size):
    # Both lengths from end points alone: the sides are straight beside the dart.
    whole = [curves for name, curves in front(size).edges if name == "side"][0]
    sewn = sum(np.hypot(*(curve[3] - curve[0])) for curve in (whole[0], whole[2]))
    side = [curves for name, curves in back(size).edges if name == "side"][0]
    assert sewn == pytest.approx(SIDE, abs=1e-9)
    assert np.hypot(*(side[0, 3] - side[0, 0])) == pytest.approx(SIDE, abs=1e-9)


@pytest.mark.parametrize("size", SIZES)
def test_paired_edges_run_from_the_same_end(size):
    """Both shoulders from the neck, at the height of the paper's 60 mm; both sides from the underarm down."""
    for name in ("shoulder", "side"):
        one, other = (dict(piece(size).edges)[name] for piece in (front, back))
        assert abs(one[0, 0, 1] - other[0, 0, 1]) < 5.0 < one[-1, 3, 1] - one[0, 0, 1]
    assert b",turned" not in KEPT.read_bytes()


def words_of(file):
    return ["".join(text.itertext()) for text in etree.parse(str(file)).getroot().iter("{*}text")]


def test_the_picture_in_the_readme_is_what_turning_half_the_dart_draws(tmp_path):
    one, picture = tmp_path / "one.svg", tmp_path / "picture.svg"
    words = ["dart-turn", str(one), "-o", str(tmp_path / "half.svg"), "--piece", "front"]
    words += ["--dart", "bust-dart", "--to", "shoulder", "--share", "50", "--picture", str(picture)]

    assert main(["size", str(KEPT), "-o", str(one), "--size-kept", "B"]) == 0
    assert main(words) == 0
    # Rounding may differ in the last digit between versions of numpy; the words may not.
    assert words_of(picture) == words_of(KEPT.parent / "half-turned.svg")
