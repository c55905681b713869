"""Seam and hem allowances: the parallel of a closed outline, with a width per edge.

    offset(path, 10.0).path                       # 10 mm all round, outside
    offset(path, [10, 10, 0, 40], corners).path   # a width per curve; 0 = on the fold
    offset(path, -10.0).path                      # 10 mm inside: back to the seam line

The way it is done: exact parallel curves (``parallel``) are joined at the nodes
(``corner``) to a raw chain (``chain``); loops are cut out of it by winding number
(``trim``); and only what is left is fitted with cubics (``fit``).

A width is positive outside and negative inside, whichever way the path runs.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from sewkit.geometry import trim
from sewkit.geometry.chain import Chain, build, folds, reopen_swallowed
from sewkit.geometry.corner import Corner, Joint, Strand, Style, make_joint
from sewkit.geometry.fit import fit_spans
from sewkit.geometry.meet import refine
from sewkit.geometry.parallel import Edge, Parallels, Samples, line, place
from sewkit.geometry.path import Path, cut_curve, lines
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.tolerance import FIT, SAME_POINT, STRAIGHT

__all__ = ["Corner", "Offset", "OffsetVanishes", "Style", "Trim", "offset"]

# An edge that is longer than this many times its width should not disappear from an
# inward offset: losing it means that the wrong width was given.
LONG_EDGE = 3.0


# Kinks of one curve nearer than this, in its parameter, are one.
SAME_KINK = 1e-3

# Stands in for the number of a node that the source does not have.
NO_NODE = -1


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


class _Outline(NamedTuple):
    """The source made fit for work: no empty curves, positive area, known numbers."""

    curves: np.ndarray
    widths: np.ndarray
    corners: List[Corner]
    sources: List[int]
    nodes: List[int]
    turned: bool


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
    outline = _prepare(path, widths, corners)
    parallels = Parallels(outline.curves, outline.widths)
    samples = parallels.sample()
    if samples.kinks:
        outline = _split_at_kinks(outline, samples.kinks)
        parallels = Parallels(outline.curves, outline.widths)
        samples = parallels.sample()
    edges = parallels.edges(list(range(len(outline.curves))))
    joints = [
        make_joint(edges[i - 1], edges[i], outline.corners[i], mitre_limit)
        for i in range(len(edges))
    ]
    joints = reopen_swallowed(edges, joints)
    chain = build(edges, joints, samples, folds(samples, edges))
    strands, trims = _trimmed(chain, joints, samples, edges)
    curves, sources = _assemble(strands, joints, edges, parallels, tolerance)
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


def _split_at_kinks(outline: _Outline, kinks: Sequence[Tuple[int, float]]) -> _Outline:
    """Turn cusps within a curve into nodes."""
    curves, which = [], []  # type: List[np.ndarray], List[int]
    for i, curve in enumerate(outline.curves):
        sharp = sorted(t for k, t in kinks if k == i)
        # Samples on both sides of one cusp report it twice.
        runs = [t for k, t in enumerate(sharp) if k == 0 or t - sharp[k - 1] > SAME_KINK]
        ends = [t for t, after in zip(sharp, sharp[1:] + [2.0]) if after - t > SAME_KINK]
        cuts = [0.0] + [(a + b) / 2 for a, b in zip(runs, ends)] + [1.0]
        curves.extend(cut_curve(curve, a, b) for a, b in zip(cuts, cuts[1:]))
        which.extend([i] * (len(cuts) - 1))
    new = [k > 0 and which[k] == which[k - 1] for k in range(len(which))]
    return outline._replace(
        curves=np.array(curves),
        widths=outline.widths[which],
        corners=[Corner() if n else outline.corners[i] for i, n in zip(which, new)],
        sources=[outline.sources[i] for i in which],
        nodes=[NO_NODE if n else outline.nodes[i] for i, n in zip(which, new)],
    )


def _prepare(
    path: Path,
    widths: "Union[float, Sequence[float], np.ndarray]",
    corners: Optional[Sequence[Corner]],
) -> _Outline:
    if not path.closed:
        raise ValueError("an offset needs a closed outline")
    n = len(path)
    width = np.full(n, widths, np.float64)
    if not np.isfinite(width.sum()):
        raise ValueError("a width must be a finite number")
    styles = [Corner()] * n if corners is None else list(corners)
    if len(styles) != n:
        raise ValueError("one corner per node, please: {} for {}".format(len(styles), n))
    if not n:
        raise ValueError("this outline has no curves")
    curves, sources = _straightened(path.curves), list(range(n))
    c = curves.view(np.complex128)[..., 0]
    extent = np.abs(c[:, 1:] - c[:, :1]).max(axis=1)
    if extent.min() <= SAME_POINT:
        curves, width, styles, sources = _without_empty(extent, curves, width, styles)
    if not len(curves):
        raise ValueError("this outline has no length")
    nodes = list(sources)
    if len(curves) == 1:
        halves = [cut_curve(curves[0], 0.0, 0.5), cut_curve(curves[0], 0.5, 1.0)]
        curves, width = np.array(halves), np.repeat(width, 2)
        styles, sources, nodes = styles + [Corner()], sources * 2, nodes * 2
    if np.abs(curves[_before(len(curves)), 3] - curves[:, 0]).max() > SAME_POINT:
        raise ValueError("the curves of this outline do not join")
    area = signed_area(Path(curves, True))
    if abs(area) <= SAME_POINT * extent.max():
        raise ValueError("this outline has no area")
    if area > 0:
        return _Outline(curves, width, styles, sources, nodes, False)
    curves, width = np.ascontiguousarray(curves[::-1, ::-1]), width[::-1]
    styles = [Corner(c.style, 1 - c.leads) for c in styles[:1] + styles[:0:-1]]
    nodes = nodes[:1] + nodes[:0:-1]
    return _Outline(curves, width, styles, sources[::-1], nodes, True)


def _straightened(curves: np.ndarray) -> np.ndarray:
    """Replace curves that run to and fro on their own chord by that chord."""
    c = curves.view(np.complex128)[..., 0]
    chord = c[:, 3:] - c[:, :1]
    size = np.abs(chord)
    frame = (c[:, 1:3] - c[:, :1]) * chord.conj()
    flat = (np.abs(frame.imag) <= STRAIGHT * size).all(axis=1) & (size[:, 0] > SAME_POINT)
    wild = flat & ((frame.real < 0) | (frame.real > size * size)).any(axis=1)
    if not wild.any():
        return curves
    curves = np.array(curves)
    curves[wild] = lines(curves[wild, 0], curves[wild, 3])
    return curves


def _without_empty(
    extent: np.ndarray, curves: np.ndarray, width: np.ndarray, styles: List[Corner]
) -> Tuple[np.ndarray, np.ndarray, List[Corner], List[int]]:
    """Drop curves of no length; what was asked for at either end goes to the joint."""
    keep = np.nonzero(extent > SAME_POINT)[0].tolist()
    kept = []
    for k, i in enumerate(keep):
        wanted = [styles[i]]
        j = i - 1
        while j % len(styles) != keep[k - 1]:
            wanted.append(styles[j % len(styles)])
            j -= 1
        kept.append(next((c for c in wanted if c != Corner()), Corner()))
    return curves[keep], width[keep], kept, keep


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
        _refuse_crossing(edges, samples, (one, pairs.s[k]), (two, pairs.t[k]))
    return trim.Pairs(*(column[ours] for column in pairs))


def _refuse_crossing(
    edges: Sequence[Edge], samples: Samples, one: Tuple[int, float], two: Tuple[int, float]
) -> None:
    """Raise if the source curves themselves cross, not just their chords."""
    seams, us = [], []
    for row, part in (one, two):
        edge = edges[samples.owner[row]]
        start, end = edge.controls[0], edge.controls[3]
        seams.append(edge._replace(width=0.0, start=start, end=end))
        us.append(float(samples.u[row] + part * (samples.u[row + 1] - samples.u[row])))
    if samples.owner[one[0]] == samples.owner[two[0]]:
        seams[1] = seams[0]
    found = refine(seams[0], seams[1], us[0], us[1], 0.1)
    if found is None or not all(-1e-9 <= u <= 1 + 1e-9 for u in found):
        return
    at = place(seams[0], found[0]).point
    i, j = samples.owner[one[0]], samples.owner[two[0]]
    if (i - j) % len(edges) in (1, len(edges) - 1):
        shared = seams[0].start if (i - j) % len(edges) == 1 else seams[0].end
        if abs(at - shared) <= SAME_POINT:
            return
    raise ValueError(
        "the outline crosses or touches itself near {:.2f}, {:.2f}".format(at.real, at.imag)
    )


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
    strands = []
    for arc in arcs:
        strand = Strand(chain.strands[arc.strand].edge, arc.start, arc.stop)
        if chain.folded[arc.strand]:
            ends = (place(strand.edge, u).point for u in (arc.start, arc.stop))
            strand = Strand(line(*ends), 0.0, 1.0)
        strands.append(strand)
    return strands, _trims(chain, arcs, len(edges))


def _trims(chain: Chain, arcs: List[trim.Arc], n: int) -> Tuple[Trim, ...]:
    """What lies on the chain between one kept arc and the next."""
    found = []
    kept = {chain.strands[arc.strand].edge.source for arc in arcs}
    for arc, following in zip(arcs, arcs[1:] + arcs[:1]):
        lost = _between(chain, arc, following)
        if not lost.any():
            continue
        at = place(chain.strands[following.strand].edge, following.start).point
        size = max(np.abs(chain.start[lost] - at).max(), np.abs(chain.stop[lost] - at).max())
        numbers = np.unique(chain.strand[lost]).tolist()
        curves = sorted({chain.strands[k].edge.source for k in numbers} - {-1})
        plain = not any(chain.folded[k] for k in numbers) and kept.issuperset(curves)
        plain &= len(curves) < 2 or len(curves) == 2 and (curves[1] - curves[0]) % n in (1, n - 1)
        if size > SAME_POINT and curves and not plain:
            found.append(Trim(_point(at), float(size), tuple(curves)))
    return tuple(found)


def _between(chain: Chain, arc: trim.Arc, following: trim.Arc) -> np.ndarray:
    """Tell which chords lie behind one arc and before another, in the order of the chain."""
    low, high = np.array(chain.low), np.array(chain.high)
    after = (chain.strand > arc.strand) | (chain.strand == arc.strand) & (low >= arc.stop)
    before = (chain.strand < following.strand) | (chain.strand == following.strand) & (
        high <= following.start
    )
    forward = (arc.strand, arc.stop) <= (following.strand, following.start)
    return after & before if forward else after | before


def _assemble(
    strands: List[Strand],
    joints: Sequence[Joint],
    edges: Sequence[Edge],
    parallels: Parallels,
    tolerance: float,
) -> Tuple[np.ndarray, np.ndarray]:
    """Turn the strands into curves: lines, exact copies and fitted cubics."""
    pieces = []  # type: List[Tuple[int, Optional[np.ndarray]]]
    spans = []  # type: List[Tuple[int, float, float]]
    extra = []  # type: List[Edge]
    for strand in strands:
        edge, start, stop = strand
        source = edge.source
        if edge.straight:
            pieces.append((source, _straight(edge, start, stop)))
            continue
        low, high = start, stop
        if start < 0 and not _absorbed(edge, -start * edge.length, joints, source, tolerance):
            pieces.append((-1, _segment(edge, start, min(0.0, stop))))
            low = 0.0
        if stop > 1 and not _absorbed(edge, (stop - 1) * edge.length, joints, source + 1, tolerance):
            high = 1.0
        if high > low:
            if edge.width == 0 and source >= 0 and low >= 0 and high <= 1:
                copied = parallels.controls[source].view(np.float64).reshape(4, 2)
                pieces.append((source, cut_curve(copied, low, high)))
            else:
                row = source
                if source < 0:
                    row = len(edges) + len(extra)
                    extra.append(edge)
                spans.append((row, low, high))
                pieces.append((source, None))
        if stop > high:
            pieces.append((-1, _segment(edge, max(1.0, start), stop)))
    return _fitted(pieces, spans, extra, parallels, tolerance)


def _absorbed(
    edge: Edge, ahead: float, joints: Sequence[Joint], node: int, tolerance: float
) -> bool:
    """Tell whether a prolongation is so short that the fitted curve takes it in."""
    return edge.source >= 0 and joints[node % len(joints)].smooth


def _straight(edge: Edge, start: float, stop: float) -> np.ndarray:
    if edge.width == 0 and start == 0 and stop == 1 and edge.source >= 0:
        return np.array(edge.controls).view(np.float64).reshape(4, 2)
    return _segment(edge, start, stop)


def _segment(edge: Edge, start: float, stop: float) -> np.ndarray:
    p, q = place(edge, start).point, place(edge, stop).point
    third = (q - p) / 3
    return np.array([p, p + third, q - third, q]).view(np.float64).reshape(4, 2)


def _fitted(
    pieces: List[Tuple[int, Optional[np.ndarray]]],
    spans: List[Tuple[int, float, float]],
    extra: List[Edge],
    parallels: Parallels,
    tolerance: float,
) -> Tuple[np.ndarray, np.ndarray]:
    """Fit all spans in one batch and put everything in order."""
    if extra:
        controls = np.array([edge.controls for edge in extra]).view(np.float64)
        curves = parallels.controls.view(np.float64).reshape(-1, 4, 2)
        curves = np.concatenate([curves, controls.reshape(-1, 4, 2)])
        widths = np.concatenate([parallels.widths, [edge.width for edge in extra]])
        parallels = Parallels(curves, widths)
    fits = []  # type: List[np.ndarray]
    if spans:
        owner, start, stop = zip(*spans)
        fitted = fit_spans(parallels.at, np.array(owner), np.array(start), np.array(stop), tolerance)
        bounds = fitted.span.searchsorted(np.arange(len(spans) + 1)).tolist()
        fits = [fitted.curves[a:b] for a, b in zip(bounds, bounds[1:])]
    curves, sources = [], []  # type: List[np.ndarray], List[int]
    following = iter(fits)
    for source, curve in pieces:
        several = next(following) if curve is None else curve[None]
        curves.append(several)
        sources.extend([source] * len(several))
    return np.concatenate(curves), np.array(sources)


def _finished(
    outline: _Outline,
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
        curves, sources = _without_flat_nodes(curves, sources)
    curves[:, 0] = curves[_before(len(curves)), 3]
    names = np.array(outline.sources + [-1])
    sources = names[sources]
    if outline.turned:
        curves, sources = curves[::-1, ::-1], sources[::-1]
    named = tuple(
        Trim(t.point, t.size, tuple(sorted({outline.sources[c] for c in t.curves}))) for t in trims
    )
    return Offset(Path(curves, True), sources, named, tuple(sorted(set(missed) - {NO_NODE})))


def _without_flat_nodes(curves: np.ndarray, sources: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
    """Let a corner's line that goes straight on become part of the straight edge beside it."""
    c = curves.view(np.complex128)[..., 0]
    # A straight output was made straight: its handles lie on the thirds of the chord.
    straight = np.abs(2 * c[:, 0] - 3 * c[:, 1] + c[:, 3]) <= STRAIGHT
    straight &= np.abs(c[:, 0] - 3 * c[:, 2] + 2 * c[:, 3]) <= STRAIGHT
    ahead = np.arange(1, len(c) + 1) % len(c)
    chord = c[:, 3] - c[:, 0]
    turn = chord.conj() * chord[ahead]
    flat = straight & straight[ahead] & (np.minimum(sources, sources[ahead]) < 0)
    flat &= (np.abs(turn.imag) <= STRAIGHT * np.abs(chord[ahead])) & (turn.real > 0)
    for k in np.nonzero(flat)[0]:
        j = (k + 1) % len(curves)
        curves[j] = lines(curves[k, 0], curves[j, 3])
        sources[j] = max(sources[j], sources[k])
    return curves[~flat], sources[~flat]


def _before(n: int) -> np.ndarray:
    """The number of the curve before each: n - 1, 0, 1, ..."""
    return np.arange(-1, n - 1)


def _point(z: complex) -> np.ndarray:
    return np.array([z.real, z.imag])
