"""The joined sheet against the drawing that its tiles were made from."""

from collections import Counter

import numpy as np
import pytest

from sewkit.geometry.path import Path, point
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words
from sewkit.sheet.tiles import join_pages, one_sheet
from tests.operations import data
from tests.pdfs.pages import FRAME, single, tiled
from tests.pdfs.scene import scene

cKDTree = pytest.importorskip("scipy.spatial").cKDTree

EXACT = 0.02  # mm

SMALL, LARGE = scene(), scene(pieces=12)


def joined_sheet(made):
    joined = join_pages(made.printed)
    place = joined.placed[0]
    tile = made.tile(place.page)
    return one_sheet(made.printed, joined), np.array([place.x - tile.x, place.y - tile.y])


def sampled(curves):
    """Points along curves, close together, and the length of the chords between them."""
    t = np.broadcast_to(np.linspace(0.0, 1.0, 257), (len(curves), 257))
    spots = point(curves, t)
    steps = np.hypot(*np.moveaxis(np.diff(spots, axis=1), -1, 0))
    return spots.reshape(-1, 2), float(steps.sum())


def truth(drawing, shift):
    return [path.curves + shift for stroke in drawing.strokes for path in stroke.paths]


@pytest.mark.parametrize("drawing", [SMALL, LARGE], ids=["small", "large"])
@pytest.mark.parametrize("how, overlap", [("poster", 0.0), ("poster", 12.7), ("clip", 0.0), ("clip", 10.0)])
def test_what_pages_show_behind_a_clip_comes_back_as_it_was_drawn(drawing, how, overlap):
    sheet, shift = joined_sheet(tiled(drawing, how=how, overlap=overlap, labels=""))

    true = truth(drawing, shift)
    assert len(sheet.lines) == len(true)
    assert not any(any(line.cut) for line in sheet.lines)
    left = [line.path.curves for line in sheet.lines]
    for curves in true:
        same = [
            k for k, own in enumerate(left) if len(own) == len(curves) and np.abs(own - curves).max() <= EXACT
        ]
        assert same
        del left[same[0]]


@pytest.mark.parametrize("drawing", [SMALL, LARGE], ids=["small", "large"])
@pytest.mark.parametrize("overlap", [0.0, 10.0])
def test_what_was_cut_comes_back_without_gap_or_doubling(drawing, overlap):
    sheet, shift = joined_sheet(tiled(drawing, overlap=overlap, labels=""))

    spots, length = sampled(np.concatenate([line.path.curves for line in sheet.lines]))
    true_spots, true_length = sampled(np.concatenate(truth(drawing, shift)))
    assert length == pytest.approx(true_length, abs=0.05)
    # The samples of one are at most half a step from those of the other.
    step = (
        max(np.hypot(*np.diff(curves[:, [0, 3]], axis=1)[:, 0].T).max() for curves in truth(drawing, shift))
        / 256
    )
    assert cKDTree(spots).query(true_spots)[0].max() <= step + EXACT
    assert cKDTree(true_spots).query(spots)[0].max() <= step + EXACT


@pytest.mark.parametrize("overlap", [0.0, 10.0])
def test_an_end_that_a_border_cut_is_flagged_and_has_its_other_half(overlap):
    sheet, _ = joined_sheet(tiled(SMALL, overlap=overlap, labels=""))

    cut = [
        (end, line.page)
        for line in sheet.lines
        for flag, end in zip(line.cut, (line.path.start, line.path.end))
        if flag
    ]
    assert len(cut) > 100
    for end, page in cut:
        near = [other for place, other in cut if np.hypot(*(place - end)) <= EXACT]
        assert any(other != page for other in near)


@pytest.mark.parametrize("how", ["cut", "poster"])
def test_words_come_once_and_without_labels_and_frames(how):
    sheet, shift = joined_sheet(tiled(SMALL, how=how, overlap=10.0))

    assert Counter(words.text for words in sheet.words) == Counter(words.text for words in SMALL.words)
    for words in sheet.words:
        near = [one for one in SMALL.words if one.text == words.text]
        assert min(np.hypot(one.x + shift[0] - words.x, one.y + shift[1] - words.y) for one in near) <= EXACT
    assert not any(line.style == FRAME for line in sheet.lines)


def test_hidden_layers_stay_hidden():
    drawing = scene(layers=True, hidden=("Size 38",))

    sheet, _ = joined_sheet(tiled(drawing))

    hidden = {line.layers for line in sheet.lines if line.hidden}
    assert hidden == {("Size 38",)}
    assert {line.hidden for line in sheet.lines if "Size 38" in line.layers} == {True}


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_sheet_that_viewers_turn_is_turned_once(turn):
    made = tiled(SMALL, how="clip", labels="", turns=(turn,))
    plain = tiled(SMALL, how="clip", labels="")

    turned, upright = (one_sheet(one.printed, join_pages(one.printed)) for one in (made, plain))

    angle = np.radians(turn)  # clockwise, y down
    matrix = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    middle = np.array([upright.width, upright.height]) / 2
    new_middle = np.array([turned.width, turned.height]) / 2
    expected = [(line.path.curves - middle) @ matrix.T + new_middle for line in upright.lines]
    assert all(np.abs(line.path.curves - curves).max() < 1e-9 for line, curves in zip(turned.lines, expected))
    assert [words.angle for words in turned.words] == [(words.angle + turn) % 360 for words in upright.words]


