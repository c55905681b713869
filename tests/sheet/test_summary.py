"""The summary of an import: sums worked by hand, words that a person who sews can read."""

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.pattern.mark import GRAIN, NOTCH, Mark
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Style, Whole
from sewkit.sheet.groups import Group, Grouping
from sewkit.sheet.summary import look_words, sizes_in_order, summary
from sewkit.sheet.tiles import Joined, Placed

LINE = Path.through([(0, 0), (0, 10)])


def box(size, width, height):
    return bare_outline(Path.through([(0, 0), (width, 0), (width, height), (0, height)], closed=True), size)


def piece(name, *sizes, marks=(), **more):
    """Boxes 200 mm wide; the one of size 8 is 408 mm high."""
    return Piece(name, tuple(box(size, 200, 400 + int(size or 0)) for size in sizes), marks=marks, **more)


def joined(pages, findings=()):
    placed = tuple(Placed(n + 1, 190.0 * n, 0.0, n + 1, 1, 1, True) for n in range(pages))
    return Joined(placed, (), (190.0, 0.0), None, "shapes", (), (), (), 0.0, tuple(findings))


def grouping(*groups, findings=()):
    return Grouping(groups, "styles", tuple(findings))


def told(pattern, rest=(), pages=16, groups=(), findings=()):
    return summary(pattern, rest, joined(pages), grouping(*groups), findings)


def table(report, title):
    return next(table for table in report.tables if table.title == title)


def look(text):
    return Finding("gap", Level.WARN, text)


def test_it_says_in_a_sentence_what_came_and_what_to_look_at():
    sizes = [str(size) for size in range(1, 9)]
    pattern = Pattern((piece("front", *sizes), piece("back", *sizes), piece("collar", *sizes)))

    report = told(pattern, findings=[look("one"), look("two")])

    assert report.summary == "3 pieces in 8 sizes from 16 pages; 2 things to look at."


@pytest.mark.parametrize(
    "levels, rest, words",
    [
        ([], 0, "1 piece in 1 size from 1 page; nothing to look at."),
        ([Level.INFO, Level.PASS], 0, "1 piece in 1 size from 1 page; nothing to look at."),
        ([Level.FAIL], 0, "1 piece in 1 size from 1 page; 1 thing to mend first."),
        (
            [Level.WARN, Level.FAIL, Level.WARN, Level.FAIL],
            0,
            "1 piece in 1 size from 1 page; 2 things to mend first and 2 things to look at.",
        ),
        ([], 1, "1 piece in 1 size from 1 page; nothing to look at. 1 line belongs to no piece."),
        ([], 5, "1 piece in 1 size from 1 page; nothing to look at. 5 lines belong to no piece."),
    ],
)
def test_one_is_one_and_several_are_several(levels, rest, words):
    findings = [Finding("code", level, "text {}".format(n)) for n, level in enumerate(levels)]
    lines = [Whole(LINE, Style())] * rest

    assert told(Pattern((piece("front", "8"),)), lines, 1, findings=findings).summary == words


def test_nothing_found_is_said_and_makes_no_empty_tables():
    report = told(Pattern(), pages=2)

    assert report.summary == "No piece was found on 2 pages; nothing to look at."
    assert report.tables == ()


def test_each_outline_is_measured_around_and_a_missing_size_is_a_dash():
    pattern = Pattern((piece("front", "8", "10", cut=2), piece("belt", "8"), piece("loop", "")))

    pieces = table(told(pattern), "Pieces")

    # By hand: 2 (200 + 408) = 1216, 2 (200 + 410) = 1220; one size for all, 2 (200 + 400) = 1200.
    assert pieces.columns == ("piece, mm around", "8", "10", "cut")
    assert pieces.rows == (
        ("front", "1216.0", "1220.0", "2"),
        ("belt", "1216.0", "-", "1"),
        ("loop", "1200.0", "1200.0", "1"),
    )


def test_a_pattern_of_one_size_without_a_name_has_one_column():
    pieces = table(told(Pattern((piece("loop", ""),))), "Pieces")

    assert pieces.columns == ("piece, mm around", "outline", "cut")
    assert pieces.rows == (("loop", "1200.0", "1"),)


def test_marks_are_counted_as_one_sews_them_not_once_a_size():
    marks = [Mark(NOTCH, str(n), size, LINE) for size in ("8", "10") for n in range(3)]
    marks += [Mark(NOTCH, "x", "10", LINE), Mark(GRAIN, path=LINE), Mark("overlay", path=LINE)]
    front, back = piece("front", "8", "10", marks=tuple(marks)), piece("back", "8", "10")

    pieces = table(told(Pattern((front, back))), "Pieces")

    # Size 8 has three notches, size 10 four; the grain line serves both; an overlay is no mark to sew by.
    assert pieces.columns[3:] == ("cut", "grain lines", "notches")
    assert [row[3:] for row in pieces.rows] == [("1", "1", "4"), ("1", "0", "0")]


@pytest.mark.parametrize(
    "pieces, order",
    [
        ([("8", "12"), ("8", "10", "12", "14")], ("8", "10", "12", "14")),
        ([("10", "12", "14"), ("8", "10")], ("8", "10", "12", "14")),
        ([("12", "14"), ("8", "10", "12")], ("8", "10", "12", "14")),
        ([("S", "L"), ("S", "M", "L"), ("",)], ("S", "M", "L")),
        ([("",)], ()),
        ([("8",), ("10",)], ("8", "10")),
    ],
)
def test_sizes_stand_in_order_also_where_no_piece_has_all(pieces, order):
    drawn = [
        Piece("piece-{}".format(n), tuple(box(size, 10, 10) for size in sizes))
        for n, sizes in enumerate(pieces)
    ]

    assert sizes_in_order(Pattern(tuple(drawn))) == order


