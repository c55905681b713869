"""Which edge is sewn to which, and how that is written.

    side=back/side                       this piece's side to the back's side
    side=back/side,turned                the two edges run opposite ways
    shoulder=back/shoulder,ease=0..6     this side up to 6 mm longer, on purpose
    neck+back/neck=facing/neck           two edges end to end, sewn to one

The piece that carries the line owns the edges named without a piece.
"""

import re
from typing import List, NamedTuple, Optional, Tuple

from sewkit.errors import InputError
from sewkit.units import write_number


class EdgeRef(NamedTuple):
    """An edge by the names of its piece and itself; ``turned``: walk it from its end."""

    piece: str
    edge: str
    turned: bool = False

    def __str__(self) -> str:
        return "{}/{}".format(self.piece, self.edge)


class Seam(NamedTuple):
    """Edges of the first side, end to end, sewn to those of the second.

    ``ease``: least and most by which the first side is longer as sewn (mm); (0, 0)
    where both are meant equal.
    """

    first: Tuple[EdgeRef, ...]
    second: Tuple[EdgeRef, ...]
    ease: Tuple[float, float] = (0.0, 0.0)

    @property
    def name(self) -> str:
        """How people call it: front/side to back/side."""
        return "{} to {}".format(_shown(self.first), _shown(self.second))

    @property
    def refs(self) -> Tuple[EdgeRef, ...]:
        """All edges of both sides."""
        return self.first + self.second

    def touches(self, piece: str, edge: Optional[str] = None) -> bool:
        """Whether it takes part in this seam."""
        return any(r.piece == piece and edge in (None, r.edge) for r in self.refs)


def _shown(side: Tuple[EdgeRef, ...]) -> str:
    return " + ".join(str(ref) for ref in side)


_NAME = r"^[^\s/=+,:~]+\Z"
_REF = r"^(?:([^\s/=+,:~]+)/)?([^\s/=+,:~]+)(,turned)?\Z"
_EASE = r"^ease=(-?\d+(?:\.\d+)?)\.\.(-?\d+(?:\.\d+)?)\Z"


def check_name(name: str, what: str = "name") -> str:
    """A piece's, edge's or size's name; letters, digits, hyphens, no blanks or signs."""
    if not re.match(_NAME, name):
        raise InputError(
            "'{}' cannot be used as a {}.".format(name, what),
            "Use letters, digits and hyphens, such as side or front-facing.",
            code="name",
        )
    return name


def parse_seams(text: str, piece: str) -> Tuple[Seam, ...]:
    """Read the seams a piece carries; ``InputError`` names the word that is not one."""
    return tuple(_parse_seam(word, piece) for word in text.split())


def _parse_seam(word: str, piece: str) -> Seam:
    body, *options = re.split(r",(?=ease=)", word)
    first, sign, second = body.partition("=")
    if not (first and sign and second):
        raise InputError(
            "'{}' on the piece '{}' does not say which edge is sewn to which.".format(word, piece),
            "Write it as side=back/side.",
            code="seam",
        )
    ease = _parse_ease(options[-1]) if options else (0.0, 0.0)
    return Seam(_parse_side(first, piece), _parse_side(second, piece), ease)


def _parse_ease(text: str) -> Tuple[float, float]:
    match = re.match(_EASE, text)
    ease = (float(match.group(1)), float(match.group(2))) if match else (1.0, 0.0)
    if ease[0] > ease[1]:
        raise InputError(
            "'{}' is not an ease.".format(text),
            "Write the least and the most, such as ease=0..6 (mm).",
            code="seam",
        )
    return ease


def _parse_side(text: str, piece: str) -> Tuple[EdgeRef, ...]:
    refs: List[EdgeRef] = []
    for part in text.split("+"):
        match = re.match(_REF, part)
        if match is None:
            raise InputError(
                "'{}' is not an edge.".format(part),
                "Write piece/edge, such as back/side, and ',turned' if it runs the other way.",
                code="seam",
            )
        owner, edge, turned = match.groups()
        refs.append(EdgeRef(owner or piece, edge, bool(turned)))
    return tuple(refs)


def write_seams(seams: Tuple[Seam, ...], piece: str) -> str:
    """Write seams as the piece ``piece`` carries them; ``parse_seams`` reads it back."""
    return " ".join(_write_seam(seam, piece) for seam in seams)


def _write_seam(seam: Seam, piece: str) -> str:
    ease = "" if seam.ease == (0.0, 0.0) else ",ease={}..{}".format(*map(write_number, seam.ease))
    return "{}={}{}".format(_write_side(seam.first, piece), _write_side(seam.second, piece), ease)


def _write_side(side: Tuple[EdgeRef, ...], piece: str) -> str:
    return "+".join(
        (ref.edge if ref.piece == piece else str(ref)) + (",turned" if ref.turned else "") for ref in side
    )


def parse_ref(text: str, piece: str = "") -> EdgeRef:
    """Read ``front/side``; the piece may be left out where ``piece`` gives it."""
    refs = _parse_side(text.strip(), piece)
    if len(refs) != 1 or not refs[0].piece:
        raise InputError(
            "'{}' is not one edge.".format(text), "Write piece/edge, such as front/side.", code="seam"
        )
    return refs[0]
