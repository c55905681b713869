"""The verdict on a sheet's scale: what all witnesses say together."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.report import Finding, Level, Table
from sewkit.sheet.scale_words import called, length_words, measures, on_hip, percent, signed, usual_cause
from sewkit.sheet.witness import BY_TEXT, PAPER, SQUARE, Witness
from sewkit.units import write_number

# How far a sheet may be off (shares): green up to the first, amber up to the second.
# 0.25 % is 2.6 mm on a hip of 1040 mm.
GREEN, AMBER = 0.0005, 0.0025
# Two witnesses agree within this (share).
AGREE = 0.001
# A square that was sized by the outside of its pen is off by one pen width, this exactly (mm).
_BY_BOX = 0.02
# A printed line is read with a ruler to this (mm), so a short one shows no small error.
READING = 0.25
# Witnesses shorter than this are small (mm); corners farther from square are told (degrees).
_SMALL, _SKEW = 90.0, 0.2


class Verdict(NamedTuple):
    """What to think of the scale.

    Args:
        factor_x, factor_y: what to multiply by; 1 unless two witnesses agree on another.
        level: PASS, WARN or FAIL.
        sentence: the verdict in plain words.
        findings: all there is to tell beside it.
        table: every witness, what it should measure and what it does.
        pages: drawn size divided by true size, for every page that has a witness.
        ratio: drawn size divided by true size, across and down; None where nothing tells.
    """

    factor_x: float
    factor_y: float
    level: Level
    sentence: str
    findings: Tuple[Finding, ...]
    table: Table
    pages: Tuple[Tuple[int, float], ...]
    ratio: Optional[Tuple[float, float]] = None


class _Reading(NamedTuple):
    """What one witness may say of one axis: drawn divided by true, by each of its options."""

    witness: Witness
    axis: int
    ratios: Tuple[float, ...]
    box: bool  # the last ratio is that of the square's outside, which is exactly right

    def fits(self, ratio: float) -> bool:
        """Whether it agrees; a ruler whose ticks stray cannot be held to less than that."""
        within = AGREE + self.witness.stray / self.witness.length
        return any(abs(one / ratio - 1) <= within for one in self.ratios)


class _Vote(NamedTuple):
    ratio: float
    agreeing: Tuple[_Reading, ...]
    against: Tuple[_Reading, ...]

    @property
    def proofs(self) -> int:
        """How many witnesses of different kind or size agree, and can be relied on."""
        return len({_proof(r.witness) for r in self.agreeing if _relied_on(r.witness)})


def verdict(witnesses: Sequence[Witness], hip: float = 1000.0) -> Verdict:
    """Weigh the witnesses; ``hip``: the length (mm) on which the error is told.

    A factor is proposed only where two witnesses of different kind or size, whose sizes
    stand in words beside them or in the size of the paper, agree within ``AGREE``.
    Witnesses that are only of a customary size never outvote words.
    """
    readings = [r for witness in witnesses for r in _readings(witness)]
    relied = [r for r in readings if r.witness.told_by == BY_TEXT]
    pages = _by_page(relied or readings)
    if not readings:
        return _none(hip)
    if not relied:
        return _by_custom(witnesses, readings, pages, hip)
    counted = relied + [r for r in readings if r.witness.kind == PAPER]
    whole = _vote(counted)
    if not whole.against:
        return _agreed(witnesses, (whole, whole), pages, hip)
    axes = tuple(_vote([r for r in counted if r.axis == axis]) for axis in (0, 1))
    if all(axis.agreeing and not axis.against for axis in axes):
        return _agreed(witnesses, (axes[0], axes[1]), pages, hip)
    return _disagreeing(witnesses, counted, whole, pages, hip)


def _readings(witness: Witness) -> List[_Reading]:
    found = []
    outside = _sized_by_outside(witness)
    for axis in (0, 1):
        if witness.nominal[axis] > 0:
            options = witness.options or (witness.nominal,)
            ratios = [witness.measured[axis] / option[axis] for option in options]
            found.append(_Reading(witness, axis, tuple(ratios + [1.0] * outside), outside))
    return found


def _sized_by_outside(witness: Witness) -> bool:
    """Whether a square's outside, pen included, is exactly as large as it should be."""
    if witness.kind != SQUARE or witness.pen <= 2 * _BY_BOX:
        return False
    return any(
        all(abs(m + witness.pen - n) <= _BY_BOX for m, n in zip(witness.measured, option))
        for option in witness.options or (witness.nominal,)
    )


