"""Ease: the finished garment over the body, level by level; and whether openings let a body in.

Ease is finished measure less body measure.  The least is what wearing alone needs in woven cloth
(``body/ease.py``); what is asked is the style's.
"""

from typing import List, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.ease import AMBER, GREEN, ease_light, wearing_ease
from sewkit.body.measures import known_measure
from sewkit.body.size_chart import SizeChart
from sewkit.checks.counted import level_key
from sewkit.checks.finished import Finished, finished, lengths
from sewkit.checks.finished_words import finished_report
from sewkit.checks.lap_known import lap_findings
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report, Table

# Which girths an opening meets, by its name (common practice): what goes over the head, what
# is pulled over the hip, what a hand and a heel go through.
_MEETS = {
    "neck": ("head",),
    "waist": ("waist", "high hip", "hip"),
    "wrist": ("hand",),
    "cuff": ("hand",),
    "sleeve": ("hand",),
    "ankle": ("heel",),
    "leg": ("heel",),
}

_LIGHTS = {GREEN: Level.PASS, AMBER: Level.WARN}

# Less than this is rounding (mm).
_ROUNDING = 1e-6


class EaseRow(NamedTuple):
    """The ease of one level and size (mm): what the garment has over the body.

    ``asked`` and ``least`` are None where nobody said; ``unsure``: pieces are missing in the girth.
    """

    level: str
    size: str
    body: float
    finished: float
    asked: Optional[float]
    least: Optional[float]
    light: Level
    unsure: bool = False

    @property
    def got(self) -> float:
        """The ease there is (mm)."""
        return self.finished - self.body


def asked_ease(chart: SizeChart, size: str) -> Mapping[str, float]:
    """The ease (mm) that a chart promises a size, by what a level means.

    A size that is none of the chart's, such as a person's own, has what all sizes have alike.
    """
    found = {}
    for measure in chart.measures:
        body, garment = chart.values(measure), chart.finished_values(measure)
        if body is None or garment is None:
            continue
        amounts = dict(zip(chart.sizes, (g - b for g, b in zip(garment, body))))
        if size in amounts:
            found[level_key(measure)] = amounts[size]
        elif max(amounts.values()) - min(amounts.values()) <= 1.0:
            found[level_key(measure)] = sum(amounts.values()) / len(amounts)
    return found


def ease_rows(
    rows: Sequence[Finished], body: Body, asked: Mapping[str, float] = {}, stretch: float = 0.0
) -> Tuple[EaseRow, ...]:
    """The ease of every finished girth that the body has a measure for.

    Args:
        asked: by what the level means, as ``asked_ease`` gives it (mm).
        stretch: how much the cloth gives, as a part of 1.  Cloth that gives needs no wearing
            ease; it must reach round the body when it is stretched.
    """
    found = []
    for row in rows:
        name, measure = _measured(row, body)
        if measure is None:
            continue
        ease, intended = row.girth - measure, asked.get(row.key)
        if stretch > 0:
            least: Optional[float] = measure / (1.0 + stretch) - measure
            light = Level.PASS if ease + _ROUNDING >= measure / (1.0 + stretch) - measure else Level.FAIL
        else:
            wearing = wearing_ease(name)
            least = None if wearing is None else wearing.least
            light = _LIGHTS.get(ease_light(name, ease, intended), Level.FAIL)
        if row.missing:  # the girth is too small, so a red light would say nothing
            light = Level.WARN
        found.append(
            EaseRow(row.level, row.size, measure, row.girth, intended, least, light, bool(row.missing))
        )
    return tuple(found)


def _measured(row: Finished, body: Body) -> Tuple[str, Optional[float]]:
    """By which name the body was measured at a level, and how much (mm)."""
    known = known_measure(row.key)
    names = () if known is None else (known.name, known.twin)
    name = next((name for name in names if name in body.measures), row.key)
    return name, body.of(name)


