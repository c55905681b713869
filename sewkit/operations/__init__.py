"""All operations, one a file; importing this package enters them in the register."""

import importlib
import re
from typing import Any, Tuple

from sewkit.operation import Operation, Outcome, afterwards, register
from sewkit.report import Report

# Only a pattern with a piece of such a name has something that must follow another by hand.
_MAY_FOLLOW = re.compile(
    "facing|lining|band|belt|collar|lapel|stand|hood|binding|yoke|pad|sleeve|trim|pocket|placket"
)


@afterwards
def tell_forgotten(before: Any, outcome: Outcome) -> Outcome:
    """What was moved by hand is told once more where an operation writes its length anew."""
    if not getattr(before, "edited", ()) or before.pieces is outcome.pattern.pieces:
        return outcome
    from sewkit.checks.moved_by_hand import forgotten  # only a drawing with such edges needs it

    pattern, found = forgotten(before, outcome.pattern)
    if not found:
        return outcome
    return outcome._replace(pattern=pattern, report=outcome.report.then(Report("", tuple(found))))


@afterwards
def make_followers_anew(before: Any, outcome: Outcome) -> Outcome:
    """Facings, bands and linings are made anew when their parents have changed; what else follows is told."""
    old, pieces = (getattr(pattern, "pieces", ()) for pattern in (before, outcome.pattern))
    if old is pieces:
        return outcome
    if any(piece.follows for piece in (*old, *pieces)):
        from sewkit.checks.followers import follow_up  # only a pattern with such pieces needs it

        outcome = follow_up(before, outcome)
    if any(_MAY_FOLLOW.search(piece.name) for piece in pieces):
        from sewkit.checks.who_follows import follow_notes

        notes = tuple(follow_notes(before, outcome.pattern))
        outcome = outcome._replace(report=outcome.report.then(Report("", notes))) if notes else outcome
    return outcome


def load() -> Tuple[Operation, ...]:
    """Import every operation and give the register, sorted by name."""
    import pkgutil  # slow to import, and no extension needs it

    for module in pkgutil.iter_modules(__path__):
        importlib.import_module(__name__ + "." + module.name)
    return register()