def test_findings_of_all_stages_come_worst_first_each_once():
    def one(text, level):
        return Finding("code", level, text)

    pages = [one("page", Level.WARN), one("label", Level.INFO)]
    sizes = [one("group", Level.INFO), one("page", Level.WARN)]
    others = [one("gap", Level.WARN), one("open", Level.FAIL), one("good", Level.PASS)]

    report = summary(Pattern(), (), joined(1, pages), grouping(findings=sizes), others)

    assert [finding.text for finding in report.findings] == ["open", "page", "gap", "label", "group", "good"]


def test_what_says_the_same_of_many_places_is_told_once_and_counted():
    places = [Finding("open", Level.FAIL, "An outline is open here.", "", (float(n), 0.0)) for n in range(14)]
    lone = Finding("open", Level.FAIL, "Another is open here.", "", (50.0, 0.0))
    note = Finding("open", Level.INFO, "An outline is open here.", "", (60.0, 0.0))

    report = told(Pattern(), pages=1, findings=[*places, lone, note, note])

    # 14 places are one and 13 more; another text or level is another matter; one place told twice is one.
    assert [(one.level, one.text, one.point) for one in report.findings] == [
        (Level.FAIL, "An outline is open here. (and at 13 more places)", (0.0, 0.0)),
        (Level.FAIL, "Another is open here.", (50.0, 0.0)),
        (Level.INFO, "An outline is open here.", (60.0, 0.0)),
    ]
    assert report.summary.endswith("2 things to mend first.")


def test_pieces_of_which_the_same_is_told_are_named_as_long_as_they_are_few():
    def on(*names):
        found = [Finding("gap", Level.INFO, "There is a gap.", name) for name in names]
        return told(Pattern(), findings=found).findings[0]

    assert (on("front").where, on("front").text) == ("front", "There is a gap.")
    assert on("front", "back", "cuff").text == "There is a gap. (and so on back, cuff)"
    assert on("front", "").text == "There is a gap. (and at 1 more place)"
    assert on(*"abcdefghij").text == "There is a gap. (and at 9 more places)"


@pytest.mark.parametrize(
    "style, words",
    [
        (Style("#cc0000", 0.35, (6.0, 2.0)), "broken 6-2, 0.35 mm, #cc0000"),
        (Style("#cc0000", 0.35278, (5.9998, 2.00004, 0.5, 2.0)), "broken 6-2-0.5-2, 0.35 mm, #cc0000"),
        (Style("#000000", 0.5), "solid, 0.5 mm, black"),
        (Style("#123456", 0.0), "solid, hairline, #123456"),
        (Style("ink:Cut Line", 0.25), "solid, 0.25 mm, ink Cut Line"),
        (Style("", 0.0, (), "#00ff00"), "filled #00ff00"),
        (Style("#000000", 0.2, (), "#ffffff"), "solid, 0.2 mm, black, filled #ffffff"),
        (Style("", 0.0, (), ""), "not drawn"),
    ],
)
def test_a_look_is_told_in_words(style, words):
    assert look_words(style) == words


def test_the_groups_are_told_with_size_reason_look_and_length():
    red = Style("#cc0000", 0.35, (6.0, 2.0))
    groups = [
        Group("A", "Size 8", red, 0, (0, 3, 4), 12345.0, "8", "its layer is called so", 0.95),
        Group("B", "", Style(), 0, (1,), 60.0, "all", "", 0.5),
        Group("C", "", Style(), 0, (2,), 2000.0, "-", "letters", 0.5),
    ]

    which = table(told(Pattern(), groups=groups), "Which lines are which size")

    # 12345 mm are 12.3 m, 60 mm are 0.1 m.
    assert which.columns == ("key", "size", "told by", "look", "lines", "metres")
    assert which.rows == (
        (
            "A",
            "8",
            "its layer is called so",
            "layer Size 8, broken 6-2, 0.35 mm, #cc0000",
            "3",
            "12.3",
        ),
        ("B", "every size", "styles", "solid, hairline, black", "1", "0.1"),
        ("C", "no size", "letters", "solid, hairline, black", "1", "2.0"),
    )


def test_guesses_are_told_with_their_lowest_score_and_what_was_said_is_not():
    marks = (
        Mark(NOTCH, size="8", path=LINE, guess=0.9),
        Mark(NOTCH, size="10", path=LINE, guess=0.55),
        Mark(NOTCH, size="10", path=LINE, guess=0.0),  # somebody said so
        Mark(GRAIN, path=LINE, guess=0.8),
    )
    pattern = Pattern((piece("front", "8", "10", marks=marks, guess=0.7), piece("back", "8")))

    guesses = table(told(pattern), "Marks guessed")

    assert guesses.columns == ("piece", "kind", "how many", "lowest score")
    assert guesses.rows == (
        ("front", "name of the piece", "1", "70 %"),
        ("front", "grain line", "1", "80 %"),
        ("front", "notches", "2", "55 %"),
    )


def test_an_outline_without_lines_is_0_mm_around():
    empty = Piece("ghost", (bare_outline(Path(np.zeros((0, 4, 2))), "8"),))

    assert table(told(Pattern((empty,))), "Pieces").rows == (("ghost", "0.0", "1"),)
