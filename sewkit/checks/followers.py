"""Facings, bands and linings that follow their parents: made anew, or told that they no longer fit.

The parent edge of a facing may be off by 0.5 mm without a word and by 3 mm at most, as any two
seams that are meant equal (see ``seams``).
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Set, Tuple

from sewkit.checks.seams import EQUAL_GOOD, EQUAL_USABLE, guard
from sewkit.errors import InputError
from sewkit.operation import Outcome
from sewkit.pattern.derived import Derived, derive, follow_of, followers, only_eased
from sewkit.pattern.derived_anew import anew
from sewkit.pattern.derived_band import SEWN
from sewkit.pattern.derived_place import Difference, difference, fitted, moved_piece
from sewkit.pattern.follow_text import BAND, Follow, in_words, renamed, write_follow
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef
from sewkit.pattern.wearer_side import sided, without_side
from sewkit.report import Finding, Level, Report

# A derived piece that is off by less (mm) is as it should be: half of what we promise.
SAME = 0.05


class Remade(NamedTuple):
    """A pattern with followers made anew: their names, and what there is to tell."""

    pattern: Pattern
    names: Tuple[str, ...]
    findings: Tuple[Finding, ...]


def follow_up(before: Pattern, outcome: Outcome) -> Outcome:
    """What is done after an operation: every follower whose parents changed is made anew.

    A follower that was changed alone, or is new, stays as it is.
    """
    pattern = outcome.pattern
    if before.scale != pattern.scale:
        return outcome
    pattern = with_new_names(before, pattern)
    old = {piece.name: piece for piece in before.pieces}
    freed = _freed(old, pattern)
    if freed:
        outcome = outcome._replace(report=outcome.report.then(Report("", freed)))
    touched = []
    for piece in followers(pattern):
        was = old.get(piece.name)
        if was is not None and was.follows and _parents_changed(before, pattern, piece, touched):
            touched.append(piece.name)
    made = remake(pattern, touched, before)
    if made.pattern is outcome.pattern:
        return outcome._replace(report=outcome.report.then(Report("", made.findings)))
    report = _rewalked(before, made, outcome.report)
    return outcome._replace(pattern=made.pattern, report=report.then(Report("", made.findings)))


def remake(pattern: Pattern, names: Sequence[str], before: Optional[Pattern] = None) -> Remade:
    """Followers made anew by name; one that cannot be made stays, and that is told."""
    done: List[str] = []
    findings: List[Finding] = []
    for name in names:
        lying = pattern.piece(name)
        try:
            made = derive(pattern, name, follow_of(lying))
        except InputError as error:
            findings.append(_no_parent(lying, error))
            continue
        where = fitted(made.piece, lying)
        extra = set(lying.sizes) - set(made.piece.sizes)
        off = difference(moved_piece(made.piece, where), lying)
        fits = off.off <= SAME and not extra
        if fits and _same_notches(before, pattern, made.piece, lying):
            continue
        was = _as_made(before, lying) if before is not None else None
        if was is not None and before is not None and before.piece(name).outlines == lying.outlines:
            where = fitted(was.piece, lying)
        piece = anew(made.piece, lying, where, was.piece if was is not None else None)
        pattern = pattern.with_piece(piece)._replace(seams=only_eased(pattern.seams, made.seams))
        done.append(name)
        findings.append(_told(lying, piece, _reason(before, pattern, follow_of(piece), fits)))
    return Remade(pattern, tuple(done), tuple(findings))


def follower_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Derived pieces that are not what their parents make of them now, or have no parents any more."""
    findings: List[Finding] = []
    order = {piece.name: number for number, piece in enumerate(pattern.pieces)}
    for piece in sorted(followers(pattern), key=lambda one: order[one.name]):
        try:
            made = derive(pattern, piece.name, follow_of(piece)).piece
        except InputError as error:
            findings.append(_no_parent(piece, error))
            continue
        fresh = moved_piece(made, fitted(made, piece))
        for size in fresh.sizes:
            if size in sizes or not size or not sizes:
                one = fresh._replace(outlines=(fresh.outline(size),))
                findings += _stale(piece, difference(one, piece))
    return findings


# -- which ones ------------------------------------------------------------------------------


def _parents_changed(before: Pattern, after: Pattern, piece: Piece, touched: Sequence[str]) -> bool:
    """Whether a parent has other lines now, or is not there any more."""
    try:
        follow = follow_of(piece)
    except InputError:
        return False
    names = follow.parents + follow.less + follow.meets
    if any(name in touched for name in names):
        return True
    old = {one.name: one for one in before.pieces}
    new = {one.name: one for one in after.pieces}
    for name in names:
        if (name in old) != (name in new):
            return True
        if name in old and old[name] != new[name]:
            return True
    return False


