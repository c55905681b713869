"""Slash and spread: a piece opened at slashes, or lapped, and its edges drawn anew.

    asked = Asked("hinged", "slash", 30.0)
    spread = spread_open(outline, slashes, asked, piece)

Hinged, every slash turns about its ending, so that the edge there keeps its length exactly;
an opening of g on a slash l long is a turn of ``2 asin(g / 2l)``.  Parallel, every slash opens
into a strip of equal width, and both edges grow.  Where a total is asked, the edge as it will
be sewn gains exactly that: the openings are solved for, all alike.
"""

import math
from typing import Callable, Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.bridge import bridged
from sewkit.geometry.intersect import self_crossings
from sewkit.geometry.length import curve_lengths
from sewkit.geometry.path import Path, is_line, join, lines, turns
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import Transform
from sewkit.pattern.carrying import Change
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.furthest import furthest
from sewkit.pattern.outline import Outline
from sewkit.pattern.parting import (
    Parting,
    Run,
    composed,
    first_gap,
    gains_of,
    hinge_turn,
    moved_runs,
    parted,
    put_together,
    staying,
    strip_move,
)
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash, edge_at, where
from sewkit.pattern.slashed_darts import check_uncrossed
from sewkit.pattern.whole_edge import WholeEdge, softened_hinge, whole_edge

# A slash is turned by less than this (degrees) either way: beyond it the cloth would lie over
# its own edge, and nobody opens a pattern so far at one hinge.
_FURTHEST = 90.0

# Nodes that turn less than this (degrees) do not keep an edge from being straight.
_STRAIGHT_TURN = 0.05

# How near a total is brought (mm), what is near enough, and after how many steps it is given up.
_NEAR = 1e-9
_ENOUGH = 1e-6
_STEPS = 40


class Asked(NamedTuple):
    """What is asked of every slash.

    Args:
        way: "hinged" or "parallel".
        ask: "slash": ``amount`` is the opening of each (mm); "total": what the edge gains (mm);
            "angle": the turn of each, degrees.
        amount: below 0 laps instead of opening.
        straight: an edge that was straight is drawn as one straight line again.
        whole: an edge that opens is drawn as one soft line, and the edge at a hinge softly too.
    """

    way: str
    ask: str
    amount: float
    straight: bool = False
    whole: bool = False


class Spread(NamedTuple):
    """A spread outline.

    Args:
        change: the parts, their moves, the new outline and the gains along its edges.
        opened: names of the edges that open; with ``parallel`` those at both ends.
        openings: the opening of each slash (mm), straight across at its edge.
        angles: the turn of each slash, degrees; 0 when parallel.
    """

    change: Change
    opened: Tuple[str, ...]
    openings: Tuple[float, ...]
    angles: Tuple[float, ...]


def spread_open(outline: Outline, slashes: Sequence[Slash], asked: Asked, piece: Piece) -> Spread:
    """Open an outline at its slashes.  ``piece`` tells which part stays.

    ``InputError``: a slash crosses a drawn dart or opens exactly at a corner; a total is asked of two
    edges; the piece would lie over itself or the total cannot be reached, with the most that works.
    """
    check_uncrossed(piece, outline, slashes)
    parting = parted(outline, slashes)
    fixed = staying(parting, piece)

    def works(amount: float) -> bool:
        try:
            _spread(parting, fixed, asked._replace(amount=amount), piece.name)
        except TooFar:
            return False
        return True

    try:
        return _spread(parting, fixed, asked, piece.name)
    except TooFar as error:
        raise _refused(error, furthest(works, asked.amount), asked, parting.old, piece.name) from None


def _spread(parting: Parting, fixed: int, asked: Asked, piece: str) -> Spread:
    openings = _solved(parting, fixed, asked, piece)
    made, runs, paths = _opened(parting, fixed, asked, openings, piece)
    crossed = self_crossings(made.path)
    if crossed and not self_crossings(parting.old.path):
        names = dict.fromkeys(edge_at(made, place) for place in (crossed[0].first, crossed[0].second))
        words = [quoted(parting.old, name) for name in names]
        raise TooFar("{} would run across {}".format(words[0], words[1] if len(words) > 1 else "itself"))
    moves = _moves(parting, fixed, asked, openings)
    change = Change(parting, moves, fixed, made, gains_of(parting, runs, paths))
    turned = tuple(_angle(parting, n, g) if asked.way == "hinged" else 0.0 for n, g in enumerate(openings))
    return Spread(change, opened_edges(parting.old, parting.slashes, asked.way), tuple(openings), turned)


