"""Sizes that are drawn twice: seam lines within cut lines, and other second lines."""

import pytest

from sewkit.geometry.path import Path
from sewkit.report import Level
from sewkit.sheet.drawn import Style
from sewkit.sheet.groups import group_lines, with_sizes
from sewkit.sheet.nest import find_pieces
from tests.sheet.nests import BLACK, apart, fronts, say, style, whole

PLACES = ((20.0, 80.0), (320.0, 80.0))
NAMES = ("36", "38", "40")
DASHED = Style("#000000", 0.3, (4.0, 2.0))


def body(x, y, out, width=150.0, length=220.0):
    """A five-cornered piece whose edges lie ``out`` mm outside those of the smallest.

    Worked by hand: all edges but one are upright or level; the slope from the shoulder's
    end falls 0.4 of the length on 0.4 of the width, and is moved aside by ``out`` too.
    """
    left, top, right, low = x - out, y - out, x + width + out, y + length + out
    rise, run = 0.4 * length, 0.4 * width
    across = (rise**2 + run**2) ** 0.5
    # Where the moved slope meets the moved top and the moved right edge.
    at_top = x + 0.6 * width + (out * across - out * run) / rise
    at_right = y + rise - (out * across - out * rise) / run
    return Path.through(
        [(left, top), (at_top, top), (right, at_right), (right, low), (left, low)], closed=True
    )


def twice(places, step, allowance, told_by, size=(150.0, 220.0)):
    """Lines, and the truth of the seam lines and of the cut lines: piece by piece, smallest first."""
    drawn, seams, cuts = [], [], []
    for x, y in places:
        for n, name in enumerate(NAMES):
            seam, cut = body(x, y, step * n, *size), body(x, y, step * n + allowance, *size)
            look = BLACK if told_by == "layers" else style(n, "colours")
            layers = ("Size " + name,) if told_by == "layers" else ()
            drawn.append(whole(cut, look, layers, len(drawn)))
            drawn.append(whole(seam, Style(look.colour, 0.3, (4.0, 2.0)), layers, len(drawn)))
            seams.append(seam)
            cuts.append(cut)
    return drawn, seams, cuts


def beside(cuts, by=0.8):
    """The size's number right above each cut line."""
    tops = [path.curves[0, 0] for path in cuts]
    return [say(NAMES[n % 3], x + 30, y - by, height=2.0) for n, (x, y) in enumerate(tops)]


def outlines_of(drawn, words, grouping):
    found = find_pieces(drawn, words, grouping)
    return [one for piece in found.pieces for one in piece.outlines]


