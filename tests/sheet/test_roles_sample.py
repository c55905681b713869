"""The marks of the bought sample come in as those of the master that it was drawn from."""

import pathlib
from typing import NamedTuple, Tuple

import numpy as np
import pytest

from sewkit.files.pdf_read import read_pages
from sewkit.files.svg import open_drawing
from sewkit.geometry.polygon import contains
from sewkit.pattern.level_width import level_width
from sewkit.pattern.mark import DRILL, GRAIN, INNER, LABEL, LEVEL, NOTCH, Mark
from sewkit.pattern.notch import distance_from_start, spot_of
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import Piece
from sewkit.sheet.groups import group_lines
from sewkit.sheet.nest import find_pieces
from sewkit.sheet.role_across import named_across
from sewkit.sheet.roles import guess_roles
from sewkit.sheet.tiles import join_pages, one_sheet
from sewkit.sheet.whole import whole_lines
from tests.pdfs.truth import dense

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat"
PIECES = ("back", "front", "front-facing")
# The file is written to a thousandth of a millimetre.
NEAR = 0.01
# A notch may be this far from its place (mm).
NOTCH_NEAR = 0.2


class Pair(NamedTuple):
    """A piece as it came, as it was drawn, and how it lies: ``came + shift`` is as drawn."""

    came: Piece
    drawn: Piece
    shift: np.ndarray

    def marks(self, kind: str) -> Tuple[Tuple[Mark, ...], Tuple[Mark, ...]]:
        """Those of one kind that came, and that were drawn."""
        came, drawn = (
            tuple(mark for mark in piece.marks if mark.kind == kind) for piece in (self.came, self.drawn)
        )
        return came, drawn


def brought_in():
    """All stages up to the roles; test squares are pieces without a name here."""
    printed = read_pages(SAMPLE / "bought.pdf")
    sheet = one_sheet(printed, join_pages(printed))
    drawn = whole_lines(sheet)
    grouping = group_lines(drawn, sheet.words)
    pieces = find_pieces(drawn, sheet.words, grouping).pieces
    guessed = named_across([guess_roles(piece, drawn, sheet.words, grouping) for piece in pieces])
    for piece, guess in zip(pieces, guessed):
        outlines = tuple(bare_outline(one.path, one.size) for one in piece.outlines)
        yield Piece(guess.name, outlines, (), guess.marks)


@pytest.fixture(scope="module")
def pairs():
    pytest.importorskip("pypdf")
    came = {piece.name: piece for piece in brought_in()}
    drawn = {piece.name: piece for piece in open_drawing(SAMPLE / "master.svg")[0].pattern.pieces}
    found = {}
    for name in PIECES:
        corners = [dense(piece[name].outlines[0].path).min(axis=0) for piece in (drawn, came)]
        found[name] = Pair(came[name], drawn[name], corners[0] - corners[1])
    return found


def ends(mark, shift=0.0):
    """The two ends of a straight mark, the upper left one first, (2, 2)."""
    points = np.array([mark.path.start, mark.path.end]) + shift
    return points[np.lexsort((points[:, 1], points[:, 0]))]


def feet(marks, outlines, shift):
    """Where notches sit on the outlines of all their sizes: size, count, (2,) in one order."""
    found = []
    for mark in marks:
        for outline in outlines:
            if mark.size in ("", outline.size):
                spot = spot_of(outline, mark.on)
                assert spot is not None
                found.append((outline.size, mark.count, *(spot.point + shift)))
    return sorted(found)


@pytest.mark.parametrize("name", PIECES)
@pytest.mark.parametrize("kind", [NOTCH, GRAIN, LEVEL, DRILL, INNER])
def test_there_are_as_many_marks_of_each_kind_and_size(pairs, name, kind):
    came, drawn = pairs[name].marks(kind)

    assert sorted(mark.size for mark in came) == sorted(mark.size for mark in drawn)


@pytest.mark.parametrize("name", PIECES)
def test_notches_are_in_their_places_in_every_size(pairs, name):
    pair = pairs[name]
    came, drawn = pair.marks(NOTCH)

    found = feet(came, pair.came.outlines, pair.shift)
    true = feet(drawn, pair.drawn.outlines, 0.0)

    assert [one[:2] for one in found] == [one[:2] for one in true]
    assert np.array([one[2:] for one in found]) == pytest.approx(
        np.array([one[2:] for one in true]), abs=NOTCH_NEAR
    )


@pytest.mark.parametrize("name, count, names", [("back", 2, 2), ("front", 1, 3), ("front-facing", 1, 1)])
def test_notches_at_the_armhole_are_two_at_the_back_and_one_in_front(pairs, name, count, names):
    """A custom of the trade: two notches tell the back."""
    pair = pairs[name]
    came, drawn = pair.marks(NOTCH)

    assert max(mark.count for mark in came) == count
    assert len({mark.name for mark in drawn}) == names


