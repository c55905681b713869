"""Wearing ease: how much wider than the body a woven garment has to be, and how a given ease is judged.

Ease is the finished garment less the body, seam allowances, darts and pleats not counted.
A maker's own ease is the style; this here is what breathing, sitting and reaching need.
"""

from typing import NamedTuple, Optional, Tuple

from sewkit.body.measures import known_measure

# Traffic lights: within what is wanted; usable but to be looked at; not to be cut on.
GREEN, AMBER, RED = "green", "amber", "red"

# Half a millimetre of a tape's reading is no difference.
_SAME = 0.5

_TEXTBOOK = "school textbook Clothing: Fashion, Fabrics, Construction"
_UNIVERSITY = "Central Washington University costume text, chapter 16"
_PRACTICE = "common practice, no source"


class WearingEase(NamedTuple):
    """Round the body, woven cloth, in mm.

    Args:
        measure: where.
        tight: less than this cannot be worn.
        least: less than this wants a look.
        usual: up to this is a close or fitted garment; more is the style's.
        source: of the numbers.
    """

    measure: str
    tight: float
    least: float
    usual: float
    source: str


# Inches of the sources: bust 1 1/2-2 and 2 1/2-4, waist 1/2-1, hip 2-2 3/4 (1 1/2 for a
# trousers' seat), thigh at least 1, a man's fitted shirt 1 1/2-2 1/2, upper arm about 2.
WEARING_EASE: Tuple[WearingEase, ...] = (
    WearingEase("full bust", 38.0, 50.0, 100.0, "{}; {}".format(_UNIVERSITY, _TEXTBOOK)),
    WearingEase("high bust", 38.0, 50.0, 100.0, "as for the full bust; " + _PRACTICE),
    WearingEase("chest", 38.0, 80.0, 120.0, _UNIVERSITY + "; from 80 mm " + _PRACTICE),
    WearingEase("waist", 13.0, 15.0, 40.0, "{}; {}".format(_UNIVERSITY, _TEXTBOOK)),
    WearingEase("hip", 38.0, 40.0, 65.0, "{}; {}".format(_UNIVERSITY, _TEXTBOOK)),
    WearingEase("seat", 38.0, 40.0, 65.0, "{}; {}".format(_UNIVERSITY, _TEXTBOOK)),
    WearingEase("upper arm", 25.0, 50.0, 70.0, "textbook rule of about 2 in; tight: " + _PRACTICE),
    WearingEase("thigh", 25.0, 40.0, 60.0, _UNIVERSITY + "; from 40 mm " + _PRACTICE),
    WearingEase("neck", 5.0, 10.0, 15.0, _PRACTICE),
)
_BY_NAME = {ease.measure: ease for ease in WEARING_EASE}


def wearing_ease(measure: str) -> Optional[WearingEase]:
    """What is needed at a measure by any of its names; None where nothing is known of it."""
    known = known_measure(measure)
    return None if known is None else _BY_NAME.get(known.name)


def ease_light(measure: str, ease: float, intended: Optional[float] = None) -> str:
    """``GREEN``, ``AMBER`` or ``RED`` for an ease (mm) at a measure.

    ``intended``: the maker's own ease.  Where the style has less than is needed, as a knit
    has, the style counts: green down to it, and red where as much is missing from it as lies
    between ``least`` and ``tight``.
    """
    bounds = _bounds(measure, intended)
    if bounds is None or ease >= bounds[0] - _SAME:
        return GREEN
    return AMBER if ease >= bounds[1] - _SAME else RED


def ease_words(measure: str, ease: float, intended: Optional[float] = None) -> str:
    """One sentence where an ease is less than is needed, empty where it is enough."""
    light, bounds = ease_light(measure, ease, intended), _bounds(measure, intended)
    if light == GREEN or bounds is None:
        return ""
    text = "The {} would have {:.1f} cm of ease, a little less than the {:.1f} cm it should have at least."
    if light == RED:
        text = "The {} would have {:.1f} cm of ease: too tight to wear, it needs {:.1f} cm at least."
    return text.format(measure, ease / 10, bounds[0] / 10)


def _bounds(measure: str, intended: Optional[float]) -> Optional[Tuple[float, float]]:
    """The least ease that is green, and that is amber (mm)."""
    wanted = wearing_ease(measure)
    if wanted is None:
        return None
    least, tight = wanted.least, wanted.tight
    if intended is not None and intended < least:
        return intended, min(tight, intended - (least - tight))
    return least, tight
