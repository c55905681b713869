"""Where a slash runs: evenly, at places, along a drawn line; and which are refused."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, Place
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Edge, Outline, bare_outline
from sewkit.pattern.slash import (
    at_places,
    between,
    drawn,
    edges_at,
    even,
    place_on,
    strays,
    uncrossed,
    where,
)


def skirt(backwards=False):
    """A block 200 by 500: waist above, hem below."""
    path = Path.through([(0, 0), (200, 0), (200, 500), (0, 500)], closed=True)
    names = "waist side hem centre"
    if backwards:
        path, names = path.reverse(), "centre hem side waist"
    return Outline("", path, tuple(Edge(n, i, i + 1) for i, n in enumerate(names.split())))


def ends(slash):
    return [tuple(np.round(end, 9)) for end in (slash.line.start, slash.line.end)]


def _refused(code, call, *words):
    with pytest.raises(InputError) as caught:
        call()
    assert caught.value.code == code
    assert caught.value.cure
    for word in words:
        assert word in str(caught.value)


@pytest.mark.parametrize("backwards", [False, True])
def test_slashes_are_evenly_spread_and_do_not_cross(backwards):
    made = even(skirt(backwards), "hem", "waist", 3)

    assert sorted(map(ends, made)) == [[(x, 500.0), (x, 0.0)] for x in (50.0, 100.0, 150.0)]


def test_places_count_along_the_edge_and_from_its_end():
    (made,) = at_places(skirt(), [(On("hem", 30.0), On("waist", 20.0, True))])

    assert ends(made) == [(170.0, 500.0), (180.0, 0.0)]


def test_a_place_on_an_edge_that_a_dart_interrupts_counts_as_sewn():
    path = Path.through([(0, 0), (80, 0), (100, 60), (120, 0), (200, 0), (200, 500), (0, 500)], closed=True)
    names = "waist dart dart waist side hem centre".split()
    outline = Outline("", path, tuple(Edge(n, i, i + 1) for i, n in enumerate(names)))

    place = place_on(outline, On("waist", 100.0))

    assert place.curve == 3
    assert place.t == pytest.approx(0.25)


@pytest.mark.parametrize("beyond", [0.0, 1.5, -1.5, -40.0])
def test_a_drawn_line_may_end_beside_the_outline_or_beyond_it(beyond):
    line = Path.through([(60.0, 500.0 - beyond), (60.0, 0.0 + beyond)])

    assert ends(drawn(skirt(), line)) == [(60.0, 500.0), (60.0, 0.0)]


def test_the_first_end_of_a_drawn_line_opens():
    assert ends(drawn(skirt(), Path.through([(60, -5), (80, 505)])))[0][1] == 0.0


def test_a_hinge_inside_the_piece_is_refused():
    line = Path.through([(60, 500), (60, 250)])
    _refused("pivot", lambda: drawn(skirt(), line), "inside", "60 mm")


def test_a_line_beside_the_piece_is_refused():
    _refused("line", lambda: drawn(skirt(), Path.through([(230, 0), (230, 500)])), "misses", "30 mm")


def test_a_line_along_an_edge_is_refused():
    _refused("line", lambda: drawn(skirt(), Path.through([(200, 10), (200, 400)])), "along an edge")


def test_a_line_that_leaves_the_piece_on_its_way_is_refused():
    path = Path.through([(0, 0), (80, 0), (100, 400), (120, 0), (200, 0), (200, 500), (0, 500)], closed=True)
    outline = Outline("", path, tuple(Edge(str(i), i, i + 1) for i in range(7)))

    _refused("line", lambda: drawn(outline, Path.through([(0, 100), (200, 100)])), "more than once")
    _refused("line", lambda: between(outline, Place(6, 0.5), Place(4, 0.5)), "leaves the piece")


def test_slashes_that_cross_are_refused_and_a_shared_hinge_is_not():
    outline = skirt()
    one, other, third = at_places(
        outline,
        [
            (On("hem", 50.0), On("waist", 150.0)),
            (On("hem", 90.0), On("waist", 150.0)),
            (On("hem", 150.0), On("waist", 50.0)),
        ],
    )
    assert uncrossed(outline, [one, other]) == (one, other)

    _refused(
        "line",
        lambda: at_places(
            outline, [(On("hem", 50.0), On("waist", 50.0)), (On("hem", 150.0), On("waist", 150.0))]
        ),
        "cross",
        "50 mm from the left end of 'hem'",
        "150 mm from the left end of 'hem'",
    )
    assert len(uncrossed(outline, [one, third])) == 2


def test_wrong_edges_are_refused():
    _refused("pivot", lambda: even(skirt(), "hem", "hem", 1), "'hem'")
    _refused("name", lambda: even(skirt(), "hme", "waist", 1), "'hme'", "waist, side, hem, centre")


def test_an_open_outline_is_refused():
    outline = skirt()
    outline = outline._replace(path=Path(outline.path.curves[:3]), edges=outline.edges[:3])
    _refused("open", lambda: drawn(outline, Path.through([(60, 500), (60, 0)])))


@pytest.mark.parametrize("backwards", [False, True])
def test_a_spot_is_told_from_the_end_where_places_begin(backwards):
    """The hem runs from right to left in path order; places count from its left end either way."""
    hem, side = (1, 2) if backwards else (2, 1)

    assert (
        where(skirt(backwards), Place(hem, 0.25 if backwards else 0.75)) == "50 mm from the left end of 'hem'"
    )
    assert where(skirt(backwards), Place(side, 0.8 if backwards else 0.2)) == (
        "100 mm from the upper end of 'side'"
    )


def test_a_spot_behind_a_dart_counts_as_sewn():
    """80 of the waist lie before the dart; a quarter of the 80 after it makes 100."""
    path = Path.through([(0, 0), (80, 0), (100, 60), (120, 0), (200, 0), (200, 500), (0, 500)], closed=True)
    names = "waist dart dart waist side hem centre".split()
    outline = Outline("", path, tuple(Edge(n, i, i + 1) for i, n in enumerate(names)))

    assert where(outline, Place(3, 0.25)) == "100 mm from the left end of 'waist'"


def test_a_spot_on_an_edge_without_a_name_is_told_by_the_side_of_the_piece():
    outline = bare_outline(skirt().path)

    assert where(outline, Place(2, 0.25)) == "150 mm from the left end of the lower edge (3)"


def test_a_slash_given_twice_is_told_as_that_and_not_as_crossing():
    outline = skirt()
    once = On("hem", 50.0), On("waist", 150.0)
    _refused(
        "line", lambda: at_places(outline, [once, once]), "150 mm from the left end", "given twice", "Leave"
    )
    line = Path.through([(60, 500), (60, 0)])
    both = [drawn(outline, line), drawn(outline, line.reverse())]
    _refused("line", lambda: uncrossed(outline, both), "given twice")
    _refused(
        "line",
        lambda: at_places(outline, [once, (On("hem", 50.0), On("waist", 100.0))]),
        "open at one place",
        "150 mm from the left end of 'hem'",
    )


def test_where_an_edge_ends_a_place_lies_on_both():
    assert edges_at(skirt(), Place(2, 0.5)) == ("hem",)
    assert set(edges_at(skirt(), Place(2, 1.0))) == {"hem", "centre"}
    assert set(edges_at(skirt(), Place(0, 0.0))) == {"waist", "centre"}


@pytest.mark.parametrize("bow", [0.0, 0.5, 40.0])
def test_a_drawn_line_strays_by_its_bow(bow):
    """The middle of the line lies ``bow`` mm beside the straight one; what hangs over does not count."""
    line = Path.through([(60, 520), (60, 500), (60 + bow, 250), (60, 0), (60, -20)])

    assert strays(drawn(skirt(), line), line) == pytest.approx(bow, abs=1e-6)