def ease_report(rows: Sequence[EaseRow], told: bool = True) -> Report:
    """A table of body, ease asked, ease got and the least; and a sentence for each level, if ``told``."""
    if not rows:
        return Report()
    lines = tuple(
        (
            row.level,
            row.size,
            _cm(row.body),
            _cm(row.finished),
            "-" if row.asked is None else _cm(row.asked),
            _cm(row.got),
            "-" if row.least is None else _cm(row.least),
        )
        for row in rows
    )
    columns = ("level", "size", "body cm", "finished cm", "ease asked", "ease", "least")
    table = Table("Ease", columns, lines, tuple(row.light for row in rows))
    findings = tuple(Finding("ease", row.light, ease_sentence(row), row.level) for row in rows)
    return Report("", findings if told else (), (table,))


def fitted_report(
    pattern: Pattern, size: str, body: Body, chart: Optional[SizeChart] = None, stretch: float = 0.0
) -> Report:
    """All of one size: finished girths and lengths, then the ease over a body (``stretch``: part of 1)."""
    rows = finished(pattern, size)
    asked = {} if chart is None else asked_ease(chart, size)
    told = finished_report(rows, lengths(pattern, size)).then(
        Report("", tuple(lap_findings(pattern, [size])))
    )
    return told.then(ease_report(ease_rows(rows, body, asked, stretch)))


def ease_sentence(row: EaseRow) -> str:
    """What the ease of a level is, as one would say it at the fitting."""
    text = "{}: {} cm finished over {} cm of body leaves {} cm of ease".format(
        row.level, _cm(row.finished), _cm(row.body), _cm(row.got)
    )
    if row.asked is not None:
        text += ", {} cm are asked".format(_cm(row.asked))
    if row.unsure:
        text += "; pieces are missing in it"
    elif row.light > Level.PASS and row.least is not None:
        text += "; wearing needs {} cm".format(_cm(row.least))
    return text + "."


def opening_report(openings: Mapping[str, float], body: Body, stretch: float = 0.0) -> Report:
    """Whether every opening passes the largest girth it meets: opening (1 + stretch) >= girth.

    Args:
        openings: how wide each opens (mm), by the place it is at: waist, neck, wrist, ankle; or
            by the measure that goes through it.
        stretch: how much the cloth gives, as a part of 1.
    """
    findings: List[Finding] = []
    for name, opening in openings.items():
        met = _largest(name, body)
        if met is None:
            text = "Whether a body gets through the opening '{}' is not known: measure the {}.".format(
                name, " or the ".join(_meets(name))
            )
            findings.append(Finding("opening-unknown", Level.WARN, text, name))
            continue
        measure, girth = met
        needed = girth / (1.0 + stretch)
        passes = opening + _ROUNDING >= needed
        text = (
            "The opening '{}' of {} cm{} {} the {} of {} cm through: it must open to {} cm at least.".format(
                name,
                _cm(opening),
                ", stretched by {:g} %,".format(100.0 * stretch) if stretch else "",
                "lets" if passes else "does not let",
                measure,
                _cm(girth),
                _cm(needed),
            )
        )
        findings.append(Finding("opening", Level.PASS if passes else Level.FAIL, text, name))
    return Report("", tuple(findings))


def _meets(name: str) -> Tuple[str, ...]:
    return _MEETS.get(level_key(name), (level_key(name),))


def _largest(name: str, body: Body) -> Optional[Tuple[str, float]]:
    """The largest girth of the body that an opening meets; None where none of them was taken."""
    known = [(measure, body.of(measure)) for measure in _meets(name)]
    taken = [(girth, measure) for measure, girth in known if girth is not None]
    if level_key(name) == "waist" and not any(measure == "hip" for _, measure in taken):
        return None  # the waist alone says nothing: it is pulled over the hip
    return max(taken)[::-1] if taken else None  # type: ignore[return-value]


def _cm(length: float) -> str:
    text = "{:.1f}".format(length / 10.0)
    return text.lstrip("-") if float(text) == 0 else text
