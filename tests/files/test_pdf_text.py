"""Text of hand-written pages: what it says, where it stands, how large it is.

Positions are worked from ISO 32000-1, 9.4; widths and letter names are judged by ReportLab's
own tables of the fonts' published metrics.
"""

import io
import math

import pytest

from sewkit.files.pdf_fonts import read_table
from sewkit.files.pdf_glyphs import encoding, letter_of, standard_widths
from sewkit.files.pdf_read import read_pages
from tests.files.pdf_assembler import POINT, Assembler, page, stream

HIGH = 842 * POINT
# Every letter half the size wide, so that positions can be worked in the head.
HALVES = b"/Widths [%s] /FirstChar 32 /LastChar 126" % b" ".join([b"500"] * 95)
PLAIN = b"/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /X %s >> >>" % HALVES


def words(content, resources=PLAIN, **more):
    return read_pages(io.BytesIO(page(b"BT " + content + b" ET", resources=resources, **more))).pages[0].words


def texts(content, resources=PLAIN):
    return [found.text for found in words(content, resources)]


def near(value, expected):
    return value == pytest.approx(expected, abs=1e-9)


def test_a_word_stands_where_its_baseline_starts():
    (found,) = words(b"/F 12 Tf 100 200 Td (hem) Tj")

    assert found.text == "hem"
    assert near((found.x, found.y), (100 * POINT, HIGH - 200 * POINT))
    assert near((found.height, found.width, found.angle), (12 * POINT, 18 * POINT, 0))


@pytest.mark.parametrize("degrees", [0, 30, 90, 180, 270])
def test_turned_text_is_told_clockwise(degrees):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    (found,) = words(b"/F 1 Tf %.9f %.9f %.9f %.9f 300 400 Tm (grain) Tj" % (20 * c, 20 * s, -20 * s, 20 * c))

    assert found.angle == pytest.approx((-degrees + 180) % 360 - 180, abs=1e-6) or degrees == 180
    assert abs(math.cos(math.radians(found.angle)) - c) < 1e-6
    assert found.height == pytest.approx(20 * POINT, abs=1e-6)
    assert found.width == pytest.approx(50 * POINT, abs=1e-6)


def test_sizes_below_nothing_and_flips_read_forwards():
    (found,) = words(b"/F -10 Tf -1 0 0 -1 100 200 Tm (ab) Tj")

    assert near((found.angle, found.height, found.width), (0, 10 * POINT, 10 * POINT))


@pytest.mark.parametrize(
    "content, expected",
    [
        (b"/F 10 Tf 9 9 Td (Cut 2 on fold) Tj", ["Cut 2 on fold"]),
        (b"/F 10 Tf 9 9 Td (Cut) Tj ( 2) Tj", ["Cut 2"]),
        (b"/F 10 Tf 9 9 Td [(C) 20 (ut) -250 (2)] TJ", ["Cut 2"]),  # a blank that is only a gap
        (b"/F 10 Tf 9 9 Td [(34) -1200 (36) -1200 (38)] TJ", ["34", "36", "38"]),  # jumps
        (b"/F 10 Tf 9 9 Td (C) Tj 5 0 Td (u) Tj 5 0 Td (t) Tj", ["Cut"]),  # by the letter
        (b"/F 10 Tf 9 9 Td (Cut) Tj 17.5 0 Td (2) Tj", ["Cut 2"]),
        (b"/F 10 Tf 9 9 Td (34) Tj 22 0 Td (36) Tj", ["34", "36"]),
        (b"/F 10 Tf 9 9 Td (34) Tj 10 4 Td (36) Tj", ["34", "36"]),  # a step up
        (b"/F 10 Tf 9 99 Td 12 TL (front) Tj T* (bodice) Tj (lining) '", ["front", "bodice", "lining"]),
        (b'/F 10 Tf 9 99 Td 12 TL (front) Tj 1 2 (a b) "', ["front", "a b"]),
        (b"/F 10 Tf 9 99 Td 3 Tc (cut) Tj", ["cut"]),
        (b"/F 10 Tf 9 9 Td (a) Tj /F 20 Tf (b) Tj", ["a", "b"]),  # another height
        (b"/F 10 Tf 9 9 Td (a) Tj 1 0 0 rg (b) Tj", ["a", "b"]),  # another colour
        (b"/F 10 Tf 9 9 Td (\\(a\\) \\101\\\nB (c)) Tj", ["(a) AB (c)"]),
        (b"/F 10 Tf 9 9 Td <6865 6D> Tj", ["hem"]),
        (b"/F 10 Tf 9 9 Td (   ) Tj", []),
        (b"/F 0 Tf 9 9 Td (hem) Tj", []),
        (b"9 9 Td (no font) Tj", []),
        (b"/F 10 Tf 9 9 Td (fi\\256ne) Tj", ["fifine"]),  # code 256 octal is the joined fi
    ],
)
def test_pieces_become_words_and_lines(content, expected):
    assert texts(content) == expected


