"""Torture pages and lent drawings, judged by PDFium: another reader, in another language.

PDFium tells each path's points in the page's own units, takes no notice of ``UserUnit``, and
counts in single precision; points are compared there.
"""

import ctypes
import io

import numpy as np
import pytest

from sewkit.files.pdf_read import read_pages
from tests.files.pdf_assembler import POINT, Assembler, stream
from tests.operations.data import file as lent

SINGLE = 2e-6  # share of the size by which single precision and its sums may differ


def judged(data, number=0):
    """All painted paths in drawing order, forms laid out: points ``(n, 2)`` in the page's units."""
    raw = pytest.importorskip("pypdfium2.raw")
    document = pytest.importorskip("pypdfium2").PdfDocument(data)
    page = raw.FPDF_LoadPage(document.raw, number)
    found = []
    for at in range(raw.FPDFPage_CountObjects(page)):
        _walk(raw, raw.FPDFPage_GetObject(page, at), np.eye(3), found)
    return found


def _walk(raw, item, outer, found):
    given = raw.FS_MATRIX()
    raw.FPDFPageObj_GetMatrix(item, given)
    own = np.array([(given.a, given.b, 0), (given.c, given.d, 0), (given.e, given.f, 1)]) @ outer
    kind = raw.FPDFPageObj_GetType(item)
    if kind == raw.FPDF_PAGEOBJ_FORM:
        for at in range(raw.FPDFFormObj_CountObjects(item)):
            _walk(raw, raw.FPDFFormObj_GetObject(item, at), own, found)
    elif kind == raw.FPDF_PAGEOBJ_PATH:
        fill, stroked = ctypes.c_int(), ctypes.c_int()
        raw.FPDFPath_GetDrawMode(item, fill, stroked)
        if fill.value or stroked.value:
            found.append(_points(raw, item) @ own[:2, :2] + own[2, :2])


def _points(raw, item):
    x, y, points = ctypes.c_float(), ctypes.c_float(), []
    for at in range(raw.FPDFPath_CountSegments(item)):
        raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item, at), x, y)
        points.append((x.value, y.value))
    return np.array(points)


def boxes_of(page, left, high, unit):
    """Box of each of our paths, nodes and handles, in the page's own units."""
    found = []
    for one in page.drawn:
        points = one.curves.reshape(-1, 2) / (POINT * unit) * (1, -1) + (left, high)
        found.append(np.concatenate([points.min(axis=0), points.max(axis=0)]))
    return np.array(found)


def same_boxes(ours, theirs, box):
    """PDFium's boxes, of which those wholly off the page are left out, are ours one by one."""
    seen = []
    for points in theirs:
        low, high = points.min(axis=0), points.max(axis=0)
        if len(points) > 1 and (low <= box[2:]).all() and (high >= box[:2]).all():
            seen.append(np.concatenate([low, high]))
    assert len(ours) == len(seen)
    assert np.abs(ours - seen).max() <= SINGLE * np.abs(box).max() + 1e-4


def hell():
    """A unit of 2, a turn, a box that begins below nothing, a crop, forms in forms, /OC on forms,
    a membership, and content split between several streams."""
    file = Assembler()
    a = file.add(b"<< /Type /OCG /Name (38) >>")
    b = file.add(b"<< /Type /OCG /Name (40) >>")
    both = file.add(b"<< /Type /OCMD /OCGs [%d 0 R %d 0 R] /P /AllOn >>" % (a, b))
    file.catalogue = b"/OCProperties << /OCGs [%d 0 R %d 0 R] /D << /OFF [%d 0 R] >> >>" % (a, b, b)
    inner = file.add(
        stream(
            b"0 0 m 40 0 l 40 30 l s /OC /M BDC 0.3 w 5 5 10 10 re S EMC",
            b"/Subtype /Form /BBox [-1 -1 60 60] /Matrix [0 1 -1 0 100 0] /OC %d 0 R "
            b"/Resources << /Properties << /M %d 0 R >> >>" % (a, both),
        )
    )
    outer = file.add(
        stream(
            b"q 1.5 0 0 1.5 10 20 cm /I Do Q 1 0 0 RG 0 0 m 10 50 60 50 80 0 c S /I Do",
            b"/Subtype /Form /BBox [-50 -50 300 300] /Matrix [1 0 0 1 -30 7]",
        )
    )
    content = [
        b"q 2 0 0 2 -10 -20 c",
        b"m /O",
        b" Do Q q 0.7 0.7 -0.7 0.7 50 ",
        b"60 cm /O Do",
        b"Q 0 0 m 9 9",
        b"l S",
    ]
    content = [content[0] + content[1], content[2] + content[3], content[4] + b" " + content[5]]
    resources = b"/XObject << /O %d 0 R /I %d 0 R >>" % (outer, inner)
    file.tree = b"/Rotate 90 /Resources << %s >>" % resources
    file.page(content, b"/UserUnit 2 /CropBox [-90 -190 250 300]", box=b"-100 -200 400 500")
    return file.bytes()


