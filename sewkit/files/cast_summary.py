"""The summary of a cast as text and as a table: one row for each person and garment."""

import csv
import io
import textwrap
from typing import Dict, List, Optional, Sequence, Tuple

from sewkit.files.cast import DONE, FAILED, HELD, LEFT, At, CastRow
from sewkit.files.report_text import WIDTH, as_text
from sewkit.files.report_words import one_line
from sewkit.report import Level, Report, Table

# What a summary is called in the folder of a cast.
SUMMARIES = ("summary.txt", "summary.csv", "summary.html")


def counted(rows: Sequence[CastRow]) -> str:
    """ "12 rows: 10 packs, 2 held."; what there is none of is not told, but for packs."""
    counts = {state: sum(row.state == state for row in rows) for state in (DONE, HELD, FAILED, LEFT)}
    parts = ["{} {}".format(counts[DONE], "pack" if counts[DONE] == 1 else "packs")]
    parts += ["{} {}".format(counts[state], state) for state in (HELD, FAILED, LEFT) if counts[state]]
    return "{} {}: {}.".format(len(rows), "row" if len(rows) == 1 else "rows", ", ".join(parts))


def level_of(row: CastRow) -> Level:
    """How a row is lit: what has no pack must be seen first."""
    if row.state in (HELD, FAILED):
        return Level.FAIL
    return Level.INFO if row.state == LEFT else row.light


def summary_text(rows: Sequence[CastRow]) -> str:
    """The summary for reading in a fixed-width font: why rows are held, all rows, what to look at."""
    several = len({row.garment for row in rows}) > 1
    head = ("who", *(("garment",) if several else ()), "state", "made", "finished cm (ease)")
    cells = [
        (row.who, *((row.garment,) if several else ()), row.state, row.made or "-", _all_finished(row))
        for row in rows
        if row.state != LEFT
    ]
    levels = tuple(level_of(row) for row in rows if row.state != LEFT)
    table = Table("All rows", head, tuple(cells), levels)
    title = "The whole cast"
    parts = ["{}\n{}\n\n{}".format(title, "=" * len(title), counted(rows))]
    without = [(row, row.words) for row in rows if row.state in (HELD, FAILED)]
    parts.append(_listed("No pack yet", without, several))
    parts.append(as_text(Report(tables=(table,))).rstrip())
    parts += [left_words(rows), textwrap.fill(cloth_words(rows), WIDTH)]
    looks = [(row, text) for row in rows for text in row.told]
    parts.append(_listed("To look at before cutting", looks, several))
    return "\n\n".join(filter(None, parts)) + "\n"


def left_words(rows: Sequence[CastRow]) -> str:
    """ "Left out this time: P01, P02." for rows that nobody asked for and that have no pack."""
    names = list(dict.fromkeys(row.who for row in rows if row.state == LEFT))
    return "Left out this time: {}.".format(", ".join(names)) if names else ""


def cloth_words(rows: Sequence[CastRow]) -> str:
    """How much cloth the pieces of all packs cover, by cloth; "" where there is no pack."""
    found: Dict[str, float] = {}
    for row in rows:
        for cloth, area in row.cloth:
            found[cloth] = found.get(cloth, 0.0) + area
    told = ", ".join("{:.2f} m² of {} cloth".format(found[cloth], cloth) for cloth in sorted(found))
    text = "All pieces cover {}; what is left between them when they are laid out comes on top."
    return text.format(told) if told else ""


def recut_words(rows: Sequence[CastRow]) -> Tuple[str, ...]:
    """For each pack that took an older one's place: "P03: cut front again; back stays."."""
    told = []
    for row in rows:
        if row.recut is None:
            continue
        stay = [shape.piece for shape in row.shapes if shape.piece not in row.recut]
        parts = ["cut {} again".format(" and ".join(row.recut))] if row.recut else []
        parts += ["{} as cut before".format(" and ".join(stay))] if stay else []
        told.append("{}: {}.".format(row.who, "; ".join(parts)))
    return tuple(told)


def _listed(title: str, lines: Sequence[Tuple[CastRow, str]], several: bool) -> str:
    """Sentences with whom they are about, each wrapped; nothing where there are none."""
    if not lines:
        return ""
    told = [
        textwrap.fill(
            one_line("{}: {}".format(_called(row, several), text)),
            WIDTH,
            initial_indent="  ",
            subsequent_indent="    ",
            break_on_hyphens=False,
        )
        for row, text in lines
    ]
    return "\n".join([title, *told])


def _all_finished(row: CastRow) -> str:
    return ", ".join("{} {} ({})".format(one.measure, one.finished, one.ease) for one in row.sizes) or "-"


def _called(row: CastRow, several: bool) -> str:
    return "{} ({})".format(row.who, row.garment) if several else row.who


def summary_csv(rows: Sequence[CastRow]) -> str:
    """The summary for a spreadsheet; lengths in cm, four columns for each level of the charts."""
    levels = list(dict.fromkeys(one.measure for row in rows for one in row.sizes))
    head = ["who", "garment", "state", "light", "made"]
    for level in levels:
        head += ["{} {}".format(level, word) for word in ("size", "body cm", "finished cm", "ease cm")]
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow([*head, "words", "look at", "folder", "geometry", "printed"])
    for row in rows:
        at: Dict[str, At] = {one.measure: one for one in row.sizes}
        light = row.light.word if row.state == DONE else ""
        cells: List[str] = [row.who, row.garment, row.state, light, row.made]
        for level in levels:
            cells += _cells(at.get(level))
        cells += [row.words, " ".join(row.told), row.folder, row.geometry, " ".join(row.prints)]
        writer.writerow([_harmless(cell) for cell in cells])
    return stream.getvalue()


def _cells(one: Optional[At]) -> Tuple[str, ...]:
    return ("", "", "", "") if one is None else (one.size, one.body, one.finished, one.ease)


def _harmless(cell: str) -> str:
    """No cell that a spreadsheet would take for a formula."""
    return "'" + cell if cell[:1] in ("=", "+", "@", "\t") else cell
