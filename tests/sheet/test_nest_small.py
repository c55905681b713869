"""Small closed shapes: which of them are pieces, and that none is lost without a word."""

import pytest

from sewkit.geometry.path import Path
from sewkit.report import Level
from sewkit.sheet.drawn import Style
from sewkit.sheet.groups import group_lines, with_sizes
from sewkit.sheet.nest import find_pieces
from tests.pdfs.scene import circle
from tests.sheet.nests import THIN, say, style, whole

LOOKS = [style(number, "colours") for number in range(3)]
PEN = Style("#000000", 0.35)


def box(x, y, width, height):
    return Path.through([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], closed=True)


def nest(x, y, width, height, step):
    """A rectangle in three sizes, each larger by ``step`` on every side."""
    grown = [step * number for number in range(3)]
    return [whole(box(x - g, y - g, width + 2 * g, height + 2 * g), look) for g, look in zip(grown, LOOKS)]


FRONT = nest(80, 80, 150, 220, 6)


def found_in(lines, words=(), **answers):
    grouping = group_lines(lines, words)
    return find_pieces(lines, words, with_sizes(grouping, answers) if answers else grouping)


def extents(found):
    """Width and height of the largest outline of each piece, to the millimetre."""
    boxes = [piece.box for piece in found.pieces]
    return sorted((round(b[2] - b[0]), round(b[3] - b[1])) for b in boxes)


def left_out(found):
    return [finding for finding in found.findings if finding.code == "small-shape"]


@pytest.mark.parametrize("width, height", [(30, 20), (35, 35), (60, 12), (20, 6)])
def test_a_small_piece_in_several_sizes_is_a_piece(width, height):
    found = found_in([*FRONT, *nest(400, 80, width, height, 1)])

    # The largest of three sizes is 2 mm wider on every side; the front is 150 + 24 by 220 + 24.
    assert extents(found) == sorted([(width + 4, height + 4), (174, 244)])
    assert [len(piece.outlines) for piece in found.pieces] == [3, 3]
    assert left_out(found) == []


@pytest.mark.parametrize("width, height", [(30, 20), (35, 35), (60, 12)])
def test_a_small_shape_outside_all_pieces_is_a_piece_of_one_size(width, height):
    found = found_in([whole(box(80, 80, 150, 220), PEN), whole(box(400, 80, width, height), PEN)])

    assert extents(found) == sorted([(width, height), (150, 220)])


def test_small_shapes_in_a_piece_and_letters_beside_it_are_no_pieces_and_not_told():
    inner = [whole(circle((120, 120), 7), PEN), whole(box(140, 200, 30, 20), PEN)]
    letters = [whole(box(400 + 15 * n, 80, 11, 11), PEN) for n in range(6)]

    found = found_in([whole(box(80, 80, 150, 220), PEN), *inner, *letters])

    assert extents(found) == [(150, 220)]
    assert left_out(found) == []


def test_shapes_that_come_again_and_again_are_told_and_are_no_pieces():
    marks = [whole(box(400, 80 + 50 * n, 24, 18), PEN) for n in range(5)]

    found = found_in([whole(box(80, 80, 150, 220), PEN), *marks])

    assert extents(found) == [(150, 220)]
    told = left_out(found)
    assert [one.level for one in told] == [Level.WARN] * 3
    assert told[0].text.startswith("A closed shape of 24 x 18 mm was left out here.")
    assert told[0].point == (412, 89)
    assert told[-1].text.endswith(" 2 smaller ones were left out elsewhere.")


def test_samples_in_the_colour_of_each_size_are_no_pieces():
    samples = [whole(box(400, 80 + 40 * n, 30, 15), look) for n, look in enumerate(LOOKS)]

    assert extents(found_in([*FRONT, *samples])) == [(174, 244)]


def test_a_shape_of_no_size_is_told_with_its_group_and_comes_in_as_that_says():
    lines = [*FRONT, whole(box(400, 80, 30, 20), THIN)]
    words = [say("Tab", 405, 92)]
    (group,) = [one for one in group_lines(lines, words).groups if 3 in one.lines]
    found = found_in(lines, words, **{group.key: "-"})

    (told,) = left_out(found)
    assert "A closed shape of 30 x 20 mm" in told.text
    assert "(group {})".format(group.key) in told.text
    for size in ("all", "99"):
        brought = found_in(lines, words, **{group.key: size})
        assert extents(brought) == [(30, 20), (174, 244)]
        assert left_out(brought) == []
