"""Whether a pivot sees the places to which the paper is cut: inside the piece, past nothing else."""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings, self_crossings
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, lines, point
from sewkit.geometry.polygon import contains
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.outline import Outline
from sewkit.pattern.parting import with_nodes
from sewkit.pattern.piece import Piece
from sewkit.pattern.spokes import Spoke, in_order, spot_at

# A line to the pivot shorter than this (mm) has no direction that cloth could show.
_SHORT = 5.0

# Where a line ends it touches the outline; that near (mm) it does not cross it.
_AT_THE_END = 0.01

# Two places nearer than this (mm) leave no edge between them: below a pencil's width.
_APART = 0.3


class _Body(NamedTuple):
    """A piece with its spokes' darts closed by a line across the mouth.

    ``arcs``: the name and the path of each run of an edge that is left.
    """

    path: Path
    arcs: Tuple[Tuple[str, Path], ...]


def check_sight(piece: Piece, outline: Outline, pivot: np.ndarray, spokes: Sequence[Spoke]) -> None:
    """Refuse what cannot be cut on paper either.

    ``InputError``: the outline is open (open); the pivot lies outside the piece or on the edge
    (pivot); a place lies in the mouth of a dart or two are one (dart); a straight line to the
    pivot leaves the piece or crosses an edge or another dart, cut in or drawn (line).
    """
    if not outline.path.closed:
        raise InputError(
            "The outline of '{}' is open, so it has no parts to turn.".format(piece.name),
            "Join its two end nodes.",
            code="open",
        )
    spokes = in_order(spokes)
    _apart(piece, outline, spokes)
    body = _body(outline, spokes)
    _inside(piece, pivot, body)
    for spoke in spokes:
        for place in dict.fromkeys((spoke.start, spoke.stop)):
            _seen(piece, outline, spoke, spot_at(outline, place), pivot, body)
    _past_drawn_darts(piece, outline, pivot, spokes)


def refuse_overlap(piece: Piece, before: Outline, after: Outline, pivot: np.ndarray) -> None:
    """``InputError`` (fold-over) where a changed outline lies over itself and the old one did not.

    Darts whose points all lie on the pivot touch there and do not cross.
    """
    over = [met for met in self_crossings(after.path) if np.hypot(*(met.point - pivot)) > _AT_THE_END]
    if not over or self_crossings(before.path):
        return
    raise InputError(
        "'{}' would lie over itself at ({:.0f}, {:.0f}) mm.".format(piece.name, *over[0].point),
        "Turn a smaller part of the dart, or choose another place.",
        code="fold-over",
    )


def _apart(piece: Piece, outline: Outline, spokes: Sequence[Spoke]) -> None:
    spans = [(s.start.curve + s.start.t, s.stop.curve + s.stop.t) for s in spokes]
    for number, (spoke, following) in enumerate(zip(spokes, tuple(spokes[1:]) + tuple(spokes[:1]))):
        low, high = spans[number]
        here, there = spot_at(outline, spoke.stop), spot_at(outline, following.start)
        inside = any(low < start < high for i, (start, _) in enumerate(spans) if i != number)
        if inside or np.hypot(*(there - here)) < _APART:
            raise InputError(
                "On '{}' two places lie on one spot of {}, or one in the mouth of a dart.".format(
                    piece.name, quoted(outline, following.edge)
                ),
                "Choose a place beside the dart.",
                code="dart",
            )


def _body(outline: Outline, spokes: Sequence[Spoke]) -> _Body:
    whole, nodes = with_nodes(outline, [place for s in spokes for place in (s.start, s.stop)])
    count = len(whole.path)
    owner = [e.name for e in whole.edges for _ in range(e.start, e.stop)]
    curves: List[np.ndarray] = []
    arcs: List[Tuple[str, Path]] = []
    for number in range(0, len(nodes), 2):
        start, stop = nodes[number : number + 2]
        if start != stop:
            ends = whole.path.curves[[start, stop], 0]
            curves.append(lines(ends[:1], ends[1:])[0])
        end = nodes[(number + 2) % len(nodes)]
        for step in range((end - stop) % count or count):
            curve = whole.path.curves[(stop + step) % count]
            curves.append(curve)
            arcs.append((owner[(stop + step) % count], Path(curve[None])))
    return _Body(Path(np.array(curves), closed=True), tuple(arcs))


