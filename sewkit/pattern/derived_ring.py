"""The outline round some edges, with the darts in them closed.

    ring = ring_round(piece, outline, ("neck",), reach=50.0)
    ring.outline                      # the edges as sewn; far away from them it may gape

As on paper: a dart near the edges is folded shut, everything beyond it turns about its point,
and the paper is cut open on the far side, where it does not matter.
"""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, lines, turns
from sewkit.geometry.tolerance import CORNER_TURN, SAME_POINT
from sewkit.geometry.transform import IDENTITY, Transform, move, turn
from sewkit.pattern.dart_cut_in import cut_in
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.spoke_joint import Bit, outline_of

# The name of the line over the paper that was cut open; no edge of a piece has a blank in its name.
GAPE = "gape "

# A drawn dart stands on an edge if its feet are this near (mm): from a cut line drawn an inch outside.
_STANDS = 26.0


class Shut(NamedTuple):
    """A dart in the edges that was closed.

    Args:
        name: of the dart.
        leg: where both its legs lie now, from the mouth to the point (mm).
        moved: the move of what lies beyond it.
    """

    name: str
    leg: Path
    moved: Transform


class Ring(NamedTuple):
    """An outline with darts closed.

    Args:
        outline: begins with the first of the edges.
        edges: the edges in path order.
        before, after: the edges beside them.
        closed: the names of the darts that were closed.
        held: the move of the start of the edges.
        shut: the darts in the edges themselves, in path order; pleats are not among them.
    """

    outline: Outline
    edges: Tuple[str, ...]
    before: str
    after: str
    closed: Tuple[str, ...] = ()
    held: Transform = IDENTITY
    shut: Tuple[Shut, ...] = ()


class _Run(NamedTuple):
    name: str
    path: Path
    moved: Transform = IDENTITY


def with_drawn(piece: Piece, size: str, edges: Sequence[str]) -> Piece:
    """The piece with the darts cut in that are only drawn and stand on some edges of one size."""
    outline = piece.outline(size)
    runs = [run for name in edges for run in outline.runs(name)]
    for drawn in drawn_darts(piece, outline.size) if runs else ():
        feet = [leg.start for leg in drawn.legs]
        if not drawn.contour and all(min(nearest(r, f).distance for r in runs) <= _STANDS for f in feet):
            try:
                piece, _ = cut_in(piece, outline.size, drawn)
            except InputError:
                continue  # drawn so that nobody could sew it; the edge is taken as it is
    return piece


def in_path_order(piece: Piece, outline: Outline, edges: Sequence[str]) -> Tuple[str, ...]:
    """Edges that lie beside each other in the order of the path.

    ``InputError``: one is not there, they are not beside each other, or nothing is beside them.
    """
    for name in edges:
        outline.edge(name) or outline.edge_path(name)
        if name in piece.folds or name in piece.darts:
            what = "a fold" if name in piece.folds else "the leg of a dart"
            raise InputError(
                "'{}' of '{}' is {}, and nothing is sewn on along it.".format(name, piece.name, what),
                "Name another edge.",
                code="choice",
            )
    row: List[str] = []
    for edge in outline.edges:
        if edge.name not in piece.darts and (not row or row[-1] != edge.name):
            row.append(edge.name)
    if len(row) > 1 and row[0] == row[-1]:
        row.pop()
    wanted = set(edges)
    starts = [n for n, name in enumerate(row) if name in wanted and row[n - 1] not in wanted]
    if len(starts) != 1 or row.count(row[starts[0]]) > 1:
        raise _apart(piece, row, edges)
    found = [row[(starts[0] + n) % len(row)] for n in range(len(wanted))]
    if set(found) != wanted:
        raise _apart(piece, row, edges)
    return tuple(found)


def _apart(piece: Piece, row: Sequence[str], edges: Sequence[str]) -> InputError:
    if set(row) <= set(edges):
        return InputError(
            "'{}' has no edge beside {} on which a facing could end.".format(piece.name, ", ".join(edges)),
            "Leave one edge out, or divide one by a name of its own.",
            code="choice",
        )
    return InputError(
        "The edges {} of '{}' do not lie beside each other.".format(", ".join(edges), piece.name),
        "Take a facing for each; round the piece they come as {}.".format(", ".join(row)),
        code="choice",
    )


def ring_round(piece: Piece, outline: Outline, edges: Sequence[str], reach: float) -> Ring:
    """The outline begun at the first edge, every dart within ``reach`` mm of the edges closed.

    The part of the edges beside a fold or a centre stays where it is, else the first of them.
    """
    if not outline.path.closed:
        raise InputError("'{}' is open.".format(piece.name), "Join its two end nodes first.", code="open")
    order = in_path_order(piece, outline, edges)
    runs = _from(outline, order[0], piece.darts)
    last = max(n for n, run in enumerate(runs) if run.name in order)
    plain = [run.name for run in runs if run.name not in piece.darts]
    after = next(run.name for run in runs[last + 1 :] if run.name not in piece.darts)
    ends = order, plain[-1], after
    near = [run.path for run in runs[: last + 1] if run.name in order]
    mouths = [m for m in _mouths(runs, piece.darts) if _is_near(runs, m, last, near, reach)]
    if not mouths:
        return Ring(outline_of(outline, _bits(runs)), *ends)
    made, stays = _closed(runs, mouths, last, after in piece.folds or after.startswith("centre"))
    names = tuple(dict.fromkeys(runs[first].name for first, _ in mouths))
    bits = [bit._replace(path=stays.path(bit.path)) for bit in _bits(made)]
    shut = _shut(runs, [mouth for mouth in mouths if mouth[1] < last], stays)
    return Ring(outline_of(outline, bits), *ends, names, stays, shut)


