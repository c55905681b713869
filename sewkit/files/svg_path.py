"""Path text, the ``d`` of a drawing, to arrays of cubics and back.

Reads every command of SVG 1.1 (M L H V C S Q T A Z, relative too).  Quadratics become
cubics exactly; arcs become cubics to 5e-6 of their radius (formulas: SVG 1.1, appendix
F.6).  Writes M, L, C and Z with ten significant digits.
"""

import math
import re
from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path, is_line, lines
from sewkit.units import write_number

_TOKEN = re.compile(r"[MmLlHhVvCcSsQqTtAaZz]|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_SEPARATORS = re.compile(r"[\s,]*")
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}

# An explicit way back to the start nearer than this part of the drawing's numbers is the
# same node: editors write eight digits.
_RETURN = 1e-7

# Numbers beyond this are damage: float64 then holds no hundredth of anything.
_MOST = 1e12

# An arc of this angle as one cubic strays 4e-6 of its radius from the circle: 0.004 mm on
# a skirt of one metre.  A quarter turn would stray 3e-4 of it.
_ARC_STEP = math.pi / 4

# Radii and arcs below this are none: their squares would leave the floats' range.
_NOTHING = 1e-12

# Numbers nearer to a whole one than this part of the largest beside them are that whole one:
# turning there and back leaves some 1e-16 of it a step, and 1e-12 of a sheet of ten metres
# is a hundred-thousandth of a micrometre.
_NOISE = 1e-12

_Point = Tuple[float, float]


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
    straight, drawn = is_line(path.curves), without_noise(path.curves)
    gaps = np.abs(path.curves[1:, 0] - path.curves[:-1, 3]).max(axis=1)
    anew = np.concatenate([[True], gaps > _RETURN * np.abs(path.curves).max()])
    words: List[str] = []
    for number, curve in enumerate(drawn):
        if anew[number]:
            words.append("M " + _pair(curve[0]))
        if not straight[number]:
            words.append("C " + " ".join(_pair(point) for point in curve[1:]))
        elif not path.closed or number < len(path) - 1:
            words.append("L " + _pair(curve[3]))
    return " ".join(words + ["Z"] if path.closed else words)


def without_noise(values: np.ndarray) -> np.ndarray:
    """Numbers that belong together, rid of what rounding left: 2e-14 is 0, 0.9999999999998 is 1."""
    values = np.asarray(values, np.float64)
    whole = np.round(values)
    return np.where(np.abs(values - whole) <= _NOISE * np.abs(values).max(initial=0.0), whole, values)


