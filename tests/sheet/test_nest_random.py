"""Random nests of garment-like outlines, drawn in every way: all outlines found, within 0.01 mm.

The truth is made before the drawing; Shapely judges.  Every example is told by its seed.
"""

import random

import numpy as np
import pytest

from sewkit.geometry.path import Path, join
from sewkit.geometry.polygon import bounds
from sewkit.sheet.groups import group_lines
from sewkit.sheet.nest import find_pieces
from tests.sheet.nests import (
    Truth,
    apart,
    curve,
    fronts,
    shuffled,
    style,
    whole,
)

NEAR = 0.01


def grown(dice, x, y, sizes):
    """A ring of five to nine edges about (x, y), graded: every corner moves outwards, at its own pace.

    Some corners stand still in all sizes, so that sizes run together between two of them.
    """
    corners = dice.randint(5, 9)
    turns = np.sort(
        np.linspace(0, 2 * np.pi, corners, endpoint=False) + [dice.uniform(-0.2, 0.2) for _ in range(corners)]
    )
    radii = [dice.uniform(110, 170) for _ in range(corners)]
    paces = [dice.uniform(4.0, 9.0) for _ in range(corners)]
    still = dice.randrange(corners) if dice.random() < 0.7 else None
    if still is not None:
        paces[still] = paces[(still + 1) % corners] = 0.0
    bulges = [dice.uniform(-0.06, 0.12) for _ in range(corners)]
    nest = []
    for size in range(sizes):
        at = [
            (x + (r + p * size) * np.cos(t), y + 1.3 * (r + p * size) * np.sin(t))
            for r, p, t in zip(radii, paces, turns)
        ]
        nest.append([curve(at[n], at[(n + 1) % corners], bulges[n]) for n in range(corners)])
    return nest, still


def drawn(dice, told_by):
    """Lines and truth: a shared edge is drawn by each size, by one, or by a line of its own."""
    sizes = dice.randint(2, 6)
    lines, truth = [], []
    for piece in range(dice.randint(1, 4)):
        nest, still = grown(dice, 250.0 + 480 * piece, 300.0 + dice.uniform(-20, 20), sizes)
        owner = dice.choice(["each", 0, sizes - 1, "own line"]) if still is not None else "each"
        for size, edges in enumerate(nest):
            closed = join([Path(edge) for edge in edges], closed=True)
            truth.append(Truth(piece, size, closed))
            if owner in ("each", size):
                lines.append(whole(closed, style(size, told_by), order=len(lines)))
            else:
                rest = [Path(e) for e in edges[still + 1 :] + edges[:still]]
                lines.append(whole(join(rest), style(size, told_by), order=len(lines)))
        if owner == "own line":
            lines.append(
                whole(Path(nest[0][still]), style(99, "dashes")._replace(width=0.2), order=len(lines))
            )
    return shuffled(lines, dice.randrange(1, 10**6)), truth


@pytest.mark.parametrize("told_by", ["colours", "dashes", "nothing"])
@pytest.mark.parametrize("seed", range(12))
def test_every_outline_of_a_random_nest_is_found(told_by, seed):
    dice = random.Random(1000 * seed + len(told_by))
    lines, truth = drawn(dice, told_by)
    sizes = max(t.size for t in truth) + 1

    found = find_pieces(lines, [], group_lines(lines, []))

    outlines = [outline.path for piece in found.pieces for outline in piece.outlines]
    assert len(outlines) == len(truth)
    assert [len(piece.outlines) for piece in found.pieces] == [sizes] * (len(truth) // sizes)
    for t in truth:
        near = [p for p in outlines if np.abs(np.subtract(bounds(p), bounds(t.path))).max() < 0.1]
        assert min((apart(p, t.path) for p in near), default=np.inf) <= NEAR
    assert found.open_lines == ()


@pytest.mark.parametrize("seed", range(6))
def test_a_moved_drawing_gives_the_moved_pieces(seed):
    dice = random.Random(seed)
    drawing = fronts([(20, 80), (320, 80)], 4, "colours", dice.choice(["each", "once", "largest"]), seed=seed)
    shift = np.array([dice.uniform(-900, 900), dice.uniform(-900, 900)])
    moved = [line._replace(path=Path(line.path.curves + shift, line.path.closed)) for line in drawing.lines]

    here = find_pieces(drawing.lines, [], group_lines(drawing.lines, []))
    there = find_pieces(moved, [], group_lines(moved, []))

    for one, other in zip(here.pieces, there.pieces):
        assert one.inside == other.inside
        for a, b in zip(one.outlines, other.outlines):
            assert a.lines == b.lines
            assert np.abs(a.path.curves + shift - b.path.curves).max() <= 1e-6
