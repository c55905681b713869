"""A recipe: the steps of a job as a text file that can be read, mailed and replayed.

    title = "Waistcoat for P03"

    [[step]]
    do = "blend"
    first = "3"
    then = "5"
    edge = "side"
    lead = "50 mm"

    [[step]]
    do = "allowance"
    pieces = ["front", "back"]
    edges = "side=25 centre-back=25"

``do`` names the operation; ``pieces``, ``sizes``, ``ids`` and ``nodes`` pick what it works
on; every other key is a value of the operation.  Lengths without a unit are mm.  A fit
sheet (``fit_sheet``) is a recipe that knows more, and is read as one.  A value that is a
sheet of its own, such as measures, is the name of a file as it is seen from the recipe's folder.
"""

import difflib
import json
import os
import sys
from typing import Any, Dict, List, NamedTuple, Sequence, Tuple

from sewkit.errors import FileError, InputError, MissingExtra
from sewkit.files.plain_text import sheet_text
from sewkit.operation import Flag, Kind, Length, Number, Operation, Sheet, SheetText, Step, find
from sewkit.operations import load

PICKS = ("ids", "nodes", "pieces", "sizes")

# What a fit sheet has beside a recipe, in all and in a step.
SHEET_KEYS = ("who", "need", "made-from")
SHEET_STEP_KEYS = ("off", "planned", "why")


class RecipeStep(NamedTuple):
    """One step and what it works on; the picks are as ``open_drawing`` takes them."""

    step: Step
    ids: Tuple[str, ...] = ()
    nodes: Tuple[str, ...] = ()
    pieces: Tuple[str, ...] = ()
    sizes: Tuple[str, ...] = ()


class Recipe(NamedTuple):
    """A titled list of steps; ``sheet``: the ``FitSheet`` it was read from, where it was one."""

    title: str = ""
    steps: Tuple[RecipeStep, ...] = ()
    sheet: Any = None


def read_recipe(source: Any) -> Recipe:
    """Read a recipe file by name; ``FileError`` or ``InputError`` say which step is wrong."""
    return parse_recipe(recipe_text(source), folder_of(source))


def folder_of(source: Any) -> str:
    """The folder of a file, from which the names in it count."""
    return os.path.dirname(str(source))


def recipe_text(source: Any) -> str:
    """The text of a recipe file; ``FileError`` where it cannot be read."""
    try:
        with open(str(source), encoding="utf-8-sig") as stream:
            return stream.read()
    except OSError as error:
        raise FileError(
            "The recipe '{}' cannot be read: {}.".format(source, error.strerror), code="file"
        ) from None
    except UnicodeDecodeError:
        raise FileError("The recipe '{}' is not a text file.".format(source), code="file") from None


def seen_from(folder: str, steps: Sequence[RecipeStep]) -> Tuple[RecipeStep, ...]:
    """Steps of somebody who stands elsewhere: files are named as they are seen from a recipe's folder."""
    found = []
    for one in steps:
        values = {name: _seen_from(folder, value) for name, value in one.step.values.items()}
        found.append(one._replace(step=one.step._replace(values=values)))
    return tuple(found)


def _seen_from(folder: str, value: Any) -> Any:
    given = getattr(value, "given", "")
    if not given or not folder or os.path.isabs(given):
        return value
    try:
        return SheetText.of(value, os.path.relpath(given, folder))
    except ValueError:  # on another drive
        return SheetText.of(value, os.path.abspath(given))


def parse_recipe(text: str, folder: str = "") -> Recipe:
    """Read a recipe from its text; ``folder``: from where the names of files in it count."""
    table = toml_table(text)
    if set(table) & {*SHEET_KEYS} or any(set(one) & {*SHEET_STEP_KEYS} for one in tables(table, "step")):
        from sewkit.files.fit_sheet import parse_fit_sheet, running_steps  # it is built on this module

        sheet = parse_fit_sheet(text, folder)
        return Recipe(sheet.title, running_steps(sheet), sheet)
    unknown = sorted(set(table) - {"title", "step"})
    if unknown:
        raise InputError(
            "A recipe has no '{}'.".format(unknown[0]), "It has a title and [[step]] tables.", code="recipe"
        )
    steps = tables(table, "step")
    found = tuple(recipe_step(i, one, folder) for i, one in enumerate(steps, 1))
    return Recipe(str(table.get("title", "")), found)


