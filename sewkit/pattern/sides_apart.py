"""A pair made a left and a right piece, so that one side can be changed alone; and the way back.

    made = apart(piece, "left", 20.0, pattern.pieces)
    pattern = with_sides(pattern, made)

The piece that is drawn keeps every number; the other one is its mirror image, laid beside it.
"""

import re
from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.transform import Transform, mirror, move
from sewkit.pattern.grain_copy import arrow, centre_of
from sewkit.pattern.inner_label import inner_label
from sewkit.pattern.laid_apart import box_of, laid_apart
from sewkit.pattern.mark import GRAIN, INNER, LABEL, NOTE, OVERLAY, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import centre_line
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.spans import grain_axis
from sewkit.pattern.unfolded_seams import begins_on, side_of_ref
from sewkit.pattern.wearer_side import LEFT, RIGHT, other_side, side_of, sided, without_side

# Words on a piece that say how many are cut, and those that stand in their place on one side.
_CUT = re.compile(r"\bcut (\d+ pairs?, mirrored|\d+)(?! (?:left|right))")
_SIDED = re.compile(r"\bcut (\d+) (?:left|right), right side up")

# Our own words on a piece that had none.
SIDE_LABEL = "side-label"

# They stand so far below the piece's name (mm).
_BELOW = 25.0

# A piece whose middle lies so near to its centre line (part of its width) has no side to be seen.
_SEEN = 0.05


class Sides(NamedTuple):
    """A pair apart: the name of the pair; the piece that was drawn, and its mirror image.

    ``sure``: which side was drawn is said, or to be seen.
    """

    name: str
    drawn: Piece
    other: Piece
    sure: bool = True

    def named(self, side: str) -> str:
        """The name of the piece of one side."""
        return sided(self.name, side)


def apart(piece: Piece, drawn: str, gap: float, pieces: Sequence[Piece]) -> Sides:
    """A pair made two pieces.

    Args:
        drawn: the wearer's side that is drawn; empty: as it lies on the sheet, right side up.
        gap: how much is free between both (mm).
        pieces: all pieces of the pattern.

    ``InputError``: no pairs are cut of it (count); a name is taken (name).
    """
    if piece.cut < 2 or piece.cut % 2:
        raise InputError(
            "'{}' is cut {} times, and not in pairs.".format(piece.name, piece.cut),
            "Only what is cut as a pair, or on the fold, has a left and a right.",
            code="count",
        )
    taken = [one.name for one in pieces if one.name in (sided(piece.name, LEFT), sided(piece.name, RIGHT))]
    if taken:
        raise InputError(
            "There is a piece called '{}' already.".format(taken[0]), "Rename it first.", code="name"
        )
    on = _centre(piece)
    sure = bool(drawn) or _seen(piece, on)
    drawn = drawn or side_of(piece, piece.outlines[0].path, on)
    here = _as_side(piece, drawn)
    there = _as_side(_mirrored(piece), other_side(drawn))
    return Sides(piece.name, here, laid_apart(there, piece, gap, pieces), sure)


def _centre(piece: Piece) -> np.ndarray:
    """A spot (2,) at the centre of the body: on a line called centre, else as ``centre_line`` has it."""
    outline = piece.outlines[0]
    drawn = [m for m in piece.marks_for(outline.size) if m.kind == INNER and m.name.startswith("cent")]
    lines = [m.path for m in drawn if m.path is not None and len(m.path)]
    return lines[0].start if lines else centre_line(piece, outline)[0]


def _seen(piece: Piece, on: np.ndarray) -> bool:
    along = np.array(grain_axis(piece, piece.outlines[0].size))
    across = np.array([along[1], -along[0]])
    width = float(np.ptp(piece.outlines[0].path.nodes @ across))
    return abs(float((centre_of(piece.outlines[0].path) - on) @ across)) > _SEEN * width


def _mirrored(piece: Piece) -> Piece:
    """The mirror image across the grain, new in the drawing; words and notches' places as they are."""
    low, high = box_of(piece)
    turned = mirror((low + high) / 2.0, grain_axis(piece, piece.outlines[0].size))
    return piece._replace(
        outlines=tuple(one._replace(path=turned.path(one.path), key="") for one in piece.outlines),
        cut_lines=tuple(one._replace(path=turned.path(one.path), key="") for one in piece.cut_lines),
        marks=tuple(_mirrored_mark(mark, turned) for mark in piece.marks if mark.kind != OVERLAY),
        key="",
    )


def _mirrored_mark(mark: Mark, turned: Transform) -> Mark:
    if mark.path is None or not len(mark.path):
        return mark._replace(key="")
    if mark.text or mark.kind == NOTE:
        way = turned.points(mark.middle) - mark.middle
        return mark._replace(path=move(*way).path(mark.path), key="")
    path = turned.path(mark.path)
    if mark.kind == GRAIN and len(path) == 1 and np.hypot(*(path.end - path.start)) > 0:
        path = arrow(path.start, path.end)  # its heads may have been those of the element it was drawn by
    return mark._replace(path=path, key="")


