"""Cautions for children's clothes, and for the sheets themselves; good practice, no legal advice.

The numbers are those of EN 14682 and 16 CFR 1120.3(b) (cords), of EN 14878, the Nightwear
(Safety) Regulations 1985 and 16 CFR 1615 and 1616 (nightwear), and of 16 CFR 1501 (small
parts).  They bind those who supply garments, each in its country; local rules go first.
"""

from typing import Tuple

from sewkit.body.body import CHILD_AGE, Body

# To be said in every report that holds a person's measures.
KEEP_SAFE = (
    "Measures are personal: keep these sheets in a closed folder, show them only to those who sew, "
    "and delete them when the person wishes."
)

# Up to here EN 14682 wants no cord at all at the neck: seven years, or 134 cm.
_YOUNG_AGE, _YOUNG_HEIGHT = 7.0, 1340.0

# Below this age small parts count as something to swallow (years; 16 CFR 1501), and the
# height of a child of three (mm; the designation of children's sizes by EN 13402-3).
_SMALL_PARTS_AGE, _SMALL_PARTS_HEIGHT = 3.0, 980.0

_LOCAL = "Local rules go first."


def cautions(body: Body) -> Tuple[str, ...]:
    """What to say beside a child's pieces; nothing for an adult."""
    if not body.child or (body.age is not None and body.age >= CHILD_AGE):
        return ()
    found = [_cords(body), _nightwear()]
    if _young(body, _SMALL_PARTS_AGE, _SMALL_PARTS_HEIGHT):
        found.append(
            "For a child under three: sew on buttons, bows and beads firmly, and use none that are small "
            "enough to swallow (16 CFR 1501). " + _LOCAL
        )
    return tuple(found)


def _young(body: Body, age: float, height: float) -> bool:
    """Whether a child is below an age; by its height where nobody said, and yes where that is missing."""
    if body.age is not None:
        return body.age < age
    tall = body.of("height")
    return tall is None or tall <= height


def _cords(body: Body) -> str:
    young = _young(body, _YOUNG_AGE, _YOUNG_HEIGHT)
    if young:
        rule = "no cords, ties or drawstrings at the hood or neck, and no ties behind the neck"
    else:
        rule = "no drawstrings with free ends at the hood or neck"
    return (
        "For a child: {}; keep cords at waist and hem short and without knots or toggles "
        "(EN 14682; 16 CFR 1120.3). {}".format(rule, _LOCAL)
    )


def _nightwear() -> str:
    return (
        "For a child's nightwear: ask for cloth that passes the flammability test of your country, and mind "
        "that loose, wide shapes catch fire first (EN 14878; BS 5722; 16 CFR 1615 and 1616). " + _LOCAL
    )
