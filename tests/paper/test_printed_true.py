"""The printed papers themselves, as whoever joins them with glue has them: judged by other libraries.

PDFium tells the points of all lines on the pages, pikepdf where each page shows the drawing, poppler
where the words stand, Shapely whether anything is missing.
"""

import io
import re
import shutil
import subprocess
from functools import lru_cache

import numpy as np
import pytest

from sewkit.cli import main
from sewkit.files.pdf_write import write_pdf
from sewkit.files.svg import open_drawing
from sewkit.operation import find
from sewkit.operations import load
from tests.files.sheets import svg
from tests.files.test_pdf_judges import judged

load()
POINT = 25.4 / 72.0
WAISTCOAT, BODICE = "samples/waistcoat/master.svg", "samples/bodice/master.svg"
# PDFium counts in single precision: 24 bits, so 1e-7 of a coordinate up to 1.5 m, and sums of two.
SINGLE = 5e-4


@lru_cache(maxsize=None)
def printed(drawing, **values):
    """The report and the bytes of the one file that the operation prints."""
    opened, chosen = open_drawing(drawing)
    outcome = find("print").function(opened.with_beside(opened.pattern), chosen, **values)
    (document,) = outcome.prints
    return outcome.report, write_pdf(document)


def counted(report):
    """Rows, columns, printed pages and those left out, as the report tells them."""
    (table,) = [table for table in report.tables if table.title == "Pages"]
    return tuple(int(word) for word in table.rows[0])


def pages_of(data):
    """Of each page by its name: number, content, and what it shows of the drawing.

    That is the frame ``left, top, width, height`` on the page and how far the drawing is moved to
    be on the page, all in mm, y down; None for a page that shows nothing of it.
    """
    pikepdf = pytest.importorskip("pikepdf")
    found = {}
    for number, page in enumerate(pikepdf.open(io.BytesIO(data)).pages):
        content = page.Contents.read_bytes()
        shown, box, moved = None, None, np.zeros(2)
        for operands, operator in pikepdf.parse_content_stream(page):
            numbers = [float(one) for one in operands] if str(operator) in ("re", "cm") else []
            if str(operator) == "re":
                box = numbers
            elif str(operator) == "cm" and box:
                assert numbers[:4] == [1, 0, 0, 1]
                moved = np.array(numbers[4:])
            elif str(operator) == "Do" and str(operands[0]) == "/A":
                shown = (tuple(box), moved)
        found[page.label] = (number, content, shown)
    return found


def shows(page):
    """The part of the drawing that is on a page: left, top, right, bottom (mm on the drawing)."""
    (left, top, width, height), moved = page[2]
    x, y = np.array([left, top]) - moved
    return x, y, x + width, y + height


def paths_mm(data, number):
    """All lines that PDFium finds on a page, a whole drawing below its window too (mm, y down)."""
    high = size_of(data, number)[1]
    return [points * POINT * (1, -1) + (0, high) for points in judged(data, number)]


def size_of(data, number):
    """Width and height of a page (mm)."""
    pdfium = pytest.importorskip("pypdfium2")
    return tuple(side * POINT for side in pdfium.PdfDocument(data)[number].get_size())


# -- nothing is lost, and everything meets -----------------------------------------------------

WAYS = [
    (WAISTCOAT, (("lay", "as-drawn"), ("print_sizes", "1, 8"), ("turn", "portrait"))),
    (WAISTCOAT, (("lay", "as-drawn"), ("print_sizes", "3"), ("paper", "Letter"), ("overlap", 0.0))),
    (BODICE, (("lay", "as-drawn"), ("turn", "landscape"), ("overlap", 25.4), ("margin", 5.0))),
]


def spots_on(curves, count=40):
    """Points of cubic curves ``(n, 4, 2)``, by Bernstein's polynomials."""
    t = np.linspace(0, 1, count)[:, None]
    weights = np.concatenate([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3], axis=1)
    return np.einsum("tk,nkd->ntd", weights, curves).reshape(-1, 2)


