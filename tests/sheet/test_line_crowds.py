"""Hatches and grids: so many alike strokes that comparing each with each would take hours."""

import time

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.sheet import line_doubles, line_near
from sewkit.sheet.drawn import Line, Sheet, Style
from sewkit.sheet.line_near import near_pairs
from sewkit.sheet.scale import witnesses
from sewkit.sheet.whole import whole_lines
from tests.sheet.proofs import line, printed, square, text

BLACK = Style("#000000", 0.2)
# Each of these takes a second or two; comparing each with each took more than a minute.
PATIENCE = 30.0


@pytest.fixture(autouse=True)
def in_time():
    start = time.perf_counter()
    yield
    assert time.perf_counter() - start < PATIENCE


def whole_of(paths):
    lines = [Line(path, BLACK, page=1, order=(1, k, 0)) for k, path in enumerate(paths)]
    return whole_lines(Sheet(1000.0, 1000.0, tuple(lines)))


def straight(*points):
    return Path.through(points)


def nodes_of(wholes):
    return sorted(np.round(whole.path.nodes, 6).tolist() for whole in wholes)


# -- Test squares -------------------------------------------------------------------------

LABEL = text("5 cm", 25, 30)


@pytest.mark.parametrize("shift", [0.0, 0.001])
def test_a_test_square_is_found_beside_thousands_of_equal_squares(shift):
    grid = [square(100 + k * shift, 10, 25.4) for k in range(8000)]

    found = witnesses(printed([*grid, square(10, 10, 50)], [LABEL]))

    assert [one.nominal for one in found] == [(50, 50)]


def test_a_test_square_of_four_strokes_is_found_beside_a_hatch():
    hatch = [line((100 + 0.004 * k, 10), (100 + 0.004 * k, 110)) for k in range(8000)]
    hatch += [line((100, 150 + 0.007 * k), (200, 250 - 0.007 * k)) for k in range(8000)]
    a, b, c, d = (10, 10), (60, 10), (60, 60), (10, 60)

    found = witnesses(printed([*hatch, line(a, b), line(c, b), line(c, d), line(d, a)], [LABEL]))

    assert [one.nominal for one in found] == [(50, 50)]
    assert found[0].measured == pytest.approx((50, 50), abs=1e-9)


def test_a_few_squares_of_one_size_are_no_grid():
    found = witnesses(printed([square(10 + 60 * k, 10, 50) for k in range(3)]))

    assert len(found) == 3


# -- Near points --------------------------------------------------------------------------


def test_pairs_are_as_many_as_there_are():
    points = np.random.RandomState(4).uniform(0, 20, (400, 2))
    apart = np.hypot(*(points[:, None] - points).transpose(2, 0, 1))  # each with each
    wanted = np.argwhere(np.triu(apart <= 1.5, 1))

    assert np.stack(near_pairs(points, np.zeros(400, int), 1.5), axis=1).tolist() == wanted.tolist()


def test_a_crowd_is_left_out_and_what_lies_apart_is_not(monkeypatch):
    monkeypatch.setattr(line_near, "MOST_PAIRS", 10000)
    crowd = np.random.RandomState(5).uniform(0, 1, (2000, 2))
    apart = np.array([[50.0, 50.0], [50.5, 50.0], [80.0, 10.0], [80.0, 10.2]])

    one, two = near_pairs(np.concatenate([crowd, apart]), np.zeros(2004, int), 1.0)

    assert list(zip(one.tolist(), two.tolist())) == [(2000, 2001), (2002, 2003)]


# -- Whole lines --------------------------------------------------------------------------


def test_thousands_of_equal_squares_are_one():
    ring = Path.through([(10, 10), (60, 10), (60, 60), (10, 60)], closed=True)

    assert len(whole_of([ring] * 8000)) == 1


def test_the_lines_of_a_hatch_that_lie_apart_stay():
    paths = [straight((10 + 0.1 * k, 10), (60 + 0.1 * k, 90)) for k in range(4000)]

    assert nodes_of(whole_of(paths)) == sorted(np.round(path.nodes, 6).tolist() for path in paths)


def test_a_line_beside_a_hatch_is_still_made_whole():
    hatch = [straight((100 + 0.004 * k, 10), (100 + 0.004 * k, 110)) for k in range(6000)]
    halves = [straight((10, 10), (10, 50)), straight((10, 50), (10, 90))]

    found = [whole for whole in whole_of(hatch + halves) if whole.path.nodes[0, 0] < 50]

    assert nodes_of(found) == [[[10, 10], [10, 90]]]


def test_what_cannot_be_compared_is_refused_with_a_cure(monkeypatch):
    monkeypatch.setattr(line_doubles, "MOST_COMPARED", 1000)
    with pytest.raises(InputError, match="hatch") as told:
        whole_of([straight((10 + 0.1 * k, 10), (60 + 0.1 * k, 90)) for k in range(100)])

    assert told.value.cure


# -- Lines on each other ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("other", "left"),
    [
        # Worked by hand: the first line runs from (10, 10) to (110, 10); 0.05 mm is one line.
        ([(110, 10), (10, 10)], [[[10, 10], [110, 10]]]),
        ([(40, 10.04), (60, 9.96)], [[[10, 10], [110, 10]]]),
        ([(40, 10.06), (60, 10.06)], [[[10, 10], [110, 10]], [[40, 10.06], [60, 10.06]]]),
        ([(100, 10), (150, 10)], [[[10, 10], [150, 10]]]),
        ([(60, 10), (60, 50)], [[[10, 10], [110, 10]], [[60, 10], [60, 50]]]),
        ([(0, 10), (200, 10)], [[[0, 10], [200, 10]]]),
    ],
)
def test_straight_lines_on_each_other(other, left):
    assert nodes_of(whole_of([straight((10, 10), (110, 10)), straight(*other)])) == left
