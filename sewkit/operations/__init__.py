"""All operations, one a file; importing this package enters them in the register."""

import importlib
from typing import Tuple

from sewkit.operation import Operation, register


def load() -> Tuple[Operation, ...]:
    """Import every operation and give the register, sorted by name."""
    import pkgutil  # slow to import, and no extension needs it

    for module in pkgutil.iter_modules(__path__):
        importlib.import_module(__name__ + "." + module.name)
    return register()
