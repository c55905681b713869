"""A band: a straight strip as long as the edges it is sewn to, end to end.

    piece = band(pattern, refs, "waistband", width=35.0, doubled=True, extension=25.0)

Its sewn edge is as long as all the edges as sewn.  Where the first edge begins at a fold, so does
the band.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.pattern.derived_ring import with_drawn
from sewkit.pattern.grain_copy import grain_in
from sewkit.pattern.mark import GRAIN, INNER, NOTCH, Mark, On
from sewkit.pattern.notch import notches_on
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.pattern.seam import EdgeRef
from sewkit.pattern.walking import JOINT

# Its edges: the one that is sewn on, what stands out beyond it, and the others.
SEWN, EXTENSION, OUTER, BEGIN, END = "band-edge", "extension", "outer-edge", "band-start", "band-end"

# The line on which a doubled band is folded.
FOLDED = "fold-line"


class _Strip(NamedTuple):
    """One size: how long the sewn edge is (mm), and its notches: name, place and count."""

    long: float
    notches: Tuple[Tuple[str, float, int], ...]


def band(
    pattern: Pattern,
    edges: Sequence[EdgeRef],
    name: str,
    width: float,
    doubled: bool = False,
    extension: float = 0.0,
) -> Piece:
    """The band for some edges, in all sizes of the pieces they are on; its sewn edge begins at (0, 0).

    Args:
        width: as finished, mm; ``doubled``: it is folded along its middle, so it is cut twice as wide.
        extension: how far it stands out beyond the end of the last edge, mm.
    """
    parents = [pattern.piece(ref.piece) for ref in edges]
    folds = _at_fold(parents[0], edges[0], False), _at_fold(parents[-1], edges[-1], True)
    if all(folds) and len(edges) == 1 and not extension:
        raise InputError(
            "Both ends of '{}' lie on a fold.".format(edges[0]),
            "Unfold the piece first, or give the band an extension.",
            code="choice",
        )
    strips = {size: _strip(pattern, edges, size) for size in _sizes(parents)}
    cut = width * (2.0 if doubled else 1.0)
    outlines = tuple(_outline(size, strip.long, cut, extension) for size, strip in strips.items())
    marks: List[Mark] = []
    for size, strip in strips.items():
        marks += [Mark(NOTCH, n, size, None, On(SEWN, at), count) for n, at, count in strip.notches]
        if doubled:
            line = Path.through([(0.0, width), (strip.long + extension, width)])
            marks.append(Mark(INNER, FOLDED, size, line))
    piece = _piece(parents[0], edges[0], name, outlines, tuple(marks), folds[0])
    along = Mark(GRAIN, path=Path.through([(0.0, 0.0), (1000.0, 0.0)]))
    return grain_in(piece, Piece("", marks=(along,)))


def best_ends(pattern: Pattern, edges: Sequence[EdgeRef]) -> Tuple[EdgeRef, ...]:
    """The edges, each turned so that as many as can be meet the next one in a seam.

    Two edges meet where the edges beside them are sewn to each other.
    """
    count = len(edges)
    if count > 6 or any(ref.turned for ref in edges):
        return tuple(edges)
    beside = [_beside(pattern.piece(ref.piece), ref.edge) for ref in edges]
    sewn = {
        frozenset([(one.piece, one.edge), (other.piece, other.edge)])
        for seam in pattern.seams
        for one in seam.first
        for other in seam.second
    }

    def met(turned: Sequence[bool]) -> int:
        rows = [row[::-1] if flip else row for row, flip in zip(beside, turned)]
        found = 0
        for (here, there), one, other in zip(zip(rows, rows[1:]), edges, edges[1:]):
            found += frozenset([(one.piece, here[1]), (other.piece, there[0])]) in sewn
        return found

    ways = [[bool(number >> n & 1) for n in range(count)] for number in range(2**count)]
    best = max(ways, key=lambda way: (met(way), -sum(way)))
    return tuple(ref._replace(turned=flip) for ref, flip in zip(edges, best))


def _beside(piece: Piece, edge: str) -> Tuple[str, str]:
    """The names of the edges before and after one, darts left out."""
    outline = piece.outlines[0]
    outline.edge(edge) or outline.edge_path(edge)
    names = [e.name for e in outline.edges if e.name not in piece.darts]
    first = names.index(edge)
    last = len(names) - 1 - names[::-1].index(edge)
    return names[first - 1], names[(last + 1) % len(names)]


def _at_fold(piece: Piece, ref: EdgeRef, end: bool) -> bool:
    before, after = _beside(piece, ref.edge)
    return (after if end != ref.turned else before) in piece.folds


def _sizes(parents: Sequence[Piece]) -> List[str]:
    sizes = list(dict.fromkeys(size for piece in parents for size in piece.sizes if size))
    missing = [(p.name, s) for s in sizes for p in parents if p.sizes != ("",) and s not in p.sizes]
    kept = [size for size in sizes if size not in {size for _, size in missing}]
    if sizes and not kept:
        raise InputError(
            "'{}' is not drawn in size {}.".format(*missing[0]),
            "Take edges of pieces that are drawn in the same sizes.",
            code="nest",
        )
    return kept or [""]


def _strip(pattern: Pattern, edges: Sequence[EdgeRef], size: str) -> _Strip:
    at = 0.0
    notches: List[Tuple[str, float, int]] = []
    taken: Dict[str, int] = {}
    for number, ref in enumerate(edges):
        piece = with_drawn(pattern.piece(ref.piece), size, [ref.edge])
        outline = piece.outline(size)
        length = outline.as_sewn(ref.edge)
        marks = piece.marks_for(outline.size)
        counts = {m.name: m.count for m in marks if m.on is not None and m.on.edge == ref.edge}
        own = notches_on(marks, outline, ref.edge)
        own = [(n, length - d) for n, d in reversed(own)] if ref.turned else own
        if number:
            notches.append((JOINT + str(number), at, 1))
        for one, distance in own:
            taken[one] = taken.get(one, 0) + 1
            # Walked end to end a name can stand for one place only.
            if not one or taken[one] == 1:
                notches.append((one, at + distance, counts.get(one, 1)))
        at += length
    return _Strip(at, tuple(notches))


def _outline(size: str, long: float, width: float, extension: float) -> Outline:
    spots = [(0.0, 0.0), (long, 0.0)]
    names = [SEWN]
    if extension:
        spots.append((long + extension, 0.0))
        names.append(EXTENSION)
    spots += [(long + extension, width), (0.0, width)]
    names += [END, OUTER, BEGIN]
    path = Path.through(np.array(spots), closed=True)
    return Outline(size, path, tuple(Edge(n, i, i + 1, n == EXTENSION) for i, n in enumerate(names)))


def _piece(
    parent: Piece, ref: EdgeRef, name: str, outlines: Tuple[Outline, ...], marks: Tuple[Mark, ...], fold: bool
) -> Piece:
    allowance = {}
    if parent.allowance:
        usual = parent.allowance.get(ref.edge, parent.allowance.get("", 0.0))
        allowance = {"": parent.allowance.get("", usual), SEWN: usual}
        allowance = {"": usual} if allowance[""] == usual else allowance
    drawn = bool(parent.cut_lines)
    return Piece(
        name,
        outlines,
        tuple(CutLine(o.size, o.path) for o in outlines) if drawn else (),
        marks,
        folds=(BEGIN,) if fold else (),
        allowance=allowance,
        cut=1 if fold else parent.cut * (2 if parent.folds else 1),
        cloth=parent.cloth,
        other_corners=parent.other_corners,
        mitre_limit=parent.mitre_limit,
    )
