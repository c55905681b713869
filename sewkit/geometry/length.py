"""Arc length, and the way back from a distance to a place.

    path_length(path)              # mm
    place_at(path, 120.0)          # the place 120 mm along from the start
    distance_of(path, place)       # and back

Two Gauss-Legendre rules of 12 and 24 points measure every curve.  Where they agree the
finer one is right to far better than 1e-9 mm (its error is about the square of the
coarser one's); where they differ, or the curve nearly stands still, as at a cusp, it is
cut at its slowest spots, and from there on ever nearer to them.
Rule: Abramowitz & Stegun, Handbook of Mathematical Functions, 25.4.29; nodes: table 25.4.
"""

from functools import lru_cache
from typing import List, Tuple

import numpy as np

from sewkit.geometry import cubic
from sewkit.geometry.path import Path, Place, derivative, point

# Largest difference of the two rules that is believed (mm).  Ordinary edges differ by
# 1e-9 to 1e-8; ten times smaller would cut many of them for nothing.  Once a curve has been
# cut, its pieces can be so short that the finer rule is hardly the better one: be strict.
_AGREE = 1e-8
_AGREE_CUT = 1e-11
# A curve that is anywhere slower than this share of its mean speed may turn back between
# two nodes, unseen by both rules.  It is cut there, whatever they say.
_SLOW = 0.25
# A curve no wider than this share of its reach is as long as a straight one, to a part in
# 1e12: what it does sideways counts by the power 3/2 at a turn, squared elsewhere.
_ASIDE = 1e-9
# Smaller differences, as a share of the length, are rounding.
_ROUNDING = 1e-14
# Where a doubtful piece is cut, as a share of it, from its slower end.  Measured on bent,
# flat and cusped curves: at 0.1 or at the middle it takes up to twice as long.
_NEARER = 0.25
# Cutting in two this often leaves a piece shorter than rounding.
_DEPTH = 60
# One edge is measured again for every notch and every check.  So many paths of at most so many
# curves are remembered: a few MB, and looking one up takes a twentieth of measuring it.
_REMEMBERED = 2048
_FEW_CURVES = 32
# How near a place must be to the distance asked for (mm).
_CLOSE = 2e-11


# Node and weight for -1..1, the right half.  Written out, because the part of numpy that
# works them out takes longer to import than a drawing to measure.
_RIGHT_12 = """
0.1252334085114689 0.2491470458134028  0.3678314989981802 0.2334925365383548
0.5873179542866175 0.2031674267230659  0.7699026741943047 0.1600783285433462
0.9041172563704749 0.1069393259953184  0.9815606342467192 0.0471753363865118
"""
_RIGHT_24 = """
0.0640568928626056 0.1279381953467522  0.1911188674736163 0.1258374563468283
0.3150426796961634 0.1216704729278034  0.4337935076260451 0.1155056680537256
0.5454214713888396 0.1074442701159656  0.6480936519369755 0.0976186521041139
0.7401241915785544 0.0861901615319533  0.8200019859739029 0.0733464814110803
0.8864155270044011 0.0592985849154368  0.9382745520027328 0.0442774388174198
0.9747285559713095 0.0285313886289337  0.9951872199970213 0.0123412297999872
"""


def _rule(right: str) -> Tuple[np.ndarray, np.ndarray]:
    nodes, weights = np.array(right.split(), np.float64).reshape(-1, 2).T / 2.0
    return np.concatenate([0.5 - nodes[::-1], 0.5 + nodes]), np.concatenate([weights[::-1], weights])


_NODES_12, _WEIGHTS_12 = _rule(_RIGHT_12)
_NODES_24, _WEIGHTS_24 = _rule(_RIGHT_24)
_NODES = np.concatenate([_NODES_12, _NODES_24])
# The quadratic Bernstein basis at all nodes, (36, 3), times the 3 of the derivative.
_BASIS = 3.0 * np.stack([(1.0 - _NODES) ** 2, 2.0 * _NODES * (1.0 - _NODES), _NODES**2], axis=1)


