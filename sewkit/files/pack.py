"""A person's pack: everything that belongs to one garment for one body, in one folder.

    pieces.svg        the pieces, with labels
    before-after.svg  what was bought and what it became
    report.html, report.txt, report.json
    cut-list.csv, cut-list.txt
    recipe.toml       the fit sheet
    pieces-a4.pdf     the pieces for a printer, on whatever paper was chosen
    pack.json         what the pack was made from, and the hash of every file

A pack is there whole or not at all: it is written into a folder beside, ``pack.json``
last, and takes its name in one step.  Whoever is stopped half-way, however hard, asks
``finished_pack`` which packs are done and goes on.  The same input gives the same bytes:
nothing here reads a clock.
"""

import csv
import io
from typing import Any, Dict, Iterator, List, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.cautions import KEEP_SAFE, cautions
from sewkit.body.written_out import written_out
from sewkit.files.fit_sheet import FitSheet, write_fit_sheet
from sewkit.files.job import Done
from sewkit.files.pack_folder import (
    MANIFEST,
    PathLike,
    finished_pack,
    geometry_hash,
    pack_inputs,
    put_pack,
    write_manifest,
)
from sewkit.files.pack_print import USUAL_PAPER, printed_sheets
from sewkit.files.picture import before_after
from sewkit.files.picture_changes import lines_changed
from sewkit.files.report_html import as_html
from sewkit.files.report_json import as_json
from sewkit.files.report_text import as_text
from sewkit.files.svg_words import lines_through_words
from sewkit.files.words_follow import let_words_follow, words_beside
from sewkit.pattern.cut_list import CutRow, total_by_cloth
from sewkit.pattern.garment_title import garment_for
from sewkit.pattern.piece_label import About, labelled
from sewkit.report import Finding, Level, Report, Table

__all__ = ("MANIFEST", "Pack", "finished_pack", "geometry_hash", "pack_files", "pack_inputs", "write_pack")

_WORDS_OF_THE_NEST = (
    "The words beside the pieces are the maker's and speak of the nest, of its allowance too: what the label "
    "on a piece says counts."
)


class Pack(NamedTuple):
    """What goes into a pack.

    Args:
        done: the finished job; its drawing is labelled when the pack is written.
        report: all there is to tell, the job's own report included.
        sheet: the fit sheet; its title and person head the report.
        garment: what the labels call it: "Waistcoat".
        made: the sizes in words: "chest 3, waist 5, 20 mm longer".
        body: whose it is, for cautions; None where no measures were used.
        show: the production or the occasion; may be empty.
        date: as it is to stand on labels, sheets and report; may be empty.
        paper: what the pieces are printed on where the fit sheet does not say; empty for none.
    """

    done: Done
    report: Report
    sheet: FitSheet
    garment: str = ""
    made: str = ""
    body: Optional[Body] = None
    show: str = ""
    date: str = ""
    paper: str = USUAL_PAPER


def write_pack(folder: PathLike, pack: Pack, inputs: Mapping[str, str]) -> Tuple[str, ...]:
    """Write a pack to a folder; gives the names of its files, the manifest last.

    Args:
        folder: its own folder; the one it lies in must be there.
        inputs: what it was made from, see ``pack_inputs``.

    An older pack of that folder is replaced.  What somebody put beside it stays, and what
    somebody changed in it is kept as "recipe-kept.toml" and the like.  ``FileError`` for a
    folder that holds other things and no pack, and for one that cannot be written; what was
    there is then unchanged.
    """
    geometry = geometry_hash(pack.done.drawing.pattern)
    files = pack_files(pack)
    files[MANIFEST] = write_manifest(files, inputs, geometry)
    put_pack(folder, files)
    return tuple(files)