def with_ends(curve: np.ndarray, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """A curve ``(4, 2)`` moved a little to new ends; a straight line stays one."""
    if is_line(curve[None])[0]:
        return lines(start[None], end[None])[0]
    return np.array([start, curve[1] + (start - curve[0]), curve[2] + (end - curve[3]), end])


def _pair(point: np.ndarray) -> str:
    return "{},{}".format(write_number(point[0]), write_number(point[1]))


def _tokens(text: str) -> List[str]:
    found, at = [], _SEPARATORS.match(text).end()
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            raise _damaged("cannot be read near '{}'".format(text[at : at + 12]))
        found.append(match.group())
        at = _SEPARATORS.match(text, match.end()).end()
    return found


def _damaged(what: str) -> InputError:
    return InputError(
        "The line's path data {}.".format(what),
        "Draw it again, or undo the last change to it.",
        code="path-data",
    )


class _Reader:
    """Walks the tokens once; keeps the pen, the start of the run and the last handle."""

    def __init__(self, text: str) -> None:
        self.tokens = _tokens(text)
        self.found: List[SubPath] = []
        self.curves: List[Sequence[_Point]] = []
        self.arcs = False
        self.pen = (0.0, 0.0)
        self.start = (0.0, 0.0)
        self.handle = (0.0, 0.0)
        self.handle_of = ""

    def run(self) -> None:
        """Do all commands; ``InputError`` at the first that makes no sense."""
        at, command = 0, ""
        if self.tokens and self.tokens[0] not in "Mm":
            raise _damaged("does not start with a move")
        while at < len(self.tokens):
            if self.tokens[at].isalpha():
                command, at = self.tokens[at], at + 1
            elif command in "Zz":
                raise _damaged("has a number out of place")
            if command in "Aa":
                self._split_flags(at)
            count = _COUNTS[command.upper()]
            words = self.tokens[at : at + count]
            if len(words) < count or any(word.isalpha() for word in words):
                raise _damaged("breaks off")
            at += count
            self._do(command, [float(word) for word in words])
            if command in "Mm":
                command = "L" if command == "M" else "l"
        self._end(closed=False)

    def _split_flags(self, at: int) -> None:
        """Flags of an arc are one digit each and may run together with what follows."""
        for place in (at + 3, at + 4):
            word = self.tokens[place] if place < len(self.tokens) else "M"
            if word.isalpha():
                raise _damaged("breaks off")
            if word[0] not in "01":
                raise _damaged("has an arc with the flag '{}'".format(word))
            self.tokens[place : place + 1] = [word[0]] + _tokens(word[1:])

    def _do(self, command: str, v: List[float]) -> None:
        name = command.upper()
        if name == "Z":
            self._end(closed=True)
            return
        points = self._points(command, v)
        if not all(abs(x) <= _MOST for x in v + [x for p in points for x in p]):
            raise _damaged("has a number without end")
        if name == "M":
            self._end(closed=False)
            self.start = points[0]
        elif name == "A":
            self.arcs = True
            self.curves += arc_curves(self.pen, points[0], v[0], v[1], v[2], v[3] != 0, v[4] != 0)
        else:
            self.curves.append(self._curve(name, points))
        self.pen = points[-1]
        if name not in "CSQT":
            self.handle_of = ""

    def _points(self, command: str, v: List[float]) -> List[_Point]:
        """The points of a command's numbers, absolute."""
        x0, y0 = self.pen
        dx, dy = (x0, y0) if command.islower() else (0.0, 0.0)
        name = command.upper()
        if name == "H":
            return [(v[0] + dx, y0)]
        if name == "V":
            return [(x0, v[0] + dy)]
        if name == "A":
            v = v[5:]
        return [(v[i] + dx, v[i + 1] + dy) for i in range(0, len(v), 2)]

    def _curve(self, name: str, points: List[_Point]) -> List[_Point]:
        p, end = self.pen, points[-1]
        if name in "LHV":
            return [p, _mix(p, end, 1 / 3), _mix(p, end, 2 / 3), end]
        if name in "ST":
            family = "CS" if name == "S" else "QT"
            mirrored = (2 * p[0] - self.handle[0], 2 * p[1] - self.handle[1])
            points = [mirrored if self.handle_of in list(family) else p] + points
        self.handle, self.handle_of = points[-2], name
        if name in "QT":
            return [p, _mix(p, points[0], 2 / 3), _mix(end, points[0], 2 / 3), end]
        return [p, points[0], points[1], end]

    def _end(self, closed: bool) -> None:
        if self.curves:
            curves = np.array(self.curves, dtype=np.float64)
            gap = math.hypot(self.pen[0] - self.start[0], self.pen[1] - self.start[1])
            if closed and gap <= _RETURN * np.abs(curves).max():
                curves[-1] = with_ends(curves[-1], curves[-1, 0], curves[0, 0])
            elif closed:
                back = lines(np.array([self.pen]), np.array([self.start]))
                curves = np.concatenate([curves, back])
            self.found.append(SubPath(Path(curves, closed), self.arcs))
        if closed:
            self.pen = self.start
        else:
            self.start = self.pen
        self.curves, self.arcs, self.handle_of = [], False, ""


def _mix(p: _Point, q: _Point, share: float) -> _Point:
    return (p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share)


def arc_curves(
    start: _Point,
    end: _Point,
    rx: float,
    ry: float,
    rotation: float,
    large: bool,
    sweep: bool,
) -> List[List[_Point]]:
    """Cubics for an elliptical arc, one an eighth of a turn at most (SVG 1.1, F.6.5)."""
    rx, ry = abs(rx), abs(ry)
    if start == end:
        return []
    if math.hypot(start[0] - end[0], start[1] - end[1]) < _NOTHING or min(rx, ry) < _NOTHING:
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
    count = max(1, int(math.ceil(abs(whole) / _ARC_STEP - 1e-9)))
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
