"""The width of a piece at a level: closed forms of straight panels, R1 by shapely, any way it lies."""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, lines
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.level_width import along_edge, level_names, level_width, width_at
from sewkit.pattern.mark import DART, GRAIN, INNER, Mark
from tests.geometry.shapes import R1
from tests.operations.pieces import dense, level, named, r1

# A panel 200 wide at the top and 300 at the foot, 400 high: 200 + y / 4 at the height y.
PANEL = Path.through([(0, 0), (200, 0), (300, 400), (0, 400)], closed=True)
EDGES = "waist side hem centre"

# The same with a dart of 40 mm cut in from the foot, its point 160 mm above: y - 240 over 4 wide.
NOTCHED = Path.through(
    [(0, 0), (200, 0), (300, 400), (120, 400), (100, 240), (80, 400), (0, 400)], closed=True
)
NOTCHED_EDGES = "waist side hem dart dart hem centre"


def panel(*marks, path=PANEL, edges=EDGES, **more):
    return named(path, edges, "panel", marks=marks, **more)


def drawn(*points, name="dart"):
    return Mark(DART, name, "", Path.through(points))


def inner(name, *points):
    return Mark(INNER, name, "", Path.through(points))


def moved(piece, transform):
    """The piece and its marks laid elsewhere on the sheet."""
    marks = tuple(m._replace(path=transform.path(m.path)) for m in piece.marks)
    outlines = tuple(o.replace_path(transform.path(o.path)) for o in piece.outlines)
    return piece._replace(marks=marks, outlines=outlines)


@pytest.mark.parametrize("height", [40.0, 200.0, 399.0])
def test_a_straight_panel_is_as_wide_as_its_sides_are_apart(height):
    found = level_width(panel(level("hip", height)), "", "hip")
    assert found.width == found.across == pytest.approx(200 + height / 4, abs=1e-9)
    assert set(found.ends) == {("side",), ("centre",)} and not found.on_fold


@pytest.mark.parametrize("height", [250.0, 300.0, 380.0])
@pytest.mark.parametrize("cut_in", [True, False])
def test_a_dart_is_taken_off_at_its_width_there_cut_in_or_drawn(height, cut_in):
    if cut_in:
        piece = panel(level("hip", height), path=NOTCHED, edges=NOTCHED_EDGES, darts=("dart",))
    else:
        piece = panel(level("hip", height), drawn((120, 400), (100, 240), (80, 400)))

    found = level_width(piece, "", "hip")

    assert found.across == pytest.approx(200 + height / 4, abs=1e-9)
    assert found.darts == (("dart", pytest.approx((height - 240) / 4, abs=1e-9)),)
    assert found.width == pytest.approx(200 + height / 4 - (height - 240) / 4, abs=1e-9)


def test_above_its_point_a_dart_takes_nothing():
    piece = panel(level("hip", 200), path=NOTCHED, edges=NOTCHED_EDGES, darts=("dart",))
    assert level_width(piece, "", "hip").darts == ()


def test_a_dart_with_two_points_is_taken_off_where_it_is_crossed():
    # 30 wide at y = 200, points 100 above and below: 15 at half the way.
    ring = Path.through([(100, 100), (115, 200), (100, 300), (85, 200)], closed=True)
    piece = panel(Mark(DART, "waist-dart", "", ring), level("waist", 200), level("hip", 250))

    assert level_width(piece, "", "waist").width == pytest.approx(250 - 30, abs=1e-9)
    assert level_width(piece, "", "hip").width == pytest.approx(262.5 - 15, abs=1e-9)


def test_a_pleat_is_taken_off_as_far_as_its_folds_go():
    folds = inner("pleat-1", (80, 0), (80, 120)), inner("pleat-1", (104, 0), (104, 120))
    piece = panel(*folds, inner("pocket", (20, 0), (20, 390)), level("waist", 100), level("hip", 200))

    found = level_width(piece, "", "waist")

    assert found.pleats == (("pleat-1", pytest.approx(24, abs=1e-9)),)
    assert found.width == pytest.approx(225 - 24, abs=1e-9)
    assert level_width(piece, "", "hip").width == pytest.approx(250, abs=1e-9)


@pytest.mark.parametrize("name", ["centre-front", "Centre Front", "center_back", "cf"])
@pytest.mark.parametrize("reach", [(50, 390), (50, 120)])
def test_what_laps_over_the_centre_is_taken_off_however_short_the_line_is_drawn(name, reach):
    piece = panel(inner(name, (20, reach[0]), (20, reach[1])), level("chest", 200))
    found = level_width(piece, "", "chest")
    assert (found.beyond, found.width) == pytest.approx((20, 230), abs=1e-9)


def test_a_centre_line_in_the_middle_of_a_whole_piece_is_no_overlap():
    square = Path.through([(0, 0), (400, 0), (400, 300), (0, 300)], closed=True)
    piece = panel(inner("centre-front", (200, 0), (200, 300)), level("chest", 100), path=square)
    assert level_width(piece, "", "chest").width == pytest.approx(400, abs=1e-9)


def test_an_end_on_the_fold_is_told():
    assert level_width(panel(level("hip", 200), folds=("centre",)), "", "hip").on_fold
    assert not level_width(panel(level("hip", 200), folds=("waist",)), "", "hip").on_fold


def test_a_level_along_a_straight_edge_is_as_long_as_the_edge():
    piece = panel(level("hem", 400), path=NOTCHED, edges=NOTCHED_EDGES, darts=("dart",))
    assert level_width(piece, "", "hem").width == pytest.approx(300 - 40, abs=1e-9)


