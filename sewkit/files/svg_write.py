"""From a changed pattern back into the drawing it came from.

Only what differs is touched: an element whose line and names are as before stays byte
for byte as it was.
"""

import re
from typing import Any, Dict, Optional, Tuple

import numpy as np
from lxml import etree

from sewkit.errors import InputError
from sewkit.files.svg_frame import parse_transform, to_sheet, uniform_scale
from sewkit.files.svg_names import CUT_LINE, INKSCAPE, SEAM_LINE, SODIPODI, SVG, by_id, own, set_own, shown_name, tag
from sewkit.files.svg_path import write_d
from sewkit.files.svg_read import Entry, key_of, write_place
from sewkit.geometry.path import Path
from sewkit.geometry.transform import IDENTITY, Transform, move, turn
from sewkit.pattern.mark import GRAIN, INNER, LABEL, LEVEL, NOTCH, NOTE, OVERLAY, Mark
from sewkit.pattern.naming import write_names
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece, write_corners
from sewkit.pattern.seam import Seam, write_seams
from sewkit.units import write_number

# How new lines look (widths in mm): the trade's custom is a solid line to cut on and a
# broken line to sew on.  Widths and dashes tell them apart on a grey printer.
_LOOKS: Dict[str, Tuple[float, str]] = {
    SEAM_LINE: (0.35, "stroke-dasharray:5,2.5"),
    CUT_LINE: (0.6, ""),
    NOTCH: (0.5, ""),
    GRAIN: (0.35, ""),
    LEVEL: (0.25, "stroke-dasharray:1,2"),
    INNER: (0.35, "stroke-dasharray:8,2,2,2"),
    OVERLAY: (0.5, "stroke-opacity:0.6"),
}
_TEXT_HEIGHT = {LABEL: 8.0, OVERLAY: 6.0, NOTE: 5.0}

# New attributes of the editor's own namespaces read as the editor writes them.
etree.register_namespace("inkscape", INKSCAPE)
etree.register_namespace("sodipodi", SODIPODI)


