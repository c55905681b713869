"""Which lines look alike: by the size in a layer's name, by layer, by style.

A partition gives every line the number of its part; ``judged`` tells whether the parts are
sizes.  It looks at bodies: lines of one part as large as a piece.  Where bodies lie nested,
every size has one of them.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Style, Whole
from sewkit.sheet.nest_shapes import BRIDGED, NESTED, SMALLEST, Shapes, overlap
from sewkit.sheet.size_names import size_of_layer

# Pens that differ by no more than this (mm) are one pen: half the step of 0.05 mm in which
# widths are told apart.
_PEN = 0.025
# A rhythm measured on single dashes wobbles by this much (mm).
_WOBBLE = 0.5
# Rhythms and pens are compared in tenths and twentieths of a millimetre.
_TENTH, _TWENTIETH = 10.0, 20.0
# Bodies per piece and part beyond which the part holds several sizes.
_MIXED = 1.3
# The part of all nested bodies that parts of one size each must hold to be believed; and
# the part of all nests that a size takes part in.
_MOST, _OFTEN = 0.5, 0.3
# The part of all pieces that must come in several lines before these count as sizes.
_SEVERAL = 0.25


class Body(NamedTuple):
    """Lines of one part that are as large as a piece; ``box`` mm."""

    part: int
    lines: Tuple[int, ...]
    box: np.ndarray


class Partition(NamedTuple):
    """Lines in parts.

    Args:
        names: of each part: its layer, or what its style is called.
        sizes: the size that the part's name tells, or empty.
        styles: the style most of the part is drawn in.
        part: for each line the number of its part.
    """

    names: Tuple[str, ...]
    sizes: Tuple[str, ...]
    styles: Tuple[Style, ...]
    part: Tuple[int, ...]


class Judged(NamedTuple):
    """A partition and what its bodies say.

    Args:
        size_parts: parts that hold one size each, smallest first.
        mixed: parts that hold several sizes, told apart by nothing in the partition.
        allowance: where there are just two parts, how far apart their outlines run when that
            is the same nearly all around (mm), as a seam line and its cut line do; else 0.
        nests: bodies that lie nested, as lists of numbers into ``bodies``.
    """

    partition: Partition
    bodies: Tuple[Body, ...]
    nests: Tuple[Tuple[int, ...], ...]
    size_parts: Tuple[int, ...]
    mixed: Tuple[int, ...]
    allowance: float = 0.0


def rhythm(dashes: Sequence[float]) -> Tuple[float, ...]:
    """A dash rhythm without its phase: the same for 6-2-1-2 and 1-2-6-2, in tenths of a mm."""
    values = [round(dash * _TENTH) / _TENTH for dash in dashes]
    if len(values) % 2:
        values = values * 2
    if not any(values[1::2]) or not values:
        return ()
    for period in range(2, len(values), 2):
        if len(values) % period == 0 and values == values[:period] * (len(values) // period):
            values = values[:period]
            break
    return min(tuple(values[n:] + values[:n]) for n in range(0, len(values), 2))


def style_key(style: Style) -> Tuple[object, ...]:
    """What tells two styles apart: colour or ink, pen, rhythm; of a mere area its fill."""
    pen = round(style.width * _TWENTIETH) / _TWENTIETH
    return (style.colour, "" if style.colour else style.fill, pen, rhythm(style.dashes))


def _like(one: Style, other: Style) -> bool:
    """Whether two styles differ by no more than drawing and measuring blur."""
    if one.colour != other.colour or (not one.colour and one.fill != other.fill):
        return False
    if abs(one.width - other.width) > _PEN + 1e-9:
        return False
    first, second = rhythm(one.dashes), rhythm(other.dashes)
    if len(first) != len(second):
        return False
    turns = range(0, max(len(first), 1), 2)
    return any(all(abs(a - b) <= _WOBBLE for a, b in zip(first, second[n:] + second[:n])) for n in turns)


def by_size_layer(lines: Sequence[Whole]) -> Partition:
    """Parts by the size that one of a line's layers names, else by its layer."""
    known = {name: size_of_layer(name) for line in lines for name in line.layers}

    def key(line: Whole) -> Tuple[str, str]:
        sizes = [known[name] for name in line.layers if known[name]]
        return ("", sizes[-1]) if sizes else ("/".join(line.layers), "")

    return _partition(lines, [key(line) for line in lines])


def by_layer(lines: Sequence[Whole]) -> Partition:
    """Parts by layer, whatever its name says."""
    return _partition(lines, [("/".join(line.layers), "") for line in lines])


