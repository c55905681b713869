"""Documents written as PDF: true to scale, layered, the same every time, judged by other readers.

Places are worked by hand from the windows; 1 mm is 72/25.4 units of a page, ISO 32000-1.
"""

import io
import re
import shutil
import subprocess

import numpy as np
import pytest

from sewkit.files.pdf_read import read_pages
from sewkit.files.pdf_write import write_pdf
from sewkit.files.pdf_write_objects import number_text
from sewkit.geometry.path import Path
from sewkit.paper.document import Document, Drawn, Fill, Layer, Page, Stroke, Window, Words
from sewkit.paper.letter_widths import letters, lost_letters, text_width
from tests.files.test_pdf_judges import judged

UNIT = 72 / 25.4
EXACT = 0.002  # mm that a drawn 100 mm may be off
SINGLE = 0.0002  # mm: PDFium counts in single precision

ARCH = Path([[(10, 10), (30, -5), (60, 25), (90, 12.3456)], [(90, 12.3456), (95, 40), (70, 71), (40, 60)]])


def square(left, top, side):
    right, bottom = left + side, top + side
    return Path.through([(left, top), (right, top), (right, bottom), (left, bottom)], True)


SEEN = Window(0, 0, 190, 277, 10, 10)


def document(*pages, **named):
    return Document("a4", "Waistcoat", pages or (Page(210, 297),), **named)


def one_page(own, width=120, height=130, **named):
    return write_pdf(document(Page(width, height, own=own), **named))


def judged_mm(data, height, number=0):
    """The paths that PDFium sees on a page, as points in mm, y down."""
    return [np.c_[points[:, 0] / UNIT, height - points[:, 1] / UNIT] for points in judged(data, number)]


def windows(*ones, artwork=(), page=(210, 297)):
    return write_pdf(document(Page(*page, ones), artwork=Drawn(tuple(artwork))))


def shade(data, x, y, height, scale=4.0):
    """How bright PDFium shows a spot of the first page (mm), 0 to 255."""
    page = pytest.importorskip("pypdfium2").PdfDocument(data)[0]
    seen = page.render(scale=scale).to_numpy()
    return int(seen[round(y * UNIT * scale), round(x * UNIT * scale)].mean())


# -- scale ----------------------------------------------------------------------------------


def test_a_square_of_100_mm_is_100_mm_for_pdfium_directly_and_through_a_window():
    own = Drawn((Stroke(square(7.3, 11.9, 100), 0.3),))
    (points,) = judged_mm(one_page(own), 130)
    assert np.ptp(points, axis=0) == pytest.approx([100, 100], abs=EXACT)
    assert points.min(axis=0) == pytest.approx([7.3, 11.9], abs=SINGLE)

    # Far out on a long roll, seen through a window there.
    far = Stroke(square(1431.7, 3950.2, 100), 0.3)
    (points,) = judged_mm(windows(Window(1400, 3900, 190, 277, 10, 10), artwork=[far]), 297)
    assert np.ptp(points, axis=0) == pytest.approx([100, 100], abs=EXACT)
    assert points.min(axis=0) == pytest.approx([41.7, 60.2], abs=EXACT)


def test_a_square_of_100_mm_is_100_mm_for_poppler(tmp_path):
    if shutil.which("pdftocairo") is None:
        pytest.skip("needs poppler's own command")
    source, target = tmp_path / "one.pdf", tmp_path / "one.svg"
    source.write_bytes(windows(SEEN, artwork=[Stroke(square(31.7, 50.2, 100), 0.3)]))

    # Without both of these words poppler makes everything a thousandth smaller.
    subprocess.run(["pdftocairo", "-svg", "-noshrink", "-nocenter", str(source), str(target)], check=True)

    text = target.read_text()
    found = [
        re.search(r' {}="([^"]+)"'.format(name), text[text.index("stroke-width") :]).group(1)
        for name in ("d", "transform")
    ]
    points = np.array(re.findall(r"-?[\d.]+", found[0]), dtype=float).reshape(-1, 2)
    a, b, c, d, e, f = (float(word) for word in re.findall(r"-?[\d.]+", found[1]))
    seen = (points @ np.array([[a, b], [c, d]]) + (e, f)) / UNIT
    assert np.ptp(seen, axis=0) == pytest.approx([100, 100], abs=EXACT)


