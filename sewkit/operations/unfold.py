"""Open a piece at its fold, or fold it again."""

from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.checks.cuts import recut_findings
from sewkit.checks.told_by_size import told_by_size
from sewkit.checks.unfold_words import (
    both_sides_walked,
    lost_findings,
    opened_findings,
    over_findings,
    stale_findings,
)
from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.operation import Choice, Flag, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.edge_called import called
from sewkit.pattern.folded_piece import FoldedPiece, fold_name, folded_piece, lone_marks
from sewkit.pattern.folding import ALIKE, axis_through, fold_line
from sewkit.pattern.follow_text import parse_follow
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown
from sewkit.pattern.unfolded_piece import fold_meant, opened_piece
from sewkit.pattern.unfolded_seams import folded_seams, opened_seams
from sewkit.pattern.wearer_side import other_side
from sewkit.report import Change, Finding, Level, Report, gathered

UNFOLD, FOLD = "unfold", "fold"
_AUTO = "auto"

# Words that say that a half lies on the fold.
_STALE = r"\bon (the )?fold\b"

# A node lies on an edge within this (mm).
_ON_EDGE = 1e-3


@operation(
    title="Unfold or fold a piece",
    menu="Pieces",
    select="Select the piece; or an outline and the two nodes at the ends of its fold.",
    example="sewkit unfold samples/bodice/master.svg -o opened.svg --piece front",
    beside=True,
)
def unfold(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {UNFOLD: "Unfold: the half becomes the whole piece", FOLD: "Fold: the whole becomes a half again"},
    ) = UNFOLD,
    edge: Text("Edge on the fold", "its name or number; empty: the one that is known to lie there") = "",
    drawn: Choice(
        "The half that is drawn",
        "of the wearer",
        {
            _AUTO: "As it lies, right side of the cloth up",
            "left": "Is the left one",
            "right": "Is the right one",
        },
    ) = _AUTO,
    keep: Choice(
        "Keep when folding",
        "of the wearer",
        {_AUTO: "The half that was drawn at first", "left": "The left half", "right": "The right half"},
    ) = _AUTO,
    drop: Flag("Fold although the halves differ", "the other half is given up") = False,
) -> Outcome:
    """Open a piece that is drawn as a half on the fold, or fold it again.

    The other half is the exact mirror image, with darts, notches, levels and marks; the half
    that was drawn keeps its lines to the last digit. An edge that runs over the fold stays one edge
    under its name, such as hem or neck; the others come twice, side-left and side-right. Left is
    the wearer's left, the right side of the cloth up. The fold is drawn as a line under its name.
    Seams are there for both sides, and cut lines are made anew. All sizes of the piece are opened.

    An edge that does not meet the fold squarely makes a point or a dip when it is opened; you are told
    where and by how much. An edge that is not straight cannot be a fold. A facing or band that follows
    the piece, and lies on a fold too, is opened with it. Where the piece was cut as a
    pair and not on the fold, name the edge: the seam there is gone then, and half as many are cut.

    Folding gives the half again. Where both halves differ by more than 0.05 mm it is refused, unless you
    say which one to keep and that the difference may be given up.
    """
    pieces = _with_followers(pattern, _meant(pattern, chosen, action, edge.strip()), action)
    reports: List[Report] = []
    after = pattern
    for piece, name in pieces:
        if action == UNFOLD:
            after, report = _unfolded(after, piece, name, "" if drawn == _AUTO else drawn)
        else:
            asked = ("" if keep == _AUTO else keep, "" if drawn == _AUTO else drawn, drop)
            after, report = _folded(after, chosen, piece, name, asked)
        reports.append(report)
    names = [piece.name for piece, _ in pieces]
    return Outcome(after, gathered([*reports, both_sides_walked(pattern, after, names)]))


