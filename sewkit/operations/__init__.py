"""All operations, one a file; importing this package enters them in the register."""

import importlib
from typing import Any, Tuple

from sewkit.operation import Operation, Outcome, afterwards, register


@afterwards
def make_followers_anew(before: Any, outcome: Outcome) -> Outcome:
    """Facings, bands and linings are made anew when their parents have changed."""
    pattern = outcome.pattern
    if pattern is before or not any(piece.follows for piece in getattr(pattern, "pieces", ())):
        return outcome
    from sewkit.checks.followers import follow_up  # only a pattern with such pieces needs it

    return follow_up(before, outcome)


def load() -> Tuple[Operation, ...]:
    """Import every operation and give the register, sorted by name."""
    import pkgutil  # slow to import, and no extension needs it

    for module in pkgutil.iter_modules(__path__):
        importlib.import_module(__name__ + "." + module.name)
    return register()
