"""Which pieces are divided along their darts, and where each of their sizes."""

import re
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains
from sewkit.pattern.chosen_darts import AnyDart, as_found, darts_here
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_flared import below
from sewkit.pattern.dart_pivot import pivot_for
from sewkit.pattern.dart_seam import Panelled, PanelLine, other_name, panel_name, panelled
from sewkit.pattern.dart_targets import Words, targets_of
from sewkit.pattern.grain_copy import centre_of
from sewkit.pattern.inner_label import inner_label
from sewkit.pattern.laid_apart import laid_apart
from sewkit.pattern.mark import LABEL, Mark, On
from sewkit.pattern.notch import place_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import Recut, recut
from sewkit.pattern.slash import place_on
from sewkit.pattern.spans import grain_axis
from sewkit.pattern.spokes import spot_at
from sewkit.pattern.upright import by_names

# A label stands to the right of the middle by so much for each of its letters (mm).
_BESIDE = 2.8

# Words that say how many of a piece are cut; they are those of the part that keeps the name.
_CUT = r"cut \d"


class Divided(NamedTuple):
    """One piece in two parts.

    Args:
        cut_in: the piece with its darts cut in.
        lines: where each size is divided.
        made: both parts.
        cuts: how their cut lines came out, the kept part's first.
    """

    cut_in: Piece
    lines: Dict[str, PanelLine]
    made: Panelled
    cuts: Tuple[Recut, Recut]


def divide(
    found: Sequence[Tuple[Piece, Outline, Dart]],
    pieces_there: Sequence[Piece],
    to: str,
    at: str,
    pivot: str,
    called: str,
    apart: float = 0.0,
) -> List[Divided]:
    """Every piece with one of the darts divided, all its sizes.

    Args:
        pieces_there: all pieces of the pattern.
        to, at: another dart; or an edge and a place on it.  Left out: the hem, else the only other dart;
            down the grain from the pivot, else the edge's middle.
        apart: how much is free between the new part and the other (mm).

    ``InputError`` (nest): not all sizes of a piece are meant; see ``panelled``.
    """
    names = [piece.name for piece in pieces_there]
    pieces: Dict[str, Piece] = {}
    darts: Dict[str, Dict[str, str]] = {}
    for piece, outline, dart in found:
        pieces.setdefault(piece.name, piece)
        darts.setdefault(piece.name, {})[outline.size] = dart.name
    made: List[Divided] = []
    for name, piece in pieces.items():
        _refuse_some(piece, darts[name])
        lines: Dict[str, PanelLine] = {}
        for size in piece.sizes:
            piece, lines[size] = _line(piece, size, darts[name][size], to, at, pivot)
        # A dart cut in on one size leaves the others as they are; but all are read anew.
        lines = {size: _read_again(piece, size, line) for size, line in lines.items()}
        taken = [*names, *(one.made.halves.other.name for one in made)]
        halves = panelled(piece, lines, panel_name(piece, called), other_name(taken, name))
        laid = [*pieces_there, *(one.made.halves.other for one in made)]
        made.append(_finished(piece, lines, halves, apart, laid))
    return made


def _refuse_some(piece: Piece, sizes: Dict[str, str]) -> None:
    missing = [size for size in piece.sizes if size not in sizes]
    if missing:
        raise InputError(
            "'{}' would be in two parts in size {}, but not in {}.".format(
                piece.name, ", ".join(sizes), ", ".join(missing)
            ),
            "Divide all its sizes at once, or take one size out of the nest first.",
            code="nest",
        )


def _line(piece: Piece, size: str, name: str, to: str, at: str, pivot: str) -> Tuple[Piece, PanelLine]:
    dart = dart_named(piece, piece.outline(size), name)
    words = Words(to or _where_to(piece, size, dart), at)
    piece, targets = targets_of(piece, size, words, dart, True)
    if len(targets) != 1:
        raise InputError(
            "The seam of '{}' can only end at one place.".format(piece.name),
            "Name one edge with one place on it, or one other dart.",
            code="value",
        )
    outline = piece.outline(size)
    dart, target = dart_named(piece, outline, name), targets[0]
    spot = pivot_for(piece, size, dart, pivot)
    if target.dart is not None:
        return piece, PanelLine(dart, spot, dart_named(piece, outline, target.name))
    on = target.on if at else _straight_down(piece, outline, spot, target.edge) or target.on
    assert on is not None
    return piece, PanelLine(dart, spot, on)


