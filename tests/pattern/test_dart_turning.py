"""A dart turned with its point backed off, an edge taken in: one size at a time, in closed form."""

import cmath
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.pattern.dart import dart_named
from sewkit.pattern.dart_pivot import pivot_for
from sewkit.pattern.dart_point import set_back
from sewkit.pattern.dart_targets import Words, targets_of
from sewkit.pattern.dart_turning import turn_dart, turn_edge
from sewkit.pattern.mark import DART, Mark, On
from tests.operations.dart_pieces import skirt_front
from tests.operations.length_pieces import drill, edge_ruler
from tests.operations.pieces import named
from tests.pattern.test_spokes import APEX, D1, D2, Q, front, rotated

A = complex(95, 265)


def set_off(back=25.0, **more):
    """The front with its dart ending so far short of the marked apex."""
    piece = front(marks=(drill(95.0, 265.0, "apex"),), **more)
    outline = piece.outlines[0]
    return piece.with_outline(set_back(outline, dart_named(piece, outline), back))


def turned(piece, words, percent=100.0, back_off=None):
    source = dart_named(piece, piece.outlines[0], "dart")
    piece, targets = targets_of(piece, "", words, source, percent >= 100)
    source = dart_named(piece, piece.outlines[0], "dart")
    pivot = pivot_for(piece, "", source)
    return turn_dart(piece, piece.outlines[0], source, pivot, targets, percent, back_off)


def dart(piece, name="dart"):
    return dart_named(piece, piece.outlines[0], name)


def off(pivot, one, other, distance):
    """The point at a distance from the pivot, half way between the ways to both ends."""
    way = (one - pivot) / abs(one - pivot) + (other - pivot) / abs(other - pivot)
    return pivot + distance * way / abs(way)


def test_a_dart_short_of_the_apex_turns_about_the_apex_and_is_backed_off_as_far_again():
    after, made = turned(set_off(), Words("shoulder"))

    new = dart(after)
    assert made.angle == pytest.approx(9.0, abs=1e-9)
    assert new.seen_from(APEX) == pytest.approx(9.0, abs=1e-9)
    assert complex(*new.point) == pytest.approx(off(A, Q, rotated((130, 22.5), 9), 25.0), abs=1e-9)
    assert new.intake == pytest.approx(2 * abs(Q - A) * math.sin(math.radians(4.5)), abs=1e-9)
    assert after.darts == ("dart",)


def test_the_point_is_backed_off_as_asked():
    after, _ = turned(set_off(), Words("shoulder"), back_off=40.0)

    assert np.hypot(*(dart(after).point - APEX)) == pytest.approx(40.0, abs=1e-9)


def test_what_stays_of_a_dart_keeps_its_distance_and_the_new_one_has_a_name_of_its_own():
    after, _ = turned(set_off(), Words("shoulder"), 40.0)

    old, new = dart(after), dart(after, "dart-2")
    assert old.seen_from(APEX) == pytest.approx(0.6 * 9, abs=1e-9)
    assert new.seen_from(APEX) == pytest.approx(0.4 * 9, abs=1e-9)
    assert [np.hypot(*(one.point - APEX)) for one in (old, new)] == pytest.approx([25.0, 25.0], abs=1e-9)
    assert after.darts == ("dart", "dart-2")


def test_shared_out_over_two_edges_and_two_places_of_one():
    after, _ = turned(set_off(), Words("shoulder waist", "50% 40%", "70 30", "first second"))
    angles = [dart(after, name).seen_from(APEX) for name in ("first", "second")]
    assert angles == pytest.approx([6.3, 2.7], abs=1e-9)
    assert after.darts == ("first", "second")

    after, _ = turned(set_off(), Words("waist", "80mm 160mm"))
    angles = [dart(after, name).seen_from(APEX) for name in ("dart", "dart-2")]
    assert angles == pytest.approx([4.5, 4.5], abs=1e-9)


def test_shares_go_to_the_places_in_the_order_in_which_they_are_named():
    piece, _ = turned(set_off(), Words("waist", "100mm"), 50.0)

    after, _ = turned(piece, Words("dart-2 shoulder", "30%", "75 25", "new"))

    assert dart(after, "dart-2").seen_from(APEX) == pytest.approx(4.5 + 0.75 * 4.5, abs=1e-9)
    assert dart(after, "new").seen_from(APEX) == pytest.approx(0.25 * 4.5, abs=1e-9)


def test_there_and_back_with_a_backed_off_point_is_nothing():
    piece = set_off()
    away, _ = turned(piece, Words("armhole", "30%"))
    back, _ = turned(away, Words("side", "55.0mm"))
    # Where it was: the distance of D1 from the underarm point; back at that very place.
    at = math.hypot(D1[0] - 250, D1[1] - 230)
    exact, _ = turned(away, Words("side", "{!r}mm".format(at)))

    assert exact.outlines[0].edges == piece.outlines[0].edges
    np.testing.assert_allclose(exact.outlines[0].path.curves, piece.outlines[0].path.curves, atol=0.01)
    assert dart(back).seen_from(APEX) == pytest.approx(9.0, abs=1e-9)


def test_a_dart_that_is_only_drawn_takes_the_angle_up_and_keeps_its_own_distance():
    legs = Mark(DART, "waist-dart", "", Path.through([(90, 440.149), (97, 300), (104, 440.149)]))
    piece = set_off()
    piece = piece._replace(marks=piece.marks + (legs,))

    after, _ = turned(piece, Words("waist-dart"))

    now = dart(after, "waist-dart")
    own = cmath.phase((complex(90, 440.149) - A) / (complex(104, 440.149) - A))
    assert now.seen_from(APEX) == pytest.approx(math.degrees(own) + 9.0, abs=1e-9)
    assert np.hypot(*(now.point - APEX)) == pytest.approx(math.hypot(2, 35), abs=1e-9)
    assert after.darts == ("waist-dart",)
    assert [m for m in after.marks if m.kind == DART] == []


