"""Operations declared once.

    @operation(title="Seam allowance", menu="Seams")
    def allowance(
        pattern: Pattern,
        chosen: Chosen = EVERYTHING,
        width: Length("Width", "from the seam line to the cut line", 0, 300) = 10.0,
    ) -> Outcome:
        \"\"\"Draw a cut line round each piece. ...\"\"\"

From this one declaration come the Python function (with its limits checked), the
command and its options, the recipe step, the editor's dialog and the row in the
README.  An annotation is the *kind* of a value: it knows the words, the limits and
how the value is read from and written as text.  The first paragraph of the docstring
is the summary, the rest the help page.
"""

import contextvars
import functools
import importlib
import inspect
import re
from typing import Any, Callable, Dict, List, Mapping, NamedTuple, Optional, Tuple

from sewkit.errors import InputError
from sewkit.kinds import (
    Choice,
    Count,
    Flag,
    Kind,
    Length,
    LengthsByName,
    Number,
    Percent,
    Places,
    Sheet,
    SheetText,
    Text,
)
from sewkit.report import Report

# The kinds are part of every declaration, so they are to be had here too.
__all__ = (
    "Choice",
    "Count",
    "Flag",
    "Kind",
    "Length",
    "LengthsByName",
    "Number",
    "Percent",
    "Places",
    "Sheet",
    "SheetText",
    "Text",
    "Operation",
    "Outcome",
    "Param",
    "Step",
    "SUBJECTS",
    "PICKING",
    "find",
    "operation",
    "register",
)

SUBJECTS = ("pattern", "chosen", "printed", "progress")

# Names that say what to work on; no value of an operation may take them.
PICKING = ("ids", "nodes", "pieces", "sizes", "id", "piece", "size", "unit", "input", "output", "file")


class Outcome(NamedTuple):
    """What an operation gives back: the new pattern, and what there is to tell.

    Args:
        prints: documents to be printed, each a ``sewkit.paper.document.Document``; the doors
            write them as files.
    """

    pattern: Any
    report: Report
    prints: Tuple[Any, ...] = ()


class Param(NamedTuple):
    """One value an operation takes."""

    name: str
    kind: Kind
    default: Any

    @property
    def option(self) -> str:
        """Its name on the command line: ``--mitre-limit``."""
        return "--" + self.name.replace("_", "-")


class Operation(NamedTuple):
    """One declared operation, as the doors see it."""

    name: str
    title: str
    menu: str
    select: str
    changes: bool
    preview: bool
    example: str
    params: Tuple[Param, ...]
    function: Callable[..., Outcome]
    summary: str
    details: str
    beside: bool = False
    told: bool = False
    answers: bool = False
    prints: bool = False

    @property
    def takes_pages(self) -> bool:
        """Whether it works on the pages of a PDF and begins a drawing, instead of changing one."""
        return "printed" in inspect.signature(self.function).parameters


class Step(NamedTuple):
    """One operation with its values: what a recipe is a list of."""

    operation: Operation
    values: Mapping[str, Any]

    def run(self, pattern: Any, chosen: Any = None) -> Outcome:
        """Do it; values left out take their defaults."""
        extra = {} if chosen is None else {"chosen": chosen}
        return self.operation.function(pattern, **extra, **self.values)


_REGISTER: Dict[str, Operation] = {}

# What is done after every operation that was called by a door and changed the pattern; not after
# one that another operation does as a part of its own.
_AFTERWARDS: List[Callable[[Any, Outcome], Outcome]] = []
_within: "contextvars.ContextVar[bool]" = contextvars.ContextVar("within", default=False)


def afterwards(follow: Callable[[Any, Outcome], Outcome]) -> Callable[[Any, Outcome], Outcome]:
    """Enter a function of the pattern before and the outcome; it gives the outcome that counts."""
    _AFTERWARDS.append(follow)
    return follow


