"""The before/after picture: to scale, all inside the page, labels apart, sums worked by hand."""

import re

import numpy as np
import pytest
from lxml import etree

from sewkit.errors import InputError
from sewkit.files.picture import before_after
from sewkit.files.picture_changes import changes_between, findings_shown, nearest_points
from sewkit.files.picture_layout import APART, MARGIN, Cell, Label, rows, spread, wrapped
from sewkit.geometry.path import Path
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.report import Change, Finding, Level

SVG = "{http://www.w3.org/2000/svg}"
EDGES = tuple(Edge(name, i, i + 1) for i, name in enumerate(("top", "side", "hem", "centre")))


def box(size, left, top, right, bottom):
    """An upright box, clockwise from its upper left corner."""
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    return Outline(size, Path.through(corners, closed=True), EDGES)


def two_sizes(new, name="front", **more):
    """A pattern before and after: sizes 3 and 5 of a box, and a new one beside them."""
    small, large = box("3", 0, 0, 200, 400), box("5", -10, -10, 220, 420)
    grain = Mark(GRAIN, path=Path.through([(100, 100), (100, 300)]))
    piece = Piece(name, (small, large), marks=(grain,), cut=2, cloth="wool")
    lines = (CutLine(new.size, box("", -15, -15, 240, 450).path),)
    after = piece._replace(outlines=(small, large, new), cut_lines=lines, **more)
    return Pattern((piece,)), Pattern((after,))


WIDER = box("P03", 0, 0, 212.5, 420)


def drawn(*arguments, **more):
    return etree.fromstring(before_after(*arguments, **more).encode("utf-8"))


def page_size(root):
    width, height = (float(v) for v in root.get("viewBox").split()[2:])
    return width, height


def points_of(root):
    """All coordinates of lines, circles and rectangles outside definitions."""
    found = []
    for element in root.iter():
        if any(up.tag in (SVG + "defs", SVG + "marker", SVG + "pattern") for up in element.iterancestors()):
            continue
        if element.tag == SVG + "path":
            for run in re.findall(r"(-?[\d.]+),(-?[\d.]+)", element.get("d")):
                found.append([float(v) for v in run])
        elif element.tag == SVG + "circle":
            x, y, r = (float(element.get(key)) for key in ("cx", "cy", "r"))
            found += [[x - r, y - r], [x + r, y + r]]
    return np.array(found)


def text_boxes(root):
    """Each text's box: letters 0.6 of their height wide, as those of a wide sans-serif face are."""
    rules = dict(re.findall(r"\.([\w-]+) \{ font-size: ([\d.]+)px", root.find(SVG + "style").text))
    boxes = []
    for element in root.iter(SVG + "text"):
        own = re.search(r"font-size:([\d.]+)px", element.get("style", ""))
        size = float(own.group(1) if own else rules[element.get("class")])
        wide = len(element.text) * 0.6 * size
        x, y = float(element.get("x")), float(element.get("y"))
        left = x - wide if element.get("text-anchor") == "end" else x
        boxes.append((element.text, left, y - 0.75 * size, left + wide, y + 0.2 * size))
    return boxes


def of_kind(root, kind):
    return [element for element in root.iter() if element.get("class") == kind]


def test_the_page_is_in_millimetres_and_holds_everything():
    before, after = two_sizes(WIDER)
    root = drawn(before, after, ["3", "5"], "P03", title="Waistcoat for P03")

    width, height = page_size(root)
    points = points_of(root)
    boxes = np.array([sides[1:] for sides in text_boxes(root)])

    assert (root.get("width"), root.get("height")) == ("{:g}mm".format(width), "{:g}mm".format(height))
    # A4, ISO 216.
    assert width in (210, 297)
    assert height <= {210: 297, 297: 210}[width]
    assert (points >= 0).all()
    assert (points <= [width, height]).all()
    assert (boxes >= 0).all()
    assert (boxes[:, 2] <= width).all()
    assert (boxes[:, 3] <= height).all()


