"""A piece cut into stiff parts, moved and put together; against closed forms of turning a block."""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path, join
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.transform import IDENTITY, turn
from sewkit.pattern.carrying import Change, carried, moved_line
from sewkit.pattern.mark import DRILL, GRAIN, INNER, LEVEL, NOTCH, Mark, On
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.parting import (
    composed,
    first_gap,
    gains_of,
    hinge_turn,
    moved_runs,
    parted,
    put_together,
    staying,
    strip_move,
)
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import at_places, even


def skirt(backwards=False, size=""):
    path = Path.through([(0, 0), (200, 0), (200, 500), (0, 500)], closed=True)
    names = "waist side hem centre"
    if backwards:
        path, names = path.reverse(), "centre hem side waist"
    return Outline(size, path, tuple(Edge(n, i, i + 1) for i, n in enumerate(names.split())), "key")


def filled(runs):
    """Every gap filled with a straight line."""
    paths = []
    for run in runs:
        bits = [run.bits[0]]
        for bit in run.bits[1:]:
            if np.hypot(*(bit.start - bits[-1].end)) > 1e-6:
                bits.append(Path.through([bits[-1].end, bit.start]))
            bits.append(bit)
        paths.append(join(bits))
    return paths


def opened(outline, slashes, degrees, piece=None):
    parting = parted(outline, slashes)
    fixed = staying(parting, piece or Piece("skirt", (outline,), folds=("centre",)))
    moves = composed(parting, fixed, [hinge_turn(parting, n, degrees) for n in range(len(slashes))])
    runs = moved_runs(parting, moves)
    paths = filled(runs)
    made = put_together(parting, runs, paths)
    return Change(parting, moves, fixed, made, gains_of(parting, runs, paths))


@pytest.mark.parametrize("count", [0, 1, 4])
@pytest.mark.parametrize("backwards", [False, True])
def test_slashes_make_one_part_more_and_lose_no_cloth(count, backwards):
    outline = skirt(backwards)
    parting = parted(outline, even(outline, "hem", "waist", count) if count else ())

    assert len(parting.regions) == count + 1
    assert sum(abs(signed_area(r)) for r in parting.regions) == pytest.approx(200.0 * 500.0, abs=1e-6)
    assert all(abs(signed_area(r)) == pytest.approx(1e5 / (count + 1), abs=1e-6) for r in parting.regions)


def test_slashes_with_one_hinge_make_a_fan():
    outline = skirt()
    slashes = at_places(outline, [(On("hem", x), On("waist", 100.0)) for x in (50.0, 100.0, 150.0)])
    parting = parted(outline, slashes)

    areas = sorted(abs(signed_area(r)) for r in parting.regions)
    assert areas == pytest.approx([12500.0, 12500.0, 37500.0, 37500.0], abs=1e-6)


@pytest.mark.parametrize("backwards", [False, True])
def test_turns_add_up_about_the_hinges_as_moved(backwards):
    """Strip j of a block is turned by j angles, and the waist stays a chain of straight strips."""
    outline, degrees, count = skirt(backwards), 3.0, 3
    made = opened(outline, even(outline, "hem", "waist", count), degrees).outline

    angles = np.radians(degrees * np.arange(count + 1))
    corner = (50.0 * np.cos(angles).sum(), -50.0 * np.sin(angles).sum())
    waist = made.edge_path("waist").nodes
    right = waist[waist[:, 0].argmax()]
    assert right == pytest.approx(corner, abs=1e-9)
    assert made.as_sewn("waist") == pytest.approx(200.0, abs=1e-9)
    assert made.as_sewn("hem") == pytest.approx(200.0 + 3 * 1000.0 * math.sin(math.radians(1.5)), abs=1e-9)
    assert made.as_sewn("side") == pytest.approx(500.0, abs=1e-9)


def test_the_part_with_the_fold_stays_to_the_last_bit():
    outline = skirt()
    made = opened(outline, even(outline, "hem", "waist", 1), 5.0)

    assert np.array_equal(made.outline.edge_path("centre").curves, outline.edge_path("centre").curves)
    assert made.moves[made.fixed] == IDENTITY
    assert made.outline.key == "key"


def test_without_a_fold_the_grain_stays_else_the_larger_part():
    outline = skirt()
    parting = parted(outline, at_places(outline, [(On("hem", 60.0), On("waist", 140.0))]))
    grain = Mark(GRAIN, path=Path.through([(180, 100), (180, 400)]))
    right, left = parting.part_of((180.0, 250.0)), parting.part_of((20.0, 250.0))

    assert right != left
    assert staying(parting, Piece("x", (outline,), marks=(grain,))) == right
    assert staying(parting, Piece("x", (outline,))) == left


@pytest.mark.parametrize("angle", [0.0, 37.0, 90.0, 180.0, 251.0])
@pytest.mark.parametrize("backwards", [False, True])
def test_of_a_fold_cut_in_equal_bits_the_one_with_the_grain_stays(backwards, angle):
    """The fold is cut half way down; the middle of the grain line lies in the lower half."""
    frame = turn(angle)
    outline = skirt(backwards)
    outline = outline._replace(path=frame.path(outline.path))
    parting = parted(outline, at_places(outline, [(On("centre", 250.0), On("side", 250.0))]))
    grain = Mark(GRAIN, path=frame.path(Path.through([(180, 240), (180, 450)])))
    lower = parting.part_of(frame.points(np.array([(20.0, 400.0)]))[0])

    assert staying(parting, Piece("x", (outline,), marks=(grain,), folds=("centre",))) == lower


