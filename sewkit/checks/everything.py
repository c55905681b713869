"""All checks of a pattern, in the order in which a cutter would go through it.

First whether the drawing can be believed at all (what could not be read, scale, names, outlines,
the nest), then what is sewn together (seams, notches, darts, seam ends), then what is cut (grain,
allowance, marks, counts), at last what hangs on other pieces or was moved by hand.
"""

from typing import Callable, Dict, Iterable, List, NamedTuple, Sequence, Tuple

from sewkit.checks.allowance_right import allowance_right_findings
from sewkit.checks.baseline import lost_findings
from sewkit.checks.closed_simple import closed_simple_findings
from sewkit.checks.cut_counts import cut_counts_findings
from sewkit.checks.cuts import cap_problems
from sewkit.checks.darts import dart_findings, uneven_findings
from sewkit.checks.drawing_scale import drawing_scale_findings
from sewkit.checks.drawn_sizes import drawn_sizes
from sewkit.checks.followers import follower_findings
from sewkit.checks.grain_straight import grain_straight_findings
from sewkit.checks.labels_right import labels_right_findings
from sewkit.checks.lap_known import lap_findings
from sewkit.checks.marks_inside import marks_inside_findings
from sewkit.checks.moved_by_hand import edited_findings
from sewkit.checks.names import name_findings
from sewkit.checks.nest_order import nest_order_findings
from sewkit.checks.notch_pairs import notch_findings
from sewkit.checks.seam_ends import seam_end_findings
from sewkit.checks.seams_match import seams_match_findings
from sewkit.checks.told_by_size import told_together
from sewkit.errors import InputError
from sewkit.pattern.chosen_darts import darts_here
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level

# What the check of names says and another check says better.
_SAID_BETTER = {"open", "no-grain", "notch-lost", "notch-off"}

Check = Callable[[Pattern, Sequence[str]], Iterable[Finding]]


class Part(NamedTuple):
    """One check: what it looked at, in words, and what it found."""

    title: str
    findings: Tuple[Finding, ...]

    @property
    def worst(self) -> Level:
        """The most serious level of its findings."""
        return max((finding.level for finding in self.findings), default=Level.PASS)


def everything(
    pattern: Pattern, sizes: Sequence[str], scale: Sequence[Finding] = (), proven: bool = False
) -> List[Part]:
    """All checks of the sizes, each with what it found; the same in many sizes is told once.

    Args:
        scale: what a test square in the drawing says of its scale; ``proven``: that it is right.
    """
    parts = [
        Part("The drawing", tuple(_unreadable(pattern))),
        Part("Scale", (*scale, *_done(_scale(proven), pattern, sizes))),
    ]
    for title, check in _CHECKS:
        parts.append(Part(title, tuple(_told(_done(check, pattern, sizes), pattern))))
    return parts


def _done(check: Check, pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """The findings of one check; what it cannot go through is a finding, and the other checks go on."""
    try:
        return list(check(pattern, sizes))
    except InputError as error:
        return [Finding("unchecked", Level.FAIL, "A check had to end here: {}".format(error))]


def _unreadable(pattern: Pattern) -> List[Finding]:
    """What was wrong with the drawing as it was read, or was put right."""
    found = []
    for problem in pattern.problems:
        level = Level.WARN if problem.look else Level.INFO
        level = level if problem.healed else Level.FAIL
        found.append(Finding(problem.code, level, problem.text, problem.piece))
    return found


def _scale(proven: bool) -> Check:
    return lambda pattern, sizes: drawing_scale_findings(pattern, sizes, proven)


def _names(pattern: Pattern, _: Sequence[str]) -> List[Finding]:
    known = {(problem.code, problem.text) for problem in pattern.problems}
    found = [one for one in name_findings(pattern) if (one.code, one.text) not in known]
    return [one for one in found if one.code not in _SAID_BETTER]


def _darts(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    found: List[Finding] = []
    for piece, outline, where in drawn_sizes(pattern, sizes):
        darts = darts_here(piece, outline).darts
        if not darts:
            continue
        found += dart_findings(piece, outline)
        for dart in darts:
            found += uneven_findings(where, dart)
        found += cap_problems(outline, piece, where)
    return found


def _marks(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    return [*marks_inside_findings(pattern, sizes), *labels_right_findings(pattern, sizes)]


def _by_hand(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    return edited_findings(pattern, sizes) + lost_findings(pattern)


_CHECKS: Tuple[Tuple[str, Check], ...] = (
    ("Names", _names),
    ("Outlines closed and simple", closed_simple_findings),
    ("Sizes in order", nest_order_findings),
    ("Seams", seams_match_findings),
    ("Notches", notch_findings),
    ("Darts", _darts),
    ("Corners at seam ends and folds", seam_end_findings),
    ("Grain", grain_straight_findings),
    ("Allowance", allowance_right_findings),
    ("Marks", _marks),
    ("What laps over", lap_findings),
    ("How many are cut, and of what", cut_counts_findings),
    ("Pieces that follow others", follower_findings),
    ("Edges moved by hand", _by_hand),
)


def _told(findings: Sequence[Finding], pattern: Pattern) -> List[Finding]:
    """The findings of one check, those of a piece or seam that differ by size alone put together."""
    sizes = list(pattern.sizes)
    groups: Dict[str, List[Finding]] = {}
    for finding in map(_size_behind, findings):
        groups.setdefault(_subject(finding, sizes), []).append(finding)
    return [one for name, some in groups.items() for one in told_together(some, name, sizes)]


def _size_behind(finding: Finding) -> Finding:
    """The text with its size behind the name of what it is about: "front/side size 3: ..."."""
    size, found, rest = finding.text.partition(": ")
    about = finding.where + ": "
    if not (found and size.startswith("Size ") and finding.where):
        return finding
    rest = rest[len(about) :] if rest.startswith(about) else rest
    return finding._replace(text="{} size {}: {}".format(finding.where, size[len("Size ") :], rest))


def _subject(finding: Finding, sizes: Sequence[str]) -> str:
    """What a finding is about, without its size."""
    for size in sizes:
        name, found, _ = finding.text.partition(" size {}: ".format(size))
        if size and found and ":" not in name:
            return name
    return finding.where


def pieces_of(where: str) -> Tuple[str, ...]:
    """The pieces that a finding's place names: one, or both sides of a seam."""
    found: Dict[str, None] = {}
    for side in where.split(" to "):
        for ref in side.split(" + "):
            found[ref.partition(" size ")[0].partition("/")[0].strip()] = None
    return tuple(name for name in found if name)
