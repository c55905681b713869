"""Does the cut line lie the kept width outside the seam line everywhere?

A line that was moved by hand leaves its old cut line behind.  Every edge is measured outside its
corners; where that is off, the cut line is made anew in thought and compared, so that a loop that
was trimmed is no fault but one to look at.  Good within 0.2 mm, red from 3 mm.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.checks.cuts import cut_findings
from sewkit.checks.drawn_sizes import drawn_sizes, spot
from sewkit.errors import InputError
from sewkit.geometry.away import depths, distances
from sewkit.geometry.length import curve_lengths
from sewkit.geometry.path import Path, point
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import kept_corner, kept_width, knows_widths, put_on, shown
from sewkit.report import Finding, Level

# How far a cut line may lie from where its width puts it (mm).
ALLOWANCE_GOOD, ALLOWANCE_USABLE = 0.2, 3.0

# Corners reach so many widths along an edge, and so far more (mm); there corner styles rule.
_CORNER, _MORE = 1.2, 2.0

# Where each curve is measured.
_SAMPLES = np.linspace(0.05, 0.95, 7)


class _Off(NamedTuple):
    """The worst place of an edge: how far the cut line is (mm), how far it should be, and where."""

    edge: str
    drawn: float
    meant: float
    point: Tuple[float, float]


def allowance_right_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Cut lines that lie wrong or are missing, piece by piece."""
    found: List[Finding] = []
    for piece, outline, where in drawn_sizes(pattern, sizes):
        line = piece.cut_line(outline.size)
        if not piece.named or line is None or not len(line.path) or not outline.path.closed:
            continue
        found += _of_one(piece, outline, line.path, where)
    return found + _missing(pattern, sizes) + _lost(pattern, sizes)


def _of_one(piece: Piece, outline: Outline, line: Path, where: str) -> List[Finding]:
    if not line.closed:
        text = "{}: the cut line is open.".format(where)
        return [Finding("cut-open", Level.FAIL, text, where, spot(line.end), _AGAIN.format(piece.name))]
    if not knows_widths(piece):
        return _inside(piece, outline, line, where)
    wrong, found = _wrong(piece, outline, line, where)
    for off in wrong:
        miss = abs(off.drawn - off.meant)
        level = Level.WARN if miss <= ALLOWANCE_USABLE else Level.FAIL
        text = "{}: the cut line lies {:.1f} mm from {} near ({:.0f}, {:.0f}) mm and should lie {:g} mm; "
        text += "it is older than the seam line, or one of them was moved."
        words = text.format(where, off.drawn, quoted(outline, off.edge), *off.point, off.meant)
        found.append(Finding("cut-stale", level, words, where, off.point, _AGAIN.format(piece.name)))
    return found


_AGAIN = "Put the allowance on again: sewkit allowance --piece {}."
_NARROWER = "Leave it if the cloth lies flat there; else give that edge less allowance."


def _wrong(piece: Piece, outline: Outline, line: Path, where: str) -> Tuple[List[_Off], List[Finding]]:
    """The worst place of each edge whose cut line lies wrong, in path order; and loops trimmed on it."""
    spots, names, meant = _measured_at(piece, outline)
    if not len(spots):
        return [], []
    drawn = -depths(line, spots)  # a cut line inside its seam line is as wrong as can be
    off = np.abs(drawn - meant) > ALLOWANCE_GOOD
    if not off.any():
        return [], []
    made, trimmed = _made_anew(piece, outline, where)
    if made is not None:
        expected = distances(made, spots)
        off &= np.abs(drawn - expected) > ALLOWANCE_GOOD
        meant = np.where(off, expected, meant)
    found: Dict[str, _Off] = {}
    for number in np.nonzero(off)[0]:
        one = _Off(names[number], float(drawn[number]), float(round(meant[number], 1)), spot(spots[number]))
        worst = found.get(one.edge)
        if worst is None or abs(one.drawn - one.meant) > abs(worst.drawn - worst.meant):
            found[one.edge] = one
    return list(found.values()), [] if found else trimmed


