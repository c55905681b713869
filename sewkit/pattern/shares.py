"""A total shared over several lines across a piece."""

from typing import List, Sequence

from sewkit.errors import InputError


def shared(total: float, lengths: Sequence[float], custom: str = "bands") -> List[float]:
    """Amounts (mm) for lines that stand for bands of such lengths; they sum to the total.

    ``custom``: "bands" by the lengths, "even" all alike.  ``InputError`` where the bands have
    no length.
    """
    weights = [1.0] * len(lengths) if custom == "even" else [float(length) for length in lengths]
    whole = sum(weights)
    if not weights:
        return []
    if whole <= 0 or min(weights) < 0:
        raise InputError(
            "The lines stand for bands without length, so nothing can be shared by them.",
            "Share evenly.",
            code="value",
        )
    amounts = [total * weight / whole for weight in weights[:-1]]
    # The last one takes what rounding left, so that the sum is what was asked for.
    return amounts + [total - sum(amounts)]


def bands(heights: Sequence[float], low: float, high: float) -> List[float]:
    """The length of the band (mm) each line stands for: to half way to its neighbours.

    ``heights`` rise; the first band begins at ``low``, the last ends at ``high``.
    """
    between = [(a + b) / 2.0 for a, b in zip(heights, heights[1:])]
    ends = [low, *between, high]
    return [max(b - a, 0.0) for a, b in zip(ends, ends[1:])]
