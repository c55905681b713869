"""From a drawing's named groups to pieces."""

import math
import re
from typing import Any, Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.files.svg_frame import to_sheet
from sewkit.files.svg_lettering import lettering_of
from sewkit.files.svg_names import CUT_LINE, SEAM_LINE, SHAPES, drawn, hidden, own, shown_name, tag, words
from sewkit.files.svg_path import with_ends
from sewkit.files.svg_shapes import Drawn, drawn_lines
from sewkit.geometry.corner import Style
from sewkit.geometry.path import Path, lines
from sewkit.geometry.transform import Transform
from sewkit.pattern.mark import KINDS, NOTCH, Mark, On
from sewkit.pattern.naming import Named, name_edges
from sewkit.pattern.outline import Outline, bare_outline, begun_at_an_edge
from sewkit.pattern.pattern import Edited
from sewkit.pattern.piece import MITRE_LIMIT, CutLine, Piece, parse_corners, parse_pressed
from sewkit.pattern.seam import Seam, check_name, parse_seams
from sewkit.units import parse_length, write_number

# Nodes nearer than this are one point: nobody can draw or cut such a gap (mm).
_TOUCHING = 1e-3

_AT = re.compile(r"^(?P<edge>[^\s+]+?)(?P<sign>[+-])(?P<distance>\d+(?:\.\d*)?)$")


class Entry(NamedTuple):
    """An element of the drawing behind a part of the pattern."""

    element: Any
    frame: Transform
    writable: bool


class Found(NamedTuple):
    """A piece read from the drawing, the elements behind it, what was put right, and what was moved."""

    piece: Piece
    seams: Tuple[Seam, ...]
    entries: Dict[str, Entry]
    healed: Tuple[str, ...]
    edited: Tuple[Edited, ...] = ()


def key_of(element: Any, ids: Dict[str, Any]) -> str:
    """How we know an element again: its id, or its place in the tree where it has none of its own."""
    name = element.get("id")
    return name if name and ids.get(name) is element else element.getroottree().getpath(element)


def read_piece(group: Any, ids: Dict[str, Any]) -> Found:
    """Read one named group; ``InputError`` names the piece and what is wrong in it.

    ``ids``: the drawing's elements by id, as ``by_id`` finds them.
    """
    name = check_name(own(group, "piece") or "", "name of a piece")
    if tag(group) not in ("g", "a", "svg"):
        raise InputError(
            "The piece '{}' is named on a single line.".format(name),
            "Select the line and name it with Names > Name a piece.",
            code="not-a-group",
        )
    entries: Dict[str, Entry] = {key_of(group, ids): Entry(group, to_sheet(group), True)}
    outlines: List[Outline] = []
    cut_lines: List[CutLine] = []
    marks: List[Mark] = []
    healed: List[str] = []
    edited: List[Edited] = []
    for element in members(group):
        role, size, key = own(element, "role"), own(element, "size") or "", key_of(element, ids)
        where = "'{}'{}".format(name, " size {}".format(size) if size else "")
        if role == SEAM_LINE:
            run = single_run(element, key, entries)
            text = own(element, "edges")
            if text:
                named = name_edges(run, text, size, key, where)
                healed += [named.healed] if named.healed else []
                edited += _edited(name, named)
                outlines.append(named.outline)
            else:
                outlines.append(bare_outline(run, size, key))
        elif role == CUT_LINE:
            cut_lines.append(read_cut_line(element, size, key, entries))
        else:
            marks.append(read_mark(element, role or "", size, key, entries))
    _check_sizes(name, [outline.size for outline in outlines], "lines")
    _check_sizes(name, [line.size for line in cut_lines], "cut lines")
    darts = words(group, "darts")
    piece = Piece(
        name,
        tuple(begun_at_an_edge(outline, darts) for outline in outlines),
        tuple(cut_lines),
        tuple(marks),
        words(group, "folds"),
        words(group, "hems"),
        darts,
        _allowance(group),
        parse_corners(own(group, "corners") or ""),
        _count(group, "cut"),
        own(group, "cloth") or "",
        True,
        key_of(group, ids),
        read_guess(group),
        _other_corners(group),
        _mitre_limit(group),
        parse_pressed(own(group, "pressed") or ""),
        own(group, "follows") or "",
        own(group, "side") or "",
        own(group, "unfolded") or "",
    )
    return Found(piece, parse_seams(own(group, "sewn") or "", name), entries, tuple(healed), tuple(edited))


