"""A pattern: pieces, and the seams that hold them together."""

from typing import NamedTuple, Tuple

from sewkit.errors import InputError
from sewkit.pattern.mark import Mark
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import Seam
from sewkit.pattern.size_order import in_order


class Problem(NamedTuple):
    """Something in the drawing that keeps a piece from being read, or that does not.

    ``healed``: the piece can be read all the same; ``look``: but somebody should look at it.
    """

    piece: str
    text: str
    code: str
    healed: bool = False
    look: bool = False


class Edited(NamedTuple):
    """One run of an edge whose length is no longer the one that was written with its name (mm).

    Whatever we change is written anew, so somebody moved it with the editor's own tools.
    """

    piece: str
    size: str
    edge: str
    was: float
    now: float
    run: int = 0


class Pattern(NamedTuple):
    """All pieces of one garment.

    Args:
        pieces: in the order of the drawing.
        seams: what is sewn to what.
        title: the garment's name, for labels.
        problems: what was found wrong, or put right, when it was read.
        scale: how many times as wide and as high the whole drawing is to become, with all
            that is no part of the pattern; see ``scaling.scaled_pattern``.
        beside: lines and words of the drawing that belong to no piece, such as a test square;
            only for an operation that asks for them, never written back.
        chart: the size chart that the pattern carries, as the text of a table; empty where it
            carries none.
        baseline: lengths of edges and seams as they were before anybody changed them, as the text
            of a table; empty where none is kept.
        shown: what a check drew, on a layer of its own; belongs to no piece.
        edited: edges that were moved by hand since their lengths were written, as it was read.
        unit: millimetres in one unit of the drawing, across and down, as it was before its scale was
            put right.
    """

    pieces: Tuple[Piece, ...] = ()
    seams: Tuple[Seam, ...] = ()
    title: str = ""
    problems: Tuple[Problem, ...] = ()
    scale: Tuple[float, float] = (1.0, 1.0)
    beside: Tuple[Mark, ...] = ()
    chart: str = ""
    baseline: str = ""
    shown: Tuple[Mark, ...] = ()
    edited: Tuple[Edited, ...] = ()
    unit: Tuple[float, float] = (1.0, 1.0)

    @property
    def sizes(self) -> Tuple[str, ...]:
        """All sizes in order, each once; "", which serves every size, last."""
        return in_order([piece.sizes for piece in self.pieces])

    def piece(self, name: str) -> Piece:
        """The piece of that name; ``InputError`` lists the names there are."""
        for piece in self.pieces:
            if piece.name == name:
                return piece
        for problem in self.problems:
            if problem.piece == name and not problem.healed:
                raise InputError(problem.text, code=problem.code)
        raise InputError(
            "There is no piece called '{}'.".format(name),
            "The pieces are: {}.".format(", ".join(p.name for p in self.pieces) or "none"),
            code="name",
        )

    def with_piece(self, piece: Piece) -> "Pattern":
        """With a piece put in the place of the one of its name, or added."""
        if any(p.name == piece.name for p in self.pieces):
            return self._replace(pieces=tuple(piece if p.name == piece.name else p for p in self.pieces))
        return self._replace(pieces=self.pieces + (piece,))

    def seams_of(self, piece: str) -> Tuple[Seam, ...]:
        """The seams in which a piece takes part."""
        return tuple(seam for seam in self.seams if seam.touches(piece))
