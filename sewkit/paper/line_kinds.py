"""How each kind of line looks, so that it can be told in grey, by any eyes, and on a poor print.

Cut lines are strong, stitch lines fine (the trade's custom: solid to cut, broken to stitch).  In
a nest every size has dashes of its own, and its neighbours another ink of another lightness.
"""

from typing import Dict, NamedTuple, Tuple

from sewkit.errors import InputError
from sewkit.paper.document import BLACK, Ink
from sewkit.pattern.mark import DART, GATHER, INNER, LENGTHEN, LEVEL
from sewkit.units import parse_length, write_number

BOTH, SEAM, CUT = "both", "seam", "cut"

# Widths of a stitch line by name (mm), and the limits of one that is given: what a printer at
# 600 dots an inch can draw evenly, and what would hide a seam of 3 mm.
WEIGHTS = {"fine": 0.2, "normal": 0.35, "strong": 0.6}
_THINNEST, _THICKEST = 0.1, 3.0

# A cut line is so many times as wide as a stitch line, a mark so many times.
CUT_WIDTH, MARK_WIDTH = 1.5, 0.7

# The dashes of a stitch line where there are no sizes to tell apart (mm).
STITCHED = (4.0, 1.5)

# The dashes of the sizes of a nest (mm); then they begin again, in another ink.
FAMILIES: Tuple[Tuple[float, ...], ...] = (
    (),
    (8.0, 2.0),
    (3.0, 1.5),
    (8.0, 1.5, 1.0, 1.5),
    (1.0, 1.5),
    (12.0, 1.5, 3.0, 1.5),
    (8.0, 1.3, 1.0, 1.3, 1.0, 1.3),
    (3.0, 1.3, 3.0, 1.3, 1.0, 1.3),
)

# Dark inks of four lightnesses (L* about 0, 45, 25, 35).
INKS: Tuple[Ink, ...] = (BLACK, (0.42, 0.42, 0.42), (0.0, 0.2, 0.5), (0.6, 0.22, 0.0))

# Furniture of the page is lighter than any line of the pattern.
GREY: Ink = (0.45, 0.45, 0.45)
PALE: Ink = (0.78, 0.78, 0.78)


# Dashes of marks by kind (mm): a level and a line to lengthen at are no lines to sew, and a line on the
# piece has more gap than dash, so that nobody takes it for a seam line.
DASHES: Dict[str, Tuple[float, ...]] = {
    LEVEL: (6.0, 1.5, 1.0, 1.5),
    LENGTHEN: (10.0, 2.0),
    DART: (4.0, 1.5),
    INNER: (1.2, 2.4),
    GATHER: (1.0, 1.0),
}


class Kind(NamedTuple):
    """How a line is drawn: width and dashes (mm), ink."""

    width: float
    dashes: Tuple[float, ...] = ()
    ink: Ink = BLACK


def size_layer(size: str) -> str:
    """The layer's name: "Size 3"; a person's own line has its own name."""
    return "Size {}".format(size) if size[:1].isdigit() or (size.isalpha() and len(size) < 4) else size


def weight_named(text: str) -> float:
    """The width of a stitch line (mm) by its name or as a length; ``InputError`` for any other."""
    name = text.strip().lower()
    width = WEIGHTS.get(name)
    if width is None:
        try:
            width = parse_length(name) if name else WEIGHTS["normal"]
        except InputError as error:
            raise InputError(
                "'{}' is no line weight.".format(text.strip()),
                "Take {} or a width such as 0.35mm.".format(", ".join(WEIGHTS)),
                code="value",
            ) from error
    if not _THINNEST <= width <= _THICKEST:
        raise InputError(
            "A line of {} mm cannot be printed well.".format(write_number(width)),
            "Take {} or a width from {} to {} mm.".format(
                ", ".join(WEIGHTS), write_number(_THINNEST), write_number(_THICKEST)
            ),
            code="value",
        )
    return width


def line_kind(what: str, number: int, of: int, weight: float) -> Kind:
    """How a seam or cut line looks.

    Args:
        what: ``SEAM`` or ``CUT``.
        number: of its size among those printed, from 0; ``of``: how many there are.
        weight: of a stitch line (mm).
    """
    width = weight * (CUT_WIDTH if what == CUT else 1.0)
    if of <= 1:
        return Kind(width, STITCHED if what == SEAM else ())
    turn = number // len(FAMILIES)
    width *= 1 + turn // 2  # beyond sixteen sizes every look has been twice
    return Kind(width, FAMILIES[number % len(FAMILIES)], INKS[(number + turn) % len(INKS)])
