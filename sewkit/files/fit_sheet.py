"""A fit sheet: one person's needs and steps for one garment, as a text file.

    title = "Waistcoat for P03"
    who = "P03"

    [made-from]
    master = "sha256:..."
    measures = "sha256:..."

    [[need]]
    words = "full stomach"

    [[step]]
    do = "blend"
    planned = true
    why = "Chest 3, waist 5."
    first = "3"
    then = "5"

    [[step]]
    do = "allowance"
    width = "10 mm"

It is a recipe that knows more.  Steps that are ``planned`` were worked out from the
measures and the needs, and are worked out anew for the next body; all others stay as they
are.  ``off = true`` switches a step off, as if it had never been there.
"""

import hashlib
import re
from typing import Any, Dict, Iterable, List, Mapping, NamedTuple, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.files.recipe import (
    SHEET_KEYS,
    SHEET_STEP_KEYS,
    RecipeStep,
    folder_of,
    quoted,
    recipe_step,
    recipe_text,
    tables,
    toml_table,
    write_step,
)
from sewkit.operation import Step, find
from sewkit.operations import load
from sewkit.report import Finding, Level

# Names of what a sheet was made from: letters, digits and hyphens, as TOML writes keys bare.
_BARE_KEY = re.compile(r"^[A-Za-z0-9-]+$")

# Values that say where a step works; by them a step of one plan is known again in another.
_PLACES = ("edge", "at", "dart", "hinge", "hinge_edge", "line", "level")

# Menus of the operations that come before anything can be planned.
_PREPARING = ("Pattern", "Names")


class FitStep(NamedTuple):
    """A step of a fit sheet: ``why`` in words, whether it is ``off``, whether it was ``planned``."""

    step: RecipeStep
    why: str = ""
    off: bool = False
    planned: bool = False


class FitSheet(NamedTuple):
    """A person's fit record for one garment.

    Args:
        title: such as "Waistcoat for P03".
        who: the person, or initials.
        needs: in words, as in a measure sheet: "full stomach", "front length +3 cm".
        steps: in the order in which they are done.
        made_from: hashes (see ``hash_of``) by name: "master", "measures", and others.
    """

    title: str = ""
    who: str = ""
    needs: Tuple[str, ...] = ()
    steps: Tuple[FitStep, ...] = ()
    made_from: Mapping[str, str] = {}


def hash_of(data: bytes) -> str:
    """How a fit sheet and a pack name some bytes: "sha256:" and 64 signs."""
    return "sha256:" + hashlib.sha256(data).hexdigest()


def read_fit_sheet(source: Any) -> FitSheet:
    """Read a fit sheet by its file's name; a plain recipe is one without needs."""
    return parse_fit_sheet(recipe_text(source), folder_of(source))


def parse_fit_sheet(text: str, folder: str = "") -> FitSheet:
    """Read a fit sheet from its text; ``InputError`` says what in it cannot be read.

    ``folder``: from where the names of files in it count.
    """
    table = toml_table(text)
    load()
    unknown = sorted(set(table) - {"title", "step", *SHEET_KEYS})
    if unknown:
        cure = "It has title, who, [made-from], [[need]] and [[step]]."
        raise InputError("A fit sheet has no '{}'.".format(unknown[0]), cure, code="recipe")
    needs = tuple(_need(one) for one in tables(table, "need"))
    steps = tuple(_fit_step(i, one, folder) for i, one in enumerate(tables(table, "step"), 1))
    return FitSheet(str(table.get("title", "")), str(table.get("who", "")), needs, steps, _made_from(table))


def _need(table: Dict[str, Any]) -> str:
    words = table.get("words")
    if not isinstance(words, str) or not words.strip() or set(table) != {"words"}:
        raise InputError(
            "A need of the fit sheet cannot be read.",
            'Write words = "full stomach" below [[need]].',
            code="recipe",
        )
    return words.strip()


def _made_from(table: Dict[str, Any]) -> Dict[str, str]:
    found = table.get("made-from", {})
    if not isinstance(found, dict) or not all(isinstance(value, str) for value in found.values()):
        cure = 'Write master = "sha256:..." below [made-from], or leave it out.'
        raise InputError("What the fit sheet was made from cannot be read.", cure, code="recipe")
    return dict(found)


def _fit_step(number: int, table: Dict[str, Any], folder: str) -> FitStep:
    own = {key: table.pop(key) for key in SHEET_STEP_KEYS if key in table}
    for key in ("off", "planned"):
        if not isinstance(own.get(key, False), bool):
            raise InputError(
                "Step {} of the fit sheet: '{}' is true or false.".format(number, key),
                "Write {} = true, without quotes.".format(key),
                code="recipe",
            )
    step = recipe_step(number, table, folder)
    return FitStep(step, str(own.get("why", "")), own.get("off", False), own.get("planned", False))


