"""Are the outlines closed, and does each go once round its piece without crossing itself?

Gaps: up to 0.3 mm an outline counts as closed, up to 3 mm it is closed with a straight line and
told, a wider one is asked about: a dash gap is 2-5 mm, a gap left by design is not.
"""

from typing import List, Sequence

import numpy as np

from sewkit.checks.drawn_sizes import drawn_sizes, spot
from sewkit.geometry.away import may_cross_itself
from sewkit.geometry.intersect import self_crossings
from sewkit.geometry.path import turns
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.cutting import BRIDGED, SILENT
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level

# Two nodes this near to each other (mm) are one that was doubled: nobody draws so short a line.
_DOUBLED = 0.1

# An outline that turns back by more than this (degrees) has a spike without width.
_BACK = 179.5

# What encloses less is no piece (mm2).
_NOTHING = 1.0

# So many crossings of one outline are told; with more it is a scribble.
_MOST = 5


def closed_simple_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Open outlines, outlines that cross themselves, doubled nodes, spikes; in path order."""
    found: List[Finding] = []
    for piece, outline, where in drawn_sizes(pattern, sizes):
        found += _gap(piece, outline, where)
        if not piece.named and not outline.path.closed:
            continue  # a bare line that is open is no outline at all
        found += _crossings(outline, where)
        found += _nodes(piece, outline, where)
    return found


def _gap(piece: Piece, outline: Outline, where: str) -> List[Finding]:
    if outline.path.closed:
        return []
    x, y = spot(outline.path.end)
    gap = float(np.hypot(*(outline.path.end - outline.path.start)))
    if not piece.named:
        text = "{}: a line that is open; it is no outline of a piece.".format(where)
        return [Finding("open", Level.INFO, text, where, (x, y))]
    level = Level.INFO if gap <= SILENT else Level.WARN if gap <= BRIDGED else Level.FAIL
    text = "{}: the outline is open; its ends are {:.2f} mm apart, near ({:.0f}, {:.0f}) mm."
    cure = "Join the two end nodes." if level > Level.INFO else ""
    return [Finding("open", level, text.format(where, gap, x, y), where, (x, y), cure)]


def _crossings(outline: Outline, where: str) -> List[Finding]:
    path = outline.path
    if path.closed and abs(signed_area(path)) < _NOTHING:
        text = "{}: the outline encloses nothing; its lines lie on each other or cancel out.".format(where)
        cure = "Draw the outline once round the piece."
        return [Finding("encloses-nothing", Level.FAIL, text, where, spot(path.start), cure)]
    if not may_cross_itself(path):
        return []
    found = []
    met = self_crossings(path)
    for crossing in met[:_MOST]:
        x, y = spot(crossing.point)
        edges = [_edge_at(outline, place.curve) for place in (crossing.first, crossing.second)]
        names = " and ".join(dict.fromkeys(quoted(outline, name) for name in edges))
        text = "{}: the outline crosses itself near ({:.0f}, {:.0f}) mm, on {}.".format(where, x, y, names)
        cure = "Move the node beside it back, so that the line goes once round the piece."
        found.append(Finding("crosses-itself", Level.FAIL, text, where, (x, y), cure))
    if len(met) > _MOST:
        text = "{}: it crosses itself at {} more places.".format(where, len(met) - _MOST)
        found.append(Finding("crosses-itself", Level.FAIL, text, where, spot(met[_MOST].point)))
    return found


def _edge_at(outline: Outline, curve: int) -> str:
    return next(edge.name for edge in outline.edges if edge.start <= curve < edge.stop)


def _nodes(piece: Piece, outline: Outline, where: str) -> List[Finding]:
    """Nodes that were doubled, and spikes; the point of a dart may be as sharp as it likes."""
    found, path = [], outline.path
    chords = path.curves[:, 3] - path.curves[:, 0]
    reach = np.ptp(path.curves, axis=1).max(axis=1)
    short = np.nonzero((np.hypot(chords[:, 0], chords[:, 1]) < _DOUBLED) & (reach < _DOUBLED))[0]
    if len(short):
        x, y = spot(path.curves[short[0], 0])
        count = "two nodes lie" if len(short) == 1 else "in {} places two nodes lie".format(len(short))
        text = "{}: {} on one spot, near ({:.0f}, {:.0f}) mm.".format(where, count, x, y)
        cure = "Delete one of them: together they may hide a corner or make one."
        found.append(Finding("node-doubled", Level.INFO, text, where, (x, y), cure))
    first = 0 if path.closed else 1
    for number in np.nonzero(np.abs(turns(path)) > _BACK)[0]:
        node = (int(number) + first) % len(path)
        if _edge_at(outline, node) in piece.darts:
            continue
        x, y = spot(path.curves[node, 0])
        text = "{}: the outline runs out and back in a spike at ({:.0f}, {:.0f}) mm.".format(where, x, y)
        cure = "Delete the node at its tip."
        found.append(Finding("spike", Level.FAIL, text, where, (x, y), cure))
    return found
