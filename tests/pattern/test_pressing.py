"""To which side a dart is pressed: worked by hand on drawn pieces, the rule from the textbooks.

Vertical darts are folded to the centre, horizontal ones down (Erwin; NIMI).
"""

import math

import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.transform import mirror, turn
from sewkit.pattern.apex import apex_near, pivot_of
from sewkit.pattern.dart import dart_named
from sewkit.pattern.mark import DRILL, INNER, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import parse_pressed, write_pressed
from sewkit.pattern.pressing import default_side, folded_to
from tests.operations.pieces import R1, bare_piece, grain, moved, named, r1

# A front with its fold at x = 0, a waist dart at the lower edge and a bust dart in the side.
FRONT = Path.through(
    [(0, 0), (200, 0), (200, 100), (90, 110), (200, 120), (200, 400)]
    + [(110, 400), (100, 280), (90, 400), (0, 400)],
    closed=True,
)
WORDS = "shoulder side bust-dart bust-dart side waist waist-dart waist-dart waist centre-front"


def front(**more):
    return named(FRONT, WORDS, "front", darts=("bust-dart", "waist-dart"), **more)


def pressed_to(piece, name, side):
    """The end of the mouth over which the intake comes to lie."""
    outline = piece.outlines[0]
    dart = dart_named(piece, outline, name)
    return dart.mouth[folded_to(piece, outline, dart, side)]


def test_upright_darts_go_to_the_centre_and_others_down():
    piece = front(folds=("centre-front",))
    for name, side in (("waist-dart", "centre"), ("bust-dart", "down")):
        assert default_side(piece, dart_named(piece, piece.outlines[0], name)) == side
    dart = dart_named(r1(), r1().outlines[0])
    assert default_side(r1(), dart) == "down"
    # A French dart: from low on the upright side it rises by 50 degrees; its legs are 120 long.
    ways = [(120 * math.cos(math.radians(a)), 120 * math.sin(math.radians(a))) for a in (45, 55)]
    mouth = [(100 + x, 200 + y) for x, y in ways]
    path = Path.through([(0, 0), (185, 0), mouth[0], (100, 200), mouth[1], (165, 400), (0, 400)], True)
    words = "shoulder side bust-dart bust-dart side waist centre-front"
    steep = named(path, words, "front", darts=("bust-dart",))
    dart = dart_named(steep, steep.outlines[0])
    assert abs(dart.axis[1]) > math.cos(math.radians(45))
    assert default_side(steep, dart) == "down"
    lying = r1(marks=(grain()._replace(path=Path.through([(50, 300), (150, 300)])),))
    assert default_side(lying, dart_named(lying, lying.outlines[0])) == "centre"


@pytest.mark.parametrize(
    "frame", [turn(0.0), turn(90.0), turn(180.0), turn(-30.0), mirror((0, 0), (0, 1))], ids=str
)
@pytest.mark.parametrize("folds", [("centre-front",), ()])
def test_the_sides_are_those_of_the_body_however_the_piece_lies(frame, folds):
    whole = moved(Pattern((front(folds=folds, marks=(grain(x=30.0),)),)), frame)
    for piece in (whole.pieces[0], _back(whole.pieces[0])):
        for name, side, spot in (
            ("waist-dart", "centre", (90, 400)),
            ("waist-dart", "side", (110, 400)),
            ("bust-dart", "down", (200, 120)),
            ("bust-dart", "up", (200, 100)),
        ):
            wanted = frame.points([spot])[0]
            assert pressed_to(piece, name, side) == pytest.approx(wanted, abs=1e-9), (name, side)


def _back(piece):
    """The same piece with its outline drawn the other way round."""
    outline = piece.outlines[0]
    count = len(outline.path)
    edges = tuple(e._replace(start=count - e.stop, stop=count - e.start) for e in outline.edges[::-1])
    return piece._replace(outlines=(outline._replace(path=outline.path.reverse(), edges=edges),))


def test_the_centre_of_a_bare_outline_is_its_longest_edge_along_the_grain():
    piece = bare_piece(FRONT)
    assert pressed_to(piece, "dart-2", "centre") == pytest.approx((90, 400))
    assert pressed_to(piece, "dart-1", "down") == pytest.approx((200, 120))


def test_without_fold_or_centre_the_grain_line_stands_for_it():
    piece = named(FRONT, WORDS.replace("centre-front", "seam"), "front", darts=("bust-dart", "waist-dart"))
    for x, spot in ((20.0, (90, 400)), (180.0, (110, 400))):
        made = piece._replace(marks=(grain(x=x),))
        assert pressed_to(made, "waist-dart", "centre") == pytest.approx(spot)


def test_another_word_is_no_side():
    with pytest.raises(ValueError):
        folded_to(r1(), r1().outlines[0], dart_named(r1(), r1().outlines[0]), "left")


def test_the_sides_are_written_and_read_back():
    sides = {"bust-dart": "down", "waist-dart": "centre"}
    assert write_pressed(sides) == "bust-dart=down waist-dart=centre"
    assert parse_pressed(write_pressed(sides)) == sides
    assert parse_pressed("") == {}
    for text in ("bust-dart", "bust-dart=left", "=down"):
        with pytest.raises(InputError, match="pressed"):
            parse_pressed(text)


# -- the apex ------------------------------------------------------------------------------


def spot(name, x, y, kind=DRILL):
    return Mark(kind, name, path=Path.through([(x - 2, y), (x, y + 2), (x + 2, y), (x, y - 2)], closed=True))


def test_a_dart_turns_about_the_apex_to_which_it_points():
    # The bust dart's point is at (90, 110), its axis level.
    for mark, wanted in (
        (spot("apex", 65, 110), (65, 110)),
        (spot("bust-apex", 65, 111, INNER), (65, 111)),
        (spot("apex", 65, 120), (90, 110)),  # aside: 22 degrees off the axis
        (spot("apex", 20, 110), (90, 110)),  # 70 mm away
        (spot("button", 65, 110), (90, 110)),
        (spot("apex", 90, 111), (90, 111)),  # at the point, whatever its direction
    ):
        piece = front(marks=(mark,))
        assert pivot_of(piece, dart_named(piece, piece.outlines[0], "bust-dart")) == pytest.approx(wanted)


def test_of_two_apexes_the_nearest_counts_and_a_name_is_believed():
    piece = front(marks=(spot("apex", 40, 110), spot("apex", 65, 110), spot("button", 10, 10)))
    dart = dart_named(piece, piece.outlines[0], "bust-dart")
    assert apex_near(piece, "", dart.point) == pytest.approx((65, 110))
    assert pivot_of(piece, dart, "button") == pytest.approx((10, 10))
    with pytest.raises(InputError, match="no mark called 'x'") as told:
        pivot_of(piece, dart, "x")
    assert "apex, button" in str(told.value)


def test_r1_has_no_marked_apex_so_its_point_serves():
    piece = r1()
    assert pivot_of(piece, dart_named(piece, piece.outlines[0])) == pytest.approx((95, 265))
    assert bare_piece(R1).pressed == {}
