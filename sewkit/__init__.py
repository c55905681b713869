"""sewkit: change a sewing pattern for one body, at true scale.

    import sewkit

    drawing, chosen = sewkit.open_drawing("master.svg")
    outcome = sewkit.allowance(drawing.pattern, chosen, width=15)
    drawing.put(outcome.pattern)
    drawing.save("cut.svg")

Every operation is a function of this package by its own name; lengths are mm.
"""

from typing import Any, List

__version__ = "0.5.0"

_OPENING = ("open_drawing", "read_pages", "new_drawing", "read_recipe", "run_job")


def __getattr__(name: str) -> Any:
    """Find an operation by name on first use, so that importing sewkit costs nothing."""
    import importlib

    if name == "open_drawing":
        return importlib.import_module("sewkit.files.svg").open_drawing
    if name == "read_pages":
        return importlib.import_module("sewkit.files.pdf_read").read_pages
    if name == "new_drawing":
        return importlib.import_module("sewkit.files.master").new_drawing
    if name == "read_recipe":
        return importlib.import_module("sewkit.files.recipe").read_recipe
    if name == "run_job":
        return importlib.import_module("sewkit.files.job").run_job
    try:
        return getattr(importlib.import_module("sewkit.operations." + name), name)
    except ModuleNotFoundError:
        raise AttributeError("sewkit has no {!r}".format(name)) from None


def __dir__() -> List[str]:
    from sewkit.operations import load

    return sorted(["__version__", *_OPENING, *(one.function.__name__ for one in load())])
