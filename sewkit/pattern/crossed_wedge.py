"""Lines that a wedge crosses, cut there, moved on both sides and put together again.

The cloth of a wedge taken out is the triangle between its two legs, which meet at the hinge.
As on paper a line is cut at both legs, what lies between them goes, and what lies beyond moves
until one leg lies on the other: there both ends meet, if they were as far from the hinge as
each other.  Let in, there is one leg, and a straight line goes across the opening.
"""

from typing import Callable, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, lines, point, split_at
from sewkit.geometry.polygon import contains
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.parting import Parting

# An edge bulges this far (mm) at most over a wedge, beyond the longer leg.
_BULGE = 20.0

# Lines that are drawn past the edge are cut, up to this far (mm) from it, where the leg would go on.
_PAST_EDGE = 1000.0

# Ends of a line this near to each other (mm) are drawn together; further apart the line gets a step.
_SMALL = 3.0

# A line may be bent by this much of its length to meet the other side: 11 degrees, which is no corner.
_LEAN = 0.2

# A bit of a line becomes longer or shorter by this part of itself at most to meet the other side.
_SHORTER = 0.5

# Of a line that lay in the cloth taken out for more than this part nothing much would be left.
_MOST = 0.5

# How much of a shift at its end each control point of a curve takes: a straight line stays one.
_RAMP = np.array([0.0, 1.0, 2.0, 3.0])[:, None] / 3.0

# Where a bit is asked whether any of it lies on the piece: both ends may lie on the edge itself.
_SAMPLES = np.linspace(0.0, 1.0, 11)[1:-1]

# Moves a curve (4, 2) of a part.
Move = Callable[[np.ndarray], np.ndarray]


class Legs(NamedTuple):
    """A wedge on the outline as it was, points (2,) mm.

    ``before``, ``beyond``: numbers of the parts at the opening's leg.  ``far`` is the opening
    where nothing is taken out.
    """

    hinge: np.ndarray
    opening: np.ndarray
    far: np.ndarray
    before: int
    beyond: int
    parting: Parting

    @property
    def takes_out(self) -> bool:
        """Whether there is cloth between the legs."""
        return not np.array_equal(self.opening, self.far)

    def holds(self, spot: np.ndarray) -> bool:
        """Whether a point lies in the cloth taken out, or off its edge between the legs; not on a leg."""
        first, second = self.opening - self.hinge, self.far - self.hinge
        sizes = float(np.hypot(*first)), float(np.hypot(*second))
        way, sense = spot - self.hinge, np.sign(_cross(first, second))
        inside = min(sense * _cross(first, way) / sizes[0], sense * _cross(way, second) / sizes[1])
        ahead = float(way @ (first / sizes[0] + second / sizes[1])) > 0
        if not (inside > SAME_POINT and ahead):
            return False
        return bool(np.hypot(*way) <= max(sizes) + _BULGE or not contains(self.parting.old.path, [spot])[0])

    def closed_on(self, spot: np.ndarray) -> np.ndarray:
        """The point of the opening's leg as far from the hinge as a point that was taken out."""
        leg = self.opening - self.hinge
        return self.hinge + leg * (np.hypot(*(spot - self.hinge)) / np.hypot(*leg))

    def owner(self, spot: np.ndarray) -> Optional[int]:
        """The part to which a point belongs; None in the cloth taken out."""
        return None if self.takes_out and self.holds(spot) else self.parting.part_of(spot)

    @property
    def lines(self) -> List[Path]:
        """The legs from the hinge to well beyond the edge."""
        ends = [self.opening, self.far] if self.takes_out else [self.opening]
        longer = [end + (end - self.hinge) * (_PAST_EDGE / np.hypot(*(end - self.hinge))) for end in ends]
        return [Path.through([self.hinge, end]) for end in longer]


def middle_of(path: Path) -> np.ndarray:
    """The middle (2,) of a small mark's lines, the same however the sheet lies: their mean by length."""
    starts, ends = path.curves[:, 0], path.curves[:, 3]
    sizes = np.hypot(*(ends - starts).T)
    if sizes.sum() <= SAME_POINT:
        return path.start
    return (sizes / sizes.sum()) @ ((starts + ends) / 2.0)


class Crossed(NamedTuple):
    """A line after the change.

    ``path``: None where all of it was taken out.  ``gone``: the length (mm) that lay in the cloth
    taken out at an end of the line.  ``laid``: it was laid on the closed line instead, because
    most of the line lay there.  ``step``: the largest step (mm) in it.
    """

    path: Optional[Path]
    gone: float = 0.0
    laid: bool = False
    step: float = 0.0


class _Bit(NamedTuple):
    """A curve between two cuts, its part (None: taken out), and whether it goes on from the one before."""

    curve: np.ndarray
    owner: Optional[int]
    linked: bool


