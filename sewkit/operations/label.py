"""Labels on the pieces: what each is, how often it is cut, and what was allowed for."""

from typing import List, Optional, Sequence, Tuple

from sewkit.body.written_out import written_out
from sewkit.errors import InputError
from sewkit.operation import Choice, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.cut_list import CutRow, total_by_cloth
from sewkit.pattern.garment_title import garment_for
from sewkit.pattern.label_legend import LABEL_NAME
from sewkit.pattern.mark import OVERLAY
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece_label import About, Labelled, labelled
from sewkit.report import Finding, Level, Report, Table

REMOVE = "remove"


@operation(
    title="Label the pieces",
    menu="Marks",
    select="Select the pieces, the lines of one size, or nothing for all of them.",
    example="sewkit label samples/waistcoat/master.svg -o labelled.svg --size 5 --who P03 --date 'May 2026'",
    beside=True,
)
def label(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice("Labels", "", {"write": "Write them", "remove": "Take them away"}) = "write",
    garment: Text("Garment", "empty: what the drawing is called") = "",
    who: Text("For whom", "initials or a number, such as P03") = "",
    made: Text("Sizes in words", "such as: chest 3, waist 5, 20 mm longer; empty: the size that is cut") = "",
    show: Text("Production or occasion", "may be empty") = "",
    date: Text("Date", "as it is to be written, such as May 2026") = "",
    version: Text("Version", "of the pattern, such as 2") = "",
    size_cut: Text("Size that is cut", "where a piece is drawn in several and all are selected") = "",
) -> Outcome:
    """Write on every piece what it is, how often it is cut and which allowances it has.

    A label says the garment, the piece and its number (3 of 11), for whom and in which sizes, how
    often to cut it, of which cloth and whether on the fold or as a mirrored pair, the allowances with
    the depth of the hem, and what you give as production, date and version; beside it stands a bar of
    50 mm to measure the scale by. The words run along the grain, inside the piece and clear of every
    line and word on it; where they do not fit the letters become smaller, and where even that is too
    much the piece has its number and the words stand below in a legend. Labels that were written
    before are replaced; other words of the drawing stay.

    Pick one size, or name it, and the labels are about that; a piece in all its sizes gets one label
    that serves them all. Numbers count all pieces of the drawing, also where you label only some.
    Cut counts, cloth, folds and hems are those of the names: Name a piece and its edges sets them.
    """
    size = _size(pattern, chosen, size_cut.strip())
    only = [piece.name for piece in chosen.pieces(pattern)] if chosen.outlines else None
    if action == REMOVE:
        return _removed(pattern, only)
    title = garment.strip() or garment_for(pattern.title, [size] if size else pattern.sizes)
    about = About(title, who.strip(), made.strip(), show, date, version.strip())
    over = [mark.path for mark in pattern.beside if mark.kind == OVERLAY and mark.path is not None]
    done = labelled(pattern, about, size, over or None, only, True)
    written = [piece.name for piece in done.pattern.pieces if _has_label(done.pattern, piece.name)]
    meant = written if only is None else [name for name in written if name in only]
    if not meant:
        raise InputError(
            "There is no closed outline to write a label on.",
            "Name the pieces, and join the end nodes of outlines that are open.",
            code="choice",
        )
    report = _report(done, meant, only)
    named = written_out(about.who)
    told = (Finding("initials", Level.INFO, named),) if named else ()
    return Outcome(done.pattern, report._replace(findings=report.findings + told))


def _size(pattern: Pattern, chosen: Chosen, said: str) -> str:
    """The size the labels are about; empty for all sizes."""
    if said and said not in pattern.sizes:
        raise InputError(
            "No piece is drawn in size '{}'.".format(said),
            "The sizes are: {}.".format(", ".join(filter(None, pattern.sizes)) or "none"),
            code="nest",
        )
    picked = list(dict.fromkeys(size for _, size in chosen.outlines if size))
    return said or (picked[0] if len(picked) == 1 else "")


def _removed(pattern: Pattern, only: Optional[Sequence[str]]) -> Outcome:
    gone = 0
    after = pattern
    for piece in pattern.pieces:
        kept = tuple(mark for mark in piece.marks if mark.name != LABEL_NAME)
        if len(kept) < len(piece.marks) and (only is None or piece.name in only):
            after, gone = after.with_piece(piece._replace(marks=kept)), gone + 1
    told = "The label of one piece was" if gone == 1 else "The labels of {} pieces were".format(gone)
    return Outcome(after, Report("{} taken away.".format(told) if gone else "There were no labels."))


def _has_label(pattern: Pattern, name: str) -> bool:
    return any(mark.name == LABEL_NAME for mark in pattern.piece(name).marks)


def _report(done: Labelled, meant: Sequence[str], only: Optional[Sequence[str]]) -> Report:
    words = "One piece has a label." if len(meant) == 1 else "{} pieces have labels.".format(len(meant))
    totals = ", ".join("{} of {} cloth".format(number, cloth) for cloth, number in total_by_cloth(done.rows))
    findings = _legend_findings(done) + _left_out(done, meant, only)
    return Report("{} To cut in all: {}.".format(words, totals), tuple(findings), (_cut_table(done.rows),))


def _legend_findings(done: Labelled) -> List[Finding]:
    names = {str(row.number): row.piece for row in done.rows}
    text = "The words do not fit on '{}': it has its number {}, and they stand below in a legend."
    return [
        Finding("label-legend", Level.INFO, text.format(names[sign], sign), names[sign])
        for sign, _ in done.legend
    ]


def _left_out(done: Labelled, meant: Sequence[str], only: Optional[Sequence[str]]) -> List[Finding]:
    """Pieces that were to have a label and got none."""
    known = [row.piece for row in done.rows if only is None or row.piece in only]
    text = "'{}' got no label, for its outline is open."
    return [
        Finding("open", Level.WARN, text.format(name), name, cure="Join its two end nodes.")
        for name in known
        if name not in meant
    ]


def _cut_table(rows: Sequence[CutRow]) -> Table:
    columns = ("", "piece", "cut", "cloth", "size")
    told: Tuple[Tuple[str, ...], ...] = tuple(
        (str(row.number), row.piece, row.how, row.cloth, row.size) for row in rows
    )
    return Table("What to cut", columns, told)
