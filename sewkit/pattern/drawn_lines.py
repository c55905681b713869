"""What a change is made to, and the lines that were drawn or picked for it.

Whoever adapts a piece on paper draws a line across it first.  Here that line is an open
path over the piece, a line of the piece itself (a lengthen line, a level, an inner line),
or the line between two of the outline's nodes.
"""

from typing import Dict, List, NamedTuple, Set, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path, is_line, join
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedNode, PickedOutline
from sewkit.pattern.mark import INNER, LENGTHEN, LEVEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

# Marks that lie across or along a piece; a picked notch or label only tells its piece.
_LINES = (LENGTHEN, LEVEL, INNER)

# Lines of one mark go together when their directions differ by less (sine): one degree.
_ALONGSIDE = 0.0175

# Lines of one mark this near to being one line (mm) are one with a gap in it, for a dart or a word.
_GAP = 1.0

# Two lengthen lines nearer than this (mm) are the two edges of one place: they are printed
# a few mm to half an inch apart, and nobody lengthens twice within an inch (common practice).
PAIR = 25.4


class Subjects(NamedTuple):
    """The outlines (mm) to change, each with its piece, and the lines drawn for it, in order."""

    outlines: Tuple[Tuple[Piece, Outline], ...]
    lines: Tuple[Path, ...]


def subjects(pattern: Pattern, chosen: Chosen) -> Subjects:
    """Tell outlines from drawn lines among what was picked.

    Picked open paths that nobody has named are lines; so are picked lines of a piece, and
    two picked nodes of one outline.  Where nothing else was picked, all named pieces are
    meant.  A picked line that belongs to one size means that size of its piece.
    ``InputError``: there is no outline at all; or not two nodes are picked on one.
    """
    picked = chosen.picked(pattern) if chosen.outlines or not _named(pattern) else ()
    outlines = [pair for pair in picked if not _is_line(*pair)]
    lines = [outline.path for piece, outline in picked if _is_line(piece, outline) and len(outline.path)]
    if not outlines and _named(pattern):
        outlines = [pair for pair in EVERYTHING.picked(pattern) if pair[0].named]
    if not outlines and not any(piece.outlines for piece in pattern.pieces):
        raise InputError(
            "There is no outline in this drawing.", "Draw the piece as a closed line.", code="choice"
        )
    if not outlines:
        raise InputError(
            "{} selected, and no outline.".format("Only an open line is" if lines else "Nothing is"),
            "Select the closed outline of the piece as well.",
            code="choice",
        )
    marks = _picked_marks(pattern, chosen)
    lines += [line for _, mark in marks for line in lines_of(mark)]
    lines += _between_nodes(pattern, chosen)
    return Subjects(tuple(_of_their_size(outlines, marks)), tuple(lines))


def separate(path: Path) -> Tuple[Path, ...]:
    """The lines of a path that was drawn with gaps, each by itself and in order."""
    if not len(path):
        return ()
    gaps = np.hypot(*(path.curves[1:, 0] - path.curves[:-1, 3]).T)
    cuts = [0, *(int(i) + 1 for i in np.flatnonzero(gaps > SAME_POINT)), len(path)]
    return tuple(join([path.part(start, stop)]) for start, stop in zip(cuts, cuts[1:]))


def lines_of(mark: Mark) -> Tuple[Path, ...]:
    """The lines of a mark (mm): one with gaps in it counts once, and so does a pair of lengthen lines.

    Between the two lines of a pair the piece is cut apart or folded: the line is half way.
    """
    found: List[Path] = []
    for line in separate(mark.path) if mark.path is not None else ():
        for number, other in enumerate(found):
            apart = _apart(other, line)
            if apart <= _GAP:
                found[number] = _whole(other, line)
                break
            if apart <= PAIR and mark.kind == LENGTHEN:
                found[number] = half_way(other, line)
                break
        else:
            found.append(line)
    return tuple(found)


def half_way(first: Path, second: Path) -> Path:
    """The straight line half way between two lines, whichever way each was drawn."""
    ends = np.array([first.start, first.end])
    others = np.array([second.start, second.end])
    if (ends[1] - ends[0]) @ (others[1] - others[0]) < 0:
        others = others[::-1]
    return Path.through((ends + others) / 2.0)


def _apart(first: Path, second: Path) -> float:
    """How far (mm) one straight line lies beside another; endless where they do not run alike."""
    a, b = first.end - first.start, second.end - second.start
    longer = np.hypot(*a)
    if not (is_line(first.curves).all() and is_line(second.curves).all()) or not longer > 0:
        return float("inf")
    if abs(a[0] * b[1] - a[1] * b[0]) > _ALONGSIDE * longer * np.hypot(*b):
        return float("inf")
    way = (second.start + second.end) / 2.0 - first.start
    return float(abs(a[0] * way[1] - a[1] * way[0]) / longer)


def _whole(first: Path, second: Path) -> Path:
    """One straight line over two with a gap between them."""
    ends = np.array([first.start, first.end, second.start, second.end])
    along = ends @ (first.end - first.start)
    return Path.through([ends[along.argmin()], ends[along.argmax()]])


def _named(pattern: Pattern) -> bool:
    return any(piece.named for piece in pattern.pieces) or any(not p.healed for p in pattern.problems)


def _is_line(piece: Piece, outline: Outline) -> bool:
    return not piece.named and not outline.path.closed


def _picked_marks(pattern: Pattern, chosen: Chosen) -> List[Tuple[str, Mark]]:
    """Picked marks that are lines, each with its piece's name, in the order of picking."""
    known = {
        mark.key: (piece.name, mark)
        for piece in pattern.pieces
        for mark in piece.marks
        if mark.key and mark.kind in _LINES and mark.path is not None and len(mark.path)
    }
    return [known[key] for key in dict.fromkeys(chosen.marks) if key in known]


def _of_their_size(
    outlines: List[Tuple[Piece, Outline]], marks: List[Tuple[str, Mark]]
) -> List[Tuple[Piece, Outline]]:
    """Without those sizes of a piece that a picked line of one size does not mean."""
    meant: Dict[str, Set[str]] = {}
    for name, mark in marks:
        meant.setdefault(name, set()).add(mark.size)
    kept = []
    for piece, outline in outlines:
        sizes = meant.get(piece.name, {""})
        if "" in sizes or outline.size in sizes or not sizes & set(piece.sizes):
            kept.append((piece, outline))
    return kept


def _between_nodes(pattern: Pattern, chosen: Chosen) -> List[Path]:
    """A line between the two picked nodes of each outline; those of drawn lines do not count."""
    found: Dict[PickedOutline, List[PickedNode]] = {}
    for node in chosen.nodes:
        piece = pattern.piece(node.piece)
        if not _is_line(piece, piece.outline(node.size)):
            found.setdefault(PickedOutline(node.piece, node.size), []).append(node)
    for (name, _), nodes in found.items():
        if len(nodes) != 2 or np.hypot(*np.subtract(nodes[0].point, nodes[1].point)) < SAME_POINT:
            raise InputError(
                "{} selected on '{}'.".format(_count(nodes), name),
                "Select two, between which the line runs; or none.",
                code="choice",
            )
    return [Path.through([node.point for node in nodes]) for nodes in found.values()]


def _count(nodes: List[PickedNode]) -> str:
    if len(nodes) == 2:
        return "Two nodes on one spot are"
    return "One node is" if len(nodes) == 1 else "{} nodes are".format(len(nodes))
