"""What the sheet picture shows: pieces, pages, places to look at, and a legend to it all."""

import math
from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.files import picture_sheet_ink as ink
from sewkit.files.picture_sheet_plan import Worry
from sewkit.files.picture_sheet_room import Box
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import IDENTITY, Transform
from sewkit.pattern.mark import DART, DRILL, FOLD, GRAIN, INNER, LENGTHEN, LEVEL, NOTCH
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level
from sewkit.sheet.brought import Brought
from sewkit.sheet.summary import sizes_in_order
from sewkit.sheet.tile_findings import sheet_turn
from sewkit.units import write_number

# More numbers than this would cover the drawing; the report has all.
_MOST_FINDINGS = 60

EVERY = "every"  # the stroke of an outline that serves all sizes

_MARK_WORDS = {
    GRAIN: "grain line",
    FOLD: "fold bracket",
    NOTCH: "notch",
    DART: "dart",
    LENGTHEN: "lengthen or shorten here",
    DRILL: "drill hole",
    LEVEL: "level line",
    INNER: "inner line",
}


class Scene(NamedTuple):
    """All that is shown (mm on the sheet).

    Args:
        pieces: those with an outline.
        kinds: the stroke of each size.
        rest: lines that belong to no piece.
        pages: number and box of each page; the whole sheet has the number 0.
        worries: what there is to look at, worst first; ``more`` findings are not shown.
        box: around everything.
    """

    pieces: Tuple[Piece, ...]
    kinds: Dict[str, str]
    rest: Tuple[Path, ...]
    pages: Tuple[Tuple[int, Box], ...]
    worries: Tuple[Worry, ...]
    more: int
    box: Box


def scene_of(brought: Brought) -> Scene:
    """What is to be seen of an import."""
    pieces = tuple(piece for piece in brought.pattern.pieces if lines_of(piece))
    sizes = sizes_in_order(brought.pattern)
    kinds = {size: ink.size_kind(number) for number, size in enumerate(sizes)}
    rest = tuple(line.path for line in brought.rest if len(line.path) and not line.hidden)
    pages = _pages(brought) or ((0, (0.0, 0.0, brought.width, brought.height)),)
    boxes = [(0.0, 0.0, brought.width, brought.height), *(around(piece) for piece in pieces)]
    boxes += [bounds(path) for path in rest] + [box for _, box in pages]
    sides = np.array(boxes)
    box = (*sides[:, :2].min(axis=0).tolist(), *sides[:, 2:].max(axis=0).tolist())
    places = brought.places or brought.report.findings
    placed = [finding for finding in places if _has_place(finding)]
    placed.sort(key=lambda finding: -finding.level)
    worries = _worries(placed[:_MOST_FINDINGS])
    return Scene(pieces, kinds, rest, pages, worries, len(placed[_MOST_FINDINGS:]), box)


def _has_place(finding: Finding) -> bool:
    """Whether there is something to look at, and a spot to point to."""
    if finding.level == Level.PASS or finding.point is None:
        return False
    return all(math.isfinite(value) for value in finding.point)


def _worries(findings: Sequence[Finding]) -> Tuple[Worry, ...]:
    """What says the same has one number, at all its spots."""
    found: Dict[Tuple[Level, str], List[Tuple[float, float]]] = {}
    for finding in findings:
        text = finding.text
        if finding.where and not text.startswith(finding.where):
            text = "{}: {}".format(finding.where, text)
        x, y = finding.point or (0.0, 0.0)
        found.setdefault((finding.level, text), []).append((float(x), float(y)))
    return tuple(Worry(level, text, tuple(spots)) for (level, text), spots in found.items())


def lines_of(piece: Piece) -> List[Path]:
    """Every line of a piece that needs room."""
    lines = [outline.path for outline in piece.outlines] + [line.path for line in piece.cut_lines]
    lines += [mark.path for mark in piece.marks if mark.kind in ink.MARK_KINDS and mark.path is not None]
    return [line for line in lines if len(line)]


def around(piece: Piece) -> Box:
    """Left, top, right, bottom of all lines of a piece (mm)."""
    sides = np.array([bounds(line) for line in lines_of(piece)])
    return (*sides[:, :2].min(axis=0).tolist(), *sides[:, 2:].max(axis=0).tolist())


def size_of(box: Box) -> Tuple[float, float]:
    """Width and height."""
    return box[2] - box[0], box[3] - box[1]


