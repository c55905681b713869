"""Sizes apart: which lines belong to which size.

    grouping = group_lines(lines, words)
    grouping = with_sizes(grouping, {"A": "36", "D": "all"})     # the person knows better

The first that separates them counts: the name of a layer, the layer, the style (colour or
ink, pen, dash rhythm), and where all lines look alike their order in the nest.
"""

from typing import List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Box, Style, Whole, Words
from sewkit.sheet.groups_apart import seen
from sewkit.sheet.groups_follow import with_followers
from sewkit.sheet.groups_keys import (
    Judged,
    Partition,
    by_layer,
    by_rank,
    by_size_layer,
    by_style,
    judged,
    style_key,
)
from sewkit.sheet.groups_names import BESIDE, Candidate, Named, named
from sewkit.sheet.groups_rest import what_it_serves, why_none
from sewkit.sheet.groups_second import with_second_lines
from sewkit.sheet.groups_told import told_areas, told_kinds, told_layers, told_names
from sewkit.sheet.groups_twice import drawn_twice
from sewkit.sheet.groups_values import ALL, NONE, Group, Grouping, key_of
from sewkit.sheet.nest_close import close
from sewkit.sheet.nest_graph import EVERYBODY, NOBODY
from sewkit.sheet.nest_pieces import nested, sort_out
from sewkit.sheet.nest_shapes import Shapes, shapes_of
from sewkit.sheet.size_names import size_name

# Names found with at least this certainty prove that there are sizes.
_SAID = 0.5
_OUTLINES = "outlines in one size"
# How sure each kind of evidence is that a group is one size.
_SURE = {"layers": 0.95, "styles": 0.9, "dashes": 0.85, "nesting": 0.6, "one size": 0.8}


class _Draft(NamedTuple):
    """A group before it has its key and its name."""

    layer: str
    style: Style
    rank: int
    lines: Tuple[int, ...]
    size: str
    reason: str
    score: float


def group_lines(lines: Sequence[Whole], words: Sequence[Words]) -> Grouping:
    """Tell sizes apart and name them."""
    kept, apart = seen(lines)
    heard = [one for one in words if not one.hidden] if any(not line.hidden for line in lines) else words
    found = _each_once([lines[number] for number in kept], heard)
    groups = [group._replace(lines=tuple(kept[line] for line in group.lines)) for group in found.groups]
    lengths = shapes_of(lines).lengths if apart else np.zeros(0)
    for one in apart:
        length = float(lengths[list(one.lines)].sum())
        key = key_of(len(groups))
        groups.append(Group(key, one.layer, one.style, 0, one.lines, length, NONE, one.reason, 0.9))
    return found._replace(groups=tuple(groups))


def _each_once(lines: Sequence[Whole], words: Sequence[Words]) -> Grouping:
    """The same for lines that are all seen; a size may be drawn twice."""
    shapes = shapes_of(lines)
    twice = drawn_twice(lines, shapes)
    if not twice.by_layers or not twice.pairs:
        found = _grouped(lines, words, shapes)
        if not twice.pairs or all(finding.code != "size-names" for finding in found.findings):
            return found
    outer = [number for number in range(len(lines)) if number not in twice.inner]
    drawn = [lines[number] for number in outer]
    found = _grouped(drawn, words, shapes_of(drawn))
    groups = [group._replace(lines=tuple(outer[line] for line in group.lines)) for group in found.groups]
    return with_second_lines(found._replace(groups=tuple(groups)), lines, shapes, twice)


def _grouped(lines: Sequence[Whole], words: Sequence[Words], shapes: Shapes) -> Grouping:
    """The same where every size is drawn once."""
    partitions = _partitions(lines, shapes)
    trials = []
    for told_by, partition in partitions:
        trial = judged(lines, shapes, partition)
        none = [p for p, row in enumerate(_members(partition)) if why_none(shapes, partition.styles[p], row)]
        trials.append((told_by, with_followers(lines, shapes, trial, none)))
        if trials[-1][1].size_parts:
            break
    told_by, trial = trials[-1]
    styles = judged(lines, shapes, partitions[-1][1])
    if told_by == "styles":
        trial = _looks_used_twice(lines, words, shapes, trial)
    if trial.size_parts:
        if told_by == "styles" and _differ_by_dashes(trial):
            told_by = "dashes"
        return _by_parts(lines, words, shapes, told_by, trial, styles)
    if styles.mixed:
        grouping = _by_nesting(lines, words, shapes, styles)
        if grouping is not None:
            return grouping
    return _one_size(lines, shapes, styles)


def _partitions(lines: Sequence[Whole], shapes: Shapes) -> List[Tuple[str, Partition]]:
    found = []
    if any(line.layers for line in lines):
        sizes, plain = by_size_layer(lines), by_layer(lines)
        found += [("layers", sizes)] if len({size for size in sizes.sizes if size}) > 1 else []
        found += [("layers", plain)] if len(plain.names) > 1 else []
    return found + [("styles", by_style(lines, shapes))]