def are_true(outlines, truth):
    assert [one.size for one in outlines] == list(NAMES) * (len(truth) // 3)
    assert max(apart(one.path, true) for one, true in zip(outlines, truth)) < 0.02


@pytest.mark.parametrize("told_by", ["layers", "colours"])
@pytest.mark.parametrize("step", [4.0, 8.0, 20.0])
@pytest.mark.parametrize("allowance", [6.0, 10.0, 15.0])
def test_the_seam_line_within_its_cut_line_is_the_outline(told_by, step, allowance):
    drawn, seams, cuts = twice(((100, 100), (520, 100)), step, allowance, told_by)
    words = beside(cuts) if told_by == "colours" else []

    grouping = group_lines(drawn, words)

    are_true(outlines_of(drawn, words, grouping), seams)
    assert sorted(line for group in grouping.groups for line in group.lines) == list(range(len(drawn)))
    told = [f for f in grouping.findings if f.code == "seam-line"]
    assert [f.level for f in told] == [Level.WARN]
    assert "{:.1f} mm apart".format(allowance) in told[0].text


def test_the_person_may_swap_seam_line_and_cut_line():
    drawn, _, cuts = twice(((100, 100), (520, 100)), 8.0, 10.0, "layers")

    grouping = with_sizes(
        group_lines(drawn, []), {"A": "-", "B": "-", "C": "-", "D": "36", "E": "38", "F": "40"}
    )

    are_true(outlines_of(drawn, [], grouping), cuts)


def test_around_a_small_piece_the_allowance_takes_most_of_the_box():
    drawn, seams, _ = twice(((100, 100), (300, 100)), 3.0, 15.0, "layers", (60.0, 60.0))

    are_true(outlines_of(drawn, [], group_lines(drawn, [])), seams)


def test_both_lines_may_look_alike_within_a_layer():
    drawn, seams, _ = twice(((100, 100), (520, 100)), 8.0, 10.0, "layers")
    drawn = [line._replace(style=BLACK) for line in drawn]

    are_true(outlines_of(drawn, [], group_lines(drawn, [])), seams)


@pytest.mark.parametrize("size", [0, 1, 2])
def test_a_second_line_in_the_layer_of_one_size_does_not_lose_the_size(size):
    # 30 mm within on the left, 4 mm on the right: no allowance.
    drawing = fronts(PLACES, 3, "nothing", layers=True)
    drawn = list(drawing.lines)
    shape = drawn[size].path.curves * 0.9 + (15.0, 30.0)
    drawn.append(whole(Path(shape, True), DASHED, drawn[size].layers, len(drawn)))

    grouping = group_lines(drawn, [])

    are_true(outlines_of(drawn, [], grouping), [t.path for t in drawing.truth])
    assert "second-line" in {f.code for f in grouping.findings}


def test_an_outline_drawn_once_more_in_its_layer_is_the_same_outline():
    drawing = fronts(PLACES, 3, "nothing", layers=True)
    drawn = list(drawing.lines) + [line._replace(style=DASHED) for line in drawing.lines[:4]]

    grouping = group_lines(drawn, [])

    are_true(outlines_of(drawn, [], grouping), [t.path for t in drawing.truth])
    assert [f for f in grouping.findings if f.level != Level.INFO] == []


def test_sizes_whose_numbers_stand_beside_them_are_no_seam_lines():
    # Two colours, each solid and dashed, evenly 6 mm apart: four sizes, as the words say.
    looks = [Style(colour, 0.5, dashes) for colour in ("#c00000", "#0050c8") for dashes in ((), (4.0, 2.0))]
    drawn = [whole(body(100, 100, 6.0 * n), look, (), n) for n, look in enumerate(looks)]
    words = [say(str(36 + 2 * n), 130 - 6 * n, 100 - 6 * n - 0.8, height=2.0) for n in range(4)]

    outlines = outlines_of(drawn, words, group_lines(drawn, words))

    assert [one.size for one in outlines] == ["36", "38", "40", "42"]
    assert max(apart(one.path, line.path) for one, line in zip(outlines, drawn)) < 0.02


@pytest.mark.parametrize("reused", [(0, 1, 2, 0), (0, 1, 0, 2), (0, 1, 2, 3, 0, 1)])
def test_a_colour_that_two_sizes_have_is_two_if_words_name_them(reused):
    drawn, words = [], []
    for x in (100.0, 520.0):
        for n, colour in enumerate(reused):
            drawn.append(whole(body(x, 100, 6.0 * n), style(colour, "colours"), (), len(drawn)))
            words.append(say(str(36 + 2 * n), x + 30 - 6 * n, 100 - 6 * n - 0.8, height=2.0))

    outlines = outlines_of(drawn, words, group_lines(drawn, words))

    assert [one.size for one in outlines] == [str(36 + 2 * n) for n in range(len(reused))] * 2
    assert max(apart(one.path, line.path) for one, line in zip(outlines, drawn)) < 0.02


def test_seam_lines_of_all_sizes_in_one_look_stay_lines_of_all_sizes():
    drawn, _, cuts = twice(((100, 100), (520, 100)), 8.0, 15.0, "colours")
    drawn = [line._replace(style=Style("#888888", 0.3)) if line.style.dashes else line for line in drawn]
    words = beside(cuts)

    are_true(outlines_of(drawn, words, group_lines(drawn, words)), cuts)
