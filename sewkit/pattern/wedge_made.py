"""A wedge made on one outline, and what it does to the marks there."""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.transform import IDENTITY, Transform
from sewkit.pattern.carrying import Change, moved_mark
from sewkit.pattern.mark import LENGTHEN, LEVEL, Mark
from sewkit.pattern.notch_places import Gain
from sewkit.pattern.outline import Outline
from sewkit.pattern.parting import Parting, parted, staying
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash
from sewkit.pattern.straightened import Straightened, on_fold, slid_mark
from sewkit.pattern.wedge_places import Lying
from sewkit.pattern.wedging import Wedge, spot, wedge_at, wedged

# A level this near to the cut is where it was cut (mm).
_ON_LINE = 0.05


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
        """A mark of this size after the change; None for a notch that has no room left."""
        if self._at_the_cut(mark):
            return mark
        if self.fold is None:
            return moved_mark(mark, self.change)
        parting = self.change.parting
        part = 1 - self.change.fixed
        return slid_mark(mark, self.old, self.fold, parting, part, self.change.gains[0])

    def _at_the_cut(self, mark: Mark) -> bool:
        """Whether a level or lengthen line is the very line of the cut: it stays, whole."""
        if mark.kind not in (LEVEL, LENGTHEN) or mark.path is None or not len(mark.path):
            return False
        along = mark.path.end - mark.path.start
        ends = [spot(self.old, place) - mark.path.start for place in (self.wedge.opening, self.wedge.hinge)]
        away = [
            abs(along[0] * way[1] - along[1] * way[0]) / max(float(np.hypot(*along)), 1.0) for way in ends
        ]
        return max(away) <= _ON_LINE

    @property
    def faint(self) -> Tuple[List[Path], List[np.ndarray]]:
        """Both sides of the cut as they lie now, and the hinge (mm)."""
        hinge = spot(self.old, self.wedge.hinge)
        ends = [spot(self.old, place) for place in (self.wedge.opening, self.wedge.far)]
        sides = [Path.through([end, hinge]) for end in ends]
        if self.wedge.amount > 0:
            moves = self.change.moves if self.fold is None else (IDENTITY, IDENTITY)
            sides = [moves[part].path(sides[0]) for part in self.change.parting.sides(0)]
        return sides, [hinge]


def changed(piece: Piece, outline: Outline, places: Lying, amount: float, straight: bool) -> WedgeMade:
    """Let the wedge in, or take it out; ``straight``: an edge on the fold is kept straight."""
    wedge = wedge_at(outline, places.opening, places.hinge, amount, places.onward, piece.name, piece.darts)
    line = Path.through([spot(outline, wedge.opening), spot(outline, wedge.hinge)])
    parting = parted(outline, [Slash(wedge.opening, wedge.hinge, line)])
    before, after = parting.sides(0)
    beyond = after if wedge.onward else before
    edge, hinge = (_name(outline, place.curve) for place in (wedge.opening, wedge.hinge))
    # What lies beyond is taken up to close the wedge, as on paper, or slides along the fold; to let
    # one in elsewhere, the main part stays.
    at_fold = straight and edge in piece.folds
    fixed = before + after - beyond if amount < 0 or at_fold else staying(parting, piece)
    gain = Gain(edge, wedge.at if wedge.onward or amount > 0 else wedge.at + amount, amount)
    turns_beyond = beyond != fixed
    if at_fold:
        fold = on_fold(outline, wedge, turns_beyond, piece)
        change = Change(parting, _moves(parting, IDENTITY, beyond, IDENTITY), fixed, fold.outline, (gain,))
        return WedgeMade(outline, fold.outline, wedge, edge, hinge, change, fold)
    made = wedged(outline, wedge, turns_beyond, piece.name)
    gained = made.outline.as_sewn(edge) - outline.as_sewn(edge)
    moves = _moves(parting, made.beyond, beyond, made.before)
    change = Change(parting, moves, fixed, made.outline, (gain._replace(amount=gained),))
    return WedgeMade(outline, made.outline, wedge, edge, hinge, change)


def _moves(parting: Parting, move: Transform, part: int, other: Transform) -> Tuple[Transform, ...]:
    return tuple(move if number == part else other for number in range(len(parting.regions)))


def _name(outline: Outline, curve: int) -> str:
    return next(edge.name for edge in outline.edges if edge.start <= curve < edge.stop)
