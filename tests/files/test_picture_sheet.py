"""The sheet picture: to scale, all on the paper, nothing over another, all of it named."""

import re

import numpy as np
import pytest
from lxml import etree

from sewkit.files.picture_sheet import sheet_picture
from sewkit.geometry.path import Path
from sewkit.pattern.mark import DART, DRILL, FOLD, GRAIN, LENGTHEN, NOTCH, Mark
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.report import Finding, Level, Report
from sewkit.sheet.brought import Brought
from sewkit.sheet.drawn import Page, Printed, Style, Whole
from sewkit.sheet.groups import Grouping
from sewkit.sheet.tiles import Joined, Placed

SVG = "{http://www.w3.org/2000/svg}"


def judge(name):
    """A library that we measure ourselves by; the test skips where it is not installed."""
    return pytest.importorskip(name, reason="{} is not installed".format(name))


def nest(name, x, y, width, height, sizes, step=6.0, marks=(), **more):
    """A piece in several sizes: a box whose lower right corner is cut off, growing on three sides."""
    outlines = []
    for number, size in enumerate(sizes):
        out = step * number
        right, low, slant = x + width + out, y + height + out, 0.2 * min(width, height)
        corners = [(x, y - out), (right, y - out), (right, low - slant), (right - slant, low), (x, low)]
        outlines.append(bare_outline(Path.through(corners, closed=True), size))
    return Piece(name, tuple(outlines), marks=tuple(marks), **more)


def brought(pieces, width, height, findings=(), rest=(), grid=(1, 1), hidden=(), turn=0, trim=None):
    """An import of pages that lie edge to edge in ``grid`` columns and rows; turned, the sheet is too."""
    columns, rows = grid
    across, down = (height, width) if turn in (90, 270) else (width, height)
    page = (across / columns, down / rows)
    places, pages = [], []
    for row in range(rows):
        for column in range(columns):
            count = row * columns + column + 1
            places.append(Placed(count, page[0] * column, page[1] * row, column + 1, row + 1, 1, True))
            pages.append(Page(count, *page, turn=turn))
    joined = Joined(tuple(places), (), page, trim, "shapes", (), (), (), 0.0, ())
    pattern = Pattern(tuple(pieces))
    report = Report("", tuple(findings))
    lines = tuple(Whole(line, Style()) for line in rest)
    printed, groups = Printed(tuple(pages)), Grouping((), "styles", ())
    return Brought(pattern, report, width, height, lines, (), {}, tuple(hidden), printed, joined, groups)


def drawn(*arguments, title="Waistcoat", **more):
    return etree.fromstring(sheet_picture(brought(*arguments, **more), title).encode("utf-8"))


def of_kind(root, kind):
    return [element for element in root.iter() if element.get("class") == kind]


def texts(root, kind):
    return [element.text for element in of_kind(root, kind)]


def scale_of(root):
    return float(re.search(r"1:([\d.]+) when printed", "".join(root.itertext())).group(1))


def paper(root):
    return tuple(float(value) for value in root.get("viewBox").split()[2:])


def corners_of(element):
    """Corners of a drawn line, read by svgpathtools."""
    path = judge("svgpathtools").parse_path(element.get("d"))
    return np.array([[part.start.real, part.start.imag] for part in path])


def shift_of(element):
    """How far the groups around an element move it."""
    moved = np.zeros(2)
    for up in element.iterancestors():
        found = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)$", up.get("transform") or "translate(0 0)")
        moved += [float(found.group(1)), float(found.group(2))]
    return moved


def drawn_boxes(root):
    """The box of everything drawn outside definitions, in paper millimetres."""
    for element in root.iter(SVG + "path", SVG + "circle", SVG + "rect"):
        if any(up.tag in (SVG + "defs", SVG + "marker") for up in element.iterancestors()):
            continue
        x, y = shift_of(element)
        if element.tag == SVG + "path":
            left, right, top, bottom = judge("svgpathtools").parse_path(element.get("d")).bbox()
        elif element.tag == SVG + "circle":
            cx, cy, r = (float(element.get(key)) for key in ("cx", "cy", "r"))
            left, top, right, bottom = cx - r, cy - r, cx + r, cy + r
        else:
            left, top = (float(element.get(key, 0)) for key in ("x", "y"))
            right, bottom = left + float(element.get("width")), top + float(element.get("height"))
        yield left + x, top + y, right + x, bottom + y


