"""The before/after picture: what was bought, what it became, and by how much, to scale.

Each piece shows the lines it came from (thin, dashed, grey), its new seam line (strong)
and cut line (thin), the zone between old and new, and every change in mm and in eighths
of an inch.  The page is A4 (longer where there are many pieces), one unit of the drawing
is one mm of the paper, and the scale is an ordinary one such as 1:5, so that a print can
be measured.
"""

import textwrap
from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.files import picture_ink as ink
from sewkit.files.picture_changes import (
    called,
    changes_between,
    nearest_points,
    outline_of,
)
from sewkit.files.picture_layout import (
    MARGIN,
    PAPERS,
    SCALES,
    SEEN,
    Cell,
    Label,
    Page,
    Placed,
    rows,
    sided,
    wrapped,
)
from sewkit.files.report_words import told_change
from sewkit.geometry.length import path_length, places_at
from sewkit.geometry.path import Path, point
from sewkit.geometry.polygon import bounds, contains
from sewkit.geometry.transform import Transform
from sewkit.pattern.mark import (
    BUTTON,
    BUTTONHOLE,
    DART,
    DOT,
    DRILL,
    FOLD,
    GATHER,
    GRAIN,
    INNER,
    LENGTHEN,
    NOTCH,
    Mark,
)
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Change
from sewkit.units import write_length, write_number

_DRAWN_MARKS = (NOTCH, GRAIN, DRILL, DOT, BUTTON, BUTTONHOLE, GATHER, DART, FOLD, LENGTHEN, INNER)

# A tint narrower than this (mm on the piece) is hidden below the lines on either side.
_VISIBLE = 0.5

# Letters in a line below a piece's name: about as wide as a large piece.
_NOTE_WRAP = 42

# Places looked at along a line to find where it stands clear of the others.
_LOOKED_AT = 48


class Scene(NamedTuple):
    """All that is shown of one piece (mm as in the pattern); ``names`` are its edges'."""

    piece: Piece
    new: Path
    names: Tuple[str, ...]
    old: Tuple[Tuple[str, Path], ...]
    cut: Optional[Path]
    cut_before: Optional[Path]
    marks: Tuple[Mark, ...]
    changes: Tuple[Change, ...]

    @property
    def lines(self) -> Tuple[Path, ...]:
        """Every line that needs room."""
        drawn = tuple(mark.path for mark in self.marks if mark.path is not None)
        return (self.new, *(path for _, path in self.old), *(() if self.cut is None else (self.cut,)), *drawn)

    @property
    def is_kept(self) -> bool:
        """Whether its seam line is one that was there before."""
        return bool(self.old) and self.old[0][1] == self.new

    @property
    def zone(self) -> Optional[Tuple[Path, Path]]:
        """The old and the new line, where both are closed and differ."""
        if not self.old or not (self.new.closed and self.old[0][1].closed) or self.old[0][1] == self.new:
            return None
        return self.old[0][1], self.new

    @property
    def box(self) -> Tuple[float, float, float, float]:
        """Left, top, right, bottom of all lines and of all spots with a label."""
        boxes = np.array([bounds(line) for line in self.lines if len(line)])
        spots = np.array([change.point for change in self.changes]).reshape(-1, 2)
        low = np.vstack([boxes[:, :2], spots]).min(axis=0)
        high = np.vstack([boxes[:, 2:], spots]).max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def before_after(
    before: Pattern,
    after: Pattern,
    sizes_before: Sequence[str],
    size_after: str,
    changes: Sequence[Change] = (),
    title: str = "",
) -> str:
    """The picture as SVG text.

    Args:
        before: the pattern as it was.
        after: the pattern as it is now; its pieces drawn in ``size_after`` are shown.
        sizes_before: the sizes it came from; the zone is tinted from the first of them.
        size_after: the new size.
        changes: labels; without any, the largest move of each edge is worked out.
        title: the line on top.

    Raises ``InputError`` where no piece is drawn in ``size_after``.
    """
    if not changes and sizes_before:
        changes = changes_between(before, after, sizes_before[0], size_after)
    scenes = _scenes(before, after, sizes_before, size_after, changes)
    if not scenes:
        raise InputError(
            "There is nothing to show: no piece is drawn in size '{}'.".format(size_after),
            "The sizes are: {}.".format(", ".join(after.sizes) or "none"),
            code="nest",
        )
    keys = _legend(scenes, sizes_before, size_after)
    scale, page, height = _fitting(scenes, keys)
    pieces = [_drawn(scene, placed, scale) for scene, placed in zip(scenes, page.placed)]
    return ink.document(title, scale, page.width, height, keys, pieces)


