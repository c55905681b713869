"""What slash and spread refuses and tells: lines that do not fit, darts, two edges, how far it can go.

Pieces are blocks and the reference front, so every limit and length has a closed form.
"""

import math
import re

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.spread import spread
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Level
from tests.operations.length_pieces import (
    TABLE,
    bare_path,
    bare_with,
    block,
    codes,
    darted_front,
    edge_ruler,
    front,
    nest,
    picked,
    ruler,
    same,
    texts,
)

DOWN = [(125.0, 600.0), (125.0, 0.0)]
FLARE = {"edge": "hem", "hinge": "waist", "slashes": 4, "amount": 30.0}
SHOULDER = {"edge": "shoulder", "hinge": "armhole", "slashes": 1}


def alone(piece):
    return Pattern((piece,))


def drawn_over(piece, *drawn):
    """A named piece and lines drawn over it, all of them picked."""
    lines = []
    for number, points in enumerate(drawn):
        key = "line-{}".format(number + 1)
        made = Outline("", Path.through(points), (Edge("1", 0, len(points) - 1),), key)
        lines.append(Piece(key, (made,), named=False))
    return Pattern((piece, *lines)), picked((piece.name, ""), *((line.name, "") for line in lines))


def refused(pattern, chosen=None, **values):
    with pytest.raises(InputError) as told:
        spread(pattern, chosen or Chosen(), **values)
    assert told.value.what.endswith(".") and told.value.cure.endswith(".")
    return told.value.code, str(told.value)


def finding(outcome, code):
    (found,) = [one for one in outcome.report.findings if one.code == code]
    return found


# -- beside a drawn line -----------------------------------------------------------------


@pytest.mark.parametrize("values", [{"edge": "hemm"}, {"hinge": "hemm"}])
def test_an_edge_that_is_not_there_is_refused_beside_a_drawn_line_too(values):
    code, text = refused(*drawn_over(block(), DOWN), **values)

    assert code == "name" and "'hemm'" in text and "waist" in text


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"edge": "side"}, "from 'hem' to 'waist', so it does not open 'side'"),
        ({"hinge": "centre"}, "from 'hem' to 'waist', so its hinge is not on 'centre'"),
        ({"edge": "hem", "hinge": "side"}, "from 'hem' to 'waist', so its hinge is not on 'side'"),
    ],
)
def test_a_drawn_line_that_does_not_fit_the_named_edge_is_refused(values, words):
    code, text = refused(*drawn_over(block(), DOWN), **values)

    assert code == "line" and "'panel'" in text and words in text


@pytest.mark.parametrize("values", [{"edge": "hem"}, {"hinge": "waist"}, {"edge": "hem", "hinge": "waist"}])
@pytest.mark.parametrize("way_round", [1, -1])
def test_a_named_edge_that_fits_opens_whichever_way_the_line_was_drawn(values, way_round):
    outcome = spread(*drawn_over(block(), DOWN[::way_round]), amount=30.0, **values)
    line = outcome.pattern.piece("panel").outline("")

    assert edge_ruler(line, "waist") == pytest.approx(250.0, abs=1e-6)
    assert edge_ruler(line, "hem") == pytest.approx(250.0 + 1200.0 * math.asin(30.0 / 1200.0), abs=TABLE)


@pytest.mark.parametrize("values", [{"at": "120"}, {"hinge_at": "40%"}])
def test_a_place_beside_a_drawn_line_is_refused(values):
    code, text = refused(*drawn_over(block(), DOWN), **values)

    assert code == "choice" and next(iter(values.values())) in text


@pytest.mark.parametrize("slashes", [0, 1, 2])
def test_there_are_as_many_slashes_as_drawn(slashes):
    """0 leaves it open and 1 is what nobody said: both are the two that are drawn."""
    lines = [[(80.0, 600.0), (80.0, 0.0)], [(160.0, 600.0), (160.0, 0.0)]]
    outcome = spread(*bare_with(block().outline("").path, *lines), slashes=slashes, amount=30.0)

    assert ruler(bare_path(outcome)) == pytest.approx(1700.0 + 2 * 1200 * math.asin(30.0 / 1200), abs=TABLE)


def test_another_number_of_slashes_than_drawn_or_named_is_refused():
    code, text = refused(*drawn_over(block(), DOWN), slashes=3)
    assert code == "value" and "3 slashes" in text and "1 is drawn" in text
    code, text = refused(alone(block()), edge="hem", hinge="waist", at="60 120", slashes=3)
    assert code == "value" and "3 slashes" in text and "2 are named" in text


