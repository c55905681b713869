"""Dots to match by, and holes to drill."""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.checks.told_by_size import told_by_size
from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operation import Choice, Flag, Length, Outcome, Places, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.chosen_darts import AnyDart, darts_here
from sewkit.pattern.cross_line import height_of
from sewkit.pattern.dart import Dart
from sewkit.pattern.dart_marks import BEFORE_POINT
from sewkit.pattern.dart_naming import AT_POINT
from sewkit.pattern.dot_marks import Spot, free_names, lies_inside, twins, with_dots
from sewkit.pattern.drawn_lines import lines_of, subjects
from sewkit.pattern.edge_levels import with_edge_levels
from sewkit.pattern.edge_places import places_on
from sewkit.pattern.line_places import line_places
from sewkit.pattern.mark import DOT, DRILL, INNER, LEVEL, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import centre_line
from sewkit.pattern.recut import shown
from sewkit.pattern.seam import check_name
from sewkit.pattern.upright import down_of
from sewkit.pattern.way_out import out_of
from sewkit.report import Change, Finding, Level, Report
from sewkit.units import write_number

_WORDS = {DOT: ("dot", "dots"), DRILL: ("drill hole", "drill holes")}

# Marks that are lines on which there are places.
_LINES = (INNER, LEVEL)


class _Asked(NamedTuple):
    kind: str
    edge: str
    at: str
    inside: float
    dart: str
    short: float
    level: str
    across: float
    called: str


@operation(
    title="Put dots and drill holes",
    menu="Marks",
    select="Select the pieces or outlines, a node or a line where the mark goes, or the marks to remove.",
    example="sewkit dot samples/waistcoat/master.svg -o o.svg --piece front --edge side --at 40% --inside 8",
)
def dot(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do", "", {"put": "Put them", "remove": "Take them away", "rename": "Call one otherwise"}
    ) = "put",
    kind: Choice("Mark", "", {"dot": "Dot, to match by", "drill": "Drill hole"}) = "dot",
    edge: Text("Beside the edge, or on the line", "such as side, or an inner line such as pocket") = "",
    at: Places(
        "At",
        "levels, notches, lengths or shares; empty: half way; on a line also start, end, ends or corners",
    ) = "",
    inside: Length(
        "Inside", "the edge, or the line's end; 3 from corners is usual for drill holes", 0, 1000
    ) = 0.0,
    dart: Text("Or at the dart", "its name or number") = "",
    short: Length("Short of its point by", "", 0, 200) = 12.7,
    level: Places("Or at the level", "such as waist, hip+40mm, or an edge across the grain") = "",
    across: Length("From the centre", "at the level", 0, 2000) = 0.0,
    called: Text("Name", "of the mark; several are numbered; to take away: empty is all selected") = "",
    new: Text("New name", "to call it otherwise") = "",
    partner: Flag("Its twin on the piece sewn there", "beside an edge") = True,
) -> Outcome:
    """Put dots to match by, or holes to drill, at places said in words.

    So far along an edge and so far inside it, at one place or at several; short of a dart's point; at
    the crossing of a level and a distance from the centre; or on the nodes that are selected. Name a
    line drawn on the piece in place of an edge, such as pocket, or select it where it has no name: the
    dots come on both its ends, on its corners, or at places counted from its upper or left end. A dot
    beside an edge that is sewn to another piece gets its twin there, where it comes to lie when both
    are sewn. A dot is a small ring, a drill hole a ring with a cross, and the hole of a dart goes along
    with the dart. A mark of the same name is replaced.

    To take marks away select them, or name one. They move with their piece like all marks.
    """
    if action != "put":
        return _changed(pattern, chosen, kind, called.strip(), new.strip() if action == "rename" else "")
    asked = _Asked(
        *(kind, edge.strip(), at, inside, dart.strip(), short, level.strip(), across, called.strip())
    )
    if asked.called:
        check_name(asked.called, "name of a mark")
    found = _found(pattern, chosen, asked)
    after = pattern
    for name, spots in found.items():
        after = after.with_piece(with_dots(after.piece(name), kind, spots))
    twin = _twins(pattern, found) if partner else {}
    for name, spots in twin.items():
        after = after.with_piece(with_dots(after.piece(name), kind, spots))
    return Outcome(after, _report(pattern, found, twin, kind))


_Found = Dict[str, Dict[str, List[Spot]]]