@pytest.mark.parametrize("backwards", [False, True])
def test_a_strip_is_as_wide_everywhere(backwards):
    outline = skirt(backwards)
    parting = parted(outline, at_places(outline, [(On("hem", 80.0), On("waist", 80.0))]))
    fixed = parting.part_of((1.0, 250.0))
    moves = composed(parting, fixed, [strip_move(parting, 0, 12.0)])

    way = parting.slashes[0].line.end - parting.slashes[0].line.start
    shift = moves[1 - fixed].points(np.zeros(2))
    assert np.hypot(*shift) == pytest.approx(12.0, abs=1e-12)
    assert abs(shift @ way) < 1e-9
    assert shift[0] > 0


def test_what_an_edge_gained_is_told_for_the_notches():
    outline = skirt()
    made = opened(outline, even(outline, "hem", "waist", 3), 4.0)

    chord = 1000.0 * math.sin(math.radians(2.0))
    assert [(g.edge, round(g.at, 6)) for g in made.gains] == [("hem", 50.0), ("hem", 100.0), ("hem", 150.0)]
    assert [g.amount for g in made.gains] == pytest.approx([chord] * 3, abs=1e-9)


def test_a_sharp_kink_at_a_hinge_makes_two_runs_of_one_name():
    outline = skirt()
    made = opened(outline, even(outline, "hem", "waist", 1), 20.0).outline

    assert [e.name for e in made.edges].count("waist") == 2
    assert made.as_sewn("waist") == pytest.approx(200.0, abs=1e-9)


def test_a_slash_that_opens_at_a_corner_leaves_a_gap_that_is_told():
    outline = skirt()
    parting = parted(outline, at_places(outline, [(On("side", 0.0), On("hem", 150.0))]))
    moves = composed(parting, 0, [hinge_turn(parting, 0, 5.0)])

    assert set(first_gap(moved_runs(parting, moves))[:2]) == {"waist", "side"}


# -- marks ------------------------------------------------------------------------------


def test_small_marks_go_with_their_part_and_the_grain_stays_whole():
    outline = skirt()
    hole = Path.through([(148, 250), (152, 250), (152, 254), (148, 254)], closed=True)
    grain = Path.through([(40, 20), (160, 480)])
    piece = Piece(
        "skirt", (outline,), marks=(Mark(DRILL, path=hole), Mark(GRAIN, path=grain)), folds=("centre",)
    )
    change = opened(outline, even(outline, "hem", "waist", 1), 4.0, piece)

    made, lost = carried(piece, {"": change})

    assert not lost
    assert made.marks[1] == piece.marks[1]
    # The right part turns about (100, 0) so that the hem opens: anticlockwise on the sheet.
    angle = math.radians(-4.0)
    turned = [
        (
            100 + math.cos(angle) * (x - 100) - math.sin(angle) * y,
            math.sin(angle) * (x - 100) + math.cos(angle) * y,
        )
        for x, y in hole.nodes
    ]
    assert made.marks[0].path.nodes == pytest.approx(np.array(turned), abs=1e-9)


def test_a_line_that_a_slash_crosses_is_joined_straight():
    outline = skirt()
    change = opened(outline, even(outline, "hem", "waist", 1), 4.0)
    level = moved_line(Path.through([(0, 200), (200, 200)]), change.parting, change.moves)

    lengths = np.hypot(*np.diff(level.nodes, axis=0).T)
    assert lengths == pytest.approx([100.0, 400.0 * math.sin(math.radians(2.0)), 100.0], abs=1e-9)
    assert np.array_equal(level.start, (0.0, 200.0))


def test_a_line_over_a_lap_does_not_run_back():
    outline = skirt()
    change = opened(outline, even(outline, "hem", "waist", 1), -4.0)
    level = moved_line(Path.through([(0, 200), (200, 200)]), change.parting, change.moves)

    assert (np.diff(level.nodes[:, 0]) > 0).all()
    assert len(level) == 2


def test_a_notch_goes_with_its_side_of_the_opening():
    outline = skirt()
    notches = tuple(Mark(NOTCH, name, on=On("hem", at)) for name, at in (("1", 40.0), ("2", 140.0)))
    piece = Piece("skirt", (outline,), marks=notches, folds=("centre",))
    change = opened(outline, even(outline, "hem", "waist", 1), 4.0, piece)

    made, _ = carried(piece, {"": change})

    chord = 1000.0 * math.sin(math.radians(2.0))
    assert [mark.on.distance for mark in made.marks] == pytest.approx([40.0, 140.0 + chord], abs=1e-9)


def test_marks_of_all_sizes_stay_while_one_size_is_left_as_it_is():
    sizes = (skirt(size="38"), skirt(size="40"))
    line = Mark(INNER, path=Path.through([(150, 100), (150, 200)]))
    piece = Piece("skirt", sizes, marks=(line, line._replace(kind=LEVEL, size="38")), folds=("centre",))
    change = opened(sizes[0], even(sizes[0], "hem", "waist", 1), 4.0, piece)

    made, _ = carried(piece, {"38": change})
    both, _ = carried(
        piece, {"38": change, "40": change._replace(outline=change.outline._replace(size="40"))}
    )

    assert made.marks[0] == line
    assert made.marks[1].path != line.path
    assert made.outline("40") == sizes[1]
    assert both.marks[0].path == made.marks[1].path
