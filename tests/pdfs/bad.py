"""Files that are bad, strange or hostile, each as bytes.

REFUSED    must be refused with one sentence
BOMBS      small files that want to fill memory or time; refused, or read within bounds
DAMAGED    something is broken; what can be saved is read, or the file is refused
STRANGE    unusual and right; must be read

Files that want to fill memory or time are in ``bombs.py``.
"""

import io
import random
import struct
import zlib
from typing import Callable, Dict, List

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words
from tests.pdfs.pages import single, tiled
from tests.pdfs.scene import scene
from tests.pdfs.written import CATALOG, PAGES, Book, write

A4_BOX = "/MediaBox [0 0 595 842] "


# -- Small files around one content stream ------------------------------------------------


def around(content: bytes, resources: str = "", page: str = A4_BOX, filters: str = "") -> bytes:
    """A file of one page with this content, already packed where ``filters`` say so."""
    book = Book(compress=False)
    stream = book.add(filters, content)
    return finish(book, stream, resources, page)


def finish(book: Book, stream: int, resources: str = "", page: str = A4_BOX) -> bytes:
    """Catalog, page tree and one page that shows a stream which the book has already."""
    kid = book.add(
        "<< /Type /Page /Parent 2 0 R /Contents {} 0 R /Resources << {} >> {}>>".format(
            stream, resources, page
        )
    )
    book.put(PAGES, "<< /Type /Pages /Kids [{} 0 R] /Count 1 >>".format(kid))
    book.put(CATALOG, "<< /Type /Catalog /Pages 2 0 R >>")
    return book.bytes()


def good(pages: bool = True) -> bytes:
    """A sound file to damage: nine tiles, or one page."""
    made = tiled(scene()) if pages else single(scene())
    return write(made.printed)


# -- Refused ------------------------------------------------------------------------------


def scanned(pages: int = 2) -> bytes:
    """Every page is one grey picture and nothing else."""
    book = Book()
    width, height = 210, 297
    grey = np.random.RandomState(1).randint(0, 255, width * height).astype(np.uint8).tobytes()
    picture = book.add(
        "/Type /XObject /Subtype /Image /Width {} /Height {} /ColorSpace /DeviceGray "
        "/BitsPerComponent 8".format(width, height),
        grey,
    )
    stream = book.add("", b"q 595 0 0 842 0 0 cm /P Do Q")
    kids = []
    for _ in range(pages):
        entry = "<< /Type /Page /Parent 2 0 R /Contents {} 0 R /Resources << /XObject << /P {} 0 R >> >> {}>>"
        kids.append(book.add(entry.format(stream, picture, A4_BOX)))
    names = " ".join("{} 0 R".format(kid) for kid in kids)
    book.put(PAGES, "<< /Type /Pages /Kids [{}] /Count {} >>".format(names, pages))
    book.put(CATALOG, "<< /Type /Catalog /Pages 2 0 R >>")
    return book.bytes()


def only_words() -> bytes:
    """Pages with words and no line."""
    words = tuple(Words("Cutting guide, line {}".format(n), 30.0, 40.0 + 8 * n) for n in range(20))
    return write(Printed((Page(1, 210.0, 297.0, words=words), Page(2, 210.0, 297.0, words=words))))


def no_pages() -> bytes:
    """A page tree without a leaf."""
    book = Book()
    book.put(PAGES, "<< /Type /Pages /Kids [] /Count 0 >>")
    book.put(CATALOG, "<< /Type /Catalog /Pages 2 0 R >>")
    return book.bytes()


def locked(password: str = "carmine", how: str = "RC4-128") -> bytes:
    """A file that asks for a password; ``how`` as in ``encrypted``."""
    return encrypted(good(False), user=password, how=how)


