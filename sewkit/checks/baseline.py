"""What is otherwise than it was: since the baseline was kept, and since somebody moved a line by hand.

The drawing writes the length of every edge with its name, and whatever we change is written
anew.  So an edge that is longer than what stands there was moved with the editor's own tools.
"""

from typing import Dict, List, Optional, Sequence, Tuple

from sewkit.checks.drawn_sizes import drawn_sizes, spot
from sewkit.checks.told_by_size import size_words
from sewkit.errors import InputError
from sewkit.geometry.length import path_length, point_at
from sewkit.pattern.baseline_text import Lengths, kept_length, read_baseline
from sewkit.pattern.naming import MOVED
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Edited, Pattern
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.walking import Walk
from sewkit.report import Finding, Level, Table

# Edges of one outline whose lengths all grew by one factor, to this share, were scaled together.
_ONE_FACTOR = 0.0005

# Two seams meant equal differ by less than this (mm) without a word.
_EQUAL = 0.5


def edited_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Edges that were moved by hand since their lengths were written, in path order."""
    found: List[Finding] = []
    factors: List[Optional[float]] = []
    for piece, outline, where in drawn_sizes(pattern, sizes):
        moved = [one for one in pattern.edited if (one.piece, one.size) == (piece.name, outline.size)]
        moved = [one for one in moved if _still(outline, one)]
        factor = _scaled(outline, moved)
        factors.append(factor)
        if factor is not None:
            text = "{}: all its edges are {:.3f} times as long as they were; the piece was scaled by hand."
            cure = "Undo the scaling; to make a piece larger for a body, blend between sizes."
            spotted = spot(outline.path.start)
            found.append(Finding("scaled", Level.FAIL, text.format(where, factor), where, spotted, cure))
        else:
            found += [_edited_finding(pattern, outline, one, where) for one in moved]
    return _whole_scaled(factors) or found


def _whole_scaled(factors: Sequence[Optional[float]]) -> List[Finding]:
    """One finding where every outline there is grew by the same factor."""
    known = [factor for factor in factors if factor is not None]
    if len(known) < max(len(factors), 2) or max(known) - min(known) > _ONE_FACTOR:
        return []
    text = "The whole drawing is {:.3f} times as large as it was when its edges were named."
    cure = "Undo it, or set it right with sewkit scale."
    return [Finding("scaled", Level.FAIL, text.format(sum(known) / len(known)), cure=cure)]


def _run_of(outline: Outline, one: Edited) -> Optional[float]:
    runs = outline.runs(one.edge)
    return path_length(runs[one.run]) if one.run < len(runs) else None


def _still(outline: Outline, one: Edited) -> bool:
    """Whether the edge still is what was read; an operation may have changed it since."""
    now = _run_of(outline, one)
    return now is not None and abs(now - one.now) < MOVED / 10


def _scaled(outline: Outline, moved: Sequence[Edited]) -> Optional[float]:
    if len(moved) < len(outline.edges) or len(moved) < 3:
        return None
    factors = [one.now / one.was for one in moved if one.was > 0]
    same = len(factors) == len(moved) and max(factors) - min(factors) < _ONE_FACTOR
    return sum(one.now for one in moved) / sum(one.was for one in moved) if same else None


def _edited_finding(pattern: Pattern, outline: Outline, one: Edited, where: str) -> Finding:
    change = round(one.now, 2) - round(one.was, 2)
    text = "{}: the edge '{}' is {:.2f} mm {} than when it was named ({:.2f} mm, now {:.2f}); ".format(
        where, one.edge, abs(change), "longer" if change > 0 else "shorter", one.was, one.now
    )
    text += "it was moved by hand."
    others = _partners(pattern, one)
    cure = "If it was meant, change {} as well and put the allowance on again; else undo it.".format(
        " and ".join(others) if others else "what is sewn to it"
    )
    run = outline.runs(one.edge)[one.run]
    middle = spot(point_at(run, path_length(run) / 2.0))
    return Finding("edge-edited", Level.WARN, text, where, middle, cure)


def _partners(pattern: Pattern, one: Edited) -> List[str]:
    found: List[str] = []
    for seam in pattern.seams_of(one.piece):
        for mine, other in ((seam.first, seam.second), (seam.second, seam.first)):
            if any((ref.piece, ref.edge) == (one.piece, one.edge) for ref in mine):
                found += [str(ref) for ref in other]
    return list(dict.fromkeys(found))


# -- seams as they were ------------------------------------------------------------------


class Before:
    """How long both sides of seams were: by the baseline, else as written with the names."""

    def __init__(self, pattern: Pattern) -> None:
        self._pattern = pattern
        self._kept: Lengths = read_baseline(pattern.baseline)
        self._shift: Dict[Tuple[str, str, str], float] = {}
        for one in pattern.edited:
            key = (one.piece, one.edge, one.size)
            if self._is_still(one):
                self._shift[key] = self._shift.get(key, 0.0) + one.now - one.was

    def _is_still(self, one: Edited) -> bool:
        try:
            outline = self._pattern.piece(one.piece).outline(one.size)
        except InputError:
            return False
        return outline.size == one.size and _still(outline, one)

    def words(self, walk: Walk, size: str) -> str:
        """A sentence on how the seam was before; empty where nothing is known."""
        kept = self._by_baseline(walk.seam, size)
        if kept is not None:
            return _was(kept, walk.difference, "before you began")
        moved = self._moved(walk.seam, size)
        if moved:
            return _was(walk.difference - moved, walk.difference, "before an edge was moved by hand")
        return ""

    def _by_baseline(self, seam: Seam, size: str) -> Optional[float]:
        sides = []
        for side in (seam.first, seam.second):
            lengths = [kept_length(self._kept, ref, size) for ref in side]
            if any(length is None for length in lengths):
                return None
            sides.append(sum(length for length in lengths if length is not None))
        return sides[0] - sides[1]

    def _moved(self, seam: Seam, size: str) -> float:
        def shift(refs: Sequence[EdgeRef]) -> float:
            keys = [(ref.piece, ref.edge) for ref in refs]
            return sum(self._shift.get((*key, size), self._shift.get((*key, ""), 0.0)) for key in keys)

        return shift(seam.first) - shift(seam.second)


def _was(before: float, now: float, when: str) -> str:
    if abs(before - now) <= MOVED:
        return "It was so {}.".format(when)
    if abs(before) <= _EQUAL:
        return "They were equal {}.".format(when)
    return "They were {:.1f} mm apart {}.".format(abs(before), when)


# -- edges since the baseline ----------------------------------------------------------------


def baseline_tables(pattern: Pattern, sizes: Sequence[str]) -> Tuple[Table, ...]:
    """The edges whose length has changed since the baseline was kept, one row an edge; or no table."""
    kept = read_baseline(pattern.baseline)
    rows: List[Tuple[str, ...]] = []
    for piece in pattern.pieces:
        every = [outline.size for outline in piece.outlines]
        changed: Dict[str, List[Tuple[str, float, float]]] = {}
        for outline in piece.outlines:
            if outline.size and outline.size not in sizes:
                continue
            for name in outline.names:
                was, now = kept.get((piece.name, name, outline.size)), outline.as_sewn(name)
                if was is not None and abs(now - was) > MOVED:
                    changed.setdefault(name, []).append((outline.size, was, now))
        for name, some in changed.items():
            words = size_words([size for size, _, _ in some], every) if some[0][0] else ""
            was_now = [_range([one[1] for one in some]), _range([one[2] for one in some])]
            change = _range([one[2] - one[1] for one in some], "{:+.2f}")
            rows.append(("{}/{}".format(piece.name, name), words, *was_now, change))
    columns = ("edge", "in", "then mm", "now mm", "change")
    return (Table("Edges that have changed since you began", columns, tuple(rows)),) if rows else ()


def lost_findings(pattern: Pattern) -> List[Finding]:
    """Pieces of the baseline that the drawing has no more; one note."""
    names = {piece.name for piece in pattern.pieces} | {one.piece for one in pattern.problems}
    gone = list(dict.fromkeys(key[0] for key in read_baseline(pattern.baseline)))
    gone = [name for name in gone if name not in names]
    if not gone:
        return []
    text = "Since the lengths were kept these pieces went or were called otherwise: {}."
    cure = "If that was meant, keep the lengths anew."
    return [Finding("baseline-gone", Level.INFO, text.format(", ".join(gone)), "", None, cure)]


def _range(values: Sequence[float], form: str = "{:.2f}") -> str:
    return " to ".join(dict.fromkeys(form.format(value) for value in (min(values), max(values))))
