"""Where a piece is slashed: evenly, at places in words, or along drawn lines; and whether both agree.

    where = Where("hem", "waist", 4, "", "")
    slashes = slashes_of(piece, outline, lines, where)

What is said beside a drawn line is never passed over: it fits the line, or it is refused.
"""

from typing import List, NamedTuple, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_places import slashes_at, split_places
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash, drawn, edges_at, even, uncrossed

# This many slashes say nothing: none is left open, one is what is meant where nobody says it.
_UNSAID = (0, 1)


class Where(NamedTuple):
    """Where the slashes lie, in words, the same for every piece; ``slashes`` 0 is left open."""

    edge: str
    hinge: str
    slashes: int
    at: str
    hinge_at: str

    @property
    def places(self) -> int:
        """How many places are named."""
        return max(len(split_places(self.at)), len(split_places(self.hinge_at)))


def agreed(where: Where, lines: int, known: Sequence[str]) -> None:
    """``InputError`` where what is said does not go with ``lines`` drawn lines or with the places named.

    Args:
        known: the names of all edges of the pieces.
    """
    if not lines:
        return _as_many(where, where.places, "{} named", "Name as many places") if where.places else None
    for name in (where.edge, where.hinge):
        if name and name not in known:
            raise InputError(
                "There is no edge called '{}'.".format(name),
                "Leave it out, for a line is drawn; or name one of {}.".format(", ".join(known)),
                code="name",
            )
    if where.at or where.hinge_at:
        raise InputError(
            "A line is drawn for the slash, and a place is named as well: '{}'.".format(
                where.at or where.hinge_at
            ),
            "Leave the place out, or do not select the line.",
            code="choice",
        )
    return _as_many(where, lines, "{} drawn", "Draw as many lines")


def _as_many(where: Where, found: int, words: str, cure: str) -> None:
    if where.slashes not in _UNSAID and where.slashes != found:
        raise InputError(
            "{} slashes are asked for, and {}.".format(
                where.slashes, words.format("1 is" if found == 1 else "{} are".format(found))
            ),
            "{}, or ask for 0 slashes: as many as there are.".format(cure),
            code="value",
        )


def slashes_of(piece: Piece, outline: Outline, lines: Sequence[Path], where: Where) -> Tuple[Slash, ...]:
    """The slashes of one outline, each from where it opens to its hinge.  ``InputError`` names the piece."""
    try:
        if lines:
            slashes = [_along(outline, line, where) for line in lines]
            _beside_darts(piece, outline, slashes)
            return uncrossed(outline, slashes)
        for name, words in ((where.edge, "opens"), (where.hinge, "has its hinge")):
            if name in piece.darts:
                raise _on_dart(name, words)
        if where.places:
            return slashes_at(piece, outline, where.edge, where.hinge, where.at, where.hinge_at)
        return even(outline, where.edge, where.hinge, where.slashes)
    except InputError as error:
        raise error.on(piece.name) from None


def _along(outline: Outline, line: Path, where: Where) -> Slash:
    """The slash of a drawn line, turned round where the edge that opens lies at its last end."""
    slash = drawn(outline, line)
    opens, ends = edges_at(outline, slash.opening), edges_at(outline, slash.ending)
    wanted = where.edge and where.edge not in opens and where.edge in ends
    if wanted or (where.hinge and where.hinge not in ends and where.hinge in opens):
        slash = drawn(outline, line.reverse())
        opens, ends = ends, opens
    runs = "The drawn line runs from {} to {}".format(quoted(outline, opens[0]), quoted(outline, ends[0]))
    if where.edge and where.edge not in opens:
        raise InputError(
            "{}, so it does not open {}.".format(runs, _other(outline, where.edge)),
            "Draw it from there, or leave out the edge that opens: it is where the line begins.",
            code="line",
        )
    if where.hinge and where.hinge not in ends:
        raise InputError(
            "{}, so its hinge is not on {}.".format(runs, _other(outline, where.hinge)),
            "Draw it to there, or leave out the edge with the hinges: it is where the line ends.",
            code="line",
        )
    return slash


def _other(outline: Outline, name: str) -> str:
    """An edge that may be one of another piece."""
    return quoted(outline, name) if name in outline.names else "'{}'".format(name)


def _beside_darts(piece: Piece, outline: Outline, slashes: List[Slash]) -> None:
    """``InputError`` where a slash begins or ends on a dart's leg and not at the dart's corner."""
    for slash in slashes:
        for place, words in ((slash.opening, "opens"), (slash.ending, "has its hinge")):
            names = edges_at(outline, place)
            if all(name in piece.darts for name in names):
                raise _on_dart(names[0], words)


def _on_dart(name: str, words: str) -> InputError:
    return InputError(
        "The slash {} on '{}', which is a leg of a dart: both legs would not fit each other any more.".format(
            words, name
        ),
        "Let it begin and end on edges beside the dart.",
        code="dart",
    )
