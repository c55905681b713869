"""Pieces on the sheet: closed outlines by size, and what lies in them.

found = find_pieces(lines, words, grouping)
found.pieces[0].outlines[0].path        # closed, clockwise, mm on the sheet
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Box, Gap, Whole, Words
from sewkit.sheet.groups import Grouping
from sewkit.sheet.nest_close import Open, Ring, close
from sewkit.sheet.nest_inside import lines_at, words_at
from sewkit.sheet.nest_order import crossed, reading_order, started
from sewkit.sheet.nest_pieces import Nest, Sorted, nested, sort_out
from sewkit.sheet.nest_shapes import SILENT, SMALLEST, Shapes, near, overlap, shapes_of
from sewkit.sheet.nest_way import EVERYBODY, NOBODY

ALL, NONE = "all", "-"
# A straight line at least this long (mm) inside a ring may be its grain line.
_GRAIN = 40.0
# An open line in the box of a piece looks like its outline from this part on.
_ALIKE = 0.5
# A size may be this part smaller than the one before and still count as equal: pieces whose
# sizes differ by nothing but rounding.
_ROUNDING = 1e-6


class FoundOutline(NamedTuple):
    """One outline.

    Args:
        size: its name; empty where the piece is drawn once and serves every size.
        path: closed, clockwise on the sheet, begun at the same corner in all sizes.
        lines: numbers of the whole lines it consists of, its own and shared ones.
        gaps: those that were bridged.
    """

    size: str
    path: Path
    lines: Tuple[int, ...]
    gaps: Tuple[Gap, ...] = ()


class FoundPiece(NamedTuple):
    """One piece.

    Args:
        outlines: smallest size first.
        inside: numbers of the whole lines that lie in it or on it and are no outline.
        words: numbers of the words in it.
        box: around its outlines (mm).
    """

    outlines: Tuple[FoundOutline, ...]
    inside: Tuple[int, ...]
    words: Tuple[int, ...]
    box: Box


class Found(NamedTuple):
    """All pieces in reading order, and what is left.

    Args:
        open_lines: numbers of lines of a size that are part of no closed outline and look
            like one.
        rest: numbers of lines that belong to no piece.
    """

    pieces: Tuple[FoundPiece, ...]
    open_lines: Tuple[int, ...]
    rest: Tuple[int, ...]
    findings: Tuple[Finding, ...] = ()


def find_pieces(lines: Sequence[Whole], words: Sequence[Words], grouping: Grouping) -> Found:
    """Close every size's outlines and gather them into pieces.

    An outline goes on through a shared line (a fold, another size) where its own line
    ends on it.  Gaps up to 0.3 mm are closed silently, up to 3 mm closed and told; wider
    ones stay open and are told.
    """
    shapes = shapes_of(lines)
    sizes, owner = _owners(lines, grouping)
    rings, left = close(lines, shapes, owner)
    sorted_out = sort_out(nested(rings), words, _grain(shapes))
    nests = sorted_out.pieces
    ranks = _ranks(nests, len(sizes))
    nests = tuple(nests[n] for n in reading_order(np.array([nest.largest.box for nest in nests])))
    outlines = [nest.largest.points for nest in nests]
    taken = {line for nest in nests for ring in nest.rings for line in ring.own}
    unclosed = _unclosed(left, nests)
    open_lines = tuple(sorted({line for chain in unclosed for line in chain.lines} - taken))
    free = [n for n in range(len(lines)) if n not in taken and n not in open_lines and len(lines[n].path)]
    homes = lines_at(shapes, free, outlines)
    word_homes = words_at(words, outlines)
    pieces, findings = [], []  # type: List[FoundPiece], List[Finding]
    for number, nest in enumerate(nests):
        inside = tuple(line for line, home in zip(free, homes) if home == number)
        said = tuple(n for n, home in enumerate(word_homes) if home == number)
        piece, told = _piece(nest, sizes, ranks, inside, said, "piece {}".format(number + 1))
        pieces.append(piece)
        findings += told
    findings += _missing_sizes(pieces, sizes, ranks)
    findings += _told_open(unclosed, sizes, shapes, owner) + _told_rings(sorted_out)
    rest = {line for line, home in zip(free, homes) if home < 0}
    return Found(tuple(pieces), open_lines, tuple(sorted(rest)), tuple(findings))


def _owners(lines: Sequence[Whole], grouping: Grouping) -> Tuple[List[str], List[int]]:
    """Names of the sizes in the grouping's order, and for each line which of them it is (from 1)."""
    sizes = list(dict.fromkeys(g.size for g in grouping.groups if g.size not in (ALL, NONE)))
    owner = [NOBODY] * len(lines)
    for group in grouping.groups:
        if group.size == NONE:
            continue
        number = EVERYBODY if group.size == ALL else sizes.index(group.size) + 1
        for line in group.lines:
            owner[line] = number
    if not sizes:  # drawn in one size: all lines are its own
        sizes, owner = [""], [1 if number == EVERYBODY else number for number in owner]
    return sizes, owner


