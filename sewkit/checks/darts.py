"""Are the darts sound?  And what became of them in a change."""

from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point
from sewkit.geometry.polygon import contains
from sewkit.pattern.apex import apex_near
from sewkit.pattern.chosen_darts import AnyDart, darts_here
from sewkit.pattern.dart import Dart, darts_of
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.mark import NOTCH
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level, Table

# Above this angle (degrees) two darts set better than one (NIMI: two small darts set better
# than one large; the number is common practice, no source).
WIDE = 25.0

# Legs that differ by more (mm) cannot be sewn to each other without easing one in (common
# practice, no source; a trued dart has equal ones).
UNEQUAL = 2.0

# Legs that differ by less (mm) meet within what a pencil shows.
UNEVEN = 0.3

# A point nearer than this (mm) to the apex or to another edge pokes out or weakens the seam
# (Threads 181: an inch for a small bust; half of that is always too near).
NEAR = 10.0

# A smaller change of a length is none (mm), and of an angle (degrees).
_SAME = 0.005

# A cap may touch the cut line (mm).
_BEYOND = 0.1

# Legs that end on each other (mm) do not cross: two darts side by side share an end.
_TOUCH = 0.05

# What a dart without a name is called where the change has given it another number.
_NOW = "{}, now {}"

# What a dart is called, and how it was and is; None where there was none, or is none any more.
_Pair = Tuple[str, Optional[AnyDart], Optional[AnyDart]]


def dart_findings(piece: Piece, outline: Outline) -> List[Finding]:
    """What to look at on the darts of one size."""
    found: List[Finding] = []
    where = "{} size {}".format(piece.name, outline.size) if outline.size else piece.name
    darts = darts_here(piece, outline).darts
    for dart in darts:
        found += _of_one(piece, outline, dart, where)
    for number, dart in enumerate(darts):
        for other in darts[number + 1 :]:
            if _cross(dart, other):
                text = "{}: the darts '{}' and '{}' cross each other.".format(where, dart.name, other.name)
                found.append(Finding("darts-cross", Level.FAIL, text, where, _spot(other.point)))
            elif _end_together(dart, other):
                text = "{}: the darts '{}' and '{}' end {:.1f} mm from each other; back both points off, "
                text += "as a rule by 25 mm."
                apart = float(np.hypot(*(dart.point - other.point)))
                words = text.format(where, dart.name, other.name, apart)
                found.append(Finding("dart-point", Level.WARN, words, where, _spot(other.point)))
    return found


def _of_one(piece: Piece, outline: Outline, dart: AnyDart, where: str) -> List[Finding]:
    found: List[Finding] = []
    one_pointed = isinstance(dart, Dart) or not dart.contour
    legs, apex = dart.lengths, apex_near(piece, outline.size, dart.point)
    near, edge = _nearest_edge(piece, outline, dart)
    away = NEAR if apex is None or not one_pointed else float(np.hypot(*(apex - dart.point)))

    def tell(code: str, text: str, *numbers: float) -> None:
        words = text.format("{}: ".format(where) if where else "", "'{}'".format(dart.name), *numbers)
        found.append(Finding(code, Level.WARN, words, where, _spot(dart.point)))

    if dart.angle > WIDE and one_pointed:
        tell("dart-wide", "{}the dart {} opens by {:.1f} degrees; two set better than one.", dart.angle)
    if abs(legs[0] - legs[1]) > UNEQUAL:
        tell("legs", "{}the legs of the dart {} are {:.1f} and {:.1f} mm long; true it before sewing.", *legs)
    if edge < NEAR:
        tell("dart-point", "{}the point of the dart {} lies {:.1f} mm from " + near + ".", edge)
    if away < NEAR:
        text = "{}the dart {} ends {:.1f} mm from the apex; back its point off, as a rule by 20 to 25 mm."
        tell("dart-point", text, away)
    return found


def uneven_findings(where: str, dart: AnyDart) -> List[Finding]:
    """A word on legs that differ by more than a pencil line and less than what must be mended."""
    legs = dart.lengths
    if not UNEVEN < abs(legs[0] - legs[1]) <= UNEQUAL:
        return []
    text = "{}: the legs of the dart '{}' differ by {:.1f} mm; true it before sewing."
    words = text.format(where, dart.name, abs(legs[0] - legs[1]))
    return [Finding("legs-uneven", Level.INFO, words, where, _spot(dart.point))]


