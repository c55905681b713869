"""What else has to be done again after an edge has changed, told in the order in which it is done.

Only what is there is named: pieces known by their names, marks by theirs.  What changed in the same
step, what follows by itself and what is sewn to the edge, which the seam guard has walked, is left out.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

from sewkit.pattern.mark import BUTTON, BUTTONHOLE, DOT, DRILL, INNER, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level

# An edge that differs by less is as it was (mm).
_UNCHANGED = 0.05


class _Rule(NamedTuple):
    """An edge by the words in its name, and what must follow it: words in names of pieces and marks."""

    edges: Tuple[str, ...]
    pieces: Tuple[str, ...]
    marks: Tuple[str, ...] = ()


# In the order of the work (common practice; most textbooks give it piecemeal, no single source).
_RULES = (
    _Rule(("side",), ("lining", "waistband", "pocket"), ("pocket", "zip")),
    _Rule(("waist",), ("waistband", "belt", "lining"), ()),
    _Rule(("front-edge", "centre-front"), ("facing", "collar", "lapel", "placket"), ("button",)),
    _Rule(("neck",), ("facing", "binding", "collar", "stand", "hood")),
    _Rule(("shoulder",), ("yoke", "facing", "pad")),
    _Rule(("armhole",), ("sleeve", "facing", "binding", "lining")),
    _Rule(("hem",), ("facing", "lining", "trim"), ("vent",)),
)

# Pieces of these kinds belong to one other piece; the rest, as a collar, to all that have such an edge.
_OWNED = ("facing", "lining", "binding", "pocket", "placket")

# Words of which one is in the name of every piece that may have to follow.
WORDS = tuple(dict.fromkeys(word for rule in _RULES for word in rule.pieces))

# Marks that stand for something sewn on.
_MARKS = (INNER, DOT, DRILL, BUTTON, BUTTONHOLE)


def follow_notes(before: Pattern, after: Pattern) -> List[Finding]:
    """A note for each edge that changed and has something to follow it that did not."""
    old = {piece.name: piece for piece in before.pieces}
    still = [piece for piece in after.pieces if piece.name in old and _same(old[piece.name], piece)]
    found: List[Finding] = []
    for piece in after.pieces:
        was = old.get(piece.name)
        if was is None or not piece.named or piece.follows or _same(was, piece):
            continue
        for edge in _changed(was, piece):
            rule = next((one for one in _RULES if any(_is_called(edge, word) for word in one.edges)), None)
            names = [] if rule is None else _names(after, was, piece, edge, rule, still)
            if names:
                text = "{}/{} has changed, and has to be followed by: {}.".format(
                    piece.name, edge, ", ".join(names)
                )
                found.append(Finding("follow", Level.INFO, text, "{}/{}".format(piece.name, edge)))
    return found


def _same(one: Piece, other: Piece) -> bool:
    return one is other or one.outlines == other.outlines


def _changed(was: Piece, now: Piece) -> List[str]:
    """The edges that have another length as sewn in some size."""
    found: Dict[str, None] = {}
    for outline in now.outlines:
        old = next((one for one in was.outlines if one.size == outline.size), None)
        if old is None or old.path == outline.path:
            continue
        for name in outline.names:
            if name in old.names and name not in now.darts + now.folds:
                if abs(old.as_sewn(name) - outline.as_sewn(name)) > _UNCHANGED:
                    found[name] = None
    return list(found)


def _is_called(edge: str, word: str) -> bool:
    return edge == word or edge.startswith(word + "-") or edge.endswith("-" + word)


def _names(
    pattern: Pattern, was: Piece, piece: Piece, edge: str, rule: _Rule, still: Sequence[Piece]
) -> List[str]:
    """What must follow an edge, in the order of the work."""
    sewn = {ref.piece for seam in pattern.seams if seam.touches(piece.name, edge) for ref in seam.refs}
    found: Dict[str, None] = {}
    for word in rule.pieces:
        for one in still:
            owned = word not in _OWNED or _belongs(pattern, one, piece)
            if word in one.name.split("-") and owned and one.name not in sewn and not one.follows:
                found[one.name] = None
    for word in rule.marks:
        meant = [mark for mark in piece.marks if _is_meant(mark, word)]
        if meant and all(mark in was.marks for mark in meant):
            found["the marks of the {}".format({"button": "buttons"}.get(word, word))] = None
    return list(found)


def _belongs(pattern: Pattern, one: Piece, piece: Piece) -> bool:
    """Whether a piece is named after another one, or sewn to it."""
    by_seam = any(seam.touches(one.name) and seam.touches(piece.name) for seam in pattern.seams)
    return by_seam or one.name.startswith(piece.name + "-")


def _is_meant(mark: Mark, word: str) -> bool:
    return mark.kind in _MARKS and (mark.kind == word or word in mark.name.split("-"))
