"""Swinging an outline: weights at corners, edges that follow, marks, lengths that correspond."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.pattern.swing import Band, Window, corresponding, level_distance, mixed, same_edges, swing
from tests.operations.pieces import level, named_outline, notch, r4_path

NAMES = "waist side hem centre"
BAND = Band((0.0, 1.0), 100.0, 300.0)


def boxes(width=(100.0, 120.0), height=(600.0, 620.0)):
    return tuple(
        named_outline(Path.through([(0, 0), (w, 0), (w, h), (0, h)], closed=True), NAMES, s)
        for w, h, s in zip(width, height, "46")
    )


def test_what_lies_above_is_the_first_size_and_what_lies_below_the_second():
    a, b = boxes()
    made = swing(a, b, {"side": Window(100.0, 300.0)}, BAND, "new")

    assert made.size == "new" and made.names == tuple(NAMES.split())
    assert made.edge_path("waist") == a.edge_path("waist")
    assert made.edge_path("hem") == b.edge_path("hem")
    assert np.allclose(made.edge_path("centre").start, (0, 620)) and np.allclose(
        made.edge_path("centre").end, (0, 0)
    )


def test_from_the_other_end_it_is_the_other_way_round():
    a, b = boxes()
    up = Band((0.0, -1.0), -500.0, -300.0)
    made = swing(a, b, {"side": Window(100.0, 300.0, True)}, up, "new")

    assert made.edge_path("hem") == a.edge_path("hem")
    assert made.edge_path("waist") == b.edge_path("waist")


def test_half_way_down_the_taper_it_lies_half_way_between():
    """w(1/2) = 1/2 by u2(3 - 2u); both sides straight and vertical, 20 mm apart, equally long."""
    a, b = boxes(height=(600.0, 600.0))
    side = swing(a, b, {"side": Window(100.0, 300.0)}, BAND, "new").edge_path("side")

    xs = {round(float(y)): float(x) for x, y in side.nodes}
    assert xs[100] == pytest.approx(100.0) and xs[300] == pytest.approx(120.0)
    from sewkit.geometry.intersect import crossings_with_line
    from sewkit.geometry.path import point

    for y, u in ((150, 0.25), (200, 0.5), (250, 0.75)):
        place = crossings_with_line(side, (0, y), (1, 0))[0]
        x = point(side.curves[place.curve][None], place.t)[0][0]
        assert x == pytest.approx(100 + 20 * u * u * (3 - 2 * u), abs=0.01)


def test_mixing_gives_the_exact_size_between():
    a, b = boxes()
    made = mixed(a, b, 0.25, "between")

    assert np.allclose(made.path.nodes, [(0, 0), (105, 0), (105, 605), (0, 605)])
    assert mixed(a, b, 1.0, "x").path == b.path


def test_sizes_with_other_edges_cannot_swing():
    a, b = boxes()
    other = named_outline(b.path, "waist hem side centre", "6")

    with pytest.raises(InputError, match="'front' has other edges"):
        same_edges(a, other, "front")
    same_edges(a, b, "front")


def test_levels_are_measured_from_either_end():
    a, _ = boxes()

    assert level_distance(a, "side", level("waist", 150.0), False) == pytest.approx(150.0)
    assert level_distance(a, "side", level("waist", 150.0), True) == pytest.approx(450.0)
    assert level_distance(a, "side", level("waist", 700.0), False) is None


def test_notches_and_levels_of_one_name_belong_together():
    a, b = boxes()
    first = (
        notch("side", 200.0, name="1", size="4"),
        level("hips", 300.0, "4"),
        notch("side", 400.0, name="2", size="4"),
    )
    second = (
        notch("side", 210.0, name="1", size="6"),
        level("hips", 320.0, "6"),
        notch("side", 250.0, name="2", size="6"),
    )

    # The second notch would fold the line back over the level; it is left out.
    assert corresponding("side", a, b, first, second) == [
        pytest.approx((200.0, 210.0)),
        pytest.approx((300.0, 320.0)),
    ]


def test_a_band_knows_heights_and_weights():
    assert BAND.height(np.array([7.0, 150.0])) == 150.0
    assert [BAND.weight(np.array([0.0, y])) for y in (0, 100, 200, 300, 900)] == [0.0, 0.0, 0.5, 1.0, 1.0]


def test_curves_outside_the_window_are_the_parents_own():
    a, b = (named_outline(r4_path(*g), NAMES, s) for g, s in (((180, 236, 240), "4"), ((190, 246, 250), "6")))
    made = swing(a, b, {"side": Window(60.0, 200.0)}, Band((0.0, 1.0), 55.0, 190.0), "new")

    assert np.array_equal(made.edge_path("side").curves[-1], b.edge_path("side").curves[-1])
    assert np.array_equal(made.edge_path("side").curves[0, 0], a.edge_path("side").curves[0, 0])