def test_places_leave_the_number_open_too():
    values = {"edge": "hem", "hinge": "waist", "at": "60 120"}

    assert spread(alone(block()), slashes=0, **values) == spread(alone(block()), **values)


def test_a_bent_line_is_told():
    """It strays 40 mm from the straight line between its ends; the slash is that straight line."""
    bent = [DOWN[0], (165.0, 300.0), DOWN[1]]
    path = block().outline("").path
    straight, outcome = spread(*bare_with(path, DOWN)), spread(*bare_with(path, bent))

    assert same(bare_path(straight), bare_path(outcome))
    assert (
        "40.0 mm" in finding(outcome, "line-bent").text and "straight" in finding(outcome, "line-bent").text
    )
    assert "line-bent" not in codes(straight)


def test_a_line_that_wavers_like_any_hand_is_not_told():
    wavering = [DOWN[0], (125.9, 300.0), DOWN[1]]

    assert "line-bent" not in codes(spread(*bare_with(block().outline("").path, wavering)))


def test_a_bent_line_over_a_nest_is_told_once():
    bent = [(100.0, 620.0), (140.0, 300.0), (100.0, -10.0)]
    nested, chosen = drawn_over(nest(), bent)
    outcome = spread(
        nested, chosen._replace(outlines=picked(("skirt", "4"), ("skirt", "6"), ("line-1", "")).outlines)
    )

    assert "'skirt'" in finding(outcome, "line-bent").text and len(outcome.report.tables[0].rows) == 2


# -- twice the same, darts, two edges ----------------------------------------------------


@pytest.mark.parametrize("second", [DOWN, DOWN[::-1]])
def test_a_line_drawn_twice_is_told_as_that(second):
    code, text = refused(*drawn_over(block(), DOWN, second))

    assert code == "line" and "twice" in text and "cross" not in text and "125 mm" in text
    assert "Leave one of the two out." in text


def test_a_place_named_twice_is_told_where_it_was_named():
    """Places on the hem count from its left end, and so does the sentence."""
    code, text = refused(alone(block()), edge="hem", hinge="waist", at="60 60")

    assert code == "line" and "twice" in text and "60 mm from the left end of 'hem'" in text


@pytest.mark.parametrize("values", [{"edge": "dart", "hinge": "neck"}, {"edge": "neck", "hinge": "dart"}])
def test_the_leg_of_a_dart_neither_opens_nor_is_the_hinge(values):
    code, text = refused(alone(darted_front()), **values)

    assert code == "dart" and "'dart'" in text and "'front'" in text and "leg" in text


@pytest.mark.parametrize("way_round", [1, -1])
def test_a_line_drawn_to_the_leg_of_a_dart_is_refused(way_round):
    piece = darted_front()
    leg = piece.outline("").runs("dart")[0]
    spot = tuple((leg.start + leg.end) / 2.0)
    code, text = refused(*drawn_over(piece, [(0.0, 200.0), spot][::way_round]))

    assert code == "dart" and "'dart'" in text


def test_a_total_of_two_edges_is_refused():
    lines = [DOWN, [(250.0, 300.0), (0.0, 300.0)]]
    corner = [[(60.0, 600.0), (0.0, 300.0)], [(250.0, 300.0), (190.0, 0.0)]]
    code, text = refused(*drawn_over(block(), *corner), ask="total", amount=20.0)
    assert code == "choice" and "'hem' and 'side'" in text and "one edge" in text
    assert "cross" in refused(*drawn_over(block(), *lines), amount=20.0)[1]

    outcome = spread(*drawn_over(block(), *corner), amount=20.0)
    assert {"hem", "side"} <= set(re.findall(r"\w+", outcome.report.summary))


# -- how far it can go -------------------------------------------------------------------


def test_the_widest_opening_of_one_slash_is_told():
    """A right angle at most: the chord of 90 degrees on a slash of 100 mm is 141.42."""
    wide = alone(block(250.0, 100.0))
    code, text = refused(wide, **dict(FLARE, slashes=1, amount=300.0))

    assert code == "fold-over" and "125 mm from the left end of 'hem', 100 mm long" in text
    assert "The most that works is 141.4 mm for each slash." in text
    spread(wide, **dict(FLARE, slashes=1, amount=141.4))