def test_a_window_scales_and_turns_over_about_its_own_sides():
    # 20 mm right and 30 mm below the window's corner, twice as large: 40 and 60 on the page.
    line = Stroke(Path.through([(120, 230), (130, 230)]), 0.3)
    seen = Window(100, 200, 50, 60, 5, 7, scale=2.0)

    (plain,) = judged_mm(windows(seen, artwork=[line]), 297)
    (over,) = judged_mm(windows(seen._replace(mirrored=True), artwork=[line]), 297)

    assert plain == pytest.approx(np.array([(45, 67), (65, 67)]), abs=SINGLE)
    # The window is 100 mm wide on the page: what lay 40 from its left lies 40 from its right, at 105.
    assert over == pytest.approx(np.array([(65, 67), (45, 67)]), abs=SINGLE)


def test_nothing_is_seen_outside_its_window_and_two_windows_show_two_places():
    filled = Drawn(fills=(Fill(square(0, 0, 100)),))
    page = Page(
        100, 100, (Window(0, 0, 20, 20, 10, 10), Window(90, 0, 20, 20, 60, 60)), filled._replace(fills=())
    )
    data = write_pdf(document(page, artwork=filled))

    assert [shade(data, *at, 100) for at in ((15, 15), (29, 29), (65, 65))] == [0, 0, 0]
    assert [shade(data, *at, 100) for at in ((5, 5), (35, 15), (75, 65))] == [255, 255, 255]


def test_a_unit_of_its_own_makes_the_numbers_smaller_and_the_page_no_smaller():
    pikepdf = pytest.importorskip("pikepdf")
    page = Page(1500, 6000, own=Drawn((Stroke(square(0, 0, 100), 0.3),)))
    data = write_pdf(document(page, unit=2.0))

    file = pikepdf.open(io.BytesIO(data))
    leaf = file.pages[0]
    assert float(leaf.UserUnit) == 2
    assert [float(side) for side in leaf.MediaBox] == pytest.approx([0, 0, 750 * UNIT, 3000 * UNIT], abs=1e-5)
    (read,) = read_pages(io.BytesIO(data)).pages
    assert (read.width, read.height) == pytest.approx((1500, 6000), abs=1e-4)
    assert np.ptp(read.drawn[0].curves.reshape(-1, 2), axis=0) == pytest.approx([100, 100], abs=EXACT)


# -- layers ---------------------------------------------------------------------------------

LAYERS = (
    Layer("Size 3", "Sizes"),
    Layer("Size 5", "Sizes", False),
    Layer("Cut lines", "Lines"),
    Layer("Maße"),
)


def test_what_is_on_several_layers_is_seen_where_all_of_them_are_on():
    fills = [
        Fill(square(10, 10, 20), layers=("Size 3", "Cut lines")),
        Fill(square(40, 10, 20), layers=("Size 5", "Cut lines")),
        Fill(square(70, 10, 20), layers=("Cut lines", "Size 5")),
        Fill(square(10, 40, 20), layers=("Size 5",)),
        Fill(square(40, 40, 20)),
    ]
    data = one_page(Drawn(fills=tuple(fills)), 100, 100, layers=LAYERS)

    seen = [shade(data, *at, 100) for at in ((20, 20), (50, 20), (80, 20), (20, 50), (50, 50))]

    assert seen == [0, 255, 255, 255, 0]
    assert [one.layers for one in read_pages(io.BytesIO(data)).pages[0].drawn] == [
        one.layers for one in fills
    ]


