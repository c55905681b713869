"""The ends of a facing on curved neighbours: closed form on parabolas, and the sample after smoothing."""

from math import asinh, sqrt

import numpy as np
import pytest

from sewkit.files.svg import Drawing, read_tree
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, lines, split_at
from sewkit.operation import find
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef, Seam
from tests.operations.pieces import named

DEEP = 200.0


def beside_a_parabola(bend, name="front"):
    """Top 100 mm; on the right x = 100 + y / 4 + bend y^2, with a node 12 mm down, as smoothing leaves it."""
    corners = np.array([[0.0, 0.0], [100.0, 0.0], [100 + DEEP / 4 + bend * DEEP**2, DEEP], [0.0, DEEP]])
    curves = lines(corners, np.roll(corners, -1, axis=0))
    # A parabola over y as a cubic: the handles at thirds of the height, along the end tangents.
    curves[1, 1] = corners[1] + DEEP / 3 * np.array([0.25, 1.0])
    curves[1, 2] = corners[2] - DEEP / 3 * np.array([0.25 + 2 * bend * DEEP, 1.0])
    path = split_at(Path(curves, True), [Place(1, 12.0 / DEEP)])
    return named(path, "neck shoulder hem centre", name, allowance={"": 10.0, "shoulder": 15.0})


def arc_length(bend, high):
    """The length of the parabola down to y = high: the integral of sqrt(1 + (1/4 + 2 bend y)^2) dy."""

    def whole(slope):
        return (slope * sqrt(1 + slope * slope) + asinh(slope)) / 2

    return (whole(0.25 + 2 * bend * high) - whole(0.25)) / (2 * bend)


@pytest.mark.parametrize("bend", [1 / 800, -1 / 800])
@pytest.mark.parametrize("width", [20.0, 45.0, 70.0])
def test_a_facing_ends_on_the_curved_edge_itself_and_is_sewn_to_the_other_there(width, bend):
    pair = beside_a_parabola(bend), beside_a_parabola(bend, "back")
    shoulder = Seam((EdgeRef("back", "shoulder"),), (EdgeRef("front", "shoulder"),))
    after = find("facing").function(Pattern(pair, (shoulder,)), edges="front/neck back/neck", width=width)
    made = after.pattern.piece("front-neck-facing")
    outline = made.outlines[0]
    assert set(outline.names) == {"centre", "neck", "shoulder", "facing-edge"}
    assert len(outline.edges) == 4
    assert outline.as_sewn("shoulder") == pytest.approx(arc_length(bend, width), abs=1e-3)
    assert outline.as_sewn("facing-edge") == pytest.approx(100 + width / 4 + bend * width**2, abs=1e-3)
    assert made.allowance == {"": 10.0, "shoulder": 15.0, "facing-edge": 0.0}
    both = {"back-neck-facing/shoulder", "front-neck-facing/shoulder"}
    assert any({str(ref) for ref in seam.refs} == both for seam in after.pattern.seams)


def test_the_sample_keeps_its_shoulder_after_smoothing_and_truing():
    """Darts cut in, lines smoothed, darts trued; the ends lie on the shoulder with its dart folded shut."""
    pattern = Drawing(read_tree("samples/bodice/master.svg")).pattern
    pieces = [
        piece._replace(
            outlines=tuple(o for o in piece.outlines if o.size == "A"),
            cut_lines=(),
            marks=tuple(mark for mark in piece.marks if mark.size in ("", "A")),
        )
        for piece in pattern.pieces
    ]
    pattern = pattern._replace(pieces=tuple(pieces))
    for name, values in (("darts", {"action": "cut"}), ("smooth", {}), ("dart-true", {})):
        pattern = find(name).function(pattern, **values).pattern
    parent = pattern.piece("back").outline("A")
    assert any(not _straight(run) for run in parent.runs("shoulder"))
    width = 50.0
    made = find("facing").function(pattern, edges="front/neck back/neck", width=width).pattern
    one, other = (made.piece(name + "-neck-facing").outline("A") for name in ("back", "front"))
    assert [edge.name for edge in one.edges].count("facing-edge") == 1
    assert one.as_sewn("shoulder") == pytest.approx(other.as_sewn("shoulder"), abs=0.1)
    assert width < one.as_sewn("shoulder") < 1.1 * width


def _straight(run):
    chord = Path(lines(run.start[None], run.end[None]))
    return max(nearest(chord, spot).distance for spot in run.curves[:, 1:3].reshape(-1, 2)) < 0.1
