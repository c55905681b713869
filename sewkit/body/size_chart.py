"""A size chart: for whom each size was drafted; and which size fits a body, level by level.

A chart holds **body** measures, never finished ones.  Whole sizes, the nearest one; a
body exactly half-way takes the larger, because cloth can be taken in more easily than
let out (common practice, no source).
"""

from typing import Any, List, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.measures import known_measure
from sewkit.errors import InputError

# A body may lie this part of the last step beyond the chart before somebody has to agree.
OUTSIDE = 0.5

# A step between sizes is at most this many times its neighbour.  Steps grow with size, by
# half as a rule; the widest that published tables have is double (ASTM D5585, bust 00-0-2).
_STEPS = 2.0

# The ease of a finished measure differs by no more than this between neighbouring sizes (mm;
# common practice, no source); more is a slip in one of the two numbers.
_EASE_JUMP = 20.0

# Below this two lengths of a chart are the same (mm).
_SAME = 1e-6

# An adult's girth in cm lies here; a number far below was written in inches (cm).
_LEAST_GIRTH, _INCHES = 56.0, (20.0, 60.0)


class SizeChart(NamedTuple):
    """Sizes in rising order, and for each measure its values (mm), one a size.

    Args:
        sizes: their names.
        measures: the body that each size was drafted for.
        finished: the garment, by the name of the same measure, where the maker gives it.
        drafted_height: of the body, for all sizes (mm); 0 where nobody said.
        ease: garment less body (mm), where the maker promises one ease for all sizes.
        told: what was taken for granted when it was read, such as its unit.
    """

    sizes: Tuple[str, ...]
    measures: Mapping[str, Tuple[float, ...]]
    finished: Mapping[str, Tuple[float, ...]] = {}
    drafted_height: float = 0.0
    ease: Mapping[str, float] = {}
    told: Tuple[str, ...] = ()

    def values(self, measure: str) -> Optional[Tuple[float, ...]]:
        """The chart's body values (mm) for a measure by any of its names; None where it has none."""
        return self._row(self.measures, measure)

    def finished_values(self, measure: str) -> Optional[Tuple[float, ...]]:
        """The finished garment (mm), one a size, as given or as body and promised ease; or None."""
        given = self._row(self.finished, measure)
        body, ease = self.values(measure), self._row(self.ease, measure)
        if given is not None or body is None or ease is None:
            return given
        return tuple(value + ease for value in body)

    def _row(self, table: Mapping[str, Any], measure: str) -> Any:
        if measure in table:
            return table[measure]
        known = known_measure(measure)
        names = () if known is None else (known.name, known.twin)
        return next((table[name] for name in names if name in table), None)


class Fit(NamedTuple):
    """The size for one measure.

    Args:
        size: the nearest whole size.
        exact: where the body lies, counted in sizes from 1: 3.25 is a quarter of the way
            from the third size to the fourth.
        body, chart: the body's measure, and the one that the size was drafted for (mm).
    """

    size: str
    exact: float
    body: float
    chart: float


def fit_size(chart: SizeChart, measure: str, body: float) -> Fit:
    """The size whose chart value is nearest to a body measure (mm).

    ``InputError`` for a measure the chart lacks, a chart that does not rise, and a body
    more than half a step outside it.
    """
    exact, values = exact_size(chart, measure, body), chart.values(measure) or ()
    if exact < 1 - OUTSIDE or exact > len(values) + OUTSIDE:
        raise InputError(
            "A {} of {:g} cm is outside the chart, which runs from {:g} to {:g} cm.{}".format(
                measure, body / 10, values[0] / 10, values[-1] / 10, _unit_hint(body)
            ),
            "Measure again, or have somebody agree to a size beyond the chart.",
            code="outside-chart",
        )
    number = min(max(int(exact + 0.5), 1), len(values))
    return Fit(chart.sizes[number - 1], exact, body, values[number - 1])


