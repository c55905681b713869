"""Read the pages of a bought PDF: strokes, words, layers.

    printed = read_pages("gown.pdf")            # all pages
    printed = read_pages("gown.pdf", "2-10,14")

The file is only read.  One that opens without a password is read whatever its maker allows
in it, as any viewer or printer shows it; no copy without its locks is ever written.
"""

from typing import Callable, Optional

import numpy as np

from sewkit.errors import FileError, InputError
from sewkit.files.pdf_content import Book, Painter
from sewkit.files.pdf_file import Pdf, Source, open_pdf
from sewkit.files.pdf_flat import Flat
from sewkit.files.pdf_pages import Leaf, chosen_pages, find_pages, frame_of, page_labels, words_of
from sewkit.files.pdf_state import State
from sewkit.files.pdf_words import joined_words
from sewkit.sheet.drawn import Page, Printed

Progress = Optional[Callable[[int, int, str], None]]


def read_pages(source: Source, pages: str = "", progress: Progress = None) -> Printed:
    """Read a PDF from a path or a binary stream; ``pages`` as "2-10,14", empty for all.

    Raises ``InputError`` where the file is locked or a page is not there, ``FileError``
    where it is no PDF or is damaged beyond use, ``MissingExtra`` without pypdf.
    """
    pdf = open_pdf(source)
    try:
        return _read(pdf, pages, progress)
    except InputError:
        raise
    except RecursionError as error:
        raise FileError(
            "{} is damaged: its parts contain themselves.".format(pdf.name), code="pdf-damaged"
        ) from error


def _read(pdf: Pdf, pages: str, progress: Progress) -> Printed:
    leaves = find_pages(pdf)
    labels = page_labels(pdf, len(leaves))
    book = Book(pdf)
    chosen = chosen_pages(pages, len(leaves))
    found = []
    for done, number in enumerate(chosen):
        if progress is not None:
            progress(done, len(chosen), "pages")
        found.append(_read_page(book, leaves[number - 1], number, labels[number - 1]))
    if progress is not None:
        progress(len(chosen), len(chosen), "pages")
    if pdf.lost_objects:
        pdf.doubt("Parts of the file are missing or damaged; something may be missing here.")
    information = pdf.table(pdf.reader.trailer, "/Info")  # type: ignore[attr-defined]
    producer = words_of(pdf.get(information, "/Producer")) or words_of(pdf.get(information, "/Creator"))
    title = words_of(pdf.get(information, "/Title"))
    return Printed(tuple(found), book.layers.listed(), producer, title, len(leaves), tuple(pdf.doubts))


def _read_page(book: Book, leaf: Leaf, number: int, label: str) -> Page:
    pdf = book.pdf
    frame = frame_of(pdf, leaf)
    resources = pdf.value(leaf.get("/Resources"))
    state = State()
    state.matrix = frame.matrix
    painter = Painter(book, resources if isinstance(resources, dict) else {}, state)
    scene = painter.run(book.program(_content(pdf, leaf)))
    width, height = frame.size
    flat = Flat(scene, (0.0, 0.0, width, height), book.budget)
    book.budget.spend(flat.curves())
    words = joined_words(flat.spots)
    return Page(number, width, height, frame.turn, flat.drawn(), words, flat.pictures(), label)


def _content(pdf: Pdf, leaf: Leaf) -> bytes:
    """The page's stream; several are one, with a blank between them (ISO 32000-1, 7.8.2)."""
    contents = pdf.value(leaf.own.get("/Contents"))
    streams = contents if isinstance(contents, list) else [contents]
    return b"\n".join(pdf.bytes_of(pdf.value(stream)) for stream in streams)


def nothing_to_trace(printed: Printed) -> Optional[InputError]:
    """An error to raise where no page has a drawn line, else None: a scan, or a page of text."""
    if any(_has_lines(page) for page in printed.pages):
        return None
    if any(page.pictures > 0.05 for page in printed.pages):
        return InputError(
            "This PDF holds pictures of the pattern (a scan or a photograph), not lines, so nothing in it "
            "can be measured exactly.",
            "Ask the maker for a PDF with drawn lines, or trace the picture in Inkscape over a known length.",
            code="pdf-scan",
        )
    return InputError(
        "The chosen pages have no drawn line, only text or nothing at all.",
        "Choose the pages with the pattern, as 2-10,14.",
        code="pdf-no-lines",
    )


def _has_lines(page: Page) -> bool:
    """Whether anything but a background is drawn."""
    for drawn in page.drawn:
        size = np.ptp(drawn.curves.reshape(-1, 2), axis=0)
        background = not drawn.style.colour and size[0] >= 0.95 * page.width and size[1] >= 0.95 * page.height
        if not background:
            return True
    return False
