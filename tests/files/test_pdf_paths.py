"""Strokes of hand-written pages: where they are, how they look, what cuts them.

Every expected number is worked here from the page's own text: a point is 25.4/72 mm, y
turns down from the upper edge of the box that is shown (ISO 32000-1, 8.3).
"""

import io
import math

import numpy as np
import pytest

from sewkit.files.pdf_read import read_pages
from tests.files.pdf_assembler import POINT, Assembler, page, stream

HIGH = 842 * POINT  # of the assembler's usual page


def read(data):
    return read_pages(io.BytesIO(data)).pages[0]


def drawn(content, **more):
    return read(page(content, **more)).drawn


def mm(*points, high=HIGH):
    """Points of a page's text on the sheet."""
    return np.array([(x * POINT, high - y * POINT) for x, y in points])


def close(actual, expected):
    return np.allclose(actual, expected, rtol=0, atol=1e-9)


def test_a_line_is_a_curve_with_its_handles_at_the_thirds():
    (one,) = drawn(b"30 60 m 120 240 l S")

    assert close(one.curves, [mm((30, 60), (60, 120), (90, 180), (120, 240))])
    assert (one.starts, one.closed) == ((0,), (False,))


def test_a_square_of_100_mm_is_100_mm():
    side = 100 / POINT
    (one,) = drawn(b"10 20 %.12f %.12f re S" % (side, side))
    (run,) = one.runs()
    low, high = run.nodes.min(axis=0), run.nodes.max(axis=0)

    assert np.abs(high - low - 100.0).max() < 1e-9
    assert run.closed


@pytest.mark.parametrize(
    "text, points",
    [
        (b"1 2 3 4 5 6 c", [(0, 0), (1, 2), (3, 4), (5, 6)]),
        (b"3 4 5 6 v", [(0, 0), (0, 0), (3, 4), (5, 6)]),  # first handle in the start
        (b"1 2 5 6 y", [(0, 0), (1, 2), (5, 6), (5, 6)]),  # second handle in the end
    ],
)
def test_each_kind_of_curve(text, points):
    (one,) = drawn(b"0 0 m " + text + b" S")

    assert close(one.curves, [mm(*points)])


@pytest.mark.parametrize(
    "text, closed, ends",
    [
        (b"0 0 m 9 0 l 9 9 l h S", (True,), [(0, 0), (9, 0), (9, 9)]),
        (b"0 0 m 9 0 l 9 9 l s", (True,), [(0, 0), (9, 0), (9, 9)]),
        (b"0 0 m 9 0 l 9 9 l b", (True,), [(0, 0), (9, 0), (9, 9)]),
        (b"0 0 m 9 0 l 9 9 l b*", (True,), [(0, 0), (9, 0), (9, 9)]),
        (b"0 0 m 9 0 l 9 9 l h h S", (True,), [(0, 0), (9, 0), (9, 9)]),
        (b"0 0 m 9 0 l 9 9 l 0 0 l h S", (True,), [(0, 0), (9, 0), (9, 9)]),  # closed where it already ends
        (b"0 0 m 9 0 l 9 9 l f", (True,), [(0, 0), (9, 0), (9, 9)]),  # filling closes (8.5.3.3)
        (b"0 0 m 9 0 l 9 9 l S", (False,), [(0, 0), (9, 0)]),
        (b"0 0 m 9 0 l 9 9 l B", (False,), [(0, 0), (9, 0)]),
        (b"0 0 m 9 0 l h 5 5 l S", (True, False), [(0, 0), (9, 0), (0, 0)]),  # goes on from the start
        (b"1 1 m 2 2 m 9 0 l S", (False,), [(2, 2)]),
        (b"1 1 m 9 1 l 2 2 m 9 2 l S", (False, False), [(1, 1), (2, 2)]),
        (b"1 1 4 5 re 7 7 m 8 8 l S", (True, False), [(1, 1), (5, 1), (5, 6), (1, 6), (7, 7)]),
        (b"1 1 -4 5 re f*", (True,), [(1, 1), (-3, 1), (-3, 6), (1, 6)]),
    ],
)
def test_what_closes_and_where_each_curve_starts(text, closed, ends):
    (one,) = drawn(text)

    assert one.closed == closed
    assert close(one.curves[:, 0], mm(*ends))


@pytest.mark.parametrize(
    "text, count",
    [
        (b"0 0 m 9 9 l n", 0),
        (b"0 0 m 9 9 l", 0),
        (b"0 0 m S", 0),
        (b"5 5 l S", 0),
        (b"0 0 m 9 9 l S 0 0 m 9 9 l S", 2),
        (b"0 0 m 9 9 l\n% a remark (\nS", 1),
        (b"0 0 m 1 1 l % a remark in a path\n 9 9 l S", 1),
        (b"0 0 m 9.9.9 --9 l S", 1),
        (b"/A (a)) ] >> } 0 0 m 9 9 l S", 1),
        (b"[ 1 2 0 0 m 9 9 l S 0 0 m 8 8 l S", 1),  # a bracket that nobody closed
        (b"1 2 3 9 9 m 9 1 l S", 1),
    ],
)
def test_only_what_is_painted_counts_and_damage_is_stepped_over(text, count):
    assert len(drawn(text)) == count


