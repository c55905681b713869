"""Path text, the ``d`` of a drawing, to arrays of cubics and back.

Reads every command of SVG 1.1 (M L H V C S Q T A Z, relative too).  Quadratics become
cubics exactly; arcs become cubics to about 1e-6 of their radius (formulas: SVG 1.1,
appendix F.6).  Writes M, L, C and Z with ten significant digits.
"""

import math
import re
from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path, is_line
from sewkit.units import write_number

_TOKEN = re.compile(r"[MmLlHhVvCcSsQqTtAaZz]|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_SEPARATORS = re.compile(r"[\s,]*")
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}

# An explicit way back to the start nearer than this part of the drawing's numbers is the
# same node: editors write eight digits.
_RETURN = 1e-7


class SubPath(NamedTuple):
    """One run of a ``d`` text in its own units.

    ``arcs``: it held an arc command, whose nodes an editor counts in its own way.
    """

    path: Path
    arcs: bool


def parse_d(text: str) -> List[SubPath]:
    """All runs with at least one curve; ``InputError`` for text that is no path."""
    reader = _Reader(text)
    reader.run()
    return reader.found


def write_d(path: Path) -> str:
    """The text for a path; a curve that does not begin where the last ended starts anew."""
    if not len(path):
        return ""
    straight = is_line(path.curves)
    words: List[str] = []
    last = None
    for number, curve in enumerate(path.curves):
        if last is None or not np.array_equal(curve[0], last):
            words.append("M " + _pair(curve[0]))
        closing = path.closed and number == len(path) - 1
        if straight[number]:
            if not closing:
                words.append("L " + _pair(curve[3]))
        else:
            words.append("C " + " ".join(_pair(point) for point in curve[1:]))
        last = curve[3]
    if path.closed:
        words.append("Z")
    return " ".join(words)


def _pair(point: np.ndarray) -> str:
    return "{},{}".format(write_number(point[0]), write_number(point[1]))


def _tokens(text: str) -> List[str]:
    found, at = [], _SEPARATORS.match(text).end()
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            raise InputError(
                "The line's path data cannot be read near '{}'.".format(text[at : at + 12]),
                "Draw it again, or undo the last change to it.",
                code="path-data",
            )
        # Arc flags may stand together without a blank ("0 01 5"): split where flags are due.
        found.append(match.group())
        at = _SEPARATORS.match(text, match.end()).end()
    return found


class _Reader:
    """Walks the tokens once; keeps the pen, the start of the run and the last handle."""

    def __init__(self, text: str) -> None:
        self.tokens = _tokens(text)
        self.found: List[SubPath] = []
        self.curves: List[Sequence[Tuple[float, float]]] = []
        self.arcs = False
        self.pen = (0.0, 0.0)
        self.start = (0.0, 0.0)
        self.handle = (0.0, 0.0)
        self.handle_of = ""

    def run(self) -> None:
        at, command = 0, ""
        while at < len(self.tokens):
            if self.tokens[at].isalpha():
                command, at = self.tokens[at], at + 1
                if not self.found and not self.curves and at == 1 and command not in "Mm":
                    raise InputError("The line's path data does not start with a move.", code="path-data")
            elif command.upper() in ("", "Z"):
                raise InputError("The line's path data has a number out of place.", code="path-data")
            count = _COUNTS[command.upper()]
            if command.upper() == "A":
                self._split_flags(at)
            words = self.tokens[at : at + count]
            if len(words) < count or any(word.isalpha() for word in words):
                raise InputError("The line's path data breaks off.", code="path-data")
            at += count
            self._do(command, [float(word) for word in words])
            if command in "Mm":
                command = "L" if command == "M" else "l"
        self._end(closed=False)

    def _split_flags(self, at: int) -> None:
        """Flags of an arc are one digit each and may run together with what follows."""
        for place in (at + 3, at + 4):
            if place < len(self.tokens):
                word = self.tokens[place]
                if len(word) > 1 and word[0] in "01":
                    self.tokens[place : place + 1] = [word[0], word[1:]]

    def _do(self, command: str, v: List[float]) -> None:
        if not all(math.isfinite(x) for x in v):
            raise InputError("The line's path data has a number without end.", code="path-data")
        x0, y0 = self.pen
        dx, dy = (x0, y0) if command.islower() else (0.0, 0.0)
        name = command.upper()
        if name == "Z":
            self._end(closed=True)
            return
        if name == "H":
            points = [(v[0] + dx, y0)]
        elif name == "V":
            points = [(x0, v[0] + dy)]
        elif name == "A":
            points = [(v[5] + dx, v[6] + dy)]
        else:
            points = [(v[i] + dx, v[i + 1] + dy) for i in range(0, len(v), 2)]
        if name == "M":
            self._end(closed=False)
            self.start = points[0]
        elif name == "A":
            self.arcs = True
            for curve in arc_curves(self.pen, points[0], v[0], v[1], v[2], v[3] != 0, v[4] != 0):
                self.curves.append(curve)
        else:
            self.curves.append(self._curve(name, points))
        self.pen = points[-1]
        if name not in "CSQT":
            self.handle_of = ""

    def _curve(self, name: str, points: List[Tuple[float, float]]) -> List[Tuple[float, float]]:
        p, end = self.pen, points[-1]
        if name in "LHV":
            return [p, _mix(p, end, 1 / 3), _mix(p, end, 2 / 3), end]
        if name in "ST":
            family = "CS" if name == "S" else "QT"
            mirrored = (2 * p[0] - self.handle[0], 2 * p[1] - self.handle[1])
            points = [mirrored if self.handle_of in tuple(family) else p] + points
        self.handle, self.handle_of = points[-2], name
        if name in "QT":
            return [p, _mix(p, points[0], 2 / 3), _mix(end, points[0], 2 / 3), end]
        return [p, points[0], points[1], end]

    def _end(self, closed: bool) -> None:
        if self.curves:
            size = max(abs(x) for curve in self.curves for p in curve for x in p)
            gap = math.hypot(self.pen[0] - self.start[0], self.pen[1] - self.start[1])
            curves = np.array(self.curves, dtype=np.float64)
            if closed and gap <= _RETURN * max(size, 1e-300):
                curves[-1, 3] = curves[0, 0]
            elif closed:
                back = [self.pen, _mix(self.pen, self.start, 1 / 3), _mix(self.pen, self.start, 2 / 3), self.start]
                curves = np.concatenate([curves, np.array([back])])
            self.found.append(SubPath(Path(curves, closed), self.arcs))
        if closed:
            self.pen = self.start
        else:
            self.start = self.pen
        self.curves, self.arcs, self.handle_of = [], False, ""


