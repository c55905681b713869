"""The steps for what a body needs beyond sizes: a full stomach, a hollow or round back, the seat."""

import math
from typing import Callable, Dict, List, Mapping, NamedTuple, Sequence, Tuple

from sewkit.body.need import (
    FLAT_SEAT,
    FRONT_LENGTH,
    FULL_SEAT,
    HOLLOW_BACK,
    ROUND_BACK,
    STOMACH,
    Need,
    amount_of,
    has,
)
from sewkit.body.pattern_words import PatternWords, level_for
from sewkit.body.planned_step import PlannedStep, in_mm, place
from sewkit.body.sizing import Sizing
from sewkit.units import write_number

# Less than this round the body is no need of its own (mm): two of a tape's readings differ by it.
LEAST_ROUND = 5.0

# A front reaches so far beyond its centre for the buttons (mm), where nobody measured its width.
_STAND = 20.0

# Where the slashes of a full stomach meet the hem, as shares from its end at the front edge:
# the one beyond the facing, whose hem so keeps its shape; the other past the middle.
_BY_FACING, _BY_SIDE = 25, 55

# A stomach is fullest so far below the waist (mm; common practice, no source), but the cut
# stays in the upper part of a garment that ends soon after.
_FULLEST, _UPPER_PART = 40.0, 0.45

# A round back has its fullest place so far above the bust level (mm), at the shoulder blades.
_BLADES_ABOVE = 95.0


class NeedPlan(NamedTuple):
    """Steps, what to say, what was left out and why, and what the garment gains at a measure (mm)."""

    steps: Tuple[PlannedStep, ...] = ()
    told: Tuple[str, ...] = ()
    skipped: Tuple[str, ...] = ()
    gains: Mapping[str, float] = {}


class _Ground(NamedTuple):
    """What every need is planned on."""

    sizing: Sizing
    levels: Mapping[str, float]
    words: PatternWords
    needs: Tuple[Need, ...]


def need_plan(
    needs: Sequence[Need], sizing: Sizing, levels: Mapping[str, float], words: PatternWords
) -> NeedPlan:
    """The steps for all needs, in the order in which a cutter does them.

    Args:
        levels: heights of the pattern's levels along the grain (mm), downwards, by name.
    """
    ground = _Ground(sizing, levels, words, tuple(needs))
    whole = NeedPlan()
    for names, plan in _PLANS:
        if any(has(needs, name) for name in names):
            part = plan(ground)
            whole = NeedPlan(
                whole.steps + part.steps,
                whole.told + part.told,
                whole.skipped + part.skipped,
                {**whole.gains, **part.gains},
            )
    return whole


# -- the front ----------------------------------------------------------------------------


def _front(ground: _Ground) -> NeedPlan:
    """A full stomach needs width and length in front; nothing at the side seam, nothing behind.

    The length, where the stomach is fullest: a strip across front and facing, taken out again
    at the side by a wedge with its hinge on the front edge; the corner by the front edge turns
    back, so that the edge stays straight.  The width: a slash from the hem, with its hinge on
    the side seam at bust level, which opens so far that the waist gains it.
    """
    words, levels = ground.words, ground.levels
    waist, bust = level_for(levels, "waist"), level_for(levels, "full bust")
    length = amount_of(ground.needs, FRONT_LENGTH) or 0.0
    if not (words.fronts and words.front_edge and waist is not None):
        text = "A full stomach needs a front with a front edge and a waist level, and here is none."
        return NeedPlan(skipped=(text,))
    steps: List[PlannedStep] = []
    skipped: List[str] = []
    told: List[str] = []
    gains: Dict[str, float] = {}
    if length:
        steps += _longer(ground, _fullest(levels, waist), length)
    else:
        told.append("How much longer the front is over the stomach was not said: only its width is changed.")
    width = _shortage(ground) if has(ground.needs, STOMACH) else 0.0
    if width and bust is not None and levels[bust] < levels[waist]:
        steps.append(_wider(words, width / 2.0, bust, levels[waist] - levels[bust]))
        gains["waist"] = width
    elif width:
        skipped.append("The front is not made wider at the waist, for the pattern has no level above it.")
    elif has(ground.needs, STOMACH):
        told.append("The waist has its ease already, so the front is made no wider there.")
    return NeedPlan(tuple(_hem_drawn(steps)), tuple(told), tuple(skipped), gains)


def _hem_drawn(steps: List[PlannedStep]) -> List[PlannedStep]:
    """The same, with the hem drawn anew as one line when the last slash has opened it."""
    last = steps[-1:]
    return steps[:-1] + [s._replace(values={**s.values, "redraw": "whole"}) for s in last]


def _shortage(ground: _Ground) -> float:
    """What the waist still lacks round the body (mm), as said or as its size leaves it."""
    said = amount_of(ground.needs, STOMACH)
    if said is not None:
        return said
    at = ground.sizing.of("waist")
    return at.short if at is not None and at.short >= LEAST_ROUND else 0.0


def _fullest(levels: Mapping[str, float], waist: str) -> str:
    """Where the front is cut across for its length, in words."""
    below = _FULLEST
    if "hem" in levels:
        below = min(below, (levels["hem"] - levels[waist]) * _UPPER_PART)
    return place(waist, max(below, 0.0))


