"""A page of a PDF laid flat: forms put in their places, and what cannot be seen left out.

A poster cut in tiles often has the whole artwork on every page behind a clip; what lies
wholly outside is dropped before any of its curves is touched.
"""

from typing import Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.files.pdf_layers import NOWHERE, Member
from sewkit.files.pdf_state import Scene, Shape, common, moved
from sewkit.files.pdf_text import clipped_away
from sewkit.files.pdf_tokens import Budget
from sewkit.files.pdf_words import Spot
from sewkit.sheet.drawn import Box, Drawn

# mm by which a clip may fall short of the page's edge and still cut nothing away.
_WHOLE_PAGE = 1e-3
# Steps of the budget that placing one form costs: about as much time as drawing so many lines.
# Forms in forms multiply with each level.
_PLACING = 50


class _Seen(NamedTuple):
    """A shape that can be seen on the page, with all that the forms around it add."""

    shape: Shape
    dx: float
    dy: float
    member: Member
    clip: Optional[Box]
    cut: bool


class Flat:
    """A page's scene with its forms laid out, without what lies wholly outside the page or its clip."""

    def __init__(self, scene: Scene, page: Box, budget: Budget) -> None:
        self.page = page
        self.seen: List[_Seen] = []
        self.spots: List[Spot] = []
        self.covered = 0.0
        self.budget = budget
        self._members: Dict[Tuple[Member, Member], Member] = {}
        self._lay(scene, 0.0, 0.0, NOWHERE, page, False)

    def _lay(self, scene: Scene, dx: float, dy: float, member: Member, clip: Box, cut: bool) -> None:
        self.budget.spend(_PLACING)
        visible = self._visible(scene, dx, dy, clip)
        blocks = sorted(scene.blocks.items())
        start = 0
        for place, several in blocks + [(len(scene.shapes), [])]:
            for i in visible[np.searchsorted(visible, start) : np.searchsorted(visible, place)].tolist():
                self._see(scene.shapes[i], dx, dy, member, clip, cut)
            start = place
            for block in several:
                inner = common(clip, moved(block.clip, dx, dy))
                if inner is not None and _meet(
                    inner, moved(block.scene.reach(), dx + block.dx, dy + block.dy)
                ):
                    both = self._both(member, block.member)
                    self._lay(block.scene, dx + block.dx, dy + block.dy, both, inner, cut or block.cut)
        self._text(scene, dx, dy, member, clip)
        self._raster(scene, dx, dy, clip)

    def _visible(self, scene: Scene, dx: float, dy: float, clip: Box) -> np.ndarray:
        boxes = scene.seen_boxes()
        inside = (boxes[:, 0] + dx <= clip[2]) & (boxes[:, 2] + dx >= clip[0])
        inside &= (boxes[:, 1] + dy <= clip[3]) & (boxes[:, 3] + dy >= clip[1])
        inside &= boxes[:, 0] <= boxes[:, 2]
        return np.nonzero(inside & (boxes[:, 1] <= boxes[:, 3]))[0]

    def _see(self, shape: Shape, dx: float, dy: float, member: Member, clip: Box, cut: bool) -> None:
        whole = common(clip, moved(shape.clip, dx, dy))
        both = self._both(member, shape.member)
        self.seen.append(_Seen(shape, dx, dy, both, self._told(whole), cut or shape.cut))

    def _told(self, clip: Optional[Box]) -> Optional[Box]:
        """A clip as it is told: None where it leaves the whole page."""
        if clip is None:
            return None
        off = max(abs(side - edge) for side, edge in zip(clip, self.page))
        return None if off <= _WHOLE_PAGE else clip

    def _both(self, outer: Member, inner: Member) -> Member:
        key = (outer, inner)
        if key not in self._members:
            names = outer.names + tuple(name for name in inner.names if name not in outer.names)
            self._members[key] = Member(names, outer.hidden or inner.hidden)
        return self._members[key]

    def _text(self, scene: Scene, dx: float, dy: float, member: Member, clip: Box) -> None:
        for piece in scene.pieces:
            whole = common(clip, moved(piece.clip, dx, dy))
            if not clipped_away(piece, dx, dy, whole):
                both = self._both(member, piece.member)
                hidden = both.hidden or piece.hidden
                self.spots.append(
                    Spot(piece, piece.x + dx, piece.y + dy, both.names, hidden, self._told(whole))
                )

    def _raster(self, scene: Scene, dx: float, dy: float, clip: Box) -> None:
        for box, share, own in scene.pictures:
            whole = common(common(clip, moved(own, dx, dy)), moved(box, dx, dy))
            if whole is not None:
                self.covered += (whole[2] - whole[0]) * (whole[3] - whole[1]) * share

    def pictures(self) -> float:
        """Share of the page under raster images; overlaps count twice, at most 1."""
        return min(1.0, self.covered / (self.page[2] * self.page[3]))

    def curves(self) -> int:
        """How many curves the page will have."""
        return sum(_size(seen.shape) for seen in self.seen)

    def drawn(self) -> Tuple[Drawn, ...]:
        """The shapes in page millimetres; all curves of one stream are turned at once."""
        found: List[Optional[Drawn]] = [None] * len(self.seen)
        by_program: Dict[int, List[int]] = {}
        for place, seen in enumerate(self.seen):
            by_program.setdefault(id(seen.shape.program), []).append(place)
        for places in by_program.values():
            group = [self.seen[place] for place in places]
            for place, drawn in zip(places, _on_page(group, places)):
                found[place] = drawn
        return tuple(drawn for drawn in found if drawn is not None)


def _on_page(group: List[_Seen], orders: List[int]) -> List[Drawn]:
    """Shapes of one program on the page."""
    runs = group[0].shape.program.runs  # type: ignore[attr-defined]
    which = np.array([seen.shape.run for seen in group])
    starts, sizes = runs.first[which], runs.first[which + 1] - runs.first[which]
    ends = np.cumsum(sizes)
    begins = ends - sizes
    index = np.arange(ends[-1]) + np.repeat(starts - begins, sizes)
    matrices = np.array([seen.shape.matrix for seen in group])
    matrices[:, 4] += [seen.dx for seen in group]
    matrices[:, 5] += [seen.dy for seen in group]
    a, b, c, d, e, f = (np.repeat(column, sizes)[:, None] for column in matrices.T)
    taken = runs.curves[index]
    x, y = taken[..., 0], taken[..., 1]
    curves = np.stack([a * x + c * y + e, b * x + d * y + f], axis=-1)
    curves.setflags(write=False)
    found = []
    first_part, last_part = runs.parts[which].tolist(), runs.parts[which + 1].tolist()
    part_first, closed = (runs.part_first, runs.closed)
    for i, seen in enumerate(group):
        parts = slice(first_part[i], last_part[i])
        opens = (part_first[parts] - starts[i]).tolist()
        found.append(
            Drawn(
                curves[begins[i] : ends[i]],
                tuple(opens),
                tuple(closed[parts].tolist()),
                seen.shape.style,
                seen.member.names,
                seen.member.hidden,
                seen.clip,
                seen.cut,
                orders[i],
            )
        )
    return found


def _size(shape: Shape) -> int:
    first = shape.program.runs.first  # type: ignore[attr-defined]
    return int(first[shape.run + 1] - first[shape.run])


def _meet(clip: Box, other: Optional[Box]) -> bool:
    """Whether a box can be seen through a clip that lets anything through."""
    if other is None or clip[2] <= clip[0] or clip[3] <= clip[1]:
        return False
    return other[0] <= clip[2] and other[2] >= clip[0] and other[1] <= clip[3] and other[3] >= clip[1]
