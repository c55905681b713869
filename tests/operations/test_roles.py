"""Confirming, changing and dropping guesses, in a drawing and in memory."""

import io

import numpy as np
import pytest

from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.operations.roles import roles
from sewkit.pattern.mark import DART, FOLD, GRAIN, INNER, LENGTHEN, LEVEL, NOTCH, OVERLAY
from tests.files.sheets import by_id, opened, svg

# A piece 100 wide and 200 high, drawn in two sizes 10 mm apart on the right, clockwise from its
# upper left corner: edge 1 above, 2 on the right, 3 below, 4 on the left.
CONTENT = """
<g id="front" sewkit:piece="front" sewkit:guess="0.95">
  <path id="small" sewkit:role="seam-line" sewkit:size="36" d="M 0,0 H 100 V 200 H 0 Z"/>
  <path id="large" sewkit:role="seam-line" sewkit:size="38" d="M 0,0 H 110 V 200 H 0 Z"/>
  <path id="fold" style="fill:none" sewkit:role="fold-mark" sewkit:guess="0.90" d="M 0,60 H 14 V 160 H 0"/>
  <path id="grain" sewkit:role="grain" sewkit:guess="0.75" d="M 60,20 V 180"/>
  <path id="tick" sewkit:role="inner-line" sewkit:guess="0.30" d="M 110,80 h 5"/>
  <path id="twin" sewkit:role="inner-line" sewkit:guess="0.30" d="M 100,50 h 5 M 100,54 h 5"/>
  <path id="line" sewkit:role="level" sewkit:name="waist" sewkit:size="36" sewkit:guess="0.85"
    d="M 5,120 H 95"/>
  <path id="notch" sewkit:role="notch" sewkit:size="36" sewkit:at="4+30" sewkit:guess="0.60"
    d="M 0,170 h -5"/>
  <text id="words" sewkit:role="label" x="50" y="50">Front</text>
</g>
<g id="back" sewkit:piece="back">
  <path id="back-line" sewkit:role="seam-line" d="M 300,0 H 400 V 200 H 300 Z"/>
  <path id="back-grain" sewkit:role="grain" sewkit:guess="0.95" d="M 360,20 V 180"/>
  <path id="middle" sewkit:role="inner-line" d="M 350,100 h 4"/>
</g>
<path id="own" d="M 340,150 h 40"/>
<path id="far" d="M 700,150 h 40"/>
"""


def done(picks=None, **values):
    """The drawing after the operation, and its report."""
    drawing, chosen = opened(CONTENT, **(picks or {}))
    outcome = roles(drawing.pattern, chosen, **values)
    drawing.put(outcome.pattern)
    return drawing, outcome.report


def marks_of(drawing, piece="front"):
    """Marks by key, as read again from the bytes that would be saved."""
    again, _ = open_drawing(io.BytesIO(drawing.as_bytes()))
    return {mark.key: mark for mark in again.pattern.piece(piece).marks}


def guess_of(drawing, name):
    return by_id(drawing.root, name).get("{urn:sewkit:1}guess")


def test_all_is_confirmed_in_one_go():
    drawing, report = done(action="confirm")

    assert b"sewkit:guess" not in drawing.as_bytes()
    assert all(mark.guess == 0 for piece in drawing.pattern.pieces for mark in piece.marks)
    # Seven marks and one name of a piece.
    assert report.summary.startswith("8 of the guesses are confirmed.")


def test_the_least_score_leaves_what_is_less_sure():
    drawing, report = done(action="confirm", least=80.0)

    left = {key for key, mark in marks_of(drawing).items() if mark.guess}
    assert left == {"grain", "tick", "twin", "notch"}
    assert guess_of(drawing, "grain") == "0.75" and guess_of(drawing, "front") is None
    assert "4 marks are still a guess" in report.summary


def test_only_the_picked_marks_or_pieces_are_confirmed():
    by_mark, _ = done({"ids": ["grain"]}, action="confirm")
    by_piece, _ = done({"pieces": ["back"]}, action="confirm")

    assert guess_of(by_mark, "grain") is None
    assert guess_of(by_mark, "fold") == "0.90" and guess_of(by_mark, "front") == "0.95"
    assert guess_of(by_piece, "back-grain") is None and guess_of(by_piece, "grain") == "0.75"