def test_without_a_level_the_edge_of_that_name_is_measured_as_sewn():
    piece = panel(path=NOTCHED, edges=NOTCHED_EDGES, darts=("dart",))
    found = level_width(piece, "", "hem")
    assert (found.way, found.width) == ("edge", pytest.approx(260, abs=1e-9))
    assert set(sum(found.ends, ())) == {"side", "centre"}

    only_drawn = panel(drawn((120, 400), (100, 240), (80, 400)), inner("cf", (20, 0), (20, 400)))
    found = along_edge(only_drawn, "", "hem")
    assert (found.taken, found.beyond, found.width) == pytest.approx((40, 20, 240), abs=1e-9)


@pytest.mark.parametrize("degrees", [0, 33, 90, 171, 260])
@pytest.mark.parametrize("mirrored", [False, True])
def test_the_width_goes_with_the_grain_wherever_the_piece_lies(degrees, mirrored):
    marks = [level("hip", 300), Mark(GRAIN, "", "", Path.through([(50, 50), (50, 350)]))]
    marks += [inner("cf", (20, 0), (20, 400)), drawn((120, 400), (100, 240), (80, 400))]
    piece = moved(panel(*marks), turn(degrees).then(move(500, -300)))
    if mirrored:
        piece = moved(piece, mirror((0, 0), (1, 3)))
    assert level_width(piece, "", "hip").width == pytest.approx(275 - 20 - 15, abs=1e-8)


def test_a_level_drawn_aslant_is_measured_square_to_the_grain_at_its_middle_and_says_so():
    aslant = level("hip", 0)._replace(path=Path.through([(0, 190), (200, 210)]))
    found = level_width(panel(aslant), "", "hip")
    assert found.width == pytest.approx(250, abs=1e-9)
    assert found.off == pytest.approx(math.degrees(math.atan2(20, 200)), abs=1e-9)


def test_the_level_of_a_size_comes_before_the_one_for_all():
    piece = panel(level("hip", 100), level("hip", 200))
    own = piece.marks[1]._replace(size="3")
    piece = piece._replace(marks=(piece.marks[0], own), outlines=(piece.outlines[0]._replace(size="3"),))
    assert level_width(piece, "3", "hip").width == pytest.approx(250, abs=1e-9)
    assert level_names(piece, "3") == ("hip",)


# -- R1: its bust dart lies along the level ------------------------------------------------

A, D1, D2 = (np.array(p) for p in ((95.0, 265.0), (245.958, 284.851), (240.994, 308.222)))
UNDERARM, WAIST = np.array((250.0, 230.0)), np.array((210.017, 440.149))


def turned(point, degrees):
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y = point - A
    return A + (cos * x - sin * y, sin * x + cos * y)


def reaches(side, height):
    """Where a straight side crosses a height (mm): shapely."""
    geometry = pytest.importorskip("shapely.geometry")
    return geometry.LineString(side).intersection(geometry.LineString([(0, height), (400, height)])).x


@pytest.mark.parametrize("height", [270.0, 280.0, 290.0, 300.0])
def test_a_dart_along_the_level_is_closed_and_the_level_runs_straight_on(height):
    found = level_width(r1(marks=(level("bust", height),)), "", "bust")
    # The paper above the dart turned down by its angle about the point: there the level goes on.
    assert found.closed == ("dart",)
    assert found.width == pytest.approx(reaches([turned(UNDERARM, 9.0), D2], height), abs=0.01)


@pytest.mark.parametrize("height", [235.0, 264.0, 265.0, 320.0, 400.0])
def test_a_level_clear_of_the_dart_is_what_shapely_cuts(height):
    geometry = pytest.importorskip("shapely.geometry")
    cloth = geometry.Polygon(dense(R1)).intersection(geometry.LineString([(-9, height), (400, height)]))
    found = level_width(r1(marks=(level("bust", height),)), "", "bust")
    assert found.width == pytest.approx(cloth.length, abs=0.01) and found.closed == ()


def test_a_drawn_dart_along_the_level_measures_as_the_cut_in_one():
    first = next(n for n, curve in enumerate(R1.curves) if np.hypot(*(curve[3] - A)) < 0.01)
    mouth = lines(R1.curves[first : first + 1, 0], R1.curves[first + 1 : first + 2, 3])
    whole = Path(np.concatenate([R1.curves[:first], mouth, R1.curves[first + 2 :]]), closed=True)
    legs = Mark(DART, "dart", "", Path.through([D1, A, D2]))
    piece = named(whole, "neck shoulder armhole side waist centre", "front", marks=(legs,))
    for height in (270.0, 290.0):
        cut = width_at(r1(), "", "bust", height)
        found = width_at(piece, "", "bust", height)
        assert (found.closed, found.width) == (cut.closed, pytest.approx(cut.width, abs=0.01))


# -- what cannot be measured -----------------------------------------------------------------


def test_no_level_lists_the_levels_there_are():
    with pytest.raises(InputError, match=r"no level called 'knee'.*hip") as told:
        level_width(panel(level("hip", 200)), "", "knee")
    assert told.value.code == "no-level"


def test_a_level_beside_the_piece_and_an_open_line_are_told():
    with pytest.raises(InputError, match="does not cross"):
        level_width(panel(level("hip", 500)), "", "hip")
    with pytest.raises(InputError, match="open"):
        level_width(panel(level("hip", 200), path=Path(PANEL.curves[:3]), edges="a b c"), "", "hip")