def _looks_used_twice(
    lines: Sequence[Whole], words: Sequence[Words], shapes: Shapes, trial: Judged
) -> Judged:
    """Looks that several sizes have split by place in the nest, if words then name every size."""
    partition = by_rank(trial)
    if len(trial.mixed) + len(trial.size_parts) < 2 or len(partition.names) == len(trial.partition.names):
        return trial
    split = judged(lines, shapes, partition)
    if len(split.size_parts) <= len(trial.size_parts):
        return trial
    names = _names(words, shapes, split, _members(partition))
    return split if names.score >= _SAID and not names.doubt else trial


def _differ_by_dashes(trial: Judged) -> bool:
    keys = {style_key(trial.partition.styles[part])[:3] for part in trial.size_parts}
    return len(keys) == 1


def _by_parts(
    lines: Sequence[Whole],
    words: Sequence[Words],
    shapes: Shapes,
    told_by: str,
    trial: Judged,
    styles: Judged,
) -> Grouping:
    """Groups where every size has a part of its own."""
    partition = trial.partition
    members = _members(partition)
    names = _names(words, shapes, trial, members)
    if trial.allowance and names.score < _SAID:
        return _one_size(lines, shapes, styles, trial.allowance)
    drafts = []
    for part, name in zip(trial.size_parts, names.names):
        reason = names.reason if not partition.sizes[part] else "the layer's name"
        score = _SURE[told_by] if partition.sizes[part] else min(_SURE[told_by], names.score)
        drafts.append(_draft(partition, part, members[part], name, reason, score))
    boxes = _nest_boxes(trial)
    for part in range(len(partition.names)):
        if part not in trial.size_parts:
            drafts.append(_other(shapes, partition, part, members[part], boxes, part in trial.mixed))
    findings = told_layers(trial, styles) if told_by == "layers" else []
    findings += told_names(names, words) + told_areas(lines, shapes)
    return _finished(drafts, shapes, told_by, findings)


def _members(partition: Partition) -> List[Tuple[int, ...]]:
    found: List[List[int]] = [[] for _ in partition.names]
    for line, part in enumerate(partition.part):
        found[part].append(line)
    return [tuple(row) for row in found]


def _names(
    words: Sequence[Words], shapes: Shapes, trial: Judged, members: Sequence[Tuple[int, ...]]
) -> Named:
    partition = trial.partition
    told = tuple(partition.sizes[part] for part in trial.size_parts)
    if all(told):
        return Named(told, "the layer's name", 0.95)
    candidates = [
        Candidate(members[part], partition.styles[part], partition.names[part]) for part in trial.size_parts
    ]
    return named(candidates, words, shapes, _nest_boxes(trial), told)


def _nest_boxes(trial: Judged) -> List[Box]:
    """Boxes of the bodies of sizes, or of all bodies where there are none."""
    chosen = [body for body in trial.bodies if body.part in trial.size_parts] or list(trial.bodies)
    return [tuple(float(value) for value in body.box) for body in chosen]


def _draft(
    partition: Partition,
    part: int,
    lines: Tuple[int, ...],
    size: str,
    reason: str,
    score: float,
    rank: int = 0,
) -> _Draft:
    return _Draft(partition.names[part], partition.styles[part], rank, lines, size, reason, score)


def _other(
    shapes: Shapes,
    partition: Partition,
    part: int,
    members: Tuple[int, ...],
    boxes: Sequence[Box],
    mixed: bool,
) -> _Draft:
    """A part that is no size: it serves all of them, or none."""
    serves = what_it_serves(shapes, partition.styles[part], members, boxes, mixed)
    return _draft(partition, part, members, ALL if serves.all_sizes else NONE, serves.reason, serves.score)