def test_the_lines_and_the_bar_have_the_scale_that_is_written():
    before, after = two_sizes(WIDER)
    root = drawn(before, after, ["3"], "P03")

    scale = float(re.search(r"1:([\d.]+) when printed", "".join(root.itertext())).group(1))
    numbers = re.findall(r"(-?[\d.]+),(-?[\d.]+)", of_kind(root, "new")[0].get("d"))
    extent = np.ptp(np.array(numbers, dtype=float), axis=0)

    # The box is 212.5 x 420 mm; coordinates are written to 0.001 mm.
    assert extent == pytest.approx(np.array([212.5, 420.0]) / scale, abs=0.002)
    assert float(of_kind(root, "bar-frame")[0].get("width")) == pytest.approx(100 / scale, abs=0.001)


def test_moves_are_worked_out_and_told_in_mm_and_parts_of_an_inch():
    before, after = two_sizes(WIDER)

    changes = changes_between(before, after, "3", "P03")

    # By hand: the side went from 200 to 212.5, the hem from 400 to 420; the rest stayed.
    # 12.5 mm = 7.87/16 in, so 1/2 in; 20 mm = 6.30/8 in, so 3/4 in.
    assert [(change.piece, change.text) for change in changes] == [
        ("front", "side: 12.5 mm outward (1/2 in)"),
        ("front", "hem: 20.0 mm outward (3/4 in)"),
    ]
    assert changes[0].point[0] == pytest.approx(212.5)
    assert changes[1].point[1] == pytest.approx(420)


def test_a_line_that_came_in_is_told_as_in_and_a_hair_is_not_told():
    before, after = two_sizes(box("P03", 0.9, 0, 198.1, 394))

    texts = [change.text for change in changes_between(before, after, "3", "P03")]

    # By hand: centre 0.9 mm (not worth telling), side 1.9 mm (1.2/16 in), hem 6 mm (3.8/16 in).
    assert texts == ["side: 1.9 mm inward (1/16 in)", "hem: 6.0 mm inward (1/4 in)"]


def test_an_edge_that_only_became_longer_has_not_moved():
    before, after = two_sizes(box("P03", 0, 0, 200, 450))

    texts = [change.text for change in changes_between(before, after, "3", "P03")]

    assert texts == ["hem: 50.0 mm outward (2 in)"]


def test_an_edge_is_measured_away_from_a_corner_that_another_edge_moved():
    # The hem falls by 3 mm, the side goes out by 30 mm.
    before, after = two_sizes(box("P03", 0, 0, 230, 403))

    changes = changes_between(before, after, "3", "P03")

    # By hand: 3 mm = 1.9/16 in, 30 mm = 9.4/8 in.
    assert [change.text for change in changes] == [
        "side: 30.0 mm outward (1 1/8 in)",
        "hem: 3.0 mm outward (1/8 in)",
    ]
    assert changes[1].point[0] <= 200  # where the old hem was, not in the strip that the side added


def arc(degrees):
    """A circle's arc of radius 100 mm about (0, 0), from (0, 100) through ``degrees``, in ten curves."""
    angles = np.radians(np.linspace(90, 90 - degrees, 11))
    points = 100 * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    # The usual cubic of an arc: handles of 4/3 tan(a/4), square to the radius.
    out = 4 / 3 * np.tan((angles[0] - angles[1]) / 4) * np.stack([points[:, 1], -points[:, 0]], axis=1)
    return np.stack([points[:-1], points[:-1] + out[:-1], points[1:] - out[1:], points[1:]], axis=1)


def test_a_curved_edge_that_only_runs_on_along_itself_is_not_told():
    def half_round(size, degrees):
        hem = arc(degrees)
        end = hem[-1, 3]
        rest = Path.through([tuple(end), (end[0], -50.0), (0.0, -50.0), (0.0, 100.0)], closed=False)
        edges = (Edge("hem", 0, 10), Edge("side", 10, 11), Edge("top", 11, 12), Edge("centre", 12, 13))
        return Outline(size, Path(np.concatenate([hem, rest.curves]), True), edges)

    old = Piece("cap", (half_round("3", 30),))
    new = Piece("cap", (half_round("P03", 50),))

    texts = [change.text for change in changes_between(Pattern((old,)), Pattern((new,)), "3", "P03")]

    # By hand: the side was at 100 sin 30 = 50 mm and is at 100 sin 50 = 76.6 mm; the hem is on
    # its old circle (its new end is 100 (1 - cos 20) = 6 mm from the old end's tangent).
    assert texts == ["side: 26.6 mm outward (1 in)"]


