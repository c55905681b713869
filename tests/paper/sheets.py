"""Pieces for the tests of printing: plain rectangles, whose pages can be counted by hand."""

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.paper.content import PieceInk
from sewkit.paper.document import Drawn, Stroke
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import Piece


def rectangle(left, top, width, height):
    return Path.through(
        [(left, top), (left + width, top), (left + width, top + height), (left, top + height)], closed=True
    )


def ink(path, name="piece", width=0.0):
    """A piece of one line; without width its box is that of the line."""
    return PieceInk(name, Drawn((Stroke(path, width),)), (path,))


def piece(path, name="piece", size="", **more):
    return Piece(name, (bare_outline(path, size)._replace(size=size),), **more)


def chords(path, tolerance=0.01):
    """Straight pieces ``(n, 2, 2)`` of a path, for other libraries."""
    spots = flatten(path, tolerance)
    spots = np.vstack([spots, spots[:1]]) if path.closed else spots
    return np.stack([spots[:-1], spots[1:]], axis=1)
