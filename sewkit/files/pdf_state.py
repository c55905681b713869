"""The graphics state of a PDF's page, its matrices and its clip rectangle."""

from typing import Dict, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.files.pdf_colour import GREY, Space
from sewkit.files.pdf_layers import NOWHERE, Member
from sewkit.sheet.drawn import Box, Style

Matrix = Tuple[float, float, float, float, float, float]
UNIT: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
# mm by which a clip may be off square: far below what a printer shows, far above rounding.
_SQUARE = 1e-6


def times(first: Matrix, then: Matrix) -> Matrix:
    """The matrix that applies ``first`` and then ``then`` (rows: x' = a x + c y + e)."""
    a, b, c, d, e, f = first
    p, q, r, s, t, u = then
    return (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u)


def applied(matrix: Matrix, points: np.ndarray) -> np.ndarray:
    """Points ``(..., 2)`` through a matrix."""
    a, b, c, d, e, f = matrix
    x, y = points[..., 0], points[..., 1]
    return np.stack([a * x + c * y + e, b * x + d * y + f], axis=-1)


def box_through(matrix: Matrix, box: Sequence[float]) -> Box:
    """The box around a box seen through a matrix."""
    a, b, c, d, e, f = matrix
    x0, y0, x1, y1 = box
    xs = (a * x0 + c * y0, a * x1 + c * y0, a * x0 + c * y1, a * x1 + c * y1)
    ys = (b * x0 + d * y0, b * x1 + d * y0, b * x0 + d * y1, b * x1 + d * y1)
    return min(xs) + e, min(ys) + f, max(xs) + e, max(ys) + f


