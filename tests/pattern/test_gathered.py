"""Places on the cloth of gathers and as they come to lie, by closed forms."""

import pytest

from sewkit.pattern.gathered import Gathers, Kept, drawn_together, kept_of, let_out, taken, write_kept
from sewkit.pattern.mark import GATHER, Mark

# From 100 to 300 of the cloth to half; then from 400 to 500 to four fifths.
TWO = (Gathers(100.0, 300.0, 100.0), Gathers(400.0, 500.0, 20.0))


@pytest.mark.parametrize(
    "cloth, sewn", [(50, 50), (100, 100), (200, 150), (300, 200), (350, 250), (450, 340), (600, 480)]
)
def test_places_are_spread_evenly_and_come_back(cloth, sewn):
    assert drawn_together(TWO, float(cloth)) == pytest.approx(sewn)
    assert let_out(TWO, float(sewn)) == pytest.approx(cloth)
    assert taken(TWO) == 120.0


def test_a_mark_keeps_amount_and_notches_and_a_strange_one_nothing():
    kept = Kept(80.25, ("gather-1", "gather-2"))
    assert kept_of(Mark(GATHER, form=write_kept(kept))) == kept
    assert kept_of(Mark(GATHER, form="by hand")).amount == 0.0
