"""Which size at which level of one body, with the numbers that the choice rests on.

Whole sizes, the nearest; half-way the larger.  A top goes by the high bust where the full
bust differs from it otherwise than the pattern was drafted for, since shoulders and
armholes go with the frame; the bust is then changed by itself.  Up to half a step outside
the chart is taken and told, more is held until somebody agrees.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.ease import AMBER, GREEN, RED, ease_light, ease_words
from sewkit.body.measures import GIRTH, known_measure
from sewkit.body.plausible import doubts
from sewkit.body.size_chart import OUTSIDE, SizeChart, exact_size
from sewkit.errors import InputError

# From this difference between the body's cup and the drafted one the high bust leads (mm):
# half of what one cup size of patterns spans (Texas extension, Principles of Pattern
# Alteration: by the high bust from 2 in over it, where 2 in is the drafted cup).
CUP_DIFFERS = 25.0

# More sizes than this between two neighbouring levels want another way than the side seam.
MOST_IN_A_TAPER = 3

# Numbers that differ by less are one (sizes; mm).
_SAME = 1e-6

SHOP_SIZES = (
    "Shop sizes are never used: pattern sizes usually stand one or several numbers above them, and every "
    "maker counts otherwise, so only measures say what fits."
)

BUSTS = ("full bust", "chest", "high bust")
# Where a body lies that is outside the chart, at its first size and at its last.
_BEYOND = {0: "below", -1: "beyond"}

# Down the body, for a taper along one seam.
_DOWN = (*BUSTS, "waist", "high hip", "hip", "seat")


class SizeAt(NamedTuple):
    """The size at one level; all lengths in mm.

    Args:
        measure: as the chart calls it.
        size: the whole size, or the two between which an in-between size lies, as "2-3".
        exact: where the body lies, counted in sizes from 1.
        number: the size that is made, counted in the same way.
        body: of the person.
        chart: of the body for which that size was drafted.
        finished: the garment; None where the chart does not tell.
        intended_ease: what the maker gives, finished less chart; None likewise.
        ease: what the person gets, finished less body; None likewise.
        light: green, amber or red.
        words: what there is to say of it, whole sentences; may be empty.
    """

    measure: str
    size: str
    exact: float
    number: float
    body: float
    chart: float
    finished: Optional[float]
    intended_ease: Optional[float]
    ease: Optional[float]
    light: str
    words: str

    @property
    def short(self) -> float:
        """By how much (mm) the garment has less ease than its maker meant; below 0 more."""
        return self.body - self.chart


class Sizing(NamedTuple):
    """The sizes of one body.

    Args:
        at: one for each girth that chart and body both have, down the body; others after.
        main: the measure that leads.
        cup: how much more the full bust stands out over the high one than drafted (mm).
        told: what to say of the whole, one sentence each, the amber ones among them.
        held: one sentence why nothing is made; empty where all is well.
        exact: whether in-between sizes are meant.
    """

    at: Tuple[SizeAt, ...]
    main: str
    cup: float
    told: Tuple[str, ...] = ()
    held: str = ""
    exact: bool = False

    def of(self, measure: str) -> Optional[SizeAt]:
        """The size at a measure by any of its names, or None."""
        known = known_measure(measure)
        names = (measure,) if known is None else (known.name, known.twin)
        return next((one for one in self.at if one.measure in names and one.measure), None)

    @property
    def lead(self) -> SizeAt:
        """The size that leads; ``InputError`` where nothing was found."""
        found = self.of(self.main)
        if found is None:
            raise InputError("There is no size: {}".format(self.held), code="sizing")
        return found

    @property
    def light(self) -> str:
        """The worst light of all levels."""
        lights = [one.light for one in self.at]
        return next((light for light in (RED, AMBER) if light in lights), GREEN)


def sizes_for(
    chart: SizeChart, body: Body, exact: bool = False, beyond: bool = False, lead: str = ""
) -> Sizing:
    """The size at every level.

    Args:
        exact: sizes in between, not the nearest whole ones.
        beyond: somebody agrees to a size more than half a step outside the chart.
        lead: the measure that leads, such as hip for trousers; "" for the usual one.

    ``InputError`` for a chart that does not rise.
    """
    held = next((doubt.text for doubt in doubts(body) if doubt.holds), "")
    if held:
        return Sizing((), "", 0.0, (), held, exact)
    exacts = _exacts(chart, body)
    if not exacts:
        held = "The sheet has none of the girths by which the chart goes: {}.".format(
            ", ".join(_girths(chart))
        )
        return Sizing((), "", 0.0, (), held, exact)
    far = [name for name, number in exacts.items() if _outside(chart, number) > OUTSIDE + _SAME]
    main, cup, told = _leading(chart, body, exacts, lead)
    if far and not beyond:
        return Sizing((), main, cup, (), _held(chart, body, exacts, far), exact)
    at = [_size_at(chart, body, name, exacts, main, exact, name in far) for name in exacts]
    told += [one.words for one in at if one.words]
    tapers = _tapers(at, main)
    told += tapers.values()
    at = [one._replace(light=AMBER) if one.measure in tapers and one.light == GREEN else one for one in at]
    return Sizing(tuple(at), main, cup, tuple(told), "", exact)


# -- the numbers ------------------------------------------------------------------------


def _girths(chart: SizeChart) -> List[str]:
    """The girths of a chart, down the body, the rest as they come."""
    found = []
    for name in chart.measures:
        known = known_measure(name)
        if known is not None and known.group == GIRTH:
            found.append(name)
    return sorted(found, key=lambda name: _DOWN.index(name) if name in _DOWN else len(_DOWN))


def _exacts(chart: SizeChart, body: Body) -> Dict[str, float]:
    """Where the body lies in sizes, for each girth that both have."""
    found: Dict[str, float] = {}
    for name in _girths(chart):
        length = body.of(name)
        if length is not None:
            found[name] = exact_size(chart, name, length)
    return found


def _outside(chart: SizeChart, exact: float) -> float:
    """How many steps a body lies outside the chart; 0 inside it."""
    return max(1.0 - exact, exact - len(chart.sizes), 0.0)


def _nearest(chart: SizeChart, exact: float) -> int:
    """The nearest whole size, counted from 1; half-way the larger."""
    return min(max(int(exact + 0.5 + _SAME), 1), len(chart.sizes))


def _leading(
    chart: SizeChart, body: Body, exacts: Dict[str, float], lead: str
) -> Tuple[str, float, List[str]]:
    """The measure that leads, the difference of cup, and what to say of it."""
    if lead:
        known = known_measure(lead)
        names = (lead,) if known is None else (known.name, known.twin)
        found = next((name for name in exacts if name in names), None)
        if found is None:
            raise InputError(
                "The {} is to lead, and the sheet or the chart has none.".format(lead),
                "Measure it, or let another lead: {}.".format(", ".join(exacts)),
                code="measure",
            )
        return found, 0.0, []
    full = next((name for name in ("full bust", "chest") if name in exacts), None)
    if full is None or "high bust" not in exacts:
        order = ("chest", "full bust", "high bust", "hip", "seat", "waist")
        return next((name for name in order if name in exacts), next(iter(exacts))), 0.0, []
    number = _nearest(chart, exacts["high bust"]) - 1
    values, highs = chart.values(full) or (), chart.values("high bust") or ()
    own = (body.of(full) or 0.0) - (body.of("high bust") or 0.0)
    cup = own - (values[number] - highs[number])
    if abs(cup) < CUP_DIFFERS - _SAME:
        return full, cup, []
    text = (
        "The full bust stands {:.1f} cm out over the high bust, and {:.1f} cm are drafted: the size goes by "
        "the high bust, and the bust is to be made {} by itself, which is not done here."
    )
    return "high bust", cup, [text.format(own / 10, (own - cup) / 10, "larger" if cup > 0 else "smaller")]


def _size_at(
    chart: SizeChart,
    body: Body,
    name: str,
    exacts: Dict[str, float],
    main: str,
    exact: bool,
    far: bool,
) -> SizeAt:
    # Where one measure of the bust leads, the other gets its size.
    number_of = exacts[main] if name in BUSTS and main in BUSTS else exacts[name]
    away = _outside(chart, number_of)
    number = number_of if exact or away > OUTSIDE + _SAME else float(_nearest(chart, number_of))
    length, drafted = body.of(name) or 0.0, value_at(chart.values(name) or (), number)
    values = chart.finished_values(name)
    finished = None if values is None else value_at(values, number)
    intended = None if finished is None else finished - drafted
    ease = None if finished is None else finished - length
    words = [_where(chart, name, exacts[name], length, number, far)]
    # The high bust is the frame's; a garment's ease is looked at where it is fullest.
    light = GREEN
    if ease is not None and name == _fullest(name, exacts):
        light = ease_light(name, ease, intended)
        words.append(ease_words(name, ease, intended))
    if away > _SAME and light == GREEN:
        light = AMBER
    said = " ".join(word for word in words if word)
    return SizeAt(
        name,
        _called(chart, number),
        exacts[name],
        number,
        length,
        drafted,
        finished,
        intended,
        ease,
        light,
        said,
    )


def _fullest(name: str, exacts: Dict[str, float]) -> str:
    return next((one for one in BUSTS if one in exacts), name) if name in BUSTS else name


def value_at(values: Sequence[float], number: float) -> float:
    """The value at a size counted from 1, in between along the step, outside along the last one."""
    step = min(max(int(number + _SAME), 1), len(values) - 1) - 1
    part = number - 1 - step
    return values[step] + part * (values[step + 1] - values[step])


def _called(chart: SizeChart, number: float) -> str:
    """The name of a size, or of the two on either side; beyond the chart its last one."""
    whole = int(number + _SAME)
    if not 1 <= number + _SAME or number > len(chart.sizes) + _SAME:
        return chart.sizes[0 if number < 1 else -1]
    if abs(number - whole) < _SAME:
        return chart.sizes[whole - 1]
    return "{}-{}".format(*chart.sizes[whole - 1 : whole + 1])


# -- the words --------------------------------------------------------------------------


def _held(chart: SizeChart, body: Body, exacts: Dict[str, float], far: Sequence[str]) -> str:
    parts = []
    for name in far:
        end = 0 if exacts[name] < 1 else -1
        parts.append(
            "the {} of {:.1f} cm is {:.2f} steps {} size {} ({:.1f} cm)".format(
                name,
                (body.of(name) or 0.0) / 10,
                _outside(chart, exacts[name]),
                _BEYOND[end],
                chart.sizes[end],
                (chart.values(name) or (0.0,))[end] / 10,
            )
        )
    text = "{}: agree to a size beyond the chart, or choose another pattern.".format(" and ".join(parts))
    return text[:1].upper() + text[1:]


def _where(chart: SizeChart, name: str, exact: float, length: float, number: float, far: bool) -> str:
    """What to say of a body half-way between two sizes, or outside the chart."""
    values = chart.values(name) or ()
    away = _outside(chart, exact)
    if away > _SAME:
        end = 0 if exact < 1 else -1
        text = "The {} of {:.1f} cm lies {:.1f} cm {} size {} ({:.1f} cm), {:.2f} steps; "
        more = abs(length - values[end]) / 10
        text = text.format(name, length / 10, more, _BEYOND[end], chart.sizes[end], values[end] / 10, away)
        if far:
            return text + "it is worked out by the last step, so make a test garment first."
        finished = chart.finished_values(name)
        if finished is None or number != int(number):
            return text + "look at the ease there."
        ease = "its ease is {:.1f} cm there instead of {:.1f}."
        return text + ease.format((finished[end] - length) / 10, (finished[end] - values[end]) / 10)
    low = int(exact + _SAME)
    if abs(exact - low - 0.5) < _SAME and number == int(number):
        text = "The {} of {:.1f} cm is half-way between sizes {} and {}: the larger is taken."
        return text.format(name, length / 10, chart.sizes[low - 1], chart.sizes[low])
    return ""


def _tapers(at: Sequence[SizeAt], main: str) -> Dict[str, str]:
    """Amber sentences for many sizes along one seam, by the measure where they meet."""
    # A bust that does not lead has the size of the one that does.
    down = [one for one in at if one.measure in _DOWN and (one.measure == main or one.measure not in BUSTS)]
    found: Dict[str, str] = {}
    for one, then in zip(down, down[1:]):
        gap = int(abs(then.number - one.number) + 0.5)
        if gap > MOST_IN_A_TAPER:
            text = "{} sizes in one taper, from the {} to the {}: fit before cutting{}."
            rounder = one.measure in BUSTS and then.number > one.number
            route = ", and rather give the front room for the abdomen" if rounder else ""
            found[then.measure] = text.format(gap, one.measure, then.measure, route)
    if len({one.size for one in down}) > 2:
        text = "{} sizes in one taper, {}: make a test garment before you cut good cloth."
        told = ", ".join("{} at the {}".format(one.size, one.measure) for one in down)
        text = text.format(len({one.size for one in down}), told)
        found[down[-1].measure] = " ".join(
            [*([found[down[-1].measure]] if down[-1].measure in found else []), text]
        )
    return found
