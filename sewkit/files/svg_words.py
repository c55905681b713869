"""Where the words of a drawing stand on the sheet, so that new ones are not written over them.

How wide letters are only a font can tell; they are taken as wide as the usual ones without
serifs are at most.
"""

import re
from typing import Any, Iterator, List, Optional, Tuple

import numpy as np

from sewkit.files.svg_frame import to_sheet
from sewkit.files.svg_names import drawn, hidden, own, tag
from sewkit.geometry.path import Path
from sewkit.pattern.label_legend import LABEL_NAME
from sewkit.pattern.label_room import SQUARE

# A letter is about so wide, in heights of the letters.
_LETTER = 0.62

# So many lines over one word are enough, however high its letters are.
_MOST = 400

# Letters where no style says how high they are, as every browser has them.
_USUAL_HEIGHT = 16.0

_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_UNITS = {"px": 1.0, "": 1.0, "pt": 4.0 / 3.0, "mm": 96.0 / 25.4, "cm": 960.0 / 25.4, "in": 96.0}


def lines_through_words(root: Any) -> Tuple[Path, ...]:
    """Lines (mm) that lie so close over every word of a drawing that nothing stands between them.

    Labels of ours are left out: they are written anew.
    """
    found: List[Path] = []
    for element in drawn(root):
        if tag(element) == "text" and not hidden(element) and own(element, "name") != LABEL_NAME:
            frame = to_sheet(element)
            for box in _boxes(element):
                corners = frame.points(box)
                if not np.isfinite(corners).all():
                    continue
                up = corners[2] - corners[1]
                steps = min(int(np.ceil(np.hypot(*up) / SQUARE)) + 1, _MOST)
                shares = np.linspace(0.0, 1.0, steps)
                found += [Path.through(corners[:2] + share * up) for share in shares]
    return tuple(line for line in found if len(line))


def _boxes(element: Any) -> Iterator[np.ndarray]:
    """Of each line of a text: the ends of its foot and the end of its top (3, 2), in its own units."""
    height, anchor = letter_height(element), styled(element, "text-anchor") or "start"
    x, y = first_number(element, "x") or 0.0, first_number(element, "y") or 0.0
    for words, part in [
        (element.text, element),
        *((child.text, child) for child in element.iter() if tag(child) == "tspan"),
    ]:
        if part is not element:
            at = first_number(part, "x"), first_number(part, "y")
            x = at[0] if at[0] is not None else x
            y = at[1] if at[1] is not None else y + height * (1.3 if part.get("dy") else 0.0)
        length = len((words or "").strip()) * _LETTER * height
        if length:
            left = x - length * {"middle": 0.5, "end": 1.0}.get(anchor, 0.0)
            yield np.array([[left, y], [left + length, y], [left + length, y - height]])


def letter_height(element: Any) -> float:
    """How high the letters of a text are, in its own units."""
    text = (styled(element, "font-size") or "").strip()
    match = _NUMBER.match(text)
    if match is None:
        return _USUAL_HEIGHT
    return float(match.group()) * _UNITS.get(text[match.end() :].strip(), 1.0)


def styled(element: Any, name: str) -> Optional[str]:
    """What an element's style, or that of a group around it, says of a property."""
    for one in (element, *element.iterancestors()):
        for part in (one.get("style") or "").split(";"):
            key, _, value = part.partition(":")
            if key.strip() == name:
                return value.strip()
        if one.get(name):
            return one.get(name)
    return None


def first_number(element: Any, name: str) -> Optional[float]:
    """The first number of a list that an element has by a name; None where it has none."""
    match = _NUMBER.match((element.get(name) or "").strip())
    return None if match is None else float(match.group())
