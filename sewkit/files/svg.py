"""A drawing: open it, work on its pattern, put the result back, save it.

    drawing, chosen = open_drawing("master.svg", pieces=["front"])
    outcome = allowance(drawing.pattern, chosen, width=15)
    drawing.put(outcome.pattern)
    drawing.save("result.svg")

Works on any lxml tree; the editor hands in its own.  A bare path that was picked
becomes a piece that nobody has named yet, called after its id.
"""

import gzip
import io
import zlib
from typing import Any, Dict, Iterable, List, Sequence, Tuple

from lxml import etree

from sewkit.errors import FileError, InputError
from sewkit.files.atomic import write_bytes
from sewkit.files.svg_faults import faults
from sewkit.files.svg_findings import read_findings
from sewkit.files.svg_frame import sheet_frame
from sewkit.files.svg_kept import kept_text
from sewkit.files.svg_names import CUT_LINE, PREFIX, SEAM_LINE, SEWKIT, SHAPES, by_id, drawn, hidden, own, tag
from sewkit.files.svg_nodes import node_point
from sewkit.files.svg_read import (
    Entry,
    key_of,
    nameless_lines,
    read_cut_line,
    read_mark,
    read_piece,
    single_run,
)
from sewkit.files.svg_scale import corrected, scale_drawing
from sewkit.files.svg_words import lines_through_words
from sewkit.files.svg_write import Writer
from sewkit.pattern.chosen import Chosen, PickedNode, PickedOutline
from sewkit.pattern.mark import FINDING, INNER, KINDS, LABEL, OVERLAY, WORDS, Mark
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Edited, Pattern, Problem
from sewkit.pattern.piece import Piece

_GROUPS = ("g", "a", "switch", "svg")