def _vote(readings: Sequence[_Reading]) -> _Vote:
    """The ratio on which most different witnesses agree; of equals the one nearest to 1."""
    best: Tuple[Tuple[int, int, float], float] = ((-1, 0, 0.0), 1.0)
    for ratio in sorted({ratio for reading in readings for ratio in reading.ratios}):
        fitting = [r for r in readings if r.fits(ratio)]
        kinds = len({_proof(r.witness) for r in fitting if _relied_on(r.witness)})
        rank = (kinds, len(fitting), -abs(ratio - 1.0))
        best = max(best, (rank, ratio))
    agreeing = tuple(r for r in readings if r.fits(best[1]))
    against = tuple(r for r in readings if not r.fits(best[1]) and r.witness.kind != PAPER)
    return _Vote(_mean(agreeing, best[1]), agreeing, against)


def _mean(readings: Sequence[_Reading], near: float) -> float:
    """The mean of what agreeing witnesses say; longer ones count for more."""
    total = weights = 0.0
    for reading in readings:
        ratio = min(reading.ratios, key=lambda one: abs(one / near - 1))
        weight = reading.witness.nominal[reading.axis]
        total, weights = total + weight * ratio, weights + weight
    return total / weights if weights else near


def _proof(witness: Witness) -> Tuple[str, float, float]:
    """Two squares of one size are one proof: who mis-sized one may have copied it."""
    return witness.kind, round(min(witness.nominal), 2), round(max(witness.nominal), 2)


def _relied_on(witness: Witness) -> bool:
    return witness.told_by == BY_TEXT or witness.kind == PAPER


def _by_page(readings: Sequence[_Reading]) -> Tuple[Tuple[int, float], ...]:
    pages: Dict[int, List[_Reading]] = {}
    for reading in readings:
        pages.setdefault(reading.witness.page, []).append(reading)
    return tuple((page, _vote(some).ratio) for page, some in sorted(pages.items()))


def light(ratio: float) -> Level:
    """Green, amber or red for drawn size divided by true size."""
    off = abs(ratio - 1.0)
    return Level.PASS if off <= GREEN else Level.WARN if off <= AMBER else Level.FAIL


def _none(hip: float) -> Verdict:
    text = (
        "Nothing on the sheet proves its scale: no test square, ruler or scale bar was found. "
        "Measure a line whose true length you know, and say both lengths, such as 100mm=97.0."
    )
    finding = Finding("scale-none", Level.WARN, text)
    return Verdict(1.0, 1.0, Level.WARN, text, (finding,), _table((), hip), ())


def _by_custom(
    witnesses: Sequence[Witness],
    readings: Sequence[_Reading],
    pages: Tuple[Tuple[int, float], ...],
    hip: float,
) -> Verdict:
    """Only shapes whose size nothing tells: a doubt, no proof."""
    vote = _vote(readings)
    first = max((r.witness for r in vote.agreeing or readings), key=lambda w: w.length)
    text = "Nothing on the sheet says what it should measure. The {} on page {} measures {}, ".format(
        first.kind, first.page, measures(first)
    )
    text += "just as one of {} would.".format(length_words(first.length))
    text += " If that is so, {}. Compare it with a length that you know.".format(on_hip(vote.ratio, hip))
    finding = Finding("scale-guess", Level.WARN, text, "page {}".format(first.page), first.point)
    ratio = (vote.ratio, vote.ratio)
    return Verdict(1.0, 1.0, Level.WARN, text, (finding,), _table(witnesses, hip), pages, ratio)


