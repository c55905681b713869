"""The sample waistcoat is a true pattern: measured on the master drawing itself.

The drawing is read here with svgpathtools and shapely, never with sewkit, and
compared with arithmetic on the size chart.
"""

import csv
import re

import numpy as np
import pytest

svgpathtools = pytest.importorskip("svgpathtools")
geometry = pytest.importorskip("shapely.geometry")
from lxml import etree  # noqa: E402

from samples import make_master, waistcoat_draft  # noqa: E402

OWN = "{urn:sewkit:1}"
MASTER = make_master.FOLDER / "master.svg"
SIZES = ("1", "2", "3", "4", "5", "6", "7", "8")
PIECES = ("back", "front", "front-facing")

# The chart's body measures, cm, typed here a second time.
CHEST = (88, 92, 96, 100, 104, 108, 114, 120)
WAIST = (74, 78, 82, 86, 90, 95, 102, 109)
SEAT = (90, 94, 98, 102, 106, 110, 115, 120)
BACK_WAIST = (43.0, 43.5, 44.0, 44.5, 45.0, 45.5, 46.0, 46.5)

# How well a drawn seam must keep what was asked (mm).
TRUE = 0.01


class Drawn:
    """The master as drawn: complex numbers, mm on the sheet."""

    def __init__(self):
        root = etree.parse(str(MASTER)).getroot()
        self.root = root
        self.groups = {e.get(OWN + "piece"): e for e in root.iter() if e.get(OWN + "piece")}
        self.lines, self.edges = {}, {}
        for name in self.groups:
            for element in self.marks(name, "seam-line"):
                key = name, element.get(OWN + "size")
                self.lines[key] = svgpathtools.parse_path(element.get("d"))
                words = [word.split(":") for word in element.get(OWN + "edges").split()]
                self.edges[key] = dict(zip((word[0] for word in words), self.runs(self.lines[key])))

    def marks(self, piece, role, size=None, name=None):
        found = [e for e in self.groups[piece].iter() if e.get(OWN + "role") == role]
        found = [e for e in found if size is None or e.get(OWN + "size", size) == size]
        return [e for e in found if name is None or e.get(OWN + "name") == name]

    def level(self, piece, name, size):
        (element,) = self.marks(piece, "level", size, name)
        start, end = svgpathtools.parse_path(element.get("d"))[0].bpoints()
        assert start.imag == end.imag

        return start.imag

    @staticmethod
    def runs(path):
        """The path from corner to corner, its first node being the first corner."""
        runs = [[path[0]]]
        for before, after in zip(path, path[1:]):
            if abs(turn(before, after)) > 12.0:
                runs.append([])
            runs[-1].append(after)
        return [svgpathtools.Path(*run) for run in runs]

    def polygon(self, piece, size):
        steps = np.linspace(0, 1, 200, endpoint=False)
        points = [segment.point(t) for segment in self.lines[piece, size] for t in steps]
        return geometry.Polygon([(p.real, p.imag) for p in points])


def turn(before, after):
    return np.degrees(np.angle(after.unit_tangent(0) / before.unit_tangent(1)))


def crossings(path, y):
    """The x of every place where a path is at the height y."""
    found = []
    for segment in path:
        powers = segment.poly()
        height = np.poly1d(np.imag(powers.coeffs))
        for root in (height - y).roots:
            if abs(root.imag) < 1e-9 and -1e-9 <= root.real <= 1 + 1e-9:
                found.append(powers(root.real).real)
    return found


@pytest.fixture(scope="module")
def drawn():
    return Drawn()


def half_girth(drawn, size, level):
    """Half front from the centre front, and half back from the centre-back seam (mm)."""
    (centre,) = drawn.marks("front", "inner-line", name="centre-front")
    middle = svgpathtools.parse_path(centre.get("d"))[0].start.real
    front = crossings(drawn.lines["front", size], drawn.level("front", level, size))
    back = crossings(drawn.lines["back", size], drawn.level("back", level, size))
    return middle - min(front), max(back) - min(back)


def test_the_same_chart_gives_the_same_bytes():
    expected = MASTER.read_bytes()
    actual = make_master.master(make_master.read_chart())

    assert expected == actual


def test_the_chart_holds_the_eight_sizes():
    expected = [tuple(10.0 * cm for cm in row) for row in zip(CHEST, WAIST, SEAT, BACK_WAIST)]
    actual = [tuple(body[1:]) for body in make_master.read_chart()]

    assert expected == actual