def cap_findings(piece: Piece, outline: Outline, name: str, cap: Path) -> List[Finding]:
    """A cap (mm) that stands out beyond the cut line cannot be cut."""
    line = piece.cut_line(outline.size)
    if line is None or not line.path.closed:
        return []
    spots = point(cap.curves, np.linspace(0, 1, 17)[None]).reshape(-1, 2)
    outside = spots[~contains(line.path, spots)]
    beyond = max((nearest(line.path, spot).distance for spot in outside), default=0.0)
    if beyond <= _BEYOND:
        return []
    where = "{} size {}".format(piece.name, outline.size) if outline.size else piece.name
    text = "{}: the cap of the dart '{}' stands out {:.1f} mm beyond the cut line."
    return [Finding("cap", Level.WARN, text.format(where, name, beyond), where)]


def cut_in_findings(before: Piece, after: Piece) -> List[Finding]:
    """Which drawn darts were cut into the outline, and which legs got a name, one line a dart."""
    found = []
    for name in [name for name in after.darts if name not in before.darts]:
        sizes = [o.size for o in after.outlines if name in o.names]
        cut = any(_has_new_lines(before.outline(size).path, after.outline(size).path) for size in sizes)
        sized = " in size{} {}".format("" if len(sizes) == 1 else "s", ", ".join(sizes))
        sized = sized if len(before.outlines) > 1 else ""
        if cut:
            text = "{}: the drawn dart '{}' is cut into the outline now{}; its edge is measured without it."
            found.append(Finding("dart-cut-in", Level.INFO, text.format(after.name, name, sized), after.name))
        elif after.named:
            text = "{}: two edges are called '{}' now{} and are legs of a dart."
            found.append(Finding("dart-named", Level.INFO, text.format(after.name, name, sized), after.name))
    lost = sum(m.kind == NOTCH for m in before.marks) - sum(m.kind == NOTCH for m in after.marks)
    if found and lost > 0:
        text = "{}: {} of its notches lay on what was taken out and went with it.".format(after.name, lost)
        found.append(Finding("notch-off", Level.WARN, text, after.name))
    return found


def _has_new_lines(before: Path, after: Path) -> bool:
    """Whether any curve was not there before; a name alone changes none, legs cut in are new."""
    known = {curve.tobytes() for curve in before.curves}
    return any(curve.tobytes() not in known for curve in after.curves)


def dart_table(outlines: Sequence[Tuple[Piece, Outline]]) -> Tuple[Table, ...]:
    """All darts in numbers, one row a dart and size; no table where there is none."""
    rows: List[Tuple[str, ...]] = []
    levels: List[Level] = []
    for piece, outline in outlines:
        darts = darts_here(piece, outline).darts
        for number, dart in enumerate(darts):
            row = (piece.name, outline.size, dart.name, *_numbers(dart))
            spot = "{:.1f}, {:.1f}".format(*dart.point)
            rows.append((*row, spot, piece.pressed.get(dart.name, "-"), _how(dart)))
            own = _of_one(piece, outline, dart, "")
            worst = max((f.level for f in (*own, *uneven_findings("", dart))), default=Level.PASS)
            others = darts[:number] + darts[number + 1 :]
            together = Level.WARN if any(_end_together(dart, other) for other in others) else worst
            crossed = any(_cross(dart, other) for other in others)
            levels.append(Level.FAIL if crossed else max(worst, together))
    columns = ("piece", "size", "dart", "degrees", "intake mm", "legs mm", "point mm", "pressed", "lies")
    return (Table("Darts", columns, tuple(rows), tuple(levels)),) if rows else ()


def _numbers(dart: AnyDart) -> Tuple[str, str, str]:
    """Angle, intake and legs as text."""
    legs = " / ".join("{:.2f}".format(length) for length in dart.lengths)
    return "{:.2f}".format(dart.angle), "{:.2f}".format(dart.intake), legs


def _how(dart: AnyDart) -> str:
    if isinstance(dart, Dart):
        return "cut in"
    return "two points" if dart.contour else "drawn"


def dart_changes(
    before: Pattern, after: Pattern, pieces: Sequence[str] = (), cut_in: Optional[Pattern] = None
) -> Tuple[Table, ...]:
    """Darts before and after a change, those that came out otherwise; no table where none did.

    A dart has its name on both sides; "-" where there was none, or is none any more.  Those of a
    line nobody named are only numbered: the nearest ones are the same, under the first number.

    Args:
        pieces: only these; all of the later pattern without.
        cut_in: the earlier pattern with the darts cut in that lines drew which are no marks of it.
    """
    known = {piece.name: piece for piece in before.pieces}
    drawn = {piece.name: piece for piece in cut_in.pieces} if cut_in is not None else {}
    rows: List[Tuple[str, ...]] = []
    for piece in after.pieces:
        if (pieces and piece.name not in pieces) or piece.name not in known:
            continue
        for outline in piece.outlines:
            old = known[piece.name]
            was = _before(old, drawn.get(piece.name, old), outline.size)
            now = list(darts_here(piece, outline).darts)
            for name, one, other in _by_name(was, now) if piece.named else _by_place(was, now):
                if one is None or other is None or _differ(one, other):
                    texts = [_numbers(d) if d is not None else ("-", "-", "-") for d in (one, other)]
                    pairs = tuple(text for pair in zip(*texts) for text in pair)
                    rows.append((piece.name, outline.size, name, *pairs))
    columns = ("piece", "size", "dart", "degrees at its point before", "after", "intake mm before", "after")
    columns += ("legs mm before", "after")
    return (Table("Darts before and after", columns, tuple(rows)),) if rows else ()


