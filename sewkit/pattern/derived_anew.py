"""A derived piece made anew after its parents have changed.

    new = anew(made.piece, lying, where)

It keeps its place on the sheet, its elements in the drawing, what somebody said of it, and the
marks that were put on it.
"""

from typing import Dict, List, Optional, Sequence, Tuple

from sewkit.geometry.transform import Transform
from sewkit.pattern.derived_place import moved_piece
from sewkit.pattern.mark import GRAIN, NOTCH, OVERLAY, Mark
from sewkit.pattern.piece import CutLine, Piece
from sewkit.pattern.recut import carried, knows_widths, recut


def anew(made: Piece, lying: Piece, where: Transform, was: Optional[Piece] = None) -> Piece:
    """The piece as it was made now, in the place of the one that lies on the sheet.

    ``was``: as it was made before, so that a mark goes that its parent has no more.
    """
    fresh = moved_piece(made, where)
    outlines = tuple(
        outline._replace(key=next((o.key for o in lying.outlines if o.size == outline.size), ""))
        for outline in fresh.outlines
    )
    here = {name for outline in outlines for name in outline.names}
    allowance = {edge: width for edge, width in lying.allowance.items() if not edge or edge in here}
    new = {edge: width for edge, width in fresh.allowance.items() if edge not in lying.allowance}
    if lying.allowance and not (set(new) == {""} and knows_widths(lying)):
        allowance.update({edge: width for edge, width in new.items() if edge})
    lines = _cut_lines(lying, tuple(outline.size for outline in outlines))
    piece = lying._replace(
        outlines=outlines,
        cut_lines=tuple(CutLine(o.size, o.path, lines[o.size]) for o in outlines if o.size in lines),
        marks=_marks(fresh, lying, was, here),
        folds=fresh.folds,
        hems=fresh.hems,
        darts=fresh.darts,
        allowance=allowance,
        corners={both: rule for both, rule in lying.corners.items() if set(both) <= here},
        pressed={dart: side for dart, side in lying.pressed.items() if dart in fresh.darts},
        follows=fresh.follows,
    )
    return with_lines(piece)


def with_lines(piece: Piece) -> Piece:
    """The piece with its cut lines and the ticks of its notches drawn."""
    for outline in piece.outlines:
        if piece.cut_line(outline.size) is None:
            marks = tuple(carried(mark, outline, lambda edge: 0.0) for mark in piece.marks)
            piece = piece._replace(marks=marks)
    return recut(piece, piece.sizes).piece


def _cut_lines(lying: Piece, sizes: Tuple[str, ...]) -> Dict[str, str]:
    """The sizes that have a cut line, with its key; new sizes have one if all others do."""
    known = {line.size: line.key for line in lying.cut_lines}
    every = bool(lying.outlines) and all(size in known for size in lying.sizes)
    return {
        size: known.get(size, "") for size in sizes if size in known or (every and size not in lying.sizes)
    }


def _marks(fresh: Piece, lying: Piece, was: Optional[Piece], here: "set[str]") -> Tuple[Mark, ...]:
    """The marks that came from the parent as they are now, and those that somebody put on the piece."""
    old = dict(_called(lying.marks))
    has_grain = any(mark.kind == GRAIN for mark in lying.marks)
    marks: List[Mark] = []
    taken = {name for name, _ in _called(was.marks)} if was is not None else set()
    for name, mark in _called(fresh.marks):
        taken.add(name)
        if mark.kind == GRAIN and has_grain:
            continue  # it stays where somebody drew it
        one = old.get(name)
        marks.append(mark if one is None else mark._replace(key=one.key, count=one.count, form=one.form))
    sizes = {outline.size for outline in fresh.outlines} | {""}
    kept = []
    for name, mark in old.items():
        gone = mark.kind == NOTCH and mark.on is not None and mark.on.edge not in here
        known = name in taken and mark.kind != GRAIN
        if not known and not gone and mark.size in sizes and mark.kind != OVERLAY:
            kept.append(mark)
    return tuple(marks) + tuple(kept)


_Called = Tuple[str, str, str, str, int]


def _called(marks: Sequence[Mark]) -> List[Tuple[_Called, Mark]]:
    """The marks with what tells them apart: kind, name, size, edge, and the number among those alike."""
    seen: Dict[Tuple[str, ...], int] = {}
    found = []
    for mark in marks:
        name = mark.kind, mark.name, mark.size, mark.on.edge if mark.on is not None else ""
        seen[name] = seen.get(name, 0) + 1
        found.append(((*name, seen[name]), mark))
    return found
