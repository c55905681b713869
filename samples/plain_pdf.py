"""A PDF writer just large enough for the sample: lines, areas, words and layers.

Everything is in millimetres, y down, from the upper left corner of a page.  No date, no
chance: the same drawing gives the same bytes.  Syntax: ISO 32000-1.
"""

import math
import zlib
from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, is_line

POINT = 25.4 / 72.0  # mm

# Widths of Helvetica's letters in thousandths of its size, from the space (32) to the tilde.
_WIDTHS = (
    "278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 "
    "556 556 556 556 556 556 556 556 556 556 278 278 584 584 584 556 "
    "1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778 "
    "667 778 722 667 611 722 667 944 667 667 611 278 278 278 469 556 "
    "333 556 556 500 556 556 278 556 556 222 222 500 222 833 556 556 "
    "556 556 333 500 278 556 500 722 500 500 500 334 260 334 584"
)
WIDTHS = {chr(32 + at): int(width) / 1000.0 for at, width in enumerate(_WIDTHS.split())}


def text_width(words: str, size: float) -> float:
    """Length (mm) of words in Helvetica."""
    return size * sum(WIDTHS[letter] for letter in words)


class Page:
    """Collects what is drawn on one page.

    Args:
        width, height: mm.
        layers: names of all layers that may be used, in order.
    """

    def __init__(self, width: float, height: float, layers: Sequence[str]) -> None:
        self.width, self.height = width, height
        self._layers = list(layers)
        k = 1.0 / POINT
        self._words = ["q {:.9f} 0 0 {:.9f} 0 {:.9f} cm".format(k, -k, height * k)]

    def window(self, left: float, top: float, width: float, height: float) -> None:
        """From here on only what lies in this rectangle is seen, until ``whole`` is called."""
        self._words.append("q {} re W n".format(_numbers(left, top, width, height)))

    def whole(self) -> None:
        """All of the page can be seen again."""
        self._words.append("Q")

    def line(
        self,
        paths: Sequence[Path],
        width: float,
        dashes: Sequence[float] = (),
        phase: float = 0.0,
        grey: float = 0.0,
        layer: str = "",
    ) -> None:
        """Draw lines; ``phase`` is how far into the rhythm of dashes the first one begins (mm)."""
        pen = "{} w [{}] {} d {} G".format(
            _numbers(width), _numbers(*dashes), _numbers(phase), _numbers(grey)
        )
        self._put(pen + " " + " ".join(map(_outline, paths)) + " S", layer)

    def area(self, path: Path, grey: float = 0.0, layer: str = "") -> None:
        """Fill a closed path."""
        self._put("{} g {} f".format(_numbers(grey), _outline(path)), layer)

    def text(
        self,
        at: Tuple[float, float],
        words: str,
        size: float,
        anchor: str = "start",
        angle: float = 0.0,
        layer: str = "",
    ) -> None:
        """Write words on a baseline; ``angle`` in degrees clockwise, ``anchor`` as in an SVG."""
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * text_width(words, size)
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        # The page is upside down, so the letters are turned over once more.
        matrix = _numbers(c, s, s, -c, at[0] - c * back, at[1] - s * back)
        safe = words.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")
        self._put("0 g BT /F {} Tf {} Tm ({}) Tj ET".format(_numbers(size), matrix, safe), layer)

    def content(self) -> bytes:
        """The finished content stream."""
        return ("\n".join(self._words) + "\nQ\n").encode("latin-1")

    def _put(self, words: str, layer: str) -> None:
        if layer:
            words = "/OC /L{} BDC {} EMC".format(self._layers.index(layer), words)
        self._words.append(words)


def book(pages: Sequence[Page], layers: Sequence[str], title: str) -> bytes:
    """The bytes of the PDF."""
    objects: Dict[int, bytes] = {}
    first_layer, font = 4, 4 + len(layers)
    groups = ["{} 0 R".format(first_layer + at) for at in range(len(layers))]
    order = "[{}]".format(" ".join(groups))
    numbers = [font + 1 + 2 * at for at in range(len(pages))]
    objects[1] = (
        "<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> "
        "/OCProperties << /OCGs {0} /D << /Order {0} >> >> >>".format(order)
    ).encode()
    kids = " ".join("{} 0 R".format(number) for number in numbers)
    named = " ".join("/L{} {}".format(at, group) for at, group in enumerate(groups))
    objects[2] = (
        "<< /Type /Pages /Kids [{}] /Count {} /Resources << /Font << /F {} 0 R >> "
        "/Properties << {} >> >> >>".format(kids, len(pages), font, named)
    ).encode()
    objects[3] = "<< /Title ({}) >>".format(title).encode("latin-1")
    for at, name in enumerate(layers):
        objects[first_layer + at] = "<< /Type /OCG /Name ({}) >>".format(name).encode("latin-1")
    objects[font] = b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>"
    for number, page in zip(numbers, pages):
        size = _numbers(page.width / POINT, page.height / POINT)
        objects[number] = (
            "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {}] /Contents {} 0 R >>".format(size, number + 1)
        ).encode()
        packed = zlib.compress(page.content(), 9)
        head = "<< /Length {} /Filter /FlateDecode >>\nstream\n".format(len(packed)).encode()
        objects[number + 1] = head + packed + b"\nendstream"
    return _file([objects[number] for number in sorted(objects)])


def _file(objects: Sequence[bytes]) -> bytes:
    """Objects, then the table that says where each begins."""
    parts, places = [b"%PDF-1.5\n%\xe2\xe3\xcf\xd3\n"], []
    for number, content in enumerate(objects, 1):
        places.append(sum(map(len, parts)))
        parts.append(b"%d 0 obj\n%s\nendobj\n" % (number, content))
    at = sum(map(len, parts))
    table = "xref\n0 {}\n0000000000 65535 f \n".format(len(objects) + 1)
    table += "".join("{:010d} 00000 n \n".format(place) for place in places)
    table += "trailer\n<< /Size {} /Root 1 0 R /Info 3 0 R >>\n".format(len(objects) + 1)
    return b"".join(parts) + (table + "startxref\n{}\n%%EOF\n".format(at)).encode()


def _outline(path: Path) -> str:
    words: List[str] = [_numbers(*path.start) + " m"]
    for number, (curve, straight) in enumerate(zip(path.curves, is_line(path.curves))):
        if not straight:
            words.append(_numbers(*curve[1:].reshape(-1)) + " c")
        elif not (path.closed and number == len(path) - 1):
            words.append(_numbers(*curve[3]) + " l")
    return " ".join(words + (["h"] if path.closed else []))


def _numbers(*values: float) -> str:
    """Numbers as PDF writes them: a thousandth is fine enough for millimetres and points."""
    words = ("{:.3f}".format(float(np.round(value, 3)) + 0.0) for value in values)
    return " ".join(word.rstrip("0").rstrip(".") for word in words)
