"""Is it known how far a front laps over?

What lies beyond the centre of the body is on the garment twice.  A piece that has buttons inside
its front edge, or a line along it, and no line called centre front is measured too wide by
what laps over, and nothing else would tell.
"""

from typing import List, NamedTuple, Optional, Sequence

import numpy as np

from sewkit.checks.counted import counting, outline_in
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.level_width import centre_line
from sewkit.pattern.mark import BUTTON, BUTTONHOLE, DRILL, INNER, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import grain_axis
from sewkit.report import Finding, Level

# Edges that are the rim of a closure by their name; one with a number may be.
_FRONT_EDGES = ("front-edge", "centre-front", "center-front", "front-centre", "front-center", "cf")

# A centre line is nearer to the edge than this (mm): a broad double-breasted front has 10 cm of
# it.  Nearer than the least, marks and lines are on the edge itself (common practice, no source).
_MOST, _LEAST = 120.0, 3.0

# An edge and a line along it are straight within this (mm), and as parallel.
_STRAIGHT = 1.0

# A line along the edge has at least this share of its length.
_SHARE = 0.5

# An edge that runs down the piece leans against the grain by less (cosine: 25 degrees).
_UPRIGHT = 0.9

# So many drill marks in a row are buttons; two are a pocket.
_ROW, _DRILLED = 2, 3


class _Hint(NamedTuple):
    """What hints at a lap: in words, how far inside the edge (mm), the line where it is one."""

    words: str
    inside: float
    line: Optional[Mark] = None


def lap_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Pieces of the girth that seem to lap over by an amount that is not known, each once."""
    found: List[Finding] = []
    for piece in pattern.pieces:
        for size in sizes:
            outline = outline_in(piece, size)
            if outline is None or not outline.path.closed or piece.folds or not piece.named:
                continue
            if piece.name in counting(pattern, size).names and centre_line(piece, outline.size) is None:
                told = _told(piece, outline)
                if told is not None:
                    found.append(told)
                    break
    return found


def _told(piece: Piece, outline: Outline) -> Optional[Finding]:
    for edge in outline.names:
        run = _rim(piece, outline, edge)
        hint = None if run is None else _hint(piece, outline, edge, run)
        if run is not None and hint is not None:
            text = (
                "No centre front is known on '{}', and {} {:.0f} mm inside {}. If the piece laps over there, "
                "girths are told too large by what laps over, {:.0f} mm of {}."
            ).format(piece.name, hint.words, hint.inside, quoted(outline, edge), hint.inside, _each(piece))
            spot = (run.start + run.end) / 2.0
            where = (float(spot[0]), float(spot[1]))
            return Finding("lap-unknown", Level.WARN, text, piece.name, where, _cure(hint))
    return None


def _each(piece: Piece) -> str:
    return "each of the {}".format(piece.cut) if piece.cut > 1 else "it"


def _cure(hint: _Hint) -> str:
    change = "--action change --role inner-line --called centre-front"
    if hint.line is not None and hint.line.key:
        return "If it is the centre front: sewkit roles --id {} {}.".format(hint.line.key, change)
    return "Draw the centre front on the piece, select it and name it: sewkit roles {}.".format(change)


def _rim(piece: Piece, outline: Outline, edge: str) -> Optional[Path]:
    """The edge, where it may be the rim of a closure: straight, and down the piece."""
    runs = outline.runs(edge)
    if len(runs) != 1 or not (edge in _FRONT_EDGES or edge.isdecimal()):
        return None
    along = runs[0].end - runs[0].start
    length = float(np.hypot(*along))
    if length <= _MOST or _bent(runs[0]) > _STRAIGHT:
        return None
    upright = abs(float(along @ np.array(grain_axis(piece, outline.size)))) / length
    return runs[0] if upright >= _UPRIGHT else None


def _bent(path: Path) -> float:
    """How far a line strays to both sides together (mm)."""
    return float(np.ptp(flatten(path, _STRAIGHT / 10.0) @ _across(path)))


def _across(path: Path) -> np.ndarray:
    along = path.end - path.start
    return np.array([-along[1], along[0]]) / max(float(np.hypot(*along)), 1e-9)


def _hint(piece: Piece, outline: Outline, edge: str, run: Path) -> Optional[_Hint]:
    """A line without a name along the edge, else a row of buttons; None where there is neither."""
    across, length = _across(run), float(np.hypot(*(run.end - run.start)))
    marks = [mark for mark in piece.marks_for(outline.size) if mark.path is not None and len(mark.path)]
    if edge not in _FRONT_EDGES[1:]:  # beyond an edge called centre front nothing laps over but buttons tell
        for mark in marks:
            if mark.kind == INNER and not mark.name and mark.path is not None:
                ends = [float((spot - run.start) @ across) for spot in (mark.path.start, mark.path.end)]
                long = float(np.hypot(*(mark.path.end - mark.path.start))) >= _SHARE * length
                parallel = abs(ends[0] - ends[1]) <= _STRAIGHT and _bent(mark.path) <= _STRAIGHT
                if long and parallel and _LEAST <= abs(ends[0]) <= _MOST:
                    return _Hint("a line without a name runs", abs(ends[0]), mark)
    for kind, least, words in (
        (BUTTON, _ROW, "buttons lie"),
        (BUTTONHOLE, _ROW, "buttonholes lie"),
        (DRILL, _DRILLED, "a row of drill marks lies"),
    ):
        away = [abs(float((mark.middle - run.start) @ across)) for mark in marks if mark.kind == kind]
        in_row = sorted(one for one in away if abs(one - float(np.median(away))) <= _STRAIGHT)
        if len(in_row) >= least and _LEAST <= in_row[0] <= _MOST:
            return _Hint(words, in_row[0])
    return None
