"""What is doubtful in a body's measures, one sentence a doubt.

A tape may droop, slip or be read in the other unit, and a pattern would follow it without
a word.  Each rule compares measures that hang together in every body.  The numbers are
common practice without a source unless one is named; where they are wide, they are so that
nobody's real body is held up.  For a child only the rules hold that do not know adults.
"""

from typing import Callable, Iterator, List, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.guess_unit import is_usual
from sewkit.body.measures import known_measure
from sewkit.units import MILLIMETRES, write_number

# The high bust may be this much more than the full one before somebody asks (mm): tables
# of slender figures have it up to 16 mm more (ASTM D5585, size 00).
_HIGH_OVER_FULL = 20.0

# From this much of full over under-bust (mm), cup C by EN 13402, the full bust must be more than
# the high one.  The most without that in a published table is 155.6 mm (ASTM D5585, size 4).
_CUP = 160.0

# The waist goes before the hip; beyond this ratio they may be swapped.
_WAIST_OVER_HIP = 1.15

# The front from the side of the neck is longer than the back from the nape, or nearly (mm).
_FRONT_UNDER_BACK = 20.0

# Four back waist lengths make a height, within this part of it; held beyond twice as much.
_BACKS, _BACKS_WINDOW = 4.0, 0.12

# The legs' difference is the sitting depth, within this (mm).
_LEGS_WINDOW = 40.0

# The crotch goes down and up again, and this part of the hip from front to back.
_THROUGH = (0.08, 0.22)

# A body changes by less than this part between two sheets, unless somebody says so.
_CHANGE = 0.05

# Two readings of one measure lie nearer together (mm).
_READINGS = 10.0

# What else a number may have been meant as, and how to say it.
_UNITS = (("in", "inches"), ("cm", "centimetres"), ("mm", "millimetres"))
_SLIPS = (10.0, 0.1)


class Doubt(NamedTuple):
    """Something to look at before cloth is cut by it.

    Args:
        code: a short stable name.
        text: one sentence that names the measures, with their numbers, and what to do.
        measures: the names of those measures.
        holds: whether nothing is made for this body until somebody has looked.
    """

    code: str
    text: str
    measures: Tuple[str, ...]
    holds: bool


def doubts(body: Body, last: Optional[Body] = None) -> Tuple[Doubt, ...]:
    """All doubts about a body, those that hold it first; ``last``: the sheet of the time before.

    A body that somebody has confirmed is held by nothing but what cannot be read.
    """
    found = [Doubt("unread", text, (), True) for text in body.faults]
    odd = set(_odd(body))
    for rule in _RULES:
        for doubt in rule(body):
            # A number in the wrong unit goes with no other; once is enough.
            if rule is _units or not odd.intersection(doubt.measures):
                found.append(doubt._replace(holds=doubt.holds and not body.confirmed))
    found += _changed(body, last)
    return tuple(sorted(found, key=lambda doubt: not doubt.holds))


def _odd(body: Body) -> List[str]:
    """The measures that no adult has; a child's are never odd."""
    if body.child:
        return []
    return [n for n, length in body.measures.items() if known_measure(n) and not is_usual(n, length)]


def _units(body: Body) -> Iterator[Doubt]:
    """Odd numbers that make sense in another unit, with another decimal point, or not at all."""
    odd = _odd(body)
    for unit, words in _UNITS:
        meant = {name: _number(body, name) * MILLIMETRES[unit] for name in odd if _unit(body, name) != unit}
        names = [name for name, length in meant.items() if is_usual(name, length)]
        if names:
            odd = [name for name in odd if name not in names]
            yield _looks_like(body, words, {name: meant[name] for name in names})
    for name in odd:
        length = body.measures[name]
        meant_length = next((length * slip for slip in _SLIPS if is_usual(name, length * slip)), None)
        text = "{} {} is what hardly any adult has: {}."
        cure = "measure again, or confirm it"
        if meant_length is not None:
            cure = "was {:.1f} cm meant".format(meant_length / 10)
        text = text.format(_capital(name), _cm(body, name), cure)
        yield Doubt("unusual", text[:-1] + "?" if meant_length is not None else text, (name,), True)


