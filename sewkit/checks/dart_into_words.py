"""What became of a dart that is none any more, as one would say it at the table."""

from typing import List, Optional, Sequence

import numpy as np

from sewkit.checks.cuts import PRESSED
from sewkit.pattern.dart import Dart
from sewkit.pattern.dart_eased import Span
from sewkit.pattern.dart_flared import Flared
from sewkit.pattern.dart_folded import Folded
from sewkit.pattern.dart_gone import DartGone
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import CENTRE, DOWN, SIDE, UP
from sewkit.report import Change, Finding, Level
from sewkit.units import in_both

# So much can be eased in of a hundred mm of seam: firm cloth takes the first, loose wool the
# second (common practice, no source).
EASE_FIRM, EASE_MOST = 6.0, 10.0

# Gathers: 1.5 to 1 is light, 2 to 1 usual, 3 to 1 for sheer cloth (trade texts agree).
GATHERS_LEAST, GATHERS_MOST = 1.5, 3.0

# So much less than was asked is told (mm).
_ROOM = 0.05

# A limit itself is still inside; so much of a number is rounding.
_ROUNDING = 1e-6


# Where a fold is laid if the intake behind it lies to a side.
_LAID = {CENTRE: SIDE, SIDE: CENTRE, UP: DOWN, DOWN: UP}


def rate(span: Span, before: float = 0.0) -> float:
    """How many mm are eased into a hundred mm of seam; without a bound where no seam is left.

    ``before``: the ease (mm) that the seam had already, spread evenly over all of it.
    """
    if span.sewn <= 0:
        return float("inf")
    return 100.0 * (span.amount / span.sewn + before / span.whole)


def span_words(span: Span, gathers: bool) -> str:
    """The words that stand on the piece."""
    if gathers:
        return "gather {:.0f} mm to {:.0f} mm".format(span.cloth, span.sewn)
    return "ease in {:.0f} mm".format(span.amount)


def span_sentence(
    piece: str, outline: Outline, dart: Dart, span: Span, names: Sequence[str], gathers: bool
) -> str:
    """What was done to one piece, for ease and gathers; ``outline``: with the dart gone."""
    between = "between the notches {} and {}".format(names[0], names[len(span.shares) - 1])
    edge = quoted(outline, span.edge)
    if gathers:
        text = (
            "The dart '{}' of '{}' is gathers now: {} is gathered from {:.1f} to {:.1f} mm {}, {:.2g} to 1."
        )
        return text.format(dart.name, piece, edge, span.cloth, span.sewn, between, span.ratio)
    text = "The dart '{}' of '{}' is ease now: {} is eased into {}, over {:.1f} mm {}."
    return text.format(dart.name, piece, in_both(span.amount), edge, span.cloth, between)


def span_findings(
    piece: str,
    outline: Outline,
    span: Span,
    gathers: bool,
    paired: bool,
    where: str,
    before: float = 0.0,
) -> List[Finding]:
    """Whether so much can be eased in or gathered there; and whether a seam knows of it.

    ``before``: the ease that the seam had already (mm).
    """
    found = []
    edge = quoted(outline, span.edge)
    much = rate(span, before)
    if not gathers and much > EASE_FIRM + _ROUNDING:
        level = Level.WARN if much > EASE_MOST + _ROUNDING else Level.INFO
        amount = "{:.1f} mm of ease in 100 mm".format(much) if span.sewn > 0 else "all of the seam as ease"
        amount += ", with the {:.1f} mm that the seam had before".format(before) if before > 0 else ""
        text = "{}: {} gets {}; firm cloth takes {:g}, loose cloth {:g}{}."
        cure = ": gather it, or turn a part of the dart elsewhere first" if level == Level.WARN else ""
        found.append(
            Finding("ease-much", level, text.format(where, edge, amount, EASE_FIRM, EASE_MOST, cure), piece)
        )
    if gathers and not GATHERS_LEAST - _ROUNDING <= span.ratio <= GATHERS_MOST + _ROUNDING:
        ratio = "{:.2f} to 1".format(span.ratio) if span.sewn > 0 else "to nothing"
        text = "{}: {} is gathered {}; 1.5 to 1 is light, 2 to 1 usual, 3 to 1 for sheer cloth."
        found.append(Finding("gathers", Level.WARN, text.format(where, edge, ratio), piece))
    if not paired:
        text = "{}: {} is sewn to nothing yet, so no seam keeps the {:.1f} mm; pair it with that much ease."
        found.append(Finding("unpaired", Level.INFO, text.format(where, edge, span.amount), piece))
    return found


