"""The legs of a dart get its name in the outline, and on a bare line lose it again."""

from typing import Dict, List, Mapping, Tuple, Union

from sewkit.geometry.length import path_length
from sewkit.pattern.dart import Dart
from sewkit.pattern.dart_cut_in import cut_in
from sewkit.pattern.drawn_dart import DrawnDart
from sewkit.pattern.mark import DART, DRILL, INNER, Mark, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline, bare_outline, begun_at_an_edge
from sewkit.pattern.piece import Piece

# The name of a dart's drill mark is the dart's and this, and how far it is from the point.
AT_POINT = "-point"


def with_name(piece: Piece, dart: Dart, name: str) -> Piece:
    """The piece with the legs of one size's dart called by its name, as a dart's.

    Notches on the legs stay where they are; what the piece keeps about the old names of the legs
    alone goes, for a leg has neither allowance nor corner.  Names that another size has stay.
    """
    outline = piece.outline(dart.size)
    old = tuple(outline.edges[number].name for number in dart.edges)
    if old == (name, name) and name in piece.darts:
        return piece
    edges = list(outline.edges)
    for number in dart.edges:
        edges[number] = edges[number]._replace(name=name)
    new = outline._replace(edges=tuple(edges))
    here = set(old) - set(new.names)
    others = {edge.name for line in piece.outlines if line.size != outline.size for edge in line.edges}
    gone = here - others
    lost = {True: here, False: gone}
    marks = tuple(_on_leg(mark, dart, old, lost[mark.size == dart.size], name) for mark in piece.marks)
    pressed = _renamed(piece.pressed, old[0], name) if old[0] in gone else dict(piece.pressed)
    if old[0] in here and old[0] in piece.pressed:
        pressed[name] = piece.pressed[old[0]]
    piece = piece._replace(
        marks=marks,
        darts=tuple(dict.fromkeys([n for n in piece.darts if n not in gone] + [name])),
        allowance={edge: width for edge, width in piece.allowance.items() if edge not in gone},
        corners={pair: rule for pair, rule in piece.corners.items() if not gone & set(pair)},
        pressed=pressed,
    )
    return piece.with_outline(begun_at_an_edge(new, piece.darts))


def _renamed(pressed: Mapping[str, str], old: str, new: str) -> Dict[str, str]:
    return {new if name == old else name: side for name, side in pressed.items()}


def _on_leg(mark: Mark, dart: Dart, old: Tuple[str, ...], gone: "set[str]", name: str) -> Mark:
    """A notch that sits on a leg, by the leg's new name."""
    on = mark.on
    if on is None or mark.size not in (dart.size, "") or on.edge not in gone:
        return mark
    if old[0] == old[1]:
        return mark._replace(on=on._replace(edge=name))
    first, second = (path_length(leg) for leg in (dart.first, dart.second))
    before = on.edge == old[0]
    beside = (second if before else 0.0) if on.from_end else (0.0 if before else first)
    return mark._replace(on=On(name, on.distance + beside, on.from_end))


def as_found(piece: Piece) -> Piece:
    """A bare piece as it is read: its edges numbered anew, no names; a named one as it is.

    Notches stay where they are.
    """
    if piece.named or not piece.darts:
        return piece
    made = piece._replace(darts=())
    marks = list(piece.marks)
    for outline in piece.outlines:
        bare = bare_outline(outline.path, outline.size, outline.key)
        made = made.with_outline(bare)
        marks = [_by_number(mark, outline, bare) for mark in marks]
    return made._replace(marks=tuple(marks))


def _by_number(mark: Mark, outline: Outline, bare: Outline) -> Mark:
    """A notch by the number of the edge on which it sits."""
    if mark.on is None or mark.size not in (outline.size, "") or mark.on.edge not in outline.names:
        return mark
    along = distance_from_start(outline, mark.on)
    runs: List[Tuple[int, float]] = [
        (edge.start, path_length(outline.path.part(edge.start, edge.stop)))
        for edge in outline.edges
        if edge.name == mark.on.edge
    ]
    for start, length in runs:
        if along <= length or start == runs[-1][0]:
            break
        along -= length
    first = bare.path.start
    shift = next(n for n, spot in enumerate(outline.path.nodes) if (spot == first).all())
    at = (start - shift) % len(bare.path) if bare.path.closed else start
    edge = next(edge for edge in bare.edges if edge.start <= at < edge.stop)
    along += path_length(bare.path.part(edge.start, at)) if edge.start < at else 0.0
    if mark.on.from_end:
        along = max(bare.as_sewn(edge.name) - along, 0.0)  # rounding can pass the end
    return mark._replace(on=On(edge.name, along, mark.on.from_end))


def renamed_dart(piece: Piece, size: str, dart: Union[Dart, DrawnDart], name: str) -> Piece:
    """The piece with one size's dart called otherwise: its legs, or its drawn lines, and its cap.

    Lines drawn over the outline that are no marks of the piece are cut in, for only then can
    they keep a name.
    """
    if isinstance(dart, Dart):
        changed = with_name(piece, dart, name)
        if dart.name in piece.pressed and dart.name not in changed.darts:
            changed = changed._replace(pressed=_renamed(changed.pressed, dart.name, name))
    elif dart.marks:
        marks = tuple(mark._replace(name=name) if mark in dart.marks else mark for mark in piece.marks)
        changed = piece._replace(marks=marks)
        if not any(mark.name == dart.name for mark in marks if mark.kind == DART):
            changed = changed._replace(pressed=_renamed(piece.pressed, dart.name, name))
    else:
        changed, _ = cut_in(piece, size, dart._replace(name=name))
    marks = tuple(_mark_renamed(mark, size, dart.name, name) for mark in changed.marks)
    return changed._replace(marks=marks)


def _mark_renamed(mark: Mark, size: str, old: str, new: str) -> Mark:
    """A dart's cap is an inner mark whose name ends with the dart's, its drill mark's begins with it."""
    if mark.kind == DRILL and mark.size == size and mark.name.startswith(old + AT_POINT):
        return mark._replace(name=new + mark.name[len(old) :])
    begins, ends = mark.name[: -len(old)], mark.name[-len(old) :]
    mine = mark.kind == INNER and mark.size in (size, "") and ends == old and begins.startswith("cap")
    return mark._replace(name=begins + new) if mine else mark
