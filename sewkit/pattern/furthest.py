"""How far something can go: the largest part of an amount that still works.

furthest(works, -300.0)      # such as -212.3: what a person can ask for instead
"""

import math
from typing import Callable

# Amounts are told in tenths (of a mm, of a degree), so only tenths are tried.
_TENTHS = 10


def furthest(works: Callable[[float], bool], amount: float) -> float:
    """The largest amount in whole tenths toward ``amount``, which does not work; 0 where none does.

    By halving: what works for some amount is taken to work for every smaller one.
    """
    low, high = 0, math.ceil(abs(amount) * _TENTHS)
    while high - low > 1:
        middle = (low + high) // 2
        if works(math.copysign(middle / _TENTHS, amount)):
            low = middle
        else:
            high = middle
    return math.copysign(low / _TENTHS, amount)