def text_boxes(root):
    """Each text's box: letters 0.6 of their height wide, strong ones 0.66, as in a wide sans-serif face."""
    rules = dict(re.findall(r"\.([\w-]+) \{ font-size: ([\d.]+)px", root.find(SVG + "style").text))
    boxes = []
    for element in root.iter(SVG + "text"):
        own = re.search(r"font-size:([\d.]+)px", element.get("style", ""))
        size = float(own.group(1) if own else rules[element.get("class")])
        wide = len(element.text) * size * (0.66 if "name" in element.get("class") else 0.6)
        x, y = float(element.get("x")), float(element.get("y"))
        left = x - wide / 2 if element.get("text-anchor") == "middle" else x
        box = judge("shapely").box(left, y - 0.75 * size, left + wide, y + 0.2 * size)
        boxes.append((element.get("class"), element.text, box))
    return boxes


def overlapping(boxes):
    return [
        (words, other)
        for number, (_, words, box) in enumerate(boxes)
        for _, other, box2 in boxes[number + 1 :]
        if box.intersection(box2).area > 1e-6
    ]


def crowd():
    """Two rows of pieces of very different sizes on 2.2 m, with all kinds of marks."""
    names = [
        "front-bodice",
        "back-bodice",
        "Ärmel-oben",
        "Rückenpasse",
        "Schoßteil-mit-sehr-langem-Namen",
        "pocket",
    ]
    names += ["flap", "collar", "collar-stand", "cuff", "side-panel", "loop"]
    shares = [1, 1, 0.8, 0.5, 0.9, 0.3, 0.2, 0.4, 0.3, 0.3, 1, 0.06]
    pieces = []
    for number, (name, share) in enumerate(zip(names, shares)):
        x, y, width, height = 40 + number % 6 * 360, 60 + number // 6 * 700, 220 * share, 560 * share

        def at(*places, x=x, y=y, width=width, height=height):
            return Path.through([(x + a * width, y + b * height) for a, b in places])

        marks = [
            Mark(GRAIN, path=at((0.5, 0.3), (0.5, 0.8))),
            Mark(NOTCH, path=at((1, 0.5), (1.03, 0.5))),
            Mark(DART, path=at((0.3, 1), (0.35, 0.75), (0.4, 1))),
            Mark(LENGTHEN, path=at((0, 0.6), (1, 0.6))),
            Mark(DRILL, path=at((0.7, 0.4), (0.71, 0.4))),
            Mark(FOLD, path=at((0.1, 0.3), (0.2, 0.3), (0.2, 0.7), (0.1, 0.7))),
        ]
        pieces.append(nest(name, x, y, width, height, ["8", "10", "12", "14"], 8 * share, marks))
    return pieces


def worries(count, width, height):
    """Findings of all levels all over a sheet, each in other words."""
    levels = (Level.WARN, Level.FAIL, Level.INFO)
    spots = np.random.RandomState(5).rand(count, 2) * [width, height]
    return [
        Finding(
            "gap", levels[n % 3], "Place {}: a gap was bridged here; look at it.".format(n), "", tuple(spot)
        )
        for n, spot in enumerate(spots.tolist())
    ]


CASES = {
    "one piece": lambda: brought([nest("front", 50, 50, 300, 500, ["8", "10"])], 500, 700),
    "twenty sizes": lambda: brought(
        [nest("front", 60, 150, 300, 500, [str(n) for n in range(20)], 5.0)],
        1100,
        900,
        worries(3, 1100, 900),
        grid=(4, 4),
    ),
    "crowd": lambda: brought(
        crowd(),
        2200,
        1400,
        worries(25, 2200, 1400),
        [Path.through([(10, 10), (110, 10)])],
        grid=(11, 5),
    ),
    "one tiny piece": lambda: brought([nest("loop", 5, 5, 18, 9, ["8"])], 30, 25),
    "a tiny piece on a large sheet": lambda: brought(
        [nest("loop", 500, 500, 18, 9, ["8", "10"], 1.0)],
        1000,
        900,
        [Finding("open", Level.WARN, "Open.", "loop", (505.0, 505.0))] * 3,
    ),
    "very long names": lambda: brought(
        [
            nest("Vorderteil-mit-angeschnittenem-Besatz-und-Knopfleiste", 30, 40, 200, 300, ["8"]),
            nest("x" * 90, 300, 40, 200, 300, ["8"]),
        ],
        560,
        400,
    ),
    "a strip": lambda: brought([nest("belt", 20, 20, 5000, 60, ["8", "10"])], 5100, 120, grid=(20, 1)),
    "a 20 m sheet": lambda: brought([nest("sail", 500, 500, 15000, 18000, ["8"])], 20100, 20100),
    "nothing": lambda: brought([], 200, 100),
}


