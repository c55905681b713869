"""Measure: the finished garment at its levels, and the ease it has over a body."""

import re
from typing import Dict, List, Mapping, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.body_text import body_from_text
from sewkit.body.chart_text import chart_from_text
from sewkit.body.measures import known_measure
from sewkit.body.plausible import doubts
from sewkit.checks.counted import counting, level_key
from sewkit.checks.ease_words import asked_ease, ease_report, ease_rows, opening_report
from sewkit.checks.finished import Finished, Length, finished, lengths
from sewkit.checks.finished_words import finished_report
from sewkit.checks.lap_known import lap_findings
from sewkit.errors import InputError
from sewkit.operation import LengthsByName, Outcome, Percent, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report

_BETWEEN = re.compile(r"[\s,;]+")

# No garment has more pieces of one kind.
_MOST = 100.0


@operation(
    title="Measure the finished garment",
    menu="Pattern",
    select="Select the pieces that count, or lines of one size; nothing measures the whole pattern.",
    example='sewkit measure samples/waistcoat/master.svg --size 3 --body "chest 96, waist 82 cm"',
    changes=False,
)
def measure(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    size_measured: Text("Size", "empty measures every size; such as 3") = "",
    levels: Text("Levels", "empty takes all there are; such as chest waist") = "",
    body: Text("Body", "measures to tell the ease by; such as chest 96, waist 90 cm") = "",
    ease: LengthsByName(
        "Ease asked for", "of the finished garment; empty takes the pattern's chart", -1000, 2000
    ) = {},
    openings: LengthsByName(
        "Openings", "how wide each opens, to see whether the body gets through; such as waist=56cm", 0, 5000
    ) = {},
    stretch: Percent("Stretch", "how much the cloth gives", 0, 300) = 0.0,
    count: Text(
        "Pieces that count", "empty finds out; such as front back, or front=2 where cut says otherwise"
    ) = "",
) -> Outcome:
    """Measure the finished garment at its levels, and tell the ease it has over a body.

    Every piece is measured at its own level, square to the grain, between its seam lines; never
    between cut lines. Darts and pleats are taken off at their width there, gathers where an edge is
    measured, and what laps over the line centre-front. A piece counts as often as it is cut, on the
    fold twice. Facings, linings, pockets, bands and what else lies on another piece do not count; the
    report says which pieces did.

    A piece that has no such level is measured where its neighbour's level meets the seam. A neck,
    waist or hem without a level is measured along the edge of that name. At an arm or a leg the girth is
    that of one. Lengths are told for edges called centre-back, centre-front, front-edge and side.

    With a body the ease is told beside what the pattern's chart promises and the least that
    wearing needs in woven cloth. An opening must pass the largest girth it meets: waist the hip,
    neck the head, wrist the hand, ankle the heel; with the stretch of the cloth.
    """
    part = _picked(pattern, chosen)
    sizes = _sizes(pattern, chosen, size_measured)
    said = _said(part, count)
    if chosen.outlines and not said and not any(counting(part, size).names for size in sizes):
        # Only pieces that lie on others were picked, so it is them that somebody wants to know.
        said = {piece.name: 0.0 for piece in part.pieces}
    rows, along = _measured(part, sizes, _levels(levels), said)
    if not any(row.parts for row in rows) and not along:
        raise InputError(
            "Nothing here has a level, so it is not known where to measure.",
            "Draw a line across each piece and call it a level, or name the piece and its edges, such "
            "as waist, side and hem.",
            code="no-level",
        )
    report = finished_report(rows, along).then(Report("", tuple(lap_findings(part, sizes))))
    person = body_from_text(body) if body.strip() else Body("", {})
    if body.strip():
        report = report.then(_ease(pattern, rows, person, ease, stretch / 100.0, len(sizes) == 1))
    if openings:
        report = report.then(opening_report(openings, person, stretch / 100.0))
    return Outcome(pattern, report)


def _picked(pattern: Pattern, chosen: Chosen) -> Pattern:
    """The pattern with the pieces that were picked; ``InputError`` where one cannot be read."""
    return pattern._replace(pieces=chosen.pieces(pattern))


def _measured(
    pattern: Pattern, sizes: Sequence[str], levels: Sequence[str], said: Mapping[str, float]
) -> Tuple[List[Finished], List[Length]]:
    """Girths and lengths of several sizes."""
    rows: List[Finished] = []
    along: List[Length] = []
    for size in sizes:
        rows += finished(pattern, size, levels, said)
        along += lengths(pattern, size, said)
    return rows, along


def _said(pattern: Pattern, count: str) -> Dict[str, float]:
    """The pieces that count, with how often; empty where nobody said."""
    found: Dict[str, float] = {}
    for word in _BETWEEN.split(count.strip()) if count.strip() else ():
        name, _, times = word.partition("=")
        pattern.piece(name)  # says which pieces there are
        try:
            found[name] = float(times) if times else 0.0
        except ValueError:
            found[name] = -1.0
        if not 0.0 <= found[name] <= _MOST:
            raise InputError(
                "'{}' does not say how often '{}' counts.".format(word, name),
                "Write it as {}=2.".format(name),
                code="value",
            )
    return found


def _sizes(pattern: Pattern, chosen: Chosen, size: str) -> List[str]:
    if size and size not in pattern.sizes:
        raise InputError(
            "There is no size '{}' in this drawing.".format(size),
            "The sizes are: {}.".format(", ".join(s for s in pattern.sizes if s) or "none"),
            code="nest",
        )
    if size:
        return [size]
    # A piece drawn once, without a size, goes with every size there is.
    drawn = [s for s in pattern.sizes if s] or [""]
    picked = [outline.size for outline in chosen.outlines if outline.size]
    return [s for s in drawn if not picked or s in picked]


def _levels(words: str) -> List[str]:
    """The levels that are named; where blanks stand between them high hip stays one."""
    if re.search("[,;]", words):
        return [word.strip() for word in re.split("[,;]", words) if word.strip()]
    found: List[str] = []
    for word in words.split():
        if found and known_measure("{} {}".format(found[-1], word)) is not None:
            found[-1] += " " + word
        else:
            found.append(word)
    return found


def _ease(
    pattern: Pattern,
    rows: Sequence[Finished],
    person: Body,
    ease: Mapping[str, float],
    stretch: float,
    told: bool,
) -> Report:
    """The ease of every level the body has a measure for; what was odd in the measures first."""
    findings = [Finding("body", Level.INFO, _whole(note)) for note in person.notes]
    findings += [
        Finding("body", Level.FAIL if doubt.holds else Level.WARN, doubt.text) for doubt in doubts(person)
    ]
    chart = chart_from_text(pattern.chart) if pattern.chart else None
    found = []
    for row in rows:
        asked: Tuple[Tuple[str, float], ...] = tuple((level_key(name), mm) for name, mm in ease.items())
        promised = asked_ease(chart, row.size) if chart is not None else {}
        found += ease_rows([row], person, dict(promised, **dict(asked)), stretch)
    if not found:
        text = "No measure that was given is of a level here, so no ease is told."
        findings.append(Finding("ease", Level.WARN, text))
    return Report("", tuple(findings)).then(ease_report(found, told))


def _whole(note: str) -> str:
    return note if note.endswith((".", "!", "?")) else note + "."
