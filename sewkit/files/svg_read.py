"""From a drawing's named groups to pieces."""

import re
from typing import Any, Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.files.svg_names import CUT_LINE, SEAM_LINE, drawn, own, shown_name, tag, words
from sewkit.files.svg_frame import to_sheet
from sewkit.files.svg_shapes import Drawn, drawn_lines
from sewkit.geometry.path import Path, lines
from sewkit.geometry.transform import Transform
from sewkit.pattern.mark import KINDS, NOTCH, Mark, On
from sewkit.pattern.naming import name_edges
from sewkit.pattern.outline import Outline, bare_outline
from sewkit.pattern.piece import CutLine, Piece, parse_corners
from sewkit.pattern.seam import Seam, check_name, parse_seams
from sewkit.units import parse_length

# Ends nearer than this are one point: nobody can draw or cut such a gap (mm).
_TOUCHING = 1e-3

_AT = re.compile(r"^(?P<edge>[^\s+]+?)(?P<sign>[+-])(?P<distance>\d+(?:\.\d*)?)$")


class Entry(NamedTuple):
    """An element of the drawing behind a part of the pattern."""

    element: Any
    frame: Transform
    writable: bool


class Found(NamedTuple):
    """A piece read from the drawing, the elements behind it, and what was put right."""

    piece: Piece
    seams: Tuple[Seam, ...]
    entries: Dict[str, Entry]
    healed: Tuple[str, ...]


def key_of(element: Any) -> str:
    """How we know an element again: its id, or its place in the tree where it has none."""
    return element.get("id") or element.getroottree().getpath(element)


def read_piece(group: Any) -> Found:
    """Read one named group; ``InputError`` names the piece and what is wrong in it."""
    name = check_name(own(group, "piece") or "", "name of a piece")
    entries: Dict[str, Entry] = {key_of(group): Entry(group, to_sheet(group), True)}
    outlines: List[Outline] = []
    cut_lines: List[CutLine] = []
    marks: List[Mark] = []
    healed: List[str] = []
    for element in members(group):
        role, size, key = own(element, "role"), own(element, "size") or "", key_of(element)
        where = "'{}'{}".format(name, " size {}".format(size) if size else "")
        if role == SEAM_LINE:
            run = single_run(element, entries)
            text = own(element, "edges")
            if text:
                named = name_edges(run, text, size, key, where)
                healed += [named.healed] if named.healed else []
                outlines.append(named.outline)
            else:
                outlines.append(bare_outline(run, size, key))
        elif role == CUT_LINE:
            cut_lines.append(CutLine(size, single_run(element, entries), key))
        else:
            marks.append(_mark(element, role or "", size, key, entries))
    _check_sizes(name, outlines)
    piece = Piece(
        name,
        tuple(outlines),
        tuple(cut_lines),
        tuple(marks),
        words(group, "folds"),
        words(group, "hems"),
        words(group, "darts"),
        _allowance(group),
        parse_corners(own(group, "corners") or ""),
        _cut_count(group),
        own(group, "cloth") or "",
        True,
        key_of(group),
    )
    return Found(piece, parse_seams(own(group, "sewn") or "", name), entries, tuple(healed))


def members(group: Any) -> List[Any]:
    """The elements with a role in a piece's group, leaving out pieces inside it."""
    found = []
    inner = [e for e in drawn(group) if e is not group and own(e, "piece")]
    taken = {id(e) for nested in inner for e in drawn(nested)}
    for element in drawn(group):
        role = own(element, "role")
        if role in KINDS + (SEAM_LINE, CUT_LINE) and id(element) not in taken:
            found.append(element)
    return found


def single_run(element: Any, entries: Dict[str, Entry]) -> Path:
    """The one line of an element; several in one path are refused."""
    lines_ = _remember(element, entries)
    if len(lines_.runs) > 1:
        raise InputError(
            "'{}' holds {} lines in one path.".format(shown_name(element), len(lines_.runs)),
            "Take them apart (Path > Break Apart) and select the outline.",
            code="compound",
        )
    return closed_if_touching(lines_.runs[0].path)


def closed_if_touching(path: Path) -> Path:
    """An open line whose ends touch is a closed one."""
    gap = np.hypot(*(path.end - path.start))
    if path.closed or len(path) < 2 or gap > _TOUCHING:
        return path
    curves = np.array(path.curves)
    curves[-1, 3] = curves[0, 0]
    return Path(curves, closed=True)


def _remember(element: Any, entries: Dict[str, Entry]) -> Drawn:
    drawn_ = drawn_lines(element)
    entries[key_of(element)] = Entry(element, drawn_.frame, drawn_.writable)
    return drawn_


def _mark(element: Any, role: str, size: str, key: str, entries: Dict[str, Entry]) -> Mark:
    name = own(element, "name") or ""
    if tag(element) == "text":
        frame = to_sheet(element)
        entries[key] = Entry(element, frame, False)
        spot = frame.points(np.array([[_first(element, "x"), _first(element, "y")]]))
        text = "".join(element.itertext()).strip()
        return Mark(role, name, size, Path(lines(spot, spot)), key=key, text=text)
    runs = _remember(element, entries).runs
    path = runs[0].path if len(runs) == 1 else Path(np.concatenate([run.path.curves for run in runs]))
    on = _place(own(element, "at") or "") if role == NOTCH else None
    return Mark(role, name, size, path, on, int(own(element, "count") or 1), key)


def _first(element: Any, name: str) -> float:
    text = (element.get(name) or "0").replace(",", " ").split()[0]
    try:
        return float(text)
    except ValueError:
        return 0.0


def _place(text: str) -> Optional[On]:
    match = _AT.match(text)
    if match is None:
        return None
    return On(match.group("edge"), float(match.group("distance")), match.group("sign") == "-")


def write_place(on: On) -> str:
    """The text of a notch's place; reading gives it back."""
    from sewkit.units import write_number

    return "{}{}{}".format(on.edge, "-" if on.from_end else "+", write_number(round(on.distance, 4)))


def _allowance(group: Any) -> Dict[str, float]:
    widths = {}
    for word in words(group, "allowance"):
        edge, sign, amount = word.rpartition("=")
        if bool(sign) != bool(edge):
            raise InputError("'{}' is not an allowance.".format(word), "Write 10 or side=25.", code="value")
        widths[edge] = parse_length(amount)
    return widths


def _cut_count(group: Any) -> int:
    text = own(group, "cut") or "1"
    if not text.isdigit():
        raise InputError("The piece '{}' is to be cut '{}' times.".format(own(group, "piece"), text), code="value")
    return int(text)


def _check_sizes(name: str, outlines: List[Outline]) -> None:
    sizes = [outline.size for outline in outlines]
    for size in sizes:
        if sizes.count(size) > 1:
            raise InputError(
                "Two lines of the piece '{}' are both called size '{}'.".format(name, size or "(none)"),
                "Delete the copy, or give it a size of its own.",
                code="size-twice",
            )
