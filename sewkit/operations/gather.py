"""Gathers and pleats marked on a part of an edge, and known to its seam."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.checks.dart_into_words import change_at, span_findings, span_words
from sewkit.checks.seams import guard
from sewkit.errors import InputError
from sewkit.operation import Choice, Count, Length, Number, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.dart_eased import Span, free_names, quartered
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_places import one_place
from sewkit.pattern.gather_drawn import (
    Kept,
    called,
    folds,
    notches_at,
    wave,
    with_gathers,
    without_gathers,
    write_kept,
)
from sewkit.pattern.mark import GATHER, OVERLAY, Mark, On
from sewkit.pattern.notch import distance_from_start, spot_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.placed_words import with_words
from sewkit.pattern.pleat_plan import Pleats, planned
from sewkit.pattern.recut import shown
from sewkit.pattern.upright import down_of
from sewkit.report import Finding, Report

# Gathers end so far before a corner (mm): right at the end there is nothing to notch.
_CLEAR = 10.0

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
        text = "{} {} pleats {:.0f} mm deep, to {:.0f} mm"
        return text.format(self.pleats.count, self.pleats.kind, self.pleats.depth, self.span.sewn)


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
        "Mark",
        "",
        {
            "gathers": "Gathers",
            "knife": "Knife pleats",
            "box": "Box pleats",
            "remove": "Take those of the edge away",
        },
    ) = "gathers",
    edge: Text("Edge", "such as waist") = "",
    first: Text("From", "a level, a notch, or a length or share from its upper or left end; empty: all") = "",
    until: Text("To", "the same way") = "",
    to: Length("Gather to", "the length as sewn; 0: by the fullness", 0, 5000) = 0.0,
    ratio: Number("Fullness of gathers", "cloth for 1 of seam: 1.5 light, 2 usual, 3 sheer", 1.05, 6) = 2.0,
    count: Count("How many pleats", "0: as the width that is seen gives", 0, 200) = 0,
    depth: Length("Depth of each pleat", "from its fold to where it lies below", 1, 500) = 30.0,
    seen: Length("Seen of each pleat", "0: what their number leaves", 0, 2000) = 0.0,
    long: Length("Length of the pleat lines", "", 10, 2000) = 100.0,
) -> Outcome:
    """Mark a part of an edge to be gathered or laid into pleats.

    Gathers get a notch at both ends, at the quarters too where they are long, on the piece sewn there
    as well; a wavy line beside the edge; and words that say to which length. Give that length or the
    fullness: 1.5 to 1 is light, 2 to 1 usual, 2.5 full, 3 for sheer cloth.

    Pleats get a fold line and the line on which it comes to lie, with an arrow from one to the other
    and a notch at each. A knife pleat takes twice its depth, a box pleat four times: n pleats with v
    seen of each are n (v + 2 p) or n (v + 4 p) of cloth, so 60 cm with 10 knife pleats of 3 cm take 120
    cm. Where they do not fit whole you are told the two nearest that do.

    The edge keeps its length on the cloth; its seam knows from then on how much longer this side is on
    purpose, and all seams of the piece are walked. Run it again on an edge to replace what is there, in
    all sizes.
    """
    asked = _Asked(kind, first, until, to, ratio, count, depth, seen, long)
    after = pattern
    found: Dict[str, List[_Made]] = {}
    for name, outlines in _by_piece(pattern, chosen, edge.strip()).items():
        after = without_gathers(after, after.piece(name), edge.strip())
        if kind != _REMOVE:
            after, found[name] = _marked(after, name, outlines, edge.strip(), asked)
    sizes = list(dict.fromkeys(made.span.size for all_made in found.values() for made in all_made))
    report = _report(after, found, edge.strip())
    if kind == _REMOVE:
        report = Report("There are no gathers and no pleats on '{}' any more.".format(edge.strip()))
        sizes = list(pattern.sizes)
    return Outcome(
        after, report.then(guard(pattern, after, [(size, size) for size in sizes], list(found) or None))
    )


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
        kept = write_kept(Kept(span.amount, tuple(names[: len(span.shares)])))
        if one.pleats is None:
            path = wave(outline, span)
        else:
            path = folds(outline, span, one.pleats, asked.long)
            piece = notches_at(piece, outline, span, one.pleats)
        piece = piece._replace(
            marks=(*piece.marks, Mark(GATHER, called(edge), outline.size, path, form=kept))
        )
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
        amount = cloth - pleats.finished
        return _Made(Span(outline.size, edge, start, cloth, pleats.finished, whole - amount), pleats)
    sewn = asked.to or cloth / asked.ratio
    if not sewn < cloth:
        raise InputError(
            "{:.1f} mm of '{}' cannot be gathered to {:.1f} mm.".format(cloth, edge, sewn),
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
    words: List[str] = []
    findings: List[Finding] = []
    changes = []
    for name, made in found.items():
        piece, one = pattern.piece(name), made[0]
        outline, span = piece.outline(one.span.size), one.span
        if one.pleats is None:
            text = "{} of '{}': {}, {:.2g} to 1."
            words.append(text.format(quoted(outline, edge), name, span_words(span, True), span.ratio))
        else:
            text = "{} of '{}': {:.1f} mm lie in {} {} pleats, {:.1f} mm seen of each, {:.1f} mm finished."
            pleats = one.pleats
            words.append(
                text.format(
                    quoted(outline, edge),
                    name,
                    span.cloth,
                    pleats.count,
                    pleats.kind,
                    pleats.visible,
                    span.sewn,
                )
            )
        paired = not piece.named or any(seam.touches(name, edge) for seam in pattern.seams)
        findings += (
            span_findings(name, outline, span, one.pleats is None, paired, shown(piece, span.size))
            if one.pleats is None or not paired
            else []
        )
        spot = spot_of(outline, On(edge, span.start + span.cloth / 2.0))
        changes += [change_at(name, one.words, spot.point)] if spot is not None else []
    return Report(" ".join(words), tuple(findings), (), tuple(changes))