def _edited(piece: str, named: Named) -> List[Edited]:
    """The edges of one outline that were moved since their lengths were written."""
    outline, found = named.outline, []
    for number, was, now in named.moved:
        edge = outline.edges[number]
        run = sum(one.name == edge.name for one in outline.edges[:number])
        found.append(Edited(piece, outline.size, edge.name, was, now, run))
    return found


def read_cut_line(element: Any, size: str, key: str, entries: Dict[str, Entry]) -> CutLine:
    """A cut line, and whether it is the one the pattern came with."""
    return CutLine(size, single_run(element, key, entries), key, own(element, "origin") == "bought")


def members(group: Any) -> List[Any]:
    """The elements with a role in a piece's group, leaving out pieces inside it.

    What belongs to a bare line that happens to lie in the group is no part of the piece.
    """
    kinds = (*KINDS, SEAM_LINE, CUT_LINE)
    return [e for e in _inside(group) if own(e, "role") in kinds and not own(e, "of")]


def _inside(group: Any) -> List[Any]:
    nested = {
        inner
        for piece in drawn(group)
        if piece is not group and own(piece, "piece")
        for inner in drawn(piece)
    }
    return [e for e in drawn(group) if e not in nested]


def nameless_lines(group: Any) -> List[str]:
    """What to say of each closed line in a piece's group that has no role, so no part in the piece.

    The editor keeps no names on a line that it combines, unites or breaks apart.  A bare
    line with a cut line or marks of its own is meant to be one.
    """
    told, inside = [], _inside(group)
    meant = {own(element, "of") for element in inside}
    for element in inside:
        if element.get("id", "") in meant:
            continue
        if tag(element) not in SHAPES or own(element, "role") or own(element, "of") or hidden(element):
            continue
        try:
            closed = any(run.path.closed for run in drawn_lines(element).runs)
        except InputError:
            closed = False  # whatever it is, it was no seam line
        if closed:
            text = "'{}' holds a closed line without a name: '{}'. A seam line that lost its names?"
            told.append(text.format(own(group, "piece"), shown_name(element)))
    return told


def single_run(element: Any, key: str, entries: Dict[str, Entry]) -> Path:
    """The one line of an element, which is remembered; several in one path are refused."""
    runs = _remember(element, key, entries).runs
    if len(runs) > 1:
        raise InputError(
            "'{}' holds {} lines in one path.".format(shown_name(element), len(runs)),
            "Take them apart (Path > Break Apart) and select the outline.",
            code="compound",
        )
    path = cleaned(runs[0].path)
    if not len(path):
        raise InputError(
            "'{}' is a line without length.".format(shown_name(element)), "Delete it.", code="empty"
        )
    return path


def cleaned(path: Path) -> Path:
    """A line without doubled nodes; an open one whose ends touch becomes a closed one.

    Two nodes on one spot would hide the corner there: the curve between them has no
    direction to turn from.
    """
    curves = np.array(path.curves[np.ptp(path.curves, axis=1).max(axis=1) > _TOUCHING])
    if not len(curves):
        return Path([])
    # Without the two nodes nothing has moved; the ends of what was left out still meet.
    for i in np.nonzero((curves[1:, 0] != curves[:-1, 3]).any(axis=1))[0]:
        curves[i + 1] = with_ends(curves[i + 1], curves[i, 3], curves[i + 1, 3])
    closed = path.closed or (len(curves) > 1 and np.hypot(*(curves[-1, 3] - curves[0, 0])) <= _TOUCHING)
    if closed and (curves[-1, 3] != curves[0, 0]).any():
        curves[-1] = with_ends(curves[-1], curves[-1, 0], curves[0, 0])
    return Path(curves, closed)


def _remember(element: Any, key: str, entries: Dict[str, Entry]) -> Drawn:
    found = drawn_lines(element)
    entries[key] = Entry(element, found.frame, found.writable)
    return found


