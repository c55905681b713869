"""A dart made into a pleat or a tuck: two parallel fold lines in place of its legs.

    piece, made = folded(piece, size, "waist-dart", "waist-pleat", "centre", None)

The edge keeps its mouth, for a pleat's top is caught in the seam; but the mouth is an edge of its
own, listed with the darts, and no part of the edge as sewn.  So seams are walked with the pleat
folded, as they are with a dart closed, and the allowance goes on over the mouth.  The mouth is
drawn as the edge comes to lie in the fold, mirrored in the fold line and in the line half way
between: folded and cut, the edge is unbroken.
"""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, Place, lines, split_at, turns
from sewkit.geometry.polygon import bounds
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_cap import cap_of
from sewkit.pattern.mark import DRILL, INNER, NOTCH, Mark, On
from sewkit.pattern.notch import redrawn
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import folded_to
from sewkit.pattern.seam import check_name
from sewkit.pattern.spoke_joint import Bit, outline_of

# A pleat goes through to half the dart's length where nobody says how long (common practice).
_SHARE = 0.5

# Folds shorter than this (mm) cannot be laid.
_LEAST = 5.0

# An end that lies on the outline touches it within this (mm).
_TOUCH = 0.01

# The arrow that shows which fold goes to which line: its head (mm).
_HEAD = 4.0


class Folded(NamedTuple):
    """What became of one size.

    Args:
        outline: with the mouth as an edge of its own.
        name: of the mouth and of the fold lines.
        edge: the edge on which it lies.
        side: to which side it is pressed.
        depth: how much cloth lies in it (mm), the dart's intake.
        long: how long the fold lines are (mm).
        capped: whether the mouth is drawn as it lies when folded, or straight across.
        inward: the direction of the folds (2,), into the piece.
    """

    outline: Outline
    name: str
    edge: str
    side: str
    depth: float
    long: float
    capped: bool
    inward: np.ndarray


def folded(
    piece: Piece,
    size: str,
    dart_name: str,
    name: str,
    side: str,
    long: Optional[float] = None,
    whole: bool = True,
) -> Tuple[Piece, Folded]:
    """The piece with one size's dart made into folds.

    Args:
        name: of the pleat; on a line nobody named only the fold lines keep it.
        side: one of ``piece.SIDES``.
        long: of the fold lines (mm); half the dart's depth where it is left out.
        whole: marks that serve all sizes go as well, if they are the dart's.

    ``InputError``: the name is taken; the folds would leave the piece.
    """
    old = piece.outline(size)
    dart = dart_named(piece, old, dart_name)
    across = dart.mouth[1] - dart.mouth[0]
    inward = np.array([-across[1], across[0]]) / np.hypot(*across)
    inward = inward if inward @ dart.axis < 0 else -inward
    long = _SHARE * dart.depth if long is None else long
    _refuse(piece, old, dart, inward, long)
    legs = [Path.through([spot, spot + long * inward]) for spot in dart.mouth]
    straight = Dart(dart.name, dart.size, dart.edges, legs[0], legs[1].reverse())
    cap = cap_of(piece, old, straight, side)
    mouth = cap.path if cap is not None else Path(lines(dart.mouth[:1], dart.mouth[1:]))
    new = _with_mouth(old, dart, name, mouth)
    mine = (old.size, "") if whole else (old.size,)
    marks = [mark for mark in piece.marks if not (mark.size in mine and _of_dart(mark, dart_name))]
    over = folded_to(piece, old, dart, side)
    lines_ = [Mark(INNER, name, old.size, leg) for leg in legs]
    arrow = Mark(INNER, name + "-arrow", old.size, _arrow(legs[over], legs[1 - over]))
    ends = [Mark(NOTCH, "", old.size, None, On(name, 0.0, last)) for last in (False, True)]
    ends = [redrawn(mark, new) or mark for mark in ends] if piece.named else []
    elsewhere = any(dart_name in outline.names for outline in piece.outlines if outline.size != old.size)
    names = [one for one in piece.darts if one != dart_name or elsewhere]
    piece = piece._replace(
        marks=(*marks, *lines_, arrow, *ends),
        darts=tuple(dict.fromkeys([*names, name])),
        pressed={**{k: v for k, v in piece.pressed.items() if k in names}, name: side},
    ).with_outline(new)
    depth = float(np.hypot(*across))
    edge = old.edges[dart.edges[0] - 1].name
    return piece, Folded(new, name, edge, side, depth, long, cap is not None, inward)


