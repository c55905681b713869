"""From a changed pattern back into the drawing it came from.

Only what differs is touched: an element whose line and names are as before stays byte
for byte as it was.
"""

import re
from typing import Any, Dict, List, NamedTuple, Optional, Set, Tuple

import numpy as np
from lxml import etree

from sewkit.errors import InputError
from sewkit.files.svg_draw import new_path, new_text, redraw, set_transform, set_words, take_out
from sewkit.files.svg_findings import put_findings
from sewkit.files.svg_frame import parse_transform, to_sheet, uniform_scale
from sewkit.files.svg_kept import set_kept_text
from sewkit.files.svg_names import CUT_LINE, INKSCAPE, SEAM_LINE, SVG, own, set_own, shown_name, tag
from sewkit.files.svg_path import write_d
from sewkit.files.svg_read import Entry, key_of, single_run, write_guess, write_place
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.pattern.faint import is_faint
from sewkit.pattern.mark import Mark
from sewkit.pattern.naming import write_names
from sewkit.pattern.outline import Outline, bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import MITRE_LIMIT, CutLine, Piece, write_corners, write_pressed
from sewkit.pattern.seam import Seam, write_seams
from sewkit.units import write_number

# Two starts of a path nearer than this are the same corner (mm).
_SAME_START = 1e-3


class _Was(NamedTuple):
    """All that was in the drawing, by key; with outlines, whether their piece had a name."""

    outlines: Dict[str, Tuple[Outline, bool]]
    cut_lines: Dict[str, CutLine]
    marks: Dict[str, Mark]


