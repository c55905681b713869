"""Whether the labels on the pieces still say what is true: number, sizes, how it is cut, allowances.

A label stays as it was written when a size is kept, a piece is divided or an allowance changes; a
piece is then cut by words that no longer hold.
"""

import re
from typing import List, Sequence

from sewkit.errors import InputError
from sewkit.pattern.cut_list import CutRow, cut_list
from sewkit.pattern.label_legend import LABEL_NAME
from sewkit.pattern.mark import LABEL
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.piece_label import allowance_words, size_words
from sewkit.report import Finding, Level

_SIZES = re.compile(r"\bsizes (\S+) to ([^\s;,]+)|\bsize ([^\s;,]+)")


def labels_right_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """A finding (code ``label-old``) for each piece whose label says something else than is true."""
    if not any(mark.name == LABEL_NAME for piece in pattern.pieces for mark in piece.marks):
        return []
    try:
        rows = {row.piece: row for row in cut_list(pattern)}
    except InputError:  # how many are cut is a check of its own
        return []
    found = []
    for piece in pattern.pieces:
        said = _said(piece)
        row = rows.get(piece.name)
        wrong = _wrong(piece, row, said) if said and row is not None else []
        if wrong:
            text = "The label of '{}' does not say: {}.".format(piece.name, "; ".join(wrong))
            cure = "Label the pieces again (sewkit label)."
            found.append(Finding("label-old", Level.WARN, text, piece.name, cure=cure))
    return found


def _said(piece: Piece) -> str:
    """All words of a piece's label in one line."""
    lines = [mark.text for mark in piece.marks if mark.kind == LABEL and mark.name == LABEL_NAME]
    return " ".join(" ".join(lines).split())


def _wrong(piece: Piece, row: CutRow, said: str) -> List[str]:
    """The words that should be on the label and are not."""
    wanted = ["{} ({} of {})".format(piece.name, row.number, row.of)]
    wanted.append("cut {}, {} cloth".format(row.how, row.cloth))
    missing = [words for words in wanted if words not in said]
    widths = [allowance_words(piece, outline) for outline in piece.outlines]
    if widths and not any(words in said for words in widths):
        missing.append(widths[0])
    met = _SIZES.search(said)
    if met is not None and row.size:
        names = [name for name in met.groups() if name]
        whole = size_words(row.size)
        if any(name not in piece.sizes for name in names) or (len(names) > 1 and met.group() != whole):
            missing.append(whole)
    return missing