def _before(old: Piece, cut_in: Piece, size: str) -> List[AnyDart]:
    """The darts of one size before a change, with those that bare lines drew."""
    found = [list(darts_here(p, p.outline(size)).darts) if size in p.sizes else [] for p in (old, cut_in)]
    return max(found, key=len)


def _by_name(was: Sequence[AnyDart], now: Sequence[AnyDart]) -> List[_Pair]:
    old, new = ({dart.name: dart for dart in darts} for darts in (was, now))
    return [(name, old.get(name), new.get(name)) for name in dict.fromkeys([*old, *new])]


def _by_place(was: Sequence[AnyDart], now: Sequence[AnyDart]) -> List[_Pair]:
    """Darts that are only numbered, those nearest to each other first; and those that came or went."""
    away = sorted((_apart(one, other), i, j) for i, one in enumerate(was) for j, other in enumerate(now))
    same: Dict[int, int] = {}
    for _, i, j in away:
        if i not in same and j not in same.values():
            same[i] = j
    found: List[_Pair] = []
    for i, one in enumerate(was):
        other = now[same[i]] if i in same else None
        called = one.name if other is None or other.name == one.name else _NOW.format(one.name, other.name)
        found.append((called, one, other))
    return found + [(one.name, None, one) for j, one in enumerate(now) if j not in same.values()]


def _apart(one: AnyDart, other: AnyDart) -> float:
    """How far the points, and the middles of the mouths, of two darts lie from each other (mm, summed)."""
    spots = [np.array([dart.point, _middle(dart)]) for dart in (one, other)]
    return float(np.hypot(*(spots[0] - spots[1]).T).sum())


def _middle(dart: AnyDart) -> np.ndarray:
    return dart.middle if isinstance(dart, Dart) else (dart.legs[0].start + dart.legs[1].start) / 2.0


def _differ(was: AnyDart, now: AnyDart) -> bool:
    """Whether its measures are others, or its point lies elsewhere."""
    old, new = ((dart.angle, dart.intake, *dart.lengths, *dart.point) for dart in (was, now))
    return max(abs(a - b) for a, b in zip(old, new)) > _SAME


def _legs(dart: AnyDart) -> Tuple[Path, Path]:
    return (dart.first, dart.second) if isinstance(dart, Dart) else dart.legs


def _cross(dart: AnyDart, other: AnyDart) -> bool:
    """Whether a leg of one meets a leg of the other, but for two that share the end of a mouth."""
    for leg in _legs(dart):
        for second in _legs(other):
            ends = np.array([second.start, second.end])
            for crossing in crossings(leg, second):
                spot = point(leg.curves[crossing.first.curve][None], crossing.first.t)[0]
                if np.hypot(*(ends - spot).T).min() > _TOUCH:
                    return True
    return False


def _end_together(dart: AnyDart, other: AnyDart) -> bool:
    """Whether two darts end so near to each other that the cloth stands out in one hard spot."""
    return float(np.hypot(*(dart.point - other.point))) < NEAR


def _nearest_edge(piece: Piece, outline: Outline, dart: AnyDart) -> Tuple[str, float]:
    """What of the outline lies nearest to a dart's point, and how far away (mm).

    Not its own legs, and not those of a dart that ends at the same spot.
    """
    own = dart.edges if isinstance(dart, Dart) else ()
    darts = darts_of(piece, outline)
    legs = {number: other.name for other in darts for number in other.edges}
    beside = {number for other in darts if _end_together(dart, other) for number in other.edges}
    found = []
    for number, edge in enumerate(outline.edges):
        if number not in own and number not in beside:
            run = outline.path.part(edge.start, edge.stop)
            words = "the dart '{}'".format(legs[number]) if number in legs else quoted(outline, edge.name)
            found.append((nearest(run, dart.point).distance, words))
    away, words = min(found, key=lambda pair: pair[0])
    return words, away


def _spot(place: np.ndarray) -> Tuple[float, float]:
    return float(place[0]), float(place[1])
