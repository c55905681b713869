"""What smoothing has to tell: where which line moved by how much, and where it was refused."""

from typing import Callable, Dict, Iterable, List, NamedTuple, Sequence, Tuple

from sewkit.checks.seam_ends import drawn_kinks
from sewkit.checks.told_by_size import size_words, told_by_size
from sewkit.pattern.joined_edges import Joint
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.recut import shown
from sewkit.report import Change, Finding, Level, Table

# Up to so many sizes each has its rows; of more, those of one place share one.
_EACH_SIZE = 3


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


class LeftAlone(NamedTuple):
    """A place at which nothing is to be done: what it is called, of which pieces, in which size, and why."""

    what: str
    pieces: Tuple[str, ...]
    size: str
    why: str


# Why a place is left alone.
RUNS_ON, AS_MEANT = "run on as they are", "are corners that are taken as meant"

_ONE = {RUNS_ON: "runs on as it is", AS_MEANT: "is a corner that is taken as meant"}

# So many places that are left alone are named; the table of the check has all.
_NAMED = 6


def left_sentence(alone: Sequence[LeftAlone], sizes: Sequence[str]) -> str:
    """The places that were looked at and left alone, by name; empty where there are none."""
    parts = []
    for why in (RUNS_ON, AS_MEANT):
        groups: Dict[str, List[str]] = {}
        for one in alone:
            if one.why == why:
                name = "{} of {}".format(one.what, " and ".join(one.pieces))
                groups.setdefault(name, []).append(one.size)
        names = [name + _in_sizes(own, sizes) for name, own in list(groups.items())[:_NAMED]]
        more = " and {} more".format(len(groups) - _NAMED) if len(groups) > _NAMED else ""
        if names:
            count = sum(one.why == why for one in alone)
            parts.append(
                "{} {}: {}{}.".format(count, why if count > 1 else _ONE[why], "; ".join(names), more)
            )
    return " ".join(parts)


def _in_sizes(own: Sequence[str], every: Sequence[str]) -> str:
    known = [size for size in dict.fromkeys(own) if size]
    return " in " + size_words(known, every) if known else ""


def sentence(places: Sequence[SmoothedPlace], looked_at: int, applied: bool) -> str:
    """What was done, or would be, and how far a line moved at most."""
    done = [place for place in places if not place.kept]
    left = len(places) - len(done)
    if not looked_at:
        return "There is no seam, fold or kink to look at; nothing was changed."
    if not places:
        return "Nothing is to be smoothed: all {} places looked at run on as they are.".format(looked_at)
    if not done:
        return "{} of {} places do not run on smoothly, and none was changed.".format(left, looked_at)
    worst = max(done, key=lambda place: place.most)
    how = (
        "were smoothed; the line that moved most did so"
        if applied
        else "can be smoothed; the line that moves most would do so"
    )
    text = "{} of {} places {} by {:.1f} mm, at {}{}.".format(
        len(done), looked_at, how, worst.most, worst.what, _of(worst)
    )
    if len(done) == 1:
        text = text.replace("places were smoothed", "places was smoothed", 1)
    return text + (
        " {} not smooth yet.".format("One is" if left == 1 else "{} are".format(left)) if left else ""
    )


def _of(place: SmoothedPlace) -> str:
    size = " in size {}".format(place.size) if place.size else ""
    return " of {}{}".format(" and ".join(place.pieces), size)


def place_table(places: Sequence[SmoothedPlace], sizes: Sequence[str], applied: bool) -> Tuple[Table, ...]:
    """One row a place: the angle before and after, and how far each line moved; ``sizes``: all there are."""
    done = [place for place in places if not place.kept]
    if not done:
        return ()
    moved = "moved" if applied else "would move"
    columns = ("place", "size", "angle", "becomes", "{} mm".format(moved), "corner {} mm".format(moved))
    groups: Dict[str, List[SmoothedPlace]] = {}
    for place in done:
        groups.setdefault("{} of {}".format(place.what, " and ".join(place.pieces)), []).append(place)
    rows: List[Tuple[str, ...]] = []
    for name, some in groups.items():
        split = [[place] for place in some] if len(some) <= _EACH_SIZE else [some]
        rows += [_row(name, part, sizes) for part in split]
    return (Table("Smoothed" if applied else "To be smoothed", columns, tuple(rows)), _by_piece(done, moved))


