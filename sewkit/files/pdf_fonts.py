"""What the codes of a PDF's font say, and how wide they are.

A font tells its letters by a table to Unicode, by an encoding with named differences, or
not at all; then its text is left out, for a wrong word is worse than none.
"""

import re
import unicodedata
from typing import Dict, List, NamedTuple, Optional, Tuple

from sewkit.files.pdf_file import Pdf, number_or
from sewkit.files.pdf_glyphs import encoding, letter_of, standard_widths

# Entries of one table to Unicode: more than a font can have codes is damage.
MOST_ENTRIES = 70000
_HEX = rb"<([0-9A-Fa-f\s]*)>"
_SECTION = re.compile(
    rb"begin(codespacerange|bfchar|bfrange|cidchar|cidrange)(.*?)end(?:codespacerange|bfchar|bfrange|cidchar|cidrange)",
    re.DOTALL,
)
_PAIR = re.compile(_HEX + rb"\s*" + _HEX)
_SPAN = re.compile(_HEX + rb"\s*" + _HEX + rb"\s*(?:" + _HEX + rb"|\[([^\]]*)\]|([0-9]+))")
_CID = re.compile(_HEX + rb"\s*([0-9]+)")
_ONE = re.compile(_HEX)
# Names of ready-made tables that are plain text encodings, and Python's names for them.
_READY = (("UCS2", "utf-16-be"), ("UTF16", "utf-16-be"), ("RKSJ", "cp932"), ("GBK", "gbk"), ("B5", "big5"))


class Font:
    """Reads strings of one font."""

    def __init__(
        self,
        letters: Dict[int, str],
        widths: Dict[int, float],
        usual: float,
        lengths: Tuple[int, ...] = (1,),
        spaces: Optional[List[Tuple[int, int, int]]] = None,
        codec: str = "",
    ) -> None:
        self.letters, self.widths, self.usual = letters, widths, usual
        self.lengths, self.spaces, self.codec = lengths, spaces or [], codec
        self._known: Dict[bytes, Tuple[str, float, int, int]] = {}

    def read(self, raw: bytes) -> Tuple[str, float, int, int]:
        """The text of a string, its width in sizes of the font, count of its letters and of blanks."""
        found = self._known.get(raw)
        if found is None:
            found = self._read(raw)
            if len(self._known) < MOST_ENTRIES and len(raw) < 64:
                self._known[raw] = found
        return found

    def _read(self, raw: bytes) -> Tuple[str, float, int, int]:
        codes = list(raw) if self.lengths == (1,) else self._codes(raw)
        widths, usual = self.widths, self.usual
        ems = sum([widths.get(code, usual) for code in codes])
        blanks = raw.count(b" ") if self.lengths == (1,) else 0
        if self.codec:
            words = raw.decode(self.codec, "ignore")
        else:
            words = "".join([self.letters.get(code, "") for code in codes])
        return _shown(words), ems, len(codes), blanks

    def _codes(self, raw: bytes) -> List[int]:
        """Codes of two bytes, or of as many as the font's own table says."""
        if len(self.lengths) == 1:
            size = self.lengths[0]
            return [int.from_bytes(raw[at : at + size], "big") for at in range(0, len(raw) - size + 1, size)]
        codes, at = [], 0
        while at < len(raw):
            size = self._size(raw, at)
            codes.append(int.from_bytes(raw[at : at + size], "big"))
            at += size
        return codes

    def _size(self, raw: bytes, at: int) -> int:
        for size, low, high in self.spaces:
            if low <= int.from_bytes(raw[at : at + size], "big") <= high:
                return size
        return self.lengths[-1]


class Table(NamedTuple):
    """A character map: letters or glyph numbers by code, and the ranges of its codes."""

    letters: Dict[int, str]
    glyphs: Dict[int, int]
    spaces: List[Tuple[int, int, int]]


def read_font(pdf: Pdf, reference: object) -> Font:
    """A font of the file; one that says nothing where it is missing or spoiled."""
    font = pdf.value(reference)
    if not isinstance(font, dict):
        return Font({}, {}, 0.5)
    stream = pdf.get(font, "/ToUnicode")
    table = read_table(pdf.bytes_of(stream)) if isinstance(stream, dict) else Table({}, {}, [])
    if pdf.get(font, "/Subtype") == "/Type0":
        return _composite(pdf, font, table)
    return _simple(pdf, font, table)


def _simple(pdf: Pdf, font: dict, table: Table) -> Font:  # type: ignore[type-arg]
    letters = dict(enumerate(_encoded(pdf, font)))
    letters.update(table.letters)
    scale = 0.001
    if pdf.get(font, "/Subtype") == "/Type3":
        matrix = pdf.numbers(font, "/FontMatrix")
        scale = abs(matrix[0]) if len(matrix) == 6 else scale
    first = int(number_or(pdf.get(font, "/FirstChar"), 0.0))
    given = pdf.numbers(font, "/Widths")[:256]
    widths = {first + place: width * scale for place, width in enumerate(given)}
    usual = number_or(pdf.get(pdf.get(font, "/FontDescriptor"), "/MissingWidth"), 0.0) * scale
    if not given:
        known = standard_widths(str(pdf.get(font, "/BaseFont") or ""))
        widths = {code: known.get(letter, 556.0) / 1000.0 for code, letter in letters.items() if letter}
        usual = 0.5
    return Font(letters, widths, usual)


