"""The seam guard: every seam walked, before and after, in lights and plain words.

Limits: two seams meant equal may differ by 0.5 mm without a word; up to 3 mm (1/8 in) is
usable and told; more is red.  Published advice: careful workers hold 1/16 in, many are
happy at 1/8 in (Threads no. 200).  An eased seam must lie inside its window, 1 mm
outside is told, more or a negative ease is red.  Notches: 1 and 2 mm.
"""

from typing import Iterable, List, Optional, Sequence, Tuple

from sewkit.checks.baseline import Before
from sewkit.checks.drawn_closed import walk_closed
from sewkit.checks.told_by_size import size_words
from sewkit.errors import InputError
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import Seam
from sewkit.pattern.walking import Walk, drawn_in, walk_seam
from sewkit.report import Finding, Level, Report, Table, gathered

EQUAL_GOOD, EQUAL_USABLE = 0.5, 3.0
EASE_USABLE = 1.0
NOTCH_GOOD, NOTCH_USABLE = 1.0, 2.0

# From here on (1/16 in) a difference of two seams meant equal should be fixed or eased in.
_TO_MEND = 1.5875

# Lengths are known far better than this; a change below it is not a change (mm).
_UNCHANGED = 0.05

# A limit itself is still inside; this much of a difference is rounding (mm).
_ROUNDING = 1e-6


def light(walk: Walk) -> Level:
    """Green, amber or red for a walked seam."""
    eased = walk.seam.ease != (0.0, 0.0)
    good, usable = (0.0, EASE_USABLE) if eased else (EQUAL_GOOD, EQUAL_USABLE)
    if eased and _wrong_side_eased(walk):
        return Level.FAIL
    return max(_graded(abs(walk.outside), good, usable), _graded(walk.worst_notch, NOTCH_GOOD, NOTCH_USABLE))


def _graded(off: float, good: float, usable: float) -> Level:
    if off <= good + _ROUNDING:
        return Level.PASS
    return Level.WARN if off <= usable + _ROUNDING else Level.FAIL


def _wrong_side_eased(walk: Walk) -> bool:
    """Whether the side that should be the longer one is the shorter: its ease is negative."""
    least, most = walk.seam.ease
    return (least >= 0 and walk.difference < -_ROUNDING) or (most <= 0 and walk.difference > _ROUNDING)


def sentence(walk: Walk) -> str:
    """What the walk shows, as one would say it at the table."""
    first, second = walk.seam.name.split(" to ", 1)
    difference = walk.difference
    if abs(difference) < _UNCHANGED:
        text = "{} and {} are equal ({:.1f} mm)".format(first, second, walk.first)
    else:
        longer = first if difference > 0 else second
        other = second if difference > 0 else first
        lengths = max(walk.first, walk.second), min(walk.first, walk.second)
        shown = _shown(*lengths)
        text = "{} is {} mm longer than {} ({} and {} mm)".format(
            longer, shown[2].lstrip("+"), other, *shown[:2]
        )
    if walk.seam.ease == (0.0, 0.0) and _TO_MEND <= abs(difference) <= EQUAL_USABLE:
        text += "; fix it or ease it in"
    if walk.seam.ease != (0.0, 0.0):
        text += "; {:g} to {:g} mm of ease are meant".format(*walk.seam.ease)
    if walk.worst_notch > NOTCH_GOOD:
        text += "; notches miss by {:.1f} mm".format(walk.worst_notch)
    return text + "."


def cure(walk: Walk, past: Optional[Walk] = None) -> str:
    """The smallest thing that mends a seam; ``past``: how it was before the change that is told."""
    if past is not None:
        grown = walk.first - past.first, walk.second - past.second
        still = [abs(mm) <= _UNCHANGED for mm in grown]
        if still[0] != still[1] and abs(walk.outside) > abs(past.outside) + _UNCHANGED:
            done, other = (0, 1) if still[1] else (1, 0)
            names = walk.seam.name.split(" to ", 1)
            text = "{} is {:.1f} mm {} now: make {} so too, or take the change back."
            way = "longer" if grown[done] > 0 else "shorter"
            return text.format(names[done], abs(grown[done]), way, names[other]) + _meet_again(walk, past)
    if abs(walk.outside) > (0.0 if walk.seam.ease != (0.0, 0.0) else EQUAL_GOOD) + _ROUNDING:
        return _even_out(walk)
    if walk.worst_notch > NOTCH_GOOD:
        return "Put the notches of both sides at matching lengths anew (sewkit notch)."
    return ""


def _meet_again(walk: Walk, past: Walk) -> str:
    """What to do with notches that a change parted, if its length stays; empty where they still meet."""
    if walk.worst_notch <= max(NOTCH_GOOD, past.worst_notch + _UNCHANGED):
        return ""
    text = " Where it is to stay, let the notches meet again (sewkit notch --action match --edge {})."
    return text.format(walk.seam.first[0])


