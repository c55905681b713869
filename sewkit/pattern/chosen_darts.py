"""Which darts a change is made to.

    for piece, outline, dart in for_change(pattern, chosen, words):
        ...
    after = after.with_piece(as_found(changed_piece))

A dart is meant by its name or its number; by three picked nodes; by two lines drawn over the
outline; by its picked mark; or it is the only one there is.  What is only drawn is cut in first.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place
from sewkit.geometry.polygon import contains
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.dart import Dart, dart_at_nodes, dart_named, darts_of, free_name, listed
from sewkit.pattern.dart_cut_in import cut_in
from sewkit.pattern.dart_lines import TOUCH
from sewkit.pattern.dart_naming import as_found, with_name
from sewkit.pattern.drawn_dart import DrawnDart, drawn_darts, lines_as_dart
from sewkit.pattern.drawn_lines import Subjects, subjects
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import check_name

__all__ = ["AnyDart", "Here", "as_found", "contours_for", "darts_here", "for_change", "may_be_a_neck"]

AnyDart = Union[Dart, DrawnDart]


# On a bare outline a notch wider than this (mm) may be a neckline cut to a point; no dart is (common
# practice, no source).
_NECK = 100.0

# Lines to the point of a dart that lean less than this from it draw it once more (cosine: 30 degrees).
_ALIKE = 0.866


class Here(NamedTuple):
    """The darts of one size of a piece, cut in or drawn, in path order; contour darts last."""

    piece: Piece
    outline: Outline
    darts: Tuple[AnyDart, ...]


def darts_here(piece: Piece, outline: Outline) -> Here:
    """All darts of one size of a piece."""
    cut, drawn = darts_of(piece, outline), drawn_darts(piece, outline.size)
    placed: List[Tuple[bool, Place, AnyDart]] = [
        (False, Place(outline.edges[dart.edges[0]].start, 0.0), dart) for dart in cut
    ]
    placed += [(d.contour, nearest(outline.path, d.legs[0].start).place, d) for d in drawn]
    return Here(piece, outline, tuple(dart for _, _, dart in sorted(placed, key=lambda one: one[:2])))


def for_change(pattern: Pattern, chosen: Chosen, words: str = "") -> List[Tuple[Piece, Outline, Dart]]:
    """The darts to change, one a size of each piece, each with its piece and outline.

    In the pieces that come back the darts are cut in and their legs are named, in all sizes
    that are meant.  Pieces that do not have the dart are left out, if another one has it.
    ``InputError`` lists the darts there are.
    """
    pairs = meant_darts(pattern, chosen, words)
    made: Dict[str, Piece] = {}
    names: List[Tuple[str, str, str]] = []
    for piece, outline, meant in pairs:
        now = made.get(piece.name, piece)
        name = meant.name
        if isinstance(meant, DrawnDart):
            now, _ = cut_in(now, outline.size, meant)
        else:
            runs = sum(edge.name == name for edge in outline.edges)
            name = free_name(piece, outline) if runs > 2 else name
            now = with_name(now, meant, name)
        made[piece.name] = now
        names.append((piece.name, outline.size, name))
    done = [(made[piece], made[piece].outline(size), name) for piece, size, name in names]
    return [(piece, outline, dart_named(piece, outline, name)) for piece, outline, name in done]


def meant_darts(pattern: Pattern, chosen: Chosen, words: str = "") -> List[Tuple[Piece, Outline, AnyDart]]:
    """The darts that are meant, as they are found: cut in, drawn, or by lines that were picked."""
    found = subjects(_own(pattern, chosen), chosen._replace(nodes=(), marks=()))
    if found.lines and not (words.strip() and _is_known(found, words.strip())):
        return _drawn_over(found.outlines, found.lines, words)
    if any(chosen.nodes_on(piece.name, outline.size) for piece, outline in found.outlines):
        return _at_nodes(found.outlines, chosen)
    return _by_words(found.outlines, chosen, words)


def _own(pattern: Pattern, chosen: Chosen) -> Pattern:
    """Where nothing was picked, the pieces that follow no other: a lining has its darts from its parent."""
    if chosen.outlines:
        return pattern
    return pattern._replace(pieces=tuple(piece for piece in pattern.pieces if not piece.follows))


def contours_for(pattern: Pattern, chosen: Chosen, words: str = "") -> List[Tuple[Piece, Outline, DrawnDart]]:
    """The darts with two points that are meant: by name, by their picked marks, or all; perhaps none."""
    found = subjects(pattern, chosen._replace(nodes=(), marks=()))
    kept = []
    for piece, outline in found.outlines:
        for drawn in drawn_darts(piece, outline.size):
            named = not words.strip() or drawn.name == words.strip()
            picked = not chosen.marks or any(mark.key in chosen.marks for mark in drawn.marks)
            if drawn.contour and named and picked:
                kept.append((piece, outline, drawn))
    return kept


def _drawn_over(
    outlines: Sequence[Tuple[Piece, Outline]], drawn: Sequence[Path], words: str
) -> List[Tuple[Piece, Outline, AnyDart]]:
    """The drawn lines as a dart of each outline inside which their point lies."""
    name = check_name(words.strip(), "name of a dart") if words.strip() else ""
    pairs: List[Tuple[Piece, Outline, AnyDart]] = []
    for piece, outline in outlines:
        dart = lines_as_dart(outline, drawn)
        known = _cut_in_already(piece, outline, dart)
        if known is not None:
            pairs.append((piece, outline, known))
        elif outline.path.closed and contains(outline.path, dart.points)[0]:
            free = free_name(piece, outline, [one.name for one in darts_here(piece, outline).darts])
            called = name if name and not name.isdecimal() and name not in outline.names else free
            pairs.append((piece, outline, dart._replace(name=called)))
    if not pairs:
        raise InputError(
            "The drawn lines do not lie over '{}'.".format(outlines[0][0].name),
            "Draw both legs from the seam line to one point inside the piece.",
            code="dart",
        )
    return pairs


def _is_known(found: Subjects, words: str) -> bool:
    """Whether words name a dart that is there, and the picked lines draw none."""
    try:
        lines_as_dart(found.outlines[0][1], found.lines)
    except InputError:
        return any(_called(darts_here(piece, outline), words) for piece, outline in found.outlines)
    return False


def _cut_in_already(piece: Piece, outline: Outline, drawn: DrawnDart) -> Optional[Dart]:
    """The dart of the outline that lines draw once more; ``InputError`` where they only share its point."""
    for dart in darts_of(piece, outline):
        if drawn.contour or np.hypot(*(dart.point - drawn.point)) > TOUCH:
            continue
        way = (drawn.legs[0].start + drawn.legs[1].start) / 2.0 - drawn.point
        if way @ dart.axis >= _ALIKE * np.hypot(*way):
            return dart
        raise InputError(
            "The drawn lines end at the point of the dart '{}' of '{}'.".format(dart.name, piece.name),
            "Draw the new dart to a point of its own, or take old lines out of the selection.",
            code="dart",
        )
    return None


def _at_nodes(
    outlines: Sequence[Tuple[Piece, Outline]], chosen: Chosen
) -> List[Tuple[Piece, Outline, AnyDart]]:
    """The dart between the picked nodes of each outline; other sizes of that piece have it by name."""
    meant: Dict[str, Dart] = {}
    pairs: List[Tuple[Piece, Outline, AnyDart]] = []
    for piece, outline in outlines:
        nodes = chosen.nodes_on(piece.name, outline.size)
        if nodes:
            dart = dart_at_nodes(outline, nodes)
            known = [other for other in darts_of(piece, outline) if other.edges == dart.edges]
            unnamed = dart.name not in outline.names and not known
            dart = known[0] if known else dart
            meant[piece.name] = dart._replace(name=free_name(piece, outline)) if unnamed else dart
    for piece, outline in outlines:
        if piece.name not in meant:
            continue
        dart = meant[piece.name]
        pairs.append((piece, outline, dart if dart.size == outline.size else _same(piece, outline, dart)))
    return pairs


def _same(piece: Piece, outline: Outline, dart: Dart) -> Dart:
    """The same dart in another size: by its name, or by the numbers of its edges."""
    for other in darts_of(piece, outline):
        if other.name == dart.name or other.edges == dart.edges:
            return other._replace(name=dart.name)
    return dart_named(piece, outline, dart.name)


def _by_words(
    outlines: Sequence[Tuple[Piece, Outline]], chosen: Chosen, words: str
) -> List[Tuple[Piece, Outline, AnyDart]]:
    here = [darts_here(piece, outline) for piece, outline in outlines]
    meant = [_meant(one, chosen, words.strip()) for one in here]
    if not any(meant):
        raise _none(here, words.strip())
    several = next((one for one, darts in zip(here, meant) if len(darts) > 1), None)
    if several is None and not words.strip() and not chosen.outlines:
        pieces = list(dict.fromkeys(one.piece.name for one, darts in zip(here, meant) if darts))
        several = here[0] if len(pieces) > 1 else None
    if several is not None:
        raise InputError(
            "It is not said which dart is meant.",
            "Name one, or its number on its piece: {}.".format(_all(here)),
            code="dart",
        )
    pairs = [(one.piece, one.outline, darts[0]) for one, darts in zip(here, meant) if darts]
    having = {piece.name for piece, _, _ in pairs}
    for one, darts in zip(here, meant):
        if not darts and one.piece.name in having:
            dart_named(one.piece, one.outline, words.strip())  # says what this size has
    return pairs


def _meant(here: Here, chosen: Chosen, words: str) -> List[AnyDart]:
    """The darts of one outline that are meant, contour darts only where they are said."""
    picked = [
        dart
        for dart in here.darts
        if isinstance(dart, DrawnDart) and any(mark.key and mark.key in chosen.marks for mark in dart.marks)
    ]
    if words:
        return _called(here, words)
    return picked or [dart for dart in here.darts if not _is_contour(dart) and not may_be_a_neck(here, dart)]


def _called(here: Here, words: str) -> List[AnyDart]:
    """The darts that words name, or the one whose number they are."""
    named = [dart for dart in here.darts if dart.name == words]
    if not named and words.isdecimal() and 1 <= int(words) <= len(here.darts):
        named = [here.darts[int(words) - 1]]
    return named


def may_be_a_neck(here: Here, dart: AnyDart) -> bool:
    """Whether a notch that nobody named is wide enough for a neckline: a dart only if it is said."""
    named = here.piece.named or dart.name in here.piece.darts
    return isinstance(dart, Dart) and not named and dart.intake > _NECK


def _is_contour(dart: AnyDart) -> bool:
    return isinstance(dart, DrawnDart) and dart.contour


def _none(here: Sequence[Here], words: str) -> InputError:
    """What to say where no dart is meant."""
    if not any(one.darts for one in here):
        names = list(dict.fromkeys("'{}'".format(one.piece.name) for one in here))
        return InputError(
            "There is no dart on {}.".format(", ".join(names)),
            "Draw its two legs and select them with the outline, or add a dart first.",
            code="dart",
        )
    wide = [dart for one in here for dart in one.darts if may_be_a_neck(one, dart)]
    if not words and wide:
        text = "A notch {:.0f} mm wide may be a neckline, and nothing says that it is a dart."
        cure = "If it is one, name its number: {}.".format(_all(here))
        return InputError(text.format(wide[0].intake), cure, code="dart")
    if not words:
        text = "The darts here have two points and lie inside the piece, which cannot be done to them."
        return InputError(text, "They are: {}.".format(_all(here)), code="contour")
    return InputError(
        "There is no dart called '{}'.".format(words), "The darts are: {}.".format(_all(here)), code="dart"
    )


def _all(here: Sequence[Here]) -> str:
    """All darts with their intake, by piece; those of one size."""
    told: Dict[str, str] = {}
    for one in here:
        if one.darts:
            told[one.piece.name] = "{}: {}".format(one.piece.name, listed(one.darts))
    return "; ".join(told.values())
