"""Look-alike edges told apart by their notches, so that no piece fits a wrong partner.

Two seams are alike where in a size an edge of the one is as long and as far from end to end as an
edge of the other, of the same cloth, and their notches agree from one end or the other.
"""

from itertools import combinations
from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.pattern.notch_sides import SeamSide, side_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import Seam

# Notches this far apart (mm) are told apart at the table; half an inch, common practice.
TOLD_APART = 12.0

# Notches put exactly so far apart are (mm).
_ROUNDING = 1e-6

# Edges whose lengths differ by no more (mm) could be sewn together without a thought: 1/8 in.
_AS_LONG = 3.0

# Edges bent so differently that their ends lie otherwise apart (mm) do not look alike.
_AS_FAR = 12.0

# A notch stays this far from the ends of its seam (mm), and places are tried in such steps.
_CLEAR, _STEP = 30.0, 3.0

# Where on a seam a notch is tried first: off the middle, so that it cannot be sewn upside down.
_FIRST = 0.4


class Form(NamedTuple):
    """A side of one edge as one sees it: its length, how far its ends are apart, its notches (mm).

    ``edge``: the names of its piece and itself.
    """

    edge: Tuple[str, str]
    cloth: str
    length: float
    chord: float
    notches: Tuple[float, ...]


class Apart(NamedTuple):
    """Notches that tell a seam from others: how far (mm) from where its first side begins."""

    seam: Seam
    along: Tuple[float, ...]


# Both sides of each seam of one size, by the seam's number.
Forms = Dict[int, List[Form]]


def alike(pattern: Pattern, sizes: Sequence[str]) -> List[List[Seam]]:
    """Groups of seams that could be taken for each other, in any of the sizes; in the pattern's order."""
    groups: List[List[int]] = []
    for one, other in _alike_pairs([_forms(pattern, size) for size in sizes]):
        mine = [group for group in groups if one in group or other in group]
        groups = [group for group in groups if group not in mine]
        groups.append(sorted({one, other}.union(*mine)))
    return [[pattern.seams[number] for number in group] for group in sorted(groups)]


def told_apart(pattern: Pattern, sizes: Sequence[str]) -> Tuple[List[Apart], List[Seam]]:
    """The fewest notches, one or two a seam, that tell look-alikes apart; and seams without room for them."""
    by_size = [_forms(pattern, size) for size in sizes]
    numbers = {id(seam): number for number, seam in enumerate(pattern.seams)}
    made: List[Apart] = []
    without: List[Seam] = []
    for group in alike(pattern, sizes):
        for seam in group[1:]:
            number = numbers[id(seam)]
            if not _alikes(by_size, number):
                continue
            along = _places(by_size, number)
            if not along:
                without.append(seam)
                continue
            by_size = [_with_notches(forms, number, along) for forms in by_size]
            made.append(Apart(seam, along))
    return made, without


def _forms(pattern: Pattern, size: str) -> Forms:
    found: Forms = {}
    for number, seam in enumerate(pattern.seams):
        if len(seam.first) > 1 or len(seam.second) > 1:
            continue  # several edges end to end: the whole ring is not taken for a single seam
        try:
            found[number] = [
                _form(pattern, side_of(pattern, refs, size)) for refs in (seam.first, seam.second)
            ]
        except InputError:
            continue  # walking the seam says so
    return found


def _form(pattern: Pattern, side: SeamSide) -> Form:
    stretch = side.stretches[0]
    runs = stretch.outline.runs(stretch.ref.edge)
    chord = float(np.hypot(*(runs[-1].end - runs[0].start)))
    notches = tuple(sat.along for sat in side.notches)
    cloth = pattern.piece(stretch.ref.piece).cloth
    return Form((stretch.ref.piece, stretch.ref.edge), cloth, side.length, chord, notches)


def _alike_pairs(by_size: Sequence[Forms]) -> List[Tuple[int, int]]:
    found: Dict[Tuple[int, int], None] = {}
    for forms in by_size:
        numbers = sorted(forms)
        for at, one in enumerate(numbers):
            for other in numbers[at + 1 :]:
                if (one, other) not in found and _seams_alike(forms[one], forms[other]):
                    found[(one, other)] = None
    return sorted(found)


def _seams_alike(one: Sequence[Form], other: Sequence[Form]) -> bool:
    """Whether an edge of one seam fits the other; two seams of one edge, facing and collar, do not count."""
    if {form.edge for form in one} & {form.edge for form in other}:
        return False
    return any(_agree(a, b) for a in one for b in other)


def _agree(one: Form, other: Form) -> bool:
    """Whether two edges would go together: as long, as far from end to end, notches agree from an end."""
    if one.cloth != other.cloth or abs(one.length - other.length) > _AS_LONG:
        return False
    if abs(one.chord - other.chord) > _AS_FAR or len(one.notches) != len(other.notches):
        return False
    turned = [other.length - along for along in reversed(other.notches)]
    return _meet(one.notches, other.notches) or _meet(one.notches, turned)


def _meet(one: Sequence[float], other: Sequence[float]) -> bool:
    return all(abs(a - b) < TOLD_APART - _ROUNDING for a, b in zip(one, other))


def _alikes(by_size: Sequence[Forms], number: int) -> bool:
    """Whether a seam is like any other in one of the sizes."""
    return any(
        other != number and _seams_alike(forms[number], sides)
        for forms in by_size
        if number in forms
        for other, sides in forms.items()
    )


def _places(by_size: Sequence[Forms], number: int) -> Tuple[float, ...]:
    """Where a notch makes a seam like no other, in all sizes, and not like itself upside down; or two do."""
    length = min(form.length for forms in by_size for form in forms.get(number, []))
    for many, step in ((1, _STEP), (2, TOLD_APART)):
        tries = np.arange(_CLEAR, length - _CLEAR + 1e-9, step).tolist()
        tries = sorted(tries, key=lambda one: abs(one - _FIRST * length))
        for along in combinations(tries, many):
            new = [_with_notches(forms, number, along) for forms in by_size]
            if not any(_upside_down(forms[number]) for forms in new if number in forms):
                if not _alikes(new, number):
                    return tuple(sorted(along))
    return ()


def _upside_down(sides: Sequence[Form]) -> bool:
    """Whether a side's notches agree with themselves from the other end."""
    return any(_meet(one.notches, [one.length - along for along in reversed(one.notches)]) for one in sides)


def _with_notches(forms: Forms, number: int, along: Sequence[float]) -> Forms:
    if number not in forms:
        return forms
    sides = [form._replace(notches=tuple(sorted((*form.notches, *along)))) for form in forms[number]]
    return {**forms, number: sides}
