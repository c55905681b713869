"""What several pages draw alike, so that a file holds it once: a frame, a page map, the head."""

from collections import Counter
from typing import Any, Dict, FrozenSet, List, NamedTuple, Sequence, Tuple

from sewkit.paper.document import Drawn, Page

# From how many points and letters on it is worth while: a form needs about a hundred bytes for
# itself, and a line of two points some ten.
_WORTH_SHARING = 20


class Shared(NamedTuple):
    """Lines and words that are drawn on all of the pages with these numbers, counted from 0."""

    drawn: Drawn
    pages: FrozenSet[int]


def shared_drawings(pages: Sequence[Page]) -> Tuple[Tuple[Shared, ...], Tuple[Drawn, ...]]:
    """What is drawn on several pages, and for each page what is left.

    Areas stay where they are, because they hide what lies below.  A line that a page draws
    twice is two.
    """
    where: Dict[Any, List[int]] = {}
    for number, page in enumerate(pages):
        for one in _counted(page.own):
            where.setdefault(one, []).append(number)
    together: Dict[FrozenSet[int], List[Any]] = {}
    for one, numbers in where.items():
        if len(numbers) > 1:
            together.setdefault(frozenset(numbers), []).append(one)
    together = {key: ones for key, ones in together.items() if sum(map(_weight, ones)) >= _WORTH_SHARING}
    gone = {(one, number) for key, ones in together.items() for one in ones for number in key}
    shared = tuple(Shared(_drawn(ones), key) for key, ones in together.items())
    left = []
    for number, page in enumerate(pages):
        kept = [one for one in _counted(page.own) if (one, number) not in gone]
        left.append(_drawn(kept)._replace(fills=page.own.fills))
    return shared, tuple(left)


def _counted(own: Drawn) -> List[Tuple[Any, int]]:
    """Lines, then words, each with how often the same one came before it."""
    met: Counter = Counter()  # type: ignore[type-arg]
    found = []
    for one in (*own.strokes, *own.words):
        found.append((one, met[one]))
        met[one] += 1
    return found


def _drawn(ones: Sequence[Tuple[Any, int]]) -> Drawn:
    strokes = tuple(one for one, _ in ones if not hasattr(one, "text"))
    return Drawn(strokes, (), tuple(one for one, _ in ones if hasattr(one, "text")))


def _weight(counted: Tuple[Any, int]) -> int:
    one = counted[0]
    return len(one.text) if hasattr(one, "text") else 2 * len(one.path)
