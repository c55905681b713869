"""Pieces as the stage before gives them, made by hand: outlines, whole lines, words."""

from typing import NamedTuple, Tuple

from sewkit.geometry.polygon import bounds, contains
from sewkit.geometry.path import Path
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