def shift_of(nodes, paths):
    """How far the path with these nodes was moved; the paths are those of another library."""
    for path in paths:
        shift = path[0] - nodes[0]
        away = np.linalg.norm((nodes + shift)[:, None] - path[None], axis=2).min(axis=1)
        if away.max() < SINGLE:
            return shift
    raise AssertionError("not among the lines that are printed")


@pytest.mark.parametrize("drawing, values", WAYS)
def test_pages_laid_as_they_say_show_every_line_of_the_drawing(drawing, values):
    shapely = pytest.importorskip("shapely")
    _, data = printed(drawing, **dict(values))
    pages = {name: page for name, page in pages_of(data).items() if page[2]}
    together = shapely.union_all([shapely.box(*shows(page)) for page in pages.values()]).buffer(SINGLE)
    lines = {}
    for name in (min(pages), max(pages)):
        number, _, (_, moved) = pages[name]
        lines[name] = [path - moved for path in paths_mm(data, number)]
    sizes = dict(values).get("print_sizes", "A, B, C").split(", ")

    shifts = []
    for piece in open_drawing(drawing)[0].pattern.pieces:
        for outline in [one for one in piece.outlines if one.size in sizes]:
            for found in lines.values():
                shifts.append(shift_of(outline.path.curves[:, 0], found))
            line = shapely.LineString(spots_on(outline.path.curves) + shifts[-1])
            assert line.difference(together).length == 0.0
    assert len(shifts) >= 2 * len(sizes) * 2
    assert np.ptp(shifts, axis=0).max() < SINGLE


@pytest.mark.parametrize("drawing, values", WAYS)
def test_windows_step_by_the_page_less_margins_less_overlap(drawing, values):
    values = dict(values)
    _, data = printed(drawing, **values)
    margin, overlap = values.get("margin", 10.0), values.get("overlap", 10.0)
    sheet = {"Letter": (215.9, 279.4)}.get(values.get("paper"), (210.0, 297.0))
    pages = {name: page for name, page in pages_of(data).items() if page[2]}

    width, height = size_of(data, pages[min(pages)][0])
    assert sorted((width, height)) == pytest.approx(sorted(sheet), abs=1e-3)
    corners = {}
    for name, page in pages.items():
        left, top = shows(page)[:2]
        assert page[2][0] == pytest.approx(
            (margin, margin, width - 2 * margin, height - 2 * margin), abs=1e-3
        )
        cell = np.array([int(name[1:]) - 1, ord(name[0]) - ord("A")])
        step = np.array([width, height]) - 2 * margin - overlap
        corners[name] = np.array([left, top]) - cell * step
    assert np.ptp(list(corners.values()), axis=0).max() < 1e-3


def grey_of(page):
    """A page as PDFium shows it, 108 dots an inch, 0 is black."""
    return np.array(page.render(scale=1.5).to_pil().convert("L"), int)


def test_nothing_of_the_page_itself_hides_a_line_of_the_drawing():
    """Every pixel that is dark where the drawing stands alone is dark on the page with all it carries."""
    pdfium = pytest.importorskip("pypdfium2")
    pikepdf = pytest.importorskip("pikepdf")
    _, data = printed(WAISTCOAT, **dict(WAYS[0][1]))
    bare = pikepdf.open(io.BytesIO(data))
    for number, _, shown in pages_of(data).values():
        if shown:
            # Only the drawing: all that is painted outside the frame's window is taken out.
            kept, deep = [], 0
            for operands, operator in pikepdf.parse_content_stream(bare.pages[number]):
                deep += {"q": 1, "Q": -1}.get(str(operator), 0)
                if deep or str(operator) in ("q", "Q") or (str(operator) == "cm" and not kept):
                    kept.append((operands, operator))
            bare.pages[number].Contents = bare.make_stream(pikepdf.unparse_content_stream(kept))
    stripped = io.BytesIO()
    bare.save(stripped)
    ours, alone = pdfium.PdfDocument(data), pdfium.PdfDocument(stripped.getvalue())
    dark = 0
    for number, _, shown in pages_of(data).values():
        if shown:
            seen, wanted = [grey_of(one[number]) for one in (ours, alone)]
            lost = (wanted < 100) & (seen > 140)
            assert not lost.any(), (number, np.argwhere(lost)[:3] / 1.5 * POINT)
            dark += (wanted < 100).sum()
    assert dark > 5000