def _measured_at(piece: Piece, outline: Outline) -> Tuple[np.ndarray, List[str], np.ndarray]:
    """Places on the edges away from all corners, the edge of each, and the width it should have."""
    width = kept_width(piece)
    widest = max([width(name) for name in outline.names] + [0.0])
    lengths = curve_lengths(outline.path.curves)
    spots, names, meant = [np.zeros((0, 2))], [], []  # type: List[np.ndarray], List[str], List[float]
    for edge in outline.edges:
        if edge.name in piece.darts:
            continue
        own = lengths[edge.start : edge.stop]
        passed = np.concatenate([[0.0], np.cumsum(own)])
        clear = _CORNER * widest + _MORE
        curves = outline.path.curves[edge.start : edge.stop]
        at = passed[:-1, None] + own[:, None] * _SAMPLES
        keep = (at > clear) & (at < passed[-1] - clear)
        found = point(curves, np.broadcast_to(_SAMPLES, at.shape))[keep]
        if not len(found):
            found = _halfway(curves, own)
        spots.append(found)
        names += [edge.name] * len(found)
        meant += [width(edge.name)] * len(found)
    return np.concatenate(spots), names, np.array(meant)


def _halfway(curves: np.ndarray, lengths: np.ndarray) -> np.ndarray:
    """The middle of an edge that is too short to be measured clear of its corners."""
    middle = int(np.searchsorted(np.cumsum(lengths), lengths.sum() / 2.0))
    return point(curves[middle : middle + 1], 0.5)


def _made_anew(piece: Piece, outline: Outline, where: str) -> Tuple[Optional[Path], List[Finding]]:
    """The cut line as it would be put on now, and what is told of loops trimmed on it."""
    try:
        made = put_on(piece, outline.size, kept_width(piece), kept_corner(piece), piece.mitre_limit)
    except InputError:
        return None, []
    told = [one for one in cut_findings(made.cut, where, made.gap) if one.code == "loop-trimmed"]
    line = made.piece.cut_line(outline.size)
    return line.path if line is not None else None, [one._replace(cure=_NARROWER) for one in told]


def _inside(piece: Piece, outline: Outline, line: Path, where: str) -> List[Finding]:
    """Without a width that is kept all that can be said is whether the seam line lies inside."""
    spots, names, _ = _measured_at(piece, outline)
    for number in np.nonzero(depths(line, spots) > ALLOWANCE_GOOD)[0][:1]:
        x, y = spot(spots[number])
        text = "{}: the seam line runs outside the cut line on {} near ({:.0f}, {:.0f}) mm."
        words = text.format(where, quoted(outline, names[number]), x, y)
        return [Finding("cut-stale", Level.FAIL, words, where, (x, y), _AGAIN.format(piece.name))]
    return []


def _missing(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Sizes without a cut line where others of the piece have one; pieces where others have one."""
    found: List[Finding] = []
    with_lines = [piece for piece in pattern.pieces if piece.named and piece.cut_lines]
    for piece in pattern.pieces:
        if not (piece.named and piece.outlines and with_lines):
            continue
        lacking = [o for o in piece.outlines if o.size in (*sizes, "") and piece.cut_line(o.size) is None]
        if piece.cut_lines and 2 * len(piece.cut_lines) <= len(piece.outlines):
            # Somebody puts allowances on the sizes that are wanted, but then on every piece.
            elsewhere = {line.size for other in with_lines for line in other.cut_lines}
            lacking = [outline for outline in lacking if outline.size in elsewhere]
        if not lacking:
            continue
        at, cure = spot(lacking[0].path.start), _AGAIN.format(piece.name)
        if piece.cut_lines:
            text = "{}: it has no cut line, other sizes have one."
            found += [
                Finding("cut-missing", Level.WARN, text.format(w), w, spot(o.path.start), cure)
                for o, w in ((o, shown(piece, o.size)) for o in lacking)
            ]
        elif any(kept_width(piece)(name) > 0 for name in lacking[0].names) or not piece.allowance:
            text = "{}: it has no cut line, and other pieces have one.".format(piece.name)
            found.append(Finding("cut-missing", Level.WARN, text, piece.name, at, cure))
    return found


def _lost(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Cut lines of sizes that have no seam line any more."""
    found = []
    for piece in pattern.pieces:
        known = {outline.size for outline in piece.outlines}
        for line in piece.cut_lines:
            if line.size not in known and len(line.path) and (line.size in sizes or not line.size):
                where = shown(piece, line.size)
                text = "{}: there is a cut line and no seam line to it.".format(where)
                cure = "Delete it, or give its seam line back its names."
                found.append(Finding("cut-alone", Level.FAIL, text, where, spot(line.path.start), cure))
    return found