class Writer:
    """Puts one pattern over another; knows the elements behind the first.

    Args:
        entries: the elements by key; new ones are added.
        ids: the drawing's elements by id; new ones are added.
    """

    def __init__(self, root: Any, entries: Dict[str, Entry], ids: Dict[str, Any]) -> None:
        self.root = root
        self.entries = entries
        self.ids = ids
        self.was = _Was({}, {}, {})
        self.taken: Set[Tuple[str, str]] = set()  # pieces with the size whose lengths are written anew
        self.last = ""  # the key of the group that was written last

    def write(self, before: Pattern, after: Pattern) -> Pattern:
        """Change the tree from one pattern to the other; gives the other with all its keys."""
        self.was = _Was(
            {o.key: (o, piece.named) for piece in before.pieces for o in piece.outlines if o.key},
            {line.key: line for piece in before.pieces for line in piece.cut_lines if line.key},
            {mark.key: mark for piece in before.pieces for mark in piece.marks if mark.key},
        )
        gone = [one for one in before.edited if one not in after.edited]
        self.taken = {(one.piece, one.size) for one in gone}
        self._refuse_clones(after)
        old = {piece.key or piece.name: piece for piece in before.pieces}
        pieces: List[Piece] = []
        for piece in after.pieces:
            written_piece = self._piece(old.get(piece.key or piece.name), piece)
            pieces.append(written_piece)
            self.last = written_piece.key or self.last
        kept = {self.entries[key].element for piece in pieces for key in _keys(piece)}
        for element in [self.entries[key].element for piece in before.pieces for key in _keys(piece)]:
            if element not in kept:
                above = element.getparent()
                take_out(element)
                _take_out_emptied(above)
        written = after._replace(pieces=tuple(pieces))
        if before.seams != after.seams:
            self._seams(written)
        for name in ("chart", "baseline"):
            if getattr(before, name) != getattr(after, name):
                set_kept_text(self.root, name, getattr(after, name))
        if before.shown != after.shown:
            put_findings(self.root, after.shown)
        return written

    def _piece(self, was: Optional[Piece], piece: Piece) -> Piece:
        if was == piece and not any((piece.name, size) in self.taken for size in piece.sizes):
            return piece
        if piece.named:
            piece = self._grouped(was or Piece(piece.name), piece)
        elif any(not line.key for line in piece.cut_lines):
            piece = self._identified(piece)
        group = self.entries[piece.key].element if piece.named else None
        outlines: List[Outline] = []
        for outline in piece.outlines:
            beside = outlines or [o for o in (was.outlines if was else ()) if o.key]
            outlines.append(self._outline(piece, outline, group, beside[-1].key if beside else ""))
        piece = piece._replace(outlines=tuple(outlines))
        return piece._replace(
            cut_lines=tuple(self._cut_line(piece, line, group) for line in piece.cut_lines),
            marks=tuple(self._mark(piece, mark, group) for mark in piece.marks),
        )

    # -- groups and their attributes ------------------------------------------------

    def _grouped(self, was: Piece, piece: Piece) -> Piece:
        """The piece with a group that holds all its elements and its attributes."""
        if piece.key not in self.entries:
            piece = piece._replace(key=self._group_for(piece))
        group = self.entries[piece.key].element
        for key in _keys(piece):
            element = self.entries[key].element
            if element is not group and group not in element.iterancestors():
                self._adopt(group, key)
        set_own(group, "piece", piece.name)
        for name in ("folds", "hems", "darts"):
            if getattr(was, name) != getattr(piece, name):
                set_own(group, name, " ".join(getattr(piece, name)))
        if was.allowance != piece.allowance:
            set_own(group, "allowance", _write_allowance(piece))
        if was.corners != piece.corners:
            set_own(group, "corners", write_corners(piece.corners))
        if was.other_corners != piece.other_corners:
            set_own(group, "other-corners", piece.other_corners.value if piece.other_corners else "")
        if was.mitre_limit != piece.mitre_limit:
            usual = piece.mitre_limit == MITRE_LIMIT
            set_own(group, "mitre-limit", "" if usual else write_number(piece.mitre_limit))
        if was.pressed != piece.pressed:
            set_own(group, "pressed", write_pressed(piece.pressed))
        if was.cut != piece.cut:
            set_own(group, "cut", str(piece.cut))
        for name in ("cloth", "follows", "side", "unfolded"):
            if getattr(was, name) != getattr(piece, name):
                set_own(group, name, getattr(piece, name))
        if was.guess != piece.guess:
            set_own(group, "guess", write_guess(piece.guess))
        return piece

    def _group_for(self, piece: Piece) -> str:
        """The key of a group for a piece that has none: in the place of its first line.

        A piece of new lines only stands behind the one before it.  A line that is named anew because
        its piece could not be read stays in its group.
        """
        known = [self.entries[key].element for key in _keys(piece)]
        for above in known[0].iterancestors() if known else ():
            if own(above, "piece") == piece.name:
                key = key_of(above, self.ids)
                self.entries[key] = Entry(above, to_sheet(above), True)
                return key
        # A part of a piece that was divided stands beside the group of that piece, not in it.
        others = [above for above in known[0].iterancestors() if own(above, "piece")] if known else []
        if not known and self.last in self.entries:
            others = [self.entries[self.last].element]
        place = others[-1] if others else (known[0] if known else None)
        parent = self.root if place is None else place.getparent()
        group = etree.SubElement(parent, "{%s}g" % SVG)
        if place is not None:
            parent.insert(parent.index(place) + len(others[:1]), group)
        key = self._give_id(group, piece.name)
        group.set("{%s}label" % INKSCAPE, piece.name)
        self.entries[key] = Entry(group, to_sheet(group), True)
        return key

    def _adopt(self, group: Any, key: str) -> None:
        """Move an element into a group; it stays where it is on the sheet."""
        entry = self.entries[key]
        if entry.element.getparent() is not group.getparent():
            set_transform(entry.element, to_sheet(entry.element).then(to_sheet(group).inverse()))
        set_own(entry.element, "piece", "")
        take_out(entry.element)
        group.append(entry.element)
        frame = entry.frame if tag(entry.element) == "use" else to_sheet(entry.element)
        self.entries[key] = entry._replace(frame=frame)

    def _identified(self, piece: Piece) -> Piece:
        """A bare piece whose line has an id of its own, by which its cut line can find it."""
        outlines = []
        for outline in piece.outlines:
            entry = self.entries.get(outline.key)
            if entry is not None and self.ids.get(outline.key) is not entry.element:
                key = self._give_id(entry.element, tag(entry.element))
                self.entries[key] = entry
                self.was.outlines[key] = self.was.outlines.pop(outline.key)
                outline = outline._replace(key=key)
            outlines.append(outline)
        return piece._replace(outlines=tuple(outlines))

    # -- lines ------------------------------------------------------------------------

    def _outline(self, piece: Piece, outline: Outline, group: Optional[Any], beside: str) -> Outline:
        """Write one outline; a new one goes behind the element with the key ``beside``."""
        old, named = self.was.outlines.get(outline.key, (None, False))
        if old is None:
            after = self.entries[beside].element if beside else None
            if after is not None and group is not None and after.getparent() is not group:
                after = None  # that is the layer of another size, to be hidden with it
            key = self._new_line(outline.path, SEAM_LINE, group, after, (piece.name, outline.size))
            if not any(one.key in self.was.outlines for one in piece.outlines):
                self._as_its_size(key, outline.size)
            outline = outline._replace(key=key)
        elif old.path != outline.path:
            self._redraw(outline.key, outline.path)
        if piece.named:
            element = self.entries[outline.key].element
            set_own(element, "role", SEAM_LINE)
            set_own(element, "size", outline.size)
            same = old is not None and named and (old.path, old.edges) == (outline.path, outline.edges)
            if not same or (piece.name, outline.size) in self.taken:
                if self._starts_elsewhere(element, outline):
                    self._redraw(outline.key, outline.path)
                    element = self.entries[outline.key].element
                set_own(element, "edges", write_names(outline))
        return outline

    def _as_its_size(self, key: str, size: str) -> None:
        """Give a line of a new piece the look of its size in the drawing, by which sizes are told apart."""
        twin = next((k for k, (one, named) in self.was.outlines.items() if named and one.size == size), "")
        if not size or not twin or twin not in self.entries:
            return
        element, other = self.entries[key].element, self.entries[twin].element
        scales = [uniform_scale(to_sheet(one)) for one in (element, other)]
        if other.get("style") and np.allclose(*scales, rtol=1e-3):
            element.set("style", other.get("style"))

    def _starts_elsewhere(self, element: Any, outline: Outline) -> bool:
        """Whether the drawn path begins at another corner than the first named edge.

        Names stand in the order of the drawn path, so it must then be drawn anew.
        """
        drawn = bare_outline(single_run(element, outline.key, {})).path
        return bool(np.hypot(*(drawn.start - outline.path.start)) > _SAME_START)

    def _cut_line(self, piece: Piece, line: CutLine, group: Optional[Any]) -> CutLine:
        old = self.was.cut_lines.get(line.key)
        source = next((o.key for o in piece.outlines if o.size == line.size), "")
        if old is not None and old.path != line.path:
            self._redraw(line.key, line.path)
        elif old is None and line.key not in self.entries:
            after = self.entries[source].element if source else None
            key = self._new_line(line.path, CUT_LINE, group, after, (piece.name, line.size))
            line = line._replace(key=key)
        element = self.entries[line.key].element
        if old is None:
            set_own(element, "role", CUT_LINE)
            set_own(element, "edges", "")
        set_own(element, "size", line.size)
        set_own(element, "origin", "bought" if line.bought else "")
        set_own(element, "of", "" if piece.named else source)
        return line

    def _refuse_clones(self, after: Pattern) -> None:
        """``InputError`` for a clone that would be drawn anew, before anything is written."""
        was = {key: outline.path for key, (outline, _) in self.was.outlines.items()}
        was.update({key: line.path for key, line in self.was.cut_lines.items()})
        was.update({key: mark.path for key, mark in self.was.marks.items() if not mark.text})
        for piece in after.pieces:
            for part in (*piece.outlines, *piece.cut_lines, *piece.marks):
                if part.key in was and part.path != was[part.key]:
                    _refuse_clone(self.entries[part.key].element)

    def _redraw(self, key: str, path: Path) -> None:
        entry = self.entries[key]
        _refuse_clone(entry.element)
        redraw(entry.element, write_d(entry.frame.inverse().path(path)))
        self.entries[key] = entry._replace(writable=True)

    def _new_line(
        self,
        path: Path,
        role: str,
        group: Optional[Any],
        after: Optional[Any],
        words: Tuple[str, ...],
        faint: bool = False,
    ) -> str:
        """Draw a line behind an element, or last in a group, and give its key."""
        parent = after.getparent() if after is not None else (group if group is not None else self.root)
        element = new_path(path, role, parent, after, faint)
        key = self._give_id(element, "-".join(word for word in (*words, role) if word))
        self.entries[key] = Entry(element, to_sheet(element), True)
        return key

    # -- marks --------------------------------------------------------------------------

    def _mark(self, piece: Piece, mark: Mark, group: Optional[Any]) -> Mark:
        old = self.was.marks.get(mark.key)
        if old == mark:
            if piece.named:  # it may have belonged to a bare line before
                set_own(self.entries[mark.key].element, "of", "")
            return mark
        if old is None and mark.key not in self.entries:
            mark = mark._replace(key=self._new_mark(piece, mark, group))
        elif old is None:
            pass  # a line that was there, and bare
        elif mark.text:
            self._move_text(self.entries[mark.key].element, old, mark)
        elif old.path != mark.path and mark.path is not None:
            self._redraw(mark.key, mark.path)
        element = self.entries[mark.key].element
        for name, value in (("role", mark.kind), ("name", mark.name), ("size", mark.size)):
            set_own(element, name, value)
        set_own(element, "of", "" if piece.named or not piece.outlines else piece.outlines[0].key)
        set_own(element, "count", str(mark.count) if mark.count != 1 else "")
        if old is None or old.on != mark.on:
            set_own(element, "at", write_place(mark.on) if mark.on else "")
        if old is None or old.form != mark.form:
            set_own(element, "form", mark.form)
        if old is None or old.guess != mark.guess:
            set_own(element, "guess", write_guess(mark.guess))
        return mark

    def _new_mark(self, piece: Piece, mark: Mark, group: Optional[Any]) -> str:
        if not mark.text:
            path = mark.path if mark.path is not None else Path([])
            words = (piece.name, mark.name, mark.size)
            return self._new_line(path, mark.kind, group, None, words, is_faint(mark))
        parent = group if group is not None else self.root
        element = new_text(mark.text, mark.path, mark.kind, parent, mark.height)
        key = self._give_id(element, "-".join(w for w in (piece.name, mark.size, mark.kind) if w))
        self.entries[key] = Entry(element, to_sheet(element), False)
        return key

    def _move_text(self, element: Any, old: Mark, mark: Mark) -> None:
        if old.text != mark.text:
            set_words(element, mark.text)
        if old.path is None or mark.path is None or old.path == mark.path:
            return
        shift = move(*(mark.path.start - old.path.start))
        parent = to_sheet(element.getparent())
        frame = parse_transform(element.attrib.get("transform"))
        set_transform(element, frame.then(parent).then(shift).then(parent.inverse()))

    # -- seams and ids ----------------------------------------------------------------------

    def _seams(self, pattern: Pattern) -> None:
        """Write each seam on the first of its pieces that is in the drawing."""
        named = [piece for piece in pattern.pieces if piece.named]
        names = {piece.name for piece in named}
        for piece in named:
            carried = tuple(seam for seam in pattern.seams if _carrier(seam, names) == piece.name)
            set_own(self.entries[piece.key].element, "sewn", write_seams(carried, piece.name))

    def _give_id(self, element: Any, wish: str) -> str:
        """Give an id nobody has; the same for the same drawing and the same wish."""
        base = re.sub(r"[^A-Za-z0-9_-]+", "-", wish).strip("-") or "line"
        base = base if base[0].isalpha() else "s" + base
        name, number = base, 1
        while name in self.ids or name in self.entries:
            number += 1
            name = "{}-{}".format(base, number)
        self.ids[name] = element
        element.set("id", name)
        return name


def _refuse_clone(element: Any) -> None:
    if tag(element) == "use":
        raise InputError(
            "'{}' is a clone and follows its original.".format(shown_name(element)),
            "Unlink it first: Edit > Clone > Unlink Clone.",
            code="clone",
        )


def _take_out_emptied(group: Any) -> None:
    """Remove the layer of a size that has lost its last line; a piece's own group stays."""
    while group is not None and tag(group) == "g" and not len(group) and not own(group, "piece"):
        above = group.getparent()
        take_out(group)
        group = above


def _keys(piece: Piece) -> List[str]:
    """The keys of all that a piece consists of, its group last; new parts have none yet."""
    parts = (*piece.outlines, *piece.cut_lines, *piece.marks)
    return [key for key in [part.key for part in parts] + [piece.key] if key]


def _carrier(seam: Seam, names: Set[str]) -> str:
    return next((ref.piece for ref in seam.refs if ref.piece in names), "")


def _write_allowance(piece: Piece) -> str:
    words = []
    for edge, width in piece.allowance.items():
        words.append("{}={}".format(edge, write_number(width)) if edge else write_number(width))
    return " ".join(words)
