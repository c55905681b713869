"""Notches at the mouth of a dart: it opens there, so a notch would lie on its leg or beside the paper.

The place of a notch counts as sewn, with darts closed, so half of an edge may be the very seam of a
dart in its middle.
"""

import math
from typing import List, Optional, Sequence, Tuple

from sewkit.geometry.length import path_length
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.notch import distance_from_start, spot_of
from sewkit.pattern.notch_as_sewn import mouths_of
from sewkit.pattern.notch_form import SLIT, WEDGE, apart
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown
from sewkit.report import Finding, Level

# A notch this near to a mouth's end (mm) is at it; less than what scissors tell apart.
_NEAR = 0.5

# Distance along an edge (mm), and the name of the dart whose mouth is there; empty if unknown.
_Foot = Tuple[float, str]


def notch_on_dart_findings(piece: Piece, outline: Outline, marks: Sequence[Mark]) -> List[Finding]:
    """The notches of one size that no edge carries whole, for a dart opens among them.

    Code: ``notch-on-dart``.
    """
    found = [_finding(piece, outline, mark) for mark in marks if mark.kind == NOTCH and mark.on is not None]
    return [one for one in found if one is not None]


def _finding(piece: Piece, outline: Outline, mark: Mark) -> Optional[Finding]:
    on = mark.on
    spot = None if on is None or on.edge in piece.darts else spot_of(outline, on)
    if on is None or spot is None:
        return None
    # A single slit at the very end of a leg can be cut.
    along, room = distance_from_start(outline, on), _half(mark) + _NEAR if _half(mark) else 0.0
    feet = [(abs(foot - along), dart) for foot, dart in _feet(piece, outline, on.edge)]
    away, dart = min(feet, default=(room + 1.0, ""))
    if not room or away > room:
        return None
    where = "{}/{}".format(piece.name, on.edge)
    text = "{}: {} of '{}' lies at the mouth of {}, so it cannot be cut whole.".format(
        shown(piece, outline.size),
        "notch {}".format(mark.name) if mark.name else "a notch",
        on.edge,
        "the dart '{}'".format(dart) if dart else "a dart",
    )
    cure = "Move it {:.0f} mm further away from the dart (sewkit notch --action move --edge {}{}).".format(
        math.ceil(room - away + _NEAR), where, " --which {}".format(mark.name) if mark.name else ""
    )
    point = (float(spot.point[0]), float(spot.point[1]))
    return Finding("notch-on-dart", Level.WARN, text, where, point, cure)


def _half(mark: Mark) -> float:
    """Half of what notches side by side take of their edge (mm)."""
    one = 0.0 if mark.form in ("", SLIT) else WEDGE
    return (one + apart(mark.form) * (max(mark.count, 1) - 1)) / 2.0


def _feet(piece: Piece, outline: Outline, edge: str) -> List[_Foot]:
    """Where mouths begin and end along an edge; one that is cut in takes none of its length."""
    found: List[_Foot] = []
    passed = 0.0
    for number, one in enumerate(outline.edges):
        behind = outline.edges[(number + 1) % len(outline.edges)].name
        if one.name == edge:
            before = outline.edges[number - 1].name
            found += [(passed, before)] if before in piece.darts else []
            passed += path_length(outline.path.part(one.start, one.stop))
            found += [(passed, behind)] if behind in piece.darts else []
    return found + [(foot, "") for mouth in mouths_of(piece, outline, edge) for foot in mouth]
