"""The lights of the seam guard at their limits, and what is said."""

import pytest

from sewkit.checks.seams import guard, light, seam_report, seam_reports, sentence
from sewkit.geometry.path import Path
from sewkit.pattern.mark import NOTCH, Mark, On
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

    assert [(f.code, f.level) for f in report.findings] == [("seam-missing", FAIL), ("seam", WARN)]
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


def test_notches_that_met_before_are_not_told_as_if_it_had_been_so():
    before = pattern(150, 150)
    ons = [[Mark(NOTCH, "1", "", None, On("side", at))] for at in (60.0, 45.0)]
    before, after = (
        before._replace(pieces=tuple(p._replace(marks=tuple(m)) for p, m in zip(before.pieces, marks)))
        for marks in ([ons[0], ons[0]], ons)
    )
    (finding,) = guard(before, after, [("3", "3")]).findings
    assert "notches miss by 15.0 mm. Before, they met." in finding.text


def test_lengths_stand_in_the_order_of_the_sentence():
    assert "(200.2 and 190.2 mm)" in sentence(walk(10.0))
    assert "back/side is 10.0 mm longer than front/side (190.2 and 180.2 mm)" in sentence(walk(-10.0))


@pytest.mark.parametrize(
    ("first", "second", "shown"),
    [
        # By hand: 100.0 and 99.9 with 0.0 between them; equal with 0.1; 100.0 and 100.5 with 0.4.
        (99.96, 99.94, ("99.96", "99.94", "+0.02")),
        (100.04, 99.98, ("100.04", "99.98", "+0.06")),
        (100.0, 100.04, ("100.0", "100.0", "0.0")),
        (100.0, 100.2, ("100.0", "100.2", "-0.2")),
        (100.04, 100.46, ("100.04", "100.46", "-0.42")),
    ],
)
def test_three_numbers_in_a_row_agree(first, second, shown):
    report = seam_report(pattern(first, second), "3")

    row = report.tables[0].rows[0]
    assert float(row[1]) - float(row[2]) == pytest.approx(float(row[3]), abs=1e-9)
    # Never further from the truth than rounding to the shown decimals allows.
    decimals = len(row[1].split(".")[1])
    assert float(row[3]) == pytest.approx(first - second, abs=10**-decimals)
    assert row[1:4] == shown


def nested(name, heights):
    pieces = [box(name, height, size) for size, height in heights.items()]
    return Piece(name, tuple(piece.outlines[0] for piece in pieces))


def test_of_several_sizes_every_finding_and_table_says_which():
    seams = (Seam((FIRST,), (SECOND,)),)
    before = Pattern((nested("front", {"3": 150, "4": 160}), nested("back", {"3": 150, "4": 160})), seams)
    after = before.with_piece(nested("back", {"3": 155, "4": 160}))

    report = guard(before, after, [("3", "3"), ("4", "4")])

    assert [table.title for table in report.tables] == [
        "Seams before and after, size 3",
        "Seams: in size 4 none changed by more than 0.05 mm",
    ]
    assert [f.text.split(" is ")[0] for f in report.findings] == ["Size 3: back/side"]
    assert [f.text.split(" is ")[0].split(" and ")[0] for f in seam_reports(after, ("3", "4")).findings] == [
        "Size 3: back/side",
        "Size 4: front/side",
    ]
    assert guard(before, after, [("3", "3")]).findings[0].text.startswith("back/side")


@pytest.mark.parametrize(
    ("changed", "kept"),
    [((), "sizes 3 to 6"), ("6", "sizes 3 to 5"), ("4", "sizes 3, 5, 6"), ("345", "size 6")],
)
def test_sizes_in_which_no_seam_changed_have_one_line_in_place_of_their_tables(changed, kept):
    """Both sides longer by 0.06 mm is a change, though they differ as before; by 0.04 it is none."""
    seams, sizes = (Seam((FIRST,), (SECOND,)),), "3456"

    def of(more, less):
        heights = {size: 150 + (more if size in changed else less) for size in sizes}
        return Pattern((nested("front", heights), nested("back", heights)), seams)

    tables = guard(of(0, 0), of(0.06, 0.04), [(size, size) for size in sizes]).tables
    assert [table.title.rpartition(" ")[2] for table in tables[:-1]] == list(changed)
    assert all(table.rows for table in tables[:-1])
    assert tables[-1] == ("Seams: in {} none changed by more than 0.05 mm".format(kept), (), (), ())
    findings = guard(of(0, 0), of(0, 0), [(size, size) for size in sizes]).findings
    assert findings == ()


def test_a_blended_line_without_a_partner_is_to_be_looked_at_but_a_lost_edge_stops():
    seams = (Seam((FIRST,), (SECOND,)),)
    before = Pattern((nested("front", {"3": 150}), nested("back", {"3": 150})), seams)
    blended = before.with_piece(nested("front", {"3": 150, "p03": 150}))
    lost = before._replace(seams=(Seam((FIRST,), (EdgeRef("back", "flank"),)),))

    assert [f.level for f in guard(before, blended, [("3", "p03")]).findings] == [WARN]
    assert [f.level for f in guard(lost, lost, [("3", "3")]).findings] == [FAIL]
