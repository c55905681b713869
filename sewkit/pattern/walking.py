"""Walking a seam: rolling one edge along the other, from notch to notch.

Lengths are as sewn: darts are closed, pleats folded, gathers drawn together, and both sides start where
the two pieces meet.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

from sewkit.pattern.gathered import drawn_together, gathers_on, taken
from sewkit.pattern.notch import notches_on
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef, Seam

# A notch of this name, with a number, meets the seam between two pieces of the other side.
JOINT = "joint-"


class Side(NamedTuple):
    """One side of a seam: its length, its notches in order from the start, and how often two edges meet."""

    length: float
    notches: Tuple[Tuple[str, float], ...]
    joints: int = 0


class Section(NamedTuple):
    """What lies between two notches: names of its ends, both lengths (mm)."""

    start: str
    stop: str
    first: float
    second: float


class Walk(NamedTuple):
    """A seam walked.

    Args:
        seam: which.
        first, second: as-sewn lengths of both sides (mm).
        sections: between the notches that both sides have.
        lone: notches that only one side has.
    """

    seam: Seam
    first: float
    second: float
    sections: Tuple[Section, ...]
    lone: Tuple[str, ...]

    @property
    def difference(self) -> float:
        """How much longer the first side is (mm)."""
        return self.first - self.second

    @property
    def outside(self) -> float:
        """How far the difference lies outside the ease meant (mm), with its sign."""
        least, most = self.seam.ease
        return self.difference - min(max(self.difference, least), most)

    @property
    def worst_notch(self) -> float:
        """The greatest distance (mm) by which a pair of notches misses.

        Marks of an eased seam may sit apart by as much as the ease.
        """
        first = second = worst = 0.0
        for section in self.sections[:-1]:
            first, second = first + section.first, second + section.second
            apart = first - second
            least, most = min(0.0, self.seam.ease[0]), max(0.0, self.seam.ease[1])
            worst = max(worst, abs(apart - min(max(apart, least), most)))
        return worst


def walk_seam(pattern: Pattern, seam: Seam, size: str) -> Walk:
    """Walk one seam in one size; ``InputError`` where a piece, edge or size is missing."""
    return walk_sides(seam, _side(pattern, seam.first, size), _side(pattern, seam.second, size))


def drawn_in(pattern: Pattern, seam: Seam, size: str) -> bool:
    """Whether a piece of the seam is drawn in the size, or all of them serve every size."""
    names = {ref.piece for ref in seam.refs}
    sizes = {size for piece in pattern.pieces if piece.name in names for size in piece.sizes}
    return size in sizes or not any(sizes)


def walk_sides(seam: Seam, first: Side, second: Side) -> Walk:
    """Walk two sides that are already measured."""
    pairs, lone = _matched(_without_joints(first, second), _without_joints(second, first))
    sections = []
    at = ("start", 0.0, 0.0)
    for name, here, there in pairs + [("end", first.length, second.length)]:
        sections.append(Section(at[0], name, here - at[1], there - at[2]))
        at = (name, here, there)
    return Walk(seam, first.length, second.length, tuple(sections), tuple(lone))


def _side(pattern: Pattern, refs: Sequence[EdgeRef], size: str) -> Side:
    at = 0.0
    notches: List[Tuple[str, float]] = []
    for ref in refs:
        piece = pattern.piece(ref.piece)
        outline = piece.outline(size)
        if ref.edge not in outline.names:
            outline.edge_path(ref.edge)  # raises, naming the edges there are
        gathers = gathers_on(piece, outline, ref.edge)
        length = outline.as_sewn(ref.edge) - taken(gathers)
        own = notches_on(piece.marks_for(outline.size), outline, ref.edge)
        own = [(name, drawn_together(gathers, distance)) for name, distance in own] if gathers else own
        if ref.turned:
            own = [(name, length - distance) for name, distance in reversed(own)]
        notches += [(name, at + distance) for name, distance in own]
        at += length
    return Side(at, tuple(notches), len(refs) - 1)


def _without_joints(side: Side, other: Side) -> List[Tuple[str, float]]:
    """The notches of a side, but those that meet a seam between two pieces of the other one."""
    known = {"{}{}".format(JOINT, number + 1) for number in range(other.joints)}
    return [(name, distance) for name, distance in side.notches if name not in known]


def _matched(
    first: Sequence[Tuple[str, float]], second: Sequence[Tuple[str, float]]
) -> Tuple[List[Tuple[str, float, float]], List[str]]:
    """Notches by name, those of one name in their order; those without a name by their order alone.

    A name comes twice where an edge runs over a fold that was opened: left and right.
    """
    here, there = _numbered(first), _numbered(second)
    pairs = [(_notch(key[0]), d, there[key]) for key, d in here.items() if key in there]
    lone = [_notch(key[0]) for key in here if key not in there]
    lone += [_notch(key[0]) for key in there if key not in here]
    lone = list(dict.fromkeys(lone))
    plain = [d for n, d in first if not n], [d for n, d in second if not n]
    if len(plain[0]) == len(plain[1]):
        pairs += [(_notch(str(i + 1)), a, b) for i, (a, b) in enumerate(zip(*plain))]
    else:
        lone.append("{} and {} notches without a name".format(len(plain[0]), len(plain[1])))
    pairs.sort(key=lambda pair: pair[1])
    return pairs, lone


def _numbered(notches: Sequence[Tuple[str, float]]) -> Dict[Tuple[str, int], float]:
    """The distances by name and by how often it came before."""
    found: Dict[Tuple[str, int], float] = {}
    for name, distance in notches:
        if name:
            found[name, sum(key[0] == name for key in found)] = distance
    return found


def _notch(name: str) -> str:
    return "notch {}".format(name)