def opened_edges(outline: Outline, slashes: Sequence[Slash], way: str) -> Tuple[str, ...]:
    """The names of the edges that open, each once."""
    places = [slash.opening for slash in slashes]
    places += [slash.ending for slash in slashes] if way == "parallel" else []
    return tuple(dict.fromkeys(edge_at(outline, place) for place in places))


def _solved(parting: Parting, fixed: int, asked: Asked, piece: str) -> List[float]:
    """The opening of each slash (mm): as asked, or such that the edge gains the total."""
    count = len(parting.slashes)
    if asked.ask == "slash":
        return _checked(parting, [asked.amount] * count, asked)
    if asked.ask == "angle":
        if abs(asked.amount) >= _FURTHEST:
            raise _by_a_right_angle(parting, 0)
        half = math.sin(math.radians(asked.amount) / 2.0)
        return [2.0 * half * _length(slash) for slash in parting.slashes]
    name = _one_edge(parting, piece)
    before = parting.old.as_sewn(name)
    if asked.amount <= -before + 1.0:
        raise TooFar("{} is {:.1f} mm long".format(quoted(parting.old, name), before), "overlap")

    def missed(opening: float) -> float:
        openings = _checked(parting, [opening] * count, asked)
        made, _, _ = _opened(parting, fixed, asked, openings, piece)
        return made.as_sewn(name) - before - asked.amount

    opening = _root(missed, asked.amount / count)
    if opening is None:
        raise TooFar("no opening of the slashes gives that total")
    return [opening] * count


def _one_edge(parting: Parting, piece: str) -> str:
    """The edge of which a total is asked.  Of two nobody could say what each is to gain."""
    names = opened_edges(parting.old, parting.slashes, "hinged")
    if len(names) > 1:
        raise InputError(
            "A total is for one edge, and the slashes of '{}' open {}.".format(
                piece, " and ".join(quoted(parting.old, name) for name in names)
            ),
            "Ask for the opening of each slash, or open one edge after the other.",
            code="choice",
        )
    return names[0]


def _root(missed: Callable[[float], float], guess: float) -> Optional[float]:
    """Where a smooth, nearly straight function is 0 (secant steps); None where it is not found."""
    low, high = guess, guess * 1.01
    at_low, at_high = missed(low), missed(high)
    for _ in range(_STEPS):
        if abs(at_high) <= _NEAR or at_high == at_low:
            break
        step = at_high * (high - low) / (at_high - at_low)
        # Never more than doubled, nor past 0: the first guess is of the right size.
        step = min(max(step, -abs(high)), abs(high) * 0.9) if high > 0 else step
        step = max(min(step, abs(high)), -abs(high) * 0.9) if high < 0 else step
        low, at_low = high, at_high
        high = high - step
        at_high = missed(high)
    return high if abs(at_high) <= _ENOUGH else None


def _checked(parting: Parting, openings: List[float], asked: Asked) -> List[float]:
    for number, (slash, opening) in enumerate(zip(parting.slashes, openings)):
        if asked.way == "hinged" and abs(opening) >= math.sqrt(2.0) * _length(slash):
            raise _by_a_right_angle(parting, number)
    return openings


def _angle(parting: Parting, number: int, opening: float) -> float:
    """The turn (degrees) that opens a slash by a chord (mm)."""
    return math.degrees(2.0 * math.asin(opening / (2.0 * _length(parting.slashes[number]))))


def _length(slash: Slash) -> float:
    return float(np.hypot(*(slash.line.end - slash.line.start)))


def _moves(parting: Parting, fixed: int, asked: Asked, openings: Sequence[float]) -> Tuple[Transform, ...]:
    hinged = asked.way == "hinged"
    steps = [
        hinge_turn(parting, n, _angle(parting, n, g)) if hinged else strip_move(parting, n, g)
        for n, g in enumerate(openings)
    ]
    return composed(parting, fixed, steps)


def _opened(
    parting: Parting, fixed: int, asked: Asked, openings: Sequence[float], piece: str
) -> Tuple[Outline, Tuple[Run, ...], List[Path]]:
    runs = moved_runs(parting, _moves(parting, fixed, asked, openings))
    wide = first_gap(runs)
    if wide is not None:
        raise InputError(
            "A slash of '{}' opens exactly at the corner between '{}' and '{}'.".format(piece, *wide[:2]),
            "Let it open a little beside the corner.",
            code="line",
        )
    straight = asked.straight or asked.way == "parallel"
    whole = drawn_whole(parting, runs) if asked.whole else {}
    paths = []
    for number, (run, edge) in enumerate(zip(runs, parting.old.edges)):
        try:
            if number in whole:
                paths.append(whole[number].path)
            elif asked.whole and not opens(run):
                paths.append(softened_hinge(run.bits, _kinks_before(parting, run)))
            else:
                paths.append(_redrawn(run, parting.old.path.part(edge.start, edge.stop), straight))
        except ValueError:
            raise TooFar("too little would be left of {}".format(quoted(parting.old, edge.name))) from None
    try:
        return put_together(parting, runs, paths), runs, paths
    except ValueError:
        raise TooFar("its edges would not meet any more") from None


