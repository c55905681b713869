"""Has every piece a grain line that is straight, long enough, inside it, and true to its fold?

A grain line is read with a rule against the selvedge, so a short one misleads: over 60 mm a
millimetre is one degree.  Limits of the angle as in ``edge_shapes`` (common practice, no source).
"""

from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.checks.drawn_sizes import drawn_sizes, spot
from sewkit.checks.edge_shapes import GRAIN_GOOD, GRAIN_USABLE
from sewkit.geometry.away import depths
from sewkit.geometry.path import is_line
from sewkit.geometry.polygon import flatten
from sewkit.pattern.cutting import without_darts
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level

# Shorter than this part of the piece along it, and than this (mm), it is too short to lay a rule
# to (common practice, no source).
_SHARE, _SHORT = 0.25, 60.0

# Ends outside by less (mm) lie on the outline.
_OUTSIDE = 1.0

# A grain line that is off by less than this (degrees) was meant to be true to what it is off from;
# more is on purpose, as a bias.
_MEANT = 10.0

# An edge that strays less than this (mm) from its chord, and is longer than the second, shows a direction.
_STRAIGHT, _LONG = 0.2, 80.0


def grain_straight_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """What to look at on the grain lines, piece by piece."""
    found: List[Finding] = []
    told = set()
    upright = _upright_all_but(pattern)
    for piece, outline, where in drawn_sizes(pattern, sizes):
        if not piece.named:
            continue
        marks = [m for m in piece.marks_for(outline.size) if m.kind == GRAIN]
        drawn = [mark for mark in marks if mark.path is not None and len(mark.path)]
        if not drawn:
            found += _none(piece, outline, where, told)
            continue
        if len(drawn) > 1 and (piece.name, "two") not in told:
            told.add((piece.name, "two"))
            text = "{}: it has {} grain lines; only one can be laid along the selvedge."
            cure = "Delete the others."
            words = text.format(where, len(drawn))
            found.append(Finding("grain-twice", Level.WARN, words, where, spot(drawn[1].middle), cure))
        found += _of_one(piece, outline, drawn[0], where, upright.get(piece.name))
    return found


def _none(piece: Piece, outline: Outline, where: str, told: set) -> List[Finding]:
    elsewhere = any(mark.kind == GRAIN for mark in piece.marks)
    if not elsewhere and (piece.name, "none") in told:
        return []
    told.add((piece.name, "none"))
    at = spot(outline.path.nodes.mean(axis=0))
    if elsewhere:
        text = "{}: it has no grain line, other sizes have one.".format(where)
    else:
        text = "{}: it has no grain line; straight down the sheet is taken.".format(piece.name)
    return [Finding("no-grain", Level.WARN, text, piece.name, at, "Draw one and call it grain.")]


def _of_one(
    piece: Piece, outline: Outline, mark: Mark, where: str, upright: Optional[float]
) -> List[Finding]:
    found: List[Finding] = []
    shaft = mark.shaft
    start, end = shaft.start, shaft.end
    chord = end - start
    length = float(np.hypot(*chord))
    middle = spot((start + end) / 2.0)

    def tell(code: str, level: Level, text: str, cure: str) -> None:
        found.append(Finding(code, level, "{}: {}".format(where, text), where, middle, cure))

    if not is_line(shaft.curves).all() and _bend(flatten(shaft, 0.01), start, chord) > _STRAIGHT:
        tell("grain-bent", Level.FAIL, "the grain line is bent.", "Draw it straight again.")
    if length < 1e-6:
        return found
    along = chord / length
    nodes = flatten(outline.path, 1.0) @ along
    extent = float(nodes.max() - nodes.min())
    if length < min(_SHARE * extent, _SHORT):
        text = "the grain line is {:.0f} mm long on a piece of {:.0f} mm; a rule cannot be laid to it."
        tell("grain-short", Level.WARN, text.format(length, extent), "Make it longer.")
    if outline.path.closed:
        ends = np.array([start, end])
        off = float(depths(without_darts(outline, piece.darts).path, ends, _STRAIGHT).max())
        if off > _OUTSIDE:
            text = "the grain line reaches {:.1f} mm out of the piece.".format(off)
            tell("grain-outside", Level.WARN, text, "Move it into the piece.")
    return found + _angle(piece, outline, along, where, middle, upright)


def _bend(spots: np.ndarray, start: np.ndarray, chord: np.ndarray) -> float:
    size = float(np.hypot(*chord)) or 1.0
    away = spots - start
    return float(np.abs(away[:, 0] * chord[1] - away[:, 1] * chord[0]).max() / size)


def _angle(
    piece: Piece,
    outline: Outline,
    along: np.ndarray,
    where: str,
    middle: Tuple[float, float],
    upright: Optional[float],
) -> List[Finding]:
    """How far the grain is from what it should be true to: a straight fold, else the other pieces' grain.

    A seam in the middle of the body is often slanted on purpose, so it tells nothing; and a piece that
    somebody laid aslant on the sheet is not to be cut wrong, so that is only to be looked at.
    """
    cure = "Turn it back to {}."
    for name in piece.folds:
        direction = _direction(outline, name)
        if direction is None:
            continue
        off = _off(along, direction)
        if GRAIN_GOOD < off < _MEANT:
            level = Level.WARN if off <= GRAIN_USABLE else Level.FAIL
            text = "{}: the grain line is {:.1f} degrees off the edge '{}'; the piece would hang twisted."
            words = text.format(where, off, name)
            return [Finding("grain-crooked", level, words, where, middle, cure.format("the edge"))]
        return []
    if upright is not None and GRAIN_GOOD < upright < _MEANT:
        text = "{}: the grain line is {:.1f} degrees off the grain of all other pieces on the sheet."
        words = text.format(where, upright)
        return [Finding("grain-crooked", Level.WARN, words, where, middle, cure.format("theirs"))]
    return []


def _direction(outline: Outline, name: str) -> Optional[np.ndarray]:
    """The direction of an edge that is straight and long, (2,); None for any other."""
    runs = outline.runs(name)
    if not runs:
        return None
    chord = runs[-1].end - runs[0].start
    size = float(np.hypot(*chord))
    if size < _LONG:
        return None
    spots = np.concatenate([flatten(run, 0.05) for run in runs])
    return None if _bend(spots, runs[0].start, chord) > _STRAIGHT else chord / size


def _off(one: np.ndarray, other: np.ndarray) -> float:
    """Degrees from being parallel or square, whichever is nearer, 0 to 45."""
    angle = np.degrees(np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other))
    return float(abs((angle + 45.0) % 90.0 - 45.0))


def _upright_all_but(pattern: Pattern) -> Dict[str, float]:
    """Degrees by which the grain of one piece is off the sheet, where all others lie true to it.

    Only with three pieces or more: of two nobody knows which one is crooked.
    """
    offs: Dict[str, float] = {}
    for piece in pattern.pieces:
        shafts = [m.shaft for m in piece.marks if m.kind == GRAIN and m.path is not None and len(m.path)]
        chords = [shaft.end - shaft.start for shaft in shafts]
        turns = [_off(chord, np.array([0.0, 1.0])) for chord in chords if np.hypot(*chord) > 0]
        if turns and piece.named:
            offs[piece.name] = max(turns)
    crooked = [name for name, off in offs.items() if off > GRAIN_GOOD]
    if len(offs) < 3 or len(crooked) != 1:
        return {}
    return {crooked[0]: offs[crooked[0]]}
