"""Do the sizes of a nest follow each other: does each grow, and lie to the same side of the next?

Bigger sizes have more area and more girth; a bought nest whose sizes were named the wrong way
round has not.  Where lines of sizes cross depends on how the nest was stacked, so a crossing is
told only where most of the sizes of that piece do not cross.
"""

import re
from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.checks.drawn_sizes import spot
from sewkit.geometry.away import depths
from sewkit.geometry.length import path_length
from sewkit.geometry.path import point
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level

# A size smaller than the one before it by a smaller share is the same size: pockets and bands
# often serve several.
_SMALLER = 0.002

# Lines nearer than this (mm) lie on each other; a pencil's width and a little more.
_ON = 0.5

# How closely outlines are followed here (mm).
_ROUGH = 0.1

# Where on a curve it is asked on which side of the other size it lies.
_SAMPLES = np.array([0.1, 0.3, 0.5, 0.7, 0.9])

_NUMBER = re.compile(r"^\d+([.]\d+)?$")

# Of fewer sizes nobody can say what is usual.
_FEWEST = 4


def nest_order_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Sizes that do not grow, and lines that cross where the other sizes do not."""
    found: List[Finding] = []
    known = pattern.sizes
    for piece in pattern.pieces:
        graded = _graded([outline.size for outline in piece.outlines])
        nest = [o for o in piece.outlines if o.size in graded and o.path.closed and o.size in sizes]
        nest.sort(key=lambda outline: known.index(outline.size))
        if len(nest) > 1 and piece.named:
            found += _growth(piece, nest)
            if len(nest) >= _FEWEST:
                found += _crossed(piece, nest)
    return found


def _graded(sizes: Sequence[str]) -> List[str]:
    """The sizes that belong to the nest: numbers, or letters; a line that was made for one body does not."""
    kinds: Dict[str, List[str]] = {"number": [], "letters": [], "other": []}
    for size in filter(None, sizes):
        kinds["number" if _NUMBER.match(size) else "letters" if size.isalpha() else "other"].append(size)
    return max(kinds.values(), key=lambda some: (len(some) > 1 and some is not kinds["other"], len(some)))


def _growth(piece: Piece, nest: Sequence[Outline]) -> List[Finding]:
    areas = np.array([abs(signed_area(outline.path)) for outline in nest])
    girths = np.array([path_length(outline.path) for outline in nest])
    smaller = areas[1:] < areas[:-1] * (1.0 - _SMALLER)
    if smaller.all() and len(smaller) > 1:
        text = "{}: its sizes become smaller from {} to {}; are they named the wrong way round?"
        words = text.format(piece.name, nest[0].size, nest[-1].size)
        cure = "Name them in the order from the smallest to the largest."
        return [Finding("nest-order", Level.WARN, words, piece.name, spot(nest[0].path.start), cure)]
    found = []
    for number in np.nonzero(smaller)[0]:
        small, large = nest[number + 1], nest[number]
        less_girth = girths[number + 1] < girths[number]
        text = (
            "{}: size {} is smaller than size {} ({:.0f} and {:.0f} cm2, {:.0f} and {:.0f} mm round); "
            "were the two sizes taken for each other?"
        ).format(
            piece.name,
            small.size,
            large.size,
            areas[number + 1] / 100.0,
            areas[number] / 100.0,
            girths[number + 1],
            girths[number],
        )
        level = Level.FAIL if less_girth else Level.WARN
        cure = "Give the two lines their right sizes."
        found.append(Finding("nest-order", level, text, piece.name, spot(small.path.start), cure))
    return found


# An edge's sides: how far (mm) it lies inside the other size at most, and outside.
_Sides = Tuple[float, float, np.ndarray]


def _crossed(piece: Piece, nest: Sequence[Outline]) -> List[Finding]:
    by_edge: Dict[str, List[Tuple[Outline, Outline, _Sides]]] = {}
    for one, other in zip(nest, nest[1:]):
        if one.names != other.names:
            continue
        for name, sides in _sides(one, other).items():
            by_edge.setdefault(name, []).append((one, other, sides))
    found = []
    for name, pairs in by_edge.items():
        crossing = [pair for pair in pairs if min(pair[2][:2]) > _ON]
        if not crossing or len(crossing) * 2 >= len(pairs):
            continue
        for one, other, (inside, outside, at) in crossing:
            x, y = spot(at)
            text = (
                "{}: the lines of sizes {} and {} cross on {} near ({:.0f}, {:.0f}) mm, by up to {:.1f} mm; "
                "the other sizes do not cross there."
            ).format(piece.name, one.size, other.size, quoted(one, name), x, y, min(inside, outside))
            cure = "Look whether a part of the line belongs to another size."
            found.append(Finding("nest-crossed", Level.WARN, text, piece.name, (x, y), cure))
    return found


def _sides(one: Outline, other: Outline) -> Dict[str, _Sides]:
    """For each edge of the other size: how deep inside and how far outside the first it runs."""
    spots = point(other.path.curves, np.broadcast_to(_SAMPLES, (len(other.path), len(_SAMPLES))))
    flat = spots.reshape(-1, 2)
    signed = depths(one.path, flat, _ROUGH).reshape(spots.shape[:2])
    found = {}
    for name in other.names:
        rows = [n for edge in other.edges if edge.name == name for n in range(edge.start, edge.stop)]
        values, places = signed[rows].ravel(), spots[rows].reshape(-1, 2)
        rarer = values.argmin() if (values < 0).sum() <= (values > 0).sum() else values.argmax()
        found[name] = (float(max(-values.min(), 0.0)), float(max(values.max(), 0.0)), places[rarer])
    return found
