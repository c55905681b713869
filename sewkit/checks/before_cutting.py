"""What paper and light have to say about cloth: whether the check finds something first.

Who prints or projects is about to cut.  Nothing is held back, for a first print is often made to
look at; but it is told once how much there is to mend, and where to read it.
"""

from typing import Sequence, Tuple

from sewkit.checks.everything import everything, pieces_of
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level

_CURE = "Read what and where with sewkit check."


def before_cutting(pattern: Pattern, pieces: Sequence[str], sizes: Sequence[str]) -> Tuple[Finding, ...]:
    """One finding, as grave as the worst of the check; nothing where the check finds nothing to look at.

    Args:
        pieces: names of those that are put out; what is about the whole drawing counts as well.
        sizes: in which they are; "" for a piece drawn in one.
    """
    named = tuple(dict.fromkeys(size for size in sizes if size)) or ("",)
    found = [
        finding
        for part in everything(pattern, named)
        for finding in part.findings
        if not finding.where or set(pieces) & {finding.where, *pieces_of(finding.where)}
    ]
    stop, look = (sum(one.level is level for one in found) for level in (Level.FAIL, Level.WARN))
    if not stop and not look:
        return ()
    told = ["{} to mend before cutting".format(_things(stop))] if stop else []
    told += ["{} to look at".format(look if stop else _things(look))] if look else []
    text = "The check of these pieces finds {}.".format(" and ".join(told))
    return (Finding("before-cutting", Level.FAIL if stop else Level.WARN, text, cure=_CURE),)


def uncut_findings(names: Sequence[str], cut_only: bool) -> Tuple[Finding, ...]:
    """That pieces without a cut line are shown by their seam line, which would be cut without allowance.

    Args:
        names: of those pieces, on which cut lines were asked for.
        cut_only: whether nothing but cut lines was.
    """
    if not names:
        return ()
    text = "No cut line is drawn on {}: the seam line is shown, without allowance.".format(", ".join(names))
    level = Level.WARN if cut_only else Level.INFO
    return (Finding("no-cut-line", level, text, cure="Put on the seam allowance first."),)


def _things(count: int) -> str:
    return "{} thing{}".format(count, "" if count == 1 else "s")