# -- true size ---------------------------------------------------------------------------------


def straight_lengths(paths):
    """How long each side of all paths of straight lines is (mm)."""
    return [float(side) for path in paths for side in np.linalg.norm(np.diff(path, axis=0), axis=1)]


def test_squares_and_bars_measure_what_they_say_for_pdfium():
    _, data = printed(WAISTCOAT, **dict(WAYS[1][1]))
    pages = pages_of(data)
    assert "Front" in pages and len(pages) > 2
    for name, (number, _, shown) in pages.items():
        if not shown and name != "Front":
            continue  # what did not fit on the front
        sides = straight_lengths(paths_mm(data, number))
        hundreds = [side for side in sides if abs(side - 100.0) < 0.5]
        assert np.abs(np.array(hundreds) - 100.0).max() <= 0.002
        assert len(hundreds) >= (2 if shown else 3)
        if name == "Front":
            inches = [side for side in sides if abs(side - 101.6) < 0.5]
            assert len(inches) >= 3 and np.abs(np.array(inches) - 101.6).max() <= 0.002


def test_bars_on_a_roll_are_three_hundred_millimetres():
    _, data = printed(BODICE, paper="roll 36in", lay="as-drawn")
    long = [side for side in straight_lengths(paths_mm(data, 0)) if abs(side - 300.0) < 0.5]
    assert len(long) >= 2 and np.abs(np.array(long) - 300.0).max() <= 0.002


def test_the_square_on_the_table_is_as_large_as_it_says():
    opened, chosen = open_drawing(BODICE)
    (document,) = find("project").function(opened.pattern, chosen, field=1400.0).prints
    data = write_pdf(document)
    square = [side for side in straight_lengths(paths_mm(data, 0)) if abs(side - 500.0) < 2.0]

    # A field of 1400 mm, 1920 x 1080 pixels, as large across as down.
    assert size_of(data, 0) == pytest.approx((1400.0, 1400.0 * 1080 / 1920), abs=1e-3)
    assert len(square) >= 3 and np.abs(np.array(square) - 500.0).max() <= 0.002


def test_poppler_measures_the_bar_of_a_page_alike(tmp_path):
    if not shutil.which("pdftocairo"):
        pytest.skip("poppler is not there")
    _, data = printed(BODICE, **dict(WAYS[2][1]))
    (tmp_path / "one.pdf").write_bytes(data)
    number = pages_of(data)["A1"][0] + 1
    # Without noshrink and nocenter poppler makes everything a thousandth smaller.
    words = "pdftocairo -svg -noshrink -nocenter -f {0} -l {0}".format(number).split()
    subprocess.run([*words, str(tmp_path / "one.pdf"), str(tmp_path / "one.svg")], check=True)
    # Poppler writes the points of the page below a matrix, or moved by it already.
    found = []
    for element in (tmp_path / "one.svg").read_text(encoding="utf-8").split("<path")[1:]:
        line = re.search(r' d="M ([^"]*)"', element)
        scale = re.search(r'transform="matrix\(([-\d.]+)', element)
        if line and "C" not in line.group(1):
            spots = np.array(re.findall(r"-?[\d.]+", line.group(1)), float).reshape(-1, 2)
            by = abs(float(scale.group(1))) if scale else 1.0
            found += straight_lengths([spots * by * POINT])
    bars = [side for side in found if abs(side - 100.0) < 0.5]
    assert len(bars) >= 2 and np.abs(np.array(bars) - 100.0).max() <= 0.002


# -- how many pages ----------------------------------------------------------------------------