def _grain(shapes: Shapes) -> np.ndarray:
    """Middles ``(k, 2)`` of long straight lines."""
    found = []
    for run, length, closed in zip(shapes.points, shapes.lengths, shapes.closed):
        if length >= _GRAIN and not closed and np.hypot(*(run[-1] - run[0])) > 0.999 * length:
            found.append((run[0] + run[-1]) / 2)
    return np.array(found).reshape(-1, 2)


def _ranks(nests: Sequence[Nest], count: int) -> Dict[int, int]:
    """Each size's place from the smallest, by the areas of its outlines."""
    larger: Dict[int, List[float]] = {number: [] for number in range(1, count + 1)}
    for nest in nests:
        if len(nest.rings) < 2:
            continue
        middle = float(np.mean([np.log(ring.area) for ring in nest.rings]))
        for ring in nest.rings:
            if ring.owner in larger:
                larger[ring.owner].append(float(np.log(ring.area)) - middle)
    mean = {owner: float(np.mean(all_)) if all_ else None for owner, all_ in larger.items()}
    known = sorted((owner for owner in mean if mean[owner] is not None), key=lambda o: (mean[o], o))
    order = known + [owner for owner in mean if mean[owner] is None]
    ranks = {owner: rank for rank, owner in enumerate(order, 1)}
    ranks[EVERYBODY] = 0
    return ranks


def _piece(
    nest: Nest,
    sizes: Sequence[str],
    ranks: Dict[int, int],
    inside: Tuple[int, ...],
    words: Tuple[int, ...],
    where: str,
) -> Tuple[FoundPiece, List[Finding]]:
    rings = sorted(nest.rings, key=lambda ring: ranks[ring.owner])
    names = [sizes[ring.owner - 1] if ring.owner != EVERYBODY else "" for ring in rings]
    begun = started([ring.path for ring in rings])
    findings = []
    if begun.uneven:
        findings.append(_uneven(begun.paths, begun.uneven, names, where))
    findings += _monotone(rings, names, where)
    for ring, name in zip(rings, names):
        findings += _told_gaps(ring, name, where)
    outlines = tuple(
        FoundOutline(name, path, ring.lines, ring.gaps) for name, path, ring in zip(names, begun.paths, rings)
    )
    boxes = np.array([ring.box for ring in rings])
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return FoundPiece(outlines, inside, words, box), findings


def _of(name: str) -> str:
    return " of size {}".format(name) if name else ""


def _uneven(paths: Sequence[Path], uneven: Sequence[int], names: Sequence[str], where: str) -> Finding:
    text = "Size {} has more or fewer corners than the other sizes; check that its edges correspond.".format(
        ", ".join(names[n] for n in uneven)
    )
    return Finding("corners", Level.WARN, text, where, _point(paths[uneven[0]].start))


def _point(spot: np.ndarray) -> Tuple[float, float]:
    return float(spot[0]), float(spot[1])


def _monotone(rings: Sequence[Ring], names: Sequence[str], where: str) -> List[Finding]:
    """Whether every size is larger than the one before, and lies inside it."""
    found = []
    for one, two, name, following in zip(rings, rings[1:], names, names[1:]):
        if two.area < one.area * (1 - _ROUNDING) or two.girth < one.girth * (1 - 1e-3):
            text = "Size {} is not larger than size {}; check which line is which size.".format(
                following, name
            )
            found.append(Finding("nest-order", Level.WARN, text, where, _point(two.path.start)))
            continue
        out = crossed(one, two)
        if out is not None:
            text = "The lines of sizes {} and {} cross: size {} stands out by {:.1f} mm here.".format(
                name, following, name, out.distance
            )
            found.append(Finding("crossing", Level.WARN, text, where, out.point))
    return found


def _told_gaps(ring: Ring, name: str, where: str) -> List[Finding]:
    wide = sorted((gap for gap in ring.gaps if gap.width > SILENT), key=lambda gap: -gap.width)
    if not wide:
        return []
    more = "" if len(wide) == 1 else ", and {} smaller ones".format(len(wide) - 1)
    text = "The outline{} had a gap of {:.1f} mm here{}, which was closed with a straight line.".format(
        _of(name), wide[0].width, more
    )
    return [Finding("gap", Level.INFO, text, where, wide[0].point)]


