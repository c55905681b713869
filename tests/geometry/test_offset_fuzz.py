"""Random outlines and widths against the union of bands; ``tests/bench`` runs 10,000."""

from tests.geometry.fuzz import judge

CASES = 300


def test_random_offsets_agree_with_the_union_of_bands():
    verdicts = [(seed, judge(seed)) for seed in range(CASES)]

    assert [pair for pair in verdicts if pair[1].word == "failed"] == []
    compared = [verdict.miss for _, verdict in verdicts if verdict.word == "compared"]
    assert len(compared) > CASES / 2
    assert max(compared) <= 0.05
    assert sum(miss <= 0.011 for miss in compared) >= 0.995 * len(compared)