def _scenes(
    before: Pattern,
    after: Pattern,
    sizes_before: Sequence[str],
    size_after: str,
    changes: Sequence[Change],
) -> List[Scene]:
    scenes = []
    for piece in after.pieces:
        new = outline_of(after, piece.name, size_after)
        if new is None or not len(new.path):
            continue
        parents = [(size, outline_of(before, piece.name, size)) for size in dict.fromkeys(sizes_before)]
        old = tuple((size, outline.path) for size, outline in parents if outline is not None)
        if not (piece.named or new.path.closed) and any(line == new.path for _, line in old):
            continue  # a line that was drawn to cut at is no piece
        cut = piece.cut_line(size_after)
        marks = [mark for mark in piece.marks_for(size_after) if mark.kind in _DRAWN_MARKS and mark.path]
        told = tuple(change for change in changes if change.piece == piece.name)
        lines = (cut.path if cut else None, _cut_before(before, piece.name, size_after))
        scenes.append(Scene(piece, new.path, new.names, old, *lines, tuple(marks), told))
    return scenes


def _cut_before(before: Pattern, piece: str, size: str) -> Optional[Path]:
    """The cut line a piece already had in a size."""
    lines = [known.cut_line(size) for known in before.pieces if known.name == piece]
    return next((line.path for line in lines if line is not None), None)


def _legend(scenes: Sequence[Scene], sizes_before: Sequence[str], size_after: str) -> List[ink.Key]:
    """What the strokes mean; only those that occur."""
    keys = [
        ink.Key(ink.old_kind(number), ", ".join(filter(None, [_size_words(size), "before"])))
        for number, size in enumerate(dict.fromkeys(sizes_before))
        if any(size == have and line != scene.new for scene in scenes for have, line in scene.old)
    ]
    seam = "seam line" if all(scene.is_kept for scene in scenes) else "new seam line"
    keys.append(ink.Key("new", ", ".join(filter(None, [_size_words(size_after), seam]))))
    cuts = [(scene.cut, scene.cut_before) for scene in scenes if scene.cut is not None]
    if cuts:
        keys.append(ink.Key("cut", "cut line" if all(a == b for a, b in cuts) else "new cut line"))
    zones = [scene.zone for scene in scenes if scene.zone is not None]
    if any(_beyond(new, old) for old, new in zones):
        keys.append(ink.Key("added", "added"))
    if any(_beyond(old, new) for old, new in zones):
        keys.append(ink.Key("taken", "taken away"))
    return keys


def _beyond(line: Path, other: Path) -> bool:
    """Whether a line runs visibly outside another one."""
    spots = _spots(line)
    return bool((_distances(other, spots)[~contains(other, spots)] > _VISIBLE).any())


def _distances(line: Path, spots: np.ndarray) -> np.ndarray:
    ways = nearest_points(line, spots) - spots
    return np.hypot(ways[:, 0], ways[:, 1])


def _size_words(size: str) -> str:
    """How a size is called: "size 12", but a person's own size by its name alone."""
    return "size {}".format(size) if size[:1].isdigit() else size


def _fitting(scenes: Sequence[Scene], keys: Sequence[ink.Key]) -> Tuple[float, Page, float]:
    """The largest scale at which all fits on one A4 page, lying if that does as well.

    Pieces are not drawn smaller than can be seen: rather the page becomes longer.
    """
    boxes = [scene.box for scene in scenes]
    tallest = max(bottom - top for _, top, _, bottom in boxes)
    scales = [scale for scale in SCALES if scale == SCALES[0] or tallest / scale >= SEEN]
    for scale in scales:
        cells = [_cell(scene, scale, box) for scene, box in zip(scenes, boxes)]
        for width, height in PAPERS:
            if max(cell.full_width for cell in cells) <= width - 2 * MARGIN:
                page = rows(cells, width, ink.TOP)
                needed = page.height + ink.foot(keys, width)
                if needed <= height:
                    return scale, page, needed
    width = max(PAPERS[0][0], max(cell.full_width for cell in cells) + 2 * MARGIN)
    page = rows(cells, width, ink.TOP)
    return scale, page, page.height + ink.foot(keys, width)


