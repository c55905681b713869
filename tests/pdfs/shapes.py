"""Invented shapes for the test scenes: a few cut-out forms, each with how it grows by one size.

Every point is a pair: where it lies in the smallest size, and how far it moves with each size
(mm, y down).  The shapes were thought up for the tests; nothing was traced.  Outlines run
clockwise on the sheet; larger sizes lie outside smaller ones and share at most the fold.
"""

from typing import Dict, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.path import Path, lines

Pair = Tuple[float, float]
Graded = Tuple[Pair, Pair]


class Edge(NamedTuple):
    """From the end of the edge before: three points a curve, or one point for a straight line."""

    name: str
    points: Tuple[Graded, ...]


class Shape(NamedTuple):
    """A cut-out form.

    Args:
        start: first point of the outline.
        edges: in order; the last one ends at the start.
        fold: name of the straight edge that all sizes share, or empty.
        grain: x, top and bottom of the grain line.
        name_at: where the name is written.
        notches: edge, place on its middle curve (0..1), how many ticks.
        dart: x of its point, half its width and its depth, from the straight hem, or None.
        lengthen: y of the upper of the two lines, their left and right ends, or None.
        drill: middle of a drill hole, or None.
    """

    start: Graded
    edges: Tuple[Edge, ...]
    fold: str = ""
    grain: Tuple[float, float, float] = (60.0, 100.0, 300.0)
    name_at: Pair = (80.0, 210.0)
    notches: Tuple[Tuple[str, float, int], ...] = ()
    dart: Optional[Tuple[float, float, float]] = None
    lengthen: Optional[Tuple[float, float, float]] = None  # y, left, right
    drill: Optional[Pair] = None
    number_on: str = "side"  # a right-hand edge; the size's number stands outside it


BODICE = Shape(
    ((0, 70), (0, -3)),
    (
        Edge("neck", (((30, 70), (0, -3)), ((60, 44), (-2, -4)), ((62, 10), (-2, -4)))),
        Edge("shoulder", (((150, 40), (6, -4)),)),
        Edge("armhole", (((138, 100), (6, -3)), ((150, 180), (7, -3)), ((180, 185), (8, -2)))),
        Edge("side", (((164, 250), (8, -1)), ((165, 330), (8, 3)), ((172, 400), (8, 5)))),
        Edge("hem", (((115, 408), (5, 5)), ((60, 408), (2, 5)), ((0, 408), (0, 5)))),
        Edge("fold", (((0, 70), (0, -3)),)),
    ),
    fold="fold",
    grain=(40.0, 120.0, 340.0),
    notches=(("armhole", 0.5, 1), ("side", 0.4, 1)),
    lengthen=(300.0, 12.0, 160.0),
    drill=(120.0, 150.0),
)

BACK = Shape(
    ((0, 36), (0, -3)),
    (
        Edge("neck", (((26, 36), (0, -3)), ((58, 30), (-2, -4)), ((62, 10), (-2, -4)))),
        Edge("shoulder", (((148, 36), (6, -4)),)),
        Edge("armhole", (((144, 100), (6, -3)), ((152, 178), (7, -3)), ((180, 182), (8, -2)))),
        Edge("side", (((166, 250), (8, -1)), ((167, 330), (8, 3)), ((174, 400), (8, 5)))),
        Edge("hem", (((0, 400), (0, 5)),)),
        Edge("fold", (((0, 36), (0, -3)),)),
    ),
    fold="fold",
    grain=(36.0, 90.0, 350.0),
    notches=(("armhole", 0.55, 2), ("side", 0.4, 1)),
    dart=(95.0, 10.0, 110.0),
    lengthen=(232.0, 12.0, 160.0),
)

