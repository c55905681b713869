"""A new dart at a place of an edge, or with two points inside a piece."""

from typing import Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.checks.dart_change_words import (
    changed_outcome,
    contours_outcome,
    piece_words,
    seam_words,
)
from sewkit.errors import InputError
from sewkit.operation import Choice, Length, Number, Outcome, Places, Text, operation
from sewkit.pattern.changed_dart import ChangedDart
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.chosen_darts import darts_here
from sewkit.pattern.cross_line import Axis, height_of
from sewkit.pattern.dart import dart_named, free_name
from sewkit.pattern.dart_added import Contour, Shape, added, inside
from sewkit.pattern.dart_pivot import pivot_for
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_levels import with_edge_levels
from sewkit.pattern.edge_places import one_place
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import centre_line
from sewkit.pattern.seam import check_name
from sewkit.pattern.spans import grain_axis
from sewkit.pattern.upright import down_of
from sewkit.pattern.way_out import out_of
from sewkit.pattern.wearer_side import side_in, sided, without_side
from sewkit.report import Change


class _Asked(NamedTuple):
    edge: str
    at: str
    width: float
    angle: float
    length: float
    to: str
    stand_off: float
    along_grain: bool
    keep: str
    below: float
    across: float
    called: str


@operation(
    title="Add a dart",
    menu="Darts",
    select="Select the piece, or a bare outline.",
    example=(
        "sewkit dart-add samples/bodice/master.svg -o second.svg --piece back "
        "--edge waist --at 70% --width 15mm --length 90mm --keep side"
    ),
)
def dart_add(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    kind: Choice(
        "The dart",
        "",
        {"edge": "at an edge, with one point", "inside": "inside the piece, with two points"},
    ) = "edge",
    edge: Text("Edge", "on which its mouth lies, such as waist") = "",
    at: Places(
        "At", "a level, a notch, or a length or share from the upper or left end; two points: a level"
    ) = "",
    width: Length("Width", "of its mouth, or where it is widest", 0, 300) = 20.0,
    angle: Number("Angle", "degrees; 0: the width counts", 0, 120) = 0.0,
    length: Length("Length", "from the mouth to the point; of two points the upper half", 0, 500) = 100.0,
    to: Text("Points to", "name of a mark such as apex; the dart then ends before it") = "",
    stand_off: Length("Ends before the mark by", "as a rule 20 to 25", 0, 150) = 25.0,
    way: Choice("Direction", "", {"square": "square to its edge", "grain": "along the grain"}) = "square",
    keep: Text("Give the width back at", "the edge beside it, such as side; empty: the edge is shorter") = "",
    below: Length("Lower half", "of a dart with two points", 0, 500) = 80.0,
    across: Length(
        "From the centre", "of a dart with two points, where it points to no mark", 0, 1000
    ) = 90.0,
    called: Text("Called", "the name of the dart, such as waist-dart") = "",
) -> Outcome:
    """Add a dart at a place of an edge, or one with two points inside the piece.

    The mouth lies on the edge with its middle at the place: a level, a notch, or a length or
    share from the edge's upper end, or from its left end where it runs across the grain; the
    middle of the edge if nothing is said. Give its width or its angle, and its length; or name
    the mark it points to, such as the apex, and how far before it ends. It lies square to its
    edge or along the grain; then its legs may differ, which true darts mends.

    The edge is shorter as sewn by what lies in the mouth: at a waist that is what the dart is
    for. Or give the width back at the end where the edge meets the one beside it, such as the
    side: the edge then sews to the same length, and the end of the edge beside it is drawn to
    the new corner, straight if it was straight. Both are told, with the seams that no longer fit.

    A dart with two points lies inside the piece, widest at a level such as the waist, or so far from
    an edge across the grain (waist-60mm), so far from the centre or below the mark it points to. It
    is drawn as lines and not cut in. Where nobody names a dart it is called after its edge.

    One waist dart takes in 5 to 35 mm; two small ones set better than a large one.
    """
    asked = _Asked(
        edge.strip(),
        at,
        width,
        angle,
        length,
        to,
        stand_off,
        way == "grain",
        keep.strip(),
        below,
        across,
        called,
    )
    if asked.called.strip():
        check_name(asked.called.strip(), "name of a dart")
    outlines = list(subjects(pattern, chosen).outlines)
    return (_contours if kind == "inside" else _at_edge)(pattern, outlines, asked)


def _at_edge(pattern: Pattern, outlines: List[Tuple[Piece, Outline]], asked: _Asked) -> Outcome:
    fitting = _fitting(outlines, asked.edge)
    cut_in: Dict[str, Piece] = {}
    done: Dict[str, Dict[str, ChangedDart]] = {}
    names: Dict[str, str] = {}
    words: List[str] = []
    changes: List[Change] = []
    for piece, outline in fitting:
        cut_in[piece.name] = piece
        name = names.setdefault(piece.name, _name(piece, asked))
        made = _added(piece, outline, asked, name, down_of(pattern, piece).of(piece, outline.size))
        if piece.name not in done:
            told, label = _sentence(piece, made, asked)
            words.append(told)
            changes.append(label)
        done.setdefault(piece.name, {})[outline.size] = made
    after, report = changed_outcome(pattern, cut_in, done, words, [], changes)
    return Outcome(after, report)


