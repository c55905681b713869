"""An outline: one seam line in one size, cut into named edges."""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, join, turns
from sewkit.geometry.tolerance import CORNER_TURN

# Parts of an outline are put together over gaps up to this (mm): both sides copy the same
# parent's corner, so the gap is rounding alone.
_JOINED = 1e-3


class Edge(NamedTuple):
    """Curves ``start`` to ``stop`` (exclusive) of an outline.

    An edge that a dart interrupts appears as several runs of one name, in order.
    ``smooth``: it begins without a corner, where the edge before it runs on.
    """

    name: str
    start: int
    stop: int
    smooth: bool = False


class Outline(NamedTuple):
    """A seam line (mm) that knows its edges.

    Args:
        size: the size's name; empty where the piece has only one.
        path: starts at the start of the first edge.
        edges: in path order, covering the whole path without gaps.
        key: how the drawing knows it; empty for a new one.
    """

    size: str
    path: Path
    edges: Tuple[Edge, ...]
    key: str = ""

    @property
    def names(self) -> Tuple[str, ...]:
        """The edges' names in path order, each once."""
        return tuple(dict.fromkeys(edge.name for edge in self.edges))

    def runs(self, name: str) -> Tuple[Path, ...]:
        """The open paths of an edge: one, or several where a dart interrupts it."""
        return tuple(self.path.part(e.start, e.stop) for e in self.edges if e.name == name)

    def edge(self, name: str) -> Optional[Edge]:
        """The first run of that name, or None."""
        return next((edge for edge in self.edges if edge.name == name), None)

    def edge_path(self, name: str) -> Path:
        """An uninterrupted edge as one open path; ``InputError`` where it is not one."""
        runs = self.runs(name)
        if not runs:
            raise InputError(
                "There is no edge called '{}'.".format(name),
                "Its edges are: {}.".format(", ".join(self.names)),
                code="name",
            )
        if len(runs) > 1:
            raise InputError(
                "The edge '{}' is interrupted, by a dart perhaps.".format(name),
                "Close the dart first, or name its parts apart.",
                code="name",
            )
        return runs[0]

    def as_sewn(self, name: str) -> float:
        """An edge's length (mm) with darts closed: the dart legs are not part of it."""
        return float(sum(path_length(run) for run in self.runs(name)))

    def replace_path(self, path: Path) -> "Outline":
        """The same edges on a path of as many curves."""
        if len(path) != len(self.path):
            raise ValueError("the number of curves changed")
        return self._replace(path=path)


def corner_nodes(path: Path) -> Tuple[int, ...]:
    """The nodes where the path turns by more than ``CORNER_TURN`` degrees.

    An open path's ends count as corners.
    """
    sharp = np.nonzero(np.abs(turns(path)) > CORNER_TURN)[0] if len(path) else np.array([], int)
    if path.closed:
        return tuple(int(node) for node in sharp)
    return (0,) + tuple(int(node) + 1 for node in sharp) + (len(path),)


def bare_outline(path: Path, size: str = "", key: str = "") -> Outline:
    """An outline nobody has named: edges "1", "2", ... from corner to corner.

    A closed path starts at its first corner in path order; one without corners is a
    single edge from its first node.
    """
    corners = corner_nodes(path)
    if path.closed and corners:
        path = path.start_at(corners[0])
        corners = tuple(node - corners[0] for node in corners) + (len(path),)
    elif path.closed:
        corners = (0, len(path))
    edges = tuple(
        Edge(str(number + 1), start, stop) for number, (start, stop) in enumerate(zip(corners, corners[1:]))
    )
    return Outline(size, path, edges, key)


def other_way_round(outline: Outline, first: int, last: int) -> bool:
    """Whether two nodes mean the run from the second to the first.

    They do where that run has no corner inside and the run in path direction has one; so
    an edge is found in whichever order its ends were clicked.  Always on an open outline
    whose second node comes first.
    """
    if not outline.path.closed:
        return last < first
    corners = [edge.start for edge in outline.edges if not edge.smooth]

    def inside(start: int, stop: int) -> bool:
        count = len(outline.path)
        return any(0 < (corner - start) % count < (stop - start) % count for corner in corners)

    return inside(first, last) and not inside(last, first)


def begun_at_an_edge(outline: Outline, darts: Sequence[str]) -> Outline:
    """The same outline, started where an edge begins and not behind a dart in one.

    Distances along an edge that a dart interrupts count from where the edge begins, so its
    first run must come first.
    """
    edges = outline.edges
    if not outline.path.closed or not darts:
        return outline
    for number, edge in enumerate(edges):
        before = [e.name for e in edges[number:] + edges[:number] if e.name not in darts]
        if edge.name not in darts and before[-1] != edge.name:
            return _from_edge(outline, number) if number else outline
    return outline


def _from_edge(outline: Outline, number: int) -> Outline:
    shift, count = outline.edges[number].start, len(outline.path)
    edges = tuple(
        edge._replace(start=(edge.start - shift) % count, stop=(edge.stop - shift - 1) % count + 1)
        for edge in outline.edges[number:] + outline.edges[:number]
    )
    return outline._replace(path=outline.path.start_at(shift), edges=edges)


def from_edges(size: str, parts: Sequence[Tuple[str, Path, bool]], closed: bool, key: str = "") -> Outline:
    """Put an outline together from (name, open path, smooth start), end to end.

    Ends must meet within ``_JOINED``, or it is a ``ValueError``.
    """
    edges: List[Edge] = []
    at = 0
    for name, part, smooth in parts:
        edges.append(Edge(name, at, at + len(part), smooth))
        at += len(part)
    path = join([part for _, part, _ in parts], closed=closed, tolerance=_JOINED)
    return Outline(size, path, tuple(edges), key)
