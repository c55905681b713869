"""Both legs of a dart made equally long, so that they can be sewn to each other.

    made = equal(outline, dart)
    made.outline, made.difference, made.gains

The legs get the mean of their lengths: each end of the mouth slides along its own leg, and the
end of the edge beside it is drawn anew to there.  The point, the angle at it, and everything
farther away stay where they are.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import curve_lengths, path_length, place_at
from sewkit.geometry.path import Path, Place, cut, is_line, start_tangents
from sewkit.pattern.dart import Dart
from sewkit.pattern.drawn_dart import DrawnDart
from sewkit.pattern.notch_places import Gain
from sewkit.pattern.outline import Outline
from sewkit.pattern.spokes import reshaped

# Legs that differ by less (mm) are equal: what rounding in a file leaves.
EQUAL = 5e-4

# An edge is drawn anew over at most this (mm) from the mouth; a longer straight one turns as a whole.
_REDRAWN = 60.0


class EqualLegs(NamedTuple):
    """An outline whose dart has equal legs.

    Args:
        difference: by how much the first leg was longer than the second (mm).
        length: of both now (mm).
        gains: what the edges beside the dart gained at its mouth, for notches.
    """

    outline: Outline
    difference: float
    length: float
    gains: Tuple[Gain, ...] = ()


class EqualContour(NamedTuple):
    """A dart with two points whose legs are equal by pairs: its legs and the largest difference (mm)."""

    legs: Tuple[Path, Path]
    difference: float


def equal(outline: Outline, dart: Dart) -> EqualLegs:
    """The outline with equal legs; the very same where they are equal.

    ``InputError`` where an edge beside the dart is too short to be drawn to the new ends.
    """
    first, second = dart.lengths
    difference, length = first - second, (first + second) / 2.0
    if abs(difference) <= EQUAL:
        return EqualLegs(outline, difference, length)
    legs = [_to_length(dart.first.reverse(), length).reverse(), _to_length(dart.second, length)]
    count = len(outline.edges)
    before, after = dart.edges[0] - 1, (dart.edges[1] + 1) % count
    parts = [outline.path.part(edge.start, edge.stop) for edge in outline.edges]
    old = {number: path_length(parts[number]) for number in (before % count, after)}
    parts[dart.edges[0]], parts[dart.edges[1]] = legs
    ends = legs[0].start, legs[1].end
    for number, end, last in ((before, ends[0], True), (after, ends[1], False)):
        _refuse(dart, parts[number], end, last)
        parts[number] = _redrawn(parts[number], end, last)
    gains = []
    for number, last in ((before % count, True), (after, False)):
        gained = path_length(parts[number]) - old[number]
        gains.append(Gain(outline.edges[number].name, _along(outline, number, last), gained))
    return EqualLegs(_with_parts(outline, parts), difference, length, tuple(gains))


def equal_contour(drawn: DrawnDart) -> EqualContour:
    """A dart with two points, its legs equal on either side of where each is widest."""
    one, other = drawn.points
    halves = [_halved(leg, one, other) for leg in drawn.legs]
    lengths = np.array([[path_length(half) for half in pair] for pair in halves])
    difference = float(np.abs(lengths[0] - lengths[1]).max())
    if difference <= EQUAL:
        return EqualContour(drawn.legs, difference)
    means = lengths.mean(axis=0)
    legs = []
    for pair, own in zip(halves, lengths):
        chords = [float(np.hypot(*(half.end - half.start))) for half in pair]
        radii = [chord * mean / length for chord, mean, length in zip(chords, means, own)]
        widest = _corner(one, other, radii, pair[0].end)
        if widest is None:
            raise InputError(
                "The legs of the dart '{}' are too unlike to be made equal.".format(drawn.name),
                "Draw it anew, alike on both sides of the line between its points.",
                code="dart",
            )
        bent = [_between(pair[0], one, widest), _between(pair[1], widest, other)]
        legs.append(Path(np.concatenate([half.curves for half in bent])))
    return EqualContour((legs[0], legs[1]), difference)


def _to_length(leg: Path, length: float) -> Path:
    """A leg, from the point, cut off or prolonged along its direction at the mouth (mm)."""
    now = path_length(leg)
    if length <= now:
        return cut(leg, Place(0, 0.0), place_at(leg, length))
    ahead = -start_tangents(leg.reverse().curves[:1])[0]
    end = leg.end + (length - now) * ahead
    if is_line(leg.curves[-1:])[0]:
        return Path(np.concatenate([leg.curves[:-1], Path.through([leg.curves[-1, 0], end]).curves]))
    return Path(np.concatenate([leg.curves, Path.through([leg.end, end]).curves]))


def _redrawn(edge: Path, end: np.ndarray, last: bool) -> Path:
    """An edge drawn to another end (2,), its last or its first.

    A straight one stays straight.  Of a bent one the nodes near the end go along, less and less
    with the distance; each takes its handles with it, so no direction in it changes.
    """
    if not last:
        return _redrawn(edge.reverse(), end, True).reverse()
    if len(edge) == 1 and is_line(edge.curves)[0]:
        return Path.through([edge.start, end])
    shift = end - edge.end
    lengths = curve_lengths(edge.curves)
    whole = float(lengths.sum())
    from_end = whole - np.concatenate([[0.0], np.cumsum(lengths)])
    near = np.clip(1.0 - from_end / min(whole, _REDRAWN), 0.0, 1.0)
    share = near * near * (3.0 - 2.0 * near)
    share[-1] = 1.0
    curves = np.array(edge.curves)
    curves[:, :2] += share[:-1, None, None] * shift
    curves[:, 2:] += share[1:, None, None] * shift
    curves[-1, 3] = end
    return Path(curves)


def _refuse(dart: Dart, edge: Path, end: np.ndarray, last: bool) -> None:
    shift = float(np.hypot(*(end - (edge.end if last else edge.start))))
    if path_length(edge) > 2.0 * shift:
        return
    raise InputError(
        "The legs of the dart '{}' differ so much that an edge beside it, {:.1f} mm long, "
        "cannot be drawn to their new ends.".format(dart.name, path_length(edge)),
        "Draw the legs more alike first.",
        code="dart",
    )


def _along(outline: Outline, number: int, last: bool) -> float:
    """How far along its edge, as sewn, one end of a run lies (mm)."""
    runs = [n for n, edge in enumerate(outline.edges) if edge.name == outline.edges[number].name]
    passed = [n for n in runs if n < number] + ([number] if last else [])
    parts = [outline.path.part(outline.edges[n].start, outline.edges[n].stop) for n in passed]
    return float(sum(path_length(part) for part in parts))


def _with_parts(outline: Outline, parts: List[Path]) -> Outline:
    """The outline of other runs, end to end; each begins where the one before ends."""
    edges, at = [], 0
    for edge, part in zip(outline.edges, parts):
        edges.append(edge._replace(start=at, stop=at + len(part)))
        at += len(part)
    curves = np.concatenate([part.curves for part in parts])
    curves[:, 0] = np.roll(curves[:, 3], 1, axis=0)
    return outline._replace(path=Path(curves, closed=True), edges=tuple(edges))


def _halved(leg: Path, one: np.ndarray, other: np.ndarray) -> Tuple[Path, Path]:
    """A leg between two points, divided where it is widest: at the node farthest from between them."""
    way = other - one
    nodes = leg.nodes[1:-1] - one
    if not len(nodes):
        half = place_at(leg, path_length(leg) / 2.0)
        return cut(leg, Place(0, 0.0), half), cut(leg, half, Place(len(leg) - 1, 1.0))
    widest = int(np.abs(nodes[:, 0] * way[1] - nodes[:, 1] * way[0]).argmax()) + 1
    return leg.part(0, widest), leg.part(widest, len(leg))


def _corner(
    one: np.ndarray, other: np.ndarray, radii: Sequence[float], beside: np.ndarray
) -> Optional[np.ndarray]:
    """The place (2,) so far (mm) from one and so far from the other point, on the side of ``beside``."""
    way = other - one
    size = float(np.hypot(*way))
    along = (size * size + radii[0] ** 2 - radii[1] ** 2) / (2.0 * size)
    square = radii[0] ** 2 - along * along
    if square <= 0:
        return None
    out = np.array([-way[1], way[0]]) / size
    out = out if (beside - one) @ out >= 0 else -out
    return one + along * way / size + np.sqrt(square) * out


def _between(half: Path, start: np.ndarray, end: np.ndarray) -> Path:
    return Path.through([start, end]) if is_line(half.curves).all() else reshaped(half, start, end)
