"""A pattern asked for what a fit plan has to know: levels, names of edges and pieces; and the plan.

The body may be typed, stand on a sheet of its own or in a table of people; the size chart is
one that somebody gives, or the pattern's own.
"""

from typing import NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.chart_text import chart_from_text
from sewkit.body.fit_plan import FitPlan, PatternWords, fit_plan
from sewkit.body.need import read_need
from sewkit.body.pattern_words import level_for
from sewkit.body.people_text import bodies_from_text
from sewkit.body.planned_step import PlannedStep
from sewkit.body.size_chart import SizeChart
from sewkit.body.sizing import Sizing, sizes_for
from sewkit.body.swing_steps import nearest_size
from sewkit.body.written_body import read_needs
from sewkit.body.written_length import UNITS
from sewkit.checks.counted import counting
from sewkit.errors import InputError
from sewkit.pattern.level_heights import (
    ARMHOLES,
    CENTRE_BACK,
    HEM,
    edge_named,
    level_heights,
    outline_of,
)
from sewkit.pattern.level_width import level_width
from sewkit.pattern.mark import LEVEL
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

# Names of the edge in the middle of the front, or where it laps over.
CENTRE_FRONT = ("front-edge", "centre-front", "center-front", "front-centre", "front-center", "cf")

# A sleeve is cut at three levels: at the foot of its cap, at the elbow, at the wrist.
_SLEEVE_LEVELS = (("biceps", "bicep", "upper-arm", "upper arm"), ("elbow",), ("wrist", "hem"))


class Wishes(NamedTuple):
    """What somebody may want otherwise.

    Args:
        exact: sizes in between, not the nearest whole ones.
        beyond: a size more than half a step outside the chart is agreed to.
        lengths: lengths are changed as well.
        side: the edge that swings from size to size.
        called: the name of the body's own line; empty for whose it is.
        leads: the measure that leads; empty for the usual one.
    """

    exact: bool = False
    beyond: bool = False
    lengths: bool = True
    side: str = "side"
    called: str = ""
    leads: str = ""


# What is done where nobody wants anything otherwise.
USUAL = Wishes()


class PlannedFit(NamedTuple):
    """Sizes and plan of one body on one pattern; ``words``: what the pattern calls its parts."""

    sizing: Sizing
    plan: FitPlan
    words: PatternWords


def body_of(
    text: str = "",
    row: str = "",
    measures: str = "",
    unit: str = "",
    confirm: str = "",
    needs: Sequence[str] = (),
) -> Body:
    """The one body that is meant.

    Args:
        text: of a measure sheet or a table of people.
        row: whose row it is; may be empty where there is only one.
        measures: typed, instead of a sheet.
        unit: of numbers that name none; empty guesses it, and it is told.
        confirm: "yes" where somebody stands by odd numbers, or the unit that they are in.
        needs: more than stand on the sheet, in words; a bare number counts in ``unit``, else in cm.

    ``InputError`` where it is not clear who is meant.
    """
    if bool(text.strip()) == bool(measures.strip()):
        raise InputError(
            "Measures are given twice." if text.strip() else "There are no measures.",
            "Type them, or name a measure sheet.",
            code="measure",
        )
    written, shown = (text, "of people") if text.strip() else (measures, "typed")
    bodies = bodies_from_text(written, unit, {}, row, shown)
    body = _row(bodies, row)
    if confirm:
        # Read once more, now that it is known whose numbers are meant and in which unit.
        if len(bodies) > 1 or body.row:
            body = _row(bodies_from_text(written, unit, {body.who: confirm}, row, shown), body.who)
        else:
            said = "{}\nconfirmed: {}".format(written, confirm)
            body = bodies_from_text(said, unit, {}, row, shown)[0]
    bare = unit or (confirm if confirm in UNITS else "")
    return body._replace(fits=with_needs(body.fits, read_needs("; ".join(needs), bare)))


def with_needs(fits: Sequence[str], needs: Sequence[str]) -> Tuple[str, ...]:
    """Needs in words, and more of them; what names the same need stands in the place of the first."""
    new = {_need_name(words) for words in needs}
    return (*(words for words in fits if _need_name(words) not in new), *needs)


def _need_name(words: str) -> str:
    try:
        return read_need(words).name or words
    except InputError:
        return words


def _row(bodies: Sequence[Body], row: str) -> Body:
    if len(bodies) == 1 and (not row or not bodies[0].row):
        return bodies[0]
    found = [body for body in bodies if body.who.strip().lower() == row.strip().lower()]
    if found:
        return found[0]
    names = ", ".join(body.who for body in bodies)
    if row:
        raise InputError(
            "There is no '{}' on the measure sheet.".format(row), "There are: {}.".format(names), code="name"
        )
    raise InputError(
        "It is not said who on the measure sheet is meant.", "Name one of: {}.".format(names), code="name"
    )


def chart_of(pattern: Pattern, text: str = "") -> SizeChart:
    """The chart in a text, else the one that the pattern carries; ``InputError`` without either."""
    if text.strip():
        return chart_from_text(text, "", "that was given")
    if pattern.chart.strip():
        return chart_from_text(pattern.chart)
    raise InputError(
        "This pattern carries no size chart, so it is not known for whom its sizes were drafted.",
        "Name a table with the body measures of each size.",
        code="chart",
    )