def _even_out(walk: Walk) -> str:
    """By how much to change which side of a seam."""
    first, second = walk.seam.name.split(" to ", 1)
    longer, shorter = (first, second) if walk.outside > 0 else (second, first)
    text = "Make {} {:.1f} mm longer, or {} as much shorter"
    text = text.format(shorter, abs(walk.outside), longer)
    small = walk.seam.ease == (0.0, 0.0) and abs(walk.outside) <= EQUAL_USABLE
    return text + (", or ease it in where the cloth allows." if small else ".")


def walked(
    pattern: Pattern, size: str, seams: Optional[Sequence[Seam]] = None, undrawn: Level = Level.FAIL
) -> Tuple[List[Walk], List[Finding]]:
    """Walk seams in one size; a seam that cannot be walked becomes a finding.

    ``undrawn``: how serious it is that a piece is not drawn in that size.
    """
    walks: List[Walk] = []
    findings: List[Finding] = []
    for seam in pattern.seams if seams is None else seams:
        try:
            walks.append(walk_seam(pattern, seam, size))
        except InputError as error:
            level = undrawn if error.code == "nest" else Level.FAIL
            text = "{} cannot be walked: {}".format(seam.name, error)
            findings.append(Finding("seam-missing", level, text, seam.name))
    return walks, findings


def seam_reports(pattern: Pattern, sizes: Sequence[str], seams: Optional[Sequence[Seam]] = None) -> Report:
    """All seams of several sizes, each in the sizes in which it is drawn; every finding says its size."""
    reports = []
    for size in sizes:
        drawn = [s for s in (pattern.seams if seams is None else seams) if drawn_in(pattern, s, size)]
        report = seam_report(pattern, size, drawn)
        reports.append(_with_size(report, size) if len(sizes) > 1 else report)
    return gathered(reports)


def _with_size(report: Report, size: str) -> Report:
    """Every finding with the size in front, for reports about several sizes."""
    told = (f._replace(text="Size {}: {}".format(size or "(one)", f.text)) for f in report.findings)
    return report._replace(findings=tuple(told))


def seam_report(pattern: Pattern, size: str, seams: Optional[Sequence[Seam]] = None) -> Report:
    """All seams of one size: a table of lengths and a finding for each."""
    walks, findings = walked(pattern, size, seams)
    lights = []
    for walk in walks:
        level, words, closed = _judged(pattern, walk, size)
        lights.append(level)
        help_ = cure(closed) if level >= Level.WARN else ""
        findings.append(Finding("seam", level, words, walk.seam.name, cure=help_))
        if walk.lone:
            text = "{}: the notches of the two sides do not agree; only one side has {}.".format(
                walk.seam.name, ", ".join(walk.lone)
            )
            findings.append(Finding("notch-lone", Level.WARN, text, walk.seam.name))
    title = "Seams" + (" of size {}".format(size) if size else "")
    columns = ("seam", "first mm", "second mm", "difference", "meant")
    rows = tuple(_row(walk) for walk in walks)
    tables = [Table(title, columns, rows, tuple(lights))] if rows else []
    sections = [walk for walk in walks if len(walk.sections) > 1]
    if sections:
        tables.append(_sections(sections, size))
    return Report("", tuple(findings), tuple(tables))


def _judged(pattern: Pattern, walk: Walk, size: str) -> Tuple[Level, str, Walk]:
    """Light, sentence, and the walk they go by: with the darts closed that are only drawn on the seam."""
    level, words = light(walk), sentence(walk)
    closed = walk_closed(pattern, walk.seam, walk, size) if level > Level.PASS else None
    if closed is None:
        return level, words, walk
    lengths = _shown(closed.first, closed.second)
    words += " With the darts drawn on it closed they are {} and {} mm long.".format(*lengths[:2])
    return Level.INFO if light(closed) is Level.PASS else light(closed), words, closed


def _row(walk: Walk) -> Tuple[str, ...]:
    return (walk.seam.name, *_shown(walk.first, walk.second), _meant(walk.seam))


def _shown(first: float, second: float) -> Tuple[str, str, str]:
    """Two lengths and their difference in mm, as text in which the three agree.

    One decimal is enough, unless rounding would make them contradict each other, as in
    100.0 and 99.9 with nothing between them; then it is two, and their difference.
    """
    for decimals in (1, 2):
        rounded = round(first, decimals), round(second, decimals)
        if abs(rounded[0] - rounded[1] - round(first - second, decimals)) < 0.5 * 10**-decimals:
            break
    difference = "{:+.{}f}".format(round(rounded[0] - rounded[1], decimals) + 0.0, decimals)
    texts = ["{:.{}f}".format(length, decimals) for length in (first, second)]
    return (texts[0], texts[1], difference if float(difference) else difference[1:])


def _meant(seam: Seam) -> str:
    return "equal" if seam.ease == (0.0, 0.0) else "{:g} to {:g}".format(*seam.ease)