def _fitting(outlines: List[Tuple[Piece, Outline]], edge: str) -> List[Tuple[Piece, Outline]]:
    known = "The edges are: {}.".format(
        ", ".join(dict.fromkeys(name for piece, o in outlines for name in o.names if name not in piece.darts))
    )
    if not edge:
        raise InputError("It is not said on which edge the dart begins.", known, code="choice")
    found = [(piece, outline) for piece, outline in outlines if edge in outline.names]
    if not found:
        raise InputError("There is no edge called '{}'.".format(edge), known, code="name")
    return found


def _name(piece: Piece, asked: _Asked) -> str:
    """The name of the new dart, free in all sizes."""
    taken = {name for outline in piece.outlines for name in outline.names}
    taken |= {dart.name for outline in piece.outlines for dart in darts_here(piece, outline).darts}
    name = asked.called.strip()
    if not name and piece.named and asked.edge and not asked.edge.isdecimal():
        # A piece has several darts sooner or later: each is called after its edge.
        # An opened piece tells its sides by the ends of names, and so folds again without them.
        side = side_in(asked.edge) if piece.unfolded else ""
        own = "{}-dart".format(without_side(asked.edge) if side else asked.edge)
        names = [own] + ["{}-{}".format(own, number) for number in range(2, len(taken) + 3)]
        names = [sided(name, side) for name in names] if side else names
        return next(free for free in names if free not in taken)
    if not name:
        return free_name(piece, piece.outlines[0], taken)
    if name in taken or name.isdecimal():
        raise InputError(
            "'{}' has an edge or a dart '{}' already.".format(piece.name, name)
            if name in taken
            else "'{}' is the number of an edge and no name of a dart.".format(name),
            "Choose another name.",
            code="name",
        )
    return name


def _added(piece: Piece, outline: Outline, asked: _Asked, name: str, down: Axis) -> ChangedDart:
    on = one_place(piece, outline, asked.edge, asked.at if asked.at.strip() else "50%", down)
    grain = np.array(grain_axis(piece, outline.size)) if asked.along_grain else None
    mark = _mark(piece, outline, asked)
    shape = Shape(asked.width, asked.angle, asked.length, grain, mark, asked.stand_off)
    return added(piece, outline, on, shape, name, asked.keep)


def _mark(piece: Piece, outline: Outline, asked: _Asked) -> Optional[np.ndarray]:
    """The mark to which the dart points, (2,)."""
    return pivot_for(piece, outline.size, None, asked.to) if asked.to.strip() else None


def _sentence(piece: Piece, made: ChangedDart, asked: _Asked) -> Tuple[str, Change]:
    new = piece._replace(darts=(*piece.darts, made.name)).with_outline(made.outline)
    dart = dart_named(new, made.outline, made.name)
    told = "The dart '{}' was added at {} of {}: {:.1f} mm wide, {:.1f} degrees, {:.1f} mm long".format(
        made.name,
        quoted(made.old, asked.edge),
        piece_words(piece, made.outline.size),
        dart.intake,
        dart.angle,
        dart.depth,
    )
    if asked.keep:
        told += "; the width is given back at {0}, so that {1} sews to the same length, and {0} is drawn to "
        told += "the corner where {1} ends now"
        told = told.format(quoted(made.old, asked.keep), quoted(made.old, asked.edge))
    seams = seam_words(made)
    x, y = dart.middle
    label = Change(piece.name, "{} {:.1f} mm".format(made.name, dart.intake), (float(x), float(y)))
    return "{}{}.".format(told, "; " + seams if seams else ""), label


# -- with two points ----------------------------------------------------------------------


def _contours(pattern: Pattern, outlines: List[Tuple[Piece, Outline]], asked: _Asked) -> Outcome:
    if not asked.at.strip():
        raise InputError(
            "It is not said at which level the dart is widest.", "Name one, such as waist.", code="choice"
        )
    shape = Contour(asked.width, asked.length, asked.below)
    made: Dict[str, Piece] = {}
    names: Dict[str, str] = {}
    sizes: Dict[str, List[str]] = {}
    told: List[str] = []
    changes: List[Change] = []
    for piece, outline in outlines:
        name = names.setdefault(piece.name, _name(piece, asked))
        down = down_of(pattern, piece).of(piece, outline.size)
        spot = _spot(piece, outline, asked, down)
        now = made.get(piece.name, piece)
        if piece.name not in made:
            text = "A dart with two points, '{}', was added to {}: {:.1f} mm wide, {:.1f} mm long."
            told.append(
                text.format(name, piece_words(piece, outline.size), shape.width, shape.above + shape.below)
            )
            label = "{} {:.1f} mm".format(name, shape.width)
            changes.append(Change(piece.name, label, (float(spot[0]), float(spot[1]))))
        made[piece.name] = inside(now, outline, spot, np.array(down), shape, name)
        sizes.setdefault(piece.name, []).append(outline.size)
    return Outcome(*contours_outcome(pattern, made, sizes, told, [], changes))


def _spot(piece: Piece, outline: Outline, asked: _Asked, down: Axis) -> np.ndarray:
    """Where a dart with two points is widest (2,): at a level, below a mark or so far from the centre."""
    axis = np.array(down)
    mark = _mark(piece, outline, asked)
    beside = mark
    if beside is None:
        beside = centre_line(piece, outline)[0] + asked.across * out_of(piece, outline, down)
    known = with_edge_levels(piece, outline, asked.at, beside, down)
    height = height_of(known, outline.size, asked.at, down)
    if mark is not None:
        return mark + (height - float(mark @ axis)) * axis
    on, way = centre_line(piece, outline)
    along = way if abs(float(way @ axis)) > 0 else axis
    on = on + (height - float(on @ axis)) / float(along @ axis) * along
    return on + asked.across * out_of(piece, outline, down)