def _cell(scene: Scene, scale: float, box: Tuple[float, float, float, float]) -> Cell:
    left, top, right, bottom = box
    width, height = (right - left) / scale, (bottom - top) / scale
    labels = [
        Label(wrapped(text), ((spot[0] - left) / scale, (spot[1] - top) / scale), kind)
        for text, spot, kind in _words(scene)
    ]
    return Cell(scene.piece.name, width, height, _notes(scene), *sided(labels, width))


def _words(scene: Scene) -> List[Tuple[str, Tuple[float, float], str]]:
    """The labels: the old lines' sizes, each where it stands clear, and the changes."""
    found = []
    for number, (size, line) in enumerate(scene.old):
        if size and line != scene.new:
            others = [scene.new] + [path for i, (_, path) in enumerate(scene.old) if i != number]
            avoid = [spot for _, spot, _ in found] + [change.point for change in scene.changes]
            found.append((_size_words(size), _clear_spot(line, others, avoid), "size"))
    return found + [(told_change(change.text), change.point, "change") for change in scene.changes]


def _clear_spot(
    line: Path, others: Sequence[Path], avoid: Sequence[Tuple[float, float]]
) -> Tuple[float, float]:
    """Where a line is far from the other lines, and at some distance from other labels."""
    spots, length = _spots(line), path_length(line)
    clear = np.min([_distances(other, spots) for other in others], axis=0)
    if len(avoid):
        away = np.abs(spots[:, None, 1] - np.array(avoid)[None, :, 1]).min(axis=1)
        clear = clear + 0.1 * np.minimum(away, length / 10)
    best = spots[int(np.argmax(clear))]
    return float(best[0]), float(best[1])


def _spots(line: Path) -> np.ndarray:
    """Points ``(n, 2)`` at equal distances along a line."""
    places = places_at(line, (np.arange(_LOOKED_AT) + 0.5) / _LOOKED_AT * path_length(line))
    return point(line.curves[[place.curve for place in places]], np.array([place.t for place in places]))


def _notes(scene: Scene) -> Tuple[str, ...]:
    """The small lines below a piece's name: how it is cut, and how wide its allowance is."""
    words = ["cut {}".format(scene.piece.cut)] if scene.piece.named else []
    words += [scene.piece.cloth] if scene.piece.cloth else []
    if not scene.old:
        words.append("new piece")
    elif scene.is_kept and not scene.changes:
        words.append("not changed" if scene.cut == scene.cut_before else "seam line not changed")
    lines = [" · ".join(words)]
    if scene.cut is not None:
        lines += textwrap.wrap(_allowance(scene), _NOTE_WRAP, break_on_hyphens=False)
    return tuple(filter(None, lines))


def _allowance(scene: Scene) -> str:
    """Its widths: "allowance 10 mm, side 25, centre-fold 0"; nothing where none are kept."""
    widths = dict(scene.piece.allowance)
    if not widths:
        return ""
    usual = widths.pop("", 0.0)
    widths.update((name, 0.0) for name in scene.piece.folds)
    own = [
        "{} {}".format(called(name), write_number(widths[name]))
        for name in scene.names
        if widths.get(name, usual) != usual
    ]
    return ", ".join(["allowance " + write_length(usual), *own])


def _drawn(scene: Scene, placed: Placed, scale: float) -> str:
    left, top, _, _ = scene.box
    onto = Transform(1 / scale, 0.0, 0.0, 1 / scale, placed.x - left / scale, placed.y - top / scale)
    strokes = [(ink.old_kind(number), onto.path(path)) for number, (_, path) in enumerate(scene.old)]
    if scene.cut is not None:
        strokes.append(("cut", onto.path(scene.cut)))
    for mark in scene.marks:
        # The picture draws heads of its own, as it has them for every arrow.
        strokes.append(
            ("grain", onto.path(mark.shaft)) if mark.kind == GRAIN else ("mark", onto.path(mark.path))
        )
    strokes.append(("new", onto.path(scene.new)))
    zone = None if scene.zone is None else (onto.path(scene.zone[0]), onto.path(scene.zone[1]))
    return ink.piece(placed, strokes, zone)
