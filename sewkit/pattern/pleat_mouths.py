"""Pleats folded into an edge: what lies in each becomes a mouth, so the edge is measured as sewn.

    piece, names = with_mouths(piece, size, "waist", [(30.0, 70.0), (130.0, 170.0)])
    piece = without_mouths(piece, size, "waist")       # the edge as it was

A mouth is a run of the edge that is called by a name of its own and listed with the darts; see
``fold_mouth``.  Nothing of the outline moves.  The notches of the edge stay where they are on the
cloth, so their distances become shorter by the pleats before them, or longer again.
"""

import re
from typing import Callable, Dict, List, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import curve_lengths, place_at
from sewkit.geometry.path import point, split_at
from sewkit.geometry.rejoin import rejoined
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.own_notches import own_notches
from sewkit.pattern.piece import Piece
from sewkit.pattern.spoke_joint import Bit, outline_of
from sewkit.pattern.wearer_side import LEFT, RIGHT, without_side

# A pleat begins and ends so far from the ends of its edge and from darts (mm) at least: a fold in the
# crossing seam cannot be sewn.
CLEAR = 1.0

_CALLED = "{}-pleat-{}"


def with_mouths(
    piece: Piece, size: str, edge: str, parts: Sequence[Tuple[float, float]]
) -> Tuple[Piece, Tuple[str, ...]]:
    """The piece with mouths in an edge of one size, and their names in order.

    Args:
        parts: from where to where each lies (mm from the edge's start, as sewn), in order and apart.

    ``InputError`` where one would lie over a dart or the end of the edge.
    """
    old = piece.outline(size)
    names = [_CALLED.format(edge, number) for number in range(1, len(parts) + 1)]
    bits: List[Bit] = []
    passed, used = 0.0, 0
    for number, one in enumerate(old.edges):
        path = old.path.part(one.start, one.stop)
        behind = Bit(one.name, path, one.smooth, number == 0)
        if one.name != edge:
            bits.append(behind)
            continue
        length = float(curve_lengths(path.curves).sum())
        mine = [(a - passed, b - passed) for a, b in parts if passed <= (a + b) / 2.0 <= passed + length]
        for low, high in mine:
            if low < CLEAR - 1e-6 or high > length - CLEAR + 1e-6:
                raise InputError(
                    "A pleat would lie over a dart or over the end of {}.".format(quoted(old, edge)),
                    "Give a part of the edge that holds whole pleats.",
                    code="value",
                )
        bits += _cut(behind, mine, names[used : used + len(mine)])
        passed, used = passed + length, used + len(mine)
    new = outline_of(old, bits)
    darts = tuple(dict.fromkeys((*piece.darts, *names)))

    def moved(on: On, along: float) -> On:
        if on.edge != edge:
            return On(on.edge, along)
        for name, (low, high) in zip(names, parts):
            if low < along < high:
                return On(name, along - low)
        return On(edge, along - sum(high - low for low, high in parts if high <= along))

    return _placed(piece, old, new, moved)._replace(darts=darts), tuple(names)


def without_mouths(piece: Piece, size: str, edge: str) -> Piece:
    """The piece without the mouths that ``with_mouths`` put into an edge of one size."""
    old = piece.outline(size)
    mine = set(mouths_on(piece, old, edge))
    if not mine:
        return piece
    bits: List[Bit] = []
    for number, one in enumerate(old.edges):
        path = old.path.part(one.start, one.stop)
        bit = Bit(edge if one.name in mine else one.name, path, one.smooth, number == 0)
        if bits and (one.name in mine or old.edges[number - 1].name in mine):
            bits[-1] = bits[-1]._replace(path=rejoined(bits[-1].path, path))
        else:
            bits.append(bit)
    parts = _parts(piece, old, edge)

    def moved(on: On, along: float) -> On:
        if on.edge in parts:
            return On(edge, parts[on.edge][0] + along)
        if on.edge == edge:
            for low, high in parts.values():
                along += high - low if low < along else 0.0
            return On(edge, along)
        return On(on.edge, along)

    piece = _placed(piece, old, outline_of(old, bits), moved)
    left = {name for outline in piece.outlines for name in outline.names}
    return piece._replace(darts=tuple(name for name in piece.darts if name not in mine or name in left))


def mouths_on(piece: Piece, outline: Outline, edge: str) -> Tuple[str, ...]:
    """The names of the pleats folded into an edge."""
    # A piece that was opened has them by these names with their sides.
    words = re.escape(_CALLED.format(without_side(edge), "")) + r"\d+(-{}|-{})?\Z".format(LEFT, RIGHT)
    own = re.escape(_CALLED.format(edge, "")) + r"\d+\Z"
    form = re.compile("(?:{}|{})".format(words, own))
    edges = outline.edges
    found = []
    for number, one in enumerate(edges):
        beside = (edges[number - 1].name, edges[(number + 1) % len(edges)].name)
        if one.name in piece.darts and edge in beside and form.match(one.name):
            found.append(one.name)
    return tuple(dict.fromkeys(found))


def _cut(whole: Bit, parts: Sequence[Tuple[float, float]], names: Sequence[str]) -> List[Bit]:
    """One run of an edge with the parts called otherwise."""
    if not parts:
        return [whole]
    spots = [at for part in parts for at in part]
    places = [place_at(whole.path, at) for at in spots]
    cut = split_at(whole.path, places)
    feet = [point(whole.path.curves[place.curve][None], place.t)[0] for place in places]
    # The run is open, so its nodes are one more than its curves.
    nodes = [0, *(int(np.hypot(*(cut.nodes - foot).T).argmin()) for foot in feet), len(cut)]
    called = [whole.name] + [name for pleat in names for name in (pleat, whole.name)]
    found = []
    for number, (start, stop) in enumerate(zip(nodes, nodes[1:])):
        bit = Bit(called[number], cut.part(start, stop), True)
        found.append(bit if number else bit._replace(smooth=whole.smooth, first=whole.first))
    return found


def _parts(piece: Piece, outline: Outline, edge: str) -> Dict[str, Tuple[float, float]]:
    """From where to where the pleats of an edge lie (mm from its start, on the cloth), by name."""
    mine, found, passed = mouths_on(piece, outline, edge), {}, 0.0
    for one in outline.edges:
        length = float(curve_lengths(outline.path.curves[one.start : one.stop]).sum())
        if one.name in mine:
            found[one.name] = (passed, passed + length)
        passed += length if one.name in (edge, *mine) else 0.0
    return found


def _placed(piece: Piece, old: Outline, new: Outline, moved: Callable[[On, float], On]) -> Piece:
    """The piece with an outline in place of another; a place (mm from its edge's start) goes as ``moved``."""
    piece = piece.with_outline(new)
    marks: List[Mark] = []
    for mark in piece.marks:
        if mark.kind != NOTCH or mark.on is None or mark.size not in ("", old.size):
            marks.append(mark)
            continue
        on = moved(mark.on, distance_from_start(old, mark.on))
        if mark.on.from_end and on.edge in new.names:
            on = On(on.edge, new.as_sewn(on.edge) - on.distance, True)
        made = mark._replace(on=on)
        if mark.size or len(piece.outlines) == 1:
            marks.append(made)
        else:
            marks += own_notches(piece, mark, {old.size: made})
    return piece._replace(marks=tuple(marks))
