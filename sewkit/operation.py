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

import functools
import importlib
import inspect
import math
import re
from typing import Any, Callable, Dict, Mapping, NamedTuple, Optional, Tuple

from sewkit.errors import InputError
from sewkit.report import Report
from sewkit.units import parse_length, write_number

SUBJECTS = ("pattern", "chosen", "printed", "progress")

# Names that say what to work on; no value of an operation may take them.
PICKING = ("ids", "nodes", "pieces", "sizes", "id", "piece", "size", "unit", "input", "output", "file")


class Outcome(NamedTuple):
    """What an operation gives back: the new pattern, and what there is to tell."""

    pattern: Any
    report: Report


class Kind:
    """One sort of value: its words, its limits, its text form.

    Args:
        label: the words in front of the field, as in the dialog.
        help: what it means, in a few words that go on from the label.
    """

    def __init__(self, label: str, help: str = "") -> None:
        self.label = label
        self.help = help

    def parse(self, value: Any, unit: str = "mm") -> Any:
        """The value from text (or from a value already read); ``InputError`` if it is none."""
        return self.check(value)

    def write(self, value: Any) -> str:
        """The text from which ``parse`` gives the value back."""
        return str(value)

    def check(self, value: Any) -> Any:
        """The value, or ``InputError`` where it is outside the limits."""
        return value

    def refuse(self, value: Any, wanted: str) -> InputError:
        """The error for a value that does not fit."""
        text = "{}: {!r} does not fit; it takes {}.".format(self.label, value, wanted)
        return InputError(text, code="value")


class Number(Kind):
    """A number with limits; the base of lengths and percentages."""

    unit = ""

    def __init__(self, label: str, help: str = "", least: float = 0.0, most: float = 1000.0) -> None:
        super().__init__(label, help)
        self.least = float(least)
        self.most = float(most)

    def parse(self, value: Any, unit: str = "mm") -> float:
        if isinstance(value, str):
            try:
                value = float(value.replace(",", "."))
            except ValueError:
                raise self.refuse(value, "a number") from None
        return self.check(value)

    def write(self, value: float) -> str:
        return write_number(value, 12)

    def check(self, value: Any) -> float:
        if isinstance(value, bool) or not hasattr(value, "__float__"):
            raise self.refuse(value, "a number")
        value = float(value)
        if not (math.isfinite(value) and self.least <= value <= self.most):
            limits = "{} to {}{}".format(write_number(self.least), write_number(self.most), self.unit)
            raise self.refuse(value if not math.isfinite(value) else write_number(value), limits)
        return value


class Length(Number):
    """A length in mm; text may carry a unit or a fraction: 15, 1.5cm, 5/8in.

    ``shown``: a length that may be left out (None) then means what its help says; the
    dialog, which always passes a number, starts with this one.
    """

    unit = " mm"

    def __init__(
        self,
        label: str,
        help: str = "",
        least: float = 0.0,
        most: float = 1000.0,
        shown: Optional[float] = None,
    ) -> None:
        super().__init__(label, help, least, most)
        self.shown = shown

    def parse(self, value: Any, unit: str = "mm") -> Optional[float]:  # type: ignore[override]
        if isinstance(value, str):
            left_out = self.shown is not None and not value.strip()
            value = None if left_out else parse_length(value, unit)
        return self.check(value)

    def write(self, value: Optional[float]) -> str:
        return "" if value is None else super().write(value)

    def check(self, value: Any) -> Optional[float]:  # type: ignore[override]
        return None if value is None and self.shown is not None else super().check(value)


class Percent(Number):
    """A share in percent."""

    unit = " %"


class Count(Number):
    """A whole number."""

    def parse(self, value: Any, unit: str = "mm") -> int:
        return int(super().parse(value, unit))

    def check(self, value: Any) -> int:
        value = super().check(value)
        if value != int(value):
            raise self.refuse(value, "a whole number")
        return int(value)


