"""Legs drawn over an outline go when their dart is cut in: the outline has them now.

    outcome = legs_taken(pattern, chosen, after, report)

Left in the drawing they would be taken for another dart in the next step.
"""

from typing import List

import numpy as np

from sewkit.errors import InputError
from sewkit.operation import Outcome
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.dart_lines import TOUCH
from sewkit.pattern.drawn_dart import DrawnDart, lines_as_dart
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report


def legs_taken(pattern: Pattern, chosen: Chosen, after: Pattern, report: Report) -> Outcome:
    """The outcome of a change for which a dart was drawn over outlines, without its lines.

    ``pattern``: as it was before the change.  Lines that do not belong to the dart stay.
    """
    gone = _drawn_for(pattern, chosen)
    if not gone:
        return Outcome(after, report)
    pieces = tuple(piece for piece in after.pieces if piece.named or piece.name not in gone)
    text = "The drawn line{} of the dart {} in the outline now and taken out of the drawing."
    words = text.format("" if len(gone) == 1 else "s", "is" if len(gone) == 1 else "are")
    told = Finding("legs-taken", Level.INFO, words)
    return Outcome(after._replace(pieces=pieces), report._replace(findings=(*report.findings, told)))


def _drawn_for(pattern: Pattern, chosen: Chosen) -> List[str]:
    """The picked bare lines that draw a dart over the first picked outline, by their pieces' names."""
    if not chosen.outlines:
        return []
    open_lines = [(p, o) for p, o in chosen.picked(pattern) if not p.named and not o.path.closed]
    found = subjects(pattern, chosen._replace(nodes=(), marks=())) if open_lines else None
    if found is None or not found.lines:
        return []
    try:
        dart = lines_as_dart(found.outlines[0][1], found.lines)
    except InputError:
        return []  # the dart was named in words, and these are other lines
    return [
        p.name for p, o in open_lines if len(o.path) and _draws(np.array([o.path.start, o.path.end]), dart)
    ]


def _draws(ends: np.ndarray, dart: DrawnDart) -> bool:
    """Whether a line with these ends (2, 2) is a leg, the line between both, or the mouth."""
    spots = np.concatenate([dart.points, [leg.start for leg in dart.legs]])
    on = np.hypot(*np.moveaxis(ends[:, None] - spots[None], -1, 0)) <= TOUCH
    return bool(on[:, : len(dart.points)].any() or on.any(axis=1).all())
