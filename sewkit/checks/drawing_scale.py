"""Is the drawing of a size that a pattern can have, and does a unit of it mean what it should?

A wrong page makes every line of a drawing too long by one factor, and then no piece looks wrong
beside another.  Only a line of known length proves the scale; this tells what is suspicious.
"""

import math
from typing import List, Sequence

import numpy as np

from sewkit.checks.drawn_sizes import drawn_sizes
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level
from sewkit.units import MILLIMETRES

# What one unit of a drawing usually is, by what it is called.
_USUAL = {
    "a millimetre": 1.0,
    "a pixel": MILLIMETRES["px"],
    "a point": MILLIMETRES["pt"],
    "a centimetre": 10.0,
    "an inch": 25.4,
}

# Two scales that differ by a smaller share are one (a ten-digit page on a ten metre sheet).
_SAME = 1e-5

# What is further off than this share from every usual unit is so on purpose.
_NEAR = 0.12

# The largest piece of a garment is at least, and its height at most, so large (mm): a baby's bib
# and a floor-length cloak.
_LEAST, _MOST = 60.0, 4000.0


def drawing_scale_findings(pattern: Pattern, sizes: Sequence[str], proven: bool = False) -> List[Finding]:
    """What is suspicious about the drawing's scale.

    Args:
        proven: whether a test square in the drawing says that it is right.
    """
    found: List[Finding] = []
    across, down = pattern.unit
    if not proven and abs(across / down - 1.0) > _SAME:
        text = "The drawing is stretched: one unit of it is {:.5g} mm wide and {:.5g} mm high."
        cure = "Check it with a square of known size: sewkit scale."
        found.append(Finding("scale-stretch", Level.WARN, text.format(across, down), cure=cure))
    elif not proven:
        found += _odd_unit(across)
    reach = [np.ptp(o.path.nodes, axis=0).max() for p, o, _ in drawn_sizes(pattern, sizes) if p.named]
    if reach and not _LEAST <= max(reach) <= _MOST:
        text = "The largest piece is {:.4g} mm; no garment is so {}."
        words = text.format(max(reach), "small" if max(reach) < _LEAST else "large")
        cure = "Check the scale with a line of known length: sewkit scale."
        found.append(Finding("scale-size", Level.FAIL, words, cure=cure))
    return found


def _odd_unit(unit: float) -> List[Finding]:
    """A unit that is nearly a usual one, and is not: the page was made larger or smaller."""
    name = min(_USUAL, key=lambda one: abs(math.log(unit / _USUAL[one])))
    ratio = unit / _USUAL[name]
    if abs(ratio - 1.0) <= _SAME or abs(ratio - 1.0) > _NEAR:
        return []
    text = (
        "One unit of the drawing is {:.5g} mm, nearly {} but {:.2f} % {}: was its page made {} without "
        "its content? A hip of 1000 mm comes out as {:.0f}."
    ).format(
        unit,
        name,
        abs(ratio - 1.0) * 100.0,
        "more" if ratio > 1 else "less",
        "larger" if ratio > 1 else "smaller",
        1000.0 * ratio,
    )
    cure = "Measure a line of known length: sewkit scale. If it is right, leave it so."
    return [Finding("scale-unit", Level.WARN, text, cure=cure)]