def read_mark(element: Any, role: str, size: str, key: str, entries: Dict[str, Entry]) -> Mark:
    """Read one mark: a notch, a level, a grain line, a text; remember its element."""
    name = own(element, "name") or ""
    if tag(element) == "text":
        frame = to_sheet(element)
        entries[key] = Entry(element, frame, False)
        start = (_first(element, "x"), _first(element, "y"))
        spot = frame.points(np.array([start]))
        text = "".join(element.itertext()).strip()
        mark = Mark(role, name, size, Path(lines(spot, spot)), key=key, text=text, guess=read_guess(element))
        return mark._replace(lettering=lettering_of(element, frame, start))
    runs = _remember(element, key, entries).runs
    path = runs[0].path if len(runs) == 1 else Path(np.concatenate([run.path.curves for run in runs]))
    on = read_place(own(element, "at") or "") if role == NOTCH else None
    count, form = _count(element, "count"), own(element, "form") or ""
    return Mark(role, name, size, path, on, count, key, guess=read_guess(element), form=form)


def _first(element: Any, name: str) -> float:
    """The first number of a text's list of places; 0 where there is none."""
    numbers = (element.get(name) or "").replace(",", " ").split()
    try:
        number = float(numbers[0])
    except (IndexError, ValueError):
        return 0.0
    return number if math.isfinite(number) else 0.0


def read_place(text: str) -> Optional[On]:
    """A notch's place, such as side+120.5 or side-40; None where it says none."""
    match = _AT.match(text)
    if match is None:
        return None
    return On(match.group("edge"), float(match.group("distance")), match.group("sign") == "-")


def write_place(on: On) -> str:
    """The text of a notch's place; reading gives it back."""
    return "{}{}{}".format(on.edge, "-" if on.from_end else "+", write_number(round(on.distance, 4)))


def read_guess(element: Any) -> float:
    """The score of what an element was taken for; 0 where nobody guessed, or says no number."""
    try:
        score = float(own(element, "guess") or "0")
    except ValueError:
        return 0.0
    return min(score, 1.0) if score > 0 else 0.0  # no number at all is not above 0 either


def write_guess(score: float) -> str:
    """The text of a score; empty for what is no guess."""
    return "{:.2f}".format(max(score, 0.01)) if score > 0 else ""


def _allowance(group: Any) -> Dict[str, float]:
    widths = {}
    for word in words(group, "allowance"):
        edge, sign, amount = word.rpartition("=")
        if bool(sign) != bool(edge):
            raise InputError("'{}' is not an allowance.".format(word), "Write 10 or side=25.", code="value")
        widths[edge] = parse_length(amount)
        if widths[edge] < 0:
            raise InputError(
                "The allowance '{}' is below nothing.".format(word), "Write 0 or more.", code="value"
            )
    return widths


def _other_corners(group: Any) -> Optional[Style]:
    """How the corners without a rule are turned; None where nothing is kept."""
    text = own(group, "other-corners") or ""
    styles = {style.value: style for style in Style}
    if text and text not in styles:
        raise InputError(
            "'{}' has '{}' for its other corners.".format(shown_name(group), text),
            "Write one of: {}.".format(", ".join(styles)),
            code="corner",
        )
    return styles.get(text)


def _mitre_limit(group: Any) -> float:
    """The longest point of a corner in widths; the usual one where nothing is kept."""
    text = own(group, "mitre-limit") or write_number(MITRE_LIMIT)
    try:
        limit = float(text)
    except ValueError:
        limit = math.nan
    if not 1.0 <= limit < math.inf:
        raise InputError(
            "'{}' has '{}' for the longest point of its corners.".format(shown_name(group), text),
            "Write how many widths, such as 2.5; 1 at least.",
            code="corner",
        )
    return limit


def _count(element: Any, name: str) -> int:
    """How many, as one of our attributes says; 1 where it says nothing."""
    text = own(element, name) or "1"
    if not (text.isdecimal() and len(text) < 4):
        raise InputError(
            "'{}' has the number '{}' for its {}.".format(shown_name(element), text, name),
            "Write a whole number, such as 2.",
            code="value",
        )
    return int(text)


def _check_sizes(name: str, sizes: List[str], what: str) -> None:
    for size in sizes:
        if sizes.count(size) > 1:
            raise InputError(
                "Two {} of the piece '{}' are both called size '{}'.".format(what, name, size or "(none)"),
                "Delete the copy, or give it a size of its own.",
                code="size-twice",
            )