def exact_size(chart: SizeChart, measure: str, body: float) -> float:
    """Where a body measure (mm) lies, counted in sizes from 1; beyond the chart by its last step.

    ``InputError`` for a measure the chart lacks, and a chart that does not rise.
    """
    values = chart.values(measure)
    if values is None:
        raise InputError(
            "The size chart has no '{}'.".format(measure),
            "It has: {}.".format(", ".join(chart.measures)),
            code="chart",
        )
    _check_rising(chart, measure, values)
    return _exact(values, body)


def check_chart(chart: SizeChart) -> Tuple[str, ...]:
    """What is odd in a chart, one sentence each, so that a slip of the pen is found before cloth is cut.

    Values that do not rise, steps that jump, and finished measures that do not go with the
    body's.  Nothing here is refused; ``fit_size`` refuses what it cannot use.
    """
    found: List[str] = []
    if len(chart.sizes) < 2:
        found.append("The size chart has fewer than two sizes.")
    for measure, values in chart.measures.items():
        found += _odd_steps(chart.sizes, measure, values)
    for measure, values in chart.finished.items():
        found += _odd_steps(chart.sizes, "finished {}".format(measure), values)
        found += _odd_ease(chart, measure, values)
    return tuple(found)


def _odd_steps(sizes: Sequence[str], measure: str, values: Sequence[float]) -> List[str]:
    steps = [high - low for low, high in zip(values, values[1:])]
    falls = [size for size, step in zip(sizes[1:], steps) if step < -_SAME]
    if falls:
        text = "The size chart's {} falls at size {}: look for a slip of the pen there."
        return [text.format(measure, falls[0])]
    flat = [at for at, step in enumerate(steps) if step <= _SAME]
    if flat:
        text = "The size chart's {} is the same in sizes {} and {}, so no size is chosen by it."
        return [text.format(measure, sizes[flat[0]], sizes[flat[0] + 1])]
    found = []
    for at, (one, then) in enumerate(zip(steps, steps[1:])):
        if max(one, then) > _STEPS * min(one, then) + _SAME:
            text = "The size chart's {} grows by {:g} cm to size {} and by {:g} cm to size {}: is that so?"
            found.append(
                text.format(measure, round(one / 10, 3), sizes[at + 1], round(then / 10, 3), sizes[at + 2])
            )
    return found


def _odd_ease(chart: SizeChart, measure: str, finished: Sequence[float]) -> List[str]:
    body = chart.values(measure)
    if body is None:
        return []
    ease = [garment - person for garment, person in zip(finished, body)]
    if all(amount < 0 for amount in ease):
        text = "The finished {} is less than the body's in every size: are the two mixed up, or is it a knit?"
        return [text.format(measure)]
    found = []
    for size, one, then in zip(chart.sizes[1:], ease, ease[1:]):
        if abs(then - one) > _EASE_JUMP:
            text = "The ease of the finished {} jumps from {:g} to {:g} cm at size {}: look for a slip there."
            found.append(text.format(measure, round(one / 10, 3), round(then / 10, 3), size))
    promised = chart.ease.get(measure)
    if promised is not None and any(abs(amount - promised) > _SAME for amount in ease):
        text = "The chart promises {:g} cm of ease at the {}, but its finished measures do not all have it."
        found.append(text.format(promised / 10, measure))
    return found


def _check_rising(chart: SizeChart, measure: str, values: Tuple[float, ...]) -> None:
    for size, low, high in zip(chart.sizes[1:], values, values[1:]):
        if not high > low:
            raise InputError(
                "The size chart's {} does not rise at size {}.".format(measure, size),
                "Look for a slip of the pen there.",
                code="chart",
            )
    if len(values) < 2:
        raise InputError("The size chart has fewer than two sizes.", code="chart")


def _exact(values: Tuple[float, ...], body: float) -> float:
    last = len(values) - 1
    step = next((i for i in range(last) if body < values[i + 1]), last - 1)
    return 1 + step + (body - values[step]) / (values[step + 1] - values[step])


def _unit_hint(body: float) -> str:
    if body / 10 < _LEAST_GIRTH and _INCHES[0] <= body / 10 <= _INCHES[1]:
        return " It looks like inches ({:g} in = {:.1f} cm).".format(body / 10, body / 10 * 2.54)
    return ""