def _longer(ground: _Ground, at: str, length: float) -> List[PlannedStep]:
    words = ground.words
    wide = words.front_width or _estimated(ground)
    angle = math.degrees(2.0 * math.asin(min(abs(length) / 2.0 / wide, 1.0)))
    told = "{:.1f} cm {} over the stomach".format(abs(length) / 10, "longer" if length > 0 else "shorter")
    return [
        PlannedStep(
            "lengthen",
            {"amount": in_mm(length), "at": at, "follow": False},
            words.fronts + words.facings,
            "The front edge is {}; the facing and the buttons follow.".format(told),
            FRONT_LENGTH,
        ),
        PlannedStep(
            "wedge",
            {"edge": words.side, "hinge": words.front_edge, "at": at, "amount": in_mm(-length)},
            words.fronts,
            "The side seam gets its length back, for the back is as it was.",
            FRONT_LENGTH,
        ),
        PlannedStep(
            "spread",
            {
                "edge": words.hem,
                "hinge": words.front_edge,
                "at": _share(words, _BY_FACING),
                "hinge_at": at,
                "ask": "angle",
                "angle": write_number(round(math.copysign(angle, length), 4)),
            },
            words.fronts,
            "The corner at the front edge turns back by {:.1f} degrees: the edge stays straight.".format(
                angle
            ),
            FRONT_LENGTH,
        ),
    ]


def _estimated(ground: _Ground) -> float:
    """A front's width at the waist (mm): a quarter of the garment and what lies beyond the centre."""
    at = ground.sizing.of("waist") or ground.sizing.lead
    return (at.finished if at.finished is not None else at.chart) / 4.0 + _STAND


def _wider(words: PatternWords, each: float, bust: str, drop: float) -> PlannedStep:
    angle = math.degrees(math.atan2(each, drop))
    return PlannedStep(
        "spread",
        {
            "edge": words.hem,
            "hinge": words.side,
            "at": _share(words, _BY_SIDE),
            "hinge_at": bust,
            "ask": "angle",
            "angle": write_number(round(angle, 4)),
        },
        words.fronts,
        "Each front gets {:.1f} mm more at the waist and nothing at the {}; the back is not touched.".format(
            each, bust
        ),
        STOMACH,
    )


def _share(words: PatternWords, from_front: int) -> str:
    """A share of the hem, counted from its left end on the sheet."""
    return "{}%".format(100 - from_front if words.side_lies_left else from_front)


# -- the back and the seat ----------------------------------------------------------------


def _back(ground: _Ground) -> NeedPlan:
    """A hollow back loses length in the middle at the waist, a round one gains it at the blades."""
    words, levels = ground.words, ground.levels
    waist, bust = level_for(levels, "waist"), level_for(levels, "full bust")
    blades = place(bust, -_BLADES_ABOVE) if bust is not None else None
    hollow = ("the waist", waist, words.side, -1.0, "taken out of the middle of the back")
    round_ = ("the blades", blades, words.armhole, 1.0, "let into the middle of the back")
    return _wedges(ground, {HOLLOW_BACK: hollow, ROUND_BACK: round_})


def _seat(ground: _Ground) -> NeedPlan:
    """A full seat gains length in the middle of the back at hip level, a flat one loses it."""
    hip = level_for(ground.levels, "hip")
    full = ("the hip", hip, ground.words.side, 1.0, "let into the middle of the back")
    flat = ("the hip", hip, ground.words.side, -1.0, "taken out of the middle of the back")
    return _wedges(ground, {FULL_SEAT: full, FLAT_SEAT: flat})


def _wedges(ground: _Ground, wanted: Mapping[str, Tuple[str, object, str, float, str]]) -> NeedPlan:
    words = ground.words
    steps: List[PlannedStep] = []
    skipped: List[str] = []
    for name, (where, at, hinge, sign, told) in wanted.items():
        if not has(ground.needs, name):
            continue
        amount = amount_of(ground.needs, name)
        if not amount:
            text = "'{0}' does not say how much: write it as {0} 12 mm."
            skipped.append(text.format(name))
        elif not isinstance(at, str) or not (words.backs and words.centre_back and hinge):
            text = (
                "'{}' is left out, for the pattern has no back with a middle, a {} edge and a level for {}."
            )
            skipped.append(text.format(name, hinge or "side", where))
        else:
            values = {
                "edge": words.centre_back,
                "hinge": hinge,
                "at": at,
                "amount": in_mm(sign * abs(amount)),
            }
            text = "{}: {:.1f} mm {} at {}, nothing at the {}."
            why = text.format(name[:1].upper() + name[1:], abs(amount), told, where, hinge)
            steps.append(PlannedStep("wedge", values, words.backs, why, name))
    return NeedPlan(tuple(steps), (), tuple(skipped))


_PLANS: Tuple[Tuple[Tuple[str, ...], Callable[[_Ground], NeedPlan]], ...] = (
    ((HOLLOW_BACK, ROUND_BACK), _back),
    ((STOMACH, FRONT_LENGTH), _front),
    ((FULL_SEAT, FLAT_SEAT), _seat),
)