@pytest.mark.parametrize("name", PIECES)
def test_notches_are_as_far_along_their_edges(pairs, name):
    """From the end of the edge that is nearer in the master: edges may be run the other way."""
    pair = pairs[name]
    drawn = {}
    for mark in pair.drawn.marks:
        for outline in pair.drawn.outlines if mark.kind == NOTCH else ():
            if mark.size in ("", outline.size):
                far = distance_from_start(outline, mark.on)
                whole = outline.as_sewn(mark.on.edge)
                drawn.setdefault(outline.size, []).append(min(far, whole - far))
    came = {}
    for mark in pair.came.marks:
        for outline in pair.came.outlines if mark.kind == NOTCH else ():
            if mark.size in ("", outline.size):
                far = distance_from_start(outline, mark.on)
                whole = outline.as_sewn(mark.on.edge)
                came.setdefault(outline.size, []).append(min(far, whole - far))

    assert set(came) == set(drawn)
    for size in drawn:
        assert sorted(came[size]) == pytest.approx(sorted(drawn[size]), abs=NOTCH_NEAR)


@pytest.mark.parametrize("name, wanted", [("back", 16), ("front", 16), ("front-facing", 1)])
def test_levels_have_their_names_and_places(pairs, name, wanted):
    pair = pairs[name]
    came, drawn = pair.marks(LEVEL)
    assert len(drawn) == wanted
    true = {(mark.name, mark.size): mark for mark in drawn}

    assert sorted((mark.name, mark.size) for mark in came) == sorted(true)
    for mark in came:
        meant = true[mark.name, mark.size]
        assert ends(mark, pair.shift) == pytest.approx(ends(meant), abs=NEAR), (mark.name, mark.size)


@pytest.mark.parametrize("name", PIECES)
def test_the_grain_line_is_the_longest_line_of_its_arrow(pairs, name):
    pair = pairs[name]
    (came,), (drawn,) = pair.marks(GRAIN)
    curves = came.path.curves + pair.shift
    longest = curves[np.hypot(*(curves[:, 3] - curves[:, 0]).T).argmax()]

    low, high = sorted((longest[0], longest[3]), key=lambda point: point[1])
    top, bottom = ends(drawn)
    assert [*low, *high] == pytest.approx([*top, *bottom], abs=NEAR)


def test_five_holes_for_buttons(pairs):
    pair = pairs["front"]
    came, drawn = pair.marks(DRILL)

    def middles(marks):
        return sorted(float(mark.middle[1]) for mark in marks)

    assert len(drawn) == 5
    assert middles(came) == pytest.approx([y - pair.shift[1] for y in middles(drawn)], abs=NEAR)
    assert [float(mark.middle[0]) for mark in came] == pytest.approx([815 - pair.shift[0]] * 5, abs=NEAR)


def test_the_pocket_and_the_centre_are_inner_lines(pairs):
    pair = pairs["front"]
    came, drawn = pair.marks(INNER)
    places = {mark.name: ends(mark) for mark in drawn}

    assert sorted(mark.name for mark in came) == ["centre-front", "pocket"]
    for mark in came:
        assert ends(mark, pair.shift) == pytest.approx(places[mark.name], abs=NEAR)


@pytest.mark.parametrize("size, chest", [("1", 880), ("3", 960), ("8", 1200)])
def test_what_laps_over_at_the_front_is_no_part_of_the_chest(pairs, size, chest):
    """A quarter of the body's chest and 100 mm of ease, 10 mm of the back's besides; 20 mm lap over."""
    front = level_width(pairs["front"].came, size, "chest")

    assert front.beyond == pytest.approx(20.0, abs=NEAR)
    assert front.width == pytest.approx((chest + 100.0) / 4.0 + 10.0, abs=NEAR)


@pytest.mark.parametrize("name", PIECES)
def test_the_number_of_every_size_is_a_label_of_that_size(pairs, name):
    """Numbers stand about their middle in the master, and begin at the left in the file.

    A digit of the file's typeface is 0.556 of its height wide (Helvetica's own metrics).
    """
    pair = pairs[name]
    came, drawn = pair.marks(LABEL)
    numbers = [mark for mark in drawn if mark.size]

    assert len(numbers) >= 8
    for mark in numbers:
        start = mark.path.start - pair.shift - np.array([0.556 * 3.5 / 2, 0.0])
        near = [one for one in came if np.abs(one.path.start - start).max() < NEAR]
        assert [(one.text, one.size) for one in near] == [(mark.text, mark.size)]


@pytest.mark.parametrize("name", PIECES)
def test_labels_that_serve_all_sizes_lie_on_the_piece(pairs, name):
    pair = pairs[name]
    came, _ = pair.marks(LABEL)
    texts = [mark for mark in came if not mark.size]

    inside = contains(pair.came.outlines[-1].path, np.array([mark.path.start for mark in texts]))
    assert texts and inside.all()


def test_every_guess_tells_how_sure_it_is(pairs):
    for pair in pairs.values():
        for mark in pair.came.marks:
            assert (mark.guess == 0.0) == (mark.kind == LABEL)
            assert 0.0 <= mark.guess < 1.0
