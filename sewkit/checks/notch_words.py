"""What was done with notches, told: which lies where in mm, on which piece, and on its partner."""

from typing import List, Tuple

from sewkit.checks.notch_on_dart import notch_on_dart_findings
from sewkit.checks.seams import guard
from sewkit.checks.told_by_size import told_by_size
from sewkit.pattern.edge_called import called
from sewkit.pattern.notch import spot_of
from sewkit.pattern.notch_as_sewn import from_ends
from sewkit.pattern.notch_form import SLIT
from sewkit.pattern.notch_found import APART, CHANGE, MATCH, MOVE, PUT, REMOVE, RENAME, SETTLE, Done, Told
from sewkit.pattern.pattern import Pattern
from sewkit.report import Change, Finding, Level, Report, Table

_VERBS = {
    PUT: "put",
    MOVE: "moved",
    REMOVE: "taken off",
    RENAME: "called otherwise",
    CHANGE: "changed",
    MATCH: "matched",
    SETTLE: "settled as drawn",
    APART: "put to tell edges apart",
}

# How many edges the summary names; the table has them all.
_NAMED = 4


def notch_report(before: Pattern, done: Done, action: str) -> Report:
    """Summary, table, findings, labels for the picture, and the seams walked before and after."""
    pattern = done.pattern
    findings = _missed(done) + _full(done) + (_pulled(done) if action == PUT else [])
    findings += [] if action == REMOVE else _at_darts(done)
    if not done.told:
        nothing = {
            SETTLE: "Every notch is drawn where its place says; nothing was changed.",
            MATCH: "No notch that is known to need a partner is without one; nothing was changed.",
            APART: "No look-alike edges were found that a notch would tell apart; nothing was changed.",
        }
        return Report(nothing.get(action, "Nothing was changed."), tuple(findings))
    where = before if action == REMOVE else pattern
    table = Table(
        "Notches " + _VERBS[action],
        ("notch", "piece", "size", "edge", "from its upper or left end mm", "from its other end mm", "as"),
        tuple(_row(where, one) for one in done.told),
    )
    sizes = list(dict.fromkeys(one.size for one in done.told))
    sizes = [size for size in sizes if size] or sizes  # a piece drawn once is sewn in each of the others
    names = {one.piece for one in done.told}
    seams = guard(before, pattern, [(size, size) for size in sizes], names)
    summary = Report(_summary(where, done, action), tuple(findings), (table,), _changes(where, done, action))
    return summary.then(seams)


def _summary(pattern: Pattern, done: Done, action: str) -> str:
    """How many, and where the first ones are in the first size."""
    edges = {}
    for one in done.told:
        if one.mark.on is not None and one.size == pattern.piece(one.piece).sizes[0]:
            edges.setdefault((one.piece, one.mark.on.edge), []).append(one)
    if not edges:  # sizes behind the first one alone
        for one in done.told:
            if one.mark.on is not None:
                edges.setdefault((one.piece, one.mark.on.edge, one.size), []).append(one)
    words = [_on_edge(pattern, marks) for marks in list(edges.values())[:_NAMED]]
    count = len(
        {(one.piece, one.mark.on.edge if one.mark.on else "", one.mark.name, one.size) for one in done.told}
    )
    text = "{} notch{} {}".format(count, "" if count == 1 else "es", _VERBS[action])
    more = " and more" if len(edges) > _NAMED else ""
    ends = ", from the upper or left end"
    return "{}: {}{}{}.".format(text, "; ".join(words), more, ends) if words else text + "."


def _on_edge(pattern: Pattern, told: List[Told]) -> str:
    """front/side 1 at 60.0 mm, 2 at 130.5 mm."""
    first = told[0]
    places = ["{} at {:.1f} mm".format(one.mark.name or "one", _distances(pattern, one)[0]) for one in told]
    size = " (size {})".format(first.size) if len(pattern.piece(first.piece).outlines) > 1 else ""
    return "{}{} {}".format(_edge(pattern, first), size, ", ".join(places))


