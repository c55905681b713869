"""The pages of a PDF: found in their tree, chosen by number, and their boxes and labels."""

import re
from typing import Dict, List, NamedTuple, Sequence, Tuple

from sewkit.errors import FileError, InputError
from sewkit.files.pdf_file import Pdf, key_of, number_or
from sewkit.files.pdf_rescue import MOST_OBJECTS
from sewkit.units import MILLIMETRES

# Pages in one file; a pattern has some hundred at most.
MOST_PAGES = 5000
POINT = MILLIMETRES["pt"]  # mm in a PDF's own unit (ISO 32000-1, 8.3.2.3)
_INHERITED = ("/Resources", "/MediaBox", "/CropBox", "/Rotate")
# What counts when a page does not say how large it is; viewers take US Letter.
_LETTER = [0.0, 0.0, 612.0, 792.0]


class Leaf(NamedTuple):
    """One page of the file: what it says itself, and what it has from the nodes above it."""

    own: dict  # type: ignore[type-arg]
    above: Dict[str, object]

    def get(self, key: str) -> object:
        """An entry of the page, inherited where the page itself has none."""
        found = self.own.get(key)
        return self.above.get(key) if found is None else found


class Frame(NamedTuple):
    """The box of a page that is shown, in the page's own units, and how to see it.

    ``left, low, right, high``; ``scale``: mm in a unit; ``turn``: clockwise, degrees.
    """

    left: float
    low: float
    right: float
    high: float
    scale: float
    turn: int

    @property
    def size(self) -> Tuple[float, float]:
        """Width and height (mm)."""
        return (self.right - self.left) * self.scale, (self.high - self.low) * self.scale

    @property
    def matrix(self) -> Tuple[float, float, float, float, float, float]:
        """From the page's units to mm, y down, from the upper left corner."""
        scale = self.scale
        return scale, 0.0, 0.0, -scale, -self.left * scale, self.high * scale


def find_pages(pdf: Pdf) -> List[Leaf]:
    """All pages in order; from the whole file where its tree of pages is damaged."""
    root = pdf.table(pdf.reader.trailer, "/Root")  # type: ignore[attr-defined]
    pages: List[Leaf] = []
    seen = set()
    stack = [(root.get("/Pages"), {})]
    while stack and len(pages) < MOST_PAGES:
        reference, above = stack.pop()
        node = pdf.value(reference)
        key = key_of(reference)
        if not isinstance(node, dict) or key in seen:
            continue
        seen.add(key)
        kids = pdf.get(node, "/Kids")
        if isinstance(kids, list):
            below = dict(above)
            below.update((name, node[name]) for name in _INHERITED if name in node)
            stack.extend((kid, below) for kid in reversed(kids))
        elif pdf.get(node, "/Type") in ("/Page", None):
            pages.append(Leaf(node, above))
    return pages or _stray_pages(pdf)


def _stray_pages(pdf: Pdf) -> List[Leaf]:
    """Pages that no tree leads to."""
    from pypdf.generic import IndirectObject

    numbers = set()
    for table in list(getattr(pdf.reader, "xref", {}).values()):
        numbers.update(table)
    numbers.update(getattr(pdf.reader, "xref_objStm", {}))
    pages = []
    for number in sorted(numbers)[:MOST_OBJECTS]:
        node = pdf.value(IndirectObject(number, 0, pdf.reader))
        if isinstance(node, dict) and pdf.get(node, "/Type") == "/Page":
            pages.append(Leaf(node, {}))
    if not pages:
        raise FileError(
            "{} has no page that can be read.".format(pdf.name),
            "Open it in any PDF viewer, print or save it as a new PDF, and bring in that one.",
            code="pdf-damaged",
        )
    pdf.doubt("The file's list of pages is damaged; pages are in the order in which they stand in the file.")
    return pages[:MOST_PAGES]


def chosen_pages(wanted: str, total: int) -> List[int]:
    """Page numbers from words as "2-10,14"; all where the words are empty.

    Each page once, in the order of the file.
    """
    if not wanted.strip():
        return list(range(1, total + 1))
    chosen = set()
    for part in re.split(r"[,;]", wanted):
        found = re.match(r"\s*(\d+)?\s*([-–])?\s*(\d+)?\s*$", part)
        first, dash, last = found.groups() if found else (None, None, None)
        if first is None and last is None:
            raise InputError(
                "'{}' is not a page or a range of pages.".format(part.strip()),
                "Write page numbers as 2-10,14.",
                code="pages",
            )
        start = int(first or 1)
        stop = int(last) if last else (total if dash else start)
        if first and last and 1 <= stop < start <= total:
            raise InputError(
                "The pages '{}' are written backwards.".format(part.strip()),
                "Write the smaller number first, as {}-{}.".format(stop, start),
                code="pages",
            )
        if not 1 <= start <= stop <= total:
            raise InputError(
                "There are no pages '{}': the file has {}.".format(part.strip(), _pages(total)),
                "Choose from 1-{}.".format(total),
                code="pages",
            )
        chosen.update(range(start, stop + 1))
    return sorted(chosen)