def _agreed(
    witnesses: Sequence[Witness],
    votes: Tuple[_Vote, _Vote],
    pages: Tuple[Tuple[int, float], ...],
    hip: float,
) -> Verdict:
    ratio = (votes[0].ratio, votes[1].ratio)
    even = votes[0] is votes[1]
    proofs = min(votes[0].proofs, votes[1].proofs)
    worst = max(ratio, key=lambda one: abs(one - 1))
    stretched = abs(ratio[0] / ratio[1] - 1)
    level = max(light(worst), light(1 + stretched) if stretched > AMBER else Level.PASS)
    findings: List[Finding] = []
    if stretched > AMBER:
        findings.append(_stretch(ratio, hip))
    factor = (1.0, 1.0)
    if level == Level.PASS:
        sentence = _true(votes, hip)
    else:
        sentence = _wrong(votes, ratio, even, hip)
        if proofs >= 2:
            factor = (1 / ratio[0], 1 / ratio[1])
            sentence += " Two witnesses agree, so everything can be made {} times as large.".format(
                write_number(factor[0], 7)
                if even
                else "{} across and {} down".format(write_number(factor[0], 7), write_number(factor[1], 7))
            )
        else:
            findings.append(_alone(votes[0].agreeing[0].witness, ratio))
    findings = [Finding("scale", level, sentence)] + findings
    findings += _remarks(witnesses, votes)
    return Verdict(*factor, level, sentence, tuple(findings), _table(witnesses, hip), pages, ratio)


def _true(votes: Tuple[_Vote, _Vote], hip: float) -> str:
    named = _longest_first(votes)
    shown = " and ".join("the {} measures {}".format(called(w), _shown(w, votes)) for w in named[:2])
    worst = max((vote.ratio for vote in votes), key=lambda one: abs(one - 1))
    return "The sheet is true to size: {}; {}.".format(shown, on_hip(worst, hip))


def _shown(witness: Witness, votes: Tuple[_Vote, _Vote]) -> str:
    if _outside_counts(witness, votes):
        outside = tuple(one + witness.pen for one in witness.measured)
        return measures(witness._replace(measured=(outside[0], outside[1]))) + " over its pen"
    return measures(witness)


def _outside_counts(witness: Witness, votes: Tuple[_Vote, _Vote]) -> bool:
    """Whether a square is right by its outside and by nothing else."""
    for reading in votes[0].agreeing + votes[1].agreeing:
        if reading.witness == witness and reading.box:
            ratio = votes[reading.axis].ratio
            return abs(ratio - 1) <= GREEN and abs(reading.ratios[0] - 1) > GREEN
    return False


def _longest_first(votes: Tuple[_Vote, _Vote]) -> List[Witness]:
    """One witness for each proof, the longest first."""
    found: Dict[Tuple[str, float, float], Witness] = {}
    for reading in votes[0].agreeing + votes[1].agreeing:
        if _relied_on(reading.witness):
            found.setdefault(_proof(reading.witness), reading.witness)
    return sorted(found.values(), key=lambda w: -w.length)


def _wrong(votes: Tuple[_Vote, _Vote], ratio: Tuple[float, float], even: bool, hip: float) -> str:
    named = _longest_first(votes)
    shown = " and ".join("the {} measures {}".format(called(w), measures(w)) for w in named[:2])
    worst = max(ratio, key=lambda one: abs(one - 1))
    text = "The sheet is not true to size: {}, {}".format(
        shown,
        percent(ratio[0]) if even else "{} across, {} down".format(percent(ratio[0]), percent(ratio[1])),
    )
    text += "; {}.".format(on_hip(worst, hip))
    cause = usual_cause(worst) if even else ""
    return text + (" Usual cause: {}.".format(cause) if cause else "")


def _stretch(ratio: Tuple[float, float], hip: float) -> Finding:
    text = "Width and height are not to the same scale: {} across, {} down. ".format(
        percent(ratio[0]), percent(ratio[1])
    )
    return Finding("scale-stretch", Level.FAIL, text + "Each needs a factor of its own.")


def _alone(witness: Witness, ratio: Tuple[float, float]) -> Finding:
    text = "Only the {} says so, and squares were drawn wrong before; nothing is changed. ".format(
        called(witness)
    )
    measured = max(witness.measured)
    text += "Measure another length that you know, or confirm this one: {}mm={:.3f}.".format(
        write_number(witness.length, 6), measured
    )
    return Finding("scale-alone", Level.WARN, text, "page {}".format(witness.page), witness.point)


