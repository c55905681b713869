"""A dart that was turned, as one would say it at the table."""

from typing import List, Sequence, Tuple

import numpy as np

from sewkit.pattern.dart_turning import DartTurn, Target
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.piece import Piece
from sewkit.report import Change, Finding, Level
from sewkit.units import in_both

# Legs that differ by less than this (mm) meet within what a pencil shows.
_UNEQUAL = 0.3

# Where both sides of what was taken in differ by more (mm), the edge gets another shape there
# (common practice, no source).
_STEP = 5.0

# An edge that turns by less than this (degrees) where cloth was taken out needed no curve.
_BENT = 1.0


def sentence(
    piece: Piece,
    made: DartTurn,
    targets: Sequence[Target],
    source: str,
    edge: str,
    amount: float,
    size: str = "",
) -> str:
    """What was done to one piece.

    Args:
        amount: mm taken out of ``edge``, or 0 where the dart ``source`` was turned.
        size: the size whose numbers these are, where several were changed.
    """
    name = "'{}' (size {})".format(piece.name, size) if size else "'{}'".format(piece.name)
    goes_to = _listed([_target(made, target) for target in targets])
    if amount > 0:
        return "{} taken out of {} of {}, {:.1f} degrees, turned {}.".format(
            in_both(amount), quoted(made.old, edge), name, made.angle, goes_to
        )
    left = next((s for s in made.turned.spokes if s.name == source and 0 < s.then < s.now), None)
    dart = "the dart '{}' of {}".format(source, name)
    if left is None:
        return "The {:.1f} degrees of {} at its pivot were turned {}.".format(made.angle, dart, goes_to)
    return "Of the {:.1f} degrees of {} at its pivot {:.1f} were turned {}.".format(
        left.now, dart, made.angle, goes_to
    )


def _target(made: DartTurn, target: Target) -> str:
    if target.dart is not None:
        return "into the dart '{}'".format(target.name)
    first, second = made.outline.runs(target.name)
    wide = float(np.hypot(*(second.end - first.start)))
    return "to {}, where it is {:.1f} mm wide".format(quoted(made.old, target.edge), wide)


def _listed(words: List[str]) -> str:
    return words[0] if len(words) == 1 else "{} and {}".format(", ".join(words[:-1]), words[-1])


def labels(name: str, made: DartTurn, targets: Sequence[Target]) -> Tuple[Change, ...]:
    """What the picture says, at each dart that was opened or widened."""
    found = []
    for target in targets:
        spoke = next(s for s in made.turned.spokes if s.name == target.name and s.then > 0)
        first, second = made.outline.runs(target.name)
        x, y = (first.start + second.end) / 2.0
        text = "{} {:.1f} degrees at the pivot".format(target.name, spoke.then)
        found.append(Change(name, text, (float(x), float(y))))
    return tuple(found)


def _longer(made: DartTurn, edge: str) -> str:
    """By how much an edge is longer or shorter as sewn, and what keeps it as long."""
    if edge.isdigit() or edge not in made.outline.names:
        return ""
    change = made.outline.as_sewn(edge) - made.old.as_sewn(edge)
    if abs(change) < _UNEQUAL:
        return ""
    how = "longer" if change > 0 else "shorter"
    return ", and it is {:.1f} mm {}; make the legs equal before turning to keep it".format(abs(change), how)


def turn_findings(piece: Piece, made: DartTurn, where: str) -> List[Finding]:
    """Legs that differed, edges that were drawn anew, marks that were left out."""
    found = []
    for joint in made.turned.joints:
        taken = not made.turned.spokes[joint.spoke].name
        edge = quoted(made.old, joint.edge)
        if joint.step > _UNEQUAL and not taken:
            how = "a soft curve joins {} there".format(edge) if joint.redrawn else "{} has a corner there"
            text = "{}: about the pivot the legs of the closed dart differ by {:.1f} mm; {}{}.".format(
                where, joint.step, how.format(edge), _longer(made, joint.edge)
            )
            found.append(Finding("legs", Level.WARN, text, piece.name, joint.point))
        elif taken and (joint.step > _UNEQUAL or abs(joint.corner) > _BENT):
            level, why = Level.INFO, "look at its curve"
            if joint.step > _STEP:
                level, why = Level.WARN, "it runs aslant there, one side {:.1f} mm longer".format(joint.step)
            text = "{}: {} was drawn anew where it was taken in; {}.".format(where, edge, why)
            found.append(Finding("redrawn", level, text, piece.name, joint.point))
    if made.lost:
        text = "{}: {} of its marks belonged to the dart that is gone and {} left out: {}.".format(
            where,
            len(made.lost),
            "were" if len(made.lost) > 1 else "was",
            ", ".join(dict.fromkeys(made.lost)),
        )
        found.append(Finding("mark-gone", Level.INFO, text, piece.name))
    return found
