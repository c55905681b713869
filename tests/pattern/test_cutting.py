"""Cut lines and seam lines: which curve belongs to which edge, and what is whole again."""

import math

import numpy as np
import pytest

from sewkit.geometry.corner import Corner
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path
from sewkit.pattern.cutting import closed_outline, parallel, seam_outline, without_darts
from sewkit.pattern.naming import name_edges, write_names
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.rebuilding import whole_corners
from tests.geometry import shapes
from tests.operations.pieces import R1, R1_EDGES, named_outline, outline


def plain(made, width):
    return parallel(made, "it", lambda edge: width, lambda before, after: Corner(), 2.5)


@pytest.mark.parametrize("shape", sorted(shapes.OUTLINES))
def test_every_curve_of_a_cut_line_follows_an_edge_or_makes_a_corner(shape):
    made = bare_outline(shapes.OUTLINES[shape])
    cut = plain(made, 8.0)

    assert len(cut.runs) == len(cut.path)
    assert set(cut.runs) <= set(made.names) | {""}


def test_a_seam_line_found_inside_begins_with_the_first_edge_at_a_corner():
    names = "neck shoulder armhole side hem centre"
    made = seam_outline(plain(named_outline(shapes.R2, names), -10.0), names.split(), "3")

    assert [edge.name for edge in made.edges] == names.split()
    assert not any(edge.smooth for edge in made.edges)
    assert made.size == "3" and made.edges[0].start == 0 and made.edges[-1].stop == len(made.path)


def test_a_seam_line_can_be_written_and_read_again():
    """Also where a trimmed loop leaves a corner inside an edge: its name stands twice then."""
    board = outline(
        (0, 0),
        (200, 0),
        (200, 150),
        ((140, 120), (104, 100), (100, 60)),
        ((96, 100), (60, 120), (0, 150)),
        (0, 0),
    )
    for path, width in ((shapes.R2, -10.0), (board, -12.0), (shapes.SLEEVE, -15.0)):
        made = seam_outline(plain(bare_outline(path), width), bare_outline(path).names, "")
        again = name_edges(made.path, write_names(made)).outline
        assert [(e.name, e.start, e.stop) for e in again.edges] == [
            (e.name, e.start, e.stop) for e in made.edges
        ]


def test_the_lines_of_an_inner_corner_belong_to_the_edges_on_their_sides():
    """An L, the same on both sides of its diagonal: its seam edges meet on the diagonal.

    At the corner the curves run on straight to the tip; the edges arrive by (-30, -8) and
    leave by (8, 30), so the tip lies width / cos(half the turn) from the corner.
    """
    path = outline(
        (0, 0),
        (200, 0),
        (200, 100),
        ((170, 112), (130, 108), (100, 100)),
        ((108, 130), (112, 170), (100, 200)),
        (0, 200),
        (0, 0),
    )
    made = bare_outline(path)
    seam = seam_outline(plain(made, -10.0), made.names, "")

    tip = seam.path.curves[next(e.start for e in seam.edges if e.name == "4"), 0]
    turn = math.acos((-30 * 8 - 8 * 30) / (30**2 + 8**2))
    assert tip[0] == pytest.approx(tip[1], abs=1e-6)
    assert np.hypot(*(tip - 100)) == pytest.approx(10.0 / math.cos(turn / 2), abs=1e-6)


def test_darts_are_crossed_by_one_straight_line():
    made = without_darts(named_outline(R1, R1_EDGES), ("dart",))

    assert "dart" not in made.names
    lengths = [path_length(run) for run in made.runs("side")]
    # The mouth of R1's dart is its intake, 23.892 mm.
    assert lengths[1] == pytest.approx(23.892, abs=0.002)
    assert len(made.path) == len(R1) - 1


def test_two_darts_side_by_side_keep_what_is_between_them():
    path = Path.through(
        [(0, 0), (40, 0), (50, 60), (60, 0), (90, 0), (100, 60), (110, 0), (150, 0), (150, 200), (0, 200)],
        closed=True,
    )
    made = without_darts(named_outline(path, "waist d d waist d d waist side hem centre"), ("d",))

    assert [edge.name for edge in made.edges] == "waist waist waist waist waist side hem centre".split()
    assert path_length(Path(made.path.curves[:5])) == pytest.approx(150.0)


def test_a_closed_outline_stays_itself_and_an_open_one_gets_a_bridge():
    box = Path.through([(0, 0), (100, 0), (100, 80), (0, 80)], closed=True)
    gap = Path.through([(0, 0), (100, 0), (100, 80), (0, 80), (0, 2)])

    assert closed_outline(bare_outline(box), "box") == (bare_outline(box), 0.0)
    made, width = closed_outline(bare_outline(gap), "box")
    assert width == pytest.approx(2.0)
    assert made.path.closed and made.edges[-1].stop == len(made.path) == 5


@pytest.mark.parametrize("degrees", [30, 60, 90, 130])
def test_a_corner_cut_off_at_its_width_is_whole_again_and_a_nearer_one_is_an_edge(degrees):
    """The seams of both sides meet width / sin(angle / 2) below the tip."""
    half = math.radians(degrees) / 2
    for depth, count in ((10.0, 1), (5.0, 0)):
        # The cut runs across ``depth`` mm from the corner of the seam, 10 / sin(half) below the tip.
        y = 10.0 / math.sin(half) - depth
        x = y * math.tan(half)
        path = Path.through(
            [(-x, y), (x, y), (400 * math.tan(half), 400), (-400 * math.tan(half), 400)], closed=True
        )
        whole = whole_corners(bare_outline(path), lambda edge: 10.0)
        assert whole.cut_off == count
        if count:
            assert np.hypot(*whole.outline.path.nodes.T).min() == pytest.approx(0.0, abs=1e-9)


def test_nothing_is_rebuilt_on_plain_pieces():
    for name, path in shapes.OUTLINES.items():
        if name not in ("tight", "notch", "darts"):
            whole = whole_corners(bare_outline(path), lambda edge: 10.0)
            assert (whole.cut_off, whole.turned_back) == (0, 0), name
