"""Values of an operation as options on a command line.

Two doors read them: the ``sewkit`` command and the scripts that the editor starts.
Both keep what was typed as text and let the kinds read it at the end, when the unit is
known, so that limits, fractions and words for mistakes are the same everywhere.
"""

import argparse
from typing import Any, Callable, Dict, NamedTuple, Tuple

from sewkit.errors import InputError
from sewkit.files.plain_text import sheet_text
from sewkit.operation import Choice, Count, Flag, Length, LengthsByName, Number, Operation, Param, Sheet

UNITS = ("mm", "cm", "in")


class Subjects(NamedTuple):
    """What to work on: the arguments of ``files.svg.open_drawing`` after its source."""

    ids: Tuple[str, ...] = ()
    nodes: Tuple[str, ...] = ()
    pieces: Tuple[str, ...] = ()
    sizes: Tuple[str, ...] = ()


def add_subjects(parser: argparse.ArgumentParser) -> None:
    """Add the options that say what to work on; ``subjects_of`` reads them."""
    group = parser.add_argument_group("what to work on (everything, if nothing is said)")
    words = {
        "--piece": ("pieces", "NAME", "a piece by its name"),
        "--size": ("sizes", "NAME", "a size by its name"),
        "--id": ("ids", "ID", "an object of the drawing by its id"),
        "--selected-nodes": ("nodes", "ID:SUBPATH:NODE", "a node of a path, counted from 0"),
    }
    for option, (dest, shown, help) in words.items():
        group.add_argument(
            option, action="append", default=[], dest=dest, metavar=shown, help=help + "; may be repeated"
        )


def subjects_of(options: argparse.Namespace) -> Subjects:
    """Read what ``add_subjects`` added."""
    return Subjects(tuple(options.ids), tuple(options.nodes), tuple(options.pieces), tuple(options.sizes))


def takes_lengths(operation: Operation) -> bool:
    """Whether any value is a length, so that a unit has to be known."""
    return any(isinstance(param.kind, (Length, LengthsByName)) for param in operation.params)


def add_unit(parser: argparse.ArgumentParser) -> None:
    """Add the unit of lengths that are typed without one."""
    parser.add_argument(
        "--unit", default=UNITS[0], metavar="UNIT", help="unit of lengths typed without one: mm, cm or in"
    )


def unit_of(options: argparse.Namespace) -> str:
    """The unit that ``add_unit`` read, mm where it was not added; ``InputError`` for another word."""
    unit = getattr(options, "unit", UNITS[0])
    if unit not in UNITS:
        raise InputError("'{}' is no unit for lengths.".format(unit), "Use mm, cm or in.", code="unit")
    return unit


def add_values(parser: argparse.ArgumentParser, operation: Operation, for_editor: bool = False) -> None:
    """Add one option for each value of the operation; ``values_of`` reads them.

    ``for_editor`` gives each option the type name and the default that inkex's own test
    compares with the dialog; on the command line a default is only told in the help, so
    that what was typed can be told from what was left out.
    """
    for param in operation.params:
        known = {"type": keeper(type_name(param))}  # type: Dict[str, Any]
        known["default"] = editor_default(param) if for_editor else None
        if isinstance(param.kind, Flag):
            known.update(nargs="?", const="true")
        parser.add_argument(
            param.option,
            dest=param.name,
            metavar=_shown(param),
            help=_help(param).replace("%", "%%"),
            **known,
        )


def values_of(operation: Operation, options: argparse.Namespace, unit: str = "mm") -> Dict[str, Any]:
    """The values that were given, read by their kinds; ``InputError`` where one does not fit.

    Text without a unit counts in ``unit``; a default that is a number is in mm already.  A
    sheet that is named is read.
    """
    given = ((param, getattr(options, param.name)) for param in operation.params)
    return {param.name: _value(param, value, unit) for param, value in given if value is not None}


def _value(param: Param, value: Any, unit: str) -> Any:
    return param.kind.parse(sheet_text(value) if isinstance(param.kind, Sheet) else value, unit)


def type_name(param: Param) -> str:
    """The name under which inkex's own test expects the option's type."""
    if isinstance(param.kind, Flag):
        return "Boolean"
    if isinstance(param.kind, Count):
        return "int"
    if isinstance(param.kind, Length) and param.kind.optional:
        return "str"  # a number field of the dialog cannot be left empty
    return "float" if isinstance(param.kind, Number) else "str"


def keeper(name: str) -> Callable[[str], str]:
    """A type for argparse that keeps the text; inkex's own test reads its name."""

    def keep(text: str) -> str:
        return text

    keep.__name__ = name
    return keep


def editor_default(param: Param) -> Any:
    """The default as the dialog has it: numbers as numbers, the rest as text."""
    if isinstance(param.kind, LengthsByName):
        # Their unit is written out, because the unit of the dialog may be another.
        return " ".join("{}mm".format(word) for word in param.kind.write(param.default).split())
    number = isinstance(param.kind, (Number, Flag)) and type_name(param) != "str"
    return param.default if number else param.kind.write(param.default)


def _shown(param: Param) -> str:
    if isinstance(param.kind, LengthsByName):
        return "NAME=LENGTH"
    if isinstance(param.kind, Sheet):
        return "FILE"
    if isinstance(param.kind, Choice):
        return "|".join(param.kind.options)
    if isinstance(param.kind, Length):
        return "LENGTH"
    return {"Boolean": "yes|no", "int": "N", "str": "WORDS"}.get(type_name(param), "NUMBER")


def _help(param: Param) -> str:
    """The words of a value: its label, what it means, its limits, its default."""
    words = [param.kind.label[:1].lower() + param.kind.label[1:]]
    if param.kind.help:
        words.append(": " + param.kind.help)
    notes = []  # type: List[str]
    if isinstance(param.kind, Number):
        write, unit = param.kind.write, param.kind.unit
        notes.append("{} to {}{}".format(write(param.kind.least), write(param.kind.most), unit))
    default = param.kind.write(param.default)
    if default:
        notes.append("default " + default)
    return "".join(words) + (" ({})".format(", ".join(notes)) if notes else "")
