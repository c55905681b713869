"""Small files that want to fill memory or time.

BOMBS[name]()      bytes; must be refused, or read within bounds
"""

import struct
import zlib
from typing import Callable, Dict, Optional

from tests.pdfs.bad import A4_BOX, around, finish
from tests.pdfs.written import CATALOG, PAGES, Book

GIGABYTE = 1 << 30


def zeros(length: int = GIGABYTE) -> bytes:
    """So many zero bytes, packed as a whole zlib stream, without ever having them at hand.

    A full flush makes a block that may be repeated; the checksum of n zeros is closed:
    Adler-32 has a = 1 and b = n mod 65521 (RFC 1950, section 9).
    """
    block = 1 << 24
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    once = packer.compress(bytes(block)) + packer.flush(zlib.Z_FULL_FLUSH)
    end = b"\x03\x00"  # an empty last block
    check = struct.pack(">I", ((length % 65521) << 16) | 1)
    return b"\x78\xda" + once * (length // block) + end + check


def zip_bomb() -> bytes:
    """A page's content unpacks to a gigabyte of nothing."""
    return around(zeros(), filters="/Filter /FlateDecode")


def nested_zip_bomb(layers: int = 3) -> bytes:
    """The same, packed again and again: a few thousand bytes."""
    data = zeros()
    for _ in range(layers - 1):
        data = zlib.compress(data, 9)
    return around(data, filters="/Filter [{}]".format("/FlateDecode " * layers))


def filter_tower() -> bytes:
    """Two hundred filters around two strokes."""
    data = b"10 10 m 90 90 l S 10 90 m 90 10 l S"
    for _ in range(200):
        data = zlib.compress(data)
    return around(data, filters="/Filter [{}]".format("/FlateDecode " * 200))


def predictor_bomb() -> bytes:
    """A predictor with rows of two thousand million columns."""
    more = "/DecodeParms << /Predictor 12 /Columns 2000000000 /Colors 32 /BitsPerComponent 16 >>"
    return around(zlib.compress(b"0 0 m 9 9 l S"), filters="/Filter /FlateDecode " + more)


def own_form() -> bytes:
    """A form that shows itself."""
    book = Book()
    form = book.add("")
    head = "/Type /XObject /Subtype /Form /BBox [0 0 99 99] /Resources << /XObject << /A {} 0 R >> >>"
    book.put(form, head.format(form), b"0 0 m 90 90 l S /A Do")
    return finish(book, book.add("", b"/A Do"), "/XObject << /A {} 0 R >>".format(form))


def laughing_forms(depth: int = 12, times: int = 10) -> bytes:
    """Forms that each show the next one ten times: a million million strokes."""
    book = Book()
    inner: Optional[int] = None
    for _ in range(depth):
        head = "/Type /XObject /Subtype /Form /BBox [0 0 99 99]"
        content = b"0 0 m 90 90 l S"
        if inner is not None:
            head += " /Resources << /XObject << /A {} 0 R >> >>".format(inner)
            content = b"/A Do " * times
        inner = book.add(head, content)
    return finish(book, book.add("", b"/A Do"), "/XObject << /A {} 0 R >>".format(inner))


def laughing_pages(depth: int = 12, times: int = 10) -> bytes:
    """A page tree whose branches all share their children: a million million pages."""
    book = Book()
    stream = book.add("", b"10 10 m 90 90 l S")
    entry = "<< /Type /Page /Contents {} 0 R /Resources << >> {} >>"
    inner = book.add(entry.format(stream, A4_BOX))
    count = 1
    for _ in range(depth):
        count *= times
        kids = "{} 0 R ".format(inner) * times
        inner = book.add("<< /Type /Pages /Kids [{}] /Count {} >>".format(kids, min(count, 2**31 - 1)))
    book.put(CATALOG, "<< /Type /Catalog /Pages {} 0 R >>".format(inner))
    book.put(PAGES, "<< >>")
    return book.bytes()


def deep_arrays() -> bytes:
    """An operand of a hundred thousand arrays inside each other."""
    return around(b"[" * 100_000 + b"]" * 100_000 + b" 0 d 10 10 m 90 90 l S")


def deep_objects() -> bytes:
    """Resources of fifty thousand dictionaries inside each other."""
    deep = "/A <<" * 50_000 + ">>" * 50_000
    return around(b"10 10 m 90 90 l S", resources=deep)


def deep_states() -> bytes:
    """A million saved graphics states and no restore."""
    return around(zlib.compress(b"q " * 1_000_000 + b"10 10 m 90 90 l S"), filters="/Filter /FlateDecode")


def endless_dashes() -> bytes:
    """A rhythm of a millionth of a point along a long line: nobody may walk it dash by dash."""
    return around(b"[0.000001 0.000001] 0 d 0 0 m 500 800 l S [0 0] 0 d 0 0 m 500 0 l S")


def many_operands() -> bytes:
    """Ten million numbers before one operator."""
    return around(zlib.compress(b"1 " * 10_000_000 + b"m 90 90 l S"), filters="/Filter /FlateDecode")


def many_strokes() -> bytes:
    """Twenty million strokes in half a million bytes."""
    content = b"0 0 m 1 1 l S\n" * 100_000
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(content) for _ in range(200)) + packer.flush()
    return around(packed, filters="/Filter /FlateDecode")


BOMBS: Dict[str, Callable[[], bytes]] = {
    "zip bomb": zip_bomb,
    "nested zip bomb": nested_zip_bomb,
    "filter tower": filter_tower,
    "predictor bomb": predictor_bomb,
    "own form": own_form,
    "laughing forms": laughing_forms,
    "laughing pages": laughing_pages,
    "deep arrays": deep_arrays,
    "deep objects": deep_objects,
    "deep states": deep_states,
    "endless dashes": endless_dashes,
    "many operands": many_operands,
    "many strokes": many_strokes,
}
