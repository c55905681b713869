"""One row of a cast: from a person's measures to a finished pack, wherever this runs.

All that is needed comes with the task, so that the work can be done by another process or
another machine; only the folder for the packs must be the same one everywhere.
"""

import functools
import io
import os
import traceback
from typing import Dict, NamedTuple, Tuple

from sewkit.body.body import Body
from sewkit.body.chart_text import chart_from_text
from sewkit.body.size_chart import SizeChart
from sewkit.checks.planned_fit import Wishes
from sewkit.errors import FileError, InputError, SewkitError
from sewkit.files.cast import FAILED, HELD, LEFT, CastRow, piece_hashes, row_of_pack, row_of_report
from sewkit.files.fit_sheet import parse_fit_sheet
from sewkit.files.fitting import Fitted, fit_person
from sewkit.files.pack import Pack, finished_pack, pack_inputs, write_pack
from sewkit.files.pack_folder import read_manifest
from sewkit.files.pack_print import USUAL_PAPER
from sewkit.files.recipe import Recipe, parse_recipe
from sewkit.report import Level

_UNFORESEEN = "Something happened that sewkit was not made for ({}: {}); the other rows are not concerned."
_NOT_THIS_TIME = (
    "Not made this time; the pack was made from other measures, files or choices than were given now, "
    "so look whether it still holds before you cut from it."
)
_OLDER = " The pack in the folder {} is an older one: do not cut from it."


class Garment(NamedTuple):
    """A master and what belongs to it, all read.

    Args:
        name: for folders and labels.
        title: the same for people, such as "Waistcoat".
        master: the bytes of the drawing.
        chart, recipe: their texts; the recipe may be empty.
    """

    name: str
    title: str
    master: bytes
    chart: str
    recipe: str


class Choices(NamedTuple):
    """What somebody chose for all.

    Args:
        beyond: who may have a size beyond the chart.
        paper: what the pieces are printed on; empty for none.
    """

    exact: bool = False
    beyond: Tuple[str, ...] = ()
    show: str = ""
    date: str = ""
    paper: str = USUAL_PAPER


NOTHING_CHOSEN = Choices()


class Task(NamedTuple):
    """A row to be done.

    Args:
        folder: of the whole cast; empty to write nothing.
        place: of the pack, below it, with strokes.
        sheet: the text of the person's own fit sheet; may be empty.
        fault: why nothing can be made, one sentence; may be empty.
        asked: whether to make the pack; a finished one is told in any case.
    """

    body: Body
    garment: Garment
    choices: Choices
    folder: str
    place: str
    sheet: str = ""
    fault: str = ""
    asked: bool = True


def make_row(task: Task) -> CastRow:
    """Do a row; whatever happens becomes a sentence of the row and never an error."""
    row = CastRow(task.body.who, task.garment.title, LEFT, folder=task.place)
    try:
        return _made(task, row)
    except FileError as error:
        return _without(task, row, FAILED, str(error))
    except InputError as error:
        return _without(task, row, HELD, str(error))
    except SewkitError as error:
        return _without(task, row, FAILED, str(error))
    except Exception as error:
        if os.environ.get("SEWKIT_DEBUG"):
            traceback.print_exc()
        said = str(error).strip().split("\n")[0]
        return _without(task, row, FAILED, _UNFORESEEN.format(type(error).__name__, said))


def _made(task: Task, row: CastRow) -> CastRow:
    garment, body = task.garment, task.body
    chart = _chart(garment.chart, garment.title)
    if task.fault:
        raise InputError(task.fault, code="held")
    wishes = Wishes(exact=task.choices.exact, beyond=body.who in task.choices.beyond)
    inputs = _inputs(task, wishes)
    folder = os.path.join(task.folder, *task.place.split("/")) if task.folder else ""
    if folder and finished_pack(folder, inputs):
        return row_of_pack(row._replace(kept=True), folder)
    if not task.asked:
        known = read_manifest(folder) if folder else None
        if known is not None and finished_pack(folder, known["made-from"]):
            return _of_before(row_of_pack(row._replace(kept=True), folder))
        return _without(task, row, LEFT, "Nobody asked for this row.")
    fitted = _fitted(task, chart, wishes)
    if not folder:
        return row_of_report(row._replace(folder=""), fitted.report, fitted.sheet)
    made_from = {"master": inputs["master"], "measures": inputs["body"], "chart": inputs["chart"]}
    pack = Pack(
        fitted.done,
        fitted.report,
        fitted.sheet._replace(made_from=made_from),
        garment.title,
        fitted.made,
        body,
        task.choices.show,
        task.choices.date,
        task.choices.paper,
    )
    before = piece_hashes(folder)
    os.makedirs(os.path.dirname(folder), exist_ok=True)
    write_pack(folder, pack, inputs)
    if before:
        now = piece_hashes(folder)
        row = row._replace(recut=tuple(name for name in now if now[name] != before.get(name)))
    return row_of_pack(row, folder)


def _of_before(row: CastRow) -> CastRow:
    """The row of a whole pack that nobody asked for this time, made from other files or choices than now."""
    return row._replace(light=max(row.light, Level.WARN), told=(_NOT_THIS_TIME, *row.told))


def _fitted(task: Task, chart: SizeChart, wishes: Wishes) -> Fitted:
    """The garment; a fit sheet of the person's own that says more than needs takes the recipe's place."""
    garment = task.garment
    recipe = parse_recipe(garment.recipe)
    own = parse_fit_sheet(task.sheet) if task.sheet else None
    whole = recipe.sheet is not None or (own is not None and any(not one.planned for one in own.steps))
    rest = Recipe() if whole else recipe
    title = "{} for {}".format(garment.title, task.body.who)
    return fit_person(io.BytesIO(garment.master), task.body, chart, rest, own or recipe.sheet, wishes, title)


def _inputs(task: Task, wishes: Wishes) -> Dict[str, str]:
    """What the pack is made from, hashed."""
    garment, choices = task.garment, task.choices
    return pack_inputs(
        garment.master,
        task.body,
        garment.chart,
        garment.recipe,
        exact=wishes.exact,
        beyond=wishes.beyond,
        title=garment.title,
        sheet=task.sheet,
        show=choices.show,
        date=choices.date,
        paper=choices.paper,
    )


@functools.lru_cache(maxsize=8)
def _chart(text: str, shown: str) -> SizeChart:
    return chart_from_text(text, shown="of {}".format(shown))


def _without(task: Task, row: CastRow, state: str, words: str) -> CastRow:
    """The row without a pack; one that lies there from before is told of."""
    folder = os.path.join(task.folder, *task.place.split("/"))
    if task.folder and read_manifest(folder) is not None:
        words += _OLDER.format(task.place)
    return row._replace(state=state, words=words, folder="")
