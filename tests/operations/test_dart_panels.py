"""Panel seams in a drawing: the new part has a group, a look and words of its own."""

import io
import pathlib

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.files.svg import Drawing, open_drawing, read_tree
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.operations.allowance import allowance
from sewkit.operations.dart_into import dart_into
from sewkit.operations.dart_true import dart_true
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.mark import GRAIN, LABEL
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.walking import walk_seam
from tests.operations.pieces import named, r1

BODICE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "bodice" / "master.svg"
OWN = "{urn:sewkit:1}"


@pytest.fixture(scope="module")
def divided():
    """The bodice with a princess line in its front, written and read again; its tree."""
    drawing, chosen = open_drawing(str(BODICE), pieces=["front"])
    outcome = dart_into(drawing.pattern, chosen, dart="bust-dart", into="seam", to="waist-dart", apart=30.0)
    drawing.put(outcome.pattern)
    data = drawing.as_bytes()
    return Drawing(read_tree(io.BytesIO(data))), read_tree(io.BytesIO(data)).getroot(), outcome


def test_the_new_part_has_a_group_beside_the_old_one(divided):
    drawing, root, _ = divided

    assert [piece.name for piece in drawing.pattern.pieces] == ["front", "front-side", "back"]
    assert drawing.pattern.problems == ()
    groups = {e.get(OWN + "piece"): e for e in root.iter() if e.get(OWN + "piece")}
    assert groups["front-side"].getparent() is groups["front"].getparent()
    assert (groups["front-side"].get(OWN + "cut"), groups["front-side"].get(OWN + "folds")) == ("2", None)


def test_its_lines_look_as_their_sizes_do(divided):
    _, root, _ = divided

    looks = {}
    for element in root.iter("{*}path"):
        if element.get(OWN + "role") == "seam-line":
            looks.setdefault(element.get(OWN + "size"), set()).add(element.get("style"))
    assert [len(found) for found in looks.values()] == [1, 1, 1]


def test_its_seams_are_walked_in_every_size(divided):
    pattern = divided[0].pattern

    names = [seam.name for seam in pattern.seams]
    assert "front/side + front-side/side to back/side" in names
    panel = next(seam for seam in pattern.seams if seam.touches("front", "panel"))
    side = next(seam for seam in pattern.seams if seam.touches("front-side", "side"))
    # The side of the back meets that of both parts, end to end.
    assert {(r.piece, r.edge) for r in side.refs} == {(n, "side") for n in ("front", "front-side", "back")}
    for size in "ABC":
        walks = [walk_seam(pattern, seam, size) for seam in (panel, side)]
        # The sample's side is 190 mm on both pieces with the dart closed.
        assert [walk.difference for walk in walks] == pytest.approx([0.0, 0.0], abs=0.01)
        assert walks[0].lone == () and walks[0].worst_notch == pytest.approx(0.0, abs=0.01)
        assert walks[1].first == pytest.approx(190.0, abs=0.02)


def test_each_part_has_its_words_and_its_grain(divided):
    kept, other = divided[0].pattern.piece("front"), divided[0].pattern.piece("front-side")

    # The sample's front says both; the part at the centre is still the one on the fold.
    words = [m.text for m in kept.marks if m.kind == LABEL and m.size == ""]
    assert words == ["front", "cut 1 on the fold"]
    assert [m.text for m in other.marks if m.kind == LABEL] == ["front-side", "cut 2"]
    ways = [m.shaft.end - m.shaft.start for part in (kept, other) for m in part.marks if m.kind == GRAIN]
    assert len(ways) == 2 and abs(ways[0][0] * ways[1][1] - ways[0][1] * ways[1][0]) < 1e-3


def test_a_nest_is_divided_in_all_its_sizes():
    drawing, chosen = open_drawing(str(BODICE), pieces=["front"], sizes=["B"])

    with pytest.raises(InputError, match="in size B, but not in A, C"):
        dart_into(drawing.pattern, chosen, dart="bust-dart", into="seam", to="waist-dart")


