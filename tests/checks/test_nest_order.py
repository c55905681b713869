"""Sizes in order: they grow, and their lines cross only where the others do."""

import numpy as np

from sewkit.checks.nest_order import nest_order_findings
from sewkit.geometry.path import Path
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Level
from tests.operations.pieces import named_outline


def block(width, height=300.0, bulge=0.0):
    """A block whose right edge may swing out in its middle."""
    return Path.through([(0, 0), (width, 0), (width + bulge, height / 2), (width, height), (0, height)], True)


def nest(*paths, sizes=()):
    names = "top right right-low bottom left" if len(paths[0]) == 5 else "a b c d"
    sizes = sizes or [str(n + 1) for n in range(len(paths))]
    return Piece("front", tuple(named_outline(path, names, size) for path, size in zip(paths, sizes)))


def found(piece):
    return nest_order_findings(Pattern((piece,)), [o.size for o in piece.outlines])


def test_a_nest_that_grows_is_in_order():
    assert found(nest(*(block(100 + 10 * n, 300 + 2 * n, 20) for n in range(6)))) == []


def test_two_sizes_taken_for_each_other():
    widths = [100, 110, 130, 120, 140]
    (one,) = found(nest(*(block(width, bulge=20) for width in widths)))
    assert (one.code, one.level) == ("nest-order", Level.FAIL)
    assert "size 4 is smaller than size 3" in one.text
    # Two trapezia of width w and w + 20 and height 150 each: 300 w + 3000 mm2.
    assert "390 and 420 cm2" in one.text


def test_a_nest_named_the_wrong_way_round_is_told_once():
    (one,) = found(nest(*(block(width, bulge=20) for width in (140, 130, 120, 110))))
    assert one.level is Level.WARN and "from 1 to 4" in one.text


def test_a_pocket_that_serves_all_sizes_is_no_fault():
    assert found(nest(*(block(100, bulge=20) for _ in range(5)))) == []


def test_a_line_that_crosses_only_its_neighbour():
    """In size 3 the bottom is slanted: 8 mm above that of size 2 at one end, 20 mm below at the other."""
    paths = [block(100 + 10 * n, 300 + 10 * n, 20) for n in range(6)]
    curves = np.array(paths[2].curves)
    nodes = [(0, 0), (120, 0), (140, 160), (120, 330), (0, 302)]
    paths[2] = Path.through(nodes, True)
    assert len(curves) == len(paths[2])

    codes = [(f.code, f.level) for f in found(nest(*paths))]

    assert ("nest-crossed", Level.WARN) in codes
    assert all(code == "nest-crossed" for code, _ in codes)


def test_edges_that_cross_in_all_sizes_were_drawn_so():
    """A nest stacked at its middle: the left edges cross nothing, the slanted tops cross in every pair."""
    paths = [
        Path.through(
            [(0, 5.0 * n), (100 + 10 * n, -5.0 * n), (100 + 10 * n, 300 + 5 * n), (0, 300 + 9 * n)], True
        )
        for n in range(5)
    ]
    assert found(nest(*paths)) == []


def test_a_line_made_for_one_body_is_no_size_of_the_nest():
    """It lies among the sizes wherever it likes; letters are graded as numbers are."""
    widths = (100, 110, 120, 105)
    paths = [block(width, bulge=20) for width in widths]
    assert found(nest(*paths, sizes=["1", "2", "3", "P03"])) == []
    assert found(nest(*paths, sizes=["S", "M", "L", "P03"])) == []
    assert [f.code for f in found(nest(*paths, sizes=["S", "M", "L", "XL"]))] == ["nest-order"]