def by_style(lines: Sequence[Whole], shapes: Shapes) -> Partition:
    """Parts by style; styles that differ by a blur are one, unless both lie in one nest."""
    rough = _partition(lines, [style_key(line.style) for line in lines], named=False)
    found = bodies(lines, shapes, rough)
    together = set()
    for nest in nests_of(found):
        parts = {found[number].part for number in nest}
        together |= {(a, b) for a in parts for b in parts if a != b}
    weight = [0.0] * len(rough.names)
    for line, part in enumerate(rough.part):
        weight[part] += shapes.lengths[line]
    target: Dict[int, int] = {}
    leaders: List[int] = []
    for part in sorted(range(len(weight)), key=lambda p: (-weight[p], p)):
        for leader in leaders:
            members = [p for p in target if target[p] == leader]
            apart = any((part, member) in together for member in members)
            if not apart and _like(rough.styles[part], rough.styles[leader]):
                target[part] = leader
                break
        else:
            target[part] = part
            leaders.append(part)
    return _partition(lines, [(target[part],) for part in rough.part], named=False)


def _partition(lines: Sequence[Whole], keys: Sequence[Tuple[object, ...]], named: bool = True) -> Partition:
    numbers: Dict[Tuple[object, ...], int] = {}
    part = [numbers.setdefault(key, len(numbers)) for key in keys]
    names, styles = [set() for _ in numbers], [dict() for _ in numbers]
    for line, number in zip(lines, part):
        names[number].add("/".join(line.layers))
        seen = styles[number]
        weight = float(np.abs(np.diff(line.path.nodes, axis=0)).sum()) if len(line.path) else 0.0
        seen[line.style] = seen.get(line.style, 0.0) + weight
    usual = [max(sorted(seen, key=repr), key=lambda style: seen[style]) for seen in styles]
    layers = [", ".join(sorted(name)) for name in names]
    sizes = [str(key[1]) if named else "" for key in numbers]
    return Partition(tuple(layers), tuple(sizes), tuple(usual), tuple(part))


def bodies(lines: Sequence[Whole], shapes: Shapes, partition: Partition) -> Tuple[Body, ...]:
    """Lines, alone or end to end, as large as a piece; mere areas count where there is nothing else."""
    stroked = np.array([bool(line.style.colour) for line in lines], bool)
    extent = shapes.boxes[:, 2:] - shapes.boxes[:, :2]
    large = np.prod(extent, axis=1) >= SMALLEST
    around = shapes.lengths >= extent.sum(axis=1) * 0.98
    alone = large & np.where(shapes.closed, shapes.areas >= SMALLEST, around)
    if (alone & stroked).any():
        alone &= stroked
    found = [Body(partition.part[n], (int(n),), shapes.boxes[n]) for n in np.flatnonzero(alone)]
    loose: Dict[int, List[int]] = {}
    for number in np.flatnonzero(~alone & stroked & ~shapes.closed & (shapes.lengths > 2 * BRIDGED)):
        loose.setdefault(partition.part[number], []).append(int(number))
    for part, numbers in loose.items():
        found += _chained(shapes, part, numbers)
    return tuple(found)


def _chained(shapes: Shapes, part: int, numbers: Sequence[int]) -> List[Body]:
    """Bodies of several lines of one part whose ends nearly meet."""
    cells: Dict[Tuple[int, int], List[int]] = {}
    for number in numbers:
        for tip in shapes.points[number][[0, -1]]:
            x, y = np.round(tip / (2 * BRIDGED)).astype(int)
            cells.setdefault((int(x), int(y)), []).append(number)
    parent = {number: number for number in numbers}

    def root(number: int) -> int:
        while parent[number] != number:
            number = parent[number]
        return number

    for here in cells.values():
        for other in here[1:]:
            parent[root(other)] = root(here[0])
    sets: Dict[int, List[int]] = {}
    for number in numbers:
        sets.setdefault(root(number), []).append(number)
    found = []
    for members in sets.values():
        box = np.concatenate([shapes.boxes[members, :2].min(axis=0), shapes.boxes[members, 2:].max(axis=0)])
        extent = box[2:] - box[:2]
        if len(members) > 1 and np.prod(extent) >= SMALLEST and shapes.lengths[members].sum() >= extent.sum():
            found.append(Body(part, tuple(members), box))
    return found


def nests_of(found: Sequence[Body]) -> Tuple[Tuple[int, ...], ...]:
    """Bodies that lie nested, chained from one to the next; a body alone is a nest too."""
    boxes = np.array([body.box for body in found]).reshape(-1, 4)
    left, nests = set(range(len(found))), []
    while left:
        nest, todo = [], [min(left)]
        left.discard(todo[0])
        while todo:
            number = todo.pop()
            nest.append(number)
            near = [int(n) for n in np.flatnonzero(overlap(boxes[number], boxes) > NESTED) if n in left]
            left.difference_update(near)
            todo += near
        nests.append(tuple(sorted(nest)))
    return tuple(nests)


