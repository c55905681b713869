"""Left and right made different."""

from typing import Dict, List, Tuple

from sewkit.checks.unfold_words import both_sides_walked, stale_findings
from sewkit.errors import InputError
from sewkit.operation import Choice, Length, Outcome, find, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedOutline
from sewkit.pattern.cut_list import how_cut
from sewkit.pattern.folding import ALIKE
from sewkit.pattern.follow_text import parse_follow
from sewkit.pattern.grain_copy import centre_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.sides_alike import unlike
from sewkit.pattern.sides_apart import Sides, apart, pair_of, together, with_sides
from sewkit.pattern.unfolded_piece import fold_meant
from sewkit.pattern.wearer_side import without_side
from sewkit.report import Change, Finding, Level, Report, gathered

APART, TOGETHER = "apart", "together"
_AUTO = "auto"

# Words that say how many are cut of a pair.
_STALE = r"\bcut \d"


@operation(
    title="Left and right apart",
    menu="Pieces",
    select="Select the pieces that shall be different on both sides, or nothing for all.",
    example="sewkit sides samples/waistcoat/master.svg -o sides.svg --piece front",
    beside=True,
)
def sides(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {APART: "Apart: a left and a right piece", TOGETHER: "Together: one pair again, if both are alike"},
    ) = APART,
    drawn: Choice(
        "The piece that is drawn",
        "of the wearer",
        {
            _AUTO: "As it lies, right side of the cloth up",
            "left": "Is the left one",
            "right": "Is the right one",
        },
    ) = _AUTO,
    gap: Length("Gap between both", "free between the left and the right one", 1, 1000) = 20.0,
) -> Outcome:
    """Make a left and a right piece of a pair, so that one side can be changed alone.

    Of a piece that is cut as a pair come two, such as front-left and front-right, each cut once,
    right side of the cloth up. Left is the wearer's left. The one that was drawn stays as it is to
    the last digit, the other one is its mirror image and laid beside it. Seams are there for both
    sides, and all sizes of the piece are taken apart. After that any operation changes the one that
    is selected.

    A piece on the fold has no left and right to take apart: it is unfolded, so that the edges of one side,
    such as side-left, can be changed alone.

    Together makes one pair of both again, if they still are mirror images within 0.05 mm, notches
    and marks too; else you are told where they differ.
    """
    if action == TOGETHER:
        return _together(pattern, chosen)
    pairs, folded = _meant(pattern, chosen)
    after, reports = pattern, []
    if folded:
        after, report = _unfolded(after, folded, drawn)
        reports.append(report)
    told: Dict[str, str] = {}
    for piece in sorted(pairs, key=lambda one: bool(one.follows)):
        # What follows a piece was cut out of the same side of it.
        same = next((told[name] for name in _parents(piece) if name in told), "")
        made = apart(piece, same or ("" if drawn == _AUTO else drawn), gap, after.pieces)
        told[piece.name] = made.drawn.side
        after = with_sides(after, made)
        reports.append(_told(pattern, piece, made))
    names = [p.name for p in after.pieces if p not in pattern.pieces]
    return Outcome(after, gathered([*reports, both_sides_walked(pattern, after, names)]))


def _parents(piece: Piece) -> Tuple[str, ...]:
    """The pieces that a piece follows; none where that cannot be read, which its check tells."""
    try:
        return parse_follow(piece.follows).parents if piece.follows else ()
    except InputError:
        return ()


def _meant(pattern: Pattern, chosen: Chosen) -> Tuple[List[Piece], List[Piece]]:
    """The pairs, and the pieces on the fold."""
    pairs: List[Piece] = []
    folded: List[Piece] = []
    for piece in chosen.pieces(pattern):
        if not piece.named or not piece.outlines:
            if chosen.outlines and not piece.named:
                raise InputError("'{}' has no name yet.".format(piece.name), "Name it first.", code="name")
            continue
        whole = bool(piece.side or piece.unfolded)
        if not whole and fold_meant(piece, "") is not None:
            folded.append(piece)
        elif not whole and (chosen.outlines or "mirrored" in how_cut(piece, piece.outlines[0])):
            pairs.append(piece)
        elif chosen.outlines:
            what = "'{}' is a piece of one side already." if piece.side else "'{}' is opened already."
            raise InputError(
                what.format(piece.name),
                "Change its edges as they are; left and right are apart.",
                code="choice",
            )
    if not pairs and not folded:
        raise InputError(
            "There is no pair and no piece on the fold here.", "Name the pieces first.", code="choice"
        )
    return pairs, folded


def _unfolded(pattern: Pattern, folded: List[Piece], drawn: str) -> Tuple[Pattern, Report]:
    names = [piece.name for piece in folded]
    picked = tuple((piece.name, piece.outlines[0].size) for piece in folded)
    choice = Chosen(tuple(PickedOutline(*one) for one in picked))
    outcome = find("unfold").function(pattern, choice, drawn=drawn)
    text = "{} {} on the fold and {} opened: a piece on the fold is alike on both sides.".format(
        " and ".join("'{}'".format(name) for name in names),
        *(("lies", "is") if len(names) == 1 else ("lie", "are")),
    )
    finding = Finding("unfolded", Level.INFO, text, names[0])
    told = [one for one in outcome.report.findings if one.code != "seam"]  # walked again in the end
    report = outcome.report._replace(findings=(finding, *told), tables=())
    return outcome.pattern, report


def _told(pattern: Pattern, piece: Piece, made: Sides) -> Report:
    drawn, other = made.drawn, made.other
    summary = (
        "'{}' is '{}' and '{}' now, each cut {}; the one that was drawn is the wearer's {}, "
        "right side of the cloth up."
    ).format(
        piece.name,
        drawn.name,
        other.name,
        "once" if drawn.cut == 1 else "{} times".format(drawn.cut),
        drawn.side,
    )
    findings = stale_findings(pattern, drawn, _STALE)
    if not made.sure:
        text = "It is not to be seen which side of '{}' is drawn; it was taken for the {} one.".format(
            piece.name, drawn.side
        )
        cure = "Say so where that is wrong."
        findings.append(Finding("side", Level.WARN, text, drawn.name, cure=cure))
    middle = centre_of(other.outlines[0].path)
    change = Change(other.name, "new, mirrored", (float(middle[0]), float(middle[1])))
    return Report(summary, tuple(findings), changes=(change,))


def _together(pattern: Pattern, chosen: Chosen) -> Outcome:
    done: List[str] = []
    after = pattern
    for piece in chosen.pieces(pattern):
        if without_side(piece.name) in done and piece.side:
            continue
        if not piece.side and not chosen.outlines:
            continue
        kept, other = pair_of(after, piece)
        found = unlike(kept, other, ALIKE)
        if found:
            raise InputError(
                "'{}' and '{}' are not alike: {}.".format(kept.name, other.name, found[0].text),
                "Leave them apart, or mend that first.",
                code="differ",
            )
        after = together(after, kept, other)
        done.append(without_side(piece.name))
    if not done:
        raise InputError("There are no left and right pieces here.", "Select one of them.", code="choice")
    words = ", ".join("'{}'".format(name) for name in done)
    summary = "{} {} one pair again.".format(words, "is" if len(done) == 1 else "are")
    return Outcome(after, Report(summary).then(both_sides_walked(pattern, after, done)))