def _same_notches(before: Optional[Pattern], after: Pattern, made: Piece, lying: Piece) -> bool:
    """Whether the notches of a follower need no change: those that its parents give it did not."""
    if before is None:
        return _notches([made]) <= _notches([lying])
    names = follow_of(lying).parents
    old, new = ([piece for piece in one.pieces if piece.name in names] for one in (before, after))
    if _notches(old) == _notches(new):
        return True
    was = _as_made(before, lying)
    return was is not None and _notches([was.piece]) == _notches([made])


def _notches(pieces: Sequence[Piece]) -> Set[Tuple[str, str, str, float, bool]]:
    """Name, size and place of every notch, to a hundredth of a millimetre."""
    return {
        (mark.name, mark.size, mark.on.edge, round(mark.on.distance, 2), mark.on.from_end)
        for piece in pieces
        for mark in piece.marks
        if mark.on is not None
    }


def _as_made(before: Pattern, piece: Piece) -> Optional[Derived]:
    """The piece as its parents made it before; None where they could not."""
    try:
        return derive(before, piece.name, follow_of(before.piece(piece.name)))
    except InputError:
        return None


def with_new_names(before: Pattern, after: Pattern) -> Pattern:
    """The pattern with the new names of parents and edges in what their followers remember."""
    pieces: Dict[str, str] = {}
    edges: Dict[Tuple[str, str], str] = {}
    by_key = {piece.key: piece for piece in after.pieces if piece.key}
    names = {piece.name for piece in after.pieces}
    for old in before.pieces:
        new = by_key.get(old.key)
        if new is None or (old.name != new.name and old.name in names):
            continue
        if old.name != new.name:
            pieces[old.name] = new.name
        edges.update({(old.name, one): other for one, other in _new_edges(old, new).items()})
    made = after
    for piece in followers(after):
        try:
            follow = follow_of(piece)
        except InputError:
            continue
        sides = _of_its_side(piece, follow, names)
        now = renamed(follow, {**pieces, **sides}, {} if sides else edges)
        now = _as_sewn_on(before, after, piece, now)
        if now != follow:
            made = made.with_piece(piece._replace(follows=write_follow(now)))
    return made


def _of_its_side(piece: Piece, follow: Follow, names: Set[str]) -> Dict[str, str]:
    """New names of what a piece follows where left and right were taken apart, or put together."""
    found = {}
    for name in (*follow.parents, *follow.less, *follow.meets):
        wish = sided(name, piece.side) if piece.side else without_side(name)
        if name not in names and wish in names:
            found[name] = wish
    return found


def _as_sewn_on(before: Pattern, after: Pattern, piece: Piece, follow: Follow) -> Follow:
    """A band along the edges it is sewn to, where an operation gave its seam others: both sides of a body."""
    if follow.kind != BAND:
        return follow
    was, now = (_sewn_to(pattern, piece.name) for pattern in (before, after))
    return follow if was == now or not now else follow._replace(edges=now)


def _sewn_to(pattern: Pattern, name: str) -> Tuple[EdgeRef, ...]:
    """The edges to which a band is sewn; none where it is not sewn, or to more than one row of them."""
    band = (EdgeRef(name, SEWN),)
    rows = [seam.second for seam in pattern.seams if seam.first == band]
    return rows[0] if len(rows) == 1 else ()


def _new_edges(old: Piece, new: Piece) -> Dict[str, str]:
    """Edges of a piece that are called otherwise now, where its lines are the same."""
    found: Dict[str, str] = {}
    for one, other in zip(old.outlines, new.outlines):
        if one is other or len(one.edges) != len(other.edges) or one.path != other.path:
            continue
        for a, b in zip(one.edges, other.edges):
            if a.name != b.name and a.name not in other.names:
                found[a.name] = b.name
    return found


def _freed(old: Mapping[str, Piece], after: Pattern) -> Tuple[Finding, ...]:
    """Pieces that were changed so that they cannot follow their parents any more, as one that was divided."""
    found = []
    for piece in after.pieces:
        was = old.get(piece.name)
        if was is not None and was.follows and not piece.follows and was.outlines != piece.outlines:
            text = "'{}' is another piece now, so it no longer follows {}.".format(
                piece.name, in_words(follow_of(was))
            )
            found.append(Finding("follower-free", Level.INFO, text, piece.name))
    return tuple(found)


# -- what is told ----------------------------------------------------------------------------


def _no_parent(piece: Piece, error: InputError) -> Finding:
    what = error.what if error.what.endswith((".", "!", "?")) else error.what + "."
    text = "'{}' could not be made anew, so it stays as it is. {}".format(piece.name, what)
    return Finding("follower-parent", Level.FAIL, text, piece.name, None, error.cure or "")


