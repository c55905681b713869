"""A change of length, as one would say it at the table."""

from typing import Dict, List, Sequence, Tuple

from sewkit.checks.shared_marks import shared_findings
from sewkit.pattern.length_plans import Plan, Plans, is_drawn
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level
from sewkit.units import in_both

# A line may be off square to the grain by this much (degrees) before it is worth a word:
# on a piece 30 cm wide it is 1 cm.
_SQUARE = 2.0

# A line drawn level or upright by hand and eye is so within this (degrees).
_TILTED = 0.5

# A change of a width that can be seen on paper (mm).
_SEEN = 0.1

# Lines of which two names stand in one sentence; of more only how many there are.
_LISTED = 6


def longer(mm: float) -> str:
    """How much longer or shorter, in words."""
    return "{} {}".format(in_both(mm), "longer" if mm >= 0 else "shorter")


def how_much(plan: Plan) -> str:
    """How much longer a piece became; from least to most, where its sizes differ."""
    totals = [sum(strip.amount for strip in strips) for strips in plan.strips.values()]
    least, most = min(totals), max(totals)
    if most - least < _SEEN:
        return longer(totals[0])
    if least < 0 < most:
        return "{:+.1f} to {:+.1f} mm longer (by size)".format(least, most)
    low, high = sorted((abs(least), abs(most)))
    return "{:.1f} to {:.1f} mm {} (by size)".format(low, high, "longer" if most > 0 else "shorter")


def summary(plans: Plans, done: Sequence[str]) -> str:
    """Which pieces became how much longer, and where."""
    if not done:
        return "Nothing became longer or shorter."
    totals: Dict[str, List[str]] = {}
    for name in done:
        totals.setdefault(how_much(plans.plans[name]), []).append(name)
    told = []
    for amount, names in totals.items():
        shown = ", ".join(names[:_LISTED]) + (" and more" if len(names) > _LISTED else "")
        told.append("{} {} {}".format(shown, "is" if len(names) == 1 else "are", amount))
    text = "; ".join(told)
    if len(plans.lines) == 1:
        text += " at {}.".format(_called(plans.lines[0].words))
    else:
        parts = ", ".join("{:+.1f} mm at {}".format(line.amount, _called(line.words)) for line in plans.lines)
        text += " in all: {}.".format(parts)
    return text + " Everything beyond has moved along the grain; edges that cross are redrawn."


def _called(words: str) -> str:
    return words if is_drawn(words) or words.startswith("its ") else "'{}'".format(words)


def plan_findings(pattern: Pattern, plans: Plans, done: Sequence[str]) -> List[Finding]:
    """Lines off square, pieces left as they are, marks that could not move."""
    found = []
    if plans.aside > _SQUARE:
        text = (
            "The drawn line is {:.1f} degrees off square to the grain; the cut is square, through its middle."
        )
        found.append(Finding("off-square", Level.WARN, text.format(plans.aside), plans.lead))
    if plans.tilted > _TILTED:
        text = (
            "There is no grain line here: the piece moved square to the drawn line, "
            "which lies {:.1f} degrees askew."
        )
        found.append(Finding("tilted", Level.INFO, text.format(plans.tilted), plans.lead))
    if plans.beyond and done:
        text = (
            "Before {} there is no room, so the fold lies beyond: the same words would not let it in again."
        )
        words = " and ".join(_called(words) for words in plans.beyond)
        found.append(Finding("fold-beyond", Level.INFO, text.format(words), plans.lead))
    sewn = {ref.piece for name in done for seam in pattern.seams_of(name) for ref in seam.refs}
    for serious in (True, False):
        left = [name for name in plans.left if (name in sewn) == serious]
        if left:
            text = "Nothing tells where the line would be on {}: left as {}.".format(
                ", ".join(left), "it is" if len(left) == 1 else "they are"
            )
            if serious:
                text += " What is sewn together has to change together: give it a level of the same name."
            found.append(Finding("not-followed", Level.WARN if serious else Level.INFO, text, left[0]))
    for name in done:
        missing = plans.plans[name].missing
        if missing:
            text = "On '{}' nothing tells where {} would be: nothing was let in there."
            words = " and ".join(_called(words) for words in missing)
            found.append(Finding("partly-followed", Level.INFO, text.format(name, words), name))
    return found + shared_findings(pattern, {n: len(plans.plans[n].strips) for n in done}, levels=False)


def unused_findings(plans: Plans, amount: float, usual: float, at: Sequence[str]) -> List[Finding]:
    """That a total was given and every line had an amount of its own."""
    total = sum(line.amount for line in plans.lines)
    if at or len(plans.lines) < 1 or amount in (usual, total) or abs(amount - total) < _SEEN:
        return []
    text = "The {:g} mm were not used: each line has an amount of its own, {:.1f} mm in all."
    return [Finding("not-used", Level.INFO, text.format(amount, total), plans.lead)]


def loose_findings(pattern: Pattern, changed: Sequence[Tuple[str, str]]) -> List[Finding]:
    """Edges that changed their length and are paired with nothing, in a pattern that has pairs.

    ``changed``: piece and edge of each.  Hems and folds are sewn to nothing.
    """
    loose = []
    for name, edge in changed:
        piece = pattern.piece(name)
        if pattern.seams and edge not in piece.hems + piece.folds:
            if not any(seam.touches(name, edge) for seam in pattern.seams):
                loose.append("{}/{}".format(name, edge))
    if not loose:
        return []
    text = "Not paired with anything, so look what is sewn to {}: {}.".format(
        "it" if len(loose) == 1 else "them", ", ".join(dict.fromkeys(loose))
    )
    if any("armhole" in name for name in loose):
        text += " A sleeve has to follow its armhole."
    return [Finding("not-paired", Level.INFO, text, loose[0].partition("/")[0])]
