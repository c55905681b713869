"""Findings as marks on the sheet: a ring with a number and a few words beside it.

A stop is a ring in a square, something to look at a triangle, a note a circle; so they can be told apart
without colours.  Words stand where they cover no other words, with a line to their ring.
"""

import math
from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.checks.drawn_sizes import middle_of, spot
from sewkit.checks.everything import pieces_of
from sewkit.geometry.path import Path, lines
from sewkit.pattern.mark import FINDING, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level

# Letters are such a part of the drawing's longer side, within limits (mm): readable when all of
# the drawing is on the screen, and no larger than a heading.
_SHARE, _LEAST, _MOST = 1 / 110.0, 4.0, 14.0

# Width of a letter and of the free space round words, in letter heights.
_LETTER, _FREE = 0.62, 0.35

# How far from its ring words may go, in letter heights, and in how many directions.
_RINGS = (1.6, 3.2, 5.0, 7.5, 11.0, 16.0)
_WAYS = 12

# Words for codes that would say little as they are.
_SHORT: Dict[str, str] = {
    "seam": "seams differ",
    "seam-missing": "seam not found",
    "notch-lone": "lone notch",
    "notch-apart": "notches miss",
    "notch-miss": "notches miss",
    "notch-off": "notch moved",
    "notch-gone": "notch lost",
    "notch-alike": "notches alike",
    "notch-on-dart": "notch at a dart",
    "end-angle": "corner not true",
    "end-kink": "kink",
    "end-dip": "dip or peak",
    "fold-angle": "not square to the fold",
    "open": "open",
    "crosses-itself": "crosses itself",
    "encloses-nothing": "encloses nothing",
    "node-doubled": "two nodes",
    "nest-order": "sizes out of order",
    "nest-crossed": "sizes cross",
    "no-grain": "no grain line",
    "cut-stale": "cut line stale",
    "cut-missing": "no cut line",
    "cut-open": "cut line open",
    "cut-alone": "cut line alone",
    "mark-outside": "mark outside",
    "label-outside": "label outside",
    "cut-once": "cut once",
    "edge-edited": "moved by hand",
    "edges-differ": "other edges",
    "no-edge": "no such edge",
    "legs": "unequal legs",
    "follower-stale": "has not followed",
}

# Corner numbers of a shape by level: a triangle, a square; a circle else.
_CORNERS = {Level.WARN: 3, Level.FAIL: 4}

Box = Tuple[float, float, float, float]


def numbered(findings: Sequence[Finding], pattern: Pattern, least: Level) -> List[Finding]:
    """The findings with a number each from the least level on, and a place where they can be given one."""
    told, number = [], 0
    for finding in findings:
        if finding.level >= least:
            number += 1
            finding = finding._replace(number=number)
        if finding.point is None:
            finding = finding._replace(point=_place(finding, pattern))
        told.append(finding)
    return told


def drawn_findings(findings: Sequence[Finding], pattern: Pattern) -> Tuple[Mark, ...]:
    """Shape, number and words for each numbered finding that has a place."""
    shown = [one for one in findings if one.number and one.point is not None and _finite(one.point)]
    height = _height(pattern)
    taken: List[Box] = [_around(one, height) for one in shown]
    marks: List[Mark] = []
    for finding in shown:
        marks += _marks(finding, height, taken)
    return tuple(marks)


def _marks(finding: Finding, height: float, taken: List[Box]) -> List[Mark]:
    name, form = str(finding.number), finding.level.word
    words = "{} {}: {}".format(name, form, short_words(finding.code))
    point = np.array(finding.point)
    box = _free_place(point, words, height, taken)
    taken.append(box)
    # Words stand on their line: the lower edge of the box but the free space.
    start = np.array([box[0] + _FREE * height, box[3] - 2 * _FREE * height])
    reading = Path(lines(start[None], (start + (1.0, 0.0))[None]))
    ring = Mark(FINDING, name, "", _shape(point, finding.level, height), form=form, height=height)
    near = np.array([np.clip(point[0], box[0], box[2]), np.clip(point[1], box[1], box[3])])
    away = near - point
    found = [ring]
    if np.hypot(*away) > 1.2 * height:
        begin = point + away / np.hypot(*away) * 0.9 * height
        leader = Path(lines(begin[None], near[None]))
        found.append(Mark(FINDING, name, "", leader, form=form, height=height))
    return found + [Mark(FINDING, name, "", reading, text=words, form=form, height=height)]


