"""How edges run on over seams, over folds and within themselves: no point, no dip, no kink.

Limits (common practice, no source): the angles of two pieces at a seam's end make 180 degrees,
good within 1, usable within 3; an edge meets a fold square, good within 0.5 degrees, usable within
1.5, and stays so for 5 mm; a kink inside an edge is good up to 1 degree and a corner from 3; and no
dip or peak of more than 0.5 mm within 30 mm of a joint.  Where the angle is more than 30 degrees
off, the corner is meant as one and only noted.  At a fold the opened piece shows twice what its
half is off by.  A piece that follows others is smooth where they are: it is judged through them.
"""

from collections import Counter
from typing import List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.checks.drawn_closed import with_darts
from sewkit.checks.edge_shapes import FOLD_GOOD, FOLD_USABLE, KINK_GOOD, KINK_USABLE
from sewkit.errors import InputError
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_joints import EdgeJoint, edge_joints
from sewkit.pattern.fold_end import SQUARE, fold_ends, off_square
from sewkit.pattern.joined_edges import REACH, Joint, beak, peak, waver
from sewkit.pattern.mark import DART
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown
from sewkit.pattern.seam import Seam
from sewkit.pattern.seam_end import CROSSES, MEANT, MEANT_CORNER, SeamEnd, seam_ends
from sewkit.report import Finding, Level

# Both angles together may be off 180 by so much (degrees).
ANGLE_GOOD, ANGLE_USABLE = 1.0, 3.0

# A dip or peak within 30 mm of a joint is seen from here on (mm), and cannot be cut from there on.
DIP_GOOD, DIP_USABLE = 0.5, 1.5

# What a fold's square end may be off by within its first 5 mm (mm).
_SQUARE_GOOD = 0.5

# An edge with more kinks than this was never drawn as a curve.
_ROUGH = 6

# A limit itself is still inside; this much (degrees, mm) is rounding.
_ROUNDING = 1e-6


class Fault(NamedTuple):
    """How bad a joint is, and which of the codes says so."""

    level: Level
    code: str
    amount: float


def seam_end_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """What is wrong at seam ends, at folds and inside edges; nothing where all is smooth.

    Codes: ``end-angle``, ``end-dip``, ``end-kink`` (inside an edge) and ``fold-angle``.  In the order
    of the pieces, then of the sizes.
    """
    found: List[Finding] = []
    for piece in pattern.pieces:
        if piece.follows:
            continue
        owned = [seam for seam in pattern.seams if seam.first[0].piece == piece.name]
        done: Set[Tuple[str, ...]] = set()
        for size in dict.fromkeys(sizes):
            for seam in owned:
                found += _seam_findings(pattern, seam, size, done)
            own = _outline_size(piece, size)
            if own is not None and (own,) not in done:
                done.add((own,))
                found += own_findings(piece, own)
    return found


def _outline_size(piece: Piece, size: str) -> Optional[str]:
    """The size under which a piece is drawn for a size; None where it is not drawn for it."""
    try:
        return piece.outline(size).size
    except InputError:
        return None


# -- seam ends --------------------------------------------------------------------------


def end_fault(joint: Joint) -> Optional[Fault]:
    """What is wrong with a line that runs over a seam; None where it is smooth."""
    off = abs(joint.turn)
    if off > ANGLE_GOOD + _ROUNDING:
        return Fault(_graded(off, ANGLE_USABLE), "end-angle", peak(joint))
    dip = max(waver(joint), height(beak(joint)))
    if dip > DIP_GOOD + _ROUNDING:
        return Fault(_graded(dip, DIP_USABLE), "end-dip", dip)
    return None


def _seam_findings(pattern: Pattern, seam: Seam, size: str, done: Set[Tuple[str, ...]]) -> List[Finding]:
    try:
        ends = seam_ends(pattern, seam, size)
    except InputError:
        return []  # not drawn in this size, which is told where seams are walked
    found = []
    for end in ends:
        arms = end.joint.first, end.joint.second
        key = (seam.name, str(end.last), *(arm.size for arm in arms))
        fault = end_fault(end.joint)
        if key not in done and fault is not None:
            found.append(_end_finding(pattern, end, fault, size))
        done.add(key)
    return found


def _end_finding(pattern: Pattern, end: SeamEnd, fault: Fault, size: str) -> Finding:
    joint, ref = end.joint, end.refs[0]
    outlines = [pattern.piece(arm.piece).outline(size) for arm in (joint.first, joint.second)]
    edges = [quoted(o, arm.edge) for o, arm in zip(outlines, (joint.first, joint.second))]
    where = shown(pattern.piece(ref.piece), outlines[0].size)
    spot = "at ({:.0f}, {:.0f}) mm".format(*joint.spot)
    over = "{}: its {} and the {} of {} meet over the seam {}".format(
        where, edges[0], edges[1], joint.second.piece, quoted(outlines[0], ref.edge)
    )
    if end.kind == MEANT:
        text = "{} {} in an angle of {:.1f} degrees, so the corner is taken as meant."
        return Finding("end-angle", Level.INFO, text.format(over, spot, joint.total), str(ref), joint.spot)
    shape = "point" if (joint.turn if fault.code == "end-angle" else beak(joint)) <= 0 else "dip"
    if fault.code == "end-angle":
        text = "{} {} in an angle of {:.1f} degrees ({:.1f} + {:.1f}), not 180; sewn a {} of {:.1f} mm."
        angles = joint.total, joint.first.angle, joint.second.angle
        text = text.format(over, spot, *angles, shape, fault.amount)
    else:
        text = "{} {} at the right angle, but the line wavers by {:.1f} mm within 30 mm."
        text = text.format(over, spot, fault.amount)
    if end.kind == CROSSES:
        text = text[:-1] + "; two seams cross there, so it may be meant."
        return Finding(fault.code, Level.INFO, text, str(ref), joint.spot)
    cure = "Smooth it with sewkit smooth --at {}.".format(ref)
    return Finding(fault.code, fault.level, text, str(ref), joint.spot, cure)