def _pages(brought: Brought) -> Tuple[Tuple[int, Box], ...]:
    """What each page adds to the sheet."""
    known = {page.number: page for page in brought.printed.pages}
    turned = _turned(brought)
    found = []
    for place in brought.joined.placed:
        page = known.get(place.page)
        if page is not None:
            left, top, right, bottom = brought.joined.trim or (0.0, 0.0, page.width, page.height)
            corners = turned.points(np.array([(left, top), (right, bottom)]) + [place.x, place.y])
            found.append((place.page, (*corners.min(axis=0).tolist(), *corners.max(axis=0).tolist())))
    return tuple(found)


def _turned(brought: Brought) -> Transform:
    """From the sheet as its pages are stored to the sheet as it is read."""
    width, height = brought.width, brought.height
    turn = sheet_turn(brought.printed.pages, [place.page for place in brought.joined.placed])
    return {
        90: Transform(0.0, 1.0, -1.0, 0.0, width, 0.0),
        180: Transform(-1.0, 0.0, 0.0, -1.0, width, height),
        270: Transform(0.0, -1.0, 1.0, 0.0, 0.0, height),
    }.get(turn, IDENTITY)


def usually_apart(pieces: Sequence[Piece]) -> float:
    """How far neighbouring sizes lie apart in the middle one of the pieces (mm); 0 for no nest."""
    steps = []
    for piece in pieces:
        sizes = [size_of(bounds(outline.path)) for outline in piece.outlines if len(outline.path)]
        if len(sizes) > 1:
            growth = np.ptp(np.array(sizes), axis=0).max()
            steps.append(float(growth) / 2.0 / (len(sizes) - 1))  # a piece grows on both sides
    return sorted(steps)[len(steps) // 2] if steps else 0.0


def facts(brought: Brought, scene: Scene) -> str:
    """The line below the scale: "sheet 841 x 1189 mm · 12 pieces · 9 pages"."""
    width, height = (write_number(round(side)) for side in (brought.width, brought.height))
    words = ["sheet {} x {} mm".format(width, height), _counted(len(scene.pieces), "piece")]
    words += [_counted(len(scene.kinds), "size")] if scene.kinds else []
    words.append(_counted(len(brought.joined.placed), "page"))
    return " · ".join(words)


def _counted(count: int, word: str) -> str:
    return "{} {}{}".format(count, word, "" if count == 1 else "s")


def legend(brought: Brought, scene: Scene) -> Tuple[Tuple[ink.Key, ...], ...]:
    """What the strokes and signs mean, only those that occur: outlines, marks, the rest."""
    levels = sorted({worry.level for worry in scene.worries}, reverse=True)
    rest = [ink.Key(ink.swatch("rest"), "belongs to no piece")] if scene.rest else []
    if len(scene.pages) > 1:
        rest.append(ink.Key(ink.page_frame((0.0, -1.8, ink.SWATCH, 1.8)), "page"))
    rest += [ink.Key(ink.level_sign(level), level.word) for level in levels]
    return tuple(_outline_keys(brought, scene)), (*_mark_keys(scene), *rest)


def _outline_keys(brought: Brought, scene: Scene) -> List[ink.Key]:
    keys = []
    for size, kind in scene.kinds.items():
        having = [(piece.name, size) for piece in scene.pieces if size in piece.sizes]
        off = ", switched off in the file" if having and set(having) <= set(brought.hidden) else ""
        keys.append(ink.Key(ink.swatch(kind), _shortened(_size_words(size)) + off))
    if any("" in piece.sizes for piece in scene.pieces):
        keys.append(ink.Key(ink.swatch(EVERY), "every size" if scene.kinds else "outline"))
    if any(piece.cut_lines for piece in scene.pieces):
        keys.append(ink.Key(ink.swatch("cut"), "cut line"))
    wide = max((key.width for key in keys), default=0.0)
    return [key._replace(least=wide) for key in keys]


def _mark_keys(scene: Scene) -> List[ink.Key]:
    keys = []
    if any(piece.folds for piece in scene.pieces):
        keys.append(ink.Key(ink.swatch("fold-edge"), "edge on the fold"))
    drawn = {mark.kind for piece in scene.pieces for mark in piece.marks if mark.path is not None}
    return keys + [ink.Key(_mark_sign(kind), words) for kind, words in _MARK_WORDS.items() if kind in drawn]


def _size_words(size: str) -> str:
    return "size {}".format(size) if size[:1].isdigit() else size


def _shortened(words: str) -> str:
    return words if len(words) <= 40 else words[:39] + "…"


def _mark_sign(kind: str) -> str:
    middle = (ink.SWATCH / 2, 0.0)
    if kind == DRILL:
        return ink.hole(middle)
    if kind == NOTCH:
        return ink.line("notch", (middle[0], -1.2), (middle[0], 1.2)) + ink.circle("sign", middle, 0.5)
    return ink.swatch(ink.MARK_KINDS[kind])
