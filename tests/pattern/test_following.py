"""The same line on another piece: by its name, by a level in common, through a seam."""

import math
import pathlib

import pytest

from sewkit.files.svg import Drawing, read_tree
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, turn
from sewkit.pattern.cross_line import height_of
from sewkit.pattern.following import follow, passes_by
from sewkit.pattern.mark import LENGTHEN, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from tests.operations.pieces import grain, level, moved, named, notch

DOWN = (0.0, 1.0)
MASTER = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat" / "master.svg"
PANEL = Path.through([(0, 0), (200, 0), (200, 600), (0, 600)], closed=True)
EDGES = "top side hem centre"


def panel(name="front", *marks, top=0.0, height=600.0, x=0.0):
    path = move(x, top).path(Path.through([(0, 0), (200, 0), (200, height), (0, height)], closed=True))
    return named(path, EDGES, name, marks=marks)


def laid(piece, frame):
    return moved(Pattern((piece,)), frame).pieces[0]


def placed(leading, piece, words, height, seams="", others=(), axis=DOWN):
    parsed = parse_seams(seams, leading.name)
    return follow(Pattern((leading, piece, *others), parsed), leading, piece, "", words, height, axis)


def assert_at(found, axis, height):
    assert found is not None
    assert found[0] == pytest.approx(axis, abs=1e-9)
    assert found[1] == pytest.approx(height, abs=1e-6)


# -- by name and by level ---------------------------------------------------------------


def test_its_own_level_of_that_name_comes_first():
    front = panel("front", level("waist", 300.0))
    assert_at(placed(front, panel("back", level("waist", 340.0), top=30.0), "waist", 300.0), DOWN, 340.0)
    assert_at(placed(front, panel("back", level("waist", 340.0)), "waist+1in", 325.4), DOWN, 365.4)


def test_half_way_on_the_other_piece_is_half_way_there():
    front = panel("front", level("chest", 100.0), level("waist", 300.0))
    back = panel("back", level("chest", 90.0), level("waist", 310.0))
    facing = panel("facing", level("waist", 330.0))

    assert_at(placed(front, back, "chest/waist", 200.0), DOWN, 200.0)
    assert_at(placed(front, facing, "chest/waist", 200.0), DOWN, 230.0)


def test_the_nearest_level_in_common_counts():
    front = panel("front", level("chest", 100.0), level("waist", 300.0), level("hip", 500.0))
    back = panel("back", level("chest", 120.0), level("hip", 560.0))

    assert_at(placed(front, back, "waist-30", 270.0), DOWN, 120.0 + 170.0)
    assert_at(placed(front, back, "waist+30", 330.0), DOWN, 560.0 - 170.0)


def test_a_lengthen_line_without_a_name_answers_to_another_between_the_same_levels():
    def line(y):
        return Mark(LENGTHEN, path=Path.through([(0, y), (200, y)]))

    front = panel("front", level("waist", 300.0), line(200.0))
    back = panel("back", level("waist", 300.0), line(190.0))
    below = panel("sleeve", level("waist", 300.0), line(400.0))

    assert_at(placed(front, back, "its own", 200.0), DOWN, 190.0)
    assert_at(placed(front, below, "its own", 200.0), DOWN, 200.0)
    assert_at(placed(front, back, "the drawn line", 250.0), DOWN, 250.0)
    assert placed(front, panel("cuff", line(190.0)), "its own", 200.0) is None


def test_nothing_tells():
    front = panel("front", level("waist", 300.0))

    assert placed(front, panel("sleeve", level("elbow", 280.0)), "waist", 300.0) is None
    assert placed(front, panel("sleeve"), "waist", 300.0, seams="top=cuff/top") is None


# -- lying otherwise on the sheet -------------------------------------------------------


@pytest.mark.parametrize("degrees", [0.0, 30.0, 90.0, 150.0, 180.0, 270.0])
def test_two_levels_tell_which_way_is_down(degrees):
    """The line lies 70 mm below the waist, so its foot is moved with the piece."""
    frame = turn(degrees).then(move(900.0, 40.0))
    front = panel("front", grain(), level("chest", 100.0), level("waist", 300.0))
    back = laid(panel("back", grain(), level("chest", 95.0), level("waist", 310.0)), frame)
    way = (-math.sin(math.radians(degrees)), math.cos(math.radians(degrees)))
    foot = frame.points([(0.0, 380.0)])[0]

    for words in ("waist+70", "the drawn line"):
        assert_at(placed(front, back, words, 370.0), way, float(foot @ way))


