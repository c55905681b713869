"""Wedges on an outline alone, against the triangles one would draw beside them."""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.bridge import soft
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import turns
from sewkit.pattern.outline import Edge
from sewkit.pattern.wedging import wedge_at, wedged
from tests.geometry.shapes import R2, outline
from tests.operations.pieces import named_outline

# The hollow back of our papers (appendix A4): the wedge at y = 405 on a straight centre back,
# the hinge on the straight side from (245, 230) to (225, 425).
OPENING, HINGE = (0.0, 405.0), (245.0 - 20.0 * 175.0 / 195.0, 405.0)
BACK = named_outline(R2, "neck shoulder armhole side waist centre")
PANEL = named_outline(outline((0, 0), (200, 0), (200, 300), (0, 300)), "waist side hem centre")


def reversed_(line):
    count = len(line.path)
    edges = tuple(Edge(e.name, count - e.stop, count - e.start) for e in line.edges[::-1])
    return line._replace(path=line.path.reverse(), edges=edges)


def at(line, opening, hinge, amount, onward=True, **more):
    places = [nearest(line.path, spot).place for spot in (opening, hinge)]
    return wedge_at(line, *places, amount, onward, "back", **more)


def sway(line, k, onward, turns_beyond=True):
    return wedged(line, at(line, OPENING, HINGE, -k, onward), turns_beyond, "back").outline