def _encoded(pdf: Pdf, font: dict) -> List[str]:  # type: ignore[type-arg]
    given = pdf.get(font, "/Encoding")
    base = str(pdf.get(given, "/BaseEncoding") or "") if isinstance(given, dict) else str(given or "")
    if not base and pdf.get(font, "/Subtype") == "/TrueType":
        base = "/WinAnsiEncoding"
    letters = encoding(base.lstrip("/"))
    code = 0
    for item in pdf.array(given, "/Differences"):
        what = pdf.value(item)
        if isinstance(what, str):
            if 0 <= code < 256:
                letters[code] = letter_of(what.lstrip("/"))
            code += 1
        else:
            code = int(number_or(what, 0.0))
    return letters


def _composite(pdf: Pdf, font: dict, table: Table) -> Font:  # type: ignore[type-arg]
    inner = pdf.value((pdf.array(font, "/DescendantFonts") or [None])[0])
    name = pdf.get(font, "/Encoding")
    usual = number_or(pdf.get(inner, "/DW"), 1000.0) / 1000.0
    by_glyph = _glyph_widths(pdf, pdf.array(inner, "/W"))
    codec = ""
    if isinstance(name, dict):
        map_ = read_table(pdf.bytes_of(name))
        spaces = map_.spaces or table.spaces
        widths = {code: by_glyph[glyph] for code, glyph in map_.glyphs.items() if glyph in by_glyph}
    else:
        spaces, widths = [], by_glyph
        if not table.letters:
            codec = next((codec for part, codec in _READY if part in str(name)), "")
    lengths = tuple(sorted({size for size, _, _ in spaces})) or (2,)
    return Font(table.letters, widths, usual, lengths, spaces, codec)


def _glyph_widths(pdf: Pdf, given: list) -> Dict[int, float]:  # type: ignore[type-arg]
    """``[first [w w w] first last w ...]`` (ISO 32000-1, 9.7.4.3)."""
    widths: Dict[int, float] = {}
    items = [pdf.value(item) for item in given[:MOST_ENTRIES]]
    at = 0
    while at + 1 < len(items):
        first, then = int(number_or(items[at], 0.0)), items[at + 1]
        if isinstance(then, list):
            for place, width in enumerate(then[:MOST_ENTRIES]):
                widths[first + place] = number_or(pdf.value(width), 0.0) / 1000.0
            at += 2
        elif at + 2 < len(items):
            last, width = int(number_or(then, 0.0)), number_or(items[at + 2], 0.0) / 1000.0
            for glyph in range(first, min(last, first + 65535) + 1):
                widths[glyph] = width
            at += 3
        else:
            break
        if len(widths) > MOST_ENTRIES * 2:
            break
    return widths


def read_table(data: bytes) -> Table:
    """A character map stream (Adobe Technical Note 5014); damaged lines are left out."""
    table = Table({}, {}, [])
    for kind, body in _SECTION.findall(data):
        if kind == b"codespacerange":
            for low, high in _PAIR.findall(body):
                low, high = _digits(low), _digits(high)
                if 0 < len(low) == len(high) <= 4:
                    table.spaces.append((len(low), int.from_bytes(low, "big"), int.from_bytes(high, "big")))
        elif kind == b"bfchar":
            for code, letters in _PAIR.findall(body):
                table.letters[int.from_bytes(_digits(code), "big")] = _utf16(_digits(letters))
        elif kind == b"cidchar":
            for code, glyph in _CID.findall(body):
                table.glyphs[int.from_bytes(_digits(code), "big")] = int(glyph[:6])
        else:
            _spans(table, body)
        if len(table.letters) + len(table.glyphs) > MOST_ENTRIES:
            break
    return table


def _spans(table: Table, body: bytes) -> None:
    for low, high, start, several, glyph in _SPAN.findall(body):
        first = int.from_bytes(_digits(low), "big")
        last = min(int.from_bytes(_digits(high), "big"), first + 65535)
        if len(table.letters) + len(table.glyphs) > MOST_ENTRIES:
            return
        if several:
            for place, letters in enumerate(_ONE.findall(several)[: last - first + 1]):
                table.letters[first + place] = _utf16(_digits(letters))
        elif glyph:
            table.glyphs.update((code, int(glyph[:6]) + code - first) for code in range(first, last + 1))
        else:
            letters = _digits(start)
            head, tail = letters[:-2], int.from_bytes(letters[-2:], "big")
            for code in range(first, last + 1):
                table.letters[code] = _utf16(head + (tail + code - first & 0xFFFF).to_bytes(2, "big"))


def _digits(text: bytes) -> bytes:
    digits = b"".join(text.split())[:128].decode("ascii")
    return bytes.fromhex(digits + "0" * (len(digits) % 2))


def _utf16(raw: bytes) -> str:
    return raw.decode("utf-16-be", "ignore") if len(raw) > 1 else raw.decode("latin-1")


def _shown(words: str) -> str:
    """Letters that can be seen, every kind of blank as a plain one, joined letters as single ones."""
    if not words.isascii() and any("\ufb00" <= letter <= "\ufb06" for letter in words):
        words = "".join(unicodedata.normalize("NFKC", x) if "\ufb00" <= x <= "\ufb06" else x for x in words)
    if words.isprintable() and "\u00a0" not in words:
        return words
    words = words.replace("\u00ad", "-")  # in a PDF this hyphen is drawn
    return "".join(letter if letter.isprintable() else " " if letter.isspace() else "" for letter in words)
