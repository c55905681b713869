"""What an operation found amiss, written into the drawing below the pieces.

The editor would stop with a message box at every change of a number; a note in the
drawing tells the same without standing in the way.  All notes lie in one layer, which is
written anew each time and goes away with the last finding.
"""

import textwrap
from typing import Any, List, Sequence

import numpy as np
from lxml import etree

from sewkit.files.svg import Drawing
from sewkit.files.svg_frame import to_sheet
from sewkit.files.svg_names import INKSCAPE, SODIPODI, SVG, set_own
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.mark import NOTE
from sewkit.pattern.pattern import Pattern
from sewkit.units import write_number

LAYER_ID = "sewkit-notes"
LAYER_NAME = "Sewkit notes"

# Text that reads well beside a piece on the screen, and its place below it (mm).
_HEIGHT, _GAP = 4.0, 8.0
_LINE = 1.4 * _HEIGHT

# A longer line of letters leaves most sheets; a letter is about so wide for its height.
_LETTERS, _WIDE = 110, 0.6
_INDENT = "\u2003"

_STYLE = "font-size:{}px;line-height:1.4;font-family:sans-serif;fill:#b00000".format(write_number(_HEIGHT))


def put_notes(drawing: Drawing, sentences: Sequence[str], chosen: Chosen) -> None:
    """Replace the layer of notes in the drawing's tree by one with these sentences."""
    for old in drawing.root.findall("{%s}g[@id='%s']" % (SVG, LAYER_ID)):
        drawing.root.remove(old)
    if not sentences:
        return
    names = {"inkscape": INKSCAPE, "sodipodi": SODIPODI}
    layer = etree.SubElement(drawing.root, "{%s}g" % SVG, id=LAYER_ID, nsmap=names)
    layer.set("{%s}groupmode" % INKSCAPE, "layer")
    layer.set("{%s}label" % INKSCAPE, LAYER_NAME)
    lines = [line for sentence in sentences for line in _wrapped(sentence)]
    pattern = drawing.with_beside(drawing.pattern)
    size = np.array([_WIDE * _HEIGHT * max(len(line) for line in lines), _LINE * len(lines)])
    _add_text(layer, lines, _clear(_place(pattern, chosen), size, pattern))


def _wrapped(sentence: str) -> List[str]:
    """The lines of a sentence; those after its first one stand further in."""
    lead = _INDENT if sentence.startswith(" ") else ""  # blanks at the beginning are not drawn
    words = lead + sentence.strip()
    return textwrap.wrap(words, _LETTERS, subsequent_indent=_INDENT + lead, break_long_words=False) or [""]


def _add_text(layer: Any, lines: Sequence[str], place: np.ndarray) -> None:
    text = etree.SubElement(layer, "{%s}text" % SVG, id=LAYER_ID + "-text", style=_STYLE)
    set_own(text, "role", NOTE)
    to_units = to_sheet(layer).inverse()
    # The text is written in millimetres and set to the drawing's scale as a whole.
    text.set("transform", "matrix({})".format(",".join(write_number(value) for value in to_units)))
    # The editor sets lines one below the other itself, from the place of the text.
    text.set("x", write_number(round(float(place[0]), 3)))
    text.set("y", write_number(round(float(place[1]), 3)))
    for number, words in enumerate(lines):
        line = etree.SubElement(text, "{%s}tspan" % SVG)
        line.set("{%s}role" % SODIPODI, "line")
        line.set("x", write_number(round(float(place[0]), 3)))
        line.set("y", write_number(round(float(place[1]) + _LINE * number, 3)))
        line.text = words


def _place(pattern: Pattern, chosen: Chosen) -> np.ndarray:
    """Below the lower left corner of the chosen pieces, (2,) mm on the sheet."""
    names = {one.piece for one in chosen.outlines}  # drawn lines among them may be gone by now
    nodes = []  # type: List[np.ndarray]
    for piece in pattern.pieces:
        if not names or piece.name in names:
            nodes += [line.path.nodes for line in piece.outlines + piece.cut_lines]
    if not nodes:
        return np.array([_GAP, _GAP])
    every = np.concatenate(nodes)
    return np.array([every[:, 0].min(), every[:, 1].max() + _GAP])


def _clear(place: np.ndarray, size: np.ndarray, pattern: Pattern) -> np.ndarray:
    """The place, or one straight below it where the text stands on no piece and no other words."""
    paths = [line.path for piece in pattern.pieces for line in piece.outlines + piece.cut_lines]
    paths += [mark.path for mark in pattern.beside if mark.path is not None]
    boxes = np.array([(path.nodes.min(axis=0), path.nodes.max(axis=0)) for path in paths if len(path)])
    for low, high in boxes[np.argsort(boxes[:, 0, 1])] if len(boxes) else ():
        foot = place + (0.0, -_HEIGHT)
        if (low < foot + size).all() and (high > foot).all():
            place = np.array([place[0], high[1] + _GAP])
    return place
