"""A whole document: windows, marks of joins, furniture inside what is printed, no line lost."""

import itertools

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.paper.front import Said, legend_of
from sewkit.paper.furniture_joins import RADIUS, numbered
from sewkit.paper.laid_out import Printing, laid_out
from sewkit.paper.lay import AS_DRAWN, PLAIN, PORTRAIT, USERUNIT, Asked
from sewkit.paper.letter_widths import text_width
from sewkit.paper.moved import room_of
from sewkit.paper.sizes import paper_named
from sewkit.pattern.cut_list import CutRow
from sewkit.pattern.mark import GRAIN, INNER, LEVEL, NOTCH
from tests.paper.sheets import chords, ink, rectangle

SAID = Said("Waistcoat", "P03, size 3, 29 Nov 2026", "A4")


def printed(pieces, paper="A4", front=True, only=(), **asked):
    asked = Asked(paper_named(paper), **dict({"lay": AS_DRAWN, "turn": PORTRAIT}, **asked))
    return laid_out(pieces, Printing(asked, SAID, front=front, only=only))


def frame(width=1000.0, height=1400.0):
    return [ink(rectangle(3.0, 4.0, width, height))]


def words(page):
    return [one.text for one in page.own.words]


def test_only_pages_with_ink_come_row_by_row_with_their_names():
    """The frame of 1000 x 1400 mm, worked in test_tiling: 20 of 6 x 6 pages."""
    pages = printed(frame(), front=False).document.pages

    assert len(pages) == 20
    assert [page.label for page in pages[:7]] == ["A1", "A2", "A3", "A4", "A5", "A6", "B1"]
    assert pages[7].label == "B6"
    for number, page in enumerate(pages, 1):
        assert "{}, page {} of 20".format(page.label, number) in words(page)
        assert (page.width, page.height) == (210.0, 297.0)


@pytest.mark.parametrize("overlap", [0.0, 10.0, 20.0])
def test_no_spot_of_a_line_is_missing(overlap):
    curve = Path(
        [[(0, 0), (500, 900), (-300, 700), (600, 100)], [(600, 100), (400, 0), (100, 50), (0, 0)]], True
    )
    done = printed([ink(curve, width=0.5)], overlap=overlap)
    windows = [window for page in done.document.pages for window in page.windows]
    (stroke,) = done.document.artwork.strokes
    line = chords(stroke.path)
    spots = (line[:, 0] + line[:, 1]) / 2

    seen = np.zeros(len(spots), bool)
    for window in windows:
        low = np.array([window.left, window.top]) - 1e-9
        seen |= ((spots >= low) & (spots <= low + [window.width, window.height] + [2e-9, 2e-9])).all(axis=1)

    assert seen.all()


@pytest.mark.parametrize("paper, overlap", [("A4", 10.0), ("Letter", 0.0), ("A5", 5.0), ("A2", 15.0)])
def test_all_furniture_is_inside_what_is_printed(paper, overlap):
    for page in printed(frame(), paper, overlap=overlap).document.pages:
        margin = 10.0
        spots = [stroke.path.curves.reshape(-1, 2) for stroke in page.own.strokes]
        for one in page.own.words:
            length = text_width(one.text, one.height, one.bold)
            start = np.array(one.place) - one.anchor * length * np.array(one.along)
            spots.append(np.array([start, start + length * np.array(one.along)]))
        spots = np.concatenate(spots)

        assert spots.min() >= margin - 1e-6, page.label
        assert (spots <= np.array([page.width, page.height]) - margin + 1e-6).all(), page.label


def half_circles(page):
    """Middle of the flat side and the side it bulges to, by the box of a half circle of the radius."""
    found = []
    for stroke in page.own.strokes:
        low, high = stroke.path.nodes.min(axis=0), stroke.path.nodes.max(axis=0)
        if stroke.path.closed and sorted(np.round(high - low, 6)) == [RADIUS, 2 * RADIUS]:
            flat = stroke.path.curves[2]
            found.append((flat[0] + flat[3]) / 2)
    return found


def test_half_circles_of_one_number_meet_when_pages_lie_as_their_windows():
    """The flat side of both lies at the same spot of the drawing, found through each page's own window."""
    done = printed(frame(600.0, 500.0), front=False)
    places = {}
    for page in done.document.pages:
        (window,) = page.windows
        numbers = [one for one in page.own.words if one.bold and one.text.isdigit()]
        circles = half_circles(page)
        assert len(numbers) == len(circles)
        for number in numbers:
            near = min(circles, key=lambda spot: np.hypot(*(spot - number.place)))
            on_drawing = near - [window.x, window.y] + [window.left, window.top]
            places.setdefault(number.text, []).append((on_drawing, page.label))

    assert len(places) == len(numbered(done.laid.cells)) > 0
    for spots in places.values():
        (one, first), (other, second) = spots
        assert np.abs(one - other).max() < 1e-9
        assert first != second


