"""Dots and drill holes: places worked by hand, twins where they are sewn, removed and renamed."""

import pathlib

import numpy as np
import pytest

from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.operations.dot import dot
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedNode, PickedOutline
from sewkit.pattern.mark import DOT, DRILL, INNER, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef, Seam
from tests.operations.pieces import level, named, r1

MASTER = pathlib.Path(__file__).parents[2] / "samples" / "waistcoat" / "master.svg"


def box(name="front", x=0.0, high=400.0, marks=()):
    spots = [(x, 0), (x + 200, 0), (x + 200, high), (x, high)]
    return named(Path.through(spots, closed=True), "neck side hem centre", name, marks=tuple(marks))


def spots(piece, kind=DOT):
    return {mark.name: tuple(mark.middle.round(6)) for mark in piece.marks if mark.kind == kind}


def test_at_places_along_an_edge_and_so_far_inside_it():
    """The side is x = 200; 100 mm and a quarter of 400 mm below its upper end, 8 mm inside."""
    piece = dot(Pattern((box(),)), edge="side", at="60 25%", inside=8, called="pocket").pattern.pieces[0]
    assert spots(piece) == {"pocket-1": (192.0, 60.0), "pocket-2": (192.0, 100.0)}
    (first, _) = [mark for mark in piece.marks if mark.kind == DOT]
    assert len(first.path) == 4 and np.ptp(first.path.nodes[:, 0]) == pytest.approx(4.0)


def test_at_a_level_and_so_far_from_the_centre():
    """The centre is x = 0, so 30 mm from it at the waist and 20 mm below: (30, 270)."""
    piece = box(marks=[level("waist", 250.0)])
    done = dot(Pattern((piece,)), kind="drill", level="waist+20mm", across=30).pattern.pieces[0]
    assert spots(done, DRILL) == {"drill-1": (30.0, 270.0)}
    (mark,) = [mark for mark in done.marks if mark.kind == DRILL]
    assert len(mark.path) == 8  # a ring and its cross


def test_on_the_ends_and_corners_of_a_line_drawn_on_the_piece():
    """A pocket's mouth drawn from right to left, and a patch of 60 by 80: 3 mm from its corners."""
    mouth = Mark(INNER, "pocket", "", Path.through([(150.0, 200.0), (50.0, 200.0)]), key="k1")
    corners = [(60.0, 220.0), (120.0, 220.0), (120.0, 300.0), (60.0, 300.0)]
    patch = Mark(INNER, "", "", Path.through(corners, closed=True), key="k2")
    pattern = Pattern((box(marks=[mouth, patch]),))

    def made(chosen=EVERYTHING, **values):
        return list(spots(dot(pattern, chosen, **values).pattern.pieces[0]).values())

    assert made(edge="pocket") == [(50.0, 200.0), (150.0, 200.0)]
    assert made(edge="pocket", at="end", inside=3) == [(147.0, 200.0)]
    assert made(edge="pocket", at="start 40% 70mm") == [(50.0, 200.0), (90.0, 200.0), (120.0, 200.0)]
    # The line without a name is the one that was picked; half way between the arms of a right angle.
    picked = Chosen((PickedOutline("front", ""),), marks=("k2",))
    off = 3 / 2**0.5
    signs = [(1, 1), (-1, 1), (-1, -1), (1, -1)]
    wanted = [(x + a * off, y + b * off) for (x, y), (a, b) in zip(corners, signs)]
    assert np.array(made(picked, inside=3)) == pytest.approx(np.array(wanted), abs=1e-5)
    for values, words in [
        ({"edge": "pouch"}, "The lines are: pocket"),
        ({"edge": "pocket", "at": "200"}, "100.0 mm long"),
        ({"edge": "pocket", "at": "50%", "inside": 3.0}, "only its ends"),
        ({"edge": "pocket", "at": "nowhere"}, "no place on the line"),
    ]:
        with pytest.raises(InputError) as told:
            made(**values)
        assert words in str(told.value)


def test_short_of_a_dart():
    """So far from the point, as near to one leg as to the other."""
    piece = r1()
    done = dot(Pattern((piece,)), kind="drill", dart="dart", short=12.7).pattern.pieces[0]
    (name, spot) = next(iter(spots(done, DRILL).items()))
    legs = piece.outlines[0].runs("dart")
    point = legs[0].end
    assert name == "dart-point" and np.hypot(*(spot - point)) == pytest.approx(12.7)
    ways = [(leg - point) / np.hypot(*(leg - point)) for leg in (legs[0].start, legs[1].end)]
    assert ways[0] @ (spot - point) == pytest.approx(ways[1] @ (spot - point), abs=1e-5)


def test_the_twin_lies_where_the_edges_meet_when_sewn():
    """The back's side runs up, the front's down: both 100 mm down, 8 mm inside their edge."""
    back = box("back", 300.0)
    seam = Seam((EdgeRef("front", "side"),), (EdgeRef("back", "centre", True),))
    pattern = Pattern((box(), back), (seam,))
    picked = Chosen((PickedOutline("front", ""),))
    done = dot(pattern, picked, edge="side", at="100", inside=8).pattern
    assert spots(done.piece("front")) == {"dot-1": (192.0, 100.0)}
    assert spots(done.piece("back")) == {"dot-1": (308.0, 100.0)}
    assert not spots(dot(pattern, picked, edge="side", at="100", partner=False).pattern.piece("back"))


def test_on_a_selected_node():
    chosen = Chosen((PickedOutline("front", ""),), (PickedNode("front", "", (200.0, 0.0)),))
    assert spots(dot(Pattern((box(),)), chosen).pattern.pieces[0]) == {"dot-1": (200.0, 0.0)}


def test_one_mark_is_replaced_renamed_and_taken_away():
    once = dot(Pattern((box(),)), edge="side", at="60", called="stop").pattern
    twice = dot(once, edge="side", at="90", called="stop").pattern
    assert spots(twice.pieces[0]) == {"stop": (200.0, 90.0)}
    named_ = dot(twice, action="rename", called="stop", new="zip-stop").pattern
    assert spots(named_.pieces[0]) == {"zip-stop": (200.0, 90.0)}
    assert spots(dot(named_, action="remove", called="zip-stop").pattern.pieces[0]) == {}


def test_a_nest_through_the_command(tmp_path):
    """Each size has its own place on its own side; what is read back is what was put there."""
    target = tmp_path / "out.svg"
    assert (
        main(
            ["dot", str(MASTER), "-o", str(target), "--piece=front", "--edge=side", "--at=40%", "--inside=8"]
        )
        == 0
    )
    piece = open_drawing(str(target))[0].pattern.piece("front")
    assert sorted(mark.size for mark in piece.marks if mark.kind == DOT) == sorted(piece.sizes)


def test_what_cannot_be_put_is_told():
    pattern = Pattern((box(),))
    told = dot(pattern, edge="side", at="100", inside=300).report
    assert [one.code for one in told.findings] == ["mark-outside"]
    for values, words in [
        ({}, "not said where"),
        ({"edge": "side", "level": "waist"}, "Several places"),
        ({"edge": "waist"}, "No piece that is meant"),
        ({"edge": "side", "at": "9999"}, "is not on the edge"),
        ({"action": "remove", "called": "x"}, "No dot is meant"),
    ]:
        with pytest.raises(InputError, match=words):
            dot(pattern, **values)
    with pytest.raises(InputError, match="mm deep"):
        dot(Pattern((r1(),)), dart="dart", short=200)