def pack_files(pack: Pack) -> Dict[str, bytes]:
    """The files of a pack by name, without the manifest; labels the pack's drawing."""
    done, sheet, about = pack.done, pack.sheet, _about(pack)
    *old, new = pack.report.lines or lines_changed(done.before, done.after)
    picture = before_after(done.before, done.after, old, new, pack.report.changes, sheet.title)
    drawing = done.drawing
    let_words_follow(drawing.root, done.before, done.after, old[0] if old else new, new)
    made = labelled(drawing.pattern, about, new, lines_through_words(drawing.root))
    drawing.put(made.pattern)
    printed = printed_sheets(drawing, sheet, pack.paper, _known(pack, about), "pieces")
    listed = (_cut_table(made.rows), *_legend_table(made.legend))
    report = pack.report._replace(
        findings=pack.report.findings + (*_of_the_nest(drawing.root), *printed.told, *_private(pack)),
        tables=pack.report.tables + listed + printed.tables,
    )
    below = ". ".join(filter(None, [pack.made, pack.show, pack.date]))
    title = sheet.title or ": ".join(filter(None, [pack.garment, sheet.who]))
    texts = {
        "before-after.svg": picture,
        "report.html": as_html(report, title, below, picture),
        "report.txt": as_text(report, title),
        "report.json": as_json(report),
        "cut-list.csv": _cut_csv(made.rows),
        "cut-list.txt": as_text(Report(_totals(made.rows), tables=listed), "Cut list: " + title),
        "recipe.toml": write_fit_sheet(sheet),
    }
    files = {"pieces.svg": drawing.as_bytes()}
    files.update((name, text.encode("utf-8")) for name, text in texts.items())
    files.update(printed.files)
    return files


def _about(pack: Pack) -> About:
    garment = garment_for(pack.garment or pack.done.after.title or pack.sheet.title, ())
    return About(garment, pack.sheet.who, pack.made, pack.show, pack.date)


def _known(pack: Pack, about: About) -> Dict[str, str]:
    """What the sheets may say of themselves, by the names that operations have for it."""
    note = ", ".join(filter(None, [pack.made, pack.show]))
    return {"garment": about.title, "person": about.who, "note": note, "date": about.date}


def _of_the_nest(root: Any) -> Iterator[Finding]:
    """What to say where the maker's words still stand beside the pieces: they may ask for allowance twice."""
    if words_beside(root):
        yield Finding("words-of-the-nest", Level.INFO, _WORDS_OF_THE_NEST)


def _private(pack: Pack) -> Iterator[Finding]:
    """What to say because it is a person's: cautions for a child's clothes, and to keep the sheets safe."""
    if pack.body is None:
        return
    for text in cautions(pack.body):
        yield Finding("child", Level.INFO, text)
    yield Finding("keep-safe", Level.INFO, KEEP_SAFE)
    named = written_out(pack.sheet.who)
    if named:
        yield Finding("initials", Level.INFO, named)


def _cut_table(rows: Sequence[CutRow]) -> Table:
    columns = ("", "piece", "cut", "cloth", "size")
    told = ((str(row.number), row.piece, row.how, row.cloth, row.size) for row in rows)
    return Table("What to cut", columns, tuple(told))


def _legend_table(legend: Sequence[Tuple[str, str]]) -> List[Table]:
    """What does not fit on the pieces themselves; nothing where everything does."""
    return (
        [Table("Labels that did not fit on their pieces", ("piece", "label"), tuple(legend))]
        if legend
        else []
    )


def _totals(rows: Sequence[CutRow]) -> str:
    """ "6 pieces in all: 2 of lining, 4 of main cloth." """
    totals = total_by_cloth(rows)
    count = sum(number for _, number in totals)
    told = ", ".join("{} of {} cloth".format(number, cloth) for cloth, number in totals)
    return "{} {} in all: {}.".format(count, "piece" if count == 1 else "pieces", told)


def _cut_csv(rows: Sequence[CutRow]) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(("number", "piece", "count", "how", "cloth", "size"))
    writer.writerows((row.number, row.piece, row.count, row.how, row.cloth, row.size) for row in rows)
    return stream.getvalue()
