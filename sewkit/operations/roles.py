"""Confirm or change what the lines of an imported pattern were taken for."""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path, lines
from sewkit.operation import Choice, Outcome, Percent, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.fold import fold_edge, fold_spot, on_fold
from sewkit.pattern.mark import (
    DART,
    DRILL,
    FOLD,
    GRAIN,
    INNER,
    LENGTHEN,
    LEVEL,
    NOTCH,
    OVERLAY,
    Mark,
)
from sewkit.pattern.marking import as_kind, lies_on, unfolded
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import check_name
from sewkit.report import Finding, Level, Report, Table
from sewkit.sheet.drawn import Box
from sewkit.sheet.role_tags import placed, text_box

# What is written beside a guess has this name, so that it is told from other writing.
_WRITING = "guess"

# Inner lines alike that are as close (mm) need no writing each: scrap of a drawing, hatching.
_CLOSE = 25.0

# Below this score a guess is marked in the table as one to look at.
_LOOK = 0.5

# What a kind of mark is called in writing, where its own word is none that is said.
_CALLED = {GRAIN: "grain line", DRILL: "drill hole"}

ROLES = {
    GRAIN: "Grain line",
    NOTCH: "Notch",
    FOLD: "Fold mark: points to the edge on the fold",
    DART: "Dart",
    LEVEL: "Level: waist, hip, ...",
    LENGTHEN: "Lengthen or shorten line",
    DRILL: "Drill hole or dot",
    INNER: "Another inner line",
}


@operation(
    title="Confirm what was guessed",
    menu="Names",
    select=(
        "Select marks to confirm or change only these, pieces for all of theirs, or nothing for everything."
    ),
    example="sewkit roles samples/waistcoat/master.svg -o named.svg --action confirm --least 80",
    preview=False,
)
def roles(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {
            "show": "Write beside each mark of one size what it is taken for",
            "hide": "Take the writing away",
            "check": "Only list the guesses",
            "confirm": "Confirm the guesses",
            "change": "Say what the selected lines are",
            "drop": "The selected marks are only inner lines",
        },
    ) = "show",
    least: Percent("Least score", "with confirm: only guesses that are at least as sure", 0, 100) = 0.0,
    role: Choice("The lines are", "with change", ROLES) = GRAIN,
    called: Text("Name", "with change, such as waist for a level or 1 for a notch") = "",
    line_size: Text("Size", "with change: the size they belong to; all for all sizes; empty keeps it") = "",
) -> Outcome:
    """Confirm or change in one go what the lines of a pattern were taken for.

    What an import takes for a grain line, a notch or a dart, and what it takes for the name
    of a piece, is a guess, and its score in percent tells how well the drawing agrees with
    it. Show the guesses, change those that are wrong, then confirm the rest. A mark that is
    confirmed keeps no score.

    Changing works on any line that lies on a piece, also on one you drew yourself. A notch
    gets its place on the nearest outline. A fold mark lays the edge to which it points on
    the fold; an edge that only had a number is called fold from then on. A fold mark that
    is dropped or changed takes its edge off the fold again.

    An outline is no mark: name it with Names > Name a piece and its edges.
    """
    if action in ("show", "hide", "check"):
        return _shown(pattern, chosen, action)
    if action == "confirm":
        after, findings = _confirmed(pattern, chosen, least / 100.0)
    else:
        kind = role if action == "change" else INNER
        after, findings = _changed(pattern, chosen, kind, called if action == "change" else "", line_size)
    count = _count(pattern, after)
    if not count:
        return Outcome(pattern, Report(_nothing(pattern, action), tuple(findings)))
    summary = _DONE[action].format(count, *("", "is") if count == 1 else ("s", "are"))
    left = sum(1 for piece in after.pieces for mark in piece.marks if mark.guess)
    summary += " {} mark{} still a guess.".format(left, " is" if left == 1 else "s are") if left else ""
    return Outcome(_rewritten(after), Report(summary, tuple(findings), _table(after.pieces)))


# What was done, by the action; the ending of the noun and the verb follow the number.
_DONE = {
    "confirm": "{0} of the guesses {2} confirmed.",
    "change": "{0} line{1} {2} given another role.",
    "drop": "{0} mark{1} {2} made an inner line.",
}


# -- showing ------------------------------------------------------------------------------


def _shown(pattern: Pattern, chosen: Chosen, action: str) -> Outcome:
    after, pieces = pattern, chosen.readable(pattern)
    taken: List[Box] = []
    if action != "check":
        for piece in pieces:
            plain = tuple(mark for mark in piece.marks if not _is_writing(mark))
            if action == "show":
                plain += _writing(piece, _size_shown(piece, chosen), taken)
            after = after if plain == piece.marks else after.with_piece(piece._replace(marks=plain))
    marks = [mark for piece in pieces for mark in piece.marks if mark.guess]
    names = sum(1 for piece in pieces if piece.guess)
    if not marks and not names:
        return Outcome(after, Report("Nothing here is a guess."))
    doubtful = sum(mark.guess < _LOOK for mark in marks)
    counted = ["{} mark{}".format(len(marks), "" if len(marks) == 1 else "s")] if marks else []
    if names:
        counted.append("the name{0} of {1} piece{0}".format("" if names == 1 else "s", names))
    summary = " and ".join(counted) + (" is guessed." if len(marks) + names == 1 else " are guessed.")
    summary = summary[0].upper() + summary[1:]
    if doubtful:
        summary += " {} with a score below {:.0f}: look at {}.".format(
            doubtful, 100 * _LOOK, "it" if doubtful == 1 else "them"
        )
    return Outcome(after, Report(summary, (), _table(pieces)))


