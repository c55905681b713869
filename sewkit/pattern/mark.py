"""Marks on a piece: everything drawn on it that is not its outline."""

from typing import NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.path import Path

NOTCH = "notch"
GRAIN = "grain"
LEVEL = "level"
DRILL = "drill"
DOT = "dot"  # a place to match by a tack: where a seam stops, a pocket's corner
BUTTON = "button"
BUTTONHOLE = "buttonhole"
GATHER = "gather"  # drawn beside the part of an edge that is drawn together
DART = "dart"  # its legs drawn inside the outline, perhaps with the line to fold on
FOLD = "fold-mark"  # the bracket whose arrows point to the edge that lies on the fold
LENGTHEN = "lengthen-line"  # where the piece is cut apart or folded to change its length
INNER = "inner-line"
LABEL = "label"
# Drawn by us to be read and thrown away: names along the edges, notes below a piece.
OVERLAY = "overlay"
NOTE = "note"
KINDS = (
    NOTCH,
    GRAIN,
    LEVEL,
    DRILL,
    DOT,
    BUTTON,
    BUTTONHOLE,
    GATHER,
    DART,
    FOLD,
    LENGTHEN,
    INNER,
    LABEL,
    OVERLAY,
    NOTE,
)

# A line over words of the drawing, by which an operation knows where they stand; never drawn.
WORDS = "words"

# What a check found, drawn on a layer of its own; it belongs to no piece.
FINDING = "finding"


class On(NamedTuple):
    """Where a notch sits: on an edge, ``distance`` mm from its start.

    ``from_end``: the distance counts from the edge's end instead.  A notch keeps its
    distance from the end at which the two sewn edges meet first.
    """

    edge: str
    distance: float
    from_end: bool = False


class Lettering(NamedTuple):
    """How words stand in the drawing they were read from.

    Args:
        lines: each line with the way to its place from that of the mark (mm).
        along: unit direction in which the letters follow each other.
        height: of the letters (mm).
        anchor: which part of a line lies before its place: 0, 0.5 or 1.
    """

    lines: Tuple[Tuple[str, Tuple[float, float]], ...]
    along: Tuple[float, float]
    height: float
    anchor: float = 0.0


class Mark(NamedTuple):
    """One mark.

    Args:
        kind: one of ``KINDS``.
        name: "waist" for a level, "1" for a notch's number; may be empty.
        size: the size it belongs to; empty when it serves all sizes.
        path: the drawn line (mm); a label has its place as a path of one point's length.
        on: for a notch, its place on an edge.
        count: how many notches side by side: 1 front, 2 back by custom.
        key: how the drawing knows it; empty for a new one.
        text: a label's words.
        guess: how well it fits what it was taken for, above 0 to 1; 0 is no guess: somebody
            said so.
        height: of a new label's letters (mm); 0 is the usual one.  It stands in the drawing and is
            not read from there.
        form: how it is drawn where there is a choice: the form of a notch, of a grain line; empty
            is the usual one.
        lettering: how its words stand in the drawing, as read from there; it is not written back.
    """

    kind: str
    name: str = ""
    size: str = ""
    path: Optional[Path] = None
    on: Optional[On] = None
    count: int = 1
    key: str = ""
    text: str = ""
    guess: float = 0.0
    height: float = 0.0
    form: str = ""
    lettering: Optional[Lettering] = None

    @property
    def shaft(self) -> Path:
        """An arrow without its heads: the longest of its lines, wherever it comes in the path.

        ``ValueError`` for a mark that is not drawn.
        """
        if self.path is None or not len(self.path):
            raise ValueError("the mark is not drawn")
        chords = self.path.curves[:, 3] - self.path.curves[:, 0]
        longest = int(np.hypot(chords[:, 0], chords[:, 1]).argmax())
        return self.path.part(longest, longest + 1)

    @property
    def middle(self) -> np.ndarray:
        """The mark's middle point, (2,) mm; ``ValueError`` for a mark that is not drawn."""
        if self.path is None or not len(self.path):
            raise ValueError("the mark is not drawn")
        return (self.path.nodes.min(axis=0) + self.path.nodes.max(axis=0)) / 2.0
