"""One dart of one size turned to other places, or cloth of an edge turned into a dart.

    piece, made = turn_dart(piece, outline, dart, pivot, targets, 100.0)
    piece, made = turn_edge(piece, outline, "neck", On("neck", 60.0), 10.0, pivot, targets)

The legs are drawn on to the pivot first, turned there, and the points set back again.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Place
from sewkit.pattern.apex import points_to
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_point import as_deep, set_back_from
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import place_on
from sewkit.pattern.spoke_marks import with_marks
from sewkit.pattern.spoke_sight import check_sight, refuse_overlap
from sewkit.pattern.spokes import Spoke, Turned, of_dart, opened, taken, turned

# A point nearer to its pivot than this (mm) lies on it.
_ON_PIVOT = 0.01

# Cloth taken out of an edge shortens it by what was asked to this (mm), found in so many steps; what
# is not found to a hundredth is not there.
_EXACT = 1e-6
_NEAR_ENOUGH = 0.01
_STEPS = 20

# An edge of which so many times as much must be taken out as it shall lose runs aslant.
_ASLANT = 1.25


class Target(NamedTuple):
    """Where an angle goes.

    Args:
        share: its part of the whole, 0 to 1.
        edge: the edge on which a new dart opens; of a dart that is there, its own.
        on: the place of a new one; None for a dart that is there.
        dart: the dart that is there; None for a new one.
        name: of the dart afterwards.
    """

    share: float
    edge: str
    on: Optional[On] = None
    dart: Optional[Dart] = None
    name: str = ""


class DartTurn(NamedTuple):
    """What was done to one size.

    Args:
        old, outline: before, with all darts cut in, and after.
        turned: the sectors; its outline has the points on the pivot.
        angle: how many degrees went over.
        back_off: how far each dart's point lies from the pivot now (mm), by its name.
        lost: names of marks that were left out.
    """

    old: Outline
    outline: Outline
    turned: Turned
    angle: float
    back_off: Dict[str, float]
    lost: Tuple[str, ...]


def turn_dart(
    piece: Piece,
    outline: Outline,
    dart: Dart,
    pivot: np.ndarray,
    targets: Sequence[Target],
    percent: float = 100.0,
    back_off: Optional[float] = None,
    whole: bool = True,
) -> Tuple[Piece, DartTurn]:
    """Turn so much of a dart about the pivot to the targets, whose shares have the sum 1.

    ``back_off``: how far the points lie from the pivot afterwards (mm); None: as far as before.
    ``whole``: marks that serve all sizes go along.  ``InputError``: see ``spoke_sight``.
    """
    if not percent > 0:
        raise InputError(
            "0 percent of the dart would be turned, so nothing would change.",
            "Ask for 100 to turn all of it.",
            code="value",
        )
    check_sight(piece, outline, pivot, [of_dart(outline, dart.edges, pivot, 0.0)])
    source = of_dart(outline, dart.edges, pivot, 0.0)
    angle = source.now * percent / 100.0
    source = source._replace(then=source.now - angle if percent < 100.0 else 0.0)
    spokes = [source, *_spokes(outline, pivot, targets, angle)]
    check_sight(piece, outline, pivot, spokes)
    made = turned(piece, outline, pivot, spokes)
    refuse_overlap(piece, outline, made.outline, pivot)
    backs = _backs(pivot, dart, targets, percent < 100.0, back_off)
    return _finished(piece, outline, made, angle, backs, _elsewhere(pivot, targets), whole)


def turn_edge(
    piece: Piece,
    outline: Outline,
    on: On,
    amount: float,
    pivot: np.ndarray,
    targets: Sequence[Target],
    back_off: Optional[float] = None,
    whole: bool = True,
) -> Tuple[Piece, DartTurn]:
    """Take cloth out of an edge about a place, so that it is ``amount`` mm shorter, into the targets.

    Where the edge lies aslant to the way to the pivot, both sides of what is taken out differ and
    are joined softly; the wedge is made so wide that the edge still loses what was asked.
    """
    if not amount > 0:
        raise InputError("0 mm would be taken out, so nothing would change.", "Give an amount.", code="value")

    def tried(width: float) -> Tuple[Turned, float]:
        wedge = _wedge(piece, outline, on, width, amount, pivot)
        spokes = [wedge, *_spokes(outline, pivot, targets, wedge.now)]
        check_sight(piece, outline, pivot, spokes)
        made = turned(piece, outline, pivot, spokes)
        return made, outline.as_sewn(on.edge) - made.outline.as_sewn(on.edge) - amount

    width = amount
    made, off = tried(width)
    before, off_before = 0.0, -amount
    for _ in range(_STEPS):
        if abs(off) <= _EXACT or off == off_before:
            break
        better = width - off * (width - before) / (off - off_before)
        before, off_before = width, off
        width = min(max(better, width / 2.0), width * 2.0)
        made, off = tried(width)
    if abs(off) > _NEAR_ENOUGH:
        raise _aslant(piece, outline, on, amount)
    refuse_overlap(piece, outline, made.outline, pivot)
    angle = next(spoke.now for spoke in made.spokes if not spoke.name)
    backs = _backs(pivot, None, targets, False, back_off)
    return _finished(piece, outline, made, angle, backs, _elsewhere(pivot, targets), whole)


def _wedge(piece: Piece, outline: Outline, on: On, width: float, amount: float, pivot: np.ndarray) -> Spoke:
    """The cloth between two places so far apart along the edge (mm), the place between them."""
    length = outline.as_sewn(on.edge)
    middle = length - on.distance if on.from_end else on.distance
    low, high = middle - width / 2.0, middle + width / 2.0
    edge = quoted(outline, on.edge)
    if (low < 0 or high > length) and width > _ASLANT * amount:
        raise _aslant(piece, outline, on, amount)
    if low < 0 or high > length:
        room = 2.0 * min(middle, length - middle)
        raise InputError(
            "On '{}' {:g} mm cannot be taken out of {}: only {:.1f} mm of it lie about that place.".format(
                piece.name, amount, edge, room
            ),
            "Take out less, or choose a place further from the end of the edge.",
            code="overlap",
        )
    start, stop = place_on(outline, On(on.edge, low)), place_on(outline, On(on.edge, high))
    runs = [e for e in outline.edges if e.start <= start.curve < e.stop and e.start <= stop.curve < e.stop]
    if not runs:
        raise InputError(
            "On '{}' a dart lies where {} shall be taken in.".format(piece.name, quoted(outline, on.edge)),
            "Choose a place beside the dart.",
            code="dart",
        )
    return taken(outline, start, stop, pivot)


def _aslant(piece: Piece, outline: Outline, on: On, amount: float) -> InputError:
    return InputError(
        "On '{}' {} runs too much aslant to the pivot for {:g} mm to be taken out there.".format(
            piece.name, quoted(outline, on.edge), amount
        ),
        "Choose a place that lies square to the way to the pivot, or take out less.",
        code="overlap",
    )


def _spokes(outline: Outline, pivot: np.ndarray, targets: Sequence[Target], angle: float) -> List[Spoke]:
    made = []
    for target in targets:
        more = angle * target.share
        if target.dart is not None:
            spoke = of_dart(outline, target.dart.edges, pivot, 0.0)
            made.append(spoke._replace(then=spoke.now + more))
        else:
            assert target.on is not None
            made.append(opened(outline, _place(outline, target.on), more, target.name))
    return made


def _place(outline: Outline, on: On) -> Place:
    return place_on(outline, on)


def _backs(
    pivot: np.ndarray, source: Optional[Dart], targets: Sequence[Target], stays: bool, asked: Optional[float]
) -> Dict[str, float]:
    """How far each dart's point shall lie from the pivot: as asked, or as far as it did."""

    def had(dart: Optional[Dart]) -> float:
        return 0.0 if dart is None else float(np.hypot(*(dart.point - pivot)))

    backs = {target.name: had(target.dart or source) for target in targets}
    if stays and source is not None:
        backs[source.name] = had(source)
    return {name: back if asked is None else asked for name, back in backs.items()}


