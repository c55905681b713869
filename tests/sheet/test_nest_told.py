"""What is told about outlines: how gaps were closed, sizes that contradict, pieces that overlap."""

import numpy as np
import pytest

from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import bounds
from sewkit.report import Level
from sewkit.sheet.bring import bring
from sewkit.sheet.drawn import Gap, Style
from sewkit.sheet.groups import group_lines, with_sizes
from sewkit.sheet.nest import find_pieces
from sewkit.sheet.nest_join import Run, joined
from sewkit.sheet.nest_shapes import shapes_of
from tests.pdfs.pages import tiled
from tests.pdfs.scene import scene
from tests.pdfs.truth import compare
from tests.sheet.nests import apart, bodice, fronts, ring, run, say, style, whole

PLACES = ((20.0, 80.0), (320.0, 80.0), (620.0, 80.0))
NAMES = {"A": "36", "B": "38", "C": "40", "D": "42", "E": "44"}


def rectangle(x, y, width, height):
    return Path.through([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], closed=True)


def told(drawn, code, answers=None, words=()):
    grouping = group_lines(drawn, words)
    if answers:
        grouping = with_sizes(grouping, answers)
    found = find_pieces(drawn, words, grouping)
    return [finding for finding in grouping.findings + found.findings if finding.code == code]


def with_gaps(count):
    """A front in three sizes; of the second one so many corners are open: by 2.0, 1.0, 0.5 mm."""
    drawn = list(fronts(PLACES[:1], 3, "colours").lines)
    edges = bodice(20, 80, 170, 380, 8)
    parts = [["neck", "shoulder", "armhole"], ["side"], ["hem", "fold"]]
    parts = {
        1: [parts[0] + parts[1] + parts[2]],
        2: [parts[0], parts[1] + parts[2]],
        3: parts,
    }[count]
    pieces = []
    for names, width in zip(parts, (2.0, 1.0, 0.5)):
        curves = np.array(run(edges, names).curves)
        # The corner is opened along the first edge, away from the part before.
        along = curves[0, 3] - curves[0, 0]
        curves[0, 0] += width * along / np.hypot(*along)
        pieces.append(whole(Path(curves), drawn[1].style))
    return drawn[:1] + pieces + drawn[2:]


@pytest.mark.parametrize(
    "count, words",
    [
        (1, "had a gap of 2.0 mm here, which was closed with a straight line."),
        (2, "had a gap of 2.0 mm here and a smaller one, which were closed with straight lines."),
        (3, "had a gap of 2.0 mm here and 2 smaller ones, which were closed with straight lines."),
    ],
)
def test_gaps_are_counted_in_words(count, words):
    findings = told(with_gaps(count), "gap")

    assert [finding.text for finding in findings] == ["The outline of size 2 " + words]


def test_a_gap_in_the_run_of_a_line_is_not_called_a_straight_line():
    drawn = list(fronts(PLACES[:1], 3, "colours").lines)
    spot = tuple(map(float, drawn[1].path.curves[1, 0]))
    drawn[1] = drawn[1]._replace(gaps=(Gap(spot, 2.5), Gap(spot, 1.0)))

    findings = told(drawn, "gap")

    assert [finding.text for finding in findings] == [
        "The outline of size 2 had a gap of 2.5 mm here and a smaller one, "
        "which were closed in the run of the line."
    ]
    assert findings[0].where == "piece 1"


def test_a_gap_counts_only_for_outlines_that_pass_it():
    # The smallest size draws neck, shoulder and armhole for all, with a gap in its own side seam.
    drawing = fronts(PLACES[:1], 3, "colours", same=True, by=0)
    spot = tuple(map(float, drawing.lines[0].path.curves[3, 3]))
    drawn = [drawing.lines[0]._replace(gaps=(Gap(spot, 2.5),)), *drawing.lines[1:]]

    assert ["size 1" in finding.text for finding in told(drawn, "gap")] == [True]