def test_twelve_people_and_each_has_numbers():
    with open(str(make_master.FOLDER / "people.csv"), encoding="utf-8") as stream:
        rows = list(csv.DictReader(line for line in stream if not line.startswith("#")))

    assert ["P{:02d}".format(number) for number in range(1, 13)] == [row["who"] for row in rows]
    assert all(float(row[name]) > 0 for row in rows for name in ("chest", "waist", "back waist length"))


@pytest.mark.parametrize("size", SIZES)
def test_finished_chest_is_chest_and_10_cm(drawn, size):
    expected = 10.0 * CHEST[SIZES.index(size)] + 100.0
    actual = 2 * sum(half_girth(drawn, size, "chest"))

    assert expected == pytest.approx(actual, abs=TRUE)


@pytest.mark.parametrize("size", SIZES)
def test_finished_waist_is_waist_and_8_cm(drawn, size):
    expected = 10.0 * WAIST[SIZES.index(size)] + 80.0
    actual = 2 * sum(half_girth(drawn, size, "waist"))

    assert expected == pytest.approx(actual, abs=TRUE)


@pytest.mark.parametrize("size", SIZES)
def test_the_hem_lies_on_the_straight_line_from_waist_to_seat(drawn, size):
    # Side corners of the hem stand 95 mm below the waist, the seat line 200 mm below it,
    # and the seat is given the waist's ease.
    waist, seat = 10.0 * WAIST[SIZES.index(size)], 10.0 * SEAT[SIZES.index(size)]
    front, back = drawn.edges["front", size]["side"].start, drawn.edges["back", size]["side"].end
    (centre,) = drawn.marks("front", "inner-line", name="centre-front")
    middle = svgpathtools.parse_path(centre.get("d"))[0].start.real
    behind = drawn.edges["back", size]["hem"].end

    expected = waist + 80.0 + (seat - waist) * 95.0 / 200.0
    actual = 2 * (middle - front.real + back.real - behind.real)

    assert expected == pytest.approx(actual, abs=TRUE)
    assert front.imag == back.imag == pytest.approx(drawn.level("front", "waist", size) + 95.0, abs=1e-6)


@pytest.mark.parametrize("size", SIZES)
def test_side_seams_of_front_and_back_are_equally_long(drawn, size):
    front, back = drawn.edges["front", size]["side"], drawn.edges["back", size]["side"]

    assert front.length() == pytest.approx(back.length(), abs=TRUE)


@pytest.mark.parametrize("size", SIZES)
def test_back_shoulder_is_longer_by_the_declared_ease(drawn, size):
    # The Cutter's Practical Guide, part 13, eases 1/4 in = 6.35 mm; declared are 0 to 6.
    extra = drawn.edges["back", size]["shoulder"].length() - drawn.edges["front", size]["shoulder"].length()

    assert waistcoat_draft.SHOULDER_EASE == pytest.approx(extra, abs=TRUE)
    assert 0 < extra <= 6.0
    assert "ease=0..6" in drawn.groups["back"].get(OWN + "sewn")


@pytest.mark.parametrize("piece", PIECES)
def test_every_size_lies_inside_the_next(drawn, piece):
    # Where lines run together the curves of two sizes are not quite the same; a
    # twentieth of a millimetre is a seventh of the thinner drawn line.
    polygons = [drawn.polygon(piece, size) for size in SIZES]

    assert all(larger.buffer(0.05).covers(smaller) for smaller, larger in zip(polygons, polygons[1:]))
    assert all(smaller.area < larger.area for smaller, larger in zip(polygons, polygons[1:]))
    lengths = [drawn.lines[piece, size].length() for size in SIZES]
    assert lengths == sorted(lengths)


@pytest.mark.parametrize("level, girths", [("chest", CHEST), ("waist", WAIST)])
def test_each_piece_grows_by_a_quarter_of_the_chart(drawn, level, girths):
    halves = np.array([half_girth(drawn, size, level) for size in SIZES])

    expected = np.repeat(np.diff(girths)[:, None] * 10.0 / 4, 2, axis=1)
    actual = np.diff(halves, axis=0)

    assert actual == pytest.approx(expected, abs=0.3)


