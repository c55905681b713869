"""What there is to tell of a piece that was opened at its fold."""

from typing import List, Sequence

import numpy as np

from sewkit.geometry.polygon import bounds
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown
from sewkit.pattern.seam import Seam
from sewkit.pattern.unfolded_piece import OpenedPiece
from sewkit.report import Finding, Level

# An edge that meets the fold so many degrees off a right angle is square; from the second on it is to
# be looked at.  The opened edge turns by twice as much.
_SQUARE, _LOOK = 0.5, 1.5


def opened_findings(piece: Piece, opened: OpenedPiece) -> List[Finding]:
    """Points and dips on the fold, and notches that are gone."""
    found: List[Finding] = []
    for size, one in opened.sizes.items():
        for peak in one.peaks:
            if peak.degrees / 2.0 <= _SQUARE:
                continue
            text = "{}: {} has a {} of {:.1f} degrees on the fold at ({:.0f}, {:.0f}) mm.".format(
                shown(piece, size),
                peak.edge if piece.named else "the outline",
                "point" if peak.outward else "dip",
                peak.degrees,
                *peak.point,
            )
            level = Level.INFO if peak.degrees / 2.0 <= _LOOK else Level.WARN
            cure = (
                "If it is not meant, fold the piece, make the edge square at the fold, and unfold it again."
            )
            found.append(Finding("fold-angle", level, text, piece.name, peak.point, cure))
    if opened.lost:
        text = "'{}': on the fold there is no edge for the notches any more: {}.".format(
            piece.name, ", ".join(opened.lost)
        )
        found.append(Finding("notch-lost", Level.WARN, text, piece.name))
    return found


def over_findings(pattern: Pattern, piece: Piece) -> List[Finding]:
    """Pieces over which the opened one lies now, or the edge of the sheet beyond which it reaches."""
    box = _box(piece)
    over = [
        one.name
        for one in pattern.pieces
        if one.named and one.name != piece.name and one.outlines and _meet(box, _box(one))
    ]
    if not over or not piece.named:
        return []
    text = "'{}' lies over {} now.".format(piece.name, ", ".join(over))
    return [Finding("over", Level.INFO, text, piece.name, cure="Move it aside before you print.")]


def _box(piece: Piece) -> np.ndarray:
    boxes = np.array([bounds(line.path) for line in (*piece.outlines, *piece.cut_lines) if len(line.path)])
    if not len(boxes):
        return np.zeros((2, 2))
    return np.array([boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)])


def _meet(one: np.ndarray, other: np.ndarray) -> bool:
    return bool((one[0] < other[1]).all() and (one[1] > other[0]).all())


def lost_findings(lost: Sequence[Seam], piece: str) -> List[Finding]:
    """Seams that could not be taken over to the opened piece."""
    found = []
    for seam in lost:
        text = "The seam {} could not be kept: it meets the fold of '{}' in the middle.".format(
            seam.name, piece
        )
        found.append(Finding("seam-lost", Level.WARN, text, seam.name, cure="Pair its edges again."))
    return found