def _missing_sizes(
    pieces: Sequence[FoundPiece], sizes: Sequence[str], ranks: Dict[int, int]
) -> List[Finding]:
    """Pieces that are drawn in some of the sizes only."""
    order = [sizes[owner - 1] for owner in sorted(ranks, key=lambda o: ranks[o]) if owner != EVERYBODY]
    found = []
    for number, piece in enumerate(pieces, 1):
        drawn = [outline.size for outline in piece.outlines]
        lacking = [size for size in order if size not in drawn]
        if lacking and drawn != [""]:
            text = "This piece is drawn in {} of {} sizes; {} {} missing.".format(
                len(drawn), len(order), ", ".join(lacking), "is" if len(lacking) == 1 else "are"
            )
            found.append(
                Finding("sizes-missing", Level.WARN, text, "piece {}".format(number), _middle(piece.box))
            )
    return found


def _middle(box: Box) -> Tuple[float, float]:
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def _unclosed(left: Sequence[Open], nests: Sequence[Nest]) -> List[Open]:
    """Chains that look like an outline: as large as a piece that lacks this size, or large and alone."""
    boxes = np.array([nest.largest.box for nest in nests]).reshape(-1, 4)
    found = []
    for chain in left:
        width, height = chain.box[2] - chain.box[0], chain.box[3] - chain.box[1]
        if min(width, height) ** 2 < SMALLEST / 2 or chain.length < 0.9 * (width + height):
            continue
        share = overlap(chain.box, boxes)
        has = [
            n
            for n in np.flatnonzero(share > 0)
            if chain.owner in nests[n].owners and _holds(boxes[n], chain.box)
        ]
        if not has or any(
            share[n] > _ALIKE and chain.owner not in nests[n].owners for n in range(len(nests))
        ):
            found.append(chain)
    return found


def _holds(box: np.ndarray, other: Box) -> bool:
    middle = _middle(other)
    return bool(box[0] <= middle[0] <= box[2] and box[1] <= middle[1] <= box[3])


def _told_open(
    unclosed: Sequence[Open], sizes: Sequence[str], shapes: Shapes, owner: Sequence[int]
) -> List[Finding]:
    found = []
    for chain in unclosed:
        width, spot = _missing(chain, shapes, owner)
        name = sizes[chain.owner - 1] if chain.owner > 0 else ""
        text = (
            "An outline{} is open here: {:.1f} mm are missing, too much to close unasked. "
            "Draw the missing line, or say that it is not a size."
        ).format(_of(name), width)
        found.append(Finding("open", Level.FAIL, text, "", spot))
    return found


def _missing(chain: Open, shapes: Shapes, owner: Sequence[int]) -> Tuple[float, Tuple[float, float]]:
    """How much is missing (mm) at the end of a chain that meets nothing, and where that is."""
    ends = np.array([chain.first, chain.last])
    widths = np.full(2, np.hypot(*(ends[1] - ends[0])))
    for line, whose in enumerate(owner):
        reach = np.maximum(shapes.boxes[line, :2] - ends, ends - shapes.boxes[line, 2:]).max(axis=1)
        if whose not in (chain.owner, EVERYBODY) or line in chain.lines or (reach >= widths).all():
            continue
        widths = np.minimum(widths, near(shapes.points[line], shapes.along[line], ends).distance)
    loose = int(widths.argmax()) if widths.min() <= SILENT else int(widths.argmin())
    return float(widths[loose]), _point(ends[loose])


def _told_rings(sorted_out: Sorted) -> List[Finding]:
    found = []
    for ring in sorted_out.squares:
        side = ring.box[2] - ring.box[0]
        text = "A square of {:.1f} mm was taken for a test square, not for a piece.".format(side)
        found.append(Finding("test-square", Level.INFO, text, "", _middle(ring.box)))
    for ring in sorted_out.frames:
        text = "A rectangle around several pieces was taken for a frame."
        found.append(Finding("frame", Level.INFO, text, "", _middle(ring.box)))
    if sorted_out.doubled:
        ring = sorted_out.doubled[0]
        text = (
            "{} closed lines follow an outline inside it and were taken for inner lines; "
            "a seam line inside a cut line looks like this."
        ).format(len(sorted_out.doubled))
        found.append(Finding("inner-outline", Level.INFO, text, "", _middle(ring.box)))
    return found
