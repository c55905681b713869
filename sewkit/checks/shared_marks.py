"""Marks that serve all sizes, where only some sizes of a piece have changed."""

from typing import List, Mapping

from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level


def shared_findings(pattern: Pattern, sizes: Mapping[str, int]) -> List[Finding]:
    """That such marks stayed where they are.

    Args:
        sizes: how many sizes of each piece have changed, by the piece's name.
    """
    some = [
        name
        for name, count in sizes.items()
        if count < len(pattern.piece(name).outlines)
        and any(not mark.size for mark in pattern.piece(name).marks)
    ]
    if not some:
        return []
    text = "Only some sizes of {} changed, so the marks that serve all sizes stayed where they are."
    return [Finding("marks-stayed", Level.WARN, text.format(", ".join(some)), some[0])]
