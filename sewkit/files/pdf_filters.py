"""The packing of a PDF's streams, undone within bounds.

A few thousand bytes can be packed so that they unpack to many gigabytes.  Every step here
stops at a limit that is far above what drawings need and far below what hurts.
"""

import base64
import binascii
import re
import zlib
from typing import Callable, Dict, List, Optional, Tuple

import numpy as np

from sewkit.errors import FileError

# Bytes of one unpacked stream.  Forty dense pages of a pattern have 3 MB; five million
# strokes, the other limit, fit in this.  Twice as much would still be safe on a small machine.
MOST_BYTES = 96 * 1024 * 1024
# Packings inside each other; files have one or two.
MOST_FILTERS = 6


class TooLarge(FileError):
    """A stream that unpacks to more than any drawing needs."""

    def __init__(self) -> None:
        super().__init__(
            "A part of this PDF unpacks to more than {} MB, which no drawing needs; it is refused so "
            "that it cannot fill this computer's memory.".format(MOST_BYTES // 1024 // 1024),
            "Ask the maker for another copy.",
            code="pdf-too-large",
        )


class Spoiled(Exception):
    """A stream that cannot be unpacked at all."""


def unpack(
    data: bytes, filters: List[Tuple[str, Dict[str, int]]], limit: int = MOST_BYTES
) -> Tuple[bytes, bool]:
    """Undo the filters in order: the plain bytes, and whether all of it was sound.

    A damaged end is left off.  Raises ``TooLarge`` beyond ``limit`` and ``Spoiled`` where
    nothing can be had, or where the filter is one for photographs.
    """
    if len(filters) > MOST_FILTERS:
        raise Spoiled("too many filters")
    sound = True
    for name, options in filters:
        work = _FILTERS.get(name)
        if work is None:
            raise Spoiled(name)
        data, well = work(data, options, limit)
        sound = sound and well
        if len(data) > limit:
            raise TooLarge()
    return data, sound


def _flate(data: bytes, options: Dict[str, int], limit: int) -> Tuple[bytes, bool]:
    best, sound = _inflate(data, zlib.MAX_WBITS, limit)
    if not best and not sound:  # perhaps only the two bytes of heading are spoiled
        best, sound = _inflate(data[2:], -zlib.MAX_WBITS, limit)[0], False
    if not best and not sound and data.strip():
        raise Spoiled("Flate")
    return _unpredict(best, options), sound


def _inflate(data: bytes, bits: int, limit: int) -> Tuple[bytes, bool]:
    machine = zlib.decompressobj(bits)
    parts, size, step = [], 0, 64 * 1024
    while data and not machine.eof:
        before = machine.copy()
        try:
            part = machine.decompress(data, step)
        except zlib.error:
            return b"".join(parts) + _until_fault(before, data), False
        size += len(part)
        if size > limit:
            raise TooLarge()
        parts.append(part)
        if not part and len(machine.unconsumed_tail) == len(data):
            break
        data = machine.unconsumed_tail
    if not machine.eof:
        parts.append(machine.flush())
    return b"".join(parts), machine.eof


def _until_fault(machine: "zlib._Decompress", data: bytes) -> bytes:
    """What comes before a fault, byte by byte: zlib drops all output of a call that fails."""
    parts = []
    try:
        for at in range(len(data)):
            parts.append(machine.decompress(data[at : at + 1]))
    except zlib.error:
        pass
    return b"".join(parts)


def _unpredict(data: bytes, options: Dict[str, int]) -> bytes:
    """Undo the differences that were taken before packing (PNG's and TIFF's ways, 8 bits)."""
    kind = options.get("Predictor", 1)
    if kind < 2:
        return data
    colours, bits = options.get("Colors", 1), options.get("BitsPerComponent", 8)
    columns = options.get("Columns", 1)
    if not (0 < colours <= 64 and 0 < bits <= 16 and 0 < columns <= 1 << 20):
        raise Spoiled("Predictor")
    step = max(1, colours * bits // 8)
    width = (colours * bits * columns + 7) // 8
    if kind == 2:
        return _sums(data, width, step)
    rows, above = [], bytearray(width)
    for at in range(0, len(data), width + 1):
        row = bytearray(data[at + 1 : at + 1 + width])
        row += bytes(width - len(row))
        above = _png_row(data[at], row, above, step)
        rows.append(bytes(above))
    return b"".join(rows)


def _sums(data: bytes, width: int, step: int) -> bytes:
    whole = len(data) // width * width
    if whole == 0 or width % step:
        return data
    rows = np.frombuffer(data[:whole], np.uint8).reshape(-1, width // step, step)
    return np.cumsum(rows, axis=1, dtype=np.uint8).tobytes() + data[whole:]


def _png_row(kind: int, row: bytearray, above: bytearray, step: int) -> bytearray:
    """One row from its differences; the five ways are those of the PNG specification, section 9."""
    if kind == 2:
        return bytearray(((np.array(row, np.uint16) + np.array(above, np.uint16)) & 255).astype(np.uint8))
    if kind in (1, 3, 4):
        for i in range(len(row)):
            left = row[i - step] if i >= step else 0
            corner = above[i - step] if i >= step else 0
            if kind == 1:
                guess = left
            elif kind == 3:
                guess = (left + above[i]) // 2
            else:
                guess = _nearest(left, above[i], corner)
            row[i] = (row[i] + guess) & 255
    return row


def _nearest(left: int, up: int, corner: int) -> int:
    aim = left + up - corner
    return min((left, up, corner), key=lambda value: abs(aim - value))


def _hex(data: bytes, options: Dict[str, int], limit: int) -> Tuple[bytes, bool]:
    digits = re.sub(rb"[^0-9A-Fa-f]", b"", data.split(b">")[0])
    return binascii.unhexlify(digits + b"0" * (len(digits) % 2)), b">" in data


def _ascii85(data: bytes, options: Dict[str, int], limit: int) -> Tuple[bytes, bool]:
    body = data.strip()
    body = body[2:] if body.startswith(b"<~") else body
    body, end, _ = body.partition(b"~")
    body = re.sub(rb"[^!-uz]", b"", body)
    if len(body) * 4 > limit:
        raise TooLarge()
    try:
        return base64.a85decode(body), bool(end)
    except ValueError as error:
        raise Spoiled("ASCII85") from error


def _run_length(data: bytes, options: Dict[str, int], limit: int) -> Tuple[bytes, bool]:
    parts, size, at = [], 0, 0
    while at < len(data):
        count = data[at]
        if count == 128:
            return b"".join(parts), True
        if count < 128:
            part = data[at + 1 : at + 2 + count]
            at += 2 + count
        else:
            part = data[at + 1 : at + 2] * (257 - count)
            at += 2
        parts.append(part)
        size += len(part)
        if size > limit:
            raise TooLarge()
    return b"".join(parts), False


def _lzw(data: bytes, options: Dict[str, int], limit: int) -> Tuple[bytes, bool]:
    """The variable-length code of TIFF: 9 to 12 bits, 256 clears the table, 257 ends."""
    early = options.get("EarlyChange", 1)
    table: List[bytes] = []
    parts: List[bytes] = []
    held, count, width, size, before, sound = 0, 0, 9, 0, b"", False
    for byte in data:
        held, count = (held << 8 | byte) & 0xFFFFFF, count + 8
        if count < width:
            continue
        count -= width
        code = held >> count & ((1 << width) - 1)
        if code == 256:
            table, width, before = [], 9, b""
            continue
        if code == 257:
            sound = True
            break
        found = _lzw_entry(code, table, before)
        if found is None:
            break
        if before and len(table) < 4096 - 258:
            table.append(before + found[:1])
        before = found
        parts.append(found)
        size += len(found)
        if size > limit:
            raise TooLarge()
        width = max(9, min(12, (len(table) + 258 + early).bit_length()))
    return _unpredict(b"".join(parts), options), sound


def _lzw_entry(code: int, table: List[bytes], before: bytes) -> Optional[bytes]:
    if code < 256:
        return bytes([code])
    if code - 258 < len(table):
        return table[code - 258]
    return before + before[:1] if before and code - 258 == len(table) else None


def _as_is(data: bytes, options: Dict[str, int], limit: int) -> Tuple[bytes, bool]:
    return data, True


_FILTERS: Dict[str, Callable[[bytes, Dict[str, int], int], Tuple[bytes, bool]]] = {
    "FlateDecode": _flate,
    "Fl": _flate,
    "LZWDecode": _lzw,
    "LZW": _lzw,
    "ASCIIHexDecode": _hex,
    "AHx": _hex,
    "ASCII85Decode": _ascii85,
    "A85": _ascii85,
    "RunLengthDecode": _run_length,
    "RL": _run_length,
    "Crypt": _as_is,
}
