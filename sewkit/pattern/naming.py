"""The names of an outline's edges as one readable line, and how they heal.

    armhole:228.17 side:190.52 hem:210.02 centre:300 ~neck:120

One entry for each run from corner to corner, in path order from the first corner, with
its length in mm when it was named.  ``~`` opens an edge that begins without a corner.
The lengths make the names survive what an editor does to a path: a new start node or
a reversed direction is recognised and put right; a corner more or less, or two orders
that fit alike, are told, never guessed at.  One thing cannot be seen: an outline that is
its own mirror image, reversed, fits its lengths as it did before.
"""

import math
from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import curve_lengths, place_at
from sewkit.geometry.path import Path, cut_curve
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.outline import Edge, Outline, bare_outline, corner_nodes
from sewkit.pattern.seam import check_name
from sewkit.units import write_number

# Another start or direction is believed only if it fits the remembered lengths this many
# times better, and if the plain order is off by more than this part of the perimeter (or
# the other order fits exactly): an edge that was merely changed must never be renamed.
_MUCH_BETTER = 4.0
_NOTICEABLE = 0.02

# How exactly a length can be remembered: two decimals (mm an edge), and the eight digits
# with which an editor rewrites a path (part of the perimeter).
_WRITTEN = 0.01
_REWRITTEN = 1e-6

# An edge that differs by more from what is remembered was moved by somebody (mm): our lengths are
# exact to this, and rounding in the file is a tenth of it.
MOVED = 0.05

# A remembered place nearer than this to a node means that node (mm).
_SNAP = 0.5


class Entry(NamedTuple):
    """One word of the line."""

    name: str
    length: Optional[float]
    smooth: bool


class Named(NamedTuple):
    """An outline read, and in a sentence what was put right on the way, if anything.

    Args:
        moved: number of the edge, its remembered and its drawn length (mm), where they differ.
    """

    outline: Outline
    healed: str
    moved: Tuple[Tuple[int, float, float], ...] = ()


def parse_entries(text: str) -> Tuple[Entry, ...]:
    """Read the line; ``InputError`` for a word that is not an edge."""
    entries = []
    for word in text.split():
        smooth = word.startswith("~")
        name, sign, length = word[smooth:].partition(":")
        known = _length(length) if sign else None
        if sign and known is None:
            raise InputError(
                "'{}' is not an edge name.".format(word), "Write name or name:length.", code="name"
            )
        entries.append(Entry(check_name(name, "name of an edge"), known, smooth))
    if entries and entries[0].smooth:
        raise InputError("The first edge must begin at a corner, so without '~'.", code="name")
    return tuple(entries)


def _length(text: str) -> Optional[float]:
    """A length in mm; None where the text is none."""
    try:
        length = float(text)
    except ValueError:
        return None
    return length if math.isfinite(length) and length >= 0 else None


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
    bare, healed = _heal(bare, groups, where)
    outline = _with_smooth_edges(bare, groups, where)
    return Named(outline, healed, _moved(outline, [entry for group in groups for entry in group]))


def _moved(outline: Outline, entries: Sequence[Entry]) -> Tuple[Tuple[int, float, float], ...]:
    """The edges that are longer or shorter than what is remembered of them."""
    lengths = curve_lengths(outline.path.curves)
    nothing = MOVED + _REWRITTEN * float(lengths.sum())
    found = []
    for number, (edge, entry) in enumerate(zip(outline.edges, entries)):
        now = float(lengths[edge.start : edge.stop].sum())
        if entry.length is not None and abs(now - entry.length) > nothing:
            found.append((number, entry.length, now))
    return tuple(found)


def _groups(entries: Sequence[Entry]) -> List[List[Entry]]:
    groups: List[List[Entry]] = []
    for entry in entries:
        if entry.smooth:
            groups[-1].append(entry)
        else:
            groups.append([entry])
    return groups