def _as_side(piece: Piece, side: str) -> Piece:
    """One piece of the pair by its new name, with words that say so."""
    name, cut = sided(piece.name, side), piece.cut // 2
    words = "cut {} {}, right side up".format(cut, side)
    marks: List[Mark] = []
    for mark in piece.marks:
        if mark.kind == LABEL and mark.text:
            text = name if mark.text == piece.name else _CUT.sub(words, mark.text)
            mark = mark._replace(text=text)
        marks.append(mark)
    if not any(_SIDED.search(mark.text) for mark in marks):
        called = next((mark for mark in marks if mark.text == name and mark.path is not None), None)
        outline = piece.outlines[0]
        if called is None:
            label = inner_label(outline, "{}: {}".format(name, words), centre_of(outline.path))
        else:
            label = inner_label(outline, words, called.middle + (0.0, _BELOW))
        marks.append(label._replace(name=SIDE_LABEL, size=""))
    return piece._replace(name=name, marks=tuple(marks), cut=cut, side=side)


def with_sides(pattern: Pattern, sides: Sides) -> Pattern:
    """The pattern with both pieces in the place of the pair, and its seams for both sides."""
    pieces: List[Piece] = []
    for piece in pattern.pieces:
        pieces += [sides.drawn, sides.other] if piece.name == sides.name else [piece]
    seams: List[Seam] = []
    for seam in pattern.seams:
        seams += _apart(pattern, seam, sides) if seam.touches(sides.name) else [seam]
    return pattern._replace(pieces=tuple(pieces), seams=tuple(seams))


def _apart(pattern: Pattern, seam: Seam, sides: Sides) -> List[Seam]:
    """A seam once for each side; in one that goes over both sides each edge has its own."""
    mine = [ref.edge for ref in seam.refs if ref.piece == sides.name]
    if len(set(mine)) < len(mine):
        return [_over_both(pattern, seam, sides)]
    told = {side_of_ref(pattern, ref) for ref in seam.refs if ref.piece != sides.name} - {""}
    wanted = [sides.drawn.side, sides.other.side]
    found = []
    for side in wanted:
        if told and told != {side}:
            continue
        both = [_called(refs, sides, [side] * len(refs)) for refs in (seam.first, seam.second)]
        found.append(seam._replace(first=both[0], second=both[1]))
    return found


def _over_both(pattern: Pattern, seam: Seam, sides: Sides) -> Seam:
    """A seam in which the pair stands twice: sewn to itself, or from one side of the body to the other."""
    made = []
    for number, refs in enumerate((seam.first, seam.second)):
        mine = [ref.edge for ref in refs if ref.piece == sides.name]
        partner = (seam.second, seam.first)[number]
        begins = begins_on(pattern, partner) if len(set(mine)) < len(mine) else (LEFT, RIGHT)[number]
        begins = begins or LEFT
        half = len(refs) / 2.0 if len(set(mine)) < len(mine) else len(refs)
        order = [begins if at < half else other_side(begins) for at in range(len(refs))]
        made.append(_called(refs, sides, order))
    return seam._replace(first=made[0], second=made[1])


def _called(refs: Sequence[EdgeRef], sides: Sides, order: Sequence[str]) -> Tuple[EdgeRef, ...]:
    return tuple(
        ref._replace(piece=sides.named(side)) if ref.piece == sides.name else ref
        for ref, side in zip(refs, order)
    )


# -- together again --------------------------------------------------------------------------------


def pair_of(pattern: Pattern, piece: Piece) -> Tuple[Piece, Piece]:
    """A piece of one side and that of the other, in the order of the drawing; ``InputError`` without one."""
    if not piece.side:
        raise InputError(
            "'{}' is no left or right piece.".format(piece.name), "Select one that is.", code="choice"
        )
    name = sided(without_side(piece.name), other_side(piece.side))
    other = next((one for one in pattern.pieces if one.name == name and one.side), None)
    if other is None:
        raise InputError(
            "There is no piece '{}' to go with '{}'.".format(name, piece.name),
            "Call both alike but for -left and -right.",
            code="name",
        )
    names = [one.name for one in pattern.pieces]
    return (piece, other) if names.index(piece.name) < names.index(name) else (other, piece)


def together(pattern: Pattern, kept: Piece, other: Piece) -> Pattern:
    """The pattern with both sides as one pair again; that they are alike is for the caller to see to."""
    name = without_side(kept.name)
    marks = []
    for mark in kept.marks:
        if mark.name == SIDE_LABEL:
            continue
        text = (
            name if mark.text == kept.name else _SIDED.sub("cut {}".format(kept.cut + other.cut), mark.text)
        )
        marks.append(mark._replace(text=text))
    pair = kept._replace(name=name, side="", cut=kept.cut + other.cut, marks=tuple(marks))
    pieces = [pair if one.name == kept.name else one for one in pattern.pieces if one.name != other.name]

    def refs(side: Tuple[EdgeRef, ...]) -> Tuple[EdgeRef, ...]:
        return tuple(r._replace(piece=name) if r.piece in (kept.name, other.name) else r for r in side)

    seams = [seam._replace(first=refs(seam.first), second=refs(seam.second)) for seam in pattern.seams]
    return pattern._replace(pieces=tuple(pieces), seams=tuple(dict.fromkeys(seams)))
