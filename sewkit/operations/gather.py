"""Gathers and pleats marked on a part of an edge, and known to its seam."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.checks.dart_into_words import change_at, span_findings, span_words
from sewkit.checks.seams import guard
from sewkit.checks.told_by_size import told_by_size
from sewkit.errors import InputError
from sewkit.operation import Choice, Count, Length, Number, Outcome, Places, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.dart_eased import Span, free_names, quartered
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_places import one_place
from sewkit.pattern.gather_drawn import folded_in, folds, wave, with_gathers, without_gathers
from sewkit.pattern.gathered import Kept, called, write_kept
from sewkit.pattern.mark import GATHER, INNER, OVERLAY, Mark, On
from sewkit.pattern.notch import distance_from_start, spot_of
from sewkit.pattern.notch_as_sewn import mouths_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.placed_words import with_words
from sewkit.pattern.pleat_mouths import CLEAR
from sewkit.pattern.pleat_plan import BOX, Pleats, planned
from sewkit.pattern.recut import shown
from sewkit.pattern.upright import down_of
from sewkit.report import Change, Finding, Level, Report, Table

# Gathers end so far before a corner (mm): right at the end there is nothing to notch.
_CLEAR = 10.0

# A part that strays from straight by more (mm) has pleats whose tops are seen to be cut wrong.
_BENT = 1.0

# A dart that ends where the part begins (mm) is beside it.
_SAME = 0.01

# The words stand so far inside the edge (mm), clear of the waves.
_WORDS = 22.0

_REMOVE, _GATHERS = "remove", "gathers"


class _Asked(NamedTuple):
    kind: str
    first: str
    until: str
    to: float
    ratio: float
    count: int
    depth: float
    seen: float
    long: float


class _Made(NamedTuple):
    span: Span
    pleats: Optional[Pleats]

    @property
    def words(self) -> str:
        """The words that stand on the piece."""
        if self.pleats is None:
            return "gather to {:.0f} mm".format(self.span.sewn)
        text = "{} {:.0f} mm deep, to {:.0f} mm"
        return text.format(self.pleats.words, self.pleats.depth, self.span.sewn)


@operation(
    title="Mark gathers or pleats",
    menu="Marks",
    select="Select the piece or its outline.",
    example="sewkit gather samples/waistcoat/master.svg -o o.svg --piece back --edge hem --to 150 --size 5",
    beside=True,
)
def gather(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    kind: Choice(
        "What to do",
        "",
        {
            "gathers": "Gathers",
            "knife": "Knife pleats",
            "box": "Box pleats",
            "remove": "Take those of the edge away",
        },
    ) = "gathers",
    edge: Text("Edge", "such as waist") = "",
    first: Places("From", "a level, a notch, a length or share from its upper or left end; empty: all") = "",
    until: Places("Until", "the same way") = "",
    to: Length(
        "Gather to",
        "as sewn: the part, or the whole edge where no part is said; 0: by the fullness",
        0,
        5000,
    ) = 0.0,
    ratio: Number("Fullness of gathers", "cloth for 1 of seam: 1.5 light, 2 usual, 3 sheer", 1.05, 6) = 2.0,
    count: Count("How many pleats", "0: as the width that is seen gives", 0, 200) = 0,
    depth: Length("Depth of each pleat", "from its fold to where it lies below", 1, 500) = 30.0,
    seen: Length("Seen of each pleat", "0: what their number leaves", 0, 2000) = 0.0,
    long: Length("Length of the pleat lines", "", 10, 2000) = 100.0,
) -> Outcome:
    """Mark a part of an edge to be gathered or laid into pleats.

    Gathers get a notch at both ends, at the quarters too where they are long, on the piece sewn there
    as well; a wavy line beside the edge; and words that say to which length. Give that length or the
    fullness: 1.5 to 1 is light, 2 to 1 usual, 2.5 full, 3 for sheer cloth. Where no part of the edge is
    said, the length is that of the whole edge when it is sewn, 10 mm at each end that stay flat
    included; with From 0% and Until 100% nothing stays flat.

    Pleats get a fold line and the line on which it comes to lie, with an arrow from one to the other
    and a notch at each. A knife pleat takes twice its depth, a box pleat four times: n pleats with v
    seen of each are n (v + 2 p) or n (v + 4 p) of cloth, so 60 cm with 10 knife pleats of 3 cm take 120
    cm. Where they do not fit whole you are told the two nearest that do.

    The outline stays as it is on the cloth. The edge is measured as sewn from then on: of a pleat what
    lies in its folds is no part of the edge, and a seam is walked with the gathers drawn together, in
    each size by its own amount. All seams of the piece are walked. Run it again on an edge to replace
    what is there, in the sizes that are meant. On a curved edge fold the paper and cut the pleats' tops.
    """
    asked = _Asked(kind, first, until, to, ratio, count, depth, seen, long)
    after = pattern
    found: Dict[str, List[_Made]] = {}
    meant = _by_piece(pattern, chosen, edge.strip())
    for name, outlines in meant.items():
        sizes = [outline.size for outline in outlines]
        after = without_gathers(after, after.piece(name), edge.strip(), sizes)
    bare = after
    for name, outlines in meant.items() if kind != _REMOVE else ():
        outlines = [bare.piece(name).outline(outline.size) for outline in outlines]
        after, found[name] = _marked(after, name, outlines, edge.strip(), asked)
    if kind == _REMOVE:
        gone = after != pattern
        text = "There are no gathers and no pleats on '{}' any more." if gone else "'{}' had none."
        report = Report(text.format(edge.strip()))
    else:
        report = _report(bare, found, edge.strip())
    sizes_of = {outline.size for outlines in meant.values() for outline in outlines}
    walked = [(size, size) for size in pattern.sizes if size in sizes_of]
    return Outcome(after, report.then(guard(pattern, after, walked, list(meant))))


def _by_piece(pattern: Pattern, chosen: Chosen, edge: str) -> Dict[str, List[Outline]]:
    outlines = subjects(pattern, chosen).outlines
    found: Dict[str, List[Outline]] = {}
    for piece, outline in outlines:
        if edge in outline.names and edge not in piece.darts:
            found.setdefault(piece.name, []).append(outline)
    if not found:
        raise InputError(
            "There is no edge called '{}'.".format(edge) if edge else "No edge is named.",
            "The edges are: {}.".format(", ".join(dict.fromkeys(n for _, o in outlines for n in o.names))),
            code="name" if edge else "choice",
        )
    if len(found) > 1 and not chosen.outlines:
        raise InputError(
            "'{}' is an edge of several pieces: {}.".format(edge, ", ".join(found)),
            "Select the one that is gathered.",
            code="choice",
        )
    return found


def _marked(
    pattern: Pattern, name: str, outlines: Sequence[Outline], edge: str, asked: _Asked
) -> Tuple[Pattern, List[_Made]]:
    """The pattern with one piece marked in some sizes, and what was made in each."""
    piece = pattern.piece(name)
    made = [_made(pattern, piece, outline, edge, asked) for outline in outlines]
    names = free_names(pattern, "gather" if asked.kind == _GATHERS else "pleat")
    pattern, piece = with_gathers(pattern, piece, [one.span for one in made], names)
    words = []
    for one, outline in zip(made, outlines):
        span = one.span
        # Of an edge with pleats every length is as sewn already, so nothing is taken off it again.
        amount = span.amount if one.pleats is None else 0.0
        kept = write_kept(Kept(amount, tuple(names[: len(span.shares)])))
        if one.pleats is None:
            kind, path = GATHER, wave(outline, span)
        else:
            kind, path = INNER, folds(outline, span, one.pleats, asked.long)
            piece = folded_in(piece, outline, span, one.pleats)
        piece = piece._replace(marks=(*piece.marks, Mark(kind, called(edge), outline.size, path, form=kept)))
        spot = spot_of(outline, On(edge, span.start + span.cloth / 2.0))
        inside = _WORDS if one.pleats is None else asked.long + 8.0
        if spot is not None:
            words.append((outline.size, one.words, spot.point - inside * spot.outward))
    over = [mark.path for mark in pattern.beside if mark.kind == OVERLAY and mark.path is not None]
    return pattern.with_piece(with_words(piece, words, called(edge), over or None)), made


def _made(pattern: Pattern, piece: Piece, outline: Outline, edge: str, asked: _Asked) -> _Made:
    whole = outline.as_sewn(edge)
    clear = min(_CLEAR, 0.1 * whole) if asked.kind == _GATHERS else 0.0
    down = down_of(pattern, piece).of(piece, outline.size)
    ends = [clear, whole - clear]
    for number, words in enumerate((asked.first, asked.until)):
        if words.strip():
            ends[number] = distance_from_start(outline, one_place(piece, outline, edge, words, down))
            if not (asked.first.strip() and asked.until.strip()):
                # The one end that is left open is the edge's other end, however the path runs.
                ends[1 - number] = _other_end(piece, outline, edge, bool(number), down, whole, clear)
    start, cloth = min(ends), abs(ends[1] - ends[0])
    if cloth < 2.0 * _CLEAR:
        raise InputError(
            "The part of '{}' is {:.1f} mm long, too short to be taken in.".format(edge, cloth),
            "Give two places further apart.",
            code="value",
        )
    if asked.kind != _GATHERS:
        pleats = planned(asked.kind, cloth, asked.depth, asked.count, asked.seen)
        at_end = start < CLEAR or start + cloth > whole - CLEAR
        pleats = pleats._replace(halved=asked.kind == BOX and at_end)
        amount = cloth - pleats.finished
        return _Made(Span(outline.size, edge, start, cloth, pleats.finished, whole - amount), pleats)
    part = bool(asked.first.strip() or asked.until.strip())
    flat = 0.0 if part else whole - cloth
    sewn = asked.to - flat if asked.to else cloth / asked.ratio
    if sewn <= 0.0:
        raise InputError(
            "Of '{}' {:.1f} mm stay flat at its ends, so it cannot be gathered to {:.1f} mm.".format(
                edge, flat, asked.to
            ),
            "Give more, or gather from 0% until 100%, so that nothing stays flat.",
            code="value",
        )
    if not sewn < cloth:
        raise InputError(
            "{:.1f} mm of '{}' cannot be gathered to {:.1f} mm.".format(cloth + flat, edge, sewn + flat),
            "Give a shorter length; to make the edge longer, spread the piece first.",
            code="value",
        )
    return _Made(quartered(Span(outline.size, edge, start, cloth, sewn, whole - (cloth - sewn))), None)


def _other_end(
    piece: Piece,
    outline: Outline,
    edge: str,
    upper: bool,
    down: Tuple[float, float],
    whole: float,
    clear: float,
) -> float:
    """How far from the edge's start its upper or its lower end lies, a little inside it."""
    at = distance_from_start(outline, one_place(piece, outline, edge, "0%" if upper else "100%", down))
    return min(max(at, clear), whole - clear)