def name_for(piece: Piece, dart: str, word: str, called: str = "") -> str:
    """A name for the pleat or tuck: as said, or the dart's with the other word.

    ``InputError`` where an edge has that name already.
    """
    used = {name for outline in piece.outlines for name in outline.names}
    if called:
        check_name(called, "name of a {}".format(word))
        if called in used and called != dart or called.isdecimal():
            raise InputError(
                "'{}' cannot be the name of the {}.".format(called, word),
                "Choose a name that no edge and no dart has, and no number.",
                code="name",
            )
        return called
    wish = dart.replace("dart", word) if "dart" in dart else "{}-{}".format(dart, word)
    names = [wish] + ["{}-{}".format(wish, number) for number in range(2, len(used) + 3)]
    return next(name for name in names if name not in used)


def _refuse(piece: Piece, outline: Outline, dart: Dart, inward: np.ndarray, long: float) -> None:
    """``InputError`` (value) where a fold would be no line, or leave the piece or cross another dart."""
    left, top, right, bottom = bounds(outline.path)
    reach = (right - left) + (bottom - top)
    room = reach
    for spot in dart.mouth:
        for number, edge in enumerate(outline.edges):
            if number in dart.edges:
                continue
            run = outline.path.part(edge.start, edge.stop)
            for met in crossings(run, Path.through([spot, spot + reach * inward])):
                away = float(np.hypot(*(met.point - spot)))
                room = min(room, away) if away > _TOUCH else room
    if _LEAST <= long < room:
        return
    raise InputError(
        "Folds of {:.1f} mm cannot be laid from '{}' of '{}': there is room for {:.0f} to {:.0f} mm.".format(
            long, dart.name, piece.name, _LEAST, room
        ),
        "Give another length.",
        code="value",
    )


def _of_dart(mark: Mark, name: str) -> bool:
    """Whether a mark belongs to the dart that is gone: on its legs, or the drill mark at its point."""
    if mark.kind == NOTCH:
        return mark.on is not None and mark.on.edge == name
    return mark.kind == DRILL and mark.name.startswith(name + "-point")


def _with_mouth(outline: Outline, dart: Dart, name: str, mouth: Path) -> Outline:
    """The outline with the mouth in the place of the legs, as an odd number of runs of one name.

    Two runs of a dart's name would be legs.
    """
    bits: List[Bit] = []
    for number, edge in enumerate(outline.edges):
        if number == dart.edges[0]:
            runs = _odd(_cornered(mouth))
            bits += [Bit(name, run, None, number == 0 and first == 0) for first, run in enumerate(runs)]
        elif number != dart.edges[1]:
            path = outline.path.part(edge.start, edge.stop)
            behind = number == (dart.edges[1] + 1) % len(outline.edges)
            bits.append(Bit(edge.name, path, None if behind else edge.smooth, number == 0))
    return outline_of(outline, bits)


def _cornered(path: Path) -> List[Path]:
    """A path from corner to corner."""
    bends = np.abs(turns(path)) if len(path) > 1 else np.zeros(0)
    nodes = [0, *(int(node) + 1 for node in np.nonzero(bends > CORNER_TURN)[0]), len(path)]
    return [path.part(start, stop) for start, stop in zip(nodes, nodes[1:])]


def _odd(runs: List[Path]) -> List[Path]:
    if len(runs) % 2:
        return runs
    longest = max(range(len(runs)), key=lambda number: path_length(runs[number]))
    run = runs[longest]
    if len(run) == 1:
        run = split_at(run, [Place(0, 0.5)])
    half = len(run) // 2
    return runs[:longest] + [run.part(0, half), run.part(half, len(run))] + runs[longest + 1 :]


def _arrow(fold: Path, line: Path) -> Path:
    """An arrow from the middle of the line that is folded to the line on which it comes to lie."""
    tail, tip = (fold.start + fold.end) / 2.0, (line.start + line.end) / 2.0
    way = (tip - tail) / np.hypot(*(tip - tail))
    aside = np.array([-way[1], way[0]])
    size = min(_HEAD, float(np.hypot(*(tip - tail))) / 3.0)
    barbs = [tip - size * way + side * size / 2.0 * aside for side in (1.0, -1.0)]
    return Path(lines(np.array([tail, barbs[0], tip]), np.array([tip, tip, barbs[1]])))
