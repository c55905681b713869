"""A cast: one row for each person and garment, with all that a summary has to say of it.

A row of a finished pack is read from the pack's folder, also right after it was written: so
a summary is the same whether a pack was made this time or found finished.
"""

import json
import os
from typing import Any, Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import FileError, InputError
from sewkit.files.fit_sheet import FitSheet, read_fit_sheet
from sewkit.files.pack_folder import PathLike, geometry_hash, read_manifest
from sewkit.files.report_json import as_json
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten, signed_area
from sewkit.pattern.cut_list import cut_list
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Level, Report
from sewkit.units import write_number

# What became of a row.
DONE, HELD, FAILED, LEFT = "done", "held", "failed", "left out"

# A small outline may lie so far (mm) beside the line: less than a pixel where it is shown.
_SMALL = 1.5

# The table of a report that tells the size at each level.
_SIZES = ("level", "size", "body cm", "drafted for cm", "finished cm", "ease cm")

_LEVELS = {level.word: level for level in Level}


class At(NamedTuple):
    """The size at one level, as the report has it; lengths in cm, empty where nobody knows."""

    measure: str
    size: str
    body: str
    finished: str
    ease: str


class Shape(NamedTuple):
    """A piece's small outline: its corners in whole mm, y down, and its name."""

    piece: str
    corners: Tuple[Tuple[int, int], ...]


class CastRow(NamedTuple):
    """One person's row for one garment.

    Args:
        who, garment: for whom, and what.
        state: ``DONE``, ``HELD``, ``FAILED``, or ``LEFT`` where nobody asked for it.
        words: one sentence why there is no pack; empty where there is one.
        sizes: level by level.
        made: sizes, lengths and needs in words: "chest 3, waist 5, 20 mm longer".
        light: the worst of the pack's report; green where there is nothing to look at.
        told: what to look at, one sentence each, red before amber.
        folder: the pack's, below the one of the whole cast, with strokes.
        geometry: the hash of its lines.
        shapes: small outlines for the wall.
        cloth: square metres that the pieces cover, by cloth.
        prints: names of the printed files in the pack's folder.
        kept: whether the pack was finished before; no summary tells.
        recut: pieces that are other ones than in the older pack of this folder, or new; None
            where there was none.  No summary tells, for it is so only this once.
    """

    who: str
    garment: str
    state: str
    words: str = ""
    sizes: Tuple[At, ...] = ()
    made: str = ""
    light: Level = Level.PASS
    told: Tuple[str, ...] = ()
    folder: str = ""
    geometry: str = ""
    shapes: Tuple[Shape, ...] = ()
    cloth: Tuple[Tuple[str, float], ...] = ()
    prints: Tuple[str, ...] = ()
    kept: bool = False
    recut: Optional[Tuple[str, ...]] = None


def row_of_pack(row: CastRow, folder: PathLike) -> CastRow:
    """The row with what its finished pack says; ``FileError`` where a file cannot be read."""
    place = os.fspath(folder)
    manifest = read_manifest(place)
    report = _json(os.path.join(place, "report.json"))
    if manifest is None or not report:
        raise FileError("The pack '{}' cannot be read.".format(place), "Delete it and run again.", "file")
    drawing, _ = open_drawing(os.path.join(place, "pieces.svg"))
    row = _told(row, report, read_fit_sheet(os.path.join(place, "recipe.toml")))
    geometry = str(manifest.get("geometry", ""))
    pattern = drawing.pattern
    prints = tuple(sorted(name for name in manifest["files"] if name.lower().endswith(".pdf")))
    return row._replace(geometry=geometry, shapes=shapes_of(pattern), cloth=cloth_of(pattern), prints=prints)


def piece_hashes(folder: PathLike) -> Dict[str, str]:
    """A hash of the lines of each piece of a pack, by name; nothing where there is no pack to be read."""
    if read_manifest(folder) is None:
        return {}
    try:
        drawing, _ = open_drawing(os.path.join(os.fspath(folder), "pieces.svg"))
    except InputError:
        return {}
    pieces = drawing.pattern.pieces
    return {piece.name: geometry_hash(Pattern(pieces=(piece,))) for piece in pieces}