# -- folds and edges ----------------------------------------------------------------------


def own_findings(piece: Piece, size: str) -> List[Finding]:
    """What a piece shows by itself, at its folds and inside its edges."""
    drawn = any(mark.kind == DART for mark in piece.marks) and piece.named
    closed = with_darts(piece, size) if drawn else piece
    found = [_fold_finding(piece, size, one.joint) for one in fold_ends(piece, piece.outline(size))]
    kinks = edge_joints(closed, closed.outline(size), KINK_GOOD)
    rough = rough_edges(kinks)
    found += [_rough_finding(closed, size, edge, kinks) for edge in rough]
    found += [
        _kink_finding(piece, closed, size, k) for k in kinks if k.dart or k.joint.first.edge not in rough
    ]
    return [finding for finding in found if finding is not None]


def drawn_kinks(piece: Piece, size: str) -> List[Finding]:
    """The kinks at darts that are only drawn on a piece, which cannot be smoothed before they are cut in."""
    if not piece.named or not any(mark.kind == DART for mark in piece.marks):
        return []
    closed = with_darts(piece, size)
    kinks = edge_joints(closed, closed.outline(size), KINK_GOOD)
    return [_kink_finding(piece, closed, size, k) for k in kinks if k.dart and k.dart not in piece.darts]


def rough_edges(kinks: Sequence[EdgeJoint]) -> Tuple[str, ...]:
    """Edges with so many kinks that they are drawn in short straight lines, and not kinked."""
    counts = Counter(kink.joint.first.edge for kink in kinks if not kink.dart)
    return tuple(edge for edge, count in counts.items() if count > _ROUGH)


def _rough_finding(piece: Piece, size: str, edge: str, kinks: Sequence[EdgeJoint]) -> Finding:
    mine = [kink.joint for kink in kinks if kink.joint.first.edge == edge and not kink.dart]
    text = (
        "{}: {} has {} kinks of up to {:.1f} degrees; it is drawn in short lines and not as a curve.".format(
            shown(piece, size),
            quoted(piece.outline(size), edge),
            len(mine),
            max(abs(one.turn) for one in mine),
        )
    )
    return Finding("end-kink", Level.INFO, text, "{}/{}".format(piece.name, edge), mine[0].spot)


def fold_fault(joint: Joint) -> Optional[Fault]:
    """What is wrong where an edge meets a fold; None where it is square for as long as it has to be."""
    off = abs(joint.turn) / 2.0
    if off > FOLD_GOOD + _ROUNDING:
        return Fault(_graded(off, FOLD_USABLE), "fold-angle", height(joint.turn))
    strays = off_square(joint)
    return Fault(Level.WARN, "fold-angle", strays) if strays > _SQUARE_GOOD else None


def _fold_finding(piece: Piece, size: str, joint: Joint) -> Optional[Finding]:
    fault = fold_fault(joint)
    if fault is None:
        return None
    off, edge = joint.turn / 2.0, joint.first.edge
    begin = "{}: {} meets the fold at ({:.0f}, {:.0f}) mm".format(
        shown(piece, size), quoted(piece.outline(size), edge), *joint.spot
    )
    where, shape = "{}/{}".format(piece.name, edge), "point" if off < 0 else "dip"
    if abs(off) > MEANT_CORNER:
        text = "{} in an angle of {:.1f} degrees, so the corner is taken as meant.".format(begin, 90.0 + off)
        return Finding("fold-angle", Level.INFO, text, where, joint.spot)
    if abs(off) > FOLD_GOOD + _ROUNDING:
        text = "{} in an angle of {:.1f} degrees, not 90; opened it has a {} of {:.1f} mm.".format(
            begin, 90.0 + off, shape, fault.amount
        )
    else:
        text = "{} square, but strays by {:.1f} mm from that within {:.0f} mm.".format(
            begin, fault.amount, SQUARE
        )
    cure = "Square it with sewkit smooth --at {}.".format(where)
    return Finding("fold-angle", fault.level, text, where, joint.spot, cure)


def _kink_finding(piece: Piece, closed: Piece, size: str, found: EdgeJoint) -> Finding:
    joint, dart = found.joint, found.dart
    off, edge = abs(joint.turn), joint.first.edge
    place = " where '{}' is closed,".format(dart) if dart else ""
    text = "{}: {} has a kink of {:.1f} degrees{} at ({:.0f}, {:.0f}) mm".format(
        shown(piece, size), quoted(closed.outline(size), edge), off, place, *joint.spot
    )
    where = "{}/{}".format(piece.name, edge)
    if off > MEANT_CORNER:
        return Finding("end-kink", Level.INFO, text + ", so it is taken as meant.", where, joint.spot)
    shape = "point" if joint.turn < 0 else "dip"
    text += ", a {} of {:.1f} mm.".format(shape, peak(joint))
    cure = "Smooth it with sewkit smooth --at {}.".format(where)
    if dart and dart not in piece.darts:
        cure = "Cut the dart in first (sewkit darts --action cut), then sewkit smooth."
    return Finding("end-kink", _graded(off, KINK_USABLE), text, where, joint.spot, cure)


def height(degrees: float) -> float:
    """How high (mm) a bend of so many degrees stands over a rule that is laid 30 mm to either side."""
    return REACH * float(np.sin(np.radians(abs(degrees)) / 2.0))


def _graded(off: float, usable: float) -> Level:
    return Level.WARN if off <= usable + _ROUNDING else Level.FAIL
