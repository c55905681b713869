"""The marks of a half when it is opened: what lies beside the fold comes twice, what crosses it is whole.

    marks, lost = opened_marks(piece, {"": opened})

Levels and lines that end on the fold run on over it as one line.  Words are not mirrored, the
grain line stays as it is, and the fold bracket gives way to the fold line itself.
"""

import re
from typing import Dict, List, Mapping, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import Path, Place, cut, lines
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import Transform
from sewkit.pattern.mark import DART, FOLD, GRAIN, INNER, LABEL, LENGTHEN, LEVEL, NOTE, OVERLAY, Mark, On
from sewkit.pattern.own_notches import own_notches
from sewkit.pattern.piece import Piece
from sewkit.pattern.unfolding import Opened
from sewkit.pattern.wearer_side import other_side, sided, without_side

# A mark whose middle lies this near to the fold (mm) sits on it, and there is one of it.
ON_FOLD = 0.5

# Lines through the piece that go on over the fold, if they do not end on it as well.
ACROSS = (LEVEL, LENGTHEN)
LINES = (LEVEL, LENGTHEN, INNER, DART)

# What is said of a piece on the fold, and what while it is opened.
ON_THE_FOLD, OPENED_OUT = "on the fold", "(opened out)"

# A fold line drawn in place of a bracket says so by its form.
BRACKET = "bracket"

CAP = "cap-"


def opened_marks(piece: Piece, opened: Mapping[str, Opened]) -> Tuple[Tuple[Mark, ...], Tuple[str, ...]]:
    """The marks of all sizes, with the fold lines; and the names of notches that have no place any more.

    A mark that serves all sizes is mirrored in the fold of the first.
    """
    first = next(iter(opened.values()))
    marks: List[Mark] = []
    lost: List[str] = []
    for mark in piece.marks:
        here = opened.get(mark.size, first)
        if mark.kind in (FOLD, OVERLAY):
            continue
        if mark.on is not None:
            made = _placed(piece, mark, opened, here)
            lost += [] if made else [mark.name or mark.kind]
            marks += made
        else:
            marks += _drawn(mark, here, piece.darts)
    bracket = any(mark.kind == FOLD for mark in piece.marks)
    form = BRACKET if bracket else ""
    lines_ = [Mark(INNER, one.fold.name, size, one.fold.path, form=form) for size, one in opened.items()]
    grain = [] if any(mark.kind == GRAIN for mark in marks) else [_grain(one) for one in _each(opened)]
    return tuple(marks + lines_ + grain), tuple(lost)


def _each(opened: Mapping[str, Opened]) -> List[Opened]:
    """One for each different fold."""
    found: List[Opened] = []
    for one in opened.values():
        if not any(one.fold.path == other.fold.path for other in found):
            found.append(one)
    return found


def _grain(opened: Opened) -> Mark:
    """The fold was the grain of a piece that has no grain line: now it is drawn along it."""
    path = opened.fold.path
    way = path.end - path.start
    line = Path.through([path.start + 0.15 * way, path.start + 0.85 * way])
    return Mark(GRAIN, opened.fold.name, opened.half.size, line)


# -- notches and what else has a place on an edge --------------------------------------------


def _placed(piece: Piece, mark: Mark, opened: Mapping[str, Opened], here: Opened) -> List[Mark]:
    """A mark on an edge, and its twin; each size its own where the place differs from size to size."""
    assert mark.on is not None
    both: List[Mark] = []
    for mirrored in (False, True):
        by_size: Dict[str, Optional[Mark]] = {}
        for size, one in opened.items():
            if mark.size not in ("", size) or mark.on.edge not in one.half.names:
                continue
            by_size[size] = _one(mark, one, mirrored)
        if not by_size or (mirrored and here.at_fold(mark.on)):
            continue
        places = {None if one is None else one.on for one in by_size.values()}
        if mark.size or len(places) == 1:
            made = next(iter(by_size.values()))
            both += [] if made is None else [made]
        else:
            whole = piece._replace(outlines=tuple(one.whole for one in opened.values()), cut_lines=())
            own = own_notches(whole, mark._replace(key="" if mirrored else mark.key), by_size)
            both += own
    return both


def _one(mark: Mark, opened: Opened, mirrored: bool) -> Optional[Mark]:
    on: Optional[On] = None
    if mark.on is not None:
        on = opened.mirrored_place(mark.on) if mirrored else opened.place(mark.on)
    if on is None:
        return None
    if not mirrored:
        return mark._replace(on=on)
    path = None if mark.path is None else opened.fold.mirror.path(mark.path)
    return mark._replace(on=on, path=path, key="")


