"""Seam and hem allowances: the parallel of a closed outline, with a width per edge.

    offset(path, 10.0).path                       # 10 mm all round, outside
    offset(path, [10, 10, 0, 40], corners).path   # a width per curve; 0 = on the fold
    offset(path, -10.0).path                      # 10 mm inside: back to the seam line

The way it is done: exact parallel curves (``parallel``) are joined at the nodes
(``corner``) to a raw chain (``chain``); loops are cut out of it by winding number
(``trim``); and only what is left is fitted with cubics (``assemble``, ``fit``).

A width is positive outside and negative inside, whichever way the path runs.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from sewkit.geometry import trim
from sewkit.geometry.assemble import assemble, without_flat_nodes
from sewkit.geometry.chain import Chain, build, folds, reopen_swallowed
from sewkit.geometry.corner import Corner, Joint, Strand, Style, make_joint
from sewkit.geometry.outline import NO_NODE, Outline, before, prepare, refuse_crossing, split_at_kinks
from sewkit.geometry.parallel import Edge, Parallels, Samples, line, place
from sewkit.geometry.path import Path
from sewkit.geometry.tolerance import FIT, SAME_POINT

__all__ = ["Corner", "Offset", "OffsetVanishes", "Style", "Trim", "offset"]

# An edge that is longer than this many times its width should not disappear from an
# inward offset: losing it means that the wrong width was given.
LONG_EDGE = 3.0


class Trim(NamedTuple):
    """Where a loop was cut away.

    ``point`` is the node left behind ``(2,)``, ``size`` how far from it the loop reached
    (mm), ``curves`` the numbers of the source curves that lost something.
    """

    point: np.ndarray
    size: float
    curves: Tuple[int, ...]


class Offset(NamedTuple):
    """The parallel outline, running the same way as its source.

    ``sources``: for every curve of ``path`` the number of the source curve it runs along,
    -1 for the lines of corners.  ``trimmed``: where loops were cut away, plain crossings
    at corners not counted.  ``blunted``: nodes whose corner could not be built as asked,
    because its tip lies beyond the mitre limit.
    """

    path: Path
    sources: np.ndarray
    trimmed: Tuple[Trim, ...]
    blunted: Tuple[int, ...]


class OffsetVanishes(ValueError):
    """Nothing is left at this width, or an edge is gone; ``point`` says where (2,)."""

    def __init__(self, message: str, point: np.ndarray) -> None:
        super().__init__(message)
        self.point = point


def offset(
    path: Path,
    widths: "Union[float, Sequence[float], np.ndarray]",
    corners: Optional[Sequence[Corner]] = None,
    mitre_limit: float = 2.5,
    tolerance: float = FIT,
) -> Offset:
    """Move every edge of a closed outline along its normal by its width.

    Args:
        path: closed, not crossing or touching itself, in either direction.
        widths: mm, one for all curves or one per curve; positive outside, 0 leaves the
            curve as it is.
        corners: what to build at each node, ``corners[i]`` where curve i starts; only at
            corners that open.  Default: extended.
        mitre_limit: how far a tip may lie from the seam corner, in times the larger
            width; a longer one is cut blunt.
        tolerance: largest distance from the true parallel curves, mm.

    Raises:
        OffsetVanishes: nothing is left, or a long edge has disappeared.
        ValueError: the path is open, empty, or crosses itself.
    """
    outline = prepare(path, widths, corners)
    parallels = Parallels(outline.curves, outline.widths)
    samples = parallels.sample()
    if samples.kinks:
        outline = split_at_kinks(outline, samples.kinks)
        parallels = Parallels(outline.curves, outline.widths)
        samples = parallels.sample()
    edges = parallels.edges(list(range(len(outline.curves))))
    joints = [make_joint(edges[i - 1], edges[i], outline.corners[i], mitre_limit) for i in range(len(edges))]
    joints = reopen_swallowed(edges, joints)
    chain = build(edges, joints, samples, folds(samples, edges))
    strands, trims = _trimmed(chain, joints, samples, edges)
    curves, sources = assemble(strands, joints, edges, parallels, tolerance)
    missed = tuple(outline.nodes[i] for i, joint in enumerate(joints) if joint.missed)
    return _finished(outline, curves, sources, trims, missed)


def _trimmed(
    chain: Chain, joints: Sequence[Joint], samples: Samples, edges: Sequence[Edge]
) -> Tuple[List[Strand], Tuple[Trim, ...]]:
    """The strands of the raw chain; without its loops, where it has any."""
    pairs = _crossings(chain, samples, edges)
    loops = len(pairs.first) > 0 or any(chain.folded) or any(joint.open for joint in joints)
    # A chain without area: the strip that is exactly used up from both sides.
    empty = SAME_POINT * np.abs(chain.stop - chain.start).sum()
    if loops or trim.area_of(chain.start) <= empty:
        return _without_loops(chain, pairs, edges)
    return chain.strands, ()


def _without_loops(
    chain: Chain, pairs: trim.Pairs, edges: Sequence[Edge]
) -> Tuple[List[Strand], Tuple[Trim, ...]]:
    """The strands of the largest loop, and what was cut away to get there."""
    found = trim.loops(chain, pairs)
    middle = sum(edge.controls[0] for edge in edges) / len(edges)
    if not found or found[0].area <= SAME_POINT * max(edge.length for edge in edges):
        raise OffsetVanishes("nothing is left of the outline at this width", _point(middle))
    arcs = found[0].arcs
    inward = min(edge.width for edge in edges)
    for other in found[1:]:
        if inward < 0 and other.area > inward * inward:
            at = place(chain.strands[other.arcs[0].strand].edge, other.arcs[0].start).point
            raise OffsetVanishes("the outline falls apart at this width", _point(at))
    kept = {chain.strands[arc.strand].edge.source for arc in arcs}
    for edge in edges:
        if edge.source not in kept and edge.length > LONG_EDGE * -edge.width > 0:
            at = (edge.controls[0] + edge.controls[3]) / 2
            raise OffsetVanishes("a whole edge disappears at this width", _point(at))
    return _kept_strands(chain, arcs), _trims(chain, arcs, len(edges))


def _kept_strands(chain: Chain, arcs: Sequence[trim.Arc]) -> List[Strand]:
    strands = []
    for arc in arcs:
        strand = Strand(chain.strands[arc.strand].edge, arc.start, arc.stop)
        if chain.folded[arc.strand]:
            # Wider than a hollow's radius beside a narrow edge: no parallel curve is left
            # to follow, so the band's end, the centres of curvature, is cut straight.
            ends = (trim.on_chords(chain, arc.strand, u) for u in (arc.start, arc.stop))
            strand = Strand(line(*ends), 0.0, 1.0)
        strands.append(strand)
    return strands


def _crossings(chain: Chain, samples: Samples, edges: Sequence[Edge]) -> trim.Pairs:
    """Crossings within the chain; a crossing within the source is an error."""
    same = samples.owner[1:] == samples.owner[:-1]
    begin, end = samples.source[:-1][same], samples.source[1:][same]
    groups = (len(chain.start), len(begin))
    pairs = trim.crossing_chords(
        np.concatenate([chain.start, begin]), np.concatenate([chain.stop, end]), groups
    )
    ours = pairs.first < groups[0]
    if ours.all():
        return pairs
    rows = np.nonzero(same)[0]
    for k in np.nonzero(~ours)[0]:
        one, two = rows[pairs.first[k] - groups[0]], rows[pairs.second[k] - groups[0]]
        refuse_crossing(edges, samples, (one, pairs.s[k]), (two, pairs.t[k]))
    return trim.Pairs(*(column[ours] for column in pairs))


def _trims(chain: Chain, arcs: List[trim.Arc], n: int) -> Tuple[Trim, ...]:
    """What lies on the chain between one kept arc and the next."""
    found = []
    kept = {chain.strands[arc.strand].edge.source for arc in arcs}
    for arc, following in zip(arcs, arcs[1:] + arcs[:1]):
        if _adjoin(chain, arc, following):
            continue
        lost = _between(chain, arc, following)
        if not lost.any():
            continue
        at = place(chain.strands[following.strand].edge, following.start).point
        size = max(np.abs(chain.start[lost] - at).max(), np.abs(chain.stop[lost] - at).max())
        numbers = set(chain.strand[lost].tolist())
        curves = sorted({chain.strands[k].edge.source for k in numbers} - {-1})
        plain = not any(chain.folded[k] for k in numbers) and kept.issuperset(curves)
        plain &= len(curves) < 2 or len(curves) == 2 and (curves[1] - curves[0]) % n in (1, n - 1)
        if size > SAME_POINT and curves and not plain:
            found.append(Trim(_point(at), float(size), tuple(curves)))
    return tuple(found)


def _adjoin(chain: Chain, arc: trim.Arc, following: trim.Arc) -> bool:
    """Tell whether one arc ends with its strand and the other begins the next strand."""
    ends = arc.stop == chain.strands[arc.strand].stop
    begins = following.start == chain.strands[following.strand].start
    return ends and begins and following.strand == (arc.strand + 1) % len(chain.strands)


def _between(chain: Chain, arc: trim.Arc, following: trim.Arc) -> np.ndarray:
    """Tell which chords lie behind one arc and before another, in the order of the chain."""
    low, high = np.array(chain.low), np.array(chain.high)
    after = (chain.strand > arc.strand) | (chain.strand == arc.strand) & (low >= arc.stop)
    before = (chain.strand < following.strand) | (chain.strand == following.strand) & (
        high <= following.start
    )
    forward = (arc.strand, arc.stop) <= (following.strand, following.start)
    return after & before if forward else after | before


def _finished(
    outline: Outline,
    curves: np.ndarray,
    sources: np.ndarray,
    trims: Tuple[Trim, ...],
    missed: Tuple[int, ...],
) -> Offset:
    """Close the gaps of rounding, and answer in the direction and numbers of the source."""
    keep = np.abs(curves - curves[:, :1]).max(axis=(1, 2)) > SAME_POINT
    if not keep.all():
        curves, sources = curves[keep], sources[keep]
    if sources.min() < 0:
        curves, sources = without_flat_nodes(curves, sources)
    curves[:, 0] = curves[before(len(curves)), 3]
    names = np.array(outline.sources + [-1])
    sources = names[sources]
    if outline.turned:
        curves, sources = curves[::-1, ::-1], sources[::-1]
    named = tuple(Trim(t.point, t.size, tuple(sorted({outline.sources[c] for c in t.curves}))) for t in trims)
    return Offset(Path(curves, True), sources, named, tuple(sorted(set(missed) - {NO_NODE})))


def _point(z: complex) -> np.ndarray:
    return np.array([z.real, z.imag])
