"""Put a drawing of the wrong size right."""

import math
from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, is_line
from sewkit.geometry.polygon import bounds
from sewkit.operation import Choice, Length, Number, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.mark import GRAIN
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.scaling import scaled_pattern
from sewkit.report import Finding, Level, Report, Table
from sewkit.sheet.printed_pattern import as_printed
from sewkit.sheet.scale import checked_factor, parse_known, verdict, witnesses
from sewkit.sheet.scale_verdict import AMBER, GREEN, light
from sewkit.sheet.scale_words import on_hip, percent, signed, usual_cause
from sewkit.sheet.witness_squares import as_quad
from sewkit.units import write_number

# What is up to this much longer than wide was meant to be a square (share).
_SQUARE = 0.1
# Shorter than this nothing is measured (mm).
_SHORT = 0.5


class _Measured(NamedTuple):
    """What the person picked: across and down (mm); ``down`` is 0 for a line."""

    what: str
    across: float
    down: float = 0.0


@operation(
    title="Check and correct the scale",
    menu="Pattern",
    select=(
        "Select one line whose true length you know, two nodes of it, or the test square; "
        "nothing, to check all lines without names or to type both lengths."
    ),
    example="sewkit scale samples/waistcoat/master.svg -o larger.svg --action change --known 100mm=97.0",
    preview=False,
    beside=True,
)
def scale(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {"check": "Only say how far off it is", "change": "Scale the whole drawing"},
    ) = "check",
    is_long: Length(
        "The selected line is really", "for a square or rectangle: its width; 0: not known", 0, 20000
    ) = 0.0,
    height: Length(
        "and its height", "of a square or rectangle that is stretched; 0: the same factor both ways", 0, 20000
    ) = 0.0,
    known: Text(
        "Or: what it should be = what it measures", "such as 100mm=97.0; nothing needs to be selected then"
    ) = "",
    hip: Number("Tell the error on a hip of (mm)", "", 100, 3000) = 1000.0,
) -> Outcome:
    """Say whether a drawing has its true size, and scale everything in it if it has not.

    Say how long one line really is: the side of the test square, a ruler, a scale bar, the
    longest one there is.  A line is measured along its middle, without the breadth of
    its pen; a closed shape by its width and height.  Then the whole drawing grows or
    shrinks: every piece, line, text and hidden layer, with the page.  Lengths kept with
    names, places of notches and widths of allowances go along.

    This puts wrong drawings right. It is not for making a piece larger: scaling makes
    neckline, armhole and allowance larger too, and nothing fits any more. Blend between
    sizes for that.

    Up to 0.05 % is called true and left alone, up to 0.25 % usable. On paper read a ruler
    to 0.25 mm: over 25 mm that is 1 %, over 100 mm a quarter of that.
    """
    _one_length(is_long, height, known)
    measured = None if known.strip() else _measured(pattern, chosen, several=action == "check")
    if known.strip():
        factors = parse_known(known), parse_known(known)
        told = "What should be {} is drawn as {}".format(*(half.strip() for half in known.split("=")))
    elif measured is not None and is_long:
        factors = _factors(measured, is_long, height)
        told = _compared(measured, is_long, height)
    elif action == "check":
        return Outcome(pattern, _checked(pattern, measured, hip))
    else:
        raise _not_said(measured)
    ratio = 1 / factors[0], 1 / factors[1]
    worst = max(ratio, key=lambda one: abs(one - 1))
    text = _verdict(told, ratio, hip)
    if abs(worst - 1) <= GREEN:
        finding = Finding("scale", Level.PASS, text)
        return Outcome(pattern, Report(text + " Nothing was changed.", (finding,), (_table(ratio, hip),)))
    if action == "check":
        finding = Finding("scale", light(worst), text)
        return Outcome(pattern, Report(text + _ONLY_CHECKED, (finding,), (_table(ratio, hip),)))
    after = scaled_pattern(pattern, *factors)
    summary = "{} The whole drawing is now {}.".format(text, _times(factors))
    before = _table(ratio, hip)._replace(title="Scale before", levels=())
    return Outcome(after, Report(summary, tuple(_warnings(pattern, after)), (before,)))


_ONLY_CHECKED = " This was only checked: to scale the drawing, choose to change it (--action change)."