def _heal(bare: Outline, groups: List[List[Entry]], where: str) -> Tuple[Outline, str]:
    """The outline in the order that fits the remembered lengths, and what was put right."""
    known = [entry.length for group in groups for entry in group if entry.length is not None]
    if len(known) < sum(map(len, groups)) or len(groups) < 2:
        return bare, ""
    lengths = np.array([sum(entry.length or 0.0 for entry in group) for group in groups])
    plain = _misfit(bare, lengths)
    rounding = _WRITTEN * len(known) + _REWRITTEN * lengths.sum()
    more_than_rounding = plain > _MUCH_BETTER * rounding
    noticeable = plain > _NOTICEABLE * lengths.sum()
    if not (more_than_rounding or noticeable):
        return bare, ""
    orders = [(bare_outline(path, bare.size, bare.key), told) for path, told in _other_orders(bare.path)]
    misfits = [_misfit(outline, lengths) for outline, _ in orders]
    best = int(np.argmin(misfits))
    exact = misfits[best] <= rounding and more_than_rounding
    better = misfits[best] * _MUCH_BETTER <= plain and noticeable
    if not (exact or better):
        return bare, ""
    if sum(misfit <= max(rounding, _MUCH_BETTER * misfits[best]) for misfit in misfits) > 1:
        raise InputError(
            "{} was reversed or starts elsewhere, and its edges cannot be told apart by length.".format(
                where[:1].upper() + where[1:]
            ),
            "Undo that, or name its edges again.",
            code="order",
        )
    outline, told = orders[best]
    return outline, "{}: {}; the edge names were kept.".format(where, told)


def _misfit(bare: Outline, wanted: np.ndarray) -> float:
    """By how much (mm, in all) the runs from corner to corner differ from the wanted lengths."""
    lengths = curve_lengths(bare.path.curves)
    runs = [lengths[edge.start : edge.stop].sum() for edge in bare.edges]
    return float(np.abs(np.array(runs) - wanted).sum())


def _other_orders(path: Path) -> List[Tuple[Path, str]]:
    """The path from its other corners and in the other direction, each with what that means."""
    turned = "its direction was turned round"
    if not path.closed:
        return [(path.reverse(), turned)]
    starts = [(path.start_at(corner), "it starts at another corner") for corner in corner_nodes(path)[1:]]
    back = path.reverse()
    return starts + [(back.start_at(corner), turned) for corner in corner_nodes(back)]


def _with_smooth_edges(bare: Outline, groups: List[List[Entry]], where: str) -> Outline:
    """Divide the corner-to-corner runs at the smooth edges' remembered lengths."""
    edges: List[Edge] = []
    curves: List[np.ndarray] = []
    at = 0
    for run, group in zip(bare.edges, groups):
        divided, nodes = _divided(bare.path.part(run.start, run.stop), group, where)
        for entry, start, stop in zip(group, nodes, nodes[1:]):
            edges.append(Edge(entry.name, at + start, at + stop, entry.smooth))
        at += len(divided)
        curves.append(divided)
    return Outline(bare.size, Path(np.concatenate(curves), bare.path.closed), tuple(edges), bare.key)


def _divided(part: Path, group: Sequence[Entry], where: str) -> Tuple[np.ndarray, List[int]]:
    """The curves of one run with a node at each smooth edge, and all edges' first and last nodes."""
    curves = [np.array(curve) for curve in part.curves]
    nodes = [0]
    starts = _smooth_starts(part, group, where)
    # Edges shorter than the snap must not swallow each other.
    snap = min([_SNAP] + [0.25 * gap for gap in np.diff([0.0, *starts])])
    for distance in starts:
        passed = np.concatenate([[0.0], np.cumsum(curve_lengths(np.array(curves)))])
        nearest = int(np.abs(passed - distance).argmin())
        if abs(passed[nearest] - distance) > snap or nearest == len(curves):
            place = place_at(Path(np.array(curves)), distance)
            halves = [
                cut_curve(curves[place.curve], 0.0, place.t),
                cut_curve(curves[place.curve], place.t, 1.0),
            ]
            curves[place.curve : place.curve + 1] = halves
            nearest = place.curve + 1
        nodes.append(nearest)
    return np.array(curves), nodes + [len(curves)]


def _smooth_starts(part: Path, group: Sequence[Entry], where: str) -> List[float]:
    """Where along a run (mm) its smooth edges begin, in proportion to what is remembered."""
    known = [entry.length for entry in group if entry.length is not None]
    if len(group) == 1:
        return []
    if len(known) < len(group) or min(known) <= SAME_POINT:
        raise InputError(
            "{}: the edges {} share one run from corner to corner.".format(
                where[:1].upper() + where[1:], " and ".join(entry.name for entry in group)
            ),
            "Say how long each is, such as neck:120.",
            code="name",
        )
    ends = np.cumsum(known)
    length = float(curve_lengths(part.curves).sum())
    return [float(end / ends[-1] * length) for end in ends[:-1]]
