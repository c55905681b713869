"""The master drawing of an imported pattern: a layer a piece, in it a layer a size.

Everything is in millimetres, one user unit each.  Outlines keep the look their maker gave
them; marks look as sewkit draws marks.  What the file had switched off stays hidden, what
belongs to no piece lies in a layer of its own, and text stays text.
"""

import re
from typing import Any, Iterator, Optional, Set, Tuple

from lxml import etree

from sewkit.files.svg import Drawing
from sewkit.files.svg_draw import new_path, new_text, set_transform
from sewkit.files.svg_names import INKSCAPE, SEAM_LINE, SEWKIT, SODIPODI, SVG, set_own
from sewkit.files.svg_path import write_d
from sewkit.files.svg_read import write_guess, write_place
from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import Mark
from sewkit.pattern.naming import write_names
from sewkit.pattern.piece import Piece
from sewkit.sheet.brought import Brought
from sewkit.sheet.drawn import Style, Whole, Words
from sewkit.sheet.leftover import is_speck
from sewkit.units import write_number

# The thinnest pen on the screen (mm): a PDF's hairline has no width of its own.
_HAIR = 0.1

# The page stays white paper on the editor's desk; without these it shows no page at all.
_PAPER = {
    "pagecolor": "#ffffff",
    "bordercolor": "#666666",
    "borderopacity": "1.0",
    "{%s}pageopacity" % INKSCAPE: "0.0",
    "{%s}pagecheckerboard" % INKSCAPE: "0",
    "{%s}deskcolor" % INKSCAPE: "#d1d1d1",
}

_REST, _WORDS, _HIDDEN = "rest-of-the-sheet", "words", "hidden-in-the-file"
_GREY = "#999999"
_INK = re.compile(r"^#[0-9a-fA-F]{6}$")


def new_drawing(brought: Brought) -> Drawing:
    """The master, opened."""
    return Drawing(master(brought))


def master(brought: Brought) -> Any:
    """The drawing as a new tree."""
    root = etree.Element(
        "{%s}svg" % SVG, nsmap={None: SVG, "inkscape": INKSCAPE, "sodipodi": SODIPODI, "sewkit": SEWKIT}
    )
    width, height = (write_number(max(mm, 1.0)) for mm in (brought.width, brought.height))
    root.set("width", width + "mm")
    root.set("height", height + "mm")
    root.set("viewBox", "0 0 {} {}".format(width, height))
    set_own(root, "title", brought.pattern.title)
    view = etree.SubElement(root, "{%s}namedview" % SODIPODI, id="view")
    view.set("{%s}document-units" % INKSCAPE, "mm")
    for name, value in _PAPER.items():
        view.set(name, value)
    builder = _Builder(root, brought)
    for piece in brought.pattern.pieces:
        builder.piece(piece)
    builder.rest()
    return root.getroottree()