def test_a_confirmed_fold_mark_lays_its_edge_on_the_fold_in_every_size():
    drawing, _ = done({"ids": ["fold"]}, action="confirm")

    piece = drawing.pattern.piece("front")
    assert piece.folds == ("fold",)
    assert [outline.names for outline in piece.outlines] == [("1", "2", "3", "fold")] * 2
    # The notch that sat on the edge still does.
    assert marks_of(drawing)["notch"].on.edge == "fold"


def test_what_is_not_touched_keeps_its_bytes():
    before = opened(CONTENT)[0].as_bytes()
    drawing, _ = done({"ids": ["grain"]}, action="confirm")

    assert drawing.as_bytes() == before.replace(b' sewkit:guess="0.75"', b"")


def test_a_tick_becomes_a_notch_with_its_place_and_size():
    """It stands on the right edge of size 38, 80 mm below its start."""
    drawing, _ = done({"ids": ["tick"]}, action="change", role=NOTCH, called="1")

    mark = marks_of(drawing)["tick"]
    assert (mark.kind, mark.name, mark.size, mark.count, mark.guess) == (NOTCH, "1", "38", 1, 0)
    assert mark.on.edge == "2" and mark.on.distance == pytest.approx(80.0)


def test_two_strokes_become_a_double_notch_in_their_middle():
    drawing, _ = done({"ids": ["twin"]}, action="change", role=NOTCH)

    mark = marks_of(drawing)["twin"]
    assert (mark.size, mark.count) == ("36", 2)
    assert mark.on.distance == pytest.approx(52.0)


def test_several_marks_are_changed_together_and_get_a_size():
    drawing, report = done({"ids": ["tick", "line"]}, action="change", role=LENGTHEN, line_size="38")

    marks = marks_of(drawing)
    assert [(marks[k].kind, marks[k].name, marks[k].size) for k in ("tick", "line")] == [
        (LENGTHEN, "", "38")
    ] * 2
    assert report.summary.startswith("2 lines are given another role.")


def test_all_stands_for_every_size():
    drawing, _ = done({"ids": ["line"]}, action="change", role=LEVEL, line_size="all")

    mark = marks_of(drawing)["line"]
    assert (mark.kind, mark.name, mark.size) == (LEVEL, "waist", "")


def test_a_line_of_ones_own_becomes_a_mark_of_the_piece_it_lies_on():
    drawing, _ = done({"ids": ["own"]}, action="change", role=LEVEL, called="hip")

    mark = marks_of(drawing, "back")["own"]
    assert (mark.kind, mark.name, mark.guess) == (LEVEL, "hip", 0)
    np.testing.assert_allclose(mark.path.nodes, [(340, 150), (380, 150)])
    assert by_id(drawing.root, "own").getparent() is by_id(drawing.root, "back")
    assert [piece.name for piece in drawing.pattern.pieces] == ["front", "back"]


def test_dropping_makes_inner_lines_and_takes_the_edge_off_the_fold_again():
    drawing, _ = done({"ids": ["fold"]}, action="confirm")
    chosen = drawing.choose(ids=["fold", "notch"])
    drawing.put(roles(drawing.pattern, chosen, action="drop").pattern)

    marks = marks_of(drawing)
    assert [(marks[k].kind, marks[k].on, marks[k].guess) for k in ("fold", "notch")] == [(INNER, None, 0)] * 2
    assert drawing.pattern.piece("front").folds == ()


def test_an_edge_that_was_named_by_hand_keeps_its_name_and_stays_a_fold():
    named = CONTENT.replace(
        'sewkit:size="36" d=', 'sewkit:size="36" sewkit:edges="top side hem centre" d='
    ).replace('sewkit:size="38" d=', 'sewkit:size="38" sewkit:edges="top side hem centre" d=')
    drawing, chosen = opened(named.replace("4+30", "centre+30"), ids=["fold"])
    drawing.put(roles(drawing.pattern, chosen, action="confirm").pattern)
    assert drawing.pattern.piece("front").folds == ("centre",)

    drawing.put(roles(drawing.pattern, drawing.choose(ids=["fold"]), action="drop").pattern)
    assert drawing.pattern.piece("front").folds == ("centre",)


