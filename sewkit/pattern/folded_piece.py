"""A whole piece folded to the half that lies on the fold, with all that belongs to it.

made = folded_piece(piece, "", keep="left")
made.piece, made.halved
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import Path, lines, point, split_at
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.transform import move
from sewkit.pattern.fold import FOLD_EDGE
from sewkit.pattern.folding import ALIKE, Folded, fold_line, folded_outline
from sewkit.pattern.mark import (
    BUTTON,
    BUTTONHOLE,
    DART,
    DOT,
    DRILL,
    FOLD,
    GRAIN,
    LABEL,
    NOTE,
    OVERLAY,
    Mark,
)
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import CornerRule, Piece
from sewkit.pattern.recut import Recut, recut
from sewkit.pattern.unfolded_marks import (
    BRACKET,
    LINES,
    aside,
    mark_without_side,
    on_fold,
    unmirrored_words,
)
from sewkit.pattern.unfolded_seams import Halved
from sewkit.pattern.wearer_side import other_side, side_in, without_side

# A line over the fold whose ends are each other's mirror image to this (mm) was drawn as a bridge.
_BRIDGE = 1e-6

# Marks that are there on both halves if they lie beside the fold.
_PAIRED = (DRILL, DOT, BUTTON, BUTTONHOLE, DART)

# The bracket that is drawn at a fold stands so far inside, over the middle part of it, with arrow
# heads so long (mm, part, mm); common practice, no source.
_INSIDE, _PART, _HEAD = 15.0, 0.6, 6.0


class FoldedPiece(NamedTuple):
    """A piece folded: the half, what became of each size, its cut lines, what its seams need to know."""

    piece: Piece
    sizes: Mapping[str, Folded]
    cut: Recut
    halved: Halved


def folded_piece(piece: Piece, axes: Mapping[str, Path], fold: str, keep: str, drawn: str) -> FoldedPiece:
    """Fold all sizes of a piece.

    Args:
        axes: the line of each size.
        fold: what the edge on the fold shall be called.
        keep, drawn: see ``folded_outline``.
    """
    sizes: Dict[str, Folded] = {}
    for outline in piece.outlines:
        sizes[outline.size] = folded_outline(piece, outline, axes[outline.size], fold, keep, drawn)
        keep = keep or sizes[outline.size].keep
    first = next(iter(sizes.values()))
    halved = Halved(piece.name, fold, first.keep, first.over)
    if not piece.named:
        halves = tuple(bare_outline(one.half.path, one.half.size, one.half.key) for one in sizes.values())
        cut = recut(piece._replace(outlines=halves, allowance={}), piece.sizes)
        return FoldedPiece(cut.piece, sizes, cut, halved)
    marks = [one for mark in piece.marks for one in _folded(mark, piece, sizes)]
    made = _renamed(piece, first, fold)._replace(
        outlines=tuple(one.half for one in sizes.values()),
        marks=tuple(marks) + _brackets(piece, sizes),
        unfolded="",
    )
    cut = recut(made, made.sizes)
    return FoldedPiece(cut.piece, sizes, cut, halved)


def fold_name(piece: Piece) -> str:
    """What the edge on the fold of a whole piece is called when it is folded."""
    return piece.unfolded or FOLD_EDGE


def _renamed(piece: Piece, first: Folded, fold: str) -> Piece:
    """What a piece keeps about its edges, without the other side."""
    gone = other_side(first.keep)

    def kept(name: str) -> bool:
        return name in first.over or side_in(name) != gone

    def bare(name: str) -> str:
        return name if name in first.over else without_side(name)

    def listed(names: Tuple[str, ...]) -> Tuple[str, ...]:
        return tuple(dict.fromkeys(bare(name) for name in names if kept(name)))

    rules: Dict[Tuple[str, str], CornerRule] = {}
    order = [edge.name for edge in first.half.edges]
    pairs = set(zip(order, order[1:] + order[:1]))
    for (before, after), rule in piece.corners.items():
        made = bare(before), bare(after)
        stays = kept(before) and kept(after)
        if stays and (made in pairs or fold in made):
            rules.setdefault(made, rule._replace(leads=bare(rule.leads)))
    return piece._replace(
        folds=(fold,) + tuple(name for name in listed(piece.folds) if name != fold),
        hems=listed(piece.hems),
        darts=listed(piece.darts),
        allowance={bare(name): width for name, width in piece.allowance.items() if kept(name)},
        corners=rules,
        pressed={bare(name): side for name, side in piece.pressed.items() if kept(name)},
    )


# -- marks ---------------------------------------------------------------------------------------


def _folded(mark: Mark, piece: Piece, sizes: Mapping[str, Folded]) -> List[Mark]:
    """What is left of a mark on the half: itself, nothing, or what of a line lies there."""
    here = sizes.get(mark.size, next(iter(sizes.values())))
    line = fold_line(piece, mark.size, piece.unfolded) if piece.unfolded else None
    if mark == line or mark.kind == OVERLAY or (mark.kind == GRAIN and mark.name == piece.unfolded != ""):
        return []
    if mark.on is not None:
        on = here.place(mark.on)
        return [] if on is None else [mark._replace(on=on)]
    if mark.text or mark.kind in (LABEL, NOTE, GRAIN):
        return [_on_the_half(mark, here)._replace(text=unmirrored_words(mark.text))]
    if mark.path is None or not len(mark.path) or on_fold(mark, here.axis) and mark.kind not in LINES:
        return [mark]
    name = mark.name if not piece.unfolded else mark_without_side(mark.name, piece.darts)
    sign = _inside(here)
    away = aside(mark.path.nodes, here.axis) * sign
    if away.max() > 0 > away.min() and mark.kind in LINES and not mark.path.closed:
        path = _kept_part(mark.path, here, sign)
        return [] if path is None else [mark._replace(path=path)]
    return [mark._replace(name=name)] if on_fold(mark, here.axis) or away.sum() > 0 else []


def _inside(here: Folded) -> float:
    """The sign of ``aside`` on the half that is kept."""
    away = aside(here.half.path.nodes, here.axis)
    return 1.0 if away[np.abs(away).argmax()] > 0 else -1.0


def _on_the_half(mark: Mark, here: Folded) -> Mark:
    """Words and grain lines that lay on the other half are moved, not mirrored, to the same place on this."""
    if mark.path is None or not len(mark.path) or on_fold(mark, here.axis):
        return mark
    if float(aside(mark.middle[None], here.axis)[0]) * _inside(here) > 0:
        return mark
    if mark.kind == GRAIN:
        return mark._replace(path=here.mirror.path(mark.path))
    way = here.mirror.points(mark.middle) - mark.middle
    return mark._replace(path=move(*way).path(mark.path))


def _kept_part(line: Path, here: Folded, sign: float) -> Optional[Path]:
    """What of a line over the fold lies on the half; a straight bit that led over it goes with the rest."""
    axis = here.axis
    curves = line.curves
    ends = here.mirror.points(curves[:, 0]) - curves[:, 3]
    bridges = np.abs(ends).max(axis=1) <= _BRIDGE
    if len(curves) > 2 and bridges.any():
        curves = curves[~bridges]
    whole = Path(curves)
    split = split_at(whole, crossings_with_line(whole, axis.start, axis.end - axis.start))
    keep = aside(point(split.curves, 0.5), axis) * sign > 0
    return Path(split.curves[keep]) if keep.any() else None


def lone_marks(piece: Piece, made: FoldedPiece) -> Tuple[str, ...]:
    """What only one half has of notches and marks, or has elsewhere by more than ``ALIKE``, in words."""
    found: List[str] = []
    for size, here in made.sizes.items():
        own: List[Tuple[str, np.ndarray]] = []
        other: List[Tuple[str, np.ndarray]] = []
        for mark in piece.marks:
            spot = _spot(mark, here) if mark.size in ("", size) else None
            if spot is None or abs(float(aside(spot[None], here.axis)[0])) <= ALIKE:
                continue
            inside = float(aside(spot[None], here.axis)[0]) * _inside(here) > 0
            words = "{} {}".format(mark.kind, mark_without_side(mark.name, piece.darts)).strip()
            (own if inside else other).append((words, spot if inside else here.mirror.points(spot)))
        for these, those in ((own, other), (other, own)):
            for words, spot in these:
                if not any(w == words and np.hypot(*(s - spot)) <= ALIKE for w, s in those):
                    found.append(words)
    return tuple(dict.fromkeys(found))


def _spot(mark: Mark, here: Folded) -> Optional[np.ndarray]:
    """Where a mark sits that comes in pairs; None for all others."""
    if mark.on is not None:
        spot = spot_of(here.whole, mark.on) if mark.on.edge in here.whole.names else None
        return None if spot is None else spot.point
    if mark.kind not in _PAIRED or mark.path is None or not len(mark.path):
        return None
    return mark.middle


# -- the bracket ---------------------------------------------------------------------------------


def _brackets(piece: Piece, sizes: Mapping[str, Folded]) -> Tuple[Mark, ...]:
    """The fold bracket, drawn anew where there was one before, and on a piece that was never a half."""
    found: List[Mark] = []
    for size, one in sizes.items():
        line = fold_line(piece, size, piece.unfolded) if piece.unfolded else None
        if line is not None and line.form != BRACKET:
            continue
        mark = Mark(FOLD, "", size, bracket(one.half.path, one.axis))
        if not any(np.array_equal(mark.path.curves, other.path.curves) for other in found):
            found.append(mark)
    return (found[0]._replace(size=""),) if len(found) == 1 and len(sizes) > 1 else tuple(found)


def bracket(half: Path, fold: Path) -> Path:
    """A bracket whose two arrows point to the middle part of a fold (mm), from inside the half."""
    way = fold.end - fold.start
    size = float(np.hypot(*way))
    along = way / size
    inward = np.array([-along[1], along[0]]) * (1.0 if signed_area(half) >= 0 else -1.0)
    trim = (1.0 - _PART) / 2.0 * size
    tips = fold.start + trim * along, fold.end - trim * along
    feet = [tip + _INSIDE * inward for tip in tips]
    head = min(_HEAD, _INSIDE)
    barbs = [tip + head * inward + sign * head / 2.0 * along for tip in tips for sign in (1, -1)]
    starts = [tips[0], feet[0], feet[1], barbs[0], tips[0], barbs[2], tips[1]]
    stops = [feet[0], feet[1], tips[1], tips[0], barbs[1], tips[1], barbs[3]]
    return Path(lines(np.array(starts), np.array(stops)))
