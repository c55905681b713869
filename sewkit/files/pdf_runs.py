"""Path operators of a PDF's page, as cubic curves, all of a page in one go.

A page is thousands of short runs of ``m l c v y re h``.  Reading them one by one costs more
than all the rest of the reader; so the text of all runs is read at once, and numpy lays the
curves out.  Coordinates are those of the stream; nothing is rounded.
"""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

# How many numbers each operator takes; "re" goes by its first letter.
_NUMBERS = np.zeros(256, dtype=np.int64)
for _letter, _count in zip(b"mlcvyrh", (2, 2, 6, 4, 4, 4, 0)):
    _NUMBERS[_letter] = _count
_CURVES = np.zeros(256, dtype=np.int64)
for _letter in b"lcvy":
    _CURVES[_letter] = 1
_CURVES[ord("r")] = 4
_TO_BLANKS = bytes(32 if chr(i) in "\0mlcvyreh|" else i for i in range(256))
_NOT_LETTERS = bytes(i for i in range(256) if chr(i) not in "mlcvyrh|")
# Points farther out than this are damage, not drawing: 35 km in the usual unit.
_FARTHEST = 1e8
_TURN = 4 * 1024 * 1024  # bytes of text read at once


class Runs(NamedTuple):
    """All path runs of one stream.

    Args:
        curves: ``(n, 4, 2)`` in the stream's own units.
        first: ``(r + 1,)`` the first curve of each run, and the end.
        parts: ``(r + 1,)`` the first part of each run, and the end.
        part_first: ``(p,)`` the first curve of each part, counted over all curves.
        closed: ``(p,)`` whether a part is closed.
        boxes: ``(r, 4)`` left, low, right, high of each run's points; empty runs hold inf, -inf.
        letters: the operators of each run.
        spoiled: runs that were left out because their numbers are beyond reason.
    """

    curves: np.ndarray
    first: np.ndarray
    parts: np.ndarray
    part_first: np.ndarray
    closed: np.ndarray
    boxes: np.ndarray
    letters: Tuple[bytes, ...]
    spoiled: int

    def corners(self, run: int) -> Optional[np.ndarray]:
        """The four corners ``(4, 2)`` of a run that is one four-sided straight shape, else None."""
        start, stop = self.first[run], self.first[run + 1]
        letters = self.letters[run]
        if letters == b"r" and stop - start == 4:
            return self.curves[start:stop, 0]
        if self.parts[run + 1] - self.parts[run] != 1 or letters.strip(b"mlh"):
            return None
        ends = np.concatenate([self.curves[start:stop, 0], self.curves[stop - 1 : stop, 3]])
        if len(ends) == 5 and (ends[4] == ends[0]).all():
            ends = ends[:4]
        return ends if len(ends) == 4 else None


def read_runs(texts: List[bytes], filled: List[bool]) -> Runs:
    """Read runs of path operators: well-formed text, each beginning with ``m`` or ``re``.

    ``filled``: the run is only filled, so that each part is closed as filling closes it.
    """
    text = b"|".join(texts)
    letters = text.translate(None, _NOT_LETTERS)
    numbers = _all_numbers(texts)
    ops = np.frombuffer(letters, dtype=np.uint8)
    run_of = np.cumsum(ops == ord("|"))
    keep = ops != ord("|")
    keep[1:] &= (ops[1:] != ord("h")) | ((ops[:-1] != ord("h")) & (ops[:-1] != ord("r")))  # closed already
    ops, run_of = ops[keep], run_of[keep]
    count = len(texts)
    bad = np.zeros(count, dtype=bool)
    bad[run_of[_spoiled(ops, numbers)]] = True
    numbers = np.where(np.abs(numbers) <= _FARTHEST, numbers, 0.0)
    return _laid_out(ops, run_of, numbers, np.array(filled, dtype=bool), bad, letters.split(b"|"))


def _all_numbers(texts: List[bytes]) -> np.ndarray:
    """Every number of all runs; taken in turns, for a number as a Python object is large."""
    arrays, turn, size = [np.zeros(0)], [], 0
    for text in texts:
        turn.append(text)
        size += len(text)
        if size > _TURN:
            arrays.append(np.array(_numbers(b" ".join(turn).translate(_TO_BLANKS).split())))
            turn, size = [], 0
    arrays.append(np.array(_numbers(b" ".join(turn).translate(_TO_BLANKS).split()), dtype=np.float64))
    return np.concatenate(arrays)


def _numbers(words: List[bytes]) -> List[float]:
    try:
        return list(map(float, words))
    except ValueError:
        return [number(word) for word in words]


def number(word: bytes) -> float:
    """One number as forgiving readers take it: "--5" is -5, "5-3" is 5, "." is 0."""
    try:
        return float(word)
    except ValueError:
        sign = -1.0 if word.startswith(b"-") else 1.0
        whole, _, part = word.lstrip(b"+-").split(b"-")[0].split(b"+")[0].partition(b".")
        digits = whole + b"." + part.split(b".")[0]
        return sign * float(digits) if digits != b"." else 0.0


def _spoiled(ops: np.ndarray, numbers: np.ndarray) -> np.ndarray:
    """Which operators have a number beyond reason."""
    wild = ~(np.abs(numbers) <= _FARTHEST)
    if not wild.any():
        return np.zeros(0, dtype=np.int64)
    ends = np.cumsum(_NUMBERS[ops])
    return np.minimum(np.searchsorted(ends, np.nonzero(wild)[0], side="right"), len(ops) - 1)


