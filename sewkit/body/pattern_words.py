"""What a pattern calls its edges, levels and pieces, as far as a fit plan has to know them."""

from typing import Mapping, NamedTuple, Optional, Tuple

from sewkit.body.measures import known_measure, plain_words

# Names of levels for one measure, beside the measure's own: what patterns print at the bust.
_BUSTS = ("full bust", "chest", "high bust")


class PatternWords(NamedTuple):
    """Names; a piece or edge that a pattern has not is left empty.

    Args:
        side, hem, front_edge, centre_back, armhole: edges.
        fronts, backs, facings, sleeves: pieces.
        sleeve_levels: down the sleeve: cap's foot, elbow, wrist.
        side_lies_left: on the fronts' hems, the end at the side lies left on the sheet.
        front_width: of a front at the waist, from front edge to side seam (mm), in the size
            that is made; 0 where nobody measured it.
    """

    side: str = "side"
    hem: str = "hem"
    front_edge: str = "front-edge"
    centre_back: str = "centre-back"
    armhole: str = "armhole"
    fronts: Tuple[str, ...] = ("front",)
    backs: Tuple[str, ...] = ("back",)
    facings: Tuple[str, ...] = ("front-facing",)
    sleeves: Tuple[str, ...] = ()
    sleeve_levels: Tuple[str, ...] = ()
    side_lies_left: bool = True
    front_width: float = 0.0


def level_for(levels: Mapping[str, float], measure: str) -> Optional[str]:
    """The pattern's own name for the level of a measure, or None.

    >>> level_for({"bust": 200.0, "hips": 620.0}, "chest"), level_for({"hips": 620.0}, "seat")
    ('bust', 'hips')
    """
    known = known_measure(measure)
    wanted = {plain_words(measure)}
    if known is not None:
        wanted |= {known.name, known.twin}
    if wanted & set(_BUSTS):
        wanted |= set(_BUSTS)
    for name in levels:
        there = known_measure(name)
        if (there.name if there is not None else plain_words(name)) in wanted:
            return name
    return None