@pytest.mark.parametrize("piece", PIECES)
@pytest.mark.parametrize("size", SIZES)
def test_outlines_are_simple_and_run_clockwise(drawn, piece, size):
    polygon = drawn.polygon(piece, size)

    assert polygon.is_valid
    # Clockwise on the sheet, where y grows downwards, is counter-clockwise for shapely.
    assert polygon.exterior.is_ccw


@pytest.mark.parametrize("piece", PIECES)
@pytest.mark.parametrize("size", SIZES)
def test_names_and_lengths_fit_the_corners(drawn, piece, size):
    (element,) = drawn.marks(piece, "seam-line", size)
    words = [word.split(":") for word in element.get(OWN + "edges").split()]
    runs = drawn.runs(drawn.lines[piece, size])
    path = drawn.lines[piece, size]

    assert abs(turn(path[-1], path[0])) > 12.0
    assert len(words) == len(runs)
    # Two decimals are written.
    expected = [float(length) for _, length in words]
    assert expected == pytest.approx([run.length() for run in runs], abs=0.006)
    # Every node is a clear corner or a smooth join, nothing in between.
    turns = [abs(turn(a, b)) for a, b in zip(path, list(path[1:]) + [path[0]])]
    assert all(angle < 0.01 or angle > 20.0 for angle in turns)


@pytest.mark.parametrize("size", SIZES)
def test_facing_coincides_with_the_front(drawn, size):
    shift = drawn.edges["front", size]["neck"].start - drawn.edges["front-facing", size]["neck"].start
    for name in ("shoulder", "neck", "front-edge", "hem"):
        on = drawn.edges["front", size][name]
        points = [segment.point(t) for segment in on for t in np.linspace(0, 1, 2000)]
        line = geometry.LineString([(p.real, p.imag) for p in points])
        for segment in drawn.edges["front-facing", size][name]:
            for place in map(segment.point, np.linspace(0, 1, 25)):
                spot = place + shift
                assert line.distance(geometry.Point(spot.real, spot.imag)) < TRUE
    for name in ("neck", "front-edge"):
        facing, front = drawn.edges["front-facing", size][name], drawn.edges["front", size][name]
        assert facing.length() == pytest.approx(front.length(), abs=TRUE)


@pytest.mark.parametrize("size", SIZES)
def test_facing_is_65_wide_below_the_chest(drawn, size):
    xs = crossings(drawn.lines["front-facing", size], drawn.level("front-facing", "waist", size))

    assert 65.0 == pytest.approx(max(xs) - min(xs), abs=TRUE)


def joined_angles(drawn, size):
    """The two inner angles that meet at each end of a seam, degrees."""

    def inner(piece, before, after):
        edges = drawn.edges[piece, size]
        return 180.0 - turn(edges[before][-1], edges[after][0])

    def across(before, after):
        return inner("front", before, after) + inner("back", after, before)

    return {
        "neck": across("shoulder", "neck"),
        "armhole at the shoulder": across("armhole", "shoulder"),
        "armhole at the side": across("side", "armhole"),
        "hem": across("hem", "side"),
        "neck at the centre back": 2 * inner("back", "centre-back", "neck"),
        "hem at the centre back": 2 * inner("back", "hem", "centre-back"),
    }


@pytest.mark.parametrize("size", SIZES)
def test_lines_run_on_across_the_seams(drawn, size):
    # A Complete Course in Dressmaking (1921), vol. 9, p. 22: no point, no hollow.
    angles = joined_angles(drawn, size)

    assert dict.fromkeys(angles, 180.0) == pytest.approx(angles, abs=0.1)


def test_waist_and_centre_lines_are_common(drawn):
    waists = {drawn.level(piece, "waist", "1") for piece in PIECES}
    fronts = {drawn.edges["front", size]["front-edge"].start for size in SIZES}
    backs = {drawn.edges["back", size]["centre-back"].start for size in SIZES}
    napes = {drawn.edges["back", size]["neck"].start.real for size in SIZES}

    assert [1, 1, 1, 1] == [len(waists), len(fronts), len(backs), len(napes)]


@pytest.mark.parametrize("size", SIZES)
def test_the_nape_stands_a_back_waist_length_above_the_waist(drawn, size):
    expected = 10.0 * BACK_WAIST[SIZES.index(size)]
    actual = drawn.level("back", "waist", size) - drawn.edges["back", size]["neck"].start.imag

    assert expected == pytest.approx(actual, abs=1e-6)