def crossed(
    path: Path, legs: Legs, moves: Sequence[Move], fixed: Optional[int] = None, whole: bool = False
) -> Crossed:
    """A line cut at the legs, each bit moved with its part, and joined.

    ``fixed``: the part whose bits keep their place to the last bit; without one both ends of a
    small step meet half way.  ``whole``: a line most of which was taken out is laid on the
    closed line.
    """
    bits = _bits(path, legs)
    gone = 0.0 if path.closed else _gone_at_ends(bits)
    sizes = [(path_length(Path(bit.curve[None])), bit.owner is None) for bit in bits]
    out = sum(size for size, taken in sizes if taken)
    laid = whole and out > _MOST * sum(size for size, _ in sizes)
    if laid:
        bits, gone = [_laid(bit, legs) for bit in bits], out
    done: List[np.ndarray] = []
    owners: List[int] = []
    step, chained = 0.0, False
    for bit in bits:
        chained = chained and bit.linked
        if bit.owner is None:
            continue
        here, apart = np.array(moves[bit.owner](bit.curve)), 0.0
        if chained:
            here, apart = _join(done, owners[-1], here, bit.owner, legs.takes_out, fixed)
        done.append(here)
        owners.append(bit.owner)
        step, chained = max(step, apart), True
    if not done:
        return Crossed(None, out)
    if path.closed:
        done[0], apart = _join(done, owners[-1], done[0], owners[0], legs.takes_out, fixed)
        step = max(step, apart)
    return Crossed(Path(np.array(done), path.closed), gone, laid, step)


def _bits(path: Path, legs: Legs) -> List[_Bit]:
    """The line in bits; a closed one begins where a bit is kept and the one before it is not its part's."""
    split = split_at(path, [found.first for leg in legs.lines for found in crossings(path, leg)]).curves
    owners = [legs.owner(spot) for spot in point(split, 0.5)]
    if not path.closed:
        owners = _with_tails(split, owners, legs)
        if len(set(owners)) == 1:  # a leg met it where it leaves the piece: it needs no node there
            split, owners = path.curves, list(owners[:1]) * len(path)
    else:
        turns = [n for n in range(len(owners)) if owners[n] is not None and owners[n] != owners[n - 1]]
        first = turns[0] if turns else 0
        split, owners = np.roll(split, -first, axis=0), owners[first:] + owners[:first]
    bits = []
    for number, (curve, owner) in enumerate(zip(split, owners)):
        linked = number > 0 and np.hypot(*(curve[0] - split[number - 1, 3])) <= SAME_POINT
        bits.append(_Bit(curve, owner, bool(linked)))
    return bits


def _with_tails(split: np.ndarray, owners: Sequence[Optional[int]], legs: Legs) -> Sequence[Optional[int]]:
    """The part of each bit, where what is drawn past the edge goes with the bit inside that it goes on.

    So a level through the very place where the wedge begins is not torn off at the edge.
    """
    on = [bool(contains(legs.parting.old.path, point(curve, _SAMPLES)).any()) for curve in split]
    if all(on) or not any(on):
        return owners
    made, first, last = list(owners), on.index(True), len(on) - 1 - on[::-1].index(True)
    for tail, inside in ((range(first - 1, -1, -1), first), (range(last + 1, len(on)), last)):
        for number in tail:
            if np.hypot(*(split[max(number, inside), 0] - split[max(number, inside) - 1, 3])) > SAME_POINT:
                break  # a line of its own
            made[number], inside = made[inside], number
    return made


def _gone_at_ends(bits: Sequence[_Bit]) -> float:
    """The length (mm) taken out at ends of the line, where nothing is left for it to meet."""
    gone, waiting, met = 0.0, 0.0, False
    for bit in bits:
        if not bit.linked:
            gone, waiting, met = gone + waiting, 0.0, False
        if bit.owner is None:
            waiting += path_length(Path(bit.curve[None]))
        else:
            gone, waiting, met = gone + (0.0 if met else waiting), 0.0, True
    return gone + waiting


def _laid(bit: _Bit, legs: Legs) -> _Bit:
    """A bit that was taken out, laid on the closed line."""
    if bit.owner is not None:
        return bit
    return bit._replace(
        curve=lines(legs.closed_on(bit.curve[0]), legs.closed_on(bit.curve[3])), owner=legs.before
    )


def _join(
    done: List[np.ndarray],
    last: int,
    here: np.ndarray,
    owner: int,
    takes_out: bool,
    fixed: Optional[int],
) -> Tuple[np.ndarray, float]:
    """Lead the line, ``done`` in place, to the curve ``here``; that curve, and the step between (mm)."""
    before = done[-1]
    gap = here[0] - before[3]
    size = float(np.hypot(*gap))
    back = 0.0 if last == fixed else 1.0 if owner == fixed else 0.5
    asides = [_aside(curve, gap * share) for curve, share in ((before, back), (here, 1.0 - back)) if share]
    # Turned, both ends lie on the closed line, apart along it; slid, they lap or gape along the line.
    small = max(asides) < _SMALL and (fixed is not None or size < _SMALL)
    if size > SAME_POINT and not (takes_out and small):
        done.append(lines(before[3], here[0]))
        return here, size if takes_out else 0.0
    if back:
        done[-1] = before + gap * back * _RAMP
    if back < 1.0:
        here = here - gap * (1.0 - back) * _RAMP[::-1]
        here[0] = done[-1][3]
    else:
        done[-1][3] = here[0]
    return here, 0.0


def _aside(curve: np.ndarray, shift: np.ndarray) -> float:
    """How far (mm) a shift of an end of a curve leads it aside; endless where it would bend too much."""
    chord = curve[3] - curve[0]
    size = float(np.hypot(*chord))
    along, aside = abs(float(chord @ shift)), abs(_cross(chord, shift))
    if along > _SHORTER * size * size or aside > _LEAN * size * size:
        return np.inf
    return aside / size


def _cross(first: np.ndarray, second: np.ndarray) -> float:
    return float(first[0] * second[1] - first[1] * second[0])
