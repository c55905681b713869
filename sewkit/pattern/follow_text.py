"""What a derived piece remembers of the pieces it was derived from, as text.

    facing front/neck+front/front-edge width=50 turn=1
    facing back/neck meets=front-neck-facing width=50
    band front/waist,turned+back/waist width=30 doubled=1 extension=25
    lining front less=front-facing hem=20 side=3

Lengths are mm.  A number that is 0 is left out.
"""

from typing import Dict, Mapping, NamedTuple, Tuple

from sewkit.errors import InputError
from sewkit.pattern.seam import EdgeRef, parse_ref
from sewkit.units import write_number

FACING, BAND, LINING = "facing", "band", "lining"
KINDS = (FACING, BAND, LINING)

# The numbers that each kind may remember.
_NUMBERS = {
    FACING: ("width", "turn"),
    BAND: ("width", "doubled", "extension"),
    LINING: ("hem", "pleat", "armhole", "side"),
}

# The pieces that each kind may remember besides.
_LISTS = (("less", LINING), ("meets", FACING))


class Follow(NamedTuple):
    """From what a piece was derived, and how.

    Args:
        kind: one of ``KINDS``.
        edges: the parent edges, end to end; of a facing all on one piece, of a lining none.
        piece: the parent piece of a lining.
        less: the facings that are taken off a lining.
        meets: facings made before, at whose ends this one ends too.
        values: lengths (mm) by name; what is not there is 0.
    """

    kind: str
    edges: Tuple[EdgeRef, ...] = ()
    piece: str = ""
    less: Tuple[str, ...] = ()
    values: Mapping[str, float] = {}
    meets: Tuple[str, ...] = ()

    @property
    def parents(self) -> Tuple[str, ...]:
        """The names of the parent pieces, each once."""
        return tuple(dict.fromkeys([ref.piece for ref in self.edges] + ([self.piece] if self.piece else [])))

    def value(self, name: str) -> float:
        """A length (mm); 0 where it is not there."""
        return float(self.values.get(name, 0.0))


def parse_follow(text: str) -> Follow:
    """Read what ``write_follow`` wrote; ``InputError`` (parent) names the word that cannot be read."""
    words = text.split()
    if len(words) < 2 or words[0] not in KINDS:
        raise _unread(text, text)
    kind = words[0]
    listed: Dict[str, Tuple[str, ...]] = {}
    values: Dict[str, float] = {}
    for word in words[2:]:
        name, _, value = word.partition("=")
        if value and (name, kind) in _LISTS:
            listed[name] = tuple(value.split("+"))
            continue
        try:
            values[name] = float(value)
        except ValueError:
            raise _unread(word, text) from None
        if name not in _NUMBERS[kind] or not 0.0 <= values[name] < 1e5:
            raise _unread(word, text)
    less, meets = listed.get("less", ()), listed.get("meets", ())
    if kind == LINING:
        return Follow(kind, (), words[1], less, values)
    try:
        edges = tuple(parse_ref(part) for part in words[1].split("+"))
        return Follow(kind, edges, "", (), values, meets)
    except InputError:
        raise _unread(words[1], text) from None


def write_follow(follow: Follow) -> str:
    """Write it; ``parse_follow`` reads it back."""
    edges = "+".join(str(ref) + (",turned" if ref.turned else "") for ref in follow.edges)
    words = [follow.kind, edges or follow.piece]
    words += ["less=" + "+".join(follow.less)] if follow.less else []
    words += ["meets=" + "+".join(follow.meets)] if follow.meets else []
    for name in _NUMBERS[follow.kind]:
        words += ["{}={}".format(name, write_number(follow.value(name)))] if follow.value(name) else []
    return " ".join(words)


def in_words(follow: Follow) -> str:
    """The parents as one names them: ``front/neck and front/front-edge``."""
    names = [str(ref) for ref in follow.edges] or [follow.piece]
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]


def renamed(follow: Follow, pieces: Mapping[str, str], edges: Mapping[Tuple[str, str], str]) -> Follow:
    """With parents that have new names: pieces by the old name, edges by the old piece and name."""
    refs = tuple(
        ref._replace(piece=pieces.get(ref.piece, ref.piece), edge=edges.get((ref.piece, ref.edge), ref.edge))
        for ref in follow.edges
    )
    less, meets = (tuple(pieces.get(name, name) for name in row) for row in (follow.less, follow.meets))
    piece = pieces.get(follow.piece, follow.piece)
    return follow._replace(edges=refs, piece=piece, less=less, meets=meets)


def _unread(word: str, text: str) -> InputError:
    return InputError(
        "What the piece follows cannot be read: '{}'{}.".format(
            word, "" if word == text else " in '{}'".format(text)
        ),
        "Derive it anew from its parent, or set it free.",
        code="parent",
    )
