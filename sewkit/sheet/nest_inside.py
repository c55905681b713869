"""To which piece a line or a word belongs: the smallest one it lies in, or the nearest."""

from typing import List, Sequence

import numpy as np

from sewkit.sheet.drawn import Words
from sewkit.sheet.nest_shapes import Shapes, inside, near, spread

# How far outside a piece its notches may lie (mm): the length of the longest usual notch.
MARGIN = 12.0
# Lines longer than this do not belong to a piece merely because they lie beside it (mm).
_SHORT = 40.0
# Points of a line that are looked at, and the part of them that must lie in a piece.
_LOOKS, _PART = 7, 0.4


def lines_at(shapes: Shapes, lines: Sequence[int], outlines: Sequence[np.ndarray]) -> List[int]:
    """For each of some lines the number of its piece, or -1.

    ``outlines``: the largest outline of each piece as points ``(k, 2)``.
    """
    spots = [spread(shapes.points[n], _LOOKS) for n in lines]
    short = [shapes.lengths[n] <= _SHORT for n in lines]
    return _homes(spots, short, outlines)


def words_at(words: Sequence[Words], outlines: Sequence[np.ndarray]) -> List[int]:
    """For each run of words the number of its piece, or -1."""
    return _homes([word_spots(word) for word in words], [True] * len(words), outlines)


def word_spots(word: Words) -> np.ndarray:
    """Start, middle and end of a run of words, half a letter up: ``(3, 2)`` mm."""
    turn = np.radians(word.angle)
    along = np.array([np.cos(turn), np.sin(turn)])
    up = np.array([np.sin(turn), -np.cos(turn)]) * 0.35 * word.height
    return np.array([word.x, word.y]) + up + np.outer([0.0, 0.5, 1.0], along * word.width)


def _homes(spots: Sequence[np.ndarray], short: Sequence[bool], outlines: Sequence[np.ndarray]) -> List[int]:
    home = [-1] * len(spots)
    if not spots or not outlines:
        return home
    sizes = [float(np.prod(np.ptp(outline, axis=0))) for outline in outlines]
    counts = np.array([len(run) for run in spots])
    flat, owner = np.concatenate(spots), np.repeat(np.arange(len(spots)), counts)
    shares = np.zeros((len(outlines), len(spots)))
    for number, outline in enumerate(outlines):
        low, high = outline.min(axis=0), outline.max(axis=0)
        rows = np.flatnonzero(((flat >= low) & (flat <= high)).all(axis=1))
        hit = rows[inside(outline, flat[rows])] if len(rows) else rows
        shares[number] = np.bincount(owner[hit], minlength=len(spots)) / counts
    small_first = sorted(range(len(outlines)), key=lambda n: sizes[n])
    for row in range(len(spots)):
        column = shares[:, row]
        whole = [n for n in small_first if column[n] >= 0.999]
        if whole:
            home[row] = whole[0]
        elif column.max() >= _PART:
            home[row] = max(small_first, key=lambda n: column[n])
    _beside(home, spots, short, outlines)
    return home


def _beside(
    home: List[int], spots: Sequence[np.ndarray], short: Sequence[bool], outlines: Sequence[np.ndarray]
) -> None:
    """Give short lines without a piece to the nearest one within the margin."""
    rows = [row for row in range(len(spots)) if home[row] < 0 and short[row]]
    if not rows:
        return
    best = np.full(len(rows), MARGIN)
    flat = np.concatenate([spots[row] for row in rows])
    owner = np.repeat(np.arange(len(rows)), [len(spots[row]) for row in rows])
    for number, outline in enumerate(outlines):
        low, high = outline.min(axis=0) - MARGIN, outline.max(axis=0) + MARGIN
        close = np.flatnonzero(((flat >= low) & (flat <= high)).all(axis=1))
        if not len(close):
            continue
        run = np.vstack([outline, outline[:1]])
        distance = near(run, np.arange(len(run), dtype=float), flat[close]).distance
        for spot, away in zip(close, distance):
            row = owner[spot]
            if away < best[row]:
                best[row], home[rows[row]] = away, number
