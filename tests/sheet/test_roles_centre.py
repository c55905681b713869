"""Lines that the words beside them name as the centre of the body.  Drawings worked by hand."""

import pytest

from sewkit.geometry.transform import turn
from sewkit.pattern.mark import INNER
from sewkit.sheet.role_centre import centre_named
from tests.sheet.found import box, laid, line, moved, of_kind, words

PIECE = {"": box(200, 300)}
CENTRE = line((180, 20), (180, 290))

NAMES = [
    ("centre front", "centre-front"),
    ("CENTER FRONT", "centre-front"),
    ("(Centre-front line)", "centre-front"),
    ("CF", "centre-front"),
    ("Vordere Mitte", "centre-front"),
    ("milieu devant", "centre-front"),
    ("Centre back", "centre-back"),
    ("hintere Mitte", "centre-back"),
    ("cf. page 3", ""),
    ("centre back seam", ""),
    ("from centre front to centre back", ""),
    ("centre of the pocket", ""),
    ("front", ""),
]


@pytest.mark.parametrize("text, name", NAMES)
def test_which_centre_a_text_names(text, name):
    assert centre_named(text) == name


def written(text, x, y):
    """Words up the sheet, as along a centre line; they begin at (x, y) mm."""
    return words(text, x, y, angle=-90.0)


@pytest.mark.parametrize("degrees", [0.0, 90.0, 33.0])
def test_a_line_with_the_words_along_it_is_the_centre_front(degrees):
    made = moved(laid(PIECE, [CENTRE], [written("centre front", 176, 180)]), turn(degrees))

    (mark,) = of_kind(made.guessed(), INNER)

    assert mark.name == "centre-front"
    assert mark.guess > 0.8


def test_only_the_nearest_line_has_the_name():
    marks = [CENTRE, line((164, 20), (164, 290))]  # 13 mm from the words, within their 15
    found = of_kind(laid(PIECE, marks, [written("centre front", 177, 180)]).guessed(), INNER)

    assert [(mark.name, mark.path.start[0]) for mark in found if mark.name] == [("centre-front", 180.0)]


@pytest.mark.parametrize(
    "text", [words("centre front", 120, 150), written("centre front", 100, 180), written("button", 176, 180)]
)
def test_words_across_or_far_away_or_of_something_else_name_no_line(text):
    (mark,) = of_kind(laid(PIECE, [CENTRE], [text]).guessed(), INNER)

    assert mark.name == ""


def test_a_bent_line_is_no_centre():
    bent = line((180, 20), (180, 150), (150, 290))
    (mark,) = of_kind(laid(PIECE, [bent], [written("centre front", 176, 140)]).guessed(), INNER)

    assert mark.name == ""


def test_in_a_nest_the_line_of_every_size_has_the_name():
    sizes = {"S": box(200, 300), "M": box(210, 310), "L": box(220, 320)}
    # Each 10 mm further out; the words stand at the largest, out of reach (15 mm) of the smallest.
    marks = [(line((x, 20), (x, 290)), size) for x, size in ((180, "S"), (190, "M"), (200, "L"))]
    found = of_kind(laid(sizes, marks, [written("centre front", 205, 180)]).guessed(), INNER)

    assert {mark.size: (mark.name, mark.path.start[0]) for mark in found} == {
        "S": ("centre-front", 180.0),
        "M": ("centre-front", 190.0),
        "L": ("centre-front", 200.0),
    }
    scores = {mark.size: mark.guess for mark in found}
    assert scores["S"] < scores["L"]
