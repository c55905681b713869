"""An outline made fit for work before it is offset.

No empty curves, no curve that runs to and fro on itself, no cusp within a curve, positive
area; and the numbers that its curves and nodes had at first.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from sewkit.geometry.corner import Corner
from sewkit.geometry.meet import CLOSE, refine
from sewkit.geometry.parallel import Edge, Samples, place
from sewkit.geometry.path import Path, cut_curve, lines
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.tolerance import EXACT, SAME_POINT, STRAIGHT

# Kinks of one curve nearer than this, in its parameter, are one.
SAME_KINK = 1e-3

# Stands in for the number of a node that the source does not have.
NO_NODE = -1


class Outline(NamedTuple):
    """The source made fit for work: no empty curves, positive area, known numbers."""

    curves: np.ndarray
    widths: np.ndarray
    corners: List[Corner]
    sources: List[int]
    nodes: List[int]
    turned: bool


def prepare(
    path: Path,
    widths: "Union[float, Sequence[float], np.ndarray]",
    corners: Optional[Sequence[Corner]],
) -> Outline:
    """Check an outline, its widths and corners, and bring them into shape.

    ``ValueError`` where there is no closed outline with an area, or the numbers of
    widths or corners do not fit.
    """
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
    if np.abs(curves[before(len(curves)), 3] - curves[:, 0]).max() > SAME_POINT:
        raise ValueError("the curves of this outline do not join")
    area = signed_area(path if curves is path.curves else Path(curves, True))
    if abs(area) <= SAME_POINT * extent.max():
        raise ValueError("this outline has no area")
    if area > 0:
        return Outline(curves, width, styles, sources, nodes, False)
    curves, width = np.ascontiguousarray(curves[::-1, ::-1]), width[::-1]
    styles = [Corner(c.style, 1 - c.leads) for c in styles[:1] + styles[:0:-1]]
    nodes = nodes[:1] + nodes[:0:-1]
    return Outline(curves, width, styles, sources[::-1], nodes, True)


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


def split_at_kinks(outline: Outline, kinks: Sequence[Tuple[int, float]]) -> Outline:
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


def before(n: int) -> np.ndarray:
    """The number of the curve before each: n - 1, 0, 1, ..."""
    return np.arange(-1, n - 1)


def refuse_crossing(
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
    found = refine(seams[0], seams[1], us[0], us[1], CLOSE)
    if found is None or not all(-EXACT <= u <= 1 + EXACT for u in found):
        return
    at = place(seams[0], found[0]).point
    i, j = samples.owner[one[0]], samples.owner[two[0]]
    if (i - j) % len(edges) in (1, len(edges) - 1):
        shared = seams[0].start if (i - j) % len(edges) == 1 else seams[0].end
        if abs(at - shared) <= SAME_POINT:
            return
    raise ValueError("the outline crosses or touches itself near {:.2f}, {:.2f}".format(at.real, at.imag))
