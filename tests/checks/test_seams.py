"""The lights of the seam guard at their limits, and what is said."""

import pytest

from sewkit.checks.seams import guard, light, seam_report, sentence
from sewkit.geometry.path import Path
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.walking import Side, walk_sides
from sewkit.report import Level

PASS, WARN, FAIL = Level.PASS, Level.WARN, Level.FAIL
FIRST, SECOND = EdgeRef("front", "side"), EdgeRef("back", "side")


def walk(difference, ease=(0.0, 0.0), apart=0.0):
    """A seam whose first side is longer by ``difference`` and whose one mark misses by ``apart``."""
    marks = (("1", 50.0 + apart),), (("1", 50.0),)
    return walk_sides(
        Seam((FIRST,), (SECOND,), ease), Side(190.2 + difference, marks[0]), Side(190.2, marks[1])
    )


# Limits: two seams meant equal 0.5 and 3 mm (Threads no. 200: 1/16 in careful, 1/8 in usual;
# 0.5 mm our own); an eased seam inside its window or 1 mm outside; never negative ease.
LIGHTS = [
    (0.0, (0, 0), PASS),
    (0.5, (0, 0), PASS),
    (-0.5, (0, 0), PASS),
    (0.51, (0, 0), WARN),
    (3.0, (0, 0), WARN),
    (-3.0, (0, 0), WARN),
    (3.01, (0, 0), FAIL),
    (0.0, (0, 6), PASS),
    (6.0, (0, 6), PASS),
    (6.01, (0, 6), WARN),
    (7.0, (0, 6), WARN),
    (7.01, (0, 6), FAIL),
    (-0.1, (0, 6), FAIL),
    (2.0, (2, 6), PASS),
    (1.0, (2, 6), WARN),
    (0.9, (2, 6), FAIL),
    (-4.0, (-6, 0), PASS),
    (0.1, (-6, 0), FAIL),
    (-7.0, (-6, 0), WARN),
    (-2.5, (-2, 2), WARN),
    (-3.1, (-2, 2), FAIL),
]


@pytest.mark.parametrize(("difference", "ease", "level"), LIGHTS)
def test_lights_of_lengths(difference, ease, level):
    assert light(walk(difference, ease)) == level


@pytest.mark.parametrize(
    ("apart", "level"), [(1.0, PASS), (-1.0, PASS), (1.01, WARN), (2.0, WARN), (2.01, FAIL)]
)
def test_lights_of_match_marks(apart, level):
    assert light(walk(0.0, apart=apart)) == level


def test_the_worse_of_both_counts():
    assert light(walk(2.0, apart=5.0)) == FAIL and light(walk(5.0, apart=0.0)) == FAIL


@pytest.mark.parametrize(
    ("difference", "ease", "words", "not_words"),
    [
        (0.04, (0, 0), "are equal (190.2 mm)", "longer"),
        (1.2, (0, 0), "front/side is 1.2 mm longer than back/side (191.4 and 190.2 mm).", "ease it in"),
        (-1.2, (0, 0), "back/side is 1.2 mm longer than front/side", "ease it in"),
        (1.6, (0, 0), "fix it or ease it in", "meant"),  # 1/16 in = 1.5875 mm
        (3.5, (0, 0), "3.5 mm longer", "ease it in"),
        (3.0, (0, 6), "0 to 6 mm of ease are meant", "fix it"),
    ],
)
def test_what_is_said(difference, ease, words, not_words):
    text = sentence(walk(difference, ease))

    assert words in text and not_words not in text


def test_marks_that_miss_are_said():
    assert "notches miss by 1.5 mm" in sentence(walk(0.0, apart=1.5))
    assert "miss" not in sentence(walk(0.0, apart=0.9))


# -- reports --------------------------------------------------------------------------------


def box(name, height, size="3"):
    bare = bare_outline(Path.through([(0, 0), (90, 0), (90, height), (0, height)], True), size)
    names = ("top", "side", "hem", "centre")
    return Piece(name, (bare._replace(edges=tuple(e._replace(name=n) for e, n in zip(bare.edges, names))),))


def pattern(front, back, *more):
    seams = (Seam((FIRST,), (SECOND,)), *more)
    return Pattern((box("front", front), box("back", back)), seams)


def test_a_seam_that_cannot_be_walked_does_not_stop_the_others():
    report = seam_report(
        pattern(150, 152, Seam((EdgeRef("front", "top"),), (EdgeRef("collar", "neck"),))), "3"
    )

    assert [(f.code, f.level) for f in report.findings] == [("seam-missing", WARN), ("seam", WARN)]
    assert report.tables[0].rows == (("front/side to back/side", "150.0", "152.0", "-2.0", "equal"),)


def test_the_guard_tells_before_and_after_and_what_was_so_before():
    before, after = pattern(150, 150), pattern(154, 150)
    report = guard(before, after, [("3", "3")], ["front"])

    (finding,) = report.findings
    assert finding.level == FAIL and "4.0 mm longer" in finding.text and "Before: +0.0 mm" in finding.text
    assert report.tables[0].rows == (
        ("front/side to back/side", "150.0 / 150.0", "154.0 / 150.0", "0.0", "+4.0", "equal"),
    )
    (finding,) = guard(after, after, [("3", "3")]).findings
    assert "It was so before." in finding.text
    assert guard(before, after, [("3", "3")], ["sleeve"]).findings == ()
