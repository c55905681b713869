"""What edges are called: by name, or by the side of the piece where they lie."""

import pytest

from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, turn
from sewkit.pattern.edge_called import called, quoted
from sewkit.pattern.outline import Edge, Outline, bare_outline
from tests.geometry.shapes import outline


def test_a_name_is_a_name():
    path = Path.through([(0, 0), (200, 0), (200, 500), (0, 500)], closed=True)
    named = Outline("", path, tuple(Edge(n, i, i + 1) for i, n in enumerate("waist side hem centre".split())))

    assert called(named, "hem") == "hem"
    assert quoted(named, "hem") == "'hem'"


def test_the_numbers_of_a_bare_outline_are_told_with_their_sides():
    """An octagon has an edge in each of the eight sectors; y points down the sheet."""
    corners = [(1, 0), (2, 0), (3, 1), (3, 2), (2, 3), (1, 3), (0, 2), (0, 1)]
    bare = bare_outline(Path.through([(100 * x, 100 * y) for x, y in corners], closed=True))

    sides = "upper, upper right, right, lower right, lower, lower left, left, upper left".split(", ")
    assert [called(bare, str(n + 1)) for n in range(8)] == [
        "{} edge ({})".format(side, n + 1) for n, side in enumerate(sides)
    ]
    assert quoted(bare, "5") == "the lower edge (5)"


@pytest.mark.parametrize(
    ("degrees", "side"), [(0.0, "upper"), (90.0, "right"), (180.0, "lower"), (-90.0, "left")]
)
def test_the_side_is_that_on_the_sheet(degrees, side):
    """Turned clockwise on the sheet, the edge that was above lies on the right."""
    frame = turn(degrees).then(move(70.0, -30.0))
    path = frame.path(Path.through([(0, 0), (200, 0), (200, 500), (0, 500)], closed=True))
    bare = Outline("", path, tuple(Edge(str(n + 1), n, n + 1) for n in range(4)))

    assert called(bare, "1") == "{} edge (1)".format(side)


def test_an_outline_without_corners_is_one_edge():
    k = 55.2285
    circle = outline(
        (100, 0),
        ((100, k), (k, 100), (0, 100)),
        ((-k, 100), (-100, k), (-100, 0)),
        ((-100, -k), (-k, -100), (0, -100)),
        ((k, -100), (100, -k), (100, 0)),
    )

    assert quoted(bare_outline(circle), "1") == "the outline"
