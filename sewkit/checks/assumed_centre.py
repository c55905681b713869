"""Where the centre of the body was taken to be on a piece that does not say it."""

from sewkit.pattern.edge_called import quoted
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import centre_line


def assumed_centre(piece: Piece, outline: Outline) -> str:
    """What is taken for the centre, for a sentence; empty where the fold or an edge says it."""
    on, _ = centre_line(piece, outline)
    for edge in outline.edges:
        if (outline.path.nodes[edge.start] == on).all():
            # Of the edges with a name only the fold and one called centre are asked.
            return quoted(outline, edge.name) if edge.name.isdecimal() else ""
    return "the middle of the piece or its grain line"