def _looks_like(body: Body, words: str, meant: Mapping[str, float]) -> Doubt:
    told = listed(["{} {}".format(name, write_number(_number(body, name))) for name in meant])
    lengths = listed(["{:.1f}".format(length / 10) for length in meant.values()])
    verb, taken = ("look", "they were") if len(meant) > 1 else ("looks", "it was")
    text = "{} {} like {} ({} cm): say in which unit {} taken."
    return Doubt("unit", text.format(_capital(told), verb, words, lengths, taken), tuple(meant), True)


def _waist_and_hip(body: Body) -> Iterator[Doubt]:
    waist, hip = body.of("waist"), body.of("hip")
    if waist is None or hip is None or waist <= hip:
        return
    name = _named(body, "hip")
    swapped = waist > hip * _WAIST_OVER_HIP
    text = "The waist, {}, is more than the {}, {}: {}."
    cure = "are the two swapped" if swapped else "a full stomach, or is one of them mistaken"
    text = text.format(_cm(body, "waist"), name, _cm(body, name), cure).rstrip(".") + "?"
    yield Doubt("waist-hip", text, ("waist", name), swapped)


def _high_and_full_bust(body: Body) -> Iterator[Doubt]:
    high, full, under = body.of("high bust"), body.of("full bust"), body.of("under-bust")
    name = _named(body, "full bust")
    if high is not None and full is not None:
        pair = ("high bust", name)
        if high > full + _HIGH_OVER_FULL:
            text = "The high bust, {}, is more than the {}, {}: are the two swapped?"
            text = text.format(_cm(body, "high bust"), name, _cm(body, name))
            yield Doubt("high-bust", text, pair, False)
        elif under is not None and full <= high and full - under >= _CUP:
            text = (
                "The {}, {}, is no more than the high bust, {}, though it stands {:.1f} cm out over the "
                "under-bust: one tape may have drooped at the back, so take both again, level all round."
            )
            text = text.format(name, _cm(body, name), _cm(body, "high bust"), (full - under) / 10)
            yield Doubt("tape", text, (*pair, "under-bust"), False)
    if under is not None and full is not None and under > full:
        text = "The under-bust, {}, is more than the {}, {}: one tape may have drooped, so take both again."
        text = text.format(_cm(body, "under-bust"), name, _cm(body, name))
        yield Doubt("tape", text, ("under-bust", name), False)


def _hips(body: Body) -> Iterator[Doubt]:
    """The hip is the largest girth there: what is less was taken over the bones."""
    high, hip = body.of("high hip"), body.of("hip")
    name = _named(body, "hip")
    if high is not None and hip is not None and high > hip:
        text = "The high hip, {}, is more than the {}, {}: take the {} again where it is fullest."
        text = text.format(_cm(body, "high hip"), name, _cm(body, name), name)
        yield Doubt("high-hip", text, ("high hip", name), False)


def _front_and_back(body: Body) -> Iterator[Doubt]:
    front, back = body.of("front waist length"), body.of("back waist length")
    if front is None or back is None or front >= back - _FRONT_UNDER_BACK:
        return
    text = (
        "The front waist length, {}, is {:.1f} cm less than the back waist length, {}: "
        "were the two swapped, or did the string at the waist slip?"
    )
    pair = ("front waist length", "back waist length")
    yield Doubt(
        "front-back", text.format(_cm(body, pair[0]), (back - front) / 10, _cm(body, pair[1])), pair, False
    )


def _height_and_back(body: Body) -> Iterator[Doubt]:
    height, back = body.of("height"), body.of("back waist length")
    if body.child or height is None or back is None:
        return
    away = abs(_BACKS * back - height) / height
    if away <= _BACKS_WINDOW:
        return
    pair = ("back waist length", "height")
    text = (
        "The back waist length, {}, is {} for a height of {}; about {:.0f} cm would be usual: was the waist "
        "taken {} the natural one?"
    )
    short = _BACKS * back < height
    text = text.format(
        _cm(body, pair[0]),
        "short" if short else "long",
        _cm(body, "height"),
        height / _BACKS / 10,
        "above" if short else "at the trousers, below",
    )
    yield Doubt("height-back", text, pair, away > 2 * _BACKS_WINDOW)


