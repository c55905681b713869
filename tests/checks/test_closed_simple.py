"""Outlines closed and simple: gaps by their limits, crossings judged by Shapely."""

import numpy as np
import pytest

from sewkit.checks.closed_simple import closed_simple_findings
from sewkit.geometry.away import depths, distances, may_cross_itself
from sewkit.geometry.path import Path
from sewkit.pattern.pattern import Pattern
from sewkit.report import Level
from tests.operations.pieces import R1, bare_piece, dense, named, r1

SQUARE = [(0.0, 0.0), (100.0, 0.0), (100.0, 200.0), (0.0, 200.0)]


def found(*pieces, sizes=("",)):
    return closed_simple_findings(Pattern(pieces), sizes)


def numbered(path):
    """A piece whose edges are called 1, 2, ... from corner to corner."""
    return bare_piece(path, "front")._replace(named=True)


def open_square(gap):
    """A square whose last line ends ``gap`` mm below its first node."""
    path = Path.through([*SQUARE, (0.0, gap)])
    return named(path, "top right bottom left")


@pytest.mark.parametrize(
    ("gap", "level"),
    [(0.29, Level.INFO), (0.31, Level.WARN), (2.99, Level.WARN), (3.01, Level.FAIL), (40.0, Level.FAIL)],
)
def test_a_gap_is_told_by_its_width(gap, level):
    """The limits are those of the table: silently up to 0.3 mm, told up to 3, else asked about."""
    (one,) = found(open_square(gap))
    assert (one.code, one.level) == ("open", level)
    assert "{:.2f} mm".format(gap) in one.text and one.point == pytest.approx((0.0, gap))


def test_sound_outlines_give_nothing():
    assert found(r1(), named(Path.through(SQUARE, True), "a b c d", "back")) == []


def test_a_crossing_is_told_with_its_place_and_edges():
    """The two long lines of a bow tie cross in its middle."""
    (one,) = found(numbered(Path.through([(0, 0), (100, 0), (10, 100), (110, 130)], True)))
    # x = 100 - 0.9 y meets x = 110 y / 130 at y = 100 / (0.9 + 11 / 13).
    y = 100.0 / (0.9 + 11.0 / 13.0)
    assert one.code == "crosses-itself" and one.level is Level.FAIL
    assert one.point == pytest.approx((100.0 - 0.9 * y, y), abs=1e-6)
    assert "(2)" in one.text and "(4)" in one.text and "(48, 57)" in one.text


def test_a_line_to_and_fro_encloses_nothing():
    codes = [f.code for f in found(numbered(Path.through([(0, 0), (100, 0), (50, 0)], True)))]
    assert codes[0] == "encloses-nothing" and set(codes[1:]) == {"spike"}


def test_a_spike_and_doubled_nodes():
    spiked = Path.through([(0, 0), (100, 0), (140, 0), (100, 0), (100, 200), (0, 200)], True)
    assert "spike" in [f.code for f in found(numbered(spiked))]

    doubled = Path.through([(0, 0), (100, 0), (100.02, 0.03), (100, 200), (0, 200)], True)
    (one,) = found(numbered(doubled))
    assert (one.code, one.level) == ("node-doubled", Level.INFO)


def test_a_bare_open_line_is_no_broken_outline():
    (one,) = found(bare_piece(Path.through([(0, 0), (100, 0)])))
    assert one.level is Level.INFO


def test_random_polygons_are_judged_as_shapely_judges_them():
    shapely = pytest.importorskip("shapely")
    random = np.random.default_rng(7)
    seen = set()
    for _ in range(150):
        count = int(random.integers(4, 9))
        around = np.sort(random.uniform(0, 2 * np.pi, count)) + random.normal(0, 0.25, count)
        radius = random.uniform(60, 200, count)
        corners = np.stack([np.cos(around), np.sin(around)], 1) * radius[:, None]
        crossed = any(f.code == "crosses-itself" for f in found(numbered(Path.through(corners, True))))
        assert crossed == (not shapely.Polygon(corners).is_valid)
        seen.add(crossed)
    assert seen == {True, False}


def test_the_quick_look_passes_over_no_crossing():
    """A loop of one curve that crosses itself, and one that comes within a hair of itself."""
    loop = Path(
        np.array([[(0, 0), (300, 200), (-200, 200), (100, 0)], [(100, 0), (66, -80), (33, -80), (0, 0)]]),
        True,
    )
    assert may_cross_itself(loop) and not may_cross_itself(R1)


def test_distances_and_sides_are_those_of_shapely():
    shapely = pytest.importorskip("shapely")
    spots = np.random.default_rng(3).uniform((-50, -50), (300, 500), (300, 2))
    polygon = shapely.Polygon(dense(R1))
    judged = [polygon.exterior.distance(shapely.Point(*one)) for one in spots]

    assert distances(R1, spots) == pytest.approx(judged, abs=0.02)
    signs = np.where([polygon.contains(shapely.Point(*one)) for one in spots], -1.0, 1.0)
    assert depths(R1, spots) == pytest.approx(signs * judged, abs=0.02)
