"""Where a swing begins and ends: in words, by nodes, along the edge and along the grain."""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import (
    band_of,
    begins_at_end,
    grain_axis,
    offsets,
    runs_across,
    shifted_band,
    span_by_nodes,
    span_in_words,
    window_at,
)
from sewkit.pattern.swing import Band, Window
from tests.operations.pieces import level, named_outline

NAMES = "waist side hem centre"
DOWN = (0.0, 1.0)


def panel(flare=0.0, size="4", length=500.0):
    """A panel whose side, 500 mm high, leans out by so much."""
    path = Path.through([(0, 0), (200, 0), (200 + flare, length), (0, length)], closed=True)
    return named_outline(path, NAMES, size)


def words(custom="long", lead=50.0, until="", from_end=False, axis=None, marks=(), flare=0.0):
    return span_in_words(panel(flare), marks, "side", from_end, custom, lead, until, axis)


@pytest.mark.parametrize(
    ("values", "window"),
    [
        ({}, (50.0, 500.0)),
        ({"until": "200mm"}, (50.0, 200.0)),
        ({"until": "20cm", "custom": "short"}, (150.0, 200.0)),
        ({"until": "hips", "marks": (level("hips", 180.0),)}, (50.0, 180.0)),
        ({"until": "hips", "marks": (level("hips", 180.0),), "from_end": True}, (50.0, 320.0)),
        ({"until": "hips", "marks": (level("hips", 180.0),), "custom": "short", "lead": 180.0}, (0.0, 180.0)),
        # A level and so far beyond it, always away from the meeting end.
        ({"until": "waist+80mm", "marks": (level("waist", 100.0),)}, (50.0, 180.0)),
        ({"until": "waist-2cm", "marks": (level("waist", 100.0),)}, (50.0, 80.0)),
        ({"until": "waist+80mm", "marks": (level("waist", 100.0),), "from_end": True}, (50.0, 480.0)),
    ],
)
def test_the_window_in_words(values, window):
    span = words(**values)

    assert (span.window.start, span.window.stop) == pytest.approx(window)
    assert span.level == ("hips" if values.get("until") == "hips" else "")


def test_along_the_grain_lengths_are_heights():
    """A side leaning 3 : 4 is 5/4 times as long as it is high."""
    span = words(until="200mm", axis=DOWN, flare=375.0)

    assert (span.window.start, span.window.stop) == pytest.approx((62.5, 250.0))
    short = words(custom="short", lead=40.0, until="200mm", axis=DOWN, flare=375.0)
    assert (short.window.start, short.window.stop) == pytest.approx((200.0, 250.0))


def test_heights_and_distances_belong_together():
    outline = panel(375.0)

    assert offsets(outline, "side", Window(125.0, 250.0), DOWN) == pytest.approx((100.0, 200.0))
    assert offsets(outline, "side", Window(125.0, 250.0, True), DOWN) == pytest.approx((100.0, 200.0))
    for from_end in (False, True):
        found = window_at(outline, "side", from_end, (100.0, 200.0), DOWN)
        assert found == Window(pytest.approx(125.0), pytest.approx(250.0), from_end)
    assert window_at(outline, "side", False, (100.0, 900.0), DOWN).stop == pytest.approx(625.0)


@pytest.mark.parametrize(
    ("values", "text"),
    [
        ({"lead": 500.0}, "no room"),
        ({"lead": 60.0, "until": "62mm"}, "no room"),
        ({"custom": "short", "lead": 300.0, "until": "200mm"}, "no room"),
        ({"until": "bust"}, "no level called 'bust'"),
        ({"until": "501mm"}, "not on the edge"),
        ({"until": "-3mm"}, "not on the edge"),
        ({"until": "hips", "marks": (level("hips", 900.0),)}, "does not cross"),
    ],
)
@pytest.mark.parametrize("axis", [None, DOWN])
def test_what_has_no_room_is_told(values, text, axis):
    with pytest.raises(InputError, match=text):
        words(axis=axis, **values)


def test_the_upper_end_is_the_meeting_end():
    path = panel().path

    assert not begins_at_end(panel(), "side", DOWN)
    assert begins_at_end(panel(), "centre", DOWN)
    assert begins_at_end(named_outline(path.reverse(), "centre hem side waist"), "side", DOWN)


