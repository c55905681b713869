"""What stands on a piece in words, so that a stranger can cut it in ten years.

Garment, piece and number; for whom, in which sizes; how often to cut, and of which cloth;
the allowances; the show and the date; and a bar to measure the scale by.  The words stand
along the grain, inside the piece and clear of every line; smaller where they do not fit;
and where even that is too much, the piece has its number and the words stand in a legend.
"""

import textwrap
from typing import Iterator, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds, signed_area
from sewkit.pattern.cut_list import CutRow, cut_list, outline_cut
from sewkit.pattern.label_legend import LABEL_NAME, LETTER, LINE, with_legend
from sewkit.pattern.label_room import SQUARE, Room, across_of, room_on
from sewkit.pattern.mark import GRAIN, LABEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.words_drawn import words_drawn
from sewkit.units import write_length, write_number

# Heights of the letters that are tried (mm), the largest first; below the last nobody reads
# a pattern on a table (common practice, no source).
HEIGHTS = (8.0, 7.0, 6.0, 5.0, 4.0)

# The first line stands so far below the block's edge, and the last so far above the lower one: in
# heights of the letters.
_RISE, _FALL = 0.85, 0.3

# Letters in a line, where lines are broken for a shorter block, and where they run on into
# each other for a long, narrow one, as a facing has room for; on a bias strip all are one line.
_BROKEN, _RUN_ON = (40, 28, 20), (60, 90, 1000)

# The bar to measure the scale by (mm), its ticks, and the letters beside it.
BAR, _TICK, _BAR_HEIGHT = 50.0, 4.0, 5.0

# An arrow's head goes so far beyond its line (mm).
_HEAD = 12.0


class About(NamedTuple):
    """What the labels of all pieces say alike; what is empty is left out.

    Args:
        title: the garment: "Waistcoat".
        who: the person, or initials.
        made: the sizes in words: "chest 3, waist 5, 20 mm longer".
        show: the production or the occasion.
        date: as it is to be written.
        version: which version of the pattern it is, such as "2".
    """

    title: str = ""
    who: str = ""
    made: str = ""
    show: str = ""
    date: str = ""
    version: str = ""


UNSAID = About()


class Labelled(NamedTuple):
    """A pattern with its labels.

    Args:
        rows: its cut list.
        legend: number and words of each piece on which the words did not fit.
    """

    pattern: Pattern
    rows: Tuple[CutRow, ...]
    legend: Tuple[Tuple[str, str], ...]


class _Block(NamedTuple):
    """Words as they are to stand: lines, and the height of the letters (mm)."""

    lines: Tuple[str, ...]
    height: float

    @property
    def length(self) -> float:
        """Along the lines (mm)."""
        return max(map(len, self.lines)) * LETTER * self.height

    @property
    def depth(self) -> float:
        """Across the lines (mm)."""
        return (_RISE + _FALL + LINE * (len(self.lines) - 1)) * self.height


def labelled(
    pattern: Pattern,
    about: About = UNSAID,
    size: str = "",
    words: Optional[Sequence[Path]] = None,
    only: Optional[Sequence[str]] = None,
    nest: bool = False,
) -> Labelled:
    """Put a label on every piece of the cut list; labels that were put on before are replaced.

    Args:
        size: the size that is cut, where a piece is drawn in several.
        words: lines (mm) over the words that the drawing has; where they are left out, the
            place of the pattern's own words is guessed.
        only: names of the pieces that get one; the labels of the others stay as they are.
        nest: a piece of which it is not said which size is cut gets one label for all its sizes.

    A piece of which it is not said which size is cut, and one whose outline is open, gets none.
    """
    after = _unlabelled(pattern, only)
    legend: List[Tuple[str, str]] = []
    owners: List[str] = []
    rows = cut_list(after, size)
    for row in rows:
        piece = after.piece(row.piece)
        outline = outline_cut(piece, size)
        drawn = piece.outlines if outline is None else (outline,)
        if not nest and outline is None or only is not None and row.piece not in only:
            continue
        if not all(one.path.closed for one in drawn):
            continue
        outline = min(drawn, key=lambda one: abs(signed_area(one.path)))
        lines = label_words(piece, outline, row, about)
        marks: Tuple[Mark, ...] = ()
        fits = False
        # Clear of the other sizes in the drawing too, where there is room.
        for near in (piece.outlines, drawn) if nest and len(drawn) < len(piece.outlines) else (drawn,):
            others = tuple(obstacles(piece, near, words))
            marks, fits = _written(piece, outline, others, lines, str(row.number))
            if fits:
                break
        after = after.with_piece(piece._replace(marks=piece.marks + marks))
        if not fits:
            legend.append((str(row.number), "; ".join(lines)))
            owners.append(row.piece)
    return Labelled(with_legend(after, owners, legend), rows, tuple(legend))


