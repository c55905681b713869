"""Taking one size out of the nest."""

import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.size import size
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from tests.operations.pieces import bare_piece, named, notch, r4_piece

BOX = Path.through([(0, 0), (100, 0), (100, 50)], closed=True)


def nest():
    front = r4_piece("front")
    cuts = tuple(CutLine(one, front.outline(one).path) for one in "46")
    notches = tuple(notch("side", 100.0, name="1", size=one) for one in "46")
    return Pattern(
        (
            front._replace(cut_lines=cuts, marks=front.marks + notches),
            r4_piece("back"),
            named(BOX, "a b c", "pocket"),
        )
    )


def test_one_size_of_every_piece_is_kept_with_its_cut_line_and_marks():
    after = size(nest(), size_kept="6").pattern

    for name in ("front", "back"):
        piece, before = after.piece(name), nest().piece(name)
        assert piece.outlines == (before.outline("6"),)
        assert all(mark.size in ("6", "") for mark in piece.marks)
        assert sum(not mark.size for mark in piece.marks) == sum(not mark.size for mark in before.marks)
    assert [line.size for line in after.piece("front").cut_lines] == ["6"]
    assert after.piece("pocket") == nest().piece("pocket")


def test_only_the_chosen_pieces_are_reduced():
    after = size(
        nest(), Chosen((PickedOutline("front", "4"), PickedOutline("front", "6"))), size_kept="4"
    ).pattern

    assert after.piece("front").sizes == ("4",)
    assert after.piece("back").sizes == ("4", "6")


def test_a_selected_line_says_its_size():
    after = size(nest(), Chosen((PickedOutline("front", "6"), PickedOutline("back", "6")))).pattern

    assert after.piece("back").sizes == ("6",)


def test_pieces_in_one_size_are_left_as_they_are_and_this_is_told():
    outcome = size(nest(), Chosen((PickedOutline("pocket", ""),)), size_kept="4")

    assert outcome.pattern == nest()
    assert "one size only" in outcome.report.summary


@pytest.mark.parametrize(("kept", "words"), [("9", "no size '9'.*4, 6"), ("", "not said which.*4, 6")])
def test_a_size_that_is_not_there_is_told(kept, words):
    with pytest.raises(InputError, match=words):
        size(nest(), size_kept=kept)


def test_a_drawing_without_sizes_says_what_comes_first():
    with pytest.raises(InputError, match=r"no named sizes yet\. Name a piece and its sizes first\."):
        size(Pattern((bare_piece(BOX),)), size_kept="10")


def test_a_piece_that_lacks_the_size_is_told():
    pattern = nest()
    other = r4_piece("back")
    other = other._replace(outlines=tuple(o._replace(size=o.size + "-tall") for o in other.outlines))

    with pytest.raises(InputError, match="'back' is not drawn in size '4'"):
        size(pattern.with_piece(other), size_kept="4")
