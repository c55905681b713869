"""A wedge made on one outline, and what it does to the marks there."""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import IDENTITY, Transform, turn
from sewkit.pattern.carrying import Change
from sewkit.pattern.crossed_wedge import Crossed, Legs, crossed, middle_of
from sewkit.pattern.mark import DART, GRAIN, INNER, LENGTHEN, LEVEL, NOTCH, Mark
from sewkit.pattern.notch_places import Gain, moved
from sewkit.pattern.outline import Outline
from sewkit.pattern.parting import Parting, parted
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash
from sewkit.pattern.slid_marks import at_share, slid_dart, slid_line, slid_whole
from sewkit.pattern.straightened import Straightened, on_fold
from sewkit.pattern.wedge_places import Lying
from sewkit.pattern.wedge_solved import solved
from sewkit.pattern.wedging import Wedge, spot, wedge_at

# Marks that are lines through the piece; all others, but for darts, are small and move whole.
_LINES = (LEVEL, LENGTHEN, INNER)

# A dart drawn to within this of the outline (mm) ends on it.
_ON_EDGE = 0.5

# A level this near to the cut is where it was cut (mm).
_ON_LINE = 0.05


class Followed(NamedTuple):
    """A mark after the change, and what there is to tell of it.

    Args:
        mark: None for a notch that has no room left.
        gone: mm of the line that lay in the cloth taken out, at an end of it.
        laid: it lay in the cloth taken out and lies on the closed line now.
        step: the largest step in the line (mm), where it met the wedge aslant.
        slant: how much lower or higher one end of a level came to lie than the other (mm).
        off: how far off the outline (mm) a drawn dart ends that ended on it.
    """

    mark: Optional[Mark]
    gone: float = 0.0
    laid: bool = False
    step: float = 0.0
    slant: float = 0.0
    off: float = 0.0


class WedgeMade(NamedTuple):
    """One outline with its wedge.

    Args:
        old, outline: before and after.
        wedge: where it lies; its amount and angle.
        edge, hinge: names of both edges.
        change: the parts and their moves.
        fold: how the fold was kept straight, or None.
    """

    old: Outline
    outline: Outline
    wedge: Wedge
    edge: str
    hinge: str
    change: Change
    fold: Optional[Straightened] = None

    def mark(self, mark: Mark) -> Optional[Mark]:
        """A mark of this size after the change; None where no cloth is left for it."""
        return self.follow(mark).mark

    def follow(self, mark: Mark) -> Followed:
        """A mark of this size after the change, and what there is to tell of it."""
        if mark.kind == NOTCH and mark.on is not None:
            return Followed(self._notch(mark, mark.on.edge))
        if mark.path is None or not len(mark.path):
            return Followed(mark)
        if mark.kind == GRAIN:
            return Followed(mark._replace(path=self.change.moves[self.change.fixed].path(mark.path)))
        if self._at_the_cut(mark):
            return Followed(mark._replace(path=self.change.moves[self.change.fixed].path(mark.path)))
        if mark.kind == DART or (mark.kind in _LINES and not mark.path.closed):
            made = self._line(mark)
            if made.path is not None:
                slant = self._slant(mark.path, made.path) if mark.kind == LEVEL else 0.0
                off = self._off(mark.path, made) if mark.kind == DART else 0.0
                return Followed(mark._replace(path=made.path), made.gone, made.laid, made.step, slant, off)
        taken = self.legs.owner(middle_of(mark.path)) is None
        return Followed(self._small(mark), laid=taken)

    @property
    def legs(self) -> Legs:
        """The wedge as it lies on the old outline."""
        ends = [spot(self.old, p) for p in (self.wedge.hinge, self.wedge.opening, self.wedge.far)]
        if self.wedge.amount > 0:
            ends[2] = ends[1]
        sides = self.change.parting.sides(0)
        before, beyond = sides if self.wedge.onward else sides[::-1]
        return Legs(ends[0], ends[1], ends[2], before, beyond, self.change.parting)

    def _notch(self, mark: Mark, edge: str) -> Optional[Mark]:
        if self.fold is not None and edge == self.fold.giving:
            return at_share(mark, self.old, self.outline)
        return moved(mark, self.old, self.outline, self.change.gains)

    def _line(self, mark: Mark) -> Crossed:
        """A line, or a dart, cut where the wedge crosses it."""
        assert mark.path is not None
        whole = mark.kind != DART
        if self.fold is None:
            moves = [move.points if move != IDENTITY else np.array for move in self.change.moves]
            return crossed(mark.path, self.legs, moves, whole=whole)
        if mark.kind == DART:
            return slid_dart(mark, self.fold, self.legs)
        return slid_line(mark, self.fold, self.legs, whole)

    def _small(self, mark: Mark) -> Mark:
        """A small mark goes whole with its part; from the cloth taken out to the closed line."""
        assert mark.path is not None
        legs = self.legs
        if self.fold is not None:
            return slid_whole(mark, self.fold, legs)
        middle = middle_of(mark.path)
        owner = legs.owner(middle)
        if owner is not None:
            return mark._replace(path=self.change.moves[owner].path(mark.path))
        way, leg = middle - legs.hinge, legs.opening - legs.hinge
        angle = np.degrees(np.arctan2(way[0] * leg[1] - way[1] * leg[0], way @ leg))
        closing = turn(float(angle), legs.hinge).then(self.change.moves[legs.before])
        return mark._replace(path=closing.path(mark.path))

    def _slant(self, old: Path, new: Path) -> float:
        """How much further (mm) one end of a line slid along the fold than the other."""
        if self.fold is None:
            return 0.0
        along = self.fold.slid / np.hypot(*self.fold.slid)
        return abs(float(((new.start - old.start) - (new.end - old.end)) @ along))

    def _off(self, old: Path, made: Crossed) -> float:
        """How far (mm) an end of a line that ended on the outline lies off it now."""
        if made.path is None or old.closed or made.gone:
            return 0.0
        ends = ((old.start, made.path.start), (old.end, made.path.end))
        on = [now for was, now in ends if nearest(self.old.path, was).distance <= _ON_EDGE]
        return max([nearest(self.outline.path, now).distance for now in on], default=0.0)

    def _at_the_cut(self, mark: Mark) -> bool:
        """Whether a line is the very line of the cut: it stays whole, with the part that stays."""
        if mark.kind not in _LINES or mark.path is None or not len(mark.path):
            return False
        along = mark.path.end - mark.path.start
        ends = [spot(self.old, place) - mark.path.start for place in (self.wedge.opening, self.wedge.hinge)]
        away = [
            abs(along[0] * way[1] - along[1] * way[0]) / max(float(np.hypot(*along)), 1.0) for way in ends
        ]
        return max(away) <= _ON_LINE

    @property
    def faint(self) -> Tuple[List[Path], List[np.ndarray]]:
        """Both sides of the cut as they lie now, or of what was taken out as it lay, and the hinge (mm)."""
        hinge = spot(self.old, self.wedge.hinge)
        ends = [spot(self.old, place) for place in (self.wedge.opening, self.wedge.far)]
        sides = [Path.through([end, hinge]) for end in ends]
        if self.wedge.amount > 0 and self.fold is not None:
            sides[1] = Path.through([ends[0] + self.fold.slid, hinge])
        elif self.wedge.amount > 0:
            sides = [self.change.moves[part].path(sides[0]) for part in self.change.parting.sides(0)]
        return sides, [hinge]


