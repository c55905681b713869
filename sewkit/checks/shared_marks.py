"""Marks that serve all sizes, where only some sizes of a piece have changed."""

from typing import List, Mapping

from sewkit.pattern.mark import LEVEL
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level


def shared_findings(pattern: Pattern, sizes: Mapping[str, int], levels: bool = True) -> List[Finding]:
    """That such marks stayed where they are.

    Args:
        sizes: how many sizes of each piece have changed, by the piece's name.
        levels: named levels stayed as well; else each size that changed has its own now.
    """
    some = [
        name
        for name, count in sizes.items()
        if count < len(pattern.piece(name).outlines)
        and any(
            not m.size and (levels or not (m.kind == LEVEL and m.name)) for m in pattern.piece(name).marks
        )
    ]
    if not some:
        return []
    text = "Only some sizes of {} changed, so the marks that serve all sizes stayed where they are."
    if not levels:
        text = text[:-1] + "; levels go with their size."
    text += " Change all sizes together, or keep one size first (sewkit size)."
    return [Finding("marks-stayed", Level.WARN, text.format(", ".join(some)), some[0])]