def test_a_layer_that_is_off_is_not_seen_in_a_window_either():
    artwork = Drawn(fills=(Fill(square(0, 0, 40), layers=("Size 5",)), Fill(square(50, 0, 40))))
    data = write_pdf(
        document(Page(100, 100, (Window(0, 0, 100, 100, 0, 0),)), artwork=artwork, layers=LAYERS)
    )

    assert (shade(data, 20, 20, 100), shade(data, 70, 20, 100)) == (255, 0)


def test_the_viewer_lists_layers_below_their_headings():
    pikepdf = pytest.importorskip("pikepdf")
    file = pikepdf.open(io.BytesIO(one_page(Drawn(), layers=LAYERS)))
    root = file.Root

    def told(entry):
        if isinstance(entry, pikepdf.Array):
            return [told(one) for one in entry]
        return str(entry.Name if isinstance(entry, pikepdf.Dictionary) else entry)

    order = told(root.OCProperties.D.Order)
    assert order == [["Sizes", "Size 3", "Size 5"], ["Lines", "Cut lines"], "Maße"]
    assert [str(one.Name) for one in root.OCProperties.D.OFF] == ["Size 5"]
    assert root.PageMode == "/UseOC"


def test_a_layer_that_the_document_lacks_is_a_mistake_of_who_made_it():
    with pytest.raises(ValueError, match="Size 9"):
        one_page(Drawn((Stroke(ARCH, 0.3, layers=("Size 9",)),)), layers=LAYERS)
    with pytest.raises(ValueError, match="the same"):
        one_page(Drawn(), layers=(Layer("one"), Layer("one", "Lines")))
    with pytest.raises(ValueError, match="page"):
        write_pdf(Document("a4", "Nothing", ()))


# -- lines and words ------------------------------------------------------------------------


def test_our_own_reader_reads_back_what_was_drawn():
    strokes = (
        Stroke(ARCH, 0.4, (6, 2), (1.0, 0.0, 0.2), ("Size 3",)),
        Stroke(ARCH.reverse(), 0.01),
        Stroke(Path(ARCH.curves[:1]), 0.5, (0, 1.5)),
    )
    own = Drawn(strokes, words=(Words("Rückenteil 3–5", (20, 90), 6, (0.6, 0.8), bold=True),))
    (page,) = read_pages(io.BytesIO(one_page(own, layers=LAYERS))).pages

    for drawn, stroke in zip(page.drawn, strokes):
        (path,) = drawn.runs()
        assert path.curves == pytest.approx(stroke.path.curves, abs=0.001)
        assert path.closed == stroke.path.closed
    assert [one.style.width for one in page.drawn] == pytest.approx([0.4, 0.1, 0.5], abs=1e-3)
    assert page.drawn[0].style.dashes == pytest.approx((6, 2), abs=1e-3)
    assert page.drawn[0].style.colour == "#ff0033"
    (words,) = page.words
    assert words.text == "Rückenteil 3–5"
    assert (words.x, words.y, words.height) == pytest.approx((20, 90, 6), abs=0.001)
    assert words.angle == pytest.approx(np.degrees(np.arctan2(0.8, 0.6)), abs=0.01)


@pytest.mark.parametrize("curved", [False, True])
def test_a_closed_path_has_its_last_side_and_no_other(curved):
    whole = square(10, 10, 50)
    if curved:
        curves = np.array(whole.curves)
        curves[-1, 1] += (-8, 0)
        whole = Path(curves, True)
    (page,) = read_pages(io.BytesIO(one_page(Drawn((Stroke(whole, 0.3),))))).pages

    (path,) = page.drawn[0].runs()

    assert path.closed
    assert path.curves[:4] == pytest.approx(whole.curves, abs=0.001)


