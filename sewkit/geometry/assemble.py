"""Turn strands of parallel curves into few curves: lines, exact copies, fitted cubics."""

from typing import List, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.corner import Joint, Strand
from sewkit.geometry.fit import fit_spans
from sewkit.geometry.parallel import Edge, Parallels, place
from sewkit.geometry.path import cut_curve, lines
from sewkit.geometry.tolerance import STRAIGHT

# A straight continuation of a curve shorter than this (mm) becomes part of the fitted
# curve: a line of its own would only be in the way.
ABSORBED = 0.5


def assemble(
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
        if start < 0 and not _absorbed(edge, -start * edge.length, joints, source):
            pieces.append((-1, _segment(edge, start, min(0.0, stop))))
            low = 0.0
        if stop > 1 and not _absorbed(edge, (stop - 1) * edge.length, joints, source + 1):
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


def _absorbed(edge: Edge, ahead: float, joints: Sequence[Joint], node: int) -> bool:
    """Tell whether the fitted curve takes in a prolongation."""
    return edge.source >= 0 and (joints[node % len(joints)].smooth or ahead < ABSORBED)


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


def without_flat_nodes(curves: np.ndarray, sources: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
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
