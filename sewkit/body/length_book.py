"""How much longer or shorter a body is than a pattern, band by band; the bands sum to the whole.

What was measured comes first: the back waist length for the bodice, the hip depth for the
band below it.  What was not goes by the body's height against the height drafted for.
Most then lands in the legs and least in the armhole, as in a published example: of 8 cm
five below, two and a half in torso and arms, half a centimetre in armhole and cap.
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Tuple

from sewkit.body.body import Body
from sewkit.body.pattern_words import PatternWords, level_for
from sewkit.body.planned_step import PlannedStep, place
from sewkit.body.size_chart import SizeChart
from sewkit.body.sizing import Sizing, value_at
from sewkit.units import write_number

# Length changes below this are not made (mm); common practice, no source.
LEAST = 5.0

# What differs by less is rounding (mm).
_SAME = 1e-6

# Of what a bodice grows, the part above the armhole's floor: 0.5 of 0.5 + 2.5 in the example.
_ARMHOLE = 1.0 / 6.0

# The hip follows a measured waist by this part of what lies between bust and waist, where
# nobody measured it (common practice, no source).
_HIP = 0.5

# A line through the armhole lies so far above the bust level (mm), where the armhole's floor
# is not known: the bust is measured 25 below it, and 70 higher the armhole is straight.
_ABOVE_FLOOR, _BUST_BELOW_FLOOR = 70.0, 25.0

ARMHOLE, TORSO, HIP_BAND, SKIRT, BELOW_WAIST = (
    "armhole",
    "bust to waist",
    "waist to hip",
    "below the hip",
    "below the waist",
)
CAP, UPPER_ARM, FOREARM = "sleeve cap", "upper arm", "forearm"


class Band(NamedTuple):
    """How much longer (mm) a part of the body or the sleeve is, and from what that is known."""

    name: str
    amount: float
    why: str


class LengthBook(NamedTuple):
    """All bands.

    Args:
        bands: down the body.
        sleeve: down the arm.
        told: what to say of them.
        before: the length of the pattern from nape to hem (mm); 0 where it is not known.
    """

    bands: Tuple[Band, ...] = ()
    sleeve: Tuple[Band, ...] = ()
    told: Tuple[str, ...] = ()
    before: float = 0.0

    @property
    def total(self) -> float:
        """How much longer the body is in all (mm)."""
        return sum(band.amount for band in self.bands)

    def amount(self, name: str) -> float:
        """Of one band (mm); 0 where there is none."""
        return sum(band.amount for band in (*self.bands, *self.sleeve) if band.name == name)


def length_book(sizing: Sizing, chart: SizeChart, body: Body, levels: Mapping[str, float]) -> LengthBook:
    """The bands of one body.

    Args:
        levels: heights of the pattern's levels along the grain (mm), downwards, by name; with
            nape and hem the whole length is known.
    """
    height = body.of("height")
    ratio = height / chart.drafted_height if height and chart.drafted_height > 0 else 0.0
    waist, hip = level_for(levels, "waist"), level_for(levels, "hip")
    nape, hem = levels.get("nape"), levels.get("hem")
    back = _more(sizing, chart, body, "back waist length")
    bands: List[Band] = []
    measured = back is not None
    if back is None and ratio and waist is not None:
        drafted = _drafted(sizing, chart, "back waist length")
        if drafted is None and nape is not None:
            drafted = levels[waist] - nape
        back = None if drafted is None else (ratio - 1.0) * drafted
    by_height = "by the height of {:.0f} cm, drafted for {:.0f}".format(
        (height or 0.0) / 10, chart.drafted_height / 10
    )
    if back is not None:
        bands += _bodice(back, bool(ratio), "measured from nape to waist" if measured else by_height)
    if ratio:
        below = _below(body, levels, waist, hip, ratio, back if measured else None, by_height)
        if below and nape is not None and hem is not None:
            # The last band takes what is left, so that the sum is exact.
            rest = (ratio - 1.0) * (hem - nape) - sum(band.amount for band in (*bands, *below[:-1]))
            below[-1] = below[-1]._replace(amount=rest)
        bands += below
    arm = _more(sizing, chart, body, "arm length")
    sleeve = _sleeve(arm, sum(band.amount for band in bands if band.name == ARMHOLE))
    whole = hem - nape if nape is not None and hem is not None else 0.0
    return LengthBook(tuple(bands), sleeve, tuple(_small((*bands, *sleeve))), whole)


def _drafted(sizing: Sizing, chart: SizeChart, measure: str) -> Optional[float]:
    """A length of the body for which the size that leads was drafted (mm)."""
    values = chart.values(measure)
    return None if values is None else value_at(values, sizing.lead.number)


def _more(sizing: Sizing, chart: SizeChart, body: Body, measure: str) -> Optional[float]:
    length, drafted = body.of(measure), _drafted(sizing, chart, measure)
    return None if length is None or drafted is None else length - drafted


def _bodice(back: float, whole: bool, why: str) -> List[Band]:
    """The bodice's bands: the armhole takes its part only where the whole body is known to be taller."""
    armhole = back * _ARMHOLE if whole else 0.0
    if abs(armhole) < LEAST - _SAME:
        return [Band(TORSO, back, why)]
    return [Band(ARMHOLE, armhole, why), Band(TORSO, back - armhole, why)]


