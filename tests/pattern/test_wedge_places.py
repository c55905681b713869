"""Which part a wedge moves: however the path runs, however the piece lies, and in all sizes alike."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.transform import mirror, turn
from sewkit.operations.wedge import wedge
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from tests.operations.length_pieces import edge_ruler, grain_line, level_line, picked, same, shapely
from tests.operations.pieces import dense, moved, named, named_outline, notch, outline

HALF = turn(180.0, (100.0, 200.0))
GAPE = {"edge": "hem", "hinge": "waist", "hinge_at": "50%"}


def panel(grain=None, folds=(), reverse=False, names="waist side hem centre", begin=0):
    """250 by 600; side on the right at x = 250, centre on the left at x = 0."""
    points = [(0, 0), (250, 0), (250, 600), (0, 600)]
    words = names.split()
    points, words = points[begin:] + points[:begin], words[begin:] + words[:begin]
    path = outline(*points)
    if reverse:
        path, words = path.reverse(), words[::-1]
    marks = () if grain is None else (grain_line(grain, 50.0, 550.0),)
    return named(path, " ".join(words), "panel", folds=folds, marks=marks)


def done(piece, **values):
    return wedge(Pattern((piece,)), **values)


def kept(piece, outcome):
    """Of side and centre those whose ends did not move, whichever comes first."""
    old, new = piece.outlines[0], outcome.pattern.pieces[0].outlines[0]
    return [name for name in ("side", "centre") if np.abs(_ends(old, name) - _ends(new, name)).max() < 1e-9]


def _ends(line, name):
    path = line.edge_path(name)
    return np.array(sorted([tuple(path.start), tuple(path.end)]))


def alike(first, second):
    """Whether two outcomes have one shape, however their paths run."""
    shapes = [shapely.Polygon(dense(o.pattern.pieces[0].outlines[0].path, 100)) for o in (first, second)]
    return shapes[0].symmetric_difference(shapes[1]).area <= 1e-3


# -- an edge across the grain ---------------------------------------------------------------


@pytest.mark.parametrize("amount", [-8.0, 8.0])
@pytest.mark.parametrize("begin", range(4))
@pytest.mark.parametrize("reverse", [False, True])
@pytest.mark.parametrize(
    "grain, folds, at, stays",
    [
        (200.0, ("centre",), "70%", "centre"),  # the fold comes before all else
        (200.0, ("side",), "30%", "side"),
        (60.0, (), "40%", "centre"),  # then the grain line
        (200.0, (), "60%", "side"),
        (None, (), "70%", "centre"),  # then the larger part
        (None, (), "30%", "side"),
    ],
)
def test_the_part_that_keeps_its_cloth(amount, begin, reverse, grain, folds, at, stays):
    """At a hem: with the fold, else the grain line, else the larger; the other one turns."""
    piece = panel(grain, folds, reverse, begin=begin)
    outcome = done(piece, amount=amount, at=at, **GAPE)
    line = outcome.pattern.pieces[0].outlines[0]

    assert kept(piece, outcome) == [stays]
    assert edge_ruler(line, "hem") == pytest.approx(250.0 + amount, abs=0.3)
    told = [f.text for f in outcome.report.findings if f.code == "which-side"]
    assert len(told) == 1 and "'{}'".format({"side": "centre", "centre": "side"}[stays]) in told[0]


@pytest.mark.parametrize("amount", [-8.0, 8.0])
@pytest.mark.parametrize("frame", [HALF, turn(35.0), turn(180.0 - 12.0)])
def test_a_piece_that_lies_otherwise_changes_alike(amount, frame):
    """A frame about everything: the same change in that frame, to rounding."""
    for values in (
        {"at": "40%", **GAPE},
        {"edge": "side", "hinge": "centre", "at": "200", "hinge_at": "250"},
    ):
        straight = done(panel(60.0), amount=amount, **values)
        turned = wedge(moved(Pattern((panel(60.0),)), frame), amount=amount, **values)

        found = turned.pattern.pieces[0].outlines[0].path.curves
        assert np.abs(frame.points(straight.pattern.pieces[0].outlines[0].path.curves) - found).max() <= 1e-9


@pytest.mark.parametrize("amount", [-8.0, 8.0])
@pytest.mark.parametrize("grain, folds", [(200.0, ("centre",)), (60.0, ()), (None, ())])
def test_mirrored_the_same_part_moves(amount, grain, folds):
    """Left and right change places, so 40% from the left is 60%; all else is the mirror image."""
    frame = mirror((0.0, 0.0), (0.0, 1.0))
    straight = done(panel(grain, folds), amount=amount, at="40%", **GAPE)
    mirrored = wedge(moved(Pattern((panel(grain, folds),)), frame), amount=amount, at="60%", **GAPE)

    found = mirrored.pattern.pieces[0].outlines[0].path.curves
    assert np.abs(frame.points(straight.pattern.pieces[0].outlines[0].path.curves) - found).max() <= 1e-9


def test_a_neckline_that_curves_is_one_edge():
    """Wherever on it the wedge lies, steep or level, the part with the fold stays."""
    path = outline((0, 80), ((50, 80), (70, 40), (80, 0)), (180, 0), (250, 600), (0, 600))
    for reverse in (False, True):
        words = "neck shoulder side hem centre".split()
        piece = named(
            path.reverse() if reverse else path,
            " ".join(words[::-1] if reverse else words),
            "front",
            folds=("centre",),
        )
        for at in ("20%", "50%", "80%"):
            outcome = done(piece, amount=-3.0, edge="neck", hinge="side", at=at, hinge_at="300")
            assert kept(piece, outcome) == ["centre"], at


# -- sizes ----------------------------------------------------------------------------------


def nest(grain=None, reverse=False):
    """200 and 210 wide, 600 long: the level lies above the middle in one, below it in the other."""
    outlines = []
    for size, width in (("4", 200.0), ("6", 210.0)):
        path = outline((0, 0), (width, 0), (width, 600), (0, 600))
        words = "waist side hem centre".split()
        backwards = reverse and size == "6"
        made = path.reverse() if backwards else path
        outlines.append(named_outline(made, " ".join(words[::-1] if backwards else words), size))
    marks = () if grain is None else (grain_line(grain, 50.0, 550.0),)
    return Piece("panel", tuple(outlines), marks=marks)


@pytest.mark.parametrize("reverse", [False, True])
def test_all_sizes_go_the_way_of_the_first(reverse):
    """At 102 of 200 the left part is the larger, at 102 of 210 the right one: it stays left in both."""
    piece = nest(reverse=reverse)
    outcome = done(piece, amount=-5.0, edge="hem", hinge="waist", at="102", hinge_at="102")

    for size in "46":
        old, new = piece.outline(size), outcome.pattern.pieces[0].outline(size)
        assert same(old.edge_path("centre"), new.edge_path("centre")), size
        assert not np.allclose(old.edge_path("side").curves, new.edge_path("side").curves), size


def test_one_size_alone_goes_the_way_of_the_first():
    """As with all sizes, though only the second, whose right part is the larger, is changed."""
    piece = nest()
    values = {"amount": -5.0, "edge": "hem", "hinge": "waist", "at": "102", "hinge_at": "102"}
    alone = wedge(Pattern((piece,)), picked(("panel", "6")), **values)

    assert alone.pattern.pieces[0].outline("6") == done(piece, **values).pattern.pieces[0].outline("6")
    assert alone.pattern.pieces[0].outline("4") == piece.outline("4")


@pytest.mark.parametrize("width", [-20.0, 20.0])
def test_let_in_all_sizes_turn_the_part_of_the_first(width):
    """The grain line's middle lies at 300: below the cut at 290, above that at 310."""
    piece = nest(60.0)
    marks = [level_line("seat", 300.0 + sign * width / 2.0, size) for sign, size in ((1, "4"), (-1, "6"))]
    piece = piece._replace(marks=piece.marks + tuple(marks))
    outcome = done(piece, amount=5.0, edge="centre", hinge="side", at="seat")
    stays, turns = ("hem", "waist") if width < 0 else ("waist", "hem")

    for size in "46":
        old, new = piece.outline(size), outcome.pattern.pieces[0].outline(size)
        assert same(old.edge_path(stays), new.edge_path(stays)), size
        assert not np.allclose(old.edge_path(turns).curves, new.edge_path(turns).curves), size


