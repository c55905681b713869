"""What there is to tell about a cut line, or a seam line found inside one."""

from typing import Callable, List, Tuple

import numpy as np

from sewkit.checks.darts import cap_findings
from sewkit.checks.edge_shapes import FOLD_GOOD, FOLD_USABLE
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, end_tangents, start_tangents, turns
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.cutting import SILENT, Cut
from sewkit.pattern.dart import Dart
from sewkit.pattern.dart_cap import Cap, caps, without_cap
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import CENTRE, DOWN, SIDE, UP, Piece
from sewkit.pattern.recut import Recut, kept_width, shown
from sewkit.report import Finding, Level

# A turned-up hem deeper than this on a curve has too much cloth in its edge (mm): the
# more flare, the shallower the hem (American Sewing Guild, hem table; common practice).
_CURVED_HEM_DEPTH = 20.0
_CURVED_HEM_TURN = 3.0  # degrees in all

# Loops smaller than this leave no trace that scissors could follow (mm).
_SEEN = 0.05

# Where the cut line stays this many widths away from an inner corner it does not go in.
_SLIT = 3.0

# To which side a dart is pressed, as it is said.
PRESSED = {CENTRE: "to the centre", SIDE: "to the side", UP: "up", DOWN: "down"}

# An inner corner that turns more than this is no corner but the end of a cut (degrees).
_CUSP = 150.0


def cut_findings(cut: Cut, where: str, gap: float) -> List[Finding]:
    """Gaps closed, loops trimmed, points blunted."""
    found = []
    if gap > SILENT:
        text = "{}: a gap of {:.1f} mm was closed with a straight line.".format(where, gap)
        found.append(Finding("gap-closed", Level.WARN, text, where))
    for trim in cut.result.trimmed:
        if trim.size < _SEEN:
            continue
        text = (
            "{}: the line is too tightly curved for its width near ({:.0f}, {:.0f}) mm; "
            "a loop of {:.1f} mm was trimmed."
        ).format(where, trim.point[0], trim.point[1], trim.size)
        found.append(
            Finding("loop-trimmed", Level.WARN, text, where, (float(trim.point[0]), float(trim.point[1])))
        )
    path = cut.around.path
    for node in cut.result.blunted:
        x, y = (float(value) for value in path.curves[node % len(path), 0])
        text = "{}: the point at ({:.0f}, {:.0f}) mm would be too long and was blunted.".format(where, x, y)
        found.append(Finding("blunted", Level.INFO, text, where, (x, y)))
    return found + _slits(cut, where)


def recut_findings(made: Recut) -> Tuple[Finding, ...]:
    """What there is to tell about cut lines that were made anew, or taken away."""
    found, piece = [], made.piece
    for size, put in zip(made.renewed, made.cuts):
        where = shown(piece, size)
        found += cut_findings(put.cut, where, put.gap)
        found += hem_findings(put.outline, piece, where, kept_width(piece), folds=False)
        found += dart_findings(put.outline, piece, where)
    for size in made.gone:
        where = shown(piece, size)
        text = (
            "{}: the old cut line was taken away; no width of its allowance is kept. "
            "Put the allowance on again."
        ).format(where)
        found.append(Finding("cut-line-gone", Level.WARN, text, where))
    return tuple(found)


def _slits(cut: Cut, where: str) -> List[Finding]:
    """Narrow cuts into the outline that a line outside it cannot follow to their ends."""
    found, path = [], cut.around.path
    bends = turns(path) * (1.0 if signed_area(path) >= 0 else -1.0)
    for node in np.nonzero(bends < -CORNER_TURN)[0]:
        widest = max(cut.widths[node], cut.widths[node - 1])
        x, y = (float(value) for value in path.curves[node, 0])
        if widest <= 0:
            continue
        if bends[node] < -_CUSP or nearest(cut.path, (x, y)).distance > _SLIT * widest:
            text = (
                "{}: the cut that ends at ({:.0f}, {:.0f}) mm is too narrow for its allowance; "
                "the cut line passes over it."
            ).format(where, x, y)
            found.append(Finding("slit", Level.WARN, text, where, (x, y)))
    return found