def _report(pattern: Pattern, found: Dict[str, List[_Made]], edge: str) -> Report:
    """What was marked; ``pattern``: as it was without."""
    words: List[str] = []
    findings: List[Finding] = []
    tables: List[Table] = []
    changes: List[Change] = []
    for name, made in found.items():
        piece, one = pattern.piece(name), made[0]
        outline, span = piece.outline(one.span.size), one.span
        words.append(_sentence(name, quoted(outline, edge), one))
        if len(made) > 1:
            words[-1] = "{}: {}".format(shown(piece, span.size), words[-1])
            tables.append(_table(name, made))
        words[-1] = words[-1] if len(made) > 1 else words[-1][:1].upper() + words[-1][1:]
        findings += _findings(pattern, piece, made)
        spot = spot_of(outline, On(edge, span.start + span.cloth / 2.0))
        changes += [change_at(name, one.words, spot.point)] if spot is not None else []
    return Report(" ".join(words), tuple(findings), tuple(tables), tuple(changes))


def _sentence(name: str, edge: str, one: _Made) -> str:
    span, pleats = one.span, one.pleats
    if pleats is None:
        text = "{} of '{}': {}, {:.2f} to 1{}; the whole edge is {:.1f} mm as sewn."
        return text.format(edge, name, span_words(span, True), span.ratio, _flat_words(span), span.whole)
    text = "{} of '{}': {:.1f} mm lie in {}, {:.1f} mm seen of each, {:.1f} mm finished{}."
    half = "; the row begins and ends with half of one" if pleats.halved else ""
    return text.format(edge, name, span.cloth, pleats.words, pleats.visible, span.sewn, half)


