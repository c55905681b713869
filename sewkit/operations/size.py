"""Take one size out of the nest."""

from sewkit.errors import InputError
from sewkit.operation import Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.pattern import Pattern
from sewkit.report import Report


@operation(
    title="Take out one size",
    menu="Pieces",
    select="Select the pieces, or nothing for all of them.",
    example="sewkit size samples/waistcoat/master.svg -o one-size.svg --size-kept 3",
    preview=False,
)
def size(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    size_kept: Text("Size to keep", "such as 3; empty keeps the size of the selected line") = "",
) -> Outcome:
    """Keep one size of each piece and leave the other lines of the nest out.

    Marks that serve all sizes stay; marks of the other sizes go.  A piece that is drawn
    in one size only stays as it is.  Do this on a copy: the nest is your master.
    """
    picked = list(dict.fromkeys(outline.size for outline in chosen.outlines if outline.size))
    if not size_kept and len(picked) == 1:
        size_kept = picked[0]
    if not any(pattern.sizes):
        raise InputError(
            "This drawing has no named sizes yet.", "Name a piece and its sizes first.", code="nest"
        )
    if not size_kept or size_kept not in pattern.sizes:
        what = "There is no size '{}' in this drawing.".format(size_kept)
        raise InputError(
            what if size_kept else "It is not said which size to keep.",
            "The sizes are: {}.".format(", ".join(s for s in pattern.sizes if s) or "none"),
            code="nest",
        )
    after, counts = pattern, []
    for piece in chosen.pieces(pattern):
        if len(piece.outlines) < 2 and size_kept not in piece.sizes:
            continue
        if size_kept not in piece.sizes:
            raise InputError(
                "The piece '{}' is not drawn in size '{}'.".format(piece.name, size_kept),
                "Select only the pieces that are, or draw that size of it first.",
                code="nest",
            )
        kept = piece._replace(
            outlines=(piece.outline(size_kept),),
            cut_lines=tuple(line for line in piece.cut_lines if line.size == size_kept),
            marks=piece.marks_for(size_kept),
        )
        after = after.with_piece(kept)
        counts.append(piece.name)
    if not counts:
        return Outcome(after, Report("The selected pieces are drawn in one size only; nothing was left out."))
    summary = "Size {} of {} is kept; the other sizes are left out.".format(size_kept, ", ".join(counts))
    return Outcome(after, Report(summary))
