"""What smoothing has to tell: where which line moved by how much, and where it was refused."""

from typing import Dict, List, NamedTuple, Sequence, Tuple

from sewkit.pattern.joined_edges import Joint
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.recut import shown
from sewkit.report import Change, Finding, Level, Table


class SmoothedPlace(NamedTuple):
    """One place that was smoothed, or that was not.

    Args:
        what: "neck over shoulder", "neck at the fold", "waist over its dart".
        size: of its first piece.
        joint: as it was.
        meant, total: the angle there as it should be and as it was, degrees.
        away: by how much (mm) the line of each arm moves at most; only one at a fold.
        slid: by how much (mm) the corner moves along the seam or fold.
        kept: why it was not done; empty where it was.
    """

    what: str
    size: str
    joint: Joint
    meant: float
    total: float
    away: Tuple[float, ...]
    slid: float
    kept: str = ""

    @property
    def pieces(self) -> Tuple[str, ...]:
        """The names of its pieces, each once."""
        return tuple(dict.fromkeys((self.joint.first.piece, self.joint.second.piece)))

    @property
    def most(self) -> float:
        """The furthest that a line moves (mm)."""
        return max(*self.away, abs(self.slid))


def sentence(places: Sequence[SmoothedPlace], looked_at: int, applied: bool) -> str:
    """What was done, or would be, and how far a line moved at most."""
    done = [place for place in places if not place.kept]
    left = len(places) - len(done)
    if not places:
        return "Nothing is to be smoothed: all {} places looked at run on as they are.".format(looked_at)
    if not done:
        return "{} of {} places do not run on smoothly, and none was changed.".format(left, looked_at)
    worst = max(done, key=lambda place: place.most)
    how = (
        "were smoothed; the line that moved most did so" if applied else "can be smoothed; the line that moves most would do so"
    )
    text = "{} of {} places {} by {:.1f} mm, at {}{}.".format(
        len(done), looked_at, how, worst.most, worst.what, _of(worst)
    )
    if len(done) == 1:
        text = text.replace("places were smoothed", "places was smoothed", 1)
    return text + (" {} stayed as they are.".format(_number(left)) if left else "")


def _number(count: int) -> str:
    return "One" if count == 1 else str(count)


def _of(place: SmoothedPlace) -> str:
    size = " in size {}".format(place.size) if place.size else ""
    return " of {}{}".format(" and ".join(place.pieces), size)


def place_table(places: Sequence[SmoothedPlace], applied: bool) -> Tuple[Table, ...]:
    """One row a place: the angle before and after, and how far each line moved."""
    done = [place for place in places if not place.kept]
    if not done:
        return ()
    moved = "moved" if applied else "would move"
    columns = ("place", "size", "angle", "becomes", "{} mm".format(moved), "corner {} mm".format(moved))
    rows = []
    for place in done:
        name = "{} of {}".format(place.what, " and ".join(place.pieces))
        away = " / ".join("{:.2f}".format(far) for far in place.away)
        slid = "{:.2f}".format(place.slid) if place.slid else "-"
        angles = "{:.1f}".format(place.total), "{:.0f}".format(place.meant)
        rows.append((name, place.size or "-", *angles, away, slid))
    return (Table("Smoothed" if applied else "To be smoothed", columns, tuple(rows)), _by_piece(done, moved))


def _by_piece(done: Sequence[SmoothedPlace], moved: str) -> Table:
    """How far a line of each piece and size moved at most."""
    most: Dict[Tuple[str, str], float] = {}
    for place in done:
        for arm, far in zip((place.joint.first, place.joint.second), place.away):
            key = (arm.piece, arm.size)
            most[key] = max(most.get(key, 0.0), far, abs(place.slid))
    rows = tuple((piece, size or "-", "{:.2f}".format(far)) for (piece, size), far in most.items())
    return Table("Moved at most", ("piece", "size", "{} mm".format(moved)), rows)


def kept_findings(pattern: Pattern, places: Sequence[SmoothedPlace]) -> List[Finding]:
    """The places that were not smoothed, and why."""
    found = []
    for place in places:
        if place.kept:
            arm = place.joint.first
            where = shown(pattern.piece(arm.piece), place.size)
            text = "{}: {} at ({:.0f}, {:.0f}) mm stays in an angle of {:.1f} degrees; {}.".format(
                where, place.what, *place.joint.spot, place.total, place.kept
            )
            name = "{}/{}".format(arm.piece, arm.edge)
            found.append(Finding("not-smoothed", Level.WARN, text, name, place.joint.spot))
    return found


def changes(places: Sequence[SmoothedPlace]) -> Tuple[Change, ...]:
    """Labels for the picture, one for each place in the first size that has it."""
    labels: Dict[Tuple[str, str], Change] = {}
    for place in places:
        if not place.kept:
            text = "{} {:.1f} mm".format(place.what, place.most)
            piece = place.joint.first.piece
            labels.setdefault((piece, place.what), Change(piece, text, place.joint.spot))
    return tuple(labels.values())
