"""How long the edges were before a change, and are now."""

from typing import Collection, Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.checks.edge_shapes import grain_findings, shape_findings
from sewkit.errors import InputError
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.report import Report, Table

__all__ = ["edge_report", "grain_findings", "shape_findings", "without_legs"]

# A smaller change of an edge is none (mm): half of what we promise to be exact to.
UNCHANGED = 0.005

# Up to so many sizes each has its rows; of more, those of an edge that changed alike share one.
_EACH_SIZE = 3

# Changes that differ by less are alike (mm): half a pencil's width, less than anybody cuts.
_ALIKE = 0.25


class _Edge(NamedTuple):
    """An edge in one size, before and after (mm as sewn); None where there is no such edge."""

    name: str
    size: str
    was: Optional[float]
    now: Optional[float]


def edge_report(before: Pattern, after: Pattern, sizes: Sequence[str], pieces: Sequence[str]) -> Report:
    """A table of the edges whose length as sewn has changed, one row an edge and size.

    Of more than three sizes of a piece, an edge that changed alike in all of them has one row, from
    the shortest to the longest.  Pieces or sizes that are not in both patterns are left out, and
    nothing changed is no table.
    """
    several = len(set(sizes)) > 1
    rows: List[Tuple[str, ...]] = []
    for piece in dict.fromkeys(pieces):
        edges: Dict[_Edge, None] = {}
        for size in dict.fromkeys(sizes):
            old, new = _outline(before, piece, size), _outline(after, piece, size)
            if old is not None and new is not None:
                edges.update(dict.fromkeys(_changed_edges(old, new)))
        found = _rows(list(edges), after.piece(piece).sizes) if edges else []
        rows += [(piece, *row) if several else (piece, *row[1:]) for row in found]
    if not rows:
        return Report()
    columns = ("piece", "size") if len(set(sizes)) > 1 else ("piece",)
    one = next(iter(sizes), "") if len(set(sizes)) == 1 else ""
    title = "Edges before and after" + (", size {}".format(one) if one else "")
    table = Table(title, (*columns, "edge", "before mm", "after mm", "change"), tuple(rows))
    return Report("", (), (table,))


def without_legs(report: Report, darts: Collection[str]) -> Report:
    """The table of edges without the legs of darts, which have a table of their own."""
    tables = []
    for table in report.tables:
        column = table.columns.index("edge")
        rows = tuple(row for row in table.rows if row[column] not in darts)
        tables += [table._replace(rows=rows)] if rows else []
    return report._replace(tables=tuple(tables))


def _changed_edges(old: Outline, new: Outline) -> List[_Edge]:
    """The edges that changed, came or went."""
    edges = []
    for name in dict.fromkeys(new.names + old.names):
        was = old.as_sewn(name) if name in old.names else None
        now = new.as_sewn(name) if name in new.names else None
        if was is None or now is None or abs(now - was) > UNCHANGED:
            edges.append(_Edge(name, new.size, was, now))
    return edges


def _rows(edges: Sequence[_Edge], sizes: Sequence[str]) -> List[Tuple[str, ...]]:
    """Size, edge, before, after, change, of one piece that is drawn in such sizes."""
    by_name: Dict[str, List[_Edge]] = {}
    for edge in edges:
        by_name.setdefault(edge.name, []).append(edge)
    count = len({edge.size for edge in edges})
    alike = [name for name, some in by_name.items() if count > _EACH_SIZE and len(some) == count]
    alike = [name for name in alike if _changed_alike(by_name[name])]
    rows = [_row(edge) for edge in edges if edge.name not in alike]
    return [_shared_row(by_name[name], sizes) for name in alike] + rows


def _changed_alike(edges: Sequence[_Edge]) -> bool:
    changes = [edge.now - edge.was for edge in edges if edge.was is not None and edge.now is not None]
    return len(changes) == len(edges) and max(changes) - min(changes) < _ALIKE


def _row(edge: _Edge) -> Tuple[str, ...]:
    if edge.was is None or edge.now is None:
        shown = ["-" if length is None else "{:.2f}".format(length) for length in (edge.was, edge.now)]
        return (edge.size, edge.name, *shown, "-")
    return (edge.size, edge.name, *_words(edge.was, edge.now))


def _shared_row(edges: Sequence[_Edge], sizes: Sequence[str]) -> Tuple[str, ...]:
    """One row for an edge in all its sizes: every column from the least to the most."""
    before = [edge.was for edge in edges if edge.was is not None]
    after = [edge.now for edge in edges if edge.now is not None]
    changes = [now - was for was, now in zip(before, after)]
    columns = [
        " to ".join(dict.fromkeys(form.format(length) for length in (min(some), max(some))))
        for some, form in ((before, "{:.2f}"), (after, "{:.2f}"), (changes, "{:+.2f}"))
    ]
    named = [edge.size for edge in edges]
    first = list(sizes).index(named[0])
    in_a_row = list(sizes[first : first + len(named)]) == named
    shown = "{} to {}".format(named[0], named[-1]) if in_a_row else ", ".join(named)
    return (shown, edges[0].name, *columns)


def _words(was: float, now: float) -> Tuple[str, str, str]:
    """Two lengths and the change, to a hundredth; the change is that of the lengths as written."""
    change = round(round(now, 2) - round(was, 2), 2)
    return "{:.2f}".format(was), "{:.2f}".format(now), "{:+.2f}".format(change)


def _outline(pattern: Pattern, piece: str, size: str) -> Optional[Outline]:
    try:
        return pattern.piece(piece).outline(size)
    except InputError:
        return None