def _is_writing(mark: Mark) -> bool:
    return mark.kind == OVERLAY and mark.name == _WRITING


def _writing(piece: Piece, size: str, taken: List[Box]) -> Tuple[Mark, ...]:
    """What a mark is taken for and the score beside each guess, not on writing that is there.

    Of marks that every size has, those of one size; ``taken`` grows by the boxes of the words.
    """
    found: List[Mark] = []
    labels = [mark for mark in piece.marks if mark.text and not _is_writing(mark)]
    taken += [text_box(mark.text, *mark.path.start) for mark in labels if mark.path is not None]
    marks = [mark for mark in _of_one_size(piece, size) if mark.path is not None and len(mark.path)]
    for mark, count in _together(sorted(marks, key=lambda mark: tuple(mark.middle[::-1]))):
        text = "{} {:.0f} %".format(_words(mark), 100 * mark.guess)
        text += " ({} of them)".format(count) if count > 1 else ""
        tag = placed(text, mark.middle, taken)
        taken.append(tag.box)
        spot = np.array([tag.place])
        found.append(Mark(OVERLAY, _WRITING, mark.size, Path(lines(spot, spot + [1.0, 0.0])), text=tag.text))
        if tag.leader is not None:
            found.append(Mark(OVERLAY, _WRITING, mark.size, Path.through(tag.leader)))
    return tuple(found)


def _together(marks: Sequence[Mark]) -> List[Tuple[Mark, int]]:
    """Inner lines close to another one alike are written on once, with how many they are."""
    found: List[Tuple[Mark, int]] = []
    for mark in marks:
        for place, (other, count) in enumerate(found):
            alike = mark.kind == INNER and mark._replace(path=None, key="") == other._replace(
                path=None, key=""
            )
            if alike and np.hypot(*(mark.middle - other.middle)) <= _CLOSE:
                found[place] = (other, count + 1)
                break
        else:
            found.append((mark, 1))
    return found


def _of_one_size(piece: Piece, size: str) -> List[Mark]:
    """The guesses that serve all sizes or one of them, or the largest that has such a mark."""
    order = {name: number for number, name in enumerate(piece.sizes)}
    order[size] = len(order)
    best: Dict[Tuple[str, str], int] = {}
    guesses = [mark for mark in piece.marks if mark.guess]
    for mark in guesses:
        if mark.size:
            kind = (mark.kind, mark.name)
            best[kind] = max(best.get(kind, -1), order.get(mark.size, -1))
    return [m for m in guesses if not m.size or order.get(m.size, -1) == best[m.kind, m.name]]


def _size_shown(piece: Piece, chosen: Chosen) -> str:
    """The size that was picked, if it was one of several; else the last, which is the largest."""
    picked = [mark.size for mark in piece.marks if mark.key in chosen.marks and mark.size]
    picked = picked or [one.size for one in chosen.outlines if one.piece == piece.name]
    return picked[0] if len(set(picked)) == 1 else piece.sizes[-1] if piece.sizes else ""


def _words(mark: Mark) -> str:
    """What a mark is taken for, in words: "level waist", "grain line"."""
    return " ".join(filter(None, (_CALLED.get(mark.kind, mark.kind.replace("-", " ")), mark.name)))


def _rewritten(pattern: Pattern) -> Pattern:
    """The pattern with the writing brought up to date on the pieces that have some."""
    taken: List[Box] = []
    for piece in pattern.pieces:
        writing = [mark for mark in piece.marks if _is_writing(mark)]
        if writing:
            sizes = [mark.size for mark in writing if mark.size]
            size = max(sizes, key=sizes.count) if sizes else _size_shown(piece, EVERYTHING)
            kept = tuple(mark for mark in piece.marks if not _is_writing(mark))
            pattern = pattern.with_piece(piece._replace(marks=kept + _writing(piece, size, taken)))
    return pattern


def _table(pieces: Sequence[Piece]) -> Tuple[Table, ...]:
    """All guesses, those of one kind in one row; none where there are none."""
    rows: List[Tuple[str, ...]] = []
    levels: List[Level] = []
    for piece in pieces:
        groups: Dict[Tuple[str, str, int], List[Mark]] = {}
        for mark in piece.marks:
            if mark.guess:
                groups.setdefault((mark.kind, mark.name, mark.count), []).append(mark)
        named = [(("name of the piece", "", 1), "", 1, piece.guess, piece.guess)] if piece.guess else []
        for what, marks in groups.items():
            sizes = " ".join(dict.fromkeys(mark.size or "all" for mark in marks))
            scores = [mark.guess for mark in marks]
            named.append((what, sizes, len(marks), min(scores), max(scores)))
        for (kind, name, count), sizes, number, low, high in named:
            kind = _CALLED.get(kind, kind.replace("-", " "))
            kind = {1: kind, 2: "double " + kind, 3: "triple " + kind}.get(count, kind)
            span = "{:.0f}".format(100 * low)
            span += " to {:.0f}".format(100 * high) if round(100 * low) != round(100 * high) else ""
            rows.append((piece.name, kind, name, sizes, str(number), span))
            levels.append(Level.WARN if low < _LOOK else Level.PASS)
    columns = ("piece", "taken for", "name", "sizes", "how many", "score")
    return (Table("Guessed", columns, tuple(rows), tuple(levels)),) if rows else ()


