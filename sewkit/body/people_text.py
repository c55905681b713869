"""People from words: a table with one person a row, or a small sheet for one person.

    who,chest,waist,back waist length,unit,fits
    P03,96,90,44.2,,
    P09,40,34,44.0,in,
    P11,106,88,49.0,,full stomach; front length +3 cm

Columns come in any order and are called as the trade calls them; a heading may name its
unit, as "chest (in)" does.  Beside measures a row may say who, unit, fits, child, age,
confirmed and fit sheet.  One bad row never stops the others: what cannot be read there
becomes a fault of that body, which is then held.
"""

from typing import Dict, List, Mapping, NamedTuple, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.body_text import body_from_text
from sewkit.body.measures import known_measure, nearest_names
from sewkit.body.table_text import Row, rows_of, turned
from sewkit.body.written_body import (
    Line,
    WrittenBody,
    guessed_unit,
    named_line,
    saying,
    to_body,
    write_down,
)
from sewkit.body.written_length import check_unit, read_written
from sewkit.errors import InputError


class _Column(NamedTuple):
    name: str
    unit: str
    kept: bool


def bodies_from_text(
    text: str, unit: str = "", confirmed: Mapping[str, str] = {}, who: str = "", shown: str = "of people"
) -> Tuple[Body, ...]:
    """The bodies of a table or of a text sheet, in its order.

    Args:
        unit: of numbers that name none; "" guesses it for the whole table, and it is told.
        confirmed: who was looked at again, by name: "yes", or the unit the row is in.
        who: the name of a single person where the text gives none.
        shown: what the table is called in errors.

    ``InputError`` for headings that nobody knows, and for a text sheet that cannot be read.
    """
    rows = rows_of(text, shown)
    if not _is_table(rows):
        return (body_from_text(text, unit, who),)
    rows = turned(rows, _is_heading)
    if len(rows) < 2:
        raise InputError("The table {} has no rows.".format(shown), code="table")
    columns = _columns(rows, shown)
    written = [_written(row, columns, confirmed) for row in rows[1:]]
    given = check_unit(unit) if unit else ""
    here = given or guessed_unit(written)
    alone = who if len(written) == 1 else ""
    bodies = [
        to_body(one, alone or "row {}".format(row.line), here, not given, row.line)
        for one, row in zip(written, rows[1:])
    ]
    _check_confirmed(confirmed, bodies, shown)
    return tuple(_held_twins(bodies))


def _is_heading(cell: str) -> bool:
    name = named_line(cell)[0]
    return known_measure(name) is not None or bool(saying(name))


def _is_table(rows: Sequence[Row]) -> bool:
    """A table has two headings beside each other, or down its side with cells that are no sentence.

    A text sheet has its numbers behind the names: its lines are no headings.  Headings that
    nobody knows still stand over columns of numbers.
    """
    if not rows:
        return False
    down = [row.cells[0] for row in rows]
    if sum(map(_is_heading, rows[0].cells)) >= 2 or sum(map(_is_heading, down)) >= 2:
        return True
    heads = [cell for cell in rows[0].cells if cell]
    return len(rows) > 1 < len(heads) and not any(map(_has_number, heads)) and _is_in_columns(rows[1:])


def _is_in_columns(rows: Sequence[Row]) -> bool:
    """Whether bare numbers stand in cells of their own in every row, each behind a cell of another kind."""
    return all(any(map(_is_length, row.cells[1:])) for row in rows)


def _has_number(cell: str) -> bool:
    return any(letter.isdigit() for letter in cell)


def _is_length(cell: str) -> bool:
    return bool(cell) and _all_lengths([cell])


def _columns(rows: Sequence[Row], shown: str) -> List[_Column]:
    heads = [named_line(cell) for cell in rows[0].cells]
    who = next((at for at, (name, _) in enumerate(heads) if saying(name) == "who"), None)
    if who is None and not _is_heading(rows[0].cells[0]):
        heads[0] = ("who", "")
    found = []
    for at, (name, unit) in enumerate(heads):
        known = _is_heading(name) or _is_sided(name)
        lengths = _all_lengths([row.cells[at] for row in rows[1:]])
        near = nearest_names(name) if not known and lengths else []
        if near:
            raise InputError(
                "The table {} has a column '{}', which is no measure.".format(shown, name),
                "Did you mean {}?".format(" or ".join("'{}'".format(one) for one in near)),
                code="measure",
            )
        found.append(_Column(name, unit, bool(name) and (known or lengths)))
    if not any(known_measure(column.name) or _is_sided(column.name) for column in found):
        raise InputError(
            "The table {} names no measure in its first row.".format(shown),
            "Write headings such as who, chest, waist.",
            code="measure",
        )
    return found


def _is_sided(name: str) -> bool:
    words = name.lower().split()
    return len(words) > 1 and bool({words[0], words[-1]} & {"left", "right"})


def _all_lengths(cells: Sequence[str]) -> bool:
    """Whether a column holds lengths, and at least one."""
    filled = [cell for cell in cells if cell]
    try:
        for cell in filled:
            read_written(cell)
    except InputError:
        return False
    return bool(filled)


def _written(row: Row, columns: Sequence[_Column], confirmed: Mapping[str, str]) -> WrittenBody:
    cells = zip(columns, row.cells)
    lines = [Line(column.name, cell, column.unit) for column, cell in cells if column.kept and cell]
    found = write_down(lines, strict=False)
    said = confirmed.get(found.sayings.get("who", ""))
    if said:
        found.sayings["confirmed"] = said
        found.sayings.pop("unit", None)
    if not found.measures and not found.faults:
        fault = InputError("There is no measure in this row.", code="measure")
        found = found._replace(faults=(fault,))
    return found


def _check_confirmed(confirmed: Mapping[str, str], bodies: Sequence[Body], shown: str) -> None:
    names = [body.who for body in bodies]
    for who in confirmed:
        if who not in names:
            raise InputError(
                "There is no '{}' in the table {} to confirm.".format(who, shown),
                "There are: {}.".format(", ".join(names)),
                code="name",
            )


def _held_twins(bodies: Sequence[Body]) -> List[Body]:
    """Two rows of one name are both held: nobody can say whose pieces are whose."""
    rows: Dict[str, List[int]] = {}
    for body in bodies:
        rows.setdefault(body.who, []).append(body.row)
    found = []
    for body in bodies:
        lines = rows[body.who]
        if len(lines) > 1:
            text = "'{}' stands in the rows {}: give each person a name of their own."
            twins = text.format(body.who, " and ".join(map(str, lines)))
            body = body._replace(faults=(*body.faults, twins))
        found.append(body)
    return found