def test_each_side_of_a_join_names_the_other_page():
    pages = {page.label: page for page in printed(frame(600.0, 500.0), front=False).document.pages}

    assert any("joins A2 here" in text for text in words(pages["A1"]))
    assert any("joins A1 here" in text for text in words(pages["A2"]))
    assert any("joins B1 here" in text for text in words(pages["A1"]))
    assert not any("joins B2" in text for text in words(pages["A1"]))


def test_the_crosses_at_a_corner_of_four_pages_point_to_one_spot():
    """On each of A1, A2, B1, B2 some arm runs aslant towards the corner where all four meet."""
    done = printed(frame(300.0, 400.0), front=False)
    corner = np.array(done.laid.grid.corner((1, 1)))
    assert [page.label for page in done.document.pages] == ["A1", "A2", "B1", "B2"]
    for page in done.document.pages:
        (window,) = page.windows
        on_page = corner - [window.left, window.top] + [window.x, window.y]
        arms = [stroke.path.curves[0] for stroke in page.own.strokes if len(stroke.path) == 1]
        near = [arm for arm in arms if abs(np.abs(arm[0] - on_page).max() - 0.6) < 1e-9]
        assert any(np.abs(np.abs(arm[3] - on_page) - 3.0).max() < 1e-9 for arm in near), page.label


def bars(page, length):
    """Directions of the bars of a length: a line with a tick of 3 mm at either end."""
    found = set()
    for stroke in page.own.strokes:
        if len(stroke.path) == 3 and not stroke.path.closed:
            way = np.abs(stroke.path.curves[1, 3] - stroke.path.curves[1, 0])
            if abs(way.max() - length) < 1e-9:
                found.add("across" if way[0] > way[1] else "along")
    return found


def test_every_page_has_bars_both_ways_and_says_how_to_print():
    pages = printed(frame(), front=False).document.pages

    assert len(pages) == 20
    for page in pages:
        assert bars(page, 100.0) == {"across", "along"}
        assert any("100 %" in text and "scale" in text for text in words(page))
        assert any(text.startswith("Waistcoat, P03, size 3") for text in words(page))


def test_the_front_has_squares_of_100_mm_and_4_inches_and_no_window():
    done = printed(frame())
    front = done.document.pages[0]
    squares = set()
    for stroke in front.own.strokes:
        width, height = np.ptp(stroke.path.nodes, axis=0)
        if stroke.path.closed and len(stroke.path) == 4 and abs(width - height) < 1e-9:
            squares.add(round(float(width), 6))

    assert {100.0, 101.6} <= squares
    assert front.windows == () and done.fronts == 1
    assert done.document.pages[1].label == "A1"


def test_a_roll_is_as_long_as_its_pieces_and_carries_all_at_its_head():
    done = printed([ink(rectangle(0.0, 0.0, 800.0, 1000.0))], "roll 36in")
    (page,) = done.document.pages

    assert page.width == 914.4 and 1000.0 < page.height < 1300.0
    assert bars(page, 300.0) == {"across", "along"}
    assert "100 mm" in words(page) and "Waistcoat" in words(page)
    (window,) = page.windows
    lowest = max(spot[1] for spot in page.own.strokes[0].path.nodes)
    top = done.document.artwork.strokes[0].path.nodes[:, 1].min() - window.top + window.y
    heads = [one.place[1] for one in page.own.words if one.text in ("Waistcoat", "100 mm", "4 in")]
    assert min(heads) < top < lowest  # the pattern begins below the head's first words


def test_a_long_roll_is_split_into_equal_lengths_below_five_metres():
    """7 m on 5 m: two lengths, with one join."""
    done = printed([ink(rectangle(0.0, 0.0, 500.0, 7000.0))], "roll 24in")
    pages = done.document.pages

    assert len(pages) == 2
    assert pages[0].height == pages[1].height <= 5000.0
    one, two = (page.windows[0] for page in pages)
    assert one.top + one.height - two.top == pytest.approx(10.0)


def test_a_longer_page_is_made_only_where_it_is_asked_for():
    pieces = [ink(rectangle(0.0, 0.0, 500.0, 7000.0))]
    plain = printed(pieces, "roll 24in", oversize=PLAIN).document
    units = printed(pieces, "roll 24in", oversize=USERUNIT).document

    assert len(plain.pages) == len(units.pages) == 1
    assert plain.pages[0].height > 7000.0
    # 7.2 m are 20400 points, more than 14400 and less than twice as many.
    assert (plain.unit, units.unit) == (1.0, 2.0)


