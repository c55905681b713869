"""A new dart at a place of an edge, or with two points inside a piece.

    added(piece, outline, on, Shape(width=20.0, length=100.0), "waist-dart")
    added(piece, outline, on, Shape(angle=9.0, mark=apex, stand_off=25.0), "bust-dart", keep="side")
    inside(piece, outline, spot, down, out, Contour(20.0, 110.0, 90.0), "waist-dart")

Both ends of its mouth lie on the edge, as far on one side of the place as on the other, so the
edge is shorter as sewn by what lies between them: of a straight edge by the width.
"""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.path import Path, Place, cut, end_tangents, point
from sewkit.geometry.polygon import contains, signed_area
from sewkit.geometry.rejoin import rejoined
from sewkit.pattern.changed_dart import ChangedDart, along, gain_at, refuse_crossed, with_runs
from sewkit.pattern.dart_width import LEAST, outline_run
from sewkit.pattern.edge_end import moved_end, moved_start
from sewkit.pattern.mark import DART, Mark, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.notch_places import Gain
from sewkit.pattern.outline import Outline, begun_at_an_edge
from sewkit.pattern.piece import Piece
from sewkit.pattern.spoke_joint import Bit, outline_of

# So much of an edge is left beside a dart, and so long is a dart at least (mm).
_LEFT, _LEAST_LENGTH = 1.0, 5.0

# A dart that sets out flatter than this to its edge (sine: 10 degrees) would run along it.
_FLAT = 0.17

# The mouth is found in so many halvings, far below rounding.
_STEPS = 100


class Shape(NamedTuple):
    """What a new dart looks like.

    Args:
        width: of its mouth (mm), if the angle is 0.
        angle: at its point (degrees); 0: the width counts.
        length: from the middle of its mouth to its point (mm), if there is no mark.
        way: the direction (2,) along which it lies, either way; None: square to its mouth.
        mark: a spot (2,) towards which it points.
        stand_off: how far before the mark it ends (mm).
    """

    width: float = 20.0
    angle: float = 0.0
    length: float = 100.0
    way: Optional[np.ndarray] = None
    mark: Optional[np.ndarray] = None
    stand_off: float = 25.0


class Contour(NamedTuple):
    """A dart with two points: its width, and how far its points lie above and below (mm)."""

    width: float
    above: float
    below: float


class _Mouth(NamedTuple):
    """Both ends of a mouth (2,), the point of the dart, and the angle there (degrees)."""

    first: np.ndarray
    second: np.ndarray
    point: np.ndarray

    @property
    def width(self) -> float:
        return float(np.hypot(*(self.second - self.first)))

    @property
    def angle(self) -> float:
        one, other = self.first - self.point, self.second - self.point
        return float(np.degrees(np.arctan2(abs(one[0] * other[1] - one[1] * other[0]), one @ other)))


def added(piece: Piece, outline: Outline, on: On, shape: Shape, name: str, keep: str = "") -> ChangedDart:
    """One size with a new dart whose mouth has its middle at a place of an edge.

    ``keep``: the edge beside it at whose end the width is given back, so that the edge with the
    dart sews to the same length; empty: it gets shorter.  ``InputError``: the dart does not fit.
    """
    _refuse_edge(piece, outline, on.edge)
    number, run, middle = _run_at(outline, on)
    half = _half_mouth(outline, run, middle, shape, name)
    mouth = _mouth(outline, run, middle, half, shape, name)
    last = Place(len(run) - 1, 1.0)
    first = cut(run, Place(0, 0.0), place_at(run, middle - half))
    second = cut(run, place_at(run, middle + half), last)
    new = _with_dart(piece, outline, number, (first, second), mouth.point, name)
    gains = [Gain(on.edge, along(outline, number, False) + middle - half, -2.0 * half)]
    if keep:
        new, given = _given_back(piece, outline, new, (on.edge, name), keep)
        gains += given
    refuse_crossed(piece, outline, new, name, [mouth.point])
    return ChangedDart(name, outline, new, tuple(gains))


def _refuse_edge(piece: Piece, outline: Outline, edge: str) -> None:
    if not outline.path.closed:
        raise InputError(
            "The outline of '{}' is open, so it can have no dart.".format(piece.name),
            "Join its two end nodes.",
            code="open",
        )
    if edge in piece.darts or edge in piece.folds:
        what = "a leg of a dart" if edge in piece.darts else "on the fold"
        raise InputError(
            "'{}' of '{}' is {}, so no dart can begin there.".format(edge, piece.name, what),
            "Name another edge.",
            code="fold" if edge in piece.folds else "dart",
        )