def rotated(points, degrees, about):
    """By the rotation matrix, clockwise on the sheet."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return (np.asarray(points) - about) @ np.array([[c, s], [-s, c]]) + about


def closed(path):
    return np.array_equal(path.curves[:, 0], np.roll(path.curves[:, 3], 1, axis=0))


def ways():
    """The back drawn either way round, and whether its centre leads on to the waist."""
    down = bool(BACK.edge_path("centre").start[1] < 200.0)
    return [(BACK, down), (reversed_(BACK), not down)]


# -- taken out -------------------------------------------------------------------------------


@pytest.mark.parametrize("k", [8.0, 12.0, 18.0])
@pytest.mark.parametrize(("line", "onward"), ways())
def test_the_part_beyond_turns_by_the_angle_of_the_triangle(line, onward, k):
    """tan(theta) = k / Sx about the hinge; all else is the very same."""
    theta = math.degrees(math.atan(k / HINGE[0]))
    wedge = at(line, OPENING, HINGE, -k, onward)
    made = wedged(line, wedge, True, "back").outline

    assert abs(wedge.angle) == pytest.approx(theta, abs=1e-9)
    assert wedge.far != wedge.opening
    old = line.edge_path("waist").curves
    assert np.abs(made.edge_path("waist").curves - rotated(old, theta, HINGE)).max() < 1e-9
    for name in ("neck", "shoulder", "armhole"):
        assert np.array_equal(made.edge_path(name).curves, line.edge_path(name).curves)
    assert closed(made.path)
    assert path_length(made.edge_path("side")) == pytest.approx(math.hypot(20.0, 195.0), abs=1e-9)


@pytest.mark.parametrize("k", [8.0, 12.0, 18.0])
@pytest.mark.parametrize(("line", "onward"), ways())
def test_what_the_legs_differ_by_is_taken_up_softly_over_20_mm(line, onward, k):
    """No shorter than the straight line over the 20 mm, and longer by hundredths at most."""
    legs = HINGE[0] * (1.0 / math.cos(math.atan(k / HINGE[0])) - 1.0)
    centre = sway(line, k, onward).edge_path("centre")
    least = 365.0 + math.hypot(20.0, legs) + (20.0 - k)

    assert least <= path_length(centre) + 1e-9 <= least + 0.01
    assert np.abs(turns(centre)).max() < 1e-6, "no corner where the wedge was"
    assert min(np.hypot(*(node - (0.0, 385.0))) for node in centre.nodes) < 1e-6
    assert min(np.hypot(*(node - (-legs, 405.0))) for node in centre.nodes) < 1e-6
    assert len(centre) == len(line.edge_path("centre")) + 2


@pytest.mark.parametrize(("line", "onward"), ways())
def test_whichever_part_turns_the_shape_is_the_same(line, onward):
    theta = math.degrees(math.atan(12.0 / HINGE[0]))
    one, other = (sway(line, 12.0, onward, beyond) for beyond in (True, False))

    assert np.abs(rotated(one.path.curves, -theta, HINGE) - other.path.curves).max() < 1e-9
    assert np.array_equal(other.edge_path("waist").curves, line.edge_path("waist").curves)


def test_at_the_upper_end_the_difference_is_taken_up_below():
    """Half a millimetre under the corner no 20 mm are left before the cut; legs 200 and hypot(200, 20)."""
    made = wedged(PANEL, at(PANEL, (0.0, 0.5), (200.0, 0.5), -20.0, False), True, "panel").outline
    centre = made.edge_path("centre")
    theta = math.degrees(math.atan(20.0 / 200.0))

    assert np.array_equal(made.edge_path("waist").curves, PANEL.edge_path("waist").curves)
    wanted = rotated(PANEL.edge_path("hem").curves, theta, (200.0, 0.5))
    assert np.abs(made.edge_path("hem").curves - wanted).max() < 1e-9
    assert min(np.hypot(*(node - (0.0, 0.5))) for node in centre.nodes) < 1e-9
    assert 280.0 < path_length(centre) < 280.0 + 0.3  # common practice: a centre back to 0.3 mm
    assert np.abs(turns(centre)).max() < 1e-6


def test_the_distance_is_counted_from_the_start_of_the_edge():
    centre = BACK.edge_path("centre")
    wanted = abs(float(centre.start[1]) - 405.0)

    assert at(BACK, OPENING, HINGE, -5.0, ways()[0][1]).at == pytest.approx(wanted, abs=1e-9)


# -- let in ------------------------------------------------------------------------------------


@pytest.mark.parametrize("k", [2.0, 12.0, 30.0])
@pytest.mark.parametrize("beyond", [True, False])
def test_let_in_the_edge_gains_the_arc_and_the_cut_opens_by_the_chord(k, beyond):
    """Chord k about a hinge 200 mm away: theta = 2 asin(k / 400), the arc 200 theta."""
    theta = 2.0 * math.asin(k / 400.0)
    # The path runs up the centre, so that below comes before.
    wedge = at(PANEL, (0.0, 100.0), (200.0, 100.0), k, False)
    made = wedged(PANEL, wedge, beyond, "panel").outline

    assert abs(wedge.angle) == pytest.approx(math.degrees(theta), abs=1e-9)
    assert path_length(made.edge_path("centre")) == pytest.approx(300.0 + 200.0 * theta, abs=1e-3)
    assert sum(path_length(run) for run in made.runs("side")) == pytest.approx(300.0, abs=1e-9)
    assert np.abs(turns(made.edge_path("centre"))).max() < 1e-6
    assert closed(made.path)
    moved, still = ("hem", "waist") if beyond else ("waist", "hem")
    assert np.array_equal(made.edge_path(still).curves, PANEL.edge_path(still).curves)
    sense = -1.0 if beyond else 1.0  # clockwise on the sheet lifts what lies left of the hinge
    wanted = rotated(PANEL.edge_path(moved).curves, sense * math.degrees(theta), (200.0, 100.0))
    assert np.abs(made.edge_path(moved).curves - wanted).max() < 1e-9
    low = made.edge_path("hem").end
    assert low[1] > 300.0 or not beyond, "the lower part moves away, not over the upper one"


@pytest.mark.parametrize(("k", "runs"), [(40.0, 1), (45.0, 2)])
def test_a_corner_at_the_hinge_parts_the_edge(k, runs):
    """2 asin(40 / 400) = 11.48 degrees is no corner, 2 asin(45 / 400) = 12.92 is one (limit 12)."""
    made = wedged(PANEL, at(PANEL, (0.0, 100.0), (200.0, 100.0), k, False), True, "panel").outline

    assert len(made.runs("side")) == runs
    assert [edge.smooth for edge in made.edges if edge.name == "side"] == [False] * runs
    assert made.names == PANEL.names


def test_one_soft_curve_between_the_ends_of_an_arc_is_that_arc():
    """A quarter circle: nowhere further than 0.03 % from its radius (the textbook cubic)."""
    curve = soft(np.array([100.0, 0.0]), np.array([0.0, 1.0]), np.array([0.0, 100.0]), np.array([-1.0, 0.0]))
    t = np.linspace(0.0, 1.0, 101)[:, None]
    weights = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3]
    points = sum(weight * spot for weight, spot in zip(weights, curve))

    assert np.abs(np.hypot(*points.T) - 100.0).max() < 0.03


# -- refused -----------------------------------------------------------------------------------


def refused(line, opening, hinge, amount, onward=False):
    with pytest.raises(InputError) as told:
        wedge = at(line, opening, hinge, amount, onward)
        wedged(line, wedge, True, "back")
    assert told.value.what.endswith(".") and told.value.cure.endswith(".")
    return told.value.code, str(told.value)


def test_nothing_is_no_wedge():
    assert refused(PANEL, (0.0, 100.0), (200.0, 100.0), 0.0)[0] == "value"


def test_an_open_outline_has_no_parts():
    line = named_outline(PANEL.path.part(0, 3), "waist side hem")
    assert refused(line, (100.0, 0.0), (100.0, 300.0), 5.0)[0] == "open"


def test_the_hinge_must_be_elsewhere():
    assert refused(PANEL, (0.0, 100.0), (0.0, 100.5), 5.0)[0] == "pivot"


@pytest.mark.parametrize(("hinge", "code"), [((0.0, 200.0), "line"), ((5.0, 300.0), "line")])
def test_a_line_along_its_edge(hinge, code):
    assert refused(PANEL, (0.0, 100.0), hinge, 5.0)[0] == code


def test_more_than_lies_beyond():
    # The path runs up the centre, so that the 20 mm below y = 280 come before it.
    code, text = refused(PANEL, (0.0, 280.0), (200.0, 280.0), -25.0, False)
    assert code == "overlap" and "20.0 mm" in text and "centre" in text


# A notch like a V on the hinge's side: its mouth is 2 atan(20 / 40) = 53.1 degrees wide.
MOUTH = named_outline(
    outline((0, 0), (140, 0), (140, 30), (100, 50), (140, 70), (140, 100), (0, 100)),
    "top right upper lower right-low hem left",
)


def test_a_piece_that_would_lie_over_itself():
    """Opened by 2 asin(k / 200) at 100 mm: 59.3 degrees for 99 mm close the mouth and more, 29.0 do not."""
    assert refused(MOUTH, (0.0, 50.0), (100.0, 50.0), 99.0)[0] == "fold-over"
    made = wedged(MOUTH, at(MOUTH, (0.0, 50.0), (100.0, 50.0), 50.0, False), True, "back").outline
    assert closed(made.path)


def test_more_let_in_than_the_hinge_is_away():
    assert refused(PANEL, (0.0, 100.0), (200.0, 100.0), 201.0)[0] == "fold-over"


def test_a_line_that_leaves_the_piece():
    """From the top to the bottom of the right side, across the V."""
    code, text = refused(MOUTH, (130.0, 0.0), (130.0, 100.0), 5.0)
    assert code == "line" and "upper" in text