def _below(
    body: Body,
    levels: Mapping[str, float],
    waist: Optional[str],
    hip: Optional[str],
    ratio: float,
    back: Optional[float],
    why: str,
) -> List[Band]:
    """The bands below the waist as far as the pattern reaches."""
    hem = levels.get("hem")
    if waist is None or (hem is not None and hem <= levels[waist]):
        return []
    if hip is None or (hem is not None and hem <= levels[hip]):
        return [] if hem is None else [Band(BELOW_WAIST, (ratio - 1.0) * (hem - levels[waist]), why)]
    depth = body.of("hip depth")
    drafted = levels[hip] - levels[waist]
    if depth is not None:
        found = [Band(HIP_BAND, depth - drafted, "measured from waist to hip")]
    elif back is not None:
        torso = back * (1.0 - _ARMHOLE)
        found = [Band(HIP_BAND, torso * _HIP, "half of what lies between bust and waist")]
    else:
        found = [Band(HIP_BAND, (ratio - 1.0) * drafted, why)]
    return found if hem is None else [*found, Band(SKIRT, (ratio - 1.0) * (hem - levels[hip]), why)]


def _sleeve(arm: Optional[float], armhole: float) -> Tuple[Band, ...]:
    """The cap goes with the armhole; upper arm and forearm share the rest."""
    if arm is None:
        return (Band(CAP, armhole, "as the armhole"),) if armhole else ()
    half = (arm - armhole) / 2.0
    why = "measured from shoulder to wrist"
    cap = (Band(CAP, armhole, "as the armhole"),) if armhole else ()
    return (*cap, Band(UPPER_ARM, half, why), Band(FOREARM, half, why))


def _small(bands: Tuple[Band, ...]) -> List[str]:
    small = [band for band in bands if 0.05 < abs(band.amount) < LEAST - _SAME]
    if not small:
        return []
    parts = ["{} {:+.1f} cm".format(band.name, band.amount / 10) for band in small]
    return ["Length changes under {:g} mm are not made: {}.".format(LEAST, ", ".join(parts))]


# -- the steps --------------------------------------------------------------------------


def length_steps(
    book: LengthBook, levels: Mapping[str, float], words: PatternWords
) -> Tuple[List[PlannedStep], List[str]]:
    """The steps that make the bands, and what could not be made, one sentence each."""
    each: Dict[str, float] = {}
    whys: List[str] = []
    skipped: List[str] = []
    for band in book.bands:
        if abs(band.amount) < LEAST - _SAME:
            continue
        at = _place(band.name, levels)
        if at is None:
            text = "{} should be {:+.1f} cm, but the pattern has no level to do it at."
            skipped.append(text.format(_capital(band.name), band.amount / 10))
            continue
        each[at] = band.amount
        whys.append("{} {:+.1f} cm ({})".format(band.name, band.amount / 10, band.why))
    steps = [_lengthen(each, (), "; ".join(whys))] if each else []
    arm = [band for band in book.sleeve if abs(band.amount) >= LEAST - _SAME]
    if arm and words.sleeves:
        places = _sleeve_places(words)
        told = "; ".join("{} {:+.1f} cm ({})".format(band.name, band.amount / 10, band.why) for band in arm)
        if places:
            steps.append(_lengthen({places[band.name]: band.amount for band in arm}, words.sleeves, told))
        else:
            skipped.append("The sleeve is not made longer, for its levels have no names: {}.".format(told))
    return steps, skipped


def _lengthen(each: Mapping[str, float], pieces: Tuple[str, ...], why: str) -> PlannedStep:
    text = _capital(why) + "."
    if len(each) == 1:
        at, amount = next(iter(each.items()))
        return PlannedStep("lengthen", {"amount": _short(amount) + " mm", "at": at}, pieces, text)
    told = " ".join("{}={}".format(at, _short(amount)) for at, amount in each.items())
    return PlannedStep("lengthen", {"each": told}, pieces, text)


def _place(band: str, levels: Mapping[str, float]) -> Optional[str]:
    """Where a band is cut apart: half-way between two levels, or half-way to the hem."""
    bust, waist, hip = (level_for(levels, name) for name in ("full bust", "waist", "hip"))
    if band == ARMHOLE and bust is not None:
        floor = levels.get("armhole", levels[bust] - _BUST_BELOW_FLOOR)
        return place(bust, floor - _ABOVE_FLOOR - levels[bust])
    if band == TORSO and waist is not None:
        return "{}/{}".format(bust, waist) if bust is not None else None
    if band == HIP_BAND and waist is not None and hip is not None:
        return "{}/{}".format(waist, hip)
    above = hip if band == SKIRT else waist
    if band in (SKIRT, BELOW_WAIST) and above is not None and "hem" in levels:
        return place(above, (levels["hem"] - levels[above]) / 2.0)
    return None


def _sleeve_places(words: PatternWords) -> Dict[str, str]:
    if len(words.sleeve_levels) != 3:
        return {}
    cap, elbow, wrist = words.sleeve_levels
    return {
        CAP: place(cap, -_ABOVE_FLOOR),
        UPPER_ARM: "{}/{}".format(cap, elbow),
        FOREARM: "{}/{}".format(elbow, wrist),
    }


def _short(amount: float) -> str:
    return write_number(round(amount, 3))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