def encrypted(data: bytes, user: str = "", owner: str = "seam ripper", how: str = "AES-256") -> bytes:
    """The same file encrypted: "RC4-128" by pypdf, "RC4-40", "AES-128", "AES-256" by pikepdf."""
    out = io.BytesIO()
    if how == "RC4-128":
        pypdf = pytest.importorskip("pypdf")
        writer = pypdf.PdfWriter()
        # What the catalog says about layers must come along.
        writer.clone_document_from_reader(pypdf.PdfReader(io.BytesIO(data)))
        writer.encrypt(user, owner, use_128bit=True)
        writer.write(out)
        return out.getvalue()
    pikepdf = pytest.importorskip("pikepdf")
    level = {"RC4-40": 2, "AES-128": 4, "AES-256": 6}[how]
    more = {"aes": level >= 4, "metadata": level >= 4}
    with pikepdf.open(io.BytesIO(data)) as document:
        document.save(out, encryption=pikepdf.Encryption(owner=owner, user=user, R=level, **more))
    return out.getvalue()


def picture_file() -> bytes:
    """A PNG of one pixel (PNG specification, chunk layout)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(name + data) & 0xFFFFFFFF)
        return struct.pack(">I", len(data)) + name + data + check

    head = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    parts = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0\0")) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + parts


def noise() -> bytes:
    """A header and then nothing that makes sense."""
    return b"%PDF-1.7\n" + random.Random(7).getrandbits(8 * 20000).to_bytes(20000, "big")


def kids_in_a_circle() -> bytes:
    """A page tree that is its own child."""
    book = Book()
    book.put(PAGES, "<< /Type /Pages /Kids [2 0 R 2 0 R] /Count 2 >>")
    book.put(CATALOG, "<< /Type /Catalog /Pages 2 0 R >>")
    return book.bytes()


REFUSED: Dict[str, Callable[[], bytes]] = {
    "empty": lambda: b"",
    "a picture": picture_file,
    "a drawing": lambda: b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M 0,0 L 9,9"/></svg>',
    "text": lambda: b"Trim here, then glue page 2.\n" * 400,
    "noise": noise,
    "only the header": lambda: b"%PDF-1.7\n",
    "scanned": scanned,
    "only words": only_words,
    "no pages": no_pages,
    "kids in a circle": kids_in_a_circle,
    "password, RC4": locked,
    "password, AES-128": lambda: locked(how="AES-128"),
    "password, AES-256": lambda: locked(how="AES-256"),
}


# -- Damaged ------------------------------------------------------------------------------


def truncated(share: float) -> bytes:
    """The first part of a file, as a broken download leaves it."""
    data = good()
    return data[: int(len(data) * share)]


def garbage_table() -> bytes:
    """The cross-reference table points into nowhere."""
    data = good()
    head, table = data.split(b"xref\n", 1)
    digits = random.Random(3)
    lines = table.split(b"\n")
    for number, line in enumerate(lines):
        if line.endswith(b" n "):
            lines[number] = b"%010d 00000 n " % digits.randrange(10**9)
    return head + b"xref\n" + b"\n".join(lines)


def no_table() -> bytes:
    """The table and the trailer are gone."""
    return good().split(b"xref\n")[0]


def wrong_lengths() -> bytes:
    """Every stream says that it is seven bytes long."""
    made = write(single(scene()).printed, compress=False)
    parts = made.split(b"/Length ")
    fixed = [parts[0]]
    for part in parts[1:]:
        digits = len(part) - len(part.lstrip(b"0123456789"))
        fixed.append(b"7".rjust(digits) + part[digits:])
    return b"/Length ".join(fixed)


def spoiled_stream() -> bytes:
    """One page's packed content is overwritten in its middle."""
    data = bytearray(good())
    places, at = [], data.find(b"stream\n")
    while at >= 0:
        places.append(at)
        at = data.find(b"\nstream\n", at + 1)
    middle = places[2] + 200
    data[middle : middle + 40] = bytes(range(200, 240))
    return bytes(data)


def odd_operands() -> bytes:
    """Operators with too few, too many and impossible operands between two sound lines."""
    nonsense = (
        b"/Name 5 m (x) l 1 c 1 2 3 4 5 c re 1e999 5 m 5 -- 7 l 0 0 0 0 0 0 cm 1 2 m 3 4 l S "
        b"[(a) /b] 0 d -3 w [-1 2] 0 d 5 5 m 9 9 l S Q Q Q EMC ET 9 BDC /Nope gs /Nope Do "
        b"/Nope sh 99999999999999999999999999 0 m 1 1 l S BI /W 9 ID xx EI <zz> Tj (un(closed"
    )
    return around(b"10 10 m 90 90 l S " + nonsense)