def curve_lengths(curves: np.ndarray) -> np.ndarray:
    """Arc length ``(n,)`` of every curve ``(n, 4, 2)`` in mm, to 1e-9 mm."""
    curves = np.asarray(curves, np.float64)
    if 0 < len(curves) <= _FEW_CURVES:
        return _remembered(curves.tobytes()).copy()
    return _measured(curves)


@lru_cache(maxsize=_REMEMBERED)
def _remembered(data: bytes) -> np.ndarray:
    """The lengths of the curves whose numbers are these; not to be written to."""
    return _measured(np.frombuffer(data).reshape(-1, 4, 2))


def _measured(curves: np.ndarray) -> np.ndarray:
    fine, speeds, doubtful = _measure(curves, _AGREE)
    doubtful |= speeds.min(axis=1) < _SLOW * fine
    if not doubtful.any():
        return fine
    total = np.where(doubtful, 0.0, fine)
    owner = np.flatnonzero(doubtful)
    straight, runs = _straight_lengths(curves[owner])
    total[owner[straight]] = runs[straight]
    owner = owner[~straight]
    curves, owner = _cut_by_speed(curves[owner], owner)
    for _ in range(_DEPTH):
        fine, speeds, doubtful = _measure(curves, _AGREE_CUT)
        np.add.at(total, owner[~doubtful], fine[~doubtful])
        curves, owner, speeds = curves[doubtful], owner[doubtful], speeds[doubtful]
        if not len(owner):
            break
        toward = np.where(speeds[:, 0] < speeds[:, -1], _NEARER, 1.0 - _NEARER)
        curves, owner = np.concatenate(_cut(curves, toward)), np.concatenate([owner, owner])
    return total


def path_length(path: Path) -> float:
    """Arc length of a path, mm."""
    return float(curve_lengths(path.curves).sum())


def places_at(path: Path, distances: "np.typing.ArrayLike") -> List[Place]:
    """Places at distances (mm) along from the start.

    Distances outside the path mean its ends.  A distance that falls on a node gives the
    start of the curve after it.
    """
    if not len(path):
        raise ValueError("a path without curves has no places")
    lengths = curve_lengths(path.curves)
    before = np.concatenate([[0.0], np.cumsum(lengths)])
    distances = np.clip(np.asarray(distances, np.float64).reshape(-1), 0.0, before[-1])
    if np.isnan(distances).any():
        raise ValueError("a distance must be a number")
    # What rounding leaves between a distance and a node is no distance.
    number = np.searchsorted(before[1:], distances + _CLOSE, side="right")
    number = np.minimum(number, len(path) - 1)
    rest = np.clip(distances - before[number], 0.0, lengths[number])
    rest = np.where(rest < lengths[number] - _CLOSE, rest, lengths[number])
    t = parameters_at(path.curves[number], lengths[number], rest)
    return [Place(int(i), float(at)) for i, at in zip(number, t)]


def place_at(path: Path, distance: float) -> Place:
    """The place at a distance (mm) along from the start; see ``places_at``."""
    return places_at(path, [distance])[0]


def point_at(path: Path, distance: float) -> np.ndarray:
    """The point ``(2,)`` at a distance (mm) along from the start."""
    number, t = place_at(path, distance)
    return point(path.curves[number][None], t)[0]


def distance_of(path: Path, place: Place) -> float:
    """The distance (mm) of a place along from the start of the path."""
    before = path.curves[: place.curve]
    front = _cut(path.curves[place.curve][None], np.array([place.t]))[0]
    return float(curve_lengths(np.concatenate([before, front])).sum())