# -- head down ------------------------------------------------------------------------------


def test_what_is_not_known_is_told():
    """Names that say nothing: down the sheet is taken, and the edge that lies there is named."""
    values = {"edge": "b", "hinge": "d", "at": "40%", "hinge_at": "60%", "amount": -8.0}
    unknown = done(panel(60.0, names="a b c d"), **values)
    known = done(panel(60.0, names="neck b c d"), **values)

    told = [f.text for f in unknown.report.findings if f.code == "which-end"]
    assert len(told) == 1 and "'c'" in told[0] and "'a'" not in told[0]
    assert not [f for f in known.report.findings if f.code == "which-end"]


@pytest.mark.parametrize("reverse", [False, True])
@pytest.mark.parametrize("head_down", [False, True])
def test_cloth_is_taken_out_below_the_place(reverse, head_down):
    """A notch 300 mm from the waist, 60 below the place, comes to lie 8 nearer to it; one above stays."""
    marks = (notch("side", 300.0, name="low"), notch("side", 200.0, name="high"))
    piece = panel(60.0)
    piece = piece._replace(marks=piece.marks + marks)
    if reverse:
        path, old = piece.outlines[0].path.reverse(), piece.outlines[0]
        names = [edge.name for edge in old.edges][::-1]
        piece = named(path, " ".join(names), "panel")._replace(
            marks=tuple(
                m._replace(on=m.on._replace(from_end=True)) if m.on is not None else m for m in piece.marks
            )
        )
    if head_down:
        piece = moved(Pattern((piece,)), HALF).pieces[0]
    outcome = done(piece, amount=-8.0, edge="side", hinge="centre", at="40%", hinge_at="40%")
    after = outcome.pattern.pieces[0]
    found = {m.name: m.on for m in after.marks if m.on is not None}
    length = after.outlines[0].as_sewn("side")

    assert length == pytest.approx(592.0, abs=0.3)
    for name, distance in (("low", 292.0), ("high", 200.0)):
        at = found[name].distance
        from_waist = length - at if found[name].from_end != reverse else at
        assert from_waist == pytest.approx(distance, abs=0.3), name


