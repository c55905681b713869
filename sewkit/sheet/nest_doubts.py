"""Doubts about a whole sheet: sizes that fall on each other, odd steps, pieces that overlap."""

from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.report import Finding, Level
from sewkit.sheet.nest_close import Ring, lies_partly_in
from sewkit.sheet.nest_shapes import SILENT, near, spread
from sewkit.sheet.nest_told import Drawn, middle_of

# Places on an outline that are looked at.
_LOOKS = 50
# Neighbouring sizes run together for at least this part of the way around, and for so much
# more of it than any others of the piece, before that is odd.
_TOGETHER, _MORE = 0.6, 0.3
# Steps of the girth against the piece's usual step: below and above these it is odd, where
# all steps but two keep within a quarter of the usual one.  Smaller steps are rounding (mm).
_HARDLY, _DOUBLE, _QUARTER, _STEP = 0.55, 1.7, 0.25, 2.0


def doubts(pieces: Sequence[Drawn]) -> List[Finding]:
    """Everything that makes the sizes or the outlines of a sheet doubtful."""
    return [*_together(pieces), *_odd_steps(pieces), *_overlaps(pieces)]


def _together(pieces: Sequence[Drawn]) -> List[Finding]:
    """Sizes that run along another one nearly all around, as no other sizes of the piece do."""
    found = []
    for piece in pieces:
        rings = piece.rings
        shares = [_share(one, two) for one, two in zip(rings, rings[1:])]
        for number, share in enumerate(shares):
            others = shares[:number] + shares[number + 1 :]
            if share < _TOGETHER or not others or share < max(others) + _MORE:
                continue
            text = (
                "The outlines of sizes {} and {} are one line for {:.0f} % of the way around, unlike "
                "those of the other sizes; check which line is which size."
            ).format(piece.names[number], piece.names[number + 1], 100 * share)
            spot = middle_of(rings[number].box)
            found.append(Finding("sizes-together", Level.WARN, text, piece.where, spot))
    return found


def _share(one: Ring, other: Ring) -> float:
    """The part of an outline that lies on another."""
    if (np.abs(np.array(one.box) - other.box) > SILENT).all():
        return 0.0  # together on no side: surely not for most of the way
    run = np.vstack([other.points, other.points[:1]])
    spots = spread(np.vstack([one.points, one.points[:1]]), _LOOKS)
    return float((near(run, np.arange(float(len(run))), spots).distance <= SILENT).mean())


def _odd_steps(pieces: Sequence[Drawn]) -> List[Finding]:
    """Steps between sizes that are much wider or smaller than the others of their piece."""
    odd: Dict[Tuple[str, str], List[Tuple[Drawn, float]]] = {}
    graded = 0
    for piece in pieces:
        rates = _rates(piece)
        if rates is None:
            continue
        graded += 1
        for number, rate in enumerate(rates):
            if not _HARDLY <= rate <= _DOUBLE:
                pair = piece.names[number], piece.names[number + 1]
                odd.setdefault(pair, []).append((piece, rate))
    found = []
    for (small, large), rows in odd.items():
        everywhere = len(rows) > 1 and 2 * len(rows) > graded
        for piece, rate in rows[:1] if everywhere else rows:
            text = "{} the step from size {} to size {} is {:.1f} times the usual one; {}.".format(
                "On {} of {} pieces".format(len(rows), graded) if everywhere else "Here",
                small,
                large,
                rate,
                "a size may be missing between them, or a line be taken for another size's"
                if rate > 1
                else "check which line is which size",
            )
            where = "" if everywhere else piece.where
            found.append(Finding("odd-step", Level.WARN, text, where, middle_of(piece.rings[0].box)))
    return found


def _rates(piece: Drawn) -> Optional[List[float]]:
    """Each step of the girth as a multiple of the usual one; None where there is no usual one.

    Where sizes are numbers, a step over several of them may be as much wider.
    """
    if len(piece.rings) < 4:
        return None
    steps = np.diff([ring.girth for ring in piece.rings])
    if all(name.isdigit() for name in piece.names):
        wide = np.diff([int(name) for name in piece.names])
        if (wide <= 0).any():
            return None
        steps = steps * wide.min() / wide
    usual = float(np.median(steps))
    if usual < _STEP:
        return None
    rates = steps / usual
    even = np.abs(rates - 1.0) <= _QUARTER
    return rates.tolist() if even.sum() >= max(len(rates) - 2, 1) else None


def _overlaps(pieces: Sequence[Drawn]) -> List[Finding]:
    """Pieces whose outlines run across each other on the sheet."""
    largest = [piece.rings[-1] for piece in pieces]
    boxes = np.array([ring.box for ring in largest]).reshape(-1, 4)
    meeting = []
    for one in range(len(pieces)):
        low = np.maximum(boxes[one, :2], boxes[one + 1 :, :2])
        high = np.minimum(boxes[one, 2:], boxes[one + 1 :, 2:])
        for number in np.flatnonzero((high - low > SILENT).all(axis=1)).tolist():
            other = one + 1 + number
            if lies_partly_in(largest[one].points, largest[other].points):
                meeting += [one, other]
    if not meeting:
        return []
    names = [pieces[number].where for number in sorted(set(meeting))]
    text = "On the sheet the outlines of {} and {} overlap; check {} of them.".format(
        ", ".join(names[:-1]), names[-1], "both" if len(names) == 2 else "each"
    )
    return [Finding("pieces-overlap", Level.WARN, text, "", middle_of(largest[meeting[0]].box))]