@lru_cache(maxsize=None)
def rectangle(width, height):
    """A drawing of one plain rectangle, whose line of 0.35 mm takes just that room (mm)."""
    pen = 0.35
    d = "M 0,0 H {} V {} H 0 Z".format(width - pen, height - pen)
    path = '<g sewkit:piece="sheet"><path sewkit:role="seam-line" d="{}"/></g>'.format(d)
    frame = 'width="3000mm" height="3000mm" viewBox="0 0 3000 3000"'
    return svg(path, frame).encode("utf-8")


def grid_of(width, height, **values):
    opened, chosen = open_drawing(io.BytesIO(rectangle(width, height)))
    outcome = find("print").function(opened.pattern, chosen, lay="as-drawn", **values)
    return counted(outcome.report)


@pytest.mark.parametrize(
    "size, overlap, grid",
    [
        # A4 less margins of 10 shows 190 x 277: (1000 - 10) / 180 = 5.5, (1400 - 10) / 267 = 5.2.
        ((1000, 1400), 10.0, (6, 6)),
        # A0 is 841 x 1189: 831 / 180 = 4.6 and 1179 / 267 = 4.4; edge to edge 4.4 and 4.3.
        ((841, 1189), 10.0, (5, 5)),
        ((841, 1189), 0.0, (5, 5)),
    ],
)
def test_known_sheets_take_the_pages_counted_by_hand(size, overlap, grid):
    rows, columns, kept, left_out = grid_of(*size, overlap=overlap, turn="portrait")
    assert (rows, columns) == grid and kept + left_out == rows * columns
    # The line itself runs through the pages at the edge; the piece's words may take one or two more.
    edge = 2 * (rows + columns) - 4
    assert edge <= kept <= edge + 2


def test_counts_are_those_of_the_closed_form_for_any_sheet():
    chance = np.random.RandomState(8)
    for _ in range(6):
        width, height = chance.randint(300, 1900, 2).tolist()
        margin, overlap = float(chance.randint(0, 16)), float(chance.randint(0, 31))
        name, page = [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4)), ("A3", (297.0, 420.0))][
            chance.randint(3)
        ]
        shown = np.array(page) - 2 * margin
        columns, rows = np.ceil((np.array([width, height]) - overlap) / (shown - overlap)).astype(int)

        found = grid_of(width, height, paper=name, margin=margin, overlap=overlap, turn="portrait")

        assert found[:2] == (max(rows, 1), max(columns, 1)), (width, height, name, margin, overlap)


# -- joins -------------------------------------------------------------------------------------


def words_of(content):
    """Words of a page's own: text, place (mm on the page)."""
    found = re.findall(rb"([\d.-]+) ([\d.-]+) Tm \(((?:[^()\\]|\\.)*)\) Tj", content)
    return [(text.decode("latin-1"), np.array([float(x), float(y)])) for x, y, text in found]


@pytest.mark.parametrize("drawing, values", WAYS)
def test_both_sides_of_a_join_have_one_number_at_one_place_and_name_each_other(drawing, values):
    _, data = printed(drawing, **dict(values))
    pages = {name: page for name, page in pages_of(data).items() if page[2]}
    numbers, neighbours = {}, {}
    for name, (_, content, (_, moved)) in pages.items():
        for text, place in words_of(content):
            if text.isdigit():
                numbers.setdefault(text, []).append((name, place - moved))
            elif " here" in text:
                neighbours.setdefault(name, set()).add(re.search(r"joins (\w+) here", text).group(1))
    meant = set()
    for name in pages:
        for row, column in ((0, 1), (1, 0)):
            other = chr(ord(name[0]) + row) + str(int(name[1:]) + column)
            if other in pages:
                meant.add((name, other))

    assert sorted(map(int, numbers)) == list(range(1, len(meant) + 1))
    assert {tuple(name for name, _ in pair) for pair in numbers.values()} == meant
    for one, other in numbers.values():
        # Both in their half circles of radius 5 about one spot.
        assert np.linalg.norm(one[1] - other[1]) < 10.0
    for name in pages:
        assert neighbours.get(name, set()) == {a if b == name else b for a, b in meant if name in (a, b)}