@pytest.fixture(scope="module", params=sorted(CASES))
def case(request):
    made = CASES[request.param]()
    return made, etree.fromstring(sheet_picture(made, "Waistcoat & <more>").encode("utf-8"))


def test_everything_is_a_number_and_on_the_paper(case):
    _, root = case
    width, height = paper(root)
    boxes = np.array([*drawn_boxes(root), *(box.bounds for _, _, box in text_boxes(root))])

    assert (root.get("width"), root.get("height")) == ("{:g}mm".format(width), "{:g}mm".format(height))
    # A4, ISO 216.
    assert width in (210, 297)
    assert np.isfinite(boxes).all()
    assert (boxes >= 0).all()
    assert (boxes[:, [0, 2]] <= width).all()
    assert (boxes[:, [1, 3]] <= height).all()
    assert "nan" not in etree.tostring(root).decode().lower()


def test_words_run_neither_over_words_nor_over_circles(case):
    _, root = case
    boxes = text_boxes(root)
    circles = [
        (float(c.get("cx")), float(c.get("cy")))
        for kind in ("stop", "look", "info")
        for c in of_kind(root, kind)
        if not shift_of(c).any()
    ]

    assert overlapping(boxes) == []
    for number, one in enumerate(circles):
        for other in circles[number + 1 :]:
            assert np.hypot(one[0] - other[0], one[1] - other[1]) >= 2 * 2.5  # their radius
        for kind, words, box in boxes:
            if not kind.endswith("number") or kind == "page-number":
                assert box.distance(judge("shapely").Point(one)) >= 2.5, words


def test_names_do_not_run_over_the_lines_of_a_piece(case):
    _, root = case
    names = [(words, box) for kind, words, box in text_boxes(root) if kind in ("name", "small-name")]
    kinds = re.compile(r"size-\d+|grain|notch|dart|lengthen|fold")
    lines = [path for path in root.iter(SVG + "path") if kinds.fullmatch(path.get("class") or "")]

    over = []
    for path in lines:
        ends = [judge("svgpathtools").parse_path(path.get("d")).end]
        drawn_line = judge("shapely").LineString([*corners_of(path), *((end.real, end.imag) for end in ends)])
        over += [words for words, box in names if drawn_line.intersects(box)]
    assert over == []


def test_circles_leave_their_spots_to_be_seen(case):
    _, root = case
    spots = [[float(dot.get(key)) for key in ("cx", "cy")] for dot in of_kind(root, "spot")]

    for kind in ("stop", "look", "info"):
        for circle in of_kind(root, kind):
            middle = [float(circle.get(key)) for key in ("cx", "cy")]
            if not shift_of(circle).any():
                assert all(np.hypot(x - middle[0], y - middle[1]) > 2.5 for x, y in spots)


def test_each_piece_has_its_name_and_each_page_its_number(case):
    made, root = case
    shown = "".join("".join(texts(root, kind)) for kind in ("name", "small-name")).replace("\n", "")
    for piece in made.pattern.pieces:
        assert piece.name in shown
    numbers = sorted(int(text.replace("page ", "")) for text in texts(root, "page-number"))
    count = len(made.joined.placed)
    assert numbers == (list(range(1, count + 1)) if count > 1 else [])


def test_each_finding_has_a_number_in_the_drawing_and_in_the_list(case):
    made, root = case
    different = len({finding.text for finding in made.report.findings})
    numbers = [int(text) for kind in ("number", "stop-number") for text in texts(root, kind)]

    told = " ".join(texts(root, "list"))
    for finding in made.report.findings:
        assert finding.text in told
    assert set(numbers) == set(range(1, different + 1))
    # One circle a place, and one a line of the list.
    assert len(numbers) == len(made.report.findings) + different


def test_the_same_import_gives_the_same_bytes():
    for make in CASES.values():
        assert sheet_picture(make(), "Waistcoat") == sheet_picture(make(), "Waistcoat")


