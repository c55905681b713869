"""Darts that a change of length crosses: how wide they are now, and what that does to their edge.

A dart keeps its point and its angle, so where its point moves away from its mouth it takes in more.
"""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.nearest import nearest
from sewkit.pattern.crossed_darts import DartChange
from sewkit.pattern.drawn_dart import DrawnDart, drawn_darts
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.mark import DART
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import edge_at
from sewkit.report import Finding, Level

# A change of a width that can be seen on paper, and legs of a dart that differ by more than a
# pencil's width (mm).
_SEEN = 0.1
_LEGS = 0.3


class _Now(NamedTuple):
    """A dart in words: where it is, its name and edge; width before and after, and its legs (mm)."""

    where: str
    name: str
    edge: str
    before: float
    after: float
    legs: Tuple[float, float]


def dart_findings(piece: Piece, darts: Sequence[DartChange]) -> List[Finding]:
    """What became of darts of the outline that the line crosses; ``piece`` is as it was."""
    found: List[Finding] = []
    for dart in darts:
        outline = piece.outline(dart.size)
        edges = [edge.name for edge in outline.edges]
        beside = quoted(outline, edges[edges.index(dart.name) - 1])
        before = dart.after if dart.whole else dart.before
        one = _Now(_where(piece, dart.size), dart.name, beside, before, dart.after, dart.legs)
        found += _told(one, piece.name, "dart-width")
    return found


def drawn_dart_findings(before: Piece, after: Piece, sizes: Sequence[str]) -> List[Finding]:
    """Darts drawn inside a piece that have another shape now; those that only moved are as they were."""
    found: List[Finding] = []
    for size in sizes:
        outline, now = before.outline(size), {dart.name: dart for dart in drawn_darts(after, size)}
        for dart in drawn_darts(before, size):
            where = _where(before, outline.size)
            if dart.name not in now:
                text = "{}: the drawn dart '{}' is no dart any more; draw it anew."
                found.append(Finding("dart-drawn", Level.WARN, text.format(where, dart.name), before.name))
            elif dart.contour:
                found += _two_pointed(where, dart, now[dart.name], before.name)
            else:
                edge = quoted(outline, _mouth_edge(outline, dart))
                widths = dart.intake, now[dart.name].intake
                one = _Now(where, dart.name, edge, *widths, now[dart.name].lengths)
                found += _told(one, before.name, "dart-drawn")
    return found + _loose_lines(before, after, sizes)


def _told(one: _Now, piece: str, code: str) -> List[Finding]:
    found = []
    more = one.after - one.before
    if abs(more) > _SEEN:
        text = (
            "{}: the dart '{}' keeps its point and its angle, so it is {:.1f} mm wide now, before {:.1f} mm; "
            "{} is {:.1f} mm {} as sewn by that. If it is to fit as before, give the dart its width again "
            "(sewkit dart-change)."
        ).format(
            one.where,
            one.name,
            one.after,
            one.before,
            one.edge,
            abs(more),
            "shorter" if more > 0 else "longer",
        )
        found.append(Finding(code, Level.WARN, text, piece))
    if abs(one.legs[0] - one.legs[1]) > _LEGS:
        text = "{}: the legs of the dart '{}' are {:.1f} and {:.1f} mm long; true it before sewing."
        found.append(Finding("dart-legs", Level.WARN, text.format(one.where, one.name, *one.legs), piece))
    return found


def _two_pointed(where: str, was: DrawnDart, now: DrawnDart, piece: str) -> List[Finding]:
    """A dart with two points is longer or shorter now; wide it is as before."""
    long = [float(np.hypot(*(dart.points[1] - dart.points[0]))) for dart in (was, now)]
    if abs(long[1] - long[0]) <= _SEEN:
        return []
    text = "{}: the line crosses the dart '{}', which is {:.1f} mm long now, before {:.1f} mm."
    return [Finding("dart-drawn", Level.WARN, text.format(where, was.name, long[1], long[0]), piece)]


def _loose_lines(before: Piece, after: Piece, sizes: Sequence[str]) -> List[Finding]:
    """Lines drawn as a dart that form none, and have another shape now."""
    known = [mark for size in sizes for dart in drawn_darts(before, size) for mark in dart.marks]
    changed = 0
    pairs = zip(*([m for m in piece.marks if m.kind == DART and m.path] for piece in (before, after)))
    for was, now in pairs:
        if any(was is mark for mark in known):
            continue
        if len(was.path) != len(now.path):
            changed += 1
        elif np.ptp((now.path.curves - was.path.curves).reshape(-1, 2), axis=0).max() > _SEEN:
            changed += 1
    if not changed:
        return []
    text = "{}: {} drawn for a dart changed; measure the dart."
    words = "a line" if changed == 1 else "{} lines".format(changed)
    return [Finding("dart-drawn", Level.WARN, text.format(before.name, words), before.name)]


def _mouth_edge(outline: Outline, dart: DrawnDart) -> str:
    """The name of the edge on which a drawn dart has its mouth."""
    middle = (dart.legs[0].start + dart.legs[1].start) / 2.0
    return edge_at(outline, nearest(outline.path, middle).place)


def _where(piece: Piece, size: str) -> str:
    return "{} size {}".format(piece.name, size) if size else piece.name
