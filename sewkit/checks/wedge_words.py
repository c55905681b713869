"""A wedge, as one would say it at the table."""

from typing import List, Sequence

from sewkit.checks.spread_words import BENT
from sewkit.geometry.path import Path
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash, strays
from sewkit.pattern.spans import grain_axis, runs_across
from sewkit.pattern.wedge_made import WedgeMade
from sewkit.pattern.wedge_solved import step_of
from sewkit.pattern.wedging import spot
from sewkit.report import Change, Finding, Level
from sewkit.units import in_both

# More than this is seldom only a hollow back (mm); common practice, no source.
_MUCH = 25.0

# An edge changes by what was asked, within this (mm).
_ASKED = 0.05

# A step of an edge that shows on paper (mm).
_STEPS = 1.0

# A step drawn over less than this many times itself bends the edge by more than a corner's 12
# degrees (an S is half again as steep as its chord), so that it is worth a word from a fifth of
# a millimetre on.
_STEEP = 7.0
_STEEP_STEPS = 0.2

# A step of more than this changes the edge's shape and not only its line (mm); common practice, no source.
_STEPS_MUCH = 10.0

# A part that leans less than this keeps its grain (degrees).
_LEANS = 0.05

_QUESTIONS = (
    "Before you take out at a back, ask: do the wrinkles stop before the side seam, is there room "
    "enough at the hip, is the waist level in front? Otherwise it may be no hollow back."
)


def sentence(name: str, wedges: Sequence[WedgeMade], amount: float) -> str:
    """What was done to one piece, in one size or in many."""
    made = wedges[0]
    text = "{} {} {} of '{}', nothing at the {}.".format(
        in_both(amount), _done(amount), _edge(made.edge), name, _edge(made.hinge)
    )
    if made.fold is not None:
        return text + " The fold stays straight; {} mm of width are given back at the end of the {}.".format(
            _range([one.fold.sliver for one in wedges if one.fold is not None]), _edge(made.fold.at)
        )
    turned = _range([abs(one.wedge.angle) for one in wedges])
    return text + " One part turns by {} degrees about the hinge.".format(turned)


def label(name: str, made: WedgeMade, amount: float) -> Change:
    """What the picture says, where the wedge lies."""
    x, y = spot(made.old, made.wedge.opening)
    text = "{} {}".format(in_both(amount), "let in" if amount > 0 else "taken out")
    return Change(name, text, (float(x), float(y)))


def wedge_findings(piece: Piece, made: WedgeMade, where: str) -> List[Finding]:
    """Grain that leans, a fold that bends, much taken out, and the questions to ask before."""
    found = []
    amount, angle = made.wedge.amount, abs(made.wedge.angle)
    if made.fold is None and angle > _LEANS:
        text = "{}: the part that turned leans {:.1f} degrees from the grain.".format(where, angle)
        found.append(Finding("grain-leans", Level.INFO, text, piece.name))
        if made.edge in piece.folds:
            text = ("{}: '{}' is bent by {:.1f} degrees and cannot lie on a fold; cut a seam there.").format(
                where, made.edge, angle
            )
            found.append(Finding("fold-bent", Level.WARN, text, piece.name))
    if made.fold is not None:
        text = (
            "{}: {:.1f} mm of width are given back at the end of '{}', where the turned part would lack them."
        )
        found.append(
            Finding("sliver", Level.INFO, text.format(where, made.fold.sliver, made.fold.at), piece.name)
        )
    change = made.outline.as_sewn(made.edge) - made.old.as_sewn(made.edge)
    if abs(change - amount) > _ASKED:
        text = "{}: '{}' changed by {:+.2f} mm and not by {:+.2f}; compare it with what it is sewn to."
        found.append(
            Finding("not-as-asked", Level.WARN, text.format(where, made.edge, change, amount), piece.name)
        )
    found += _step_findings(piece, made, where)
    if amount < -_MUCH:
        text = "{}: more than 25 mm taken out is seldom only a hollow back; sew a test garment first."
        found.append(Finding("much", Level.WARN, text.format(where), piece.name))
    front = "front" in piece.name
    if amount < 0 and not front and not runs_across(made.old, made.edge, grain_axis(piece, made.old.size)):
        found.append(Finding("ask-first", Level.INFO, _QUESTIONS, piece.name))
    return found


def bent_findings(piece: Piece, made: WedgeMade, line: Path) -> List[Finding]:
    """That the drawn line was not straight between the edge and the hinge: the wedge is."""
    ends = [spot(made.old, place) for place in (made.wedge.opening, made.wedge.hinge)]
    away = strays(Slash(made.wedge.opening, made.wedge.hinge, Path.through(ends)), line)
    if away <= BENT:
        return []
    text = "{}: the drawn line is bent by {:.1f} mm; the wedge runs straight from the edge to the hinge."
    return [Finding("line-bent", Level.INFO, text.format(piece.name, away), piece.name)]


def _step_findings(piece: Piece, made: WedgeMade, where: str) -> List[Finding]:
    """By how much the edge steps where the wedge lies aslant to it, and over how many mm that is drawn."""
    if made.fold is not None:
        return []
    step = step_of(made.old, made.wedge, piece.name)
    size, steep = abs(step.out), step.over < _STEEP * abs(step.out)
    if size < (_STEEP_STEPS if steep else _STEPS):
        return []
    text = (
        "{}: '{}' steps {} by {:.1f} mm at the wedge, which lies aslant to it, drawn softly over {:.0f} mm{}"
    )
    look = (
        "; more has no room there, so draw the edge anew."
        if steep
        else "; look at it, and draw it anew if need be."
    )
    level = Level.WARN if steep or size > _STEPS_MUCH else Level.INFO
    way = "out" if step.out > 0 else "in"
    return [
        Finding("edge-steps", level, text.format(where, made.edge, way, size, step.over, look), piece.name)
    ]


def _range(values: Sequence[float]) -> str:
    return " to ".join(dict.fromkeys("{:.1f}".format(value) for value in (min(values), max(values))))


def _done(amount: float) -> str:
    return "let in at the" if amount > 0 else "taken out at the"


def _edge(name: str) -> str:
    return "edge {}".format(name) if name.isdigit() else name