@pytest.mark.parametrize("size", SIZES)
def test_depth_of_scye_is_half_the_back_and_an_inch(drawn, size):
    # The rule of older tailors' manuals (from memory); their inch is 25 mm here.
    expected = 10.0 * BACK_WAIST[SIZES.index(size)] / 2 + 25.0
    back = drawn.edges["back", size]

    assert expected == pytest.approx(back["side"].start.imag - back["neck"].start.imag, abs=1e-6)
    assert 240.0 <= expected <= 260.0


@pytest.mark.parametrize("size", SIZES)
def test_front_is_as_long_as_a_waistcoat(drawn, size):
    # From the neck point to the point of the hem, 59 to 65 cm (common practice, no source).
    front = drawn.edges["front", size]

    assert 590.0 <= front["hem"].start.imag - front["neck"].start.imag <= 650.0


def test_five_buttons_at_80_mm_near_the_chest_and_clear_of_the_hem(drawn):
    boxes = [svgpathtools.parse_path(e.get("d")).bbox() for e in drawn.marks("front", "drill")]
    heights = [(top + bottom) / 2 for _, _, top, bottom in boxes]
    across = {round((left + right) / 2, 6) for left, right, _, _ in boxes}
    edge = drawn.edges["front", "1"]["front-edge"].start.real

    assert [80.0] * 4 == pytest.approx(list(np.diff(heights)), abs=1e-6)
    for size in SIZES:
        assert min(abs(np.array(heights) - drawn.level("front", "chest", size))) <= 12.0
    (middle,) = across
    for size in SIZES:
        # Turned by 90 degrees, the place where the hem crosses the centre front.
        (hem,) = crossings(drawn.edges["front", size]["hem"].rotated(90, origin=0), middle)
        assert max(heights) + 75.0 <= -hem
    # Half of a 15 mm button and 6 mm beyond the centre at least.
    assert edge - middle >= 13.5


@pytest.mark.parametrize("piece", PIECES)
def test_notches_stand_square_on_the_place_they_name(drawn, piece):
    elements = drawn.marks(piece, "notch")
    assert elements
    for element in elements:
        edge, sign, distance = re.match(r"(.+)([+-])([\d.]+)$", element.get(OWN + "at")).groups()
        for size in SIZES if element.get(OWN + "size") is None else (element.get(OWN + "size"),):
            run = drawn.edges[piece, size][edge]
            along = float(distance) if sign == "+" else run.length() - float(distance)
            t = run.ilength(along)
            ticks = svgpathtools.parse_path(element.get("d")).continuous_subpaths()
            foot = sum(tick.start for tick in ticks) / len(ticks)
            outward = (ticks[0].end - ticks[0].start) / 6.0

            assert int(element.get(OWN + "count")) == len(ticks)
            assert abs(run.point(t) - foot) < TRUE
            assert abs(outward - run.unit_tangent(t) / 1j) < 0.001


@pytest.mark.parametrize("size", SIZES)
def test_side_notches_are_a_pair(drawn, size):
    places = [drawn.marks(piece, "notch", size, "side")[0].get(OWN + "at") for piece in ("front", "back")]

    # Front from its edge's end, back from its start: both from the armhole.
    assert places[0].replace("side-", "side+") == places[1]


def test_sizes_look_different():
    styles = {make_master.size_style(size) for size in SIZES}

    assert len(SIZES) == len(styles)


def test_pieces_and_square_lie_apart_inside_the_sheet(drawn):
    width, height = map(float, drawn.root.get("viewBox").split()[2:])
    (square,) = [e for e in drawn.root.iter() if e.get("id") == "test-square"]
    x, y, side = (float(square.get(name)) for name in ("x", "y", "width"))
    shapes = [drawn.polygon(piece, "8") for piece in PIECES] + [geometry.box(x, y, x + side, y + side)]

    assert 100.0 == side == float(square.get("height"))
    assert (width, height) == (1189.0, 841.0)
    assert drawn.root.get("width") == "1189mm" and drawn.root.get("height") == "841mm"
    inside = geometry.box(0, 0, width, height).buffer(-15.0)
    assert all(inside.covers(shape) for shape in shapes)
    for number, shape in enumerate(shapes):
        assert all(shape.distance(other) > 10.0 for other in shapes[number + 1 :])
