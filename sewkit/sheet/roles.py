"""What each line on a piece is: guessed, with a score, for somebody to confirm.

The marks that are least like anything else are looked for first, and what one of them is drawn
with is not looked at again: fold brackets, grain lines, darts, lines across the piece, notches,
holes.  What is left is an inner line.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.mark import FOLD, GRAIN, INNER, LABEL, LENGTHEN, LEVEL, NOTCH, Mark
from sewkit.pattern.notch import place_of
from sewkit.pattern.outline import Outline, bare_outline
from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Whole, Words
from sewkit.sheet.groups import Grouping
from sewkit.sheet.nest import FoundPiece
from sewkit.sheet.role_bits import Item, Nest, items_of
from sewkit.sheet.role_centre import centre_takes
from sewkit.sheet.role_dart import dart_takes, darts_in
from sewkit.sheet.role_drill import drill_takes
from sewkit.sheet.role_fold import fold_by_words, fold_takes
from sewkit.sheet.role_grain import direction, grain_takes
from sewkit.sheet.role_level import lengthen_takes, level_takes
from sewkit.sheet.role_name import piece_name
from sewkit.sheet.role_notch import notch_takes
from sewkit.sheet.role_score import LEFT_OVER, WORD, score
from sewkit.sheet.role_take import Take
from sewkit.sheet.role_texts import joined_texts
from sewkit.sheet.role_words import POCKET_WORDS, about, cutting, reading, size_of

# Marks that every size needs: one that only one size has serves all of them.
_FOR_ALL = (GRAIN, FOLD, LENGTHEN, LEVEL)


class Guessed(NamedTuple):
    """What was found out about one piece.

    Args:
        name: from its words; empty where none of them is one.
        name_score: how sure that is.
        marks: with the score of each guess; labels are no guess.
        used: numbers of the whole lines that became marks.  Lines that the file hides and that
            belong to no size are none.
        labels: numbers of the words that became labels.
        fold: a point of the edge that lies on the fold, or None.
        cut: how many to cut.
        findings: for the person.
        cloth: of which cloth; empty where no word says.
    """

    name: str
    name_score: float
    marks: Tuple[Mark, ...]
    used: Tuple[int, ...]
    labels: Tuple[int, ...]
    fold: Optional[Tuple[float, float]]
    cut: int
    findings: Tuple[Finding, ...]
    cloth: str = ""


def guess_roles(
    piece: FoundPiece, lines: Sequence[Whole], words: Sequence[Words], grouping: Grouping
) -> Guessed:
    """Guess what everything inside a piece is; ``lines`` and ``words`` are those of the sheet."""
    outlines = [bare_outline(outline.path, outline.size) for outline in piece.outlines]
    sizes = [outline.size for outline in outlines]
    of_line = _sizes_of_lines(len(lines), grouping, sizes)
    shown = [n for n in piece.inside if not lines[n].hidden or of_line[n]]
    items = items_of(shown, lines, of_line)
    nest = Nest([_clockwise(outline) for outline in outlines])
    near = [words[n] for n in piece.words]
    takes = _takes(items, nest, [one for one in near if not one.hidden])
    marks = [_mark(take, outlines) for take in takes]
    labels = [n for n in piece.words if words[n].text.strip() and not words[n].hidden]
    layers = {group.layer: group.size for group in grouping.groups if group.layer and group.size in sizes}
    texts = joined_texts([words[n] for n in labels])
    marks += [_label(words[n], size_of(words[n], sizes, layers)) for n in labels]
    name = piece_name(texts, sizes, piece.box)
    cuts = cutting([one.text for one in texts])
    fold = next((take.spots[0] for take in takes if take.kind == FOLD), None)
    fold = fold or fold_by_words(nest, [words[n] for n in labels])
    counted = [one for one in cuts if one.count]
    findings = _darts_told(name.text, outlines)
    if any(one.fold for one in cuts) and fold is None:
        findings.append(_told("fold-unknown", Level.WARN, name.text, _FOLD_UNKNOWN))
    if not any(take.kind == GRAIN for take in takes):
        findings.append(_told("no-grain", Level.INFO, name.text, _NO_GRAIN))
    if len(set(counted)) > 1:
        findings.append(_told("cut-twice", Level.INFO, name.text, _CUT_TWICE))
    used = sorted({items[number].line for take in takes for number in take.items})
    return Guessed(
        name.text,
        name.score,
        tuple(marks),
        tuple(used),
        tuple(labels),
        fold,
        counted[0].count if counted else 1,
        tuple(findings),
        next((one.cloth for one in counted if one.cloth), ""),
    )


_FOLD_UNKNOWN = (
    "{} is to be cut on the fold, but no mark on it tells which edge lies there. "
    "Name the edge with Names > Name a piece and its edges."
)
_NO_GRAIN = "{} has no grain line that could be recognised. Select it and say what it is."
_CUT_TWICE = "{} is cut more than once, of several cloths. Only the first is noted; see its words."
_DART = "{} seems to have a dart in its outline, with legs of {:.1f} and {:.1f} mm. Name its legs as a dart."


def _told(code: str, level: Level, name: str, text: str) -> Finding:
    return Finding(code, level, text.format("'{}'".format(name) if name else "A piece without a name"), name)


def _darts_told(name: str, outlines: Sequence[Outline]) -> List[Finding]:
    """Darts that the outline goes into, as seen in the largest size."""
    found = []
    for dart in darts_in(_clockwise(outlines[-1])) if outlines else ():
        text = _DART.format("'{}'".format(name) if name else "A piece without a name", *dart.legs)
        found.append(Finding("dart-in-outline", Level.INFO, text, name, dart.point))
    return found


def _takes(items: Sequence[Item], nest: Nest, words: Sequence[Words]) -> List[Take]:
    """All guesses; every item is in exactly one, or in one for each size."""
    found: List[Take] = []
    if not nest.outlines:
        return [_left_over(number, items, words) for number in range(len(items))]

    def used() -> List[int]:
        return [number for take in found for number in take.items]

    found += fold_takes(items, used(), nest, words)
    found += grain_takes(items, used(), words)
    grain = next((direction(take) for take in found if take.kind == GRAIN), None)
    found += dart_takes(items, used(), nest, words)
    found += lengthen_takes(items, used(), words, grain, nest.outlines[-1].path)
    found += level_takes(items, used(), words, grain, [o.size for o in nest.outlines])
    found += notch_takes(items, used(), nest, words)
    found += drill_takes(items, used(), words)
    found += centre_takes(items, used(), words, [o.size for o in nest.outlines])
    taken = set(used())
    found += [_left_over(number, items, words) for number in range(len(items)) if number not in taken]
    return _serving_all(found)


def _left_over(number: int, items: Sequence[Item], words: Sequence[Words]) -> Take:
    item = items[number]
    pocket = about(item.middle, words, POCKET_WORDS)
    value = score([LEFT_OVER, WORD] if pocket else [LEFT_OVER])
    sizes = (item.size,) if item.size else ()
    return Take(INNER, value, (number,), item.path.curves, "pocket" if pocket else "", sizes)


def _serving_all(takes: Sequence[Take]) -> List[Take]:
    """A grain line that only one size has serves all sizes, whatever it is drawn like."""
    sizes: Dict[Tuple[str, str], set] = {}
    for take in takes:
        sizes.setdefault((take.kind, take.name), set()).update(take.sizes)
    return [
        take._replace(sizes=()) if take.kind in _FOR_ALL and len(sizes[take.kind, take.name]) == 1 else take
        for take in takes
    ]


def _mark(take: Take, outlines: Sequence[Outline]) -> Mark:
    """A guess as a mark; a notch gets its place on the outline of its size."""
    size = take.sizes[0] if len(take.sizes) == 1 else ""
    on = None
    if take.kind == NOTCH:
        outline = next((o for o in outlines if o.size == size), outlines[0])
        on = place_of(outline, np.array(take.spots[0]))
    guess = round(min(max(take.score, 0.01), 1.0), 2)
    return Mark(take.kind, take.name, size, take.path, on, take.count, guess=guess)


def _label(words: Words, size: str) -> Mark:
    """Words as a label: they stand at the start of a short path, along its direction."""
    start = np.array([[words.x, words.y]])
    return Mark(LABEL, "", size, Path(lines(start, start + reading(words))), text=words.text)


def _sizes_of_lines(count: int, grouping: Grouping, sizes: Sequence[str]) -> List[str]:
    """The size of every whole line, by its group; empty where that is no size of the piece."""
    found = [""] * count
    for group in grouping.groups:
        if group.size in sizes:
            for number in group.lines:
                found[number] = group.size
    return found


def _clockwise(outline: Outline) -> Outline:
    """The outline for looking only: run clockwise on the sheet, so that inside is to its right."""
    if signed_area(outline.path) >= 0:
        return outline
    return bare_outline(outline.path.reverse(), outline.size)