def _inside(piece: Piece, pivot: np.ndarray, body: _Body) -> None:
    near = nearest(body.path, pivot)
    darts = [arc for name, arc in body.arcs if name in piece.darts]
    at_a_dart = any(np.hypot(*(arc.end - pivot)) <= _AT_THE_END for arc in darts)
    if at_a_dart or (contains(body.path, [pivot])[0] and near.distance >= _SHORT):
        return
    where = "on the edge of" if near.distance < _SHORT else "outside"
    raise InputError(
        "The pivot at ({:.0f}, {:.0f}) mm lies {} '{}'.".format(*pivot, where, piece.name),
        "Choose a pivot inside the piece, such as the bust point.",
        code="pivot",
    )


def _seen(
    piece: Piece, outline: Outline, spoke: Spoke, spot: np.ndarray, pivot: np.ndarray, body: _Body
) -> None:
    line = Path.through([pivot, spot])
    if np.hypot(*(spot - pivot)) < _SHORT:
        raise InputError(
            "On '{}' the pivot lies on {}.".format(piece.name, quoted(outline, spoke.edge)),
            "Choose another place, or a pivot further inside.",
            code="pivot",
        )
    samples = point(line.curves, np.array([[0.02, 0.25, 0.5, 0.75, 0.98]]))[0]
    along = [nearest(body.path, sample).distance <= _AT_THE_END for sample in samples]
    crossed = [
        name
        for name, arc in body.arcs
        if _boxes_meet(arc, line)
        for met in crossings(arc, line)
        if min(np.hypot(*(met.point - spot)), np.hypot(*(met.point - pivot))) > _AT_THE_END
    ]
    if not crossed and not any(along[1:4]) and contains(body.path, samples[~np.array(along)]).all():
        return
    if crossed:
        dart = crossed[0] in piece.darts
        what = "the dart '{}'".format(crossed[0]) if dart else quoted(outline, crossed[0])
        how, cure = "crosses {}".format(what), "that dart first" if dart else ""
    else:
        how, cure = "does not run inside the piece", ""
    raise InputError(
        "On '{}' the straight line from the pivot to {} {}.".format(
            piece.name, quoted(outline, spoke.edge), how
        ),
        "Choose a place that the pivot sees{}.".format(", or turn " + cure if cure else ""),
        code="line",
    )


def _boxes_meet(one: Path, other: Path) -> bool:
    """Whether two paths can come together at all: most edges lie far from the line, and this is cheap."""
    first, second = one.curves.reshape(-1, 2), other.curves.reshape(-1, 2)
    apart = np.maximum(first.min(axis=0) - second.max(axis=0), second.min(axis=0) - first.max(axis=0))
    return bool((apart <= _AT_THE_END).all())


def _past_drawn_darts(piece: Piece, outline: Outline, pivot: np.ndarray, spokes: Sequence[Spoke]) -> None:
    """A drawn dart that is cut through could not be sewn; one that only ends at the pivot can."""
    for dart in drawn_darts(piece, outline.size):
        for spoke in spokes:
            for place in dict.fromkeys((spoke.start, spoke.stop)):
                line = Path.through([pivot, spot_at(outline, place)])
                met = [one.point for leg in dart.legs for one in crossings(leg, line)]
                if any(np.hypot(*(spot - pivot)) > _AT_THE_END for spot in met):
                    raise InputError(
                        "On '{}' the straight line from the pivot to {} crosses the dart '{}'.".format(
                            piece.name, quoted(outline, spoke.edge), dart.name
                        ),
                        "Choose a place that the pivot sees, or turn that dart first.",
                        code="line",
                    )
