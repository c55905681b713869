"""Labels on pieces: what they say, and that they stand inside and clear of every line (judged by Shapely)."""

import io
import pathlib

import numpy as np
import pytest

from sewkit.files.svg import open_drawing
from sewkit.files.svg_words import lines_through_words
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.operations.allowance import allowance
from sewkit.operations.size import size
from sewkit.pattern.cut_list import cut_list
from sewkit.pattern.label_room import room_on
from sewkit.pattern.mark import GRAIN, INNER, LABEL, Mark
from sewkit.pattern.outline import bare_outline, from_edges
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.pattern.piece_label import BAR, HEIGHTS, LABEL_NAME, About, allowance_words, label_words, labelled

shapely = pytest.importorskip("shapely")

MASTER = pathlib.Path(__file__).parents[2] / "samples" / "waistcoat" / "master.svg"
ABOUT = About("Waistcoat", "P03", "chest 3, waist 5, 20 mm longer", "The Miser", "May 2026")


def a_piece(corners, grain, name="front", **more):
    outline = bare_outline(Path.through([*corners, corners[0]], closed=True), "3")
    marks = (Mark(GRAIN, path=Path.through(grain)),) if grain else ()
    return Piece(name, (outline,), marks=marks, **more)


def box(wide, high):
    return [(0, 0), (wide, 0), (wide, high), (0, high)]


def labels(piece):
    return [mark for mark in piece.marks if mark.name == LABEL_NAME]


def words_of(piece):
    return [mark.text for mark in labels(piece) if mark.text]


def ground(mark):
    """The area of a label's words: from its foot line upwards, as high as its letters; or of its bar."""
    line = shapely.LineString(mark.path.nodes)
    if not mark.text:
        return line
    way = mark.path.end - mark.path.start
    up = np.array([way[1], -way[0]]) / np.hypot(*way) * mark.height
    return shapely.Polygon([mark.path.start, mark.path.end, mark.path.end + up, mark.path.start + up])


def check_clear(piece, outline):
    """All labels lie inside the outline, on no line of the piece and not on each other."""
    inside = shapely.Polygon(flatten(outline.path, 0.01))
    areas = [ground(mark) for mark in labels(piece)]
    assert areas and all(inside.contains(area) for area in areas)
    for mark in piece.marks_for(outline.size):
        if mark.name != LABEL_NAME and mark.path is not None and not mark.text:
            line = shapely.LineString(flatten(mark.path, 0.01))
            assert all(line.distance(area) > 2.0 for area in areas), mark
    for number, area in enumerate(areas):
        assert not any(area.intersects(other) for other in areas[number + 1 :])


def test_the_words_of_a_label():
    parts = [
        ("top", Path.through([(0, 0), (150, 0)]), False),
        ("side", Path.through([(150, 0), (200, 300)]), False),
        ("hem", Path.through([(200, 300), (0, 300)]), False),
        ("fold", Path.through([(0, 300), (0, 0)]), False),
    ]
    outline = from_edges("P03", parts, True)
    piece = Piece("back", (outline,), cut=1, cloth="lining", folds=("fold",))
    piece = piece._replace(allowance={"": 10.0, "side": 25.0, "hem": 38.1, "top": 10.0})
    (row,) = cut_list(Pattern((piece,)))

    assert allowance_words(piece, outline) == "no seam allowance"
    piece = piece.with_cut_line(CutLine("P03", outline.path))
    assert label_words(piece, outline, row, ABOUT) == (
        "Waistcoat, back (1 of 1)",
        "P03: chest 3, waist 5, 20 mm longer",
        "cut 1 on the fold, lining cloth",
        "allowance 10 mm, side 25 mm, hem 38.1 mm, fold 0 mm",
        "The Miser, May 2026",
    )
    assert label_words(piece, outline, row)[:2] == ("back (1 of 1)", "size P03")


