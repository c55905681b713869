"""A PDF opened: its objects, its pages, and sentences instead of tracebacks.

pypdf reads the objects.  It is asked only through here, for whatever it raises on a damaged
file must become one sentence, and what it would unpack without bounds is unpacked here.
"""

import decimal
import logging
import pathlib
import re
import sys
from typing import BinaryIO, Dict, List, Optional, Tuple, Union

from sewkit.errors import FileError, InputError, MissingExtra
from sewkit.files.pdf_aes import lend_cipher
from sewkit.files.pdf_filters import MOST_BYTES, Spoiled, TooLarge, unpack
from sewkit.files.pdf_objects import Tired, open_objects
from sewkit.files.pdf_rescue import rescued

Source = Union[str, pathlib.Path, BinaryIO]
# What puts pypdf where every Python that an editor brings can read it.
OLDER_PYPDF = 'pip install "pypdf<6" "typing_extensions<4.14"'
# A file larger than this is a book of pictures, and must fit in memory.
MOST_FILE_BYTES = 512 * 1024 * 1024
# First bytes of what is sold or sent in place of a PDF, as their own standards give them.
_KINDS = (
    (rb"\xff\xd8\xff", "a JPEG picture"),
    (rb"\x89PNG\r\n", "a PNG picture"),
    (rb"PK\x03\x04", "a ZIP archive"),
    (rb"<!doctype html|<html", "a web page"),
    (rb"(?:<\?xml.*?)?<svg\b|<\?xml.*<svg\b", "an SVG drawing"),
)
_DAMAGED_CURE = "Open it in any PDF viewer, print or save it as a new PDF, and bring in that one."


class Pdf:
    """An open PDF.

    Args:
        reader: pypdf's, whose objects are asked for through ``value``.
        name: of the file, for sentences.
        doubts: sentences about damage, in the order found; each only once.
        lost_objects: how many parts could not be read.
    """

    def __init__(self, reader: object, name: str) -> None:
        self.reader = reader
        self.name = name
        self.doubts: List[str] = []
        self.lost_objects = 0

    def value(self, thing: object) -> object:
        """A thing with its reference followed; None where it is null, missing or spoiled."""
        from pypdf.generic import IndirectObject, NullObject

        for _ in range(8):
            if not isinstance(thing, IndirectObject):
                break
            try:
                thing = self.reader.get_object(thing)  # type: ignore[attr-defined]
            except (TooLarge, MemoryError):
                raise
            except Tired as error:
                raise _damaged(self.name, "its objects cannot be told apart") from error
            except Exception as error:
                _raise_for_missing_cipher(error, self.name)
                self.lost_objects += 1
                return None
        return None if isinstance(thing, (NullObject, IndirectObject)) else thing

    def get(self, dictionary: object, *keys: str) -> object:
        """The value under the first of the keys that is there; None where there is none."""
        if isinstance(dictionary, dict):
            for key in keys:
                found = self.value(dictionary.get(key))
                if found is not None:
                    return found
        return None

    def table(self, dictionary: object, *keys: str) -> dict:  # type: ignore[type-arg]
        """As ``get``; an empty dictionary where there is none."""
        found = self.get(dictionary, *keys)
        return found if isinstance(found, dict) else {}

    def array(self, dictionary: object, *keys: str) -> list:  # type: ignore[type-arg]
        """As ``get``; an empty list where there is none, references not yet followed."""
        found = self.get(dictionary, *keys)
        return found if isinstance(found, list) else []

    def numbers(self, dictionary: object, *keys: str) -> List[float]:
        """The numbers of an array; others in it count as 0."""
        return [number_or(self.value(item), 0.0) for item in self.array(dictionary, *keys)]

    def bytes_of(self, stream: object) -> bytes:
        """What a stream holds, unpacked within bounds; b"" where nothing can be had."""
        raw = getattr(stream, "_data", None)
        if not isinstance(stream, dict) or raw is None:
            return b""
        if isinstance(raw, str):
            raw = raw.encode("latin-1", "replace")
        try:
            data, sound = unpack(bytes(raw), self._filters(stream))
        except Spoiled:
            self.doubt("A damaged part of the file could not be unpacked; what it held is missing here.")
            return b""
        if not sound:
            self.doubt(
                "A part of the file is damaged or cut short; some of what it held may be missing here."
            )
        return data

    def _filters(self, stream: object) -> List[Tuple[str, Dict[str, int]]]:
        names = self.get(stream, "/Filter", "/F")
        options = self.get(stream, "/DecodeParms", "/DP")
        names = names if isinstance(names, list) else [names] if names is not None else []
        options = options if isinstance(options, list) else [options]
        found = []
        for place, name in enumerate(names):
            given = self.value(options[place]) if place < len(options) else None
            values = {}
            for key in given if isinstance(given, dict) else ():
                number = self.get(given, key)
                if isinstance(number, (int, float)):
                    values[str(key)[1:]] = int(number)
            found.append((str(self.value(name))[1:], values))
        return found

    def doubt(self, sentence: str) -> None:
        """Note damage, once."""
        if sentence not in self.doubts:
            self.doubts.append(sentence)


def number_or(value: object, otherwise: float) -> float:
    """A finite number as float, or something else for anything else."""
    # Old releases of pypdf give decimal numbers.
    if isinstance(value, (int, float, decimal.Decimal)) and not isinstance(value, bool):
        try:
            number = float(value)
        except (OverflowError, ValueError):
            return otherwise
        return number if abs(number) < 1e12 else otherwise
    return otherwise


def key_of(thing: object) -> object:
    """What tells one object of the file from another: its number, else the object itself."""
    number = getattr(thing, "idnum", None)
    if number is None:
        reference = getattr(thing, "indirect_reference", None)
        number = getattr(reference, "idnum", None)
    return number if number is not None else ("direct", id(thing))