def test_the_grain_points_down_the_sheet_whichever_way_it_is_drawn():
    for points in ([(50, 10), (50, 90)], [(50, 90), (50, 10)]):
        piece = Piece("front", (panel(),), marks=(Mark(GRAIN, path=Path.through(points)),))
        assert grain_axis(piece, "4") == pytest.approx(DOWN)
    slanting = Piece("front", (panel(),), marks=(Mark(GRAIN, path=Path.through([(0, 0), (30, 40)])),))
    assert grain_axis(slanting, "4") == pytest.approx((0.6, 0.8))
    assert grain_axis(Piece("front", (panel(),)), "4") == DOWN


def test_two_nodes_of_either_line_make_a_window():
    first, second = panel(), panel(0.0, "6", 600.0)

    def spot(*place):
        return np.array(place, float)

    down = span_by_nodes(first, second, [("first", spot(200, 0)), ("first", spot(200, 500))])
    up = span_by_nodes(first, second, [("first", spot(200, 500)), ("first", spot(200, 0))])
    # 600 mm down the second line are its end, so the end of the first.
    other = span_by_nodes(first, second, [("first", spot(200, 0)), ("second", spot(200, 600))])

    for (name, window), from_end in ((down, False), (up, True), (other, False)):
        assert name == "side"
        assert window == Window(pytest.approx(0.0, abs=1e-9), pytest.approx(500.0), from_end)


def test_an_edge_across_the_grain_gets_a_band_along_itself():
    assert runs_across(panel(), "waist", DOWN)
    assert not runs_across(panel(), "side", DOWN)
    band = band_of(panel(), "waist", Window(20.0, 120.0), DOWN)
    assert band == Band((1.0, 0.0), pytest.approx(20.0), pytest.approx(120.0))
    # A shoulder of 20 degrees runs across, a side of 60 degrees along.
    for degrees, across in ((20, True), (60, False)):
        x, y = 100 * math.cos(math.radians(degrees)), 100 * math.sin(math.radians(degrees))
        path = Path.through([(0, 0), (x, y), (x, y + 200), (0, y + 200)], closed=True)
        assert runs_across(named_outline(path, "a b c d"), "a", DOWN) == across


def test_a_band_runs_from_the_first_size_to_the_second():
    for from_end, axis, start, stop in ((False, DOWN, 50.0, 200.0), (True, (0.0, -1.0), -450.0, -300.0)):
        band = band_of(panel(), "side", Window(50.0, 200.0, from_end), DOWN)
        assert band == Band(axis, pytest.approx(start), pytest.approx(stop))


def piece(name, marks, way=None):
    way = way or turn(0.0)
    return Piece(
        name,
        (panel()._replace(path=way.path(panel().path)),),
        marks=tuple(m._replace(path=way.path(m.path)) for m in marks),
    )


@pytest.mark.parametrize("lift", [0.0, 130.0])
def test_a_band_is_carried_over_by_a_level_in_common(lift):
    here = piece("front", (level("waist", 100.0),))
    there = piece("facing", (level("waist", 100.0),), move(300.0, lift))

    assert shifted_band(Band(DOWN, 50.0, 200.0), here, there, "4", "") == Band(
        DOWN, 50.0 + lift, 200.0 + lift
    )


def test_two_levels_tell_that_a_piece_lies_upside_down():
    marks = (level("waist", 100.0), level("hips", 300.0))
    band = shifted_band(
        Band(DOWN, 50.0, 200.0), piece("front", marks), piece("facing", marks, turn(180.0)), "4", "waist"
    )

    # On the sheet what was at y lies at -y: above the waist is now below it.
    assert band.weight(np.array([0.0, -40.0])) == 0.0
    assert band.weight(np.array([0.0, -210.0])) == 1.0
    assert band.weight(np.array([0.0, -125.0])) == pytest.approx(0.5)


def test_without_a_level_in_common_nothing_is_guessed():
    with pytest.raises(InputError, match="no level line in common"):
        shifted_band(
            Band(DOWN, 50.0, 200.0), piece("front", (level("waist", 100.0),)), piece("facing", ()), "4", ""
        )


def test_a_place_beyond_a_level_is_on_the_edge_or_refused():
    with pytest.raises(InputError, match=r"does not reach waist\+450mm"):
        words(until="waist+450mm", marks=(level("waist", 100.0),))
    with pytest.raises(InputError, match="no level called 'hips\\+80mm'"):
        words(until="hips+80mm", marks=(level("waist", 100.0),))
