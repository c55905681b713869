"""Where a dart shall be turned to, in words: edges with places on them, or darts that are there.

piece, targets = targets_of(piece, size, "shoulder waist", "50% 100", "60 40", "bust-dart", True)
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.pattern.dart import Dart, dart_named, darts_of, free_name
from sewkit.pattern.dart_cut_in import cut_in
from sewkit.pattern.dart_naming import with_name
from sewkit.pattern.dart_turning import Target
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.edge_places import places_on, split_places
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import check_name

# Shares in percent may miss their sum by this much: three thirds written as 33.33.
_SUM = 0.05


class Words(NamedTuple):
    """What is said of the targets; see ``targets_of``."""

    to: str = ""
    at: str = ""
    shares: str = ""
    called: str = ""


def targets_of(
    piece: Piece, size: str, words: Words, source: Optional[Dart], moves: bool
) -> Tuple[Piece, Tuple[Target, ...]]:
    """The targets on one size, and the piece, in which the darts among them are cut in and named.

    ``source``: the dart that is turned; ``moves``: all of it goes, so that a new one takes its name.
    ``InputError``: nothing is said (choice); no such edge (name); the dart itself (dart);
    numbers that do not fit (value).
    """
    names = words.to.replace(",", " ").replace(";", " ").split()
    if not names:
        raise InputError(
            "It is not said where the dart of '{}' shall be turned to.".format(piece.name),
            "Name an edge or another dart. " + _known(piece, piece.outline(size)),
            code="choice",
        )
    found: List[Target] = []
    for name in dict.fromkeys(names):
        piece, target = _target(piece, size, name, source)
        found.append(target)
    found = _placed(piece, piece.outline(size), found, words.at)
    shares = _shares(words.shares, len(found))
    found = [target._replace(share=share) for target, share in zip(found, shares)]
    return piece, tuple(_called(piece, piece.outline(size), found, words.called, source, moves))


def _target(piece: Piece, size: str, name: str, source: Optional[Dart]) -> Tuple[Piece, Target]:
    outline = piece.outline(size)
    if source is not None and name == source.name:
        raise InputError(
            "The dart '{}' cannot be turned onto itself.".format(name),
            "Name another edge or another dart. " + _known(piece, outline),
            code="dart",
        )
    drawn = [dart for dart in drawn_darts(piece, size) if dart.name == name]
    if drawn and name not in outline.names:
        piece, dart = cut_in(piece, size, drawn[0])
        return piece, Target(0.0, _edge_of(piece.outline(size), dart), dart=dart, name=name)
    if any(dart.name == name for dart in darts_of(piece, outline)):
        piece = with_name(piece, dart_named(piece, outline, name), name)
        outline = piece.outline(size)
        dart = dart_named(piece, outline, name)
        return piece, Target(0.0, _edge_of(outline, dart), dart=dart, name=name)
    if name not in outline.names:
        raise InputError(
            "'{}' has no edge and no dart called '{}'.".format(piece.name, name),
            _known(piece, outline),
            code="name",
        )
    return piece, Target(0.0, name)


def _edge_of(outline: Outline, dart: Dart) -> str:
    return outline.edges[dart.edges[0] - 1].name


def _known(piece: Piece, outline: Outline) -> str:
    legs = {number for dart in darts_of(piece, outline) for number in dart.edges}
    edges = [e.name for number, e in enumerate(outline.edges) if number not in legs]
    text = "The edges are: {}.".format(", ".join(dict.fromkeys(edges)))
    darts = [d.name for d in darts_of(piece, outline)] + [d.name for d in drawn_darts(piece, outline.size)]
    return text + (" The darts are: {}.".format(", ".join(dict.fromkeys(darts))) if darts else "")


def _placed(piece: Piece, outline: Outline, targets: Sequence[Target], at: str) -> List[Target]:
    """Each edge with its place; of one edge alone, with as many places as are given."""
    edges = [target for target in targets if target.dart is None]
    words = split_places(at)
    if not edges and words:
        raise InputError(
            "A place is given, and the dart is turned onto another dart.",
            "Leave the place out, or name an edge.",
            code="value",
        )
    if len(edges) == 1 and words:
        row = list(targets).index(edges[0])
        places = [edges[0]._replace(on=on) for on in places_on(piece, outline, edges[0].edge, at)]
        return [*targets[:row], *places, *targets[row + 1 :]]
    if words and len(words) not in (1, len(edges)):
        raise InputError(
            "{} places are given for {} edges.".format(len(words), len(edges)),
            "Give one for each, in the same order, or none for the middle of each.",
            code="value",
        )
    made, row = [], 0
    for target in targets:
        if target.dart is None:
            word = words[0 if len(words) == 1 else row] if words else ""
            target = target._replace(on=_place(piece, outline, target.edge, word))
            row += 1
        made.append(target)
    return made


def _place(piece: Piece, outline: Outline, edge: str, word: str) -> On:
    if not word:
        return On(edge, outline.as_sewn(edge) / 2.0)
    return places_on(piece, outline, edge, word)[0]


def _shares(words: str, count: int) -> List[float]:
    """Parts of 1: as given in percent, or even ones."""
    texts = words.replace("%", " ").replace("/", " ").replace(";", " ").split()
    if not texts:
        return [1.0 / count] * count
    try:
        shares = [float(text.replace(",", ".")) for text in texts]
    except ValueError:
        shares = []
    if len(shares) != count or abs(sum(shares) - 100.0) > _SUM or not all(s > 0 for s in shares):
        raise InputError(
            "'{}' does not share the dart out among {} {}.".format(
                words.strip(), count, "place" if count == 1 else "places"
            ),
            "Give a percentage above 0 for each, with the sum 100, or none for equal shares.",
            code="value",
        )
    return [share / sum(shares) for share in shares]


def _called(
    piece: Piece,
    outline: Outline,
    targets: Sequence[Target],
    called: str,
    source: Optional[Dart],
    moves: bool,
) -> List[Target]:
    """Names for the new darts: as said, the first one that of the dart that is gone, or what is free."""
    said = [check_name(word, "name of a dart") for word in called.replace(",", " ").split()]
    new = [number for number, target in enumerate(targets) if target.dart is None]
    if len(said) > len(new):
        raise InputError(
            "{} names are given for {} new darts.".format(len(said), len(new)),
            "Give one name for each.",
            code="value",
        )
    made, used = list(targets), set()
    for row, number in enumerate(new):
        if row < len(said):
            name = said[row]
            gone = moves and source is not None and name == source.name
            if (name in outline.names and not gone) or name in used or name.isdecimal():
                raise InputError(
                    "'{}' cannot be the name of the new dart.".format(name),
                    "Choose a name that no edge and no other dart has, and no number.",
                    code="name",
                )
        elif row == 0 and moves and source is not None:
            name = source.name
        else:
            name = _next_name(piece, outline, source, used)
        used.add(name)
        made[number] = targets[number]._replace(name=name)
    return made


def _next_name(piece: Piece, outline: Outline, source: Optional[Dart], used: Sequence[str]) -> str:
    """The name of the dart it comes from with a number, or a free one."""
    if source is None or not piece.named:
        return free_name(piece, outline, used)
    taken = set(used) | set(outline.names)
    numbers = range(2, len(taken) + 3)
    return next(n for n in ("{}-{}".format(source.name, number) for number in numbers) if n not in taken)
