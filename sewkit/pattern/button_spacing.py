"""Where the buttons of a row lie: between the first and the last, or so that one falls on a level.

    by_count(15.0, 472.2, 6)                    # 18 in and 6 buttons: 3.6 in apart
    by_anchor(15.0, 400.0, 180.0, 80.0)         # whole steps to the anchor, near to 80 mm
    by_count_at(Room(15.0, 400.0, 10.0, 490.0), 180.0, 6)       # six, one of them on the anchor

All distances are mm along the centre line from its top end.
"""

from typing import NamedTuple, Optional, Sequence, Tuple

from sewkit.errors import InputError

# No garment has more buttons in a row; a wrong scale would give thousands.
_MOST = 60

# Places agree to this (mm): rounding of a sum of steps.
_SAME = 1e-6


class Row(NamedTuple):
    """The places of the buttons in order, and how far apart they are (mm; 0 for a single one)."""

    places: Tuple[float, ...]
    spacing: float


class Room(NamedTuple):
    """Where a row is wished to begin and end, and the places beyond which no button has room (mm)."""

    first: float
    last: float
    top: float
    bottom: float


def by_count(first: float, last: float, count: int) -> Row:
    """So many buttons, evenly from the first to the last (mm): (last - first) / (n - 1).  ``InputError``."""
    if last < first - _SAME or (count > 1 and last - first < _SAME):
        raise _no_room(first, last)
    if count == 1:
        return Row((first,), 0.0)
    if count > _MOST:
        raise _too_many(count)
    step = (last - first) / (count - 1)
    return Row(tuple(first + step * number for number in range(count)), step)


def by_spacing(first: float, last: float, wished: float) -> Row:
    """Evenly from the first to the last (mm), as near to the wished spacing as whole numbers allow."""
    if last < first - _SAME:
        raise _no_room(first, last)
    return by_count(first, last, 1 + int(round((last - first) / wished)))


def by_anchor(first: float, last: float, anchor: float, wished: float) -> Row:
    """A button on the anchor: s = (anchor - first) / k, whole k, s nearest the wished spacing.

    The row goes on downwards as long as there is room above ``last``.  ``InputError`` for an anchor
    that does not lie between the two.
    """
    if not first + _SAME < anchor <= last + _SAME:
        raise InputError(
            "The anchor lies {:.0f} mm below the top end, and the row runs from {:.0f} to {:.0f} mm.".format(
                anchor, first, last
            ),
            "Name a level between the first and the last button.",
            code="value",
        )
    way = anchor - first
    least = max(int(way / wished), 1)
    steps = min((least, least + 1), key=lambda k: abs(way / k - wished))
    step = way / steps
    count = int((last - first + _SAME) / step) + 1
    if count > _MOST:
        raise _too_many(count)
    return Row(tuple(first + step * number for number in range(count)), step)


def by_count_at(room: Room, anchor: float, count: int) -> Row:
    """So many buttons, evenly, one on the anchor, first and last as near as can be to where they are wished.

    ``InputError`` where one of the two would lie further off than half a spacing, with the next
    fewer and the next more that fit.
    """
    if count > _MOST:
        raise _too_many(count)
    found = _anchored(room, anchor, count)
    if found is not None:
        return found
    fewer = (_anchored(room, anchor, number) for number in range(count - 1, 1, -1))
    more = (_anchored(room, anchor, number) for number in range(count + 1, _MOST + 1))
    near = [next(filter(None, rows), None) for rows in (fewer, more)]
    text = "{}, {:.1f} mm apart from {:.1f} to {:.1f} mm"
    fitting = [
        text.format(len(row.places), row.spacing, row.places[0], row.places[-1]) for row in near if row
    ]
    raise InputError(
        "With {} buttons and one {:.1f} mm below the top end the row cannot run from about {:.0f} to {:.0f} "
        "mm.".format(count, anchor, room.first, room.last),
        "Those that fit: {}; or let it begin or end elsewhere.".format(" or ".join(fitting))
        if fitting
        else "Let the row begin or end elsewhere, or name another level.",
        code="value",
    )


def _anchored(room: Room, anchor: float, count: int) -> Optional[Row]:
    """The row with a button on the anchor that ends nearest to the wish; None where none is near.

    With k steps above the anchor and m below it, s = (k A + m B) / (k^2 + m^2) makes the squares of
    both misses least: A, B from the anchor to the wished ends.
    """
    if not room.top - _SAME <= anchor <= room.bottom + _SAME:
        return None
    if count == 1:
        return Row((anchor,), 0.0)
    best, least = None, float("inf")
    for above in range(count):
        below = count - 1 - above
        step = above * (anchor - room.first) + below * (room.last - anchor)
        step /= float(above**2 + below**2)
        most = [
            way / steps for way, steps in ((anchor - room.top, above), (room.bottom - anchor, below)) if steps
        ]
        step = min([step, *most])
        off = (anchor - above * step - room.first, anchor + below * step - room.last)
        near = step > _SAME and max(map(abs, off)) <= step / 2.0 + _SAME
        if near and off[0] ** 2 + off[1] ** 2 < least:
            least = off[0] ** 2 + off[1] ** 2
            best = Row(tuple(anchor + step * number for number in range(-above, below + 1)), step)
    return best


def nearest_to(row: Row, spot: float) -> float:
    """How far the button nearest to a place lies from it (mm)."""
    return min(abs(place - spot) for place in row.places)


def spacing_of(places: Sequence[float]) -> float:
    """The mean spacing of an old row (mm); 0 for fewer than two buttons."""
    ordered = sorted(places)
    return (ordered[-1] - ordered[0]) / (len(ordered) - 1) if len(ordered) > 1 else 0.0


def _no_room(first: float, last: float) -> InputError:
    return InputError(
        "There is no room for a row: its last button would lie {:.0f} mm above its first.".format(
            first - last
        ),
        "Let it begin higher or end lower.",
        code="value",
    )


def _too_many(count: int) -> InputError:
    return InputError(
        "The row would have {} buttons.".format(count),
        "Wish for another spacing, or look at the scale of the drawing.",
        code="value",
    )
