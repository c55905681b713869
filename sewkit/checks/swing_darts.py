"""What a swing does to darts, and to edges that come from the other size as a whole.

A dart in an edge that swings takes its mouth from the place where it stands, so the edge as sewn
changes by other numbers than the edge it is sewn to, which may have no dart.
"""

from typing import Dict, List, Mapping, Tuple

import numpy as np

from sewkit.checks.drawn_closed import with_darts
from sewkit.geometry.length import distance_of
from sewkit.geometry.nearest import nearest
from sewkit.pattern.dart import Dart, darts_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.swing import Band, Window
from sewkit.report import Finding, Level

# Mouths and legs that differ by less (mm) are equal: 0.0 in words.
_TOLD = 0.05

# An edge that lies lower or higher by less (mm) is where it was.
_MOVED = 1.0


def swing_dart_findings(
    piece: Piece, first: Outline, second: Outline, made: Outline, windows: Mapping[str, Window], band: Band
) -> Tuple[Finding, ...]:
    """Darts that stand in what swings, legs that differ now, and edges that lie lower or higher.

    Args:
        piece: with the new line and its marks.

    Codes: ``swing-dart``, ``legs``, ``swing-moved``; the first and the last are notes.
    """
    was, there, now = (_darts(piece, one.size) for one in (first, second, made))
    closed = with_darts(piece, made.size).outline(made.size)
    found: List[Finding] = []
    for name, dart in now.items():
        edge = next((edge for edge, window in windows.items() if _stands_in(dart, closed, edge, window)), "")
        if edge and name in was and name in there:
            found.append(_taken(piece, edge, (was[name], there[name], dart), (first, second, made)))
        apart = abs(dart.lengths[0] - dart.lengths[1])
        if apart > max(
            _TOLD, abs(was[name].lengths[0] - was[name].lengths[1]) + _TOLD if name in was else 0.0
        ):
            text = "{} size {}: the legs of the dart '{}' differ by {:.1f} mm now."
            cure = "True it (sewkit dart-true --dart {}).".format(name)
            words = text.format(piece.name, made.size, name, apart)
            found.append(Finding("legs", Level.WARN, words, piece.name, None, cure))
    return (*found, *_moved(piece, first, made, windows, band))


def _darts(piece: Piece, size: str) -> Dict[str, Dart]:
    """The darts of one size with one point, cut in or drawn, by their names."""
    closed = with_darts(piece, size)
    return {dart.name: dart for dart in darts_of(closed, closed.outline(size))}


def _stands_in(dart: Dart, outline: Outline, edge: str, window: Window) -> bool:
    """Whether the mouth of a dart lies on an edge where it swings."""
    passed, whole = 0.0, outline.as_sewn(edge)
    for run in outline.runs(edge):
        for leg in dart.mouth:
            near = nearest(run, leg)
            if near.distance <= _TOLD:
                along = passed + distance_of(run, near.place)
                along = whole - along if window.from_end else along
                return bool(along > window.start)
    return False


def _taken(
    piece: Piece, edge: str, darts: Tuple[Dart, Dart, Dart], outlines: Tuple[Outline, Outline, Outline]
) -> Finding:
    text = (
        "{}/{}: the dart '{}' stands in the part that swings; it takes {:.1f} mm in size {}, {:.1f} in size "
        "{} and {:.1f} in size {}, so the edge as sewn does not change as the edge it is sewn to."
    )
    pairs = [part for dart, one in zip(darts, outlines) for part in (dart.intake, one.size)]
    where = "{}/{}".format(piece.name, edge)
    words = text.format(piece.name, edge, darts[2].name, *pairs)
    return Finding("swing-dart", Level.INFO, words, where)


def _moved(
    piece: Piece, first: Outline, made: Outline, windows: Mapping[str, Window], band: Band
) -> List[Finding]:
    """Edges that lie lower or higher as a whole than on the line that was left."""
    found = []
    down = np.array(band.axis)
    for name in first.names:
        if name in windows or name in piece.darts or name in piece.folds or len(first.runs(name)) == 0:
            continue
        old, new = first.runs(name), made.runs(name)
        ends = [(b.start - a.start) @ down for a, b in zip(old[:1], new[:1])]
        ends += [(b.end - a.end) @ down for a, b in zip(old[-1:], new[-1:])]
        if len(ends) < 2 or min(abs(end) for end in ends) <= _MOVED or ends[0] * ends[1] < 0:
            continue
        far = sorted("{:.1f}".format(abs(end)) for end in ends)
        text = "{}: the edge '{}' lies {} mm {} than in size {}."
        way = "lower" if ends[0] > 0 else "higher"
        words = text.format(piece.name, name, " to ".join(dict.fromkeys(far)), way, first.size)
        found.append(Finding("swing-moved", Level.INFO, words, "{}/{}".format(piece.name, name)))
    return found
