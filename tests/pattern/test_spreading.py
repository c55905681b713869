"""Slash and spread against closed forms: chords, arcs, a block of strips, the shoulder of a bodice."""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, lines, turns
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Edge, Outline, from_edges
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import at_places, even
from sewkit.pattern.spreading import Asked, faint, gained, spread_open, straightened


def _line(start, end):
    return Path(lines(np.array([start], float), np.array([end], float)))


def shoulder():
    """The front bodice of the reference tables: straight shoulder, curved armhole, fold at the centre."""
    armhole = Path(np.array([[(190, 45), (160, 110), (165, 228), (250, 230)]], float))
    neck = Path(np.array([[(0, 80), (45, 78), (70, 45), (70, 0)]], float))
    parts = [
        ("neck", neck, False),
        ("shoulder", _line((70, 0), (190, 45)), False),
        ("armhole", armhole, False),
        ("side", _line((250, 230), (210.017, 440.149)), False),
        ("waist", _line((210.017, 440.149), (0, 440.149)), False),
        ("centre", _line((0, 440.149), (0, 80)), False),
    ]
    return from_edges("", parts, True)


def block(width=200.0, height=500.0):
    path = Path.through([(0, 0), (width, 0), (width, height), (0, height)], closed=True)
    return Outline("", path, tuple(Edge(n, i, i + 1) for i, n in enumerate("waist side hem centre".split())))


def spread(outline, slashes, *asked):
    return spread_open(outline, slashes, Asked(*asked), Piece("front", (outline,), folds=("centre",)))


def ruler(outline, edge):
    """An edge's length by 64 point Gauss integration, as in the reference tables."""
    nodes, weights = np.polynomial.legendre.leggauss(64)
    t = ((nodes + 1) / 2)[:, None]
    total = 0.0
    for run in outline.runs(edge):
        for a, b, c, d in np.array(run.curves):
            speed = 3 * ((1 - t) ** 2 * (b - a) + 2 * (1 - t) * t * (c - b) + t * t * (d - c))
            total += float(np.hypot(*speed.T) @ weights) / 2
    return total


@pytest.mark.parametrize(
    ("count", "gap", "length", "degrees"), [(4, 30.0, 600.0, 2.8651), (3, 20.0, 500.0, 2.2920)]
)
def test_an_opening_is_a_turn_of_twice_the_arc_sine(count, gap, length, degrees):
    """n equal slashes: 2 asin(g / 2l) each; the hem gains n arcs, the waist nothing."""
    outline = block(height=length)
    made = spread(outline, even(outline, "hem", "waist", count), "hinged", "slash", gap)

    assert made.angles == pytest.approx([degrees] * count, abs=5e-5)
    assert made.change.outline.as_sewn("waist") == pytest.approx(200.0, abs=1e-9)
    arc = length * 2 * math.asin(gap / (2 * length))
    assert ruler(made.change.outline, "hem") == pytest.approx(200.0 + count * arc, abs=1e-3)
    assert np.abs(turns(made.change.outline.edge_path("hem"))).max() < 1e-6


@pytest.mark.parametrize("total", [-37.0, 12.0, 120.0])
@pytest.mark.parametrize("way", ["hinged", "parallel"])
def test_a_total_is_what_the_edge_gains_as_sewn(total, way):
    outline = block()
    made = spread(outline, even(outline, "hem", "waist", 4), way, "total", total)

    assert ruler(made.change.outline, "hem") == pytest.approx(200.0 + total, abs=1e-5)
    assert gained(made, "waist") == pytest.approx(0.0 if way == "hinged" else total, abs=1e-6)
    assert max(made.openings) - min(made.openings) == 0.0


def test_an_angle_is_the_turn_of_every_slash():
    outline = block()
    made = spread(outline, even(outline, "hem", "waist", 2), "hinged", "angle", 3.0)

    assert made.angles == pytest.approx([3.0, 3.0])
    assert made.openings == pytest.approx([1000.0 * math.sin(math.radians(1.5))] * 2)


