"""Invented nests of garment-like outlines with exact truth, as whole lines.

A piece is a ring of edges; every size has each edge, graded.  How the edges are drawn is
chosen: each size draws its own, or several sizes run together along one line drawn once.
"""

import random
from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np
import pytest

from sewkit.geometry.path import Path, join, lines
from sewkit.geometry.polygon import flatten
from sewkit.sheet.drawn import Style, Whole, Words

try:
    from shapely.geometry import Polygon
except ImportError:  # the oldest Python has none
    Polygon = None

RHYTHMS = ((6.0, 2.0), (2.0, 2.0), (8.0, 1.5, 1.0, 1.5), (4.0, 4.0), (12.0, 3.0), ())
BLACK = Style("#000000", 0.5)
THIN = Style("#000000", 0.25)


class Truth(NamedTuple):
    """One piece's outline in one size, closed, mm."""

    piece: int
    size: int
    path: Path


def style(size: int, told_by: str) -> Style:
    """The style of the size with this number, from 0."""
    if told_by == "dashes":
        return Style("#000000", 0.5, RHYTHMS[size % 6])
    if told_by == "colours":
        return Style("#{:02x}{:02x}80".format(30 + 40 * (size % 5), 10 + 25 * (size // 5)), 0.4)
    return BLACK


def curve(start, end, bulge: float) -> np.ndarray:
    """A bent edge (1, 4, 2): handles at the thirds, moved aside by ``bulge`` of the chord."""
    start, end = np.asarray(start, float), np.asarray(end, float)
    chord = end - start
    aside = np.array([chord[1], -chord[0]]) * bulge
    return np.array([[start, start + chord / 3 + aside, end - chord / 3 + aside, end]])


def bodice(
    x: float, y: float, width: float, length: float, grow: float, same: bool = False
) -> Dict[str, Path]:
    """Edges of a front whose fold lies at ``x``, clockwise from the top of the fold.

    ``same``: neck, shoulder and armhole do not grow, so that sizes run together there.
    """
    up = 0.0 if same else 0.35 * grow
    out = 0.0 if same else grow
    neck = (x, y + 60 - up)
    high = (x + 0.3 * width, y - up)
    tip = (x + 0.8 * width + 0.5 * out, y + 25 - up)
    arm = (x + width + out, y + 0.4 * length)
    side = (x + 0.95 * width + (0.6 * grow if same else grow), y + length + 0.7 * grow)
    foot = (x, y + length + 0.7 * grow)
    return {
        "neck": Path(curve(neck, high, -0.2)),
        "shoulder": Path(lines([high], [tip])),
        "armhole": Path(curve(tip, arm, 0.25)),
        "side": Path(curve(arm, side, 0.03)),
        "hem": Path(curve(side, foot, -0.02)),
        "fold": Path(lines([foot], [neck])),
    }


def ring(edges: Dict[str, Path]) -> Path:
    """All edges as one closed path."""
    return join(list(edges.values()), closed=True)


def run(edges: Dict[str, Path], names: Sequence[str]) -> Path:
    """Some edges in a row as one open path."""
    return join([edges[name] for name in names])


def whole(path: Path, look: Style = BLACK, layers: Tuple[str, ...] = (), order: int = 0) -> Whole:
    """A whole line."""
    return Whole(path, look, layers, order=(1, order, 0))


def polygon(path: Path) -> "Polygon":
    """The path as a Shapely polygon, within 0.001 mm."""
    if Polygon is None:
        pytest.skip("Shapely is not installed")
    return Polygon(flatten(path, 0.001))


def apart(one: Path, other: Path) -> float:
    """How far two closed paths are from each other (mm): Hausdorff's distance by Shapely.

    Without Shapely, by the distance of points from chords, worked here.
    """
    if Polygon is not None:
        return float(polygon(one).exterior.hausdorff_distance(polygon(other).exterior))
    first, second = flatten(one, 0.001), flatten(other, 0.001)
    return max(_farthest(first, second), _farthest(second, first))


def _farthest(points: np.ndarray, ring_points: np.ndarray) -> float:
    start, chord = ring_points, np.roll(ring_points, -1, axis=0) - ring_points
    size = np.maximum((chord**2).sum(axis=1), 1e-18)
    worst = 0.0
    for spot in points:
        along = np.clip(((spot - start) * chord).sum(axis=1) / size, 0.0, 1.0)
        worst = max(worst, float(((spot - start - along[:, None] * chord) ** 2).sum(axis=1).min()))
    return worst**0.5


def say(text: str, x: float, y: float, **more) -> Words:
    """Words of ordinary size."""
    height = more.pop("height", 3.0)
    return Words(text, float(x), float(y), height=height, width=0.5 * height * len(text), **more)


class Drawing(NamedTuple):
    """Lines and their truth."""

    lines: Tuple[Whole, ...]
    truth: Tuple[Truth, ...]


def fronts(
    places: Sequence[Tuple[float, float]],
    sizes: int,
    told_by: str,
    fold: str = "each",
    same: bool = False,
    by: int = -1,
    step: float = 8.0,
    layers: bool = False,
    seed: int = 0,
) -> Drawing:
    """Fronts at some places.

    Args:
        fold: "each" size draws its own; "once" one solid line in a style of its own;
            "largest": only that size draws it.
        same: sizes run together along neck, shoulder and armhole; the size with the number
            ``by`` alone draws them.
        seed: other than 0 shuffles the order and the directions in which lines are drawn.
    """
    drawn: List[Whole] = []
    truth: List[Truth] = []
    for piece, (x, y) in enumerate(places):
        nest = [
            bodice(x, y, 170 + 12 * (piece % 6), 380 + 20 * (piece % 6), step * n, same) for n in range(sizes)
        ]
        for size, edges in enumerate(nest):
            truth.append(Truth(piece, size, ring(edges)))
            names = [name for name in edges if not (name == "fold" and fold != "each")]
            folded = fold == "largest" and size == sizes - 1
            if same and size != by % sizes:
                names = [n for n in names if n in ("side", "hem", "fold")]
            if folded:
                names.append("fold")
            path = run(edges, names)
            if len(names) == len(edges):
                path = Path(path.curves, True)
            layer = ("Size {}".format(36 + 2 * size),) if layers else ()
            drawn.append(whole(path, style(size, told_by), layer, len(drawn)))
        if fold == "once":
            top = min(edges["fold"].end[1] for edges in nest)
            foot = max(edges["fold"].start[1] for edges in nest)
            drawn.append(whole(Path(lines([(x, top)], [(x, foot)])), THIN, ("Marks",) if layers else ()))
    return Drawing(tuple(shuffled(drawn, seed)), tuple(truth))


def shuffled(drawn: Sequence[Whole], seed: int) -> List[Whole]:
    """In another order, some the other way round, closed ones begun elsewhere."""
    drawn = list(drawn)
    if seed:
        dice = random.Random(seed)
        dice.shuffle(drawn)
        for number, line in enumerate(drawn):
            path = line.path
            if path.closed:
                path = path.start_at(dice.randrange(len(path)))
            drawn[number] = line._replace(path=path.reverse() if dice.random() < 0.5 else path)
    return drawn
