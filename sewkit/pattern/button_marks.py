"""Buttons and buttonholes as they are drawn, and how large they are.

A horizontal hole begins 3 mm past the centre line, toward the edge, for there the button pulls; a
vertical one lies on the line, and the button sits 3 mm below its upper end (common practice).
"""

import re

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path, lines
from sewkit.pattern.faint import ring
from sewkit.units import parse_length

# A ligne, the measure of buttons: 40 of them are an inch (mm).
LIGNE = 25.4 / 40.0

# A hole begins so far past the place of the button (mm), and a worked one is so much longer.
PAST, WORKED = 3.0, 3.0

# Half the bar at each end of a drawn hole (mm).
_BAR = 2.0

HORIZONTAL, VERTICAL = "horizontal", "vertical"

_LIGNES = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:L|ligne|lignes)", re.I)

# No button is smaller or larger (mm).
_LEAST, _MOST = 4.0, 80.0


def diameter_of(words: str, unit: str = "mm") -> float:
    """A diameter (mm) from words: 20, 2cm, 5/8in, or in lignes: 24L.  ``InputError``."""
    found = _LIGNES.fullmatch(words.strip())
    size = float(found.group(1).replace(",", ".")) * LIGNE if found else parse_length(words, unit)
    if not _LEAST <= size <= _MOST:
        raise InputError(
            "A button of {:g} mm is no usual one.".format(round(size, 2)),
            "Give its diameter, {:g} to {:g} mm, or in lignes such as 24L.".format(_LEAST, _MOST),
            code="value",
        )
    return size


def hole_length(diameter: float, thickness: float, worked: bool) -> float:
    """How long a buttonhole is (mm): diameter and thickness, and 3 mm more where it is worked."""
    return diameter + thickness + (WORKED if worked else 0.0)


def button(spot: np.ndarray, diameter: float) -> Path:
    """A circle of the button's size (mm) with a cross in it, about a point (2,)."""
    half = diameter / 2.0
    ends = half * np.array([[1.0, 0.0], [0.0, 1.0]])
    cross = lines(spot - ends, spot + ends)
    return Path(np.concatenate([ring(spot, half).curves, cross]))


def hole(spot: np.ndarray, toward: np.ndarray, down: np.ndarray, length: float, way: str) -> Path:
    """A buttonhole so long (mm) for a button at a point (2,): its line, then a bar at each end.

    Args:
        toward: unit direction (2,) across the centre line, to the edge; ``down``: along it.
    """
    along = -toward if way == HORIZONTAL else down
    aside = np.array([-along[1], along[0]])
    start = spot - PAST * along
    end = start + length * along
    tips = np.array([start, start - _BAR * aside, end - _BAR * aside])
    stops = np.array([end, start + _BAR * aside, end + _BAR * aside])
    return Path(lines(tips, stops))