def test_an_outline_has_the_scale_that_is_written():
    # A triangle of 300, 400 and 500 mm: 1200 mm around.
    triangle = bare_outline(Path.through([(100, 100), (400, 100), (100, 500)], closed=True), "8")
    root = drawn([Piece("sail", (triangle,))], 500, 600)

    path = judge("svgpathtools").parse_path(of_kind(root.find(SVG + "g"), "size-0")[0].get("d"))

    # Three coordinates rounded to 0.001 mm.
    assert path.length() == pytest.approx(1200 / scale_of(root), abs=0.005)
    bar = of_kind(root, "bar-frame")[0]
    length = float(re.search(r"(\d+) mm on the sheet", "".join(root.itertext())).group(1))
    assert float(bar.get("width")) == pytest.approx(length / scale_of(root), abs=0.001)


def test_the_scale_is_the_largest_ordinary_one_that_fits():
    root = drawn([nest("front", 50, 50, 300, 500, ["8"])], 540, 590)

    # By hand: 590 mm must fit into 210 or 297 mm less title, legend and margins (about 66 mm
    # together): 1:2.5 needs 236 mm and 297 has 231; 1:3 needs 197 mm.
    assert scale_of(root) == 3
    assert paper(root)[0] == 210
    assert paper(root)[1] <= 297


def test_a_circle_points_at_its_spot():
    finding = Finding("open", Level.WARN, "The line is open.", "front", (350.0, 50.0))
    root = drawn([nest("front", 50, 50, 300, 500, ["8"])], 500, 700, [finding])

    corner = corners_of(of_kind(root, "size-0")[0])[1]  # the upper right one, at (350, 50)
    (dot,) = of_kind(root, "spot")
    assert [float(dot.get("cx")), float(dot.get("cy"))] == pytest.approx(corner.tolist(), abs=0.002)
    (leader,) = of_kind(root, "worry")
    end = judge("svgpathtools").parse_path(leader.get("d")).end
    assert [end.real, end.imag] == pytest.approx(corner.tolist(), abs=0.002)


def test_findings_are_numbered_worst_first_and_what_says_the_same_has_one_number():
    findings = [
        Finding("a", Level.INFO, "worth knowing", "", (100.0, 100.0)),
        Finding("b", Level.WARN, "look here", "front", (200.0, 100.0)),
        Finding("c", Level.FAIL, "mend this", "front", (300.0, 100.0)),
        Finding("b", Level.WARN, "look here", "front", (300.0, 400.0)),
        Finding("d", Level.PASS, "all well", "", (10.0, 10.0)),
        Finding("e", Level.WARN, "nowhere"),
        Finding("f", Level.WARN, "not a place", "", (float("nan"), 3.0)),
    ]
    root = drawn([nest("front", 50, 50, 300, 500, ["8"])], 500, 700, findings)

    assert texts(root, "list") == ["front: mend this", "front: look here", "worth knowing"]
    assert texts(root, "stop-number") == ["1", "1"]
    assert sorted(texts(root, "number")) == ["2", "2", "2", "3", "3"]
    assert len(of_kind(root, "spot")) == 4


def test_more_findings_than_can_be_drawn_are_counted():
    root = drawn([nest("front", 50, 50, 300, 500, ["8"])], 500, 700, worries(100, 500, 700))

    shown = len(of_kind(root, "spot"))
    (told,) = [text for text in texts(root, "note") if "in the report" in text]
    assert told == "{} more are told in the report.".format(100 - shown)
    assert 40 <= shown < 100


def test_a_spot_beyond_the_sheet_is_shown_at_its_edge():
    far = Finding("open", Level.WARN, "far away", "", (9000.0, -50.0))
    root = drawn([nest("front", 50, 50, 300, 500, ["8"])], 500, 700, [far])

    (dot,) = of_kind(root, "spot")
    (frame,) = [rect for rect in of_kind(root, "page") if not shift_of(rect).any()]
    right = float(frame.get("x")) + float(frame.get("width"))
    assert float(dot.get("cx")) == pytest.approx(right, abs=0.002)
    assert float(dot.get("cy")) == pytest.approx(float(frame.get("y")), abs=0.002)


def frames(root):
    """Left, top, width, height of each page's border in the drawing."""
    found = [rect for rect in of_kind(root, "page") if not shift_of(rect).any()]
    return np.array([[float(rect.get(key)) for key in ("x", "y", "width", "height")] for rect in found])