@pytest.mark.parametrize("degrees", [180.0, 90.0, 270.0])
def test_with_one_level_the_seam_tells_which_way_is_down(degrees):
    frame = turn(degrees).then(move(900.0, 40.0))
    front = panel("front", grain(), level("chest", 100.0), level("waist", 300.0))
    facing = laid(panel("facing", grain(), level("waist", 310.0)), frame)
    way = (-math.sin(math.radians(degrees)), math.cos(math.radians(degrees)))
    foot = frame.points([(0.0, 210.0)])[0]

    assert_at(placed(front, facing, "chest/waist", 200.0, "centre=facing/centre"), way, float(foot @ way))


def test_a_leading_piece_that_lies_head_down():
    frame = turn(180.0)
    front = laid(panel("front", grain(), level("chest", 100.0), level("waist", 300.0)), frame)
    back = panel("back", grain(), level("chest", 100.0), level("waist", 300.0))
    # Along (0, 1) the turned front's line 70 mm below its waist is at -370.
    assert_at(placed(front, back, "the drawn line", -370.0), (0.0, -1.0), -370.0)


# -- through a seam ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seam", "height"),
    [
        # Outlines run clockwise, so the side runs down and the centre runs up.
        ("side=band/side", 170.0 + 20.0),
        ("side=band/centre,turned", 170.0 + 20.0),
        ("side,turned=band/side,turned", 600.0 - 430.0),  # 430 above the lower end of both
    ],
)
def test_the_partner_edge_is_cut_as_far_from_the_meeting_end(seam, height):
    """The band's edge begins at y = 20 and is 580 long; the front's begins at 0 and is 600 long."""
    band = panel("band", top=20.0, height=580.0, x=500.0)

    assert_at(placed(panel(), band, "waist", 170.0, seam), DOWN, height)


def test_both_ends_of_a_turned_pair():
    """Side sewn to side but the band upside down: 170 from the front's top is 170 from the band's end."""
    band = panel("band", top=20.0, height=580.0, x=500.0)

    assert_at(placed(panel(), band, "waist", 170.0, "side=band/side,turned"), (0.0, -1.0), -(600.0 - 170.0))
    assert_at(placed(panel(), band, "waist", 170.0, "side,turned=band/side"), (0.0, -1.0), -(20.0 + 430.0))


def test_a_slanting_partner_counts_along_its_edge():
    """3 : 4 : 5; the first 200 mm of its edge reach 160 mm down."""
    slanting = named(Path.through([(0, 0), (200, 0), (650, 600), (0, 600)], closed=True), EDGES, "lining")

    assert_at(placed(panel(), slanting, "x", 200.0, "side=lining/side"), DOWN, 160.0)


def test_seams_of_several_edges_end_to_end():
    """Upper and lower front, 200 and 400 long, to one side of the back; either may lead."""
    upper = panel("upper", height=200.0)
    lower = panel("lower", height=400.0, x=300.0)
    back = panel("back", x=600.0)
    seam = "side+lower/side=back/side"

    assert_at(placed(upper, back, "x", 150.0, seam, (lower,)), DOWN, 150.0)
    pattern = Pattern((upper, lower, back), parse_seams(seam, "upper"))
    assert_at(follow(pattern, lower, back, "", "x", 150.0, DOWN), DOWN, 350.0)
    assert_at(follow(pattern, back, lower, "", "x", 350.0, DOWN), DOWN, 150.0)
    assert_at(follow(pattern, back, upper, "", "x", 150.0, DOWN), DOWN, 150.0)
    assert follow(pattern, back, upper, "", "x", 350.0, DOWN) is None


def test_a_line_that_goes_through_another_piece_passes_by():
    """The back's line at 350 is the lower front's; beyond the seam's 600 mm nothing is known."""
    upper, lower = panel("upper", height=200.0), panel("lower", height=400.0, x=300.0)
    back = panel("back", x=600.0, height=650.0)
    pattern = Pattern((upper, lower, back), parse_seams("side+lower/side=back/side", "upper"))

    def passes(piece, height):
        return passes_by(pattern, back, piece, "", height, DOWN)

    assert (passes(upper, 350.0), passes(upper, 150.0), passes(upper, 640.0)) == (True, False, False)
    assert (passes(lower, 350.0), passes(lower, 150.0), passes(lower, 640.0)) == (False, True, False)
    assert passes(upper, 200.0), "at the very end of the upper front nothing is moved apart"