class Writer:
    """Puts one pattern over another; knows the elements behind the first."""

    def __init__(self, root: Any, entries: Dict[str, Entry]) -> None:
        self.root = root
        self.entries = entries
        self.ids = by_id(root)
        self.seam_lines: Dict[Tuple[str, str], Any] = {}

    def write(self, before: Pattern, after: Pattern) -> None:
        """Change the tree from one pattern to the other."""
        old = {piece.key or piece.name: piece for piece in before.pieces}
        self.parts = {part.key: part for piece in before.pieces for part in _parts(piece) if part.key}
        for piece in after.pieces:
            was = old.get(piece.key or piece.name)
            if was != piece:
                self._piece(was or Piece(piece.name, named=False), piece)
        self._remove_gone(before, after)
        self._seams(before, after)

    def _piece(self, was: Piece, piece: Piece) -> None:
        group = self._group(was, piece)
        for outline in piece.outlines:
            self._outline(was, piece, outline, group)
        for line in piece.cut_lines:
            self._cut_line(piece, line, group)
        for mark in piece.marks:
            self._mark(piece, mark, group)

    # -- groups and their attributes ------------------------------------------------

    def _group(self, was: Piece, piece: Piece) -> Optional[Any]:
        if not piece.named:
            return None
        if piece.key in self.entries:
            group = self.entries[piece.key].element
        else:
            group = self._new_group(piece)
        set_own(group, "piece", piece.name)
        for name in ("folds", "hems", "darts"):
            if getattr(was, name) != getattr(piece, name):
                set_own(group, name, " ".join(getattr(piece, name)))
        if was.allowance != piece.allowance:
            set_own(group, "allowance", _write_allowance(piece))
        if was.corners != piece.corners:
            set_own(group, "corners", write_corners(piece.corners))
        if (was.cut, was.cloth) != (piece.cut, piece.cloth):
            set_own(group, "cut", str(piece.cut))
            set_own(group, "cloth", piece.cloth)
        return group

    def _new_group(self, piece: Piece) -> Any:
        """A group round the elements of a piece that had none, in the place of the first."""
        keys = [part.key for part in _parts(piece) if part.key in self.entries]
        if not keys:
            parent, index = self.root, None
        else:
            first = self.entries[keys[0]].element
            parent = first.getparent()
            index = parent.index(first)
        group = etree.SubElement(parent, "{%s}g" % SVG)
        if index is not None:
            parent.insert(index, group)
        group.set("id", self._new_id(piece.name))
        group.set("{%s}label" % INKSCAPE, piece.name)
        self.entries[group.get("id")] = Entry(group, to_sheet(group), True)
        for key in keys:
            self._adopt(group, self.entries[key].element, key)
        return group

    def _adopt(self, group: Any, element: Any, key: str) -> None:
        """Move an element into a group; it stays where it is on the sheet."""
        if element.getparent() is not group.getparent():
            frame = to_sheet(element).then(to_sheet(group).inverse())
            _set_transform(element, frame)
        if element.tail:
            _leave_tail(element)
        group.append(element)
        self.entries[key] = self.entries[key]._replace(element=element, frame=to_sheet(element))

    # -- lines ------------------------------------------------------------------------

    def _outline(self, was: Piece, piece: Piece, outline: Outline, group: Optional[Any]) -> None:
        old = self.parts.get(outline.key)
        if old is not None:
            element = self.entries[outline.key].element
            if old.path != outline.path:
                element = self._redraw(outline.key, outline.path, piece.name)
        else:
            after = self.entries[was.outlines[-1].key].element if _known(was, self.entries) else None
            element = self._new_line(outline.path, SEAM_LINE, group, after, piece.name, outline.size)
        self.seam_lines[(piece.name, outline.size)] = element
        if piece.named:
            set_own(element, "role", SEAM_LINE)
            set_own(element, "size", outline.size)
            if old != outline or not was.named:
                set_own(element, "edges", write_names(outline))

    def _cut_line(self, piece: Piece, line: CutLine, group: Optional[Any]) -> None:
        old = self.parts.get(line.key)
        if old == line:
            return
        source = self.seam_lines.get((piece.name, line.size))
        if old is not None:
            element = self.entries[line.key].element
            if old.path != line.path:
                element = self._redraw(line.key, line.path, piece.name)
        else:
            element = self._new_line(line.path, CUT_LINE, group, source, piece.name, line.size)
        set_own(element, "role", CUT_LINE)
        set_own(element, "edges", "")
        set_own(element, "size", line.size)
        if not piece.named and source is not None:
            set_own(element, "of", key_of(source))

    def _redraw(self, key: str, path: Path, piece: str) -> Any:
        entry = self.entries[key]
        if tag(entry.element) == "use":
            raise InputError(
                "'{}' is a clone and follows its original.".format(shown_name(entry.element)),
                "Unlink it first: Edit > Clone > Unlink Clone.",
                code="clone",
            )
        element = entry.element if entry.writable else _as_path(entry.element)
        element.set("d", write_d(entry.frame.inverse().path(path)))
        stale = "{%s}nodetypes" % SODIPODI
        if stale in element.attrib:
            del element.attrib[stale]
        self.entries[key] = Entry(element, entry.frame, True)
        return element

    def _new_line(
        self, path: Path, role: str, group: Optional[Any], after: Optional[Any], piece: str, size: str
    ) -> Any:
        parent = after.getparent() if after is not None else (group if group is not None else self.root)
        element = etree.Element("{%s}path" % SVG)
        if after is not None:
            parent.insert(parent.index(after) + 1, element)
            element.tail = after.tail
        else:
            parent.append(element)
        element.set("id", self._new_id("-".join(word for word in (piece, size, role) if word)))
        frame = to_sheet(parent)
        element.set("d", write_d(frame.inverse().path(path)))
        element.set("style", _style(role, frame))
        self.entries[element.get("id")] = Entry(element, frame, True)
        return element

    # -- marks --------------------------------------------------------------------------

    def _mark(self, piece: Piece, mark: Mark, group: Optional[Any]) -> None:
        old = self.parts.get(mark.key)
        if old == mark:
            return
        if old is None or mark.key not in self.entries:
            element = self._new_mark(piece, mark, group)
        else:
            element = self.entries[mark.key].element
            if mark.text:
                self._move_text(element, old, mark)
            elif old.path != mark.path and mark.path is not None:
                element = self._redraw(mark.key, mark.path, piece.name)
        for name, value in (("role", mark.kind), ("name", mark.name), ("size", mark.size)):
            set_own(element, name, value)
        set_own(element, "count", str(mark.count) if mark.count != 1 else "")
        set_own(element, "at", write_place(mark.on) if mark.on else "")

    def _new_mark(self, piece: Piece, mark: Mark, group: Optional[Any]) -> Any:
        if mark.text:
            return self._new_text(piece, mark, group)
        path = mark.path if mark.path is not None else Path([])
        return self._new_line(path, mark.kind, group, None, piece.name + (mark.name and "-" + mark.name), mark.size)

    def _new_text(self, piece: Piece, mark: Mark, group: Optional[Any]) -> Any:
        parent = group if group is not None else self.root
        element = etree.SubElement(parent, "{%s}text" % SVG)
        element.set("id", self._new_id("-".join(w for w in (piece.name, mark.size, mark.kind) if w)))
        element.set("style", "font-size:{}px;font-family:sans-serif;fill:#000000".format(_TEXT_HEIGHT.get(mark.kind, 6.0)))
        lines = mark.text.split("\n")
        if len(lines) == 1:
            element.text = mark.text
        else:
            for number, line in enumerate(lines):
                span = etree.SubElement(element, "{%s}tspan" % SVG, x="0", dy="1.3em" if number else "0")
                span.text = line
        frame = _text_frame(mark.path).then(to_sheet(parent).inverse())
        _set_transform(element, frame)
        return element

    def _move_text(self, element: Any, old: Mark, mark: Mark) -> None:
        if element.text != mark.text and not len(element):
            element.text = mark.text
        if old.path is None or mark.path is None or old.path == mark.path:
            return
        shift = move(*(mark.path.start - old.path.start))
        parent = to_sheet(element.getparent())
        frame = parse_transform(element.get("transform")).then(parent).then(shift).then(parent.inverse())
        _set_transform(element, frame)

    # -- what is gone, and what is sewn ---------------------------------------------------

    def _remove_gone(self, before: Pattern, after: Pattern) -> None:
        here = {part.key for piece in after.pieces for part in _parts(piece)}
        for key in self.parts:
            if key not in here:
                _remove(self.entries[key].element)
        groups = {piece.key for piece in after.pieces}
        for piece in before.pieces:
            if piece.key and piece.key not in groups:
                _remove(self.entries[piece.key].element)

    def _seams(self, before: Pattern, after: Pattern) -> None:
        if before.seams == after.seams:
            return
        for piece in after.pieces:
            if piece.named:
                group = self.entries[piece.key].element if piece.key in self.entries else self.ids.get(piece.name)
                group = group if group is not None else self._group_of(piece)
                if group is not None:
                    set_own(group, "sewn", write_seams(_owned(after.seams, piece.name), piece.name))

    def _group_of(self, piece: Piece) -> Optional[Any]:
        return next((e for e in self.root.iter() if isinstance(e.tag, str) and own(e, "piece") == piece.name), None)

    def _new_id(self, wish: str) -> str:
        """An id nobody has; the same for the same drawing and the same wish."""
        base = re.sub(r"[^A-Za-z0-9_-]+", "-", wish).strip("-") or "line"
        base = base if base[0].isalpha() else "s" + base
        name, number = base, 1
        while name in self.ids:
            number += 1
            name = "{}-{}".format(base, number)
        self.ids[name] = None
        return name