def test_a_row_of_size_numbers_is_told_apart_and_placed():
    found = words(b"/F 10 Tf 100 200 Td [(34) -1200 (36) -1200 (38)] TJ")

    # two letters of 5 and a jump of 12
    assert [near(one.x, x * POINT) for one, x in zip(found, (100, 122, 144))] == [True] * 3


def test_blanks_before_and_behind_do_not_count():
    (found,) = words(b"/F 10 Tf 100 200 Td (  hem  ) Tj")

    assert (found.text, near(found.x, 110 * POINT), near(found.width, 15 * POINT)) == ("hem", True, True)


def test_stretch_rise_and_gaps():
    first, second = words(b"/F 10 Tf 50 Tz 4 Tc 6 Tw 3 Ts 100 200 Td (a b) Tj 0 Ts 400 0 Td (c) Tj")

    # a b: three letters of 5 with 4 after each, a blank with 6 more; half as wide
    assert near((first.x, first.y), (100 * POINT, HIGH - 203 * POINT))
    assert near((second.x, second.y), (500 * POINT, HIGH - 200 * POINT))
    assert first.width == pytest.approx((3 * 5 + 3 * 4 + 6) / 2 * POINT, abs=1e-9)


def test_unseen_text_is_kept_and_told_hidden():
    seen, unseen = words(b"/F 10 Tf 9 9 Td (seen) Tj 3 Tr 0 50 Td (unseen) Tj")

    assert [(one.text, one.hidden) for one in (seen, unseen)] == [("seen", False), ("unseen", True)]


def test_text_off_the_page_is_left_out():
    assert texts(b"/F 10 Tf -900 9 Td (gone) Tj") == []


def test_text_in_a_form_stands_where_the_form_is():
    file = Assembler()
    form = file.add(stream(b"BT /F 10 Tf 5 6 Td (hem) Tj ET", b"/Subtype /Form /BBox [0 0 99 99]"))
    resources = PLAIN + b" /XObject << /T %d 0 R >>" % form
    file.page(b"q 1 0 0 1 100 0 cm /T Do Q q 2 0 0 2 0 300 cm /T Do Q", resources=resources)
    found = read_pages(io.BytesIO(file.bytes())).pages[0].words

    assert [one.text for one in found] == ["hem", "hem"]
    assert near((found[0].x, found[0].y, found[0].height), (105 * POINT, HIGH - 6 * POINT, 10 * POINT))
    assert near((found[1].x, found[1].y, found[1].height), (10 * POINT, HIGH - 312 * POINT, 20 * POINT))


def font(body):
    return b"/Font << /F << /Type /Font /BaseFont /X %s %s >> >>" % (HALVES, body)