def operation(
    title: str,
    menu: str,
    select: str,
    example: str,
    changes: bool = True,
    preview: Optional[bool] = None,
    beside: bool = False,
    told: bool = False,
    answers: bool = False,
    prints: bool = False,
) -> Callable[[Callable[..., Outcome]], Callable[..., Outcome]]:
    """Declare a function as an operation and enter it in the register.

    Args:
        title: the name in the menu.
        menu: the submenu below Extensions > Sewkit.
        select: what to select first, in the editor, as a sentence.
        example: a command line that works on a sample, for the help.
        changes: whether the drawing is changed; otherwise the report is the result.
        preview: whether a live preview makes sense; as ``changes`` when left out.
        beside: whether it also looks at what belongs to no piece: ``Pattern.beside``.
        told: whether its report is worth more than what stands in the notes: the dialog then
            asks whether to show it, and into which file to write it.
        answers: whether its report is worth having without a drawing: what it usually does then
            needs no file to write one to.
        prints: whether it gives documents to be printed; the doors then ask for a file to write.

    A parameter without a kind or without a default, a missing summary and a second
    operation of one name are ``TypeError``: mistakes in the declaration.
    """

    def declare(function: Callable[..., Outcome]) -> Callable[..., Outcome]:
        params = _params(function)
        checked = _checked(function, params)
        summary, details = _words(function)
        name = function.__name__.rstrip("_").replace("_", "-")
        if name in _REGISTER:
            raise TypeError("two operations are called {}".format(name))
        shown = changes if preview is None else preview
        _REGISTER[name] = Operation(
            *(name, title, menu, select, changes, shown, example, params, checked, summary, details),
            beside,
            told,
            answers,
            prints,
        )
        return checked

    return declare


def _params(function: Callable[..., Outcome]) -> Tuple[Param, ...]:
    found = []
    for name, given in inspect.signature(function).parameters.items():
        if name in SUBJECTS:
            continue
        if name in PICKING:
            raise TypeError("{}: the name {} is taken".format(function.__name__, name))
        kind = function.__annotations__.get(name)
        if not isinstance(kind, Kind) or given.default is inspect.Parameter.empty:
            raise TypeError("{}: {} needs a kind and a default".format(function.__name__, name))
        found.append(Param(name, kind, given.default))
    return tuple(found)


def _checked(function: Callable[..., Outcome], params: Tuple[Param, ...]) -> Callable[..., Outcome]:
    kinds = {param.name: param.kind for param in params}
    names = list(inspect.signature(function).parameters)

    @functools.wraps(function)
    def call(*given: Any, **values: Any) -> Outcome:
        if len(given) > len(names) or set(names[: len(given)]) & set(values):
            raise TypeError("{} takes each of {} once".format(function.__name__, ", ".join(names)))
        values.update(zip(names, given))
        for name, value in values.items():
            if name in kinds:
                values[name] = kinds[name].parse(value)
            elif name not in SUBJECTS:
                raise InputError(
                    "{} has no value called '{}'.".format(function.__name__, name),
                    "It takes: {}.".format(", ".join(kinds)),
                    code="value",
                )
        return _followed(function, values)

    return call


def _followed(function: Callable[..., Outcome], values: Mapping[str, Any]) -> Outcome:
    """The outcome, and what is done after every operation where this one is no part of another."""
    if _within.get() or "pattern" not in values:
        return function(**values)
    token = _within.set(True)
    try:
        outcome = function(**values)
        for follow in _AFTERWARDS:
            outcome = follow(values["pattern"], outcome)
    finally:
        _within.reset(token)
    return outcome


def _words(function: Callable[..., Outcome]) -> Tuple[str, str]:
    paragraphs = inspect.cleandoc(function.__doc__ or "").split("\n\n")
    summary = " ".join(paragraphs[0].split())
    if not summary.endswith("."):
        raise TypeError("{} needs a summary that ends in a full stop".format(function.__name__))
    details = "\n\n".join(" ".join(text.split()) for text in paragraphs[1:])
    return summary, details


def find(name: str) -> Operation:
    """The operation of that name, loaded if it was not; ``InputError`` with the nearest names otherwise."""
    if name not in _REGISTER and re.match(r"[a-z]+(-[a-z]+)*$", name):
        module = "sewkit.operations.{}".format(name.replace("-", "_"))
        try:
            importlib.import_module(module)
        except ModuleNotFoundError as error:
            if error.name != module:
                raise
    if name in _REGISTER:
        return _REGISTER[name]
    import difflib  # slow to import, and only needed after a slip

    near = difflib.get_close_matches(name, _REGISTER, n=1)
    cure = "Did you mean {}?".format(near[0]) if near else "Known: {}.".format(", ".join(sorted(_REGISTER)))
    raise InputError("There is no operation called '{}'.".format(name), cure, code="value")


def register() -> Tuple[Operation, ...]:
    """All operations loaded so far, by name; load the package ``operations`` first."""
    return tuple(_REGISTER[name] for name in sorted(_REGISTER))
