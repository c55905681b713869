"""From chains of strokes to paths: joins closed, cuts undone, small gaps bridged."""

from typing import List, NamedTuple, Tuple

import numpy as np

from sewkit.geometry.path import Path, is_line, lines
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.sheet.drawn import Gap
from sewkit.sheet.line_ends import Chain, Links, Strokes
from sewkit.sheet.line_joins import SILENT_GAP
from sewkit.sheet.line_merge import merged_all

# Two ends up to this far apart (mm) meet in the middle between them; wider gaps get a
# straight line of their own.
MEET_HALFWAY = 0.3


class Built(NamedTuple):
    """A path (mm) and the gaps that were bridged in it."""

    path: Path
    gaps: Tuple[Gap, ...]


def pieces_of(strokes: Strokes, chain: Chain) -> List[np.ndarray]:
    """The curves of each stroke of a chain, all running the chain's way."""
    found = []
    for entry in chain.entries:
        curves = strokes.curves[entry >> 1]
        found.append(curves[::-1, ::-1] if entry & 1 else curves)
    return found


def joined(strokes: Strokes, links: Links, chain: Chain) -> Built:
    """The path of a chain of strokes without dashes."""
    pieces, gaps = [np.array(piece) for piece in pieces_of(strokes, chain)], []
    count = len(pieces)
    between: List[List[np.ndarray]] = []
    for number in range(count if chain.closed else count - 1):
        here, there = pieces[number], pieces[(number + 1) % count]
        end, start = np.array(here[-1, 3]), np.array(there[0, 0])
        width = float(np.hypot(*(start - end)))
        corner = links.corner.get(_key(links, chain.entries[number] ^ 1))
        between.append([])
        if width > SILENT_GAP:
            middle = (end + start) / 2
            gaps.append(Gap((float(middle[0]), float(middle[1])), width))
        if corner is not None and width > SAME_POINT:
            between[-1] = [lines([end, corner], [corner, start])]
        elif width > MEET_HALFWAY:
            between[-1] = [lines([end], [start])]
        elif width > 0:
            middle = (end + start) / 2
            here[-1] = _moved_end(here[-1], middle)
            there[0] = _moved_end(there[0][::-1], middle)[::-1]
    runs: List[np.ndarray] = []
    for number, piece in enumerate(pieces):
        runs.append(piece)
        if number < len(between):
            for bridge in between[number]:
                runs += [side[None] for side in bridge if np.hypot(*(side[3] - side[0])) > SAME_POINT]
    return Built(Path(merged_all(runs, chain.closed), chain.closed), tuple(gaps))


def _key(links: Links, end: int) -> int:
    return min(end, int(links.mate[end]))


def _moved_end(curve: np.ndarray, end: np.ndarray) -> np.ndarray:
    """A curve whose end was moved a little; its handle goes with it, a line stays one."""
    if is_line(curve[None])[0]:
        return lines(curve[:1], end[None])[0]
    return np.stack([curve[0], curve[1], curve[2] + (end - curve[3]), end])