def _meant(pattern: Pattern, chosen: Chosen, action: str, edge: str) -> List[Tuple[Piece, str]]:
    """The pieces that are meant, each with the edge on its fold."""
    found: List[Tuple[Piece, str]] = []
    for piece in chosen.pieces(pattern):
        if action == FOLD:
            if piece.unfolded or chosen.outlines:
                found.append((piece, edge or fold_name(piece)))
            continue
        name = _between_nodes(piece, chosen) or fold_meant(piece, edge if _has(piece, edge) else "")
        if edge and not _has(piece, edge) and chosen.outlines and piece.outlines:
            piece.outlines[0].edge_path(edge)  # raises, naming the edges there are
        if name is not None and not (edge and name != edge and not chosen.nodes):
            found.append((piece, name))
        elif chosen.outlines:
            raise _no_fold(piece)
    if not found:
        what = "No piece is opened." if action == FOLD else "No piece has an edge on the fold."
        cure = (
            "Select the whole piece." if action == FOLD else "Select a piece and name the edge on its fold."
        )
        raise InputError(what, cure, code="fold")
    return found


def _with_followers(pattern: Pattern, meant: List[Tuple[Piece, str]], action: str) -> List[Tuple[Piece, str]]:
    """With the facings and bands of the pieces that lie on a fold of their own, as their parents do."""
    names = [piece.name for piece, _ in meant]
    found = list(meant)
    for piece in pattern.pieces:
        if not piece.follows or piece.name in names:
            continue
        try:
            parents = parse_follow(piece.follows).parents
        except InputError:
            continue  # it is told by whoever makes it anew
        name = (piece.unfolded or None) if action == FOLD else fold_meant(piece, "")
        if name is not None and set(parents) & set(names):
            found.append((piece, name))
    return found


def _has(piece: Piece, edge: str) -> bool:
    return any(edge in outline.names for outline in piece.outlines)


def _no_fold(piece: Piece) -> InputError:
    if piece.unfolded:
        return InputError(
            "'{}' is opened already, along '{}'.".format(piece.name, piece.unfolded),
            "Fold it, or name another edge.",
            code="fold",
        )
    names = piece.outlines[0].names if piece.outlines else ()
    return InputError(
        "It is not known which edge of '{}' lies on the fold.".format(piece.name),
        "Name it, or select the two nodes at its ends. Its edges are: {}.".format(", ".join(names) or "none"),
        code="fold",
    )


def _nodes(piece: Piece, chosen: Chosen) -> Tuple[str, Sequence[np.ndarray]]:
    """The two nodes clicked on one line of a piece, and its size; none where they are not two."""
    for size in dict.fromkeys(node.size for node in chosen.nodes if node.piece == piece.name):
        nodes = chosen.nodes_on(piece.name, size)
        if len(nodes) == 2 and np.hypot(*(nodes[0] - nodes[1])) > _ON_EDGE:
            return size, nodes
    return "", ()


def _between_nodes(piece: Piece, chosen: Chosen) -> Optional[str]:
    size, nodes = _nodes(piece, chosen)
    if not len(nodes):
        return None
    outline = piece.outline(size)
    for name in outline.names:
        runs = outline.runs(name)
        if all(min(nearest(run, node).distance for run in runs) < _ON_EDGE for node in nodes):
            return name
    raise InputError(
        "The two nodes selected on '{}' are not the ends of one edge.".format(piece.name),
        "Select both ends of the edge on the fold.",
        code="choice",
    )


# -- unfold --------------------------------------------------------------------------------------