def test_an_edge_that_is_sewn_is_not_laid_on_the_fold():
    sewn = CONTENT.replace('sewkit:guess="0.95">', 'sewkit:guess="0.95" sewkit:sewn="4=back/4">', 1)
    drawing, chosen = opened(sewn, ids=["fold"])

    outcome = roles(drawing.pattern, chosen, action="confirm")

    assert outcome.pattern.piece("front").folds == ()
    assert [one.code for one in outcome.report.findings] == ["fold-sewn"]


def test_guesses_are_shown_beside_their_marks_and_hidden_again():
    before, _ = opened(CONTENT)
    drawing, report = done()

    writing = [m for piece in drawing.pattern.pieces for m in piece.marks if m.kind == OVERLAY]
    assert sorted(m.text for m in writing) == [
        "fold mark 90 %",
        "grain line 75 %",
        "grain line 95 %",
        "inner line 30 %",
        "inner line 30 %",
        "level waist 85 %",
        "notch 60 %",
    ]
    assert report.tables[0].rows[0] == ("front", "name of the piece", "", "", "1", "95")
    assert ("front", "inner line", "", "all", "2", "30") in report.tables[0].rows

    confirmed = roles(drawing.pattern, drawing.choose(pieces=["front"]), action="confirm", least=80.0)
    drawing.put(confirmed.pattern)
    writing = [m.text for m in drawing.pattern.piece("front").marks if m.kind == OVERLAY]
    assert sorted(writing) == ["grain line 75 %", "inner line 30 %", "inner line 30 %", "notch 60 %"]

    shown, _ = done()
    shown.put(roles(shown.pattern, action="hide").pattern)
    assert shown.as_bytes().split() == before.as_bytes().split()


def test_only_listing_changes_nothing():
    drawing, chosen = opened(CONTENT)

    outcome = roles(drawing.pattern, chosen, action="check")

    assert outcome.pattern is drawing.pattern
    assert outcome.report.summary.startswith("7 marks and the name of 1 piece are guessed.")
    assert "2 with a score below 50" in outcome.report.summary


WRONG = {
    "nothing picked": ({}, {"action": "drop"}, "choice"),
    "a label": ({"ids": ["words"]}, {"action": "change", "role": GRAIN}, "role"),
    "a level without a name": ({"ids": ["grain"]}, {"action": "change", "role": LEVEL}, "name"),
    "a size that is none": (
        {"ids": ["grain"]},
        {"action": "change", "role": DART, "line_size": "40"},
        "nest",
    ),
    "a notch in the middle": ({"ids": ["middle"]}, {"action": "change", "role": NOTCH}, "notch"),
    "a line on no piece": ({"ids": ["far"]}, {"action": "change", "role": GRAIN}, "choice"),
    "a name with a blank": ({"ids": ["tick"]}, {"action": "change", "role": NOTCH, "called": "a b"}, "name"),
}


@pytest.mark.parametrize("title", sorted(WRONG))
def test_what_cannot_be_is_said_in_one_sentence_and_changes_nothing(title):
    picks, values, code = WRONG[title]
    drawing, chosen = opened(CONTENT, **picks)
    before = drawing.as_bytes()

    with pytest.raises(InputError) as told:
        roles(drawing.pattern, chosen, **values)

    assert told.value.code == code
    assert drawing.as_bytes() == before


def test_the_command_confirms_and_changes(tmp_path, capsys):
    source, named, changed = (tmp_path / name for name in ("master.svg", "named.svg", "changed.svg"))
    source.write_text(svg(CONTENT), encoding="utf-8")

    assert main(["roles", str(source), "-o", str(named), "--action", "confirm", "--least", "80"]) == 0
    words = ["--action", "change", "--id", "tick", "--role", "notch", "--called", "2"]
    assert main(["roles", str(named), "-o", str(changed), *words]) == 0
    assert main(["roles", str(changed), "--action", "check"]) == 0

    told = capsys.readouterr()
    drawing, _ = open_drawing(str(changed))
    mark = {m.key: m for m in drawing.pattern.piece("front").marks}["tick"]
    assert (mark.kind, mark.name, mark.guess) == (NOTCH, "2", 0)
    assert "inner line" in told.out + told.err


