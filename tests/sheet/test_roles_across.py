"""Lines without a word that lie at the height of a level of the pieces beside them."""

import numpy as np
import pytest

from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import INNER, LEVEL
from sewkit.sheet.role_across import named_across
from tests.sheet.found import box, laid, line, moved, of_kind, words

SIZES = ("36", "38", "40")


def grain(x, degrees=0.0):
    arrow = [
        line((x, 40), (x, 140)),
        line((x - 3, 48), (x, 40), (x + 3, 48)),
        line((x - 3, 132), (x, 140), (x + 3, 132)),
    ]
    return [turn(degrees, (x, 90)).path(one) for one in arrow]


def piece(x, levels=(), bare=(), sizes=SIZES, lean=0.0):
    """A piece at ``x``; levels: name and height of each size; bare: heights and sizes."""
    marks, texts = grain(x + 30, lean), []
    for name, drawn in levels:
        marks += [(line((x + 10, y), (x + 90 + n, y)), size) for n, (size, y) in enumerate(zip(sizes, drawn))]
        texts.append(words(name, x + 60, min(drawn) - 2, 4))
    marks += [
        (line((x + 10, y), (x + 90, y)), size) if size else line((x + 10, y), (x + 90, y)) for y, size in bare
    ]
    outlines = {size: box(100 + 2 * n, 300, x, 0) for n, size in enumerate(sizes)}
    return laid(outlines, marks, texts)


def across(*pieces, frame=None):
    frame = frame or move(0, 0)
    return named_across([moved(one, frame).guessed() for one in pieces])


def names(guessed):
    return sorted((mark.name, mark.size) for mark in of_kind(guessed, LEVEL))


SAME, GRADED = (200, 200, 200), (180, 176, 172)


@pytest.mark.parametrize("degrees", [0.0, 33.0, 90.0])
@pytest.mark.parametrize("off, found", [(0.0, True), (0.9, True), (-0.9, True), (1.2, False), (30.0, False)])
def test_one_line_at_the_height_of_a_level_of_all_sizes(off, found, degrees):
    pieces = (piece(0, [("waist", SAME)]), piece(300, bare=[(200 + off, "")]))

    _, other = across(*pieces, frame=turn(degrees).then(move(-40, 70)))

    assert names(other) == ([("waist", "")] if found else [])
    assert len(of_kind(other, INNER)) == (0 if found else 1)


def test_it_is_far_from_sure_and_the_less_the_farther_off():
    scores = []
    for off in (0.0, 0.4, 0.8):
        _, other = across(piece(0, [("waist", SAME)]), piece(300, bare=[(200 + off, "")]))
        (mark,) = of_kind(other, LEVEL)
        scores.append(mark.guess)

    assert scores == sorted(scores, reverse=True) and len(set(scores)) == 3
    assert scores[0] == pytest.approx(0.5) and scores[-1] > 0.2


def test_what_has_a_word_stays_as_it_was():
    one, other = piece(0, [("waist", SAME), ("hip", GRADED)]), piece(300, bare=[(200, "")])
    before = one.guessed()

    first, second = across(one, other)

    assert repr(first) == repr(before)
    assert second.used == other.guessed().used
    assert len(second.marks) == len(other.guessed().marks)


def test_a_line_for_each_size_at_the_heights_of_each_size():
    bare = list(zip(GRADED, SIZES))

    _, other = across(piece(0, [("chest", GRADED)]), piece(300, bare=bare))
    _, but_one = across(piece(0, [("chest", GRADED)]), piece(300, bare=bare[:2] + [(160, SIZES[2])]))

    assert names(other) == [("chest", size) for size in SIZES]
    assert names(but_one) == []


def test_a_line_for_all_sizes_is_not_at_the_height_of_a_graded_level():
    _, other = across(piece(0, [("chest", GRADED)]), piece(300, bare=[(GRADED[1], "")]))

    assert names(other) == []


def test_in_one_size_one_number_that_agrees_is_a_coincidence():
    one = ("",)

    _, alone = across(piece(0, [("waist", (200,))], sizes=one), piece(300, bare=[(200, "")], sizes=one))

    assert names(alone) == []


@pytest.mark.parametrize("hip, found", [(250.0, True), (250.8, True), (256.0, False)])
def test_another_level_of_both_that_agrees_is_evidence(hip, found):
    one = ("",)
    first = piece(0, [("waist", (200,)), ("hip", (250,))], sizes=one)
    second = piece(300, [("hip", (hip,))], [(200, "")], sizes=one)

    _, other = across(first, second)

    assert (("waist", "") in names(other)) == found


def test_a_second_piece_with_the_same_level_is_evidence():
    one = ("",)
    pieces = [piece(x, [("waist", (200,))], sizes=one) for x in (0, 300)]

    other = across(*pieces, piece(600, bare=[(200, "")], sizes=one))[-1]

    assert names(other) == [("waist", "")]


def test_two_names_at_one_height_tell_nothing():
    pieces = piece(0, [("waist", SAME)]), piece(300, [("hip", SAME)])

    assert names(across(*pieces, piece(600, bare=[(200, "")]))[-1]) == []


def test_a_piece_has_each_level_once():
    _, other = across(piece(0, [("waist", SAME)]), piece(300, [("waist", (120, 120, 120))], [(200, "")]))

    assert names(other) == [("waist", size) for size in SIZES]


@pytest.mark.parametrize("lean, found", [(0.3, True), (0.7, False)])
def test_grain_lines_are_parallel_within_half_a_degree(lean, found):
    """The pieces are 60 mm apart: half of 0.3 degrees moves a line by 0.16 mm there."""
    _, other = across(piece(0, [("waist", SAME)]), piece(60, bare=[(200, "")], lean=lean))

    assert bool(names(other)) == found


def test_a_piece_upside_down_is_in_the_row_as_well():
    """Half a turn about a point at the waist's height leaves the height of the waist."""
    other = moved(piece(300, bare=[(200, "")]), turn(180, (350, 200)))

    assert names(named_across([piece(0, [("waist", SAME)]).guessed(), other.guessed()])[1]) == [("waist", "")]


@pytest.mark.parametrize("how", ["short", "aslant", "bent", "no grain"])
def test_what_is_no_line_across_stays_an_inner_line(how):
    made = piece(300)
    drawn = {
        "short": line((310, 200), (335, 200)),
        "aslant": turn(4, (350, 200)).path(line((310, 200), (390, 200))),
        "bent": line((310, 200), (350, 201), (390, 200)),
        "no grain": line((310, 200), (390, 200)),
    }[how]
    marks = ([] if how == "no grain" else grain(330)) + [drawn]
    made = laid({size: box(100, 300, 300, 0) for size in SIZES}, marks)

    assert names(across(piece(0, [("waist", SAME)]), made)[1]) == []


def test_without_pieces_there_is_nothing_to_name():
    assert named_across([]) == ()
    (alone,) = across(piece(0, bare=[(200, "")]))
    assert not of_kind(alone, LEVEL) and np.isclose(of_kind(alone, INNER)[0].guess, 0.3)
