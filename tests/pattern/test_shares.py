"""A total shared over lines: the sum is exact, and each band ends half way to its neighbours."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sewkit.errors import InputError
from sewkit.pattern.shares import bands, shared


def test_bands_reach_half_way_to_the_neighbours():
    """Lines at 100, 300 and 400 on a piece from 0 to 500 meet at 200 and 350."""
    assert bands([100, 300, 400], 0, 500) == pytest.approx([200, 150, 150])
    assert bands([120], 20, 500) == pytest.approx([480])


@pytest.mark.parametrize(("custom", "parts"), [("bands", [8.0, 6.0, 6.0]), ("even", [20 / 3] * 3)])
def test_a_total_is_shared_by_the_bands_or_evenly(custom, parts):
    assert shared(20.0, [200, 150, 150], custom) == pytest.approx(parts, abs=1e-12)


@given(
    st.floats(-1000, 1000),
    st.lists(st.floats(0.5, 3000), min_size=1, max_size=12),
    st.sampled_from(["bands", "even"]),
)
def test_the_parts_sum_to_the_total(total, lengths, custom):
    parts = shared(total, lengths, custom)

    assert len(parts) == len(lengths)
    assert abs(sum(parts) - total) <= 1e-12 * max(1.0, abs(total))
    assert all(part * total >= 0 or abs(part) < 1e-9 for part in parts)


def test_no_lines_share_nothing():
    assert shared(20.0, [], "bands") == []


def test_bands_without_length_are_refused():
    with pytest.raises(InputError) as caught:
        shared(20.0, [0.0, 0.0], "bands")

    assert caught.value.code == "value"
