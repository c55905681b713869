"""A drawn dart cut into the outline.

    piece, dart = cut_in(piece, size, drawn)

Cut in, the legs are part of the outline: the edge is measured with the dart closed, and what
lay between the feet, straight across or drawn as a cap, is gone.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings, crossings_with_line
from sewkit.geometry.length import curve_lengths, path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, cut, is_line, join, lines, point, start_tangents, turns
from sewkit.geometry.polygon import contains
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_lines import TOUCH
from sewkit.pattern.drawn_dart import DrawnDart
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.notch_places import Gain, moved
from sewkit.pattern.outline import Edge, Outline, begun_at_an_edge
from sewkit.pattern.parting import with_nodes
from sewkit.pattern.piece import Piece

# A leg that begins inside the piece is prolonged by at most this (mm): bought patterns draw
# darts from the seam line, and where the outline is the cut line an allowance lies between,
# an inch at most.
_PROLONGED = 26.0

# A foot this near to the seam line (mm) stands on it.
_ON_LINE = 0.02

# What lies between the feet may stray by this (mm) from the way straight across, and further
# only as a cap does: by (w/2) tan t for the width w and the angle t where the edge is square to
# the dart's axis (closed form), half as much again where it is not; its peak near the middle.
_STRAYS, _CAP, _MIDDLE = 2.0, 0.75, (0.25, 0.75)
_STEEPEST = np.radians(60.0)


class _Row(NamedTuple):
    """A run of an edge; ``begins``: the outline began there before."""

    name: str
    run: Path
    begins: bool


def cut_in(piece: Piece, size: str, drawn: DrawnDart) -> Tuple[Piece, Dart]:
    """The piece with a drawn dart cut into the outline of one size, and the dart.

    Legs that begin beyond the seam line are cut off there, those that begin inside are
    prolonged to it.  The dart's marks go when all sizes they serve have it, and notches keep
    their place on the cloth.  ``InputError``: a dart with two points; a leg that does not reach
    the seam line; a point outside the piece; a corner of the piece between the feet.
    """
    old = piece.outline(size)
    where = "'{}' of {}".format(drawn.name, _shown(piece, old))
    _refuse(old, drawn, where)
    tip = drawn.points[0]
    feet = [_reaching(old.path, _ended(leg, tip), where) for leg in drawn.legs]
    whole, nodes = with_nodes(old, [place for place, _ in feet])
    legs = [_started(leg, whole.path.nodes[node % len(whole.path)]) for node, (_, leg) in zip(nodes, feet)]
    first, last = _in_order(whole, nodes, legs, where)
    one, other = legs[nodes.index(first)], legs[nodes.index(last)]
    new, gains = _with_legs(whole, first, last, drawn.name, one, other)
    piece = piece._replace(darts=tuple(dict.fromkeys(piece.darts + (drawn.name,)))).with_outline(new)
    finished = all(drawn.name in outline.names for outline in piece.outlines)
    marks: List[Mark] = []
    for mark in piece.marks:
        mine = mark.size == old.size or not mark.size and finished
        if mine and mark in drawn.marks:
            continue
        kept = moved(mark, old, new, gains) if mine and mark.kind == NOTCH else mark
        marks += [kept] if kept is not None else []
    piece = piece._replace(marks=tuple(marks))
    return piece, dart_named(piece, new, drawn.name)


def _shown(piece: Piece, outline: Outline) -> str:
    return "'{}'{}".format(piece.name, " size {}".format(outline.size) if outline.size else "")


def _refuse(outline: Outline, drawn: DrawnDart, where: str) -> None:
    if drawn.contour:
        raise InputError(
            "The dart {} has two points and lies inside the piece, so it cannot be cut in.".format(where),
            "True, move or widen it as it is.",
            code="contour",
        )
    closed = outline.path.closed
    if not closed or not contains(outline.path, drawn.points)[0] or _on(outline.path, drawn.point):
        raise InputError(
            "The point of the dart {} does not lie inside the piece.".format(where),
            "Draw both legs to a point inside the outline.",
            code="dart",
        )


def _on(outline: Path, spot: np.ndarray) -> bool:
    return nearest(outline, spot).distance <= TOUCH


def _ended(leg: Path, tip: np.ndarray) -> Path:
    """A leg drawn to a point a little beside its own."""
    return _started(leg.reverse(), tip).reverse()


def _started(leg: Path, spot: np.ndarray) -> Path:
    """A leg that begins at another place: turned about its end and as much longer or shorter."""
    if len(leg) == 1 and is_line(leg.curves)[0]:
        return Path(lines(spot[None], leg.end[None]))
    old, new = complex(*(leg.start - leg.end)), complex(*(spot - leg.end))
    if abs(old - new) == 0:
        return leg
    away = leg.curves - leg.end
    turned = (away[..., 0] + 1j * away[..., 1]) * (new / old)
    curves = np.stack([turned.real, turned.imag], axis=-1) + leg.end
    curves[0, 0], curves[-1, 3] = spot, leg.end
    return Path(curves)


def _reaching(outline: Path, leg: Path, where: str) -> Tuple[Place, Path]:
    """Where a leg begins on the outline, and the leg from there to its point."""
    foot = nearest(outline, leg.start)
    if foot.distance <= _ON_LINE:
        return foot.place, leg
    met = crossings(leg, outline)
    if met:
        last = met[-1]
        return last.second, cut(leg, last.first, Place(len(leg) - 1, 1.0))
    way = -start_tangents(leg.curves[:1])[0]
    ahead = []
    for place in crossings_with_line(outline, leg.start, way):
        spot = point(outline.curves[place.curve][None], place.t)[0]
        along = float((spot - leg.start) @ way)
        if along > 0:
            ahead.append((along, place, spot))
    if not ahead or min(ahead, key=lambda one: one[0])[0] > _PROLONGED:
        raise InputError(
            "A leg of the dart {} ends {:.0f} mm short of the seam line, at ({:.0f}, {:.0f}) mm.".format(
                where, foot.distance, *leg.start
            ),
            "Draw it on to the seam line.",
            code="dart",
        )
    _, place, spot = min(ahead, key=lambda one: one[0])
    if len(leg) == 1 and is_line(leg.curves)[0]:
        return place, Path(lines(spot[None], leg.end[None]))
    return place, Path(np.concatenate([lines(spot[None], leg.start[None]), leg.curves]))


def _in_order(outline: Outline, nodes: Sequence[int], legs: Sequence[Path], where: str) -> Tuple[int, int]:
    """The feet in the order in which the short way between them runs."""
    one, other = nodes
    feet = outline.path.nodes[[one, other]]
    if one == other or np.hypot(*(feet[1] - feet[0])) <= TOUCH:
        fault = "begin at one place"
    else:
        ways = [outline.path.part(a, b) for a, b in ((one, other), (other, one))]
        short = int(path_length(ways[1]) < path_length(ways[0]))
        if _is_a_mouth(ways[short], feet - legs[0].end):
            return (other, one) if short else (one, other)
        fault = "begin on both sides of a corner of the piece"
    raise InputError(
        "The legs of the dart {} {}.".format(where, fault),
        "Draw each leg from its own end of the mouth to the point.",
        code="dart",
    )


def _is_a_mouth(between: Path, ways: np.ndarray) -> bool:
    """Whether what lies between two feet is a mouth, straight or with a cap, and no corner.

    ``ways``: from the point to each foot, (2, 2).
    """
    across = between.end - between.start
    width = float(np.hypot(*across))
    spots = point(between.curves, np.linspace(0, 1, 9)[None]).reshape(-1, 2) - between.start
    away = np.abs(spots[:, 0] * across[1] - spots[:, 1] * across[0]) / width
    furthest = int(away.argmax())
    angle = abs(np.arctan2(ways[0, 0] * ways[1, 1] - ways[0, 1] * ways[1, 0], ways[0] @ ways[1]))
    along = float(spots[furthest] @ across) / width**2
    cap = _STRAYS + _CAP * width * np.tan(min(angle, _STEEPEST))
    return bool(away[furthest] <= _STRAYS or away[furthest] <= cap and _MIDDLE[0] <= along <= _MIDDLE[1])


def _with_legs(
    outline: Outline, first: int, last: int, name: str, one: Path, other: Path
) -> Tuple[Outline, Tuple[Gain, ...]]:
    """The outline with the stretch between two nodes replaced by legs; and what the edges lost.

    Args:
        one, other: legs from the first and the last node to the point.
    """
    count = len(outline.path)
    kept = (first - last) % count
    found: List[Tuple[int, _Row]] = []
    lost: List[Gain] = []
    passed: Dict[str, float] = {}
    for edge in outline.edges:
        whole = outline.path.part(edge.start, edge.stop)
        low = (edge.start - last) % count
        # Nodes counted from the second foot: up to ``kept`` stays, the rest is taken out.  An
        # edge that the foot divides lies at both ends of the count.
        for begin in (low, low - count):
            stays = max(begin, 0), min(begin + len(whole), kept)
            if stays[0] < stays[1]:
                run = whole.part(stays[0] - begin, stays[1] - begin)
                found.append((stays[0], _Row(edge.name, run, edge.start == 0 and stays[0] == begin)))
            goes = max(begin, kept), min(begin + len(whole), count)
            if goes[0] < goes[1]:
                before = curve_lengths(whole.curves[: goes[0] - begin]).sum()
                length = path_length(whole.part(goes[0] - begin, goes[1] - begin))
                lost.append(Gain(edge.name, passed.get(edge.name, 0.0) + float(before), -length))
        passed[edge.name] = passed.get(edge.name, 0.0) + path_length(whole)
    rows = [row for _, row in sorted(found, key=lambda pair: pair[0])]
    rows += [_Row(name, one, False), _Row(name, other.reverse(), False)]
    return begun_at_an_edge(_assembled(outline, rows), [name]), tuple(lost)


def _assembled(outline: Outline, rows: List[_Row]) -> Outline:
    """Runs end to end, from where the outline began if there is a corner still."""
    path = join([row.run for row in rows], closed=True, tolerance=1e-3)
    starts = np.cumsum([0] + [len(row.run) for row in rows])
    bends = np.abs(turns(path))
    begun = next((n for n, row in enumerate(rows) if row.begins and bends[starts[n]] > CORNER_TURN), 0)
    path, bends = path.start_at(int(starts[begun])), np.roll(bends, -int(starts[begun]))
    edges: List[Edge] = []
    at = 0
    for row in rows[begun:] + rows[:begun]:
        smooth = bool(edges and bends[at] <= CORNER_TURN)
        if smooth and edges[-1].name == row.name:
            edges[-1] = edges[-1]._replace(stop=at + len(row.run))
        else:
            edges.append(Edge(row.name, at, at + len(row.run), smooth))
        at += len(row.run)
    return outline._replace(path=path, edges=tuple(edges))
