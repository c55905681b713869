"""Darts drawn on a piece that is slashed, on a block 200 mm wide; worked by hand, Shapely judges the edges.

A slash runs from the hem to the neck at x = 60, hinged at the neck.  What lies right of it turns as
a whole: lengths and angles there stay as they are.
"""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.operations.spread import spread
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import DART, GRAIN, Mark
from sewkit.pattern.pattern import Pattern
from tests.geometry.shapes import outline
from tests.operations.length_pieces import shapely
from tests.operations.pieces import named

BLOCK = outline((0, 0), (200, 0), (200, 300), (0, 300))
SIDE = [(200, 100), (120, 115), (200, 130)]
HEM = [(110, 300), (120, 220), (130, 300)]
RING = [(120, 100), (125, 140), (120, 180), (115, 140), (120, 100)]
ASIDE = {"edge": "hem", "hinge": "neck", "slashes": 0, "at": "60mm", "hinge_at": "60mm", "amount": 40.0}


def block(*marks):
    grain = Mark(GRAIN, path=Path.through([(30, 50), (30, 250)]))
    return Pattern((named(BLOCK, "neck side hem centre", "block", marks=(grain, *marks)),))


def drawn(spots, name="bust-dart"):
    return Mark(DART, name, path=Path.through(spots))


def away(piece, spot):
    return shapely.LinearRing(flatten(piece.outline("").path, 1e-4)).distance(shapely.Point(spot))


@pytest.mark.parametrize("marks", [[SIDE], [SIDE[:2], SIDE[1:]]], ids=["one line", "a line a leg"])
def test_a_dart_beside_the_slash_goes_whole(marks):
    made = spread(block(*map(drawn, marks)), **ASIDE).pattern.piece("block")
    (dart,) = drawn_darts(made, "")
    leg = math.hypot(80, 15)
    assert dart.lengths == pytest.approx((leg, leg), abs=1e-9) and dart.intake == pytest.approx(30, abs=1e-9)
    assert max(away(made, leg.start) for leg in dart.legs) < 1e-3
    # It turned about (60, 0) by the angle that opens 300 mm by 40.
    turn = 2 * math.asin(40 / 600)
    x, y = 60.0, 115.0
    want = {
        (round(60 + x * math.cos(s) - y * math.sin(s), 6), round(x * math.sin(s) + y * math.cos(s), 6))
        for s in (turn, -turn)
    }
    assert tuple(np.round(dart.point, 6)) in want


def test_a_mouth_lies_on_the_edge_that_was_drawn_anew():
    """The hem drawn straight again runs across the dart: its legs end there, its fold line too."""
    fold = Path(np.concatenate([Path.through(HEM).curves, Path.through([(120, 300), (120, 220)]).curves]))
    pattern = block(Mark(DART, "hem-dart", path=fold))
    made = spread(pattern, redraw="straight", **ASIDE).pattern.piece("block")
    (dart,) = drawn_darts(made, "")
    assert dart.angle == pytest.approx(math.degrees(2 * math.atan(10 / 80)), abs=1e-6)
    path = dart.mark.path
    feet = [spot for curve in path.curves for spot in curve[[0, 3]] if np.hypot(*(spot - dart.point)) > 1]
    assert len(feet) == 3 and max(away(made, spot) for spot in feet) < 1e-3
    # From (0, 300) to where (200, 300) went the straight hem cuts off what was the corner at the slash.
    assert max(dart.lengths) < math.hypot(10, 80) - 1


@pytest.mark.parametrize(
    ("spots", "places"),
    [
        (SIDE, ("150mm", "150mm")),  # through both legs
        (SIDE, ("124mm", "124mm")),  # behind the point
        (HEM, ("120mm", "120mm")),  # in at the mouth, out at the point
        (HEM, ("115mm", "40mm")),  # in at the mouth, out through a leg
        (RING, ("120mm", "120mm")),
        (RING, ("60mm", "160mm")),
    ],
)
def test_a_slash_through_a_drawn_dart_is_refused(spots, places):
    with pytest.raises(InputError) as told:
        spread(block(drawn(spots)), **dict(ASIDE, at=places[0], hinge_at=places[1]))
    assert told.value.code == "dart" and "'bust-dart'" in told.value.what
    assert "'block'" in told.value.what and "beside" in told.value.cure


@pytest.mark.parametrize(("spots", "place"), [(SIDE, "119.9mm"), (HEM, "110mm"), (RING, "114mm")])
def test_a_slash_that_only_grazes_a_dart_is_not(spots, place):
    made = spread(block(drawn(spots)), **dict(ASIDE, at=place, hinge_at="100mm")).pattern.piece("block")
    before, after = (drawn_darts(piece, "")[0] for piece in (block(drawn(spots)).piece("block"), made))
    assert after.intake == pytest.approx(before.intake, abs=0.05)


def test_a_slash_through_a_dart_that_is_cut_in_is_refused_with_its_name():
    path = outline((0, 0), (200, 0), (200, 100), (120, 115), (200, 130), (200, 300), (0, 300))
    piece = named(path, "neck side bust-dart bust-dart side hem centre", "block", darts=("bust-dart",))
    with pytest.raises(InputError) as told:
        spread(Pattern((piece,)), **dict(ASIDE, at="150mm", hinge_at="150mm"))
    assert told.value.code == "line" and "'bust-dart'" in told.value.what