def _redrawn(run: Run, old: Path, straight: bool) -> Path:
    """One path through the moved bits of a run."""
    if len(run.bits) == 1:
        return run.bits[0]
    if not opens(run):
        return join(run.bits)
    if straight and is_straight(old):
        return straightened(old, run.bits[0].start, run.bits[-1].end)
    return bridged(run.bits)


def opens(run: Run) -> bool:
    """Whether a run opened or lapped anywhere."""
    return any(np.hypot(*(b.start - a.end)) > SAME_POINT for a, b in zip(run.bits, run.bits[1:]))


def _kinks_before(parting: Parting, run: Run) -> List[float]:
    """How a run turned (degrees) at each of its cuts."""
    around = turns(parting.outline.path)
    return [float(around[parting.cuts[number].node]) for number in run.cuts]


def drawn_whole(parting: Parting, runs: Sequence[Run]) -> Dict[int, WholeEdge]:
    """The runs that opened, by number, each as one soft line; those that would be another shape left out."""
    made = {}
    for number, run in enumerate(runs):
        if opens(run):
            following = runs[(number + 1) % len(runs)]
            old = parting.outline.path.part(run.edge.start, run.edge.stop)
            around = (runs[number - 1].bits[-1], following.bits[0])
            # Beside a dart the corner is that of a leg, which must meet the other leg's as sewn.
            alone = sum(edge.name == run.edge.name for edge in parting.old.edges) == 1
            line = whole_edge(run.bits, around, old, alone)
            if line is not None:
                made[number] = line
    return made


def is_straight(path: Path) -> bool:
    """Whether an open path is one straight line, in however many curves."""
    return bool(is_line(path.curves).all()) and bool((np.abs(turns(path)) <= _STRAIGHT_TURN).all())


def straightened(old: Path, start: np.ndarray, end: np.ndarray) -> Path:
    """A straight line between two points, with the nodes of an old one in the same proportion.

    ``ValueError`` where it would run back.
    """
    chord = old.end - old.start
    if (end - start) @ chord <= 0:
        raise ValueError("nothing is left of the line")
    lengths = curve_lengths(old.curves)
    shares = (np.concatenate([[0.0], np.cumsum(lengths)]) / lengths.sum())[:, None]
    nodes = start + shares * (end - start)
    nodes[-1] = end
    return Path(lines(nodes[:-1], nodes[1:]))


def gained(spread: Spread, edge: str) -> float:
    """How much longer (mm, as sewn) an edge has become."""
    return spread.change.outline.as_sewn(edge) - spread.change.parting.old.as_sewn(edge)


def faint(spread: Spread) -> Tuple[List[Path], List[np.ndarray]]:
    """Both sides of every slash as they lie now, and the hinges, for showing (mm)."""
    parting, moves = spread.change.parting, spread.change.moves
    sides: List[Path] = []
    for number, slash in enumerate(parting.slashes):
        sides += [moves[part].path(slash.line) for part in parting.sides(number)]
    if any(spread.angles):
        return sides, [side.end for side in sides[::2]]
    return sides, []


class TooFar(Exception):
    """The piece cannot be opened or lapped that far; ``why``, in words that end a sentence."""

    def __init__(self, why: str, code: str = "fold-over") -> None:
        super().__init__(why)
        self.why = why
        self.code = code


def _by_a_right_angle(parting: Parting, number: int) -> TooFar:
    slash = parting.slashes[number]
    return TooFar(
        "the slash {}, {:.0f} mm long, would have to turn by a right angle or more".format(
            where(parting.old, slash.opening), _length(slash)
        )
    )


def _refused(error: TooFar, most: float, asked: Asked, outline: Outline, piece: str) -> InputError:
    """What is told: how far was asked, why that is too far, and the most that works."""
    unit = "degrees" if asked.ask == "angle" else "mm"
    each = "in all" if asked.ask == "total" else "for each slash"
    what = "'{}'{} cannot be {} by {:g} {} {}, for {}.".format(
        piece,
        " in size {}".format(outline.size) if outline.size else "",
        "lapped" if asked.amount < 0 else "opened",
        abs(asked.amount),
        unit,
        each,
        error.why,
    )
    cure = "The most that works is {:.1f} {} {}.".format(most, unit, each)
    return InputError(what, cure if most else "Let the slash run elsewhere.", code=error.code)
