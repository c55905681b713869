"""A wedge at the fold, without bending the fold.

A part that turned about a hinge would take the fold with it, and a bent line cannot lie on a
fold.  So the fold is kept straight: beyond the wedge it slides along itself by the amount, the
hem, or whatever edge meets the fold there, gives way, and all other edges stay where they
were.  Width that the turned part would have lost beside the edge that gives way is given back there.
"""

from typing import Dict, List, NamedTuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import self_crossings
from sewkit.geometry.path import Path, Place, cut, is_line, lines, without_gaps
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.spreading import is_straight, straightened
from sewkit.pattern.wedging import Wedge, run_of, spot


class Straightened(NamedTuple):
    """A piece with a wedge at its fold, the fold straight.

    Args:
        outline: the new outline.
        slid: how the fold beyond the wedge slid (2,) mm.
        opening, hinge: points (2,) of the wedge.
        inward: the unit direction (2,) square from the fold into the piece.
        staying: what of the old outline stays beyond the wedge, between the hinge and the edge
            that gives way; may be empty.
        giving: the name of the edge that gives way.
        at: the name of the edge beside it, where width is given back.
        sliver: that width (mm).
    """

    outline: Outline
    slid: np.ndarray
    opening: np.ndarray
    hinge: np.ndarray
    inward: np.ndarray
    staying: Path
    giving: str
    at: str
    sliver: float


def on_fold(outline: Outline, wedge: Wedge, beyond: bool, piece: Piece) -> Straightened:
    """The outline with the wedge, its fold straight.

    ``beyond``: the part beyond the wedge slides, and the part before it stays; or the other
    way round.  ``InputError``: the fold is not straight, or the hinge lies on it (line); the
    piece would lie over itself (fold-over).
    """
    edge = outline.edges[wedge.edge]
    run = outline.path.part(edge.start, edge.stop)
    if not is_straight(run):
        raise InputError(
            "The fold '{}' of '{}' is not straight, so nothing can be straightened.".format(
                edge.name, piece.name
            ),
            "Leave it bent and cut the piece with a seam there.",
            code="line",
        )
    opening, hinge = spot(outline, wedge.opening), spot(outline, wedge.hinge)
    ahead = (run.end - run.start) / np.hypot(*(run.end - run.start))
    # Whichever part moves, it moves towards the other where the wedge is taken out.
    forwards = wedge.onward == beyond
    slid = ahead * wedge.amount * (1.0 if forwards else -1.0)
    giving = _giving_way(outline, wedge, forwards, piece)
    made = _slid(outline, wedge, giving, forwards, slid)
    if self_crossings(made.path) and not self_crossings(outline.path):
        raise InputError(
            "With {:g} mm at '{}' the piece '{}' would lie over itself.".format(
                abs(wedge.amount), edge.name, piece.name
            ),
            "Ask for less, or put the hinge elsewhere.",
            code="fold-over",
        )
    far = _far_end(outline, giving, forwards)
    across = hinge - opening
    inward = across - (across @ ahead) * ahead
    # Turned by theta the cloth d mm below the hinge would lie d sin(theta) further in.
    sliver = abs(float((spot(outline, far) - hinge) @ ahead)) * np.sin(np.radians(abs(wedge.angle)))
    beside = outline.edges[(giving[-1] + (1 if forwards else -1)) % len(outline.edges)].name
    return Straightened(
        made,
        slid,
        opening,
        hinge,
        inward / np.hypot(*inward),
        _staying(outline, far, wedge.hinge, forwards),
        outline.edges[giving[0]].name,
        beside,
        float(sliver),
    )


def _staying(outline: Outline, far: Place, hinge: Place, forwards: bool) -> Path:
    """The edges beyond the wedge that stay, in path order; empty where the hinge is at their end."""
    if np.hypot(*(spot(outline, far) - spot(outline, hinge))) <= SAME_POINT:
        return Path(())
    return cut(outline.path, far, hinge) if forwards else cut(outline.path, hinge, far)


def _slid(outline: Outline, wedge: Wedge, giving: List[int], forwards: bool, slid: np.ndarray) -> Outline:
    """The edges anew.  ``forwards``: in path order the part that slides lies behind the opening."""
    fold = outline.edges[wedge.edge]
    straight = outline.path.part(fold.start, fold.stop)
    fold_end = straight.end if forwards else straight.start
    chain = _chain(
        outline, giving, forwards, spot(outline, _far_end(outline, giving, forwards)), fold_end, slid
    )
    runs: List[Path] = []
    for number, edge in enumerate(outline.edges):
        if number == wedge.edge:
            start = straight.start if forwards else straight.start + slid
            runs.append(_merged(straight, start, straight.end + slid if forwards else straight.end))
        else:
            runs.append(chain.get(number, outline.path.part(edge.start, edge.stop)))
    return _joined(outline, runs)


