"""The names of an outline's edges as one readable line, and how they heal.

    armhole:228.17 side:190.52 hem:210.02 centre:300 ~neck:120

One entry for each run from corner to corner, in path order from the first corner, with
its length in mm when it was named.  ``~`` opens an edge that begins without a corner.
The lengths make the names survive what an editor does to a path: a new start node or
a reversed direction is recognised and put right; a corner more or less is told, never
guessed at.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import curve_lengths, place_at
from sewkit.geometry.path import Path, split_at
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.outline import Edge, Outline, bare_outline, corner_nodes
from sewkit.pattern.seam import check_name
from sewkit.units import write_number

# Another start or direction is believed only if it fits the remembered lengths this many
# times better, and if the plain order is off by more than this part of the perimeter:
# an edge that was merely changed must never be renamed.
_MUCH_BETTER = 4.0
_NOTICEABLE = 0.02

# A remembered place nearer than this to a node means that node (mm).
_SNAP = 0.5


class Entry(NamedTuple):
    """One word of the line."""

    name: str
    length: Optional[float]
    smooth: bool


class Named(NamedTuple):
    """An outline read, and in a sentence what was put right on the way, if anything."""

    outline: Outline
    healed: str


def parse_entries(text: str) -> Tuple[Entry, ...]:
    """Read the line; ``InputError`` for a word that is not an edge."""
    entries = []
    for word in text.split():
        smooth = word.startswith("~")
        name, sign, length = word[smooth:].partition(":")
        try:
            known = float(length) if sign else None
        except ValueError:
            raise InputError(
                "'{}' is not an edge name.".format(word), "Write name or name:length.", code="name"
            ) from None
        entries.append(Entry(check_name(name, "name of an edge"), known, smooth))
    if entries and entries[0].smooth:
        raise InputError("The first edge must begin at a corner, so without '~'.", code="name")
    return tuple(entries)


def write_names(outline: Outline) -> str:
    """Write the line for an outline; ``name_edges`` reads it back."""
    lengths = curve_lengths(outline.path.curves)
    return " ".join(
        "{}{}:{}".format(
            "~" if edge.smooth else "",
            edge.name,
            write_number(round(float(lengths[edge.start : edge.stop].sum()), 2)),
        )
        for edge in outline.edges
    )


def name_edges(path: Path, text: str, size: str = "", key: str = "", where: str = "the outline") -> Named:
    """Cut a path into the edges that the line names.

    Raises ``InputError`` where the number of corners no longer fits.
    """
    groups = _groups(parse_entries(text))
    bare = bare_outline(path, size, key)
    if len(groups) != len(bare.edges):
        raise InputError(
            "{} has {} named runs from corner to corner, but {} are drawn now.".format(
                where[:1].upper() + where[1:], len(groups), len(bare.edges)
            ),
            "A corner was added, removed or rounded: name its edges again.",
            code="corners",
        )
    path, groups, healed = _heal(bare, groups, where)
    return Named(_with_smooth_edges(path, groups, size, key), healed)


def _groups(entries: Sequence[Entry]) -> List[List[Entry]]:
    groups: List[List[Entry]] = []
    for entry in entries:
        if entry.smooth:
            groups[-1].append(entry)
        else:
            groups.append([entry])
    return groups


def _heal(bare: Outline, groups: List[List[Entry]], where: str) -> Tuple[Path, List[List[Entry]], str]:
    """The path turned and rotated so that its runs fit the remembered lengths."""
    wanted = [[entry.length for entry in group] for group in groups]
    if any(length is None for group in wanted for length in group) or len(groups) < 2:
        return bare.path, groups, ""
    lengths = np.array([sum(group) for group in wanted])
    orders = [(bare.path, "")]
    if bare.path.closed:
        orders += [(bare_outline(path).path, told) for path, told in _other_orders(bare)]
    else:
        orders += [(bare.path.reverse(), "its direction was turned round")]
    misfits = [np.abs(_run_lengths(path) - lengths).sum() for path, _ in orders]
    best = int(np.argmin(misfits))
    plain = misfits[0]
    if plain <= _NOTICEABLE * lengths.sum() or misfits[best] * _MUCH_BETTER > plain:
        best = 0
    told = orders[best][1]
    return orders[best][0], groups, "{}: {}; the edge names were kept.".format(where, told) if told else ""


def _other_orders(bare: Outline) -> List[Tuple[Path, str]]:
    found = []
    for path, told in ((bare.path, ""), (bare.path.reverse(), "its direction was turned round")):
        for corner in corner_nodes(path):
            turned = path.start_at(corner)
            found.append((turned, told or "it starts at another corner"))
    return found


def _run_lengths(path: Path) -> np.ndarray:
    lengths = curve_lengths(path.curves)
    return np.array([lengths[e.start : e.stop].sum() for e in bare_outline(path).edges])


def _with_smooth_edges(path: Path, groups: List[List[Entry]], size: str, key: str) -> Outline:
    """Divide the corner-to-corner runs at the smooth edges' remembered lengths."""
    runs = bare_outline(path).edges
    cuts, sharp = [], {}
    for run, group in zip(runs, groups):
        if len(group) == 1:
            continue
        if any(entry.length is None for entry in group):
            raise InputError(
                "The edges {} share one run from corner to corner.".format(
                    " and ".join(entry.name for entry in group)
                ),
                "Say how long each is, such as neck:120.",
                code="name",
            )
        part = path.part(run.start, run.stop)
        shares = np.cumsum([entry.length for entry in group])[:-1] / sum(e.length for e in group)
        lengths = np.concatenate([[0.0], np.cumsum(curve_lengths(part.curves))])
        for share in shares:
            distance = share * lengths[-1]
            nearest = int(np.abs(lengths - distance).argmin())
            if abs(lengths[nearest] - distance) <= _SNAP and 0 < nearest < len(part):
                sharp.setdefault(run.start, []).append(nearest + run.start)
                continue
            place = place_at(part, distance)
            cuts.append((run.start, place._replace(curve=place.curve + run.start)))
    return _assemble(path, runs, groups, cuts, sharp, size, key)


def _assemble(path, runs, groups, cuts, nodes, size, key):  # type: ignore[no-untyped-def]
    """Put the divided runs together; a cut adds a node and moves those behind it."""
    edges, out, at = [], [], 0
    for run, group in zip(runs, groups):
        part = path.part(run.start, run.stop)
        places = [place._replace(curve=place.curve - run.start) for start, place in cuts if start == run.start]
        marks = [tuple(path.curves[node, 0]) for node in nodes.get(run.start, ())]
        divided = split_at(part, places)
        marks += [_point_of(part, place) for place in places]
        starts = [0] + sorted(_node_at(divided, mark) for mark in marks) + [len(divided)]
        for entry, start, stop in zip(group, starts, starts[1:]):
            edges.append(Edge(entry.name, at + start, at + stop, entry.smooth))
        at += len(divided)
        out.append(divided.curves)
    return Outline(size, Path(np.concatenate(out), path.closed), tuple(edges), key)


def _point_of(path, place):  # type: ignore[no-untyped-def]
    from sewkit.geometry.path import point

    return tuple(point(path.curves[place.curve : place.curve + 1], place.t)[0])


def _node_at(path: Path, spot) -> int:  # type: ignore[no-untyped-def]
    return int(np.hypot(*(path.nodes - np.array(spot)).T).argmin())


def orientation(path: Path) -> int:
    """1 where a closed path runs clockwise on the sheet, -1 where it does not."""
    return 1 if signed_area(path) >= 0 else -1
