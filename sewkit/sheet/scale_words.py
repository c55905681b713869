"""How a scale is told: lengths as makers write them, causes of usual faults, errors on a hip."""

from typing import Tuple

from sewkit.sheet.witness import BAR, PAPER, RULER, SQUARE, Witness
from sewkit.units import write_number

# A usual fault is recognised within this (share); a page that was fitted to another only
# within the second, because the margins of printers differ.
_EXACT, _FITTED = 5e-4, 1.5e-3

# Drawn size divided by true size, and what does that.  Units: exact ratios of 72, 90 and
# 96 units to the inch, and of the inch; paper: the sides of A4 and Letter.
_USUAL: Tuple[Tuple[float, float, str], ...] = (
    (72 / 96, _EXACT, "a program took pixels (1/96 in) for points (1/72 in), or the other way about"),
    (96 / 72, _EXACT, "a program took pixels (1/96 in) for points (1/72 in), or the other way about"),
    (90 / 96, _EXACT, "it was drawn at 90 units to the inch and opened at 96"),
    (96 / 90, _EXACT, "it was drawn at 96 units to the inch and opened at 90"),
    (72 / 90, _EXACT, "it was drawn at 72 units to the inch and opened at 90"),
    (90 / 72, _EXACT, "it was drawn at 90 units to the inch and opened at 72"),
    (25.4, _EXACT, "millimetres were taken for inches"),
    (1 / 25.4, _EXACT, "inches were taken for millimetres"),
    (2.54, _EXACT, "centimetres were taken for inches"),
    (1 / 2.54, _EXACT, "inches were taken for centimetres"),
    (10.0, _EXACT, "millimetres were taken for centimetres"),
    (0.1, _EXACT, "centimetres were taken for millimetres"),
    (0.5, _EXACT, "the page has a unit of its own (UserUnit 2) that a program passed over"),
    (2.0, _EXACT, "the page's own unit (UserUnit) was counted twice"),
    (279.4 / 297, _FITTED, "an A4 page was fitted to Letter paper"),
    (297 / 279.4, _FITTED, "a Letter page was stretched to the height of A4"),
    (210 / 215.9, _FITTED, "a Letter page was fitted to A4 paper"),
    (215.9 / 210, _FITTED, "an A4 page was stretched to the width of Letter"),
)
# "Fit to page" with the margins of common printers (from the trade's own reports), and what
# a converter was seen to do that shrinks pages to keep a margin.
_FIT = (0.90, 0.985)
_SHRUNK = (0.9985, 0.9999)


def usual_cause(ratio: float) -> str:
    """What usually makes drawings this many times too large, in words; empty where unknown.

    >>> usual_cause(0.9375)
    'it was drawn at 90 units to the inch and opened at 96'
    """
    near = [
        (abs(ratio / known - 1), cause) for known, reach, cause in _USUAL if abs(ratio / known - 1) < reach
    ]
    if near:
        return min(near)[1]
    if _FIT[0] <= ratio <= _FIT[1]:
        return 'a printer that was set to "fit to page" or "shrink to printable area"'
    return "some programs shrink a page by that much when they write it" if _in(ratio, _SHRUNK) else ""


def _in(ratio: float, limits: Tuple[float, float]) -> bool:
    return limits[0] <= ratio <= limits[1]


def length_words(mm: float) -> str:
    """A length as makers of patterns write it: whole inches as inches, else cm or mm.

    >>> length_words(101.6), length_words(100.0), length_words(25.0)
    ('4 in', '10 cm', '25 mm')
    """
    eighths = mm / 25.4 * 8
    if abs(eighths - round(eighths)) < 1e-6 and eighths >= 1:
        return "{} in".format(write_number(mm / 25.4, 6))
    if mm >= 10 and abs(mm / 10 - round(mm / 10)) < 1e-6 and (mm % 50 == 0 or mm < 100):
        return "{} cm".format(write_number(mm / 10, 6))
    return "{} mm".format(write_number(mm, 6))


def called(witness: Witness, with_page: bool = True) -> str:
    """A witness by its size, kind and page: "10 cm square on page 1"."""
    across, down = witness.nominal
    if witness.kind == PAPER:
        text = "size of the paper"
    elif witness.kind == SQUARE and across != down:
        text = "rectangle of {} x {}".format(length_words(across), length_words(down))
    else:
        text = "{} {}".format(length_words(witness.length), witness.kind)
    return text + (" on page {}".format(witness.page) if with_page else "")


def measures(witness: Witness) -> str:
    """What a witness measures: "99.65 x 99.65 mm", "152.40 mm"."""
    across, down = witness.measured
    if witness.kind in (RULER, BAR):
        return "{:.2f} mm".format(max(across, down))
    return "{:.2f} x {:.2f} mm".format(across, down)


def on_hip(ratio: float, hip: float) -> str:
    """The error in words: "a hip of 1000 mm would come out 30.0 mm too small".

    What is drawn at 97 % comes out at 97 %, so the error is hip * (1 - 0.97).
    """
    off = hip * (ratio - 1.0)
    if abs(off) < 0.05:
        return "a hip of {} mm comes out right to 0.1 mm".format(write_number(hip, 6))
    return "a hip of {} mm would come out {:.1f} mm too {}".format(
        write_number(hip, 6), abs(off), "large" if off > 0 else "small"
    )


def signed(mm: float) -> str:
    """An error with its sign, and none where it is nothing: "+3.2 mm", "0.0 mm".

    >>> signed(3.21), signed(-0.04)
    ('+3.2 mm', '0.0 mm')
    """
    return "0.0 mm" if abs(mm) < 0.05 else "{:+.1f} mm".format(mm)


def percent(ratio: float) -> str:
    """How far off: "3.00 % too small"."""
    off = 100 * (ratio - 1)
    if abs(off) < 0.005:
        return "exact"
    return "{:.2f} % too {}".format(abs(off), "large" if off > 0 else "small")
