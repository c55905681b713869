"""Size charts, and plain tables of lengths, in files."""

from typing import Any, Dict

from sewkit.body.chart_text import chart_from_text
from sewkit.body.size_chart import SizeChart
from sewkit.body.table_text import rows_of
from sewkit.errors import FileError, InputError
from sewkit.files.plain_text import read_text
from sewkit.units import parse_length


def read_chart(source: Any, unit: str = "") -> SizeChart:
    """The size chart in a file by name; see ``chart_from_text``.

    ``FileError`` where it cannot be read.
    """
    return chart_from_text(read_text(source), unit, "'{}'".format(source))


def read_table(source: Any, unit: str = "cm") -> Dict[str, Dict[str, float]]:
    """Rows by their first cell; each maps a column's name to mm."""
    rows = rows_of(read_text(source), "'{}'".format(source))
    if len(rows) < 2:
        raise FileError("The table '{}' has no rows.".format(source), code="file")
    names = rows[0].cells[1:]
    table: Dict[str, Dict[str, float]] = {}
    for row in rows[1:]:
        who = row.cells[0]
        if who in table:
            raise InputError("'{}' stands twice in the table '{}'.".format(who, source), code="table")
        try:
            table[who] = {n: parse_length(cell, unit) for n, cell in zip(names, row.cells[1:]) if cell}
        except InputError as error:
            raise InputError(
                "Row '{}' of the table '{}': {}".format(who, source, error), code="table"
            ) from None
    return table