def _one_length(is_long: float, height: float, known: str) -> None:
    """Refuse two things said at once, of which one would be passed over."""
    if known.strip() and (is_long or height):
        raise InputError(
            "Both a pair of lengths ({}) and the length of the selected line are given.".format(known),
            "Leave one of them out.",
            code="scale-known",
        )
    if height and not is_long:
        raise InputError(
            "The height is given, and the width is not.", "Say how wide it really is, too.", code="scale-none"
        )


# -- measuring what was picked ----------------------------------------------------------


def _measured(pattern: Pattern, chosen: Chosen, several: bool) -> Optional[_Measured]:
    """The one thing that was picked, measured; None where nothing was, or ``several`` may be."""
    if chosen.nodes:
        return _between_nodes(chosen)
    picked = _picked(pattern, chosen)
    if not picked or (several and len(picked) > 1):
        return None
    if len(picked) > 1:
        raise InputError(
            "There are {} lines to choose from, and one length is given.".format(len(picked)),
            "Select the one line whose true length you know.",
            code="choice",
        )
    measured = _size(*picked[0])
    if measured.across < _SHORT or (measured.down and measured.down < _SHORT):
        raise InputError(
            "The {} is too short to be measured.".format(measured.what), "Select a longer one.", code="choice"
        )
    return measured


def _picked(pattern: Pattern, chosen: Chosen) -> List[Tuple[str, Path]]:
    """Everything that was picked, with what it is called.

    With a mark its whole piece counts as picked, and the mark alone is meant.
    """
    if not chosen.outlines:
        return []
    found: List[Tuple[str, Path]] = []
    owners = set()
    for piece in pattern.pieces:
        for mark in piece.marks:
            if mark.key in chosen.marks and mark.path is not None and len(mark.path):
                what, path = ("grain line", mark.shaft) if mark.kind == GRAIN else ("mark", mark.path)
                found.append(("{} of '{}'".format(what, piece.name), path))
                owners.add(piece.name)
    for piece, outline in chosen.picked(pattern):
        if piece.name not in owners:
            found.append(("'{}'".format(piece.name), outline.path))
    return found


def _between_nodes(chosen: Chosen) -> _Measured:
    if len(chosen.nodes) != 2:
        raise InputError(
            "{} node{} selected.".format(len(chosen.nodes), " is" if len(chosen.nodes) == 1 else "s are"),
            "Select the two between which you know the distance.",
            code="choice",
        )
    first, second = (np.array(node.point) for node in chosen.nodes)
    distance = float(np.hypot(*(first - second)))
    if distance < _SHORT:
        raise InputError("The two selected nodes are on one spot.", "Select two others.", code="choice")
    return _Measured("distance of the two nodes", distance)


def _size(name: str, path: Path) -> _Measured:
    bare = name.startswith("'")

    def called(kind: str) -> str:
        return "{} {}".format(kind, name) if bare else name

    if not path.closed:
        return _Measured(called("line" if is_line(path.curves).all() else "curve"), path_length(path))
    quad = as_quad(path)
    if quad is not None:
        return _Measured(called("square" if _alike(*quad.size) else "rectangle"), *quad.size)
    left, top, right, bottom = bounds(path)
    return _Measured(called("shape"), right - left, bottom - top)


def _alike(across: float, down: float) -> bool:
    return abs(math.log(across / down)) <= _SQUARE


# -- factors and words ------------------------------------------------------------------


def _factors(measured: _Measured, width: float, height: float) -> Tuple[float, float]:
    """What to multiply by, across and down."""
    said = "{} mm = {:.2f} mm".format(write_number(width), measured.across)
    across = checked_factor(width / measured.across, said)
    if not height:
        if measured.down and _alike(*measured[1:]) and abs(measured.across / measured.down - 1) > AMBER:
            raise InputError(
                "The {} measures {:.2f} mm across and {:.2f} mm down, so it is stretched.".format(*measured),
                "Say how high it really is as well; then both ways get a factor of their own.",
                code="scale-stretch",
            )
        return across, across
    if not measured.down:
        raise InputError(
            "The {} has one length only.".format(measured.what),
            "Leave the height at 0, or select a square.",
            code="choice",
        )
    down = checked_factor(
        height / measured.down, "{} mm = {:.2f} mm".format(write_number(height), measured.down)
    )
    if abs(across / down - 1) <= GREEN:
        across = down = math.sqrt(across * down)
    return across, down


