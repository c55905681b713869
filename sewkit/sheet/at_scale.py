"""The pages at true scale, as far as that can be known."""

from typing import NamedTuple, Sequence, Tuple

from sewkit.report import Finding, Level, Report
from sewkit.sheet.drawn import Printed
from sewkit.sheet.evened import Even, one_scale
from sewkit.sheet.scale import Verdict, parse_known, scaled, verdict, witnesses
from sewkit.sheet.tile_findings import listed
from sewkit.sheet.witness import Witness
from sewkit.units import write_number


class AtScale(NamedTuple):
    """The pages, what there is to tell of their scale, and the witnesses as they are now."""

    printed: Printed
    report: Report
    proofs: Tuple[Witness, ...]


def at_scale(printed: Printed, known: str = "", correct: bool = True) -> AtScale:
    """Weigh the witnesses and put the pages right where two of them agree.

    Args:
        known: a length that the person knows, as ``100mm=97.0``; it goes before what the
            file says of itself, and where the two contradict each other that is told as a
            reason to stop.
        correct: whether anything may be changed without a known length.
    """
    even = one_scale(printed, correct and not known)
    printed = even.printed
    found = witnesses(printed)
    told = verdict(found)
    # What the witnesses of some pages say is no reason to change pages of another scale.
    factors = (told.factor_x, told.factor_y) if correct and not even.mixed else (1.0, 1.0)
    if known:
        factors = (parse_known(known),) * 2
    # A place on a page is none on the sheet, where the picture would show it.
    findings = [one._replace(point=None) for one in told.findings if one.text != told.sentence]
    said = Finding("scale", told.level, _on_some(told, even, found), "scale")
    table = told.table
    if factors != (1.0, 1.0):
        printed = scaled(printed, *factors)
        found = witnesses(printed)
        # What was found is mended now, and told only so that it can be understood.
        findings = [one._replace(level=min(one.level, Level.INFO)) for one in (said, *findings)]
        said = Finding("scale", Level.INFO, _corrected_words(factors, known, told), "scale")
        after = verdict(found)
        table = after.table
        if known and after.ratio is not None and after.level > Level.PASS:
            findings = [_contradicted(known, after)]
    return AtScale(printed, Report("", (*even.findings, said, *findings), (table,)), found)


def _contradicted(known: str, after: Verdict) -> Finding:
    """What the person said and what the sheet says do not go together: nobody may cut on that."""
    text = "The length you gave, {}, and the sheet's own marks contradict each other. After it: {} {}"
    cure = "Measure again, with what it should be first and what it is second."
    return Finding("scale-contradicted", Level.FAIL, text.format(known, after.sentence, cure), "scale")


def _on_some(told: Verdict, even: Even, found: Sequence[Witness]) -> str:
    """The verdict in words; where pages differ, of the pages whose scale it is."""
    if not even.mixed or not found:
        return told.sentence
    return "For {} alone: {}".format(listed(witness.page for witness in found), told.sentence)


def _corrected_words(factors: Sequence[float], known: str, told: Verdict) -> str:
    amounts = " across and ".join(write_number(factor, 7) for factor in dict.fromkeys(factors))
    down = " down" if factors[0] != factors[1] else ""
    reason = (
        "by the length you gave, {}".format(known)
        if known
        else "as two witnesses agree on {}".format(listed(page for page, _ in told.pages))
    )
    return "Everything was made {}{} times as large, {}.".format(amounts, down, reason)
