"""A document to be printed or projected: pages that show parts of one drawing.

The artwork is drawn once, in millimetres, y down; a page has windows onto it, each at its own
place and scale, and drawings of its own beside it.  A layer can be switched in a viewer; what
is on several layers is seen where all of them are on.
"""

from typing import NamedTuple, Optional, Tuple

from sewkit.geometry.path import Path

Ink = Tuple[float, float, float]  # red, green, blue, 0 to 1
BLACK: Ink = (0.0, 0.0, 0.0)


class Layer(NamedTuple):
    """What can be switched on and off in a viewer.

    Args:
        name: unique, as shown: "Size 3", "Cut lines".
        group: the heading it stands under: "Sizes", "Lines"; may be empty.
        on: whether it is seen when the file is opened.
    """

    name: str
    group: str = ""
    on: bool = True


class Stroke(NamedTuple):
    """A line: ``width`` and ``dashes`` (mm); ``layers``: names of all it belongs to."""

    path: Path
    width: float
    dashes: Tuple[float, ...] = ()
    ink: Ink = BLACK
    layers: Tuple[str, ...] = ()


class Fill(NamedTuple):
    """A filled closed shape."""

    path: Path
    ink: Ink = BLACK
    layers: Tuple[str, ...] = ()


class Words(NamedTuple):
    """One line of text.

    Args:
        text: the words.
        place: where its base line begins, or its middle or end by ``anchor`` (mm).
        height: the size of the letters (mm), as a font's size is given.
        along: unit direction of the base line, y down.
        anchor: 0 begins at the place, 0.5 is centred on it, 1 ends there.
    """

    text: str
    place: Tuple[float, float]
    height: float
    along: Tuple[float, float] = (1.0, 0.0)
    ink: Ink = BLACK
    bold: bool = False
    anchor: float = 0.0
    layers: Tuple[str, ...] = ()


class Drawn(NamedTuple):
    """What is drawn, in the order fills, strokes, words."""

    strokes: Tuple[Stroke, ...] = ()
    fills: Tuple[Fill, ...] = ()
    words: Tuple[Words, ...] = ()

    def and_(self, other: "Drawn") -> "Drawn":
        """Both, the other on top."""
        return Drawn(self.strokes + other.strokes, self.fills + other.fills, self.words + other.words)


class Window(NamedTuple):
    """A part of the artwork on a page.

    Args:
        left, top, width, height: the part (mm on the artwork).
        x, y: where its upper left corner lies on the page (mm).
        scale: how many mm on the page are one on the artwork; 1 is true size.
        mirrored: turned over, left and right exchanged within the window.
    """

    left: float
    top: float
    width: float
    height: float
    x: float
    y: float
    scale: float = 1.0
    mirrored: bool = False


class Page(NamedTuple):
    """One page (mm): what it shows of the artwork, and what is drawn on it besides.

    Args:
        label: how the viewer calls the page: "B3"; empty for its number.
        ground: colour of the whole page; None leaves the paper.
        below: its own drawings lie below the windows, so that they hide nothing of the artwork.
    """

    width: float
    height: float
    windows: Tuple[Window, ...] = ()
    own: Drawn = Drawn()
    label: str = ""
    ground: Optional[Ink] = None
    below: bool = False


class Document(NamedTuple):
    """All that one file holds.

    Args:
        name: what the file is called after the pieces: "a4", "roll", "projector".
        title: for the viewer and the head of each page.
        subject: one line: whose it is, the sizes, the date.
        unit: how many times 1/72 in one unit of a page is; 1 unless somebody asked for more.
        full_screen: open it without the viewer's frame.
    """

    name: str
    title: str
    pages: Tuple[Page, ...]
    artwork: Drawn = Drawn()
    layers: Tuple[Layer, ...] = ()
    subject: str = ""
    unit: float = 1.0
    full_screen: bool = False
