"""Notches after length was let into their edge: plain sums, on straight edges."""

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.notch_places import Gain, moved
from tests.operations.pieces import named_outline, notch

NAMES = "top side hem centre"


def box(height, way=1):
    """A box 200 mm wide; ``way`` -1 runs the other way round, so its side runs up."""
    corners = [(0, 0), (200, 0), (200, height), (0, height)][::way]
    return named_outline(Path.through(corners, closed=True), NAMES if way > 0 else "hem side top centre")


@pytest.mark.parametrize(
    "distance, from_end, wanted",
    [
        (100.0, False, 100.0),  # before the opening, from the start
        (300.0, False, 340.0),  # behind it
        (300.0, True, 340.0),  # 300 from the end of 600: before the opening at 350
        (100.0, True, 100.0),  # behind it, from the end
        (350.0, False, 350.0),  # exactly at it: stays with the start
    ],
)
def test_the_notch_keeps_its_distance_from_the_end_on_its_side(distance, from_end, wanted):
    at = 350.0 if from_end or distance == 350.0 else 200.0
    made = moved(notch("side", distance, from_end), box(600), box(640), [Gain("side", at, 40.0)])

    assert made.on.distance == pytest.approx(wanted, abs=1e-12) and made.on.from_end is from_end
    drop = 640.0 - wanted if from_end else wanted
    assert np.allclose(made.path.curves[0, 3], (200, drop), atol=1e-9)


def test_a_notch_that_does_not_move_keeps_its_very_number():
    made = moved(notch("side", 0.1 + 0.2), box(600), box(640), [Gain("side", 300.0, 40.0)])

    assert made.on.distance == 0.1 + 0.2


def test_several_gains_add_up_and_those_of_other_edges_do_not_count():
    gains = [
        Gain("side", 400.0, 5.0),
        Gain("side", 100.0, 10.0),
        Gain("top", 10.0, 99.0),
        Gain("side", 200.0, 20.0),
    ]

    assert moved(notch("side", 300.0), box(600), box(635), gains).on.distance == pytest.approx(
        330.0, abs=1e-12
    )
    assert moved(notch("side", 300.0, True), box(600), box(635), gains).on.distance == pytest.approx(
        305.0, abs=1e-12
    )


@pytest.mark.parametrize("spot, wanted", [(195.0, 195.0), (205.0, 200.0), (230.0, 200.0), (240.0, 210.0)])
def test_where_length_is_taken_out_a_notch_goes_with_what_is_left(spot, wanted):
    """From 200 to 230 mm is folded out: what lay there now lies at 200, the rest 30 higher."""
    gains = [Gain("side", 200.0, -30.0)]

    assert moved(notch("side", spot), box(600), box(570), gains).on.distance == pytest.approx(
        wanted, abs=1e-12
    )
    from_end = moved(notch("side", 600.0 - spot, True), box(600), box(570), gains)
    assert from_end.on.distance == pytest.approx(570.0 - wanted, abs=1e-12)


def test_the_way_of_the_path_makes_no_difference():
    """The same spot of the cloth, 300 mm below the top, on a side that runs down or up."""
    down = moved(notch("side", 300.0), box(600), box(640), [Gain("side", 200.0, 40.0)])
    up = moved(notch("side", 300.0), box(600, -1), box(640, -1), [Gain("side", 400.0, 40.0)])

    assert np.allclose(down.path.curves[0, 3], (200, 340), atol=1e-9)
    assert np.allclose(up.path.curves[0, 3], (200, 340), atol=1e-9)


def test_an_edge_that_is_gone_takes_its_notch_along_and_other_marks_are_none_of_its_business():
    other = named_outline(box(600).path, "top flank hem centre")
    arrow = Mark(GRAIN, path=Path.through([(10, 10), (10, 500)]))

    assert moved(notch("side", 100.0), box(600), other, []) is None
    assert moved(notch("flank", 100.0), box(600), other, []) is None
    assert moved(arrow, box(600), box(640), [Gain("side", 1.0, 40.0)]) is arrow