def test_where_the_seam_goes_must_be_said():
    drawing, chosen = open_drawing(str(BODICE), pieces=["front"])
    with pytest.raises(InputError, match="no edge and no dart called 'hip'"):
        dart_into(drawing.pattern, chosen, dart="bust-dart", into="seam", to="hip")
    # Of two darts the other one is meant.
    made = dart_into(drawing.pattern, chosen, dart="bust-dart", into="seam").report.summary
    assert "to the dart 'waist-dart'" in made


def test_parts_on_each_other_are_told():
    drawing, _ = open_drawing(str(BODICE))
    picked = Chosen(tuple(PickedOutline("front", size) for size in "ABC"))
    cut = allowance(drawing.pattern, picked).pattern
    told = {f.code for f in dart_into(cut, picked, dart="bust-dart", into="seam").report.findings}
    apart = {
        f.code for f in dart_into(cut, picked, dart="bust-dart", into="seam", apart=60.0).report.findings
    }

    assert "lapped" in told and "lapped" not in apart


def test_parts_laid_apart_have_so_much_free_between_their_cut_lines():
    shapely = pytest.importorskip("shapely")
    drawing, _ = open_drawing(str(BODICE))
    picked = Chosen(tuple(PickedOutline("front", size) for size in "ABC"))
    cut = allowance(dart_true(drawing.pattern, picked).pattern, picked).pattern

    made = dart_into(cut, picked, dart="bust-dart", into="seam", to="waist-dart", apart=40.0).pattern

    kept, other = (
        shapely.union_all([shapely.Polygon(flatten(line.path)) for line in made.piece(name).cut_lines])
        for name in ("front", "front-side")
    )
    # The boxes are 40 mm apart, level or upright, and no piece lies on the new one.
    gaps = [other.bounds[axis] - kept.bounds[axis + 2] for axis in (0, 1)]
    gaps += [kept.bounds[axis] - other.bounds[axis + 2] for axis in (0, 1)]
    assert max(gaps) == pytest.approx(40.0, abs=0.05)
    assert kept.distance(other) >= 40.0 - 0.05
    backs = [shapely.Polygon(flatten(line.path)) for line in made.piece("back").outlines]
    assert min(back.distance(other) for back in backs) > 0


def test_where_nobody_says_it_runs_down_the_grain_to_the_hem():
    pattern = Pattern((two_waist_darts(),))

    made = dart_into(pattern, dart="waist-dart", into="seam").pattern

    # From the point at (100, 120) straight down to the hem, 400 mm lower, and not to the other dart.
    panel = made.piece("front").outlines[0].runs("panel")
    assert {tuple(np.round(end, 6)) for run in panel for end in (run.start, run.end)} >= {(100.0, 520.0)}
    assert made.piece("front-side").darts == ("waist-dart-2",)


def test_an_edge_that_is_not_below_is_met_in_its_middle():
    made = dart_into(Pattern((two_waist_darts(),)), dart="waist-dart", into="seam", to="side").pattern

    # The side runs from (300, 0) to (300, 520).
    panel = made.piece("front-side").outlines[0].runs("panel")
    ends = [end for run in panel for end in (run.start, run.end)]
    assert min(np.hypot(*(end - (300, 260))) for end in ends) < 1e-6


def test_of_a_piece_without_a_hem_one_says_where():
    with pytest.raises(InputError, match="panel seam of 'front' shall end"):
        dart_into(Pattern((r1(),)), into="seam")


def two_waist_darts():
    path = Path.through(
        [
            (0, 0),
            (90, 0),
            (100, 120),
            (110, 0),
            (190, 0),
            (200, 90),
            (210, 0),
            (300, 0),
            (300, 520),
            (0, 520),
        ],
        True,
    )
    names = "waist waist-dart waist-dart waist waist-dart-2 waist-dart-2 waist side hem centre"
    return named(path, names, "front", darts=("waist-dart", "waist-dart-2"), hems=("hem",), folds=("centre",))