def test_each_line_is_drawn_once_in_its_own_stroke_and_named():
    before, after = two_sizes(WIDER)
    root = drawn(before, after, ["3", "5"], "P03")
    in_pieces = root.find(SVG + "g")

    kinds = [element.get("class") for element in in_pieces.iter(SVG + "path")]

    for kind in ("new", "cut", "old-0", "old-1", "grain"):
        assert kinds.count(kind) == 1
    named = [element.text for element in of_kind(root, "size")]
    assert sorted(named) == ["size 3", "size 5"]
    legend = [element.text for element in of_kind(root, "note")]
    for words in ("size 3, before", "size 5, before", "P03, new seam line", "new cut line", "added"):
        assert words in legend
    assert "taken away" not in legend  # nothing was


def test_a_size_name_points_at_a_spot_on_its_line():
    before, after = two_sizes(WIDER)
    root = drawn(before, after, ["3", "5"], "P03")
    d = {kind: of_kind(root, kind)[0].get("d") for kind in ("old-0", "old-1")}

    dots = np.array([[float(dot.get("cx")), float(dot.get("cy"))] for dot in of_kind(root, "size-dot")])

    for text in d.values():
        corners = np.array(re.findall(r"(-?[\d.]+),(-?[\d.]+)", text), dtype=float)
        low, high = corners.min(axis=0), corners.max(axis=0)
        # On the border of the upright box: inside it, and at one of its four sides.
        inside = ((dots >= low - 0.01) & (dots <= high + 0.01)).all(axis=1)
        at_side = (np.abs(dots - low) < 0.01).any(axis=1) | (np.abs(dots - high) < 0.01).any(axis=1)
        assert (inside & at_side).sum() == 1


def test_labels_do_not_overlap_even_when_their_spots_do():
    before, after = two_sizes(WIDER)
    changes = [
        Change("front", "notch {} moved by {}.0 mm, to keep its distance".format(n, n), (205.0, 200.0 + n))
        for n in range(14)
    ]
    changes += [Change("front", "a longer sentence about the left", (1.0, 10.0))] * 5
    root = drawn(before, after, ["3", "5"], "P03", changes=changes, title="Crowded")

    boxes = text_boxes(root)
    width, height = page_size(root)

    assert len(of_kind(root, "change")) > len(changes)  # several lines each
    for number, (words, left, top, right, bottom) in enumerate(boxes):
        assert 0 <= left <= right <= width, words
        assert 0 <= top <= bottom <= height, words
        for other, left2, top2, right2, bottom2 in boxes[number + 1 :]:
            apart = right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top
            assert apart, (words, other)


def test_many_pieces_make_the_page_longer_and_never_too_small():
    old, new = [], []
    for number in range(20):
        before, after = two_sizes(WIDER, "piece-{}".format(number))
        old += before.pieces
        new += after.pieces
    root = drawn(Pattern(tuple(old)), Pattern(tuple(new)), ["3", "5"], "P03")

    lines = of_kind(root.find(SVG + "g"), "new")
    heights = [np.ptp(np.array(re.findall(r",(-?[\d.]+)", line.get("d")), dtype=float)) for line in lines]
    width, height = page_size(root)
    points = points_of(root)

    assert len(root.findall(SVG + "g")) == 20
    assert min(heights) > 40
    assert (points <= [width, height]).all()


def test_odd_names_stay_text():
    odd = "<front> & 'back' \x07"
    before, after = two_sizes(WIDER, odd)
    root = drawn(before, after, ["3"], "P03", title=odd, changes=[Change(odd, odd, (200.0, 10.0))])

    shown = "<front> & 'back' \ufffd"
    assert [element.text for element in of_kind(root, "title")] == [shown]
    assert [element.text for element in of_kind(root, "name")] == [shown]
    assert [element.text for element in of_kind(root, "change")] == [shown]


def test_two_pictures_in_one_page_keep_their_ids_and_rules_apart():
    before, after = two_sizes(WIDER)
    one = drawn(before, after, ["3"], "P03")
    other = drawn(before, after, ["5"], "P03")

    ids = [[element.get("id") for element in root.iter() if element.get("id")] for root in (one, other)]
    rules = one.find(SVG + "style").text.strip().splitlines()

    assert not set(ids[0]) & set(ids[1])
    assert len(set(ids[0])) == len(ids[0])
    # A rule that is not bound to this picture would also reach the page around it.
    for rule in rules:
        names = rule.partition("{")[0].split(",")
        assert all(name.strip().startswith("#" + one.get("id") + " ") for name in names), rule