def _pages(count: int) -> str:
    return "1 page" if count == 1 else "{} pages".format(count)


def frame_of(pdf: Pdf, leaf: Leaf) -> Frame:
    """What a viewer shows of a page: its crop box, within its media box."""
    media = _box(pdf.numbers({"/": leaf.get("/MediaBox")}, "/"))
    if not media:
        pdf.doubt("A page does not say how large it is; it is taken as US Letter, as viewers do.")
        media = _LETTER
    crop = _box(pdf.numbers({"/": leaf.get("/CropBox")}, "/")) or media
    shown = [max(media[0], crop[0]), max(media[1], crop[1]), min(media[2], crop[2]), min(media[3], crop[3])]
    if shown[2] <= shown[0] or shown[3] <= shown[1]:
        shown = list(media)  # a crop box beside the page: viewers take no notice of it
    unit = number_or(pdf.value(leaf.own.get("/UserUnit")), 1.0)
    unit = unit if unit > 0 else 1.0
    turn = number_or(pdf.value(leaf.get("/Rotate")), 0.0)
    return Frame(shown[0], shown[1], shown[2], shown[3], unit * POINT, int(round(turn / 90.0)) % 4 * 90)


def _box(numbers: Sequence[float]) -> List[float]:
    """Left, low, right, high from any two opposite corners; empty where it is no box."""
    if len(numbers) < 4:
        return []
    x0, y0, x1, y1 = numbers[:4]
    box = [min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)]
    return box if box[2] > box[0] and box[3] > box[1] else []


def page_labels(pdf: Pdf, total: int) -> List[str]:
    """The label of each page (ISO 32000-1, 12.4.2); its number where the file has none."""
    root = pdf.table(pdf.reader.trailer, "/Root")  # type: ignore[attr-defined]
    ranges = sorted(_label_ranges(pdf, root.get("/PageLabels")), key=lambda pair: pair[0])
    labels = [str(number) for number in range(1, total + 1)]
    for place, (start, style) in enumerate(ranges):
        stop = ranges[place + 1][0] if place + 1 < len(ranges) else total
        prefix = words_of(pdf.get(style, "/P"))
        kind = str(pdf.get(style, "/S") or "")
        first = int(number_or(pdf.get(style, "/St"), 1.0))
        for page in range(max(0, start), min(stop, total)):
            labels[page] = (prefix + _numeral(kind, first + page - start)).strip()
    return labels


def _label_ranges(pdf: Pdf, tree: object) -> List[Tuple[int, object]]:
    found, stack, seen = [], [tree], 0
    while stack and seen < MOST_PAGES:
        node = pdf.value(stack.pop())
        seen += 1
        pairs = pdf.array(node, "/Nums")
        for key, style in zip(pairs[::2], pairs[1::2]):
            found.append((int(number_or(pdf.value(key), -1.0)), pdf.value(style)))
        stack.extend(pdf.array(node, "/Kids"))
    return [pair for pair in found if pair[0] >= 0]


def _numeral(kind: str, number: int) -> str:
    if kind == "/D" or number < 1:
        return str(number) if kind else ""
    if kind in ("/A", "/a"):
        letters = chr(ord("A") + (number - 1) % 26) * min((number - 1) // 26 + 1, 40)
        return letters if kind == "/A" else letters.lower()
    if kind in ("/R", "/r"):
        roman = _roman(min(number, 3999))
        return roman if kind == "/R" else roman.lower()
    return ""


def _roman(number: int) -> str:
    words = ""
    values = (1000, 900, 500, 400, 100, 90, 50, 40, 10, 9, 5, 4, 1)
    for value, letters in zip(
        values, ("M", "CM", "D", "CD", "C", "XC", "L", "XL", "X", "IX", "V", "IV", "I")
    ):
        words += letters * (number // value)
        number %= value
    return words


def words_of(thing: object) -> str:
    """A text of the file (title, layer name) as text: UTF-16 or UTF-8 with its mark, else Latin."""
    if isinstance(thing, str):  # pypdf has made text of it already
        raw = getattr(thing, "original_bytes", None)
        text = str(thing)
        if not isinstance(raw, bytes) or not raw.startswith((b"\xfe\xff", b"\xff\xfe", b"\xef\xbb\xbf")):
            return _clean(text)
        thing = raw
    if not isinstance(thing, bytes):
        return ""
    if thing.startswith((b"\xfe\xff", b"\xff\xfe")):
        return _clean(thing.decode("utf-16", "replace"))
    if thing.startswith(b"\xef\xbb\xbf"):
        return _clean(thing[3:].decode("utf-8", "replace"))
    return _clean(thing.decode("latin-1"))


def _clean(text: str) -> str:
    """Without what cannot be seen, so that it may stand in any file."""
    return "".join(letter for letter in text if letter.isprintable()).strip()