def _from(outline: Outline, first: str, darts: Sequence[str]) -> List[_Run]:
    """The runs of the outline from the start of an edge on, darts in it included."""
    edges = outline.edges
    for number, edge in enumerate(edges):
        back = [e.name for e in edges[number:] + edges[:number] if e.name not in darts]
        if edge.name == first and (back[-1] != first):
            ordered = edges[number:] + edges[:number]
            return [_Run(e.name, outline.path.part(e.start, e.stop)) for e in ordered]
    raise ValueError("the edge does not begin anywhere")


def _mouths(runs: Sequence[_Run], darts: Sequence[str]) -> List[Tuple[int, int]]:
    """First and last run of each row of legs between two edges."""
    found: List[Tuple[int, int]] = []
    for number, run in enumerate(runs):
        if run.name not in darts:
            continue
        if found and found[-1][1] == number - 1 and runs[number - 1].name == run.name:
            found[-1] = found[-1][0], number
        else:
            found.append((number, number))
    return found


def _is_near(
    runs: Sequence[_Run], mouth: Tuple[int, int], last: int, edges: Sequence[Path], reach: float
) -> bool:
    first, end = mouth
    if end < last:
        return True
    spots = runs[first].path.start, runs[end].path.end
    return min(nearest(path, spot).distance for path in edges for spot in spots) < reach


def _closing(runs: Sequence[_Run], mouth: Tuple[int, int]) -> Transform:
    """The move that brings what lies beyond a mouth to what lies before it."""
    first, last = mouth
    start, end = runs[first].path.start, runs[last].path.end
    if last - first != 1:
        return move(*(start - end))
    point = runs[first].path.end
    here, there = end - point, start - point
    angle = np.arctan2(here[0] * there[1] - here[1] * there[0], here @ there)
    turned = turn(float(np.degrees(angle)), point)
    return turned.then(move(*(start - turned.points(end))))


def _shut(runs: Sequence[_Run], mouths: Sequence[Tuple[int, int]], stays: Transform) -> Tuple[Shut, ...]:
    """The darts among the mouths in the edges."""
    found = []
    moved = IDENTITY
    for first, end in mouths:
        leg = moved.then(stays).path(runs[first].path)
        moved = _closing(runs, (first, end)).then(moved)
        if end - first == 1:
            found.append(Shut(runs[first].name, leg, moved.then(stays)))
    return tuple(found)


def _closed(
    runs: Sequence[_Run], mouths: Sequence[Tuple[int, int]], last: int, at_end: bool
) -> Tuple[List[_Run], Transform]:
    """The runs without the legs, each where it lies with the mouths shut; and what holds the end still."""
    far = _far(runs, mouths, last)
    legs = {n for first, end in mouths for n in range(first, end + 1)}
    closing = {mouth: _closing(runs, mouth) for mouth in mouths}
    made: List[_Run] = []
    moved, held = IDENTITY, IDENTITY
    for number in range(far):
        moved = next((closing[m].then(moved) for m in mouths if m[1] == number), moved)
        if number not in legs:
            made.append(_Run(runs[number].name, moved.path(runs[number].path)))
        held = moved if number == last else held
    back: List[_Run] = []
    moved = IDENTITY
    for number in range(len(runs) - 1, far - 1, -1):
        moved = next((closing[m].inverse().then(moved) for m in mouths if m[0] == number), moved)
        if number not in legs:
            back.insert(0, _Run(runs[number].name, moved.path(runs[number].path)))
    if any(end - first != 1 for first, end in mouths):
        # A folded pleat lays the far side over itself: one edge of it makes room for the cut.
        if len(back) > 1:
            del back[0]
        elif far - 1 > last + 1:
            del made[-1]
    start = back[0].path.start if back else made[0].path.start
    if np.hypot(*(start - made[-1].path.end)) > SAME_POINT:
        made.append(_Run(GAPE, Path(lines(made[-1].path.end[None], start[None]))))
    return made + back, held.inverse() if at_end else IDENTITY


def _far(runs: Sequence[_Run], mouths: Sequence[Tuple[int, int]], last: int) -> int:
    """The number of the run before which the paper is cut open: half way round from the edges."""
    lengths = [path_length(run.path) for run in runs[last + 1 :]]
    passed = np.concatenate([[0.0], np.cumsum(lengths)]) - sum(lengths) / 2.0
    inside = {n for first, end in mouths for n in range(first + 1, end + 2)}
    allowed = [n for n in range(last + 2, len(runs)) if n not in inside]
    return min(allowed, key=lambda n: abs(passed[n - last - 1])) if allowed else len(runs)


def _bits(runs: Sequence[_Run]) -> List[Bit]:
    """The runs as bits of an outline, neighbours of one name as one, apart only at corners."""
    bits: List[Bit] = []
    rows: List[_Run] = []
    for run in runs:
        if rows and rows[-1].name == run.name:
            joined = np.concatenate([rows[-1].path.curves, run.path.curves])
            rows[-1] = rows[-1]._replace(path=Path(joined))
        else:
            rows.append(run)
    for row in rows:
        bits += cornered(row.name, row.path)
    return [bit._replace(first=not number) for number, bit in enumerate(bits)]


def cornered(name: str, path: Path) -> List[Bit]:
    """A path as runs of one name from corner to corner; mm."""
    bends = np.abs(turns(path)) if len(path) > 1 else np.zeros(0)
    nodes = [0, *(int(node) + 1 for node in np.nonzero(bends > CORNER_TURN)[0]), len(path)]
    return [Bit(name, path.part(a, b), None if not a else False) for a, b in zip(nodes, nodes[1:])]