def test_open_lines_and_pieces_without_parents_are_shown_too():
    line = Outline("", Path.through([(0, 0), (0, 300)]), (Edge("1", 0, 1),))
    moved = Outline("", Path.through([(8, 0), (8, 300)]), (Edge("1", 0, 1),))
    bare = Piece("path12", (line,), named=False)

    root = drawn(Pattern((bare,)), Pattern((bare._replace(outlines=(moved,)),)), [""], "")
    alone = drawn(Pattern(), Pattern((bare,)), ["3"], "")

    # 8 mm = 5.04/16 in; an open line has no inside, so it moved neither in nor out.
    assert [element.text for element in of_kind(root, "change")] == ["edge 1: 8.0 mm", "aside (5/16 in)"]
    assert not of_kind(root, "added")
    assert "new piece" in [element.text for element in of_kind(alone, "note")]


def test_an_unchanged_piece_is_called_so():
    _, pattern = two_sizes(box("P03", 0, 0, 200, 400))

    notes = [element.text for element in of_kind(drawn(pattern, pattern, ["P03"], "P03"), "note")]

    assert "cut 2 · wool · not changed" in notes
    # Nothing is new and nothing dashed, so the key must not say so.
    assert notes[-2:] == ["P03, seam line", "cut line"]


def test_an_allowance_is_told_by_its_widths_where_only_the_cut_line_is_new():
    widths = {"": 10.0, "side": 25.0, "hem": 40.0, "top": 10.0, "collar": 7.0}
    _, after = two_sizes(WIDER, allowance=widths, folds=("centre",))
    sewn = Pattern((after.pieces[0]._replace(cut_lines=()),))

    root = drawn(sewn, after, ["P03"], "P03")

    notes = [element.text for element in of_kind(root, "note")]
    assert notes[1:] == [
        "cut 2 · wool · seam line not changed",
        "allowance 10 mm, side 25, hem 40, centre 0",
        "P03, seam line",
        "new cut line",
    ]
    assert not of_kind(root, "change")
    # A pattern that keeps no widths, and a line that was not cut, have none to tell.
    for silent in (sewn, Pattern((after.pieces[0]._replace(allowance={}),))):
        told = [element.text for element in of_kind(drawn(sewn, silent, ["P03"], "P03"), "note")]
        assert not any("allowance" in words for words in told)


def cell(width, height):
    return Cell("p", width, height, (), (), ())


@pytest.mark.parametrize(
    "sizes, where",
    [
        # By hand, on 100 mm: 60 and 30 and the gap of 9 are 99, so the third fits beside the
        # first, and the second stands below.
        ([(60, 50), (70, 40), (30, 50)], [(0, 0), (0, 1), (69, 0)]),
        # In their own order the rows would be (45 high 10, 46 high 50) and (45 high 50,
        # 46 high 10), twice 50; the tallest first are 50 and 10.
        ([(45, 10), (46, 50), (45, 50), (46, 10)], [(0, 1), (0, 0), (55, 0), (54, 1)]),
        # What is wider than the page has a row of its own.
        ([(120, 20), (30, 10)], [(0, 0), (0, 1)]),
    ],
)
def test_pieces_fill_the_rows(sizes, where):
    cells = [cell(*size) for size in sizes]

    page = rows(cells, 100 + 2 * MARGIN, 20.0)

    assert [placed.cell for placed in page.placed] == cells
    heights = sorted({round(placed.y, 6) for placed in page.placed})
    left = min(placed.x for placed in page.placed)
    assert [(round(p.x - left, 6), heights.index(round(p.y, 6))) for p in page.placed] == where
    assert page.height == pytest.approx(max(p.y + p.cell.height for p in page.placed))


def test_nothing_to_show_is_said_with_the_sizes_there_are():
    before, after = two_sizes(WIDER)

    with pytest.raises(InputError, match=r"no piece is drawn in size '9'.*3, 5, P03"):
        before_after(before, after, ["3"], "9")


def test_the_same_pattern_gives_the_same_bytes():
    before, after = two_sizes(WIDER)

    assert before_after(before, after, ["3"], "P03") == before_after(before, after, ["3"], "P03")


