"""The lengths that stand in a drawing's names, when the whole drawing is scaled.

side:190.5 hem:210        lengths of edges, by which names heal
side+120.5                places of notches
10 side=25                widths of allowances
"""

import math
from typing import Any, Dict, List, Optional, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.files.svg_frame import scale_page
from sewkit.files.svg_names import own, set_own
from sewkit.files.svg_read import Entry, read_place, write_place
from sewkit.geometry.length import curve_lengths
from sewkit.pattern.naming import Entry as Named
from sewkit.pattern.naming import parse_entries
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.scaling import mean_factor
from sewkit.units import parse_length, write_number

# A remembered length is the drawn one, rounded to two decimals (mm).
_AS_WRITTEN = 0.011


def scale_drawing(root: Any, before: Pattern, after: Pattern, entries: Dict[str, Entry]) -> None:
    """Scale a drawing by ``after.scale``, in place.

    Args:
        before, after: the pattern as it was read, and the same scaled.
        entries: the elements behind both, by key.
    """
    by = mean_factor(after.scale)
    outlines = {entries[o.key].element: o for piece in after.pieces for o in piece.outlines}
    were = {entries[o.key].element: o for piece in before.pieces for o in piece.outlines}
    marks = {entries[mark.key].element: mark for piece in after.pieces for mark in piece.marks}
    drawn_round = {
        entries[piece.key].element for piece in after.pieces if piece.cut_lines and piece.allowance
    }
    for element in [e for e in root.iter() if isinstance(e.tag, str)]:
        if own(element, "edges"):
            lengths = _edge_lengths(element, were.get(element), outlines.get(element))
            set_own(element, "edges", _grown(own(element, "edges") or "", lengths, by))
        if own(element, "at"):
            mark = marks.get(element)
            on = mark.on if mark is not None else read_place(own(element, "at") or "")
            if mark is None and on is not None:
                on = on._replace(distance=on.distance * by)
            set_own(element, "at", write_place(on) if on is not None else own(element, "at") or "")
        if element in drawn_round:
            set_own(element, "allowance", _wider(own(element, "allowance") or "", by))
    scale_page(root, *after.scale)
    so_far = corrected(root)
    set_own(root, "corrected", _written([one * by for one, by in zip(so_far, after.scale)]))


def corrected(root: Any) -> Tuple[float, float]:
    """How many times as wide and as high the drawing was made to get its true size; 1 where it was not."""
    words = (own(root, "corrected") or "").split()
    try:
        across, down = (float(word) for word in (words * 2)[:2])
    except ValueError:
        return 1.0, 1.0
    return (across, down) if 0 < across < math.inf and 0 < down < math.inf else (1.0, 1.0)


def _written(factors: Sequence[float]) -> str:
    """The factors as text, one where both are equal; empty where they change nothing."""
    texts = [write_number(one, 10) for one in factors]
    return "" if texts == ["1", "1"] else " ".join(dict.fromkeys(texts))


def _edge_lengths(element: Any, old: Optional[Outline], new: Optional[Outline]) -> List[float]:
    """How long each entry of an element's edges becomes (mm), in their order; empty where unknown.

    The outline in memory may begin at another edge than the entries do, so the turn is
    found at which names and lengths agree best.
    """
    if old is None or new is None:
        return []
    try:
        entries = parse_entries(own(element, "edges") or "")
    except InputError:
        return []
    before, after = curve_lengths(old.path.curves), curve_lengths(new.path.curves)
    runs = [(e.name, before[e.start : e.stop].sum(), after[e.start : e.stop].sum()) for e in old.edges]
    turns = [runs[i:] + runs[:i] for i in range(len(runs))]
    fitting = [turn for turn in turns if [run[0] for run in turn] == [entry.name for entry in entries]]
    if not fitting:
        return []
    best = min(fitting, key=lambda turn: sum(_off(entry, run[1]) for entry, run in zip(entries, turn)))
    return [_becomes(entry, *run[1:]) for entry, run in zip(entries, best)]


def _off(entry: Named, length: float) -> float:
    return abs(entry.length - length) if entry.length is not None else 0.0


def _becomes(entry: Named, was: float, is_now: float) -> float:
    """The new length; a remembered one that was not the drawn one grows in proportion."""
    if _off(entry, was) <= _AS_WRITTEN or was <= 0:
        return float(is_now)
    return float((entry.length or 0.0) * is_now / was)


def _grown(text: str, lengths: List[float], by: float) -> str:
    words = []
    for number, word in enumerate(text.split()):
        name, sign, length = word.partition(":")
        if sign and number < len(lengths):
            word = "{}:{}".format(name, write_number(round(lengths[number], 2)))
        elif sign:
            word = "{}:{}".format(name, _times(length, by, 2))
        words.append(word)
    return " ".join(words)


def _wider(text: str, by: float) -> str:
    words = []
    for word in text.split():
        edge, sign, width = word.rpartition("=")
        words.append(edge + sign + _times(width, by, 10))
    return " ".join(words)


def _times(text: str, by: float, decimals: int) -> str:
    """A length so many times as long, in mm; as it stands where it is none."""
    try:
        return write_number(round(parse_length(text) * by, decimals))
    except InputError:
        return text