def test_matrices_multiply_and_come_back():
    first, second = drawn(b"q 2 0 0 3 10 20 cm 0 1 -1 0 5 7 cm 1 2 m 3 4 l S Q 1 2 m 3 4 l S")

    # (x, y) -> (5 - y, 7 + x) -> (10 + 2 (5 - y), 20 + 3 (7 + x))
    assert close(first.curves[0, [0, 3]], mm((16, 44), (12, 50)))
    assert close(second.curves[0, [0, 3]], mm((1, 2), (3, 4)))


def test_pen_and_dashes_are_as_wide_as_the_matrix_makes_them():
    (one,) = drawn(b"q 2 0 0 8 0 0 cm 3 w [5 1 2] 7 d 0 0 m 9 9 l S Q")
    scale = math.sqrt(2 * 8) * POINT  # the root of the area's growth

    assert close(one.style.width, 3 * scale)
    assert close(one.style.dashes, np.array([5, 1, 2, 5, 1, 2]) * scale)  # an odd count is said twice


@pytest.mark.parametrize("text", [b"[] 0 d", b"[0 0] 0 d", b"[-1 2] 0 d"])
def test_dashes_that_are_none(text):
    assert drawn(text + b" 0 0 m 9 9 l S")[0].style.dashes == ()


def test_pen_from_a_named_state():
    resources = b"/ExtGState << /G << /LW 4 /D [[6 3] 0] >> /H << /CA 0 >> >>"
    content = b"/G gs 0 0 m 9 9 l S /H gs 0 0 m 9 9 l S 0 0 m 9 9 l B"
    first, second = drawn(content, resources=resources)

    assert close(first.style.width, 4 * POINT)
    assert close(first.style.dashes, [6 * POINT, 3 * POINT])
    assert (second.style.colour, second.style.fill) == ("", "#000000")  # a stroke that lets all through


def test_a_page_of_no_pen_width_has_the_usual_one():
    assert close(drawn(b"0 0 m 9 9 l S")[0].style.width, POINT)  # 1 unit: ISO 32000-1, Table 52


@pytest.mark.parametrize(
    "clip, box",
    [
        (b"100 100 200 300 re W n", (100, 100, 300, 400)),
        (b"100 100 m 300 100 l 300 400 l 100 400 l h W* n", (100, 100, 300, 400)),
        (b"100 100 200 300 re W n 150 0 500 500 re W n", (150, 100, 300, 400)),
        (b"q 0 1 -1 0 400 0 cm 100 100 200 300 re W n", (0, 100, 300, 300)),  # a quarter turn
        (b"300 400 -200 -300 re W n", (100, 100, 300, 400)),
    ],
)
def test_upright_clips_are_told(clip, box):
    one = drawn(clip + b" 0 200 m 500 200 l S")[-1]
    x0, y0, x1, y1 = box

    assert close(one.clip, (x0 * POINT, HIGH - y1 * POINT, x1 * POINT, HIGH - y0 * POINT))
    assert not one.cut_by_shape


def test_a_clip_of_another_shape_is_told_and_boxed():
    (one,) = drawn(b"100 100 m 300 100 l 200 400 l h W n 0 200 m 500 200 l S")

    assert one.cut_by_shape
    assert close(one.clip, (100 * POINT, HIGH - 400 * POINT, 300 * POINT, HIGH - 100 * POINT))


@pytest.mark.parametrize("clip", [b"0 0 595 842 re W n", b"-9 -9 700 900 re W n", b"W n"])
def test_a_clip_that_cuts_nothing_away_is_none(clip):
    (one,) = drawn(clip + b" 0 200 m 500 200 l S")

    assert (one.clip, one.cut_by_shape) == (None, False)


def test_a_clip_ends_with_its_state_and_a_painted_path_clips_too():
    first, second, third = drawn(b"q 0 0 99 99 re W S 0 50 m 500 50 l S Q 0 50 m 500 50 l S")

    assert [one.clip is None for one in (first, second, third)] == [True, False, True]


@pytest.mark.parametrize(
    "content",
    [
        b"-50 10 m -10 500 l S",
        b"0 900 m 500 900 l S",
        b"0 0 99 99 re W n 200 200 m 300 300 l S",
        b"0 0 0 99 re W n 0 0 m 300 300 l S",
    ],
)
def test_what_cannot_be_seen_is_left_out(content):
    assert drawn(content) == ()


def test_a_thick_pen_reaches_into_the_page():
    assert len(drawn(b"30 w -10 0 m -10 500 l S")) == 1