def _giving_way(outline: Outline, wedge: Wedge, forwards: bool, piece: Piece) -> List[int]:
    """The numbers of the runs that are drawn anew beyond the fold: one edge, with the darts in it.

    A hem, or a waist seam with its darts.  What follows it, such as the side seam, stays as it
    was, so that it still fits what it is sewn to.
    """
    step, hinge = (1 if forwards else -1), run_of(outline, wedge.hinge)
    found, at = [], (wedge.edge + step) % len(outline.edges)
    while at not in (hinge, wedge.edge):
        found.append(at)
        at = (at + step) % len(outline.edges)
    name = outline.edges[found[0]].name if found else ""
    while found and outline.edges[found[-1]].name != name:
        found.pop()
    strangers = {outline.edges[number].name for number in found} - {name} - set(piece.darts)
    while found and strangers:
        found.pop()
        strangers = {outline.edges[number].name for number in found} - {name} - set(piece.darts)
    if not found:
        raise InputError(
            "On '{}' the edge with the hinge meets the fold, so no edge can give way.".format(piece.name),
            "Put the hinge on another edge, or leave the fold bent.",
            code="pivot",
        )
    return found


def _far_end(outline: Outline, giving: List[int], forwards: bool) -> Place:
    """Where the edge that gives way meets the next one, which stays."""
    edge = outline.edges[giving[-1]]
    return Place(edge.stop % len(outline.path), 0.0) if forwards else Place(edge.start, 0.0)


def _chain(
    outline: Outline,
    giving: List[int],
    forwards: bool,
    far_end: np.ndarray,
    fold_end: np.ndarray,
    slid: np.ndarray,
) -> Dict[int, Path]:
    """The runs that give way, moved by their share of the way, their directions at both ends kept.

    So a hem stays square to the fold, and meets the hinge's edge as it did.
    """
    chord = fold_end - far_end
    across = chord / max(float(chord @ chord), SAME_POINT)
    shares = _shares(outline, giving, forwards, far_end, across)
    made = {}
    for number in giving:
        curves = outline.path.curves[outline.edges[number].start : outline.edges[number].stop]
        made[number] = np.array(curves + shares[number][..., None] * slid)
    for number, at_start in ((giving[0], forwards), (giving[-1], not forwards)):
        edge = outline.edges[number]
        _redirect(made[number], outline.path.curves[edge.start : edge.stop], at_start)
    return {number: Path(curves) for number, curves in made.items()}


def _shares(
    outline: Outline, giving: List[int], forwards: bool, far_end: np.ndarray, across: np.ndarray
) -> Dict[int, np.ndarray]:
    """How far each control point (n, 4) of the runs that give way goes along: 1 at the fold, 0 at the end.

    A dart in the edge goes along whole, by one share, so that its legs stay equal and its angle
    the same; the edge beside it makes up for the width of the mouth.
    """
    name = outline.edges[giving[0]].name
    shares: Dict[int, np.ndarray] = {}
    mouths, mouth = 0.0, None
    for number in reversed(giving):
        edge = outline.edges[number]
        share = (outline.path.curves[edge.start : edge.stop] - far_end) @ across
        if edge.name == name:
            shares[number], mouth = share - mouths, None
            continue
        far, near = (share[-1, 3], share[0, 0]) if forwards else (share[0, 0], share[-1, 3])
        mouth = float(far - mouths) if mouth is None else mouth
        shares[number] = np.full(share.shape, mouth)
        mouths += float(near - far)
    return {number: share / (1.0 - mouths) for number, share in shares.items()}


def _redirect(curves: np.ndarray, old: np.ndarray, at_start: bool) -> None:
    """Give a run, in place, the direction at one end that it had before, with its handle's length."""
    node, handle = (0, 1) if at_start else (-1, -2)
    which = 0 if at_start else -1
    way = old[which][handle] - old[which][node]
    size, now = float(np.hypot(*way)), float(np.hypot(*(curves[which][handle] - curves[which][node])))
    if size > SAME_POINT:
        curves[which][handle] = curves[which][node] + way * (now / size)


def _merged(straight: Path, start: np.ndarray, end: np.ndarray) -> Path:
    """The fold between its new ends: one line where it was one."""
    if len(straight) == 1 and is_line(straight.curves)[0]:
        return Path(lines(start[None], end[None]))
    return straightened(straight, start, end)


def _joined(outline: Outline, runs: List[Path]) -> Outline:
    edges, at = [], 0
    for edge, run in zip(outline.edges, runs):
        edges.append(edge._replace(start=at, stop=at + len(run)))
        at += len(run)
    path = without_gaps(Path(np.concatenate([run.curves for run in runs]), closed=True))
    return outline._replace(path=path, edges=tuple(edges))