def open_pdf(source: Source) -> Pdf:
    """Open a PDF; raises one sentence where it is none, is damaged beyond use, or is locked."""
    name, data = _whole(source)
    start = data[:2048].find(b"%PDF-")
    if start < 0:
        raise _no_pdf(name, data)
    _refuse_bombs(data)
    return _opened(data, name)


def _no_pdf(name: str, data: bytes) -> FileError:
    """What the file is instead, where its first bytes tell."""
    start = data[:1024].lstrip(b"\xef\xbb\xbf \t\r\n")
    kinds = [kind for first, kind in _KINDS if re.match(first, start, re.IGNORECASE | re.DOTALL)]
    inside = " ({})".format(kinds[0]) if kinds else ""
    if not start:
        return FileError("{} is not a PDF: it is empty.".format(name), "Ask for the PDF again.", "not-a-pdf")
    if name.lower().endswith(".pdf'"):
        what = "{} is not a PDF: it is called .pdf but holds something else{}.".format(name, inside)
        return FileError(what, "Ask for the PDF again.", code="not-a-pdf")
    what = "{} is not a PDF but something else{}.".format(name, inside)
    return FileError(what, "Choose the file that ends in .pdf.", code="not-a-pdf")


def _whole(source: Source) -> Tuple[str, bytes]:
    if hasattr(source, "read"):
        data = source.read(MOST_FILE_BYTES + 1)  # type: ignore[union-attr]
        name = pathlib.Path(str(getattr(source, "name", "") or "")).name
    else:
        path = pathlib.Path(str(source))
        name = path.name
        try:
            with path.open("rb") as stream:
                data = stream.read(MOST_FILE_BYTES + 1)
        except OSError as error:
            reason = (error.strerror or "it cannot be opened").lower()
            raise FileError("Cannot read '{}': {}.".format(name, reason), code="file") from error
    name = "'{}'".format(name) if name else "This file"
    if not isinstance(data, bytes):
        raise TypeError("a PDF is read from a binary stream")
    if len(data) > MOST_FILE_BYTES:
        raise TooLarge()
    return name, data


def _refuse_bombs(data: bytes) -> None:
    """Look at the file's own tables before pypdf, which in old releases unpacks without end."""
    import zlib

    for found in re.finditer(rb"/XRef\b", data):
        start = data.find(b"stream", found.end(), found.end() + 4096)
        if start < 0:
            continue
        machine = zlib.decompressobj()
        left, part = MOST_BYTES, data[start + 6 : start + 6 + 4 * 1024 * 1024].lstrip(b"\r\n")
        try:
            while part and left > 0 and not machine.eof:
                left -= len(machine.decompress(part, 1024 * 1024))
                part = machine.unconsumed_tail
        except zlib.error:
            continue
        if left <= 0:
            raise TooLarge()


def _opened(data: bytes, name: str) -> Pdf:
    try:
        import pypdf  # noqa: F401
    except (ImportError, AttributeError, SyntaxError, TypeError) as error:
        if isinstance(error, ImportError) and error.name == "pypdf":
            raise MissingExtra("Reading a PDF", "pdf") from error
        # Bundled with another Python in mind, it fails while it is loaded.
        raise FileError(
            "The pypdf that goes along here is made for another Python than this one ({}.{}).".format(
                *sys.version_info[:2]
            ),
            "Make the zip anew where  {}  was done, or run the import on the command line.".format(
                OLDER_PYPDF
            ),
            code="pypdf",
        ) from None

    try:
        lend_cipher()
    except (ImportError, AttributeError):
        pass  # a pypdf that is made otherwise inside: it says itself what it lacks
    log = logging.getLogger("pypdf")
    if not log.handlers:
        log.addHandler(logging.NullHandler())  # what it notes about damage is told as ours, in plain words
    pdf = _tried(data, name)
    if pdf is None:
        mended = rescued(data, lambda packed: unpack(packed, [("FlateDecode", {})])[0])
        pdf = None if mended is None else _tried(mended, name)
        if pdf is None:
            raise _damaged(name, "its table of contents cannot be read")
        pdf.doubt("The file is damaged or cut short; pages or lines may be missing.")
    return pdf


def _tried(data: bytes, name: str) -> Optional[Pdf]:
    """The file opened, with an empty password where it wants one; None where it is damaged."""
    holder = Pdf(None, name)
    holder.value = lambda thing: thing.get_object() if hasattr(thing, "get_object") else thing  # type: ignore
    try:
        reader = open_objects(data, holder.bytes_of)
        locked = reader.is_encrypted and not reader.decrypt("")  # type: ignore[attr-defined]
        pdf = Pdf(reader, name)
        if not locked and not pdf.table(pdf.table(reader.trailer, "/Root"), "/Pages"):
            return None
    except (TooLarge, MemoryError):
        raise
    except (Exception, Tired) as error:
        _raise_for_missing_cipher(error, name)
        return None
    if locked:
        raise InputError(
            "{} is locked with a password.".format(name),
            "Open it in a PDF viewer with the password the maker gave you, save a copy without one, "
            "and bring in that.",
            code="pdf-password",
        )
    return pdf


def _damaged(name: str, how: str) -> FileError:
    return FileError("{} is damaged: {}.".format(name, how), _DAMAGED_CURE, code="pdf-damaged")


def _raise_for_missing_cipher(error: BaseException, name: str) -> None:
    """pypdf leaves the newer cipher to another package."""
    from pypdf.errors import DependencyError

    if isinstance(error, DependencyError):
        raise FileError(
            "{} is encrypted in a way that needs one more Python package to read.".format(name),
            "Run  pip install cryptography  and try again.",
            code="pdf-cipher",
        ) from error
