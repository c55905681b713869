"""A dart cut into an outline: two legs that run to a point inside the piece.

    for dart in darts_of(piece, outline):
        dart.name, dart.angle, dart.intake

Sewn together the legs are one line, and the cloth stands out at the point.  The angle stays
the same wherever a dart is turned to; the intake grows with the length of the legs.
"""

from typing import Any, Iterable, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains, signed_area
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.piece import Piece

# What nobody named is taken for a dart within these bounds (common practice, no source): the
# mouth and the shorter leg (mm), the angle (degrees; square is a notch cut out of a corner).
_MOUTH, _LEAST_LEG, _ANGLE = (3.0, 150.0), 15.0, (2.0, 89.5)

# Legs of a dart differ by less than this (mm), or than this part of the longer one.
_UNEQUAL, _UNEQUAL_PART = 5.0, 0.1

# A picked node is a node of the outline within this (mm).
_PICKED = 0.1


class Dart(NamedTuple):
    """A dart of one size.

    Args:
        name: the name of its legs; "dart-1" where they have none on a line nobody named.
        size: the size's name.
        edges: the numbers of its legs among the outline's edges, in path order.
        first, second: its legs (mm), in path order: from the mouth to the point, and back.
    """

    name: str
    size: str
    edges: Tuple[int, int]
    first: Path
    second: Path

    @property
    def point(self) -> np.ndarray:
        """Where the legs meet, (2,) mm."""
        return self.first.end

    @property
    def mouth(self) -> np.ndarray:
        """The ends of the legs at the edge, (2, 2) mm, in path order."""
        return np.array([self.first.start, self.second.end])

    @property
    def middle(self) -> np.ndarray:
        """Half way between the ends of the mouth, (2,) mm."""
        return (self.first.start + self.second.end) / 2.0

    @property
    def angle(self) -> float:
        """The angle at the point between the straight lines to the mouth, degrees."""
        return self.seen_from(self.point)

    @property
    def intake(self) -> float:
        """How wide the mouth is, mm, straight across."""
        return float(np.hypot(*(self.second.end - self.first.start)))

    @property
    def lengths(self) -> Tuple[float, float]:
        """The lengths of both legs, mm, along them."""
        return path_length(self.first), path_length(self.second)

    @property
    def axis(self) -> np.ndarray:
        """The direction from the point to the mouth, (2,) of length 1, half way between the legs."""
        ways = self.mouth - self.point
        ways = ways / np.hypot(ways[:, 0], ways[:, 1])[:, None]
        way = ways.sum(axis=0)
        return way / np.hypot(*way)

    @property
    def depth(self) -> float:
        """From the point to the middle of the mouth, mm."""
        return float(np.hypot(*(self.middle - self.point)))

    def seen_from(self, pivot: np.ndarray) -> float:
        """The angle, degrees, that the mouth takes up seen from another place (2,)."""
        return _angle(self.first.start - pivot, self.second.end - pivot)


def darts_of(piece: Piece, outline: Outline) -> Tuple[Dart, ...]:
    """The darts cut into an outline, in path order.

    Those whose legs are named as a dart's, two edges after each other; and notches that look
    like a dart and whose edges nobody named.  A notch of named edges is a neckline or a vent.
    """
    if not outline.path.closed or len(outline.edges) < 3:
        return ()
    pairs = _named_pairs(piece, outline)
    taken = {number for pair in pairs for number in pair}
    unnamed = [pair for pair in _shapes(piece, outline) if not taken & set(pair)]
    found = sorted(pairs + unnamed, key=lambda pair: (outline.edges[pair[0]].start, pair))
    used = {outline.edges[number].name for number in taken}
    darts = []
    for pair in found:
        name = outline.edges[pair[0]].name
        if pair in unnamed and not _is_a_dart_by_name(outline, pair):
            name = free_name(piece, outline, used)
        used.add(name)
        darts.append(_dart(outline, name, pair))
    return tuple(darts)


def dart_named(piece: Piece, outline: Outline, words: str = "") -> Dart:
    """The dart that is meant: by its name, by its number in path order, or the only one.

    ``InputError`` (code "dart") lists the darts there are, with their intake.
    """
    darts, words = darts_of(piece, outline), words.strip()
    meant = [dart for dart in darts if dart.name == words] if words else list(darts)
    if not meant and words.isdecimal() and 1 <= int(words) <= len(darts):
        meant = [darts[int(words) - 1]]
    if len(meant) == 1:
        return meant[0]
    where = "'{}'{}".format(piece.name, " size {}".format(outline.size) if outline.size else "")
    if not darts:
        raise InputError(
            "{} has no dart cut into its outline.".format(where),
            "Select the two drawn legs with the outline, or name the legs as a dart.",
            code="dart",
        )
    if not meant:
        what = "{} has no dart called '{}'.".format(where, words)
    elif words:
        what = "{} has {} darts called '{}'.".format(where, len(meant), words)
    else:
        what = "{} has {} darts, and it is not said which is meant.".format(where, len(darts))
    raise InputError(what, "Its darts are: {}.".format(listed(darts)), code="dart")


def listed(darts: Sequence[Any]) -> str:
    """Darts, cut in or drawn, with their numbers and the size of their intake, in one line."""
    return ", ".join(
        "{} {} ({:.1f} mm wide)".format(number + 1, dart.name, dart.intake)
        for number, dart in enumerate(darts)
    )


