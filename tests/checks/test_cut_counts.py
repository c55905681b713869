"""How often pieces are cut: what contradicts itself is told."""

import pytest

from sewkit.checks.cut_counts import cut_counts_findings
from sewkit.geometry.path import Path
from sewkit.pattern.pattern import Pattern
from tests.operations.pieces import named

BLOCK = Path.through([(0, 0), (200, 0), (200, 400), (0, 400)], True)


def piece(name, edges="top side hem centre-front", **more):
    return named(BLOCK, edges, name, **more)


def codes(*pieces):
    return [f.code for f in cut_counts_findings(Pattern(pieces), ("",))]


@pytest.mark.parametrize(
    ("one", "wanted"),
    [
        (piece("front", folds=("centre-front",)), []),
        (piece("front", cut=2), []),
        (piece("front"), ["cut-once"]),
        (piece("front", folds=("centre-front",), cut=2), ["cut-fold"]),
        (piece("collar", folds=("centre-front",), cut=2), []),
        (piece("sleeve", "cap a hem b"), ["cut-once"]),
        (piece("sleeve", "cap a hem b", cut=2), []),
        (piece("sleeve-left", "cap a hem b", side="left"), ["cut-side"]),
        (piece("front-left", side="left", cut=2), ["cut-side", "cut-side"]),
        (piece("front", unfolded="centre-front"), []),
        (piece("front", unfolded="centre-front", folds=("centre-front",)), ["cut-unfolded"]),
        (piece("waist-bag", "a b c d"), []),
    ],
)
def test_one_piece(one, wanted):
    assert codes(one) == wanted


def test_left_and_right_belong_together():
    halves = [piece("front-" + side, side=side) for side in ("left", "right")]
    assert codes(*halves) == []


def test_a_cloth_is_missed_only_where_others_have_one():
    plain, told = piece("front", cut=2), piece("back", cut=2, cloth="main")
    assert codes(plain, plain._replace(name="back")) == []
    assert codes(told, plain) == ["no-cloth"]
