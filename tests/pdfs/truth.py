"""Compare what was brought in with the truth of the scene."""

from typing import Dict, List, NamedTuple, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.sheet.bring import bring
from sewkit.sheet.drawn import Printed
from tests.pdfs.scene import Scene


class Compared(NamedTuple):
    """One true outline and how far the brought one is from it.

    Args:
        away: farthest distance (mm) between the two lines; infinite where none came.
        curves: how many curves came, and how many there truly are.
    """

    piece: str
    size: str
    away: float
    curves: Tuple[int, int]


def compare(printed: Printed, scene: Scene) -> List[Compared]:
    """Bring the pages in, and compare every true outline; each piece may lie anywhere."""
    pattern = bring(printed).pattern
    pieces = {piece.name: piece for piece in pattern.pieces}
    found = []
    for name in scene.pieces:
        piece = pieces.get(name.lower().replace(" ", "-"))
        outlines: Dict[str, Path] = {o.size: o.path for o in piece.outlines} if piece else {}
        shift = _shift(outlines, scene, name)
        for size in scene.sizes:
            truth = scene.outline(name, size).path
            if size not in outlines:
                found.append(Compared(name, size, np.inf, (0, len(truth))))
                continue
            came = Path(outlines[size].curves + shift, True)
            far = max(away(came, truth), away(truth, came))
            found.append(Compared(name, size, far, (len(came), len(truth))))
    return found


def _shift(outlines: Dict[str, Path], scene: Scene, name: str) -> np.ndarray:
    """How the piece is moved to its true place: by the median over its sizes."""
    moves = []
    for size, path in outlines.items():
        if size in scene.sizes:
            truth = dense(scene.outline(name, size).path)
            came = dense(path)
            moves.append((truth.min(axis=0) + truth.max(axis=0) - came.min(axis=0) - came.max(axis=0)) / 2)
    return np.median(moves, axis=0) if moves else np.zeros(2)


def dense(path: Path, count: int = 256) -> np.ndarray:
    """Points close together along a path, ``(k, 2)``; chords of 2 mm leave 0.002 mm at most."""
    t = np.linspace(0.0, 1.0, count, endpoint=False)[:, None]
    p = path.curves[:, :, None, :]
    points = (1 - t) ** 3 * p[:, 0] + 3 * t * (1 - t) ** 2 * p[:, 1] + 3 * t * t * (1 - t) * p[:, 2]
    return (points + t**3 * p[:, 3]).reshape(-1, 2)


def away(one: Path, other: Path) -> float:
    """The farthest that a point of one lies from the chords of the other (mm)."""
    points, line = dense(one, 16), dense(other)
    start, along = line, np.roll(line, -1, axis=0) - line
    size = np.maximum((along**2).sum(axis=1), 1e-18)
    worst = 0.0
    for spot in points:
        t = np.clip(((spot - start) * along).sum(axis=1) / size, 0.0, 1.0)
        gap = spot - start - t[:, None] * along
        worst = max(worst, float((gap**2).sum(axis=1).min()))
    return worst**0.5
