"""What a changed, moved or added dart means for its piece: cut line, edges, seams, in one report."""

from typing import List, Mapping, Sequence, Tuple

import numpy as np

from sewkit.checks.cuts import recut_findings
from sewkit.checks.darts import cut_in_findings, dart_changes, dart_findings
from sewkit.checks.edge_lengths import UNCHANGED, edge_report, shape_findings, without_legs
from sewkit.checks.seams import guard
from sewkit.checks.shared_marks import shared_findings
from sewkit.checks.told_by_size import size_words, told_by_size
from sewkit.pattern.apex import apex_near
from sewkit.pattern.changed_dart import ChangedDart, with_changes
from sewkit.pattern.chosen_darts import as_found
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.report import Change, Finding, Level, Report

# A dart points to an apex by which it passes as near as this (mm; common practice, no source).
_POINTS_TO = 5.0

# A dart may be moved so far (mm) without being turned about its apex: 1 1/2 in (Erwin, Practical
# Dress Design, p. 30).
_SAFE = 38.1

# A point this near to the apex (mm) ends at it.
_ENDS_AT = 1.0

# The changed darts by piece and size.
Done = Mapping[str, Mapping[str, ChangedDart]]


def changed_pattern(
    pattern: Pattern, cut_in: Mapping[str, Piece], done: Done
) -> Tuple[Pattern, List[Finding]]:
    """The pattern with changed darts, cut lines made anew, and what there is to tell of each piece.

    ``cut_in``: the pieces as they were, but with their darts cut in.
    """
    after, findings = pattern, []
    for name, changes in done.items():
        old = pattern.piece(name)
        told = cut_in_findings(old, cut_in[name])
        piece, lost = with_changes(cut_in[name], changes)
        darts = [made.name for made in changes.values()]
        piece = piece._replace(darts=tuple(dict.fromkeys((*piece.darts, *darts))))
        if lost:
            text = "{}: {} of its notches lie beyond their edge now and were left out.".format(name, lost)
            told.append(Finding("notch-off", Level.WARN, text, name))
        cut = recut(piece, list(changes))
        piece = cut.piece
        for size, made in changes.items():
            where = "{} size {}".format(name, size) if size else name
            told += shape_findings(made.old, made.outline, piece, where)
            told += new_dart_findings(old, piece, size)
            told += _apex_findings(cut_in[name], piece, made, where)
        findings += told_by_size([*told, *recut_findings(cut)], piece)
        after = after.with_piece(as_found(piece))
    return after, findings + shared_findings(pattern, {name: len(changes) for name, changes in done.items()})


def new_dart_findings(old: Piece, new: Piece, size: str) -> List[Finding]:
    """What to look at on the darts of one size that was not so before."""
    known = {finding.text for finding in dart_findings(old, old.outline(size))}
    return [f for f in dart_findings(new, new.outline(size)) if f.text not in known]


def _apex_findings(old: Piece, new: Piece, made: ChangedDart, where: str) -> List[Finding]:
    """That a dart no longer points to its apex, or ends beyond it."""
    if made.name not in made.old.names:
        return []
    size = made.old.size
    before, after = dart_named(old, made.old, made.name), dart_named(new, made.outline, made.name)
    apex = apex_near(old, size, before.point)
    if apex is None or _aside(before, apex) > _POINTS_TO:
        return []
    aside, spot = _aside(after, apex), (float(after.point[0]), float(after.point[1]))
    beyond = float((after.point - apex) @ -after.axis)
    if aside > _POINTS_TO:
        text = "{}: the dart '{}' no longer points to the apex, it passes by at {:.1f} mm{}."
        level = Level.WARN if aside > _SAFE else Level.INFO
        cure = "; move the apex too, or turn the dart about it" if level is Level.WARN else ""
        return [Finding("dart-apex", level, text.format(where, made.name, aside, cure), where, spot)]
    if beyond > _ENDS_AT and beyond > float((before.point - apex) @ -before.axis) + _ENDS_AT:
        text = "{}: the dart '{}' ends {:.1f} mm beyond the apex; back its point off."
        return [Finding("dart-apex", Level.WARN, text.format(where, made.name, beyond), where, spot)]
    return []


