"""What a wedge did to a mark, as far as somebody who sews by it should know."""

from typing import List

import numpy as np

from sewkit.pattern.mark import DART, DRILL, FOLD, INNER, LABEL, LENGTHEN, LEVEL, NOTE, OVERLAY, Mark
from sewkit.pattern.piece import Piece
from sewkit.pattern.wedge_made import WedgeMade
from sewkit.report import Finding, Level

# Less of a line (mm) than this is not missed, and a slant or a step of less cannot be seen.
_SEEN = 0.5

_WORDS = {
    DART: "dart",
    DRILL: "drill hole",
    FOLD: "fold mark",
    INNER: "inner line",
    LABEL: "label",
    LENGTHEN: "lengthen line",
    LEVEL: "level",
}


def mark_findings(piece: Piece, mark: Mark, made: WedgeMade) -> List[Finding]:
    """What to tell of one mark: it lay in the cloth taken out, has a step, or slants now."""
    if mark.kind in (OVERLAY, NOTE):
        return []
    followed = made.follow(mark)
    where = "{} size {}".format(piece.name, mark.size) if mark.size else piece.name
    what = "{}: the {}".format(where, _WORDS.get(mark.kind, mark.kind))
    what += " '{}'".format(mark.name) if mark.name else ""

    def told(code: str, level: Level, text: str, *numbers: float) -> Finding:
        return Finding(code, level, what + text.format(*numbers), piece.name)

    found = []
    if followed.laid:
        text = " lay in the cloth taken out; it lies on the closed line now, where it went out."
        found.append(told("mark-taken-out", Level.WARN, text))
    elif followed.gone > _SEEN:
        text = " ends at the wedge now: {:.1f} mm of it lay in the cloth taken out."
        found.append(told("mark-taken-out", Level.WARN, text, followed.gone))
    if followed.step > _SEEN:
        text = " has a step of {:.1f} mm where the wedge was closed, because it met the wedge aslant."
        found.append(told("mark-steps", Level.WARN, text, followed.step))
    if followed.slant > _SEEN and followed.mark is not None and followed.mark.path is not None:
        wide = float(np.hypot(*(followed.mark.path.end - followed.mark.path.start)))
        text = " slants by {:.1f} mm over {:.0f} mm now: the cloth slid at the fold, not at the other edge."
        found.append(told("level-slants", Level.INFO, text, followed.slant, wide))
    if followed.off > _SEEN:
        text = " ends up to {:.1f} mm off its edge now; draw its legs to the edge and true its mouth."
        found.append(told("dart-off-edge", Level.WARN, text, followed.off))
    return found


def own_notch_findings(piece: Piece, mark: Mark) -> List[Finding]:
    """That a notch which served all sizes is one for each size now."""
    text = "{}: the notch{} on '{}' served all sizes; each has its own now, as it moved in some."
    name, edge = " '{}'".format(mark.name) if mark.name else "", mark.on.edge if mark.on else ""
    return [Finding("own-notches", Level.INFO, text.format(piece.name, name, edge), piece.name)]
