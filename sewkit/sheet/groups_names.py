"""Names for groups of lines, out of the words beside them."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Box, Style, Words
from sewkit.sheet.nest_shapes import Shapes, near
from sewkit.sheet.size_names import Said, even_list, in_order, said_on

# How far a size's number may stand from its line (mm), and how much nearer than the next
# size's line it must be to count fully.
_BESIDE, _CLEARLY = 8.0, 0.75
# A sample in a legend is at most this long, and its words at most so far off (mm).
_SAMPLE, _LEGEND, _SAME_ROW = 80.0, 40.0, 6.0
# What the kinds of evidence weigh: a sample with words, words in the line's own colour or
# layer, words near the line.
_BY_LEGEND, _BY_LOOK, _BY_PLACE = 6.0, 3.0, 1.0
# A layer's own name outweighs all words.
_TOLD = 1e6
# Why a group has its name.
BESIDE = "words beside its lines"
# What a size is called that nothing names, while others are named.
UNNAMED = "unnamed-{}"
# Sizes that one sentence lists.
_MANY = 8


class Named(NamedTuple):
    """The name of each group, how it was found, how sure (0 to 1); ``doubt`` a sentence or empty."""

    names: Tuple[str, ...]
    reason: str
    score: float
    doubt: str = ""


class Candidate(NamedTuple):
    """A group that wants a name, smallest first: its lines, style, layer."""

    lines: Tuple[int, ...]
    style: Style
    layer: str


def named(
    groups: Sequence[Candidate],
    words: Sequence[Words],
    shapes: Shapes,
    nests: Sequence[Box],
    told: Sequence[str] = (),
) -> Named:
    """Name groups, given from the smallest up; "1", "2", ... where no words tell.

    ``told``: for each group the size that its layer names, or empty.
    """
    said = said_on(words)
    votes = _votes(groups, words, said, shapes, nests)
    if any(told):
        known = set(told)
        free = [{size: w for size, w in vote.items() if size not in known} for vote in votes]
        return _in_part([{size: _TOLD} if size else vote for size, vote in zip(told, free)], groups, said)
    best = [max(sorted(vote), key=lambda size: vote[size]) if vote else "" for vote in votes]
    direct = all(best) and len(set(best)) == len(best)
    if direct and _rises(best):
        return Named(tuple(best), BESIDE, 0.9)
    listed = _listed(len(groups), said, votes)
    if listed is not None:
        doubt = ""
        if direct:
            doubt = "The size numbers beside the lines do not grow with the lines; they were given by area."
        return Named(listed, "sizes listed on the sheet, given by area", 0.7, doubt)
    if direct:
        doubt = "The size numbers do not grow with the lines they stand beside; check them."
        return Named(tuple(best), BESIDE, 0.5, doubt)
    return _in_part(votes, groups, said)


def _in_part(votes: Sequence[Dict[str, float]], groups: Sequence[Candidate], said: Sequence[Said]) -> Named:
    """Names for those that words tell; the others have none, for a size that nobody says is not guessed.

    Where no words tell any, all are numbered.
    """
    names = [""] * len(groups)
    pairs = [(weight, -n, size) for n, vote in enumerate(votes) for size, weight in vote.items()]
    pairs = [pair for pair in pairs if pair[0] >= _BY_PLACE]
    weights: List[float] = []
    for weight, minus, size in sorted(pairs, reverse=True):
        if not names[-minus] and size not in names:
            names[-minus] = size
            weights.append(weight)
    known = [size for size in names if size]
    best = max(weights) if weights else 0.0
    often = 2 * len(known) >= len(names) and (min(weights) >= 2 * _BY_PLACE or _steps_on(names))
    if not (often or best >= _BY_LOOK) or (best < _TOLD and not _rises(known)):
        numbers = tuple(str(n) for n in range(1, len(groups) + 1))
        return Named(numbers, "numbered from the smallest", 0.3, _no_words(said))
    looks: List[str] = []
    for number in [n for n, size in enumerate(names) if not size]:
        names[number] = UNNAMED.format(len(looks) + 1)
        layer = "layer '{}', ".format(groups[number].layer) if groups[number].layer else ""
        looks.append("{} ({}{})".format(names[number], layer, look(groups[number].style)))
    doubt = "Nothing on the sheet tells the size of {}.".format(", ".join(looks)) if looks else ""
    score = 0.5 if best >= _TOLD or 2 * len(known) > len(names) else 0.3
    return Named(tuple(names), BESIDE, score, doubt)


def _steps_on(names: Sequence[str]) -> bool:
    """Whether the names that are known may be sizes in even steps, with others in the gaps."""
    known = [(number, size) for number, size in enumerate(names) if size]
    sizes = [size for _, size in known]
    if not even_list(sizes):
        return False
    if len(known) > 2 or not all(size.isdigit() for size in sizes):
        return True
    (first, low), (last, high) = known
    step, rest = divmod(int(high) - int(low), last - first)
    return rest == 0 and int(low) >= first * step


def _no_words(said: Sequence[Said]) -> str:
    """Why sizes are numbered."""
    sizes = list(dict.fromkeys(one.size for one in said))
    if not sizes:
        return "No words on the sheet tell which line is which size."
    return "Words on the sheet name {}{}, but do not tell which line is which size.".format(
        ", ".join(sizes[:_MANY]), " ..." if len(sizes) > _MANY else ""
    )


def look(style: Style) -> str:
    """What a line looks like, in words."""
    dashed = "dashed " + "-".join("{:g}".format(round(dash, 1)) for dash in style.dashes[:4])
    return "{} {}".format(style.colour, dashed if style.dashes else "solid")


def _rises(sizes: Sequence[str]) -> bool:
    ordered = in_order(sizes)
    return ordered is None or list(ordered) == list(sizes)


def _votes(
    groups: Sequence[Candidate],
    words: Sequence[Words],
    said: Sequence[Said],
    shapes: Shapes,
    nests: Sequence[Box],
) -> List[Dict[str, float]]:
    """What each group is called, with the weight of the evidence."""
    votes: List[Dict[str, float]] = [{} for _ in groups]
    if not said:
        return votes

    def vote(group: int, size: str, weight: float) -> None:
        votes[group][size] = votes[group].get(size, 0.0) + weight

    for one in said:
        if one.count > 1:
            continue
        word = words[one.word]
        for kind in ("colour", "layer"):
            alike = [n for n, group in enumerate(groups) if _looks(group, word, kind)]
            if len(alike) == 1:
                vote(alike[0], one.size, _BY_LOOK)
    spots = np.array([one.point for one in said])
    away = np.stack([_distances(group, shapes, spots) for group in groups], axis=1)
    for one, row in zip(said, away):
        order = np.argsort(row, kind="stable")
        if row[order[0]] <= _BESIDE:
            clearly = len(order) == 1 or row[order[0]] <= _CLEARLY * row[order[1]]
            vote(int(order[0]), one.size, _BY_PLACE if clearly else 0.4 * _BY_PLACE)
    for number, group in enumerate(groups):
        for one in _legend(group, words, said, shapes, nests):
            vote(number, one.size, _BY_LEGEND)
    return votes


def _looks(group: Candidate, word: Words, kind: str) -> bool:
    if kind == "colour":
        return bool(word.colour) and word.colour == group.style.colour
    return bool(group.layer) and "/".join(word.layers) == group.layer


def _distances(group: Candidate, shapes: Shapes, spots: np.ndarray) -> np.ndarray:
    """How far ``(k,)`` spots are from a group's lines; infinite beyond reach."""
    found = np.full(len(spots), np.inf)
    for line in group.lines:
        left, top, right, bottom = shapes.boxes[line]
        close = (spots[:, 0] >= left - _BESIDE) & (spots[:, 0] <= right + _BESIDE)
        close &= (spots[:, 1] >= top - _BESIDE) & (spots[:, 1] <= bottom + _BESIDE)
        rows = np.flatnonzero(close)
        if len(rows) and len(shapes.points[line]) > 1:
            distance = near(shapes.points[line], shapes.along[line], spots[rows]).distance
            found[rows] = np.minimum(found[rows], distance)
    return found


