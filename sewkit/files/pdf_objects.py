"""pypdf's reader of objects, kept within bounds.

Old releases of pypdf, the only ones for old Pythons, go round in circles on some damaged
files and unpack without end.  Here reading gives up after a number of steps that no sound
file needs, and objects that are packed together are unpacked within our own limits.
"""

import io
import re
from typing import Callable, Dict

# Reads that a file may cost: pypdf reads objects byte by byte, once or twice, and streams
# whole.  At the upper bound reading a spoiled file takes some ten seconds.
READS_A_BYTE = 6
MOST_READS = 30000000
_SPARE_READS = 200000


class Tired(BaseException):
    """Reading goes round in circles.

    No plain ``Exception``: pypdf goes on after those, and would go round again.
    """


class PatientStream(io.BytesIO):
    """Bytes that can be read only so often."""

    def __init__(self, data: bytes) -> None:
        super().__init__(data)
        self.left = min(READS_A_BYTE * len(data), MOST_READS) + _SPARE_READS

    def read(self, size: "int | None" = -1) -> bytes:
        """As of any stream, until its patience ends."""
        self.left -= 1
        if self.left < 0:
            raise Tired()
        return super().read(size)


def open_objects(data: bytes, unpacked: Callable[[object], bytes]) -> object:
    """pypdf's reader of a file; ``unpacked`` gives what a stream object holds, within bounds."""
    from pypdf import PdfReader
    from pypdf.generic import IndirectObject, NullObject, read_object

    class Reader(PdfReader):
        """Reads objects that are packed together in one stream in its own way (ISO 32000-1, 7.5.7)."""

        def _get_object_from_stream(self, indirect_reference):  # type: ignore[no-untyped-def]
            number = indirect_reference.idnum
            known = self.__dict__.setdefault("_from_streams", {})
            if number not in known:
                place = self.xref_objStm[number][0]
                packed = self.__dict__.setdefault("_streams", {})
                if place not in packed:
                    packed[place] = {}  # a stream that holds itself ends here
                    packed[place] = packed_objects(IndirectObject(place, 0, self).get_object(), unpacked)
                body = packed[place].get(number)
                found = NullObject() if body is None else read_object(PatientStream(body), self)
                found.indirect_reference = IndirectObject(number, 0, self)
                known[number] = found
            return known[number]

    return Reader(PatientStream(data), strict=False)


def packed_objects(stream: object, unpacked: Callable[[object], bytes]) -> Dict[int, bytes]:
    """The bytes of each object in a stream of objects, by number."""
    first = stream.get("/First", 0) if isinstance(stream, dict) else 0
    first = first.get_object() if hasattr(first, "get_object") else first
    return split_objects(unpacked(stream), int(first) if isinstance(first, int) else 0)


def split_objects(plain: bytes, first: int) -> Dict[int, bytes]:
    """Cut unpacked objects apart: pairs of number and place come first, and places count from ``first``."""
    numbers = [int(word) for word in re.findall(rb"[0-9]{1,9}", plain[: max(0, first)])]
    pairs = list(zip(numbers[::2], numbers[1::2]))
    stops = sorted(at for _, at in pairs) + [len(plain)]
    after = dict(zip(stops, stops[1:]))
    return {
        number: plain[first + at : first + after[at]].lstrip() + b" "
        for number, at in pairs
        if after[at] > at
    }
