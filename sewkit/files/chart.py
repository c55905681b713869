"""Size charts and measure sheets from plain tables (CSV).

The first row names the columns; a row that starts with # is a remark.  The first column
is the size, or the person; all others are lengths in the unit given.
"""

import csv
from typing import Any, Dict, List, Tuple

from sewkit.body.size_chart import SizeChart
from sewkit.errors import FileError, InputError
from sewkit.units import parse_length


def read_table(source: Any, unit: str = "cm") -> Dict[str, Dict[str, float]]:
    """Rows by their first cell; each maps a column's name to mm."""
    rows = _rows(source)
    if len(rows) < 2:
        raise FileError("The table '{}' has no rows.".format(source), code="file")
    names = [name.strip() for name in rows[0][1:]]
    table: Dict[str, Dict[str, float]] = {}
    for row in rows[1:]:
        who = row[0].strip()
        if who in table:
            raise InputError("'{}' stands twice in the table '{}'.".format(who, source), code="table")
        try:
            table[who] = {n: parse_length(cell, unit) for n, cell in zip(names, row[1:]) if cell.strip()}
        except InputError as error:
            raise InputError(
                "Row '{}' of the table '{}': {}".format(who, source, error), code="table"
            ) from None
    return table


def read_chart(source: Any, unit: str = "cm") -> SizeChart:
    """A size chart; ``InputError`` where a size lacks a measure that others have."""
    table = read_table(source, unit)
    names = list(next(iter(table.values())))
    for size, row in table.items():
        if list(row) != names:
            raise InputError("Size {} of the chart '{}' lacks a measure.".format(size, source), code="chart")
    sizes = tuple(table)
    measures: Dict[str, Tuple[float, ...]] = {n: tuple(table[s][n] for s in sizes) for n in names}
    return SizeChart(sizes, measures)


def _rows(source: Any) -> List[List[str]]:
    try:
        with open(str(source), encoding="utf-8-sig", newline="") as stream:
            return [row for row in csv.reader(stream) if row and not row[0].startswith("#")]
    except OSError as error:
        raise FileError(
            "The table '{}' cannot be read: {}.".format(source, error.strerror), code="file"
        ) from None
    except (UnicodeDecodeError, csv.Error):
        raise FileError("The table '{}' is not plain text.".format(source), code="file") from None