def _mix(p: Tuple[float, float], q: Tuple[float, float], share: float) -> Tuple[float, float]:
    return (p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share)


def arc_curves(
    start: Tuple[float, float],
    end: Tuple[float, float],
    rx: float,
    ry: float,
    rotation: float,
    large: bool,
    sweep: bool,
) -> List[List[Tuple[float, float]]]:
    """Cubics for an elliptical arc, one a quarter turn at most (SVG 1.1, F.6.5)."""
    rx, ry = abs(rx), abs(ry)
    if start == end:
        return []
    if rx == 0 or ry == 0:
        return [[start, _mix(start, end, 1 / 3), _mix(start, end, 2 / 3), end]]
    cos, sin = math.cos(math.radians(rotation)), math.sin(math.radians(rotation))
    hx, hy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = cos * hx + sin * hy, -sin * hx + cos * hy
    grow = math.sqrt(max((x / rx) ** 2 + (y / ry) ** 2, 1.0))
    rx, ry = rx * grow, ry * grow
    under = max((rx * ry) ** 2 - (rx * y) ** 2 - (ry * x) ** 2, 0.0)
    root = math.sqrt(under / ((rx * y) ** 2 + (ry * x) ** 2)) * (-1 if large == sweep else 1)
    ux, uy = root * rx * y / ry, -root * ry * x / rx
    cx = cos * ux - sin * uy + (start[0] + end[0]) / 2
    cy = sin * ux + cos * uy + (start[1] + end[1]) / 2
    first = math.atan2((y - uy) / ry, (x - ux) / rx)
    last = math.atan2((-y - uy) / ry, (-x - ux) / rx)
    whole = last - first
    if sweep and whole < 0:
        whole += 2 * math.pi
    elif not sweep and whole > 0:
        whole -= 2 * math.pi
    count = max(1, int(math.ceil(abs(whole) / (math.pi / 2) - 1e-9)))
    step = whole / count
    k = 4.0 / 3.0 * math.tan(step / 4)
    curves = []
    for i in range(count):
        a, b = first + i * step, first + (i + 1) * step
        unit = [
            (math.cos(a), math.sin(a)),
            (math.cos(a) - k * math.sin(a), math.sin(a) + k * math.cos(a)),
            (math.cos(b) + k * math.sin(b), math.sin(b) - k * math.cos(b)),
            (math.cos(b), math.sin(b)),
        ]
        curves.append([(cx + cos * rx * u - sin * ry * w, cy + sin * rx * u + cos * ry * w) for u, w in unit])
    curves[0][0], curves[-1][3] = start, end
    return curves
