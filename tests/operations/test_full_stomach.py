"""A front longer and wider over the stomach looks as a cutter draws it; Shapely and numpy are the rulers."""

import numpy as np
import pytest

from sewkit.files.svg import open_drawing
from sewkit.geometry.path import derivative, turns
from sewkit.operations.allowance import allowance
from sewkit.operations.fit import fit
from tests.operations.pieces import dense
from tests.operations.test_fit import CHART, MASTER, PEOPLE


@pytest.fixture(scope="module")
def nest():
    return open_drawing(MASTER)[0].pattern


@pytest.fixture(scope="module")
def made(nest):
    return fit(nest, sheet=PEOPLE, row="P05", chart=CHART).pattern


def bends(path):
    """How often an open path changes the way it bends: its directions, sampled; a hundredth counts."""
    ways = np.concatenate([derivative(path.curves, t) for t in np.linspace(0.0, 1.0, 60)])
    ways = ways.reshape(60, len(path), 2).swapaxes(0, 1).reshape(-1, 2)
    turned = np.degrees(np.unwrap(np.arctan2(ways[:, 1], ways[:, 0])))
    steps = np.diff(turned)
    signs = np.sign(steps[np.abs(steps) > 1e-4])
    return int((np.diff(signs) != 0).sum())


def edge(pattern, piece, name, size=None):
    found = pattern.piece(piece)
    return (found.outline(size) if size else found.outlines[0]).edge_path(name)


def test_its_hem_is_one_soft_line(nest, made):
    hem, old = edge(made, "front", "hem"), edge(nest, "front", "hem", "5")

    assert len(hem) == 1 or np.abs(turns(hem)).max() <= 1.0
    assert bends(hem) <= bends(old)


def test_its_hem_meets_the_side_squarely_as_before(made):
    hem, side = edge(made, "front", "hem"), edge(made, "front", "side")
    ways = hem.curves[-1, 3] - hem.curves[-1, 2], side.curves[0, 1] - side.curves[0, 0]
    cosine = ways[0] @ ways[1] / np.hypot(*ways[0]) / np.hypot(*ways[1])

    assert np.degrees(np.arccos(cosine)) == pytest.approx(90.0, abs=0.1)


def test_the_hem_of_its_facing_lies_on_the_hem(made):
    """Within the millimetre that basting takes up; common practice, no source."""
    shapely = pytest.importorskip("shapely")
    facing = dense(edge(made, "front-facing", "hem"))
    hem = dense(edge(made, "front", "hem"))
    moved = facing - facing[0] + hem[0]

    line = shapely.LineString(hem)
    assert max(line.distance(shapely.Point(spot)) for spot in moved) <= 1.0


def test_no_edge_of_it_has_a_new_corner(made):
    for name in ("side", "front-edge"):
        assert np.abs(turns(edge(made, "front", name))).max() <= 1.0


def test_its_centre_front_is_straight_and_the_buttons_lie_on_it(made):
    shapely = pytest.importorskip("shapely")
    marks = made.piece("front").marks
    line = shapely.LineString(dense(next(m.path for m in marks if m.name == "centre-front")))
    ends = shapely.LineString([line.coords[0], line.coords[-1]])

    assert line.hausdorff_distance(ends) <= 0.1
    buttons = [m.path.nodes.mean(axis=0) for m in marks if m.name.startswith("button")]
    assert len(buttons) == 5
    assert max(line.distance(shapely.Point(spot)) for spot in buttons) <= 0.1


def test_its_waist_level_has_no_step(made):
    level = next(m.path for m in made.piece("front").marks if m.name == "waist")

    assert np.abs(turns(level)).max() <= 1.0
    assert bends(level) == 0


def test_its_cut_line_has_no_loop_to_trim(made):
    told = allowance(made, width=10.0, edges="side=25").report.findings

    assert not [finding.text for finding in told if "trimmed" in finding.text]