def _compared(measured: _Measured, width: float, height: float) -> str:
    if measured.down and height:
        return "The {} measures {:.2f} x {:.2f} mm and should be {} x {} mm".format(
            *measured, write_number(width), write_number(height)
        )
    sense = " across" if measured.down else ""
    return "The {} measures {:.2f} mm{} and should be {} mm".format(
        measured.what, measured.across, sense, write_number(width)
    )


def _verdict(told: str, ratio: Tuple[float, float], hip: float) -> str:
    """How far off the drawing is, on a hip, and what usually does that."""
    worst = max(ratio, key=lambda one: abs(one - 1))
    if abs(worst - 1) <= GREEN:
        return "{}: the drawing is true to size; {}.".format(told, on_hip(worst, hip))
    off = percent(ratio[0])
    if ratio[0] != ratio[1]:
        off = "{} across, {} down".format(percent(ratio[0]), percent(ratio[1]))
    text = "{}: {}; {}.".format(told, off, on_hip(worst, hip))
    cause = usual_cause(ratio[0]) if ratio[0] == ratio[1] else ""
    return text + (" Usual cause: {}.".format(cause) if cause else "")


def _times(factors: Tuple[float, float]) -> str:
    across, down = (write_number(one, 7) for one in factors)
    if across == down:
        return "{} times as large".format(across)
    return "{} times as wide and {} times as high".format(across, down)


def _table(ratio: Tuple[float, float], hip: float) -> Table:
    rows = [("across", ratio[0]), ("down", ratio[1])] if ratio[0] != ratio[1] else [("both ways", ratio[0])]
    columns = ("", "drawn at", "factor", "on {} mm hip".format(write_number(hip, 6)))
    return Table(
        "Scale",
        columns,
        tuple(
            (
                name,
                "{:.3f} %".format(100 * one),
                write_number(1 / one, 7),
                signed(hip * (one - 1)),
            )
            for name, one in rows
        ),
        tuple(light(one) for _, one in rows),
    )


def _not_said(measured: Optional[_Measured]) -> InputError:
    if measured is None:
        return InputError(
            "No line is selected, and no length is known.",
            "Select a line whose true length you know and say it, or write both, such as 100mm=97.0.",
            code="scale-none",
        )
    return InputError(
        "The {} measures {:.2f} mm; it is not said what it should be.".format(measured.what, measured.across),
        "Say how long it really is.",
        code="scale-none",
    )


def _warnings(pattern: Pattern, after: Pattern) -> List[Finding]:
    """What a person should know who scales a pattern that is already worked on."""
    named = [piece.name for piece in pattern.pieces if piece.named]
    if not named:
        return []
    text = "Named pieces grew along: {}. Scaling is for a drawing that has the wrong size; to make a piece "
    text += "larger or smaller for a body, undo this and blend between sizes."
    found = [Finding("scale-named", Level.WARN, text.format(", ".join(named)))]
    for old, new in zip(pattern.pieces, after.pieces):
        if old.cut_lines and old.named:
            widths = ["{:.2f}".format(new.allowance[edge]) for edge in old.allowance]
            text = "The allowance of '{}' was scaled too{}. Put it on anew with the width you want.".format(
                old.name, ": it is {} mm now".format(", ".join(dict.fromkeys(widths))) if widths else ""
            )
            found.append(Finding("scale-allowance", Level.WARN, text, old.name))
    return found


# -- looking for test squares -----------------------------------------------------------


def _checked(pattern: Pattern, measured: Optional[_Measured], hip: float) -> Report:
    """What the lines without names prove, and how long the selected one is."""
    told = verdict(witnesses(as_printed(pattern)), hip)
    summary = told.sentence
    if measured is not None:
        size = "{:.2f}".format(measured.across) + (" x {:.2f}".format(measured.down) if measured.down else "")
        summary = "The {} measures {} mm. {}".format(measured.what, size, summary)
    tables = (told.table,) if told.table.rows else ()
    return Report(summary, told.findings, tables)
