"""A piece that was divided along its darts, as one would say it at the table."""

from typing import List, Sequence, Tuple

from sewkit.pattern.dart_seam import Panelled, PanelLine
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level, Table


def seam_sentence(old: Outline, piece: str, line: PanelLine, made: Panelled) -> str:
    """What was done to one piece; ``old``: with the darts cut in."""
    halves = made.halves
    target = line.target
    to = quoted(old, target.edge) if isinstance(target, On) else "the dart '{}'".format(target.name)
    length = halves.kept.outlines[0].as_sewn(halves.edge) if halves.kept.named else None
    shown = " Their new edges are called '{}' ({:.1f} mm).".format(halves.edge, length) if length else ""
    return "'{}' is in two parts now, '{}' and '{}', along the dart '{}' to {}.{}".format(
        piece, halves.kept.name, halves.other.name, line.dart.name, to, shown
    )


def seam_findings(before: Pattern, piece: Piece, made: Panelled, apart: float) -> List[Finding]:
    """How often the new piece is cut, its allowance, and what meets both parts now."""
    found = []
    kept, other, edge = made.halves.kept, made.halves.other, made.halves.edge
    if other.cut != piece.cut:
        text = "'{}' is not on the fold, so {} of it are cut."
        found.append(Finding("cut-pair", Level.INFO, text.format(other.name, other.cut), other.name))
    if made.halves.kept.cut_lines and edge in kept.allowance and edge not in piece.allowance:
        text = "The new seam '{}' gets {:g} mm of allowance, as most edges have."
        found.append(Finding("allowance", Level.INFO, text.format(edge, kept.allowance[edge]), kept.name))
    if kept.cut_lines and not apart:
        text = "The allowances of '{}' and '{}' lie over each other; lay the parts apart before you cut them."
        found.append(Finding("lapped", Level.INFO, text.format(kept.name, other.name), other.name))
    for name, parts in made.halves.order.items():
        for seam in before.seams_of(piece.name):
            if seam.touches(piece.name, name):
                partner = " and ".join(str(r) for r in seam.refs if (r.piece, r.edge) != (piece.name, name))
                text = "{} meets {}/{} and {}/{} now, end to end.".format(
                    partner, parts[0], name, parts[1], name
                )
                found.append(Finding("divided-edge", Level.INFO, text, piece.name))
    return found


def edges_table(pieces: Sequence[Piece], sizes: Sequence[str]) -> Tuple[Table, ...]:
    """The edges of new pieces, as sewn."""
    rows = []
    for piece in pieces:
        for size in sizes:
            if piece.named and size in piece.sizes:
                outline = piece.outline(size)
                names = [name for name in outline.names if name not in piece.darts]
                rows += [(piece.name, size, name, "{:.2f}".format(outline.as_sewn(name))) for name in names]
    return (Table("Edges of the new pieces", ("piece", "size", "edge", "mm"), tuple(rows)),) if rows else ()