# -- changing -----------------------------------------------------------------------------


def _confirmed(pattern: Pattern, chosen: Chosen, least: float) -> Tuple[Pattern, List[Finding]]:
    findings: List[Finding] = []
    for piece in chosen.pieces(pattern):
        meant = [mark for mark in piece.marks if mark.key in chosen.marks or not chosen.marks]
        sure = [mark for mark in meant if mark.guess and mark.guess >= least]
        made = piece._replace(
            marks=tuple(mark._replace(guess=0.0) if mark in sure else mark for mark in piece.marks),
            guess=0.0 if piece.guess >= least and not chosen.marks else piece.guess,
        )
        for mark in sure:
            if mark.kind == FOLD:
                made = _folded(pattern, made, mark, findings)
        if made != piece:
            pattern = pattern.with_piece(made)
    return pattern, findings


def _changed(
    pattern: Pattern, chosen: Chosen, kind: str, called: str, size: str
) -> Tuple[Pattern, List[Finding]]:
    """The picked marks, and picked bare lines that lie on a piece, as marks of another kind."""
    findings: List[Finding] = []
    name = check_name(called, "name of a mark") if called else ""
    bare = [p for p in pattern.pieces if not p.named and any(o.piece == p.name for o in chosen.outlines)]
    if not bare and not chosen.marks:
        raise InputError(
            "No mark is selected.", "Select the lines whose role is wrong, inside a piece.", code="choice"
        )
    for key in chosen.marks:
        # Looked up anew: an edge may just have got another name.
        piece, mark = next((p, m) for p in pattern.pieces for m in p.marks if m.key == key)
        pattern = _put(pattern, piece, mark, as_kind(mark, piece, kind, name, size), findings)
    for line in bare:
        owner = lies_on(line, pattern)
        outline = line.outlines[0]
        mark = Mark(INNER, "", "", outline.path, key=outline.key)
        made = as_kind(mark, owner, kind, name, size)
        others = tuple(p for p in pattern.pieces if p.name != line.name)
        owner = owner._replace(marks=owner.marks + (mark,))
        pattern = pattern._replace(pieces=others).with_piece(owner)
        pattern = _put(pattern, owner, mark, made, findings)
    return pattern, findings


def _put(pattern: Pattern, piece: Piece, old: Mark, new: Mark, findings: List[Finding]) -> Pattern:
    if old.kind == FOLD != new.kind:
        piece = unfolded(piece, old)
    piece = piece._replace(marks=tuple(new if mark.key == old.key else mark for mark in piece.marks))
    if new.kind == FOLD:
        piece = _folded(pattern, piece, new, findings)
    return pattern.with_piece(piece)


def _folded(pattern: Pattern, piece: Piece, mark: Mark, findings: List[Finding]) -> Piece:
    """The piece with the edge on the fold to which a mark points; told where there is none."""
    spot = fold_spot(mark, piece)
    edge = fold_edge(piece, spot) if spot is not None else ""
    sewn = [s for s in pattern.seams for ref in s.refs if (ref.piece, ref.edge) == (piece.name, edge)]
    if spot is None or not edge:
        text = "The fold mark of '{}' points to no edge; say which edge lies on the fold.".format(piece.name)
        findings.append(Finding("fold-unknown", Level.WARN, text, piece.name))
        return piece
    if sewn:
        text = "The fold mark of '{}' points to its edge '{}', which is sewn to another one.".format(
            piece.name, edge
        )
        findings.append(Finding("fold-sewn", Level.WARN, text, piece.name, spot))
        return piece
    return on_fold(piece, spot)


# -- telling ------------------------------------------------------------------------------


def _count(before: Pattern, after: Pattern) -> int:
    """How many marks and names are other than they were, the writing left out."""
    old = {mark.key: mark for piece in before.pieces for mark in piece.marks}
    marks = sum(
        1
        for piece in after.pieces
        for mark in piece.marks
        if not _is_writing(mark) and old.get(mark.key) != mark
    )
    scores = {piece.key: piece.guess for piece in before.pieces}
    return marks + sum(1 for piece in after.pieces if scores.get(piece.key, 0.0) != piece.guess)


def _nothing(pattern: Pattern, action: str) -> str:
    if action != "confirm":
        return "The selected lines are that already."
    left = any(mark.guess for piece in pattern.pieces for mark in piece.marks)
    return "No guess is as sure as that." if left else "Nothing here is a guess."