def label_at(height, lines=1):
    return Label(("words",) * lines, (0.0, height), "change")


def test_lone_labels_stand_at_their_spots_and_twins_on_either_side():
    lone = [label_at(20.0), label_at(60.0)]
    twins = [label_at(40.0), label_at(40.0)]
    room = twins[0].height + APART

    assert spread(lone, 0, 100) == pytest.approx([20, 60])
    # By hand: each moves half a label's room away from the spot.
    assert spread(twins, 0, 100) == pytest.approx([40 - room / 2, 40 + room / 2])


def test_labels_move_as_little_as_possible():
    optimize = pytest.importorskip("scipy.optimize")
    if not hasattr(optimize, "isotonic_regression"):
        pytest.skip("this SciPy is too old to judge it")
    labels = [label_at(h, n) for h, n in ((10, 1), (11, 2), (11, 1), (30, 3), (33, 1), (60, 1), (60.5, 2))]
    rooms = np.array([label.height + APART for label in labels])
    # Taking off what stands above turns "apart" into "in order": a known problem.
    offsets = np.concatenate([[0.0], np.cumsum((rooms[:-1] + rooms[1:]) / 2)])
    wanted = np.array([label.spot[1] for label in labels])

    best = optimize.isotonic_regression(wanted - offsets).x + offsets

    assert spread(labels, -1000, 1000) == pytest.approx(best.tolist())


def test_labels_stay_within_their_column():
    labels = [label_at(h) for h in (1, 1, 99, 99)]
    half = (labels[0].height + APART) / 2

    middles = spread(labels, 0, 100)

    assert middles[0] >= half - 1e-9
    assert middles[-1] <= 100 - half + 1e-9


def test_an_amount_and_its_unit_stay_on_one_line():
    assert wrapped("inseam: 29.9 mm outward (1 1/8 in)") == ("inseam: 29.9 mm", "outward (1 1/8 in)")
    assert wrapped("12.0 mm (1/2 in) taken out") == ("12.0 mm (1/2 in)", "taken out")


def test_nearest_points_agree_with_shapely():
    geometry = pytest.importorskip("shapely.geometry")
    bow = Path([[(0, 0), (80, -60), (160, 90), (240, 10)]])
    spots = np.random.RandomState(1).uniform(-50, 250, (40, 2))
    # Far finer than the 0.01 mm that is promised: the cubic by its definition at 5000 places.
    t = np.linspace(0, 1, 5001)[:, None]
    p = bow.curves[0]
    fine = (1 - t) ** 3 * p[0] + 3 * (1 - t) ** 2 * t * p[1] + 3 * (1 - t) * t**2 * p[2] + t**3 * p[3]
    line = geometry.LineString(fine)

    found = np.hypot(*(nearest_points(bow, spots) - spots).T)

    expected = [line.distance(geometry.Point(spot)) for spot in spots]
    assert found == pytest.approx(expected, abs=0.011)


def test_a_line_that_was_only_drawn_to_cut_at_is_not_shown_as_a_piece():
    line = Outline("", Path.through([(0, 50), (90, 50)]), (Edge("1", 0, 1),))
    shape, longer = (
        Outline("", Path.through([(0, 0), (90, 0), (90, low), (0, low)], closed=True), (Edge("1", 0, 4),))
        for low in (100, 120)
    )
    cut = Piece("drawn-line", (line,), named=False)
    before = Pattern((Piece("shape", (shape,), named=False), cut))
    after = Pattern((Piece("shape", (longer,), named=False), cut))
    told = "".join(drawn(before, after, [""], "").itertext())

    assert "shape" in told and "drawn-line" not in told


def test_what_a_check_found_stands_under_its_number_at_its_place():
    pattern = Pattern((Piece("front"), Piece("back")))
    found = (
        Finding("seam", Level.FAIL, "It differs.", "front/side to back/side", (300.0, 400.0), number=4),
        Finding("grain", Level.WARN, "It is short.", "back", (500.0, 300.0), number=12),
        Finding("note", Level.INFO, "It was not drawn.", "back", (510.0, 310.0)),
    )

    assert [(one.piece, one.text, one.point) for one in findings_shown(found, pattern)] == [
        ("front", "4 stop", (300.0, 400.0)),
        ("back", "12 look", (500.0, 300.0)),
    ]