@pytest.mark.parametrize(
    ("total", "theta", "chord", "tip"),
    [
        (-10.0, 5.321, 13.162, (179.589, 44.181)),
        (-12.0, None, 15.855, None),
        (10.0, None, 12.814, (200.020, 46.722)),
    ],
)
def test_a_straight_shoulder_comes_out_as_asked(total, theta, chord, tip):
    """The triangle hinge - mid shoulder - tip turned about the hinge; the reference table."""
    outline = shoulder()
    made = spread(outline, even(outline, "shoulder", "armhole", 1), "hinged", "total", total, True)
    line = made.change.outline.edge_path("shoulder")

    assert len(line) == 1
    assert np.hypot(*(line.end - line.start)) == pytest.approx(math.hypot(120.0, 45.0) + total, abs=1e-6)
    assert abs(made.openings[0]) == pytest.approx(chord, abs=0.001)
    if theta:
        assert abs(made.angles[0]) == pytest.approx(theta, abs=0.001)
    if tip:
        assert line.end == pytest.approx(tip, abs=0.001)
    assert ruler(made.change.outline, "armhole") == pytest.approx(ruler(outline, "armhole"), abs=1e-6)


def test_a_lap_of_ten_shortens_the_straight_shoulder_by_less():
    """The reference table: 120.530."""
    outline = shoulder()
    made = spread(outline, even(outline, "shoulder", "armhole", 1), "hinged", "slash", -10.0, True)

    assert made.change.outline.as_sewn("shoulder") == pytest.approx(120.530, abs=0.001)


def test_a_parallel_strip_leaves_straight_edges_straight_and_without_new_nodes():
    outline = block()
    made = spread(outline, even(outline, "hem", "waist", 3), "parallel", "slash", 20.0).change.outline

    assert [len(made.edge_path(name)) for name in made.names] == [1, 1, 1, 1]
    assert [made.as_sewn(name) for name in made.names] == pytest.approx([260.0, 500.0, 260.0, 500.0])


def test_there_and_back_is_where_it_was():
    outline = block()
    wide = spread(outline, even(outline, "hem", "waist", 1), "parallel", "slash", 20.0).change.outline
    back = spread(wide, at_places(wide, [(On("hem", 110.0), On("waist", 110.0))]), "parallel", "slash", -20.0)

    assert back.change.outline.path.nodes == pytest.approx(outline.path.nodes, abs=1e-9)


def test_the_slashes_are_shown_where_they_lie_now():
    outline = block()
    made = spread(outline, even(outline, "hem", "waist", 1), "hinged", "slash", 30.0)
    sides, hinges = faint(made)

    assert hinges[0] == pytest.approx((100.0, 0.0))
    assert np.hypot(*(sides[0].start - sides[1].start)) == pytest.approx(30.0)
    assert all(np.hypot(*(side.end - hinges[0])) < 1e-9 for side in sides)


@pytest.mark.parametrize("ask", ["slash", "total"])
@pytest.mark.parametrize("way", ["hinged", "parallel"])
@pytest.mark.parametrize("amount", [-1000.0, -300.0, -150.0, -1.0, 1e-3, 1.0, 300.0, 1000.0])
def test_any_amount_gives_an_outline_or_one_clear_sentence(ask, way, amount):
    """While a value is being typed, anything may be asked."""
    outline = block()
    try:
        made = spread(outline, even(outline, "hem", "waist", 4), way, ask, amount)
    except InputError as error:
        assert error.code in ("fold-over", "overlap")
        assert "'front'" in error.what and error.cure
        assert abs(amount) > 1.0
    else:
        assert gained(made, "hem") * amount > 0


def test_a_piece_that_would_lie_over_itself_is_refused():
    """Four openings of 90 degrees less a little would turn the last strip over the first."""
    outline = block()
    with pytest.raises(InputError) as caught:
        spread(outline, even(outline, "hem", "waist", 4), "hinged", "angle", 85.0)
    assert caught.value.code == "fold-over"


def test_a_right_angle_is_too_far():
    outline = block()
    for asked in (("hinged", "angle", 90.0), ("hinged", "slash", 710.0)):
        with pytest.raises(InputError, match="right angle"):
            spread(outline, even(outline, "hem", "waist", 1), *asked)


def test_an_old_line_keeps_its_nodes_in_proportion():
    old = Path.through([(0, 0), (30, 0), (100, 0)])

    assert straightened(old, old.start, np.array([200.0, 0.0])).nodes[1] == pytest.approx((60.0, 0.0))
    with pytest.raises(ValueError, match="nothing is left"):
        straightened(old, old.start, np.array([-5.0, 0.0]))
