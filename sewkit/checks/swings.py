"""Checks on a line that swings from one size to another."""

from typing import List, Mapping, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.geometry.between import Ramp
from sewkit.geometry.guards import outside, steepness, wiggles
from sewkit.pattern.outline import Outline
from sewkit.pattern.swing import Window
from sewkit.report import Finding, Level

# The line may leave the strip between its parents by no more than what fitting allows (mm).
_OUTSIDE = 0.02

# Sideways shift over taper length: 1 in 4; steeper makes a visible corner (about 10-14
# degrees; common practice, no source).
_STEEP = 0.25

# More sizes than this in one taper are told: the shape between them was never drawn for
# any body (common practice, no source).
_MANY = 3


def swing_findings(
    first: Outline, second: Outline, made: Outline, windows: Mapping[str, Window], piece: str
) -> Tuple[Finding, ...]:
    """What there is to say about the edges that swing; ``InputError`` outside the nest."""
    found: List[Finding] = []
    for name, window in windows.items():
        for a, b, line in zip(first.runs(name), second.runs(name), made.runs(name)):
            left = outside(line, a, b)
            if left.distance > _OUTSIDE:
                raise InputError(
                    "The new '{}' of '{}' would leave the nest by {:.1f} mm near ({:.0f}, {:.0f}) mm.".format(
                        name, piece, left.distance, *left.point
                    ),
                    "Leave the old line earlier, or arrive later.",
                    code="nest",
                )
            if wiggles(line) > max(wiggles(a), wiggles(b)) + 2:
                text = "{}/{}: the new line bends more often than its parents; look at it.".format(
                    piece, name
                )
                found.append(Finding("wiggle", Level.WARN, text, "{}/{}".format(piece, name)))
        if len(first.runs(name)) == 1:
            a, b = first.edge_path(name), second.edge_path(name)
            if window.from_end:
                a, b = a.reverse(), b.reverse()
            steep = steepness(a, b, Ramp(window.start, window.stop))
            if steep > _STEEP:
                text = (
                    "{}/{}: the line shifts sideways by {:.0f} mm in 100; more than 25 makes a visible bend. "
                    "Leave the old line earlier, or arrive later."
                ).format(piece, name, steep * 100)
                found.append(Finding("steep", Level.WARN, text, "{}/{}".format(piece, name)))
    return tuple(found)


def many_sizes(nest: Sequence[str], sizes: Sequence[str]) -> Tuple[Finding, ...]:
    """A taper over many sizes of a nest, or a chain of three lines, wants a test garment."""
    places = [list(nest).index(size) for size in sizes]
    gap = max(abs(a - b) for a, b in zip(places, places[1:]))
    found = ["{} sizes lie in one taper".format(gap)] if gap > _MANY else []
    if len(sizes) > 2:
        found.append("{} sizes meet on one edge".format(len(sizes)))
    advice = "{}; sew a test garment before you cut good cloth."
    return tuple(Finding("many-sizes", Level.WARN, advice.format(text)) for text in found)
