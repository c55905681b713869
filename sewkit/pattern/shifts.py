"""How far every height of a piece goes when strips are let in across it or folded out."""

from typing import NamedTuple, Sequence, Tuple

import numpy as np

# A spot this near to a strip's line lies on it, and stays (mm): rounding of files.
ON_LINE = 1e-3


class Strip(NamedTuple):
    """A line across a piece at a height along the axis, and how much is let in there.

    ``amount``: mm, below 0 for what is folded out beyond the line.
    """

    height: float
    amount: float


class Shifts(NamedTuple):
    """Strips across one size; what lies beyond a strip goes by its amount along the axis.

    ``axis``: a unit direction.
    """

    axis: Tuple[float, float]
    strips: Tuple[Strip, ...]

    @property
    def way(self) -> np.ndarray:
        """The axis as an array ``(2,)``."""
        return np.array(self.axis, np.float64)

    def height(self, spot: np.ndarray) -> float:
        """How far along the axis a point ``(2,)`` lies (mm)."""
        return float(np.asarray(spot, np.float64) @ self.way)

    def at(self, spot: np.ndarray) -> float:
        """By how much a point ``(2,)`` goes (mm); what lies on a strip's line stays."""
        height = self.height(spot)
        return float(sum(strip.amount for strip in self.strips if height > strip.height + ON_LINE))

    def moved(self, points: np.ndarray, amount: float) -> np.ndarray:
        """Points ``(..., 2)`` moved by an amount; by 0 they stay the very same numbers."""
        return points + amount * self.way if amount else np.array(points)


def made_shifts(axis: Tuple[float, float], strips: Sequence[Strip]) -> Shifts:
    """The strips in order along the axis, those at one height made one, empty ones left out."""
    amounts = {}
    for strip in sorted(strips):
        amounts[strip.height] = amounts.get(strip.height, 0.0) + strip.amount
    size = float(np.hypot(axis[0], axis[1]))
    if not size > 0:
        raise ValueError("an axis needs a direction")
    kept = tuple(Strip(height, amount) for height, amount in sorted(amounts.items()) if amount)
    return Shifts((axis[0] / size, axis[1] / size), kept)
