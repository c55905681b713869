"""A dart made into something else: ease, gathers, a pleat, a tuck, flare, a panel seam."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.checks.cuts import recut_findings
from sewkit.checks.dart_into_words import (
    change_at,
    flare_sentence,
    fold_findings,
    fold_sentence,
    fold_words,
    lost_findings,
    room_findings,
    span_findings,
    span_sentence,
    span_words,
    step_findings,
)
from sewkit.checks.dart_seam_words import edges_table, seam_findings, seam_sentence
from sewkit.checks.dart_turn_words import turn_findings
from sewkit.checks.darts import cut_in_findings, dart_changes
from sewkit.checks.drawn_legs import legs_taken
from sewkit.checks.edge_lengths import edge_report, grain_findings, shape_findings, without_legs
from sewkit.checks.seams import guard
from sewkit.checks.shared_marks import shared_findings
from sewkit.checks.told_by_size import told_by_size
from sewkit.errors import InputError
from sewkit.geometry.length import path_length, point_at
from sewkit.operation import Choice, Length, Number, Outcome, Percent, Places, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.chosen_darts import as_found, for_change
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_eased import (
    Span,
    eased_before,
    free_names,
    quartered,
    span_of,
    with_partners,
    with_span,
)
from sewkit.pattern.dart_flared import Flared, below, flared, hem_of
from sewkit.pattern.dart_folded import Folded, folded, name_for
from sewkit.pattern.dart_gone import DartGone, without_dart
from sewkit.pattern.dart_panels import divide
from sewkit.pattern.dart_pivot import pivot_for
from sewkit.pattern.divided import divided_seams, with_halves
from sewkit.pattern.edge_places import one_place
from sewkit.pattern.grain_copy import centre_of
from sewkit.pattern.inner_label import labelled
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import default_side
from sewkit.pattern.recut import recut, shown
from sewkit.report import Change, Finding, Report

EASE, GATHERS, FLARE, PLEAT, TUCK, SEAM = "ease", "gathers", "flare", "pleat", "tuck", "seam"

# Ease is spread over as much of the edge as firm cloth asks for: 6 mm into 100 (``dart_into_words``).
_SPREAD = 100.0 / 6.0

# The words stand this far inside the mouth (mm), clear of the notches, or beyond the folds.
_INSIDE, _BEYOND = 25.0, 8.0


class _Asked(NamedTuple):
    """What is asked of every dart."""

    into: str
    over: Optional[float]
    ratio: float
    to: str
    at: str
    share: float
    pivot: str
    long: Optional[float]
    press: str
    called: str
    apart: float


class _Made(NamedTuple):
    """What came of the dart in one size.

    Args:
        old, outline: before, with the dart cut in, and after.
        spot: where the words of the picture stand (2,).
        label: the words on the piece, and where they stand (2,).
        gone, span: for ease and gathers; ``gone`` and ``flare`` for flare; ``folds`` for pleat and tuck.
    """

    old: Outline
    outline: Outline
    dart: Dart
    spot: np.ndarray
    label: Tuple[str, np.ndarray] = ("", np.zeros(2))
    gone: Optional[DartGone] = None
    span: Optional[Span] = None
    flare: Optional[Flared] = None
    folds: Optional[Folded] = None


@operation(
    title="Make a dart into something else",
    menu="Darts",
    select="Select the piece, or an outline and the two legs drawn on it, or three nodes of a dart.",
    example=(
        "sewkit dart-into samples/bodice/master.svg -o eased.svg --piece back "
        "--dart shoulder-dart --into ease"
    ),
)
def dart_into(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    dart: Text("Dart", "its name or number; empty where there is only one") = "",
    into: Choice(
        "Make it into",
        "",
        {
            "ease": "Ease: the edge is longer than the one it is sewn to",
            "gathers": "Gathers",
            "pleat": "Pleat: caught in the seam",
            "tuck": "Tuck: stitched a little way",
            "flare": "Flare: the dart closes and another edge opens",
            "seam": "Seam: a panel seam, the piece in two parts",
        },
    ) = "ease",
    over: Length("Ease or gathers over", "length of seam; 0: as the cloth asks", 0, 2000) = 0.0,
    ratio: Number("Fullness of gathers", "cloth for 1 of seam, where no length is given", 1.05, 6) = 2.0,
    long: Length("Length of the folds", "of a pleat or tuck; 0: half the dart", 0, 2000) = 0.0,
    press: Choice(
        "Intake of pleat or tuck",
        "",
        {
            "auto": "To the centre if it stands along the grain, else down",
            "centre": "To the centre: the fold is laid to the side",
            "side": "To the side: the fold is laid to the centre",
            "up": "Up: the fold is laid down",
            "down": "Down: the fold is laid up",
        },
    ) = "auto",
    to: Text("Flare opens or seam ends at", "an edge; for a seam a dart too") = "",
    at: Places(
        "Place on that edge",
        "length, share such as 40%, or notch; empty: below the pivot",
    ) = "",
    share: Percent("How much becomes flare", "100: all of the dart", 0, 100) = 100.0,
    pivot: Text("Pivot of flare or seam", "a mark; empty: the apex beyond the point") = "",
    called: Text("Called", "the pleat, the tuck or the new edges") = "",
    apart: Length("Parts of a seam laid apart", "free between them; 0: as they lay", 0, 1000) = 0.0,
) -> Outcome:
    """Make a dart into ease, gathers, a pleat, a tuck, flare or a panel seam.

    Ease and gathers leave the cloth where it is: the legs go, the edge is drawn on over the mouth,
    and both ends of the part to be eased in or gathered are notched, on the edge that is sewn to
    it as well. The seam knows from then on how much longer this side is on purpose. Firm cloth
    takes 6 mm of ease in 100 mm of seam, loose cloth 10; you are told where it is more. Gathers
    are 1.5 to 1 where they are light, 2 to 1 as a rule and 3 to 1 in sheer cloth.

    A pleat has two parallel fold lines where the legs were, and an arrow from the one that is folded
    to the one on which it comes to lie; the intake lies the other way. A tuck is stitched along
    them. The top is drawn as the edge lies in the folds. Seams are walked with them folded, as
    with the dart closed, so every seam keeps its length.

    For flare the dart is closed and its angle opened at another edge, as a rule the hem, which
    is redrawn as one soft line and gets wider; where there is no room for that, you are told by how
    much it steps. With less than 100 percent the rest stays a dart.

    For a panel seam the piece is divided from the dart through its pivot to another dart, or to an
    edge. The legs of the darts are edges of the two parts, so nothing of the shape is lost; the
    parts are notched at the pivot and half way, and remembered as sewn together. The part with
    the fold or the grain line keeps the name; the other has a grain line parallel to it, and is
    cut as a pair where the piece lay on the fold. It needs all sizes of the piece.

    The way back, from flare or a slash to a dart, is Turn a dart, with the edge to take in.
    """
    asked = _Asked(
        into,
        over or None,
        ratio,
        to.strip(),
        at.strip(),
        share,
        pivot,
        long or None,
        press,
        called.strip(),
        apart,
    )
    _refuse_share(asked)
    found = for_change(pattern, chosen, dart)
    made = _panels(pattern, found, asked) if asked.into == SEAM else _each(pattern, found, asked)
    return legs_taken(pattern, chosen, made.pattern, made.report)


def _refuse_share(asked: _Asked) -> None:
    if asked.share >= 100.0 or asked.into == FLARE:
        return
    raise InputError(
        "A part of a dart can only become flare in one step.",
        "Turn that part to the edge first, as a dart of its own, and make that one into something else.",
        code="value",
    )


def _each(pattern: Pattern, found: Sequence[Tuple[Piece, Outline, Dart]], asked: _Asked) -> Outcome:
    """Each dart by itself: its piece stays one piece."""
    counts = {piece.name: sum(p.name == piece.name for p, _, _ in found) for piece, _, _ in found}
    first = {piece.name: piece for piece, _, _ in reversed(found)}
    state: Dict[str, Piece] = {}
    done: Dict[str, Dict[str, _Made]] = {}
    names = free_names(pattern, asked.into)
    # In all sizes a pleat has the name that the first one got.
    folds = {p.name: name_for(p, d.name, asked.into, asked.called) for p, _, d in reversed(found)}
    for piece, outline, one in found:
        # Marks of all sizes go along once, and only if all sizes do.
        whole = piece.name not in done and counts[piece.name] == len(piece.outlines)
        here = asked._replace(called=folds[piece.name])
        new, made = _one(state.get(piece.name, piece), outline.size, one, here, whole, names)
        state[piece.name] = new
        done.setdefault(piece.name, {})[outline.size] = made
    after, findings = pattern, []
    for name, by_size in done.items():
        new, told = _finished(pattern.piece(name), first[name], state[name], by_size, asked.into)
        after = after.with_piece(new)
        spans = [made.span for made in by_size.values() if made.span is not None]
        after = with_partners(after, name, spans, names) if spans and new.named else after
        findings += told
    findings += [one for name, by_size in done.items() for one in _told(pattern, after, name, by_size, asked)]
    findings += shared_findings(pattern, {name: len(by_size) for name, by_size in done.items()})
    return Outcome(after, _report(pattern, after, first, done, asked, names, findings))


def _one(
    piece: Piece, size: str, meant: Dart, asked: _Asked, whole: bool, names: Sequence[str]
) -> Tuple[Piece, _Made]:
    """One dart of one size."""
    old = piece.outline(size)
    dart = dart_named(piece, old, meant.name)
    if asked.into == FLARE:
        return _flare(piece, old, dart, asked, whole)
    if asked.into in (PLEAT, TUCK):
        return _fold(piece, old, dart, asked, whole)
    piece, gone = without_dart(piece, size, dart.name, whole)
    if asked.over is not None:
        sewn = asked.over
    else:
        sewn = gone.gained * (_SPREAD if asked.into == EASE else 1.0 / (asked.ratio - 1.0))
    span = span_of(gone, sewn)
    span = quartered(span) if asked.into == GATHERS else span
    spot = _middle(gone)
    words = span_words(span, asked.into == GATHERS)
    label = words, spot - dart.axis * _INSIDE
    return with_span(piece, span, names), _Made(old, gone.outline, dart, spot, label, gone, span)


def _middle(gone: DartGone) -> np.ndarray:
    return point_at(gone.between, path_length(gone.between) / 2.0)


def _fold(piece: Piece, old: Outline, dart: Dart, asked: _Asked, whole: bool) -> Tuple[Piece, _Made]:
    side = default_side(piece, dart) if asked.press == "auto" else asked.press
    piece, made = folded(piece, old.size, dart.name, asked.called, side, asked.long, whole)
    label = fold_words(made, asked.into), dart.middle + made.inward * (made.long + _BEYOND)
    return piece, _Made(old, made.outline, dart, dart.middle, label, folds=made)


def _flare(piece: Piece, old: Outline, dart: Dart, asked: _Asked, whole: bool) -> Tuple[Piece, _Made]:
    pivot = pivot_for(piece, old.size, dart, asked.pivot)
    edge = asked.to or hem_of(piece, old)
    if asked.at:
        on = one_place(piece, old, edge, asked.at)
    else:
        on = below(piece, old, pivot, edge) or On(edge, old.as_sewn(edge) / 2.0)
    piece, made = flared(piece, old, dart, pivot, on, asked.share, whole)
    return piece, _Made(old, made.gone.outline, dart, _middle(made.gone), gone=made.gone, flare=made)


def _finished(
    old: Piece, cut_in: Piece, piece: Piece, by_size: Dict[str, _Made], kind: str
) -> Tuple[Piece, List[Finding]]:
    """The piece with its cut lines, and what there is to tell of its lines."""
    told: List[Finding] = cut_in_findings(old, cut_in)
    words = [(size, *made.label) for size, made in by_size.items() if made.label[0]]
    cut = recut(labelled(piece, words) if words else piece, list(by_size))
    piece = cut.piece
    for size, made in by_size.items():
        where = shown(piece, size)
        told += shape_findings(made.old, made.outline, piece, where)
        told += turn_findings(piece, made.flare.turn, where) if made.flare is not None else []
        told += lost_findings(made.gone, piece.name, where) if made.gone is not None else []
        told += step_findings(made.gone, piece.name, where) if made.gone is not None else []
        told += fold_findings(piece.name, made.folds, kind, where) if made.folds is not None else []
    told += grain_findings(old, piece)
    told += recut_findings(cut)
    return as_found(piece), told_by_size(told, piece)


def _told(
    pattern: Pattern, after: Pattern, name: str, by_size: Dict[str, _Made], asked: _Asked
) -> List[Finding]:
    """What there is to tell of the ease, once where all sizes have it alike."""
    piece = pattern.piece(name)
    found: List[Finding] = []
    for size, made in by_size.items():
        if made.span is None:
            continue
        paired = not piece.named or any(seam.touches(name, made.span.edge) for seam in pattern.seams)
        where = shown(piece, size)
        found += room_findings(name, made.outline, made.span, asked.over, where)
        known = paired or len(found) > 0
        before = eased_before(after, name, made.span)
        found += span_findings(name, made.outline, made.span, asked.into == GATHERS, known, where, before)
    return found


def _panels(pattern: Pattern, found: Sequence[Tuple[Piece, Outline, Dart]], asked: _Asked) -> Outcome:
    """Each piece in two parts."""
    done = divide(found, pattern.pieces, asked.to, asked.at, asked.pivot, asked.called, asked.apart)
    was, after = pattern, pattern
    findings: List[Finding] = []
    words: List[str] = []
    changes: List[Change] = []
    for one in done:
        old, halves = pattern.piece(one.cut_in.name), one.made.halves
        first = next(iter(one.lines.values()))
        was = was.with_piece(one.cut_in)
        after = with_halves(after, halves)
        if old.named:
            after = after._replace(seams=divided_seams(after.seams, halves))
        words.append(seam_sentence(one.cut_in.outlines[0], old.name, first, one.made))
        changes.append(change_at(halves.other.name, "new part", centre_of(halves.other.outlines[0].path)))
        findings += cut_in_findings(old, one.cut_in) + seam_findings(pattern, old, one.made, asked.apart)
        findings += [finding for cut in one.cuts for finding in recut_findings(cut)]
    sizes = list(dict.fromkeys(size for one in done for size in one.lines))
    new = [one.made.halves.other for one in done]
    old_names = [one.cut_in.name for one in done]
    tables = dart_changes(was, after, old_names) + edges_table(new, sizes)
    report = Report(" ".join(words), tuple(findings), tables, tuple(changes))
    legs = {dart for name in old_names for dart in was.piece(name).darts}
    named = [name for name in old_names if after.piece(name).named]
    report = report.then(without_legs(edge_report(was, after, sizes, named), legs))
    touched = [*old_names, *(piece.name for piece in new)]
    return Outcome(after, report.then(guard(was, after, [(size, size) for size in sizes], touched)))


def _report(
    before: Pattern,
    after: Pattern,
    cut_in: Dict[str, Piece],
    done: Dict[str, Dict[str, _Made]],
    asked: _Asked,
    names: Sequence[str],
    findings: Sequence[Finding],
) -> Report:
    """The sentence for each piece, the darts and edges before and after, and the seams."""
    sizes = list(dict.fromkeys(size for by_size in done.values() for size in by_size))
    words: List[str] = []
    changes: List[Change] = []
    was = before
    for name, by_size in done.items():
        made = next(iter(by_size.values()))
        text, label = _words(name, made, asked, names)
        words.append(text)
        changes.append(change_at(name, label, made.spot))
        was = was.with_piece(cut_in[name])
    lines = (sizes[0], sizes[0]) if len(sizes) == 1 else ()
    tables = dart_changes(was, after, list(done))
    report = Report(" ".join(words), tuple(findings), tables, tuple(changes), lines)
    named = [name for name in done if after.piece(name).named]
    legs = {dart for name in done for dart in (*after.piece(name).darts, *was.piece(name).darts)}
    report = report.then(without_legs(edge_report(was, after, sizes, named), legs))
    return report.then(guard(was, after, [(size, size) for size in sizes], list(done)))


def _words(name: str, made: _Made, asked: _Asked, names: Sequence[str]) -> Tuple[str, str]:
    """The sentence of a piece and the words for the picture."""
    if made.flare is not None:
        return flare_sentence(name, made.flare, made.dart), "+{:.1f} mm flare".format(made.flare.gone.gained)
    if made.folds is not None:
        return fold_sentence(name, made.folds, made.dart, asked.into), fold_words(made.folds, asked.into)
    assert made.span is not None
    gathers = asked.into == GATHERS
    sentence = span_sentence(name, made.outline, made.dart, made.span, names, gathers)
    return sentence, span_words(made.span, gathers)