@pytest.mark.parametrize("height", [12.0, 1.0])
def test_a_short_edge_is_enough(height):
    """Two bands of a few millimetres: 5 mm, or half of one, from the top of each."""
    band, other = panel("band", height=height), panel("other", height=height, x=300.0, top=40.0)

    assert_at(placed(band, other, "x", height / 2.0, "side=other/side"), DOWN, 40.0 + height / 2.0)


def test_a_seam_with_ease_is_cut_between_the_same_notches():
    """Notches at 200 and 190: 100 is half way to the first, 95; behind the last as far from it."""
    front = panel("front", notch("side", 200.0, name="1"))
    back = panel("back", notch("side", 190.0, name="1"), height=590.0, x=300.0)
    seam = "side=back/side,ease=0..10"

    assert_at(placed(front, back, "x", 100.0, seam), DOWN, 95.0)
    assert_at(placed(front, back, "x", 300.0, seam), DOWN, 290.0)
    assert_at(placed(back, front, "x", 95.0, "side=front/side,ease=-10..0"), DOWN, 100.0)


def test_notches_that_do_not_fit_tell_nothing():
    front, back = (
        panel("front", notch("side", 200.0, name="1")),
        panel("back", notch("side", 100.0, name="1")),
    )

    assert_at(placed(front, back, "x", 100.0, "side=back/side"), DOWN, 100.0)


def test_a_dart_in_the_partner_is_closed():
    """The dart takes 40 mm out of the lining's side between 100 and 140."""
    path = Path.through(
        [(0, 0), (200, 0), (200, 100), (120, 120), (200, 140), (200, 640), (0, 640)], closed=True
    )
    lining = named(path, "top side dart dart side hem centre", "lining", darts=("dart",))

    assert_at(placed(panel(), lining, "x", 90.0, "side=lining/side"), DOWN, 90.0)
    assert_at(placed(panel(), lining, "x", 300.0, "side=lining/side"), DOWN, 340.0)
    assert_at(placed(lining, panel(), "x", 340.0, "side=front/side"), DOWN, 300.0)


def test_a_crosswise_band_changes_along_its_edge():
    """Drawn lying, with its grain across: sewn by its upper edge from the left end on."""
    path = Path.through([(700, 50), (1300, 50), (1300, 90), (700, 90)], closed=True)
    band = named(path, "long end low start", "band")

    assert_at(placed(panel(), band, "waist", 170.0, "side=band/long"), (1.0, 0.0), 870.0)
    assert_at(placed(panel(), band, "waist", 170.0, "side=band/long,turned"), (-1.0, 0.0), -1130.0)


def test_an_edge_along_the_grain_tells_more_than_one_across():
    """The slanting top is cut at the same height as the side, and stands first among the seams."""
    front = named(Path.through([(0, 0), (200, 60), (200, 600), (0, 600)], closed=True), EDGES, "front")
    lining = panel("lining", x=400.0)
    seams = "top=lining/top centre,turned=lining/centre,turned"

    assert_at(placed(front, lining, "x", 30.0, seams), DOWN, 30.0)


@pytest.mark.parametrize("seam", ["side=lining/nothing", "gone/side+side=lining/side", "nothing=lining/side"])
def test_a_seam_that_names_what_is_missing_tells_nothing(seam):
    assert placed(panel(), panel("lining"), "x", 170.0, seam) is None


# -- the sample -------------------------------------------------------------------------


@pytest.fixture(scope="module")
def waistcoat():
    return Drawing(read_tree(str(MASTER))).pattern


@pytest.mark.parametrize("size", ["1", "3", "8"])
@pytest.mark.parametrize("upside_down", [False, True])
def test_the_waistcoat_is_cut_at_one_level_all_round(waistcoat, size, upside_down):
    """All waists lie at 560 on the sample's sheet; the front's chest levels lie half its height above.

    The facing knows no chest: it is cut where the front edge it is sewn to is cut.
    """
    front = waistcoat.piece("front")
    height = height_of(front, size, "chest/waist", DOWN)
    assert height == pytest.approx((560.0 + height_of(front, size, "chest", DOWN)) / 2.0)
    frame = turn(180.0) if upside_down else move(0.0, 0.0)
    sign = -1.0 if upside_down else 1.0

    for name in ("back", "front-facing"):
        piece = laid(waistcoat.piece(name), frame)
        found = follow(waistcoat.with_piece(piece), front, piece, size, "chest/waist", height, DOWN)
        # Turned about the origin: the same height along the turned axis.
        assert_at(found, (0.0, sign), height)