def changed(piece: Piece, outline: Outline, places: Lying, amount: float, straight: bool) -> WedgeMade:
    """Let the wedge in, or take it out; ``straight``: an edge on the fold is kept straight."""
    edge, hinge = (_name(outline, place.curve) for place in (places.opening, places.hinge))
    at_fold = straight and edge in piece.folds
    wedge = wedge_at(
        outline, places.opening, places.hinge, amount, places.onward, piece.name, piece.darts, at_fold
    )
    line = Path.through([spot(outline, wedge.opening), spot(outline, wedge.hinge)])
    parting = parted(outline, [Slash(wedge.opening, wedge.hinge, line)])
    before, after = parting.sides(0)
    beyond = after if wedge.onward else before
    # At the fold what lies beyond slides; else the main part stays, on paper and in all sizes.
    fixed = beyond if places.stays_beyond and not at_fold else before + after - beyond
    turns_beyond = beyond != fixed
    if at_fold:
        gain = Gain(edge, wedge.at if wedge.onward or amount > 0 else wedge.at + amount, amount)
        fold = on_fold(outline, wedge, turns_beyond, piece)
        change = Change(parting, _moves(parting, IDENTITY, beyond, IDENTITY), fixed, fold.outline, (gain,))
        return WedgeMade(outline, fold.outline, wedge, edge, hinge, change, fold)
    wedge, made = solved(outline, wedge, turns_beyond, piece.name)
    moves = _moves(parting, made.beyond, beyond, made.before)
    gained = made.outline.as_sewn(edge) - outline.as_sewn(edge)
    change = Change(parting, moves, fixed, made.outline, _gains(wedge, edge, gained))
    return WedgeMade(outline, made.outline, wedge, edge, hinge, change)


def _gains(wedge: Wedge, edge: str, gained: float) -> Tuple[Gain, ...]:
    """What went out of the edge at the wedge, and what the soft curve over its legs takes more."""
    if wedge.amount > 0:
        return (Gain(edge, wedge.at, gained),)
    more = gained + wedge.width
    gone = Gain(edge, wedge.at if wedge.onward else wedge.at - wedge.width, -wedge.width)
    return (gone,) if abs(more) <= SAME_POINT else (gone, Gain(edge, wedge.at, more))


def _moves(parting: Parting, move: Transform, part: int, other: Transform) -> Tuple[Transform, ...]:
    return tuple(move if number == part else other for number in range(len(parting.regions)))


def _name(outline: Outline, curve: int) -> str:
    return next(edge.name for edge in outline.edges if edge.start <= curve < edge.stop)
