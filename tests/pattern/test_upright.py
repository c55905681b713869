"""Which end of a piece is up: by its own names, by other pieces, or not known."""

import math

import pytest

from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import LEVEL
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from sewkit.pattern.upright import by_names, down_of
from tests.operations.length_pieces import back, block, cap, front, grain_line, level_line, tall
from tests.operations.pieces import moved, named, outline


def turned(piece, degrees):
    return moved(Pattern((piece,)), turn(degrees).then(move(40.0, -30.0))).pieces[0]


def panel(name="panel", edges="a b c d", marks=()):
    """200 by 600 with names that tell nothing."""
    path = outline((0, 0), (200, 0), (200, 600), (0, 600))
    return named(path, edges, name)._replace(marks=(grain_line(60.0, 50.0, 550.0), *marks))


@pytest.mark.parametrize("make", [front, back, block, cap, lambda: tall(100.0)])
@pytest.mark.parametrize("degrees", [0.0, 30.0, 90.0, 180.0, -135.0])
def test_names_tell_however_the_piece_lies(make, degrees):
    """Down the sheet (0, 1) turned clockwise by an angle is (-sin, cos)."""
    way = math.radians(degrees)

    assert by_names(turned(make(), degrees)) == pytest.approx((-math.sin(way), math.cos(way)), abs=1e-9)


@pytest.mark.parametrize(
    "upper, lower", [("chest", "waist"), ("high-hip", "knee"), ("waistline", "hips"), ("elbow", "wrist")]
)
def test_two_levels_tell(upper, lower):
    piece = panel(marks=(level_line(upper, 200.0), level_line(lower, 400.0)))

    assert by_names(piece) == pytest.approx((0.0, 1.0))
    assert by_names(turned(piece, 180.0)) == pytest.approx((0.0, -1.0))


def test_a_hem_alone_is_at_the_bottom():
    assert by_names(panel(edges="a b hem d")) == pytest.approx((0.0, 1.0))
    assert by_names(panel(edges="hem b c d")) == pytest.approx((0.0, -1.0))


def test_names_that_say_nothing():
    """A level alone, and two levels that go by one word."""
    assert by_names(panel(marks=(level_line("waist", 200.0),))) is None
    assert by_names(panel(marks=(level_line("hip", 200.0), level_line("low-hip", 300.0)))) is None
    down = down_of(Pattern((panel(),)), panel())
    assert down.axis == pytest.approx((0.0, 1.0)) and not down.known


@pytest.mark.parametrize("degrees", [0.0, 180.0])
def test_levels_in_common_with_a_piece_that_is_known(degrees):
    marks = (level_line("one", 100.0), level_line("two", 450.0))
    known = block()._replace(name="known", marks=block().marks + marks)
    piece = turned(panel(marks=marks), degrees)

    down = down_of(Pattern((known, piece)), piece)
    assert down.known and down.axis == pytest.approx((0.0, math.cos(math.radians(degrees))), abs=1e-9)


@pytest.mark.parametrize("degrees", [0.0, 180.0])
@pytest.mark.parametrize("chained", [False, True])
def test_an_edge_sewn_to_a_piece_that_is_known(degrees, chained):
    """side runs down, and d of the panel up: sewn turned they lie side by side; b to d once more."""
    piece = turned(panel(), degrees)
    seams = parse_seams("side=panel/d,turned", "known")
    pieces = (block()._replace(name="known"), piece)
    if chained:
        pieces = (pieces[0], panel("between"), piece._replace(name="last"))
        seams = parse_seams("side=between/d,turned", "known") + parse_seams("b=last/d,turned", "between")
    down = down_of(Pattern(pieces, seams), pieces[-1])

    assert down.known and down.axis == pytest.approx((0.0, math.cos(math.radians(degrees))), abs=1e-9)


def test_an_edge_sewn_across_the_grain_tells_nothing():
    pieces = (block()._replace(name="known"), panel())
    down = down_of(Pattern(pieces, parse_seams("hem=panel/a,turned", "known")), pieces[1])

    assert not down.known


def test_a_sleeve_sewn_to_two_armholes():
    """The cap, sewn to back and front end to end, tells of a front without names of its own."""
    sleeve = cap()
    plain = front()._replace(marks=tuple(m for m in front().marks if m.kind != LEVEL))
    names = {"neck": "a", "shoulder": "b", "side": "c", "waist": "d", "centre": "e"}
    own = plain.outlines[0]
    own = own._replace(edges=tuple(e._replace(name=names.get(e.name, "f")) for e in own.edges))
    for degrees in (0.0, 180.0):
        piece = turned(plain._replace(outlines=(own,)), degrees)
        # The armhole runs down as the front half of the cap does.
        pattern = Pattern((sleeve, piece), parse_seams("cap-front=front/f", "sleeve"))
        down = down_of(pattern, piece)
        assert down.known and down.axis == pytest.approx((0.0, math.cos(math.radians(degrees))), abs=1e-9)