def _sections(walks: Iterable[Walk], size: str) -> Table:
    rows = []
    for walk in walks:
        for section in walk.sections:
            between = "{} to {}".format(section.start, section.stop)
            rows.append((walk.seam.name, between, *_shown(section.first, section.second)))
    title = "Between the notches" + (", size {}".format(size) if size else "")
    return Table(title, ("seam", "section", "first mm", "second mm", "difference"), tuple(rows))


def guard(
    before: Pattern, after: Pattern, sizes: Sequence[Tuple[str, str]], pieces: Optional[Iterable[str]] = None
) -> Report:
    """Walk the seams of touched pieces before and after a change.

    Args:
        sizes: pairs of the size before and the size after.
        pieces: names of the touched pieces; all when left out.
    """
    touched = {piece.name for piece in after.pieces} if pieces is None else set(pieces)
    seams = [seam for seam in after.seams if any(ref.piece in touched for ref in seam.refs)]
    if not seams:
        return Report()
    reports = [(_compared(before, after, seams, old, new), new) for old, new in sizes]
    if len(sizes) < 2:
        return gathered(report for report, _ in reports)
    same = [new for old, new in sizes if old == new and _all_kept(before, after, seams, new)]
    told = [
        _with_size(report if new not in same else report._replace(tables=()), new) for report, new in reports
    ]
    return gathered(told + ([_kept(same, [new for _, new in sizes])] if same else []))


def _all_kept(before: Pattern, after: Pattern, seams: Sequence[Seam], size: str) -> bool:
    """Whether both sides of all seams can be walked in a size and are as long as they were."""
    was, now = walked(before, size, seams)[0], walked(after, size, seams)[0]
    return (
        len(now) > 0
        and [w.seam for w in was] == [w.seam for w in now]
        and all(
            abs(one.first - other.first) <= _UNCHANGED and abs(one.second - other.second) <= _UNCHANGED
            for one, other in zip(was, now)
        )
    )


def _kept(same: Sequence[str], every: Sequence[str]) -> Report:
    """In one line the sizes whose seams need no table, for nothing in it would have changed."""
    title = "Seams: in {} none changed by more than {:g} mm".format(size_words(same, every), _UNCHANGED)
    return Report(tables=(Table(title, (), ()),))


def _compared(before: Pattern, after: Pattern, seams: Sequence[Seam], old: str, new: str) -> Report:
    was = {walk.seam: walk for walk in walked(before, old, seams)[0]}
    # A line blended for one body has no partner yet in the pieces that were not blended.
    walks, findings = walked(after, new, seams, undrawn=Level.WARN)
    rows, levels = [], []
    began = Before(after) if after.baseline else None
    for walk in walks:
        past = was.get(walk.seam)
        level, note, closed = _judged(after, walk, new)
        # Lengths before and after are both as sewn: a dart that is only drawn is closed too.
        walk = walk_closed(after, walk.seam, walk, new) or walk
        past = past and (walk_closed(before, walk.seam, past, old) or past)
        rows.append(
            (
                walk.seam.name,
                _pair(past),
                _pair(walk),
                _shown(past.first, past.second)[2] if past else "-",
                _shown(walk.first, walk.second)[2],
                _meant(walk.seam),
            )
        )
        levels.append(level)
        worse = past is None or abs(walk.difference - past.difference) > _UNCHANGED
        # A seam that will fit once its drawn darts are closed, as it would have before, is no news.
        if level > Level.INFO or (level > Level.PASS and worse):
            if past is not None:
                note += " " + _before_words(past, walk) + _since(began, walk, new)
            help_ = cure(closed, past) if level >= Level.WARN else ""
            findings.append(Finding("seam", level, note, walk.seam.name, cure=help_))
    sizes = old if old == new else "{} to {}".format(old or "(one)", new or "(one)")
    title = "Seams before and after" + (", size {}".format(sizes) if sizes else "")
    columns = ("seam", "before mm", "after mm", "differed", "differs", "meant")
    table = Table(title, columns, tuple(rows), tuple(levels))
    return Report("", tuple(findings), (table,) if rows else ())


def _before_words(past: Walk, walk: Walk) -> str:
    """How the seam was before: what of it is otherwise now, its lengths or its notches."""
    if abs(walk.difference - past.difference) > _UNCHANGED:
        return "Before: {:+.1f} mm.".format(past.difference)
    if len(past.sections) < len(walk.sections):
        return "It was as long before."
    if abs(walk.worst_notch - past.worst_notch) > _UNCHANGED:
        met = past.worst_notch <= NOTCH_GOOD
        return "Before, {}.".format("they met" if met else "by {:.1f} mm".format(past.worst_notch))
    return "It was so before."


def _since(began: Optional[Before], walk: Walk, size: str) -> str:
    """How the seam was when the baseline was kept, if one is."""
    words = began.words(walk, size) if began is not None else ""
    return " " + words if words else ""


def _pair(walk: Optional[Walk]) -> str:
    return "-" if walk is None else "{} / {}".format(*_shown(walk.first, walk.second))