def page_of(*drawn, number=1, words=()):
    return Page(
        number, 210.0, 297.0, 0, tuple(one._replace(order=k) for k, one in enumerate(drawn)), tuple(words)
    )


def stroke(*points, closed=False, **more):
    path = Path.through(points, closed)
    return Drawn(path.curves, (0,), (closed,), Style("#000000", 0.3), **more)


def test_a_clip_cuts_exactly_what_is_not_shown_elsewhere():
    curve = np.array([[[20.0, 20.0], [60.0, 140.0], [120.0, -60.0], [190.0, 100.0]]])
    wave = Drawn(curve, (0,), (False,), Style("#000000", 0.3), clip=(50.0, 0.0, 150.0, 297.0))

    sheet = one_sheet(Printed((page_of(wave),)), join_pages(Printed((page_of(wave),))))

    (line,) = sheet.lines
    assert line.cut == (True, True)
    assert line.path.start[0] == pytest.approx(50.0, abs=1e-9)
    assert line.path.end[0] == pytest.approx(150.0, abs=1e-9)
    own, all_of_it = point(line.path.curves, [0.37])[0], sampled(curve)[0]
    assert np.hypot(*(all_of_it - own).T).min() < 0.5


def test_a_closed_shape_in_a_clip_stays_closed_and_one_across_it_opens():
    inside = stroke((60, 60), (80, 60), (80, 80), (60, 80), closed=True, clip=(50.0, 50.0, 100.0, 100.0))
    across = stroke((80, 60), (140, 60), (140, 80), (80, 80), closed=True, clip=(50.0, 50.0, 100.0, 100.0))

    page = Printed((page_of(inside, across),))
    lines = one_sheet(page, join_pages(page)).lines

    assert [line.path.closed for line in lines] == [True, False]
    # 100,60 back to 80,60 and round to 100,80: what is left of the upper, left and lower side.
    assert sampled(lines[1].path.curves)[1] == pytest.approx(20 + 20 + 20)


def test_lines_that_a_maker_drew_over_each_other_stay_as_many():
    fold = stroke((100, 20), (100, 280))
    page = Printed((page_of(fold, fold, fold),))

    assert len(one_sheet(page, join_pages(page)).lines) == 3


def test_words_that_a_page_has_twice_stay_two():
    words = [Words("38", 50.0, 50.0), Words("38", 90.0, 50.0)]
    page = Printed((page_of(stroke((10, 10), (90, 90)), words=words),))

    assert len(one_sheet(page, join_pages(page)).words) == 2


def test_every_page_has_its_box_and_boxes_do_not_overlap():
    sheet, _ = joined_sheet(tiled(SMALL, overlap=10.0, labels=""))

    boxes = [box for _, box in sheet.pages]
    assert len(boxes) == 16
    for number, one in enumerate(boxes):
        for two in boxes[:number]:
            width, height = (min(one[k + 2], two[k + 2]) - max(one[k], two[k]) for k in (0, 1))
            assert width <= 1e-9 or height <= 1e-9


def test_real_tiles_match_the_same_drawing_on_one_sheet():
    """Two producers wrote the drawing; the tiles' one rounds to 720 dots an inch, 0.035 mm."""
    pytest.importorskip("pypdf")
    from sewkit.files.pdf_read import read_pages

    tiles = read_pages(str(data.file("penguin", "TUX_pattern_0.6_a4.pdf")))
    whole = read_pages(str(data.file("penguin", "TUX_pattern_0.6_a1.pdf")))
    joined = join_pages(tiles)
    sheet, one = one_sheet(tiles, joined), one_sheet(whole, join_pages(whole))

    ends, true = (
        np.array([end for line in found.lines for end in (line.path.start, line.path.end)])
        for found in (sheet, one)
    )
    tree, shift = cKDTree(true), true.min(axis=0) - ends.min(axis=0)
    for _ in range(5):
        far, which = tree.query(ends + shift)
        shift = shift + np.median((true[which] - ends - shift)[far < 1.0], axis=0)
    far, _ = tree.query(ends + shift)
    assert {place.island for place in joined.placed} == {1}
    assert len(joined.placed) == 9 and joined.missing == ()
    assert joined.closure <= 0.1
    assert (far < 1.0).mean() >= 0.98
    assert np.median(far) <= 0.05
    assert np.percentile(far[far < 1.0], 95) <= 0.3
    # The nodes lie on the other sheet's lines, wherever that producer put its own nodes.
    spots, _ = sampled(np.concatenate([line.path.curves for line in one.lines]))
    nodes = np.concatenate([line.path.nodes for line in sheet.lines]) + shift
    away = cKDTree(spots).query(nodes)[0]
    assert np.median(away) <= 0.05


def test_a_single_page_gives_its_own_lines():
    made = single(SMALL)

    sheet, shift = joined_sheet(made)

    assert (sheet.width, sheet.height) == (SMALL.width, SMALL.height)
    assert all(
        np.array_equal(line.path.curves, curves) for line, curves in zip(sheet.lines, truth(SMALL, shift))
    )


def test_nothing_gives_an_empty_sheet():
    sheet = one_sheet(Printed(()), join_pages(Printed(())))

    assert (sheet.lines, sheet.words, sheet.width) == ((), (), 0.0)
