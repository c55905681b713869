"""What a piece keeps of its allowance: the next cut line is turned as the first one was.

The judge is the same call on a piece that was drawn as the changed one is.
"""

import io

import pytest

from sewkit.errors import InputError
from sewkit.files.svg import Drawing, open_drawing
from sewkit.geometry.corner import Style
from sewkit.operations.allowance import allowance
from sewkit.operations.lengthen import lengthen
from sewkit.pattern.pattern import Pattern
from tests.files.sheets import front, opened, root_of
from tests.operations.pieces import level, named, outline

ASKED = [{"corners": "blunt"}, {"corners": "square"}, {"mitre_limit": 7.0}]


def wedge(low):
    """A long point of 2 atan(50/300) = 18.9 degrees: extended it is 6.08 widths long."""
    path = outline((0, 0), (97, 0), (100, low), (50, low + 300), (0, low))
    return Pattern((named(path, "top right left", "tie", marks=(level("waist", 50.0),)),))


def cut(pattern):
    return pattern.piece("tie").cut_line("").path


@pytest.mark.parametrize("asked", ASKED)
def test_a_later_change_turns_the_corners_as_they_were_asked_for(asked):
    asked = dict(asked, width=12.0)
    after = lengthen(allowance(wedge(100.0), **asked).pattern, amount=20.0, at="waist").pattern
    anew = allowance(lengthen(wedge(100.0), amount=20.0, at="waist").pattern, **asked).pattern
    usual = allowance(lengthen(wedge(100.0), amount=20.0, at="waist").pattern, width=12.0).pattern

    assert cut(after) == cut(anew)
    assert cut(after) != cut(usual)


def test_what_is_kept_counts_until_something_else_is_asked_for():
    blunt = allowance(wedge(100.0), corners="blunt", mitre_limit=7.0).pattern
    again = allowance(blunt, width=15.0).pattern
    other = allowance(blunt, width=15.0, corners="auto", mitre_limit=2.5).pattern

    assert cut(again) == cut(allowance(wedge(100.0), width=15.0, corners="blunt", mitre_limit=7.0).pattern)
    assert cut(other) == cut(allowance(wedge(100.0), width=15.0).pattern)


def test_a_point_shorter_than_a_width_is_refused():
    with pytest.raises(InputError) as told:
        allowance(wedge(100.0), mitre_limit=0.5)
    assert told.value.code == "value" and "0.5" in str(told.value)


# -- through the file ---------------------------------------------------------------------


def reread(drawing):
    return open_drawing(io.BytesIO(drawing.as_bytes()))[0]


def test_the_file_keeps_the_corners_and_the_longest_point():
    drawing, _ = opened(front())
    drawing.put(allowance(drawing.pattern, corners="blunt", mitre_limit=7.0).pattern)
    kept = reread(drawing)
    assert (kept.pattern.piece("front").other_corners, kept.pattern.piece("front").mitre_limit) == (
        Style.BLUNT,
        7.0,
    )

    kept.put(allowance(kept.pattern, corners="auto", mitre_limit=2.5).pattern)
    usual = reread(kept)
    assert (usual.pattern.piece("front").other_corners, usual.pattern.piece("front").mitre_limit) == (
        None,
        2.5,
    )
    assert b"other-corners" not in usual.as_bytes() and b"mitre-limit" not in usual.as_bytes()


@pytest.mark.parametrize(
    "text", ['sewkit:other-corners="odd"', 'sewkit:mitre-limit="x"', 'sewkit:mitre-limit="0.2"']
)
def test_what_is_no_corner_is_told(text):
    drawing = Drawing(root_of(front(group=text)).getroottree())

    assert [problem.code for problem in drawing.pattern.problems] == ["corner"]