@pytest.mark.parametrize(
    "body, string, expected",
    [
        (b"/Subtype /Type1 /Encoding /WinAnsiEncoding", b"(Gr\\366\\337e \\200)", "Größe €"),
        (b"/Subtype /TrueType", b"(Gr\\366\\337e)", "Größe"),
        (b"/Subtype /Type1 /Encoding /MacRomanEncoding", b"(Gr\\232\\247e)", "Größe"),
        (b"/Subtype /Type1", b"(\\341\\373)", "Æß"),
        (
            b"/Subtype /Type1 /Encoding << /Differences "
            b"[65 /odieresis /germandbls 97 /uni00BD /u00E9 /A.alt /f_i] >>",
            b"(ABabcd)",
            "öß½éAfi",
        ),
        (
            b"/Subtype /Type1 /Encoding << /BaseEncoding /WinAnsiEncoding /Differences [65 /B] >>",
            b"(A\\366)",
            "Bö",
        ),
        (b"/Subtype /Type1 /Encoding << /Differences [65 /g17 /nothingknown] >>", b"(ABC)", "C"),
    ],
)
def test_encodings_and_their_differences(body, string, expected):
    assert texts(b"/F 10 Tf 9 9 Td " + string + b" Tj", font(body)) == [expected]


CMAP = b"""/CIDInit /ProcSet findresource begin begincmap
1 begincodespacerange <0000> <FFFF> endcodespacerange
2 beginbfchar <0003> <0048> <0004> <00660069> endbfchar
2 beginbfrange <0010> <0012> <0041> <0020> <0022> [<0078> <0079> <D83DDE00>] endbfrange
endcmap"""


def test_fonts_of_two_bytes_with_a_table_to_unicode():
    file = Assembler()
    table = file.add(stream(CMAP))
    inner = b"<< /Type /Font /Subtype /CIDFontType2 /DW 400 /W [3 [700] 16 18 600] >>"
    resources = b"/Font << /F << /Type /Font /Subtype /Type0 /Encoding /Identity-H /ToUnicode %d 0 R " % table
    content = b"BT /F 10 Tf 9 9 Td <00030004001000110012002000210022> Tj ET"
    file.page(content, resources=resources + b"/DescendantFonts [%s] >> >>" % inner)
    (found,) = read_pages(io.BytesIO(file.bytes())).pages[0].words

    assert found.text == "HfiABCxy\U0001f600"
    assert found.width == pytest.approx((7 + 4 + 3 * 6 + 3 * 4) * POINT, abs=1e-9)


def test_a_font_that_tells_nothing_says_nothing():
    resources = b"/Font << /F << /Subtype /Type0 /Encoding /Identity-H /DescendantFonts [<< >>] >> >>"

    assert texts(b"/F 10 Tf 9 9 Td <00030004> Tj", resources) == []


def test_codes_of_unlike_length():
    table = read_table(b"begincodespacerange <00> <7F> <8000> <FFFF> endcodespacerange")

    assert table.spaces == [(1, 0, 0x7F), (2, 0x8000, 0xFFFF)]


def test_standard_names_and_codes_are_as_published():
    data = pytest.importorskip("reportlab.pdfbase._fontdata")
    names = data.encodings["StandardEncoding"]
    letters = encoding("StandardEncoding")
    wrong = [name for code, name in enumerate(names) if name and letter_of(name) != letters[code]]

    assert wrong == []
    assert all(bool(name) == bool(letter) for name, letter in zip(names, letters))


@pytest.mark.parametrize("name", ["Helvetica", "Helvetica-Bold", "Times-Roman", "Courier"])
def test_widths_of_fonts_that_no_file_carries_are_as_published(name):
    data = pytest.importorskip("reportlab.pdfbase._fontdata")
    published = data.widthsByFontGlyph[name]
    # quotesingle and grave share their codes with the slanted marks of another encoding
    wrong = {
        glyph: (width, standard_widths(name)[letter_of(glyph)])
        for glyph, width in published.items()
        if letter_of(glyph) in standard_widths(name) and standard_widths(name)[letter_of(glyph)] != width
    }

    assert wrong == {}


def test_letter_names_are_adobe_s():
    agl = pytest.importorskip("fontTools.agl")
    names = [name for name in agl.AGL2UV if letter_of(name)]
    wrong = [name for name in names if letter_of(name) != chr(agl.AGL2UV[name]) and name not in JOINED]

    assert len(names) > 200
    assert wrong == []


# Told by their letters, as a person searches for them.
JOINED = ("fi", "fl", "ff", "ffi", "ffl", "nbspace", "softhyphen", "sfthyphen")
