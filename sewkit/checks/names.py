"""Are the names whole?  What is missing or does not fit any more."""

from typing import Dict, List, Set

from sewkit.pattern.mark import DART, GRAIN, NOTCH
from sewkit.pattern.notch import spot_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level


def name_findings(pattern: Pattern) -> List[Finding]:
    """Everything about the names that a person should look at, worst first in each piece."""
    found = []
    for problem in pattern.problems:
        level = Level.WARN if problem.look else Level.INFO
        level = level if problem.healed else Level.FAIL
        found.append(Finding(problem.code, level, problem.text, problem.piece))
    for piece in pattern.pieces:
        if piece.named:
            found += _piece(piece)
        else:
            text = "'{}' is a bare line; it has no name yet.".format(piece.name)
            found.append(Finding("unnamed", Level.INFO, text, piece.name))
    return found + _seams(pattern) + _sizes(pattern)


def _piece(piece: Piece) -> List[Finding]:
    found = []
    if not piece.outlines:
        text = "'{}' has no seam line; its outline was lost or was never named.".format(piece.name)
        return [Finding("no-outline", Level.FAIL, text, piece.name)]
    first = [edge.name for edge in piece.outlines[0].edges]
    for outline in piece.outlines:
        if [edge.name for edge in outline.edges] != first:
            text = "'{}' has other edges in size {} than in size {}.".format(
                piece.name, outline.size, piece.outlines[0].size
            )
            found.append(Finding("edges-differ", Level.FAIL, text, piece.name))
        if not outline.path.closed:
            text = "'{}' size {} is not closed.".format(piece.name, outline.size or "(one)")
            found.append(Finding("open", Level.FAIL, text, piece.name))
    known = {name for outline in piece.outlines for name in outline.names}
    listed = [("fold", piece.folds), ("hem", piece.hems), ("dart", piece.darts)]
    listed.append(("allowance", tuple(name for name in piece.allowance if name)))
    listed.append(("corner", tuple(name for pair in piece.corners for name in pair)))
    drawn = {mark.name for mark in piece.marks if mark.kind == DART}
    listed.append(("pressed dart", tuple(name for name in piece.pressed if name not in drawn)))
    for what, names in listed:
        for name in names:
            if name not in known:
                text = "'{}' names the {} '{}', but has no such edge.".format(piece.name, what, name)
                found.append(Finding("no-edge", Level.FAIL, text, piece.name))
    found += _corners(piece, known)
    if all(name.isdigit() for name in known):
        text = "The edges of '{}' have only numbers; name them.".format(piece.name)
        found.append(Finding("edges-unnamed", Level.WARN, text, piece.name, cure=_how_to_name(piece)))
    if not any(mark.kind == GRAIN for mark in piece.marks):
        text = "'{}' has no grain line; straight down the sheet is taken.".format(piece.name)
        found.append(Finding("no-grain", Level.INFO, text, piece.name))
    return found + _notches(piece)


def _how_to_name(piece: Piece) -> str:
    """The commands that show the numbers, and that give their edges names."""
    count = len(piece.outlines[0].edges)
    words = "{} name{} in the order of the numbers".format(count, "" if count == 1 else "s")
    show = "sewkit names --action show writes the numbers on the drawing"
    return "{}; then sewkit name --piece {} --edges '{}'.".format(show, piece.name, words)


def _corners(piece: Piece, known: Set[str]) -> List[Finding]:
    """Corner rules for two edges that do not meet, or meet the other way round."""
    met = set()
    for outline in piece.outlines:
        names = [edge.name for edge in outline.edges]
        met |= set(zip(names, names[1:] + names[:1]))
    found = []
    for pair in piece.corners:
        if pair not in met and set(pair) <= known:
            text = (
                "'{}' has a rule for the corner {}/{}, but no corner where they meet in path order.".format(
                    piece.name, *pair
                )
            )
            found.append(Finding("no-corner", Level.FAIL, text, piece.name))
    return found


def _notches(piece: Piece) -> List[Finding]:
    found = []
    for mark in piece.marks:
        if mark.kind != NOTCH:
            continue
        if mark.on is None:
            text = "A notch of '{}' does not say where it sits.".format(piece.name)
            found.append(Finding("notch-lost", Level.WARN, text, piece.name))
            continue
        for outline in piece.outlines:
            if mark.size in (outline.size, "") and spot_of(outline, mark.on) is None:
                text = "A notch of '{}' sits beyond the edge '{}' in size {}.".format(
                    piece.name, mark.on.edge, outline.size or "(one)"
                )
                found.append(Finding("notch-off", Level.WARN, text, piece.name))
    return found


def _seams(pattern: Pattern) -> List[Finding]:
    found = []
    names = {piece.name: piece for piece in pattern.pieces}
    broken = {problem.piece for problem in pattern.problems if not problem.healed}
    for seam in pattern.seams:
        for ref in seam.refs:
            if ref.piece in broken:
                continue
            piece = names.get(ref.piece)
            if piece is None:
                text = "{} names the piece '{}', which is not in the drawing.".format(seam.name, ref.piece)
                found.append(Finding("no-piece", Level.FAIL, text, seam.name))
            elif piece.outlines and not any(ref.edge in outline.names for outline in piece.outlines):
                text = "{} names the edge '{}', which '{}' does not have.".format(
                    seam.name, ref.edge, ref.piece
                )
                found.append(Finding("no-edge", Level.FAIL, text, seam.name))
    return found


def _sizes(pattern: Pattern) -> List[Finding]:
    """Pieces that are sewn together but not drawn in the same sizes; drawn once serves them all."""
    sizes = {piece.name: [size for size in piece.sizes if size] for piece in pattern.pieces}
    lacking: Dict[str, str] = {}
    for seam in pattern.seams:
        names = [name for name in dict.fromkeys(ref.piece for ref in seam.refs) if sizes.get(name)]
        for name in names:
            for other in names:
                missing = ", ".join(size for size in sizes[other] if size not in sizes[name])
                if missing:
                    text = "'{}' has no size {}, but '{}', to which it is sewn, has.".format(
                        name, missing, other
                    )
                    lacking[text] = name
    return [Finding("size-missing", Level.FAIL, text, name) for text, name in lacking.items()]
