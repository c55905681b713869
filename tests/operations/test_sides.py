"""A pair taken apart into left and right, one side changed, and both put together again.

Shapely judges areas and overlaps; expected places are worked from x' = 2c - x.
"""

import io

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.files.svg import Drawing, open_drawing, read_tree
from sewkit.geometry.transform import move, turn
from sewkit.operation import find
from sewkit.operations.sides import sides
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.cut_list import cut_list
from sewkit.pattern.mark import DRILL, GRAIN, LABEL, NOTCH, Mark, On
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from sewkit.pattern.seam import parse_seams, write_seams
from sewkit.pattern.walking import walk_seam
from sewkit.report import Level
from tests.geometry.shapes import outline
from tests.operations.length_pieces import Path, shapely
from tests.operations.pieces import dense, moved, named

# A front: its front edge to the right, where the wearer's left of it would begin; so it is the right one.
FRONT = outline(
    (150, 0),
    (220, 40),
    (240, 400),
    (40, 420),
    ((60, 300), (50, 200), (60, 150)),
    ((90, 150), (100, 80), (100, 10)),
)
EDGES = "neck centre-front hem side armhole shoulder"

MARKS = (
    Mark(NOTCH, "1", "", None, On("side", 80.0, True), 2),
    Mark(GRAIN, "", "", Path.through([(150.0, 100.0), (150.0, 350.0)])),
    Mark(DRILL, "pocket", "", Path.through([(100.0, 250.0), (104.0, 250.0)])),
    Mark(LABEL, "", "", Path.through([(120.0, 200.0), (121.0, 200.0)]), text="front"),
    Mark(LABEL, "", "", Path.through([(120.0, 215.0), (121.0, 215.0)]), text="cut 2"),
)


def pattern_of(**more):
    given = {"cut": 2, "marks": MARKS, "allowance": {"": 10.0}, "key": "g"}
    given.update(more)
    front = named(FRONT, EDGES, "front", **given)
    back = moved(Pattern((named(FRONT, EDGES, "back", cut=2),)), move(600, 0)).pieces[0]
    return Pattern((front, back), parse_seams("side=back/side shoulder=back/shoulder,ease=0..6", "front"))


def pick(*names):
    return Chosen(tuple(PickedOutline(name, "") for name in names))


def polygon(path):
    return shapely.Polygon(dense(path, 60))


def parts(pattern, name="front"):
    return pattern.piece(name + "-left"), pattern.piece(name + "-right")


def test_a_pair_becomes_two_pieces_and_the_drawn_one_keeps_every_bit():
    before = pattern_of(cut_lines=(CutLine("", FRONT, "c"),))
    outcome = sides(before, pick("front"))
    left, right = parts(outcome.pattern)
    assert [p.name for p in outcome.pattern.pieces] == ["front-right", "front-left", "back"]
    assert right.outlines == before.piece("front").outlines
    assert right.cut_lines == before.piece("front").cut_lines
    assert (left.cut, left.side, right.cut, right.side) == (1, "left", 1, "right")
    assert (right.key, left.key, left.outlines[0].key) == ("g", "", "")
    assert "the wearer's right, right side of the cloth up" in outcome.report.summary


def test_the_other_one_is_its_mirror_image_beside_it():
    """Across the upright grain: the same heights, and x' = 2c - x with one c for all of it."""
    left, right = parts(sides(pattern_of(), pick("front"), gap=30.0).pattern)
    there, here = left.outlines[0].path.curves, right.outlines[0].path.curves
    np.testing.assert_allclose(there[..., 1], here[..., 1], atol=1e-9)
    np.testing.assert_allclose(np.ptp(there[..., 0] + here[..., 0]), 0.0, atol=1e-9)
    assert polygon(left.outlines[0].path).area == pytest.approx(polygon(FRONT).area, abs=1e-6)
    assert polygon(left.outlines[0].path).distance(polygon(FRONT)) == pytest.approx(30.0, abs=1e-6)
    assert left.outlines[0].names == right.outlines[0].names
    twin = {m.name: m for m in left.marks if m.kind == DRILL}["pocket"].path
    was = {m.name: m for m in right.marks if m.kind == DRILL}["pocket"].path
    np.testing.assert_allclose(
        twin.curves[..., 0] + was.curves[..., 0], there[0, 0, 0] + here[0, 0, 0], atol=1e-9
    )
    assert [m.on for m in left.marks if m.kind == NOTCH] == [On("side", 80.0, True)]