@pytest.mark.parametrize("place", ["30%", "50%", "70%"])
def test_an_edge_that_gapes_loses_what_is_asked_wherever_it_is_taken_in(place):
    piece = set_off()
    old = piece.outlines[0]
    piece, targets = targets_of(piece, "", Words("dart"), None, False)
    neck = On("neck", edge_ruler(old, "neck") * float(place[:-1]) / 100)

    after, made = turn_edge(piece, old, neck, 8.0, APEX, targets)

    assert edge_ruler(after.outlines[0], "neck") == pytest.approx(edge_ruler(old, "neck") - 8.0, abs=1e-4)
    assert dart(after).seen_from(APEX) == pytest.approx(9.0 + made.angle, abs=1e-9)
    for name in ("shoulder", "armhole", "waist", "centre"):
        assert edge_ruler(after.outlines[0], name) == pytest.approx(edge_ruler(old, name), abs=1e-6)
    wedge = next(spoke for spoke in made.turned.spokes if not spoke.name)
    assert made.angle == wedge.now


def test_an_edge_that_runs_nearly_to_the_pivot_cannot_be_taken_in():
    # The slanting edge points 12 mm beside the pivot: what is taken out leaves hardly an angle.
    path = Path.through([(0, 0), (300, 0), (200, 190), (300, 400), (0, 400)], True)
    piece = named(path, "top slant side hem centre", "panel", marks=(drill(165, 230, "apex"),))
    piece, targets = targets_of(piece, "", Words("centre"), None, False)

    with pytest.raises(InputError) as told:
        turn_edge(piece, piece.outlines[0], On("slant", 100.0), 20.0, np.array([165.0, 230.0]), targets)

    assert told.value.code == "overlap"
    assert "aslant" in str(told.value)


@pytest.mark.parametrize(
    ("words", "percent", "code"),
    [
        (Words(), 100.0, "choice"),
        (Words("dart"), 100.0, "dart"),
        (Words("nowhere"), 100.0, "name"),
        (Words("shoulder"), 0.0, "value"),
        (Words("shoulder waist", "", "60 30"), 100.0, "value"),
        (Words("shoulder waist", "1 2 3"), 100.0, "value"),
        (Words("shoulder", "", "", "side"), 100.0, "name"),
        (Words("side", "55mm"), 100.0, "dart"),
    ],
)
def test_what_cannot_be_meant_is_one_sentence(words, percent, code):
    with pytest.raises(InputError) as told:
        turned(set_off(), words, percent)

    assert told.value.code == code


def test_without_a_dart_the_marked_apex_is_the_pivot_and_without_that_it_is_asked_for():
    plain = Path.through([(0, 0), (300, 0), (300, 400), (0, 400)], True)
    piece = named(plain, "top side hem centre", "panel", marks=(drill(150, 100, "apex"),))

    assert tuple(pivot_for(piece, "", None)) == (150.0, 100.0)
    with pytest.raises(InputError) as told:
        pivot_for(piece._replace(marks=()), "", None)
    assert told.value.code == "pivot"


def test_the_apex_beyond_the_point_is_the_pivot_unless_the_point_itself_is_asked_for():
    piece = set_off()

    assert tuple(pivot_for(piece, "", dart(piece))) == (95.0, 265.0)
    assert complex(*pivot_for(piece, "", dart(piece), "point")) == pytest.approx(
        off(A, complex(*D1), D2, 25.0), abs=1e-9
    )


def test_a_dart_that_does_not_point_to_the_pivot_stays_as_deep():
    """Two waist darts of a skirt put together: the mouth grows by the turn, the depth stays.

    The side dart closes about its own point by 2 atan(8 / 90); one end of the other's mouth turns
    about that point, the other stays: complex numbers.
    """
    piece = skirt_front()
    outline = piece.outlines[0]
    source = dart_named(piece, outline, "side-dart")
    piece, targets = targets_of(piece, "", Words("front-dart"), source, True)
    after, _ = turn_dart(piece, outline, source, source.point, targets, 100.0, None)

    new = dart(after, "front-dart")
    angle, pivot = 2 * math.atan2(8, 90), 158 + 90j
    turns = [pivot + (100 - pivot) * cmath.exp(1j * way * angle) for way in (1, -1)]
    assert new.intake == pytest.approx(max(abs(turn - 80) for turn in turns), abs=1e-9)
    assert new.depth == pytest.approx(100.0, abs=1e-9)
    assert new.lengths[0] == pytest.approx(new.lengths[1], abs=1e-9)
    assert new.lengths[0] == pytest.approx(math.hypot(100.0, new.intake / 2), abs=1e-9)


def test_a_dart_that_stays_deep_is_not_crossed_by_a_new_one():
    """The new dart would run from the waist, 54 mm along, to the side dart's point: through the other."""
    piece = skirt_front()
    source = dart_named(piece, piece.outlines[0], "side-dart")
    piece, targets = targets_of(piece, "", Words("front-dart waist", "54"), source, True)
    with pytest.raises(InputError) as told:
        turn_dart(piece, piece.outlines[0], source, source.point, targets, 100.0, None)
    assert told.value.code == "fold-over"