def test_dots_are_round_and_dashes_are_as_long_as_they_say():
    # A dot of 4 mm every 10 mm; a dash of 10 mm with 4 mm wide ends cut off straight.
    dots = Stroke(Path.through([(10, 20), (60, 20)]), 4, (0, 10))
    dashes = Stroke(Path.through([(10, 40), (60, 40)]), 4, (10, 10))
    data = one_page(Drawn((dots, dashes)), 100, 100)

    assert [shade(data, x, 20, 100) for x in (10, 11.5, 15, 18.5, 20)] == [0, 0, 255, 0, 0]
    assert [shade(data, x, 40, 100) for x in (9, 10.5, 19.5, 21, 25)] == [255, 0, 0, 255, 255]


def test_words_end_and_are_centred_where_they_should():
    pdfium = pytest.importorskip("pypdfium2")
    for bold in (False, True):
        for anchor in (0.0, 0.5, 1.0):
            data = one_page(Drawn(words=(Words("Wickel (5)", (60, 60), 10, bold=bold, anchor=anchor),)))
            page = pdfium.PdfDocument(data)[0].get_textpage()
            assert page.get_text_range() == "Wickel (5)"
            left, right = page.get_charbox(0, loose=True)[0], page.get_charbox(9, loose=True)[2]
            middle = left + anchor * (right - left)
            assert middle / UNIT == pytest.approx(60, abs=0.02)


@pytest.mark.parametrize("bold", [False, True])
def test_every_letter_is_as_wide_as_another_library_has_it(bold):
    metrics = pytest.importorskip("reportlab.pdfbase.pdfmetrics")
    codes = [code for code in range(33, 256) if code not in (0x7F, 0xA0, 0xAD)]
    face = "Helvetica-Bold" if bold else "Helvetica"
    seen = 0
    for code in codes:
        try:
            sign = bytes([code]).decode("cp1252")
        except UnicodeDecodeError:
            continue
        seen += 1
        assert text_width(sign, 10, bold) == pytest.approx(metrics.stringWidth(sign, face, 10)), sign
    assert seen > 200


def test_letters_that_the_font_lacks_are_said_otherwise_or_told():
    assert letters("Zoë – Größe ½") == "Zoë – Größe ½".encode("cp1252")
    assert letters("Łódź ⅝ → 3 ≤ 5") == b"L\xf3dz 5/8 -> 3 <= 5"
    assert letters("a\u0301\u200b\tb") == b"a b"
    assert letters("木x") == b"?x"
    assert lost_letters("木x? 木 林 Ł") == ("木", "林")


def test_numbers_are_short_and_plain():
    told = [number_text(value) for value in (0, -0.00001, 1.50004, 0.25, -0.25, 100, 0.00001, 1e6)]
    assert told == ["0", "0", "1.5", ".25", "-.25", "100", "0", "1000000"]


def test_the_ground_is_below_everything_and_hidden_lines_stay_hidden():
    # The same lines on both pages are written once; what hides them must still lie where it lay.
    line = Stroke(Path.through([(0, y) for y in np.linspace(50, 50.001, 40)] + [(100, 50)]), 4, ink=(1, 1, 1))
    page = Page(100, 100, own=Drawn((line,), (Fill(square(40, 40, 20), (0.5, 0.5, 0.5)),)), ground=(0, 0, 0))
    data = write_pdf(document(page, page))

    assert shade(data, 10, 10, 100) == 0
    assert shade(data, 50, 43, 100) == pytest.approx(128, abs=1)
    assert shade(data, 50, 50, 100) == 255


# -- the file -------------------------------------------------------------------------------


