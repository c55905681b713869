"""Pieces found: every outline against the truth it was drawn from, judged by Shapely."""

import numpy as np
import pytest

from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import flatten, signed_area
from sewkit.report import Level
from sewkit.sheet.drawn import Style
from sewkit.sheet.groups import group_lines, with_sizes
from sewkit.sheet.nest import find_pieces
from tests.pdfs.scene import circle, scene
from tests.sheet.nests import (
    BLACK,
    THIN,
    apart,
    bodice,
    fronts,
    polygon,
    ring,
    run,
    say,
    style,
    whole,
)

PLACES = ((20.0, 80.0), (320.0, 80.0), (620.0, 80.0))
NEAR = 0.01  # mm: the promise


def found_in(drawn, words=(), answers=None):
    grouping = group_lines(drawn, words)
    if answers:
        grouping = with_sizes(grouping, answers)
    return find_pieces(drawn, words, grouping)


def codes(found):
    return sorted({finding.code for finding in found.findings})


def rectangle(x, y, width, height):
    return Path.through([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], closed=True)


def hold(found, truth):
    """Every true outline is there, in its order, within the promise."""
    count = max(t.size for t in truth) + 1
    assert [len(piece.outlines) for piece in found.pieces] == [count] * (len(truth) // count)
    for t in truth:
        assert apart(found.pieces[t.piece].outlines[t.size].path, t.path) <= NEAR


@pytest.mark.parametrize("seed", [0, 1, 2])
@pytest.mark.parametrize("fold", ["each", "once", "largest"])
@pytest.mark.parametrize("told_by", ["dashes", "colours", "nothing", "layers"])
def test_an_outline_is_whole_however_its_fold_is_drawn(told_by, fold, seed):
    look = "nothing" if told_by == "layers" else told_by
    drawing = fronts(PLACES, 5, look, fold, layers=told_by == "layers", seed=seed)

    hold(found_in(drawing.lines), drawing.truth)


@pytest.mark.parametrize("by", [-1, 0, 2])  # the largest, the smallest, one between
@pytest.mark.parametrize("fold", ["each", "once", "largest"])
@pytest.mark.parametrize("told_by", ["dashes", "nothing", "layers"])
def test_sizes_that_run_together_for_half_the_way_are_each_whole(told_by, fold, by):
    look = "nothing" if told_by == "layers" else told_by
    drawing = fronts(PLACES, 5, look, fold, same=True, by=by, layers=told_by == "layers", seed=7)

    hold(found_in(drawing.lines), drawing.truth)


@pytest.mark.parametrize("told_by", ["colours", "nothing"])
def test_outlines_of_single_edges_are_put_together(told_by):
    drawing = fronts(PLACES[:2], 4, told_by, "once", seed=3)
    edges = [whole(Path(c[None]), line.style) for line in drawing.lines for c in line.path.curves]

    hold(found_in(edges), drawing.truth)


@pytest.mark.parametrize("shared", ["each", "once"])
@pytest.mark.parametrize("told_by", ["dashes", "colours", "widths", "both", "nothing"])
def test_a_sheet_with_marks_and_words_gives_its_pieces(told_by, shared):
    sheet = scene(told_by=told_by, shared=shared)
    drawn = [whole(p, s.style, s.layers, n) for n, s in enumerate(sheet.strokes) for p in s.paths]

    found = found_in(drawn, sheet.words)

    assert len(found.pieces) == len(sheet.pieces)
    for name, piece in zip(sheet.pieces, found.pieces):
        assert tuple(outline.size for outline in piece.outlines) == sheet.sizes
        for outline in piece.outlines:
            assert apart(outline.path, sheet.outline(name, outline.size).path) <= NEAR
        assert name in [sheet.words[n].text for n in piece.words]
    assert found.open_lines == ()


def test_every_line_is_in_an_outline_in_a_piece_or_in_the_rest():
    sheet = scene(pieces=12, shared="once")
    drawn = [whole(p, s.style, s.layers, n) for n, s in enumerate(sheet.strokes) for p in s.paths]

    found = found_in(drawn, sheet.words)

    outlines = {n for piece in found.pieces for outline in piece.outlines for n in outline.lines}
    inside = [n for piece in found.pieces for n in piece.inside]
    assert len(inside) == len(set(inside))
    assert outlines | set(inside) | set(found.rest) | set(found.open_lines) == set(range(len(drawn)))


def test_notches_and_marks_belong_to_their_own_piece():
    sheet = scene(pieces=12)
    strokes = [(s, p) for s in sheet.strokes for p in s.paths]
    found = found_in([whole(p, s.style, s.layers, n) for n, (s, p) in enumerate(strokes)], sheet.words)

    for name, piece in zip(sheet.pieces, found.pieces):
        assert {strokes[n][0].piece for n in piece.inside} == {name}


def test_paths_are_closed_and_run_clockwise_from_the_same_corner():
    drawing = fronts(PLACES, 5, "colours", "once", seed=5)

    for piece in found_in(drawing.lines).pieces:
        starts = np.array([outline.path.start for outline in piece.outlines])
        for outline in piece.outlines:
            assert outline.path.closed
            assert signed_area(outline.path) > 0
            assert polygon(outline.path).is_valid
        # The tops of the fold lie one above the other in all sizes.
        assert np.ptp(starts[:, 0]) <= NEAR
        assert np.ptp(starts[:, 1]) <= 0.35 * 8.0 * 4 + NEAR


def test_the_number_of_corners_that_differs_is_told():
    drawing = fronts(PLACES[:1], 3, "colours")
    points = flatten(drawing.truth[1].path, 40.0)  # a size drawn with a corner more
    odd = np.insert(points, 1, points[:2].mean(axis=0) + (3.0, 3.0), axis=0)
    drawn = list(drawing.lines)
    drawn[1] = drawn[1]._replace(path=Path.through(odd, closed=True))

    assert "corners" in codes(found_in(drawn))


# Width of a gap (mm); whether it is closed, whether it is told (job: silent to 0.3, told to 3).
@pytest.mark.parametrize(
    "width, closed, told", [(0.2, True, []), (2.0, True, ["gap"]), (5.0, False, ["open"])]
)
@pytest.mark.parametrize("place", ["in the outline", "at the fold"])
def test_a_gap_is_closed_silently_told_or_left(place, width, closed, told):
    drawing = fronts(PLACES[:1], 3, "colours", "once" if place == "at the fold" else "each")
    drawn = list(drawing.lines)
    edges = bodice(20, 80, 170, 380, 8)
    if place == "at the fold":
        curves = np.array(drawn[1].path.curves)
        gap = curves[0, 0] + (width / 2, 0.0)
        curves[0, 0] += (width, 0.0)
        drawn[1] = drawn[1]._replace(path=Path(curves))
    else:
        curves = np.array(run(edges, ["side", "hem", "fold"]).curves)
        gap = curves[0, 0] + (0.0, width / 2)
        curves[0, 0] += (0.0, width)
        drawn[1:2] = [
            drawn[1]._replace(path=run(edges, ["neck", "shoulder", "armhole"])),
            drawn[1]._replace(path=Path(curves)),
        ]

    found = found_in(drawn)

    assert [code for code in codes(found) if code in ("gap", "open")] == told
    assert len(found.pieces[0].outlines) == (3 if closed else 2)
    for finding in found.findings:
        if finding.code in ("gap", "open"):
            assert "{:.1f} mm".format(width) in finding.text
            assert np.hypot(*np.subtract(finding.point, gap)) <= width / 2 + NEAR
    if closed:
        outline = found.pieces[0].outlines[1]
        assert apart(outline.path, drawing.truth[1].path) <= width
        assert [gap.width for gap in outline.gaps] == pytest.approx([width] if told else [], abs=NEAR)
    else:
        assert found.open_lines


def test_a_line_missing_altogether_is_told_and_nothing_is_invented():
    drawing = fronts(PLACES[:1], 3, "colours")
    drawn = list(drawing.lines)
    edges = bodice(20, 80, 170, 380, 16)
    drawn[2] = drawn[2]._replace(path=run(edges, ["neck", "shoulder", "armhole"]))

    found = found_in(drawn)

    assert [outline.size for outline in found.pieces[0].outlines] == ["1", "2"] or found.open_lines
    for t, outline in zip(drawing.truth, found.pieces[0].outlines):
        assert apart(outline.path, t.path) <= NEAR


def test_sizes_that_cross_are_told_with_the_place():
    small, large = rectangle(20, 20, 200, 300), rectangle(10, 40, 230, 320)  # stands out 20 mm above
    more = rectangle(0, 0, 260, 380)
    drawn = [whole(path, style(n, "colours")) for n, path in enumerate((small, large, more))]

    found = found_in(drawn)

    crossing = [f for f in found.findings if f.code == "crossing"]
    assert len(crossing) == 1
    assert "20.0 mm" in crossing[0].text
    assert crossing[0].point[1] == pytest.approx(20.0)
    assert crossing[0].level == Level.WARN


def test_sizes_that_only_share_a_stretch_do_not_cross():
    drawing = fronts(PLACES, 5, "colours", same=True)

    assert "crossing" not in codes(found_in(drawing.lines))


@pytest.mark.parametrize("told_by", ["colours", "nothing"])
def test_a_pocket_in_all_sizes_inside_a_front_is_a_piece(told_by):
    drawing = fronts(PLACES[:2], 3, told_by)
    pockets = [rectangle(60 - 2 * n, 250 - 2 * n, 90 + 4 * n, 100 + 4 * n) for n in range(3)]
    drawn = list(drawing.lines) + [whole(p, style(n, told_by)) for n, p in enumerate(pockets)]

    found = found_in(drawn)

    assert [len(piece.outlines) for piece in found.pieces] == [3, 3, 3]
    inner = min(found.pieces, key=lambda piece: polygon(piece.outlines[0].path).area)
    assert [polygon(o.path).area for o in inner.outlines] == pytest.approx([9000.0, 94 * 104.0, 98 * 108.0])


def test_a_ring_inside_a_front_is_a_piece_with_words_and_an_inner_line_without():
    drawing = fronts(PLACES[:2], 3, "colours")
    drawn = list(drawing.lines) + [whole(rectangle(60, 250, 90, 110), THIN)]

    silent = found_in(drawn)
    named = found_in(drawn, [say("Pocket, cut 2", 75, 300)])

    assert len(silent.pieces) == 2
    assert silent.pieces[0].inside == (len(drawn) - 1,)
    assert len(named.pieces) == 3
    assert [[o.size for o in piece.outlines] for piece in named.pieces].count([""]) == 1


def test_a_window_and_a_drill_hole_are_no_pieces():
    drawing = fronts(PLACES[:1], 3, "colours")
    holes = [whole(circle((100.0, 300.0), radius), THIN) for radius in (30.0, 3.0)]

    found = found_in(list(drawing.lines) + holes)

    assert len(found.pieces) == 1
    assert found.pieces[0].inside == (3, 4)


def test_a_dart_with_two_points_in_every_size_is_no_piece():
    drawing = fronts(PLACES[:1], 4, "colours")
    darts = []
    for n in range(4):
        x = 90.0 + 3 * n
        points = [(x, 180), (x + 14, 290), (x, 400), (x - 14, 290)]
        darts.append(whole(Path.through(points, closed=True), style(n, "colours")))

    found = found_in(list(drawing.lines) + darts)

    assert len(found.pieces) == 1
    assert found.pieces[0].inside == (4, 5, 6, 7)


def test_a_dart_open_to_the_hem_does_not_become_an_outline():
    drawing = fronts(PLACES[:2], 4, "nothing", "once")
    drawn = list(drawing.lines)
    for t in drawing.truth:
        hem = t.path.curves[4]  # neck, shoulder, armhole, side, hem, fold
        feet = [
            hem[0] * (1 - u) ** 3
            + 3 * hem[1] * u * (1 - u) ** 2
            + 3 * hem[2] * u * u * (1 - u)
            + hem[3] * u**3
            for u in (0.4, 0.6)
        ]
        drawn.append(whole(Path.through([feet[0], np.mean(feet, axis=0) - (0, 120), feet[1]]), BLACK))

    hold(found_in(drawn), drawing.truth)


def test_pieces_five_millimetres_apart_stay_apart():
    # The largest size of the first is 170 + 4 * 8 and a bulge of the side seam wide.
    drawing = fronts([(20, 80), (20 + 170 + 32 + 12, 80)], 5, "colours", "once")
    gap = polygon(drawing.truth[4].path).distance(polygon(drawing.truth[5].path))
    assert 4 < gap < 6

    hold(found_in(drawing.lines), drawing.truth)


def test_a_mirrored_pair_is_two_pieces():
    drawing = fronts(PLACES[:1], 4, "colours", "once")
    mirrored = [
        line._replace(path=Path(line.path.curves * (-1.0, 1.0) + (700.0, 0.0), line.path.closed))
        for line in drawing.lines
    ]

    found = found_in(list(drawing.lines) + mirrored)

    assert [len(piece.outlines) for piece in found.pieces] == [4, 4]
    for left, right in zip(*[piece.outlines for piece in found.pieces]):
        assert polygon(left.path).area == pytest.approx(polygon(right.path).area)
        assert signed_area(right.path) > 0


def test_one_size_has_an_outline_without_a_size_name():
    edges = bodice(20, 80, 170, 380, 0)
    body = whole(run(edges, ["neck", "shoulder", "armhole", "side", "hem"]))
    fold = whole(edges["fold"], Style("#000000", 0.3, (10.0, 2.0, 2.0, 2.0)))

    found = found_in([body, fold])

    assert [[o.size for o in piece.outlines] for piece in found.pieces] == [[""]]
    assert apart(found.pieces[0].outlines[0].path, ring(edges)) <= NEAR
    assert found.pieces[0].outlines[0].lines == (0, 1)


def test_a_frame_and_a_test_square_are_told_and_are_no_pieces():
    drawing = fronts(PLACES[:2], 1, "nothing")
    drawn = list(drawing.lines) + [whole(rectangle(0, 0, 800, 600)), whole(rectangle(650, 100, 100, 100))]

    found = found_in(drawn, [say("10 cm", 680, 150)])

    assert len(found.pieces) == 2
    assert found.rest == (2, 3)
    assert codes(found) == ["frame", "test-square"]


def test_a_size_missing_in_a_piece_is_told():
    drawing = fronts(PLACES, 4, "colours")
    drawn = [line for n, line in enumerate(drawing.lines) if n != 5]  # second piece, second size

    found = found_in(drawn)

    told = [f for f in found.findings if f.code == "sizes-missing"]
    assert [f.where for f in told] == ["piece 2"]
    assert "3 of 4" in told[0].text


def test_the_persons_own_sizes_name_the_outlines():
    drawing = fronts(PLACES[:1], 3, "colours")

    found = found_in(drawing.lines, answers={"A": "XS", "B": "S", "C": "M"})

    assert [outline.size for outline in found.pieces[0].outlines] == ["XS", "S", "M"]


def test_a_group_taken_out_by_the_person_gives_no_outline():
    drawing = fronts(PLACES[:1], 3, "colours")

    found = found_in(drawing.lines, answers={"B": "-"})

    assert [outline.size for outline in found.pieces[0].outlines] == ["1", "3"]


def test_pieces_come_in_rows_from_the_top():
    spots = [(20, 700), (400, 80), (20, 95), (420, 690)]
    drawing = fronts(spots, 2, "colours")

    lefts = [piece.box[0] for piece in found_in(drawing.lines).pieces]

    assert lefts == pytest.approx([20, 400, 20, 420], abs=1)


def test_nothing_drawn_gives_nothing():
    found = found_in([])

    assert found == ((), (), (), ())


def test_lines_without_length_do_no_harm():
    drawing = fronts(PLACES[:1], 3, "colours", "once")
    dots = [whole(Path(lines([(50, 50)], [(50, 50)]))), whole(Path([]))]

    hold(found_in(list(drawing.lines) + dots), drawing.truth)


def test_two_ticks_side_by_side_take_nothing_out_of_a_line():
    # Their ends meet within the silent gap, 0.2 mm apart along the line that sizes share.
    drawing = fronts(PLACES[:1], 3, "colours", same=True)
    x, y = np.mean(drawing.truth[0].path.curves[1, [0, 3]], axis=0)  # the middle of the shoulder
    along = np.diff(drawing.truth[0].path.curves[1, [0, 3]], axis=0)[0]
    along = 0.2 * along / np.hypot(*along)
    ticks = [whole(Path.through([(x, y) + n * along, (x + 2, y - 6) + n * along]), THIN) for n in range(2)]

    hold(found_in(list(drawing.lines) + ticks), drawing.truth)
    for outline in found_in(list(drawing.lines) + ticks).pieces[0].outlines:
        assert len(outline.path) == 6