def flare_sentence(piece: str, made: Flared, dart: Dart) -> str:
    """What was done to one piece, for flare."""
    turn = made.turn
    left = next((s.then for s in turn.turned.spokes if s.name == dart.name and s.now > 0), 0.0)
    rest = "; {:.1f} degrees stay in the dart".format(left) if left > 0 else ""
    return "The dart '{}' of '{}' is flare now: {:.1f} degrees open at {}, which is {} wider{}.".format(
        dart.name,
        piece,
        turn.angle,
        quoted(made.gone.outline, made.gone.edge),
        in_both(made.gone.gained),
        rest,
    )


def room_findings(
    piece: str, outline: Outline, span: Span, asked: Optional[float], where: str
) -> List[Finding]:
    """That less of the seam was there than was asked for (mm)."""
    if asked is None or span.sewn >= asked - _ROOM:
        return []
    text = "{}: {:g} mm of seam were asked, and {} has room for {:.1f} mm beside its ends and darts."
    return [
        Finding(
            "no-room", Level.WARN, text.format(where, asked, quoted(outline, span.edge), span.sewn), piece
        )
    ]


def fold_words(made: Folded, kind: str) -> str:
    """The words that stand on the piece."""
    stitched = ", stitched {:.0f} mm".format(made.long) if kind == "tuck" else ""
    return "{} {:.0f} mm{}, intake {}".format(kind, made.depth, stitched, PRESSED[made.side])


def fold_sentence(piece: str, made: Folded, dart: Dart, kind: str) -> str:
    """What was done to one piece, for pleat and tuck."""
    how = "stitched for {:.0f} mm" if kind == "tuck" else "with folds of {:.0f} mm"
    text = (
        "The dart '{}' of '{}' is a {} now: it takes up {}, {}; its intake lies {}, for the fold is laid {}, "
        "as the arrow shows; {} keeps its length."
    )
    return text.format(
        dart.name,
        piece,
        kind,
        in_both(made.depth),
        how.format(made.long),
        PRESSED[made.side],
        PRESSED[_LAID[made.side]],
        quoted(made.outline, made.edge),
    )


def fold_findings(piece: str, made: Folded, kind: str, where: str) -> List[Finding]:
    """A top that could not be drawn as it lies in the folds."""
    if made.capped:
        return []
    text = "{}: the edge beside the {} does not reach over it, so its top is cut straight across."
    return [Finding("cap", Level.WARN, text.format(where, kind), piece)]


def step_findings(gone: DartGone, piece: str, where: str) -> List[Finding]:
    """An edge that steps where it was opened, for want of room."""
    if not gone.step:
        return []
    text = (
        "{}: {} steps aside by {:.1f} mm where it was opened, for a corner or a dart is too near for a "
        "softer line: open it nearer to below the pivot, or draw it softly yourself."
    ).format(where, quoted(gone.outline, gone.edge), gone.step)
    spot = gone.between.start
    return [Finding("step", Level.WARN, text, piece, (float(spot[0]), float(spot[1])))]


def lost_findings(gone: DartGone, piece: str, where: str) -> List[Finding]:
    """Marks that went with the dart."""
    if not gone.lost:
        return []
    text = "{}: {} of its marks belonged to the dart that is gone and were left out: {}.".format(
        where, len(gone.lost), ", ".join(dict.fromkeys(gone.lost))
    )
    return [Finding("mark-gone", Level.INFO, text, piece)]


def change_at(piece: str, text: str, spot: np.ndarray) -> Change:
    """What the picture says at a spot (2,)."""
    return Change(piece, text, (float(spot[0]), float(spot[1])))