def _aside(dart: Dart, apex: np.ndarray) -> float:
    """How far the line half way between the legs passes by the apex (mm)."""
    way, axis = apex - dart.point, dart.axis
    return float(abs(way[0] * axis[1] - way[1] * axis[0]))


def seam_words(made: ChangedDart) -> str:
    """How the edges' lengths as sewn changed, in the middle of a sentence; empty where none did."""
    told = []
    for name in made.outline.names:
        if name == made.name or name not in made.old.names:
            continue
        was, now = made.old.as_sewn(name), made.outline.as_sewn(name)
        if abs(now - was) > UNCHANGED:
            told.append(
                "{} is {:.1f} mm {} as sewn, {:.1f} mm".format(
                    quoted(made.old, name), abs(now - was), "longer" if now > was else "shorter", now
                )
            )
    return "; ".join(told)


def darts_report(
    pattern: Pattern,
    after: Pattern,
    cut_in: Mapping[str, Piece],
    sizes: Mapping[str, Sequence[str]],
    summary: str,
    findings: Sequence[Finding],
    changes: Sequence[Change],
) -> Report:
    """Sentence, findings, darts and edges before and after, and the seams.

    ``sizes``: those changed, by the piece's name.
    """
    every = list(dict.fromkeys(size for some in sizes.values() for size in some))
    before = pattern
    for name in sizes:
        before = before.with_piece(cut_in[name])
    lines = (every[0], every[0]) if len(every) == 1 else ()
    tables = dart_changes(pattern, after, list(sizes), before)
    words = summary + also_changed(after, sizes)
    report = Report(words, tuple(findings), tables, tuple(changes), lines)
    named = [name for name in sizes if after.piece(name).named]
    legs = {dart for name in sizes for dart in (*after.piece(name).darts, *cut_in[name].darts)}
    report = report.then(without_legs(edge_report(before, after, every, named), legs))
    return report.then(guard(pattern, after, [(size, size) for size in every], list(sizes)))


def also_changed(after: Pattern, sizes: Mapping[str, Sequence[str]]) -> str:
    """Where the numbers of the other sizes are, behind a sentence with those of the first one."""
    for name, some in sizes.items():
        others = list(dict.fromkeys(some))[1:]
        if others:
            words = size_words(others, after.piece(name).sizes)
            return " The numbers of {} are in the tables.".format(words)
    return ""


def piece_words(piece: Piece, size: str) -> str:
    """A piece in a sentence, with the size to which the numbers belong where there are several."""
    return "'{}'{}".format(piece.name, " size {}".format(size) if size and len(piece.outlines) > 1 else "")


def changed_outcome(
    pattern: Pattern,
    cut_in: Mapping[str, Piece],
    done: Done,
    words: Sequence[str],
    told: Sequence[Finding],
    changes: Sequence[Change],
) -> Tuple[Pattern, Report]:
    """The pattern with changed darts, and the whole report; ``words`` are its sentences."""
    after, findings = changed_pattern(pattern, cut_in, done)
    sizes = {name: list(some) for name, some in done.items()}
    return after, darts_report(pattern, after, cut_in, sizes, " ".join(words), [*told, *findings], changes)


def contours_outcome(
    pattern: Pattern,
    made: Mapping[str, Piece],
    sizes: Mapping[str, Sequence[str]],
    words: Sequence[str],
    told: Sequence[Finding],
    changes: Sequence[Change],
) -> Tuple[Pattern, Report]:
    """As ``changed_outcome``, for darts with two points: marks in ``made``, the pieces by name."""
    after, findings = pattern, list(told)
    for name, piece in made.items():
        after = after.with_piece(piece)
        for size in sizes[name]:
            findings += new_dart_findings(pattern.piece(name), piece, size)
    before = {name: pattern.piece(name) for name in made}
    return after, darts_report(pattern, after, before, sizes, " ".join(words), findings, changes)
