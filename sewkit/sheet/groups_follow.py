"""Sizes whose outlines close only through other lines, and lines that are drawn for all sizes."""

from typing import Dict, List, Sequence, Set

import numpy as np

from sewkit.sheet.drawn import Whole
from sewkit.sheet.groups_keys import Judged, Partition
from sewkit.sheet.nest_close import Ring, close
from sewkit.sheet.nest_graph import EVERYBODY, NOBODY
from sewkit.sheet.nest_pieces import Nest, nested
from sewkit.sheet.nest_shapes import Shapes, near, spread

# The part of all nests that a size takes part in; and of its lines that are outlines.
_OFTEN, _MOST = 0.3, 0.5
# Areas that differ by no more than this part are one outline's: a step from size to size in
# length and width of 1 mm in 400 is more.
_SAME = 0.005
# A seam allowance keeps its width within so much (mm) for that part of the way around (the
# hem has another, a fold has none); and it lies within these limits (mm).
_EVEN, _NEARLY_ALL, _SHARED = 0.3, 0.6, 1.0
_LEAST, _WIDEST, _LOOKS = 4.0, 26.0, 120


def with_followers(lines: Sequence[Whole], shapes: Shapes, trial: Judged, none: Sequence[int]) -> Judged:
    """The same with parts that are sizes only once their outlines are closed through other lines.

    A size that runs along another one for a stretch, or lacks its fold, has lines that are
    no body of their own.  ``none``: parts that are no lines of the pattern.
    """
    if trial.mixed and not trial.size_parts:
        return trial
    owner = [EVERYBODY if p in trial.mixed else NOBODY if p in none else p + 1 for p in trial.partition.part]
    rings, _ = close(lines, shapes, owner, sure=False)
    common = _common(lines, shapes, trial.partition, owner, rings)
    if common:
        owner = [EVERYBODY if part in common else number for number, part in zip(owner, trial.partition.part)]
        rings, _ = close(lines, shapes, owner, sure=False)
        trial = trial._replace(size_parts=tuple(part for part in trial.size_parts if part not in common))
    nests = [
        nest for nest in nested([ring for ring in rings if ring.owner != EVERYBODY]) if len(nest.rings) > 1
    ]
    known = set(trial.size_parts)
    nests = [nest for nest in nests if not known or known & {owner - 1 for owner in nest.owners}]
    areas: Dict[int, List[float]] = {}
    for nest in nests:
        middle = float(np.mean([np.log(ring.area) for ring in nest.rings]))
        for ring in nest.rings:
            areas.setdefault(ring.owner - 1, []).append(float(np.log(ring.area)) - middle)
    least = max(1.0, _OFTEN * len(nests))
    titled = any(trial.partition.sizes[part] for part in known)
    chosen = []
    for part in areas:
        fits = len(areas[part]) >= least and (trial.partition.sizes[part] or not titled)
        if part in known or (fits and _mostly_outline(shapes, trial.partition, part, nests)):
            chosen.append(part)
    if len(chosen) < 2:
        return trial
    order = sorted(chosen, key=lambda part: (float(np.mean(areas[part])), part))
    if not known.issubset(areas):  # an outline with a wide gap: its box tells its place
        order = list(trial.size_parts) + [part for part in order if part not in known]
    allowance = _allowance(nests) if len(order) == 2 else 0.0
    return trial._replace(size_parts=tuple(order), allowance=allowance)


def _common(
    lines: Sequence[Whole], shapes: Shapes, partition: Partition, owner: Sequence[int], rings: Sequence[Ring]
) -> Set[int]:
    """Parts without a size's name that close through another size's lines, and are drawn for all.

    Such a part lends its lines to other sizes.  Either its outline is that of the size whose
    lines it borrows (a fold), or that size closes only when the part belongs to everybody
    (the neck of all sizes, drawn once).
    """
    lent = _lent(partition, rings)
    owners = {ring.owner for ring in rings}
    found: Set[int] = set()
    for part in sorted(lent, key=lambda part: (-len(lent[part]), part)):
        mine = [ring for ring in rings if ring.owner == part + 1]
        if partition.sizes[part] or not mine:
            continue
        twins = [other.owner - 1 for ring in mine for other in rings if _twins(ring, other)]
        if 2 * len(twins) > len(mine):
            if all(len(lent.get(twin, ())) < len(lent[part]) for twin in twins):
                found.add(part)
            continue
        free = [EVERYBODY if other == part else number for number, other in zip(owner, partition.part)]
        again, _ = close(lines, shapes, free, sure=False)
        gained = {ring.owner for ring in again} - owners
        if any(lent.get(number - 1, set()) <= {part + 1} for number in gained - {EVERYBODY}):
            found.add(part)
    return found


def _twins(ring: Ring, other: Ring) -> bool:
    """Whether two parts' outlines are one: all lines of one are the other's, and as large."""
    if ring.owner == other.owner or EVERYBODY in (ring.owner, other.owner):
        return False
    first, second = set(ring.lines), set(other.lines)
    return (first <= second or second <= first) and abs(ring.area - other.area) <= _SAME * ring.area


def _lent(partition: Partition, rings: Sequence[Ring]) -> Dict[int, Set[int]]:
    """For each part the owners of other outlines that its lines help to close."""
    lent: Dict[int, Set[int]] = {}
    for ring in rings:
        for part in {partition.part[line] for line in ring.lines}:
            if part + 1 != ring.owner and ring.owner != EVERYBODY:
                lent.setdefault(part, set()).add(ring.owner)
    return lent


def _allowance(nests: Sequence[Nest]) -> float:
    """The distance (mm) that two outlines keep nearly all around, in most nests; else 0."""
    widths = []
    for nest in nests:
        outer, inner = nest.rings[0].points, nest.rings[-1].points
        run = np.vstack([outer, outer[:1]])
        away = near(run, np.arange(float(len(run))), spread(np.vstack([inner, inner[:1]]), _LOOKS)).distance
        away = away[away > _SHARED]
        middle = float(np.median(away)) if len(away) else 0.0
        even = np.abs(away - middle) <= _EVEN
        if _LEAST <= middle <= _WIDEST and even.sum() >= _NEARLY_ALL * len(away):
            widths.append(middle)
    return float(np.median(widths)) if len(widths) > _MOST * len(nests) else 0.0


def _mostly_outline(shapes: Shapes, partition: Partition, part: int, nests: Sequence[Nest]) -> bool:
    """Whether a part consists of outlines rather than of marks, of which one happens to close."""
    own = [n for nest in nests for ring in nest.rings if ring.owner == part + 1 for n in ring.own]
    every = [n for n, number in enumerate(partition.part) if number == part]
    return bool(shapes.lengths[own].sum() >= _MOST * shapes.lengths[every].sum())