def dart_at_nodes(outline: Outline, points: Sequence[np.ndarray]) -> Dart:
    """The dart between three picked nodes, its point and both ends of its mouth, in any order.

    Its legs may be as long, as wide and as unequal as they like; its name is that of its
    legs, or "dart-1".  ``InputError``: they are not three nodes of a dart.
    """
    nodes = [_node(outline, spot) for spot in points]
    if len(set(nodes)) != 3:
        raise InputError(
            "{} nodes of the outline are selected.".format(len(set(nodes))),
            "Select three: the point of the dart and both ends of its mouth.",
            code="dart",
        )
    ends = {edge.start: number for number, edge in enumerate(outline.edges)}
    for number in sorted(ends[node] for node in nodes if node in ends):
        pair = (number - 1) % len(outline.edges), number
        three = {outline.edges[pair[0]].start, outline.edges[number].start, _stop(outline, number)}
        if three == set(nodes) and _goes_in(outline, pair):
            name = outline.edges[pair[0]].name
            shared = name == outline.edges[number].name
            return _dart(outline, name if shared and not name.isdecimal() else "dart-1", pair)
    raise InputError(
        "The three selected nodes are not the point of a dart and the two ends of its mouth.",
        "Select three corners that follow each other, the middle one inside the piece.",
        code="dart",
    )


def _dart(outline: Outline, name: str, pair: Tuple[int, int]) -> Dart:
    first, second = (_run(outline, outline.edges[number]) for number in pair)
    return Dart(name, outline.size, pair, first, second)


def _run(outline: Outline, edge: Edge) -> Path:
    return outline.path.part(edge.start, edge.stop)


def _stop(outline: Outline, number: int) -> int:
    return outline.edges[number].stop % len(outline.path)


def _node(outline: Outline, spot: np.ndarray) -> int:
    """The number of a picked node; -1 where the outline has none there."""
    away = np.hypot(*(outline.path.nodes - np.asarray(spot, np.float64)).T)
    nearest = int(away.argmin())
    return nearest if away[nearest] <= _PICKED else -1


def _named_pairs(piece: Piece, outline: Outline) -> List[Tuple[int, int]]:
    """Legs named as a dart's, by twos; of an odd number of legs in a row none is known."""
    edges, count = outline.edges, len(outline.edges)
    names = [edge.name if edge.name in piece.darts else "" for edge in edges]
    if all(names):
        return []
    start = names.index("")
    row: List[int] = []
    pairs: List[Tuple[int, int]] = []
    for number in [(start + step) % count for step in range(count + 1)]:
        if row and names[number] != names[row[-1]]:
            pairs += list(zip(row[::2], row[1::2])) if len(row) % 2 == 0 else []
            row = []
        if names[number]:
            row.append(number)
    return [pair for pair in pairs if not _folded(outline, pair)]


def _folded(outline: Outline, pair: Tuple[int, int]) -> bool:
    """Whether a leg or the mouth has no length, so that there is no angle."""
    first, second = (_run(outline, outline.edges[number]) for number in pair)
    ways = np.array([first.start - first.end, second.end - second.start])
    return bool((np.hypot(ways[:, 0], ways[:, 1]) <= SAME_POINT).any())


def _shapes(piece: Piece, outline: Outline) -> List[Tuple[int, int]]:
    """Pairs of edges nobody named that look like the legs of a dart."""
    found: List[Tuple[int, int]] = []
    count = len(outline.edges)
    for pair in [(number, (number + 1) % count) for number in range(count)]:
        known = piece.named and not _is_a_dart_by_name(outline, pair)
        if known and not all(outline.edges[number].name.isdecimal() for number in pair):
            continue
        if any(outline.edges[number].name in piece.folds + piece.hems for number in pair):
            continue
        if not (found and found[-1][1] == pair[0]) and _looks_like_a_dart(outline, pair):
            found.append(pair)
    return found


def _is_a_dart_by_name(outline: Outline, pair: Tuple[int, int]) -> bool:
    names = {outline.edges[number].name for number in pair}
    return len(names) == 1 and "dart" in names.pop()


def _looks_like_a_dart(outline: Outline, pair: Tuple[int, int]) -> bool:
    first, second = (_run(outline, outline.edges[number]) for number in pair)
    mouth = float(np.hypot(*(second.end - first.start)))
    if not _MOUTH[0] <= mouth <= _MOUTH[1] or not _goes_in(outline, pair):
        return False
    if not _ANGLE[0] <= _angle(first.start - first.end, second.end - first.end) <= _ANGLE[1]:
        return False
    short, long = sorted((path_length(first), path_length(second)))
    return short >= _LEAST_LEG and long - short <= max(_UNEQUAL, _UNEQUAL_PART * long)


def _goes_in(outline: Outline, pair: Tuple[int, int]) -> bool:
    """Whether the outline turns inwards at the point, and the point lies inside the closed mouth."""
    if _folded(outline, pair):
        return False
    first, second = (_run(outline, outline.edges[number]) for number in pair)
    one, other = first.end - first.start, second.end - second.start
    turn = float(one[0] * other[1] - one[1] * other[0])
    if turn * signed_area(outline.path) >= 0:
        return False
    rest = outline.path.part(_stop(outline, pair[1]), outline.edges[pair[0]].start)
    return bool(contains(Path(rest.curves), [first.end])[0])


def _angle(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.degrees(np.arctan2(abs(one[0] * other[1] - one[1] * other[0]), one @ other)))


def free_name(piece: Piece, outline: Outline, used: Iterable[str] = ()) -> str:
    """A name for a dart that has none: "dart", "dart-2"; on a line nobody named "dart-1" first.

    A name that only another size has is free here, so that one dart is called alike in all.
    """
    taken = set(used) | set(outline.names)
    names = ["dart" if piece.named else "dart-1"]
    names += ["dart-{}".format(number) for number in range(2, len(taken) + 3)]
    return next(name for name in names if name not in taken)
