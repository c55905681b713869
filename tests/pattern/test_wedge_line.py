"""No wedge goes through a dart, nor begins or ends on one."""

import pytest

from tests.geometry.shapes import outline
from tests.operations.length_pieces import edge_ruler, integrated
from tests.pattern.test_wedge_aslant import ASKED, back, made, refused

# A back with a dart in its side, 20 mm wide at the mouth (y from 190 to 210), its point at (120, 200).
DARTED = outline((0, 0), (200, 0), (200, 190), (120, 200), (200, 210), (200, 400), (0, 400))
LEGS = "waist side dart dart side hem centre"


def darted(**more):
    return back(DARTED, LEGS, darts=("dart",), **more)


@pytest.mark.parametrize("amount", [-5.0, 5.0])
def test_a_wedge_through_a_dart_is_refused(amount):
    """From the waist to the hem at x = 180, across both legs."""
    code, text = refused(darted(), (180.0, 0.0), (180.0, 400.0), amount, onward=True)

    assert code == "dart" and "'dart'" in text and "beside" in text
    assert made(darted(), (100.0, 0.0), (100.0, 400.0), amount, onward=True).wedge.amount == amount


def test_nor_may_its_other_leg_pass_through_one():
    """The line at x = 118 is clear of the point at 120; 5 mm towards the dart the other leg is not."""
    assert made(darted(), (118.0, 0.0), (118.0, 400.0), -5.0, onward=False)
    code, _ = refused(darted(), (118.0, 0.0), (118.0, 400.0), -5.0, onward=True)

    assert code == "dart"


def test_neither_end_may_lie_on_a_leg():
    for opening, hinge in (((0.0, 195.0), (160.0, 195.0)), ((160.0, 205.0), (0.0, 205.0))):
        code, text = refused(darted(), opening, hinge, -5.0)
        assert code == "dart" and "leg" in text


def test_beside_the_mouth_a_line_is_clear():
    """Half a millimetre above the mouth, rising away from the dart."""
    done = made(darted(), (200.0, 189.5), (0.0, 150.0), -5.0)
    now = sum(integrated(r) for r in done.outline.runs("side"))

    assert now == pytest.approx(380.0 - 5.0, abs=ASKED)


def test_on_the_fold_nothing_turns_so_a_dart_may_lie_in_the_way():
    piece = back(
        outline((0, 0), (200, 0), (200, 400), (110, 400), (100, 300), (90, 400), (0, 400)),
        "waist side hem dart dart hem centre",
        darts=("dart",),
        folds=("centre",),
    )
    new = made(piece, (0.0, 350.0), (200.0, 350.0), -8.0, straight=True).outline

    assert edge_ruler(new, "centre") == pytest.approx(392.0, abs=1e-9)
    assert refused(piece, (0.0, 350.0), (200.0, 350.0), -8.0)[0] == "dart"
