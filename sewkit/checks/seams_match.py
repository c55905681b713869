"""Do the two sides of every seam fit each other, and did they before somebody began?

The lengths alone; whether the notches pair is a check of its own.  Limits as in the seam guard.
"""

from typing import List, NamedTuple, Sequence, Tuple

from sewkit.checks.baseline import Before
from sewkit.checks.drawn_closed import walk_closed
from sewkit.checks.drawn_sizes import middle_of
from sewkit.checks.seams import EQUAL_GOOD, light, sentence
from sewkit.checks.told_by_size import told_together
from sewkit.errors import InputError
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import Seam
from sewkit.pattern.walking import Walk, drawn_in, walk_seam
from sewkit.report import Finding, Level, Table


def seams_match_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Seams whose sides do not fit, and pairs of sides that cannot be walked, seam by seam."""
    before = Before(pattern)
    found: List[Finding] = _none_known(pattern)
    for seam in pattern.seams:
        own: List[Finding] = []
        drawn = _sizes_of(pattern, seam, sizes)
        for size in drawn:
            own += _of_one(pattern, seam, size, before, len(drawn) > 1)
        found += told_together(own, seam.name, list(sizes))
    return found


def _none_known(pattern: Pattern) -> List[Finding]:
    """Said where several pieces are drawn and nobody has said what is sewn to what."""
    named = [piece for piece in pattern.pieces if piece.named and piece.outlines]
    if pattern.seams or len(named) < 2:
        return []
    text = "No seam is known yet, so none was checked."
    cure = "Say which edges are sewn together, such as sewkit pair --first {0}/side --second {1}/side."
    cure = cure.format(named[0].name, named[1].name)
    return [Finding("no-seam", Level.INFO, text, cure=cure)]


def _sizes_of(pattern: Pattern, seam: Seam, sizes: Sequence[str]) -> List[str]:
    """The sizes in which a seam is drawn; pieces that serve every size are walked once."""
    names = {ref.piece for ref in seam.refs}
    if not any(size for piece in pattern.pieces if piece.name in names for size in piece.sizes):
        return [""]
    return [size for size in sizes if drawn_in(pattern, seam, size)]


class _Judged(NamedTuple):
    """A seam of one size as it will be sewn, how well it fits, and whether darts drawn on it are closed."""

    walk: Walk
    level: Level
    closed: bool


def _judged(pattern: Pattern, seam: Seam, size: str) -> _Judged:
    """The seam walked for its length; with the darts closed that are drawn on it, if it fits better so.

    ``InputError`` where it cannot be walked.
    """
    walk = walk_seam(pattern, seam, size)
    level = _light(walk)
    if level > Level.PASS:
        closed = walk_closed(pattern, seam, walk, size)
        if closed is not None and _light(closed) < level:
            return _Judged(closed, _light(closed), True)
    return _Judged(walk, level, False)


def _light(walk: Walk) -> Level:
    """How well the lengths fit; of the notches nothing but the end of the seam."""
    return light(walk._replace(sections=walk.sections[-1:]))


def _of_one(pattern: Pattern, seam: Seam, size: str, before: Before, several: bool) -> List[Finding]:
    try:
        judged = _judged(pattern, seam, size)
    except InputError as error:
        return [] if _told_elsewhere(pattern, seam, size) else [_unwalked(seam, size, error, several)]
    if judged.level <= Level.PASS:
        return []
    walk = judged.walk
    words = sentence(walk._replace(sections=walk.sections[-1:]))
    words += " The darts drawn on it are taken as closed." if judged.closed else ""
    was = "" if judged.closed else before.words(walk, size)
    text = "{}{}{}".format(_head(seam, size, several), words, " " + was if was else "")
    return [Finding("seam", judged.level, text, seam.name, _place(pattern, seam, size), _cure(walk, was))]


def _head(seam: Seam, size: str, several: bool) -> str:
    """So that what is the same in many sizes can be told once; a lone size needs no name."""
    return "{} size {}: ".format(seam.name, size) if several and size else ""


def _unwalked(seam: Seam, size: str, error: InputError, several: bool) -> Finding:
    text = "{}{} cannot be walked: {}".format(_head(seam, size, several), seam.name, error)
    return Finding("seam-missing", Level.FAIL, text, seam.name)


def _told_elsewhere(pattern: Pattern, seam: Seam, size: str) -> bool:
    """Whether the check of names tells already why a seam cannot be walked."""
    known = {piece.name: piece for piece in pattern.pieces}
    for ref in seam.refs:
        piece = known.get(ref.piece)
        if piece is None or not piece.outlines:
            return True
        if not any(ref.edge in outline.names for outline in piece.outlines):
            return True
        if size not in piece.sizes and "" not in piece.sizes:
            return True
        if any(o.names != piece.outlines[0].names for o in piece.outlines):
            return True
    return False


def _cure(walk: Walk, was: str) -> str:
    eased = walk.seam.ease != (0.0, 0.0)
    first, second = walk.seam.name.split(" to ", 1)
    longer = first if walk.outside > 0 else second
    if was.startswith("They were equal") and not eased:
        return "An edge was moved and its partner was not: make the same change on both, or undo it."
    if eased:
        return "Make {} {:.1f} mm shorter, or say another ease.".format(longer, abs(walk.outside))
    if abs(walk.difference) <= 3.0:
        return "Make {} {:.1f} mm shorter, or ease it in.".format(longer, abs(walk.difference))
    return "Change one of the two by {:.1f} mm, or say how much is to be eased in.".format(
        abs(walk.difference)
    )


def _place(pattern: Pattern, seam: Seam, size: str) -> Tuple[float, float]:
    ref = seam.first[0]
    return middle_of(pattern.piece(ref.piece).outline(size), [ref.edge])


def seam_table(pattern: Pattern, sizes: Sequence[str]) -> Tuple[Table, ...]:
    """By how much the first side of each seam is longer, a column a size; no table without seams."""
    rows: List[Tuple[str, ...]] = []
    levels: List[Level] = []
    for seam in pattern.seams:
        cells, worst, walked = [], Level.PASS, False
        for size in sizes:
            try:
                walk, level, _ = _judged(pattern, seam, size)
            except InputError:
                cells.append("-")
                continue
            cells.append("{:+.1f}".format(walk.difference) if abs(walk.difference) >= 0.05 else "0.0")
            worst, walked = max(worst, level), True
        meant = "equal" if seam.ease == (0.0, 0.0) else "{:g} to {:g}".format(*seam.ease)
        rows.append((seam.name, meant, *cells))
        levels.append(worst if walked else Level.INFO)
    columns = ("seam", "meant", *(size or "mm" for size in sizes))
    title = "Seams: the first side is longer by (mm; meant equal within {:g})".format(EQUAL_GOOD)
    return (Table(title, columns, tuple(rows), tuple(levels)),) if rows else ()
