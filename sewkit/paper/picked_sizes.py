"""Which pieces are printed in which sizes, and with which label."""

import re
from typing import List, NamedTuple, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.geometry.polygon import bounds
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.cut_list import CutRow, cut_list
from sewkit.pattern.label_legend import LABEL_NAME
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.piece_label import About, labelled
from sewkit.pattern.size_order import in_order

_BETWEEN = re.compile(r"\s*[,;]\s*")

# A label that stands further outside its piece belongs to a legend (mm).
_ASIDE = 15.0

# On larger pieces (mm) nobody looks for a free place: their drawing has a wrong scale.
_GIANT = 10000.0


class Picked(NamedTuple):
    """What is printed.

    Args:
        pieces: each with the sizes it is printed in, "" where it is drawn without one.
        sizes: all that are printed, in order.
        left_out: names of pieces that are drawn in none of them.
        legend: words of labels that did not fit on their pieces.
        rows: the cut list of the pieces.
    """

    pieces: Tuple[Tuple[Piece, Tuple[str, ...]], ...]
    sizes: Tuple[str, ...]
    left_out: Tuple[str, ...] = ()
    legend: Tuple[str, ...] = ()
    rows: Tuple[CutRow, ...] = ()


def picked_sizes(pattern: Pattern, chosen: Chosen, words: str = "") -> Picked:
    """The pieces that are printed.

    Args:
        words: sizes by name, with commas or blanks between them; empty for those of the lines
            that were picked, and for all where none were.

    ``InputError`` for a size that is not there, and where nothing is left to print.
    """
    meant = _sizes(pattern, words)
    found: List[Tuple[Piece, Tuple[str, ...]]] = []
    left_out = []
    for piece in chosen.pieces(pattern):
        own = [outline.size for outline in piece.outlines if len(outline.path)]
        picked = [size for name, size in chosen.outlines if name == piece.name]
        if meant:
            own = [size for size in own if size in meant or not size]
        elif picked:
            own = [size for size in own if size in picked or not size]
        if own:
            found.append((piece, tuple(own)))
        else:
            left_out.append(piece.name)
    if not found:
        raise InputError("There is nothing to print.", "Select pieces with a closed outline.", code="choice")
    return Picked(tuple(found), in_order([sizes for _, sizes in found]), tuple(left_out))


def _sizes(pattern: Pattern, words: str) -> Tuple[str, ...]:
    """The sizes that were named; a size's own name may hold blanks where commas stand between."""
    known = pattern.sizes
    if not words.strip() or words.strip() in known:
        return (words.strip(),) if words.strip() else ()
    parted = _BETWEEN.split(words.strip())
    named = [word for word in (parted if len(parted) > 1 else words.split()) if word]
    for name in named:
        if name not in known:
            raise InputError(
                "There is no size '{}' in this drawing.".format(name),
                "The sizes are: {}.".format(", ".join(filter(None, known)) or "none"),
                code="nest",
            )
    return tuple(named)


def with_labels(picked: Picked, about: About) -> Picked:
    """Each piece with a label: its own, or one made of its name, sizes and cut count."""
    size = picked.sizes[0] if len([name for name in picked.sizes if name]) == 1 else ""
    bare = Pattern(tuple(_only(piece, sizes) for piece, sizes in picked.pieces))
    legend = [words for piece in bare.pieces for words in _outside(piece)]
    bare = bare._replace(pieces=tuple(_without_legend(piece) for piece in bare.pieces))
    lacking = [
        piece.name
        for piece in bare.pieces
        if not _is_labelled(piece) and piece.named and _size(piece) < _GIANT
    ]
    rows = cut_list(bare, size)
    if lacking:
        made = labelled(bare, about, size, None, lacking, True)
        legend += ["{}: {}".format(sign, words) for sign, words in made.legend]
        bare = made.pattern._replace(pieces=tuple(_without_legend(piece) for piece in made.pattern.pieces))
    pieces = tuple((piece, sizes) for piece, (_, sizes) in zip(bare.pieces, picked.pieces))
    return picked._replace(pieces=pieces, legend=tuple(legend), rows=rows)


def _only(piece: Piece, sizes: Sequence[str]) -> Piece:
    """A piece without the lines of other sizes."""
    marks = tuple(mark for mark in piece.marks if mark.size in ("", *sizes))
    return piece._replace(
        outlines=tuple(outline for outline in piece.outlines if outline.size in sizes),
        cut_lines=tuple(line for line in piece.cut_lines if line.size in sizes),
        marks=marks,
    )


def _is_labelled(piece: Piece) -> bool:
    return any(mark.name == LABEL_NAME and mark.text for mark in piece.marks)


def _size(piece: Piece) -> float:
    """The longest side of its box (mm)."""
    boxes = [bounds(outline.path) for outline in piece.outlines]
    return max((max(box[2] - box[0], box[3] - box[1]) for box in boxes), default=0.0)


def _outside(piece: Piece) -> List[str]:
    """The words of its label that stand in a legend beside it."""
    kept = _without_legend(piece).marks
    return [mark.text for mark in piece.marks if mark.text and mark not in kept]


def _without_legend(piece: Piece) -> Piece:
    boxes = [bounds(part.path) for part in (*piece.outlines, *piece.cut_lines) if len(part.path)]
    low = [min(box[k] for box in boxes) - _ASIDE for k in (0, 1)]
    high = [max(box[k] for box in boxes) + _ASIDE for k in (2, 3)]

    def inside(spot: Sequence[float]) -> bool:
        return all(low[k] <= spot[k] <= high[k] for k in (0, 1))

    return piece._replace(
        marks=tuple(
            mark
            for mark in piece.marks
            if mark.name != LABEL_NAME or mark.path is None or not len(mark.path) or inside(mark.path.start)
        )
    )
