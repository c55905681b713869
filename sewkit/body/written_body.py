"""A body as somebody wrote it down: names and numbers, brought to measures in mm.

Both the small text sheet and the row of a table come through here.
"""

import re
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import CHILD_AGE, CHILD_HEIGHT, Body
from sewkit.body.guess_unit import guess_unit, is_usual
from sewkit.body.measures import GIRTH, HEIGHT, known_measure, measure_named, nearest_names, plain_words
from sewkit.body.written_length import SHOWN, WrittenLength, check_unit, read_written, unit_or_none
from sewkit.errors import InputError
from sewkit.units import MILLIMETRES

# What a sheet says beside measures: the word for it here, and other words.
_SAYINGS = {
    "who": ("name", "initials", "person", "performer", "row", "label"),
    "unit": ("units", "measured in"),
    "fits": ("fit", "needs", "figure", "fit notes"),
    "child": ("children",),
    "age": ("years",),
    "confirmed": ("checked", "confirm"),
    "fit sheet": ("sheet",),
    "remark": ("remarks", "note", "notes", "comment", "comments", "date", "measured by", "show", "role"),
}
_YES, _NO = ("yes", "y", "true", "1", "x", "child"), ("no", "n", "false", "0", "", "adult")

_SIDE = re.compile(r"^(left|right) (.+)$|^(.+) (left|right)$")
_HEAD_UNIT = re.compile(r"^(?P<name>.*?)[\s(\[,]+(?P<unit>[a-zA-Z]+)\.?[)\]]?\s*$")

# One side is told to differ from the other from here on (mm): more than the tape's own error.
_SIDES_DIFFER = 5.0

# A number, words and a number again: a comma was left out.
_SEVERAL = re.compile(r"\d.*\s[^\W\d_]{3,}.*\d")

# An amount without a unit at the end of a need.
_BARE = re.compile(r"[\d¼½¾⅛⅜⅝⅞]$")

# Nobody is so many metres tall, and nobody so few of any other unit.
_TALLEST = 3.0


class Line(NamedTuple):
    """A name and what stands beside it; ``unit`` serves a bare number there, "" says nothing."""

    name: str
    text: str
    unit: str = ""


class WrittenMeasure(NamedTuple):
    """A measure's name, the side it was taken on or "", and its readings."""

    name: str
    side: str
    readings: Tuple[WrittenLength, ...]
    unit: str


class WrittenBody(NamedTuple):
    """All that stands on a sheet, nothing guessed yet.

    ``sayings``: what is no measure, by the words that ``saying`` gives.  ``faults``: what
    cannot be read.
    """

    measures: Tuple[WrittenMeasure, ...]
    sayings: Dict[str, str]
    notes: Tuple[str, ...] = ()
    faults: Tuple[InputError, ...] = ()

    @property
    def bare(self) -> List[Tuple[str, float]]:
        """Names and numbers of the measures that name no unit."""
        return [
            (one.name, reading.millimetres("mm") / (MILLIMETRES["in"] if reading.implied else 1.0))
            for one in self.measures
            for reading in one.readings
            if reading.implied or not (reading.unit or one.unit)
        ]

    @property
    def child(self) -> Optional[bool]:
        """Whether the sheet says that it is a child's; None where it says nothing."""
        said = self.sayings.get("child", "").lower().strip()
        if "child" in self.sayings and said in _NO:
            return False if said else None
        if said:
            return True
        age = read_age(self.sayings.get("age", ""))
        return None if age is None else age < CHILD_AGE


def saying(words: str) -> str:
    """The word for something beside the measures, such as "fits"; empty for anything else."""
    plain = plain_words(words)
    return next((one for one, others in _SAYINGS.items() if plain == one or plain in others), "")


def named_line(head: str) -> Tuple[str, str]:
    """The name and the unit in a heading such as "chest (cm)"; no unit is ""."""
    match = _HEAD_UNIT.match(head.strip())
    unit = unit_or_none(match.group("unit")) if match is not None else None
    if match is None or unit is None or not match.group("name"):
        return head.strip(), ""
    return match.group("name").strip(), unit