def _found(pattern: Pattern, chosen: Chosen, asked: _Asked) -> _Found:
    """The spots by piece and size; ``InputError`` where nothing says where, or a piece has no such place."""
    outlines = subjects(pattern, chosen._replace(nodes=())).outlines
    ways = [bool(asked.edge), bool(asked.dart), bool(asked.level), bool(chosen.nodes)]
    line = bool(_picked_lines(pattern, chosen)) and not any(ways)
    if sum(ways) != 1 and not line:
        raise InputError(
            "It is not said where the mark goes." if not any(ways) else "Several places are said at once.",
            "Give an edge, a line, a dart or a level, or select a node or a line.",
            code="choice",
        )
    found: _Found = {}
    names: Dict[str, List[str]] = {}
    for piece, outline in outlines:
        points = _points(pattern, chosen, piece, outline, asked)
        if not points:
            continue
        own = names.setdefault(piece.name, _names(piece, asked, len(points)))
        edge = asked.edge if asked.edge in outline.names else ""
        spots = [Spot(name, point, edge, asked.inside) for name, point in zip(own, points)]
        found.setdefault(piece.name, {})[outline.size] = spots
    if not found:
        raise _nothing(outlines, asked)
    return found


def _nothing(outlines: Sequence[Tuple[Piece, Outline]], asked: _Asked) -> InputError:
    """That no piece has the edge, the dart or the node, with those that there are."""
    if asked.dart:
        darts = dict.fromkeys(
            one.name for piece, outline in outlines for one in darts_here(piece, outline).darts
        )
        cure = "The darts are: {}.".format(", ".join(darts)) if darts else "There are no darts here."
        return InputError("No piece that is meant has a dart '{}'.".format(asked.dart), cure, code="name")
    what = "an edge or a line '{}'".format(asked.edge) if asked.edge else "one of the nodes"
    names = dict.fromkeys(name for _, outline in outlines for name in outline.names)
    cure = "The edges are: {}.".format(", ".join(names))
    marks = [mark for piece, outline in outlines for mark in piece.marks_for(outline.size)]
    lines = dict.fromkeys(mark.name for mark in marks if mark.kind in _LINES and mark.name)
    cure += " The lines are: {}.".format(", ".join(lines)) if lines else ""
    return InputError("No piece that is meant has {}.".format(what), cure, code="name")


def _names(piece: Piece, asked: _Asked, count: int) -> List[str]:
    if asked.dart and asked.kind == DRILL and not asked.called:
        # By this name it is known as the dart's, and goes along with it.
        end = "" if asked.short == BEFORE_POINT else "-" + write_number(asked.short, 4)
        return [asked.dart + AT_POINT + end]
    if asked.called:
        numbered = ["{}-{}".format(asked.called, number) for number in range(1, count + 1)]
        return [asked.called] if count == 1 else numbered
    return free_names(piece, asked.kind, count)


def _points(
    pattern: Pattern, chosen: Chosen, piece: Piece, outline: Outline, asked: _Asked
) -> List[np.ndarray]:
    if asked.edge in outline.names:
        return _beside(pattern, piece, outline, asked)
    if asked.edge:
        drawn = [m for m in piece.marks_for(outline.size) if m.kind in _LINES and m.name == asked.edge]
        return _on_lines(pattern, piece, outline, drawn, asked)
    if asked.dart:
        darts = [one for one in darts_here(piece, outline).darts if one.name == asked.dart]
        return [_before(dart, asked.short) for dart in darts[:1]]
    if asked.level:
        return [_at_level(pattern, piece, outline, asked)]
    if chosen.nodes:
        return list(chosen.nodes_on(piece.name, outline.size))
    keys = _picked_lines(pattern, chosen)
    drawn = [mark for mark in piece.marks_for(outline.size) if mark.key in keys]
    return _on_lines(pattern, piece, outline, drawn, asked)


def _picked_lines(pattern: Pattern, chosen: Chosen) -> List[str]:
    """Keys of the lines drawn on pieces that were picked."""
    known = [mark.key for piece in pattern.pieces for mark in piece.marks if mark.kind in _LINES]
    return [key for key in chosen.marks if key in known]


def _on_lines(
    pattern: Pattern, piece: Piece, outline: Outline, marks: Sequence[Mark], asked: _Asked
) -> List[np.ndarray]:
    """Places on lines drawn on a piece, in order."""
    down = down_of(pattern, piece).of(piece, outline.size)
    lines: List[Path] = []
    for mark in marks:
        whole = mark.path is not None and mark.path.closed
        lines += [mark.path] if whole else lines_of(mark)
    return [spot for line in lines for spot in line_places(line, asked.at, down, asked.inside)]


def _beside(pattern: Pattern, piece: Piece, outline: Outline, asked: _Asked) -> List[np.ndarray]:
    down = down_of(pattern, piece).of(piece, outline.size)
    found = []
    for on in places_on(piece, outline, asked.edge, asked.at if asked.at.strip() else "50%", down):
        spot = spot_of(outline, on)
        if spot is not None:
            found.append(spot.point - asked.inside * spot.outward)
    return found