def test_a_fold_mark_by_hand_is_a_fold_at_once():
    bracket = CONTENT.replace(
        "</g>", '<path id="mine" sewkit:role="inner-line" d="M 110,40 H 96 V 140 H 110"/></g>', 1
    )
    drawing, chosen = opened(bracket, ids=["mine"])

    after = roles(drawing.pattern, chosen, action="change", role=FOLD).pattern

    assert after.piece("front").folds == ("fold",)
    assert after.piece("front").outline("38").names == ("1", "fold", "3", "4")


NEST = """
<g id="nest" sewkit:piece="nest">
  {}
  <path id="hole" sewkit:role="drill" sewkit:guess="0.9" d="M 50,52 h 1"/>
</g>
"""
SIZES = "".join(
    '<path id="s{0}" sewkit:role="seam-line" sewkit:size="{0}" d="M 0,0 H {1} V 200 H 0 Z"/>'
    '<path id="w{0}" sewkit:role="level" sewkit:name="waist" sewkit:size="{0}" sewkit:guess="0.95" '
    'd="M 2,{2} H 98"/>'.format(n, 100 + 2 * n, 48 + n)
    for n in range(1, 9)
)


def boxes(marks):
    """The words' boxes, by a letter of 4 mm: a bold letter of 7 mm is hardly narrower."""
    spots = [(m.path.start, len(m.text)) for m in marks if m.text]
    return [(x, y - 5.0, x + 4.0 * count, y) for (x, y), count in spots]


def apart(marks):
    found = boxes(marks)
    return not any(
        a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
        for n, a in enumerate(found)
        for b in found[n + 1 :]
    )


def written(picks=None, more=""):
    drawing, chosen = opened(NEST.format(SIZES + more), **(picks or {}))
    after = roles(drawing.pattern, chosen).pattern
    return [mark for piece in after.pieces for mark in piece.marks if mark.kind == OVERLAY]


@pytest.mark.parametrize("picks, size", [({}, "8"), ({"ids": ["w3"]}, "3"), ({"ids": ["s2"]}, "2")])
def test_of_a_nest_only_one_size_is_written_on(picks, size):
    marks = written(picks)

    assert sorted(m.text for m in marks if m.text) == ["drill hole 90 %", "level waist 95 %"]
    assert {m.size for m in marks if m.size} == {size}


def test_words_of_marks_near_each_other_lie_apart_and_the_far_ones_are_led_to_their_marks():
    """Twelve holes within 6 mm: their words need twelve lines."""
    holes = "".join(
        '<path id="h{0}" sewkit:role="drill" sewkit:guess="0.9" d="M {1},100 h 1"/>'.format(n, 40 + n / 2)
        for n in range(12)
    )
    marks = written(more=holes)

    words = [m for m in marks if m.text]
    assert len(words) == 14 and apart(words)
    ends = [tuple(m.path.end) for m in marks if not m.text]
    assert ends and all(abs(y - 100) < 1 or y < 60 for _, y in ends)


def test_scraps_close_together_are_written_on_once():
    """Five within 8 mm, and one 70 mm away."""
    scraps = "".join(
        '<path id="i{0}" sewkit:role="inner-line" sewkit:guess="0.3" d="M 40,{0} h 1"/>'.format(y)
        for y in (100, 102, 104, 106, 108, 178)
    )

    texts = [m.text for m in written(more=scraps) if m.text.startswith("inner")]

    assert sorted(texts) == ["inner line 30 %", "inner line 30 % (5 of them)"]


def test_words_of_the_drawing_stay_readable():
    """The label begins where the hole's words would stand; a letter of 4 mm is 2 mm broad."""
    label = '<text id="label" sewkit:role="label" x="54" y="49" style="font-size:4px">pocket</text>'

    hole = next(m for m in written(more=label) if m.text.startswith("drill"))

    (left, top, right, bottom) = boxes([hole])[0]
    assert right < 54 or left > 54 + 12 or bottom < 49 - 4 or top > 49


def test_marks_alone_are_counted_without_names():
    drawing, chosen = opened(NEST.format(SIZES))

    summary = roles(drawing.pattern, chosen, action="check").report.summary

    assert summary.startswith("9 marks are guessed.")
