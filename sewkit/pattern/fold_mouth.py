"""The mouth of a pleat or tuck: cloth of the edge that is folded away before the seam is sewn.

It is listed with the darts, so that no length as sewn counts it; but it has no legs.  Legs come
in pairs; a mouth is one run of its edge, or three where its top has a peak.
"""

from typing import List, NamedTuple, Sequence, Tuple

from sewkit.pattern.outline import Outline


class FoldMouth(NamedTuple):
    """A mouth's name, and the numbers of its runs among the outline's edges, in path order."""

    name: str
    edges: Tuple[int, ...]


def fold_mouths(outline: Outline, darts: Sequence[str]) -> Tuple[FoldMouth, ...]:
    """The mouths among the edges that are listed as darts.

    Rows of an odd number of runs of one name, with the same edge before and behind.
    """
    names = [edge.name if edge.name in darts else "" for edge in outline.edges]
    count = len(names)
    if not any(names) or all(names):
        return ()
    start = names.index("")
    found: List[FoldMouth] = []
    row: List[int] = []
    for number in [(start + step) % count for step in range(count + 1)]:
        if row and names[number] != names[row[-1]]:
            before, behind = outline.edges[row[0] - 1].name, outline.edges[number].name
            found += [FoldMouth(names[row[0]], tuple(row))] if len(row) % 2 and before == behind else []
            row = []
        if names[number]:
            row.append(number)
    return tuple(found)