class _Builder:
    """Adds layers and elements, each with an id that nothing else has."""

    def __init__(self, root: Any, brought: Brought) -> None:
        self.root = root
        self.brought = brought
        self.ids: Set[str] = {"view"}
        self.words = {_place(words): words for words in brought.words}
        self.labels: Set[Tuple[str, float, float]] = set()

    def piece(self, piece: Piece) -> None:
        """A layer for a piece; in it one for each size, and one for what serves all sizes."""
        group = self._layer(self.root, piece.name, piece.name)
        for name, value in _attributes(piece):
            set_own(group, name, value)
        common = self._layer(group, piece.name + "-all-sizes", "all sizes") if _common(piece) else group
        for outline in piece.outlines:
            layer = group
            if outline.size:
                name = "{}-size-{}".format(piece.name, outline.size)
                layer = self._layer(group, name, "size " + outline.size)
            if (piece.name, outline.size) in self.brought.hidden:
                layer.set("style", "display:none")
            element = new_path(outline.path, SEAM_LINE, layer, None)
            look = self.brought.looks.get((piece.name, outline.size))
            if look is not None:
                element.set("style", _style(look))
            self._identify(element, "-".join(filter(None, (piece.name, outline.size, SEAM_LINE))))
            set_own(element, "role", SEAM_LINE)
            set_own(element, "size", outline.size)
            set_own(element, "edges", write_names(outline))
            for mark in piece.marks:
                if mark.size == outline.size and mark.size:
                    self._mark(piece, mark, layer)
        for mark in piece.marks:
            if not mark.size:
                self._mark(piece, mark, common)

    def rest(self) -> None:
        """What belongs to no piece: lines, words, and what was hidden in the file."""
        lines = [line for line in self.brought.rest if not is_speck(line.path)]
        shown = [line for line in lines if not line.hidden]
        unseen = [line for line in lines if line.hidden]
        words = [words for words in self.brought.words if _place(words) not in self.labels]
        if shown:
            layer = self._layer(self.root, _REST, "rest of the sheet")
            for line in shown:
                self._line(line, layer)
        if any(not one.hidden for one in words):
            layer = self._layer(self.root, _WORDS, "words on the sheet")
            for one in words:
                if not one.hidden:
                    self._text(one, layer)
        if unseen or any(one.hidden for one in words):
            layer = self._layer(self.root, _HIDDEN, "hidden in the file")
            layer.set("style", "display:none")
            for line in unseen:
                self._line(line, layer)
            for one in words:
                if one.hidden:
                    self._text(one, layer)

    # -- elements ---------------------------------------------------------------------

    def _layer(self, parent: Any, name: str, label: str) -> Any:
        layer = etree.SubElement(parent, "{%s}g" % SVG)
        self._identify(layer, name)
        layer.set("{%s}groupmode" % INKSCAPE, "layer")
        layer.set("{%s}label" % INKSCAPE, label)
        return layer

    def _mark(self, piece: Piece, mark: Mark, layer: Any) -> None:
        if mark.text:
            element = self._label(mark, layer)
        elif mark.path is None or is_speck(mark.path):
            return
        else:
            element = new_path(mark.path, mark.kind, layer, None)
        self._identify(element, "-".join(filter(None, (piece.name, mark.size, mark.kind, mark.name))))
        set_own(element, "role", mark.kind)
        set_own(element, "name", mark.name)
        set_own(element, "size", mark.size)
        set_own(element, "count", str(mark.count) if mark.count != 1 else "")
        set_own(element, "at", write_place(mark.on) if mark.on else "")
        set_own(element, "guess", write_guess(mark.guess))

    def _label(self, mark: Mark, layer: Any) -> Any:
        """A label as it was printed; one that was put together from several words as ours."""
        words: Optional[Words] = None
        if mark.path is not None and len(mark.path):
            words = self.words.get((mark.text, *_rounded(*mark.path.start)))
        if words is None:
            return new_text(mark.text, mark.path, mark.kind, layer)
        self.labels.add(_place(words))
        return self._text(words, layer)

    def _line(self, line: Whole, layer: Any) -> None:
        element = etree.SubElement(layer, "{%s}path" % SVG)
        element.set("d", write_d(line.path))
        element.set("style", _style(line.style))
        self._identify(element, "line")

    def _text(self, words: Words, layer: Any) -> Any:
        element = etree.SubElement(layer, "{%s}text" % SVG)
        ink = words.colour if _INK.match(words.colour) else "#000000"
        height = write_number(max(words.height, _HAIR), 5)
        element.set("style", "font-size:{}px;font-family:sans-serif;fill:{}".format(height, ink))
        frame = turn(words.angle).then(move(words.x, words.y))
        set_transform(element, frame)
        element.text = _printable(words.text)
        self._identify(element, "words")
        return element

    def _identify(self, element: Any, wish: str) -> None:
        base = re.sub(r"[^A-Za-z0-9_-]+", "-", wish).strip("-") or "line"
        base = base if base[0].isalpha() else "s" + base
        name, number = base, 1
        while name in self.ids:
            number += 1
            name = "{}-{}".format(base, number)
        self.ids.add(name)
        element.set("id", name)


def _common(piece: Piece) -> bool:
    return any(outline.size for outline in piece.outlines) and any(not mark.size for mark in piece.marks)


def _attributes(piece: Piece) -> Iterator[Tuple[str, str]]:
    yield "piece", piece.name
    yield "folds", " ".join(piece.folds)
    yield "cut", str(piece.cut) if piece.cut != 1 else ""
    yield "cloth", piece.cloth
    yield "guess", write_guess(piece.guess)


def _style(look: Style) -> str:
    """How a line of the file looks.

    Areas are drawn as their edge: filled they would lie over the lines below, and a ring of
    a letter would be a blot.  An ink that is no colour is drawn black, a white one grey.
    """
    ink = look.colour or look.fill
    ink = ink if _INK.match(ink) else "#000000"
    parts = ["fill:none", "stroke:" + (_GREY if ink.lower() == "#ffffff" else ink)]
    parts.append("stroke-width:" + write_number(max(look.width if look.colour else 0.0, _HAIR), 5))
    if look.colour and look.dashes:
        parts.append("stroke-dasharray:" + ",".join(write_number(dash, 5) for dash in look.dashes))
    return ";".join(parts)


def _printable(text: str) -> str:
    """Text that an SVG may hold; signs that no font prints are left out."""
    return "".join(
        sign
        for sign in text
        if sign in "\t"
        or (ord(sign) >= 32 and not 0xD800 <= ord(sign) < 0xE000 and ord(sign) not in (0xFFFE, 0xFFFF))
    )


def _place(words: Words) -> Tuple[str, float, float]:
    return (words.text, *_rounded(words.x, words.y))


def _rounded(x: float, y: float) -> Tuple[float, float]:
    return round(float(x), 3), round(float(y), 3)
