"""What there is to tell when a pattern was brought to a body: one sentence, the sizes, the ease, the seams.

A plan's steps go over ground that later steps put right, so seams and shapes are judged once,
from the pattern as it was to the pieces as they are; of the single steps only what stays true
is told.
"""

from typing import Dict, Iterator, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.cautions import KEEP_SAFE, cautions
from sewkit.body.ease import GREEN, RED, ease_light
from sewkit.body.length_book import LEAST, Band
from sewkit.body.measures import GIRTH, known_measure
from sewkit.body.need import FRONT_LENGTH, HOLLOW_BACK, STOMACH, has, read_all, read_need
from sewkit.body.planned_step import PlannedStep
from sewkit.body.plausible import doubts, listed
from sewkit.body.size_chart import SizeChart, check_chart
from sewkit.body.sizing import BUSTS, SHOP_SIZES, SizeAt, Sizing, value_at
from sewkit.body.swing_steps import nearest_size
from sewkit.checks.ease_words import fitted_report
from sewkit.checks.edge_shapes import shape_findings
from sewkit.checks.planned_fit import PlannedFit
from sewkit.checks.seams import guard
from sewkit.errors import InputError
from sewkit.pattern.level_heights import outline_of
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report, Table, gathered

# Lengths of a body, in the order in which they are told.
_LENGTHS = ("height", "back waist length", "front waist length", "hip depth", "arm length")

# Findings of single steps that the seams and shapes of the end stand for, and what the plan
# tells itself in its own words.
_OF_THE_END = (
    *("seam", "seam-missing", "kink", "angle", "fold-bent", "not-followed", "partly-followed"),
    *("many-sizes", "drawn-once", "fold-angle", "level-carried", "level-edge", "square"),
)

# What a wedge asks where it may be for a hollow back.
_OF_A_HOLLOW_BACK = "much"

# What of the whole sizing wants a look before cutting.
_TO_LOOK_AT = ("taper", "not done here")

# What a need gives beyond the size is told from here on (mm).
_GIVEN = 1.0

# Two lengths of a chart that differ by less are one (mm).
_SAME = 1e-6

# A row of a table is to be no wider than a page of plain text (letters).
_WIDE = 110

_LIGHTS = {GREEN: Level.PASS, RED: Level.FAIL}


class Fit(NamedTuple):
    """One body's fit, done.

    Args:
        before, after: the pattern.
        body, chart: what it rests on.
        planned: its sizes and its plan.
        steps: of the plan, those that were done.
        reports: of these steps.
        left: findings on steps that were left out.
    """

    before: Pattern
    after: Pattern
    body: Body
    chart: SizeChart
    planned: PlannedFit
    steps: Tuple[PlannedStep, ...] = ()
    reports: Tuple[Report, ...] = ()
    left: Tuple[Finding, ...] = ()


def fit_report(fit: Fit, private: bool = True) -> Report:
    """All there is to tell of a fit; ``private``: what to say because it is a person's, too."""
    line = line_of(fit)
    findings = [*_of_the_body(fit), *_of_the_sizes(fit), *_of_the_plan(fit)]
    steps = gathered(fit.reports)
    hollow = has(read_all(fit.body.fits)[0], HOLLOW_BACK)
    findings += [
        one
        for one in steps.findings
        if one.code not in _OF_THE_END and (hollow or one.code != _OF_A_HOLLOW_BACK)
    ]
    head = Report(
        summary(fit), tuple(dict.fromkeys(findings)), (_sizes(fit), *_done(fit)), steps.changes, steps.lines
    )
    measured = _measured(fit, line)
    seams = guard(fit.before, fit.after, [(lead_size(fit), line)])
    tail = Report("", (*_shapes(fit, line), *_private(fit.body if private else Body("", {})), _SHOP))
    worst = head.then(measured).worst
    return head.then(measured).then(Report("", _of_the_chart(head.tables[0], worst))).then(seams).then(tail)


def _of_the_chart(sizes: Table, worst: Level) -> Tuple[Finding, ...]:
    """Levels whose ease by the chart is worse than anything that is told.

    The pieces say otherwise where they were measured with something in it that laps over.
    """
    text = "{0}: by the size chart {3} cm of ease are left there, whatever the pieces measure."
    return tuple(
        Finding("size", level, text.format(row[0], *row[3:]), row[0])
        for row, level in zip(sizes.rows, sizes.levels)
        if level > max(worst, Level.INFO) and row[-1]
    )


_SHOP = Finding("shop-size", Level.INFO, SHOP_SIZES)


def lead_size(fit: Fit) -> str:
    """The whole size that leads."""
    return nearest_size(fit.planned.sizing.lead, fit.chart)