def _row(name: str, some: Sequence[SmoothedPlace], every: Sequence[str]) -> Tuple[str, ...]:
    """One row for a place in one or in many sizes: from the least to the most."""
    sizes = list(dict.fromkeys(place.size for place in some))
    shown_sizes = sizes[0] if len(sizes) == 1 else size_words(sizes, every).split(" ", 1)[1]
    away = [_from_to([place.away[n] for place in some], 2) for n in range(len(some[0].away))]
    slid = [place.slid for place in some if place.slid]
    angles = _from_to([place.total for place in some], 1), "{:.0f}".format(some[0].meant)
    return (name, shown_sizes or "-", *angles, " / ".join(away), _from_to(slid, 2) if slid else "-")


def _from_to(numbers: Sequence[float], decimals: int) -> str:
    ends = ["{:.{}f}".format(number, decimals) for number in (min(numbers), max(numbers))]
    return " to ".join(dict.fromkeys(ends))


def _by_piece(done: Sequence[SmoothedPlace], moved: str) -> Table:
    """How far a line of each piece and size moved at most."""
    most: Dict[Tuple[str, str], float] = {}
    for place in done:
        for arm, far in zip((place.joint.first, place.joint.second), place.away):
            if far or place.slid:  # a piece that does not give way stays
                key = (arm.piece, arm.size)
                most[key] = max(most.get(key, 0.0), far, abs(place.slid))
    rows = tuple((piece, size or "-", "{:.2f}".format(far)) for (piece, size), far in most.items())
    return Table("Moved at most", ("piece", "size", "{} mm".format(moved)), rows)


def kept_findings(pattern: Pattern, places: Sequence[SmoothedPlace]) -> List[Finding]:
    """The places that were not smoothed, and why; a piece's sizes together."""
    found: Dict[str, List[Finding]] = {}
    for place in places:
        if place.kept:
            arm = place.joint.first
            where = shown(pattern.piece(arm.piece), place.size)
            text = "{}: {} at ({:.0f}, {:.0f}) mm {}.".format(
                where, place.what, *place.joint.spot, place.kept
            )
            name = "{}/{}".format(arm.piece, arm.edge)
            cure = "Allow more (sewkit smooth --most), or draw it by hand."
            if "wavers" in place.kept:
                cure = "Give it more reach (sewkit smooth --reach), or draw it by hand."
            if "gives way" in place.kept:
                cure = "Let both give way (sewkit smooth --gives both), or the other one."
            one = Finding("not-smoothed", Level.WARN, text, name, place.joint.spot, cure)
            found.setdefault(arm.piece, []).append(one)
    return [one for name, some in found.items() for one in told_by_size(some, pattern.piece(name))]


def left_darts(
    pattern: Pattern, mine: Iterable[Tuple[str, str]], means: Callable[[str], bool]
) -> List[Finding]:
    """The kinks at darts that are only drawn: no line can be bent there before they are cut in.

    Args:
        mine: pieces and sizes that may change.
        means: whether an edge, written piece/edge, was asked for.
    """
    found: List[Finding] = []
    allowed = set(mine)
    for piece in pattern.pieces:
        sizes = [outline.size for outline in piece.outlines if (piece.name, outline.size) in allowed]
        kinks = [one for size in sizes for one in drawn_kinks(piece, size) if means(one.where)]
        # What this step leaves as it was is no reason to stop here; the check says how bad it is.
        milder = [one._replace(level=min(one.level, Level.WARN)) for one in kinks]
        found += told_by_size(milder, piece)
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