def _unfolded(pattern: Pattern, piece: Piece, name: str, drawn: str) -> Tuple[Pattern, Report]:
    opened = opened_piece(piece, name, drawn)
    after = pattern.with_piece(opened.piece)
    findings = opened_findings(piece, opened) + over_findings(pattern, opened.piece)
    if piece.named:
        seams, lost = opened_seams(pattern, opened.halved)
        after = after._replace(seams=seams)
        findings += lost_findings(lost, piece.name)
        findings += stale_findings(pattern, opened.piece, _STALE)
    findings += told_by_size(recut_findings(opened.cut), opened.piece)
    first = opened.first
    along = called(piece.outlines[0], name)
    summary = "'{}' is opened along {} to the whole piece".format(piece.name, along)
    if piece.named:
        summary += "; the half that was drawn is the wearer's {}, right side of the cloth up".format(
            first.drawn
        )
        if opened.piece.cut != piece.cut:
            summary += "; cut {} of it, where there were {}".format(opened.piece.cut, piece.cut)
    middle = (first.fold.path.start + first.fold.path.end) / 2.0
    change = Change(piece.name, "opened along {}".format(name), (float(middle[0]), float(middle[1])))
    return after, Report(summary + ".", tuple(findings), changes=(change,))


# -- fold ----------------------------------------------------------------------------------------


def _folded(
    pattern: Pattern, chosen: Chosen, piece: Piece, name: str, asked: Tuple[str, str, bool]
) -> Tuple[Pattern, Report]:
    keep, drawn, drop = asked
    made = folded_piece(piece, _axes(piece, chosen), name, keep, drawn)
    dropped = _differences(piece, made, bool(keep), drop)
    after = pattern.with_piece(made.piece)
    if piece.named:
        after = after._replace(seams=folded_seams(pattern, made.halved))
    summary = "'{}' is folded along {}; the wearer's {} half is kept".format(
        piece.name, name, made.halved.side
    )
    findings = dropped + told_by_size(recut_findings(made.cut), made.piece)
    return after, Report(summary + ".", tuple(findings))


def _axes(piece: Piece, chosen: Chosen) -> Dict[str, Path]:
    """The fold of each size: through two nodes, else as it is drawn."""
    size, nodes = _nodes(piece, chosen)
    axes: Dict[str, Path] = {}
    for outline in piece.outlines:
        line = fold_line(piece, outline.size, piece.unfolded) if piece.unfolded else None
        if len(nodes) and outline.size == size:
            axes[outline.size] = Path.through(np.array(nodes))
        elif len(nodes):
            axes[outline.size] = axis_through(piece, outline, nodes[0], nodes[1] - nodes[0])
        elif line is not None and line.path is not None:
            axes[outline.size] = line.path
        else:
            raise InputError(
                "No fold line is drawn on '{}'.".format(shown(piece, outline.size)),
                "Select the two nodes of its outline at the ends of the fold.",
                code="fold",
            )
    return axes


def _differences(piece: Piece, made: FoldedPiece, said: bool, drop: bool) -> List[Finding]:
    """What is given up of the other half; ``InputError`` where nobody said that it may be."""
    texts: List[Tuple[str, Optional[Tuple[float, float]]]] = []
    for size, one in made.sizes.items():
        where = shown(piece, size)
        for on, name in one.lone:
            texts.append(("{}: only the wearer's {} half has the dart '{}'".format(where, on, name), one.at))
        if one.off > ALIKE:
            words = "{}: its halves differ by {:.2f} mm, most at the edge '{}' near ({:.0f}, {:.0f}) mm"
            texts.append((words.format(where, one.off, one.edge, *one.at), one.at))
    lone = lone_marks(piece, made)
    if lone:
        texts.append(("{}: only one half has {}".format(piece.name, ", ".join(lone)), None))
    if texts and not (said and drop):
        raise InputError(
            "It cannot be folded yet: {}.".format(texts[0][0]),
            "Say that the halves may differ and which one to keep (--drop yes --keep left), "
            "or leave the piece whole.",
            code="differ",
        )
    side = other_side(made.halved.side)
    kept = "the wearer's {} half has".format(made.halved.side)
    found = []
    for text, at in texts:
        end = "the folded piece has it" if kept in text else "what the {} one had is given up".format(side)
        told = "{}; {}.".format(text, end)
        found.append(Finding("half-dropped", Level.WARN, told, piece.name, at))
    return told_by_size(found, piece)
