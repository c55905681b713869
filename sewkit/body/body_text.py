"""A body from words: a line somebody typed, or a small sheet with one measure a line.

    chest 96, waist 90, back waist length 44.2 cm

    # measured in costume shoes
    who: P03
    unit: cm
    chest: 96
    waist: 35 1/2 in
    fits: full stomach; front length +3 cm

What follows a # is a remark.  A unit at the end of a line serves all bare numbers of that
line.  Where the whole sheet names no unit it is guessed, and told.
"""

import re
from typing import List

from sewkit.body.body import Body
from sewkit.body.written_body import Line, guessed_unit, named_line, saying, to_body, write_down
from sewkit.body.written_length import check_unit, read_written
from sewkit.errors import InputError

_SAID = re.compile(r"^\s*(?P<name>[^:=\d]+?)\s*[:=]\s*(?P<text>.*)$")
_MEASURED = re.compile(r"^\s*(?P<name>[^\d:=]+?)\s*[:=]?\s*(?P<text>[-+−]?[\d¼½¾⅛⅜⅝⅞.,].*)$")
# A comma between two digits is a decimal one.
_BETWEEN = re.compile(r";|,(?!\d)|(?<!\d),")


def body_from_text(text: str, unit: str = "", who: str = "") -> Body:
    """The body that a text tells of.

    Args:
        unit: of numbers that name none: mm, cm, m or in; "" guesses it for the whole sheet.
        who: the name where the text gives none.

    ``InputError`` for a name that nobody knows, a number that is none, and no measure at all.
    """
    lines: List[Line] = []
    for written in text.splitlines():
        lines += _lines(written.partition("#")[0])
    found = write_down(lines, strict=True)
    if found.faults:
        raise found.faults[0]
    if not found.measures:
        raise InputError(
            "There is no measure in this.",
            "Write them like this: chest 96, waist 90 cm.",
            code="measure",
        )
    given = check_unit(unit) if unit else ""
    body = to_body(found, who, given or guessed_unit([found]), not given)
    if body.faults:
        raise InputError(body.faults[0], code="unit")
    return body


def _lines(written: str) -> List[Line]:
    """The names and texts of one line of the sheet."""
    if not written.strip():
        return []
    said = _SAID.match(written)
    if said is not None and saying(said.group("name")):
        return [Line(said.group("name"), said.group("text"))]
    parts = [part for part in _BETWEEN.split(written) if part.strip()]
    found = [_line(part) for part in parts]
    units = {_unit(line) for line in found if not saying(line.name)} - {""}
    last = _unit(found[-1]) if found else ""
    if len(units) == 1 and last:
        found = [line._replace(unit=line.unit or last) for line in found]
    return found


def _line(part: str) -> Line:
    measured = _MEASURED.match(part)
    if measured is not None:
        name, unit = named_line(measured.group("name"))
        return Line(name, measured.group("text"), unit)
    said = _SAID.match(part)
    if said is not None and saying(said.group("name")):
        return Line(said.group("name"), said.group("text"))
    raise InputError(
        "'{}' is no name with a number behind it.".format(part.strip()),
        "Write a measure like this: chest 96 cm.",
        code="measure",
    )


def _unit(line: Line) -> str:
    try:
        return read_written(line.text)[-1].unit
    except InputError:
        return ""