class Drawing:
    """A drawing's tree and the pattern read from it."""

    def __init__(self, tree: Any) -> None:
        self.tree = tree
        self.root = tree.getroot()
        if tag(self.root) != "svg":
            raise FileError(
                "This file is not an SVG drawing.", "Save it as SVG from the editor.", code="file"
            )
        self.entries: Dict[str, Entry] = {}
        self.ids = by_id(self.root)
        self._pattern = Pattern()
        self._owner: Dict[Any, PickedOutline] = {}
        self._beside: Dict[str, List[Any]] = {}
        self._stale = False
        self._read_pieces()

    @property
    def pattern(self) -> Pattern:
        """The pattern as drawn now; read anew after a change, so that new lines have ids."""
        if self._stale:
            self._refresh()
        return self._pattern

    def _read_pieces(self) -> None:
        pieces: List[Piece] = []
        seams: List[Any] = []
        problems: List[Problem] = []
        edited: List[Edited] = []
        everything = list(drawn(self.root))
        self._beside = _by_bare_line(everything)
        for group in (e for e in everything if own(e, "piece")):
            name = own(group, "piece") or ""
            try:
                found = read_piece(group, self.ids)
                if any(piece.name == name for piece in pieces):
                    raise InputError(
                        "Two groups are both called the piece '{}'.".format(name),
                        "Give the copy a name of its own.",
                        code="piece-twice",
                    )
            except InputError as error:
                twice = error.code == "piece-twice"
                wrong = [error] if twice else faults(group, error)
                problems += [Problem(name, str(one), one.code) for one in wrong]
                continue
            pieces.append(found.piece)
            seams += found.seams
            problems += [Problem(name, text, "healed", healed=True) for text in found.healed]
            lost = nameless_lines(group)
            problems += [Problem(name, text, "nameless", healed=True, look=True) for text in lost]
            edited += found.edited
            self.entries.update(found.entries)
            self._remember_owner(found.piece)
        title = own(self.root, "title") or ""
        kept = {name: kept_text(self.root, name) for name in ("chart", "baseline")}
        unit, by = sheet_frame(self.root), corrected(self.root)
        self._pattern = Pattern(
            tuple(pieces),
            tuple(seams),
            title,
            tuple(problems),
            shown=read_findings(self.root),
            edited=tuple(edited),
            unit=(unit.a / by[0], unit.d / by[1]),
            **kept,
        )

    def _remember_owner(self, piece: Piece) -> None:
        for part in (*piece.outlines, *piece.cut_lines):
            self._owner[self.entries[part.key].element] = PickedOutline(piece.name, part.size)

    def with_beside(self, pattern: Pattern) -> Pattern:
        """The pattern with what the drawing shows beside its pieces: lines as inner lines, words.

        With them go lines over all words of the drawing, so that no new ones are written there.
        """
        found: List[Mark] = []
        for element in drawn(self.root):
            kind = LABEL if tag(element) == "text" else INNER
            taken = own(element, "role") or element in self._owner
            if taken or hidden(element) or not (kind == LABEL or tag(element) in SHAPES):
                continue
            try:
                found.append(read_mark(element, kind, "", "", {}))
            except InputError:
                continue  # whatever it is, it can be no test square
        found += [Mark(OVERLAY, WORDS, path=line) for line in lines_through_words(self.root)]
        return pattern._replace(beside=tuple(found))

    def put(self, pattern: Pattern) -> None:
        """Change the drawing to another pattern; on an error it is left half-changed, so
        save nothing then.

        A pattern that was scaled scales the whole drawing, and changes nothing else.
        """
        if pattern.scale != (1.0, 1.0):
            scale_drawing(self.root, self.pattern, pattern, self.entries)
            self._pattern = pattern._replace(scale=(1.0, 1.0))
        else:
            self._pattern = Writer(self.root, self.entries, self.ids).write(self.pattern, pattern)
        self._stale = True

    def _refresh(self) -> None:
        bare = [o.key for piece in self._pattern.pieces if not piece.named for o in piece.outlines]
        elements = [self.entries[key].element for key in bare]
        self._stale = False
        self.entries = {}
        self.ids = by_id(self.root)
        self._owner = {}
        self._read_pieces()
        for element in elements:
            self._bare(element)

    def as_bytes(self) -> bytes:
        """The drawing as a file's content."""
        # "No" is what silence means, and lxml reads silence as "no": write only a yes.
        told = self.tree.docinfo.standalone or None
        return etree.tostring(self.tree, encoding="UTF-8", xml_declaration=True, standalone=told) + b"\n"

    def save(self, target: Any, never: Sequence[Any] = ()) -> None:
        """Write to a path (through a temporary name) or an open binary stream.

        ``never``: files that must not be overwritten; the master is one.
        """
        if hasattr(target, "write"):
            target.write(self.as_bytes())
        else:
            write_bytes(target, self.as_bytes(), never=never)

    # -- choosing ---------------------------------------------------------------------

    def choose(
        self,
        ids: Iterable[str] = (),
        nodes: Iterable[str] = (),
        pieces: Iterable[str] = (),
        sizes: Iterable[str] = (),
    ) -> Chosen:
        """What was picked; bare paths among it join the pattern as unnamed pieces."""
        ids = tuple(ids)
        asked = [self._by_id(name) for name in ids] + [self._piece(name) for name in pieces]
        picked = [one for found in asked for one in found]
        if asked and not picked:
            raise InputError("There is no line in what was selected.", "Select an outline.", code="choice")
        if not asked and not self.pattern.pieces and not nodes:
            picked = self._all_bare()
        sizes = tuple(sizes)
        if sizes:
            picked = self._of_sizes(picked, sizes)
        found_nodes = tuple(self._node(word, picked) for word in nodes)
        self._refuse_problems(picked)
        return Chosen(tuple(dict.fromkeys(picked)), found_nodes, self._marks(ids))

    def _of_sizes(self, picked: List[PickedOutline], sizes: Sequence[str]) -> List[PickedOutline]:
        """Those of the sizes; without a choice, of all pieces.  A piece drawn once serves all."""
        known = self.pattern.sizes
        for size in sizes:
            if size not in known:
                raise InputError(
                    "There is no size '{}' in this drawing.".format(size),
                    "The sizes are: {}.".format(", ".join(one for one in known if one) or "none"),
                    code="nest",
                )
        picked = picked or [PickedOutline(p.name, size) for p in self.pattern.pieces for size in p.sizes]
        found = [one for one in picked if one.size in sizes or not one.size]
        if not found:
            raise InputError(
                "Nothing of what was selected is drawn in size {}.".format(" or ".join(sizes)),
                "Select other pieces or another size.",
                code="nest",
            )
        return found

    def _marks(self, ids: Sequence[str]) -> Tuple[str, ...]:
        """The keys of the marks among what was picked by id."""
        known = {mark.key for piece in self.pattern.pieces for mark in piece.marks}
        keys = (key_of(self.ids[name], self.ids) for name in ids if name in self.ids)
        return tuple(key for key in dict.fromkeys(keys) if key in known)

    def _refuse_problems(self, picked: Sequence[PickedOutline]) -> None:
        names = {one.piece for one in picked}
        for problem in self.pattern.problems:
            if not problem.healed and problem.piece in names:
                raise InputError(problem.text, code=problem.code)

    def _piece(self, name: str) -> List[PickedOutline]:
        broken = [p for p in self.pattern.problems if p.piece == name and not p.healed]
        if broken:
            raise InputError(broken[0].text, code=broken[0].code)
        piece = self.pattern.piece(name)
        return [PickedOutline(name, size) for size in piece.sizes]

    def _by_id(self, name: str) -> List[PickedOutline]:
        element = self.ids.get(name)
        if element is None:
            raise InputError(
                "Nothing in the drawing has the id '{}'.".format(name),
                "Leave it out if it was a drawn leg: it goes when its dart is cut in.",
                code="choice",
            )
        return self._element(element)

    def _element(self, element: Any) -> List[PickedOutline]:
        owner = self._owner.get(element)
        if owner is not None:
            return [owner]
        if own(element, "role") == FINDING:
            return []  # drawn by a check, about the pieces
        if own(element, "piece") and tag(element) not in SHAPES:
            return self._piece(own(element, "piece") or "")
        if tag(element) in _GROUPS:
            lines = [e for e in drawn(element) if tag(e) in SHAPES or (own(e, "piece") and e is not element)]
            return [one for line in lines for one in self._element(line)]
        role, source = own(element, "role"), self.ids.get(own(element, "of") or "")
        if role == CUT_LINE and source is not None and source is not element:
            return self._element(source)
        if role and role not in (SEAM_LINE, CUT_LINE):
            inside = _piece_above(element)
            if inside:
                return self._piece(inside)
        return [self._bare(element)]

    def _all_bare(self) -> List[PickedOutline]:
        found: List[PickedOutline] = []
        problems: List[Problem] = []
        for element in drawn(self.root):
            known = own(element, "role") or own(element, "piece")
            if tag(element) in SHAPES and not hidden(element) and not known:
                try:
                    found.append(self._bare(element))
                except InputError as error:
                    problems.append(Problem(key_of(element, self.ids), str(error), error.code))
        if problems and not found:
            raise InputError(problems[0].text, code=problems[0].code)
        self._pattern = self.pattern._replace(problems=self.pattern.problems + tuple(problems))
        return found

    def _bare(self, element: Any) -> PickedOutline:
        """The outline of a path that nobody has named; it joins the pattern under its id."""
        key = key_of(element, self.ids)
        name = key
        while any(piece.name == name for piece in self.pattern.pieces):
            name += "-line"  # a named piece is called like this path's id
        outline = bare_outline(single_run(element, key, self.entries), "", key)
        beside = self._beside.get(key, [])
        cuts = [e for e in beside if own(e, "role") == CUT_LINE][:1]
        marks = [
            read_mark(e, own(e, "role") or "", "", key_of(e, self.ids), self.entries)
            for e in beside
            if own(e, "role") in KINDS
        ]
        cut_keys = [key_of(cut, self.ids) for cut in cuts]
        lines = [read_cut_line(cut, "", one, self.entries) for cut, one in zip(cuts, cut_keys)]
        piece = Piece(name, (outline,), tuple(lines), tuple(marks), named=False)
        self._pattern = self.pattern.with_piece(piece)
        self._remember_owner(piece)
        return PickedOutline(name, "")

    def _node(self, word: str, picked: List[PickedOutline]) -> PickedNode:
        name = word.rsplit(":", 2)[0]
        element = self.ids.get(name)
        if element is None:
            raise InputError("Nothing in the drawing has the id '{}'.".format(name), code="choice")
        if tag(element) not in SHAPES:
            raise InputError("'{}' is not a line and has no nodes.".format(name), code="choice")
        owner = self._element(element)[0]
        if owner not in picked:
            picked.append(owner)
        point = node_point(element, word)
        return PickedNode(owner.piece, owner.size, (float(point[0]), float(point[1])))