def dart_findings(outline: Outline, piece: Piece, where: str) -> List[Finding]:
    """Darts over whose mouths the cut line runs straight; caps that are not as they should be."""
    found: List[Finding] = []
    # Over the mouth of a pleat the cut line follows the edge.
    folded = {mouth.name for mouth in fold_mouths(outline, piece.darts)}
    untrued = [n for n in outline.names if n in piece.darts and n not in piece.pressed and n not in folded]
    if untrued:
        text = "{}: the cut line runs straight across the dart; true its mouth before cutting.".format(where)
        found.append(Finding("dart-mouth", Level.WARN, text, where))
    return found + cap_problems(outline, piece, where)


def cap_problems(outline: Outline, piece: Piece, where: str) -> List[Finding]:
    """Trued darts without a cap; caps that stand out too far or go round a corner."""
    found: List[Finding] = []
    for dart in without_cap(piece, outline):
        found.append(_no_cap(dart, piece.pressed[dart.name], where))
    for cap in caps(piece, outline).values():
        found += cap_findings(piece, outline, cap.dart, cap.path)
        found += _round_a_corner(cap, where)
    return found


def _no_cap(dart: Dart, side: str, where: str) -> Finding:
    """A dart that is trued and has no cap, for want of an edge."""
    x, y = (float(value) for value in dart.middle)
    text = (
        "{}: no cap can be drawn for the dart '{}': pressed {}, its intake is not covered by the edge "
        "beside it. Its mouth is cut straight across."
    ).format(where, dart.name, PRESSED[side])
    return Finding("cap", Level.WARN, text, where, (x, y))


def _round_a_corner(cap: Cap, where: str) -> List[Finding]:
    if not cap.corner:
        return []
    text = "{}: the cap of the dart '{}' goes round the corner of the piece beside it; look at it."
    spot = (float(cap.peak[0]), float(cap.peak[1]))
    return [Finding("cap-corner", Level.WARN, text.format(where, cap.dart), where, spot)]


def hem_findings(
    outline: Outline, piece: Piece, where: str, width: Callable[[str], float], folds: bool = True
) -> List[Finding]:
    """Hems that are too deep for their curve, and unless told elsewhere their angle at a fold."""
    found = []
    for name in piece.hems:
        bend = max((_bend(run) for run in outline.runs(name)), default=0.0)
        if bend > _CURVED_HEM_TURN and width(name) > _CURVED_HEM_DEPTH:
            text = (
                "{}: the hem '{}' is curved and {:g} mm deep; its edge will not lie flat. "
                "Make it 20 mm or less, or face it."
            ).format(where, name, width(name))
            found.append(Finding("curved-hem", Level.WARN, text, where))
    return found + (_fold_findings(outline, piece, where) if folds else [])


def _fold_findings(outline: Outline, piece: Piece, where: str) -> List[Finding]:
    """Hems that do not meet the fold at a right angle."""
    found, bends = [], np.abs(turns(outline.path))
    for before, edge in zip(outline.edges[-1:] + outline.edges[:-1], outline.edges):
        names = {before.name, edge.name}
        if not (names & set(piece.folds) and names & set(piece.hems)):
            continue
        off = abs(float(bends[edge.start]) - 90.0)
        if off > FOLD_GOOD:
            x, y = (float(value) for value in outline.path.curves[edge.start, 0])
            text = (
                "{}: the hem meets the fold {:.1f} degrees off a right angle at ({:.0f}, {:.0f}) mm; "
                "the opened piece will have a point or a dip there."
            ).format(where, off, x, y)
            level = Level.INFO if off <= FOLD_USABLE else Level.WARN
            found.append(Finding("fold-angle", level, text, where, (x, y)))
    return found


def _bend(run: Path) -> float:
    """How far an edge turns in all, degrees: within its curves and at its nodes."""
    u, v = start_tangents(run.curves), end_tangents(run.curves)
    within = np.arctan2(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0], (u * v).sum(axis=1))
    at_nodes = np.abs(turns(run)).sum() if len(run) > 1 else 0.0
    return float(np.abs(np.degrees(within)).sum() + at_nodes)
