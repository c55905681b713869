"""How far a swing reaches: from the edge that leads to the edges sewn to it."""

from typing import Dict, List, Optional, Sequence, Tuple

from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import Span, band_of, grain_axis, offsets, runs_across, shifted_band, window_at
from sewkit.pattern.swing import Band, Window

Windows = Dict[str, Dict[str, Window]]


def partner_windows(
    pattern: Pattern,
    leading: Piece,
    edge: str,
    window: Window,
    pieces: Sequence[Piece],
    size: str,
    by_axis: bool,
) -> Windows:
    """The window on the leading edge and on every edge sewn to it, step by step.

    Both sides of a seam swing over the same distances from the point where they meet:
    along the edge, or with ``by_axis`` along the grain.
    """
    found: Windows = {leading.name: {edge: window}}
    by_name = {piece.name: piece for piece in pieces}
    lengths = offsets(leading.outline(size), edge, window, grain_axis(leading, size)) if by_axis else None
    queue = [(leading.name, edge)]
    while queue:
        here = queue.pop(0)
        for name, other, turned in _sewn_to(pattern, *here):
            piece = by_name.get(name)
            if piece is None or other not in piece.outline(size).names or other in found.get(name, {}):
                continue
            from_end = found[here[0]][here[1]].from_end ^ turned
            found.setdefault(name, {})[other] = _window_on(piece, other, size, window, from_end, lengths)
            queue.append((name, other))
    return found


def _sewn_to(pattern: Pattern, piece: str, edge: str) -> List[Tuple[str, str, bool]]:
    """Pieces and edges sewn to one edge alone, and whether they run the other way."""
    found = []
    for seam in pattern.seams:
        if len(seam.first) == len(seam.second) == 1:
            for here, there in (seam.refs, seam.refs[::-1]):
                if (here.piece, here.edge) == (piece, edge):
                    found.append((there.piece, there.edge, here.turned ^ there.turned))
    return found


def _window_on(
    piece: Piece, edge: str, size: str, window: Window, from_end: bool, lengths: Optional[Tuple[float, float]]
) -> Window:
    outline, axis = piece.outline(size), grain_axis(piece, size)
    if lengths is None or lengths[1] - lengths[0] < 1.0 or runs_across(outline, edge, axis):
        return window._replace(from_end=from_end)
    return window_at(outline, edge, from_end, lengths, axis)


def band_on(
    piece: Piece, leading: Piece, windows: Dict[str, Window], band: Band, size: str, span: Span
) -> Band:
    """The band on one piece: from its own swinging edge, else by a level in common."""
    for name, window in windows.items():
        return band_of(piece.outline(size), name, window, grain_axis(piece, size))
    return shifted_band(band, leading, piece, size, span.level)
