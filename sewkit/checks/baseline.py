"""What is otherwise than it was since the baseline was kept, and how seams were before."""

from typing import Dict, List, Optional, Sequence, Tuple

from sewkit.checks.told_by_size import size_words
from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.pattern.baseline_text import Lengths, kept_length, read_baseline
from sewkit.pattern.naming import MOVED
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Edited, Pattern
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.walking import Walk
from sewkit.report import Finding, Level, Table

# Two seams meant equal differ by less than this (mm) without a word.
_EQUAL = 0.5


def still(outline: Outline, one: Edited) -> bool:
    """Whether a moved edge still is what was read; an operation may have changed it since."""
    runs = outline.runs(one.edge)
    return one.run < len(runs) and abs(path_length(runs[one.run]) - one.now) < MOVED / 10


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
        return outline.size == one.size and still(outline, one)

    def words(self, walk: Walk, size: str) -> str:
        """A sentence on how the seam was before; empty where nothing is known."""
        kept = self._by_baseline(walk.seam, size)
        if kept is not None:
            return _was(kept, walk.difference, "before you began")
        moved = self.moved(walk.seam, size)
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

    def moved(self, seam: Seam, size: str) -> float:
        """By how much (mm) the first side became longer than the second by what was moved by hand."""

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
