"""Check everything, draw what was found, and keep the lengths as they are."""

from typing import Dict, List, Sequence, Tuple

from sewkit.checks.baseline import baseline_tables
from sewkit.checks.everything import Part, everything, pieces_of
from sewkit.checks.findings_drawn import drawn_findings, numbered
from sewkit.checks.moved_by_hand import taken_over
from sewkit.checks.seams_match import seam_table
from sewkit.errors import InputError
from sewkit.operation import Choice, Flag, Outcome, operation
from sewkit.pattern.baseline_text import lengths_of, read_baseline, write_baseline
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report, Table
from sewkit.sheet.printed_pattern import as_printed
from sewkit.sheet.scale import verdict, witnesses

# The hip on which an error of the scale is told (mm).
_HIP = 1000.0


@operation(
    title="Check everything",
    menu="Pattern",
    select="Select the pieces to check, or lines of one size; nothing checks the whole pattern.",
    example="sewkit check samples/bodice/master.svg -o found.svg",
    preview=False,
    beside=True,
    told=True,
    answers=True,
)
def check(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {
            "show": "Check, and draw what was found",
            "hide": "Take away what was drawn",
            "keep": "Keep all lengths as they are, for later checks",
        },
    ) = "show",
    notes: Flag("Notes too", "also what is worth knowing and nothing to mend") = False,
) -> Outcome:
    """Go through the whole pattern and list everything that is not as it should be.

    In this order: what could not be read, scale, names, outlines closed and free of crossings, sizes
    in order, seams, notches, darts, corners at seam ends and folds, grain, allowance, marks, what
    laps over, how many are cut and of what, pieces that follow others, and edges that were moved by
    hand. Each finding says where it is and the smallest thing that mends it; what is the same in many
    sizes is told once.

    What is to be looked at or stops the scissors is drawn on a layer of its own, called Sewkit findings:
    a square for stop, a triangle for look, with the number under which it stands in the report. The next
    check draws it anew; hide takes it away. Nothing is changed in the pieces.

    The length of every edge stands in the drawing with its name and is written anew by whatever changes
    it here. So an edge that was moved with the editor's own tools is found, with its partner and the
    cut line that it left behind. Keep writes all lengths as they are now into the drawing; later checks
    then say how each seam was before you began, and which edges have changed since; what was moved by
    hand is then taken as it is. On the command line a folder may be checked: every drawing in it, with
    one line each.
    """
    if action == "hide":
        told = "What was drawn is taken away." if pattern.shown else "Nothing was drawn."
        return Outcome(pattern._replace(shown=()) if pattern.shown else pattern, Report(told))
    if action == "keep":
        return _kept(pattern, chosen)
    _refuse_nothing(pattern)
    sizes = _sizes(pattern, chosen)
    parts = _of_chosen(pattern, everything(pattern, sizes, *_scale(pattern)), chosen)
    findings = [finding for part in parts for finding in part.findings]
    told_findings = numbered(findings, pattern, Level.INFO if notes else Level.WARN)
    drawn = drawn_findings(told_findings, pattern)
    good = [part.title.lower() for part in parts if part.worst <= Level.PASS]
    if not any(piece.named for piece in pattern.pieces):
        good = [title for title in good if title in _OF_BARE_LINES]
    if good:
        told_findings.append(Finding("checked", Level.PASS, "Nothing amiss: {}.".format(", ".join(good))))
    tables = _tables(pattern, parts, sizes, chosen)
    report = Report(_summary(pattern, findings), tuple(told_findings), tables, lines=tuple(sizes[:1]) * 2)
    return Outcome(pattern._replace(shown=drawn), report)


def _refuse_nothing(pattern: Pattern) -> None:
    if not pattern.pieces and not pattern.problems:
        raise InputError(
            "There is no piece in this drawing, so there is nothing to check.",
            "Name a piece first: sewkit name.",
            code="choice",
        )


def _sizes(pattern: Pattern, chosen: Chosen) -> Tuple[str, ...]:
    """The sizes to check: those of the lines that were picked, else all."""
    picked = {one.size for one in chosen.outlines}
    whole = pattern.sizes or ("",)
    named = tuple(size for size in whole if size)
    if not picked or "" in picked:
        return named or ("",)
    return tuple(size for size in named if size in picked) or ("",)


