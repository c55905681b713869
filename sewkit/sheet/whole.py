"""Lines as their designer drew them: dashes, tiles and segments put together again.

    wholes = whole_lines(sheet)

Only strokes of one style in the same layers join, hidden ones with hidden ones.  Where
nothing tells which of several ends goes on at which, they stay open.
"""

from typing import Callable, Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Gap, Line, Sheet, Whole
from sewkit.sheet.line_build import joined
from sewkit.sheet.line_dashes import (
    WIDER,
    Strung,
    chain_gaps,
    link_ahead,
    link_corners,
    link_in_order,
    part_strangers,
    strung,
)
from sewkit.sheet.line_doubles import without_doubles, without_repeats
from sewkit.sheet.line_ends import TOUCH, Chain, Links, Strokes, strokes_of
from sewkit.sheet.line_joins import link_gaps, link_touching
from sewkit.sheet.line_refit import refitted
from sewkit.sheet.line_rhythm import SAME, Rhythm
from sewkit.sheet.line_strips import as_strokes
from sewkit.sheet.line_ticks import part_ticks

Progress = Optional[Callable[[int, int, str], None]]

# Rounds of linking what lies ahead: each may make a chain whose rhythm tells the next more.
ROUNDS = 3


def whole_lines(sheet: Sheet, progress: Progress = None) -> Tuple[Whole, ...]:
    """Make the lines of a sheet whole; in the order of their first strokes.

    Filled shapes pass through unchanged, unless they are what a stroke looks like that was
    turned into its own outline: those become strokes along their middle.
    """
    tell = progress or (lambda done, total, word: None)
    tell(0, 4, "strokes")
    lines, filled = as_strokes(sheet.lines)
    open_lines = without_repeats([line for line in lines if not line.path.closed])
    closed = [line for line in lines if line.path.closed]
    tell(1, 4, "joins")
    strokes = strokes_of(open_lines)
    links = linked(strokes, [line.path.curves for line in closed])
    tell(2, 4, "lines")
    found = _built(strokes, links)
    found += [_as_it_is(line) for line in closed]
    tell(3, 4, "doubles")
    found = list(without_doubles(sorted(found, key=lambda whole: whole.order)))
    found += [_as_it_is(line) for line in filled]
    tell(4, 4, "done")
    return tuple(sorted(found, key=lambda whole: whole.order))


def linked(strokes: Strokes, closed: Sequence[np.ndarray] = ()) -> Links:
    """Which end of each stroke goes on at which other.

    ``closed``: curves of the lines that are whole as they are; ticks may stand on them.
    """
    links = Links(len(strokes.lines))
    link_in_order(strokes, links)
    part_strangers(strokes, links)
    link_touching(strokes, links)
    for _ in range(ROUNDS):
        if not link_ahead(strokes, links):
            break
    link_corners(strokes, links)
    link_ahead(strokes, links)
    part_ticks(strokes, links, closed)
    link_gaps(strokes, links)
    return links


def _as_it_is(line: Line) -> Whole:
    return Whole(line.path, line.style, line.layers, line.hidden, line.order)


def _built(strokes: Strokes, links: Links) -> List[Whole]:
    """A whole line from every chain."""
    state = strung(strokes, links)
    rhythms = _agreed(strokes, state)
    dashed = [chain for chain, rhythm in zip(state.chains, rhythms) if rhythm is not None]
    paths = iter(refitted(strokes, links, dashed))
    found = []
    for chain, rhythm in zip(state.chains, rhythms):
        first = strokes.lines[min(chain.entries) >> 1]
        order = min(strokes.lines[entry >> 1].order for entry in chain.entries)
        style = first.style
        if rhythm is not None:
            path, gaps = next(paths), _odd_gaps(strokes, chain, rhythm)
            style = style if style.dashes else style._replace(dashes=rhythm)
        elif len(chain.entries) == 1 and not chain.closed:
            path, gaps = first.path, ()
        else:
            path, gaps = joined(strokes, links, chain)
        parts = len(chain.entries)
        found.append(Whole(path, style, first.layers, first.hidden, order, parts, gaps))
    return found


def _agreed(strokes: Strokes, state: Strung) -> List[Optional[Rhythm]]:
    """The rhythms of the chains, made equal where they are alike: the commonest wins."""
    tally: Dict[Tuple[int, Rhythm], int] = {}
    for chain, rhythm in zip(state.chains, state.rhythms):
        if rhythm is not None:
            key = (int(strokes.kind[chain.first >> 1]), rhythm)
            tally[key] = tally.get(key, 0) + len(chain.entries)
    ranked = sorted(tally, key=lambda key: (-tally[key], key))
    found: List[Optional[Rhythm]] = []
    for chain, rhythm in zip(state.chains, state.rhythms):
        kind = int(strokes.kind[chain.first >> 1])
        same = [r for k, r in ranked if rhythm is not None and k == kind and _near(r, rhythm)]
        found.append(same[0] if same else rhythm)
    return found


def _near(one: Sequence[float], two: Sequence[float]) -> bool:
    return len(one) == len(two) and all(abs(a - b) <= SAME for a, b in zip(one, two))


def _odd_gaps(strokes: Strokes, chain: Chain, rhythm: Rhythm) -> Tuple[Gap, ...]:
    """Gaps that are wider than a dash's own."""
    entries = np.array(chain.entries)
    usual = max(WIDER * max(rhythm[1::2]), TOUCH)
    found = []
    for number in np.flatnonzero(chain_gaps(strokes, chain) > usual).tolist():
        one, two = entries[number] ^ 1, entries[(number + 1) % len(entries)]
        x, y = (strokes.ends[one] + strokes.ends[two]) / 2
        found.append(Gap((float(x), float(y)), float(np.hypot(*(strokes.ends[two] - strokes.ends[one])))))
    return tuple(found)
