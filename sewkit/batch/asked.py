"""What was asked for: people, garments and choices, read once before any work is done."""

import io
import os
import pathlib
import re
from typing import Dict, List, Mapping, NamedTuple, Sequence, Tuple

from sewkit.batch.one_row import NOTHING_CHOSEN, Choices, Garment, Task
from sewkit.body.body import Body
from sewkit.body.chart_text import chart_from_text
from sewkit.errors import FileError, InputError
from sewkit.files.cast_summary import SUMMARIES
from sewkit.files.measure_sheet import read_bodies
from sewkit.files.plain_text import read_text
from sewkit.files.recipe import parse_recipe, recipe_text
from sewkit.files.svg import open_drawing
from sewkit.pattern.garment_title import garment_for

# Signs that no folder's name may hold on some system.
_NOT_IN_FOLDERS = re.compile(r'[\x00-\x1f<>:"/\\|?*\s]+')


class Cast(NamedTuple):
    """A cast: its tasks in the order of the table, person by person; ``read``: the files behind them."""

    tasks: Tuple[Task, ...]
    read: Tuple[str, ...]


def read_cast(
    people: str,
    masters: Sequence[str],
    charts: Sequence[str] = (),
    recipes: Sequence[str] = (),
    folder: str = "",
    only: Sequence[str] = (),
    unit: str = "",
    confirmed: Mapping[str, str] = {},
    choices: Choices = NOTHING_CHOSEN,
) -> Cast:
    """Read all that a cast needs.

    Args:
        people: a table of people, or one person's sheet, by its file's name.
        masters: the drawings; never changed.
        charts, recipes: one for all masters or one for each; without a chart a master's own
            counts, without a recipe pieces are fitted and nothing else.
        folder: for the packs; empty to write nothing.
        only: the people for whom packs are made; none means everybody.
        unit: of numbers that name none.
        confirmed: whose doubtful numbers somebody stands by: "yes", or their unit.

    ``InputError`` or ``FileError`` for what cannot be used at all.  A row of the table that
    cannot be used is no error here: it is held.
    """
    garments = _garments(masters, charts, recipes)
    bodies = read_bodies(people, unit, confirmed)
    _check_named("--only", only, bodies)
    _check_named("--beyond", choices.beyond, bodies)
    beside = os.path.dirname(os.path.abspath(people))
    places = _places(bodies)
    tasks = []
    sheets = []
    for body, place in zip(bodies, places):
        sheet, fault = _own_sheet(body, beside)
        sheets += [os.path.join(beside, body.sheet)] if sheet else []
        fault = fault or ("" if place else "Its folder would be another's: give every row a name of its own.")
        for garment in garments:
            below = "{}/{}".format(place, _folder(garment.name)) if len(garments) > 1 else place
            asked = not only or body.who in only
            tasks.append(Task(body, garment, choices, folder if place else "", below, sheet, fault, asked))
    return Cast(tuple(tasks), (people, *masters, *charts, *recipes, *sheets))


def _check_named(option: str, names: Sequence[str], bodies: Sequence[Body]) -> None:
    known = [body.who for body in bodies]
    for name in names:
        if name not in known:
            raise InputError(
                "{}: there is no '{}' among the people.".format(option, name),
                "Known: {}.".format(", ".join(known)),
                code="name",
            )


def _folder(who: str) -> str:
    """The name of somebody's folder; "" where nothing is left."""
    return _NOT_IN_FOLDERS.sub("-", who).strip("-. ")


def _places(bodies: Sequence[Body]) -> List[str]:
    """A folder for each body; "" for all that would share one, whether or not capitals count."""
    names = [_folder(body.who) for body in bodies]
    folded = [name.lower() for name in names]
    return [name if folded.count(name.lower()) == 1 and name not in SUMMARIES else "" for name in names]


def _own_sheet(body: Body, beside: str) -> Tuple[str, str]:
    """The text of the fit sheet that a row names, or why it cannot be read."""
    if not body.sheet:
        return "", ""
    try:
        return recipe_text(os.path.join(beside, body.sheet)), ""
    except FileError as error:
        return "", "Its fit sheet: {}".format(error)


# -- garments -------------------------------------------------------------------------------


def _garments(masters: Sequence[str], charts: Sequence[str], recipes: Sequence[str]) -> Tuple[Garment, ...]:
    shared: Dict[str, Sequence[str]] = {"chart": charts, "recipe": recipes}
    for what, files in shared.items():
        if len(files) not in (0, 1, len(masters)):
            raise InputError(
                "There are {} masters and {} {}s.".format(len(masters), len(files), what),
                "Give --{} once for all, or once for each master in their order.".format(what),
                code="value",
            )
    names = [pathlib.PurePath(master).stem for master in masters]
    twin = next((name for name in names if names.count(name) > 1), None)
    if twin is not None:
        raise InputError(
            "Two masters are called '{}'.".format(twin),
            "Give them different names: so their packs are called.",
            code="name",
        )
    found = []
    for number, master in enumerate(masters):
        own = [files[number % len(files)] if files else "" for files in (charts, recipes)]
        found.append(_garment(master, *own))
    return tuple(found)


def _garment(master: str, chart: str, recipe: str) -> Garment:
    data = _bytes(master)
    if data[:1024].lstrip().startswith(b"%PDF"):
        raise InputError(
            "'{}' is a PDF, whose lines have no names yet.".format(master),
            "Bring it in first with sewkit import and name its edges, then give the drawing.",
            code="file",
        )
    drawing, _ = open_drawing(io.BytesIO(data))
    table = read_text(chart) if chart else drawing.pattern.chart
    if not table:
        raise InputError(
            "There is no size chart for '{}'.".format(master), "Give one: --chart chart.csv.", code="chart"
        )
    sizes = chart_from_text(table, shown="'{}'".format(chart) if chart else "of '{}'".format(master)).sizes
    if not set(sizes) & set(drawing.pattern.sizes):
        raise InputError(
            "'{}' has no line that is called like a size of the chart ({}).".format(master, ", ".join(sizes)),
            "Name its pieces, sizes and edges first: sewkit name, sewkit pair.",
            code="nest",
        )
    text = recipe_text(recipe) if recipe else ""
    name = pathlib.PurePath(master).stem
    title = (parse_recipe(text).title if recipe else "") or garment_for(drawing.pattern.title, ()) or name
    return Garment(name, title, data, table, text)


def _bytes(name: str) -> bytes:
    try:
        with open(name, "rb") as stream:
            return stream.read()
    except OSError as error:
        raise FileError(
            "'{}' cannot be read: {}.".format(name, error.strerror or error), code="file"
        ) from None
