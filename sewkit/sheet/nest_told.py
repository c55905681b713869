"""What there is to tell about the outlines of a sheet: gaps, open ends, sizes that contradict."""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Box, Gap, Whole
from sewkit.sheet.nest_close import Open, Ring
from sewkit.sheet.nest_graph import EVERYBODY
from sewkit.sheet.nest_order import crossed
from sewkit.sheet.nest_pieces import Sorted
from sewkit.sheet.nest_shapes import BRIDGED, SILENT, Shapes, near

# A size may be this part smaller than the one before and still count as equal: pieces whose
# sizes differ by nothing but rounding.
_ROUNDING = 1e-6
# An end farther than this from all lines of its own size lacks more than a gap (mm).
_FAR = 20.0


class Drawn(NamedTuple):
    """One piece to tell about: its number, its rings from the smallest size up, their sizes."""

    number: int
    rings: Tuple[Ring, ...]
    names: Tuple[str, ...]

    @property
    def where(self) -> str:
        """What the piece is called as long as it has no name."""
        return "piece {}".format(self.number)


def middle_of(box: Box) -> Tuple[float, float]:
    """The middle of a box (mm)."""
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def _of(name: str) -> str:
    return " of size {}".format(name) if name else ""


def _point(spot: np.ndarray) -> Tuple[float, float]:
    return float(spot[0]), float(spot[1])


def told_uneven(paths: Sequence[Path], uneven: Sequence[int], piece: Drawn) -> List[Finding]:
    """Sizes whose corners are more or fewer than those of the others."""
    if not uneven:
        return []
    text = "Size {} has more or fewer corners than the other sizes; check that its edges correspond.".format(
        ", ".join(piece.names[n] for n in uneven)
    )
    return [Finding("corners", Level.WARN, text, piece.where, _point(paths[uneven[0]].start))]


def told_order(piece: Drawn) -> List[Finding]:
    """Whether every size is larger than the one before, and lies inside it."""
    found = []
    rings, names = piece.rings, piece.names
    for one, two, name, following in zip(rings, rings[1:], names, names[1:]):
        if two.area < one.area * (1 - _ROUNDING) or two.girth < one.girth * (1 - 1e-3):
            text = "Size {} is not larger than size {}; check which line is which size.".format(
                following, name
            )
            found.append(Finding("nest-order", Level.WARN, text, piece.where, _point(two.path.start)))
            continue
        out = crossed(one, two)
        if out is not None:
            text = "The lines of sizes {} and {} cross: size {} stands out by {:.1f} mm here.".format(
                name, following, name, out.distance
            )
            found.append(Finding("crossing", Level.WARN, text, piece.where, out.point))
    return found


def told_gaps(piece: Drawn, lines: Sequence[Whole]) -> List[Finding]:
    """The gaps that were bridged, for each outline: between lines, and in the run of a line."""
    found = []
    for ring, name in zip(piece.rings, piece.names):
        run = {gap for line in ring.lines for gap in lines[line].gaps}
        for ways, within in (
            (("with a straight line", "with straight lines"), False),
            (("in the run of the line",) * 2, True),
        ):
            wide = [gap for gap in ring.gaps if gap.width > SILENT and (gap in run) == within]
            if wide:
                found.append(_told_gap(wide, ways, name, piece.where))
    return found


def _told_gap(gaps: Sequence[Gap], ways: Tuple[str, str], name: str, where: str) -> Finding:
    widest = max(gaps, key=lambda gap: gap.width)
    more = ("", " and a smaller one")[len(gaps) > 1]
    if len(gaps) > 2:
        more = " and {} smaller ones".format(len(gaps) - 1)
    text = "The outline{} had a gap of {:.1f} mm here{}, which {} closed {}.".format(
        _of(name), widest.width, more, "was" if len(gaps) == 1 else "were", ways[len(gaps) > 1]
    )
    return Finding("gap", Level.INFO, text, where, widest.point)