def test_a_size_left_out_shows_in_the_steps_of_all_pieces():
    drawing = fronts(PLACES, 6, "colours")
    drawn = [line for n, line in enumerate(drawing.lines) if n % 6 != 2]

    findings = told(drawn, "odd-step", NAMES)

    assert [finding.level for finding in findings] == [Level.WARN]
    assert "On 3 of 3 pieces the step from size 38 to size 40 is 2.0 times" in findings[0].text


def test_a_step_twice_as_wide_between_sizes_two_steps_apart_is_right():
    drawing = fronts(PLACES, 6, "colours")
    drawn = [line for n, line in enumerate(drawing.lines) if n % 6 != 2]

    assert told(drawn, "odd-step", dict(NAMES, C="42", D="44", E="46")) == []


def test_even_steps_and_those_that_widen_a_little_are_not_told():
    steps = np.cumsum([0.0, 4.0, 4.0, 5.0, 6.0])
    drawn = [
        whole(rectangle(20 - g, 20 - g, 200 + 2 * g, 300 + 2 * g), style(n, "colours"))
        for n, g in enumerate(steps)
    ]

    assert told(drawn, "odd-step", NAMES) == []
    assert told(fronts(PLACES, 5, "colours").lines, "odd-step", NAMES) == []


def test_an_outline_that_is_nearly_another_sizes_is_told_with_piece_and_size():
    drawing = fronts(PLACES, 5, "colours")
    drawn = list(drawing.lines)
    curves = np.array(drawn[8].path.curves)  # second piece, fourth size: drawn over by the fifth
    taken = np.array(drawn[9].path.curves)
    taken[-1], taken[0, 0] = curves[-1], curves[-1, 3]
    taken[-2, 3] = curves[-1, 0]
    drawn[8] = drawn[8]._replace(path=Path(taken, True))

    findings = told(drawn, "sizes-together", NAMES)

    assert [(finding.where, finding.level) for finding in findings] == [("piece 2", Level.WARN)]
    assert "sizes 42 and 44" in findings[0].text


def test_sizes_that_all_run_together_are_not_odd():
    assert told(fronts(PLACES, 5, "colours", same=True).lines, "sizes-together") == []


def test_pieces_that_overlap_on_the_sheet_are_named_once():
    places = [(20, 80, 200, 300), (180, 120, 200, 300), (600, 80, 200, 300), (640, 120, 60, 80)]
    drawn = [whole(rectangle(*place), Style("#000000", 0.5)) for place in places]
    words = [say("Front", 60, 200), say("Back", 300, 300), say("Sleeve", 720, 300), say("Cuff", 650, 150)]

    findings = told(drawn, "pieces-overlap", words=words)

    # The cuff lies wholly inside the sleeve: that is no overlap of outlines.
    assert [finding.text for finding in findings] == [
        "On the sheet the outlines of piece 1 and piece 2 overlap; check both of them."
    ]
    assert findings[0].level == Level.WARN


def test_pieces_side_by_side_do_not_overlap():
    assert told(fronts(PLACES, 5, "colours").lines, "pieces-overlap") == []


def test_a_piece_of_one_size_taken_for_its_neighbours_does_not_unmake_the_size():
    # Dashes mis-read on one piece: most of the third size's outline looks like the second size.
    drawing = fronts(PLACES, 4, "dashes")
    drawn = list(drawing.lines)
    edges = bodice(20, 80, 170, 380, 16)
    drawn[2:3] = [
        whole(run(edges, ["neck", "shoulder", "armhole", "side"]), drawn[1].style),
        whole(run(edges, ["hem", "fold"]), drawn[2].style),
    ]

    grouping = group_lines(drawn, [])
    found = find_pieces(drawn, [], grouping)

    assert [group.size for group in grouping.groups] == ["1", "2", "3", "4"]
    assert [len(piece.outlines) for piece in found.pieces] in ([3, 4, 4], [4, 4, 4])
    for truth in drawing.truth[4:]:
        assert apart(found.pieces[truth.piece].outlines[truth.size].path, truth.path) <= 0.01
    for outline in found.pieces[0].outlines:  # what is there is right, what is not is told
        size = int(outline.size) - 1
        true = apart(outline.path, ring(bodice(20, 80, 170, 380, 8.0 * size))) <= 0.01
        assert true or [f for f in found.findings if f.where == "piece 1" and f.level >= Level.WARN]
    assert len(found.pieces[0].outlines) == 4 or "sizes-missing" in [f.code for f in found.findings]


