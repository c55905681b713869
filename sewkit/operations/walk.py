"""Walk seams: compare what is sewn together."""

from typing import Sequence, Tuple

import numpy as np

from sewkit.checks.seams import light, seam_reports, sentence
from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, cut
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.operation import Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.outline import Outline, other_way_round
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.walking import Side, walk_sides
from sewkit.report import Finding, Level, Report, Table


@operation(
    title="Walk seams",
    menu="Seams",
    select=(
        "Select two lines, or two nodes on each to compare a part; nothing walks all seams of the pattern."
    ),
    example="sewkit walk samples/waistcoat/master.svg --size 3",
    changes=False,
)
def walk(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    size_walked: Text("Size", "empty walks every size; such as 3") = "",
) -> Outcome:
    """Measure the edges that are sewn together and say where they differ.

    Named pieces are walked seam by seam and from notch to notch, with darts closed and
    meant ease allowed for. Two bare lines are simply measured and compared. Up to 0.5 mm
    is called good, up to 3 mm (1/8 in) usable, more is a reason to stop. Seam lines are
    compared, never cut lines: a cut edge round a curve has another length.
    """
    bare = [(piece, outline) for piece, outline in chosen.picked(pattern)] if chosen.outlines else []
    if bare and (chosen.nodes or not _all_in_seams(pattern, bare)):
        return Outcome(pattern, _two_lines(pattern, chosen))
    chosen.pieces(pattern)  # first of all says which piece cannot be read: its seams are missing
    if not pattern.seams:
        raise InputError(
            "No edges are paired in this drawing, so there is no seam to walk.",
            "Select two lines to compare them, or pair their edges first (Names > Pair two edges).",
            code="seam",
        )
    return Outcome(pattern, _all_seams(pattern, chosen, size_walked))


def _all_in_seams(pattern: Pattern, picked: Sequence[Tuple[Piece, Outline]]) -> bool:
    return all(piece.named and pattern.seams_of(piece.name) for piece, _ in picked)


def _all_seams(pattern: Pattern, chosen: Chosen, size: str) -> Report:
    names = {piece.name for piece in chosen.pieces(pattern)}
    seams = [seam for seam in pattern.seams if any(ref.piece in names for ref in seam.refs)]
    if size and size not in pattern.sizes:
        raise InputError(
            "There is no size '{}' in this drawing.".format(size),
            "The sizes are: {}.".format(", ".join(s for s in pattern.sizes if s) or "none"),
            code="nest",
        )
    # A piece drawn once, without a size, goes with every size there is.
    drawn = [s for s in pattern.sizes if s] or [""]
    picked = [outline.size for outline in chosen.outlines if outline.size]
    sizes = [size] if size else [s for s in drawn if not picked or s in picked]
    whole = seam_reports(pattern, sizes, seams)
    return whole._replace(summary=_counted(whole.findings))


def _counted(findings: Sequence[Finding]) -> str:
    levels = [f.level for f in findings if f.code.startswith("seam")]
    missing = sum(f.code == "seam-missing" for f in findings)
    count = len(levels) - missing
    text = "{} seam{} walked".format(count, "" if count == 1 else "s")
    text += ", {} could not be walked".format(missing) if missing else ""
    counts = [levels.count(level) for level in (Level.PASS, Level.WARN, Level.FAIL)]
    return text + ": {} good, {} to look at, {} to stop for.".format(*counts)


def _two_lines(pattern: Pattern, chosen: Chosen) -> Report:
    (piece, outline), (other, other_outline) = chosen.two_lines(pattern, "Comparing")
    names = piece.name, other.name
    if names[0] == names[1]:
        names = "{} {}".format(names[0], outline.size), "{} {}".format(names[1], other_outline.size)
    parts = [
        _part(outline, chosen.nodes_on(piece.name, outline.size), names[0]),
        _part(other_outline, chosen.nodes_on(other.name, other_outline.size), names[1]),
    ]
    seam = Seam((EdgeRef(names[0], "line"),), (EdgeRef(names[1], "line"),))
    walked = walk_sides(seam, *(Side(path_length(part), ()) for part in parts))
    text, level = sentence(walked).replace("/line", ""), light(walked)
    if all(part.closed for part in parts):
        # All the way round is no seam: the lengths are worth knowing, but nothing to stop for.
        text += " These are whole outlines; select two nodes on each to compare an edge."
        level = Level.INFO
    lengths = tuple(path_length(part) for part in parts)
    rows = tuple((name, "{:.2f}".format(length)) for name, length in zip(names, lengths))
    table = Table(
        "Lengths", ("line", "mm"), rows + (("difference", "{:+.2f}".format(lengths[0] - lengths[1])),)
    )
    return Report(text, (Finding("seam", level, text),), (table,))


def _part(outline: Outline, nodes: Sequence[np.ndarray], name: str) -> Path:
    """The whole line, or the run between two clicked nodes in path direction."""
    if not nodes:
        return outline.path
    if len(nodes) != 2:
        raise InputError(
            "{} nodes are selected on '{}'.".format(len(nodes), name),
            "Select two on each line, or none to compare the whole lines.",
            code="choice",
        )
    places = [nearest(outline.path, node).place for node in nodes]
    numbers = [int(np.hypot(*(outline.path.nodes - node).T).argmin()) for node in nodes]
    if other_way_round(outline, *numbers):
        places.reverse()
    if np.hypot(*(nodes[0] - nodes[1])) < SAME_POINT:
        raise InputError(
            "Both nodes selected on '{}' are the same.".format(name), "Select two.", code="choice"
        )
    return cut(outline.path, *places)