def _unlabelled(pattern: Pattern, only: Optional[Sequence[str]]) -> Pattern:
    """The pattern without the labels that are written anew."""
    pieces = [
        piece._replace(marks=tuple(mark for mark in piece.marks if mark.name != LABEL_NAME))
        if only is None or piece.name in only
        else piece
        for piece in pattern.pieces
    ]
    return pattern._replace(pieces=tuple(pieces))


def label_words(piece: Piece, outline: Outline, row: CutRow, about: About = UNSAID) -> Tuple[str, ...]:
    """The lines of a piece's label."""
    name = "{} ({} of {})".format(piece.name, row.number, row.of)
    version = about.version and "version {}".format(about.version)
    # A size that was made for somebody is called like them, and not said twice.
    size = "" if row.size == about.who else size_words(row.size)
    found = [
        ", ".join(filter(None, [about.title, name])),
        ": ".join(filter(None, [about.who, about.made or size])),
        "cut {}, {} cloth".format(row.how, row.cloth),
        allowance_words(piece, outline),
        ", ".join(filter(None, [about.show, about.date, version])),
    ]
    return tuple(" ".join(words.split()) for words in found if words)


def size_words(size: str) -> str:
    """ "size 3", or "sizes 1 to 8" where the row of the cut list names several."""
    names = size.split(", ") if size else []
    if len(names) > 1:
        return "sizes {} to {}".format(names[0], names[-1])
    return size and "size {}".format(size)


def allowance_words(piece: Piece, outline: Outline) -> str:
    """The widths in words: "allowance 10 mm, side 25 mm, hem 40 mm"; what has none says so."""
    widths = dict(piece.allowance)
    if piece.cut_line(outline.size) is None:
        return "no seam allowance"
    if not widths:
        return "seam allowance is drawn"
    usual = widths.pop("", 0.0)
    widths.update((name, 0.0) for name in piece.folds)
    told = []
    for name in outline.names:
        width = widths.get(name, usual)
        # How deep the hem is turned up is always said.
        if write_number(width) != write_number(usual) or name in piece.hems:
            told.append("{} {} mm".format(name, write_number(width)))
    return ", ".join(["allowance " + write_length(usual), *told])


def _written(
    piece: Piece, outline: Outline, others: Tuple[Path, ...], words: Tuple[str, ...], sign: str
) -> Tuple[Tuple[Mark, ...], bool]:
    """The marks of a label; False where only the piece's number did fit, or nothing."""
    along, middle = _reading(piece, outline)
    found, fits = None, True
    for way in (along, _readable(across_of(along))):
        room = room_on(outline.path, others, way, middle)
        found = next(filter(None, (_placed(room, block) for block in _blocks(words))), None)
        if found is not None:
            break
    else:
        fits = False
        room = room_on(outline.path, others, along, middle)
        found = next(filter(None, (_placed(room, _Block((sign,), height)) for height in HEIGHTS)), ())
    spoken = tuple(line for mark in found for line in _written_over(mark))
    return found + _bar(room_on(outline.path, others + spoken, along, middle)), fits


def _bar(room: Room) -> Tuple[Mark, ...]:
    """The bar to measure the scale by, where there is room for it."""
    words = write_length(BAR)
    corner = room.place(BAR + (len(words) + 1) * LETTER * _BAR_HEIGHT, _TICK + 1.0)
    if corner is None:
        return ()
    tick = _TICK * across_of(room.along)
    start = corner + tick
    stop = start + BAR * room.along
    stroke = Mark(LABEL, LABEL_NAME, path=Path.through([start - tick, start, stop, stop - tick]))
    start = stop + LETTER * _BAR_HEIGHT * room.along
    end = start + len(words) * LETTER * _BAR_HEIGHT * room.along
    return stroke, Mark(LABEL, LABEL_NAME, path=Path.through([start, end]), text=words, height=_BAR_HEIGHT)