def line_of(fit: Fit) -> str:
    """The size that the pieces have now: the body's own line, or the size that is left of it."""
    wanted = fit.planned.plan.line
    sizes = [size for size in fit.after.sizes if size]
    return wanted if wanted in sizes or not sizes else sizes[0]


def made_words(fit: Fit) -> str:
    """The sizes and lengths in a few words: "chest 3, waist 5, 20 mm longer"."""
    parts = ["{} {}".format(one.measure, one.size) for one in told_sizes(fit.planned.sizing)]
    parts = ["size {}".format(line_of(fit))] if _stiff(fit) else parts
    more = sum(band.amount for band in _bands(fit))
    if abs(more) >= LEAST:
        parts.append("{:g} mm {}".format(round(abs(more), 1), "longer" if more > 0 else "shorter"))
    return ", ".join(parts)


def told_sizes(sizing: Sizing) -> Tuple[SizeAt, ...]:
    """The levels that have a size of their own: of several measures of the bust the one that leads."""
    return tuple(one for one in sizing.at if one.measure == sizing.main or one.measure not in BUSTS)


def _stiff(fit: Fit) -> bool:
    """Whether a side that was to swing does not."""
    planned = fit.planned.plan
    return bool(planned.unreached) or sum(step.do == "blend" for step in planned.steps) > len(_swings(fit))


def _swings(fit: Fit) -> List[PlannedStep]:
    return [step for step in fit.steps if step.do == "blend"]


def _bands(fit: Fit) -> List[Band]:
    made = any(step.do == "lengthen" and not step.pieces for step in fit.steps)
    bands = fit.planned.plan.book.bands if made else ()
    return [band for band in bands if abs(band.amount) >= LEAST]


def summary(fit: Fit) -> str:
    """What was done, in one sentence, as one would say it at the table."""
    who = fit.body.who or "This body"
    sizes: Dict[str, List[str]] = {}
    for one in told_sizes(fit.planned.sizing):
        sizes.setdefault(one.size, []).append(one.measure)
    text = "{} is size {}".format(
        who, ", ".join("{} at the {}".format(s, listed(names)) for s, names in sizes.items())
    )
    done = [_swing(fit)] if _swing(fit) else []
    done += ["the side does not swing, so it is size {} there".format(line_of(fit))] if _stiff(fit) else []
    done += [
        "{} is {:g} mm {}".format(
            band.name, round(abs(band.amount), 1), "longer" if band.amount > 0 else "shorter"
        )
        for band in _bands(fit)
    ]
    served = [words for words in fit.body.fits if _is_served(words, fit.steps)]
    done += ["done besides: {}".format(", ".join(served))] if served else []
    return "{}{}.".format(text, ": " + "; ".join(done) if done else ", and nothing else is changed")


def _part_of(share: object) -> str:
    """How far a swing goes, where it does not go all the way."""
    return "{:.0f}% of the way to ".format(float(str(share))) if share else ""


def _is_served(words: str, steps: Sequence[PlannedStep]) -> bool:
    """Whether a need has a step of its own; a longer front is for the stomach, too."""
    try:
        name = read_need(words).name
    except InputError:
        return False
    names = {name, FRONT_LENGTH} if name == STOMACH else {name}
    return any(step.need in names for step in steps if step.need)


def _swing(fit: Fit) -> str:
    """From where the side swings to which sizes; empty where it does not."""
    swings = [step.values for step in _swings(fit)]
    if not swings:
        return ""
    start = fit.planned.sizing.lead
    to = " and then ".join(
        "{}size {}".format(_part_of(v.get("share")), size) for v in swings for size in str(v["then"]).split()
    )
    return "from the {} down the {} swings from size {} to {}".format(
        start.measure, swings[0]["edge"], swings[0]["first"], to
    )


# -- tables -----------------------------------------------------------------------------


def _sizes(fit: Fit) -> Table:
    """The numbers that the choice of size rests on: body, chart, finished, ease."""
    rows: List[Tuple[str, ...]] = []
    levels: List[Level] = []
    for one in fit.planned.sizing.at:
        finished = _finished(fit, one)
        ease = None if finished is None else finished - one.body
        light = one.light
        if ease is not None and finished != one.finished:
            light = ease_light(one.measure, ease, one.intended_ease)
        rows.append((one.measure, one.size, *map(_cm, (one.body, one.chart, finished, ease))))
        level = _LIGHTS.get(light, Level.WARN)
        levels.append(max(level, Level.WARN) if one.measure in fit.planned.plan.unreached else level)
    lead = fit.planned.sizing.lead
    for name in _LENGTHS:
        own, values = fit.body.of(name), fit.chart.values(name)
        drafted = fit.chart.drafted_height or None if name == "height" else None
        drafted = value_at(values, lead.number) if values is not None else drafted
        if own is not None and drafted is not None:
            rows.append((name, lead.size, _cm(own), _cm(drafted), "", ""))
            levels.append(Level.PASS)
    columns = ("level", "size", "body cm", "drafted for cm", "finished cm", "ease cm")
    return Table("Which size where", columns, tuple(rows), tuple(levels))


