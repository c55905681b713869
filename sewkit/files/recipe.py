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
on; every other key is a value of the operation.  Lengths without a unit are mm.
"""

import difflib
import json
import sys
from typing import Any, Dict, List, NamedTuple, Sequence, Tuple

from sewkit.errors import FileError, InputError, MissingExtra
from sewkit.operation import Flag, Kind, Length, Number, Operation, Step, find
from sewkit.operations import load

PICKS = ("ids", "nodes", "pieces", "sizes")


class RecipeStep(NamedTuple):
    """One step and what it works on; the picks are as ``open_drawing`` takes them."""

    step: Step
    ids: Tuple[str, ...] = ()
    nodes: Tuple[str, ...] = ()
    pieces: Tuple[str, ...] = ()
    sizes: Tuple[str, ...] = ()


class Recipe(NamedTuple):
    """A titled list of steps."""

    title: str = ""
    steps: Tuple[RecipeStep, ...] = ()


def read_recipe(source: Any) -> Recipe:
    """Read a recipe file by name; ``FileError`` or ``InputError`` say which step is wrong."""
    try:
        with open(str(source), encoding="utf-8-sig") as stream:
            return parse_recipe(stream.read())
    except OSError as error:
        raise FileError(
            "The recipe '{}' cannot be read: {}.".format(source, error.strerror), code="file"
        ) from None
    except UnicodeDecodeError:
        raise FileError("The recipe '{}' is not a text file.".format(source), code="file") from None


def parse_recipe(text: str) -> Recipe:
    """Read a recipe from its text."""
    table = _toml(text)
    load()
    unknown = sorted(set(table) - {"title", "step"})
    if unknown:
        raise InputError(
            "A recipe has no '{}'.".format(unknown[0]), "It has a title and [[step]] tables.", code="recipe"
        )
    steps = table.get("step", [])
    if not isinstance(steps, list) or not all(isinstance(one, dict) for one in steps):
        raise InputError("Every step of a recipe must be a table.", "Begin it with [[step]].", code="recipe")
    return Recipe(str(table.get("title", "")), tuple(_step(i, dict(one)) for i, one in enumerate(steps, 1)))


def _toml(text: str) -> Dict[str, Any]:
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


def _step(number: int, table: Dict[str, Any]) -> RecipeStep:
    where = "Step {} of the recipe".format(number)
    name = table.pop("do", None)
    if not isinstance(name, str):
        raise InputError("{} does not say what to do.".format(where), 'Write do = "blend".', code="recipe")
    try:
        operation = find(name)
        picks = {key: _names(key, table.pop(key)) for key in PICKS if key in table}
        values = _values(operation, table)
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


def _values(operation: Operation, table: Dict[str, Any]) -> Dict[str, Any]:
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
        values[name] = params[name].kind.parse(value)
    return values


def write_recipe(recipe: Recipe) -> str:
    """The text of a recipe; ``parse_recipe`` reads it back."""
    parts = ["title = {}\n".format(_quoted(recipe.title))] if recipe.title else []
    for one in recipe.steps:
        rows = ["[[step]]", "do = {}".format(_quoted(one.step.operation.name))]
        for key in PICKS:
            names: Sequence[str] = getattr(one, key)
            if names:
                rows.append("{} = [{}]".format(key, ", ".join(_quoted(name) for name in names)))
        rows += _written(one.step)
        parts.append("\n".join(rows) + "\n")
    return "\n".join(parts)


def _written(step: Step) -> List[str]:
    kinds = {param.name: param.kind for param in step.operation.params}
    given = ((name, value) for name, value in step.values.items() if value is not None)
    return ["{} = {}".format(name, _value(kinds[name], value)) for name, value in given]


def _value(kind: Kind, value: Any) -> str:
    text = kind.write(value)
    if isinstance(kind, Length):
        return _quoted(text + " mm")
    return text if isinstance(kind, (Number, Flag)) else _quoted(text)


def _quoted(text: str) -> str:
    # The escapes of JSON are TOML's too; only the delete character is missing there.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