def swapped_boxes() -> bytes:
    """The media box has its corners swapped, which the standard allows (7.9.5)."""
    return around(b"10 10 m 90 90 l S", page="/MediaBox [595 842 0 0] ")


def bad_boxes(box: str) -> bytes:
    """A page whose media box makes no sense."""
    return around(b"10 10 m 90 90 l S", page="/MediaBox {} ".format(box))


DAMAGED: Dict[str, Callable[[], bytes]] = {
    "truncated at 30 %": lambda: truncated(0.3),
    "truncated at 60 %": lambda: truncated(0.6),
    "truncated at 95 %": lambda: truncated(0.95),
    "garbage table": garbage_table,
    "no table": no_table,
    "wrong lengths": wrong_lengths,
    "spoiled stream": spoiled_stream,
    "odd operands": odd_operands,
    "box of nothing": lambda: bad_boxes("[0 0 0 0]"),
    "box of words": lambda: bad_boxes("[/a /b (c) null]"),
    "box of three": lambda: bad_boxes("[0 0 595]"),
    "box without end": lambda: bad_boxes("[0 0 1e30 1e30]"),
    "text before the header": lambda: b"Delivered-To: wardrobe\r\n\r\n" + good(),
    "text after the end": lambda: good() + b"\r\n-- \r\nsent with care\r\n" * 40,
}


# -- Strange ------------------------------------------------------------------------------


def huge_page() -> bytes:
    """A page of 57,000 points, four times what one viewer allows, with the small sheet on it."""
    made = single(scene())
    (page,) = made.printed.pages
    return write(Printed((page._replace(width=57000 * 25.4 / 72, height=57000 * 25.4 / 72),)))


def mixed_scales(page: int = 4, factor: float = 0.97) -> Printed:
    """Tiles of which one was printed smaller."""
    return tiled(scene(), scaled={page: factor}).printed


def two_patterns() -> Printed:
    """Tiles of one pattern, then tiles of another in another style."""
    first = tiled(scene(), labels="1").printed.pages
    second = tiled(scene(told_by="colours", sizes=3), overlap=10.0, labels="1").printed.pages
    pages: List[Page] = [
        page._replace(number=number, label=str(number)) for number, page in enumerate(first + second, 1)
    ]
    return Printed(tuple(pages), total=len(pages))


def unlike_pages() -> Printed:
    """A5, A4 and A3 pages in one file, a line on each."""
    pages = []
    for number, (width, height) in enumerate(((148.0, 210.0), (210.0, 297.0), (297.0, 420.0)), 1):
        line = Path.through([(10.0, 10.0), (width - 10.0, height - 10.0)])
        drawn = Drawn(line.curves, (0,), (False,), Style("#000000", 0.5))
        pages.append(Page(number, width, height, 0, (drawn,), label=str(number)))
    return Printed(tuple(pages), total=3)


def inline_picture() -> bytes:
    """A picture inside the content whose bytes look like operators, then a line (8.9.7)."""
    picture = b"BI /W 8 /H 4 /BPC 8 /CS /G ID " + b" EI 0 0 m 9 S Q " * 2 + b"\nEI\n"
    return around(b"q 80 0 0 40 0 0 cm " + picture + b"Q 10 10 m 90 90 l S")


STRANGE: Dict[str, Callable[[], bytes]] = {
    "huge page": huge_page,
    "mixed scales": lambda: write(mixed_scales()),
    "two patterns": lambda: write(two_patterns()),
    "unlike pages": lambda: write(unlike_pages()),
    "swapped boxes": swapped_boxes,
    "inline picture": inline_picture,
    "empty password, RC4-40": lambda: encrypted(good(), how="RC4-40"),
    "empty password, RC4-128": lambda: encrypted(good(), how="RC4-128"),
    "empty password, AES-128": lambda: encrypted(good(), how="AES-128"),
    "empty password, AES-256": lambda: encrypted(good(), how="AES-256"),
}