def _disagreeing(
    witnesses: Sequence[Witness],
    readings: Sequence[_Reading],
    whole: _Vote,
    pages: Tuple[Tuple[int, float], ...],
    hip: float,
) -> Verdict:
    """Witnesses that contradict each other: on different pages, or on one."""
    by_page: Dict[int, List[_Reading]] = {}
    for reading in readings:
        by_page.setdefault(reading.witness.page, []).append(reading)
    mixed = len(by_page) > 1 and not any(_vote(some).against for some in by_page.values())
    wrong = whole.against[0].witness
    right = next((r.witness for r in whole.agreeing if _relied_on(r.witness)), wrong)
    if mixed:
        others = sorted({r.witness.page for r in whole.against})
        text = "The pages are not to one scale: page {} {}; on page {} the {} measures {}. ".format(
            ", ".join(map(str, others)),
            "differs" if len(others) == 1 else "differ",
            others[0],
            called(wrong, False),
            measures(wrong),
        )
        code, cure = "scale-pages", "Get those pages again at the scale of the others; nothing is changed."
    else:
        text = "Two witnesses contradict each other: the {} measures {}, and the {} measures {}. ".format(
            called(right), measures(right), called(wrong), measures(wrong)
        )
        code, cure = "scale-conflict", "Say a length that you know; nothing is changed."
    sure = whole.proofs >= 2 and light(whole.ratio) == Level.PASS and not mixed
    if sure:
        text += "Most of them say that the sheet is true to size, so one was drawn wrong. "
        cure = "Check a length that you know; nothing is changed."
    level = Level.WARN if sure else Level.FAIL
    where = "page {}".format(wrong.page)
    findings = [Finding(code, level, text + cure, where, wrong.point)] + _remarks(witnesses, (whole, whole))
    ratio = (whole.ratio, whole.ratio)
    table = _table(witnesses, hip)
    return Verdict(1.0, 1.0, level, text + cure, tuple(findings), table, pages, ratio)


def _remarks(witnesses: Sequence[Witness], votes: Tuple[_Vote, _Vote]) -> List[Finding]:
    """What else there is to say: squares sized by their outside, corners, small witnesses."""
    found = []
    for witness in witnesses:
        where = "page {}".format(witness.page)
        if _outside_counts(witness, votes):
            text = "The {} measures {} between the middles of its lines, and with its {} mm pen exactly "
            text += "what it should: it was sized by its outside, and is called true."
            text = text.format(called(witness), measures(witness), write_number(witness.pen, 3))
            found.append(Finding("scale-outside", Level.INFO, text, where, witness.point))
        if witness.kind == SQUARE and abs(witness.skew) > _SKEW and witness.told_by == BY_TEXT:
            text = "The corners of the {} are {:.2f} degrees from square: the sheet leans.".format(
                called(witness), abs(witness.skew)
            )
            found.append(Finding("scale-skew", Level.WARN, text, where, witness.point))
    told = [w for w in witnesses if w.told_by == BY_TEXT]
    longest = max(told, key=lambda w: w.length) if told else None
    if longest is not None and longest.length < _SMALL:
        text = "The longest witness is the {}. On paper, read to {} mm, it shows no error below {:.2f} %: "
        text += "measure a longer line as well before cutting."
        text = text.format(called(longest), write_number(READING), 100 * READING / longest.length)
        found.append(Finding("scale-small", Level.INFO, text, "page {}".format(longest.page), longest.point))
    return found


def _table(witnesses: Sequence[Witness], hip: float) -> Table:
    columns = ("witness", "page", "told by", "should be mm", "measures mm", "off", "on {} mm hip")
    columns = columns[:-1] + (columns[-1].format(write_number(hip, 6)),)
    rows, levels = [], []
    for witness in witnesses:
        pairs = [(n, m) for n, m in zip(witness.nominal, witness.measured) if n > 0]
        if witness.kind in ("ruler", "scale bar"):
            pairs = pairs[:1]
        ratios = [measured / nominal for nominal, measured in pairs]
        worst = max(ratios, key=lambda one: abs(one - 1))
        told = '"{}"'.format(witness.words) if witness.words else witness.told_by
        rows.append(
            (
                called(witness, False),
                str(witness.page),
                told,
                " x ".join(write_number(nominal, 6) for nominal, _ in pairs),
                " x ".join("{:.2f}".format(measured) for _, measured in pairs),
                percent(worst),
                signed(hip * (worst - 1)),
            )
        )
        levels.append(light(worst))
    return Table("Witnesses of the scale", columns, tuple(rows), tuple(levels))