def _legs(body: Body) -> Iterator[Doubt]:
    outside, inside, depth = body.of("outside leg"), body.of("inside leg"), body.of("sitting depth")
    if outside is None or inside is None:
        return
    pair = ("outside leg", "inside leg")
    if inside >= outside:
        text = "The inside leg, {}, is no less than the outside leg, {}: are the two swapped?"
        yield Doubt("legs", text.format(_cm(body, pair[1]), _cm(body, pair[0])), pair, True)
    elif depth is not None and abs(outside - inside - depth) > _LEGS_WINDOW:
        text = (
            "The outside leg, {}, less the inside leg, {}, leaves {:.1f} cm, but the sitting depth is {}: "
            "take the three again from one waist."
        )
        text = text.format(
            _cm(body, pair[0]), _cm(body, pair[1]), (outside - inside) / 10, _cm(body, "sitting depth")
        )
        yield Doubt("legs", text, (*pair, "sitting depth"), False)


def crotch_total(body: Body) -> Optional[float]:
    """From waist to waist between the legs (mm), as measured or as front and back; None without."""
    front, back = body.of("crotch front"), body.of("crotch back")
    if front is not None and back is not None:
        return front + back
    return body.of("crotch length")


def _crotch(body: Body) -> Iterator[Doubt]:
    total, depth, hip = crotch_total(body), body.of("sitting depth"), body.of("hip")
    if total is None or depth is None or hip is None:
        return
    least, most = (2 * depth + part * hip for part in _THROUGH)
    if least <= total <= most:
        return
    text = (
        "The crotch, {:.1f} cm from waist to waist, does not go with the sitting depth, {}, and the {}, {}: "
        "{:.1f} to {:.1f} cm would be usual, so take it again."
    )
    name = _named(body, "hip")
    text = text.format(total / 10, _cm(body, "sitting depth"), name, _cm(body, name), least / 10, most / 10)
    yield Doubt("crotch", text, ("crotch length", "sitting depth", name), False)


def _readings(body: Body) -> Iterator[Doubt]:
    for name, apart in body.apart.items():
        if apart > _READINGS:
            text = "The two readings of the {} lie {:.1f} cm apart ({}): take it a third time."
            text = text.format(name, apart / 10, body.given.get(name, ""))
            yield Doubt("readings", text, (name,), False)


def _changed(body: Body, last: Optional[Body]) -> Iterator[Doubt]:
    for name, length in body.measures.items():
        before = last.of(name) if last is not None else None
        if before and abs(length - before) > _CHANGE * before:
            text = "The {} was {:.1f} cm on the last sheet and is {:.1f} cm now: is that so?"
            yield Doubt("changed", text.format(name, before / 10, length / 10), (name,), False)


_RULES: Tuple[Callable[[Body], Iterator[Doubt]], ...] = (
    _units,
    _waist_and_hip,
    _high_and_full_bust,
    _hips,
    _front_and_back,
    _height_and_back,
    _legs,
    _crotch,
    _readings,
)


def _named(body: Body, name: str) -> str:
    """The name that the body's sheet has for a measure: hip or seat, full bust or chest."""
    known = known_measure(name)
    return known.twin if name not in body.measures and known and known.twin in body.measures else name


def _cm(body: Body, name: str) -> str:
    length = body.of(name)
    return "{:.1f} cm".format(length / 10) if length is not None else ""


def _unit(body: Body, name: str) -> str:
    """The unit that a measure was read in; cm where nobody wrote it down."""
    unit = body.given.get(name, "").rpartition(" ")[2]
    return unit if unit in MILLIMETRES else "cm"


def _number(body: Body, name: str) -> float:
    """The number that was written, in its unit."""
    return body.measures[name] / MILLIMETRES[_unit(body, name)]


def listed(words: Sequence[str]) -> str:
    """Words in a sentence: "waist, hip and chest"."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
