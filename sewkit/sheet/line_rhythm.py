"""The rhythm of a line whose dashes came as single strokes: long, gap, short, gap ...

What is measured are the strokes and gaps along a chain.  Those at a corner, at a tile's
border or at the ends may be shortened, so a value counts only where many agree.
"""

from typing import List, Optional, Sequence, Tuple

import numpy as np

# Values that differ by less (mm) are the same stroke or the same gap of a rhythm: what
# is left of a dash's length when producers round its ends or draw it as a chord.
SAME = 0.25

# The longest rhythm looked for, in strokes: long and five shorts are more than any
# printed key shows.
LONGEST = 6

# Share of the measured values that must repeat; the others were cut or turn a corner.
REPEATING = 0.7

# A dash is no longer, and leaves more open (mm): whatever else repeats is no rhythm.
LONGEST_DASH, LEAST_GAP = 40.0, 0.3

# Fewest strokes in which a rhythm can be heard.
FEWEST = 3

# Measured values this near a multiple of half a millimetre were meant to be one (mm).
ROUND, STEP = 0.06, 0.5

Rhythm = Tuple[float, ...]


def rhythm_of(strokes: Sequence[float], gaps: Sequence[float]) -> Optional[Rhythm]:
    """The dash rhythm (mm: stroke, gap ...) of strokes and the gaps between them.

    ``gaps`` has one entry less than ``strokes``, or as many where the chain is closed.
    ``None`` where nothing repeats.
    """
    count = min(len(strokes), len(gaps))
    if count + 1 < FEWEST:
        return None
    on, off = np.asarray(strokes[:count], np.float64), np.asarray(gaps[:count], np.float64)
    if count + 1 == FEWEST or len(gaps) < len(strokes):
        # The first stroke of an open chain is often cut short; the last one is left out
        # by counting as many strokes as gaps.
        on, off = on[1:], off[1:] if count > 1 else off
        off = off[: len(on)]
    if not len(on) or np.median(off) <= LEAST_GAP or np.median(on) > LONGEST_DASH:
        return None
    for period in range(1, min(LONGEST, max(1, len(on) // 2)) + 1):
        found = _with_period(on, off, period)
        if found is not None:
            return normal(found)
    return None


def _with_period(on: np.ndarray, off: np.ndarray, period: int) -> Optional[List[float]]:
    """Strokes and gaps in turn, if the sequences repeat after ``period`` strokes."""
    start, stop = 0, len(on)
    if len(on) > period:
        same = np.abs(on[period:] - on[:-period]) <= SAME
        same &= np.abs(off[period:] - off[:-period]) <= SAME
        if same.mean() < REPEATING:
            return None
        # On each tile the rhythm starts anew: listen where it goes on longest.
        start, stop = _longest_true(same)
        stop += period
    found = []
    for phase in range(start, start + period):
        found += [float(np.median(values[phase:stop:period])) for values in (on, off)]
    return found


def _longest_true(flags: np.ndarray) -> Tuple[int, int]:
    """The longest stretch of true flags, as first and one beyond the last."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(np.int8)))
    starts, stops = edges[::2], edges[1::2]
    best = int((stops - starts).argmax())
    return int(starts[best]), int(stops[best])


def normal(values: Sequence[float]) -> Rhythm:
    """A rhythm rounded, and told from its greatest turn on, whichever way it was drawn."""
    rounded = [_rounded(value) for value in values]
    backward = rounded[-2::-1] + rounded[-1:]
    turns = [way[i:] + way[:i] for way in (rounded, backward) for i in range(0, len(way), 2)]
    best = max(turns)
    return tuple(best[:2] if all(best[i : i + 2] == best[:2] for i in range(0, len(best), 2)) else best)


def _rounded(value: float) -> float:
    """To half a millimetre where it is near one, else to a tenth."""
    coarse = round(value / STEP) * STEP
    return round(coarse if coarse and abs(value - coarse) <= ROUND else value, 1)


def alike(one: Optional[Rhythm], two: Optional[Rhythm]) -> bool:
    """Whether two rhythms may be the same line's; an unknown one may be any."""
    if one is None or two is None:
        return True
    return len(one) == len(two) and all(abs(a - b) <= SAME for a, b in zip(one, two))