def _before(dart: AnyDart, short: float) -> np.ndarray:
    """The place so far before a dart's point, on its middle line (2,)."""
    feet = dart.mouth if isinstance(dart, Dart) else np.array([leg.start for leg in dart.legs])
    way = feet.mean(axis=0) - dart.point
    depth = float(np.hypot(*way))
    if short >= depth:
        raise InputError(
            "The dart '{}' is {:.0f} mm deep, so nothing lies {:g} mm before its point.".format(
                dart.name, depth, short
            ),
            "Give less.",
            code="value",
        )
    return dart.point + short * way / depth


def _at_level(pattern: Pattern, piece: Piece, outline: Outline, asked: _Asked) -> np.ndarray:
    down = down_of(pattern, piece).of(piece, outline.size)
    axis, out = np.array(down), out_of(piece, outline, down)
    on, way = centre_line(piece, outline)
    known = with_edge_levels(piece, outline, asked.level, on + asked.across * out, down)
    height = height_of(known, outline.size, asked.level, down)
    along = way if abs(float(way @ axis)) > 1e-6 else axis
    return on + (height - float(on @ axis)) / float(along @ axis) * along + asked.across * out


def _twins(pattern: Pattern, found: _Found) -> _Found:
    """The same spots on the pieces that are sewn there, where those have no spots of their own."""
    made: _Found = {}
    for name, by_size in found.items():
        for size, spots in by_size.items():
            for spot in spots:
                for other, twin in twins(pattern, pattern.piece(name), size, spot):
                    own = pattern.piece(other).outline(size).size
                    if own not in found.get(other, {}):
                        made.setdefault(other, {}).setdefault(own, []).append(twin)
    return made


def _changed(pattern: Pattern, chosen: Chosen, kind: str, called: str, new: str) -> Outcome:
    """Marks taken away, or one called otherwise."""
    names = {piece.name for piece in chosen.pieces(pattern)}
    after, count = pattern, 0

    def meant(mark: Mark) -> bool:
        picked = mark.key in chosen.marks if chosen.marks else bool(called)
        return mark.kind == kind and picked and called in ("", mark.name)

    if new:
        check_name(new, "name of a mark")
    for piece in pattern.pieces:
        mine = [mark for mark in piece.marks if piece.name in names and meant(mark)]
        if mine:
            count += len(mine)
            marks = [mark._replace(name=new) if mark in mine else mark for mark in piece.marks]
            marks = marks if new else [mark for mark in piece.marks if mark not in mine]
            after = after.with_piece(piece._replace(marks=tuple(marks)))
    if not count:
        known = dict.fromkeys(m.name for p in pattern.pieces for m in p.marks if m.kind == kind and m.name)
        raise InputError(
            "No {} is meant.".format(_WORDS[kind][0]),
            "Select one{}.".format(", or name one of: {}".format(", ".join(known)) if known else ""),
            code="choice",
        )
    word = _WORDS[kind][count > 1]
    done = "{} called '{}' now".format("is" if count == 1 else "are", new) if new else "taken away"
    return Outcome(after, Report("{} {} {}.".format(count, word, done)))


def _report(pattern: Pattern, found: _Found, twin: _Found, kind: str) -> Report:
    findings: List[Finding] = []
    changes: List[Change] = []
    words: List[str] = []
    for spots_of, beside in ((found, ""), (twin, ", where it is sewn")):
        for name, by_size in spots_of.items():
            spots = next(iter(by_size.values()))
            called = " ".join(spot.name for spot in spots)
            words.append("{} on '{}'{}".format(called, name, beside))
            x, y = spots[0].point
            changes.append(Change(name, called, (float(x), float(y))))
            findings += _outside(pattern.piece(name), by_size)
    summary = "{}: {}.".format(_WORDS[kind][1].capitalize(), "; ".join(words))
    return Report(summary, tuple(findings), (), tuple(changes))


def _outside(piece: Piece, by_size: Dict[str, Sequence[Spot]]) -> List[Finding]:
    found = []
    for size, spots in by_size.items():
        for spot in spots:
            if not lies_inside(piece.outline(size), spot.point):
                point: Tuple[float, float] = (float(spot.point[0]), float(spot.point[1]))
                text = "{}: '{}' lies outside the outline.".format(shown(piece, size), spot.name)
                found.append(
                    Finding("mark-outside", Level.WARN, text, piece.name, point, "Give another place.")
                )
    return told_by_size(found, piece)