def short_words(code: str) -> str:
    """A few words for a code."""
    return _SHORT.get(code, code.replace("-", " "))


def _shape(point: np.ndarray, level: Level, height: float) -> Path:
    """A triangle, a square or a circle round a point."""
    radius = 0.75 * height
    if level not in _CORNERS:
        return _circle(point, 0.6 * radius)
    count = _CORNERS[level]
    angles = (
        -math.pi / 2.0 + 2.0 * math.pi * np.arange(count) / count + (math.pi / 4.0 if count == 4 else 0.0)
    )
    corners = point + 1.15 * radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    return Path.through(corners, closed=True)


def _circle(point: np.ndarray, radius: float) -> Path:
    """A circle of four curves; off by less than 0.0003 of its radius."""
    k = 4.0 / 3.0 * (math.sqrt(2.0) - 1.0)
    ways = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0], [1.0, 0.0]])
    curves = [np.array([a, a + k * b, b + k * a, b]) for a, b in zip(ways, ways[1:])]
    return Path(point + radius * np.array(curves), True)


def _free_place(point: np.ndarray, words: str, height: float, taken: Sequence[Box]) -> Box:
    """A box for the words near a point that covers none that is taken; the nearest where all do."""
    wide, high = (len(words) * _LETTER + 2 * _FREE) * height, (1.0 + 2 * _FREE) * height
    best: Optional[Tuple[float, Box]] = None
    for far in _RINGS:
        for way in range(_WAYS):
            angle = 2.0 * math.pi * way / _WAYS
            x, y = point + far * height * np.array([math.cos(angle), math.sin(angle)])
            left = x if math.cos(angle) > 0.1 else x - wide if math.cos(angle) < -0.1 else x - wide / 2.0
            box = (float(left), float(y - high / 2.0), float(left + wide), float(y + high / 2.0))
            covered = sum(_overlap(box, other) for other in taken)
            if covered <= 0.0:
                return box
            if best is None or covered < best[0]:
                best = (covered, box)
    assert best is not None
    return best[1]


def _overlap(one: Box, other: Box) -> float:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def _around(finding: Finding, height: float) -> Box:
    x, y = finding.point or (0.0, 0.0)
    return (x - height, y - height, x + height, y + height)


def _height(pattern: Pattern) -> float:
    nodes = [
        outline.path.nodes for piece in pattern.pieces for outline in piece.outlines if len(outline.path)
    ]
    if not nodes:
        return _LEAST
    extent = float(np.ptp(np.concatenate(nodes), axis=0).max())
    return round(min(max(extent * _SHARE, _LEAST), _MOST), 1)


def _finite(point: Tuple[float, float]) -> bool:
    return all(map(math.isfinite, point))


def _place(finding: Finding, pattern: Pattern) -> Optional[Tuple[float, float]]:
    """Where to draw what names a piece, an edge or a seam but no point; None where it names none."""
    known = {piece.name: piece for piece in pattern.pieces}
    for name in pieces_of(finding.where):
        piece = known.get(name)
        if piece is None or not any(len(outline.path) for outline in piece.outlines):
            continue
        return _on(piece, finding.where)
    return None


def _on(piece: Piece, where: str) -> Tuple[float, float]:
    size = where.partition(" size ")[2]
    outlines = [outline for outline in piece.outlines if len(outline.path)]
    outline = next((one for one in outlines if one.size == size), outlines[-1])
    edges = [word.partition("/")[2] for word in where.replace(" + ", " ").split() if "/" in word]
    try:
        return middle_of(outline, edges)
    except ValueError:
        return spot((outline.path.nodes.min(axis=0) + outline.path.nodes.max(axis=0)) / 2.0)