def sheets(columns=5, rows=8):
    """Fifteen nested pieces in five layered sizes on 40 pages of A4, each with a head, a frame and a map."""
    rng = np.random.default_rng(3)
    strokes = []
    for piece in range(15):
        middle = np.array([180 + 250 * (piece % 4), 250 + 500 * (piece // 4)])
        turns = np.linspace(0, 2 * np.pi, 13)[:-1]
        reach = rng.uniform(80, 120, 12)
        for size in range(5):
            nodes = middle + np.c_[np.cos(turns), np.sin(turns)] * (reach + 5 * size)[:, None]
            ends = np.roll(nodes, -1, axis=0)
            bent = (ends - nodes)[:, ::-1] * (0.1, -0.1)
            curves = np.stack(
                [nodes, nodes + (ends - nodes) / 3 + bent, ends - (ends - nodes) / 3 + bent, ends], 1
            )
            layers = ("Size {}".format(size), "Cut lines")
            strokes.append(Stroke(Path(curves, True), 0.35, (6, 2) * (size % 2), layers=layers))
    frame = Stroke(square(10, 10, 190), 0.2)
    boxes = [
        Stroke(square(20 + 4 * (n % columns), 20 + 4 * (n // columns), 4), 0.1) for n in range(columns * rows)
    ]
    pages = []
    for number in range(columns * rows):
        column, row = number % columns, number // columns
        label = "{}{}".format("ABCDEFGH"[row], column + 1)
        own = Drawn(
            (frame, *boxes),
            (Fill(square(20 + 4 * column, 20 + 4 * row, 4), (0.7, 0.7, 0.7)),),
            (Words(label, (105, 150), 14, anchor=0.5, bold=True), Words("Waistcoat for P03", (12, 290), 3)),
        )
        pages.append(Page(210, 297, (Window(190 * column, 277 * row, 190, 277, 10, 10),), own, label))
    layers = tuple(Layer("Size {}".format(size), "Sizes", size == 2) for size in range(5)) + (
        Layer("Cut lines"),
    )
    return document(*pages, artwork=Drawn(tuple(strokes)), layers=layers, subject="P03, size 3")


def test_forty_pages_of_five_sizes_are_no_larger_than_60_kilobytes():
    data = write_pdf(sheets())

    assert len(data) <= 60_000
    # Without the artwork once for all, and the frame and the map, there would be 40 of each.
    assert len(data) < 2 * len(write_pdf(sheets(5, 1)))


def test_the_same_document_gives_the_same_bytes_and_no_others():
    data = write_pdf(sheets(2, 1))

    assert write_pdf(sheets(2, 1)) == data
    assert write_pdf(sheets(2, 1)._replace(title="Gown")) != data
    file = pytest.importorskip("pikepdf").open(io.BytesIO(data))
    assert sorted(file.docinfo) == ["/Producer", "/Subject", "/Title"]  # and no date


def test_another_library_finds_no_fault_and_what_viewers_are_told():
    pikepdf = pytest.importorskip("pikepdf")
    file = pikepdf.open(io.BytesIO(write_pdf(sheets(5, 2)._replace(full_screen=True, title="Größe (3)"))))

    assert not file.check_pdf_syntax() if hasattr(file, "check_pdf_syntax") else not file.check()
    assert str(file.docinfo.Title) == "Größe (3)"
    assert file.Root.ViewerPreferences.PrintScaling == "/None"
    assert file.Root.ViewerPreferences.PickTrayByPDFSize
    assert file.Root.PageMode == "/FullScreen"
    assert [page.label for page in file.pages] == ["A1", "A2", "A3", "A4", "A5", "B1", "B2", "B3", "B4", "B5"]


def test_every_page_shows_what_its_window_shows():
    # Two pages of the sheet, read by us: a piece cut by their border is whole on both, clipped.
    printed = read_pages(io.BytesIO(write_pdf(sheets(5, 2))))

    assert [layer.name for layer in printed.layers] == ["Size {}".format(n) for n in range(5)] + ["Cut lines"]
    assert [layer.hidden for layer in printed.layers] == [True, True, False, True, True, False]
    assert [page.label for page in printed.pages][:2] == ["A1", "A2"]
    first, second = (page.drawn for page in printed.pages[:2])
    cut = [(a, b) for a, b in zip(first, second) if a.layers]
    assert cut
    for a, b in cut:
        assert a.clip == pytest.approx((10, 10, 200, 287), abs=0.001)
        assert a.curves - b.curves == pytest.approx(np.broadcast_to((190, 0), a.curves.shape), abs=0.001)