def _legend(
    group: Candidate, words: Sequence[Words], said: Sequence[Said], shapes: Shapes, nests: Sequence[Box]
) -> List[Said]:
    """Sizes said right beside a short straight sample of the group, away from all pieces."""
    found = []
    for line in group.lines:
        run = shapes.points[line]
        if not 5.0 <= shapes.lengths[line] <= _SAMPLE or len(run) < 2:
            continue
        straight = np.hypot(*(run[-1] - run[0])) > 0.99 * shapes.lengths[line]
        middle = (run[0] + run[-1]) / 2
        outside = not any(_in_box(middle, box) for box in nests)
        if straight and outside:
            beside = [(_gap(run, words[one.word]), one) for one in said if one.count == 1]
            beside = [(gap, one) for gap, one in beside if gap <= _LEGEND]
            if beside:
                found.append(min(beside, key=lambda pair: pair[0])[1])
    return found


def _in_box(spot: np.ndarray, box: Box) -> bool:
    return bool(box[0] <= spot[0] <= box[2] and box[1] <= spot[1] <= box[3])


def _gap(run: np.ndarray, word: Words) -> float:
    """How far words are from a sample in the same row; infinite in another row."""
    low, high = run.min(axis=0), run.max(axis=0)
    if abs(word.y - 0.35 * word.height - (low[1] + high[1]) / 2) > _SAME_ROW + (high[1] - low[1]) / 2:
        return float("inf")
    across = float(max(word.x - high[0], low[0] - word.x - word.width, 0.0))
    return across + abs(word.y - 0.35 * word.height - (low[1] + high[1]) / 2)


def _listed(count: int, said: Sequence[Said], votes: Sequence[Dict[str, float]]) -> Optional[Tuple[str, ...]]:
    """As many sizes as there are groups, listed in one run of words or said beside the lines."""
    runs: Dict[int, List[str]] = {}
    for one in said:
        runs.setdefault(one.word, []).append(one.size)
    whole = [tuple(sizes) for sizes in runs.values() if len(sizes) == count and count > 1]
    whole = [sizes for sizes in whole if in_order(sizes) == sizes]
    if whole:
        return max(sorted(set(whole)), key=whole.count)
    voted = [size for vote in votes for size in vote]
    around = tuple(dict.fromkeys(voted))
    if len(around) == count and even_list(around):
        return in_order(around)
    every = tuple(dict.fromkeys(one.size for one in said))
    often = tuple(s for s in every if [one.size for one in said].count(s) > 1)
    for sizes in (every, often):
        if len(sizes) == count and even_list(sizes):
            return in_order(sizes)
    return None
