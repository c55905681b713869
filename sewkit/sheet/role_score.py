"""How well a drawing agrees with what it is taken for.

A score is a product of agreements, each between 0 and 1: how far a measured number is from
the one it should be, set against the deviation that is still believed.  What only adds to the
evidence (an arrow head, a word beside the line) is weighed by the table below.
"""

from typing import Sequence

# How much each sort of evidence is worth by itself.  Our own judgement, and only its order
# matters: a whole arrow tells more than half of one, a word more than a bare line.
ARROW = 0.95  # a line with a head at both ends
HALF_ARROW = 0.75  # a line with a head at one end
WORD = 0.80  # the word for it, written along the line
SHAPE = 0.90  # a shape that hardly stands for anything else
BARE = 0.75  # a shape that may stand for something else as well
ACROSS = 0.50  # in one row with lines of other pieces that have a word
LEFT_OVER = 0.30  # nothing better was found

# What a word at the same line of the next size is worth, as a share of one at the line itself.
NEXT_SIZE = 0.97

# Somebody has still to look at it: no guess is a certainty.
_MOST = 0.99


def agreement(deviation: float, believed: float) -> float:
    """1 for no deviation, 0.5 for one that is just still believed, falling on towards 0.

    The fall is that of a Cauchy curve, 1 / (1 + (d/b)^2): monotone and without a step.
    """
    return 1.0 / (1.0 + (deviation / believed) ** 2)


def believed(agreements: Sequence[float]) -> bool:
    """Whether no single agreement is worse than what is just still believed."""
    return all(one >= 0.5 for one in agreements)


def together(evidence: Sequence[float]) -> float:
    """Independent evidence for one thing: 1 - (1 - a)(1 - b)..."""
    doubt = 1.0
    for one in evidence:
        doubt *= 1.0 - one
    return 1.0 - doubt


def score(evidence: Sequence[float], agreements: Sequence[float] = ()) -> float:
    """The score of a guess: all evidence together, times every agreement."""
    value = together(evidence)
    for one in agreements:
        value *= one
    return min(value, _MOST)