def _scale(pattern: Pattern) -> Tuple[Tuple[Finding, ...], bool]:
    """What test squares and rulers in the drawing prove; nothing where there are none."""
    told = verdict(witnesses(as_printed(pattern)), _HIP)
    if not told.table.rows:
        return (), False
    if told.level <= Level.PASS:
        return (), True
    cure = "Look at it with sewkit scale, which can scale the whole drawing."
    found = (Finding("scale", told.level, told.sentence), *told.findings)
    texts = dict.fromkeys(f.text.replace(" on page 1", "") for f in found if f.level > Level.INFO)
    return tuple(Finding("scale", told.level, text, cure=cure) for text in texts), False


def _of_chosen(pattern: Pattern, parts: Sequence[Part], chosen: Chosen) -> List[Part]:
    """Only what is about the pieces that were picked."""
    names = {one.piece for one in chosen.outlines}
    if not names:
        return list(parts)
    # Lines without names are all picked where nothing else is there, also those that cannot be read.
    names |= {problem.piece for problem in pattern.problems if not any(p.named for p in pattern.pieces)}
    return [
        part._replace(findings=tuple(f for f in part.findings if names & {f.where, *pieces_of(f.where)}))
        for part in parts
    ]


# What can be said of lines that nobody has named.
_OF_BARE_LINES = ("the drawing", "scale", "outlines closed and simple")


def _summary(pattern: Pattern, findings: Sequence[Finding]) -> str:
    counts = {level: sum(f.level is level for f in findings) for level in Level}
    named = [piece for piece in pattern.pieces if piece.named]
    broken = {problem.piece for problem in pattern.problems if not problem.healed}
    what = "{} piece{}".format(len(named), "" if len(named) == 1 else "s")
    bare = len(pattern.pieces) - len(named)
    if bare and not named:
        what = "No named piece, {} line{} without a name".format(bare, "" if bare == 1 else "s")
    if broken:
        what += " and {} that cannot be read".format(len(broken))
    if counts[Level.FAIL]:
        many = counts[Level.FAIL]
        text = "{} thing{} to mend before cutting".format(many, "" if many == 1 else "s")
        text += ", {} to look at.".format(counts[Level.WARN]) if counts[Level.WARN] else "."
    elif counts[Level.WARN]:
        text = "{} thing{} to look at, none that stops you.".format(
            counts[Level.WARN], "" if counts[Level.WARN] == 1 else "s"
        )
    elif any(finding.code == "no-seam" for finding in findings):
        text = "What could be checked is as it should be; no seam is known yet."
    elif not named:
        text = "They are lines only: name pieces and edges, and seams, notches and the rest can be checked."
    else:
        text = "Everything is as it should be."
    return "{} checked. {}".format(what, text)


def _tables(
    pattern: Pattern, parts: Sequence[Part], sizes: Sequence[str], chosen: Chosen
) -> Tuple[Table, ...]:
    bad = [part for part in parts if part.worst > Level.PASS]
    rows = tuple((part.title, _found(part)) for part in bad)
    overview = Table("What was found", ("check", "found"), rows, tuple(part.worst for part in bad))
    names = {one.piece for one in chosen.outlines}
    part = pattern
    if names:
        seams = tuple(s for s in pattern.seams if names & {ref.piece for ref in s.refs})
        part = pattern._replace(seams=seams)
    overviews = (overview,) if rows else ()
    return (*overviews, *seam_table(part, sizes), *baseline_tables(pattern, sizes))


def _found(part: Part) -> str:
    counts: Dict[Level, int] = {}
    for finding in part.findings:
        counts[finding.level] = counts.get(finding.level, 0) + 1
    told = [(Level.FAIL, "to mend"), (Level.WARN, "to look at"), (Level.INFO, "to know")]
    words = ["{} {}".format(counts[level], text) for level, text in told if counts.get(level)]
    return ", ".join(words)


def _kept(pattern: Pattern, chosen: Chosen) -> Outcome:
    """The pattern with its lengths kept; of pieces that were picked alone only theirs are kept anew."""
    names = tuple(dict.fromkeys(one.piece for one in chosen.outlines))
    now = lengths_of(pattern, names)
    if not now:
        raise InputError(
            "There is no named piece whose lengths could be kept.", "Name the pieces first.", code="name"
        )
    kept = read_baseline(pattern.baseline) if names else {}
    kept = {key: length for key, length in kept.items() if key[0] not in names}
    kept.update(now)
    edges = len({key[:2] for key in now})
    sizes = len({key[2] for key in now})
    text = "The lengths of {} edges{} are kept; later checks tell what has changed since."
    summary = text.format(edges, " in {} sizes".format(sizes) if sizes > 1 else "")
    taken, notes = taken_over(pattern, names)
    return Outcome(taken._replace(baseline=write_baseline(kept)), Report(summary, notes))
