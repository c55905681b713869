"""Pleats in a part of an edge: how many of which width, and where their lines lie.

Flat length = sum of the visible widths + 2 depths per fold: a knife pleat has one fold, n (v + 2 p), a
box pleat two, n (v + 4 p).  60 cm finished with 10 knife pleats of 3 cm lie 120 cm flat.
"""

from typing import List, NamedTuple, Tuple

from sewkit.errors import InputError

KNIFE, BOX = "knife", "box"

# Two pleats this near (mm) lie fold to fold.
_SAME = 1e-6

# Less is not seen of a pleat (mm).
LEAST = 1.0

# Pleats fit whole where the width they leave agrees to this (mm).
_WHOLE = 0.05


class Line(NamedTuple):
    """A fold line (mm from the start of the part), and the line on which it comes to lie."""

    fold: float
    placed: float


class Pleats(NamedTuple):
    """Pleats in a part of an edge: ``visible`` is the width of each that is seen (mm).

    ``halved``: a row of box pleats begins and ends with half of one, so that no fold lies in a seam
    that crosses there.
    """

    kind: str
    count: int
    visible: float
    depth: float
    halved: bool = False

    @property
    def words(self) -> str:
        """How many of which kind: "4 knife pleats"."""
        return "{} {} pleat{}".format(self.count, self.kind, "" if self.count == 1 else "s")

    @property
    def taken(self) -> float:
        """What lies in the folds of one pleat (mm)."""
        return self.depth * (2.0 if self.kind == KNIFE else 4.0)

    @property
    def flat(self) -> float:
        """How long the part is on the cloth (mm)."""
        return self.count * (self.visible + self.taken)

    @property
    def finished(self) -> float:
        """How long it is when the pleats are laid (mm)."""
        return self.count * self.visible

    @property
    def lines(self) -> Tuple[Line, ...]:
        """All fold lines in order along the part."""
        found = []
        unit, half, deep = self.visible + self.taken, self.visible / 2.0, 2.0 * self.depth
        for number in range(self.count):
            start = number * unit
            if self.kind == KNIFE:
                found.append(Line(start + half, start + half + deep))
            elif self.halved:
                meet = start + half + deep
                found += [Line(start + half, meet), Line(meet + deep, meet)]
            else:
                fold = start + deep
                found += [Line(fold, start), Line(fold + self.visible, start + unit)]
        return tuple(found)

    @property
    def mouths(self) -> Tuple[Tuple[float, float], ...]:
        """From where to where cloth lies in the folds; what two box pleats have between them is one."""
        found: List[Tuple[float, float]] = []
        for line in self.lines:
            low, high = sorted(line)
            if found and low - found[-1][1] < _SAME:
                low = found.pop()[0]
            found.append((low, high))
        return tuple(found)


def planned(kind: str, flat: float, depth: float, count: int, visible: float) -> Pleats:
    """The pleats that fill a part of an edge, ``flat`` mm long.

    Args:
        count: how many; 0: as the visible width gives.
        visible: the width of each that is seen (mm); 0: what the number leaves.

    ``InputError`` where they do not fit whole, with the nearest that do.
    """
    taken = depth * (2.0 if kind == KNIFE else 4.0)
    if not count and not visible:
        raise InputError(
            "It is not said how many pleats.", "Give their number or the width that is seen.", code="value"
        )
    if count and not visible:
        visible = flat / count - taken
        if visible < LEAST:
            fit = int(flat / (taken + LEAST))
            raise InputError(
                "{} pleat{} of {:g} mm take {:.0f} mm, and the part is {:.1f} mm long.".format(
                    count, "" if count == 1 else "s", depth, count * taken, flat
                ),
                "{} fit, or take them less deep.".format(fit) if fit else "Take them less deep.",
                code="value",
            )
        return Pleats(kind, count, visible, depth)
    if visible < LEAST:
        raise InputError(
            "Of each pleat only {:g} mm would be seen.".format(visible), "Let more be seen.", code="value"
        )
    whole = count or max(int(round(flat / (visible + taken))), 1)
    if abs(whole * (visible + taken) - flat) > _WHOLE:
        raise _not_whole(flat, taken, visible)
    return Pleats(kind, whole, visible, depth)


def _not_whole(flat: float, taken: float, visible: float) -> InputError:
    """The two nearest possibilities: one pleat less and one more, with the widths they leave."""
    if visible + taken > flat:
        return InputError(
            "One such pleat takes {:.1f} mm, and the part is {:.1f} mm long.".format(visible + taken, flat),
            "Take it less deep.",
            code="value",
        )
    least = int(flat / (visible + taken))
    near = [count for count in (least, least + 1) if count > 0 and flat / count >= taken]
    told = " or ".join("{} with {:.1f} mm seen of each".format(n, flat / n - taken) for n in near)
    return InputError(
        "Pleats with {:g} mm seen of each do not fit whole into {:.1f} mm: {:.2f} would.".format(
            visible, flat, flat / (visible + taken)
        ),
        "Take {}.".format(told) if told else "Take them less deep.",
        code="value",
    )
