"""A size chart from the text of a plain table, as a file holds it or a pattern carries it.

    size,chest,waist,finished chest,drafted height
    1,88,74,98,178
    2,92,78,102,
    ease,10,8,,

The first column is the size, the others are body measures.  "finished chest" is the
garment's; a row called ease has what the garment is more than the body; drafted height is
that of the body.  A table with the sizes along its top is turned.  A first row that starts
with # is a remark.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.guess_unit import guess_unit
from sewkit.body.measures import HEIGHT, known_measure, plain_words
from sewkit.body.size_chart import SizeChart
from sewkit.body.table_text import Row, rows_of, turned
from sewkit.body.written_body import named_line
from sewkit.body.written_length import SHOWN, WrittenLength, check_unit, read_written
from sewkit.errors import InputError
from sewkit.units import parse_length

_FINISHED = ("finished ", "garment ")
_EASE = ("ease", "wearing ease", "finished ease")
_DRAFTED = ("drafted height", "drafted for height", "height drafted for")
_SIZES = ("size", "sizes", "")


class _Column(NamedTuple):
    """A measure's name; whether it is the garment's; the unit that its heading names, or ""."""

    name: str
    finished: bool
    unit: str


def chart_from_text(text: str, unit: str = "", shown: str = "of the pattern") -> SizeChart:
    """The size chart in a text, such as ``Pattern.chart``; one chart a table."""
    return _chart(rows_of(text, shown), shown, unit)


def _chart(rows: Sequence[Row], shown: str, unit: str) -> SizeChart:
    rows = turned(tuple(rows), _is_heading)
    if len(rows) < 2:
        raise InputError("The chart {} has no rows.".format(shown), code="chart")
    columns = [_column(cell) for cell in rows[0].cells[1:]]
    cells = {row.cells[0]: _cells(row, columns, shown) for row in rows[1:]}
    _check_sizes([row.cells[0] for row in rows[1:]], shown)
    given = check_unit(unit) if unit else ""
    bare = given or _guess(cells, columns)
    ease, height, sizes = {}, 0.0, {}
    for name, found in cells.items():
        lengths = [None if one is None else one.millimetres(c.unit or bare) for one, c in zip(found, columns)]
        if plain_words(name) in _EASE:
            ease = {c.name: amount for c, amount in zip(columns, lengths) if amount is not None}
        elif plain_words(name) in _DRAFTED:
            height = next((_height(one) for one in found if one is not None), 0.0)
        else:
            sizes[name] = lengths
    body: Dict[str, Tuple[float, ...]] = {}
    garment: Dict[str, Tuple[float, ...]] = {}
    for at, column in enumerate(columns):
        values = [lengths[at] for lengths in sizes.values()]
        if column.name in _DRAFTED:
            named = [row[at] for name, row in cells.items() if name in sizes]
            unit_here = column.unit
            height = next((_height(o._replace(unit=o.unit or unit_here)) for o in named if o), height)
        elif any(value is not None for value in values):
            table = garment if column.finished else body
            table[column.name] = _whole(column, list(sizes), values, shown)
    told = () if given or _all_named(cells, columns) else (_TOLD.format(SHOWN[bare]),)
    return SizeChart(tuple(sizes), body, garment, height, ease, told)


_TOLD = "The numbers of the size chart were taken for {}."


def _is_heading(cell: str) -> bool:
    column = _column(cell)
    return known_measure(column.name) is not None or column.name in _DRAFTED


def _column(cell: str) -> _Column:
    words, unit = named_line(cell)
    name = plain_words(words)
    finished = False
    for word in _FINISHED:
        if name.startswith(word):
            name, finished = name[len(word) :], True
    known = known_measure(name)
    return _Column(known.name if known is not None else name, finished, unit)


def _cells(row: Row, columns: Sequence[_Column], shown: str) -> List[Optional[WrittenLength]]:
    found: List[Optional[WrittenLength]] = []
    for cell, column in zip(row.cells[1:], columns):
        try:
            found.append(_ease_or_length(row.cells[0], cell) if cell else None)
        except InputError as error:
            raise InputError(
                "Row '{}' of the chart {}, {}: {}".format(row.cells[0], shown, column.name, error),
                code="chart",
            ) from None
    return found


def _height(one: WrittenLength) -> float:
    """A height (mm) in the unit that it names, or the only one that makes sense for a height."""
    return one.millimetres(guess_unit([(HEIGHT, one.millimetres("mm"))]))


def _ease_or_length(head: str, cell: str) -> WrittenLength:
    """A length; ease alone may be nothing or less, as a knit's is."""
    if plain_words(head) in _EASE:
        number, unit = named_line(cell)
        parse_length(number, unit or "cm")
        return WrittenLength(number, unit)
    readings = read_written(cell)
    if len(readings) > 1:
        raise InputError("'{}' is more than one number.".format(cell), code="chart")
    return readings[0]


def _check_sizes(names: Sequence[str], shown: str) -> None:
    for name in names:
        if names.count(name) > 1:
            raise InputError("Size {} stands twice in the chart {}.".format(name, shown), code="chart")


def _guess(cells: Dict[str, List[Optional[WrittenLength]]], columns: Sequence[_Column]) -> str:
    numbers = [
        (HEIGHT if column.name in _DRAFTED else column.name, one.millimetres("mm"))
        for name, row in cells.items()
        if plain_words(name) not in (*_EASE, *_DRAFTED)
        for one, column in zip(row, columns)
        if one is not None and not (one.unit or column.unit)
    ]
    return guess_unit(numbers)


def _all_named(cells: Dict[str, List[Optional[WrittenLength]]], columns: Sequence[_Column]) -> bool:
    return all(
        one is None or bool(one.unit or column.unit)
        for row in cells.values()
        for one, column in zip(row, columns)
    )


def _whole(
    column: _Column, sizes: Sequence[str], values: Sequence[Optional[float]], shown: str
) -> Tuple[float, ...]:
    found = []
    for size, value in zip(sizes, values):
        if value is None:
            what = "finished {}".format(column.name) if column.finished else column.name
            raise InputError(
                "Size {} of the chart {} lacks a measure: {}.".format(size, shown, what), code="chart"
            )
        found.append(round(value, 6))
    return tuple(found)