def test_pages_lie_where_they_were_joined():
    root = drawn([], 400, 600, grid=(2, 2))
    boxes = frames(root) * scale_of(root)

    # By hand: four pages of 200 x 300 mm.
    assert boxes[:, 2:] == pytest.approx(np.array([[200.0, 300.0]] * 4), abs=0.01)
    assert boxes[:, :2] - boxes[0, :2] == pytest.approx(
        np.array([[0, 0], [200, 0], [0, 300], [200, 300.0]]), abs=0.01
    )


def test_a_page_is_as_large_as_what_it_adds_to_the_sheet():
    root = drawn([], 400, 600, grid=(2, 2), trim=(10.0, 15.0, 180.0, 285.0))
    boxes = frames(root) * scale_of(root)

    assert boxes[:, 2:] == pytest.approx(np.array([[170.0, 270.0]] * 4), abs=0.01)


@pytest.mark.parametrize("turn, order", [(90, [0, 1]), (270, [1, 0])])
def test_pages_of_a_turned_sheet_are_turned_with_it(turn, order):
    # Two pages of 100 x 150 mm side by side, read after a quarter turn: one above the other.
    root = drawn([], 150, 200, grid=(2, 1), turn=turn)
    boxes = frames(root) * scale_of(root)

    assert boxes[:, 2:] == pytest.approx(np.array([[150.0, 100.0]] * 2), abs=0.01)
    assert np.argsort(boxes[:, 1]).tolist() == order


def strokes_of_sizes(root):
    """Weight and dashes by size, in order."""
    rules = root.find(SVG + "style").text
    found = re.findall(
        r"\.size-\d+ \{ stroke: (\S+); stroke-width: ([\d.]+);(?: stroke-dasharray: ([\d. ]+);)?", rules
    )
    return [(tone, float(weight), dashes) for tone, weight, dashes in found]


def test_sizes_differ_in_dash_and_weight_and_not_in_colour_alone():
    root = drawn([nest("front", 60, 150, 300, 500, [str(n) for n in range(20)], 5.0)], 1100, 900)

    strokes = strokes_of_sizes(root)

    assert len(strokes) == 20
    assert len({(weight, dashes) for _, weight, dashes in strokes}) == 20
    for (_, weight, dashes), (_, next_weight, next_dashes) in zip(strokes, strokes[1:]):
        assert weight != next_weight
        assert dashes != next_dashes
    named = texts(root, "note")
    assert [words for words in named if words.startswith("size ")] == ["size {}".format(n) for n in range(20)]


def test_forty_sizes_are_still_told_apart():
    root = drawn([nest("front", 60, 250, 300, 500, [str(n) for n in range(40)], 5.0)], 1100, 1000)

    assert len(set(strokes_of_sizes(root))) == 40


def test_a_close_nest_is_drawn_with_finer_lines():
    def weights(step):
        root = drawn([nest("front", 100, 100, 600, 800, ["8", "10", "12"], step)], 800, 1000)
        return [weight for _, weight, _ in strokes_of_sizes(root)]

    wide, close = weights(20.0), weights(1.0)

    assert all(a > b for a, b in zip(wide, close))
    assert min(close) > 0.02


def test_the_legend_names_what_is_drawn_and_nothing_else():
    plain = drawn([nest("front", 50, 50, 300, 500, ["8", "10"])], 500, 700)
    line = Path.through([(100, 100), (100, 300)])
    cut = (CutLine("8", Path.through([(40, 40), (360, 40), (360, 560)], closed=True)),)
    marks = (Mark(GRAIN, path=line), Mark(DRILL, path=line), Mark("label", text="front", path=line))
    piece = nest("front", 50, 50, 300, 500, ["8"], marks=marks, folds=("5",), cut_lines=cut)
    rich = drawn(
        [piece, nest("loop", 400, 50, 60, 60, [""])],
        500,
        700,
        [Finding("a", Level.FAIL, "mend", "", (9.0, 9.0))],
        [line],
        (2, 1),
        [("front", "8")],
    )

    assert texts(plain, "note")[2:] == ["size 8", "size 10"]
    assert texts(rich, "note")[2:] == [
        "size 8, switched off in the file",
        "every size",
        "cut line",
        "edge on the fold",
        "grain line",
        "drill hole",
        "belongs to no piece",
        "page",
        "stop",
    ]
    in_piece = [path.get("class") for path in rich.find(SVG + "g").iter(SVG + "path")]
    assert in_piece == ["fold-edge", "cut", "size-0", "grain", "hole"]