def _run_at(outline: Outline, on: On) -> Tuple[int, Path, float]:
    """The number and path of the run on which a place lies, and how far along it that is (mm)."""
    rest = distance_from_start(outline, on)
    numbers = [number for number, edge in enumerate(outline.edges) if edge.name == on.edge]
    for number in numbers:
        run = outline_run(outline, number)
        length = path_length(run)
        if rest <= length or number == numbers[-1]:
            return number, run, min(max(rest, 0.0), length)
        rest -= length
    raise InputError("There is no edge called '{}'.".format(on.edge), code="name")


# -- how wide -----------------------------------------------------------------------------


def _half_mouth(outline: Outline, run: Path, middle: float, shape: Shape, name: str) -> float:
    """Half of what lies between both ends of the mouth, along the edge (mm)."""
    room = min(middle, path_length(run) - middle) - _LEFT
    wanted = shape.angle or shape.width
    if wanted <= 0 or (not shape.angle and shape.width < LEAST):
        raise InputError(
            "The dart '{}' would be {:g} mm wide.".format(name, shape.width),
            "Give a width of at least {:g} mm, or an angle.".format(LEAST),
            code="value",
        )

    def size(half: float) -> float:
        if shape.angle:
            return _mouth(outline, run, middle, half, shape, name).angle
        return _across(run, middle, half)[2]

    if room <= 0 or size(room) < wanted:
        raise InputError(
            "There is room for {:.1f} mm about that place of its edge, too little for the dart '{}'.".format(
                max(2.0 * room, 0.0), name
            ),
            "Make it narrower, or choose a place further from the end of the edge and from other darts.",
            code="overlap",
        )
    low, high = 0.0, room
    for _ in range(_STEPS):
        half = (low + high) / 2.0
        if half in (low, high):
            break
        low, high = (half, high) if size(half) < wanted else (low, half)
    return (low + high) / 2.0


def _across(run: Path, middle: float, half: float) -> Tuple[np.ndarray, np.ndarray, float]:
    """Both ends of a mouth on the edge and how far they lie apart (mm)."""
    spots = []
    for at in (middle - half, middle + half):
        place = place_at(run, at)
        spots.append(point(run.curves[place.curve][None], place.t)[0])
    return spots[0], spots[1], float(np.hypot(*(spots[1] - spots[0])))


def _mouth(outline: Outline, run: Path, middle: float, half: float, shape: Shape, name: str) -> _Mouth:
    """The mouth and the point that go with it."""
    first, second, wide = _across(run, middle, max(half, 1e-3))
    centre, along_it = (first + second) / 2.0, (second - first) / wide
    side = 1.0 if signed_area(outline.path) >= 0 else -1.0
    inward = side * np.array([-along_it[1], along_it[0]])
    if shape.mark is not None:
        way = shape.mark - centre
        far = float(np.hypot(*way))
        if far - shape.stand_off < _LEAST_LENGTH:
            raise InputError(
                "The mark is {:.1f} mm from the edge, so the dart '{}' cannot end {:g} mm before it.".format(
                    far, name, shape.stand_off
                ),
                "Let it stand off by less.",
                code="value",
            )
        return _Mouth(first, second, _inside(centre, way / far, far - shape.stand_off, inward, name))
    if shape.length < _LEAST_LENGTH:
        raise InputError(
            "A dart {:g} mm long cannot be sewn.".format(shape.length),
            "Make it longer than {:g} mm.".format(_LEAST_LENGTH),
            code="value",
        )
    way = inward if shape.way is None else shape.way * (1.0 if shape.way @ inward >= 0 else -1.0)
    return _Mouth(first, second, _inside(centre, way, shape.length, inward, name))


def _inside(centre: np.ndarray, way: np.ndarray, length: float, inward: np.ndarray, name: str) -> np.ndarray:
    if way @ inward < _FLAT:
        raise InputError(
            "The dart '{}' would run along its edge or out of the piece.".format(name),
            "Let it lie square to the edge, or choose another place.",
            code="overlap",
        )
    return centre + length * way


# -- on the outline -----------------------------------------------------------------------


