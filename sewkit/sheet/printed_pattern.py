"""A drawing's lines without names and its words, as a page that the sheet's checks can read."""

import numpy as np

from sewkit.pattern.mark import OVERLAY
from sewkit.pattern.pattern import Pattern
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words


def as_printed(pattern: Pattern) -> Printed:
    """The lines without names and all labels as a page, as the sheet's checks read it."""
    drawn, words = [], []
    for piece in pattern.pieces:
        for outline in piece.outlines if not piece.named else ():
            drawn.append(Drawn(outline.path.curves, (0,), (outline.path.closed,), Style(), order=len(drawn)))
        for mark in piece.marks:
            if mark.text and mark.path is not None and len(mark.path):
                words.append(Words(mark.text, float(mark.path.start[0]), float(mark.path.start[1])))
    for mark in pattern.beside:
        if mark.path is None or mark.kind == OVERLAY:
            continue
        if mark.text:
            words.append(Words(mark.text, float(mark.path.start[0]), float(mark.path.start[1])))
        else:
            drawn.append(Drawn(mark.path.curves, (0,), (mark.path.closed,), Style(), order=len(drawn)))
    far = max([float(np.abs(one.curves).max()) for one in drawn] + [1.0])
    return Printed((Page(1, far, far, 0, tuple(drawn), tuple(words)),))