# -- everything else ---------------------------------------------------------------------------


def _drawn(mark: Mark, opened: Opened, darts: Sequence[str]) -> List[Mark]:
    if mark.text or mark.kind in (LABEL, NOTE):
        return [mark._replace(text=mark.text.replace(ON_THE_FOLD, OPENED_OUT))]
    if mark.kind == GRAIN or mark.path is None or not len(mark.path):
        return [mark]
    if mark.kind in LINES and not mark.path.closed:
        line = over_fold(mark.path, opened, mark.kind in ACROSS)
        if line is not None:
            return [mark._replace(path=line)]
    if on_fold(mark, opened.fold.path):
        return [mark]
    twin = opened.fold.mirror.path(mark.path)
    names = [mark_name(mark, darts, side) for side in (opened.drawn, other_side(opened.drawn))]
    return [mark._replace(name=names[0]), mark._replace(name=names[1], path=twin, key="")]


def on_fold(mark: Mark, fold: Path) -> bool:
    """Whether a mark sits on the line of the fold, so that it is its own mirror image."""
    if mark.path is None or not len(mark.path):
        return False
    return bool(np.abs(aside(mark.middle[None], fold)).max() <= ON_FOLD)


def aside(spots: np.ndarray, fold: Path) -> np.ndarray:
    """How far points ``(n, 2)`` lie beside the line of the fold (mm), with the side as sign."""
    way = fold.end - fold.start
    away = np.asarray(spots) - fold.start
    return (away[:, 0] * way[1] - away[:, 1] * way[0]) / float(np.hypot(*way))


def mark_name(mark: Mark, darts: Sequence[str], side: str) -> str:
    """A mark's name with its side; one that belongs to a dart is called by the dart's new name."""
    for dart in darts:
        for before in (CAP, ""):
            if mark.name == before + dart or mark.name.startswith(before + dart + "-point"):
                return before + sided(dart, side) + mark.name[len(before + dart) :]
    return sided(mark.name, side) if mark.name else ""


def mark_without_side(name: str, darts: Sequence[str]) -> str:
    """The name that ``mark_name`` was given; ``darts``: their names with sides."""
    for dart in darts:
        if name.startswith((dart, CAP + dart)):
            return name.replace(dart, without_side(dart), 1)
    return without_side(name)


def over_fold(line: Path, opened: Opened, always: bool) -> Optional[Path]:
    """A line (mm) with its mirror image as one, from its far end over the fold to the mirrored one.

    A line that ends on the fold keeps the node there, and one that stopped short of it gets a straight
    bit between; what it had beyond the fold goes.  None for a line that has no end at the fold,
    unless ``always``, and for one along the fold.
    """
    fold, move = opened.fold.path, opened.fold.mirror
    away = aside(line.nodes, fold)
    inside = float(away[np.abs(away).argmax()])
    beside = away * (1.0 if inside >= 0 else -1.0)
    if abs(inside) <= ON_FOLD:
        return None
    to_end = beside[-1] < beside[0]
    way = line if not to_end else line.reverse()
    beside = beside[::-1] if to_end else beside
    if beside.min() < -SAME_POINT:
        way = _clipped(way, fold)
        beside = np.array([0.0])
    elif not (always or beside[0] <= SAME_POINT):
        return None
    return _mirrored_on(way, move, beside[0] <= SAME_POINT, to_end)


def _mirrored_on(way: Path, move: Transform, meets: bool, to_end: bool) -> Path:
    """A line that begins at the fold, behind its mirror image."""
    before = np.array(move.path(way).reverse().curves)
    if meets:
        before[-1, 3] = way.start
    between = np.zeros((0, 4, 2)) if meets else lines(before[-1:, 3], way.curves[:1, 0])
    whole = Path(np.concatenate([before, between, way.curves]))
    return whole.reverse() if to_end else whole


def _clipped(way: Path, fold: Path) -> Path:
    """What of a line lies on the side of the half; it begins on the fold then."""
    places = crossings_with_line(way, fold.start, fold.end - fold.start)
    if not places:
        return way
    return cut(way, places[-1], Place(len(way) - 1, 1.0))


def unmirrored_words(text: str) -> str:
    """Words of an opened piece as they are on the half."""
    return re.sub(re.escape(OPENED_OUT), ON_THE_FOLD, text)