def test_the_fold_is_the_edge_that_is_named():
    root = drawn([nest("front", 50, 50, 300, 500, ["8"], folds=("5",))], 500, 700)

    ends = judge("svgpathtools").parse_path(of_kind(root.find(SVG + "g"), "fold-edge")[0].get("d"))
    corners = corners_of(of_kind(root, "size-0")[0])

    # By hand: the fifth edge is the left side, from the last corner up to the first.
    assert [ends.start.real, ends.start.imag] == pytest.approx(corners[4].tolist(), abs=0.002)
    assert [ends.end.real, ends.end.imag] == pytest.approx(corners[0].tolist(), abs=0.002)


def test_a_grain_arrow_reaches_from_tip_to_tip():
    # An arrow drawn with both its heads, in one go.
    arrow = [(190, 110), (200, 100), (210, 110), (200, 100), (200, 400), (195, 390), (200, 400), (205, 390)]
    marks = (Mark(GRAIN, path=Path.through(arrow)),)
    root = drawn([nest("front", 50, 50, 300, 500, ["8"], marks=marks)], 500, 700)

    path = judge("svgpathtools").parse_path(of_kind(root.find(SVG + "g"), "grain")[0].get("d"))

    # By hand: 300 mm, upright.
    assert path.length() == pytest.approx(300 / scale_of(root), abs=0.002)
    assert path.start.real == pytest.approx(path.end.real, abs=0.002)


def test_a_piece_too_small_to_see_is_drawn_once_more():
    root = drawn([nest("loop", 500, 500, 40, 20, ["8"]), nest("front", 50, 50, 300, 800, ["8"])], 1000, 900)

    groups = root.findall(SVG + "g")
    loops = [g for g in groups if g.find(SVG + "title") is not None and g.find(SVG + "title").text == "loop"]
    across = [np.ptp(corners_of(of_kind(g, "size-0")[0])[:, 0]) for g in loops]

    # The second one at its own scale, 1:2 by hand: 40 mm do not fit into 38 mm, 20 mm do.
    assert "Small pieces, drawn larger" in texts(root, "name")
    assert across == pytest.approx([40 / scale_of(root), 40 / 2], abs=0.002)
    assert "1:2" in texts(root, "note")


def test_odd_names_stay_text():
    odd = "<front> & 'back' \"Größe\" \x07"
    finding = Finding("a", Level.WARN, "<look> & see", odd, (100.0, 100.0))
    root = drawn([nest(odd, 50, 50, 300, 500, ["<8> & \x07"])], 500, 700, [finding], title=odd)

    shown = "<front> & 'back' \"Größe\" \ufffd"
    assert texts(root, "title") == [shown]
    assert " ".join(texts(root, "name")[:-1]) == shown
    assert "<8> & \ufffd" in texts(root, "note")
    assert " ".join(texts(root, "list")) == shown + ": <look> & see"


def test_two_pictures_in_one_page_keep_their_ids_and_rules_apart():
    one = drawn([nest("front", 50, 50, 300, 500, ["8"])], 500, 700)
    other = drawn([nest("front", 50, 50, 300, 501, ["8"])], 500, 700)

    ids = [[element.get("id") for element in root.iter() if element.get("id")] for root in (one, other)]

    assert not set(ids[0]) & set(ids[1])
    assert len(set(ids[0])) == len(ids[0])
    for rule in one.find(SVG + "style").text.strip().splitlines():
        names = rule.partition("{")[0].split(",")
        assert all(name.strip().startswith("#" + one.get("id") + " ") for name in names), rule


def test_pieces_without_outlines_and_lines_without_curves_do_no_harm():
    nothing = Path(np.zeros((0, 4, 2)))
    ghost = Piece("ghost", (bare_outline(nothing, "8"),), marks=(Mark(GRAIN, path=nothing), Mark(NOTCH)))
    line = Path.through([(10, 10), (100, 100)])
    only_marks = Piece("marks", (), marks=(Mark(GRAIN, path=line),))
    open_line = Piece("open", (bare_outline(Path.through([(200, 200), (300, 300), (250, 400)]), "8"),))

    root = drawn([ghost, only_marks, open_line], 500, 500, rest=[nothing, line])

    shown = texts(root, "name") + texts(root, "small-name")
    assert sorted(shown) == ["marks", "open"]
