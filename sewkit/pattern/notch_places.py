"""Where a notch sits after length was let into its edge, or taken out of it.

A notch marks a spot of the cloth, so it goes with the cloth on its side of the opening: it
keeps its distance from the end of the edge that lies on the same side.
"""

from typing import NamedTuple, Optional, Sequence

from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.notch import distance_from_start, redrawn
from sewkit.pattern.outline import Outline


class Gain(NamedTuple):
    """Length let into an edge at one spot, or taken out behind it.

    ``at``: the distance (mm, as sewn) from the edge's start on the outline as it was;
    ``amount``: mm, below 0 where length was taken out.
    """

    edge: str
    at: float
    amount: float


def moved(mark: Mark, old: Outline, new: Outline, gains: Sequence[Gain]) -> Optional[Mark]:
    """A notch on the changed outline, drawn as a tick on its seam line.

    What lies exactly at an opening stays with the start of the edge.  A notch within a stretch
    that was taken out goes to where it was taken out.  None where its edge is gone or has become
    too short for it; a mark that is no notch comes back as it is.
    """
    if mark.kind != NOTCH or mark.on is None:
        return mark
    if mark.on.edge not in old.names or mark.on.edge not in new.names:
        return None
    return redrawn(mark._replace(on=_shifted(mark.on, old, gains)), new)


def _shifted(on: On, old: Outline, gains: Sequence[Gain]) -> On:
    """The same spot of the cloth, counted from the same end as before."""
    spot = distance_from_start(old, on)
    mine = sorted(gain for gain in gains if gain.edge == on.edge and gain.amount)
    before = [gain for gain in mine if gain.at < spot - SAME_POINT]
    # Each stretch taken out swallows what lay on it, and no more.
    lost = sum(max(gain.at - gain.amount - spot, 0.0) for gain in before if gain.amount < 0)
    passed = sum(gain.amount for gain in before) + lost
    # Only what was let in on the way to its end changes a distance; so nothing is rounded in vain.
    change = sum(gain.amount for gain in mine) - passed if on.from_end else passed
    return on._replace(distance=on.distance + change) if change else on