def judged(lines: Sequence[Whole], shapes: Shapes, partition: Partition) -> Judged:
    """Tell which parts of a partition are sizes."""
    found = bodies(lines, shapes, partition)
    nests = nests_of(found)
    several = [nest for nest in nests if len(nest) > 1]
    count = [0] * len(partition.names)
    places = [0] * len(partition.names)
    crowded = [0] * len(partition.names)
    for nest in several:
        parts = [found[number].part for number in nest]
        for part in set(parts):
            count[part] += parts.count(part)
            places[part] += 1
            crowded[part] += parts.count(part) > 1
    mixed = [p for p in range(len(count)) if count[p] > _MIXED * places[p]]
    # A size whose outline came in bits has several bodies here and there, not everywhere.
    mixed = [p for p in _outermost(found, several, mixed) if crowded[p] > _MOST * places[p]]
    single = [p for p in range(len(count)) if places[p] and p not in mixed]
    shared = [nest for nest in several if len({found[n].part for n in nest} & set(single)) > 1]
    taking = [sum(any(found[n].part == p for n in nest) for nest in shared) for p in range(len(count))]
    single = [
        p for p in single if taking[p] >= max(1.0, _OFTEN * len(shared)) or partition.sizes[p] and taking[p]
    ]
    held = sum(count[p] for p in single)
    where = [nest for nest in nests if any(found[n].part in single for n in nest)]
    if len(single) < 2 or held < _MOST * sum(count) or len(shared) < _SEVERAL * len(where):
        single = []
    if len(several) < _SEVERAL * len(nests):
        mixed = []
    order = _by_extent(found, shared, single)
    return Judged(partition, found, nests, tuple(order), tuple(mixed))


def by_rank(trial: Judged) -> Partition:
    """The partition with parts split by place in the nest, where all nests hold as many of one part.

    A look that was used for two sizes, far apart in the nest, is two.
    """
    partition, bodies_of = trial.partition, trial.bodies
    keys = [(part, 0) for part in partition.part]
    for mixed in set(partition.part):
        rows = [[bodies_of[n] for n in nest if bodies_of[n].part == mixed] for nest in trial.nests]
        counts = {len(row) for row in rows if row}
        if len(counts) == 1 and max(counts) > 1:
            for row in rows:
                for rank, body in enumerate(sorted(row, key=_room), 1):
                    for line in body.lines:
                        keys[line] = (mixed, rank)
    numbers = {key: number for number, key in enumerate(sorted(set(keys)))}
    return Partition(
        tuple(partition.names[part] for part, _ in numbers),
        tuple(partition.sizes[part] for part, _ in numbers),
        tuple(partition.styles[part] for part, _ in numbers),
        tuple(numbers[key] for key in keys),
    )


def _room(body: Body) -> float:
    """Area of a body's box (mm2)."""
    return float(np.prod(body.box[2:] - body.box[:2]))


def _outermost(found: Sequence[Body], nests: Sequence[Sequence[int]], parts: Sequence[int]) -> List[int]:
    """Parts whose nested bodies do not mostly lie within those of another part, as darts do."""
    kept = []
    boxes = {p: np.array([found[n].box for nest in nests for n in nest if found[n].part == p]) for p in parts}
    for part in parts:
        others = [boxes[p] for p in parts if p != part]
        around = np.concatenate(others) if others else np.zeros((0, 4))
        held = [
            bool(
                (
                    (around[:, :2] <= box[:2] + 1).all(axis=1) & (around[:, 2:] >= box[2:] - 1).all(axis=1)
                ).any()
            )
            for box in boxes[part]
        ]
        if np.mean(held) <= _MOST:
            kept.append(part)
    return kept


def _by_extent(found: Sequence[Body], nests: Sequence[Sequence[int]], parts: Sequence[int]) -> List[int]:
    """Parts from the smallest up, by the boxes of their bodies against others in the nest."""
    sums: Dict[int, List[float]] = {part: [] for part in parts}
    for nest in nests:
        inner = [n for n in nest if found[n].part in sums]
        logs = [float(np.log(np.prod(found[n].box[2:] - found[n].box[:2]))) for n in inner]
        for number, value in zip(inner, logs):
            sums[found[number].part].append(value - sum(logs) / len(logs))
    return sorted(parts, key=lambda part: (float(np.mean(sums[part])) if sums[part] else 0.0, part))