def _reason(before: Optional[Pattern], after: Pattern, follow: Follow, fits: bool) -> str:
    """What of its parents changed, so that a follower is made anew: edges, notches, else the pieces."""
    if before is None:
        return in_words(follow)
    old, new = ({piece.name: piece for piece in one.pieces} for one in (before, after))
    if fits:
        return "the notches of " + _listed(follow.parents)
    longer = [ref for ref in follow.edges if _lengths(old, ref) != _lengths(new, ref)]
    if longer:
        return in_words(follow._replace(edges=tuple(longer)))
    names = [*follow.parents, *follow.less, *follow.meets]
    other = [n for n in names if n in old and n in new and old[n].outlines != new[n].outlines]
    return _listed(other or follow.parents)


def _lengths(pieces: Mapping[str, Piece], ref: EdgeRef) -> Dict[str, float]:
    """How long an edge is (mm) in each size, to a tenth."""
    outlines = pieces[ref.piece].outlines if ref.piece in pieces else ()
    return {o.size: round(o.as_sewn(ref.edge), 1) for o in outlines if ref.edge in o.names}


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _told(was: Piece, now: Piece, why: str) -> Finding:
    """That a follower was made anew, with the edges whose length is another now."""
    parts: Dict[str, List[Tuple[float, float]]] = {}
    for outline in now.outlines:
        if outline.size not in was.sizes:
            continue
        old = was.outline(outline.size)
        for name in outline.names:
            if name in old.names and abs(outline.as_sewn(name) - old.as_sewn(name)) > SAME:
                parts.setdefault(name, []).append((old.as_sewn(name), outline.as_sewn(name)))
    new = [size for size in now.sizes if size not in was.sizes]
    words = ["{} {} to {} mm".format(name, *_ranges(pairs)) for name, pairs in parts.items()]
    words += ["size {} is new".format(size) for size in new]
    text = "'{}' was made anew, because {} changed{}.".format(
        now.name, why, ": " + ", ".join(words) if words else ""
    )
    return Finding("follower-anew", Level.INFO, text, now.name)


def _ranges(pairs: Sequence[Tuple[float, float]]) -> Tuple[str, str]:
    """Lengths before and after, of many sizes from the shortest to the longest."""
    texts = []
    for column in zip(*pairs):
        ends = ["{:.1f}".format(min(column)), "{:.1f}".format(max(column))]
        texts.append("-".join(dict.fromkeys(ends)))
    return texts[0], texts[1]


def _stale(piece: Piece, off: Difference) -> List[Finding]:
    if off.off <= EQUAL_GOOD:
        return []
    level = Level.WARN if off.off <= EQUAL_USABLE else Level.FAIL
    where = "{} size {}".format(piece.name, off.size) if off.size else piece.name
    if off.off == float("inf"):
        level = Level.FAIL
        text = "{}: {} is missing, which {} has now.".format(where, off.edge, in_words(follow_of(piece)))
    else:
        text = "{}: {} is {:.1f} mm off what {} asks for now.".format(
            where, off.edge, off.off, in_words(follow_of(piece))
        )
    cure = "Make it anew, or set it free if it is meant so."
    return [Finding("follower-stale", level, text, "{}/{}".format(piece.name, off.edge), off.spot, cure)]


def _rewalked(before: Pattern, made: Remade, report: Report) -> Report:
    """The report with the seams of what was made anew walked once more, in place of what was said of them."""
    after = made.pattern
    seams = {seam.name for seam in after.seams if any(ref.piece in made.names for ref in seam.refs)}
    if not seams:
        return report
    findings = tuple(f for f in report.findings if not (f.code.startswith("seam") and f.where in seams))
    tables = []
    for table in report.tables:
        keep = [n for n, row in enumerate(table.rows) if row[0] not in seams]
        if table.columns[:1] != ("seam",) or len(keep) == len(table.rows):
            tables.append(table)
        elif keep:
            levels = tuple(table.levels[n] for n in keep) if table.levels else ()
            tables.append(table._replace(rows=tuple(table.rows[n] for n in keep), levels=levels))
    told = report._replace(findings=findings, tables=tuple(tables))
    pairs = [(size, size) for size in _sizes(after, made.names)]
    again = guard(before, after, pairs, made.names)
    # What was walked before them may have changed, so this is said of these seams alone.
    of = "Seams of {}: ".format(_listed(made.names))
    tables = tuple(table._replace(title=table.title.replace("Seams: ", of, 1)) for table in again.tables)
    return told.then(again._replace(tables=tables))


def _sizes(pattern: Pattern, names: Sequence[str]) -> List[str]:
    drawn: Set[str] = {size for name in names for size in pattern.piece(name).sizes}
    return [size for size in pattern.sizes if size in drawn] or [""]