def test_every_piece_of_the_waistcoat_has_its_words_inside_and_clear_of_all_lines():
    drawing, _ = open_drawing(str(MASTER))
    kept = size(drawing.pattern, size_kept="5").pattern
    cut = allowance(kept, width=10.0, edges={"side": 25.0, "centre-back": 25.0}).pattern
    words = lines_through_words(drawing.root)
    made = labelled(cut, ABOUT, "5", words)

    assert made.legend == ()
    for number, piece in enumerate(made.pattern.pieces, 1):
        check_clear(piece, piece.outline("5"))
        text = " ".join(words_of(piece)).replace(";", "")
        assert "Waistcoat, {} ({} of 3)".format(piece.name, number) in text
        assert "P03: chest 3, waist 5, 20 mm longer cut 1 pair, mirrored" in text
        for area in map(ground, labels(piece)):
            assert not any(area.intersects(shapely.LineString(line.nodes)) for line in words)
    assert labelled(made.pattern, ABOUT, "5", words) == made


@pytest.mark.parametrize(
    "grain, along",
    [
        (((100, 50), (100, 350)), (0, -1)),
        (((100, 350), (100, 50)), (0, -1)),
        (((180, 200), (20, 200)), (1, 0)),
        (((50, 150), (150, 250)), (0.5**0.5, 0.5**0.5)),
        (None, (1, 0)),
    ],
)
def test_they_run_along_the_grain_upwards_or_to_the_right(grain, along):
    piece = a_piece(box(200, 400), grain)
    after = labelled(Pattern((piece,)), ABOUT).pattern.pieces[0]

    check_clear(after, after.outlines[0])
    for mark in labels(after):
        if mark.text:
            way = mark.path.end - mark.path.start
            assert way / np.hypot(*way) == pytest.approx(along, abs=1e-9)


def test_the_bar_is_as_long_as_it_says():
    after = labelled(Pattern((a_piece(box(200, 400), None),)), ABOUT).pattern.pieces[0]
    (bar,) = [mark for mark in labels(after) if not mark.text]

    assert BAR == 50.0 and np.hypot(*(bar.path.nodes[2] - bar.path.nodes[1])) == pytest.approx(50.0)
    assert "50 mm" in words_of(after)


def test_on_a_smaller_piece_the_letters_are_smaller():
    heights = []
    for high in (300, 60, 45, 36):
        after = labelled(Pattern((a_piece(box(160, high), None),)), ABOUT)
        assert after.legend == ()
        check_clear(after.pattern.pieces[0], after.pattern.pieces[0].outlines[0])
        heights.append(labels(after.pattern.pieces[0])[0].height)
    assert heights[0] == HEIGHTS[0] and heights == sorted(heights, reverse=True)
    assert heights[-1] < heights[0]


def test_where_they_do_not_fit_the_piece_has_its_number_and_a_legend_has_the_words():
    large = a_piece(box(200, 400), None, "front")
    small = a_piece(box(25, 25), None, "tab")
    made = labelled(Pattern((large, small)), ABOUT)
    tab = made.pattern.piece("tab")

    ((sign, words),) = made.legend
    assert sign == "2" and words.startswith("Waistcoat, tab (2 of 2); P03: chest 3")
    number, legend = labels(tab)
    assert number.text == "2" and shapely.Polygon(box(25, 25)).contains(ground(number))
    assert legend.text == "2: " + words
    assert shapely.Polygon(box(200, 400)).disjoint(ground(legend)) and ground(legend).bounds[1] > 400


def test_a_piece_too_small_for_anything_still_stands_in_the_legend():
    made = labelled(Pattern((a_piece(box(8, 8), None),)), ABOUT)

    assert [sign for sign, _ in made.legend] == ["1"]
    assert [mark.text[:2] for mark in labels(made.pattern.pieces[0])] == ["1:"]


