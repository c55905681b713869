"""Pieces as the stage before gives them, made by hand: outlines, whole lines, words."""

from typing import NamedTuple, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds, contains
from sewkit.sheet.drawn import Style, Whole, Words
from sewkit.sheet.groups import Group, Grouping
from sewkit.sheet.nest import FoundOutline, FoundPiece
from sewkit.sheet.role_words import middle_of
from sewkit.sheet.roles import guess_roles

THIN = Style("#000000", 0.35)
BLACK = Style("", 0.0, (), "#000000")


class Laid(NamedTuple):
    """All that ``guess_roles`` is given."""

    piece: FoundPiece
    lines: Tuple[Whole, ...]
    words: Tuple[Words, ...]
    grouping: Grouping

    def guessed(self):
        return guess_roles(*self)


def laid(outlines, marks=(), words=(), sizes=None):
    """``outlines``: path by size; ``marks``: paths, or paths with a style or a size's name."""
    lines = [Whole(path, THIN) for path in outlines.values()]
    found = tuple(FoundOutline(size, path, (n,), ()) for n, (size, path) in enumerate(outlines.items()))
    groups = {size: [n] for n, size in enumerate(outlines)}
    for mark in marks:
        path, more = mark if isinstance(mark, tuple) else (mark, THIN)
        if isinstance(more, str):
            groups.setdefault(more, []).append(len(lines))
            more = THIN
        lines.append(Whole(path, more))
    inside = tuple(range(len(outlines), len(lines)))
    piece = FoundPiece(found, inside, tuple(range(len(words))), bounds(list(outlines.values())[-1]))
    made = tuple(
        Group(chr(65 + i), "", THIN, 0, tuple(numbers), 0.0, size, "", 1.0)
        for i, (size, numbers) in enumerate(groups.items())
    )
    return Laid(piece, tuple(lines), tuple(words), Grouping(made, "styles", ()))


def from_scene(scene, name):
    """One piece of a scene with all that is drawn in it or on it; every mark's group is "all"."""
    outlines = {o.size: o.path for o in scene.outlines if o.piece == name}
    marks, roles = [], []
    for stroke in scene.strokes:
        if stroke.piece == name and stroke.role not in ("outline", "fold"):
            for path in stroke.paths:
                marks.append((path, stroke.style))
                roles.append(stroke)
    largest = list(outlines.values())[-1]
    words = [w for w in scene.words if contains(largest, middle_of(w)[None])[0]]
    return laid(outlines, marks, words), roles


def line(*points):
    return Path.through(points)


def box(width, height, x=0.0, y=0.0):
    return Path.through([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], closed=True)


def words(text, x, y, height=5.0, angle=0.0):
    """A run of text with letters half as wide as high."""
    return Words(text, x, y, angle, height, 0.5 * height * len(text))


def of_kind(guessed, kind):
    return [mark for mark in guessed.marks if mark.kind == kind]


def moved(made, frame, mirrored=False):
    """The whole piece under a transform; outlines still run clockwise on the sheet."""

    def path(one):
        return frame.path(one)

    lines = tuple(line._replace(path=path(line.path)) for line in made.lines)
    outlines = []
    for outline in made.piece.outlines:
        new = path(outline.path)
        outlines.append(outline._replace(path=new.reverse() if mirrored else new))
    texts = []
    for one in made.words:
        # Text is never drawn mirrored: it is laid along the same line from its other end.
        radians = np.radians(one.angle)
        way = np.array([np.cos(radians), np.sin(radians)])
        start = np.array([one.x, one.y])
        a, b = frame.points(np.array([start, start + way * one.width]))
        a, b = (b, a) if mirrored else (a, b)
        angle = float(np.degrees(np.arctan2(*(b - a)[::-1])))
        texts.append(one._replace(x=float(a[0]), y=float(a[1]), angle=angle))
    piece = made.piece._replace(outlines=tuple(outlines), box=bounds(outlines[-1].path))
    return made._replace(piece=piece, lines=lines, words=tuple(texts))