def _finished(fit: Fit, one: SizeAt) -> Optional[float]:
    """The garment (mm) as the steps that were done make it: a swing or a need may have been left out."""
    values = fit.chart.finished_values(one.measure)
    if values is not None and _stiff(fit) and not _swings(fit) and one.measure != fit.planned.sizing.main:
        return value_at(values, fit.chart.sizes.index(lead_size(fit)) + 1.0)
    planned = fit.planned.plan.finished.get(one.measure, one.finished)
    served = one.measure in BUSTS or any(step.need == STOMACH for step in fit.steps)
    if served or planned is None or one.finished is None:
        return planned
    return min(planned, one.finished)


def _cm(length: Optional[float]) -> str:
    return "" if length is None else "{:.1f}".format(length / 10.0 + 0.0)


def _done(fit: Fit) -> Tuple[Table, ...]:
    rows = []
    for number, step in enumerate(fit.steps, 1):
        # Many bands of a length have a line each.
        first, *more = step.why.split("; ") if len(step.why) > _WIDE else [step.why]
        rows += [(str(number), first), *(("", part) for part in more)]
    return (Table("What was done, in this order", ("", "step"), tuple(rows)),) if rows else ()


def _measured(fit: Fit, line: str) -> Report:
    """Finished measures and ease, taken from the pieces; a pattern without levels has none."""
    try:
        return fitted_report(fit.after, line, fit.body, fit.chart)._replace(summary="")
    except InputError as error:
        return Report("", (Finding("not-measured", Level.WARN, str(error)),))


def _shapes(fit: Fit, line: str) -> Iterator[Finding]:
    """New kinks and bent folds, from the size that leads to the line that was made."""
    size = lead_size(fit)
    for piece in fit.after.pieces:
        old = next((one for one in fit.before.pieces if one.name == piece.name), None)
        was = None if old is None else outline_of(old, size)
        now = outline_of(piece, line)
        if was is not None and now is not None and was.names == now.names:
            yield from shape_findings(was, now, piece, piece.name)


# -- sentences --------------------------------------------------------------------------


def _of_the_body(fit: Fit) -> Iterator[Finding]:
    for note in fit.body.notes:
        yield Finding("body", Level.INFO, _whole(note))
    for doubt in doubts(fit.body):
        yield Finding("doubt", Level.WARN, doubt.text)
    for text in fit.chart.told:
        yield Finding("chart", Level.INFO, _whole(text))
    for text in check_chart(_without_flat_lengths(fit.chart)):
        yield Finding("chart-odd", Level.WARN, text)


def _without_flat_lengths(chart: SizeChart) -> SizeChart:
    """No size goes by a length, so that several sizes share one is nothing odd."""
    kept = {}
    for name, values in chart.measures.items():
        known = known_measure(name)
        flat = any(abs(high - low) < _SAME for low, high in zip(values, values[1:]))
        if not (flat and known is not None and known.group != GIRTH):
            kept[name] = values
    return chart._replace(measures=kept)


def _of_the_sizes(fit: Fit) -> Iterator[Finding]:
    """What the sizing tells, with the light of the level that it is about."""
    known = {one.words: one for one in fit.planned.sizing.at if one.words}
    for text in fit.planned.sizing.told:
        if text in known:
            one = known[text]
            more = (_finished(fit, one) or 0.0) - (one.finished or 0.0)
            level = Level.INFO if one.light == GREEN else _LIGHTS.get(one.light, Level.WARN)
            if one.finished is not None and more > _GIVEN and more > one.short - _GIVEN:
                level = Level.INFO
                text += " The {:.1f} cm that are missing there are given by what else is done.".format(
                    more / 10
                )
            yield Finding("size", level, text, one.measure)
        else:
            open_ = any(words in text for words in _TO_LOOK_AT)
            yield Finding("size", Level.WARN if open_ else Level.INFO, text)


def _of_the_plan(fit: Fit) -> Iterator[Finding]:
    for text in fit.planned.plan.told:
        yield Finding("plan", Level.INFO, _whole(text))
    for text in fit.planned.plan.skipped:
        yield Finding("not-planned", Level.WARN, _whole(text))
    yield from fit.left


def _private(body: Body) -> Iterator[Finding]:
    if not body.measures:
        return
    for text in cautions(body):
        yield Finding("child", Level.INFO, text)
    yield Finding("keep-safe", Level.INFO, KEEP_SAFE)


def _whole(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else text + "."
