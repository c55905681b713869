"""Finished measures told: tables, and which pieces were counted."""

from typing import Dict, List, Sequence, Tuple

from sewkit.checks.finished import Finished, Length, Part
from sewkit.report import Finding, Level, Report, Table

# A level drawn further off square to the grain (degrees) is told; it is measured square.
_OFF = 2.0


def finished_report(rows: Sequence[Finished], along: Sequence[Length] = ()) -> Report:
    """Girths and lengths of one or several sizes, and what there is to say about them."""
    sizes = list(dict.fromkeys([row.size for row in rows] + [one.size for one in along]))
    if len(sizes) == 1:
        tables = _detailed(rows, sizes[0])
    else:
        tables = _of_sizes("Finished girths, mm", "level", [(r.level, r.size, r.girth) for r in rows], sizes)
    tables += _of_sizes(
        "Lengths{}, mm".format(" of size {}".format(sizes[0]) if len(sizes) == 1 and sizes[0] else ""),
        "along the seam line",
        [("{}, {}".format(one.name, one.piece), one.size, one.length) for one in along],
        sizes,
    )
    return Report(_summary(rows, sizes), tuple(_findings(rows)), tuple(tables))


def _summary(rows: Sequence[Finished], sizes: Sequence[str]) -> str:
    if not rows:
        return "No level was found; only lengths are told."
    if len(sizes) > 1:
        return "{} sizes measured at: {}.".format(
            len(sizes), ", ".join(dict.fromkeys(row.level for row in rows))
        )
    girths = ", ".join("{} {:.1f}".format(row.level, row.girth) for row in rows)
    named = " of size {}".format(sizes[0]) if sizes and sizes[0] else ""
    return "Finished girths{} in mm: {}.".format(named, girths)


def _detailed(rows: Sequence[Finished], size: str) -> List[Table]:
    if not rows:
        return []
    lines = []
    for row in rows:
        made = " + ".join(
            "{:g} x {:.1f} {}".format(part.times, part.width.across, part.width.piece) for part in row.parts
        )
        taken, beyond = ("{:.1f}".format(mm) for mm in (row.taken, row.beyond))
        lines.append((row.level, made or "-", taken, beyond, "{:.1f}".format(row.girth)))
    title = "Finished girths{}, mm".format(" of size {}".format(size) if size else "")
    columns = ("level", "seam line to seam line", "darts, pleats, gathers", "laps over", "finished")
    return [Table(title, columns, tuple(lines), tuple(_light(row) for row in rows))]


def _light(row: Finished) -> Level:
    return Level.WARN if row.missing or row.maybe_half else Level.PASS


def _of_sizes(
    title: str, first: str, cells: Sequence[Tuple[str, str, float]], sizes: Sequence[str]
) -> List[Table]:
    """A table with a row for each name and a column for each size."""
    by_name: Dict[str, Dict[str, float]] = {}
    for name, size, amount in cells:
        by_name.setdefault(name, {})[size] = amount
    if not by_name:
        return []
    heads = [size if len(sizes) > 1 and size else "mm" for size in sizes]
    rows = tuple(
        (name, *("{:.1f}".format(found[size]) if size in found else "-" for size in sizes))
        for name, found in by_name.items()
    )
    return [Table(title, (first, *heads), rows)]


def _findings(rows: Sequence[Finished]) -> List[Finding]:
    """What is to be said once, however many sizes have it."""
    told: Dict[Tuple[str, str], Finding] = {}
    for row in rows:
        for finding in _of_row(row):
            told.setdefault((finding.code, finding.text), finding)
    return list(told.values())


def _of_row(row: Finished) -> List[Finding]:
    counted = ", ".join("{} {}".format(p.width.piece, _often(p)) for p in row.parts)
    text = "{}: counted {}".format(row.level, counted or "nothing")
    if row.left_out:
        left = ", ".join("{} ({})".format(name, why) for name, why in row.left_out.items())
        text += "; not counted {}".format(left)
    found = [Finding("counted", Level.INFO, text + ".", row.level)]
    for name, why in row.missing.items():
        text = "{}: '{}' belongs to it and is not in the sum: {}.".format(row.level, name, why.rstrip("."))
        found.append(Finding("level-missing", Level.WARN, text, name))
    if row.parts and row.maybe_half:
        text = "{}: every piece counts once and none lies on the fold, so this may be one half.".format(
            row.level
        )
        found.append(Finding("half", Level.WARN, text, row.level))
    edges = [part.width.piece for part in row.parts if part.width.way == "edge"]
    if edges:
        text = "{}: no level is drawn on {}, so it was measured along the edge.".format(
            row.level, " and ".join(dict.fromkeys(edges))
        )
        found.append(Finding("level-edge", Level.INFO, text, row.level))
    for part in row.parts:
        found += _of_part(part)
    return found


def _of_part(part: Part) -> List[Finding]:
    width = part.width
    found = []
    if width.off > _OFF:
        text = (
            "{} of {} is drawn {:.1f} degrees off square to the grain; it was measured square to it.".format(
                width.level, width.piece, width.off
            )
        )
        found.append(Finding("level-aslant", Level.WARN, text, width.piece))
    if width.way == "seam":
        text = "{} has no level {}; it was measured where its neighbour's meets the seam.".format(
            width.piece, width.level
        )
        found.append(Finding("level-carried", Level.INFO, text, width.piece))
    if width.gathered:
        text = "{}: the gathers of {} take in {:.1f} mm each time it is counted."
        text = text.format(width.level, width.piece, width.gathered)
        found.append(Finding("level-gathered", Level.INFO, text, width.piece))
    for name in width.closed:
        text = "{} lies along the level {} of {}; it was closed to measure.".format(
            name, width.level, width.piece
        )
        found.append(Finding("dart-closed", Level.INFO, text, width.piece))
    return found


def _often(part: Part) -> str:
    words = {1.0: "once", 2.0: "twice"}
    return words.get(part.times, "{:g} times".format(part.times)) + (
        " (on the fold)" if part.width.on_fold else ""
    )