def test_a_spoiled_page_alone_is_the_page_of_the_whole():
    values = dict(WAYS[0][1])
    pdfium = pytest.importorskip("pypdfium2")
    whole, alone = printed(WAISTCOAT, **values)[1], printed(WAISTCOAT, only="b3", **values)[1]

    assert list(pages_of(alone)) == ["B3"]
    number = pages_of(whole)["B3"][0]
    pages = pdfium.PdfDocument(whole)[number], pdfium.PdfDocument(alone)[0]
    texts = [sorted(page.get_textpage().get_text_range().split()) for page in pages]
    assert texts[0] == texts[1] and "B3," in texts[0]
    seen = [grey_of(page) for page in pages]
    assert seen[0].min() < 100 and np.array_equal(*seen)


def test_a_page_is_printed_just_where_a_line_is_its_own():
    """Left out are pages with nothing, or only with what their neighbours show as well."""
    shapely = pytest.importorskip("shapely")
    report, data = printed(WAISTCOAT, **dict(WAYS[0][1]))
    pages = {name: page for name, page in pages_of(data).items() if page[2]}
    number, _, (_, moved) = pages["A1"]
    drawn = shapely.MultiLineString([path - moved for path in paths_mm(data, number) if len(path) > 1])
    for name, page in pages.items():
        assert drawn.intersects(shapely.box(*shows(page))), name
    rows, columns, kept, left_out = counted(report)
    assert (kept, left_out) == (len(pages), rows * columns - len(pages))


# -- and back ----------------------------------------------------------------------------------


def test_our_own_importer_joins_the_pages_and_knows_pieces_and_sizes(tmp_path, capsys):
    """Outlines come back to 0.01 mm, both ways, wherever the whole sheet lies; sizes by their layers."""
    shapely = pytest.importorskip("shapely")
    _, data = printed(BODICE, lay="as-drawn", turn="portrait", print_sizes="A, C")
    (tmp_path / "one.pdf").write_bytes(data)
    assert main(["import", str(tmp_path / "one.pdf"), "-o", str(tmp_path / "one.svg"), "--quiet"]) == 0
    capsys.readouterr()
    there, back = outlines_of(BODICE), outlines_of(str(tmp_path / "one.svg"))
    there = {name: spots for name, spots in there.items() if name[1] in "AC"}

    assert sorted(back) == sorted(there) and len(there) == 4
    shift = min(back.items())[1].min(axis=0) - min(there.items())[1].min(axis=0)
    for name, spots in there.items():
        one, other = (shapely.LineString(np.vstack([some, some[:1]])) for some in (spots + shift, back[name]))
        assert shapely.hausdorff_distance(one, other) < 0.01, name


def outlines_of(drawing):
    """Points along each outline (mm) by piece and size."""
    pieces = open_drawing(drawing)[0].pattern.pieces
    return {
        (piece.name, outline.size): spots_on(outline.path.curves, 200)
        for piece in pieces
        for outline in piece.outlines
    }


# -- words, and what the file is ---------------------------------------------------------------


def test_words_of_the_front_stand_apart_and_inside(tmp_path):
    if not shutil.which("pdftotext"):
        pytest.skip("poppler is not there")
    shapely = pytest.importorskip("shapely")
    _, data = printed(WAISTCOAT, **dict(WAYS[1][1]))
    (tmp_path / "one.pdf").write_bytes(data)
    asked = ["pdftotext", "-bbox", "-l", "1", str(tmp_path / "one.pdf"), "-"]
    told = subprocess.run(asked, stdout=subprocess.PIPE, check=True).stdout.decode("utf-8")
    found = re.findall(r'xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">', told)
    sides = np.array(found, float) * POINT
    width, height = size_of(data, 0)

    assert len(sides) > 80
    assert sides[:, :2].min() >= 10.0 and (sides[:, 2:] <= (width - 10.0, height - 10.0)).all()
    boxes = [shapely.box(*one) for one in sides]
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            assert one.intersection(other).area <= 0.25 * min(one.area, other.area)