def square_box(corners: np.ndarray) -> Optional[Box]:
    """The box that four corners ``(4, 2)`` in order are, None where they are no upright rectangle."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners.tolist()
    flat = (
        abs(y0 - y1) <= _SQUARE
        and abs(x1 - x2) <= _SQUARE
        and abs(y2 - y3) <= _SQUARE
        and abs(x3 - x0) <= _SQUARE
    )
    steep = (
        abs(x0 - x1) <= _SQUARE
        and abs(y1 - y2) <= _SQUARE
        and abs(x2 - x3) <= _SQUARE
        and abs(y3 - y0) <= _SQUARE
    )
    if not (flat or steep):
        return None
    return min(x0, x2), min(y0, y2), max(x0, x2), max(y0, y2)


def common(first: Optional[Box], second: Optional[Box]) -> Optional[Box]:
    """What two boxes share; None stands for everything.  An empty box has no width or height."""
    if first is None or second is None:
        return second if first is None else first
    left, top = max(first[0], second[0]), max(first[1], second[1])
    return left, top, max(left, min(first[2], second[2])), max(top, min(first[3], second[3]))


def moved(box: Optional[Box], dx: float, dy: float) -> Optional[Box]:
    """A box moved."""
    return None if box is None else (box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy)


class State:
    """All that ``q`` keeps and ``Q`` brings back."""

    matrix: Matrix = UNIT
    width: float = 1.0
    dashes: Tuple[float, ...] = ()
    stroke: str = "#000000"
    fill: str = "#000000"
    stroke_space: Space = GREY
    fill_space: Space = GREY
    stroke_seen: bool = True  # False where opacity is 0
    fill_seen: bool = True
    clip: Optional[Box] = None
    cut: bool = False
    font: object = None
    size: float = 0.0
    letter_gap: float = 0.0
    word_gap: float = 0.0
    stretch: float = 1.0
    leading: float = 0.0
    rise: float = 0.0
    mode: int = 0

    def copy(self) -> "State":
        """The same, to be changed on its own."""
        twin = State()
        twin.__dict__.update(self.__dict__)
        return twin

    def looks(self) -> Tuple[object, ...]:
        """All that a form inherits beside matrix and clip, to know it again by."""
        own = self.__dict__
        return tuple((key, own[key]) for key in sorted(own) if key not in ("matrix", "clip", "cut"))


class Shape(NamedTuple):
    """One painted run: which of a program, through which matrix (to mm), how it looks."""

    program: object
    run: int
    matrix: Matrix
    style: Style
    member: Member
    clip: Optional[Box]
    cut: bool


class Piece(NamedTuple):
    """Some letters shown by one operator.

    Args:
        text: may hold blanks at its ends.
        x, y: start of the baseline (mm); ``ahead``: direction of reading, of length 1.
        height, width: mm; width with the gap after the last letter.
    """

    text: str
    x: float
    y: float
    ahead: Tuple[float, float]
    height: float
    width: float
    colour: str
    member: Member
    hidden: bool
    clip: Optional[Box]


class Block(NamedTuple):
    """A form placed on what holds it: its scene, moved by (dx, dy)."""

    scene: "Scene"
    dx: float
    dy: float
    member: Member
    clip: Optional[Box]
    cut: bool


class Scene:
    """What a stream draws, in mm up to a movement: shapes and blocks in drawing order, letters, pictures."""

    def __init__(self) -> None:
        self.shapes: list = []  # type: ignore[type-arg]  # of Shape
        self.blocks: Dict[int, list] = {}  # type: ignore[type-arg]  # of Block, by the number of shapes before it
        self.pieces: list = []  # type: ignore[type-arg]  # of Piece
        self.pictures: list = []  # type: ignore[type-arg]  # of (box, share of the box, clip)
        self.seen: Optional[np.ndarray] = None
        self._reach: Optional[Box] = None

    def reach(self) -> Box:
        """A box around all that the scene can show; the forms in it are already whole."""
        if self._reach is None:
            seen = self.seen_boxes()
            boxes = [box for box, _, _ in self.pictures]
            boxes += [
                moved(block.scene.reach(), block.dx, block.dy)
                for some in self.blocks.values()
                for block in some
            ]
            boxes += [_around(piece) for piece in self.pieces]
            rows = np.array(boxes, dtype=np.float64).reshape(-1, 4)
            rows = np.concatenate([seen, rows, [(np.inf, np.inf, -np.inf, -np.inf)]])
            low, high = rows[:, :2].min(axis=0), rows[:, 2:].max(axis=0)
            self._reach = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
        return self._reach

    def seen_boxes(self) -> np.ndarray:
        """``(n, 4)`` where each shape can be seen: its box with half its pen, within its clip."""
        if self.seen is None:
            self.seen = _seen(self.shapes)
        return self.seen


def _around(piece: Piece) -> Box:
    x, y, reach = piece.x, piece.y, piece.height + piece.width
    return x - reach, y - reach, x + reach, y + reach


def _seen(shapes: Sequence[Shape]) -> np.ndarray:
    if not shapes:
        return np.zeros((0, 4))
    boxes = np.array([shape.program.runs.boxes[shape.run] for shape in shapes])  # type: ignore[attr-defined]
    matrices = np.array([shape.matrix for shape in shapes])
    pens = np.array([shape.style.width for shape in shapes]) / 2.0
    found = np.empty_like(boxes)
    for row in (0, 1):
        first, second, move = matrices[:, row], matrices[:, 2 + row], matrices[:, 4 + row]
        along = [first * boxes[:, 0], first * boxes[:, 2]]
        across = [second * boxes[:, 1], second * boxes[:, 3]]
        found[:, row] = np.minimum(*along) + np.minimum(*across) + move - pens
        found[:, 2 + row] = np.maximum(*along) + np.maximum(*across) + move + pens
    everything = (-np.inf, -np.inf, np.inf, np.inf)
    clips = np.array([shape.clip or everything for shape in shapes])
    found[:, :2] = np.maximum(found[:, :2], clips[:, :2])
    found[:, 2:] = np.minimum(found[:, 2:], clips[:, 2:])
    empty = (clips[:, 2] <= clips[:, 0]) | (clips[:, 3] <= clips[:, 1])
    found[empty] = (np.inf, np.inf, -np.inf, -np.inf)
    return found


__all__ = ["NOWHERE", "Block", "Matrix", "Piece", "Scene", "Shape", "State", "UNIT"]
