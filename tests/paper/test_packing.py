"""Packing: no two pieces nearer than the gap, nothing outside the strip, less paper than in a row."""

import itertools

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.paper.packing import packed
from sewkit.paper.squares import FREE, GRAIN, shape_of
from tests.paper.sheets import chords, ink, rectangle


def shape(path):
    one = ink(path)
    return shape_of(one.drawn, one.outer)


def put(paths, done):
    return [move.path(path) for path, move in zip(paths, done.moves)]


def blob(random):
    angles = np.arange(16) * 2 * np.pi / 16
    radius = random.uniform(40, 180, 2) * random.uniform(0.6, 1.0, (16, 1))
    return Path.through(np.stack([np.cos(angles), np.sin(angles)], axis=1) * radius + 5000.0, closed=True)


@pytest.mark.parametrize("gap", [0.0, 25.0])
def test_pieces_keep_the_gap_and_stay_on_the_strip(gap):
    """Shapely measures the distances."""
    geometry = pytest.importorskip("shapely.geometry")
    random = np.random.RandomState(3)
    paths = [blob(random) for _ in range(6)]

    done = packed([shape(path) for path in paths], 700.0, gap)
    shapes = [geometry.Polygon(path.nodes).buffer(0) for path in put(paths, done)]

    for one, other in itertools.combinations(shapes, 2):
        assert one.intersection(other).area == 0.0
        assert one.distance(other) >= gap - 1e-6
    left, top, right, low = geometry.MultiPolygon(shapes).bounds
    assert left >= -1e-6 and top >= -1e-6 and right <= 700.0 + 1e-6
    assert low == pytest.approx(done.length)


def test_rectangles_that_fill_a_strip_do():
    """Four of 100 x 300 mm fit beside each other on 400 mm with no gap."""
    paths = [rectangle(1000.0 * k, 0.0, 100.0, 300.0) for k in range(4)]

    assert packed([shape(path) for path in paths], 400.0, 0.0).length == pytest.approx(300.0)


def test_a_piece_too_long_for_the_strip_lies_down_unless_the_grain_forbids():
    paths = [rectangle(0.0, 0.0, 600.0, 200.0)]

    assert packed([shape(paths[0])], 300.0, 10.0, FREE).length == pytest.approx(600.0)
    assert packed([shape(paths[0])], 300.0, 10.0, GRAIN) is None


def test_a_piece_goes_into_the_hollow_of_another():
    """A hook of 300 x 300 mm, 60 mm thick, holds a square of 100 mm: the strip is no longer for it."""
    hook = Path.through([(0, 0), (300, 0), (300, 60), (60, 60), (60, 300), (0, 300)], closed=True)
    square = rectangle(0.0, 0.0, 100.0, 100.0)

    done = packed([shape(hook), shape(square)], 300.0, 10.0)

    assert done.length == pytest.approx(300.0)


def test_pieces_are_moved_stiffly_by_quarter_turns_exactly():
    random = np.random.RandomState(5)
    paths = [blob(random) for _ in range(4)]

    for grain, ways in ((True, GRAIN), (False, FREE)):
        moves = packed([shape(path) for path in paths], 500.0, 10.0, ways).moves
        assert len(moves) == 4
        for move in moves:
            matrix = sorted(map(abs, move[:4]))
            assert matrix == [0.0, 0.0, 1.0, 1.0] and move.determinant == 1.0
            assert not grain or (move.b, move.c) == (0.0, 0.0)


def test_the_same_pieces_are_packed_alike():
    random = np.random.RandomState(11)
    paths = [blob(random) for _ in range(5)]
    shapes = [shape(path) for path in paths]

    assert packed(shapes, 600.0, 10.0) == packed(shapes, 600.0, 10.0)


def test_what_a_piece_touches_is_taken():
    """Every chord of a placed line lies at least the gap away from those of all others, curves too."""
    curve = Path(
        [[(0, 0), (0, 300), (200, 300), (200, 0)], [(200, 0), (150, 5), (50, 5), (0, 0)]], closed=True
    )
    paths = [curve, curve, curve]

    done = packed([shape(path) for path in paths], 450.0, 12.0)
    spots = [chords(path).reshape(-1, 2) for path in put(paths, done)]

    for one, other in itertools.combinations(spots, 2):
        assert np.hypot(*(one[:, None] - other[None]).transpose(2, 0, 1)).min() >= 12.0 - 1e-6