def planned_fit(
    pattern: Pattern,
    body: Body,
    chart: SizeChart,
    wishes: Wishes = USUAL,
    needs: Optional[Sequence[str]] = None,
) -> PlannedFit:
    """Which sizes where, and the steps that bring a pattern to a body.

    ``needs``: in words; ``None`` takes what stands on the body's sheet.  ``InputError`` (held)
    with one sentence where nothing is to be made, (nest) where the pattern is not drawn in the
    chart's sizes.
    """
    sizing = sizes_for(chart, body, wishes.exact, wishes.beyond, wishes.leads)
    if sizing.held:
        raise InputError(sizing.held, code="held")
    _check_sizes(pattern, chart)
    lead = nearest_size(sizing.lead, chart)
    counted = counting(pattern, lead).names
    levels = level_heights(pattern, lead, counted)
    at_waist = sizing.of("waist")
    words = words_of(pattern, lead, wishes.side, nearest_size(at_waist, chart) if at_waist else lead)
    plan = fit_plan(sizing, chart, body, levels, words, needs, wishes.called)
    if not wishes.lengths:
        plan = _without_lengths(plan)
    return PlannedFit(sizing, plan, words)


def _check_sizes(pattern: Pattern, chart: SizeChart) -> None:
    drawn = [size for size in pattern.sizes if size]
    missing = [size for size in chart.sizes if size not in drawn]
    if len(missing) == len(chart.sizes):
        raise InputError(
            "The sizes of the chart ({}) are not drawn here.".format(", ".join(chart.sizes)),
            "The sizes here are: {}.".format(", ".join(drawn) or "none"),
            code="nest",
        )


def _without_lengths(plan: FitPlan) -> FitPlan:
    """The plan without the changes of length at its head."""
    first = next((n for n, step in enumerate(plan.steps) if step.do != "lengthen"), len(plan.steps))
    left: Tuple[PlannedStep, ...] = plan.steps[:first]
    if not left:
        return plan
    told = "The lengths are left as they are, as was asked: {}".format(" ".join(step.why for step in left))
    return plan._replace(steps=plan.steps[first:], told=(*plan.told, told))


# -- what a pattern calls its parts -------------------------------------------------------


def words_of(pattern: Pattern, size: str, side: str = "side", size_at_waist: str = "") -> PatternWords:
    """What a pattern calls its edges and pieces, as its own names tell.

    Args:
        side: the edge at the side.
        size_at_waist: the size in which a front's width at the waist is measured; empty for ``size``.

    Fronts and backs are pieces with a side and a hem and the centre edge of their own half, a
    lining too; a facing has the front edge and no side.
    """
    drawn = [(piece, outline_of(piece, size)) for piece in pattern.pieces]
    known = [(piece, outline) for piece, outline in drawn if outline is not None]
    fronts, backs, facings, sleeves = [], [], [], []  # type: List[str], List[str], List[str], List[str]
    for piece, outline in known:
        if "sleeve" in piece.name:
            sleeves.append(piece.name)
        elif edge_named(outline, CENTRE_FRONT) and side not in outline.names:
            facings.append(piece.name)
        elif side in outline.names and _is(piece, outline, "front", CENTRE_FRONT):
            fronts.append(piece.name)
        elif side in outline.names and _is(piece, outline, "back", CENTRE_BACK):
            backs.append(piece.name)
    front = next((outline for piece, outline in known if piece.name in fronts), None)
    back = next((outline for piece, outline in known if piece.name in backs), None)
    lead = next((piece for piece, _ in known if piece.name in fronts), None)
    hem = edge_named(front, (*lead.hems, HEM)) if front is not None and lead is not None else HEM
    any_of = [outline for outline in (back, front) if outline is not None]
    return PatternWords(
        side=side,
        hem=hem,
        front_edge="" if front is None else edge_named(front, CENTRE_FRONT),
        centre_back="" if back is None else edge_named(back, CENTRE_BACK),
        armhole=next((name for one in any_of for name in [edge_named(one, ARMHOLES)] if name), ""),
        fronts=tuple(fronts),
        backs=tuple(backs),
        facings=tuple(facings),
        sleeves=tuple(sleeves),
        sleeve_levels=_sleeve_levels(known, sleeves),
        side_lies_left=front is None or _side_lies_left(front, side, hem),
        front_width=0.0 if lead is None else _front_width(lead, size_at_waist or size),
    )


def _is(piece: Piece, outline: Outline, word: str, centre: Sequence[str]) -> bool:
    """Whether a piece is a front or a back: its centre edge tells, else its name."""
    return bool(edge_named(outline, centre)) or word in piece.name.lower().split("-")


def _side_lies_left(outline: Outline, side: str, hem: str) -> bool:
    """Whether the side is at the left end of the hem on the sheet."""
    if hem not in outline.names or side not in outline.names:
        return True
    middles = [
        sum(float(spot[0]) for run in outline.runs(name) for spot in (run.start, run.end))
        / (2.0 * len(outline.runs(name)))
        for name in (side, hem)
    ]
    return middles[0] < middles[1]


def _front_width(piece: Piece, size: str) -> float:
    """A front's width at its waist (mm), from the front edge to the side; 0 where it has no waist."""
    outline = outline_of(piece, size)
    if outline is None:
        return 0.0
    named = {m.name: 0.0 for m in piece.marks_for(outline.size) if m.kind == LEVEL and m.name and m.path}
    waist = level_for(named, "waist")
    try:
        return 0.0 if waist is None else level_width(piece, outline.size, waist).across
    except InputError:
        return 0.0


def _sleeve_levels(known: Sequence[Tuple[Piece, Outline]], sleeves: Sequence[str]) -> Tuple[str, ...]:
    """The levels of the first sleeve that has all three; none otherwise."""
    for piece, outline in known:
        if piece.name in sleeves:
            marks = [m.name for m in piece.marks_for(outline.size) if m.kind == LEVEL and m.name]
            found = [next((name for name in names if name in marks), "") for names in _SLEEVE_LEVELS]
            if all(found):
                return tuple(found)
    return ()