def told_lacking(pieces: Sequence[Drawn], sizes: Sequence[str]) -> List[Finding]:
    """Pieces that are drawn in some of the sizes only; ``sizes`` from the smallest."""
    found = []
    for piece in pieces:
        lacking = [size for size in sizes if size not in piece.names]
        if lacking and piece.names != ("",):
            text = "This piece is drawn in {} of {} sizes; {} {} missing.".format(
                len(piece.names), len(sizes), ", ".join(lacking), "is" if len(lacking) == 1 else "are"
            )
            spot = middle_of(piece.rings[-1].box)
            found.append(Finding("sizes-missing", Level.WARN, text, piece.where, spot))
    return found


def told_open(
    unclosed: Sequence[Open], sizes: Sequence[str], shapes: Shapes, owner: Sequence[int]
) -> List[Finding]:
    """Outlines that stay open, and where what is missing."""
    found = []
    for chain in unclosed:
        width, spot = _missing(chain, shapes, owner)
        name = sizes[chain.owner - 1] if chain.owner > 0 else ""
        if width > BRIDGED:
            text = "An outline{} is open here: {:.1f} mm are missing, too much to close unasked."
        elif width > SILENT:
            text = (
                "An outline{} is open here: {:.1f} mm are missing. Closed, it would run across another "
                "outline or enclose next to nothing."
            )
        else:
            text = "An outline{} ends here on another line, and no way round from there closes it."
        text = text.format(_of(name), width) + " Draw the missing line, or say that it is not a size."
        found.append(Finding("open", Level.FAIL, text, "", spot))
    return found


def _missing(chain: Open, shapes: Shapes, owner: Sequence[int]) -> Tuple[float, Tuple[float, float]]:
    """How much is missing (mm) at the end of a chain that meets nothing, and where that is."""
    ends = np.array([chain.first, chain.last])
    widths = _widths(chain, shapes, owner, (chain.owner,), ends)
    if widths.min() > _FAR:  # perhaps it only lacks its fold
        widths = np.minimum(widths, _widths(chain, shapes, owner, (EVERYBODY,), ends))
    loose = int(widths.argmax()) if widths.min() <= SILENT else int(widths.argmin())
    return float(widths[loose]), _point(ends[loose])


def _widths(
    chain: Open, shapes: Shapes, owner: Sequence[int], whose: Sequence[int], ends: np.ndarray
) -> np.ndarray:
    """How far each end of a chain is from some owners' other lines, or from the other end (mm)."""
    widths = np.full(2, np.hypot(*(ends[1] - ends[0])))
    for line, one in enumerate(owner):
        if one not in whose or line in chain.lines or not len(shapes.points[line]):
            continue
        reach = np.maximum(shapes.boxes[line, :2] - ends, ends - shapes.boxes[line, 2:]).max(axis=1)
        if (reach < widths).any():
            widths = np.minimum(widths, near(shapes.points[line], shapes.along[line], ends).distance)
    return widths


def told_rings(sorted_out: Sorted) -> List[Finding]:
    """Closed lines that were taken for something else than a piece."""
    found = []
    for ring in sorted_out.squares:
        side = ring.box[2] - ring.box[0]
        text = "A square of {:.1f} mm was taken for a test square, not for a piece.".format(side)
        found.append(Finding("test-square", Level.INFO, text, "", middle_of(ring.box)))
    for ring in sorted_out.frames:
        text = "A rectangle around several pieces was taken for a frame."
        found.append(Finding("frame", Level.INFO, text, "", middle_of(ring.box)))
    if sorted_out.doubled:
        ring = sorted_out.doubled[0]
        count = len(sorted_out.doubled)
        text = (
            "{} an outline inside it and {} for {}; a seam line inside a cut line looks like this."
        ).format(
            *("One closed line follows", "was taken", "an inner line")
            if count == 1
            else ("{} closed lines follow".format(count), "were taken", "inner lines")
        )
        found.append(Finding("inner-outline", Level.INFO, text, "", middle_of(ring.box)))
    return found
