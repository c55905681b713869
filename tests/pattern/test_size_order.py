"""The order of sizes: lists put in order by hand."""

import pytest

from sewkit.pattern.size_order import in_order


@pytest.mark.parametrize(
    "nests, order",
    [
        # The first piece lacks sizes; no piece has all of them.
        (["1 2 6", "1 2 3 4", "4 5", "7 8"], "1 2 3 4 5 6 7 8"),
        (["6 10", "8 10 12"], "6 8 10 12"),
        (["9.5 10", "8.5 9.5"], "8.5 9.5 10"),
        (["42 44", "36 38"], "36 38 42 44"),
        # Drawn from the largest on: the order of the drawing counts.
        (["42 40 38", "40 36"], "42 40 36 38"),
        (["S L", "S M L", "XS S"], "XS S M L"),
        (["M L", "S"], "M L S"),
        ([], ""),
    ],
)
def test_sizes_of_several_pieces_are_one_list(nests, order):
    assert in_order([nest.split() for nest in nests]) == tuple(order.split())


def test_what_serves_every_size_comes_last():
    assert in_order([[""], ["8", "10"]]) == ("8", "10", "")