def _with_dart(
    piece: Piece, outline: Outline, number: int, runs: Tuple[Path, Path], tip: np.ndarray, name: str
) -> Outline:
    bits: List[Bit] = []
    for here, edge in enumerate(outline.edges):
        begins = edge.start == 0
        if here != number:
            bits.append(Bit(edge.name, outline_run(outline, here), edge.smooth, begins))
            continue
        bits.append(Bit(edge.name, runs[0], edge.smooth, begins))
        bits.append(Bit(name, Path.through([runs[0].end, tip]), False))
        bits.append(Bit(name, Path.through([tip, runs[1].start]), False))
        bits.append(Bit(edge.name, runs[1], False))
    return begun_at_an_edge(outline_of(outline, bits), tuple(piece.darts) + (name,))


def _given_back(
    piece: Piece, old: Outline, new: Outline, names: Tuple[str, str], keep: str
) -> Tuple[Outline, List[Gain]]:
    """The outline with an edge made longer at one end by what its dart took; and what that let in where.

    ``names``: of the edge and of its new dart.
    """
    edge, _ = names
    lost = old.as_sewn(edge) - new.as_sewn(edge)
    number, beside, at_end = _end_beside(piece, new, names, keep)
    run, other = outline_run(new, number), outline_run(new, beside)
    run = _prolonged(run, lost) if at_end else _prolonged(run.reverse(), lost).reverse()
    corner = run.end if at_end else run.start
    try:
        made = moved_start(other, corner) if at_end else moved_end(other, corner)
    except ValueError:
        raise InputError(
            "'{}' of '{}' is too short to be drawn to an end {:.1f} mm further.".format(
                keep, piece.name, lost
            ),
            "Give the width back at the other end, or make the dart narrower.",
            code="overlap",
        ) from None
    gained = path_length(made) - path_length(other)
    gains = [Gain(edge, old.as_sewn(edge) if at_end else 0.0, lost)]
    gains.append(gain_at(keep, 0.0 if at_end else old.as_sewn(keep), gained, before=not at_end))
    return with_runs(new, {number: run, beside: made}), gains


def _end_beside(piece: Piece, outline: Outline, names: Tuple[str, str], keep: str) -> Tuple[int, int, bool]:
    """The run of an edge that ends at another one, that one's run there, and whether that is its end."""
    edge, apart = names[0], (*names, *piece.darts, *piece.folds)
    count = len(outline.edges)
    found, known = [], []
    for number, one in enumerate(outline.edges):
        if one.name != edge:
            continue
        for beside, at_end in (((number + 1) % count, True), ((number - 1) % count, False)):
            name = outline.edges[beside].name
            known += [name] if name not in apart else []
            if name == keep:
                found.append((number, beside, at_end))
    known = list(dict.fromkeys(known))
    if keep in piece.folds:
        raise InputError(
            "'{}' of '{}' lies on the fold, so nothing can be given back there.".format(keep, piece.name),
            "Give it back at another end: {}.".format(", ".join(known) or "none"),
            code="fold",
        )
    if len(found) != 1 or keep in piece.darts:
        raise InputError(
            "'{}' of '{}' does not end at one edge '{}'.".format(edge, piece.name, keep),
            "The edges at its ends are: {}.".format(", ".join(known) or "none"),
            code="name",
        )
    return found[0]


def _prolonged(run: Path, length: float) -> Path:
    """A path drawn straight on at its end."""
    ahead = end_tangents(run.curves[-1:])[0]
    return rejoined(run, Path.through([run.end, run.end + length * ahead]))


# -- with two points ----------------------------------------------------------------------


def inside(
    piece: Piece,
    outline: Outline,
    spot: np.ndarray,
    down: np.ndarray,
    shape: Contour,
    name: str,
) -> Piece:
    """The piece with a dart with two points, widest at a spot (2,); ``down``: unit direction.

    ``InputError`` where it does not lie inside the piece.
    """
    if shape.width < LEAST or min(shape.above, shape.below) < _LEAST_LENGTH:
        raise InputError(
            "A dart {:g} mm wide, {:g} mm above and {:g} mm below cannot be sewn.".format(*shape),
            "Make it at least {:g} mm wide and {:g} mm long both ways.".format(LEAST, _LEAST_LENGTH),
            code="value",
        )
    across = np.array([down[1], -down[0]]) * shape.width / 2.0
    nodes = [spot - shape.above * down, spot + across, spot + shape.below * down, spot - across]
    ring = Path.through(nodes + nodes[:1])
    if not contains(outline.path, np.array(nodes)).all() or crossings(ring, outline.path):
        raise InputError(
            "The dart '{}' would run out of '{}'.".format(name, piece.name),
            "Make it smaller, or place it further inside; one at the edge has one point.",
            code="overlap",
        )
    return piece._replace(marks=piece.marks + (Mark(DART, name, outline.size, ring),))