def write_fit_sheet(sheet: FitSheet) -> str:
    """The text of a fit sheet; ``parse_fit_sheet`` reads it back, and equal sheets give equal text."""
    head = [("title", sheet.title), ("who", sheet.who)]
    # A sheet without a person is still told from a plain recipe.
    rows = ["{} = {}\n".format(key, quoted(value)) for key, value in head if value or key == "who"]
    parts = ["".join(rows)]
    if sheet.made_from:
        rows = [
            "{} = {}\n".format(_key(key), quoted(sheet.made_from[key])) for key in sorted(sheet.made_from)
        ]
        parts.append("[made-from]\n" + "".join(rows))
    parts += ["[[need]]\nwords = {}\n".format(quoted(words)) for words in sheet.needs]
    for one in sheet.steps:
        told = ["{} = true".format(key) for key in ("off", "planned") if getattr(one, key)]
        told += ["why = {}".format(quoted(one.why))] if one.why else []
        parts.append(write_step(one.step, told))
    return "\n".join(parts)


def _key(name: str) -> str:
    return name if _BARE_KEY.match(name) else quoted(name)


def planned_steps(steps: Iterable[Any]) -> Tuple[FitStep, ...]:
    """The steps of a fit plan (``PlannedStep``: do, values, pieces, why) as steps of a fit sheet."""
    load()
    found = []
    for one in steps:
        operation = find(one.do)
        kinds = {param.name: param.kind for param in operation.params}
        values = {}
        for key, value in one.values.items():
            name = key.replace("-", "_")
            if name not in kinds:
                raise TypeError("{} has no value called {}".format(one.do, key))
            values[name] = kinds[name].parse(value)
        step = RecipeStep(Step(operation, values), pieces=tuple(one.pieces))
        found.append(FitStep(step, one.why, planned=True))
    return tuple(found)


def running_steps(sheet: FitSheet) -> Tuple[RecipeStep, ...]:
    """The steps that are done: all but those that are off."""
    return tuple(one.step for one in sheet.steps if not one.off)


def with_own_steps(sheet: FitSheet, steps: Iterable[RecipeStep]) -> FitSheet:
    """The sheet with steps of somebody's own at its end."""
    return sheet._replace(steps=sheet.steps + tuple(FitStep(one) for one in steps))


class NextSheet(NamedTuple):
    """A sheet for the next body or pattern, and what there is to tell of how it came about."""

    sheet: FitSheet
    told: Tuple[Finding, ...]


def next_sheet(sheet: FitSheet, plan: Sequence[FitStep], head: FitSheet) -> NextSheet:
    """The sheet for the next size, person or pattern: own steps stay, planned ones are another plan's.

    Args:
        sheet: the one there is.
        plan: what was planned anew.
        head: title, person, needs and hashes of the new sheet.

    A planned step that was off stays off where the new plan has one alike: the same
    operation at the same place.  Own steps stay behind the planned step that they followed,
    and those at the end at the end.  In a sheet of own steps alone, those that bring in and
    name come before the plan, and the others behind it.
    """
    made: List[FitStep] = list(plan)
    own: Dict[int, List[FitStep]] = {}
    told: List[Finding] = []
    taken: List[int] = []
    last = -1
    final = max((number for number, one in enumerate(sheet.steps) if one.planned), default=-1)
    for number, one in enumerate(sheet.steps):
        if not one.planned:
            first = final < 0 and _prepares(sheet.steps[: number + 1])
            own.setdefault(len(plan) - 1 if number > final and not first else last, []).append(one)
            continue
        twin = next((i for i, new in enumerate(plan) if i not in taken and _alike(one.step, new.step)), None)
        if twin is not None:
            taken.append(twin)
            made[twin] = made[twin]._replace(off=one.off)
            last = max(last, twin)
        elif one.off:
            text = "'{}' was switched off, and is not needed this time.".format(one.step.step.operation.title)
            told.append(Finding("off-not-needed", Level.INFO, text))
    steps = list(own.get(-1, ()))
    for number, new in enumerate(made):
        steps += [new, *own.get(number, ())]
    return NextSheet(head._replace(steps=tuple(steps)), tuple(told))


def _prepares(steps: Sequence[FitStep]) -> bool:
    """Whether steps only bring a pattern in and name what is on it."""
    return all(one.step.step.operation.menu in _PREPARING for one in steps)


def _alike(one: RecipeStep, other: RecipeStep) -> bool:
    """Whether two steps do the same thing at the same place, by whatever amount."""
    places = [{name: step.step.values.get(name) for name in _PLACES} for step in (one, other)]
    same = one.step.operation.name == other.step.operation.name and one.pieces == other.pieces
    return same and places[0] == places[1]
