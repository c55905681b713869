"""Test squares, rulers and scale bars drawn by hand, as strokes on a page."""

import math

import numpy as np

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words

PEN = Style("#000000", 0.35)
BLACK = Style("", 0.0, (), "#000000")


def stroke(*paths, style=PEN, clip=None):
    """One drawn element with a run for each path."""
    curves = np.concatenate([path.curves for path in paths])
    starts = np.cumsum([0] + [len(path) for path in paths])[:-1]
    closed = tuple(path.closed for path in paths)
    return Drawn(curves, tuple(int(start) for start in starts), closed, style, clip=clip)


def line(*points, style=PEN):
    return stroke(Path.through(points), style=style)


def corners(x, y, width, height=None, turn=0.0, lean=0.0):
    """Corners of a rectangle; ``turn`` degrees about its upper left corner; ``lean``: how far
    its lower side is pushed to the right (mm)."""
    height = width if height is None else height
    points = np.array([[0.0, 0.0], [width, 0.0], [width + lean, height], [lean, height]])
    angle = math.radians(turn)
    matrix = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    return points @ matrix + [x, y]


def square(x, y, width, height=None, turn=0.0, lean=0.0, style=PEN):
    return stroke(Path.through(corners(x, y, width, height, turn, lean), closed=True), style=style)


def text(words, x, y, angle=0.0, height=3.5):
    return Words(words, x, y, angle, height, 0.5 * height * len(words))


def ruler(x, y, step, count, along=(1.0, 0.0), base=True, style=PEN, stray=()):
    """Ticks from a base line; every second one longer; ``stray``: how far each is out of place."""
    along = np.array(along) / np.hypot(*along)
    out = np.array([along[1], -along[0]])
    ticks = []
    for number in range(count + 1):
        foot = np.array([x, y]) + along * (step * number + (stray[number] if len(stray) else 0.0))
        ticks.append(line(foot, foot + out * (4.0 if number % 2 else 6.0), style=style))
    start = np.array([x, y])
    return ([line(start, start + along * step * count, style=style)] if base else []) + ticks


def bar(x, y, length, tick=3.0):
    """A line between two ticks, in one path each."""
    return [
        line((x, y), (x + length, y)),
        line((x, y - tick), (x, y + tick)),
        line((x + length, y - tick), (x + length, y + tick)),
    ]


def page(drawn, words=(), number=1, size=(400.0, 400.0)):
    numbered = tuple(one._replace(order=i) for i, one in enumerate(drawn))
    return Page(number, size[0], size[1], 0, numbered, tuple(words))


def printed(drawn, words=(), **more):
    return Printed((page(drawn, words, **more),))