class Flag(Kind):
    """Yes or no."""

    def parse(self, value: Any, unit: str = "mm") -> bool:
        if isinstance(value, str):
            words = {"true": True, "yes": True, "1": True, "false": False, "no": False, "0": False}
            if value.strip().lower() not in words:
                raise self.refuse(value, "yes or no")
            return words[value.strip().lower()]
        return self.check(value)

    def write(self, value: bool) -> str:
        return "true" if value else "false"

    def check(self, value: Any) -> bool:
        if not isinstance(value, bool):
            raise self.refuse(value, "yes or no")
        return value


class Choice(Kind):
    """One of a few words; ``options`` maps each word to what the dialog shows."""

    def __init__(self, label: str, help: str, options: Mapping[str, str]) -> None:
        super().__init__(label, help)
        self.options = dict(options)

    def check(self, value: Any) -> str:
        if not isinstance(value, str) or value not in self.options:
            raise self.refuse(value, "one of: " + ", ".join(self.options))
        return value


class Text(Kind):
    """Free words; names of edges, levels, sizes."""

    def parse(self, value: Any, unit: str = "mm") -> str:
        words = value if isinstance(value, (list, tuple)) else [value]
        if any(isinstance(word, bool) or not isinstance(word, (str, int, float)) for word in words):
            raise self.refuse(value, "words")
        return " ".join(str(word).strip() for word in words)

    def check(self, value: Any) -> str:
        if not isinstance(value, str):
            raise self.refuse(value, "words")
        return value


class SheetText(str):
    """The text of a sheet; ``given``: the name of the file it came from, as somebody wrote it.

    Text that came from no file has none.
    """

    given = ""

    @classmethod
    def of(cls, text: str, given: str) -> "SheetText":
        """The text that stands in a file of that name."""
        made = cls(text)
        made.given = given
        return made


class Sheet(Text):
    """The text of a small file, such as a measure sheet or a size chart.

    A Python function takes the text itself.  Everybody else names the file, and whoever
    stands at that door reads it (``files.plain_text.sheet_text``).  A recipe keeps the name;
    what came from no file is written out, and is told from a name by its line ends.
    """

    def parse(self, value: Any, unit: str = "mm") -> str:
        return self.check(value)

    def write(self, value: str) -> str:
        given = getattr(value, "given", "")
        return given or (value and value + "\n")


# One name=length, up to the next one; the length may hold blanks, as 36 1/2 in does, and
# a comma between digits, as 1,5cm does.
_NAMED_LENGTH = r"([^\s=,;]+)\s*=\s*((?:[^=,;]|(?<=\d),(?=\d))+?)(?:[\s,;]+(?=[^\s=,;]+\s*=)|[\s,;]*$)"


class LengthsByName(Kind):
    """Lengths for named things: ``side=25 hem=1.5in``; the value maps names to mm."""

    def __init__(self, label: str, help: str = "", least: float = 0.0, most: float = 1000.0) -> None:
        super().__init__(label, help)
        self.one = Length(label, "", least, most)

    def parse(self, value: Any, unit: str = "mm") -> Dict[str, float]:
        if not isinstance(value, str):
            return self.check(value)
        found: Dict[str, float] = {}
        rest = value.strip()
        while rest:
            match = re.match(_NAMED_LENGTH, rest)
            if match is None:
                raise self.refuse(rest, "name=length, such as side=25 hem=1.5in")
            found[match.group(1)] = self.one.parse(match.group(2), unit)
            rest = rest[match.end() :]
        return self.check(found)

    def write(self, value: Mapping[str, float]) -> str:
        return " ".join("{}={}".format(name, self.one.write(mm)) for name, mm in value.items())

    def check(self, value: Any) -> Dict[str, float]:
        if not isinstance(value, Mapping):
            raise self.refuse(value, "name=length pairs")
        return {str(name): self.one.parse(mm) for name, mm in value.items()}


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


def operation(
    title: str,
    menu: str,
    select: str,
    example: str,
    changes: bool = True,
    preview: Optional[bool] = None,
    beside: bool = False,
    told: bool = False,
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
        return function(**values)

    return call


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