def test_a_narrow_piece_with_the_grain_across_has_its_words_along_it():
    after = labelled(Pattern((a_piece(box(400, 40), ((200, 5), (200, 35))),)), ABOUT)
    piece = after.pattern.pieces[0]

    assert after.legend == ()
    check_clear(piece, piece.outlines[0])
    way = labels(piece)[0].path.end - labels(piece)[0].path.start
    assert way[0] > 0 and way[1] == pytest.approx(0.0)


def test_a_line_across_the_middle_is_not_written_over():
    cross = Mark(INNER, path=Path.through([(0, 200), (200, 200)]))
    piece = a_piece(box(200, 400), ((100, 50), (100, 350)))
    after = labelled(Pattern((piece._replace(marks=(*piece.marks, cross)),)), ABOUT).pattern.pieces[0]

    check_clear(after, after.outlines[0])


def test_a_nest_without_a_chosen_size_and_an_open_line_get_none():
    piece = a_piece(box(200, 400), None)
    nest = piece.with_outline(piece.outlines[0]._replace(size="4"))
    opened = Piece("open", (bare_outline(Path.through([(0, 0), (100, 0), (100, 90)]), "3"),))

    made = labelled(Pattern((nest, opened)), ABOUT)
    assert made.pattern.pieces == (nest, opened) and made.legend == ()
    assert labels(labelled(Pattern((nest,)), ABOUT, "4").pattern.pieces[0])


@pytest.mark.parametrize("seed", range(6))
def test_a_free_block_is_found_wherever_there_is_one_and_is_free(seed):
    rng = np.random.default_rng(seed)
    turns = np.sort(rng.uniform(0, 2 * np.pi, 9))
    reach = rng.uniform(60, 160, 9)
    corners = np.stack([reach * np.cos(turns), reach * np.sin(turns)], axis=1)
    outline = Path.through([*corners, corners[0]], closed=True)
    angle = rng.uniform(0, 2 * np.pi)
    along = np.array([np.cos(angle), np.sin(angle)])
    room = room_on(outline, (), along, np.zeros(2))
    shape = shapely.Polygon(corners)

    found = 0
    for length, depth in ((10.0, 5.0), (60.0, 20.0), (120.0, 40.0), (500.0, 10.0)):
        corner = room.place(length, depth)
        if corner is not None:
            across = np.array([-along[1], along[0]])
            ends = [
                corner,
                corner + length * along,
                corner + length * along + depth * across,
                corner + depth * across,
            ]
            assert shape.buffer(-2.0).contains(shapely.Polygon(ends))
            found += 1
    assert room.place(500.0, 10.0) is None
    # A circle that fits well inside holds a small block, so one must have been found.
    if shapely.maximum_inscribed_circle(shape).length > 20.0:
        assert found >= 1


def test_words_of_a_drawing_are_found_where_they_stand():
    text = """<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">
    <g style="font-size:10px"><text x="100" y="50" style="text-anchor:middle">abcdefghij</text></g>
    <text font-size="5px" transform="rotate(-90 10 100)"><tspan x="10" y="100">ab</tspan></text>
    <text x="0" y="150" style="display:none">hidden</text></svg>"""
    drawing, _ = open_drawing(io.BytesIO(text.encode()))
    lines = shapely.MultiLineString([line.nodes for line in lines_through_words(drawing.root)])

    # Ten letters of 6.2 mm about x = 100, and two of 3.1 mm upwards from (10, 100).
    assert shapely.box(69, 40, 131, 50).buffer(0.01).intersection(lines).length > 4 * 62 - 0.1
    assert lines.bounds == pytest.approx((5.0, 40.0, 131.0, 100.0), abs=0.01)


def test_a_label_that_is_not_ours_stays():
    mine = Mark(LABEL, "", path=Path.through([(50, 50), (51, 50)]), text="front")
    piece = a_piece(box(200, 400), None)._replace(marks=(mine,))

    assert mine in labelled(Pattern((piece,)), ABOUT).pattern.pieces[0].marks
