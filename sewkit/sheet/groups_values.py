"""Groups of lines that look alike, and what size each is."""

from typing import NamedTuple, Tuple

from sewkit.report import Finding
from sewkit.sheet.drawn import Style

ALL, NONE = "all", "-"


class Group(NamedTuple):
    """Lines that look alike.

    Args:
        key: "A", "B", ...: what the person writes in the table of sizes.
        layer: the layer's name, or several.
        style: the one most of it is drawn in.
        rank: place in the nest from 1 (the smallest), where only that tells sizes apart;
            else 0.
        lines: numbers of whole lines.
        length: of all of them (mm).
        size: name of the size; "all" serves every size, "-" is none: frame, text, logo.
        reason: in words, why.
        score: how sure, 0 to 1.
    """

    key: str
    layer: str
    style: Style
    rank: int
    lines: Tuple[int, ...]
    length: float
    size: str
    reason: str
    score: float


class Grouping(NamedTuple):
    """All groups, sizes first, from the smallest.

    Args:
        told_by: "layers", "styles", "dashes", "nesting" or "one size".
    """

    groups: Tuple[Group, ...]
    told_by: str
    findings: Tuple[Finding, ...] = ()


def key_of(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
