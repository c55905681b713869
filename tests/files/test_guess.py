"""The score of a guess in the drawing: read, kept, taken away."""

import io

import pytest

from sewkit.files.svg import open_drawing
from sewkit.files.svg_read import write_guess
from sewkit.operations.allowance import allowance
from sewkit.operations.size import size
from sewkit.pattern.mark import DART, FOLD, KINDS, LENGTHEN
from tests.files.sheets import by_id, front, opened

MORE = (
    '<path id="dart" sewkit:role="dart" sewkit:guess="0.82" d="M 40,170 L 50,100 L 60,170"/>'
    '<path id="fold" sewkit:role="fold-mark" d="M 20,60 H 30 V 120 H 20"/>'
    '<path id="longer" sewkit:role="lengthen-line" sewkit:guess=" 0.5 " d="M 20,90 H 100 M 20,96 H 100"/>'
)


def marks(drawing):
    return {mark.key: mark for mark in drawing.pattern.piece("front").marks}


def test_new_kinds_and_scores_are_read():
    drawing, _ = opened(front(group='sewkit:guess="0.7"', more=MORE))

    assert {key: mark.kind for key, mark in marks(drawing).items()} == {
        "dart": DART,
        "fold": FOLD,
        "longer": LENGTHEN,
    }
    assert [marks(drawing)[key].guess for key in ("dart", "fold", "longer")] == [0.82, 0.0, 0.5]
    assert drawing.pattern.piece("front").guess == 0.7


@pytest.mark.parametrize(
    "text, score", [("", 0.0), ("x", 0.0), ("nan", 0.0), ("-1", 0.0), ("0", 0.0), ("7", 1.0), ("1e-3", 0.001)]
)
def test_whatever_stands_there_is_a_score_or_no_guess(text, score):
    drawing, _ = opened(front(more=MORE.replace("0.82", text)))

    assert marks(drawing)["dart"].guess == score


def test_the_score_is_taken_away_and_nothing_else_is_touched():
    drawing, _ = opened(front(group='sewkit:guess="0.7"', more=MORE))
    before = drawing.as_bytes()
    piece = drawing.pattern.piece("front")
    drawing.put(drawing.pattern.with_piece(piece))
    assert drawing.as_bytes() == before

    plain = tuple(mark._replace(guess=0.0) for mark in piece.marks)
    drawing.put(drawing.pattern.with_piece(piece._replace(marks=plain, guess=0.0)))

    wanted = before
    for text in (b' sewkit:guess="0.7"', b' sewkit:guess="0.82"', b' sewkit:guess=" 0.5 "'):
        wanted = wanted.replace(text, b"")
    assert drawing.as_bytes() == wanted


@pytest.mark.parametrize("score, text", [(0.0, ""), (0.825, "0.82"), (0.001, "0.01"), (1.0, "1.00")])
def test_how_a_score_is_written(score, text):
    assert write_guess(score) == text


@pytest.mark.parametrize(
    "work", [lambda p: allowance(p, width=10.0), lambda p: size(p, size_kept="3")], ids=["allowance", "size"]
)
def test_other_operations_carry_new_kinds_and_scores_along(work):
    drawing, _ = opened(front(more=MORE))
    known = marks(drawing)

    drawing.put(work(drawing.pattern).pattern)

    again, _ = open_drawing(io.BytesIO(drawing.as_bytes()))
    assert marks(again) == known


def test_what_is_picked_by_its_id_is_known_as_a_mark():
    _, chosen = opened(front(more=MORE), ids=["dart", "front-3"])
    _, whole = opened(front(more=MORE), ids=["front"])

    assert chosen.marks == ("dart",)
    assert [(one.piece, one.size) for one in chosen.outlines] == [("front", "3")]
    assert whole.marks == ()


def test_every_kind_has_a_look_of_its_own_or_the_common_one():
    """A new mark of any kind is drawn and read again as the same kind."""
    drawing, _ = opened(front(more=MORE))
    piece = drawing.pattern.piece("front")
    dart = marks(drawing)["dart"]
    new = tuple(dart._replace(kind=kind, key="", name=kind) for kind in KINDS)
    drawing.put(drawing.pattern.with_piece(piece._replace(marks=piece.marks + new)))

    found = [mark for mark in marks(drawing).values() if mark.name]
    assert [mark.kind for mark in found] == list(KINDS)
    assert all(mark.guess == 0.82 for mark in found)
    assert by_id(drawing.root, found[0].key).get("style")