def _elsewhere(pivot: np.ndarray, targets: Sequence[Target]) -> Dict[str, Dart]:
    """The darts that take angle up but do not point to the pivot, as they are before, by name."""
    darts = [target.dart for target in targets if target.dart is not None]
    return {dart.name: dart for dart in darts if not points_to(dart, pivot)}


def _finished(
    piece: Piece,
    old: Outline,
    made: Turned,
    angle: float,
    backs: Dict[str, float],
    elsewhere: Dict[str, Dart],
    whole: bool,
) -> Tuple[Piece, DartTurn]:
    """The piece with the turned outline, its points set back, its marks and the names of its darts.

    ``elsewhere``: darts whose points lie as deep as before, for they belong to another fullness.
    """
    after, lost = with_marks(piece, made, whole)
    after = after._replace(darts=tuple(dict.fromkeys(piece.darts + tuple(backs))))
    outline = made.outline
    for name, back in backs.items():
        if name in elsewhere:
            outline = as_deep(outline, dart_named(after, outline, name), elsewhere[name])
            backs = {**backs, name: float(np.hypot(*(dart_named(after, outline, name).point - made.pivot)))}
        elif back > _ON_PIVOT:
            outline = set_back_from(outline, dart_named(after, outline, name), made.pivot, back)
    if elsewhere:
        refuse_overlap(piece, old, outline, made.pivot)
    after = after.with_outline(outline)
    used = {name for one in after.outlines for name in one.names}
    after = after._replace(darts=tuple(name for name in after.darts if name in used))
    return after, DartTurn(old, outline, made, angle, backs, lost)