def test_a_form_is_placed_by_its_matrix_and_cut_by_its_box():
    file = Assembler()
    form = file.add(
        stream(b"0 0 m 500 0 l S", b"/Type /XObject /Subtype /Form /BBox [0 -5 100 5] /Matrix [0 2 -2 0 7 9]")
    )
    file.page(b"q 1 0 0 1 100 200 cm /F Do Q", resources=b"/XObject << /F %d 0 R >>" % form)
    (one,) = read(file.bytes()).drawn

    # (x, y) -> (7 - 2 y, 9 + 2 x) -> + (100, 200)
    assert close(one.curves[0, [0, 3]], mm((107, 209), (107, 1209)))
    assert close(one.clip, (97 * POINT, HIGH - 409 * POINT, 117 * POINT, HIGH - 209 * POINT))
    assert close(one.style.width, 2 * POINT)


def test_a_form_inherits_how_it_is_drawn_and_changes_nothing_outside():
    file = Assembler()
    form = file.add(stream(b"0 0 m 9 9 l S 5 w 0 1 0 RG", b"/Subtype /Form /BBox [0 0 99 99]"))
    content = b"1 0 0 RG 3 w /F Do 0 0 m 9 9 l S 0 0 1 RG /F Do"
    file.page(content, resources=b"/XObject << /F %d 0 R >>" % form)
    looks = [(one.style.colour, round(one.style.width / POINT, 9)) for one in read(file.bytes()).drawn]

    assert looks == [("#ff0000", 3), ("#ff0000", 3), ("#0000ff", 3)]


def test_forms_in_forms_find_their_names_in_what_holds_them():
    file = Assembler()
    inner = file.add(stream(b"0 0 m 9 0 l S", b"/Subtype /Form /BBox [0 0 99 99] /Matrix [1 0 0 1 5 0]"))
    outer = file.add(stream(b"2 0 0 2 0 0 cm /I Do /I Do", b"/Subtype /Form /BBox [0 0 999 999]"))
    content = b"/O Do 1 0 0 1 0 50 cm /O Do"
    file.page(content, resources=b"/XObject << /O %d 0 R /I %d 0 R >>" % (outer, inner))
    found = read(file.bytes()).drawn

    assert [one.order for one in found] == [0, 1, 2, 3]
    for one, y in zip(found, (0, 0, 50, 50)):
        assert close(one.curves[0, [0, 3]], mm((10, y), (28, y)))


def test_a_form_that_holds_itself_ends():
    file = Assembler()
    form = file.later()
    file.objects[form] = stream(
        b"0 0 m 9 9 l S /F Do",
        b"/Subtype /Form /BBox [0 0 99 99] /Resources << /XObject << /F %d 0 R >> >>" % form,
    )
    file.page(b"/F Do", resources=b"/XObject << /F %d 0 R >>" % form)
    printed = read_pages(io.BytesIO(file.bytes()))

    assert len(printed.pages[0].drawn) == 1
    assert "contains itself" in " ".join(printed.doubts)


def test_a_poster_keeps_on_each_page_only_what_is_seen_there():
    """Twelve pages show one artwork of 600 lines, fifty on each."""
    file = Assembler()
    lines = b" ".join(b"%d 10 m %d 90 l S" % (x, x) for x in range(5, 6000, 10))
    art = file.add(stream(lines, b"/Subtype /Form /BBox [0 0 6000 100]"))
    for tile in range(12):
        content = b"q 0 0 500 100 re W n 1 0 0 1 %d 0 cm /A Do Q" % (-500 * tile)
        file.page(content, resources=b"/XObject << /A %d 0 R >>" % art, box=b"0 0 500 100")
    pages = read_pages(io.BytesIO(file.bytes())).pages

    assert [len(page.drawn) for page in pages] == [50] * 12
    assert all(close(page.drawn[3].curves[0, 0], [35 * POINT, 90 * POINT]) for page in pages)


@pytest.mark.parametrize(
    "name, content",
    [
        ("raw", b"BI /W 4 /H 2 /BPC 8 /CS /G ID (S EI h) EI"),
        ("packed", b"BI /W 4 /H 2 /F /Fl ID \x00\x01( EI \x88 q S\n EI"),
        ("mask", b"BI /W 16 /H 2 /IM true ID \x00\xff)( EI"),
    ],
)
def test_an_image_in_the_stream_is_stepped_over(name, content):
    found = read(page(b"q 100 0 0 100 0 0 cm " + content + b" Q 0 0 m 9 9 l S"))

    assert close([one.curves[0, 3] for one in found.drawn], [mm((9, 9))[0]])
    assert close(found.pictures, 100 * 100 / (595 * 842))


def test_a_picture_s_share_of_the_page_ends_at_its_clip():
    file = Assembler()
    image = file.add(stream(b"\0" * 4, b"/Subtype /Image /Width 2 /Height 2 /BitsPerComponent 8"))
    content = b"0 0 200 421 re W n q 595 0 0 842 0 0 cm /I Do Q"
    file.page(content, resources=b"/XObject << /I %d 0 R >>" % image)

    assert close(read(file.bytes()).pictures, 200 * 421 / (595 * 842))


@pytest.mark.parametrize("packed", [False, True])
def test_a_page_in_several_streams_is_one(packed):
    (one,) = drawn([b"q 1 0 0 1 5", b"6 cm 0 0 m", b"9 9 l", b"", b"S Q"], packed=packed)

    assert close(one.curves[0, [0, 3]], mm((5, 6), (14, 15)))
