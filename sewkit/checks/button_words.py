"""What there is to tell of a row of buttons, as one would say it at the table."""

from typing import Dict, List, NamedTuple, Sequence

from sewkit.pattern.button_row import Drawing, Made
from sewkit.pattern.button_spacing import nearest_to
from sewkit.report import Change, Finding, Level, Report, Table

# Beyond the centre line the piece goes on by half the button and so much, or by the least (mm;
# common practice).
_AROUND, _LEAST = 6.0, 12.0

# A button this near to the fullest level keeps the front closed there (mm; common practice).
_GOOD = 12.0

# The last button lies so far above the lower end at least (mm; common practice: 75 to 150).
_ABOVE_END = 75.0

# A row agrees with a level to this (mm).
_ON = 0.05

_LAPS = {
    "woman": "Women's clothes lap right over left, so the holes go on the right side (common practice).",
    "man": "Men's clothes lap left over right, so the holes go on the left side (common practice).",
}
_CHILD = (
    "For a child: sew buttons on firmly; for a child under three use none that are small enough to swallow "
    "(16 CFR 1501). Local rules go first."
)


class Told(NamedTuple):
    """A row on a piece, and how far below its top end (mm) the levels lie at which a button is wanted."""

    piece: str
    made: Made
    levels: Dict[str, float]


def row_report(told: Sequence[Told], drawing: Drawing, wearer: str, draw: str) -> Report:
    """The sentence, what to look at, the places, and which side laps over."""
    one = told[0]
    count, spacing = len(one.made.row.places), one.made.row.spacing
    put = "{} button{}".format(count, "" if count == 1 else "s")
    words = "{} on '{}'".format(put, one.piece)
    words += ", {:.1f} mm apart".format(spacing) if count > 1 else ""
    words += " in the first size" if len(told) > 1 else ""
    if draw != "buttons":
        words += "; the holes are {:.1f} mm long".format(drawing.hole)
    findings = _findings(told, drawing)
    last = min(_above_end(row) for row in told)
    if last < _ABOVE_END - _ON:
        text = "The last button lies {:.0f} mm above the lower end; 75 to 150 mm are usual."
        findings.append(Finding("button-last", Level.WARN, text.format(last), one.piece))
    if wearer in _LAPS:
        findings.append(Finding("button-side", Level.INFO, _LAPS[wearer], one.piece))
    if wearer == "child":
        findings.append(Finding("child", Level.INFO, _CHILD, one.piece))
    x, y = one.made.line.at(one.made.row.places[0])
    changes = (Change(one.piece, put, (float(x), float(y))),)
    return Report(words + ".", tuple(findings), (_table(told),), changes)


def ends_report(told: Sequence[Told], first: float, last: float, level: str) -> Report:
    """How far the ends of a row moved so that one button lies at a level, at the worst of all sizes.

    ``first``, ``last``: where they were wished (mm), from the top end and above the lower one.
    """

    def moved(one: Told) -> float:
        return max(abs(one.made.row.places[0] - first), abs(_above_end(one) - last))

    worst = max(told, key=moved)
    if moved(worst) <= _ON:
        return Report("")
    text = (
        "{}: so that one lies at {}, the first button is {:.1f} mm below the top end ({:.1f} wished) and the "
        "last {:.1f} mm above the lower end ({:.1f} wished)."
    )
    ends = (worst.made.row.places[0], first, _above_end(worst), last)
    return Report(
        "", (Finding("button-ends", Level.INFO, text.format(_where(worst), level, *ends), worst.piece),)
    )


def _above_end(one: Told) -> float:
    return one.made.line.length - one.made.row.places[-1]


def _table(told: Sequence[Told]) -> Table:
    rows = []
    for one in told:
        row = one.made.row
        rows.append(
            (
                _where(one),
                str(len(row.places)),
                "{:.1f}".format(row.spacing),
                " ".join("{:.1f}".format(place) for place in row.places),
                "{:.0f}".format(_above_end(one)),
            )
        )
    columns = ("piece", "buttons", "apart mm", "below the top end mm", "last above the lower end")
    return Table("Buttons", columns, tuple(rows))


def _findings(told: Sequence[Told], drawing: Drawing) -> List[Finding]:
    """How far the row misses a level, at the worst of all sizes; and whether the stand is wide enough."""
    found = []
    names = dict.fromkeys(name for one in told for name in one.levels)
    for name in names:
        missed = [(nearest_to(one.made.row, one.levels[name]), one) for one in told if name in one.levels]
        away, worst = max(missed, key=lambda pair: pair[0])
        if away <= _ON:
            continue
        good = away <= _GOOD
        text = "{}: the nearest button lies {:.1f} mm from the {}{}.".format(
            _where(worst), away, name, "" if good else ", and the front may gape there"
        )
        cure = "Let a button fall there (sewkit buttons --anchors {}), or space them otherwise.".format(name)
        level = Level.INFO if good else Level.WARN
        found.append(Finding("button-level", level, text, worst.piece, cure="" if good else cure))
    least = min(told, key=lambda one: one.made.line.beyond)
    return found + _stand(least, drawing)


def _stand(one: Told, drawing: Drawing) -> List[Finding]:
    need = max(drawing.diameter / 2.0 + _AROUND, _LEAST)
    beyond = one.made.line.beyond
    if beyond == 0:
        text = "{}: the centre line is the edge itself; the button stand beyond it needs {:.1f} mm."
        return [Finding("button-stand", Level.INFO, text.format(one.piece, need), one.piece)]
    if beyond >= need - _ON:
        return []
    text = "{}: the piece goes on {:.1f} mm beyond the centre line, and this button needs {:.1f} mm."
    cure = "Move the edge, never the centre line, or take a smaller button."
    return [Finding("button-stand", Level.WARN, text.format(_where(one), beyond, need), one.piece, cure=cure)]


def _where(one: Told) -> str:
    return "{} size {}".format(one.piece, one.made.size) if one.made.size else one.piece
