"""A body: who it is, and the measures that somebody took of it."""

from typing import Mapping, NamedTuple, Optional, Tuple

from sewkit.body.measures import known_measure

# Below this height somebody is taken for a child where nothing is said (mm): about the
# height at ten, and the least that adults' charts begin with (common practice, no source).
CHILD_HEIGHT = 1400.0

# Up to this age the rules for children's clothing count (years; EN 14682).
CHILD_AGE = 14.0


class Body(NamedTuple):
    """One person's measures.

    Args:
        who: the name, or initials.
        measures: by name, in mm; two readings of one measure are averaged.
        given: the same as they were written, by name, with their unit.
        notes: what was told when the sheet was read: guessed units, mixed units, unknown names.
        child: whether this is a child; see ``cautions``.
        fits: what the body needs, in words, one need each: "full stomach", "front length +3 cm".
        age: in years; None where nobody said.
        apart: how far two readings of one measure lie apart (mm), by name.
        confirmed: somebody has looked at the doubtful numbers and stands by them.
        sheet: the name of a fit sheet that the row refers to; empty where there is none.
        faults: what could not be read, one sentence each; such a body is held.
        row: the line of the table it stands in, counted from 1; 0 where it is no table.
    """

    who: str
    measures: Mapping[str, float]
    given: Mapping[str, str] = {}
    notes: Tuple[str, ...] = ()
    child: bool = False
    fits: Tuple[str, ...] = ()
    age: Optional[float] = None
    apart: Mapping[str, float] = {}
    confirmed: bool = False
    sheet: str = ""
    faults: Tuple[str, ...] = ()
    row: int = 0

    def of(self, name: str) -> Optional[float]:
        """A measure in mm by any of its names; None where it was not taken.

        A hip serves where a seat is asked for, a full bust where a chest is, and the other
        way round: each pair is one measure, as women's and men's charts call it.
        """
        if name in self.measures:
            return self.measures[name]
        known = known_measure(name)
        if known is None:
            return None
        found = self.measures.get(known.name)
        return found if found is not None else self.measures.get(known.twin)