@pytest.mark.parametrize(
    "said, unseen",
    [
        (["36", "38", "40", "42", "44"], "42"),  # between
        (["36", "38", "40", "44", "46", "42"], "42 and 46"),  # and one step beyond, said as often
        (["36", "38", "40", "44"], ""),
        (["36", "38", "40", "44", "41"], ""),  # no step of theirs
    ],
)
def test_a_size_that_words_name_and_no_line_shows_is_told(said, unseen):
    drawing, drawn = fronts(PLACES, 4, "colours"), ["36", "38", "40", "44"]
    words = []
    for piece in range(3):
        for n, size in enumerate(drawn):
            spot = drawing.truth[4 * piece + n].path.curves[3, 3]  # the foot of the side seam
            words.append(say(size, spot[0] + 0.5, spot[1]))
    words += [say(size, 900.0, 20.0 * n) for n, size in enumerate(said * 3) if size not in drawn]

    findings = told(drawing.lines, "size-unseen", words=words)

    assert ["name size {} too".format(unseen) in f.text for f in findings] == ([True] if unseen else [])


def test_areas_cut_open_are_told_as_lines_that_may_be_missing():
    drawing = fronts(PLACES, 3, "colours")
    edge = Path(lines([(10.0, 10.0), (900.0, 10.0)], [(900.0, 10.0), (900.0, 500.0)]))
    area = whole(edge, Style("", 0.0, (), "#000000"))

    assert [f.level for f in told([*drawing.lines, area], "areas")] == [Level.WARN]
    assert "1380 mm" in told([*drawing.lines, area], "areas")[0].text
    assert told(drawing.lines, "areas") == []


def test_outlines_of_one_size_in_several_kinds_of_line_are_doubted():
    solid = whole(rectangle(20, 20, 200, 300), Style("#000000", 0.5))
    dotted = whole(rectangle(320, 20, 180, 260), Style("#000000", 0.5, (0.3, 4.6)))
    white = whole(rectangle(620, 20, 180, 260), Style("#ffffff", 0.5))

    assert [
        "A: #000000 solid, B: #000000 dashed 0.3-4.6" in f.text
        for f in told([solid, dotted], "kinds-of-line")
    ] == [True]
    assert told([solid, solid._replace(path=dotted.path)], "kinds-of-line") == []
    found = find_pieces([solid, white], [], group_lines([solid, white], []))
    assert [piece.box for piece in found.pieces] == [
        (20.0, 20.0, 220.0, 320.0)
    ]  # white covers, it is no line


@pytest.mark.parametrize("closed", [True, False])
def test_a_run_shorter_than_a_cut_may_move_stays_short(closed):
    # Both its ends lie 0.1 mm from the one spot where lines meet.
    side = rectangle(0, 0, 200, 200)
    first = whole(side if closed else Path(side.curves[:3]))
    second = whole(Path.through([(200.0, 100.2), (300.0, 150.0), (300.0, 50.0), (200.0, 100.0)]))
    shapes = shapes_of([first, second])

    path, _ = joined(
        [first, second],
        shapes,
        [Run(0, 300.0, 300.2), Run(1, 0.0, shapes.lengths[1])],
        np.array([[200.0, 100.1]]),
    )

    assert bounds(path) == pytest.approx((200.0, 50.0, 300.0, 150.0), abs=0.01)


def test_dashes_as_areas_on_overlapping_tiles_give_true_outlines_or_tell():
    sheet = scene()
    printed = tiled(sheet, overlap=10.0, dashes="strips").printed

    told_of = [f.text for f in bring(printed).report.findings if f.level >= Level.WARN]

    for outline in compare(printed, sheet):
        assert outline.away < 0.07 or any(outline.size in text for text in told_of), outline
