"""Moves of the plane: a frozen 2x3 matrix.

    x' = a x + c y + e
    y' = b x + d y + f

``Transform(a, b, c, d, e, f)`` is the order in which SVG writes ``matrix(...)``.
"""

import math
from typing import NamedTuple

import numpy as np

from sewkit.geometry.path import Path


class Transform(NamedTuple):
    """An affine move; ``first.then(second)`` applies ``first`` and afterwards ``second``."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def then(self, after: "Transform") -> "Transform":
        """This move followed by another."""
        return Transform(
            after.a * self.a + after.c * self.b,
            after.b * self.a + after.d * self.b,
            after.a * self.c + after.c * self.d,
            after.b * self.c + after.d * self.d,
            after.a * self.e + after.c * self.f + after.e,
            after.b * self.e + after.d * self.f + after.f,
        )

    @property
    def determinant(self) -> float:
        """Area factor; negative where the move mirrors."""
        return self.a * self.d - self.b * self.c

    def inverse(self) -> "Transform":
        """The move back; ``ValueError`` where the plane is squashed flat."""
        det = self.determinant
        if not math.isfinite(det) or abs(det) < 1e-300:
            raise ValueError("this transform squashes the drawing flat")
        a, b, c, d = self.d / det, -self.b / det, -self.c / det, self.a / det
        return Transform(a, b, c, d, -(a * self.e + c * self.f), -(b * self.e + d * self.f))

    def points(self, points: np.ndarray) -> np.ndarray:
        """Move points ``(..., 2)``."""
        matrix = np.array([[self.a, self.b], [self.c, self.d]])
        return np.asarray(points, np.float64) @ matrix + np.array([self.e, self.f])

    def path(self, path: Path) -> Path:
        """Move a path."""
        return path if self == IDENTITY else Path(self.points(path.curves), path.closed)


IDENTITY = Transform()


def move(dx: float, dy: float) -> Transform:
    """Shift by ``dx`` to the right and ``dy`` down (mm)."""
    return Transform(e=float(dx), f=float(dy))


def scale(x: float, y: float) -> Transform:
    """Scale about the origin."""
    return Transform(a=float(x), d=float(y))


def turn(degrees: float, about: "np.typing.ArrayLike" = (0.0, 0.0)) -> Transform:
    """Rotate clockwise on the sheet about a point."""
    angle = math.radians(degrees)
    cos, sin = math.cos(angle), math.sin(angle)
    x, y = float(about[0]), float(about[1])
    return Transform(cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y)


def mirror(on: "np.typing.ArrayLike", along: "np.typing.ArrayLike") -> Transform:
    """Reflect in the line through the point ``on`` in the direction ``along``."""
    ux, uy = float(along[0]), float(along[1])
    size = math.hypot(ux, uy)
    if size == 0:
        raise ValueError("a mirror line needs a direction")
    ux, uy = ux / size, uy / size
    a, b, d = ux * ux - uy * uy, 2 * ux * uy, uy * uy - ux * ux
    x, y = float(on[0]), float(on[1])
    return Transform(a, b, b, d, x - a * x - b * y, y - b * x - d * y)
