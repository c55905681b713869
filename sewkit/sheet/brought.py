"""What an imported PDF gives: the pattern, and all the rest of the sheet."""

from typing import Mapping, NamedTuple, Tuple

from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Report
from sewkit.sheet.drawn import Printed, Style, Whole, Words
from sewkit.sheet.groups import Grouping
from sewkit.sheet.tiles import Joined


class Brought(NamedTuple):
    """A pattern brought in from a PDF, at true scale.

    Args:
        pattern: pieces by name, outlines by size, marks with the score of each guess.
        report: the verdict on the scale, pieces and sizes, gaps, doubts.
        width, height: of the joined sheet (mm).
        rest: whole lines that belong to no piece: test squares, frames, open lines.
        words: all text; what became a label is a mark of its piece as well.
        looks: how the maker drew each outline, by piece and size.
        hidden: sizes that were switched off in the file, by piece and size.
        printed: the pages as they were read, after any correction of their scale.
        joined: where each page lies on the sheet.
        grouping: which lines are which size, and why.
        places: what the report tells, each place by itself.
    """

    pattern: Pattern
    report: Report
    width: float
    height: float
    rest: Tuple[Whole, ...]
    words: Tuple[Words, ...]
    looks: Mapping[Tuple[str, str], Style]
    hidden: Tuple[Tuple[str, str], ...]
    printed: Printed
    joined: Joined
    grouping: Grouping
    places: Tuple[Finding, ...] = ()
