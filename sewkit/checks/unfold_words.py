"""What there is to tell of a piece that was opened at its fold."""

import re
from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.checks.seams import guard
from sewkit.checks.told_by_size import size_words
from sewkit.geometry.polygon import contains
from sewkit.pattern.laid_apart import box_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown
from sewkit.pattern.seam import Seam
from sewkit.pattern.unfolded_piece import OpenedPiece
from sewkit.pattern.unfolding import Peak
from sewkit.report import Finding, Level, Report

# An edge that meets the fold so many degrees off a right angle is square; from the second on it is to
# be looked at.  The opened edge turns by twice as much.
_SQUARE, _LOOK = 0.5, 1.5


def opened_findings(piece: Piece, opened: OpenedPiece) -> List[Finding]:
    """Points and dips on the fold, and notches that are gone."""
    found: List[Finding] = []
    alike: Dict[Tuple[str, bool, str], List[Tuple[str, Peak]]] = {}
    for size, one in opened.sizes.items():
        for peak in one.peaks:
            if peak.degrees / 2.0 > _SQUARE and peak.edge not in opened.piece.darts:
                shape = peak.edge, peak.outward, "{:.1f}".format(peak.degrees)
                alike.setdefault(shape, []).append((size, peak))
    for (edge, outward, degrees), peaks in alike.items():
        sizes, peak = [size for size, _ in peaks], peaks[0][1]
        one = len(opened.sizes) == 1
        text = "{}: {} has a {} of {} degrees on the fold at ({:.0f}, {:.0f}) mm{}.".format(
            shown(piece, sizes[0]) if one else piece.name,
            edge if piece.named else "the outline",
            "point" if outward else "dip",
            degrees,
            *peak.point,
            "" if one else " in {}".format(size_words(sizes, piece.sizes)),
        )
        level = Level.INFO if peak.degrees / 2.0 <= _LOOK else Level.WARN
        cure = "If it is not meant, fold the piece again and make the edge square at the fold first."
        found.append(Finding("fold-angle", level, text, piece.name, peak.point, cure))
    if opened.lost:
        text = "'{}': on the fold there is no edge for the notches any more: {}.".format(
            piece.name, ", ".join(opened.lost)
        )
        found.append(Finding("notch-lost", Level.WARN, text, piece.name))
    return found


def both_sides_walked(before: Pattern, after: Pattern, names: Sequence[str]) -> Report:
    """The seams of pieces that were opened, folded or taken apart, walked in all their sizes.

    Where all of them fit one sentence is enough: nothing has changed its length.
    """
    drawn = {size for name in names for size in after.piece(name).sizes}
    sizes = [size for size in after.sizes if size in drawn] or [""]
    report = guard(before, after, [(size, size) for size in sizes], names)
    if report.worst > Level.PASS or not report.tables:
        return report
    return Report("All their seams fit, on both sides.")


def over_findings(pattern: Pattern, piece: Piece) -> List[Finding]:
    """Pieces over which the opened one lies now."""
    box = box_of(piece)
    over = [
        one.name
        for one in pattern.pieces
        if one.named and one.name != piece.name and one.outlines and _meet(box, box_of(one))
    ]
    if not over or not piece.named:
        return []
    text = "'{}' lies over {} now.".format(piece.name, ", ".join(over))
    return [Finding("over", Level.INFO, text, piece.name, cure="Move it aside before you print.")]


def _meet(one: np.ndarray, other: np.ndarray) -> bool:
    return bool((one[0] < other[1]).all() and (one[1] > other[0]).all())


def stale_findings(pattern: Pattern, piece: Piece, stale: str) -> List[Finding]:
    """Words of the drawing that belong to no piece but stand on this one, and say what is no longer so.

    ``stale``: a regular expression that finds them.
    """
    path = piece.outlines[0].path
    found = []
    for mark in pattern.beside:
        said = mark.text and mark.path is not None and len(mark.path) and re.search(stale, mark.text)
        if said and path.closed and contains(path, mark.middle[None])[0]:
            text = "On '{}' still stands '{}'.".format(piece.name, mark.text)
            spot = float(mark.middle[0]), float(mark.middle[1])
            cure = "Mend these words by hand, or take them away."
            found.append(Finding("stale-words", Level.WARN, text, piece.name, spot, cure))
    return found


def lost_findings(lost: Sequence[Seam], piece: str) -> List[Finding]:
    """Seams that could not be taken over to the opened piece."""
    found = []
    for seam in lost:
        text = "The seam {} could not be kept: it meets the fold of '{}' in the middle.".format(
            seam.name, piece
        )
        found.append(Finding("seam-lost", Level.WARN, text, seam.name, cure="Pair its edges again."))
    return found