def write_down(lines: Sequence[Line], strict: bool) -> WrittenBody:
    """Sort lines into measures and sayings.

    ``strict``: a name that nobody knows is refused; else it is kept under its own words.
    """
    measures: List[WrittenMeasure] = []
    sayings: Dict[str, str] = {}
    notes: List[str] = []
    faults: List[InputError] = []
    for line in lines:
        said = saying(line.name)
        if said:
            sayings[said] = line.text.strip()
            continue
        try:
            name, side = _name(line.name, strict)
            readings = read_written(line.text)
        except InputError as error:
            faults.append(_at(line, error))
            continue
        if any((one.name, one.side) == (name, side) for one in measures):
            text = "'{}' is given twice.".format(name)
            faults.append(InputError(text, "Leave one, or write both as 96 / 97.", code="measure"))
            continue
        if known_measure(name) is None:
            notes.append("'{}' is no measure that is known here; it is kept under that name.".format(name))
        measures.append(WrittenMeasure(name, side, readings, line.unit))
    return WrittenBody(tuple(measures), sayings, tuple(notes), tuple(faults))


def _at(line: Line, error: InputError) -> InputError:
    if line.name in error.what:
        return error
    cure = "Put a comma between two measures." if _SEVERAL.search(line.text) else error.cure
    return InputError("At '{}': {}".format(line.name.strip(), error.what), cure, error.code)


def _name(words: str, strict: bool) -> Tuple[str, str]:
    """The measure's name, and the side it was taken on."""
    plain = plain_words(words)
    side = _SIDE.match(plain)
    if known_measure(plain) is None and side is not None:
        left, right = side.group(1) or side.group(4), side.group(2) or side.group(3)
        return _name(right, strict)[0], left
    if known_measure(plain) is None and not strict and not nearest_names(plain):
        return plain, ""
    return measure_named(plain).name, ""


def guessed_unit(bodies: Sequence[WrittenBody]) -> str:
    """The unit of all bare numbers on a sheet together."""
    numbers = [one for body in bodies for one in body.bare]
    return guess_unit(numbers, bool(bodies) and all(body.child for body in bodies))


def to_body(written: WrittenBody, who: str, unit: str, guessed: bool, row: int = 0) -> Body:
    """A body in mm.

    Args:
        who: the name where the sheet gives none.
        unit: of the bare numbers; the sheet's own ``unit`` goes before it.
        guessed: whether ``unit`` is a guess, and to be told.
        row: the line of the table.

    A row that names a unit of its own keeps those numbers in the sheet's unit which only
    make sense there: in a row of inches a back waist length of 44 was still taken in cm.
    """
    faults = [str(error) for error in written.faults]
    notes = list(written.notes)
    own = _own_unit(written, faults)
    lengths: Dict[Tuple[str, str], List[float]] = {}
    given: Dict[str, str] = {}
    kept: List[str] = []
    used: Dict[str, List[str]] = {}
    for one in written.measures:
        here = own or unit
        bare = one.unit or ("m" if _in_metres(one) else here)
        if not one.unit and bare == own and own != unit and not in_own_unit(one, own, unit):
            bare = unit
            kept.append(one.name)
        lengths[one.name, one.side] = [reading.millimetres(bare) for reading in one.readings]
        given[" ".join((one.side, one.name)).strip()] = " / ".join(r.shown(bare) for r in one.readings)
        for reading in one.readings:
            used.setdefault(reading.unit or bare, []).append(one.name)
    if written.bare and guessed and not own:
        notes.append("Numbers without a unit were taken for {}.".format(SHOWN[unit]))
    if kept:
        text = "The {} stayed in {}: in {} nobody has that."
        notes.append(text.format(_listed(kept), SHOWN[unit], SHOWN[own]))
    else:
        notes += _mixed(used)
    measures = {name: _mean(found) for (name, side), found in lengths.items() if not side}
    apart = {name: max(f) - min(f) for (name, _), f in lengths.items() if len(f) > 1}
    _join_sides(measures, lengths, notes)
    age = read_age(written.sayings.get("age", ""))
    confirmed = written.sayings.get("confirmed", "").lower().strip() not in _NO
    return Body(
        written.sayings.get("who") or who,
        measures,
        given,
        tuple(notes),
        _is_child(written, measures, notes),
        read_needs(written.sayings.get("fits", ""), own or unit),
        age,
        apart,
        confirmed,
        written.sayings.get("fit sheet", ""),
        tuple(faults),
        row,
    )