def test_the_file_is_small_sound_and_always_the_same(tmp_path):
    _, data = printed(WAISTCOAT, **dict(WAYS[0][1]))
    printed.cache_clear()
    assert printed(WAISTCOAT, **dict(WAYS[0][1]))[1] == data
    assert len(data) <= 60000
    if shutil.which("qpdf"):
        (tmp_path / "one.pdf").write_bytes(data)
        done = subprocess.run(["qpdf", "--check", str(tmp_path / "one.pdf")], stdout=subprocess.PIPE)
        assert done.returncode == 0 and b"No syntax or stream encoding errors" in done.stdout


def test_sizes_of_a_nest_differ_in_grey_by_their_dashes_or_lightness():
    """Of any two of sixteen sizes dashes differ, or lightness by 10 of L* (CIE 1976), by what is printed."""
    pikepdf = pytest.importorskip("pikepdf")
    pen = []
    for number in range(1, 17):
        d = "M {0},{0} H 150 V 150 H {0} Z".format(number)
        pen.append('<path sewkit:role="seam-line" sewkit:size="{}" d="{}"/>'.format(number, d))
    drawing = svg('<g sewkit:piece="sheet">{}</g>'.format("".join(pen))).encode("utf-8")
    opened, chosen = open_drawing(io.BytesIO(drawing))
    (document,) = find("print").function(opened.pattern, chosen).prints
    file = pikepdf.open(io.BytesIO(write_pdf(document)))
    names = {}
    for page in file.pages:
        names.update(
            {str(key): str(group.Name) for key, group in page.Resources.get("/Properties", {}).items()}
        )
    (artwork,) = [page.Resources.XObject["/A"] for page in file.pages if "/A" in page.Resources.XObject][:1]
    looks, ink, dashes, within = {}, 0.0, (), []
    for operands, operator in pikepdf.parse_content_stream(artwork):
        word = str(operator)
        if word == "BDC":
            within.append(names.get(str(operands[1]), ""))
        elif word == "EMC":
            within.pop()
        elif word == "d":
            dashes = tuple(float(one) for one in operands[0])
        elif word in ("G", "RG"):
            ink = lightness([float(one) for one in operands])
        elif word in ("S", "s"):
            sizes = [name for name in within if name.startswith("Size ")]
            if sizes and "Seam lines" in within:
                looks[sizes[0]] = (dashes, ink)

    assert len(looks) == 16
    told = list(looks.values())
    for at, (dashes, ink) in enumerate(told):
        for others, other in told[at + 1 :]:
            assert dashes != others or abs(ink - other) >= 10.0


def lightness(ink):
    """CIE L* of a grey or an sRGB colour (IEC 61966-2-1), each part 0 to 1."""
    parts = np.array(ink if len(ink) == 3 else ink * 3)
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    y = float(linear @ (0.2126, 0.7152, 0.0722))
    return 116 * y ** (1 / 3) - 16 if y > 0.008856 else 903.3 * y


# -- what cannot be printed --------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        ["--paper", "banana"],
        ["--paper", "50x60mm"],
        ["--paper", "900x1500parsec"],
        ["--overlap", "-5"],
        ["--margin", "100"],
        ["--only", "Z99"],
        ["--print-sizes", "99"],
        ["--weight", "banana"],
    ],
)
def test_what_cannot_be_printed_is_one_sentence_and_nothing_is_written(words, tmp_path, capsys):
    (tmp_path / "one.svg").write_bytes(rectangle(200, 200))
    status = main(["print", str(tmp_path / "one.svg"), "-o", str(tmp_path / "one.pdf"), *words])
    out, err = capsys.readouterr()

    assert status == 2 and not (tmp_path / "one.pdf").exists()
    assert out == "" and err.startswith("sewkit: ") and err.count("\n") == 1