SLEEVE = Shape(
    ((0, 130), (-9, -4)),
    (
        Edge(
            "cap",
            (
                ((60, 130), (-8, -4)),
                ((80, 0), (-3, -5)),
                ((150, 0), (0, -5)),
                ((220, 0), (3, -5)),
                ((236, 134), (8, -4)),
                ((300, 130), (9, -4)),
            ),
        ),
        Edge("under", (((245, 330), (5, 5)),)),
        Edge("wrist", (((55, 330), (-5, 5)),)),
        Edge("over", (((0, 130), (-9, -4)),)),
    ),
    grain=(150.0, 50.0, 290.0),
    name_at=(170.0, 160.0),
    notches=(("cap", 0.55, 2),),
    lengthen=(240.0, 40.0, 262.0),
    drill=(150.0, 20.0),
    number_on="under",
)

PANEL = Shape(
    ((0, 12), (0, -3)),
    (
        Edge("waist", (((40, 12), (1, -3)), ((82, 8), (4, -4)), ((112, 0), (5, -4)))),
        Edge(
            "side",
            (
                ((134, 50), (7, -2)),
                ((158, 90), (8, 0)),
                ((162, 150), (8, 1)),
                ((166, 210), (8, 2)),
                ((170, 330), (8, 4)),
                ((174, 420), (8, 5)),
            ),
        ),
        Edge("hem", (((116, 430), (5, 5)), ((60, 432), (2, 5)), ((0, 432), (0, 5)))),
        Edge("fold", (((0, 12), (0, -3)),)),
    ),
    fold="fold",
    grain=(40.0, 80.0, 380.0),
    notches=(("side", 0.7, 1),),
    lengthen=(330.0, 12.0, 150.0),
)

PATCH = Shape(
    ((0, 0), (-3, -3)),
    (
        Edge("top", (((120, 0), (7, -3)),)),
        Edge("right", (((120, 100), (7, 2)),)),
        Edge("round", (((120, 128), (7, 3)), ((92, 140), (3, 3)), ((60, 140), (0, 3)))),
        Edge("round", (((28, 140), (-2, 3)), ((0, 128), (-3, 3)), ((0, 100), (-3, 2)))),
        Edge("left", (((0, 0), (-3, -3)),)),
    ),
    grain=(30.0, 20.0, 110.0),
    name_at=(48.0, 60.0),
    drill=(60.0, 30.0),
    number_on="right",
)

BAND = Shape(
    ((0, 24), (-4, -2)),
    (
        Edge("outer", (((70, 6), (-2, -3)), ((160, -4), (5, -3)), ((220, 0), (8, -3)))),
        Edge("end", (((228, 56), (8, 3)),)),
        Edge("inner", (((160, 50), (5, 3)), ((80, 62), (-2, 3)), ((6, 84), (-4, 3)))),
        Edge("start", (((0, 24), (-4, -2)),)),
    ),
    grain=(110.0, 16.0, 50.0),
    name_at=(122.0, 34.0),
    notches=(("outer", 0.5, 1),),
    number_on="end",
)


def drawn_edges(shape: Shape, step: float, scale: float = 1.0) -> Dict[str, Path]:
    """The edges of one size; ``step`` counts sizes from the smallest.

    An edge name that comes twice is joined into one edge.
    """
    here = _placed(shape.start, step, scale)
    found: Dict[str, Path] = {}
    for edge in shape.edges:
        points = [_placed(graded, step, scale) for graded in edge.points]
        if len(points) == 1:
            curves = lines(np.array([here]), np.array(points))
        else:
            curves = np.array([[here] + points[:3]])
            for first in range(3, len(points), 3):
                curve = [points[first - 1]] + points[first : first + 3]
                curves = np.concatenate([curves, [curve]])
        if edge.name in found:
            curves = np.concatenate([found[edge.name].curves, curves])
        found[edge.name] = Path(curves)
        here = curves[-1, 3]
    return found


def _placed(graded: Graded, step: float, scale: float) -> np.ndarray:
    base, grade = graded
    return np.array(base, float) * scale + np.array(grade, float) * step