def _flat_words(span: Span) -> str:
    """What stays flat before the gathers and after them."""
    before, after = span.start, span.whole + span.amount - span.start - span.cloth
    if max(before, after) < _SAME:
        return ""
    if abs(before - after) < _SAME:
        return "; {:.1f} mm at each end stay flat".format(before)
    return "; {:.1f} mm beside them stay flat".format(before + after)


def _table(name: str, made: Sequence[_Made]) -> Table:
    """What each size has."""
    rows = []
    for one in made:
        seen = one.span.ratio if one.pleats is None else one.pleats.visible
        numbers = (one.span.cloth, one.span.sewn, one.span.whole)
        rows.append((one.span.size, *("{:.1f}".format(number) for number in numbers), "{:.2f}".format(seen)))
    last = "to 1" if made[0].pleats is None else "seen of each mm"
    title = "{} on '{}'".format("Gathers" if made[0].pleats is None else "Pleats", name)
    return Table(title, ("size", "cloth mm", "as sewn mm", "whole edge mm", last), tuple(rows))


def _findings(pattern: Pattern, piece: Piece, made: Sequence[_Made]) -> List[Finding]:
    full: List[Finding] = []
    for one in made if made[0].pleats is None else ():
        outline = piece.outline(one.span.size)
        full += span_findings(piece.name, outline, one.span, True, True, shown(piece, one.span.size))
    found = told_by_size(full, piece)
    span = made[0].span
    outline = piece.outline(span.size)
    if made[0].pleats is not None and _bend(outline, span) > _BENT:
        text = "{}: {} is curved: fold the paper pleats and cut their tops along the edge."
        words = text.format(shown(piece, span.size), quoted(outline, span.edge))
        found.append(Finding("pleat-top", Level.INFO, words, piece.name))
    over = [low for low, high in mouths_of(piece, outline, span.edge) if _over(span, low, high)]
    if over:
        text = "{}: a drawn dart lies in this part of {}, and its mouth counts as cloth: give one beside it."
        words = text.format(shown(piece, span.size), quoted(outline, span.edge))
        found.append(Finding("over-dart", Level.WARN, words, piece.name))
    if piece.named and not any(seam.touches(piece.name, span.edge) for seam in pattern.seams):
        text = "{} of '{}' is sewn to nothing yet, so nobody knows whether its length as sewn fits."
        words = text.format(quoted(outline, span.edge), piece.name)
        found.append(Finding("unpaired", Level.INFO, words, piece.name))
    return found


def _over(span: Span, low: float, high: float) -> bool:
    """Whether the mouth of a drawn dart lies in the part."""
    return low < span.start + span.cloth - _SAME and high > span.start + _SAME


def _bend(outline: Outline, span: Span) -> float:
    """How far the part strays from a straight line (mm)."""
    shares = [span.start + share * span.cloth for share in (0.0, 0.25, 0.5, 0.75, 1.0)]
    spots = [spot_of(outline, On(span.edge, along)) for along in shares]
    points = np.array([spot.point for spot in spots if spot is not None])
    way = points[-1] - points[0]
    away = (points - points[0]) @ np.array([-way[1], way[0]]) / max(float(np.hypot(*way)), 1e-9)
    return float(np.abs(away).max())