def _in_metres(one: WrittenMeasure) -> bool:
    """Whether a bare height reads 1.78, which is metres whatever the rest is in."""
    return one.name == HEIGHT and all(reading.millimetres("mm") < _TALLEST for reading in one.readings)


def _own_unit(written: WrittenBody, faults: List[str]) -> str:
    """The unit that a sheet or row names for its bare numbers, or is confirmed to be in."""
    said = written.sayings.get("unit", "")
    if said:
        try:
            return check_unit(said)
        except InputError as error:
            faults.append(str(error))
            return ""
    return unit_or_none(written.sayings.get("confirmed", "")) or ""


def in_own_unit(one: WrittenMeasure, own: str, unit: str) -> bool:
    """Whether a bare measure is to be read in the row's own unit rather than in the sheet's.

    Where both make sense, the row's own; where neither does, too, so that it is doubted.
    """
    mine = all(is_usual(one.name, reading.millimetres(own)) for reading in one.readings)
    sheets = all(is_usual(one.name, reading.millimetres(unit)) for reading in one.readings)
    return mine or not sheets


def _mixed(used: Dict[str, List[str]]) -> List[str]:
    """What to say where inches, centimetres and millimetres stand on one sheet.

    A height of 1.78 m among centimetres is how everybody writes it.
    """
    if len(used) < 2 or set(used) == {"m", "cm"}:
        return []
    units = sorted(used, key=lambda unit: (-len(used[unit]), unit))
    parts = ["{} in {}".format(_listed(list(dict.fromkeys(used[u]))), SHOWN.get(u, u)) for u in units[1:]]
    text = "Units are mixed: {}, all else in {}."
    return [text.format("; ".join(parts), SHOWN.get(units[0], units[0]))]


def _mean(readings: List[float]) -> float:
    """The mean in mm, without the last digits that come from other units: 96.5 cm is 965 mm."""
    return round(sum(readings) / len(readings), 6)


def _join_sides(
    measures: Dict[str, float], lengths: Dict[Tuple[str, str], List[float]], notes: List[str]
) -> None:
    """Where the two sides were measured apart: the larger girth, the mean of a length."""
    for name in dict.fromkeys(name for name, side in lengths if side):
        sides = {side: _mean(found) for (one, side), found in lengths.items() if one == name and side}
        known = known_measure(name)
        values = list(sides.values())
        round_it = known is None or known.group == GIRTH
        measures.setdefault(name, max(values) if round_it else _mean(values))
        if len(values) == 2 and abs(values[0] - values[1]) >= _SIDES_DIFFER:
            text = "The {} is {:.1f} cm on the left and {:.1f} cm on the right; {} is used."
            which = "the larger" if round_it else "the mean"
            notes.append(text.format(name, sides["left"] / 10, sides["right"] / 10, which))


def _is_child(written: WrittenBody, measures: Dict[str, float], notes: List[str]) -> bool:
    if written.child is not None:
        return written.child
    return 0 < measures.get("height", 0.0) < CHILD_HEIGHT


def read_age(text: str) -> Optional[float]:
    """Years from "7", "7 years" or "18 months"; None where there is no number."""
    match = re.match(r"^\s*(\d+(?:[.,]\d+)?)\s*(m?)", text.lower())
    if match is None:
        return None
    number = float(match.group(1).replace(",", "."))
    return number / 12.0 if match.group(2) else number


def read_needs(text: str, unit: str = "") -> Tuple[str, ...]:
    """The needs in a line such as "full stomach; front length +3,5 cm".

    An amount that names no unit gets the sheet's, as its measures do: +1 on a sheet of inches
    is an inch.  Nothing of a body's figure is told in metres.
    """
    parts = [" ".join(part.split()) for part in re.split(r";|\n|,(?!\d)", text) if part.strip()]
    if unit in ("", "cm", "m"):
        return tuple(parts)
    return tuple("{} {}".format(part, unit) if _BARE.search(part) else part for part in parts)


def _listed(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return "{} and {}".format(", ".join(names[:-1]), names[-1])