def _by_bare_line(elements: Iterable[Any]) -> Dict[str, List[Any]]:
    """What belongs to bare lines, by the line's key, in order."""
    found: Dict[str, List[Any]] = {}
    for element in elements:
        line = own(element, "of")
        if line:
            found.setdefault(line, []).append(element)
    return found


def _piece_above(element: Any) -> str:
    while element is not None:
        if own(element, "piece"):
            return own(element, "piece") or ""
        element = element.getparent()
    return ""


# New attributes then read sewkit:piece in the editor, not ns0:piece.
etree.register_namespace(PREFIX, SEWKIT)


def read_tree(source: Any) -> Any:
    """Parse a file name or binary stream into a tree; ``FileError`` says what is wrong with it."""
    parser = etree.XMLParser(huge_tree=True, resolve_entities=False, no_network=True)
    shown = "What came in" if hasattr(source, "read") else "The file '{}'".format(source)
    try:
        return etree.parse(io.BytesIO(_content(source)), parser)
    except (etree.XMLSyntaxError, LookupError, EOFError, zlib.error) as error:
        reason = str(getattr(error, "msg", "") or error).replace("\n", " ")
        raise FileError(
            "{} is damaged or not a drawing ({}).".format(shown, reason),
            "Open it in the editor and save it as SVG.",
            code="file",
        ) from None
    except OSError as error:
        raise FileError(
            "{} cannot be read: {}.".format(shown, error.strerror or error), code="file"
        ) from None


def _content(source: Any) -> bytes:
    """The bytes of a file or stream; those of a compressed drawing (SVGZ) unpacked."""
    if hasattr(source, "read"):
        data: bytes = source.read()
    else:
        with open(str(source), "rb") as stream:
            data = stream.read()
    if data[:1024].lstrip()[:5] == b"%PDF-":
        raise FileError(
            "This file is a PDF and no drawing yet.",
            "Bring it in first: sewkit import FILE.pdf -o master.svg.",
            code="file",
        )
    return gzip.decompress(data) if data[:2] == b"\x1f\x8b" else data


def open_drawing(
    source: Any,
    ids: Iterable[str] = (),
    nodes: Iterable[str] = (),
    pieces: Iterable[str] = (),
    sizes: Iterable[str] = (),
) -> Tuple[Drawing, Chosen]:
    """Open a file, a stream or a tree, and pick from it; see ``Drawing.choose``."""
    tree = source
    if not hasattr(source, "getroot"):
        tree = source.getroottree() if hasattr(source, "getroottree") else read_tree(source)
    drawing = Drawing(tree)
    return drawing, drawing.choose(ids, nodes, pieces, sizes)