def _by_nesting(
    lines: Sequence[Whole], words: Sequence[Words], shapes: Shapes, styles: Judged
) -> Optional[Grouping]:
    """Groups by place in the nest, where outlines of several sizes look alike."""
    partition = styles.partition
    members = _members(partition)
    boxes = _nest_boxes(styles)
    others = {
        part: _other(shapes, partition, part, members[part], boxes, False)
        for part in range(len(members))
        if part not in styles.mixed
    }
    owner = [1 if part in styles.mixed else EVERYBODY for part in partition.part]
    for part, draft in others.items():
        for line in members[part]:
            owner[line] = NOBODY if draft.size == NONE else EVERYBODY
    rings, _ = close(lines, shapes, owner, alike=True)
    nests = sort_out(nested(rings, alike=True), words, np.zeros((0, 2))).pieces
    count = max((len(nest.rings) for nest in nests), default=0)
    if count < 2:
        return None
    part = max(styles.mixed, key=lambda p: (len(members[p]), -p))
    style, layer = partition.styles[part], partition.names[part]

    def name_of(rows: Sequence[Sequence[int]]) -> Named:
        return named([Candidate(tuple(row), style, "") for row in rows], words, shapes, boxes)

    inner_first = [sorted(nest.rings, key=lambda ring: ring.area) for nest in nests]
    full = [rings for rings in inner_first if len(rings) == count]
    ranked: List[List[int]] = [[line for rings in full for line in rings[n].own] for n in range(count)]
    found = name_of(ranked)
    for rings in inner_first:
        if 1 < len(rings) < count:
            own = name_of([ring.own for ring in rings])
            for ring, rank in zip(rings, _ranks(own, found.names)):
                ranked[rank] += ring.own
    score = min(_SURE["nesting"], found.score)
    drafts = [
        _Draft(layer, style, rank, tuple(sorted(row)), name, found.reason, score)
        for rank, (row, name) in enumerate(zip(ranked, found.names), 1)
    ]
    taken = {line for row in ranked for line in row}
    for part in styles.mixed:
        rest = tuple(line for line in members[part] if line not in taken)
        if rest:
            drafts.append(_draft(partition, part, rest, ALL, "looks like the outlines, but is none", 0.5))
    drafts += list(others.values())
    text = (
        "The outlines of all sizes look alike: they were told apart by their place in the nest, "
        "the smallest first, {} a piece.".format(count)
    )
    told = [Finding("nesting", Level.INFO, text)]
    return _finished(drafts, shapes, "nesting", told + told_names(found, words))


def _ranks(own: Named, names: Sequence[str]) -> Sequence[int]:
    """Places in the nest of a piece that lacks sizes: as words beside its lines say, else from the first."""
    if own.reason == BESIDE and not own.doubt and set(own.names) <= set(names):
        return [names.index(name) for name in own.names]
    return range(len(own.names))


def _one_size(lines: Sequence[Whole], shapes: Shapes, styles: Judged, allowance: float = 0.0) -> Grouping:
    """Groups of a pattern in one size: by style, all serving it but what lies on no piece."""
    partition = styles.partition
    members = _members(partition)
    boxes = _nest_boxes(styles)
    with_body = {body.part for body in styles.bodies}
    size = _only_size(lines, shapes)
    drafts = []
    for part, rows in enumerate(members):
        if part in with_body and not why_none(shapes, partition.styles[part], rows):
            drafts.append(_draft(partition, part, rows, size or ALL, _OUTLINES, _SURE["one size"]))
        else:
            drafts.append(_other(shapes, partition, part, rows, boxes, False))
    text = (
        "Two outlines run {:.1f} mm apart all around: they were taken for the cut line and the seam "
        "line of one size. If they are two sizes, say so in the table of sizes."
    ).format(allowance)
    told = [Finding("seam-line", Level.WARN, text)] if allowance else []
    made = _finished(drafts, shapes, "one size", told)
    kinds = [(group.key, group.style) for group in made.groups if group.reason == _OUTLINES]
    return made._replace(findings=made.findings + tuple(told_kinds(kinds)))


def _only_size(lines: Sequence[Whole], shapes: Shapes) -> str:
    """The size that layers name, where they name just one."""
    sizes = {size for size in by_size_layer(lines).sizes if size}
    return sizes.pop() if len(sizes) == 1 else ""


def _finished(drafts: Sequence[_Draft], shapes: Shapes, told_by: str, findings: List[Finding]) -> Grouping:
    """Keys: sizes from the smallest, then what serves all, then the rest, longest first."""
    lengths = [float(shapes.lengths[list(draft.lines)].sum()) for draft in drafts]
    place = {ALL: 1, NONE: 2}
    order = sorted(
        range(len(drafts)),
        key=lambda n: (place.get(drafts[n].size, 0), n if drafts[n].size not in place else -lengths[n], n),
    )
    groups = tuple(
        Group(
            key_of(number), drafts[n].layer, drafts[n].style, drafts[n].rank, drafts[n].lines,
            lengths[n], drafts[n].size, drafts[n].reason, drafts[n].score,
        )
        for number, n in enumerate(order)
    )  # fmt: skip
    return Grouping(groups, told_by, tuple(findings))


def with_sizes(grouping: Grouping, answers: Mapping[str, str]) -> Grouping:
    """The grouping with sizes as the person gave them, by the groups' keys.

    Several groups may be one size.  "all" and "-" mean what they mean in ``Group``.
    """
    keys = [group.key for group in grouping.groups]
    given = {key.strip().upper(): size.strip() for key, size in answers.items()}
    unknown = [key for key in given if key not in keys]
    if unknown:
        raise InputError(
            "There is no group '{}' of lines in this drawing.".format(unknown[0]),
            "Its groups are: {}.".format(", ".join(keys)),
            code="size-table",
        )
    groups = []
    for group in grouping.groups:
        size = given.get(group.key, group.size)
        if size not in (ALL, NONE):
            size = size_name(size)
        if size != group.size:
            group = group._replace(size=size, reason="as you wrote", score=1.0)
        groups.append(group)
    findings = tuple(f for f in grouping.findings if f.code != "size-names" or not given)
    return grouping._replace(groups=tuple(groups), findings=findings)
