"""What a person picked: pieces, outlines of one size, nodes; in the order of picking."""

from typing import NamedTuple, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece


class PickedOutline(NamedTuple):
    """One outline: its piece's name and its size."""

    piece: str
    size: str


class PickedNode(NamedTuple):
    """One node of an outline, by its place on the sheet (mm)."""

    piece: str
    size: str
    point: Tuple[float, float]


class Chosen(NamedTuple):
    """The choice: no outlines means all pieces.

    Args:
        outlines: in the order in which they were picked.
        nodes: in the order in which they were clicked.
        marks: keys of the marks that were picked themselves; their pieces are in
            ``outlines`` as well.
    """

    outlines: Tuple[PickedOutline, ...] = ()
    nodes: Tuple[PickedNode, ...] = ()
    marks: Tuple[str, ...] = ()

    def pieces(self, pattern: Pattern) -> Tuple[Piece, ...]:
        """The chosen pieces in the order of choice, or all of the pattern."""
        if not self.outlines:
            return _whole(pattern).pieces
        names = dict.fromkeys(picked.piece for picked in self.outlines)
        return tuple(pattern.piece(name) for name in names)

    def readable(self, pattern: Pattern) -> Tuple[Piece, ...]:
        """As ``pieces``, but where nothing was picked those that could be read are enough."""
        return self.pieces(pattern) if self.outlines else pattern.pieces

    def picked(self, pattern: Pattern) -> Tuple[Tuple[Piece, Outline], ...]:
        """The chosen outlines with their pieces; all of the pattern when none was chosen."""
        if not self.outlines:
            return tuple((piece, outline) for piece in _whole(pattern).pieces for outline in piece.outlines)
        return tuple((pattern.piece(name), pattern.piece(name).outline(size)) for name, size in self.outlines)

    def two_lines(
        self, pattern: Pattern, purpose: str
    ) -> Tuple[Tuple[Piece, Outline], Tuple[Piece, Outline]]:
        """Exactly two chosen outlines; ``InputError`` says how many there are instead."""
        picked = self.picked(pattern) if self.outlines else ()
        if len(picked) != 2:
            raise InputError(
                "{} needs two lines, and {} selected.".format(purpose, _number(len(picked))),
                "Select the first line, then with Shift the second.",
                code="choice",
            )
        return picked[0], picked[1]

    def nodes_on(self, piece: str, size: str) -> Tuple[np.ndarray, ...]:
        """The chosen nodes of one outline, (2,) each, in the order of clicking."""
        return tuple(np.array(node.point) for node in self.nodes if (node.piece, node.size) == (piece, size))


def _whole(pattern: Pattern) -> Pattern:
    """The pattern, if all of it could be read; ``InputError`` for the first piece that could not.

    Who picked nothing means everything, and must not get a part of it.
    """
    for problem in pattern.problems:
        if not problem.healed:
            raise InputError(problem.text, code=problem.code)
    return pattern


def _number(count: int) -> str:
    words = {0: "none is", 1: "one is", 2: "two are", 3: "three are"}
    return words.get(count, "{} are".format(count))


EVERYTHING = Chosen()
