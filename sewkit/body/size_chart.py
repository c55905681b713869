"""A size chart: for whom each size was drafted; and which size fits a body, level by level.

A chart holds **body** measures, never finished ones.  Whole sizes, the nearest one; a
body exactly half-way takes the larger, because cloth can be taken in more easily than
let out (common practice, no source).
"""

from typing import Any, Mapping, NamedTuple, Optional, Tuple

from sewkit.body.measures import known_measure
from sewkit.errors import InputError

# A body may lie this part of the last step beyond the chart before somebody has to agree.
OUTSIDE = 0.5

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
    values = chart.values(measure)
    if values is None:
        raise InputError(
            "The size chart has no '{}'.".format(measure),
            "It has: {}.".format(", ".join(chart.measures)),
            code="chart",
        )
    _check_rising(chart, measure, values)
    exact = _exact(values, body)
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
