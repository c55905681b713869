"""The lengths of all edges as they were before anybody changed them, as a table of text.

edge,1,2,3
front/side,190.515,191.2,192.004

One row an edge, one column a size; the column without a name is of pieces that serve every
size.  Lengths are mm as sewn.  How long the sides of a seam were follows from its edges, also of
a seam that was named later.
"""

import io
import math
from typing import Collection, Dict, List, Mapping, Optional, Tuple

from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef
from sewkit.units import write_number

# Decimals of a length (mm): a tenth of what we promise to be exact to.
_DIGITS = 3

# Length (mm) by piece, edge and size.
Lengths = Dict[Tuple[str, str, str], float]


def lengths_of(pattern: Pattern, pieces: Collection[str] = ()) -> Lengths:
    """The lengths as sewn of all edges of named pieces, or of those called so."""
    return {
        (piece.name, name, outline.size): round(outline.as_sewn(name), _DIGITS)
        for piece in pattern.pieces
        if piece.named and (not pieces or piece.name in pieces)
        for outline in piece.outlines
        for name in outline.names
    }


def write_baseline(lengths: Mapping[Tuple[str, str, str], float]) -> str:
    """The table; rows and columns in the order in which edges and sizes come first."""
    import csv  # only where lengths are kept: a run may come at every change of a number

    sizes = list(dict.fromkeys(size for _, _, size in lengths))
    edges = list(dict.fromkeys((piece, edge) for piece, edge, _ in lengths))
    stream = io.StringIO()
    table = csv.writer(stream, lineterminator="\n")
    table.writerow(["edge", *sizes])
    for piece, edge in edges:
        row = [lengths.get((piece, edge, size)) for size in sizes]
        cells = ["" if length is None else write_number(length) for length in row]
        table.writerow(["{}/{}".format(piece, edge), *cells])
    return stream.getvalue() if edges else ""


def read_baseline(text: str) -> Lengths:
    """The lengths of a table; rows and cells that say nothing are passed over."""
    if not text.strip():
        return {}
    import csv

    rows: List[List[str]] = list(csv.reader(io.StringIO(text)))
    found: Lengths = {}
    sizes = [cell.strip() for cell in rows[0][1:]] if rows else []
    for row in rows[1:]:
        piece, _, edge = (row[0] if row else "").strip().partition("/")
        for size, cell in zip(sizes, row[1:]):
            length = _length(cell)
            if piece and edge and length is not None:
                found[(piece, edge, size)] = length
    return found


def _length(cell: str) -> Optional[float]:
    try:
        length = float(cell)
    except ValueError:
        return None
    return length if math.isfinite(length) and length >= 0 else None


def kept_length(lengths: Lengths, ref: EdgeRef, size: str) -> Optional[float]:
    """How long an edge was in a size, or in the one that served them all; None where nobody knows."""
    return lengths.get((ref.piece, ref.edge, size), lengths.get((ref.piece, ref.edge, "")))