def test_it_lies_on_no_other_piece():
    pattern = pattern_of()
    beside = moved(Pattern((named(FRONT, EDGES, "facing"),)), move(230, 0)).pieces[0]
    after = sides(pattern._replace(pieces=(*pattern.pieces, beside)), pick("front")).pattern
    shapes = [polygon(piece.outlines[0].path) for piece in after.pieces if piece.name != "front-left"]
    made = polygon(after.piece("front-left").outlines[0].path)
    assert min(made.distance(shape) for shape in shapes) > 0.0


def test_words_say_which_and_are_not_mirrored():
    after = sides(pattern_of(), pick("front")).pattern
    left, right = parts(after)
    assert [m.text for m in left.marks if m.text] == ["front-left", "cut 1 left, right side up"]
    assert [m.text for m in right.marks if m.text] == ["front-right", "cut 1 right, right side up"]
    assert [row.how for row in cut_list(after)] == ["1 right", "1 left", "1 pair, mirrored"]


def test_a_piece_without_words_gets_some():
    left, right = parts(sides(pattern_of(marks=()), pick("front")).pattern)
    assert [m.text for m in left.marks] == ["front-left: cut 1 left, right side up"]
    assert [m.text for m in right.marks] == ["front-right: cut 1 right, right side up"]


def test_seams_are_there_for_both_sides_and_left_meets_left():
    after = sides(pattern_of(), pick("front"), drawn="left").pattern
    assert write_seams(after.seams, "back") == (
        "front-left/side=side front-right/side=side front-left/shoulder=shoulder,ease=0..6 "
        "front-right/shoulder=shoulder,ease=0..6"
    )
    outcome = sides(after, pick("back"), drawn="left")
    words = write_seams(outcome.pattern.seams, "").split()
    assert words[:2] == ["front-left/side=back-left/side", "front-right/side=back-right/side"]
    assert len(words) == 4
    for seam in outcome.pattern.seams:
        assert walk_seam(outcome.pattern, seam, "").difference == pytest.approx(0.0, abs=1e-9)


def test_both_at_once_give_the_same_as_one_by_one():
    both = sides(pattern_of(), pick("front", "back"), drawn="left").pattern
    one = sides(sides(pattern_of(), pick("front"), drawn="left").pattern, pick("back"), drawn="left").pattern
    assert both.seams == one.seams


def test_a_piece_on_the_fold_is_unfolded_and_that_is_told():
    half = named(
        outline((40, 30), (200, 30), (260, 600), (40, 600)), "top side hem centre", "front", folds=("centre",)
    )
    outcome = sides(Pattern((half,)), pick("front"), drawn="left")
    assert outcome.pattern.piece("front").unfolded == "centre"
    assert {"side-left", "side-right"} < set(outcome.pattern.piece("front").outlines[0].names)
    assert outcome.report.findings[0].code == "unfolded"
    with pytest.raises(InputError, match="opened already"):
        sides(outcome.pattern, pick("front"))


def test_a_pair_meets_the_sides_of_an_opened_piece():
    """The opened front has side-left and side-right; the back apart is sewn left to left."""
    half = named(
        outline((40, 30), (200, 30), (260, 600), (40, 600)), "top side hem centre", "front", folds=("centre",)
    )
    back = half._replace(name="back", folds=(), cut=2)
    pattern = Pattern((half, back), parse_seams("side=back/side hem=back/hem", "front"))
    whole = find("unfold").function(pattern, pick("front"), drawn="left").pattern
    after = sides(whole, pick("back"), drawn="left").pattern
    words = write_seams(after.seams, "front").split()
    assert words[:2] == ["side-left=back-left/side", "side-right,turned=back-right/side"]
    # Over the fold: the hem of the left back and that of the right one, end to end.
    assert sorted(words[2].replace(",turned", "").split("=")[1].split("+")) == [
        "back-left/hem",
        "back-right/hem",
    ]
    last = walk_seam(after, after.seams[-1], "")
    assert last.difference == pytest.approx(0.0, abs=1e-9) and last.first == pytest.approx(440.0)


def test_one_side_is_changed_and_the_other_stays_to_the_bit():
    after = sides(pattern_of(), pick("front"), drawn="right").pattern
    left = after.piece("front-left")
    changed = find("allowance").function(after, pick("front-right"), width=12.0).pattern
    assert changed.piece("front-left") == left
    assert changed.piece("front-right") != after.piece("front-right")


# -- together -----------------------------------------------------------------------------------