def _edge(pattern: Pattern, one: Told) -> str:
    outline = pattern.piece(one.piece).outline(one.size)
    return "{}/{}".format(one.piece, called(outline, one.mark.on.edge if one.mark.on else ""))


def _distances(pattern: Pattern, one: Told) -> Tuple[float, float]:
    """From the upper or left end of its edge, and from the other (mm, as sewn)."""
    piece = pattern.piece(one.piece)
    outline = piece.outline(one.size)
    if one.mark.on is None or one.mark.on.edge not in outline.names:
        return 0.0, 0.0
    return from_ends(piece, outline, one.mark.on)


def _row(pattern: Pattern, one: Told) -> Tuple[str, ...]:
    outline = pattern.piece(one.piece).outline(one.size)
    near, far = ("{:.1f}".format(distance + 0.0) for distance in _distances(pattern, one))
    number = {1: "single", 2: "double", 3: "triple"}.get(one.mark.count, str(one.mark.count))
    name = one.mark.name or "-"
    if one.was is not None and one.was.name != one.mark.name:
        name = "{} (was {})".format(name, one.was.name or "without a name")
    drawn = "{} {}".format(number, one.mark.form or SLIT)
    edge = called(outline, one.mark.on.edge) if one.mark.on else "-"
    return name, one.piece, one.size or "(one)", edge, near, far, drawn


def _changes(pattern: Pattern, done: Done, action: str) -> Tuple[Change, ...]:
    """A label at every notch of each piece's first size that was dealt with."""
    first = {one.piece: one.size for one in reversed(done.told)}
    found = []
    for one in done.told:
        if one.mark.on is None or first[one.piece] != one.size:
            continue
        spot = spot_of(pattern.piece(one.piece).outline(one.size), one.mark.on)
        if spot is not None:
            text = "notch {}".format(one.mark.name).strip() + (" taken off" if action == REMOVE else "")
            found.append(Change(one.piece, text, (float(spot.point[0]), float(spot.point[1]))))
    return tuple(found)


def _missed(done: Done) -> List[Finding]:
    """Edges without a known seam, told once; seams on which no partner could be put."""
    found: List[Finding] = []
    for name, edge, _, why in dict.fromkeys((name, edge, "", why) for name, edge, _, why in done.missed):
        where = "{}/{}".format(name, edge)
        if why:
            text = "{} has no partner put on {}".format(where, why)
            found.append(Finding("notch-partner", Level.WARN, text, where))
        elif done.pattern.piece(name).named:
            text = "{} is sewn to nothing that is known, so no partner was put.".format(where)
            cure = "Say to what it is sewn (sewkit pair), then put the notch there with the same name."
            found.append(Finding("notch-partner", Level.INFO, text, where, None, cure))
    return found


def _pulled(done: Done) -> List[Finding]:
    """Notches that were there before under a new one's name, and were moved to meet it; once an edge."""
    found = {}
    for one in done.told:
        if one.was is None or one.was.on is None or one.mark.on is None or one.was.on == one.mark.on:
            continue
        where = "{}/{}".format(one.piece, one.mark.on.edge)
        text = "{}: notch {} was there already and moved to where it meets {}.".format(
            where, one.mark.name, one.partner
        )
        found[text] = Finding("notch-moved", Level.INFO, text, where)
    return list(found.values())


def _at_darts(done: Done) -> List[Finding]:
    """Notches that came to lie where a dart opens."""
    found: List[Finding] = []
    for name in dict.fromkeys(one.piece for one in done.told):
        piece = done.pattern.piece(name)
        mine = [one for one in done.told if one.piece == name]
        told = [f for one in mine for f in notch_on_dart_findings(piece, piece.outline(one.size), [one.mark])]
        found += told_by_size(told, piece)
    return found


def _full(done: Done) -> List[Finding]:
    return [
        Finding(
            "notch-alike",
            Level.WARN,
            "{} has no room for a notch that tells it from its look-alikes.".format(seam.name),
            str(seam.first[0]),
            None,
            "Write names on its edges, or put a double notch by hand.",
        )
        for seam in done.full
    ]