@pytest.mark.parametrize(
    ("values", "unit", "words"),
    [
        ({"amount": 840.0}, "mm for each slash", "would run across"),
        ({"slashes": 1, "amount": -200.0}, "mm for each slash", "'hem'"),
        ({"ask": "total", "amount": -260.0}, "mm in all", "'hem' is 250.0 mm long"),
        ({"ask": "angle", "angle": 85.0}, "degrees for each slash", "would run across"),
    ],
)
def test_the_most_that_is_told_works_and_a_little_more_does_not(values, unit, words):
    asked = dict(FLARE, **values)
    _, text = refused(alone(block()), **asked)
    found = re.search(r"The most that works is (-?\d+\.\d) " + unit, text)
    key = "angle" if asked.get("ask") == "angle" else "amount"
    most = float(found.group(1))

    assert words in text and most * asked[key] > 0
    spread(alone(block()), **dict(asked, **{key: most}))
    more = most + math.copysign(0.3, most)
    assert refused(alone(block()), **dict(asked, **{key: more}))[0] in ("fold-over", "overlap")


def test_the_size_that_cannot_follow_is_named():
    piece = block(250.0, 100.0)
    outlines = tuple(piece.outline("")._replace(size=size) for size in "46")
    _, text = refused(alone(piece._replace(outlines=outlines)), **dict(FLARE, slashes=1, amount=300.0))

    assert "'panel' in size 4" in text


# -- what is told ------------------------------------------------------------------------


@pytest.mark.parametrize(("degrees", "level"), [(14.9, Level.INFO), (15.1, Level.WARN), (-15.1, Level.WARN)])
def test_a_strong_lean_is_something_to_look_at(degrees, level):
    """One slash turns everything beyond it by its angle."""
    outcome = spread(alone(block(900.0)), **dict(FLARE, slashes=1, ask="angle", angle=degrees))
    told = finding(outcome, "grain-leans")

    assert told.level is level
    assert "{:.1f} degrees".format(abs(degrees)) in told.text and ("15 " in told.text) == (
        level is Level.WARN
    )


@pytest.mark.parametrize(("redraw", "why"), [("soft", "soft curve"), ("straight", "straight line")])
def test_an_edge_that_lost_less_than_was_lapped_says_why(redraw, why):
    """The slash lies aslant to the shoulder: 8 mm lapped do not take 8 mm off; the total does."""
    outcome = spread(alone(front()), amount=-8.0, redraw=redraw, **SHOULDER)
    was, now = (
        edge_ruler(p.piece("front").outline(""), "shoulder") for p in (alone(front()), outcome.pattern)
    )
    told = finding(outcome, "not-as-opened").text

    assert "{:.1f} mm shorter".format(was - now) in told and "not 8.0 mm" in told and why in told
    assert "total" in told and "exactly 8.0 mm" in told
    exact = spread(alone(front()), amount=-8.0, redraw=redraw, ask="total", **SHOULDER)
    assert edge_ruler(exact.pattern.piece("front").outline(""), "shoulder") == pytest.approx(
        was - 8.0, abs=TABLE
    )
    assert "not-as-opened" not in codes(exact)


def test_a_flared_hem_that_gained_what_was_opened_needs_no_word():
    """Four arcs over chords of 30 mm on 600 mm gain 0.01 mm more."""
    assert "not-as-opened" not in codes(spread(alone(block()), **FLARE))


def test_a_wide_gap_is_longer_along_the_arc_and_that_is_told():
    """The arc over a chord of 300 on 600 mm: 1200 asin(1/4) = 303.2."""
    outcome = spread(alone(block()), **dict(FLARE, slashes=1, amount=300.0))

    assert 1200 * math.asin(0.25) == pytest.approx(303.2, abs=0.05)
    assert "303.2 mm longer and not 300.0 mm" in finding(outcome, "not-as-opened").text


def test_edges_without_names_are_told_by_their_side():
    outcome = spread(*bare_with(block().outline("").path, DOWN), amount=50.0)

    assert outcome.report.summary.startswith("The lower edge (3) of 'shape' is ")
    assert outcome.report.summary.endswith("Nothing changed at the upper edge (1).")
    assert [change.text.split(":")[0] for change in outcome.report.changes] == ["lower edge (3)"]
    assert "edge 3" not in texts(outcome) and np.isfinite(outcome.report.changes[0].point).all()


@pytest.mark.parametrize(("chosen", "told"), [(picked(("skirt", "4")), True), (Chosen(), False)])
def test_marks_for_all_sizes_that_stay_are_told(chosen, told):
    """The grain line of the nest serves both sizes."""
    outcome = spread(Pattern((nest(),)), chosen, edge="hem", hinge="waist", slashes=1, amount=20.0)

    assert ("marks-stayed" in codes(outcome)) == told