@pytest.mark.parametrize("frame", [move(0, 0), turn(31.0, (50.0, 80.0)).then(move(-70.0, 12.0))])
def test_together_gives_the_pair_again_wherever_the_sides_were_laid(frame):
    before = pattern_of()
    after = sides(before, pick("front")).pattern
    laid = moved(Pattern((after.piece("front-left"),)), frame).pieces[0]
    again = sides(after.with_piece(laid), pick("front-left"), action="together").pattern
    assert again == before


def test_a_sample_is_put_together_byte_for_byte():
    drawing, chosen = open_drawing("samples/waistcoat/master.svg", pieces=["front"])
    was = drawing.as_bytes()
    drawing.put(sides(drawing.pattern._replace(beside=()), chosen).pattern)
    read = Drawing(read_tree(io.BytesIO(drawing.as_bytes())))
    assert {piece.name: piece.side for piece in read.pattern.pieces}["front-left"] == "left"
    read.put(sides(read.pattern, pick_all(read.pattern, "front-left"), action="together").pattern)
    assert read.as_bytes() == was


def pick_all(pattern, name):
    return Chosen(tuple(PickedOutline(name, size) for size in pattern.piece(name).sizes))


def test_sides_that_differ_are_not_put_together():
    """The hem's corner of the left one is moved down by 0.4 mm; so far it is from the right one, at most."""
    after = sides(pattern_of(), pick("front"), drawn="right").pattern
    left = after.piece("front-left")
    curves = np.array(left.outlines[0].path.curves)
    low = curves[2, 3].copy()
    curves[(np.abs(curves - low) < 1e-9).all(axis=-1)] += (0.0, 0.4)
    bad = after.with_piece(left.with_outline(left.outlines[0].replace_path(Path(curves, True))))
    with pytest.raises(InputError, match=r"differ by 0\.[1-4]\d mm") as told:
        sides(bad, pick("front-left"), action="together")
    assert told.value.cure
    near = np.array(left.outlines[0].path.curves)
    near[(np.abs(near - low) < 1e-9).all(axis=-1)] += (0.0, 0.03)
    good = after.with_piece(left.with_outline(left.outlines[0].replace_path(Path(near, True))))
    assert "front" in [p.name for p in sides(good, pick("front-left"), action="together").pattern.pieces]


@pytest.mark.parametrize(
    "change, words",
    [
        ({"allowance": {"": 12.0}}, "allowance"),
        ({"marks": ()}, "only one has"),
        ({"hems": ("hem",)}, "hems"),
    ],
)
def test_sides_that_are_kept_differently_are_not_put_together(change, words):
    after = sides(pattern_of(), pick("front")).pattern
    bad = after.with_piece(after.piece("front-left")._replace(**change))
    with pytest.raises(InputError, match=words):
        sides(bad, pick("front-left"), action="together")


# -- what cannot be -----------------------------------------------------------------------------


def test_what_is_no_pair_is_refused():
    with pytest.raises(InputError, match="not in pairs"):
        sides(pattern_of(cut=1), pick("front"))
    with pytest.raises(InputError, match="not in pairs"):
        sides(pattern_of(cut=3), pick("front"))
    after = sides(pattern_of(), pick("front")).pattern
    with pytest.raises(InputError, match="one side already"):
        sides(after, pick("front-left"))
    with pytest.raises(InputError, match="no left or right"):
        sides(after, pick("back"), action="together")


def test_a_side_that_is_not_to_be_seen_is_told():
    """A cuff is its own mirror image about its grain: nothing tells which side it is."""
    cuff = named(outline((0, 0), (200, 0), (200, 60), (0, 60)), "top a hem b", "cuff", cut=2)
    cuff = cuff._replace(marks=(Mark(GRAIN, "", "", Path.through([(100.0, 10.0), (100.0, 50.0)])),))
    outcome = sides(Pattern((cuff,)), pick("cuff"))
    assert [f.code for f in outcome.report.findings] == ["side"]
    assert outcome.report.worst == Level.WARN
    assert sides(Pattern((cuff,)), pick("cuff"), drawn="left").report.worst == Level.PASS


def test_words_that_are_no_marks_are_told():
    drawing, chosen = open_drawing("samples/waistcoat/master.svg", pieces=["front"])
    report = sides(drawing.with_beside(drawing.pattern), chosen).report
    assert [f.code for f in report.findings] == ["stale-words"]
    assert "'cut 2, main cloth'" in report.findings[0].text
