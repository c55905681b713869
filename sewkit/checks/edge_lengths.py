"""How long the edges were before a change, and are now."""

from typing import List, Optional, Sequence, Tuple

from sewkit.checks.edge_shapes import grain_findings, shape_findings
from sewkit.errors import InputError
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.report import Report, Table

__all__ = ["edge_report", "grain_findings", "shape_findings"]

# A smaller change of an edge is none (mm): half of what we promise to be exact to.
UNCHANGED = 0.005


def edge_report(before: Pattern, after: Pattern, sizes: Sequence[str], pieces: Sequence[str]) -> Report:
    """A table of the edges whose length as sewn has changed, one row an edge.

    Pieces or sizes that are not in both patterns are left out, and nothing changed is no table.
    """
    rows: List[Tuple[str, ...]] = []
    for piece in dict.fromkeys(pieces):
        for size in dict.fromkeys(sizes):
            old, new = _outline(before, piece, size), _outline(after, piece, size)
            if old is None or new is None:
                continue
            shown = (piece, new.size) if len(set(sizes)) > 1 else (piece,)
            rows += [shown + row for row in _changed_edges(old, new) if shown + row not in rows]
    if not rows:
        return Report()
    columns = ("piece", "size") if len(set(sizes)) > 1 else ("piece",)
    one = next(iter(sizes), "") if len(set(sizes)) == 1 else ""
    title = "Edges before and after" + (", size {}".format(one) if one else "")
    table = Table(title, (*columns, "edge", "before mm", "after mm", "change"), tuple(rows))
    return Report("", (), (table,))


def _changed_edges(old: Outline, new: Outline) -> List[Tuple[str, ...]]:
    """Edge, before, after, change, for those that changed; "-" where there is no such edge."""
    rows = []
    for name in dict.fromkeys(new.names + old.names):
        was = old.as_sewn(name) if name in old.names else None
        now = new.as_sewn(name) if name in new.names else None
        if was is None or now is None:
            shown = ["-" if length is None else "{:.2f}".format(length) for length in (was, now)]
            rows.append((name, *shown, "-"))
        elif abs(now - was) > UNCHANGED:
            rows.append((name, *_words(was, now)))
    return rows


def _words(was: float, now: float) -> Tuple[str, str, str]:
    """Two lengths and the change: to a hundredth, or finer where rounded ones would not add up."""
    for decimals in (2, 3):
        rounded = round(now, decimals) - round(was, decimals)
        if abs(rounded - round(now - was, decimals)) < 0.5 * 10**-decimals:
            break
    texts = ["{:.{}f}".format(length, decimals) for length in (was, now)]
    return texts[0], texts[1], "{:+.{}f}".format(rounded, decimals)


def _outline(pattern: Pattern, piece: str, size: str) -> Optional[Outline]:
    try:
        return pattern.piece(piece).outline(size)
    except InputError:
        return None
