"""The bytes of a PDF file from its objects (ISO 32000-1, 7.5).

    body = Body()
    pages = body.reserve()
    sheet = body.stream(b"...")
    body.put(pages, "<< /Type /Pages ... >>")
    data = body.file(catalog, information)

Whatever is no stream goes together into one compressed stream, and the table of where
everything stands is one too.  Nothing in the file comes from a clock.
"""

import hashlib
import zlib
from typing import Dict, List, Tuple

# 1.5 is the first with compressed objects and layers, 1.6 with pages in units of their own.
_HEAD = b"%PDF-1.6\n%\xe2\xe3\xcf\xd3\n"
_SMALLEST = 9  # zlib's hardest work; a file has some hundred kilobytes at most


class Body:
    """The objects of a file, numbered from 1 as they are added."""

    def __init__(self) -> None:
        self._plain: Dict[int, bytes] = {}
        self._streams: Dict[int, Tuple[str, bytes]] = {}
        self._count = 0

    def reserve(self) -> int:
        """The number of an object that is given later by ``put``."""
        self._count += 1
        return self._count

    def put(self, number: int, text: str) -> None:
        """Give a reserved object: PDF text."""
        self._plain[number] = text.encode("latin-1")

    def add(self, text: str) -> int:
        """Add an object; gives its number."""
        number = self.reserve()
        self.put(number, text)
        return number

    def stream(self, data: bytes, entries: str = "") -> int:
        """Add a stream, compressed; ``entries``: what its dictionary holds besides."""
        number = self.reserve()
        self._streams[number] = (entries, data)
        return number

    def file(self, catalog: int, information: int) -> bytes:
        """The whole file; ``catalog`` and ``information`` are the numbers of those objects."""
        parts: List[bytes] = [_HEAD]
        at = len(_HEAD)
        places: Dict[int, Tuple[int, int, int]] = {0: (0, 0, 255)}
        together = self.reserve()
        self._streams[together] = self._together()
        for place, number in enumerate(sorted(self._plain)):
            places[number] = (2, together, place)
        for number in sorted(self._streams):
            places[number] = (1, at, 0)
            parts.append(_stream(number, *self._streams[number]))
            at += len(parts[-1])
        mark = hashlib.sha256(b"".join(parts)).hexdigest()[:32]
        table = self.reserve()
        places[table] = (1, at, 0)
        entries = "/Type /XRef /Size {} /Root {} 0 R /Info {} 0 R /ID [<{}> <{}>] ".format(
            table + 1, catalog, information, mark, mark
        )
        widths = (1, _bytes_for(at), max(1, _bytes_for(len(self._plain))))
        entries += "/W [{} {} {}]".format(*widths)
        rows = (zip(places[number], widths) for number in range(table + 1))
        data = b"".join(value.to_bytes(width, "big") for row in rows for value, width in row)
        parts.append(_stream(table, entries, data))
        parts.append(b"startxref\n%d\n%%%%EOF\n" % at)
        return b"".join(parts)

    def _together(self) -> Tuple[str, bytes]:
        """All plain objects as one stream (7.5.7): their numbers and places, then they themselves."""
        heads, texts, at = [], [], 0
        for number in sorted(self._plain):
            heads.append("{} {}".format(number, at))
            texts.append(self._plain[number])
            at += len(texts[-1]) + 1
        head = (" ".join(heads) + "\n").encode("ascii")
        entries = "/Type /ObjStm /N {} /First {}".format(len(texts), len(head))
        return entries, head + b"\n".join(texts)


def _bytes_for(value: int) -> int:
    return (value.bit_length() + 7) // 8


def _stream(number: int, entries: str, data: bytes) -> bytes:
    packed = zlib.compress(data, _SMALLEST)
    head = "{} 0 obj\n<< {} /Filter /FlateDecode /Length {} >>\nstream\n".format(number, entries, len(packed))
    return head.encode("latin-1") + packed + b"\nendstream\nendobj\n"


def text_string(text: str) -> str:
    """Text for a viewer to show: plain where it can be, else UTF-16 with its mark (7.9.2.2)."""
    if text.isascii() and text.isprintable():
        return "(" + text.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)") + ")"
    return wide_string(text)


def wide_string(text: str) -> str:
    """Text as UTF-16 with its mark, in hexadecimal."""
    return "<FEFF{}>".format(text.encode("utf-16-be", "replace").hex().upper())


def number_text(value: float, decimals: int = 4) -> str:
    """A number as short as it can be said with so many decimals, never with an exponent."""
    text = "{:.{}f}".format(value, decimals)
    if decimals:
        text = text.rstrip("0").rstrip(".")
    if text.startswith("0."):
        return text[1:]
    if text.startswith("-0"):
        return "-" + text[2:] if len(text) > 2 else "0"
    return text