@pytest.mark.parametrize("amount", [-8.0, 8.0])
@pytest.mark.parametrize("place, stays", [("30%", "hem"), ("70%", "waist")])
@pytest.mark.parametrize("frame", [turn(0.0), HALF])
def test_the_main_part_stays_at_an_upright_edge_too(amount, place, stays, frame):
    """The grain line's middle is at 50%: whichever part has it stays on the table."""
    piece = moved(Pattern((panel(60.0),)), frame).pieces[0]
    outcome = done(piece, amount=amount, edge="side", hinge="centre", at=place, hinge_at=place)
    old, new = piece.outlines[0], outcome.pattern.pieces[0].outlines[0]

    assert same(old.edge_path(stays), new.edge_path(stays))
    told = [f.text for f in outcome.report.findings if f.code == "which-side"]
    assert len(told) == 1 and "'{}'".format({"hem": "waist", "waist": "hem"}[stays]) in told[0]


# -- places ---------------------------------------------------------------------------------


def test_an_edge_that_reaches_a_height_twice_is_met_at_its_upper_or_left_end():
    """A hem that dips in the middle: the height 620 is met left and right of it, left counts."""
    path = outline((0, 0), (250, 0), (250, 600), ((200, 660), (50, 660), (0, 600)))
    for reverse in (False, True):
        words = "waist side hem centre".split()
        piece = named(
            path.reverse() if reverse else path, " ".join(words[::-1] if reverse else words), "panel"
        )
        piece = piece._replace(marks=(level_line("low", 620.0),))
        outcome = done(piece, amount=4.0, edge="hem", hinge="waist", at="low", hinge_at="50%")
        assert outcome.report.changes[0].point[0] < 125.0


@pytest.mark.parametrize("words", ["notch a", "a"])
def test_a_notch_is_a_place(words):
    """The notch sits 240 mm down the side: the wedge opens there, as it does at 240mm."""
    piece = panel(60.0)
    marked = piece._replace(marks=piece.marks + (notch("side", 240.0, name="a"),))
    values = {"edge": "side", "hinge": "centre", "hinge_at": "50%", "amount": 6.0}

    assert alike(done(marked, at=words, **values), done(piece, at="240mm", **values))
    both = done(marked, edge="centre", hinge="side", at="50%", hinge_at=words, amount=6.0)
    assert alike(both, done(piece, edge="centre", hinge="side", at="50%", hinge_at="240", amount=6.0))


def test_a_name_that_is_nowhere_lists_levels_and_notches():
    piece = panel(60.0)
    marks = piece.marks + (notch("side", 240.0, name="a"), level_line("seat", 300.0))
    with pytest.raises(InputError) as told:
        done(piece._replace(marks=marks), edge="side", hinge="centre", at="hipp", amount=6.0)
    assert told.value.code == "no-level" and "seat" in told.value.cure and "a" in told.value.cure