def tables(table: Dict[str, Any], name: str) -> List[Dict[str, Any]]:
    """The tables under a name, such as every ``[[step]]``; ``InputError`` where it is no list of them."""
    found = table.get(name, [])
    if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
        raise InputError(
            "Every {} of a recipe must be a table.".format(name),
            "Begin it with [[{}]].".format(name),
            code="recipe",
        )
    return [dict(one) for one in found]


def toml_table(text: str) -> Dict[str, Any]:
    """The table that a TOML text holds; ``InputError`` where it is none."""
    if sys.version_info >= (3, 11):
        import tomllib
    else:
        try:
            import tomli as tomllib
        except ImportError:
            raise MissingExtra("Reading recipes on this Python", "recipe") from None
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("The recipe cannot be read: {}.".format(error), code="recipe") from None


def recipe_step(number: int, table: Dict[str, Any], folder: str = "") -> RecipeStep:
    """The step that a table says; ``number``, counted from 1, names it in an ``InputError``.

    ``folder``: from where the names of files count.
    """
    load()
    where = "Step {} of the recipe".format(number)
    name = table.pop("do", None)
    if not isinstance(name, str):
        raise InputError("{} does not say what to do.".format(where), 'Write do = "blend".', code="recipe")
    try:
        operation = find(name)
        picks = {key: _names(key, table.pop(key)) for key in PICKS if key in table}
        values = _values(operation, table, folder)
    except InputError as error:
        raise InputError("{} ({}): {}".format(where, name, error), code=error.code) from None
    return RecipeStep(Step(operation, values), **picks)


def _names(key: str, value: Any) -> Tuple[str, ...]:
    """The names under a key: a list, or one text with blanks between; a size may be a number."""
    names = value.split() if isinstance(value, str) else value
    if not isinstance(names, list) or not all(type(one) in (str, int) for one in names):
        raise InputError(
            "'{}' is not a list of names.".format(key),
            'Write {} = ["one", "two"].'.format(key),
            code="recipe",
        )
    return tuple(str(one) for one in names)


def _values(operation: Operation, table: Dict[str, Any], folder: str) -> Dict[str, Any]:
    params = {param.name: param for param in operation.params}
    values: Dict[str, Any] = {}
    for key, value in table.items():
        name = key.replace("-", "_")
        if name not in params:
            near = difflib.get_close_matches(name, params, n=1)
            cure = "Did you mean {}?".format(near[0]) if near else "It takes: {}.".format(", ".join(params))
            raise InputError("it has no value called '{}'.".format(key), cure, code="recipe")
        if name in values:
            raise InputError("it says twice what '{}' is.".format(key), code="recipe")
        kind = params[name].kind
        values[name] = kind.parse(sheet_text(value, folder) if isinstance(kind, Sheet) else value)
    return values


def write_recipe(recipe: Recipe) -> str:
    """The text of a recipe; ``parse_recipe`` reads it back."""
    parts = ["title = {}\n".format(quoted(recipe.title))] if recipe.title else []
    parts += [write_step(one) for one in recipe.steps]
    return "\n".join(parts)


def write_step(one: RecipeStep, told: Sequence[str] = ()) -> str:
    """The text of a step, a ``[[step]]`` table; ``told``: rows of its own, below what it does."""
    rows = ["[[step]]", "do = {}".format(quoted(one.step.operation.name)), *told]
    for key in PICKS:
        names: Sequence[str] = getattr(one, key)
        if names:
            rows.append("{} = [{}]".format(key, ", ".join(quoted(name) for name in names)))
    return "\n".join(rows + _written(one.step)) + "\n"


def _written(step: Step) -> List[str]:
    kinds = {param.name: param.kind for param in step.operation.params}
    given = ((name, value) for name, value in step.values.items() if value is not None)
    return ["{} = {}".format(name, _value(kinds[name], value)) for name, value in given]


def _value(kind: Kind, value: Any) -> str:
    text = kind.write(value)
    if isinstance(kind, Length):
        return quoted(text + " mm")
    return text if isinstance(kind, (Number, Flag)) else quoted(text)


def quoted(text: str) -> str:
    """Text as TOML has it."""
    # The escapes of JSON are TOML's too; only the delete character is missing there.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
