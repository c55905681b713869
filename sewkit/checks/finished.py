"""The finished garment's measures, taken from the seam lines.

    for row in finished(pattern, "3"):
        row.level, row.girth

At a level the girth is F = sum of m (width - darts - pleats - gathers) - overlaps over the pieces that
make it: m is how often a piece is cut, twice that on the fold.  Every piece is measured at its
own level; one that has none is measured where its neighbour's level meets the seam.
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from sewkit.checks.counted import Counting, counting, is_limb, level_key, outline_in, times
from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import distance_of, path_length
from sewkit.pattern.level_width import LevelWidth, along_edge, level_mark, level_names, level_width, width_at
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.sewn_to import sewn_to
from sewkit.pattern.spans import grain_axis
from sewkit.pattern.upright import down_of

HEM = "hem"

# Edges that are known by name as the garment's ends, where no level is drawn.
_EDGES = ("neck", "waist", "hip", HEM)

_CENTRE_BACK = ("centre-back", "center-back", "back-centre", "back-center", "cb")
_CENTRE_FRONT = ("centre-front", "center-front", "front-centre", "front-center", "cf", "front-edge")
_SIDE = ("side", "side-seam")


class Part(NamedTuple):
    """A piece in a girth: how wide it is, and how often it is in it."""

    width: LevelWidth
    times: float

    @property
    def girth(self) -> float:
        """What it adds (mm)."""
        return self.times * self.width.width


class Finished(NamedTuple):
    """A finished girth.

    Args:
        level: as it is called on the first piece that has it.
        size: the size's name.
        parts: the pieces that make it.
        left_out: pieces that have the level and do not count, and why.
        missing: pieces that belong to it and whose width is not known, and why; then the girth
            is too small.
        limb: it goes round one arm or leg.
    """

    level: str
    size: str
    parts: Tuple[Part, ...]
    left_out: Mapping[str, str] = {}
    missing: Mapping[str, str] = {}
    limb: bool = False

    @property
    def key(self) -> str:
        """One name for levels that mean the same, such as chest and bust."""
        return level_key(self.level)

    @property
    def girth(self) -> float:
        """All round (mm); of what is missing nothing is in it."""
        return sum(part.girth for part in self.parts)

    @property
    def taken(self) -> float:
        """Darts, pleats and gathers all round (mm)."""
        return sum(part.times * part.width.taken for part in self.parts)

    @property
    def beyond(self) -> float:
        """What laps over all round (mm)."""
        return sum(part.times * part.width.beyond for part in self.parts)

    @property
    def maybe_half(self) -> bool:
        """Whether every piece counts once and none lies on the fold: half a garment, as a rule."""
        return not self.limb and all(part.times == 1 and not part.width.on_fold for part in self.parts)


class Length(NamedTuple):
    """A length of the finished garment along a seam line (mm)."""

    name: str
    piece: str
    size: str
    length: float


def finished(
    pattern: Pattern, size: str, levels: Sequence[str] = (), said: Mapping[str, float] = {}
) -> Tuple[Finished, ...]:
    """The finished girths of one size, in the order in which the levels are drawn.

    Args:
        levels: names; all there are when left out.
        said: the pieces that count, with how often (0: as often as they are cut).

    ``InputError`` (no-level): a level is named that no piece has.
    """
    names = _levels(pattern, size, said)
    wanted = list(names)
    if levels:
        wanted = [level_key(level) for level in levels]
        for level, key in zip(levels, wanted):
            if key not in names:
                raise InputError(
                    "No piece that counts has a level called '{}'.".format(level),
                    "There are: {}.".format(", ".join(names.values()) or "none"),
                    code="no-level",
                )
    return tuple(_girth(pattern, size, names[key], said) for key in dict.fromkeys(wanted))


def lengths(pattern: Pattern, size: str, said: Mapping[str, float] = {}) -> Tuple[Length, ...]:
    """The lengths that are known by the names of edges: centre back, centre front, sides (mm)."""
    found: List[Length] = []
    who = counting(pattern, size, said)
    for piece in pattern.pieces:
        outline = outline_in(piece, size)
        if piece.name not in who.names or outline is None or not outline.path.closed:
            continue
        for names, words in ((_CENTRE_BACK, "centre back"), (_CENTRE_FRONT, "centre front"), (_SIDE, "side")):
            for edge in [name for name in outline.names if name in names]:
                called = "front edge" if edge == "front-edge" else words
                along = along_edge(piece, size, edge)
                found.append(Length(called, piece.name, size, along.across - along.taken))
                to_waist = _to_waist(pattern, piece, size, edge)
                if words == "centre back" and to_waist is not None:
                    found.append(Length("centre back to the waist", piece.name, size, to_waist))
    return tuple(found)


def _levels(pattern: Pattern, size: str, said: Mapping[str, float]) -> Dict[str, str]:
    """The levels of the pieces that count: the first name drawn by what it means; hems last."""
    names: Dict[str, str] = {}
    ends: Dict[str, str] = {}
    for piece in pattern.pieces:
        outline = outline_in(piece, size)
        if outline is None:
            continue
        for name in level_names(piece, outline.size):
            if piece.name in counting(pattern, size, said, name).names:
                names.setdefault(level_key(name), name)
        if piece.name in counting(pattern, size, said).names:
            for name in outline.names:
                key = HEM if name in piece.hems else level_key(name)
                if key in _EDGES and name not in piece.darts:
                    ends.setdefault(key, name if key != HEM else HEM)
    for key in sorted(ends, key=_EDGES.index):
        names.setdefault(key, ends[key])
    return names


# -- one girth ----------------------------------------------------------------------------


def _girth(pattern: Pattern, size: str, level: str, said: Mapping[str, float]) -> Finished:
    who = counting(pattern, size, said, level)
    key = level_key(level)
    widths: Dict[str, List[LevelWidth]] = {}
    left_out: Dict[str, str] = {}
    missing: Dict[str, str] = {}
    for piece in pattern.pieces:
        own = _own_names(piece, size, key)
        if own and piece.name not in who.names:
            left_out[piece.name] = who.left_out[piece.name]
        elif own:
            try:
                widths[piece.name] = [level_width(piece, size, name) for name in own]
            except InputError as error:
                missing[piece.name] = str(error)
    _carry(pattern, size, who, widths, missing)
    parts = tuple(
        Part(width, times(pattern.piece(name), width.on_fold, level, who))
        for name in who.names
        for width in widths.get(name, [])
    )
    return Finished(level, size, parts, left_out, missing, is_limb(level))


def _own_names(piece: Piece, size: str, key: str) -> List[str]:
    """What a level is called on a piece: its mark, else the edge or the hems of that name."""
    outline = outline_in(piece, size)
    if outline is None:
        return []
    marks = [name for name in level_names(piece, outline.size) if level_key(name) == key]
    if marks:
        return marks[:1]
    if key == HEM:
        hems = [name for name in outline.names if name in piece.hems]
        return hems or [name for name in outline.names if name == HEM]
    if key not in _EDGES:
        return []
    return [name for name in outline.names if level_key(name) == key and name not in piece.darts][:1]


def _carry(
    pattern: Pattern,
    size: str,
    who: Counting,
    widths: Dict[str, List[LevelWidth]],
    missing: Dict[str, str],
) -> None:
    """Add the pieces that are sewn on where the level ends and have no such level themselves."""
    waiting = list(widths)
    while waiting:
        leading = pattern.piece(waiting.pop(0))
        for name in _neighbours(pattern, leading.name, widths[leading.name]):
            if name in widths or name in missing or name not in who.names:
                continue
            width = _carried(pattern, leading, pattern.piece(name), size, widths[leading.name][0])
            if isinstance(width, str):
                missing[name] = width
            else:
                widths[name] = [width]
                waiting.append(name)


def _neighbours(pattern: Pattern, piece: str, widths: Sequence[LevelWidth]) -> List[str]:
    """The pieces sewn to the edges on which a level ends."""
    ends = {name for width in widths for end in width.ends for name in end}
    if any(width.way == "edge" for width in widths):
        ends = {name for name in ends if name in _SIDE}
    found: List[str] = []
    for seam in pattern.seams:
        for here, there in ((seam.first, seam.second), (seam.second, seam.first)):
            if any(ref.piece == piece and ref.edge in ends for ref in here):
                found += [ref.piece for ref in there if ref.piece != piece]
    return [name for name in dict.fromkeys(found) if any(one.name == name for one in pattern.pieces)]


def _carried(
    pattern: Pattern, leading: Piece, piece: Piece, size: str, from_: LevelWidth
) -> Union[LevelWidth, str]:
    """The width of a neighbour where the level meets the seam; or why it is not known, in words."""
    outline = outline_in(piece, size)
    if outline is None:
        return "it is not drawn in size {}".format(size)
    try:
        for end, spot in zip(from_.ends, from_.spots):
            for edge in end:
                met = sewn_to(pattern, leading, edge, np.array(spot), piece, size)
                if met is not None:
                    height = float(met @ np.array(grain_axis(piece, outline.size)))
                    return width_at(piece, size, from_.level, height, way="seam")
    except InputError:
        pass  # the seam or the piece cannot be read there
    return "it has no such level"


# -- lengths ------------------------------------------------------------------------------


def _to_waist(pattern: Pattern, piece: Piece, size: str, edge: str) -> Optional[float]:
    """From the upper end of an edge, along it, to where it crosses the waist (mm); or None."""
    outline = outline_in(piece, size)
    if outline is None:
        return None
    marks = [name for name in level_names(piece, outline.size) if level_key(name) == "waist"]
    mark = level_mark(piece, outline.size, marks[0]) if marks else None
    if mark is None or mark.path is None:
        return None
    down = np.array(down_of(pattern, piece).of(piece, outline.size))
    height = float((mark.path.start + mark.path.end) / 2.0 @ down)
    runs = outline.runs(edge)
    passed = 0.0
    for run in runs:
        for place in crossings_with_line(run, down * height, (down[1], -down[0])):
            at = passed + distance_of(run, place)
            falls = runs[0].start @ down < runs[-1].end @ down
            return at if falls else outline.as_sewn(edge) - at
        passed += path_length(run)
    return None
