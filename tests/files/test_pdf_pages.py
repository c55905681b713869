"""Pages of hand-written files: their boxes, units, turns, labels; which are read."""

import io

import pytest

from sewkit.errors import InputError
from sewkit.files.pdf_read import nothing_to_trace, read_pages
from tests.files.pdf_assembler import POINT, Assembler, page, stream


def one_page(entries=b"", box=b"0 0 595 842", content=b"100 200 m 300 400 l S", **more):
    file = Assembler(**more)
    file.page(content, entries=entries, box=box)
    return read_pages(io.BytesIO(file.bytes())).pages[0]


def near(actual, *expected):
    return list(actual) == pytest.approx(list(expected), abs=1e-9)


def ends(found):
    return found.drawn[0].curves[0, [0, 3]].ravel()


def test_a_page_is_as_large_as_its_box():
    found = one_page()

    assert near((found.width, found.height), 595 * POINT, 842 * POINT)
    assert near(ends(found), 100 * POINT, 642 * POINT, 300 * POINT, 442 * POINT)


def test_the_unit_of_a_page_multiplies_all():
    found = one_page(b"/UserUnit 2.5")

    assert near((found.width, found.height), 595 * 2.5 * POINT, 842 * 2.5 * POINT)
    assert near(ends(found), 250 * POINT, 642 * 2.5 * POINT, 750 * POINT, 442 * 2.5 * POINT)
    assert near([found.drawn[0].style.width], 2.5 * POINT)


def test_a_box_may_begin_anywhere_and_crop_shows_less():
    found = one_page(b"/CropBox [-50 -60 350 1000]", box=b"-100 -200 500 700")

    # seen: -50..350 and -60..700
    assert near((found.width, found.height), 400 * POINT, 760 * POINT)
    assert near(ends(found), 150 * POINT, 500 * POINT, 350 * POINT, 300 * POINT)


def test_corners_of_a_box_may_come_in_any_order():
    assert near(ends(one_page(box=b"595 842 0 0")), 100 * POINT, 642 * POINT, 300 * POINT, 442 * POINT)


@pytest.mark.parametrize("turn, told", [(90, 90), (-90, 270), (450, 90), (180, 180), (0, 0)])
def test_a_turned_page_is_told_and_stays_unturned(turn, told):
    found = one_page(b"/Rotate %d" % turn)

    assert found.turn == told
    assert near((found.width, found.height), 595 * POINT, 842 * POINT)
    assert near(ends(found), 100 * POINT, 642 * POINT, 300 * POINT, 442 * POINT)


def test_a_page_has_from_the_tree_what_it_lacks():
    tree = b"/MediaBox [0 0 300 500] /Rotate 90 /Resources << /ExtGState << /G << /LW 7 >> >> >>"
    found = one_page(box=b"", content=b"/G gs 0 0 m 9 9 l S", tree=tree)

    assert near((found.width, found.height, found.turn), 300 * POINT, 500 * POINT, 90)
    assert near([found.drawn[0].style.width], 7 * POINT)


def test_a_page_larger_than_viewers_allow():
    found = one_page(box=b"0 0 57260 55843")

    assert near((found.width, found.height), 57260 * POINT, 55843 * POINT)


def test_title_and_producer_in_the_file_s_own_words():
    file = Assembler(info=b"/Title <FEFF0057006900650073006E0020201E0034> /Producer (Wardrobe \\(2\\))")
    file.page(b"")
    printed = read_pages(io.BytesIO(file.bytes()))

    assert (printed.title, printed.producer) == ("Wiesn „4", "Wardrobe (2)")


def many(count, catalogue=b""):
    file = Assembler(catalogue)
    for _ in range(count):
        file.page(b"0 0 m 9 9 l S")
    return file.bytes()


@pytest.mark.parametrize(
    "words, numbers",
    [
        ("", [1, 2, 3, 4, 5, 6]),
        ("2-4,6", [2, 3, 4, 6]),
        (" 6, 2 - 3 ", [2, 3, 6]),
        ("5-", [5, 6]),
        ("-2", [1, 2]),
        ("2,2,1-2", [1, 2]),
    ],
)
def test_pages_are_chosen_by_number(words, numbers):
    printed = read_pages(io.BytesIO(many(6)), words)

    assert [found.number for found in printed.pages] == numbers
    assert printed.total == 6


@pytest.mark.parametrize(
    "words", ["7", "0", "4-2", "one", "1.5", "1-2-3", "9-12", "3-99", "-99", ",", "1,,2"]
)
def test_pages_that_are_not_there_are_refused(words):
    with pytest.raises(InputError) as told:
        read_pages(io.BytesIO(many(6)), words)
    assert told.value.code == "pages"


def test_a_range_beyond_the_file_names_the_number_of_pages():
    with pytest.raises(InputError, match="6 pages"):
        read_pages(io.BytesIO(many(6)), "1-999999999")


def test_a_range_written_backwards_says_so():
    with pytest.raises(InputError, match="backwards") as told:
        read_pages(io.BytesIO(many(6)), "5-2")
    assert "2-5" in str(told.value)


def test_labels_as_the_file_numbers_its_pages():
    ranges = b"0 << /S /r >> 2 << /S /D /P (A) /St 4 >> 4 << /P (map) >> 5 << /S /A /St 27 >>"
    printed = read_pages(io.BytesIO(many(6, b"/PageLabels << /Nums [%s] >>" % ranges)))

    # ISO 32000-1, 12.4.2: small Roman, prefix and number from 4, prefix alone, letters: 27 is AA
    assert [found.label for found in printed.pages] == ["i", "ii", "A4", "A5", "map", "AA"]


def test_labels_are_numbers_where_the_file_has_none():
    assert [found.label for found in read_pages(io.BytesIO(many(3))).pages] == ["1", "2", "3"]


def test_progress_is_told_page_by_page():
    told = []
    read_pages(io.BytesIO(many(3)), progress=lambda done, total, what: told.append((done, total, what)))

    assert told == [(0, 3, "pages"), (1, 3, "pages"), (2, 3, "pages"), (3, 3, "pages")]


def test_a_file_is_read_by_its_path_too(tmp_path):
    path = tmp_path / "gown.pdf"
    path.write_bytes(many(2))

    assert read_pages(path).total == read_pages(str(path)).total == 2


def test_a_scan_is_told():
    file = Assembler()
    image = file.add(stream(b"\0" * 4, b"/Subtype /Image /Width 2 /Height 2 /BitsPerComponent 8"))
    content = b"1 g 0 0 595 842 re f q 595 0 0 842 0 0 cm /I Do Q"  # on a white ground
    file.page(content, resources=b"/XObject << /I %d 0 R >>" % image)
    printed = read_pages(io.BytesIO(file.bytes()))

    assert nothing_to_trace(printed).code == "pdf-scan"
    assert len(printed.pages) == 1


@pytest.mark.parametrize("content, code", [(b"", "pdf-no-lines"), (b"0 0 m 9 9 l S", None)])
def test_pages_with_nothing_to_trace(content, code):
    told = nothing_to_trace(read_pages(io.BytesIO(page(content))))

    assert (told.code if told else None) == code
