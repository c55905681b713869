"""What a changed, moved or added dart means for its piece: cut line, edges, seams, in one report."""

from typing import List, Mapping, Sequence, Set, Tuple

from sewkit.checks.cuts import recut_findings
from sewkit.checks.darts import cut_in_findings, dart_changes, dart_findings
from sewkit.checks.edge_lengths import UNCHANGED, edge_report, shape_findings
from sewkit.checks.seams import guard
from sewkit.checks.shared_marks import shared_findings
from sewkit.pattern.changed_dart import ChangedDart, with_changes
from sewkit.pattern.chosen_darts import as_found
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.report import Change, Finding, Level, Report

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
        findings += cut_in_findings(old, cut_in[name])
        piece, lost = with_changes(cut_in[name], changes)
        darts = [made.name for made in changes.values()]
        piece = piece._replace(darts=tuple(dict.fromkeys((*piece.darts, *darts))))
        if lost:
            text = "'{}': {} of its notches lie beyond their edge now and were left out.".format(name, lost)
            findings.append(Finding("notch-off", Level.WARN, text, name))
        cut = recut(piece, list(changes))
        piece = cut.piece
        for size, made in changes.items():
            where = "{} size {}".format(name, size) if size else name
            findings += shape_findings(made.old, made.outline, piece, where)
            findings += new_dart_findings(old, piece, size)
        findings += recut_findings(cut)
        after = after.with_piece(as_found(piece))
    return after, findings + shared_findings(pattern, {name: len(changes) for name, changes in done.items()})


def new_dart_findings(old: Piece, new: Piece, size: str) -> List[Finding]:
    """What to look at on the darts of one size that was not so before."""
    known = {finding.text for finding in dart_findings(old, old.outline(size))}
    return [f for f in dart_findings(new, new.outline(size)) if f.text not in known]


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
    tables = dart_changes(pattern, after, list(sizes))
    report = Report(summary, tuple(findings), tables, tuple(changes), lines)
    named = [name for name in sizes if after.piece(name).named]
    legs = {dart for name in sizes for dart in (*after.piece(name).darts, *cut_in[name].darts)}
    report = report.then(_without_legs(edge_report(before, after, every, named), legs))
    return report.then(guard(pattern, after, [(size, size) for size in every], list(sizes)))


def _without_legs(report: Report, legs: Set[str]) -> Report:
    """The table of edges without the legs of darts, which have a table of their own."""
    tables = []
    for table in report.tables:
        column = table.columns.index("edge")
        rows = tuple(row for row in table.rows if row[column] not in legs)
        tables += [table._replace(rows=rows)] if rows else []
    return report._replace(tables=tuple(tables))


def piece_words(piece: Piece, size: str) -> str:
    """A piece in a sentence, with the size to which the numbers belong where there are several."""
    return "'{}'{}".format(piece.name, " size {}".format(size) if size and len(piece.outlines) > 1 else "")