def _parts(piece: Piece) -> Tuple[Any, ...]:
    return piece.outlines + piece.cut_lines + piece.marks


def _known(piece: Piece, entries: Dict[str, Entry]) -> bool:
    return bool(piece.outlines) and piece.outlines[-1].key in entries


def _owned(seams: Tuple[Seam, ...], piece: str) -> Tuple[Seam, ...]:
    return tuple(seam for seam in seams if seam.first[0].piece == piece)


def _write_allowance(piece: Piece) -> str:
    words = []
    for edge, width in piece.allowance.items():
        words.append("{}={}".format(edge, write_number(width)) if edge else write_number(width))
    return " ".join(words)


def _style(role: str, frame: Transform) -> str:
    width, extra = _LOOKS.get(role, (0.35, ""))
    largest, smallest = uniform_scale(frame)
    unit = (largest * smallest) ** 0.5 or 1.0
    if extra.startswith("stroke-dasharray"):
        name, _, dashes = extra.partition(":")
        extra = name + ":" + ",".join(write_number(float(dash) / unit, 5) for dash in dashes.split(","))
    parts = ["fill:none", "stroke:#000000", "stroke-width:" + write_number(width / unit, 5)]
    return ";".join(parts + ([extra] if extra else []))


def _text_frame(path: Optional[Path]) -> Transform:
    """Where and how a text stands: at the path's start, along its direction."""
    if path is None or not len(path):
        return IDENTITY
    dx, dy = path.end - path.start
    angle = float(np.degrees(np.arctan2(dy, dx))) if (dx or dy) else 0.0
    return turn(angle).then(move(*path.start))


def _set_transform(element: Any, frame: Transform) -> None:
    if frame == IDENTITY:
        element.attrib.pop("transform", None)
        return
    element.set("transform", "matrix({})".format(",".join(write_number(v, 12) for v in frame)))


def _as_path(shape: Any) -> Any:
    """Turn a rectangle, circle or polygon into a path element in the same place."""
    geometry = {"x", "y", "width", "height", "rx", "ry", "r", "cx", "cy", "x1", "y1", "x2", "y2", "points"}
    element = etree.Element("{%s}path" % SVG)
    for name, value in shape.attrib.items():
        if name not in geometry:
            element.set(name, value)
    element.tail = shape.tail
    shape.getparent().replace(shape, element)
    return element


def _remove(element: Any) -> None:
    """Take an element out, leaving the text around it as it was."""
    if element.getparent() is not None:
        _leave_tail(element)
        element.getparent().remove(element)


def _leave_tail(element: Any) -> None:
    """The white space behind an element belongs to its place, not to it."""
    tail, before, parent = element.tail, element.getprevious(), element.getparent()
    element.tail = None
    if not tail or not tail.strip():
        return
    if before is not None:
        before.tail = (before.tail or "") + tail
    else:
        parent.text = (parent.text or "") + tail

