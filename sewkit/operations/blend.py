"""Blend between size lines: one size here, another there."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.checks.seams import guard
from sewkit.checks.swing_darts import swing_dart_findings
from sewkit.checks.swing_words import ends_in_words, swing_sentence
from sewkit.checks.swings import many_sizes, swing_findings
from sewkit.errors import InputError
from sewkit.operation import Choice, Flag, Length, Outcome, Percent, Text, operation
from sewkit.pattern.bare import comparable
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.dart_marks import with_dart_marks
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.partners import band_on, partner_windows
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import check_name
from sewkit.pattern.spans import (
    Span,
    band_of,
    begins_at_end,
    grain_axis,
    offsets,
    span_by_nodes,
    span_in_words,
)
from sewkit.pattern.swing import Band, Window, corresponding, mixed, same_edges, swing, swung_marks
from sewkit.report import Finding, Level, Report, gathered


class _Ask(NamedTuple):
    """What was asked, the same for every piece and every leg of a chain."""

    edge: str
    custom: str
    lead: float
    share: float
    by_axis: bool


class _Leg(NamedTuple):
    """One swing of a chain: from a size to a size, arriving at ``until``.

    ``leaves`` is the size one would say it leaves; ``first`` may be a line of the chain.
    """

    first: str
    second: str
    until: str
    size: str
    leaves: str


@operation(
    title="Blend between size lines",
    menu="Sizes",
    select=(
        "Select two size lines: first the one to leave, then the one to reach; "
        "two nodes on them set the span."
    ),
    example=(
        "sewkit blend samples/waistcoat/master.svg -o blended.svg "
        "--first 3 --then 5 --edge side --until waist"
    ),
)
def blend(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    first: Text("Leave size", "where the edge begins, at its upper end; empty: the first selected line") = "",
    then: Text("Reach size", "one, or several in a row such as 5 7; empty: the second selected line") = "",
    edge: Text("Edge that swings", "such as side; empty: the edge with the selected nodes") = "",
    until: Text(
        "Arrive at",
        "a level such as waist, waist+220mm, or a length from the upper end; one for each size reached",
    ) = "",
    custom: Choice(
        "Span",
        "",
        {
            "long": "Long: leave the old line soon, arrive at the landmark",
            "short": "Short: leave the old line just before the landmark",
        },
    ) = "long",
    lead: Length("Distance", "long: after the upper end; short: before the landmark", 0, 2000) = 50.0,
    share: Percent("How far toward the other size", "100 reaches it", 0, 100) = 100.0,
    measure: Choice(
        "Measure", "", {"edge": "along the edge", "grain": "along the grain, points matched by height"}
    ) = "edge",
    swap: Flag("Swap the two lines", "reach the first, leave the second") = False,
    partners: Flag("Take along what is sewn to it", "named pieces only") = True,
    called: Text("Name of the new line", "a size name such as P03; empty makes one") = "",
) -> Outcome:
    """Swing from one size line to another over a span, as on paper.

    Above the span the new line is exactly the first size, below it exactly the second.
    In between it runs softly from one to the other and never leaves the strip between
    them. Two customs: long leaves the old line 50 mm (2 in) below the armhole or whatever
    the edge's upper end is, and arrives at the landmark; short keeps the old line until
    50 mm before the landmark. Distances run along the edge; measured along the grain
    instead, both lines are matched by their height on the sheet.

    On named pieces the edges sewn to it swing over the same distances from the point
    where they meet, and all other pieces that are drawn in both sizes follow at the same
    height. Notches keep their distance from the meeting end. The new line is one size
    more; the old lines stay. Afterwards every seam is walked again.
    """
    ask = _Ask(edge, custom, lead, share / 100.0, measure == "grain")
    if _is_bare(pattern, chosen):
        return _bare_blend(pattern, chosen, ask, until, swap)
    sizes = _sizes(pattern, chosen, first, then, swap)
    legs = _legs(pattern, sizes, until.replace(",", " ").split(), called)
    if chosen.nodes and len(legs) > 1:
        raise InputError(
            "Selected nodes set one span, and {} sizes are to be reached.".format(len(legs)),
            "Name the landmarks instead, and select no nodes.",
            code="choice",
        )
    after, reports = pattern, []
    for number, leg in enumerate(legs):
        after, report = _swing_all(after, chosen, leg, ask, partners, legs[number - 1] if number else None)
        reports.append(report)
    for leg in legs[:-1]:
        after = _without_size(after, leg.size)
    findings = many_sizes(pattern.sizes, sizes)
    told = guard(pattern, after, [(sizes[0], legs[-1].size)])
    lines = tuple(sizes) + (legs[-1].size,)
    return Outcome(after, gathered(reports).then(Report("", findings, lines=lines)).then(told))


# -- two bare lines ---------------------------------------------------------------------


def _is_bare(pattern: Pattern, chosen: Chosen) -> bool:
    picked = chosen.picked(pattern) if chosen.outlines else ()
    return bool(picked) and not all(piece.named for piece, _ in picked)


def _bare_blend(pattern: Pattern, chosen: Chosen, ask: _Ask, until: str, swap: bool) -> Outcome:
    pairs = chosen.two_lines(pattern, "A blend")
    (here, a), (there, b) = pairs[::-1] if swap else pairs
    clicked = [
        ("first" if (n.piece, n.size) == (here.name, a.size) else "second", n.point) for n in chosen.nodes
    ]
    a, b = comparable(a, b)
    axis = grain_axis(here, a.size)
    if clicked:
        name, window = span_by_nodes(a, b, clicked)
    else:
        name = ask.edge or (a.names[0] if len(a.names) == 1 else "")
        if not name or name not in a.names:
            raise InputError(
                "Which edge is to swing? The outline has the edges {}, from corner to corner.".format(
                    ", ".join(a.names)
                ),
                "Select two nodes on one of them, or give its number.",
                code="choice",
            )
        from_end = begins_at_end(a, name, axis)
        along = axis if ask.by_axis else None
        window = span_in_words(a, here.marks, name, from_end, ask.custom, ask.lead, until, along).window
    goal = mixed(a, b, ask.share, b.size) if ask.share < 1.0 else b
    band = band_of(a, name, window, axis)
    size = _free("blend", there.sizes)
    made = _made(a, goal, {name: window}, band, size, {}, ask.by_axis, here.name)
    findings = swing_findings(a, goal, made, {name: window}, "{} to {}".format(here.name, there.name))
    after = pattern.with_piece(there._replace(outlines=there.outlines + (made,)))
    summary = "The new line leaves '{}' at {:.0f} mm and reaches '{}' at {:.0f} mm.".format(
        here.name, window.start, there.name, window.stop
    )
    return Outcome(after, Report(summary, findings))


def _free(wish: str, taken: Sequence[str]) -> str:
    """A name that is not taken yet."""
    number, name = 1, wish
    while name in taken:
        number += 1
        name = "{}-{}".format(wish, number)
    return name


# -- named pieces -----------------------------------------------------------------------


def _sizes(pattern: Pattern, chosen: Chosen, first: str, then: str, swap: bool) -> List[str]:
    """The sizes in the order in which the edge meets them."""
    picked = [outline.size for _, outline in chosen.picked(pattern)] if chosen.outlines else []
    picked = list(dict.fromkeys(picked))
    wanted = then.replace(",", " ").split()
    if not first and not wanted and len(picked) == 2:
        first, wanted = picked[0], picked[1:]
    if not (first and wanted):
        raise InputError(
            "A blend needs the size to leave and the size to reach.",
            "Select two lines of the nest, or name both sizes.",
            code="nest",
        )
    for size in [first] + wanted:
        if size not in pattern.sizes:
            raise InputError(
                "There is no size '{}' in this nest, so nothing can swing to it.".format(size),
                "The sizes are: {}.".format(", ".join(s for s in pattern.sizes if s) or "none"),
                code="nest",
            )
    sizes = [first] + wanted
    if any(one == other for one, other in zip(sizes, sizes[1:])):
        raise InputError(
            "The size to leave and the size to reach are the same.", "Name two different sizes.", code="nest"
        )
    return sizes[::-1] if swap else sizes


def _legs(pattern: Pattern, sizes: Sequence[str], untils: Sequence[str], called: str) -> List[_Leg]:
    if len(untils) > len(sizes) - 1 or (len(sizes) > 2 and len(untils) < len(sizes) - 2):
        raise InputError(
            "{} sizes are to be reached, and {} landmarks are given.".format(len(sizes) - 1, len(untils)),
            "Give one landmark for each size; the last one may be left out.",
            code="value",
        )
    if called and check_name(called, "name of a size") in pattern.sizes:
        raise InputError(
            "'{}' is one of the sizes already.".format(called), "Choose another name.", code="nest"
        )
    called = called or _free("-to-".join(sizes), pattern.sizes)
    legs, at = [], sizes[0]
    for number, size in enumerate(sizes[1:]):
        last = number == len(sizes) - 2
        name = called if last else "{}-leg-{}".format(called, number + 1)
        until = untils[number] if number < len(untils) else ""
        legs.append(_Leg(at, size, until, name, sizes[number]))
        at = name
    return legs


def _swing_all(
    pattern: Pattern, chosen: Chosen, leg: _Leg, ask: _Ask, partners: bool, before: Optional[_Leg]
) -> Tuple[Pattern, Report]:
    """One leg on every piece that is drawn in both sizes."""
    pieces = [p for p in pattern.pieces if {leg.first, leg.second} <= set(p.sizes)]
    # What was derived from a piece that swings is made anew from it afterwards.
    meant = {piece.name for piece in chosen.pieces(pattern)} if chosen.outlines else set()
    pieces = [p for p in pieces if not p.follows or p.name in meant]
    leading, edge, span = _lead(pieces, pattern, leg, ask, chosen, before)
    if not partners:
        own = {piece.name for piece in chosen.pieces(pattern)} if chosen.outlines else set()
        pieces = [p for p in pieces if p.name in own or p.name == leading.name]
    windows = partner_windows(pattern, leading, edge, span.window, pieces, leg.first, ask.by_axis)
    band = band_of(leading.outline(leg.first), edge, span.window, grain_axis(leading, leg.first))
    after, findings = pattern, []
    for piece in pieces:
        here = windows.get(piece.name, {})
        try:
            at = band_on(piece, leading, here, band, leg.first, span)
            made, told = _one_piece(piece, here, at, leg, ask)
        except InputError as error:
            if piece.name == leading.name:
                raise
            findings.append(Finding("not-followed", Level.FAIL, str(error), piece.name))
            windows.pop(piece.name, None)
            continue
        findings += told
        after = after.with_piece(made)
    done = [p.name for p in pieces if leg.size in after.piece(p.name).sizes]
    swinging = [name for name in done if name in windows]
    following = [name for name in done if name not in windows]
    start, stop = ends_in_words(
        span.window,
        leading.outline(leg.first).as_sewn(edge),
        leg.until,
        before.until if before and ask.custom == "long" else "",
    )
    text = swing_sentence(start, stop, edge, swinging, following, leg.leaves, leg.second, ask.share)
    return after, Report(text, tuple(findings))


def _lead(
    pieces: Sequence[Piece], pattern: Pattern, leg: _Leg, ask: _Ask, chosen: Chosen, before: Optional[_Leg]
) -> Tuple[Piece, str, Span]:
    """The piece and edge that set the span, and the span."""
    for piece in pieces:
        nodes = [n for n in chosen.nodes if n.piece == piece.name and n.size in (leg.first, leg.second)]
        if nodes:
            a, b = piece.outline(leg.first), piece.outline(leg.second)
            same_edges(a, b, piece.name)
            clicked = [("first" if n.size == leg.first else "second", n.point) for n in nodes]
            edge, window = span_by_nodes(a, b, clicked)
            return piece, edge, Span(window, "")
    own = {piece.name for piece in chosen.pieces(pattern)}
    leading = [p for p in pieces if p.name in own and ask.edge in p.outline(leg.first).names]
    if not leading:
        raise _no_edge(pieces, leg, ask.edge)
    piece = leading[0]
    outline, marks, axis = piece.outline(leg.first), piece.marks_for(leg.first), grain_axis(piece, leg.first)
    from_end, along = begins_at_end(outline, ask.edge, axis), axis if ask.by_axis else None
    if before is None or ask.custom == "short":
        return (
            piece,
            ask.edge,
            span_in_words(outline, marks, ask.edge, from_end, ask.custom, ask.lead, leg.until, along),
        )
    # The next leg of a chain begins where the one before has arrived.
    old = span_in_words(outline, marks, ask.edge, from_end, "long", 0.0, before.until, along)
    start = offsets(outline, ask.edge, old.window, axis)[1] if ask.by_axis else old.window.stop
    return piece, ask.edge, span_in_words(outline, marks, ask.edge, from_end, "long", start, leg.until, along)


def _no_edge(pieces: Sequence[Piece], leg: _Leg, edge: str) -> InputError:
    if not pieces:
        return InputError(
            "No piece is drawn both in size {} and in size {}.".format(leg.first, leg.second),
            "Name two sizes of one nest.",
            code="nest",
        )
    known = sorted({n for p in pieces for n in p.outline(leg.first).names})
    if not edge:
        return InputError(
            "It is not said which edge is to swing.",
            "Name it, or select two nodes on it; the edges are: {}.".format(", ".join(known)),
            code="choice",
        )
    return InputError(
        "No piece drawn in sizes {} and {} has an edge called '{}'.".format(leg.first, leg.second, edge),
        "The edges are: {}.".format(", ".join(known) or "none"),
        code="name",
    )


def _one_piece(
    piece: Piece, windows: Dict[str, Window], band: Band, leg: _Leg, ask: _Ask
) -> Tuple[Piece, Tuple[Finding, ...]]:
    a, b = piece.outline(leg.first), piece.outline(leg.second)
    same_edges(a, b, piece.name)
    goal, pairs = b, {}
    if ask.share < 1.0:
        goal = mixed(a, b, ask.share, b.size)
    else:
        here, there = piece.marks_for(leg.first), piece.marks_for(leg.second)
        pairs = {name: corresponding(name, a, b, here, there) for name in windows}
    made = _made(a, goal, windows, band, leg.size, pairs, ask.by_axis, piece.name)
    marks = tuple(swung_marks(a, b, piece.marks, made, windows, band, ask.share))
    told = swing_findings(a, goal, made, windows, piece.name) + _lost_notches(piece, leg, marks)
    blended = with_dart_marks(piece.with_outline(made)._replace(marks=piece.marks + marks), made.size)
    return blended, told + swing_dart_findings(blended, a, b, made, windows, band)


def _lost_notches(piece: Piece, leg: _Leg, made: Sequence[Mark]) -> Tuple[Finding, ...]:
    before = [
        mark.name for mark in piece.marks if mark.kind == NOTCH and mark.size == leg.first and mark.size
    ]
    after = [mark.name for mark in made if mark.kind == NOTCH]
    if len(before) == len(after):
        return ()
    text = "'{}': {} of {} notches lie beyond their edge on the new line and were left out.".format(
        piece.name, len(before) - len(after), len(before)
    )
    return (Finding("notch-off", Level.WARN, text, piece.name),)


def _made(
    a: Outline,
    b: Outline,
    windows: Dict[str, Window],
    band: Band,
    size: str,
    pairs: Dict[str, List[Tuple[float, float]]],
    by_axis: bool,
    piece: str,
) -> Outline:
    if a.path.closed and len(a.edges) < 2:
        raise InputError(
            "The outline '{}' has no corners, so it is not known where its edge begins.".format(piece),
            "Put corner nodes where the edges meet.",
            code="corners",
        )
    try:
        return swing(a, b, windows, band, size, pairs, by_axis)
    except ValueError as error:
        raise InputError(
            "'{}' cannot swing there: {}.".format(piece, str(error).rstrip(".")),
            "Choose another span, or measure along the edge.",
            code="span",
        ) from None


def _without_size(pattern: Pattern, size: str) -> Pattern:
    """Without the intermediate lines of a chain."""
    pieces = tuple(
        piece._replace(
            outlines=tuple(o for o in piece.outlines if o.size != size),
            marks=tuple(m for m in piece.marks if m.size != size),
        )
        for piece in pattern.pieces
    )
    return pattern._replace(pieces=pieces)
