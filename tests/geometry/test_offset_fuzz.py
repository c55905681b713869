"""Random outlines and widths against the union of bands; ``tests/bench`` runs 10,000."""

from tests.geometry.fuzz import judge, styled

CASES = 300


def test_random_offsets_agree_with_the_union_of_bands():
    verdicts = [(seed, judge(seed)) for seed in range(CASES)]

    assert [pair for pair in verdicts if pair[1].word == "failed"] == []
    compared = [verdict.miss for _, verdict in verdicts if verdict.word == "compared"]
    assert len(compared) > CASES / 2
    assert max(compared) <= 0.05
    assert sum(miss <= 0.011 for miss in compared) >= 0.995 * len(compared)


def test_random_corner_styles_give_a_simple_outline_around_the_piece():
    # 806 and 950: allowances wider than a hollow beside edges of other widths.
    faults = [(seed, styled(seed)) for seed in [*range(140), 806, 950]]

    assert [pair for pair in faults if pair[1]] == []