def hell2():
    """Named inks, profiles, pen and dashes from a named state, v and y, a hidden layer, a membership
    written in the stream, an image in the stream, a picture, a clip that is no rectangle."""
    file = Assembler()
    group = file.add(b"<< /Type /OCG /Name (Hidden) >>")
    file.catalogue = b"/OCProperties << /OCGs [%d 0 R] /D << /BaseState /OFF >> >>" % group
    profile = file.add(stream(b"", b"/N 4"))
    tint = b"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] /N 1 >>"
    ink = b"[/Separation /Cut#20Line /DeviceCMYK %s]" % tint
    content = (
        b"/Ink CS 1 SCN 0 0 m 10 20 30 40 v 50 60 70 10 y S\n"
        b"/Pro CS 0 0 1 0 SCN /G gs 100 100 m 200 100 l S\n"
        b"/OC << /Type /OCMD /OCGs %d 0 R >> BDC 100 200 m 200 200 l S EMC\n"
        b"q 50 0 0 50 300 300 cm BI /W 2 /H 2 /CS /G /BPC 8 ID EI\nS EI Q\n"
        b"q 300 50 m 400 50 l 350 150 l h W n 0 1 0 0 k 300 60 m 400 60 l 350 99 l f Q\n"
        b"5 5 50 60 re 7 8 m 9 10 l 20 3 l b*"
    ) % group
    resources = b"/ColorSpace << /Ink %s /Pro [/ICCBased %d 0 R] >> " % (ink, profile)
    file.page(content, resources=resources + b"/ExtGState << /G << /LW 4 /D [[6 3] 0] >> >>", packed=True)
    return file.bytes()


def test_the_first_torture_page():
    data = hell()
    (page,) = read_pages(io.BytesIO(data)).pages
    box = np.array([-90.0, -190.0, 250.0, 300.0])

    assert (page.width, page.height) == pytest.approx((340 * 2 * POINT, 490 * 2 * POINT), abs=1e-9)
    assert page.turn == 90
    assert [one.layers for one in page.drawn] == [
        ("38",), ("38", "40"), (), ("38",), ("38", "40"),
        ("38",), ("38", "40"), (), ("38",), ("38", "40"),
        (),
    ]  # fmt: skip
    assert [one.hidden for one in page.drawn] == [False, True, False, False, True] * 2 + [False]
    same_boxes(boxes_of(page, -90, 300, 2), judged(data), box)


def test_the_second_torture_page():
    data = hell2()
    (page,) = read_pages(io.BytesIO(data)).pages
    ink, profile, hidden, shaped, last = page.drawn

    assert (ink.style.colour, profile.style.colour) == ("ink:Cut Line", "#ffff00")
    assert (profile.style.width,) + profile.style.dashes == pytest.approx((4 * POINT, 6 * POINT, 3 * POINT))
    assert (hidden.layers, hidden.hidden) == (("Hidden",), True)
    assert (shaped.cut_by_shape, shaped.style.fill) == (True, "#ff00ff")
    assert last.closed == (True, True)
    assert page.pictures == pytest.approx(2500 / (595 * 842))
    same_boxes(boxes_of(page, 0, 842, 1), judged(data), np.array([0, 0, 595.0, 842.0]))


@pytest.mark.parametrize(
    "folder, name",
    [("penguin", "TUX_pattern_0.6_a1.pdf"), ("penguin", "TUX_pattern_0.6_a4.pdf"), ("bags", "bivy_bivy.pdf")],
)
def test_lent_drawings_have_every_path_that_pdfium_sees(folder, name):
    path = lent(folder, name)
    printed = read_pages(path)

    assert printed.doubts == ()
    for page in printed.pages:
        box = np.array([0, 0, page.width / POINT, page.height / POINT])
        same_boxes(boxes_of(page, 0, box[3], 1), judged(str(path), page.number - 1), box)


def test_lent_drawings_say_the_words_that_pdfium_reads():
    path = lent("penguin", "TUX_pattern_0.6_a1.pdf")
    text = pytest.importorskip("pypdfium2").PdfDocument(str(path))[0].get_textpage().get_text_range()
    wanted = set(text.replace("\xad", "-").split())
    found = {word for words in read_pages(path).pages[0].words for word in words.text.split()}

    # PDFium takes text that is drawn mirrored letter by letter: some ten scraps such as "RRED".
    assert len(wanted) > 150
    assert len(wanted - found) <= 12
