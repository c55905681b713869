"""Notches put on edges and on the edges sewn to them, moved, renamed, redrawn, taken off."""

from sewkit.checks.notch_words import notch_report
from sewkit.operation import Choice, Count, Flag, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.notch_edited import edit_notches
from sewkit.pattern.notch_found import APART, CHANGE, MATCH, MOVE, PUT, REMOVE, RENAME, SETTLE, Asked
from sewkit.pattern.notch_work import match_notches, move_notches, put_notches, settle_notches, tell_apart
from sewkit.pattern.pattern import Pattern

ACTIONS = {
    "put": "Put notches on an edge",
    "move": "Move notches to another place",
    "remove": "Take notches off",
    "rename": "Call notches otherwise",
    "change": "Change number or form",
    "match": "Put partners, or move them to where they meet",
    "settle": "Moved by hand: where they are drawn is right",
    "apart": "Tell look-alike edges apart",
}

LOOKS = {
    "auto": "As it is; a new one is a slit",
    "slit": "Slit: a short cut from the cut edge in",
    "wedge-out": "Triangle that stands out of the cut edge",
    "wedge-in": "V cut into the allowance",
    "cross": "T: a slit with a line across its end",
}

EASES = {
    "auto": "Shared by evenly spaced ones, else as ends",
    "ends": "Partners keep their distance from the nearer end",
    "between": "All of it between the first and the last of these",
    "even": "Spread evenly over the seam",
}


@operation(
    title="Put notches",
    menu="Marks",
    select="Select the pieces, points on an outline, or the notches to change; or nothing for every piece.",
    example=(
        'sewkit notch samples/waistcoat/master.svg -o notched.svg --edge front/side --at "60mm -60mm" '
        "--form wedge-out"
    ),
)
def notch(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice("What to do", "", ACTIONS) = "put",
    edge: Text("Edge", "such as side or front/side; a number on a bare outline") = "",
    at: Text("Places", "from its upper or left end: 120mm 40% waist -25mm") = "",
    evenly: Count("How many evenly spaced", "", 0, 50) = 0,
    which: Text("Which notches", "their names; empty: all of the edge") = "",
    called: Text("Called", "new names; empty: numbers") = "",
    count: Count("Side by side", "1 to 3; 0: by custom, an old one as it is", 0, 3) = 0,
    form: Choice("Form", "", LOOKS) = "auto",
    ease: Choice("Ease of the seam", "where the partner comes", EASES) = "auto",
    partner: Flag("On the edge sewn to it as well", "the partners too") = True,
) -> Outcome:
    """Put notches on an edge and on the edges sewn to it, in the number and form you like.

    Places count from the upper end of the edge, on one that runs across from its left end, and as
    sewn, with darts closed. -25mm counts from the other end, 40% is a share; a level or a notch is
    known by its name. Points that you select are places too. Evenly spaced ones lie between two
    places, or on the whole edge.

    The partner gets the same name. Outside the outermost notches that both edges have, it is as far
    from the end where the pieces meet; between two of them at the same share; without any, as far
    from the nearer end. To mark where ease begins and ends give both places, all ease between them.
    By custom a front has single notches, a back double and a centre back three; a sleeve or a
    facing has as many as what it is sewn to. Changing neither number nor form gives old ones the
    number of custom.

    A notch is square to the seam line, drawn from the cut edge or, without an allowance, on the
    seam line. What is cut in ends an eighth of an inch (3.2 mm) before the stitch line. Every later
    change draws it anew in its form.

    To put partners gives lone notches theirs; partners of an edge or of names given move to where
    they meet. Settle takes the place where a notch was drawn by hand as right.

    Look-alike edges are seams of one length on which a piece would fit a wrong partner too. To tell
    them apart puts one notch on each but one, or two, at places that differ by 12 mm.
    """
    asked = Asked(edge.strip(), at, evenly, which, called, count, form, ease, partner)
    work = {
        PUT: put_notches,
        MOVE: move_notches,
        MATCH: match_notches,
        SETTLE: settle_notches,
        APART: tell_apart,
        REMOVE: edit_notches,
        RENAME: edit_notches,
        CHANGE: edit_notches,
    }
    done = work[action](pattern, chosen, asked._replace(action=action))
    return Outcome(done.pattern, notch_report(pattern, done, action))