def _measure(curves: np.ndarray, agree: float) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Lengths by the 24 point rule, the speeds at its nodes, and which to doubt."""
    steps = curves[:, 1:] - curves[:, :-1]
    across = steps[..., 0] @ _BASIS.T
    down = steps[..., 1] @ _BASIS.T
    speeds = np.sqrt(across * across + down * down)
    coarse, fine = speeds[:, :12] @ _WEIGHTS_12, speeds[:, 12:] @ _WEIGHTS_24
    doubtful = np.abs(coarse - fine) > np.maximum(agree, _ROUNDING * fine)
    return fine, speeds[:, 12:], doubtful


def _straight_lengths(curves: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
    """Which curves lie on a straight line, and how long those are, runs back included."""
    away = curves - curves[:, :1]
    reach = np.hypot(away[..., 0], away[..., 1])
    row, far = np.arange(len(curves)), reach.argmax(axis=1)
    axis = away[row, far] / np.maximum(reach[row, far], 1e-300)[:, None]
    aside = away[..., 0] * axis[:, None, 1] - away[..., 1] * axis[:, None, 0]
    along = (away * axis[:, None]).sum(axis=2)
    cuts = cubic.turning(along)
    stops = np.stack([cubic.value(along, cuts[:, k]) for k in range(4)], axis=1)
    runs = np.abs(np.diff(stops, axis=1)).sum(axis=1)
    return np.abs(aside).max(axis=1) <= _ASIDE * reach.max(axis=1), runs


def _cut_by_speed(curves: np.ndarray, owner: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
    """Curves cut at their slowest and fastest spots, and whose pieces those are.

    A piece is then slowest at one of its ends.  A turn back within a piece could lie
    between its end and the first node, where both rules overlook it alike.
    """
    pieces, owners, done = [], [], np.zeros(len(curves))
    for t in _turns_of_speed(curves).T:
        rest = 1.0 - done
        share = (t - done) / np.where(rest > 0, rest, 1.0)
        front, curves = _cut(curves, share)
        pieces.append(front[share > 0])
        owners.append(owner[share > 0])
        done = t
    pieces.append(curves[done < 1])
    owners.append(owner[done < 1])
    return np.concatenate(pieces), np.concatenate(owners)


def _turns_of_speed(curves: np.ndarray) -> np.ndarray:
    """Parameters ``(n, 3)``, in order, at which the speed stops growing or shrinking.

    There the first derivative is square to the second: their product is a cubic, written
    here by its Bernstein coefficients.  A spot that does not exist is put on 1.
    """
    first = curves[:, 1:] - curves[:, :-1]
    second = first[:, 1:] - first[:, :-1]
    dot = np.einsum("nik,njk->nij", first, second)
    inner = [dot[:, 0, 1] + 2 * dot[:, 1, 0], dot[:, 2, 0] + 2 * dot[:, 1, 1]]
    growth = np.stack([3 * dot[:, 0, 0], *inner, 3 * dot[:, 2, 1]], axis=1)
    ends = cubic.turning(growth)
    heights = np.stack([cubic.value(growth, ends[:, k]) for k in range(4)], axis=1)
    row, part = np.nonzero(heights[:, :-1] * heights[:, 1:] <= 0)
    spots = np.ones((len(curves), 3))
    zero = np.zeros(len(row))
    spots[row, part] = cubic.solve_between(growth[row], ends[row, part], ends[row, part + 1], zero)
    return np.sort(spots, axis=1)


def _cut(curves: np.ndarray, t: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
    """Cut every curve at its own parameter (de Casteljau)."""
    t = t[:, None]
    p0, p1, p2, p3 = (curves[:, k] for k in range(4))
    a, b, c = p0 + t * (p1 - p0), p1 + t * (p2 - p1), p2 + t * (p3 - p2)
    d, e = a + t * (b - a), b + t * (c - b)
    middle = d + t * (e - d)
    return np.stack([p0, a, d, middle], axis=1), np.stack([middle, e, c, p3], axis=1)


def parameters_at(curves: np.ndarray, lengths: np.ndarray, wanted: np.ndarray) -> np.ndarray:
    """The parameter at which each curve has run its wanted length.

    Newton's method; a step that leaves the bracket is replaced by halving it.
    """
    low, high = np.zeros(len(wanted)), np.ones(len(wanted))
    t = np.where(lengths > 0, wanted / np.where(lengths > 0, lengths, 1.0), 0.0)
    for _ in range(_DEPTH):
        miss = curve_lengths(_cut(curves, t)[0]) - wanted
        close = np.abs(miss) <= _CLOSE
        if close.all():
            break
        high, low = np.where(miss > 0, t, high), np.where(miss > 0, low, t)
        velocity = derivative(curves, t)
        speed = np.hypot(velocity[:, 0], velocity[:, 1])
        better = t - miss / np.where(speed > 0, speed, 1e-300)
        inside = (better > low) & (better < high)
        t = np.where(close, t, np.where(inside, better, 0.5 * (low + high)))
    return t
