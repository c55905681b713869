"""How far something can go, against limits that are known beforehand."""

import pytest

from sewkit.pattern.furthest import furthest


@pytest.mark.parametrize(("limit", "told"), [(212.34, 212.3), (0.27, 0.2), (999.92, 999.9), (0.05, 0.0)])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_the_limit_is_found_and_rounded_toward_nothing(limit, told, sign):
    found = furthest(lambda amount: abs(amount) <= limit, sign * 1000.0)

    assert found * sign >= 0
    assert abs(found) == pytest.approx(told, abs=1e-9)
    assert abs(found) <= limit


def test_only_amounts_of_the_same_sign_are_tried():
    tried = []
    furthest(lambda amount: bool(tried.append(amount)), -50.0)

    assert tried and all(-50.0 < amount < 0 for amount in tried)
