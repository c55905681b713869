"""A PDF put together by hand: nothing but text, so that every feature can be asked for.

    write(single(scene()).printed)                      # bytes of a PDF
    write(printed, layers="group", unit=2.0, crop=True)

The syntax is that of ISO 32000-1 (PDF 1.7); sections are named where they matter.
"""

import math
import zlib
from typing import Dict, List, Optional, Sequence, Tuple, Union

import numpy as np

from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words

POINT = 25.4 / 72  # mm
CATALOG, PAGES = 1, 2
FONT = b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>"


class Book:
    """The numbered objects of a PDF; 1 is the catalog and 2 the page tree."""

    def __init__(self, compress: bool = True) -> None:
        self.objects: List[bytes] = [b"", b""]
        self.compress = compress

    def add(self, content: Union[bytes, str], stream: Optional[bytes] = None) -> int:
        """One object; with a stream the content is the inside of its dictionary."""
        self.objects.append(b"")
        self.put(len(self.objects), content, stream)
        return len(self.objects)

    def put(self, number: int, content: Union[bytes, str], stream: Optional[bytes] = None) -> None:
        """Fill an object that has its number already."""
        content = content.encode("latin-1") if isinstance(content, str) else content
        if stream is not None:
            if self.compress and b"/Filter" not in content:
                stream, content = zlib.compress(stream), content + b" /Filter /FlateDecode"
            head = b"<< " + content + b" /Length " + str(len(stream)).encode() + b" >>"
            content = head + b"\nstream\n" + stream + b"\nendstream"
        self.objects[number - 1] = content

    def bytes(self, trailer: str = "") -> bytes:
        """The whole file with its cross-reference table (7.5.4)."""
        out, places = [b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"], []
        at = len(out[0])
        for number, content in enumerate(self.objects, 1):
            one = str(number).encode() + b" 0 obj\n" + content + b"\nendobj\n"
            places.append(at)
            out.append(one)
            at += len(one)
        table = "xref\n0 {}\n0000000000 65535 f \n".format(len(places) + 1)
        table += "".join("{:010d} 00000 n \n".format(place) for place in places)
        end = "trailer\n<< /Size {} /Root 1 0 R {} >>\nstartxref\n{}\n%%EOF\n"
        out.append((table + end.format(len(places) + 1, trailer, at)).encode())
        return b"".join(out)


def write(
    printed: Printed,
    layers: str = "named",
    unit: float = 1.0,
    crop: bool = False,
    in_points: bool = False,
    states: bool = False,
    inherit: bool = False,
    pieces: int = 1,
    nested: bool = False,
    one_form: bool = False,
    compress: bool = True,
) -> bytes:
    """Write pages as they are.

    Args:
        layers: how a path gets its layer: "named" in the properties, "inline" as a dictionary in
            the stream, "group" through a membership dictionary, "form" through /OC on a form.
        unit: UserUnit (14.11.1).
        crop: a media box that is larger, with a negative origin, and a crop box.
        in_points: coordinates in points on the unchanged page, instead of mm under one matrix.
        states: width and dashes come from graphics states (8.4.5).
        inherit: resources and boxes stand on the page tree, not on the page.
        pieces: in how many streams the content of a page comes, cut between any two tokens.
        nested: the artwork stands in a form in a form, each with a matrix of its own.
        one_form: the artwork of the first page is a single form that every page shows through a
            clip; pages must be posters of the same sheet.
        compress: streams are deflated.
    """
    book = Book(compress)
    pen = _Pen(book, printed, layers, states, in_points, unit)
    numbers: List[int] = []
    shared: Tuple[int, Tuple[float, float]] = (0, (0.0, 0.0))
    for page in printed.pages:
        if one_form:
            content, shared = _through_clip(pen, page, shared)
        else:
            content = pen.page(page, nested)
        numbers.append(_page(book, page, content, pen, crop, unit, inherit, pieces))
    common = _resources(pen) + _boxes(printed.pages[0], crop, unit) if inherit else ""
    kids = " ".join("{} 0 R".format(number) for number in numbers)
    book.put(PAGES, "<< /Type /Pages /Kids [{}] /Count {} {} >>".format(kids, len(numbers), common))
    book.put(CATALOG, "<< /Type /Catalog /Pages 2 0 R {} >>".format(pen.layer_catalog()))
    title = "/Info {} 0 R".format(
        book.add("<< /Title ({}) /Producer (written by hand) >>".format(printed.title))
    )
    return book.bytes(title)


def numbers(*values: float) -> str:
    """Numbers as PDF writes them, to a millionth; never with an exponent."""
    return " ".join(
        ("%.6f" % value).rstrip("0").rstrip(".") if value % 1 else "%d" % value for value in values
    )


class _Pen:
    """Turns pages into content streams and collects what these need."""

    def __init__(
        self, book: Book, printed: Printed, layers: str, states: bool, in_points: bool, unit: float
    ) -> None:
        self.book, self.printed, self.way, self.states = book, printed, layers, states
        self.scale = 1.0 / POINT / unit if in_points else 1.0
        self.unit = unit
        self.groups: Dict[str, int] = {}
        for layer in printed.layers:
            name = layer.name.encode("utf-16-be").hex()
            self.groups[layer.name] = book.add("<< /Type /OCG /Name <FEFF{}> >>".format(name))
        self.memberships: Dict[str, int] = {}
        if layers == "group":
            for name, number in self.groups.items():
                content = "<< /Type /OCMD /OCGs [{} 0 R] /P /AnyOn >>".format(number)
                self.memberships[name] = book.add(content)
        self.inks: Dict[str, int] = {}
        self.graphics: Dict[Tuple[float, Tuple[float, ...]], int] = {}
        self.forms: List[int] = []
        self.font = book.add(FONT)

    def page(self, page: Page, nested: bool) -> str:
        """The content of a page in its own space, y down where it is in mm."""
        body = "\n".join(self._items(page.drawn, page.words, page.height))
        if nested:
            inner = self._form(body, "1.25 0 0 1.25 20 -30")
            outer = self._form("q 0.8 0 0 0.8 -16 24 cm /F{} Do Q".format(inner), "1 0 0 1 7 9")
            body = "q 1 0 0 1 -7 -9 cm /F{} Do Q".format(outer)
        return "q {}\n{}\nQ".format(self._frame(page.height), body)

    def _frame(self, height: float) -> str:
        if self.scale != 1.0:
            return "1 0 0 1 0 0 cm"
        k = 1.0 / POINT / self.unit
        return "{0:.9f} 0 0 {1:.9f} 0 {2:.9f} cm".format(k, -k, height * k)

    def _form(self, content: str, matrix: str = "1 0 0 1 0 0", layer: str = "") -> int:
        box = "/BBox [-100000 -100000 100000 100000]"
        head = "/Type /XObject /Subtype /Form {} /Matrix [{}] {} {}"
        extra = "/OC {} 0 R".format(self.groups[layer]) if layer else ""
        number = self.book.add("")
        self.forms.append(number)
        self.book.put(
            number, head.format(box, matrix, extra, _resources(self, content)), content.encode("latin-1")
        )
        return number

    def _items(self, drawn: Sequence[Drawn], words: Sequence[Words], height: float) -> List[str]:
        found = []
        for one in drawn:
            found.append(self._within(one.layers, one.clip, self._paint(one, height), height))
        for text in words:
            found.append(self._within(text.layers, text.clip, self._letters(text, height), height))
        return found

    def _within(
        self,
        layers: Tuple[str, ...],
        clip: Optional[Tuple[float, float, float, float]],
        body: str,
        height: float,
    ) -> str:
        if clip is not None:
            x, y = self._place(clip[0], clip[1], height)
            right, bottom = self._place(clip[2], clip[3], height)
            body = "q {} re W n {} Q".format(numbers(x, y, right - x, bottom - y), body)
        for layer in reversed(layers):
            if self.way == "form":
                body = "/F{} Do".format(self._form(body, layer=layer))
            elif self.way == "inline":
                name = layer.replace("(", "\\(").replace(")", "\\)")
                body = "/OC << /Type /OCG /Name ({}) >> BDC {} EMC".format(name, body)
            else:
                body = "/OC /L{} BDC {} EMC".format(list(self.groups).index(layer), body)
        return body

    def _place(self, x: float, y: float, height: float) -> Tuple[float, float]:
        return (x, y) if self.scale == 1.0 else (x * self.scale, (height - y) * self.scale)

    def _points(self, values: np.ndarray, height: float) -> str:
        return numbers(*[c for x, y in values for c in self._place(float(x), float(y), height)])

    def _paint(self, one: Drawn, height: float) -> str:
        words = [self._pen_style(one.style)]
        for run in one.runs():
            words.append(self._points(run.curves[:1, 0], height) + " m")
            last = len(run.curves) - 1
            for number, curve in enumerate(run.curves):
                straight = (
                    np.abs(curve[1:3] - (curve[:1] * [[2], [1]] + curve[3:] * [[1], [2]]) / 3).max() < 1e-9
                )
                if straight and run.closed and number == last:
                    continue  # h draws it
                words.append(
                    self._points(curve[3:] if straight else curve[1:], height) + (" l" if straight else " c")
                )
            if run.closed:
                words.append("h")
        words.append(
            {(True, False): "S", (False, True): "f", (True, True): "B"}.get(
                (bool(one.style.colour), bool(one.style.fill)), "n"
            )
        )
        return "q " + " ".join(words) + " Q"

    def _pen_style(self, style: Style) -> str:
        words = []
        if style.colour:
            words.append(self._colour(style.colour, True))
        if style.fill:
            words.append(self._colour(style.fill, False))
        if not style.colour:
            return " ".join(words)
        width = style.width * self.scale
        dashes = tuple(dash * self.scale for dash in style.dashes)
        if self.states:
            key = (width, dashes)
            if key not in self.graphics:
                content = "<< /Type /ExtGState /LW {} /D [[{}] 0] >>".format(numbers(width), numbers(*dashes))
                self.graphics[key] = self.book.add(content)
            words.append("/G{} gs".format(self.graphics[key]))
        else:
            words.append("{} w [{}] 0 d".format(numbers(width), numbers(*dashes)))
        return " ".join(words)

    def _colour(self, colour: str, stroke: bool) -> str:
        if colour.startswith("ink:"):
            if colour not in self.inks:
                name = "".join("#%02X" % ord(c) if not c.isalnum() else c for c in colour[4:])
                self.inks[colour] = self.book.add(
                    "[/Separation /{} /DeviceCMYK << /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] "
                    "/C1 [0 1 1 0] /N 1 >>]".format(name)
                )
            words = "/C{} {} 1 {}".format(self.inks[colour], *(("CS", "SCN") if stroke else ("cs", "scn")))
            return words
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        return numbers(*parts) + (" RG" if stroke else " rg")

    def _letters(self, one: Words, height: float) -> str:
        x, y = self._place(one.x, one.y, height)
        down = -1.0 if self.scale == 1.0 else 1.0
        turn = math.radians(one.angle)
        c, s = math.cos(turn), math.sin(turn)
        # Letters must stand upright in a space that is upside down (9.4.4).
        matrix = (c, s, -s * down, c * down) if self.scale == 1.0 else (c, -s, s, c)
        text = one.text.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")
        size = numbers(one.height * self.scale)
        return "BT {} /Helv {} Tf {} {} Tm ({}) Tj ET".format(
            self._colour(one.colour, False), size, numbers(*matrix), numbers(x, y), text
        )

    def layer_catalog(self) -> str:
        """The entries of the catalog about layers (8.11.4)."""
        if not self.groups:
            return ""
        every = " ".join("{} 0 R".format(number) for number in self.groups.values())
        off = " ".join("{} 0 R".format(self.groups[one.name]) for one in self.printed.layers if one.hidden)
        return "/OCProperties << /OCGs [{0}] /D << /Order [{0}] /OFF [{1}] >> >>".format(every, off)


def _resources(pen: _Pen, content: str = "") -> str:
    """Everything that was met so far; with a content only the forms that it shows."""
    named = pen.memberships or pen.groups
    forms = [n for n in pen.forms if not content or "/F{} Do".format(n) in content]
    parts = [("Font", "/Helv {} 0 R".format(pen.font))]
    parts.append(("Properties", " ".join("/L{} {} 0 R".format(at, n) for at, n in enumerate(named.values()))))
    parts.append(("ExtGState", " ".join("/G{0} {0} 0 R".format(n) for n in pen.graphics.values())))
    parts.append(("ColorSpace", " ".join("/C{0} {0} 0 R".format(n) for n in pen.inks.values())))
    parts.append(("XObject", " ".join("/F{0} {0} 0 R".format(n) for n in forms)))
    inside = " ".join("/{} << {} >>".format(name, content) for name, content in parts if content)
    return "/Resources << {} >> ".format(inside)


def _boxes(page: Page, crop: bool, unit: float) -> str:
    """Media box, and crop box where the page is to lie inside a larger one (14.11.2)."""
    k = 1.0 / POINT / unit
    width, height = page.width * k, page.height * k
    if not crop:
        return "/MediaBox [0 0 {}] ".format(numbers(width, height))
    return "/MediaBox [-40 -55 {}] /CropBox [0 0 {}] ".format(
        numbers(width + 30, height + 60), numbers(width, height)
    )


def _page(
    book: Book, page: Page, content: str, pen: _Pen, crop: bool, unit: float, inherit: bool, pieces: int
) -> int:
    # Streams may be cut between any two tokens (7.8.2).
    tokens = content.split("\n")
    step = max(1, math.ceil(len(tokens) / pieces))
    parts = ["\n".join(tokens[at : at + step]) for at in range(0, len(tokens), step)]
    streams = [book.add("", part.encode("latin-1")) for part in parts]
    entries = "/Contents [{}] ".format(" ".join("{} 0 R".format(n) for n in streams))
    if page.turn:
        entries += "/Rotate {} ".format(page.turn)
    if unit != 1.0:
        entries += "/UserUnit {} ".format(numbers(unit))
    if not inherit:
        entries += _resources(pen) + _boxes(page, crop, unit)
    return book.add("<< /Type /Page /Parent 2 0 R {}>>".format(entries))


def _through_clip(
    pen: _Pen, page: Page, shared: Tuple[int, Tuple[float, float]]
) -> Tuple[str, Tuple[int, Tuple[float, float]]]:
    """A page that shows the one form through its clip; furniture is drawn beside it."""
    art = [one for one in page.drawn if one.clip is not None]
    rest = [one for one in page.drawn if one.clip is None]
    text = [one for one in page.words if one.clip is not None]
    label = [one for one in page.words if one.clip is None]
    if not art:
        return pen.page(page, False), shared
    at = art[0].curves[0, 0]
    if not shared[0]:
        bare = [one._replace(clip=None) for one in art], [one._replace(clip=None) for one in text]
        shared = (pen._form("\n".join(pen._items(bare[0], bare[1], page.height))), (at[0], at[1]))
    shift = at - shared[1]
    box = art[0].clip
    window = "{} re W n".format(numbers(box[0], box[1], box[2] - box[0], box[3] - box[1]))
    show = "q {} 1 0 0 1 {} cm /F{} Do Q".format(window, numbers(*shift), shared[0])
    body = "\n".join([show] + pen._items(rest, label, page.height))
    return "q {}\n{}\nQ".format(pen._frame(page.height), body), shared
