"""A new table of contents for a PDF that has lost its own.

A broken download ends before its table.  The objects are still there, each with its number
before it; they are looked up in the bytes, and a table is written behind them.
"""

import re
from typing import Callable, Dict, List, Optional

from sewkit.files.pdf_objects import split_objects

# Objects that are looked for; files of a hundred pages have some thousand.
MOST_OBJECTS = 200000
_OBJECT = re.compile(rb"(?<![0-9])([0-9]{1,9})[ \t\r\n]+([0-9]{1,5})[ \t\r\n]+obj\b")
_KIND = re.compile(rb"/Type\s*/(Catalog|Pages|Page|ObjStm|XRef)\b")
_ENTRY = re.compile(rb"/Encrypt\s+[0-9]+\s+[0-9]+\s+R")
_IDENTITY = re.compile(rb"/ID\s*\[[^\]]{0,400}\]")
# How far into an object its kind is looked for.
_HEAD = 4096


def rescued(data: bytes, unpack: Callable[[bytes], bytes]) -> Optional[bytes]:
    """The file with a new table behind it; None where it holds no page at all.

    ``unpack`` undoes the usual packing of a stream, within bounds.
    """
    places: Dict[int, int] = {}
    for found in _OBJECT.finditer(data):
        places[int(found.group(1))] = found.start()
        if len(places) > MOST_OBJECTS:
            return None
    kinds = _kinds(data, places)
    extra = b"\n"
    for number in kinds.get(b"ObjStm", []):
        for inner, body in _inside(data, places[number], unpack).items():
            places[inner] = len(data) + len(extra)
            extra += b"%d 0 obj\n%s\nendobj\n" % (inner, body)
    whole = data + extra
    kinds = _kinds(whole, places)
    pages = kinds.get(b"Page", [])
    if not pages:
        return None
    root = (kinds.get(b"Catalog") or [0])[-1]
    if not root or not kinds.get(b"Pages"):
        root = max(places) + 1
        places[root], places[root + 1] = len(whole), 0
        whole += b"%d 0 obj\n<< /Type /Catalog /Pages %d 0 R >>\nendobj\n" % (root, root + 1)
        places[root + 1] = len(whole)
        kids = b" ".join(b"%d 0 R" % page for page in pages)
        whole += b"%d 0 obj\n<< /Type /Pages /Kids [%s] /Count %d >>\nendobj\n" % (root + 1, kids, len(pages))
    return whole + _table(places, root, _last(_ENTRY, data), _last(_IDENTITY, data), len(whole))


def _kinds(data: bytes, places: Dict[int, int]) -> Dict[bytes, List[int]]:
    kinds: Dict[bytes, List[int]] = {}
    starts = sorted(places.items(), key=lambda pair: pair[1])
    for i, (number, start) in enumerate(starts):
        stop = starts[i + 1][1] if i + 1 < len(starts) else len(data)
        found = _KIND.search(data, start, min(stop, start + _HEAD))
        if found:
            kinds.setdefault(found.group(1), []).append(number)
    return {kind: sorted(numbers) for kind, numbers in kinds.items()}


def _inside(data: bytes, start: int, unpack: Callable[[bytes], bytes]) -> Dict[int, bytes]:
    """Objects that are packed together in one stream (ISO 32000-1, 7.5.7)."""
    begin = data.find(b"stream", start, start + _HEAD)
    if begin < 0:
        return {}
    head = data[start:begin]
    first = re.search(rb"/First\s+([0-9]{1,9})", head)
    stop = data.find(b"endstream", begin)
    body = data[begin + 6 : stop if stop > 0 else len(data)].lstrip(b"\r\n")
    plain = unpack(body) if b"/FlateDecode" in head else body
    if first is None:
        return {}
    return split_objects(plain, int(first.group(1)))


def _last(pattern: "re.Pattern[bytes]", data: bytes) -> bytes:
    found = b""
    for match in pattern.finditer(data):
        found = match.group()
    return found


def _table(places: Dict[int, int], root: int, encrypt: bytes, identity: bytes, start: int) -> bytes:
    parts = [b"xref\n0 1\n0000000000 65535 f \n"]
    for number in sorted(places):
        parts.append(b"%d 1\n%010d 00000 n \n" % (number, places[number]))
    trailer = b"trailer\n<< /Size %d /Root %d 0 R %s %s >>\n" % (max(places) + 1, root, encrypt, identity)
    return b"".join(parts) + trailer + b"startxref\n%d\n%%%%EOF\n" % start