def row_of_report(row: CastRow, report: Report, sheet: FitSheet) -> CastRow:
    """The row with what the report says of a pack that was not written."""
    return _told(row, json.loads(as_json(report)), sheet)


def _told(row: CastRow, report: Dict[str, Any], sheet: FitSheet) -> CastRow:
    found = [one for one in report["findings"] if _LEVELS[one["level"]] >= Level.WARN]
    found.sort(key=lambda one: -_LEVELS[one["level"]])
    sizes = _sizes(report["tables"])
    return row._replace(
        state=DONE,
        sizes=sizes,
        made=_made_words(sizes, sheet),
        # Every report has notes, that measures are personal for one; they leave the light green.
        light=_LEVELS[report["worst"]] if found else Level.PASS,
        told=tuple(dict.fromkeys(one["text"] for one in found)),
    )


def _json(name: str) -> Dict[str, Any]:
    try:
        with open(name, encoding="utf-8") as stream:
            return dict(json.load(stream))
    except (OSError, ValueError):
        return {}


def _sizes(tables: Sequence[Dict[str, Any]]) -> Tuple[At, ...]:
    """The size at each girth; lengths, which have no finished measure, are left to the report."""
    for table in tables:
        if tuple(table["columns"]) == _SIZES:
            return tuple(
                At(measure, size, body, finished, ease)
                for measure, size, body, _, finished, ease in table["rows"]
                if finished
            )
    return ()


def _made_words(sizes: Sequence[At], sheet: FitSheet) -> str:
    """What was made, in a few words: the sizes, the length of the whole; and the needs that were asked.

    Whether a need was served stands in the report; what was not is to be looked at there.
    """
    words = ["{} {}".format(one.measure, one.size) for one in sizes]
    lengths: List[float] = []
    for one in sheet.steps:
        # A step on certain pieces serves a need, which is told in its own words.
        if one.planned and not one.off and one.step.step.operation.name == "lengthen" and not one.step.pieces:
            values = one.step.step.values
            lengths += [values.get("amount") or 0.0, *dict(values.get("each") or {}).values()]
    longer = round(sum(lengths), 1)
    if longer:
        words.append("{} mm {}".format(write_number(abs(longer)), "longer" if longer > 0 else "shorter"))
    asked = "; asked: {}".format(", ".join(sheet.needs)) if sheet.needs else ""
    return ", ".join(words) + asked


def shapes_of(pattern: Pattern) -> Tuple[Shape, ...]:
    """A small outline of each piece: its cut line, or its seam line where it has none."""
    lines = [(piece.name, _cut_line(piece)) for piece in pattern.pieces]
    return tuple(Shape(name, _corners(line)) for name, line in lines if line is not None)


def cloth_of(pattern: Pattern) -> Tuple[Tuple[str, float], ...]:
    """Square metres that all pieces cover with their allowances, by cloth; what lies between is left out."""
    found: Dict[str, float] = {}
    for row in cut_list(pattern):
        piece = pattern.piece(row.piece)
        line = _cut_line(piece)
        if line is not None:
            times = row.count * (2 if piece.folds else 1)
            found[row.cloth] = found.get(row.cloth, 0.0) + times * abs(signed_area(line)) / 1e6
    return tuple(sorted(found.items()))


def _cut_line(piece: Piece) -> Optional[Path]:
    """A piece's cut line, or its seam line where it has none."""
    lines = [line.path for line in piece.cut_lines] or [line.path for line in piece.outlines]
    return lines[0] if lines else None


def _corners(path: Path) -> Tuple[Tuple[int, int], ...]:
    spots = np.rint(flatten(path, _SMALL)).astype(int).tolist()
    return tuple(dict.fromkeys((x, y) for x, y in spots))
