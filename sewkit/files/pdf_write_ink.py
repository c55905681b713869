"""What is drawn, as the operators of a PDF's content stream (ISO 32000-1, 8.5 and 9.4).

Numbers are mm, y down: the page turns and scales them once for all.  What is on several
layers lies in one marked part within another, so that it is seen only where all are on.
"""

from typing import List, Mapping, Tuple

import numpy as np

from sewkit.files.pdf_write_objects import number_text
from sewkit.geometry.path import Path, is_line
from sewkit.paper.document import Drawn, Fill, Ink, Stroke, Words
from sewkit.paper.letter_widths import letters, text_width

# A printer may leave out a thinner line, or draw it as thin as it can (mm).
THINNEST = 0.1

PLAIN_FONT, BOLD_FONT = "F1", "F2"


def drawn_content(drawn: Drawn, layers: Mapping[str, str]) -> bytes:
    """The operators that draw it; ``layers``: what each layer is called in the file's resources.

    ``ValueError`` for a layer that the document does not have.
    """
    pen = _Pen(layers)
    for fill in drawn.fills:
        pen.fill(fill)
    for stroke in drawn.strokes:
        pen.stroke(stroke)
    for words in drawn.words:
        pen.words(words)
    return pen.end()


class _Pen:
    """Writes operators and says only what has changed since the last one."""

    def __init__(self, layers: Mapping[str, str]) -> None:
        self._known = layers
        self._parts: List[bytes] = []
        self._layers: Tuple[str, ...] = ()
        # What holds before anything is said (ISO 32000-1, table 52), but for the joins.
        self._said = {"pen": "0 G", "ink": "0 g", "width": "1 w", "dashes": "[] 0 d", "cap": "0 J"}

    def fill(self, one: Fill) -> None:
        self._on(one.layers)
        self._say("ink", _ink(one.ink, "g"))
        self._parts.append(path_text(one.path).encode("ascii") + b" f")

    def stroke(self, one: Stroke) -> None:
        self._on(one.layers)
        self._say("join", "1 j")
        self._say("pen", _ink(one.ink, "G"))
        self._say("width", number_text(max(one.width, THINNEST)) + " w")
        dashes = one.dashes if sum(one.dashes) > 0 else ()
        self._say("dashes", "[{}] 0 d".format(" ".join(number_text(dash) for dash in dashes)))
        # Ends are cut off straight, so that a line is as long as it is; a dash of no length is a dot.
        self._say("cap", "1 J" if dashes and min(dashes[::2]) <= 0 else "0 J")
        self._parts.append(path_text(one.path).encode("ascii") + b" S")

    def words(self, one: Words) -> None:
        said = letters(one.text)
        if not said.strip():
            return
        self._on(one.layers)
        self._say("ink", _ink(one.ink, "g"))
        x, y = one.along
        back = one.anchor * text_width(one.text, one.height, one.bold)
        place = (one.place[0] - back * x, one.place[1] - back * y)
        turned = " ".join(number_text(value, 6) for value in (x, y, y, -x))
        at = " ".join(number_text(value) for value in place)
        font = BOLD_FONT if one.bold else PLAIN_FONT
        head = "BT /{} {} Tf {} {} Tm (".format(font, number_text(one.height), turned, at)
        for sign in (b"\\", b"(", b")"):
            said = said.replace(sign, b"\\" + sign)
        self._parts.append(head.encode("ascii") + said + b") Tj ET")

    def end(self) -> bytes:
        self._on(())
        return b"\n".join(self._parts)

    def _say(self, what: str, text: str) -> None:
        if self._said.get(what) != text:
            self._said[what] = text
            self._parts.append(text.encode("ascii"))

    def _on(self, layers: Tuple[str, ...]) -> None:
        if layers == self._layers:
            return
        self._parts += [b"EMC"] * len(self._layers)
        for name in layers:
            if name not in self._known:
                raise ValueError("the document has no layer called {!r}".format(name))
            self._parts.append("/OC /{} BDC".format(self._known[name]).encode("ascii"))
        self._layers = layers


def _ink(ink: Ink, operator: str) -> str:
    """A colour; one without colour as a grey. ``operator``: g for areas, G for lines."""
    if ink[0] == ink[1] == ink[2]:
        return "{} {}".format(number_text(ink[0], 3), operator)
    rgb = "rg" if operator == "g" else "RG"
    return "{} {}".format(" ".join(number_text(part, 3) for part in ink), rgb)


def path_text(path: Path) -> str:
    """The operators that make a path, without those that paint it."""
    curves = path.curves
    if not len(curves):
        return ""
    straight = is_line(curves)
    parts = ["{} {} m".format(*map(number_text, curves[0, 0].tolist()))]
    last = len(curves) - 1
    for number, (curve, line) in enumerate(zip(curves.tolist(), straight.tolist())):
        if line and path.closed and number == last and last:
            continue  # closing draws it
        points = curve[3:] if line else curve[1:]
        said = " ".join(number_text(value) for point in points for value in point)
        parts.append(said + (" l" if line else " c"))
    return " ".join(parts) + (" h" if path.closed else "")


def extent(drawn: Drawn) -> Tuple[float, float, float, float]:
    """Left, top, right, bottom of all that is drawn (mm), rather more than less."""
    boxes = []
    for one in (*drawn.fills, *drawn.strokes):
        if len(one.path):
            points = one.path.curves.reshape(-1, 2)
            wide = max(getattr(one, "width", 0.0), THINNEST)
            boxes.append((points.min(axis=0) - wide, points.max(axis=0) + wide))
    for words in drawn.words:
        reach = text_width(words.text, words.height, words.bold) + 2 * words.height
        boxes.append((np.array(words.place) - reach, np.array(words.place) + reach))
    if not boxes:
        return 0.0, 0.0, 0.0, 0.0
    low, high = (np.array(side) for side in zip(*boxes))
    left, top = low.min(axis=0).tolist()
    right, bottom = high.max(axis=0).tolist()
    return left, top, right, bottom
