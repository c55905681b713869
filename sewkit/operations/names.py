"""Show and check the names in the drawing."""

from typing import List, Tuple

import numpy as np

from sewkit.checks.names import name_findings
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.path import Path, derivative, lines, point
from sewkit.geometry.polygon import signed_area
from sewkit.operation import Choice, Outcome, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.mark import OVERLAY, Mark
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Level, Report

# Names stand this far inside the outline, and an arrow this long shows the direction (mm).
_INSIDE = 9.0
_ARROW = 14.0
_CORNER_DOT = 1.5


@operation(
    title="Show and check names",
    menu="Names",
    select="Select outlines or pieces, or nothing for all; of a nest the largest size is shown.",
    example="sewkit names samples/waistcoat/master.svg -o shown.svg",
    preview=False,
)
def names(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {"show": "Write the names along the edges", "hide": "Take them away", "check": "Only check"},
    ) = "show",
) -> Outcome:
    """Write every edge's name, length and partner along it, and check that all names hold.

    Corners are numbered in path order, as the naming dialog counts them; an arrow shows
    the direction of the path. The writing is for reading only: hide it when done. The
    check tells of names that no longer fit the drawing: a corner added or lost, a partner
    that is gone, sizes whose edges differ, a line that lost its names when it was combined
    with another. On lines without names the edges are numbered.
    """
    after = pattern
    if action != "check":
        for piece in chosen.readable(pattern):
            after = after.with_piece(_without(piece))
    if action == "show":
        for name, size in _shown(pattern, chosen):
            piece = after.piece(name)
            after = after.with_piece(
                piece._replace(marks=piece.marks + tuple(_overlay(pattern, piece, size)))
            )
    findings = name_findings(pattern)
    bad = sum(finding.level >= Level.WARN for finding in findings)
    if bad:
        summary = "{} name{} to be looked at.".format(bad, "" if bad == 1 else "s")
    elif any(piece.named for piece in pattern.pieces):
        summary = "All names hold."
    else:
        summary = "Nothing is named yet."
        summary += " The numbers are those of the naming dialog." if action == "show" else ""
    return Outcome(after, Report(summary, tuple(findings)))


def _without(piece: Piece) -> Piece:
    return piece._replace(marks=tuple(mark for mark in piece.marks if mark.kind != OVERLAY))


def _shown(pattern: Pattern, chosen: Chosen) -> List[Tuple[str, str]]:
    """One size of each piece: the one that was picked alone, else the last of the nest."""
    if chosen.outlines:
        picked = chosen.picked(pattern)
    else:
        picked = tuple((piece, outline) for piece in pattern.pieces for outline in piece.outlines)
    # An open line without a name is a pocket or a fold to press, and no outline.
    shown = ((piece, outline) for piece, outline in picked if piece.named or outline.path.closed)
    return list({piece.name: outline.size for piece, outline in shown}.items())


def _overlay(pattern: Pattern, piece: Piece, size: str) -> List[Mark]:
    outline = piece.outline(size)
    side = 1.0 if signed_area(outline.path) >= 0 else -1.0
    marks, corner = [], 0
    for edge in outline.edges:
        marks += _edge_marks(pattern, piece, outline, edge, side, size)
        if not edge.smooth:
            corner += 1
            marks += _corner_marks(outline.path.curves[edge.start, 0], corner, size, outline)
    return marks


def _edge_marks(
    pattern: Pattern, piece: Piece, outline: Outline, edge: Edge, side: float, size: str
) -> List[Mark]:
    run = outline.path.part(edge.start, edge.stop)
    length = path_length(run)
    place = place_at(run, length / 2)
    curve = run.curves[place.curve : place.curve + 1]
    along = derivative(curve, place.t)[0]
    along = along / (np.hypot(*along) or 1.0)
    inward = side * np.array([-along[1], along[0]])
    middle = point(curve, place.t)[0]
    text = _words(pattern, piece, edge.name, length)
    reading = along if along[0] > 1e-9 or (abs(along[0]) <= 1e-9 and along[1] < 0) else -along
    # A rough width of the text, so that its middle stands at the edge's middle.
    width = 4.0 * len(text)
    start = middle + inward * _INSIDE - reading * width / 2
    arrow = middle + inward * _INSIDE / 3
    tip, tail = arrow + along * _ARROW / 2, arrow - along * _ARROW / 2
    barbs = [tip - along * 3 + inward * 1.5, tip - along * 3 - inward * 1.5]
    return [
        Mark(OVERLAY, "", size, Path(lines(start[None], (start + reading)[None])), text=text),
        Mark(OVERLAY, "", size, Path.through([tail, tip, barbs[0], tip, barbs[1]])),
    ]


def _words(pattern: Pattern, piece: Piece, edge: str, length: float) -> str:
    words = ["{} {:.1f}".format(edge, length)]
    for what, names_ in (("fold", piece.folds), ("hem", piece.hems), ("dart", piece.darts)):
        if edge in names_ and edge != what:
            words.append(what)
    for seam in pattern.seams:
        for mine, other in ((seam.first, seam.second), (seam.second, seam.first)):
            if any((ref.piece, ref.edge) == (piece.name, edge) for ref in mine):
                words.append("to " + " + ".join(str(ref) for ref in other))
    return ", ".join(words)


def _corner_marks(spot: np.ndarray, number: int, size: str, outline: Outline) -> List[Mark]:
    dot = [spot + _CORNER_DOT * np.array(way) for way in ((1, 0), (0, 1), (-1, 0), (0, -1))]
    middle = outline.path.nodes.mean(axis=0)
    toward = middle - spot
    toward = toward / (np.hypot(*toward) or 1.0)
    # Outside, where no edge's name stands; a text is placed by its lower left corner.
    place = spot - toward * 7.0 + [-2.5, 2.5]
    return [
        Mark(OVERLAY, "", size, Path.through(dot, closed=True)),
        Mark(OVERLAY, "", size, Path(lines(place[None], (place + [1.0, 0.0])[None])), text=str(number)),
    ]