def _where_to(piece: Piece, size: str, dart: Dart) -> str:
    """Where the seam ends if nobody says: the hem, else the only dart of another edge."""
    outline = piece.outline(size)
    hems = [name for name in outline.names if name in piece.hems or name == "hem"]
    own = _edge_of(outline, dart)
    others = [d.name for d in darts_here(piece, outline).darts if _edge_of(outline, d) not in ("", own)]
    if len(hems) == 1 and hems[0] != own:
        return hems[0]
    if len(others) == 1:
        return others[0]
    known = [name for name in outline.names if name not in piece.darts and name != own]
    raise InputError(
        "It is not said where the panel seam of '{}' shall end.".format(piece.name),
        "Name one of its edges, {}; or another dart.".format(", ".join(known)),
        code="choice",
    )


def _edge_of(outline: Outline, dart: AnyDart) -> str:
    """The edge at which a dart begins; empty for one with two points."""
    if isinstance(dart, Dart):
        return outline.edges[dart.edges[0] - 1].name
    return "" if dart.contour else place_of(outline, (dart.legs[0].start + dart.legs[1].start) / 2.0).edge


def _straight_down(piece: Piece, outline: Outline, pivot: np.ndarray, edge: str) -> Optional[On]:
    """The place of an edge down the grain from the pivot; None for an edge above it or beside it."""
    on = below(piece, outline, pivot, edge)
    if on is None:
        return None
    down = np.array(by_names(piece) or grain_axis(piece, outline.size))
    return on if (spot_at(outline, place_on(outline, on)) - pivot) @ down > 0 else None


def _read_again(piece: Piece, size: str, line: PanelLine) -> PanelLine:
    outline, target = piece.outline(size), line.target
    if isinstance(target, Dart):
        target = dart_named(piece, outline, target.name)
    return line._replace(dart=dart_named(piece, outline, line.dart.name), target=target)


def _finished(
    piece: Piece, lines: Dict[str, PanelLine], made: Panelled, apart: float, pieces: Sequence[Piece]
) -> Divided:
    """Both parts with their cut lines, and the name written on the new one."""
    kept, other = recut(made.halves.kept, piece.sizes), recut(made.halves.other, piece.sizes)
    parts = [_bare(one.piece) for one in (kept, other)]
    if piece.named:
        parts = list(_labelled(parts[0], parts[1]))
    parts[1] = laid_apart(parts[1], parts[0], apart, pieces)
    halves = made.halves._replace(kept=parts[0], other=parts[1])
    return Divided(piece, lines, made._replace(halves=halves), (kept, other))


def _labelled(kept: Piece, other: Piece) -> Tuple[Piece, Piece]:
    """Both parts with the name of each on it, if the piece had its name on it, and how many are cut."""
    words = [m for m in kept.marks + other.marks if m.kind == LABEL]
    labels = [m for m in words if kept.name in m.text.lower() or re.match(_CUT, m.text.lower())]
    if not any(kept.name in label.text.lower() for label in labels):
        return kept, other
    moved = [_inside(label, kept) for label in labels]
    others = tuple(mark for mark in other.marks if mark not in labels)
    mine = tuple(mark for mark in kept.marks if mark not in labels)
    outline = other.outlines[0]
    beside = np.array([_BESIDE * len(other.name), 0.0])  # the grain line runs through the middle
    spot = centre_of(outline.path) + beside
    made = [inner_label(outline, other.name, spot)._replace(size="")]
    made += [inner_label(outline, "cut {}".format(other.cut), spot, 1)._replace(size="")]
    return kept._replace(marks=(*mine, *moved)), other._replace(marks=(*others, *made))


def _inside(label: Mark, piece: Piece) -> Mark:
    """A label at the middle of its piece, if it is not on it."""
    outline = next((o for o in piece.outlines if label.size in ("", o.size)), piece.outlines[0])
    if label.path is None or not len(label.path) or contains(outline.path, [label.path.start])[0]:
        return label
    made = inner_label(outline, label.text, centre_of(outline.path))
    way = label.path.end - label.path.start
    start = made.path.start if made.path is not None else label.path.start
    return label._replace(path=Path.through([start, start + way]))


def _bare(piece: Piece) -> Piece:
    """A part of a line nobody named has numbers for edges again."""
    return piece if piece.named else as_found(piece._replace(darts=piece.darts or ("-",)))