def test_one_spoiled_page_comes_alone_and_just_as_it_was():
    whole = printed(frame()).document
    again = printed(frame(), only=("b1",)).document
    (page,) = again.pages

    assert page == next(one for one in whole.pages if one.label == "B1")
    with pytest.raises(InputError, match="nothing on page B2"):
        printed(frame(), only=("B2",))
    with pytest.raises(InputError, match="no page Z9"):
        printed(frame(), only=("Z9",))


def test_a_layout_that_takes_fewer_pages_is_taken():
    """Two strips of 100 x 270 mm, a metre apart, lie beside each other on one A4 page: 100 + 10 + 80."""
    pieces = [ink(rectangle(0.0, 0.0, 100.0, 270.0)), ink(rectangle(1000.0, 900.0, 70.0, 270.0))]
    drawn = printed(pieces)
    packed = printed(pieces, lay="packed")

    assert len(drawn.laid.cells) >= 2
    assert len(packed.laid.cells) == 1 and packed.laid.is_packed
    one, two = (piece.outer[0].nodes for piece in packed.laid.pieces)
    gap = max(two.min(axis=0)[0] - one.max(axis=0)[0], one.min(axis=0)[0] - two.max(axis=0)[0])
    assert gap >= 10.0 - 1e-6


def test_pieces_that_lie_well_stay_where_they_are_drawn():
    pieces = [ink(rectangle(0.0, 0.0, 80.0, 200.0)), ink(rectangle(95.0, 0.0, 80.0, 200.0))]
    done = printed(pieces, lay="packed")

    assert not done.laid.is_packed
    moves = [
        piece.outer[0].start - old.outer[0].start
        for piece, old in itertools.zip_longest(done.laid.pieces, pieces)
    ]
    assert np.abs(moves[0] - moves[1]).max() < 1e-9


def overlapping(one, other):
    return all(one[k] < other[k + 2] - 1e-6 and other[k] < one[k + 2] - 1e-6 for k in (0, 1))


@pytest.mark.parametrize("paper, turn", [("A4", "portrait"), ("safe", "portrait"), ("A4", "landscape")])
def test_the_front_of_a_nest_is_one_page(paper, turn):
    """Eight sizes, four kinds of marks, three rows of the cut list and three lines of words."""
    sizes = tuple("12345678")
    rows = tuple(
        CutRow(n, 3, "front-facing", 2, "1 pair, mirrored", "main", ", ".join(sizes)) for n in (1, 2, 3)
    )
    said = Said(
        "Waistcoat", "sizes 1 to 8", "A4", rows, ("A sentence of the maker's, ten words long at least. " * 6,)
    )
    legend = legend_of(sizes, True, False, 0.35, (GRAIN, LEVEL, INNER, NOTCH))
    asked = Asked(paper_named(paper), turn=turn, lay=AS_DRAWN)
    done = laid_out(frame(600.0, 700.0), Printing(asked, said, legend, sizes))

    assert done.fronts == 1
    texts = words(done.document.pages[0])
    assert {"size 8", "straight grain", "Cut list", "A1", "Seam lines: sew here"} <= set(texts)


def test_nothing_of_a_front_lies_on_something_else():
    """The rooms of all its words, and the frames of the map, are apart from each other."""
    front = printed(frame(600.0, 700.0)).document.pages[0]
    rooms = [room_of(one) for one in front.own.words if one.along == (1.0, 0.0)]
    boxes = [(*room.min(axis=0), *room.max(axis=0)) for room in rooms]

    assert {"A1", "A2", "A3", "A4"} & {one.text for one in front.own.words if one.along == (1.0, 0.0)}
    for one, other in itertools.combinations(boxes, 2):
        assert not overlapping(one, other)


def test_what_is_a_page_s_own_lies_below_the_drawing_on_its_own_layer():
    document = printed(frame()).document

    assert document.layers[-1].name == "Page marks"
    for page in document.pages:
        assert page.below or not page.windows
        assert {one.layers for part in page.own for one in part} == {("Page marks",)}


def test_the_drawing_keeps_clear_of_the_frame_where_there_is_room():
    """On one A4 page 190 x 277 mm are free: 150 x 200 mm leave 20 mm on the left and 38.5 above."""
    (page,) = printed([ink(rectangle(3.0, 4.0, 150.0, 200.0))], front=False).document.pages
    (window,) = page.windows

    assert window.left == pytest.approx(-20.0) and window.top == pytest.approx(-38.5)