def _reading(piece: Piece, outline: Outline) -> Tuple[np.ndarray, np.ndarray]:
    """The direction of the words, up or to the right along the grain; and where they would best stand."""
    left, top, right, bottom = bounds(outline.path)
    middle = np.array([left + right, top + bottom]) / 2.0
    for mark in piece.marks_for(outline.size):
        if mark.kind == GRAIN and mark.path is not None and len(mark.path):
            way = mark.shaft.end - mark.shaft.start
            if np.hypot(*way) > 0.0:
                middle = (mark.shaft.end + mark.shaft.start) / 2.0
                way = way / np.hypot(*way)
                return _readable(way), middle
    return np.array([1.0, 0.0]), middle


def _readable(way: np.ndarray) -> np.ndarray:
    """A direction turned so that words along it run to the right, or upwards where it is steep."""
    backwards = way[0] < 0 if abs(way[0]) >= abs(way[1]) else way[1] > 0
    return -way if backwards else way


def obstacles(piece: Piece, drawn: Sequence[Outline], words: Optional[Sequence[Path]]) -> Iterator[Path]:
    """Every line and every word that is on the piece already, in the sizes that are looked at."""
    cuts = [piece.cut_line(outline.size) for outline in drawn]
    yield from (cut.path for cut in cuts if cut is not None and len(cut.path))
    if len(drawn) > 1:
        yield from (outline.path for outline in drawn)
    sizes = {"", *(outline.size for outline in drawn)}
    for mark in piece.marks if len(drawn) > 1 else piece.marks_for(drawn[0].size):
        if mark.size in sizes:
            yield from _lines_of(mark, words is None)
    boxes = np.array([bounds(outline.path) for outline in drawn])
    (left, top), (right, bottom) = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    for line in words or ():
        low, high = line.nodes.min(axis=0), line.nodes.max(axis=0)
        if low[0] < right and high[0] > left and low[1] < bottom and high[1] > top:
            yield line


def _lines_of(mark: Mark, with_words: bool) -> Iterator[Path]:
    """The line of a mark, how far an arrow's heads reach, and lines over its words."""
    if mark.path is None or not len(mark.path):
        return
    yield mark.path
    if mark.kind == GRAIN:
        shaft = mark.shaft
        head = (shaft.end - shaft.start) / max(float(np.hypot(*(shaft.end - shaft.start))), 1.0) * _HEAD
        yield Path.through([shaft.start - head, shaft.end + head])
    drawn = list(words_drawn(mark)) if with_words else []
    for line in drawn:
        length = len(line.text) * LETTER * line.height
        start = line.place - line.anchor * length * line.along
        path = Path.through([start, start + length * line.along])
        yield from _written_over(mark._replace(path=path, height=line.height))
    if mark.text and with_words and not drawn:
        right = np.array([len(mark.text) * LETTER * (mark.height or HEIGHTS[0]), 0.0])
        level = Path.through([mark.path.start, mark.path.start + right])
        yield from _written_over(mark._replace(path=level))


def _written_over(mark: Mark) -> Iterator[Path]:
    """Lines through the words of a mark, from its path upwards, so close that nothing stands between them."""
    if mark.path is None:
        return
    way = mark.path.end - mark.path.start
    up = -across_of(way / max(float(np.hypot(*way)), 1.0))
    for height in np.arange(0.0, (mark.height or HEIGHTS[0]) + SQUARE, SQUARE):
        yield Path.through([mark.path.start + height * up, mark.path.end + height * up])


def _blocks(words: Sequence[str]) -> Iterator[_Block]:
    """The words in every shape that is tried, the largest letters first."""
    shapes = [tuple(words)]
    shapes += [tuple(part for line in words for part in _wrapped(line, letters)) for letters in _BROKEN]
    shapes += [_wrapped("; ".join(words), letters) for letters in _RUN_ON]
    for height in HEIGHTS:
        for lines in shapes:
            yield _Block(lines, height)


def _wrapped(line: str, letters: int) -> Tuple[str, ...]:
    return tuple(textwrap.wrap(line, letters, break_long_words=False, break_on_hyphens=False))


def _placed(room: Room, block: _Block) -> Optional[Tuple[Mark, ...]]:
    """The marks of a block where there is room for it."""
    corner = room.place(block.length, block.depth)
    if corner is None:
        return None
    marks: List[Mark] = []
    for number, line in enumerate(block.lines):
        start = corner + (_RISE + LINE * number) * block.height * across_of(room.along)
        end = start + len(line) * LETTER * block.height * room.along
        marks.append(Mark(LABEL, LABEL_NAME, path=Path.through([start, end]), text=line, height=block.height))
    return tuple(marks)