def _laid_out(
    ops: np.ndarray,
    run_of: np.ndarray,
    numbers: np.ndarray,
    filled: np.ndarray,
    bad: np.ndarray,
    letters: List[bytes],
) -> Runs:
    count = len(filled)
    total = len(ops)
    at = np.cumsum(_NUMBERS[ops]) - _NUMBERS[ops]
    points = np.append(numbers, np.zeros(8))  # so that looking past the end is no fault
    is_h, is_r, is_m = ops == ord("h"), ops == ord("r"), ops == ord("m")

    new = is_m | is_r
    new[1:] |= (is_h | is_r)[:-1] & ~is_h[1:]
    new[1:] |= run_of[1:] != run_of[:-1]
    new[:1] = True
    part = np.cumsum(new) - 1
    # A part without a start of its own ("h" and then "l") begins where the last one began.
    own = np.maximum.accumulate(np.where(is_m | is_r, np.arange(total), 0))
    home = np.stack([points[at[own]], points[at[own] + 1]], axis=1)
    last = at + _NUMBERS[ops] - 2
    end = np.stack(
        [points[np.where(is_r | is_h, at, last)], points[np.where(is_r | is_h, at, last) + 1]], axis=1
    )
    end = np.where(is_h[:, None], home, end)
    begin = np.concatenate([np.zeros((1, 2)), end[:-1]]) if total else np.zeros((0, 2))
    begin = np.where(new[:, None], home, begin)

    # The line that closes a part comes after the part's last operator.
    last_of_part = np.append(new[1:], True) if total else new
    drawn_to = np.where(is_h[:, None], begin, end)
    closes = last_of_part & (is_h | (filled[run_of] & ~is_r & ~is_m))
    extra = closes & (drawn_to != home).any(axis=1)
    sizes = _CURVES[ops] + extra
    sizes[bad[run_of]] = 0
    extra &= ~bad[run_of]
    place = np.cumsum(sizes) - sizes
    curves = np.empty((int(sizes.sum()), 4, 2))
    live = ~bad[run_of]
    _put_lines(curves, place, (ops == ord("l")) & live, begin, end)
    _put_curves(curves, place, ops, live, begin, points, at)
    _put_boxes(curves, place, is_r & live, points, at)
    _put_lines(curves, place + sizes - 1, extra, drawn_to, home)
    return _counted(curves, sizes, part, run_of, closes | is_r, bad, count, letters)


def _put_lines(
    curves: np.ndarray, place: np.ndarray, which: np.ndarray, a: np.ndarray, b: np.ndarray
) -> None:
    a, b, place = a[which], b[which], place[which]
    third = (b - a) / 3.0
    curves[place] = np.stack([a, a + third, b - third, b], axis=1)


def _put_curves(
    curves: np.ndarray,
    place: np.ndarray,
    ops: np.ndarray,
    live: np.ndarray,
    begin: np.ndarray,
    points: np.ndarray,
    at: np.ndarray,
) -> None:
    """``c`` has both handles; ``v`` has its first in the start, ``y`` its second in the end."""
    for letter in b"cvy":
        which = np.nonzero((ops == letter) & live)[0]
        if len(which) == 0:
            continue
        width = 6 if letter == ord("c") else 4
        given = points[at[which][:, None] + np.arange(width)].reshape(-1, width // 2, 2)
        start = begin[which][:, None]
        if letter == ord("v"):
            given = np.concatenate([start, given], axis=1)
        elif letter == ord("y"):
            given = np.concatenate([given, given[:, 1:]], axis=1)
        curves[place[which]] = np.concatenate([start, given], axis=1)


def _put_boxes(
    curves: np.ndarray, place: np.ndarray, which: np.ndarray, points: np.ndarray, at: np.ndarray
) -> None:
    x, y, w, h = (points[at[which] + i] for i in range(4))
    corners = np.stack([x, y, x + w, y, x + w, y + h, x, y + h], axis=1).reshape(-1, 4, 2)
    for side in range(4):
        everyone = np.ones(len(corners), dtype=bool)
        _put_lines(curves, place[which] + side, everyone, corners[:, side], corners[:, (side + 1) % 4])


def _counted(
    curves: np.ndarray,
    sizes: np.ndarray,
    part: np.ndarray,
    run_of: np.ndarray,
    closes: np.ndarray,
    bad: np.ndarray,
    count: int,
    letters: List[bytes],
) -> Runs:
    parts = int(part[-1]) + 1 if len(part) else 0
    part_size = np.bincount(part, sizes, parts).astype(np.int64) if parts else np.zeros(0, np.int64)
    closed = np.bincount(part, closes, parts) > 0 if parts else np.zeros(0, bool)
    part_run = np.zeros(parts, dtype=np.int64)
    part_run[part] = run_of
    full = part_size > 0
    part_size, closed, part_run = part_size[full], closed[full], part_run[full]
    first = np.append(0, np.cumsum(np.bincount(part_run, part_size, count)[:count])).astype(np.int64)
    return Runs(
        curves,
        first,
        np.append(0, np.cumsum(np.bincount(part_run, minlength=count)[:count])).astype(np.int64),
        np.cumsum(part_size) - part_size,
        closed,
        _boxes(curves, first),
        tuple(letters),
        int(bad.sum()),
    )


def _boxes(curves: np.ndarray, first: np.ndarray) -> np.ndarray:
    """The box of each run's nodes and handles, which holds its curves."""
    count = len(first) - 1
    boxes = np.empty((count, 4))
    boxes[:, :2], boxes[:, 2:] = np.inf, -np.inf
    full = np.nonzero(first[1:] > first[:-1])[0]
    if len(full):
        low, high = curves.min(axis=1), curves.max(axis=1)
        boxes[full, :2] = np.minimum.reduceat(low, first[full], axis=0)
        boxes[full, 2:] = np.maximum.reduceat(high, first[full], axis=0)
    return boxes
